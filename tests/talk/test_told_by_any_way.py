"""What a sentence says is the same in a conversation, in one shot and in a batch; the answers to questions are told.

That a machine wash shrinks leather and that flame chars it is common practice.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from advisor import load_rulebase
from advisor.read.danger import RAISED
from advisor.shell.cli import main
from advisor.talk.recording import consulted
from advisor.talk.session import Session

BASE = load_rulebase()
ASKED = [
    "a plain tote, can it go in the washing machine?",
    "a brown plain tote, does leather burn near a fire?",
]
STATED = ["a plain tote, it goes in the washing machine at 60", "an apron, I work at a forge. Does it fade?"]


@pytest.mark.parametrize("text", [*ASKED, *STATED])
def test_one_shot_raises_what_a_conversation_raises(text: str) -> None:
    session = Session(BASE)
    session.hear(text)
    once = consulted(BASE, text, None)
    both = [answers[RAISED].values if RAISED in answers else () for answers in (session.answers, once.answers)]
    assert set(both[0]) == set(both[1])
    assert session.advice().outcome == once.advice.outcome


@pytest.mark.parametrize("text", ASKED)
def test_what_answers_the_question_stands_in_the_reading(text: str) -> None:
    reading = consulted(BASE, text, None).advice.reading
    assert reading is not None
    said = [doubt.text for doubt in reading.doubts if doubt.code == "answered"]
    assert said
    assert any(word in said[0] for word in ("shrinks", "chars"))


@pytest.mark.parametrize("text", STATED)
def test_what_is_stated_is_asked_before_any_order(text: str) -> None:
    assert not consulted(BASE, text, None).advice.order.lines


def test_a_batch_says_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = tmp_path / "asked.txt"
    lines.write_text("".join(f"{text}\n" for text in ASKED), encoding="utf-8")
    assert main(["recommend", "--no-log", "--json", "--batch", str(lines)]) == 0
    for row in map(json.loads, capsys.readouterr().out.splitlines()):
        codes = {doubt["code"] for doubt in row["advice"]["reading"]["doubts"]}
        assert "answered" in codes
        assert row["advice"]["order"]["lines"]


def test_how_many_go_in_is_said_back_beside_an_order(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", "--no-log", "bifold wallet for 9 cards, black"]) == 0
    assert "Understood: for 9 cards." in capsys.readouterr().out


def test_a_bare_correction_is_of_the_last_number(capsys: pytest.CaptureFixture[str]) -> None:
    session = Session(BASE)
    session.hear("a watch strap, lugs 22 mm")
    said = " ".join(session.hear("actually 20").lines)
    assert "Changed" in said
    assert session.answers["strap_width"].values == (20.0,)
    session.hear("175 mm")
    session.hear("sorry, 180")
    assert session.answers["wrist"].values == (180.0,)


def test_what_enter_means_is_what_is_said_back() -> None:
    session = Session(BASE)
    session.hear("a watch strap, lugs 22 mm")
    session.question = BASE.attributes["allergy"]
    session.questions = (session.question,)
    assert "Enter: leave it open" in session.prompt()
    assert "left open" in " ".join(session.hear("").lines)
    assert session.answers["allergy"].values == ()

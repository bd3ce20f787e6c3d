"""What the command line offers to answer the question of a danger by is heard as that answer.

Held for every danger: a sentence that raises it, then the same with the words offered for each answer.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import pytest

from advisor import consult, load_rulebase
from advisor.read.reader import read_sentence
from advisor.reasoning.facts import Answer
from advisor.rulebase.models import RuleBase
from advisor.shell.cli import main

SAID = tomllib.loads((Path(__file__).parents[1] / "read" / "dangers.toml").read_text(encoding="utf-8"))["danger"]


@cache
def left_open(text: str) -> frozenset[str]:
    """What the dangers ask that a sentence leaves open; most sentences are looked at for every question."""
    return frozenset(d.attribute for d in read_sentence(load_rulebase(), text).dangers if d.state == "open")


def raising(attribute: str) -> str:
    """A kept sentence that leaves the danger about ``attribute`` open."""
    every = (text for lots in SAID.values() for lot in lots.values() for text in lot)
    return next(text for text in every if attribute in left_open(text))


@pytest.mark.parametrize(
    "attribute",
    [
        "bears_person",
        "hangs_overhead",
        "vehicle_part",
        "aircraft_part",
        "restrains_person",
        "bears_rider",
        "holds_animal",
        "round_childs_neck",
        "in_mouth",
        "touches_food",
        "fragile_skin",
        "protective_claim",
        "near_fuel_or_oxygen",
        "hot_use",
        "hot_wash",
        "stays_outdoors",
        "machine_part",
    ],
)
def test_the_words_offered_are_heard(rulebase: RuleBase, attribute: str) -> None:
    text = raising(attribute)
    for slug, value in rulebase.attributes[attribute].values.items():
        reading = read_sentence(rulebase, f"{text}, {value.words[0]}")
        assert reading.answers[attribute].values == (slug,), value.words[0]
        raised = reading.answers.get("raised", Answer(()))
        advice = consult(rulebase, {n: a for n, a in reading.answers.items() if n != "raised"}, raised=raised.values)
        assert attribute not in {q.attribute for q in advice.dangers}, value.words[0]


def test_the_danger_is_asked_before_the_thing_in_plain_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", "leather for a loop he can lean back in while he trims the hedge", "--no-log"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert said.index("Will anybody's weight ever be on it") < said.index("Which is it?")
    assert '"somebody hangs on it" or "nobody\'s weight is on it"' in said
    assert "_" not in said
    assert "=" not in said


@pytest.mark.parametrize("say", ["a dooberry I can dangle from", "a gubbins that somebody could swing from"])
def test_a_refusal_asks_for_no_thing_and_comes_before_what_was_not_understood(
    say: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["recommend", say, "--no-log"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert said.index("Refused") < said.index("Not understood")
    assert "Which is it?" not in said
    assert "Call it by that name" not in said

"""A question is answered and changes no answer: of the words of the trade, the order, care, work, and what is named.

First runs, each set put once before anything was mended for it (read by hand: answered as a counter hand would in
brackets). 121 questions over 26 things, before there were topics: 59 (about 40) answered, 39 "I can't tell you that",
11 changed an answer, 27 longer than three lines. 80 over 31 others, written after the first were mended: 42 (about 40)
answered, 17 not, 6 changed something, 3 of these dangers raised as they should; of nine things there was no recipe.
50 over 12, after the second: 35 (33) answered, 5 not, 4 changed something, 2 of them dangers rightly raised. 40 over
12, after the third and the last: 23 (23) answered, 6 not, 4 changed something: a danger rightly raised, two that
nobody meant ("warm to sit on", "a bumpy road"), and a colour asked for. The table keeps what is answered now, and
says little of questions not yet put.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from heard import heard
from plain import sampled

from advisor.leather.units import MM_PER_OUNCE
from advisor.read.glossary import defined
from advisor.read.questions import offered_questions, topic_of
from advisor.reasoning.facts import parse_answers
from advisor.rulebase.models import RuleBase
from advisor.talk.direct import CANNOT, direct_answers
from advisor.talk.matter import Matter
from advisor.talk.session import Session
from advisor.write.converted import converted
from advisor.write.straight import MOST_LINES

TABLE = tomllib.loads((Path(__file__).parent / "asked.toml").read_text(encoding="utf-8"))["asked"]
RAISED = "raised"
COLUMNS = 80
BELT = "belt for jeans, 38 mm wide, waist 92 cm"


def facts(session: Session, besides: str = "") -> dict[str, object]:
    return {name: answer for name, answer in session.answers.items() if name != besides}


@pytest.mark.parametrize("row", sampled(TABLE, 6), ids=lambda row: f"{row['thing'][:24]}: {row['ask'][:40]}")
def test_a_question_is_answered_in_three_lines_and_changes_nothing(row: dict[str, Any]) -> None:
    """But for what is told beside the question, which is kept (``keeps``)."""
    session = heard(row["thing"])
    before, open_questions = dict(session.answers), session.questions
    lines = session.hear(row["ask"]).lines
    said = " ".join(lines)
    assert session.pending is None
    assert "_" not in said
    assert all(len(line) <= COLUMNS for line in lines)
    if "raises" in row:
        assert facts(session, RAISED) == {n: a for n, a in before.items() if n != RAISED}
        assert set(row["raises"]) <= set(session.answers[RAISED].values)
        assert not re.match(r"yes\b", said, re.IGNORECASE)
        assert not session.advice().order.lines
        return
    assert session.answers.keys() - before.keys() == set(row.get("keeps", ()))
    assert {name: a for name, a in session.answers.items() if name in before} == before
    assert session.questions == open_questions
    assert re.search(row["says"], said, re.IGNORECASE), said
    assert CANNOT not in said
    assert len(lines) <= MOST_LINES, lines


def test_a_question_in_the_first_sentence_is_answered_before_the_order(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    said = " ".join(session.hear(f"{BELT}, will the dye rub off on my shirt?").lines)
    assert said.index("damp white cloth") < said.index("Understood:")
    session = Session(rulebase)
    said = " ".join(session.hear("I want to make a knife sheath. Is 2 mm enough? How do I look after it?").lines)
    assert said.index("too thin") < said.index("Understood:")
    assert session.answers.keys() == {"item"}


@pytest.mark.parametrize("begin", ["", BELT, "a tote bag", "a dog collar for a spaniel"])
def test_what_is_offered_instead_can_be_asked(rulebase: RuleBase, begin: str) -> None:
    session = Session(rulebase)
    if begin:
        session.hear(begin)
    said = " ".join(session.hear("who was king then?").lines)
    offered = re.findall(r'"([^"]+)"', said)
    assert len(offered) == 3
    for question in offered:
        answer = " ".join(session.hear(question).lines)
        assert answer
        assert "can't tell" not in answer, question


def test_all_that_may_be_offered_is_answered_for_every_thing(rulebase: RuleBase) -> None:
    for item in sorted(rulebase.items)[::40]:
        matter = Matter(rulebase, parse_answers(rulebase, {"item": item}))
        for question in offered_questions(rulebase, True):
            said = " ".join(direct_answers(matter, question, asked_back=True))
            assert said, (item, question)
            assert CANNOT not in said, (item, question)


def test_a_value_that_is_named_is_judged_and_not_kept() -> None:
    session = heard(BELT)
    before = dict(session.answers)
    # Common practice: a belt of one layer is 8 to 10 oz, and 5 oz is too thin for it.
    assert "too thin" in " ".join(session.hear("would 2 mm do").lines)
    assert "too thick" in " ".join(session.hear("is 6 mm ok").lines)
    assert "suits it" in " ".join(session.hear("is 9 oz all right for it?").lines)
    assert " ".join(session.hear("could I use belly").lines).startswith("No, not belly")
    assert session.answers == before
    assert "Point by point" in session.hear("review").lines


def test_no_question_about_a_danger_is_answered_with_yes() -> None:
    asked = ("is it safe to climb with?", "could I hang from it?", "can my baby chew it?", "will it stop a knife?")
    for question in asked:
        session = heard(BELT)
        said = " ".join(session.hear(question).lines)
        assert not re.search(r"\byes\b", said, re.IGNORECASE), said
        stopped = session.advice().no_order or re.search(r"nobody may|I can't call it safe", said, re.IGNORECASE)
        assert stopped, said


def test_every_leather_form_cut_surface_and_fitting_has_an_entry(rulebase: RuleBase) -> None:
    called = [c.label for d in rulebase.choices() for c in d.candidates.values() if not re.search(r"\d", c.label)]
    for name in ("edge", "hardware", "hardware_metal", "tools", "sew", "glue", "construction", "lining"):
        values = rulebase.attributes[name].values.values()
        called += [v.label for v in values if v.slug != "none" and v.label != v.means]
    missing = [label for label in called if not defined(rulebase, f"what is {label}")]
    assert missing == []


@pytest.mark.parametrize(("text", "mm"), [("8 oz", 3.2), ("4 oz", 1.6), ("10 oz", 4.0), ("12 irons", 6.3)])
def test_a_thickness_is_told_in_other_measures(text: str, mm: float) -> None:
    # ASTM D1814: one ounce is 1/64 in, one iron 1/48 in.
    number, unit = text.split()
    assert f"is {mm:g} mm" in converted(float(number), float(number), unit[:2])
    assert pytest.approx(25.4 / 64) == MM_PER_OUNCE


def test_the_topic_of_most_words_is_meant(rulebase: RuleBase) -> None:
    for clause, name in (
        ("will it hold eight cards", "capacity"),
        ("will it hold my weight", "strength"),
        ("how much per foot", "cost_by_area"),
        ("how much do I need", "amount"),
        ("how long will it last", "lasts"),
        ("how long must it be", "length"),
    ):
        topic = topic_of(rulebase, clause)
        assert topic is not None
        assert topic.name == name, clause

"""What was just said of a danger is not asked again; what is only supposed or asked stays a question.

That a seat bears whoever sits on it, and what else hurts whom, is common practice; no hide is rated for a body.
"""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.reader import read_sentence

BASE = load_rulebase()


@pytest.mark.parametrize(
    ("say", "attribute"),
    [
        ("a footstool, my grandad stands on it", "bears_person"),
        ("a bench top, two big lads will perch on it", "bears_person"),
        ("a loop, the gymnast hangs from it", "bears_person"),
        ("a sling seat for our guest to lie in", "bears_person"),
        ("a band, the pony is tethered with it", "holds_animal"),
        ("a roll, I carry bread in it", "touches_food"),
        ("a grip, the puppy chews on it", "in_mouth"),
        ("a gauntlet, it keeps the saw from cutting me", "protective_claim"),
        ("a mitt, I lift hot trays with it", "hot_use"),
    ],
)
def test_a_statement_answers_its_own_question_and_no_other(say: str, attribute: str) -> None:
    reading = read_sentence(BASE, say)
    assert reading.answers[attribute].values == ("yes",)
    assert {d.attribute for d in reading.dangers if d.state == "applies"} == {attribute}


@pytest.mark.parametrize(
    "say",
    [
        "a loop, could my brother hang from it?",
        "a bench top, if somebody heavy kneels on it",
        "a footstool, would a child sit on it safely?",
    ],
)
def test_what_is_supposed_or_asked_stays_a_question(say: str) -> None:
    reading = read_sentence(BASE, say)
    assert "bears_person" not in reading.answers
    assert "person_weight" in reading.answers["raised"].values


def test_a_wallet_that_is_sat_on_bears_nobody() -> None:
    assert "bears_person" not in read_sentence(BASE, "a bifold wallet, my dad sits on it in the car").answers

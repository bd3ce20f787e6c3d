"""What was just said of a danger is not asked again; what is only supposed or asked stays a question.

That a seat bears whoever sits on it, and what else hurts whom, is common practice; no hide is rated for a body.
"""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.danger import is_beyond
from advisor.read.reader import read_sentence

BASE = load_rulebase()


@pytest.mark.parametrize(
    ("say", "attribute"),
    [
        ("a footstool, my grandad stands on it", "bears_person"),
        ("a bench top, two big lads will perch on it", "bears_person"),
        ("a loop, the gymnast hangs from it", "bears_person"),
        ("a sling seat for our guest to lie in", "bears_person"),
        ("a loop my mate could swing from", "bears_person"),
        ("a bench top that somebody will sit on, oak coloured", "bears_person"),
        ("a strap she can safely lean back against", "bears_person"),
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
        "a loop, unless I can hang from it",
    ],
)
def test_what_is_supposed_or_asked_stays_a_question(say: str) -> None:
    reading = read_sentence(BASE, say)
    assert "bears_person" not in reading.answers
    assert "person_weight" in reading.answers["raised"].values


@pytest.mark.parametrize(
    "say",
    [
        "a bifold wallet, my dad sits on it in the car",
        "a wallet he can sit on",
        "a rack I can stand plates in",
        "a bag he can swing from a hook",
        "a bracelet I can sleep in",
    ],
)
def test_what_bears_nobody_is_not_said_to_bear_somebody(say: str) -> None:
    assert "bears_person" not in read_sentence(BASE, say).answers


@pytest.mark.parametrize(
    "say", ["something I can dangle from", "a mat we can stand on", "a thing my brother hangs off"]
)
def test_nothing_is_offered_for_a_danger_that_cannot_do_it(say: str) -> None:
    named = read_sentence(BASE, say).named
    assert named.candidates
    assert not [c.thing.slug for c in named.candidates if is_beyond(BASE, "person_weight", c.thing.name)]


def test_what_cannot_bear_anybody_is_known_by_its_name() -> None:
    beyond = ("pen loop", "strap keeper", "zip pull", "tassel", "bookmark")
    assert all(is_beyond(BASE, "person_weight", name) for name in beyond)
    assert not any(is_beyond(BASE, "person_weight", name) for name in ("chair sling", "dog lead", "belt"))

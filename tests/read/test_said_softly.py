"""A wish said softly is a wish: it is taken and said back; what may or may not be is not. Common English."""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.reader import read_sentence

BASE = load_rulebase()


@pytest.mark.parametrize(
    ("say", "attribute", "value"),
    [
        ("a tote, perhaps in black", "colour", "black"),
        ("a trouser belt, possibly 35 mm wide", "strap_width", 35.0),
        ("watch strap, I was thinking of black", "colour", "black"),
        ("a dog collar, probably with a steel buckle", "hardware", "buckle"),
    ],
)
def test_a_soft_wish_is_taken_and_said_back(say: str, attribute: str, value: object) -> None:
    reading = read_sentence(BASE, say)
    assert reading.answers[attribute].values == (value,)
    assert "said_softly" in {d.code for d in reading.doubts}


def test_a_soft_thickness_is_compared_with_the_advice() -> None:
    reading = read_sentence(BASE, "a key case, maybe 1.6 mm")
    assert reading.proposal.weight is not None
    assert reading.proposal.weight.low == 1.6


def test_two_soft_wishes_of_which_one_can_be_stay_open() -> None:
    reading = read_sentence(BASE, "a belt in perhaps black or brown")
    assert reading.choices_open["colour"] == ("black", "brown")
    assert "said_softly" not in {d.code for d in reading.doubts}


def test_what_might_be_is_not_taken() -> None:
    assert "for_sale" not in read_sentence(BASE, "a wallet, I might sell it").answers

"""What goes into a thing is not the thing: the form asked for and what it is for win over the words between.

What such things are called at a counter is common practice.
"""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.reader import read_sentence

BASE = load_rulebase()
NOT_TAKEN = [
    ("a bag for my boxing gloves", "punch_bag"),
    ("bag for a pair of boxing gloves and a towel", "punch_bag"),
    ("a bag for my yoga mat", "hip_bag"),
    ("case for a chess set", "game_board"),
]
FIRST = [
    ("something for my cards", "card_holder"),
    ("anything for pens", "pen_case"),
    ("something for coins", "coin_pouch"),
    ("something for my passport", "passport_cover"),
    ("something to keep my chisels in", "tool_roll"),
]
TAKEN = [
    ("a punch bag for my garage", "punch_bag"),
    ("a bag for boxing, to hit", "punch_bag"),
    ("a roll for my chisels", "tool_roll"),
    ("case for my violin", "instrument_case"),
]


@pytest.mark.parametrize(("text", "slug"), NOT_TAKEN)
def test_what_goes_in_makes_no_other_thing(text: str, slug: str) -> None:
    named = read_sentence(BASE, text).named
    assert named.taken is None or named.taken.thing.slug != slug
    assert [c.thing.slug for c in named.candidates][:1] != [slug]


@pytest.mark.parametrize(("text", "slug"), FIRST)
def test_what_it_is_for_comes_first_where_no_form_is_named(text: str, slug: str) -> None:
    named = read_sentence(BASE, text).named
    assert next(c.thing.slug for c in ((named.taken,) if named.taken else named.candidates)) == slug


@pytest.mark.parametrize(("text", "slug"), TAKEN)
def test_a_form_with_its_object_is_taken(text: str, slug: str) -> None:
    named = read_sentence(BASE, text).named
    assert named.taken is not None
    assert named.taken.thing.slug == slug


@pytest.mark.parametrize(
    "text", ["can you help me with a tote bag, should hold my books", "help with a plain tote please"]
)
def test_what_help_is_wanted_with_is_made(text: str) -> None:
    named = read_sentence(BASE, text).named
    assert named.taken is not None
    assert named.taken.thing.slug == "tote_plain"

"""How old a thing is says nothing of who uses it; how old somebody is does. Common English."""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.reader import read_sentence

BASE = load_rulebase()


@pytest.mark.parametrize(
    "say",
    [
        "a case for my banjo, it is eighty years old",
        "the trunk is ninety years old, it needs a handle",
        "a 150 year old bible needs a new spine",
        "a strap for an 80 year old camera",
        "a seat cover for a stool from the 1920s",
        "a sleeve for a 2 year old tablet",
    ],
)
def test_the_age_of_a_thing_is_nobodys(say: str) -> None:
    reading = read_sentence(BASE, say)
    assert "user_kind" not in reading.answers
    assert "small_child" not in {d.concept for d in reading.dangers}


@pytest.mark.parametrize(
    ("say", "who"),
    [
        ("my nan is ninety, a purse", "elderly"),
        ("a belt for my uncle, he is eighty years old", "elderly"),
        ("a bag for my 85 year old grandad", "elderly"),
        ("shoes for a 2 year old", "child_under3"),
        ("2 year old shoes", "child_under3"),
        ("a 1 year old's bib", "child_under3"),
        ("it is 2 years old, a bib for it", "child_under3"),
        ("a belt for an 8 year old", "child_3_12"),
    ],
)
def test_the_age_of_somebody_still_counts(say: str, who: str) -> None:
    assert read_sentence(BASE, say).answers["user_kind"].values == (who,)

"""The size of a clip's eye, a ring, a pen or a tool is never the leather's own. Common practice: a strap goes through
an eye only where it is no wider than the eye is inside."""

from __future__ import annotations

import pytest
from heard import heard

SIZES = ("strap_width", "width", "height", "depth", "length", "waist", "neck")


@pytest.mark.parametrize(
    ("opening", "line", "word"),
    [
        ("dog lead, 25 mm wide, 1.2 m", "I've got my own clips, the eye is 20 mm", "eye"),
        ("dog lead, 25 mm wide, 1.2 m", "the 20 mm is the eye of the clip", "eye"),
        ("dog lead", "the swivel takes 18 mm", "swivel"),
        ("bag strap for my bag", "the ring on it is 25 mm inside, oval", "ring"),
        ("bag strap for my bag", "it goes on 25 mm dees", "dees"),
        ("journal cover", "my pen is 1 cm thick", "pen"),
        ("belt for me", "my punch is 3 mm", "punch"),
    ],
)
def test_a_size_of_something_owned_is_noted_and_changes_no_size(opening: str, line: str, word: str) -> None:
    session = heard(opening)
    before = {n: session.answers[n].values for n in SIZES if n in session.answers}
    said = " ".join(session.hear(line).lines)
    assert {n: session.answers[n].values for n in SIZES if n in session.answers} == before
    assert f"The {word}" in said
    assert "noted" in said


def test_it_is_told_whether_the_strap_goes_through() -> None:
    narrow = " ".join(heard("dog lead, 19 mm wide, 1.2 m").hear("the eye of my clip is 20 mm").lines)
    wide = " ".join(heard("dog lead, 25 mm wide, 1.2 m").hear("the eye of my clip is 20 mm").lines)
    assert "goes through it" in narrow
    assert "does not go through it" in wide


@pytest.mark.parametrize(
    ("opening", "line", "value"),
    [
        ("dog lead", "20 mm wide, it goes through a ring", 20.0),
        ("dog lead", "the lead is 20 mm wide", 20.0),
        ("belt for me", "35 mm, for the buckle", 35.0),
    ],
)
def test_a_size_of_the_strap_itself_is_still_taken(opening: str, line: str, value: float) -> None:
    assert heard(opening, line).answers["strap_width"].values == (pytest.approx(value),)


@pytest.mark.parametrize("line", ["two rings please", "it has 2 clips", "a card holder and two key rings"])
def test_a_number_that_counts_fittings_is_no_size_of_one(line: str) -> None:
    assert "noted" not in " ".join(heard("dog lead, 19 mm wide").hear(line).lines)

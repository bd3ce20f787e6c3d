"""A danger of which one line tells the load and another whom it hurts is asked about all the same (common practice)."""

from __future__ import annotations

import pytest
from heard import heard

RAISED = [
    (("key pouch, 90 mm wide", "she wears it on a lanyard round the neck", "it's for a girl of 6"), "neck"),
    (("a case for a compass", "hung from the neck on a thong", "for my son, he is nine"), "neck"),
    (("work apron 80 cm long", "sparks are all over his shed when he grinds"), "heat"),
]
CALM = [
    ("glasses case", "my wife hangs her glasses round the neck"),
    ("key pouch, 90 mm wide", "it hangs from the belt", "it's for a girl of 6"),
    ("dog collar, neck 40 cm", "he is 12 kilo", "brown"),
]


@pytest.mark.parametrize(("lines", "concept"), RAISED)
def test_what_two_lines_tell_together_is_asked(lines: tuple[str, ...], concept: str) -> None:
    session = heard(*lines)
    assert concept in session.answers["raised"].values
    assert session.advice().dangers
    assert not session.advice().order.lines


@pytest.mark.parametrize("lines", CALM)
def test_harmless_lines_raise_nothing_together(lines: tuple[str, ...]) -> None:
    assert "raised" not in heard(*lines).answers


def test_what_was_said_to_another_customer_raises_nothing() -> None:
    session = heard("key pouch, 90 mm wide", "she wears it on a lanyard round the neck", "next customer", "belt pouch")
    session.hear("it's for a girl of 6")
    assert "neck" not in session.answers.get("raised", session.answers["item"]).values

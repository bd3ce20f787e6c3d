"""A size that nothing took is taken where it can be one alone, else asked by number. Common practice."""

from __future__ import annotations

import pytest
from heard import heard


@pytest.mark.parametrize(
    ("opening", "line", "pick", "name", "value"),
    [
        ("messenger bag, 30 by 25 cm, black", "make that 35 cm", "1", "width", 350.0),
        ("messenger bag, 30 by 25 cm, black", "make that 35 cm", "2", "height", 350.0),
        ("messenger bag, 30 by 25 cm, black", "it's 28 cm now", "the height", "height", 280.0),
    ],
)
def test_a_size_that_may_be_several_is_asked_by_number(
    opening: str, line: str, pick: str, name: str, value: float
) -> None:
    session = heard(opening)
    before = dict(session.answers)
    session.hear(line)
    assert session.answers == before
    assert "what is it?" in session.prompt()
    assert "so far" in session.prompt()
    said = session.hear(pick).lines
    assert session.answers[name].values == (pytest.approx(value),)
    assert "before:" in " ".join(said)


def test_enter_leaves_such_a_size_as_it_is() -> None:
    session = heard("messenger bag, 30 by 25 cm, black", "make that 35 cm")
    before = dict(session.answers)
    session.hear("")
    assert session.answers == before
    assert session.pending is None


def test_another_answer_beside_the_open_number_is_heard() -> None:
    session = heard("messenger bag, 30 by 25 cm", "make that 35 cm")
    session.hear("brown please")
    assert session.answers["colour"].values == ("brown",)


@pytest.mark.parametrize("line", ["108, that's what I said", "108 cm, like I told you", "well, 108 cm, if that helps"])
def test_an_aside_beside_a_number_takes_nothing_away(line: str) -> None:
    assert heard("belt for me", line).answers["waist"].values == (pytest.approx(1080.0),)


def test_a_number_with_a_side_is_no_number_of_pieces() -> None:
    answers = heard("messenger bag", "30 wide").answers
    assert "quantity" not in answers


@pytest.mark.parametrize(
    ("line", "name", "value"), [("35 instead", "strap_width", 35.0), ("make it 98 round the waist", "waist", 980.0)]
)
def test_a_number_instead_goes_where_it_is_near_or_named(line: str, name: str, value: float) -> None:
    session = heard("belt for me, 40 mm wide, waist 96 cm", line)
    assert session.answers[name].values == (pytest.approx(value),)


@pytest.mark.parametrize("line", ["just one person playing", "I have three dogs", "two of us"])
def test_a_number_that_counts_something_is_no_size(line: str) -> None:
    session = heard("stool top", "36 cm")
    before = {n for n, a in session.answers.items() if n in ("depth", "height", "length")}
    session.hear(line)
    assert {n for n, a in session.answers.items() if n in ("depth", "height", "length")} == before

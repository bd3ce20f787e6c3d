"""A second lot of the same thing waits, is told in the order, and comes after it; logs keep it. Common practice."""

from __future__ import annotations

import pytest
from heard import heard

from advisor import load_rulebase
from advisor.reasoning.record import Event, fold
from advisor.talk.lots import lots
from advisor.talk.recording import restored
from advisor.talk.session import Session

FIRST = "12 dog leads, 3/4 inch wide, 4 foot long"


@pytest.mark.parametrize(
    ("line", "now", "later"),
    [
        ("and four of them 1 inch wide", 8, [(4, "1 inch wide")]),
        ("half of them in brown", 6, [(6, "in brown")]),
        ("the other four should be 1 inch wide", 8, [(4, "1 inch wide")]),
        ("eight leads 3/4 inch wide, four leads 1 inch wide", 8, [(4, "1 inch wide")]),
    ],
)
def test_a_lot_that_differs_waits(line: str, now: int, later: list[tuple[int, str]]) -> None:
    session = heard(FIRST)
    said = " ".join(session.hear(line).lines)
    assert session.answers["quantity"].values == (now,)
    assert [tuple(lot) for lot in lots(session)] == later
    assert session.answers["strap_width"].values == (pytest.approx(19.05),)
    assert "one kind at a time" in said


def test_the_order_repeats_what_waits_and_enter_goes_on_with_it() -> None:
    session = heard(FIRST, "and four of them 1 inch wide", "30 kg")
    ended = "\n".join(session.hear("done").lines)
    assert "Still to order: 4 (1 inch wide)" in ended
    said = " ".join(session.hear("").lines)
    assert "Next: 4, 1 inch wide" in said
    assert session.answers["quantity"].values == (4,)
    assert session.answers["strap_width"].values == (pytest.approx(25.4),)
    assert session.answers["length"].values == (pytest.approx(1219.2),)
    assert "Still to order" not in "\n".join(session.hear("done").lines)


@pytest.mark.parametrize(
    "line", ["one of the buckles is brass", "two of them are enough?", "I have two of those at home", "2 of 3 is fine"]
)
def test_what_tells_of_a_part_or_asks_is_no_lot(line: str) -> None:
    assert not lots(heard(FIRST, line))


def test_another_number_keeps_what_waits() -> None:
    session = heard(FIRST, "and four of them 1 inch wide", "make it ten")
    assert session.answers["quantity"].values == (10,)
    assert "Still to order: 4" in "\n".join(session.hear("done").lines)


def test_what_waits_is_taken_up_again_from_a_log() -> None:
    kept: list[Event] = []
    session = Session(load_rulebase(), listener=kept.append)
    session.open()
    for line in (FIRST, "and four of them 1 inch wide"):
        session.hear(line)
    other = Session(load_rulebase())
    restored(other, fold(kept))
    assert [tuple(lot) for lot in lots(other)] == [(4, "1 inch wide")]


def test_colours_told_first_become_lots_of_their_own() -> None:
    session = heard("12 belts", "six black, six tan", "and two of the black ones 30 mm wide")
    assert session.answers["quantity"].values == (4,)
    assert sum(lot.many for lot in lots(session)) == 8


def test_a_danger_told_of_a_lot_is_asked_at_once() -> None:
    session = heard("4 cushion covers", "two of them hang from a branch for the kids to swing on")
    assert session.advice().dangers

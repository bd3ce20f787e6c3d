"""Corrections in any shape reach the answer that is meant, and are said back. Plain English, common practice."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from heard import heard

ROWS = tomllib.loads(Path(__file__).with_name("mended.toml").read_text(encoding="utf-8"))["rows"]


@pytest.mark.parametrize(("lines", "name", "value"), ROWS, ids=lambda v: str(v)[-44:])
def test_a_correction_changes_what_it_means(lines: str, name: str, value: str | float) -> None:
    session = heard(*lines.split("|"))
    answer = session.answers.get(name)
    held = answer.values[0] if answer and answer.values else ""
    assert held == (pytest.approx(value) if isinstance(value, float) else value)


def test_a_correction_is_said_with_what_it_was_before() -> None:
    said = " ".join(heard("belt for me, 40 mm wide, waist 96 cm").hear("so make the belt 35").lines)
    assert "35 mm" in said
    assert "before:" in said
    assert "40 mm" in said


def test_what_protects_is_dropped_only_after_a_yes() -> None:
    session = heard("belt for me, I have a nickel allergy")
    session.hear("drop the nickel allergy")
    assert session.answers["allergy"].values == ("nickel",)
    assert session.pending is not None
    session.hear("yes")
    assert "allergy" not in session.answers


def test_what_was_never_said_and_is_dropped_is_not_taken_for_a_wish() -> None:
    session = heard("messenger bag, 30 by 25 cm")
    said = " ".join(session.hear("drop the zip").lines + session.hear("scrap the lining").lines)
    assert "zip" not in str(session.answers.get("hardware", ""))
    assert "lining" not in session.answers or session.answers["lining"].values == ("none",), said


def test_two_answers_that_may_be_meant_are_asked_by_number() -> None:
    session = heard("messenger bag, 30 by 30 cm")
    session.hear("not 30 but 34")
    if session.pending is not None:
        assert "1 the" in session.prompt()
        session.hear("2")
    assert sorted(session.answers[n].values[0] for n in ("width", "height")) == [
        pytest.approx(300.0),
        pytest.approx(340.0),
    ]


def test_nothing_is_undone_by_undo_but_the_correction() -> None:
    session = heard("belt for me, 40 mm wide, waist 96 cm", "so make the belt 35")
    session.hear("undo")
    assert session.answers["strap_width"].values == (pytest.approx(40.0),)

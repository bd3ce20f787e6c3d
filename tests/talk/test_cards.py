"""Conversations played from cards (``cards/``): what was written, and how each was judged in its first run.

The cards were written by a hand that had read nothing of the program, played and judged by another, once, on the code
as it stood (2026-11-30). What was wrong was mended by cause afterwards, so the judgements tell how it was. What would
be right to sell is common practice, from memory.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).parent / "cards"


def rows(name: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))["card"]
    return found


@pytest.mark.parametrize(
    ("cards", "judged", "orders", "dangers"),
    [
        (
            "cards_third",
            "judged_third",
            {"right": 1, "partly": 10, "wrong": 5, "rightly refused": 3, "none": 1},
            {"met": 4, "late": 1},
        ),
        (
            "cards_fifth",
            "judged_fifth",
            {"right": 1, "partly": 6, "wrong": 2, "rightly refused": 1},
            {"met": 1, "missed": 1},
        ),
        (
            "cards_sixth",
            "judged_sixth",
            {"right": 1, "partly": 3, "wrong": 3, "rightly refused": 3},
            {"met": 2},
        ),
        ("cards_fourth", "judged_fourth", {"right": 1, "partly": 3, "wrong": 2, "wrongly refused": 2}, {"met": 2}),
    ],
)
def test_the_first_run_stands_as_it_was_judged(
    cards: str, judged: str, orders: dict[str, int], dangers: dict[str, int]
) -> None:
    found = rows(judged)
    assert sorted(row["number"] for row in rows(cards)) == sorted(row["number"] for row in found)
    assert Counter(row["order"] for row in found) == orders
    assert Counter(row["danger"] for row in found if row["danger"]) == dangers

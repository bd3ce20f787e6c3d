"""Forty ordinary wishes (``wishes/``): whole, judged in the words agreed, and no danger that was met lost since.

Written before their writer had read the reader, though by a hand that knew what was lost before, and judged by the
same hand: a weaker measure than the blind batches. Facts of the trade are common practice, from memory.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from test_batches import DANGERS, THINGS

from advisor import load_rulebase
from advisor.talk.recording import consulted

FOLDER = Path(__file__).parent / "wishes"
BASE = load_rulebase()


def lines(name: str) -> list[dict[str, Any]]:
    """The lines of one of the tables."""
    found: list[dict[str, Any]] = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))["line"]
    return found


TEXTS = {line["number"]: line["text"] for line in lines("ordinary")}
MET = [row["number"] for row in lines("ordinary_first") if row["danger"] == "met"]


@pytest.mark.parametrize("name", ["ordinary_first", "ordinary_last"])
def test_each_wish_is_judged(name: str) -> None:
    rows = lines(name)
    assert [row["number"] for row in rows] == list(TEXTS)
    assert {row["thing"] for row in rows} <= THINGS
    assert {row["danger"] for row in rows} <= DANGERS


@pytest.mark.parametrize("number", MET)
def test_no_danger_once_met_is_sold_since(number: int) -> None:
    advice = consulted(BASE, TEXTS[number], None).advice
    assert advice.no_order or advice.outcome is None

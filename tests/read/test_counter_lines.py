"""Forty first sentences of a week at a counter (``counter_lines/``), and that no danger met then is sold since.

Written and judged by a hand that had read nothing of the program, frozen before its first run (2026-11-29, one run of
each line). What was wrong was mended by cause afterwards, so the judgements tell how it was. Facts of the trade are
common practice, from memory.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from advisor import load_rulebase
from advisor.talk.recording import consulted

FOLDER = Path(__file__).parent / "counter_lines"
BASE = load_rulebase()


def rows(name: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))["line"]
    return found


LINES, JUDGED = rows("lines"), rows("judged")
MET = [row["text"] for row in JUDGED if row["danger"].startswith("met")]


def test_the_first_run_stands_as_it_was_judged() -> None:
    assert [(row["number"], row["text"]) for row in JUDGED] == [(row["number"], row["text"]) for row in LINES]
    assert sum(row["signed"] for row in JUDGED) == 15
    assert Counter(row["thing"].startswith("right") for row in JUDGED)[True] == 28
    assert len(MET) == 7


@pytest.mark.parametrize("text", [*MET, *(row["text"] for row in JUDGED if row["danger"].startswith("no order"))])
def test_no_danger_is_sold(text: str) -> None:
    advice = consulted(BASE, text, None).advice
    assert advice.no_order or advice.outcome is None

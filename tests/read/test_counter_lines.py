"""First sentences of ordinary weeks at a counter (``counter_lines/``), and that no danger met then is sold since.

Three sets of forty, each written by a hand that had read nothing of the program, frozen before its first run
(2026-11-29; twice 2026-11-30, where another hand of the kind judged) and run once. What was wrong was mended by cause
afterwards, so the judgements tell how it was. Facts of the trade are common practice, from memory.
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


SETS = {"lines": "judged", "lines_second": "judged_second", "lines_third": "judged_third"}
JUDGED = {lines: rows(judged) for lines, judged in SETS.items()}
NO_ORDER = ("met by a question", "met by a stop", "no order")
"""How a danger was told to be met before any order; what was met by a line of the order may be sold with it."""
TOLD = {"leather for blacksmith bellows, boards 90 cm long, old one crackt": "bellows-stand-by-a-fire"}
"""Of what can be nowhere but beside the danger, the rule that tells it on the order; nobody is asked."""
MET = [
    row["text"]
    for name, judged in JUDGED.items()
    for row in judged
    if row["danger"].startswith(NO_ORDER) or (name == "lines" and row["danger"].startswith("met"))
]


@pytest.mark.parametrize(
    ("name", "signed", "right", "met"), [("lines", 15, 28, 7), ("lines_second", 3, 23, 14), ("lines_third", 7, 27, 10)]
)
def test_the_first_run_stands_as_it_was_judged(name: str, signed: int, right: int, met: int) -> None:
    numbered = [(row["number"], row["text"]) for row in rows(name)]
    assert [(row["number"], row["text"]) for row in JUDGED[name]] == numbered
    assert sum(row["signed"] for row in JUDGED[name]) == signed
    assert Counter(row["thing"].startswith("right") for row in JUDGED[name])[True] == right
    assert sum(row["danger"].startswith("met") for row in JUDGED[name]) == met


@pytest.mark.parametrize("text", MET)
def test_no_danger_is_sold(text: str) -> None:
    advice = consulted(BASE, text, None).advice
    if text in TOLD:
        assert TOLD[text] in {reason.rule for reason in advice.outcome_reasons}
    else:
        assert advice.no_order or advice.outcome is None

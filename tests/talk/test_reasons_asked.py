"""A question about reasons is answered in at most five lines and changes no answer; what is said is common practice."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from heard import heard
from plain import sampled

from advisor.talk.commands import KEEP
from advisor.write.short_reasons import MOST_LINES

TABLE = tomllib.loads((Path(__file__).parent / "reasons_asked.toml").read_text(encoding="utf-8"))["asked"]
RAISED = "raised"
COLUMNS = 80


@pytest.mark.parametrize("row", sampled(TABLE, 3), ids=lambda row: f"{row['thing'][:24]}: {row['ask'][:40]}")
def test_a_reason_is_told_shortly_and_changes_nothing(row: dict[str, str]) -> None:
    session = heard(row["thing"])
    before = dict(session.answers)
    lines = session.hear(row["ask"]).lines
    said = " ".join(lines)
    assert all(len(line) <= COLUMNS for line in lines)
    if "raises" in row:
        assert {n: a for n, a in session.answers.items() if n != RAISED} == {
            n: a for n, a in before.items() if n != RAISED
        }
        known = before[RAISED].values if RAISED in before else ()
        assert set(row["raises"]) <= set(session.answers[RAISED].values) - set(known)
        return
    assert dict(session.answers) == before
    told = said.replace(KEEP, "")
    assert re.search(row["says"], told, re.IGNORECASE), said
    assert "not" not in row or not re.search(row["not"], told, re.IGNORECASE), said
    assert len(lines) <= MOST_LINES, said

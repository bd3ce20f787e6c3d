"""Precision and recall of the facts beside the thing: ``python tests/read/measure_facts.py [0|1|2]``.

A fact is one value of one attribute, an end of a range or an open choice; the thing asked for is not among them.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from advisor import load_rulebase
from advisor.read.reader import read_sentence
from advisor.rulebase.models import RuleBase

TABLE = Path(__file__).with_name("facts.toml")


class Tally(NamedTuple):
    """How many facts were read, marked, and both; each difference in words."""

    read: int
    marked: int
    right: int
    wrong: tuple[str, ...]

    def __str__(self) -> str:
        precision, recall = self.right / max(1, self.read), self.right / max(1, self.marked)
        return f"precision {self.right}/{self.read} = {precision:.3f}, recall {self.right}/{self.marked} = {recall:.3f}"


def rows(batch: int) -> list[dict[str, Any]]:
    """The rows of the table that the words were written with (0), and those held out at first (1) and later (2)."""
    table: list[dict[str, Any]] = tomllib.loads(TABLE.read_text(encoding="utf-8"))["sentence"]
    return [row for row in table if int(row.get("held", 0)) == batch]


def marked(row: Mapping[str, Any]) -> set[tuple[str, ...]]:
    """What a row says may be read, flat."""
    facts: set[tuple[str, ...]] = {
        (name, said(v)) for name, vs in row["facts"].items() for v in (vs if isinstance(vs, list) else [vs])
    }
    facts |= {("hint", name) for name in row.get("hints", ())}
    facts |= {("open", name, v) for name, values in row.get("open", {}).items() for v in values}
    return facts | {("leather", name, said(v)) for name, v in row.get("leather", {}).items()}


def heard(rulebase: RuleBase, row: Mapping[str, Any]) -> set[tuple[str, ...]]:
    """What the reader takes from a row, flat; of a leather only the points that the row marks.

    Dangers are looked for in the whole text and are kept in a table of their own.
    """
    reading = read_sentence(rulebase, row["say"])
    read = {u.attribute for u in reading.understood} - {"item"}
    facts: set[tuple[str, ...]] = {(name, said(v)) for name in read for v in reading.answers[name].values}
    facts |= {("range", name, said(end)) for name, ends in reading.ranges.items() for end in ends if end is not None}
    facts |= {("open", name, v) for name, values in reading.choices_open.items() if name != "item" for v in values}
    facts |= {("hint", name) for name in reading.hints}
    weight = reading.proposal.weight
    if "weight" in row.get("leather", {}) and weight:
        facts.add(("leather", "weight", said(weight.low)))
    return facts


def tally(rulebase: RuleBase, table: Iterable[Mapping[str, Any]]) -> Tally:
    """The reading of a table against its marks."""
    read = count = right = 0
    wrong = []
    for row in table:
        want, got = marked(row), heard(rulebase, row)
        read, count, right = read + len(got), count + len(want), right + len(want & got)
        if want != got:
            wrong.append(f"{row['say']!r}: missed {sorted(want - got)}, made up {sorted(got - want)}")
    return Tally(read, count, right, tuple(wrong))


def said(value: object) -> str:
    """A value as it is compared."""
    return value if isinstance(value, str) else f"{float(str(value)):g}"


if __name__ == "__main__":
    found = tally(load_rulebase(), rows(int(sys.argv[1]) if sys.argv[1:] else 0))
    print(found, *found.wrong, sep="\n  ")

"""Precision and recall of the facts beside the thing: ``python tests/read/measure_facts.py TABLE``.

TABLE is 0, 1 or 2, more or held, spoken or spoken-held.

A fact is one value of one attribute, an end of a range or an open choice; the thing asked for is not among them. In the
second table (``more``, and ``held`` for its held rows) every point said of the leather is a fact too. The rule base
names plain "veg tan" among the words of one leather, so the wish for that one counts as the group that was marked.
"""

from __future__ import annotations

import re
import sys
import tomllib
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from measure_reading import OF_A_KIND

from advisor import load_rulebase
from advisor.leather.units import parse_quantity
from advisor.read.reader import read_sentence
from advisor.rulebase.models import RuleBase

TABLE = Path(__file__).with_name("facts.toml")
MORE = Path(__file__).with_name("facts_more.toml")
SPOKEN = Path(__file__).with_name("facts_spoken.toml")
MM_PER = {"mm": 1.0, "oz": 25.4 / 64}


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
        (name, said(v)) for name, vs in row.get("facts", {}).items() for v in (vs if isinstance(vs, list) else [vs])
    }
    facts |= {("hint", name) for name in row.get("hints", ())}
    facts |= {("open", name, v) for name, values in row.get("open", {}).items() for v in values}
    return facts | {("leather", name, said(v)) for name, v in row.get("leather", {}).items()}


def heard(rulebase: RuleBase, row: Mapping[str, Any]) -> set[tuple[str, ...]]:
    """What the reader takes from a row, flat; of a leather only the points that the row marks.

    Dangers are looked for in the whole text and are kept in a table of their own.
    """
    reading = read_sentence(rulebase, row["say"])
    read = {u.attribute for u in reading.understood if not u.value} - {"item"} - OF_A_KIND
    facts: set[tuple[str, ...]] = {(name, said(v)) for name in read for v in reading.answers[name].values}
    facts |= {("range", name, said(end)) for name, ends in reading.ranges.items() for end in ends if end is not None}
    facts |= {("open", name, v) for name, values in reading.choices_open.items() if name != "item" for v in values}
    facts |= {("hint", name) for name in reading.hints}
    weight = reading.proposal.weight
    if "weight" in row.get("leather", {}) and weight:
        facts.add(("leather", "weight", said(weight.low)))
    return facts


def more_rows(held: bool, path: Path = MORE) -> list[dict[str, Any]]:
    """The rows of the second table (or of that at ``path``): those the words were written with, or those held out."""
    table: list[dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))["sentence"]
    return [row for row in table if bool(row.get("held")) == held]


def marked_more(row: Mapping[str, Any]) -> set[tuple[str, ...]]:
    """What a row of the second table says may be read, flat."""
    facts = marked({**row, "leather": {}})
    facts |= {("range", name, said(end)) for name, ends in row.get("ranges", {}).items() for end in ends}
    facts |= {(kind, name) for kind in ("asks", "refused", "sizes", "parts") for name in row.get(kind, ())}
    if "around" in row:
        facts.add(("around", said(round(row["around"]))))
    for name, value in row.get("leather", {}).items():
        if name == "weight":
            ends, unit = value.split(" ")
            facts.add(("weight", *(said(round(float(e) * MM_PER[unit], 1)) for e in ends.split("-") if e)))
        else:
            facts.add(_said_of_leather(name, str(value)))
    return facts


def _said_of_leather(name: str, value: str) -> tuple[str, ...]:
    """A point of the leather as it is compared: a form and the cut that it is are one, areas are in square feet."""
    if name == "area":
        return ("leather", name, re.sub(r"\s|sqft|sq ft|sf", "", value))
    return ("leather", "form" if name == "cut" else name, value)


def heard_more(rulebase: RuleBase, row: Mapping[str, Any]) -> set[tuple[str, ...]]:
    """What is shown back as understood of a row, flat, with every point of the leather."""
    reading = read_sentence(rulebase, row["say"])
    read = {u.attribute for u in reading.understood if not u.value} - {"item"} - OF_A_KIND
    facts: set[tuple[str, ...]] = {(name, said(v)) for name in read for v in reading.answers[name].values}
    facts |= {("range", name, said(end)) for name, ends in reading.ranges.items() for end in ends if end is not None}
    facts |= {("open", name, v) for name, values in reading.choices_open.items() if name != "item" for v in values}
    if "hints" in row:
        facts |= {("hint", name) for name in reading.hints}
    for point in (u.value for u in reading.understood if u.value):
        facts |= _point(point)
    if ("wished_tannage", "veg_tooling") in facts and row.get("leather", {}).get("tannage") == "vegetable":
        facts.remove(("wished_tannage", "veg_tooling"))
        facts.add(("leather", "tannage", "vegetable"))
    return facts


def _point(value: str) -> set[tuple[str, ...]]:
    """One point of the leather as it is shown back, flat."""
    name, _, rest = value.partition(" ")
    if name == "size":
        return {("sizes", rest)}
    if name in ("around", "refused", "sizes", "parts"):
        return {(name, said(round(float(rest.removesuffix(" mm"))))) if name == "around" else (name, rest)}
    if name in ("width", "length", "height", "depth"):
        return {(name, said(parse_quantity(rest, "mm")))}
    if value.startswith("to ask for: "):
        return {("asks", value.removeprefix("to ask for: ").replace(" ", "_"))}
    if name in ("tannage", "grain", "form", "cut", "temper"):
        return {_said_of_leather(name, rest.replace(" ", "_"))}
    if " x " in value:
        count, _, form = value.partition(" x ")
        return {("leather", "count", count), ("leather", "form", form.replace(" ", "_"))}
    if " mm" in value:
        return {("weight", *(said(round(float(n), 1)) for n in re.findall(r"[0-9.]+(?= mm)", value)))}
    return {_said_of_leather("area", value)}


def tally(
    rulebase: RuleBase,
    table: Iterable[Mapping[str, Any]],
    marks: Callable[[Mapping[str, Any]], set[tuple[str, ...]]] = marked,
    hear: Callable[[RuleBase, Mapping[str, Any]], set[tuple[str, ...]]] = heard,
) -> Tally:
    """The reading of a table against its marks."""
    read = count = right = 0
    wrong = []
    for row in table:
        want, got = marks(row), hear(rulebase, row)
        read, count, right = read + len(got), count + len(want), right + len(want & got)
        if want != got:
            wrong.append(f"{row['say']!r}: missed {sorted(want - got)}, made up {sorted(got - want)}")
    return Tally(read, count, right, tuple(wrong))


def said(value: object) -> str:
    """A value as it is compared."""
    return value if isinstance(value, str) else f"{float(str(value)):g}"


if __name__ == "__main__":
    asked = sys.argv[1] if sys.argv[1:] else "0"
    if asked.isdecimal():
        found = tally(load_rulebase(), rows(int(asked)))
    else:
        path = SPOKEN if asked.startswith("spoken") else MORE
        found = tally(load_rulebase(), more_rows(asked.endswith("held"), path), marked_more, heard_more)
    print(found, *found.wrong, sep="\n  ")

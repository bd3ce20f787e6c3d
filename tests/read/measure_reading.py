"""Precision and recall of the reading over the kept tables of sentences: ``python tests/read/measure_reading.py``.

A fact is one value of one attribute. A wrong fact in a group where a slip can hurt somebody, or about a thing that a
life hangs on, counts as a safety error whether it was missed or made up; so does a danger that was missed. What is
raised is no fact, it is measured as a danger.

The marks of a row: ``facts``; ``thing``, a thing known without a recipe; ``asked``, things that must be among the
candidates where nothing is taken; ``ranges`` and ``open``; ``danger``, the concepts raised, each with its state where
that is not open; ``fault``, why the reading is known to be wrong where the marks are right. Such a row counts like
any other.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from advisor import load_rulebase
from advisor.read.danger import RAISED
from advisor.read.lexicon import lexicon
from advisor.read.purposes import purposes
from advisor.read.reader import Reading, read_sentence

TABLES = ("sentences.toml", "sentences_counter.toml", "sentences_safety.toml", "sentences_later.toml")
SAFETY_GROUPS = ("people", "limits", "load", "wet")
BASE = load_rulebase()
OF_A_KIND = frozenset(purposes(BASE).asked.values())
"""What a point of the leather comes to for rules ("chrome": those makers use); the point itself is what was said."""
NEGATING = ("no ", "not ", "n't", "never", "without", "free", "neither", "nor ", "avoid", "instead", "hate", "cannot")


def table(name: str) -> list[dict[str, Any]]:
    """The rows of one table of sentences."""
    rows: list[dict[str, Any]] = tomllib.loads(Path(__file__).with_name(name).read_text(encoding="utf-8"))["sentence"]
    return rows


@dataclass
class Score:
    """What was read and what should have been, counted; ``wrong`` says each difference in words."""

    read: int = 0
    expected: int = 0
    right: int = 0
    safety_errors: int = 0
    negation_errors: int = 0
    things_wrong: int = 0
    dangers_missed: int = 0
    false_alarms: int = 0
    wrong: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"precision {self.right}/{self.read} = {self.right / max(1, self.read):.4f}, "
            f"recall {self.right}/{self.expected} = {self.right / max(1, self.expected):.4f}, "
            f"safety errors {self.safety_errors}, negation errors {self.negation_errors}, "
            f"things wrong {self.things_wrong}, dangers missed {self.dangers_missed}, false alarms {self.false_alarms}"
        )


def expected_facts(row: Mapping[str, Any]) -> set[tuple[str, ...]]:
    """The facts, ranges and open choices that a row expects, flat."""
    flat = {(n, str(v)) for n, vs in row["facts"].items() for v in _each(vs)}
    flat |= {
        ("range", n, str(end), which)
        for n, ends in row.get("ranges", {}).items()
        for end, which in zip(map(_end, ends), ("low", "high"), strict=True)
        if end is not None
    }
    return flat | {("open", n, v) for n, vs in row.get("open", {}).items() for v in vs}


@cache
def read(text: str) -> Reading:
    """What is read of ``text`` by the shipped rule base, once for each process of the run; not to be changed."""
    return read_sentence(BASE, text)


def read_dangers(reading: Reading) -> set[str]:
    """The dangers of a reading as a row marks them: the concept, with its state where that is not open."""
    return {d.concept if d.state == "open" else f"{d.concept} {d.state}" for d in reading.dangers}


def thing_is_right(row: Mapping[str, Any], reading: Reading) -> bool:
    """Whether the thing that a row marks was taken, or nothing was and the things to be asked about are offered."""
    taken, candidates = reading.named.taken, {c.thing.slug for c in reading.named.candidates}
    recipe = row["facts"].get("item", "")
    expected = row.get("thing") or recipe
    if not expected:
        return taken is None and set(row.get("asked", ())) <= candidates
    return taken is not None and taken.thing.slug == expected and taken.thing.recipe == recipe


def measure(rows: Iterable[Mapping[str, Any]]) -> Score:
    """The score of the reading over ``rows``."""
    score = Score()
    for row in rows:
        reading = read(row["say"])
        want, got = expected_facts(row), facts_of(reading)
        score.read += len(got)
        score.expected += len(want)
        score.right += len(want & got)
        off = want ^ got
        safety = {
            f
            for f in off
            if f[:2] in lexicon(BASE).grave
            or (f[0] in BASE.attributes and f[0] != "item" and BASE.attributes[f[0]].group in SAFETY_GROUPS)
        }
        raised, marked = read_dangers(reading), set(row.get("danger", ()))
        missed, alarms = {d for d in marked - raised if not d.endswith(" ruled_out")}, raised - marked
        score.dangers_missed += len(missed)
        score.false_alarms += len(alarms)
        score.things_wrong += not thing_is_right(row, reading)
        score.safety_errors += len(safety)
        if any(word in row["say"].lower() for word in NEGATING):
            score.negation_errors += len(got - want)
        if off or missed or alarms or not thing_is_right(row, reading):
            score.wrong.append(
                f"{row['say']!r}: missed {sorted(want - got)}, made up {sorted(got - want)}, "
                f"dangers missed {sorted(missed)}, made up {sorted(alarms)}, thing {thing_said(reading)}"
            )
    return score


def thing_said(reading: Reading) -> str:
    """What was made of the thing, in a few words."""
    named = reading.named
    if named.taken:
        return f"taken {named.taken.thing.slug}"
    return f"asked {', '.join(c.thing.slug for c in named.candidates) or 'nothing'}"


def facts_of(reading: Reading) -> set[tuple[str, ...]]:
    """The facts, ranges and open choices of a reading, flat; what is raised is none of them."""
    answers = {n: a.values for n, a in reading.answers.items() if n not in OF_A_KIND | {RAISED}}
    flat: set[tuple[str, ...]] = {(n, _said(v)) for n, values in answers.items() for v in values}
    for n, ends in reading.ranges.items():
        flat |= {("range", n, _said(e), w) for e, w in zip(ends, ("low", "high"), strict=True) if e is not None}
    return flat | {("open", n, v) for n, vs in reading.choices_open.items() for v in vs}


def _each(value: Any) -> list[str]:
    return [_said(v) for v in (value if isinstance(value, list) else [value])]


def _said(value: Any) -> str:
    return value if isinstance(value, str) else f"{float(value):g}" if float(value) < 1e5 else str(value)


def _end(value: Any) -> str | None:
    return None if value == "" else _said(value)


if __name__ == "__main__":
    for name in TABLES:
        found = measure(table(name))
        print(f"{name}: {found}", *found.wrong, sep="\n  ")

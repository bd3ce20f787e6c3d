"""One slip in a sentence with a danger: the danger is still raised and the thing is not silently another.

Every kept sentence that raises a danger is spoilt at every word in four ways. What is lost or changed is counted, the
shares allowed were measured first and then set a little above what was found. A slip of the keyboard is a letter more,
less, other or two swapped (Damerau, "A technique for computer detection and correction of spelling errors", 1964, from
memory); two swapped is the one tried here.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest
from measure_reading import TABLES, table

from advisor import load_rulebase
from advisor.read.danger import RAISED
from advisor.read.reader import Reading, read_sentence
from advisor.read.sentence import Sentence

BASE = load_rulebase()
WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*")
TEXTS = [
    row["say"]
    for name in TABLES
    for row in table(name)
    if any(not d.endswith("ruled_out") for d in row.get("danger", ()))
]
FRESH = tomllib.loads((Path(__file__).parent / "dangers_fresh.toml").read_text(encoding="utf-8"))
# Of the dangers in ordinary speech every fourth, since each word is spoilt four times.
TEXTS += [line["text"] for line in FRESH["danger"]][::4]


class Spoilt(NamedTuple):
    """A sentence with one slip, and the stretch of the written sentence that it touched."""

    text: str
    start: int
    end: int

    def touches(self, start: int, end: int) -> bool:
        """Whether the slip touched a stretch of the written sentence."""
        return self.start < end and start < self.end


def dropped(text: str) -> Iterator[Spoilt]:
    """Each word left out."""
    for m in WORD.finditer(text):
        yield Spoilt(text[: m.start()] + text[m.end() :], *m.span())


def doubled(text: str) -> Iterator[Spoilt]:
    """Each word said twice."""
    for m in WORD.finditer(text):
        yield Spoilt(f"{text[: m.end()]} {m.group()}{text[m.end() :]}", *m.span())


def swapped(text: str) -> Iterator[Spoilt]:
    """Each word changed with the next one."""
    words = list(WORD.finditer(text))
    for a, b in pairwise(words):
        between = text[a.end() : b.start()]
        yield Spoilt(text[: a.start()] + b.group() + between + a.group() + text[b.end() :], a.start(), b.end())


def misspelt(text: str) -> Iterator[Spoilt]:
    """Each word of six letters or more with two letters in its middle swapped."""
    for m in WORD.finditer(text):
        word = m.group()
        k = len(word) // 2
        if len(word) >= 6 and word[k - 1] != word[k]:
            slip = word[: k - 1] + word[k] + word[k - 1] + word[k + 1 :]
            yield Spoilt(text[: m.start()] + slip + text[m.end() :], *m.span())


class Count(NamedTuple):
    """How many sentences were spoilt, where a danger was lost and where another thing was taken.

    ``lost`` and ``changed`` are those of which the slip left the words alone that raised the danger, or named the
    thing; ``lost_within`` and ``changed_within`` the others.
    """

    tried: int
    lost: list[str]
    lost_within: list[str]
    changed: list[str]
    changed_within: list[str]


def raised(reading: Reading) -> set[str]:
    """The concepts raised."""
    return set(map(str, reading.answers[RAISED].values)) if RAISED in reading.answers else set()


def count(spoil: Callable[[str], Iterator[Spoilt]], every: int) -> Count:
    """What slips of one kind do to each so many-th sentence."""
    found = Count(0, [], [], [], [])
    tried = 0
    for text in TEXTS[::every]:
        before = read_sentence(BASE, text)
        for spoilt in spoil(text):
            tried += 1
            after = read_sentence(BASE, spoilt.text)
            gone = raised(before) - raised(after)
            for concept in sorted(gone):
                touched = any(spoilt.touches(d.start, d.end) for d in before.dangers if d.concept == concept)
                (found.lost_within if touched else found.lost).append(f"{spoilt.text!r}: {concept}")
            old, new = before.named.taken, after.named.taken
            if old and new and old.thing.slug != new.thing.slug:
                touched = spoilt.touches(*Sentence(BASE, text).span(old.first, old.last))
                change = f"{spoilt.text!r}: {old.thing.slug} -> {new.thing.slug}"
                (found.changed_within if touched else found.changed).append(change)
    return found._replace(tried=tried)


@pytest.mark.parametrize("every", [6, pytest.param(1, marks=pytest.mark.slow)])
@pytest.mark.parametrize(
    ("spoil", "lost", "lost_within", "changed_within"),
    # "Seat line zip" is no English any more, and what is left of "zip line seat" without "zip" says no danger.
    [
        (doubled, 0.005, 0.005, 0.005),
        (swapped, 0.01, 0.19, 0.03),
        (misspelt, 0.005, 0.07, 0.01),
        (dropped, 0.01, 0.35, 0.04),
    ],
)
def test_one_slip_loses_no_danger_and_changes_no_thing(
    spoil: Callable[[str], Iterator[Spoilt]], lost: float, lost_within: float, changed_within: float, every: int
) -> None:
    """Elsewhere at most one in a hundred; within the words themselves what was measured."""
    found = count(spoil, every)
    shares = [len(part) for part in found[1:]]
    print(
        f"\n{spoil.__name__}: {found.tried} tried; dangers lost elsewhere {shares[0]} and within their words "
        f"{shares[1]}, things changed elsewhere {shares[2]} and within their names {shares[3]}"
    )
    assert found.tried >= 250 / every
    assert len(found.lost) <= lost * found.tried, found.lost
    assert len(found.lost_within) <= lost_within * found.tried, found.lost_within
    assert len(found.changed) <= 0.01 * found.tried, found.changed
    assert len(found.changed_within) <= changed_within * found.tried, found.changed_within

"""A number with its unit: what every way to read one is made of."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from ..leather.units import UNIT
from .number_words import Number, Numbers

# What people call several of a unit: how many of which.
MULTIPLES = {
    **dict.fromkeys(("fortnight", "fortnights"), (2.0, "week")),
    **dict.fromkeys(("yard", "yards", "yd", "yds"), (3.0, "ft")),
    **dict.fromkeys(("mil", "mils"), (1.0, "mm")),
    **dict.fromkeys(("sf", "s.f."), (1.0, "sqft")),
}
_LENGTHS = "millimet(?:er|re)s?|centimet(?:er|re)s?|met(?:er|re)s?|inch(?:es)?|in|foot|feet|ft|mm|cm|dm|m"
DIMENSIONS = frozenset(("wide", "long", "thick", "deep", "high", "tall", "round", "across", "around"))
_CLOSING = DIMENSIONS | {"please", "thanks"}
_GLUED = frozenset(("ish", "pr", "prs"))
"""What may be written on to a number and is no part of it: "3pr" are three pairs."""
JOINS = frozenset(("-", "to", "or"))
_NO_LENGTH = "it is an area or a volume, not a length"


class Size(NamedTuple):
    """A number found: its kind, where it stands, its values with their units, and why it is unreadable if so.

    ``at`` is the index of the first word after it. The kinds are age, box, feet, pounds, span, some, times, size, bare,
    clothing and money.
    """

    kind: str
    start: int
    end: int
    values: tuple[float, ...]
    units: tuple[str, ...]
    wrong: str
    at: int

    @property
    def unit(self) -> str:
        """The last unit written, which holds for all values without their own."""
        return next((u for u in reversed(self.units) if u), "")


@cache
def unit_pattern() -> re.Pattern[str]:
    """Compiled when the first text is read, since the first prompt need not wait for it."""
    own = "|".join(sorted(MULTIPLES, key=len, reverse=True))
    return re.compile(rf"[\s-]*(?:(?:degrees?|deg\.?|°)\s*)?(''|(?:{own})\b|{UNIT})", re.ASCII)


@cache
def _power_pattern() -> re.Pattern[str]:
    """A unit of area or volume, whether or not anything here is measured in it."""
    raised = r"(?:\s?(?:\^|\*\*)\s?[23]|[23²³]|\s+(?:squared|cubed))(?!\w)"
    return re.compile(rf"[\s-]*(?:(?:sq|square|cubic)\.?[\s-]*(?:{_LENGTHS})\b|(?:{_LENGTHS}){raised})")


class Unit(NamedTuple):
    """A unit as it was written, how many of it one is, the token after it, and why it cannot be used if so."""

    name: str
    last: int
    factor: float = 1.0
    wrong: str = ""


class Part(NamedTuple):
    """A number with the unit written after it (or none), from ``start`` in the text to the token ``last``."""

    number: Number
    value: float
    unit: str
    start: int
    last: int
    wrong: str = ""


Found = tuple[Size, int] | None


class Parts:
    """The numbers of one text with their units, by the token at which they begin."""

    def __init__(self, text: str) -> None:
        self.text, self.said = text, Numbers(text)
        self._ended = -1
        # Each way to read a number asks for the same ones.
        self._units: dict[int, Unit | None] = {}
        self._parts: dict[tuple[int, bool], Part | None] = {}

    def _after(self, pos: int) -> int:
        """The first token at or after a place in the text."""
        return bisect_left(self.said.tokens, pos, key=lambda token: token.start)

    def _unit(self, last: int) -> Unit | None:
        """The unit that follows the token before ``last``."""
        if last not in self._units:
            self._units[last] = self._unit_read(last)
        return self._units[last]

    def _unit_read(self, last: int) -> Unit | None:
        pos = self.said.end(last)
        if power := _power_pattern().match(self.text, pos):
            name = re.sub(r"[\^*]|\s(?=\S$)", "", power[0].lstrip(" -"))
            known = re.fullmatch(UNIT, name)
            return Unit(name, self._after(power.end()), wrong="" if known else _NO_LENGTH)
        m = unit_pattern().match(self.text, pos)
        if not m:
            return None
        name, following = m[1], self.text[m.end() : m.end() + 1]
        spaced = m.start(1) > pos
        if name[0] in "'\"" and following.isalpha() and (spaced or (name == "'" and following != "x")):
            return None
        if name.isalpha() and re.match(r"'s\b", self.text[m.end() : m.end() + 3]):
            # "One foot's bigger" has a foot, not a length.
            return None
        if re.match(r"/[a-z]", self.text[m.end() : m.end() + 2]):
            return Unit(name, self._after(m.end()) + 2, wrong="it is a rate")
        factor, name = MULTIPLES.get(name, (1.0, name))
        return Unit(name, self._after(m.end()), factor)

    def _starts(self, i: int) -> bool:
        """Whether a number may begin at ``i``: not in the middle of a word, a code or another number."""
        if not self.said.glued(i):
            return True
        before = self.text[self.said.tokens[i].start - 1]
        further = self.text[self.said.tokens[i].start - 2 : self.said.tokens[i].start - 1]
        if before in "/,":
            return further.isalpha() or further in ('"', "'")
        return not (before.isalnum() or before in "._")

    def _part(self, i: int) -> Part | None:
        """A number with its unit, if one is written; a minus makes it negative."""
        key = (i, i == self._ended)
        if key not in self._parts:
            self._parts[key] = self._part_read(i)
        return self._parts[key]

    def _part_read(self, i: int) -> Part | None:
        said = self.said
        signed = said.word(i) == "minus" or (
            said.word(i) == "-" and said.glued(i + 1) and not said.glued(i) and i != self._ended and self._starts(i)
        )
        at = i + signed
        if not signed and not self._starts(at):
            return None
        n = said.number(at)
        if n is None or n.ordinal:
            return None
        return self._measured(n, at, said.tokens[i].start, -1 if signed else 1)

    def _glued_part(self, i: int) -> Part | None:
        """As ``_part``, where digits may be glued to what stands before them: a dash, an "x", a mark of feet."""
        n = self.said.number(i) if self.said.kind(i) == "digits" and self.said.glued(i) else None
        return self._measured(n, i, self.said.tokens[i].start) if n else self._part(i)

    def _measured(self, n: Number, i: int, start: int, sign: int = 1) -> Part:
        """A number that begins at the token ``i``, with the unit after it."""
        said, of = self.said, n.last
        if n.part or n.wrong:
            of += said.word(of) == "of"
            of += said.word(of) in ("a", "an") or (of > n.last and said.word(of) == "one")
        unit = self._unit(of)
        if unit is None or (n.worded and self._preposition(unit)):
            wrong = n.wrong or self._tolerance(n.last)
            return Part(n, sign * n.value, "", start, n.last, wrong)
        wrong = n.wrong or unit.wrong or self._tolerance(unit.last)
        if n.comma and not wrong:
            shown = said.word(i)
            wrong = f"{shown} can be read two ways; write {shown.replace(',', '')} or {shown.replace(',', '.')}"
        return Part(n, sign * n.value * unit.factor, unit.name, start, unit.last, wrong)

    def _preposition(self, unit: Unit) -> bool:
        """ "Put a leather one in.": whether what follows a number that is spelt out is no unit."""
        return unit.name == "in" or (unit.name == "in." and self.said.word(unit.last) not in DIMENSIONS)

    def _tolerance(self, last: int) -> str:
        """Why a number cannot be taken that is said with a tolerance."""
        follows = self.text[self.said.end(last) : self.said.end(last) + 4].lstrip()
        return "a tolerance cannot be taken" if follows.startswith(("±", "+/-")) else ""

    def _whole(self, p: Part) -> bool:
        """Whether a number without a unit ends where it seems to: "2k" and "4ever" do not."""
        glued = self.said.glued(p.last) and self.said.kind(p.last) != "mark" and self.said.word(p.last) not in _GLUED
        return bool(p.unit) or not glued

    def _size_of(self, kind: str, parts: Sequence[Part], last: int, start: int | None = None) -> tuple[Size, int]:
        """The size that the parts make, and the token after it."""
        values, units = tuple(p.value for p in parts), tuple(p.unit for p in parts)
        wrong = next((p.wrong for p in parts if p.wrong), "")
        following = self.said.word(last)
        spaced = any(p.number.spaced for p in parts) and any(units)
        if spaced and not wrong and len(following) > 3 and following.endswith("s"):
            wrong = "the space can part two numbers"
        begin = parts[0].start if start is None else start
        return Size(kind, begin, self.said.end(last), () if wrong else values, units, wrong, 0), last

    def _second(self, first: Part, also: Sequence[str] = ()) -> Part | None:
        """The number joined to ``first`` by a dash, "to" or "or"."""
        if self.said.word(first.last) not in (*JOINS, *also) or not self._whole(first):
            return None
        return self._glued_part(first.last + 1) if self.said.word(first.last + 1) != "-" else None

    def _ends(self, i: int) -> list[Part]:
        """Two numbers that are the ends of one span, or nothing."""
        between = self.said.word(i) == "between"
        first = self._part(i + between)
        second = self._second(first, ("and",) if between else ()) if first else None
        if not first or not second or (between and self.said.word(first.last) != "and"):
            return []
        return [first, second]

    def _closed(self, i: int) -> bool:
        """Whether nothing at ``i`` can be what a number before it counts."""
        return self.said.kind(i) in ("", "mark") or self.said.word(i) in _CLOSING

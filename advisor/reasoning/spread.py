"""What may still be known under one name: words, a span of numbers, or a pattern not yet fixed.

A spread stands for every completion of the open answers at once. It may be too wide, never too
narrow: whatever one completion comes to lies in it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import IntEnum

from ..rulebase.models import Attribute, Operator, Value


class Status(IntEnum):
    """Whether something holds for no, some or all completions; a conjunction is the least of its parts."""

    NO = 0
    MAYBE = 1
    YES = 2

    @classmethod
    def of(cls, holds: bool) -> Status:
        """The status of what is certain."""
        return cls.YES if holds else cls.NO


NO, MAYBE, YES = Status.NO, Status.MAYBE, Status.YES
_TURNED = (YES, MAYBE, NO)


def turned(status: Status) -> Status:
    """The status of the contrary."""
    return _TURNED[status]


@dataclass(frozen=True, slots=True)
class Words:
    """Values of a choice or set. ``may``: some completion has them; ``must``: every one that knows it has.

    ``nothing``: some completion leaves it unknown. ``own`` and ``guessed``: whether it is only the
    item's own habit, and whether it is a supposition that the item did not make.
    """

    may: frozenset[Value]
    must: frozenset[Value]
    nothing: bool = False
    own: Status = NO
    guessed: Status = NO

    @property
    def something(self) -> bool:
        """Some completion knows it."""
        return bool(self.may)

    @property
    def fixed(self) -> tuple[Value, ...] | None:
        """The values that every completion agrees on, none if all leave it unknown; None if they differ."""
        if not self.may:
            return ()
        return tuple(sorted(self.may, key=str)) if self.may == self.must and not self.nothing else None


@dataclass(frozen=True, slots=True)
class Span:
    """A number from ``low`` to ``high`` in the unit of its name; no number at all if ``low`` > ``high``."""

    low: float
    high: float
    nothing: bool = False
    own: Status = NO
    guessed: Status = NO

    @property
    def something(self) -> bool:
        """Some completion knows it."""
        return self.low <= self.high

    @property
    def fixed(self) -> tuple[Value, ...] | None:
        """The number that every completion agrees on, none if all leave it unknown; None if they differ."""
        if self.low > self.high:
            return ()
        return (self.low,) if self.low == self.high and not self.nothing else None


Spread = Words | Span
EMPTY = float("inf"), float("-inf")


def unknown(attribute: Attribute | None, numeric: bool = False) -> Spread:
    """Known to nobody."""
    if numeric or (attribute is not None and attribute.numeric):
        return Span(*EMPTY, nothing=True)
    return Words(frozenset(), frozenset(), nothing=True)


def point(values: Iterable[Value], numeric: bool, own: Status = NO, guessed: Status = NO) -> Spread:
    """Known for certain; unknown for certain if there is no value."""
    found = tuple(values)
    if numeric:
        ends = (float(found[0]), float(found[0])) if found else EMPTY
        return Span(*ends, not found, own, guessed)
    held = frozenset(found)
    return Words(held, held, not found, own, guessed)


def whole(attribute: Attribute, texts: Iterable[Value] = ()) -> Spread:
    """Anything that can be answered, or nothing. ``texts`` are words that matter for a free text."""
    if attribute.numeric:
        low = attribute.low if attribute.low is not None else float("-inf")
        high = attribute.high if attribute.high is not None else float("inf")
        return Span(low, high, True, MAYBE, MAYBE)
    values = frozenset(attribute.values) if attribute.values else frozenset((*texts, "\0"))
    return Words(values, frozenset(), True, MAYBE, MAYBE)


def joined(one: Spread, other: Spread) -> Spread:
    """Every completion of either."""
    if not one.something or not other.something:
        return possibly_nothing(one if one.something else other)
    own = one.own if one.own == other.own else MAYBE
    guessed = one.guessed if one.guessed == other.guessed else MAYBE
    if isinstance(one, Span) and isinstance(other, Span):
        return Span(min(one.low, other.low), max(one.high, other.high), one.nothing or other.nothing, own, guessed)
    assert isinstance(one, Words)
    assert isinstance(other, Words)
    return Words(one.may | other.may, one.must & other.must, one.nothing or other.nothing, own, guessed)


def possibly_nothing(spread: Spread) -> Spread:
    """The same, or unknown."""
    return replace(spread, nothing=True)


def within(inner: Spread, outer: Spread) -> bool:
    """Every completion of ``inner`` is one of ``outer``."""
    if inner.nothing and not outer.nothing:
        return False
    if isinstance(inner, Span):
        return isinstance(outer, Span) and (
            not inner.something or (outer.low <= inner.low and inner.high <= outer.high)
        )
    assert isinstance(outer, Words)
    return inner.may <= outer.may and (not inner.something or outer.must <= inner.must)


def _rounded(value: float) -> float:
    return round(value, 3) + 0.0 if abs(value) != float("inf") else value


def test(spread: Spread, operator: Operator, values: tuple[Value, ...]) -> Status:
    """One premise about one name."""
    if operator == "known":
        return NO if not spread.something else MAYBE if spread.nothing else YES
    if operator == "unknown":
        return turned(test(spread, "known", values))
    if not spread.something:
        return NO
    if isinstance(spread, Span):
        holds = _span(spread, operator, tuple(_rounded(float(v)) for v in values))
    else:
        holds = _words(spread, operator, values)
    return MAYBE if holds == YES and spread.nothing else holds


def _words(spread: Words, operator: Operator, values: tuple[Value, ...]) -> Status:
    may, must = spread.may, spread.must
    if operator == "lacks":
        return NO if values[0] in must else MAYBE if values[0] in may else YES
    if operator == "is not":
        hit, sure = may - {values[0]}, must - {values[0]}
        return NO if not hit else YES if sure or values[0] not in may else MAYBE
    assert operator in ("is", "in")
    hit = may.intersection(values)
    return NO if not hit else YES if len(hit) == len(may) or must.intersection(values) else MAYBE


def _span(spread: Span, operator: Operator, values: tuple[float, ...]) -> Status:
    low, high = _rounded(spread.low), _rounded(spread.high)
    value = values[0]
    if operator in ("is", "in"):
        if low == high:
            return YES if low in values else NO
        return MAYBE if any(low <= v <= high for v in values) else NO
    if operator == "is not":
        return turned(_span(spread, "is", values))
    return compared(low, high, operator, value, value)


def compared(low: float, high: float, operator: Operator, other_low: float, other_high: float) -> Status:
    """A comparison between two spans."""
    if operator in (">", ">="):
        low, high, other_low, other_high = other_low, other_high, low, high
        operator = "<" if operator == ">" else "<="
    if operator == "<":
        return YES if high < other_low else MAYBE if low < other_high else NO
    return YES if high <= other_low else MAYBE if low <= other_high else NO

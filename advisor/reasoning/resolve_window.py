"""A window resolved from bounds: between which ends a quantity lies.

A bound stands always, perhaps or never and lies between two numbers, so that one resolve serves a consultation, of
which all is certain, and a run on open answers. Must-bounds make the feasible window; the others narrow it in the order
of their concern, and one that would leave nothing is set aside.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ..rulebase.models import CONCERNS, FORCES, Rule
from .spread import MAYBE, NO, YES, Span, Status

NEVER, ALWAYS = float("inf"), float("-inf")


class Bound(NamedTuple):
    """An at-least or at-most that may stand, at ``low`` to ``high`` mm."""

    rule: Rule
    side: str
    stands: Status
    low: float
    high: float


class Margins(NamedTuple):
    """Where the ends of a window can lie, mm; infinite where there may be none.

    ``feasible`` are the ends by must-bounds alone, ``ends`` the advised ones; ``clash``: no thickness meets all.
    ``fits`` tells of each bound, in the order given, whether it leaves something; one that does not is set aside.
    """

    feasible: tuple[Span, Span]
    ends: tuple[Span, Span]
    clash: Status
    fits: tuple[Status, ...]

    @property
    def middle(self) -> Span:
        """The thickness that is reckoned with: the middle of the window, or its only end."""
        if self.clash == YES:
            return Span(NEVER, ALWAYS, nothing=True)
        (low, high) = self.ends
        found: list[tuple[float, float]] = []
        nothing = self.clash != NO
        has_low, has_high = low.high != ALWAYS, high.low != NEVER
        if has_low and has_high:
            found.append((_mid(max(low.low, ALWAYS), high.low), _mid(low.high, high.high)))
        if has_low and high.high == NEVER:
            found.append((low.low, low.high))
        if has_high and low.low == ALWAYS:
            found.append((high.low, high.high))
        if low.low == ALWAYS and high.high == NEVER:
            nothing = True
        found = [(round(a, 2) if abs(a) != NEVER else a, round(b, 2) if abs(b) != NEVER else b) for a, b in found]
        if not found:
            return Span(NEVER, ALWAYS, nothing=True)
        return Span(min(a for a, _ in found), max(b for _, b in found), nothing)


def _mid(low: float, high: float) -> float:
    return (low + high) / 2 if abs(low) != NEVER and abs(high) != NEVER else (low if abs(low) == NEVER else high)


def end(span: Span) -> float | None:
    """An end that is certain, mm; None where there is none."""
    return span.low if abs(span.low) != NEVER else None


def resolve_window(bounds: Sequence[Bound]) -> Margins:
    """Between which ends the window can lie. ``bounds`` come in the order in which their rules fire."""
    low_from = low_to = ALWAYS
    high_from = high_to = NEVER
    fits = [YES] * len(bounds)
    for bound in bounds:
        if bound.rule.force != "must" or bound.stands == NO:
            continue
        sure = bound.stands == YES
        if bound.side == "at least":
            low_from = max(low_from, bound.low) if sure else low_from
            low_to = max(low_to, bound.high)
        else:
            high_to = min(high_to, bound.high) if sure else high_to
            high_from = min(high_from, bound.low)
    feasible = Span(low_from, low_to), Span(high_from, high_to)
    clash = YES if low_from > high_to else MAYBE if low_to > high_from else NO
    if clash == YES:
        return Margins(feasible, feasible, clash, tuple(fits))
    others = [(n, b) for n, b in enumerate(bounds) if b.rule.force != "must" and b.stands != NO]
    others.sort(key=lambda nb: (CONCERNS.index(nb[1].rule.concern), -FORCES.index(nb[1].rule.force)))
    for n, bound in others:
        if bound.side == "at least":
            # Set aside where it lies above the upper end.
            fits[n] = NO if bound.low > high_to else YES if bound.high <= high_from else MAYBE
            taken = min(fits[n], bound.stands)
            if taken != NO:
                low_from = max(low_from, bound.low) if taken == YES else low_from
                low_to = max(low_to, min(bound.high, high_to))
        else:
            fits[n] = NO if bound.high < low_from else YES if bound.low >= low_to else MAYBE
            taken = min(fits[n], bound.stands)
            if taken != NO:
                high_to = min(high_to, bound.high) if taken == YES else high_to
                high_from = min(high_from, max(bound.low, low_from))
    return Margins(feasible, (Span(low_from, low_to), Span(high_from, high_to)), clash, tuple(fits))

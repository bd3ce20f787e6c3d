"""Choices and windows settled on sets of open answers: what can lead, what must, and between which ends.

The same settling as in ``settle``, with reasons that hold always, perhaps or never. On reasons that
all hold always it comes to the same; otherwise it is never narrower than the truth.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from ..rulebase.models import CONCERNS, FORCES, HABITS, MAY_BRING_IN, Conclusion, Decision, Rule
from .spread import MAYBE, NO, YES, Span, Status, Words, turned

NEVER, ALWAYS = float("inf"), float("-inf")
Cost = tuple[Decimal, Decimal]


class Reason(NamedTuple):
    """One conclusion about a choice. ``stands``: its rule holds and is not withdrawn; ``values``: whom it
    names, and whether for certain; ``counted``: it is not already in the item's ranking."""

    rule: Rule
    conclusion: Conclusion
    stands: Status
    counted: Status
    values: tuple[tuple[str, Status], ...]


class Weighed(NamedTuple):
    """``lead``: what may stand first (unknown if nothing can be advised); ``chosen``: it and its equals;
    ``offered``: all that fit; ``excluded``: what is barred; ``clash``: whether the reasons leave nothing."""

    lead: Words
    chosen: Words
    offered: Words
    excluded: Words
    clash: Status


def barred(decision: Decision, reasons: Iterable[Reason]) -> Words:
    """The candidates that some exclusion or requirement bars."""
    return _barred(excluded(decision, reasons))


def excluded(decision: Decision, reasons: Iterable[Reason]) -> dict[str, Status]:
    """Whether each candidate is barred by some exclusion or requirement that stands."""
    barred = dict.fromkeys(decision.candidates, NO)
    for reason in reasons:
        act = reason.conclusion.act
        if act == "exclude":
            for value, naming in reason.values:
                barred[value] = max(barred[value], min(reason.stands, naming))
        elif act == "require":
            certain = all(naming == YES for _, naming in reason.values)
            named = {value for value, _ in reason.values}
            for candidate in decision.candidates:
                if not certain:
                    barred[candidate] = max(barred[candidate], min(reason.stands, MAYBE))
                elif candidate not in named:
                    barred[candidate] = max(barred[candidate], reason.stands)
    return barred


class _Tally:
    """Between which numbers the strengths for less those against each candidate can add up.

    ``fewest`` and ``most`` count the reasons against; ``named``: something may bring the candidate in;
    ``foreign``: a reason that is not the item's own speaks of it.
    """

    def __init__(self, decision: Decision) -> None:
        self.low: dict[str, int] = dict.fromkeys(decision.candidates, 0)
        self.high, self.fewest, self.most = dict(self.low), dict(self.low), dict(self.low)
        self.named: dict[str, Status] = dict.fromkeys(decision.candidates, NO)
        self.foreign = dict(self.named)

    def add(self, reason: Reason, value: str, status: Status) -> None:
        """Take in one reason for or against one candidate, which counts by ``status``."""
        if status == NO:
            return
        favour, concern = reason.conclusion.act == "favour", reason.rule.concern
        strength = reason.conclusion.strength if favour else -reason.conclusion.strength
        certain = status == YES
        self.low[value] += strength if certain else min(strength, 0)
        self.high[value] += strength if certain else max(strength, 0)
        if not favour:
            self.fewest[value] += certain
            self.most[value] += 1
        elif concern in HABITS or CONCERNS.index(concern) <= MAY_BRING_IN:
            self.named[value] = max(self.named[value], status)
        if reason.rule.item is None:
            self.foreign[value] = max(self.foreign[value], status)

    def outweighed(self, value: str, every: _Tally) -> Status:
        """Whether a candidate does not fit unasked and more of ``every`` reason speaks against it than for it."""
        positive = YES if self.low[value] > 0 else NO if self.high[value] <= 0 else MAYBE
        heavy = YES if every.high[value] < 0 else NO if every.low[value] >= 0 else MAYBE
        return min(heavy, turned(min(self.named[value], positive)))


def weigh(decision: Decision, reasons: Sequence[Reason], cost: Mapping[str, Cost]) -> Weighed:
    """Which candidates can lead and fit.

    ``cost`` holds the least and greatest price of each candidate; one that is not there is dearest.
    """
    barred = excluded(decision, reasons)
    tally, every = _Tally(decision), _Tally(decision)
    wishes: list[tuple[Reason, str, Status]] = []
    ranked = counting = NO
    heard: dict[tuple[str, str, str], Status] = {}
    for reason in reasons:
        act = reason.conclusion.act
        if act in ("exclude", "require"):
            counting = max(counting, reason.stands)
            continue
        if act == "favour" and reason.rule.concern in HABITS:
            ranked = max(ranked, reason.stands)
        counts = min(reason.stands, reason.counted)
        counting = max(counting, counts)
        wish = act == "favour" and reason.conclusion.attribute and reason.rule.concern == "stated wish"
        for value, naming in reason.values:
            # A rule that names a candidate twice counts once, the first time.
            key = (reason.rule.id, act, value)
            before = heard.get(key, NO)
            heard[key] = max(before, naming)
            naming = min(naming, turned(before))
            if wish:
                wishes.append((reason, value, min(counts, naming)))
                continue
            every.add(reason, value, min(reason.stands, naming))
            tally.add(reason, value, min(counts, naming))
    heeded = [(r, v, min(status, turned(min(ranked, tally.outweighed(v, every))))) for r, v, status in wishes]
    for reason, value, status in heeded:
        tally.add(reason, value, status)
    low, high, fewest, most = tally.low, tally.high, tally.fewest, tally.most
    named, foreign = tally.named, tally.foreign
    worth: dict[str, Status] = {}
    for candidate in decision.candidates:
        eligible = named[candidate] if ranked == YES else max(named[candidate], turned(ranked))
        positive = YES if low[candidate] > 0 or ranked == NO else MAYBE
        if ranked == YES and high[candidate] <= 0:
            positive = NO
        worth[candidate] = min(eligible, turned(barred[candidate]), positive)
    sure = [c for c in worth if worth[c] == YES]
    able = [c for c in worth if worth[c] >= MAYBE]
    if counting == NO:
        nothing = Words(frozenset(), frozenset(), nothing=True)
        return Weighed(nothing, nothing, nothing, _barred(barred), NO)
    place = {c: n for n, c in enumerate(decision.candidates)}
    dearest = (Decimal("Infinity"), Decimal("Infinity"))

    def worst(c: str) -> tuple[int, int, Decimal, int]:
        return -low[c], most[c], cost.get(c, dearest)[1], place[c]

    def best(c: str) -> tuple[int, int, Decimal, int]:
        return -high[c], fewest[c], cost.get(c, dearest)[0], place[c]

    top = min((worst(c) for c in sure), default=None)
    leads = [c for c in able if top is None or best(c) <= top or worst(c) == top]
    open_ = counting != YES or not sure
    own = {YES if foreign[c] == NO else NO if foreign[c] == YES else MAYBE for c in leads}
    habit = own.pop() if len(own) == 1 else MAYBE
    lead = Words(frozenset(leads), frozenset(leads) if len(leads) == 1 else frozenset(), open_, habit)
    floor = max((low[c] for c in sure), default=None)
    level = leads if ranked == NO else [c for c in able if floor is None or high[c] >= floor]
    fixed_level = (
        leads
        if ranked == NO and len(leads) == 1
        else [c for c in sure if ranked == YES and low[c] == high[c] and all(high[d] <= low[c] for d in able)]
    )
    level = list(dict.fromkeys([*level, *leads]))
    chosen = Words(frozenset(level), frozenset(fixed_level), open_, habit)
    offered = Words(frozenset(able), frozenset(sure), open_, habit)
    clash = min(counting, YES if not able else NO if sure else MAYBE)
    return Weighed(lead, chosen, offered, _barred(barred), clash)


def _barred(barred: Mapping[str, Status]) -> Words:
    may = frozenset(c for c, status in barred.items() if status != NO)
    must = frozenset(c for c, status in barred.items() if status == YES)
    return Words(may, must, nothing=not must)


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
    """

    feasible: tuple[Span, Span]
    ends: tuple[Span, Span]
    clash: Status

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


def margins(bounds: Sequence[Bound]) -> Margins:
    """Between which ends the window can lie. ``bounds`` come in the order in which their rules fire."""
    low_from = low_to = ALWAYS
    high_from = high_to = NEVER
    musts = [b for b in bounds if b.rule.force == "must" and b.stands != NO]
    for bound in musts:
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
        return Margins(feasible, feasible, clash)
    others = [b for b in bounds if b.rule.force != "must" and b.stands != NO]
    others.sort(key=lambda b: (CONCERNS.index(b.rule.concern), -FORCES.index(b.rule.force)))
    for bound in others:
        if bound.side == "at least":
            # Set aside where it lies above the upper end.
            fits = NO if bound.low > high_to else YES if bound.high <= high_from else MAYBE
            taken = min(fits, bound.stands)
            if taken != NO:
                low_from = max(low_from, bound.low) if taken == YES else low_from
                low_to = max(low_to, min(bound.high, high_to))
        else:
            fits = NO if bound.high < low_from else YES if bound.low >= low_to else MAYBE
            taken = min(fits, bound.stands)
            if taken != NO:
                high_to = min(high_to, bound.high) if taken == YES else high_to
                high_from = min(high_from, max(bound.low, low_from))
    return Margins(feasible, (Span(low_from, low_to), Span(high_from, high_to)), clash)

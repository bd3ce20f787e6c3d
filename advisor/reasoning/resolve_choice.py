"""A choice resolved from reasons for and against: what can lead, what must, what fits and what is barred.

A reason holds always, perhaps or never, so that one resolve serves a consultation, of which all is certain, and a run
on open answers. On certain reasons it comes to one order of the candidates; else it is never narrower than the truth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from ..rulebase.models import CONCERNS, HABITS, MAY_BRING_IN, Conclusion, Decision, Item, Rule, Value
from .spread import MAYBE, NO, YES, Status, Words, turned

Cost = tuple[Decimal, Decimal]
Named = tuple[str, Status, Status]
"""A candidate that a reason names, whether it does for certain, and whether the reason counts for it."""
DEAREST = Decimal("Infinity")
MUSTS = ("exclude", "require")


class Reason(NamedTuple):
    """One conclusion about a choice; ``stands``: its rule holds and no preferred one withdraws it."""

    rule: Rule
    conclusion: Conclusion
    stands: Status
    named: tuple[Named, ...]

    @property
    def wish(self) -> bool:
        """Whether it says no more than that somebody asked for these by name."""
        return named_wish(self.rule, self.conclusion)


class Ranking(NamedTuple):
    """How what is made ranks the candidates of one choice; ``certain`` if ``items`` are all that it can be."""

    decision: str
    items: Sequence[Item]
    certain: bool

    def contains(self, act: str, candidate: str) -> Status:
        """Whether it contains the item's own reasons already; those against one that it does not name it does not."""
        found = [
            self.decision in item.ranks and (act == "favour" or candidate in item.ranks[self.decision])
            for item in self.items
        ]
        if not any(found):
            return NO
        return YES if all(found) and self.certain else MAYBE


@dataclass(slots=True)
class Tally:
    """Between which numbers the strengths for less those against each candidate can add up.

    ``fewest`` and ``most`` count the reasons against; ``named``: something may bring the candidate in;
    ``foreign``: a reason that is not the item's own speaks of it.
    """

    low: dict[str, int]
    high: dict[str, int]
    fewest: dict[str, int]
    most: dict[str, int]
    named: dict[str, Status]
    foreign: dict[str, Status]

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

    def outweighed(self, value: str, every: Tally) -> Status:
        """Whether a candidate does not fit unasked and more of ``every`` reason speaks against it than for it."""
        positive = YES if self.low[value] > 0 else NO if self.high[value] <= 0 else MAYBE
        heavy = YES if every.high[value] < 0 else NO if every.low[value] >= 0 else MAYBE
        return min(heavy, turned(min(self.named[value], positive)))


class Weighed(NamedTuple):
    """``lead``: what may stand first (unknown if nothing can be advised); ``chosen``: it and its equals;
    ``offered``: all that fit; ``excluded``: what is barred; ``clash``: whether the reasons leave nothing.

    ``order`` are those that may fit, the best first; ``tally`` is what counts; ``eligible``: something may bring the
    candidate in, barred or not; ``outweighed``: somebody asked for it by name and more speaks against it.
    """

    lead: Words
    chosen: Words
    offered: Words
    excluded: Words
    clash: Status
    order: tuple[str, ...]
    tally: Tally
    eligible: dict[str, Status]
    outweighed: dict[str, Status]
    ranked: Status

    @property
    def brief(self) -> Weighed:
        """What it comes to, without the sums: runs on open answers are held by the hundred and read no more of it."""
        return self._replace(order=(), tally=_NO_SUMS, eligible={}, outweighed={})


_NO_SUMS = Tally({}, {}, {}, {}, {}, {})


def named_wish(rule: Rule, conclusion: Conclusion) -> bool:
    """Whether a conclusion says no more than that somebody asked for these candidates by name."""
    return conclusion.act == "favour" and bool(conclusion.attribute) and rule.concern == "stated wish"


def hit(decision: Decision, conclusion: Conclusion, values: Iterable[Value]) -> tuple[str, ...]:
    """The candidates that a conclusion about these values is about: for a requirement, all the others."""
    if conclusion.act == "require":
        named = {*values}
        return tuple([c for c in decision.candidates if c not in named])
    return tuple([str(v) for v in values])


def reason(
    rule: Rule,
    conclusion: Conclusion,
    stands: Status,
    named: tuple[Named, ...],
    ranking: Ranking,
    own: Callable[[], Status],
) -> Reason:
    """A conclusion as a reason, which counts unless the item's ranking contains it.

    ``named`` are its candidates as if it counted; ``own`` tells whether its rule rests only on the item's own habits.
    """
    if not named or not ranking.items or rule.item is not None or conclusion.act in MUSTS:
        return Reason(rule, conclusion, stands, named)
    foreign, act = turned(own()), conclusion.act
    by_contains = {YES: foreign, NO: YES, MAYBE: max(foreign, MAYBE)}
    if act == "favour":
        # Of reasons for a candidate the ranking contains all or none.
        counts = by_contains[ranking.contains(act, named[0][0])]
        return Reason(rule, conclusion, stands, tuple([(value, naming, counts) for value, naming, _ in named]))
    told = [(value, naming, by_contains[ranking.contains(act, value)]) for value, naming, _ in named]
    return Reason(rule, conclusion, stands, tuple(told))


def barred(decision: Decision, reasons: Iterable[Reason]) -> Words:
    """The candidates that some exclusion or requirement bars."""
    return _barred(_excluded(decision, reasons))


def _excluded(decision: Decision, reasons: Iterable[Reason]) -> dict[str, Status]:
    """Whether each candidate is barred by some exclusion or requirement that stands."""
    barred = dict.fromkeys(decision.candidates, NO)
    for r in reasons:
        if r.conclusion.act == "exclude":
            for value, naming, _ in r.named:
                barred[value] = max(barred[value], min(r.stands, naming))
        elif r.conclusion.act == "require":
            certain = all(naming == YES for _, naming, _ in r.named)
            others = hit(decision, r.conclusion, (v for v, _, _ in r.named)) if certain else tuple(decision.candidates)
            for candidate in others:
                barred[candidate] = max(barred[candidate], r.stands if certain else min(r.stands, MAYBE))
    return barred


def _tally(decision: Decision) -> Tally:
    none, never = dict.fromkeys(decision.candidates, 0), dict.fromkeys(decision.candidates, NO)
    return Tally(dict(none), dict(none), dict(none), dict(none), dict(never), dict(never))


def resolve_choice(decision: Decision, reasons: Sequence[Reason], cost: Mapping[str, Cost]) -> Weighed:
    """Which candidates can lead and fit.

    ``cost`` holds the least and greatest price of each candidate; one that is not there is dearest.
    """
    barred = _excluded(decision, reasons)
    tally, every = _tally(decision), _tally(decision)
    wishes: list[tuple[Reason, str, Status]] = []
    ranked = counting = NO
    heard: dict[tuple[str, str, str], Status] = {}
    for r in reasons:
        act = r.conclusion.act
        if act in MUSTS:
            counting = max(counting, r.stands)
            continue
        if act == "favour" and r.rule.concern in HABITS:
            ranked = max(ranked, r.stands)
        wish = r.wish
        for value, naming, counted in r.named:
            counts = min(r.stands, counted)
            counting = max(counting, counts)
            # A rule that names a candidate twice counts once, the first time.
            key = (r.rule.id, act, value)
            before = heard.get(key, NO)
            heard[key] = max(before, naming)
            naming = min(naming, turned(before))
            if wish:
                wishes.append((r, value, min(counts, naming)))
                continue
            every.add(r, value, min(r.stands, naming))
            tally.add(r, value, min(counts, naming))
    heavy = {value: min(ranked, tally.outweighed(value, every)) for _, value, _ in wishes}
    outweighed = dict.fromkeys(heavy, NO)
    for r, value, status in wishes:
        outweighed[value] = max(outweighed[value], min(status, heavy[value]))
        tally.add(r, value, min(status, turned(heavy[value])))
    low, high, fewest, most = tally.low, tally.high, tally.fewest, tally.most
    eligible = {c: named if ranked == YES else max(named, turned(ranked)) for c, named in tally.named.items()}
    worth: dict[str, Status] = {}
    for candidate in decision.candidates:
        positive = YES if low[candidate] > 0 or ranked == NO else MAYBE
        if ranked == YES and high[candidate] <= 0:
            positive = NO
        worth[candidate] = min(eligible[candidate], turned(barred[candidate]), positive)
    if counting == NO:
        nothing, gone = Words(frozenset(), frozenset(), nothing=True), _barred(barred)
        return Weighed(nothing, nothing, nothing, gone, NO, (), tally, eligible, outweighed, ranked)
    sure = [c for c in worth if worth[c] == YES]
    able = [c for c in worth if worth[c] >= MAYBE]
    place = {c: n for n, c in enumerate(decision.candidates)}
    dearest = (DEAREST, DEAREST)

    def worst(c: str) -> tuple[int, int, Decimal, int]:
        return -low[c], most[c], cost.get(c, dearest)[1], place[c]

    def best(c: str) -> tuple[int, int, Decimal, int]:
        return -high[c], fewest[c], cost.get(c, dearest)[0], place[c]

    top = min((worst(c) for c in sure), default=None)
    leads = [c for c in able if top is None or best(c) <= top or worst(c) == top]
    open_ = counting != YES or not sure
    own = {YES if tally.foreign[c] == NO else NO if tally.foreign[c] == YES else MAYBE for c in leads}
    habit = own.pop() if len(own) == 1 else MAYBE
    lead = Words(frozenset(leads), frozenset(leads) if len(leads) == 1 else frozenset(), open_, habit)
    floor = max((low[c] for c in sure), default=None)
    level = leads if ranked == NO else [c for c in able if floor is None or high[c] >= floor]
    fixed_level = (
        leads
        if ranked == NO and len(leads) == 1
        else [c for c in sure if ranked == YES and low[c] == high[c] and all(high[d] <= low[c] for d in able)]
    )
    chosen = Words(frozenset((*level, *leads)), frozenset(fixed_level), open_, habit)
    offered = Words(frozenset(able), frozenset(sure), open_, habit)
    clash = min(counting, YES if not able else NO if sure else MAYBE)
    order = tuple(sorted(able, key=best))
    return Weighed(lead, chosen, offered, _barred(barred), clash, order, tally, eligible, outweighed, ranked)


def _barred(barred: Mapping[str, Status]) -> Words:
    may = frozenset(c for c, status in barred.items() if status != NO)
    must = frozenset(c for c, status in barred.items() if status == YES)
    return Words(may, must, nothing=not must)

"""An attribute that nobody answered, resolved from what rules say of it.

A claim stands always, perhaps or never, so that one resolve serves a consultation, of which all is certain, and a run
on open answers. A setting beats a supposition, a must a should, the item's habit its family's; equals that differ
leave the attribute unsettled. A set is the union of what rules add.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from ..rulebase.models import CONCERNS, FORCES, Conclusion, Rule, Value
from .spread import MAYBE, NO, YES, Span, Spread, Status, Words, joined, unknown

_BELOW_ALL = -len(CONCERNS) - 1


class Claimed(NamedTuple):
    """What a rule says of an attribute. ``place`` is the caller's number of it, ``score`` its rank among its like.

    ``supposes``: it gives way to every setting; ``own``: its rule rests on nothing but the item's habits.
    """

    place: int
    rule: Rule
    supposes: bool
    score: int
    stands: Status
    own: Status
    values: tuple[Value, ...]


class Resolved(NamedTuple):
    """What an attribute can come to. ``tie``: equals that differ leave it unsettled.

    ``givers`` are the places of what may give the value, or of what differs; ``supposed``: these suppose.
    """

    spread: Spread
    tie: Status
    givers: tuple[int, ...]
    supposed: Status


def claimed(
    place: int, rule: Rule, conclusion: Conclusion, stands: Status, own: Status, values: tuple[Value, ...]
) -> Claimed:
    """A conclusion about an attribute as it is resolved: settings rank by force, suppositions by concern."""
    supposes = conclusion.act == "suppose"
    score = -CONCERNS.index(rule.concern) if supposes else FORCES.index(rule.force)
    return Claimed(place, rule, supposes, score, stands, own, values)


def resolve_attribute(claims: Iterable[Claimed], many: bool, numeric: bool) -> Resolved:
    """What the attribute can come to; ``many`` for a set of values, ``numeric`` for a number."""
    standing = [c for c in claims if c.stands != NO]
    settings = [c for c in standing if not c.supposes]
    suppositions = [c for c in standing if c.supposes]
    if not standing:
        return Resolved(unknown(None, numeric), NO, (), NO)
    if not settings:
        return _supposed(suppositions, many, numeric)
    found = _union(settings) if many else _contest(settings, numeric)
    if not suppositions or any(s.stands == YES for s in settings):
        return found
    guess = _supposed(suppositions, many, numeric)
    tie = MAYBE if max(found.tie, guess.tie) != NO else NO
    return Resolved(joined(found.spread, guess.spread), tie, (*found.givers, *guess.givers), MAYBE)


def _supposed(suppositions: list[Claimed], many: bool, numeric: bool) -> Resolved:
    return _ranked(suppositions) if many else _contest(suppositions, numeric, guesses=True)


def _able(claims: list[Claimed]) -> list[Claimed]:
    """The claims that no certain one outranks."""
    top = max((c.score for c in claims if c.stands == YES), default=_BELOW_ALL)
    return [c for c in claims if c.score >= top]


def _contest(claims: list[Claimed], numeric: bool, guesses: bool = False) -> Resolved:
    """One value: the highest claim wins, equals that differ leave it unsettled."""
    able = _able(claims)
    sure = [c for c in able if c.stands == YES]
    winners, tie = able, NO
    if any(c.values[0] != able[0].values[0] for c in able):
        winners = [c for c in able if all(s.score < c.score for s in sure if s.values[0] != c.values[0])]
        if any(a.values[0] != b.values[0] and a.score == b.score for a in able for b in able):
            tie = YES if all(c.stands == YES for c in able) and not winners else MAYBE
    # Of suppositions only the best-ranked give the value, of settings all that agree.
    givers = _agreeing(winners or able, claims, guesses)
    nothing = not sure or tie != NO or not winners
    values = {c.values[0] for c in winners}
    all_give = len(values) == 1 and (not guesses or len({c.score for c in winners}) == 1)
    own = _own_of(givers if winners else (), all_give)
    guessed = _guessed_of(winners, guesses, all_give)
    spread: Spread
    if numeric and values:
        numbers = [float(v) for v in values]
        spread = Span(min(numbers), max(numbers), nothing, own, guessed)
    elif numeric:
        spread = unknown(None, numeric)
    else:
        must = frozenset(values) if len(values) == 1 else frozenset[Value]()
        spread = Words(frozenset(values), must, nothing, own, guessed)
    return Resolved(spread, tie, tuple([c.place for c in givers]), YES if guesses else NO)


def _agreeing(winners: list[Claimed], claims: list[Claimed], guesses: bool) -> list[Claimed]:
    values = {c.values[0] for c in winners}
    return [c for c in (winners if guesses else claims) if c.values[0] in values]


def _ranked(claims: list[Claimed]) -> Resolved:
    """A set: what the best-ranked suppositions add up to."""
    able = _able(claims)
    if len({c.score for c in able}) > 1:
        able = [c._replace(stands=min(c.stands, MAYBE)) for c in able]
    return _union(able, guesses=True)


def _agreed(statuses: Iterable[Status]) -> Status:
    found = set(statuses)
    return found.pop() if len(found) == 1 else MAYBE if found else NO


def _own_of(givers: Sequence[Claimed], all_give: bool) -> Status:
    """A value is the item's own if all rules that give it are; those that stand for certain surely give."""
    if all_give and any(g.stands == YES and g.own == NO for g in givers):
        return NO
    return _agreed(g.own for g in givers)


def _guessed_of(givers: list[Claimed], guesses: bool, all_give: bool) -> Status:
    """A supposition is a guess if some rule that gives it is not the item's."""
    if guesses and all_give and any(g.stands == YES and g.rule.item is None for g in givers):
        return YES
    return _agreed(YES if guesses and g.rule.item is None else NO for g in givers)


def _union(claims: list[Claimed], guesses: bool = False) -> Resolved:
    """A set: what all claims add."""
    may = {v for c in claims for v in c.values}
    must = {v for c in claims if c.stands == YES for v in c.values}
    if must - {"none"}:
        may.discard("none")
    if may != {"none"}:
        must.discard("none")
    spread: Spread = unknown(None)
    if may:
        own, guessed = _own_of(claims, True), _guessed_of(claims, guesses, True)
        spread = Words(frozenset(may), frozenset(must), not any(c.stands == YES for c in claims), own, guessed)
    return Resolved(spread, NO, tuple([c.place for c in claims]), YES if guesses else NO)

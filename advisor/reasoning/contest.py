"""An attribute that nobody answered, settled on sets of open answers from what rules say of it.

The same settling as ``settle.settle_attribute``, with claims that stand always, perhaps or never.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from ..rulebase.models import CONCERNS, Attribute, Rule, Value
from .spread import MAYBE, NO, YES, Span, Spread, Status, Words, joined, unknown

_BELOW_ALL = -len(CONCERNS) - 1


class Saying(NamedTuple):
    """One claim on an attribute: how high it ranks, whether it stands and whether it is the item's own."""

    score: int
    stands: Status
    own: Status
    rule: Rule
    values: tuple[Value, ...]


def settled(settings: list[Saying], suppositions: list[Saying], attribute: Attribute) -> tuple[Spread, Status]:
    """What the attribute can come to, and whether equals that differ leave it unsettled."""
    if not settings and not suppositions:
        return unknown(attribute), NO
    many = attribute.kind == "set"
    if not settings:
        return (_ranked(suppositions, attribute), NO) if many else _contest(suppositions, attribute, guesses=True)
    found, tie = (_union(settings, attribute), NO) if many else _contest(settings, attribute)
    if any(s.stands == YES for s in settings):
        return found, tie
    supposed, tie_of_guesses = (
        (_ranked(suppositions, attribute), NO) if many else _contest(suppositions, attribute, guesses=True)
    )
    return joined(found, supposed), MAYBE if max(tie, tie_of_guesses) != NO else NO


def _contest(claims: list[Saying], attribute: Attribute, guesses: bool = False) -> tuple[Spread, Status]:
    """One value: the highest claim wins, equals that differ leave it unsettled."""
    top = max((c.score for c in claims if c.stands == YES), default=_BELOW_ALL)
    able = [c for c in claims if c.score >= top]
    sure = [c for c in able if c.stands == YES]
    winners, tie = able, NO
    if any(c.values[0] != able[0].values[0] for c in able):
        winners = [c for c in able if all(s.score < c.score for s in sure if s.values[0] != c.values[0])]
        if any(a.values[0] != b.values[0] and a.score == b.score for a in able for b in able):
            tie = YES if all(c.stands == YES for c in able) and not winners else MAYBE
    values = {c.values[0] for c in winners}
    givers = [c for c in (winners if guesses else claims) if c.values[0] in values]
    # Of suppositions only the best-ranked give the value, of settings all that agree.
    all_give = len(values) == 1 and (not guesses or len({c.score for c in winners}) == 1)
    own, guessed = _own_of(givers, all_give), _guessed_of(winners, guesses, all_give)
    nothing = not sure or tie != NO or not values
    if attribute.numeric:
        numbers = [float(v) for v in values]
        return Span(min(numbers), max(numbers), nothing, own, guessed) if numbers else unknown(attribute), tie
    must = frozenset(values) if len(values) == 1 else frozenset[Value]()
    return Words(frozenset(values), must, nothing, own, guessed), tie


def _ranked(claims: list[Saying], attribute: Attribute) -> Spread:
    """A set: what the best-ranked suppositions add up to."""
    top = max((c.score for c in claims if c.stands == YES), default=_BELOW_ALL)
    able = [c for c in claims if c.score >= top]
    if len({c.score for c in able}) > 1:
        able = [c._replace(stands=min(c.stands, MAYBE)) for c in able]
    return _union(able, attribute, guesses=True)


def _agreed(statuses: Iterable[Status]) -> Status:
    found = set(statuses)
    return found.pop() if len(found) == 1 else MAYBE if found else NO


def _own_of(givers: list[Saying], all_give: bool) -> Status:
    """A value is the item's own if all rules that give it are; those that stand for certain surely give."""
    if all_give and any(g.stands == YES and g.own == NO for g in givers):
        return NO
    return _agreed(g.own for g in givers)


def _guessed_of(givers: list[Saying], guesses: bool, all_give: bool) -> Status:
    """A supposition is a guess if some rule that gives it is not the item's."""
    if guesses and all_give and any(g.stands == YES and g.rule.item is None for g in givers):
        return YES
    return _agreed(YES if guesses and g.rule.item is None else NO for g in givers)


def _union(claims: list[Saying], attribute: Attribute, guesses: bool = False) -> Spread:
    """A set: what all claims add."""
    may = {v for c in claims for v in c.values}
    must = {v for c in claims if c.stands == YES for v in c.values}
    if must - {"none"}:
        may.discard("none")
    if may != {"none"}:
        must.discard("none")
    if not may:
        return unknown(attribute)
    own, guessed = _own_of(claims, True), _guessed_of(claims, guesses, True)
    return Words(frozenset(may), frozenset(must), not any(c.stands == YES for c in claims), own, guessed)

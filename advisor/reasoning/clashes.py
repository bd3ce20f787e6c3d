"""Conflicts taken apart: the smallest sets of answers that cannot hold together, and changes that get out.

A set is smallest when it brings the conflict about by itself and no part of it does. Every way out was
run through the inference engine and leaves no conflict behind.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass

from ..rulebase.changing import changing_of
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from .advice import Advice
from .changes import Change, Search, now, present, smallest
from .facts import Answer
from .possibility import Possibility
from .standing import conflicts
from .targets import free_of
from .why_not import confirmed

MOST_NAMES = 3


@dataclass(frozen=True, slots=True)
class Entangled:
    """One conflict: ``sets`` of answer names each enough for it, smallest first; ``ways`` changes that end it.

    ``cases`` are single answers under which it would not arise, where nothing that somebody would change ends it.
    ``complete``: these are all the smallest sets of up to ``MOST_NAMES`` answers, and there is no larger one.
    No set at all means that the item's own habits clash.
    """

    about: str
    sets: list[tuple[str, ...]]
    complete: bool
    ways: list[tuple[Change, ...]]
    cases: list[tuple[Change, ...]]
    search: Search


def entangled(rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None = None) -> list[Entangled]:
    """Every conflict that stands, in the order in which the run names them."""
    run = present(rulebase, answers, house)
    return [_taken_apart(rulebase, answers, house, run, about) for about in sorted(map(str, conflicts(run).must))]


def _taken_apart(
    rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, run: Possibility, about: str
) -> Entangled:
    sets, complete = smallest_sets(run, about)
    item = now(run, "item")
    changing = changing_of(rulebase, str(item[0]) if item else None)

    def ends(then: Advice) -> bool:
        return not then.conflicts

    search = smallest(run, free_of(about), changing=changing)
    ways, cases = confirmed(rulebase, answers, house, search.found, ends), list[tuple[Change, ...]]()
    if not ways:
        facts = smallest(run, free_of(about), most=1, changing=changing.cases())
        cases = confirmed(rulebase, answers, house, facts.found, ends)
    return Entangled(about, sets, complete, ways, cases, search)


def smallest_sets(run: Possibility, about: str) -> tuple[list[tuple[str, ...]], bool]:
    """The smallest sets of answers that bring a conflict about, and whether these are all there are."""
    names = [n for n in run.answers if n != "item"]

    def clashes(kept: tuple[str, ...]) -> bool:
        unsaid = {n: None for n in names if n not in kept}
        return about in conflicts(run.saying(unsaid)).must

    if clashes(()):
        return [()], True
    found: list[tuple[str, ...]] = []
    for size in range(1, min(MOST_NAMES, len(names)) + 1):
        for kept in itertools.combinations(names, size):
            if not any(set(f) <= set(kept) for f in found) and clashes(kept):
                found.append(kept)
    if found:
        return found, len(names) <= MOST_NAMES
    kept = tuple(names)
    for name in names:
        fewer = tuple(n for n in kept if n != name)
        if clashes(fewer):
            kept = fewer
    return [kept], False

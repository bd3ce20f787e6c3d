"""Why something was not advised, and the smallest changes of answers under which it would be.

The reasons are read off the ledger and the bounds. Every change that is named was run through the
inference engine first; "none exists" is said only of what the search covered.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from ..rulebase.changing import changing_of
from ..rulebase.house import House
from ..rulebase.models import VERDICTS, RuleBase
from . import advice as view
from .advice import Advice
from .changes import Change, Search, now, present, smallest
from .consult import Consultation
from .facts import Answer, said
from .network import wishes
from .report import report
from .review import LABEL
from .settle import IN_RANKING
from .targets import Target, any_of, fits, holds_thickness, leads

State = Literal["advised", "fits as well", "excluded", "outweighed", "not spoken for", "no leather", "outside"]
MOST_WAYS = 3
MOST_TRIED = 12
MOST_CASES = 2
_UNSPOKEN = 99
"""Further than any sum of reasons."""
_BY_THE_ITEM = "/ranking"
_ORDER = ("must", "strong", "clear", "slight")


class Speaking(view.Part):
    """A rule that speaks for or against; ``strength`` is must, strong, clear or slight, of a bound its force.

    ``side`` and ``mm`` are those of a bound. ``counted``: the usual ranking of what is made does not say it already.
    """

    rule: str
    strength: str
    because: str
    side: str | None = None
    mm: float | None = None
    counted: bool = True


class Way(view.Part):
    """Changes of answers, in the grammar's words, after which it would be advised."""

    changes: list[str]


class Member(view.Part):
    """One of several that were asked for together: how it stands, and what speaks against it, the heaviest first."""

    asked: str
    state: State
    against: list[Speaking]


class WhyNot(view.Part):
    """The answer to "why not". ``asked`` is a candidate or a thickness, ``lead`` what stands instead.

    ``members`` are all that were asked for, where these are several; ``asked`` is the one that comes nearest, and
    ``against`` and ``speaking_for`` speak of it alone. ``by_wish``: asking for it outright would do.

    ``ways`` are smallest changes that somebody would make, each of another question as far as there are some;
    ``cases`` what would have to be the case instead. Without any, ``covered`` says that all sets of up to so many
    changes of ``over`` answers were gone through, but for names in ``gaps``, and ``never`` that no answers at all can
    do it; ``stopped`` that the search ended before.
    """

    decision: str
    asked: str
    members: list[Member]
    state: State
    lead: list[str]
    against: list[Speaking]
    speaking_for: list[Speaking]
    for_lead: list[Speaking]
    by_wish: bool
    ways: list[Way]
    cases: list[Way]
    covered: int
    over: int
    never: bool
    gaps: list[str]
    stopped: bool


def why_not(
    rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, decision: str, candidates: Sequence[str]
) -> WhyNot:
    """Why none of ``candidates`` leads a choice; told of the one that comes nearest."""
    advice = report(Consultation(rulebase, answers, house=house))
    choice = advice.decisions.choices()[decision]
    ranked = sorted(candidates, key=lambda c: _distance(choice, c))
    candidate = ranked[0]
    state = state_of(advice, choice, candidate)
    by_wish, found = False, _Found()
    if state not in ("advised", "fits as well", "no leather"):
        # What is barred comes back first as something that fits.
        near = leads if state == "outweighed" else fits

        def holds(then: Advice) -> bool:
            after = then.decisions.choices()[decision]
            return not {*candidates}.isdisjoint((*after.chosen, *(after.also_fits if near is fits else [])))

        found = _confirmed(rulebase, answers, house, any_of([near(decision, c) for c in candidates]), holds)
        by_wish = any(holds(then) for then in _wished(rulebase, answers, house, candidates))
    members = [Member(asked=c, state=state_of(advice, choice, c), against=against(choice, c)) for c in ranked]
    return WhyNot(
        decision=decision,
        asked=candidate,
        members=members if len(members) > 1 else [],
        state=state,
        lead=choice.chosen,
        against=against(choice, candidate),
        speaking_for=speaking(choice, candidate, "favour"),
        for_lead=_for_lead(choice),
        by_wish=by_wish,
        **found.told(rulebase),
    )


def against(choice: view.Choice, candidate: str) -> list[Speaking]:
    """What speaks against one candidate and stands, the heaviest first."""
    return speaking(choice, candidate, "exclude", "require", "disfavour")


def speaking(choice: view.Choice, candidate: str, *acts: str) -> list[Speaking]:
    """The reasons of some kinds about one candidate, the heaviest first, each said once.

    What the item's own ranking says already stands with the rest, but does not count.
    """
    entries = [e for e in choice.ledger if e.candidate == candidate and e.act in acts and _stands(e)]
    entries.sort(key=lambda e: (_ORDER.index(e.strength), not e.counts))
    found = [Speaking(rule=e.rule, strength=e.strength, because=e.because, counted=e.counts) for e in entries]
    return list({s.because: s for s in reversed(found)}.values())[::-1]


def _stands(entry: view.LedgerEntry) -> bool:
    return entry.counts or entry.set_aside == IN_RANKING


def _for_lead(choice: view.Choice) -> list[Speaking]:
    return [s for s in speaking(choice, choice.chosen[0], "favour", "require") if s.counted] if choice.chosen else []


def _wished(
    rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, candidates: Sequence[str]
) -> Iterator[Advice]:
    """The advice if one of the candidates were asked for by name."""
    for name in sorted(wishes(rulebase)):
        for value in rulebase.attributes[name].values.keys() & {*candidates}:
            yield report(Consultation(rulebase, {**answers, name: Answer((value,))}, house=house))


def nearest_of(choice: view.Choice, candidates: Sequence[str]) -> str:
    """The candidate that stands best."""
    return min(candidates, key=lambda c: _distance(choice, c))


def _distance(choice: view.Choice, candidate: str) -> tuple[int, int, int]:
    """How far a candidate is from the lead: in it, fitting, outweighed by so much, barred by so many rules.

    Of those barred alike that is nearer of which the thing's own habits speak, and then against which less is said.
    """
    if candidate in choice.chosen:
        return 0, choice.chosen.index(candidate), 0
    if candidate in choice.also_fits:
        return 1, choice.also_fits.index(candidate), 0
    if candidate in choice.excluded:
        ill = [e for e in choice.ledger if e.candidate == candidate and e.act == "disfavour"]
        unusual = not any(e.rule.endswith(_BY_THE_ITEM) for e in ill)
        return 3, len(choice.excluded[candidate]), _UNSPOKEN * unusual - sum(e.pull for e in ill)
    return 2, -sum(e.pull for e in choice.ledger if e.candidate == candidate and e.counts), 0


def state_of(advice: Advice, choice: view.Choice, candidate: str) -> State:
    """How one candidate stands."""
    if advice.no_order:
        return "no leather"
    if candidate in choice.chosen:
        return "advised"
    if candidate in choice.also_fits:
        return "fits as well"
    if candidate in choice.excluded:
        return "excluded"
    named = any(e.candidate == candidate and e.act == "favour" and e.counts for e in choice.ledger)
    return "outweighed" if named else "not spoken for"


@dataclass(frozen=True, slots=True)
class _Found:
    """Changes that somebody would make, and what would have to be the case; the search for the first of them."""

    ways: Sequence[tuple[Change, ...]] = ()
    cases: Sequence[tuple[Change, ...]] = ()
    search: Search = field(default_factory=lambda: Search([], 0, 0, 0))

    def told(self, rulebase: RuleBase) -> dict[str, Any]:
        """The fields of a ``WhyNot``."""
        s = self.search
        return {
            "ways": ways_told(rulebase, self.ways),
            "cases": ways_told(rulebase, self.cases),
            "covered": s.covered,
            "over": s.over,
            "never": s.never,
            "gaps": list(s.gaps),
            "stopped": s.stopped,
        }


def ways_told(rulebase: RuleBase, found: Iterable[tuple[Change, ...]]) -> list[Way]:
    """Changes in the grammar's words."""
    return [Way(changes=[said(n, a.values, rulebase.attributes[n].unit) for n, a in changes]) for changes in found]


def _confirmed(
    rulebase: RuleBase,
    answers: Mapping[str, Answer],
    house: House | None,
    target: Target,
    holds: Callable[[Advice], bool],
) -> _Found:
    """The smallest changes, each of which the engine has drawn the wanted conclusion from.

    First those that somebody would make; where none does it, single answers that are the case or not. To say that one
    wishes for it is no change of the case, nor are a seller's words; both are kept as they are.
    """
    run = present(rulebase, answers, house)
    keep = wishes(rulebase) | {LABEL}
    item = now(run, "item")
    changing = changing_of(rulebase, str(item[0]) if item else None)
    search = smallest(run, target, keep, changing=changing)
    ways = confirmed(rulebase, answers, house, search.found, holds)
    if ways:
        return _Found(one_each(ways, MOST_WAYS), (), search)
    facts = smallest(run, target, keep, most=1, changing=changing.cases())
    cases = one_each(confirmed(rulebase, answers, house, facts.found, holds), MOST_CASES)
    # Both kinds together may do what neither does.
    never = search.never and facts.never and smallest(run, target, keep, most=0).never
    return _Found((), cases, replace(search, never=never))


def confirmed(
    rulebase: RuleBase,
    answers: Mapping[str, Answer],
    house: House | None,
    found: Iterable[tuple[Change, ...]],
    holds: Callable[[Advice], bool],
) -> list[tuple[Change, ...]]:
    """Those changes from which the engine draws what is wanted, the least harmful first."""
    sure: list[tuple[tuple[int, int], tuple[Change, ...]]] = []
    for changes in itertools.islice(one_each(found), MOST_TRIED):
        then = report(Consultation(rulebase, {**answers, **dict(changes)}, house=house))
        if holds(then):
            # What brings a conflict or worse is no way to go, and what brings cautions, such as sparks on a passport
            # cover, is the last that anybody would want.
            worse = len(then.conflicts) + VERDICTS[::-1].index(then.verdict or "ok")
            minded = sum(c.status == "applies" and c.severity != "note" for c in then.cautions_told)
            sure.append(((worse, minded), changes))
    sure.sort(key=lambda found: found[0])
    return [changes for _, changes in sure]


def one_each(found: Iterable[tuple[Change, ...]], most: int | None = None) -> list[tuple[Change, ...]]:
    """One set of changes for each set of questions before a second of the same."""
    turns: dict[tuple[str, ...], list[tuple[Change, ...]]] = {}
    for changes in found:
        turns.setdefault(tuple(n for n, _ in changes), []).append(changes)
    mixed = [c for row in itertools.zip_longest(*turns.values()) for c in row if c is not None]
    return mixed[:most]


def why_not_weight(rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, mm: float) -> WhyNot:
    """Why the advised weight does not hold a thickness in mm: the bounds in the way, and what would move them."""
    advice = report(Consultation(rulebase, answers, house=house))
    weight = advice.decisions.weight
    live = [b for b in weight.bounds if b.set_aside is None]
    in_the_way = [b for b in live if (b.mm > mm if b.side == "at least" else b.mm < mm)]
    in_the_way.sort(key=lambda b: (b.force != "must", -abs(b.mm - mm)))
    bounds = [Speaking(rule=b.rule, strength=b.force, because=b.because, side=b.side, mm=b.mm) for b in in_the_way]
    if advice.no_order:
        state: State = "no leather"
    else:
        state = "outside" if in_the_way or weight.low_mm is None else "advised"

    def holds(then: Advice) -> bool:
        w = then.decisions.weight
        return w.low_mm is not None and w.high_mm is not None and w.low_mm <= mm <= w.high_mm

    found = _confirmed(rulebase, answers, house, holds_thickness(mm), holds) if state == "outside" else _Found()
    return WhyNot(
        decision="weight",
        asked=said("", (mm,), "mm")[4:],
        members=[],
        state=state,
        lead=[weight.order_as] if weight.order_as else [],
        against=bounds,
        speaking_for=[],
        for_lead=[],
        by_wish=False,
        **found.told(rulebase),
    )

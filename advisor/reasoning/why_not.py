"""Why something was not advised, and the smallest changes of answers under which it would be.

The reasons are read off the ledger and the bounds. Every change that is named was run through the
inference engine first; "none exists" is said only of what the search covered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Literal

from ..rulebase.house import House
from ..rulebase.models import STRENGTHS, VERDICTS, RuleBase
from . import advice as view
from .advice import Advice
from .changes import GIVEN, Change, Search, present, smallest
from .consult import Consultation
from .facts import Answer, said
from .network import wishes
from .report import report
from .review import LABEL
from .targets import Target, any_of, fits, holds_thickness, leads

State = Literal["advised", "fits as well", "excluded", "outweighed", "not spoken for", "no leather", "outside"]
MOST_WAYS = 3
MOST_TRIED = 12


class Speaking(view.Part):
    """A rule that stands in the way; ``strength`` is must, strong, clear or slight, of a bound its force.

    ``side`` and ``mm`` are those of a bound.
    """

    rule: str
    strength: str
    because: str
    side: str | None = None
    mm: float | None = None


class Way(view.Part):
    """Changes of answers, in the grammar's words, after which it would be advised."""

    changes: list[str]


class WhyNot(view.Part):
    """The answer to "why not". ``asked`` is a candidate or a thickness, ``lead`` what stands instead.

    ``by_wish``: asking for it outright would do. ``ways`` are smallest changes; without any, ``covered``
    says that all sets of up to so many changes of
    ``over`` answers were gone through, and ``never`` that no changes of them can do it.
    """

    decision: str
    asked: str
    state: State
    lead: list[str]
    against: list[Speaking]
    speaking_for: list[Speaking]
    for_lead: list[Speaking]
    by_wish: bool
    ways: list[Way]
    covered: int
    over: int
    never: bool


def why_not(
    rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, decision: str, candidates: Sequence[str]
) -> WhyNot:
    """Why none of ``candidates`` leads a choice; told of the one that comes nearest."""
    advice = report(Consultation(rulebase, answers, house=house))
    choice = advice.decisions.choices()[decision]
    candidate = min(candidates, key=lambda c: _distance(choice, c))
    state = _state(advice, choice, candidate)
    by_wish = False
    search = Search([], 0, 0, 0)
    if state not in ("advised", "fits as well"):
        # What is barred comes back first as something that fits.
        near = leads if state == "outweighed" else fits

        def holds(then: Advice) -> bool:
            after = then.decisions.choices()[decision]
            return not {*candidates}.isdisjoint((*after.chosen, *(after.also_fits if near is fits else [])))

        search = _confirmed(rulebase, answers, house, any_of([near(decision, c) for c in candidates]), holds)
        by_wish = any(holds(then) for then in _wished(rulebase, answers, house, candidates))

    def speaking(of: Sequence[str], *acts: str) -> list[Speaking]:
        order = ("must", "strong", "clear", "slight")
        entries = [e for e in choice.ledger if e.candidate in of and e.act in acts and e.counts]
        entries.sort(key=lambda e: (e.candidate != candidate, order.index(e.strength)))
        found = [Speaking(rule=e.rule, strength=e.strength, because=e.because) for e in entries]
        return list({s.because: s for s in found}.values())

    return WhyNot(
        decision=decision, asked=candidate, state=state, lead=choice.chosen,
        against=speaking(candidates, "exclude", "require", "disfavour"), speaking_for=speaking([candidate], "favour"),
        for_lead=speaking(choice.chosen[:1], "favour", "require"), by_wish=by_wish,
        ways=_ways(rulebase, search), covered=search.covered, over=search.over, never=search.never,
    )  # fmt: skip


def _wished(
    rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, candidates: Sequence[str]
) -> Iterator[Advice]:
    """The advice if one of the candidates were asked for by name."""
    for name in sorted(wishes(rulebase)):
        for value in rulebase.attributes[name].values.keys() & {*candidates}:
            yield report(Consultation(rulebase, {**answers, name: Answer((value,))}, house=house))


def _distance(choice: view.Choice, candidate: str) -> tuple[int, int]:
    """How far a candidate is from the lead: in it, fitting, outweighed by so much, barred by so many rules."""
    if candidate in choice.chosen:
        return 0, choice.chosen.index(candidate)
    if candidate in choice.also_fits:
        return 1, choice.also_fits.index(candidate)
    if candidate in choice.excluded:
        return 3, len(choice.excluded[candidate])
    signs = {"favour": 1, "disfavour": -1}
    pulls = [signs[e.act] * STRENGTHS[e.strength] for e in choice.ledger
             if e.candidate == candidate and e.act in signs and e.counts]  # fmt: skip
    return 2, -sum(pulls)


def _state(advice: Advice, choice: view.Choice, candidate: str) -> State:
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


def _ways(rulebase: RuleBase, search: Search) -> list[Way]:
    return [
        Way(changes=[said(n, a.values, rulebase.attributes[n].unit) for n, a in changes])
        for changes in search.found[:MOST_WAYS]
    ]


def _confirmed(
    rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, target: Target,
    holds: Callable[[Advice], bool],
) -> Search:
    """The smallest changes, each of which the engine has drawn the wanted conclusion from.

    To say that one wishes for it is no change of the case, nor are a seller's words; both are kept as they are.
    """
    run = present(rulebase, answers, house)
    search = smallest(run, target, keep=wishes(rulebase) | {LABEL})
    sure: list[tuple[tuple[bool, int, int], tuple[Change, ...]]] = []
    for changes in search.found[:MOST_TRIED]:
        then = report(Consultation(rulebase, {**answers, **dict(changes)}, house=house))
        if holds(then):
            # What is the case cannot be chosen, what brings a conflict or worse is no way to go, and what brings
            # cautions, such as sparks on a passport cover, is the last that anybody would want.
            given = any(rulebase.attributes[name].group in GIVEN for name, _ in changes)
            worse = len(then.conflicts) + VERDICTS[::-1].index(then.verdict or "ok")
            grave = sum(c.status == "applies" and c.severity != "note" for c in then.cautions)
            sure.append(((given, worse, grave), changes))
    sure.sort(key=lambda found: found[0])
    chosen = [changes for (given, *_), changes in sure if not given]
    kept = (chosen or [changes for _, changes in sure])[:MOST_WAYS]
    return Search(kept, search.size, search.covered, search.over, search.never)


def why_not_weight(rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, mm: float) -> WhyNot:
    """Why the advised weight does not hold a thickness in mm: the bounds in the way, and what would move them."""
    advice = report(Consultation(rulebase, answers, house=house))
    weight = advice.decisions.weight
    live = [b for b in weight.bounds if b.set_aside is None]
    in_the_way = [b for b in live if (b.mm > mm if b.side == "at least" else b.mm < mm)]
    in_the_way.sort(key=lambda b: (b.force != "must", -abs(b.mm - mm)))
    against = [
        Speaking(rule=b.rule, strength=b.force, because=b.because, side=b.side, mm=b.mm)
        for b in in_the_way
    ]
    if advice.no_order:
        state: State = "no leather"
    else:
        state = "outside" if in_the_way or weight.low_mm is None else "advised"

    def holds(then: Advice) -> bool:
        w = then.decisions.weight
        return w.low_mm is not None and w.high_mm is not None and w.low_mm <= mm <= w.high_mm

    search = Search([], 0, 0, 0)
    if state == "outside":
        search = _confirmed(rulebase, answers, house, holds_thickness(mm), holds)
    return WhyNot(
        decision="weight", asked=said("", (mm,), "mm")[4:], state=state,
        lead=[weight.order_as] if weight.order_as else [], against=against, speaking_for=[], for_lead=[], by_wish=False,
        ways=_ways(rulebase, search), covered=search.covered, over=search.over, never=search.never,
    )  # fmt: skip

"""One candidate rather than another: the reasons that only one of them has, both balances, and what would turn it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..rulebase.changing import changing_of
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from . import advice as view
from .advice import Advice
from .changes import Change, now, present, smallest
from .consult import Consultation
from .facts import Answer
from .network import wishes
from .possibility import Possibility
from .report import report
from .review import LABEL
from .standing import standing
from .targets import before
from .why_not import Speaking, State, Way, against, confirmed, one_each, speaking, state_of, ways_told

MOST_TURNING = 2


class Side(view.Part):
    """One of two candidates. ``for_it`` and ``against`` are reasons that the other does not have, the heaviest first.

    ``pulls_for`` and ``pulls_against`` add up the strengths of all its reasons that count; ``turning`` are changes of
    answers under which it would stand before the other.
    """

    asked: str
    state: State
    pulls_for: int
    pulls_against: int
    for_it: list[Speaking]
    against: list[Speaking]
    turning: list[Way]


class Contrast(view.Part):
    """``one`` rather than ``other``; ``lead`` is what stands first."""

    decision: str
    lead: list[str]
    one: Side
    other: Side

    @property
    def first(self) -> str | None:
        """Which of the two stands before the other; None where they stand level or neither can be had."""
        places = [_place(s) for s in (self.one, self.other)]
        if places[0] == places[1]:
            return None
        return self.one.asked if places[0] < places[1] else self.other.asked


_STATES: Sequence[State] = ("advised", "fits as well", "outweighed", "not spoken for", "excluded", "no leather")


def _place(side: Side) -> tuple[int, int]:
    weighed = side.state in ("fits as well", "outweighed", "not spoken for")
    return _STATES.index(side.state), side.pulls_against - side.pulls_for if weighed else 0


def contrast(
    rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, decision: str, one: str, other: str
) -> Contrast:
    """What parts two candidates of a decision."""
    advice = report(Consultation(rulebase, answers, house=house))
    choice = advice.decisions.choices()[decision]
    made = Contrast(
        decision=decision,
        lead=choice.chosen,
        one=_side(advice, choice, one, other),
        other=_side(advice, choice, other, one),
    )
    if advice.no_order:
        return made

    def turning(side: Side, theirs: str) -> Side:
        if made.first == side.asked:
            return side
        found = _turning(rulebase, answers, house, decision, side.asked, theirs)
        return side.model_copy(update={"turning": ways_told(rulebase, found)})

    return made.model_copy(update={"one": turning(made.one, other), "other": turning(made.other, one)})


def _side(advice: Advice, choice: view.Choice, mine: str, theirs: str) -> Side:
    pulls = [e for e in choice.ledger if e.candidate == mine and e.counts]
    return Side(
        asked=mine,
        state=state_of(advice, choice, mine),
        pulls_for=sum(e.pull for e in pulls if e.pull > 0),
        pulls_against=-sum(e.pull for e in pulls if e.pull < 0),
        for_it=_only(speaking(choice, mine, "favour"), speaking(choice, theirs, "favour")),
        against=_only(against(choice, mine), against(choice, theirs)),
        turning=[],
    )


def _only(these: Sequence[Speaking], others: Sequence[Speaking]) -> list[Speaking]:
    """Reasons that the other does not have, or has less of; those that count first."""
    theirs = {(s.rule, s.because, s.strength) for s in others}
    return sorted((s for s in these if (s.rule, s.because, s.strength) not in theirs), key=lambda s: not s.counted)


def _turning(
    rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None, decision: str, mine: str, theirs: str
) -> list[tuple[Change, ...]]:
    """Single answers under which one leads without the other: wishes first, then what may be the case."""
    run = present(rulebase, answers, house)
    keep = wishes(rulebase) | {LABEL}
    item = now(run, "item")
    changing = changing_of(rulebase, str(item[0]) if item else None)

    def holds(then: Advice) -> bool:
        chosen = then.decisions.choices()[decision].chosen
        return mine in chosen and theirs not in chosen and not then.no_order

    target = before(decision, mine, theirs)
    found = smallest(run, target, keep, most=1, changing=changing).found
    found += smallest(run, target, keep, most=1, changing=changing.cases()).found
    return one_each(confirmed(rulebase, answers, house, found, holds), MOST_TURNING)


def parted(run: Possibility, decision: str) -> dict[str, Change]:
    """Of candidates that stand level, an answer for each that would make it lead alone; without one it is left out."""
    level = standing(run).order.get(decision)
    item = now(run, "item")
    if level is None or len(level.may) < 2:
        return {}
    changing = changing_of(run.rulebase, str(item[0]) if item else None)
    keep = wishes(run.rulebase) | {LABEL}
    found: dict[str, Change] = {}
    for candidate in sorted(map(str, level.may)):
        target = before(decision, candidate, *(str(c) for c in level.may if c != candidate))
        alone = smallest(run, target, keep, most=1, changing=changing).found
        alone = alone or smallest(run, target, keep, most=1, changing=changing.cases()).found
        if alone:
            found[candidate] = alone[0][0]
    return found

"""What of an advice concerns this thing, the leather as chosen and this use; the rest is kept and held back.

A caution concerns it as its declaration says; a stop that applies always does. A practice on which makers differ
concerns it where the order would be another without it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import TYPE_CHECKING

from ..leather.cutting import FormCount
from ..leather.price import Quote
from ..rulebase.models import (
    BOUNDS,
    MOST_NOTES,
    REASONS,
    SEVERITIES,
    Caution,
    Conclusion,
    Premise,
    Rule,
    RuleBase,
    Value,
)
from .matching import holds
from .order_lines import order_lines

if TYPE_CHECKING:
    from .consult import Consultation

_WEIGHED = ("favour", "disfavour")
Values = Callable[[str], Sequence[Value]]


def by_harm(rulebase: RuleBase, cautions: Iterable[str]) -> list[str]:
    """Names of cautions by severity, then rank, then as declared."""
    place = {name: n for n, name in enumerate(rulebase.cautions)}

    def harm(name: str) -> tuple[int, int, int]:
        caution = rulebase.cautions[name]
        return SEVERITIES.index(caution.severity), caution.rank, place[name]

    return sorted(cautions, key=harm)


def concerning(
    rulebase: RuleBase, known: Values, raised: Collection[str], not_ruled_out: Collection[str], barred: bool
) -> set[str]:
    """The cautions, among those raised and those not ruled out, that this thing can meet.

    ``known`` gives the values of a name, none where nothing is known. Of notes only the first few are left, and none
    where the order is ``barred``: they are about making what is not to be made.
    """
    stops = {name for name in raised if rulebase.cautions[name].severity == "stop"}
    met = stops | {name for name in raised if _concerned(rulebase.cautions[name], known)}
    met |= may_concern(rulebase, known, not_ruled_out)
    told = {name for name in met - stops if not met.isdisjoint(rulebase.cautions[name].told_by)}
    notes = [name for name in by_harm(rulebase, met - told) if rulebase.cautions[name].severity == "note"]
    return met - told - set(notes[0 if barred else MOST_NOTES :])


def may_concern(rulebase: RuleBase, known: Values, names: Iterable[str]) -> set[str]:
    """Those of these cautions that the thing can meet, as long as they are not ruled out."""
    return {
        name for name in names if _concerned(rulebase.cautions[name], known) and _met(rulebase.cautions[name], known)
    }


def _concerned(caution: Caution, known: Values) -> bool:
    """Whether nothing that is known makes the caution speak of another thing or leather than this."""
    return all(holds(p, values) for p in caution.concerns if (values := known(p.attribute)))


def _met(caution: Caution, known: Values) -> bool:
    return any(all(_holds(p, known) for p in way) for way in caution.met_by or ())


def _holds(premise: Premise, known: Values) -> bool:
    return holds(premise, known(premise.attribute))


def practice_matters(run: Consultation, rule: Rule) -> bool:
    """Whether the order would be another one if this rule, on which makers differ, were not followed."""
    if not any(_counts(run, rule, c) for c in rule.then):
        return False
    return _leads_itself(run, rule) or _ordered(run) != _ordered(run.silencing(rule.id))


def _leads_itself(run: Consultation, rule: Rule) -> bool:
    """Whether a rule that counts speaks of one node alone, so that what it moves there is in the order by itself.

    That spares a second consultation. False says nothing.
    """
    said = [c for c in rule.then if c.act not in ("caution", "clash")]
    if (
        run.held
        or any(c.part for c in said)
        or len({c.target for c in said}) != 1
        or not run.firings.keys().isdisjoint(rule.over)
    ):
        return False
    if all(c.act in BOUNDS for c in said):
        return True
    if any(c.act not in _WEIGHED for c in said):
        return False
    return run.choice_without(said[0].target, rule.id).chosen != run.ledgers[said[0].target].chosen


def _counts(run: Consultation, rule: Rule, c: Conclusion) -> bool:
    """Whether something a rule says can have moved the order; what cannot spares a second consultation."""
    if c.act in ("caution", "clash"):
        return False
    if c.part:
        return bool(run.parts)
    if c.act in BOUNDS:
        if not run.firings.keys().isdisjoint(rule.over):
            # What it is preferred to would bound in its place.
            return True
        without = run.window_without(rule.id)
        return (without.low, without.high) != (run.window.low, run.window.high)
    if c.act in REASONS:
        if not any(e.counts for e in run.ledgers[c.target].entries if e.rule == rule.id):
            return False
        # What it is preferred to would speak in its place, and what it excludes is read by others.
        alone = c.act in _WEIGHED and run.firings.keys().isdisjoint(rule.over)
        return not (alone and run.same_without(c.target, rule.id))
    known = run.known.get(c.target)
    return c.act == "outcome" or (known is not None and rule.id in known.rules)


def _ordered(run: Consultation) -> tuple[object, ...]:
    outcomes = {f.rule.verdict(outcome) for f, outcome in run.outcomes}
    lines = order_lines(run, _no_cost)
    return outcomes, run.window.low, run.window.high, [run.offered(d.name)[0] for d in run.rulebase.choices()], lines


def _no_cost(_count: FormCount, _money: Quote | None) -> None:
    return None

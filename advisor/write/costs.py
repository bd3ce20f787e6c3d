"""What an order costs, in money or in words, and how the price of one leather or form stands to another."""

from __future__ import annotations

from decimal import Decimal

from ..leather.units import number
from ..reasoning.advice import Advice, CostView
from ..rulebase.models import RuleBase
from .catalogue import tell

_TWICE = 2
_NO_CHOICE = 15
"""What costs so many times as much, nobody weighs against what is ordered."""
ABOUT_THE_SAME, MUCH = 1.15, 1.7
"""Prices within the first ratio are told apart by no shop; from the second on the difference is a large one."""


def cost_said(rulebase: RuleBase, advice: Advice) -> str:
    """What the leather of an order costs by the shop's prices, or to ask, with how the next form would compare."""
    costs = [line.cost for line in advice.order.lines if line.kind == "leather" and line.shares is None]
    main = costs[0] if costs else None
    if main is None or main.total is None:
        return "ask the shop" + _beside(rulebase, advice, main)
    priced = [Decimal(c.total) for c in costs if c is not None and c.total is not None]
    said = [f"{sum(priced)} {main.currency}"]
    said += [f"{main.per_item} each"] if main.per_item and len(costs) == 1 else []
    said += [f"{main.with_spare} with the spare"] if main.with_spare and len(costs) == 1 else []
    asked = "; ask the shop for the rest" if len(priced) < len(costs) else ""
    prices = tell(advice.decisions.amount.prices, rulebase) if advice.decisions.amount.prices else ""
    return f"{', '.join(said)} (prices of {prices}){asked}"


def _beside(rulebase: RuleBase, advice: Advice, main: CostView | None) -> str:
    """How the cheapest other form would compare, beside a cut piece one sold by area; "" where there is none.

    One that costs less and was set aside for a reason is no way to save.
    """
    if main is None or not main.index:
        return ""
    candidates = rulebase.decisions["form"].candidates
    ordered = advice.order.lines[0].form
    by_area = ordered is not None and candidates[ordered].properties["sold_by"] == "area"
    fits = {f.form: f.cost.index for f in advice.decisions.amount.forms if f.fits and f.cost and f.cost.index}
    against = {e.candidate for e in advice.decisions.form.ledger if e.act == "disfavour" and not e.withdrawn}
    others = [
        (fits[f], f)
        for f in advice.decisions.form.also_fits
        if f in fits and f != ordered and (by_area or candidates[f].properties["sold_by"] == "area")
        if f not in against or fits[f] >= main.index / ABOUT_THE_SAME
    ]
    if not others:
        return ""
    index, form = min(others)
    if index / main.index > _NO_CHOICE:
        return ""
    count = next(f.count for f in advice.decisions.amount.forms if f.form == form)
    name = f"{count} {candidates[form].called(count)}" if count > 1 else candidates[form].one()
    return f"; {name} would cost {times(index / main.index)}"


def times(ratio: float) -> str:
    """A relation of prices: ``about 12 times as much``."""
    if ratio < 1 / ABOUT_THE_SAME:
        return "less"
    if ratio <= ABOUT_THE_SAME:
        return "about the same"
    if ratio < MUCH:
        return "a little more"
    return "about twice as much" if round(ratio) <= _TWICE else f"about {number(ratio, 0)} times as much"


def dearer(ratio: float) -> str:
    """How a leather stands to the one that leads, by its price: ``dearer``, ``same price``."""
    if 1 / ABOUT_THE_SAME <= ratio <= ABOUT_THE_SAME:
        return "same price"
    word = "dearer" if ratio > 1 else "cheaper"
    return f"much {word}" if max(ratio, 1 / ratio) >= MUCH else word

"""What an order costs, in money or in words, and how the price of one leather or form stands to another."""

from __future__ import annotations

from decimal import Decimal

from ..reasoning.advice import Advice
from ..rulebase.models import RuleBase
from .catalogue import tell

_SHARES = {2: "half", 3: "a third", 4: "a quarter", 5: "a fifth"}
"""Shares of a price by how many of them it is; what costs more times as much, nobody weighs against the order."""
ABOUT_THE_SAME, MUCH = 1.15, 1.7
"""Prices within the first ratio are told apart by no shop; from the second on the difference is a large one."""


def cost_said(rulebase: RuleBase, advice: Advice) -> str:
    """What the leather of an order costs by the shop's prices, or to ask, with how the next form would compare."""
    costs = [line.cost for line in advice.order.lines if line.kind == "leather" and line.shares is None]
    main = costs[0] if costs else None
    if main is None or main.total is None:
        # What is compared is the main leather alone.
        of = "the main leather: " if len(costs) > 1 else ""
        beside = compared(rulebase, advice)
        return f"{of}{beside}; ask the shop" if beside else "ask the shop"
    priced = [Decimal(c.total) for c in costs if c is not None and c.total is not None]
    said = [f"{sum(priced)} {main.currency}"]
    said += [f"{main.per_item} each"] if main.per_item and len(costs) == 1 else []
    said += [f"{main.with_spare} with the spare"] if main.with_spare and len(costs) == 1 else []
    asked = "; ask the shop for the rest" if len(priced) < len(costs) else ""
    prices = tell(advice.decisions.amount.prices, rulebase) if advice.decisions.amount.prices else ""
    return f"{', '.join(said)} (prices of {prices}){asked}"


def compared(rulebase: RuleBase, advice: Advice) -> str:
    """What the main leather costs beside the cheapest other form, of a cut piece one sold by area: ``about a quarter of
    what a single shoulder would cost``; "" where there is none that anybody would weigh against it.

    One that costs less was set aside for a reason, so it is no way to save, and one sold the same way for about the
    same price is no other choice.
    """
    main = next((line.cost for line in advice.order.lines if line.kind == "leather" and line.shares is None), None)
    if main is None or not main.index:
        return ""
    candidates = rulebase.decisions["form"].candidates
    ordered = advice.order.lines[0].form
    by_area = ordered is not None and candidates[ordered].properties["sold_by"] == "area"
    fits = {f.form: f.cost.index for f in advice.decisions.amount.forms if f.fits and f.cost and f.cost.index}
    others = [
        (fits[f], f)
        for f in advice.decisions.form.also_fits
        if f in fits and f != ordered and (by_area or candidates[f].properties["sold_by"] == "area")
        if fits[f] >= main.index / ABOUT_THE_SAME
    ]
    if not others:
        return ""
    index, form = min(others)
    ratio = index / main.index
    alike = by_area and candidates[form].properties["sold_by"] == "area"
    if round(ratio) > max(_SHARES) or (alike and ratio <= ABOUT_THE_SAME):
        return ""
    count = next(f.count for f in advice.decisions.amount.forms if f.form == form)
    name = f"{count} {candidates[form].called(count)}" if count > 1 else candidates[form].one()
    return f"{_share(ratio)} what {name} would cost"


def _share(ratio: float) -> str:
    """What an order costs beside something ``ratio`` times its price: ``about a quarter of``."""
    if ratio <= ABOUT_THE_SAME:
        return "about"
    return f"about {_SHARES[max(2, round(ratio))]} of" if ratio >= MUCH else "a little less than"


def dearer(ratio: float) -> str:
    """How a leather stands to the one that leads, by its price: ``dearer``, ``same price``."""
    if 1 / ABOUT_THE_SAME <= ratio <= ABOUT_THE_SAME:
        return "same price"
    word = "dearer" if ratio > 1 else "cheaper"
    return f"much {word}" if max(ratio, 1 / ratio) >= MUCH else word

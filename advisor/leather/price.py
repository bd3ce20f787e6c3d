"""What leather costs in a shop's own prices. Money is decimal from the list to the total, never a float.

Prices come in as plain values; reading them is the rule base's business. Cutting fees, postage and taxes are
not known here. Areas come from the tables of forms, so a total is a budget and not a bill.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from math import inf
from typing import Literal

from advisor.codes import Saying, say
from advisor.leather.checks import at_least_one, not_negative, positive
from advisor.leather.units import DM2_PER_SQUARE_FOOT

Per = Literal["piece", "square foot", "dm2", "m2"]

CENT = Decimal("0.01")
SAME_WIDTH_MM = 0.5
"""A strap of 1 1/2 in (38.1 mm) is sold as 38 mm: widths nearer than this are one width (common practice)."""
# Areas, in dm2 or square feet, are taken to this: far below any measuring, so that noise costs no quarter foot.
_AREA_STEP = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class Price:
    """One entry of a price list.

    Attributes:
        form: Form in which the leather is sold.
        tannage: Its tannage.
        low_mm: Thinnest of the band, mm.
        high_mm: Thickest of the band, mm.
        amount: Money for one ``per``, in the currency of the list.
        per: What the amount buys.
        width_mm: Widest strap blank sold at this price, mm, to SAME_WIDTH_MM; None where the width does not matter.
        line: Where it stands in the list.
    """

    form: str
    tannage: str
    low_mm: float
    high_mm: float
    amount: Decimal
    per: Per
    width_mm: float | None
    line: int


@dataclass(frozen=True, slots=True)
class Quote:
    """What one form costs.

    Attributes:
        form: Form in which the leather is sold.
        total: Money for all of it, to the cent; None where the list does not price it.
        currency: Of the list.
        unit_price: Money for one ``per``; None where there is no total or blanks have several prices.
        per: What the unit price buys; None with it.
        why_not: Said where there is no total, else None.
        lines: Where the prices used stand in the list.
    """

    form: str
    total: Decimal | None
    currency: str
    unit_price: Decimal | None
    per: Per | None
    why_not: Saying | None
    lines: tuple[int, ...]


def quote(
    form: str,
    count: int,
    area_dm2: float,
    tannage: str,
    low_mm: float,
    high_mm: float,
    prices: Iterable[Price],
    currency: str,
    widths: Sequence[float] = (),
) -> Quote:
    """Return what *count* of *form* cost, rounded half up to the cent at the very end.

    Of the prices for the form and tannage, the one counts whose band shares most with the wanted window; where
    several share as much, the one that comes out cheapest. Each strap blank is priced at its own width.

    Args:
        form: Form bought.
        count: How many; none where the form does not fit.
        area_dm2: Area of all of them together, dm2.
        tannage: Tannage wanted.
        low_mm: Thinnest wanted, mm.
        high_mm: Thickest wanted, mm.
        prices: The list.
        currency: Of the list.
        widths: Of each blank to order, mm; empty for forms that are not ordered by width.

    Raises:
        ValueError: If the window has its ends the wrong way round, the area of something bought is not above
            zero, or there are widths for more or fewer blanks than are bought.
    """
    if low_mm > high_mm:
        raise ValueError(f"The thickness cannot run from {low_mm} mm to {high_mm} mm.")

    def none(why: Saying) -> Quote:
        return Quote(form, None, currency, None, None, why, ())

    if count < 1:
        return none(say("nothing_to_buy"))
    positive(area_dm2, "area bought")
    if widths and len(widths) != count:
        raise ValueError(f"There are {len(widths)} widths for {count} blanks.")
    listed = [p for p in prices if (p.form, p.tannage) == (form, tannage)]
    if not listed:
        return none(say("not_priced", form=form, tannage=tannage))
    in_band = [p for p in listed if _meets(p, low_mm, high_mm)]
    if not in_band:
        window = {"low_mm": low_mm, "high_mm": high_mm}
        if any(p.low_mm >= high_mm for p in listed):
            return none(say("only_thicker_priced", form=form, tannage=tannage, **window))
        return none(say("thickness_not_priced", form=form, tannage=tannage, **window))
    area, all_widths = Decimal(str(area_dm2)), sum(Decimal(str(w)) for w in widths)
    total, used = Decimal(0), []
    things: Sequence[float | None] = widths or [None] * count
    for width, alike in Counter(things).items():
        each = area / count if width is None else area * Decimal(str(width)) / all_widths
        each = each.quantize(_AREA_STEP, ROUND_HALF_UP)
        least = inf if width is None else width - SAME_WIDTH_MM
        wide_enough = [p for p in in_band if p.width_mm is None or p.width_mm >= least]
        if not wide_enough:
            if width is None:
                return none(say("width_not_stated", form=form, tannage=tannage))
            return none(say("width_not_priced", form=form, tannage=tannage, width_mm=width))
        best = min(wide_enough, key=lambda p: (-_shared(p, low_mm, high_mm), _cost(p, each), p.line))
        total += alike * _cost(best, each)
        used.append(best)
    units = {(p.amount, p.per) for p in used}
    amount, per = units.pop() if len(units) == 1 else (None, None)
    return Quote(form, _to_cents(total), currency, amount, per, None, tuple(sorted({p.line for p in used})))


def net_cost(total: Decimal, leftover_dm2: float, bought_dm2: float, worth: float) -> Decimal:
    """Return the cost less what the leftover is worth, to the cent; to be shown beside the cost, not for it.

    Args:
        total: Money paid.
        leftover_dm2: Leather bought and not used up, dm2.
        bought_dm2: All leather bought, dm2.
        worth: Share of its price that the leftover is worth, 0 to 1; 0 where no use for it is named.

    Raises:
        ValueError: If nothing is bought, the leftover is negative or more than what is bought, or the worth no share.
    """
    positive(bought_dm2, "area bought")
    not_negative(leftover_dm2, "leftover")
    if leftover_dm2 > bought_dm2:
        raise ValueError(f"The leftover of {leftover_dm2} dm2 is more than the {bought_dm2} dm2 bought.")
    if not 0 <= worth <= 1:
        raise ValueError(f"The leftover is worth a share of its price from 0 to 1, not {worth}.")
    share = Decimal(str(leftover_dm2)) / Decimal(str(bought_dm2))
    return _to_cents(total - total * share * Decimal(str(worth)))


def spare_items(quantity: int, experience: str, every: Mapping[str, float]) -> int:
    """Return how many items more to buy leather for, since some are spoilt: one in so many, none below that.

    Args:
        quantity: How many items are wanted.
        experience: Key of *every*.
        every: Experience -> finished items to one spare.

    Raises:
        ValueError: If the experience is not in the table, or its number is below 1.
    """
    if experience not in every:
        raise ValueError(f"There are no spares for {experience!r}; the table has {', '.join(every)}.")
    at_least_one(every[experience], "items to one spare")
    return quantity // int(every[experience])


def quarter_feet_to_buy(square_foot_area: Decimal) -> Decimal:
    """Return the area to reckon with when leather is paid by the square foot: the next quarter upwards.

    ``units.quarter_feet`` rounds to the nearest quarter, as a measuring machine marks a finished skin. Before a
    purchase the skin is not there yet, and too little leather is worse than too much: so a need goes up.
    """
    quarters = (square_foot_area.quantize(_AREA_STEP, ROUND_HALF_UP) * 4).to_integral_value(ROUND_CEILING)
    return quarters / 4


def _meets(price: Price, low: float, high: float) -> bool:
    """Return whether a band shares more than an end with the window, or holds a window of one thickness."""
    return _shared(price, low, high) > 0 or price.low_mm <= low == high <= price.high_mm


def _shared(price: Price, low: float, high: float) -> float:
    return min(high, price.high_mm) - max(low, price.low_mm)


def _cost(price: Price, area_dm2: Decimal) -> Decimal:
    """Return what one thing of this area costs, unrounded."""
    if price.per == "piece":
        return price.amount
    if price.per == "square foot":
        return price.amount * quarter_feet_to_buy(area_dm2 / Decimal(str(DM2_PER_SQUARE_FOOT)))
    return price.amount * area_dm2 / (100 if price.per == "m2" else 1)


def _to_cents(money: Decimal) -> Decimal:
    return money.quantize(CENT, ROUND_HALF_UP)

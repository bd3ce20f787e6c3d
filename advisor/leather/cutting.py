"""Which forms of leather hold the pieces, how many to buy and which are cheapest.

The sizes, areas, prices and waste of the forms are data and come in as tables. Panels are proved by placing,
blanks by laying strips end to end; hides are only estimated, by area and by the straps that lie side by side
next to the backbone. Other leathers than the main one are bought apart, each reckoned with its own pieces.
No money is known here, only cost relative to one dm2 of the leather that the tables price at 1.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

from advisor.codes import Saying, say
from advisor.leather.checks import at_least_one, not_negative, positive
from advisor.leather.forms import Form, laid
from advisor.leather.pieces import MAIN_PARTS, MM2_PER_DM2, Piece, main_pieces
from advisor.leather.placing import place
from advisor.leather.rows import FIRM_STRIP_MM, SLACK, blanks, is_strap, strip_share

_T = TypeVar("_T")

MOST_PLACED = 60
"""Pieces placed at a time; more would keep a person waiting, so they are placed in lots."""
TIE = 1.02
"""Costs this close are the same: the prices are not known any better."""


@dataclass(frozen=True, slots=True)
class FormCount:
    """How many of a form to buy.

    Attributes:
        form: Name of the form.
        count: How many to buy; 0 where it does not fit.
        fits: Whether every piece can be cut from it.
        why_not: Said where it does not fit, else None.
        gross_dm2: Leather used up, waste included.
        leftover_dm2: Leather bought and not used up; gross and leftover together are what is bought.
        how: How the count was found: "strips", "placed", "placed in lots", "area" or "rows and area".
        relative_cost: Area bought times the rate of the form; None where it does not fit.
        widths: Of strap blanks, one for each, mm; empty for other forms.
    """

    form: str
    count: int
    fits: bool
    why_not: Saying | None
    gross_dm2: float
    leftover_dm2: float
    how: str
    relative_cost: float | None
    widths: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class FormTables:
    """What is told of each form that can be bought, by its name.

    Attributes:
        length: Usable length along the backbone, mm; the forms are those of this table.
        width: Usable width across it, mm.
        area: Whole area, dm2; blanks sold as straps need none.
        cost: Relative cost per area.
        waste: Share of the net area that is lost on top of it.
        sold: "strap" or another word; see ``Form``.
    """

    length: Mapping[str, float]
    width: Mapping[str, float]
    area: Mapping[str, float]
    cost: Mapping[str, float]
    waste: Mapping[str, float]
    sold: Mapping[str, str]

    def forms(self, rate: float, extra: float) -> list[Form]:
        """Return the forms, of a leather that costs *rate* per area, with *extra* waste.

        Raises:
            ValueError: If another table lacks a form.
        """
        found = []
        for name, along in self.length.items():
            sold = _entry(self.sold, name, "way of being sold")
            found.append(
                Form(
                    name=name,
                    length=along,
                    width=_entry(self.width, name, "usable width"),
                    area=self.area.get(name, 0.0) if sold == "strap" else _entry(self.area, name, "area"),
                    waste=_entry(self.waste, name, "waste") + extra,
                    sold=sold,
                    rate=rate * _entry(self.cost, name, "relative cost"),
                )
            )
        return found


def forms_too_small(pieces: Sequence[Piece], length: Mapping[str, float], width: Mapping[str, float]) -> frozenset[str]:
    """Return the forms in which some piece of the main leather does not fit.

    Args:
        pieces: Of one item; parts lining, lace and other are left out. A piece along "either" may be turned.
        length: Form -> usable length along the backbone, mm.
        width: Form -> usable width across it, mm.

    Raises:
        ValueError: If a form has a length and no width.
    """
    main = [piece for piece in pieces if piece.part in MAIN_PARTS]
    return frozenset(
        form
        for form, along in length.items()
        if any(laid(piece, along, _entry(width, form, "usable width")) is None for piece in main)
    )


def gross_area(net: float, waste: float) -> float:
    """Return the area to buy, in the unit of *net*, when *waste* is lost on top of it: net x (1 + waste).

    *waste* is a share of the net area. A share of what is bought is another number: of 18 bought for 13.5, a
    quarter is lost, and that is a third on top. Adding only the quarter falls short.

    Raises:
        ValueError: If the area is not above zero or the waste is negative.
    """
    positive(net, "net area")
    not_negative(waste, "waste")
    return net * (1 + waste)


def forms_needed(form: Form, pieces: Sequence[Piece], quantity: int) -> FormCount:
    """Return how many of *form* to buy for the main leather of *quantity* items.

    Args:
        form: What is bought.
        pieces: Of one item; only body, pocket and strap are reckoned.
        quantity: How many items, at least 1.

    Raises:
        ValueError: If the quantity is below 1 or there is no piece of the main leather.
    """
    at_least_one(quantity, "items")
    return forms_holding(form, main_pieces(pieces), quantity)


def forms_holding(form: Form, pieces: Sequence[Piece], quantity: int) -> FormCount:
    """Return how many of *form* to buy for all these *pieces* of one leather; otherwise as ``forms_needed``.

    Raises:
        ValueError: If the quantity is below 1 or there is no piece.
    """
    at_least_one(quantity, "items")
    at_least_one(len(pieces), "pieces")
    return _holding(form, tuple(pieces), quantity)


@lru_cache(maxsize=2048)
def _holding(form: Form, pieces: tuple[Piece, ...], quantity: int) -> FormCount:
    """Return what ``forms_holding`` does; remembered, since the sum, the order and each "what if" count the same."""
    flat: Counter[tuple[float, float]] = Counter()
    for piece in pieces:
        sides = laid(piece, form.length, form.width)
        if sides is None:
            why = say(
                "piece_does_not_fit",
                piece=piece.name,
                length_mm=piece.length_mm,
                width_mm=piece.width_mm,
                usable_length_mm=form.length,
                usable_width_mm=form.width,
            )
            return FormCount(form.name, 0, False, why, 0.0, 0.0, "", None)
        flat[sides] += piece.count
    gross = gross_area(quantity * _area(flat), form.waste)
    widths: list[float] = []
    if form.sold == "strap":
        widths = blanks({size: count * quantity for size, count in flat.items()}, form.length)
        count, bought, how = len(widths), sum(widths) * form.length / MM2_PER_DM2, "strips"
    elif form.is_panel:
        count, how = _panels(flat, quantity, form)
        bought = count * form.area
    else:
        count, gross, how = _hides(flat, quantity, form)
        bought = count * form.area
    # A lucky layout wastes less than the table says.
    used = min(gross, bought)
    return FormCount(form.name, count, True, None, used, bought - used, how, bought * form.rate, tuple(widths))


def amount(
    pieces: Sequence[Piece],
    quantity: int,
    tannage: str,
    price: Mapping[str, float],
    tables: FormTables,
    extra: float = 0.0,
    apart: bool = False,
) -> list[FormCount]:
    """Return what to buy in each form of the *tables*: cheapest first, unfit ones last, then by name.

    Args:
        pieces: Of one item, mm.
        quantity: How many items, at least 1.
        tannage: Key of *price*.
        price: Tannage -> relative price per area.
        tables: The forms.
        extra: Share of the net area lost besides, on hides and skins; panels and blanks are laid out instead.
        apart: Whether *pieces* are all that is cut from a leather of its own, whatever part they are of.

    Returns:
        An empty list if no piece is cut from the main leather.

    Raises:
        ValueError: If a table lacks an entry or holds an impossible number, or the quantity is below 1.
    """
    if not apart and not any(piece.part in MAIN_PARTS for piece in pieces):
        return []
    count = forms_holding if apart else forms_needed
    counts = [count(form, pieces, quantity) for form in tables.forms(_entry(price, tannage, "price"), extra)]
    return sorted(counts, key=lambda c: (math.inf if c.relative_cost is None else c.relative_cost, c.form))


def cheapest_forms(
    pieces: Sequence[Piece],
    quantity: int,
    tannage: str,
    price: Mapping[str, float],
    length: Mapping[str, float],
    width: Mapping[str, float],
    area: Mapping[str, float],
    cost: Mapping[str, float],
    waste: Mapping[str, float],
    sold: Mapping[str, str],
    excluded: Collection[str],
    extra: float,
) -> frozenset[str]:
    """Return the fitting forms, but for *excluded* ones, within 2 % of the least relative cost.

    Other arguments and errors are those of ``amount`` and of ``FormTables``.
    """
    tables = FormTables(length, width, area, cost, waste, sold)
    counts = amount(pieces, quantity, tannage, price, tables, extra)
    costs = {c.form: c.relative_cost for c in counts if c.relative_cost is not None and c.form not in excluded}
    least = min(costs.values(), default=0.0)
    return frozenset(form for form, value in costs.items() if value <= least * TIE)


def _entry(table: Mapping[str, _T], key: str, what: str) -> _T:
    if key not in table:
        raise ValueError(f"There is no {what} for {key}.")
    return table[key]


def _area(flat: Mapping[tuple[float, float], int]) -> float:
    return sum(along * across * count for (along, across), count in flat.items()) / MM2_PER_DM2


def _panels(flat: Counter[tuple[float, float]], quantity: int, form: Form) -> tuple[int, str]:
    """Return how many panels, and how that was found.

    Many pieces are placed in lots, equal lots only once: quick, at the price of a panel too many at times.
    """

    lot = max(1, MOST_PLACED // flat.total())
    lots, rest = divmod(quantity, lot)
    sizes = tuple(flat.elements())
    count = lots * _placed(sizes, lot, form.length, form.width) + _placed(sizes, rest, form.length, form.width)
    return count, "placed" if quantity * flat.total() <= MOST_PLACED else "placed in lots"


@lru_cache(maxsize=4096)
def _placed(sizes: tuple[tuple[float, float], ...], items: int, length: float, width: float) -> int:
    """Return how many panels the pieces of so many *items* fill; remembered, since placing is slow."""
    laid = sizes * items
    lots = (laid[i : i + MOST_PLACED] for i in range(0, len(laid), MOST_PLACED))
    return sum(len(place(lot, length, width)) for lot in lots)


def _hides(flat: Mapping[tuple[float, float], int], quantity: int, form: Form) -> tuple[int, float, str]:
    """Return how many, the leather used in dm2, and how that was found.

    Straps take up the firm strip next to the back. A whole hide has two such strips and is credited with one.
    However much of the outline is used up for small pieces, all of them lie in the usable rectangle.
    """
    strip = min(form.width, FIRM_STRIP_MM)
    strip_dm2 = form.length * strip / MM2_PER_DM2
    shares = gross = 0.0
    for (along, across), count in flat.items():
        wanted = count * quantity
        share = strip_share(form.length, strip, along, across, wanted) if is_strap(along, across) else 0.0
        shares += share
        # At least the area with waste, so that a piece that grows into a strap never takes less leather.
        gross += max(share * strip_dm2, gross_area(_area({(along, across): wanted}), form.waste))
    net = quantity * _area(flat) / form.pieces
    least = _least_by_size(flat, quantity, form)
    count = max(math.ceil(needed - SLACK) for needed in (shares, gross / form.area, net / form.rectangle, least))
    return count, gross, "rows and area" if shares else "area"


def _least_by_size(flat: Mapping[tuple[float, float], int], quantity: int, form: Form) -> float:
    """Return how many of a form its large pieces take at least, whatever room is left beside them.

    Of two pieces longer and wider than half the usable rectangle both would cover its middle, so each takes one.
    """
    in_grid = {(a, b): math.floor(form.length / a + SLACK) * math.floor(form.width / b + SLACK) for a, b in flat}
    alone = sum(count for size, count in flat.items() if in_grid[size] == 1)
    least = max(alone * quantity, *(count * quantity / in_grid[size] for size, count in flat.items()))
    return least / form.pieces

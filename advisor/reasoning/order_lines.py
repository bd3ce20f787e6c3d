"""What to buy, line by line: the main leather, its thinner cuts, the leathers besides, and what is no leather.

The leathers are settled before; here they are written as lines of an order. Where one of them is not to be had, no
order stands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from ..leather.cutting import FormCount
from ..leather.pieces import MAIN_PARTS
from ..leather.price import Quote, quote
from ..rulebase.fittings import COLOUR, PARTS_AT_HAND
from ..rulebase.models import Premise, Value
from ..rulebase.patterns import colour_bought, colour_named
from ..rulebase.written import Says, fitting_line, instead_line, leather_line, shared_line
from . import advice as view
from .parts import PartLeather, no_leather, parts_cut

if TYPE_CHECKING:
    from .consult import Consultation

MAIN = "body"
"""The part that the main leather is bought for."""
Cost = Callable[[FormCount, Quote | None], view.CostView | None]


def order_lines(run: Consultation, cost: Cost) -> list[view.OrderLine]:
    """Every line of the order; none where a part of it cannot be bought or is not settled."""
    main = _main_line(run)
    if main is None or any(part.clash for part in run.parts):
        return []
    says, counted = main
    lines: list[tuple[Says, FormCount | None]] = [(says, counted)]
    lines += [(line, None) for line in _shared(run, says)]
    lines += [(_apart_line(run, part, says), part.count) for part in run.parts if part.apart]
    lines += [(line, None) for line in (*_made_of_else(run), *_fittings(run))]
    return [
        view.OrderLine(**line, cost=cost(count, _money(run, line, count)) if count else None) for line, count in lines
    ]


def _money(run: Consultation, line: Says, count: FormCount) -> Quote | None:
    """What a line costs by the house's prices; None without a house."""
    if run.house is None:
        return None
    return quote(
        count.form,
        count.count,
        count.gross_dm2 + count.leftover_dm2,
        line["tannage"],
        line["low_mm"],
        line["high_mm"],
        run.house.prices,
        run.house.currency,
        count.widths,
    )


def _main_line(run: Consultation) -> tuple[Says, FormCount] | None:
    low, high = run.window.low, run.window.high
    chosen, _ = run.offered("form")
    count = next((f for f in run.market.forms() if f.fits and chosen and f.form == chosen[0]), None)
    tannage = run.known.get("tannage")
    item = run.item()
    if item is None or low is None or high is None or count is None or tannage is None:
        return None
    if any(f"piece {p.name}" in run.not_computed for p in item.pieces):
        return None
    of = {p.name: p.of for p in item.pieces}
    pieces = [p for p in run.pieces if p.part in MAIN_PARTS and not of[p.name]]
    leather = {d.name: _first(run.offered(d.name)[0]) for d in run.rulebase.choices() if d.name != "form"}
    thickest = float(run.rulebase.decisions["form"].candidates[count.form].properties["thickest"])
    if thickest < low:
        return None
    ends = low, min(high, thickest)
    colour = _colour(run, MAIN, str(leather["tannage"]))
    return leather_line(run.rulebase, MAIN, pieces, _quantity(run), leather, ends, count, colour), count


def _shared(run: Consultation, main: Says) -> Iterator[Says]:
    for part in run.parts:
        if part.spec.shares:
            low, high = part.window.low or main["low_mm"], part.window.high or main["high_mm"]
            # A part is never thicker than the leather it is split from.
            ends = min(low, main["low_mm"]), min(high, main["high_mm"])
            yield shared_line(run.rulebase, part.spec.name, part.pieces, main, ends)


def _apart_line(run: Consultation, part: PartLeather, main: Says) -> Says:
    spec, own = part.spec, bool(part.spec.tannages)
    like_main = {d: None if own else main[d] for d in ("grain", "surface", "temper", "cut", "species")}
    leather = {d: getattr(spec, d) or like for d, like in like_main.items()}
    leather |= {"tannage": part.tannage, "species": part.animal or leather["species"]}
    colour = _colour(run, spec.name, str(part.tannage), spec.colour)
    return leather_line(run.rulebase, spec.name, part.pieces, _quantity(run), leather, part.ends, part.count, colour)


def _made_of_else(run: Consultation) -> Iterator[Says]:
    for spec, pieces in parts_cut(run):
        if label := no_leather(run, spec):
            colour = colour_named(run.rulebase, spec.name, None, lambda n: _values(run, n))
            yield instead_line(spec.name, pieces, _quantity(run), label, colour)


def _fittings(run: Consultation) -> Iterator[Says]:
    item, at_hand = run.item(), _values(run, PARTS_AT_HAND)
    for fitting in run.rulebase.fittings.values():
        if fitting.name in at_hand:
            continue
        if item is not None and all(_holds(p, _values(run, p.attribute)) for p in fitting.when):
            count = item.fittings.get(fitting.counted_as)
            yield fitting_line(fitting, count, _quantity(run), lambda n: _values(run, n), run.rulebase)


def _holds(premise: Premise, values: Sequence[Value]) -> bool:
    return bool(values) if premise.operator == "known" else not set(premise.values).isdisjoint(values)


def _values(run: Consultation, name: str) -> tuple[Value, ...]:
    known = run.known.get(name)
    return known.values if known else ()


def _quantity(run: Consultation) -> int:
    return int(run.known["quantity"].values[0])


def _colour(run: Consultation, line: str, tannage: str, own: str = "") -> str | None:
    """The colour in which a leather of this tannage is bought for a line; ``own`` is what its part always has."""
    undyed = run.rulebase.undyed
    dyeing = undyed is not None and all(_holds(p, _values(run, p.attribute)) for p in undyed.when)
    wished = _first([str(v) for v in _values(run, COLOUR)])
    bought = own or colour_bought(run.rulebase, tannage, wished, dyeing)
    return colour_named(run.rulebase, line, bought, lambda n: _values(run, n))


def _first(names: Sequence[str]) -> str | None:
    return names[0] if names else None

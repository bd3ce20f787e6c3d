"""What to buy, line by line: the main leather, its thinner cuts, the leathers besides, and what is no leather.

The main leather is settled before. A part of its own takes the first of its tannages and the cheapest of its forms
that no law, limit or wish bars; where none is left, that is a conflict and no order stands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..codes import say
from ..leather.cutting import FormCount
from ..leather.pieces import MAIN_PARTS, Piece
from ..leather.price import Quote, quote
from ..rulebase.fittings import COLOUR, PARTS_AT_HAND
from ..rulebase.models import LIMITS, PART, PartSpec, Premise, Value
from ..rulebase.patterns import colour_bought, colour_named, compared_apart
from ..rulebase.written import Says, fitting_line, instead_line, leather_line, shared_line
from . import advice as view
from .settle import Claim, Clashing, excluded_by

if TYPE_CHECKING:
    from .consult import Consultation

MAIN = "body"
"""The part that the main leather is bought for."""
Cost = Callable[[FormCount, Quote | None], view.CostView | None]


@dataclass(frozen=True, slots=True)
class Apart:
    """A part that is bought by itself: its pieces, its tannage, and the form with its count, None by the length."""

    spec: PartSpec
    pieces: tuple[Piece, ...]
    tannage: str
    count: FormCount | None

    @property
    def ends(self) -> tuple[float, float]:
        """Its thinnest and thickest, mm."""
        return self.spec.low or 0.0, self.spec.high or 0.0


def cut_apart(run: Consultation) -> tuple[list[Apart], list[Clashing]]:
    """The parts that are bought by themselves, and those for which nothing is left to buy."""
    found: list[Apart] = []
    unmet: list[Clashing] = []
    if run.known.get("tannage") is None or run.known.get("quantity") is None:
        return found, unmet
    for spec, pieces in _parts(run):
        if spec.shares or _instead(run, spec) is not None:
            continue
        part = _apart(run, spec, pieces)
        if isinstance(part, Apart):
            found.append(part)
        else:
            unmet.append(part)
    return found, unmet


def _parts(run: Consultation) -> Iterator[tuple[PartSpec, tuple[Piece, ...]]]:
    """Each part that pieces are cut for, with these pieces."""
    item = run.item()
    of = {p.name: p.of for p in item.pieces} if item else {}
    for spec in item.parts.values() if item else ():
        if pieces := tuple(p for p in run.pieces if of[p.name] == spec.name):
            yield spec, pieces


def _instead(run: Consultation, spec: PartSpec) -> str | None:
    """What the part is made of where it is no leather, empty where it is left out; None where it is leather."""
    if spec.bought:
        return spec.bought
    known = run.known.get(spec.follows)
    return run.rulebase.instead.get(spec.follows, {}).get(str(known.values[0])) if known and known.values else None


def _apart(run: Consultation, spec: PartSpec, pieces: tuple[Piece, ...]) -> Apart | Clashing:
    about = f"{PART} {spec.name}"
    tannages = spec.tannages or tuple(str(v) for v in run.known["tannage"].values)
    against = _limits(run, "tannage")
    tannage = next((t for t in tannages if t not in against), None)
    if tannage is None:
        claims = [c for t in tannages for c in against[t]]
        return Clashing(about, _once(claims), say("none_left"))
    if not spec.forms:
        return Apart(spec, pieces, tannage, None)
    against = _limits(run, "form")
    thickest = run.rulebase.decisions["form"].table("thickest")
    forms = [f for f in spec.forms if f not in against and float(thickest[f]) >= (spec.low or 0.0)]
    if not forms:
        claims = [c for f in spec.forms for c in against.get(f, ())]
        return Clashing(about, _once(claims), say("not_sold_so"))
    extra = run.known.get("extra_waste")
    quantity = int(run.known["quantity"].values[0])
    waste = float(extra.values[0]) if extra and extra.values else 0.0
    counts = compared_apart(run.rulebase, pieces, tannage, forms, quantity, waste)
    count = next((c for c in counts if c.fits), None)
    if count is None:
        return Clashing(about, (), say("too_large"), ways=_TOO_LARGE)
    return Apart(spec, pieces, tannage, count)


def _limits(run: Consultation, decision: str) -> Mapping[str, list[Claim]]:
    """Candidate -> what bars it for any part of the thing: law, health, limits and wishes, not what suits the body."""
    claims = [c for c in run.claims.get(decision, ()) if c.firing.rule.concern in LIMITS]
    return excluded_by(run.rulebase.decisions[decision], claims)


def _once(claims: Sequence[Claim]) -> tuple[Claim, ...]:
    return tuple({c.firing.rule.id: c for c in claims}.values())


def order_lines(run: Consultation, cost: Cost) -> list[view.OrderLine]:
    """Every line of the order; none where a part of it cannot be bought or is not settled."""
    main = _main_line(run)
    if main is None or run.unmet_parts:
        return []
    says, counted = main
    lines: list[tuple[Says, FormCount | None]] = [(says, counted)]
    lines += [(line, None) for line in _shared(run, says)]
    lines += [(_apart_line(run, part, says), part.count) for part in run.parts_apart]
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
    for spec, pieces in _parts(run):
        if spec.shares:
            low, high = spec.low or main["low_mm"], spec.high or main["high_mm"]
            # A part is never thicker than the leather it is split from.
            ends = min(low, main["low_mm"]), min(high, main["high_mm"])
            yield shared_line(run.rulebase, spec.name, pieces, main, ends)


def _apart_line(run: Consultation, part: Apart, main: Says) -> Says:
    spec, own = part.spec, bool(part.spec.tannages)
    like_main = {d: None if own else main[d] for d in ("grain", "surface", "temper", "cut", "species")}
    leather = {d: getattr(spec, d) or like for d, like in like_main.items()} | {"tannage": part.tannage}
    colour = _colour(run, spec.name, part.tannage, spec.colour)
    return leather_line(run.rulebase, spec.name, part.pieces, _quantity(run), leather, part.ends, part.count, colour)


def _made_of_else(run: Consultation) -> Iterator[Says]:
    for spec, pieces in _parts(run):
        if label := _instead(run, spec):
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
    return own or colour_named(run.rulebase, line, bought, lambda n: _values(run, n))


def _first(names: Sequence[str]) -> str | None:
    return names[0] if names else None


_TOO_LARGE = (say("cut_in_parts"), say("make_smaller"))

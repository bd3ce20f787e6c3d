"""The leathers of a thing besides the main one: each tannage, animal and thickness settled from reasons of its own.

Nothing that rules read hangs on them, so they are settled last. For each part its item gives a ranking and a
thickness, rules speak of what it is there for ("tannage of the lining"), and of what is said of the main leather only
what binds the whole thing counts: law, health, limits and wishes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ..codes import say
from ..leather.cutting import FormCount
from ..leather.pieces import Piece
from ..rulebase.models import LIMITS, PART, PartSpec, of_part
from ..rulebase.parts import sold_between
from ..rulebase.patterns import compared_apart, suits_animal
from .buying import relative_prices
from .resolve_choice import MUSTS
from .settle import Claim, Clashing, Ledger, Window, excluded_by, settle_choice, settle_window

if TYPE_CHECKING:
    from .consult import Consultation


@dataclass(slots=True)
class PartLeather:
    """A part of leather: its pieces, what its reasons came to, and the form with its count, None by the length.

    ``tannage`` is None where nothing is left, and of what shares the main leather; ``clash`` says why nothing is left.
    """

    spec: PartSpec
    pieces: tuple[Piece, ...]
    tannages: Ledger
    species: Ledger
    window: Window
    tannage: str | None = None
    animal: str | None = None
    count: FormCount | None = None
    sold: tuple[float, float] = (0.0, float("inf"))
    clash: Clashing | None = None
    named: str = field(init=False)

    def __post_init__(self) -> None:
        self.named = f"{PART} {self.spec.name}"

    @property
    def choices(self) -> dict[str, Ledger]:
        """The choices that are its own, by decision: none of what is tanned as the main leather or of any animal."""
        found = {"tannage": self.tannages} if self.spec.tannages else {}
        return found | ({"species": self.species} if self.species.chosen else {})

    @property
    def apart(self) -> bool:
        """Whether it is bought by itself."""
        return not self.spec.shares and self.clash is None

    @property
    def ends(self) -> tuple[float, float]:
        """The thinnest and thickest to buy, mm: no thinner and no thicker than its tannage and its form are sold."""
        return max(self.window.low or 0.0, self.sold[0]), min(self.window.high or 0.0, self.sold[1])


def parts_cut(run: Consultation) -> Iterator[tuple[PartSpec, tuple[Piece, ...]]]:
    """Each part that pieces are cut for, with these pieces."""
    item = run.item()
    of = {p.name: p.of for p in item.pieces} if item else {}
    for spec in item.parts.values() if item else ():
        if pieces := tuple(p for p in run.pieces if of[p.name] == spec.name):
            yield spec, pieces


def no_leather(run: Consultation, spec: PartSpec) -> str | None:
    """What a part is made of where it is no leather, empty where it is left out; None where it is leather."""
    if spec.bought:
        return spec.bought
    known = run.known.get(spec.follows)
    return run.rulebase.instead.get(spec.follows, {}).get(str(known.values[0])) if known and known.values else None


def part_leathers(run: Consultation) -> list[PartLeather]:
    """Every part that is of leather, settled; none while the main leather is open."""
    if run.known.get("tannage") is None or run.known.get("quantity") is None:
        return []
    return [_settled(run, spec, pieces) for spec, pieces in parts_cut(run) if no_leather(run, spec) is None]


def claims_of(run: Consultation, spec: PartSpec, decision: str) -> list[Claim]:
    """What is said of one part: by its item, of its role, and for the whole thing."""
    whole = [
        c
        for c in run.claims.get(decision, ())
        if c.firing.rule.concern in LIMITS and c.conclusion.act in MUSTS and not spec.shares
    ]
    own = [c for c in run.claims.get(of_part(decision, spec.name), ()) if c.firing.rule.item is not None]
    of_role = run.claims.get(of_part(decision, spec.role), ()) if spec.role else ()
    return [*whole, *own, *(c for c in of_role if c.firing.rule.item is None)]


def _settled(run: Consultation, spec: PartSpec, pieces: tuple[Piece, ...]) -> PartLeather:
    base, item = run.rulebase, run.item()
    ledgers: dict[str, Ledger] = {}
    for name in ("tannage", "species"):
        decision = base.choice_of(spec.name, name)
        cost = relative_prices(base, decision) if "price" in decision.properties else {}
        ledgers[name] = settle_choice(decision, claims_of(run, spec, name), item, run.own, cost)
    about = of_part("weight", spec.name)
    window = settle_window(claims_of(run, spec, "weight"), run.bound_value, about)
    part = PartLeather(spec, pieces, ledgers["tannage"], ledgers["species"], window)
    if spec.shares:
        return part
    if window.clash:
        part.clash = Clashing(part.named, window.clash.claims, window.clash.outcome)
        return part
    part.tannage, part.animal = _tannage(run, part), next(iter(part.species.chosen), None)
    if part.tannage is None:
        tannages = spec.tannages or tuple(str(v) for v in run.known["tannage"].values)
        against = excluded_by(base.decisions["tannage"], claims_of(run, spec, "tannage"))
        part.clash = Clashing(part.named, _once([c for t in tannages for c in against.get(t, ())]), say("none_left"))
        return part
    part.sold = sold_between(base.decisions, part.tannage) or part.sold
    if spec.forms:
        _cut(run, part)
    return part


def _tannage(run: Consultation, part: PartLeather) -> str | None:
    """The one that leads; of what is tanned as the main leather that one, unless something bars it here."""
    if part.spec.tannages:
        return next(iter(part.tannages.chosen), None)
    main = str(run.known["tannage"].values[0])
    return None if main in part.tannages.excluded else main


def _cut(run: Consultation, part: PartLeather) -> None:
    """Take the cheapest form of the first animal that has one, or say why there is none."""
    base, spec, tannage = run.rulebase, part.spec, part.tannage
    against = excluded_by(base.decisions["form"], claims_of(run, spec, "form"))
    thickest = base.decisions["form"].table("thickest")
    forms = [f for f in spec.forms if f not in against and float(thickest[f]) >= (part.window.low or 0.0)]
    sold = [f for f in forms if suits_animal(base, f, None, part.species.excluded)]
    if not sold:
        claims = [c for f in spec.forms for c in against.get(f, ())]
        part.clash = Clashing(part.named, _once(claims), say("not_sold_so"))
        return
    extra = run.known.get("extra_waste")
    quantity = int(run.known["quantity"].values[0])
    waste = float(extra.values[0]) if extra and extra.values else 0.0
    counts = [c for c in compared_apart(base, part.pieces, str(tannage), sold, quantity, waste) if c.fits]
    animals: list[str | None] = [*part.species.chosen, *part.species.also_fits]
    for animal in animals or [None]:
        found = next((c for c in counts if suits_animal(base, c.form, animal)), None)
        if found is not None:
            part.animal, part.count = animal, found
            part.sold = part.sold[0], min(part.sold[1], float(thickest[found.form]))
            return
    part.clash = Clashing(part.named, (), say("too_large"), ways=TOO_LARGE)


def _once(claims: Sequence[Claim]) -> tuple[Claim, ...]:
    return tuple({c.firing.rule.id: c for c in claims}.values())


TOO_LARGE = (say("cut_in_parts"), say("make_smaller"))

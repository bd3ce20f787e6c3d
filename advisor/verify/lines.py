"""What is to be bought, worked out anew line by line; and that the advice shows exactly these lines."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ..codes import Saying, say
from ..leather.pieces import MAIN_PARTS, Piece
from ..rulebase import models, patterns, written
from ..rulebase.fittings import PARTS_AT_HAND
from .known import INF, agree
from .weigh import Met, Weigh, Weighed

LEFT, NOT_SOLD, TOO_LARGE = say("none_left"), say("not_sold_so"), say("too_large")


@dataclass
class Leather:
    """A part of leather as it must be; ``left`` says why nothing is left to buy."""

    spec: models.PartSpec
    pieces: list[Piece]
    weighed: dict[str, Weighed]
    met: Met
    tannage: str = ""
    animal: str | None = None
    count: Any = None
    sold: tuple[float, float] = (0.0, INF)
    left: Saying | None = None

    @property
    def ends(self) -> tuple[float, float]:
        """The thinnest and thickest to buy, mm."""
        low, high = self.met.ends
        return max(low or 0.0, self.sold[0]), min(high or 0.0, self.sold[1])

    def shown(self, lines: "Lines") -> dict[str, Any]:
        """How the advice shows what was settled."""
        choices: dict[str, Any] = {
            name: w.view | {"open": None if w.lead else say("reasons_clash").written()}
            for name, w in self.weighed.items()
        }
        bounds = [{k: v for k, v in b.items() if k not in ("name", "of", "line")} for b in lines.bounds_shown(self.met)]
        names = {"part": self.spec.name, "role": self.spec.role}
        ends = dict(zip(("low_mm", "high_mm"), self.met.ends, strict=True))
        of = {name: choices.get(name) for name in models.CHOSEN_FOR_PARTS}
        return {**names, **of, **ends, "bounds": bounds}


class Lines(Weigh):
    """The order of one advice. ``forms`` gives every form compared for the main leather."""

    def __init__(self, advice: Any, base: models.RuleBase) -> None:
        super().__init__(advice, base)
        self.leathers: list[Leather] = []

    def forms(self) -> list[Any]:
        """Every form to buy, compared for the pieces and the tannage."""
        try:
            return patterns.compared(self.base, self.facts.__getitem__, self.parts.get("pieces", [()])[0])
        except ValueError:
            return []

    def of_parts(self) -> list[tuple[models.PartSpec, list[Piece]]]:
        """The parts of the item with the pieces cut for each; pieces of the main leather belong to none."""
        pieces: Sequence[Piece] = self.parts.get("pieces", [()])[0]
        of = {p.name: p.of for p in self.item.pieces} if self.item else {}
        cut = [(s, [p for p in pieces if of[p.name] == n]) for n, s in self.item.parts.items()] if self.item else []
        return [(spec, among) for spec, among in cut if among]

    def instead(self, spec: models.PartSpec) -> str | None:
        """What a part is made of where it is no leather; an empty text leaves it out."""
        value = "".join(map(str, self.facts[spec.follows][:1]))
        return spec.bought or self.base.instead.get(spec.follows, {}).get(value)

    def said_of(self, spec: models.PartSpec, decision: str) -> list[Any]:
        """The claims about one part: what binds the whole thing, what its item says, what is said of its role."""
        names = [models.of_part(decision, n) for n in (spec.name, spec.role)]
        whole = [
            c
            for c in self.claims[decision]
            if c[1].concern in models.LIMITS and c[2].act in ("exclude", "require") and not spec.shares
        ]
        own = [c for c in self.claims[names[0]] if c[1].item is not None]
        return [*whole, *own, *(c for c in self.claims[names[1]] if spec.role and c[1].item is None)]

    def settle_parts(self) -> None:
        """Every leather besides the main one, its steps, and that the advice shows it so."""
        told = self.advice["order"]["parts"]
        if not (self.facts["tannage"] and self.facts["quantity"]):
            return
        for spec, pieces in self.of_parts():
            if self.instead(spec) is not None:
                continue
            part = self.part(spec, pieces)
            self.leathers.append(part)
            if part.left:
                self.clashes.append((f"{models.PART} {spec.name}", part.left.written()))
            for name, w in part.weighed.items():
                d = self.base.choice_of(spec.name, name)
                self.roots[d.name] = self.balance(d, w, self.prices_of(d), [])
            if part.met.rows:
                about = models.of_part("weight", spec.name)
                self.roots[about] = self.window_step(about, part.met)
        shown = [] if self.barred else [part.shown(self) for part in self.leathers]
        agree("parts", [p.get("part") for p in told], [p["part"] for p in shown])
        for seen, must in zip(told, shown, strict=True):
            agree(f"part {must['part']}", seen, must)
        self.views_of["parts"] = shown

    def part(self, spec: models.PartSpec, pieces: list[Piece]) -> "Leather":
        """One part of leather, settled."""
        weighed = dict[str, Weighed]()
        for name in models.CHOSEN_FOR_PARTS:
            d = self.base.choice_of(spec.name, name)
            weighed[name] = self.weighed(d, self.said_of(spec, name), self.prices_of(d))
        tannages, species = weighed["tannage"], weighed["species"]
        own = {"tannage": tannages} if spec.tannages else {}
        own |= {"species": species} if species.lead else {}
        part = Leather(spec, pieces, own, self.met(self.said_of(spec, "weight")))
        if spec.shares:
            return part
        if part.met.clash:
            part.left = say("no_thickness")
            return part
        main = [str(t) for t in self.facts["tannage"] if t not in tannages.gone]
        part.tannage = next(iter(tannages.lead if spec.tannages else main), "")
        part.animal = next(iter(species.lead), None)
        if not part.tannage:
            part.left = LEFT
            return part
        told = self.base.decisions["tannage"].candidates[part.tannage].properties
        part.sold = float(told.get("thinnest", 0.0)), float(told.get("thickest", INF))
        if spec.forms:
            self.cut_part(part, species)
        return part

    def cut_part(self, part: "Leather", species: Weighed) -> None:
        """The cheapest form of the first animal that has one."""
        thickest = self.base.decisions["form"].table("thickest")
        out, low = self.barring(self.said_of(part.spec, "form")), part.met.ends[0] or 0.0
        forms = [f for f in part.spec.forms if f not in out and float(thickest[f]) >= low]
        forms = [f for f in forms if patterns.suits_animal(self.base, f, None, species.gone)]
        if not forms:
            part.left = NOT_SOLD
            return
        extra = float((self.facts["extra_waste"] or [0])[0])
        held = patterns.compared_apart(self.base, part.pieces, part.tannage, forms, self.quantity(), extra)
        animals: list[str | None] = [*species.fits]
        for animal in animals or [None]:
            for count in held:
                if count.fits and patterns.suits_animal(self.base, count.form, animal):
                    part.animal, part.count = animal, count
                    part.sold = part.sold[0], min(part.sold[1], float(thickest[count.form]))
                    return
        part.left = TOO_LARGE

    def colour(self, line: str, tannage: str, own: str = "") -> str | None:
        """The colour in which a leather of this tannage is bought for a line; ``own`` is what its part usually has."""
        undyed, wished = self.base.undyed, "".join(self.facts["colour"][:1]) or None
        dyeing = undyed is not None and all(self.options(p) for p in undyed.when)
        bought = own or patterns.colour_bought(self.base, tannage, wished, dyeing)
        return patterns.colour_named(self.base, line, bought, self.facts.__getitem__)

    def quantity(self) -> int:
        """How many items are made."""
        return int(self.facts["quantity"][0])

    def lines(self) -> list[Any]:
        """Every line as it must be, with how many of a form it stands for."""
        base, item, known = self.base, self.item, self.facts.__getitem__
        window = self.made.get(self.roots.get("weight", ""), {})
        low, high = window.get("low_mm"), window.get("high_mm")
        count = next((f for f in self.forms() if f.fits and [f.form] == known("form")), None)
        lost = self.parts.get("pieces", [(), (), {}])[2]
        if (
            item is None
            or low is None
            or high is None
            or count is None
            or any(part.left for part in self.leathers)
            or lost
        ):
            return []
        thickest = float(base.decisions["form"].candidates[count.form].properties["thickest"])
        if thickest < low:
            return []
        of = {p.name: p.of for p in item.pieces}
        body = [p for p in self.parts["pieces"][0] if p.part in MAIN_PARTS and not of[p.name]]
        many = self.quantity()
        chosen = {d.name: "".join(known(d.name)[:1]) or None for d in base.choices() if d.name != "form"}
        colour = self.colour("body", str(chosen["tannage"]))
        main = written.leather_line(base, "body", body, many, chosen, (low, min(high, thickest)), count, colour)
        found: list[Any] = [(main, count)]
        for part in (p for p in self.leathers if p.spec.shares):
            ends = [min(e or main[k], main[k]) for e, k in zip(part.met.ends, ("low_mm", "high_mm"), strict=True)]
            shared = written.shared_line(base, part.spec.name, part.pieces, main, (ends[0], ends[1]))
            found.append((shared, None))
        for part in (p for p in self.leathers if not p.spec.shares):
            spec, own = part.spec, bool(part.spec.tannages)
            leather = {n: getattr(spec, n) or (None if own else main[n]) for n in ("grain", "surface", "temper", "cut")}
            leather |= {"tannage": part.tannage, "species": part.animal or (None if own else main["species"])}
            tint = self.colour(spec.name, part.tannage, spec.colour)
            cut = written.leather_line(base, spec.name, part.pieces, many, leather, part.ends, part.count, tint)
            found.append((cut, part.count))
        for spec, pieces in self.of_parts():
            if instead := self.instead(spec):
                tint = patterns.colour_named(base, spec.name, None, known)
                found.append((written.instead_line(spec.name, pieces, many, instead, tint), None))
        have = known(PARTS_AT_HAND)
        needed = [f for f in base.fittings.values() if f.name not in have and all(self.options(p) for p in f.when)]
        found += [(written.fitting_line(f, item.fittings.get(f.counted_as), many, known, base), None) for f in needed]
        return found

    def order_shown(self, stands: bool) -> None:
        """The advice shows these lines and no others, none where no order ``stands``; prices of a shop are given."""
        told, lines = self.advice["order"]["lines"], self.lines() if stands else []
        agree("order", [line["id"] for line in told], [says["id"] for says, _ in lines])
        for part, (says, count) in zip(told, lines, strict=True):
            agree(f"order line {says['id']}", {k: v for k, v in part.items() if k != "cost"}, says)
            if self.shows["amount"]["prices"] is None:
                index = None if count is None else round(count.relative_cost, 2)
                agree(f"order line {says['id']} cost", part["cost"] and part["cost"]["index"], index)

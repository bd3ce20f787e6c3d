"""What is to be bought, worked out anew line by line; and that the advice shows exactly these lines."""

from collections.abc import Sequence
from typing import Any

from ..codes import Saying, say
from ..leather.pieces import MAIN_PARTS, Piece
from ..rulebase import models, patterns, written
from ..rulebase.fittings import PARTS_AT_HAND
from .known import Known, agree

LEFT, NOT_SOLD, TOO_LARGE = say("none_left"), say("not_sold_so"), say("too_large")


class Lines(Known):
    """The order of one advice. ``forms`` gives every form compared for the main leather."""

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

    def barred_for_all(self, decision: str) -> set[str]:
        """Candidates that law, health, a limit or a wish excludes from the whole thing."""
        gone: dict[str, list[str]] = self.excluded(self.base.decisions[decision])
        return {c for c, by in gone.items() if any(self.base.rules[r].concern in models.LIMITS for r in by)}

    def apart(self, spec: models.PartSpec, pieces: list[Piece]) -> tuple[str, Any] | Saying:
        """The tannage of a part and how many of which form, None by the length; or why there is none."""
        out = self.barred_for_all("tannage")
        tannages = [t for t in spec.tannages or map(str, self.facts["tannage"]) if t not in out]
        if not tannages:
            return LEFT
        out, thickest = self.barred_for_all("form"), self.base.decisions["form"].table("thickest")
        forms = [f for f in spec.forms if f not in out and float(thickest[f]) >= (spec.low or 0)]
        if not spec.forms or not forms:
            return NOT_SOLD if spec.forms else (tannages[0], None)
        extra = float((self.facts["extra_waste"] or [0])[0])
        held = patterns.compared_apart(self.base, pieces, tannages[0], forms, self.quantity(), extra)
        return next(((tannages[0], count) for count in held if count.fits), TOO_LARGE)

    def colour(self, line: str, tannage: str) -> str | None:
        """The colour in which a leather of this tannage is bought for a line of the order."""
        undyed, wished = self.base.undyed, "".join(self.facts["colour"][:1]) or None
        dyeing = undyed is not None and all(self.options(p) for p in undyed.when)
        bought = patterns.colour_bought(self.base, tannage, wished, dyeing)
        return patterns.colour_named(self.base, line, bought, self.facts.__getitem__)

    def quantity(self) -> int:
        """How many items are made."""
        return int(self.facts["quantity"][0])

    def unmet(self) -> list[tuple[str, Any]]:
        """The parts for which nothing is left to buy, as conflicts."""
        if not (self.facts["tannage"] and self.facts["quantity"]):
            return []
        own = [(s, self.apart(s, p)) for s, p in self.of_parts() if not s.shares and self.instead(s) is None]
        return [(f"{models.PART} {s.name}", why.written()) for s, why in own if isinstance(why, Saying)]

    def lines(self) -> list[Any]:
        """Every line as it must be, with how many of a form it stands for."""
        base, item, known = self.base, self.item, self.facts.__getitem__
        window = self.made.get(self.roots.get("weight", ""), {})
        low, high = window.get("low_mm"), window.get("high_mm")
        count = next((f for f in self.forms() if f.fits and [f.form] == known("form")), None)
        lost = self.parts.get("pieces", [(), (), {}])[2]
        if item is None or low is None or high is None or count is None or self.unmet() or lost:
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
        leathers = [(s, p, self.instead(s)) for s, p in self.of_parts()]
        for spec, pieces, _ in leathers:
            if spec.shares:
                ends = [min(e or main[k], main[k]) for e, k in ((spec.low, "low_mm"), (spec.high, "high_mm"))]
                found.append((written.shared_line(base, spec.name, pieces, main, (ends[0], ends[1])), None))
        for spec, pieces, instead in leathers:
            said = None if spec.shares or instead is not None else self.apart(spec, pieces)
            if said is not None and not isinstance(said, Saying):
                names, own = ("grain", "surface", "temper", "cut", "species"), bool(spec.tannages)
                leather = {n: getattr(spec, n) or (None if own else main[n]) for n in names} | {"tannage": said[0]}
                ends = [float(spec.low or 0), float(spec.high or 0)]
                line = written.leather_line(
                    base,
                    spec.name,
                    pieces,
                    many,
                    leather,
                    (ends[0], ends[1]),
                    said[1],
                    spec.colour or self.colour(spec.name, said[0]),
                )
                found.append((line, said[1]))
        for spec, pieces, instead in leathers:
            if instead:
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

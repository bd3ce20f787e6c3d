"""The whole advice as it must be, part by part, so that nothing in it is passed over.

What the steps come to is written down as the advice must show it, and the advice must say exactly that: no part more,
none less. A part that no step stands behind is a ``Told`` in its place: it may say anything it can say, and its name
is one of ``NOT_CHECKED``.
"""

from __future__ import annotations

from typing import Any

from ..codes import say
from ..leather.pieces import MAIN_PARTS, net_area
from ..leather.showing import layers
from ..leather.stack import zone_thickness
from ..leather.units import show_weight
from ..rulebase import models, patterns, written
from .beside import Beside
from .known import INF, Fault
from .told import Told, difference

WHY_NONE = {
    "refuse": say("no_leather").written(),
    "another_material": say("no_leather").written(),
    models.WITHHELD: say("somebody_decides").written(),
    "undecided": say("danger_open").written(),
}
CONCLUSIONS = ("tannage", "grain", "surface", "temper", "weight", "cut", "species", "form", "amount", "outcome")


class Whole(Beside):
    """One advice against the rules, each part of it."""

    def __init__(self, advice: Any, base: models.RuleBase, prices: str | None = None) -> None:
        super().__init__(advice, base)
        self.by = prices

    def run(self) -> None:
        """Raise Fault at the first step, and then at the first part, that does not hold."""
        super().run()
        if self.by is not None and (by := self.told.get("prices", {}).get("sha256", self.by)) != self.by:
            raise Fault(f"prices sha256: found {by!r}, expected {self.by!r}")
        named = {k: getattr(self.base, k) for k in ("name", "version", "sha256")}
        decisions = {d.name: self.chosen(d) for d in self.base.choices()}
        decisions |= {"weight": self.weight(), "amount": self.amounts()}
        reading, proof = (Told(lambda _: True, "") for _ in range(2))  # the proof was compared step by step
        parts = {
            "schema": written.ADVICE_SCHEMA,
            "rulebase": named,
            "reading": reading,
            "outcome": Told(lambda _: True, ""),
            "conflicts": self.conflicts(),
            "outcome_reasons": self.why_so(),
            "facts": self.told_facts(),
            "decisions": decisions,
            "order": {"lines": self.lines_costed(), "parts": self.views_of.get("parts", [])},
            "stacks": self.stacks(),
            "basket": self.basket(),
            "cautions": self.cautions(),
            "open_questions": self.questions(),
            "trace": self.trace(),
            "evidence": self.evidence(),
            "proof": proof,
        }
        for name in [k for k in (*parts, *self.advice) if k not in parts or k not in self.advice]:
            raise Fault(f"{name}: " + ("it is left out" if name in parts else "no such part is expected"))
        for name, part in parts.items():
            if text := difference(self.advice[name], part, name):
                raise Fault(text)

    def evidence(self) -> Any:
        """The evidence, whose parts were compared one by one, in the order of the conclusions."""
        told = {e["conclusion"]: e for e in self.advice["evidence"]}
        names = ("conclusion", "grade", "by", "supposed")
        return [{k: told[conclusion][k] for k in names} for conclusion in CONCLUSIONS if conclusion in told]

    @property
    def why_none(self) -> Any:
        """Why no order is shown, where none is."""
        verdict = self.made[self.roots["outcome"]] if "outcome" in self.roots else {}
        withheld = verdict.get("outcome") == "defer" and verdict.get("order") == "withheld"
        return WHY_NONE[models.WITHHELD if withheld else str(verdict.get("outcome"))]

    @property
    def unsettled(self) -> Any:
        """Why nothing was chosen where nothing speaks for it."""
        return (say("nothing_speaks") if self.item else say("thing_unknown")).written()

    # -- decisions

    def chosen(self, d: models.Decision) -> Any:
        """A choice with why it is open, if it is."""
        view = self.views_of[d.name]
        clash = d.name in [about for about, _ in self.clashes]
        why = say("reasons_clash").written() if clash else self.unsettled
        return view | {"open": self.why_none if self.barred else None if view["chosen"] else why}

    def weight(self) -> Any:
        """The window, with the bands that one bound less would leave."""
        view, ways = self.views_of["weight"], []
        clash = "weight" in [about for about, _ in self.clashes]
        ends = self.nodes.get(self.roots.get("weight", ""), {}).get("from", ()) if clash and not self.barred else ()
        rules = [self.base.rules[self.made[k]["rule"]] for k in ends if self.made[k]["kind"] == "bound"]
        for rule in sorted(sorted(rules, key=lambda r: self.side(r.id)), key=lambda r: r.item is not None):
            low, high, must, _ = self.meet([c for c in self.claims["weight"] if c[1].id != rule.id])
            if abs(low) != INF and abs(high) != INF and must[0] <= must[1] and (band := show_weight(low, high, "inch")):
                ways.append({"without": rule.id, "order_as": band, "low_mm": low, "high_mm": high})
        why = self.why_none if self.barred else say("bounds_clash").written() if clash else None
        why = why or (None if view["order_as"] else self.unsettled)
        bounds = [{k: v for k, v in b.items() if k not in ("name", "of", "line")} for b in view["bounds"]]
        return view | {"bounds": bounds, "ways_out": ways, "open": why}

    def side(self, rule: str) -> bool:
        """Whether the bound of a rule that clashes is the upper one."""
        return any(c.act == "at most" for c in self.base.rules[rule].then if c.target == "weight")

    def amounts(self) -> Any:
        """How much leather, with every form compared."""
        pieces, sums, _ = self.parts.get("pieces", [(), (), {}])
        if self.barred or self.item is None or not pieces:
            why = self.why_none if self.barred else self.unreckoned() or self.unsettled
            empty: Any = {"net_area_dm2": None, "gross_area_dm2": None, "pieces": [], "parts": {}, "forms": []}
            return empty | {"prices": None, "open": why}
        try:
            compared, failed = patterns.compared(self.base, self.facts.__getitem__, pieces), None
        except ValueError:
            compared, failed = [], say("forms_not_reckoned").written()
        gone, forms = self.excluded(self.base.decisions["form"]), []
        for f in compared:
            out = self.in_standing(gone.get(f.form, []))
            forms.append(
                {
                    "form": f.form,
                    "count": f.count,
                    "fits": f.fits and not out,
                    "why_not": self.rule_says(out[0]) if out and f.fits else f.why_not and f.why_not.written(),
                    "gross_dm2": round(f.gross_dm2, 2),
                    "leftover_dm2": round(f.leftover_dm2, 2),
                    "how": f.how,
                    "cost": self.cost(f),
                }
            )
        main = [p for p in pieces if p.part in MAIN_PARTS]
        return {
            "net_area_dm2": round(net_area(main) * float(self.value_of("quantity") or 1.0), 2) if main else None,
            "gross_area_dm2": next((f["gross_dm2"] for f in forms if [f["form"]] == self.facts["form"]), None),
            "pieces": [
                {
                    "name": p.name,
                    "part": p.part,
                    "count": p.count,
                    "length_mm": round(p.length_mm, 1),
                    "width_mm": round(p.width_mm, 1),
                    "formula": line,
                }
                for p, line in zip(pieces, sums, strict=True)
            ],
            "parts": {name: part.what for name, part in self.item.parts.items()},
            "forms": forms,
            "prices": self.list_named(),
            "open": failed,
        }

    def rule_says(self, rule: str) -> Any:
        """The reason of a rule, with its name."""
        return say("rule_says", rule=rule, because=self.base.rules[rule].because).written()

    def unreckoned(self) -> Any:
        """What keeps the pieces or a sum from being reckoned: sizes that are not known, else the first that fails."""
        sizes = dict.fromkeys(str(s.params["attribute"]) for s in self.lost.values() if s.code == "size_unknown")
        first = next((s.written() for s in self.lost.values()), None)
        return say("sizes_unknown", attributes=list(sizes)).written() if sizes else first

    def list_named(self) -> Any:
        """The price list by its name, where a step stands on it."""
        if (node := self.told.get("prices")) is None:
            return Told(lambda found: found is None or isinstance(found, dict), "the name of a price list")
        house = node["house"]
        return (say("invented_prices", house=house) if node["invented"] else say("prices", house=house)).written()

    def cost(self, count: Any) -> Any:
        """What so many of a form cost; with a price list its money is told."""
        if count is None or count.relative_cost is None:
            return None
        names = ("total", "currency", "per_item", "with_spare", "after_offcuts")
        index = {"index": round(count.relative_cost, 2)}
        if self.shows["amount"]["prices"] is None:
            return index | dict.fromkeys(names) | {"why_not": None}
        money = Told(lambda found: found is None or isinstance(found, str), "an amount of money")
        reason = Told(lambda found: found is None or isinstance(found, dict), "a reason")
        return index | dict.fromkeys(names, money) | {"why_not": reason}

    def lines_costed(self) -> Any:
        """Every line of the order with what it costs."""
        stands = "outcome" in self.roots and not self.barred
        return [says | {"cost": self.cost(count)} for says, count in self.lines()] if stands else []

    # -- beside the order

    def stacks(self) -> Any:
        """How thick each place is at the advised weight."""
        if self.barred or not self.facts["weight"]:
            return []
        mm, zones = float(self.facts["weight"][0]), self.parts.get("zones", [()])[0]
        limits = {"sewn": self.value_of("sew_max"), "closed": self.value_of("closed_max")}
        return [
            {
                "zone": z.name,
                "kind": z.kind,
                "mm": round(zone_thickness(z, mm), 2),
                "formula": layers(z, mm),
                "limit_mm": limits.get(z.kind),
            }
            for z in zones
        ]

    def basket(self) -> Any:
        """What else follows from the order."""
        found = []
        for name, a in self.base.attributes.items():
            if a.group != "basket" or self.barred or self.value_of(name) in (None, 0):
                continue
            value, node = self.value_of(name), self.node(name)
            meaning = a.values[str(value)].means if a.values else ""
            rests = node.get("line") or ", ".join(node.get("rules", ()))
            found.append({"what": name, "value": meaning or value, "unit": a.unit, "formula": rests, "basis": a.basis})
        return found

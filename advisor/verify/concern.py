"""What stands beside the order, worked out anew: which cautions concern the thing, facts, trace and evidence."""

from collections.abc import Collection
from typing import Any

from ..rulebase import models
from .known import GRADES, agree, shown
from .lines import Lines


class Concern(Lines):
    """The cautions of one advice: which of them this thing, the leather as chosen and this use can meet."""

    def concern_shown(self, raised: Collection[str], listed: Any) -> None:
        """Raise Fault at the first caution in the list that is out of place, or marked for another thing than this."""
        told = [c["id"] for c in listed]
        order = sorted(told, key=lambda name: (name not in raised, *self.harm(name)))
        agree("order of cautions", told, order)
        met = [name for name in order if self.meets(self.base.cautions[name], name in raised)]
        always = {name for name in met if name in raised and self.base.cautions[name].severity == "stop"}
        met = [n for n in met if n in always or not set(met) & set(self.base.cautions[n].told_by)]
        notes = [name for name in sorted(met, key=self.harm) if self.base.cautions[name].severity == "note"]
        left_out = notes[0 if self.barred else models.MOST_NOTES :]
        for c in listed:
            agree(f"caution {c['id']} relevant", c["relevant"], c["id"] in met and c["id"] not in left_out)

    def harm(self, name: str) -> tuple[int, int, int]:
        """Where a caution stands among others."""
        c = self.base.cautions[name]
        return models.SEVERITIES.index(c.severity), c.rank, list(self.base.cautions).index(name)

    def meets(self, c: models.Caution, raised: bool) -> bool:
        """Whether the thing can meet it: a stop that applies always, all else by what is declared of it."""
        if raised and c.severity == "stop":
            return True
        told_else = [p for p in c.concerns if self.facts[p.attribute] and not self.options(p)]
        return not told_else and (raised or any(all(map(self.options, way)) for way in c.met_by or ()))

    def views(self, order: list[str]) -> None:
        """The facts, the trace and the evidence that the advice shows; and that the proof has no step besides."""
        advice, base = self.advice, self.base
        known = {n: self.made[key] for n, key in self.roots.items() if n in base.attributes}
        agree("facts", sorted(advice["facts"]), sorted(known))
        for name, n in known.items():
            many = base.attributes[name].kind == "set" and (n["value"] or n["kind"] != "answer")
            value, rule = n["value"] if many else next(iter(n["value"]), None), next(iter(n.get("rules", ())), None)
            says = {"value": value, "unit": n["unit"], "rule": rule, "formula": n.get("line")}
            shown(f"fact {name}", advice["facts"][name], says)
        for key, part in zip(order, advice["trace"], strict=True):
            rule = base.rules[self.made[key]["rule"]]
            more = {"withdrawn_by": self.winner(rule.id), "basis": rule.basis, "source": list(rule.source)}
            but = ("kind", "premises", "grade", "by", "from", "besides")
            shown(f"trace {rule.id}", part, self.made[key] | more, but)
        graded = {n: self.graded[k] for n, k in self.roots.items() if n in [*base.decisions, "amount", "outcome"]}
        graded = {n: told for n, told in graded.items() if told[0][0] >= 0}
        agree("evidence", sorted(e["conclusion"] for e in advice["evidence"]), sorted(graded))
        for part in advice["evidence"]:
            (grade, by), supposed = graded[part["conclusion"]]
            says = {"grade": GRADES[grade], "by": by, "supposed": sorted(supposed)}
            shown(f"evidence of {part['conclusion']}", part, says)
        lost = [step for key in order if (step := self.stands(key)) != key]
        agree("proof", self.proof, {"roots": self.roots, "applied": order, "withdrawn": lost, "nodes": self.made})

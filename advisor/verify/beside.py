"""What stands beside the order as the advice must show it: facts, trace, cautions, questions, reasons and conflicts."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ..codes import say
from ..leather.units import show
from ..rulebase import models, written
from ..rulebase.strata import node_of
from .known import Fault
from .order import Check
from .told import Told, one_of


class Beside(Check):
    """The parts of one advice beside its decisions and its order."""

    def value_of(self, name: str) -> Any:
        """The one value known under a name, or None."""
        return next(iter(self.facts[name]), None)

    def node(self, name: str) -> Any:
        """The step that gave a name, as written; empty where nothing did."""
        return self.made.get(self.ids.get(node_of(name), ""), {})

    # -- facts

    def told_facts(self) -> dict[str, Any]:
        """Each fact with where it comes from."""
        found = {}
        for name, a in self.base.attributes.items():
            if (node := self.made.get(self.roots.get(name, ""))) is None or a.kind in models.PATTERN_KINDS:
                continue
            many = a.kind == "set" and (node["value"] or node["kind"] != "answer")
            answered = node["kind"] == "answer"
            found[name] = {
                "value": node["value"] if many else next(iter(node["value"]), None),
                "unit": a.unit,
                "origin": one_of("answered", "read") if answered else _ORIGINS[node["kind"]],
                "state": node["state"] if answered else one_of("known", "don't know"),
                "rule": next(iter(node.get("rules", ())), None),
                "formula": node.get("line"),
            }
        return found

    def matched(self, key: str) -> list[Any]:
        """The facts that a rule as applied matched, as they are told."""
        found: dict[tuple[str, Any], None] = {}
        for p, facts in zip(self.base.rules[self.made[key]["rule"]].when, self.ways[key], strict=True):
            pairs = [(p.attribute, v) for v in self.facts[p.attribute]] if p.operator in ("known", "lacks") else facts
            if p.operator in ("known", "lacks"):
                pairs = sorted(pairs, key=lambda f: (str(type(f[1])), f[1]))
            found |= dict.fromkeys((name, value) for name, value in pairs)
        names = dict.fromkeys(name for name, _ in found)
        return [self.stated(n, [v for m, v in found if m == n]) for n in names]

    def stated(self, name: str, values: list[Any]) -> Any:
        """A fact as a code, with where it comes from."""
        a = self.base.attributes.get(name)
        named = a or self.base.decisions.get(node_of(name))
        unit = {"unit": named.unit} if named and named.unit and not isinstance(values[0], str) else {}
        value = values[0] if len(values) == 1 else [str(v) for v in values]
        node = self.node(name) if not name.endswith("_excluded") else {}
        line = node.get("line") if a and a.numeric else None
        origin = "said" if node.get("kind") == "answer" else _ORIGINS.get(node.get("kind", ""), "derived")
        more = {"origin": origin} | ({"formula": line} if line else {})
        return say("fact", attribute=name, value=value, **unit, **more).written()

    def cautions(self) -> Any:
        """Every caution in the order in which they are shown; of those not ruled out the rule is one that may hold."""
        found: list[Any] = []
        if len({part["id"] for part in self.advice["cautions"]}) < len(self.advice["cautions"]):
            raise Fault("cautions: one is told twice")
        for part in self.advice["cautions"]:
            c, raised = self.base.cautions[part["id"]], [k[1].id for k in self.claims[f"caution {part['id']}"]]
            says = {k: v for k, v in written.caution(c).items() if k != "name"} | {"id": c.id}
            says["relevant"] = one_of(True, False)  # compared where the cautions are put in order
            if raised:
                rules = self.in_standing(raised)
                found.append(says | {"status": "applies", "rule": rules[0], "rules": rules, "depends_on": []})
                continue
            rules = self.in_standing(part["rules"])
            names = [p.attribute for r in rules for p in self.base.rules[r].when]
            among = self.waited_for(names)
            able = [r.id for r in self.base.about(c.id) if ("caution", c.id) in {(t.act, t.target) for t in r.then}]
            least = {r.id for r in self.base.about(c.id) if r.id in able and self.waits(r)}
            fits = bool(rules) and least <= {*rules} <= {*able}
            told = {"rule": rules[0], "rules": rules} if fits else {"rules": able}
            found.append(says | told | {"status": "not ruled out", "depends_on": among})
        return found

    def in_standing(self, rules: Iterable[str]) -> list[str]:
        """Rules by what they weigh."""
        return sorted({*rules}, key=lambda name: self.base.rules[name].standing())

    def waited_for(self, names: list[str]) -> Told:
        """What of these names keeps a caution open: all that nobody said, and what follows from more than answers."""
        surely = {n for n in names if self.unsaid(n) and not self.answered(n)}

        def fits(told: Any) -> bool:
            return told == [n for n in dict.fromkeys(names) if n in told] and surely <= {*told}

        return Told(fits, f"some of {names}")

    def questions(self) -> Any:
        """The open questions: those about dangers first, each in its own words, and none that was answered."""
        waiting = {n: r.because for r in reversed(self.waiting()) for n in r.waits_for}
        dangers = list(dict.fromkeys(n for r in self.waiting() for n in r.waits_for))
        told = [q["attribute"] for q in self.advice["open_questions"]]
        rest = [n for n in told if n not in dangers and n in self.base.attributes and not self.answered(n)]
        waited = {n for c in self.advice["cautions"] for n in c["depends_on"]}
        waited = {n for n in waited if self.unsaid(n) and not self.answered(n)}
        order = sorted({*rest, *waited} - {*dangers}, key=self.place)
        least = {n: {"cautions"} for n in waited}
        return [self.question(name, waiting.get(name), least.get(name, set())) for name in (*dangers, *order)]

    def waiting(self) -> list[models.Rule]:
        """The rules that hold and wait for the answer about a danger; none where leather is refused anyway."""
        standing = [r for r in self.base.rules.values() if self.applied[r.id] and not self.winner(r.id)]
        refused = any(c.act == "outcome" and c.target == "refuse" for r in standing for c in r.then)
        return [] if refused else [r for r in standing if r.waits_for]

    def answered(self, name: str) -> bool:
        """Whether somebody answered it, be it that nobody knows."""
        told = self.advice["facts"].get(name, {})
        return bool(self.node(name).get("kind") == "answer" or told.get("state") == "don't know")

    def place(self, name: str) -> tuple[int, int, int, int]:
        """Where a question stands among others."""
        a = self.base.attributes[name]
        return name != "item", a.ask != "first", _GROUPS.index(a.group), a.order

    def question(self, name: str, danger: str | None, least: set[str]) -> Any:
        """One open question in its own words, with the ``least`` that it reaches."""
        a = self.base.attributes[name]
        supposed = None if danger or not self.facts[name] else self.listed(name)
        reach = (*self.base.decisions, "parts", "cautions", "outcome")
        affects = Told(lambda n: bool(n) and n == sorted({*n} & {*reach}) and least <= {*n}, f"some of {reach}")
        return {
            "attribute": name,
            "question": a.question,
            "help": a.help,
            "supposed": supposed,
            "affects": affects,
            "values": list(a.values) if name != "item" else [],
            "danger": danger,
        }

    def listed(self, name: str) -> str:
        """What is known under a name, without it."""
        unit = self.base.attributes[name].unit
        return ", ".join(show(v, unit) if isinstance(v, float) else v for v in self.facts[name])

    def trace(self) -> Any:
        """Every rule that holds, in order, with what it matched and what lost to it."""
        order = [
            key
            for rule in sorted(self.base.rules.values(), key=lambda r: self.base.strata.rule[r.id])
            for key in self.applied[rule.id]
        ]
        lost: dict[str, dict[str, None]] = {}
        for loser in (self.made[key]["rule"] for key in order):
            if by := self.winner(loser):
                lost.setdefault(by, {})[loser] = None
        return [self.step(n, key, [*lost.get(self.made[key]["rule"], ())]) for n, key in enumerate(order, 1)]

    def step(self, n: int, key: str, lost: list[str]) -> Any:
        """One rule that holds, as the trace tells it."""
        rule = self.base.rules[self.made[key]["rule"]]
        by = self.winner(rule.id)
        told = [_absent(p) for p in rule.when if p.operator in ("unknown", "lacks")]
        absent = [one for n, one in enumerate(told) if one not in told[:n]]
        matters = False if by else one_of(True, False) if rule.contested else None
        return {
            "step": n,
            "stratum": self.base.strata.rule[rule.id],
            "rule": rule.id,
            "force": rule.force,
            "concern": rule.concern,
            "matched": self.matched(key),
            "absent": absent,
            "concluded": [c.text for c in rule.then],
            "defeated": [*(r for r in self.defeats[key] if r not in lost), *lost],
            "withdrawn_by": by,
            "because": rule.because,
            "basis": rule.basis,
            "source": list(rule.source),
            "contested": rule.contested or None,
            "relevant": matters if rule.contested else None,
        }

    # -- outcome and conflicts

    def why_so(self) -> Any:
        """The rules behind the outcome, the strongest first; without any, those of what could not be met together."""
        order = sorted(self.base.rules.values(), key=lambda r: self.base.strata.rule[r.id])
        said = [
            (r, c.target)
            for r in order
            if self.applied[r.id] and not self.winner(r.id)
            for c in r.then
            if c.act == "outcome"
        ]
        views = [
            {
                "outcome": v,
                "rule": r.id,
                "because": r.because,
                "order": (r.order or "withheld") if v == "defer" else None,
            }
            for r, v in sorted(dict.fromkeys(said), key=lambda s: models.VERDICTS.index(s[0].verdict(s[1])))
        ]
        if views or self.item is None:
            return views
        unmet = [n for n, (about, _) in enumerate(self.clashes) if about in self.base.decisions]
        rules = [r["rule"] for n in unmet for r in self.advice["conflicts"][n]["reasons"]]
        return [
            {"outcome": models.CONDITIONS, "rule": r, "because": self.base.rules[r].because, "order": None}
            for r in rules
        ]

    def conflicts(self) -> Any:
        """Each conflict with the rules that its step stands on; its ways out are told."""
        found = []
        ways = Told(lambda w: isinstance(w, list) and bool(w) and all(isinstance(x, dict) for x in w), "ways out")
        for n, told in enumerate(self.advice["conflicts"], 1):
            step = self.made[self.roots[f"conflict {n}"]]
            under = [k for k in step["from"] if self.made.get(k, {}).get("kind") in ("applied", "withdrawn")]
            keys = [self.made[k]["from"][1] if self.made[k]["kind"] == "withdrawn" else k for k in under]
            rules = {self.made[k]["rule"]: k for k in keys}
            shown = [r["rule"] for r in told["reasons"]]
            if list(dict.fromkeys(shown)) != list(rules):
                raise Fault(f"conflict {n} reasons: found {shown}, expected {list(rules)}")
            clash = self.base.clashes.get(step["left"]["params"].get("clash", ""))
            found.append(
                {
                    "about": step["about"],
                    "outcome": step["left"],
                    "reasons": [self.reason(rule, rules[rule]) for rule in shown],
                    "resolutions": [say("rule_way", way=w).written() for w in clash.resolutions] if clash else ways,
                }
            )
        return found

    def reason(self, name: str, key: str) -> Any:
        """One side of a conflict: all that its rule says, or what of it clashes."""
        rule = self.base.rules[name]
        texts = [c.text for c in rule.then]
        says, facts = one_of("; ".join(texts), *texts), self.matched(key)
        return {"rule": name, "because": rule.because, "says": says, "facts": facts}


_ORIGINS = {"supposition": "supposed", "settled": "derived", "computed": "computed"}
_GROUPS = ("job", "size", "load", "flex", "wet", "finish", "make", "people", "limits", "basket")


def _absent(p: models.Premise) -> Any:
    if p.operator == "lacks":
        return say("lacks", attribute=p.attribute, value=p.values[0]).written()
    if p.attribute.endswith(models.ANSWERED):
        return say("unanswered", attribute=node_of(p.attribute)).written()
    return say("unknown", attribute=p.attribute).written()

"""What follows for the order: choices, the window, conflicts, outcome, cautions; and that the advice shows all that."""

from typing import Any

from ..codes import say
from ..leather.units import show_weight
from ..rulebase import models, written
from ..rulebase.strata import node_of
from .concern import Concern
from .known import agree, shown, verdict_shown


class Check(Concern):
    """One advice against the rules: ``run`` raises Fault at the first step that does not hold."""

    def run(self) -> None:
        """Raise Fault at the first step that does not hold, in the order in which things are settled."""
        base, level = self.base, self.base.strata.node
        named = {k: getattr(base, k) for k in ("name", "version", "sha256")}
        agree("rule base", self.advice["rulebase"], named)
        work: list[Any] = [(level[a.name], 0, self.attribute, a) for a in base.attributes.values()]
        work += [(level[f"{d.name}_excluded"], 1, self.excluded, d) for d in base.choices()]
        work += [(level[d.name], 2, self.choice, d) for d in base.choices()]
        work.append((level["weight"], 2, self.window, "weight"))
        work += [(base.strata.rule[r.id], 3, self.rule, r) for r in base.rules.values()]
        for _, _, check, what in sorted(work, key=lambda w: w[:2]):
            check(what)
        self.settle_parts()
        rules = sorted(base.rules.values(), key=lambda r: base.strata.rule[r.id])
        order = [key for rule in rules for key in self.applied[rule.id]]
        self.endings(order)
        self.views(order)

    def choice(self, d: models.Decision) -> None:
        """A choice, its step, and that the advice shows it so."""
        costs, prices = self.prices_of(d), list[str]()
        if d.name == "form":
            costs = {f.form: str(f.relative_cost) for f in self.forms() if f.relative_cost is not None}
            prices = [self.prices()] if "prices" in self.told and "choice form" in self.told else []
            costs = self.told["choice form"]["costs"] if prices else costs
        w = self.weighed(d, self.claims[d.name], costs)
        self.excluded(d)
        self.wishes += [(d.name, *wish) for wish in w.wishes]
        view = w.view | ({"chosen": [], "also_fits": [], "tie": None} if self.barred else {})
        shown(f"choice {d.name}", self.shows[d.name], view)
        self.views_of[d.name] = view
        if w.entries:
            self.roots[d.name] = self.balance(d, w, costs, prices)
        if lead := w.lead:
            own = all(self.base.rules[e["rule"]].item for e in w.reasons if e["candidate"] in lead)
            self.know(d.name, lead, self.roots[d.name], own)
            self.facts[f"{d.name}_offered"] = w.fits
        elif w.reasons:
            self.clashes.append((d.name, say("none_meets_all", decision=d.name).written()))

    def window(self, name: str) -> None:
        """The weight: its window, the step, and that the advice shows it so."""
        found = self.met(self.claims[name])
        view = {"low_mm": None, "high_mm": None, "feasible_mm": [None, None]} if self.barred else found.says
        low, high = found.ends
        weight = None if self.barred or low is None or high is None else show_weight(low, high, "inch")
        shown(f"window {name}", self.shows[name], view | {"order_as": weight})
        agree(f"window {name} bounds", len(self.shows[name]["bounds"]), 0 if self.barred else len(found.rows))
        bounds = self.bounds_shown(found)
        self.views_of[name] = view | {"order_as": weight, "bounds": [] if self.barred else bounds}
        for part, row in zip(self.shows[name]["bounds"], bounds, strict=False):
            shown(f"bound {row['side']} of {row['rule']}", part, row, ("name", "of", "line"))
        if found.rows:
            self.roots[name] = self.window_step(name, found)
        if held := [e for e in found.ends if e is not None]:
            self.know(name, [round(sum(held) / len(held), 2)], self.roots[name])
        if found.clash:
            self.clashes.append((name, say("no_thickness").written()))

    def clashing(self, order: list[str]) -> list[tuple[str, Any]]:
        """Declared clashes that rules saw in what was said, then wishes left out of which no such clash speaks."""
        seen, found = list[set[str]](), list[tuple[str, Any]]()
        for rule, c in ((r, c) for k in order for r in [self.base.rules[self.made[k]["rule"]]] for c in r.then):
            told = [self.made[self.ids[n]] for n in map(node_of, self.reads(rule)) if n in self.ids]
            guesses = [r for n in told if n["kind"] == "supposition" for r in n["rules"] if not self.base.rules[r].item]
            if c.act == "clash" and not guesses and not self.winner(rule.id):
                found.append((self.base.clashes[c.target].between, say("declared_clash", clash=c.target).written()))
                seen.append(self.reads(rule))
        for decision, who, wish, gone in self.wishes:
            behind = set().union(*(self.reads(self.base.rules[r]) for r in gone))
            if not self.barred and not any(wish in names and names & behind for names in seen):
                found.append((wish, say("wish_left_out", decision=decision, candidate=who).written()))
        return [one for n, one in enumerate(found) if one not in found[:n]]

    def reads(self, rule: models.Rule) -> set[str]:
        """The names whose facts a rule that holds has matched."""
        return {n for p in rule.when for n in (p.attribute, p.other) if n and p.operator != "unknown"}

    def endings(self, order: list[str]) -> None:
        """The outcome, what cannot be had together, the amount, the cautions, and what the advice shows of them."""
        advice, base = self.advice, self.base
        said = [c for o in models.OUTCOMES for c in self.claims[f"outcome {o}"] if not self.winner(c[1].id)]
        found = {v: [c[0] for c in said if c[1].verdict(c[2].target) == v] for v in models.VERDICTS}
        unmet = [n for n, c in enumerate(self.clashes, 1) if c[0] in base.decisions]
        given = next((o for o in found if found[o] and (self.item or o != models.CONDITIONS)), None)
        outcome = given or (("ok_with_conditions" if unmet else "ok") if self.item else None)
        agree("outcome", verdict_shown(advice), outcome)
        agree("outcome", advice["outcome"], {models.WITHHELD: "defer", "undecided": None}.get(str(outcome), outcome))
        if given:
            self.reasons(said)
        self.order_shown(outcome is not None and outcome not in models.NO_ORDER)
        conflicts = [*([] if self.barred else self.clashes), *self.clashing(order)]
        agree("conflicts", [[c["about"], c["outcome"]] for c in advice["conflicts"]], conflicts)
        for n, (about, left) in enumerate(conflicts, 1):
            rests = self.nodes.get(self.proof["roots"].get(f"conflict {n}"), {"from": []})["from"]
            self.roots[f"conflict {n}"] = self.make("conflict", {"about": about, "left": left}, rests)
        if outcome:
            rests = found[outcome] if given else [self.ids["item"], self.absence("outcome")]
            rests = rests if given else [*rests, *(self.roots[f"conflict {n}"] for n in unmet)]
            besides = [k for o in found if o != outcome for k in found[o]]
            self.roots["outcome"] = self.make("outcome", written.outcome(outcome), rests, besides)
        for f in (f for f in self.forms() if [f.form] == self.facts["form"]):
            says: Any = {"name": "amount", "form": f.form, "count": f.count, "how": f.how}
            says |= {"gross_dm2": round(f.gross_dm2, 2), "leftover_dm2": round(f.leftover_dm2, 2)}
            rests = [self.fact(n) for n in ("form", "pieces", "quantity", "extra_waste")]
            rests += [self.fact(f"form.{column}") for column in ("length", "width", "area", "waste")]
            self.roots["amount"] = self.make("amount", says, rests)
            for part in (part for part in self.shows["amount"]["forms"] if part["form"] == f.form):
                shown("amount", part, says)
        listed = {c["id"]: c for c in advice["cautions"]}
        for c in base.cautions.values():
            raised, says = self.claims[f"caution {c.id}"], written.caution(c)
            able = [r for r in base.about(c.id) if ("caution", c.id) in {(t.act, t.target) for t in r.then}]
            if raised:
                self.roots[f"caution {c.id}"] = self.make("caution", says, [k for k, *_ in raised], of=c, by=c.id)
            if raised or c.id in listed or any(map(self.waits, able)):
                told = listed.pop(c.id, {"rule": None, "status": "not listed"})
                rules = [r.id for r in able] if not raised else [k[1].id for k in raised]
                shown(f"caution {c.id}", told, says | {"status": "applies" if raised else "not ruled out"})
                agree(f"caution {c.id} raised by {told['rule']}", told["rule"] in rules, True)
        agree("cautions", list(listed), [])
        self.concern_shown([n for n in base.cautions if self.claims[f"caution {n}"]], advice["cautions"])

    def reasons(self, claims: list[Any]) -> None:
        """Each rule behind an outcome is shown, and with every deferral what it does to the order."""
        views = dict[Any, Any]()
        for _, rule, c, _ in claims:
            order = (rule.order or "withheld") if c.target == "defer" else None
            says = {"outcome": c.target, "rule": rule.id, "because": rule.because, "order": order}
            views[rule.id, c.target] = says
        told = sorted(self.advice["outcome_reasons"], key=lambda r: (r["rule"], r["outcome"]))
        agree("outcome reasons", told, [views[key] for key in sorted(views)])

    def waits(self, rule: models.Rule) -> bool:
        """Whether it would hold if what nobody said came out so; what is supposed may be said."""
        return all(self.options(p) or (not p.other and self.unsaid(p.attribute)) for p in rule.when)

    def unsaid(self, name: str) -> bool:
        """Whether it can be asked and nobody gave a value."""
        told = self.made.get(self.ids.get(name, ""), {})
        said = told.get("kind") == "answer" and told["state"] != "don't know"
        return not said and name in self.base.attributes and self.base.attributes[name].ask != "never"

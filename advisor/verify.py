"""The checker: which step of an advice that carries its proof, if any, does not hold.

It works out anew, from the answers, which rules hold and on what, which are withdrawn, what every name comes to and
which reasons count; each step is then written as it must be, and the proof must have it word for word and on the same
steps. What the advice shows is compared with the steps. A bad step is met before what stands on it. Nothing that
concludes is shared, only the reader of rules, the formulas, the patterns of items and how a step is written down.

Taken as given: that an answer was given, and its words (another answer with new ids proves another advice); what would
be without a preference; what a shop's price list gives; what a conflict stands on. Of the cautions that are not ruled
out, those must be there that wait for answers alone. Texts that no step has, such as ways out, are not looked at.
"""

import json
import operator
from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal
from itertools import chain, product
from pathlib import Path
from typing import Any

from .errors import AdvisorError
from .leather.formulas import FORMULAS, worked_out
from .leather.units import show_weight
from .rulebase import models, patterns, written
from .rulebase.load import load_rulebase
from .rulebase.strata import node_of

GRADES = ("published, opened", "published, from memory", "common practice", "estimate")
TESTS = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}
CONCERN, FORCE, INF = models.CONCERNS.index, models.FORCES.index, float("inf")


class Fault(Exception):  # noqa: N818
    """A step that does not hold, and why."""


def agree(step: str, found: Any, expected: Any) -> None:
    """Raise Fault, with the place, where what is found is not what must be there."""
    if text := written.difference(found, json.loads(json.dumps(expected))):
        raise Fault(step + text)


def shown(step: str, part: Any, says: dict[str, Any], but: Iterable[str] = ("name",)) -> None:
    """A part of the advice must say all this, ``but`` for what only the proof says; what more it says is its own."""
    agree(step, {k: part.get(k, "nothing") for k in says if k not in but}, {k: says[k] for k in says if k not in but})


class Check:
    """One advice against the rules. A claim is (step, rule, conclusion, value), kept by the name it is about."""

    def __init__(self, advice: Any, base: models.RuleBase) -> None:
        self.advice, self.base, self.proof, self.nodes = advice, base, advice["proof"], advice["proof"]["nodes"]
        self.told, self.made = {written.label(n): n for n in self.nodes.values()}, dict[str, Any]()
        self.hand = {n["name"]: n for n in self.nodes.values() if str(n.get("name")).startswith(patterns.PIECE)}
        self.facts, self.claims = defaultdict[str, list[Any]](list), defaultdict[str, list[Any]](list)
        self.applied = defaultdict[str, list[str]](list)  # the steps of a rule that holds
        self.own = defaultdict[str, bool](bool)  # whether a fact or an applied rule is only the item's own habit
        self.graded = dict[str, Any]()  # the weakest grade under a step, whose it is, and what is supposed
        self.ids, self.roots, self.parts = dict[str, str](), dict[str, str](), dict[str, Any]()
        self.clashes, self.wishes = list[tuple[str, str]](), list[Any]()
        self.item: models.Item | None = None
        self.barred, self.shows = advice["outcome"] in ("refuse", "another_material"), advice["decisions"]

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
        rules = sorted(base.rules.values(), key=lambda r: base.strata.rule[r.id])
        order = [key for rule in rules for key in self.applied[rule.id]]
        self.endings(order)
        self.views(order)

    def make(self, kind: str, says: Any, rests: Any = (), besides: Any = (), of: Any = None, by: str = "") -> str:
        """The id of a step as it must be, which the proof must have word for word; ``of`` is what its grade is of."""
        sources = [self.make("source", written.source(self.base.sources[s])) for s in of.source] if of else []
        first = list(dict.fromkeys(k for k in [*rests, *sources] if k))
        grade = self.base.grade(of.basis, of.source) if of else "common practice" if by else ""
        node = written.content(kind, says, first, [k for k in dict.fromkeys(besides) if k not in first], grade, by)
        if written.digest(self.nodes.get(key := written.digest(node), {})) != key:
            agree(written.label(node), self.told.get(written.label(node), "nothing"), node)
            raise Fault(f"{written.label(node)}: it is not written as {node!r:.200}")
        under = [(GRADES.index(grade), by) if grade else (-1, ""), *(self.graded[k][0] for k in first)]
        guess = {says["name"]} if kind == "supposition" and self.base.attributes[says["name"]].ask != "never" else set()
        self.graded[key] = max(under, key=lambda g: g[0]), guess.union(*(self.graded[k][1] for k in first))
        self.made[key] = node
        return key

    def know(self, name: str, values: Any, key: str, own: Any = False) -> None:
        """Keep what is known under a name, and the step that gives it."""
        self.facts[name], self.ids[name], self.roots[name], self.own[name] = list(values), key, key, bool(own)

    def fact(self, name: Any) -> str | None:
        """The step that gives what is known under a name, or a table or pattern."""
        decision, item = self.base.decisions.get(name.removesuffix("_excluded").split(".")[0]), self.item
        if decision and "." in name:
            says, of = written.table(decision, name.split(".")[1]), decision.properties[name.split(".")[1]]
            return self.make("table", says, of=of, by=f"table {name.replace('.', ' ')}")
        if decision and name != decision.name:
            gone = self.excluded(decision)
            rests = [self.applied[r][0] for c in decision.candidates for r in gone.get(c, ())]
            return self.make("exclusion", {"name": name, "excluded": gone}, rests)
        if item and name in self.parts:
            read = [self.fact(n) for n in ("item", *sorted({*patterns.sizes_read(item, name)} - {"weight"}))]
            hand = [self.hand[n] for n in sorted(self.hand) if name == "pieces"]
            read += [self.make("answer", {k: n[k] for k in ("name", "state", "value", "unit", "words")}) for n in hand]
            says = written.pattern(name, item, *self.parts[name])
            return self.make("pattern", says, read, by=f"pattern of {item.slug}")
        return self.ids.get(node_of(name))

    def absence(self, name: str, lacks: Any = None) -> str:
        """What is not known, or not among the values of a set, with how each rule stands that could give it."""
        able = [r.id for r in self.base.givers(node_of(name), lacks)]
        rules = {r: "applied" if self.applied[r] else "did not apply" for r in able}
        rules |= {r: f"withdrawn by {by}" for r in able if (by := self.winner(r))}
        return self.make("absence", {"name": name, "lacks": lacks, "rules": rules}, [self.fact(name)])

    def winner(self, rule: str) -> str | None:
        """The preferred rule that holds, stands itself and withdraws this one, if it holds."""
        over = self.base.preferred().get(rule, ()) if self.applied[rule] else ()
        return next((w for w in over if self.applied[w] and self.winner(w) is None), None)

    def stands(self, key: str) -> str:
        """A rule as applied, or the step that withdrew it."""
        if (by := self.winner(rule := self.made[key]["rule"])) is None:
            return key
        says = {"winner": by, "loser": rule, "because": self.base.rules[by].over_because}
        says["without"] = self.told.get(f"withdrawn {rule}", {}).get("without")
        return self.make("withdrawn", says, [self.applied[by][0], key])

    def options(self, p: models.Premise) -> list[Any]:
        """Each list of facts that makes a premise hold."""
        have = [[p.attribute, v] for v in self.facts[p.attribute]]
        if p.operator in ("unknown", "lacks"):
            return [[]] if bool(have) == (p.operator == "lacks") and [p.attribute, *p.values] not in have else []
        if p.operator == "known":
            return [have] if have else []
        if p.other:
            pairs = product(have, ([p.other, v] for v in self.facts[p.other]))
            return [[f, g] for f, g in pairs if TESTS[p.operator](f[1], g[1])]
        if p.operator in TESTS:
            return [[f] for f in have if TESTS[p.operator](f[1], p.values[0])]
        return [[f] for f in have if (f[1] in p.values) == (p.operator != "is not")]

    def rule(self, rule: models.Rule) -> None:
        """It is applied on exactly the facts that make all premises hold; each value it gives is a claim."""
        for way in sorted(product(*map(self.options, rule.when))):
            by = [[self.fact(f[0]) for f in found] for found in way]
            by = [k or [self.absence(p.attribute, *p.values)] for p, k in zip(rule.when, by, strict=True)]
            premises = [written.premise(p, f, [*dict.fromkeys(k)]) for p, f, k in zip(rule.when, way, by, strict=True)]
            key = self.make("applied", written.applied(rule, premises), chain(*by), of=rule, by=rule.id)
            agree(f"rule {rule.id} applied", key in self.proof["applied"], True)
            self.own[key] = all(found and all(self.own[node_of(f[0])] for f in found) for found in way)
            self.applied[rule.id].append(key)
            for c in rule.then:
                values: Any = [f[1] for f in chain(*way) if f[0] == c.attribute] if c.attribute else c.values or [None]
                if c.act == "require":
                    values = [x for x in self.base.decisions[c.target].candidates if x not in values]
                name = f"{c.act} {c.target}" if c.act in ("caution", "outcome", "clash") else c.target
                self.claims[name] += [(key, rule, c, value) for value in dict.fromkeys(values)]

    def attribute(self, a: models.Attribute) -> None:
        """What was answered, else what the formula gives, else what the rules come to."""
        told, claims = self.told.get(f"attribute {a.name}", {}), self.claims[a.name]
        says: Any = {"name": a.name, "value": [], "unit": a.unit}
        answer = says | {k: told.get(k) for k in ("state", "words")}
        if a.kind in models.PATTERN_KINDS:
            self.lay_out(a.kind)
        elif answer["state"] in ("known", "does not apply"):
            said = told["value"] if answer["state"] == "known" else []
            low, high = -INF if a.low is None else a.low, INF if a.high is None else a.high
            answer["value"] = [v for v in said if (low <= v <= high if a.numeric else v in a.values)]
            against = [c for c in claims if said and c[3] not in said]
            key = self.make("answer", answer, (), [self.stands(c[0]) for c in against])
            self.item = self.base.items.get("".join(said)) if a.name == "item" else self.item
            usual = self.item.supposes.get(a.name, ()) if self.item else (None,)
            self.know(a.name, said, key, a.name == "item" or {*usual} == {*said})
            musts = {c[0] for c in against if c[1].force == "must" and c[2].act in ("set", "add")}
            self.clashes += [(a.name, "your answer was kept")] * len(musts)
        elif not self.computed(a, told):
            live = [c for c in claims if not self.winner(c[1].id)]
            guess = all(c[2].act == "suppose" for c in live)
            live = [c for c in live if guess or c[2].act != "suppose"]
            ranks = [-CONCERN(c[1].concern) if guess else a.kind == "set" or FORCE(c[1].force) for c in live]
            best = {c[3] for c, rank in zip(live, ranks, strict=True) if rank == max(ranks)}
            by = [c for c, rank in zip(live, ranks, strict=True) if rank == max(ranks) or (not guess and c[3] in best)]
            rules = list(dict.fromkeys(c[1].id for c in by))
            if len(best) > 1 and a.kind != "set":
                self.clashes.append((a.name, f"{a.name.replace('_', ' ')} is left unsettled"))
            elif best:
                says |= {"value": sorted(best - {"none"} or best), "rules": rules}
                rests = [c[0] for c in claims if c[1].id in rules]
                besides = [self.stands(c[0]) for c in claims if c[0] not in rests]
                key = self.make("supposition" if guess else "settled", says, rests, besides)
                others = [r for r in map(self.base.rules.__getitem__, rules) if not r.item]
                own = all(r.concern != "general habit" and all(self.own[k] for k in self.applied[r.id]) for r in others)
                self.know(a.name, says["value"], key, own)
            elif answer["state"] == "don't know":
                self.know(a.name, [], self.make("answer", answer))

    def lay_out(self, kind: str) -> None:
        """The pieces of the item, or its zones, at the sizes known."""
        sizes = {n: self.facts[n][0] for n, a in self.base.attributes.items() if a.unit == "mm" and self.facts[n]}
        if self.item and kind == "pieces":
            hand = patterns.pieces_by_hand(self.item, {k: n["value"] for k, n in self.hand.items()})
            cut = patterns.cut_pieces(self.item, sizes, hand)
            self.parts[kind] = cut.pieces, cut.formulas, cut.failed
        elif self.item:
            laid = patterns.lay_zones(self.item, sizes, self.facts["skive"])
            self.parts[kind] = laid.zones, [], laid.failed

    def computed(self, a: models.Attribute, told: Any) -> bool:
        """Whether a formula gives it, or the price list of a shop, which is taken as told."""
        rests, kinds = [o for o in a.inputs.values() if "." not in o], models.PATTERN_KINDS
        if told.get("formula") == "price list" and (a.formula == "cheapest_forms" or a.unit == "money"):
            prices = self.make("prices", {k: self.told["prices"][k] for k in ("house", "invented")})
            says = {k: told[k] for k in ("name", "value", "unit", "line", "formula")}
            self.know(a.name, told["value"], self.make("computed", says, [prices, *map(self.fact, rests)]))
            return True
        pieces, zones = (self.parts.get(kind, [()])[0] for kind in ("pieces", "zones"))
        given = patterns.inputs_of(self.base, a, lambda name: tuple(self.facts[name]), pieces, zones)
        try:
            values, line = worked_out(a.formula, given or {})
        except ValueError:
            return False
        inputs = {k: (None if "." in o or o in kinds else self.facts[o], self.fact(o)) for k, o in a.inputs.items()}
        says, formula = written.computed(a, FORMULAS[a.formula], values, line, inputs), FORMULAS[a.formula]
        key = self.make("computed", says, [by for _, by in inputs.values()], of=formula, by=formula.name)
        self.know(a.name, values, key, all(self.own[node_of(o)] for o in rests))
        return True

    def excluded(self, d: models.Decision) -> dict[str, list[str]]:
        """Candidate -> the standing rules that exclude it."""
        claims = [c for c in self.claims[d.name] if c[2].act in ("exclude", "require") and not self.winner(c[1].id)]
        self.facts[f"{d.name}_excluded"] = sorted({c[3] for c in claims})
        return {x: [*dict.fromkeys(c[1].id for c in claims if c[3] == x)] for x in self.facts[f"{d.name}_excluded"]}

    def choice(self, d: models.Decision) -> None:
        """Every reason with what counts, the balance, and what is chosen."""
        entries, gone = dict[Any, Any](), self.excluded(d)
        for key, rule, c, who in self.claims[d.name]:
            by, ranking = self.winner(rule.id), not rule.item and self.item and d.name in self.item.ranks
            habit = ranking and c.act in ("favour", "disfavour") and self.own[key]
            aside = f"withdrawn by {by}" if by else "already in the item's own ranking" if habit else None
            entry = written.entry(rule, c, who, aside, self.stands(self.applied[rule.id][0]))
            entries.setdefault((rule.id, c.act, who), entry)
            if c.attribute and rule.concern == "stated wish" and who in gone and not by:
                self.wishes.append((d.title, who, c.attribute, gone[who]))
        live = [e for e in entries.values() if e["counts"] or e["set_aside"][:9] != "withdrawn"]
        ranked = any(e["act"] == "favour" and e["concern"] in models.HABITS for e in live)
        reasons, eligible = [e for e in live if e["counts"]], set() if ranked else set(d.candidates)
        points, against = dict.fromkeys(d.candidates, 0), dict.fromkeys(d.candidates, 0)
        for e in (e for e in reasons if e["strength"] != "must"):
            who, good = e["candidate"], e["act"] == "favour"
            points[who] += models.STRENGTHS[e["strength"]] * (1 if good else -1)
            against[who] += not good
            brings = e["concern"] in models.HABITS or CONCERN(e["concern"]) <= models.MAY_BRING_IN
            eligible |= {who} if good and brings else set()
        costs = {c: str(v) for c, v in d.table("price").items()} if "price" in d.properties else {}
        if d.name == "form":
            costs = {f.form: str(f.relative_cost) for f in self.forms() if f.relative_cost is not None}
            costs = self.told["choice form"]["costs"] if "prices" in self.told and "choice form" in self.told else costs
        order = {c: (-points[c], against[c], Decimal(costs.get(c, "inf"))) for c in d.candidates}
        fits = [c for c in order if reasons and c in eligible and c not in gone and (points[c] > 0 or not ranked)]
        fits.sort(key=order.__getitem__)
        chosen = [c for c in fits if points[c] == points[fits[0]]] if ranked else fits[:1]
        lead, tie = chosen[:1], None
        if len(chosen) > 1:
            first, second = order[chosen[0]], order[chosen[1]]
            why = "fewer reasons against it" if first[1] < second[1] else "a lower price"
            level = "either will do" if len(chosen) == 2 else "any will do"
            why = f"{chosen[0]} is named first for {why}" if first < second else level
            tie = f"{', '.join(chosen[:-1])} and {chosen[-1]} stand level: {why}"
        says: Any = {"chosen": chosen, "also_fits": fits[len(chosen) :], "tie": tie, "excluded": gone}
        view = says | {"ledger": [{k: v for k, v in e.items() if k != "by"} for e in entries.values()]}
        view |= {"chosen": [], "also_fits": [], "tie": None} if self.barred else {}
        shown(f"choice {d.name}", self.shows[d.name], view)
        if entries:
            rivals = {c for c in gone if not lead or (c in eligible and points[c] > points[lead[0]])}
            barring = [e for e in reasons if e["strength"] == "must" and e["candidate"] in rivals]
            rests = [e["by"] for e in reasons if e in barring or e["candidate"] in lead]
            says |= {"name": d.name, "entries": list(entries.values()), "costs": costs}
            self.roots[d.name] = self.make("balance", says, rests, [e["by"] for e in entries.values()])
        if lead:
            own = all(self.base.rules[e["rule"]].item for e in reasons if e["candidate"] in lead)
            self.know(d.name, lead, self.roots[d.name], own)
            self.facts[f"{d.name}_offered"] = fits
        elif reasons:
            self.clashes.append((d.name, f"no {d.title} meets all of this"))

    def forms(self) -> list[Any]:
        """Every form to buy, compared for the pieces and the tannage."""
        try:
            return patterns.compared(self.base, self.facts.__getitem__, self.parts.get("pieces", [()])[0])
        except ValueError:
            return []

    def window(self, name: str) -> None:
        """Every bound, where they meet, and which hold each side: the musts, then the others by concern and force."""
        claims, low, high, must, rows = self.claims[name], -INF, INF, (-INF, INF), list[Any]()
        beyond: dict[Any, str] = {}
        for claim in sorted(claims, key=lambda c: (c[1].force != "must", CONCERN(c[1].concern), -FORCE(c[1].force))):
            _, rule, c, mm = claim
            if self.winner(rule.id) or (rule.force != "must" and must[0] > must[1]):
                continue
            if rule.force != "must" and (mm > high if c.act == "at least" else mm < low):
                beyond[claim] = "leaves nothing under the other bounds"
            else:
                low, high = (max(low, mm), high) if c.act == "at least" else (low, min(high, mm))
                must = (low, high) if rule.force == "must" else must
        clash, crossed = must[0] > must[1], dict[str, Any]()
        for claim in claims:
            key, rule, c, mm = claim
            of, by, end = self.ids.get(str(c.attribute)), self.winner(rule.id), low if c.act == "at least" else high
            aside, line = f"withdrawn by {by}" if by else beyond.get(claim), self.made.get(str(of), {}).get("line")
            clear = None if aside or clash else round(abs(mm - end), 3)
            says = written.bound(rule, c, mm, line, not aside and not clash and mm == end, clear, aside)
            holds = says["binding"]
            if clash and rule.force == "must" and not aside and mm == end:
                holds = crossed.setdefault(c.act, claim) == claim
            rows.append((says, self.make("bound", says, [self.stands(key), of]), holds))
        if not clash:
            rows.sort(key=lambda r: (r[0]["side"], not r[0]["binding"], bool(r[0]["set_aside"]), r[0]["rule"]))
        ends = [None if clash or abs(e) == INF else e for e in (low, high)]
        says = {"low_mm": ends[0], "high_mm": ends[1], "feasible_mm": [None if abs(e) == INF else e for e in must]}
        view = {"low_mm": None, "high_mm": None, "feasible_mm": [None, None]} if self.barred else says
        weight = None if self.barred or None in ends else show_weight(low, high, "inch")
        shown(f"window {name}", self.shows[name], view | {"order_as": weight})
        agree(f"window {name} bounds", len(self.shows[name]["bounds"]), 0 if self.barred else len(rows))
        for part, (row, *_) in zip(self.shows[name]["bounds"], rows, strict=False):
            more = {"formula": row["line"], "because": self.base.rules[row["rule"]].because}
            shown(f"bound {row['side']} of {row['rule']}", part, row | more, ("name", "of", "line"))
        if rows:
            rests, besides = [step for _, step, holds in rows if holds], [step for _, step, _ in rows]
            self.roots[name] = self.make("window", says | {"name": name}, rests, besides)
        if held := [e for e in ends if e is not None]:
            self.know(name, [round(sum(held) / len(held), 2)], self.roots[name])
        if clash:
            self.clashes.append((name, "no thickness meets both, so none is advised"))

    def clashing(self, order: list[str]) -> list[tuple[str, str]]:
        """Declared clashes that rules saw in what was said, then wishes left out of which no such clash speaks."""
        seen, found = list[set[str]](), dict[tuple[str, str], None]()
        for rule, c in ((r, c) for k in order for r in [self.base.rules[self.made[k]["rule"]]] for c in r.then):
            told = [self.made[self.ids[n]] for n in map(node_of, self.reads(rule)) if n in self.ids]
            guesses = [r for n in told if n["kind"] == "supposition" for r in n["rules"] if not self.base.rules[r].item]
            if c.act == "clash" and not guesses and not self.winner(rule.id):
                found[self.base.clashes[c.target].between, self.base.clashes[c.target].say] = None
                seen.append(self.reads(rule))
        for title, who, wish, gone in self.wishes:
            behind = set().union(*(self.reads(self.base.rules[r]) for r in gone))
            if not self.barred and not any(wish in names and names & behind for names in seen):
                left = f"{who.replace('_', ' ')} is left out, and the best of the rest is advised"
                found[f"the wished {title}", left] = None
        return list(found)

    def reads(self, rule: models.Rule) -> set[str]:
        """The names whose facts a rule that holds has matched."""
        return {n for p in rule.when for n in (p.attribute, p.other) if n and p.operator != "unknown"}

    def endings(self, order: list[str]) -> None:
        """The outcome, what cannot be had together, the amount, the cautions, and what the advice shows of them."""
        advice, base = self.advice, self.base
        found = {o: [c[0] for c in self.claims[f"outcome {o}"] if not self.winner(c[1].id)] for o in models.OUTCOMES}
        unmet = [n for n, c in enumerate(self.clashes, 1) if c[0] in base.decisions]
        given = next((o for o in found if found[o]), None)
        outcome = given or ("ok_with_conditions" if unmet else "ok" if self.item else None)
        agree("outcome", advice["outcome"], outcome)
        conflicts = [*([] if self.barred else self.clashes), *self.clashing(order)]
        agree("conflicts", [[c["about"], c["outcome"]] for c in advice["conflicts"]], conflicts)
        for n, (about, left) in enumerate(conflicts, 1):
            rests = self.nodes.get(self.proof["roots"].get(f"conflict {n}"), {"from": []})["from"]
            self.roots[f"conflict {n}"] = self.make("conflict", {"about": about, "left": left}, rests)
        if outcome:
            rests = found[outcome] if given else [self.ids["item"], self.absence("outcome")]
            rests = rests if given else [*rests, *(self.roots[f"conflict {n}"] for n in unmet)]
            besides = [k for o in found if o != outcome for k in found[o]]
            self.roots["outcome"] = self.make("outcome", {"outcome": outcome}, rests, besides)
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
                rules = [r.id for r in able] if not raised else [raised[0][1].id]
                shown(f"caution {c.id}", told, says | {"status": "applies" if raised else "not ruled out"})
                agree(f"caution {c.id} raised by {told['rule']}", told["rule"] in rules, True)
        agree("cautions", list(listed), [])

    def waits(self, rule: models.Rule) -> bool:
        """Whether nothing but answers not yet given keeps a rule from holding; a supposition is no answer."""
        for p in rule.when:
            told = self.made.get(self.ids.get(p.attribute, ""), {})
            said = told.get("kind") == "answer" and told["state"] != "don't know"
            asked = p.attribute in self.base.attributes and self.base.attributes[p.attribute].ask != "never"
            if p.other or not (said or asked) or (said and not self.options(p)):
                return False
        return True

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


def verify(advice: Any, rules: Path | models.RuleBase) -> str:
    """An empty text if every step of an advice holds by these rules or their folder, else the first that does not."""
    base = load_rulebase(rules) if isinstance(rules, Path) else rules
    try:
        Check(advice, base).run()
    except Fault as fault:
        return str(fault)
    except (AdvisorError, LookupError, ValueError, TypeError, AttributeError, ArithmeticError, RecursionError) as error:
        return f"file: it has not the shape of a proof ({type(error).__name__}: {error})"
    return ""

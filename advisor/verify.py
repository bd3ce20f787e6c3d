"""The checker: which step of an advice that carries its proof, if any, does not hold.

DOC
"""

import json
import operator
from collections import defaultdict
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
CONCERN, FORCE, INF = models.CONCERNS.index, models.FORCES.index, float("inf")
TESTS = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}


class Fault(Exception):  # noqa: N818
    """A step that does not hold, and why."""


def agree(step: str, found: Any, expected: Any) -> None:
    """Raise Fault, with the place, where what is found is not what must be there."""
    if text := written.difference(found, json.loads(json.dumps(expected))):
        raise Fault(step + text)


def shown(step: str, part: Any, says: Any) -> None:
    """A part of the advice agrees in all that it says and the proof says as well."""
    agree(step, {k: part[k] for k in part if k in says}, {k: says[k] for k in part if k in says})


class _Check:  # A claim is (step, rule, conclusion, value).
    def __init__(self, advice: Any, base: models.RuleBase) -> None:
        self.advice, self.base, self.proof, self.nodes = advice, base, advice["proof"], advice["proof"]["nodes"]
        self.told, self.decisions = {written.label(n): n for n in self.nodes.values()}, advice["decisions"]
        self.applied = {r: [k for k in self.proof["applied"] if self.nodes[k]["rule"] == r] for r in base.rules}
        self.facts, self.claims = defaultdict[str, list[Any]](list), defaultdict[str, list[Any]](list)  # by name
        self.own = defaultdict[str, bool](bool)  # whether a fact or an applied rule is only the item's own habit
        self.ids, self.roots, self.parts = dict[str, str](), dict[str, str](), dict[str, Any]()
        self.graded = dict[str, Any]()  # the weakest grade under a step with what it belongs to, and what is supposed
        self.hand = {n["name"]: n for n in self.nodes.values() if str(n.get("name")).startswith(patterns.PIECE)}
        self.made, self.order, self.item = set[str](), list[str](), None
        self.clashes, self.wishes = list[tuple[str, str]](), list[Any]()
        self.barred = advice["outcome"] in ("refuse", "another_material")

    def run(self) -> None:
        base, level = self.base, self.base.strata.node
        shown("rule base", self.advice["rulebase"], {k: getattr(base, k) for k in ("name", "version", "sha256")})
        work: list[Any] = [(level[a.name], 0, self.attribute, a) for a in base.attributes.values()]
        work += [(level[f"{d.name}_excluded"], 1, self.excluded, d) for d in base.choices()]
        work += [(level[d.name], 2, self.choice, d) for d in base.choices()] + [
            (level["weight"], 2, self.window, "weight")
        ]
        work += [(base.strata.rule[r.id], 3, self.rule, r) for r in base.rules.values()]
        for _, _, check, what in sorted(work, key=lambda w: w[:2]):
            check(what)
        self.endings()
        self.views()
        lost, made = [s for k in self.order if (s := self.stands(k)) != k], {key: self.nodes[key] for key in self.made}
        agree("proof", self.proof, {"roots": self.roots, "applied": self.order, "withdrawn": lost, "nodes": made})

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
        self.made.add(key)
        return key

    def know(self, name: str, values: Any, key: str, own: Any = False) -> None:
        self.facts[name], self.ids[name], self.roots[name], self.own[name] = list(values), key, key, bool(own)

    def fact(self, name: str) -> str | None:
        """The step that gives what is known under a name, or a table or pattern."""
        decision, dot, column = name.partition(".")
        if dot:
            says, of = (
                written.table(self.base.decisions[decision], column),
                self.base.decisions[decision].properties[column],
            )
            return self.make("table", says, of=of, by=f"table {decision} {column}")
        if name.endswith("_excluded"):
            gone = self.excluded(self.base.decisions[name.removesuffix("_excluded")])
            rests = [
                self.applied[r][0]
                for c in self.base.decisions[name.removesuffix("_excluded")].candidates
                for r in gone.get(c, ())
            ]
            return self.make("exclusion", {"name": name, "excluded": gone}, rests)
        if name in self.parts:
            read = [self.fact(n) for n in ("item", *sorted({*patterns.sizes_read(self.item, name)} - {"weight"}))]
            hand = [n for _, n in sorted(self.hand.items()) if name == "pieces"]
            read += [self.make("answer", {k: n[k] for k in ("name", "state", "value", "unit", "words")}) for n in hand]
            says = written.pattern(name, self.item, *self.parts[name])
            return self.make("pattern", says, read, by=f"pattern of {self.item.slug}")
        return self.ids.get(node_of(name))

    def absence(self, name: str, lacks: Any = None) -> str:
        able = [r.id for r in self.base.givers(node_of(name), lacks)]
        rules = {r: "applied" if self.applied[r] else "did not apply" for r in able}
        rules |= {r: f"withdrawn by {by}" for r in able if (by := self.winner(r))}
        return self.make("absence", {"name": name, "lacks": lacks, "rules": rules}, [self.fact(name)])

    def winner(self, rule: str) -> str | None:
        """The preferred rule that holds, stands itself and withdraws this one, if it holds."""
        over = self.base.preferred().get(rule, ()) if self.applied[rule] else ()
        return next((w for w in over if self.applied[w] and self.winner(w) is None), None)

    def stands(self, key: str) -> str:
        """The rule as applied, or the step that withdrew it."""
        if (by := self.winner(rule := self.nodes[key]["rule"])) is None:
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
        """It was applied on exactly the facts that make all premises hold; each value it gives is a claim."""
        ways = {}
        for way in product(*map(self.options, rule.when)):
            by = [[self.fact(f[0]) for f in found] for found in way]
            by = [k or [self.absence(p.attribute, *p.values)] for p, k in zip(rule.when, by, strict=True)]
            premises = [written.premise(p, f, [*dict.fromkeys(k)]) for p, f, k in zip(rule.when, way, by, strict=True)]
            key = self.make("applied", written.applied(rule, premises), chain(*by), of=rule, by=rule.id)
            self.own[key] = all(found and all(self.own[node_of(f[0])] for f in found) for found in way)
            ways[key] = list(chain(*way))
        agree(f"rule {rule.id} applied", sorted(self.applied[rule.id]), sorted(ways))
        self.order += self.applied[rule.id]
        for key, c in product(self.applied[rule.id], rule.then):
            values: Any = [f[1] for f in ways[key] if f[0] == c.attribute] if c.attribute else c.values or [None]
            if c.act == "require":
                values = [x for x in self.base.decisions[c.target].candidates if x not in values]
            name = f"{c.act} {c.target}" if c.act in ("caution", "outcome", "clash") else c.target
            self.claims[name] += [(key, rule, c, value) for value in dict.fromkeys(values)]

    def attribute(self, a: models.Attribute) -> None:
        """What was answered, else what the formula gives, else what the rules come to."""
        told, claims, state = self.told.get(f"attribute {a.name}", {}), self.claims[a.name], ""
        if a.kind in models.PATTERN_KINDS and self.item:
            sizes = {n: self.facts[n][0] for n, o in self.base.attributes.items() if o.unit == "mm" and self.facts[n]}
            by_hand = patterns.pieces_by_hand(self.item, {k: n["value"] for k, n in self.hand.items()})
            cut, laid = (
                patterns.cut_pieces(self.item, sizes, by_hand),
                patterns.lay_zones(self.item, sizes, self.facts["skive"]),
            )
            self.parts = {"pieces": (cut.pieces, cut.formulas, cut.failed), "zones": (laid.zones, [], laid.failed)}
        says, answer = {"name": a.name, "value": [], "unit": a.unit}, {k: told.get(k) for k in ("state", "words")}
        if answer["state"] in ("known", "does not apply"):
            said, low, high = told["value"] if answer["state"] == "known" else [], a.low, a.high
            says["value"] = [v for v in said if (v in a.values if a.values else (low or v) <= v <= (high or v))]
            against = [c for c in claims if said and c[3] not in said]
            key = self.make("answer", says | answer, (), [self.stands(c[0]) for c in against])
            self.item = self.base.items.get("".join(said)) if a.name == "item" else self.item
            habit = a.name == "item" or (self.item and {*self.item.supposes.get(a.name, ())} == {*said})
            self.know(a.name, said, key, habit)
            musts = {c[0] for c in against if c[1].force == "must" and c[2].act in ("set", "add")}
            self.clashes += [(a.name, "your answer was kept")] * len(musts)
        elif a.kind not in models.PATTERN_KINDS and not self.computed(a, told):
            live = [c for c in claims if not self.winner(c[1].id)]
            guess = all(c[2].act == "suppose" for c in live)
            live, concern, force = (
                [c for c in live if guess or c[2].act != "suppose"],
                models.CONCERNS.index,
                models.FORCES.index,
            )
            rank = [-concern(c[1].concern) if guess else a.kind == "set" or force(c[1].force) for c in live]
            best = {c[3] for c, place in zip(live, rank, strict=True) if place == max(rank)}
            by = [c for c, place in zip(live, rank, strict=True) if place == max(rank) or (not guess and c[3] in best)]
            if len(best) > 1 and a.kind != "set":
                self.clashes.append((a.name, f"{a.name.replace('_', ' ')} is left unsettled"))
            elif best:
                says |= {
                    "value": sorted(best - {"none"} or best),
                    "rules": (rules := [*dict.fromkeys(c[1].id for c in by)]),
                }
                rests = [c[0] for c in claims if c[1].id in rules]
                besides = [self.stands(c[0]) for c in claims if c[0] not in rests]
                key = self.make("supposition" if guess else "settled", says, rests, besides)
                others = [self.base.rules[r] for r in rules if not self.base.rules[r].item]
                own = all(r.concern != "general habit" and all(self.own[k] for k in self.applied[r.id]) for r in others)
                self.know(a.name, says["value"], key, own)
            elif answer["state"] == "don't know":
                self.know(a.name, [], self.make("answer", says | answer))

    def computed(self, a: models.Attribute, told: Any) -> bool:
        """Whether a formula gives it. What a price list gives is taken as told."""
        rests, bulky = [o for o in a.inputs.values() if "." not in o], models.PATTERN_KINDS
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
        inputs = {k: (None if "." in o or o in bulky else self.facts[o], self.fact(o)) for k, o in a.inputs.items()}
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
        entries, gone, told = dict[Any, Any](), self.excluded(d), self.told.get(f"choice {d.name}", {})
        for key, rule, c, who in self.claims[d.name]:
            by, ranking = self.winner(rule.id), not rule.item and self.item and d.name in self.item.ranks
            habit = ranking and c.act in ("favour", "disfavour") and self.own[key]
            aside = f"withdrawn by {by}" if by else "already in the item's own ranking" if habit else None
            entry = written.entry(rule, c, who, aside, self.stands(self.applied[rule.id][0]))
            entries.setdefault((rule.id, c.act, who), entry)
        live = [e for e in entries.values() if e["counts"] or e["set_aside"][:9] != "withdrawn"]
        ranked = any(e["act"] == "favour" and e["concern"] in models.HABITS for e in live)
        reasons, points, against = (
            [e for e in live if e["counts"]],
            defaultdict[str, int](int),
            defaultdict[str, int](int),
        )
        eligible = set() if ranked else set(d.candidates)
        for e in (e for e in reasons if e["strength"] != "must"):
            who, good = e["candidate"], e["act"] == "favour"
            points[who] += models.STRENGTHS[e["strength"]] * (1 if good else -1)
            against[who] += not good
            brings = e["concern"] in models.HABITS or CONCERN(e["concern"]) <= models.MAY_BRING_IN
            eligible |= {who} if good and brings else set()
        costs = {c: str(v) for c, v in d.table("price").items()} if "price" in d.properties else told.get("costs", {})
        order = {c: (-points[c], against[c], Decimal(costs.get(c, "inf"))) for c in d.candidates}
        fits = [c for c in order if reasons and c in eligible and c not in gone and (points[c] > 0 or not ranked)]
        fits.sort(key=order.__getitem__)
        chosen = [c for c in fits if points[c] == points[fits[0]]] if ranked else fits[:1]
        lead, tie = chosen[:1], None
        if len(chosen) > 1:
            first, second = order[chosen[0]], order[chosen[1]]
            why = "fewer reasons against it" if first[1] < second[1] else "a lower price"
            why = f"{chosen[0]} is named first for {why}" if first < second else "either will do"
            tie = f"{', '.join(chosen[:-1])} and {chosen[-1]} stand level: {why}"
        says = {"chosen": chosen, "also_fits": fits[len(chosen) :], "tie": tie, "excluded": gone}
        view = says | {"ledger": [{k: v for k, v in e.items() if k != "by"} for e in entries.values()]}
        view |= {"chosen": [], "also_fits": [], "tie": None} if self.barred else {}
        shown(f"choice {d.name}", self.decisions[d.name], view)
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
        for _, rule, c, who in self.claims[d.name]:
            if c.attribute and rule.concern == "stated wish" and who in gone and not self.winner(rule.id):
                left = f"{who.replace('_', ' ')} is left out, and the best of the rest is advised"
                behind = set().union(*(self.names(self.base.rules[r]) for r in gone[who]))
                self.wishes.append((f"the wished {d.title}", left, c.attribute, behind))

    def names(self, rule: models.Rule) -> set[str]:
        return {n for p in rule.when for n in (p.attribute, p.other) if n and p.operator != "unknown"}

    def clashing(self) -> list[tuple[str, str]]:
        """Declared clashes that rules saw in what was said, then wishes left out of which no such clash speaks."""
        seen, found = list[set[str]](), dict[tuple[str, str], None]()
        for rule, c in ((r, c) for k in self.order for r in [self.base.rules[self.nodes[k]["rule"]]] for c in r.then):
            told = [self.nodes[self.ids[n]] for n in map(node_of, self.names(rule)) if n in self.ids]
            guesses = [r for n in told if n["kind"] == "supposition" for r in n["rules"] if not self.base.rules[r].item]
            if c.act == "clash" and not guesses and not self.winner(rule.id):
                found[self.base.clashes[c.target].between, self.base.clashes[c.target].say] = None
                seen.append(self.names(rule))
        wishes = [w for w in self.wishes if not any(w[2] in names and names & w[3] for names in seen)]
        return [*found, *((w[0], w[1]) for w in wishes if not self.barred)]

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
        clash = must[0] > must[1]
        musts = [c for c in claims if c[1].force == "must" and not self.winner(c[1].id)]
        crossed = {c[2].act: c for c in reversed(musts) if c[3] == (low if c[2].act == "at least" else high)}
        for claim in claims:
            key, rule, c, mm = claim
            of, by, end = self.ids.get(str(c.attribute)), self.winner(rule.id), low if c.act == "at least" else high
            aside = f"withdrawn by {by}" if by else beyond.get(claim)
            clear, line = None if aside or clash else round(abs(mm - end), 3), self.nodes.get(str(of), {}).get("line")
            says = written.bound(rule, c, mm, line, not aside and not clash and mm == end, clear, aside)
            step = self.make("bound", says, [self.stands(key), of])
            rows.append((says, step, claim == crossed[c.act] if clash else says["binding"]))
        if not clash:
            rows.sort(key=lambda r: (r[0]["side"], not r[0]["binding"], bool(r[0]["set_aside"]), r[0]["rule"]))
        ends = [None if clash or abs(e) == INF else e for e in (low, high)]
        says = {"low_mm": ends[0], "high_mm": ends[1], "feasible_mm": [None if abs(e) == INF else e for e in must]}
        view = {"low_mm": None, "high_mm": None, "feasible_mm": [None, None]} if self.barred else says
        view = view | {"order_as": None if self.barred or None in ends else show_weight(low, high, "inch")}
        shown(f"window {name}", self.decisions[name], view)
        bounds = [] if self.barred else rows
        agree(f"window {name} bounds", len(self.decisions[name]["bounds"]), len(bounds))
        for part, (row, *_) in zip(self.decisions[name]["bounds"], bounds, strict=True):
            because = self.base.rules[row["rule"]].because
            shown(f"bound {row['side']} of {row['rule']}", part, row | {"formula": row["line"], "because": because})
        if rows:
            rests, besides = [step for _, step, holds in rows if holds], [step for _, step, _ in rows]
            self.roots[name] = self.make("window", says | {"name": name}, rests, besides)
        if held := [e for e in ends if e is not None]:
            self.know(name, [round(sum(held) / len(held), 2)], self.roots[name])
        if clash:
            self.clashes.append((name, "no thickness meets both, so none is advised"))

    def endings(self) -> None:
        """The outcome, what could not be had together, the amount, the cautions, and all that the advice shows of them."""
        advice, base, order = self.advice, self.base, models.OUTCOMES
        found = {o: [c[0] for c in self.claims[f"outcome {o}"] if not self.winner(c[1].id)] for o in order}
        unmet = [n for n, c in enumerate(self.clashes, 1) if c[0] in base.decisions]
        outcome = next((o for o in order if found[o]), "ok_with_conditions" if unmet else "ok" if self.item else None)
        agree("outcome", advice["outcome"], outcome)
        conflicts = [*([] if self.barred else self.clashes), *self.clashing()]
        for n, (about, left) in enumerate(conflicts, 1):
            rests = self.nodes.get(self.proof["roots"].get(f"conflict {n}"), {"from": []})["from"]
            self.roots[f"conflict {n}"] = self.make("conflict", {"about": about, "left": left}, rests)
            agree(
                f"conflict {n}", [[c["about"], c["outcome"]] for c in advice["conflicts"][n - 1 : n]], [[about, left]]
            )
        agree("conflicts", len(advice["conflicts"]), len(conflicts))
        if outcome:
            rest = [k for o in order if o != outcome for k in found[o]]
            rests = found[outcome]
            if not any(found.values()):
                rests = [self.ids["item"], self.absence("outcome"), *(self.roots[f"conflict {n}"] for n in unmet)]
            self.roots["outcome"] = self.make("outcome", {"outcome": outcome}, rests, rest)
        if "amount amount" in self.told:
            told, columns = self.told["amount amount"], ("length", "width", "area", "waste")
            known = [n for n in ("form", "pieces", "quantity", "extra_waste") if self.facts[n] or n == "pieces"]
            says = {k: told[k] for k in ("name", "count", "how", "gross_dm2", "leftover_dm2")} | {
                "form": self.facts["form"][0]
            }
            rests = [*map(self.fact, known), *(self.fact(f"form.{c}") for c in columns)]
            self.roots["amount"] = self.make("amount", says, rests)
            for part in advice["decisions"]["amount"]["forms"]:
                if part["form"] == says["form"]:
                    shown("amount", part, says)
        listed = {c["id"]: c for c in advice["cautions"]}
        for c in base.cautions.values():
            raised, able = (
                self.claims[f"caution {c.id}"],
                [r for r in base.about(c.id) if any(t.act == "caution" and t.target == c.id for t in r.then)],
            )
            status = "applies" if raised else "not ruled out" if c.id in listed or any(map(self.waits, able)) else None
            if raised:
                self.roots[f"caution {c.id}"] = self.make(
                    "caution", written.caution(c), [k for k, *_ in raised], of=c, by=c.id
                )
            if status:
                rule = raised[0][1].id if raised else listed.get(c.id, {}).get("rule")
                agree(f"caution {c.id}", rule in [r.id for r in able], True)
                shown(
                    f"caution {c.id}",
                    listed.get(c.id, {"status": None}),
                    written.caution(c) | {"status": status, "rule": rule},
                )
        agree("cautions", len(listed.keys() - base.cautions.keys()), 0)

    def waits(self, rule: models.Rule) -> bool:
        """Whether nothing but answers not yet given keeps a rule from holding; a supposition is no answer."""
        for p in rule.when:
            told = self.nodes.get(self.ids.get(p.attribute, ""), {})
            said = told.get("kind") == "answer" and told["state"] != "don't know"
            asked = p.attribute in self.base.attributes and self.base.attributes[p.attribute].ask != "never"
            if p.other or not (said or asked) or (said and not self.options(p)):
                return False
        return True

    def views(self) -> None:
        """The facts, the trace and the evidence that the advice shows."""
        advice, base = self.advice, self.base
        known = {n: self.nodes[key] for n, key in self.roots.items() if n in base.attributes}
        agree("facts", sorted(advice["facts"]), sorted(known))
        for name, n in known.items():
            many = base.attributes[name].kind == "set" and (n["value"] or n["kind"] != "answer")
            value, rule = n["value"] if many else next(iter(n["value"]), None), next(iter(n.get("rules", ())), None)
            says = {"value": value, "unit": base.attributes[name].unit, "rule": rule, "formula": n.get("line")}
            shown(f"fact {name}", advice["facts"][name], says)
        agree("trace", [t["rule"] for t in advice["trace"]], [self.nodes[k]["rule"] for k in self.order])
        for key, part in zip(self.order, advice["trace"], strict=True):
            rule = base.rules[part["rule"]]
            more = {"withdrawn_by": self.winner(rule.id), "basis": rule.basis, "source": list(rule.source)}
            shown(f"trace {rule.id}", part, self.nodes[key] | more)
        graded = {n: self.graded[k] for n, k in self.roots.items() if n in [*base.decisions, "amount", "outcome"]}
        graded = {n: told for n, told in graded.items() if told[0][0] >= 0}
        agree("evidence", sorted(e["conclusion"] for e in advice["evidence"]), sorted(graded))
        for part in advice["evidence"]:
            (grade, by), supposed = graded[part["conclusion"]]
            shown(
                f"evidence of {part['conclusion']}",
                part,
                {"grade": GRADES[grade], "by": by, "supposed": sorted(supposed)},
            )


def verify(advice: Any, rules: Path | models.RuleBase) -> str:
    """An empty text if every step of an advice holds by these rules or their folder, else the first that does not."""
    base = load_rulebase(rules) if isinstance(rules, Path) else rules
    try:
        _Check(advice, base).run()
    except Fault as fault:
        return str(fault)
    except (AdvisorError, LookupError, ValueError, TypeError, AttributeError, ArithmeticError, RecursionError) as error:
        return f"file: it has not the shape of a proof ({type(error).__name__}: {error})"
    return ""

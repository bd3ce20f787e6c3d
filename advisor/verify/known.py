"""What is known and by which steps: the rules that hold and on what, absences, withdrawals, attributes and sums."""

import json
import operator
from collections import defaultdict
from collections.abc import Iterable
from itertools import chain, product
from typing import Any

from ..codes import mark, say
from ..leather.formulas import FORMULAS, worked_out
from ..rulebase import models, patterns, written
from ..rulebase.strata import node_of

GRADES = ("published, opened", "published, from memory", "common practice", "estimate")
TESTS = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}
BY_HAND = (999, 20_000, 20_000)
"""More than so many pieces, of so many mm each way, nobody can give by hand."""
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


def verdict_shown(advice: Any) -> str | None:
    """The outcome that an advice shows, as one of VERDICTS; an order is withheld or not by its first reason."""
    first = advice["outcome_reasons"][:1]
    if first and first[0]["order"] == "withheld":
        return models.WITHHELD
    return "undecided" if first and first[0]["outcome"] == "undecided" else advice["outcome"]


class Known:
    """What the answers of an advice come to. A claim is (step, rule, conclusion, value), kept by its name."""

    def __init__(self, advice: Any, base: models.RuleBase) -> None:
        self.advice, self.base, self.proof, self.nodes = advice, base, advice["proof"], advice["proof"]["nodes"]
        self.told, self.made = {written.label(n): n for n in self.nodes.values()}, dict[str, Any]()
        self.hand = {n["name"]: n for n in self.nodes.values() if str(n.get("name")).startswith(patterns.PIECE)}
        self.facts, self.claims = defaultdict[str, list[Any]](list), defaultdict[str, list[Any]](list)
        self.applied = defaultdict[str, list[str]](list)  # the steps of a rule that holds
        self.own = defaultdict[str, bool](bool)  # whether a fact or an applied rule is only the item's own habit
        self.graded = dict[str, Any]()  # the weakest grade under a step, whose it is, and what is supposed
        self.ids, self.roots, self.parts = dict[str, str](), dict[str, str](), dict[str, Any]()
        self.clashes, self.wishes = list[tuple[str, Any]](), list[Any]()
        self.ways, self.defeats = dict[str, Any](), defaultdict[str, list[str]](list)  # by applied step
        self.put_in, self.lost, self.views_of = dict[str, Any](), dict[str, Any](), dict[str, Any]()
        self.item: models.Item | None = None
        self.barred, self.shows = verdict_shown(advice) in models.NO_ORDER, advice["decisions"]

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
        holder, dot, column = name.partition(".")
        if dot:
            held = self.base.holder(holder)
            of = held.properties[column]
            return self.make("table", written.table(held, column), of=of, by=f"table {holder} {column}")
        decision, item = self.base.decisions.get(name.removesuffix("_excluded")), self.item
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
        if name.endswith(models.ANSWERED):
            return self.make("absence", {"name": name, "lacks": None, "rules": {}})
        able = [r.id for r in self.base.givers(node_of(name), lacks)]
        rules = {r: (say("applied") if self.applied[r] else say("did_not_apply")).written() for r in able}
        rules |= {r: say("withdrawn", rule=by).written() for r in able if (by := self.winner(r))}
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
        """Each list of facts that makes a premise hold, in whatever order somebody said the values."""
        have = [[p.attribute, v] for v in sorted(self.facts[p.attribute])]
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
            # A rule left out is named itself, not the source that no other rule stands on.
            agree(f"rule {rule.id} applied", f"rule {rule.id}" in self.told, True)
            by = [[self.fact(f[0]) for f in found] for found in way]
            by = [k or [self.absence(p.attribute, *p.values)] for p, k in zip(rule.when, by, strict=True)]
            premises = [written.premise(p, f, [*dict.fromkeys(k)]) for p, f, k in zip(rule.when, way, by, strict=True)]
            key = self.make("applied", written.applied(rule, premises), chain(*by), of=rule, by=rule.id)
            agree(f"rule {rule.id} applied", key in self.proof["applied"], True)
            self.own[key] = all(found and all(self.own[node_of(f[0])] for f in found) for found in way)
            self.applied[rule.id].append(key)
            self.ways[key] = way
            for c in rule.then:
                values: Any = [f[1] for f in chain(*way) if f[0] == c.attribute] if c.attribute else c.values or [None]
                if c.act == "require":
                    decision, _ = models.parted(c.target)
                    values = [x for x in self.base.decisions[decision].candidates if x not in values]
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
            answer["value"] = [
                v for v in said if (low <= v <= high if a.numeric else a.kind == "text" or v in a.values)
            ]
            against = [c for c in claims if said and c[3] not in said]
            key = self.make("answer", answer, (), [self.stands(c[0]) for c in against])
            self.item = self.base.items.get("".join(said)) if a.name == "item" else self.item
            usual = self.item.supposes.get(a.name, ()) if self.item else (None,)
            self.know(a.name, said, key, a.name == "item" or {*usual} == {*said})
            self.facts[a.name + models.ANSWERED] = list(said)
            musts = {c[0] for c in against if c[1].force == "must" and c[2].act in ("set", "add")}
            self.clashes += [(a.name, say("answer_kept").written())] * len(musts)
        elif not self.computed(a, told):
            live = [c for c in claims if not self.winner(c[1].id)]
            guess = all(c[2].act == "suppose" for c in live)
            live = [c for c in live if guess or c[2].act != "suppose"]
            ranks = [-CONCERN(c[1].concern) if guess else a.kind == "set" or FORCE(c[1].force) for c in live]
            best = {c[3] for c, rank in zip(live, ranks, strict=True) if rank == max(ranks)}
            by = [c for c, rank in zip(live, ranks, strict=True) if rank == max(ranks) or (not guess and c[3] in best)]
            rules = list(dict.fromkeys(c[1].id for c in by))
            if len(best) > 1 and a.kind != "set":
                self.clashes.append((a.name, say("left_unsettled", attribute=a.name).written()))
            elif best:
                lost = [] if guess or a.kind == "set" else [c[1].id for c in live if c[3] not in best]
                for key in {c[0]: None for c in by if lost}:
                    self.defeats[key] += [r for r in dict.fromkeys(lost) if r not in self.defeats[key]]
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
            sizes_told = [zip(n["value"], BY_HAND, strict=True) for n in self.hand.values()]
            if not all(0 < v <= most for told in sizes_told for v, most in told):
                raise Fault("piece by hand: it has not the size of a piece")
            hand = patterns.pieces_by_hand(self.item, {k: n["value"] for k, n in self.hand.items()})
            cut = patterns.cut_pieces(self.item, sizes, hand)
            self.parts[kind] = cut.pieces, cut.formulas, cut.failed
            self.lost |= cut.failed
        elif self.item:
            laid = patterns.lay_zones(self.item, sizes, self.facts["skive"], self.facts["anchors"])
            self.parts[kind] = laid.zones, [], laid.failed
            self.lost |= laid.failed

    def computed(self, a: models.Attribute, told: Any) -> bool:
        """Whether a formula gives it, or the price list of a shop, which is taken as told."""
        rests, kinds = [o for o in a.inputs.values() if "." not in o], models.PATTERN_KINDS
        if told.get("formula") == mark("sum_by_prices") and (a.formula == "cheapest_forms" or a.unit == "money"):
            says = {k: told[k] for k in ("name", "value", "unit", "line", "formula")}
            self.know(a.name, told["value"], self.make("computed", says, [self.prices(), *map(self.fact, rests)]))
            return True
        pieces, zones = (self.parts.get(kind, [()])[0] for kind in ("pieces", "zones"))
        given = patterns.inputs_of(self.base, a, lambda name: tuple(self.facts[name]), pieces, zones)
        try:
            values, line = worked_out(a.formula, given or {})
        except ValueError:
            self.lost |= {a.name: say("not_reckoned", attribute=a.name)} if a.formula and given is not None else {}
            return False
        self.put_in[a.name] = {k: v for k, v in (given or {}).items() if isinstance(v, str | float)}
        inputs = {k: (None if "." in o or o in kinds else self.facts[o], self.fact(o)) for k, o in a.inputs.items()}
        says, formula = written.computed(a, FORMULAS[a.formula], values, line, inputs), FORMULAS[a.formula]
        key = self.make("computed", says, [by for _, by in inputs.values()], of=formula, by=formula.name)
        self.know(a.name, values, key, all(self.own[node_of(o)] for o in rests))
        return True

    def prices(self) -> str:
        """The price list of the shop, as told."""
        return self.make("prices", {k: self.told["prices"][k] for k in ("house", "invented", "sha256")})

    def excluded(self, d: models.Decision) -> dict[str, list[str]]:
        """Candidate -> the standing rules that exclude it."""
        gone = self.barring(self.claims[d.name])
        self.facts[f"{d.name}_excluded"] = list(gone)
        return gone

    def barring(self, claims: list[Any]) -> dict[str, list[str]]:
        """Candidate -> the standing rules among these claims that exclude it, in the order of their names."""
        out = [c for c in claims if c[2].act in ("exclude", "require") and not self.winner(c[1].id)]
        return {x: [*dict.fromkeys(c[1].id for c in out if c[3] == x)] for x in sorted({c[3] for c in out})}

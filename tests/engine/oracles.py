"""Other ways to the same conclusions, to hold the product's engine against.

They share the data models with the product and nothing else: ``NaiveEngine`` tries every
combination of facts, ``ClipsEngine`` hands the patterns to CLIPS, and ``Demand`` works a whole
consultation backwards, from what is asked to what it needs, without strata or engine.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import clips

from advisor.reasoning.facts import Answer
from advisor.reasoning.matching import Fact, Match, Pattern, Test
from advisor.rulebase.models import (
    ANSWERED,
    CONCERNS,
    FORCES,
    HABITS,
    MAY_BRING_IN,
    Conclusion,
    Decision,
    Item,
    Rule,
    RuleBase,
    Value,
)


def plain(value: Value) -> Value:
    """A value as engines compare it: words as they are, numbers to three decimals."""
    return value if isinstance(value, str) else round(float(value), 3) + 0.0


def compare(left: Value, operator: str, right: Value) -> bool:
    if operator == "<":
        return left < right
    if operator == "<=":
        return left <= right
    if operator == ">":
        return left > right
    assert operator == ">="
    return left >= right


# -- one stratum


def brings(concern: str) -> bool:
    """Whether a reason of this concern may bring in a leather that no ranking names."""
    return concern in HABITS or CONCERNS.index(concern) <= MAY_BRING_IN


class NaiveEngine:
    """Every combination of facts is tried against every pattern."""

    def __init__(self, strata: Iterable[Sequence[Pattern]]) -> None:
        self.strata = [list(patterns) for patterns in strata]

    def fire(self, stratum: int, facts: Sequence[Fact]) -> list[Match]:
        by_name: dict[str, list[Fact]] = {}
        for name, value in sorted({(a, plain(v)) for a, v in facts}, key=lambda f: (f[0], f[1])):
            by_name.setdefault(name, []).append((name, value))
        found: list[Match] = []
        for pattern in self.strata[stratum]:
            if any(self.passing(t, by_name) for t in pattern.absent):
                continue
            for bound in itertools.product(*(self.passing(t, by_name) for t in pattern.present)):
                if all(compare(bound[g.left][0][1], g.operator, bound[g.right][0][1]) for g in pattern.guards):
                    matched = tuple(dict.fromkeys(itertools.chain.from_iterable(bound)))
                    found.append(Match(pattern.rule, matched, pattern.absent))
        return found

    @staticmethod
    def passing(test: Test, by_name: Mapping[str, list[Fact]]) -> list[tuple[Fact, ...]]:
        """The ways to meet one test, each with the facts it rests on."""
        facts = by_name.get(test.attribute, [])
        if test.operator == "known":
            return [tuple(facts)] if facts else []
        values = [plain(v) for v in test.values]
        if test.operator == "any":
            return [(fact,) for fact in facts]
        met = {
            "==": lambda v: v == values[0],
            "!=": lambda v: v != values[0],
            "in": lambda v: v in values,
        }.get(test.operator, lambda v: compare(v, test.operator, values[0]))
        return [(fact,) for fact in facts if met(fact[1])]


class ClipsEngine:
    """Every pattern becomes a CLIPS rule that reports the numbers of the facts it matched."""

    def __init__(self, strata: Iterable[Sequence[Pattern]]) -> None:
        self.strata = [list(patterns) for patterns in strata]
        self.found: list[tuple[int, ...]] = []
        self.environments: list[clips.Environment] = []
        self.reads: list[set[str]] = []
        for patterns in self.strata:
            environment = clips.Environment()
            environment.define_function(self.report, "found")
            environment.build("(deftemplate fact (slot n) (slot a) (slot v))")
            environment.build("(deftemplate known (slot a))")
            for number, pattern in enumerate(patterns):
                environment.build(self.rule(number, pattern))
            self.environments.append(environment)
            self.reads.append({t.attribute for p in patterns for t in (*p.present, *p.absent)})

    def report(self, *numbers: int) -> None:
        self.found.append(numbers)

    @classmethod
    def rule(cls, number: int, pattern: Pattern) -> str:
        conditions, bound = [], []
        for place, test in enumerate(pattern.present):
            conditions.append(cls.condition(test, str(place)))
            bound.append("-1" if test.operator == "known" else f"?n{place}")
        conditions += [f"(test ({g.operator} ?v{g.left} ?v{g.right}))" for g in pattern.guards]
        conditions += [f"(not {cls.condition(t, f'a{place}')})" for place, t in enumerate(pattern.absent)]
        return f"(defrule r{number} {' '.join(conditions)} => (found {number} {' '.join(bound)}))"

    @classmethod
    def condition(cls, test: Test, place: str) -> str:
        if test.operator == "known":
            return f"(known (a {test.attribute}))"
        written = [cls.written(plain(v)) for v in test.values]
        slot = f"?v{place}"
        if test.operator in ("==", "in"):
            slot += "&" + "|".join(written)
        elif test.operator == "!=":
            slot += f"&~{written[0]}"
        elif test.operator != "any":
            slot += f"&:({test.operator} ?v{place} {written[0]})"
        return f"(fact (n ?n{place}) (a {test.attribute}) (v {slot}))"

    @staticmethod
    def written(value: Value) -> str:
        if isinstance(value, str):
            return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
        return f"{value:.3f}"

    def fire(self, stratum: int, facts: Sequence[Fact]) -> list[Match]:
        reads = self.reads[stratum]
        settled = sorted({(a, plain(v)) for a, v in facts if a in reads}, key=lambda f: (f[0], f[1]))
        environment = self.environments[stratum]
        environment.reset()
        fact, known = environment.find_template("fact"), environment.find_template("known")
        for number, (name, value) in enumerate(settled):
            fact.assert_fact(n=number, a=clips.Symbol(name), v=value)
        for name in {a for a, _ in settled}:
            known.assert_fact(a=clips.Symbol(name))
        self.found = []
        environment.run()
        found = []
        for number, *bound in sorted(self.found):
            pattern = self.strata[stratum][number]
            matched: list[Fact] = []
            for test, place in zip(pattern.present, bound, strict=True):
                matched += [settled[place]] if place >= 0 else [f for f in settled if f[0] == test.attribute]
            found.append(Match(pattern.rule, tuple(dict.fromkeys(matched)), pattern.absent))
        return found


# -- a whole consultation, from its end


class Holding(NamedTuple):
    """One way a rule holds: the facts it rests on, and what it relies on not being so, in words."""

    facts: tuple[Fact, ...]
    absent: tuple[str, ...]


@dataclass(frozen=True)
class Found:
    """What is known under a name (nothing if ``values`` is empty); ``own``: only the item's habit says so."""

    values: tuple[Value, ...] = ()
    own: bool = False


@dataclass(frozen=True)
class Weighed:
    """A choice: leading candidates, those that also do, and for each barred one the rules that bar it."""

    chosen: tuple[str, ...]
    also_fits: tuple[str, ...]
    excluded: Mapping[str, frozenset[str]]


@dataclass(frozen=True)
class Span:
    """A quantity: the must-window, the advised one, and the rules whose bounds found no room."""

    feasible: tuple[float | None, float | None] = (None, None)
    low: float | None = None
    high: float | None = None
    no_room: frozenset[str] = frozenset()


class Demand:
    """A consultation by recursion: a name is worked out when it is first asked for, and remembered.

    Knows one formula, ``foldable_thickness``; pieces and zones are not handled.
    """

    def __init__(self, rulebase: RuleBase, answers: Mapping[str, Answer]) -> None:
        self.rulebase, self.answers = rulebase, answers
        self.speakers: dict[str, list[Rule]] = {}
        self.preferred: dict[str, list[str]] = {}
        for rule in rulebase.rules.values():
            for target in dict.fromkeys(c.target for c in rule.then):
                self.speakers.setdefault(target, []).append(rule)
            for loser in rule.over:
                self.preferred.setdefault(loser, []).append(rule.id)
        self._found: dict[str, Found] = {}
        self._holdings: dict[str, list[Holding]] = {}
        self._stands: dict[str, bool] = {}
        self._weighed: dict[str, Weighed] = {}
        self._span: Span | None = None

    # rules

    def holdings(self, rule: Rule) -> list[Holding]:
        if rule.id not in self._holdings:
            self._holdings[rule.id] = self.work_out(rule)
        return self._holdings[rule.id]

    def work_out(self, rule: Rule) -> list[Holding]:
        ways: list[list[tuple[Fact, ...]]] = []
        absent: list[str] = []
        for premise in dict.fromkeys((p.attribute, p.operator, p.values, p.other) for p in rule.when):
            name, operator, values, other = premise
            facts = [(name, plain(v)) for v in sorted(self.value(name).values)]
            wanted = [plain(v) for v in values]
            if operator == "unknown":
                if facts:
                    return []
                absent.append(f"{name} is unknown")
            elif not facts:
                return []
            elif operator == "known":
                ways.append([tuple(facts)])
            elif operator == "lacks":
                if (name, wanted[0]) in facts:
                    return []
                ways.append([tuple(facts)])
                absent.append(f"{name} lacks {values[0]}")
            elif other is not None:
                others = [(other, plain(v)) for v in self.value(other).values]
                ways.append([(f, g) for f in facts for g in others if compare(f[1], operator, g[1])])
            elif operator in ("is", "in"):
                ways.append([(f,) for f in facts if f[1] in wanted])
            elif operator == "is not":
                ways.append([(f,) for f in facts if f[1] != wanted[0]])
            else:
                ways.append([(f,) for f in facts if compare(f[1], operator, wanted[0])])
        relied = tuple(dict.fromkeys(absent))
        chained = (itertools.chain.from_iterable(way) for way in itertools.product(*ways))
        return [Holding(tuple(dict.fromkeys(facts)), relied) for facts in chained]

    def stands(self, rule_id: str) -> bool:
        """The rule is not withdrawn: no rule preferred to it holds and stands."""
        if rule_id not in self._stands:
            self._stands[rule_id] = not any(
                self.holdings(self.rulebase.rules[winner]) and self.stands(winner)
                for winner in self.preferred.get(rule_id, ())
            )
        return self._stands[rule_id]

    def live(self, target: str, acts: Sequence[str] | None = None) -> list[tuple[Rule, Conclusion]]:
        """What rules that hold and stand say about one name; other rules are not looked at."""
        said = [
            (rule, conclusion)
            for rule in self.speakers.get(target, ())
            for conclusion in rule.then
            if conclusion.target == target and (acts is None or conclusion.act in acts)
        ]
        return [(rule, c) for rule, c in said if self.holdings(rule) and self.stands(rule.id)]

    def all_own(self, rule: Rule) -> bool:
        """The rule adds nothing to what the item already says."""
        return all(
            not holding.absent and all(self.value(name).own for name, _ in holding.facts)
            for holding in self.holdings(rule)
        )

    # values

    def value(self, name: str) -> Found:
        if name not in self._found:
            self._found[name] = self.find(name)
        return self._found[name]

    def find(self, name: str) -> Found:
        if name.endswith(ANSWERED):
            asked = name.removesuffix(ANSWERED)
            answer = self.answers.get(asked)
            return Found(answer.values, self.value(asked).own) if answer and answer.values else Found()
        stem = name.removesuffix("_offered").removesuffix("_excluded")
        decision = self.rulebase.decisions.get(stem)
        if decision is None:
            return self.attribute(name)
        if decision.kind == "quantity":
            span = self.span(stem)
            ends = [end for end in (span.low, span.high) if end is not None]
            return Found((round(sum(ends) / len(ends), 2),) if ends else ())
        if name.endswith("_excluded"):
            return Found(tuple(sorted(self.barred(decision))))
        weighed = self.weighed(stem)
        if not weighed.chosen:
            return Found()
        lead = weighed.chosen[0]
        reasons = [rule for rule, _, candidate, _ in self.counted(decision) if candidate == lead]
        own = all(rule.item is not None for rule in reasons)
        return Found((lead,) if stem == name else (*weighed.chosen, *weighed.also_fits), own)

    def item(self) -> Item | None:
        values = self.value("item").values
        return self.rulebase.items.get(str(values[0])) if values else None

    def attribute(self, name: str) -> Found:
        attribute = self.rulebase.attributes[name]
        answer = self.answers.get(name)
        if answer is not None and answer.state != "don't know":
            own = name == "item"
            if not own and answer.values:
                item = self.item()
                own = item is not None and set(item.supposes.get(name, ())) == set(answer.values)
            return Found(answer.values, own)
        if attribute.formula:
            assert attribute.formula == "foldable_thickness"
            radius, limit = (self.value(attribute.inputs[part]) for part in ("radius", "limit"))
            strain = float(limit.values[0]) if limit.values else 0.0
            # No leather stretches by its whole length: then nothing is computed, and rules may speak.
            if radius.values and 0 < strain < 1:
                thickness = 2 * float(radius.values[0]) * strain / (1 - strain)
                return Found((round(thickness, 3),), radius.own and limit.own)
        said = self.live(name)
        settings = [(r, c) for r, c in said if c.act in ("set", "add")]
        suppositions = [(r, c) for r, c in said if c.act == "suppose"]
        best = min((CONCERNS.index(r.concern) for r, _ in suppositions), default=0)
        taken = settings or [(r, c) for r, c in suppositions if CONCERNS.index(r.concern) == best]
        if attribute.kind == "set":
            values = {v for _, c in taken for v in c.values}
            if len(values) > 1:
                values.discard("none")
        else:
            if settings:
                force = max(FORCES.index(r.force) for r, _ in settings)
                strongest = {c.values[0] for r, c in settings if FORCES.index(r.force) == force}
                taken = [(r, c) for r, c in settings if c.values[0] in strongest]
            values = {c.values[0] for _, c in taken}
            if len(values) > 1:
                return Found()
        own = all(r.concern != "general habit" and (r.item is not None or self.all_own(r)) for r, _ in taken)
        return Found(tuple(sorted(values)), bool(values) and own)

    # choices

    def named(self, conclusion: Conclusion) -> set[str]:
        values = self.value(conclusion.attribute).values if conclusion.attribute else conclusion.values
        return {str(v) for v in values}

    def barred(self, decision: Decision) -> dict[str, frozenset[str]]:
        """Candidate -> the rules that exclude it or require others."""
        found: dict[str, set[str]] = {}
        for rule, conclusion in self.live(decision.name, ("exclude", "require")):
            named = self.named(conclusion)
            for candidate in named if conclusion.act == "exclude" else set(decision.candidates) - named:
                found.setdefault(candidate, set()).add(rule.id)
        return {candidate: frozenset(rules) for candidate, rules in found.items()}

    def counted(self, decision: Decision) -> list[tuple[Rule, str, str, int]]:
        """The reasons that count in the balance, one for each rule, act and candidate."""
        item = self.item()
        reasons: dict[tuple[str, str, str], tuple[Rule, str, str, int]] = {}
        every: dict[tuple[str, str, str], tuple[str, int]] = {}
        wishes: set[tuple[str, str, str]] = set()
        for rule, conclusion in self.live(decision.name, ("favour", "disfavour")):
            ranked = item.ranks.get(decision.name, frozenset()) if item and rule.item is None else frozenset()
            contained = bool(ranked) and self.all_own(rule)
            for candidate in self.named(conclusion):
                key = (rule.id, conclusion.act, candidate)
                signed = conclusion.strength if conclusion.act == "favour" else -conclusion.strength
                every.setdefault(key, (candidate, signed))
                if contained and (conclusion.act == "favour" or candidate in ranked):
                    continue
                reasons.setdefault(key, (rule, conclusion.act, candidate, conclusion.strength))
                if conclusion.attribute and rule.concern == "stated wish" and conclusion.act == "favour":
                    wishes.add(key)
        for key in wishes if self.ranked(decision) else ():
            # A wish counts for nothing where more speaks against the leather and it would not fit unasked.
            who = key[2]
            unasked = [r for k, r in reasons.items() if k[2] == who and k not in wishes]
            fits = sum(s if a == "favour" else -s for _, a, _, s in unasked) > 0
            fits = fits and any(a == "favour" and brings(r.concern) for r, a, _, _ in unasked)
            if not fits and sum(signed for k, (c, signed) in every.items() if c == who and k not in wishes) < 0:
                del reasons[key]
        return list(reasons.values())

    def ranked(self, decision: Decision) -> bool:
        """Whether some habit names what is usual."""
        return any(rule.concern in HABITS for rule, _ in self.live(decision.name, ("favour",)))

    def weighed(self, name: str) -> Weighed:
        if name not in self._weighed:
            self._weighed[name] = self.weigh(self.rulebase.decisions[name])
        return self._weighed[name]

    def weigh(self, decision: Decision) -> Weighed:
        ranked, counted = self.ranked(decision), self.counted(decision)
        excluded = self.barred(decision)
        if not counted and not excluded:
            return Weighed((), (), excluded)
        price = decision.table("price") if "price" in decision.properties else {}
        places = list(decision.candidates)
        standing: list[tuple[int, int, float, int, str]] = []
        for place, candidate in enumerate(places):
            pulls = [(r, a, s) for r, a, c, s in counted if c == candidate]
            balance = sum(s if a == "favour" else -s for _, a, s in pulls)
            favouring = {r.concern for r, act, _ in pulls if act == "favour"}
            brought = any(brings(c) for c in favouring)
            if candidate in excluded or (ranked and (not brought or balance <= 0)):
                continue
            against = sum(a == "disfavour" for _, a, _ in pulls)
            standing.append((-balance, against, float(price.get(candidate, 0.0)), place, candidate))
        standing.sort()
        if not standing:
            return Weighed((), (), excluded)
        level = tuple(s[-1] for s in standing if s[0] == standing[0][0])
        chosen = level if ranked else level[:1]
        return Weighed(chosen, tuple(s[-1] for s in standing if s[-1] not in chosen), excluded)

    # windows

    def span(self, name: str) -> Span:
        if self._span is None:
            self._span = self.narrow(name)
        return self._span

    def narrow(self, name: str) -> Span:
        bounds = [
            (rule, c.act, float(self.value(c.attribute).values[0] if c.attribute else c.values[0]))
            for rule, c in self.live(name)
        ]
        low = max((mm for r, side, mm in bounds if r.force == "must" and side == "at least"), default=None)
        high = min((mm for r, side, mm in bounds if r.force == "must" and side == "at most"), default=None)
        feasible = (low, high)
        if low is not None and high is not None and low > high:
            return Span(feasible)
        declared = list(self.rulebase.rules)
        wishes = [bound for bound in bounds if bound[0].force != "must"]
        # Bounds of equal standing come in the order in which their rules fire.
        wishes.sort(
            key=lambda b: (
                CONCERNS.index(b[0].concern),
                -FORCES.index(b[0].force),
                self.rulebase.strata.rule[b[0].id],
                declared.index(b[0].id),
            )
        )
        no_room: set[str] = set()
        for rule, side, mm in wishes:
            ends = (
                (mm if low is None else max(low, mm), high)
                if side == "at least"
                else (low, mm if high is None else min(high, mm))
            )
            if None not in ends and ends[0] > ends[1]:
                no_room.add(rule.id)
            else:
                low, high = ends
        return Span(feasible, low, high, frozenset(no_room))


def absence_in_words(test: Test) -> str:
    return f"{test.attribute} is unknown" if test.operator == "known" else f"{test.attribute} lacks {test.values[0]}"

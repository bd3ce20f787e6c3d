"""Random rule bases and random answers, from a seed.

A base has items with habits and rankings, attributes of every kind, a computed one, ranked and
unranked choices, a window, absences, comparisons, preferences and suppositions: whatever the grammar
can say, without the words.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import fields, replace

from advisor.reasoning.facts import Answer
from advisor.rulebase.models import (
    ANSWERED,
    CONCERNS,
    FORCES,
    PATTERN_KINDS,
    Attribute,
    AttributeValue,
    Candidate,
    Conclusion,
    Decision,
    Item,
    Premise,
    Property,
    Rule,
    RuleBase,
    Strata,
    Value,
)
from advisor.rulebase.strata import CircleError, stratify

LEATHERS = ("oak", "mimosa", "chrome", "alum", "brain")
TEMPERS = ("soft", "medium", "firm")
CUTS = ("bend", "side", "belly")
SIZES = (1.0, 1.6, 2.0, 2.4, 3.0, 4.0)
GIVES = (0.1, 0.2, 0.35, 0.5, 1.5)
"""Stretch of the grain; with the last one nothing can be computed."""
ITEMS = ("belt", "pouch", "case")


def _attribute(name: str, kind: str, order: int, words: Sequence[str] = (), **other: object) -> Attribute:
    unit = {"quantity": "mm", "count": "count"}.get(kind, "")
    values = {w: AttributeValue(w, w, ()) for w in words}
    fields: dict[str, object] = {
        "name": name,
        "kind": kind,
        "group": "job",
        "ask": "later",
        "question": "?",
        "help": "?",
        "dont_know": "",
        "basis": "estimate",
        "unit": unit,
        "low": None,
        "high": None,
        "cues": (),
        "values": values,
        "formula": "",
        "inputs": {},
        "order": order,
    }
    return Attribute(**(fields | other))  # type: ignore[arg-type]


def _decision(name: str, candidates: Sequence[str] = (), prices: Sequence[float] = ()) -> Decision:
    table = {c: Candidate(c, c, (), {"price": p}) for c, p in zip(candidates, prices, strict=True)}
    columns = {"price": Property("price", "plain", "estimate", "?", ())} if table else {}
    return Decision(name, "choice" if table else "quantity", "" if table else "mm", name, table, {}, columns)


class _Maker:
    def __init__(self, seed: int, rules: int, breadth: int) -> None:
        self.random = random.Random(seed)
        self.breadth = breadth
        self.attributes = {a.name: a for a in self._attributes()}
        self.decisions = {
            "tannage": _decision("tannage", LEATHERS, self._prices(LEATHERS)),
            "temper": _decision("temper", TEMPERS, self._prices(TEMPERS)),
            "cut": _decision("cut", CUTS, self._prices(CUTS)),
            "weight": _decision("weight"),
        }
        late = [n for n in self.attributes if n.startswith("late")]
        early = [n for n in self.attributes if n not in late]
        self.nodes = [*early, *self.decisions, *late]
        self.place = {n: i for i, n in enumerate(self.nodes)}
        self.rules: dict[str, Rule] = {}
        self.items = {slug: self._item(slug) for slug in ITEMS}
        while len(self.rules) < rules:
            self._rule(f"r{len(self.rules)}")
        self._preferences()

    def _prices(self, candidates: Sequence[str]) -> list[float]:
        return [self.random.choice((1.0, 1.5, 2.0)) for _ in candidates]

    def _attributes(self) -> list[Attribute]:
        found = [_attribute("item", "choice", 0, ITEMS)]

        def add(name: str, kind: str, words: Sequence[str] = (), **other: object) -> None:
            found.append(_attribute(name, kind, len(found), words, **other))

        for n in range(self.breadth):
            add(f"choice{n}", "choice", ("a", "b", "c"))
            add(f"set{n}", "set", ("none", "x", "y", "z"))
            add(f"size{n}", "quantity")
            add(f"derived{n}", self.random.choice(("choice", "set")), ("none", "a", "b", "x"), ask="never")
        add("layers", "count")
        add("give", "quantity", unit="plain", low=0.1, high=0.8)
        inputs = {"radius": "size0", "limit": "give"}
        add("stack", "quantity", formula="foldable_thickness", ask="never", inputs=inputs)
        add("picks", "set", LEATHERS)
        add("flag", "yes_no", ("yes", "no"))
        add("late0", "choice", ("a", "b"), ask="never")
        add("late1", "set", ("none", "x", "y"), ask="never")
        return found

    # what may stand in a rule

    def _values(self, name: str) -> list[Value]:
        """What an attribute or decision may be."""
        decision = self.decisions.get(name.removesuffix("_offered").removesuffix("_excluded"))
        if decision is not None:
            return list(decision.candidates) or list(SIZES)
        attribute = self.attributes[name]
        if attribute.kind == "count":
            return [1.0, 2.0, 3.0]
        if name == "give":
            return list(GIVES)
        return list(SIZES) if attribute.numeric else list(attribute.values)

    def _many(self, name: str) -> bool:
        attribute = self.attributes.get(name)
        return name.endswith(("_offered", "_excluded")) or (attribute is not None and attribute.kind == "set")

    def _numbers(self, before: int) -> list[str]:
        return [n for n in self.nodes[:before] if self._values(n)[0] in (*SIZES, 1.0)]

    def _premise(self, before: int) -> Premise:
        pick = self.random
        name = pick.choice(self.nodes[:before])
        if name in self.decisions and self.decisions[name].candidates and pick.random() < 0.5:
            name += pick.choice(("_offered", "_excluded"))
        values, other = self._values(name), None
        if pick.random() < 0.15:
            operator: str = pick.choice(("known", "unknown", "unknown"))
            chosen: list[Value] = []
            if name in self.attributes and not self.attributes[name].formula and pick.random() < 0.5:
                name += ANSWERED
        elif isinstance(values[0], float):
            operator, chosen = pick.choice(("<", "<=", ">", ">=", "in")), [pick.choice(values)]
            rivals = [n for n in self._numbers(before) if n != name and self._values(n) == values]
            if operator == "in":
                chosen = pick.sample(values, 2)
            elif rivals and pick.random() < 0.4:
                other, chosen = pick.choice(rivals), []
        else:
            operator = pick.choice(("is", "is", "in", "lacks" if self._many(name) else "is not"))
            chosen = pick.sample(values, 2 if operator == "in" else 1)
        text = f"{name} {operator} {other or ', '.join(map(str, chosen))}"
        return Premise(name, operator, tuple(chosen), other, text)  # type: ignore[arg-type]

    def _conclusion(self, target: str, before: int) -> Conclusion:
        pick = self.random
        decision = self.decisions.get(target)
        values, origin, strength = self._values(target), None, 0
        if decision is not None and decision.candidates:
            act = pick.choice(("favour", "favour", "favour", "disfavour", "exclude", "require"))
            strength = pick.randint(1, 3) if act.endswith("favour") else 0
            chosen = pick.sample(values, pick.randint(1, 2) if act != "require" else len(values) - 1)
            if target == "tannage" and "picks" in self.nodes[:before] and pick.random() < 0.15:
                origin, chosen = "picks", []
        elif decision is not None:
            act, chosen = pick.choice(("at least", "at most")), [pick.choice(values)]
            origin = pick.choice(("size0", "stack"))
            if origin in self.nodes[:before] and pick.random() < 0.3:
                chosen = []
            else:
                origin = None
        else:
            many = self._many(target)
            act = pick.choice(("add" if many else "set", "suppose"))
            chosen = pick.sample(values, pick.randint(1, 2) if many else 1)
            if "none" in chosen:
                chosen = ["none"]
        text = f"{act} {target} {origin or ', '.join(map(str, chosen))}"
        return Conclusion(act, target, tuple(chosen), origin, strength, text)  # type: ignore[arg-type]

    def _rule(self, rule_id: str) -> None:
        pick = self.random
        targets = [n for n in self.nodes if n != "item" and not (n in self.attributes and self.attributes[n].formula)]
        weighty = pick.random() < 0.55
        first = pick.choice(list(self.decisions)) if weighty else pick.choice(targets)
        before = self.place[first]
        when = [self._premise(before) for _ in range(pick.choice((1, 1, 1, 2, 2, 2, 3, 4)))]
        later = [t for t in targets if self.place[t] >= before]
        then = [self._conclusion(first, before)]
        then += [self._conclusion(pick.choice(later), before) for _ in range(pick.choice((0, 0, 1)))]
        for conclusion in then:
            if conclusion.attribute:
                origin = conclusion.attribute
                when.append(Premise(origin, "known", (), None, f"{origin} is known"))
        concern = pick.choice([c for c in CONCERNS if c != "item habit"])
        self._add(rule_id, when, then, pick.choice(FORCES), concern)

    def _add(
        self,
        rule_id: str,
        when: Sequence[Premise],
        then: Sequence[Conclusion],
        force: str,
        concern: str,
        item: str | None = None,
    ) -> None:
        self.rules[rule_id] = Rule(
            rule_id,
            tuple(dict.fromkeys(when)),
            tuple(then),
            force,
            concern,
            "?",
            "estimate",
            (),
            (),
            "",
            (),
            "",
            "random.toml",
            1,
            item,
        )  # type: ignore[arg-type]

    def _item(self, slug: str) -> Item:
        pick = self.random
        when = [Premise("item", "is", (slug,), None, f"item is {slug}")]
        supposed = pick.sample([n for n in self.attributes if n[:4] in ("choi", "set0", "set1", "size", "laye")], 4)
        habits = [replace(self._conclusion(n, 0), act="suppose") for n in supposed]
        self._add(f"{slug}/habits", when, habits, "should", "item habit", slug)
        ranks = ["tannage"] + (["temper"] if pick.random() < 0.7 else [])
        ranking = []
        for name in ranks:
            candidates = self._values(name)
            for candidate in pick.sample(candidates, pick.randint(1, len(candidates) - 1)):
                act = "favour" if pick.random() < 0.8 or not ranking else "disfavour"
                strength = pick.randint(1, 3)
                ranking.append(Conclusion(act, name, (candidate,), None, strength, f"{act} {name} {candidate}"))
        self._add(f"{slug}/ranking", when, ranking, "should", "item habit", slug)
        span = [
            Conclusion("at least", "weight", (1.6,), None, 0, "weight at least 1.6 mm"),
            Conclusion("at most", "weight", (3.0,), None, 0, "weight at most 3.0 mm"),
        ]
        self._add(f"{slug}/usual-weight", when, span, "should", "item habit", slug)
        supposes = {c.target: c.values for c in habits}
        favoured = dict.fromkeys(c.target for c in ranking if c.act == "favour")
        ranked = {n: frozenset(str(c.values[0]) for c in ranking if c.target == n) for n in favoured}
        # Patterns, parts and buying habits play no part here: whatever else an item has is empty.
        empty = {f.name: () for f in fields(Item)}
        return Item(**empty | {"slug": slug, "name": slug, "weight": None, "supposes": supposes, "ranks": ranked})

    def _preferences(self) -> None:
        """Some rules are preferred to others, in chains too, never in a circle."""
        pick = self.random
        standing = pick.sample(list(self.rules), len(self.rules))
        for _ in range(len(standing) // 3):
            loser, winner = sorted(pick.sample(range(len(standing)), 2))
            self.prefer(standing[winner], standing[loser])

    def prefer(self, winner: str, loser: str) -> None:
        rule = self.rules[winner]
        if FORCES.index(rule.force) >= FORCES.index(self.rules[loser].force) and loser not in rule.over:
            kept = rule.over
            self.rules[winner] = replace(rule, over=(*kept, loser), over_because="?")
            try:
                self.strata()
            except CircleError:
                self.rules[winner] = replace(rule, over=kept)

    def strata(self) -> Strata:
        return stratify(self.attributes, self.decisions, self.rules, ())

    def base(self) -> RuleBase:
        return RuleBase(
            "random", "1", "0" * 64, self.attributes, self.decisions, {}, {}, {}, self.items, self.rules, self.strata()
        )


def random_base(seed: int, rules: int = 50, breadth: int = 3) -> RuleBase:
    """A rule base that can be layered, with ``breadth`` attributes of each kind."""
    return _Maker(seed, rules, breadth).base()


def random_answers(pick: random.Random, rulebase: RuleBase, share: float) -> dict[str, Answer]:
    """Answers to about this share of the attributes, some of them "don't know" or "does not apply"."""
    answers: dict[str, Answer] = {}
    for attribute in rulebase.attributes.values():
        wanted = 0.9 if attribute.name == "item" else share
        settled = attribute.kind in PATTERN_KINDS or (attribute.ask == "never" and attribute.formula)
        if settled or pick.random() > wanted:
            continue
        answers[attribute.name] = random_answer(pick, attribute, rulebase.items)
    return answers


def random_answer(pick: random.Random, attribute: Attribute, items: Mapping[str, Item]) -> Answer:
    draw = pick.random()
    if draw < 0.1:
        return Answer((), "don't know")
    if draw < 0.15:
        return Answer((), "does not apply")
    usual = [values for item in items.values() if (values := item.supposes.get(attribute.name))]
    if usual and draw < 0.4:
        return Answer(pick.choice(usual))
    if attribute.numeric:
        low = 1.0 if attribute.low is None else attribute.low
        high = 4.0 if attribute.high is None else attribute.high
        step = pick.uniform(low, high)
        return Answer((float(round(step)) if attribute.kind == "count" else round(step, 1),))
    if attribute.kind == "text":
        return Answer((pick.choice(("initials", "a date", "")),))
    if attribute.kind == "set":
        words = [w for w in attribute.values if w != "none"]
        chosen = pick.sample(words, min(len(words), pick.choice((0, 1, 1, 2, 3))))
        return Answer(tuple(chosen) or (("none",) if "none" in attribute.values else (words[0],)))
    return Answer((pick.choice(list(attribute.values)),))

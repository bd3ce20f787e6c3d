"""What the known answers leave possible: the same rules read with three answers, no, maybe and yes.

A supposition is not knowledge here. From this come the cautions that nothing has ruled out yet and
the questions that can still matter. It errs on one side only: it may keep a caution or a question
that could be dropped, never drop one that could matter.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import IntEnum
from functools import lru_cache

from ..rulebase.models import CONCERNS, HABITS, MAY_BRING_IN, PATTERN_KINDS, Premise, Rule, RuleBase, Value
from ..rulebase.strata import node_of, speaks_of
from .facts import Answer, Known
from .patterns import pattern_sizes


class Status(IntEnum):
    """Whether a premise or rule holds: ordered, so that a conjunction is the least of its parts."""

    NO = 0
    MAYBE = 1
    YES = 2


class Possibility:
    """The state of knowledge after a consultation.

    ``closed`` maps what is known for certain to its values (none for "does not apply");
    ``candidates`` holds, per choice, what no certain must-rule has excluded.
    """

    def __init__(self, rulebase: RuleBase, answers: Mapping[str, Answer], known: Mapping[str, Known]) -> None:
        self.rulebase = rulebase
        self.closed: dict[str, tuple[Value, ...]] = {
            name: a.values for name, a in answers.items() if a.state != "don't know"
        }
        self.candidates: dict[str, frozenset[str]] = {}
        self._known = known
        self._rules: dict[str, Status] = {}
        self._about: dict[str, list[Rule]] = rulebase.once("rules about", _about)
        self._winners: dict[str, list[str]] = rulebase.once("winners", winners)
        for node in sorted(rulebase.strata.node, key=lambda n: rulebase.strata.node[n]):
            self._visit(node)

    def _visit(self, node: str) -> None:
        decision = self.rulebase.decisions.get(node)
        if decision is not None:
            if decision.kind == "choice":
                self.candidates[node] = self._candidates(node)
            return
        attribute = self.rulebase.attributes.get(node)
        if attribute is None or node in self.closed or attribute.ask != "never":
            return
        if attribute.formula:
            origins = [node_of(o) for o in attribute.inputs.values() if "." not in o]
            settled = all(o in self.closed for o in origins)
        elif attribute.kind in PATTERN_KINDS:
            settled = all(s in self.closed for s in self._pattern_sizes())
        else:
            settled = all(self._certain(rule) for rule in self._about.get(node, ()))
        if settled and node in self._known:
            self.closed[node] = self._known[node].values
        elif settled and attribute.kind in PATTERN_KINDS:
            self.closed[node] = ()

    def _pattern_sizes(self) -> list[str]:
        items = self.closed.get("item", ())
        sizes: dict[str, frozenset[str]] = self.rulebase.once("pattern sizes", pattern_sizes)
        return sorted(sizes.get(str(items[0]), frozenset())) if items else ["item"]

    def _certain(self, rule: Rule) -> bool:
        """Nothing anybody may still say changes whether this rule holds and stands."""
        if self.status(rule) == Status.NO:
            return True
        return self.status(rule) == Status.YES and all(
            self.status(self.rulebase.rules[w]) != Status.MAYBE for w in self._winners.get(rule.id, ())
        )

    def _candidates(self, node: str) -> frozenset[str]:
        candidates = set(self.rulebase.decisions[node].candidates)
        brought_in: set[str] = set()
        may_rank = False
        for rule in self._about.get(node, ()):
            status = self.status(rule)
            if status == Status.NO:
                continue
            for c in rule.then:
                if c.target != node:
                    continue
                values = (
                    {str(v) for v in c.values} if not c.attribute else set(self.rulebase.decisions[node].candidates)
                )
                if c.act == "favour":
                    if rule.concern in HABITS:
                        may_rank = may_rank or status == Status.YES
                    if rule.concern in HABITS or CONCERNS.index(rule.concern) <= MAY_BRING_IN:
                        brought_in |= values
                firm = rule.force == "must" or c.act in ("exclude", "require")
                if (
                    firm
                    and status == Status.YES
                    and not c.attribute
                    and not any(
                        self.status(self.rulebase.rules[w]) != Status.NO for w in self._winners.get(rule.id, ())
                    )
                ):
                    if c.act == "exclude":
                        candidates -= values
                    elif c.act == "require":
                        candidates &= values
        return frozenset(candidates & brought_in if may_rank else candidates)

    def status(self, rule: Rule) -> Status:
        """Whether the rule holds for no, some or all ways of completing the answers."""
        found = self._rules.get(rule.id)
        if found is None:
            found = min((self.premise(p) for p in rule.when), default=Status.YES)
            self._rules[rule.id] = found
        return found

    def premise(self, premise: Premise) -> Status:
        """Whether one premise can, must or cannot hold."""
        name = premise.attribute
        node = node_of(name)
        if premise.other is not None:
            if name in self.closed and premise.other in self.closed:
                left, right = self.closed[name], self.closed[premise.other]
                holds = bool(left and right) and _compare(float(left[0]), premise.operator, float(right[0]))
                return Status.YES if holds else Status.NO
            return Status.MAYBE
        if node in self.candidates:
            return self._choice(premise, self.candidates[node])
        if name not in self.closed:
            return Status.MAYBE
        values = self.closed[name]
        return Status.YES if _holds(premise, values) else Status.NO

    @staticmethod
    def _choice(premise: Premise, possible: frozenset[str]) -> Status:
        if premise.operator in ("is", "in"):
            return Status.MAYBE if possible & {str(v) for v in premise.values} else Status.NO
        if premise.operator == "is not":
            return Status.MAYBE if possible - {str(v) for v in premise.values} else Status.NO
        return Status.MAYBE

    def open_premises(self, rule: Rule) -> list[str]:
        """The names whose being open keeps a rule possible."""
        return list(dict.fromkeys(p.attribute for p in rule.when if self.premise(p) == Status.MAYBE))

    def live_questions(self) -> dict[str, set[str]]:
        """Every unanswered attribute that can still matter, with what it can reach."""
        goals = [*self.rulebase.decisions, "cautions", "outcome"]
        reached: dict[str, set[str]] = {}
        feeds = lru_cache(maxsize=None)(self._feeds)
        for goal in goals:
            waiting = set(feeds(goal))
            seen: set[str] = set()
            while waiting:
                node = waiting.pop()
                if node in seen or node in self.closed:
                    continue
                seen.add(node)
                if node in self.rulebase.attributes and self.rulebase.attributes[node].ask != "never":
                    reached.setdefault(node, set()).add(goal)
                waiting |= feeds(node)
        return reached

    def _feeds(self, node: str) -> frozenset[str]:
        if node in ("cautions", "outcome"):
            acts = ("caution",) if node == "cautions" else ("outcome", "clash")
            rules: Iterable[Rule] = (r for r in self.rulebase.rules.values() if any(c.act in acts for c in r.then))
        else:
            rules = self._about.get(node, ())
        found: set[str] = set()
        for rule in rules:
            if self.status(rule) == Status.NO:
                continue
            found |= {node_of(n) for n in self.open_premises(rule)}
            found |= {node_of(c.attribute) for c in rule.then if c.attribute}
            found |= {node_of(p.other) for p in rule.when if p.other}
        attribute = self.rulebase.attributes.get(node)
        if attribute is not None:
            found |= {node_of(o) for o in attribute.inputs.values() if "." not in o}
            if attribute.kind in PATTERN_KINDS:
                found |= set(self._pattern_sizes())
        return frozenset(found)


def _about(rulebase: RuleBase) -> dict[str, list[Rule]]:
    about: dict[str, list[Rule]] = {}
    for rule in rulebase.rules.values():
        for node in sorted(speaks_of(rule)):
            about.setdefault(node.removesuffix("_excluded"), []).append(rule)
    return about


def winners(rulebase: RuleBase) -> dict[str, list[str]]:
    """Rule -> rules that are preferred to it."""
    beaten: dict[str, list[str]] = {}
    for rule in rulebase.rules.values():
        for loser in rule.over:
            beaten.setdefault(loser, []).append(rule.id)
    return beaten


def _compare(left: float, operator: str, right: float) -> bool:
    return {"<": left < right, "<=": left <= right, ">": left > right, ">=": left >= right}[operator]


def _holds(premise: Premise, values: tuple[Value, ...]) -> bool:
    operator = premise.operator
    if operator == "known":
        return bool(values)
    if operator == "unknown":
        return not values
    if not values:
        return False
    if operator == "lacks":
        return premise.values[0] not in values
    if operator in ("is", "in"):
        return any(v in premise.values for v in values)
    if operator == "is not":
        return any(v not in premise.values for v in values)
    return any(_compare(float(v), operator, float(premise.values[0])) for v in values)

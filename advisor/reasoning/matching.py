"""What an inference engine must do here: given the settled facts, say which rules hold on which facts.

Any engine behind the ``Engine`` protocol may draw the conclusions; the product uses the one in
``engine``, the tests put others in its place and compare.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import ge, gt, le, lt
from typing import Literal, NamedTuple, Protocol

from ..rulebase.models import Premise, Rule, RuleBase, Value

Fact = tuple[str, Value]
TestOperator = Literal["==", "!=", "in", "<", "<=", ">", ">=", "any", "known"]


class Test(NamedTuple):
    """One test of one attribute; ``any`` binds a value for comparison, ``known`` binds none."""

    attribute: str
    operator: TestOperator
    values: tuple[Value, ...] = ()


class Guard(NamedTuple):
    """A comparison between the facts bound by two tests, by their places."""

    left: int
    operator: Literal["<", "<=", ">", ">="]
    right: int


@dataclass(frozen=True, slots=True)
class Pattern:
    """A rule as an engine sees it: tests that some fact must pass, and tests that no fact may pass."""

    rule: str
    present: tuple[Test, ...]
    absent: tuple[Test, ...] = ()
    guards: tuple[Guard, ...] = ()


class Match(NamedTuple):
    """A rule that holds: the facts it matched, in premise order, and the tests nothing passed."""

    rule: str
    facts: tuple[Fact, ...]
    absent: tuple[Test, ...]


class Engine(Protocol):
    """Finds all matches of one stratum; order is by rule as declared, then by facts."""

    def fire(self, stratum: int, facts: Sequence[Fact]) -> list[Match]:
        """Every match of the stratum's rules over ``facts``, which must all be settled."""


def pattern_of(rule: Rule) -> Pattern:
    """Premises of the grammar as tests.

    "lacks" is knowledge plus absence: an attribute nobody knows lacks nothing.
    """
    present: list[Test] = []
    absent: list[Test] = []
    guards: list[Guard] = []

    def place(test: Test) -> int:
        if test not in present:
            present.append(test)
        return present.index(test)

    for premise in rule.when:
        operator = premise.operator
        if operator == "known":
            place(Test(premise.attribute, "known"))
        elif operator == "unknown":
            absent.append(Test(premise.attribute, "known"))
        elif operator == "lacks":
            place(Test(premise.attribute, "known"))
            absent.append(Test(premise.attribute, "==", premise.values))
        elif premise.other is not None:
            left, right = place(Test(premise.attribute, "any")), place(Test(premise.other, "any"))
            assert operator in ("<", "<=", ">", ">=")
            guards.append(Guard(left, operator, right))
        else:
            place(Test(premise.attribute, _operator(premise), premise.values))
    return Pattern(rule.id, tuple(present), tuple(dict.fromkeys(absent)), tuple(guards))


def _operator(premise: Premise) -> TestOperator:
    if premise.operator == "is":
        return "=="
    if premise.operator == "is not":
        return "!="
    assert premise.operator in ("in", "<", "<=", ">", ">=")
    return premise.operator


def patterns_by_stratum(rulebase: RuleBase) -> list[list[Pattern]]:
    """The rule base as an engine loads it."""
    strata: list[list[Pattern]] = [[] for _ in range(rulebase.strata.depth)]
    for rule in rulebase.rules.values():
        strata[rulebase.strata.rule[rule.id]].append(pattern_of(rule))
    return strata


def holds(premise: Premise, values: Sequence[Value]) -> bool:
    """Whether a premise about one attribute holds for exactly these values; none means not known."""
    operator = premise.operator
    if operator in ("known", "unknown") or not values:
        return bool(values) == (operator != "unknown") and operator in ("known", "unknown")
    if operator == "lacks":
        return premise.values[0] not in values
    if operator in ("is", "in"):
        return any(v in premise.values for v in values)
    if operator == "is not":
        return any(v not in premise.values for v in values)
    compare = {"<": lt, "<=": le, ">": gt, ">=": ge}[operator]
    return any(compare(float(v), float(premise.values[0])) for v in values)

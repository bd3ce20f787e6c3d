"""In which order a rule base is worked through.

Every attribute and decision is settled before any rule reads it, so nothing fires on half a
picture and no conclusion is ever taken back. That order exists only if no rule feeds what it reads,
directly or through others; a circle is refused with its path.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from .models import ANSWERED, BOUNDS, PATTERN_KINDS, REASONS, WAYS, Attribute, Decision, Rule, Strata

SPEAKS_OF = ("set", "add", "suppose", *REASONS, *BOUNDS)


class CircleError(ValueError):
    """Rules that feed what they read; ``path`` lists (name, why) around the circle."""

    def __init__(self, path: list[tuple[str, str]]) -> None:
        self.path = path
        names = " -> ".join(name for name, _ in path)
        why = "; ".join(f"{name} by {rule}" for name, rule in path[1:])
        super().__init__(f"these depend on each other in a circle: {names} ({why})")


def node_of(name: str) -> str:
    """``tannage_offered`` and ``tannage_answered`` are read off the same node as ``tannage``."""
    return name.removesuffix("_offered").removesuffix(ANSWERED)


def reads(rule: Rule) -> set[str]:
    """The nodes a rule must know before it can fire."""
    found = {node_of(p.attribute) for p in rule.when}
    found |= {node_of(p.other) for p in rule.when if p.other}
    return found | {node_of(c.attribute) for c in rule.then if c.attribute}


def speaks_of(rule: Rule) -> set[str]:
    """The nodes a rule helps to settle.

    What a choice excludes is a node of its own, settled before the choice is weighed, so that
    "cheapest of what is left" can be a reason in the balance. The leather of a part is settled last of all, since
    nothing reads it.
    """
    return {
        f"{c.target}_excluded" if c.act in ("exclude", "require") else c.target
        for c in rule.then
        if c.act in SPEAKS_OF and not c.part
    }


def winners_over(rule: Rule, beaten_by: Mapping[str, set[str]]) -> set[str]:
    """All rules whose firing can withdraw ``rule``, directly or by withdrawing one that would."""
    found: set[str] = set()
    waiting = [rule.id]
    while waiting:
        for winner in beaten_by.get(waiting.pop(), ()):
            if winner not in found:
                found.add(winner)
                waiting.append(winner)
    return found


def stratify(
    attributes: Mapping[str, Attribute],
    decisions: Mapping[str, Decision],
    rules: Mapping[str, Rule],
    pattern_sizes: Iterable[str],
) -> Strata:
    """Levels of nodes and strata of rules.

    ``pattern_sizes`` are the attributes that the items' pieces and zones are computed from. Raises CircleError.
    """
    why: dict[tuple[str, str], str] = {}
    choices = [d.name for d in decisions.values() if d.kind == "choice"]
    needs: dict[str, set[str]] = {name: set() for name in (*attributes, *decisions)}
    needs |= {f"{name}_excluded": set() for name in choices}

    def link(node: str, before: Iterable[str], reason: str) -> None:
        for name in sorted(before):
            needs[node].add(name)
            why.setdefault((name, node), reason)

    for name in choices:
        link(name, {f"{name}_excluded"}, "weighing what is left")
    beaten_by: dict[str, set[str]] = {}
    for rule in rules.values():
        for loser in rule.over:
            beaten_by.setdefault(loser, set()).add(rule.id)
    for rule in rules.values():
        before = set(reads(rule))
        for winner in winners_over(rule, beaten_by):
            before |= reads(rules[winner])
        for node in speaks_of(rule):
            link(node, before, rule.id)
    for attribute in attributes.values():
        for origin in attribute.inputs.values():
            if "." not in origin:
                link(attribute.name, {node_of(origin)}, f"formula {attribute.formula}")
        if attribute.kind in PATTERN_KINDS:
            before = {"item", *pattern_sizes} | (set(WAYS) & attributes.keys() if attribute.kind == "zones" else set())
            link(attribute.name, before - {attribute.name}, "the items' patterns")
    try:
        order = list(TopologicalSorter(needs).static_order())
    except CycleError as error:
        circle: list[str] = error.args[1]
        path = [(circle[0], "")] + [(after, why[before, after]) for before, after in pairwise(circle)]
        raise CircleError(path) from error
    level: dict[str, int] = {}
    for node in order:
        level[node] = 1 + max((level[n] for n in needs[node]), default=-1)
    stratum = {r.id: max((level[n] for n in reads(r)), default=0) for r in rules.values()}
    return Strata(level, stratum, 1 + max([*level.values(), *stratum.values(), 0]))

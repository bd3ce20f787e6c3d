"""What in a rule base leads nowhere or promises too much: one-pass checks over how things hang together.

Each is a small function that yields findings; none fires a rule.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from .findings import Check, Finding, declared, fault, warn, written
from .grammar import GrammarError, Name, parse_value
from .models import Attribute, Premise, RuleBase
from .strata import node_of, reads

_AMOUNT = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?: ?(?:mm|kg|m|days?|%))?")


def needless_premises(rulebase: RuleBase) -> Iterator[Finding]:
    """Premises that hold whenever the rule's other premises do."""
    for rule in written(rulebase):
        for premise in rule.when:
            other = next((o for o in rule.when if o is not premise and _implies(rulebase, o, premise)), None)
            if other is not None:
                yield warn(rule, f'"{premise.text}" holds whenever "{other.text}" does.', "Leave it out.")


def _implies(rulebase: RuleBase, first: Premise, second: Premise) -> bool:
    if first.text == second.text:
        return False
    positive = first.operator in ("is", "in")
    if first.attribute == second.attribute:
        if second.operator == "known":
            return first.operator not in ("known", "unknown")
        return positive and second.operator in ("is", "in") and set(first.values) < set(second.values)
    if positive and first.attribute == "item" and second.attribute == "family" and second.operator in ("is", "in"):
        return all(rulebase.items[str(slug)].family in second.values for slug in first.values)
    return False


def unreachable_attributes(rulebase: RuleBase) -> Iterator[Finding]:
    """Attributes that are read, but only on ways that end before any decision, word of care or outcome."""
    leads: dict[str, set[str]] = {}
    ends: set[str] = set(rulebase.decisions)
    for rule in rulebase.rules.values():
        for c in rule.then:
            told = c.act in ("caution", "outcome", "clash") or c.target in rulebase.decisions or bool(c.part)
            for name in reads(rule):
                if told:
                    ends.add(name)
                else:
                    leads.setdefault(name, set()).add(node_of(c.target))
    sizes = {n for i in rulebase.items.values() for n in _sizes(rulebase, i.slug)}
    for a in rulebase.attributes.values():
        for origin in a.inputs.values():
            leads.setdefault(node_of(origin), set()).add(a.name)
        if a.group == "basket" or a.kind in ("pieces", "zones") or a.name in sizes:
            ends.add(a.name)
    reached, waiting = set(ends), list(ends)
    before: dict[str, set[str]] = {}
    for name, targets in leads.items():
        for target in targets:
            before.setdefault(target, set()).add(name)
    while waiting:
        for name in before.get(waiting.pop(), ()):
            if name not in reached:
                reached.add(name)
                waiting.append(name)
    for name in (leads.keys() & rulebase.attributes.keys()) - reached:
        yield declared(
            rulebase,
            "attribute",
            name,
            "what is read from this never reaches the advice.",
            "Let a rule conclude something from it, or take it out.",
        )


def _sizes(rulebase: RuleBase, slug: str) -> set[str]:
    item = rulebase.items[slug]
    texts = [t for p in item.pieces for t in (p.length, p.width)] + [t for z in item.zones for t in (z.stack, z.seam)]
    return {word for text in texts for word in re.findall(r"[a-z_]+", text) if word in rulebase.attributes}


def idle_graves(rulebase: RuleBase) -> Iterator[Finding]:
    """Values and items marked grave about which no rule of life, law or health says anything."""
    guarded = {
        (p.attribute, v)
        for rule in written(rulebase)
        if rule.concern in ("life and law", "health and limits")
        for p in rule.when
        if p.operator in ("is", "in")
        for v in p.values
    }
    for attribute in rulebase.attributes.values():
        for value in attribute.values.values():
            if not value.grave or (attribute.name, value.slug) in guarded:
                continue
            what = f"{value.slug} is marked grave, and no rule of life, law or health reads it."
            if attribute.name == "item":
                yield fault(rulebase.rules[f"{value.slug}/habits"], what, "Write that rule, or take the mark away.")
            else:
                yield declared(
                    rulebase, "attribute", attribute.name, what, "Write that rule, or take the mark away.", "error"
                )


def guessed_safety(rulebase: RuleBase) -> Iterator[Finding]:
    """Musts about life and law that rest on an estimate."""
    for rule in written(rulebase):
        if rule.force == "must" and rule.concern == "life and law" and rule.basis == "estimate":
            yield warn(rule, "a must about life and law rests on an estimate.", "Find a source, or lower the force.")


def unkept_promises(rulebase: RuleBase) -> Iterator[Finding]:
    """Questions that promise to suppose a number which no rule and no item supposes."""
    supposed: dict[str, set[object]] = {}
    for rule in rulebase.rules.values():
        for c in rule.then:
            if c.act in ("suppose", "set"):
                supposed.setdefault(c.target, set()).update(c.values)
    for a in rulebase.attributes.values():
        promised = _AMOUNT.search(a.dont_know)
        asked = a.ask != "never" and a.numeric
        if asked and promised and _amount(a, promised.group()) not in supposed.get(a.name, set()):
            yield declared(
                rulebase,
                "attribute",
                a.name,
                f'"{a.dont_know}" is promised, and nothing supposes it.',
                "Let a rule or an item suppose it, or say what is done.",
            )


def _amount(attribute: Attribute, text: str) -> object:
    name = Name(attribute.name, attribute.kind, attribute.unit, frozenset(), {})
    try:
        return parse_value(name, text)
    except GrammarError:
        return text


REACH_CHECKS: tuple[Check, ...] = (
    needless_premises,
    unreachable_attributes,
    idle_graves,
    guessed_safety,
    unkept_promises,
)

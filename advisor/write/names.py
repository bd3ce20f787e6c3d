"""What things are called: the one place where a slug of the rule files becomes words for a person."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ..leather.units import Units, in_round_inches, show_said
from ..read.counts import QUANTITY
from ..reasoning.advice import Advice, FactView
from ..rulebase.models import ANSWERED, PART, RuleBase, Value
from ..rulebase.saying import fact_says, label, name_of, spelt_out, trait
from .page import listed, plain

_READ_OFF = {"_offered": " offered", "_excluded": " ruled out", ANSWERED: ""}
_FACT = re.compile(r"(\w+) (?:is|includes) (.+)")
"""A fact in the grammar of the rules, as ``strap_width is 38 mm``."""

AMONG = re.compile(r"(\w+) (is one of|is none of|is not|is|includes one of|includes|lacks) (.+)")
NOT = ("is none of", "is not", "lacks")
"""A premise about values: its name, how it stands to them, and the list; and those that deny it."""


def called(rulebase: RuleBase, name: str, value: str) -> str:
    """A value of an attribute or a candidate of a decision, as a counter calls it."""
    return label(rulebase, name, value)


def attribute_called(rulebase: RuleBase, name: str) -> str:
    """An attribute, a decision or the part of a thing, by its name in the rule files."""
    kind, _, rest = name.partition(" ")
    if kind == PART and rest:
        return f"the leather for the {plain(rest)}"
    ending = next((e for e in _READ_OFF if name.endswith(e) and name not in rulebase.attributes), "")
    return name_of(rulebase, name.removesuffix(ending)) + _READ_OFF.get(ending, "")


def thing_called(rulebase: RuleBase, slug: str) -> str:
    """A thing that is made; "" for one without a recipe."""
    return label(rulebase, "item", slug) if slug in rulebase.items else ""


def made_called(rulebase: RuleBase, advice: Advice) -> str:
    """What is made, with how many of it where there are several: ``3 luggage straps``."""
    slug = str(advice.facts["item"].value)
    many = advice.facts.get(QUANTITY)
    count = int(many.value) if many and isinstance(many.value, float) else 1
    if count == 1 or slug not in rulebase.items:
        return thing_called(rulebase, slug)
    return f"{count} {rulebase.attributes['item'].values[slug].called(count)}"


def rule_called(rulebase: RuleBase, rule: str) -> str:
    """A rule by its id; one that an item or a family brings with it as what is usual for that."""
    slug, brought, _ = rule.partition("/")
    if not brought:
        return rule
    item = rulebase.attributes["item"].values.get(slug)
    return f"usual for {item.one() if item else attribute_called(rulebase, slug)}"


def basis_called(rulebase: RuleBase, by: str) -> str:
    """What a grade of evidence belongs to: a rule by its id, a pattern by its thing, a table or a sum in words."""
    kind, _, rest = by.partition(" ")
    if kind == "table":
        decision, _, column = rest.partition(" ")
        return f"table {attribute_called(rulebase, decision)}, {attribute_called(rulebase, column)}"
    if kind == "pattern":
        return f"pattern of {rulebase.attributes['item'].values[rest.removeprefix('of ')].one()}"
    return by if by in rulebase.rules else plain(by)


def values_called(
    rulebase: RuleBase, name: str, values: Iterable[Value], units: Units = "mm", joiner: str = "and"
) -> str:
    """Values of an attribute, a decision or a part of the order, without its name: ``brown``, ``38 mm``."""
    return listed((_value(rulebase, name, v, units) for v in values), joiner)


def listed_in_rule(rulebase: RuleBase, name: str, text: str) -> list[str]:
    """The words of a list as a rule has it: ``what is greasy`` for a property, else each candidate by its label."""
    kept, _, dropped = text.partition(" but ")
    found = [w for word in kept.split(", ") for w in _word_of_list(rulebase, name, word)]
    if dropped:
        found[-1] += f", but not {listed(listed_in_rule(rulebase, name, dropped), 'or')}"
    return found


def names_trait(rulebase: RuleBase, name: str, text: str) -> bool:
    """Whether a list of a rule names a property, or all but some, so that it says more than its members would."""
    return text.startswith("all but ") or any(trait(rulebase, name, w) for w in re.split(r", | but ", text))


def _word_of_list(rulebase: RuleBase, name: str, word: str) -> list[str]:
    told = trait(rulebase, name, word)
    if told or word == "all":
        return [f"what {told}" if told else "any"]
    return [called(rulebase, name, slug) for slug in spelt_out(rulebase, name, word)]


def said(rulebase: RuleBase, name: str, values: Sequence[Value], item: str | None = None, units: Units = "mm") -> str:
    """An answer in a list of answers, in the words of the thing that is made: ``a strap 38 mm wide``, ``brown``."""
    return fact_says(rulebase, name, ", ".join(_slug_or_number(rulebase, name, v, units) for v in values), item or "")


def answer_said(
    rulebase: RuleBase, name: str, values: Sequence[Value], item: str | None = None, units: Units = "mm"
) -> str:
    """An answer as ``said`` gives it; without values, that it was left open."""
    return said(rulebase, name, values, item, units) if values else f"{attribute_called(rulebase, name)}: left open"


def grammar_said(rulebase: RuleBase, fact: str, item: str | None = None) -> str:
    """A fact or a premise about properties in the grammar of the rules, in words; any other text as it is."""
    among = AMONG.fullmatch(fact)
    if among and names_trait(rulebase, among[1], among[3]):
        name, words = attribute_called(rulebase, among[1]), listed_in_rule(rulebase, among[1], among[3])
        told = "" if among[2] in NOT else trait(rulebase, among[1], among[3])
        verb = "is not" if among[2] in NOT else "is"
        return f"{name} {told}" if told else f"{name} {verb} {listed(words, 'or')}"
    found = _FACT.fullmatch(fact)
    if found is None or found[1] not in rulebase.attributes:
        return fact
    return fact_says(rulebase, found[1], found[2], item or "")


def fact_said(rulebase: RuleBase, name: str, fact: FactView, item: str = "", units: Units = "mm") -> str:
    """A fact of the advice as ``said`` gives it. An assumed size is rounded to what somebody would say."""
    if isinstance(fact.value, float) and fact.origin == "supposed":
        return assumed_called(rulebase, name, [fact.value], item, units)
    if isinstance(fact.value, float):
        return said(rulebase, name, [fact.value], item, units)
    return said(rulebase, name, fact.value if isinstance(fact.value, list) else [str(fact.value)], item, units)


def assumed_called(rulebase: RuleBase, name: str, values: Sequence[Value], item: str | None, units: Units) -> str:
    """What is assumed of a size as ``said`` gives it, in ``rounded`` inches."""
    return said(rulebase, name, rounded(rulebase, name, values, units), item, units)


def rounded(rulebase: RuleBase, name: str, values: Sequence[Value], units: Units) -> list[Value]:
    """Values that nobody said, lengths in inches rounded, as nobody would say a sixteenth of a waist."""
    long = units == "inch" and rulebase.attributes[name].unit == "mm"
    return [in_round_inches(v) if long and isinstance(v, float) else v for v in values]


def _value(rulebase: RuleBase, name: str, value: Value, units: Units) -> str:
    shown = _slug_or_number(rulebase, name, value, units)
    return shown if isinstance(value, float) else called(rulebase, name, shown)


def _slug_or_number(rulebase: RuleBase, name: str, value: Value, units: Units) -> str:
    if not isinstance(value, float):
        return value
    told = rulebase.attributes.get(name) or rulebase.decisions.get(name)
    unit = told.unit if told else ""
    return show_said(value, unit, units)

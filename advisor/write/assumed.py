"""What was said and what nobody said, as far as the order leans on it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ..leather.units import Units
from ..read.counts import QUANTITY
from ..read.danger import RAISED
from ..read.lexicon import lexicon
from ..reasoning.advice import Advice
from ..reasoning.tipping import BOUGHT
from ..rulebase.asking import asking_of
from ..rulebase.models import RuleBase
from .names import attribute_called, fact_said
from .page import capital, listed
from .refusal import WISH_LEFT_OUT

MOST_DECIDING, MOST_OPEN = 2, 4
"""How many suppositions that decide are told beside sizes and colour, and how many open questions are named."""
ONE, COLOUR = 1.0, "colour"
_NUMBER = re.compile(r"\d")


def assumed(rulebase: RuleBase, advice: Advice, units: Units) -> dict[str, str]:
    """By name, as facts in words: the sizes of the pattern first, then what the rules that were used read."""
    matched = (m.params for step in advice.trace for m in step.matched)
    used = {m["attribute"] for m in matched if m.get("origin") == "supposed"}
    sizes = _sizes(rulebase, advice)
    item = str(advice.facts["item"].value) if "item" in advice.facts else ""
    names = [n for n, f in advice.facts.items() if f.origin == "supposed" and f.value is not None and n != "family"]
    # One of a thing is what anybody means; a set of so many is an assumption like another.
    names = [n for n in names if n != QUANTITY or advice.facts[n].value != ONE]
    first = [n for n in names if n in sizes]
    rest = [n for n in names if n in used and n not in sizes]
    return {n: fact_said(rulebase, n, advice.facts[n], item, units) for n in (*first, *rest)}


def facts_told(rulebase: RuleBase, advice: Advice, units: Units) -> list[str]:
    """What the person said, besides the thing and how many, in words."""
    item = str(advice.facts["item"].value) if "item" in advice.facts else ""
    # A shade says its colour too.
    left_out = {"item", QUANTITY, RAISED, *(n for n, shade in rulebase.shaded.items() if shade in advice.facts)}
    # "As you asked" would not be true of a wish that is not followed.
    left_out |= {conflict.about for conflict in advice.conflicts if conflict.outcome.code == WISH_LEFT_OUT}
    return [
        fact_said(rulebase, n, f, item, units)
        for n, f in advice.facts.items()
        if f.origin in ("answered", "read") and f.value is not None and n not in left_out
    ]


def assumed_said(rulebase: RuleBase, advice: Advice, units: Units, leans: Sequence[str] | None = None) -> list[str]:
    """The sizes that were assumed, to be measured, and the few other suppositions that decide what is bought.

    ``leans`` names those, the most likely to be otherwise first; where nobody has looked, what may reach the leather.
    """
    sizes = _sizes(rulebase, advice)
    measured = [said for name, said in assumed(rulebase, advice, units).items() if name in sizes]
    item = str(advice.facts["item"].value) if "item" in advice.facts else ""
    # What stands in the order and nobody said is told first: people take a colour for their own.
    named = [n for n in (QUANTITY, COLOUR) if _supposed(advice, n) and _in_the_order(advice, n)]
    decide = [n for n in (_may_decide(rulebase, advice, item) if leans is None else leans) if n not in (*sizes, COLOUR)]
    decide = [n for n in decide if _supposed(advice, n) and not _comes_to_nothing(rulebase, advice, n)]
    told = [*named, *decide[:MOST_DECIDING]]
    rest = [fact_said(rulebase, n, advice.facts[n], item, units) for n in told]
    if measured and measured[0][0].isdigit():
        measured[0] = f"{rulebase.attributes['item'].values[item].one()} {measured[0]}"
    said = [f"{capital(', '.join(of_one(measured)))}: measure before you buy."] if measured else []
    return [" ".join([*said, f"{capital(', '.join(rest))}."])] if rest else said


def _supposed(advice: Advice, name: str) -> bool:
    fact = advice.facts.get(name)
    return fact is not None and fact.origin == "supposed" and fact.value is not None


def _in_the_order(advice: Advice, name: str) -> bool:
    """Whether the order shows a supposition: a number but one, a colour that some leather of it has."""
    value = advice.facts[name].value
    return value != ONE if name == QUANTITY else any(line.colour == value for line in advice.order.lines)


def _comes_to_nothing(rulebase: RuleBase, advice: Advice, name: str) -> bool:
    """Whether something is bought for a supposition, and not for this thing: of what has no seam nobody says "sewn"."""
    value = str(advice.facts[name].value)
    bought = [
        slug for slug, f in rulebase.fittings.items() if any(p.attribute == name and value in p.values for p in f.when)
    ]
    return bool(bought) and not any(line.id in bought for line in advice.order.lines)


def _may_decide(rulebase: RuleBase, advice: Advice, item: str) -> list[str]:
    reach = {q.attribute for q in advice.open_questions if not set(BOUGHT).isdisjoint(q.affects)}
    return [n for n in asking_of(rulebase, item).supposed if n in reach]


def of_one(sizes: Iterable[str]) -> list[str]:
    """Sizes in a row, what they are of said once: "a bag 38 cm wide, 28 cm tall"."""
    found, before = list[str](), ""
    for said in sizes:
        of = said[: n.start()] if (n := _NUMBER.search(said)) else said
        found.append(said.removeprefix(of) if of == before else said)
        before = of
    return found


def open_said(rulebase: RuleBase, advice: Advice) -> str:
    """What nobody has said and could still change the order, the first few by name; "" where nothing is open."""
    names = [attribute_called(rulebase, q.attribute) for q in advice.open_questions]
    return f"What could still change this: {listed(names[:MOST_OPEN])}." if names else ""


def _sizes(rulebase: RuleBase, advice: Advice) -> frozenset[str]:
    item = advice.facts.get("item")
    return lexicon(rulebase).uses.get(str(item.value), frozenset()) if item else frozenset()

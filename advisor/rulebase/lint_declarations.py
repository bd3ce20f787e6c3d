"""Checks of what is declared: attributes, decisions, items and what rules cite or raise."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from typing import get_args

from ..leather.formulas import FORMULAS, Formula
from ..leather.pieces import Piece, attributes_in, parse_size
from ..leather.stack import Kind as ZoneKind
from ..leather.stack import Zone
from .findings import Check, Finding, declared, fault, targets, warn, written
from .fittings import PARTS_AT_HAND
from .models import Premise, RuleBase, Value
from .strata import node_of, reads

NEGATIONS = frozenset(
    re.findall(
        r"\S+",
        """no not without never none nothing neither nor don't doesn't didn't isn't aren't won't shan't wouldn't can't
    cannot shouldn't mustn't avoid avoiding except instead than hate dislike skip
    maybe perhaps might possibly probably unsure whether wonder
    wondering considering thinking fancying""",
    )
)
"""Words by which a reader knows a no, a doubt or a soft wish, so none of them can be the word for a value."""

UNLIMITED = 1000.0
"""Put into a formula for a number that has no declared upper limit, in its unit."""

_A_NUMBER = re.compile(r"\d|\b(?:one|two|three|four|five|six|seven|eight|nine|ten|dozen|hundred)\b", re.IGNORECASE)


def _nodes_read(rulebase: RuleBase) -> set[str]:
    """Everything that a premise, a bound, a formula, a pattern or the basket looks at."""
    read = {node for rule in rulebase.rules.values() for node in reads(rule)}
    read |= {node_of(origin) for a in rulebase.attributes.values() for origin in a.inputs.values()}
    for item in rulebase.items.values():
        texts = [text for piece in item.pieces for text in (piece.length, piece.width)]
        texts += [text for zone in item.zones for text in (zone.stack, zone.skived, zone.seam) if text]
        read |= {name for text in texts for name in attributes_in(parse_size(text))}
        if any(zone.skived for zone in item.zones):
            read.add("skive")
        if any(zone.anchor for zone in item.zones):
            read.add("anchors")
    basket = {a.name: a for a in rulebase.attributes.values() if a.group == "basket"}
    filled = {name for name, a in basket.items() if a.formula} | targets(rulebase, "set", "add", "suppose")
    return read | (basket.keys() & filled)


def unused_cautions(rulebase: RuleBase) -> Iterator[Finding]:
    """Cautions that no rule raises."""
    for name in rulebase.cautions.keys() - targets(rulebase, "caution"):
        yield declared(rulebase, "caution", name, "no rule raises this caution.", "Raise it or take it out.")


def unmet_cautions(rulebase: RuleBase) -> Iterator[Finding]:
    """Cautions that do not say which thing can meet them."""
    for name, caution in rulebase.cautions.items():
        if caution.met_by is None:
            yield declared(
                rulebase,
                "caution",
                name,
                "it does not say which thing can meet it.",
                "Add met_by; [] is for what is told only where a rule raises it.",
                "error",
            )


def untold_cautions(rulebase: RuleBase) -> Iterator[Finding]:
    """Cautions that may be open and do not say what a person is to tell."""
    for name, caution in rulebase.cautions.items():
        if caution.met_by and caution.severity != "note" and not caution.tell_if:
            yield declared(
                rulebase,
                "caution",
                name,
                "it may stay open, and does not say what to tell.",
                'Add tell_if, as "a child will use it".',
                "error",
            )


def twin_cautions(rulebase: RuleBase) -> Iterator[Finding]:
    """Two cautions of the same words, which would be told twice."""
    first: dict[str, str] = {}
    for name, caution in rulebase.cautions.items():
        other = first.setdefault(caution.say, name)
        if other != name:
            yield declared(rulebase, "caution", name, f"it says the same as {other}.", "Keep one.", "error")


def things_of_no_kind(rulebase: RuleBase) -> Iterator[Finding]:
    """Items of which no kind says what they can meet."""
    named = frozenset[str]().union(*rulebase.kinds.values())
    for slug in rulebase.items.keys() - named if rulebase.kinds else ():
        yield fault(
            rulebase.rules[f"{slug}/habits"],
            "no kind says what this item can meet.",
            "Add it to a kind of cautions.toml; plain_things is for what meets nothing.",
        )


def unused_clashes(rulebase: RuleBase) -> Iterator[Finding]:
    """Clashes that no rule finds."""
    for name in rulebase.clashes.keys() - targets(rulebase, "clash"):
        yield declared(rulebase, "clash", name, "no rule finds this clash.", "Find it or take it out.")


def unused_sources(rulebase: RuleBase) -> Iterator[Finding]:
    """Sources that nothing cites."""
    cited = {s for rule in rulebase.rules.values() for s in rule.source}
    cited |= {s for caution in rulebase.cautions.values() for s in caution.source}
    cited |= {s for check in rulebase.checks.values() for s in check.source}
    columns = [p for d in rulebase.decisions.values() for p in d.properties.values()]
    cited |= {s for p in columns for cites in (p.source, *p.sources.values()) for s in cites}
    cited |= {s for a in rulebase.attributes.values() if a.formula for s in FORMULAS[a.formula].source}
    for name in rulebase.sources.keys() - cited:
        yield declared(rulebase, "source", name, "nothing cites this source.", "Cite it or take it out.")


def unread_attributes(rulebase: RuleBase) -> Iterator[Finding]:
    """Attributes whose answer or result can change nothing; what the order is written from changes it."""
    told = {*rulebase.tinted.values(), *rulebase.shaded.values()}
    for name in rulebase.attributes.keys() - _nodes_read(rulebase) - {PARTS_AT_HAND, *told}:
        attribute = rulebase.attributes[name]
        how = "computed" if attribute.formula else "asked" if attribute.ask != "never" else "kept"
        what = f"this is {how} and nothing reads it."
        yield declared(rulebase, "attribute", name, what, "Write a rule or take it out.")


def unmentioned_values(rulebase: RuleBase) -> Iterator[Finding]:
    """Two or more values of a choice that no rule and no item mentions: nothing tells them apart.

    One such value is in order; it stands for "none of the others".
    """
    mentioned: dict[str, set[Value]] = defaultdict(set)
    for rule in rulebase.rules.values():
        for premise in rule.when:
            mentioned[premise.attribute].update(premise.values)
        for conclusion in rule.then:
            mentioned[conclusion.target].update(conclusion.values)
    elsewhere = [rulebase.items.keys(), *(d.candidates.keys() for d in rulebase.decisions.values())]
    worked_on = {origin for a in rulebase.attributes.values() for origin in a.inputs.values()}
    for name, attribute in rulebase.attributes.items():
        if attribute.kind != "choice" or name in worked_on or attribute.values.keys() in elsewhere:
            continue
        unmentioned = [value for value in attribute.values if value not in mentioned[name]]
        if len(unmentioned) > 1:
            yield declared(
                rulebase,
                "attribute",
                name,
                f"no rule or item tells {' from '.join(unmentioned)}.",
                "Write a rule or make them one value.",
            )


def unfavoured_candidates(rulebase: RuleBase) -> Iterator[Finding]:
    """Candidates that no rule or item ever speaks for."""
    for decision in rulebase.choices():
        favours = [
            c
            for rule in rulebase.rules.values()
            for c in rule.then
            if c.target == decision.name and c.act in ("favour", "require")
        ]
        if any(c.attribute for c in favours):
            continue
        for candidate in decision.candidates.keys() - {v for c in favours for v in c.values}:
            yield declared(
                rulebase,
                "decision",
                decision.name,
                f"nothing ever favours {candidate}.",
                "It can only be advised where nothing is ranked.",
            )


def bare_items(rulebase: RuleBase) -> Iterator[Finding]:
    """Items without a ranking, a weight or pieces, unless a rule about the item refuses leather."""
    refused = _refused(rulebase)
    for slug, item in rulebase.items.items():
        parts = (("tannage ranking", "tannage" in item.ranks), ("weight", item.weight), ("pieces", item.pieces))
        missing = [what for what, there in parts if not there]
        if item.weight:
            missing += [
                f"word for leather that is {s}"
                for s, said in (("too thin", item.too_thin), ("too thick", item.too_thick))
                if not said
            ]
        if missing and slug not in refused:
            yield fault(
                rulebase.rules[f"{slug}/habits"],
                f"this item has no {' and no '.join(missing)}.",
                f"Add it to [item.{slug}], a ranking as [item.{slug}.tannage], or refuse the item by a rule.",
            )


def _refused(rulebase: RuleBase) -> set[Value]:
    """The items for which a rule about the item alone refuses leather."""
    return {
        slug
        for rule in written(rulebase)
        if any(c.act == "outcome" and c.target in ("refuse", "another_material") for c in rule.then)
        for premise in rule.when
        if premise.attribute == "item" and premise.operator in ("is", "in")
        for slug in premise.values
    }


def missing_fallbacks(rulebase: RuleBase) -> Iterator[Finding]:
    """Choices that stay open for an item when nothing but the item is said, because nothing speaks for any."""
    for slug in sorted(rulebase.items.keys() - _refused(rulebase)):
        said = _said_of(rulebase, slug)
        for decision in rulebase.choices():
            if decision.name not in said:
                yield warn(
                    rulebase.rules[f"{slug}/habits"],
                    f"nothing speaks for any {decision.name} of this item.",
                    "Rank it, or write a rule for all items.",
                )


def _said_of(rulebase: RuleBase, slug: str) -> dict[str, set[Value]]:
    """All that rules and formulas may come to say when only the item is known.

    Nothing is withdrawn or excluded, so it is more than will hold; what is computed is said, but not how much.
    """
    item = rulebase.items[slug]
    said: dict[str, set[Value]] = {"item": {slug}}
    there = {"pieces": bool(item.pieces), "zones": bool(item.zones)}
    said |= {a.name: {""} for a in rulebase.attributes.values() if there.get(a.kind)}
    rules = [rule for rule in rulebase.rules.values() if rule.item in (None, slug)]
    before = 0
    while before < (before := sum(map(len, said.values()))):
        for a in rulebase.attributes.values():
            if a.formula and all(o.endswith("_excluded") or "." in o or node_of(o) in said for o in a.inputs.values()):
                said.setdefault(a.name, {""})
        for c in (c for rule in rules if all(_may_hold(p, said) for p in rule.when) for c in rule.then):
            if c.act not in ("exclude", "disfavour", "caution", "outcome", "clash"):
                said.setdefault(c.target, set()).update(c.values or ("",))
    return said


def _may_hold(premise: Premise, said: dict[str, set[Value]]) -> bool:
    values = said.get(node_of(premise.attribute), set())
    match premise.operator:
        case "unknown":
            return True
        case "is" | "in":
            return not values.isdisjoint(premise.values)
        case "is not" | "lacks":
            return not values <= set(premise.values)
        case _:
            return bool(values)


def clashing_words(rulebase: RuleBase) -> Iterator[Finding]:
    """One word for two values, so that it can be read as neither, and words that a reader takes for a no.

    A word may name an item and besides tell something of it: a reader takes both.
    """
    first: dict[tuple[str, bool], tuple[str, str]] = {}
    for attribute in rulebase.attributes.values():
        is_item = attribute.name == "item"
        for slug, word in ((v.slug, word) for v in attribute.values.values() for word in v.words):
            if attribute.ask == "never":
                continue
            parts = tuple(re.findall(r"\w+(?:'\w+)*", word.lower()))
            here = attribute.name, slug
            other = first.setdefault((" ".join(parts), is_item), here)
            what = ""
            if set(parts) <= NEGATIONS:
                what = f'"{word}" alone is read as a no or a doubt, never as {slug}.'
            elif other != here:
                what = f'"{word}" is a word for {slug} and for {other[1]} of {other[0]}.'
            if what:
                hint = "Keep it for one, or say more."
                if is_item:
                    yield fault(rulebase.rules[f"{slug}/habits"], what, hint)
                else:
                    yield declared(rulebase, "attribute", attribute.name, what, hint, "error")


def formula_dangers(rulebase: RuleBase) -> Iterator[Finding]:
    """Formulas that fail, other than by refusing an input, at the ends of what may be put in."""
    for attribute in rulebase.attributes.values():
        if not attribute.formula:
            continue
        formula = FORMULAS[attribute.formula]
        ends = [_ends(rulebase, formula.inputs[key], origin) for key, origin in attribute.inputs.items()]
        for values in product(*ends):
            inputs = dict(zip(attribute.inputs, values, strict=True))
            try:
                result = formula.apply(inputs)
            except ValueError:
                continue
            except Exception as error:
                what = f"{formula.name} fails with {type(error).__name__}: {error}"
            else:
                if not isinstance(result, float) or math.isfinite(result):
                    continue
                what = f"{formula.name} gives {result}"
            numbers = ", ".join(f"{k} {v}" for k, v in inputs.items() if isinstance(v, (int, float, str)))
            yield declared(
                rulebase,
                "attribute",
                attribute.name,
                f"{what}, for {numbers}.",
                "Narrow what may be put in, or refuse it in the formula.",
                "error",
            )
            break


def bounds_switched_off(rulebase: RuleBase) -> Iterator[Finding]:
    """Answers at whose least value a sum is refused that it can be reckoned with otherwise: its limit would be gone.

    A zero would then mean no limit, where it means that nothing at all will do.
    """
    for attribute in rulebase.attributes.values():
        if not attribute.formula:
            continue
        formula = FORMULAS[attribute.formula]
        ends = {key: _ends(rulebase, formula.inputs[key], origin) for key, origin in attribute.inputs.items()}
        for key, origin in attribute.inputs.items():
            source = rulebase.attributes.get(origin)
            if source is None or source.ask == "never" or not source.numeric or source.low is None:
                continue
            least, most = (_ever_reckoned(formula, {**ends, key: (end,)}) for end in ends[key])
            if most and not least:
                yield declared(
                    rulebase,
                    "attribute",
                    source.name,
                    f"at its least value {formula.name} is refused, so whatever it limits would be without a limit.",
                    "Raise low.",
                    "error",
                )


def _ever_reckoned(formula: Formula, ends: Mapping[str, Sequence[object]]) -> bool:
    """Whether some mixture of these inputs gives a result."""
    for values in product(*ends.values()):
        try:
            formula.apply(dict(zip(ends, values, strict=True)))
        except ValueError:
            continue
        return True
    return False


def _ends(rulebase: RuleBase, unit: str, origin: str) -> Sequence[object]:
    """The least and the most of an input; of choices all, of patterns a tiny and a huge one of each kind."""
    decision, _, column = origin.partition(".")
    if unit == "table":
        return (rulebase.holder(decision).table(column),)
    if unit == "pieces":
        return (Piece("least", "body", 1, 1, 1),), (Piece("most", "strap", 20, 3000, 1000),)
    if unit == "zones":
        stacks = ((0.0, 0.1), (12.0, 50.0))
        return [(Zone("end", k, n, mm, 500.0 * (k == "sewn")),) for k in get_args(ZoneKind) for n, mm in stacks]
    attribute = rulebase.attributes.get(origin)
    words = list(attribute.values if attribute else rulebase.decisions[origin.removesuffix("_excluded")].candidates)
    if unit == "set":
        return (), tuple(words)
    if unit in ("choice", "yes_no"):
        return words
    low, high = (attribute.low, attribute.high) if attribute else (None, None)
    numbers = (0.0 if low is None else low, UNLIMITED if high is None else high)
    return tuple(map(int, numbers)) if unit == "count" else numbers


def silent_questions(rulebase: RuleBase) -> Iterator[Finding]:
    """Questions that do not say what is done if nobody knows, and questions for a number that give none to go by."""
    for a in rulebase.attributes.values():
        if a.ask == "never":
            continue
        if not a.dont_know:
            yield declared(
                rulebase,
                "attribute",
                a.name,
                "it does not say what happens if nobody knows.",
                "Add dont_know.",
                "error",
            )
        if a.numeric and not _A_NUMBER.search(a.help):
            yield declared(
                rulebase,
                "attribute",
                a.name,
                "it asks for a number and its help gives no example.",
                "Put a usual number into help.",
            )


DECLARATION_CHECKS: tuple[Check, ...] = (
    unused_cautions,
    unmet_cautions,
    untold_cautions,
    twin_cautions,
    things_of_no_kind,
    unused_clashes,
    unused_sources,
    unread_attributes,
    unmentioned_values,
    unfavoured_candidates,
    bare_items,
    missing_fallbacks,
    clashing_words,
    formula_dangers,
    bounds_switched_off,
    silent_questions,
)

"""What is doubtful about the words shown to people: labels that do not read, facts that nobody can say."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from .findings import Check, Finding, declared, fault
from .models import PATTERN_KINDS, Attribute, Named, RuleBase
from .saying import VALUE

LONGEST_LABEL = 32
"""Characters."""

_RUN_TOGETHER = re.compile(r"_|\d[a-z]|[a-z]\d", re.IGNORECASE)
_COUNTED_WITHIN = re.compile(r"(?!(?:pair|set) of ).*(?:,|\(| of | or | and | for | to | that | in |[^s]s$)")
_FIELD = re.compile(r"\{[^}]*\}|[{}]")


def labels_read(rulebase: RuleBase) -> Iterator[Finding]:
    """Every label is words: short, with nothing run together, and with no word that only the bench knows."""
    for kind, name, labels in _labelled(rulebase):
        for label in labels:
            if flaw := _flaw(rulebase, label):
                yield declared(rulebase, kind, name, f'the label "{label}" {flaw}.', "Write a label.", "error")
    for slug, item in rulebase.attributes["item"].values.items():
        if flaw := _flaw(rulebase, item.label):
            yield fault(rulebase.rules[f"{slug}/habits"], f'the label "{item.label}" {flaw}.', "Write a label.")


def _flaw(rulebase: RuleBase, label: str) -> str:
    """What keeps a label from reading as words; empty if nothing does."""
    if len(label) > LONGEST_LABEL:
        return f"has {len(label)} characters; {LONGEST_LABEL} are read at a glance"
    if _RUN_TOGETHER.search(label):
        return "does not read as words"
    unknown = [word for word in label.lower().split() if word.strip("(),") in rulebase.unlabelled]
    return f'says "{unknown[0]}", which is no word outside the trade' if unknown else ""


def _labelled(rulebase: RuleBase) -> Iterator[tuple[str, str, list[str]]]:
    """Kind and name of each declaration with its own label and the labels of its values."""
    for a in rulebase.attributes.values():
        own = a.values.values() if not _borrowed(rulebase, a) else ()
        yield "attribute", a.name, [a.label, *(v.label for v in own if a.kind != "yes_no")]
    for d in rulebase.decisions.values():
        both = [text for c in d.candidates.values() for text in (c.label, c.short)]
        yield "decision", d.name, list(dict.fromkeys(both))


def _borrowed(rulebase: RuleBase, attribute: Attribute) -> bool:
    """Whether the values are items or candidates, which are looked over where they are declared."""
    return attribute.values.keys() in (rulebase.items.keys(), *(d.candidates.keys() for d in rulebase.choices()))


def labels_differ(rulebase: RuleBase) -> Iterator[Finding]:
    """Two values of one attribute, or two attributes, are never called alike."""
    names = {a.name: Named(a.name, label=a.label) for a in rulebase.attributes.values()}
    declarations: list[tuple[str, str, Mapping[str, Named]]] = [
        *(("attribute", a.name, a.values) for a in rulebase.attributes.values()),
        *(("decision", d.name, d.candidates) for d in rulebase.decisions.values()),
        *(("attribute", a, {a: own}) for a, own in names.items()),
    ]
    told: dict[str, str] = {}
    for kind, name, values in declarations:
        first: dict[str, str] = told if values.keys() == {name} else {}
        for slug, value in values.items():
            other = first.setdefault(value.label.lower(), slug)
            if other != slug:
                what = f'{other} and {slug} are both called "{value.label}".'
                yield declared(rulebase, kind, name, what, "Call one otherwise.", "error")


def plurals_are_given(rulebase: RuleBase) -> Iterator[Finding]:
    """What is counted has its plural written where its noun stands within the name or is one: "belts for trousers"."""
    decision = rulebase.decisions.get("form")
    for slug, form in decision.candidates.items() if decision else ():
        if _bare_plural(form):
            what = f'"{form.plural}" is no plural.'
            yield declared(rulebase, "decision", "form", what, f"Write plural of {slug}.", "error")
    for slug, item in rulebase.attributes["item"].values.items():
        if _bare_plural(item):
            yield fault(rulebase.rules[f"{slug}/habits"], f'"{item.plural}" is no plural.', "Write plural.")


def _bare_plural(named: Named) -> bool:
    return named.pluralised and bool(_COUNTED_WITHIN.match(named.label))


def facts_can_be_said(rulebase: RuleBase) -> Iterator[Finding]:
    """Every fact about an attribute reads in a list: by its own words, or with the label of its value put in."""
    for a in rulebase.attributes.values():
        says = [a.say, *(v.say for v in a.values.values())]
        flaw = next((f for f in map(_bad_template, says) if f), "")
        if a.numeric and VALUE not in a.say:
            flaw = f"it is a number, and its say does not hold {VALUE}"
        elif a.kind not in (*PATTERN_KINDS, "text") and not a.say and not all(v.say for v in a.values.values()):
            flaw = f"no say tells it of {next(v.slug for v in a.values.values() if not v.say)}"
        if flaw:
            yield declared(rulebase, "attribute", a.name, f"{flaw}.", "Write say.", "error")
    for item in rulebase.items.values():
        for name, wording in item.asks.items():
            flaw = _bad_template(wording.say) or _no_place(rulebase.attributes[name], wording.say)
            if flaw:
                yield fault(rulebase.rules[f"{item.slug}/habits"], f"{name}: {flaw}.", "Write say otherwise.")


def _bad_template(say: str) -> str:
    strange = [field for field in _FIELD.findall(say) if field != VALUE]
    return f'"{say}" holds {strange[0]}; only {VALUE} is filled in' if strange else ""


def _no_place(attribute: Attribute, say: str) -> str:
    return f'"{say}" does not hold {VALUE}' if say and VALUE not in say and attribute.kind != "yes_no" else ""


def own_questions_have_examples(rulebase: RuleBase) -> Iterator[Finding]:
    """A question for a number in an item's own words comes with an example of the answer."""
    for item in rulebase.items.values():
        for name, wording in item.asks.items():
            if wording.question and rulebase.attributes[name].numeric and not re.search(r"\d", wording.help):
                yield fault(
                    rulebase.rules[f"{item.slug}/habits"],
                    f"{name} is asked for and has no example number.",
                    "Write example.",
                )


LABEL_CHECKS: tuple[Check, ...] = (
    labels_read,
    labels_differ,
    plurals_are_given,
    facts_can_be_said,
    own_questions_have_examples,
)

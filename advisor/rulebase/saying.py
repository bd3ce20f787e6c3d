"""What a person reads instead of a slug: the label of a value, a fact in a few words, a question for one thing.

All of it stands in the rule files. These functions only look it up and put a value in its place.
"""

from __future__ import annotations

from collections.abc import Sequence

from .models import READ_OFF, Decision, Named, RuleBase, Wording, parted

VALUE = "{value}"
"""Where the value stands in a ``say``."""


def name_of(rulebase: RuleBase, name: str) -> str:
    """What an attribute or a decision is called, "strap width"; of anything else the name with spaces."""
    name, part = parted(name)
    if part:
        return f"{name_of(rulebase, name)} of the {part.replace('_', ' ')}"
    attribute, decision = rulebase.attributes.get(name), rulebase.decisions.get(name)
    return attribute.label if attribute else decision.title if decision else name.replace("_", " ")


def label(rulebase: RuleBase, name: str, value: str) -> str:
    """The label of one value of an attribute or one candidate of a decision, given by its slug.

    ``name`` may also be what is read off a decision, as ``form_excluded``. What has no label, a number with its unit
    for instance, is given back as it is.
    """
    named = _named(rulebase, name, value)
    return named.label if named else value


def fact_says(rulebase: RuleBase, name: str, value: str, item: str = "") -> str:
    """A fact or a choice in a few words that can stand in a list: "a strap 38 mm wide", "hand sewn".

    ``value`` is a slug, for a set the slugs with commas between, or a number as it is shown, with its unit.
    With ``item`` it is told in the words of that thing: "a dog of 30 kg".
    """
    named = {v: _named(rulebase, name, v) for v in _values(rulebase, name, value)}
    says = [getattr(n, "say", "") for n in named.values()]
    own = rulebase.items[item].asks.get(name) if item in rulebase.items else None
    if all(says) and not (own and own.say):
        return joined(says)
    general = rulebase.attributes.get(name) or rulebase.decisions.get(name)
    template = (own.say if own else "") or (general.say if general else "") or VALUE
    return template.replace(VALUE, joined([n.label if n else v for v, n in named.items()]))


def asked(rulebase: RuleBase, name: str, item: str = "") -> Wording:
    """How an attribute is asked and told of when ``item`` is made; without an item, as for all."""
    attribute = rulebase.attributes[name]
    wording = rulebase.items[item].asks.get(name) if item in rulebase.items else None
    if wording is None:
        return Wording(attribute.question, attribute.help, attribute.say)
    # A help for all things does not go with a question about this one.
    help_ = wording.help or ("" if wording.question else attribute.help)
    return Wording(wording.question or attribute.question, help_, wording.say or attribute.say)


def joined(words: Sequence[str]) -> str:
    """A list in words: "rivets, a buckle and a ring"."""
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def trait(rulebase: RuleBase, name: str, word: str) -> str:
    """What the name of a property says of the candidates that have it, "is greasy"; "" for any other word.

    ``name`` may be a decision, what is read off it, or an attribute with the same values.
    """
    decision = _decided(rulebase, name)
    for column in decision.properties.values() if decision else ():
        if column.unit == "yes_no" and column.name == word:
            return column.label
        value = word.removeprefix(f"{column.name}_")
        if value != word and value in column.values:
            return f"{column.label} {column.values[value]}"
    return ""


def spelt_out(rulebase: RuleBase, name: str, word: str) -> tuple[str, ...]:
    """The slugs that a word of a list in a rule stands for: itself, or the members of a group."""
    decision = _decided(rulebase, name)
    return decision.groups.get(word, (word,)) if decision else (word,)


def _decided(rulebase: RuleBase, name: str) -> Decision | None:
    name, _ = parted(name)
    for ending in READ_OFF:
        name = name.removesuffix(ending)
    attribute = rulebase.attributes.get(name)
    alike = (d for d in rulebase.choices() if attribute and d.candidates.keys() == attribute.values.keys())
    return rulebase.decisions.get(name) or next(alike, None)


def _values(rulebase: RuleBase, name: str, value: str) -> list[str]:
    attribute = rulebase.attributes.get(name)
    many = name.endswith(READ_OFF) or (attribute is not None and attribute.kind == "set")
    return value.split(", ") if many else [value]


def _named(rulebase: RuleBase, name: str, value: str) -> Named | None:
    name, _ = parted(name)
    for ending in READ_OFF:
        name = name.removesuffix(ending)
    if name in rulebase.decisions:
        return rulebase.decisions[name].candidates.get(value)
    attribute = rulebase.attributes.get(name)
    return attribute.values.get(value) if attribute else None

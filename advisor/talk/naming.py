"""What a person names: a leather, a form, a thickness, a question, by its slug or by the words people use."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache

from ..errors import nearest
from ..leather.units import UnitError, Units, parse_quantity
from ..read.lexicon import fold
from ..reasoning.facts import Answer, attribute_named, parse_answer
from ..rulebase.models import Attribute, RuleBase

_ARTICLES = re.compile(r"^(?:the|a|an|some|any|it|buy|order|use|take)\s+", re.IGNORECASE)
_LONGEST_NAME = 3
_NO_LEATHER = frozenset(
    ("leather", "tan", "soft", "hard", "firm", "sole", "wool", "strap", "milled", "oil", "wax", "wash")
)
"""Words that name a leather only beside another, and alone a part, a colour or a way it feels."""
_LEATHER = re.compile(r"\s+(?:leather|tanned|tan|hide)$", re.IGNORECASE)


def slug_of(text: str) -> str:
    """Words as a slug: lower case, one underscore for everything between."""
    return re.sub(r"[\W_]+", "_", text.strip().lower()).strip("_")


def bare(text: str) -> str:
    """What is named, without article, mark or the word leather."""
    found = " ".join(text.split()).strip(" ?.!\"'")
    while (shorter := _ARTICLES.sub("", found)) != found:
        found = shorter
    return _LEATHER.sub("", found)


@cache
def _slug_key(slug: str) -> tuple[str, ...]:
    return _key(slug)


def _key(text: str) -> tuple[str, ...]:
    return tuple(fold(w) for w in re.findall(r"\w+", text.replace("_", " ")))


def attribute_meant(rulebase: RuleBase, text: str) -> Attribute:
    """What can be known, named by its label or by its name in the rule files. Raises AnswerError for neither."""
    name = slug_of(text).removeprefix("the_").removeprefix("my_")
    by_label = {slug_of(a.label): a.name for a in rulebase.attributes.values()}
    return attribute_named(rulebase, name if name in rulebase.attributes else by_label.get(name, name))


def answer_meant(attribute: Attribute, text: str, units: Units) -> Answer:
    """An answer given by the label of a value or in any other words. Raises AnswerError if it names no value."""
    by_label = {slug_of(v.label): v.slug for v in attribute.values.values()}
    parts = [by_label.get(slug_of(part), part) for part in text.split(",")] if by_label else [text]
    return parse_answer(attribute, ", ".join(parts), units=units)


def candidates_named(rulebase: RuleBase, text: str) -> list[tuple[str, str]]:
    """(decision, candidate) pairs that the words name: one candidate, or all of a group such as "chrome"."""
    words = bare(text)
    decisions = rulebase.choices()
    for decision in decisions:
        first, _, rest = words.partition(" ")
        if slug_of(first) in (decision.name, fold(decision.name)) and rest:
            words, decisions = rest, [decision]
            break
    whole = re.sub(r"^\W+|\W+$", "", text) if words in text else words
    for wanted in dict.fromkeys((words, f"{words} leather", whole)):
        slug, key = slug_of(wanted), _key(wanted)
        exact = [(d.name, slug) for d in decisions if slug in d.candidates]
        if exact and "_" in wanted:
            return exact[:1]
        among = {d.name for d in decisions}
        named = [(d, c) for d, c in _by_words(rulebase).get(key, ()) if d in among]
        for decision in decisions if not exact else ():
            if slug in decision.spoken:
                return [(decision.name, c) for c in decision.groups[slug]]
        if named:
            return named
    return _part_of(words, decisions)


def _by_words(rulebase: RuleBase) -> Mapping[tuple[str, ...], Sequence[tuple[str, str]]]:
    """What each name of a candidate names, in the order of the decisions."""
    made: Mapping[tuple[str, ...], Sequence[tuple[str, str]]] = rulebase.once("candidates by words", _indexed)
    return made


def _indexed(rulebase: RuleBase) -> dict[tuple[str, ...], list[tuple[str, str]]]:
    found: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for decision in rulebase.choices():
        for c in decision.candidates.values():
            for key in {_key(w) for w in (c.slug, c.label, c.short, *c.words)} - {()}:
                found.setdefault(key, []).append((decision.name, c.slug))
    return found


def _part_of(words: str, decisions: list) -> list[tuple[str, str]]:  # type: ignore[type-arg]
    """Candidates of which a slug begins with these words: "chrome", "veg", "strap blank"."""
    key = _key(words)
    for decision in decisions:
        found = [(decision.name, c) for c in decision.candidates if key and _slug_key(c)[: len(key)] == key]
        if found:
            return found
    return []


def thickness_named(text: str) -> float | None:
    """A thickness in mm, from "2 mm" or "5 oz"; None for anything else."""
    words = bare(text)
    if not re.match(r"[\d.,/ ]+\s*(?:mm|millimet|oz|ounce|inch|in\b|\")", words, re.IGNORECASE):
        return None
    try:
        return parse_quantity(words, "mm")
    except UnitError:
        return None


def goal_named(rulebase: RuleBase, text: str) -> str | None:
    """A part of the order by name: a decision, "weight", "amount" or "outcome"."""
    slug = slug_of(bare(text))
    aliases = {"thickness": "weight", "price": "amount", "cost": "amount", "leather": "tannage", "buy": "form"}
    goals = [*rulebase.decisions, "amount", "outcome"]
    slug = aliases.get(slug, slug)
    return slug if slug in goals else None


def near_name(rulebase: RuleBase, text: str) -> str | None:
    """The nearest name of a candidate or a decision, as a person says it."""
    names = [c.label for d in rulebase.choices() for c in d.candidates.values()]
    return nearest(bare(text), [*names, *(d.title for d in rulebase.decisions.values())])


def leathers_named(rulebase: RuleBase, text: str) -> tuple[str, list[str]]:
    """The leathers that words among others name, or the faces, the longest name first; of a group all of it.

    Returns the decision and its candidates, ("", []) where none is named.
    """
    words = re.findall(r"[\w-]+", text.lower())
    parts = [" ".join(words[i : i + n]) for n in range(_LONGEST_NAME, 0, -1) for i in range(len(words) - n + 1)]
    named = [candidates_named(rulebase, part) for part in parts if part not in _NO_LEATHER]
    for decision in ("tannage", "surface"):
        for found in named:
            if those := [c for d, c in found if d == decision]:
                return decision, those
    return "", []

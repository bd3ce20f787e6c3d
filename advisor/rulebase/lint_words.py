"""What is doubtful about the words of a rule base: names that nobody can say, or that mean two things."""

from __future__ import annotations

from collections.abc import Iterator

from .findings import Check, Finding
from .models import RuleBase
from .words import FORMS, THINGS, Words, words_of


def words_are_whole(rulebase: RuleBase) -> Iterator[Finding]:
    """Every thing has names, and a name stands for one thing."""
    words = words_of(rulebase)
    owners: dict[str, list[str]] = {}
    for slug, thing in words.things.items():
        if not thing.names:
            yield Finding("error", THINGS, 0, slug, "no name: nobody can ask for it.", "Give it names.")
        for name in thing.names:
            owners.setdefault(_key(name), []).append(slug)
    for name, slugs in owners.items():
        if len(set(slugs)) > 1:
            meant = " and ".join(dict.fromkeys(slugs))
            yield Finding("error", THINGS, 0, slugs[-1], f'"{name}" names {meant}.', "A name stands for one thing.")


def forms_say_too_little(rulebase: RuleBase) -> Iterator[Finding]:
    """A word for a form alone is asked about, so it cannot be a name of a thing without a recipe as well."""
    words = words_of(rulebase)
    shapes = {_key(w): slug for slug, form in words.forms.items() for w in form.words}
    for slug, thing in words.things.items():
        for name in thing.names:
            if not thing.recipe and _key(name) in shapes:
                yield Finding(
                    "warning",
                    FORMS,
                    0,
                    shapes[_key(name)],
                    f'"{name}" is a form and names {slug}.',
                    "Keep it as a form.",
                )


def values_can_be_said(rulebase: RuleBase) -> Iterator[Finding]:
    """Every value of a question has a meaning in words, so that it can be shown and answered."""
    for attribute in rulebase.attributes.values():
        if attribute.ask == "never" or attribute.name == "item":
            continue
        if attribute.kind in ("choice", "set", "yes_no") and not all(v.means for v in attribute.values.values()):
            yield Finding("error", "attributes.toml", 0, attribute.name, "a value without a meaning.", "Say it.")


def pairs_are_whole(rulebase: RuleBase) -> Iterator[Finding]:
    """An object that no form goes with narrows nothing; a part of a body says at least where a thing is worn."""
    words: Words = words_of(rulebase)
    paired = {o for _, o in words.pairs}
    for slug in (s for s in words.objects.keys() - paired if not words.objects[s].body):
        yield Finding("warning", "words/objects.toml", 0, slug, "no form goes with it.", "Add a pair or drop it.")


def _key(name: str) -> str:
    return " ".join(name.lower().replace("-", " ").split())


WORD_CHECKS: tuple[Check, ...] = (words_are_whole, forms_say_too_little, values_can_be_said, pairs_are_whole)

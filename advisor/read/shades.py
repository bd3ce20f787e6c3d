"""The shade of a colour or the finish of a metal as somebody named it; the names are data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..reasoning.facts import Answer
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.words import FOLDER, words_file
from .lexicon import phrase

FILE = f"{FOLDER}/shades.toml"
Shades = Mapping[str, Mapping[str, Mapping[tuple[str, ...], str]]]


class ShadesFile(Shape):
    """words/shades.toml: by attribute and value, the shades that count as it."""

    shades: dict[Slug, dict[Slug, tuple[str, ...]]]


def shades_of(rulebase: RuleBase) -> Shades:
    """By attribute and value, the folded words of each shade and how it is written."""
    made: Shades = rulebase.once("shades", _read)
    return made


def shade_said(rulebase: RuleBase, attribute: str, value: str, words: str) -> str:
    """The longest shade of ``value`` among the words, as it is written; "" where they name none."""
    key, found = phrase(words), ("", 0)
    for shade, written in shades_of(rulebase).get(attribute, {}).get(value, {}).items():
        n = len(shade)
        if n > found[1] and any(key[i : i + n] == shade for i in range(len(key) - n + 1)):
            found = written, n
    return found[0]


def with_shades(rulebase: RuleBase, answers: Mapping[str, Answer]) -> dict[str, Answer]:
    """The answers with the shades that their words name as facts of their own, and without one that is none of them."""
    found = dict(answers)
    for name, fact in rulebase.shaded.items():
        held, told = found.get(name, Answer(())), found.get(fact, Answer(()))
        value = str(held.values[0]) if held.values else ""
        shade = shade_said(rulebase, name, value, held.words)
        if shade and shade != rulebase.attributes[name].values[value].label:
            found[fact] = replace(told, values=(shade,), origin=held.origin, words=shade)
        elif told.values and not (value and shade_said(rulebase, name, value, str(told.values[0]))):
            del found[fact]
    return found


def _read(rulebase: RuleBase) -> Shades:
    file = words_file(rulebase, FILE, ShadesFile)
    return {
        name: {value: {phrase(s): s for s in shades} for value, shades in values.items()}
        for name, values in (file.shades.items() if file else ())
    }

"""The shade of a colour, the finish of a metal or the money of a sum as somebody named it; the names are data."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from ..leather.units import show_said
from ..reasoning.facts import Answer
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.saying import fact_says
from ..rulebase.words import FOLDER, words_file
from .lexicon import phrase
from .number_prices import COINS, SIGNS

FILE = f"{FOLDER}/shades.toml"
_MONEY = re.compile(rf"[{''.join(sorted(SIGNS))}]|\b(?:pounds?|{'|'.join(sorted(COINS - SIGNS, key=len)[::-1])})\b")
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


def money_said(value: float, words: str) -> str:
    """A sum with the sign or the word for its money: "£20", "45 euros"; "" where the words have neither."""
    m = _MONEY.search(words.lower())
    shown = show_said(value, "money")
    return "" if m is None else f"{m[0]}{shown}" if m[0] in SIGNS else f"{shown} {m[0]}"


def _told(rulebase: RuleBase, name: str, answer: Answer) -> str:
    """How an answer was named where that says more than its value, else ""."""
    value = answer.values[0] if answer.values else ""
    if isinstance(value, float):
        said = money_said(value, answer.words)
        return fact_says(rulebase, name, said) if said else ""
    return shade_said(rulebase, name, str(value), answer.words)


def with_shades(rulebase: RuleBase, answers: Mapping[str, Answer]) -> dict[str, Answer]:
    """The answers with the shades that their words name as facts of their own, and without one that is none of them."""
    found = dict(answers)
    for name, fact in rulebase.shaded.items():
        held, told = found.get(name, Answer(())), found.get(fact, Answer(()))
        value = str(held.values[0]) if held.values else ""
        shade, own = _told(rulebase, name, held), rulebase.attributes[name].values.get(value)
        if shade and not (own and shade == own.label):
            found[fact] = replace(told, values=(shade,), origin=held.origin, words=shade)
        elif told.values:
            # "Make it 30" is of the same money.
            again = _told(rulebase, name, replace(held, words=str(told.values[0]))) if value else ""
            found[fact] = replace(told, values=(again,))
            if not again:
                del found[fact]
    return found


def _read(rulebase: RuleBase) -> Shades:
    file = words_file(rulebase, FILE, ShadesFile)
    return {
        name: {value: {phrase(s): s for s in shades} for value, shades in values.items()}
        for name, values in (file.shades.items() if file else ())
    }

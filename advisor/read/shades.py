"""The shade of a colour or the finish of a metal as somebody named it; the names are data."""

from __future__ import annotations

from collections.abc import Mapping

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


def _read(rulebase: RuleBase) -> Shades:
    file = words_file(rulebase, FILE, ShadesFile)
    return {
        name: {value: {phrase(s): s for s in shades} for value, shades in values.items()}
        for name, values in (file.shades.items() if file else ())
    }

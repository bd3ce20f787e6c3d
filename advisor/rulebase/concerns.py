"""Which things can meet what a caution warns of, read from cautions.toml.

A premise of a caution may name a kind, a group of items, where it could name an item: ``item is one of worn``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from . import files as shape
from .grammar import GrammarError, Vocabulary, parse_premise
from .models import ANSWERED, Caution, Premise
from .places import Path
from .reading import Reader, near_hint

CAUTIONS = "cautions.toml"
Kinds = Mapping[str, frozenset[str]]


def make_kinds(
    reader: Reader, raw: Mapping[str, shape.RawKind], items: Mapping[str, shape.RawItem]
) -> dict[str, frozenset[str]]:
    """The items of each kind; mistakes are noted with ``reader``."""
    families = {item.family for item in items.values()}
    found = {}
    for name, kind in raw.items():
        if name in items:
            reader.wrong(CAUTIONS, ("kind", name), name, "this is already the name of an item.")
        for key, named in (("families", kind.families), ("items", kind.items), ("but", kind.but)):
            valid = families if key == "families" else items.keys()
            for n, word in enumerate(named):
                if word not in valid:
                    what = f'"{word}" is no {"family" if key == "families" else "item"}.'
                    reader.wrong(CAUTIONS, ("kind", name, key, n), name, what, near_hint(word, valid))
        of_families = {slug for slug, item in items.items() if item.family in kind.families}
        found[name] = frozenset((of_families | set(kind.items)) - set(kind.but))
    return found


def make_cautions(
    reader: Reader, raw: Mapping[str, shape.RawCaution], kinds: Kinds, words: Vocabulary
) -> dict[str, Caution]:
    """Every caution as declared; mistakes are noted with ``reader``."""
    if "item" in words.names:
        item = replace(words.names["item"], groups={k: tuple(sorted(v)) for k, v in kinds.items()})
        words = replace(words, names={**words.names, "item": item})
    found = {}
    for name, c in raw.items():
        ways = None
        if c.met_by is not None:
            ways = tuple(_all_of(reader, ("met_by", n), name, way, words) for n, way in enumerate(c.met_by))
        concerns = _all_of(reader, ("concerns",), name, c.concerns, words)
        for n, other in enumerate(c.told_by):
            if other not in raw or other == name:
                reader.wrong(
                    CAUTIONS,
                    ("caution", name, "told_by", n),
                    name,
                    f'"{other}" is no other caution.',
                    near_hint(other, raw),
                )
            elif raw[other].told_by:
                reader.wrong(
                    CAUTIONS,
                    ("caution", name, "told_by", n),
                    name,
                    f'"{other}" is itself told by another; name that one.',
                )
        found[name] = Caution(
            name,
            c.severity,
            c.about,
            c.say,
            c.defer_to,
            c.basis,
            c.source,
            c.rank,
            ways,
            concerns,
            c.told_by,
            c.tell_if,
        )
    return found


def _all_of(reader: Reader, key: Path, name: str, texts: Sequence[str], words: Vocabulary) -> tuple[Premise, ...]:
    found: list[Premise] = []
    for n, text in enumerate(texts):
        path = ("caution", name, *key, n)
        try:
            premises = parse_premise(text, words)
        except GrammarError as error:
            reader.wrong(CAUTIONS, path, name, str(error))
            continue
        if any(p.other for p in premises):
            reader.wrong(CAUTIONS, path, name, "compare with a number; two attributes are not compared here.")
        if any(p.attribute.endswith(ANSWERED) for p in premises):
            reader.wrong(CAUTIONS, path, name, "say what is known; whether a person answered is not asked here.")
        found += premises
    return tuple(found)

"""What is bought beside leather, read from fittings.toml. A rule base may do without the file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from . import files as shape
from .grammar import GrammarError, Vocabulary, parse_premise, parse_value
from .models import Attribute, Decision, Fitting, Premise, Undyed
from .places import Path
from .reading import Reader, near_hint

FITTINGS = "fittings.toml"
SIMPLE = ("is", "in", "known")
"""Operators that the premises of a fitting may have."""
COLOUR, TANNAGE = "colour", "tannage"
PARTS_AT_HAND = "parts_at_hand"
"""The attribute that holds the fittings that somebody has already; a rule base may do without it."""


@dataclass(frozen=True, slots=True)
class Beside:
    """What the file says: the fittings, what stands in for leather by attribute and value, what is bought undyed.

    ``tinted`` and ``shaded`` name the attributes that say a colour as it was named; see the rule base.
    """

    fittings: Mapping[str, Fitting] = field(default_factory=dict)
    instead: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    undyed: Undyed | None = None
    tinted: Mapping[str, str] = field(default_factory=dict)
    shaded: Mapping[str, str] = field(default_factory=dict)


def read_fittings(
    reader: Reader, attributes: Mapping[str, Attribute], decisions: Mapping[str, Decision], words: Vocabulary
) -> Beside:
    """All that the file says, nothing without it; mistakes are noted with ``reader``."""
    raw = reader.read(FITTINGS, shape.FittingsFile) if (reader.folder / FITTINGS).is_file() else None
    if raw is None:
        return Beside()
    found = {name: _fitting(reader, name, f, attributes, words) for name, f in raw.fitting.items()}
    for name, values in raw.instead.items():
        _known(reader, ("instead", name), name, name, attributes)
        for value in values if name in attributes else ():
            _value(reader, ("instead", name, value), name, value, attributes[name])
    undyed = _undyed(reader, raw.undyed, attributes, decisions, words) if raw.undyed else None
    for table, named in (("tinted", raw.tinted), ("shaded", raw.shaded)):
        for key, name in named.items():
            _text(reader, (table, key), key, name, attributes)
    for name in raw.shaded:
        _known(reader, ("shaded", name), name, name, attributes)
    instead = {name: dict(values) for name, values in raw.instead.items()}
    return Beside(found, instead, undyed, dict(raw.tinted), dict(raw.shaded))


def _fitting(
    reader: Reader, name: str, f: shape.RawFitting, attributes: Mapping[str, Attribute], words: Vocabulary
) -> Fitting:
    for key in ("width", "length", "volume", "material"):
        _known(reader, ("fitting", name, key), name, getattr(f, key), attributes)
    pack, used = 0.0, f.length or f.volume
    if f.pack:
        try:
            pack = float(parse_value(words.names[used], f.pack)) if used in words.names else 0.0
        except GrammarError as error:
            reader.wrong(FITTINGS, ("fitting", name, "pack"), name, str(error))
        if not f.by_item or pack <= 0:
            reader.wrong(FITTINGS, ("fitting", name, "pack"), name, "a pack is above 0, of what is used up by_item.")
    when = tuple(p for n, text in enumerate(f.when) for p in _premises(reader, ("fitting", name), n, text, words))
    return Fitting(
        name,
        f.label,
        when,
        f.width,
        f.length,
        f.volume,
        pack,
        f.serves,
        f.by_item,
        f.coloured,
        f.material,
        f.counted_as or name,
        f.basis,
    )


def _undyed(
    reader: Reader,
    raw: shape.RawUndyed,
    attributes: Mapping[str, Attribute],
    decisions: Mapping[str, Decision],
    words: Vocabulary,
) -> Undyed:
    if COLOUR in attributes:
        _value(reader, ("undyed", "colour"), "undyed", raw.colour, attributes[COLOUR])
    tannages = decisions[TANNAGE].candidates if TANNAGE in decisions else {}
    groups = decisions[TANNAGE].groups if TANNAGE in decisions else {}
    among: dict[str, frozenset[str]] = {}
    for key, slugs in (("sold", raw.sold), ("dyed", raw.dyed)):
        for slug in slugs:
            if slug not in tannages and slug not in groups:
                what, hint = f'"{slug}" is no tannage or property of one.', near_hint(slug, [*tannages, *groups])
                reader.wrong(FITTINGS, ("undyed", key), "undyed", what, hint)
        among[key] = frozenset(c for slug in slugs for c in groups.get(slug, (slug,)))
    when = tuple(p for n, text in enumerate(raw.when) for p in _premises(reader, ("undyed",), n, text, words))
    return Undyed(raw.colour, among["sold"], among["dyed"], when)


def _known(reader: Reader, path: Path, where: str, name: str, attributes: Mapping[str, Attribute]) -> None:
    if name and name not in attributes:
        reader.wrong(FITTINGS, path, where, f'"{name}" is no attribute.', near_hint(name, attributes))


def _text(reader: Reader, path: Path, where: str, name: str, attributes: Mapping[str, Attribute]) -> None:
    _known(reader, path, where, name, attributes)
    if name in attributes and attributes[name].kind != "text":
        reader.wrong(FITTINGS, path, where, f'"{name}" is no text; a colour as it was named is one.')


def _value(reader: Reader, path: Path, where: str, value: str, attribute: Attribute) -> None:
    if value not in attribute.values:
        what = f'"{value}" is no value of {attribute.name}.'
        reader.wrong(FITTINGS, path, where, what, near_hint(value, attribute.values))


def _premises(reader: Reader, of: Path, n: int, text: str, words: Vocabulary) -> tuple[Premise, ...]:
    """The premises of a fitting: what something is, or that it is known."""
    path, name = (*of, "when", n), str(of[-1])
    try:
        found = parse_premise(text, words)
    except GrammarError as error:
        reader.wrong(FITTINGS, path, name, str(error))
        return ()
    for premise in found:
        if premise.operator not in SIMPLE:
            reader.wrong(FITTINGS, path, name, "a fitting can only ask what something is, or whether it is known.")
    return found

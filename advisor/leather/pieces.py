"""The pieces of a pattern: how their sizes are written, worked out and summed.

A size is terms joined by plus and minus, each an attribute with an optional factor or a number with a unit of
length. Nothing else is read and nothing is evaluated as code. Shapes other than the rectangle round a piece
are not known here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from advisor.leather.checks import positive
from advisor.leather.units import number, show

MM2_PER_DM2 = 10_000
MM_PER_UNIT: Mapping[str, float] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4, "ft": 304.8}
LONGEST_SIZE_TEXT = 200
"""Characters; a size in a rule file may come from a stranger."""

_NUMBER = r"\d+(?:\.\d+)?"
_NAME = r"[a-z][a-z0-9_]*"
_TERM = re.compile(rf"(?:(?P<factor>{_NUMBER})\s*x\s+)?(?P<name>{_NAME})|(?P<number>{_NUMBER})\s*(?P<unit>[A-Za-z_]+)")


MAIN_PARTS = frozenset({"body", "pocket", "strap"})
"""Parts cut from the main leather; lining, lace and other leather are bought apart."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of the pattern, worked out for one item.

    Attributes:
        name: What the maker calls it.
        part: body, pocket, lining, strap, lace or other.
        count: How many of it one item needs, at least 1.
        length_mm: Along the backbone, mm.
        width_mm: Across the backbone, mm.
        along: "backbone" if the length must lie along it, "either" if the piece may be turned.
    """

    name: str
    part: str
    count: int
    length_mm: float
    width_mm: float
    along: Literal["backbone", "either"] = "backbone"

    def __post_init__(self) -> None:
        positive(self.count, f"count of {self.name}")
        positive(self.length_mm, f"length of {self.name}")
        positive(self.width_mm, f"width of {self.name}")
        if self.along not in ("backbone", "either"):
            raise ValueError(f"{self.name} must lie along the backbone or either way, not {self.along!r}.")


class SizeUnknown(ValueError):  # noqa: N818
    """A size needs an ``attribute`` that is not known."""

    def __init__(self, attribute: str) -> None:
        super().__init__(f"The size of a piece needs {attribute}, which is not known.")
        self.attribute = attribute


@dataclass(frozen=True, slots=True)
class Term:
    """One term of a size: *number* times *attribute*, or *number* mm if the attribute is None."""

    number: float
    attribute: str | None = None


def parse_size(text: str) -> tuple[Term, ...]:
    """Return the terms of a size such as ``2 x height + 5 mm``.

    Raises:
        ValueError: If the text is empty, too long or holds anything but such terms joined by + and -.
    """
    if len(text) > LONGEST_SIZE_TEXT:
        raise ValueError(f"A size has {LONGEST_SIZE_TEXT} characters at most, and this one has {len(text)}.")
    first, *rest = re.split(r"([+-])", text)
    terms = [_term(first, text)]
    for sign, part in zip(rest[::2], rest[1::2], strict=True):
        term = _term(part, text)
        terms.append(Term(-term.number, term.attribute) if sign == "-" else term)
    return tuple(terms)


def _term(part: str, text: str) -> Term:
    found = _TERM.fullmatch(part.strip())
    if found is None:
        raise ValueError(
            f"The size {text!r} has {part.strip()!r}; write terms such as 'waist', '2 x height' or '5 mm'."
        )
    name, unit = found["name"], found["unit"]
    if name is not None and name not in MM_PER_UNIT:
        return Term(float(found["factor"] or 1), name)
    if unit in MM_PER_UNIT:
        return Term(float(found["number"]) * MM_PER_UNIT[unit])
    if name is not None:
        raise ValueError(f"The size {text!r} has the unit {name!r} where an attribute or '5 {name}' belongs.")
    raise ValueError(
        f"The size {text!r} has {unit!r} after a number; a length is in {', '.join(MM_PER_UNIT)}, "
        f"and a multiple is written '{found['number']} x {unit}'."
    )


def attributes_in(terms: Sequence[Term]) -> frozenset[str]:
    """Return the names of the attributes that a size depends on."""
    return frozenset(term.attribute for term in terms if term.attribute is not None)


def size(terms: Sequence[Term], values: Mapping[str, float]) -> float:
    """Return a size, mm, from the *values* of its attributes, mm.

    Raises:
        SizeUnknown: If an attribute has no value.
        ValueError: If the size is not above zero.
    """
    total = 0.0
    for term in terms:
        total += term.number if term.attribute is None else term.number * _value(term.attribute, values)
    positive(total, "size of a piece in mm")
    return total


def _value(attribute: str, values: Mapping[str, float]) -> float:
    if attribute not in values:
        raise SizeUnknown(attribute)
    return values[attribute]


def substituted_size(terms: Sequence[Term], values: Mapping[str, float]) -> str:
    """Return the sum with the numbers put in; same arguments and errors as ``size``.

    >>> substituted_size(parse_size("waist + 245 mm"), {"waist": 920})
    '920 mm + 245 mm = 1165 mm'
    """
    text = ""
    for term in terms:
        text += (" - " if term.number < 0 else " + ") if text else ""
        amount = abs(term.number)
        if term.attribute is None:
            text += show(amount, "mm")
        else:
            factor = "" if amount == 1 else f"{number(amount)} x "
            text += factor + show(_value(term.attribute, values), "mm")
    result = show(size(terms, values), "mm")
    return text if text == result else f"{text} = {result}"


def net_area(pieces: Sequence[Piece]) -> float:
    """Return the area of the rectangles round the pieces of the main leather, dm2.

    Linings, lace and parts of another leather are left out: they are bought apart.

    Raises:
        ValueError: If there is no piece of the main leather.
    """
    flat = main_pieces(pieces)
    first, *rest = [piece.count * piece.length_mm * piece.width_mm for piece in flat]
    for area in rest:
        first = first + area
    return first / MM2_PER_DM2


def longest_piece(pieces: Sequence[Piece]) -> float:
    """Return the greatest length along the backbone of a main piece, mm; ValueError if there is none."""
    return max(piece.length_mm for piece in main_pieces(pieces))


def widest_piece(pieces: Sequence[Piece]) -> float:
    """Return the greatest width across the backbone of a main piece, mm; ValueError if there is none."""
    return max(piece.width_mm for piece in main_pieces(pieces))


def main_pieces(pieces: Sequence[Piece]) -> list[Piece]:
    """Return the pieces cut from the main leather; ValueError if there is none."""
    main = [piece for piece in pieces if piece.part in MAIN_PARTS]
    if not main:
        raise ValueError("There is no piece to cut from the main leather.")
    return main

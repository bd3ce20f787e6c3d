"""Numbers in a sentence: in digits or words, with a unit or bare, in boxes, spans and ages."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from functools import cache
from typing import NamedTuple

from ..leather.units import NUMBER, UNIT, UnitError, Units, parse_number, parse_quantity, system_of
from ..rulebase.models import Attribute

_SMALL = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
    "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17,
    "eighteen": 18, "nineteen": 19,
}  # fmt: skip
_TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90,
}  # fmt: skip
SPELT = {**_SMALL, **_TENS, "dozen": 12, "hundred": 100}
_PARTS = {"half": 0.5, "quarter": 0.25}
# Trimmed sheets of ISO 216, width and height in mm (from memory).
SHEETS = {
    "a3": (297.0, 420.0), "a4": (210.0, 297.0), "a5": (148.0, 210.0), "a6": (105.0, 148.0), "a7": (74.0, 105.0),
    "b5": (176.0, 250.0), "b6": (125.0, 176.0),
}  # fmt: skip
_VULGAR = "½¼¾⅛⅜⅝⅞"

_DIGITS = rf"(?:\d+-\d+/\d+|\d*\s?[{_VULGAR}]|{NUMBER})"
_ONES = "|".join(sorted(_SMALL, key=len, reverse=True))
_DOZENS = rf"(?:(?:half\s+an?|an?|{_ONES})\s+)?(?:dozen|hundred)"
_WORDS = rf"(?:{_DOZENS}|(?:{'|'.join(_TENS)})(?:[\s-]+(?:{_ONES}))?|{_ONES})\b"
_ANY = rf"(?:{_DIGITS}|{_WORDS})"
_UNIT = rf"(?:(?:degrees?|deg)\s+)?(?:{UNIT})"
_AND = r"\s+and\s+(?:an?\s+)?(half|quarter|three[\s-]quarters?)\b"
_HALF = rf"(?:{_AND.replace('(half', '(?:half')})"
_ARTICLE = r"half(?:\s+an?)?|(?:three[\s-]quarters?|quarter)(?:\s+(?:of\s+)?an?)?|an?"
_LONG = r"(?:foot|inch|metre|meter|centimetre|centimeter|pound|kilo(?:gram)?|week|fortnight)\b"
_INCH = r"(?:[\"″]|in(?:ch(?:es)?)?\b)"
_BY = r"\s*(?:x|×|\*|by)\s*"
_AGE_UNIT = r"(?:years?|yrs?|months?|weeks?)"
_SEVERAL = rf"(?:{_ANY}[\s-]*{_AGE_UNIT}?\s*(?:-|–|—|\b(?:to|or|and)\b)\s*)?"
_FIND = "|".join(rf"(?P<{kind}>(?<![\w.,/{_VULGAR}])(?:{pattern}))" for kind, pattern in {
    "age": rf"{_SEVERAL}{_ANY}(?:[\s-]*{_AGE_UNIT}[\s-]+olds?|\s*(?:yo|y/o))\b"
    rf"|age[ds]?\s+(?:between\s+)?{_SEVERAL}{_ANY}",
    "sheet": rf"(?:{'|'.join(SHEETS)})\b(?:[\s-]+(?:sized?|books?|notebooks?|paper|sheets?|files?|pads?)\b"
    r"(?!\s+(?:covers?|cases?|sleeves?|holders?|folios?)\b))?",
    "box": rf"{_DIGITS}\s*(?:{_UNIT})?{_BY}{_DIGITS}\s*(?:{_UNIT})?(?:{_BY}{_DIGITS}\s*(?:{_UNIT})?)?",
    "feet": rf"\d+\s*(?:['′]\s*{_DIGITS}\s*(?:{_INCH}|'')?|(?:ft|foot|feet)\s*{_DIGITS}\s*{_INCH})",
    "pounds": rf"\d+\s*(?:lbs?|pounds?)\.?,?\s*(?:and\s+)?{_DIGITS}\s*(?:oz|ounces?)\b",
    "span": rf"(?!\d+-\d+/\d+){_ANY}\s*(?:{_UNIT})?\s*(?:-|–|—|\b(?:to|or)\b)\s*{_ANY}[\s-]*(?:{_UNIT})"
    rf"|between\s+{_ANY}\s*(?:{_UNIT})?\s+and\s+{_ANY}[\s-]*(?:{_UNIT})",
    "some": rf"(?!\d+-\d+/\d+)(?:between\s+{_ANY}\s+and\s+{_ANY}|{_ANY}\s+(?:to|or)\s+{_ANY}|\d+\s*[-–—]\s*\d+)"
    r"(?!\w|[.,/]\d|[\s-]*(?:years?|yrs?|months?|weeks?|yo|x|×|by|to|-)\b)",
    "times": rf"[x×]\s?\d+(?![\w/]|[.,]\d|\s*(?:{_UNIT}|[x×]))|\d+\s?[x×](?=\s+[a-z])",
    "size": rf"[-−]?{_ANY}{_HALF}?[\s-]*(?:{_UNIT}){_HALF}?|(?:{_ARTICLE})[\s-]+{_LONG}{_HALF}?|{_LONG}{_HALF}"
    rf"|{_LONG}(?=\s+(?:wide|long|thick|deep|high|tall)\b)",
    "bare": rf"{_ANY}(?!\w)",
}.items())  # fmt: skip
_PART = re.compile(rf"(three[\s-]quarters?(?:\s+of\s+an?)?|{_ANY}|\b(?:{_ARTICLE})\b)[\s-]*({_UNIT}|fortnight)?")
# "2 in brown" is two of them, not two inches.
_NO_INCH = re.compile(r"\s+(?:an?|the|my|our|this|that|one|all|black|brown|tan|red|white|natural|leather)\b")


@cache
def _finder() -> re.Pattern[str]:
    """Compiled when the first text is read, since the first prompt need not wait a twentieth of a second for it."""
    return re.compile(_FIND)


class Size(NamedTuple):
    """A number found: its kind, where it stands, its values with their units, and why it is unreadable if so.

    ``at`` is the index of the first word after it.
    """

    kind: str
    start: int
    end: int
    values: tuple[float, ...]
    units: tuple[str, ...]
    wrong: str
    at: int

    @property
    def unit(self) -> str:
        """The last unit written, which holds for all values without their own."""
        return next((u for u in reversed(self.units) if u), "")


def find_sizes(low: str, kept: Sequence[tuple[int, int]]) -> Iterator[Size]:
    """Every number of a lower-case text in order, except in the ``kept`` stretches; ``at`` is still 0."""
    for m in _finder().finditer(low):
        if any(a < m.end() and m.start() < b for a, b in kept):
            continue
        kind, (start, end), said = str(m.lastgroup), m.span(), m.group()
        if kind == "sheet":
            yield Size("box", start, end, SHEETS[said[:2]], ("mm", "mm"), "", 0)
            continue
        more = re.search(_AND, said) if kind == "size" else None
        half = _value(more[1]) if more else 0.0
        whole = said.replace(more[0], " ") if more else said
        parts = _PART.findall(f"a {whole}" if re.match(_LONG, whole) else whole)
        units = tuple(re.sub(r"^deg\w*\s+", "", u) for _, u in parts)
        worded = not re.search(rf"[\d{_VULGAR}]", said)
        no_inch = units[-1] == "in" and (worded or _NO_INCH.match(low, end))
        if kind == "size" and (no_inch or (units[-1] == '"' and low[:start].endswith('"'))):
            kind, end, units = "bare", start + len(said[: -len(units[-1])].rstrip()), ("",)
        sign = -1 if said[0] in "-−" else 1
        values: tuple[float, ...] = ()
        wrong = ""
        try:
            values = tuple(sign * (_value(n) + half) for n, _ in parts)
        except UnitError as error:
            wrong = str(error)
        if kind == "feet" and values:
            values, units = (values[0] * 12 + values[1],), ("in",)
        if kind == "pounds" and values:
            values, units = (values[0] + values[1] / 16,), ("lb",)
        if units[-1] == "fortnight":
            values, units = tuple(2 * v for v in values), ("week",)
        if kind == "age" and values:
            # Of "2 to 5 years old" the youngest counts, because small children have rules of their own.
            values = (min(values) / (12 if "month" in said else 52 if "week" in said else 1),)
        yield Size(kind, start, end, values, units, wrong, 0)


def systems_said(text: str) -> frozenset[Units]:
    """The measures in which the sizes of a text are written: inches, millimetres, both or neither."""
    found = (system_of(u) for s in find_sizes(text.lower(), ()) for u in s.units if u)
    return frozenset(s for s in found if s)


def measures(wanted: Units | None, text: str) -> Units:
    """The measures to answer in: those asked for, else inches where no size of the text is in another measure."""
    return wanted or ("inch" if systems_said(text) == {"inch"} else "mm")


def fits(unit: str, a: Attribute) -> bool:
    """Whether a number with that unit (none for a bare number) can be a value of the attribute."""
    bare = a.kind == "count" or a.unit == "money"
    if bare or not unit:
        return bare and not unit
    try:
        parse_quantity(f"1 {unit}", a.unit)
    except UnitError:
        return False
    return True


def _value(text: str) -> float:
    """A number in digits or words. Raises UnitError on 1,200, on a division by zero and beyond nine digits."""
    if re.search(r"\d{10}", text):
        raise UnitError("the number is too long")
    if vulgar := re.search(rf"[{_VULGAR}]", text):
        return float(text[: vulgar.start()].strip() or 0) + unicodedata.numeric(vulgar.group())
    if re.search(r"\d", text):
        return parse_number(re.sub(r"(\d)-(\d)", r"\1 \2", text))
    total = 0.0
    if text.startswith("three") and "quarter" in text:
        return 0.75
    for word in re.split(r"[\s-]+", text):
        if word in ("dozen", "hundred"):
            total = (total or 1.0) * SPELT[word]
        else:
            total += _PARTS.get(word, SPELT.get(word, 0))
    return total or 1.0

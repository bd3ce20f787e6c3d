"""Numbers in a sentence: in digits or words, with a unit or bare, in boxes, spans, ages and prices.

A number is never taken while a number or fraction word beside it was not understood: it comes back with the reason
and without values. ``1,200`` is a thousand as a count or a price, but can be read two ways as a measure.

Not given at all, so that they stay words of the sentence: ordinals (2nd, twenty-first), labels (no. 8, #8), codes and
telephone numbers (020 7946, 12-34-56, what is glued to letters), dates and times (12/10/24, 5:30, 5 pm, ten o'clock),
years after "in" or "since", percentages, proportions (2:1) and pairs such as 24/7. A size of clothing ("size 43",
"uk 9") is given as the kind "clothing": a hint and no measure.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

from ..leather.units import UnitError, Units, parse_quantity, same_kind, system_of
from ..rulebase.models import Attribute
from .lexicon import STOP
from .number_marks import normal
from .number_parts import DIMENSIONS, JOINS, MULTIPLES, Found, Part, Size, unit_pattern
from .number_prices import SIGNS, Prices
from .number_words import SPELT, STARTS, UNCLEAR, Number

__all__ = [
    "LONG_UNITS",
    "SHEETS",
    "SPELT",
    "UNITS",
    "Size",
    "find_sizes",
    "fits",
    "measures",
    "normal",
    "systems_said",
    "unit_pattern",
]

# Trimmed sheets of ISO 216, width and height in mm (from memory).
SHEETS = {
    "a3": (297.0, 420.0),
    "a4": (210.0, 297.0),
    "a5": (148.0, 210.0),
    "a6": (105.0, 148.0),
    "a7": (74.0, 105.0),
    "b5": (176.0, 250.0),
    "b6": (125.0, 176.0),
}
_SHEET = re.compile(
    rf"(?:{'|'.join(SHEETS)})\b(?:[\s-]+(?:sized?|books?|notebooks?|paper|sheets?|files?|pads?)\b"
    r"(?!\s+(?:covers?|cases?|sleeves?|holders?|folios?)\b))?"
)
_INCHES = ("in", "in.", "ins", "inch", "inches", '"', "''")
_FEET = ("ft", "foot", "feet", "'")
_METRES = ("m", "metre", "metres", "meter", "meters")
LONG_UNITS = (*_FEET, *_METRES, "mtr", "mtrs")
_ALONE = frozenset(
    (
        "foot",
        "inch",
        "metre",
        "meter",
        "centimetre",
        "centimeter",
        "pound",
        "kilo",
        "kilogram",
        "week",
        "fortnight",
        "yard",
        "ounce",
        "millimetre",
        "millimeter",
    )
)
# "2 in a box" is two of them, "he turns 50 in may" an age: articles, words for some of them, times of the year.
_NO_INCH = re.compile(
    r"\s+(?:an?|the|my|our|this|that|these|one|all|each|total|january|february|march|april|may|june|july|august|september|october|november|december|jan|feb|mar|apr|jun|jul|aug"
    r"|sept?|oct|nov|dec|spring|summer|autumn|winter|(?:mon|tues|wednes|thurs|fri|satur|sun)day|his|her|their|its"
    r"|(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|twelve|a few|several) (?:days?|weeks?|months?|years?))\b"
)
_NAMING = re.compile(rf"\s+(?!(?:{'|'.join(sorted(STOP | DIMENSIONS))})\b)[a-z]{{3}}")
UNITS = frozenset(
    ("inch", "foot", "feet", "metre", "meter", "yard", "ounce", "kilo", "pound", "centimetre", "millimetre")
)
"""Units spelt out, in the singular or as they are said of several."""
_BY = frozenset(("x", "*", "by"))
_GLUED_METRES = re.compile(r"([0-9]{1,2})m([0-9]{2})(?![\w./x])")
_MONTHS = frozenset(("month", "months"))
_WEEKS = frozenset(("week", "weeks"))
_AGE_UNITS = _MONTHS | _WEEKS | {"year", "years", "yr", "yrs"}
_CLOTHING = frozenset(("uk", "eu"))
_OF_SIZE = ("size", "sizes", "sz")
_LARGEST_CLOTHING = 70
_NO_QUANTITY = re.compile(
    r"[0-9]+(?:st|nd|rd|th)s?\b|[0-9]{2,4}'s\b|[0-9]{1,2}(?:[:.][0-9]{2})?\s*(?:am\b|pm\b|[ap]\.m\b\.?|o'?clock\b)|[0-9]+(?::[0-9]+)+"
    r"|[0-9]+/[0-9]+/[0-9]+|[0-9]+(?:-[0-9]+){2,}(?![/0-9])|[0-9]+(?:\.[0-9]+){2,}|0[0-9]+(?:[\s-][0-9]{2,})*(?![.,/]?[0-9])"
)
_LABEL = re.compile(r"(?:no\.|nr\.?|number|#)\s?[0-9]+(?:\.[0-9]+)?(?!\w)")
_YEAR = re.compile(r"(?:1[5-9]|20)[0-9]{2}")
_BEFORE_A_YEAR = frozenset(("in", "since", "circa", "year"))
_TEXTS = 64
"""A line is read once for each question that it might answer, and its numbers are the same for all of them."""
_LOOSELY = re.compile(r"[\s-]+odd\b|[\s-]?ish\b|\s+or\s+so\b(?!\s+(?:much|many|it|that|i|we))")
_LEAST_ON = 3
_LEAST_ODD = 10
"""From this number on "odd" behind it means about: "three odd socks" are odd."""
_NOT_COUNTED = frozenset(("%", "percent", "pct", "o'clock", "oclock"))


def find_sizes(
    low: str, kept: Sequence[tuple[int, int]], stuffs: re.Pattern[str] | None = None, usual: bool = False
) -> Iterator[Size]:
    """Every number of a lower-case text in order, except in the ``kept`` stretches; ``at`` is still 0.

    Before one of the ``stuffs``, colours and leathers, "in" is no inch: "50x50 in cognac". With ``usual`` the unit of
    a box is left to the usual size of the thing before any other word too.
    Never raises. Spans are those of ``low``, whose marks need not be plain.
    """
    for size in all_sizes(low, stuffs, usual):
        if not any(a < size.end and size.start < b for a, b in kept):
            yield size


@lru_cache(maxsize=_TEXTS)
def all_sizes(low: str, stuffs: re.Pattern[str] | None = None, usual: bool = False) -> tuple[Size, ...]:
    """Every number of a lower-case text in order; the last texts are remembered."""
    scan = _Scan(normal(low), stuffs, usual)
    found, at = [], 0
    while at < len(scan.said.tokens):
        size, at = scan.next(at)
        if size:
            found.append(size)
    return tuple(found)


def systems_said(text: str, stuffs: re.Pattern[str] | None = None, usual: bool = False) -> frozenset[Units]:
    """The measures in which the sizes of a text are written: inches, millimetres, both or neither."""
    found = (system_of(u) for s in find_sizes(text.lower(), (), stuffs, usual) for u in s.units if u)
    return frozenset(s for s in found if s)


def measures(wanted: Units | None, text: str, stuffs: re.Pattern[str] | None = None, metric: bool = False) -> Units:
    """The measures to answer in: those asked for, else inches where no size of the text is in another measure.

    Where a size without a unit was taken as ``metric``, the "in" behind a box of such sizes was none.
    """
    return wanted or ("inch" if systems_said(text, stuffs, metric) == {"inch"} else "mm")


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


class _Scan(Prices):
    """The numbers of one text, one at a time; each way to read one gives it and the token after it, or None."""

    def __init__(self, text: str, stuffs: re.Pattern[str] | None, usual: bool) -> None:
        super().__init__(text)
        self.stuffs, self.usual = stuffs, usual
        self._ways: tuple[Callable[[int], Found], ...] = (
            self._money,
            self._age,
            self._box,
            self._feet,
            self._pounds,
            self._span,
            self._some,
            self._half_said,
            self._times,
            self._size,
            self._bare,
        )

    def next(self, i: int) -> tuple[Size | None, int]:
        """The number that begins at the token ``i`` and the token after it; None and the next place to look else."""
        token = self.said.tokens[i]
        if token.kind == "word" and token.text not in _OPENING:
            return None, i + 1
        if token.kind == "mark" and token.text not in _OPENING_MARKS:
            return None, i + 1
        if named := self._sheet(i) or self._clothing(i) or self._glued_metres(i):
            return named
        if skipped := self._no_quantity(i):
            return None, skipped
        for way in self._ways:
            if found := way(i):
                found = self._loosely(*found)
                self._ended = found[1]
                return found
        return None, i + 1

    def _loosely(self, size: Size, last: int) -> tuple[Size, int]:
        """ "Sixty-odd", "30 or so", "12ish": a number said loosely is that number, with the word for it."""
        m = _LOOSELY.match(self.text, size.end) if size.kind in ("bare", "some", "size", "span") else None
        if m is None or (m[0].strip(" -") == "odd" and (size.unit or min(size.values, default=0) < _LEAST_ODD)):
            return size, last
        return size._replace(end=m.end()), self._after(m.end())

    # -- what is no quantity, or has a name

    def _no_quantity(self, i: int) -> int:
        """The token after a number that counts and measures nothing; 0 where it may."""
        token, before = self.said.tokens[i], self.said.word(i - 1)
        if token.kind != "digits":
            if m := _LABEL.match(self.text, token.start):
                return 0 if self._unit(self._after(m.end())) else self._after(m.end())
            found = self.said.number(i) if token.kind == "word" else None
            return found.last if found and (found.ordinal or self._not_counted(found.last)) else 0
        if not self._starts(i):
            return 0
        m = _NO_QUANTITY.match(self.text, token.start)
        if m and not (m[0].isdecimal() and self._unit(i + 1)):
            return self._after(m.end())
        n = self.said.number(i)
        if n and self._not_counted(n.last):
            return n.last
        if n and _YEAR.fullmatch(token.text) and before in _BEFORE_A_YEAR and not self._unit(n.last):
            return n.last
        over = n and n.part and n.value >= 1 and not n.wrong and "/" in self.text[token.start : self.said.end(n.last)]
        return n.last if n and over and not self._unit(n.last) else 0

    def _not_counted(self, i: int) -> bool:
        return self.said.word(i) in _NOT_COUNTED or (self.said.word(i), self.said.word(i + 1)) == ("per", "cent")

    def _sheet(self, i: int) -> Found:
        """ "A4", "an a5 notebook": a sheet of paper."""
        if self.said.word(i) not in ("a", "b") or not self.said.glued(i + 1) or not self._starts(i):
            return None
        m = _SHEET.match(self.text, self.said.tokens[i].start)
        return (Size("box", *m.span(), SHEETS[m[0][:2]], ("mm", "mm"), "", 0), self._after(m.end())) if m else None

    def _clothing(self, i: int) -> Found:
        """ "Size 43", "uk 9": what somebody wears."""
        word, at = self.said.word(i), i + 1
        if word not in (*_OF_SIZE, *_CLOTHING):
            return None
        while word in _OF_SIZE and self.said.word(at) in (*_CLOTHING, "us", "number", ":"):
            at += 1
        parts = self._ends(at) or ([p] if (p := self._part(at)) else [])
        if len(parts) == 1 and parts[0].unit == "in" and self.said.kind(parts[0].last) == "word":
            # "Size 42 in deerskin" is no size in inches.
            parts = [parts[0]._replace(unit="", last=parts[0].number.last)]
        if not parts or not self._whole(parts[-1]):
            return None
        by = parts[-1].last
        if self.said.word(by) in _BY and (self.said.glued(by) or not self.said.glued(by + 1)):
            # "Size 12 x 8" is no label, "size 7 x3" is three of it.
            return None
        if any(p.unit or p.wrong or not 0 < p.value <= _LARGEST_CLOTHING for p in parts):
            return None
        return self._size_of("clothing", parts, parts[-1].last, self.said.tokens[i].start)

    # -- ages

    def _age(self, i: int) -> Found:
        """ "A 2 year old", "aged 3 to 5": the youngest counts, because small children have rules of their own."""
        said, at = self.said, i
        aged = said.word(i) in ("age", "aged", "ages")
        at += aged
        at += aged and said.word(at) == "between"
        numbers: list[Number] = []
        units: set[str] = set()
        while len(numbers) < 2:
            n = said.number(at) if self._starts(at) else None
            if n is None or n.ordinal:
                return None
            numbers.append(n)
            last = at = said.after(n.last)
            if said.word(at) in _AGE_UNITS:
                units.add(said.word(at))
                last = at = at + 1
            if said.word(at) not in (*JOINS, "and") or not said.number(at + 1):
                break
            old = self._old(at)
            if old > at:
                break
            at += 1
        old = self._old(last)
        if not aged and (old == last or not (units or said.word(last) in ("yo", "y"))):
            return None
        measured = self._unit(numbers[-1].last)
        if aged and measured and measured.name not in _WEEKS:
            return None
        if old == last and not units:
            old = numbers[-1].last
        years = 12 if units & _MONTHS else 52 if units & _WEEKS else 1
        wrong = next((n.wrong for n in numbers if n.wrong), "")
        values = () if wrong else (min(n.value for n in numbers) / years,)
        return Size("age", said.tokens[i].start, said.end(old), values, ("",), wrong, 0), old

    def _old(self, i: int) -> int:
        """The token after "old" or "y/o" at ``i``; ``i`` where it says nothing of the kind."""
        at = self.said.after(i)
        if self.said.word(at) in ("old", "olds", "yo"):
            return at + 1
        return (
            at + 3
            if self.text.startswith("y/o", self.said.tokens[at].start if self.said.word(at) else 0)
            and (self.said.word(at) == "y")
            else i
        )

    # -- several numbers

    def _span(self, i: int) -> Found:
        """ "3 to 4 mm", "40-45 cm", "between two and three feet": both ends of one kind."""
        parts = self._ends(i)
        if not parts or not self._whole(parts[1]):
            return None
        first, second = parts
        if self._no_inch(second):
            return None
        if first.unit and not second.unit and self.said.word(first.last) == "to" and self._closed(second.last):
            parts = [first, second._replace(unit=first.unit)]
        elif not second.unit or (first.unit and not same_kind(first.unit, second.unit)):
            return None
        return self._size_of("span", parts, parts[1].last, self.said.tokens[i].start)

    def _half_said(self, i: int) -> Found:
        """ "Between one hundred and fifty mm": only one number is found where two are said."""
        part = self._part(i + 1) if self.said.word(i) == "between" else None
        return self._size_of("some", [part._replace(wrong=part.wrong or UNCLEAR)], part.last) if part else None

    def _some(self, i: int) -> Found:
        """ "20 or 30", "between five and eight", "4-6": two numbers without a unit."""
        parts = self._ends(i)
        if parts and self._no_inch(parts[1]):
            parts[1] = parts[1]._replace(unit="", last=parts[1].number.last)
        if not parts or any(p.unit for p in parts) or not self._whole(parts[1]):
            return None
        last = parts[1].last
        after = self.said.word(self.said.after(last))
        counted = after in _BY and self._counts(last, [parts[1]])
        if (after in _AGE_UNITS | _BY | {"yo", "to", "-"} and not counted) or self.said.hyphen(last):
            return None
        worded = any(p.number.worded for p in parts)
        if self.said.word(parts[0].last) == "-" and worded and not any(p.wrong for p in parts):
            return None
        return self._size_of("some", parts, last, self.said.tokens[i].start)

    def _box(self, i: int) -> Found:
        """ "36 x 38 x 12 cm", "12x12", "six by four inches"."""
        parts: list[Part] = []
        at = i
        while len(parts) < 4:
            part = self._glued_part(at) if parts else self._part(at)
            if part is None:
                break
            parts.append(part)
            if self.said.word(part.last) not in _BY and not self._on(part):
                break
            if self._counts(part.last, parts):
                break
            at = part.last + 1
        if len(parts) < 2 or not self._whole(parts[-1]):
            return None
        if self._no_inch(parts[-1], "box"):
            parts[-1] = parts[-1]._replace(unit="", last=parts[-1].number.last)
        units = [p.unit for p in parts if p.unit]
        if any(p.number.worded for p in parts) and not units and self.said.word(parts[0].last) != "by":
            return None
        return self._size_of("box", parts, parts[-1].last) if all(same_kind(u, units[0]) for u in units) else None

    def _on(self, part: Part) -> bool:
        """ "40 on 60 cm", as other languages say it: two sizes of which the last has the unit."""
        if self.said.word(part.last) != "on" or part.unit or part.number.worded or part.value < _LEAST_ON:
            return False
        second = self._part(part.last + 1)
        return second is not None and not second.number.worded and bool(second.unit) and second.value >= _LEAST_ON

    def _counts(self, i: int, parts: Sequence[Part]) -> bool:
        """ "1 1/4 x 22 x8", "0.7 x5": whether the sign at ``i`` stands before a count, unlike the first one."""
        said, first = self.said, parts[0]
        here = said.glued(i), said.glued(i + 1)
        if here != (False, True):
            return False
        if len(parts) > 1:
            return (said.glued(first.last), said.glued(first.last + 1)) != here
        if first.unit:
            # `72" x10` is ten of them, `72" x 10` and `72" x10"` are two sizes.
            second = self._glued_part(i + 1)
            plain = second is not None and not (second.unit or second.wrong or second.number.part)
            return second is not None and plain and second.value.is_integer() and said.word(second.last) not in _BY
        return "." in self.text[first.start : said.end(first.last)]

    def _times(self, i: int) -> Found:
        """ "X10", "10x": how many."""
        said = self.said
        if said.word(i) == "x" and said.kind(i + 1) == "digits" and self._starts(i):
            n = said.number(i + 1)
            if not n or n.part or said.word(n.last) in (*_BY, "/") or self._unit(n.last) or not n.value.is_integer():
                return None
            # "6 foot high x 4 wide" has two sizes.
            sided = said.word(n.last) in DIMENSIONS and not said.glued(i + 1)
            part = Part(n, n.value, "", said.tokens[i + sided].start, n.last, n.wrong)
            return self._size_of("bare" if sided else "times", [part], n.last) if self._whole(part) else None
        if said.kind(i) != "digits" or not self._starts(i):
            return None
        n = said.number(i)
        if not n or said.word(n.last) != "x" or not n.value.is_integer() or said.kind(n.last + 1) == "digits":
            return None
        return self._size_of("times", [Part(n, n.value, "", said.tokens[i].start, n.last, n.wrong)], n.last + 1)

    # -- one measure

    def _feet(self, i: int) -> Found:
        """ "5 ft 6", "5'6", "five foot six inches": feet and inches, given in inches."""
        first = self._part(i)
        if not first or first.unit not in _FEET or first.wrong or not first.value.is_integer():
            return None
        second = self._glued_part(first.last)
        if second and not second.unit and 0 < second.value < 1 and first.unit != "'":
            # "6ft 5/8" are two sizes.
            return None
        if not second or second.wrong or (second.unit and second.unit not in _INCHES) or not 0 <= second.value < 12:
            return None
        if not second.unit and not (self._whole(second) and (first.unit == "'" or self._closed(second.last))):
            return None
        wrong = ""
        if first.unit != "'" and second.unit and self.said.word(second.last) in ("wide", "thick"):
            wrong = "it can be one size or two; write a comma between two"
        value = first.value * 12 + second.value
        return self._size_of("feet", [first._replace(value=value, unit="in", wrong=wrong)], second.last)

    def _size(self, i: int) -> Found:
        """One number with its unit, and the half or the eighth said after it."""
        part = self._part(i)
        if part is None or not part.unit:
            part = self._unit_alone(i)
        if part is None:
            return None
        if self._no_inch(part):
            return self._size_of("bare", [part._replace(unit="")], part.number.last)
        if part.unit == '"' and self.text[: part.start].endswith('"'):
            return self._size_of("bare", [part._replace(unit="")], part.number.last)
        return self._with_tail(part)

    def _no_inch(self, part: Part, kind: str = "size") -> bool:
        """ "4 in dark brown", "two in each box": whether the "in" behind a number is no unit of it."""
        if part.unit != "in" or part.wrong:
            return False
        end = self.said.end(part.last)
        # A part of one is an inch there too: "1/8 in latigo".
        part_of_one = "/" in self.text[part.start : self.said.end(part.number.last)]
        stuff = self.stuffs.match(self.text, end) if self.stuffs and not part_of_one else None
        box = kind == "box" and (stuff is not None or (self.usual and _NAMING.match(self.text, end) is not None))
        return box or bool(stuff and stuff["end"] is not None) or bool(_NO_INCH.match(self.text, end))

    def _with_tail(self, part: Part) -> tuple[Size, int]:
        """ "An inch and a quarter", "1 inch 3/8": the part that is said after the unit."""
        said, last = self.said, part.last
        if hundredths := self._hundredths(part):
            return hundredths
        joined = said.word(last) in ("and", "&", "+")
        at = last + joined
        more = said.number(at) if said.part_follows(at) and (joined or not said.glued(at)) else None
        whole = part.value.is_integer() and not part.wrong
        # "30 ft half chaps" are no thirty and a half.
        led = more and not joined and said.kind(at) == "word" and not self._closed(more.last)
        if not more or more.wrong or not whole or led or self._unit(more.last) or self._in_a_row(at, more.last):
            return self._size_of("size", [part], last)
        return self._size_of("size", [part._replace(value=part.value + more.value)], more.last)

    def _hundredths(self, part: Part) -> Found:
        """ "One metre eighty": the centimetres said after whole metres without their unit."""
        if part.unit not in _METRES or not part.value.is_integer() or part.wrong:
            return None
        more = self._part(part.last)
        if not more or more.unit or more.wrong or not self._closed(more.last) or more.value not in range(10, 100):
            return None
        return self._size_of("size", [part._replace(value=part.value + more.value / 100)], more.last)

    def _glued_metres(self, i: int) -> Found:
        """ "1m20": metres and centimetres written as one word."""
        if self.said.kind(i) != "digits" or not self._starts(i):
            return None
        start = self.said.tokens[i].start
        m = _GLUED_METRES.match(self.text, start)
        if m is None:
            return None
        value, last = int(m[1]) + int(m[2]) / 100, self._after(m.end())
        return self._size_of("size", [Part(Number(value, last), value, "m", start, last)], last)

    def _in_a_row(self, i: int, last: int) -> bool:
        """ "One inch and a third strap": a place in a row, not a part of an inch."""
        article = self.said.word(i) in ("a", "an")
        return article and self.said.word(i + 1) not in ("half", "quarter") and not self._closed(last)

    def _unit_alone(self, i: int) -> Part | None:
        """ "An inch", "a foot", "inch and a half", "foot wide": one of a unit that no number stands before."""
        said, word = self.said, self.said.word(i)
        article = word in ("a", "an")
        at = i + article + (article and said.hyphen(i + 1))
        unit = said.word(at)
        if unit not in _ALONE or not self._starts(i):
            return None
        one = Number(1.0, at + 1, worded=True)
        factor, name = MULTIPLES.get(unit, (1.0, unit))
        wrong = ""
        if article and said.word(i - 1) == "of" and said.word(i - 2) not in ("width", "length", "height", "depth"):
            wrong = "it does not say what part of it"
        if not article:
            tail = said.word(at + 1) == "and" and said.part_follows(at + 2)
            if not tail and said.word(at + 1) not in DIMENSIONS:
                return None
        return Part(one, factor, name, said.tokens[i].start, at + 1, wrong)

    def _bare(self, i: int) -> Found:
        """A number without a unit: a count, or a part such as 1/2; not "half" or "a third" alone."""
        part = self._part(i)
        if part is None or part.unit or not self._whole(part):
            return None
        alone = part.number.part and self.said.word(i) in ("half", "quarter", "a", "an")
        return None if alone and not part.wrong else self._size_of("bare", [part], part.last)


_OPENING = (
    STARTS
    | _ALONE
    | _CLOTHING
    | {
        "between",
        "age",
        "aged",
        "ages",
        "minus",
        "x",
        *_OF_SIZE,
        "b",
        "gbp",
        "usd",
        "eur",
        "no",
        "nr",
        "number",
    }
)
_OPENING_MARKS = SIGNS | {"-", "#"}

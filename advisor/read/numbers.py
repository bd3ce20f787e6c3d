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
from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from typing import NamedTuple

from ..leather.units import UNIT, UnitError, Units, parse_quantity, same_kind, system_of
from ..rulebase.models import Attribute
from .number_words import SPELT, STARTS, UNCLEAR, Number, Numbers

__all__ = ["SHEETS", "SPELT", "Size", "find_sizes", "fits", "measures", "normal", "systems_said"]

# Trimmed sheets of ISO 216, width and height in mm (from memory).
SHEETS = {
    "a3": (297.0, 420.0), "a4": (210.0, 297.0), "a5": (148.0, 210.0), "a6": (105.0, 148.0), "a7": (74.0, 105.0),
    "b5": (176.0, 250.0), "b6": (125.0, 176.0),
}  # fmt: skip
_SHEET = re.compile(
    rf"(?:{'|'.join(SHEETS)})\b(?:[\s-]+(?:sized?|books?|notebooks?|paper|sheets?|files?|pads?)\b"
    r"(?!\s+(?:covers?|cases?|sleeves?|holders?|folios?)\b))?"
)
# What people call several of a unit: how many of which.
_MULTIPLES = {
    **dict.fromkeys(("fortnight", "fortnights"), (2.0, "week")),
    **dict.fromkeys(("yard", "yards", "yd", "yds"), (3.0, "ft")),
    **dict.fromkeys(("mil", "mils"), (1.0, "mm")),
    **dict.fromkeys(("sf", "s.f."), (1.0, "sqft")),
}
_LENGTHS = "millimet(?:er|re)s?|centimet(?:er|re)s?|met(?:er|re)s?|inch(?:es)?|in|foot|feet|ft|mm|cm|dm|m"
_INCHES = ("in", "in.", "ins", "inch", "inches", '"', "''")
_FEET = ("ft", "foot", "feet", "'")
_POUNDS = ("pound", "pounds")
_ALONE = frozenset((
    "foot", "inch", "metre", "meter", "centimetre", "centimeter", "pound", "kilo", "kilogram", "week", "fortnight",
    "yard", "ounce", "millimetre", "millimeter",
))  # fmt: skip
_DIMENSIONS = frozenset(("wide", "long", "thick", "deep", "high", "tall"))
# "2 in brown" is two of them, not two inches: the articles, and the basic words for colours.
_NO_INCH = re.compile(
    r"\s+(?:an?|the|my|our|this|that|these|one|all|each|total|black|brown|tan|red|white|blue|green|gr[ae]y|natural|leather)\b"
)
_JOINS = frozenset(("-", "to", "or"))
_BY = frozenset(("x", "*", "by"))
_MONTHS = frozenset(("month", "months"))
_WEEKS = frozenset(("week", "weeks"))
_AGE_UNITS = _MONTHS | _WEEKS | {"year", "years", "yr", "yrs"}
_CLOTHING = frozenset(("uk", "eu"))
_LARGEST_CLOTHING = 70
_SIGNS = frozenset("£$€")
_COINS = frozenset((
    *_SIGNS, "quid", "euro", "euros", "eur", "dollar", "dollars", "buck", "bucks", "usd", "gbp", "sterling",
))  # fmt: skip
_NOTES = {"tenner": 10.0, "tenners": 10.0, "fiver": 5.0, "fivers": 5.0}
_SPENDING = frozenset((
    "spend", "spending", "spent", "budget", "cost", "costs", "costing", "afford", "pay", "paying", "price", "priced",
    "worth", "charge", "sell", "selling",
))  # fmt: skip
_PAYING = frozenset(("spend", "spending", "budget", "costs", "costing", "afford", "paying"))
_FILLERS = frozenset(("of", "about", "around", "roughly", "up", "to", "is", ":", "for", "at", "only", "just", "most"))
_WEIGHED = frozenset((
    "weigh", "weighs", "weighing", "weight", "heavy", "load", "loads", "carry", "carries", "carrying", "hold", "holds",
    "holding", "bear", "bears", "lift", "lifts", "pull", "pulls", "support", "supports", "take", "takes", "am", "he",
    "she", "he's", "she's", "i'm",
))  # fmt: skip
_SPENT_ON = re.compile(r"\s+for\s+(?:(?:the|all|my)\s+)?(?:materials?|everything|the lot|it all|all of it)\b")
_NO_QUANTITY = re.compile(
    r"[0-9]+(?:st|nd|rd|th)s?\b|[0-9]{2,4}'s\b|[0-9]{1,2}(?:[:.][0-9]{2})?\s*(?:am\b|pm\b|[ap]\.m\b\.?|o'?clock\b)|[0-9]+(?::[0-9]+)+"
    r"|[0-9]+/[0-9]+/[0-9]+|[0-9]+(?:-[0-9]+){2,}(?![/0-9])|[0-9]+(?:\.[0-9]+){2,}|0[0-9]+(?:[\s-][0-9]{2,})*(?![.,/]?[0-9])"
)
_LABEL = re.compile(r"(?:no\.|nr\.?|number|#)\s?[0-9]+(?:\.[0-9]+)?(?!\w)")
_YEAR = re.compile(r"(?:1[5-9]|20)[0-9]{2}")
_BEFORE_A_YEAR = frozenset(("in", "since", "circa", "year"))
_NOT_COUNTED = frozenset(("%", "percent", "pct", "o'clock", "oclock"))
_NO_LENGTH = "it is an area or a volume, not a length"
_POUNDS_OF = "pounds can be money or a weight; write £ or lb"

_PLAIN_MARKS = {
    **dict.fromkeys("‘’‚‛′ʹʼ´`＇", "'"),
    **dict.fromkeys("“”„‟″ʺ＂", '"'),
    **dict.fromkeys("⁄∕÷", "/"),
    **dict.fromkeys("\u00a0\u1680\u202f\u205f\u3000\u066c", " "),
    **dict.fromkeys(map(chr, range(0x2000, 0x200B)), " "),
    **dict.fromkeys("‐‑‒–—―−﹘﹣－", "-"),
    **dict.fromkeys("×✕✖⨯", "x"),
    "\u066b": ".",
}
_MARKS = str.maketrans(_PLAIN_MARKS)
_MIDDLE_DOT = re.compile(r"(?<=[0-9])[·∙⋅](?=[0-9])")
# "8/9 oz" is a band and no fraction of an ounce, "0.6/0.8" the same in mm.
_BAND = re.compile(r"(?<![\w./])([2-9]|1[0-9])/([3-9]|1[0-9])(?=\s*(?:oz|ounces?)\b)")
_DECIMAL_BAND = re.compile(r"(?<![\w./])([0-9]*\.[0-9]+)/(?=[0-9]+(?:\.[0-9]+)?(?![\w/]))")
_WIDEST_BAND = 2
# "1.4-1.6 two hides", "1.4 half hide": a new number begins after a decimal.
_NEXT_NUMBER = re.compile(r"(?<=\.[0-9]) (?=(?:one|two|three|four|five|six|seven|eight|nine|ten|half|[0-9]) ?[a-z])")
# "Two half hides" are two of them.
_HALVES = re.compile(
    r"((?:\b(?:two|three|four|five|six)|[0-9])) (?=half (?!inches|ounces|pounds|pints|hours|days)[a-z]+s\b)"
)
_ISH = re.compile(r"(?<=[0-9])ish\b")


def normal(text: str) -> str:
    """``text`` with the plain form of each quote, prime, fraction slash, space and dash; of the same length.

    The slash of a band of thickness becomes a dash, "100ish" loses its ending, and a mark parts two numbers.
    """
    plain = _MIDDLE_DOT.sub(".", text.translate(_MARKS))
    plain = _BAND.sub(lambda m: m[0].replace("/", "-") if 0 < int(m[2]) - int(m[1]) <= _WIDEST_BAND else m[0], plain)
    plain = _DECIMAL_BAND.sub(r"\1-", plain)
    return _ISH.sub("   ", _HALVES.sub(r"\1;", _NEXT_NUMBER.sub(";", plain)))


class Size(NamedTuple):
    """A number found: its kind, where it stands, its values with their units, and why it is unreadable if so.

    ``at`` is the index of the first word after it. The kinds are age, box, feet, pounds, span, some, times, size, bare,
    clothing and money.
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
    """Every number of a lower-case text in order, except in the ``kept`` stretches; ``at`` is still 0.

    Never raises. Spans are those of ``low``, whose marks need not be plain.
    """
    scan = _Scan(normal(low))
    at = 0
    while at < len(scan.said.tokens):
        size, at = scan.next(at)
        if size and not any(a < size.end and size.start < b for a, b in kept):
            yield size


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


@cache
def unit_pattern() -> re.Pattern[str]:
    """Compiled when the first text is read, since the first prompt need not wait for it."""
    own = "|".join(sorted(_MULTIPLES, key=len, reverse=True))
    return re.compile(rf"[\s-]*(?:(?:degrees?|deg\.?|°)\s*)?(''|(?:{own})\b|{UNIT})", re.ASCII)


@cache
def _power_pattern() -> re.Pattern[str]:
    """A unit of area or volume, whether or not anything here is measured in it."""
    raised = r"(?:\s?(?:\^|\*\*)\s?[23]|[23²³]|\s+(?:squared|cubed))(?!\w)"
    return re.compile(rf"[\s-]*(?:(?:sq|square|cubic)\.?[\s-]*(?:{_LENGTHS})\b|(?:{_LENGTHS}){raised})")


class _Unit(NamedTuple):
    """A unit as it was written, how many of it one is, the token after it, and why it cannot be used if so."""

    name: str
    last: int
    factor: float = 1.0
    wrong: str = ""


class _Part(NamedTuple):
    """A number with the unit written after it (or none), from ``start`` in the text to the token ``last``."""

    number: Number
    value: float
    unit: str
    start: int
    last: int
    wrong: str = ""


_Found = tuple[Size, int] | None


class _Scan:
    """The numbers of one text, one at a time; each way to read one gives it and the token after it, or None."""

    def __init__(self, text: str) -> None:
        self.text, self.said = text, Numbers(text)
        self._ended = -1
        self._ways: tuple[Callable[[int], _Found], ...] = (
            self._money, self._age, self._box, self._feet, self._pounds, self._span, self._some, self._half_said,
            self._times, self._size, self._bare,
        )  # fmt: skip

    def next(self, i: int) -> tuple[Size | None, int]:
        """The number that begins at the token ``i`` and the token after it; None and the next place to look else."""
        token = self.said.tokens[i]
        if token.kind == "word" and token.text not in _OPENING:
            return None, i + 1
        if token.kind == "mark" and token.text not in _OPENING_MARKS:
            return None, i + 1
        if named := self._sheet(i) or self._clothing(i):
            return named
        if skipped := self._no_quantity(i):
            return None, skipped
        for way in self._ways:
            if found := way(i):
                self._ended = found[1]
                return found
        return None, i + 1

    # -- parts

    def _after(self, pos: int) -> int:
        """The first token at or after a place in the text."""
        return bisect_left(self.said.tokens, pos, key=lambda token: token.start)

    def _unit(self, last: int) -> _Unit | None:
        """The unit that follows the token before ``last``."""
        pos = self.said.end(last)
        if power := _power_pattern().match(self.text, pos):
            name = re.sub(r"[\^*]|\s(?=\S$)", "", power[0].lstrip(" -"))
            known = re.fullmatch(UNIT, name)
            return _Unit(name, self._after(power.end()), wrong="" if known else _NO_LENGTH)
        m = unit_pattern().match(self.text, pos)
        if not m:
            return None
        name, following = m[1], self.text[m.end() : m.end() + 1]
        spaced = m.start(1) > pos
        if name[0] in "'\"" and following.isalpha() and (spaced or (name == "'" and following != "x")):
            return None
        if re.match(r"/[a-z]", self.text[m.end() : m.end() + 2]):
            return _Unit(name, self._after(m.end()) + 2, wrong="it is a rate")
        factor, name = _MULTIPLES.get(name, (1.0, name))
        return _Unit(name, self._after(m.end()), factor)

    def _starts(self, i: int) -> bool:
        """Whether a number may begin at ``i``: not in the middle of a word, a code or another number."""
        if not self.said.glued(i):
            return True
        before = self.text[self.said.tokens[i].start - 1]
        further = self.text[self.said.tokens[i].start - 2 : self.said.tokens[i].start - 1]
        if before in "/,":
            return further.isalpha() or further in ('"', "'")
        return not (before.isalnum() or before in "._")

    def _part(self, i: int) -> _Part | None:
        """A number with its unit, if one is written; a minus makes it negative."""
        said = self.said
        signed = said.word(i) == "minus" or (
            said.word(i) == "-" and said.glued(i + 1) and not said.glued(i) and i != self._ended and self._starts(i)
        )
        at = i + signed
        if not signed and not self._starts(at):
            return None
        n = said.number(at)
        if n is None or n.ordinal:
            return None
        return self._measured(n, at, said.tokens[i].start, -1 if signed else 1)

    def _glued_part(self, i: int) -> _Part | None:
        """As ``_part``, where digits may be glued to what stands before them: a dash, an "x", a mark of feet."""
        n = self.said.number(i) if self.said.kind(i) == "digits" and self.said.glued(i) else None
        return self._measured(n, i, self.said.tokens[i].start) if n else self._part(i)

    def _measured(self, n: Number, i: int, start: int, sign: int = 1) -> _Part:
        """A number that begins at the token ``i``, with the unit after it."""
        said, of = self.said, n.last
        if n.part or n.wrong:
            of += said.word(of) == "of"
            of += said.word(of) in ("a", "an") or (of > n.last and said.word(of) == "one")
        unit = self._unit(of)
        if unit is None or (unit.name == "in" and n.worded):
            wrong = n.wrong or self._tolerance(n.last)
            return _Part(n, sign * n.value, "", start, n.last, wrong)
        wrong = n.wrong or unit.wrong or self._tolerance(unit.last)
        if n.comma and not wrong:
            shown = said.word(i)
            wrong = f"{shown} can be read two ways; write {shown.replace(',', '')} or {shown.replace(',', '.')}"
        return _Part(n, sign * n.value * unit.factor, unit.name, start, unit.last, wrong)

    def _tolerance(self, last: int) -> str:
        """Why a number cannot be taken that is said with a tolerance."""
        follows = self.text[self.said.end(last) : self.said.end(last) + 4].lstrip()
        return "a tolerance cannot be taken" if follows.startswith(("±", "+/-")) else ""

    def _whole(self, p: _Part) -> bool:
        """Whether a number without a unit ends where it seems to: "2k" and "4ever" do not."""
        return bool(p.unit) or not (self.said.glued(p.last) and self.said.kind(p.last) != "mark")

    def _size_of(self, kind: str, parts: Sequence[_Part], last: int, start: int | None = None) -> tuple[Size, int]:
        """The size that the parts make, and the token after it."""
        values, units = tuple(p.value for p in parts), tuple(p.unit for p in parts)
        wrong = next((p.wrong for p in parts if p.wrong), "")
        following = self.said.word(last)
        spaced = any(p.number.spaced for p in parts) and any(units)
        if spaced and not wrong and len(following) > 3 and following.endswith("s"):
            wrong = "the space can part two numbers"
        begin = parts[0].start if start is None else start
        return Size(kind, begin, self.said.end(last), () if wrong else values, units, wrong, 0), last

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

    def _sheet(self, i: int) -> _Found:
        """ "A4", "an a5 notebook": a sheet of paper."""
        if self.said.word(i) not in ("a", "b") or not self.said.glued(i + 1) or not self._starts(i):
            return None
        m = _SHEET.match(self.text, self.said.tokens[i].start)
        return (Size("box", *m.span(), SHEETS[m[0][:2]], ("mm", "mm"), "", 0), self._after(m.end())) if m else None

    def _clothing(self, i: int) -> _Found:
        """ "Size 43", "uk 9": what somebody wears."""
        word, at = self.said.word(i), i + 1
        if word not in ("size", "sizes", *_CLOTHING):
            return None
        while word.startswith("size") and self.said.word(at) in (*_CLOTHING, "us", "number", ":"):
            at += 1
        parts = self._ends(at) or ([p] if (p := self._part(at)) else [])
        if len(parts) == 1 and parts[0].unit == "in" and self.said.kind(parts[0].last) == "word":
            # "Size 42 in deerskin" is no size in inches.
            parts = [parts[0]._replace(unit="", last=parts[0].number.last)]
        if not parts or self.said.word(parts[-1].last) in _BY or not self._whole(parts[-1]):
            return None
        if any(p.unit or p.wrong or not 0 < p.value <= _LARGEST_CLOTHING for p in parts):
            return None
        return self._size_of("clothing", parts, parts[-1].last, self.said.tokens[i].start)

    # -- money

    def _money(self, i: int) -> _Found:
        """A price: "£60", "40 to 60 quid", "a tenner", "350 for materials"."""
        said = self.said
        if said.word(i) in (*_SIGNS, "gbp", "usd", "eur"):
            parts = self._priced(i)
            return self._size_of("money", parts, parts[-1].last, said.tokens[i].start) if parts else None
        if said.word(i) in ("a", "one") and said.word(i + 1) in _NOTES:
            n = Number(_NOTES[said.word(i + 1)], i + 2)
            return self._size_of("money", [_Part(n, n.value, "", said.tokens[i].start, i + 2)], i + 2)
        between = said.word(i) == "between"
        start, first = said.tokens[i].start, self._part(i + between)
        if first is None:
            return None
        parts, last = [first], first.last
        if joined := self._second(first, ("and",) if between else ()):
            parts, last = [first, joined], joined.last
        elif between:
            return None
        if any(p.unit and p.unit not in _POUNDS for p in parts):
            return None
        if said.word(last) in _COINS:
            return self._size_of("money", [p._replace(unit="") for p in parts], last + 1, start)
        if not parts[-1].unit and said.word(last) in _NOTES and len(parts) == 1:
            each = first._replace(value=first.value * _NOTES[said.word(last)])
            return self._size_of("money", [each], last + 1)
        if parts[-1].unit in _POUNDS:
            return self._pounds_or_money(i, parts, last)
        if parts[-1].unit or not self._whole(parts[-1]):
            return None
        if m := _SPENT_ON.match(self.text, said.end(last)):
            return self._size_of("money", parts, self._after(m.end()), start)
        return self._size_of("money", parts, last, start) if self._spending(i, _PAYING) else None

    def _priced(self, i: int) -> list[_Part]:
        """The prices from a sign of money on: "£40", "$25 to $30"."""
        first = self._amount(i + 1)
        if first is None:
            return []
        at = first.last
        if self.said.word(at) in (*_JOINS, "and"):
            signed = self.said.word(at + 1) in _SIGNS
            second = self._amount(at + 1 + signed)
            if second and (signed or self.said.word(at) != "and") and (signed or not self._unit(second.last)):
                return [first, second]
        return [first]

    def _amount(self, i: int) -> _Part | None:
        """An amount of money; "1.2k" is a thousand times as much."""
        n = self.said.number(i)
        if n is None or n.ordinal:
            return None
        many = self.said.glued(n.last) and self.said.word(n.last) == "k"
        value, last = n.value * (1000 if many else 1), n.last + many
        wrong = n.wrong or (UNCLEAR if self.said.glued(last) and self.said.kind(last) == "word" else "")
        return _Part(n, value, "", self.said.tokens[i].start, last, wrong)

    def _spending(self, i: int, words: frozenset[str]) -> bool:
        """Whether a word for spending stands before ``i``, or only a few small words away."""
        at = i - 1
        while at > i - 4 and self.said.word(at) in _FILLERS:
            at -= 1
        return self.said.word(at) in words

    def _pounds_or_money(self, i: int, parts: Sequence[_Part], last: int) -> _Found:
        """Pounds as a price, or as unclear; None where they weigh something."""
        said = self.said
        after = said.word(last)
        near = {said.word(j) for j in (*range(max(0, i - 5), i), *range(last, last + 3))}
        weighed = bool(near & _WEIGHED)
        if self._spending(i, _SPENDING) or after in ("budget", "sterling"):
            return self._size_of("money", [p._replace(unit="") for p in parts], last)
        if said.word(last - 1) == "pound" or after == "of" or said.word(i - 1) in ("a", "an") or self._pounds(i):
            return None
        bought = said.word(i - 1) == "for" and (said.kind(last) != "word" or after in ("for", "and", "or", "in"))
        if bought and not weighed:
            return self._size_of("money", [p._replace(unit="") for p in parts], last)
        if weighed and not bought:
            return None
        return self._size_of("size", [parts[-1]._replace(wrong=_POUNDS_OF, start=parts[0].start)], last)

    # -- ages

    def _age(self, i: int) -> _Found:
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
            if said.word(at) not in (*_JOINS, "and") or not said.number(at + 1):
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
        return at + 3 if self.text.startswith("y/o", self.said.tokens[at].start if self.said.word(at) else 0) and (
            self.said.word(at) == "y") else i  # fmt: skip

    # -- several numbers

    def _second(self, first: _Part, also: Sequence[str] = ()) -> _Part | None:
        """The number joined to ``first`` by a dash, "to" or "or"."""
        if self.said.word(first.last) not in (*_JOINS, *also) or not self._whole(first):
            return None
        return self._glued_part(first.last + 1) if self.said.word(first.last + 1) != "-" else None

    def _ends(self, i: int) -> list[_Part]:
        """Two numbers that are the ends of one span, or nothing."""
        between = self.said.word(i) == "between"
        first = self._part(i + between)
        second = self._second(first, ("and",) if between else ()) if first else None
        if not first or not second or (between and self.said.word(first.last) != "and"):
            return []
        return [first, second]

    def _span(self, i: int) -> _Found:
        """ "3 to 4 mm", "40-45 cm", "between two and three feet": both ends of one kind."""
        parts = self._ends(i)
        if not parts or not self._whole(parts[1]):
            return None
        first, second = parts
        if first.unit and not second.unit and self.said.word(first.last) == "to" and self._closed(second.last):
            parts = [first, second._replace(unit=first.unit)]
        elif not second.unit or (first.unit and not same_kind(first.unit, second.unit)):
            return None
        return self._size_of("span", parts, parts[1].last, self.said.tokens[i].start)

    def _half_said(self, i: int) -> _Found:
        """ "Between one hundred and fifty mm": only one number is found where two are said."""
        part = self._part(i + 1) if self.said.word(i) == "between" else None
        return self._size_of("some", [part._replace(wrong=part.wrong or UNCLEAR)], part.last) if part else None

    def _closed(self, i: int) -> bool:
        """Whether nothing at ``i`` can be what a number before it counts."""
        return self.said.kind(i) in ("", "mark") or self.said.word(i) in _DIMENSIONS

    def _some(self, i: int) -> _Found:
        """ "20 or 30", "between five and eight", "4-6": two numbers without a unit."""
        parts = self._ends(i)
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

    def _box(self, i: int) -> _Found:
        """ "36 x 38 x 12 cm", "12x12", "six by four inches"."""
        parts: list[_Part] = []
        at = i
        while len(parts) < 4:
            part = self._glued_part(at) if parts else self._part(at)
            if part is None:
                break
            parts.append(part)
            if self.said.word(part.last) not in _BY or self._counts(part.last, parts):
                break
            at = part.last + 1
        if len(parts) < 2 or not self._whole(parts[-1]):
            return None
        units = [p.unit for p in parts if p.unit]
        if any(p.number.worded for p in parts) and not units and self.said.word(parts[0].last) != "by":
            return None
        return self._size_of("box", parts, parts[-1].last) if all(same_kind(u, units[0]) for u in units) else None

    def _counts(self, i: int, parts: Sequence[_Part]) -> bool:
        """ "1 1/4 x 22 x8", "0.7 x5": whether the sign at ``i`` stands before a count, unlike the first one."""
        said, first = self.said, parts[0]
        here = said.glued(i), said.glued(i + 1)
        if here != (False, True):
            return False
        if len(parts) > 1:
            return (said.glued(first.last), said.glued(first.last + 1)) != here
        return not first.unit and "." in self.text[first.start : said.end(first.last)]

    def _times(self, i: int) -> _Found:
        """ "X10", "10x": how many."""
        said = self.said
        if said.word(i) == "x" and said.kind(i + 1) == "digits" and self._starts(i):
            n = said.number(i + 1)
            if not n or n.part or said.word(n.last) in (*_BY, "/") or self._unit(n.last) or not n.value.is_integer():
                return None
            part = _Part(n, n.value, "", said.tokens[i].start, n.last, n.wrong)
            return self._size_of("times", [part], n.last) if self._whole(part) else None
        if said.kind(i) != "digits" or not self._starts(i):
            return None
        n = said.number(i)
        if not n or said.word(n.last) != "x" or not n.value.is_integer() or said.kind(n.last + 1) == "digits":
            return None
        return self._size_of("times", [_Part(n, n.value, "", said.tokens[i].start, n.last, n.wrong)], n.last + 1)

    # -- one measure

    def _feet(self, i: int) -> _Found:
        """ "5 ft 6", "5'6", "five foot six inches": feet and inches, given in inches."""
        first = self._part(i)
        if not first or first.unit not in _FEET or first.wrong or not first.value.is_integer():
            return None
        second = self._glued_part(first.last)
        if not second or second.wrong or (second.unit and second.unit not in _INCHES) or not 0 <= second.value < 12:
            return None
        if not second.unit and not (self._whole(second) and (first.unit == "'" or self._closed(second.last))):
            return None
        wrong = ""
        if first.unit != "'" and second.unit and self.said.word(second.last) in ("wide", "thick"):
            wrong = "it can be one size or two; write a comma between two"
        value = first.value * 12 + second.value
        return self._size_of("feet", [first._replace(value=value, unit="in", wrong=wrong)], second.last)

    def _pounds(self, i: int) -> _Found:
        """ "7 lb 4 oz" in pounds, "11 stone 4" too, "2 kg 500 g" in kilograms."""
        said, first = self.said, self._part(i)
        if not first or first.wrong or first.unit not in ("lb", "lbs", *_POUNDS, "stone", "kg"):
            return None
        at = first.last
        at += said.word(at) == "."
        at += said.word(at) == "," and first.unit not in ("stone", "kg")
        at += said.word(at) == "and"
        second = self._part(at) if said.kind(at) in ("digits", "word") else None
        if not second or second.wrong:
            return None
        value, unit = first.value, "lb"
        if first.unit == "stone" and second.value < 14 and (second.unit in ("lb", "lbs", *_POUNDS) or (
            not second.unit and at == first.last and self._whole(second) and self._closed(second.last)
        )):  # fmt: skip
            value = first.value * 14 + second.value
        elif first.unit == "kg" and second.unit in ("g", "gram", "grams") and at == first.last:
            value, unit = first.value + second.value / 1000, "kg"
        elif first.unit not in ("stone", "kg") and second.unit in ("oz", "oz.", "ounce", "ounces"):
            value = first.value + second.value / 16
        else:
            return None
        return self._size_of("pounds", [first._replace(value=value, unit=unit)], second.last)

    def _size(self, i: int) -> _Found:
        """One number with its unit, and the half or the eighth said after it."""
        part = self._part(i)
        if part is None or not part.unit:
            part = self._unit_alone(i)
        if part is None:
            return None
        if part.unit == "in" and not part.wrong and _NO_INCH.match(self.text, self.said.end(part.last)):
            return self._size_of("bare", [part._replace(unit="")], part.number.last)
        if part.unit == '"' and self.text[: part.start].endswith('"'):
            return self._size_of("bare", [part._replace(unit="")], part.number.last)
        return self._with_tail(part)

    def _with_tail(self, part: _Part) -> tuple[Size, int]:
        """ "An inch and a quarter", "1 inch 3/8": the part that is said after the unit."""
        said, last = self.said, part.last
        joined = said.word(last) in ("and", "&", "+")
        at = last + joined
        more = said.number(at) if said.part_follows(at) and (joined or not said.glued(at)) else None
        whole = part.value.is_integer() and not part.wrong
        if not more or more.wrong or not whole or self._unit(more.last) or self._in_a_row(at, more.last):
            return self._size_of("size", [part], last)
        return self._size_of("size", [part._replace(value=part.value + more.value)], more.last)

    def _in_a_row(self, i: int, last: int) -> bool:
        """ "One inch and a third strap": a place in a row, not a part of an inch."""
        article = self.said.word(i) in ("a", "an")
        return article and self.said.word(i + 1) not in ("half", "quarter") and not self._closed(last)

    def _unit_alone(self, i: int) -> _Part | None:
        """ "An inch", "a foot", "inch and a half", "foot wide": one of a unit that no number stands before."""
        said, word = self.said, self.said.word(i)
        article = word in ("a", "an")
        at = i + article + (article and said.hyphen(i + 1))
        unit = said.word(at)
        if unit not in _ALONE or not self._starts(i):
            return None
        one = Number(1.0, at + 1, worded=True)
        factor, name = _MULTIPLES.get(unit, (1.0, unit))
        wrong = ""
        if article and said.word(i - 1) == "of" and said.word(i - 2) not in ("width", "length", "height", "depth"):
            wrong = "it does not say what part of it"
        if not article:
            tail = said.word(at + 1) == "and" and said.part_follows(at + 2)
            if not tail and said.word(at + 1) not in _DIMENSIONS:
                return None
        return _Part(one, factor, name, said.tokens[i].start, at + 1, wrong)

    def _bare(self, i: int) -> _Found:
        """A number without a unit: a count, or a part such as 1/2; not "half" or "a third" alone."""
        part = self._part(i)
        if part is None or part.unit or not self._whole(part):
            return None
        alone = part.number.part and self.said.word(i) in ("half", "quarter", "a", "an")
        return None if alone and not part.wrong else self._size_of("bare", [part], part.last)


_OPENING = STARTS | _ALONE | _CLOTHING | {
    "between", "age", "aged", "ages", "minus", "x", "size", "sizes", "b", "gbp", "usd", "eur", "no", "nr", "number",
}  # fmt: skip
_OPENING_MARKS = _SIGNS | {"-", "#"}

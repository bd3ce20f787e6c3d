"""One number as people write it, in digits or in words, with the fractions and the dozens that belong to it.

The grammar of English number words is small, and what is wanted of it here no library gives: where a number stands,
fractions of an inch, dozens, digits mixed with words, and above all what is *not* to be read. A number beside which
another number or fraction word was not understood ("two fifty") comes back as unreadable. ``num2words`` writes the
numbers that the tests read.
"""

from __future__ import annotations

import re
import unicodedata
from typing import NamedTuple

from ..leather.units import is_unit

_SMALL = {
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
}
_TENS = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fourty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
_SCALES = {"thousand": 1_000, "million": 1_000_000}
_MULTIPLES = ("hundred", *_SCALES)
_DOZENS = ("dozen", "dozens", "doz")
SPELT = {**_SMALL, **_TENS, "dozen": 12, "hundred": 100, "thousand": 1_000}
_ORDINALS = {
    "first": 1,
    "second": 2,
    "third": 3,
    "fourth": 4,
    "fifth": 5,
    "sixth": 6,
    "seventh": 7,
    "eighth": 8,
    "ninth": 9,
}
# Words for a part of a whole that are ordinals too: "an eighth of an inch", but "the eighth belt".
_PARTS = {
    **{word: n for word, n in _ORDINALS.items() if n > 2},
    "tenth": 10,
    "eleventh": 11,
    "twelfth": 12,
    "thirteenth": 13,
    "fourteenth": 14,
    "fifteenth": 15,
    "sixteenth": 16,
    "seventeenth": 17,
    "eighteenth": 18,
    "nineteenth": 19,
    "twentieth": 20,
    "thirtieth": 30,
    "fortieth": 40,
    "fiftieth": 50,
    "sixtieth": 60,
    "hundredth": 100,
    "thousandth": 1000,
}
_SURE_PARTS = {"half": 2, "quarter": 4}
_MANY_PARTS = {"halves": 2, "quarters": 4, **{f"{word}s": n for word, n in _PARTS.items()}}
_ORDINAL_ENDS = frozenset((*_ORDINALS, *_PARTS))
_VAGUE = frozenset(("few", "several", "many", "some", "couple", "baker's", "bakers"))
_ARTICLES = ("a", "an")
_ANDS = ("and", "&", "+")
_NUMBER_WORDS = frozenset(
    (
        *SPELT,
        *_SCALES,
        *_DOZENS,
        *_SURE_PARTS,
        *_MANY_PARTS,
        "hundreds",
        "thousands",
        "millions",
        "point",
        "oh",
        "thou",
        "zero",
    )
)
VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒"
# What may begin a number, besides digits.
STARTS = frozenset((*SPELT, *_SCALES, *_DOZENS, *_SURE_PARTS, *_MANY_PARTS, *_PARTS, *_ARTICLES, "couple", "zero"))

UNCLEAR = "it can be more than one number; write it in digits"
_TOO_LONG = "the number is too long"
_LONGEST = 9
_TOKEN = re.compile(
    rf"(?P<digits>[0-9]+(?:[.,][0-9]+)*|(?<![\w.,/])[.,][0-9]+)|(?P<word>[^\W\d_{VULGAR}]+(?:'[^\W\d_{VULGAR}]+)*)"
    rf"|(?P<vulgar>[{VULGAR}])|(?P<mark>\S)"
)


class Token(NamedTuple):
    """A stretch of digits, a word, a fraction sign or a mark (``kind``), and where it stands."""

    text: str
    start: int
    end: int
    kind: str


class Number(NamedTuple):
    """A number at the tokens up to ``last``: its value, or why it cannot be read (``wrong``).

    ``worded``: no digit is in it. ``part``: it is a fraction alone. ``comma`` and ``spaced``: thousands are parted by a
    comma, so that it could be a decimal, or by a space, so that it could be two numbers. ``ordinal``: it is a place in
    a row and no quantity.
    """

    value: float
    last: int
    worded: bool = False
    part: bool = False
    comma: bool = False
    spaced: bool = False
    ordinal: bool = False
    wrong: str = ""


class Numbers:
    """The tokens of a text in lower case with plain marks, and the number that begins at any of them."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens = [Token(m.group(), *m.span(), str(m.lastgroup)) for m in _TOKEN.finditer(text)]
        self._words = {i: t.text for i, t in enumerate(self.tokens)}
        self._known: dict[int, Number | None] = {}

    def word(self, i: int) -> str:
        """The text of the token at ``i``, or nothing outside the text."""
        return self._words.get(i, "")

    def kind(self, i: int) -> str:
        """The kind of the token at ``i``, or nothing outside the text."""
        return self.tokens[i].kind if 0 <= i < len(self.tokens) else ""

    def end(self, last: int) -> int:
        """Where the tokens before ``last`` end in the text."""
        return self.tokens[last - 1].end

    def glued(self, i: int) -> bool:
        """Whether nothing stands between the token at ``i`` and the one before it."""
        return 0 < i < len(self.tokens) and self.tokens[i - 1].end == self.tokens[i].start

    def hyphen(self, i: int) -> bool:
        """Whether the token at ``i`` is a hyphen that joins two words."""
        return self.word(i) == "-" and self.glued(i) and self.glued(i + 1)

    def after(self, i: int) -> int:
        """The token that goes on with what ended before ``i``, past a hyphen that joins them."""
        return i + 1 if self.hyphen(i) else i

    def number(self, i: int) -> Number | None:
        """The number that begins at the token ``i``; None where none does."""
        if i not in self._known:
            found = self._begun(i)
            self._known[i] = self._alone(found) if found and not found.wrong else found
        return self._known[i]

    def part_follows(self, i: int) -> bool:
        """Whether a fraction alone, below one, begins at ``i``."""
        found = self._part(i)
        return found is not None and 0 < found.value < 1

    # -- whole numbers and what is added to them

    def _begun(self, i: int) -> Number | None:
        if self.kind(i) == "digits":
            return self._part(i) or self._added(self._digits(i))
        if self.kind(i) == "vulgar":
            return self._part(i)
        if self.word(i) not in STARTS:
            return None
        if last := self._couple(i):
            return Number(2.0, last, worded=True)
        if part := self._part(i):
            return self._dozens(part)
        if self.word(i - 1) in _VAGUE and self.word(i) in (*_MULTIPLES, "dozen"):
            return Number(0.0, i + 1, worded=True, wrong="it does not say how many")
        whole = self._cardinal(i)
        return self._added(Number(*whole, worded=True)) if whole else None

    def _couple(self, i: int) -> int:
        """The token after "a couple of"; 0 where it does not begin at ``i``."""
        at = i + (self.word(i) in _ARTICLES)
        said = self.word(at) == "couple" and self.word(at + 1) == "of"
        # "A couple of them" keeps its "of", as "two of them" does.
        return at + 1 + (self.word(at + 2) not in ("them", "these", "those")) if said else 0

    def _added(self, n: Number) -> Number:
        """With the fraction, the decimals or the multiple that belongs to a whole number."""
        if n.wrong or n.part:
            return n
        if self.word(n.last) == "point":
            return self._pointed(n)
        n = self._scaled(n)
        if not n.value.is_integer():
            return self._dozens(n)
        at = self.after(n.last)
        if self.word(at) in _ANDS:
            at = self.after(at + 1)
            part = self._part(at)
            sure = self.word(at) not in _ARTICLES or (part and self._sure(self.after(at + 1), part.last))
            if part and part.value < 1 and sure:
                n = n._replace(value=n.value + part.value, last=part.last)
        return self._dozens(n)

    def _sure(self, i: int, last: int) -> bool:
        """Whether "a third", which ends before ``last``, is a part and not a place in a row."""
        word = self.word(last)
        return self.word(i) in _SURE_PARTS or self.kind(last) != "word" or is_unit(word) or not word.endswith("s")

    def _pointed(self, n: Number) -> Number:
        """ "12 point 5", "twelve point two five"."""
        at, figures = n.last + 1, ""
        while len(figures) < _LONGEST:
            here = "0" if self.word(at) == "zero" else str(_SMALL.get(self.word(at), ""))
            if len(here) == 1:
                figures += here
                at += 1
                continue
            if not figures and self.kind(at) == "digits" and self.word(at).isdecimal():
                figures, at = self.word(at), at + 1
            break
        if not figures or not n.value.is_integer():
            return n._replace(last=n.last + 1, wrong=UNCLEAR)
        return n._replace(value=float(f"{int(n.value)}.{figures[:_LONGEST]}"), last=at)

    def _scaled(self, n: Number) -> Number:
        """ "2 hundred and fifty", "1.5 thousand": digits and a word for a multiple."""
        at = self.after(n.last)
        scale = {"hundred": 100, **_SCALES}.get(self.word(at), 0)
        if n.worded or not scale:
            return n
        n = n._replace(value=n.value * scale, last=at + 1)
        rest = self._cardinal(self._joint(n.last))
        return n._replace(value=n.value + rest[0], last=rest[1]) if rest and rest[0] < scale else n

    def _dozens(self, n: Number) -> Number:
        """ "Half a dozen", "3 dozen", "two and a half dozen"."""
        at = self.after(n.last)
        at += n.part and self.word(at) in _ARTICLES
        if self.word(at) in _DOZENS:
            return n._replace(value=n.value * 12, last=at + 1, part=False)
        return n

    def _joint(self, i: int) -> int:
        """The token after the "and" that may join two parts of a number."""
        at = self.after(i)
        return self.after(at + 1) if self.word(at) == "and" else at

    def _cardinal(self, i: int) -> tuple[float, int] | None:
        """A whole number in words and the token after it."""
        if self.word(i) == "zero":
            # "Below zero" counts nothing.
            return (0.0, i + 1) if self.word(i + 1) == "point" else None
        if self.word(i) in _DOZENS or (self.word(i) in _ARTICLES and self.word(i + 1) in _DOZENS):
            return 12.0, i + 1 + (self.word(i) in _ARTICLES)
        total, at, last, limit = 0.0, i, 0, 1_000_000_000
        while part := self._under_thousand(at, first=not last):
            scale = _SCALES.get(self.word(self.after(part[1])), 0)
            if scale >= limit or (not scale and last and part[0] >= limit):
                break
            total, last = total + part[0] * (scale or 1), self.after(part[1]) + 1 if scale else part[1]
            if not scale:
                break
            limit = scale
            comma = self.word(last) == "," and "hundred" in (self.word(last + 2), self.word(last + 3))
            at = last + 1 if comma else self._joint(last)
        return (total, last) if last else None

    def _under_thousand(self, i: int, *, first: bool) -> tuple[float, int] | None:
        """ "Three hundred and five", "twelve hundred", "a hundred", "hundred", or less than a hundred."""
        article = self.word(i) in _ARTICLES
        if article and self.word(self.after(i + 1)) in _MULTIPLES:
            below: tuple[float, int] | None = (1.0, i + 1)
        elif first and self.word(i) in _MULTIPLES:
            below = (1.0, i)
        else:
            below = self._under_hundred(i)
        if not below or self.word(self.after(below[1])) != "hundred":
            return below
        value, last = below[0] * 100, self.after(below[1]) + 1
        rest = self._under_hundred(self._joint(last))
        if rest and self.word(self.after(rest[1])) != "hundred" and not self._divisor(self.after(rest[1])):
            return value + rest[0], rest[1]
        return value, last

    def _under_hundred(self, i: int) -> tuple[float, int] | None:
        word = self.word(i)
        if word in _SMALL:
            return float(_SMALL[word]), i + 1
        if word not in _TENS:
            return None
        at = self.after(i + 1)
        ones = _SMALL.get(self.word(at), 10)
        return (float(_TENS[word] + ones), at + 1) if ones < 10 else (float(_TENS[word]), i + 1)

    # -- digits

    def _digits(self, i: int) -> Number:
        """A number that begins with digits: 38, 1.5, 1 1/2, 1-1/2, 5/8, 1½, 1 200."""
        text = self.word(i)
        if text.isdecimal():
            if self.kind(i + 1) == "vulgar":
                return Number(int(text[-_LONGEST:]) + unicodedata.numeric(self.word(i + 1)), i + 2)
            at = self.after(i + 1)
            if (at > i + 1 or not self.glued(at)) and (part := self._fraction(at)):
                return part._replace(value=int(text[-_LONGEST:]) + part.value, part=False)
            if grouped := self._grouped(i):
                return grouped
        return _plain(text, i + 1)

    def _fraction(self, i: int) -> Number | None:
        """Digits over digits, as 5/8 or 1/8th."""
        if not (self.word(i).isdecimal() and self.word(i + 1) == "/" and self.kind(i + 2) == "digits"):
            return None
        top, bottom, last = self.word(i), self.word(i + 2), i + 3
        if self.word(last) in ("th", "ths", "nd", "nds", "rd", "rds") and self.glued(last):
            last += 1
        if max(len(top), len(bottom)) > _LONGEST:
            return Number(0.0, last, part=True, wrong=_TOO_LONG)
        if not bottom.isdecimal():
            return Number(0.0, last, part=True, wrong=UNCLEAR)
        if int(bottom) == 0:
            return Number(0.0, last, part=True, wrong=f"{top}/{bottom} divides by zero")
        return Number(int(top) / int(bottom), last, part=True)

    def _grouped(self, i: int) -> Number | None:
        """Thousands parted by single spaces, as ISO 80000-1 writes them (from memory)."""
        if len(self.word(i)) > 3 or self.word(i).startswith("0"):
            return None
        figures, last = self.word(i), i + 1
        while last < len(self.tokens) and self.tokens[last].start == self.tokens[last - 1].end + 1:
            group = re.fullmatch(r"([0-9]{3})((?:\.[0-9]+)?)", self.word(last))
            if not group or self._fraction(last):
                break
            figures, last = figures + group[0], last + 1
            if group[2]:
                break
        return _plain(figures, last)._replace(spaced=True) if last > i + 1 else None

    # -- parts of a whole

    def _part(self, i: int) -> Number | None:
        """A fraction alone: 5/8, ½, five-eighths, a quarter, half, three thirty-seconds."""
        if self.kind(i) == "vulgar":
            return Number(unicodedata.numeric(self.word(i)), i + 1, part=True)
        if self.kind(i) == "digits" and (written := self._fraction(i)):
            return written
        word = self.word(i)
        if word in _SURE_PARTS:
            return Number(1 / _SURE_PARTS[word], i + 1, worded=True, part=True)
        if word in _ARTICLES:
            over = self._divisor(self.after(i + 1))
            return Number(1 / over[0], over[1], worded=True, part=True) if over and not over[2] else None
        top: tuple[float, int] | None = self._under_hundred(i)
        if self.kind(i) == "digits" and word.isdecimal() and len(word) < 3:
            top = float(word), i + 1
        if not top or not (over := self._divisor(self.after(top[1]))):
            return None
        # "Twenty-fifth" is a place in a row, "five eighth inch" can be five of an eighth.
        joined = self.hyphen(top[1]) and top[0] < 20
        three = top[0] == 3 and over[0] == 4 and word == "three" and not self._adjective(self.after(top[1]))
        clear = over[2] or top[0] == 1 or joined or three
        return Number(top[0] / over[0], over[1], worded=word in _NUMBER_WORDS, part=True) if clear else None

    def _divisor(self, i: int) -> tuple[int, int, bool] | None:
        """What a part is one of (8 in "eighths"), the token after it, and whether it is a plural."""
        word = self.word(i)
        if n := _MANY_PARTS.get(word):
            return n, i + 1, True
        if n := _SURE_PARTS.get(word) or _PARTS.get(word):
            return n, i + 1, False
        ones = self.word(self.after(i + 1))
        if word in _TENS and (n := _ORDINALS.get(ones.removesuffix("s"))):
            return _TENS[word] + n, self.after(i + 1) + 1, ones.endswith("s")
        return None

    # -- what must not stand beside a number

    def _adjective(self, i: int) -> bool:
        """ "Two one-inch straps", "four half-inch rings": a word for a number tied to the word after it."""
        found = self._begun(i)
        return bool(found and not found.wrong and self.hyphen(found.last) and self.kind(found.last + 1) == "word")

    def _alone(self, n: Number) -> Number:
        """Unreadable, with all that belongs to it, where a number word beside it was not understood."""
        ordinal = self._ordinal(n)
        if ordinal > n.last:
            return n._replace(last=ordinal, ordinal=True)
        if self._one_or_two(n):
            return n._replace(wrong=UNCLEAR)
        return n._replace(last=self._run(n.last), wrong=UNCLEAR) if self._beside(n) else n

    def _ordinal(self, n: Number) -> int:
        """The token after "twenty-first" or "one hundred and fifth"; that after the number where it is none."""
        at = self.after(n.last)
        if n.worded and not n.part and self.word(n.last - 1) in (*_TENS, *_MULTIPLES):
            at = self.after(at + 1) if self.word(at) == "and" else at
            if self.word(at) in _ORDINAL_ENDS:
                return at + 1
        return n.last

    def _one_or_two(self, n: Number) -> bool:
        """ "Thirty eight-mm" is 38 mm, or thirty of 8 mm."""
        first, second = self.word(n.last - 2), self.word(n.last - 1)
        tied = self.hyphen(n.last) and self.kind(n.last + 1) == "word" and self.word(n.last + 1) not in _NUMBER_WORDS
        return first in _TENS and second in _SMALL and tied

    def _beside(self, n: Number) -> bool:
        """Whether a number or fraction word stands right after a number and is no number of its own."""
        at, tied = self.after(n.last), self.hyphen(n.last)
        word, multiple = self.word(at), self.word(n.last - 1) in _MULTIPLES
        if word in _SURE_PARTS:
            return tied or not self._adjective(at) or (n.value == 3 and word == "quarter")
        if word in _NUMBER_WORDS:
            return n.value < 20 and word in _TENS if tied else not self._adjective(at)
        if word == "and":
            a_bit = (self.word(at + 1), self.word(at + 2)) == ("a", "bit")
            return a_bit or (multiple and self.kind(at + 1) == "digits")
        if self.kind(at) in ("digits", "vulgar") and not tied:
            return multiple or (self.word(n.last - 1) not in (*_DOZENS, "of") and self.part_follows(at))
        return word in _PARTS and not n.part

    def _run(self, i: int) -> int:
        """The token after all number words that follow from ``i`` on."""
        while True:
            at = self.after(i)
            joined = self.word(at) in _ANDS or self.word(at) in _ARTICLES
            at = self.after(at + 1) if joined else at
            at += joined and self.word(at) in _ARTICLES
            known = self.word(at) in _NUMBER_WORDS or self.word(at) in _PARTS or self._divisor(at)
            if not known and not (joined and self.word(at) == "bit") and self.kind(at) not in ("digits", "vulgar"):
                return i
            i = at + 1


def _plain(text: str, last: int) -> Number:
    """Digits with their decimals and thousands; ``1,200`` counts as thousands, but is marked."""
    if sum(c.isdecimal() for c in text) > _LONGEST:
        return Number(0.0, last, wrong=_TOO_LONG)
    if text.isdecimal():
        return Number(float(text), last)
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", text):
        return Number(float(text.replace(",", "")), last, comma=True)
    if re.fullmatch(r"[0-9]*[.,][0-9]+", text):
        return Number(float(text.replace(",", ".")), last)
    if re.fullmatch(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?", text):
        return Number(float(text.replace(",", "")), last)
    if re.fullmatch(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+(?:,[0-9]+)?", text):
        return Number(float(text.replace(".", "").replace(",", ".")), last)
    return Number(0.0, last, wrong=UNCLEAR)


MOST_COUNTED = 999
"""Beyond this a number counts no pieces of a thing."""


def first_count(text: str) -> int | None:
    """The first number of a text, in lower case, that can count things, from 1 to 999; None where none can.

    "One" in words counts none: "which one". A pair are two.
    """
    numbers = Numbers(text)
    i = 0
    while i < len(numbers.tokens):
        if numbers.word(i) in ("pair", "couple") and numbers.word(i - 1) in _ARTICLES:
            return 2
        found = numbers.number(i)
        counts = found and not (found.wrong or found.part or found.ordinal) and found.value.is_integer()
        if found and counts and 1 + found.worded <= found.value <= MOST_COUNTED:
            return int(found.value)
        i = found.last if found else i + 1
    return None

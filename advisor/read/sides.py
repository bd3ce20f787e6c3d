"""Which side of a thing a size is, by the plain words right beside it: "two wide", "36 round the outside"."""

from __future__ import annotations

from collections.abc import Sequence

from . import lexicon as lex
from .numbers import Size
from .roles import Roles
from .sayings import Found
from .sentence import Sentence

GENERAL = ("width", "length", "height", "depth")
"""The measures that a thing without a pattern can have too, in the order in which they are preferred."""
SIDEWAYS = ("width", "height", "depth")
"""Those of them that are no length."""
SIDES = {
    **dict.fromkeys(("wide", "broad", "across", "diameter", "width", "round"), "width"),
    **dict.fromkeys(("long", "length"), "length"),
    **dict.fromkeys(("high", "height", "tall", "drop"), "height"),
    **dict.fromkeys(("deep", "depth"), "depth"),
}
"""Words of plain English right beside a number, and the side that each means."""
STAND_INS = {"length": ("width", "height", "depth"), "height": ("length",), "depth": ("height",)}
"""The sides that a word of another one may mean of a thing that has not got that: a bag "40 cm long" is so wide."""
ROUND = ("round", "around")
_GIRTH = ("circumference", "girth")
_OUTSIDE = frozenset(("the", "it", "his", "her", "my", "its", "their", "our", "him", "them", "where", "at", "outside"))
"""Words behind "round" by which it is no shape."""
_OTHER_SIDE = {"width": "length", "length": "width", "height": "width", "depth": "width"}
"""What the second size of "six foot long by half an inch" is."""
_BY = ("by", "x")
_BOUNDS = ("min", "max", "minimum", "maximum")
_REACH = 6
"""How many words may stand between a comparison and the size of what it is with."""
_NOUNS = 4
"""Within how many words of a side the plural must stand that a number counts."""
_LESS = ("narrower", "shorter", "lower", "shallower", "thinner")


class Sides:
    """Finds the side of each size of one sentence; ``told`` are the phrases in it that say what a number measures."""

    def __init__(self, said: Sentence, told: Sequence[Found]) -> None:
        self.said, self.told = said, told

    def side(self, s: Size) -> str:
        """The side that the words right beside a size name, "" where they name none or one round the outside."""
        said, word, after = self.said, self.said.word(s.at), s.at + 1
        if self.goes_round(s):
            return ""
        if s.kind == "bare" and self.counted(s):
            return ""
        if s.kind == "bare" and said.text[s.start : s.end].lower() == "one" and not said.ends(after):
            # "Just the one wide piece".
            return ""
        if word in _BOUNDS:
            # "46 min length".
            word = said.word(after)
        if name := SIDES.get(lex.COMPARED.get(word, word), ""):
            return name
        if compared := self.compared(s)[0]:
            return compared
        if (other := self.second_of_two(s)) or said.word(s.at - 1) in _BY:
            return other
        before = s.at - 1
        while before >= 0 and said.word(before) in lex.ABOUT | {"say", "some"}:
            before -= 1
        for f in self.told:
            own = any(o.at == f.first for o in said.sizes if o != s)
            if f.meaning[0] in GENERAL and ((f.last == before + 1 and not own) or f.first == s.at):
                return f.meaning[0]
        word = said.word(before)
        return SIDES.get(word, "") if word in GENERAL or word == "diameter" else ""

    def counted(self, s: Size) -> bool:
        """ "Six round coasters", "two long side straps": whether a side only describes what a number counts."""
        roles, word = Roles(self.said), self.said.word(s.at)
        named = lex.COMPARED.get(word, word) in SIDES
        thing = self.said.owner.get(s.at)
        if thing and thing.attribute == "item" and self.said.tokens[thing.last - 1].plural and s.values[0] > 1:
            # "Four drop-in seats".
            return True
        for i in range(s.at + 1, s.at + 1 + _NOUNS):
            if not named or not roles.joined(i) or self.said.ends(i) or any(o.at == i for o in self.said.sizes):
                return False
            if self.said.tokens[i].plural and not self.said.tokens[i].owner:
                return i == s.at + 1 or s.values[0] > 1
        return False

    def compared(self, s: Size) -> tuple[str, str]:
        """ "No wider than the old one, which is 1 1/4": the side, and its "low" or "high" end, or two blanks."""
        said, i = self.said, s.at - 1
        while i >= 0 and said.word(i) in lex.ABOUT:
            i -= 1
        if said.word(i) not in ("which", "that", "it", "one", "(") or (i == s.at - 1 and said.word(i) != "("):
            return "", ""
        for than in range(i - 1, max(-1, i - 1 - _REACH), -1):
            if said.word(than) in ".;!?":
                break
            side = SIDES.get(lex.COMPARED.get(said.word(than - 1), ""), "")
            if said.word(than) == "than" and side:
                less = said.word(than - 1) in _LESS
                return side, "high" if less != (said.word(than - 2) in lex.NO) else "low"
        return "", ""

    def second_of_two(self, s: Size) -> str:
        """The side of the second size of "six foot long by half an inch", "" where none is said so."""
        said, by = self.said, s.at - 1
        named = lex.COMPARED.get(said.word(s.at), said.word(s.at)) in SIDES
        if named or said.word(by) not in _BY or not any(o.at == by - 1 for o in said.sizes):
            return ""
        return _OTHER_SIDE.get(SIDES.get(said.word(by - 1), ""), "")

    def goes_round(self, s: Size) -> bool:
        """ "Four inches round and 9 long", "14 in circumference": whether a size goes round the outside of a thing."""
        said, at = self.said, s.at
        for i in range(max(0, at - 3), at + 2):
            named = (owner := said.owner.get(i)) is not None and owner.attribute == "item"
            if said.word(i) in _GIRTH and not named and not self.between(s, i):
                return True
        whole = said.words[at : at + 2] == ["all", "the"]
        at += 3 if whole else 0
        if said.word(at if not whole else at - 1) not in (*ROUND, *(("way",) if whole else ())):
            return False
        if whole or said.word(at) == "around" or said.word(at + 1) in _OUTSIDE:
            return True
        long_too = any(SIDES.get(said.word(o.at)) in GENERAL for o in said.sizes if o != s)
        return long_too and (said.ends(at + 1) or said.word(at + 1) in ("and", ","))

    def between(self, s: Size, at: int) -> int:
        """How many other sizes stand between a size and the words before or after the place ``at``."""
        before = sum(o.start < s.start and at <= o.at for o in self.said.sizes)
        after = sum(o.start > s.start and o.at <= at for o in self.said.sizes)
        return before if at < s.at or (at == s.at and not after) else after

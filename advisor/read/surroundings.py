"""Sizes of what a thing stands beside, lies on or holds many of: "the desk is 160 wide", "for a hallway 90 cm wide".

They are said back and are no sizes of the thing, unless it is made to cover what is measured.
"""

from __future__ import annotations

from . import lexicon as lex
from .hints import usual_sizes
from .notes import Notes
from .numbers import Size, fits
from .sides import SIDES

LOAD = "load_mass"
_IS = lex.folded("is are was were measures thats which that whose being isnt arent only just about")
_LOOSE = lex.folded("about around roughly approx only just nearly almost some say at over under : (")
_ANDED = frozenset(("and", ",", "by", "x", "&"))
_ARTICLES = lex.folded("a an the my our his her their your this that its old new little small big large")
_BEHIND = lex.folded(
    "for in on to of by beside under over from against inside behind between near at onto into across along"
)
_BACK = 5
"""Within how many words before a noun what is made to cover it must be named."""


class Surroundings:
    """Finds the sizes in one sentence that are not of the thing; ``item`` is the thing being made, if it is known."""

    def __init__(self, notes: Notes, item: str | None) -> None:
        self.notes, self.said, self.item = notes, notes.said, item
        self.known = usual_sizes(notes.base)
        self.beside = self.known.places | self.known.furniture

    def note(self) -> None:
        """Keeps each such size as it was said, so that nothing else is read of it."""
        last = -1
        for s in self.said.sizes:
            if not s.values or s.wrong or s.kind not in ("size", "span", "box", "bare", "feet", "some"):
                continue
            noun = self._subject(s) if not self._borne(s) else None
            if noun is None and last >= 0 and self._goes_on(s, last):
                noun = last
            last = -1
            if noun is None or (s.kind == "bare" and not self._sided(s)):
                continue
            first = s.at if noun == last else min(noun, s.at)
            last = s.at
            end = s.at + (self.said.word(s.at) in SIDES)
            start = min(self.said.tokens[first].start, s.start) if first < len(self.said.tokens) else s.start
            stop = max(s.end, self.said.span(first, max(end, first + 1))[1]) if first < len(self.said.tokens) else s.end
            words = self.notes.text(start, stop)
            self.notes.point(f"beside {words}", (start, stop), f"beside it: {words}")
            self.notes.aged.add(s.start)
            self.notes.used.update(range(first, max(end, first + 1)))

    def _sided(self, s: Size) -> bool:
        """Whether a number without a unit is a size at all, and no count."""
        return self.said.word(s.at) in SIDES or bool(s.unit)

    def _borne(self, s: Size) -> bool:
        """ "To hang a 40 kilo chest": whether a mass is what hangs, where that is a danger."""
        load = self.notes.base.attributes.get(LOAD)
        return any(d.concept in self.known.bearing for d in self.notes.dangers) and bool(
            s.unit and load and fits(s.unit, load)
        )

    def _goes_on(self, s: Size, last: int) -> bool:
        """ "160 wide and 80 deep": whether a size goes on with the one that ended at the word ``last``."""
        between = self.said.words[last : s.at]
        return bool(between) and len(between) <= 2 and set(between) <= _ANDED | SIDES.keys() and self._sided(s)

    def _subject(self, s: Size) -> int | None:
        """The noun that is no thing to be made and that a size is said of."""
        said, i = self.said, s.at - 1
        while i >= 0 and said.word(i) in _LOOSE:
            i -= 1
        verb = i
        while verb >= 0 and said.word(verb) in _IS:
            verb -= 1
        told = verb < i or (i >= 0 and said.tokens[i].owner)
        if told and said.word(verb) == "," and said.word(verb + 1) in ("which", "that"):
            verb -= 1
        noun = verb if told else i
        if noun >= 0 and self._other(noun, told):
            return noun
        if s.kind != "bare" and s.at < len(said.words) and said.word(s.at) in self.beside:
            # "A 6 ft table": the size stands before the noun.
            gap = said.text[s.end : said.tokens[s.at].start]
            covered = s.at + 1 < len(said.words) and said.owner.get(s.at + 1)
            lead = said.word(s.at - 1) in _ARTICLES and not gap.strip(" -") and not covered
            return s.at if lead and self._leads(s.at - 1) and not self._covered(s.at) else None
        return None

    def _other(self, noun: int, told: bool) -> bool:
        """Whether the word at ``noun`` is such a noun, told something of or standing behind a preposition."""
        said, word = self.said, self.said.word(noun)
        taken = self.notes.named.taken
        if taken and taken.first <= noun < taken.last:
            return False
        if word in self.beside:
            return (told or self._leads(noun)) and not self._covered(noun)
        many = told and said.tokens[noun].plural and word not in self.known.called_in_pairs
        return many and bool(taken) and word not in lex.STOP and self._holds_many()

    def _holds_many(self) -> bool:
        """Whether several others are kept in what is made."""
        taken = self.notes.named.taken
        names = {self.said.word(taken.last - 1), lex.words_and_marks(taken.thing.name)[-1]} if taken else set[str]()
        return not self.known.holds_many.isdisjoint(names)

    def _leads(self, noun: int) -> bool:
        """Whether a preposition leads to the noun phrase that ends at ``noun``."""
        i = noun - 1
        while i >= 0 and (self.said.word(i) in _ARTICLES or not self.said.ends(i)) and noun - i < _BACK:
            if self.said.word(i) in _BEHIND:
                break
            i -= 1
        return i >= 0 and self.said.word(i) in _BEHIND

    def _covered(self, noun: int) -> bool:
        """Whether what is made covers the noun, so that its size is the thing's own."""
        said, word = self.said, self.said.word(noun)
        named = [self.notes.named.taken] if self.notes.named.taken else list(self.notes.named.candidates[:1])
        names = {w for c in named if c for w in (*lex.words_and_marks(c.thing.name), *lex.words_and_marks(c.words))}
        if word in names and not names.isdisjoint(self.known.covering):
            return True
        first = noun
        while first > 0 and noun - first < _BACK and said.word(first - 1)[0].isalnum():
            first -= 1
        near = {*said.words[first:noun], *(() if said.ends(noun + 1) else (said.word(noun + 1),))}
        return not near.isdisjoint(self.known.covering)

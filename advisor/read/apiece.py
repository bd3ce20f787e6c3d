"""Counts of what each piece goes on: "pulls for eight drawers" are eight pulls, "belts for both my boys" two."""

from __future__ import annotations

from ..errors import shown
from ..leather.units import number
from ..rulebase.words import words_of
from . import lexicon as lex
from .ages import ages
from .hints import usual_sizes
from .notes import Notes
from .numbers import Size

_FOR = frozenset(("for", "on", "onto"))
_WHOSE = frozenset(("my", "our", "the", "his", "her", "their", "these", "those", "all", "of", "each"))
_BACK = 4
"""Over how many words the preposition may stand behind the things: "pulls, brass screw, for six doors"."""
_REACH = 4
"""Within how many words of the number the noun must stand that it counts."""


class Apiece:
    """Tells counts of what the pieces go on, one each; ``item`` is the thing being made, if it is known."""

    def __init__(self, notes: Notes, item: str | None) -> None:
        self.notes, self.said, self.item = notes, notes.said, item
        self.places = usual_sizes(notes.base).places

    def of_each(self, s: Size) -> int:
        """Where the noun ends of which each gets one piece, so many as ``s`` says; 0 where none is said so."""
        whole = s.values[0] >= 2 and s.values[0].is_integer()
        if not whole or self.said.scope(s.at)[0]:
            return 0
        before = self._before(s.at)
        group = ages(self.notes.base).groups
        if self.said.word(s.at - 1) == "of" and self.said.word(s.at - 2) in group and self.said.ends(s.at):
            # "Tags for a family of five".
            before = self._before(s.at - 2, lex.folded("a an the our my his her whole"))
            if before and self._pieces(before):
                self.notes.used.add(s.at - 2)
                return s.at
            return 0
        last = self._counted(s.at)
        return last if last and ((before and self._pieces(before)) or self._called_before(s, last)) else 0

    def both(self) -> tuple[int, int] | None:
        """The words of "both my watches" behind the pieces for them; None where nothing of the kind is said."""
        for i, word in enumerate(self.said.words):
            last = self._counted(i + 1) if word == "both" and self.said.word(i - 1) in _FOR else 0
            if last and self._pieces(i - 1):
                return i, last
        return None

    def is_for(self, at: int) -> bool:
        """Whether the number before the word at ``at`` stands behind "for" or "on"."""
        return self._before(at) > 0

    def tell(self, count: float, words: str) -> None:
        """Says what the count was taken for."""
        self.notes.tell(
            "one_each",
            f"{shown(words)} taken as {number(count, 6)} of them, one each; say if not.",
            words=words,
        )

    def _before(self, at: int, whose: frozenset[str] = _WHOSE) -> int:
        """The preposition before the words at ``at``, or 0."""
        i = at - 1
        while i > 0 and self.said.word(i) in whose:
            i -= 1
        return i if self.said.word(i) in _FOR else 0

    def _counted(self, at: int) -> int:
        """Where the plural noun ends that is counted at ``at``; 0 for places, leather and what is no noun."""
        for i in range(at, min(at + _REACH, len(self.said.words))):
            word = self.said.word(i)
            if not word[0].isalpha() or word in lex.STOP - _WHOSE or word in lex.OF_LEATHER:
                return 0
            plural = self.said.tokens[i].plural or word in ages(self.notes.base).several
            if plural and not self.said.tokens[i].owner:
                return 0 if word in self.places else i + 1
        return 0

    def _pieces(self, at: int) -> bool:
        """Whether things in the plural, of which none holds several others, end within a few words before ``at``."""
        for i in range(at - 1, max(-1, at - 1 - _BACK), -1):
            word, token = self.said.word(i), self.said.tokens[i]
            owner = self.said.owner.get(i)
            named = owner is not None and owner.attribute == "item"
            if named or (word,) in self.said.lexicon.forms or word in self.said.lexicon.heads:
                return token.plural and not token.owner and not self._holds(word)
            if word in ".;!?" or word in _FOR:
                return False
        return False

    def _called_before(self, s: Size, last: int) -> bool:
        """ "Six dining chairs, drop in seats": whether the pieces follow a counted noun that begins the sentence."""
        if s.at and self.said.word(s.at - 1) not in (".", "!", "?"):
            return False
        named = self.notes.named.taken
        ended = self.said.word(last) in (",", ":", "need", "want", "-")
        if named is None or not ended or named.first < last:
            return False
        return self.said.tokens[named.last - 1].plural and not self._holds(self.said.word(named.last - 1))

    def _holds(self, word: str) -> bool:
        """Whether a thing called so keeps several others, so that a count behind it is of what goes in."""
        words = words_of(self.notes.base)
        form = self.said.lexicon.forms.get((word,))
        return (form is not None and words.forms[form].holds) or word in usual_sizes(self.notes.base).holds_many

"""The clauses of a sentence that say nothing of the job are passed over: questions, hearsay, history, courtesy.

What may harm somebody counts wherever it stands, and so does what a past says of the speaker. A thing named only in a
question ("can I use suede for a belt?") is still the thing; what is asked about it is no fact.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from .acts import NO_FACTS, Act, act_at, acts_of
from .lexicon import fold
from .numbers import Size
from .offered import thickness
from .sentence import Match, Sentence
from .sides import SIDES

_ANYWHERE = frozenset(("people", "limits"))
"""Groups of attributes that are heard wherever they are said: whom it is for, and what it must not hold."""
_OF_THE_PAST = ("experience", "have_tannage", "have_weight")
"""What a clause about the past still says: how much was made, and what is left over."""
_OF_SELLERS = "label_text"
"""What hearsay still says: the name that a seller gives."""
_BLANK = "."
_AGAIN = re.compile(
    r"\b(?:(?:new|better|next|same|(?:make|sew|do|want|need)(?: (?:me|us|him|her))?(?: an?)?(?: \w+)?) one\b"
    r"|make (?:it|that|my own)\b|another\b|replac\w+"
    r"|snapped|broke|broken|fell apart|wor(?:n|e) (?:out|through)|tore|torn|perished|lost|gave (?:out|way)"
    r"|old \w+ (?:went|got|is gone|has gone|has had it|ended up))",
    re.IGNORECASE,
)
"""What asks for another of something that was told of before, or tells that it is gone."""
_THICKEST = 8
"""Up to so many mm a size may be a leather that is asked about, and no size of the thing (common practice)."""


class Clauses:
    """The acts of one sentence, and the words passed over; ``asking`` are the words that only ask."""

    def __init__(self, said: Sentence) -> None:
        self.said = said
        self.softly: list[Size] = []
        """The sizes that a question mark makes uncertain: "king size, five foot?"."""
        self.acts = tuple(map(self._sized, acts_of(said.text)))
        self.written = list(said.words)
        self.silent = [a for a in self.acts if a.kind in NO_FACTS]
        self.things = [m for m in said.matches if m.attribute == "item"]
        if self.silent:
            said.matches = [m for m in said.matches if self._counts(m)]
            said.owner = {i: m for i, m in said.owner.items() if self._counts(m)}
            said.sizes = [s for s in said.sizes if s.kind == "age" or not self._silent_at(s.start)]
            self._pass_over(self.silent)

    @property
    def asking(self) -> set[int]:
        """The words of the asker's own question that say nothing: "what leather do I need for"."""
        spans = [(a.asks_start, a.asks_end) for a in self.acts if a.why == "own"]
        return {
            i
            for i, t in enumerate(self.said.tokens)
            if any(a <= t.start < b for a, b in spans)
            and not (i in self.said.owner and self.said.owner[i].attribute != "item")
        }

    @property
    def silence(self) -> set[int]:
        """All words in clauses that say nothing of the job."""
        return {i for i, t in enumerate(self.said.tokens) if self._silent_at(t.start)}

    def naming(self, past: bool = False) -> bool:
        """Lets the words of questions and of hearsay, or of the ``past``, be looked at for the thing.

        False if there are none; those of the past count only where another is to be made, or something is asked.
        """
        named = [a for a in self.silent if (a.why == "history" if past else _names(a))]
        asked = any(a.kind == "question" for a in self.acts)
        if not named or (past and not (asked or self._another())):
            return False
        for i in self._words(named):
            self.said.words[i] = self.written[i]
        told = [m for m in self.things if act_at(self.acts, self.said.tokens[m.first].start) in named]
        told = [m for m in told if m not in self.said.matches]
        self.said.matches = sorted([*self.said.matches, *told], key=lambda m: m.first)
        self.said.owner |= {i: m for m in told for i in range(m.first, m.last)}
        return True

    def _another(self) -> bool:
        """Whether another of what is told of is wanted: "a new one", "make another", "it fell apart"."""
        return bool(_AGAIN.search(self.said.text))

    def _sized(self, act: Act) -> Act:
        """A clause that only a mark makes a question tells the size that it ends in."""
        inside = [s for s in self.said.sizes if act.start <= s.start < act.end]
        told = any(s.unit for s in inside) and not any(s.wrong for s in inside)
        sided = told and inside[-1].kind == "bare" and self.said.word(inside[-1].at) in SIDES
        if act.why != "mark" or not told or not (sided or inside[-1].kind in ("size", "feet", "box")):
            return act
        thick = inside[-1].kind == "size" and thickness(inside[-1])
        behind = self.said.text[inside[-1].end : act.end].split()
        if (thick and thick.high <= _THICKEST) or not all(fold(word) in SIDES for word in behind):
            return act
        self.softly.append(inside[-1])
        return act._replace(kind="statement")

    def _counts(self, match: Match) -> bool:
        act = act_at(self.acts, self.said.tokens[match.first].start)
        if act is None or act.factual:
            return True
        if (match.attribute, match.value) in self.said.lexicon.grave:
            return True
        past = act.why == "history" and match.attribute in _OF_THE_PAST
        heard = act.why == "hearsay" and match.attribute == _OF_SELLERS
        return past or heard or self.said.attributes[match.attribute].group in _ANYWHERE

    def _silent_at(self, place: int) -> bool:
        act = act_at(self.acts, place)
        return act is not None and not act.factual

    def _pass_over(self, acts: Iterable[Act]) -> None:
        """Blanks the words of clauses in which nothing counts, so that nothing reaches across or into them."""
        kept = {act_at(self.acts, self.said.tokens[m.first].start) for m in self.said.matches if m.attribute != "item"}
        for i in self._words([a for a in acts if a not in kept]):
            self.said.words[i] = _BLANK

    def _words(self, acts: list[Act]) -> list[int]:
        return [i for i, t in enumerate(self.said.tokens) if any(a.start <= t.start < a.end for a in acts)]


def _names(act: Act) -> bool:
    """Whether a thing named in a clause without facts may be the one that is made."""
    return (act.kind == "question" and act.why != "meaning") or act.why == "hearsay"

"""Which of many ways to ask something a question is most like: shared stems, the rarer the more they weigh.

Each way is a plain sentence of data. How like two are is the cosine of their sets of stems, each weighted by how few
ways hold it (the usual inverse document frequency); a word that no way holds weighs most, so that an odd word keeps a
question unlike all. How much of a question something explains is the weight of the stems that it knows: wholly those of
its ways, less those of its marks, least those of its answers, each weighted by how few others know it.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from .phrases import Language

_EMPTY = frozenset(
    re.findall(
        r"\w+",
        """a an the what which whats i you we they it he she me my your our his her its their them him us this that
        these those there am is are was were be been being do does did doing will would shall should can could may
        might must has have had having to of in on at by with for from and or but so if then than as just really
        very please actually any some one ones get got going go want think know tell im ive id s t about up out too
        also even ever still now here""",
    )
)
"""Words that say nothing of what is asked."""

_OF_MARKS, _OF_ANSWERS = 0.7, 0.25
"""What a word of a mark and of an answer counts beside one of a way to ask."""
_LEAST = 2
"""One word in common says little of what is asked."""
_HOW = frozenset(("how", "whi", "why", "when", "where"))


class Like(NamedTuple):
    """A way to ask, the name of what answers it, and how like the question is, 0 to 1."""

    score: float
    name: str
    written: str


class Ways:
    """Ways to ask, ready to be compared. ``same`` gives for a word the one that stands for it."""

    def __init__(
        self, language: Language, ways: Mapping[str, Sequence[str]], same: Mapping[str, Sequence[str]]
    ) -> None:
        self._language = language
        self._same = {language.stem(word): language.stem(name) for name, words in same.items() for word in words}
        self._ways = [(name, text, self.stems(text)) for name, texts in ways.items() for text in texts]
        often = Counter(stem for _, _, stems in self._ways for stem in stems)
        self._weight = {stem: math.log(1 + len(self._ways) / n) for stem, n in often.items()}
        self._unknown = math.log(1 + len(self._ways)) if self._ways else 0.0
        self._lengths = [self._length(stems) for _, _, stems in self._ways]
        self._to_find = [bool(stems - _HOW) for _, _, stems in self._ways]
        self._known: dict[str, dict[str, float]] = {}
        self._spread: Counter[str] = Counter()

    def knows(self, name: str, marks: frozenset[str], answers: Sequence[str]) -> None:
        """Tells what ``name`` knows besides its ways: stems that mark it, and the sentences that answer it."""
        known = dict.fromkeys(frozenset().union(*map(self.stems, answers)), _OF_ANSWERS)
        known |= dict.fromkeys(marks, _OF_MARKS)
        known |= {stem: 1.0 for of, _, stems in self._ways if of == name for stem in stems}
        self._known[name] = known
        for stem, much in known.items():
            self._spread[stem] += much  # type: ignore[assignment]

    def explained(self, stems: frozenset[str]) -> dict[str, float]:
        """How much of a question each name explains, by the weight of the stems that it knows; never 0."""
        rare = {s: math.log(1 + len(self._known) / self._spread[s]) for s in stems - _HOW if s in self._spread}
        found = {
            name: sum(much * known[s] for s, much in rare.items() if s in known) for name, known in self._known.items()
        }
        return {name: much for name, much in found.items() if much}

    def to_explain(self, stems: frozenset[str]) -> float:
        """The most of a question that anything could explain; a word that nothing knows weighs most."""
        n = len(self._known)
        return sum(math.log(1 + n / max(self._spread[s], _OF_MARKS)) for s in stems - _HOW)

    def stems(self, text: str) -> frozenset[str]:
        """What a text says: the stems of its words that mean something, one for all that mean the same."""
        words = (w for w in self._language.words(text) if not w.mark and w.low not in _EMPTY)
        return frozenset(self._same.get(w.stem, w.stem) for w in words)

    def weight(self, stems: frozenset[str]) -> float:
        """How much a text says with these stems: the sum of their weights."""
        return sum(self._weight.get(stem, self._unknown) for stem in stems)

    def nearest(self, text: str, most: int) -> list[Like]:
        """The ways most like ``text``, the best first and one for each name; fewer where it is like none."""
        asked = self.stems(text)
        asked_length = self._length(asked)
        best: dict[str, Like] = {}
        for (name, written, stems), length, to_find in zip(self._ways, self._lengths, self._to_find, strict=True):
            both = asked & stems
            if not to_find or (len(both) < _LEAST and stems != asked):
                continue
            shared = self._length(both)
            if shared:
                score = shared**2 / (asked_length * length)
                if name not in best or score > best[name].score:
                    best[name] = Like(score, name, written)
        return sorted(best.values(), key=lambda like: -like.score)[:most]

    def _length(self, stems: frozenset[str]) -> float:
        return math.sqrt(sum(self._weight.get(stem, self._unknown) ** 2 for stem in stems))

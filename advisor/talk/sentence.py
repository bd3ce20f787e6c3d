"""A sentence taken apart: words with their slips mended, sizes, known phrases and what negates them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from difflib import get_close_matches
from typing import NamedTuple

from ..rulebase.models import RuleBase
from . import lexicon as lex
from .sizes import SPELT, Size, find_sizes

_JOINS = frozenset(("and", "or", "nor", ","))


class Match(NamedTuple):
    """A reading of the words ``first`` to ``last``; ``root`` is where a negation of it is looked for."""

    attribute: str
    value: str
    first: int
    last: int
    root: int


class Sentence:
    """Words, sizes and matches of one text. Indexes count words; numbers are not among the words."""

    def __init__(self, rulebase: RuleBase, text: str) -> None:
        self.text, self.attributes, self.lexicon = text, rulebase.attributes, lex.lexicon(rulebase)
        self.tokens = lex.tokens(text)
        self.words = [t.word for t in self.tokens]
        self.fixed: set[int] = set()
        # "Two layers glued" is a phrase, not the number two, and so is "100 % leather".
        kept = [
            self.span(m.first, m.last) for m in self._phrases()
            if any(w in SPELT or w.isdecimal() for w in self.words[m.first : m.last])
        ]  # fmt: skip
        low = "".join(c.lower() if len(c.lower()) == 1 else c for c in text).replace("’", "'")
        sizes = list(find_sizes(low, kept))
        covered = {i for s in sizes for i in range(s.start, s.end)}
        self.tokens = [t for t in self.tokens if t.start not in covered]
        ends = [t.end for t in self.tokens]
        self.sizes = [s._replace(at=bisect_left(ends, s.start + 1)) for s in sizes]
        self.words = [t.word for t in self.tokens]
        self._correct()
        matches = self._phrases()
        hung = list(self._hanging(matches))
        # "Pull-up bar" says nothing about pull-up leather, and "toddler reins" are no tack.
        matches = [
            m for m in matches if (m.attribute, m.value) in self.lexicon.grave
            or (m.attribute == "item" and rulebase.items[m.value].family != "animal")
            or not any(h.first <= m.first and m.last <= h.last for h in hung)
        ]  # fmt: skip
        self.owner = {i: m for m in matches for i in range(m.first, m.last)}
        self.matches = [*matches, *hung]

    def span(self, first: int, last: int) -> tuple[int, int]:
        """Where the words ``first`` to ``last`` (not included) stand in the text."""
        return self.tokens[first].start, self.tokens[last - 1].end

    def word(self, i: int) -> str:
        """The word at ``i``, or a full stop outside the text."""
        return self.words[i] if 0 <= i < len(self.words) else "."

    def ends(self, i: int) -> bool:
        """Whether no word of content stands at ``i``."""
        return self.word(i) in lex.STOP or not self.word(i)[0].isalnum()

    def scope(self, first: int) -> tuple[str, int]:
        """Whether a negation or a doubt reaches the word at ``first``: ("no" | "maybe" | "", where it stands)."""
        steps, head = 0, first
        for i in range(first - 1, -1, -1):
            word, after, owner = self.words[i], self.word(i + 1), self.owner.get(i)
            if owner and owner.last <= head:
                # What stands between belongs to the nearest word, unless the two are members of one list.
                if not set(self.words[owner.last : head]) & _JOINS or not set(self.words[owner.last : head]) <= _JOINS:
                    break
                head = owner.first
            listed = word == "," and {"or", "nor"} & set(self.words[i + 1 : i + 4])
            if (word in ".,;:!?()" and not listed) or word in lex.BREAK or (word == "and" and after in lex.OPENERS):
                break
            if word in lex.MAYBE or (word in lex.UNDECIDED and self.word(i - 1) in lex.NO):
                return "maybe", i
            if word in lex.NO and (i + 1 == first or after not in lex.NOT_A_NO | lex.UNDECIDED):
                # The "no" of "no chrome" belongs to that phrase alone, unless a list goes on.
                if owner and self.word(owner.last) not in ("or", "nor"):
                    break
                return "no", i
            steps += word != ","
            if steps == 5:
                break
        return "", first

    def nearby(self, s: Size) -> tuple[list[tuple[int, int]], int]:
        """Words within three of a size, (index, commas between), and how many of them stand before it."""
        here = self.sizes.index(s)
        low = next((o.at for o in reversed(self.sizes[:here]) if o.kind != "bare"), 0)
        high = next((o.at for o in self.sizes[here + 1 :] if o.kind != "bare"), len(self.words))
        sides: list[list[tuple[int, int]]] = []
        for way in (range(s.at - 1, low - 1, -1), range(s.at, high)):
            side: list[tuple[int, int]] = []
            commas = 0
            for i in way:
                if self.words[i] in ".;!?()" or len(side) == 3:
                    break
                commas += self.words[i] == ","
                if self.words[i] not in lex.SKIP:
                    side.append((i, commas))
            sides.append(side)
        return sides[0][::-1] + sides[1], len(sides[0])

    def _correct(self) -> None:
        """Words one letter off a known word are read as that word; the slip stays on record."""
        fine = self.lexicon.known | lex.STOP | lex.NO | lex.MAYBE | lex.KID | lex.REAL
        for i, word in enumerate(self.words):
            if len(word) < 5 or word in fine:
                continue
            close = [w for w in self.lexicon.known if w[0] == word[0] and len(w) > 4 and abs(len(w) - len(word)) < 2]
            if near := get_close_matches(word, sorted(close), 1, 0.88):
                self.words[i] = near[0]
                self.fixed.add(i)

    def _phrases(self) -> list[Match]:
        """Items that a life may hang on, then the longest known phrases, then the first; two readings both stay."""
        words, known = self.words, self.lexicon.phrases
        longest = max(map(len, known), default=0)
        found = [
            Match(attribute, value, i, j, i)
            for i in range(len(words))
            for j in range(i + 1, min(len(words), i + longest) + 1)
            for attribute, value in known.get(tuple(words[i:j]), ())
            # "To hold a person's cards" holds no person.
            if attribute != "load_carrier" or not self.tokens[j - 1].owner
        ]
        taken: dict[int, tuple[int, int]] = {}
        kept = []
        # In "flying harness for a play" the harness is no prop.
        grave = {m for m in found if m.attribute == "item" and (m.attribute, m.value) in self.lexicon.grave}
        for m in sorted(found, key=lambda m: (m not in grave, m.first - m.last, m.first)):
            here = m.first, m.last
            if all(taken.get(i, here) == here for i in range(*here)):
                taken.update(dict.fromkeys(range(*here), here))
                kept += [m, *self._listed(m)]
        return sorted(dict.fromkeys(kept), key=lambda m: m.first)

    def _listed(self, m: Match) -> Iterator[Match]:
        """ "No pig or cow", "nickel and chrome allergy": the shared words count for each of the list."""
        words, known = self.words, self.lexicon.phrases
        if m.last - m.first < 2:
            return
        at, going = m.last, True
        while going and self.word(at) in ("and", "or", "nor", ","):
            at += 2 if self.word(at) == "," and self.word(at + 1) in ("and", "or") else 1
            going = False
            for end in range(min(at + 2, len(words)), at, -1):
                readings = known.get((*words[m.first : m.last - 1], *words[at:end]), ())
                if value := next((v for a, v in readings if a == m.attribute), None):
                    yield Match(m.attribute, value, at, end, m.first)
                    at, going = end, True
                    break
        if m.first > 1 and words[m.first - 1] in ("and", "or"):
            for a, v in known.get((words[m.first - 2], *words[m.first + 1 : m.last]), ()):
                if a == m.attribute:
                    yield Match(a, v, m.first - 2, m.first - 1, m.first - 2)

    def _hanging(self, known: list[Match]) -> Iterator[Match]:
        """What hints at a person hanging from the leather, wherever it stands."""
        shown = [w + "'s" * t.owner for w, t in zip(self.words, self.tokens, strict=True)]
        starts = [0]
        for word in shown:
            starts.append(starts[-1] + len(word) + 1)
        for pattern, attribute, value in lex.HANGING:
            for m in pattern.finditer(" ".join(shown)):
                first, last = bisect_left(starts, m.start() + 1) - 1, bisect_left(starts, m.end())
                if not any(o.value == value and o.first <= first < o.last for o in known):
                    yield Match(attribute, value, first, last, first)

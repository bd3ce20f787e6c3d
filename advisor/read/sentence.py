"""A sentence taken apart: words with their slips mended, sizes, known phrases and what negates them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterator
from typing import NamedTuple

from ..rulebase.models import RuleBase
from . import lexicon as lex
from .idioms import idioms
from .numbers import SHEETS, SPELT, Size, find_sizes
from .patterns import HARMLESS
from .phrases import again
from .purposes import purposes
from .shorthand import expanded
from .spelling import SHORTEST_TARGET, mended, near_words, swapped

HEARD_IN_NAMES = ("people", "limits", "load", "wet")
"""Groups of attributes that are heard inside the name of a thing too: a toddler's rein is for a toddler."""
_JOINS = frozenset(("and", "or", "nor", ","))
_CORRECTED = lex.folded("it its he hes she shes they theyre i im we that thats this these just actually sorry")
_OR = frozenset(("or", "a", "an", "the", "in", "else", "even", ","))


class Match(NamedTuple):
    """A reading of the words ``first`` to ``last``; ``root`` is where a negation of it is looked for.

    ``gaps`` are words between that say something else.
    """

    attribute: str
    value: str
    first: int
    last: int
    root: int
    gaps: tuple[int, ...] = ()

    @property
    def own(self) -> list[int]:
        """The words that are read so."""
        return [i for i in range(self.first, self.last) if i not in self.gaps]


class Sentence:
    """Words, sizes and matches of one text. Indexes count words; numbers are not among the words."""

    def __init__(self, rulebase: RuleBase, text: str) -> None:
        self.text, self.attributes, self.lexicon = text, rulebase.attributes, lex.lexicon(rulebase)
        once = [t for t in lex.tokens(text) if not again(text, t.start, t.end)]
        self.tokens, self.shortened = expanded(rulebase, text, once)
        self.words = [t.word for t in self.tokens]
        self.fixed: set[int] = set()
        self.masked: set[int] = set()
        self.at_hand: frozenset[int] = frozenset()
        # The number of "two layers glued" is no quantity, nor is that of "100 % leather".
        kept = [
            self.span(i, i + 1)
            for m in self._phrases()
            for i in m.own
            if ((w := self.words[i]) in SPELT or w in SHEETS or w == "couple" or w.isdecimal())
            and not self._named_without(m, [i])
        ]
        low = "".join(c.lower() if len(c.lower()) == 1 else c for c in text).replace("’", "'")
        sizes = list(find_sizes(low, kept))
        covered = {i for s in sizes for i in range(s.start, s.end)}
        self.tokens = [t for t in self.tokens if t.start not in covered]
        ends = [t.end for t in self.tokens]
        self.sizes = [s._replace(at=bisect_left(ends, s.start + 1)) for s in sizes]
        self.words = [t.word for t in self.tokens]
        self._except()
        self._correct()
        joined, starts = self._joined()
        # "Not 3 mm leather" refuses the thickness and not the leather.
        self.masked |= {s.at - 1 for s in self.sizes if s.at and self.words[s.at - 1] in lex.NO}
        for m in HARMLESS.finditer(joined):
            self.masked |= set(range(*_words(starts, *m.span())))
        spoken = idioms(rulebase).find(self.words)
        self.idiomatic = frozenset(i for first, last in spoken for i in range(first, last))
        self.masked |= self.idiomatic
        compared = idioms(rulebase)
        self.masked |= {i for first, last in compared.likened(self.words, compared.acts) for i in range(first, last)}
        likened = {i for first, last in compared.likened(self.words, compared.looks) for i in range(first, last)}
        phrases = self._phrases()
        self.idle = {i for m in phrases if not m.attribute for i in m.own}
        # "Feels like a baby's cheek" says who it is for as little as "looks like an old man's".
        matches = [
            m
            for m in phrases
            if m.attribute
            and (likened.isdisjoint(m.own) or rulebase.attributes[m.attribute].group not in HEARD_IN_NAMES)
        ]
        hung = list(dict.fromkeys(self._hanging(matches)))
        beasts = purposes(rulebase).family_of_animals
        # "Pull-up bar" says nothing about pull-up leather, and "toddler reins" are no tack.
        matches = [
            m
            for m in matches
            if (m.attribute, m.value) in self.lexicon.grave
            or (m.attribute == "item" and m.value in rulebase.items and rulebase.items[m.value].family != beasts)
            or rulebase.attributes[m.attribute].group in HEARD_IN_NAMES
            or not any(h.first <= m.first and m.last <= h.last for h in hung)
        ]
        self.owner = {i: m for m in matches for i in m.own}
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
            if (word == "than" and self.word(i - 1) not in ("rather", "other")) or self.word(i + 2) == "than":
                steps += 1
                continue
            if word == "with" and self.word(i - 1) == "nothing":
                continue
            if (word in ".,;:!?()" and not listed) or word in lex.BREAK or (word == "and" and after in lex.OPENERS):
                break
            if word == "no" and after in _CORRECTED and (not i or self.words[i - 1] in ".,;:!?"):
                # "No it is hand sewn" denies what was said before.
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

    def ored(self, first: int, last: int) -> bool:
        """Whether the words ``first`` to ``last`` say no more than "or"."""
        between = self.words[max(first, 0) : last] if last > first else []
        return "or" in between and set(between) <= _OR

    def either(self, first: int, last: int) -> bool:
        """Whether what stands around the words ``first`` to ``last`` is a pair: "black and tan", "blk/wht"."""
        if last < first:
            return False
        between = self.words[first:last]
        gap = self.text[self.tokens[first - 1].end : self.tokens[last].start] if first and not between else ""
        return gap.strip() in ("/", "&") or (bool(between) and set(between) <= _OR | {"and"} and between != [","])

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

    def near(self, i: int) -> tuple[str, ...]:
        """Words from the names of things that the word at ``i`` may have been meant for."""
        if self.words[i] in self.lexicon.fine or i in self.fixed or i in self.owner:
            return ()
        return near_words((self.words[i], self._raw(i)), self.lexicon.item_words, 1 + (len(self.words[i]) > 8))

    def _raw(self, i: int) -> str:
        return self.text[self.tokens[i].start : self.tokens[i].end].lower()

    def _except(self) -> None:
        """ "Anything but pig" and "scared of dye" refuse what follows."""
        for i in range(1, len(self.words)):
            if self.words[i] == "but" and self.words[i - 1] in ("anything", "everything", "any"):
                self.words[i] = "except"
            if self.words[i] in ("of", "about") and self.words[i - 1] in lex.FEARING:
                self.words[i - 1] = "avoid"

    def _correct(self) -> None:
        """A word one slip off a known word is read as that word where it completes a phrase; it stays on record."""
        fine, words, known = self.lexicon.fine, self.words, self.lexicon.phrases
        slips = {
            i: right
            for i, word in enumerate(words)
            if word not in fine
            and (
                right := (
                    len(word) > 4
                    and (
                        mended((word, self._raw(i)), self.lexicon.known, lambda w: known.get((w,)))
                        or self._fitting(i)
                        or self._several(i)
                    )
                )
                or self._swapped(i)
            )
        }
        written = list(words)
        for i, right in slips.items():
            words[i] = right
        cues = {cue for cue, _ in self.lexicon.cues}
        for i in slips:
            spans = self._spans(words, i)
            if any(span in known or span in cues for span in spans) or words[i] in self.lexicon.reacting:
                self.fixed.add(i)
        for i in slips.keys() - self.fixed:
            words[i] = written[i]

    def _fitting(self, i: int) -> str | None:
        """Of several words that a slip is near to, the only one that makes a phrase with its neighbours."""
        near = near_words((self.words[i], self._raw(i)), self.lexicon.known)
        fitting = [
            word
            for word in near
            if len(word) >= SHORTEST_TARGET
            and any(
                len(s) > 1 and s in self.lexicon.phrases
                for s in self._spans([*self.words[:i], word, *self.words[i + 1 :]], i)
            )
        ]
        return fitting[0] if len(fitting) == 1 else None

    def _swapped(self, i: int) -> str | None:
        """The only word with two letters swapped that makes a name of a thing with its neighbours: "watch strpa"."""
        found = [
            word
            for word in swapped(self.words[i], self.lexicon.known)
            if any(
                len(s) > 1 and "item" in dict(self.lexicon.phrases.get(s) or ())
                for s in self._spans([*self.words[:i], word, *self.words[i + 1 :]], i)
            )
        ]
        return found[0] if len(found) == 1 else None

    def _several(self, i: int) -> str | None:
        """Of several words that a plural is near to, the only one that names a thing."""
        if not self.tokens[i].plural:
            return None
        near = near_words((self.words[i], self._raw(i)), self.lexicon.known)
        things = [w for w in near if len(w) >= SHORTEST_TARGET and "item" in dict(self.lexicon.phrases.get((w,)) or ())]
        return things[0] if len(things) == 1 else None

    def _spans(self, words: list[str], i: int) -> list[tuple[str, ...]]:
        """All runs of words with the word at ``i`` in them that may be a phrase."""
        longest = self.lexicon.longest
        return [
            tuple(words[a:b])
            for a in range(max(0, i - longest + 1), i + 1)
            for b in range(i + 1, min(len(words), a + longest) + 1)
        ]

    def _phrases(self) -> list[Match]:
        """Items that a life may hang on, then the longest known phrases, then the first; two readings both stay."""
        words, longest = self.words, self.lexicon.longest
        found = [
            Match(attribute, value, i, j, i)
            for i in range(len(words))
            for j in range(i + 1, min(len(words), i + longest) + 1)
            for attribute, value in self._read_as(i, j)
            # "To hold a person's cards" holds no person.
            if attribute != "load_carrier" or not self.tokens[j - 1].owner
            if not self.masked or self.masked.isdisjoint(range(i, j))
        ]
        needed = {
            Match(*f.meaning, f.first, f.last, f.first, f.gaps): f.needed
            for f in self.lexicon.book.values.find(words)
            if self.masked.isdisjoint(range(f.first, f.last))
        }
        found += needed
        taken: dict[int, tuple[int, int]] = {}
        kept: list[Match] = []
        # In "flying harness for a play" the harness is no prop.
        grave = {m for m in found if m.attribute == "item" and (m.attribute, m.value) in self.lexicon.grave}
        for m in sorted(found, key=lambda m: (m not in grave, -needed.get(m, m.last - m.first), m.first)):
            here = m.first, m.last
            if all(taken.get(i, here) == here for i in m.own):
                taken.update(dict.fromkeys(m.own, here))
                if not any(m[:4] == o[:4] for o in kept):
                    kept += [m, *self._listed(m)]
        # The baby of "a baby's bib" is somebody, although the words name a thing; that of "baby blue" is nobody.
        inside = [
            m
            for m in found
            if self._small_child(m)
            and m not in kept
            and any(o.first <= m.first and m.last <= o.last and self._may_hold_somebody(o) for o in kept)
        ]
        # "Unlined tote" names a tote and says that it is unlined; a "carving tool roll" is not carved.
        done = [m for m in found if m.attribute != "item" and words[m.last - 1].endswith("ed") and m not in kept]
        told = [
            m
            for m in done
            if any(o.first <= m.first and m.last <= o.last and self._named_without(o, m.own) for o in kept)
        ]
        return sorted(dict.fromkeys((*kept, *inside, *told)), key=lambda m: m.first)

    def _small_child(self, m: Match) -> bool:
        a = self.attributes.get(m.attribute)
        return a is not None and a.group == "people" and (m.attribute, m.value) in self.lexicon.grave

    def _may_hold_somebody(self, m: Match) -> bool:
        """Whether a person named inside these words is meant: in the name of a thing or in what concerns people."""
        a = self.attributes.get(m.attribute)
        return a is None or m.attribute == "item" or a.group in HEARD_IN_NAMES

    def _named_without(self, m: Match, places: Collection[int]) -> bool:
        """Whether a name names its thing without some words too, which then say more: the six of "set of six mats"."""
        rest = tuple(self.words[i] for i in range(m.first, m.last) if i not in places)
        return m.attribute == "item" and (m.attribute, m.value) in self.lexicon.phrases.get(rest, ())

    def _read_as(self, i: int, j: int) -> tuple[tuple[str, str], ...]:
        """What the words ``i`` to ``j`` can mean; an adjective inside the name of a thing may be passed over."""
        words, known = self.words, self.lexicon.phrases
        if (exact := known.get(tuple(words[i:j]), ())) or j - i < 3 or lex.PLAIN.isdisjoint(words[i + 1 : j - 1]):
            return exact
        inner = [w for w in words[i + 1 : j - 1] if w not in lex.PLAIN]
        return tuple(r for r in known.get((words[i], *inner, words[j - 1]), ()) if r[0] == "item")

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
        joined, starts = self._joined()
        for pattern, attribute, value in self.lexicon.patterns:
            for m in pattern.finditer(joined):
                first, last = _words(starts, *m.span())
                taken = any(o.value == value and o.first <= first < o.last for o in known)
                if not taken and self.masked.isdisjoint(range(first, last)):
                    yield Match(attribute, value, first, last, first)

    def _joined(self) -> tuple[str, list[int]]:
        """The words in one line, owners with their 's, and where each begins."""
        shown = [w + "'s" * t.owner for w, t in zip(self.words, self.tokens, strict=True)]
        starts = [0]
        for word in shown:
            starts.append(starts[-1] + len(word) + 1)
        return " ".join(shown), starts


def _words(starts: list[int], start: int, end: int) -> tuple[int, int]:
    """The words that a stretch of the joined line covers."""
    return bisect_left(starts, start + 1) - 1, bisect_left(starts, end)

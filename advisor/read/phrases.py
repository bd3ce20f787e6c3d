"""Phrases looked for in a text whatever the inflection: a small language of patterns over stemmed words.

A pattern is a line of data, its parts separated by blanks:

- ``hang`` is the word in any inflection, ``lead!`` only the word as written, ``hang/dangle`` either of them;
- ``@body`` is any phrase of a class, ``#`` a number, ``#40-250`` a number from 40 to 250, ``$`` the end of a clause;
- ``weight?`` may be missing; between two parts articles, owners and the like may stand;
- ``..`` lets three more words stand between, ``..6`` six, but no end of a sentence;
- ``harness & ceiling`` wants both in one sentence in any order, ``harness && ceiling`` anywhere in the text,
  ``strap && goat && verge`` all three, and ``strap & goat && verge`` the first two in one sentence;
- ``%frail`` alone on a side is any pattern of the cue ``frail``, so that ``%frail && %footwear`` says who may be hurt
  and by what, each in all its words;
- ``!`` before a pattern says that a "not" before it refuses nothing, as before "so that he does not fall";
- ``~`` before a pattern says that it is a faint hint: it counts in a short text, or where a "for" leads to it, and
  only within one clause.

Words are stemmed with Snowball's English stemmer, which knows regular inflections only; the others are given as forms.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import snowballstemmer

_TOKEN = re.compile(r"\d+(?:[.,]\d+)?|[^\W\d_]+(?:['’][^\W\d_]+)*|[.,;:!?()]")
_IS = re.compile(r"(?<=^he)s$|(?<=^she)s$|(?<=^it)s$|(?<=^who)s$|(?<=^that)s$|(?<=^there)s$")
_STOPS = frozenset(".;!?")
_MARKS = _STOPS | frozenset(",:()")
_BETWEEN = frozenset(
    re.findall(
        r"\w+",
        """a an the my our your his her its their this that these those some any one of very really just quite so too
        bit kind sort like old new big little own whole""",
    )
)
"""Words that may stand between two parts of a pattern, being closed classes and the plainest adjectives."""
_MOST_BETWEEN = 3
SHORT = 26
"""The most words of a short text: there every word is about what is wanted, so that a faint hint counts."""
SHORT_SENTENCE = 22
"""The most words and marks of a sentence in which "for" says what is wanted rather than telling a story."""
_JOINS = frozenset(("and", "but", "so", "or", "as", "because", "since", "though", "if", "when", "then", "now"))
_SUBJECTS = frozenset(("i", "im", "ive", "id", "ill", "we", "he", "she", "they", "you", "it", "there"))
"""Words that begin a clause of their own behind a comma, the first kind only before one of the second."""
_SPELT = re.findall(
    r"\w+",
    """zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen
    eighteen nineteen""",
)
_TENS = re.findall(r"\w+", "twenty thirty forty fifty sixty seventy eighty ninety hundred")
_NUMBERS = {
    **{word: float(n) for n, word in enumerate(_SPELT)},
    **{word: 10.0 * n for n, word in enumerate(_TENS, start=2)},
}


class Word(NamedTuple):
    """One word or mark of a text: as written in lower case, its stem, where it stands, its value if a number."""

    low: str
    stem: str
    start: int
    end: int
    number: float | None

    @property
    def stops(self) -> bool:
        """Whether a sentence ends here."""
        return self.low in _STOPS

    @property
    def mark(self) -> bool:
        """Whether it is punctuation."""
        return self.low in _MARKS


class Span(NamedTuple):
    """Words from ``first`` up to and without ``last``."""

    first: int
    last: int


class Part(NamedTuple):
    """One place of a pattern: what may stand there, whether it may be missing, how many words may stand before it."""

    atoms: frozenset[str]
    optional: bool
    gap: int


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern ready to be looked for; ``number`` is its place among all.

    Each side is one of several sequences of parts, more than one only where a cue stands there. It stands ``anywhere``,
    or in the sentence of the side before it.
    """

    written: str
    sides: tuple[tuple[tuple[Part, ...], ...], ...]
    anywhere: tuple[bool, ...]
    absolute: bool
    faint: bool
    needs: tuple[frozenset[str], ...]
    number: int

    @property
    def atoms(self) -> frozenset[str]:
        """All that may stand in it."""
        return frozenset(a for side in self.sides for parts in side for part in parts for a in part.atoms)

    @property
    def size(self) -> int:
        """How many words it has at least."""
        return sum(min(sum(not part.optional for part in parts) for parts in side) for side in self.sides)


def again(text: str, start: int, end: int) -> bool:
    """Whether a word only repeats the one before it, as in "hang it from from a beam"; figures never do."""
    word = text[start:end]
    before = text[:start].rstrip(" \t")
    earlier = before[: len(before) - len(word)]
    return (
        word.isalpha()
        and len(before) < start
        and before.endswith(word)
        and not earlier[-1:].isalnum()
        and earlier[-1:] not in ("'", "’", "-")
    )


class BadPatternError(ValueError):
    """A pattern that can never be found; the message says why."""


@lru_cache(maxsize=1)
def _stemmer() -> snowballstemmer.stemmer:
    return snowballstemmer.stemmer("english")


@lru_cache(maxsize=20_000)
def _plain_stem(word: str) -> str:
    return str(_stemmer().stemWord(word))


class Language:
    """The classes, irregular forms and cues that patterns are written with, and the texts they are looked for in."""

    def __init__(
        self,
        classes: Mapping[str, Sequence[str]],
        forms: Mapping[str, Sequence[str]],
        cues: Mapping[str, Sequence[str]] | None = None,
    ) -> None:
        self._cues = cues or {}
        self._made_cues: dict[str, tuple[tuple[Part, ...], ...]] = {}
        self._irregular = {form: _plain_stem(word) for word, others in forms.items() for form in others}
        self._classes = classes
        self._starts: dict[str, list[tuple[tuple[str, ...], str]]] = {}
        for name in classes:
            for phrase in self._phrases_of(name, ()):
                self._starts.setdefault(phrase[0], []).append((phrase, f"@{name}"))
        self.ranges: set[str] = set()
        self._patterns: list[Pattern] = []
        self._rarest: dict[str, list[int]] = {}
        self._indexed = 0

    def stem(self, word: str) -> str:
        """The stem that all inflections of ``word`` share."""
        return self._irregular.get(word) or _plain_stem(word)

    def _phrases_of(self, name: str, inside: tuple[str, ...]) -> frozenset[tuple[str, ...]]:
        found = set[tuple[str, ...]]()
        for text in self._classes[name]:
            if text.startswith("@"):
                if text[1:] not in self._classes or text[1:] in inside:
                    raise BadPatternError(f"class {name}: {text} is no class that it may hold.")
                found |= self._phrases_of(text[1:], (*inside, name))
            elif phrase := tuple(self._atom(word) for word in text.split()):
                found.add(phrase)
        return frozenset(found)

    def _atom(self, word: str) -> str:
        """What stands for a word, class or number of a pattern in the index of a text. Raises BadPatternError."""
        if word.startswith("@"):
            if word[1:] not in self._classes:
                raise BadPatternError(f"{word} is no class.")
            return word
        if word.startswith("#"):
            if not re.fullmatch(r"#(?:\d+-\d+)?", word):
                raise BadPatternError(f"{word} is no number; write # or #40-250.")
            self.ranges.add(word)
            return word
        if word == "$":
            return word
        if not re.fullmatch(r"[^\W_]+!?", word):
            raise BadPatternError(f'"{word}" is no word.')
        return word if word.endswith("!") else self.stem(word)

    def pattern(self, written: str) -> Pattern:
        """Makes a pattern. Raises BadPatternError with what is wrong in it."""
        text = written.strip()
        faint = text.startswith("~")
        text = text.removeprefix("~")
        absolute = text.startswith("!")
        text = text.removeprefix("!")
        anywhere = (True, *(mark == "&&" for mark in re.findall(r"&+", text)))
        sides = tuple(self._sides(side) for side in re.split(r"&&?", text))
        needs = tuple(need for side in sides for need in _needed(side))
        made = Pattern(written, sides, anywhere, absolute, faint, needs, len(self._patterns))
        self._patterns.append(made)
        return made

    def possible(self, atoms: Iterable[str]) -> tuple[frozenset[int], int]:
        """The patterns whose rarest needed part is among ``atoms``, by number, and how many patterns were asked."""
        if self._indexed < len(self._patterns):
            self._index()
        return frozenset(n for atom in atoms for n in self._rarest.get(atom, ())), self._indexed

    def _index(self) -> None:
        """Puts each pattern under the part that the fewest patterns need, since most texts lack it."""
        often = Counter(atom for pattern in self._patterns for need in pattern.needs for atom in need)
        self._rarest = {}
        for pattern in self._patterns:
            for atom in min(pattern.needs, key=lambda need: sum(often[atom] for atom in need)):
                self._rarest.setdefault(atom, []).append(pattern.number)
        self._indexed = len(self._patterns)

    def _sides(self, text: str) -> tuple[tuple[Part, ...], ...]:
        name = text.strip()
        if not name.startswith("%"):
            return (self._side(text),)
        if name[1:] not in self._cues:
            raise BadPatternError(f"{name} is no cue.")
        return self.cue(name[1:])

    def cue(self, name: str) -> tuple[tuple[Part, ...], ...]:
        """The sequences of parts that a cue may be. Raises BadPatternError with the one that cannot stand there."""
        if name not in self._made_cues:
            for written in self._cues[name]:
                if re.search(r"[&~%]|^!", written.strip()):
                    raise BadPatternError(f'"{written}" of the cue {name} must be one side without a mark before it.')
            self._made_cues[name] = tuple(self._side(written) for written in self._cues[name])
        return self._made_cues[name]

    def _side(self, text: str) -> tuple[Part, ...]:
        parts, gap = [], 0
        for word in text.split():
            if m := re.fullmatch(r"\.\.(\d*)", word):
                gap = int(m[1] or 3)
                continue
            optional = word.endswith("?")
            atoms = frozenset(self._atom(w) for w in word.removesuffix("?").split("/"))
            parts.append(Part(atoms, optional, gap))
            gap = 0
        if not parts or gap or parts[0].gap or parts[0].optional or parts[-1].optional:
            raise BadPatternError(f'"{text.strip()}" must begin and end with a part that may not be missing.')
        return tuple(parts)

    def words(self, text: str, mend: Callable[[str], str] = str) -> list[Word]:
        """The words and marks of ``text``; hyphens and other signs only separate, a word said twice counts once.

        ``mend`` gives the word that was meant by one that may be misspelt.
        """
        found: list[Word] = []
        for m in _TOKEN.finditer(text):
            if again(text, m.start(), m.end()):
                continue
            low = m.group().lower().replace("’", "'")
            number = float(low.replace(",", ".")) if low[0].isdecimal() else _NUMBERS.get(low)
            owner = low.removesuffix("'s")
            low = low.replace("'", "") if not low.endswith("'s") else (f"{owner}s" if len(owner) < 4 else owner)
            if _IS.search(low):
                middle = m.end() - 2 if "'" in m.group() or "’" in m.group() else m.end()
                found.append(Word(low[:-1], low[:-1], m.start(), middle, None))
                found.append(Word("is", self.stem("is"), middle, m.end(), None))
            else:
                low = mend(low)
                if number is not None and found and low in _SPELT[:10] and found[-1].low in _TENS:
                    number += found[-1].number or 0.0
                    found[-1] = found[-1]._replace(number=None)
                found.append(Word(low, self.stem(low), *m.span(), number))
        return found

    def read(self, text: str, mend: Callable[[str], str] = str) -> Text:
        """``text`` made ready for patterns."""
        return Text(self, self.words(text, mend))

    def classes_at(
        self, index: Mapping[str, Mapping[int, tuple[int, ...]]], words: Sequence[Word], i: int
    ) -> Iterator[tuple[str, int]]:
        """The classes with a phrase that begins at word ``i``, and where it ends."""
        for key in {words[i].stem, f"{words[i].low}!"}:
            for phrase, name in self._starts.get(key, ()):
                if all(i + n in index.get(atom, {}) for n, atom in enumerate(phrase)):
                    yield name, i + len(phrase)


class Text:
    """A text with an index of what stands where."""

    def __init__(self, language: Language, words: list[Word]) -> None:
        self.words = words
        self.index: dict[str, dict[int, tuple[int, ...]]] = {}
        for i, word in enumerate(words):
            self._put(word.stem, i, i + 1)
            self._put(f"{word.low}!", i, i + 1)
            if word.number is not None:
                for name in language.ranges:
                    if name == "#" or _within(word.number, name):
                        self._put(name, i, i + 1)
        for i in range(len(words)):
            for name, end in list(language.classes_at(self.index, words, i)):
                self._put(name, i, end)
        self.index["$"] = {i: (i,) for i in range(len(words) + 1) if i == len(words) or words[i].mark}
        self._possible, self._asked = language.possible(self.index)
        self.sentence = list(_sentences(words))
        self.clause = list(_clauses(words))
        self.short = sum(not word.mark for word in words) <= SHORT

    def _put(self, atom: str, first: int, last: int) -> None:
        ends = self.index.setdefault(atom, {})
        if last not in ends.get(first, ()):
            ends[first] = (*ends.get(first, ()), last)

    def among(self, patterns: Sequence[Pattern]) -> list[Pattern]:
        """Those of ``patterns`` that may stand in the text, in their order."""
        possible, asked = self._possible, self._asked
        return [p for p in patterns if p.number in possible or p.number >= asked]

    def may(self, pattern: Pattern) -> bool:
        """Whether ``pattern`` may stand in the text."""
        return pattern.number in self._possible or pattern.number >= self._asked

    def find(self, pattern: Pattern, hidden: frozenset[int] = frozenset()) -> Iterator[Span]:
        """Where ``pattern`` stands; words in ``hidden`` count for nothing."""
        index = self.index.keys()
        for atoms in pattern.needs:
            if index.isdisjoint(atoms):
                return
        for span in self._spans(pattern, hidden):
            if not pattern.faint or (self._close(pattern, span) and (self.short or self._led_to(span))):
                yield span

    def _close(self, pattern: Pattern, span: Span) -> bool:
        """Whether ``span`` lies in one clause; sides that may stand apart need not."""
        return len(pattern.sides) > 1 or self.clause[span.first] == self.clause[span.last - 1]

    def _led_to(self, span: Span) -> bool:
        """Whether "for" stands before or in ``span``, in a sentence of its own that tells no story."""
        sentence = self.sentence[span.first]
        if self.sentence.count(sentence) > SHORT_SENTENCE:
            return False
        near = range(max(span.first - 3, 0), span.last)
        return any(self.words[i].low == "for" and self.sentence[i] == sentence for i in near)

    def _spans(self, pattern: Pattern, hidden: frozenset[int]) -> Iterator[Span]:
        if len(pattern.sides) == 1:
            yield from self._any_of(pattern.sides[0], hidden)
            return
        sides = list[list[Span]]()
        for side in pattern.sides:
            sides.append(list(self._any_of(side, hidden)))
            if not sides[-1]:
                return
        for begun in sides[0]:
            yield from self._joined([begun], sides, pattern.anywhere)

    def _joined(self, taken: list[Span], sides: list[list[Span]], anywhere: tuple[bool, ...]) -> Iterator[Span]:
        """The spans from the first to the last word of all sides, ``taken`` being those already found."""
        at = len(taken)
        if at == len(sides):
            yield Span(min(s.first for s in taken), max(s.last for s in taken))
            return
        for span in sides[at]:
            # Between the words of one side another may stand, but no word begins or ends two of them.
            apart = all(span.first != s.first and span.last != s.last for s in taken)
            if apart and (anywhere[at] or self.sentence[span.first] == self.sentence[taken[-1].first]):
                yield from self._joined([*taken, span], sides, anywhere)

    def _any_of(self, either: tuple[tuple[Part, ...], ...], hidden: frozenset[int]) -> Iterator[Span]:
        for parts in either:
            yield from self._side(parts, hidden)

    def _side(self, parts: tuple[Part, ...], hidden: frozenset[int]) -> Iterator[Span]:
        for start in sorted({i for atom in parts[0].atoms for i in self.index.get(atom, ())}):
            end = self._match(parts, 0, start, True, hidden)
            if end is not None:
                yield Span(start, end)

    def _match(self, parts: tuple[Part, ...], k: int, at: int, begins: bool, hidden: frozenset[int]) -> int | None:
        """Where the parts from ``k`` on end if they begin at ``at`` or behind words that may stand between."""
        if k == len(parts):
            return at
        part = parts[k]
        here = [self.index[atom] for atom in part.atoms if atom in self.index]
        for start in [at] if begins else self._starts(at, part.gap):
            for ends in here:
                for end in ends.get(start, ()):
                    if hidden and not hidden.isdisjoint(range(start, end)):
                        continue
                    found = self._match(parts, k + 1, end, False, hidden)
                    if found is not None:
                        return found
        return self._match(parts, k + 1, at, begins, hidden) if part.optional else None

    def _starts(self, at: int, gap: int) -> Iterator[int]:
        skipped = passed = 0
        for i in range(at, len(self.words) + 1):
            yield i
            if i == len(self.words):
                return
            word = self.words[i]
            if word.stops:
                return
            if word.low in _BETWEEN and passed < _MOST_BETWEEN:
                passed += 1
            elif skipped < gap:
                skipped += not word.mark
            else:
                return


def _needed(side: tuple[tuple[Part, ...], ...]) -> Iterator[frozenset[str]]:
    """What has to be in a text for ``side`` to stand there: of a cue, what one of its sequences begins with."""
    if len(side) == 1:
        yield from (part.atoms for part in side[0] if not part.optional)
    else:
        yield frozenset(atom for parts in side for atom in parts[0].atoms)


def _within(number: float, written: str) -> bool:
    low, high = written[1:].split("-")
    return float(low) <= number <= float(high)


def _clauses(words: Sequence[Word]) -> Iterator[int]:
    """The clause of each word: one begins behind a mark before a subject, and behind every end of a sentence."""
    n = 0
    for i, word in enumerate(words):
        yield n
        if word.mark:
            rest = [w.low for w in words[i + 1 : i + 3]]
            said = rest[1:] if rest[:1] and rest[0] in _JOINS else rest[:1]
            n += word.stops or (bool(said) and said[0] in _SUBJECTS)


def _sentences(words: Sequence[Word]) -> Iterator[int]:
    n = 0
    for word in words:
        yield n
        n += word.stops

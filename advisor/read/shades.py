"""The shade of a colour, the finish of a metal or the money of a sum as somebody named it; the names are data.

A colour is named by its name with the words that shade it ("faded denim blue", "greenish grey"), by halves ("half
black, half tan") or by what it is like ("the colour of strong coffee"). What rules know it as follows from the name.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from pydantic import Field

from ..leather.units import show_said
from ..reasoning.facts import Answer
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.saying import fact_says
from ..rulebase.words import FOLDER, words_file
from .lexicon import BREAK, NO, OF_LEATHER, PLAIN, STOP, fold, phrase, plain_english, tokens
from .number_prices import COINS, SIGNS
from .purposes import purposes
from .spelling import meant_by_change, meant_by_sound

FILE = f"{FOLDER}/shades.toml"
_MONEY = re.compile(rf"[{''.join(sorted(SIGNS))}]|\b(?:pounds?|{'|'.join(sorted(COINS - SIGNS, key=len)[::-1])})\b")
Places = Callable[[int], bool]
"""Whether the word at a place is of some kind."""
_MARKS = frozenset(".,;:!?()")
_A = frozenset(("a", "an"))
_COLOUR = frozenset(("colour", "color", "shade", "tone", "hue"))
_COLOURED = frozenset(("coloured", "colored"))
_LED = _MARKS | _A | _COLOUR | frozenset(("in", "or", "and", "is", "be", "something", "want", "like"))
"""What stands before a noun that belongs to the colour behind it: "in denim blue", unlike "my guitar black"."""
_NO_END = STOP | NO | BREAK | OF_LEATHER | _MARKS | frozenset(("and", "or", "for", "please", "size"))
_LIKENED = 5
"""How many words may tell what a colour is like."""
_HALF = re.compile(r"half (?:of (?:it|them|these) |in )*$")
_OTHER_HALF = re.compile(r"^(?:, |/ )?(?:and |& )?(?:the )?(?:other )?half (?:of (?:it|them) |in )*$")


class Deeper(Shape):
    """The words that make a shade darker or paler, and what a value becomes by them, if another."""

    words: tuple[str, ...] = ()
    becomes: dict[Slug, Slug] = Field(default_factory=dict)


class ShadesFile(Shape):
    """words/shades.toml: by attribute and value, the shades that count as it.

    ``also`` are colours by names that mean something else too, so that they count only where a colour is said;
    ``hues`` those that a noun may stand before, ``shading`` words before the name of a colour that belong to it.
    """

    shades: dict[Slug, dict[Slug, tuple[str, ...]]]
    also: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)
    hues: tuple[str, ...] = ()
    shading: tuple[str, ...] = ()
    dark: Deeper = Deeper()
    pale: Deeper = Deeper()


class Shade(NamedTuple):
    """The words ``first`` to ``last`` name a shade of ``value``; ``guessed`` where no colour is named in them."""

    first: int
    last: int
    value: str
    guessed: bool = False


def _nowhere(_: int) -> bool:
    return False


class Palette:
    """The shades of one attribute, by their folded words."""

    def __init__(self, file: ShadesFile, attribute: str, usual: str, modified: bool) -> None:
        self.named = {phrase(s): value for value, shades in file.shades.get(attribute, {}).items() for s in shades}
        self.also = {phrase(s): value for value, shades in file.also.items() for s in shades} if modified else {}
        self.usual, self.modified, self.file = usual, modified, file
        self.all = self.also | self.named
        self.dark, self.pale = frozenset(map(fold, file.dark.words)), frozenset(map(fold, file.pale.words))
        self.shading = frozenset(map(fold, file.shading)) | self.dark | self.pale
        self.hues = frozenset(map(fold, file.hues))
        self.words = frozenset(word for key in self.all for word in key) | self.shading
        self.longest = max(map(len, self.all), default=0)

    def find(self, words: Sequence[str], thing: Places = _nowhere, other: Places = _nowhere) -> Iterator[Shade]:
        """Every shade in folded words; ``thing`` and ``other`` say which words name a thing, or anything else."""
        found = list(self.names(words, thing, other))
        yield from found
        if not self.modified:
            return
        yield from self._likened(words, found, thing)
        for a in found:
            before = " ".join(words[: a.first]) + " "
            for b in (b for b in found if b.first > a.last and (m := _HALF.search(before))):
                if m and _OTHER_HALF.match(" ".join(words[a.last : b.first]) + " "):
                    yield Shade(a.first - m.group().count(" "), b.last, a.value)

    def names(self, words: Sequence[str], thing: Places, other: Places) -> Iterator[Shade]:
        """Every name of a colour with the words before it that belong to it."""
        i = 0
        while i < len(words):
            sizes = range(min(self.longest, len(words) - i), 0, -1)
            n = next((n for n in sizes if tuple(words[i : i + n]) in self.all), 0)
            if not n:
                i += 1
                continue
            value = self.all[tuple(words[i : i + n])]
            if self.modified and i + n < len(words) and words[i + n] in self.hues and words[i + n - 1] not in self.hues:
                # "Ox blood red": the second says less than the first.
                n += 1
            elif value in self.file.dark.becomes and words[i] in self.hues and (more := self._named_at(words, i + n)):
                # "Brown cognac": the second says more; "blk/tan" are two.
                value = self.all[tuple(words[i + n : i + n + more])]
                n += more
            first = i
            if self.modified:
                first = self._begins(words, i, words[i + n - 1] in self.hues, value, other)
            last = i + n
            if self.modified and last < len(words) and words[last] in _COLOUR | _COLOURED and not thing(last):
                last += 1
            yield Shade(first, last, self._shaded(value, words[first:i]))
            i += n

    def _named_at(self, words: Sequence[str], i: int) -> int:
        """How many words at ``i`` name a colour that is no plain hue."""
        sizes = range(min(self.longest, len(words) - i), 0, -1)
        n = next((n for n in sizes if tuple(words[i : i + n]) in self.named), 0)
        return n if n and words[i] not in self.hues and words[i] not in self.all.values() else 0

    def _begins(self, words: Sequence[str], i: int, hue: bool, value: str, other: Places) -> int:
        """Where the words before a colour begin that belong to it."""
        first = i
        while first and self._shades(words[first - 1], value):
            first -= 1
        noun = first - 1
        led = noun <= 0 or words[noun - 1] in _LED or self._shades(words[noun - 1], value)
        if hue and noun >= 0 and led and words[noun].isalpha() and not other(noun):
            first = noun
            while first and self._shades(words[first - 1], value):
                first -= 1
        return first

    def _shades(self, word: str, value: str) -> bool:
        """Whether a word shades a colour of this value: a light black bag is no pale one."""
        deeper = [d for words, d in ((self.dark, self.file.dark), (self.pale, self.file.pale)) if word in words]
        if deeper:
            return value in deeper[0].becomes
        return self.knows(word)

    def knows(self, word: str) -> bool:
        """Whether a word shades colours by itself or is like one: "faded", "greenish", "orangey"."""
        bare = re.sub(r"e?(?:ish|y)$", "", word)
        return word in self.shading or (bare != word and bool({bare, f"{bare}e"} & self.hues))

    def names_within(self, words: Sequence[str], i: int) -> bool:
        """Whether the word at ``i`` is in the name of a colour of several words: the ox of "ox blood"."""
        return any(
            i < a + n for n in (2, 3) for a in range(max(0, i - n + 1), i + 1) if tuple(words[a : a + n]) in self.all
        )

    def said_as_colour(self, words: Sequence[str], first: int, last: int, thing: Places, other: Places) -> bool:
        """Whether a word that means something else too stands where a colour is said."""
        before = words[first - 1] if first else ","
        behind = words[last] if last < len(words) else "."
        if before in _COLOUR:
            return True
        another = behind in ("and", "or") and words[last + 1 : last + 2] and words[last + 1] in self.words
        ends = behind in _MARKS or behind == "please" or bool(another)
        if before in _MARKS:
            return ends or (thing(last) and not other(first))
        article = before in _A and (first == 1 or words[first - 2] in _LED)
        worn = before == "in" and ends and (first == 1 or thing(first - 2))
        return worn or (article and thing(last) and not other(first))

    def _shaded(self, value: str, before: Sequence[str]) -> str:
        for words, deeper in ((self.dark, self.file.dark), (self.pale, self.file.pale)):
            if not words.isdisjoint(before):
                return deeper.becomes.get(value, value)
        return value

    def _likened(self, words: Sequence[str], found: Sequence[Shade], thing: Places) -> Iterator[Shade]:
        """ "Colour like a conker", "dark red like ox blood": what a colour is compared with."""
        for i, word in enumerate(words):
            if word not in ("like", "of") or not i or thing(i - 1):
                # "A lamp shade of parchment".
                continue
            coloured = next((s for s in found if s.last == i and word == "like"), None)
            if coloured is None and words[i - 1] not in _COLOUR:
                continue
            first = coloured.first if coloured else i - 1
            if coloured is None and first and words[first - 1] in ("the", *_A):
                first -= 1
            start = i + 1 + (i + 1 < len(words) and words[i + 1] in _A)
            end = start
            while end < min(len(words), start + _LIKENED) and (words[end] == "with" or words[end] not in _NO_END):
                end += 1
            if end == start or words[start] == "with":
                continue
            told = words[start:end]
            runs = (tuple(told[a : a + n]) for n in (2, 1) for a in range(len(told)))
            named = coloured.value if coloured else next((self.all[run] for run in runs if run in self.all), "")
            if word == "of" and not (named or start > i + 1):
                # "The colour of thread".
                continue
            yield Shade(first, end, named or self.usual, not named)


def palette_of(rulebase: RuleBase, attribute: str) -> Palette | None:
    """The shades of an attribute; None where the rule base names none."""
    made: Mapping[str, Palette] = rulebase.once("shades", _read)
    return made.get(attribute)


def shade_said(rulebase: RuleBase, attribute: str, words: str) -> tuple[str, str]:
    """The longest shade in the words, spelt right, and its value; "" twice where they name none."""
    palette = palette_of(rulebase, attribute)
    if palette is None:
        return "", ""
    found = tokens(words)
    right = [_right(palette, t.word) for t in found]
    idle = {i for i, word in enumerate(right) if word in STOP | PLAIN | _COLOUR or word in plain_english()}
    shades = list[Shade]()
    for shade in sorted(palette.find(right, other=idle.__contains__), key=lambda s: s.first - s.last):
        own = {*right[shade.first : shade.last]}
        if not any(
            own <= {*right[s.first : s.last]} or (s.first < shade.last and shade.first < s.last) for s in shades
        ):
            shades.append(shade)
    if not shades:
        return "", ""

    def written(shade: Shade) -> str:
        last = shade.last
        while last - shade.first > 1 and right[last - 1] in _COLOUR | _COLOURED:
            last -= 1
        text = words[found[shade.first].start : found[last - 1].end].lower()
        for t, word in zip(found[shade.first : last], right[shade.first : last], strict=True):
            if word != t.word:
                text = text.replace(words[t.start : t.end].lower(), word)
        return " ".join(text.split())

    label = rulebase.attributes[attribute].values[shades[0].value].label if shades[0].value else ""
    named = [w for w in dict.fromkeys(map(written, sorted(shades))) if w not in (shades[0].value, label)]
    return " or ".join(named) or written(shades[0]), shades[0].value


def money_said(value: float, words: str) -> str:
    """A sum with the sign or the word for its money: "£20", "45 euros"; "" where the words have neither."""
    m = _MONEY.search(words.lower())
    shown = show_said(value, "money")
    return "" if m is None else f"{m[0]}{shown}" if m[0] in SIGNS else f"{shown} {m[0]}"


def with_shades(rulebase: RuleBase, answers: Mapping[str, Answer]) -> dict[str, Answer]:
    """The answers with the shades that their words name as facts of their own, and without one that is none of them."""
    found = dict(answers)
    for name, fact in rulebase.shaded.items():
        held, told = found.get(name, Answer(())), found.get(fact, Answer(()))
        value = held.values[0] if held.values else ""
        if isinstance(value, float):
            # "Make it 30" is of the same money.
            said = money_said(value, held.words) or (money_said(value, str(told.values[0])) if told.values else "")
            found.pop(fact, None)
            if said:
                told_as = fact_says(rulebase, name, said)
                found[fact] = replace(told, values=(told_as,), origin=held.origin, words=told_as)
            continue
        shade, _ = shade_said(rulebase, name, held.words) if value else ("", "")
        if shade and shade not in (value, rulebase.attributes[name].values[str(value)].label):
            found[fact] = replace(told, values=(shade,), origin=held.origin, words=shade)
        elif told.values and (shade or not value or shade_said(rulebase, name, str(told.values[0]))[1] != value):
            del found[fact]
    return found


def _right(palette: Palette, word: str) -> str:
    """The word as the palette spells it, if it is a slip of one of its words."""
    if word in palette.words or not word.isalpha():
        return word
    return meant_by_sound(word, palette.words) or meant_by_change(word, palette.words, {}, 1) or word


def _read(rulebase: RuleBase) -> Mapping[str, Palette]:
    file = words_file(rulebase, FILE, ShadesFile)
    made = dict[str, Palette]()
    if file is not None:
        for name in rulebase.shaded:
            a = rulebase.attributes[name]
            usual = a.dont_know if a.dont_know in a.values else ""
            made[name] = Palette(file, name, usual, name == purposes(rulebase).colour)
    return made

"""Usual sizes behind a name, and labels of clothing: "a 13 inch laptop", "a labrador", "size 34 jeans".

They are shown and asked about and never answer anything, because the one at hand may be another. Where nobody can be
asked they are supposed, and it is said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from pydantic import Field

from ..errors import RuleBaseError
from ..leather.units import UnitError, parse_quantity, show_said
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.saying import fact_says
from ..rulebase.words import words_file
from . import lexicon as lex
from .notes import Notes
from .numbers import Size
from .sayings import Book, PhraseError, Sayings, compiled

FILE = "words/sizes.toml"
_SIZE = "size"
_NEAR = 4
"""How many words from a number the words for what it labels may stand."""


class RawUsual(Shape):
    """An object by name with its usual measures, which count as hints for the ``things`` made to fit it."""

    name: str
    words: Sayings
    things: tuple[Slug, ...] = Field(min_length=1)
    sizes: dict[Slug, str] = Field(min_length=1)


class RawLabel(Shape):
    """Sizes on labels of clothing: the measure that each comes to, where one of ``near`` stands by the number.

    Without ``near`` every number called a size is meant. ``says`` tells the person what to measure.
    """

    attribute: Slug
    near: tuple[str, ...] = ()
    says: str
    values: dict[str, str] = Field(min_length=1)


class SizesFile(Shape):
    """words/sizes.toml.

    ``around`` are the attributes measured round something, the likeliest first, ``cut_up`` words behind a thickness
    that are no other thing than the leather, ``narrow`` words before a size that is their width, ``sold`` what leather
    is sold as, ``leftovers`` words for what was left, ``on_straps`` what is sold by the width of the strap it takes.
    """

    classes: dict[Slug, Sayings] = Field(default_factory=dict)
    around: tuple[Slug, ...] = ()
    cut_up: tuple[str, ...] = ()
    narrow: tuple[str, ...] = ()
    on_straps: tuple[str, ...] = ()
    sold: tuple[str, ...] = ()
    leftovers: tuple[str, ...] = ()
    usual: tuple[RawUsual, ...] = ()
    label: tuple[RawLabel, ...] = ()


class Usual(NamedTuple):
    """An object's usual measures in the units of their attributes."""

    name: str
    things: frozenset[str]
    sizes: Mapping[str, float]


class Label(NamedTuple):
    """A table of label sizes: the attribute, folded words that stand near, what to say, label -> measure."""

    attribute: str
    near: frozenset[str]
    says: str
    values: Mapping[float, float]


class UsualSizes(NamedTuple):
    """The usual sizes of a rule base; a phrase of ``book`` means the object of that number.

    ``around``, ``cut_up``, ``narrow``, ``sold``, ``leftovers``, and ``on_straps`` are those of the file, the
    words folded.
    """

    book: Book
    objects: tuple[Usual, ...]
    labels: tuple[Label, ...]
    around: tuple[str, ...] = ()
    cut_up: frozenset[str] = frozenset()
    sold: frozenset[str] = frozenset()
    leftovers: frozenset[str] = frozenset()
    narrow: frozenset[str] = frozenset()
    on_straps: frozenset[str] = frozenset()


def usual_sizes(rulebase: RuleBase) -> UsualSizes:
    """The usual sizes, read once. Raises RuleBaseError with every mistake in the file."""
    made: UsualSizes = rulebase.once("usual sizes", _read)
    return made


def _read(rulebase: RuleBase) -> UsualSizes:
    raw = words_file(rulebase, FILE, SizesFile)
    if raw is None:
        return UsualSizes(Book(), (), ())
    reader = rulebase.memo["words"]

    def measure(path: tuple[str, int], where: str, name: str, text: str) -> float:
        a = rulebase.attributes.get(name)
        if a is None or not a.unit:
            reader.wrong(FILE, path, where, f'"{name}" is no attribute with a unit.')
            return 0.0
        try:
            return parse_quantity(text, a.unit)
        except UnitError as error:
            reader.wrong(FILE, path, where, f"{error}.")
            return 0.0

    for name in (a for a in raw.around if a not in rulebase.attributes):
        reader.wrong(FILE, ("around", 0), name, f'"{name}" is no attribute.')
    phrases, objects = [], []
    for n, usual in enumerate(raw.usual):
        for slug in (s for s in usual.things if s not in rulebase.items):
            reader.wrong(FILE, ("usual", n), usual.name, f'"{slug}" is no item.')
        for text in usual.words:
            try:
                phrases.append(compiled(text, raw.classes, lex.words_and_marks, ("usual", str(n))))
            except PhraseError as error:
                reader.wrong(FILE, ("usual", n), usual.name, f"{error}.")
        sizes = {name: measure(("usual", n), usual.name, name, text) for name, text in usual.sizes.items()}
        objects.append(Usual(usual.name, frozenset(usual.things), sizes))
    labels = [
        Label(
            label.attribute,
            frozenset(w for text in label.near for w in lex.words_and_marks(text)),
            label.says,
            {float(k): measure(("label", n), label.attribute, label.attribute, v) for k, v in label.values.items()},
        )
        for n, label in enumerate(raw.label)
    ]
    if reader.problems:
        raise RuleBaseError(reader.problems)
    cut_up, sold, leftovers, narrow, on_straps = (
        frozenset(w for text in texts for w in lex.words_and_marks(text))
        for texts in (raw.cut_up, raw.sold, raw.leftovers, raw.narrow, raw.on_straps)
    )
    return UsualSizes(
        Book(phrases), tuple(objects), tuple(labels), raw.around, cut_up, sold, leftovers, narrow, on_straps
    )


class Hints:
    """Finds the usual sizes behind the words of a sentence, for the thing being made."""

    def __init__(self, notes: Notes, item: str | None) -> None:
        self.notes, self.item = notes, item
        self._spans: list[tuple[int, int]] = []
        known = usual_sizes(notes.base)
        for usual, span in self._objects(known):
            self._spans.append(span)
            if self._may_be(usual.things):
                sizes = self._of_use(usual.sizes)
                self._note(sizes, span, f"{usual.name}: usually {self._said(sizes)}; measure this one.")
        for s in notes.said.sizes:
            if found := self._label(known.labels, s):
                label, value = found
                span = self._around(s, label)
                self._spans.append((s.start, s.end))
                self._note({label.attribute: value}, span, f'"{notes.text(*span)}" {label.says}')

    def _may_be(self, things: frozenset[str]) -> bool:
        """Whether the thing, or one of those it may be, is made to fit."""
        named = self.notes.named
        return self.item in things or (
            self.item is None and not named.taken and any(c.thing.slug in things for c in named.candidates)
        )

    def _of_use(self, sizes: Mapping[str, float]) -> Mapping[str, float]:
        """The sizes that the thing is made by; all of them while it is open which it is."""
        of_things = self.notes.said.lexicon.uses
        others = frozenset[str]().union(*of_things.values()) - of_things.get(self.item or "", frozenset(sizes))
        return {name: value for name, value in sizes.items() if name not in others}

    def covers(self, s: Size) -> bool:
        """Whether the number belongs to a name or a label and measures nothing."""
        return any(start <= s.start < end for start, end in self._spans)

    def _objects(self, known: UsualSizes) -> Iterator[tuple[Usual, tuple[int, int]]]:
        tokens = lex.tokens(self.notes.said.text)
        longest: dict[int, tuple[int, int]] = {}
        for f in known.book.find([t.word for t in tokens]):
            longest[f.first] = max(longest.get(f.first, (0, 0)), (f.last, int(f.meaning[1])))
        end = 0
        for first, (last, n) in sorted(longest.items()):
            if first >= end:
                end = last
                yield known.objects[n], (tokens[first].start, tokens[last - 1].end)

    def _label(self, labels: Sequence[Label], s: Size) -> tuple[Label, float] | None:
        """The label size that a number is, for what the thing measures."""
        said = self.notes.said
        if s.unit or len(s.values) != 1 or s.kind not in ("bare", "clothing") or said.word(s.at) == "pair":
            return None
        uses = said.lexicon.uses.get(self.item or "", frozenset())
        near = set(said.words[max(0, s.at - _NEAR) : s.at + _NEAR])
        called = s.kind == "clothing" or said.word(s.at - 1) == _SIZE
        for label in labels:
            fits = near & label.near if label.near else called
            if label.attribute in uses and fits and s.values[0] in label.values:
                return label, label.values[s.values[0]]
        return None

    def _around(self, s: Size, label: Label) -> tuple[int, int]:
        """Where a label stands in the text with the word for what it is sewn into."""
        tokens = self.notes.said.tokens
        near = [t for t in tokens[max(0, s.at - _NEAR) : s.at + _NEAR] if t.word in label.near]
        starts = [s.start, *(t.start for t in near)]
        before = self.notes.said.text[: min(starts)].rstrip()
        if before.lower().endswith(_SIZE):
            starts.append(len(before) - len(_SIZE))
        return min(starts), max([s.end, *(t.end for t in near)])

    def _note(self, sizes: Mapping[str, float], span: tuple[int, int], text: str) -> None:
        words = self.notes.text(*span)
        for name, value in sizes.items():
            self.notes.hints.setdefault(name, (value, words))
        inside = {i for i, t in enumerate(self.notes.said.tokens) if span[0] <= t.start < span[1]}
        self.notes.hinted.append((frozenset(sizes), text[:1].upper() + text[1:], inside))

    def _said(self, sizes: Mapping[str, float]) -> str:
        base, units = self.notes.base, self.notes.units
        shown = {name: show_said(v, base.attributes[name].unit, units) for name, v in sizes.items()}
        return ", ".join(fact_says(base, name, size, self.item or "") for name, size in shown.items())

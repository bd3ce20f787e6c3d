"""Usual sizes behind a name, and labels of clothing: "a 13 inch laptop", "a labrador", "size 34 jeans".

They are shown and asked about and never answer anything, because the one at hand may be another. Where nobody can be
asked they are supposed, and it is said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from pydantic import Field

from ..errors import RuleBaseError
from ..leather.units import UnitError, in_round_inches, parse_quantity, show_said
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.saying import fact_says
from ..rulebase.words import words_file
from . import lexicon as lex
from .boxes import Boxes, RawShut
from .notes import Notes
from .numbers import Size
from .sayings import Book, PhraseError, Sayings, compiled
from .sides import GENERAL

FILE = "words/sizes.toml"
_SIZE = "size"
_USUAL, _AS_LARGE = "usual", "as_large"
_WITHIN = "in"
"""What is no unit before a garment: "a 34 in jeans"."""
_PERSON_IS = frozenset(("hes", "shes", "im"))
_TAKES = frozenset(("is", "am", "take", "wear", "be"))
_WHO = lex.WHO | {"i"}
_NEAR = 4
"""How many words from a number the words for what it labels may stand."""


class RawUsual(Shape):
    """An object by name with its usual measures, which count as hints for the ``things`` made to fit it.

    With ``in_bags`` a bag that it would not fit at its usual size is hinted to be larger.
    """

    name: str
    words: Sayings
    things: tuple[Slug, ...] = Field(min_length=1)
    sizes: dict[Slug, str] = Field(min_length=1)
    in_bags: bool = False


class RawAsLarge(Shape):
    """A thing that people give as a size, and its longer and its shorter measure."""

    name: str
    words: Sayings
    sizes: tuple[str, str]


class RawBags(Shape):
    """Bags that an object may go into: their two measures that it has to fit, and how much more they need of each."""

    things: tuple[Slug, ...] = Field(min_length=1)
    sides: tuple[Slug, Slug]
    room: str


class RawUpright(Shape):
    """Things that hold what lies side by side: the side along it, and how much more that is than the longest."""

    things: tuple[Slug, ...] = Field(min_length=1)
    side: Slug
    room: str


class RawReckoned(Shape):
    """A measure that ``thing`` is cut by, ``times`` one that people give instead and so much ``more``."""

    thing: Slug
    said: Slug
    side: Slug
    times: float
    more: str


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

    ``around`` are the attributes measured round something, the likeliest first, ``fitted`` those of what a thing goes
    on or holds, ``bearing`` the dangers of what hangs or is lifted, ``cut_up`` words behind a thickness
    that are no other thing than the leather, ``thinned`` what makes it thinner, ``narrow`` words before a size that
    is their width, ``sold`` what leather is sold as, ``leftovers`` words for what was left, ``on_straps`` what is
    sold by the width of the strap it takes, ``pieces`` words for a piece of leather that do not say what becomes of
    it, ``room_in_bags`` what objects are put into, and with how much room. ``places`` and ``furniture`` are where
    a thing stands or what it is fixed to, so that their size is not its own unless it is made for ``covering`` them;
    ``called_in_pairs`` are single things in the plural, ``holds_many`` things that keep several others; ``laid`` are
    laid side by side, so that an area counts them.
    """

    classes: dict[Slug, Sayings] = Field(default_factory=dict)
    around: tuple[Slug, ...] = ()
    cut_up: tuple[str, ...] = ()
    fitted: tuple[Slug, ...] = ()
    bearing: tuple[Slug, ...] = ()
    thinned: tuple[str, ...] = ()
    narrow: tuple[str, ...] = ()
    on_straps: tuple[str, ...] = ()
    sold: tuple[str, ...] = ()
    leftovers: tuple[str, ...] = ()
    pieces: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    furniture: tuple[str, ...] = ()
    covering: tuple[str, ...] = ()
    called_in_pairs: tuple[str, ...] = ()
    holds_many: tuple[str, ...] = ()
    room_in_bags: RawBags | None = None
    upright: RawUpright | None = None
    shut: RawShut | None = None
    reckoned: tuple[RawReckoned, ...] = ()
    laid: tuple[Slug, ...] = ()
    as_large: tuple[RawAsLarge, ...] = ()
    usual: tuple[RawUsual, ...] = ()
    label: tuple[RawLabel, ...] = ()


class Usual(NamedTuple):
    """An object's usual measures in the units of their attributes."""

    name: str
    things: frozenset[str]
    sizes: Mapping[str, float]
    in_bags: bool = False


class AsLarge(NamedTuple):
    """A thing given as a size, its longer and its shorter measure in mm."""

    name: str
    sizes: tuple[float, float]


class Label(NamedTuple):
    """A table of label sizes: the attribute, folded words that stand near, what to say, label -> measure."""

    attribute: str
    near: frozenset[str]
    says: str
    values: Mapping[float, float]


class Reckoned(NamedTuple):
    """The side that a thing is cut by: ``times`` the measure ``said``, and ``more`` in mm."""

    said: str
    side: str
    times: float
    more: float


class UsualSizes(NamedTuple):
    """The usual sizes of a rule base; a phrase of ``book`` means the object of that number.

    ``around``, ``fitted``, ``bearing``, ``cut_up``, ``thinned``, ``narrow``, ``sold``, ``leftovers``
    and ``on_straps`` are those of the file, the words folded; ``bags`` have the ``sides`` that an object must fit with
    ``room`` mm to spare.
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
    bags: frozenset[str] = frozenset()
    sides: tuple[str, ...] = ()
    room: float = 0.0
    as_large: tuple[AsLarge, ...] = ()
    fitted: frozenset[str] = frozenset()
    bearing: frozenset[str] = frozenset()
    thinned: frozenset[str] = frozenset()
    pieces: frozenset[str] = frozenset()
    places: frozenset[str] = frozenset()
    furniture: frozenset[str] = frozenset()
    covering: frozenset[str] = frozenset()
    called_in_pairs: frozenset[str] = frozenset()
    holds_many: frozenset[str] = frozenset()
    upright: frozenset[str] = frozenset()
    upright_side: str = ""
    upright_room: float = 0.0
    reckoned: Mapping[str, Reckoned] = {}
    laid: frozenset[str] = frozenset()
    shut: RawShut | None = None


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

    for name in (a for a in (*raw.around, *raw.fitted) if a not in rulebase.attributes):
        reader.wrong(FILE, ("around" if name in raw.around else "fitted", 0), name, f'"{name}" is no attribute.')
    phrases, objects = [], []
    for n, usual in enumerate(raw.usual):
        for slug in (s for s in usual.things if s not in rulebase.items):
            reader.wrong(FILE, ("usual", n), usual.name, f'"{slug}" is no item.')
        for text in usual.words:
            try:
                phrases.append(compiled(text, raw.classes, lex.words_and_marks, (_USUAL, str(n))))
            except PhraseError as error:
                reader.wrong(FILE, ("usual", n), usual.name, f"{error}.")
        sizes = {name: measure(("usual", n), usual.name, name, text) for name, text in usual.sizes.items()}
        objects.append(Usual(usual.name, frozenset(usual.things), sizes, usual.in_bags))
    as_large = []
    for n, thing in enumerate(raw.as_large):
        try:
            long, short = (parse_quantity(text, "mm") for text in thing.sizes)
            as_large.append(AsLarge(thing.name, (long, short)))
            phrases += [compiled(t, raw.classes, lex.words_and_marks, (_AS_LARGE, str(n))) for t in thing.words]
        except (PhraseError, UnitError) as error:
            reader.wrong(FILE, ("as_large", n), thing.name, f"{error}.")
    bags, room = raw.room_in_bags, 0.0
    if bags:
        for slug in (s for s in bags.things if s not in rulebase.items):
            reader.wrong(FILE, ("room_in_bags",), slug, f'"{slug}" is no item.')
        room = max(measure(("room_in_bags", 0), "room_in_bags", name, bags.room) for name in bags.sides)
    reckoned = {
        r.thing: Reckoned(r.said, r.side, r.times, measure(("reckoned", n), r.thing, r.side, r.more))
        for n, r in enumerate(raw.reckoned)
    }
    stood = raw.upright.things if raw.upright else ()
    folded = raw.shut.things if raw.shut else ()
    for slug in (s for s in (*stood, *folded, *reckoned, *raw.laid) if s not in rulebase.items):
        reader.wrong(FILE, ("laid",), slug, f'"{slug}" is no item.')
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

    def plain(texts: Sequence[str]) -> frozenset[str]:
        return frozenset(w for text in texts for w in lex.words_and_marks(text))

    return UsualSizes(
        Book(phrases),
        tuple(objects),
        tuple(labels),
        raw.around,
        plain(raw.cut_up),
        plain(raw.sold),
        plain(raw.leftovers),
        plain(raw.narrow),
        plain(raw.on_straps),
        frozenset(bags.things if bags else ()),
        bags.sides if bags else (),
        room,
        tuple(as_large),
        frozenset(raw.fitted),
        frozenset(raw.bearing),
        plain(raw.thinned),
        plain(raw.pieces),
        plain(raw.places),
        plain(raw.furniture),
        plain(raw.covering),
        plain(raw.called_in_pairs),
        plain(raw.holds_many),
        frozenset(stood),
        raw.upright.side if raw.upright else "",
        measure(("upright", 0), "upright", raw.upright.side, raw.upright.room) if raw.upright else 0.0,
        reckoned,
        frozenset(raw.laid),
        raw.shut,
    )


class Hints:
    """Finds the usual sizes behind the words of a sentence, for the thing being made."""

    def __init__(self, notes: Notes, item: str | None) -> None:
        self.notes, self.item = notes, item
        self._spans: list[tuple[int, int]] = []
        known = usual_sizes(notes.base)
        for usual, span in self._objects(known):
            self._spans.append(span)
            if isinstance(usual, AsLarge):
                self._as_large(usual, span)
            elif self._may_be(usual.things):
                sizes = self._of_use(usual.sizes)
                left = {n: v for n, v in sizes.items() if not self._measured(n)} or sizes
                self._note(sizes, span, f"{usual.name}: usually {self._said(left)}; measure this one.")
            elif usual.in_bags and self.item in known.bags:
                self.notes.point(f"holds {notes.text(*span)}", span, f"for {usual.name}")
                if sizes := self._roomy(known, usual):
                    shown = " x ".join(show_said(v, "mm", notes.units) for v in sizes.values())
                    self._note(sizes, span, f"{usual.name} wants a bag of about {shown}; measure this one.")
        for s in notes.said.sizes:
            if found := self._label(known.labels, s):
                label, value = found
                span = self._around(s, label)
                self._spans.append((s.start, s.end))
                self._note({label.attribute: value}, span, f'"{notes.text(*span)}" {label.says}')

    def _measured(self, name: str) -> bool:
        """Whether a size stands beside a word for this measure, so that nothing usual need be told of it."""
        said = self.notes.said
        cues = [cue for cue, a in said.lexicon.cues if a.name == name and cue]
        near = [said.words[max(0, s.at - 4) : s.at + 2] for s in said.sizes if s.unit]
        return any(tuple(words[i : i + len(cue)]) == cue for words in near for cue in cues for i in range(len(words)))

    def _may_be(self, things: frozenset[str]) -> bool:
        """Whether the thing, or one of those it may be, is made to fit."""
        named = self.notes.named
        return self.item in things or (
            self.item is None and not named.taken and any(c.thing.slug in things for c in named.candidates)
        )

    def _as_large(self, thing: AsLarge, span: tuple[int, int]) -> None:
        """ "A patch as big as my hand": hints at the sizes of what is made; what else is so large is only said back."""
        said = self.notes.said
        at = next((i for i, t in enumerate(said.tokens) if t.start >= span[0]), len(said.tokens)) - 1
        while at >= 0 and said.word(at) in (*lex.ABOUT - {"is"}, "the", "no"):
            at -= 1
        of_another = said.word(at) in ("is", "are", "was") and said.word(at - 1) not in ("it", "that", "which")
        owner = said.owner.get(at - 1)
        of_another &= not (owner and owner.attribute == "item")
        if any(span[1] <= o.start and not said.text[span[1] : o.start].strip(" ,(:-") for o in said.sizes):
            # "As wide as my hand, four inches": the size itself is said.
            return
        names = [] if of_another or not self.item else Boxes(self.notes, self.item).names(_box(thing.sizes))
        if names and not set(names) - set(GENERAL):
            sizes = dict(zip(names, thing.sizes, strict=False))
            self._note(sizes, span, f"the size of {thing.name}: about {self._said(sizes)}; measure this one.")
        else:
            words = f"about the size of {thing.name}"
            self.notes.point(f"sizes {words}", span, words)
            inside = {i for i, t in enumerate(said.tokens) if span[0] <= t.start < span[1]}
            self.notes.used |= inside

    def _roomy(self, known: UsualSizes, usual: Usual) -> Mapping[str, float]:
        """What a bag measures that takes the object; nothing where the usual one takes it, flat or on its side."""
        supposed = self.notes.base.items[self.item or ""].supposes
        bag = [v for name in known.sides if isinstance(v := supposed.get(name, (0.0,))[0], float)]
        needed = [usual.sizes.get(name, 0.0) + known.room for name in known.sides]
        fits = any(n[0] <= bag[0] and n[1] <= bag[1] for n in (needed, needed[::-1])) if len(bag) == 2 else True
        return {} if fits else {n: max(x, y) for n, x, y in zip(known.sides, needed, bag, strict=True)}

    def _of_use(self, sizes: Mapping[str, float]) -> Mapping[str, float]:
        """The sizes that the thing is made by; all of them while it is open which it is."""
        of_things = self.notes.said.lexicon.uses
        others = frozenset[str]().union(*of_things.values()) - of_things.get(self.item or "", frozenset(sizes))
        return {name: value for name, value in sizes.items() if name not in others}

    def covers(self, s: Size) -> bool:
        """Whether the number belongs to a name or a label and measures nothing."""
        return any(start <= s.start < end for start, end in self._spans)

    def _objects(self, known: UsualSizes) -> Iterator[tuple[Usual | AsLarge, tuple[int, int]]]:
        tokens = [t for t in lex.tokens(self.notes.said.text) if t.word not in ("(", ")")]
        longest: dict[int, tuple[int, bool, int]] = {}
        for f in known.book.find([t.word for t in tokens]):
            found = f.last, f.meaning[0] == _AS_LARGE, int(f.meaning[1])
            longest[f.first] = max(longest.get(f.first, found), found)
        end = 0
        for first, (last, as_large, n) in sorted(longest.items()):
            if first >= end:
                end = last
                yield (known.as_large if as_large else known.objects)[n], (tokens[first].start, tokens[last - 1].end)

    def _label(self, labels: Sequence[Label], s: Size) -> tuple[Label, float] | None:
        """The label size that a number is, for what the thing measures."""
        said = self.notes.said
        if len(s.values) != 1 or s.kind not in ("bare", "clothing", "size") or said.word(s.at) == "pair":
            return None
        # "A 36 in jeans" are no inches.
        within = self.notes.text(s.start, s.end).lower().endswith(f" {_WITHIN}") and said.word(s.at)
        if s.unit and not (within and any(within in label.near for label in labels)):
            return None
        named = [c.thing.slug for c in self.notes.named.candidates[:1]] if not self.item else [self.item]
        uses = said.lexicon.uses.get(next(iter(named), ""), frozenset())
        near = set(said.words[max(0, s.at - _NEAR) : s.at + _NEAR])
        called = s.kind == "clothing" or said.word(s.at - 1) == _SIZE or self._is_a(s)
        # "A trouser belt for a 36 waist" is measured, whatever its name says.
        measured = {a.name for cue, a in said.lexicon.cues if cue == (said.word(s.at),)}
        for label in labels:
            if label.attribute in measured:
                continue
            fits = near & label.near if label.near else called
            fits = fits or (self._is_a(s) and said.ends(s.at))
            if label.attribute in uses and fits and s.values[0] in label.values:
                return label, label.values[s.values[0]]
        return None

    def _near(self, s: Size) -> list[int]:
        """The words about a size, without the name of the thing."""
        said = self.notes.said
        around = range(max(0, s.at - _NEAR), min(s.at + _NEAR, len(said.words)))
        return [i for i in around if i not in said.owner or said.owner[i].attribute != "item"]

    def _is_a(self, s: Size) -> bool:
        """ "He is a 34", "she takes a 7": whether somebody is said to be of a size."""
        before = self.notes.said.words[max(0, s.at - 4) : s.at]
        if s.unit or before[-1:] not in (["a"], ["an"]) or len(before) < 2:
            return False
        return before[-2] in _PERSON_IS or (before[-2] in _TAKES and not _WHO.isdisjoint(before))

    def _around(self, s: Size, label: Label) -> tuple[int, int]:
        """Where a label stands in the text with the word for what it is sewn into."""
        tokens = self.notes.said.tokens
        near = [tokens[i] for i in self._near(s) if tokens[i].word in label.near]
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
        rounded = in_round_inches if units == "inch" else float
        shown = {
            name: show_said(rounded(v) if (unit := base.attributes[name].unit) == "mm" else v, unit, units)
            for name, v in sizes.items()
        }
        return ", ".join(fact_says(base, name, size, self.item or "") for name, size in shown.items())


def _box(sizes: tuple[float, float]) -> Size:
    """Two measures in mm as they are said together."""
    return Size("box", 0, 0, sizes, ("mm", "mm"), "", 0)

"""Sizes said together: "36 x 38 x 12 cm", "an A5 notebook", "14 by 5"."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from pydantic import Field

from ..errors import shown
from ..leather.units import UnitError, number, parse_quantity
from ..rulebase.files import Shape, Slug
from .colours import shaped_parts
from .notes import Notes
from .numbers import LONG_UNITS, SHEETS, Size, fits
from .purposes import purposes

_STRIP = 3
"""From how many times its width on a thing is a strip, of which the longer size is the length."""


_FROM_A_PART = 7
"""Over how many words a box may stand from the part that it is told of."""


class RawShut(Shape):
    """What is cut laid open: a ``side`` said with one of ``words`` behind it is so many ``times`` as large open."""

    things: tuple[Slug, ...]
    side: Slug
    words: tuple[str, ...]
    times: Annotated[float, Field(gt=1)]


class Boxes:
    """Gives the sizes of a box to the sides of the thing; ``item`` is the thing being made, if it is known."""

    def __init__(self, notes: Notes, item: str | None, shut: RawShut | None = None) -> None:
        self.notes, self.said, self.base, self.item = notes, notes.said, notes.base, item
        self.folded = shut
        self.uses = self.said.lexicon.uses.get(item or "", frozenset())
        self.strap_width = purposes(notes.base).strap_width

    def names(self, s: Size) -> list[str]:
        """The attributes that the sizes of a box are of, in their order; [] where that is not clear."""
        if not self.uses:
            if self.item:
                return []
            sizes = _in_one_unit(s)
            if len(sizes) == 2 and 0 < min(sizes) * _STRIP <= max(sizes):
                return ["width", "length"] if sizes[0] < sizes[1] else ["length", "width"]
            sheet = self.notes.text(s.start, s.end)[:2].lower() in {name[:2] for name in SHEETS}
            return ["width", "height"] if sheet else ["width", "length", "depth"][: len(s.values)]
        order: tuple[str, ...] = ("height", "width", "depth")
        if "length" in self.uses:
            order = ("length", "width", "height", "depth")
        elif "depth" in self.uses and len(s.values) > 2:
            order = ("width", "height", "depth")
        names = [n for n in order if n in self.uses]
        if len(s.values) <= 2 and self.item:
            # "22 by 13" is a face; what the thing tells as its thickness is no side of it.
            asks = self.notes.base.items[self.item].asks
            names = [n for n in names if not (n in asks and asks[n].say.endswith("} thick"))]
        if len(s.values) == 2 and names[:2] in (["height", "width"], ["length", "width"]):
            return self.upright_or_not(s, names[0])
        if len(s.values) == 2 and names in (["length"], []) and self.strap_width in self.uses:
            # "3/4 x 22": a strap is as wide as the smaller.
            return [self.strap_width, "length"] if s.values[0] <= s.values[1] else ["length", self.strap_width]
        return names

    def of_a_part(self, s: Size) -> str:
        """ "An inside pocket 20 x 15 cm": the part that a box is told of, "" where it is of the thing.

        Behind a comma it is of the part only where the thing has been told already: "a pocket, 20 x 15" later on.
        """
        said, parts, i, apart = self.said, shaped_parts(self.base), s.at - 1, False
        while i >= max(0, s.at - _FROM_A_PART) and said.word(i) not in ".;!?(":
            owner = said.owner.get(i)
            if said.word(i) in ("it", "its") or (owner is not None and owner.attribute == "item"):
                return ""
            apart |= said.word(i) == ","
            if (said.word(i),) in parts:
                later = self.item is not None and not any(o.attribute == "item" for o in said.owner.values())
                return said.word(i) if later or not apart else ""
            i -= 1
        return ""

    def place(self, s: Size) -> None:
        """ "36 x 38 x 12 cm": the sizes the item's pattern uses, in their usual order."""
        if part := self.of_a_part(s):
            words = self.notes.text(s.start, s.end)
            self.notes.point(f"parts {words}", (s.start, s.end), f"{part} of {words}")
            return
        if self.said.scope(s.at)[0] == "no":
            # "Not an A4 folio" says no size.
            self.notes.left.append((s.start, s.end))
            return
        names = self.names(s)
        untold = [n for n in names if n not in self.notes.facts]
        if s.unit and len(s.values) == 2 and len(names) > 1 and len(untold) == 1:
            # "24 cm long, 12 x 16": what a word of its own says is not said again by a pair.
            sizes = _in_one_unit(s)
            least = sizes.index(min(sizes))
            text = f"{number(s.values[least], 6)} {s.units[least] or s.unit}"
            self.notes.number(self.base.attributes[untold[0]], s, text, s.at, s.at)
            return
        values = s.values[:1] if len(names) == 1 and len(set(s.values)) == 1 else s.values
        if not s.unit:
            self.notes.keep(s)
        elif not self.item and self.too_large(s, names):
            said_back = f"size {self.notes.text(s.start, s.end)}"
            self.notes.point(said_back, (s.start, s.end), said_back)
        elif names and len(values) > len(names) and fits(s.unit, self.base.attributes[names[0]]) and min(values) > 0:
            self.largest(s, names)
        elif len(values) > len(names) or not fits(s.unit, self.base.attributes[names[0]]):
            self.notes.doubt((s.start, s.end), "has no place here; say which size is which")
        else:
            for name, value, unit in zip(names, values, s.units, strict=False):
                # "3/8 x 6 ft": a part of one is inches, whatever the length is in.
                own = unit or ("in" if value < 1 and s.unit in LONG_UNITS else s.unit)
                times, last = self.shut(name, s)
                self.notes.number(self.base.attributes[name], s, f"{number(value * times, 6)} {own}", s.at, last)

    def shut(self, name: str, s: Size) -> tuple[float, int]:
        """ "11 x 9 cm folded": how many times a side is as large laid open, and the place behind the words for it."""
        way = self.folded
        if way is None or name != way.side or self.item not in way.things or self.said.word(s.at) not in way.words:
            return 1.0, s.at
        words = self.notes.text(s.start, s.end)
        self.notes.tell(
            "measure_assumed", f"{shown(words)} taken as folded: {number(way.times, 2)} x as wide open.", words=words
        )
        return way.times, s.at + 1

    def largest(self, s: Size, names: Sequence[str]) -> None:
        """ "A phone 16 x 8 x 1 cm": the largest sizes for a thing that is cut by fewer, and how they were taken."""
        sizes, of = _in_one_unit(s), range(len(s.values))
        kept = sorted(sorted(of, key=lambda i: sizes[i], reverse=True)[: len(names)])
        less = s._replace(values=tuple(s.values[i] for i in kept), units=tuple(s.units[i] or s.unit for i in kept))
        called = self.names(less)
        called = called if len(called) == len(kept) else list(names)[: len(kept)]
        own = [(n, f"{number(v, 6)} {u}") for n, v, u in zip(called, less.values, less.units, strict=True)]
        for name, text in own:
            self.notes.number(self.base.attributes[name], s, text, s.at, s.at)
        told, words = " and ".join(f"{name} {text}" for name, text in own), self.notes.text(s.start, s.end)
        self.notes.tell("measure_assumed", f"{shown(words)} taken as {told}; no more is needed.", words=words)

    def too_large(self, s: Size, names: Sequence[str]) -> bool:
        """Whether a size is outside what is asked of any thing, so that it can only be said back."""
        if not names or not fits(s.unit, self.base.attributes[names[0]]):
            return False
        return any(
            value > 0
            and fits(unit or s.unit, self.base.attributes[name])
            and parse_quantity(f"{number(value, 6)} {unit or s.unit}", "mm") > (self.base.attributes[name].high or 0)
            for name, value, unit in zip(names, s.values, s.units, strict=False)
        )

    def upright_or_not(self, s: Size, name: str) -> list[str]:
        """Which of two sizes is the width and which ``name``: the longer one goes the way the item is usually longer.

        Where it is about as wide as high the width is said first, a length before the width.
        """
        usual = self.base.items[self.item or ""].supposes
        width, height = usual.get("width", (0.0,))[0], usual.get(name, (0.0,))[0]
        if not width or not height or 5 / 6 < float(width) / float(height) < 6 / 5:
            return ["width", name] if name == "height" else [name, "width"]
        wide = float(width) > float(height)
        return ["width", name] if (_in_one_unit(s)[0] >= _in_one_unit(s)[1]) == wide else [name, "width"]


def _in_one_unit(s: Size) -> list[float]:
    """The sizes of a box to be compared: in mm, or as they are where no unit of length is said."""
    try:
        return [
            parse_quantity(f"{number(value, 6)} {unit or s.unit}", "mm")
            for value, unit in zip(s.values, s.units, strict=True)
        ]
    except UnitError:
        return list(s.values)

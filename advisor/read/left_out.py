"""The unit of a size that is said without one: said once for all, told by a leather beside it or by the usual size.

A unit that is only likely is said back. Where none is, the size stays as it is and is asked about.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from math import inf, prod

from ..errors import shown
from ..leather.units import number, parse_quantity, system_of, times_apart
from . import lexicon as lex
from .by_size import apart
from .hints import usual_sizes
from .leathers import Leathers
from .notes import Notes
from .numbers import LONG_UNITS, Size, fits
from .offered import thickness
from .purposes import purposes
from .roles import Roles
from .sides import GENERAL, SIDES, SIDEWAYS, STAND_INS, Sides
from .stuffs import stuffs

AROUND = "around"
"""What stands for the attribute of a measure round the outside of a thing that has none."""
THICKEST_SAID = 8
"""A thickness without its word is at most so many mm (common practice); what is more is the size of something."""
# Adjectives of plain English that may stand between a number and what it counts.
DESCRIBING = lex.PLAIN | lex.folded(
    """round square oval identical matching same different similar separate spare extra leather simple individual
    personalised personalized custom handmade single double soft hard stiff flat slim light heavy tall wide deep high
    broad"""
)
# The unit of all sizes said once: "34 high, 12 deep, in cm".
_ONCE = "mm|cm|millimet(?:re|er)s|centimet(?:re|er)s|inches|inch"
_ALL_IN = re.compile(
    r"\b(?:in|all|all in|i mean|that is|thats|that's|meaning|(?:sizes?|measurements?|dimensions?)(?: are)?(?: all)? in)"
    rf"\s+({_ONCE})\b(?!\s*[\d(])"
    rf"|(?<=[^\w\s])\s*({_ONCE})\s+(?:i mean|that is|all|of course|everything|throughout|both)\b"
)
# A part of one is a part of an inch: "1 1/2 x 7", "six and a half by two".
_OF_AN_INCH = re.compile(r"\d/\d|[¼-¾⅐-⅞]|\b(?:half|quarters?|quaters?|thirds?|eighths?|sixteenths?)\b")
_THICK = "thick"
_BETWEEN = lex.folded("is are of about around roughly be measures at a an the my his her it") | {":", "="}
_NOT_CALLED = frozenset((*lex.COMPARED, *lex.COMPARED.values(), _THICK, "weight", "thickness"))
"""Words of a side, which a size without a unit is read beside elsewhere, and of a leather."""
_LEAST_OUNCES = 3
_WHOLE, _PART = "whole", "part"
_DOWN_TO = frozenset(("to", "down", "at", "about", "it", "them", "around"))
_UNITS_TRIED = ("mm", "cm", "in")
_TO_THE_POINT = 1.15
"""How near to a usual size a number must come that may be a count as well."""
_CLEARLY = 1.5
"""How much nearer to the usual size one unit must bring a number than the next."""
_INCHES_TO = 24
"""Up to which number a size without a unit is taken as inches."""
_SPELT_INCHES_TO = 40
"""Up to which number a size that is spelt out is taken as inches: "two wide and thirty long" (common practice)."""
_WIDEST_SAID = 4
"""Up to which number a part of one without a unit is taken as the width of a strap in inches (common practice)."""
_NARROWEST = 6
"""From this number on a bare one beside a fitting is how wide it is, and no count of them (common practice)."""
_SHOWN = {"in": "inches", "ft": "feet", "foot": "feet", "'": "feet", "m": "metres"}
_SIDES_APART = 3
"""How much longer one side of a thing may be than the other whose long unit it shares (common practice)."""
_AS_LONG = 1.2
"""How much longer one side of a thing is where it is clearly the longer one."""
_SHORTEST = 100
"""No strap of which nobody knows the usual length is shorter, in mm (common practice)."""
_JOINED = 3
"""How many words may stand between two sizes said together."""
_THINGS = 4
"""Within how many words behind a number the plural stands that it may count."""
_TOUCH = 3
"""Within how many words of a thickness the leather it is of must be named."""


class LeftOut:
    """Gives the sizes of one sentence the units that were left out.

    ``thin`` holds where thicknesses begin, ``strap_wide`` where widths of a strap do that no word names, ``counted``
    where numbers do that count the things.
    """

    def __init__(self, notes: Notes, item: str | None, leathers: Leathers, sides: Sides) -> None:
        self.notes, self.said, self.base, self.item, self.leathers = notes, notes.said, notes.base, item, leathers
        self.sides, self.purposes = sides, purposes(notes.base)
        self.uses = self.said.lexicon.uses.get(item or "", frozenset())
        self.thin = set[int]()
        self.strap_wide = set[int]()
        self.counted = set[int]()

    def give(self, box_names: Callable[[Size], list[str]]) -> None:
        """Gives every size its unit; ``box_names`` tells what the sizes of a box are of."""
        self.give_units()
        self.inches_before_stuffs()
        self.find_thicknesses()
        self.assume_units(box_names)

    def give_units(self) -> None:
        """Gives the sizes without a unit the one that is said once for all of them."""
        found = {m[1] or m[2]: m for m in _ALL_IN.finditer(self.said.text.lower())}
        if len(found) != 1:
            return
        unit, m = found.popitem()
        spelt = "in" if unit.startswith("inch") else "cm" if unit.startswith("c") else "mm"
        for n, s in enumerate(self.said.sizes):
            sides = {self.said.word(s.at), self.said.word(s.at - 1)}
            named = s.kind == "bare" and sides & (set(lex.COMPARED.values()) | {"by"})
            if not s.unit and s.values and (named or s.kind == "box"):
                kind = "size" if s.kind == "bare" else s.kind
                self.said.sizes[n] = s._replace(kind=kind, units=(spelt,) * len(s.values))
        self.notes.used.update(i for i, t in enumerate(self.said.tokens) if m.start() <= t.start < m.end())

    def inches_before_stuffs(self) -> None:
        """ "A belt 1.5 in brown", "coasters 4 in tan": takes one number in inches where that is the usual size.

        A whole number counts the things, unless the size is right to the point; either is said back.
        """
        for n, s in enumerate(self.said.sizes):
            if s.kind != "bare" or s.wrong or s.start in self.notes.aged or not self.before_stuff(s) or not self.item:
                continue
            inches = s._replace(kind="size", units=("in",))
            found = apart(self.notes, inches, self.item)
            before = s.at - 1 - (self.said.word(s.at - 1) == ",")
            things = (self.said.tokens[i].plural for i in range(before, min(s.at + _THINGS, len(self.said.words))))
            counted = s.values[0] > 1 and s.values[0].is_integer() and any(things)
            if found and found[0][0] <= (_TO_THE_POINT if counted else _CLEARLY):
                self.said.sizes[n] = self.with_in(inches)
            elif counted:
                self.counted.add(s.start)
                words = self.notes.text(s.start, s.end)
                self.notes.tell("counted", f"{shown(words)} taken as how many; say if it is inches.", words=words)

    def before_stuff(self, s: Size) -> bool:
        """ "50 x 50 in cognac": whether "in" and a colour or a leather stand behind a size without a unit."""
        if s.unit or self.said.word(s.at) != "in":
            return False
        token = self.said.tokens[s.at]
        return stuffs(self.base).match(self.said.text.lower(), token.end) is not None and token.start <= s.end + 1

    def with_in(self, s: Size) -> Size:
        """A size with the "in" behind it as its unit."""
        self.notes.used.add(s.at)
        return s._replace(at=s.at + 1, end=self.said.tokens[s.at].end)

    def find_thicknesses(self) -> None:
        """Marks the small sizes beside a leather as its thickness: "goat 0.8/1.0", "bridle butt 4 mm"."""
        for n, s in enumerate(self.said.sizes):
            if s.wrong or not s.values or s.start in self.notes.aged or self.sides.side(s):
                continue
            thinned = self.thinned(s)
            called = self.said.word(s.at - 1) == _THICK or thinned == _WHOLE
            plain = not s.unit and s.kind in ("bare", "some")
            decimal = plain and (called or "." in self.notes.text(s.start, s.end))
            narrow = self.said.word(s.at - 1) in usual_sizes(self.base).narrow
            if (
                not (decimal or s.unit or self.ounces(s))
                or narrow
                or (thinned and thinned != _WHOLE)
                or self.refers_on(s)
            ):
                continue
            if self.ounces(s):
                words = self.notes.text(s.start, s.end)
                told = f"{shown(words)} taken as ounces; say if not."
                self.notes.tell("unit_assumed", told, words=words, unit="oz")
                self.said.sizes[n] = s._replace(kind="span", units=("oz", "oz"))
                self.thin.add(s.start)
                continue
            kind = "span" if len(s.values) > 1 else "size"
            sized = s if s.unit else s._replace(kind=kind, units=("mm",) * len(s.values))
            thick = thickness(sized)
            if thick and thick.high <= THICKEST_SAID and (called or self.beside_leather(s)):
                self.said.sizes[n] = sized
                self.thin.add(s.start)

    def thinned(self, s: Size) -> str:
        """ "Skim to 3.5", "pare to 0.5 at the edges": what of a hide is to be made so thin, the whole, a part or ""."""
        i = s.at - 1
        while i > 0 and self.said.word(i) in _DOWN_TO:
            i -= 1
        if i == s.at - 1 or self.said.word(i) not in usual_sizes(self.base).thinned:
            return ""
        return _PART if self.said.word(s.at) in ("at", "along", "on", "where", "round", "around") else _WHOLE

    def ounces(self, s: Size) -> bool:
        """ "6-7 veg", "russet 8/9": two ounces on end right beside a leather, as weights are sold (common practice)."""
        if s.unit or s.kind != "some" or len(s.values) != 2 or not re.search("[-/]", self.notes.text(s.start, s.end)):
            return False
        low, high = s.values
        beside = any(self.leathers.tells(i, True) or self.leathers.at(i) for i in (s.at - 1, s.at))
        near = range(s.at, min(s.at + _TOUCH, len(self.said.words)))
        counted = any(self.said.tokens[i].plural and not self.said.ends(i) for i in near)
        return low >= _LEAST_OUNCES and low.is_integer() and high == low + 1 and beside and not counted

    def refers_on(self, s: Size) -> bool:
        """Whether a noun right after a size is what it measures: "4 mm rivets"."""
        roles, word = Roles(self.said), self.said.word(s.at)
        gap = self.said.text[s.end : self.said.tokens[s.at].start] if s.at < len(self.said.tokens) else "."
        named = self.said.owner.get(s.at) or self.leathers.at(s.at)
        if gap.strip(" -") or named or word in DESCRIBING | usual_sizes(self.base).cut_up:
            return bool((o := self.said.owner.get(s.at)) and o.attribute in self.purposes.fixtures)
        return roles.noun(s.at)

    def beside_leather(self, s: Size) -> bool:
        """Whether a word for a leather, a form or a colour of it stands within a few words of a size."""
        for way in (range(s.at - 1, max(-1, s.at - 1 - _TOUCH), -1), range(s.at, s.at + _TOUCH)):
            for i in way:
                if self.said.word(i) in (".", ";", "!", "?"):
                    break
                if self.leathers.tells(i, True) or self.leathers.at(i):
                    return True
        return False

    def assume_units(self, box_names: Callable[[Size], list[str]]) -> None:
        """Gives a unit to the sizes without one beside the word for a side, or in a pair, and says which."""
        for n, s in enumerate(self.said.sizes):
            if s.unit or s.wrong or not s.values or s.kind not in ("bare", "box", "some"):
                continue
            if s.start in self.notes.aged or self.said.scope(s.at)[0] == "maybe":
                continue
            names = box_names(s) if s.kind == "box" else [self.sides.side(s) or self.round_of(s) or self.called(s)]
            unit = self.assumed(s, [self.own_side(name) for name in names if name]) if any(names) else ""
            if s.kind == "box" and self.said.word(s.at) == "in" and s.at < len(self.said.words) - 1:
                # Before the thing itself, or where no usual size speaks against it, the "in" is an inch.
                behind = self.said.owner.get(s.at + 1)
                if not unit or unit == "in" or (behind and behind.attribute == "item"):
                    self.said.sizes[n] = self.with_in(s._replace(units=("in",) * len(s.values)))
                    continue
                self.notes.used.add(s.at)
            if unit:
                kind = {"bare": "size", "some": "span"}.get(s.kind, s.kind)
                self.said.sizes[n] = s._replace(kind=kind, units=(unit,) * len(s.values))
                words = self.notes.text(s.start, s.end)
                shown_unit = _SHOWN.get(unit, unit)
                self.notes.tell(
                    "unit_assumed",
                    f"{shown(words)} taken as {shown_unit}; say if not.",
                    words=words,
                    unit=unit,
                )

    def own_side(self, name: str) -> str:
        """The attribute that the item has for a side: what has only the width of its strap means that."""
        across = name in SIDEWAYS and not self.uses & {SIDEWAYS[0], name}
        strap = self.purposes.strap_width
        return strap if across and strap in self.uses else self.stand_in(name) or name

    def stand_in(self, name: str, s: Size | None = None) -> str:
        """The side that is meant by the word for one that the item has not got, and that no other size has; or ""."""
        if not self.item or name in self.uses or name not in STAND_INS:
            return ""
        told = {self.sides.side(o) for o in self.said.sizes if o != s} | self.notes.facts.keys()
        open_ = [n for n in STAND_INS[name] if n in self.uses - told - self.notes.ranges.keys()]
        # "Long" is said of the longest side; of two about as long it is the one across.
        usual = {n: max(self.usual(n), default=0.0) for n in open_}
        return max(open_, key=lambda n: usual[n] * (_AS_LONG if n == open_[0] else 1), default="")

    def round_of(self, s: Size) -> str:
        """What the item has that is measured round something, where a size is; "around" where it has nothing."""
        if not self.sides.goes_round(s):
            return ""
        return next((n for n in usual_sizes(self.base).around if n in self.uses), AROUND)

    def called(self, s: Size) -> str:
        """ "Waist 36", "36 waist", "lugs are 22": the measure of the item that the words right beside a size name."""
        if self.strap_of(s):
            self.strap_wide.add(s.start)
            return self.purposes.strap_width
        joined = self.said.word(s.at) in ("and", "or", "&", ",")
        if s.kind != "bare" or (joined and any(o.kind == "bare" and o.at == s.at + 1 for o in self.said.sizes)):
            # "Waist 34 and 40" are two.
            return ""
        words, before = self.said.words, s.at
        while before and words[before - 1] in _BETWEEN:
            before -= 1
        strap, on_straps = self.purposes.strap_width, usual_sizes(self.base).on_straps
        told = any(f.meaning[0] == strap for f in self.sides.told)
        if told and self.said.word(before - 1) in on_straps:
            # "18 between the lugs and at the buckle 16" has one width for the order.
            return ""
        behind = self.said.word(s.at) in on_straps and not self.said.tokens[s.at].plural
        if strap in self.uses and s.values[0] >= _NARROWEST and (behind or self.said.word(before - 1) in on_straps):
            return strap
        for f in self.sides.told:
            if f.meaning[0] in self.uses and f.meaning[0] not in GENERAL and (f.last == before or f.first == s.at):
                return f.meaning[0]
        for cue, a in self.said.lexicon.cues:
            if a.name not in self.uses or a.unit != "mm" or set(cue) & _NOT_CALLED:
                continue
            start, end = max(0, before - len(cue)), s.at + len(cue)
            if tuple(words[start:before]) == cue and not self.named(start, before):
                return a.name
            owner = self.said.owner.get(end)
            follows = self.said.ends(end) or (owner is not None and owner.attribute == "item")
            if tuple(words[s.at : end]) == cue and follows and not self.named(s.at, end):
                return a.name
        return ""

    def strap_of(self, s: Size) -> bool:
        """ "Leads 3/4, 5 ft": whether a part of one alone is how wide a strap is, as a counter says it in inches."""
        written = self.notes.text(s.start, s.end)
        if s.kind != "bare" or self.purposes.strap_width not in self.uses or max(s.values) > _WIDEST_SAID:
            return False
        if not _OF_AN_INCH.search(written) or not any(c.isdigit() for c in written):
            return False
        width = self.base.attributes[self.purposes.strap_width]
        others = [o for o in self.said.sizes if o != s and o.values and o.unit and o.start not in self.thin]
        others = [o for o in others if fits(o.unit, width)]
        wide = any(parse_quantity(f"{number(max(o.values), 6)} {o.unit}", "mm") <= (width.high or 0) for o in others)
        return not wide and not self.said.scope(s.at)[0]

    def named(self, first: int, last: int) -> bool:
        """Whether the name of a thing ends among the words from ``first`` to ``last``."""
        owners = ((i, self.said.owner.get(i)) for i in range(first, last))
        return any(o is not None and o.attribute == "item" and o.last - 1 == i for i, o in owners)

    def assumed(self, s: Size, names: Sequence[str]) -> str:
        """The unit a size is taken in: that of the other sizes, or the one its usual size tells; else ""."""
        others = {
            "in" if system_of(u) == "inch" else "cm" if u.startswith(("cm", "centi")) else "mm"
            for o in self.said.sizes
            if o.start not in self.thin and o.kind in ("size", "span", "box", "feet")
            for u in o.units
            if u and fits(u, self.base.attributes[GENERAL[0]])
        }
        if long := self.of_the_next(s, names):
            return long
        if len(others) == 1 and self.can_be(s, names, unit := others.pop()):
            cut = names == ["length"] and self.purposes.strap_width in self.uses and not self.usual("length")
            if cut and parse_quantity(f"{number(s.values[0], 6)} {unit}", "mm") < _SHORTEST:
                # "Belts 44 long, 35 mm": no strap is as short as wide.
                return "in" if self.counter else ""
            return unit
        if len(s.values) > 1 and (unit := self.nearest_to_all(s, names)):
            return unit
        # Of a whole box a single side tells nothing: 45 by 45 for a bench may be a cushion in cm.
        torn = s.kind == "box" and self.item is not None and all(self.usual(name) for name in names)
        for name, value in () if torn else zip(names, s.values, strict=False):
            told = {self.nearest_unit(value, size) for size in self.usual(name)} if value > 0 else set[str]()
            if self.item and told:
                return told.pop()
            if s.kind == "box" and len(told) == 1 and len(self.usual(name)) > 1 and "" not in told:
                # Whichever of the things it is, their usual sizes tell the same unit.
                return told.pop()
        written = self.notes.text(s.start, s.end).lower()
        if _OF_AN_INCH.search(written) or (written[:1].isalpha() and max(s.values) <= _SPELT_INCHES_TO):
            return "in"
        # In the shorthand of a counter a size without a unit is one in inches.
        return "in" if self.counter and max(s.values) <= _INCHES_TO else ""

    @property
    def counter(self) -> bool:
        """Whether the sentence is in the shorthand of a counter."""
        return bool(self.said.shortened) or any(o.kind == "times" for o in self.said.sizes)

    def of_the_next(self, s: Size, names: Sequence[str]) -> str:
        """ "4 foot wide by 5 high": the long unit of the size that a number is joined to, where it can be of both.

        It must bring the number nearer to the usual size than inches, or make the two sides of one kind.
        """
        joined = [
            o for o in self.said.sizes if o.kind == "size" and o.values and o.unit in LONG_UNITS and self.joined(s, o)
        ]
        if s.kind != "bare" or len(names) != 1 or len(joined) != 1 or s.values[0] < 1:
            return ""
        unit, value = joined[0].unit, f"{number(s.values[0], 6)} "
        if not self.can_be(s, names, unit):
            return ""
        size, inches = parse_quantity(value + unit, "mm"), parse_quantity(value + "in", "mm")
        other = parse_quantity(f"{number(joined[0].values[0], 6)} {unit}", "mm")
        nearer = any(times_apart(size, mm) <= times_apart(inches, mm) for mm in self.usual(names[0]))
        return unit if nearer or times_apart(size, other) <= _SIDES_APART else ""

    def joined(self, s: Size, o: Size) -> bool:
        """Whether no more than a side, "by" or "and" stands between two sizes of one thing."""
        first, last = sorted((s, o), key=lambda size: size.start)
        between = self.said.words[first.at : last.at]
        plain = {*SIDES, *lex.COMPARED.values(), "by", "x", "and", ",", "&", "about", "roughly", "maybe"}
        return first != last and len(between) <= _JOINED and plain.issuperset(between)

    def usual(self, name: str) -> list[float]:
        """The usual size of the thing, or of each of those it may be, in a measure."""
        slugs = [self.item] if self.item else [c.thing.slug for c in self.notes.named.candidates]
        sizes = [self.base.items[i].supposes.get(name, (0.0,))[0] for i in slugs if i in self.base.items]
        return [size for size in sizes if isinstance(size, float) and size > 0]

    def nearest_to_all(self, s: Size, names: Sequence[str]) -> str:
        """The unit that brings the sizes of a box, taken together, clearly nearest to the usual ones of the item."""
        usual = [self.usual(name) for name in names]
        if not self.item or s.kind != "box" or len(names) != len(s.values) or not all(usual) or min(s.values) <= 0:
            return ""
        apart = []
        for unit in _UNITS_TRIED:
            sizes = [parse_quantity(f"{number(value, 6)} {unit}", "mm") for value in s.values]
            apart.append((prod(times_apart(mm, u[0]) for mm, u in zip(sizes, usual, strict=True)), unit))
        return _clearly(apart)

    def can_be(self, s: Size, names: Sequence[str], unit: str) -> bool:
        """Whether the numbers in that unit are within what can be meant of the measures."""
        about = [(self.base.attributes.get(name), value) for name, value in zip(names, s.values, strict=False)]
        sizes = [(a, parse_quantity(f"{number(value, 6)} {unit}", "mm")) for a, value in about if a and value > 0]
        return all((a.low or 0) <= mm <= (a.high or mm) for a, mm in sizes)

    def nearest_unit(self, value: float, usual: float) -> str:
        """The unit that brings a number clearly nearest to a usual size in mm; "" where two are about as near."""
        sizes = [(parse_quantity(f"{number(value, 6)} {unit}", "mm"), unit) for unit in _UNITS_TRIED]
        return _clearly([(times_apart(mm, usual), unit) for mm, unit in sizes])


def _clearly(apart: Sequence[tuple[float, str]]) -> str:
    """The unit that comes clearly nearest; "" where two come about as near, or none near at all."""
    (first, unit), (second, _) = sorted(apart)[:2]
    return unit if first < inf and first * _CLEARLY <= second else ""

"""Numbers of a sentence given to what they measure, count or bound.

A size goes to the nearest cue, to the item it names or to the load; a span or a bound becomes a range and is never
made one value. What has no place comes back as a doubt with the way to say it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..errors import shown
from ..leather.units import number, parse_quantity, show, system_of
from ..rulebase.models import Attribute
from . import lexicon as lex
from .leathers import Leathers
from .notes import Notes
from .numbers import Size, fits
from .offered import OUNCES, THICKEST_HIDE_MM, leather_at
from .offered import thickness as offered_thickness
from .roles import Roles
from .sayings import Found

_THICKNESS_UNITS = ("iron", "irons", "oz_leather")
_THICK = ("thick", "thickness", "weight")
# What these ask for is itself the most that may be, so "up to 6 kg" answers them.
_GREATEST = ("load_mass", "closed_max", "sew_max", "heat_temp", "deadline")

_SOLD = ("leather", "hide", "skin", "suede")
STRAP_WIDTH = "strap_width"
BUDGET = "budget"
_BESIDE = 6
"""Over how many words a number may stand from the phrase that says what it measures."""
# The unit of all sizes said once: "34 high, 12 deep, in cm".
_ALL_IN = re.compile(
    r"\b(?:in|all|all in|(?:sizes?|measurements?|dimensions?)(?: are)?(?: all)? in)\s+"
    r"(mm|cm|millimet(?:re|er)s|centimet(?:re|er)s|inches|inch)\b(?!\s*[\d(])"
)
# Adjectives of plain English that may stand between a number and what it counts.
_DESCRIBING = lex.PLAIN | lex.folded(
    """round square oval identical matching same different similar separate spare extra leather simple individual
    personalised personalized custom handmade single double soft hard stiff flat slim light heavy tall wide"""
)
GENERAL = ("width", "length", "height", "depth")
"""The measures that a thing without a pattern can have too, in the order in which they are preferred."""
_SIDES = {
    "wide": "width", "broad": "width", "across": "width", "diameter": "width", "width": "width", "round": "width",
    "long": "length", "length": "length", "high": "height", "tall": "height", "height": "height", "drop": "height",
    "deep": "depth", "depth": "depth",
}  # fmt: skip
"""Words of plain English right beside a number, and the side that each means."""
_LONG_UNITS = ("ft", "foot", "feet", "'", "m", "metre", "metres", "meter", "meters", "mtr", "mtrs")
_UNITS_TRIED = ("mm", "cm", "in")
_CLEARLY = 1.5
"""How much nearer to the usual size one unit must bring a number than the next."""
_INCHES_TO = 24
"""Up to which number a size without a unit is taken as inches."""
_THICKEST_SAID = 8
"""A thickness without its word is at most so many mm (common practice); what is more is the size of something."""
_TOUCH = 3
"""Within how many words of a thickness the leather it is of must be named."""
_CUT_UP = frozenset(("thick", "strip", "piece", "sheet", "lace", "thong"))
"""Words behind a thickness that are no other thing than the leather."""
_LEFTOVERS = frozenset(("scrap", "offcut", "remnant"))


class Measures:
    """Gives each number of the sentence its place; ``item`` is the thing being made, if it is known."""

    def __init__(self, notes: Notes, item: str | None, leathers: Leathers) -> None:
        self.notes, self.said, self.base, self.item, self.leathers = notes, notes.said, notes.base, item, leathers
        self.told = list(self.said.lexicon.book.measures.find(self.said.words))
        self.thin = set[int]()
        self.give_units()
        self.find_thicknesses()
        self.assume_units()

    def give_units(self) -> None:
        """Gives the sizes without a unit the one that is said once for all of them."""
        found = {m[1]: m for m in _ALL_IN.finditer(self.said.text.lower())}
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

    # -- what is said without its unit

    def find_thicknesses(self) -> None:
        """Marks the small sizes beside a leather as its thickness: "goat 0.8/1.0", "bridle butt 4 mm"."""
        for n, s in enumerate(self.said.sizes):
            if s.wrong or not s.values or s.start in self.notes.aged or self.side(s):
                continue
            decimal = not s.unit and s.kind in ("bare", "some") and "." in self.notes.text(s.start, s.end)
            if not (decimal or s.unit) or self.refers_on(s):
                continue
            kind = "span" if len(s.values) > 1 else "size"
            sized = s if s.unit else s._replace(kind=kind, units=("mm",) * len(s.values))
            thick = offered_thickness(sized)
            called = self.said.word(s.at - 1) == _THICK[0]
            if thick and thick.high <= _THICKEST_SAID and (called or self.beside_leather(s)):
                self.said.sizes[n] = sized
                self.thin.add(s.start)

    def refers_on(self, s: Size) -> bool:
        """Whether a noun right after a size is what it measures: "4 mm rivets"."""
        roles, word = Roles(self.said), self.said.word(s.at)
        gap = self.said.text[s.end : self.said.tokens[s.at].start] if s.at < len(self.said.tokens) else "."
        if gap.strip(" -") or self.said.owner.get(s.at) or self.leathers.at(s.at) or word in _DESCRIBING | _CUT_UP:
            return bool((o := self.said.owner.get(s.at)) and o.attribute in ("hardware", "tools"))
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

    def side(self, s: Size) -> str:
        """The side that the words right beside a size name, "" where they name none."""
        word, after = self.said.word(s.at), s.at + 1
        if s.kind == "bare" and Roles(self.said).joined(after) and self.said.tokens[after].plural:
            # "Six round coasters", "two deep pockets" count things.
            return ""
        if name := _SIDES.get(lex.COMPARED.get(word, word), ""):
            return name
        before = s.at - 1
        while before >= 0 and self.said.word(before) in lex.ABOUT | {"say", "some"}:
            before -= 1
        for f in self.told:
            if f.meaning[0] in GENERAL and f.last == before + 1:
                return f.meaning[0]
        word = self.said.word(before)
        return _SIDES.get(word, "") if word in GENERAL or word == "diameter" else ""

    def assume_units(self) -> None:
        """Gives a unit to the sizes without one beside the word for a side, or in a pair, and says which."""
        for n, s in enumerate(self.said.sizes):
            if s.unit or s.wrong or not s.values or s.kind not in ("bare", "box", "some"):
                continue
            if s.start in self.notes.aged or self.said.scope(s.at)[0] == "maybe":
                continue
            names = self.box_names(s) if s.kind == "box" else [self.side(s)]
            unit = self.assumed(s, [self.own_side(name) for name in names if name]) if any(names) else ""
            if unit:
                kind = {"bare": "size", "some": "span"}.get(s.kind, s.kind)
                self.said.sizes[n] = s._replace(kind=kind, units=(unit,) * len(s.values))
                words = self.notes.text(s.start, s.end)
                shown_unit = {"in": "inches"}.get(unit, unit)
                self.notes.tell("unit_assumed", f"{shown(words)} is taken as {shown_unit}; say if it is not.",
                                words=words, unit=unit)  # fmt: skip

    def own_side(self, name: str) -> str:
        """The attribute that the item has for a side: what has only the width of its strap means that."""
        return STRAP_WIDTH if name == "width" and "width" not in self.uses and STRAP_WIDTH in self.uses else name

    def assumed(self, s: Size, names: Sequence[str]) -> str:
        """The unit a size is taken in: that of the other sizes, or the one its usual size tells; else ""."""
        others = {
            "in" if system_of(u) == "inch" else "cm" if u.startswith(("cm", "centi")) else "mm"
            for o in self.said.sizes if o.start not in self.thin and o.kind in ("size", "span", "box", "feet")
            for u in o.units if u and fits(u, self.base.attributes[GENERAL[0]])
        }  # fmt: skip
        if len(others) == 1:
            return others.pop()
        usual = self.base.items[self.item].supposes if self.item else {}
        for name, value in zip(names, s.values, strict=False):
            size = usual.get(name, (0.0,))[0]
            if isinstance(size, float) and size > 0 and value > 0:
                return self.nearest_unit(value, size)
        # In the shorthand of a counter a size without a unit is one in inches.
        counter = bool(self.said.shortened) or any(o.kind == "times" for o in self.said.sizes)
        return "in" if counter and max(s.values) <= _INCHES_TO else ""

    def nearest_unit(self, value: float, usual: float) -> str:
        """The unit that brings a number clearly nearest to a usual size in mm; "" where two are about as near."""
        apart = sorted(
            (max(mm / usual, usual / mm), unit)
            for unit in _UNITS_TRIED if (mm := parse_quantity(f"{number(value, 6)} {unit}", "mm")) > 0
        )  # fmt: skip
        return apart[0][1] if apart[0][0] * _CLEARLY <= apart[1][0] else ""

    # -- what a size is of

    @property
    def uses(self) -> frozenset[str]:
        """The attributes that the pattern of the item measures."""
        return self.said.lexicon.uses.get(self.item or "", frozenset())

    def cue(self, s: Size) -> tuple[Sequence[Attribute], int, int, int] | None:
        """What a size can be, by the nearest cue: (attributes, distance, first and last word of the cue)."""
        seen, split = self.said.nearby(s)
        words = tuple(lex.COMPARED.get(self.said.words[i], self.said.words[i]) for i, _ in seen)
        found = []
        for cue, a in self.said.lexicon.cues:
            for i in range(len(words) - len(cue) + 1):
                j = i + len(cue)
                if words[i:j] != cue or not fits(s.unit, a) or self.said.word(seen[j - 1][0] + 1) == "enough":
                    continue
                if i >= split and self.of_the_next(s, a, seen[j - 1][0] + 1):
                    continue
                far = split - j + 2 * seen[j - 1][1] if j <= split else 0 if i < split else i - split + 2 * seen[i][1]
                far += self.sizes_between(s, seen[j - 1][0] + 1 if j <= split else seen[i][0])
                rank = (far, -len(cue), a.name not in self.uses, j <= split)
                found.append((rank, a, seen[i][0], seen[j - 1][0] + 1))
        best = min(found, key=lambda f: f[0], default=None)
        if told := self.beside(s) or self.called_side(s):
            return told
        called = self.called_by(s)
        if called and (best is None or best[0][0] > 0):
            return (called,), 0, s.at, s.at
        if best is None and (other := self.load(s) or self.days(s) or self.across(s) or self.lengthwise(s)):
            return (other,), 0, s.at, s.at
        if best:
            level = {f[1].name: f[1] for f in found if f[0] == best[0]}
            general = [name for name in GENERAL if name in level]
            if not self.item and general:
                level = {general[0]: level[general[0]]}
            elif self.item:
                level = dict([max(level.items(), key=lambda pair: self.said.lexicon.popular[pair[0]])])
            return tuple(level.values()), best[0][0], best[2], best[3]
        return None

    def beside(self, s: Size) -> tuple[Sequence[Attribute], int, int, int] | None:
        """ "96 cm from the buckle fold to the hole in use": what a phrase near a size says that it measures."""
        for f in self.told:
            a = self.base.attributes[f.meaning[0]]
            named = a.name in self.uses or (not self.item and a.name in GENERAL)
            if not named or not s.unit or not fits(s.unit, a) or (a.name in GENERAL and self._apart(s, f)):
                continue
            near = [
                o for o in self.said.sizes
                if min(o.values, default=-1) >= 0 and o.unit and fits(o.unit, a) and self._apart(o, f) is not None
                and (a.low or 0) <= parse_quantity(f"{o.values[0]} {o.unit}", a.unit) <= (a.high or 0)
            ]  # fmt: skip
            if near and min(near, key=lambda o: self._apart(o, f) or 0) == s:
                return (a,), 0, f.first, f.last
        return None

    def called_side(self, s: Size) -> tuple[Sequence[Attribute], int, int, int] | None:
        """ "Fourteen inches across", "22 foot round": the side that the words beside a size name, without a pattern."""
        name = self.side(s) if not self.item and s.unit else ""
        if not name or not fits(s.unit, self.base.attributes[name]):
            return None
        if self.said.word(s.at) == "round" and s.unit in _LONG_UNITS:
            # So large a thing is measured round its outside.
            name = "length"
        return (self.base.attributes[name],), 0, s.at, s.at + (self.said.word(s.at) in _SIDES)

    def _apart(self, s: Size, f: Found) -> int | None:
        """How many words stand between a size and a phrase of the same clause; None where it is another or too far."""
        low, high = (f.last, s.at) if s.at >= f.last else (s.at, max(f.first, s.at))
        between = self.said.words[low:high]
        return None if len(between) > _BESIDE or set(between) & set(".;!?") else len(between)

    def sizes_between(self, s: Size, at: int) -> int:
        """How many other sizes stand between a size and the words before or after the place ``at``."""
        before = sum(o.start < s.start and at <= o.at for o in self.said.sizes)
        after = sum(o.start > s.start and o.at <= at for o in self.said.sizes)
        return before if at < s.at or (at == s.at and not after) else after

    def of_the_next(self, s: Size, a: Attribute, end: int) -> bool:
        """ "A belt 1.5 in waist 36 in": the cue that ends before word ``end`` belongs to the size right after it."""
        after = [o for o in self.said.sizes if o.start > s.start and o.at == end and fits(o.unit, a)]
        cues = {cue[0] for cue, _ in self.said.lexicon.cues}
        return bool(after) and self.said.word(after[0].at) not in cues | set(lex.COMPARED)

    def load(self, s: Size) -> Attribute | None:
        """ "A tote, 6 kg", "a strap for a 5 kg camera": a mass alone, or of what the item is named after."""
        mass = self.base.attributes.get("load_mass")
        carries = self.item and "load_mass" in self.base.items[self.item].supposes
        named = {w for m in self.said.matches if m.attribute == "item" for w in self.said.words[m.first : m.last]}
        alone = (self.said.ends(s.at) or self.said.word(s.at) in named) and s.unit not in OUNCES
        if self.said.word(s.at) == "of":
            # "12 kg of props" is a load on anything, "2 kg of scraps" is leather that somebody has.
            alone = carries = bool(self.item) and self.said.word(s.at + 1) not in lex.OF_LEATHER | _LEFTOVERS
        return mass if mass and carries and alone and fits(s.unit, mass) else None

    def across(self, s: Size) -> Attribute | None:
        """ "Coasters, 4 inch round": the width of what is as wide as it is long."""
        width = self.base.attributes.get("width")
        round_or_square = self.said.word(s.at) in ("round", "square") and ("width" in self.uses or not self.item)
        return width if width and round_or_square and s.unit and fits(s.unit, width) else None

    def lengthwise(self, s: Size) -> Attribute | None:
        """ "Six foot of fringe", "ten metres": the length of a thing without a pattern, said in a long unit."""
        length = self.base.attributes.get("length")
        long = not self.item and s.unit in _LONG_UNITS and s.kind == "size" and not self.of_a_person(s.at)
        owner = self.said.owner.get(s.at)
        alone = self.said.ends(s.at) or (owner and owner.attribute == "item")
        past = self.said.word(s.at) in ("if", "ago", "down", "away", "up")
        return length if length and long and alone and not past else None

    def days(self, s: Size) -> Attribute | None:
        """ "In ten days", "I've got a fortnight": time that is left."""
        deadline = self.base.attributes.get("deadline")
        left = self.said.word(s.at - 1) in lex.TIME_LEFT and self.said.word(s.at) not in ("ago", "old", "a", "per")
        return deadline if deadline and left and s.unit and fits(s.unit, deadline) else None

    def called_by(self, s: Size) -> Attribute | None:
        """ "A 38 mm belt", "a lead, 4 ft": a strap is called by its width, else by its length."""
        after, before = self.said.owner.get(s.at), min(s.at, self.bound(s)[1][0]) - 1
        while before >= 0 and self.said.word(before) in lex.ABOUT:
            before -= 1
        owner = self.said.owner.get(before)
        named = after and after.attribute == "item" and after.first == s.at
        leather = after is not None and after.attribute in ("colour", "wished_tannage", "wished_species")
        ended = self.said.word(s.at) in (*",.;:!?", "and", "with", "for") or any(
            cue == (self.said.word(s.at),) and self.of_the_next(s, a, s.at + 1) for cue, a in self.said.lexicon.cues
        )
        named = named or ((ended or leather) and (before < s.at - 1 or (owner and owner.attribute == "item")))
        if s.unit and s.values[0] >= 0 and named and "width" not in self.uses:
            for a in (self.base.attributes[n] for n in ("strap_width", "length") if n in self.uses):
                size = parse_quantity(f"{number(s.values[0], 6)} {s.unit}", a.unit) if fits(s.unit, a) else None
                usual = self.base.items[self.item or ""].supposes.get(a.name, (0.0,))[0]
                # Far below the usual width it is rather the thickness: "a belt, 4 mm".
                if size is not None and float(usual) / 3 <= size <= (a.high or 0):
                    return a
        return None

    def place(self, s: Size) -> None:
        """Gives a number to its attribute, or leaves it with the reason."""
        said, span = self.said, (s.start, s.end)
        if s.wrong:
            self.notes.doubt(span, f"cannot be read: {s.wrong}")
        elif self.leathers.panel(s) or self.leathers.area(s):
            return
        elif s.kind == "box":
            self.place_box(s)
        elif s.start in self.notes.aged:
            return
        elif s.kind == "times":
            self.place_times(s)
        elif s.kind == "some":
            self.place_some(s)
        elif s.kind == "bare":
            self.place_count(s)
        elif s.kind == "money":
            self.place_money(s)
        elif s.kind == "clothing":
            self.notes.doubt(span, "is a label and no measure; say what the thing itself measures")
        elif s.kind != "age":
            hit = self.cue(s)
            if s.start in self.thin or self.thickness(s, hit):
                near = [i for i, _ in said.nearby(s)[0] if said.words[i] in _THICK or said.words[i] in lex.COMPARED]
                span = self.notes.around(s, min([s.at, *near]), max([s.at, *(i + 1 for i in near)]))
                self.place_thickness(s, span, near)
            elif self.of_a_person(s.at):
                self.notes.doubt(span, "is the size of a person; say what the thing itself measures")
            elif said.word(s.at - 1) in ("every", "per") or not hit or self.of_a_noun(s, hit[2], hit[3]):
                self.notes.doubt(span, f"was not taken; say what it measures{self.for_example(s)}")
            elif len(hit[0]) > 1:
                names = " or ".join(a.name.replace("_", " ") for a in hit[0])
                self.notes.doubt(span, f"can be the {names}; say which, or name the item")
            elif self.of_any_thing(s, hit[0][0].name):
                said_back = f"{hit[0][0].name} {self.notes.text(s.start, s.end)}"
                self.notes.point(said_back, (s.start, s.end), said_back)
            else:
                self.place_size(s, hit[0][0], hit[2], hit[3])

    def place_thickness(self, s: Size, span: tuple[int, int], near: Sequence[int]) -> None:
        """A thickness said is shown back and compared with the weight that is worked out, unless it is refused.

        A bound is only shown back.
        """
        way, (low, high) = self.bound(s)
        if self.notes.text(s.end, s.end + 1) == "+":
            way = "low"
        refused = self.said.scope(s.at)[0] and not way
        thick = offered_thickness(s)
        if refused or not thick:
            self.notes.doubt(span, "is refused or can be no thickness of leather; it was not taken")
            return
        ends = " to ".join(show(mm, "mm", "mm") for mm in dict.fromkeys((thick.low, thick.high)))
        ounces = f" ({' to '.join(number(v, 6) for v in s.values)} oz)" if s.unit in OUNCES else ""
        self.notes.point({"low": "at least ", "high": "at most "}.get(way, "") + ends + ounces, span)
        self.notes.used.update((*near, *range(low, s.at), *range(s.at, high)))
        if not way:
            self.notes.thick.append(s._replace(start=span[0], end=span[1]))

    def of_any_thing(self, s: Size, name: str) -> bool:
        """Whether a size of a thing that nobody knows is too large for the attribute of that name."""
        return not self.item and s.kind == "size" and name in GENERAL and self.too_large(s, [name])

    def for_example(self, s: Size) -> str:
        """How the size could be said so that it is taken."""
        size = f"{number(s.values[0], 6)} {s.unit}"
        could = [
            a for a in self.base.attributes.values()
            if a.cues and a.ask != "never" and a.group != "job" and fits(s.unit, a)
            and (a.group != "size" or a.name in self.uses)
            and s.values[0] >= 0 and (a.low or 0) <= parse_quantity(size, a.unit) <= (a.high or 0)
        ]  # fmt: skip
        return f', for example "{could[0].cues[0]} {size}"' if could else ""

    def thickness(self, s: Size, hit: tuple[Sequence[Attribute], int, int, int] | None) -> bool:
        """Whether a size is the weight of the leather, which is advised and not asked."""
        words = self.said.words
        near = [i for i, _ in self.said.nearby(s)[0] if lex.COMPARED.get(words[i], words[i]) in _THICK]
        cue = words[hit[2] : hit[3]] if hit else []
        named = leather_at(self.base, self.said, s.at) > 0
        if s.unit in OUNCES:
            thick = not hit or hit[0][0].unit != "kg" or cue == ["weight"] or named or hit[1] > 0
        else:
            thick = bool(near) and fits(s.unit, self.base.attributes["blade_spine"]) and (
                not hit or (cue == ["thick"] and hit[0][0].name not in self.uses))  # fmt: skip
        of_leather = self.said.word(s.at) in _SOLD or named
        thin = s.unit in ("mm", "millimetre", "millimeter", "millimetres", "millimeters")
        thin = thin and s.values[0] <= THICKEST_HIDE_MM
        alone = not hit and self.said.ends(s.at) and s.values[0] <= _THICKEST_SAID
        return thick or s.unit in _THICKNESS_UNITS or ((of_leather or alone) and thin)

    def of_a_person(self, at: int) -> bool:
        """ "I am 6 foot", "he is 80 kg": a size of somebody, not of the thing."""
        one, two = self.said.word(at - 1), self.said.word(at - 2)
        return one in ("am", "im", "hes", "shes") or (one == "is" and two in ("he", "she", "who"))

    def of_a_noun(self, s: Size, first: int, last: int) -> bool:
        """ "Strap with 4 mm rivets": the size belongs to the noun after it, not to the cue before."""
        owner = self.said.owner.get(s.at)
        pet = self.item and "animal" in self.base.items[self.item].supposes.get("load_carrier", ())
        if pet and fits(s.unit, self.base.attributes["load_mass"]):
            # "A 30 lb beagle": the animal may have a name that nobody listed.
            return False
        ends = self.said.ends(s.at) or self.sizes_between(s, s.at) or self.said.word(s.at) in lex.NO | lex.MAYBE
        if last > s.at or first == s.at or ends:
            return False
        return not (owner and (owner.attribute == "item" or self.base.attributes[owner.attribute].kind == "choice"))

    def place_size(self, s: Size, a: Attribute, first: int, last: int) -> None:
        """Takes a size for ``a``, or the ends of one, unless it is refused or only thought about."""
        if a.name == "width" and "width" not in self.uses and STRAP_WIDTH in self.uses:
            # "A collar, width 30 mm": what has only the width of its strap means that.
            a = self.base.attributes[STRAP_WIDTH]
        way, (low, high) = self.bound(s)
        how = self.said.scope(s.at)
        if way and how[0] == "no" and low <= how[1] < s.at:
            how = ("", s.at)
        if not all(fits(unit, a) for unit in s.units if unit):
            self.notes.doubt(self.notes.around(s, first, last), "mixes measures of two kinds; say each by itself")
        elif how[0] == "maybe":
            self.notes.doubt(self.notes.around(s, first, last), "is not settled; it was not taken")
        elif how[0] == "no":
            self.notes.doubt(self.notes.around(s, first, last), "is a bound or a refusal, not a size; it was not taken")
        else:
            texts = [f"{number(v, 6)} {u or s.unit}" for v, u in zip(s.values, s.units, strict=False)]
            if s.kind == "span":
                both = sorted(texts[:2], key=lambda text: parse_quantity(text, a.unit))
                self.notes.range(a, s, both, min(first, low), last)
            elif way and not (way == "high" and a.name in _GREATEST):
                self.notes.range(
                    a, s, (None, texts[0]) if way == "high" else (texts[0], None), min(first, low), max(last, high)
                )
            else:
                self.notes.number(a, s, f"{number(s.values[0], 6)} {s.unit}", min(first, s.at), max(last, s.at))
                self.notes.used.update((*range(low, s.at), *range(s.at, high)))
            same = {cue for cue, other in self.said.lexicon.cues if other is a}
            self.notes.used.update(i for i, _ in self.said.nearby(s)[0] if (self.said.words[i],) in same)

    def bound(self, s: Size) -> tuple[str, tuple[int, int]]:
        """Whether a size is only a lower or an upper end ("low", "high", ""), and the words that say so."""
        words, here = self.said.words, self.said.sizes.index(s)
        start = max(s.at - 4, 0, self.said.sizes[here - 1].at if here else 0)
        before, after = " ".join(words[start : s.at]), " ".join(words[s.at : s.at + 2])
        if said_of := self.said.word(s.at) in lex.COMPARED.values():
            after = " ".join(words[s.at + 1 : s.at + 3])
        for way, lead, tail in lex.BOUNDS:
            if m := lead.search(before):
                return way, (s.at - len(m.group().split()), s.at)
            if m := tail.match(after):
                return way, (s.at, s.at + said_of + len(m.group().split()))
        return "", (s.at, s.at)

    def box_names(self, s: Size) -> list[str]:
        """The attributes that the sizes of a box are of, in their order; [] where that is not clear."""
        if not self.uses:
            if self.item:
                return []
            sheet = self.notes.text(s.start, s.end)[:1].isalpha()
            return ["width", "height"] if sheet else ["width", "length", "depth"][: len(s.values)]
        order: tuple[str, ...] = ("height", "width", "depth")
        if "length" in self.uses:
            order = ("length", "width", "height", "depth")
        elif "depth" in self.uses and len(s.values) > 2:
            order = ("width", "height", "depth")
        names = [n for n in order if n in self.uses]
        if len(s.values) == 2 and names[:2] == ["height", "width"]:
            return self.upright_or_not(s)
        if len(s.values) == 2 and names in (["length"], []) and STRAP_WIDTH in self.uses:
            # "3/4 x 22": a strap is as wide as the smaller.
            return [STRAP_WIDTH, "length"] if s.values[0] <= s.values[1] else ["length", STRAP_WIDTH]
        return names

    def place_box(self, s: Size) -> None:
        """ "36 x 38 x 12 cm": the sizes the item's pattern uses, in their usual order."""
        if self.said.scope(s.at)[0] == "no":
            # "Not an A4 folio" says no size.
            self.notes.left.append((s.start, s.end))
            return
        names = self.box_names(s)
        values = s.values[:1] if len(names) == 1 and len(set(s.values)) == 1 else s.values
        if not s.unit:
            self.notes.doubt((s.start, s.end), "has no unit; write mm, cm or inches")
        elif not self.item and self.too_large(s, names):
            said_back = f"size {self.notes.text(s.start, s.end)}"
            self.notes.point(said_back, (s.start, s.end), said_back)
        elif len(values) > len(names) or not fits(s.unit, self.base.attributes[names[0]]):
            self.notes.doubt((s.start, s.end), "has no meaning here; name the item, or say which size is which")
        else:
            for name, value, unit in zip(names, values, s.units, strict=False):
                # "3/8 x 6 ft": a part of one is inches, whatever the length is in.
                own = unit or ("in" if value < 1 and s.unit in _LONG_UNITS else s.unit)
                self.notes.number(self.base.attributes[name], s, f"{number(value, 6)} {own}", s.at, s.at)

    def too_large(self, s: Size, names: Sequence[str]) -> bool:
        """Whether a size is outside what is asked of any thing, so that it can only be said back."""
        if not names or not fits(s.unit, self.base.attributes[names[0]]):
            return False
        return any(
            value > 0 and fits(unit or s.unit, self.base.attributes[name])
            and parse_quantity(f"{number(value, 6)} {unit or s.unit}", "mm") > (self.base.attributes[name].high or 0)
            for name, value, unit in zip(names, s.values, s.units, strict=False)
        )  # fmt: skip

    def upright_or_not(self, s: Size) -> list[str]:
        """Which of two sizes is the width: the longer one goes the way the item's usual shape is clearly longer."""
        usual = self.base.items[self.item or ""].supposes
        width, height = usual.get("width", (0.0,))[0], usual.get("height", (0.0,))[0]
        if not width or not height or 5 / 6 < float(width) / float(height) < 6 / 5:
            return ["width", "height"]
        wide = float(width) > float(height)
        return ["width", "height"] if (s.values[0] >= s.values[1]) == wide else ["height", "width"]

    def place_some(self, s: Size) -> None:
        """ "20 or 30 coasters": how many stays open between the two."""
        owner = self.said.owner.get(s.at)
        pieces = self.said.word(s.at) in ("piece", "pcs")
        if (pieces or (owner and owner.attribute == "item")) and len(s.values) == 2:
            low, high = (number(value, 6) for value in sorted(s.values))
            self.notes.range(self.base.attributes["quantity"], s, (low, high), s.at, s.at)
        else:
            last = s.at + (not self.said.ends(s.at) and s.at not in self.said.owner)
            self.notes.left.append(self.notes.around(s, s.at, last))

    def place_money(self, s: Size) -> None:
        """A price is what can be spent where the words near it say so; the top of a range is the limit."""
        spent = [f for f in self.told if f.meaning[0] == BUDGET and self._apart(s, f) is not None]
        priced = [f for f in self.said.lexicon.book.prices.find(self.said.words) if self._apart(s, f) is not None]
        inside = set(self.notes.text(s.start, s.end).lower().split()) & {"budget", "for"}
        if priced or not (spent or inside) or BUDGET not in self.base.attributes:
            self.notes.doubt((s.start, s.end), 'was not taken; say "budget" with it if it is what you can spend')
            return
        near = min(spent, key=lambda f: self._apart(s, f) or 0, default=None)
        first, last = (near.first, near.last) if near else (s.at, s.at)
        self.notes.number(self.base.attributes[BUDGET], s, number(max(s.values), 6), first, last)

    def place_times(self, s: Size) -> None:
        """ "Key fobs x 50", "12 x wallets", "shoulder x3": how many of what stands beside it, or of the thing."""
        quantity = self.base.attributes["quantity"]
        for i in (s.at - 1, s.at):
            owner = self.said.owner.get(i)
            if owner and owner.attribute == "item" and self.of_the_second(owner.first):
                self.notes.left.append(self.notes.around(s, owner.first, owner.last))
                return
            if owner and owner.attribute == "item":
                self.notes.number(quantity, s, number(s.values[0], 6), owner.first, owner.last)
                return
        if self.leathers.count(s):
            return
        if sum(o.kind == "times" for o in self.said.sizes) == 1 and s.values[0] >= 1:
            self.notes.number(quantity, s, number(s.values[0], 6), s.at, s.at)
        else:
            self.notes.doubt((s.start, s.end), "has no unit or no meaning here; say what it counts or measures")

    def of_the_second(self, i: int) -> bool:
        """Whether the word at ``i`` names another thing than the one that is taken."""
        return any(c.first <= i < c.last for c in self.notes.named.others) and self.notes.named.taken is not None

    def pairs(self) -> None:
        """ "A pair of straps": two of them, where the thing is not a pair by itself."""
        quantity = self.base.attributes["quantity"]
        named = self.notes.named.taken
        if quantity.name in self.notes.facts or (named and named.thing.name.startswith("pair of")):
            return
        for i, word in enumerate(self.said.words):
            counted = any(s.at == i for s in self.said.sizes)
            if word == "pair" and self.said.word(i + 1) == "of" and not counted and not self.said.scope(i)[0]:
                after = i + 2
                while after < i + 5 and (self.describes(after) or self.said.word(after) in lex.PLAIN):
                    after += 1
                owner = self.said.owner.get(after)
                if owner and owner.attribute == "item":
                    self.notes.add(quantity.name, 2.0, i, i + 2)
                    return

    def place_count(self, s: Size) -> None:
        """A number without a unit: how many items or pieces, or a count next to its cue."""
        said, at, text = self.said, s.at, number(s.values[0], 6)
        quantity, hit, after = self.base.attributes["quantity"], self.cue(s), at
        if (said.word(at), said.word(at + 1)) == ("or", "so"):
            after = at + 2
        while after < at + 4 and self.describes(after):
            after += 1
        owner = said.owner.get(after)
        item = owner if owner and owner.attribute == "item" and (owner.first == after or owner.first < at) else None
        if item and (
            s.values[0] == 1 or any(t.plural and t.word not in lex.KID for t in said.tokens[item.first : item.last])
        ):
            self.notes.number(quantity, s, text, min(at, item.first), item.last)
        elif self.leathers.count(s):
            return
        elif said.word(at) == "off" and (said.ends(at + 1) or said.owner.get(at + 1)):
            # "14 off" is how a workshop says 14 of them.
            self.notes.number(quantity, s, text, at, at + 1)
        elif said.word(at - 1) == "," and (
            (said.word(at) in (",", ".") and self.many(at - 2))
            or (s.values[0] > 1 and said.word(at) in ".,;!?" and self.many_before(at - 1))
        ):
            self.notes.number(quantity, s, text, at, at)
        elif said.word(at) == "of" and said.word(at + 1) in ("them", "these", "those"):
            self.notes.number(quantity, s, text, at, at + 2)
        elif said.word(at) == "pair":
            self.place_pairs(s, at)
        elif said.word(at) in ("piece", "pcs") and (said.ends(at + 1) or self.said.shortened):
            self.notes.number(quantity, s, text, at, at + 1)
        elif hit and hit[1] == 0 and (hit[0][0] is not quantity or said.ends(at)):
            self.notes.number(hit[0][0], s, text, min(hit[2], at), max(hit[3], at))
        elif self.many_before(at) and (said.ends(at) or said.word(at) == "ish") and self.ends_clause(s):
            self.notes.number(quantity, s, text, at, at)
        elif not said.ends(at):
            last = at
            while last < at + 3 and not said.ends(last) and last not in said.owner and last not in self.notes.used:
                last += 1
            self.notes.used.update(range(at, last))
            self.notes.left.append((s.start, said.span(at, last)[1] if last > at else s.end))
        elif any(c.isdigit() for c in self.notes.text(s.start, s.end)):
            self.notes.doubt((s.start, s.end), "has no unit or no meaning here; say what it counts or measures")
        elif self.notes.text(s.start, s.end).lower() != "one":
            self.notes.left.append((s.start, s.end))

    def ends_clause(self, s: Size) -> bool:
        """ "Key fobs 100": whether a number stands right behind the things and before a mark or the end."""
        owner = self.said.owner.get(s.at - 1)
        return bool(owner and owner.attribute == "item") and self.said.word(s.at) in ".,;!?"

    def place_pairs(self, s: Size, at: int) -> None:
        """ "3 pairs of braces", "3 pairs rowlock leathers": pairs where the thing is one, else two of each."""
        named = self.notes.named.taken
        paired = named is not None and named.thing.name.startswith("pair of")
        count = s.values[0] if paired else 2 * s.values[0]
        end = at + 1 + (self.said.word(at + 1) == "of")
        owner = self.said.owner.get(end)
        if paired or (owner and owner.attribute == "item"):
            self.notes.number(self.base.attributes["quantity"], s, number(count, 6), at, end)
        else:
            self.notes.left.append(self.notes.around(s, at, end))

    def describes(self, i: int) -> bool:
        """Whether the word at ``i`` only says of what kind the next noun is, as in "six round coasters"."""
        owner = self.said.owner.get(i)
        return owner.attribute != "item" if owner else self.said.word(i) in _DESCRIBING

    def many_before(self, i: int) -> bool:
        """ "Key fobs for the market, a dozen": whether the only thing named before ``i`` stands in the plural."""
        items = {o for k in range(i) if (o := self.said.owner.get(k)) and o.attribute == "item"}
        counted = any(o.kind in ("bare", "times") and o.at < i for o in self.said.sizes)
        return len(items) == 1 and not counted and self.said.tokens[next(iter(items)).last - 1].plural

    def many(self, i: int) -> bool:
        """Whether the word at ``i`` ends the name of the item in the plural."""
        owner = self.said.owner.get(i)
        return bool(owner and owner.attribute == "item" and self.said.tokens[i].plural)

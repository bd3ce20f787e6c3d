"""Numbers of a sentence given to what they measure or bound.

A size goes to the nearest cue, to the item it names or to the load; a span or a bound becomes a range and is never
made one value. What has no place comes back as a doubt with the way to say it, and a size without a unit is kept as it
was said.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from math import ceil, prod

from ..errors import shown
from ..leather.units import UnitError, number, parse_quantity, show, show_said, times_apart
from ..rulebase.models import Attribute
from ..rulebase.saying import VALUE
from . import lexicon as lex
from .boxes import Boxes
from .by_size import NEAR, asked_so, nearest_measures
from .counts import QUANTITY, Counts, Cue
from .hints import usual_sizes
from .leathers import Leathers
from .left_out import AROUND, THICKEST_SAID, LeftOut
from .notes import Notes
from .numbers import LONG_UNITS, Size, fits
from .offered import OUNCES, THICKEST_HIDE_MM, leather_at
from .offered import thickness as offered_thickness
from .purposes import purposes
from .roles import PERSONS
from .sayings import Found
from .sides import GENERAL, ROUND, SIDES, Sides
from .surroundings import LOAD, Surroundings

_THICKNESS_UNITS = ("iron", "irons", "oz_leather")
THICK = ("thick", "thickness", "weight")
BUDGET, DEPTH = "budget", "depth"
_BESIDE = 6
"""Over how many words a number may stand from the phrase that says what it measures."""
_TOUCHING = 2
"""Within how many words of an area the leather stands that it is of."""
_WHOLE = 4
"""The most words of an answer that is a size and nothing else."""
_NEARLY = 2.0
"""How near a size alone must lie to the usual one of a measure, and how much nearer than to that of another."""
_SQUARE_FEET = ("ft", "foot", "feet")
_SAID_OF = re.compile(r"\{value\} (\w+)")
"""By what word a thing tells one of its sizes: "a mat {value} deep"."""
_FAR = 10
"""A cue of which a size cannot be the measure counts as so many words further away."""
_OF_EACH = ("each", "apiece")
_IS = lex.folded("is are be should must about around of measure has have that which")
_LONGEST = frozenset(("longest", "biggest", "largest", "tallest"))
_ADRIFT = ("round", "apart")
"""What stands behind a measure that no word for a side means: "a board 68 cm round"."""
_SHAPED = frozenset(("round", "circular"))
_ROUND_IT = frozenset(("it", "him", "her", "me", "them", "at", "where"))
SEW_MAX = "sew_max"
_WHOSE = frozenset(("a", "an", "my", "his", "her", "our", "their", "the", "this", "that"))
_TIMES = ("x", "*")
_LOADS_APART = 8
"""How many times the usual load of a thing may be (common practice)."""
_LEAST_HUNG = 1.0
"""What is lighter, in kg, hurts nobody where it falls, and is rather the gauge of something (common practice)."""
_CUT_TO = "length"
"""Of this a least size is cut so where it is ordered over a counter: what is longer can be cut down."""
_NOT_ROUND = ("length", "height", "depth")
_LEAST_SQUARE_FEET = 6


class Measures:
    """Gives each number of the sentence its place; ``item`` is the thing being made, if it is known."""

    def __init__(self, notes: Notes, item: str | None, leathers: Leathers) -> None:
        self.notes, self.said, self.base, self.item, self.leathers = notes, notes.said, notes.base, item, leathers
        self.uses = self.said.lexicon.uses.get(item or "", frozenset())
        self.asks = notes.base.items[item].asks if item and item in notes.base.items else {}
        self.called_here = {
            lex.fold(m[1]): n
            for n, a in self.asks.items()
            if n in GENERAL and (m := _SAID_OF.search(a.say)) and m[1] in SIDES
        }
        if self.called_here.get("deep") == "width" and "length" in self.uses:
            # What is deep from front to back is wide from left to right.
            self.called_here.setdefault("wide", "length")
        for s in (s for s in self.said.sizes if s.unit and self.said.word(s.at) == "large"):
            # Who thinks in another language says large for wide.
            self.said.words[s.at] = "wide"
        self.told = list(self.said.lexicon.book.measures.find(self.said.words))
        Surroundings(notes, item).note()
        self.words, self.purposes = usual_sizes(notes.base), purposes(notes.base)
        self.sides = Sides(self.said, self.told)
        self.boxes = Boxes(notes, item, self.words.shut)
        self.left_out = LeftOut(notes, item, leathers, self.sides)
        self.left_out.give(self.boxes.names)
        self.thin = self.left_out.thin - {s.start for s in self.said.sizes if self.of_a_machine(s)}
        self.area: Size | None = None
        self.counts = Counts(notes, item, leathers, self.cue)
        self.unnamed = list[Size]()

    def place_all(self, sizes: Sequence[Size]) -> None:
        """Gives each number its place, those that no word names last, by their magnitude."""
        for s in sizes:
            self.place(s)
        for s in sorted(self.unnamed, key=lambda s: s.start):
            found = self.by_magnitude(s)
            if len(found) == 1:
                self.place_size(s, found[0], s.at, s.at)
                self.assume(s, found[0].name)
            elif found:
                words = self.notes.text(s.start, s.end)
                ways = " or ".join(shown(f"{a.cues[0]} {words}") for a in found)
                self.notes.doubt((s.start, s.end), f"was not taken; say {ways}", placeable=True)
            else:
                how = self.for_example(s)
                why = f"was not taken; say what it measures{how}"
                if self.item and not how:
                    why = "is no size I cut by; compare the order with it"
                elif not self.item and self.notes.named.taken:
                    words = self.notes.text(s.start, s.end)
                    self.notes.point(f"sizes {words}", (s.start, s.end), f"size {words}")
                    continue
                elif not self.item and self.notes.named.candidates:
                    why = "waits until the thing is clear"
                self.notes.doubt((s.start, s.end), why, placeable=bool(self.item and how))
        self.reckon()
        self.count_laid()
        self.shapes()

    def assume(self, s: Size, name: str, how: str = "") -> None:
        """Says back what a size was taken as that no word names."""
        words = self.notes.text(s.start, s.end)
        told = f"{shown(words)}{how} taken as the {self.called(name)}; say if not."
        self.notes.used.update(i for i in range(max(0, s.at - _BESIDE), s.at) if self.said.word(i) in _LONGEST)
        self.notes.tell("measure_assumed", told, words=words)

    def by_magnitude(self, s: Size) -> list[Attribute]:
        """ "A bag strap 1 1/2 in and 52 in": the measure still open whose usual size a size clearly comes nearest to.

        Not what a noun behind it is measured by, nor what is told of an other thing. Of two that fit as well both.
        """
        if (fitted := self.of_what_it_fits(s)) is not None:
            return [fitted]
        if self.item and (own := asked_so(self.notes, s, self.item)):
            return [own]
        told = self.said.word(s.at - 1) in ("every", "per", "for", "from", "to", "of", "within", "after", "under")
        told |= self.said.word(s.at - 1) in ("a", "an", "the", "my") and self.said.word(s.at - 2) in ("for", "of", "on")
        behind = self.said.word(s.at)
        told |= self.said.text[: s.start].rstrip().lower()[-1:] in ("x", "×")
        if not s.unit or told or behind in ("ago", "off", "apart", "away") or min(s.values) <= 0:
            return []
        if self.left_out.refers_on(s) or self.of_a_person(s.at) or self.said.scope(s.at)[0] or self.of_a_part(s):
            return []
        if s.kind == "feet" and behind in (*_TIMES, "by"):
            return []
        named = [self.item] if self.item else [c.thing.slug for c in self.notes.named.candidates]
        nearest = [nearest_measures(self.notes, s, slug) for slug in named if slug in self.base.items]
        # Of things that it may be all must have the same measure near.
        alike = bool(nearest) and all(found == nearest[0] for found in nearest)
        return nearest[0] if alike and (self.item or len(nearest[0]) == 1) else []

    def of_a_part(self, s: Size) -> bool:
        """ "With a strap 20 cm", "the pocket is 15 cm": whether a part that is not the thing stands before a size."""
        i = s.at - 1
        while i >= 0 and self.said.word(i) in _IS:
            i -= 1
        owner = self.said.owner.get(i)
        named = owner is not None and owner.attribute == "item"
        return i >= 0 and (self.said.word(i),) in self.counts.parts and not named and not self.asked(self.said.word(i))

    def called(self, name: str) -> str:
        """What a size is called of this thing: the depth of a mat is its width by the rules."""
        own = next((word for word, of in self.called_here.items() if of == name and word in SIDES), "")
        return SIDES.get(own, name.replace("_", " "))

    def asked(self, word: str) -> bool:
        """Whether the thing's own questions about its sizes speak of something."""
        return any(word in lex.phrase(wording.question) for wording in self.asks.values())

    def of_what_it_fits(self, s: Size) -> Attribute | None:
        """ "A sheath for a 5 in bushcraft": the one measure of what the thing is made to fit, if the size can be it."""
        led = self.said.word(s.at - 1)
        if led in _WHOSE:
            led = self.said.word(s.at - 2)
        names = self.uses & self.words.fitted - self.notes.facts.keys() - self.notes.ranges.keys()
        if led != "for" or len(names) != 1 or not self.item or not s.unit or self.said.scope(s.at)[0]:
            return None
        a = self.base.attributes[next(iter(names))]
        usual = self.base.items[self.item].supposes.get(a.name, (0.0,))[0]
        behind = self.said.word(s.at)
        if behind in PERSONS or (behind,) in self.counts.parts or not fits(s.unit, a) or not isinstance(usual, float):
            return None
        size = parse_quantity(f"{number(s.values[0], 6)} {s.unit}", a.unit)
        near = times_apart(size, usual) <= NEAR
        return a if near and (a.low or 0) <= size <= (a.high or size) else None

    def cue(self, s: Size) -> Cue | None:
        """What a size can be, by the nearest cue: (attributes, distance, first and last word of the cue)."""
        seen, split = self.said.nearby(s)
        words = tuple(lex.COMPARED.get(self.said.words[i], self.said.words[i]) for i, _ in seen)
        found = []
        own = [((word,), self.base.attributes[name]) for word, name in self.called_here.items()]
        for cue, a in (*own, *self.said.lexicon.cues):
            if self.called_here.get(cue[0], a.name) != a.name and len(cue) == 1:
                # A mat is "deep" where others are wide.
                continue
            for i in range(len(words) - len(cue) + 1):
                j = i + len(cue)
                if words[i:j] != cue or not fits(s.unit, a) or self.said.word(seen[j - 1][0] + 1) == "enough":
                    continue
                beyond = self.beyond(s, a)
                if beyond and a.name == self.purposes.strap_width and SIDES.keys().isdisjoint(cue):
                    # "Straps, 8 ft" are no straps 8 feet wide.
                    continue
                if i >= split and self.of_the_next(s, a, seen[j - 1][0] + 1):
                    continue
                if j <= split and self.of_the_last(s, seen[i][0]):
                    continue
                far = split - j + 2 * seen[j - 1][1] if j <= split else 0 if i < split else i - split + 2 * seen[i][1]
                far += self.sides.between(s, seen[j - 1][0] + 1 if j <= split else seen[i][0])
                rank = (far + _FAR * beyond, -len(cue), a.name not in self.uses, j <= split)
                found.append((rank, a, seen[i][0], seen[j - 1][0] + 1))
        best = min(found, key=lambda f: f[0], default=None)
        if s.start in self.left_out.strap_wide:
            return (self.base.attributes[self.purposes.strap_width],), 0, s.at, s.at
        if told := self.beside(s) or self.called_side(s) or self.on_a_strap(s):
            return told
        if name := self.sides.second_of_two(s):
            return (self.base.attributes[name],), 0, s.at, s.at
        called = self.called_by(s)
        if called and (best is None or best[0][0] > 0):
            return (called,), 0, s.at, s.at
        if best is None and (
            other := self.load(s) or self.days(s) or self.across(s) or self.lengthwise(s) or self.only_size(s)
        ):
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

    def beyond(self, s: Size, a: Attribute) -> bool:
        """Whether a size is outside what can be meant of a measure of length: no strap is 30 inches wide."""
        if a.unit != "mm" or not s.unit or len(s.values) != 1 or s.values[0] < 0:
            return False
        size = parse_quantity(f"{number(s.values[0], 6)} {s.unit}", a.unit)
        return not (a.low or 0) <= size <= (a.high or size)

    def beside(self, s: Size) -> Cue | None:
        """ "96 cm from the buckle fold to the hole in use": what a phrase near a size says that it measures."""
        for f in self.told:
            a = self.base.attributes[f.meaning[0]]
            named = a.name in self.uses or a.name == SEW_MAX or (not self.item and a.name in GENERAL)
            if not named or not s.unit or not fits(s.unit, a) or (a.name in GENERAL and self._apart(s, f)):
                continue
            near = [
                o
                for o in self.said.sizes
                if min(o.values, default=-1) >= 0
                and o.unit
                and fits(o.unit, a)
                and self._apart(o, f) is not None
                and (a.low or 0) <= parse_quantity(f"{o.values[0]} {o.unit}", a.unit) <= (a.high or 0)
            ]
            if near and min(near, key=lambda o: self._apart(o, f) or 0) == s:
                return (a,), 0, f.first, f.last
        return None

    def on_a_strap(self, s: Size) -> Cue | None:
        """ "18 mm lugs", "a 38 mm brass buckle": a fitting right behind a size is as wide as the strap it is put on."""
        width = self.purposes.strap_width
        short = s.unit and s.unit not in LONG_UNITS and fits(s.unit, self.base.attributes[width])
        if width not in self.uses or not short:
            return None
        for i in range(s.at, s.at + 4):
            if self.said.word(i).rpartition("-")[2] in self.words.on_straps:
                return (self.base.attributes[width],), 0, s.at, i + 1
            if self.said.ends(i) and self.said.word(i) != "-":
                break
        return None

    def called_side(self, s: Size) -> Cue | None:
        """ "Fourteen inches across", "22 foot round": the side that the words beside a size name, without a pattern."""
        name = self.sides.side(s) if not self.item and s.unit else ""
        if not name or not fits(s.unit, self.base.attributes[name]):
            return None
        if self.said.word(s.at) == "round" and s.unit in LONG_UNITS:
            # So large a thing is measured round its outside.
            name = "length"
        return (self.base.attributes[name],), 0, s.at, s.at + (self.said.word(s.at) in SIDES)

    def _apart(self, s: Size, f: Found) -> int | None:
        """How many words stand between a size and a phrase of the same clause; None where it is another or too far."""
        low, high = (f.last, s.at) if s.at >= f.last else (s.at, max(f.first, s.at))
        between = self.said.words[low:high]
        return None if len(between) > _BESIDE or set(between) & set(".;!?") else len(between)

    def of_the_next(self, s: Size, a: Attribute, end: int) -> bool:
        """ "A belt 1.5 in waist 36 in": the cue that ends before word ``end`` belongs to the size right after it."""
        after = [o for o in self.said.sizes if o.start > s.start and o.at == end and fits(o.unit, a)]
        cues = {cue[0] for cue, _ in self.said.lexicon.cues}
        return bool(after) and self.said.word(after[0].at) not in cues | set(lex.COMPARED)

    def of_the_last(self, s: Size, i: int) -> bool:
        """ "Lace 3 mm wide 50 m": whether the adjective at ``i`` belongs to the size right before it."""
        own = self.said.word(i) in lex.COMPARED.values()
        return own and any(o.at == i and o.unit for o in self.said.sizes if o.start < s.start)

    def load(self, s: Size) -> Attribute | None:
        """ "A tote, 6 kg", "a strap for a 5 kg camera": a mass alone, or of what the item is named after."""
        mass = self.base.attributes.get(LOAD)
        carries = self.item and LOAD in self.base.items[self.item].supposes
        named = {w for m in self.said.matches if m.attribute == "item" for w in self.said.words[m.first : m.last]}
        alone = (self.said.ends(s.at) or self.said.word(s.at) in named) and s.unit not in OUNCES
        if self.said.word(s.at) == "of":
            # "12 kg of props" is a load on anything, "2 kg of scraps" is leather that somebody has.
            alone = carries = bool(self.item) and self.said.word(s.at + 1) not in lex.OF_LEATHER | self.words.leftovers
        elif self.bears(s):
            alone = carries = True
        return mass if mass and carries and alone and fits(s.unit, mass) else None

    def bears(self, s: Size) -> bool:
        """Whether a mass is the load of the thing, or of what is not known yet, by the danger that is raised."""
        return self.hangs(s) and (not self.item or self.can_hang(s))

    def can_hang(self, s: Size) -> bool:
        """Whether a mass may be the load of the thing, and is not that of whoever wears it."""
        usual = self.base.items[self.item or ""].supposes.get(LOAD, (0.0,))[0]
        size = parse_quantity(f"{number(s.values[0], 6)} {s.unit}", self.base.attributes[LOAD].unit)
        return isinstance(usual, float) and size <= _LOADS_APART * usual

    def hangs(self, s: Size) -> bool:
        """ "My brother is 18 stone": whether a mass is told where a danger of what hangs or is lifted is raised."""
        raised = any(d.concept in self.words.bearing and d.state != "ruled_out" for d in self.notes.dangers)
        load = self.base.attributes.get(LOAD)
        if not raised or load is None or s.kind != "size" or s.values[0] <= 0:
            return False
        if s.unit in OUNCES or not fits(s.unit, load):
            return False
        return parse_quantity(f"{number(s.values[0], 6)} {s.unit}", load.unit) >= _LEAST_HUNG

    def across(self, s: Size) -> Attribute | None:
        """ "Coasters, 4 inch round": the width of what is as wide as it is long."""
        width = self.base.attributes.get("width")
        round_or_square = self.said.word(s.at) in ("round", "square") and ("width" in self.uses or not self.item)
        return width if width and round_or_square and s.unit and fits(s.unit, width) else None

    def lengthwise(self, s: Size) -> Attribute | None:
        """ "Six foot of fringe", "ten metres": the length of a thing without a pattern, said in a long unit."""
        length = self.base.attributes.get("length")
        strap = self.purposes.strap_width in self.uses and "length" not in self.uses
        long = (not self.item or strap) and s.unit in LONG_UNITS and s.kind == "size" and not self.of_a_person(s.at)
        owner = self.said.owner.get(s.at)
        alone = self.said.ends(s.at) or (owner and owner.attribute == "item") or self.said.word(s.at) in _OF_EACH
        past = self.said.word(s.at) in ("if", "ago", "down", "away", "up")
        return length if length and long and alone and not past else None

    def only_size(self, s: Size) -> Attribute | None:
        """ "25 mm" and nothing else, of a known thing: the one measure of it whose usual size is near."""
        if not self.item or s.kind != "size" or not s.unit or len(self.said.words) > _WHOLE or len(self.said.sizes) > 1:
            return None
        if any(word not in lex.STOP | set(lex.ABOUT) for word in self.said.words):
            return None
        apart = []
        for a in (self.base.attributes[name] for name in self.uses):
            usual = self.base.items[self.item].supposes.get(a.name, (0.0,))[0]
            if a.unit and isinstance(usual, float) and usual > 0 and fits(s.unit, a) and s.values[0] > 0:
                size = parse_quantity(f"{number(s.values[0], 6)} {s.unit}", a.unit)
                apart.append((times_apart(size, usual), a))
        apart.sort(key=lambda pair: pair[0])
        near = bool(apart) and apart[0][0] <= _NEARLY and (len(apart) == 1 or apart[0][0] * _NEARLY <= apart[1][0])
        return apart[0][1] if near else None

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
        leather = after is not None and after.attribute in (self.purposes.colour, *self.purposes.wishes[:2])
        ended = self.said.word(s.at) in (*",.;:!?", "and", "with", "for") or any(
            cue == (self.said.word(s.at),) and self.of_the_next(s, a, s.at + 1) for cue, a in self.said.lexicon.cues
        )
        if s.unit and named and "width" in self.uses and self.uses.isdisjoint((*_NOT_ROUND, self.purposes.strap_width)):
            # What has only a width is round: "18 inch drums".
            return self.base.attributes["width"] if fits(s.unit, self.base.attributes["width"]) else None
        named = named or ((ended or leather) and (before < s.at - 1 or (owner and owner.attribute == "item")))
        if s.unit and s.values[0] >= 0 and named and "width" not in self.uses:
            for a in (self.base.attributes[n] for n in (self.purposes.strap_width, "length") if n in self.uses):
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
        elif s.start in self.notes.aged or self.laid(s) or self.leathers.panel(s) or self.leathers.area(s):
            return
        elif self.sold_in_feet(s):
            self.leathers.square_feet(s)
        elif s.kind == "box":
            self.boxes.place(s)
        elif s.kind == "span" and self.square(s):
            for side in self.boxes.names(s._replace(kind="box"))[:2] or GENERAL[:2]:
                self.place_size(s, self.base.attributes[side], s.at, s.at + 1)
        elif self.square(s):
            self.boxes.place(s._replace(kind="box", values=s.values * 2, units=s.units * 2))
            self.notes.used.add(s.at)
        elif s.unit and self.of_squares(s) and not said.scope(s.at)[0]:
            span = self.notes.around(s, s.at, s.at + 1)
            words = self.notes.text(*span)
            self.notes.point(f"parts {words}", span, f"of {words}")
        elif self.round_something(s) or self.longest_inside(s) or self.across_a_round(s):
            return
        elif not s.unit and s.kind in ("bare", "some") and self.sides.side(s) and not said.scope(s.at)[0]:
            self.notes.keep(s, s.at + (said.word(s.at) in SIDES))
        elif s.kind == "times":
            self.counts.times(s)
        elif s.start in self.left_out.counted:
            self.notes.number(self.base.attributes[QUANTITY], s, number(s.values[0], 6), s.at, s.at)
        elif s.kind == "some":
            self.counts.some(s)
        elif s.kind == "bare":
            self.counts.count(s)
        elif s.kind == "money":
            self.place_money(s)
        elif s.kind == "clothing":
            self.notes.doubt(span, "is a label and no measure; say what the thing itself measures")
        elif s.kind != "age":
            hit = self.cue(s)
            if hit and self.of_a_machine(s):
                self.sewn(hit)
            if not self.of_a_machine(s) and (s.start in self.thin or self.thickness(s, hit)):
                near = [i for i, _ in said.nearby(s)[0] if said.words[i] in THICK or said.words[i] in lex.COMPARED]
                span = self.notes.around(s, min([s.at, *near]), max([s.at, *(i + 1 for i in near)]))
                self.place_thickness(s, span, near)
            elif self.of_a_person(s.at) and (self.of_the_animal(s) or self.bears(s)):
                # "A lead, he is 30 kilos": who bears on it is the animal, whatever it is called.
                self.place_size(s, self.base.attributes[LOAD], s.at - 1, s.at)
            elif self.of_a_person(s.at) and (animal := self.animal(s)):
                words = self.notes.text(*span)
                self.notes.point(f"weighs {words}", span, f"{animal} of {words}")
            elif self.of_a_person(s.at):
                self.notes.doubt(span, "is the size of a person; say what the thing itself measures")
            elif not hit and s.kind in ("size", "span", "feet"):
                self.unnamed.append(s)
            elif said.word(s.at - 1) in ("every", "per") or not hit or self.of_a_noun(s, hit[2], hit[3]):
                self.notes.doubt(span, f"was not taken; say what it measures{self.for_example(s)}", placeable=True)
            elif len(hit[0]) > 1:
                names = " or ".join(a.name.replace("_", " ") for a in hit[0])
                self.notes.doubt(span, f"can be the {names}; say which, or name the item", placeable=True)
            elif self.of_any_thing(s, hit[0][0].name):
                name, span = hit[0][0].name, (s.start, s.end)
                size = f"{number(s.values[0], 6)} {s.unit}"
                self.notes.point(f"{name} {size}", span, f"{name} {self.notes.text(*span)}")
            elif self.adrift(s, hit[0][0].name):
                words = self.notes.text(*(span := self.notes.around(s, s.at, s.at + 1)))
                asked = self.asks[hit[0][0].name].question
                self.notes.tell("not_taken", f"{shown(words)}: I cut by another measure. {asked}", words=words)
                self.notes.left.append(span)
            else:
                self.place_size(s, hit[0][0], hit[2], hit[3])

    def adrift(self, s: Size, name: str) -> bool:
        """ "Boards 90 cm long": whether a side is said of what the thing is not measured by, but for example round."""
        own = self.asks[name].say if name in self.asks else ""
        other = any(f"{VALUE} {word}" in own for word in _ADRIFT)
        return other and name in GENERAL and self.said.word(s.at) in SIDES and self.said.word(s.at) not in _SHAPED

    def of_a_machine(self, s: Size) -> bool:
        """ "My machine gives up at about 3 mm": whether a size is what a sewing machine gets through."""
        hit = self.beside(s) if s.values and not s.wrong else None
        return hit is not None and hit[0][0].name == SEW_MAX

    def sewn(self, hit: Cue) -> None:
        """Drops what the words of a machine's limit would say else, where the machine is named besides."""
        inside = [m for m in self.said.matches if hit[2] <= m.first < hit[3] and m.attribute != "item"]
        besides = {m.attribute for m in self.said.matches if m not in inside}
        self.said.matches = [m for m in self.said.matches if m not in inside or m.attribute not in besides]

    def animal(self, s: Size) -> str:
        """The animal spoken of whose mass a size may be, by the word for it, or ""."""
        mass, said = self.base.attributes.get(LOAD), self.said
        if mass is None or not fits(s.unit, mass):
            return ""
        known = ((word, said.lexicon.objects.get((word,))) for word in said.words)
        return next((word for word, slug in known if slug and self.notes.words.objects[slug].alive), "")

    def longest_inside(self, s: Size) -> bool:
        """ "A roll for chisels, the longest is 28 cm": takes the longest in it, and room, as the side along it."""
        name, near = self.words.upright_side, range(s.at - 1, max(-1, s.at - 1 - _BESIDE), -1)
        first = next((i for i in near if self.said.word(i) in _LONGEST), None)
        open_ = self.item in self.words.upright and name not in self.notes.facts
        if first is None or not open_ or s.kind != "size" or not fits(s.unit, self.base.attributes[name]):
            return False
        mm = parse_quantity(f"{number(s.values[0], 6)} {s.unit}", "mm") + self.words.upright_room
        self.notes.number(self.base.attributes[name], s, f"{number(mm, 6)} mm", first, s.at)
        self.assume(s, name, f" is the longest in it: {show_said(mm, 'mm', self.notes.units)}")
        return True

    def across_a_round(self, s: Size) -> bool:
        """ "Table mats round 35 cm", "a round mat, 22 cm": takes one size as both sides of a round thing."""
        sides = [n for n in GENERAL[:2] if n in self.uses]
        plain = s.kind == "size" and s.unit and s.values[0] > 0 and fits(s.unit, self.base.attributes[GENERAL[0]])
        sized = [o for o in self.said.sizes if o.kind in ("size", "box") and o.unit]
        sized = [o for o in sized if fits(o.unit, self.base.attributes[GENERAL[0]])]
        round_ = any(self.shaped(i) for i in range(len(self.said.words)))
        if not plain or not sides or not round_ or len(sized) > 1 or self.sides.side(s) or self.left_out.refers_on(s):
            return False
        if self.said.scope(s.at)[0] or not {self.purposes.strap_width, *self.words.around}.isdisjoint(self.uses):
            return False
        for name in sides:
            self.place_size(s, self.base.attributes[name], s.at, s.at)
        return True

    def shaped(self, i: int) -> bool:
        """Whether the word at ``i`` says that the thing is round: no part of a name, nor "round the waist"."""
        said, after = self.said, self.said.word(i + 1)
        sized = any(o.at == i + 1 for o in said.sizes)
        named = (o := said.owner.get(i)) is not None and o.attribute == "item"
        return said.word(i) in _SHAPED and not named and (sized or after not in _WHOSE | _ROUND_IT)

    def shapes(self) -> None:
        """Keeps that a thing is round, which no attribute holds."""
        for i in range(len(self.said.words)):
            if self.item and GENERAL[0] in self.uses and i not in self.notes.used and self.shaped(i):
                self.notes.used.add(i)
                self.notes.point("round", self.said.span(i, i + 1), self.said.word(i))

    def laid(self, s: Size) -> bool:
        """ "Tiles 20 x 20 cm, 2.4 m2": keeps the area that pieces laid side by side are to cover."""
        near = {*self.said.words[max(0, s.at - _TOUCHING) : s.at + _TOUCHING]}
        if self.item not in self.words.laid or s.kind != "size" or near & lex.OF_LEATHER or self.said.scope(s.at)[0]:
            return False
        try:
            parse_quantity(f"{number(s.values[0], 6)} {s.unit}", "dm2")
        except UnitError:
            return False
        self.area = s
        return True

    def count_laid(self) -> None:
        """Counts the pieces that cover the area that was said, and says the count back."""
        if (s := self.area) is None:
            return
        words = self.notes.text(s.start, s.end)
        facts = self.notes.facts
        sides = [facts[n][-1].value if n in facts else self.left_out.usual(n)[0] for n in GENERAL if n in self.uses]
        piece = prod(float(mm) for mm in sides) / 1e4
        count = ceil(parse_quantity(f"{number(s.values[0], 6)} {s.unit}", "dm2") / piece - 1e-6)
        self.notes.point(f"area {words}", (s.start, s.end), words)
        if QUANTITY not in self.notes.facts:
            self.notes.number(self.base.attributes[QUANTITY], s, str(count), s.at, s.at)
            told = " x ".join(show_said(float(mm), "mm", self.notes.units) for mm in sides)
            self.notes.tell("counted", f"{shown(words)} at {told} comes to {count}; say if not.", words=words)

    def reckon(self) -> None:
        """ "A drawstring pouch 15 cm high": works out the side that a thing is cut by from the one that was said."""
        way = self.words.reckoned.get(self.item or "")
        facts = self.notes.facts
        if way is None or way.said not in facts:
            return
        said = facts.pop(way.said)[-1]
        beside = facts.pop(way.side, None)
        mm = way.times * float(said.value) + (float(beside[-1].value) if beside else way.more)
        facts[way.side] = [replace(said, value=mm)]
        words = self.notes.text(*said.span)
        name, size = self.base.items[self.item or ""].asks[way.side].say, show_said(mm, "mm", self.notes.units)
        told = f"{shown(words)} takes {name.replace(VALUE, size)}; say if not."
        self.notes.tell("measure_assumed", told, words=words)

    def square(self, s: Size) -> bool:
        """ "Nine inch square": whether a size is of both sides of what is made, and not of a square ring or stud."""
        plain = s.kind in ("size", "span") and s.unit and s.values[0] > 0
        plain = plain and fits(s.unit, self.base.attributes[GENERAL[0]])
        if not plain or self.said.word(s.at) not in ("square", "sq") or self.said.scope(s.at)[0]:
            return False
        fitting = {self.said.word(i).rpartition("-")[2] for i in (s.at + 1, s.at + 2)} & self.words.on_straps
        sides = not self.item or len(self.uses & {*GENERAL}) > 1
        return sides and not fitting and not self.of_squares(s)

    def of_squares(self, s: Size) -> bool:
        """ "A board of two inch squares": whether squares are so large that the thing taken is made of."""
        taken = self.notes.named.taken
        squares = s.at < len(self.said.tokens) and self.said.word(s.at) == "square" and self.said.tokens[s.at].plural
        return squares and taken is not None and not taken.first <= s.at < taken.last

    def sold_in_feet(self, s: Size) -> bool:
        """ "Goat 0.8 black 30ft", "30 ft goat": whether feet are square feet, beside a thickness or before a leather.

        No other length may be said. Leather is sold so over a counter (common practice); a strap, a cord or a lace is
        sold by its length.
        """
        lengths = [o for o in self.said.sizes if o.start not in self.thin and o.unit in LONG_UNITS]
        plain = s.unit in _SQUARE_FEET and s.kind in ("size", "span") and min(s.values) >= _LEAST_SQUARE_FEET
        widths = [o for o in self.said.sizes if o.start not in self.thin and o.kind == "size" and o.unit and o != s]
        widths = [o for o in widths if fits(o.unit, self.base.attributes[GENERAL[0]])]
        uses = set(self.uses)
        for c in self.notes.named.candidates[:1]:
            uses |= self.said.lexicon.uses.get(c.thing.slug, frozenset())
        behind = self.said.word(s.at) not in lex.OF_LEATHER and any(
            self.leathers.tells(i, False) for i in range(s.at, s.at + 1 + (not self.said.ends(s.at)))
        )
        if not plain or not (self.thin or behind) or len(lengths) > 1 or widths or self.purposes.strap_width in uses:
            return False
        word = self.said.word(s.at)
        narrow = not self.words.narrow.isdisjoint(self.said.words)
        return not narrow and word not in (*SIDES, "of") and not self.sides.side(s)

    def round_something(self, s: Size) -> bool:
        """ "Four inches round", "60 in circumference": keeps a measure round the outside of a thing."""
        if not self.sides.goes_round(s) or self.said.scope(s.at)[0] or min(s.values, default=0) <= 0:
            return False
        name = self.left_out.round_of(s)
        last = s.at + (self.said.word(s.at) in (*ROUND, "in"))
        if not s.unit:
            self.notes.keep(s, last)
        elif name != AROUND:
            self.place_size(s, self.base.attributes[name], s.at, last)
        elif not all(fits(unit, self.base.attributes[GENERAL[0]]) for unit in (s.unit, *s.units) if unit):
            return False
        else:
            sizes = [
                parse_quantity(f"{number(v, 6)} {u or s.unit}", "mm") for v, u in zip(s.values, s.units, strict=True)
            ]
            ends = " to ".join(show(mm, "mm", self.notes.units) for mm in sizes)
            span = self.notes.around(s, s.at, last)
            self.notes.point(f"{AROUND} {' to '.join(number(mm, 6) for mm in sizes)} mm", span, f"{ends} round")
        return True

    def place_thickness(self, s: Size, span: tuple[int, int], near: Sequence[int]) -> None:
        """A thickness said is shown back and compared with the weight that is worked out, unless it is refused.

        A bound is only shown back.
        """
        way, (low, high) = self.bound(s)
        if self.notes.text(s.end, s.end + 1) == "+":
            way = "low"
        refused = self.said.scope(s.at)[0] and not way
        thick = offered_thickness(s)
        if not refused and not thick and min(s.values) > 0 and fits(s.unit, self.base.attributes[DEPTH]):
            # Five centimetres are no leather; so thick is the thing.
            self.place_size(s, self.base.attributes[DEPTH], s.at, s.at + (s.at < len(self.said.words)))
            return
        if refused or not thick:
            self.notes.doubt(span, "is refused or can be no thickness of leather; it was not taken")
            return
        ends = " to ".join(show(mm, "mm", "mm") for mm in dict.fromkeys((thick.low, thick.high)))
        ounces = f" ({' to '.join(number(v, 6) for v in s.values)} oz)" if s.unit in OUNCES else ""
        self.notes.point({"low": "at least ", "high": "at most "}.get(way, "") + ends + ounces, span)
        self.notes.used.update((*near, *range(low, s.at), *range(s.at, high)))
        self.notes.used.update(i for i in (s.at,) if self.said.word(i) in self.words.sold)
        if not way:
            self.notes.thick.append(s._replace(start=span[0], end=span[1]))

    def of_any_thing(self, s: Size, name: str) -> bool:
        """Whether a size of a thing that nobody knows is too large for the attribute of that name."""
        return not self.item and s.kind == "size" and name in GENERAL and self.boxes.too_large(s, [name])

    def for_example(self, s: Size) -> str:
        """How the size could be said so that it is taken."""
        size = f"{number(s.values[0], 6)} {s.unit}"
        could = [
            a
            for a in self.base.attributes.values()
            if a.cues
            and a.ask != "never"
            and a.group != "job"
            and fits(s.unit, a)
            and (a.group != "size" or a.name in self.uses)
            and s.values[0] >= 0
            and (a.low or 0) <= parse_quantity(size, a.unit) <= (a.high or 0)
        ]
        return f', for example "{could[0].cues[0]} {size}"' if could else ""

    def thickness(self, s: Size, hit: Cue | None) -> bool:
        """Whether a size is the weight of the leather, which is advised and not asked."""
        words = self.said.words
        near = [i for i, _ in self.said.nearby(s)[0] if lex.COMPARED.get(words[i], words[i]) in THICK]
        cue = words[hit[2] : hit[3]] if hit else []
        named = leather_at(self.base, self.said, s.at) > 0
        if s.unit in OUNCES:
            thick = not hit or hit[0][0].unit != "kg" or cue == ["weight"] or named or hit[1] > 0
        else:
            thick = (
                bool(near)
                and fits(s.unit, self.base.attributes["blade_spine"])
                and (not hit or (cue == ["thick"] and hit[0][0].name not in self.uses))
            )
        if self.said.word(s.at) in THICK[:2] and s.kind in ("size", "span") and cue != ["thick"]:
            found = offered_thickness(s)
            thick |= found is not None and found.high <= THICKEST_SAID
        before = self.said.word(self.bound(s)[1][0] - 1) if self.bound(s)[0] else ""
        # "2 mm stuff" and "2 mm of leather" are as thick.
        behind = s.at + (self.said.word(s.at) == "of")
        of_leather = {self.said.word(behind), before} & self.words.sold or named
        thin = s.unit in ("mm", "millimetre", "millimeter", "millimetres", "millimeters")
        thin = thin and s.values[0] <= THICKEST_HIDE_MM
        alone = not hit and self.said.ends(s.at) and s.values[0] <= THICKEST_SAID
        return thick or s.unit in _THICKNESS_UNITS or (bool(of_leather or alone) and thin)

    def of_a_person(self, at: int) -> bool:
        """ "I am 6 foot", "he is 80 kg": a size of somebody, not of the thing."""
        one, two = self.said.word(at - 1), self.said.word(at - 2)
        return one in ("am", "im", "hes", "shes") or (one == "is" and two in ("he", "she", "who"))

    def of_the_animal(self, s: Size) -> bool:
        """Whether a mass can be that of the animal that bears on what is made."""
        carrier, animal = self.purposes.carrier
        borne = self.item is not None and animal in self.base.items[self.item].supposes.get(carrier, ())
        return borne and fits(s.unit, self.base.attributes[LOAD])

    def of_a_noun(self, s: Size, first: int, last: int) -> bool:
        """ "Strap with 4 mm rivets": the size belongs to the noun after it, not to the cue before."""
        owner = self.said.owner.get(s.at)
        if self.of_the_animal(s):
            # "A 30 lb beagle": the animal may have a name that nobody listed.
            return False
        ends = (
            self.said.ends(s.at)
            or self.sides.between(s, s.at)
            or self.said.word(s.at) in lex.NO | lex.MAYBE | lex.SOFTLY
        )
        if last > s.at or first == s.at or ends:
            return False
        return not (owner and (owner.attribute == "item" or self.base.attributes[owner.attribute].kind == "choice"))

    def place_size(self, s: Size, a: Attribute, first: int, last: int) -> None:
        """Takes a size for ``a``, or the ends of one, unless it is refused or only thought about."""
        if a.name == "width" and "width" not in self.uses and self.purposes.strap_width in self.uses:
            # "A collar, width 30 mm": what has only the width of its strap means that.
            a = self.base.attributes[self.purposes.strap_width]
        a = self.meant(s, a)
        way, (low, high) = self.bound(s)
        # "My machine cannot take more than 4 mm" tells what it can take.
        how = self.said.scope(s.at) if a.name != SEW_MAX else ("", s.at)
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
            if way == "low" and a.name == _CUT_TO and s.kind == "size" and self.left_out.counter:
                self.notes.number(a, s, texts[0], min(first, low), max(last, high))
                words = self.notes.text(s.start, s.end)
                self.notes.tell(
                    "least_ordered", f"{shown(words)} is the least, so it is ordered that long.", words=words
                )
            elif s.kind == "span":
                self.place_span(s, a, texts[:2], min(first, low), last)
            elif way and not (a.name in self.purposes.greatest and (way == "high" or a.name == SEW_MAX)):
                self.notes.range(
                    a, s, (None, texts[0]) if way == "high" else (texts[0], None), min(first, low), max(last, high)
                )
            else:
                self.notes.number(a, s, f"{number(s.values[0], 6)} {s.unit}", min(first, s.at), max(last, s.at))
                self.notes.used.update((*range(low, s.at), *range(s.at, high)))
            same = {cue for cue, other in self.said.lexicon.cues if other is a}
            self.notes.used.update(i for i, _ in self.said.nearby(s)[0] if (self.said.words[i],) in same)

    def meant(self, s: Size, a: Attribute) -> Attribute:
        """ "A tote 40 cm long": the side that the thing has, where the word is for one that it has not got."""
        name = self.left_out.stand_in(a.name, s) if s.kind in ("size", "span") and s.unit else ""
        usual = self.base.items[self.item or ""].supposes.get(name, (0.0,))[0] if name else 0.0
        if not isinstance(usual, float) or usual <= 0 or min(s.values) <= 0 or not fits(s.unit, a):
            return a
        size = parse_quantity(f"{number(s.values[0], 6)} {s.unit}", a.unit)
        if times_apart(size, usual) > NEAR:
            return a
        self.assume(s, name)
        return self.base.attributes[name]

    def place_span(self, s: Size, a: Attribute, texts: Sequence[str], first: int, last: int) -> None:
        """Takes both ends of a span, the smaller first, unless one is below nothing."""
        try:
            both = sorted(texts, key=lambda text: parse_quantity(text, a.unit))
        except UnitError as error:
            self.notes.doubt((s.start, s.end), f"cannot be read: {error}")
            return
        self.notes.range(a, s, both, first, last)

    def bound(self, s: Size) -> tuple[str, tuple[int, int]]:
        """Whether a size is only a lower or an upper end ("low", "high", ""), and the words that say so."""
        words, here = self.said.words, self.said.sizes.index(s)
        start = max(s.at - 4, 0, self.said.sizes[here - 1].at if here else 0)
        before, after = " ".join(words[start : s.at]), " ".join(words[s.at : s.at + 2])
        if said_of := self.said.word(s.at) in lex.COMPARED.values():
            after = " ".join(words[s.at + 1 : s.at + 3])
        if way := self.sides.compared(s)[1]:
            return way, (s.at, s.at)
        for way, lead, tail in lex.BOUNDS:
            if m := lead.search(before):
                return way, (s.at - len(m.group().split()), s.at)
            if m := tail.match(after):
                return way, (s.at, s.at + said_of + len(m.group().split()))
        return "", (s.at, s.at)

    def stands_alone(self, s: Size) -> bool:
        """Whether a price stands between two marks, with no word that says what it is the price of."""
        first = s.at - 1
        while first >= 0 and self.said.tokens[first].start >= s.start:
            first -= 1
        return self.said.ends(s.at) and (first < 0 or self.said.word(first) in ",.;(")

    def place_money(self, s: Size) -> None:
        """A price is what can be spent where the words near it say so; the top of a range is the limit."""
        spent = [f for f in self.told if f.meaning[0] == BUDGET and self._apart(s, f) is not None]
        priced = [f for f in self.said.lexicon.book.prices.find(self.said.words) if self._apart(s, f) is not None]
        inside = set(self.notes.text(s.start, s.end).lower().split()) & {"budget", "for"}
        if not (priced or spent or inside) and self.stands_alone(s) and BUDGET in self.base.attributes:
            # "A wallet, brown, £30".
            words = self.notes.text(s.start, s.end)
            self.notes.number(self.base.attributes[BUDGET], s, number(max(s.values), 6), s.at, s.at)
            self.notes.tell("measure_assumed", f"{shown(words)} taken as what you can spend; say if not.", words=words)
            return
        if priced or not (spent or inside) or BUDGET not in self.base.attributes:
            self.notes.doubt((s.start, s.end), 'was not taken; say "budget" with it if it is what you can spend')
            return
        near = min(spent, key=lambda f: self._apart(s, f) or 0, default=None)
        first, last = (near.first, near.last) if near else (s.at, s.at)
        self.notes.number(self.base.attributes[BUDGET], s, number(max(s.values), 6), first, last)

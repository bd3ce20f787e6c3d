"""Free sentences into facts: longest known words, sizes next to their cue, negation and doubt kept.

Nothing is guessed. What was not used is handed back as unread, what could be read two ways as a
doubt. Whatever hints at a person hanging from leather is read on the careful side. All is pure.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence

from ..errors import AnswerError, UsageError, nearest, shown
from ..leather.units import number, parse_quantity
from ..reasoning.facts import PIECE, Answer, attribute_named, parse_answer, parse_piece
from ..rulebase.models import Attribute, RuleBase
from . import lexicon as lex
from .notes import Fact, Notes, Reading, Understood
from .sentence import Match
from .sizes import Size, fits

MAX_TEXT = 2000
__all__ = ["MAX_TEXT", "Reading", "Understood", "read_assignments", "read_sentence"]
_THICKNESS_UNITS = ("iron", "irons", "oz_leather")
# No hide is thicker (common practice), so "2.5 mm leather" is a thickness and "300 mm leather" a length.
_THICKEST_HIDE_MM = 12
_OUNCES = ("oz", "oz.", "ounce", "ounces")


def read_sentence(rulebase: RuleBase, text: str, item: str | None = None) -> Reading:
    """What ``text`` says about the job. ``item`` is the item already known, so sizes find their attribute.

    Never raises on any text: what cannot be used comes back in ``unread`` and ``doubts``.
    """
    doubts = []
    if len(text) > MAX_TEXT:
        doubts.append(f"Only the first {MAX_TEXT} characters were read.")
        text = text[:MAX_TEXT]
    odd = ("Cc", "Cs", "Co", "Cn")
    rubbish = [c for c in text if c == "�" or (unicodedata.category(c) in odd and c not in "\t\n\r")]
    if rubbish:
        what = ascii("".join(dict.fromkeys(rubbish))[:8])
        doubts.append(f"The text holds characters that are no writing: {what}.")
        if len(rubbish) * 10 > len(text):
            return Reading({}, (), (ascii(text[:40]),), tuple(doubts))
        text = "".join("." if c in rubbish else c for c in text)
    return _Reader(rulebase, text, item, doubts).read()


def read_assignments(rulebase: RuleBase, assignments: Iterable[str]) -> dict[str, Answer]:
    """``strap_width=38 mm`` and the like, as on a command line. Raises UsageError or AnswerError."""
    answers: dict[str, Answer] = {}
    for text in assignments:
        name, sign, value = text.partition("=")
        name = "_".join(name.split()).replace("-", "_")
        if not sign or not name or not value.strip():
            near = nearest(name, rulebase.attributes)
            raise UsageError(f"{shown(text)} is no assignment; write for example {near or 'strap_width'}=value.")
        if name in answers:
            raise AnswerError(name, value.strip(), "it is given twice; give it once")
        if name.startswith(PIECE):
            answers[name] = parse_piece(name, value)
        else:
            answers[name] = parse_answer(attribute_named(rulebase, name), value.strip())
    return answers


class _Reader(Notes):
    """Reads one sentence: the item first, since it says what a size can be; then people, sizes and values."""

    def __init__(self, rulebase: RuleBase, text: str, item: str | None, doubts: list[str]) -> None:
        super().__init__(rulebase, text, doubts)
        self.item = item if item in rulebase.items else None

    @property
    def uses(self) -> frozenset[str]:
        """The attributes that the pattern of the item measures."""
        return self.said.lexicon.uses.get(self.item or "", frozenset())

    def read(self) -> Reading:
        self.name_item()
        self.children()
        for s in self.said.sizes:
            self.place(s)
        self.assert_matches()
        return self.reading()

    def allowed(self, m: Match) -> bool:
        """False when negated or only thought about; what concerns somebody's life is kept when in doubt."""
        how, at = self.said.scope(m.root)
        after = self.said.word(m.last)
        failing = (m.attribute, m.value) in self.said.lexicon.grave and lex.FAILING & set(self.said.words[at : m.last])
        if how == "no" and (failing or self.said.words[m.root] in lex.NO):
            how = ""
        how = "no" if after == "free" else how or ("maybe" if after in lex.MAYBE else "")
        first, last = min(at, m.first), m.last + (after == "free")
        if how:
            self.used.update(range(first, last))
        if how == "no":
            self.left.append(self.said.span(first, last))
        grave = (m.attribute, m.value) in self.said.lexicon.grave
        if how == "maybe":
            end = "it is taken as meant, to be on the safe side" if grave else "it was not taken"
            self.doubts.append(f"{shown(self.text(*self.said.span(first, last)))} is not settled; {end}.")
        return not how or (how == "maybe" and grave)

    def name_item(self) -> None:
        """Chooses the item: what a life hangs on, then the longest name, then the first; the rest is doubted."""
        said = self.said
        named = [m for m in said.matches if m.attribute == "item"]
        if not named:
            named = [
                Match("item", said.lexicon.heads[word], i, i + 1, i) for i, word in enumerate(said.words)
                if word in said.lexicon.heads and i not in said.owner and said.word(i + 1) != "of"
                and (said.ends(i - 1) or i - 1 in said.owner)
            ]  # fmt: skip
        named = [m for m in named if self.allowed(m)]
        near = {m.value for m in named if self.base.items[m.value].family not in ("straps", "unusual")}
        for m in [m for m in named if m.value == "climbing_gear" and m.last - m.first == 1 and near]:
            # Gear for climbers that bears nobody, such as a chalk bag, is not climbing gear.
            self.doubt(said.span(m.first, m.last), "was left out; say so if a person will ever hang from it")
            self.used.add(m.first)
            named.remove(m)
        if not named:
            return
        best = min(named, key=lambda m: (("item", m.value) not in said.lexicon.grave, m.first - m.last, m.first))
        self.item = best.value
        for m in named:
            name, other = self.base.items[best.value].name, self.base.items[m.value].name
            if m.value == best.value:
                self.add("item", m.value, m.first, m.last)
                said.owner.update(dict.fromkeys(range(m.first, m.last), m))
            elif m.last <= best.first or best.last <= m.first:
                self.doubts.append(f"Both {name} and {other} can be meant; {name} was taken.")
                self.used.update(range(m.first, m.last))

    def children(self) -> None:
        """Ages of people: under three, three to twelve; a child without an age stays open."""
        said = self.said
        for s in (s for s in said.sizes if s.kind == "age"):
            near = range(max(0, s.at - 6), min(len(said.words), s.at + 4))
            kids = [i for i in near if said.words[i] in lex.KID]
            alone = s.at > 0 and said.word(s.at - 1) in lex.STOP and said.ends(s.at)
            person = kids or alone or any(said.words[i] in ("baby", "toddler") for i in near)
            self.used.update(kids)
            animal = lex.ANIMAL & {said.words[i] for i in near}
            if not person or animal or not s.values or s.values[0] > 12 or said.scope(s.at)[0] == "no":
                self.left.append((s.start, s.end))
                continue
            close = [i for i in kids if -3 < i - s.at < 2]
            first, last = min([*close, s.at]), max([*(i + 1 for i in close), s.at])
            self.add("user_kind", "child_under3" if s.values[0] < 3 else "child_3_12", first, last, s)
        for i, word in enumerate(said.words):
            if word not in lex.KID or i in self.used or i in said.owner:
                continue
            how, at = said.scope(i)
            self.used.update(range(at, i + 1) if how == "no" else (i,))
            if how == "no":
                self.left.append(said.span(at, i + 1))
            else:
                self.doubts.append(
                    f"The age of the {word} is open; goods for the under-threes have rules of their own."
                )

    def cue(self, s: Size) -> tuple[Sequence[Attribute], int, int, int] | None:
        """What a size can be, by the nearest cue: (attributes, distance, first and last word of the cue)."""
        seen, split = self.said.nearby(s)
        words = tuple(self.said.words[i] for i, _ in seen)
        found = []
        for cue, a in self.said.lexicon.cues:
            for i in range(len(words) - len(cue) + 1):
                j = i + len(cue)
                if words[i:j] != cue or not fits(s.unit, a):
                    continue
                far = split - j + 2 * seen[j - 1][1] if j <= split else 0 if i < split else i - split + 2 * seen[i][1]
                rank = (far, -len(cue), a.name not in self.uses, j <= split)
                found.append((rank, a, seen[i][0], seen[j - 1][0] + 1))
        best = min(found, key=lambda f: f[0], default=None)
        called = self.called_by(s)
        if called and (best is None or best[0][0] > 0):
            return (called,), 0, s.at, s.at
        if best is None and (load := self.load(s)):
            return (load,), 0, s.at, s.at
        if best:
            level = {f[1].name: f[1] for f in found if f[0] == best[0]}
            if self.item:
                level = dict([max(level.items(), key=lambda pair: self.said.lexicon.popular[pair[0]])])
            return tuple(level.values()), best[0][0], best[2], best[3]
        return None

    def load(self, s: Size) -> Attribute | None:
        """ "A tote, 6 kg": a mass that stands alone is the load of an item that carries one."""
        mass = self.base.attributes.get("load_mass")
        carries = self.item and "load_mass" in self.base.items[self.item].supposes
        alone = self.said.ends(s.at) and s.unit not in _OUNCES
        return mass if mass and carries and alone and fits(s.unit, mass) else None

    def called_by(self, s: Size) -> Attribute | None:
        """ "A 38 mm belt", "a six foot lead": a strap is called by its width, else by its length."""
        after = self.said.owner.get(s.at)
        named = after and after.attribute == "item" and after.first == s.at
        if s.unit and s.values[0] >= 0 and named and "width" not in self.uses:
            for a in (self.base.attributes[n] for n in ("strap_width", "length") if n in self.uses):
                if fits(s.unit, a) and (a.high or 0) >= parse_quantity(f"{number(s.values[0], 6)} {s.unit}", a.unit):
                    return a
        return None

    def place(self, s: Size) -> None:
        """Gives a number to its attribute, or leaves it with the reason."""
        span = s.start, s.end
        if s.wrong:
            self.doubt(span, f"cannot be read: {s.wrong}")
        elif s.kind == "box":
            self.place_box(s)
        elif s.kind == "bare":
            self.place_count(s)
        elif s.kind != "age":
            hit = self.cue(s)
            if self.thickness(s, hit):
                self.doubt(span, "is a thickness; the weight of the leather is worked out, not asked")
            elif not hit or self.of_a_noun(s, hit[2], hit[3]):
                self.doubt(span, f"was not taken; say what it measures{self.for_example(s)}")
            elif len(hit[0]) > 1:
                names = " or ".join(a.name.replace("_", " ") for a in hit[0])
                self.doubt(span, f"can be the {names}; say which, or name the item")
            else:
                self.place_size(s, hit[0][0], hit[2], hit[3])

    def for_example(self, s: Size) -> str:
        """How the size could be said so that it is taken."""
        size = f"{number(s.values[0], 6)} {s.unit}"
        could = [
            a for a in self.base.attributes.values()
            if a.cues and a.ask != "never" and fits(s.unit, a) and (a.group != "size" or a.name in self.uses)
            and s.values[0] >= 0 and (a.low or 0) <= parse_quantity(size, a.unit) <= (a.high or 0)
        ]  # fmt: skip
        return f', for example "{could[0].cues[0]} {size}"' if could else ""

    def thickness(self, s: Size, hit: tuple[Sequence[Attribute], int, int, int] | None) -> bool:
        words = self.said.words
        near = [i for i, _ in self.said.nearby(s)[0] if words[i] in ("thick", "thickness", "weight")]
        cue = words[hit[2] : hit[3]] if hit else []
        if s.unit in _OUNCES:
            thick = not hit or hit[0][0].unit != "kg" or cue == ["weight"]
        else:
            thick = bool(near) and fits(s.unit, self.base.attributes["blade_spine"]) and (
                not hit or (cue == ["thick"] and hit[0][0].name not in self.uses))  # fmt: skip
        of_leather = self.said.word(s.at) in ("leather", "hide", "veg") and s.unit == "mm"
        thick |= s.unit in _THICKNESS_UNITS or (of_leather and s.values[0] <= _THICKEST_HIDE_MM)
        self.used.update(near if thick else ())
        return thick

    def of_a_noun(self, s: Size, first: int, last: int) -> bool:
        """ "Strap with 4 mm rivets": the size belongs to the noun after it, not to the cue before."""
        owner = self.said.owner.get(s.at)
        if last > s.at or first == s.at or self.said.ends(s.at) or self.said.word(s.at) in lex.NO | lex.MAYBE:
            return False
        return not (owner and (owner.attribute == "item" or self.base.attributes[owner.attribute].kind == "choice"))

    def place_size(self, s: Size, a: Attribute, first: int, last: int) -> None:
        how = self.said.scope(s.at)[0]
        if s.kind == "span":
            self.doubt((s.start, s.end), f"is a span; give one size for the {a.name.replace('_', ' ')}")
        elif how == "maybe":
            self.doubt((s.start, s.end), "is not settled; it was not taken")
        elif how == "no" or self.said.word(s.at - 1) in lex.BOUND:
            self.doubt((s.start, s.end), "is a bound or a refusal, not a size; it was not taken")
        else:
            self.number(a, s, f"{number(s.values[0], 6)} {s.unit}", min(first, s.at), max(last, s.at))
            same = {cue for cue, other in self.said.lexicon.cues if other is a}
            self.used.update(i for i, _ in self.said.nearby(s)[0] if (self.said.words[i],) in same)
        self.used.update(range(first, last))

    def place_box(self, s: Size) -> None:
        """ "36 x 38 x 12 cm": the sizes the item's pattern uses, in their usual order."""
        order: tuple[str, ...] = ("height", "width", "depth")
        if "length" in self.uses:
            order = ("length", "width", "height", "depth")
        elif "depth" in self.uses and len(s.values) > 2:
            order = ("width", "height", "depth")
        names = [n for n in order if n in self.uses]
        values = s.values[:1] if len(names) == 1 and len(set(s.values)) == 1 else s.values
        if not s.unit:
            self.doubt((s.start, s.end), "has no unit; write mm, cm or inches")
        elif len(values) > len(names) or not fits(s.unit, self.base.attributes[names[0]]):
            self.doubt((s.start, s.end), "has no meaning here; name the item, or say which size is which")
        else:
            for name, value, unit in zip(names, values, s.units, strict=False):
                self.number(self.base.attributes[name], s, f"{number(value, 6)} {unit or s.unit}", s.at, s.at)

    def place_count(self, s: Size) -> None:
        """A number without a unit: how many items, or a count next to its cue."""
        said, at, text = self.said, s.at, number(s.values[0], 6)
        quantity, hit, after = self.base.attributes["quantity"], self.cue(s), at
        while after < at + 2 and (owner := said.owner.get(after)) and owner.attribute != "item":
            after += 1
        owner = said.owner.get(after)
        item = owner if owner and owner.attribute == "item" and (owner.first == after or owner.first < at) else None
        if item and (s.values[0] == 1 or any(t.plural for t in said.tokens[item.first : item.last])):
            self.number(quantity, s, text, min(at, item.first), item.last)
        elif said.word(at) == "of" and said.word(at + 1) in ("them", "these", "those"):
            self.number(quantity, s, text, at, at + 2)
        elif said.word(at) in ("piece", "pcs") and said.ends(at + 1):
            self.number(quantity, s, text, at, at + 1)
        elif hit and hit[1] == 0 and (hit[0][0] is not quantity or said.ends(at)):
            self.number(hit[0][0], s, text, min(hit[2], at), max(hit[3], at))
        elif not said.ends(at):
            last = at
            while last < at + 3 and not said.ends(last) and last not in said.owner and last not in self.used:
                last += 1
            self.used.update(range(at, last))
            self.left.append((s.start, said.span(at, last)[1] if last > at else s.end))
        elif any(c.isdigit() for c in self.text(s.start, s.end)):
            self.doubt((s.start, s.end), "has no unit or no meaning here; say what it counts or measures")
        elif self.text(s.start, s.end).lower() != "one":
            self.left.append((s.start, s.end))

    def assert_matches(self) -> None:
        """Turns the words for values into facts, unless negated, doubted or readable two ways."""
        said = self.said
        matches = [m for m in said.matches if m.attribute != "item"]
        kept = []
        for m in matches:
            same = [o for o in matches if (o.first, o.last) == (m.first, m.last)]
            item_near = {o.attribute for i in range(m.last, m.last + 3) if (o := said.owner.get(i))}
            if len(same) > 1:
                names = " or ".join(o.attribute.replace("_", " ") for o in same)
                self.doubt(said.span(m.first, m.last), f"can be meant of {names}; say which")
                self.used.update(range(m.first, m.last))
            elif said.words[m.first : m.last] != ["first"] or "item" in item_near:
                kept += [m] if self.allowed(m) else []
        for m in kept:
            ors = [o for o in kept if o.attribute == m.attribute and o.root != m.root and o.value != m.value
                   and ["or"] in (said.words[o.last : m.first], said.words[m.last : o.first])]  # fmt: skip
            if ors and self.base.attributes[m.attribute].kind == "set":
                both = [m, *ors]
                span = said.span(min(o.first for o in both), max(o.last for o in both))
                self.doubt(span, "leaves a choice; say which")
                self.used.update(range(m.first, m.last))
            else:
                self.add(m.attribute, m.value, m.first, m.last)
        usual = self.base.items[self.item].supposes.get("load_carrier", ()) if self.item else ()
        hung = [f for f in self.facts.get("load_carrier", ()) if f.value == "person_body_weight"]
        if hung and "consequence" not in self.facts and not {"person_body_weight", "furniture"} & set(usual):
            self.facts["consequence"] = [Fact("life", hung[0].span, "")]

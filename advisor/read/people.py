"""Who a sentence speaks of, and whether what it names is meant: ages of children, refusals, doubts.

What concerns somebody's life or a small child is kept when in doubt; nothing that eases a caution is taken from a
word whose spelling had to be mended.
"""

from __future__ import annotations

import re

from ..errors import shown
from . import lexicon as lex
from .notes import Notes
from .numbers import Size
from .sentence import Match

_LINED = ("lined", "lining")
_LISTING = frozenset(("or", "nor", "and", ",", "a", "an", "the", "any"))
_EASING = ("none", "no", "adult")
_CHILDREN = ("child_under3", "child_3_12")
_GROWN = 17
USER, ELDERLY = "user_kind", "elderly"
_OLD, _OLDEST = 70, 115
_IS = frozenset(("is", "hes", "shes", "turning", "turned", "aged", "nearly", "almost"))
_SWAPPED = frozenset(("swap", "swapping", "swapped", "replace", "replacing", "replaced"))
_REFUSED_BEHIND = re.compile(
    r"(?:\w+ ){0,2}?(?:(?:is|are|was) (?:\w+ )?(?:what|the thing) (?:im|i am|id|i) (?:rather )?"
    r"(?:avoid\w*|dont want|do not want)"
    r"|not (?:wanted|needed|required)|(?:is|are) (?:hopeless|no good|no use|out))"
)
_UNITS = {"month": 12, "week": 52, "year": 1}


class People:
    """Knows what was refused, what was only thought about, and how old somebody is; writes into ``notes``."""

    def __init__(self, notes: Notes) -> None:
        self.notes, self.said = notes, notes.said

    def allowed(self, m: Match) -> bool:
        """False when negated or only thought about; what concerns somebody's life is kept when in doubt."""
        if m.root in self.notes.refused:
            return False
        if m.value in _EASING and self.said.fixed & set(range(m.first, m.last)):
            words = " ".join(self.said.words[m.first : m.last])
            self.notes.doubt(self.said.span(m.first, m.last), f'is not spelt clearly; did you mean "{words}"?')
            self.notes.used.update(range(m.first, m.last))
            return False
        if m.attribute.startswith("wished_") and self.said.word(m.last) in _LINED and not self.asks_for_lining(m):
            # "Pigskin lined" says what the lining is, not what the thing is made of.
            self.notes.left.append(self.said.span(m.first, m.last))
            return False
        how, at = self.said.scope(m.root)
        if m.attribute.startswith("wished_") and self.said.word(m.first - 1) == "used":
            # "My uncle used horsehide" wishes for nothing.
            self.notes.left.append(self.said.span(m.first, m.last))
            return False
        if not how and self.refused_behind(m):
            how, at = "no", m.first
        if how == "no" and m.attribute == "item" and self.part_refused(at, m.first):
            how = ""
        after = self.said.word(m.last)
        failing = (m.attribute, m.value) in self.said.lexicon.grave and lex.FAILING & set(self.said.words[at : m.last])
        if how == "no" and (failing or self.said.words[m.root] in lex.NO):
            how = ""
        how = "no" if after == "free" else how or ("maybe" if after in lex.MAYBE else "")
        first, last = min(at, m.first), m.last + (after == "free")
        if how:
            self.notes.used.update(range(first, last))
        if how == "no":
            self.notes.left.append(self.said.span(first, last))
        grave = (m.attribute, m.value) in self.said.lexicon.grave
        if how == "maybe":
            end = "it is taken as meant, to be on the safe side" if grave else "it was not taken"
            self.notes.tell(
                "undecided", f"{shown(self.notes.text(*self.said.span(first, last)))} is not settled; {end}."
            )
        return not how or (how == "maybe" and grave)

    def asks_for_lining(self, m: Match) -> bool:
        """ "12 sq ft pig lining for bags": whether the lining is what is bought, named before any thing."""
        before = any(o.attribute == "item" and i < m.first for i, o in self.said.owner.items())
        return self.said.word(m.last) == _LINED[1] and not before

    def refused_behind(self, m: Match) -> bool:
        """ "Copper is what I'm avoiding", "swap the chains for straps": a refusal that stands around the words."""
        grave = (m.attribute, m.value) in self.said.lexicon.grave
        behind = " ".join(self.said.words[m.last : m.last + 8])
        before = self.said.words[max(0, m.first - 3) : m.first]
        swapped = bool(_SWAPPED & set(before)) and self.said.word(m.last) == "for"
        return not grave and (swapped or bool(_REFUSED_BEHIND.match(behind)))

    def elders(self) -> None:
        """ "He's eighty-one": somebody so old is elderly, where the rule base asks who it is for."""
        for s in self.said.sizes:
            told = s.kind == "age" or (s.kind == "bare" and self.said.word(s.at - 1) in _IS)
            old = told and s.values and not s.unit and _OLD <= s.values[0] <= _OLDEST
            if not old or USER not in self.notes.base.attributes:
                continue
            if ELDERLY in self.notes.base.attributes[USER].values and not self.said.scope(s.at)[0]:
                self.notes.aged.add(s.start)
                self.notes.add(USER, ELDERLY, s.at - 1, s.at, s)

    def part_refused(self, at: int, item: int) -> bool:
        """ "No nickel on the handbag": what is refused is on the item, not the item itself."""
        between = self.said.words[at + 1 : item]
        places = [k for k, word in enumerate(between) if word in ("on", "in", "for", "inside", "with")]
        return bool(places) and any(word not in lex.STOP for word in between[: places[-1]])

    def refusals(self) -> None:
        """ "We do not use any pigskin", "don't want it lined": a refusal said without the usual phrase."""
        said, refused = self.said, self.said.lexicon.refused
        longest = max(map(len, refused), default=0)
        for i in range(len(said.words)):
            for j in range(min(len(said.words), i + longest), i, -1):
                meant = refused.get(tuple(said.words[i:j]))
                owner = said.owner.get(i)
                wish = owner and owner.attribute.startswith("wished_")
                taken = meant and owner and (not wish or j - i > 1)
                if not meant or taken or not said.masked.isdisjoint(range(i, j)):
                    continue
                how, at = said.scope(i)
                own = {w for key in refused for w in key}
                between = set(said.words[at + 1 : i])
                listed = between & own and between & {"or", "nor", "and", ","}
                plain = between <= (own | _LISTING | lex.REFUSING if listed else lex.REFUSING)
                plain &= said.ends(j) or said.words[j] in lex.OF_LEATHER | _LISTING
                twice = said.word(at) != "nor" and said.scope(at)[0] == "no"
                if how == "no" and plain and not twice:
                    self.notes.refused.update(range(i, j))
                    self.notes.add(*meant, at if not between & own else i, j)
                    self.notes.used.add(at)
                    break

    def children(self) -> None:
        """Ages of people: under three, three to twelve; a child without an age stays open."""
        said = self.said
        ages = self.ages()
        self.notes.aged = {s.start for s in ages}
        told = {s.start for s in said.sizes if s.start in self.notes.aged and s.kind == "bare"}
        far = False
        for s in ages:
            near = range(max(0, s.at - 6), min(len(said.words), s.at + 4))
            kids = [i for i in near if said.words[i] in lex.KID]
            far |= not kids and s.start in told
            alone = s.at > 0 and said.word(s.at - 1) in lex.STOP and said.ends(s.at)
            alone |= not said.words and len(said.sizes) == 1
            alone |= self.notes.text(s.start, s.end).lower().startswith("ages")
            person = kids or alone or s.start in told or any(said.words[i] in lex.BABY for i in near)
            self.notes.used.update(kids)
            animal = lex.ANIMAL & {said.words[i] for i in near}
            close = [i for i in kids if -3 < i - s.at < 2 or (s.start in told and i < s.at)]
            first, last = min([*close, s.at]), max([*(i + 1 for i in close), s.at + (said.word(s.at) in _UNITS)])
            if not person or animal or not s.values or s.values[0] > 12 or said.scope(s.at)[0] == "no":
                self.notes.left.append(self.notes.around(s, first, last))
                continue
            self.notes.add("user_kind", "child_under3" if s.values[0] < 3 else "child_3_12", first, last, s)
        for i, word in enumerate(said.words):
            if word not in lex.KID or far or i in self.notes.used or i in said.owner or i in said.masked:
                continue
            how, at = said.scope(i)
            self.notes.used.update(range(at, i + 1) if how == "no" else (i,))
            if how == "no":
                self.notes.left.append(said.span(at, i + 1))
            else:
                self.notes.open["user_kind"] = _CHILDREN
                self.notes.tell(
                    "age", f"The age of the {word} is open; goods for the under-threes have rules of their own."
                )

    def ages(self) -> list[Size]:
        """The numbers that are somebody's age: "a 2 year old", "my daughter is 10", "she's nine months"."""
        said, found = self.said, [s for s in self.said.sizes if s.kind == "age"]
        for s in (s for s in said.sizes if s.kind == "bare" and s.values):
            before = said.words[max(0, s.at - 4) : s.at]
            unit = said.word(s.at)
            told = before[-1:] and before[-1] in lex.IS_AGED and bool((lex.WHO | lex.KID | lex.BABY) & set(before))
            # "A boy of 5", "my daughter, 2 years", "a child 8".
            kin = [w for w in before if w not in (",", "of", "aged", "age")][-1:]
            told = told or (bool(kin) and kin[0] in lex.KID | lex.BABY and s.values[0] in range(1, _GROWN + 1))
            if told and (unit in _UNITS or said.ends(s.at)) and (lex.KID | lex.BABY) & set(said.words):
                last = s.at + (unit in _UNITS)
                self.notes.used.update(range(s.at, last))
                found.append(s._replace(kind="age", values=(s.values[0] / _UNITS.get(unit, 1),)))
        return found

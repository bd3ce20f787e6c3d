"""Numbers without a unit given to what they count: "six coasters", "14 off", "shoulder x3", "a pair of straps"."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from ..leather.units import number
from ..rulebase.models import Attribute
from . import lexicon as lex
from .apiece import Apiece
from .colours import part_names
from .leathers import Leathers
from .left_out import DESCRIBING
from .notes import Notes
from .numbers import UNITS, Size
from .roles import PERSONS

Cue = tuple[Sequence[Attribute], int, int, int]
"""What a size can be: the attributes, how far the words are that say so, and the first and the last of them."""
QUANTITY = "quantity"
_NO_VOWEL = re.compile("[b-df-hj-np-tv-z]{2,5}")
_N = re.compile(r"\bn(?:o|r)?\.? *=? *$", re.IGNORECASE)
_REACH = 4
"""Over how many words a number may stand from the things that it counts."""
_OF_ANOTHER = frozenset(
    (
        "with",
        "for",
        "has",
        "have",
        "having",
        "hold",
        "holds",
        "holding",
        "of",
        "my",
        "the",
        "these",
        "those",
        "made",
        "takes",
        "fit",
        "fits",
        "by",
        "than",
        "on",
        "in",
        "between",
        "from",
        "over",
        "under",
        "round",
        "around",
        "through",
        "across",
        "against",
        "carry",
        "carries",
        "to",
        "and",
    )
)
"""Words before a number by which it counts something else than what is to be made."""


_HELD = frozenset(
    ("for", "hold", "holds", "holding", "room", "space", "take", "takes", "fit", "fits", "up", "to", "with")
)
"""Words before a number of things that go in: "room for 8 cards"."""
_OTHERS = 8
"""Within how many words before "of them" the plural stands that is meant."""
_NO_NOUNS = lex.GENERAL | lex.KID | PERSONS | UNITS
_SUBJECTS = frozenset(("that", "which", "who", "it", "he", "she", "this", "never", "always"))
"""Words before a verb in the present: "a board that rolls up"."""
_SHARED = frozenset(("each", "every", "everyone", "everybody", "apiece"))
_TOLD_ONE = frozenset(("last", "first", "the", "this", "that", "old", "other", "new", "nice"))
"""Words before "one" by which it is no number: "the last one off the market"."""
_TAPERING = frozenset(("taper", "tapering", "tapered", "narrowing", "narrow"))
_WANTING = frozenset(("need", "want", "say", "order", "after"))
_ALONE = frozenset(("and", ",", ".", ";", "!", "?", "please", "in", "will"))
_PART_OF = frozenset(("something", "thing", "anything"))


_NUMBER_OF = frozenset(("no", "nr"))
"""What a shop writes between a number and what it counts."""
_ALL_TOLD = (("in", "total"), ("in", "all"), ("altogether",), ("all", "told"), ("total",))


class Counts:
    """Places the counts of one sentence; ``cue`` finds what the words near a number say that it is."""

    def __init__(self, notes: Notes, item: str | None, leathers: Leathers, cue: Callable[[Size], Cue | None]) -> None:
        self.notes, self.said, self.base, self.leathers, self.cue = notes, notes.said, notes.base, leathers, cue
        self.item = notes.base.items.get(item or "")
        self.parts = part_names(self.base)
        self.apiece = Apiece(notes, item)

    def some(self, s: Size) -> None:
        """ "20 or 30 coasters": how many stays open between the two."""
        owner = self.said.owner.get(s.at)
        pieces = self.said.word(s.at) in ("piece", "pcs")
        if (pieces or (owner and owner.attribute == "item")) and len(s.values) == 2:
            low, high = (number(value, 6) for value in sorted(s.values))
            self.notes.range(self.base.attributes[QUANTITY], s, (low, high), s.at, s.at)
        else:
            last = s.at + (not self.said.ends(s.at) and s.at not in self.said.owner)
            self.notes.left.append(self.notes.around(s, s.at, last))

    def times(self, s: Size) -> None:
        """ "Key fobs x 50", "12 x wallets", "shoulder x3": how many of what stands beside it, or of the thing."""
        quantity = self.base.attributes[QUANTITY]
        if self.said.word(s.at) == "pair":
            self.of_pairs(s, s.at)
            return
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
        quantity = self.base.attributes[QUANTITY]
        named = self.notes.named.taken
        if quantity.name in self.notes.facts or (named and named.thing.name.startswith("pair of")):
            return
        if (found := self.apiece.both()) and QUANTITY not in self.notes.facts:
            self.notes.add(quantity.name, 2.0, *found)
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

    def count(self, s: Size) -> None:
        """A number without a unit: how many items or pieces, or a count next to its cue."""
        said, at, text = self.said, s.at, number(s.values[0], 6)
        quantity, hit, after = self.base.attributes[QUANTITY], self.cue(s), at
        several = s.values[0] > 1
        while after < at + 4 and (
            self.describes(after) or (several and (self.shortened(after) or self.says_of_what(after)))
        ):
            after += 1
        owner = said.owner.get(after)
        item = owner if owner and owner.attribute == "item" and (owner.first == after or owner.first < at) else None
        if item and "for" in said.words[item.first : at]:
            # "A roll for 12 chisels" is one roll.
            item = None
        taken = self.notes.named.taken
        if item and taken and taken.last <= at <= item.first and self.apiece.is_for(at):
            # "One strap for two suitcases": the things that it is for are counted.
            item = None
        if item and taken and item.value != taken.thing.slug and "with" in said.words[taken.last : at]:
            # "A breastplate with two girths" tells of its parts.
            item = None
        if item and self.of_the_second(item.first):
            # "Two belts and six fobs": the first is reckoned now.
            self.notes.left.append(self.notes.around(s, at, at))
            return
        # "10 guitar strap blanks": the form in which a thing is bought is counted with it.
        end = item.last + self.leathers.at(item.last) if item and at <= item.first else item.last if item else 0
        if item and (
            s.values[0] == 1 or any(t.plural and t.word not in lex.KID for t in said.tokens[item.first : end])
        ):
            self.notes.number(quantity, s, text, min(at, item.first), item.last)
        elif last := self.apiece.of_each(s):
            words = self.notes.text(s.start, said.span(at, last)[1] if last > at else s.end)
            self.apiece.tell(s.values[0], words)
            self.notes.number(quantity, s, text, at, last)
        elif self.leathers.count(s):
            return
        elif (
            said.word(at) == "off"
            and not (text == "1" and said.word(at - 1) in _TOLD_ONE)
            and (said.ends(at + 1) or said.owner.get(at + 1) or said.tokens[at + 1].plural)
        ):
            # "14 off" is how a workshop says 14 of them.
            self.notes.number(quantity, s, text, at, at + 1)
        elif last := self.all_told(at):
            self.notes.number(quantity, s, text, at, last)
        elif said.word(at - 1) == "," and (
            (said.word(at) in (",", ".") and self.many(at - 2))
            or (s.values[0] > 1 and said.word(at) in ".,;!?" and self.many_before(at - 1))
        ):
            self.notes.number(quantity, s, text, at, at)
        elif text == "1" and (said.word(at) == "of" or said.word(at - 1) in ("every", "each", "any")):
            # "One of those pouches", "every one of them" count nothing.
            self.notes.left.append((s.start, s.end))
        elif said.word(at) == "of" and self.told_there(at):
            # "My chisels, there are nine of them": what goes in is counted.
            self.notes.left.append((s.start, said.span(at, min(at + 2, len(said.words)))[1]))
        elif self.of_others(s):
            return
        elif said.word(at) == "of" and said.word(at + 1) in ("them", "these", "those"):
            self.notes.number(quantity, s, text, at, at + 2)
        elif said.word(at) == "of" and self.many_before(at) and said.words[at + 1 : at + 2] in ([], [","], ["."]):
            # "Drawer pulls, eighteen of, ..." is how a counter notes it.
            self.notes.number(quantity, s, text, at, at + 1)
        elif said.word(at) == "pair":
            self.of_pairs(s, at)
        elif said.word(at) in ("piece", "pcs") and (said.ends(at + 1) or self.said.shortened):
            self.notes.number(quantity, s, text, at, at + 1)
        elif hit and hit[1] == 0 and (hit[0][0] is not quantity or said.ends(at)):
            self.notes.number(hit[0][0], s, text, min(hit[2], at), max(hit[3], at))
        elif self.wanted(s):
            self.notes.number(quantity, s, text, at - 1, at)
        elif self.of_people(s) or self.at_each(s) or self.behind_them(s) or (s.values[0] > 1 and self.of_things(at)):
            self.notes.number(quantity, s, text, at, at)
        elif (last := self.held(s)) > at:
            self.notes.point(f"holds {self.notes.text(s.start, said.span(at, last)[1])}", *self.of_held(s, last))
        elif (last := self.of_parts(s)) > at:
            # "With 8 pockets": no attribute holds how many a thing has.
            words = self.notes.text(*(span := self.notes.around(s, at, last)))
            self.notes.point(f"parts {words}", span, f"with {words}")
        elif self.tapers(s):
            # "And 16 at the buckle": no attribute holds how narrow it gets.
            end = at + 3 if said.word(at) == "at" else at
            first = at - 3 if said.words[max(0, at - 3) : max(0, at - 1)] == ["at", "the"] else at
            words = self.notes.text(*(span := self.notes.around(s, first, end)))
            self.notes.point(f"sizes {words}", span, f"size {words}")
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

    def all_told(self, at: int) -> int:
        """ "Belts, six in total", "6 no. key fobs": where the words end that make a number the count of all, else 0."""
        words, owner = self.said.words, self.said.owner.get(at + 1 + (self.said.word(at + 1) == "."))
        if self.said.word(at) in _NUMBER_OF and owner is not None and owner.attribute == "item":
            return at + 1 if self.said.tokens[owner.last - 1].plural else 0
        return next((at + len(told) for told in _ALL_TOLD if tuple(words[at : at + len(told)]) == told), 0)

    def told_there(self, at: int) -> bool:
        """ "There are nine of them", "there's usually a couple of them": what is, is not ordered."""
        near = range(max(0, at - 2), at)
        short = any(self.said.word(i) == "there" and self.said.tokens[i].owner for i in near)
        return short or self.said.words[max(0, at - 2) : at] == ["there", "are"]

    def of_others(self, s: Size) -> bool:
        """ "A roll for my gouges, 14 of them": keeps how many there are of what goes in or is on the one thing."""
        said, at = self.said, s.at
        if said.word(at) != "of" or said.word(at + 1) not in ("them", "these", "those"):
            return False
        named = self.notes.named.taken
        things = [named] if named else list(self.notes.named.candidates)
        if not things or any(said.tokens[c.last - 1].plural for c in things if c.last) or _SHARED & {*said.words}:
            return False
        plurals = [i for i in range(at) if said.tokens[i].plural and not said.tokens[i].owner and self.is_noun(i)]
        if len(plurals) != 1 or plurals[0] < at - _OTHERS:
            # Of several it is not clear which is meant, and each of some people gets one.
            return False
        first, (start, end) = plurals[0], said.span(plurals[0], plurals[0] + 1)
        self.notes.used.update((first, at, at + 1))
        told = f"{self.notes.text(s.start, s.end)} {self.notes.text(start, end)}"
        self.notes.point(f"parts {told}", (min(start, s.start), said.span(at, at + 2)[1]), f"with {told}")
        return True

    def is_noun(self, i: int) -> bool:
        """Whether the plural at ``i`` may be what a number counts: no unit, no person and no verb of the thing."""
        said, word = self.said, self.said.word(i)
        taken = self.notes.named.taken
        named = i in said.owner and said.owner[i].attribute == "item"
        named &= taken is None or taken.first <= i < taken.last
        return not named and word not in _NO_NOUNS and said.word(i - 1) not in _SUBJECTS and not said.ends(i)

    def held(self, s: Size) -> int:
        """ "A wallet, 8 cards and coins": where the things end that so many of go into what is made; ``s.at`` if none.

        No attribute holds how many they are, so the number is kept as it was said.
        """
        said, at = self.said, s.at
        named = self.item or self.notes.named.taken or self.notes.named.candidates
        if not named or s.values[0] < 2 or not s.values[0].is_integer() or said.scope(at)[0] == "no":
            return at
        for first in range(at, min(at + 2, len(said.words))):
            for last in range(min(first + 3, len(said.words)), first, -1):
                words = tuple(said.words[first:last])
                # Two handles are no things that go in.
                what = said.lexicon.objects.get(words) if words not in said.lexicon.forms else None
                plural = said.tokens[last - 1].plural and not said.tokens[last - 1].owner
                if what and plural and not self.notes.words.objects[what].alive:
                    return last
            if not self.describes(first):
                break
        return at

    def of_held(self, s: Size, last: int) -> tuple[tuple[int, int], str]:
        """Where such a number stands with what it counts, and how it is said back; the words are used with it."""
        end = self.said.span(s.at, last)[1]
        first = s.at
        while first and self.said.words[first - 1] in _HELD:
            first -= 1
        self.notes.used.update(range(first, last))
        return (s.start, end), f"for {self.notes.text(s.start, end)}"

    def wanted(self, s: Size) -> bool:
        """ "I need 14", "say forty", ", a dozen,": a number alone that is wanted, or a dozen between two marks."""
        said, at = self.said, s.at
        if s.values[0] < 2 or not s.values[0].is_integer() or said.word(at) not in _ALONE or said.scope(at)[0]:
            return False
        dozen = "doz" in self.notes.text(s.start, s.end).lower()
        closed = said.word(at) != "will" or said.word(at + 1) == "do"
        told = said.word(at - 1) in _WANTING or (dozen and said.word(at - 1) in (",", ".", ";"))
        named = self.notes.named.taken is not None or bool(self.notes.named.candidates)
        return told and closed and named and QUANTITY not in self.notes.facts

    def of_parts(self, s: Size) -> int:
        """ "8 pockets", "with four handles": where the parts end that are counted; ``s.at`` if none are."""
        if s.values[0] < 1 or not s.values[0].is_integer() or self.said.scope(s.at)[0]:
            return s.at
        for last in range(s.at + 1, min(s.at + _REACH, len(self.said.words) + 1)):
            if self.leathers.at(last - 1) and (self.said.word(last),) not in self.parts:
                # "Two sides" may be of leather.
                break
            if (self.said.words[last - 1],) in self.parts and (self.said.tokens[last - 1].plural or s.values[0] == 1):
                return last
            if self.said.ends(last - 1) or self.said.tokens[last - 1].plural or last - 1 in self.notes.used:
                break
        return s.at

    def tapers(self, s: Size) -> bool:
        """ "18 at the clasp", "tapering to 16": whether a number without a unit is a width at one end."""
        behind = self.said.words[s.at : s.at + 2] == ["at", "the"] and self.said.word(s.at + 2) not in lex.TIME_LEFT
        before = set(self.said.words[max(0, s.at - 3) : s.at]) & _TAPERING
        ended = self.said.words[max(0, s.at - 3) : max(0, s.at - 1)] == ["at", "the"] and self.said.ends(s.at)
        return s.values[0] > 1 and (bool(before) or ended or (behind and not self.said.ends(s.at + 2)))

    def of_people(self, s: Size) -> bool:
        """ "24 nine year olds are each to make one": whether so many people of an age get one each."""
        aged = any(o.kind == "age" and 0 <= o.start - s.end <= 1 for o in self.said.sizes)
        return aged and "each" in self.said.words[s.at :]

    def at_each(self, s: Size) -> bool:
        """ "12 @ 54 x 1", "8 at 6 inch", "n 8,": whether a sign of the counter makes a number a count."""
        after = self.said.text[s.end :].lstrip()[:1]
        if self.said.word(s.at) == "at" and any(o.unit and o.at == s.at + 1 for o in self.said.sizes):
            # "Drawer pulls, 8 at 6 inch" is how a list says it.
            return s.values[0] >= 1 and s.values[0].is_integer()
        return after == "@" or (after in ("", ",", ";", ".") and bool(_N.search(self.said.text[: s.start])))

    def of_things(self, at: int) -> bool:
        """ "Eighteen little loops for pulling drawers open": whether plural things that may be meant follow at ``at``.

        What is had, held or made for so many is not how many are made.
        """
        said = self.said
        told = QUANTITY in self.notes.facts or self.notes.named.taken is not None
        # "Something for firewood, two handles" tells of its parts.
        told |= said.word(at - 1) == "," and not _PART_OF.isdisjoint(said.words[: at - 1])
        if told or said.word(at - 1) in _OF_ANOTHER or said.scope(at)[0]:
            return False
        # What is made is settled: other things that are counted now go into it or are fixed to it.
        head = self.item and not self.notes.named.taken and lex.words_and_marks(self.item.name)[-1]
        for i in range(at, min(at + _REACH, len(said.words))):
            word, token = said.words[i], said.tokens[i]
            owner = said.owner.get(i)
            if said.ends(i) or word in lex.KID or token.owner or (owner and token.plural and owner.attribute != "item"):
                return False
            shaped = (word,) in said.lexicon.forms or word in said.lexicon.heads
            meant = any(c.first <= i < c.last for c in self.notes.named.candidates)
            if token.plural and (shaped or meant):
                # ", fourteen folds" tells of the parts of what was named before.
                return (not head or word == head) and not (said.word(at - 1) == "," and (word,) in self.parts)
        return False

    def behind_them(self, s: Size) -> bool:
        """ "Key fobs 100": whether a number stands right behind the things and before a mark or the end."""
        if not self.many_before(s.at) or not self.said.ends(s.at):
            return False
        owner = self.said.owner.get(s.at - 1)
        return bool(owner and owner.attribute == "item") and self.said.word(s.at) in ".,;!?"

    def of_pairs(self, s: Size, at: int) -> None:
        """ "3 pairs of braces", "3 pairs rowlock leathers": pairs where the thing is one, else two of each."""
        named = self.notes.named.taken
        named = named or next(iter(self.notes.named.candidates), None)
        paired = named is not None and named.thing.name.startswith("pair of")
        count = s.values[0] if paired else 2 * s.values[0]
        end = at + 1 + (self.said.word(at + 1) == "of")
        owner = self.said.owner.get(end)
        if paired or (owner and owner.attribute == "item"):
            self.notes.number(self.base.attributes[QUANTITY], s, number(count, 6), at, end)
        else:
            self.notes.left.append(self.notes.around(s, at, end))

    def describes(self, i: int) -> bool:
        """Whether the word at ``i`` only says of what kind the next noun is, as in "six round coasters"."""
        owner = self.said.owner.get(i)
        return owner.attribute != "item" if owner else self.said.word(i) in DESCRIBING

    def says_of_what(self, i: int) -> bool:
        """ "Four dining chair drop-in seats": whether the word at ``i`` names in the singular what the thing is of.

        Also in the plural where the things themselves stand right behind it: "6 dining chairs drop in seats".
        """
        said, known = self.said, self.said.lexicon.objects
        things = said.owner.get(i + 1)
        made = things is not None and things.attribute == "item" and things.first == i + 1
        named = any(tuple(said.words[first : first + 2]) in known for first in (i - 1, i)) or (said.word(i),) in known
        return (
            named
            and said.word(i)[0].isalnum()
            and not said.ends(i + 1)
            and i not in said.owner
            and (made or not said.tokens[i].plural)
        )

    def shortened(self, i: int) -> bool:
        """ "6 hvy leads": whether the word at ``i`` is one with its vowels left out that stands before another."""
        word = self.said.word(i)
        known = i in self.said.owner or (word,) in self.said.lexicon.phrases or word in self.said.lexicon.known
        return _NO_VOWEL.fullmatch(word) is not None and not known and not self.said.ends(i + 1)

    def many_before(self, i: int) -> bool:
        """ "Key fobs for the market, a dozen": whether the only thing named before ``i`` stands in the plural."""
        items = {o for k in range(i) if (o := self.said.owner.get(k)) and o.attribute == "item"}
        counted = any(o.kind in ("bare", "times") and o.at < i for o in self.said.sizes)
        return len(items) == 1 and not counted and self.said.tokens[next(iter(items)).last - 1].plural

    def many(self, i: int) -> bool:
        """Whether the word at ``i`` ends the name of the item in the plural."""
        owner = self.said.owner.get(i)
        return bool(owner and owner.attribute == "item" and self.said.tokens[i].plural)

"""The leather that is said in a sentence about a job: its tannage, grain, form, temper and amount.

What an attribute holds ("goat", "bridle leather", a colour) is a fact like others; the rest stands in the proposal,
which is compared with the advice, and is shown back as understood whatever the thing is. Words that are also plain
English ("side", "back") mean a leather only beside a number or another word for leather.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..errors import shown
from ..leather.units import UnitError, number, parse_quantity
from ..reasoning.review import LABEL, Proposal
from . import lexicon as lex
from .notes import Notes
from .numbers import Size
from .offered import OUNCES, joined, leather_at, phrases, read_leather, thickness
from .purposes import purposes
from .roles import Roles

_SHORT = ("leather", "hide", "skin")
_ALLOWED = frozenset(("fine", "ok", "okay", "alright"))
"""Words by which a leather is merely allowed, and not wished."""
_POINTS = ("tannage", "grain", "form", "cut", "temper")
"""What a word in a sentence is taken to say; the rest is an attribute or only a seller's name."""
_REACH, _REACH_BACK = 4, 7
"""Over how many words for leather and colours a number may stand before the form it counts, or behind it."""
_OWNED = frozenset(("my", "his", "her", "our", "their", "your", "its"))
_TOLD_OF = frozenset(("and", "it", "they", "that", "which", "has", "have", "had"))
_HAPPENS_THERE = frozenset(
    ("by", "at", "along", "across", "open", "after", "when", "every", "down", "the", "my", "his", "her")
)
"""Words around a verb of what happened, which may be written as the grain of a leather: "split"."""


class Leathers:
    """Finds what is said of the leather in one sentence and writes it into ``notes``.

    ``item`` is the thing that the sentence itself names: only then is a kind of leather in it what is to be bought.
    """

    def __init__(
        self, notes: Notes, at_hand: tuple[int, int] | None = None, cut_from: str = "", item: str | None = None
    ) -> None:
        self.item = item
        self.notes, self.said, self.base = notes, notes.said, notes.base
        self.at_hand, self.purposes = at_hand, purposes(notes.base)
        self.known = phrases(self.base)
        self.forms = {
            f.first: (f.last, f.meaning[0])
            for f in sorted(self.said.lexicon.book.forms.find(self.said.words), key=lambda f: f.last)
        }
        self.proposal = Proposal({"tannage": (cut_from,)}) if cut_from else Proposal()
        self.used: set[int] = set()
        self.counted: set[int] = set()

    # -- words

    def at(self, i: int) -> int:
        """How many words from ``i`` on name a leather or a form of it, whatever stands beside them."""
        n = leather_at(self.base, self.said, i)
        return max(n, self.forms[i][0] - i if i in self.forms else 0)

    def reads(self, i: int, n: int) -> Mapping[str, tuple[str, ...]]:
        """What the ``n`` words from ``i`` on say of a leather."""
        found = {k: v for k, v in self.known.get(tuple(self.said.words[i : i + n]), {}).items() if k != LABEL}
        if i in self.forms and self.forms[i][0] == i + n and "form" not in found:
            slug = self.forms[i][1]
            found["form"] = self.base.decisions["form"].groups.get(slug, (slug,))
        return found

    def tells(self, i: int, colours: bool) -> bool:
        """Whether the word at ``i`` is of the leather for sure: a wish, a colour, or a name of more than a form."""
        owner = self.said.owner.get(i)
        if owner:
            return owner.attribute in self.purposes.wishes or (colours and owner.attribute == self.purposes.colour)
        if self.said.word(i) in _SHORT:
            return True
        for first in range(max(0, i - 2), i + 1):
            n = leather_at(self.base, self.said, first)
            if first + n > i and not set(self.reads(first, n)) <= {"form", "cut", "temper", "surface"}:
                return True
        return False

    def beside(self, first: int, last: int, colours: bool = False) -> bool:
        """Whether a word for leather or a thickness touches the words ``first`` to ``last``, over colours."""
        before, after = first - 1, last
        while (o := self.said.owner.get(before)) and o.attribute == self.purposes.colour and not colours:
            before -= 1
        while (o := self.said.owner.get(after)) and o.attribute == self.purposes.colour and not colours:
            after += 1
        sized = any(s.at in (first, last, before + 1, after) and thickness(s) for s in self.said.sizes)
        return sized or self.tells(before, colours) or self.tells(after, colours)

    # -- counts and amounts

    def count(self, s: Size) -> bool:
        """ "Two hides", "shoulder x3": takes how many of a form there are to be; False where none is counted."""
        if not s.values or s.values[0] < 1 or not s.values[0].is_integer():
            return False
        found = self._form_after(s) or (self._form_before(s) if s.kind == "times" else None)
        if found is None:
            return False
        first, last = found
        form = self.reads(first, last - first).get("form", ())
        text = " ".join(self.said.words[first:last])
        span = self.said.span(first, last)
        self._take_form(form, int(s.values[0]), (min(s.start, span[0]), max(s.end, span[1])), text)
        self.used.update(range(first, last))
        self.notes.used.update(range(first, last))
        return True

    def _form_after(self, s: Size) -> tuple[int, int] | None:
        i = s.at
        while i < min(len(self.said.words), s.at + _REACH):
            n = self.at(i)
            if n and "form" in self.reads(i, n):
                # "3 skins sheepskin" counts once, "2 side pockets" counts pockets.
                plain = n == 1 and "cut" in self.reads(i, n)
                told = s.kind == "times" or self.beside(i, i + n, True) or self._of_leather(i + n)
                return None if plain and (self._leads_on(i + n) or not told) else (i, i + n)
            if n or self.tells(i, True):
                i += n or 1
            elif self.said.word(i) in lex.PLAIN or self.said.word(i) in ("of", "whole", "full"):
                i += 1
            elif i == s.at and self._formed(i + 1) and Roles(self.said).joined(i + 1):
                # "1 shorn sheepskin": one adjective that nobody listed.
                i += 1
            else:
                return None
        return None

    def _of_leather(self, i: int) -> bool:
        """Whether "of" and a word for a leather follow: "sides of bridle leather"."""
        return self.said.word(i) == "of" and (self.tells(i + 1, False) or self.at(i + 1) > 0)

    def _form_before(self, s: Size) -> tuple[int, int] | None:
        for i in range(s.at - 1, max(-1, s.at - 1 - _REACH_BACK), -1):
            for first in range(max(0, i - 2), i + 1):
                n = self.at(first)
                if n and first + n == i + 1 and "form" in self.reads(first, n):
                    return first, i + 1
            if not (self.tells(i, True) or self.said.word(i) in self.said.lexicon.book.tempers):
                return None
        return None

    def _leads_on(self, end: int) -> bool:
        """Whether a noun follows that the words before only describe."""
        roles, owner = Roles(self.said), self.said.owner.get(end)
        if not roles.joined(end) or any(s.at == end for s in self.said.sizes):
            return False
        if self.at(end) or self.tells(end, True):
            return False
        told = (self.purposes.colour, *self.purposes.wishes)
        return roles.noun(end) or (owner is not None and owner.attribute not in told)

    def _take_form(self, form: tuple[str, ...], count: int, span: tuple[int, int], text: str) -> None:
        shown = f"{count} x {self._shown('form', form, text)}"
        self.notes.point(shown, span)
        if self.proposal.count is None and "form" not in self.proposal.choices:
            said = self.notes.text(*span)
            more = Proposal({"form": form}, count=count, words={"form": text, "amount": said})
            self.proposal = joined(self.proposal, more)

    def panel(self, s: Size) -> bool:
        """ "A 12 x 24 panel": takes a form that is named by its size."""
        form = self.base.decisions.get("form")
        if form is None or s.kind != "box" or len(s.values) != 2 or s.unit not in ("", "in", '"'):
            return False
        group = self.known.get((self.said.word(s.at),), {}).get("form", ()) or self.known.get(
            (self.said.word(s.at - 1),), {}
        ).get("form", ())
        sized = [slug for slug in group if slug.endswith("x".join(number(v, 6) for v in sorted(s.values)))]
        if not sized:
            return False
        self.notes.point(f"form {self._shown('form', (sized[0],), '')}", (s.start, s.end))
        words = {"form": self.notes.text(s.start, s.end)}
        self.proposal = joined(self.proposal, Proposal({"form": (sized[0],)}, words=words))
        near = s.at if self.known.get((self.said.word(s.at),), {}).get("form") else s.at - 1
        self.used.add(near)
        self.notes.used.add(near)
        return True

    def area(self, s: Size) -> bool:
        """ "12 sqft": takes how much leather it is to be."""
        if s.kind != "size" or not s.unit or len(s.values) != 1 or s.values[0] <= 0:
            return False
        if self.beside_form(s) and _is_mass(s):
            self.notes.point(self.notes.text(s.start, s.end), (s.start, s.end))
            return True
        try:
            dm2 = parse_quantity(f"{s.values[0]:.6f} {s.unit}", "dm2")
        except UnitError:
            return False
        self.notes.point(self.notes.text(s.start, s.end), (s.start, s.end))
        if self.proposal.area is None:
            self.proposal = joined(self.proposal, Proposal(area=dm2, words={"amount": self.notes.text(s.start, s.end)}))
        return True

    def square_feet(self, s: Size) -> None:
        """ "30ft" of leather: takes the most of it as an area, and says so."""
        words = self.notes.text(s.start, s.end)
        self.notes.tell(
            "unit_assumed", f"{shown(words)} taken as square feet; say if it is a length.", words=words, unit="sqft"
        )
        self.notes.point(f"{number(max(s.values), 6)} sqft", (s.start, s.end))
        if self.proposal.area is None:
            area = parse_quantity(f"{number(max(s.values), 6)} sqft", "dm2")
            self.proposal = joined(self.proposal, Proposal(area=area, words={"amount": words}))

    def beside_form(self, s: Size) -> bool:
        """ "Offcuts 3 kg": whether a form of leather touches a size."""
        after = self.at(s.at)
        before = [first for first in range(max(0, s.at - 3), s.at) if (n := self.at(first)) and first + n == s.at]
        return bool(after and "form" in self.reads(s.at, after)) or any(
            "form" in self.reads(first, s.at - first) for first in before
        )

    # -- the whole sentence

    def read(self) -> None:
        """Puts what is said of the leather into the notes."""
        if self.at_hand and self.at_hand[0] < self.at_hand[1]:
            self._take(*self.at_hand, None, shown=False)
        for size in self.notes.thick[:1]:
            self._take(size.at, self._end_of(size.at), size)
        i = 0
        while i < len(self.said.words):
            n = self.at(i)
            if n and i not in self.used and self._refused(i, n):
                i += n
            elif n and (self._of_species(i, n) or (n > 1 and self._of_species(i, 1))) and i not in self.used:
                i += 1
            elif n and i not in self.used and self._counts(i, n):
                last = self._end_of(i)
                self._take(i, max(last, i + n), None)
                i = max(last, i + n)
            else:
                i += 1
        self._asks()
        wished = self.notes.facts.get(self.purposes.wishes[0], ())
        if wished and "tannage" not in self.proposal.choices:
            slug = str(wished[0].value)
            self.proposal = joined(
                Proposal(
                    {"tannage": (slug,)}, words={"tannage": self.base.decisions["tannage"].candidates[slug].label}
                ),
                self.proposal,
            )
        for m in (m for m in self.said.matches if wished and m.attribute == self.purposes.wishes[0]):
            # The word for one leather may be the word for its whole kind.
            kind = self.known.get(tuple(self.said.words[m.first : m.last]), {}).get("tannage", ())
            if len(kind) > 1 and m.value in (fact.value for fact in wished):
                self._named("tannage", kind, *self.said.span(m.first, m.last))
                named = self.notes.beside.get(self.purposes.asked.get("tannage", ""), ((), (0, 0)))[0]
                if named and m.value not in named:
                    # Of the whole kind, this one is not what makers use for the thing.
                    del self.notes.facts[self.purposes.wishes[0]]
                    words = {"tannage": self.notes.text(*self.said.span(m.first, m.last))}
                    self.proposal = joined(self.proposal, Proposal({"tannage": named}, words=words))
        self.notes.proposal = self.proposal
        self.notes.used |= self.used

    def _refused(self, i: int, n: int) -> bool:
        """ "No splits": keeps a layer of the hide that is refused; False where it is not."""
        said, name = self.said, self.purposes.refused_grain
        grain = self.reads(i, n).get("grain", ())
        how, at = said.scope(i)
        idle = (said.masked | said.idle).intersection(range(i, i + n))
        if not grain or not name or how != "no" or i in said.owner or idle:
            return False
        if self._leads_on(i + n) or said.word(i - 1) in ("a", "the"):
            return False
        for slug in grain:
            self.notes.add(name, slug, at, i + n)
        return True

    def _of_species(self, i: int, n: int) -> bool:
        """ "Calf 1.2 mm", "hair sheep skins": takes the animal beside another word for leather as a wish."""
        said = self.said
        slugs, wish = self.reads(i, n).get("species", ()), self.purposes.species
        allowed = not _ALLOWED.isdisjoint(said.words[i + n : i + n + 4])
        if allowed or len(slugs) != 1 or wish in self.notes.facts or i in said.owner or said.scope(i)[0]:
            return False
        told = self.beside(i, i + n) or self._formed(i + n) or self._led_in(i)
        if wish not in self.base.attributes or not told:
            return False
        if self._leads_on(i + n):
            return False
        self.notes.add(self.purposes.species, slugs[0], i, i + n)
        return True

    def _led_in(self, i: int) -> bool:
        """ "In burgundy calf": whether a colour and a word for what it is made of stand before."""
        before = i - 1
        while (o := self.said.owner.get(before)) and o.attribute == self.purposes.colour:
            before -= 1
        return before < i - 1 and self.said.word(before) in ("in", "of", "from", "or")

    def _formed(self, i: int) -> bool:
        """Whether a form of leather that is no plain word follows."""
        n = self.at(i)
        reads = self.reads(i, n) if n else {}
        return "form" in reads and "cut" not in reads

    def _end_of(self, i: int) -> int:
        while i < len(self.said.words) and (
            (n := leather_at(self.base, self.said, i)) or self.said.word(i) == _SHORT[0]
        ):
            if n and not self._counts(i, n) and not set(self.reads(i, n)) & {"tannage", "grain"}:
                break
            i += n or 1
        return i

    def _counts(self, i: int, n: int) -> bool:
        """Whether the words for a leather at ``i`` are meant of the leather to buy."""
        said, last = self.said, i + n
        reads = self.reads(i, n)
        owner = said.owner.get(i)
        if owner and owner.attribute in self.purposes.wishes and i > owner.first and last == owner.last:
            # "Tooling side": the wish is for the leather, and the form stands beside it.
            return "form" in reads and not said.scope(owner.first)[0]
        idle = said.masked | said.idle
        if owner or said.scope(i)[0] or idle.intersection(range(i, last)) or not set(reads) & set(_POINTS):
            return False
        taken = self.notes.named.taken
        if taken and i in range(taken.first, taken.last) and not (i == taken.first and "temper" in reads):
            return False
        item = said.owner.get(last)
        leads = self._leads_on(last)
        if "tannage" in reads:
            if len(reads["tannage"]) < 2:
                # Words for one tannage are read as a wish; alone, "harness" is a thing and no leather.
                return False
            ended = said.ends(last) or (item is not None and item.attribute == "item")
            return ended or self.beside(i, last, True) or bool(self.at(last))
        if "grain" in reads:
            if self.beside(i, last) or n > 1:
                return True
            # "A split in the liner" is none, "in suede" is one; "they split along the seam" tells what happened.
            told = said.word(i - 1) in _TOLD_OF or said.word(last) in _HAPPENS_THERE
            return (
                not told
                and said.word(i - 1) not in ("a", "the")
                and (not leads or (item is not None and item.attribute == "item"))
            )
        if "temper" in reads:
            return self._tempered(i, last)
        if said.word(i - 1) in _OWNED or leads:
            return False
        if "cut" in reads and "form" in reads and not set(reads["cut"]) & set(reads["form"]):
            # "Offcuts" are no plain word as "side" and "back" are.
            return True
        return self.beside(i, last, i in self.forms) or (n > 1 and "form" in reads)

    def _tempered(self, i: int, last: int) -> bool:
        """ "Something firm", "soft leather": whether a temper is meant of the leather."""
        said = self.said
        if self.beside(i, last):
            return True
        item = said.owner.get(last)
        plain = said.ends(last) or (item is not None and item.attribute == "item") or bool(self.at(last))
        plain |= said.word(last) in ("piece", "bit", "one", "stuff") or said.word(last) in lex.OF_LEATHER
        return said.words[i] in said.lexicon.book.tempers and plain and said.word(i - 1) not in ("too", "so", "that")

    def _take(self, first: int, last: int, size: Size | None, shown: bool = True) -> None:
        ends = [self.said.span(first, last)] if last > first else []
        ends += [(size.start, size.end)] if size else []
        start, end = min(a for a, _ in ends), max(b for _, b in ends)
        words = " ".join(self.said.words[first:last])
        found = read_leather(self.base, words).proposal if words else Proposal()
        found = self._with_forms(found, first, last)
        if size and (thick := thickness(size)):
            said = {"weight": self.notes.text(size.start, size.end)}
            found = joined(found, Proposal(weight=thick, words=said))
        if shown:
            for name in (n for n in _POINTS if n in found.choices):
                if name == "cut" and "form" in found.choices:
                    continue
                if name == _POINTS[0] and {self.purposes.wishes[0], self.purposes.at_hand} & self.notes.facts.keys():
                    continue
                self.notes.point(
                    f"{name} {self._shown(name, found.choices[name], found.words.get(name, ''))}",
                    self.said.span(first, last) if last > first else (start, end),
                )
                self._named(name, found.choices[name], start, end)
        self.proposal = joined(found, self.proposal)
        self.used.update(range(first, last))

    def _named(self, decision: str, slugs: Sequence[str], start: int, end: int) -> None:
        """Keeps what is named of a kind of leather or of the layers of the hide as what somebody would have.

        Of a kind only those that makers use for the thing; whether another would do is told by the second opinion.
        """
        name = self.purposes.asked.get(decision, "")
        if not name or self.item is None or name in self.notes.beside or self.purposes.at_hand in self.notes.facts:
            return
        used = self.base.items[self.item].ranks.get(decision, frozenset(slugs))
        if kept := tuple(slug for slug in slugs if slug in used):
            self.notes.beside[name] = kept, (start, end)

    def _with_forms(self, found: Proposal, first: int, last: int) -> Proposal:
        """A form that only the words of this file name."""
        here = [self.forms[i] for i in range(first, last) if i in self.forms and self.forms[i][0] <= last]
        if here and "form" not in found.choices:
            return joined(found, Proposal({"form": (here[0][1],)}, words={"form": here[0][1].replace("_", " ")}))
        return found

    def _asks(self) -> None:
        """What the shop is to look for: that it must not stretch, the same batch."""
        for f in self.said.lexicon.book.asks.find(self.said.words):
            refused = self.said.words[f.last : f.last + 2] == ["not", "wanted"]
            owner = self.said.owner.get(f.last - 1)
            # The "no hole" of "no hole punch" says nothing of holes.
            longer = owner is not None and owner.first >= f.first and owner.last > f.last
            longer |= {f.last - 1, f.last} <= self.said.idle
            if not refused and not longer and not self.used.intersection(range(f.first, f.last)):
                name = f.meaning[0].replace("_", " ")
                asked, making = f"to ask for: {name}", f.meaning[0] in self.said.lexicon.book.making
                self.notes.point(asked, self.said.span(f.first, f.last), f"to be made {name}" if making else asked)
                self.used.update(range(f.first, f.last))

    def _shown(self, name: str, slugs: Sequence[str], words: str) -> str:
        """The name of a group, of one candidate, or the words themselves."""
        decision = self.base.decisions[name]
        group = next((g for g in decision.spoken if decision.groups[g] == tuple(slugs)), "")
        if len(slugs) == 1 or group:
            return (group or slugs[0]).replace("_", " ")
        return words or " or ".join(s.replace("_", " ") for s in slugs)


def _is_mass(s: Size) -> bool:
    """Whether a size is what something weighs, and no thickness in ounces."""
    try:
        parse_quantity(f"1 {s.unit}", "kg")
    except UnitError:
        return False
    return s.unit not in OUNCES

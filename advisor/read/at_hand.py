"""Leather that somebody has already: "some veg tan left over, about 3 mm", "my mate gave me a bit of chrome".

It says what is at home and wishes for nothing. Words before it or after it tell that it is there; both stand in
``words/values.toml``.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ..leather.units import number
from ..reasoning.review import LABEL
from ..rulebase.models import RuleBase
from . import lexicon as lex
from .hints import usual_sizes
from .notes import Notes
from .numbers import Size
from .offered import leather_at, phrases, thickness
from .purposes import purposes
from .roles import ARTICLES, Roles
from .sentence import Match, Sentence

_LEATHER = frozenset(("leather", "hide", "skin"))
_MASS = frozenset(("some", "of", "bit", "any", "enough", "more", "leftover", "over", "spare", "left"))
"""Words behind which a name is that of a stuff and of no thing: "some bridle" is leather, "a bridle" is none."""
_HAVING = frozenset(("have", "got", "own", "ive"))
_MEASURING = frozenset(
    ("half", "quarter", "a", "an", "the", "some", "of", "bit", "piece", "whole", "few", "couple", "my")
)
"""Words before leather at hand that say how much of it there is."""
_OURS = frozenset(("my", "our"))
_FAR = 6
"""Over how many words a thickness may follow the leather it is of."""
_ADJECTIVES = 3
"""How many plain adjectives may stand before the leather: "I have some nice old veg tan"."""


class Held(NamedTuple):
    """Leather at hand: the words that tell of it (first to last), those that name it, its kind and its thickness.

    ``tannage`` is what it is by what it was cut from; ``lacking`` says that this kind is not there.
    """

    first: int
    last: int
    named: int
    end: int
    kind: str
    size: Size | None
    tannage: str = ""
    lacking: bool = False


def held(rulebase: RuleBase, said: Sentence) -> Held | None:
    """The first leather of a sentence that somebody has already, else the first that is lacking, or None."""
    ways = (_after, _before, _owned, _cut_up)
    found = sorted((one for way in ways for one in way(rulebase, said)), key=lambda h: (h.first, -h.last))
    lacking = [one for one in found if one.lacking]
    there = [one for one in found if not any(no.first <= one.first < no.last for no in lacking)]
    for one in (*there, *lacking):
        size = None if one.lacking else _size(said, one)
        if one.kind or size:
            return one._replace(size=size)
    return None


def _after(rulebase: RuleBase, said: Sentence) -> Iterator[Held]:
    """Leather named right behind the words that say it is there, or that none of it is: "I do not have any veg"."""
    for f in said.lexicon.book.at_hand.find(said.words):
        start, mass = f.last, _massed(rulebase, said, f.last - 1)
        refused = said.scope(f.first)[0]
        # "Have no chrome" may be a wish too and is none of these.
        lacking = said.words[f.first] in _HAVING and (refused == "no" or _none_said(rulebase, said, f.first))
        start += lacking and said.word(start) == "any"
        while (start < f.last + _ADJECTIVES and said.word(start) in lex.PLAIN) or _colour(rulebase, said, start):
            start += 1
        end = _end(rulebase, said, start, mass)
        if end > start and not _of_a_thing(said, end) and (lacking or not refused):
            kind = _kind(rulebase, said, start, end)
            yield Held(f.first, max(end, _tail(said, end)), start, end, kind, None, lacking=lacking)


def _none_said(rulebase: RuleBase, said: Sentence, i: int) -> bool:
    """Whether the word at ``i`` belongs to words that say that no leather is there: "have not got any"."""
    owner = said.owner.get(i)
    return owner is not None and (owner.attribute, owner.value) == (purposes(rulebase).at_hand, "none")


def _before(rulebase: RuleBase, said: Sentence) -> Iterator[Held]:
    """Leather named right before the words that say it is there."""
    for f in said.lexicon.book.left_over.find([*said.words, "."]):
        mass = not _mass(rulebase).isdisjoint(said.words[f.first : f.last])
        starts = range(max(0, f.first - 5), f.first)
        start = next((i for i in starts if _end(rulebase, said, i, mass) == f.first), None)
        if start is not None and not said.scope(start)[0]:
            first, last = start, min(f.last, len(said.words))
            while said.word(first - 1) in _MEASURING:
                first -= 1
            yield Held(first, last, start, f.first, _kind(rulebase, said, start, f.first), None)


def _owned(rulebase: RuleBase, said: Sentence) -> Iterator[Held]:
    """ "My 2 mm shoulder", "our veg tan": leather that is somebody's, where its kind or its thickness is said in it."""
    for i, word in enumerate(said.words):
        if word not in _OURS:
            continue
        end = _end(rulebase, said, i + 1, False)
        if end == i + 1 or _of_a_thing(said, end) or said.scope(i)[0]:
            continue
        kind = _kind(rulebase, said, i + 1, end)
        if kind or any(s.at == i + 1 and thickness(s) for s in said.sizes):
            yield Held(i, end, i + 1, end, kind, None)


def _cut_up(rulebase: RuleBase, said: Sentence) -> Iterator[Held]:
    """Something worn out that is to be cut up: "an old jacket's leather"; not what the thing is made for."""
    for m in said.matches:
        if m.attribute == purposes(rulebase).at_hand and m.value in said.lexicon.book.kinds and not made_for(said, m):
            words = said.words[m.first : m.last]
            of = next((f.meaning[0] for f in said.lexicon.book.cut_up.find(words)), "")
            yield Held(m.first, m.last, m.first, m.first, m.value, None, of)


def made_for(said: Sentence, m: Match) -> bool:
    """Whether something is made for what the words name: "patches for an old leather jacket"."""
    i = m.first - 1
    while said.word(i) in ARTICLES or said.tokens[max(i, 0)].owner:
        i -= 1
    return said.word(i) in ("for", "on", "to", "onto") and said.word(i - 1) not in ("use", "job", "project", "idea")


def _end(rulebase: RuleBase, said: Sentence, i: int, mass: bool) -> int:
    """Where the words for leather that begin at ``i`` end; behind a ``mass`` also those that name a thing besides."""
    start = i
    while i < len(said.words):
        n = leather_at(rulebase, said, i) or (said.words[i] in _LEATHER) or (mass and _stuff(rulebase, said, i))
        sized = any(s.at == i and thickness(s) for s in said.sizes)
        if n == 1 and i == start and not (mass or sized) and (said.words[i],) in said.lexicon.forms:
            # "I have a harness" is a thing, "3 mm harness" is leather.
            break
        if not n and said.words[i] == "of" and i > start:
            # "Side of chrome tan"; behind "of" stands a stuff.
            n = next((1 + m for m in (_end(rulebase, said, i + 1, True) - i - 1,) if m), 0)
        if not n:
            break
        i += n
    return i


def _stuff(rulebase: RuleBase, said: Sentence, i: int) -> int:
    """How many words from ``i`` on name a tannage and a thing alike: the "bridle" of "some bridle"."""
    owner = said.owner.get(i)
    if owner is None or owner.attribute != "item" or owner.first != i:
        return 0
    named = tuple(said.words[i : owner.last])
    return owner.last - i if "tannage" in phrases(rulebase).get(named, {}) else 0


def _massed(rulebase: RuleBase, said: Sentence, i: int) -> bool:
    """Whether the words up to ``i`` end in one of a mass, over colours and plain adjectives: "some dark brown".

    What is had without an article is a stuff too: "I have got bridle".
    """
    mass = _mass(rulebase)
    while said.word(i) not in mass and (said.word(i) in lex.PLAIN or _colour(rulebase, said, i)):
        i -= 1
    return said.word(i) in mass | _HAVING


def _mass(rulebase: RuleBase) -> frozenset[str]:
    """The words of a mass, with those for what was left: "scraps of bridle"."""
    return _MASS | usual_sizes(rulebase).leftovers


def _colour(rulebase: RuleBase, said: Sentence, i: int) -> bool:
    """Whether the word at ``i`` says a colour."""
    owner = said.owner.get(i)
    return owner is not None and owner.attribute == purposes(rulebase).colour


def _tail(said: Sentence, end: int) -> int:
    """Where the words end that stand right behind the leather and say that it is left over."""
    return max(
        (min(f.last, len(said.words)) for f in said.lexicon.book.left_over.find([*said.words, "."]) if f.first == end),
        default=end,
    )


def _of_a_thing(said: Sentence, end: int) -> bool:
    """Whether the leather only says what the thing named behind it is made of."""
    roles, owner = Roles(said), said.owner.get(end)
    if not roles.joined(end) or any(s.at == end for s in said.sizes) or _tail(said, end) > end:
        return False
    return roles.noun(end) or (owner is not None and owner.attribute == "item")


def _kind(rulebase: RuleBase, said: Sentence, first: int, end: int) -> str:
    """The kind of leather at hand that the words ``first`` to ``end`` name, or ""."""
    known = phrases(rulebase)
    for n in range(end - first, 0, -1):
        for i in range(first, end - n + 1):
            slugs = known.get(tuple(said.words[i : i + n]), {}).get("tannage", ())
            for kind, members in said.lexicon.book.kinds.items():
                if slugs and set(slugs) <= set(members):
                    return kind
    return ""


def _size(said: Sentence, one: Held) -> Size | None:
    """The thickness said of the leather: among its words, right before them, or soon after in the same clause."""
    for s in said.sizes:
        between = said.words[one.last : s.at]
        owners = {said.owner[i].attribute for i in range(one.last, s.at) if i in said.owner}
        # "Left over from a saddle bag, 2.5 mm": a thing may stand between only as where the leather comes from.
        same = not set(between) & set(".;!?") and ("item" not in owners or "from" in between)
        near = one.first <= s.at <= one.last or (one.last < s.at <= one.last + _FAR and same)
        called = said.word(s.at) in lex.COMPARED.values() and said.word(s.at) != "thick"
        if near and not called and thickness(s):
            return s
    return None


class AtHand:
    """Notes the leather at hand of one sentence and takes its words from what is wished for."""

    def __init__(self, notes: Notes) -> None:
        self.notes, self.found, self.purposes = notes, held(notes.base, notes.said), purposes(notes.base)
        said, one = notes.said, self.found
        # What something is made for is not cut up for it.
        for m in [m for m in said.matches if m.attribute == self.purposes.at_hand and made_for(said, m)]:
            said.matches.remove(m)
            said.owner = {i: o for i, o in said.owner.items() if o is not m}
        if one is None:
            return
        theirs = set(range(one.first, one.last))
        named = set(range(one.named, one.end))
        dropped = [
            m
            for m in said.matches
            if (theirs.intersection(m.own) and self._wished(m)) or (m.attribute == "item" and named.issuperset(m.own))
        ]
        said.at_hand = frozenset(theirs)
        said.matches = [m for m in said.matches if m not in dropped]
        said.owner = {i: m for i, m in said.owner.items() if m not in dropped}
        if one.size:
            said.sizes.remove(one.size)
            notes.thick.append(one.size)

    def _wished(self, m: Match) -> bool:
        """Whether a reading wishes for leather or repeats what is at hand."""
        return m.attribute in (self.purposes.at_hand, LABEL, *self.purposes.wishes)

    @property
    def named(self) -> tuple[int, int] | None:
        """The words that name the leather at hand."""
        return (self.found.named, self.found.end) if self.found and not self.found.lacking else None

    def unnamed(self, text: str) -> str:
        """The text without the name of the leather at hand: "veg in the shed" is no food there."""
        if self.found is None or not self.found.named < self.found.end:
            return text
        start, end = self.notes.said.span(self.found.named, self.found.end)
        return f"{text[:start]}{' ' * (end - start)}{text[end:]}"

    @property
    def tannage(self) -> str:
        """What the leather at hand is by what it was cut from, or ""."""
        return self.found.tannage if self.found else ""

    def note(self) -> None:
        """Adds what is at hand to the facts."""
        notes, one = self.notes, self.found
        if one is None or (not one.lacking and notes.said.word(one.first - 1) in lex.NO):
            return
        kind, weight = self.purposes.at_hand, self.purposes.at_hand_weight
        if one.kind and kind in notes.base.attributes:
            first = one.first - (one.lacking and notes.said.word(one.first - 1) in lex.NO)
            notes.add(kind, "none" if one.lacking else one.kind, first, one.last)
        if one.size and weight in notes.base.attributes and (found := thickness(one.size)):
            a = notes.base.attributes[weight]
            ends = [f"{number(mm, 6)} mm" for mm in dict.fromkeys((found.low, found.high))]
            if len(ends) == 1:
                notes.number(a, one.size, ends[0], one.first, one.last)
            else:
                notes.range(a, one.size, ends, one.first, one.last)

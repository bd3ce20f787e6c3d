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
from .notes import Notes
from .numbers import Size
from .offered import leather_at, phrases, thickness
from .purposes import purposes
from .roles import Roles
from .sentence import Match, Sentence

_LEATHER = frozenset(("leather", "hide", "skin"))
_FAR = 6
"""Over how many words a thickness may follow the leather it is of."""
_ADJECTIVES = 3
"""How many plain adjectives may stand before the leather: "I have some nice old veg tan"."""


class Held(NamedTuple):
    """Leather at hand: the words that tell of it (first to last), those that name it, its kind and its thickness."""

    first: int
    last: int
    named: int
    end: int
    kind: str
    size: Size | None


def held(rulebase: RuleBase, said: Sentence) -> Held | None:
    """The first leather of a sentence that somebody has already, or None."""
    found = sorted((*_after(rulebase, said), *_before(rulebase, said)), key=lambda h: (h.first, -h.last))
    for one in found:
        size = _size(said, one)
        if one.kind or size:
            return one._replace(size=size)
    return None


def _after(rulebase: RuleBase, said: Sentence) -> Iterator[Held]:
    """Leather named right behind the words that say it is there."""
    for f in said.lexicon.book.at_hand.find(said.words):
        start = f.last
        while start < f.last + _ADJECTIVES and said.word(start) in lex.PLAIN:
            start += 1
        end = _end(rulebase, said, start)
        if end > start and not _of_a_thing(said, end) and not said.scope(f.first)[0]:
            yield Held(f.first, max(end, _tail(said, end)), start, end, _kind(rulebase, said, start, end), None)


def _before(rulebase: RuleBase, said: Sentence) -> Iterator[Held]:
    """Leather named right before the words that say it is there."""
    for f in said.lexicon.book.left_over.find(said.words):
        start = next((i for i in range(max(0, f.first - 5), f.first) if _end(rulebase, said, i) == f.first), None)
        if start is not None and not said.scope(start)[0]:
            yield Held(start, f.last, start, f.first, _kind(rulebase, said, start, f.first), None)


def _end(rulebase: RuleBase, said: Sentence, i: int) -> int:
    """Where the words for leather that begin at ``i`` end."""
    while i < len(said.words) and (n := leather_at(rulebase, said, i) or (said.words[i] in _LEATHER)):
        i += n
    return i


def _tail(said: Sentence, end: int) -> int:
    """Where the words end that stand right behind the leather and say that it is left over."""
    return max((f.last for f in said.lexicon.book.left_over.find(said.words) if f.first == end), default=end)


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
        if self.found is None:
            return
        said, one = notes.said, self.found
        theirs = set(range(one.first, one.last))
        dropped = [m for m in said.matches if theirs.intersection(m.own) and self._wished(m)]
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
        return (self.found.named, self.found.end) if self.found else None

    def note(self) -> None:
        """Adds what is at hand to the facts."""
        notes, one = self.notes, self.found
        if one is None:
            return
        kind, weight = self.purposes.at_hand, self.purposes.at_hand_weight
        if one.kind and kind in notes.base.attributes:
            notes.add(kind, one.kind, one.first, one.last)
        if one.size and weight in notes.base.attributes and (found := thickness(one.size)):
            a = notes.base.attributes[weight]
            ends = [f"{number(mm, 6)} mm" for mm in dict.fromkeys((found.low, found.high))]
            if len(ends) == 1:
                notes.number(a, one.size, ends[0], one.first, one.last)
            else:
                notes.range(a, one.size, ends, one.first, one.last)

"""The measure of a thing that a size comes nearest to, where no word beside the size says what it measures."""

from __future__ import annotations

from ..leather.units import number, parse_quantity, times_apart
from ..rulebase.models import Attribute
from . import lexicon as lex
from .notes import Notes
from .numbers import Size, fits

NEAR = 2.5
"""Within how many times the usual size of a measure a size may lie that no word names."""
_CLEARLY = 1.6
"""How much nearer it must lie to that than to the usual size of any other measure."""
_ASKING = frozenset(("long", "wide", "tall", "high", "deep", "thick", "far", "round", "one", "each", "value"))
_FAR = 4.0
"""Within how many times the usual size it may lie where it can be no other measure, or is far from all others."""


def apart(notes: Notes, s: Size, item: str) -> list[tuple[float, Attribute]]:
    """How many times a size is the usual one, or the other way about, of each measure of which nothing is said yet.

    The nearest first; those only within whose bounds it lies.
    """
    found = []
    uses = notes.said.lexicon.uses.get(item, frozenset())
    for a in (notes.base.attributes[n] for n in uses - notes.facts.keys() - notes.ranges.keys()):
        usual = notes.base.items[item].supposes.get(a.name, (0.0,))[0]
        if a.unit and isinstance(usual, float) and usual > 0 and min(s.values) > 0 and fits(s.unit, a):
            size = parse_quantity(f"{number(s.values[0], 6)} {s.unit}", a.unit)
            if (a.low or 0) <= size <= (a.high or size):
                found.append((times_apart(size, usual), a))
    return sorted(found, key=lambda pair: (pair[0], pair[1].name))


def asked_so(notes: Notes, s: Size, item: str) -> Attribute | None:
    """The measure that the thing's own question calls as somebody does beside a size: "the cutting edge is 10 cm"."""
    asks, found = notes.base.items[item].asks, apart(notes, s, item)
    near = {notes.said.words[i] for i, _ in notes.said.nearby(s)[0]}
    for texts in ({n: asks[n].say for n in asks}, {n: asks[n].question for n in asks}):
        words = {n: near & {*lex.phrase(text)} - lex.STOP - _ASKING for n, text in texts.items()}
        own = {n: said - {w for o, others in words.items() if o != n for w in others} for n, said in words.items()}
        told = [a for _, a in found if own.get(a.name)]
        if len(told) == 1:
            asked = {*lex.phrase(asks[told[0].name].question), *own[told[0].name]} - lex.STOP
            notes.used.update(i for i, _ in notes.said.nearby(s)[0] if notes.said.words[i] in asked)
            return told[0]
    return None


def nearest_measures(notes: Notes, s: Size, item: str) -> list[Attribute]:
    """The measure that a size clearly comes nearest to, or those that it may be as well; [] where it fits none."""
    found = apart(notes, s, item)
    if not found or found[0][0] > _FAR:
        return []
    alike = [a for times, a in found if times < found[0][0] * _CLEARLY]
    return alike if len(alike) == 1 or found[0][0] <= NEAR else []

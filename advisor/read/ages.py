"""Whose age a number is and what follows of it: ``words/people.toml``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from pydantic import Field

from ..errors import RuleBaseError
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.words import words_file
from .lexicon import fold

FILE = "words/people.toml"


class RawAge(Shape):
    """A value for somebody from ``least`` years on and ``below`` so many."""

    value: Slug
    least: float = Field(ge=0)
    below: float = Field(gt=0)
    child: bool = False


class PeopleFile(Shape):
    """words/people.toml.

    ``attribute`` is who the thing is for, ``age`` its values by years. ``young`` are words for somebody who may be a
    child or grown: they count beside an age, and so do ``grown``, who are no children; ``adults`` are further
    words for such people, beside which a number is none. ``easing`` are values that are
    taken only from words spelt clearly,
    ``lining`` words behind a leather that is only the lining, ``said_back`` attributes of which a refusal is shown.
    ``groups`` are words before "of" and a number of people, ``several`` plurals without an s,
    ``body`` parts of somebody.
    ``grown_up`` is the value of somebody who is named as grown.
    ``rooms`` are places named after somebody, ``near`` what somebody does who is only near.
    """

    attribute: Slug
    age: tuple[RawAge, ...] = ()
    young: tuple[str, ...] = ()
    grown: tuple[str, ...] = ()
    adults: tuple[str, ...] = ()
    easing: tuple[str, ...] = ()
    lined: tuple[str, ...] = ()
    lining: tuple[str, ...] = ()
    rooms: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    said_back: tuple[Slug, ...] = ()
    groups: tuple[str, ...] = ()
    several: tuple[str, ...] = ()
    body: tuple[str, ...] = ()
    grown_up: Slug = ""


@dataclass(frozen=True, slots=True)
class Ages:
    """Who somebody of an age is in a rule base; the words are folded. ``attribute`` is "" where nobody asks."""

    attribute: str = ""
    bands: tuple[RawAge, ...] = ()
    young: frozenset[str] = frozenset()
    grown: frozenset[str] = frozenset()
    adults: frozenset[str] = frozenset()
    easing: frozenset[str] = frozenset()
    lined: frozenset[str] = frozenset()
    lining: frozenset[str] = frozenset()
    said_back: frozenset[str] = field(default=frozenset())
    rooms: frozenset[str] = frozenset()
    near: frozenset[str] = frozenset()
    groups: frozenset[str] = frozenset()
    several: frozenset[str] = frozenset()
    body: frozenset[str] = frozenset()
    adult: str = ""

    def of(self, years: float) -> RawAge | None:
        """Who somebody so old is, or None where nothing follows of it."""
        return next((band for band in self.bands if band.least <= years < band.below), None)

    def grown_up(self, years: Sequence[float]) -> bool:
        """Whether somebody so old is past the ages of a child and in no band of its own."""
        first = max((band.below for band in self.bands if band.child), default=0.0)
        return bool(years) and first <= years[0] < max((band.below for band in self.bands), default=0.0)

    @property
    def children(self) -> tuple[str, ...]:
        """The values that a child can have, the youngest first."""
        return tuple(band.value for band in self.bands if band.child)


def ages(rulebase: RuleBase) -> Ages:
    """What follows of ages, read once. Raises RuleBaseError with every mistake in the file."""
    made: Ages = rulebase.once("ages", _read)
    return made


def _read(rulebase: RuleBase) -> Ages:
    raw = words_file(rulebase, FILE, PeopleFile)
    if raw is None:
        return Ages()
    reader = rulebase.memo["words"]
    known = rulebase.attributes[raw.attribute].values if raw.attribute in rulebase.attributes else {}
    for band in (b for b in raw.age if b.value not in known):
        reader.wrong(FILE, ("age", 0), band.value, f'"{band.value}" is no value of "{raw.attribute}".')
    if raw.grown_up and raw.grown_up not in known:
        reader.wrong(FILE, ("grown_up",), raw.grown_up, f'"{raw.grown_up}" is no value of "{raw.attribute}".')
    if reader.problems:
        raise RuleBaseError(reader.problems)
    return Ages(
        raw.attribute,
        raw.age,
        _folded(raw.young),
        _folded(raw.grown),
        _folded((*raw.grown, *raw.adults)),
        frozenset(raw.easing),
        _folded(raw.lined),
        _folded(raw.lining),
        frozenset(raw.said_back),
        _folded(raw.rooms),
        _folded(raw.near),
        _folded(raw.groups),
        _folded(raw.several),
        _folded(raw.body),
        raw.grown_up,
    )


def _folded(words: Iterable[str]) -> frozenset[str]:
    return frozenset(map(fold, words))

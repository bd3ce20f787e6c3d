"""What a sentence may ask for: candidates with their points, and what was taken of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from ..errors import shown
from ..rulebase.words import Thing
from .roles import Role

CLEAR, LEAD = 8.0, 2.0
"""Points at which a thing may be taken, and by how much it must lead."""
LEAST_NAMED = 6.0
"""What a thing named outright weighs among candidates, whatever its role."""


class Candidate(NamedTuple):
    """A thing that may be meant, how strongly the words point to it, and where they stand (first, last word).

    ``shaped`` says that it was found by its form and what it is for.
    """

    thing: Thing
    points: float
    words: str
    first: int
    last: int
    role: Role
    shaped: bool = False

    @property
    def called(self) -> str:
        """Its name, or as it was said where the name is a list: "dragon wings"."""
        listed = ", " in self.thing.name or " or " in self.thing.name
        return shown(self.words) if listed and self.first < self.last else self.thing.name


def best_first(c: Candidate) -> tuple[float, bool, float, int]:
    """The order of candidates: by points, of equals what can be sold, then what was said first."""
    return -round(c.points * 5), not c.thing.recipe, -c.points, c.first


@dataclass(frozen=True, slots=True)
class Named:
    """What a sentence asks for.

    ``taken`` is None where it is not clear; then ``candidates`` are offered, best first. ``others`` are things asked
    for besides, ``either`` says that the sentence leaves the choice, ``unread`` are nouns that change what is taken
    and were not understood (first, last word). ``instead`` are what else a thing taken with a doubt may be, ``forms``
    the words of what is asked for besides by its form alone.
    """

    taken: Candidate | None = None
    candidates: tuple[Candidate, ...] = ()
    others: tuple[Candidate, ...] = ()
    either: bool = False
    unread: tuple[tuple[int, int], ...] = ()
    used: frozenset[int] = field(default=frozenset())
    instead: tuple[Candidate, ...] = ()
    forms: tuple[str, ...] = ()

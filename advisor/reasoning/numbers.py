"""Going along a number until something changes: what is proven between two numbers, and what was only tried.

A stretch of numbers is proven by one run that is opened over all of it. Where that is too wide to tell, it is halved
and its parts are looked at; a stretch that no run settles is never called safe. Work is counted in runs, so that the
same question has the same answer on a fast machine and a slow one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from ..rulebase.models import Attribute

HALVINGS = 12
DEPTH = 3
"""How often a stretch between two marks is halved before it is left unproven."""
EDGE_RUNS = 90


class Budget:
    """Runs that a search may still do."""

    __slots__ = ("left",)

    def __init__(self, runs: int) -> None:
        self.left = runs

    def spend(self) -> None:
        """Count one run."""
        self.left -= 1

    @property
    def over(self) -> bool:
        """Whether nothing is left."""
        return self.left <= 0


@dataclass(slots=True)
class Line:
    """One number of a run that is to be varied.

    ``alike`` tells of one number whether all is as it was there, ``all_alike`` of two numbers, the lower first, whether
    that is proven of every number from one to the other. ``tried`` gathers the numbers looked at one by one.
    """

    attribute: Attribute
    alike: Callable[[float], bool]
    all_alike: Callable[[float, float], bool]
    budget: Budget = field(default_factory=lambda: Budget(EDGE_RUNS))
    tried: list[float] = field(default_factory=list)

    def same(self, value: float) -> bool:
        """Whether one number changes nothing."""
        self.budget.spend()
        self.tried.append(value)
        return self.alike(value)

    def proven(self, one: float, other: float) -> bool:
        """Whether no number from one to the other changes anything."""
        if self.budget.over:
            return False
        self.budget.spend()
        return self.all_alike(min(one, other), max(one, other))


@dataclass(frozen=True, slots=True)
class Edge:
    """How far a number may go one way: ``last`` changes nothing, ``first`` does (None if none that was tried did).

    ``proven``: every number up to ``last`` was covered, and ``first`` is the next one of three figures.
    """

    last: float
    first: float | None
    proven: bool


def edge(line: Line, start: float, marks: Sequence[float], depth: int = DEPTH) -> Edge:
    """From ``start``, which changes nothing, along ``marks``, the nearest first."""
    if not marks or line.proven(start, marks[-1]):
        return Edge(marks[-1] if marks else start, None, True)
    last, proven = start, True
    for mark in marks:
        first, reached, sure = _stretch(line, last, mark, depth)
        proven = proven and sure
        if first is not None:
            return Edge(reached, first, proven)
        last = mark
    return Edge(last, None, proven)


def _stretch(line: Line, start: float, end: float, depth: int) -> tuple[float | None, float, bool]:
    """The first number found that changes something after ``start``, the last before it, whether that is proven."""
    if line.proven(start, end):
        return None, end, True
    middle = tidy(line.attribute, (start + end) / 2)
    if depth and not line.budget.over and min(start, end) < middle < max(start, end):
        first, reached, sure = _stretch(line, start, middle, depth - 1)
        if first is not None:
            return first, reached, sure
        first, reached, rest = _stretch(line, middle, end, depth - 1)
        return first, reached, sure and rest
    if line.same(end):
        return None, end, _next_to(line.attribute, start, end)
    last, first = between(line.attribute, line.same, start, end)
    return first, last, last == start or _next_to(line.attribute, start, last) or line.proven(start, last)


def _next_to(attribute: Attribute, one: float, other: float) -> bool:
    return attribute.kind == "count" and abs(one - other) <= 1


def between(attribute: Attribute, alike: Callable[[float], bool], same: float, other: float) -> tuple[float, float]:
    """The last number, coming from ``same``, at which all is alike, and the first at which it is not."""
    for _ in range(HALVINGS):
        middle = tidy(attribute, (same + other) / 2)
        if not min(same, other) < middle < max(same, other):
            break
        if alike(middle):
            same = middle
        else:
            other = middle
    return same, other


def tidy(attribute: Attribute, value: float) -> float:
    """A number as anybody would say it: three figures, a whole number for a count."""
    if attribute.kind == "count":
        return float(round(value))
    return float(f"{value:.3g}")

"""Something to be confirmed before it counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..reasoning.facts import Answer
from ..write.page import numbered_lines


@dataclass(frozen=True, slots=True)
class Way:
    """One of several numbered ways to go on: how it is called, what it takes over and takes back, what is said then."""

    label: str
    answers: Mapping[str, Answer] = field(default_factory=dict)
    drops: tuple[str, ...] = ()
    said: str = ""


@dataclass(frozen=True, slots=True)
class Pending:
    """Something to be confirmed: the answers that a yes takes over, and the question that is put.

    ``offered`` is an answer read between the lines, which Enter takes; else Enter changes nothing. ``drops`` are the
    names of answers that a yes takes back. Where there are ``ways`` a number picks one, and Enter the last.
    """

    answers: Mapping[str, Answer]
    question: str
    clears: bool = False
    offered: bool = False
    drops: tuple[str, ...] = ()
    ways: tuple[Way, ...] = ()

    def prompt(self, width: int = 80) -> str:
        """The question with what Enter means."""
        if self.ways:
            named = numbered_lines([way.label for way in self.ways], width)
            return "\n".join([f"{self.question}  (Enter: {len(self.ways)})", *named])
        return f"{self.question} yes/no  (Enter: {'yes' if self.offered else 'no'})"

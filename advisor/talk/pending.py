"""Something to be confirmed before it counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..reasoning.facts import Answer


@dataclass(frozen=True, slots=True)
class Pending:
    """Something to be confirmed: the answers that a yes takes over, and the question that is put.

    ``offered`` is an answer read between the lines, which Enter takes; else Enter changes nothing. ``drops`` are the
    names of answers that a yes takes back.
    """

    answers: Mapping[str, Answer]
    question: str
    clears: bool = False
    offered: bool = False
    drops: tuple[str, ...] = ()

    def prompt(self) -> str:
        """The question with what Enter means."""
        return f"{self.question} yes/no  (Enter: {'yes' if self.offered else 'no'})"

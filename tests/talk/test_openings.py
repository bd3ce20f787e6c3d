"""No opening ends in a fault of the program: the lines of the blind batches, and some with words that end no recipe."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from advisor.reasoning.record import Event, Fault
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session

BATCHES = Path(__file__).parents[1] / "read" / "batches"
LINES = [line["text"] for n in range(1, 7) for line in tomllib.loads((BATCHES / f"0{n}.toml").read_text())["line"]]
ODD = [
    "Morning. After a bit of natural veg, for a carbon steel sheath, enough for two or three.",
    "Have you a bit of thick stuff for a pump leather? Three inch bore, it's a cup.",
    "I'm doing up a pair of old fire bellows. What'd you use that folds and won't leak?",
]


def faults(rulebase: RuleBase, lines: list[str]) -> list[str]:
    """The lines that a new conversation cannot hear."""
    found = []
    for line in lines:
        events: list[Event] = []
        # What is kept of a line tells all that follows from it.
        Session(rulebase, listener=events.append).hear(line)
        found += [line for event in events if isinstance(event, Fault)]
    return found


def test_no_opening_ends_in_a_fault(rulebase: RuleBase) -> None:
    assert faults(rulebase, [*ODD, *LINES[::30]]) == []


@pytest.mark.slow
def test_no_opening_of_all_batches_ends_in_a_fault(rulebase: RuleBase) -> None:
    assert faults(rulebase, LINES) == []

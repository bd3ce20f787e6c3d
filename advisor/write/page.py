"""The page that replies are written on, and the words that every reply uses."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from ..leather.units import Units, beside_in
from ..reasoning.advice import Advice
from ..rulebase.models import WITHHELD

OUTCOME_WORDS = {
    "ok": "leather suits this",
    "ok_with_conditions": "leather suits this, on conditions",
    "another_material": "another material suits this better than leather",
    "defer": "this needs somebody licensed or experienced before leather is bought",
    "refuse": "refused: no leather is advised for this",
    WITHHELD: "somebody licensed or experienced decides first, so no order is shown",
    "undecided": "not decided, so no order is shown until you answer",
}
ORDER, ORDER_SLIP, NO_ORDER_SLIP = "ORDER", "ORDER SLIP", "NO ORDER"
WHY, ALSO_GOOD, NOT_THIS = "WHY", "ALSO GOOD", "NOT THIS"
YOU_SAID, ON_ARRIVAL = "YOU SAID", "ON ARRIVAL"
AT_THE_SHOP, MIND, TELL_ME_IF, I_ASSUMED, NEXT_STEPS = "AT THE SHOP", "MIND", "TELL ME IF", "I ASSUMED", "NEXT"
SEVERITY_WORDS = {"stop": "STOP", "caution": "CAUTION", "note": "Note"}
GRADE_WORDS = {
    "published, opened": "published and opened",
    "published, from memory": "published, from memory",
    "common practice": "common practice",
    "estimate": "an estimate",
}
DECISION_WORDS = {
    "tannage": "Tannage",
    "grain": "Grain",
    "surface": "Surface",
    "temper": "Temper",
    "cut": "Cut",
    "form": "Buy as",
    "species": "Species",
}


GAP = 3


def plain(slug: str) -> str:
    """A slug as a person says it."""
    return slug.replace("_", " ")


def capital(text: str) -> str:
    """The text with its first letter large and the rest as it was."""
    return text[:1].upper() + text[1:]


def verdict_words(advice: Advice) -> str:
    """What an advice comes to, in words; "" where nothing is known yet."""
    return OUTCOME_WORDS[advice.verdict] if advice.verdict else ""


def outcome_words(says: Mapping[str, Any]) -> str:
    """The outcome that a step of a proof says, in words."""
    withheld = says["outcome"] == "defer" and says["order"] == "withheld"
    return OUTCOME_WORDS[WITHHELD if withheld else says["outcome"]]


def listed(words: Iterable[str], joiner: str = "and") -> str:
    """``a, b and c``."""
    found = list(words)
    return f" {joiner} ".join([", ".join(found[:-1]), found[-1]]) if len(found) > 1 else "".join(found)


_MEASURE = re.compile(r"(?<=\d) (?=(?:mm|cm|m|in|ft|sq ft|dm²|oz|kg|g|lb|%)(?!\w)|\d+/\d)|(?<=\d sq) (?=ft)")
_TIED = "\N{NO-BREAK SPACE}"


def numbered_lines(choices: Iterable[str], width: int) -> list[str]:
    """Choices with the numbers that pick them, two or three to a line where they are short."""
    said = [f"{n} {words}" for n, words in enumerate(choices, 1)]
    longest = max(map(len, said), default=0)
    across = next((n for n in (3, 2) if (longest + GAP) * n - GAP + 2 <= width), 1)
    rows = [said[n : n + across] for n in range(0, len(said), across)]
    return ["  " + (" " * GAP).join(words.ljust(longest) for words in row).rstrip() for row in rows]


@lru_cache(4096)
def _paragraph(text: str, indent: int, label: str, width: int, units: Units) -> tuple[str, ...]:
    """The lines of a paragraph. Most of what is said of one thing is said of the next one too."""
    lead = " " * indent + label
    hang = " " * len(lead) if len(lead) <= 14 else " " * (indent + 2)
    tied = _MEASURE.sub(_TIED, beside_in(text, units))
    wrapped = textwrap.wrap(tied, width, initial_indent=lead, subsequent_indent=hang, break_on_hyphens=False)
    return tuple(line.replace(_TIED, " ") for line in wrapped) or (lead.rstrip(),)


class Page:
    """Lines wrapped to a width, with hanging indents; ``units`` are the measures the reader prefers."""

    def __init__(self, width: int, units: Units = "mm") -> None:
        self.width, self.units, self.lines = max(40, width), units, list[str]()

    def add(self, text: str, indent: int = 0, label: str = "") -> None:
        """A paragraph, with inches beside its lengths for who reads inches.

        ``label`` stands before it and the rest hangs under the text. A number is never parted from its unit.
        """
        self.lines += _paragraph(text, indent, label, self.width, self.units)

    def keep(self, lines: Iterable[str]) -> None:
        """Lines as they are; those too long are wrapped at their own indent."""
        for line in lines:
            if len(line) <= self.width:
                self.lines.append(line)
            else:
                self.add(line.strip(), len(line) - len(line.lstrip()))

    def head(self, text: str) -> None:
        """A heading after an empty line."""
        if self.lines:
            self.lines.append("")
        self.add(text)

"""Every leather, cut, skin or face that a text names, in the order said."""

from __future__ import annotations

import re

from ..rulebase.models import RuleBase
from .contrasted import TOLD_FIRST, Named, names_in


def objects_in(rulebase: RuleBase, text: str) -> list[Named]:
    """What a text names, each once, longer names first where they meet, told in their order."""
    return rulebase.remembered("objects in", text, lambda: sorted(names_in(rulebase, text), key=lambda named: named.at))


def two_of_one(named: list[Named]) -> tuple[Named, Named] | None:
    """The first two that are of one decision and not the same; None where there are none."""
    for decision in TOLD_FIRST:
        those = [n for n in named if n.decision == decision]
        for place, other in enumerate(those[1:], 1):
            if first := next((n for n in those[:place] if not {*n.candidates} <= {*other.candidates}), None):
                return first, other
    return None


_OF_LEATHER = r"(?:some|any|bits? of|pieces? of|of|in|use|using|with|or|than|over|from|to|and|between|why|not|rather)"


def without_leathers(rulebase: RuleBase, text: str) -> str:
    """A text without the leathers that it names as such, none of which is the animal or thing it is called after."""
    for named in objects_in(rulebase, text.lower()):
        words = re.escape(named.words)
        text = re.sub(rf"\b({_OF_LEATHER}) {words}\b(?!['’]s)", r"\1", text, flags=re.IGNORECASE)
    return text

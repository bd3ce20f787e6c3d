"""The short interview of a counter: a few ordinary questions, and every one on which safety hangs.

It says which of the questions worth asking are still put; what they mean is decided elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..reasoning.advice import Advice
from ..reasoning.interview import Ask
from ..rulebase.models import RuleBase

MOST_ORDINARY = 3
_ALWAYS = ("people", "limits")


def brief_questions(
    rulebase: RuleBase, asks: Sequence[Ask], advice: Advice, asked: Sequence[str]
) -> tuple[list[Ask], int]:
    """Those of ``asks`` that are still put, in order, and how many that can be at most.

    Sizes come first, since nothing else changes an order so much; ordinary questions end when three
    were ``asked`` besides the item. Who it is for and what they forbid is always asked, and the load too
    unless the advice is free of conditions and stops.
    """
    grave = advice.outcome != "ok" or any(c.severity == "stop" and c.status == "applies" for c in advice.cautions)

    def of_safety(name: str) -> bool:
        group = rulebase.attributes[name].group
        return group in _ALWAYS or (group == "load" and grave)

    safety = [a for a in asks if of_safety(a.name)]
    ordinary = [a for a in asks if not of_safety(a.name)]
    ordinary.sort(key=lambda a: rulebase.attributes[a.name].group != "size")
    left = max(0, MOST_ORDINARY - sum(n != "item" and not of_safety(n) for n in asked))
    return (ordinary if left else []) + safety, min(left, len(ordinary)) + len(safety)

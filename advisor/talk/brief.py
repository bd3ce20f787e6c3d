"""The short interview of a counter: three questions for an ordinary thing, those of safety always among them.

Questions of a kind are put together and answered in one line: all sizes, and who it is for with what that forbids.
Which questions are worth asking and what they mean is decided elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from ..reasoning.advice import Advice
from ..reasoning.interview import Ask
from ..rulebase.models import RuleBase

MOST = 3
SIZES, SAFETY = "size", "safety"
_ALWAYS = ("people", "limits")


def brief_questions(
    rulebase: RuleBase, asks: Sequence[Ask], advice: Advice, asked: Sequence[str]
) -> tuple[list[list[Ask]], int]:
    """Those of ``asks`` that are still put, in order and those put together as one, and how many that can be at most.

    Sizes come first, since nothing else changes an order so much; ordinary questions end when three were put, with
    that of safety. Who it is for and what they forbid is asked until it is answered, and so is the load unless the
    advice is free of conditions and stops.
    """
    grave = advice.outcome != "ok" or any(c.severity == "stop" and c.status == "applies" for c in advice.cautions)

    def kind(name: str) -> str:
        group = rulebase.attributes[name].group
        return SAFETY if group in _ALWAYS else SIZES if group == "size" else name

    def always(name: str) -> bool:
        return kind(name) == SAFETY or (grave and rulebase.attributes[name].group == "load")

    put = {kind(n) for n in asked if n != "item" and not always(n)}
    safety = any(kind(n) == SAFETY for n in (*asked, *(a.name for a in asks)))
    left = max(0, MOST - safety - len(put))
    ordinary = [a for a in asks if not always(a.name) and not (kind(a.name) == SIZES and SIZES in put)]
    place = {name: n for n, name in enumerate(rulebase.attributes)}

    def first(ask: Ask, of: str) -> tuple[bool, int]:
        # Questions put together keep the order in which they are declared: width before height before depth.
        return (False, place[ask.name]) if kind(ask.name) == of else (True, 0)

    ordered = [
        *sorted(ordinary if left else [], key=lambda a: first(a, SIZES)),
        *sorted((a for a in asks if always(a.name)), key=lambda a: first(a, SAFETY)),
    ]
    together = [list(same) for _, same in groupby(ordered, key=lambda a: kind(a.name))]
    others = sum(not always(same[0].name) for same in together)
    return together, len(together) - max(0, others - left)

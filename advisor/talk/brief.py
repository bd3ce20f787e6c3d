"""The short interview of a counter: three questions for an ordinary thing, those of safety always among them.

Questions of a kind are put together and answered in one line: all sizes, what it carries, and who it is for with what
that forbids. Which questions are worth asking and what they mean is decided elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from ..reasoning.advice import Advice
from ..reasoning.interview import Ask
from ..rulebase.models import RuleBase

MOST = 3
SIZES, LOAD, SAFETY = "size", "load", "safety"
_ALWAYS = ("people", "limits")


def brief_questions(
    rulebase: RuleBase, asks: Sequence[Ask], advice: Advice, asked: Sequence[str]
) -> tuple[list[list[Ask]], int]:
    """Those of ``asks`` that are still put, in order and those put together as one, and how many that can be at most.

    What a raised danger waits for stands alone and is not counted. Else sizes come first, since nothing else changes an
    order so much; ordinary questions end when three were put, with
    those of safety. Who it is for and what they forbid is asked until it is answered, and so is the load unless the
    advice is free of conditions and stops.
    """
    dangers = {q.attribute for q in advice.dangers}
    if waiting := [[a] for a in asks if a.name in dangers]:
        return waiting, len(waiting)
    grave = advice.outcome != "ok" or any(c.severity == "stop" and c.status == "applies" for c in advice.cautions)

    def kind(name: str) -> str:
        group = rulebase.attributes[name].group
        return SAFETY if group in _ALWAYS else SIZES if group == "size" else LOAD if group == LOAD else name

    def always(name: str) -> bool:
        return kind(name) == SAFETY or (grave and kind(name) == LOAD)

    put = {kind(n) for n in asked if n != "item" and not always(n)}
    sure = {kind(n) for n in (*asked, *(a.name for a in asks)) if n != "item" and always(n)}
    left = max(0, MOST - len(sure) - len(put))
    ordinary = [a for a in asks if not always(a.name) and not (kind(a.name) == SIZES and SIZES in put)]
    place = {name: n for n, name in enumerate(rulebase.attributes)}

    ordered = [*(ordinary if left else []), *(a for a in asks if always(a.name))]
    # Of a kind the first asked counts; within it the order is the declared one, width before height before depth.
    rank: dict[str, int] = {SIZES: -1}
    for n, ask in enumerate(ordered):
        rank.setdefault(kind(ask.name), n)
    ordered.sort(key=lambda a: (always(a.name), rank[kind(a.name)], place[a.name]))
    together = [list(same) for _, same in groupby(ordered, key=lambda a: kind(a.name))]
    others = sum(not always(same[0].name) for same in together)
    return together, len(together) - max(0, others - left)

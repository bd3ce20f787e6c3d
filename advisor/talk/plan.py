"""Which questions are put and how many: six before an order, three in a short interview, dangers besides.

In a short interview questions of a kind are put together and answered in one line: all sizes, what it carries, and who
it is for with what that forbids. Which questions are worth asking and what they mean is decided elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from itertools import groupby

from ..reasoning.advice import Advice
from ..reasoning.interview import Ask
from ..rulebase.models import RuleBase

MOST, MOST_BRIEF = 6, 3
SIZES, LOAD, SAFETY = "size", "load", "safety"
ALWAYS = ("people",)
"""Groups of questions that are put whatever else is: whom it may hurt."""
_ALWAYS_BRIEF = ("people", "limits")


def enough_to_put(
    rulebase: RuleBase, advice: Advice, asked: Sequence[str], first: Collection[str]
) -> Callable[[Sequence[Ask]], bool]:
    """Whether no other question could be put before those given are through, in an interview that is not short.

    They are so where a danger waits, or where as many as are still put stand among the ``first`` of this thing.
    """

    def enough(asks: Sequence[Ask]) -> bool:
        dangers = {q.attribute for q in advice.dangers}
        if any(a.name in dangers for a in asks):
            return True
        if _grave(advice):
            return False
        group = {name: attribute.group for name, attribute in rulebase.attributes.items()}
        had = [n for n in asked if counted(rulebase, n)]
        sure = {n for n in (*had, *(a.name for a in asks)) if group[n] in ALWAYS}
        put = {n for n in had if group[n] not in ALWAYS}
        waiting = [a.name for a in asks if a.name in first and group[a.name] not in ALWAYS]
        return len(waiting) >= max(0, MOST - len(sure) - len(put))

    return enough


def _grave(advice: Advice) -> bool:
    """Whether what may bear a load stands under a condition or a stop, so that its load is always asked."""
    return "may_bear" in advice.facts and (
        advice.outcome != "ok" or any(c.severity == "stop" and c.status == "applies" for c in advice.cautions_told)
    )


def questions_put(
    rulebase: RuleBase, asks: Sequence[Ask], advice: Advice, asked: Sequence[str], brief: bool
) -> tuple[list[list[Ask]], int]:
    """Those of ``asks`` that are still put, in order and those put together as one, and how many that can be at most.

    What a raised danger waits for stands alone and is not counted. Ordinary questions end when so many were put that
    with those of safety there are six, or three. Who it is for is always asked, in a short interview with what they
    forbid, and so is the load of what may bear one, unless the advice is free of conditions and stops. In a short
    interview sizes come first, since nothing else changes an order so much.
    """
    dangers = {q.attribute for q in advice.dangers}
    if waiting := [[a] for a in asks if a.name in dangers]:
        return waiting, len(waiting)
    grave = _grave(advice)

    def group(name: str) -> str:
        return rulebase.attributes[name].group

    def kind(name: str) -> str:
        return _kind(rulebase, name, brief)

    def safety(name: str) -> bool:
        return group(name) in (_ALWAYS_BRIEF if brief else ALWAYS)

    def always(name: str) -> bool:
        return safety(name) or (grave and group(name) == LOAD)

    had = [n for n in asked if counted(rulebase, n)]
    put = {kind(n) for n in had if not always(n)}
    sure = {kind(n) for n in (*had, *(a.name for a in asks)) if always(n)}
    left = max(0, (MOST_BRIEF if brief else MOST) - len(sure) - len(put))
    ordinary = [a for a in asks if not always(a.name) and not (kind(a.name) == SIZES and SIZES in put)]
    place = {name: n for n, name in enumerate(rulebase.attributes)}

    # Of a kind the first asked counts; within it the order is the declared one, width before height before depth.
    rank: dict[str, int] = {SIZES: -1}
    for n, ask in enumerate(asks):
        rank.setdefault(kind(ask.name), n)
    ordinary.sort(key=lambda a: (rank[kind(a.name)], place[a.name]))
    ways = list(dict.fromkeys(kind(a.name) for a in ordinary))[:left]
    chosen = [*(a for a in ordinary if kind(a.name) in ways), *(a for a in asks if always(a.name))]
    chosen.sort(key=lambda a: (safety(a.name), 0 if safety(a.name) else rank[kind(a.name)], place[a.name]))
    together = [list(same) for _, same in groupby(chosen, key=lambda a: kind(a.name))]
    return together, len(together)


def counted(rulebase: RuleBase, name: str) -> bool:
    """Whether a question that was put is one of the six or three: not the thing itself, and no danger."""
    danger = name in rulebase.danger_questions() and rulebase.attributes[name].ask != "first"
    return name != "item" and not danger


def number_put(rulebase: RuleBase, asked: Sequence[str], brief: bool) -> int:
    """How many questions were put that count; in a short interview those put together are one."""
    return len({_kind(rulebase, n, brief) for n in asked if counted(rulebase, n)})


def _kind(rulebase: RuleBase, name: str, brief: bool) -> str:
    """What is put as one question: itself, or all of its kind."""
    group = rulebase.attributes[name].group
    if not brief:
        return name
    return SAFETY if group in _ALWAYS_BRIEF else group if group in (SIZES, LOAD) else name

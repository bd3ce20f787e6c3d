"""Where what was told last is known from: its grade and source, in a sentence."""

from __future__ import annotations

from ..read.asked_kinds import goal_asked, sets_apart, size_asked
from ..read.questions import Topic, topic_asked
from ..write.buying import stands
from ..write.sources import rests_on, said_from
from ..write.straight import fitted, withheld
from .matter import Matter
from .objects import objects_in

_OF_THICKNESS = frozenset(("thickness", "why_thickness"))
_OF_AMOUNT = frozenset(("amount", "forms", "pieces", "by_area", "from_one", "for_many", "enough", "waste", "feet"))


def source_lines(matter: Matter, asked: str) -> list[str]:
    """Where the answer to ``asked``, what was asked last, is known from; that of the order where nothing was."""
    advice, rulebase = matter.advice(), matter.rulebase
    if not stands(advice):
        return withheld(rulebase, advice)
    low = asked.lower()
    if size_asked(low):
        return fitted(rests_on(rulebase, advice, "weight"), matter.width)
    named = objects_in(rulebase, low) if asked else []
    if named and (sets_apart(low) or "why" in low or not _topic(matter, low)):
        return fitted(rests_on(rulebase, advice, named[0].decision), matter.width)
    topic = _topic(matter, low)
    if topic is None or goal_asked(low):
        return fitted([*rests_on(rulebase, advice, "tannage"), *rests_on(rulebase, advice, "weight")], matter.width)
    if _OF_THICKNESS & {*topic.tell}:
        return fitted(rests_on(rulebase, advice, "weight"), matter.width)
    if _OF_AMOUNT & {*topic.tell}:
        return fitted(rests_on(rulebase, advice, "amount"), matter.width)
    if topic.says:
        first = topic.says[0]
        return fitted([said_from(rulebase, rulebase.grade(first.basis, first.source), first.source)], matter.width)
    decision = next((part for part in topic.tell if part in advice.decisions.choices()), "tannage")
    return fitted(rests_on(rulebase, advice, decision), matter.width)


def _topic(matter: Matter, text: str) -> Topic | None:
    return topic_asked(matter.rulebase, text) if text else None

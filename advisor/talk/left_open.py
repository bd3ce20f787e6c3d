"""What was said as a range or a choice of two, and what it comes to: never one value picked in silence."""

from __future__ import annotations

from ..leather.units import show
from ..read.reader import Reading
from ..reasoning.facts import Answer
from ..reasoning.possibility import Possibility
from ..reasoning.standing import standing
from ..rulebase.models import Attribute
from ..write.explaining import goal_words
from ..write.names import called
from ..write.page import capital, listed
from .asking import effect_words
from .matter import Matter

MOST = 4
PARTS = 8


def left_open_lines(matter: Matter, reading: Reading) -> list[str]:
    """For each range and each choice left open, whether it matters and how."""
    if matter.item is None or not (reading.ranges or reading.choices_open):
        return []
    run, page = matter.run(), matter.page()
    for name, (least, most) in reading.ranges.items():
        attribute = matter.rulebase.attributes[name]
        low = least if least is not None else attribute.low
        high = most if most is not None else attribute.high
        if low is not None and high is not None:
            page.add(_range_words(matter, run, attribute, low, high))
    for name, values in reading.choices_open.items():
        attribute = matter.rulebase.attributes[name]
        if name == "item" or len(values) > MOST:
            continue
        here = standing(run)
        said = []
        for value in values:
            then = standing(run.saying({name: Answer((value,))}))
            moves = here.moved(then)
            becomes = {g: then.order[g].may for g in moves}
            said.append(f"{called(matter.rulebase, name, value)}: {effect_words(matter.rulebase, moves, becomes)}")
        page.add(f"{'. '.join(map(capital, said))}.", 2)
    return page.lines


def _range_words(matter: Matter, run: Possibility, attribute: Attribute, low: float, high: float) -> str:
    """Whether the numbers of a range give one order; else what its two ends give."""
    here, *others = (
        standing(run.saying({attribute.name: Answer((_at(attribute, low, high, part),))})) for part in range(PARTS + 1)
    )
    ends = [show(v, attribute.unit, matter.units) for v in (low, high)]
    moved = {g for then in others for g in here.moved(then) if g != "amount"}
    if not moved:
        return f"At every size tried from {ends[0]} to {ends[1]} the order is the same, but for the amount."
    moves = tuple(g for g in here.moved(others[-1]) if g != "amount")
    if not moves:
        return f"At both ends the order is the same; between them {listed(map(goal_words, sorted(moved)))} differs."
    first = effect_words(matter.rulebase, moves, {g: here.order[g].may for g in moves if g in here.order})
    second = effect_words(matter.rulebase, moves, {g: others[-1].order[g].may for g in moves})
    return f"At {ends[0]}: {first}. At {ends[1]}: {second}."


def _at(attribute: Attribute, low: float, high: float, part: int) -> float:
    value = low + (high - low) * part / PARTS
    return float(round(value)) if attribute.kind == "count" else round(value, 2)

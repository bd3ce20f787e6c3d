"""What has to be said back of a size: that the thing has no use for it, or that it is far from what is usual."""

from __future__ import annotations

from collections.abc import Iterable

from ..leather.units import show, times_apart
from ..read.lexicon import lexicon
from ..reasoning.tipping import asleep
from ..write.names import answer_said, attribute_called
from ..write.page import capital, listed
from .matter import Matter

FAR = 5.0
"""A size this many times the usual one, or its inverse, was more likely meant in another unit."""


def remarks(matter: Matter, names: Iterable[str]) -> list[str]:
    """Sentences about the answers ``names``; none as long as nobody said what is being made."""
    if matter.item is None:
        return []
    item, uses = matter.rulebase.items[matter.item], lexicon(matter.rulebase).uses[matter.item]
    sizes = [
        n
        for n in names
        if n in matter.answers
        and n in matter.rulebase.attributes
        and matter.rulebase.attributes[n].group == "size"
        and matter.answers[n].values
    ]
    page = matter.page()
    if idle := [n for n in sizes if n not in uses]:
        asked = [a.label for a in matter.rulebase.attributes.values() if a.name in uses and a.ask == "first"]
        sleeping = set(asleep(matter.run()))
        item_said = matter.rulebase.attributes["item"].values[matter.item].one()
        for name in (n for n in idle if n in sleeping):
            measured = f"; its sizes are {listed(asked)}" if asked else ""
            kept = attribute_called(matter.rulebase, name)
            page.add(f"I keep the {kept}, but {item_said} has no use for it{measured}.")
    lines = {line.id for line in matter.advice().order.lines}
    for line, name in matter.rulebase.tinted.items():
        if name in names and name in matter.answers and lines and line not in lines:
            tint = answer_said(matter.rulebase, name, matter.answers[name].values, matter.item)
            page.add(f"{capital(tint)}: I keep it, but nothing on this order is bought for it.")
    for name in sizes:
        usual, said = item.supposes.get(name, ()), matter.answers[name].values[0]
        if not usual or not isinstance(usual[0], float) or not isinstance(said, float) or usual[0] <= 0 or said <= 0:
            continue
        if times_apart(said, usual[0]) > FAR:
            attribute = matter.rulebase.attributes[name]
            page.add(
                f"{capital(attribute.label)} {show(said, attribute.unit, matter.units)} is far from the usual "
                f"{show(usual[0], attribute.unit, matter.units)}. If you meant another unit, say it with the size."
            )
    return page.lines

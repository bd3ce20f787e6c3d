"""Questions about the leather of one part: "why not suede for the lining"."""

from __future__ import annotations

import re

from ..read.lexicon import fold
from ..write.of_parts import no_such_part, part_not_said
from ..write.straight import fitted
from .matter import Matter

_FOR = re.compile(r"\b(?:for|as|in|on) (?:the|a|an|my|its) (?P<part>[\w -]+?)$")


def part_why_not(matter: Matter, what: str, tannages: list[str]) -> list[str]:
    """Why a leather that was named is not the one of a part; empty where no part is meant that the order has."""
    found = _FOR.search(what.strip(" ?.!"))
    item = matter.rulebase.items.get(matter.item or "")
    if found is None or item is None:
        return []
    named = next((name for name in item.parts if fold(name.replace("_", " ")) == fold(found["part"])), "")
    part = next((p for p in matter.advice().order.parts if p.part == named), None)
    if part is None:
        return fitted([no_such_part(named)], matter.width) if named else []
    if not tannages:
        said = {fold(word) for word in what.split()}
        labels = {slug: c.label.split() for slug, c in matter.rulebase.decisions["tannage"].candidates.items()}
        tannages = [slug for slug, label in labels.items() if not said.isdisjoint(map(fold, label[:-1]))]
    if not tannages:
        return []
    fits = part.tannage.chosen + part.tannage.also_fits if part.tannage else []
    barred = part.tannage.excluded if part.tannage else {}
    first = min(tannages, key=lambda t: (t not in fits, t in barred))
    return fitted(part_not_said(matter.rulebase, part, first), matter.width)

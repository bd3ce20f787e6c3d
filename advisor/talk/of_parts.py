"""Questions about the leather of one part: "why not suede for the lining"."""

from __future__ import annotations

import re

from ..read.lexicon import fold
from ..write.of_parts import part_not_said
from ..write.straight import fitted
from .matter import Matter

_FOR = re.compile(r"\b(?:for|as|in|on) (?:the|a|an|my|its) (?P<part>[\w -]+?)$")


def part_why_not(matter: Matter, what: str, tannages: list[str]) -> list[str]:
    """Why a leather that was named is not the one of a part; empty where no part is meant that the order has."""
    found = _FOR.search(what.strip(" ?.!"))
    parts = matter.advice().order.parts
    part = next((p for p in parts if found and fold(p.part.replace("_", " ")) == fold(found["part"])), None)
    if part is None:
        return []
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

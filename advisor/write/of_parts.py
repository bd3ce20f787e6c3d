"""What is said of the leathers of a thing besides its main one: why one of them is not another leather."""

from __future__ import annotations

from ..reasoning.advice import LedgerEntry, PartDecision
from ..rulebase.models import RuleBase
from .names import called
from .page import capital, listed, plain
from .reasons import small

_STRENGTH = ("must", "strong", "clear", "slight").index


def part_not_said(rulebase: RuleBase, part: PartDecision, candidate: str) -> list[str]:
    """Whether a leather would do for a part, with the strongest reason against it, and what is taken for it."""
    where, choice = plain(part.part), part.tannage
    if choice is None:
        return [f"The {where} is cut from the same leather as the rest."]
    name = called(rulebase, "tannage", candidate)
    taken = listed([called(rulebase, "tannage", c) for c in (*choice.chosen, *choice.also_fits)], "or")
    if candidate in choice.chosen[:1]:
        return [f"{capital(name)} is what I would take for the {where}."]
    told = [e for e in choice.ledger if e.candidate == candidate and e.counts and e.act in ("exclude", "disfavour")]
    against = sorted(told, key=_weight)
    if candidate in (*choice.chosen, *choice.also_fits):
        lead = called(rulebase, "tannage", choice.chosen[0])
        but = [f"Against it: {against[0].because}"] if against else []
        return [f"{capital(name)} will do for the {where} as well; I would take {lead} first.", *but]
    instead = f"I would take {taken} for it." if taken else ""
    if against:
        return [t for t in (f"Not {name} for the {where}: {small(against[0].because)}", instead) if t]
    return [t for t in (f"{capital(name)} is not what makers take for the {where}.", instead) if t]


def no_such_part(part: str) -> str:
    """That an order has no leather for a part that its thing may have."""
    return f"This order has no {plain(part)} of leather."


def _weight(entry: LedgerEntry) -> int:
    return _STRENGTH(entry.strength)

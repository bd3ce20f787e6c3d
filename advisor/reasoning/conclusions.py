"""What a consultation came to, as plain values by the names of its conclusions, and what differs between two."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ..rulebase.models import parted

if TYPE_CHECKING:
    from .consult import Consultation


def value_of(run: Consultation, name: str) -> Any:
    """The value of one conclusion, as ``Proof.conclusion`` names them; None where there is none."""
    if name in run.ledgers:
        return list(run.ledgers[name].chosen)
    if (of := parted(name))[1]:
        return _of_part(run, *of)
    if name in run.rulebase.decisions:
        return [run.window.low, run.window.high]
    if name in run.known:
        return list(run.known[name].values)
    node = run.proof.conclusion(name)
    if node is None:
        return None
    return {"outcome": node.says.get("outcome"), "amount": [node.says.get("form"), node.says.get("count")]}.get(
        name, True
    )


def _of_part(run: Consultation, decision: str, part: str) -> Any:
    """What a choice or the thickness of one leather besides the main one came to; None where it is not cut."""
    found = next((p for p in run.parts if p.spec.name == part), None)
    if found is None:
        return None
    if decision in found.choices:
        return list(found.choices[decision].chosen)
    return [found.window.low, found.window.high] if decision == "weight" else None


def values_of(run: Consultation) -> dict[str, Any]:
    """Every conclusion of a consultation as plain values: decisions, attributes, cautions that apply, outcome."""
    names = [*run.rulebase.decisions, *(n for n in run.known if n in run.rulebase.attributes), "outcome", "amount"]
    names += [f"caution {name}" for name in run.cautions]
    return {name: value_of(run, name) for name in dict.fromkeys(names)}


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """Conclusion -> its value afterwards (None for none), of those that are not what they were; by name."""
    names = sorted(before.keys() | after.keys())
    return {name: after.get(name) for name in names if before.get(name) != after.get(name)}

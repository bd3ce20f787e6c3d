"""What a consultation came to, as plain values by the names of its conclusions, and what differs between two."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .consult import Consultation


def value_of(run: Consultation, name: str) -> Any:
    """The value of one conclusion, as ``Proof.conclusion`` names them; None where there is none."""
    if name in run.ledgers:
        return list(run.ledgers[name].chosen)
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


def values_of(run: Consultation) -> dict[str, Any]:
    """Every conclusion of a consultation as plain values: decisions, attributes, cautions that apply, outcome."""
    names = [*run.rulebase.decisions, *(n for n in run.known if n in run.rulebase.attributes), "outcome", "amount"]
    names += [f"caution {c.target}" for f in run.in_order() for c in f.rule.then if c.act == "caution"]
    return {name: value_of(run, name) for name in dict.fromkeys(names)}


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """Conclusion -> its value afterwards (None for none), of those that are not what they were; by name."""
    names = sorted(before.keys() | after.keys())
    return {name: after.get(name) for name in names if before.get(name) != after.get(name)}

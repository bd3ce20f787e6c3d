"""How a step of a proof is written down: what it says of the thing it applies, its id and its name in a message.

Nothing is concluded here: what was found, given or worked out comes in. Steps that stand on others hold their ids.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from typing import Any

from ..leather.formulas import Formula, numbers_put_in
from ..leather.pieces import Piece
from ..leather.stack import Zone
from .models import (
    NO_ORDER,
    STRENGTH_NAMES,
    WITHHELD,
    Attribute,
    Caution,
    Conclusion,
    Decision,
    Item,
    Premise,
    Rule,
    Source,
)

ADVICE_SCHEMA = "leather-order-advice/2"
"""The form in which an advice with its proof is written down."""
_NAMES = ("name", "lacks", "side", "rule", "loser", "decision", "column", "id")
_KINDS = {
    "applied": "rule", "balance": "choice", "absence": "absence of",
    **dict.fromkeys(("answer", "settled", "supposition", "computed"), "attribute"),
}  # fmt: skip

Says = dict[str, Any]


def content(kind: str, says: Mapping[str, Any], rests: Iterable[str], besides: Iterable[str], grade: str = "",
            by: str = "") -> Says:  # fmt: skip
    """All that a step says, as plain values: ``from`` and ``besides`` are ids, ``by`` is what the grade belongs to."""
    graded = {"grade": grade, "by": by} if grade else {}
    said: Says = {"kind": kind, **says, **graded, "from": list(rests), "besides": list(besides)}
    return said


def digest(step: Mapping[str, Any]) -> str:
    """The id of a step: the first 12 hexadecimal digits of the SHA-256 of its content as canonical JSON."""
    text = json.dumps(step, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def label(step: Mapping[str, Any]) -> str:
    """What a step is called in a message: ``rule narrow-straps-are-widened``, ``bound weight at least ...``."""
    named = [str(step[k]) for k in _NAMES if step.get(k) is not None]
    return " ".join([_KINDS.get(step["kind"], step["kind"]), *named])


def difference(found: Any, expected: Any) -> str:
    """Where two written things first differ, with both sides; an empty text if they are equal."""
    if isinstance(found, dict) and isinstance(expected, dict):
        keys = [*expected, *(found.keys() - expected.keys())]
        pairs = [(str(k), found.get(k, "nothing"), expected.get(k, "nothing")) for k in keys]
    elif isinstance(found, list) and isinstance(expected, list) and len(found) == len(expected):
        pairs = [(str(n), *pair) for n, pair in enumerate(zip(found, expected, strict=True), 1)]
    else:
        return "" if found == expected else f": found {found!r:.200}, expected {expected!r:.200}"
    return next((f" {name}{text}" for name, one, other in pairs if (text := difference(one, other))), "")


def source(s: Source) -> Says:
    """A published text."""
    return {"id": s.id, "title": s.title, "year": s.year, "clause": s.clause, "opened": s.opened}


def table(d: Decision, column: str) -> Says:
    """A column of numbers beside the candidates of a decision."""
    about, values = d.properties[column], d.table(column)
    return {"decision": d.name, "column": column, "unit": about.unit, "values": values, "because": about.because}


def premise(p: Premise, found: Sequence[Any], by: Sequence[Any]) -> Says:
    """A premise that holds: the facts found, and the steps that gave them."""
    return {"says": p.text, "found": found, "by": by}


def applied(rule: Rule, premises: Sequence[Says]) -> Says:
    """A rule that holds."""
    return {
        "rule": rule.id, "force": rule.force, "concern": rule.concern, "because": rule.because,
        "premises": premises, "concluded": [c.text for c in rule.then],
    }  # fmt: skip


def computed(
    a: Attribute, formula: Formula, values: Sequence[Any], line: str | None, inputs: Mapping[str, tuple[Any, Any]]
) -> Says:
    """A sum: each input with its values, None where a table or a pattern goes in, and the step that gave it."""
    put_in = {
        key: {"of": a.inputs[key], "unit": formula.inputs[key], "by": by} | ({} if value is None else {"value": value})
        for key, (value, by) in inputs.items()
    }
    numbers = numbers_put_in(formula.name, {k: i["value"][0] for k, i in put_in.items() if i.get("value")})
    return {
        "name": a.name, "value": values, "unit": a.unit, "line": line, "formula": formula.name,
        "words": formula.text, "inputs": put_in, "numbers": numbers,
    }  # fmt: skip


def pattern(
    kind: str, item: Item, parts: Sequence[Piece] | Sequence[Zone], sums: Sequence[str], missing: Mapping[str, str]
) -> Says:
    """The pieces or the zones of an item at the sizes known, and why some are missing."""
    return {"name": kind, "item": item.slug, "lines": list(map(asdict, parts)), "sums": sums, "missing": missing}


def outcome(verdict: str) -> Says:
    """What the whole job comes to, and whether an order stands; an open danger leaves it undecided."""
    said = "defer" if verdict == WITHHELD else verdict
    return {"outcome": said, "order": "withheld" if verdict in NO_ORDER else "shown"}


def caution(c: Caution) -> Says:
    """A caution that applies."""
    return {"name": c.id, "severity": c.severity, "about": c.about, "text": c.say, "defer_to": c.defer_to}


def entry(rule: Rule, c: Conclusion, candidate: str, set_aside: str | None, by: Any) -> Says:
    """A reason for or against a candidate."""
    return {
        "candidate": candidate, "act": c.act, "strength": STRENGTH_NAMES.get(c.strength, "must"), "rule": rule.id,
        "because": c.because or rule.because, "concern": rule.concern, "counts": set_aside is None,
        "set_aside": set_aside, "by": by,
    }  # fmt: skip


def bound(
    rule: Rule, c: Conclusion, mm: float, line: str | None, binding: bool, clear_by: float | None, set_aside: str | None
) -> Says:
    """An at-least or at-most on a quantity, mm, and whether it holds its side."""
    return {
        "name": c.target, "side": c.act, "mm": mm, "rule": rule.id, "force": rule.force, "of": c.attribute,
        "line": line, "binding": binding, "clear_by_mm": clear_by, "set_aside": set_aside,
    }  # fmt: skip

"""How a step of a proof is written down: what it says of the thing it applies, its id and its name in a message.

Nothing is concluded here: what was found, given or worked out comes in. Steps that stand on others hold their ids.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict
from typing import Any

from ..codes import Saying
from ..leather.cutting import FormCount
from ..leather.forms import Form
from ..leather.formulas import Formula, numbers_put_in
from ..leather.pieces import Piece
from ..leather.stack import Zone
from ..leather.units import show, show_ordered
from .models import (
    NO_ORDER,
    STRENGTH_NAMES,
    WITHHELD,
    Attribute,
    Caution,
    Conclusion,
    Decision,
    Fitting,
    Item,
    Premise,
    Rule,
    RuleBase,
    Source,
    Value,
)
from .patterns import colour_named

ADVICE_SCHEMA = "leather-order-advice/2"
"""The form in which an advice with its proof is written down."""
_NAMES = ("name", "lacks", "side", "rule", "loser", "decision", "column", "id")
_KINDS = {
    "applied": "rule",
    "balance": "choice",
    "absence": "absence of",
    **dict.fromkeys(("answer", "settled", "supposition", "computed"), "attribute"),
}

Says = dict[str, Any]


def content(
    kind: str, says: Mapping[str, Any], rests: Iterable[str], besides: Iterable[str], grade: str = "", by: str = ""
) -> Says:
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


def table(d: Decision | Attribute, column: str) -> Says:
    """A column of numbers beside the candidates of a decision or the values of an attribute."""
    about, values = d.properties[column], d.table(column)
    return {"decision": d.name, "column": column, "unit": about.unit, "values": values, "because": about.because}


def premise(p: Premise, found: Sequence[Any], by: Sequence[Any]) -> Says:
    """A premise that holds: the facts found, and the steps that gave them."""
    return {"says": p.text, "found": found, "by": by}


def applied(rule: Rule, premises: Sequence[Says]) -> Says:
    """A rule that holds."""
    return {
        "rule": rule.id,
        "force": rule.force,
        "concern": rule.concern,
        "because": rule.because,
        "premises": premises,
        "concluded": [c.text for c in rule.then],
    }


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
        "name": a.name,
        "value": values,
        "unit": a.unit,
        "line": line,
        "formula": formula.name,
        "words": formula.text,
        "inputs": put_in,
        "numbers": numbers,
    }


def pattern(
    kind: str, item: Item, parts: Sequence[Piece] | Sequence[Zone], sums: Sequence[str], missing: Mapping[str, Saying]
) -> Says:
    """The pieces or the zones of an item at the sizes known, and why some are missing."""
    gone = {part: why.written() for part, why in missing.items()}
    return {"name": kind, "item": item.slug, "lines": list(map(asdict, parts)), "sums": sums, "missing": gone}


def outcome(verdict: str) -> Says:
    """What the whole job comes to, and whether an order stands; an open danger leaves it undecided."""
    said = "defer" if verdict == WITHHELD else verdict
    return {"outcome": said, "order": "withheld" if verdict in NO_ORDER else "shown"}


def caution(c: Caution) -> Says:
    """A caution that applies."""
    return {"name": c.id, "severity": c.severity, "about": c.about, "text": c.say, "defer_to": c.defer_to}


def entry(rule: Rule, c: Conclusion, candidate: str, set_aside: Saying | None, by: Any) -> Says:
    """A reason for or against a candidate."""
    return {
        "candidate": candidate,
        "act": c.act,
        "strength": STRENGTH_NAMES.get(c.strength, "must"),
        "rule": rule.id,
        "because": c.because or rule.because,
        "concern": rule.concern,
        "counts": set_aside is None,
        "set_aside": set_aside and set_aside.written(),
        "by": by,
    }


def bound(
    rule: Rule,
    c: Conclusion,
    mm: float,
    line: str | None,
    binding: bool,
    clear_by: float | None,
    set_aside: Saying | None,
) -> Says:
    """An at-least or at-most on a quantity, mm, and whether it holds its side."""
    return {
        "name": c.target,
        "side": c.act,
        "mm": mm,
        "rule": rule.id,
        "force": rule.force,
        "of": c.attribute,
        "line": line,
        "binding": binding,
        "clear_by_mm": clear_by,
        "set_aside": set_aside and set_aside.written(),
    }


_LINE: Mapping[str, Any] = {
    "id": "",
    "kind": "",
    "part": None,
    "count": None,
    "form": None,
    "size": None,
    "species": None,
    "tannage": None,
    "grain": None,
    "surface": None,
    "colour": None,
    "low_mm": None,
    "high_mm": None,
    "order_as": None,
    "temper": None,
    "cut": None,
    "width_mm": None,
    "length_mm": None,
    "area_dm2": None,
    "pieces": [],
    "shares": None,
    "label": "",
}


def leather_line(
    base: RuleBase,
    part: str,
    pieces: Sequence[Piece],
    quantity: int,
    leather: Mapping[str, str | None],
    ends: tuple[float, float],
    count: FormCount | None,
    colour: str | None,
) -> Says:
    """A leather to buy for one part: in so many of a form, or, without ``count``, by the length of each piece.

    ``leather`` maps decisions to what was chosen; ``ends`` are its thinnest and thickest, mm. What it costs is added
    by whoever knows prices.
    """
    measures: Says = {"form": None, "count": sum(p.count for p in pieces) * quantity}
    if count is None:
        widest, longest = max(p.width_mm for p in pieces), max(p.length_mm for p in pieces)
        tannage = base.decisions["tannage"].candidates[str(leather["tannage"])]
        measures |= {"width_mm": round(widest, 1), "length_mm": round(longest, 1)}
        measures["label"] = tannage.called()
    else:
        measures = _in_form(base, count)
    return {
        **_LINE,
        "kind": "leather",
        "id": part,
        "part": part,
        **leather,
        **measures,
        "colour": colour,
        "low_mm": ends[0],
        "high_mm": ends[1],
        "order_as": show_ordered(*ends, gauge_of(base, leather["tannage"])),
        "pieces": [p.name for p in pieces],
    }


def gauge_of(base: RuleBase, tannage: str | None) -> str:
    """By what the thickness of a tannage is told at the counter."""
    return str(base.decisions["tannage"].candidates[str(tannage)].properties.get("gauge", ""))


def _in_form(base: RuleBase, count: FormCount) -> Says:
    """So many of a form: a strap blank by its length and width, a panel by its sides, the others by their area."""
    form = base.decisions["form"].candidates[count.form]
    says: Says = {"form": count.form, "count": count.count, "label": form.called(count.count)}
    length, width = float(form.properties["length"]), float(form.properties["width"])
    if count.widths:
        alike = Counter(count.widths)
        sides = [f"{show(w, 'mm')} ({n})" if len(alike) > 1 else show(w, "mm") for w, n in alike.items()]
        says |= {"length_mm": length, "width_mm": max(count.widths)}
        says["size"] = f"{show(length, 'mm')} x {', '.join(sides)}"
    elif not Form(count.form, length, width, float(form.properties["area"]), 0.0, "", 1.0).is_panel:
        says["area_dm2"] = round(count.gross_dm2 + count.leftover_dm2, 2)
    else:
        says |= {"length_mm": length, "width_mm": width, "size": f"{show(length, 'mm')} x {show(width, 'mm')}"}
    return says


def shared_line(base: RuleBase, part: str, pieces: Sequence[Piece], main: Says, ends: tuple[float, float]) -> Says:
    """A part that comes out of what is bought for the main leather, split or skived where it is to be thinner."""
    alone = pieces[0] if len(pieces) == 1 else None
    return {
        **main,
        "id": part,
        "part": part,
        "count": None,
        "size": None,
        "area_dm2": None,
        "shares": main["id"],
        "label": base.decisions["form"].candidates[main["form"]].short,
        "low_mm": ends[0],
        "high_mm": ends[1],
        "order_as": show_ordered(*ends, gauge_of(base, main["tannage"])),
        "width_mm": alone and round(alone.width_mm, 1),
        "length_mm": alone and round(alone.length_mm, 1),
        "pieces": [p.name for p in pieces],
    }


def fitting_line(
    f: Fitting, count: int | None, quantity: int, known: Callable[[str], Sequence[Value]], base: RuleBase
) -> Says:
    """Something to buy that is no leather; ``known`` gives what is known under a name, in its own unit.

    ``count`` is how many one item has. What comes in packs, or serves so many items, is counted by these instead.
    """
    colour = str(known("colour")[0]) if f.coloured and known("colour") else None
    colour = colour_named(base, f.name, colour, known)
    made_of = base.attributes[f.material].values[str(known(f.material)[0])] if known(f.material) else None
    finish = known(base.shaded.get(f.material, "")) or (made_of.words[:1] if made_of else ())
    many = quantity if f.by_item else 1
    width, length = (_mm(base, name, known(name)) for name in (f.width, f.length))
    volume, used = known(f.volume), known(f.length or f.volume)
    packs = math.ceil(float(used[0]) * many / f.pack) if f.pack and used else None
    if f.serves:
        packs = math.ceil(quantity / f.serves)
    holds = f", {f.pack:g} {base.attributes[f.length or f.volume].unit}" if packs and f.pack else ""
    return {
        **_LINE,
        "id": f.name,
        "kind": "fitting",
        "count": packs or (count and count * quantity),
        "label": f"{finish[0]} {f.label}" if finish else f"{f.label}{holds}",
        "width_mm": width,
        "length_mm": length and _up(length * many, 1000.0 if f.pack else 0.1),
        "colour": colour,
        "size": f"{math.ceil(float(volume[0]) * many)} {base.attributes[f.volume].unit}" if volume else None,
    }


def instead_line(part: str, pieces: Sequence[Piece], quantity: int, label: str, colour: str | None) -> Says:
    """What a part is made of where it is no leather, in its own colour if one was said."""
    alone = pieces[0] if len(pieces) == 1 else None
    return {
        **_LINE,
        "id": part,
        "kind": "fitting",
        "part": part,
        "label": label,
        "colour": colour,
        "count": sum(p.count for p in pieces) * quantity,
        "pieces": [p.name for p in pieces],
        "width_mm": alone and round(alone.width_mm, 1),
        "length_mm": alone and round(alone.length_mm, 1),
    }


def _up(mm: float, step: float) -> float:
    """A length rounded up to a step, mm; a hair over a step is not another."""
    return round(math.ceil(round(mm / step, 3)) * step, 1)


def _mm(base: RuleBase, name: str, values: Sequence[Value]) -> float | None:
    return float(values[0]) * (1000 if base.attributes[name].unit == "m" else 1) if values else None

"""Pictures in plain characters: a strap from fold to tip, pieces on a panel, and how thick a leather is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from string import ascii_uppercase

from ..leather.forms import Form, laid
from ..leather.pieces import Piece
from ..leather.placing import Placed, place
from ..leather.units import show, show_length
from ..read.counts import QUANTITY
from ..reasoning.advice import Advice, OrderLine, PieceView
from ..rulebase.models import RuleBase, StrapSpec
from .page import Page

CARD_MM = 0.76
"""Thickness of a bank card, mm (ISO/IEC 7810)."""
_COLUMNS, _FOLD, _SPARE = 68, 5, 6
_NARROWEST = 60
"""Columns below which nothing is drawn."""
_FEWEST, _MOST = 2, 6
"""So many pieces on one panel are worth a drawing."""
_LEAST_USED = 0.3
"""Where less of a panel is used, nobody wonders how the pieces go on it."""
_ROWS, _FREE = 6, "."
_COLUMNS_TO_A_ROW = 2.1
"""A character is about so many times as tall as it is wide."""
_WIDEST = 36
"""Columns of a panel, so that the names of the pieces have room beside it."""


def cards(low_mm: float, high_mm: float) -> str:
    """A thickness against something everybody has at hand: ``about 4 or 5 bank cards``."""
    low, high = round(low_mm / CARD_MM), round(high_mm / CARD_MM)
    if high < 1:
        return "thinner than a bank card"
    if high == 1:
        return "about one bank card"
    if low in (0, high):
        return f"about {high} bank cards"
    return f"about {low} {'or' if high - low == 1 else 'to'} {high} bank cards"


def strap(rulebase: RuleBase, page: Page, advice: Advice) -> list[str]:
    """A strap with its fold, holes and tip, not to scale; nothing for what is no such strap."""
    item = advice.facts.get("item")
    thing = rulebase.items.get(str(item.value)) if item else None
    if page.width < _NARROWEST or thing is None or thing.strap is None or not advice.decisions.amount.pieces:
        return []
    measured = advice.facts.get(thing.strap.measure)
    if measured is None or not isinstance(measured.value, float):
        return []
    return _drawn(page, thing.strap, advice.decisions.amount.pieces[0], measured.value)


def _drawn(page: Page, spec: StrapSpec, piece: PieceView, measured: float) -> list[str]:
    columns = min(_COLUMNS, page.width - 4)
    half = "o " * (spec.holes // 2)
    holes = f" {half}O{half[::-1]} "
    body = "=" * (columns - 2 - _FOLD - len(holes) - _SPARE)
    line = f"[{'=' * _FOLD}|{body}{holes}{'=' * (_SPARE - 1)}>"
    middle = line.index("O") - _FOLD - 2
    long = show_length(measured) if page.units == "mm" else f"{show(measured, 'mm', page.units)}"
    words = f" {long} from the fold to the middle hole "
    span = f"{' ' * (_FOLD + 1)}|<{words:-^{middle - 2}}>|"
    spare = piece.length_mm - spec.fold - measured
    said = (
        f"In all {show_length(piece.length_mm)}: {show_length(spec.fold)} fold, {show_length(spare)} past the middle "
        f"hole; holes {show(spec.apart, 'mm')} apart."
    )
    wrapped = Page(page.width, page.units)
    wrapped.add(said, 2)
    return [f"  {line}", f"  {span}", *wrapped.lines]


def panel(rulebase: RuleBase, page: Page, advice: Advice) -> list[str]:
    """The pieces as they were placed on one panel, to scale; nothing where that is no help.

    That is so for one piece and for many, for other forms, where much is left over, and where a piece is too small to
    be seen.
    """
    line = next(iter(advice.order.lines), None)
    if page.width < _NARROWEST or line is None or line.count != 1 or not _is_panel(rulebase, line):
        return []
    pieces = [piece for piece in _cut_from(rulebase, advice, line) for _ in range(piece.count)]
    sizes = (line.length_mm or 0, line.width_mm or 0)
    long, wide = max(sizes), min(sizes)
    sides = [side for piece in pieces if (side := laid(piece, long, wide))]
    used = sum(along * across for along, across in sides)
    if not _FEWEST <= len(pieces) <= _MOST or len(sides) < len(pieces) or used < _LEAST_USED * long * wide:
        return []
    first, *more = place(sides, long, wide)
    letters = _lettered(first, sides)
    columns = min(_WIDEST, round(_ROWS * _COLUMNS_TO_A_ROW * long / wide))
    across, down = long / columns, wide / _ROWS
    rows = ["".join(_at(letters, (c + 0.5) * across, (r + 0.5) * down) for c in range(columns)) for r in range(_ROWS)]
    if more or len(set("".join(rows)) - {_FREE}) < len(pieces):
        return []
    edge = f"+{'-' * columns}+"
    beside = ["", *_named(pieces), *[""] * _MOST]
    lines = zip([edge, *(f"|{row}|" for row in rows), edge], beside, strict=False)
    drawn = [f"  {row}   {said}".rstrip() for row, said in lines]
    return drawn if max(map(len, drawn)) <= page.width else []


def _is_panel(rulebase: RuleBase, line: OrderLine) -> bool:
    """Whether a line of the order is a plain rectangle of known sides, and no blank or bag of pieces."""
    if line.form is None or not line.length_mm or not line.width_mm:
        return False
    told = rulebase.decisions["form"].candidates[line.form].properties
    area, sold = float(told["area"]), str(told["sold_by"])
    return Form(line.form, line.length_mm, line.width_mm, area, 0.0, sold, 1.0).is_panel


def _lettered(spots: Iterable[Placed], sides: Sequence[tuple[float, float]]) -> dict[Placed, str]:
    """The letter of the piece that lies on each spot; of equal pieces any may lie on any of theirs."""
    waiting = {letter: (math.ceil(a), math.ceil(b)) for letter, (a, b) in zip(ascii_uppercase, sides, strict=False)}
    found = {}
    for spot in sorted(spots):
        found[spot] = next(n for n, side in waiting.items() if side == (spot.length, spot.width))
        del waiting[found[spot]]
    return found


def _named(pieces: Sequence[Piece]) -> list[str]:
    """What the letters stand for, equal pieces together: ``A B  handle, 59 x 5 cm``."""
    letters: dict[Piece, list[str]] = {}
    for letter, piece in zip(ascii_uppercase, pieces, strict=False):
        letters.setdefault(piece, []).append(letter)
    return [
        f"{' '.join(of)}  {piece.name}, {show_length(piece.length_mm)} x {show_length(piece.width_mm)}"
        for piece, of in letters.items()
    ]


def _at(letters: Mapping[Placed, str], x: float, y: float) -> str:
    """The letter of the piece at a place of the panel, mm from its corner."""
    on = (t for s, t in letters.items() if s.x <= x < s.x + s.length and s.y <= y < s.y + s.width)
    return next(on, _FREE)


def _cut_from(rulebase: RuleBase, advice: Advice, line: OrderLine) -> Iterator[Piece]:
    """The pieces that are cut from a line of the order, as many as are made."""
    along = {p.name: p.along for p in rulebase.items[str(advice.facts["item"].value)].pieces}
    of_it = {n for o in advice.order.lines if line.id in (o.id, o.shares) for n in o.pieces}
    many = advice.facts[QUANTITY].value if QUANTITY in advice.facts else 1
    for view in advice.decisions.amount.pieces:
        if view.name in of_it and view.name in along:
            count = view.count * int(many if isinstance(many, float) else 1)
            yield Piece(view.name, view.part, count, view.length_mm, view.width_mm, along[view.name])

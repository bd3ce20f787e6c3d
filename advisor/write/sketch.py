"""Pictures in plain characters: a strap from fold to tip, and how thick a leather is."""

from __future__ import annotations

from ..leather.units import show, show_length
from ..reasoning.advice import Advice, PieceView
from ..rulebase.models import RuleBase, StrapSpec
from .page import Page

CARD_MM = 0.76
"""Thickness of a bank card, mm (ISO/IEC 7810)."""
_COLUMNS, _FOLD, _SPARE = 68, 5, 6
_NARROWEST = 60
"""Columns below which a strap is not drawn."""


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
    words = f" {show_length(measured)} from the fold to the middle hole "
    span = f"{' ' * (_FOLD + 1)}|<{words:-^{middle - 2}}>|"
    spare = piece.length_mm - spec.fold - measured
    said = (
        f"In all {show_length(piece.length_mm)}: {show_length(spec.fold)} fold, {show_length(spare)} past the middle "
        f"hole; holes {show(spec.apart, 'mm')} apart."
    )
    wrapped = Page(page.width, page.units)
    wrapped.add(said, 2)
    return [f"  {line}", f"  {span}", *wrapped.lines]

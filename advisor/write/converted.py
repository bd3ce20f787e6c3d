"""A thickness told in the other measures of the trade."""

from __future__ import annotations

from collections.abc import Iterable

from ..leather.units import MM_PER_IRON, MM_PER_OUNCE, number, ounces

_MM = {"oz": MM_PER_OUNCE, "ou": MM_PER_OUNCE, "ir": MM_PER_IRON, "mm": 1.0}
_CALLED = {"oz": "oz", "ou": "oz", "ir": "irons", "mm": "mm"}
_MM_PER_INCH = 25.4
_IRONS_FROM_MM = 3.0
"""From here on leather is sold for soles, by the iron (common practice)."""
THICKEST_MM = 12.0
"""No hide is thicker (common practice), so that more is no thickness."""


def converted(low: float, high: float, unit: str) -> str:
    """``7 to 8 oz is 2.8 to 3.2 mm, 0.109 to 0.125 in.``; "" for what is no thickness of leather.

    ``unit`` is the first two letters of mm, oz, ounces or irons.
    """
    ends = [low, high] if high != low else [low]
    mm = [end * _MM[unit] for end in ends]
    if not 0 < mm[0] <= mm[-1] <= THICKEST_MM:
        return ""
    others = [f"{_joined(mm, 1)} mm"] if unit != "mm" else [f"{_joined(map(ounces, mm), 1)} oz"]
    if unit == "mm" and mm[0] >= _IRONS_FROM_MM:
        others.append(f"{_joined((m / MM_PER_IRON for m in mm), 1)} irons")
    others.append(f"{_joined((m / _MM_PER_INCH for m in mm), 3)} in")
    return f"{_joined(ends, 2)} {_CALLED[unit]} is {', '.join(others)}."


def _joined(values: Iterable[float], places: int) -> str:
    return " to ".join(number(v, places) for v in values)

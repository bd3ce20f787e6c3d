"""Straps cut in rows: how many lie side by side in a strip of leather, and how many blanks they take.

Only rectangles along the backbone are known here. What counts as firm enough for a strap is a width, not a
judgement of the leather in hand: the best strap is still cut first, from the back edge outward.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping

from advisor.leather.placing import KERF_MM

TRIM_MM = 20.0
"""Ragged back edge that is cut off before straps are cut, mm (common practice)."""
FIRM_STRIP_MM = 600.0
"""Widest strip next to the backbone that is fit for straps, mm (common practice)."""
STRAP_LENGTH_MM, STRAP_RATIO = 400.0, 8.0
"""A piece at least this long and this many times longer than wide is cut in rows (common practice)."""
SLACK = 1e-9
"""Keeps 13 of 13 from becoming 14 by a rounding error of the machine."""


def straps_in_a_row(width: float, strap_width: float) -> int:
    """Return how many straps lie side by side in *width*, both mm, after the back edge is trimmed."""
    return max(0, math.floor((width - TRIM_MM + KERF_MM) / (strap_width + KERF_MM) + SLACK))


def straps_in(length: float, width: float, cut_length: float, strap_width: float) -> int:
    """Return how many straps of *cut_length* x *strap_width* come from a strip *length* x *width*, all mm."""
    return math.floor(length / cut_length + SLACK) * straps_in_a_row(width, strap_width)


def strip_share(length: float, width: float, cut_length: float, strap_width: float, count: int) -> float:
    """Return how many strips *length* x *width* the straps take, all mm: 0.5 is half a strip, 0 if none fits.

    Straps end to end share a place across the strip; a place that is begun is taken.
    """
    if straps_in(length, width, cut_length, strap_width) == 0:
        return 0.0
    in_line = math.floor(length / cut_length + SLACK)
    return math.ceil(count / in_line) / straps_in_a_row(width, strap_width)


def is_strap(length: float, width: float) -> bool:
    """Return whether a piece of these sides, mm, is long and narrow enough to be cut in rows."""
    return length >= STRAP_LENGTH_MM and length >= STRAP_RATIO * width


def blanks(pieces: Mapping[tuple[float, float], int], blank_length: float) -> list[float]:
    """Return the width of each blank to order, mm, so that all pieces come out of them.

    Longest pieces first, each in the first blank with room. A blank is ordered as wide as its first piece;
    short narrow ones, such as keepers, go side by side in what is left at the end.

    Args:
        pieces: (length, width) in mm -> how many.
        blank_length: mm.

    Raises:
        ValueError: If a piece is longer than the blank.
    """
    widths: list[float] = []
    lengths_left: list[float] = []
    rows: list[tuple[float, float]] = []
    waiting: Counter[tuple[float, float]] = Counter(pieces)
    for (along, across), wanted in sorted(waiting.items(), reverse=True):
        if along > blank_length:
            raise ValueError(f"A piece {along} mm long does not come out of a blank of {blank_length} mm.")
        left = wanted
        for i, (row_length, room) in enumerate(rows):
            if left and row_length >= along:
                fits = min(left, _floor(room / (across + KERF_MM)))
                rows[i] = (row_length, room - fits * (across + KERF_MM))
                left -= fits
        blank = 0
        while left:
            if blank == len(widths):
                widths.append(across)
                lengths_left.append(blank_length + KERF_MM)
            # One kerf more than the blank on both sides: the last cut may run off the edge.
            side_by_side = _floor((widths[blank] + KERF_MM) / (across + KERF_MM))
            while left and side_by_side and lengths_left[blank] + SLACK >= along + KERF_MM:
                fits = min(left, side_by_side)
                rows.append((along, widths[blank] + KERF_MM - fits * (across + KERF_MM)))
                lengths_left[blank] -= along + KERF_MM
                left -= fits
            blank += 1
    return widths


def _floor(value: float) -> int:
    return math.floor(value + SLACK)

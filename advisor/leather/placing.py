"""Really place rectangles on panels, so that "it fits" is shown and not hoped.

Pieces are never turned here: stretch runs one way, so who may turn a piece decides that before. Whole
millimetres are used and every piece keeps a knife's width from the next. The number of panels is enough but
not proved to be the least.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

KERF_MM = 1
"""Left between neighbours for the knife, mm."""


class Placed(NamedTuple):
    """A rectangle on a panel: its near corner *x*, *y* and its sides along *x* and *y*, whole mm."""

    x: int
    y: int
    length: int
    width: int


def place(sizes: Sequence[tuple[float, float]], length: float, width: float) -> tuple[tuple[Placed, ...], ...]:
    """Return one tuple of placed rectangles for each panel that is needed.

    Args:
        sizes: (length, width) of every rectangle, mm, rounded up to whole mm.
        length: Of the panel, mm, rounded down to whole mm.
        width: Of the panel, mm, rounded down to whole mm.

    Raises:
        ValueError: If a rectangle is larger than the panel.
    """
    whole = [(math.ceil(along), math.ceil(across)) for along, across in sizes]
    long, wide = math.floor(length), math.floor(width)
    for along, across in whole:
        if along > long or across > wide:
            raise ValueError(f"A piece of {along} x {across} mm does not go on {long} x {wide} mm.")
    # A piece's own kerf may hang over the far edge, so the panel is taken one kerf larger.
    waiting = sorted(((a + KERF_MM, b + KERF_MM) for a, b in whole), key=lambda s: (-s[0] * s[1], s))
    panels = []
    while waiting:
        panel, waiting = _fill(waiting, long + KERF_MM, wide + KERF_MM)
        panels.append(panel)
    return tuple(panels)


def _fill(waiting: list[tuple[int, int]], length: int, width: int) -> tuple[tuple[Placed, ...], list[tuple[int, int]]]:
    """Fill one panel, largest first; return it and what did not go in."""
    everything = _spots(waiting, length, width)
    if everything is not None:
        return _placed(waiting, everything), []
    on: list[tuple[int, int]] = []
    spots: list[tuple[int, int]] = []
    left: list[tuple[int, int]] = []
    for size in waiting:
        # The list is sorted: once a size fails, its equals need not be tried again.
        found = None if left and left[-1] == size else _spots([*on, size], length, width)
        if found is None:
            left.append(size)
        else:
            on, spots = [*on, size], found
    return _placed(on, spots), left


def _spots(sizes: list[tuple[int, int]], length: int, width: int) -> list[tuple[int, int]] | None:
    """Return a corner for each size on one panel, or None if no way was found."""
    # Only shops that sell panels need the packing library, and it is slow to load.
    import rpack

    if sum(a * b for a, b in sizes) > length * width:
        return None
    try:
        spots: list[tuple[int, int]] = rpack.pack(sizes, max_width=length, max_height=width)
    except rpack.PackingImpossibleError:
        return None
    return spots


def _placed(sizes: list[tuple[int, int]], spots: list[tuple[int, int]]) -> tuple[Placed, ...]:
    return tuple(Placed(x, y, a - KERF_MM, b - KERF_MM) for (x, y), (a, b) in zip(spots, sizes, strict=True))

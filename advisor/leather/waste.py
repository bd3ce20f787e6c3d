"""What is lost between the pieces: more for curved shapes, for marked hides and where shades must match.

The shares are the caller's; they come on top of the waste of the form, as shares of the net area.
"""

from __future__ import annotations

from collections.abc import Mapping

RUN_SAVES = 0.03
RUN_FROM = 10


def extra_waste(
    shape: str,
    grade: str,
    matching: str,
    quantity: float,
    shapes: Mapping[str, float],
    grades: Mapping[str, float],
    matched: Mapping[str, float],
) -> float:
    """Return the share of the net area that is lost besides the waste of the form, plain number.

    Args:
        shape: Key of *shapes*.
        grade: Key of *grades*, by count of faults.
        matching: Key of *matched*: whether all pieces must look alike.
        quantity: How many items, at least 1; from ten on the offcuts of one serve another.
        shapes: Shape -> share.
        grades: Grade -> share.
        matched: "yes" or "no" -> share.

    Raises:
        ValueError: If a word is not in its table.
    """
    extra = _share(shape, shapes, "shape") + _share(grade, grades, "grade") + _share(matching, matched, "matching")
    return max(0.0, extra - (RUN_SAVES if quantity >= RUN_FROM else 0.0))


def _share(key: str, table: Mapping[str, float], what: str) -> float:
    if key not in table:
        raise ValueError(f"There is no waste for the {what} {key!r}; the table has {', '.join(table)}.")
    return table[key]

"""What is lost between the pieces: more for curved shapes, for marked hides and where shades must match.

The shares are common practice and quoted widely apart; a shop that has counted its own offcuts knows better.
They come on top of the waste of the form, as shares of the net area.
"""

from __future__ import annotations

SHAPE = {"rectangles": 0.0, "few_curves": 0.05, "curved": 0.10, "very_curved": 0.15}
GRADE = {"grade_a": 0.0, "grade_b": 0.05, "grade_c": 0.15, "utility": 0.25, "ungraded_run": 0.25}
MATCHING = 0.05
RUN_SAVES = 0.03
RUN_FROM = 10


def extra_waste(shape: str, grade: str, matching: str, quantity: float) -> float:
    """Return the share of the net area that is lost besides the waste of the form, plain number.

    Args:
        shape: rectangles, few_curves, curved or very_curved.
        grade: grade_a, grade_b, grade_c, utility or ungraded_run, by count of faults.
        matching: "yes" if all pieces must look alike.
        quantity: How many items; from ten on the offcuts of one serve another.

    Raises:
        ValueError: If a word is not in its table.
    """
    if shape not in SHAPE:
        raise ValueError(f"There is no waste for the shape {shape!r}; the table has {', '.join(SHAPE)}.")
    if grade not in GRADE:
        raise ValueError(f"There is no waste for the grade {grade!r}; the table has {', '.join(GRADE)}.")
    extra = SHAPE[shape] + GRADE[grade] + (MATCHING if matching == "yes" else 0.0)
    return max(0.0, extra - (RUN_SAVES if quantity >= RUN_FROM else 0.0))

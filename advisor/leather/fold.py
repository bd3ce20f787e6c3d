"""Stretch of the grain in a fold, and the thickness or radius that keeps it below a limit.

The neutral line is taken at half the thickness (an estimate; loose flesh moves it). One bend is reckoned, not
a hinge that works for years, and the limit of a leather is the caller's.
"""

from __future__ import annotations

from advisor.leather.checks import not_negative, positive


def outer_strain(thickness: float, radius: float) -> float:
    """Return the stretch of the outside of a fold, plain ratio: t / (2R + t).

    Args:
        thickness: mm.
        radius: Inside radius of the fold, mm; zero is a crease pressed flat.

    Raises:
        ValueError: If the thickness is not above zero or the radius is negative.
    """
    positive(thickness, "thickness")
    not_negative(radius, "radius")
    return thickness / (2 * radius + thickness)


def smallest_radius(thickness: float, limit: float) -> float:
    """Return the smallest inside radius, mm, at which the outside stretches no more than *limit*.

    Args:
        thickness: mm.
        limit: Stretch at which the grain cracks or creases white, plain ratio between 0 and 1.

    Raises:
        ValueError: If the thickness is not above zero or the limit is not between 0 and 1.
    """
    positive(thickness, "thickness")
    _ratio(limit)
    return thickness * (1 - limit) / (2 * limit)


def foldable_thickness(radius: float, limit: float) -> float:
    """Return the greatest thickness, mm, that may be folded round *radius*: 2 R e / (1 - e).

    Args:
        radius: Inside radius of the tightest fold, mm, above zero.
        limit: Stretch at which the grain cracks or creases white, plain ratio between 0 and 1.

    Raises:
        ValueError: If the radius is not above zero or the limit is not between 0 and 1.
    """
    positive(radius, "fold radius")
    _ratio(limit)
    return 2 * radius * limit / (1 - limit)


def _ratio(limit: float) -> None:
    if not 0 < limit < 1:
        raise ValueError(f"The limit of stretch must lie between 0 and 1, not at {limit}.")

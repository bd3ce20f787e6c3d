"""Folds and turned corners: what a bend does to the grain, and the thickness that can be bent or turned.

The neutral line is taken at half the thickness (an estimate; loose flesh moves it). One bend is reckoned, not
a hinge that works for years, and the limit of a leather is the caller's. The index of turning is an estimate,
set by hand on a few corners; a folded scrap decides.
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


def skive_at_fold(radius: float, limit: float, weight: float) -> float:
    """Return the thickness, mm, to which a fold is skived; *weight* itself if it folds as it is.

    Args:
        radius: Inside radius of the fold, mm, above zero.
        limit: Stretch at which the grain cracks or creases white, plain ratio between 0 and 1.
        weight: Thickness of the leather, mm.

    Raises:
        ValueError: If the radius or the weight is not above zero or the limit is not between 0 and 1.
    """
    positive(weight, "thickness")
    return min(weight, foldable_thickness(radius, limit))


def turn_index(thickness: float, corner_radius: float, seam_allowance: float, turn_factor: float) -> float:
    """Return how hard a sewn corner is to turn right side out, plain number (estimate).

    Below 0.5 is easy; up to 1 wants the allowance trimmed or skived; up to 2 is hard; above 2 will not turn.

    Args:
        thickness: Of one layer, mm.
        corner_radius: Outside radius of the finished corner, mm, above zero.
        seam_allowance: Width of the leather inside the seam at the corner, mm; zero is allowed.
        turn_factor: Stiffness of the leather in turning, plain number above zero.

    Raises:
        ValueError: If a number is impossible.
    """
    positive(thickness, "thickness")
    return thickness * _difficulty(corner_radius, seam_allowance, turn_factor)


def turnable_thickness(corner_radius: float, seam_allowance: float, turn_factor: float, index: float = 1.0) -> float:
    """Return the greatest thickness, mm, whose ``turn_index`` is no more than *index* (estimate).

    The other arguments and the errors are those of ``turn_index``.
    """
    positive(index, "index of turning")
    return index / _difficulty(corner_radius, seam_allowance, turn_factor)


def _difficulty(corner_radius: float, seam_allowance: float, turn_factor: float) -> float:
    positive(corner_radius, "corner radius")
    not_negative(seam_allowance, "seam allowance")
    positive(turn_factor, "turn factor")
    room = max(corner_radius - seam_allowance, seam_allowance)
    return turn_factor * 4 / corner_radius * (1 + 2 * seam_allowance / room)


def _ratio(limit: float) -> None:
    if not 0 < limit < 1:
        raise ValueError(f"The limit of stretch must lie between 0 and 1, not at {limit}.")

"""Force on a strap, and the thickness or width that carries it.

For goods only. No number is given where a life hangs on the strap, and nothing here is a rating: the factors
are estimates, to be shown as such. Horses that are tied are not computed either; they need a part that breaks
away.
"""

from __future__ import annotations

from advisor.leather.checks import at_least_one, not_negative, positive

STANDARD_GRAVITY = 9.80665
"""Metres per second squared, exact by definition."""

POINT_WIDTHS = 2.5
"""From the last hole of a buckled strap to its point, in widths of the strap (a saddler's rules)."""

TEAR_SHARE = 0.5
"""Stress at which a tongue shears its way out of leather, as a share of that which breaks a strap (estimate)."""

FOLD_SHARE = 0.6
"""What is left of the thickness where a strap is skived to go round a buckle (common practice)."""

MOST_STRETCH = 40.0
"""Per cent at which strap leather parts (estimate); beyond it a sum of stretches says nothing."""


def strap_force(mass: float, jerk: float, straps: float, gravity: float = STANDARD_GRAVITY) -> float:
    """Return the peak force in one strap, N.

    Args:
        mass: What is carried, kg; zero is allowed.
        jerk: Multiple of the resting weight, plain number above zero.
        straps: How many straps share the load evenly, at least 1.
        gravity: m/s2.

    Raises:
        ValueError: If a number is impossible.
    """
    not_negative(mass, "mass")
    positive(jerk, "jerk factor")
    at_least_one(straps, "straps sharing the load")
    return mass * gravity * jerk / straps


def strap_thickness(force: float, safety: float, strength: float, width: float, hole: float, joint: float) -> float:
    """Return the least thickness of a strap, mm, that holds *force* times *safety* at its hole and its joint.

    Args:
        force: Peak force in the strap, N; zero is allowed.
        safety: Breaking force over peak force, plain number above zero.
        strength: Stress at which the leather breaks along the backbone, MPa (N/mm2).
        width: Width of the strap, mm.
        hole: Diameter of the hole across the line of the load, mm; zero if there is none.
        joint: Strength where its ends are joined, as a share of the whole strap, plain number above zero, at most 1.

    Raises:
        ValueError: If a number is impossible, the hole is as wide as the strap.
    """
    return _needed(force, safety, strength) / _sound_width(width, hole, joint)


def strap_width(force: float, safety: float, strength: float, thickness: float, hole: float, joint: float) -> float:
    """Return the least width of a strap, mm, that holds *force* times *safety* at its hole and its joint.

    Args:
        force: Peak force in the strap, N; zero is allowed.
        safety: Breaking force over peak force, plain number above zero.
        strength: Stress at which the leather breaks along the backbone, MPa (N/mm2).
        thickness: Thickness of the strap, mm.
        hole: Diameter of the hole across the line of the load, mm; zero if there is none.
        joint: Strength where its ends are joined, as a share of the whole strap, plain number above zero, at most 1.

    Raises:
        ValueError: If a number is impossible.
    """
    positive(thickness, "strap thickness")
    not_negative(hole, "hole")
    sound = _needed(force, safety, strength) / thickness
    return max(sound + hole, sound / _share(joint))


def strap_safety(force: float, strength: float, width: float, thickness: float, hole: float, joint: float) -> float:
    """Return the breaking force of a strap over its peak force, plain number (estimate, never a rating).

    The arguments and errors are those of ``strap_thickness`` and ``strap_width``, but *force* is above zero.
    """
    positive(force, "force")
    positive(strength, "strength")
    positive(thickness, "strap thickness")
    return strength * thickness * _sound_width(width, hole, joint) / force


def hole_to_point(width: float) -> float:
    """Return how far the last hole of a buckled strap stays from its point, mm: 2.5 widths (a saddler's rules).

    Args:
        width: Width of the strap, mm.

    Raises:
        ValueError: If the width is impossible.
    """
    positive(width, "strap width")
    return POINT_WIDTHS * width


def tear_out(force: float, safety: float, strength: float, thickness: float) -> float:
    """Return the leather that must stand behind a hole so that the tongue does not tear it out, mm (estimate).

    The tongue shears the leather along two lines, from both sides of the hole to the end of the strap.

    Args:
        force: Peak force in the strap, N; zero is allowed.
        safety: Breaking force over peak force, plain number above zero.
        strength: Stress at which the leather breaks along the backbone, MPa (N/mm2).
        thickness: Thickness of the strap, mm.

    Raises:
        ValueError: If a number is impossible.
    """
    positive(thickness, "strap thickness")
    return _needed(force, safety, strength) / (2 * TEAR_SHARE * thickness)


def fold_share(width: float, hole: float) -> float:
    """Return the strength at a buckle's fold as a share of the whole strap, plain number.

    Two skived layers share the pull there, with the slot for the tongue, as wide as a hole, cut out of their middle.

    Args:
        width: Width of the strap, mm.
        hole: Diameter of its holes, mm; zero if there are none.

    Raises:
        ValueError: If a number is impossible, the hole is as wide as the strap.
    """
    return 2 * FOLD_SHARE * _net_width(width, hole) / width


def sound_thickness(thickness: float, whole: float) -> float:
    """Return *thickness*, mm, where the strength of a whole leather may be reckoned with.

    Nearly all the strength of leather lies under its grain, so what was split from thicker leather keeps a share
    that no source gives for straps.

    Args:
        thickness: Of the leather that is bought, mm.
        whole: Thinnest at which the leather is sold without its strong fibre split away, mm.

    Raises:
        ValueError: If a number is impossible, or the leather is thinner than *whole*.
    """
    positive(thickness, "thickness")
    positive(whole, "thickness of the whole leather")
    if thickness < whole:
        raise ValueError(f"Leather of {thickness:g} mm was split from thicker leather; how strong it is, is not known.")
    return thickness


def stretch(force: float, width: float, thickness: float, stiffness: float) -> float:
    """Return how much longer a strap becomes under *force*, per cent of its length (estimate).

    It springs back; what soft leather keeps after months of load comes on top.

    Args:
        force: In the strap, N; zero is allowed.
        width: mm.
        thickness: mm.
        stiffness: Stress over stretch along the strap, MPa (N/mm2).

    Raises:
        ValueError: If a number is impossible, or the strap would part before it were so long.
    """
    not_negative(force, "force")
    positive(width, "strap width")
    positive(thickness, "strap thickness")
    positive(stiffness, "stiffness")
    longer = 100 * force / (width * thickness * stiffness)
    if longer > MOST_STRETCH:
        raise ValueError(f"No strap leather gets {longer:.0f} % longer; it parts at about {MOST_STRETCH:.0f} %.")
    return longer


def _needed(force: float, safety: float, strength: float) -> float:
    """Return the cross-section, mm2, that breaks at *force* times *safety*."""
    not_negative(force, "force")
    positive(safety, "safety factor")
    positive(strength, "strength")
    return force * safety / strength


def _net_width(width: float, hole: float) -> float:
    """Return what a hole leaves of the width of a strap, mm."""
    positive(width, "strap width")
    not_negative(hole, "hole")
    if not hole < width:
        raise ValueError(f"The hole must be narrower than the strap, and they are {hole} and {width} mm wide.")
    return width - hole


def _sound_width(width: float, hole: float, joint: float) -> float:
    """Return the width, mm, that a whole strap would need to be as strong as this one at its weakest place."""
    return min(_net_width(width, hole), width * _share(joint))


def _share(joint: float) -> float:
    positive(joint, "share of strength at the joint")
    if joint > 1:
        raise ValueError(f"No joint is stronger than the strap, and its share is {joint}.")
    return joint

"""How much dye or finish an item takes (estimate).

The rate is the caller's: it depends on the liquid, and open leather drinks more than dense leather. What stays
in the pot and the cloth is not reckoned.
"""

from __future__ import annotations

from advisor.leather.checks import at_least_one, positive

DM2_PER_M2 = 100


def dye_volume(area: float, coats: float, rate: float) -> float:
    """Return the volume, ml, that *coats* coats use up.

    Args:
        area: Of the faces that are coated, dm2.
        coats: At least 1.
        rate: What one coat uses up, ml/m2.

    Raises:
        ValueError: If a number is impossible.
    """
    positive(area, "area to be coated")
    at_least_one(coats, "coats")
    positive(rate, "rate of use")
    return area * coats * rate / DM2_PER_M2

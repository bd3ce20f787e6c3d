"""Mass of the leather in a finished item, without hardware, thread or lining.

The density is the caller's and for most tannages an estimate.
"""

from __future__ import annotations

from advisor.leather.checks import positive

CM3_PER_DM2_MM = 10


def mass(area: float, weight: float, density: float) -> float:
    """Return the mass of the leather, g.

    Args:
        area: Of all pieces, dm2; rectangles round the pieces make the mass read high.
        weight: Thickness of the leather, mm.
        density: Of the leather with its pores, g/cm3.

    Raises:
        ValueError: If a number is not above zero.
    """
    positive(area, "area of the pieces")
    positive(weight, "thickness of the leather")
    positive(density, "density")
    return area * weight * density * CM3_PER_DM2_MM

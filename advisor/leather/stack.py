"""How thick a leather may be when several layers of it meet under one needle.

It counts equal layers only. It does not know skived edges, linings or fillers; the number of layers is the
caller's.
"""

from __future__ import annotations

from advisor.leather.checks import at_least_one, positive


def stitchable_thickness(sew_max: float, layers: float) -> float:
    """Return the greatest thickness of one layer, mm, that can still be sewn.

    Args:
        sew_max: Thickest stack the hand or machine can sew, mm.
        layers: Layers of this leather at the thickest seam, at least 1.

    Raises:
        ValueError: If *sew_max* is not above zero or there is less than one layer.
    """
    positive(sew_max, "thickest stack that can be sewn")
    at_least_one(layers, "layers")
    return sew_max / layers

"""Post lengths of rivets for a stack of leather (common practice).

Posts are sold in steps, and makers differ by a millimetre: set one in an offcut of the same stack first. Which
rivet suits a load, and how much of it is set over, is not known here.
"""

from __future__ import annotations

from collections.abc import Sequence

from advisor.leather.checks import positive
from advisor.leather.stack import Zone, thickest_zone, zone_thickness


def rivet_post(zones: Sequence[Zone], weight: float, allowance: float) -> float:
    """Return the post or shank of a rivet, mm, that the thickest riveted zone needs.

    Args:
        zones: Zones of the item; those that are not riveted do not count.
        weight: Thickness of the main leather, mm.
        allowance: What is set over beyond the stack, the burr of a copper rivet counted, mm.

    Raises:
        ValueError: If there is no riveted zone or the weight or the allowance is not above zero.
    """
    positive(allowance, "what is set over of a rivet")
    return zone_thickness(thickest_zone("riveted", zones, weight), weight) + allowance

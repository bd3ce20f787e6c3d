"""Post lengths of rivets and screw posts for a stack of leather (common practice).

Posts are sold in steps, and makers differ by a millimetre: set one in an offcut of the same stack first. Which
post suits a load is not known here.
"""

from __future__ import annotations

from collections.abc import Sequence

from advisor.leather.checks import positive
from advisor.leather.stack import Zone, thickest_zone, zone_thickness

CAP_ALLOWANCE_MM = 3.0
"""What the setter rolls over inside the cap; habits run from 2 to 3."""

BURR_MM = 1.0
"""Thickness of the washer on a copper rivet."""

SCREW_SQUEEZE_MM = 0.3
"""How much a screw post presses the leather together."""


def cap_rivet_post(stack: float, allowance: float = CAP_ALLOWANCE_MM) -> float:
    """Return the post length of a double-cap rivet, mm, for a *stack* in mm; ValueError if it is not above zero."""
    positive(stack, "stack under the rivet")
    return stack + allowance


def copper_rivet_shank(stack: float, diameter: float, burr: float = BURR_MM) -> float:
    """Return the shank length of a copper rivet with burr, mm: stack + burr + 1.5 x diameter to hammer over.

    Args:
        stack: mm.
        diameter: Of the shank, mm.
        burr: Thickness of the washer, mm.

    Raises:
        ValueError: If the stack or the diameter is not above zero.
    """
    positive(stack, "stack under the rivet")
    positive(diameter, "shank diameter")
    return stack + burr + 1.5 * diameter


def screw_post(stack: float, squeeze: float = SCREW_SQUEEZE_MM) -> float:
    """Return the length of a screw post, mm, for a *stack* in mm; ValueError if the squeeze uses the stack up."""
    positive(stack, "stack under the screw post")
    positive(stack - squeeze, "length of the screw post")
    return stack - squeeze


def rivet_post(zones: Sequence[Zone], weight: float) -> float:
    """Return the double-cap rivet post, mm, that the thickest riveted zone needs.

    Args:
        zones: Zones of the item; those that are not riveted do not count.
        weight: Thickness of the main leather, mm.

    Raises:
        ValueError: If there is no riveted zone or the weight is not above zero.
    """
    return cap_rivet_post(zone_thickness(thickest_zone("riveted", zones, weight), weight))

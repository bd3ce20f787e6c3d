"""Zones of an item where layers meet, how thick each becomes, and the thickest leather that still fits.

A zone is a place such as a pocket corner. What a seam or a closed item may measure is the caller's, and so are
the zones; nothing is taken off for leather that is pressed together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from advisor.leather.checks import not_negative, positive

Kind = Literal["sewn", "hand_sewn", "riveted", "folded", "closed"]


@dataclass(frozen=True, slots=True)
class Zone:
    """One place of an item where layers lie on each other.

    Attributes:
        name: What the maker calls the place.
        kind: sewn, riveted or folded; hand_sewn if no machine has to pass it; closed if the zone is the whole item,
            closed.
        leather: How many thicknesses of the main leather, a skived part as a fraction.
        other_mm: All other leather, linings, welts and cement, mm.
        seam_mm: Length of the seam, mm; only a zone sewn, by hand or not, has one.
    """

    name: str
    kind: Kind
    leather: float
    other_mm: float
    seam_mm: float = 0.0

    def __post_init__(self) -> None:
        if self.kind not in get_args(Kind):
            raise ValueError(f"The {self.name} must be {', '.join(get_args(Kind))}, not {self.kind!r}.")
        not_negative(self.leather, f"leather of the {self.name}")
        not_negative(self.other_mm, f"thickness of other parts of the {self.name}")
        not_negative(self.seam_mm, f"seam of the {self.name}")
        if self.leather == 0 and self.other_mm == 0:
            raise ValueError(f"The {self.name} must hold some layer.")
        if self.kind not in ("sewn", "hand_sewn") and self.seam_mm > 0:
            raise ValueError(f"The {self.name} is {self.kind}, so it cannot have a seam.")


def zone_thickness(zone: Zone, weight: float) -> float:
    """Return the thickness of *zone*, mm, in main leather of *weight* mm; ValueError if that is not above zero."""
    positive(weight, "thickness of the main leather")
    return zone.leather * weight + zone.other_mm


def thickest_zone(kind: Kind, zones: Sequence[Zone], weight: float) -> Zone:
    """Return the thickest zone of that *kind* in main leather of *weight* mm; ValueError if there is none."""
    return max(_of_kind(kind, zones), key=lambda zone: zone_thickness(zone, weight))


def stitchable_thickness(sew_max: float, zones: Sequence[Zone]) -> float:
    """Return the greatest thickness of the main leather, mm, with which every sewn zone can be sewn.

    Args:
        sew_max: Thickest stack the hand or machine can sew, mm.
        zones: Zones of the item; those that are not sewn, or by hand, do not count.

    Raises:
        ValueError: If *sew_max* is not above zero or no main leather is sewn.
    """
    return _room(sew_max, stitchable_zone(sew_max, zones))


def stitchable_zone(sew_max: float, zones: Sequence[Zone]) -> Zone:
    """Return the sewn zone that sets ``stitchable_thickness``; same arguments and errors."""
    positive(sew_max, "thickest stack that can be sewn")
    return _tightest(sew_max, zones, "sewn")


def closable_thickness(closed_max: float, zones: Sequence[Zone]) -> float:
    """Return the greatest thickness of the main leather, mm, with which the closed item is thin enough.

    Args:
        closed_max: Greatest thickness wanted of the closed item, mm.
        zones: Zones of the item; only those of the kind closed count.

    Raises:
        ValueError: If *closed_max* is not above zero or no main leather is closed.
    """
    return _room(closed_max, closable_zone(closed_max, zones))


def closable_zone(closed_max: float, zones: Sequence[Zone]) -> Zone:
    """Return the closed zone that sets ``closable_thickness``; same arguments and errors."""
    positive(closed_max, "greatest thickness closed")
    return _tightest(closed_max, zones, "closed")


def thickest_seam(zones: Sequence[Zone], weight: float) -> float:
    """Return the thickness, mm, of the thickest sewn zone at *weight* mm; ValueError if nothing is sewn."""
    return zone_thickness(thickest_zone("sewn", zones, weight), weight)


def folded_edge(weight: float, skive: float, lining: float) -> float:
    """Return the thickness of a skived edge folded over, mm: 2 x skive x weight + lining (common practice).

    Args:
        weight: Thickness of the leather before skiving, mm.
        skive: Share of the thickness that is left, plain number above 0, at most 1.
        lining: Thickness of what the fold encloses, mm.

    Raises:
        ValueError: If a number is impossible.
    """
    positive(weight, "thickness of the leather")
    if not 0 < skive <= 1:
        raise ValueError(f"The share left by skiving must be above 0 and at most 1, not {skive}.")
    not_negative(lining, "thickness of the lining")
    return 2 * skive * weight + lining


def _of_kind(kind: Kind, zones: Sequence[Zone]) -> list[Zone]:
    found = [zone for zone in zones if zone.kind == kind]
    if not found:
        raise ValueError(f"The item has no {kind} zone.")
    return found


def _tightest(limit: float, zones: Sequence[Zone], kind: Kind) -> Zone:
    counting = [zone for zone in _of_kind(kind, zones) if zone.leather > 0 or zone.other_mm > limit]
    if not counting:
        raise ValueError(f"No {kind} zone holds any of the main leather.")
    return min(counting, key=lambda zone: (_room(limit, zone), -zone.other_mm))


def _room(limit: float, zone: Zone) -> float:
    # Where linings fill the limit, no main leather at all would pass: that is 0, and a bound like any other.
    return (limit - zone.other_mm) / zone.leather if zone.other_mm < limit else 0 * limit

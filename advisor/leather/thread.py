"""Thread for hand sewing: its size, its pitch, its length, and the numbers it is sold under.

Size and pitch follow a table of common practice. The step from a diameter to a tex number is an estimate, so
a thread is chosen by its size and the number only helps to find it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from advisor.leather.checks import positive
from advisor.leather.stack import Zone, zone_thickness

MM_PER_INCH = 25.4
MM_PER_M = 1000
ENDS_MM = 400.0
"""Thread held in the needles at both ends of one seam, mm."""

TURN_PITCH = (MM_PER_INCH / 8, MM_PER_INCH / 6)
"""Where a strap is turned round a ring or buckle and pulled at, mm: 8 to 6 stitches to the inch (common practice)."""

THREAD_DENSITY = 1.0
"""Of firmly twisted thread with its pores, g/cm3 (estimate; soft cotton yarn is nearer 0.9)."""


@dataclass(frozen=True, slots=True)
class ThreadRange:
    """What makers use on leather of one range of thickness: lowest and highest *size* and *pitch*, mm."""

    size: tuple[float, float]
    pitch: tuple[float, float]


_THIN = ThreadRange(size=(0.35, 0.5), pitch=(2.7, 3.4))
_LIGHT = ThreadRange(size=(0.5, 0.6), pitch=(3.4, 4.0))
_MEDIUM = ThreadRange(size=(0.6, 0.8), pitch=(4.0, 5.0))
_HEAVY = ThreadRange(size=(0.8, 1.0), pitch=(5.0, 6.0))


def thread_range(weight: float) -> ThreadRange:
    """Return the usual thread for leather of *weight* (a plain number of mm); ValueError if not above zero.

    Common practice: under 1.2 mm, under 2.0 mm, up to 3.2 mm, and thicker.
    """
    positive(weight, "thickness of the leather")
    if weight < 1.2:
        return _THIN
    if weight < 2.0:
        return _LIGHT
    return _MEDIUM if weight <= 3.2 else _HEAVY


def thread_size(weight: float) -> float:
    """Return the middle of the usual thread diameters, mm; argument and errors as ``thread_range``."""
    return sum(thread_range(weight).size) / 2


def stitch_pitch(weight: float) -> float:
    """Return the middle of the usual pitches, mm from hole to hole; argument and errors as ``thread_range``."""
    return sum(thread_range(weight).pitch) / 2


def thread_for(weight: float, zones: Sequence[Zone]) -> float:
    """Return ``thread_size`` for an item that is sewn; ValueError if no zone is."""
    seams(zones)
    return thread_size(weight)


def pitch_for(weight: float, zones: Sequence[Zone], turns: str) -> float:
    """Return the middle of ``pitch_range``, mm; arguments and errors as there."""
    return sum(pitch_range(weight, zones, turns)) / 2


def pitch_range(weight: float, zones: Sequence[Zone], turns: str) -> tuple[float, float]:
    """Return the closest and widest usual pitch, mm from hole to hole (common practice).

    Args:
        weight: Thickness of the main leather, mm.
        zones: Zones of the item, of which one must have a seam.
        turns: "yes" if its seams are the turned ends of a strap that is pulled at, sewn with 6 to 8 stitches to the
            inch however heavy the strap is.

    Raises:
        ValueError: If no zone has a seam or the thickness is impossible.
    """
    seams(zones)
    usual = thread_range(weight).pitch
    return min(usual, TURN_PITCH, key=sum) if turns == "yes" else usual


def stitches_per_inch(pitch: float) -> float:
    """Return the stitches in an inch, plain number, at a *pitch* in mm; ValueError if it is not above zero."""
    positive(pitch, "pitch")
    return MM_PER_INCH / pitch


def saddle_thread_length(zones: Sequence[Zone], weight: float, pitch: float, ends: float = ENDS_MM) -> float:
    """Return the thread for all seams in two-needle saddle stitch, m (common practice).

    A seam of length L in a stack S takes 2 L (pitch + S) / pitch, and the *ends* once.

    Args:
        zones: Zones of the item; only those with a seam count.
        weight: Thickness of the main leather, mm.
        pitch: From hole to hole, mm.
        ends: Thread held in the needles for one seam, mm.

    Raises:
        ValueError: If no zone has a seam or a number is impossible.
    """
    positive(pitch, "pitch")
    return (
        sum(2 * zone.seam_mm * (pitch + zone_thickness(zone, weight)) / pitch + ends for zone in seams(zones))
        / MM_PER_M
    )


def seams(zones: Sequence[Zone]) -> list[Zone]:
    """Return the zones that have a seam; ValueError if there is none."""
    found = [zone for zone in zones if zone.seam_mm > 0]
    if not found:
        raise ValueError("The item has no seam of a known length.")
    return found


def thread_tex(size: float, density: float = THREAD_DENSITY) -> float:
    """Return about how many grams 1000 m of a round thread weigh (tex, estimate).

    Args:
        size: Diameter, mm.
        density: Of the thread with its pores, g/cm3.

    Raises:
        ValueError: If a number is not above zero.
    """
    positive(size, "thread size")
    positive(density, "density of the thread")
    return math.pi / 4 * size * size * density * MM_PER_M


def metric_ticket(tex: float) -> float:
    """Return the metric ticket number, 3000 / *tex* (thread-numbering tutorials); ValueError if not above zero."""
    positive(tex, "tex number")
    return 3000 / tex

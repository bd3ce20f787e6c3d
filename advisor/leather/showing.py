"""Sums with their numbers put in, for the formulas whose numbers come out of zones or a table.

Each function takes the inputs of the function of the same name elsewhere in this package and returns the sum
without its result; its errors are the same. What has to be said in words stands in it as marks, no sentence.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.codes import mark
from advisor.leather import stack, thread, waste
from advisor.leather.stack import Zone
from advisor.leather.units import number, show


def stitchable_thickness(sew_max: float, zones: Sequence[Zone]) -> str:
    """Return the room for the main leather at the sewn zone that leaves it least."""
    return _room(sew_max, stack.stitchable_zone(sew_max, zones))


def closable_thickness(closed_max: float, zones: Sequence[Zone]) -> str:
    """Return the room for the main leather at the closed zone that leaves it least."""
    return _room(closed_max, stack.closable_zone(closed_max, zones))


def extra_waste(
    shape: str,
    grade: str,
    matching: str,
    quantity: float,
    shapes: Mapping[str, float],
    grades: Mapping[str, float],
    matched: Mapping[str, float],
) -> str:
    """Return the shares that are added up, and that nothing less than none can be lost."""
    parts = [f"{number(found)} {mark('sum_for', what=what)}" for what, found in _shares(shape, grade, shapes, grades)]
    parts += [f"{number(matched[matching])} {mark('sum_for_matching')}"] if matched[matching] else []
    saved = f" - {number(waste.RUN_SAVES)} {mark('sum_for_a_run')}" if quantity >= waste.RUN_FROM else ""
    lost = shapes[shape] + grades[grade] + matched[matching]
    least = f", {mark('sum_not_below', least='0')}" if saved and lost <= waste.RUN_SAVES else ""
    return " + ".join(parts) + saved + least


def _shares(
    shape: str, grade: str, shapes: Mapping[str, float], grades: Mapping[str, float]
) -> tuple[tuple[str, float], ...]:
    return (shape, shapes[shape]), (grade, grades[grade])


def spare_items(quantity: int, experience: str, every: Mapping[str, float]) -> str:
    """Return how many items one spare is bought for."""
    return f"{quantity} / {number(every[experience])}, {mark('sum_whole')}"


def thickest_seam(zones: Sequence[Zone], weight: float) -> str:
    """Return the layers of the thickest sewn zone."""
    zone = stack.thickest_zone("sewn", zones, weight)
    return f"{layers(zone, weight)} {_at(zone)}"


def rivet_post(zones: Sequence[Zone], weight: float, allowance: float) -> str:
    """Return the layers of the thickest riveted zone and what is set over of the rivet."""
    zone = stack.thickest_zone("riveted", zones, weight)
    return f"{layers(zone, weight)} + {show(allowance, 'mm')} {_at(zone)}"


def saddle_thread_length(zones: Sequence[Zone], weight: float, pitch: float) -> str:
    """Return the thread of each seam, one after the other."""
    step, ends = show(pitch, "mm"), show(thread.ENDS_MM, "mm")
    return " + ".join(
        f"2 x {show(zone.seam_mm, 'mm')} x ({step} + {layers(zone, weight)}) / {step} + {ends} {_at(zone)}"
        for zone in thread.seams(zones)
    )


def thread_size(weight: float, zones: Sequence[Zone]) -> str:
    """Return the usual range of sizes, with the numbers under which its middle is sold."""
    tex = thread.thread_tex(thread.thread_for(weight, zones))
    sold = mark("sum_thread_sold", tex=f"{round(tex, -1):.0f}", ticket=f"{thread.metric_ticket(tex):.0f}")
    return f"{_middle(thread.thread_range(weight).size)} ({sold}) {_for_leather(weight)}"


def stitch_pitch(weight: float, zones: Sequence[Zone], turns: str) -> str:
    """Return the usual range of pitches, with its stitches per inch."""
    pitch = thread.pitch_range(weight, zones, turns)
    most, fewest = (number(thread.stitches_per_inch(end), 1) for end in pitch)
    stitches = mark("sum_stitches", fewest=fewest, most=most)
    return f"{_middle(pitch)} ({stitches}) {_for_leather(weight)}"


def _room(limit: float, zone: Zone) -> str:
    left = show(limit, "mm")
    if zone.other_mm >= limit:
        return f"{left} {mark('sum_filled', by=show(zone.other_mm, 'mm'))} {_at(zone)}"
    if zone.other_mm > 0:
        left = f"({left} - {show(zone.other_mm, 'mm')})"
    return f"{left} / {number(zone.leather)} {_at(zone)}"


def layers(zone: Zone, weight: float) -> str:
    """Return what lies on each other in *zone* with the main leather at *weight* mm."""
    parts = [f"{number(zone.leather)} x {show(weight, 'mm')}"] if zone.leather > 0 else []
    return " + ".join([*parts, show(zone.other_mm, "mm")] if zone.other_mm > 0 else parts)


def _middle(ends: tuple[float, float]) -> str:
    low, high = ends
    return mark("sum_middle", low=show(low, "mm"), high=show(high, "mm"))


def _for_leather(weight: float) -> str:
    return mark("sum_for_leather", thick=show(weight, "mm"))


def _at(zone: Zone) -> str:
    return mark("sum_at", zone=zone.name)

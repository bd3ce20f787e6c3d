"""Sums and sizes of patterns, reckoned a second time without the program, in exact decimals."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, "ft": 304.8, "oz_leather": 25.4 / 64}
SUMS: dict[str, Any] = {  # what each formula must give; zones hold only those of the right kind
    "strap_force": lambda mass, jerk, straps: mass * Decimal("9.80665") * jerk / straps,
    "strap_thickness": lambda force, safety, strength, width, hole, joint: (
        force * safety / (strength * min(width - hole, width * joint))
    ),
    "sound_thickness": lambda thickness, whole: thickness if thickness >= whole else None,
    "strap_width": lambda force, safety, strength, thickness, hole, joint: max(
        force * safety / (strength * thickness) + hole, force * safety / (strength * thickness * joint)
    ),
    "strap_safety": lambda force, strength, width, thickness, hole, joint: (
        strength * thickness / force * min(width - hole, width * joint)
    ),
    "hole_to_point": lambda width: Decimal("2.5") * width,
    "tear_out": lambda force, safety, strength, thickness: force * safety / (strength * thickness),
    "fold_share": lambda width, hole: Decimal("1.2") * (width - hole) / width if hole < width else None,
    "strap_stretch": lambda force, width, thickness, stiffness: 100 * force / (width * thickness * stiffness),
    "foldable_thickness": lambda radius, limit: 2 * radius * limit / (1 - limit),
    "skive_at_fold": lambda radius, limit, weight: min(weight, 2 * radius * limit / (1 - limit)),
    "turnable_thickness": lambda corner_radius, seam_allowance, turn_factor: (
        corner_radius
        / (4 * turn_factor * (1 + 2 * seam_allowance / max(corner_radius - seam_allowance, seam_allowance)))
    ),
    "dye_volume": lambda area, coats, rate: area * coats * rate / 100,
    "finished_mass": lambda area, weight, density: 10 * area * weight * density,
    "other_share": lambda fibre: 100 - fibre,
    "net_area": lambda pieces: sum(p["count"] * p["length"] * p["width"] for p in pieces) / 10000,
    "longest_piece": lambda pieces: max(p["length"] for p in pieces),
    "widest_piece": lambda pieces: max(p["width"] for p in pieces),
    "stitchable_thickness": lambda sew_max, zones: min(
        max(0, sew_max - z["other"]) / (z["leather"] or 1) for z in zones
    ),
    "closable_thickness": lambda closed_max, zones: min(
        max(0, closed_max - z["other"]) / (z["leather"] or 1) for z in zones
    ),
    "thickest_seam": lambda weight, zones: max(z["leather"] * weight + z["other"] for z in zones),
    "rivet_post": lambda weight, zones, allowance: allowance + max(z["leather"] * weight + z["other"] for z in zones),
    "thread_length": lambda weight, pitch, zones: (
        sum(2 * z["seam"] * (pitch + z["leather"] * weight + z["other"]) / pitch + 400 for z in zones if z["seam"])
        / 1000
    ),
}
KINDS = {"closable_thickness": ("closed",), "rivet_post": ("riveted",), "thread_length": ("sewn", "hand_sewn")}


def measure(text: str, sizes: dict[str, float]) -> Decimal | None:
    """A size of a pattern, such as ``2 x height + 5 mm``; None if an attribute of it is not known."""
    total = Decimal(0)
    for sign, factor, word, number, unit in re.findall(
        r"([+-]?)\s*(?:(?:([\d.]+)\s*x\s+)?([a-z]\w*)|([\d.]+)\s*(\w+))", text
    ):
        if word and word not in sizes:
            return None
        value = Decimal(factor or 1) * Decimal(str(sizes[word])) if word else Decimal(number) * Decimal(str(MM[unit]))
        total += -value if sign == "-" else value
    return total

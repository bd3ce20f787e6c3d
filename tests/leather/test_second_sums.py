"""Every sum, and every size of a pattern, reckoned a second time in exact decimals."""

from __future__ import annotations

import random
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from second_sums import KINDS, SUMS, measure

from advisor.leather.formulas import FORMULAS, worked_out
from advisor.leather.pieces import Piece, parse_size, size
from advisor.leather.stack import Zone
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.patterns import cut_pieces, lay_zones
from advisor.verify.told import SUMMED_ONCE

BASE = load_rulebase()
TIMES = 200
TABLES = set(SUMMED_ONCE)
"""What the checker names as not checked, since no second sum stands against it."""
RANGES = {
    "mass": (0, 90),
    "jerk": (1, 4),
    "straps": (1, 4),
    "force": (1, 3000),
    "safety": (2, 10),
    "strength": (5, 30),
    "width": (10, 60),
    "thickness": (1, 6),
    "hole": (0, 8),
    "stiffness": (20, 200),
    "radius": (0.5, 9),
    "limit": (0.05, 0.4),
    "weight": (0.6, 6),
    "corner_radius": (4, 40),
    "seam_allowance": (2, 12),
    "turn_factor": (0.5, 3),
    "area": (1, 400),
    "coats": (1, 4),
    "rate": (30, 200),
    "density": (0.6, 1.2),
    "joint": (0.3, 1),
    "whole": (0.2, 1.0),
    "fibre": (0, 100),
    "sew_max": (4, 16),
    "closed_max": (5, 30),
    "pitch": (2, 6),
    "allowance": (1, 9),
}


def drawn(rng: random.Random, name: str) -> dict[str, Any]:
    """Inputs of a formula, as the program takes them."""
    found: dict[str, Any] = {}
    for key, unit in FORMULAS[name].inputs.items():
        if key == "pieces":
            found[key] = tuple(
                Piece(
                    "part",
                    rng.choice(["body", "pocket", "strap", "lining"]) if n else "body",
                    rng.randint(1, 4),
                    round(rng.uniform(10, 900), 1),
                    round(rng.uniform(10, 400), 1),
                )
                for n in range(rng.randint(1, 5))
            )
        elif key == "zones":
            kinds = [*KINDS.get(name, ("sewn",)), "folded", "riveted", "sewn", "hand_sewn", "closed"]
            found[key] = tuple(
                Zone(
                    "place",
                    kind,
                    rng.choice([0.5, 1.0, 2.0, 3.0]),
                    round(rng.uniform(0, 5), 1),  # type: ignore[arg-type]
                    round(rng.uniform(50, 900), 1) if kind in ("sewn", "hand_sewn") else 0.0,
                )
                for kind in kinds[: rng.randint(1, 6)]
            )
        else:
            low, high = RANGES[key]
            found[key] = rng.randint(int(low), int(high)) if unit == "count" else round(rng.uniform(low, high), 3)
    return found


def exact(name: str, given: dict[str, Any]) -> dict[str, Any]:
    """The same inputs for the second sum: exact decimals, only the pieces and zones that count."""
    found: dict[str, Any] = {}
    for key, value in given.items():
        if key == "pieces":
            main = [p for p in value if p.part in ("body", "pocket", "strap")]
            found[key] = [
                {"count": p.count, "length": Decimal(str(p.length_mm)), "width": Decimal(str(p.width_mm))} for p in main
            ]
        elif key == "zones":
            found[key] = [
                {k: Decimal(str(v)) for k, v in (("leather", z.leather), ("other", z.other_mm), ("seam", z.seam_mm))}
                for z in value
                if z.kind in KINDS.get(name, ("sewn",))
            ]
        else:
            found[key] = Decimal(str(value))
    return found


def strayed(name: str, sums: dict[str, Callable[..., Decimal]]) -> list[str]:
    """The inputs, of many drawn, with which the formula does not give what the second sum gives."""
    rng, found, reckoned = random.Random(name), [], 0
    while reckoned < TIMES:
        given = drawn(rng, name)
        try:
            (value,), _ = worked_out(name, given)
        except ValueError:
            # What cannot be, as a strap stretched past its breaking, is drawn again.
            continue
        reckoned += 1
        second = sums[name](**exact(name, given))
        # Shown values have three decimals; floats of this size are off by far less than half of one.
        if abs(Decimal(str(value)) - second) > Decimal("0.000501"):
            found.append(f"{given}: {value}, not {second:.4f}")
    return found


def test_every_formula_is_summed_twice_or_reads_a_table() -> None:
    assert SUMS.keys() | TABLES == FORMULAS.keys()
    assert not SUMS.keys() & TABLES


@pytest.mark.parametrize("name", sorted(SUMS))
def test_the_formula_gives_what_the_second_sum_gives(name: str) -> None:
    assert strayed(name, SUMS) == []


@pytest.mark.parametrize("name", sorted(SUMS))
def test_a_sum_that_is_off_by_a_thousandth_is_seen(name: str) -> None:
    off = {name: lambda **given: SUMS[name](**given) + Decimal("0.0011")}
    assert len(strayed(name, off)) > TIMES / 2


def test_sizes_of_every_pattern_are_measured_twice() -> None:
    texts = {t for i in BASE.items.values() for p in i.pieces for t in (p.length, p.width)}
    texts |= {t for i in BASE.items.values() for z in i.zones for t in (z.stack, z.skived, z.seam) if t}
    assert len(texts) > 100
    rng = random.Random(7)
    for text in sorted(texts):
        for _ in range(20):
            terms = parse_size(text)
            sizes = {t.attribute: round(rng.uniform(1, 900), 1) for t in terms if t.attribute}
            second = measure(text, sizes)
            assert second is not None
            if second > 0:
                assert abs(Decimal(str(size(terms, sizes))) - second) < Decimal("0.000001"), (text, sizes)
            else:
                with pytest.raises(ValueError, match="above zero"):
                    size(terms, sizes)


def test_pieces_and_zones_of_every_item_are_laid_out_twice() -> None:
    rng, laid_out = random.Random(11), 0
    millimetres = [a.name for a in BASE.attributes.values() if a.unit == "mm"]
    for item in BASE.items.values():
        for skive, anchors in ((("none",), ()), (("edges",), ("by_hand",))):
            sizes = {name: round(rng.uniform(5, 900), 1) for name in millimetres}
            specs = {p.name: p for p in item.pieces}
            for piece in cut_pieces(item, sizes, {}).pieces:
                spec = specs[piece.name]
                for text, mm in ((spec.length, piece.length_mm), (spec.width, piece.width_mm)):
                    assert abs(float(measure(text, sizes) or 0) - mm) < 1e-6, (item.slug, piece.name)
                laid_out += 1
            places = {z.name: z for z in item.zones}
            for zone in lay_zones(item, sizes, skive, anchors).zones:
                place = places[zone.name]
                text = place.skived if skive != ("none",) and place.skived else place.stack
                bare, one = (float(measure(text, {**sizes, "weight": w}) or 0) for w in (0.0, 1.0))
                assert (zone.kind == "hand_sewn") == (place.anchor and bool(anchors)), (item.slug, zone.name)
                assert abs(zone.other_mm - bare) < 1e-6, (item.slug, zone.name)
                assert abs(zone.leather - (one - bare)) < 1e-6, (item.slug, zone.name)
                assert abs(zone.seam_mm - float(measure(place.seam, sizes) or 0)) < 1e-6, (item.slug, zone.name)
                laid_out += 1
    assert laid_out > 300

"""Bends, turned corners and stacks: the bent strip, the belting rule for pulleys, and layers under a needle."""

from __future__ import annotations

import pytest
from by_pint import u
from hypothesis import given
from hypothesis import strategies as st

from advisor.leather.fold import (
    foldable_thickness,
    outer_strain,
    skive_at_fold,
    smallest_radius,
    turn_index,
    turnable_thickness,
)
from advisor.leather.stack import (
    Zone,
    closable_thickness,
    closable_zone,
    folded_edge,
    stitchable_thickness,
    stitchable_zone,
    thickest_zone,
    zone_thickness,
)

thicknesses = st.floats(0.3, 8)
radii = st.floats(0.1, 100)
limits = st.floats(0.02, 0.9)
allowances = st.floats(0, 30)
turn_factors = st.floats(0.3, 5)
weights = st.floats(0.3, 8)
# Linings stay below 4 mm and limits above 5 mm, so that some leather always fits.
sewn_zones = st.lists(
    st.builds(Zone, name=st.just("seam"), kind=st.just("sewn"), leather=st.floats(0.5, 8), other_mm=st.floats(0, 4)),
    min_size=1,
    max_size=5,
)
sew_limits = st.floats(5, 30)


@pytest.mark.parametrize(
    ("radius_in_thicknesses", "percent"),
    [(0, 100), (0.5, 50), (1, 33.3), (2, 20), (3, 14.3), (5, 9.1), (10, 4.8)],
)
def test_strain_of_a_bent_strip(radius_in_thicknesses: float, percent: float) -> None:
    """Beam geometry with the neutral line half way (DERIVED); as printed, +-0.05 points."""
    strain = outer_strain(1.6, radius_in_thicknesses * 1.6)

    assert 100 * strain == pytest.approx(percent, abs=0.05)


def test_strain_of_a_double_belt_on_its_smallest_pulley() -> None:
    """A metal workers' text, read (SEEN): 3/8 in belts want 12 in pulleys; strain DERIVED, 3.0 %."""
    assert 100 * outer_strain(3 / 8, 12 / 2) == pytest.approx(3.0, abs=0.05)


@pytest.mark.parametrize(
    ("limit", "in_thicknesses"),
    [
        (0.05, 9.5),
        (0.08, 5.8),
        (0.20, 2.0),
        (0.25, 1.5),
        (0.35, 0.93),
        (0.40, 0.75),
        (0.45, 0.61),
        (0.50, 0.50),
    ],
)
def test_radius_multiples_of_the_trade(limit: float, in_thicknesses: float) -> None:
    """Estimate: agreement of arithmetic with the trade's table, as printed; no proof that the grain holds."""
    assert smallest_radius(1, limit) == pytest.approx(in_thicknesses, abs=0.051 if limit < 0.1 else 0.006)


def test_fold_examples_of_the_trade() -> None:
    """Estimate, arithmetic only: 1.2 at R 2.4; a belt of 3.4 round R 3; 2.0 damp; hinges of 3.2 and 1.6."""
    assert outer_strain(1.2, 2.4) == pytest.approx(0.20)
    assert outer_strain(3.4, 3) == pytest.approx(0.36, abs=0.005)
    assert smallest_radius(2.0, 0.35) == pytest.approx(1.9, abs=0.05)
    assert smallest_radius(3.2, 0.25) == pytest.approx(4.8)
    assert smallest_radius(1.6, 0.25) == pytest.approx(2.4)
    assert foldable_thickness(2.4, 0.20) == pytest.approx(1.2)


@given(radius=radii, limit=limits)
def test_the_foldable_thickness_is_just_foldable(radius: float, limit: float) -> None:
    thickness = foldable_thickness(radius, limit)

    assert outer_strain(thickness, radius) == pytest.approx(limit)
    assert smallest_radius(thickness, limit) == pytest.approx(radius)


@given(thickness=thicknesses, more=thicknesses, radius=radii)
def test_thicker_leather_never_stretches_less(thickness: float, more: float, radius: float) -> None:
    assert outer_strain(thickness + more, radius) >= outer_strain(thickness, radius)


@given(radius=radii, more=radii, limit=limits)
def test_a_rounder_fold_never_wants_thinner_leather(radius: float, more: float, limit: float) -> None:
    assert foldable_thickness(radius + more, limit) >= foldable_thickness(radius, limit)


def test_folds_keep_their_dimensions() -> None:
    inch, tenth = u.Quantity(1.0, "inch"), u.Quantity(0.1, "inch")

    assert outer_strain(tenth, inch).to("dimensionless").magnitude == pytest.approx(outer_strain(0.1, 1))
    assert smallest_radius(tenth, 0.2).to("mm").magnitude == pytest.approx(smallest_radius(2.54, 0.2))
    assert foldable_thickness(inch, 0.2).to("mm").magnitude == pytest.approx(foldable_thickness(25.4, 0.2))


def test_impossible_folds_are_refused() -> None:
    with pytest.raises(ValueError, match="thickness"):
        outer_strain(0, 1)
    with pytest.raises(ValueError, match="radius"):
        outer_strain(1, -1)
    with pytest.raises(ValueError, match="radius"):
        foldable_thickness(0, 0.2)
    with pytest.raises(ValueError, match="thickness"):
        smallest_radius(-1, 0.2)
    for limit in (0, 1, float("nan")):
        with pytest.raises(ValueError, match="limit"):
            smallest_radius(1, limit)
        with pytest.raises(ValueError, match="limit"):
            foldable_thickness(1, limit)


def test_a_fold_is_skived_only_if_it_must_be() -> None:
    """Estimate, arithmetic only: a belt of 3.4 round R 3 at 0.20 is thinned, one of 1.2 is not."""
    assert skive_at_fold(3, 0.20, 3.4) == pytest.approx(1.5)
    assert skive_at_fold(3, 0.20, 1.2) == 1.2


@given(radius=radii, limit=limits, weight=weights)
def test_a_skived_fold_holds_and_is_never_thicker(radius: float, limit: float, weight: float) -> None:
    skived = skive_at_fold(radius, limit, weight)

    assert skived <= weight
    assert outer_strain(skived, radius) <= limit * (1 + 1e-9)
    assert skived == weight or outer_strain(weight, radius) > limit * (1 - 1e-9)


@pytest.mark.parametrize(
    ("thickness", "radius", "allowance", "factor", "index"),
    [
        (0.8, 15, 8, 0.8, 0.51),
        (0.8, 15, 4, 0.8, 0.29),
        (1.1, 25, 8, 0.8, 0.27),
        (1.6, 20, 8, 0.8, 0.60),
        (1.6, 20, 8, 1.2, 0.90),
        (2.0, 15, 6, 1.2, 1.49),
        (3.2, 15, 8, 2.0, 5.12),
    ],
)
def test_turning_examples_of_the_trade(
    thickness: float, radius: float, allowance: float, factor: float, index: float
) -> None:
    """Estimate: agreement of arithmetic with the trade's examples, +-0.006; no proof that a corner turns."""
    assert turn_index(thickness, radius, allowance, factor) == pytest.approx(index, abs=0.006)


@given(radius=radii, allowance=allowances, factor=turn_factors, index=st.floats(0.2, 3))
def test_the_turnable_thickness_is_just_turnable(radius: float, allowance: float, factor: float, index: float) -> None:
    thickness = turnable_thickness(radius, allowance, factor, index)

    assert turn_index(thickness, radius, allowance, factor) == pytest.approx(index)


@given(radius=radii, allowance=allowances, more=allowances, factor=turn_factors)
def test_a_wider_allowance_never_turns_thicker_leather(
    radius: float, allowance: float, more: float, factor: float
) -> None:
    assert turnable_thickness(radius, allowance + more, factor) <= turnable_thickness(radius, allowance, factor) * (
        1 + 1e-9
    )


@given(radius=radii, more=radii, allowance=allowances, factor=turn_factors)
def test_a_rounder_corner_never_turns_thinner_leather(
    radius: float, more: float, allowance: float, factor: float
) -> None:
    sharp = turnable_thickness(radius, allowance, factor)

    assert turnable_thickness(radius + more, allowance, factor) >= sharp * (1 - 1e-9)


def test_turned_corners_keep_their_dimensions() -> None:
    inch, third = u.Quantity(1.0, "inch"), u.Quantity(8.0, "mm")

    assert turnable_thickness(inch, third, 0.8).to("mm").magnitude == pytest.approx(turnable_thickness(25.4, 8, 0.8))
    assert turn_index(inch / 10, inch, third, 0.8).to("dimensionless").magnitude == pytest.approx(
        turn_index(2.54, 25.4, 8, 0.8)
    )
    assert skive_at_fold(inch, 0.2, third).to("mm").magnitude == pytest.approx(skive_at_fold(25.4, 0.2, 8))


@pytest.mark.parametrize(
    ("radius", "allowance", "factor", "index", "word"),
    [
        (0, 8, 1, 1, "corner radius"),
        (15, -1, 1, 1, "seam allowance"),
        (15, 8, 0, 1, "turn factor"),
        (15, 8, 1, 0, "index"),
    ],
)
def test_impossible_corners_are_refused(
    radius: float, allowance: float, factor: float, index: float, word: str
) -> None:
    with pytest.raises(ValueError, match=word):
        turnable_thickness(radius, allowance, factor, index)


def test_impossible_turned_or_skived_thicknesses_are_refused() -> None:
    with pytest.raises(ValueError, match="thickness"):
        turn_index(0, 15, 8, 1)
    with pytest.raises(ValueError, match="thickness"):
        skive_at_fold(3, 0.2, 0)


@pytest.mark.parametrize(
    ("zone", "weight", "thickness"),
    [
        (Zone("sheath edge", "sewn", 3, 0), 3.2, 9.6),
        (Zone("full pocket corner", "sewn", 1, 0.6 + 0.8 + 3 * 0.8), 1.2, 5.0),
        (Zone("T-pocket side", "sewn", 1, 0.6 + 0.8 + 0.5 + 0.8), 1.2, 3.9),
        (Zone("T-pocket bottom corner", "sewn", 1, 0.6 + 0.8 + 0.8), 1.2, 3.4),
        (Zone("strap anchor", "riveted", 2, 2 * 0.7 * 3.2), 2.4, 9.3),
        (Zone("buckle fold", "folded", 2 * 0.6, 0), 3.5, 4.2),
        (Zone("buckle fold, unskived, with keeper", "riveted", 3, 0), 3.5, 10.5),
        (Zone("flap lining", "sewn", 0, 1.6), 1.2, 1.6),
    ],
    ids=lambda value: value.name if isinstance(value, Zone) else None,
)
def test_stacks_of_the_trade(zone: Zone, weight: float, thickness: float) -> None:
    """Common practice: agreement of arithmetic with the trade's examples, +-0.05 mm as printed."""
    assert zone_thickness(zone, weight) == pytest.approx(thickness, abs=0.05)


def test_folded_edges_of_the_trade() -> None:
    """Common practice, arithmetic only: a lined edge of 1.2, skived and not, and a belt at its buckle."""
    assert folded_edge(1.2, 0.5, 0.6) == pytest.approx(1.8)
    assert folded_edge(1.2, 1, 0.6) == pytest.approx(3.0)
    assert folded_edge(3.5, 0.6, 0) == pytest.approx(4.2)


def test_the_tightest_sewn_zone_decides() -> None:
    corner, edge = Zone("pocket corner", "sewn", 3, 1.4), Zone("edge", "sewn", 2, 0.5, seam_mm=300)
    others = (Zone("anchor", "riveted", 9, 9), Zone("closed wallet", "closed", 8, 5), Zone("fold", "folded", 4, 0))
    zones = (edge, corner, *others, Zone("lining hem", "sewn", 0, 10))

    assert stitchable_zone(10, zones) is corner
    assert stitchable_thickness(10, zones) == pytest.approx((10 - 1.4) / 3)
    assert closable_zone(12, zones).name == "closed wallet"
    assert closable_thickness(12, zones) == pytest.approx((12 - 5) / 8)
    assert thickest_zone("sewn", zones, 1.2) is zones[-1]
    assert thickest_zone("sewn", zones, 4.0) is corner


@given(sew_max=sew_limits, zones=sewn_zones)
def test_the_stitchable_thickness_just_passes_every_sewn_zone(sew_max: float, zones: list[Zone]) -> None:
    weight = stitchable_thickness(sew_max, zones)

    assert all(zone_thickness(zone, weight) <= sew_max * (1 + 1e-9) for zone in zones)
    assert zone_thickness(stitchable_zone(sew_max, zones), weight) == pytest.approx(sew_max)


@given(sew_max=sew_limits, zones=sewn_zones, layers=st.floats(0, 4), lining=st.floats(0, 0.9))
def test_more_layers_and_linings_never_want_thicker_leather(
    sew_max: float, zones: list[Zone], layers: float, lining: float
) -> None:
    fuller = [Zone(z.name, z.kind, z.leather + layers, z.other_mm + lining) for z in zones]

    assert stitchable_thickness(sew_max, fuller) <= stitchable_thickness(sew_max, zones)


@given(sew_max=sew_limits, zones=sewn_zones, more=sewn_zones)
def test_a_further_zone_never_wants_thicker_leather(sew_max: float, zones: list[Zone], more: list[Zone]) -> None:
    assert stitchable_thickness(sew_max, [*zones, *more]) <= stitchable_thickness(sew_max, zones)


@given(sew_max=sew_limits, zones=sewn_zones)
def test_a_closed_item_is_reckoned_like_a_seam(sew_max: float, zones: list[Zone]) -> None:
    closed = [Zone(z.name, "closed", z.leather, z.other_mm) for z in zones]

    assert closable_thickness(sew_max, closed) == stitchable_thickness(sew_max, zones)


def test_stacks_keep_their_dimension() -> None:
    zone = Zone("seam", "sewn", 3, u.Quantity(1.0, "mm"))  # type: ignore[arg-type]
    closed = Zone("closed wallet", "closed", 3, u.Quantity(1.0, "mm"))  # type: ignore[arg-type]
    centimetre = u.Quantity(1.0, "cm")

    assert stitchable_thickness(centimetre, [zone]).to("mm").magnitude == pytest.approx(3)
    assert closable_thickness(centimetre, [closed]).to("mm").magnitude == pytest.approx(3)
    assert zone_thickness(zone, centimetre).to("mm").magnitude == pytest.approx(31)  # type: ignore[attr-defined]
    assert folded_edge(centimetre, 0.5, centimetre).to("mm").magnitude == pytest.approx(20)


def test_a_zone_that_leaves_no_room_allows_no_leather_and_is_named() -> None:
    for leather, other in ((1, 10), (1, 11), (0, 11)):
        zones = (Zone("edge", "sewn", 2, 0), Zone("welted corner", "sewn", leather, other))
        assert stitchable_thickness(10, zones) == 0
        assert stitchable_zone(10, zones).name == "welted corner"
    assert closable_thickness(4, (Zone("closed wallet", "closed", 4, 5),)) == 0


@pytest.mark.parametrize(
    ("kind", "leather", "other", "seam", "word"),
    [
        ("glued", 1, 0, 0, "must be sewn, hand_sewn, riveted, folded, closed"),
        ("sewn", -1, 0, 0, "leather of the corner"),
        ("sewn", 1, -1, 0, "other parts of the corner"),
        ("sewn", 1, 0, -1, "seam of the corner"),
        ("sewn", float("nan"), 0, 0, "leather of the corner"),
        ("sewn", 0, 0, 100, "some layer"),
        ("riveted", 2, 0, 100, "cannot have a seam"),
    ],
)
def test_impossible_zones_are_refused(kind: str, leather: float, other: float, seam: float, word: str) -> None:
    with pytest.raises(ValueError, match=word):
        Zone("corner", kind, leather, other, seam)  # type: ignore[arg-type]


def test_impossible_stacks_are_refused() -> None:
    sewn = Zone("edge", "sewn", 2, 0)
    with pytest.raises(ValueError, match="sewn"):
        stitchable_thickness(0, [sewn])
    with pytest.raises(ValueError, match="closed"):
        closable_thickness(0, [Zone("wallet", "closed", 2, 0)])
    with pytest.raises(ValueError, match="no sewn zone"):
        stitchable_thickness(8, [])
    with pytest.raises(ValueError, match="no closed zone"):
        closable_thickness(8, [sewn])
    with pytest.raises(ValueError, match="No sewn zone"):
        stitchable_thickness(8, [Zone("hem", "sewn", 0, 1)])
    with pytest.raises(ValueError, match="main leather"):
        zone_thickness(sewn, 0)
    for skive in (0, 1.1, float("nan")):
        with pytest.raises(ValueError, match="skiving"):
            folded_edge(1.2, skive, 0)
    with pytest.raises(ValueError, match="lining"):
        folded_edge(1.2, 0.5, -1)
    with pytest.raises(ValueError, match="leather"):
        folded_edge(0, 0.5, 0)

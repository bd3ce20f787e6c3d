"""Bends and seams: algebra of the bent strip, the belting rule for pulleys, and layers under a needle."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.leather.fold import foldable_thickness, outer_strain, smallest_radius
from advisor.leather.stack import stitchable_thickness

u = pint.UnitRegistry()
thicknesses = st.floats(0.3, 8)
radii = st.floats(0.1, 100)
limits = st.floats(0.02, 0.9)


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


@given(sew_max=st.floats(0.5, 30), layers=st.integers(1, 8), more=st.integers(0, 8))
def test_more_layers_never_want_thicker_leather(sew_max: float, layers: int, more: int) -> None:
    thickness = stitchable_thickness(sew_max, layers)

    assert stitchable_thickness(sew_max, layers + more) <= thickness
    assert layers * thickness == pytest.approx(sew_max)


def test_stack_keeps_its_dimension() -> None:
    assert stitchable_thickness(u.Quantity(1.0, "cm"), 4).to("mm").magnitude == pytest.approx(2.5)


def test_impossible_stacks_are_refused() -> None:
    with pytest.raises(ValueError, match="layers"):
        stitchable_thickness(8, 0)
    with pytest.raises(ValueError, match="sewn"):
        stitchable_thickness(0, 2)

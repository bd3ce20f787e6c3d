"""What an item takes besides leather, and what it weighs: posts, dye and mass."""

from __future__ import annotations

import pytest
from by_pint import u
from hypothesis import given
from hypothesis import strategies as st
from leather_tables import SQUARE_FOOT

from advisor.leather.finish import dye_volume
from advisor.leather.hardware import rivet_post
from advisor.leather.mass import mass
from advisor.leather.stack import Zone

sizes = st.floats(0.5, 500)
weights = st.floats(0.3, 8)


def test_the_thickest_riveted_zone_sets_the_post() -> None:
    zones = (
        Zone("tab", "riveted", 2, 0),
        Zone("anchor", "riveted", 2, 2 * 0.7 * 3.2),
        Zone("seam", "sewn", 6, 0, seam_mm=100),
    )

    assert rivet_post(zones, 2.4, 3.0) == pytest.approx(12.28)
    assert rivet_post(zones, 2.4, 6.7) == pytest.approx(15.98)


@given(weight=weights, more=weights, other=st.floats(0, 9))
def test_thicker_leather_never_takes_a_shorter_post(weight: float, more: float, other: float) -> None:
    zones = (Zone("tab", "riveted", 2, 0), Zone("anchor", "riveted", 1, other))

    assert rivet_post(zones, weight + more, 3) >= rivet_post(zones, weight, 3)


def test_impossible_posts_are_refused() -> None:
    with pytest.raises(ValueError, match="no riveted zone"):
        rivet_post((Zone("seam", "sewn", 2, 0),), 2, 3)
    with pytest.raises(ValueError, match="set over"):
        rivet_post((Zone("tab", "riveted", 2, 0),), 2, 0)


@pytest.mark.parametrize(
    ("area", "coats", "rate", "ml"),
    [(22 * SQUARE_FOOT, 1, 150, 307), (22 * SQUARE_FOOT, 2, 150, 613), (4.35, 2, 150, 13), (8.7, 2, 150, 26)],
    ids=["side, one coat", "side, two coats", "belt, one face", "belt, both faces"],
)
def test_dye_of_the_trade(area: float, coats: float, rate: float, ml: float) -> None:
    """Estimate, arithmetic only; the rate is no measurement."""
    assert dye_volume(area, coats, rate) == pytest.approx(ml, abs=0.5)


@given(area=sizes, more=sizes, coats=st.integers(1, 5), rate=sizes)
def test_more_leather_or_coats_never_take_less_dye(area: float, more: float, coats: int, rate: float) -> None:
    assert dye_volume(area + more, coats, rate) >= dye_volume(area, coats, rate)
    assert dye_volume(area, coats + 1, rate) >= dye_volume(area, coats, rate)


def test_dye_keeps_its_dimension() -> None:
    volume = dye_volume(u.Quantity(5.0, "ft**2"), 2, u.Quantity(150.0, "ml/m**2"))

    # The function divides by 100 because it takes dm2 and ml/m2; quantities carry that themselves.
    assert (100 * volume).to("ml").magnitude == pytest.approx(dye_volume(5 * SQUARE_FOOT, 2, 150))  # type: ignore[attr-defined]


def test_mass_of_a_measured_upholstery_leather() -> None:
    """A contract upholstery data sheet, second hand (SEEN-2): 863 g/m2 at 1.31 mm, printed 0.65 g/cm3."""
    density = 863 / mass(100, 1.31, 1.0)

    assert density == pytest.approx(0.659, abs=0.0005)
    assert 0.65 <= density <= 0.66
    assert mass(100, 1.31, density) == pytest.approx(863)


def test_the_ounce_as_a_mass_wants_a_density_of_its_own() -> None:
    """Folk origin of the leather ounce: 1 oz a square foot at 1/64 in needs 0.769 g/cm3 (DERIVED)."""
    assert mass(SQUARE_FOOT, 25.4 / 64, 0.769) == pytest.approx(28.35, abs=0.02)


@pytest.mark.parametrize(
    ("area", "weight", "density", "grams"),
    [(38 * 1145 / 1e4, 3.5, 0.95, 145), (52, 1.6, 0.70, 580), (56, 2.4, 1.0, 1340)],
    ids=["belt", "light tote", "heavy tote"],
)
def test_masses_of_the_trade(area: float, weight: float, density: float, grams: float) -> None:
    """Estimate, arithmetic only, +-1 %."""
    assert mass(area, weight, density) == pytest.approx(grams, rel=0.01)


@given(area=sizes, weight=weights, more=weights, density=st.floats(0.4, 1.3))
def test_thicker_leather_never_weighs_less(area: float, weight: float, more: float, density: float) -> None:
    assert mass(area, weight + more, density) >= mass(area, weight, density)


def test_mass_keeps_its_dimension() -> None:
    grams = mass(u.Quantity(5.0, "ft**2"), u.Quantity(0.1, "inch"), u.Quantity(0.9, "g/cm**3"))

    # The function multiplies by 10 because it takes dm2 and mm; quantities carry that themselves.
    assert (grams / 10).to("g").magnitude == pytest.approx(mass(5 * SQUARE_FOOT, 2.54, 0.9))  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("area", "coats", "rate", "word"), [(0, 1, 150, "area"), (5, 0, 150, "coats"), (5, 1, 0, "rate")]
)
def test_impossible_dyeing_is_refused(area: float, coats: float, rate: float, word: str) -> None:
    with pytest.raises(ValueError, match=word):
        dye_volume(area, coats, rate)


@pytest.mark.parametrize(
    ("area", "weight", "density", "word"), [(0, 1, 1, "area"), (1, 0, 1, "thickness"), (1, 1, -1, "density")]
)
def test_impossible_masses_are_refused(area: float, weight: float, density: float, word: str) -> None:
    with pytest.raises(ValueError, match=word):
        mass(area, weight, density)

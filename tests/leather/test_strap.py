"""Straps against the belting handbook's figures, and the laws any strap must keep."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.leather.strap import (
    JERK,
    JOINT_SHARE,
    SAFETY,
    jerk_factor,
    joint_share,
    safety_factor,
    strap_force,
    strap_thickness,
)

u = pint.UnitRegistry()
INCH = 25.4
POUND_FORCE = u.Quantity(1, "lbf").to("N").magnitude
PSI = u.Quantity(1, "psi").to("MPa").magnitude

sizes = st.floats(1, 200)
forces = st.floats(0, 20_000)
factors = st.floats(1, 10)
strengths = st.floats(5, 40)
joints = st.sampled_from(sorted(JOINT_SHARE))


@pytest.mark.parametrize(
    ("stress_psi", "load_lbf"), [(400, 112.5), (300, 84.4), (250, 70.3)], ids=["cemented", "laced", "metal"]
)
def test_working_loads_of_the_belting_handbook(stress_psi: float, load_lbf: float) -> None:
    """Handbook of shop practice, working stresses read (SEEN); loads of 1 1/2 x 3/16 in derived, +-0.1 lbf.

    The published stress already allows for the joint, so no share is taken off again.
    """
    thickness = strap_thickness(load_lbf * POUND_FORCE, 1, stress_psi * PSI, 1.5 * INCH, "cemented")
    slack = 0.1 / load_lbf * thickness

    assert thickness == pytest.approx(3 / 16 * INCH, abs=slack)


@pytest.mark.parametrize(("strength_psi", "breaks_at_lbf"), [(3000, 703), (5000, 1172)])
def test_breaking_force_of_a_ten_ounce_strap(strength_psi: float, breaks_at_lbf: float) -> None:
    """Same handbook, breaking stress 3,000-5,000 psi read (SEEN); 1 1/2 in x 10 oz derived, +-1 %."""
    thickness = strap_thickness(breaks_at_lbf * POUND_FORCE, 1, strength_psi * PSI, 1.5 * INCH, "cemented")

    assert thickness == pytest.approx(10 / 64 * INCH, rel=0.01)


@pytest.mark.parametrize(("strength_psi", "breaks_at_lbf"), [(3000, 844), (5000, 1406)])
def test_breaking_force_of_a_single_belt(strength_psi: float, breaks_at_lbf: float) -> None:
    """Same handbook (SEEN); 1 1/2 x 3/16 in derived, +-1 lbf."""
    thickness = strap_thickness(breaks_at_lbf * POUND_FORCE, 1, strength_psi * PSI, 1.5 * INCH, "cemented")

    assert thickness == pytest.approx(3 / 16 * INCH, rel=1 / breaks_at_lbf)


def test_width_of_a_machine_belt_with_punched_lacing() -> None:
    """A 1903 engineering text, second hand (SEEN-2): 400 lbf, 200 lbf per inch, factor 3 gives 6 in.

    200 lbf per inch of a 3/16 in belt is the strength of the punched row; it stands in for the leather's.
    """
    row = 200 / (3 / 16) * PSI

    assert strap_thickness(400 * POUND_FORCE, 3, row, 6 * INCH, "cemented") == pytest.approx(3 / 16 * INCH)


@pytest.mark.parametrize(("joint", "share"), [("cemented", 1.0), ("laced", 0.7), ("riveted", 0.5)])
def test_joint_shares_of_the_belting_handbook(joint: str, share: float) -> None:
    """Same handbook (SEEN)."""
    assert joint_share(joint) == share


@pytest.mark.parametrize(
    ("mass", "jerk", "width", "strength", "joint", "thickness", "margin"),
    [
        (40, 2.0, 25, 22, "stitched", 3.6, 2.14),
        (30, 2.0, 19, 22, "stitched", 3.2, 1.93),
        (30, 2.0, 22, 22, "stitched", 3.4, 2.38),
        (8, 1.5, 32, 18, "riveted", 3.2, 7.8),
        (8, 1.5, 20, 12, "riveted", 2.0, 2.04),
    ],
    ids=["lead 25 x 3.6", "lead 19 x 3.2", "lead 22 x 3.4", "bag strap", "chrome strap"],
)
def test_worked_examples_of_the_trade(
    mass: float, jerk: float, width: float, strength: float, joint: str, thickness: float, margin: float
) -> None:
    """Estimate: agreement of arithmetic with examples worked by hand, no proof that a strap holds."""
    force = strap_force(mass, jerk, 1)

    assert strap_thickness(force, margin, strength, width, joint) == pytest.approx(thickness, rel=0.006)


def test_required_width_of_the_trade() -> None:
    """Estimate, arithmetic only: 40 kg, safety 2, 4.4 mm bridle asks for 19.1 mm."""
    assert strap_thickness(strap_force(40, 2, 1), 2, 22, 19.1, "stitched") == pytest.approx(4.4, rel=0.002)


def test_no_number_for_a_life() -> None:
    with pytest.raises(ValueError, match="life"):
        safety_factor("life")
    assert "life" not in SAFETY


def test_factors_rise_with_what_is_at_stake() -> None:
    jerks = [jerk_factor(kind) for kind in ("none", "static", "dynamic", "shock")]
    safeties = [safety_factor(s) for s in ("trivial", "loss_of_goods", "injury_minor", "injury_serious")]

    assert jerks == sorted(jerks) == [1.0, 1.0, 2.0, 4.0]
    assert safeties == sorted(safeties) == [1.5, 2.0, 3.0, 5.0]
    assert set(JERK) == {"none", "static", "dynamic", "shock"}


def test_force_has_the_dimension_of_force() -> None:
    force = strap_force(u.Quantity(8.0, "kg"), 2.0, 2, gravity=u.Quantity(9.80665, "m/s**2"))

    assert force.to("N").magnitude == pytest.approx(strap_force(8, 2, 2))


def test_thickness_has_the_dimension_of_length() -> None:
    force, strength, width = u.Quantity(100.0, "lbf"), u.Quantity(3000.0, "psi"), u.Quantity(1.0, "inch")
    thickness = strap_thickness(force, 2.0, strength, width, "laced")
    plain = strap_thickness(100 * POUND_FORCE, 2, 3000 * PSI, INCH, "laced")

    assert thickness.to("mm").magnitude == pytest.approx(plain)


@given(force=forces, more=forces, safety=factors, strength=strengths, width=sizes, joint=joints)
def test_more_load_is_never_a_thinner_strap(
    force: float, more: float, safety: float, strength: float, width: float, joint: str
) -> None:
    light = strap_thickness(force, safety, strength, width, joint)

    assert strap_thickness(force + more, safety, strength, width, joint) >= light


@given(force=forces, safety=factors, strength=strengths, width=sizes, wider=sizes, joint=joints)
def test_a_wider_strap_is_never_thicker(
    force: float, safety: float, strength: float, width: float, wider: float, joint: str
) -> None:
    narrow = strap_thickness(force, safety, strength, width, joint)

    assert strap_thickness(force, safety, strength, width + wider, joint) <= narrow


@given(mass=st.floats(0, 500), jerk=factors, straps=st.integers(1, 6))
def test_a_second_strap_takes_its_share(mass: float, jerk: float, straps: int) -> None:
    assert straps * strap_force(mass, jerk, straps) == pytest.approx(strap_force(mass, jerk, 1))


@pytest.mark.parametrize(
    ("force", "safety", "strength", "width", "joint", "word"),
    [
        (-1, 2, 20, 25, "laced", "force"),
        (1, 0, 20, 25, "laced", "safety"),
        (1, 2, 0, 25, "laced", "strength"),
        (1, 2, 20, 0, "laced", "width"),
        (1, 2, 20, float("inf"), "laced", "width"),
        (1, 2, float("nan"), 25, "laced", "strength"),
        (1, 2, 20, 25, "glued", "joint"),
    ],
)
def test_impossible_straps_are_refused(
    force: float, safety: float, strength: float, width: float, joint: str, word: str
) -> None:
    with pytest.raises(ValueError, match=word):
        strap_thickness(force, safety, strength, width, joint)


def test_impossible_forces_are_refused() -> None:
    with pytest.raises(ValueError, match="mass"):
        strap_force(-1, 2, 1)
    with pytest.raises(ValueError, match="jerk"):
        strap_force(1, 0, 1)
    with pytest.raises(ValueError, match="straps"):
        strap_force(1, 2, 0)
    with pytest.raises(ValueError, match="dynamic"):
        jerk_factor("lively")

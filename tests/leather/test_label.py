"""The name of a coated material and the shares of a bonded one.

Oracle: Directive 94/11/EC Annex I a) i) and ii) and EN 15987, both read. That neither name is left above a third is
the converse, read in a trade text only.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.leather.label import COATED, LEATHER, NEITHER, coating_class, other_share


@pytest.mark.parametrize(
    ("coating", "total", "name"),
    [
        (0.0, 1.2, LEATHER),
        (0.10, 1.2, LEATHER),
        (0.15, 1.2, LEATHER),
        (0.151, 1.2, COATED),
        (0.20, 1.2, COATED),
        (0.40, 1.2, COATED),
        (0.401, 1.2, NEITHER),
        (0.45, 1.2, NEITHER),
        # A coat of up to 0.15 mm keeps the better name, however thin the whole.
        (0.15, 0.15, LEATHER),
        (0.15, 0.3, LEATHER),
        (0.16, 0.3, NEITHER),
        (0.16, 0.48, COATED),
        (0.16, 0.47, NEITHER),
    ],
)
def test_the_limits_belong_to_the_better_name(coating: float, total: float, name: str) -> None:
    assert coating_class(coating, total) == name


def test_a_third_of_the_whole_is_no_trap_for_floats() -> None:
    # The comparison that first comes to mind fails: a third of 1.2 is below 0.4 in binary.
    assert 1.2 / 3 < 0.4
    thirds = [(um / 1000, 3 * um / 1000) for um in range(151, 2000)]
    assert any(3 * coat > total for coat, total in thirds)
    assert {coating_class(coat, total) for coat, total in thirds} == {COATED}


@given(coat_um=st.integers(0, 5000), more_um=st.integers(0, 20_000))
def test_it_agrees_with_exact_fractions(coat_um: int, more_um: int) -> None:
    total_um = coat_um + more_um
    if total_um == 0:
        return
    coat, total = Fraction(coat_um, 1000), Fraction(total_um, 1000)
    expected = LEATHER if coat <= Fraction(15, 100) else COATED if coat <= total / 3 else NEITHER
    assert coating_class(float(coat), float(total)) == expected


@pytest.mark.parametrize(
    ("coating", "total", "says"),
    [
        (-0.1, 1.2, "film cannot be below zero"),
        (0.1, 0.0, "total thickness must be above zero"),
        (1.3, 1.2, "thicker than the whole"),
        (float("nan"), 1.2, "finite"),
        (0.1, float("inf"), "finite"),
    ],
)
def test_impossible_thicknesses_are_refused(coating: float, total: float, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        coating_class(coating, total)


@pytest.mark.parametrize(("fibre", "other"), [(60.0, 40.0), (0.0, 100.0), (100.0, 0.0), (62.5, 37.5)])
def test_the_two_shares_make_the_whole(fibre: float, other: float) -> None:
    # 16 CFR 24.2(f) gives 60 and 40 per cent as its example; seen quoted only.
    assert other_share(fibre) == other


@pytest.mark.parametrize("fibre", [-1.0, 100.5, float("nan")])
def test_impossible_shares_are_refused(fibre: float) -> None:
    with pytest.raises(ValueError, match="share of fibre"):
        other_share(fibre)

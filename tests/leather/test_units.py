"""Units against the standards they come from, and the forms in which people write numbers."""

from __future__ import annotations

import contextlib
from decimal import Decimal
from functools import cache
from itertools import product

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.leather import units
from advisor.leather.units import UnitError, parse_quantity

# ASTM D1814-70 (2021) 1.2, read: 1 oz = 1/64 in = 0.0156 in (printed 0.396 mm); 1 iron = 1/48 in (0.53 mm).
# Exact values follow from 1 in = 25.4 mm.


@pytest.mark.parametrize(("ounces", "inch"), [(1, 1 / 64), (8, 1 / 8), (16, 1 / 4)])
def test_ounces_are_sixty_fourths_of_an_inch(ounces: int, inch: float) -> None:
    assert parse_quantity(f"{ounces} oz", "mm") == pytest.approx(inch * 25.4, abs=0.0006)
    assert units.ounces(inch * 25.4) == pytest.approx(ounces)


def test_printed_roundings_of_the_standard_hold() -> None:
    assert 0.396 <= parse_quantity("1 oz", "mm") <= 0.397
    assert 0.529 <= parse_quantity("1 iron", "mm") <= 0.530
    # A unit converter's page gives 1/42 in (0.605 mm) for the iron; the standard says 1/48.
    assert parse_quantity("1 iron", "mm") < 0.6


@pytest.mark.parametrize(("mm", "ounces", "irons"), [(3.175, 8, 6), (6.35, 16, 12), (25.4 * 10 / 48, 40 / 3, 10)])
def test_ounces_and_irons_agree(mm: float, ounces: float, irons: float) -> None:
    assert units.ounces(mm) == pytest.approx(ounces, abs=0.01)
    assert units.irons(mm) == pytest.approx(irons, abs=0.01)


@pytest.mark.parametrize(
    ("mm", "band"), [((2.8, 3.2), (7, 8)), ((0.8, 1.2), (2, 3)), ((3.2, 4.0), (8, 10)), ((3.0, 3.0), (7, 8))]
)
def test_bands_are_named_in_whole_ounces(mm: tuple[float, float], band: tuple[int, int]) -> None:
    # 3.0 mm = 7.56 oz falls in the 7-8 oz band (arithmetic on ASTM D1814); band widths common practice.
    assert units.ounce_band(*mm) == band


@pytest.mark.parametrize(
    ("mm", "said"),
    [
        ((0.4, 0.6), "1-1.5 oz (0.4 to 0.6 mm)"),
        ((0.6, 0.8), "1.5-2 oz (0.6 to 0.8 mm)"),
        ((1.0, 1.2), "2.5-3 oz (1 to 1.2 mm)"),
        ((1.2, 1.6), "3-4 oz (1.2 to 1.6 mm)"),
        ((2.8, 3.2), "7-8 oz (2.8 to 3.2 mm)"),
    ],
)
def test_thin_leather_is_asked_for_by_the_half_ounce(mm: tuple[float, float], said: str) -> None:
    # Arithmetic on ASTM D1814, 0.4 mm to the ounce; that linings are sold by the half ounce is common practice.
    assert units.show_weight(*mm, "inch") == said


@given(low=st.floats(0.4, 6), wide=st.floats(0.2, 2))
def test_the_ounces_asked_for_lie_near_the_window(low: float, wide: float) -> None:
    # A reading of the trade gauge is true to a quarter ounce (ASTM D1814); one band wide at least.
    first, last = (units.MM_PER_OUNCE * end for end in units.ounce_band(low, low + wide))
    assert last - first >= units.MM_PER_OUNCE / 2 - 1e-9
    widest = max(low + wide, (2 * low + wide) / 2 + units.MM_PER_OUNCE)
    assert min(low, (2 * low + wide) / 2 - units.MM_PER_OUNCE) - 0.1 <= first < last <= widest + 0.1


def test_soles_are_ordered_in_irons() -> None:
    # One iron is 1/48 in (ASTM D1814): 4.5 to 5.5 mm are 8.5 to 10.4 irons.
    assert units.show_ordered(4.5, 5.5, "iron") == "9-10 iron (4.5 to 5.5 mm)"
    assert units.show_ordered(3.2, 4.0, "ounce") == "8-10 oz (3.2 to 4 mm)"


def test_a_square_foot_is_exact() -> None:
    # 1 ft = 0.3048 m exactly; a page read prints 2.95 m2 = 31.75 sq ft and 45 sq ft = 4.18 m2.
    assert parse_quantity("1 square foot", "dm2") == pytest.approx(9.290304, abs=0.0005)
    assert units.square_feet(295) == pytest.approx(31.75, abs=0.01)
    assert parse_quantity("45 sq ft", "dm2") == pytest.approx(418, abs=0.5)


@pytest.mark.parametrize(("measured", "written"), [(22.08, "22"), (22.13, "22.25"), (22.38, "22.5")])
def test_machine_area_is_rounded_to_quarters(measured: float, written: str) -> None:
    # A trade page on machine measuring, read.
    assert units.quarter_feet(measured) == Decimal(written)


@pytest.mark.parametrize(
    ("area", "said"), [("5.25", "5 1/4"), ("5.5", "5 1/2"), ("5.75", "5 3/4"), ("22", "22"), ("0.25", "1/4")]
)
def test_quarters_are_said_as_fractions(area: str, said: str) -> None:
    assert units.show_quarters(Decimal(area)) == said


@pytest.mark.parametrize(
    ("mm", "said"), [(38, "38 mm"), (99, "99 mm"), (1270, "127 cm"), (1145, "114.5 cm"), (2000, "2 m"), (2540, "2.5 m")]
)
def test_a_length_is_said_in_the_unit_of_a_shop(mm: float, said: str) -> None:
    assert units.show_length(mm) == said


@pytest.mark.parametrize(("mm", "said"), [(792, "0.8 m"), (2000, "2 m"), (2001, "2.1 m"), (12306, "12.4 m")])
def test_what_is_used_up_is_bought_in_tenths_of_a_metre_upwards(mm: float, said: str) -> None:
    assert units.show_metres(mm) == said


def test_what_is_sold_by_its_size_has_both_measures() -> None:
    # 1270 mm is 50 in and 305 mm 12.008 in, by the inch of 25.4 mm.
    assert units.show_sold(1270) == "127 cm (50 in)"
    assert units.show_sold(305, "inch") == "12 in (30.5 cm)"


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("38 mm", 38),
        ("38mm", 38),
        ("3,8 cm", 38),
        ("1 1/2 in", 38.1),
        ('1 1/2"', 38.1),
        ("3/4 inch", 19.05),
        ("0.92 m", 920),
        ("36 in", 914.4),
        ("3 ft", 914.4),
        ("38", 38),
        ("8 oz", 3.175),
        ("12 irons", 6.35),
        (".5 in", 12.7),
    ],
)
def test_lengths_as_people_write_them(text: str, mm: float) -> None:
    assert parse_quantity(text, "mm") == pytest.approx(mm, abs=0.0006)


def test_an_ounce_of_load_is_a_mass() -> None:
    # International avoirdupois ounce, 28.349523125 g.
    assert parse_quantity("16 oz", "kg") == pytest.approx(0.45359237, abs=0.0006)


@pytest.mark.parametrize(("text", "celsius"), [("212 F", 100), ("40 degC", 40), ("-5 °C", -5)])
def test_temperatures(text: str, celsius: float) -> None:
    assert parse_quantity(text, "degC") == pytest.approx(celsius)


@pytest.mark.parametrize(
    ("text", "unit", "said"),
    [
        ("38 kg", "mm", "same kind"),
        ("five", "mm", "number"),
        ("", "mm", "number"),
        ("1,200 mm", "mm", "two ways"),
        ("1/0 in", "mm", "zero"),
        ("-4 mm", "mm", "negative"),
        ("38 mm wide", "mm", "number"),
        ("1e5 mm", "mm", "number"),
        ("1 kg\u017f", "kg", "number"),
        ("1/" + "3" * 5000, "mm", "number"),
        ("\u0663 mm", "mm", "number"),
    ],
)
def test_what_cannot_be_read_is_said(text: str, unit: str, said: str) -> None:
    with pytest.raises(UnitError, match=said):
        parse_quantity(text, unit)


@cache
def pints_own() -> pint.UnitRegistry[float]:
    """All that pint knows, with the two units of the trade, which it does not."""
    known: pint.UnitRegistry[float] = pint.UnitRegistry()
    known.define("oz_leather = inch / 64")
    known.define("iron = inch / 48")
    return known


# The first example builds all of the other library's units.
@settings(deadline=None)
@given(st.floats(0.01, 1e6), st.sampled_from(["mm", "cm", "m", "in", "ft"]))
def test_every_length_unit_agrees_with_pint(value: float, unit: str) -> None:
    expected = float(pints_own().Quantity(value, {"in": "inch", "ft": "foot"}.get(unit, unit)).to("mm").magnitude)
    assert parse_quantity(f"{value:.6f} {unit}", "mm") == pytest.approx(expected, rel=1e-4, abs=0.001)


def test_every_unit_is_worth_what_pint_says_and_meets_its_own_kind_alone() -> None:
    ours, theirs = units.registry(), pints_own()
    names = sorted({*units._SPELLINGS.values(), *units._CANONICAL.values(), "ounce"})
    assert len(names) > 20
    for one, other in product(names, names):
        alike = bool(theirs.Unit(one).is_compatible_with(theirs.Unit(other)))
        assert ours.Unit(one).is_compatible_with(ours.Unit(other)) == alike, (one, other)
        if alike:
            expected = theirs.Quantity(7.25, one).to(other).magnitude
            assert ours.Quantity(7.25, one).to(other).magnitude == pytest.approx(expected, rel=1e-14), (one, other)


@given(st.text(max_size=40))
def test_any_text_is_a_quantity_or_a_unit_error(text: str) -> None:
    with contextlib.suppress(UnitError):
        assert parse_quantity(text, "mm") >= 0


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (38.04, "mm", "38 mm"),
        (2.867, "mm", "2.87 mm"),
        (1.762, "m", "1.76 m"),
        (13.05, "ml", "13 ml"),
        (306.6, "ml", "307 ml"),
        (150.0, "g", "150 g"),
        (4.25, "g", "4.25 g"),
        (1.15, "percent", "1.15 %"),
        (11.77, "percent", "11.8 %"),
        (150.0, "ml/m2", "150 ml/m²"),
        (0.659, "g/cm**3", "0.66 g/cm³"),
        (2.0, "plain", "2"),
        (1.0, "day", "1 day"),
        (3.0, "day", "3 days"),
    ],
)
def test_quantities_as_a_person_reads_them(value: float, unit: str, said: str) -> None:
    assert units.show(value, unit) == said


# 1 in = 25.4 mm, 1 ft = 0.3048 m and 1 lb = 0.45359237 kg exactly: international yard and pound agreement of 1959,
# from memory.
@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (38.1, "mm", "1 1/2 in"),
        (25.4, "mm", "1 in"),
        (12.7, "mm", "1/2 in"),
        (3.175, "mm", "1/8 in"),
        (914.4, "mm", "36 in"),
        (1219.2, "mm", "48 in"),
        (1524.0, "mm", "5 ft"),
        (1676.4, "mm", "5 1/2 ft"),
        (1828.8, "mm", "6 ft"),
        (1854.2, "mm", "73 in"),
        (1158.9, "mm", "45 5/8 in"),
        (20.0, "mm", "0.79 in"),
        (0.0, "mm", "0 in"),
        (0.3048, "m", "1 ft"),
        (9.290304, "dm2", "1 sq ft"),
        (0.45359237, "kg", "1 lb (0.45 kg)"),
        (30.0, "kg", "66.1 lb (30 kg)"),
        (453.59237, "g", "1 lb"),
        (100.0, "degC", "212 °F"),
        (-40.0, "degC", "-40 °F"),
        (20.0, "MPa", "20 N/mm²"),
    ],
)
def test_quantities_as_somebody_reads_them_who_works_in_inches(value: float, unit: str, said: str) -> None:
    assert units.show(value, unit, "inch") == said


@given(st.floats(0.3, 20_000))
def test_inches_that_are_shown_are_read_back_as_the_same_size(mm: float) -> None:
    # Half a sixteenth of an inch on a long size, half a hundredth on a short one.
    near = 0.8 if mm >= 12 * 25.4 else 0.13
    assert parse_quantity(units.show(mm, "mm", "inch"), "mm") == pytest.approx(mm, abs=near)


@given(st.floats(0.3, 20_000))
def test_a_size_to_cut_is_a_whole_millimetre_or_a_sixteenth(mm: float) -> None:
    assert parse_quantity(units.show_cut(mm), "mm") == pytest.approx(mm, abs=0.5)
    inches = parse_quantity(units.show_cut(mm, "inch"), "mm") / 25.4 * 16
    assert inches == pytest.approx(round(inches), abs=0.01)
    assert inches > 0.99


def test_a_bare_number_is_read_in_the_measures_that_are_shown() -> None:
    assert parse_quantity("1 1/2", "mm", "inch") == pytest.approx(38.1)
    assert parse_quantity("10", "kg", "inch") == pytest.approx(4.536)
    assert parse_quantity("10 mm", "mm", "inch") == 10
    with pytest.raises(UnitError, match="such as 1 in"):
        parse_quantity("wide", "mm", "inch")


def test_both_measures_stand_side_by_side_with_the_preferred_one_first() -> None:
    assert units.show_weight(3.2, 4.0) == "3.2 to 4 mm (8-10 oz)"
    assert units.show_weight(3.2, 4.0, "inch") == "8-10 oz (3.2 to 4 mm)"
    assert units.show_area(9.290304, "inch") == "1 sq ft (9.29 dm²)"
    assert units.show_area(9.290304) == "9.29 dm² (1 sq ft)"
    assert units.show_thickness(3.2, "inch") == "3.2 mm (8.1 oz)"
    assert units.show_beside(10, "inch") == "3/8 in (10 mm)"
    assert units.show_beside(10) == "10 mm"


@pytest.mark.parametrize(
    ("mm", "inches"),
    [
        (25, 1),
        (12, 0.5),
        (75, 3),
        (38.1, 1.5),
        (30.2, 30.2 / 25.4),
        (4.2, 4.2 / 25.4),
        (300, 11.75),
        (320, 12.5),
        (914.4, 36),
        (920, 36),
    ],
)
def test_a_size_nobody_said_in_inches_is_told_as_a_rule_is_read(mm: float, inches: float) -> None:
    # Common practice: small work is measured to an eighth, cloth and straps over a foot to a half.
    assert units.in_round_inches(mm) / 25.4 == pytest.approx(inches)


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        ("A blank of 1270 mm is short.", "A blank of 50 in (1270 mm) is short."),
        ("Leather of 1.6 mm, or 0.4-0.6 mm.", "Leather of 1.6 mm, or 0.4-0.6 mm."),
        ("20 to 30 mm, 254 mm x 127 mm.", "3/4 to 1 1/8 in (20 to 30 mm), 10 x 5 in (254 mm x 127 mm)."),
        ("From 25.4-50.8 mm.", "From 1 to 2 in (25-51 mm)."),
        ("3.2 mm for a blade to 127 mm.", "3.2 mm for a blade to 5 in (127 mm)."),
        ("(38.1 mm - 5 mm) x 51 mm / 2", "(38.1 mm - 5 mm) x 51 mm / 2"),
        ("3 mm + 22.4 mm = 25.4 mm.", "3 mm + 22.4 mm = 1 in (25.4 mm)."),
        ("weight at least 3.2 mm", "weight at least 3.2 mm (8.1 oz)"),
        ("50.8 mm (2 in) already, 30 x 60 cm (12 x 24 in).", "2 in (50.8 mm) already, 12 x 24 in (30 x 60 cm)."),
        ("A strap of 90 cm.", "A strap of 35 1/2 in (90 cm)."),
        ('He said "a 50.8 mm strap", not 25.4 mm.', 'He said "a 50.8 mm strap", not 1 in (25 mm).'),
        ('Jeans loops take "38.1 mm".', 'Jeans loops take "38.1 mm" (1 1/2 in).'),
    ],
)
def test_lengths_in_a_sentence_get_their_inches_first_and_sums_stay(sentence: str, said: str) -> None:
    assert units.beside_in(sentence, "inch") == said
    assert units.beside_in(sentence) == sentence

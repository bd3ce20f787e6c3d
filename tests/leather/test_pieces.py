"""Sizes as they are written, and what a set of pieces adds up to."""

from __future__ import annotations

from dataclasses import replace

import pytest
from by_pint import u
from hypothesis import given
from hypothesis import strategies as st
from leather_tables import BELT, SQUARE_FOOT, TOTE

from advisor.leather.pieces import (
    Piece,
    Term,
    attributes_in,
    longest_piece,
    net_area,
    parse_size,
    size,
    substituted_size,
    widest_piece,
)

VALUES = {"waist": 920.0, "height": 100.0, "strap_width": 38.0, "blade_spine": 20.0, "width": 150.0}


@pytest.mark.parametrize(
    ("text", "millimetres", "said"),
    [
        ("waist + 245 mm", 1165, "920 mm + 245 mm = 1165 mm"),
        ("2 x height + 5 mm", 205, "2 x 100 mm + 5 mm = 205 mm"),
        ("strap_width", 38, "38 mm"),
        ("1.6 x blade_spine + 13 mm", 45, "1.6 x 20 mm + 13 mm = 45 mm"),
        ("110 mm", 110, "110 mm"),
        ("height - 1 inch", 74.6, "100 mm - 25.4 mm = 74.6 mm"),
        ("2 x width + 1.6 x blade_spine + 1.3 cm", 345, "2 x 150 mm + 1.6 x 20 mm + 13 mm = 345 mm"),
        ("waist-6mm", 914, "920 mm - 6 mm = 914 mm"),
        ("0.1 m + 1 ft", 404.8, "100 mm + 304.8 mm = 404.8 mm"),
    ],
)
def test_sizes_are_read_reckoned_and_said(text: str, millimetres: float, said: str) -> None:
    terms = parse_size(text)

    assert size(terms, VALUES) == pytest.approx(millimetres)
    assert substituted_size(terms, VALUES) == said


def test_the_attributes_of_a_size_are_named() -> None:
    assert attributes_in(parse_size("2 x height + waist - 5 mm")) == {"height", "waist"}
    assert parse_size("2 x height - 5 mm") == (Term(2, "height"), Term(-5))


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "write terms"),
        ("waist +", "write terms"),
        ("- 5 mm", "write terms"),
        ("waist * 2", "write terms"),
        ("2 x (height + 5 mm)", "write terms"),
        ("245", "write terms"),
        ("waist + mm", "'5 mm'"),
        ("2 height", "2 x height"),
        ("3 kg", "kg"),
        ("2 x mm", "unit"),
        ("__import__", "write terms"),
        ("1 x " * 60, "characters"),
    ],
)
def test_other_texts_are_refused_with_what_would_do(text: str, word: str) -> None:
    with pytest.raises(ValueError, match=word.replace("(", r"\(")):
        parse_size(text)


def test_a_size_says_what_it_misses() -> None:
    terms = parse_size("hand_girth + 20 mm")

    with pytest.raises(ValueError, match="hand_girth"):
        size(terms, VALUES)
    with pytest.raises(ValueError, match="hand_girth"):
        substituted_size(terms, VALUES)


def test_a_size_below_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        size(parse_size("height - 100 mm"), VALUES)


@given(
    factor=st.integers(1, 9),
    value=st.floats(1, 2000),
    allowance=st.integers(1, 300),
    sign=st.sampled_from("+-"),
)
def test_sizes_agree_with_plain_arithmetic(factor: int, value: float, allowance: int, sign: str) -> None:
    expected = factor * value + (allowance if sign == "+" else -allowance)
    terms = parse_size(f"{factor} x height {sign} {allowance} mm")

    if expected > 0:
        assert size(terms, {"height": value}) == pytest.approx(expected)
    else:
        with pytest.raises(ValueError, match="above zero"):
            size(terms, {"height": value})


@given(value=st.floats(1, 2000), more=st.floats(0, 2000))
def test_a_longer_waist_is_never_a_shorter_belt(value: float, more: float) -> None:
    terms = parse_size("waist + 245 mm")

    assert size(terms, {"waist": value + more}) >= size(terms, {"waist": value})


def test_belt_length_of_the_trade() -> None:
    """Common practice, arithmetic only: fold 80, two holes of 25, tip 115; a waist of 900 is cut at 1145."""
    assert size(parse_size("waist + 80 mm + 50 mm + 115 mm"), {"waist": 900}) == 1145
    assert size(parse_size("waist + 245 mm"), {"waist": 900}) == 1145


@pytest.mark.parametrize(("blank", "longest_waist"), [(1270, 1025), (1520, 1275), (1800, 1555)])
def test_longest_waist_of_a_blank(blank: float, longest_waist: float) -> None:
    """Common practice, arithmetic only."""
    assert size(parse_size("waist + 245 mm"), {"waist": longest_waist}) == blank


@pytest.mark.parametrize(
    ("holds", "length", "width"),
    [("card", 85.60, 53.98), ("passport", 125, 88), ("note", 155.96, 66.29)],
)
def test_a_pocket_exceeds_what_it_holds(holds: str, length: float, width: float) -> None:
    """ISO/IEC 7810 ID-1 and ID-3 (SEEN-2), US note (SEEN-2), +-0.01 mm: seams and ease come on top."""
    pocket = Piece(
        f"{holds} pocket",
        "pocket",
        1,
        size(parse_size("length + 14 mm"), {"length": length}),
        size(parse_size("width + 10 mm"), {"width": width}),
    )

    assert pocket.length_mm - 14 == pytest.approx(length, abs=0.01)
    assert longest_piece([pocket]) > length
    assert widest_piece([pocket]) > width
    assert net_area([pocket]) > length * width / 10_000


def test_net_area_of_the_trade() -> None:
    """Common practice, arithmetic only: a belt of 4.5 dm2 and a light tote of 51.9 dm2."""
    assert net_area(BELT) == pytest.approx(4.5, abs=0.05)
    assert net_area(TOTE) == pytest.approx(51.9, abs=0.05)
    assert (longest_piece(TOTE), widest_piece(TOTE)) == (650, 400)


def test_six_square_pads() -> None:
    """Six pads of 24 x 24 in are 24 sq ft net: arithmetic on a trade page's example (SEEN-2)."""
    assert net_area([Piece("pad", "body", 6, 609.6, 609.6)]) == pytest.approx(24 * SQUARE_FOOT)


def test_lace_is_left_out() -> None:
    lace = Piece("tie", "lace", 2, 900, 6)

    assert net_area([*BELT, lace]) == net_area(BELT)
    assert longest_piece([Piece("face", "body", 1, 260, 200), lace]) == 260
    for formula in (net_area, longest_piece, widest_piece):
        with pytest.raises(ValueError, match="no piece"):
            formula([lace])


@given(count=st.integers(1, 9), length=st.floats(5, 2000), width=st.floats(5, 900), more=st.floats(0, 500))
def test_bigger_pieces_are_never_less_area(count: int, length: float, width: float, more: float) -> None:
    piece = Piece("face", "body", count, length, width)
    before = net_area([piece])

    assert net_area([replace(piece, length_mm=length + more)]) >= before
    assert net_area([replace(piece, width_mm=width + more)]) >= before
    assert net_area([replace(piece, count=count + 1)]) >= before


def test_areas_and_lengths_keep_their_dimensions() -> None:
    piece = Piece("face", "body", 2, u.Quantity(10.0, "inch"), u.Quantity(1.0, "ft"))  # type: ignore[arg-type]

    assert net_area([piece, piece]).check("[length] ** 2")  # type: ignore[attr-defined]
    assert longest_piece([piece]).to("mm").magnitude == pytest.approx(254)  # type: ignore[attr-defined]
    assert widest_piece([piece]).to("mm").magnitude == pytest.approx(304.8)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"count": 0}, "count"),
        ({"length_mm": 0}, "length"),
        ({"width_mm": -1}, "width"),
        ({"along": "up"}, "either"),
    ],
)
def test_impossible_pieces_are_refused(change: dict[str, object], word: str) -> None:
    with pytest.raises(ValueError, match=word):
        replace(BELT[0], **change)  # type: ignore[arg-type]

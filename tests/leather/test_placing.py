"""Placing against instances whose least number of panels is known beforehand."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.leather.placing import KERF_MM, Placed, place

Size = tuple[int, int]


def guillotine(length: int, width: int, cuts: list[tuple[bool, float]]) -> list[Size]:
    """Cut a rectangle into one piece more than *cuts* by straight cuts that lose one kerf each.

    Every cut goes through the largest piece left. The pieces fill the rectangle, so one panel is the
    known optimum.
    """
    pieces = [(length, width)]
    for lengthwise, share in cuts:
        pieces.sort(key=lambda p: p[0] * p[1])
        along, across = pieces.pop()
        cut_length = lengthwise if min(along, across) > 2 else along > across
        side = along if cut_length else across
        first = max(1, min(side - KERF_MM - 1, round(side * share)))
        rest = side - KERF_MM - first
        pieces += [(first, across), (rest, across)] if cut_length else [(along, first), (along, rest)]
    return pieces


def check_panels(panels: tuple[tuple[Placed, ...], ...], sizes: list[Size], length: int, width: int) -> None:
    """Every piece is there once, inside its panel and a kerf away from every other."""
    assert sorted((p.length, p.width) for panel in panels for p in panel) == sorted(sizes)
    for panel in panels:
        assert panel
        for p in panel:
            assert p.x >= 0
            assert p.y >= 0
            assert p.x + p.length <= length
            assert p.y + p.width <= width
        for p, q in combinations(panel, 2):
            apart_along = p.x + p.length + KERF_MM <= q.x or q.x + q.length + KERF_MM <= p.x
            apart_across = p.y + p.width + KERF_MM <= q.y or q.y + q.width + KERF_MM <= p.y
            assert apart_along or apart_across


KNOWN = {
    "halves of a square": (305, 305, [(True, 0.5)]),
    "quarters of a square": (305, 305, [(True, 0.5), (False, 0.5), (False, 0.5)]),
    "strips": (610, 305, [(True, 1 / 4), (True, 1 / 3), (True, 1 / 2)]),
    "wallet": (610, 305, [(True, 0.4), (False, 0.7), (False, 0.35), (True, 0.5)]),
    "bag": (610, 610, [(False, 0.62), (True, 0.55), (True, 0.3), (False, 0.5), (True, 0.4), (False, 0.25)]),
}


@pytest.mark.parametrize("name", KNOWN)
def test_guillotine_cuttings_go_back_on_one_panel(name: str) -> None:
    """Made for this test: pieces cut out of one panel by guillotine, so the known optimum is that panel."""
    length, width, cuts = KNOWN[name]
    sizes = guillotine(length, width, cuts)
    panels = place(sizes, length, width)

    check_panels(panels, sizes, length, width)
    assert len(sizes) == len(cuts) + 1
    assert len(panels) == 1


def test_one_millimetre_more_takes_a_second_panel() -> None:
    """The near miss of the perfect cutting: the optimum is two panels."""
    assert len(place([(152, 305), (152, 305)], 305, 305)) == 1
    assert len(place([(152, 305), (153, 305)], 305, 305)) == 2


def test_pieces_are_not_turned() -> None:
    assert len(place([(100, 300), (100, 300), (100, 300)], 305, 305)) == 1
    with pytest.raises(ValueError, match="does not go"):
        place([(300, 400)], 610, 305)
    with pytest.raises(ValueError, match="306 x 10"):
        place([(305.2, 10)], 305, 305)


def test_fractions_of_a_millimetre_are_rounded_the_safe_way() -> None:
    ((placed,),) = place([(85.6, 53.98)], 100.9, 60.9)

    assert (placed.length, placed.width) == (86, 54)
    with pytest.raises(ValueError, match="100 x 60"):
        place([(100.2, 50)], 100.9, 60.9)


def test_nothing_needs_no_panel() -> None:
    assert place([], 305, 305) == ()


sides = st.integers(5, 305)


@settings(max_examples=60, deadline=None)
@given(sizes=st.lists(st.tuples(sides, sides), min_size=1, max_size=14))
def test_placings_are_sound_and_never_beat_the_area(sizes: list[Size]) -> None:
    panels = place(sizes, 305, 305)
    area = sum(along * across for along, across in sizes)

    check_panels(panels, sizes, 305, 305)
    assert math.ceil(area / 305**2) <= len(panels) <= len(sizes)


@settings(max_examples=60, deadline=None)
@given(
    cuts=st.lists(st.tuples(st.booleans(), st.floats(0.2, 0.8)), min_size=1, max_size=7),
)
def test_any_guillotine_cutting_comes_near_its_optimum(cuts: list[tuple[bool, float]]) -> None:
    """Made for this test: known optimum one panel; a quick placing may take one more, never a third."""
    sizes = guillotine(610, 305, cuts)
    panels = place(sizes, 610, 305)

    check_panels(panels, sizes, 610, 305)
    assert len(panels) <= 2


def test_the_same_pieces_are_placed_the_same_way() -> None:
    sizes = guillotine(610, 610, KNOWN["bag"][2]) * 3

    assert place(sizes, 610, 610) == place(sizes[::-1], 610, 610)

"""Thread: published numbering, the table of common practice, and the laws any seam must keep."""

from __future__ import annotations

import pytest
from by_pint import u
from hypothesis import given
from hypothesis import strategies as st

from advisor.leather.stack import Zone
from advisor.leather.thread import (
    ENDS_MM,
    metric_ticket,
    pitch_for,
    pitch_range,
    saddle_thread_length,
    stitch_pitch,
    stitches_per_inch,
    thread_range,
    thread_size,
    thread_tex,
)

FOOT = 304.8

lengths = st.floats(1, 5000)
weights = st.floats(0.3, 8)
pitches = st.floats(2, 8)


@pytest.mark.parametrize(
    ("tex", "ticket"),
    [(40, 75), (1000 / (80 / 2), 120), (1000 / (60 / 2), 90), (1000 / (80 / 4), 60), (1000 / 60, 180)],
)
def test_metric_tickets(tex: float, ticket: float) -> None:
    """Thread-numbering tutorials, second hand (SEEN-2): Tex 40; Nm 80/2, 60/2, 80/4, 60/1, tex = 1000 / Nm."""
    assert metric_ticket(tex) == pytest.approx(ticket)


@given(size=st.floats(0.1, 2), more=st.floats(0.01, 2))
def test_a_thicker_thread_has_the_larger_tex_and_the_smaller_ticket(size: float, more: float) -> None:
    """A published chart gives thinner threads the larger tex; that is the wrong way round (negative test)."""
    assert thread_tex(size + more) > thread_tex(size)
    assert metric_ticket(thread_tex(size + more)) < metric_ticket(thread_tex(size))


def test_tex_is_mass_for_each_kilometre() -> None:
    """Definition (SEEN-2): grams in 1000 m; a thread of 1 mm2 that weighs 1 g/cm3 is Tex 1000."""
    diameter = 2 / 3.141592653589793**0.5

    assert thread_tex(diameter) == pytest.approx(1000)
    assert thread_tex(diameter, density=0.9) == pytest.approx(900)


@pytest.mark.parametrize(
    ("weight", "size", "pitch"),
    [
        (0.8, (0.35, 0.5), (2.7, 3.4)),
        (1.199, (0.35, 0.5), (2.7, 3.4)),
        (1.2, (0.5, 0.6), (3.4, 4)),
        (1.999, (0.5, 0.6), (3.4, 4)),
        (2.0, (0.6, 0.8), (4, 5)),
        (3.2, (0.6, 0.8), (4, 5)),
        (3.201, (0.8, 1.0), (5, 6)),
        (5.0, (0.8, 1.0), (5, 6)),
    ],
)
def test_the_table_of_the_trade(weight: float, size: tuple[float, float], pitch: tuple[float, float]) -> None:
    """Common practice: both sides of every step; the middle of each range is taken."""
    assert (thread_range(weight).size, thread_range(weight).pitch) == (size, pitch)
    assert thread_size(weight) == pytest.approx((size[0] + size[1]) / 2)
    assert stitch_pitch(weight) == pytest.approx((pitch[0] + pitch[1]) / 2)


@given(weight=weights, more=weights)
def test_thicker_leather_never_takes_thinner_thread_or_closer_stitches(weight: float, more: float) -> None:
    assert thread_size(weight + more) >= thread_size(weight)
    assert stitch_pitch(weight + more) >= stitch_pitch(weight)


@pytest.mark.parametrize(
    ("stitches", "pitch"), [(5, 5.08), (6, 4.23), (7, 3.63), (8, 3.18), (9, 2.82), (10, 2.54), (12, 2.12)]
)
def test_stitches_in_an_inch(stitches: float, pitch: float) -> None:
    """DERIVED from 1 in = 25.4 mm; the pitches are rounded to 0.01 mm, at most 0.25% of them."""
    assert stitches_per_inch(pitch) == pytest.approx(stitches, rel=0.0025)


@pytest.mark.parametrize(
    ("seam", "pitch", "stack", "metres"),
    [(300, 4, 3, 1.45), (400, 3.4, 2.4, 1.76), (2400, 5, 6.4, 11.3), (520, 4, 9.6, 3.94)],
    ids=["300 mm", "400 mm", "belt", "sheath"],
)
def test_thread_lengths_of_the_trade(seam: float, pitch: float, stack: float, metres: float) -> None:
    """Common practice: agreement of arithmetic with the trade's examples, as printed."""
    halves = Zone("seam", "sewn", 2, 0, seam_mm=seam)
    lined = Zone("seam", "sewn", 1, stack / 2, seam_mm=seam)

    for zone in (halves, lined):
        assert saddle_thread_length([zone], stack / 2, pitch) == pytest.approx(
            metres, abs=0.05 if metres > 10 else 0.006
        )


@given(seam=lengths, pitch=pitches)
def test_a_stack_as_thick_as_the_pitch_takes_four_seams(seam: float, pitch: float) -> None:
    """A craft page, second hand (SEEN-2): four times the seam and a foot; our ends are 95 mm longer."""
    zone = Zone("seam", "sewn", 2, 0, seam_mm=seam)
    by_the_page = (4 * seam + FOOT) / 1000

    assert saddle_thread_length([zone], pitch / 2, pitch) == pytest.approx(by_the_page + (ENDS_MM - FOOT) / 1000)


@given(seam=lengths, more=lengths, lining=st.floats(0, 3), weight=weights, pitch=pitches)
def test_a_longer_or_thicker_seam_never_takes_less_thread(
    seam: float, more: float, lining: float, weight: float, pitch: float
) -> None:
    short = saddle_thread_length([Zone("seam", "sewn", 2, 0, seam_mm=seam)], weight, pitch)

    assert saddle_thread_length([Zone("seam", "sewn", 2, 0, seam_mm=seam + more)], weight, pitch) >= short
    assert saddle_thread_length([Zone("seam", "sewn", 2, lining, seam_mm=seam)], weight, pitch) >= short


@given(seam=lengths, other=lengths, weight=weights, pitch=pitches)
def test_seams_add_up_and_zones_without_one_take_nothing(
    seam: float, other: float, weight: float, pitch: float
) -> None:
    first, second = Zone("front", "sewn", 2, 0, seam_mm=seam), Zone("gusset", "sewn", 3, 1, seam_mm=other)
    without = (Zone("glued hem", "sewn", 2, 0), Zone("anchor", "riveted", 4, 0))
    alone = [saddle_thread_length([zone], weight, pitch) for zone in (first, second)]

    assert saddle_thread_length([first, *without, second], weight, pitch) == pytest.approx(sum(alone))


def test_thread_keeps_its_dimensions() -> None:
    mm = u.Quantity(1.0, "mm")
    zone = Zone("seam", "sewn", 2, 1 * mm, seam_mm=30 * u.Quantity(1.0, "cm"))  # type: ignore[arg-type]
    plain = Zone("seam", "sewn", 2, 1, seam_mm=300)
    length = saddle_thread_length([zone], 1 * mm, 4 * mm, ends=400 * mm)

    # The function divides by 1000 because it takes mm and returns m; a quantity carries that itself.
    assert (1000 * length).to("m").magnitude == pytest.approx(  # type: ignore[attr-defined]
        saddle_thread_length([plain], 1, 4)
    )
    tex = thread_tex(0.5 * mm, density=u.Quantity(1.0, "g/cm**3")) / 1000
    assert tex.to("g/km").magnitude == pytest.approx(thread_tex(0.5))  # type: ignore[attr-defined]


@pytest.mark.parametrize("function", [thread_size, stitch_pitch, stitches_per_inch, thread_tex, metric_ticket])
def test_impossible_numbers_are_refused(function) -> None:  # type: ignore[no-untyped-def]
    for value in (0, -1, float("nan"), float("inf")):
        with pytest.raises(ValueError, match="must be"):
            function(value)


def test_impossible_seams_are_refused() -> None:
    seam = Zone("seam", "sewn", 2, 0, seam_mm=300)
    with pytest.raises(ValueError, match="no seam"):
        saddle_thread_length([Zone("edge", "sewn", 2, 0)], 2, 4)
    with pytest.raises(ValueError, match="pitch"):
        saddle_thread_length([seam], 2, 0)
    with pytest.raises(ValueError, match="main leather"):
        saddle_thread_length([seam], 0, 4)


@pytest.mark.parametrize(
    ("weight", "closest", "widest"), [(1.0, 2.7, 3.4), (1.6, 3.4, 4.0), (2.4, 3.175, 4.233), (4.0, 3.175, 4.233)]
)
def test_turns_under_load_take_six_to_eight_stitches_to_the_inch(weight: float, closest: float, widest: float) -> None:
    """Common practice of saddlers; 25.4 mm over 8 and over 6. Thinner leather is sewn finer still."""
    seam = (Zone("turn", "sewn", 2, 0, seam_mm=100),)
    assert pitch_range(weight, seam, "yes") == pytest.approx((closest, widest), abs=1e-3)
    assert pitch_for(weight, seam, "yes") <= pitch_for(weight, seam, "no")
    assert pitch_for(weight, seam, "no") == stitch_pitch(weight)

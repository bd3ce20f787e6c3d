"""Money: hand-worked totals, areas rounded up to buy, and laws that hold for every price."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from leather_tables import BELT, SPARE_EVERY, SQUARE_FOOT, TABLES

from advisor.codes import Saying, say
from advisor.leather.cutting import forms_needed
from advisor.leather.forms import Form
from advisor.leather.price import (
    Per,
    Price,
    Quote,
    net_cost,
    quarter_feet_to_buy,
    quote,
    spare_items,
)
from advisor.leather.rows import blanks
from advisor.leather.units import quarter_feet
from advisor.rulebase.models import RuleBase

EIGHT_TO_TEN = 3.175, 3.969


def price(
    form: str,
    amount: str,
    per: Per = "piece",
    band: tuple[float, float] = EIGHT_TO_TEN,
    width: float | None = None,
    line: int = 1,
) -> Price:
    return Price(form, "veg_bridle", *band, Decimal(amount), per, width, line)


def ask(form: str, count: int, area: float, *prices: Price, widths: tuple[float, ...] = (), **keys: Any) -> Quote:
    window = {"tannage": "veg_bridle", "low_mm": 3.2, "high_mm": 4.0} | keys
    return quote(form, count, area, prices=prices, currency="EUR", widths=widths, **window)


BLANK = price("strap_blank_1270", "19.50", width=38, line=9)
BEND = price("bend", "168.00", line=15)


def belts(name: str, quantity: int) -> Quote:
    row: dict[str, Any] = {column: table[name] for column, table in TABLES.items()}
    count = forms_needed(Form(name=name, rate=row.pop("cost"), **row), BELT, quantity)
    widths = blanks({(p.length_mm, p.width_mm): p.count * quantity for p in BELT}, row["length"])
    area = count.gross_dm2 + count.leftover_dm2
    return ask(name, count.count, area, BLANK, BEND, widths=tuple(widths) if row["sold"] == "strap" else ())


# 168.00 / 19.50 = 8.6: eight blanks are 156.00, nine are 175.50, and a bend holds 13 belts (arithmetic).
@pytest.mark.parametrize(
    ("quantity", "from_blanks", "from_bend", "wins"),
    [
        (1, "19.50", "168.00", "strap_blank_1270"),
        (8, "156.00", "168.00", "strap_blank_1270"),
        (9, "175.50", "168.00", "bend"),
        (10, "195.00", "168.00", "bend"),
    ],
)
def test_belts_break_even_at_nine(quantity: int, from_blanks: str, from_bend: str, wins: str) -> None:
    quotes = belts("strap_blank_1270", quantity), belts("bend", quantity)
    assert [q.total for q in quotes] == [Decimal(from_blanks), Decimal(from_bend)]
    assert min(quotes, key=lambda q: q.total or Decimal("Infinity")).form == wins


# The last column but one is read on a trade page about measuring machines; the last follows from "upwards".
@pytest.mark.parametrize(
    ("square_feet", "machine", "bought"),
    [("22.08", "22.00", "22.25"), ("22.13", "22.25", "22.25"), ("22.38", "22.50", "22.50"), ("22", "22", "22")],
)
def test_machines_round_to_the_nearest_quarter_and_buyers_upwards(square_feet: str, machine: str, bought: str) -> None:
    assert quarter_feet(float(square_feet)) == Decimal(machine)
    assert quarter_feet_to_buy(Decimal(square_feet)) == Decimal(bought)


@given(st.decimals(min_value="0.01", max_value=500, places=2))
def test_buyers_never_get_less_than_the_machine_marks(square_feet: Decimal) -> None:
    bought = quarter_feet_to_buy(square_feet)
    assert quarter_feet(float(square_feet)) <= bought < square_feet + Decimal("0.25")
    assert bought >= square_feet
    assert bought * 4 == int(bought * 4)


@pytest.mark.parametrize(
    ("per", "amount", "count", "area", "total"),
    [
        ("piece", "168.00", 3, 294.0, "504.00"),
        # 98 dm2 are 10.549 sq ft, paid as 10.75 for each bend: each skin is measured by itself.
        ("square foot", "15.90", 1, 98.0, "170.93"),
        ("square foot", "15.90", 2, 196.0, "341.85"),
        ("square foot", "10.00", 3, 30 * SQUARE_FOOT, "300.00"),
        ("square foot", "10.00", 1, 2.5 * SQUARE_FOOT, "25.00"),
        ("dm2", "0.74", 1, 60.0, "44.40"),
        ("dm2", "0.0150", 1, 1.0, "0.02"),
        ("m2", "43.00", 2, 446.0, "191.78"),
    ],
)
def test_total_by_hand(per: Per, amount: str, count: int, area: float, total: str) -> None:
    found = ask("bend", count, area, price("bend", amount, per))
    assert (found.total, found.unit_price, found.per) == (Decimal(total), Decimal(amount), per)
    assert found.total is not None
    assert found.total.as_tuple().exponent == -2


def test_the_band_that_shares_most_wins_although_dearer() -> None:
    thin = price("bend", "90.00", band=(2.778, 3.3), line=1)
    thick = price("bend", "190.00", band=(3.9, 4.763), line=3)
    assert ask("bend", 1, 98.0, thin, BEND, thick).lines == (15,)


def test_of_equal_bands_the_one_that_comes_out_cheaper_wins() -> None:
    by_foot = price("bend", "15.00", "square foot", line=20)
    assert ask("bend", 1, 98.0, BEND, by_foot).total == Decimal("161.25")
    assert ask("bend", 1, 110.0, BEND, by_foot).total == Decimal("168.00")


def test_a_single_thickness_lies_in_a_band_and_a_shared_end_does_not_count() -> None:
    seven_to_eight = price("bend", "150.00", band=(2.778, 3.175), line=3)
    assert ask("bend", 1, 98.0, seven_to_eight, low_mm=3.0, high_mm=3.0).total == Decimal("150.00")
    assert ask("bend", 1, 98.0, seven_to_eight, low_mm=3.175, high_mm=3.5).total is None


def test_each_blank_pays_for_its_own_width() -> None:
    narrow = price("strap_blank_1270", "13.00", width=25, line=4)
    any_width = price("strap_blank_1270", "40.00", line=12)
    found = ask("strap_blank_1270", 4, 20.0, narrow, BLANK, any_width, widths=(38, 12, 25, 60))
    assert found.total == Decimal("19.50") + 2 * Decimal("13.00") + Decimal("40.00")
    assert (found.unit_price, found.per, found.lines) == (None, None, (4, 9, 12))


@pytest.mark.parametrize(
    ("found", "why"),
    [
        (ask("bend", 0, 0.0, BEND), say("nothing_to_buy")),
        (ask("side", 1, 204.0, BEND), say("not_priced", form="side", tannage="veg_bridle")),
        (ask("bend", 1, 98.0, BEND, tannage="latigo"), say("not_priced", form="bend", tannage="latigo")),
        (
            ask("bend", 1, 98.0, BEND, low_mm=1.0, high_mm=1.4),
            say("only_thicker_priced", form="bend", tannage="veg_bridle", low_mm=1.0, high_mm=1.4),
        ),
        (
            ask("strap_blank_1270", 1, 6.4, BLANK, widths=(50,)),
            say("width_not_priced", form="strap_blank_1270", tannage="veg_bridle", width_mm=50),
        ),
        (
            ask("strap_blank_1270", 1, 4.8, BLANK),
            say("width_not_stated", form="strap_blank_1270", tannage="veg_bridle"),
        ),
    ],
)
def test_what_has_no_price_says_why(found: Quote, why: Saying) -> None:
    assert found == Quote(found.form, None, "EUR", None, None, why, ())


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"low_mm": 4.0, "high_mm": 3.2}, "cannot run from"),
        ({"widths": (38.0,)}, "1 widths for 2 blanks"),
        ({"area": 0.0}, "area bought must be above zero"),
        ({"area": float("nan")}, "finite"),
    ],
)
def test_impossible_purchases_are_refused(keys: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        ask("bend", 2, keys.pop("area", 196.0), BEND, **keys)


@pytest.mark.parametrize(
    ("worth", "net"),
    [(0.5, "147.00"), (0.3, "155.40"), (0.0, "168.00")],
)
def test_leftover_counts_with_what_it_is_worth(worth: float, net: str) -> None:
    """A quarter of 168.00 is left: 42.00, of which a half, three tenths or nothing counts."""
    assert net_cost(Decimal("168.00"), 24.5, 98.0, worth) == Decimal(net)


def test_what_leftover_is_worth_and_how_many_spares_are_made(rulebase: RuleBase) -> None:
    """Common practice; somebody who makes for a living uses up more and spoils less."""
    experience = rulebase.attributes["experience"]
    learners = ("first_piece", "beginner", "intermediate")

    assert experience.table("offcut_worth") == {**dict.fromkeys(learners, 0.3), "professional": 0.5}
    assert experience.table("spare_every") == {**dict.fromkeys(learners, 5), "professional": 10}


@pytest.mark.parametrize(
    ("leftover", "bought", "says"), [(-1.0, 98.0, "below zero"), (99.0, 98.0, "more than"), (0.0, 0.0, "above zero")]
)
def test_impossible_leftover_is_refused(leftover: float, bought: float, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        net_cost(Decimal(1), leftover, bought, 0.3)


@pytest.mark.parametrize("worth", [-0.1, 1.1])
def test_leftover_is_worth_no_more_than_its_price(worth: float) -> None:
    with pytest.raises(ValueError, match="from 0 to 1"):
        net_cost(Decimal(1), 0.5, 1.0, worth)


@pytest.mark.parametrize(
    ("quantity", "learning", "living"), [(1, 0, 0), (4, 0, 0), (5, 1, 0), (9, 1, 0), (10, 2, 1), (23, 4, 2)]
)
def test_spares(quantity: int, learning: int, living: int) -> None:
    assert tuple(spare_items(quantity, who, SPARE_EVERY) for who in ("beginner", "professional")) == (learning, living)


money = st.decimals(min_value="0.01", max_value=2000, places=2)
pers: st.SearchStrategy[Per] = st.sampled_from(("piece", "square foot", "dm2", "m2"))
bands = st.sampled_from(((2.778, 3.175), EIGHT_TO_TEN, (3.0, 3.6), (3.969, 4.763)))
lists = st.lists(
    st.builds(
        lambda amount, per, band, width, line: Price("bend", "veg_bridle", *band, amount, per, width, line),
        money,
        pers,
        bands,
        st.sampled_from((None, 25.0, 38.0, 50.0)),
        st.integers(1, 99),
    ),
    min_size=1,
    max_size=5,
)
straps = st.lists(st.integers(10, 60), min_size=1, max_size=8)


def blanks_quote(prices: list[Price], widths: list[int]) -> Quote:
    return ask("bend", len(widths), sum(widths) * 1270 / 10_000, *prices, widths=tuple(map(float, widths)))


@given(lists, straps, straps)
def test_more_pieces_never_cost_less(prices: list[Price], widths: list[int], more: list[int]) -> None:
    few, many = blanks_quote(prices, widths), blanks_quote(prices, widths + more)
    if few.total is None:
        assert many.total is None
    elif many.total is not None:
        assert many.total >= few.total


@given(lists, st.integers(1, 40), st.integers(0, 40), st.integers(1, 250))
def test_more_of_a_hide_never_costs_less(prices: list[Price], count: int, more: int, area: int) -> None:
    few, many = (ask("bend", n, float(n * area), *prices) for n in (count, count + more))
    assert (few.total is None) == (many.total is None)
    if few.total is not None and many.total is not None:
        assert many.total >= few.total


@given(lists, st.integers(0, 4), money, straps)
def test_a_higher_price_never_lowers_the_total(prices: list[Price], at: int, rise: Decimal, widths: list[int]) -> None:
    old = prices[at % len(prices)]
    raised = Price(old.form, old.tannage, old.low_mm, old.high_mm, old.amount + rise, old.per, old.width_mm, old.line)
    before, after = blanks_quote(prices, widths), blanks_quote([raised if p is old else p for p in prices], widths)
    assert (before.total is None) == (after.total is None)
    if before.total is not None and after.total is not None:
        assert after.total >= before.total


@given(lists, straps)
def test_the_order_of_the_list_does_not_matter(prices: list[Price], widths: list[int]) -> None:
    assert blanks_quote(prices, widths).total == blanks_quote(prices[::-1], widths).total


@given(money, st.integers(1, 50), st.integers(1, 300), st.floats(0, 0.5))
def test_net_cost_lies_between_half_and_the_whole(total: Decimal, leftover: int, used: int, worth: float) -> None:
    net = net_cost(total, float(leftover), float(leftover + used), worth)
    assert total / 2 <= net <= total
    assert isinstance(net, Decimal)

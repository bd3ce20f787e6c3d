"""A shop's price list: read exactly, and each mistake in it named with file, line and the nearest word."""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from time import process_time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.errors import EXIT_UNREADABLE, Problem, RuleBaseError
from advisor.leather.cutting import forms_needed
from advisor.leather.forms import Form
from advisor.leather.pieces import Piece
from advisor.leather.price import Price, quote
from advisor.leather.rows import blanks
from advisor.rulebase.house import MAX_PRICES, PRICES, House, load_house
from advisor.rulebase.models import RuleBase

DEMO = Path(__file__).parents[2] / "transcripts_demo" / "house"
HEAD = """\
shop = "The Tin Thimble (invented)"
currency = "EUR"
invented = true

"""
ONE_BLANK = """\
[[price]]
form = "strap_blank_1270"
tannage = "veg_bridle"
band = "8-10 oz"
width = "38 mm"
price = "19.50"
per = "piece"

"""
ONE_BEND = """\
[[price]]
form = "bend"
tannage = "veg_tooling"
band = "3.2-4.0 mm"
price = "15.9"
per = "square foot"
"""
LIST = HEAD + ONE_BLANK + ONE_BEND


def write(folder: Path, text: str) -> Path:
    (folder / PRICES).write_text(text, encoding="utf-8")
    return folder


def problems_of(folder: Path, rulebase: RuleBase) -> tuple[Problem, ...]:
    with pytest.raises(RuleBaseError) as caught:
        load_house(folder, rulebase)
    assert caught.value.exit_code == EXIT_UNREADABLE == 3
    return caught.value.problems


def line_of(text: str, mark: str) -> int:
    assert text.count(mark) == 1, f"{mark!r} must stand once"
    return text.count("\n", 0, text.index(mark)) + 1


def near(word: str) -> str:
    return f'The nearest valid word is "{word}".'


def test_a_list_is_read(tmp_path: Path, rulebase: RuleBase) -> None:
    # 8 and 10 leather ounces are 8/64 and 10/64 in: 3.175 and 3.969 mm.
    assert load_house(write(tmp_path, LIST), rulebase) == House(
        "The Tin Thimble (invented)",
        "EUR",
        (
            Price("strap_blank_1270", "veg_bridle", 3.175, 3.969, Decimal("19.50"), "piece", 38.0, 5),
            Price("bend", "veg_tooling", 3.2, 4.0, Decimal("15.9"), "square foot", None, 13),
        ),
        True,
    )


@pytest.mark.parametrize("band", ["3.2-4.0 mm", "3,2 – 4,0 mm", "0.32 to 0.4 cm", "3.2-4mm"])
def test_bands_may_be_written_in_several_ways(tmp_path: Path, rulebase: RuleBase, band: str) -> None:
    house = load_house(write(tmp_path, LIST.replace("3.2-4.0 mm", band)), rulebase)
    assert (house.prices[1].low_mm, house.prices[1].high_mm) == (3.2, 4.0)


def test_a_list_is_real_unless_it_says_invented(tmp_path: Path, rulebase: RuleBase) -> None:
    assert load_house(write(tmp_path, LIST.replace("invented = true\n", "")), rulebase).invented is False


BLANK, BEND = "price 1", "price 2"
MISTAKES = {
    # name: (stands once, new text, stands on the wrong line, subject, parts of the message)
    "unknown form": (
        'form = "bend"',
        'form = "bent"',
        '"bent"',
        BEND,
        ('"bent" is no form of the rule base', near("bend")),
    ),
    "form far from any": ('form = "bend"', 'form = "zzz"', '"zzz"', BEND, ('"zzz" is no form', "Known: back, belly,")),
    "unknown tannage": (
        '"veg_tooling"',
        '"veg_toolin"',
        '"veg_toolin"',
        BEND,
        ('"veg_toolin" is no tannage', near("veg_tooling")),
    ),
    "second currency": ('per = "piece"', 'per = "piece"\ncurrency = "SEK"', '"SEK"', BLANK, ('"SEK"', '"EUR"')),
    "currency in small letters": ('"EUR"', '"eur"', '"eur"', "currency", ("three capital letters",)),
    "missing currency": ('currency = "EUR"\n', "", None, "", ('the key "currency" is missing',)),
    "missing band": ('band = "3.2-4.0 mm"\n', "", '[[price]]\nform = "bend"', BEND, ('the key "band" is missing',)),
    "band without unit": (
        '"3.2-4.0 mm"',
        '"3.2-4.0"',
        '"3.2-4.0"',
        BEND,
        ("needs a unit", '"3.2-4.0 oz" or "3.2-4.0 mm"'),
    ),
    "band of one thickness": ('"3.2-4.0 mm"', '"3.2 mm"', '"3.2 mm"', BEND, ("expected two thicknesses",)),
    "band of mass": (
        '"3.2-4.0 mm"',
        '"3.2-4.0 kg"',
        '"3.2-4.0 kg"',
        BEND,
        ('"kg" is not a unit of the same kind as mm',),
    ),
    "band in a misspelt unit": ('"8-10 oz"', '"8-10 irns"', '"8-10 irns"', BLANK, ("is not usable", near("iron"))),
    "band the wrong way round": ('"8-10 oz"', '"10-8 oz"', '"10-8 oz"', BLANK, ("the thinner end comes first",)),
    "band of equal ends": ('"8-10 oz"', '"8-8 oz"', '"8-8 oz"', BLANK, ("the other must be thicker",)),
    "band that can be read two ways": ('"3.2-4.0 mm"', '"1-1,200 mm"', '"1-1,200 mm"', BEND, ("read two ways",)),
    "negative price": ('"15.9"', '"-15.9"', '"-15.9"', BEND, ("a price must be above zero",)),
    "price of nothing": ('"15.9"', '"0.00"', '"0.00"', BEND, ("a price must be above zero",)),
    "price as a float": ('"15.9"', "15.9", "price = 15.9", BEND, ('expected a text, such as "19.50"', "decimal")),
    "price as a whole number": ('"15.9"', "16", "price = 16", BEND, ("expected a text",)),
    "price as a truth": ('"15.9"', "true", "price = true", BEND, ("expected a text",)),
    "price as a list": ('"15.9"', '["15.9"]', "price = [", BEND, ("expected a text",)),
    "price with a comma": ('"15.9"', '"15,90"', '"15,90"', BEND, ("without currency and with a point",)),
    "price with its currency": ('"15.9"', '"15.90 EUR"', '"15.90 EUR"', BEND, ("without currency",)),
    "price that is no number": ('"15.9"', '"NaN"', '"NaN"', BEND, ("expected an amount",)),
    "price with an exponent": ('"15.9"', '"1e9"', '"1e9"', BEND, ("expected an amount",)),
    "price by a mass": (
        '"square foot"',
        '"kg"',
        '"kg"',
        BEND,
        ("per =", "expected 'piece', 'square foot', 'dm2' or 'm2'"),
    ),
    "price by a misspelt area": ('"square foot"', '"square feet"', '"square feet"', BEND, (near("square foot"),)),
    "width of mass": ('"38 mm"', '"38 kg"', '"38 kg"', BLANK, ('"kg" is not a unit of the same kind as mm',)),
    "width without unit": ('"38 mm"', '"38"', '"38"', BLANK, ('"38" needs a unit',)),
    "width of nothing": ('"38 mm"', '"0 mm"', '"0 mm"', BLANK, ("a width must be above zero",)),
    "width of a bend": (
        'price = "15.9"',
        'price = "15.9"\nwidth = "50 mm"',
        '"50 mm"',
        BEND,
        ("bend is not ordered by width",),
    ),
    "misspelt key": ('width = "38 mm"', 'widht = "38 mm"', "widht", BLANK, ('"widht" is no key here', near("width"))),
    "misspelt key of the shop": ("shop =", "shp =", "shp =", "", ('"shp" is no key here', near("shop"))),
    "invented as a word": ("invented = true", 'invented = "yes"', '"yes"', "", ("invented:",)),
    "broken TOML": ('"15.9"', "15.9 euro", "15.9 euro", "", ("this is not TOML",)),
    "key twice": ('per = "piece"', 'per = "piece"\nper = "dm2"', 'per = "dm2"', "", ("this is not TOML",)),
}


@pytest.mark.parametrize("name", MISTAKES, ids=lambda name: name.replace(" ", "-"))
def test_mistake_is_named(tmp_path: Path, rulebase: RuleBase, name: str) -> None:
    old, new, at, where, says = MISTAKES[name]
    assert LIST.count(old) == 1
    text = LIST.replace(old, new)
    found = problems_of(write(tmp_path, text), rulebase)
    (mine,) = [p for p in found if all(said in str(p) for said in says)]
    assert (mine.file, mine.line, mine.where) == (PRICES, line_of(text, at) if at else 0, where)


def test_one_mistake_is_reported_once(tmp_path: Path, rulebase: RuleBase) -> None:
    (problem,) = problems_of(write(tmp_path, LIST.replace('form = "bend"', 'form = "bent"')), rulebase)
    assert str(problem) == (
        f'{PRICES}:14 [price 2]: "bent" is no form of the rule base. The nearest valid word is "bend".'
    )


def test_several_mistakes_are_reported_together(tmp_path: Path, rulebase: RuleBase) -> None:
    text = LIST.replace("8-10 oz", "10-8 oz").replace('"15.9"', "15.9").replace("veg_tooling", "veg_tool")
    assert [p.line for p in problems_of(write(tmp_path, text), rulebase)] == [8, 15, 17]


def test_the_same_priced_twice_is_named_with_both_lines(tmp_path: Path, rulebase: RuleBase) -> None:
    again = ONE_BEND.replace('"15.9"', '"20.00"')
    (problem,) = problems_of(write(tmp_path, LIST + again.replace("3.2-4.0", "3.20-4")), rulebase)
    assert (problem.file, problem.line, problem.where) == (PRICES, 19, "price 3")
    assert problem.what == "the same is priced in line 13; keep one."


def test_another_width_is_not_the_same(tmp_path: Path, rulebase: RuleBase) -> None:
    text = LIST + ONE_BLANK.replace("38 mm", "50 mm") + ONE_BLANK.replace('width = "38 mm"\n', "")
    assert [p.width_mm for p in load_house(write(tmp_path, text), rulebase).prices] == [38.0, None, 50.0, None]


def test_too_many_prices_are_refused_unread(tmp_path: Path, rulebase: RuleBase) -> None:
    started = process_time()
    (problem,) = problems_of(write(tmp_path, LIST + "[[price]]\n" * (MAX_PRICES - 1)), rulebase)
    assert (problem.file, problem.line) == (PRICES, 5)
    assert f"more than {MAX_PRICES} prices" in problem.what
    assert process_time() - started < 5


def test_as_many_prices_as_allowed_are_read(tmp_path: Path, rulebase: RuleBase) -> None:
    many = "".join(ONE_BLANK.replace("38 mm", f"{n} mm") for n in range(1, MAX_PRICES + 1))
    assert len(load_house(write(tmp_path, HEAD + many), rulebase).prices) == MAX_PRICES


def test_no_prices_at_all_and_single_brackets(tmp_path: Path, rulebase: RuleBase) -> None:
    (problem,) = problems_of(write(tmp_path, HEAD), rulebase)
    assert 'the key "price" is missing' in problem.what
    (problem,) = problems_of(write(tmp_path, HEAD + "price = []\n"), rulebase)
    assert (problem.line, "at least 1 item" in problem.what) == (5, True)
    (problem,) = problems_of(write(tmp_path, HEAD + '[price]\nform = "bend"\n'), rulebase)
    assert (problem.line, "[[price]]" in problem.what) == (5, True)


def test_missing_folder_and_missing_file_are_named(tmp_path: Path, rulebase: RuleBase) -> None:
    (problem,) = problems_of(tmp_path / "nowhere", rulebase)
    assert problem.file == str(tmp_path / "nowhere")
    assert "there is no house folder here" in problem.what
    (problem,) = problems_of(tmp_path, rulebase)
    assert (problem.file, problem.hint) == (PRICES, "")
    assert "the file is missing" in problem.what
    (tmp_path / "price.toml").write_text(LIST, encoding="utf-8")
    (problem,) = problems_of(tmp_path, rulebase)
    assert problem.hint == 'There is "price.toml": rename it.'


def test_a_list_that_is_not_text_is_named(tmp_path: Path, rulebase: RuleBase) -> None:
    (tmp_path / PRICES).write_bytes(LIST.encode() + b"# \xff\n")
    (problem,) = problems_of(tmp_path, rulebase)
    assert (problem.file, problem.line, "UTF-8" in problem.what) == (PRICES, 19, True)


def test_a_rule_base_without_forms_prices_nothing(tmp_path: Path, rulebase: RuleBase) -> None:
    bare = replace(rulebase, decisions={k: d for k, d in rulebase.decisions.items() if k != "form"})
    assert {p.line for p in problems_of(write(tmp_path, LIST), bare)} == {6, 14}


# -- the shipped demo list


@pytest.fixture(scope="module")
def demo(rulebase: RuleBase) -> House:
    return load_house(DEMO, rulebase)


def test_the_demo_list_says_that_it_is_invented(demo: House) -> None:
    assert demo.invented
    assert "invented" in demo.name
    assert "Every price in it is invented" in (DEMO / PRICES).read_text(encoding="utf-8").splitlines()[0]
    assert 50 <= len(demo.prices) <= 70
    assert len({p.tannage for p in demo.prices}) == 9


@pytest.mark.parametrize(("quantity", "wins"), [(1, "strap_blank_1270"), (10, "bend")])
def test_ten_demo_belts_come_from_a_bend_and_one_from_a_blank(
    demo: House, rulebase: RuleBase, quantity: int, wins: str
) -> None:
    decision = rulebase.decisions["form"]
    belt = Piece("strap", "body", 1, 1145, 38)
    quotes = []
    for name, candidate in decision.candidates.items():
        row = candidate.properties
        length, width, area, waste, cost = (float(row[k]) for k in ("length", "width", "area", "waste", "cost"))
        form = Form(name, length, width, area, waste, str(row["sold_by"]), cost)
        found = forms_needed(form, [belt], quantity)
        widths = blanks({(1145, 38): quantity}, length) if form.sold == "strap" and found.fits else []
        bought = found.gross_dm2 + found.leftover_dm2
        quotes.append(quote(name, found.count, bought, "veg_bridle", 3.2, 4.0, demo.prices, demo.currency, widths))
    assert sum(q.total is not None for q in quotes) >= 5
    assert min((q for q in quotes if q.total is not None), key=lambda q: q.total or 0).form == wins


def test_in_the_demo_list_more_leather_of_a_kind_is_dearer(demo: House) -> None:
    """A longer or wider blank, and a larger panel, never cost less than a smaller one of the same leather."""
    order = ("strap_blank_1270", "strap_blank_1520", "strap_blank_1800"), ("panel_12x12", "panel_12x24", "panel_24x24")
    compared = 0
    for forms in order:
        for one in demo.prices:
            for other in demo.prices:
                same = (one.tannage, one.low_mm) == (other.tannage, other.low_mm)
                if not (same and one.form in forms and other.form in forms):
                    continue
                sizes = [(forms.index(p.form), p.width_mm or 0) for p in (one, other)]
                if sizes[0] != sizes[1] and all(a <= b for a, b in zip(*sizes, strict=True)):
                    compared += 1
                    assert one.amount < other.amount, (one, other)
    assert compared > 20


# -- money


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(
    cents=st.integers(1, 999_999_999),
    count=st.integers(1, 200),
    per=st.sampled_from(("piece", "dm2", "m2")),
    area=st.integers(1, 100_000),
)
def test_money_is_decimal_from_the_file_to_the_total(
    tmp_path: Path, rulebase: RuleBase, cents: int, count: int, per: str, area: int
) -> None:
    written = f"{cents // 100}.{cents % 100:02d}"
    text = LIST.replace('"15.9"', f'"{written}"').replace('"square foot"', f'"{per}"')
    house = load_house(write(tmp_path, text), rulebase)
    bend = house.prices[1]
    assert type(bend.amount) is Decimal
    assert str(bend.amount) == written
    found = quote("bend", count, count * area / 1000, "veg_tooling", 3.2, 4.0, house.prices, house.currency)
    # The oracle counts in whole numbers: cents times thousandths of a dm2.
    thousandths = {"piece": 1000, "dm2": area, "m2": Decimal(area) / 100}[per]
    expected = (Decimal(cents * count) * thousandths / 100_000).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert type(found.total) is Decimal
    assert type(found.unit_price) is Decimal
    assert found.total == expected


@given(st.floats(min_value=0.01, max_value=1e6))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=30)
def test_no_float_of_the_file_becomes_money(tmp_path: Path, rulebase: RuleBase, amount: float) -> None:
    (problem,) = problems_of(write(tmp_path, LIST.replace('"15.9"', repr(amount))), rulebase)
    assert (problem.line, problem.where) == (17, "price 2")
    assert "expected a text" in problem.what

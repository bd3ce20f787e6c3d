"""What a number without much round it is: a count, a size in the unit of the next, a load, an age of nobody.

The sentences are made up. That straps are sold by the pair and blanks by the piece, that a least length is the length
that is cut, and which side of a thing "long" is said of, is common practice.
"""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.reader import Reading, read_sentence

BASE = load_rulebase()
INCH, FOOT = 25.4, 304.8
SIZES = frozenset(("width", "length", "height", "depth", "strap_width"))


def read(say: str) -> Reading:
    return read_sentence(BASE, say)


def told(say: str) -> set[str]:
    return {d.code for d in read(say).doubts}


@pytest.mark.parametrize(
    ("say", "count"),
    [
        ("six wide watch straps in black", 6),
        ("recover four dining chair drop-in seats", 4),
        ("a set of six wallets", 6),
        ("can i get enough for six belts please", 6),
        ("can we get a piece of hide for three aprons", 3),
        ("making key fobs, twelve in total", 12),
        ("6 no. dog collars in black", 6),
        ("four deep pouches for my work belt, black", 4),
        ("two tall plant stands need leather slings", 2),
        ("I want three long fringe strips down each sleeve of a jacket", 3),
        ("5pr gaiters black", 5),
        ("braces x3pr brown", 3),
        ("half chaps 2 prs brown suede", 2),
        ("6 hvy dog leads 1in", 6),
        ("7 wlk boot laces", 7),
        ("12 gtr strap blanks 2in", 12),
        ("coasters for the pub, 60 of them please", 60),
        ("luggage tags for our ramblers, 25 of them", 25),
        ("a bracelet for each of my bridesmaids, 5 of them", 5),
        ("I'd like eight coasters and six place mats", 8),
    ],
)
def test_what_is_counted_is_no_size(say: str, count: int) -> None:
    answers = read(say).answers
    assert answers["quantity"].values == (count,)
    assert not {"width", "length", "height", "depth"} & answers.keys()


@pytest.mark.parametrize(
    ("say", "kept"),
    [
        ("a tool roll for my gouges, 14 of them", "with 14 gouges"),
        ("a bag with pockets, five of them", "with five pockets"),
        ("a backgammon board with triangles, 24 of them", "with 24 triangles"),
        ("one inch squares sewn together to make a cushion", "of one inch squares"),
    ],
)
def test_what_is_on_the_one_thing_is_neither_counted_nor_its_size(say: str, kept: str) -> None:
    reading = read(say)
    assert kept in {u.text for u in reading.understood}
    assert not (SIZES | {"quantity"}) & reading.answers.keys()


@pytest.mark.parametrize(
    "say",
    ["the lining of the hat is torn, I want to put a suede one in.", "my bag zip is gone, can I put a leather one in"],
)
def test_one_before_in_is_no_inch(say: str) -> None:
    assert not SIZES & read(say).answers.keys()


@pytest.mark.parametrize(
    ("say", "name", "mm"),
    [
        ("wall panel 3 ft wide by 4 high in cream", "height", 4 * FOOT),
        ("5 high by 4 foot wide wall panels", "height", 5 * FOOT),
        ("headboard 5 foot wide and 3 high", "height", 3 * FOOT),
        ("floor rug two metres long by one wide", "width", 1000),
        ("screen panel 6 foot high x 4 wide", "width", 4 * FOOT),
        ("table runner 6 ft long by 1 wide", "width", FOOT),
        ("dog lead 4 ft long and 3/4 wide", "strap_width", 0.75 * INCH),
        ("a luggage strap 2 m long by 30 wide", "strap_width", 30),
        ("a curtain tie 3 ft long and 4 wide", "strap_width", 4 * INCH),
        ("desk pad 2 ft wide by 18 deep", "width", 18 * INCH),
        ("desk inlay skiver 30x20 green", "length", 30 * INCH),
        ("bench seat cushion 48 x 15", "width", 15 * INCH),
        ("shoulder bag 40 cm long", "width", 400),
        ("clutch bag 25 cm long", "width", 250),
        ("rucksack 45 long", "height", 450),
        ("phone pouch 16 cm tall 8 wide", "length", 160),
        ("dining seat 44 wide 40 long", "depth", 400),
        ("clutch 26 cm wide 16 deep", "height", 160),
        ("sheath for 110mm bushcraft, 3mm veg", "blade", 110),
        ("sheath for 8in chef", "blade", 8 * INCH),
        ("belt for 42in, brown", "waist", 42 * INCH),
        ("belt for my dad, waist 38 inches?", "waist", 38 * INCH),
        ("lead for a lab, six foot?", "length", 6 * FOOT),
        ("a headboard for a double, four foot six?", "width", 54 * INCH),
        ("bag straps 1in blk, 48 long min", "length", 48 * INCH),
        ("belts 44 lg min, 35mm, brown bridle", "length", 44 * INCH),
    ],
)
def test_a_size_goes_to_the_side_and_the_unit_that_it_can_have(say: str, name: str, mm: float) -> None:
    assert read(say).answers[name].values == (pytest.approx(mm, abs=0.1),)


@pytest.mark.parametrize(
    ("say", "code"),
    [
        ("wall panel 3 ft wide by 4 high", "unit_assumed"),
        ("shoulder bag 40 cm long", "measure_assumed"),
        ("sheath for 110mm bushcraft", "measure_assumed"),
        ("lead for a lab, six foot?", "about"),
        ("bag straps 1in blk, 48 long min", "least_ordered"),
        ("abt 20 ft goat bag linings x5", "unit_assumed"),
    ],
)
def test_what_was_made_of_a_size_is_said(say: str, code: str) -> None:
    assert code in told(say)


@pytest.mark.parametrize(
    "say",
    [
        "is 38 mm wide enough for a belt?",
        "brown belt, will 35 mm do?",
        "belt for a 6 ft man",
        "sheath for a 6in handle",
        "belt in 3 mm?",
        "8 foot leather rope cover, 2 in wide?",
    ],
)
def test_a_size_that_is_asked_about_or_of_somebody_is_not_the_things(say: str) -> None:
    assert not {"strap_width", "waist", "blade", "sqft"} & read(say).answers.keys()


def test_a_least_length_stays_open_where_nobody_orders_in_short() -> None:
    assert read("guitar strap at least 52 in long").ranges["length"] == (pytest.approx(52 * INCH), None)


@pytest.mark.parametrize(
    "say",
    [
        "a trunk strap that looks a hundred years old",
        "journal cover made to look eighty years old",
        "it should look like it's seventy years old, a satchel",
        "my old man wants a belt, waist 36 in",
        "a strap, dark, as if it were ninety years old",
    ],
)
def test_how_old_a_thing_looks_and_the_old_man_make_nobody_old(say: str) -> None:
    assert "user_kind" not in read(say).answers


@pytest.mark.parametrize("say", ["my gran looks eighty years old and wants a purse", "an old man wants a card holder"])
def test_somebody_old_is_old(say: str) -> None:
    assert read(say).answers["user_kind"].values == ("elderly",)


@pytest.mark.parametrize(
    ("say", "kg"),
    [
        ("straps for a hammock chair, my brother is 18 stone", 114.3),
        ("two straps to hang a 40 kilo chest off a beam", 40),
        ("a loop he can lean back in, he weighs 14 stone", 88.9),
    ],
)
def test_a_mass_is_the_load_where_something_hangs(say: str, kg: float) -> None:
    assert read(say).answers["load_mass"].values == (pytest.approx(kg, abs=0.1),)


@pytest.mark.parametrize("say", ["belt for my husband, he's sixteen stone", "weightlifting belt, I squat 200 kilos"])
def test_the_mass_of_who_wears_it_is_no_load(say: str) -> None:
    assert "load_mass" not in read(say).answers


@pytest.mark.parametrize(
    ("say", "feet"),
    [
        ("25 ft garment suede waistcoats x2", 25),
        ("40 feet upholstery hide brown", 40),
        ("30 ft half chaps suede 1.4", 30),
    ],
)
def test_feet_of_a_leather_are_square(say: str, feet: int) -> None:
    assert f"{feet} sqft" in {u.value for u in read(say).understood}


def test_a_shortened_would_is_no_garden_shed() -> None:
    assert read("a belt, she'd like black").answers["colour"].values == ("black",)


def test_straps_round_luggage_bear_nobody_and_a_strap_round_a_trunk_may() -> None:
    assert not read("restoring a steamer trunk, wants two new straps right round it").dangers
    assert read("the strap goes round the trunk and round me").dangers

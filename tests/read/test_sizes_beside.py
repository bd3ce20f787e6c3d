"""Sizes that stand beside the thing without a word of their own: what they are taken as, and that it is said back."""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.reader import Reading, read_sentence, read_words
from advisor.talk.heard import not_understood

BASE = load_rulebase()


def read(text: str) -> Reading:
    return read_sentence(BASE, text)


def values(reading: Reading, *names: str) -> list[object]:
    return [reading.answers[n].values[0] if n in reading.answers else None for n in names]


@pytest.mark.parametrize(
    ("text", "name", "value"),
    [
        ("quiver, arrows 70 cm, brown", "length", 700),
        ("comb case, the comb is 15 cm", "length", 150),
        ("axe mask, the edge has 12 cm", "width", 120),
        ("pencil roll for brushes, the longest is 30 cm", "height", 360),
        ("drawstring pouch 20 cm tall, brown", "width", 490),
    ],
)
def test_a_size_alone_is_the_measure_it_comes_nearest_to(text: str, name: str, value: float) -> None:
    reading = read(text)
    assert reading.answers[name].values == (pytest.approx(value),)
    assert any(d.code == "measure_assumed" for d in reading.doubts)


@pytest.mark.parametrize("text", ["apron, 75 cm, brown", "wallet with a strap 20 cm", "camera strap, 130 cm"])
def test_a_size_that_is_not_clear_is_told_once(text: str) -> None:
    reading = read(text)
    assert set(reading.answers) <= {"item", "colour"}
    assert [d.code for d in reading.doubts] == ["not_taken"]
    assert not any("cm" in line for line in not_understood(BASE, reading))


@pytest.mark.parametrize(
    ("text", "names", "expected"),
    [
        ("clutch bag 28 x 18 in nubuck", ("width", "height"), [280, 180]),
        ("2 placemats 45x30 in chestnut", ("length", "width"), [450, 300]),
        ("9 x 12 in tote bag, brown", ("width", "height"), [228.6, 304.8]),
        ("belt 1.25 in chestnut", ("strap_width",), [31.75]),
        ("key fobs 12 in cognac", ("quantity", "length"), [12, None]),
        ("placemats 4 in brown", ("quantity", "width"), [4, None]),
    ],
)
def test_in_before_a_colour_is_an_inch_only_where_the_size_says_so(
    text: str, names: tuple[str, ...], expected: list[object]
) -> None:
    assert values(read(text), *names) == [e if e is None else pytest.approx(e) for e in expected]


def test_a_box_of_more_sizes_than_a_thing_has_gives_the_largest() -> None:
    reading = read("passport cover 13 x 9 x 0.5 cm")
    assert values(reading, "height", "width", "depth") == [130, 90, None]
    assert [d.code for d in reading.doubts] == ["measure_assumed"]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("floor tiles 30 x 30 cm, 4.5 m2", 50),
        ("wall tiles 40 x 40 cm for 3.2 square metres", 20),
        ("20 wall tiles 25 x 25 cm, 1.25 m2 in all", 20),
        ("coasters 10 x 10 cm, i have 0.5 m2 of leather", None),
    ],
)
def test_an_area_counts_what_is_laid_over_it(text: str, count: int | None) -> None:
    reading = read(text)
    assert values(reading, "quantity") == [count]
    assert (reading.proposal.area is None) == (count is not None)


@pytest.mark.parametrize(
    "text", ["bag, my machine stops at 2.5 mm", "tote, my home machine cannot take more than 2.5 mm of leather"]
)
def test_the_limit_of_a_machine_is_no_thickness_of_the_leather(text: str) -> None:
    reading = read(text)
    assert values(reading, "sew_max") == [2.5]
    assert reading.proposal.weight is None
    assert not reading.ranges


@pytest.mark.parametrize("text", ["table mats round 35 cm", "a round mouse mat, 35 cm", "round cushion cover 35 cm"])
def test_a_round_thing_is_as_wide_as_long(text: str) -> None:
    reading = read(text)
    assert values(reading, "width", "length") == [350, 350]
    assert not reading.doubts
    assert not not_understood(BASE, reading)


def test_another_measure_than_the_pattern_has_is_asked_for() -> None:
    reading = read("fire bellows, boards 80 cm long")
    assert "length" not in reading.answers
    assert "How far is it round" in reading.doubts[0].text
    assert any(u.text == "owl of 350 g" for u in read("mews perch cover for an owl, he is 350 g").understood)


def test_a_sum_keeps_its_money() -> None:
    for text, said in (("wallet, up to €45", "€45 to spend"), ("belt, 50 euros to spend", "50 euros to spend")):
        assert read_words(BASE, [text])[1]["money_said"].values == (said,)
    assert "money_said" not in read_words(BASE, ["belt, budget 50"])[1]


@pytest.mark.parametrize("slug", list(BASE.items)[::9])
def test_a_box_of_any_number_of_sizes_is_read_of_every_thing(slug: str) -> None:
    for text in ("22 by 13 inches", "30 x 20 x 4 cm", "1 x 2 x 3 x 4 cm"):
        assert read_sentence(BASE, text, slug).answers.keys() <= BASE.attributes.keys()


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("stool top 40 by 30 cm", {"width": 400.0}),
        ("desk pad 90 cm wide and 45 cm deep", {"length": 900.0, "width": 450.0}),
        ("bench cushion 110 cm wide, 38 cm deep", {"length": 1100.0, "width": 380.0}),
        ("mouse mat 24 cm wide, 20 cm deep", {"length": 240.0, "width": 200.0}),
    ],
)
def test_a_side_is_what_the_thing_calls_by_that_word(text: str, facts: dict[str, float]) -> None:
    answers = read_sentence(BASE, text).answers
    assert {n: a.values[0] for n, a in answers.items() if n in ("width", "length", "depth")} == facts

"""Numbers that beginners leave bare: metres in one word, a waist without its unit, how many things go in.

Waists of belts and trousers are said in inches or centimetres, lugs of watches in millimetres and necks of dogs in
centimetres where no unit is said; the usual sizes decide, and what was taken is said back (common practice).
"""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.reader import read_sentence

BASE = load_rulebase()
SIZES = [
    ("a trouser belt for a waist of 1m15", "waist", 1150.0),
    ("dog lead, 1m80 long", "length", 1800.0),
    ("dog lead 6'2 long", "length", 74 * 25.4),
    ("belt, waist 42", "waist", 42 * 25.4),
    ("34 waist belt", "waist", 34 * 25.4),
    ("a belt, my waist is around 88", "waist", 880.0),
    ("dog collar, neck is 45, 30 mm wide", "neck", 450.0),
    ("watch strap with lugs of 18", "strap_width", 18.0),
]
LEFT = ["dog lead with 2 rings", "a belt with 5 holes", "belt, black, 38"]
HELD = [
    ("bifold wallet for ten cards", "holds ten cards"),
    ("card holder, 4 cards, navy", "holds 4 cards"),
    ("wallet with space for 9 cards", "holds 9 cards"),
    ("a tool roll for 10 chisels", "holds 10 chisels"),
]


@pytest.mark.parametrize(("text", "name", "mm"), SIZES)
def test_a_size_is_taken_in_the_unit_it_can_only_have(text: str, name: str, mm: float) -> None:
    answer = read_sentence(BASE, text).answers[name]
    assert answer.values == (pytest.approx(mm, abs=0.1),)


@pytest.mark.parametrize("text", ["belt, waist 42", "34 waist belt", "watch strap with lugs of 18"])
def test_a_unit_that_was_not_said_is_said_back(text: str) -> None:
    assert "unit_assumed" in {d.code for d in read_sentence(BASE, text).doubts}


@pytest.mark.parametrize("text", LEFT)
def test_a_number_that_counts_or_says_nothing_is_no_size(text: str) -> None:
    answers = read_sentence(BASE, text).answers
    assert {"strap_width", "waist", "length", "quantity"}.isdisjoint(answers)


@pytest.mark.parametrize(("text", "kept"), HELD)
def test_how_many_go_in_is_kept_and_is_no_number_of_pieces(text: str, kept: str) -> None:
    reading = read_sentence(BASE, text)
    assert kept in [u.value for u in reading.understood]
    assert "quantity" not in reading.answers


@pytest.mark.parametrize("text", ["a tote for my mum", "belt for our grandad, waist 40 in", "wallet for my husband"])
def test_somebody_grown_up_is_heard(text: str) -> None:
    assert read_sentence(BASE, text).unread == ()


@pytest.mark.parametrize(
    ("item", "text", "kept"),
    [
        ("bifold_wallet", "maybe 12 cards in it", "holds 12 cards"),
        ("tool_roll", "nine chisels go in", "holds nine chisels"),
        ("pen_case", "20 pens", "holds 20 pens"),
    ],
)
def test_how_many_go_in_said_later_is_no_number_of_pieces(item: str, text: str, kept: str) -> None:
    reading = read_sentence(BASE, text, item)
    assert kept in [u.value for u in reading.understood]
    assert "quantity" not in reading.answers


@pytest.mark.parametrize("text", ["wallet for my partner, she is 41", "a card holder for my girlfriend, shes 25"])
def test_the_age_of_somebody_grown_up_is_no_number_to_be_explained(text: str) -> None:
    reading = read_sentence(BASE, text)
    assert reading.unread == ()
    assert not reading.doubts
    assert {name: answer.values for name, answer in reading.answers.items() if name != "item"} == {
        "user_kind": ("adult",)
    }


@pytest.mark.parametrize(
    ("text", "kg"), [("a lead for our dog, she's 22 kg", 22.0), ("dog collar, he is about 9 kilos", 9.0)]
)
def test_what_an_animal_weighs_is_the_load_and_not_the_size_of_a_person(text: str, kg: float) -> None:
    assert read_sentence(BASE, text).answers["load_mass"].values == (kg,)

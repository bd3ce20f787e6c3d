"""Shorthand of the counter, sizes without a unit and what is said of the leather itself.

The rows of ``facts_more.toml`` were marked before they were read. The held 60 were scored once, when the words were
written: precision 158/186 = 0.849, recall 158/218 = 0.725. Then what they showed was mended by cause, so the floors
below only show that nothing gets worse. Short forms and facts of the trade are common practice.
"""

from __future__ import annotations

import pytest
from measure_facts import SPOKEN, heard_more, marked_more, more_rows, tally

from advisor import load_rulebase
from advisor.read.lexicon import tokens
from advisor.read.reader import read_sentence
from advisor.read.shorthand import expanded

BASE = load_rulebase()
# An ounce of leather is 1/64 inch (ASTM D1814).
OUNCE_MM = 25.4 / 64


def values(say: str, name: str) -> tuple[object, ...]:
    answer = read_sentence(BASE, say).answers.get(name)
    return answer.values if answer else ()


def points(say: str) -> set[str]:
    return {u.value for u in read_sentence(BASE, say).understood if u.attribute == "leather"}


@pytest.mark.parametrize(("held", "precision", "recall"), [(False, 0.9, 0.9), (True, 0.87, 0.77)])
def test_precision_and_recall_stay_above_their_floors(held: bool, precision: float, recall: float) -> None:
    score = tally(BASE, more_rows(held), marked_more, heard_more)
    print(f"\n{'held' if held else 'seen'}: {score}")
    assert score.marked > 200
    assert score.right >= precision * score.read, score.wrong
    assert score.right >= recall * score.marked, score.wrong


@pytest.mark.parametrize(
    ("say", "words"),
    [
        ("dbl shldr v.t.", "double shoulder veg tan"),
        ("blk bkls w/ brass", "black buckle with brass"),
        ("2 skns nat", "2 skin natural colour"),
        ("nat went home", "nat went home"),
        ("n that was it", "n that was it"),
    ],
)
def test_short_forms_are_read_as_their_words_where_they_are_none_of_their_own(say: str, words: str) -> None:
    made, replaced = expanded(BASE, say, tokens(say))
    assert " ".join(t.word for t in made) == words
    assert all(say[start:end].strip() for start, end in replaced)


def test_a_short_form_keeps_its_place_in_the_text() -> None:
    reading = read_sentence(BASE, "a key fob in drk brn")
    (colour,) = [u for u in reading.understood if u.attribute == "colour"]
    assert (colour.words, reading.answers["colour"].values) == ("drk brn", ("dark",))


@pytest.mark.parametrize(
    ("say", "low", "high"),
    [
        ("bridle butt 8/9oz", 8 * OUNCE_MM, 9 * OUNCE_MM),
        ("goat skin 0.6/0.8 for lining", 0.6, 0.8),
        ("chrome hide 1.4-1.6 two of them", 1.4, 1.6),
        ("a belt in veg tan, three mil", 3, 3),
    ],
)
def test_a_thickness_stands_in_the_proposal_and_is_shown_back(say: str, low: float, high: float) -> None:
    reading = read_sentence(BASE, say)
    assert reading.proposal.weight is not None
    assert (reading.proposal.weight.low, reading.proposal.weight.high) == pytest.approx((low, high), abs=0.01)
    assert any(" mm" in point for point in points(say))
    assert not any(d.code == "not_taken" for d in reading.doubts)


@pytest.mark.parametrize("say", ["suede, half a millimetre or less", "vt side 2mm+ for pouches"])
def test_a_bound_of_the_thickness_is_only_shown_back(say: str) -> None:
    assert read_sentence(BASE, say).proposal.weight is None
    assert any(point.startswith(("at most", "at least")) for point in points(say))


@pytest.mark.parametrize(
    ("say", "point"),
    [
        ("two hides of bridle leather", "2 x hide whole"),
        ("dbl shldr vt x3", "3 x shoulder double"),
        ("12 sqft of pigskin", "12 sqft"),
        ("something that must not stretch", "to ask for: no stretch"),
    ],
)
def test_what_is_said_of_the_leather_is_understood_whatever_the_thing_is(say: str, point: str) -> None:
    assert point in points(say)


@pytest.mark.parametrize(
    "say", ["it hangs down my back", "stitched along two sides", "there is a split in the liner", "not suede"]
)
def test_plain_words_are_no_leather(say: str) -> None:
    assert not points(say)


@pytest.mark.parametrize(
    ("say", "name", "mm"),
    [
        ("a strip of it, nine long and 30 mm wide", "length", 9),
        ("a tote 38 wide", "width", 380),
    ],
)
def test_a_size_without_a_unit_is_taken_as_what_is_likely_and_said_back(say: str, name: str, mm: float) -> None:
    reading = read_sentence(BASE, say)
    assert reading.answers[name].values == (pytest.approx(mm),)
    assert [d.code for d in reading.doubts].count("unit_assumed") == 1


def test_a_size_that_may_be_two_things_is_left_with_a_doubt() -> None:
    assert not values("a plate 30 wide", "width")


@pytest.mark.parametrize(
    ("say", "count"),
    [
        ("billhook sheaths 14 off", 14),
        ("key fobs x10", 10),
        ("a pair of dog collars", 2),
        ("an apron, a dozen pockets", 0),
    ],
)
def test_counts_are_of_the_thing_they_stand_beside(say: str, count: int) -> None:
    assert values(say, "quantity") == ((count,) if count else ())


@pytest.mark.parametrize(
    ("say", "name"),
    [
        ("my car is black, a wallet", "colour"),
        ("a wallet, copper rivets are what I'm avoiding", "hardware_metal"),
        ("swapping the chains for straps", "hardware"),
        ("my uncle used horsehide", "wished_species"),
    ],
)
def test_what_is_refused_or_of_something_else_is_no_fact(say: str, name: str) -> None:
    assert not values(say, name)


# The 70 rows of facts_spoken.toml are marked by one of those who work on the reader, so they are no blind measure.
# Before the mending: 77/90 and 77/120, the held 74/87 and 74/118. The held 30 were scored once, when the words were
# written: 88/102 = 0.863 and 88/118 = 0.746.
@pytest.mark.parametrize(("held", "precision", "recall"), [(False, 0.9, 0.9), (True, 0.87, 0.76)])
def test_what_comes_up_in_talk_is_read(held: bool, precision: float, recall: float) -> None:
    score = tally(BASE, more_rows(held, SPOKEN), marked_more, heard_more)
    print(f"\n{'held' if held else 'seen'}: {score}")
    assert score.marked > 100
    assert score.right >= precision * score.read, score.wrong
    assert score.right >= recall * score.marked, score.wrong


@pytest.mark.parametrize(
    ("say", "point"),
    [
        ("a handle wrap, four inches round and 9 long", "around 101.6 mm"),
        ("a sleeve for the rail, circumference 60 cm", "around 600 mm"),
        ("a plate 30 wide", "sizes 30 wide"),
        ("a cover for a rail, 80 x 22", "sizes 80 x 22"),
        ("toggles for a coat, not black", "refused black"),
    ],
)
def test_what_is_said_is_kept_also_where_no_attribute_or_unit_is_clear(say: str, point: str) -> None:
    assert point in points(say)


@pytest.mark.parametrize(
    ("say", "name", "value"),
    [
        ("need 12 @ 54in x 1in straps", "quantity", 12),
        ("eighteen little loops for pulling drawers open", "quantity", 18),
        ("six foot long by half an inch, a thong", "width", 12.7),
        ("lace 3mm wide 50 mm long", "length", 50),
        ("a mask for my lad, he is nine", "user_kind", "child_3_12"),
    ],
)
def test_counts_sides_and_ages_find_their_place(say: str, name: str, value: object) -> None:
    assert values(say, name) == (pytest.approx(value) if isinstance(value, float) else value,)


@pytest.mark.parametrize(
    ("say", "name"),
    [
        ("as slim as can be, six cards go in, a card holder", "quantity"),
        ("a purse for my daughter-in-law", "user_kind"),
        ("my machine managed two layers of denim, a tote", "colour_against"),
        ("a tin of spirit dye stands here, a belt", "decoration"),
    ],
)
def test_what_is_counted_had_or_sewn_otherwise_is_no_fact(say: str, name: str) -> None:
    reading = read_sentence(BASE, say)
    assert name not in reading.answers
    assert name not in reading.choices_open


def test_two_colours_of_a_pair_stay_open() -> None:
    assert read_sentence(BASE, "12 key fobs blk/tan").choices_open["colour"] == ("black", "tan")

"""What a number, a colour or a word for a value is told of: the thing, what it goes on, what it stands beside, a story.

Each class is tried in combinations, so that no sentence is kept for itself. All of it is invented; how people count,
what they call their dogs and how they say sums is common practice.
"""

from __future__ import annotations

import itertools

import pytest
from num2words import num2words

from advisor import load_rulebase
from advisor.read.notes import Reading
from advisor.read.reader import read_sentence

BASE = load_rulebase()
PIECES = {
    "luggage tags": "suitcases",
    "knife sheaths": "carving knives",
    "drawer pulls": "kitchen drawers",
    "watch straps": "wristwatches",
    "dog collars": "spaniels",
}
HOLDING = {"a tool roll": "chisels", "a card holder": "cards", "a pen case": "pens", "wine racks": "bottles"}
BESIDE = {"coasters": "table", "a desk pad": "desk", "drawer pulls": "dresser", "a key fob": "boat", "a belt": "room"}
TOLD = ("the {} is {} wide", "for a {} {} wide", "to go with the {}, which is {} wide", "on a {} that is {} wide")
SIZES = {"width", "length", "height", "depth", "strap_width"}


def heard(text: str) -> Reading:
    return read_sentence(BASE, text)


def quantity(text: str) -> object:
    answer = heard(text).answers.get("quantity")
    return answer and answer.values[0]


@pytest.mark.parametrize(
    ("said", "count"),
    [
        ("6 dining chairs drop in seats 45 x 42 cm each, dark green", 6.0),
        ("6 dining chair drop in seats", 6.0),
        ("8 knives sheaths", 8.0),
        ("a roll for 6 chisels", None),
    ],
)
def test_what_stands_right_before_the_things_counts_them(said: str, count: float | None) -> None:
    assert quantity(said) == count


@pytest.mark.parametrize("where", ["from", "over", "under", "round", "through", "across", "against", "between"])
@pytest.mark.parametrize("what", ["two trees", "four hooks", "3 straps"])
def test_what_it_goes_over_or_hangs_from_is_not_how_many_are_made(where: str, what: str) -> None:
    assert quantity(f"strap that goes {where} {what}") is None


@pytest.mark.parametrize(("pieces", "objects"), PIECES.items())
@pytest.mark.parametrize("count", [3, 8, 12])
@pytest.mark.parametrize("said", ["{} for {} {}", "{} for my {} {}", "{}, please, for the {} {}"])
def test_what_each_goes_on_counts_the_pieces(pieces: str, objects: str, count: int, said: str) -> None:
    for number in (str(count), num2words(count)):
        text = said.format(pieces, number, objects)
        assert quantity(text) == count, text
        assert "one_each" in {d.code for d in heard(text).doubts}, "what was made of the count is said back"


@pytest.mark.parametrize(("holder", "things"), HOLDING.items())
def test_what_goes_in_is_no_count_of_the_thing(holder: str, things: str) -> None:
    assert quantity(f"{holder} for nine {things}") is None


@pytest.mark.parametrize("group", ["family", "party", "team"])
def test_a_group_is_as_many(group: str) -> None:
    assert quantity(f"luggage tags for a {group} of six") == 6
    assert quantity(f"a card for a {group} of six") is None


@pytest.mark.parametrize("pieces", ["watch straps for both my watches", "dog collars for both dogs"])
def test_both_are_two(pieces: str) -> None:
    assert quantity(pieces) == 2


@pytest.mark.parametrize(("thing", "place"), BESIDE.items())
@pytest.mark.parametrize("told", TOLD)
def test_the_size_of_a_place_is_not_the_things(thing: str, place: str, told: str) -> None:
    reading = heard(f"{thing}, {told.format(place, '140 cm')}")
    assert SIZES.isdisjoint(reading.answers)
    assert any(u.value.startswith("beside ") for u in reading.understood), "it is said back"


@pytest.mark.parametrize(("thing", "noun"), [("a sofa cover", "sofa"), ("a cover for a table", "table")])
def test_what_covers_a_place_has_its_size(thing: str, noun: str) -> None:
    reading = heard(f"{thing}, the {noun} is 140 cm wide")
    assert not any(u.value.startswith("beside ") for u in reading.understood)


@pytest.mark.parametrize("time", ["May", "June", "the spring", "October", "3 weeks", "two months"])
@pytest.mark.parametrize("verb", ["turns", "hits", "will be"])
def test_an_age_is_no_size(time: str, verb: str) -> None:
    reading = heard(f"my husband {verb} 50 in {time}, a belt for him")
    assert (SIZES | {"waist"}).isdisjoint(reading.answers)


@pytest.mark.parametrize("fear", ["scared of", "afraid of", "sick of", "wary of", "nervous about"])
@pytest.mark.parametrize(("thing", "attribute"), [("zips", "hardware"), ("rivets", "hardware"), ("dye", "decoration")])
def test_who_fears_something_does_not_want_it(fear: str, thing: str, attribute: str) -> None:
    reading = heard(f"a journal cover, I'm {fear} {thing}")
    assert attribute not in reading.answers
    assert any(u.text.startswith("not ") for u in reading.understood)


def test_to_be_afraid_that_refuses_nothing() -> None:
    assert heard("a belt, I'm afraid it must be brown").answers["colour"].values == ("brown",)


STORIES = [
    ("the last one turned out to be card", "construction"),
    ("I can sew a button", "hardware"),
    ("he snapped at me", "hardware"),
    ("we zipped through the market", "hardware"),
    ("my neighbours painted the shed", "decoration"),
    ("I bought a kit for candles", "experience"),
    ("my gran sewed harness for a living", "experience"),
    ("the drawer it is to live in is shallow", "skin_contact"),
    ("my hands are stiff in the morning", "feel"),
    ("the blade is thin from sharpening", "feel"),
    ("he asks 200 and that is too much for me", "for_sale"),
    ("our front door is red", "colour"),
    ("my dog is black", "colour"),
]


@pytest.mark.parametrize(("story", "attribute"), STORIES)
@pytest.mark.parametrize("thing", ["a card holder", "a key fob"])
@pytest.mark.parametrize("order", ["{thing}, {story}", "{story}, so {thing} please"])
def test_a_story_says_nothing_of_the_thing(story: str, attribute: str, thing: str, order: str) -> None:
    reading = heard(order.format(thing=thing, story=story))
    assert attribute not in reading.answers


WISHED = [
    ("sewn inside out and turned", "construction", "turned"),
    ("with a button", "hardware", "button"),
    ("painted by hand", "decoration", "paint"),
    ("I sew for a living", "experience", "professional"),
    ("nice and stiff", "feel", "stiff"),
    ("in black", "colour", "black"),
    ("I want it padded", "construction", "padded"),
]


@pytest.mark.parametrize(("wish", "attribute", "value"), WISHED)
def test_the_same_words_as_a_wish_are_taken(wish: str, attribute: str, value: str) -> None:
    assert value in heard(f"a card holder, {wish}").answers[attribute].values


@pytest.mark.parametrize(("size", "least", "most"), [("small", 4, 15), ("big", 25, 50), ("enormous", 45, 90)])
@pytest.mark.parametrize("dog", ["dog", "old mongrel", "scruffy terrier"])
def test_a_dog_weighs_what_its_size_tells(size: str, least: float, most: float, dog: str) -> None:
    reading = heard(f"a dog lead for our {size} {dog}")
    mass, _ = reading.hints["load_mass"]
    assert least <= float(mass) <= most
    assert "load_mass" not in reading.answers, "a guess is no answer"


def test_the_neck_of_a_dog_does_not_tell_its_mass() -> None:
    reading = heard("a dog collar for a small dog, neck 11 in")
    assert {"load_mass", "neck"} & reading.hints.keys() == {"load_mass"}


@pytest.mark.parametrize(
    "said",
    [
        "I could go to {} pounds",
        "I don't want to go over £{}",
        "{} is my limit",
        "{} is all I have",
        "I've {} to spend",
    ],
)
@pytest.mark.parametrize("sum_said", [25, 40, 80])
def test_what_can_be_spent(said: str, sum_said: int) -> None:
    assert heard(f"a tote, {said.format(sum_said)}").answers["budget"].values == (float(sum_said),)


@pytest.mark.parametrize("said", ["she paid {} pounds for hers", "he wants £{} for one"])
def test_what_others_pay_is_no_budget(said: str) -> None:
    assert "budget" not in heard(f"a tote, {said.format(60)}").answers


PARTS = ["a loop for the pen", "an inside pocket", "a lid", "a tassel"]


@pytest.mark.parametrize(
    ("lead", "part"), [*itertools.product(("with", "without"), PARTS), ("with", "two side pockets")]
)
def test_parts_are_kept_as_they_were_said(lead: str, part: str) -> None:
    noun = part.split(" for ")[0].split()[-1]
    told = [u.text for u in heard(f"a notebook cover {lead} {part}").understood if u.value.startswith(("parts", "ref"))]
    assert any(noun in text for text in told), told


@pytest.mark.parametrize("said", ["I have no hole punch", "a pocket knife goes in"])
def test_a_part_inside_a_compound_is_none(said: str) -> None:
    assert not any(u.value.startswith("parts ") for u in heard(f"a tool roll, {said}").understood)


@pytest.mark.parametrize("said", ["30 on 42 cm", "30 x 42 cm"])
def test_sizes_told_with_on(said: str) -> None:
    answers = heard(f"a table mat, {said}").answers
    assert sorted(float(answers[n].values[0]) for n in SIZES & answers.keys()) == [300, 420]


@pytest.mark.parametrize(("said", "mm"), [("1/2", 12.7), ("3/4", 19.05), ("1 1/4", 31.75)])
def test_a_part_of_one_is_the_width_of_a_strap_in_inches(said: str, mm: float) -> None:
    answers = heard(f"dog leads {said}, 5ft, x6, black").answers
    assert answers["strap_width"].values[0] == pytest.approx(mm)
    assert answers["length"].values[0] == pytest.approx(1524)

"""What a number, a colour or a person said in a sentence stands at.

The rows of ``facts_standing.toml`` were marked before they were read: at first precision 41/51 = 0.804 and recall
41/65 = 0.631. Then what they and others showed was mended by cause; the floors only show that nothing gets worse.
Facts of the trade are common practice.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from measure_facts import heard_more, marked_more, more_rows, tally

from advisor import load_rulebase
from advisor.read.danger import dangers_of
from advisor.read.reader import Reading, read_sentence

BASE = load_rulebase()
TABLE = Path(__file__).with_name("facts_standing.toml")


def read(say: str) -> Reading:
    return read_sentence(BASE, say)


def values(say: str, name: str) -> tuple[object, ...]:
    answer = read(say).answers.get(name)
    return answer.values if answer else ()


def points(say: str) -> set[str]:
    return {u.value for u in read(say).understood if u.attribute == "leather"}


def test_the_marked_rows_stay_above_their_floors() -> None:
    score = tally(BASE, more_rows(False, TABLE), marked_more, heard_more)
    print(f"\n{score}")
    assert score.right >= 0.85 * score.read, score.wrong
    assert score.right >= 0.85 * score.marked, score.wrong


@pytest.mark.parametrize(
    ("say", "quantity"),
    [
        ("drawer pulls in black, I need 14, an inch wide", (14.0,)),
        ("key fobs for a fair, say fifteen, tan", (15.0,)),
        ("24 nine year olds are each to make a key fob", (24.0,)),
        ("a wallet, 24 nine year olds watched me make the last", ()),
        ("one of those pouches for tobacco", ()),
        ("something to carry logs, two handles, brown", ()),
        ("key fobs, I do not need 14, just tan", ()),
    ],
)
def test_a_number_alone_counts_where_so_many_are_wanted(say: str, quantity: tuple[float, ...]) -> None:
    assert values(say, "quantity") == quantity


@pytest.mark.parametrize(
    ("say", "colour"),
    [
        ("a key fob about as big as a biscuit, turquoise", ("bright",)),
        ("knife sheath, the old one has gone yellow, so brown please", ("brown",)),
        ("a pouch to replace a ghastly orange thing, navy please", ("dark",)),
        ("the last wallet was red, the same but in black", ("black",)),
        ("a pin board, the pins would rust the wall", ()),
        ("an orange key fob", ("bright",)),
        ("a purse the colour of biscuit", ("tan",)),
    ],
)
def test_a_colour_belongs_to_the_noun_it_stands_at(say: str, colour: tuple[str, ...]) -> None:
    assert values(say, "colour") == colour


@pytest.mark.parametrize(
    ("say", "point"),
    [
        ("goat .8 blk 30ft for linings", "30 sqft"),
        ("60-65ft calf 1.1/1.3 navy for chairs", "65 sqft"),
        ("round cord, thick 6", "6 mm"),
    ],
)
def test_sizes_of_the_counter_are_taken_as_they_are_meant(say: str, point: str) -> None:
    assert point in points(say)


@pytest.mark.parametrize("say", ["rope 30ft, black", "a belt 4 mm thick, 6 ft", "kangaroo lace 3 mm 30ft black"])
def test_a_length_in_feet_is_no_area(say: str) -> None:
    assert not any("sqft" in point for point in points(say))


@pytest.mark.parametrize(
    ("say", "length"),
    [
        ("a strap one metre eighty long", 1800.0),
        ("a strap 2 m 20 long, black", 2200.0),
        ("a strap one metre long, 80 of them", 1000.0),
    ],
)
def test_centimetres_are_said_behind_metres(say: str, length: float) -> None:
    assert values(say, "length") == (length,)


@pytest.mark.parametrize(
    ("say", "attribute"),
    [
        ("a wallet, I have not the tool to make it thin", "feel"),
        ("leggings, no zip as zips dig in", "hardware"),
        ("a coaster for the room where the cat sleeps", "user_kind"),
        ("a coaster for the shelf in the baby's room", "user_kind"),
    ],
)
def test_what_is_lacking_refused_or_only_near_is_no_fact(say: str, attribute: str) -> None:
    assert values(say, attribute) == ()


def test_a_small_child_who_is_only_near_is_told_of() -> None:
    assert "only_near" in {d.code for d in read("a coaster for the shelf in the baby's room").doubts}
    assert values("a mobile for the baby's cot", "user_kind") == ("child_under3",)


@pytest.mark.parametrize(
    ("say", "concept"),
    [
        ("toe straps, you hook your feet under them and lean out over the side", "person_weight"),
        ("the middle of the steering wheel with the horn, in cream", "vehicle"),
        ("a strap to hook my feet under", "person_weight"),
    ],
)
def test_a_harm_told_by_its_situation_is_met(say: str, concept: str) -> None:
    assert concept in {d.concept for d in dangers_of(BASE, say) if d.state != "ruled_out"}


@pytest.mark.parametrize(
    "say", ["handlebar tape for an old bicycle, brown", "honey suede for both pommels on a side saddle"]
)
def test_what_bears_nothing_raises_nothing(say: str) -> None:
    assert not {d.concept for d in dangers_of(BASE, say)} & {"vehicle", "riding"}

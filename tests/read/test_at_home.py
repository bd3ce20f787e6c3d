"""Leather that is at home: what is had, what is made of it, and what is said of it before any is sold.

That jackets are sewn of garment leather and seats covered with upholstery leather, and that bridle, harness and latigo
are sold by those names, is common practice.
"""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.reader import read_sentence
from advisor.reasoning.facts import parse_answers
from advisor.talk.at_home import at_home
from advisor.talk.matter import Matter
from tests.heard import heard

BASE = load_rulebase()


@pytest.mark.parametrize(
    ("say", "thing", "kind", "mm"),
    [
        ("I own a shoulder of 2 mm veg, want a journal cover", "journal_cover", "vegetable", 2),
        ("have got black harness, 4 mm, for a trouser belt", "trouser_belt", "vegetable", 4),
        ("tool roll from the latigo I have left", "tool_roll", "oily", None),
        ("a few offcuts of bridle, make a key fob", "key_fob", "vegetable", None),
        ("my mum's worn out leather coat, could you turn it into a clutch", "clutch", "chrome", None),
        ("can I use a torn jacket's leather for a coin pouch", "coin_pouch", "chrome", None),
        ("some skirting left over, 4 mm, for a watch strap", "watch_strap", "vegetable", 4),
        ("is my 1.4 mm chrome fine for a card holder", "card_holder", "chrome", 1.4),
        ("use 3 mm harness I already have for a dog lead", "dog_lead", "vegetable", 3),
    ],
)
def test_what_is_had_is_at_home_and_the_thing_is_what_is_made_of_it(
    say: str, thing: str, kind: str, mm: float | None
) -> None:
    answers = read_sentence(BASE, say).answers
    assert answers["item"].values == (thing,)
    assert answers["have_tannage"].values == (kind,)
    assert (answers["have_weight"].values[0] if "have_weight" in answers else None) == mm


@pytest.mark.parametrize(
    "say",
    [
        "elbow patches for a worn leather jacket",
        "a seat cover for an old sofa",
        "the bridle I have needs a new cheekpiece",
        "a strap over my shoulder, 3 mm thick",
        "have you any chrome for a bag",
        "I have a harness for the dog and want a collar",
    ],
)
def test_what_a_thing_is_for_or_what_is_no_leather_is_not_at_home(say: str) -> None:
    assert not {"have_tannage", "have_weight"} & read_sentence(BASE, say).answers.keys()


def test_veg_at_home_is_no_food_but_vegetables_are() -> None:
    assert "raised" not in read_sentence(BASE, "I have some veg in the shed, make a belt").answers
    assert "food" in read_sentence(BASE, "a trug to carry veg in from the plot").answers["raised"].values


@pytest.mark.parametrize(
    ("item", "have", "mm", "fits"),
    [
        ("trouser_belt", "vegetable", "3.5 mm", True),
        ("trouser_belt", "vegetable", "1.2 mm", False),
        ("dress_glove", "vegetable", "4 mm", False),
        ("tote_plain", "chrome", "1.4 mm", True),
    ],
)
def test_the_order_is_headed_by_the_leather_at_home_only_where_it_does(
    item: str, have: str, mm: str, fits: bool
) -> None:
    answers = parse_answers(BASE, {"item": item, "have_tannage": have, "have_weight": mm})
    found = at_home(Matter(BASE, answers))
    assert found is not None
    assert found.lines[0].startswith("Yes" if fits else "No")
    assert bool(found.order) is fits


def test_the_judgement_comes_first_and_the_order_says_what_it_is_to_be_cut_from() -> None:
    session = heard("I have some brown bridle, 3.5 mm, make a dog lead")
    said = " ".join(" ".join(session.hear("done").lines).split())
    assert "cut it from the 3.5 mm bridle leather you have" in said


def test_a_lead_alone_is_a_dog_lead_and_said_to_be_a_guess() -> None:
    reading = read_sentence(BASE, "I'd like a nice black lead please")
    assert reading.answers["item"].values == ("dog_lead",)
    assert "guessed_thing" in {d.code for d in reading.doubts}
    for other in ("a guitar lead", "a lead for my son", "a lead weight pouch"):
        assert "item" not in read_sentence(BASE, other).answers

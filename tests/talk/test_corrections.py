"""A correction reaches the thing, and nothing else does. Plain English, common practice at a counter."""

from __future__ import annotations

import pytest
from heard import heard

from advisor.read.corrections import correction
from advisor.rulebase.models import RuleBase

CORRECTIONS = (
    ("key fob", "no sorry, a card holder", "card_holder"),
    ("phone case", "it's a glasses case", "glasses_case"),
    ("chaps", "not chaps, a vest", "vest"),
    ("tote bag", "change tote to messenger bag", "satchel_briefcase"),
    ("axe mask", "I meant a knife sheath", "knife_sheath"),
    ("belt", "sorry, wallet not belt", "bifold_wallet"),
    ("belt", "I said belt but I meant a dog lead", "dog_lead"),
    ("belt", "hm ok a key fob then", "key_fob"),
    ("watch strap", "on second thoughts make it a bracelet instead", "wrist_cuff"),
    ("coasters", "never mind coasters, a desk pad", "desk_pad"),
    ("belt", "oh, that should be a bag strap", "bag_strap"),
    ("backpack", "can you make it a clutch", "clutch"),
    ("dog collar", "it's not a collar, it's a lead", "dog_lead"),
    ("bookmark", "actually a journal cover please", "journal_cover"),
    ("coin purse", "swap it for a passport cover", "passport_cover"),
)
NO_CORRECTIONS = (
    "he sleeps in a basket",
    "no, he sleeps in a basket",
    "it goes in my backpack",
    "it's a present",
    "no belt loops",
    "it's for a knife sheath",
    "no, he wears it with a belt",
    "a key fob",
    "I use it next to my tool roll",
    "my wallet is in the other pocket",
    "not for a bag",
    "it has a handle like a tote",
    "and a key fob too",
)


@pytest.mark.parametrize(("made", "text", "thing"), CORRECTIONS, ids=lambda t: t[:40])
def test_a_correction_changes_the_thing(made: str, text: str, thing: str) -> None:
    session = heard(made)
    assert session.item() != thing
    said = " ".join(session.hear(text).lines)
    assert session.item() == thing
    assert "That is now" in said
    session.hear("undo")
    assert session.item() != thing


@pytest.mark.parametrize("text", NO_CORRECTIONS)
def test_no_noun_in_an_answer_changes_the_thing(rulebase: RuleBase, text: str) -> None:
    found = correction(rulebase, text, "dog_collar")
    assert found is None or not found.named.taken
    session = heard("dog collar", text)
    assert session.item() == "dog_collar"


def test_what_no_longer_counts_is_said_and_the_rest_kept() -> None:
    session = heard("belt in black, 38 mm wide, waist 92 cm, for my wife who is allergic to nickel")
    said = " ".join(session.hear("no, a key fob").lines)
    assert "That is now a key fob; your waist no longer counts." in said
    kept = {"colour": ("black",), "strap_width": (38.0,), "allergy": ("nickel",), "item": ("key_fob",)}
    assert {n: a.values for n, a in session.answers.items() if n in kept} == kept
    assert "waist" not in session.answers


def test_a_correction_that_can_be_many_things_is_asked_about() -> None:
    session = heard("belt, 38 mm wide")
    said = " ".join(session.hear("no, a pouch").lines)
    assert "Which do you mean?" in said
    assert session.item() == "trouser_belt"
    session.hear("the coin one")
    assert session.item() == "coin_pouch"
    assert "strap_width" not in session.answers


def test_enter_keeps_the_thing_where_another_is_offered() -> None:
    session = heard("belt", "no, a pouch", "")
    assert session.item() == "trouser_belt"
    assert session.question is not None
    assert session.question.name == "waist"


def test_a_correction_without_a_thing_changes_the_answer_given_last() -> None:
    session = heard("belt, waist 90 cm", "38")
    assert "Changed: a belt 40 mm wide" in " ".join(session.hear("no, 40").lines)
    assert session.answers["waist"].values == (900.0,)

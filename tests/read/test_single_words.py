"""Single words: slips of spelling, shades as they were named, and words that mean something else in their place."""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read import lexicon as lex
from advisor.read.reader import read_sentence
from advisor.read.sentence import Sentence
from advisor.read.spelling import GUARDED
from advisor.talk.heard import not_understood
from advisor.talk.recording import consulted

BASE = load_rulebase()


@pytest.mark.parametrize(
    ("slip", "word"),
    [
        ("sattchel", "satchel"),
        ("poutch", "pouch"),
        ("ankel", "ankle"),
        ("stampt", "stamped"),
        ("becuase", "because"),
        ("sheeth", None),
    ],
)
def test_a_slip_of_sound_is_mended_where_one_word_is_meant(slip: str, word: str | None) -> None:
    assert Sentence(BASE, f"{slip} for my uncle").words[0] == (word or slip)


def test_a_word_of_plain_english_is_never_another() -> None:
    known = lex.lexicon(BASE)
    words = {w for w in lex.plain_english() | GUARDED if w not in known.spelt}
    assert len(words) > 9000
    assert not {w: lex.meant(known, w) for w in words if lex.meant(known, w)}


def test_a_name_with_a_capital_is_no_slip() -> None:
    assert Sentence(BASE, "a purse for Hollster").words[-1] == "hollster"
    assert Sentence(BASE, "a hollster for a torch").words[1] == "holster"


@pytest.mark.parametrize(
    ("text", "shade", "value"),
    [
        ("phone pouch in smoky lavender", "smoky lavender", "pastel_white"),
        ("bifold wallet, deep turquoise", "deep turquoise", "dark"),
        ("card holder, pinkish grey please", "pinkish grey", "dark"),
        ("a passport cover the colour of weak tea", "the colour of weak tea", "brown"),
        ("key fob, half white half green", "half white half green", "pastel_white"),
        ("glasses case in oxblod", "oxblood", "dark"),
        ("desk pad 60 x 40 cm in a red like ox blood", "red like ox blood", "bright"),
        ("card holder, plum or bottle green", "plum or bottle green", "dark"),
    ],
)
def test_a_shade_stands_on_the_order_as_it_was_named(text: str, shade: str, value: str) -> None:
    made = consulted(BASE, text, None)
    assert made.answers["colour"].values == (value,)
    assert next(line.colour for line in made.advice.order.lines if line.id == "body") == shade
    assert "raised" not in made.answers
    assert "chemicals" not in made.answers


def test_what_a_colour_is_like_is_said_back_where_it_names_none() -> None:
    reading = read_sentence(BASE, "key fob in a colour like a robin")
    assert [d.code for d in reading.doubts] == ["shade_guessed"]


@pytest.mark.parametrize(
    ("text", "attribute"),
    [
        ("the nails rust, so a door pull please", "colour"),
        ("chisel pouch, something to tool roll", "decoration"),
        ("a roll for carving tools", "decoration"),
        ("a strap for my grandma's old melodeon", "user_kind"),
        ("a mask for our village fair", "for_sale"),
        ("a wallet, I have never managed to thin the edges", "feel"),
        ("camera strap with suede on the inside", "wished_surface"),
        ("a lamp shade of parchment", "colour"),
    ],
)
def test_a_word_in_another_sense_says_no_value(text: str, attribute: str) -> None:
    assert attribute not in read_sentence(BASE, text).answers


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("a pair of coasters, walking size, for a birthday on the 7th, somthing cheap", ""),
        ("key fob, black, for my trombonist", "trombonist"),
    ],
)
def test_only_what_may_bear_on_the_order_is_told_as_not_understood(text: str, left: str) -> None:
    assert not_understood(BASE, read_sentence(BASE, text)) == ([f"Not understood: {left}."] if left else [])

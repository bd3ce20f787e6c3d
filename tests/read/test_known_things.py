"""What is known by its name is not told as not understood, and what is only like it is told as a guess."""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.notes import puzzling
from advisor.read.reader import read_sentence

BASE = load_rulebase()


@pytest.mark.parametrize(
    ("say", "strange"),
    [
        ("a wallet, my guitar is red", ()),
        ("a tote for my tablet and my camera", ()),
        ("shoulder patches for an old jacket", ()),
        ("a plonk for my camera", ("plonk",)),
        ("wozzle strap", ("wozzle",)),
    ],
)
def test_only_what_nobody_knows_is_told(say: str, strange: tuple[str, ...]) -> None:
    assert puzzling(BASE, read_sentence(BASE, say)) == strange


@pytest.mark.parametrize(("say", "guess"), [("straps for my tool chest", True), ("a strap for my suitcase", False)])
def test_what_is_for_something_only_like_it_is_a_guess(say: str, guess: bool) -> None:
    reading = read_sentence(BASE, say)
    assert reading.answers["item"].values == ("luggage_strap",)
    assert ("guessed_thing" in {d.code for d in reading.doubts}) is guess

"""What changes or takes back an answer changes that and nothing else. Plain English, common practice at a counter."""

from __future__ import annotations

import pytest
from heard import heard

from advisor.talk.session import Session

HELD = (
    (("phone case in pull-up leather", "no pull-up then, something smooth"), {"wished_tannage": None}),
    (("tote bag in patent leather", "patent no! i take that back, no patent"), {"wished_surface": None}),
    (("card holder, no goat", "goat is ok now"), {"refused_species": None}),
    (("tote bag for myself", "sorry its for my mum, not me"), {"for_sale": None}),
    (("glasses case for my mum's birthday", "no its for me, i keep it"), {"for_sale": ("no",)}),
    (("dog lead, 25 mm wide", "the lead is not 25 mm wide"), {"strap_width": None}),
    (("dog collar 45 mm wide", "no i mean 45 is his neck, in cm"), {"strap_width": None, "neck": (450.0,)}),
    (("20 coasters", "its not 20, its 12"), {"quantity": (12.0,), "width": None}),
    (("cushion cover, 15 cm thick", "change cushion thickness to 5 cm"), {"depth": (50.0,)}),
    (("desk pad", "change the pad width to 40 cm"), {"width": (400.0,)}),
)
KEPT = (
    ("dog lead, 20 mm wide", "it is not more than 20 mm wide", "strap_width"),
    ("belt, 38 mm wide", "my jeans are not 38", "strap_width"),
    ("belt, black", "is it not too thick?", "colour"),
    ("2 cushion covers 40 by 40 cm", "one of them should be a long one, 30 by 60 cm", "length"),
    ("tote bag in black", "and a pocket inside", "item"),
    ("journal cover", "and a strap round it", "item"),
)


@pytest.mark.parametrize(("lines", "then"), HELD, ids=lambda x: str(x)[:40])
def test_what_is_denied_or_moved_counts_no_longer(lines: tuple[str, ...], then: dict[str, object]) -> None:
    session = heard(*lines)
    assert {n: session.answers[n].values if n in session.answers else None for n in then} == then


@pytest.mark.parametrize(("first", "line", "name"), KEPT)
def test_what_denies_nothing_changes_nothing(first: str, line: str, name: str) -> None:
    before = heard(first).answers[name]
    assert heard(first, line).answers[name].values == before.values


@pytest.mark.parametrize("line", ["she is not allergic to nickel, that was my cousin", "no nickel allergy, my mistake"])
def test_what_protects_is_dropped_only_after_a_yes(line: str) -> None:
    session = heard("belt for my sister, she is allergic to nickel", line)
    assert session.pending is not None
    assert session.answers["allergy"].values == ("nickel",)
    session.hear("yes drop it, sorry")
    assert "allergy" not in session.answers


def test_a_danger_beside_what_is_taken_back_counts() -> None:
    for line in ("not for me, its for the baby to chew", "no it is not for me, the baby will chew it"):
        session = heard("belt for me", line)
        assert session.advice().no_order or session.advice().outcome == "another_material"


@pytest.mark.parametrize(
    "line",
    [
        "forget it, i'll buy one in the shop. bye",
        "drop the whole idea, she found one online. finished",
        "forget the rack, he takes a wooden one. done",
    ],
)
def test_a_closing_word_ends_the_talk(line: str) -> None:
    session = heard("desk pad 60 by 40 cm")
    assert session.hear(line).ended


def test_a_closing_word_behind_an_answer_shows_the_order() -> None:
    session = heard("belt, waist 92 cm, 38 mm wide")
    said = " ".join(session.hear("make it tan. done").lines)
    assert "ORDER" in said
    assert session.answers["colour"].values == ("tan",)


def test_nothing_is_called_by_a_name_with_underscores() -> None:
    session = heard("belt")
    for line in ("change the bucle thing to brass", "forget the tightness"):
        said = " ".join(session.hear(line).lines)
        assert "I know nothing called" in said
        assert "_" not in said


def test_a_way_out_is_told_and_understood() -> None:
    session = heard("teether for my baby")
    assert "Instead: " in " ".join(session.hear("so what can i make instead").lines)
    session = Session(session.rulebase)
    session.hear("cushion cover")
    session.hear("household machine")
    assert session.advice().conflicts
    assert "0.33 mm" in " ".join(session.hear("take thinner leather then").lines)


@pytest.mark.parametrize("line", ["just the one. why cant it be suede", "brown i said. why not suede"])
def test_a_reason_is_told_whatever_is_said_before_it(line: str) -> None:
    assert "Not suede" in " ".join(heard("journal cover with carving").hear(line).lines)


def test_a_shade_is_listed_once() -> None:
    said = " ".join(heard("card holder in burgundy", "done").hear("answers").lines)
    assert said.count("urgundy") == 1

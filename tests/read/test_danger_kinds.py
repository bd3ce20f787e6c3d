"""Dangers and look-alikes by kind of mistake, and two lots over all concepts; ``dangers_kinds.toml`` has first figures.

Through the whole advisor, the thing it takes included. What hurts whom is common practice.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from advisor import load_rulebase
from advisor.read.idioms import idioms
from advisor.read.reader import read_sentence
from advisor.talk.recording import consulted

BASE = load_rulebase()
TABLE: dict[str, Any] = tomllib.loads(Path(__file__).with_name("dangers_kinds.toml").read_text(encoding="utf-8"))
SETS = {**TABLE["lot"], **TABLE["kind"]}
KNOWN_ALARMS = {
    "the pump chews its leathers, I want two new cups, 50 mm",
    "the gears chewed a hole in my trouser leg so a bike clip please",
    "I weigh ninety kilos so my belt has to be long, trousers are 42.",
}
"""A pump's cup is a part of a machine; a trouser leg on a bike and a body's weight sound like more than they are."""


def alarms(text: str) -> set[str]:
    """The concepts that are asked about or said outright."""
    return {d.concept for d in read_sentence(BASE, text).dangers if d.state != "ruled_out"}


def test_the_lots_are_over_all_concepts() -> None:
    assert {concept for concept, _ in TABLE["lot"]["fourth"]["danger"]} == BASE.attributes["raised"].values.keys()
    assert {name: (len(s["danger"]), len(s["harmless"])) for name, s in TABLE["lot"].items()} == {
        "fourth": (44, 42),
        "fifth": (29, 26),
    }
    assert all(len(s["danger"]) >= 4 and len(s["harmless"]) >= 6 for s in TABLE["kind"].values())


@pytest.mark.parametrize("name", SETS)
def test_dangers_are_met_by_the_concept_that_is_right(name: str) -> None:
    assert [text for concept, text in SETS[name]["danger"] if concept not in alarms(text)] == []


@pytest.mark.parametrize("name", SETS)
def test_look_alikes_are_left_alone(name: str) -> None:
    alarmed = {text: found for text in SETS[name]["harmless"] if (found := alarms(text))}
    assert alarmed.keys() <= KNOWN_ALARMS, alarmed


@pytest.mark.parametrize(("text", "attribute"), TABLE["said"]["yes"])
def test_what_answers_its_own_danger_is_taken_as_said(text: str, attribute: str) -> None:
    answer = read_sentence(BASE, text).answers.get(attribute)
    assert answer is not None
    assert answer.values == ("yes",)


@pytest.mark.parametrize(("text", "attribute"), TABLE["said"]["open"])
def test_what_is_supposed_or_told_of_others_answers_nothing(text: str, attribute: str) -> None:
    assert attribute not in read_sentence(BASE, text).answers


@pytest.mark.parametrize("text", TABLE["old"]["nobody"])
def test_a_look_makes_nobody_old(text: str) -> None:
    assert "user_kind" not in read_sentence(BASE, text).answers


@pytest.mark.parametrize("text", TABLE["old"]["somebody"])
def test_somebody_old_is_heard(text: str) -> None:
    assert read_sentence(BASE, text).answers["user_kind"].values == ("elderly",)


@pytest.mark.parametrize(
    ("text", "compared"),
    [
        ("it tears like wet bread and smells", ["wet bread"]),
        ("goes just like a rocket through it", ["rocket"]),
        ("a bag that works like a wineskin", []),
        ("something like a dog harness", []),
        ("I would like a lead", []),
        ("it feels like I am holding a rope", []),
    ],
)
def test_what_a_verb_of_looking_or_acting_likens_is_found(text: str, compared: list[str]) -> None:
    words, spoken = text.lower().split(), idioms(BASE)
    found = [" ".join(words[a:b]) for a, b in spoken.likened(words, spoken.acts | spoken.looks)]
    assert found == compared


@pytest.mark.parametrize(
    ("text", "attribute"),
    [
        ("The old stuff tears like wet bread, hinges for my harmonium", "chemicals"),
        ("the skin feels like a baby's cheek, for a purse", "user_kind"),
        ("the cover crumbles like a biscuit, a ledger cover", "colour"),
    ],
)
def test_what_is_only_likened_is_no_fact(text: str, attribute: str) -> None:
    assert attribute not in read_sentence(BASE, text).answers


def test_a_look_that_is_likened_is_kept() -> None:
    assert read_sentence(BASE, "a wallet that looks like brown suede").answers["colour"].values == ("brown",)


def test_a_seat_left_out_all_year_wants_another_material_at_once() -> None:
    advice = consulted(BASE, "cushion cover for the garden seat, it stays out all winter", None).advice
    assert advice.outcome == "another_material"

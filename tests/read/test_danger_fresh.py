"""Dangers and look-alikes over all concepts, written in two lots and each scored once before anything was mended.

Through the whole advisor, the thing it takes included. What hurts whom is common practice.

- ``first``, written before its author had read the words: 50 of 60 met by a concept that is right, 54 by any, none
  sold; 14 of 60 look-alikes alarmed. Look-alikes borrow the words of a danger, so they are harder than other speech.
- ``second``, written after the words were mended for ``first``, each line about a thing, a place or a person drawn by
  lot, so that its author could not steer towards the words: 31 of 60 met by a right concept, 37 by any, 2 sold; 6 of 60
  alarmed. This is the honest figure for dangers that nothing but the situation tells.
- ``third``, by lot too, after the words were mended for ``second``: 11 of 21 met by a right concept, 16 by any, 1 sold;
  0 of 20 alarmed. Nothing was mended for it, so it shows how far the words carry.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from advisor import load_rulebase
from advisor.read.reader import read_sentence
from advisor.talk.session import Session

BASE = load_rulebase()
TABLE: dict[str, Any] = tomllib.loads((Path(__file__).parent / "dangers_fresh.toml").read_text(encoding="utf-8"))
LOTS = ("first", "second")


def alarms(text: str) -> set[str]:
    """The concepts that are asked about or said outright."""
    return {d.concept for d in read_sentence(BASE, text).dangers if d.state != "ruled_out"}


def test_every_concept_is_meant_by_some_sentence() -> None:
    for lot in LOTS:
        lines = [line for line in TABLE["danger"] if line["lot"] == lot]
        assert {c for line in lines for c in line["concepts"]} == BASE.attributes["raised"].values.keys()
        assert len(lines) == len(TABLE["harmless"][lot]) == 60


@pytest.mark.parametrize("lot", LOTS)
def test_dangers_are_met(lot: str) -> None:
    lines = [line for line in TABLE["danger"] if line["lot"] == lot]
    missed = [line["text"] for line in lines if alarms(line["text"]).isdisjoint(line["concepts"])]
    assert len(missed) <= 0.1 * len(lines), missed


def test_dangers_that_nothing_was_mended_for_are_met_no_less() -> None:
    lines = [line for line in TABLE["danger"] if line["lot"] == "third"]
    met = [line["text"] for line in lines if not alarms(line["text"]).isdisjoint(line["concepts"])]
    assert len(lines) == 21
    assert len(met) >= 11, met


@pytest.mark.parametrize("lot", [*LOTS, "third"])
def test_look_alikes_are_left_alone(lot: str) -> None:
    alarmed = {text: sorted(found) for text in TABLE["harmless"][lot] if (found := alarms(text))}
    assert len(alarmed) < 0.05 * len(TABLE["harmless"][lot]), alarmed


CONTACT = ("boxing", "fencing", "kendo", "ice hockey", "cricket", "rugby", "roller derby", "lacrosse")
GUARDS = ("mask", "pads", "headgear", "gloves", "shin guards")
SPORTING = (
    "a wallet with a rugby ball stamped on it",
    "football card box",
    "a bag for my boxing gloves",
    "bag for hockey pads",
    "keyring like a boxing glove",
    "a cover for my cricket bat",
    "a strap for my skating bag",
    "a rugby fan's belt",
)


@pytest.mark.parametrize("sport", CONTACT)
def test_what_guards_a_body_in_a_sport_is_asked_about_in_either_order(sport: str) -> None:
    said = [text for guard in GUARDS for text in (f"a leather {guard} for {sport}", f"{sport} {guard} in black")]
    assert [text for text in said if "protection" not in alarms(text)] == []


def test_what_only_belongs_to_a_sport_is_left_alone() -> None:
    assert {text: found for text in SPORTING if "protection" in (found := alarms(text))} == {}


SPOKEN = tomllib.loads((Path(__file__).parent / "dangers_spoken.toml").read_text(encoding="utf-8"))["line"]
SOLD = {"a sheath for my bowie", "collar for our new mastiff, he pulls like a train"}
"""What cuts is met by the sheath's own conditions, a strong dog by the limits of use on every collar's order."""


def ordered(text: str) -> tuple[bool, bool]:
    """Whether an order stands, and whether a stop, a question or an allergy goes with what was said."""
    session = Session(BASE)
    session.hear(text)
    advice = session.advice()
    stops = any(c.severity == "stop" and c.status == "applies" for c in advice.cautions)
    stands = session.item() is not None and not advice.no_order and advice.outcome is not None
    return stands, stops or bool(advice.dangers) or "raised" in session.answers


def test_a_danger_that_was_spoken_is_not_sold() -> None:
    judged = {line["text"]: ordered(line["text"]) for line in SPOKEN if line["danger"]}
    assert len(judged) == 60
    assert {text for text, (stands, met) in judged.items() if stands and not met} <= SOLD


def test_who_speaks_of_no_danger_is_not_asked_about_one() -> None:
    calm = [line["text"] for line in SPOKEN if not line["danger"]]
    assert len(calm) == 40
    assert [text for text in calm if alarms(text)] == []

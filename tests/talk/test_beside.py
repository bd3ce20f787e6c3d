"""What decides between leathers that stand level, and what is said of one of which no rule speaks; common practice."""

from __future__ import annotations

import re

import pytest
from plain import sampled

from advisor.read.beside import check_beside, held_against, take_if
from advisor.rulebase.models import RuleBase
from advisor.talk.naming import candidates_named
from advisor.talk.session import Session


def reply(rulebase: RuleBase, thing: str, ask: str) -> str:
    session = Session(rulebase)
    session.hear(thing)
    return " ".join(session.hear(ask).lines)


def test_the_file_names_what_there_is(rulebase: RuleBase) -> None:
    assert check_beside(rulebase) == []


@pytest.mark.parametrize("decision", ["tannage", "species"])
def test_each_leather_has_what_people_hold_against_it(rulebase: RuleBase, decision: str) -> None:
    strap, thin = {"family": ("straps",), "weight": (3.0,)}, {"family": ("books",), "weight": (0.8,)}
    for candidate in rulebase.decisions[decision].candidates:
        assert held_against(rulebase, decision, candidate, strap) or held_against(rulebase, decision, candidate, thin)


def test_without_the_words_for_each_nothing_is_told_of_any(rulebase: RuleBase) -> None:
    assert set(take_if(rulebase, "species", ["goat", "calf"])) == {"goat", "calf"}
    assert take_if(rulebase, "species", ["goat", "fish"]) == {}


# What a counter hand says of each pair; common practice.
PAIRS = (
    ("a belt for jeans, 38 mm wide, waist 92 cm", "why bridle rather than harness?", "coloured, waxed.*outdoors"),
    ("a belt for jeans, 38 mm wide, waist 92 cm", "why tooling rather than bridle?", "dye, stamp or carve.*waxed"),
    ("a dog collar for a 30 kg dog that swims", "why not harness instead of latigo?", "supple through many wettings"),
    (
        "a dog collar for a 30 kg dog that swims",
        "why not oil tanned instead of latigo?",
        "^Latigo for the dog collar.*Oil-tan",
    ),
    ("a tote bag 38 x 40 cm", "why milled rather than pull-up?", "hide scuffs.*no dye"),
    ("a tote bag 38 x 40 cm", "why not deer rather than cow?", "stretches"),
    ("a card holder, hand sewn", "why not goat instead of calf?", "cowhide.*finest, smoothest"),
    ("a card holder, hand sewn", "why calf rather than cowhide?", "small and dear"),
    ("driving gloves", "why deer rather than sheep?", "stretches, scratches"),
    ("moccasins, foot 27 cm", "why not cow instead of deer?", "puckers"),
    ("a bookbinding in goat", "why goat rather than calf?", "weaker at the joint"),
    ("moccasins, foot 27 cm", "why soft leather rather than firm?", "^Soft for the pair of moccasins"),
)


@pytest.mark.parametrize(("thing", "ask", "says"), sampled(PAIRS, 2))
def test_two_are_parted_by_what_decides(rulebase: RuleBase, thing: str, ask: str, says: str) -> None:
    said = reply(rulebase, thing, ask)
    assert re.search(says, said), said


def test_what_no_rule_speaks_of_is_told_with_its_drawback(rulebase: RuleBase) -> None:
    said = reply(rulebase, "an A5 journal cover", "why not bridle leather?")
    assert "not ruled out" in said
    assert "stiff to fold" in said


def test_of_a_group_the_one_that_stands_level_is_named(rulebase: RuleBase) -> None:
    # Pull-up is a chrome leather; tooling leather, which is named first, is none.
    said = reply(rulebase, "an A5 journal cover", "why not chrome?")
    assert "Of chrome, pull-up leather" in said


def test_an_order_beside_a_conflict_is_not_said_to_stand(rulebase: RuleBase) -> None:
    thing = "crossbody bag, household sewing machine"
    assert "No order stands yet" in reply(rulebase, thing, "why not goat instead of cow?")
    after = reply(rulebase, thing, "what if I sew it by hand?")
    assert "an order stands" in after
    assert "No order stands" not in after


def test_thin_leather_is_judged_by_what_goes_wrong_with_it(rulebase: RuleBase) -> None:
    said = reply(rulebase, "a camera strap, 25 mm wide, hand sewn", "is 1.6 mm thick enough?")
    assert "too thin" in said
    assert "stretches" in said


def test_a_name_with_a_hyphen_or_a_tan_is_found_whole(rulebase: RuleBase) -> None:
    assert candidates_named(rulebase, "pull-up")[0][0] == "tannage"
    assert candidates_named(rulebase, "oil tanned") == [("tannage", "oiltan_stuffed")]
    assert candidates_named(rulebase, "soft leather") == [("temper", "soft")]

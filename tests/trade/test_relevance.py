"""Which cautions a thing can meet, and which only burden its page.

The pairs are common practice: what a saddler, shoemaker or counter hand would say of this thing unasked, and what
would make the customer laugh. They were written before any output was seen.
"""

from __future__ import annotations

import pytest
from cautions_table import COLUMNS, concerning
from plain import plain_advice

from advisor import consult, load_rulebase
from advisor.reasoning.advice import Advice
from advisor.rulebase.models import MOST_NOTES
from advisor.write.screen import advice_lines

BASE = load_rulebase()
CHILD: dict[str, object] = {"user_kind": "child_3_12"}
SHOWN_AT_MOST = 3
"""So many cautions that nobody has ruled out may stand beside the order of an ordinary thing."""

MET: list[tuple[str, dict[str, object], str]] = [
    ("trouser_belt", {}, "nickel_on_skin"),
    ("trouser_belt", {}, "measure_old_belt"),
    ("trouser_belt", {"edge": "painted"}, "leather_dust"),
    ("watch_strap", {}, "nickel_on_skin"),
    ("wrist_cuff", {"wished_tannage": "chrome_milled", "edge": "painted"}, "chromium_on_skin"),
    ("dress_glove", {}, "chromium_on_skin"),
    ("dress_glove", {}, "chromium_allergy"),
    ("earring", {}, "nickel_on_skin"),
    ("dog_collar", {}, "no_leather_chew"),
    ("dog_collar", {}, "cast_zinc_breaks"),
    ("dog_lead", {}, "cast_zinc_breaks"),
    ("dog_lead", {}, "limits_of_use"),
    ("cat_collar", {}, "cat_break_away"),
    ("dog_muzzle", {}, "muzzle_lets_pant"),
    ("halter", {}, "horse_must_break_free"),
    ("riding_saddle", {}, "tack_and_rider"),
    ("baby_moccasin", {}, "small_parts"),
    ("baby_moccasin", {}, "in_the_mouth"),
    ("baby_moccasin", {}, "child_goods_for_sale"),
    ("ball_panel", {}, "small_parts"),
    ("apron_workshop", {}, "dangling_ties"),
    ("apron_workshop", {}, "sparks_and_flame"),
    ("apron_welding", {}, "sparks_and_flame"),
    ("axe_mask", {}, "blade_rust"),
    ("axe_mask", {}, "blade_and_child"),
    ("knife_sheath", {}, "blade_and_child"),
    ("swing_seat", {}, "swing_load_path"),
    ("swing_seat", {}, "left_outdoors"),
    ("chair_sling", {}, "proof_load_seat"),
    ("table_mat", {}, "no_scorching"),
    ("moulded_tray", {}, "food_contact"),
    ("lampshade", {}, "lamp_fire"),
    ("lace", {}, "neck_cords"),
    ("camera_strap", CHILD, "neck_cords"),
    ("badge_holder", {}, "lanyard_break_away"),
    ("tool_belt", {}, "tool_belt_is_no_safety_belt"),
    ("motorcycle_pannier", {}, "pannier_mount"),
    ("luggage_strap", {}, "vehicle_load"),
    ("hanger", {}, "wall_fixing"),
    ("oven_mitt", {}, "hot_dish"),
    ("sandal", {}, "slippery_sole"),
    ("boot_upper", {"water": "rain"}, "proofing_spray"),
    ("curtain_tie", {}, "curtain_loop"),
    ("journal_cover", {"glue": "solvent_cement", "workspace_vent": "none"}, "solvent_cement_closed_room"),
    ("coaster", {"colour_method": "dye_self"}, "solvent_dye"),
    ("card_holder", {"allergy": ["chromium"]}, "chromium_allergy"),
    ("journal_cover", {**CHILD, "for_sale": "sale"}, "child_goods_for_sale"),
]
"""Item, answers besides it, and a caution that has to be seen."""

NOT_MET: list[tuple[str, dict[str, object], str]] = [
    *(
        ("key_fob", {}, c)
        for c in (
            "aircraft_release",
            "swing_load_path",
            "nothing_overhead",
            "food_contact",
            "tack_and_rider",
            "airbag_seams",
            "leather_dust",
            "running_machine",
            "clinician_specifies",
            "chromium_over_limit",
            "grease_in_oxygen",
        )
    ),
    *(
        ("coaster", {}, c)
        for c in (
            "no_person_on_leather",
            "neck_cords",
            "no_leather_chew",
            "vehicle_load",
            "chromium_on_skin",
            "nickel_on_skin",
            "limits_of_use",
            "aircraft_release",
        )
    ),
    *(
        ("trouser_belt", {}, c)
        for c in (
            "proofing_spray",
            "no_leather_chew",
            "vehicle_load",
            "laser_chromium",
            "leather_dust",
            "no_person_on_leather",
            "chromium_on_skin",
            "chromium_allergy",
        )
    ),
    *(
        ("dog_collar", {}, c)
        for c in (
            "chromium_on_skin",
            "no_leather_is_reaction_free",
            "food_contact",
            "blade_and_child",
            "chromium_allergy",
            "airbag_seams",
            "nickel_on_skin",
        )
    ),
    *(
        ("journal_cover", {}, c)
        for c in (
            "limits_of_use",
            "slippery_sole",
            "tied_animals",
            "child_at_machine",
            "hot_dish",
            "cast_zinc_breaks",
        )
    ),
    *(("riding_saddle", {}, c) for c in ("food_contact", "child_at_machine", "airbag_seams", "no_leather_chew")),
    *(("axe_mask", {}, c) for c in ("chromium_allergy", "hot_dish", "neck_cords", "aircraft_release")),
    *(("apron_workshop", {}, c) for c in ("tack_and_rider", "no_leather_chew", "nothing_overhead")),
    *(("baby_moccasin", {}, c) for c in ("vehicle_load", "aircraft_release", "knife_law", "no_person_on_leather")),
    *(("swing_seat", {}, c) for c in ("food_contact", "no_leather_chew", "aircraft_release", "neck_cords")),
    ("bifold_wallet", {"wished_tannage": "chrome_milled"}, "iron_blackens"),
    ("bifold_wallet", {"wished_tannage": "chrome_milled"}, "bare_face_marks"),
    ("vest", {}, "hot_pan_mat"),
    ("trouser_belt", {"size_known": "measured"}, "measure_old_belt"),
    ("carrier", {}, "vehicle_load"),
    ("tote_plain", {}, "airbag_seams"),
]
"""Item, answers besides it, and a caution that does not concern it."""


def advised(item: str, answers: dict[str, object]) -> Advice:
    """The advice for an item and what else was said."""
    return consult(BASE, {"item": item, **answers}) if answers else plain_advice(item)


@pytest.mark.parametrize(("item", "answers", "caution"), MET)
def test_what_the_thing_can_meet_is_relevant(item: str, answers: dict[str, object], caution: str) -> None:
    assert caution in {c.id for c in advised(item, answers).cautions if c.relevant}


@pytest.mark.parametrize(("item", "answers", "caution"), NOT_MET)
def test_what_the_thing_does_not_meet_is_held_back(item: str, answers: dict[str, object], caution: str) -> None:
    assert caution in BASE.cautions
    assert caution not in {c.id for c in advised(item, answers).cautions if c.relevant}


@pytest.mark.parametrize("item", BASE.items)
def test_no_thing_is_buried_in_warnings(item: str) -> None:
    row = dict(zip(COLUMNS, concerning(advised(item, {})), strict=False))
    assert row["not ruled out"] <= SHOWN_AT_MOST
    assert row["notes"] <= MOST_NOTES


@pytest.mark.parametrize("item", ["key_fob", "dog_collar", "riding_saddle"])
def test_what_is_held_back_stands_in_full(item: str) -> None:
    advice = advised(item, {})
    held_back = [c for c in advice.cautions if not c.relevant]
    told = " ".join(" ".join(advice_lines(BASE, advice, 100, full=True)).split())
    assert held_back
    assert all(" ".join(c.text.split()) in told for c in advice.cautions)


def test_a_stop_that_applies_always_concerns() -> None:
    applying = [c for item in BASE.items for c in advised(item, {}).cautions_told if c.status == "applies"]
    stops = [c for c in applying if c.severity == "stop"]
    assert len(stops) > 20
    assert all(c.relevant for c in stops)


def test_the_worst_stands_first() -> None:
    cautions = advised("baby_moccasin", {"sew": "hand_saddle"}).cautions
    ranks = [BASE.cautions[c.id].rank for c in cautions if c.status == "applies" and c.severity == "caution"]
    assert cautions[0].id == "small_parts"
    assert ranks == sorted(ranks)
    assert len(set(ranks)) > 1


def test_without_an_order_there_is_nothing_to_note_about_making_it() -> None:
    # A saddle is deferred and its order withheld; before, the width of its buckles was told all the same.
    advice = advised("riding_saddle", {})
    assert advice.no_order
    assert "note" in {c.severity for c in advice.cautions if c.status == "applies"}
    assert "note" not in {c.severity for c in advice.cautions if c.relevant}


def test_what_another_caution_says_as_well_is_told_once() -> None:
    closed = {"glue": "solvent_cement", "workspace_vent": "none"}
    for vent, wanted in (("none", "solvent_cement_closed_room"), ("window", "solvent_cement")):
        found = {c.id for c in advised("journal_cover", {**closed, "workspace_vent": vent}).cautions if c.relevant}
        assert found & {"solvent_cement", "solvent_cement_closed_room"} == {wanted}


@pytest.mark.parametrize(
    ("item", "rule", "matters"),
    [
        # The sum of a lead sets its thickness; of a belt in trousers the usual weight does.
        ("dog_lead", "loaded-straps-are-thick-enough", True),
        ("trouser_belt", "loaded-straps-are-thick-enough", False),
        # Box and cross, or no holes: the leather bought is the same.
        ("dog_lead", "no-holes-across-loads", False),
        ("axe_mask", "blades-are-not-stored-in-leather", False),
        # A painted edge needs paint instead of gum.
        ("camera_strap", "straps-are-burnished", True),
    ],
)
def test_makers_differ_only_where_it_changes_the_order(item: str, rule: str, matters: bool) -> None:
    (step,) = [s for s in advised(item, {}).trace if s.rule == rule]
    assert step.contested
    assert step.relevant is matters


def test_a_practice_nobody_disputes_says_nothing_of_it() -> None:
    undisputed = [s for s in advised("dog_lead", {}).trace if not s.contested]
    assert undisputed
    assert all(s.relevant is None for s in undisputed)

"""The order line by line: every piece on one line, nothing beyond what a form holds, nothing that is not sold.

The facts of the trade are common practice; that gussets, straps and keepers were forgotten was found by an audit.
"""

from __future__ import annotations

import math
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from plain import plain_advice, sampled

from advisor import consult, load_rulebase
from advisor.reasoning.advice import Advice, OrderLine, PieceView
from advisor.rulebase.house import load_house
from advisor.rulebase.models import NO_ORDER

BASE = load_rulebase()
FORM, TANNAGE = BASE.decisions["form"], BASE.decisions["tannage"]
SIZES = [a for a in BASE.attributes.values() if a.group == "size" and a.kind == "quantity" and a.ask != "never"]


def advise(item: str, **answers: Any) -> Advice:
    return consult(BASE, {"item": item, **answers}) if answers else plain_advice(item)


def line(advice: Advice, name: str) -> OrderLine:
    return next(ln for ln in advice.order.lines if ln.id == name)


@st.composite
def answers_for(draw: st.DrawFn, item: str) -> dict[str, Any]:
    """A thing of sizes between half and one and a half times the usual, up to a dozen of it."""
    answers: dict[str, Any] = {"item": item, "quantity": draw(st.integers(1, 12))}
    for a in SIZES:
        usual = BASE.items[item].supposes.get(a.name)
        if usual and draw(st.booleans()):
            size = float(usual[0]) * draw(st.floats(0.5, 1.5))
            answers[a.name] = f"{round(min(max(size, a.low or 0.0), a.high or size))} {a.unit}"
    if lining := draw(st.sampled_from(["", "", "none", "leather", "textile", "suede", "foam"])):
        answers["lining"] = lining
    return answers


def cut_from(advice: Advice) -> dict[str, list[OrderLine]]:
    """Each line that is bought -> itself and the lines that share it."""
    leathers = [ln for ln in advice.order.lines if ln.kind == "leather"]
    return {ln.id: [ln, *(s for s in leathers if s.shares == ln.id)] for ln in leathers if ln.shares is None}


@pytest.mark.parametrize("item", sampled(sorted(BASE.items), 24))
@given(data=st.data())
@settings(max_examples=4, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
def test_an_order_of_any_size_is_whole_and_can_be_bought(item: str, data: st.DataObject) -> None:
    """Each piece is on one line, nothing exceeds its form, leather is ordered as sold, no fitting is forgotten."""
    answers = data.draw(answers_for(item))
    advice = consult(BASE, answers)
    if not advice.order.lines:
        return
    spec = BASE.items[item]
    pieces = {p.name: p for p in advice.decisions.amount.pieces}
    follows = {p.name for p in spec.pieces if p.of and spec.parts[p.of].follows}
    left_out = follows if _lining(advice) == "none" else set()
    named = Counter(name for ln in advice.order.lines for name in ln.pieces)
    assert named == Counter(pieces.keys() - left_out)
    for shared in cut_from(advice).values():
        cut = [pieces[name] for ln in shared for name in ln.pieces]
        if shared[0].form is None:
            _reaches(shared[0], cut, answers["quantity"])
        else:
            _holds(shared[0], cut, answers["quantity"], {p.name for p in spec.pieces if p.along == "either"})
    _sold(advice)
    hardware = advice.facts["hardware"].value if "hardware" in advice.facts else []
    assert isinstance(hardware, list)
    for ln in advice.order.lines:
        assert ln.count is not None or ln.shares, ln.id
        assert ln.count is None or ln.count >= 1, ln.id
        assert ln.kind == "fitting" or ln.colour is not None, ln.id
    fitted: dict[str, set[str]] = {}
    for f in BASE.fittings.values():
        for value in (v for p in f.when if p.attribute == "hardware" for v in p.values):
            fitted.setdefault(str(value), set()).add(f.name)
    # A rivet is one of two kinds.
    assert all(len(fitted[str(h)] & {ln.id for ln in advice.order.lines}) == 1 for h in hardware if h in fitted)


def _reaches(bought: OrderLine, cut: list[PieceView], quantity: int) -> None:
    """What is bought by the length is as long and wide as each piece, one length for each."""
    assert bought.length_mm is not None
    assert bought.width_mm is not None
    assert bought.count == quantity * sum(p.count for p in cut)
    assert all(p.length_mm <= bought.length_mm and p.width_mm <= bought.width_mm for p in cut)


def _sold(advice: Advice) -> None:
    """Every leather that is bought is sold so thin and so thick."""
    for ln in advice.order.lines:
        if ln.kind == "fitting":
            continue
        assert ln.low_mm is not None
        assert ln.high_mm is not None
        assert ln.low_mm <= ln.high_mm
        sold = TANNAGE.candidates[str(ln.tannage)].properties
        # A thinner cut of the main leather is split for the job; what is bought by itself is sold so.
        if ln.shares is None:
            assert float(sold["thinnest"]) <= ln.low_mm
            assert ln.high_mm <= float(sold["thickest"])
            if ln.form:
                assert ln.high_mm <= float(FORM.candidates[ln.form].properties["thickest"])


def _lining(advice: Advice) -> object:
    return advice.facts["lining"].value if "lining" in advice.facts else None


def _holds(bought: OrderLine, cut: list[PieceView], quantity: int, turned: set[str]) -> None:
    """Each piece goes in, and all of them are no more leather than is bought."""
    told = FORM.candidates[str(bought.form)].properties
    length, width = float(told["length"]), float(told["width"])
    for piece in cut:
        ways = [(piece.length_mm, piece.width_mm)]
        ways += [(piece.width_mm, piece.length_mm)] if piece.name in turned else []
        assert any(a <= length and b <= width for a, b in ways), (bought.form, piece)
    net = quantity * sum(p.count * p.length_mm * p.width_mm for p in cut) / 10_000
    assert bought.count is not None
    area = float(told["area"])
    if told["sold_by"] == "strap":
        assert bought.width_mm is not None
        area = length * bought.width_mm / 10_000
    assert net <= bought.count * area * 1.001
    # Two pieces longer and wider than half of it would both cover its middle.
    if told["sold_by"] == "area":
        large = quantity * sum(p.count for p in cut if p.length_mm > length / 2 and p.width_mm > width / 2)
        assert large <= bought.count


@pytest.mark.parametrize("item", sorted(BASE.items))
def test_what_is_ordered_of_a_bare_thing_is_sold_and_labelled(item: str) -> None:
    """In a thickness that is sold, exactly where the verdict lets it stand, and with no slug in a label."""
    advice = advise(item)
    _sold(advice)
    assert (advice.order.lines == []) == (advice.verdict in NO_ORDER)
    for ln in advice.order.lines:
        assert ln.label
        assert "_" not in ln.label
        assert "_" not in (ln.size or "")


def test_a_crossbody_bag_has_its_gusset_and_its_strap() -> None:
    # Bought as one panel before, with 0.25 dm2 left over for a gusset of 3.9 dm2 and no strap at all (audit, A8).
    advice = advise("crossbody")
    gusset, strap = line(advice, "gusset"), line(advice, "strap")
    assert (gusset.shares, gusset.high_mm) == ("body", 1.2)
    assert (strap.count, strap.form, strap.length_mm, strap.width_mm) == (1, "strap_blank_1270", 1270, 20)
    assert strap.low_mm == 2.4
    body = line(advice, "body")
    assert body.count == 2 or body.form not in ("panel_12x12", "panel_12x24")


def test_the_blank_of_a_belt_holds_its_keeper_or_is_longer() -> None:
    # 1165 + 100 mm come out of 1270; 1195 + 100 mm do not.
    short, long = advise("trouser_belt", waist="92 cm"), advise("trouser_belt", waist="95 cm")
    assert (line(short, "body").form, line(short, "keeper").shares) == ("strap_blank_1270", "body")
    assert line(long, "body").length_mm == 1520


def test_a_wallet_has_a_thinner_leather_for_its_pockets() -> None:
    advice = advise("bifold_wallet")
    inside = line(advice, "inside_and_pocket")
    assert inside.shares is None
    assert inside.high_mm == 0.8
    assert inside.pieces == ["inside, 6 mm shorter", "pocket backing", "front pocket", "T-pocket"]


def test_a_lining_of_cloth_is_no_leather_and_none_is_no_line() -> None:
    assert line(advise("jacket"), "lining").kind == "fitting"
    assert line(advise("dog_collar", lining="textile"), "lining").label == "lining cloth"
    assert all(ln.id != "lining" for ln in advise("dog_collar", lining="none").order.lines)


def test_an_allergy_reaches_every_leather_of_the_thing() -> None:
    # Latigo, oil tan and chrome splits hold chromium (REACH entry 47 is about skin contact with such leather).
    chromium = set(TANNAGE.groups["chromium_any"])
    for item in ("phone_pouch", "slipper", "backpack", "coin_pouch", "glasses_case"):
        used = {ln.tannage for ln in advise(item, allergy=["chromium"]).order.lines if ln.kind == "leather"}
        assert used.isdisjoint(chromium), item


def test_a_leather_that_no_limit_leaves_is_a_conflict_and_no_order() -> None:
    # Drum lace is rawhide and the belt of chaps a cattle strap: with no cow at all nothing sold so is left for it.
    advice = advise("chaps", limits=["no_cow"])
    assert advice.order.lines == []
    conflict = next(c for c in advice.conflicts if c.about == "part belt")
    assert conflict.resolutions


def test_a_thickness_that_nothing_meets_is_no_order() -> None:
    advice = advise("tote_heavy", sew="machine_domestic")
    assert advice.decisions.weight.order_as is None
    assert advice.order.lines == []


def test_anchors_sewn_by_hand_leave_a_bag_to_the_household_machine() -> None:
    # Two layers of 1 mm pass a household needle (2 mm of soft leather), four at the handle do not; makers sew or rivet
    # the handle by hand (common practice).
    held = {i.slug for i in BASE.items.values() for z in i.zones if z.anchor}
    (rule,) = (r for r in BASE.rules.values() if r.id == "household-machines-and-anchors")
    assert {v for p in rule.when if p.attribute == "item" for v in p.values} == held
    for item in ("tote_plain", "carrier"):
        advice = advise(item, sew="machine_domestic")
        weight = advice.decisions.weight
        assert advice.order.lines
        assert weight.order_as is not None
        sewn = [s for s in advice.stacks if s.kind == "sewn"]
        assert sewn
        assert all(s.limit_mm is not None and s.mm <= s.limit_mm for s in sewn)
        assert any(s.kind == "hand_sewn" and s.mm > 2 for s in advice.stacks)
        assert "anchors_by_hand" in {c.id for c in advice.cautions if c.status == "applies" and c.relevant}
    by_hand = advise("tote_plain", sew="hand_saddle")
    assert not [s for s in by_hand.stacks if s.kind == "hand_sewn"]


def test_skins_are_sold_by_their_animal() -> None:
    # A frame drum is headed with goat, one skin to a head of 14 in; a side of cattle was ordered before (audit).
    ten = line(advise("drum_head", quantity=10), "body")
    assert (ten.form, ten.count) == ("skin_goat", 10)
    calf = advise("coin_pouch", wished_species="calf", quantity=10)
    assert line(calf, "body").form == "skin_calf"
    assert line(calf, "body").species == "calf"


def test_fittings_follow_the_pattern() -> None:
    belt = advise("trouser_belt", strap_width="38 mm", quantity=3)
    buckle, thread = line(belt, "buckle"), line(belt, "thread")
    assert (buckle.count, buckle.width_mm) == (3, 38)
    assert thread.width_mm == pytest.approx(0.9)
    # Bought in spools; the length needed is told in whole metres, never less.
    needed = 3 * float(str(belt.facts["thread_length"].value)) * 1000
    assert thread.length_mm == math.ceil(needed / 1000) * 1000
    assert thread.count == math.ceil(needed / 25_000)
    dyed = advise("trouser_belt", colour="black", colour_method="dye_self")
    assert (line(dyed, "dye").colour, line(dyed, "dye").count, line(dyed, "finish").count) == ("black", 1, 1)
    # Who dyes buys the leather bare (common practice).
    assert line(dyed, "body").colour == "natural"
    assert all(ln.id != "dye" for ln in advise("trouser_belt", colour_method="bought_coloured").order.lines)


def test_every_line_bought_in_a_form_is_compared_in_cost() -> None:
    for ln in advise("backpack").order.lines:
        assert (ln.cost is not None) == (ln.kind == "leather" and ln.form is not None and ln.shares is None)


def test_a_shop_prices_each_leather_by_itself() -> None:
    # The invented list: a blank of 25 mm in bridle leather costs what it says for that width.
    house = load_house(Path(__file__).parents[2] / "transcripts_demo" / "house", BASE)
    advice = consult(BASE, {"item": "bottle_holder"}, house=house)
    body, strap = line(advice, "body"), line(advice, "strap")
    chosen = next(f for f in advice.decisions.amount.forms if f.form == body.form)
    assert body.cost is not None
    assert chosen.cost is not None
    assert body.cost.total == chosen.cost.total
    listed = [p for p in house.prices if (p.form, p.tannage) == (strap.form, strap.tannage)]
    assert strap.cost is not None
    assert strap.width_mm is not None
    wide = [p.amount for p in listed if p.width_mm is None or p.width_mm >= strap.width_mm]
    assert strap.cost.total == str(min(wide))


def test_every_leather_has_the_colour_it_is_bought_in() -> None:
    # Straps and linings are bought to match; rawhide, white tawed skins and soles are not dyed (common practice).
    assert [ln.colour for ln in advise("satchel_briefcase", colour="black").order.lines if ln.kind == "leather"] == [
        "black"
    ] * 5
    assert {line(advise("drum_head", colour="brown"), name).colour for name in ("body", "lace")} == {"natural"}
    sandal = advise("sandal", colour="black")
    assert [line(sandal, name).colour for name in ("body", "insole", "outsole")] == ["black", "natural", "natural"]


def test_soles_are_ordered_in_irons_and_thin_linings_by_the_half_ounce() -> None:
    # 1 iron is 1/48 in, 1 oz 1/64 in (ASTM D1814).
    assert line(advise("shoe_sole"), "body").order_as == "9-10 iron (4.5 to 5.5 mm)"
    assert line(advise("sandal"), "outsole").order_as == "9-10 iron (4.5 to 5.5 mm)"
    assert line(advise("jacket", lining="leather"), "body").order_as == "2-3 oz (0.7 to 1.1 mm)"


def test_the_straps_of_a_satchel_have_lines_of_their_own() -> None:
    # The handle and the closing straps are cut along the backbone of the same side (common practice).
    satchel = advise("satchel_briefcase")
    closing, handle = line(satchel, "closing_strap"), line(satchel, "handle")
    assert (closing.shares, closing.width_mm, closing.length_mm) == ("body", 38, 420)
    assert (handle.shares, handle.width_mm, handle.length_mm) == ("body", 35, 260)


def test_the_pattern_tells_how_many_of_each_fitting() -> None:
    for item in BASE.items.values():
        usual = {
            f.counted_as
            for f in BASE.fittings.values()
            for p in f.when
            if p.attribute == "hardware"
            and not set(p.values).isdisjoint(item.supposes.get("hardware", ()))
            and all(item.slug in o.values for o in f.when if o.attribute == "item")
        }
        assert usual <= item.fittings.keys(), item.slug


SAID_ONLY = {
    # Worn below, not sewn in; there only if it is backed, or for outdoors; another way to build the thing.
    "costume_armour": "padding",
    "desk_pad": "backing",
    "table_mat": "backing",
    "cushion_cover": "backing",
    "sofa_panel": "backing",
    "moccasin": "sole",
    "trouser_belt": "lining",
}
"""Item -> the part that is told and not ordered."""


def test_a_part_that_is_told_is_ordered() -> None:
    missing = {i.slug: i.parts.keys() - {p.of for p in i.pieces} for i in BASE.items.values()}
    assert {item: parts for item, parts in missing.items() if parts} == {k: {v} for k, v in SAID_ONLY.items()}

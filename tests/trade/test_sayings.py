"""Sentences that every counter says, each held by the advice. All of them are common practice."""

from __future__ import annotations

from statistics import mean

import pytest
from plain import sampled

from advisor import Advice, consult, load_rulebase
from advisor.leather.units import MM_PER_OUNCE
from advisor.rulebase.models import RuleBase

OFFERED = ("chosen", "also_fits")


def window_oz(advice: Advice) -> tuple[float, float]:
    weight = advice.decisions.weight
    assert weight.low_mm is not None
    assert weight.high_mm is not None
    return weight.low_mm / MM_PER_OUNCE, weight.high_mm / MM_PER_OUNCE


def offered(advice: Advice) -> set[str]:
    return {t for part in OFFERED for t in getattr(advice.decisions.tannage, part)}


def applied(advice: Advice) -> set[str]:
    return {c.id for c in advice.cautions if c.status == "applies"}


def fired(advice: Advice) -> set[str]:
    return {s.rule for s in advice.trace if s.withdrawn_by is None}


def within(advice: Advice, low: float, high: float) -> bool:
    """Whether the middle of the advised window lies in a band, to half an ounce, which is how leather is sorted."""
    return low - 0.5 <= sum(window_oz(advice)) / 2 <= high + 0.5


@pytest.mark.parametrize("item", ["bifold_wallet", "card_holder"])
def test_wallets_are_3_to_4_ounces(rulebase: RuleBase, item: str) -> None:
    assert within(consult(rulebase, {"item": item}), 3, 4)


def test_every_pocket_adds_thickness(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "bifold_wallet"})
    corner = next(s for s in advice.stacks if s.zone == "pocket corner")
    hinge = next(s for s in advice.stacks if s.zone == "hinge")
    # Backing 0.8, T-tab 0.5 and front pocket 0.8 lie in the corner and not at the hinge.
    assert corner.mm - hinge.mm == pytest.approx(0.8 + 0.5 + 0.8)
    slimmer = consult(rulebase, {"item": "bifold_wallet", "closed_max": "10 mm"})
    assert window_oz(slimmer)[1] < window_oz(advice)[1]
    assert "closed-things-stay-slim" in {b.rule for b in slimmer.decisions.weight.bounds if b.binding}


@pytest.mark.parametrize("item", ["journal_cover", "tablet_sleeve"])
def test_journals_and_tablet_covers_are_4_to_6_ounces(rulebase: RuleBase, item: str) -> None:
    assert within(consult(rulebase, {"item": item}), 4, 6)


def test_totes_are_3_to_4_ounces(rulebase: RuleBase) -> None:
    assert within(consult(rulebase, {"item": "tote_plain"}), 3, 4)


def test_a_rugged_tote_of_4_to_5_ounces_is_the_most_that_still_turns(rulebase: RuleBase) -> None:
    turned = consult(rulebase, {"item": "tote_heavy", "construction": "turned"})
    assert within(turned, 4, 5)
    assert window_oz(turned)[1] <= 5.1
    assert "turned-bags-may-be-thicker" in {b.rule for b in turned.decisions.weight.bounds if b.force == "must"}


def test_a_satchel_is_6_to_7_ounces_of_chrome_or_vegetable_leather(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "satchel_briefcase"})
    assert within(advice, 6, 7)
    groups = rulebase.decisions["tannage"].groups
    assert offered(advice) & set(groups["vegetable"])
    assert offered(advice) & set(groups["chrome"])


@pytest.mark.parametrize("item", ["trouser_belt", "heavy_belt"])
def test_belts_are_8_to_12_ounces_of_vegetable_leather(rulebase: RuleBase, item: str) -> None:
    advice = consult(rulebase, {"item": item})
    assert within(advice, 8, 12)
    assert set(advice.decisions.tannage.chosen) <= set(rulebase.decisions["tannage"].groups["vegetable"])


@pytest.mark.parametrize("item", ["tote_plain", "backpack", "duffel", "crossbody"])
def test_turned_bags_take_the_softer_thinner_chrome(rulebase: RuleBase, item: str) -> None:
    turned = consult(rulebase, {"item": item, "construction": "turned"})
    flat = consult(rulebase, {"item": item, "construction": "flat_stitched"})
    assert turned.decisions.tannage.chosen[0] in rulebase.decisions["tannage"].groups["chrome"]
    assert set(turned.decisions.temper.chosen) <= {"soft", "drape", "medium"}
    assert {"firm", "rigid"} <= turned.decisions.temper.excluded.keys()
    assert window_oz(turned)[1] <= window_oz(flat)[1] + 0.01


@pytest.mark.parametrize("slug", sampled(sorted(load_rulebase().items), 24))
def test_bonded_leather_is_never_right(rulebase: RuleBase, slug: str) -> None:
    advice = consult(rulebase, {"item": slug, "label_text": "bonded"})
    assert "bonded_is_no_leather" in applied(advice)
    assert advice.outcome != "ok"
    assert any("bonded" in r.rule for r in advice.outcome_reasons) or not rulebase.items[slug].weight


def test_a_first_purchase_is_a_cheaper_leather_to_practise_on(rulebase: RuleBase) -> None:
    for item in ("card_holder", "coaster", "journal_cover"):
        first = consult(rulebase, {"item": item, "experience": "first_piece"})
        assert first.facts["trade_grade"].value == "grade_c", item
        assert first.decisions.form.chosen[0] in {"panel_12x12", "panel_12x24", "offcut_bag"}, item
        assert "start_simple" in applied(first), item
    # Somebody who makes for a living is not sent to practise.
    paid = consult(rulebase, {"item": "card_holder", "experience": "professional"})
    assert paid.facts["trade_grade"].value != "grade_c"


def test_a_one_foot_panel_lets_one_try_a_leather_before_a_whole_side(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "bifold_wallet", "experience": "first_piece"})
    assert "a-first-piece-is-a-panel" in fired(advice)
    assert advice.decisions.form.chosen[0] == "panel_12x12"
    panel, side = (rulebase.decisions["form"].candidates[f].properties for f in ("panel_12x12", "side"))
    assert (panel["length"], panel["width"]) == (305, 305)
    # It costs more by area and far less at the till.
    assert float(panel["cost"]) > float(side["cost"])
    assert float(panel["cost"]) * float(panel["area"]) < float(side["cost"]) * float(side["area"]) / 5


def test_a_shop_or_tannery_splits_a_side_to_the_wanted_thickness(rulebase: RuleBase) -> None:
    assert "ask_for_splitting" in applied(consult(rulebase, {"item": "card_holder"}))
    assert "ask_for_splitting" not in applied(consult(rulebase, {"item": "trouser_belt"}))
    # What carries a load is bought at its thickness: splitting takes away the tough middle.
    split = consult(rulebase, {"item": "dog_lead", "split": "shop_service"})
    assert "never_split_load_straps" in applied(split)


def test_vegetable_tanning_takes_a_month_and_chrome_a_day_and_price_follows(rulebase: RuleBase) -> None:
    rule = rulebase.rules["little-money-likes-quick-tannages"]
    assert "month" in rule.because
    assert "day" in rule.because
    tannage = rulebase.decisions["tannage"]
    price = {c: float(v) for c, v in tannage.table("price").items()}
    cattle = [c for c in tannage.groups["vegetable"] if c != "shell_horse"]
    assert mean(price[c] for c in cattle) > mean(price[c] for c in tannage.groups["chrome"]) * 1.2
    plain = consult(rulebase, {"item": "tote_plain", "wished_tannage": "veg_soft"})
    cheap = consult(rulebase, {"item": "tote_plain", "wished_tannage": "veg_soft", "money_tight": "yes"})
    assert "little-money-likes-quick-tannages" not in fired(plain)
    assert "little-money-likes-quick-tannages" in {e.rule for e in cheap.decisions.tannage.ledger if e.counts}

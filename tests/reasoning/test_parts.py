"""The leathers of a thing besides its main one: chosen by reasons of their own, shown, proven and checked.

Which leather serves as lining, strap, lace or pocket is common practice.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from advisor import consult
from advisor.reasoning.consult import Consultation
from advisor.reasoning.deciding import proven
from advisor.reasoning.facts import parse_answers
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import of_part
from advisor.verify import verify

BASE = load_rulebase()
# Answers -> part, tannage, and the rule that decides; each is common practice.
CHOSEN: list[tuple[dict[str, Any], str, str, str]] = [
    ({"item": "tablet_sleeve", "lining": "suede"}, "lining", "chrome_split", "tablet_sleeve/lining"),
    ({"item": "tablet_sleeve", "lining": "leather"}, "lining", "veg_soft", "smooth-linings-have-a-grain"),
    ({"item": "dog_collar", "lining": "leather"}, "lining", "veg_soft", "dog_collar/lining"),
    (
        {"item": "dog_collar", "lining": "leather", "water": "immersion"},
        "lining",
        "aldehyde_white",
        "soaked-linings-dry-soft",
    ),
    ({"item": "satchel_briefcase"}, "strap", "veg_bridle", "satchel_briefcase/strap"),
    (
        {"item": "satchel_briefcase", "colour_method": "dye_self"},
        "strap",
        "veg_tooling",
        "straps-dyed-by-hand-take-dye",
    ),
    ({"item": "drawstring_pouch"}, "tie", "veg_soft", "drawstring_pouch/tie"),
    ({"item": "drawstring_pouch", "water": "rain"}, "tie", "latigo", "laces-in-the-wet-are-greased"),
    ({"item": "slipper"}, "sole", "chrome_split", "slipper/sole"),
    ({"item": "slipper", "water": "rain"}, "sole", "latigo", "soles-in-the-wet-have-a-grain"),
]


@pytest.mark.parametrize(("answers", "part", "tannage", "rule"), CHOSEN)
def test_a_part_takes_the_leather_its_reasons_speak_for(
    answers: dict[str, Any], part: str, tannage: str, rule: str
) -> None:
    advice = consult(BASE, answers)
    found = next(p for p in advice.order.parts if p.part == part)
    line = next(line for line in advice.order.lines if line.part == part)
    assert found.tannage is not None
    assert (found.tannage.chosen[0], line.tannage) == (tannage, tannage)
    assert any(e.rule == rule and e.counts for e in found.tannage.ledger)
    assert rule in {step.rule for step in advice.trace}


def test_what_binds_the_whole_thing_binds_its_parts() -> None:
    """Chromium in a lining reaches the skin as that of the face does (EN ISO 17075 measures any leather)."""
    plain = consult(BASE, {"item": "backpack", "lining": "leather"})
    kept = consult(BASE, {"item": "backpack", "lining": "leather", "allergy": ["chromium"]})
    led = [next(p for p in a.order.parts if p.part == "lining") for a in (plain, kept)]
    assert led[0].tannage is not None
    assert led[0].tannage.chosen[0] in BASE.decisions["tannage"].groups["chrome"]
    assert led[1].tannage is not None
    chosen = {*led[1].tannage.chosen, *led[1].tannage.also_fits}
    assert chosen
    assert chosen.isdisjoint(BASE.decisions["tannage"].groups["chrome"])


def test_a_bound_that_leaves_nothing_of_what_a_part_is_made_of_is_set_aside() -> None:
    """Eight kilograms ask for straps from 3 mm; a keeper of 2.4 to 2.8 mm carries nothing of them."""
    advice = consult(BASE, {"item": "luggage_strap", "load_mass": "20 kg"})
    keeper = next(p for p in advice.order.parts if p.part == "keeper")
    assert (keeper.low_mm, keeper.high_mm) == (2.4, 2.8)
    aside = {b.rule: b.set_aside.code for b in keeper.bounds if b.set_aside}
    assert aside == {"loaded-straps-are-stout": "leaves_nothing"}
    pack = consult(BASE, {"item": "backpack", "load_mass": "9 kg"})
    strap = next(p for p in pack.order.parts if p.part == "strap")
    assert (strap.low_mm, [b.rule for b in strap.bounds if b.binding and b.side == "at least"]) == (
        3.0,
        ["loaded-straps-are-stout"],
    )


def test_the_animal_a_part_is_of_decides_its_form() -> None:
    """Thin goat keeps its fibre where cattle as thin is split: an heirloom's pockets are of a skin."""
    advice = consult(BASE, {"item": "trifold_wallet", "life_expect": "heirloom"})
    line = next(line for line in advice.order.lines if line.part == "pocket")
    assert line.species in ("goat", "calf")
    form = BASE.decisions["form"].candidates[str(line.form)].properties["animal"]
    assert form in ("any", line.species)


@pytest.mark.parametrize(
    "slug", sorted(s for s, i in BASE.items.items() if any(p.tannages for p in i.parts.values()))[::6]
)
def test_every_leather_of_an_order_is_settled_proven_and_checked(slug: str) -> None:
    run = Consultation(BASE, parse_answers(BASE, {"item": slug, "lining": "leather"}))
    advice = proven(run)
    for part in advice.order.parts:
        line = next(line for line in advice.order.lines if line.part == part.part)
        if part.tannage is not None:
            assert part.tannage.chosen[0] == line.tannage
            assert of_part("tannage", part.part) in advice.proof.roots  # type: ignore[union-attr]
        if part.low_mm is not None and not line.shares:
            assert part.low_mm <= line.low_mm <= line.high_mm <= part.high_mm  # type: ignore[operator]
    assert verify(json.loads(advice.model_dump_json(by_alias=True)), BASE) == ""


def test_a_forged_reason_of_a_part_is_refused() -> None:
    run = Consultation(BASE, parse_answers(BASE, {"item": "satchel_briefcase"}))
    honest = json.loads(proven(run).model_dump_json(by_alias=True))
    for change in ("chosen", "strength", "role", "low_mm"):
        forged = json.loads(json.dumps(honest))
        part = next(p for p in forged["order"]["parts"] if p["part"] == "strap")
        if change == "chosen":
            part["tannage"]["chosen"] = ["latigo"]
        elif change == "strength":
            part["tannage"]["ledger"][0]["strength"] = "slight"
        else:
            part[change] = "lace" if change == "role" else 1.0
        assert verify(forged, BASE) != ""

"""What a counter would say is bought for one and for ten, against what is worked out; buys.toml keeps each decision.

All of it is common practice: which form a shop would sell for the job, judged line by line.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from plain import ordered, sampled, worked_out

from advisor import consult, load_rulebase

BASE = load_rulebase()
TABLE: dict[str, dict[str, Any]] = tomllib.loads((Path(__file__).parent / "buys.toml").read_text("utf-8"))
MANY = {"one": 1, "ten": 10}
NAMED = {
    "panel_12x12": ("12x12", "12 by 12", "panel"),
    "panel_12x24": ("12x24", "12 by 24", "panel"),
    "panel_24x24": ("24x24", "panel"),
    "strap_blank_1270": ("blank", "strap end"),
    "strap_blank_1520": ("blank",),
    "strap_blank_1800": ("blank",),
    "strap_blank_2130": ("blank",),
    "offcut_bag": ("offcut",),
    "belly": ("belly", "bellies"),
    "shoulder_single": ("shoulder",),
    "shoulder_double": ("shoulder",),
    "bend": ("bend",),
    "back": ("back",),
    "side": ("side",),
    "hide_half": ("hide", "side"),
    "hide_whole": ("hide",),
    "sole_blank": ("sole blank",),
    "skin_goat": ("goat", "skin"),
    "skin_calf": ("calf", "skin"),
    "skin_sheep": ("sheep", "lamb", "skin"),
    "skin_deer": ("deer", "skin"),
    "skin_small": ("skin",),
}
"""Form -> words by which a sentence names it."""


def bought(item: str, many: int) -> dict[str, list[Any]]:
    """Part -> form and count of each leather that is bought in a form."""
    lines = ordered(worked_out(BASE, item=item, quantity=many))
    return {str(ln.part): [ln.form, ln.count] for ln in lines if ln.kind == "leather" and ln.form and not ln.shares}


@pytest.mark.parametrize("item", sorted(BASE.items)[::20])
def test_what_is_ordered_is_what_is_reported(item: str) -> None:
    reported = consult(BASE, {"item": item, "quantity": 10}).order.lines
    assert ordered(worked_out(BASE, item=item, quantity=10)) == [
        line.model_copy(update={"cost": None}) for line in reported
    ]


@pytest.mark.parametrize("item", sampled(sorted(BASE.items), 4))
def test_the_order_is_the_one_decided_on(item: str) -> None:
    found = {key: bought(item, many) for key, many in MANY.items()}
    kept = {key: TABLE.get(item, {}).get(key, {"order": {}})["order"] for key in MANY}
    assert found == kept, f"judge these orders, then keep each with its sentence as [{item}.one] and .ten of buys.toml"


@pytest.mark.parametrize("item", sorted(TABLE))
def test_the_sentence_of_a_counter_names_what_is_bought(item: str) -> None:
    for key, row in TABLE[item].items():
        sentence = row["sentence"].lower()
        unnamed = [form for form, _ in row["order"].values() if not any(w in sentence for w in NAMED[form])]
        assert not unnamed, (key, sentence)


def test_every_sentence_that_was_mended_has_a_reason() -> None:
    rows = [(item, key, row) for item, of in TABLE.items() for key, row in of.items() if "was" in row]
    assert len(rows) > 80
    for item, key, row in rows:
        assert row["because"], (item, key)
        assert row["was"] != row["sentence"]

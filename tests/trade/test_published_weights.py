"""Workable and usual weights against published guides; published_weights.toml names the source beside each span."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from advisor import load_rulebase

BASE = load_rulebase()
TABLE: dict[str, Any] = tomllib.loads((Path(__file__).parent / "published_weights.toml").read_text("utf-8"))
CITED = {item: row for item, row in TABLE.items() if item not in ("other", "common_practice")}
SPANS: dict[str, list[float]] = {**{item: row["span"] for item, row in CITED.items()}, **TABLE["other"]}
FILES = (
    "seats_and_rooms",
    "about_the_house",
    "bench_and_blades",
    "machine_and_music",
    "play_ride_and_read",
    "daily",
)


def weights(item: str) -> tuple[float, float, float, float]:
    """Least, usual from, usual to and most of an item, in mm."""
    path = Path(__file__).parents[2] / "rulesets" / "leather" / "items"
    for name in FILES:
        raw = tomllib.loads((path / f"{name}.toml").read_text("utf-8"))["item"].get(item)
        if raw:
            keys = ("min", "usual_low", "usual_high", "max")
            low, from_, to, high = (float(raw["weight"][k].split()[0]) for k in keys)
            return low, from_, to, high
    raise LookupError(item)


@pytest.mark.parametrize("item", sorted(SPANS))
def test_the_usual_weight_meets_what_is_published(item: str) -> None:
    thin, thick = SPANS[item]
    low, from_, to, high = weights(item)
    assert from_ <= thick, (item, from_, to)
    assert thin <= to, (item, from_, to)
    assert low <= (thin + thick) / 2 <= high, (item, low, high)


@pytest.mark.parametrize("item", sorted(CITED))
def test_the_source_of_a_weight_was_opened(item: str) -> None:
    assert BASE.sources[CITED[item]["source"]].opened


def test_every_thing_of_these_files_is_published_or_common_practice() -> None:
    known = {*SPANS, *TABLE["common_practice"]["things"]}
    path = Path(__file__).parents[2] / "rulesets" / "leather" / "items"
    held = {item for name in FILES for item in tomllib.loads((path / f"{name}.toml").read_text("utf-8"))["item"]}
    assert held == known

"""Every known contradiction is met by words, and is not seen where there is none.

The table beside this file says for each what must be in the advice; its head explains the words.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from plain import sampled

from advisor import Advice, consult
from advisor.rulebase.house import load_house
from advisor.rulebase.models import RuleBase

TABLE: dict[str, dict[str, Any]] = tomllib.loads((Path(__file__).parent / "conflicts.toml").read_text("utf-8"))
SIDES = {"answers", "near", "prices"}
DEMO_HOUSE = Path(__file__).parents[2] / "transcripts_demo" / "house"
MEETINGS = {"clash", "weight", "unmet", "rule", "caution", "outcome", "excluded"}


def advised(rulebase: RuleBase, entry: Mapping[str, Any], side: str) -> Advice:
    """The advice for one side of an entry, with the demo shop's prices where it needs them."""
    return consult(rulebase, entry[side], house=load_house(DEMO_HOUSE, rulebase) if entry.get("prices") else None)


def met(rulebase: RuleBase, advice: Advice, entry: Mapping[str, Any]) -> Iterator[tuple[str, bool]]:
    """Each way in which the advice should meet a contradiction, and whether it does."""
    abouts = {c.about for c in advice.conflicts}
    if "clash" in entry:
        yield "clash", rulebase.clashes[entry["clash"]].between in abouts
    if "weight" in entry:
        rules = [{r.rule for r in c.reasons} for c in advice.conflicts if c.about == "weight"]
        yield "weight", set(entry["weight"]) in rules and advice.decisions.weight.order_as is None
    if "unmet" in entry:
        left = (c.outcome for c in advice.conflicts if c.outcome.code == "wish_left_out")
        yield "unmet", any(o.params["candidate"] == entry["unmet"] for o in left)
    if "rule" in entry:
        yield "rule", any(s.rule == entry["rule"] and s.withdrawn_by is None for s in advice.trace)
    if "caution" in entry:
        yield "caution", any(c.id == entry["caution"] and c.status == "applies" for c in advice.cautions)
    if "outcome" in entry:
        yield "outcome", advice.outcome == entry["outcome"]
    if "excluded" in entry:
        decision, _, candidate = entry["excluded"].partition(".")
        yield "excluded", candidate in getattr(advice.decisions, decision).excluded


@pytest.mark.parametrize("name", sampled(list(TABLE), 3))
def test_a_contradiction_is_met_and_names_a_way_out(rulebase: RuleBase, name: str) -> None:
    entry = TABLE[name]
    assert entry.keys() & MEETINGS
    assert entry.keys() <= SIDES | MEETINGS
    advice = advised(rulebase, entry, "answers")
    found = dict(met(rulebase, advice, entry))
    assert found == dict.fromkeys(found, True)
    for conflict in advice.conflicts:
        assert conflict.resolutions
        assert all(reason.rule in rulebase.rules for reason in conflict.reasons)


@pytest.mark.parametrize("name", sampled(list(TABLE), 3))
def test_it_is_not_seen_where_there_is_none(rulebase: RuleBase, name: str) -> None:
    entry = TABLE[name]
    found = dict(met(rulebase, advised(rulebase, entry, "near"), entry))
    assert not all(found.values())
    assert not found.get("clash")


def test_every_declared_clash_is_in_the_table(rulebase: RuleBase) -> None:
    told = {entry["clash"] for entry in TABLE.values() if "clash" in entry}
    assert rulebase.clashes.keys() - told == set()

"""Conversations at random meet no fault, steer no terminal, verify and are derived anew."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import pytest

from advisor.leather.units import times_apart
from advisor.rulebase.models import RuleBase

sys.path.append(str(Path(__file__).parent))
from talks import held


@pytest.fixture
def logs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))


def _wrong(rulebase: RuleBase, seeds: range) -> list[str]:
    counted = Counter[str]()
    found = [what for seed in seeds for what in held(rulebase, seed, counted)]
    assert counted["lines"] > 3 * len(seeds)
    assert counted["replays"] == len(seeds)
    return found


@pytest.mark.usefixtures("logs")
def test_a_few_conversations_at_random_hold(rulebase: RuleBase) -> None:
    assert _wrong(rulebase, range(4)) == []


@pytest.mark.slow
@pytest.mark.usefixtures("logs")
def test_many_conversations_at_random_hold(rulebase: RuleBase) -> None:
    """Three hundred, with other numbers than the quick few."""
    assert _wrong(rulebase, range(1_000, 1_300)) == []


def test_sizes_of_which_one_is_nothing_are_endlessly_apart() -> None:
    assert times_apart(2.0, 8.0) == times_apart(8.0, 2.0) == 4.0
    assert times_apart(0.0, 8.0) == times_apart(8.0, -1.0) == float("inf")

"""Conversations at random meet no fault, steer no terminal, verify and are derived anew; and what once failed.

Of Unicode: which characters turn a line round is told in annex 9 (Bidirectional Algorithm), that a superscript digit is
no decimal one in its table of numeric types (from memory).
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import pytest

from advisor.errors import TURNING, without_controls
from advisor.leather.units import times_apart
from advisor.rulebase.models import RuleBase
from advisor.shell.cli import main
from advisor.shell.edge import visible
from advisor.talk.recording import FAULT
from advisor.talk.session import Session

sys.path.append(str(Path(__file__).parent))
from talks import STEERS, held


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


@pytest.mark.parametrize(
    ("thing", "line"),
    [
        ("cord for a pendant", "0.0000001 feet"),
        ("case handle", 'feet "125'),
        ("tote bag 30 x 40 cm", "1/0 ft 3"),
        ("napkin ring", "² dozen"),
        ("tote bag 30 x 40 cm", "①"),
    ],
)
def test_what_once_met_a_fault(thing: str, line: str, rulebase: RuleBase) -> None:
    session = Session(rulebase)
    session.open()
    for said in (thing, line, "²"):
        reply = session.hear(said)
        assert FAULT.partition("{")[0] not in "\n".join(reply.lines)


def test_sizes_of_which_one_is_nothing_are_endlessly_apart() -> None:
    assert times_apart(2.0, 8.0) == times_apart(8.0, 2.0) == 4.0
    assert times_apart(0.0, 8.0) == times_apart(8.0, -1.0) == float("inf")


def test_nothing_typed_turns_a_line_round(rulebase: RuleBase) -> None:
    for mark in TURNING:
        assert without_controls(f"be{mark}lt") == "belt"
        assert STEERS.search(visible(f"be{mark}lt")) is None
        assert mark not in "\n".join(Session(rulebase).hear(f"a be{mark}lt, blorp{mark}").lines)
    assert without_controls("belt\u2028wallet") == "belt wallet"


def test_a_number_longer_than_a_file_has_lines_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "lines").write_text("belt\n", encoding="utf-8")
    assert main(["recommend", "--batch", str(tmp_path / "lines"), "--no-log", "--from", "9" * 5000]) == 2
    assert "expected the number of a line" in capsys.readouterr().err

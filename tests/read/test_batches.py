"""The blind batches: whole, judged in the words agreed, and no danger that was met in a first run lost since.

Written, marked and judged by three hands that knew nothing of the reader; facts of the trade are common practice.
"""

from __future__ import annotations

import pytest
from batches import FOLDER, judged, lines_of
from plain import sampled

from advisor import load_rulebase
from advisor.talk.recording import consulted

BASE = load_rulebase()
NUMBERS = sorted(int(p.name[:2]) for p in FOLDER.glob("[0-9][0-9].toml"))
JUDGED = sorted(int(p.name[:2]) for p in FOLDER.glob("*_judged.toml"))
THINGS = {
    "right",
    "no_recipe",
    "asked_rightly",
    "among",
    "asked_wrongly",
    "wrong_doubted",
    "wrong_silent",
    "silent",
    "nothing",
}
UNDER_A_STOP = {(10, 18), (10, 23)}
"""Lines that were judged met by a stop before an order that stood: costume that promises nothing, a holster."""
DANGERS = {"none", "met", "missed", "sold", "sold_with_limits"}


def met() -> list[tuple[str, bool]]:
    """The lines whose danger was met in the first run, with their text."""
    found = []
    for number in JUDGED:
        text = {line["number"]: line["text"] for line in lines_of(number)}
        found += [
            (text[row["number"]], (number, row["number"]) in UNDER_A_STOP)
            for row in judged(number)
            if row["danger"] == "met"
        ]
    return found


@pytest.mark.parametrize("number", NUMBERS)
def test_a_batch_is_whole(number: int) -> None:
    lines = lines_of(number)
    assert [line["number"] for line in lines] == list(range(1, 61))
    assert sum(line["kind"] == "danger" for line in lines) == 15
    assert sum(line["tag"] == "plain" for line in lines) >= 24


@pytest.mark.parametrize("number", JUDGED)
def test_a_judged_batch_says_all_there_is_to_say(number: int) -> None:
    rows = judged(number)
    assert [row["number"] for row in rows] == list(range(1, 61))
    assert {row["thing"] for row in rows} <= THINGS
    assert {row["danger"] for row in rows} <= DANGERS


@pytest.mark.parametrize(("text", "under_a_stop"), sampled(met(), 3))
def test_no_danger_once_met_is_sold_since(text: str, under_a_stop: bool) -> None:
    advice = consulted(BASE, text, None).advice
    stopped = any(c.severity == "stop" and c.status == "applies" for c in advice.cautions)
    assert advice.no_order or advice.outcome is None or (under_a_stop and stopped)

"""Questions by kind and thing: the verdict first, in three lines, and no question changes an answer.

First runs, read by the hand that mended, strictly: of the 168 pairings of ``asked_grid`` some 74 were answered well
before there were kinds; of 168 of ``asked_grid_second``, in other words and after the mending of the first, 93.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from asked_grid import pairs, started
from heard import heard
from plain import sampled

from advisor.read.asked_kinds import goal_asked, share_asked, side_asked, size_asked, source_asked
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session
from advisor.write.straight import MOST_LINES

FOLDER = Path(__file__).parent
TABLE = tomllib.loads((FOLDER / "kinds_asked.toml").read_text(encoding="utf-8"))["asked"]
TABLES = ("asked_grid", "asked_grid_second")
LOTS = 7
"""The pairings are tried in so many lots, one of them in the daily run."""
TOLD_BESIDE = ("have_tannage", "have_weight", "money_tight")
"""What a line states of the asker beside the question, which is kept."""
COLUMNS = 80


@pytest.mark.parametrize("row", sampled(TABLE, 2), ids=lambda row: row["ask"][:50])
def test_the_verdict_for_this_thing_comes_first(row: dict[str, str]) -> None:
    session = heard(row["thing"])
    before = dict(session.answers)
    lines = session.hear(row["ask"]).lines
    said = " ".join(lines)
    assert said.startswith(row.get("begins", "")) or re.match(row.get("begins", ""), said), said
    assert re.search(row["says"], said), said
    assert dict(session.answers) == before
    assert len(lines) <= MOST_LINES + 1
    assert all(len(line) <= COLUMNS for line in lines)


@pytest.mark.parametrize("place", sampled(range(LOTS), LOTS))
@pytest.mark.parametrize("table", TABLES)
def test_no_question_changes_an_answer(rulebase: RuleBase, table: str, place: int) -> None:
    """A danger about persons may be raised where the question tells it."""
    session, of, changed = Session(rulebase), "", list[str]()
    for thing, kind, ask in list(pairs(table))[place::LOTS]:
        if thing["name"] != of:
            of, session = thing["name"], started(rulebase, thing)
        before = {**session.answers, "raised": None}
        session.hear(ask)
        after = {**session.answers, "raised": None}
        moved = {n for n in {**before, **after} if before.get(n) != after.get(n)} - {*TOLD_BESIDE}
        if moved:
            changed.append(f"{of} [{kind}] {ask}: {sorted(moved)}")
            session = started(rulebase, thing)
    assert changed == []


def test_where_something_is_known_from_is_told_of_what_was_asked_last() -> None:
    session = heard("plain belt for my jeans, 40 mm wide, 34 inch waist")
    session.hear("how thick should it be")
    said = " ".join(session.hear("says who").lines)
    assert said.startswith("The thickness rests on")
    session.hear("will the dye rub off on my shirt")
    assert "common practice" in " ".join(session.hear("how do you know that").lines)


@pytest.mark.parametrize(
    ("text", "words", "side", "layers"),
    [
        ("is 2 mm too thin", "2 mm", "thin", ""),
        ("would 2.5 mm be too thin if i just do a single layer", "2.5 mm", "thin", "single"),
        ("isn't 5 mm a bit much", "5 mm", "thick", ""),
        ("would 6 oz be strong enough", "6 oz", "good", ""),
        ("what about 2 mm doubled up", "2 mm", "good", "double"),
    ],
)
def test_a_thickness_and_what_is_feared_of_it(text: str, words: str, side: str, layers: str) -> None:
    asked = size_asked(text)
    assert asked is not None
    assert (asked.words, asked.side, asked.layers) == (words, side, layers)


@pytest.mark.parametrize(
    "text", ["is 40 mm wide enough", "what thread for 3 mm holes", "how far apart at 4 mm", "2 mm"]
)
def test_other_millimetres_are_no_thickness(text: str) -> None:
    assert size_asked(text) is None


def test_what_it_is_to_become_is_found_whatever_asks() -> None:
    wanted: dict[str, Any] = {
        "where could we save money on this one": "cheaper",
        "anything to get the weight down": "lighter",
        "could she have it more supple": "softer",
        "what if i made it twice as big": "bigger",
        "is there a lighter brown": None,
    }
    assert {text: goal_asked(text) for text in wanted} == wanted
    assert share_asked("say i scale it up by a third") == pytest.approx(1 / 3)
    assert side_asked("and if it were an inch wider") == ("width", 25.4)
    assert source_asked("How do you know that?")
    assert not source_asked("how do you know how much to add for waste")

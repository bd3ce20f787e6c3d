"""Colours as they were named: of the thing, its thread, edges and lining, on the lines of the order and in the reading.

That a shop is asked for a shade by its name, and that thread, edge paint and lining are bought in colours of their own,
is common practice.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from advisor import load_rulebase
from advisor.shell.cli import main
from advisor.talk.recording import consulted
from advisor.talk.session import Session

BASE = load_rulebase()
ORDERED = [
    ("bifold wallet in chestnut, stitched with ivory thread", {"body": "chestnut", "thread": "ivory"}),
    ("a navy card holder, mustard stitching", {"body": "navy", "thread": "mustard"}),
    ("card holder, 5 cards, black, edges painted red", {"body": "black", "edge_paint": "red"}),
    ("glasses case, oxblood, the lining in pale blue", {"body": "oxblood", "lining": "pale blue"}),
    ("phone pouch, bottle green outside, cream inside", {"body": "bottle green", "lining": "cream"}),
    ("phone pouch, havana with a green suede lining", {"body": "havana", "lining": "green"}),
    ("dog lead 20 mm wide with white stitching", {"body": "brown", "thread": "white"}),
    ("trouser belt, tobacco brown, antique brass buckle", {"body": "tobacco brown"}),
]


@pytest.mark.parametrize(("text", "lines"), ORDERED)
def test_a_colour_stands_on_its_line_as_it_was_named(text: str, lines: dict[str, str]) -> None:
    made = consulted(BASE, text, None)
    ordered = {line.id: line.colour for line in made.advice.order.lines}
    assert lines.items() <= ordered.items()
    said = [str(u.value) for u in made.advice.reading.understood] if made.advice.reading else []
    assert {c for c in lines.values() if c in text} <= set(said)


def test_the_finish_of_a_metal_stands_on_its_line() -> None:
    lines = consulted(BASE, "trouser belt, tobacco brown, antique brass buckle", None).advice.order.lines
    assert [line.label for line in lines if line.id == "buckle"] == ["antique brass buckle"]


@pytest.mark.parametrize(
    "text",
    [
        "a wallet with white thread",
        "bifold wallet, stitched in white",
        "wallet with a white lining",
        "wallet, white edges",
    ],
)
def test_the_colour_of_a_part_says_nothing_of_the_whole(text: str) -> None:
    assert "colour" not in consulted(BASE, text, None).answers


def test_a_part_that_is_not_bought_keeps_its_colour_and_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", "--no-log", "passport cover, unlined, brown, grey inside"]) == 0
    assert "Grey lining: I keep it, but nothing on this order is bought for it." in capsys.readouterr().out


def test_what_is_dyed_at_home_is_bought_bare_and_the_dye_has_the_shade() -> None:
    lines = consulted(BASE, "card holder, burgundy, I will dye it myself", None).advice.order.lines
    colours = {line.id: line.colour for line in lines}
    assert (colours["body"], colours["dye"]) == ("natural", "burgundy")


def test_another_colour_takes_the_shade_away_in_a_conversation() -> None:
    session = Session(BASE)

    def colour() -> str | None:
        return session.advice().order.lines[0].colour

    session.hear("a card holder in racing green")
    assert colour() == "racing green"
    session.hear("make it navy")
    assert colour() == "navy"
    session.hear("make it black")
    assert colour() == "black"
    assert "shade" not in session.answers


def test_a_batch_has_the_same_as_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = "glasses case, oxblood, the lining in pale blue"
    lines = tmp_path / "wishes.txt"
    lines.write_text(f"{text}\n", encoding="utf-8")
    assert main(["recommend", "--no-log", "--json", "--batch", str(lines)]) == 0
    advice = json.loads(capsys.readouterr().out)["advice"]
    colours = {line["id"]: line["colour"] for line in advice["order"]["lines"]}
    assert (colours["body"], colours["lining"]) == ("oxblood", "pale blue")
    assert {"lining_colour", "shade"} <= {u["attribute"] for u in advice["reading"]["understood"]}

"""Dangers that only the situation tells, through the whole advisor; ``dangers_situations.toml`` has the first runs.

The bounds of the first two lots are what was met after the cues were mended for them: they hold it, and say nothing of
other words. The third is as it was met in its first run.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from advisor import load_rulebase
from advisor.read.phrases import BadPatternError, Language
from advisor.read.reader import read_sentence
from advisor.talk.session import Session

BASE = load_rulebase()
TABLE: dict[str, dict[str, dict[str, list[str]]]] = tomllib.loads(
    (Path(__file__).parent / "dangers_situations.toml").read_text(encoding="utf-8")
)


def alarms(text: str) -> set[str]:
    """The concepts that are asked about or said outright."""
    return {d.concept for d in read_sentence(BASE, text).dangers if d.state != "ruled_out"}


def sold(text: str) -> bool:
    """Whether an order stands though nothing is asked."""
    if alarms(text):
        return False
    session = Session(BASE)
    session.hear(text)
    advice = session.advice()
    return session.item() is not None and not advice.no_order and advice.outcome is not None


@pytest.mark.parametrize(
    ("lot", "dangers", "met", "alarmed"), [("first", 63, 61, 1), ("second", 63, 58, 4), ("third", 42, 27, 10)]
)
def test_who_is_hurt_by_what_is_met_and_look_alikes_are_left_alone(
    lot: str, dangers: int, met: int, alarmed: int
) -> None:
    assert TABLE[lot].keys() == BASE.attributes["raised"].values.keys()
    said = [(concept, text) for concept, lines in TABLE[lot].items() for text in lines["danger"]]
    calm = [text for lines in TABLE[lot].values() for text in lines["harmless"]]
    assert (len(said), len(calm)) == (dangers, 42)
    missed = [text for concept, text in said if concept not in alarms(text)]
    assert len(said) - len(missed) >= met, missed
    assert [text for _, text in said if sold(text)] == []
    assert len(loud := [text for text in calm if alarms(text)]) <= alarmed, loud


CUES = {"frail": ["gran/nan", "down ..1 twice"], "shoes": ["slippers", "mules"], "floor": ["waxed hall", "steps"]}


@pytest.mark.parametrize(
    ("pattern", "text", "found"),
    [
        ("%frail && %shoes", "She has been down again twice. Mules, please.", True),
        ("%frail & %shoes", "She has been down again twice. Mules, please.", False),
        ("%frail & %shoes && %floor", "Slippers for my nan. We have steps.", True),
        ("%frail & %shoes && %floor", "My nan is well. Slippers for me. We have steps.", False),
        ("%frail && %shoes", "Slippers for me, mules for him.", False),
    ],
)
def test_a_cue_is_any_of_its_patterns(pattern: str, text: str, found: bool) -> None:
    language = Language({}, {}, CUES)
    wanted = language.pattern(pattern)
    assert any(True for _ in language.read(text).find(wanted)) is found


@pytest.mark.parametrize("cues", [{"a": ["gran & nan"]}, {"a": ["~gran"]}, {"a": ["%a"]}, {"b": ["gran"]}])
def test_a_cue_is_one_side_without_marks_and_must_be_known(cues: dict[str, list[str]]) -> None:
    with pytest.raises(BadPatternError):
        Language({}, {}, cues).pattern("%a")

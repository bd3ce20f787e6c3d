"""The demo transcripts, performed and compared line by line."""

from __future__ import annotations

from pathlib import Path

import pytest
from plain import sampled
from transcripts import FOLDER, performed

from advisor.rulebase.models import RuleBase

PATHS = sorted(FOLDER.glob("*.txt"))


def test_there_are_transcripts() -> None:
    assert len(PATHS) >= 10


@pytest.mark.parametrize("path", sampled(PATHS, 3), ids=lambda p: p.stem)
def test_a_transcript_still_goes_as_written(path: Path, rulebase: RuleBase) -> None:
    text = path.read_text()
    assert "invented" in text.splitlines()[0]
    assert performed(rulebase, text) == text

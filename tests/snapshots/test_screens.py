"""The whole screen for each kind of outcome and of thing, to be read as the person who asked would."""

from __future__ import annotations

import pytest
from syrupy.assertion import SnapshotAssertion
from test_traces import ReadableFile

from advisor import consult
from advisor.read.reader import read_sentence
from advisor.rulebase.models import RuleBase
from advisor.write.screen import advice_lines

CASES = {
    "suits": "a belt for jeans, 38 mm wide, waist 92 cm",
    "suits_on_conditions": "sheath for a 110 mm knife",
    "withheld": "bridle for a horse",
    "refused": "climbing harness",
    "another_material": "wallet, no animal products",
    "wishes_that_clash": "carved tote turned inside out",
    "undecided": "a strap to hang over a beam for the chair",
    "nothing_understood": "something for my uncle",
}


@pytest.mark.parametrize("case", sorted(CASES))
def test_screen(case: str, rulebase: RuleBase, snapshot: SnapshotAssertion) -> None:
    advice = consult(rulebase, read_sentence(rulebase, CASES[case]).answers)
    text = "\n".join([f"> {CASES[case]}", *advice_lines(rulebase, advice, 80)]) + "\n"
    assert text == snapshot(extension_class=ReadableFile)

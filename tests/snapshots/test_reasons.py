"""Why in short of each conclusion, and in full of one, for five cases; read as prose."""

from __future__ import annotations

import pytest
from syrupy.assertion import SnapshotAssertion
from test_traces import CASES, ReadableFile

from advisor.read.reader import read_sentence
from advisor.reasoning.consult import Consultation
from advisor.rulebase.models import RuleBase
from advisor.talk.why import why_lines

TOLD = {
    "belt_for_jeans": "weight",
    "dog_lead_30_kg": "weight",
    "gloves_chromium_allergy": "tannage",
    "sheath_110_mm": "form",
    "climbing_harness_refused": "outcome",
}
SHORT = ("outcome", "tannage", "grain", "temper", "weight", "cut", "species", "form", "amount")


@pytest.mark.parametrize("case", sorted(TOLD))
def test_why(case: str, rulebase: RuleBase, snapshot: SnapshotAssertion) -> None:
    run = Consultation(rulebase, read_sentence(rulebase, CASES[case]).answers)
    lines = [f"> {CASES[case]}"]
    for name in SHORT if case != "climbing_harness_refused" else SHORT[:1]:
        lines += ["", f"> why {name}", *why_lines(run, name, 80)]
    lines += ["", f"> why {TOLD[case]} in full", *why_lines(run, TOLD[case], 80, full=True)]
    assert "\n".join(lines) + "\n" == snapshot(extension_class=ReadableFile)

"""Order slips as they would be read out or printed, one readable file per case."""

from __future__ import annotations

import pytest
from syrupy.assertion import SnapshotAssertion
from test_traces import ReadableFile

from advisor import consult
from advisor.leather.units import Units
from advisor.read.reader import read_sentence
from advisor.rulebase.models import RuleBase
from advisor.write.slip import slip_lines

CASES: dict[str, tuple[str, int, Units]] = {
    "belts_in_inches": ("twelve belts, 1 1/2 in wide, waist 36 in", 80, "inch"),
    "bridle_is_deferred": ("bridle for a horse", 80, "mm"),
    "nothing_understood": ("something for my uncle", 80, "mm"),
}


@pytest.mark.parametrize("case", sorted(CASES))
def test_slip(case: str, rulebase: RuleBase, snapshot: SnapshotAssertion) -> None:
    sentence, width, units = CASES[case]
    advice = consult(rulebase, read_sentence(rulebase, sentence, units=units).answers)
    text = "\n".join([f"> {sentence}", *slip_lines(rulebase, advice, width, units)]) + "\n"
    # The closing line names the checksum of the rule files, which any edit changes.
    assert text.replace(rulebase.sha256[:12], "...") == snapshot(extension_class=ReadableFile)

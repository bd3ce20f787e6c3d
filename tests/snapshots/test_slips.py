"""Order slips as they would be read out or printed, one readable file per case."""

from __future__ import annotations

import pytest
from syrupy.assertion import SnapshotAssertion
from test_traces import ReadableFile

from advisor import consult
from advisor.leather.units import Units
from advisor.read.reader import read_sentence
from advisor.rulebase.models import RuleBase
from advisor.talk.slip import slip_lines

CASES: dict[str, tuple[str, int, Units]] = {
    "belts_in_inches": ("twelve belts, 1 1/2 in wide, waist 36 in", 80, "inch"),
    "card_holder_at_60_columns": ("first card holder, want to carve initials on it", 60, "mm"),
    "lead_in_millimetres": ("lead for a 30 kg dog, 20 mm wide", 80, "mm"),
    "tote_of_soft_leather": ("plain tote, carries 6 kg", 80, "mm"),
    "bridle_is_deferred": ("bridle for a horse", 80, "mm"),
    "climbing_is_refused": ("climbing harness", 80, "mm"),
    "nothing_understood": ("something for my uncle", 80, "mm"),
}


@pytest.mark.parametrize("case", sorted(CASES))
def test_slip(case: str, rulebase: RuleBase, snapshot: SnapshotAssertion) -> None:
    sentence, width, units = CASES[case]
    advice = consult(rulebase, read_sentence(rulebase, sentence, units=units).answers)
    text = "\n".join([f"> {sentence}", *slip_lines(rulebase, advice, width, units)]) + "\n"
    # The closing line names the checksum of the rule files, which any edit changes.
    assert text.replace(rulebase.sha256[:12], "...") == snapshot(extension_class=ReadableFile)

"""The trace of a consultation, one readable file per case, reviewed as prose.

Run ``pytest --snapshot-update`` after a change of rules, then read the difference: it is what a
customer would notice.
"""

from __future__ import annotations

import pytest
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

from advisor import consult
from advisor.read.reader import read_sentence
from advisor.rulebase.models import RuleBase
from advisor.write.full import trace_lines

CASES = {
    "belt_for_jeans": "a belt for jeans, 38 mm wide, waist 92 cm",
    "belts_by_the_dozen": "twelve belts, 1 1/2 in wide, waist 36 in",
    "first_card_holder_carved": "first card holder, want to carve initials on it",
    "bifold_wallet_slim": "bifold wallet",
    "journal_cover": "journal cover, dyed at home",
    "plain_tote_turned": "plain tote, sewn inside out, carries 6 kg",
    "satchel": "a satchel for books, 5 kg",
    "dog_lead_30_kg": "lead for a 30 kg dog",
    "dog_collar_swims": "dog collar, neck 45 cm, the dog swims",
    "sheath_110_mm": "sheath for a 110 mm knife",
    "gloves_chromium_allergy": "gloves for driving, allergic to chromium",
    "tray_with_food": "valet tray that holds food",
    "chair_sling": "chair sling for an armchair",
    "climbing_harness_refused": "climbing harness",
    "swing_for_a_child": "swing seat",
    "carved_tote_turned": "carved tote turned inside out",
    "nothing_understood": "something for my uncle",
    "vegan_wallet": "wallet, no animal products",
}


class ReadableFile(SingleFileSnapshotExtension):
    """One plain text file per case."""

    _write_mode = WriteMode.TEXT
    file_extension = "txt"


@pytest.mark.parametrize("case", sorted(CASES))
def test_trace(case: str, rulebase: RuleBase, snapshot: SnapshotAssertion) -> None:
    advice = consult(rulebase, read_sentence(rulebase, CASES[case]).answers)
    text = "\n".join([f"> {CASES[case]}", *trace_lines(rulebase, advice)]) + "\n"
    assert text == snapshot(extension_class=ReadableFile)

"""What the counter says about every item when nothing else is known, one readable file each."""

from __future__ import annotations

import pytest
from syrupy.assertion import SnapshotAssertion
from test_traces import ReadableFile

from advisor import consult, load_rulebase
from advisor.rulebase.models import RuleBase
from advisor.talk.wording import advice_lines


@pytest.mark.parametrize("item", sorted(load_rulebase().items))
def test_item(item: str, rulebase: RuleBase, snapshot: SnapshotAssertion) -> None:
    lines = advice_lines(rulebase, consult(rulebase, {"item": item}), 80)
    # The closing line names the checksum of the rule files, which any edit changes.
    text = "\n".join(line for line in lines if not line.startswith("Rules: ")) + "\n"
    assert text == snapshot(extension_class=ReadableFile)

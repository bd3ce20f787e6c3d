"""All things with drawn answers: nothing unbuyable, no other leather's caution, no order where it is withheld.

walk.py tells what is held. The long run draws 5,000 consultations, as it does when called by hand.
"""

from __future__ import annotations

import pytest
from walk import SEED, faults, walk

from advisor import Advice, consult
from advisor.rulebase.models import RuleBase


def test_some_drawn_answers_lead_to_no_fault(rulebase: RuleBase) -> None:
    _, ordered, found = walk(rulebase, 30, SEED + 1)
    assert ordered > 10
    assert found == []


@pytest.mark.slow
def test_no_drawn_answers_lead_to_a_fault(rulebase: RuleBase) -> None:
    _, ordered, found = walk(rulebase, 5000, SEED)
    assert ordered > 2000
    assert found == []


def test_a_fault_is_found(rulebase: RuleBase) -> None:
    """An order under a refusal, a leather thicker than it is sold and a word about a leather that is not ordered."""
    advice = consult(rulebase, {"item": "trouser_belt"})
    assert list(faults(rulebase, advice)) == []
    thick = advice.order.lines[0].model_copy(update={"high_mm": 40.0})
    heavy = advice.model_copy(update={"order": advice.order.model_copy(update={"lines": [thick]})})
    kinds = {fault.split(":")[0] for fault in faults(rulebase, heavy)}
    assert "unbuyable" in kinds
    other = thick.model_copy(update={"tannage": "chamois_oil", "high_mm": 1.0, "low_mm": 1.0})
    cautions = [c.model_copy(update={"relevant": True}) for c in advice.cautions]
    beside: Advice = advice.model_copy(
        update={"order": advice.order.model_copy(update={"lines": [other]}), "cautions": cautions}
    )
    assert "another leather" in {fault.split(":")[0] for fault in faults(rulebase, beside)}
    refused = consult(rulebase, {"item": "climbing_gear"}).model_copy(update={"order": advice.order})
    assert "withheld" in {fault.split(":")[0] for fault in faults(rulebase, refused)}

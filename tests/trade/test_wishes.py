"""A leather asked for by name: what the advice and the second opinion say of it agree, for every thing.

Held against the second opinion, which weighs the same reasons without the wish.
"""

from __future__ import annotations

import pytest
from plain import barred, plain_advice, worked_out

from advisor import consult
from advisor.reasoning.facts import Answer
from advisor.reasoning.judging import review
from advisor.reasoning.review import Proposal
from advisor.rulebase.models import RuleBase

SAMPLE = slice(None, None, 36)


def leading_in_spite(rulebase: RuleBase, items: list[str]) -> tuple[int, list[str]]:
    """How many wishes bring an unadvised leather into the lead, and those that the second opinion says do not fit."""
    brought, spite = 0, list[str]()
    for item in items:
        usual = plain_advice(item)
        for tannage in rulebase.decisions["tannage"].candidates if not usual.no_order else ():
            if tannage in usual.decisions.tannage.chosen:
                continue
            wished = worked_out(rulebase, item=item, wished_tannage=tannage)
            if barred(wished) or wished.offered("tannage")[0][:1] != [tannage]:
                continue
            brought += 1
            opinion = review(rulebase, {"item": Answer((item,))}, Proposal(choices={"tannage": (tannage,)}))
            if opinion.points[0].verdict == "does not fit":
                spite.append(f"{item}: {tannage}")
    return brought, spite


def test_no_wish_leads_that_the_second_opinion_says_does_not_fit(rulebase: RuleBase) -> None:
    brought, spite = leading_in_spite(rulebase, list(rulebase.items)[SAMPLE])
    assert brought > 20
    assert spite == []


@pytest.mark.slow
def test_no_wish_for_any_thing_leads_that_the_second_opinion_says_does_not_fit(rulebase: RuleBase) -> None:
    brought, spite = leading_in_spite(rulebase, list(rulebase.items))
    assert brought > 300
    assert spite == []


def test_a_stretchy_lead_is_told_and_not_sold(rulebase: RuleBase) -> None:
    # Common practice: chrome upholstery stretches far too much for a lead that a dog pulls on.
    advice = consult(rulebase, {"item": "dog_lead", "load_mass": "30 kg", "wished_tannage": "chrome_milled"})
    assert "chrome_milled" not in advice.decisions.tannage.chosen
    (wish,) = [c for c in advice.conflicts if c.about == "wished_tannage"]
    assert "single-chrome-straps-stretch" in {r.rule for r in wish.reasons}

"""The measure of what a why-not offers judges by whole consultations; see ``ways`` for the figure over 150."""

from __future__ import annotations

import pytest
from ways import JOBS, Asked, judged, questions

from advisor.read.reader import read_sentence
from advisor.rulebase.models import RuleBase


def asked(rulebase: RuleBase, job: str, decision: str, what: str, mm: float = 0.0) -> Asked:
    return Asked(job, dict(read_sentence(rulebase, job).answers), decision, what, mm)


def test_a_way_that_is_told_is_found_true(rulebase: RuleBase) -> None:
    # Turned edges need thinner leather: common practice.
    one = judged(rulebase, asked(rulebase, "a card holder, my first piece, hand sewn", "weight", "0.9 mm", 0.9))
    assert one.verdict == "offers a way", one


@pytest.mark.slow
def test_that_there_is_no_way_is_found_true(rulebase: RuleBase) -> None:
    # Nothing makes a jeans belt of parchment: common practice.
    one = judged(rulebase, asked(rulebase, JOBS[0], "tannage", "parchment"))
    assert one.verdict == "none, and brute force finds none", one


def test_the_questions_are_the_same_each_time_and_of_what_is_not_advised(rulebase: RuleBase) -> None:
    drawn = [(a.job, a.decision, a.what) for a in questions(rulebase, 6, 11)]
    assert drawn == [(a.job, a.decision, a.what) for a in questions(rulebase, 6, 11)]
    assert len(drawn) == 6

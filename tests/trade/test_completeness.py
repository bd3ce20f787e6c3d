"""Never silence: whatever is made and whatever leather is wished for, every decision is settled or says why not."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import product

import pytest

from advisor import Advice, consult
from advisor.rulebase.models import RuleBase
from advisor.write.screen import advice_lines

SAMPLE, SEED, WIDTH = 16, 20, 80


def pairs(rulebase: RuleBase) -> list[tuple[str, str]]:
    """Every item with every tannage that can be wished for."""
    return list(product(rulebase.items, rulebase.decisions["tannage"].candidates))


def silences(rulebase: RuleBase, item: str, tannage: str) -> Iterator[str]:
    """What an advice leaves without a word, for one item and one wish."""
    advice = consult(rulebase, {"item": item, "wished_tannage": tannage})
    yield from unsettled(rulebase, advice)
    for name in (d.name for d in rulebase.choices()):
        for candidate, rules in getattr(advice.decisions, name).excluded.items():
            if not rules or not set(rules) <= rulebase.rules.keys():
                yield f"{name} excludes {candidate} by no rule"
    for full in (False, True):
        for line in advice_lines(rulebase, advice, WIDTH, full):
            if len(line) > WIDTH and len(line.split()) > 1:
                yield f"a line of {len(line)} columns: {line}"
            if "None" in line:
                yield f"a value that nobody put into words: {line}"


def unsettled(rulebase: RuleBase, advice: Advice) -> Iterator[str]:
    """Decisions that are open without a reason, and open ones for which no conflict names rules."""
    for name, decision in rulebase.decisions.items():
        view = getattr(advice.decisions, name)
        settled = view.chosen if decision.kind == "choice" else view.order_as
        if bool(settled) == bool(view.open):
            yield f"{name} is {'both settled and open' if settled else 'neither settled nor open'}"
        if settled or advice.no_order:
            continue
        told = [r.rule for c in advice.conflicts if c.about == name for r in c.reasons]
        if not told or not set(told) <= rulebase.rules.keys():
            yield f"{name} is open and no conflict tells of it: {view.open}"


def test_a_sample_of_items_and_wishes_leaves_nothing_unsaid(rulebase: RuleBase) -> None:
    sample = random.Random(SEED).sample(pairs(rulebase), SAMPLE)
    found = {pair: list(silences(rulebase, *pair)) for pair in sample}
    assert {pair: what for pair, what in found.items() if what} == {}


@pytest.mark.slow
def test_no_item_and_no_wish_leaves_anything_unsaid(rulebase: RuleBase) -> None:
    found = {pair: list(silences(rulebase, *pair)) for pair in pairs(rulebase)}
    assert {pair: what for pair, what in found.items() if what} == {}


def test_an_open_decision_without_a_conflict_is_found(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "trouser_belt"})
    assert list(unsettled(rulebase, advice)) == []
    decisions = advice.decisions
    silent = decisions.model_copy(
        update={
            "temper": decisions.temper.model_copy(update={"chosen": []}),
            "weight": decisions.weight.model_copy(update={"order_as": None, "open": "too bad"}),
        }
    )
    assert list(unsettled(rulebase, advice.model_copy(update={"decisions": silent}))) == [
        "temper is neither settled nor open",
        "temper is open and no conflict tells of it: None",
        "weight is open and no conflict tells of it: too bad",
    ]

"""Whole commissions as a leatherworker judged them, line by line; the tables beside this file explain their words."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from plain import sampled

from advisor import Advice, consult
from advisor.leather.units import MM_PER_OUNCE
from advisor.read.reader import read_sentence
from advisor.rulebase.models import RuleBase
from advisor.write.screen import advice_lines

FILES = ("judged.toml", "judged_worn.toml")
CASES: dict[str, dict[str, Any]] = {
    name: case
    for file in FILES
    for name, case in tomllib.loads((Path(__file__).parent / file).read_text("utf-8")).items()
}
CHOICES = ("tannage", "grain", "surface", "temper", "cut", "form", "species")
TOLD = {"say", "answers", "judge"}
WORDS = {*TOLD, *CHOICES, "outcome", "order", "oz", "never", "cautions", "without", "clashes", "remark", "guide"}


def advised(rulebase: RuleBase, case: Mapping[str, Any]) -> Advice:
    said = read_sentence(rulebase, case["say"]).answers if "say" in case else {}
    return consult(rulebase, {**said, **case.get("answers", {})})


def wrong(rulebase: RuleBase, advice: Advice, case: Mapping[str, Any]) -> Iterator[str]:
    """Each line of the advice that the judge would strike out."""
    decisions = advice.decisions
    if "outcome" in case and advice.outcome != case["outcome"]:
        yield f"outcome {advice.outcome}"
    if "order" in case and advice.no_order != (case["order"] == "withheld"):
        yield f"order {advice.verdict}"
    for name in CHOICES:
        chosen = getattr(decisions, name).chosen
        if name in case and (not chosen or chosen[0] not in case[name]):
            yield f"{name} {chosen}"
    low, high = decisions.weight.low_mm, decisions.weight.high_mm
    thin, thick = (ounces * MM_PER_OUNCE for ounces in case.get("oz", (0, 99)))
    if "oz" in case and (low is None or high is None or high < thin or low > thick):
        yield f"weight {decisions.weight.order_as}"
    if "guide" in case:
        source, thin, thick = case["guide"]
        assert rulebase.sources[source].opened
        item = advice.facts["item"].value
        usual = rulebase.rules.get(f"{item}/usual-weight")
        if usual is None or source not in usual.source:
            yield f"the item does not cite {source}"
        if low is None or high is None or high < thin or low > thick:
            yield f"weight {decisions.weight.order_as}, and the guide says {thin} to {thick} mm"
    for name, _, candidate in (never.partition(".") for never in case.get("never", ())):
        assert candidate in rulebase.decisions[name].candidates, f"{name}.{candidate} is nothing that could be chosen"
        choice = getattr(decisions, name)
        if candidate in (*choice.chosen, *choice.also_fits):
            yield f"{name} offers {candidate}"
    applied = {c.id for c in advice.cautions if c.status == "applies"}
    assert {*case.get("cautions", ()), *case.get("without", ())} <= rulebase.cautions.keys()
    yield from (f"no caution {c}" for c in case.get("cautions", ()) if c not in applied)
    yield from (f"caution {c}" for c in case.get("without", ()) if c in applied)
    abouts = {c.about for c in advice.conflicts}
    yield from (f"no clash {c}" for c in case.get("clashes", ()) if rulebase.clashes[c].between not in abouts)
    if case.get("remark") and "Makers differ" not in advice_lines(rulebase, advice, full=True):
        yield "nothing about makers who differ"


@pytest.mark.parametrize("name", sampled(list(CASES), 3))
def test_the_judge_strikes_nothing_out(rulebase: RuleBase, name: str) -> None:
    case = CASES[name]
    assert case["judge"]
    assert case.keys() <= WORDS
    assert case.keys() - TOLD
    assert list(wrong(rulebase, advised(rulebase, case), case)) == []


def test_a_wrong_advice_would_be_struck_out(rulebase: RuleBase) -> None:
    """The judge is no rubber stamp: against another commission's advice most expectations fail."""
    advice = consult(rulebase, {"item": "lampshade"})
    blind = [name for name, case in CASES.items() if not list(wrong(rulebase, advice, case))]
    assert blind == []

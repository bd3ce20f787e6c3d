"""No name of the rule files reaches a person on the screen, on the slip, in the full advice, a proof or the drawing."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from plain import sampled

from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import parse_answers
from advisor.reasoning.report import report
from advisor.rulebase.models import RuleBase
from advisor.write.drawing import drawing
from advisor.write.full import full_lines
from advisor.write.ordering import bound_reason
from advisor.write.outline import outline
from advisor.write.screen import advice_lines
from advisor.write.slip import slip_lines

sys.path.append(str(Path(__file__).parents[1] / "talk"))
from test_spoken import raw

PARTS = 24
PROVEN = ("tannage", "weight", "form", "amount", "cut", "species", "outcome")
IN_XML = re.compile(r"<(?:text|tspan|title|desc)\b[^>]*>([^<]*)<")


def pages(rulebase: RuleBase, item: str) -> Iterator[tuple[str, list[str]]]:
    """What a person can see of a thing of which nothing else was said."""
    run = Consultation(rulebase, parse_answers(rulebase, {"item": item}))
    advice, proof = report(run), run.proof
    yield "screen", advice_lines(rulebase, advice, 1000)
    yield "slip", slip_lines(rulebase, advice, 1000)
    asked = {f"  - {a.question} {a.help}" for a in rulebase.attributes.values()}
    full = (line for line in full_lines(rulebase, advice, 1000) if line not in asked)
    yield "full", [without_rules(rulebase, line) for line in full]
    for name in PROVEN:
        if node := proof.conclusion(name):
            yield f"proof of {name}", outline(rulebase, node, 1000)
    yield "drawing", IN_XML.findall(drawing(run))


def without_rules(rulebase: RuleBase, line: str) -> str:
    """A line of the full advice without the ids of rules, which it names to be looked up."""
    return re.sub(r"[\w/-]+", lambda m: "" if m[0] in rulebase.rules else m[0], line)


@pytest.mark.parametrize("part", sampled(range(PARTS), PARTS))
def test_no_name_of_the_rule_files_is_shown(rulebase: RuleBase, part: int) -> None:
    for item in sorted(rulebase.items)[part::PARTS]:
        for page, lines in pages(rulebase, item):
            assert len(lines) > 1, (item, page)
            assert [line for line in lines if re.search(r"\w=\w", line)] == [], (item, page)
            assert raw(rulebase, lines) == [], (item, page)


def test_what_is_looked_up_in_a_table_is_shown_as_no_sum(rulebase: RuleBase) -> None:
    advice = report(Consultation(rulebase, parse_answers(rulebase, {"item": "dog_lead", "load_mass": "30 kg"})))
    lookups = {b.rule for b in advice.decisions.weight.bounds if (b.formula or "").startswith("value for ")}
    assert lookups
    for bound in advice.decisions.weight.bounds:
        assert "value for" not in bound_reason(rulebase, bound)

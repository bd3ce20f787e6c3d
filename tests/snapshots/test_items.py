"""What is ordered of every item when nothing else is known and what decided it: values and rules, one file each."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from plain import plain_advice
from syrupy.assertion import SnapshotAssertion
from test_traces import ReadableFile

from advisor import Advice, load_rulebase
from advisor.reasoning.advice import OrderLine

NOT_TOLD = {"id", "kind", "order_as", "label", "pieces", "shares", "cost"}


def lines_of(advice: Advice) -> Iterator[str]:
    """Each line of the order, then each decision with the rules behind it, then what is warned of."""
    yield f"{advice.verdict}: {', '.join(r.rule for r in advice.outcome_reasons) or 'no rule'}"
    for line in advice.order.lines:
        yield f"order {line.label}{f' out of {line.shares}' if line.shares else ''}: {', '.join(values(line))}"
    for name, choice in advice.decisions.choices().items():
        lead = choice.chosen[0] if choice.chosen else None
        rules = dict.fromkeys(e.rule for e in choice.ledger if e.candidate == lead and e.act == "favour" and e.counts)
        yield f"{name} {' or '.join(choice.chosen) or 'open'}: {', '.join(rules)}"
    weight = advice.decisions.weight
    binding = dict.fromkeys(f"{b.side} {b.rule}" for b in weight.bounds if b.binding)
    yield f"weight {weight.low_mm} to {weight.high_mm}: {', '.join(binding)}"
    for severity in ("stop", "caution"):
        told = [c for c in advice.cautions_told if c.status == "applies" and c.relevant]
        ids = [c.id for c in told if c.severity == severity]
        yield f"{severity}: {', '.join(ids) or 'none'}"


def values(line: OrderLine) -> Iterator[str]:
    """What is set of a line, besides its words."""
    for name, value in line:
        if value is not None and name not in NOT_TOLD:
            yield f"{name} {value}"


@pytest.mark.parametrize("item", sorted(load_rulebase().items))
def test_item(item: str, snapshot: SnapshotAssertion) -> None:
    text = "\n".join(lines_of(plain_advice(item))) + "\n"
    assert text == snapshot(extension_class=ReadableFile)

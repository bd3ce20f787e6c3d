"""A thickness before any word for what leather is sold as is a thickness: counter talk, common practice."""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.reader import read_sentence

BASE = load_rulebase()


@pytest.mark.parametrize(
    ("say", "mm"),
    [
        ("1.8 mm material, for a key case", 1.8),
        ("coasters in 3 mm stuff", 3),
        ("1.4 mm kip for a tote", 1.4),
        ("I want 2.5 mm of stock for a knife sheath", 2.5),
    ],
)
def test_a_thickness_before_what_is_sold_is_heard_and_nothing_is_left(say: str, mm: float) -> None:
    reading = read_sentence(BASE, say)
    assert reading.proposal.weight is not None
    assert reading.proposal.weight.low == mm
    assert not {"stuff", "material", "kip"} & set(" ".join(reading.unread).split())

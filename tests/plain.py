"""What is advised for an item of which nothing else was said: worked out once for each process of the run."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

import pytest

from advisor import Advice, consult, load_rulebase


@cache
def plain_advice(item: str) -> Advice:
    """The advice on the shipped rule base, without a price list; not to be changed."""
    return consult(load_rulebase(), {"item": item})


def sampled(items: Sequence[str], every: int) -> list[Any]:
    """Every item as a parameter: each ``every``-th for the ordinary run, all others marked slow."""
    return [item if n % every == 0 else pytest.param(item, marks=pytest.mark.slow) for n, item in enumerate(items)]

"""What is advised for an item of which nothing else was said: worked out once for each process of a run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from advisor import Advice, consult, load_rulebase
from advisor.reasoning.advice import OrderLine
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import parse_answers
from advisor.reasoning.order_lines import order_lines
from advisor.rulebase.models import NO_ORDER, RuleBase
from advisor.rulebase.reading import Reader
from advisor.rulebase.words import hold_words


@cache
def plain_advice(item: str) -> Advice:
    """The advice on the shipped rule base, without a price list; not to be changed.

    A part that nobody reads is not worked out: of all cautions that is most of an advice, ``cautions_told`` is little.
    """
    return consult(load_rulebase(), {"item": item})


def with_words(folder: Path) -> RuleBase:
    """The shipped rule base with the words of another folder, which take a moment to read and the rules do not."""
    base, reader = load_rulebase(), Reader(folder)
    hold_words(reader)
    return replace(base, memo={"line": base.memo["line"], "words": reader})


def afresh() -> RuleBase:
    """The shipped rule base with nothing remembered, whatever other tests have worked out in this process."""
    base = load_rulebase()
    return replace(base, memo={name: base.memo[name] for name in ("line", "words")})


def worked_out(rulebase: RuleBase, **answers: object) -> Consultation:
    """What is concluded, without the report: a third of the time of an advice."""
    return Consultation(rulebase, parse_answers(rulebase, answers))


def barred(run: Consultation) -> bool:
    """Whether a verdict stands under which no order is shown."""
    standing = (f.rule for fired in run.firings.values() for f in fired if f.withdrawn_by is None)
    return any(rule.verdict(c.target) in NO_ORDER for rule in standing for c in rule.then if c.act == "outcome")


def ordered(run: Consultation) -> list[OrderLine]:
    """The lines of an order without costs; ``trade/test_buys.py`` holds it against the report."""
    return [] if barred(run) else order_lines(run, lambda *_: None)


def sampled(items: Sequence[object], every: int) -> list[Any]:
    """Every item as a parameter: each ``every``-th for the ordinary run, all others marked slow.

    A tuple stands for several parameters.
    """
    several = (item if isinstance(item, tuple) else (item,) for item in items)
    return [pytest.param(*one, marks=[pytest.mark.slow] if n % every else []) for n, one in enumerate(several)]

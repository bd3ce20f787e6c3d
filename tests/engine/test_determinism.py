"""Equal answers give equal advice, byte for byte."""

from __future__ import annotations

import hashlib
import random

import pytest
from bare import run
from randombase import random_answers

from advisor.reasoning.consult import consult
from advisor.reasoning.facts import Answer
from advisor.rulebase.load import load_rulebase, shipped_rulebase
from advisor.rulebase.models import RuleBase

_SCRIPT = """
    import hashlib, random, sys
    sys.path.insert(0, "tests/engine")
    from randombase import random_answers
    from advisor.reasoning.consult import consult
    from advisor.rulebase.load import load_rulebase
    base, pick = load_rulebase(), random.Random(11)
    for turn in range(MANY):
        answers = random_answers(pick, base, pick.choice((0.1, 0.3, 0.6)))
        text = consult(base, answers).model_dump_json(by_alias=True)
        print(len(text), hashlib.sha256(text.encode()).hexdigest())
"""


MANY = pytest.mark.parametrize("many", [4, pytest.param(12, marks=pytest.mark.slow)])
"""So many consultations are compared."""


def _samples(rulebase: RuleBase, many: int) -> list[dict[str, Answer]]:
    pick = random.Random(12)
    return [random_answers(pick, rulebase, pick.choice((0.1, 0.3, 0.6))) for _ in range(many)]


def _text(rulebase: RuleBase, answers: dict[str, Answer]) -> str:
    return consult(rulebase, answers).model_dump_json(by_alias=True)


@pytest.mark.parametrize(
    ("many", "seeds"), [(4, ("0",)), pytest.param(12, ("0", "1", "4242", "random"), marks=pytest.mark.slow)]
)
def test_neither_hash_seed_nor_time_zone_matters(many: int, seeds: tuple[str, ...], rulebase: RuleBase) -> None:
    """A run of the tests has a seed of its own, drawn anew each time."""
    pick, here = random.Random(11), list[str]()
    for _ in range(many):
        text = _text(rulebase, random_answers(pick, rulebase, pick.choice((0.1, 0.3, 0.6))))
        here.append(f"{len(text)} {hashlib.sha256(text.encode()).hexdigest()}")
    for seed, zone in zip(seeds, ("Asia/Kolkata", "Pacific/Apia", "UTC", "America/St_Johns"), strict=False):
        done = run(_SCRIPT.replace("MANY", str(many)), PYTHONHASHSEED=seed, TZ=zone)
        assert done.returncode == 0, done.stderr
        assert done.stdout.splitlines() == here
    assert len(set(here)) == many, "the samples must differ for this to show anything"
    assert all(int(line.split()[0]) > 5_000 for line in here)


@MANY
def test_the_order_of_answers_does_not_matter(rulebase: RuleBase, many: int) -> None:
    pick = random.Random(13)
    for answers in _samples(rulebase, many):
        expected = _text(rulebase, answers)
        for _ in range(2):
            shuffled = dict(pick.sample(list(answers.items()), len(answers)))
            assert _text(rulebase, shuffled) == expected


@MANY
def test_a_second_run_and_a_second_engine_say_the_same(rulebase: RuleBase, many: int) -> None:
    again = load_rulebase(shipped_rulebase())
    assert again is not rulebase
    for answers in _samples(rulebase, many):
        expected = _text(rulebase, answers)
        assert _text(rulebase, answers) == expected
        assert _text(again, answers) == expected

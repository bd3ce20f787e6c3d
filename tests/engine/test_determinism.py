"""Equal answers give equal advice, byte for byte."""

from __future__ import annotations

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


@MANY
def test_the_hash_seed_of_the_interpreter_does_not_matter(many: int) -> None:
    printed = set()
    for seed in ("0", "1", "random"):
        done = run(_SCRIPT.replace("MANY", str(many)), PYTHONHASHSEED=seed)
        assert done.returncode == 0, done.stderr
        printed.add(done.stdout)
    assert len(printed) == 1
    lines = printed.pop().splitlines()
    assert len(set(lines)) == many, "the samples must differ for this to show anything"
    assert all(int(line.split()[0]) > 5_000 for line in lines)


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

"""Equal answers give equal advice, byte for byte."""

from __future__ import annotations

import random

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
    for turn in range(12):
        answers = random_answers(pick, base, pick.choice((0.1, 0.3, 0.6)))
        text = consult(base, answers).model_dump_json(by_alias=True)
        print(len(text), hashlib.sha256(text.encode()).hexdigest())
"""


def _samples(rulebase: RuleBase) -> list[dict[str, Answer]]:
    pick = random.Random(12)
    return [random_answers(pick, rulebase, pick.choice((0.1, 0.3, 0.6))) for _ in range(12)]


def _text(rulebase: RuleBase, answers: dict[str, Answer]) -> str:
    return consult(rulebase, answers).model_dump_json(by_alias=True)


def test_the_hash_seed_of_the_interpreter_does_not_matter() -> None:
    printed = set()
    for seed in ("0", "1", "random"):
        done = run(_SCRIPT, PYTHONHASHSEED=seed)
        assert done.returncode == 0, done.stderr
        printed.add(done.stdout)
    assert len(printed) == 1
    lines = printed.pop().splitlines()
    assert len(set(lines)) == 12, "the samples must differ for this to show anything"
    assert all(int(line.split()[0]) > 5_000 for line in lines)


def test_the_order_of_answers_does_not_matter(rulebase: RuleBase) -> None:
    pick = random.Random(13)
    for answers in _samples(rulebase):
        expected = _text(rulebase, answers)
        for _ in range(2):
            shuffled = dict(pick.sample(list(answers.items()), len(answers)))
            assert _text(rulebase, shuffled) == expected


def test_a_second_run_and_a_second_engine_say_the_same(rulebase: RuleBase) -> None:
    again = load_rulebase(shipped_rulebase())
    assert again is not rulebase
    for answers in _samples(rulebase):
        expected = _text(rulebase, answers)
        assert _text(rulebase, answers) == expected
        assert _text(again, answers) == expected

"""Consultations to prove and check: the snapshot cases and random answers, the same for the same seed."""

from __future__ import annotations

import json
import random
import sys
from functools import lru_cache
from pathlib import Path
from typing import Any

from advisor.errors import AnswerError
from advisor.read.reader import read_sentence
from advisor.reasoning.consult import Consultation
from advisor.reasoning.deciding import proven
from advisor.reasoning.facts import RAISED, Answer, parse_answers
from advisor.rulebase.load import load_rulebase

sys.path.append(str(Path(__file__).parents[1] / "snapshots"))
from test_traces import CASES

RULES = Path(__file__).parents[2] / "rulesets" / "leather"
BASE = load_rulebase()
_ASKED = [a for a in BASE.attributes.values() if a.ask != "never" and a.name != "item"]
__all__ = ["BASE", "CASES", "RULES", "advice_of", "advice_of_case", "case", "random_answers"]


def case(name: str) -> dict[str, Answer]:
    """The answers of a snapshot case."""
    return dict(read_sentence(BASE, CASES[name]).answers)


def random_answers(seed: int) -> dict[str, Answer]:
    """An item, mostly, and up to 25 answers, some of them "don't know" or "does not apply"."""
    rng = random.Random(seed)
    said: dict[str, Any] = {"item": rng.choice(list(BASE.items))} if rng.random() > 0.05 else {}
    for a in rng.sample(_ASKED, rng.randint(0, 25)):
        state = rng.random()
        if state < 0.16:
            said[a.name] = "don't know" if state < 0.08 else "does not apply"
        elif a.numeric:
            low, high = a.low or 0, a.high if a.high is not None else 100
            value = low + (high - low) * rng.random() ** 3
            said[a.name] = str(round(value)) if a.kind == "count" else str(round(value, rng.choice([0, 1, 2])))
        elif a.kind == "set":
            said[a.name] = rng.sample([v for v in a.values if v != "none"], 2) if rng.random() < 0.8 else ["none"]
        elif a.values:
            said[a.name] = rng.choice(list(a.values))
    if rng.random() < 0.3:
        said[RAISED] = rng.sample(list(BASE.attributes[RAISED].values), 2)
    found: dict[str, Answer] = {}
    for name, raw in said.items():
        try:
            found |= parse_answers(BASE, {name: raw})
        except AnswerError:
            # Some sets have no value "none", and some numbers are rounded outside their limits.
            continue
    return found


@lru_cache
def _written(name: str) -> str:
    return json.dumps(advice_of(case(name)))


def advice_of_case(name: str) -> Any:
    """The advice of a snapshot case with its proof, worked out once and read anew."""
    return json.loads(_written(name))


def advice_of(answers: dict[str, Answer]) -> Any:
    """The advice with its proof, as a file holds it."""
    return json.loads(proven(Consultation(BASE, answers)).model_dump_json(by_alias=True))

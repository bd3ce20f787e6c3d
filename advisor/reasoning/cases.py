"""Cases: for a rule, answers with which it fires and answers, one step away, with which it does not.

A case file is TOML with one table for each rule: ``["rule-id"]``, ``fires = {...}``, ``near_miss = {...}``.
Reading checks everything that can be told without a consultation; that a case holds is for the tests.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from ..errors import AnswerError, Problem, RuleBaseError, nearest
from ..rulebase.bounded import BYTE_ORDER_MARK, MAX_DEPTH, read_bounded, too_deep
from ..rulebase.models import RuleBase
from ..rulebase.places import find_places
from .facts import parse_answers

MAX_BYTES = 1_000_000
SIDES = ("fires", "near_miss")

Said = str | int | float | list[str]


@dataclass(frozen=True, slots=True)
class Case:
    """Answers with which ``rule`` fires, and the same with one answer changed or added, so that it does not."""

    rule: str
    fires: Mapping[str, Said]
    near_miss: Mapping[str, Said]


class CaseError(ValueError):
    """An entry of a case file that cannot be used; the message says what was expected."""


def case_of(rulebase: RuleBase, rule_id: str, entry: object) -> Case:
    """One entry of a case file, checked. Raises CaseError when it is no case for a written rule."""
    if rule_id not in rulebase.rules or rulebase.rules[rule_id].item is not None:
        near = nearest(rule_id, [r.id for r in rulebase.rules.values() if r.item is None])
        raise CaseError("no written rule is called that." + (f' The nearest valid word is "{near}".' if near else ""))
    if not isinstance(entry, dict) or set(entry) != set(SIDES):
        raise CaseError("expected two tables of answers, fires and near_miss, and nothing else.")
    told = {}
    for side in SIDES:
        answers = entry[side]
        if not isinstance(answers, dict) or not answers or not all(_sayable(raw) for raw in answers.values()):
            raise CaseError(f'{side}: expected answers, such as {{ item = "trouser_belt" }}.')
        try:
            told[side] = parse_answers(rulebase, answers)
        except AnswerError as error:
            raise CaseError(f"{side}: {error}") from error
    fires, near_miss = told["fires"], told["near_miss"]
    lost = fires.keys() - near_miss.keys()
    changed = [name for name in near_miss if near_miss[name] != fires.get(name)]
    if lost or len(changed) != 1:
        what = ", ".join([*sorted(lost), *changed]) or "nothing"
        raise CaseError(f"near_miss changes {what}; expected one answer changed or added.")
    return Case(rule_id, entry["fires"], entry["near_miss"])


def _sayable(raw: object) -> bool:
    return isinstance(raw, str | int | float) or (isinstance(raw, list) and all(isinstance(r, str) for r in raw))


def read_cases(folder: Path, rulebase: RuleBase) -> dict[str, Case]:
    """Rule id -> its case, from every .toml file in ``folder``.

    Raises RuleBaseError with every mistake found: file, line, rule, what was expected, nearest valid word.
    """
    files = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    if not files:
        raise RuleBaseError([Problem(str(folder), 0, "", "there are no cases here; expected a folder of .toml files.")])
    cases: dict[str, Case] = {}
    problems: list[Problem] = []
    for file in files:
        try:
            text = _text(file)
            entries = tomllib.loads(text)
        except (OSError, ValueError, RecursionError) as error:
            at = re.search(r"at line (\d+)", str(error))
            problems.append(Problem(file.name, int(at[1]) if at else 0, "", f"this is no case file: {error}."))
            continue
        lines = find_places(text)
        for rule_id, entry in entries.items():
            wrong = "another file has a case for it; keep one." if rule_id in cases else ""
            try:
                cases[rule_id] = case_of(rulebase, rule_id, entry)
            except CaseError as error:
                wrong = str(error)
            if wrong:
                problems.append(Problem(file.name, lines.get((rule_id,), 0), rule_id, wrong))
    if problems:
        raise RuleBaseError(problems)
    return cases


def _text(file: Path) -> str:
    text = read_bounded(file, MAX_BYTES, file.parent).decode().removeprefix(BYTE_ORDER_MARK)
    if deep := too_deep(text):
        raise ValueError(f"a key of more than {MAX_DEPTH} parts (at line {deep})")
    return text


def command_words(answers: Mapping[str, Said]) -> str:
    """Answers as ``advisor recommend`` takes them: ``item=dog_lead load_mass="30 kg"``."""
    words = []
    for name, raw in answers.items():
        text = ", ".join(raw) if isinstance(raw, list) else str(raw)
        words.append(f"{name}={text}" if re.fullmatch(r"[\w.]+", text) else f'{name}="{text}"')
    return " ".join(words)

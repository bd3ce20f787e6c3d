"""Every written rule defends itself: answers with which it fires, and the nearest ones with which it does not.

After a change of rules, run ``python tests/cases/find_cases.py``; it keeps what holds and finds the rest.
"""

from __future__ import annotations

import itertools
import json
import re
import shlex
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import find_cases
import find_guards
import pytest
from plain import sampled

from advisor.errors import RuleBaseError
from advisor.read.reader import read_assignments
from advisor.reasoning.cases import Case, Said, command_words, read_cases
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import parse_answers
from advisor.rulebase.load import load_rulebase, shipped_rulebase
from advisor.rulebase.models import RuleBase
from advisor.shell.cli import main

HERE = Path(__file__).parent
PARTS = 4
"""The ordinary run takes each so many-th rule."""
GOOD = '["turned-work-wants-thin-leather"]\nfires = { item = "turned_pouch" }\n'
NEAR = 'near_miss = { item = "turned_pouch", construction = "flat_stitched" }\n'
DEAD = """[[rule]]
id = "turned-and-flat-at-once"
when = ["construction is turned", "construction is flat_single"]
then = ["caution try_the_fold"]
force = "may"
concern = "process"
because = "Nothing is both."
basis = "estimate"
"""


@pytest.fixture(scope="module")
def cases(rulebase: RuleBase) -> dict[str, Case]:
    return read_cases(HERE, rulebase)


@pytest.fixture(scope="module")
def finder(rulebase: RuleBase) -> find_cases.Finder:
    """Remembers every consultation: a case, its near miss and its guards begin with the same answers."""
    return find_cases.Finder(rulebase)


def outcome_of(finder: find_cases.Finder, rule: str, answers: Mapping[str, Said]) -> find_cases.Outcome:
    priced = find_cases.priced(finder.rulebase, finder.rulebase.rules[rule])
    finder.house = finder.demo if priced else None
    outcome = finder.consult(dict(answers))
    assert outcome is not None, f"{rule}: these answers cannot be given together"
    return outcome


def part_of(cases: dict[str, Case], part: int) -> list[Case]:
    """Those of one thing follow each other: what the engine was asked last it remembers."""
    return sorted(list(cases.values())[part::PARTS], key=lambda case: json.dumps(case.fires, sort_keys=True))


def test_every_written_rule_has_a_case_and_no_case_is_left_over(rulebase: RuleBase, cases: dict[str, Case]) -> None:
    rules = {rule.id for rule in rulebase.rules.values() if rule.item is None}
    assert (sorted(rules - cases.keys()), sorted(cases.keys() - rules)) == ([], [])


@pytest.mark.parametrize("part", sampled(range(PARTS), PARTS))
def test_rules_fire_in_their_cases_and_not_in_their_near_misses(
    finder: find_cases.Finder, cases: dict[str, Case], part: int
) -> None:
    wrong = []
    for case in part_of(cases, part):
        fired = [case.rule in outcome_of(finder, case.rule, said).fired for said in (case.fires, case.near_miss)]
        if fired != [True, False]:
            wrong.append((case.rule, fired))
    assert wrong == []


def test_a_near_miss_is_one_answer_away(cases: dict[str, Case]) -> None:
    for case in cases.values():
        assert case.fires.keys() <= case.near_miss.keys(), case.rule
        assert sum(case.near_miss[name] != case.fires.get(name) for name in case.near_miss) == 1, case.rule


# -- finding


def with_few_things(rulebase: RuleBase) -> RuleBase:
    """A search begins with every thing there is, and a score of them will do."""
    few = dict(itertools.islice(rulebase.items.items(), 0, None, 12))
    return replace(rulebase, items=few, memo={name: rulebase.memo[name] for name in ("line", "words")})


def test_cases_are_found_from_nothing(rulebase: RuleBase) -> None:
    finder = find_cases.Finder(with_few_things(rulebase))
    for rule_id in ("turned-work-wants-thin-leather", "carving-needs-depth", "strap-blanks-are-narrow"):
        case, _ = finder.case(rulebase.rules[rule_id])
        assert case is not None
        fires, not_fires = (Consultation(rulebase, parse_answers(rulebase, a)) for a in (case.fires, case.near_miss))
        assert rule_id in fires.firings.keys() - not_fires.firings.keys()


def test_a_rule_that_cannot_fire_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(str(shipped_rulebase()), tmp_path / "base")
    (tmp_path / "base" / "rules" / "zz.toml").write_text(DEAD, encoding="utf-8")
    monkeypatch.setattr(find_cases, "MOST_TRIALS", 60)
    rulebase = with_few_things(load_rulebase(tmp_path / "base"))
    case, why = find_cases.Finder(rulebase).case(rulebase.rules["turned-and-flat-at-once"])
    assert case is None
    assert re.fullmatch(r"never fires; not met with the others: construction is (turned|flat_single)", why)


# -- reading


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (GOOD.replace("thin", "thick") + NEAR, r'1 \[turned-work-wants-thick-.*"turned-work-wants-thin-leather"'),
        ('["trouser_belt/ranking"]\nfires = {}\nnear_miss = {}', r"no written rule"),
        (GOOD, r"1 \[turned-work-wants-thin-leather\]: expected two tables of answers, fires and near_miss"),
        (GOOD + NEAR + "why = 1", "and nothing else"),
        (GOOD + "near_miss = {}", "near_miss: expected answers"),
        (GOOD + "near_miss = { item = { a = 1 } }", "near_miss: expected answers"),
        (GOOD + 'near_miss = { item = "turned_pouch" }', "near_miss changes nothing; expected one"),
        (GOOD + 'near_miss = { item = "apron_welding", quantity = 2 }', "near_miss changes item, quantity; expected"),
        (GOOD + 'near_miss = { construction = "turned" }', "near_miss changes item, construction; expected"),
        (GOOD + 'near_miss = { item = "turned_pouch", constuction = "turned" }', 'near_miss: .*"construction"'),
        (GOOD + 'near_miss = { item = "turned_pouch", waist = "9 kg" }', "near_miss: waist: .*kind"),
        (GOOD + NEAR + "broken\n", r"bad\.toml:4: this is no case file: .*"),
        ("# " + "x" * 1_000_001, "larger than 1000000 bytes"),
    ],
)
def test_mistakes_in_case_files_are_told(rulebase: RuleBase, tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "bad.toml").write_text(text, encoding="utf-8")
    with pytest.raises(RuleBaseError, match=said) as caught:
        read_cases(tmp_path, rulebase)
    assert len(caught.value.problems) == 1
    assert caught.value.problems[0].file == "bad.toml"


def test_a_rule_has_one_case(rulebase: RuleBase, tmp_path: Path) -> None:
    for name in ("a.toml", "b.toml"):
        (tmp_path / name).write_text(GOOD + NEAR, encoding="utf-8")
    with pytest.raises(RuleBaseError, match=r"b\.toml:1 \[turned-work-wants-thin-leather\]: another file"):
        read_cases(tmp_path, rulebase)


def test_a_folder_without_cases_is_told(rulebase: RuleBase, tmp_path: Path) -> None:
    for folder in (tmp_path, tmp_path / "missing"):
        with pytest.raises(RuleBaseError, match="there are no cases here"):
            read_cases(folder, rulebase)


# -- showing


def without_cases(lines: list[str]) -> Iterator[str]:
    return (line for line in lines if not line.startswith("    "))


def test_rules_list_shows_cases(rulebase: RuleBase, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "some.toml").write_text(GOOD + NEAR, encoding="utf-8")
    assert main(["rules", "list"]) == 0
    plain = capsys.readouterr().out.splitlines()
    assert main(["rules", "list", "--cases", str(tmp_path)]) == 0
    *lines, total = capsys.readouterr().out.splitlines()
    assert list(without_cases(lines)) == plain
    at = next(n for n, line in enumerate(lines) if line.startswith("turned-work-wants-thin-leather "))
    assert lines[at + 1 : at + 3] == [
        "    fires      item=turned_pouch",
        "    near miss  item=turned_pouch construction=flat_stitched",
    ]
    written = sum(rule.item is None for rule in rulebase.rules.values())
    assert total == f"1 of {written} written rules have a case and a near miss."


def test_shown_answers_can_be_typed_back(rulebase: RuleBase, cases: dict[str, Case]) -> None:
    for case in cases.values():
        for answers in (case.fires, case.near_miss):
            typed = read_assignments(rulebase, shlex.split(command_words(answers)))
            assert typed == parse_answers(rulebase, answers), case.rule


def test_cases_belong_to_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rules", "check", "--cases", str(HERE)]) == 2
    assert "--cases belongs to rules list" in capsys.readouterr().err


# -- each premise


@pytest.mark.parametrize("part", sampled(range(PARTS), PARTS))
def test_each_premise_is_missed_by_itself(finder: find_cases.Finder, cases: dict[str, Case], part: int) -> None:
    """Where a rule has several premises, an answer makes one of them fail and leaves the others, and it is silent."""
    guards = json.loads(find_guards.GUARDS.read_text(encoding="utf-8"))
    wrong = []
    for case in part_of(cases, part):
        rule_id, rule = case.rule, finder.rulebase.rules[case.rule]
        for n, change in guards.get(rule_id, {}).items():
            outcome = outcome_of(finder, rule_id, {**case.fires, **change})
            if rule_id in outcome.fired or find_guards.failing(rule, outcome) != [int(n)]:
                wrong.append((rule_id, rule.when[int(n)].text))
    assert wrong == []


def test_most_premises_are_guarded(rulebase: RuleBase) -> None:
    """What is left cannot fail alone: another premise rests on the same answers, or the item gives it."""
    guards = json.loads(find_guards.GUARDS.read_text(encoding="utf-8"))
    several = [r for r in rulebase.rules.values() if r.item is None and len(r.when) > 1]
    guarded = sum(len(changes) for changes in guards.values())
    assert guards.keys() <= {r.id for r in several}
    assert guarded / sum(len(r.when) for r in several) > 0.95

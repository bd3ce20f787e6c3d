"""Every rule of the shipped base, those of the items included, read a second time by a reader that shares nothing."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from second_reader import STRENGTHS, Rules

from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import Rule, RuleBase

RULES = Path(__file__).parents[2] / "rulesets" / "leather"
NUMBER = {"slight": 1, "clear": 2, "strong": 3, "must": 0, "": 0}
SIGNS = {"in": "is"}


def differences(base: RuleBase, second: Rules) -> list[str]:
    """Where the two readings of a rule base differ, by rule."""
    found = [f"{name} is read once" for name in sorted(base.rules.keys() ^ second.rules.keys())]
    for name in base.rules.keys() & second.rules.keys():
        both = zip(told(base.rules[name]), said(second.rules[name]), strict=True)
        found += [f"{name}: {one} / {other}" for one, other in both if one != other]
    return found


def told(rule: Rule) -> list[Any]:
    """A rule as the program reads it."""
    when = [[p.attribute, SIGNS.get(p.operator, p.operator), list(p.values), p.other, p.text] for p in rule.when]
    then = [
        [c.act, c.target, list(c.values), c.attribute, c.strength, c.text, c.because or rule.because] for c in rule.then
    ]
    fixed = [rule.force, rule.concern, rule.because, rule.basis, list(rule.source), list(rule.over), rule.over_because]
    fixed.append(rule.order)
    return [when, then, *fixed, rule.item]


def said(rule: Any) -> list[Any]:
    """The same rule as the second reader has it."""
    when = [[name, sign, list(values), other, text] for name, sign, values, other, text in rule["when"]]
    then = [
        [act, target, list(values), taken, NUMBER[strength], text, because]
        for act, target, values, taken, strength, text, because in rule["then"]
    ]
    fixed = [rule[k] for k in ("force", "concern", "because", "basis")] + [list(rule[k]) for k in ("source", "over")]
    return [when, then, *fixed, rule["over_because"], rule["order"], rule["item"]]


def test_both_readers_read_every_shipped_rule_alike() -> None:
    base, second = load_rulebase(), Rules(RULES)
    assert len(base.rules) > 1000
    assert sum(rule.item is not None for rule in base.rules.values()) > 300
    assert set(STRENGTHS.values()) == {"slight", "clear", "strong"}
    assert differences(base, second) == []
    assert base.sha256 == second.sha256


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("is none of ", "is one of "),
        (">= ", "> "),
        ('strongly"', 'slightly"'),
        ("at least ", "at most "),
    ],
)
def test_a_rule_read_otherwise_is_seen(tmp_path: Path, old: str, new: str) -> None:
    """The comparison can fail: a word changed in one rule makes the readings differ in that rule."""
    folder = tmp_path / "rules"
    shutil.copytree(RULES, folder)
    file = next(f for f in sorted((folder / "rules").glob("*.toml")) if old in f.read_text("utf-8"))
    file.write_text(file.read_text("utf-8").replace(old, new, 1), "utf-8")
    assert len(differences(load_rulebase(), Rules(folder))) == 1

"""No code names an item, a value of an attribute or a candidate of a decision: the rule base does.

Plain English that is spelt like one is listed, with what it is there; so are the inputs of formulas, whose names are
part of the formula.
"""

from __future__ import annotations

import ast
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from plain import with_words

import advisor
from advisor import load_rulebase
from advisor.errors import RuleBaseError
from advisor.read.purposes import purposes

BASE = load_rulebase()
ROOT = Path(advisor.__file__).parent
# The kinds of answers that every rule base has.
ANSWERS = {"none", "no", "yes", "never", "nothing"}
# What each word is in the code that holds it.
ENGLISH = {
    "leather": "the word for the material, in questions and headings",
    "some": "a kind of number in words",
    "high": "an end of a range",
    "low": "an end of a range",
    "side": "a word for part of anything, and a side of a balance",
    "back": "a word of commands, and a part of anything",
    "bound": "a node of the proof",
    "window": "a node of the proof: the window of thickness",
    "other": "a part of a pattern that is none of the others",
    "cases": "a page of the session",
    "animal": "a mark in a sentence about a leather",
    "lace": "a part of a pattern",
    "lining": "a part of a pattern",
    "sole": "an idle word beside a leather",
    "pocket": "a part of a pattern",
    "strap": "a part of a pattern, and what is charged by the strap in a price list",
    "folded": "a kind of zone of a pattern",
    "riveted": "a kind of zone of a pattern",
    "carrier": "a key of the file of purposes",
    "allergy": "the word that somebody says",
    "band": "a key of a price list",
    "unfinished": "a state of a log",
    "black": "a colour of a drawing",
    "finish": "a group of attributes",
    "thread": "what is bought beside the leather",
    "uk": "a scale of shoe sizes",
    "eu": "a scale of shoe sizes",
    "us": "a scale of shoe sizes",
    "heavy": "a word between a number and its noun",
    "tan": "an idle word beside a leather",
    "stamp": "what is put on a belt",
    "buckle": "what is put on a belt",
    "snap": "what is put on a belt",
    "button": "what is put on a belt",
    "rivet": "what is put on a belt",
    "heat": "a quantity of physics: the temperature",
    "soft": "an idle word beside a leather that is named",
    "firm": "an idle word beside a leather that is named",
}
# Formulas name the choices they reckon with; `formulas.py` declares them, and the linter compares them.
FORMULAS = ROOT / "leather"


def slugs() -> set[str]:
    """Every name that belongs to the rule base."""
    values = {v for a in BASE.attributes.values() for v in a.values}
    chosen = {c for d in BASE.decisions.values() for c in (*d.candidates, *d.groups)}
    return {*BASE.items, *values, *chosen}


def literals(path: Path) -> Iterator[tuple[int, str]]:
    """The strings of a module that are no docstring, with their line."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    told = {id(n.value) for n in ast.walk(tree) if isinstance(n, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.lineno, node.value


def test_no_code_names_what_the_rule_base_names() -> None:
    known = slugs() - ANSWERS - ENGLISH.keys()
    named = [
        f"{path.relative_to(ROOT)}:{line} {text}"
        for path in sorted(ROOT.rglob("*.py"))
        if not path.is_relative_to(FORMULAS)
        for line, text in literals(path)
        if text in known
    ]
    assert not named, named


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ('colour = "colour"', 'colour = "colur"', '"colur" is no attribute'),
        ('value = "animal"', 'value = "animul"', '"animul" is no value of load_carrier'),
        ('family_of_animals = "animal"', 'family_of_animals = "beast"', "no item is of this family"),
    ],
)
def test_a_wrong_purpose_is_told_with_its_file(tmp_path: Path, right: str, wrong: str, told: str) -> None:
    folder = tmp_path / "rules"
    shutil.copytree(Path(advisor.__file__).parents[1] / "rulesets" / "leather", folder)
    path = folder / "words" / "purposes.toml"
    path.write_text(path.read_text(encoding="utf-8").replace(right, wrong), encoding="utf-8")
    with pytest.raises(RuleBaseError) as caught:
        purposes(with_words(folder))
    assert "words/purposes.toml" in str(caught.value)
    assert told in str(caught.value)


def test_every_exception_is_needed() -> None:
    found = {text for path in ROOT.rglob("*.py") for _, text in literals(path)}
    assert found.issuperset(ANSWERS | ENGLISH.keys())
    assert slugs().issuperset(ANSWERS | ENGLISH.keys())

"""A thing is one table of few keys and its kind: the rest is its family's. The thing of these tests is invented."""

from __future__ import annotations

import shutil
import tomllib
from collections.abc import Iterable
from pathlib import Path

import pytest

from advisor import RuleBaseError, consult, load_rulebase
from advisor.rulebase.lint import check
from advisor.rulebase.load import shipped_rulebase

THING = """
[item.trial_{family}]
name = "{called} trial sleeve"
family = "{family}"
words = ["sleeve tried among {family}"]
suppose = [
    "length is 280 mm", "width is 60 mm", "hardware includes snap", "flex is none", "construction is flat_stitched",
    "shape_hold is holds_shape", "load_kind is none",
]
first_mistake = "Invented for this test."
weight = {{ min = "1.0 mm", usual_low = "1.2 mm", usual_high = "1.8 mm", max = "2.4 mm", because = "Invented." }}
piece = [{{ name = "wrap", part = "body", count = 1, length = "length", width = "3 x width" }}]
zone = [{{ name = "side", kind = "sewn", stack = "2 x weight", seam = "length" }}]
{more}
[item.trial_{family}.tannage]
veg_tooling = {{ favour = "strong", because = "Invented for this test." }}
"""
KEYS = 8
FAMILIES = ("straps", "animal", "bags", "books", "cases", "garments", "home", "small_goods", "sport", "furniture")


def written(family: str, more: str = "") -> str:
    """The thing as a member of this family, called after it."""
    return THING.format(family=family, called=family.replace("_", " "), more=more)


def edited(folder: Path, families: Iterable[str] = ("cases",), more: str = "") -> Path:
    """A copy of the rule folder with such a thing of each family in one file, among those that meet nothing."""
    shutil.copytree(str(shipped_rulebase()), folder, dirs_exist_ok=True)
    (folder / "items" / "trial.toml").write_text("".join(written(f, more) for f in families))
    cautions = folder / "cautions.toml"
    head = '[kind.plain_things]\nmeans = "what can hurt somebody with it is said by the rules alone"\nitems = [\n'
    text = cautions.read_text()
    assert head in text
    cautions.write_text(text.replace(head, head + "".join(f'    "trial_{f}",\n' for f in families)))
    return folder


def test_eight_keys_make_a_thing_in_any_family(tmp_path: Path) -> None:
    raw = tomllib.loads(written("cases"))["item"]["trial_cases"]
    assert len(raw.keys() - {"family"}) == KEYS
    rulebase = load_rulebase(edited(tmp_path / "rules", FAMILIES))
    assert [f for f in check(rulebase) if f.where.startswith("trial_") or f.severity == "error"] == []
    for family in FAMILIES:
        assert rulebase.items[f"trial_{family}"].ranks.keys() >= {"tannage", "grain", "temper", "cut"}, family


@pytest.mark.parametrize(("more", "count"), [("", 1), ("fittings = { snap = 3 }", 3), ("fittings = {}", None)])
def test_one_of_each_supposed_fitting_unless_it_counts_them(tmp_path: Path, more: str, count: int | None) -> None:
    rulebase = load_rulebase(edited(tmp_path / "rules", more=more))
    assert rulebase.items["trial_cases"].fittings == ({} if count is None else {"snap": count})
    lines = {line.label: line.count for line in consult(rulebase, {"item": "trial_cases"}).order.lines}
    assert lines["press stud"] == count
    assert any("thread" in label for label in lines)


def test_a_property_that_nobody_says_is_one_mistake(tmp_path: Path) -> None:
    folder = edited(tmp_path / "rules")
    with (folder / "decisions.toml").open("a") as file:
        file.write(
            '\n[decision.tannage.properties.trial]\nunit = "yes_no"\nlabel = "is tried"\nmeans = "invented"\n'
            'basis = "common practice"\nbecause = "Invented for this test."\nsource = []\n'
        )
    with pytest.raises(RuleBaseError) as caught:
        load_rulebase(folder)
    (mistake,) = map(str, caught.value.problems)
    assert "no candidate says whether it is tried" in mistake
    assert all(slug in mistake for slug in load_rulebase().decisions["tannage"].candidates)

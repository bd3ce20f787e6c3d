"""The checks on arrival: read with the rule base, picked by the order, mistakes named with their line."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_rulebase import write_small

from advisor.errors import RuleBaseError
from advisor.rulebase.arrival import WEIGHT_MARK, checks_for
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import RuleBase

THICK = '[check.thick]\nsay = "Measure it: {weight}."\nbasis = "common practice"\n'
SOFT = '[check.soft]\nsay = "Pinch it."\nof = { temper = ["soft"] }\nbasis = "common practice"\n'


def small_with(folder: Path, text: str) -> RuleBase:
    write_small(folder)
    (folder / "checks.toml").write_text(text, encoding="utf-8")
    return load_rulebase(folder)


def test_a_check_belongs_to_the_orders_it_names(tmp_path: Path) -> None:
    checks = small_with(tmp_path, THICK + SOFT).checks
    assert [c.id for c in checks_for(checks, {"temper": ["soft", "firm"]})] == ["thick", "soft"]
    assert [c.id for c in checks_for(checks, {"temper": ["firm", "soft"]})] == ["thick"]
    assert [c.id for c in checks_for(checks, {"temper": []})] == ["thick"]


def test_a_rule_base_may_do_without_checks(tmp_path: Path) -> None:
    assert load_rulebase(write_small(tmp_path)).checks == {}


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        ('temper = ["soft"]', 'tempre = ["soft"]', 6, 'The nearest valid word is "temper"'),
        ('temper = ["soft"]', 'temper = ["soff"]', 6, 'The nearest valid word is "soft"'),
        ('temper = ["soft"]', 'weight = ["soft"]', 6, "no decision among candidates"),
        ("{weight}", "{wait}", 2, "only {weight} may stand in braces"),
        ('"Pinch it."', '""', 5, "at least 1 character"),
        ('"common practice"\n[check.soft]', '"published"\n[check.soft]', 3, "needs the source"),
    ],
)
def test_a_mistake_is_named_with_its_line(tmp_path: Path, old: str, new: str, line: int, says: str) -> None:
    with pytest.raises(RuleBaseError) as caught:
        small_with(tmp_path, (THICK + SOFT).replace(old, new))
    assert f"checks.toml:{line}" in str(caught.value)
    assert says in str(caught.value)


def test_every_leather_and_form_has_its_checks(rulebase: RuleBase) -> None:
    # Common practice: measure before paying, and handle the leather in the way it will be used.
    decisions = rulebase.decisions
    for form in decisions["form"].candidates:
        found = checks_for(rulebase.checks, {"form": [form]})
        assert sum(WEIGHT_MARK in c.say for c in found if c.of) == 1, form
    for tannage in decisions["tannage"].candidates.keys() - {"veg_sole"}:
        assert [c for c in checks_for(rulebase.checks, {"tannage": [tannage]}) if c.of], tannage
    for grain in ("full_grain", *decisions["grain"].groups["napped"]):
        assert [c for c in checks_for(rulebase.checks, {"grain": [grain]}) if c.of], grain
    for surface in ("unfinished", "pigmented", "patent", "coated"):
        assert [c for c in checks_for(rulebase.checks, {"surface": [surface]}) if c.of], surface


def test_a_sentence_has_at_most_twenty_five_words(rulebase: RuleBase) -> None:
    for check in rulebase.checks.values():
        for sentence in check.say.replace(WEIGHT_MARK, "2.8 to 3.3 mm (7-8 oz)").split(". "):
            assert len(sentence.split()) <= 25, check.id

"""The order of work: nothing fires before all it reads is settled, nothing is settled before all is said."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_rulebase import FILES, rule_text, write_small

from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import RuleBase
from advisor.rulebase.strata import node_of, reads, speaks_of, winners_over


@pytest.fixture(params=["small", "shipped"])
def base(request: pytest.FixtureRequest, tmp_path: Path) -> RuleBase:
    if request.param == "small":
        return load_rulebase(write_small(tmp_path))
    shipped: RuleBase = request.getfixturevalue("rulebase")
    return shipped


def test_a_rule_fires_after_all_it_reads_and_before_all_it_speaks_of(base: RuleBase) -> None:
    level, stratum = base.strata.node, base.strata.rule
    assert set(stratum) == set(base.rules)
    for rule in base.rules.values():
        assert all(level[node] <= stratum[rule.id] for node in reads(rule)), rule.id
        assert all(level[node] > stratum[rule.id] for node in speaks_of(rule)), rule.id


def test_what_may_withdraw_a_rule_is_known_before_its_targets_are_settled(base: RuleBase) -> None:
    beaten_by: dict[str, set[str]] = {}
    for rule in base.rules.values():
        for loser in rule.over:
            beaten_by.setdefault(loser, set()).add(rule.id)
    assert beaten_by
    for loser in beaten_by:
        for winner in winners_over(base.rules[loser], beaten_by):
            for node in speaks_of(base.rules[loser]):
                assert base.strata.rule[winner] < base.strata.node[node], (winner, loser, node)


def test_a_computed_attribute_comes_after_its_inputs(base: RuleBase) -> None:
    level = base.strata.node
    computed = [a for a in base.attributes.values() if a.formula]
    assert computed
    for attribute in computed:
        for origin in attribute.inputs.values():
            if "." not in origin:
                assert level[node_of(origin)] < level[attribute.name]


def test_every_node_has_a_level_within_the_depth(base: RuleBase) -> None:
    assert {*base.attributes, *base.decisions} <= set(base.strata.node)
    assert all(0 <= n < base.strata.depth for n in (*base.strata.node.values(), *base.strata.rule.values()))


def test_winners_are_found_through_other_winners(base: RuleBase) -> None:
    rule = next(iter(base.rules.values()))
    beaten_by = {rule.id: {"b"}, "b": {"c"}, "c": {"d"}, "x": {"y"}}
    assert winners_over(rule, beaten_by) == {"b", "c", "d"}


def test_the_small_base_is_worked_in_this_order(tmp_path: Path) -> None:
    level = load_rulebase(write_small(tmp_path)).strata.node
    assert level["item"] < level["construction"] < level["tannage"] < level["strength"] < level["weight"]
    assert max(level["sew_max"], level["layers"]) < level["stitchable_thickness"] < level["weight"]


def test_both_sides_of_a_comparison_and_a_bound_are_read(tmp_path: Path) -> None:
    write_small(tmp_path)
    more = rule_text("compared", '"sew_max > stitchable_thickness"', '"weight at least 3 mm"')
    more += rule_text("bound", '"item is known"', '"weight at least stitchable_thickness"')
    (tmp_path / "rules/making.toml").write_text(FILES["rules/making.toml"] + more, encoding="utf-8")
    base = load_rulebase(tmp_path)
    for rule_id in ("compared", "bound"):
        assert base.strata.rule[rule_id] == base.strata.node["stitchable_thickness"]
    assert [p.text for p in base.rules["bound"].when] == ["item is known", "stitchable_thickness is known"]


def test_the_order_of_files_and_rules_makes_no_difference(tmp_path: Path) -> None:
    straight = load_rulebase(write_small(tmp_path / "straight")).strata
    turned = write_small(tmp_path / "turned")
    head, *rules = FILES["rules/making.toml"].split("[[rule]]")
    assert not head
    (turned / "rules/making.toml").unlink()
    for n, rule in enumerate(reversed(rules)):
        (turned / f"rules/{n}.toml").write_text(f"[[rule]]{rule}", encoding="utf-8")
    (turned / "items/straps.toml").rename(turned / "items/a.toml")
    for name, mark in (("attributes.toml", "[attribute."), ("decisions.toml", "[decision.")):
        _, *blocks = FILES[name].split("\n\n")
        first = FILES[name].split("\n\n")[0]
        assert first.startswith(mark)
        (turned / name).write_text("\n\n".join([*reversed(blocks), first]), encoding="utf-8")
    again = load_rulebase(turned).strata
    assert (again.node, again.rule, again.depth) == (straight.node, straight.rule, straight.depth)

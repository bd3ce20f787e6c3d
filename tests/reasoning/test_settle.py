"""Settling, rule by rule: what beats what, what stays visible, and when nothing stands.

The expected results are the documented semantics (DEVELOPERS.md, "One consultation"), worked by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from advisor.codes import say
from advisor.reasoning.matching import Match
from advisor.reasoning.settle import (
    Claim,
    Firing,
    Settled,
    settle_attribute,
    settle_choice,
    settle_window,
    unmet_wishes,
    withdraw,
)
from advisor.rulebase.models import Candidate, Conclusion, Decision, Rule


def rule(name: str, force: str = "should", concern: str = "use", over: Sequence[str] = ()) -> Rule:
    return Rule(
        name,
        (),
        (),
        force,
        concern,
        f"because of {name}",
        "common practice",
        (),
        tuple(over),
        "",
        (),
        "",
        "rules/test.toml",
        1,
    )  # type: ignore[arg-type]


def claim(r: Rule, act: str, target: str, *values: Any, strength: int = 0, facts: Any = (("x", "y"),)) -> Claim:
    firing = Firing(1, 0, r, Match(r.id, tuple(facts), ()))
    return Claim(firing, Conclusion(act, target, values, None, strength, f"{act} {target} {values}"), values)  # type: ignore[arg-type]


LEATHERS = Decision(
    "tannage",
    "choice",
    "",
    "tannage",
    {name: Candidate(name, name, (), {}) for name in ("firm", "soft", "split")},
    {},
    {},
)


def choice(*claims: Claim, cost: dict[str, str] | None = None) -> Any:
    return settle_choice(LEATHERS, claims, None, lambda _: False, {k: Decimal(v) for k, v in (cost or {}).items()})


def attribute(name: str, many: bool, claims: Sequence[Claim]) -> Settled:
    return settle_attribute(name, many, False, claims, lambda rule: rule.concern == "item habit")


def test_must_beats_should_and_the_loser_is_named() -> None:
    strong, weak = claim(rule("a", "must"), "set", "edge", "painted"), claim(rule("b"), "set", "edge", "raw")
    settled = attribute("edge", False, [weak, strong])
    assert settled.known is not None
    assert settled.known.values == ("painted",)
    assert strong.firing.defeated == ["b"]


def test_equal_force_leaves_the_attribute_unsettled_with_both_sides() -> None:
    settled = attribute(
        "edge", False, [claim(rule("a"), "set", "edge", "painted"), claim(rule("b"), "set", "edge", "raw")]
    )
    assert settled.known is None
    assert settled.clash is not None
    assert {c.firing.rule.id for c in settled.clash.claims} == {"a", "b"}


def test_a_setting_beats_any_supposition() -> None:
    settled = attribute(
        "edge",
        False,
        [
            claim(rule("a", "must", "item habit"), "suppose", "edge", "raw"),
            claim(rule("b", "may"), "set", "edge", "painted"),
        ],
    )
    assert settled.known is not None
    assert (settled.known.values, settled.known.origin) == (("painted",), "derived")


def test_the_items_habit_beats_the_familys() -> None:
    settled = attribute(
        "edge",
        False,
        [
            claim(rule("f", concern="family habit"), "suppose", "edge", "raw"),
            claim(rule("i", concern="item habit"), "suppose", "edge", "burnished"),
            claim(rule("g", concern="general habit"), "suppose", "edge", "bound"),
        ],
    )
    assert settled.known is not None
    assert (settled.known.values, settled.known.origin) == (("burnished",), "supposed")


def test_sets_are_the_union_and_none_gives_way() -> None:
    nothing = claim(rule("a"), "add", "hardware", "none")
    settled = attribute("hardware", True, [nothing, claim(rule("b"), "add", "hardware", "snap", "ring")])
    assert settled.known is not None
    assert settled.known.values == ("ring", "snap")


def test_a_preference_withdraws_and_a_beaten_preference_does_not() -> None:
    low, middle, top = rule("low"), rule("middle", over=["low"]), rule("top", over=["middle"])
    firings = {r.id: [Firing(n, 0, r, Match(r.id, (), ()))] for n, r in enumerate((low, middle, top))}
    beaten = {"low": ["middle"], "middle": ["top"]}
    withdraw({k: firings[k] for k in ("low", "middle")}, beaten)
    assert firings["low"][0].withdrawn_by == "middle"
    withdraw(firings, beaten)
    assert firings["middle"][0].withdrawn_by == "top"
    assert firings["low"][0].withdrawn_by is None


def test_an_exclusion_removes_whatever_the_balance() -> None:
    ledger = choice(
        claim(rule("i", concern="item habit"), "favour", "tannage", "firm", strength=3),
        claim(rule("i2", concern="item habit"), "favour", "tannage", "soft", strength=1),
        claim(rule("x", "must", "physics"), "exclude", "tannage", "firm"),
    )
    assert ledger.chosen == ["soft"]
    assert ledger.excluded == {"firm": ["x"]}


def test_a_requirement_removes_all_others() -> None:
    ledger = choice(
        claim(rule("i", concern="item habit"), "favour", "tannage", "firm", "soft", strength=3),
        claim(rule("x", "must", "physics"), "require", "tannage", "soft"),
    )
    assert ledger.chosen == ["soft"]
    assert set(ledger.excluded) == {"firm", "split"}


@pytest.mark.parametrize(("concern", "chosen"), [("use", "firm"), ("process", "split"), ("stated wish", "split")])
def test_only_a_process_or_stronger_brings_in_a_new_leather(concern: str, chosen: str) -> None:
    ledger = choice(
        claim(rule("i", concern="item habit"), "favour", "tannage", "firm", strength=1),
        claim(rule("w", concern=concern), "favour", "tannage", "split", strength=3),
    )
    assert ledger.chosen == [chosen]


def test_ties_go_to_fewer_reasons_against_then_to_the_cheaper() -> None:
    both = claim(rule("i", concern="item habit"), "favour", "tannage", "firm", "soft", strength=2)
    ledger = choice(both, cost={"firm": "2.0", "soft": "1.0"})
    assert ledger.chosen == ["soft", "firm"]
    assert ledger.tie is not None
    assert ledger.tie.code == "tied_cheapest"
    up = claim(rule("u", concern="process"), "favour", "tannage", "soft", strength=1)
    down = claim(rule("d"), "disfavour", "tannage", "soft", strength=1)
    ledger = choice(both, up, down, cost={"firm": "2.0", "soft": "1.0"})
    assert ledger.chosen == ["firm", "soft"]
    assert ledger.tie is not None
    assert ledger.tie.code == "tied_less_against"


def test_nothing_left_names_the_smallest_set_of_rules() -> None:
    ledger = choice(
        claim(rule("i", concern="item habit"), "favour", "tannage", "firm", "soft", strength=2),
        claim(rule("x", "must"), "exclude", "tannage", "firm", "split"),
        claim(rule("y", "must"), "exclude", "tannage", "soft"),
        claim(rule("z", "must"), "exclude", "tannage", "soft", "split"),
    )
    assert ledger.chosen == []
    assert ledger.clash is not None
    assert {c.firing.rule.id for c in ledger.clash.claims} in ({"x", "y"}, {"x", "z"})


def bounds(*claims: Claim) -> Any:
    return settle_window(claims, lambda c: (float(c.values[0]), None, {}))


def test_the_window_is_where_all_bounds_meet_and_the_binding_ones_are_marked() -> None:
    window = bounds(
        claim(rule("a", "must"), "at least", "weight", 1.6),
        claim(rule("b"), "at least", "weight", 3.2),
        claim(rule("c", "must"), "at most", "weight", 5.0),
        claim(rule("d"), "at most", "weight", 4.0),
    )
    assert (window.low, window.high) == (3.2, 4.0)
    assert window.feasible == (1.6, 5.0)
    assert {b.rule for b in window.bounds if b.binding} == {"b", "d"}
    assert next(b for b in window.bounds if b.rule == "c").clear_by_mm == 1.0


def test_a_should_that_leaves_nothing_is_set_aside_and_says_so() -> None:
    window = bounds(
        claim(rule("a", "must"), "at most", "weight", 2.0),
        claim(rule("m", "must"), "at least", "weight", 1.0),
        claim(rule("b"), "at least", "weight", 3.2),
    )
    assert (window.low, window.high) == (1.0, 2.0)
    assert next(b for b in window.bounds if b.rule == "b").set_aside == say("leaves_nothing")


def test_musts_that_cannot_meet_are_a_conflict_of_exactly_two() -> None:
    window = bounds(
        claim(rule("a", "must"), "at least", "weight", 1.6),
        claim(rule("a2", "must"), "at least", "weight", 1.2),
        claim(rule("b", "must"), "at most", "weight", 1.4),
        claim(rule("b2", "must"), "at most", "weight", 3.0),
    )
    assert window.low is None
    assert window.clash is not None
    assert [c.firing.rule.id for c in window.clash.claims] == ["a", "b"]


def test_a_wish_that_is_excluded_is_told_with_what_excludes_it() -> None:
    wish = claim(rule("wish", concern="stated wish"), "favour", "tannage", "firm", strength=3)
    wish = Claim(wish.firing, replace(wish.conclusion, attribute="wished_tannage"), wish.values)
    barred = claim(rule("fold", "must"), "exclude", "tannage", "firm")
    (told,) = unmet_wishes(LEATHERS, [wish, barred])
    assert [c.firing.rule.id for c in told.claims] == ["wish", "fold"]
    assert told.about == "wished_tannage"
    assert told.outcome == say("wish_left_out", decision="tannage", candidate="firm")


def test_a_wish_that_can_be_had_is_no_conflict() -> None:
    wish = claim(rule("wish", concern="stated wish"), "favour", "tannage", "firm", strength=3)
    named = Claim(wish.firing, replace(wish.conclusion, attribute="wished_tannage"), wish.values)
    barred = claim(rule("fold", "must"), "exclude", "tannage", "soft")
    assert unmet_wishes(LEATHERS, [named, barred]) == []
    # A favour that nobody asked for by name is no wish.
    assert unmet_wishes(LEATHERS, [wish, claim(rule("fold", "must"), "exclude", "tannage", "firm")]) == []

"""The three-valued resolve against brute force: what every completion comes to lies inside, and opening never narrows.

A completion takes each claim that perhaps holds as holding or not. On certain claims the resolve is held by
``test_settle`` and, over whole rule bases, by the oracle of ``tests/engine``; here each completion is such a case. The
order of standing is the documented one (DEVELOPERS.md, "One consultation").
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from test_settle import LEATHERS, rule

from advisor.reasoning.resolve_attribute import Claimed, claimed, resolve_attribute
from advisor.reasoning.resolve_choice import Reason, resolve_choice
from advisor.reasoning.resolve_window import Bound, resolve_window
from advisor.reasoning.spread import MAYBE, NO, YES, Status, within
from advisor.rulebase.models import Conclusion

FORCES = ("must", "should", "may")
HABITS = ("item habit", "family habit", "general habit")
CONCERNS = ("physics", "process", "use", "stated wish")


def said(act: str, strength: int = 0) -> Conclusion:
    return Conclusion(act, "x", (), None, strength, act)  # type: ignore[arg-type]


def completions(statuses: Sequence[Status]) -> Iterator[tuple[Status, ...]]:
    return itertools.product(*((NO, YES) if s == MAYBE else (s,) for s in statuses))


def random_claims(pick: random.Random, many: bool) -> list[Claimed]:
    found = []
    for place in range(pick.randint(1, 5)):
        supposes = pick.random() < 0.5
        concern = pick.choice(HABITS) if supposes else "use"
        values = tuple(pick.sample(["none", "a", "b"], pick.randint(1, 2) if many else 1))
        made = rule(f"r{place}", pick.choice(FORCES), concern)
        act = "suppose" if supposes else "set"
        found.append(claimed(place, made, said(act), pick.choice([NO, MAYBE, YES]), pick.choice([NO, YES]), values))
    return found


@pytest.mark.parametrize("many", [False, True])
def test_whatever_claims_hold_an_attribute_comes_to_what_was_foreseen(many: bool) -> None:
    pick = random.Random(15)
    for _ in range(1_500):
        claims = random_claims(pick, many)
        wide = resolve_attribute(claims, many, numeric=False)
        for statuses in completions([c.stands for c in claims]):
            one = resolve_attribute([c._replace(stands=s) for c, s in zip(claims, statuses, strict=True)], many, False)
            assert within(one.spread, wide.spread), (claims, statuses)
            assert wide.tie in (MAYBE, one.tie)
            assert one.tie != MAYBE
            if one.spread.something:
                assert wide.spread.own in (MAYBE, one.spread.own)
                assert wide.supposed in (MAYBE, one.supposed)
                assert set(one.givers) <= set(wide.givers) | {c.place for c in claims if c.stands == MAYBE}


def random_reasons(pick: random.Random) -> list[Reason]:
    found = []
    for n in range(pick.randint(1, 6)):
        act = pick.choice(["favour", "favour", "favour", "disfavour", "exclude", "require"])
        concern = pick.choice((*HABITS[:1], *CONCERNS))
        named = pick.sample([*LEATHERS.candidates], pick.randint(1, 2))
        wish = "w" if act == "favour" and concern == "stated wish" else None
        conclusion = replace(said(act, pick.randint(1, 3)), attribute=wish)
        stands, counted = pick.choice([NO, MAYBE, YES]), pick.choice([NO, YES, YES])
        found.append(
            Reason(rule(f"r{n}", "must", concern), conclusion, stands, tuple((v, YES, counted) for v in named))
        )
    return found


def test_whatever_reasons_hold_a_choice_comes_to_what_was_foreseen() -> None:
    pick = random.Random(16)
    for _ in range(1_500):
        reasons = random_reasons(pick)
        cost: dict[str, Any] = {c: (Decimal(pick.randint(1, 2)),) * 2 for c in LEATHERS.candidates}
        wide = resolve_choice(LEATHERS, reasons, cost)
        for statuses in completions([r.stands for r in reasons]):
            certain = [r._replace(stands=s) for r, s in zip(reasons, statuses, strict=True)]
            one = resolve_choice(LEATHERS, certain, cost)
            for part in ("lead", "chosen", "offered", "excluded"):
                assert within(getattr(one, part), getattr(wide, part)), (part, reasons, statuses)
            assert wide.clash in (MAYBE, one.clash)
            assert one.tally.low == one.tally.high, "certain reasons add up to one number"
            for candidate, balance in one.tally.low.items():
                assert wide.tally.low[candidate] <= balance <= wide.tally.high[candidate]


def test_certain_reasons_order_the_candidates_by_sum_then_reasons_against_then_price() -> None:
    pick = random.Random(17)
    for _ in range(1_500):
        habit = Reason(
            rule("h", "may", "item habit"), said("favour", 2), YES, tuple((c, YES, YES) for c in LEATHERS.candidates)
        )
        reasons = [
            habit,
            *(r for r in random_reasons(pick) if r.conclusion.act in ("favour", "disfavour") and not r.wish),
        ]
        reasons = [r._replace(stands=YES, named=tuple((v, YES, YES) for v, _, _ in r.named)) for r in reasons]
        cost = {c: (Decimal(pick.randint(1, 2)),) * 2 for c in LEATHERS.candidates}
        rows = []
        for place, candidate in enumerate(LEATHERS.candidates):
            pulls = [
                r.conclusion.strength * (1 if r.conclusion.act == "favour" else -1)
                for r in reasons
                if candidate in [v for v, _, _ in r.named]
            ]
            rows.append((-sum(pulls), sum(p < 0 for p in pulls), cost[candidate][0], place, candidate))
        expected = [row[-1] for row in sorted(rows) if row[0] < 0]
        assert [*resolve_choice(LEATHERS, reasons, cost).order] == expected  # type: ignore[arg-type]


def test_whatever_bounds_hold_a_window_ends_where_it_was_foreseen() -> None:
    pick = random.Random(18)
    for _ in range(1_500):
        bounds = []
        for n in range(pick.randint(1, 6)):
            low = pick.randint(1, 6)
            made = rule(f"r{n}", pick.choice(FORCES), pick.choice(CONCERNS))
            stands = pick.choice([NO, MAYBE, YES])
            bounds.append(Bound(made, pick.choice(["at least", "at most"]), stands, low, low + pick.choice([0, 0, 1])))
        wide = resolve_window(bounds)
        for statuses in completions([b.stands for b in bounds]):
            at = [pick.choice([b.low, b.high]) for b in bounds]
            certain = [b._replace(stands=s, low=mm, high=mm) for b, s, mm in zip(bounds, statuses, at, strict=True)]
            one = resolve_window(certain)
            assert wide.clash in (MAYBE, one.clash), (bounds, statuses)
            if one.clash == YES:
                continue
            assert within(one.middle, wide.middle)
            for end, foreseen in zip((*one.ends, *one.feasible), (*wide.ends, *wide.feasible), strict=True):
                assert foreseen.low <= end.low <= end.high <= foreseen.high, (bounds, statuses)

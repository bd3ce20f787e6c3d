"""Four ways to the same conclusions: the product's engine, CLIPS, brute force, and working backwards."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from multiprocessing import get_context

import pytest
from oracles import ClipsEngine, Demand, NaiveEngine, absence_in_words
from randombase import random_answers, random_base

from advisor.reasoning.consult import Consultation, engine_for
from advisor.reasoning.engine import DurableEngine
from advisor.reasoning.facts import Answer
from advisor.reasoning.matching import Fact, Match, Pattern, patterns_by_stratum
from advisor.rulebase.models import ANSWERED, RuleBase

SEED = 20_240
BASES, EACH, SHIPPED = 8, 25, 40


class Compared:
    """The product's engine, with the other two asked the same question every time."""

    def __init__(self, strata: Iterable[Sequence[Pattern]], first: DurableEngine | None = None) -> None:
        strata = list(strata)
        self.first = first or DurableEngine(strata)
        self.others = [ClipsEngine(strata), NaiveEngine(strata)]
        self.matches = 0

    def fire(self, stratum: int, facts: Sequence[Fact]) -> list[Match]:
        found = self.first.fire(stratum, facts)
        for other in self.others:
            assert other.fire(stratum, facts) == found, f"{type(other).__name__}, stratum {stratum}, {facts}"
        self.matches += len(found)
        return found


def firings_of(consultation: Consultation) -> dict[str, object]:
    return {
        rule: (
            {(f.match.facts, tuple(map(absence_in_words, f.match.absent))) for f in fired},
            any(f.withdrawn_by for f in fired),
        )
        for rule, fired in consultation.firings.items()
    }


def firings_by_demand(demand: Demand) -> dict[str, object]:
    return {
        rule.id: (set(demand.holdings(rule)), not demand.stands(rule.id))
        for rule in demand.rulebase.rules.values()
        if demand.holdings(rule)
    }


def settled_in(consultation: Consultation) -> dict[str, object]:
    window = consultation.window
    no_room = frozenset(b.rule for b in window.bounds if b.set_aside and b.set_aside.code != "withdrawn")
    return {
        "known": {n: (sorted(k.values), k.own) for n, k in consultation.known.items() if k.values},
        "choices": {
            n: (ledger.chosen, ledger.also_fits, {c: set(rules) for c, rules in ledger.excluded.items()})
            for n, ledger in consultation.ledgers.items()
        },
        "window": (window.feasible, window.low, window.high, no_room),
    }


def settled_by_demand(demand: Demand) -> dict[str, object]:
    base = demand.rulebase
    choices = [d.name for d in base.choices()]
    names = [*base.attributes, *base.decisions, *(c + end for c in choices for end in ("_offered", "_excluded"))]
    names += [name + ANSWERED for name in base.asked_of_people()]
    weighed = {name: demand.weighed(name) for name in choices}
    span = demand.span("weight")
    return {
        "known": {n: (sorted(f.values), f.own) for n in names if (f := demand.value(n)).values},
        "choices": {n: (list(w.chosen), list(w.also_fits), dict(w.excluded)) for n, w in weighed.items()},
        "window": (span.feasible, span.low, span.high, span.no_room),
    }


def check_preferences(consultation: Consultation) -> None:
    """Whoever is said to have lost to a preferred rule is withdrawn, and the winner stands."""
    firings = consultation.firings
    for rule, fired in firings.items():
        for firing in fired:
            winner = firing.withdrawn_by
            if winner is not None:
                assert rule in firings[winner][0].rule.over
                assert firings[winner][0].withdrawn_by is None
            for loser in set(firing.defeated) & set(firing.rule.over):
                assert firings[loser][0].withdrawn_by is not None, f"{rule} is said to beat {loser}, which stands"


def compare_random_bases(first_seed: int, bases: int, each: int) -> tuple[int, int]:
    matches = consultations = 0
    for seed in range(first_seed, first_seed + bases):
        base = random_base(seed, rules=40 + seed % 5 * 10)
        engine = Compared(patterns_by_stratum(base))
        pick = random.Random(seed)
        for turn in range(each):
            answers = random_answers(pick, base, pick.choice((0.2, 0.5, 0.8)))
            product, demand = Consultation(base, answers, engine), Demand(base, answers)
            place = f"base {seed}, consultation {turn}: {answers}"
            assert firings_of(product) == firings_by_demand(demand), place
            assert settled_in(product) == settled_by_demand(demand), place
            check_preferences(product)
            consultations += 1
        matches += engine.matches
    return consultations, matches


def compare_shipped(rulebase: RuleBase, seed: int, count: int) -> tuple[int, int]:
    product = engine_for(rulebase)
    assert isinstance(product, DurableEngine)
    engine = Compared(patterns_by_stratum(rulebase), product)
    pick = random.Random(seed)
    for _ in range(count):
        answers: dict[str, Answer] = random_answers(pick, rulebase, pick.choice((0.05, 0.2, 0.5, 0.8)))
        check_preferences(Consultation(rulebase, answers, engine))
    return count, engine.matches


def test_random_bases(tell: Callable[[str], None]) -> None:
    count, matches = compare_random_bases(SEED, BASES, EACH)
    assert count == BASES * EACH
    assert matches > 10 * count
    tell(f"{count} consultations on {BASES} random rule bases from seed {SEED}: {matches} firings, none differs")


def test_shipped_rulebase(rulebase: RuleBase, tell: Callable[[str], None]) -> None:
    count, matches = compare_shipped(rulebase, SEED, SHIPPED)
    assert matches > 10 * count
    tell(f"{count} consultations on the shipped rule base from seed {SEED}: {matches} firings, none differs")


@pytest.mark.slow
def test_many_random_bases(tell: Callable[[str], None]) -> None:
    # The library never gives back the memory of a rule base, so a few at a time go to a process of their own.
    starts = range(SEED + 10_000, SEED + 10_000 + 640, 32)
    own = get_context("spawn")
    with ProcessPoolExecutor(2, mp_context=own, max_tasks_per_child=1) as processes:
        found = list(processes.map(compare_random_bases, starts, repeat(32), repeat(EACH)))
    count, matches = (sum(column) for column in zip(*found, strict=True))
    assert count == 640 * EACH
    tell(f"{count} consultations on 640 random rule bases: {matches} firings, none differs")


@pytest.mark.slow
def test_many_on_the_shipped_rulebase(rulebase: RuleBase, tell: Callable[[str], None]) -> None:
    count, matches = compare_shipped(rulebase, SEED + 10_000, 4_000)
    tell(f"{count} consultations on the shipped rule base: {matches} firings, none differs")


def test_random_bases_hold_what_they_promise() -> None:
    """The generator is worth something only if every kind of premise, conclusion and preference occurs."""
    bases = [random_base(seed) for seed in range(SEED, SEED + 10)]
    rules = [rule for base in bases for rule in base.rules.values()]
    operators = {p.operator if p.other is None else "other" for r in rules for p in r.when}
    assert operators == {"is", "is not", "in", "lacks", "<", "<=", ">", ">=", "known", "unknown", "other"}
    acts = {c.act for r in rules for c in r.then}
    assert acts == {"set", "add", "suppose", "exclude", "require", "favour", "disfavour", "at least", "at most"}
    assert any(c.attribute == "picks" for r in rules for c in r.then)
    assert sum(len(r.over) for r in rules) > 20
    assert all(base.strata.depth > 4 for base in bases)

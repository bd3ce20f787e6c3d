"""The run on sets of open answers: equal to the engine on single answers, sound and monotone on open ones.

Nothing outside the project knows these rules, so the reference is the inference engine itself, whose
conclusions are held against CLIPS and brute force in ``test_equivalence``.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import pytest
from oracles import NaiveEngine
from randombase import random_answers, random_base

from advisor.reasoning.changes import present
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import RAISED, Answer
from advisor.reasoning.matching import patterns_by_stratum
from advisor.reasoning.possibility import Possibility, everything_open
from advisor.reasoning.spread import MAYBE, NO, YES, Span, Spread, Words, whole, within
from advisor.rulebase.models import ANSWERED, PATTERN_KINDS, Attribute, RuleBase

SEED = 71_993
TWICE = ("chosen", "lead", "offered", "excluded")


def random_said(pick: random.Random, attribute: Attribute) -> Answer:
    """An answer from the whole range, its ends oftener than chance would have them."""
    if pick.random() < 0.06:
        return Answer((), "does not apply")
    if attribute.numeric:
        low, high = attribute.low or 0.0, attribute.high or 100.0
        value = pick.choice([low, high, pick.uniform(low, high), low + (high - low) * pick.random() ** 3])
        return Answer((float(round(value)) if attribute.kind == "count" else round(value, 2),))
    values = sorted(attribute.values)
    if attribute.kind == "set":
        taken = pick.sample(values, min(pick.choice([1, 1, 2, 3]), len(values)))
        return Answer(tuple(sorted(v for v in taken if v != "none" or len(taken) == 1)))
    return Answer((pick.choice(values),))


def shipped_answers(pick: random.Random, rulebase: RuleBase) -> dict[str, Answer]:
    asked = [a for a in rulebase.attributes.values() if a.ask != "never" and a.name != "item" and a.kind != "text"]
    said = {a.name: random_said(pick, a) for a in pick.sample(asked, pick.choice([0, 3, 8, 20, 45]))}
    if pick.random() < 0.3:
        said[RAISED] = random_said(pick, rulebase.attributes[RAISED])
    return said if pick.random() < 0.05 else {"item": Answer((pick.choice(sorted(rulebase.items)),)), **said}


def differences(run: Possibility, consultation: Consultation) -> Iterator[object]:
    """Where a run with nothing open departs from the engine's consultation."""
    base = run.rulebase
    for rule in base.rules.values():
        if run.status(rule) != (YES if rule.id in consultation.firings else NO):
            yield "fires", rule.id, run.status(rule)
        withdrawn = any(f.withdrawn_by for f in consultation.firings.get(rule.id, ()))
        if rule.id in consultation.firings and run.stands(run.net.index[rule.id]) != (NO if withdrawn else YES):
            yield "stands", rule.id
    choices = [d.name for d in base.choices()]
    names = [n for n, a in base.attributes.items() if a.kind not in PATTERN_KINDS]
    names += [name + ANSWERED for name in sorted(base.asked_of_people())]
    for name in (*names, *base.decisions, *(c + end for c in choices for end in ("_offered", "_excluded"))):
        known = consultation.known.get(name)
        values = tuple(sorted(known.values, key=str)) if known else ()
        if run.fixed(name) != values:
            yield name, run.spreads.get(name), values
        elif known and values and run.spreads[name].own != (YES if known.own else NO):
            yield "own", name
    for name in choices:
        ledger, weighed = consultation.ledgers[name], run.weighed[name]
        if weighed.chosen.fixed != tuple(sorted(ledger.chosen)) or weighed.clash != (YES if ledger.clash else NO):
            yield "choice", name, ledger.chosen, weighed
    low, high = (None if abs(s.low) == float("inf") else s.low for s in run.window.ends)
    if run.window.clash != (YES if consultation.window.clash else NO) or (
        run.window.clash == NO and (low, high) != (consultation.window.low, consultation.window.high)
    ):
        yield "window", run.window, consultation.window


def some_open(pick: random.Random, rulebase: RuleBase, answers: dict[str, Answer]) -> dict[str, Spread]:
    """About a quarter of the questions opened, wholly or to some of their answers."""
    opened: dict[str, Spread] = {}
    for attribute in rulebase.attributes.values():
        if attribute.ask == "never" or attribute.name == "item" or attribute.kind == "text" or pick.random() > 0.25:
            continue
        answers.pop(attribute.name, None)
        nothing = pick.random() < 0.5
        if pick.random() < 0.5 or attribute.kind == "set":
            opened[attribute.name] = whole(attribute)
        elif attribute.numeric:
            ends = sorted(random_number(pick, attribute) for _ in range(2))
            opened[attribute.name] = Span(ends[0], ends[1], nothing)
        else:
            values = frozenset(pick.sample(sorted(attribute.values), pick.randint(1, len(attribute.values))))
            opened[attribute.name] = Words(values, values if len(values) == 1 else frozenset(), nothing)
    return opened


def random_number(pick: random.Random, attribute: Attribute) -> float:
    value = pick.uniform(attribute.low or 0.0, attribute.high or 100.0)
    return float(round(value)) if attribute.kind == "count" else round(value, 2)


def one_of(pick: random.Random, attribute: Attribute, spread: Spread) -> Answer | None:
    """One way to answer within a spread; None leaves it unsaid."""
    if spread.nothing and pick.random() < 0.3:
        return None
    if isinstance(spread, Span):
        if float("inf") in (abs(spread.low), abs(spread.high)):
            return Answer((random_number(pick, attribute),))
        value = pick.choice([spread.low, spread.high, pick.uniform(spread.low, spread.high)])
        value = float(round(value)) if attribute.kind == "count" else round(value, 2)
        return Answer((min(max(value, spread.low), spread.high),))
    if attribute.kind == "set":
        return random_said(pick, attribute)
    return Answer((pick.choice(sorted(spread.may, key=str)),))


def outside(small: Possibility, big: Possibility) -> Iterator[object]:
    """What the narrower run comes to and the wider one leaves out."""
    for name, spread in small.spreads.items():
        wide = big.spreads[name]
        if not within(spread, wide):
            yield name, spread, wide
        elif spread.something and (wide.own not in (MAYBE, spread.own) or wide.guessed not in (MAYBE, spread.guessed)):
            yield "own or guessed", name, spread, wide
    for place, (narrow, status) in enumerate(zip(small.statuses, big.statuses, strict=True)):
        if status not in (MAYBE, narrow):
            yield small.net.rules[place].id, narrow, status
    for name, weighed in small.weighed.items():
        for part in TWICE:
            if not within(getattr(weighed, part), getattr(big.weighed[name], part)):
                yield name, part, weighed, big.weighed[name]
        if big.weighed[name].clash not in (MAYBE, weighed.clash):
            yield name, "clash"
    if big.window.clash not in (MAYBE, small.window.clash):
        yield "clash of the window"
    if small.window.clash != YES:
        for end, wide_end in zip(small.window.ends, big.window.ends, strict=True):
            if not wide_end.low <= end.low <= end.high <= wide_end.high:
                yield "window", small.window, big.window


def narrowed(
    pick: random.Random, rulebase: RuleBase, opened: Mapping[str, Spread]
) -> dict[str, Spread | Answer | None]:
    """Some of what is open said, some opened less far."""
    changes: dict[str, Spread | Answer | None] = {}
    for name, spread in opened.items():
        attribute = rulebase.attributes[name]
        if pick.random() < 0.4:
            changes[name] = one_of(pick, attribute, spread)
        elif pick.random() < 0.5 and isinstance(spread, Span):
            middle = round((spread.low + spread.high) / 2) if attribute.kind == "count" else spread.low
            changes[name] = replace(spread, high=max(spread.low, float(middle)))
        elif pick.random() < 0.5 and isinstance(spread, Words) and attribute.kind != "set":
            kept = frozenset(pick.sample(sorted(spread.may, key=str), pick.randint(1, len(spread.may))))
            changes[name] = replace(spread, may=kept, must=kept if len(kept) == 1 else frozenset())
    return changes


def sound(rulebase: RuleBase, pick: random.Random, openings: int, completions: int) -> int:
    """Check openings of the shipped base; returns how many names and rules were checked."""
    checks = 0
    for _ in range(openings):
        answers = shipped_answers(pick, rulebase)
        opened = some_open(pick, rulebase, answers)
        big = Possibility(rulebase, answers, opened)
        for turn in range(completions):
            said = {n: one_of(pick, rulebase.attributes[n], s) for n, s in opened.items()}
            small = big.saying(said)
            assert not list(outside(small, big))
            checks += len(small.spreads) + len(small.statuses)
            if turn == 0:
                anew = Possibility(rulebase, answers | {n: a for n, a in said.items() if a}, {})
                assert (anew.spreads, anew.statuses, anew.weighed, anew.window) == (
                    small.spreads,
                    small.statuses,
                    small.weighed,
                    small.window,
                )
                assert not list(differences(small, Consultation(rulebase, anew.answers)))
            between = big.saying(narrowed(pick, rulebase, opened))
            assert not list(outside(between, big))
            checks += len(between.spreads) + len(between.statuses)
    return checks


def test_on_single_answers_it_agrees_with_the_engine(rulebase: RuleBase) -> None:
    pick = random.Random(SEED)
    for _ in range(75):
        answers = shipped_answers(pick, rulebase)
        assert not list(differences(Possibility(rulebase, answers, {}), Consultation(rulebase, answers)))


def test_on_random_rule_bases_it_agrees_with_brute_force() -> None:
    for seed in range(SEED, SEED + 20):
        base, pick = random_base(seed), random.Random(seed)
        engine = NaiveEngine(patterns_by_stratum(base))
        for _ in range(10):
            answers = random_answers(pick, base, pick.random())
            consultation = Consultation(base, answers, engine)
            assert not list(differences(Possibility(base, answers, {}), consultation)), seed
            opened = some_open(pick, base, dict(answers))
            big = Possibility(base, {n: a for n, a in answers.items() if n not in opened}, opened)
            small = big.saying({n: one_of(pick, base.attributes[n], s) for n, s in opened.items()})
            assert not list(outside(small, big)), seed


def test_it_is_sound_and_monotone(rulebase: RuleBase, tell: Callable[[str], None]) -> None:
    checks = sound(rulebase, random.Random(SEED), 20, 4)
    tell(f"{checks} checks of what open answers leave possible from seed {SEED}, none outside")


@pytest.mark.slow
def test_it_is_sound_and_monotone_at_length(rulebase: RuleBase, tell: Callable[[str], None]) -> None:
    checks = sound(rulebase, random.Random(SEED + 1), 300, 12)
    assert checks >= 1_000_000
    tell(f"{checks} checks of what open answers leave possible from seed {SEED + 1}, none outside")


def test_what_the_engine_fires_was_never_ruled_out(rulebase: RuleBase) -> None:
    pick = random.Random(SEED + 2)
    for _ in range(30):
        answers = shipped_answers(pick, rulebase)
        some = {n: a for n, a in answers.items() if n in ("item", RAISED) or pick.random() < 0.3}
        run = everything_open(rulebase, some)
        for rule_id in Consultation(rulebase, answers).firings:
            assert run.status(rulebase.rules[rule_id]) != NO


def test_what_is_remembered_is_what_would_be_worked_out_anew(rulebase: RuleBase) -> None:
    pick = random.Random(SEED + 3)
    for _ in range(12):
        answers = shipped_answers(pick, rulebase)
        opened = {
            n: whole(a)
            for n, a in rulebase.attributes.items()
            if a.ask != "never" and n not in answers and not (n == "item" and "item" in answers)
        }
        anew, remembered = Possibility(rulebase, answers, opened), everything_open(rulebase, answers)
        assert (anew.spreads, anew.statuses, anew.weighed) == (
            remembered.spreads,
            remembered.statuses,
            remembered.weighed,
        )
        fresh, held = Possibility(rulebase, answers, {}), present(rulebase, answers)
        assert (fresh.spreads, fresh.statuses) == (held.spreads, held.statuses)

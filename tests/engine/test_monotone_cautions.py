"""Cautions leave only when facts rule them out: knowing less never silences one."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.reasoning.advice import Advice
from advisor.reasoning.consult import consult
from advisor.reasoning.facts import Answer
from advisor.reasoning.matching import holds
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import Attribute, Premise, RuleBase

_BASE = load_rulebase()


def _values(base: RuleBase, attribute: Attribute) -> st.SearchStrategy[tuple[Any, ...]]:
    usual = [item.supposes[attribute.name] for item in base.items.values() if attribute.name in item.supposes]
    if attribute.numeric:
        low, high = attribute.low or 1.0, attribute.high or 1000.0
        numbers = st.integers(int(low), int(high)).map(float)
        # The numbers that rules compare with are where something changes.
        edges = {
            float(v) + off
            for rule in base.rules.values()
            for p in rule.when
            if p.attribute == attribute.name
            for v in p.values
            for off in (-0.1, 0.0, 0.1)
        }
        edges = {round(e) if attribute.kind == "count" else e for e in edges}
        inside = sorted(e for e in edges if low <= e <= high)
        return st.one_of(numbers, *([st.sampled_from(inside)] if inside else [])).map(lambda n: (n,))
    if attribute.kind == "text":
        return st.just(("initials",))
    words = [w for w in attribute.values if w != "none"]
    if attribute.kind == "set":
        none = [("none",)] if "none" in attribute.values else [(words[0],)]
        chosen = st.lists(st.sampled_from(words), min_size=1, max_size=4, unique=True).map(tuple)
        return st.one_of(chosen, st.sampled_from(none + usual))
    return st.sampled_from(list(attribute.values)).map(lambda word: (word,))


def _answer(base: RuleBase, attribute: Attribute) -> st.SearchStrategy[Answer]:
    known = _values(base, attribute).map(Answer)
    return st.one_of(known, known, known, st.sampled_from([Answer((), "don't know"), Answer((), "does not apply")]))


_ASKED = {a.name: _answer(_BASE, a) for a in _BASE.attributes.values() if a.ask != "never"}


@st.composite
def _answers(draw: st.DrawFn) -> dict[str, Answer]:
    names = draw(st.lists(st.sampled_from(sorted(_ASKED)), max_size=25, unique=True))
    return {name: draw(_ASKED[name]) for name in names} | (
        {"item": Answer((draw(st.sampled_from(list(_BASE.items))),))} if draw(st.integers(0, 4)) else {}
    )


@st.composite
def _more_and_less(draw: st.DrawFn) -> tuple[dict[str, Answer], dict[str, Answer]]:
    """Some answers, and the same with one or more of them not given, or given as "don't know"."""
    answers = draw(_answers().filter(bool))
    names = list(answers)
    removed = draw(
        st.one_of(
            st.sampled_from(names).map(lambda name: {name}),
            st.sets(st.sampled_from(names), min_size=1, max_size=len(names)),
        )
    )
    kept = {name: answer for name, answer in answers.items() if name not in removed}
    unsure = dict.fromkeys(removed, Answer((), "don't know")) if draw(st.booleans()) else {}
    return answers, kept | unsure


def _held_by(premise: Premise, advice: Advice) -> bool:
    """Whether an advice shows that a premise of a caution holds."""
    fact, choices = advice.facts.get(premise.attribute), advice.decisions.choices()
    values: Any = choices[premise.attribute].chosen[:1] if premise.attribute in choices else fact and fact.value
    return holds(premise, values if isinstance(values, list) else [] if values is None else [values])


def _check_concern(more: Advice, less: Advice) -> None:
    """Knowing less may hold a caution back, but only where its own declaration says so; a stop that applies never."""
    before = {c.id for c in more.cautions if c.relevant}
    concerned = {c.id for c in less.cautions if c.relevant}
    for caution in less.cautions:
        declared, applies = _BASE.cautions[caution.id], caution.status == "applies"
        if applies and caution.severity == "stop":
            assert caution.relevant
        if caution.id not in before - concerned or caution.severity == "note" or less.no_order:
            continue
        told = not concerned.isdisjoint(declared.told_by)
        elsewhere = not all(_held_by(p, less) for p in declared.concerns)
        unmet = not applies and not any(all(_held_by(p, less) for p in way) for way in declared.met_by or ())
        assert told or elsewhere or unmet, caution.id


def _check(more: dict[str, Answer], less: dict[str, Answer]) -> None:
    with_more, with_less = consult(_BASE, more), consult(_BASE, less)
    silenced = {c.id for c in with_more.cautions} - {c.id for c in with_less.cautions}
    unknown = sorted(name for name in more if more[name] != less.get(name))
    assert not silenced, f"not knowing {unknown} silences {sorted(silenced)}"
    _check_concern(with_more, with_less)
    for advice in (with_more, with_less):
        _check_applied(advice)


def _check_applied(advice: Advice) -> None:
    fired = {step.rule for step in advice.trace}
    for caution in advice.cautions:
        raises = [c.target for c in _BASE.rules[caution.rule].then if c.act == "caution"]
        assert caution.id in raises
        assert (caution.status == "applies") == (caution.rule in fired)


@settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(_more_and_less())
def test_knowing_less_silences_no_caution(pair: tuple[dict[str, Answer], dict[str, Answer]]) -> None:
    _check(*pair)


@pytest.mark.slow
@settings(max_examples=10_000, deadline=None, suppress_health_check=list(HealthCheck))
@given(_more_and_less())
def test_knowing_less_silences_no_caution_many_times(pair: tuple[dict[str, Answer], dict[str, Answer]]) -> None:
    _check(*pair)


def test_every_caution_of_the_rule_base_stands_before_anything_is_said() -> None:
    raised = {c.target for rule in _BASE.rules.values() for c in rule.then if c.act == "caution"}
    assert raised == {c.id for c in consult(_BASE, {}).cautions}


def test_facts_do_rule_cautions_out() -> None:
    """Otherwise the property above would hold for an advisor that always says everything."""
    nothing = {c.id for c in consult(_BASE, {}).cautions}
    belt = {name: Answer(values) for name, values in _BASE.items["trouser_belt"].supposes.items()}
    everything = {c.id for c in consult(_BASE, belt | {"item": Answer(("trouser_belt",))}).cautions}
    assert everything < nothing

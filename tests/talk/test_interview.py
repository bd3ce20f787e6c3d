"""The interview: what is asked can matter, what ends it is true, and the reasons given are those of the runs.

The reference is the inference engine: after a stop, answers to what is left are given to it, one and many.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Mapping

import pytest
from heard import heard
from plain import sampled

from advisor.reasoning.changes import alternatives, present
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import Answer
from advisor.reasoning.interview import SAFETY_GROUPS, preview, stop, worth_asking
from advisor.reasoning.report import report
from advisor.reasoning.standing import standing
from advisor.rulebase.asking import asking_of
from advisor.rulebase.models import RuleBase

SEED = 4_711


def order(rulebase: RuleBase, answers: Mapping[str, Answer]) -> tuple[object, ...]:
    """What is bought, by the engine; nothing else where no leather is advised."""
    advice = report(Consultation(rulebase, answers))
    d = advice.decisions
    if advice.outcome in ("refuse", "another_material"):
        return (advice.outcome,)
    choices = tuple(frozenset(c.chosen) for c in d.choices().values())
    return advice.outcome, choices, d.weight.order_as, d.amount.net_area_dm2


def interviewed(rulebase: RuleBase, item: str, pick: random.Random, ring: str = "later") -> dict[str, Answer]:
    """Everything said until nothing is worth asking: the usual as often as not, else anything."""
    answers = {"item": Answer((item,))}
    while asks := worth_asking(present(rulebase, answers), answers, ring):
        attribute = rulebase.attributes[asks[0].name]
        run = present(rulebase, answers)
        held = run.fixed(attribute.name)
        draw = pick.random()
        if draw < 0.1:
            answers[attribute.name] = Answer((), "don't know")
        elif held and draw < 0.85:
            answers[attribute.name] = Answer(held)
        else:
            answers[attribute.name] = pick.choice(alternatives(run, attribute))
    return answers


def still_changing(rulebase: RuleBase, answers: Mapping[str, Answer], pick: random.Random, tries: int) -> int:
    """How many sampled single answers to what was not asked change the order after a stop."""
    run, before = present(rulebase, answers), order(rulebase, answers)
    end = stop(run, answers)
    changing = 0
    for _ in range(tries):
        name = pick.choice(end.looked_at)
        answer = pick.choice(alternatives(run, rulebase.attributes[name]))
        changing += order(rulebase, {**answers, name: answer}) != before
    return changing


STOPPED = "trouser_belt", "card_holder", "dog_lead", "tote_plain", "knife_sheath"


@pytest.mark.parametrize("item", sampled(STOPPED, 5))
def test_after_a_stop_no_further_answer_changes_the_order(rulebase: RuleBase, item: str) -> None:
    pick = random.Random(f"{SEED} {item}")
    answers = interviewed(rulebase, item, pick)
    assert still_changing(rulebase, answers, pick, 15) == 0
    end = stop(present(rulebase, answers), answers)
    assert {a.name for a in end.open} <= {n for n, a in answers.items() if a.state == "don't know"}
    if end.all_answers:
        run, before = present(rulebase, answers), order(rulebase, answers)
        for _ in range(10):
            names = pick.sample(end.looked_at, min(10, len(end.looked_at)))
            said = {n: pick.choice(alternatives(run, rulebase.attributes[n])) for n in names}
            assert order(rulebase, {**answers, **said}) == before


@pytest.mark.slow
def test_after_many_stops_no_further_answer_changes_the_order(rulebase: RuleBase) -> None:
    pick = random.Random(SEED)
    for item in rulebase.items:
        assert still_changing(rulebase, interviewed(rulebase, item, pick), pick, 40) == 0, item


@pytest.mark.parametrize("item", ["trouser_belt", "bifold_wallet", "dog_collar"])
def test_a_preview_is_what_the_answer_does(rulebase: RuleBase, item: str) -> None:
    answers = {"item": Answer((item,))}
    run = present(rulebase, answers)
    for ask in worth_asking(run, answers, "first"):
        attribute = rulebase.attributes[ask.name]
        if attribute.kind == "set" or attribute.numeric:
            continue
        here = standing(run)
        for part in preview(run, attribute):
            for value in part.values:
                then = standing(present(rulebase, {**answers, ask.name: Answer((value,))}))
                assert here.moved(then) == part.moves
                assert all(then.order[g].may == part.becomes[g] for g in part.moves)


@pytest.mark.parametrize(
    ("item", "name"), [("trouser_belt", "waist"), ("dog_lead", "strap_width"), ("dog_lead", "load_mass")]
)
def test_a_preview_of_a_number_says_where_the_order_turns(rulebase: RuleBase, item: str, name: str) -> None:
    """Stretches next to each other, from half to double of what is supposed; at each end the order is as told."""
    answers = {"item": Answer((item,))}
    run = present(rulebase, answers)
    supposed = float(run.fixed(name)[0])
    parts = preview(run, rulebase.attributes[name])
    assert len(parts) > 1
    assert parts[0].values[0] >= 0.49 * supposed
    assert parts[-1].values[-1] <= 2.02 * supposed
    here = standing(run)
    for part in parts:
        for value in part.values:
            then = standing(present(rulebase, {**answers, name: Answer((value,))}))
            assert tuple(g for g in here.moved(then) if g != "amount") == part.moves
            assert all(then.order[g].may == part.becomes[g] for g in part.moves)
    for one, next_one in itertools.pairwise(parts):
        gap = float(next_one.values[0]) - float(one.values[-1])
        assert 0 < gap <= 0.012 * supposed


@pytest.mark.parametrize("item", ["trouser_belt", "watch_strap", "journal_cover"])
def test_nothing_is_asked_that_cannot_matter(rulebase: RuleBase, item: str) -> None:
    """A question is kept for what some answer does to the order, for safety, or because the order says it."""
    answers = {"item": Answer((item,))}
    asks = worth_asking(present(rulebase, answers), answers)
    assert asks
    in_the_order = asking_of(rulebase, item).in_the_order
    for ask in asks:
        safety = ask.safety and rulebase.attributes[ask.name].group in SAFETY_GROUPS
        assert ask.moves or safety or ask.name in in_the_order


def test_safety_is_asked_before_the_end() -> None:
    session = heard("watch strap")
    asked = []
    while session.question is not None:
        asked.append(session.question.name)
        session.hear("")
    assert {"allergy", "user_kind"} <= set(asked)


def test_the_end_says_what_could_still_change_or_that_nothing_could() -> None:
    session = heard("belt for jeans")
    said: list[str] = []
    while session.question is not None:
        session.hear("")
    said = session.hear("").lines
    assert "I used the usual answers for the rest." in " ".join(said)
    said = session.hear("more").lines
    while session.question is not None:
        said = session.hear("").lines
    assert "It depends on what you left open: " in " ".join(said)

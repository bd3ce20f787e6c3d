"""Changes, tipping points, enough answers and cases, each held against the inference engine or an exhaustive search.

The reference is the engine itself and plain enumeration: every "would" is run, every "nothing would" is
searched in full on a reduced set of answers.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Mapping, Sequence

import pytest
from plain import sampled

from advisor.reasoning.advice import Advice
from advisor.reasoning.apart import by_cases
from advisor.reasoning.changes import alternatives, changeable, present, smallest
from advisor.reasoning.clashes import entangled
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import Answer, parse_answers
from advisor.reasoning.report import report
from advisor.reasoning.spread import whole
from advisor.reasoning.standing import conflicts, standing
from advisor.reasoning.targets import holds_thickness, leads
from advisor.reasoning.tipping import asleep, enough, leaning, tips
from advisor.reasoning.why_not import why_not, why_not_weight
from advisor.rulebase.models import NO_ORDER, RuleBase

CASES = (
    {"item": "trouser_belt", "strap_width": "38 mm", "waist": "92 cm", "water": "rain"},
    {"item": "dog_lead", "load_mass": "30 kg", "strap_width": "20 mm", "load_kind": "dynamic"},
    {"item": "bifold_wallet", "decoration": "carve", "experience": "first_piece"},
    {"item": "tote_plain", "wash": "hand_wash", "lining": "leather"},
    {"item": "knife_sheath", "blade": "110 mm", "water": "rain"},
)


def some_or_all(few: Sequence[Mapping[str, str]]) -> pytest.MarkDecorator:
    """A few of the cases in the ordinary run, all in the long one."""
    return pytest.mark.parametrize("some", [few, pytest.param(CASES, marks=pytest.mark.slow)], ids=["few", "all"])


def told(rulebase: RuleBase, case: Mapping[str, str]) -> dict[str, Answer]:
    return parse_answers(rulebase, case)


def advice_of(rulebase: RuleBase, answers: Mapping[str, Answer]) -> Advice:
    return report(Consultation(rulebase, answers))


def order_of(advice: Advice) -> dict[str, object]:
    d = advice.decisions
    barred = advice.no_order
    order: dict[str, object] = {"outcome": advice.verdict}
    if not barred:
        order |= {name: frozenset(choice.chosen) for name, choice in d.choices().items()}
        order["weight"] = d.weight.order_as or ("conflict" if d.weight.bounds else None)
    return order


def test_a_standing_says_what_the_advice_says(rulebase: RuleBase) -> None:
    pick = random.Random(5)
    asked = [a for a in rulebase.attributes.values() if a.ask != "never" and a.values and a.name != "item"]
    for _ in range(15):
        answers = {"item": Answer((pick.choice(sorted(rulebase.items)),))}
        answers |= {a.name: Answer((pick.choice(sorted(a.values)),)) for a in pick.sample(asked, pick.randint(0, 12))}
        order = standing(present(rulebase, answers)).order
        wanted = order_of(advice_of(rulebase, answers))
        assert all(part.fixed is not None for part in order.values())
        for goal, value in wanted.items():
            held = order[goal].may
            if isinstance(value, frozenset):
                assert held == value, goal
            else:
                assert held == (frozenset() if value is None else {value}), goal


def exhaustive(rulebase: RuleBase, case: Mapping[str, str], questions: int, candidates: int) -> int:
    """Hold the search against trying every set of one and two changes over a few questions; returns sets tried."""
    answers = told(rulebase, case)
    pick = random.Random(case["item"])
    run = present(rulebase, answers)
    small = [a for a in changeable(run) if a.values and a.kind != "set" and len(a.values) < 7]
    few = pick.sample(small, min(questions, len(small)))
    keep = [a.name for a in changeable(run) if a not in few]
    chosen = advice_of(rulebase, answers).decisions.tannage.chosen
    others = sorted(rulebase.decisions["tannage"].candidates.keys() - set(chosen))
    single = [((a.name, other),) for a in few for other in alternatives(run, a)]
    double = [(*one, *two) for one, two in itertools.combinations(single, 2) if one[0][0] != two[0][0]]
    leading = {
        changes: advice_of(rulebase, {**answers, **dict(changes)}).decisions.tannage.chosen
        for changes in (*single, *double)
    }
    for candidate in pick.sample(others, min(candidates, len(others))):
        search = smallest(run, leads("tannage", candidate), keep, runs=10**7)
        for size in (1, 2):
            works = {frozenset(c) for c, lead in leading.items() if len(c) == size and candidate in lead}
            if works:
                assert search.size == size
                assert {frozenset(changes) for changes in search.found} == works
                break
        else:
            assert not search.found
            assert search.covered == 2
    return len(leading)


@pytest.mark.parametrize("case", sampled(CASES[:3], 3), ids=lambda c: c["item"])
def test_smallest_changes_are_those_of_an_exhaustive_search(rulebase: RuleBase, case: dict[str, str]) -> None:
    assert exhaustive(rulebase, case, 3, 12) > 10


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=lambda c: c["item"])
def test_smallest_changes_over_many_questions(rulebase: RuleBase, case: dict[str, str]) -> None:
    assert exhaustive(rulebase, case, 11, 20) > 400


@pytest.mark.parametrize(
    ("case", "goal"), sampled(list(zip(CASES, ("tannage", "weight", "form", "tannage", "weight"), strict=True)), 2)
)
def test_what_is_said_to_change_it_does_and_what_is_not_does_not(
    rulebase: RuleBase, case: dict[str, str], goal: str
) -> None:
    answers = told(rulebase, case)
    before = order_of(advice_of(rulebase, answers)).get(goal)
    found = tips(present(rulebase, answers), goal)
    for tip in random.Random(1).sample(found.found, min(4, len(found.found))):
        assert order_of(advice_of(rulebase, {**answers, **dict([tip.change])})).get(goal) != before, tip
    pick = random.Random(2)
    for name in pick.sample(found.safe, 3):
        attribute = rulebase.attributes[name]
        other = pick.choice(alternatives(present(rulebase, answers), attribute))
        assert order_of(advice_of(rulebase, {**answers, name: other})).get(goal) == before, (name, other)


def test_a_turning_point_turns_there_and_not_before(rulebase: RuleBase) -> None:
    """A strap of 20 mm: the load is raised until the weight has to change; below that it does not."""
    answers = told(rulebase, CASES[1])
    turning = [t for t in tips(present(rulebase, answers), "weight").found if t.change[0] == "load_mass"]
    assert {t.side for t in turning} == {"from", "down to"}
    before = advice_of(rulebase, answers).decisions.weight.order_as
    for tip in turning:
        at = float(tip.change[1].values[0])
        short = at - 0.1 if tip.side == "from" else at + 0.1
        on, off = ({**answers, "load_mass": Answer((v,))} for v in (at, short))
        assert advice_of(rulebase, on).decisions.weight.order_as != before
        assert advice_of(rulebase, off).decisions.weight.order_as == before


@pytest.mark.parametrize("case", sampled(CASES, 3), ids=lambda c: c["item"])
def test_enough_answers_are_enough_and_none_too_many(rulebase: RuleBase, case: dict[str, str]) -> None:
    answers = told(rulebase, case)
    run = present(rulebase, answers)
    kept = enough(run, ["tannage"]).kept
    pick, here = random.Random(3), order_of(advice_of(rulebase, answers))["tannage"]
    loose = [n for n in answers if n not in kept]
    for _ in range(8):
        said = {n: pick.choice(alternatives(run, rulebase.attributes[n])) for n in loose if pick.random() < 0.8}
        rest = {n: a for n, a in answers.items() if n in kept} | said
        assert order_of(advice_of(rulebase, rest))["tannage"] == here
    for name in kept:
        opened = run.saying({n: whole(rulebase.attributes[n]) for n in (*loose, name)})
        order = standing(opened).order
        # Where an answer may leave no order at all, the tannage is not settled either.
        assert order["tannage"].fixed is None or order["outcome"].may & set(NO_ORDER), name


def test_an_answer_asleep_changes_nothing(rulebase: RuleBase) -> None:
    pick = random.Random(4)
    for case in CASES:
        answers = told(rulebase, {**case, "vehicle_use": "none"})
        run = present(rulebase, answers)
        for name in asleep(run):
            before = advice_of(rulebase, answers)
            for other in pick.sample(alternatives(run, rulebase.attributes[name]), 2):
                after = advice_of(rulebase, {**answers, name: other})
                assert order_of(after) == order_of(before)
                assert [c.id for c in after.cautions if c.status == "applies"] == [
                    c.id for c in before.cautions if c.status == "applies"
                ]


@pytest.mark.parametrize("case", sampled(CASES, 3), ids=lambda c: c["item"])
def test_suppositions_that_move_nothing_move_nothing(rulebase: RuleBase, case: dict[str, str]) -> None:
    answers = told(rulebase, case)
    run, pick = present(rulebase, answers), random.Random(6)
    before = order_of(advice_of(rulebase, answers))
    still = [n for n, goals in leaning(run) if not goals]
    for name in pick.sample(still, min(6, len(still))):
        other = pick.choice(alternatives(run, rulebase.attributes[name]))
        assert order_of(advice_of(rulebase, {**answers, name: other})) == before, (name, other)


@some_or_all(CASES[:1])
def test_cases_are_disjoint_cover_everything_and_tell_the_truth(
    rulebase: RuleBase, some: Sequence[Mapping[str, str]]
) -> None:
    split = 0
    for case, names in itertools.product(some, (["water"], ["sew", "edge"], ["load_mass"])):
        answers = told(rulebase, {n: v for n, v in case.items() if n not in names})
        names = [n for n in names if n in rulebase.attributes]
        cases = by_cases(present(rulebase, answers), names)
        if isinstance(cases, str):
            assert cases in names
            continue
        assert len(cases) <= 4
        worded = [n for n in names if not rulebase.attributes[n].numeric]
        for values in itertools.product(*(rulebase.attributes[n].values for n in worded)):
            said = dict(zip(worded, values, strict=True))
            mine = [c for c in cases if all(said[n] in w for n, w in c.within if n in said)]
            if not any(n in rulebase.attributes and rulebase.attributes[n].numeric for n in names):
                assert len(mine) == 1, said
            for found in mine:
                split += bool(found.within)
                then = advice_of(rulebase, {**answers, **{n: Answer((v,)) for n, v in said.items()}})
                assert (
                    standing(found.run).signature()
                    == standing(
                        present(rulebase, {**answers, **{n: Answer((v,)) for n, v in said.items()}})
                    ).signature()
                )
                assert {order_of(then)["outcome"]} == standing(found.run).order["outcome"].may
    assert split > 10


@some_or_all(CASES[1::2])
def test_every_way_of_why_not_is_confirmed_by_the_engine(rulebase: RuleBase, some: Sequence[Mapping[str, str]]) -> None:
    ways = 0
    for case in some:
        answers = told(rulebase, case)
        for candidate in random.Random(7).sample(sorted(rulebase.decisions["tannage"].candidates), 9):
            found = why_not(rulebase, answers, None, "tannage", [candidate])
            assert found.lead
            for way in found.ways:
                changed = dict(answers)
                for change in way.changes:
                    name, _, value = change.partition(" is ") if " is " in change else change.partition(" includes ")
                    changed |= parse_answers(rulebase, {name: value})
                choice = advice_of(rulebase, changed).decisions.tannage
                fitting = choice.chosen if found.state == "outweighed" else [*choice.chosen, *choice.also_fits]
                assert candidate in fitting, (case, candidate, way)
                ways += 1
    assert ways > 3


def test_why_not_a_thickness_names_every_bound_in_the_way(rulebase: RuleBase) -> None:
    answers = told(rulebase, CASES[0])
    found = why_not_weight(rulebase, answers, None, 2.0)
    bounds = [b for b in advice_of(rulebase, answers).decisions.weight.bounds if not b.set_aside and b.mm > 2.0]
    assert found.state == "outside"
    assert {s.rule for s in found.against} == {b.rule for b in bounds if b.side == "at least"}
    inside = why_not_weight(rulebase, answers, None, 3.5)
    assert inside.state == "advised"
    assert smallest(present(rulebase, answers), holds_thickness(3.5)).found


def test_conflicts_are_taken_apart_into_smallest_sets_with_ways_out(rulebase: RuleBase) -> None:
    """Held against dropping every combination of answers; wishes that clash are common practice."""
    apart = 0
    for case in (
        {"item": "bifold_wallet", "decoration": "carve", "experience": "first_piece"},
        {"item": "trouser_belt", "water": "immersion", "load_mass": "90 kg", "colour": "black"},
        {"item": "tote_plain", "wash": "machine_wash", "decoration": "carve"},
        {"item": "watch_strap", "allergy": "nickel", "hardware_metal": "nickel_plated", "water": "sea"},
    ):
        answers = told(rulebase, case)
        for found in entangled(rulebase, answers):
            names = [n for n in answers if n != "item"]
            for kept in found.sets:
                for size in range(len(names) + 1):
                    for some in itertools.combinations(names, size):
                        run = present(rulebase, {"item": answers["item"], **{n: answers[n] for n in some}})
                        if set(some) == set(kept):
                            assert found.about in conflicts(run).must
                        elif set(some) < set(kept):
                            assert found.about not in conflicts(run).must
            for changes in found.ways:
                assert not advice_of(rulebase, {**answers, **dict(changes)}).conflicts
            apart += 1
    assert apart >= 3

"""A raised danger withholds the order until its own question is answered, and nothing else closes it.

That a person's weight, a rider, a child's neck or protection come before any order is common practice; where a text
says it, the text is named beside the check.
"""

from __future__ import annotations

import json
import random

import jsonschema
import pytest
from plain import plain_advice, sampled

from advisor import consult
from advisor.codes import say
from advisor.errors import AnswerError
from advisor.reasoning.advice import Advice, Danger, Reading, Understood
from advisor.reasoning.changes import present
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import RAISED, parse_answers
from advisor.reasoning.interview import waiting_dangers, worth_asking
from advisor.reasoning.report import open_dangers
from advisor.rulebase.models import NO_ORDER, VERDICTS, RuleBase
from advisor.write.screen import advice_lines
from advisor.write.slip import slip_lines

# Concept -> the question that closes it, as agreed with whoever reads the words.
ASKS = {
    "person_weight": "bears_person",
    "overhead": "hangs_overhead",
    "vehicle": "vehicle_part",
    "aircraft": "aircraft_part",
    "restraint": "restrains_person",
    "riding": "bears_rider",
    "animal_hold": "holds_animal",
    "neck": "round_childs_neck",
    "small_child": "user_kind",
    "mouth": "in_mouth",
    "food": "touches_food",
    "fragile_skin": "fragile_skin",
    "allergy": "allergy",
    "protection": "protective_claim",
    "fuel_oxygen": "near_fuel_or_oxygen",
    "heat": "hot_use",
    "hot_wash": "hot_wash",
    "outdoors": "stays_outdoors",
    "moving_machine": "machine_part",
    "fumes": "workspace_vent",
    "falls": "slippery_underfoot",
}
# What a yes comes to for an ordinary belt.
YES = {
    "person_weight": "refuse",
    "overhead": "defer, order withheld",
    "vehicle": "defer, order withheld",
    "aircraft": "defer, order withheld",
    "restraint": "defer, order withheld",
    "riding": "defer, order withheld",
    "animal_hold": "ok_with_conditions",
    "neck": "ok_with_conditions",
    "mouth": "another_material",
    "food": "defer, order withheld",
    "fragile_skin": "defer, order withheld",
    "protection": "refuse",
    "fuel_oxygen": "another_material",
    "heat": "ok_with_conditions",
    "hot_wash": "another_material",
    "outdoors": "ok_with_conditions",
    "moving_machine": "defer, order withheld",
}
BELT = {"item": "trouser_belt"}


def no_order_shown(rulebase: RuleBase, advice: Advice) -> bool:
    """Neither the values nor what a person reads hold anything that could be bought."""
    d = advice.decisions
    chosen = [c for choice in d.choices().values() for c in (*choice.chosen, *choice.also_fits)]
    text = "\n".join([*advice_lines(rulebase, advice), *slip_lines(rulebase, advice)])
    bought = [*chosen, *d.amount.forms, *d.amount.pieces, *advice.order.lines, *advice.stacks, *advice.basket]
    return not bought and d.weight.order_as is None and "\nORDER " not in text


def test_every_concept_asks_one_question(rulebase: RuleBase) -> None:
    assert rulebase.attributes[RAISED].values.keys() == ASKS.keys()
    # The load of a pet's saddle bags is asked as a danger is: a rule withholds the order until it is told.
    assert rulebase.danger_questions() == {*ASKS.values(), "load_mass"}
    for name in ASKS.values():
        attribute = rulebase.attributes[name]
        assert attribute.ask != "never"
        assert attribute.question.endswith("?")
        assert attribute.help


@pytest.mark.parametrize("concept", ASKS)
def test_a_raised_danger_leaves_the_outcome_undecided(rulebase: RuleBase, concept: str) -> None:
    advice = consult(rulebase, BELT, raised=[concept])
    assert advice.outcome is None
    assert advice.verdict == "undecided"
    assert advice.outcome_reasons[0].outcome == "undecided"
    first = advice.open_questions[0]
    assert (first.attribute, first.supposed) == (ASKS[concept], None)
    assert first.danger == rulebase.rules[advice.outcome_reasons[0].rule].because
    assert no_order_shown(rulebase, advice)
    for lines in (advice_lines(rulebase, advice), slip_lines(rulebase, advice)):
        assert f"? {first.question} {first.danger}" in " ".join(" ".join(lines).split())


@pytest.mark.parametrize(
    ("concept", "said"), sampled([(c, said) for c in YES for said in ("yes", "no", "don't know")], 4)
)
def test_only_its_own_answer_closes_it(rulebase: RuleBase, concept: str, said: str) -> None:
    """ "Don't know" is no answer; no lets the ordinary order stand; what a yes comes to is common practice."""
    advice = consult(rulebase, {**BELT, ASKS[concept]: said}, raised=[concept])
    expected = {"yes": YES[concept], "no": "ok", "don't know": "undecided"}[said]
    assert advice.verdict == expected
    assert no_order_shown(rulebase, advice) == (expected in NO_ORDER)
    assert bool(advice.dangers) == (said == "don't know")


def test_a_supposed_value_closes_nothing(rulebase: RuleBase) -> None:
    """A collar supposes a pet and a welding apron supposes sparks: nobody has said so."""
    collar = consult(rulebase, {"item": "dog_collar"}, raised=["small_child"])
    assert collar.facts["user_kind"].origin == "supposed"
    assert collar.outcome is None
    assert consult(rulebase, {"item": "dog_collar", "user_kind": "pet"}, raised=["small_child"]).outcome is not None
    assert consult(rulebase, BELT, raised=["allergy"]).outcome is None
    assert consult(rulebase, {**BELT, "allergy": "none"}, raised=["allergy"]).outcome == "ok"


def test_two_dangers_are_closed_one_by_one(rulebase: RuleBase) -> None:
    raised = ["neck", "person_weight"]
    both = consult(rulebase, BELT, raised=raised)
    assert [q.attribute for q in both.dangers] == ["bears_person", "round_childs_neck"]
    one = consult(rulebase, {**BELT, "bears_person": "no"}, raised=raised)
    assert [q.attribute for q in one.dangers] == ["round_childs_neck"]
    assert one.outcome is None


@pytest.mark.parametrize(
    ("answers", "verdict"),
    [
        ({"item": "climbing_gear"}, "refuse"),  # 29 CFR 1910.269(g)(2): no all-leather straps for positioning
        ({"item": "swing_seat"}, "defer, order withheld"),  # common practice: the load path is rated
        ({"item": "trouser_belt", "limits": "no_animal"}, "another_material"),
    ],
)
def test_what_is_refused_anyway_stays_refused(rulebase: RuleBase, answers: dict[str, str], verdict: str) -> None:
    advice = consult(rulebase, answers, raised=["mouth"])
    assert advice.verdict == verdict
    assert (not advice.dangers) == (verdict == "refuse")


def test_verdicts_stand_in_the_order_of_the_design() -> None:
    assert VERDICTS == (
        "refuse",
        "defer, order withheld",
        "another_material",
        "undecided",
        "defer",
        "ok_with_conditions",
        "ok",
    )


@pytest.mark.parametrize(
    ("answers", "verdict"),
    [
        # EN 14682 keeps cords off small children's necks; a strangling cord is common practice.
        ({"item": "lace", "user_kind": "child_under3"}, "refuse"),
        ({"item": "band", "round_childs_neck": "yes", "user_kind": "child_under3"}, "refuse"),
        ({"item": "lace", "user_kind": "child_3_12"}, "ok_with_conditions"),
        # Regulation (EU) 2016/425: protection is tested, and no hide is stab-proof.
        ({"item": "vest", "protective_claim": "yes"}, "refuse"),
        ({"item": "chaps", "protective_claim": "yes"}, "refuse"),
        ({"item": "work_glove", "protective_claim": "yes"}, "defer, order withheld"),
        ({"item": "chair_sling", "bears_person": "yes"}, "ok_with_conditions"),
        ({"item": "shoe_sole", "bears_person": "yes"}, "ok_with_conditions"),
        ({"item": "riding_saddle", "bears_person": "yes"}, "defer, order withheld"),
        ({"item": "bridle_part", "bears_rider": "yes", "experience": "professional"}, "ok_with_conditions"),
        ({"item": "band", "bears_person": "yes", "rated_core": "yes"}, "ok_with_conditions"),
        ({"item": "band", "in_mouth": "yes", "user_kind": "pet"}, "refuse"),
        ({"item": "band", "restrains_person": "yes", "user_kind": "child_3_12"}, "refuse"),
        ({"item": "food_tray"}, "defer, order withheld"),
        ({"item": "food_tray", "touches_food": "no"}, "ok_with_conditions"),
    ],
)
def test_what_dangers_come_to(rulebase: RuleBase, answers: dict[str, str], verdict: str) -> None:
    advice = consult(rulebase, answers)
    assert advice.verdict == verdict
    assert no_order_shown(rulebase, advice) == (verdict in NO_ORDER)


def test_a_deferral_says_whether_an_order_stands(rulebase: RuleBase) -> None:
    """A holster is a maker's decision and shows its order; a swing is a rigger's and shows none."""
    for item, order in (("holster", "shown"), ("swing_seat", "withheld")):
        advice = consult(rulebase, {"item": item})
        assert advice.outcome == "defer"
        assert {r.order for r in advice.outcome_reasons if r.outcome == "defer"} == {order}
        assert bool(advice.decisions.tannage.chosen) == (order == "shown")


def test_whatever_may_bear_says_its_limits(rulebase: RuleBase) -> None:
    """Straps, seats, handles, cuffs and what is named by what it does; nothing that lies flat."""
    bearing = {"trouser_belt", "dog_lead", "chair_sling", "wrist_cuff", "lace", "case_handle", "holder"}
    for slug in rulebase.items:
        advice = plain_advice(slug)
        told = any(c.id == "limits_of_use" and c.status == "applies" for c in advice.cautions_told)
        may_bear = advice.facts.get("may_bear")
        assert told == (may_bear is not None and may_bear.value == "yes"), slug
        assert told or slug not in bearing
    assert "may_bear" not in consult(rulebase, {"item": "bookmark"}).facts


# -- raising is an input that is kept


def test_a_raised_danger_is_a_fact_that_was_read(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {**BELT, RAISED: "neck"}, raised=["person_weight"])
    assert advice.facts[RAISED].value == ["neck", "person_weight"]
    assert advice.facts[RAISED].origin == "read"
    step = next(s for s in advice.trace if s.rule == "raised-neck-is-asked")
    assert [m.params for m in step.matched] == [{"attribute": "raised", "value": "neck", "origin": "said"}]
    assert step.absent == [say("unanswered", attribute="round_childs_neck")]


def test_an_unknown_danger_names_the_nearest(rulebase: RuleBase) -> None:
    with pytest.raises(AnswerError, match="person_weight"):
        consult(rulebase, BELT, raised=["persons_weight"])


def test_nothing_raised_withholds_nothing(rulebase: RuleBase) -> None:
    advice = consult(rulebase, BELT)
    assert advice.outcome == "ok"
    assert not advice.dangers
    assert "no_person_on_leather" in {c.id for c in advice.cautions if c.status == "not ruled out"}


# -- the questions


@pytest.mark.parametrize("many", [5, pytest.param(12, marks=pytest.mark.slow)])
def test_raised_dangers_are_asked_before_all_others(rulebase: RuleBase, many: int) -> None:
    pick = random.Random(11)
    for _ in range(many):
        raised = pick.sample(sorted(ASKS), 2)
        answers = dict(Consultation(rulebase, parse_answers(rulebase, BELT), raised=raised).answers)
        for ring in ("first", "later"):
            asks = [a.name for a in worth_asking(present(rulebase, answers), answers, ring)]
            assert {*asks[:2]} == {ASKS[c] for c in raised}, raised


def test_unraised_dangers_are_asked_after_all_others(rulebase: RuleBase) -> None:
    answers = parse_answers(rulebase, BELT)
    asks = [a.name for a in worth_asking(present(rulebase, answers), answers)]
    later = [n for n in rulebase.danger_questions() if rulebase.attributes[n].ask == "later" and n in asks]
    ordinary = [n for n in ("sew", "construction", "water") if n in asks]
    assert ordinary
    assert max(map(asks.index, ordinary)) < min(map(asks.index, later))


@pytest.mark.parametrize("many", [25, pytest.param(60, marks=pytest.mark.slow)])
def test_the_run_on_open_answers_waits_for_the_same_questions(rulebase: RuleBase, many: int) -> None:
    """Two ways to the same: the rules that fired in the engine, and those that hold on sets of answers."""
    pick = random.Random(7)
    for _ in range(many):
        said = {"item": pick.choice(sorted(rulebase.items))}
        for concept in pick.sample(sorted(YES), 3):
            said[ASKS[concept]] = pick.choice(["yes", "no", "don't know"])
        run = Consultation(rulebase, parse_answers(rulebase, said), raised=pick.sample(sorted(ASKS), 3))
        assert list(open_dangers(run)) == waiting_dangers(present(rulebase, run.answers)), said


# -- the form


def test_the_form_of_the_advice(rulebase: RuleBase) -> None:
    schema = Advice.model_json_schema(by_alias=True)
    plain = consult(rulebase, BELT)
    written = json.loads(plain.model_dump_json(by_alias=True))
    assert (written["schema"], written["reading"]) == ("leather-order-advice/2", None)
    assert [line["id"] for line in written["order"]["lines"]][:1] == ["body"]
    reading = Reading(
        understood=[Understood(attribute="item", value="trouser_belt", words="belt", start=2, end=6)],
        unread=["odd"],
        doubts=[],
        candidates=[],
        dangers=[Danger(concept="neck", words="necklace", state="open", attribute="round_childs_neck", question="?")],
    )
    read = json.loads(plain.model_copy(update={"reading": reading}).model_dump_json(by_alias=True))
    assert read["reading"]["dangers"][0]["state"] == "open"
    for advice in (written, read):
        jsonschema.validate(advice, schema)
    line = set(schema["$defs"]["OrderLine"]["required"])
    assert line == {
        "id",
        "kind",
        "part",
        "count",
        "form",
        "size",
        "species",
        "tannage",
        "grain",
        "surface",
        "colour",
        "low_mm",
        "high_mm",
        "order_as",
        "temper",
        "cut",
        "width_mm",
        "length_mm",
        "area_dm2",
        "pieces",
        "shares",
        "cost",
        "label",
    }

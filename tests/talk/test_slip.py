"""The order slip and the short interview that ends with it."""

from __future__ import annotations

import pytest
from plain import plain_advice, sampled

from advisor import consult
from advisor.rulebase.models import RuleBase
from advisor.talk.plan import MOST_BRIEF
from advisor.talk.session import Session
from advisor.write.buying import stands
from advisor.write.page import I_ASSUMED, NO_ORDER_SLIP, ORDER, ORDER_SLIP
from advisor.write.slip import slip_lines
from advisor.write.warnings import LIMITS_OF_USE

ITEMS = {
    "ordinary": "trouser_belt card_holder bifold_wallet tote_plain journal_cover dog_collar camera_strap",
    "deferred": "bridle_part swing_seat holster prosthetic_liner",
    "refused": "climbing_gear teether pet_chew body_suspension",
}


def test_a_slip_fits_its_width_and_one_screen_for_every_item(rulebase: RuleBase) -> None:
    for item in rulebase.items:
        advice = plain_advice(item)
        for width in (60, 80):
            lines = slip_lines(rulebase, advice, width, "inch", "kept.log")
            assert all(len(line) <= width for line in lines), item
            assert any("kept.log" in line for line in lines), item
        lines = slip_lines(rulebase, advice)
        ordered = stands(advice) and advice.outcome != "defer"
        assert lines[0].startswith(ORDER_SLIP if ordered else NO_ORDER_SLIP), item
        assert any(line.startswith(f"{ORDER} ") for line in lines[1:]) == ordered, item
        text = " ".join(" ".join(lines).split())
        for caution in advice.cautions_told:
            shown = caution.severity == "stop" or (ordered and caution.id == LIMITS_OF_USE)
            if caution.status == "applies" and shown:
                assert caution.text in text, (item, caution.id)


@pytest.mark.parametrize("item", (ITEMS["deferred"] + " " + ITEMS["refused"]).split())
def test_no_order_is_written_for_what_is_refused_or_deferred(rulebase: RuleBase, item: str) -> None:
    advice = consult(rulebase, {"item": item})
    text = "\n".join(slip_lines(rulebase, advice))
    assert text.startswith("NO ORDER")
    assert "\nORDER " not in text
    for form in rulebase.decisions["form"].candidates.values():
        assert f"1 {form.label}" not in text
        assert form.plural not in text


def test_an_unsettled_weight_makes_no_order(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "knife_sheath", "sew": "machine_domestic"})
    assert advice.decisions.weight.order_as is None
    text = "\n".join(slip_lines(rulebase, advice))
    assert text.startswith("NO ORDER")
    assert "No thickness is right for both of these:" in text
    assert "Way out: " in text


def test_the_slip_says_what_was_said_and_what_was_assumed(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "trouser_belt", "quantity": "12", "waist": "36 in", "hardware": "buckle"})
    text = " ".join(" ".join(slip_lines(rulebase, advice, units="inch")).split())
    assert f"{ORDER_SLIP}: 12 trouser belts" in text
    assert "YOU SAID a waist of 36 in; a buckle." in text
    assert f"{I_ASSUMED} A belt 1 1/2 in wide: measure before you buy." in text
    assert f"{rulebase.name} {rulebase.version} ({rulebase.sha256[:12]})" in text


def asked_of(rulebase: RuleBase, sentence: str) -> tuple[list[list[str]], Session]:
    """What was asked in a short interview, the questions put together as one, and the session at its end."""
    session = Session(rulebase, brief=True)
    session.hear(sentence)
    found = []
    while session.question is not None and session.question.name != "item":
        found.append([q.name for q in session.questions])
        session.hear("don't know")
    return found, session


@pytest.mark.parametrize("item", sampled(ITEMS["ordinary"].split(), 3))
def test_a_short_interview_asks_three_questions_and_every_one_of_safety(rulebase: RuleBase, item: str) -> None:
    found, session = asked_of(rulebase, rulebase.items[item].name)
    names = [name for together in found for name in together]
    assert len(found) <= MOST_BRIEF
    long = Session(rulebase)
    long.hear(rulebase.items[item].name)
    of_safety = {a.name for a in long.asks() if rulebase.attributes[a.name].group in ("people", "limits")}
    assert of_safety <= set(names)
    assert "\n".join(session.close().lines or session.slip_lines()).startswith(ORDER_SLIP)


@pytest.mark.parametrize("item", sampled(["chair_sling", "harness_piece", "halter"], 3))
def test_the_load_is_asked_where_health_hangs_on_it(rulebase: RuleBase, item: str) -> None:
    found, _ = asked_of(rulebase, rulebase.items[item].name)
    assert any("load_kind" in together for together in found)
    # What a raised danger waits for is asked besides.
    assert sum(not rulebase.danger_questions().issuperset(together) for together in found) <= MOST_BRIEF


def test_no_load_is_asked_where_nothing_hangs_on_it(rulebase: RuleBase) -> None:
    found, _ = asked_of(rulebase, "card holder")
    assert len(found) == MOST_BRIEF
    assert not any("load_kind" in together for together in found)


def test_a_sentence_rich_enough_leaves_the_question_of_safety_alone(rulebase: RuleBase) -> None:
    said = "ten belts for jeans, 1 1/2 in wide, waist 36 in, splashed, dyed at home by hand"
    found, _ = asked_of(rulebase, said)
    assert len(found) <= MOST_BRIEF
    assert sorted(found[-1]) == ["allergy", "limits", "user_kind"]
    found, _ = asked_of(rulebase, f"{said}, for an adult, no allergies, no limits")
    assert len(found) <= MOST_BRIEF
    assert not {"allergy", "limits", "user_kind"} & {name for together in found for name in together}


def test_what_a_line_leaves_out_of_safety_is_asked_again_and_of_the_sizes_is_supposed(rulebase: RuleBase) -> None:
    session = Session(rulebase, brief=True)
    session.hear("tote bag")
    session.hear("350 x 400 mm")
    while "allergy" not in {q.name for q in session.questions}:
        session.hear("don't know")
    session.hear("a child")
    # How old the child is decides whether there is an order at all, so it comes first and alone.
    assert [q.name for q in session.questions] == ["user_kind"]
    session.hear("6 years old")
    assert session.answers["user_kind"].values == ("child_3_12",)
    assert {q.name for q in session.questions} >= {"allergy", "limits"}
    session.hear("none")
    assert [session.answers[n].values for n in ("width", "height", "allergy", "limits")] == [
        (350.0,),
        (400.0,),
        ("none",),
        ("none",),
    ]
    strap = session.consultation().known["strap_width"]
    assert (strap.values, strap.origin) == ((30.0,), "supposed")


def test_more_asks_the_rest_after_a_short_interview(rulebase: RuleBase) -> None:
    _, session = asked_of(rulebase, "card holder")
    assert session.hear("more").prompt
    assert session.questions_left() > MOST_BRIEF


def test_a_slip_can_be_had_at_any_time_and_leaves_the_question_open(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    assert "NO ORDER" in "\n".join(session.hear("slip").lines)
    session.hear("belt for jeans")
    question = session.question
    assert f"{ORDER_SLIP}: trouser belt" in "\n".join(session.hear("order slip").lines)
    assert session.question == question

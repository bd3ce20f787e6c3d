"""The order slip and the short interview that ends with it."""

from __future__ import annotations

import pytest

from advisor import consult
from advisor.rulebase.models import RuleBase
from advisor.talk.brief import MOST
from advisor.talk.session import Session
from advisor.talk.slip import slip_lines

ITEMS = {
    "ordinary": "trouser_belt card_holder bifold_wallet tote_plain journal_cover dog_collar camera_strap",
    "deferred": "bridle_part swing_seat holster prosthetic_liner",
    "refused": "climbing_gear teether pet_chew body_suspension",
}


def test_a_slip_fits_its_width_and_one_screen_for_every_item(rulebase: RuleBase) -> None:
    for item in rulebase.items:
        advice = consult(rulebase, {"item": item})
        for width in (60, 80):
            lines = slip_lines(rulebase, advice, width, "inch", "kept.log")
            assert all(len(line) <= width for line in lines), item
            assert any("kept.log" in line for line in lines), item
        text = "\n".join(slip_lines(rulebase, advice))
        ordered = advice.outcome in ("ok", "ok_with_conditions") and advice.decisions.weight.order_as is not None
        assert text.startswith("ORDER SLIP" if ordered else "NO ORDER"), item
        assert ("Buy:" in text) == ordered, item
        assert ("When it arrives:" in text) == ordered, item
        for caution in advice.cautions:
            if caution.status == "applies" and (caution.severity == "stop" or (ordered and caution.severity != "note")):
                assert caution.text in " ".join(text.split()), (item, caution.id)


@pytest.mark.parametrize("item", (ITEMS["deferred"] + " " + ITEMS["refused"]).split())
def test_no_order_is_written_for_what_is_refused_or_deferred(rulebase: RuleBase, item: str) -> None:
    advice = consult(rulebase, {"item": item})
    text = "\n".join(slip_lines(rulebase, advice))
    assert text.startswith("NO ORDER")
    assert "will do as well" not in text
    for form in rulebase.decisions["form"].candidates:
        assert f"x {form.replace('_', ' ')}" not in text


def test_an_unsettled_weight_makes_no_order(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "knife_sheath", "sew": "machine_domestic"})
    assert advice.decisions.weight.order_as is None
    text = "\n".join(slip_lines(rulebase, advice))
    assert text.startswith("NO ORDER")
    assert "weight" in next(line for line in text.splitlines() if line.startswith("Not settled yet: "))
    assert "Way out: " in text


def test_the_slip_says_what_was_said_supposed_and_left_open(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "trouser_belt", "quantity": "12", "waist": "36 in", "hardware": "buckle"})
    text = " ".join(" ".join(slip_lines(rulebase, advice, units="inch")).split())
    assert "ORDER SLIP: trouser belt, 12 of them" in text
    assert "Said: waist 36 in; hardware buckle." in text
    assert "strap width 1.5 in" in text or "strap width" in text.split("Taken for granted:")[1]
    assert "Taken for granted: strap width 1 1/2 in" in text
    assert "Nobody has said either: load mass" in text
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


@pytest.mark.parametrize("item", ITEMS["ordinary"].split())
def test_a_short_interview_asks_three_questions_and_every_one_of_safety(rulebase: RuleBase, item: str) -> None:
    found, session = asked_of(rulebase, rulebase.items[item].name)
    names = [name for together in found for name in together]
    assert len(found) <= MOST
    long = Session(rulebase)
    long.hear(rulebase.items[item].name)
    of_safety = {a.name for a in long.asks() if rulebase.attributes[a.name].group in ("people", "limits")}
    assert of_safety <= set(names)
    assert "\n".join(session.close().lines or session.slip_lines()).startswith("ORDER SLIP")


def test_the_load_is_asked_where_health_hangs_on_it(rulebase: RuleBase) -> None:
    for item in ("harness_piece", "halter", "chair_sling"):
        found, _ = asked_of(rulebase, rulebase.items[item].name)
        assert any("load_kind" in together for together in found), item
        assert len(found) <= MOST
    found, _ = asked_of(rulebase, "card holder")
    assert len(found) == MOST
    assert not any("load_kind" in together for together in found)


def test_a_sentence_rich_enough_leaves_the_question_of_safety_alone(rulebase: RuleBase) -> None:
    said = "ten belts for jeans, 1 1/2 in wide, waist 36 in, splashed, dyed at home by hand"
    found, _ = asked_of(rulebase, said)
    assert len(found) <= MOST
    assert sorted(found[-1]) == ["allergy", "limits", "user_kind"]
    found, _ = asked_of(rulebase, f"{said}, for an adult, no allergies, no limits")
    assert len(found) <= MOST
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
        (350.0,), (400.0,), ("none",), ("none",)]  # fmt: skip
    strap = session.consultation().known["strap_width"]
    assert (strap.values, strap.origin) == ((30.0,), "supposed")


def test_more_asks_the_rest_after_a_short_interview(rulebase: RuleBase) -> None:
    _, session = asked_of(rulebase, "card holder")
    assert session.hear("more").prompt
    assert session.questions_left() > MOST


def test_a_slip_can_be_had_at_any_time_and_leaves_the_question_open(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    assert "NO ORDER" in "\n".join(session.hear("slip").lines)
    session.hear("belt for jeans")
    question = session.question
    assert "ORDER SLIP: trouser belt" in "\n".join(session.hear("order slip").lines)
    assert session.question == question

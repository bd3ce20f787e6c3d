"""The conversation without a terminal: what it asks, what it takes, and that nothing typed is lost."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor import consult
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session
from advisor.write.page import I_ASSUMED

TYPED = [
    "belt",
    "dog lead",
    "?",
    "back",
    "done",
    "more",
    "why tannage",
    "change waist to 2 kg",
    "change item to tote",
    "",
    "don't know",
    "38 mm",
    "advice",
    "help",
    "carve",
    "quit",
    "change allergy to nickel",
    "none",
]
BELT = {
    "item": "trouser_belt",
    "strap_width": "38 mm",
    "waist": "92 cm",
    "quantity": "1",
    "load_kind": "static",
    "water": "splash",
    "skin_contact": "brief",
    "decoration": "none",
    "colour_method": "bought_coloured",
    "colour": "black",
    "construction": "flat_single",
    "sew": "hand_saddle",
    "user_kind": "adult",
    "allergy": "none",
    "limits": "none",
    "experience": "beginner",
    "load_mass": "0.5 kg",
    "flex": "constant_flex",
}


def tell(session: Session, *lines: str) -> str:
    said: list[str] = []
    for line in lines:
        said += session.hear(line).lines
    return "\n".join(said)


def test_the_chat_and_one_sentence_come_to_the_same_advice(session: Session, rulebase: RuleBase) -> None:
    session.hear("belt for jeans")
    asked = []
    while session.question is not None:
        asked.append(session.question.name)
        session.hear(BELT[session.question.name].replace("_", " "))
    assert session.checking
    reply = session.hear("")
    told = {name: BELT[name] for name in ("item", *asked)}
    # The item was read from a sentence and not answered by name; nothing else may differ.
    chat, sentence = session.advice().model_dump(), consult(rulebase, told).model_dump()
    assert chat["facts"]["item"].pop("origin") == "read"
    assert sentence["facts"]["item"].pop("origin") == "answered"
    assert chat == sentence
    assert {"waist", "strap_width", "colour"} <= set(asked)
    assert "1 strap blank, 127 cm (50 in), 38 mm wide" in "\n".join(reply.lines)


def test_every_question_has_help_with_an_example_and_takes_dont_know(session: Session) -> None:
    session.hear("plain tote")
    while (question := session.question) is not None:
        help_text = "\n".join(session.hear("?").lines)
        assert len(help_text) > 20
        assert session.question == question
        session.hear("don't know")
        assert session.answers[question.name].state == "don't know"


def test_enter_takes_the_usual_value_only_where_one_is_shown(session: Session) -> None:
    session.hear("belt for jeans")
    assert "waist" in session.question.name if session.question else False
    assert "900 mm" not in session.prompt()
    assert "Enter: I don't know yet" in session.prompt()
    assert "I assume a waist of 90 cm until you know: measure before you buy." in tell(session, "")
    assert session.answers["waist"].state == "don't know"
    assert "Enter: 38 mm" in session.prompt()
    assert "OK: a belt 38 mm wide." in tell(session, "")
    assert session.answers["strap_width"].values == (38.0,)


def test_a_bad_answer_is_explained_and_asked_again(session: Session) -> None:
    session.hear("belt for jeans")
    assert session.question is not None
    assert session.question.numeric
    question = session.question
    assert "a number with its unit" in tell(session, "many")
    assert session.question == question
    assert "outside what can be meant" in tell(session, "0")
    assert session.question == question


def test_an_answer_can_be_changed_by_naming_it(session: Session) -> None:
    tell(session, "belt for jeans, 38 mm wide, waist 92 cm")
    assert "before: a belt 38 mm wide" in tell(session, "change strap width to 30 mm")
    assert session.answers["strap_width"].values == (30.0,)


def test_another_item_in_mid_course_says_what_it_drops(session: Session) -> None:
    tell(session, "belt for jeans, 38 mm wide, waist 92 cm", "change quantity to 2")
    said = tell(session, "change item to card holder")
    assert "That is now a card holder; your strap width and waist no longer count." in said
    assert session.item() == "card_holder"
    assert session.answers["quantity"].values == (2.0,)
    assert "waist" not in session.answers
    session.hear("undo")
    assert session.item() == "trouser_belt"
    assert session.answers["waist"].values == (920.0,)


def test_back_takes_the_last_line_back(session: Session) -> None:
    session.hear("belt for jeans")
    first = session.question
    assert first is not None
    session.hear("")
    assert f"Taken back: {first.name}" in tell(session, "back")
    assert session.question == first
    assert first.name not in session.answers


def test_why_alone_asks_of_what(session: Session) -> None:
    assert "why tannage" in tell(session, "belt for jeans", "why")
    assert "quantity" not in session.answers


def test_why_gives_reasons_with_rules(session: Session) -> None:
    session.hear("sheath for a 110 mm knife, I can sew 9 mm")
    assert "[usual for a knife sheath]" in tell(session, "why tannage")
    assert "[stacks-fit-the-needle]" in tell(session, "why the weight")
    assert "At least 2.8 mm [usual for a knife sheath]" in tell(session, "why the weight in full")
    assert "Did you mean" in tell(session, "why tanage")


def test_a_refusal_ends_the_questions_at_once(session: Session) -> None:
    reply = session.hear("climbing harness")
    assert reply.prompt == ""
    assert "refused" in "\n".join(reply.lines)


def test_nothing_understood_is_asked_again_and_invents_nothing(session: Session) -> None:
    said = tell(session, "a wobbert for my uncle")
    assert "Not understood: wobbert." in said
    assert session.question is not None
    assert session.question.name == "item"
    assert {name: answer.values for name, answer in session.answers.items()} == {"user_kind": ("adult",)}


def test_the_end_of_input_gives_the_advice_so_far(session: Session) -> None:
    session.hear("belt for jeans")
    reply = session.close()
    assert reply.ended
    text = "\n".join(reply.lines)
    assert I_ASSUMED in text
    assert "What could still change this" in text
    assert " more." not in text


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(lines=st.lists(st.one_of(st.text(max_size=60), st.sampled_from(TYPED)), max_size=8))
def test_nothing_that_can_be_typed_breaks_the_conversation(rulebase: RuleBase, lines: list[str]) -> None:
    session = Session(rulebase)
    for line in lines:
        reply = session.hear(line)
        assert all(isinstance(said, str) for said in reply.lines)
    assert session.close().ended


def test_an_unknown_thing_is_answered_with_known_ones_near_it(session: Session) -> None:
    said = " ".join(tell(session, "a bag for my tent pegs").split())
    near = said.partition("Which do you mean? ")[2]
    assert "1 " in near
    assert near.endswith("something else")
    assert "suspends" not in near
    assert "Known things near" not in tell(session, "a quiddity")


def test_not_knowing_what_to_make_is_not_taken_for_a_thing(session: Session) -> None:
    for words in ("don't know", "dont know", "not sure."):
        said = " ".join(tell(session, words).split())
        assert "nothing to advise on" in said
        assert "Not understood" not in said
    assert session.answers == {}


def test_sizes_are_shown_in_the_measures_they_are_written_in(session: Session) -> None:
    said = " ".join(tell(session, "belt for jeans, 1 1/2 in wide, waist 36 in").split())
    assert "a belt 1 1/2 in wide; a waist of 36 in" in said
    assert "8-10 oz (3.2 to 4 mm)" in said
    # The other system beside the first says that both are read.
    assert "1.1 lb (0.5 kg) on the belt" in tell(session, "change load mass to 0.5 kg")
    assert "a waist of 92 cm" in tell(session, "change waist to 92 cm")
    assert "3.2 to 4 mm (8-10 oz)" in session.standing()


def test_the_measures_shown_can_be_asked_for_and_take_bare_numbers(session: Session) -> None:
    assert "inches" in tell(session, "belt for jeans, 38.1 mm wide", "in inches")
    assert "a belt 1 1/4 in wide" in tell(session, "change strap width to 1 1/4")
    assert session.answers["strap_width"].values == (31.75,)
    assert "outside what can be meant" in tell(session, "change strap width to 90")
    tell(session, "in millimetres", "change strap width to 38")
    assert session.answers["strap_width"].values == (38.0,)


def test_the_machine_form_is_the_same_in_any_measure(rulebase: RuleBase) -> None:
    forms = []
    for units in ("mm", "inch"):
        session = Session(rulebase, units=units)
        tell(session, "belt for jeans, 1 1/2 in wide, waist 36 in")
        forms.append(session.advice().model_dump_json())
    assert forms[0] == forms[1]


def test_another_item_named_in_a_sentence_drops_what_it_has_no_use_for(session: Session) -> None:
    tell(session, "belt for jeans, 38 mm wide, waist 92 cm", "change quantity to 2")
    said = tell(session, "no, a card holder 100 mm wide")
    assert "your strap width and waist no longer count" in said
    assert session.item() == "card_holder"
    assert session.answers["width"].values == (100.0,)
    assert session.answers["quantity"].values == (2.0,)

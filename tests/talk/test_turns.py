"""What a line in the middle of a talk does: counts, sizes said otherwise, remarks about others, lines that say nothing.

Plain English and common practice at a counter.
"""

from __future__ import annotations

import pytest
from heard import heard

from advisor.read.answers import place_picked
from advisor.read.courtesies import agrees, is_as_before, only_waits
from advisor.read.others import without_others
from advisor.read.variants import the_same_in, variants
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session


def talk(rulebase: RuleBase, *lines: str) -> tuple[Session, str]:
    """A talk of some lines, and the reply to the last."""
    session = heard(*lines[:-1])
    reply = session.hear(lines[-1])
    return session, " ".join(" ".join((*reply.lines, session.prompt())).split())


def held(session: Session, name: str) -> object:
    """The one value held, None where there is none."""
    answer = session.answers.get(name)
    return answer.values[0] if answer and answer.values else None


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("2", 2),
        ("number two", 2),
        ("the second", 2),
        ("the second one please", 2),
        ("option b", 2),
        ("no. 3", 3),
        ("the last one", 4),
        ("I'd go for the first", 1),
        ("5", 0),
        ("second hand", 0),
        ("two of them", 0),
        ("one", 0),
    ],
)
def test_a_numbered_choice_is_picked_in_many_ways(text: str, place: int) -> None:
    assert place_picked(text, 4) == place


def test_colours_of_several_are_told_apart(rulebase: RuleBase) -> None:
    assert variants(rulebase, "two, one black one brown") == [(1, "black"), (1, "brown")]
    assert variants(rulebase, "3 in black and 2 in tan") == [(3, "black"), (2, "tan")]
    assert variants(rulebase, "two in black") == []
    assert variants(rulebase, "one pocket, two buckles") == []
    assert the_same_in(rulebase, "and the same again in tan") == (1, "tan", "tan")
    assert the_same_in(rulebase, "another two in a hurry") is None


def test_one_colour_is_reckoned_and_the_other_said(rulebase: RuleBase) -> None:
    session, said = talk(rulebase, "belt, waist 90 cm", "two, one black one brown")
    assert held(session, "quantity") == 2
    assert held(session, "colour") == "black"
    assert "1 in brown: order the same leather in that colour" in said
    assert "1 in brown" in " ".join(" ".join(session.slip_lines()).split())
    said = " ".join(" ".join(session.hear("done").lines).split())
    assert "1 in brown: order the same leather in that colour" in said


def test_the_same_again_adds_to_the_number(rulebase: RuleBase) -> None:
    session, said = talk(rulebase, "key fob in black", "and the same again in tan", "and another one in red")
    assert held(session, "quantity") == 3
    assert held(session, "colour") == "black"
    assert "1 in tan and 1 in a bright colour" in said


def test_make_it_three_counts_and_make_it_forty_measures(rulebase: RuleBase) -> None:
    session, _ = talk(rulebase, "key fob", "make it three")
    assert held(session, "quantity") == 3
    session, _ = talk(rulebase, "belt, waist 90 cm", "38", "make that 40")
    assert held(session, "strap_width") == 40
    assert held(session, "waist") == 900
    assert held(session, "quantity") is None


def test_what_somebody_has_already_leaves_the_order(rulebase: RuleBase) -> None:
    session, _ = talk(rulebase, "belt for jeans, 38 mm wide, waist 92 cm")
    assert "buckle" in [line.id for line in session.advice().order.lines]
    session.hear("I already have the buckle")
    assert "buckle" not in [line.id for line in session.advice().order.lines]
    assert "at home buckle, so not on this order" in " ".join(" ".join(session.advice_lines()).split())
    session.hear("undo")
    assert "buckle" in [line.id for line in session.advice().order.lines]


def test_no_lining_is_supposed_where_one_is_wanted(rulebase: RuleBase) -> None:
    session, said = talk(rulebase, "tote bag 38 x 40 cm", "with a lining")
    assert session.question is not None
    assert session.question.name == "lining"
    assert "Enter: no lining" not in said


@pytest.mark.parametrize(
    "text",
    [
        "my cat sleeps on everything",
        "my other dog has a 50 cm neck",
        "my niece is 2 but hers comes later",
        "my neighbour's dog weighs 60 kg and broke his lead",
        "my sister is allergic to nickel but it's not for her",
    ],
)
def test_a_remark_about_another_changes_nothing(rulebase: RuleBase, text: str) -> None:
    for made in ("dog lead, 25 mm wide, for a 40 kg dog", "bifold wallet"):
        session, _ = talk(rulebase, made)
        before, question = dict(session.answers), session.questions
        session.hear(text)
        assert (session.answers, session.questions) == (before, question)


@pytest.mark.parametrize(
    "text",
    [
        "my cat will chew it",
        "my dog pulls hard on it",
        "he is allergic to nickel",
        "my sister is allergic to nickel",
        "it's for my other dog, 12 kg",
    ],
)
def test_what_may_be_meant_of_the_thing_is_no_remark_about_another(text: str) -> None:
    assert without_others(text, "dog lead") == (text, False)


@pytest.mark.parametrize(
    ("made", "text", "name", "value"),
    [
        ("moccasins", "size 39", "foot", 246),
        ("belt", "I don't know, but I wear a 34", "waist", 925),
        ("guitar strap", "big", "strap_width", 80),
        ("laptop sleeve", "it's a 13 inch one", "width", None),
    ],
)
def test_a_label_or_a_word_of_size_is_offered_and_never_just_taken(
    rulebase: RuleBase, made: str, text: str, name: str, value: float | None
) -> None:
    session, said = talk(rulebase, made, text)
    assert held(session, name) is None
    assert "usually comes to" in said
    session.hear("")
    assert held(session, name) is not None
    assert value is None or held(session, name) == pytest.approx(value, abs=3)


@pytest.mark.parametrize(
    ("lines", "facts"),
    [
        (("knife sheath", "110 and about 28 wide"), {"blade": 110, "blade_width": 28}),
        (("cushion cover", "40 by 40"), {"length": 400, "width": 400}),
        (("backpack", "thirty cm", "forty"), {"width": 300, "height": 400}),
        (("dog lead", "", "1.5 m", "", "he weighs 30 kilos by the way"), {"load_mass": 30, "length": 1500}),
        (("tool roll", "the chisels take up 45 cm"), {"width": 450}),
        (("watch strap", "an inch and a quarter"), {"wrist": None}),
    ],
)
def test_sizes_are_taken_however_they_are_said(
    rulebase: RuleBase, lines: tuple[str, ...], facts: dict[str, float | None]
) -> None:
    session, _ = talk(rulebase, *lines)
    assert {name: held(session, name) for name in facts} == facts


def test_an_answer_before_its_question_is_taken_and_the_open_one_put_again(rulebase: RuleBase) -> None:
    session, _ = talk(rulebase, "belt, waist 90 cm")
    question = session.question
    session.hear("I am allergic to nickel")
    assert held(session, "allergy") == "nickel"
    assert session.question == question


@pytest.mark.parametrize("text", ["hm", "wait", "hang on", "let me measure it", "ok, one moment", "um, let me think"])
def test_who_only_thinks_loses_nothing(rulebase: RuleBase, text: str) -> None:
    assert only_waits(text)
    session, _ = talk(rulebase, "belt", "90 cm")
    before, question = dict(session.answers), session.questions
    said = " ".join(session.hear(text).lines)
    assert (session.answers, session.questions) == (before, question)
    assert "nderstood" not in said
    assert "I found no" not in said


def test_courtesies_are_told_from_answers() -> None:
    assert agrees("yes, looks good")
    assert not agrees("yes but wider")
    assert is_as_before("same as before please")
    assert not is_as_before("same brown as my bag")
    assert not only_waits("wait, a bag strap")


def test_the_same_as_before_is_that_of_the_order_before(rulebase: RuleBase) -> None:
    session, _ = talk(rulebase, "key fob in black", "next: a card holder")
    while session.question is not None and session.question.name != "colour":
        session.hear("")
    session.hear("same as before")
    assert held(session, "colour") == "black"


def test_who_agrees_at_the_check_is_at_the_end(rulebase: RuleBase) -> None:
    session, _ = talk(rulebase, "key fob", *[""] * 6)
    assert session.checking
    session.hear("ok thanks")
    assert not session.checking
    assert session.told

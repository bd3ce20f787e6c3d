"""Answers read for their question, against a table marked by hand (plain English, common practice).

First score of the held-out half, before anything was mended by it: 81 of 92.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from heard import heard
from hypothesis import given
from hypothesis import strategies as st

from advisor.read.answers import check_answers, picked, read_answer
from advisor.rulebase.models import RuleBase
from advisor.talk.checking import answers_numbered

TABLES = tomllib.loads(Path(__file__).with_name("answers.toml").read_text(encoding="utf-8"))
ROWS = [*TABLES["tuned"], *TABLES["held_out"]]


def meant(rulebase: RuleBase, question: str, text: str) -> Any:
    """What the table says of an answer."""
    found = read_answer(rulebase, rulebase.attributes[question], text.rstrip("?"))
    if found is None:
        return ""
    if found.meant != "value":
        return found.meant
    assert found.answer is not None
    values = list(found.answer.values)
    return values if len(values) > 1 else values[0]


@pytest.mark.parametrize(("question", "text", "value"), ROWS, ids=lambda v: str(v)[:40])
def test_an_answer_means_what_it_was_marked_for(rulebase: RuleBase, question: str, text: str, value: Any) -> None:
    found = meant(rulebase, question, text)
    assert found == (pytest.approx(value) if isinstance(value, float) else value)


def test_the_words_of_answers_name_only_what_there_is(rulebase: RuleBase) -> None:
    assert check_answers(rulebase) == []


def test_every_value_is_answered_by_its_meaning_its_number_and_its_own_words(rulebase: RuleBase) -> None:
    for question in rulebase.attributes.values():
        if question.ask == "never" or question.name == "item":
            continue
        for n, value in enumerate(question.values.values(), 1):
            for text in (value.means, str(n), f"number {n}"):
                found = read_answer(rulebase, question, text)
                assert found is not None, (question.name, text)
                assert found.answer is not None
                assert found.answer.values == (value.slug,), (question.name, text)


def test_a_number_outside_the_choices_picks_nothing(rulebase: RuleBase) -> None:
    question = rulebase.attributes["water"]
    assert picked(question, str(len(question.values) + 1)) == ()
    assert picked(question, "0") == ()


@given(st.text(max_size=120))
def test_no_text_ends_in_an_error(rulebase: RuleBase, text: str) -> None:
    for name in ("water", "quantity", "allergy", "watertight", "strap_width"):
        read_answer(rulebase, rulebase.attributes[name], text)


def test_a_number_that_may_be_an_age_is_confirmed_before_it_picks(rulebase: RuleBase) -> None:
    """A bare "4" beside a child may be an age, and must not settle that an old person is meant."""
    session = heard("tote bag for a child")
    assert [q.name for q in session.questions] == ["user_kind"]
    label = rulebase.attributes["user_kind"].values["elderly"].label
    assert f"4 {label}" in session.prompt()
    session.hear("4")
    assert "user_kind" not in session.answers
    assert session.prompt().startswith(f"{label.capitalize()}? yes/no")
    session.hear("")
    assert "user_kind" not in session.answers
    session.hear("4")
    session.hear("yes")
    assert session.answers["user_kind"].values == ("elderly",)


def test_an_age_alone_answers_who_it_is_for() -> None:
    ages = {"6 years old": "child_3_12", "2 years old": "child_under3", "18 months old": "child_under3"}
    for text, kind in ages.items():
        session = heard("tote bag for a child", text)
        assert session.answers["user_kind"].values == (kind,), text


@pytest.mark.parametrize(
    ("text", "value", "rest"),
    [
        ("yes he sits in it, hes two", "yes", "he sits in it, hes two"),
        ("yeah kids too", "yes", "kids too"),
        ("no its only for show", "no", "its only for show"),
        ("no sewing", "", ""),
    ],
)
def test_a_yes_or_no_that_begins_a_longer_line_is_the_answer(
    rulebase: RuleBase, text: str, value: str, rest: str
) -> None:
    found = read_answer(rulebase, rulebase.attributes["bears_person"], text)
    assert (found.answer.values[0] if found and found.answer else "", found.rest if found else "") == (value, rest)


def test_a_no_beside_the_danger_itself_does_not_close_it() -> None:
    session = heard("jesses for my hawk")
    said = session.hear("no, he flies free but he's tethered to a perch with the leash").lines
    assert "sounds like yes" in " ".join(said)
    assert "holds_animal" not in session.answers


MORE = [
    ("decoration", "no decoration. actually make it green", ("none",), "actually make it green"),
    ("decoration", "stamping, and the lining in blue", ("stamp",), "the lining in blue"),
    ("neck", "48 cm. he hates a tight one", (480.0,), "he hates a tight one"),
    ("limits", "nothing ruled out. it holds two bottles", ("none",), "it holds two bottles"),
    ("load_kind", "its a tray, nothing swings", ("none",), "its a tray"),
]


@pytest.mark.parametrize(("question", "text", "values", "rest"), MORE, ids=lambda v: str(v)[:30])
def test_what_more_is_said_in_the_line_is_handed_back(
    rulebase: RuleBase, question: str, text: str, values: tuple[Any, ...], rest: str
) -> None:
    found = read_answer(rulebase, rulebase.attributes[question], text)
    assert found is not None
    assert found.answer is not None
    assert found.answer.values == values
    assert found.rest == rest


def test_a_danger_told_again_is_a_yes_to_its_own_question() -> None:
    session = heard("apron for somebody who welds gates")
    assert session.question is not None
    assert session.question.name == "hot_use"
    session.hear("sparks fly all over when he grinds")
    assert session.answers["hot_use"].values == ("yes",)


def test_a_yes_to_a_danger_names_no_harmless_thing() -> None:
    session = heard("straps for a tree swing", "yes, the children sit on it")
    assert session.item() is None
    assert session.answers["bears_person"].values == ("yes",)
    assert session.advice().outcome == "refuse"


@pytest.mark.parametrize(
    ("line", "colour"),
    [
        ("yes thats it", "brown"),
        ("yes i suppose so", "brown"),
        ("{} black", "black"),
        ("just give me the order", "brown"),
    ],
)
def test_the_check_takes_a_yes_in_any_words_and_a_number_with_its_answer(line: str, colour: str) -> None:
    session = heard("key fob, brown")
    for _ in range(12):
        if session.checking:
            break
        session.hear("")
    assert session.checking
    place = answers_numbered(session).index("colour") + 1
    session.hear(line.format(place))
    assert session.answers["colour"].values == (colour,)
    assert session.checking == ("{}" in line)


@pytest.mark.parametrize(
    ("lines", "width", "said"),
    [
        (("trouser belt", "waist 96 cm", "96, I already said"), None, "I have that as a waist of 96 cm."),
        (("bag strap", "95 cm long"), None, "a strap 95 cm long"),
        (("bag strap", "3 cm"), 30.0, "a strap 30 mm wide"),
    ],
)
def test_a_number_of_another_size_is_not_taken_for_the_one_asked(
    lines: tuple[str, ...], width: float | None, said: str
) -> None:
    session = heard(*lines[:-1])
    reply = session.hear(lines[-1])
    assert said in " ".join(reply.lines)
    held = session.answers.get("strap_width")
    assert (held.values[0] if held and held.values else None) == width


def test_a_bare_yes_agrees_to_nothing_that_was_not_asked() -> None:
    session = heard("dog collar, neck 40 cm")
    before = dict(session.answers)
    session.hear("yes I suppose")
    assert session.answers == before


def test_a_denial_of_one_danger_bars_no_leather() -> None:
    session = heard("handbag strap", "he ties it up at the gate with a ring", "no, no animals, it's a handbag strap")
    assert "limits" not in session.answers
    assert session.advice().outcome not in ("another_material", "refuse")


def test_the_order_is_shown_where_it_is_asked_for() -> None:
    session = heard("key fob")
    reply = session.hear("black. just tell me what to buy now please")
    assert session.answers["colour"].values == ("black",)
    assert session.question is None
    assert any(line.startswith("ORDER") for line in reply.lines)

"""The same question is not put a third time in the same words, and never guessed where somebody may be hurt."""

from __future__ import annotations

from heard import heard


def test_the_third_time_a_question_stands_in_other_words_with_a_way_not_to_say() -> None:
    session = heard("messenger bag, 30 by 25 cm")
    question, first = session.question, session.prompt()
    second = session.hear("gnarl").prompt
    third = session.hear("banana").prompt
    assert second == first
    assert third != first
    assert "0 I can't say" in third
    assert session.question is question
    session.hear("0")
    assert question is not None
    assert session.answers[question.name].state == "don't know"


def test_after_that_the_usual_is_taken_and_said() -> None:
    session = heard("messenger bag, 30 by 25 cm", "gnarl", "banana")
    question = session.question
    said = " ".join(session.hear("flurb flurb").lines)
    assert question is not None
    assert question.name in session.answers
    assert "usual" in said


def test_a_danger_is_never_taken_as_usual() -> None:
    session = heard("leather mug")
    question = session.question
    assert question is not None, session.advice().outcome
    for line in ("pigeons", "pigeons again", "more pigeons", "still pigeons", ""):
        said = " ".join(session.hear(line).lines)
        assert question.name not in session.answers
        assert session.question is question
    assert "Somebody may be hurt" in said


def test_an_answer_ends_the_counting() -> None:
    session = heard("messenger bag, 30 by 25 cm", "gnarl", "by hand")
    assert not session.missed

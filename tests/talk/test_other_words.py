"""Answers in other words than a question offers: what is taken, and that no yes to a danger is heard as a no.

First run of the whole table in a conversation (``python tests/talk/other_words.py``), before anything was mended by it:
1239 of 1700 taken as they were meant, 20 otherwise. Afterwards 1001 of 1016 of the sentences that were looked at
while mending, and 667 of 685 of those that were not; one hand wrote both. Marked by hand; plain English.
"""

from __future__ import annotations

from collections import Counter

import pytest
from heard import heard
from other_words import TABLE, TUNED

from advisor.read.answers import read_answer
from advisor.rulebase.models import RuleBase

DANGERS = [name for name, table in TABLE.items() if {*table} == {"opening", "yes", "no"}]
LEAST = 0.96
"""What is taken by the words alone, without the conversation around them, now."""


def read(rulebase: RuleBase, question: str, text: str) -> tuple[str | float, ...]:
    """What a sentence answers, read for its question alone."""
    found = read_answer(rulebase, rulebase.attributes[question], text)
    return found.answer.values if found and found.answer else ()


def test_most_sentences_are_taken_as_they_were_meant(rulebase: RuleBase) -> None:
    taken: Counter[bool] = Counter()
    of: Counter[bool] = Counter()
    for question, table in TABLE.items():
        if rulebase.attributes[question].numeric:
            continue
        for value, texts in table.items():
            for place, text in enumerate(texts if value != "opening" else ()):
                of[place >= TUNED] += 1
                taken[place >= TUNED] += value in read(rulebase, question, text)
    assert taken[False] / of[False] >= LEAST
    assert taken[True] / of[True] >= LEAST


@pytest.mark.parametrize("question", DANGERS)
def test_no_yes_to_a_danger_is_heard_as_a_no(rulebase: RuleBase, question: str) -> None:
    for text in TABLE[question]["yes"]:
        assert "no" not in read(rulebase, question, text), text
    for text in TABLE[question]["no"]:
        assert "yes" not in read(rulebase, question, text), text


@pytest.mark.parametrize(
    ("question", "text"),
    [
        ("bears_person", "not only coats, he sits on it too"),
        ("bears_person", "nobody sits on it but the kids swing on it"),
        ("bears_person", "it's never without somebody sitting on it"),
        ("in_mouth", "nobody chews it except the baby"),
        ("touches_food", "no food but fruit"),
        ("hot_use", "nothing hot, only sparks now and then"),
        ("round_childs_neck", "not round the neck of the big one, round the baby's neck"),
        ("stays_outdoors", "it never comes in"),
        ("holds_animal", "no dog, a horse is tied up with it"),
    ],
)
def test_a_denial_with_an_exception_closes_no_danger(rulebase: RuleBase, question: str, text: str) -> None:
    assert read(rulebase, question, text) != ("no",)


@pytest.mark.parametrize(
    ("opening", "question", "text", "value"),
    [
        ("messenger bag", "user_kind", "our dog", "pet"),
        ("messenger bag", "user_kind", "just one person playing", "adult"),
        ("belt for me, brown", "colour_method", "bought brown", "bought_coloured"),
        ("messenger bag for me", "sew", "he glues", "none"),
        ("messenger bag for me", "abrasion", "it's a pub, open seven days", "high"),
        ("messenger bag", "load_carrier", "the shoulder kind", "shoulder"),
        ("messenger bag for me", "sew", "hole punch only, is that enough?", "rivets_only"),
    ],
)
def test_what_was_misread_once_is_an_answer(opening: str, question: str, text: str, value: str) -> None:
    session = heard(opening)
    session.question = session.rulebase.attributes[question]
    session.answers.pop(question, None)
    session.hear(text)
    assert session.answers[question].values == (value,)


@pytest.mark.parametrize("line", ["no, it stays clean", "it stays cold", "he stays in it all day"])
def test_what_a_thing_does_is_no_other_thing(line: str) -> None:
    assert heard("messenger bag", line).item() == "satchel_briefcase"

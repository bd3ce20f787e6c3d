"""The language of patterns, element by element. The stemmer is Snowball's for English (Porter 2001, from memory)."""

from __future__ import annotations

import pytest

from advisor.read.phrases import BadPatternError, Language

LANGUAGE = Language(
    {"body": ["man", "grown man", "@child"], "child": ["kid", "little one"]}, {"hang": ["hung"], "child": ["children"]}
)


def found(pattern: str, text: str) -> list[str]:
    """The words that ``pattern`` finds in ``text``."""
    made = LANGUAGE.pattern(pattern)
    read = LANGUAGE.read(text)
    return [text[read.words[s.first].start : read.words[s.last - 1].end] for s in read.find(made)]


@pytest.mark.parametrize(
    ("pattern", "text", "words"),
    [
        ("hang", "it hangs, hung, hanging", ["hangs", "hung", "hanging"]),
        ("lead!", "leads and lead", ["lead"]),
        ("hang/swing from", "swinging from it", ["swinging from"]),
        ("hang from", "hang it from there", []),
        (
            "hold @body",
            "hold the old man, hold a grown man, hold kids",
            ["hold the old man", "hold a grown man", "hold kids"],
        ),
        ("@child", "my little one", ["little one"]),
        ("hang .. from", "hang it up there from", ["hang it up there from"]),
        ("hang ..1 from", "hang it up there from", []),
        ("hang .. from", "hang it. From", []),
        ("hang upside? down", "hang down and hang upside down", ["hang down", "hang upside down"]),
        ("#40-250 kg", "39 kg, 80kg, ninety kg, 300 kg", ["80kg", "ninety kg"]),
        ("# stone", "15 stone or fifteen stone", ["15 stone", "fifteen stone"]),
        ("beam & hang", "hang it on a beam", ["hang it on a beam"]),
        ("beam & hang", "hang it. There is a beam", []),
        ("beam && hang", "hang it. There is a beam", ["hang it. There is a beam"]),
        ("beam && hang && rope", "a rope. Hang it. There is a beam", ["rope. Hang it. There is a beam"]),
        ("beam & hang & rope", "a rope. Hang it on a beam", []),
        ("she is #0-2 $", "she's 2", ["she's 2"]),
        ("she is #0-2 $", "she's 2 metres tall", []),
        ("gran chair", "gran's chair", ["gran's chair"]),
        ("two year old", "two-year-old", ["two-year-old"]),
    ],
)
def test_a_pattern_finds_its_words(pattern: str, text: str, words: list[str]) -> None:
    assert found(pattern, text) == words


def test_hidden_words_count_for_nothing() -> None:
    read = LANGUAGE.read("hang from the beam")
    pattern = LANGUAGE.pattern("hang .. beam")
    assert list(read.find(pattern))
    assert not list(read.find(pattern, frozenset({0})))


@pytest.mark.parametrize(
    "pattern", ["", "hang ..", ".. hang", "hang?", "hang? from", "@nobody", "#4", "#a-b", "two-part", "hang & ", "a//b"]
)
def test_a_pattern_that_can_never_be_found_is_refused(pattern: str) -> None:
    with pytest.raises(BadPatternError):
        LANGUAGE.pattern(pattern)


def test_a_class_that_holds_itself_is_refused() -> None:
    with pytest.raises(BadPatternError):
        Language({"a": ["@b"], "b": ["@a"]}, {})


def test_a_faint_hint_counts_in_a_short_text_or_where_a_for_leads_to_it() -> None:
    story = "We walked all day, past the mill and along the river where my brother used to fish as a boy, " * 2
    assert found("~kid", "a bag, kids like it") == ["kids"]
    assert found("~kid", f"{story}. A bag, kids like it.") == []
    assert found("~kid", f"{story}. A bag for the kids.") == ["kids"]
    assert found("kid", f"{story}. A bag, kids like it.") == ["kids"]


def test_a_number_of_two_words_is_one_number() -> None:
    assert found("#30-39 years", "thirty-one years") == ["one years"]
    assert found("#1-3 years", "thirty one years, one year, forty years") == ["one year"]


def test_a_faint_hint_does_not_reach_into_another_clause() -> None:
    assert found("~belt ..6 car", "a belt, brown, for the car") == ["belt, brown, for the car"]
    assert found("~belt ..6 car", "a belt, and he has a car") == []
    assert found("belt ..6 car", "a belt, and he has a car") == ["belt, and he has a car"]

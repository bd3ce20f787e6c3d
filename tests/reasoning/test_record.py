"""Events of a log: what changed between answers, what follows from a fold, and which answers can be taken."""

from __future__ import annotations

import hashlib
import json
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor import consult, with_texts
from advisor.reasoning.facts import Answer
from advisor.reasoning.record import (
    LINE,
    Answered,
    Asked,
    Ended,
    Event,
    Fired,
    Line,
    Said,
    Typed,
    advice_differences,
    canonical,
    changes,
    concluded,
    difference,
    fold,
    usable,
)
from advisor.rulebase.models import RuleBase

ANSWERS = st.dictionaries(
    st.sampled_from("abcdef"),
    st.builds(Answer, st.tuples(st.sampled_from(["x", "y"])), st.just("known"), st.sampled_from(["read", "answered"])),
)


@settings(max_examples=60)
@given(st.lists(ANSWERS, max_size=6))
def test_folding_the_changes_gives_the_answers_back(states: list[dict[str, Answer]]) -> None:
    events: list[Event] = [Asked(question="a")]
    before: dict[str, Answer] = {}
    for now in states:
        events += [Typed(line="."), *changes(before, now), Asked(question="b")]
        events = [LINE.validate_json(LINE.dump_json(Line(n=1, event=e))).event for e in events]
        before = now
        assert fold(events).answers == now
    assert len(fold(events).turns) == len(states)


def test_what_changed_names_before_and_after() -> None:
    old, new = Answer((38.0,), "known", "read"), Answer((), "don't know", "answered")
    set_, changed, gone = changes({"b": old, "c": old}, {"a": old, "b": new})
    assert (set_.change, set_.before, set_.now) == ("set", None, Said(values=(38.0,), state="known", origin="read"))
    assert (changed.change, changed.now) == ("changed", Said(values=(), state="don't know", origin="answered"))
    assert (gone.attribute, gone.change, gone.now) == ("c", "forgotten", None)
    assert changes({"a": old}, {"a": old}) == []


def test_the_questions_answered_are_those_to_go_back_to() -> None:
    def turn(line: str, attribute: str, question: str | None, now: Said | None) -> list[Event]:
        change = Answered(attribute=attribute, change="set" if now else "forgotten", now=now)
        return [Typed(line=line), change, Asked(question=question)]

    said = Said(values=("x",), state="known", origin="answered")
    events = [Asked(question="a"), *turn("x", "a", "b", said), *turn("x", "b", "c", said)]
    assert fold(events).asked == ["a", "b"]
    assert fold([*events, *turn("back", "b", "b", None)]).asked == ["a"]
    assert fold([*events, *turn("change z to x", "z", "c", said)]).asked == ["a", "b"]
    state = fold([*events, Typed(line="half"), *turn("", "c", None, said)[1:2]])
    assert (state.unanswered, "c" in state.answers, state.question) == ("half", False, "c")
    assert fold([*events, Ended()]).ended


@pytest.mark.parametrize(
    ("name", "answer", "taken"),
    [
        ("waist", Answer((920.0,)), True),
        ("waist", Answer(("wide",)), False),
        ("waist", Answer((920.0, 930.0)), False),
        ("waist", Answer((-1.0,)), False),
        ("waist", Answer((float("nan"),)), False),
        ("waist", Answer(()), False),
        ("waist", Answer((), "don't know"), True),
        ("waist", Answer((920.0,), "don't know"), False),
        ("hat_size", Answer((57.0,)), False),
        ("item", Answer(("trouser_belt",)), True),
        ("item", Answer(("submarine",)), False),
        ("allergy", Answer(("nickel", "chromium")), True),
        ("allergy", Answer((3.0,)), False),
        ("piece.strap", Answer((1.0, 38.0, 1100.0)), True),
        ("piece.strap", Answer((1.0, 38.0)), False),
        ("piece.strap", Answer((1.5, 38.0, 1100.0)), False),
        ("piece.strap", Answer((1.0, 38.0, float("inf"))), False),
        ("piece.strap", Answer(("one", "by", "two")), False),
    ],
)
def test_only_what_the_rules_can_take_is_usable(name: str, answer: Answer, taken: bool, rulebase: RuleBase) -> None:
    assert usable(rulebase, {name: answer}) == ({name: answer} if taken else {})


def test_the_checksum_is_over_the_json_without_its_sentences(rulebase: RuleBase) -> None:
    advice = consult(rulebase, {"item": "trouser_belt"})
    printed = json.loads(with_texts(advice, rulebase).model_dump_json(by_alias=True))
    codes = re.sub(
        r'(\{"code":"\w+","params":\{[^{}]*\}),"text":"(?:[^"\\]|\\.)*"\}',
        r"\1}",
        json.dumps(printed, separators=(",", ":"), ensure_ascii=False),
    )
    assert codes.count('"code":') > 100
    printed = json.loads(codes)
    text = json.dumps(printed, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert canonical(advice) == text
    assert concluded(advice).advice_sha256 == hashlib.sha256(text.encode()).hexdigest()


def test_a_difference_is_named_where_it_is() -> None:
    was, now = Fired(rules=["a", "b", "c"]), Fired(rules=["a", "x", "c"])
    assert difference(4, was, was) is None
    assert str(difference(4, was, now)) == "event 4, fired, rules, place 2: in the log b; derived anew x"
    assert "nothing; derived anew c" in str(difference(4, Fired(rules=["a", "b"]), was))
    assert '"fired"; derived anew nothing' in str(difference(4, was, None))
    assert '"fired"; derived anew "typed"' in str(difference(4, was, Typed(line="x")))
    assert "\n" not in str(difference(4, Typed(line="a\nb"), Typed(line="a\x1bb" * 99)))


def test_advice_is_compared_by_what_a_customer_would_notice(rulebase: RuleBase) -> None:
    was = concluded(consult(rulebase, {"item": "trouser_belt"}))
    now = concluded(consult(rulebase, {"item": "trouser_belt", "decoration": "carve", "allergy": "chromium"}))
    found = {d.where for d in advice_differences(9, was, now)}
    assert "decision tannage" in found
    assert any(w.startswith("caution ") for w in found)
    assert advice_differences(9, was, was.model_copy(update={"advice_sha256": "0"})) == []

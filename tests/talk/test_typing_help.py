"""Help while a line is typed: values with their meaning, and what is wrong before Enter."""

from __future__ import annotations

import pytest
from heard import heard
from plain import sampled

from advisor.read.reader import read_sentence
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session
from advisor.talk.typing_help import completions, trouble


def at(rulebase: RuleBase, *lines: str, question: str = "") -> Session:
    session = heard(*lines)
    if question:
        session.question = rulebase.attributes[question]
    return session


def test_values_complete_with_their_meaning(rulebase: RuleBase) -> None:
    session = at(rulebase, "belt for jeans", question="water")
    found = {c.word: c.meaning for c in completions(session, "sp")}
    assert found == {"splashes": rulebase.attributes["water"].values["splash"].means}


def test_a_thing_is_found_by_any_word_of_its_name(rulebase: RuleBase) -> None:
    assert {"trouser belt", "tool belt"} <= {c.word for c in completions(Session(rulebase), "belt")}


def test_every_name_offered_for_a_thing_is_understood(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    offered = {c.word for letter in "abcdefghijklmnopqrstuvwxyz" for c in completions(session, letter) if c.meaning}
    items = offered - session.commands_offered().keys()
    understood = set()
    for word in items:
        answer = read_sentence(rulebase, word).answers.get("item")
        assert answer is not None, word
        understood |= set(answer.values)
    assert understood == rulebase.items.keys()


def test_of_a_set_the_part_after_the_comma_is_completed(rulebase: RuleBase) -> None:
    session = at(rulebase, "belt for jeans", question="decoration")
    (found,) = completions(session, "stamp, carv")
    assert (found.word, found.replaces) == ("carving", 4)


def test_a_change_completes_its_name_and_its_value(rulebase: RuleBase) -> None:
    session = at(rulebase, "belt for jeans")
    assert "strap width" in {c.word for c in completions(session, "change strap")}
    assert [c.word for c in completions(session, "change the water to spl")] == ["splashes"]
    assert "tannage" in {c.word for c in completions(session, "why tan")}


def test_an_empty_line_offers_nothing(rulebase: RuleBase) -> None:
    assert completions(at(rulebase, "belt for jeans"), "  ") == []


@pytest.mark.parametrize(
    ("question", "typed", "says"),
    [
        ("strap_width", "38 kg", "not a unit of the same kind"),
        ("strap_width", "9 m", "outside what can be meant"),
        ("strap_width", "1,200 mm", "two ways"),
        ("quantity", "2.5", "whole number"),
        ("quantity", "change strap width to 2 kg", "not a unit of the same kind"),
        ("quantity", "change strp width to 2 mm", 'Did you mean "strap width"?'),
        ("water", "xyzzy", "Expected one of"),
    ],
)
def test_a_wrong_answer_is_told_before_it_is_sent(rulebase: RuleBase, question: str, typed: str, says: str) -> None:
    session = at(rulebase, "belt for jeans", question=question)
    before = dict(session.answers)
    assert says in trouble(session, typed)
    assert session.answers == before


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "  ",
        "38 mm",
        "1 1/2 in",
        "38 mm wide and carved",
        "make it 40 mm please",
        "help",
        "?",
        "don't know",
        "back",
        "slip",
        "in inches",
        "change strap width to 30 mm",
        "done",
    ],
)
def test_an_answer_a_sentence_or_a_command_is_never_called_wrong(rulebase: RuleBase, typed: str) -> None:
    assert trouble(at(rulebase, "belt for jeans", question="strap_width"), typed) == ""
    assert trouble(Session(rulebase), typed) == ""


def test_a_word_that_may_yet_become_a_value_is_left_alone(rulebase: RuleBase) -> None:
    session = at(rulebase, "belt for jeans", question="water")
    for typed in ("s", "spl", "splash", "carved"):
        assert trouble(session, typed) == ""


BY = "change", "sentence"
PAIRS = [
    ("trouser_belt", "dog_lead"),
    ("dog_lead", "trouser_belt"),
    ("trouser_belt", "card_holder"),
    ("card_holder", "bifold_wallet"),
    ("tote_plain", "knife_sheath"),
    ("knife_sheath", "tote_plain"),
    ("dog_collar", "guitar_strap"),
    ("journal_cover", "backpack"),
    ("camera_strap", "watch_strap"),
    ("bottle_holder", "climbing_gear"),
]
# Sizes that can be asked of a pattern, each with something that can be said.
SIZES = {
    "strap_width": "30 mm",
    "waist": "900 mm",
    "neck": "400 mm",
    "length": "700 mm",
    "width": "200 mm",
    "height": "150 mm",
    "depth": "60 mm",
    "blade": "110 mm",
    "blade_width": "30 mm",
    "blade_spine": "3 mm",
}


@pytest.mark.parametrize(("first", "second", "by"), sampled([(*pair, by) for pair in PAIRS for by in BY], 3))
def test_another_item_keeps_what_still_applies_and_names_what_it_drops(
    rulebase: RuleBase, first: str, second: str, by: str
) -> None:
    def sizes(item: str) -> set[str]:
        # The pattern itself says which sizes it is cut by.
        text = " ".join(f"{p.length} {p.width}" for p in rulebase.items[item].pieces)
        return {name for name in SIZES if name in text.replace("(", " ").replace(")", " ").split()}

    told = (f"change {name} to {SIZES[name]}" for name in sorted(sizes(first)))
    session = at(rulebase, rulebase.items[first].name, "change water to rain", "change quantity to 3", *told)
    kept = dict(session.answers)
    named = f"change item to {second}" if by == "change" else f"no, a {rulebase.items[second].words[0]}"
    said = " ".join(session.hear(named).lines)
    assert "yes/no" not in session.prompt()
    assert session.item() == second
    dropped = kept.keys() - session.answers.keys()
    # Dropped are the sizes that the pattern of the other is not cut by, each by its name, and nothing besides.
    assert dropped == (kept.keys() & SIZES.keys()) - sizes(second)
    for name in kept.keys() - dropped - {"item"}:
        assert session.answers[name] == kept[name], name
    gone = said.partition("no longer count")[0].partition("; your ")[2]
    assert bool(gone) == bool(dropped)
    for name in dropped:
        assert rulebase.attributes[name].label.split()[-1] in gone

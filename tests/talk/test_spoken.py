"""No name of the rule files reaches a person: what is read in a conversation has labels and sentences only."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from heard import heard
from plain import sampled

from advisor.reasoning.facts import Answer
from advisor.rulebase.models import RuleBase
from advisor.talk.heard import doubts_said
from advisor.talk.session import Session

RULESETS = Path(__file__).parents[2] / "rulesets" / "leather"
MOST_LINES = 40
SENTENCES = (
    "a belt for jeans, 38 mm wide, waist 92 cm",
    "first card holder, want to carve initials on it",
    "lead for a 30 kg dog, 20 mm wide",
    "leather for a loop he can lean back in while he trims the hedge",
    "bifold wallet in black, sewn on a household machine",
    "tote bag, 35 x 40 cm, for my mother, allergic to nickel",
    "knife sheath for a 11 cm blade, gets wet",
    "watch strap 20 mm, no pig",
    "apron for a blacksmith",
    "twelve belts, 1 1/2 in wide, waist 36 in",
    "dog collar 20 or 25 mm wide",
    "a belt between 30 and 40 mm wide",
    "journal cover A5 with burned letters",
    "something to hold my pencils",
    "a thing for the cat",
    "baby shoes, vegetable tanned only",
    "guitar strap, painted edges, laser engraved",
    "phone case 2 mm chrome side",
    "axe cover, raw edges, rivets",
    "the cheapest coin pouch you can think of, sold at a fair in France",
)
QUESTIONS = (
    "why tannage",
    "why weight",
    "why not chrome",
    "why not belly",
    "what if it gets wet",
    "would 2 mm chrome do",
    "review",
    "what would change the tannage",
    "supposed",
    "answers",
    "?",
    "why do you ask",
    "change edge to folded",
    "forget edge",
)


def slugs(rulebase: RuleBase) -> Iterator[tuple[str, str]]:
    """Every name of the rule files with the words that a person reads instead."""
    for attribute in rulebase.attributes.values():
        yield attribute.name, attribute.label
        yield from ((v.slug, v.label) for v in attribute.values.values())
    for decision in rulebase.choices():
        yield from ((c.slug, c.label) for c in decision.candidates.values())


def written(rulebase: RuleBase) -> re.Pattern[str]:
    """Names of two words or more that differ from their labels and are no words of any sentence of the rule files."""
    prose = " ".join(
        " ".join(re.findall(r'"([^"\n]* [^"\n]*)"', path.read_text())) for path in sorted(RULESETS.rglob("*.toml"))
    ).lower()
    plain = {name.replace("_", " ") for name, label in slugs(rulebase) if "_" in name and name != label}
    labels = {label.lower() for _, label in slugs(rulebase)}
    return re.compile(rf"\b(?:{'|'.join(sorted(p for p in plain - labels if p not in prose))})\b", re.IGNORECASE)


def raw(rulebase: RuleBase, lines: Iterable[str]) -> list[str]:
    """The lines in which a name of the rule files stands, with what stands there."""
    names = rulebase.once("names that are no words", written)
    text = [" ".join(line.split()) for line in lines]
    return [line for line in text if "_" in line or names.search(line)]


def shown(session: Session, line: str) -> list[str]:
    """What a person reads after a line."""
    reply = session.hear(line)
    return [*reply.lines, *reply.prompt.splitlines(), *session.order_so_far()]


def test_a_name_of_the_rule_files_is_found(rulebase: RuleBase) -> None:
    names = written(rulebase).pattern
    assert names.count("|") > 60
    for line in (
        "Understood: strap width 38 mm; decoration burn hand.",
        "So far: veg tooling, panel_12x12.",
        "Your answers: user kind adult",
        "[trouser_belt/ranking]",
    ):
        assert raw(rulebase, [line]), line
    assert not raw(rulebase, ["So far: 1 strap blank, veg-tan tooling leather, 8-10 oz (3.2 to 4 mm)."])


@pytest.mark.parametrize("part", sampled(range(30), 10))
def test_an_interview_by_enter_names_nothing_raw(rulebase: RuleBase, part: int) -> None:
    items = sorted(rulebase.items)
    item = items[part * len(items) // 30]
    session = Session(rulebase)
    session.answers["item"] = Answer((item,))
    lines = session.go_on([]).lines
    for _ in range(MOST_LINES):
        if session.told or session.prompt() == "":
            break
        danger = "no answer on Enter" in session.prompt()
        lines += shown(session, "no" if danger else "")
    assert session.told or session.question is None
    assert raw(rulebase, lines) == []


@pytest.mark.parametrize("sentence", sampled(SENTENCES, 4))
def test_a_sentence_is_said_back_in_words(rulebase: RuleBase, sentence: str) -> None:
    session = Session(rulebase)
    assert raw(rulebase, shown(session, sentence)) == []


@pytest.mark.parametrize("sentence", sampled(SENTENCES[:2], 2))
@pytest.mark.parametrize("question", QUESTIONS)
def test_a_question_is_answered_in_words(rulebase: RuleBase, sentence: str, question: str) -> None:
    session = heard(sentence)
    assert raw(rulebase, shown(session, question)) == []


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_enter_is_told_in_the_words_of_the_list(rulebase: RuleBase, units: str) -> None:
    session = Session(rulebase, units="inch" if units == "inch" else "mm")
    session.hear("bifold wallet")
    for _ in range(6):
        question = session.question
        assert question is not None
        if question.values and "Enter: leave it open" not in session.prompt():
            meant = re.search(r"Enter: ([^)]*)\)", " ".join(session.prompt().split()))
            assert meant is not None
            assert meant[1] in {v.label for v in question.values.values()}
        session.hear("")


@pytest.mark.parametrize("part", sampled(range(4), 4))
def test_every_label_in_a_list_can_be_typed(rulebase: RuleBase, part: int) -> None:
    for attribute in rulebase.attributes.values():
        if attribute.ask != "first" or attribute.name == "item" or not attribute.values:
            continue
        for value in list(attribute.values.values())[::3][part::4]:
            session = Session(rulebase)
            session.question = attribute
            session.hear(value.label)
            assert session.answers[attribute.name].values == (value.slug,), (attribute.name, value.label)


def test_an_assumed_size_is_rounded_to_half_an_inch(rulebase: RuleBase) -> None:
    """900 mm is 35 7/16 in; nobody says a waist so."""
    session = Session(rulebase, units="inch")
    session.hear("belt for jeans, 1 1/2 in wide")
    session.questions = (rulebase.attributes["waist"],)
    assert "a waist of 35 1/2 in" in " ".join(session.hear("").lines)


def test_doubts_call_things_as_lists_do(rulebase: RuleBase) -> None:
    session = heard("a belt between 30 and 40 mm wide")
    assert session.reading is not None
    said = doubts_said(rulebase, session.reading)
    assert any("strap width" in line.lower() and "30 mm and 40 mm" in line for line in said)

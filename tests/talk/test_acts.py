"""A talk with questions, requests, courtesy, corrections and second thoughts in it: what each changes, and what not.

That a question changes no answer, and that nothing protective is dropped unasked, is common practice at a counter.
"""

from __future__ import annotations

import pytest
from heard import heard

from advisor.read.glossary import check_glossary, terms_in, told
from advisor.reasoning.facts import parse_answers
from advisor.rulebase.models import RuleBase
from advisor.talk.answering import waits
from advisor.talk.direct import check_questions, direct_answers
from advisor.talk.matter import Matter
from advisor.talk.requests import check_requests
from advisor.talk.session import Session

BELT = "belt for jeans, 38 mm wide, waist 92 cm"
QUESTIONS = [
    "what is latigo",
    "explain pull-up",
    "difference between veg and chrome",
    "is it waterproof",
    "will it stretch",
    "can I carve it",
    "can it be washed?",
    "does it come in red",
    "how much do I need",
    "how much does it cost",
    "how many hides",
    "panels or a side?",
    "is 10 oz too thick",
    "latigo or bridle?",
    "who was king then?",
    "should I swap it for something thinner",
    "is pull-up good",
]
NO_FACTS = [
    "thanks",
    "ok",
    "hello",
    "they say it stretches",
    "my last one was too floppy",
    "tooling sides are on sale",
    "I have heard kangaroo is thin",
]


def begun(*lines: str) -> Session:
    return heard(BELT, *lines)


def say(session: Session, *lines: str) -> str:
    """What the last of some lines is answered with, prompt included."""
    reply = [session.hear(line) for line in lines][-1]
    return " ".join(" ".join([*reply.lines, reply.prompt]).split())


@pytest.mark.parametrize("line", [*QUESTIONS, *NO_FACTS])
def test_what_states_nothing_changes_nothing(rulebase: RuleBase, line: str) -> None:
    session = begun()
    before, prompt = dict(session.answers), session.prompt()
    assert session.hear(line).lines
    assert (session.answers, session.prompt()) == (before, prompt)


@pytest.mark.parametrize("line", QUESTIONS)
def test_every_question_is_answered_or_honestly_not(rulebase: RuleBase, line: str) -> None:
    matter = Matter(rulebase, parse_answers(rulebase, {"item": "trouser_belt"}))
    said = " ".join(direct_answers(matter, line))
    assert said
    assert ("I can't tell you that." in said) == (line == "who was king then?")


def test_a_word_is_told_and_two_are_put_side_by_side(rulebase: RuleBase) -> None:
    assert "latigo" in say(begun(), "what is latigo").lower()
    said = say(begun(), "what's the difference between suede and nubuck")
    assert said.index("Suede:") < said.index("Nubuck:")
    assert [t.name for t in terms_in(rulebase, "pull-up or patent leather")] == ["pull up", "patent"]
    assert told(terms_in(rulebase, "an awl")[0]).startswith("Awl: ")


def test_a_question_beside_the_job_is_answered_before_anything_else(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    said = say(session, f"{BELT}, is it waterproof?")
    assert session.item() == "trouser_belt"
    assert said.index("watertight") < said.index("Understood:")


def test_a_danger_asked_about_is_raised_and_not_answered(rulebase: RuleBase) -> None:
    session = begun()
    say(session, "could I hang from it?")
    assert "person_weight" in session.answers["raised"].values
    assert session.question is not None
    name = session.question.name
    assert waits(session, name)
    assert name not in session.answers
    # Enter asks again.
    assert "your own answer" in say(session, "")
    assert name not in session.answers


@pytest.mark.parametrize(
    ("line", "name", "value"),
    [
        ("can I have it in black?", "colour", "black"),
        ("make it 45 mm wide", "strap_width", 45.0),
        ("cheaper", "money_tight", "yes"),
        ("make it thinner", "feel", "slim"),
        ("same in brown", "colour", "brown"),
        ("change water to rain", "water", "rain"),
    ],
)
def test_a_request_changes_what_it_names(rulebase: RuleBase, line: str, name: str, value: object) -> None:
    session = begun()
    before = session.answers.keys()
    say(session, line)
    assert session.answers[name].values == (value,)
    assert session.answers.keys() <= {*before, name}


def test_a_size_without_a_name_is_asked_of_which() -> None:
    session = heard("plain tote, 380 mm wide, 360 mm high")
    before = dict(session.answers)
    assert "30 cm: what is it?" in say(session, "make it 300 mm")
    assert session.answers == before


def test_the_last_line_is_taken_back(rulebase: RuleBase) -> None:
    session = begun()
    before = dict(session.answers)
    assert "Taken back: red" in say(session, "make it black", "scratch that").replace("black", "red")
    assert session.answers == before
    say(session, "it is for sale", "undo")
    assert session.answers == before
    assert "nothing to take back" in say(session, "undo", "undo")


def test_another_thing_waits_until_the_first_is_done(rulebase: RuleBase) -> None:
    session = begun("allergic to nickel")
    said = say(session, "and a key fob as well")
    assert 'say "next: key fob"' in said
    assert session.item() == "trouser_belt"
    say(session, "next: key fob")
    assert session.item() == "key_fob"
    assert session.answers.keys() == {"item", "allergy"}


def test_the_next_customer_inherits_nothing_and_it_can_be_taken_back(rulebase: RuleBase) -> None:
    session = begun("allergic to nickel")
    before = dict(session.answers)
    say(session, "next customer")
    assert session.answers == {}
    say(session, "undo")
    assert session.answers == before


def test_starting_again_is_confirmed(rulebase: RuleBase) -> None:
    session = begun()
    assert "yes/no" in say(session, "start again")
    assert session.item() == "trouser_belt"
    say(session, "no")
    assert session.item() == "trouser_belt"
    say(session, "start again", "yes")
    assert session.answers == {}


def test_allergies_add_up_and_none_is_dropped_unasked(rulebase: RuleBase) -> None:
    session = begun("allergic to chrome", "I am allergic to nickel too")
    assert set(session.answers["allergy"].values) == {"chromium", "nickel"}
    said = say(session, "no allergies")
    assert "You said chromium allergy and nickel allergy before" in said
    assert set(session.answers["allergy"].values) == {"chromium", "nickel"}
    say(session, "no")
    assert set(session.answers["allergy"].values) == {"chromium", "nickel"}
    say(session, "no allergies", "yes")
    assert session.answers["allergy"].values == ("none",)


def test_another_line_than_yes_or_no_keeps_what_was_said(rulebase: RuleBase) -> None:
    session = begun("allergic to nickel", "no allergies")
    say(session, "what is a bend")
    assert session.answers["allergy"].values == ("nickel",)
    assert "yes/no" not in session.prompt()


def test_things_that_may_be_meant_are_numbered_and_one_is_picked(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    said = say(session, "something to keep my axe blade covered")
    assert session.offered is not None
    first = session.offered.slugs[0]
    assert f"1 {session.thing(first)}" in said
    assert "something else" in said
    say(session, "1")
    assert session.item() == first
    other = Session(rulebase)
    say(other, "something to keep my axe blade covered")
    say(other, other.thing(other.offered.slugs[1]) if other.offered else "")
    assert other.item() != first


def test_two_facts_in_one_answer_are_both_taken(rulebase: RuleBase) -> None:
    session = begun()
    session.questions = (rulebase.attributes["water"],)
    say(session, "in a pocket, and make it black")
    assert session.answers["water"].values == ("dry",)
    assert session.answers["colour"].values == ("black",)


def test_what_fits_no_value_is_asked_again_in_plain_words_with_numbers(rulebase: RuleBase) -> None:
    session = begun()
    session.questions = (rulebase.attributes["skin_contact"],)
    said = say(session, "banana")
    assert "type a number." in said
    assert "1 not on skin" in said
    assert not any(v.slug in said for v in rulebase.attributes["skin_contact"].values.values() if "_" in v.slug)
    say(session, "2")
    assert session.answers["skin_contact"].values == (list(rulebase.attributes["skin_contact"].values)[1],)


def test_whatever_is_usual_is_taken_and_named(rulebase: RuleBase) -> None:
    session = begun()
    session.questions = (rulebase.attributes["water"],)
    usual = session.known(rulebase.attributes["water"])
    assert "OK: splashed at most." in say(session, "whatever is usual")
    assert session.answers["water"].values == usual


def test_the_files_of_words_name_only_what_there_is(rulebase: RuleBase) -> None:
    assert [*check_glossary(rulebase), *check_questions(rulebase), *check_requests(rulebase)] == []


def test_a_number_is_no_pick_of_things_once_another_thing_was_named(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    assert "Which do you mean?" in session.hear("something for my dog").lines
    session.hear("card holder")
    for said in ("1", "2"):
        session.hear(said)
        assert session.item() == "card_holder"


def test_what_is_refused_whatever_the_thing_is_refused_before_the_thing_is_asked(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    said = "\n".join(session.hear("a leather strap to haul myself up the tree").lines)
    assert "Refused" in said
    assert "Which do you mean?" not in said
    assert "haul myself" not in said


def test_no_reason_tells_the_order_that_an_open_danger_withholds() -> None:
    session = heard("lead for a 50 kg dog")
    assert [q.name for q in session.questions] == ["holds_animal"]
    for name in ("weight", "tannage", "amount"):
        said = " ".join(session.hear(f"why {name}").lines)
        assert f"there is no {name}" in said
        assert " mm" not in said
        assert "latigo" not in said
    session.hear("no")
    assert "mm" in " ".join(session.hear("why weight").lines)


def test_what_was_raised_is_no_answer_that_somebody_gave() -> None:
    session = heard("lead for a 50 kg dog")
    for command in ("answers", "slip"):
        assert "raised" not in " ".join(session.hear(command).lines)

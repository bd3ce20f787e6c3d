"""What an interview asks: how many questions, in what order, how each is put, and what Enter does.

The limits are this program's own (six, or three in a short interview, dangers besides); which question decides most
for a thing is common practice.
"""

from __future__ import annotations

import random
import re

import pytest
from heard import heard
from plain import sampled

from advisor.reasoning.changes import alternatives, present
from advisor.rulebase.asking import asking_of, check_asking, examples
from advisor.rulebase.models import Attribute, RuleBase
from advisor.talk.enter import meaning
from advisor.talk.plan import MOST, MOST_BRIEF
from advisor.talk.session import Session

SEED = 8_020


def begun(rulebase: RuleBase, item: str, brief: bool = False) -> Session:
    session = Session(rulebase, brief=brief)
    session.hear(f"change item to {item}")
    return session


def put(session: Session, answer: str | None, pick: random.Random) -> list[tuple[str, ...]]:
    """The questions put up to the check or the end, each looked at; ``answer`` None draws plausible ones."""
    found = []
    while session.question is not None and session.question.name != "item":
        found.append(tuple(q.name for q in session.questions))
        well_put(session)
        session.hear(answered(session, pick) if answer is None else answer)
        assert len(found) < 40, found
    return found


def well_put(session: Session) -> None:
    """The prompt says what Enter does, numbers every choice of a single question, and fits the width or wraps."""
    prompt = session.prompt()
    assert "Enter" in prompt, prompt
    if len(session.questions) == 1:
        for n in range(1, len(session.questions[0].values) + 1):
            assert re.search(rf"(?:^|\s){n} \S", prompt), prompt
    for question in session.questions:
        measured = question.name in asking_of(session.rulebase, session.item()).measured
        assert not measured or meaning(session, question).does in ("open", "keep"), question.name


def answered(session: Session, pick: random.Random) -> str:
    """Something that can be said to the open question: often the usual, else any value."""
    question = session.questions[0]
    if session.questions[1:] or pick.random() < 0.4:
        return ""
    run = present(session.rulebase, session.answers)
    other = pick.choice(alternatives(run, question)).values
    return ", ".join(f"{v:g} {question.unit}".removesuffix(" plain") if isinstance(v, float) else v for v in other)


def counted(rulebase: RuleBase, found: list[tuple[str, ...]]) -> int:
    """Questions that count: none of a danger, and what it carries once, since of what may bear all of it is asked."""
    apart = {n for n in rulebase.danger_questions() if n != "user_kind"}
    kinds = [
        "load" if all(rulebase.attributes[n].group == "load" for n in names) else names
        for names in found
        if not apart.issuperset(names)
    ]
    return len(set(kinds))


def asked_few(rulebase: RuleBase, items: list[str], answer: str | None, brief: bool = False) -> None:
    """The interviews of these things end in time, and nothing is put twice."""
    most = MOST_BRIEF if brief else MOST
    for item in items:
        session = begun(rulebase, item, brief)
        found = put(session, answer, random.Random(f"{SEED} {item}"))
        assert counted(rulebase, found) <= most, (item, found)
        # A danger is put again until it is answered.
        once = [names for names in found if not rulebase.danger_questions().issuperset(names)]
        assert len(once) == len(set(once)), (item, found)


def test_the_file_names_only_what_there_is(rulebase: RuleBase) -> None:
    assert check_asking(rulebase) == []


def test_an_interview_ends_in_six_questions_and_a_short_one_in_three(rulebase: RuleBase) -> None:
    some = sorted(rulebase.items)[::90]
    asked_few(rulebase, some, "")
    asked_few(rulebase, some, None)
    asked_few(rulebase, some, "", brief=True)


@pytest.mark.slow
def test_every_interview_ends_in_six_questions_and_a_short_one_in_three(rulebase: RuleBase) -> None:
    asked_few(rulebase, sorted(rulebase.items), "")
    asked_few(rulebase, sorted(rulebase.items), None)
    asked_few(rulebase, sorted(rulebase.items), "", brief=True)


@pytest.mark.parametrize(
    ("item", "first"),
    sampled(
        [
            # Common practice: what a shop asks first, since the leather hangs on it.
            ("dog_collar", "load_mass"),
            ("dog_lead", "load_mass"),
            ("trouser_belt", "waist"),
            ("watch_strap", "wrist"),
            ("knife_sheath", "blade"),
            ("moccasin", "foot"),
            ("hat_band", "head"),
            ("bifold_wallet", "decoration"),
        ],
        2,
    ),
)
def test_what_decides_most_is_asked_first(rulebase: RuleBase, item: str, first: str) -> None:
    session = begun(rulebase, item)
    assert session.question is not None
    assert session.question.name == first
    names = [name for names in put(session, "", random.Random(0)) for name in names]
    assert "colour" in names or item in ("knife_sheath",)
    if item.startswith("dog"):
        assert "sew" not in names
        assert "user_kind" not in names


def test_a_measured_size_is_left_open_by_enter_and_named_at_the_end(rulebase: RuleBase) -> None:
    session = begun(rulebase, "dog_collar")
    assert "30 kg" not in session.prompt()
    while session.question is not None:
        session.hear("")
    said = " ".join(session.hear("").lines)
    assert session.answers["load_mass"].state == "don't know"
    assert "I assume a dog's neck of 42 cm and a dog of 30 kg until you know: measure before you buy." in said


def test_enter_never_says_that_nobody_has_an_allergy(rulebase: RuleBase) -> None:
    session = begun(rulebase, "watch_strap")
    session.question = rulebase.attributes["allergy"]
    assert "Enter: leave it open" in session.prompt()
    session.hear("")
    assert session.answers["allergy"].values == ()


def test_the_place_of_a_question_is_shown_and_grows(rulebase: RuleBase) -> None:
    session = begun(rulebase, "bifold_wallet")
    places = []
    while session.question is not None:
        found = re.match(r"(\d+) of (\d+)  ", session.prompt())
        assert found
        places.append((int(found[1]), int(found[2])))
        session.hear("")
    assert [n for n, _ in places] == list(range(1, len(places) + 1))
    assert places[-1][0] == places[-1][1]


def test_the_check_numbers_all_answers_and_a_number_changes_one(rulebase: RuleBase) -> None:
    session = begun(rulebase, "card_holder")
    said: list[str] = []
    while session.question is not None:
        said = session.hear("").lines
    names = list(session.answers)
    assert [re.match(r"  (\d+)  ", line) is not None for line in said if line.startswith("  ")] == [True] * len(names)
    assert not session.told
    assert "Enter: yes, finish" in session.prompt()
    colour = names.index("colour") + 1
    session.hear(str(colour))
    assert session.question == rulebase.attributes["colour"]
    assert "Enter: keep brown" in session.prompt()
    session.hear("black")
    assert session.answers["colour"].values == ("black",)
    assert session.checking
    session.hear("")
    assert session.told
    assert session.prompt() == ""


def test_enter_twice_leaves_at_the_end(rulebase: RuleBase) -> None:
    session = begun(rulebase, "card_holder")
    session.hear("done")
    assert session.hear("").lines == ["Nothing more to ask. Enter again to finish."]
    session.hear("change colour to black")
    assert not session.hear("").ended
    assert session.hear("").ended


@pytest.mark.parametrize(
    ("item", "question", "typed", "offer", "value"),
    [
        ("trouser_belt", "waist", "92", "92 cm?", 920.0),
        ("trouser_belt", "waist", "36", "36 in?", 914.4),
        ("dog_collar", "neck", "42", "42 cm?", 420.0),
        ("bifold_wallet", "width", "9", "9 in?", 228.6),
    ],
)
def test_a_bare_number_is_offered_with_its_unit(
    rulebase: RuleBase, item: str, question: str, typed: str, offer: str, value: float
) -> None:
    session = begun(rulebase, item)
    session.question = rulebase.attributes[question]
    session.hear(typed)
    assert session.prompt().startswith(offer)
    assert "(Enter: yes)" in session.prompt()
    assert question not in session.answers
    session.hear("")
    assert session.answers[question].values == pytest.approx((value,))


def test_enter_says_no_to_what_would_be_lost() -> None:
    session = heard("belt for jeans, waist 92 cm", "start again")
    assert "(Enter: no)" in session.prompt()
    session.hear("")
    assert session.item() == "trouser_belt"


def test_a_danger_is_asked_again_on_enter_and_not_twice_after_dont_know(rulebase: RuleBase) -> None:
    session = heard("a strap near the swing seat, 30 mm wide", "change item to band")
    dangers = {q.attribute for q in session.advice().dangers}
    assert dangers
    asked: list[str] = []
    while session.question is not None and session.question.name in dangers:
        name = session.question.name
        assert session.prompt().startswith("Safety first.")
        said = " ".join(session.hear("").lines)
        assert "I need your own answer" in said
        assert session.question.name == name
        assert name not in session.answers
        asked.append(name)
        session.hear("don't know")
    assert len(asked) == len(set(asked)) == len(dangers)
    while session.question is not None:
        assert session.question.name not in dangers
        session.hear("")
    said = " ".join(session.hear("").lines)
    assert "no order is shown until you answer" in said
    assert session.advice().verdict == "undecided"
    assert not any(session.question == rulebase.attributes[name] for name in dangers)


def test_help_is_eight_lines_and_each_topic_tells_more(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    said = session.hear("help").lines
    assert len(said) == 8
    topics = said[-1].partition(": ")[2].strip(".").split(", ")
    assert len(topics) == 5
    for topic in topics:
        assert len(session.hear(f"help {topic}").lines) >= 4
    assert session.hear("help answrs").lines == session.hear("help answers").lines


@pytest.mark.parametrize(("typed", "near"), [("hlep", "help"), ("exmples", "examples"), ("quti", "quit")])
def test_a_mistyped_command_is_told(rulebase: RuleBase, typed: str, near: str) -> None:
    session = Session(rulebase)
    assert f'Did you mean "{near}"?' in " ".join(session.hear(typed).lines)
    session = begun(rulebase, "card_holder")
    before = dict(session.answers)
    assert f'Did you mean "{near}"?' in " ".join(session.hear(typed).lines)
    assert session.answers == before


def test_six_examples_are_understood_each_as_another_thing(rulebase: RuleBase) -> None:
    said = examples(rulebase)
    assert len(said) == len({kind for kind, _ in said}) == 6
    things = set()
    for _, sentence in said:
        session = Session(rulebase)
        reply = session.hear(sentence)
        assert "Not understood" not in " ".join(reply.lines), reply.lines
        things.add(session.item())
    assert None not in things
    assert len(things) == 6
    assert all(sentence in "\n".join(Session(rulebase).hear("").lines) for _, sentence in said)


def test_the_order_so_far_has_at_most_four_lines(rulebase: RuleBase) -> None:
    for item in ("trouser_belt", "body_suspension", "tote_plain"):
        lines = begun(rulebase, item).order_so_far()
        assert 0 < len(lines) <= 4
        assert all(len(line) <= 160 for line in lines)


def test_no_choice_of_a_question_is_without_words(rulebase: RuleBase) -> None:
    asked: list[Attribute] = [a for a in rulebase.attributes.values() if a.ask != "never" and a.values]
    session = begun(rulebase, "card_holder")
    for question in (a for a in asked if a.name != "item"):
        session.question = question
        assert all(len(line) <= 110 for line in session.prompt().split("\n")[1:]), question.name
        well_put(session)

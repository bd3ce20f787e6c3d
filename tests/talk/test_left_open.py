"""Ranges and alternatives stay open and are reckoned with; changes give a receipt; what is safe stays the same.

What is said of them is held against fresh consultations.
"""

from __future__ import annotations

from advisor import consult
from advisor.reasoning.facts import Answer
from advisor.reasoning.record import Event, fold
from advisor.rulebase.models import RuleBase
from advisor.talk.recording import restored
from advisor.talk.session import Session


def tell(session: Session, *lines: str) -> str:
    said: list[str] = []
    for line in lines:
        said += session.hear(line).lines
    return " ".join(" ".join(said).split())


def test_a_range_is_never_made_one_value(session: Session, rulebase: RuleBase) -> None:
    said = tell(session, "belt for jeans, waist 92 cm, between 30 and 40 mm wide")
    assert "strap_width" not in session.answers
    assert "At every size tried from 30 mm to 40 mm the order is the same" in said
    orders = {
        consult(rulebase, {"item": "trouser_belt", "waist": "92 cm", "strap_width": mm}).decisions.weight.order_as
        for mm in (30, 34, 37, 40)
    }
    assert len(orders) == 1


def test_a_range_that_matters_says_what_its_ends_give(session: Session, rulebase: RuleBase) -> None:
    said = tell(session, "lead for a 30 kg dog, between 12 and 40 mm wide")
    ends = [
        consult(rulebase, {"item": "dog_lead", "load_mass": 30, "strap_width": mm}).decisions.weight.order_as
        for mm in (12, 40)
    ]
    if ends[0] != ends[1]:
        assert "At 12 mm:" in said
        assert "At 40 mm:" in said
    assert "strap_width" not in session.answers


def test_a_bare_range_answers_the_open_question(session: Session) -> None:
    session.hear("belt for jeans, waist 92 cm")
    while session.question is not None and session.question.name != "strap_width":
        session.hear("")
    said = tell(session, "between 30 and 40 mm")
    assert "from 30 mm to 40 mm" in said
    assert session.question is not None
    assert session.question.name == "strap_width"


def test_alternatives_are_weighed_and_not_picked(session: Session) -> None:
    said = tell(session, "card holder, carved or stamped")
    assert "decoration" not in session.answers
    assert "Carving:" in said
    assert "Stamping:" in said


def test_a_change_says_what_moved_and_what_went_to_sleep(session: Session) -> None:
    tell(session, "bifold wallet, carved, kept dry")
    assert "Outcome: another material" in tell(session, "change limits to no animal")
    assert "No longer in play" in tell(session, "forget limits")
    assert "Kept, but of no use now: blade length" in tell(session, "change blade to 110 mm")


def test_the_same_answers_give_the_same_advice_by_any_path(session: Session, rulebase: RuleBase) -> None:
    tell(
        session,
        "belt for jeans, 25 mm wide, waist 92 cm",
        "change water to sea",
        "what if it gets wet",
        "keep it",
        "change strap width to 38 mm",
        "change water to dry",
        "forget water",
        "don't know",
        "back",
    )
    told = {n: a for n, a in session.answers.items() if n in ("item", "strap_width", "waist")}
    session.answers.clear()
    session.answers.update(told)
    plain = {n: Answer(a.values) for n, a in told.items()}
    mine, fresh = session.advice().model_dump(), consult(rulebase, plain).model_dump()
    assert mine["decisions"] == fresh["decisions"]
    assert [c["id"] for c in mine["cautions"]] == [c["id"] for c in fresh["cautions"]]


def test_what_is_safe_leaves_the_order_as_it_is(session: Session, rulebase: RuleBase) -> None:
    said = tell(session, "belt for jeans, 38 mm wide, waist 92 cm, kept dry", "safe")
    assert "wet:" in said
    line = said.partition("wet:")[2].partition(".")[0]
    safe = [w.strip() for w in line.replace(" or ", ",").split(",") if w.strip() in rulebase.attributes["water"].values]
    before = session.advice().decisions
    for value in safe:
        answers = {**session.answers, "water": Answer((value,))}
        after = consult(rulebase, answers).decisions
        assert [c.chosen for c in after.choices().values()] == [c.chosen for c in before.choices().values()]
        assert after.weight.order_as == before.weight.order_as


def test_what_words_left_open_has_no_usual_value(session: Session) -> None:
    """Enter must not make an adult of a child whose age nobody said; nor one width of a span."""
    said = tell(session, "dog lead for my kid, between 15 and 20 mm wide")
    assert "The age of the kid is open" in said
    assert "Child under three:" in said
    for name in ("strap_width", "user_kind"):
        session.question = session.rulebase.attributes[name]
        # The age of a child is a danger that words raised, and is asked again; a width between two stays open.
        danger = name == "user_kind"
        assert ("no answer on Enter" if danger else "Enter: I don't know yet") in session.prompt()
        assert ("own answer" if danger else "OK, left open.") in tell(session, "")
        assert session.answers.get(name, Answer(())).values == ()
    tell(session, "change user kind to adult")
    session.question = session.rulebase.attributes["user_kind"]
    assert "Enter: keep adult" in session.prompt()


def test_what_words_left_open_is_still_open_when_a_chat_is_taken_up_again(rulebase: RuleBase) -> None:
    events: list[Event] = []
    first = Session(rulebase, listener=events.append)
    first.open()
    first.hear("satchel for a child")
    second = Session(rulebase)
    restored(second, fold(events))
    second.question = rulebase.attributes["user_kind"]
    assert "no answer on Enter" in second.prompt()

"""What a conversation makes of a danger denied and told after all, of a thing without a recipe, of the next thing.

What the trade makes of a strap over the bonnet of a car on the road is common practice: it must be rated.
"""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.talk.reply import Reply
from advisor.talk.session import Session

BASE = load_rulebase()
BELT = ("a belt for jeans, 38 mm wide, waist 92 cm, black", "done")


def talk(*lines: str) -> tuple[Session, Reply]:
    session = Session(BASE)
    reply = session.open()
    for line in lines:
        reply = session.hear(line)
    return session, reply


DENIED = ("a bonnet strap, 2 in wide", "no", "yes")


@pytest.mark.parametrize(
    ("lines", "later", "attribute"),
    [
        (DENIED, "it holds the bonnet of the car down on the road", "vehicle_part"),
        (DENIED, "it's a strap for the car", "vehicle_part"),
        (("a leather strap, 40 mm wide", "no"), "my grandson will hang from it", "bears_person"),
    ],
)
def test_a_danger_that_was_denied_is_asked_again_where_it_is_told(
    lines: tuple[str, ...], later: str, attribute: str
) -> None:
    session, _ = talk(*lines)
    if attribute not in session.answers:
        session.hear("nobody's weight is on it")
    assert session.answers[attribute].values == ("no",), session.answers
    reply = session.hear(later)
    assert attribute not in session.answers or session.answers[attribute].values == ("yes",)
    assert not any(line.startswith("ORDER") for line in reply.lines), reply.lines


def test_what_only_raises_it_is_asked_again_once() -> None:
    session, _ = talk(*DENIED, "it's a strap for the car", "no")
    assert session.answers["vehicle_part"].values == ("no",)
    session.hear("the strap is for the car, I said")
    assert session.answers["vehicle_part"].values == ("no",)


def test_where_no_order_can_stand_nothing_more_is_asked() -> None:
    session, reply = talk("a bonnet strap, 2 in wide", "yes", "yes")
    assert session.question is None
    assert "rated" in " ".join(reply.lines)
    assert not any(line.startswith("ORDER") for line in reply.lines)


@pytest.mark.parametrize("answer", ["yes", "1", "ok, go by that"])
def test_of_a_thing_without_a_recipe_the_nearest_is_offered_and_keeps_what_was_said(answer: str) -> None:
    session, reply = talk("a bonnet strap, 2 in wide", "no")
    assert "The nearest I have is luggage strap" in " ".join(reply.lines)
    session.hear(answer)
    assert session.item() == "luggage_strap"
    assert session.answers["strap_width"].values == (50.8,)
    assert "width" not in session.answers


def test_what_is_near_is_taken_by_no_other_word() -> None:
    session, _ = talk("a bonnet strap, 2 in wide", "no", "something else")
    assert session.item() is None


@pytest.mark.parametrize(
    ("line", "item"),
    [
        ("tote bag", "tote_plain"),
        ("now a collar for my spaniel, neck about 38 cm", "dog_collar"),
        ("next customer: guitar strap", "guitar_strap"),
        ("and a pouch to match", "turned_pouch"),
        ("I need a buckle for it", "trouser_belt"),
        ("make it brown", "trouser_belt"),
        ("a keeper", "trouser_belt"),
    ],
)
def test_what_is_named_after_an_order_is_the_next_thing_unless_it_is_a_part(line: str, item: str) -> None:
    session, _ = talk(*BELT, line)
    assert session.item() == item
    if item != "trouser_belt":
        assert "waist" not in session.answers

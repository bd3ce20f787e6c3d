"""Several questions answered in one line: in their order, as a box, or part by part."""

from __future__ import annotations

from typing import Literal

import pytest

from advisor.reasoning.record import Asked, Event, fold
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session
from advisor.talk.together import by_parts, in_order

SIZES = ("strap_width", "width", "height", "depth")
PEOPLE = ("user_kind", "allergy", "limits")


@pytest.mark.parametrize(
    ("text", "units", "sizes"),
    [
        ("25, 350 x 400", "mm", {"strap_width": 25, "width": 350, "height": 400}),
        ("350 x 400", "mm", {"width": 350, "height": 400}),
        ("350x400x120 mm", "mm", {"width": 350, "height": 400, "depth": 120}),
        # One inch is 25.4 mm exactly; the unit behind a box is that of all its sizes.
        ("14 x 16 in", "mm", {"width": 355.6, "height": 406.4}),
        ("1 in, 14 x 16 in", "mm", {"strap_width": 25.4, "width": 355.6, "height": 406.4}),
        ("1 1/2, 12", "inch", {"strap_width": 38.1, "width": 304.8}),
        ("30; 350; 400; 12 cm", "mm", {"strap_width": 30, "width": 350, "height": 400, "depth": 120}),
        ("30 mm, 35 cm, 40 cm, 12 cm", "mm", {"strap_width": 30, "width": 350, "height": 400, "depth": 120}),
        ("400", "mm", {"width": 400}),
        ("22", "mm", {"strap_width": 22}),
        ("1, 2, 3, 4, 5", "mm", {}),
        ("wide, tall", "mm", {}),
    ],
)
def test_sizes_are_taken_in_the_order_asked(
    rulebase: RuleBase, text: str, units: Literal["mm", "inch"], sizes: dict[str, float]
) -> None:
    found = in_order([rulebase.attributes[n] for n in SIZES], text, units)
    assert {name: answer.values[0] for name, answer in found.items()} == pytest.approx(sizes)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("adult, none, none", {"user_kind": ("adult",), "allergy": ("none",), "limits": ("none",)}),
        ("adult, none", {"user_kind": ("adult",), "allergy": ("none",), "limits": ("none",)}),
        ("no", {"allergy": ("none",), "limits": ("none",)}),
        ("nickel, vegan", {"allergy": ("nickel",), "limits": ("no_animal",)}),
        ("no pig", {"limits": ("no_pig",)}),
        ("don't know", {"user_kind": (), "allergy": (), "limits": ()}),
        ("adult, don't know", {"user_kind": ("adult",), "allergy": (), "limits": ()}),
        ("purple", {}),
    ],
)
def test_a_part_of_a_line_answers_the_question_it_can(
    rulebase: RuleBase, text: str, said: dict[str, tuple[str, ...]]
) -> None:
    found, _ = by_parts(rulebase, [rulebase.attributes[n] for n in PEOPLE], text)
    assert {name: answer.values for name, answer in found.items()} == said


def test_what_is_not_understood_is_named_and_nothing_is_taken(rulebase: RuleBase) -> None:
    session = Session(rulebase, brief=True)
    session.hear("tote bag")
    open_before, answers = session.questions, dict(session.answers)
    said = " ".join(session.hear("qwerty").lines)
    assert "Not understood: qwerty." in said
    assert "Say strap width, finished width, finished height and depth" in said
    assert (session.questions, session.answers) == (open_before, answers)
    # A part that is a sentence of its own is read as one beside the parts in order.
    said = " ".join(session.hear("38 cm wide, sparkly").lines)
    assert "a bag 38 cm wide" in said
    assert "Not understood: sparkly." in said


def test_what_follows_the_sizes_is_read_too(rulebase: RuleBase) -> None:
    session = Session(rulebase, brief=True)
    session.hear("dog collar")
    assert [q.name for q in session.questions] == ["strap_width", "neck"]
    said = " ".join(session.hear("25, 40 cm, 20 kg, solid brass").lines)
    assert "a collar 25 mm wide; a dog's neck of 40 cm" in said
    assert "a dog of 20 kg" in said
    assert session.answers["hardware_metal"].values == ("brass_solid",)


def test_the_record_knows_which_questions_were_open_together(rulebase: RuleBase) -> None:
    events: list[Event] = []
    session = Session(rulebase, brief=True, listener=events.append)
    session.open()
    session.hear("tote bag")
    last = events[-1]
    assert isinstance(last, Asked)
    assert (last.question, last.beside) == (session.questions[0].name, tuple(q.name for q in session.questions[1:]))
    session.hear("25, 350 x 400")
    assert fold(events).asked == session.asked == ["item", "strap_width", "width", "height"]

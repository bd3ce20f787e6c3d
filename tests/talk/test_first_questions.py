"""What a first sentence asks is answered only where its own words surely ask it, and silence is kept otherwise.

Of 600 first lines of ten blind batches 265 ask something. Judged strictly by the hand that mended them, 26 of 110
answers with a content were to the point while a word anywhere in the line was enough, and 24 of 27 since. The sentences
here are of no batch and were written before the classes behind them were mended (common practice, from memory).
"""

from __future__ import annotations

import pytest

from advisor.read.acts import acts_of
from advisor.read.questions import topic_sure
from advisor.rulebase.models import RuleBase
from advisor.talk.direct import direct_answers, first_acts
from advisor.talk.matter import Matter
from advisor.talk.recording import consulted


def answered(rulebase: RuleBase, line: str) -> str:
    """What is told of the questions of a first line, where nobody can be asked back."""
    made = consulted(rulebase, line, None)
    matter = Matter(rulebase, made.answers, advised=lambda: made.advice)
    return " ".join(direct_answers(matter, line, silent=True))


@pytest.mark.parametrize(
    "line",
    [
        "a tote bag, is your shop flat access for a wheelchair?",
        "belt for a costume, do you know if the fair is on this weekend?",
        "a lead for the dog, she rolls in mud and scratches, is she going to hate it?",
        "wallet please, my last one had a scratch and the flap stopped, what was that about?",
        "cushion cover, could you keep the rolled one by for me till friday?",
        "an apron, is there parking near you?",
        "book cover; would the pages mind?",
        "sheath for my garden knife, did your lot move from the market?",
    ],
)
def test_what_is_asked_of_something_else_is_left_alone(rulebase: RuleBase, line: str) -> None:
    assert any(act.kind in ("question", "request") for act in acts_of(line))
    assert answered(rulebase, line) == ""


@pytest.mark.parametrize(
    ("asked", "topic"),
    [
        ("will it stretch out of shape with a phone in it", "stretch"),
        ("will it crack after a couple of years", "peel"),
        ("does the inside shed bits", "sheds"),
        ("one layer or should I glue two together", "one_layer"),
        ("do I need two leathers for it or is one enough", "two_leathers"),
        ("is one shoulder enough for the lot", "enough"),
        ("can I just glue it and not stitch", "glued_alone"),
        ("can I cut them with kitchen scissors", "scissors"),
        ("how much will the leather come to", "cost"),
        ("does it take a stamp", "decorate"),
        ("what colours could I have it in", "colour"),
        ("do the edges fray", "frays"),
        ("do you punch the holes for people", "service"),
        ("will it scuff if it rattles about with her keys", "scratch"),
        ("is there a step", ""),
        ("do you know when the flat one in the window is sold", ""),
    ],
)
def test_a_question_by_itself_is_surely_understood_or_not_at_all(rulebase: RuleBase, asked: str, topic: str) -> None:
    found = topic_sure(rulebase, asked)
    assert (found.name if found else "") == topic


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("a tote bag 40 x 35 cm, is one side enough?", "Yes, 1 side is enough."),
        ("6 dog collars 25 mm wide, neck 45 cm, veg tan, is one single shoulder enough?", "Not single shoulder: "),
        ("20 luggage tags, veg tan natural. is one strap blank enough?", "No, it takes "),
        ("12 coasters, can I cut them with kitchen scissors?", "No: scissors crush leather this thick"),
        ("camera strap, I'm worried the colour will come off on my shirt", "damp white cloth"),
    ],
)
def test_the_answer_is_true_of_the_leather_advised(rulebase: RuleBase, line: str, says: str) -> None:
    assert says in answered(rulebase, line)


def test_of_a_worry_what_is_feared_is_asked() -> None:
    text = "A wallet. I'm worried the finish peels off"
    asked = [text[a.start : a.end] for a in first_acts(text) if a.kind == "question"]
    assert asked == ["the finish peels off"]


@pytest.mark.parametrize(
    ("text", "clauses"),
    [
        ("a belt, waist 90 cm. will it crack in time?", ["a belt, waist 90 cm", "will it crack in time"]),
        ("leather for a dice tray, one layer or two?", ["leather for a dice tray", "one layer or two"]),
        ("a belt 38 mm. wide and brown", ["a belt 38 mm. wide and brown"]),
    ],
)
def test_where_a_question_begins_behind_a_measure(text: str, clauses: list[str]) -> None:
    assert [text[a.start : a.end] for a in acts_of(text)] == clauses

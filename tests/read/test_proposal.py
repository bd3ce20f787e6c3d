"""The words for an offered leather, the questions that hold one, and second opinions in the conversation.

What the words mean is common practice; ounces are those of ASTM D1814 (1/64 in), from memory.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor import AnswerError, load_rulebase
from advisor.read.offered import Offer, phrases, question_in, read_leather, read_points
from advisor.read.reader import read_sentence
from advisor.reasoning.review import Proposal
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session

BASE = load_rulebase()
CHROME = BASE.decisions["tannage"].groups["chrome"]
VEGETABLE = BASE.decisions["tannage"].groups["vegetable"]
MM = 25.4 / 64


def tell(session: Session, *lines: str) -> str:
    return "\n".join(line for said in lines for line in session.hear(said).lines)


@pytest.mark.parametrize(
    ("text", "choices", "weight"),
    [
        ("2.5 mm chrome side, top grain", {"tannage": CHROME, "cut": ("side",), "form": ("side",)}, (2.5, 2.5)),
        ("8-10 oz vegetable bridle", {"tannage": ("veg_bridle",)}, (8 * MM, 10 * MM)),
        ("1/8 in latigo", {"tannage": ("latigo",)}, (3.175, 3.175)),
        ("veg-tanned, 3.5-4 mm", {"tannage": VEGETABLE}, (3.5, 4)),
        ("milled chrome tanned double shoulder", {"tannage": ("chrome_milled",), "form": ("shoulder_double",)}, None),
        ("horse butt", {"species": ("horse",), "cut": ("butt",)}, None),
        ("2 belt blanks", {"form": BASE.decisions["form"].groups["strap_blanks"]}, None),
        ("9 iron sole leather", {"tannage": ("veg_sole",)}, (9 * 25.4 / 48, 9 * 25.4 / 48)),
    ],
)
def test_words_are_read_as_the_trade_means_them(
    text: str, choices: dict[str, tuple[str, ...]], weight: tuple[float, float] | None
) -> None:
    offer = read_leather(BASE, text)
    assert {n: set(c) for n, c in offer.proposal.choices.items()} == {n: set(c) for n, c in choices.items()}
    assert not offer.unread
    assert not offer.doubts
    if weight is None:
        assert offer.proposal.weight is None
    else:
        assert offer.proposal.weight is not None
        assert (offer.proposal.weight.low, offer.proposal.weight.high) == pytest.approx(weight, abs=0.001)


def test_labels_counts_and_areas_are_read() -> None:
    assert read_leather(BASE, "genuine leather, PU coated").proposal.label == ("genuine_leather", "pu_coated")
    assert read_leather(BASE, "two 12x12 panels").proposal.count == 2
    # 1 sq ft is 9.290304 dm2.
    assert read_leather(BASE, "a 6 sq ft goat skin").proposal.area == pytest.approx(55.742, abs=0.001)


def test_what_is_not_read_is_named_and_nothing_is_guessed() -> None:
    assert read_leather(BASE, "oak bark bend, grade A").unread == ("oak", "bark", "grade")
    offer = read_leather(BASE, "3/4 oz veg")
    assert offer.proposal.weight is None
    assert "write 3-4 oz" in offer.doubts[0]
    assert read_leather(BASE, "not chrome").proposal.choices == {}
    assert read_leather(BASE, "chrome-free").proposal.choices == {}
    assert "cannot both be meant" in read_leather(BASE, "latigo or rawhide").doubts[0]


@given(st.lists(st.sampled_from(sorted(" ".join(k) for k in phrases(BASE))) | st.text(max_size=12), max_size=8))
@settings(max_examples=150, deadline=None)
def test_no_text_at_all_breaks_the_reading(parts: list[str]) -> None:
    offer = read_leather(BASE, " ".join(parts))
    assert isinstance(offer, Offer)
    for name, candidates in offer.proposal.choices.items():
        assert candidates
        assert set(candidates) <= BASE.decisions[name].candidates.keys()


def test_points_are_answers_with_errors_that_help() -> None:
    points = read_points(BASE, {"tannage": "chrome", "weight": "2.5 mm", "amount": "2 sides", "label": "PU coated"})
    assert points.choices["tannage"] == CHROME
    assert points.count == 2
    assert points.label == ("pu_coated",)
    for name, value, near in (("tanage", "chrome", "tannage"), ("tannage", "lattigo", "latigo")):
        with pytest.raises(AnswerError) as caught:
            read_points(BASE, {name: value})
        assert caught.value.near == near
    with pytest.raises(AnswerError, match="expected a thickness"):
        read_points(BASE, {"weight": "chrome"})


@pytest.mark.parametrize(
    ("text", "leather", "job"),
    [
        ("would 2 mm chrome do", "2 mm chrome", ""),
        ("is 2 mm chrome side all right for a belt?", "2 mm chrome side", "a belt"),
        ("Second opinion on 3 mm veg for a tote", "3 mm veg", "a tote"),
        ("I was offered a bonded sheet for a wallet.", "a bonded sheet", "a wallet"),
        ("is 2 mm too thin?", "2 mm", ""),
        ("will a bend be enough for ten belts", "a bend", "ten belts"),
    ],
)
def test_questions_for_a_second_opinion_are_taken_apart(text: str, leather: str, job: str) -> None:
    assert question_in(text) == (leather, job)


@pytest.mark.parametrize("text", ["belt", "38 mm", "would you?", "it is for my dog", "don't know", ""])
def test_other_sentences_are_no_such_question(text: str) -> None:
    assert question_in(text) is None


@pytest.mark.parametrize(
    ("text", "choices", "mm"),
    [
        ("belt from 2.5 mm leather", {}, 2.5),
        ("a belt of 8 oz leather", {}, 8 * MM),
        ("tote in 1.2 mm milled chrome", {"tannage": ("chrome_milled",)}, 1.2),
        ("chest rig for a stage play, wants 2 mm chrome", {"tannage": CHROME}, 2.0),
        ("bridle leather belt", {"tannage": ("veg_bridle",)}, None),
        ("belt with chrome buckle", {}, None),
        ("wallet, not 3 mm leather", {}, None),
        ("belt, 38 mm wide", {}, None),
        ("wallet, chrome-free", {}, None),
        ("harness that will not let me fall", {}, None),
    ],
)
def test_a_leather_named_beside_the_job_is_handed_over(
    text: str, choices: dict[str, tuple[str, ...]], mm: float | None
) -> None:
    proposal = read_sentence(BASE, text).proposal
    assert dict(proposal.choices) == choices
    assert (proposal.weight.low if proposal.weight else None) == pytest.approx(mm, abs=0.001)


def test_the_chat_gives_a_second_opinion_and_changes_nothing(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    session.hear("belt for jeans")
    before, prompt = dict(session.answers), session.prompt()
    said = tell(session, "would 2 mm chrome do?")
    assert "No, not chrome." in " ".join(said.split())
    assert "No, 2 mm (5 oz) is too thin for the trouser belt; order 3.2" in " ".join(said.split())
    assert "Yes" in tell(session, "is 3.5 mm bridle all right")
    assert "Plain tote." in tell(session, "would 1.5 mm milled chrome do for a tote")
    assert (session.answers, session.prompt()) == (before, prompt)


def test_the_chat_compares_a_thickness_that_is_said(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    said = tell(session, "belt from 2.5 mm leather")
    assert '2.5 mm is too thin by 0.3 mm (0.8 oz). For the reasons: type "review".' in said
    assert "At least 2.8 mm" in tell(session, "review")
    assert "Chrome does not suit it; veg-tan tooling leather would." in tell(session, "2 mm chrome")


def test_the_chat_asks_for_what_it_lacks(rulebase: RuleBase) -> None:
    session = Session(rulebase)
    assert "Say which leather" in tell(session, "second opinion")
    assert "Say first what you are making" in tell(session, "would 2 mm chrome do")
    assert session.proposal != Proposal()
    said = tell(session, "I was offered a 2 mm chrome side for a belt")
    assert "Understood: trouser belt." in said
    assert "item" in session.answers
    assert "too thin for the trouser belt" in tell(session, "would purple 2 mm do")

"""Second opinions in the conversation: what is offered, for what job, and what is found of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..read.offered import question_in, read_leather
from ..read.reader import Reading, read_sentence
from ..reasoning.judging import review
from ..reasoning.review import Proposal
from .reviewing import review_lines, short_words

if TYPE_CHECKING:
    from .session import Session

ASK = 'type "review"'
_NO_LEATHER = 'Say which leather: "would 2 mm chrome do", or "I was offered a 3 mm bridle side".'
_NO_ITEM = 'Say first what you are making, or add it: "would 2 mm chrome do for a belt".'


def opinion_lines(session: Session, text: str) -> list[str]:
    """The second opinion that ``text`` asks for; ``review`` alone is about the leather said before.

    A job named in it is used for this opinion; only when nothing was known yet is it kept.
    """
    leather, job = question_in(text) or ("", "")
    offer = read_leather(session.rulebase, leather)
    proposal = offer.proposal if leather else session.proposal
    lines = list(offer.doubts)
    if offer.unread:
        lines.append(f"Not understood: {', '.join(offer.unread)}.")
    if not proposal.points():
        return [*lines, _NO_LEATHER]
    answers = dict(session.answers)
    if job:
        reading = read_sentence(session.rulebase, job, None, session.units)
        if "item" not in reading.answers:
            reading = read_sentence(session.rulebase, job, session.item(), session.units)
        answers |= reading.answers
        lines += map(str, reading.doubts)
        lines += [f"Understood: {reading.summary()}."] if reading.answers else []
        lines += [f"Not understood: {', '.join(reading.unread)}."] if reading.unread else []
    session.proposal = proposal
    if not answers.get("item"):
        return [*lines, _NO_ITEM]
    if not session.answers.get("item"):
        session.answers = answers
    found = review(session.rulebase, answers, proposal, house=session.house)
    return [*lines, *review_lines(session.rulebase, found, session.width, session.units)]


def said_lines(session: Session, reading: Reading) -> list[str]:
    """What is found, in a line, of a leather that was named beside the job."""
    if reading.proposal == Proposal() or "item" not in session.answers:
        return []
    session.proposal = reading.proposal
    line = short_words(review(session.rulebase, session.answers, reading.proposal, house=session.house), ASK)
    return [line] if line else []

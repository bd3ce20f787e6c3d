"""A guard against asking in a circle: other words the third time, then the usual is taken; never for a danger."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ..reasoning.facts import Answer
from ..rulebase.models import Attribute
from ..rulebase.saying import asked
from ..write.names import attribute_called
from ..write.page import capital, numbered_lines
from .enter import ALARMING, enter_words, meaning, take_enter
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

OTHER_WORDS, TAKE = 2, 3
"""After how many answers that fit nothing a question is put in other words, and after how many Enter is taken."""
GRAVE = (*ALARMING, "load")
"""Groups of questions about what may hurt somebody."""
CANT_SAY = "0 I can't say"


def missed(session: Session, question: Attribute, reply: Reply, before: Mapping[str, Answer]) -> Reply:
    """The reply to a line that did not answer ``question``, which is not put a third time in the same words.

    A line that told something else that is new, beside the answers ``before``, counts for nothing.
    """
    if session.answers != before:
        return reply
    still = session.question is question and question.name not in session.answers and session.pending is None
    if not still or reply.ended:
        session.missed = {}
        return reply
    times = session.missed.get(question.name, 0) + 1
    session.missed = {question.name: times}
    if times < OTHER_WORDS:
        return reply
    if times < TAKE:
        return Reply(reply.lines, session.prompt())
    if meaning(session, question).does == "ask" or question.group in GRAVE:
        return Reply([*reply.lines, how_to_answer(question)], session.prompt())
    went_on = take_enter(session)
    said = "I go on with what is usual; any later line can change it."
    return Reply([*reply.lines, said, *went_on.lines], went_on.prompt)


def how_to_answer(question: Attribute) -> str:
    """In which words a question about a danger can be answered."""
    if set(question.values) == {"yes", "no"}:
        return 'Somebody may be hurt here, so I guess nothing. Type just "yes", "no" or "don\'t know".'
    if question.numeric:
        return 'Somebody may be hurt here, so I guess nothing. Type a number with its unit, or "don\'t know".'
    return 'Somebody may be hurt here, so I guess nothing. Type the number in front of what is so, or "don\'t know".'


def in_other_words(session: Session, question: Attribute) -> list[str]:
    """The question put another way: what it is about, and each choice by what it means."""
    called = capital(attribute_called(session.rulebase, question.name))
    said = f"{called}, in other words: {asked(session.rulebase, question.name, session.item() or '').help}"
    enter = enter_words(session, question)
    if question.numeric or not question.values:
        return [f'{said} A number with its unit, or "don\'t know".  ({enter})']
    means = [value.means for value in question.values.values()]
    return [f"{said} Type one number.  ({enter})", *numbered_lines(means, session.width), f"  {CANT_SAY}"]


def turned_round(session: Session, question: Attribute) -> bool:
    """Whether a question is now put in other words."""
    return session.missed.get(question.name, 0) >= OTHER_WORDS


def cannot_say(session: Session, question: Attribute, text: str) -> bool:
    """Whether "0" picks that somebody cannot say."""
    return turned_round(session, question) and not question.numeric and text.strip(" .)") == "0"

"""The check before the end: all answers numbered, in words; a number changes that one, Enter ends."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ..read.answers import read_answer
from ..read.courtesies import agrees, wants_the_order
from ..write.names import values_called
from ..write.page import capital
from .answering import answer_question
from .changing import answers_told
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

_NUMBERED = re.compile(
    r"(?:number |nr\.? |no\.? )?(\d{1,2})(?:\s*[:.)=-]\s*|\s+(?:is |should be |to |make it )?)(.+)", re.IGNORECASE
)
PROMPT = "Is that right?  (Enter: yes, finish; a number: change that answer)"


def check(session: Session, lines: list[str]) -> Reply:
    """``lines``, and every answer with its number, to be looked over."""
    session.question, session.checking = None, True
    listed = [f"  {n}  {capital(_said(session, name))}" for n, name in enumerate(answers_numbered(session), 1)]
    return Reply([*lines, "Your answers:", *listed], session.prompt())


def _said(session: Session, name: str) -> str:
    """An answer in words; of one left open also what is assumed meanwhile."""
    if name == "item" and session.item():
        return session.thing(str(session.item()))
    usual = session.usual(session.rulebase.attributes[name]) if not session.answers[name].values else ()
    assumed = f"; {values_called(session.rulebase, name, usual, session.units)} assumed" if usual else ""
    return f"{session.said(name)}{assumed}"


def answers_numbered(session: Session) -> list[str]:
    """The answers that a number picks, in the order in which they were given."""
    return answers_told(session)


def checked(session: Session, text: str) -> Reply | None:
    """Enter ends, a number puts that question once more, or changes it ("2 7 cm"); None for anything else."""
    if not text or agrees(text) or wants_the_order(text):
        session.checking, session.checked = False, True
        return session.finish()
    said, names = text.strip(" .#"), answers_numbered(session)
    if (both := _NUMBERED.fullmatch(said)) and 0 < int(both[1]) <= len(names):
        question = session.rulebase.attributes[names[int(both[1]) - 1]]
        found = read_answer(session.rulebase, question, both[2], session.units)
        if question.name != "item" and found and found.meant == "value" and not found.rest:
            session.checking, session.question = False, question
            return answer_question(session, question, both[2])
    if not said.isdecimal() or not 0 < int(said) <= len(names):
        return None
    session.checking = False
    session.question = session.rulebase.attributes[names[int(said) - 1]]
    return Reply([], session.prompt())

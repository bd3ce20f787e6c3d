"""What Enter alone means on a question: shown before it is pressed, and never a size that nobody can guess.

A danger is asked again, a size that has to be measured stays open, as does whom it may hurt; else the usual is taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from ..reasoning.facts import Answer
from ..rulebase.asking import asking_of
from ..rulebase.models import Attribute, Value
from ..write.names import assumed_called, rounded, values_called
from ..write.page import listed
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

ALARMING = ("people", "limits")
"""Groups of what may hurt somebody: a question about them counts as well, and Enter never says "none" to them."""
OWN_ANSWER = 'Somebody may be hurt here, so I need your own answer. "Don\'t know" leaves it open, without an order.'
NONE = "none"
OPEN, WITH_NONE = "I don't know yet", "leave it open"
"""What Enter says; where "none" could be the answer it must not sound like one, since nothing is ruled out by it."""
LEFT_OPEN = "OK, left open."


@dataclass(frozen=True, slots=True)
class Meaning:
    """What Enter does: asks again, leaves open, keeps the answer there is, or takes ``values``."""

    does: Literal["ask", "open", "keep", "take"]
    values: tuple[Value, ...] = ()


def meaning(session: Session, question: Attribute) -> Meaning:
    """What Enter alone does on this question now."""
    held = session.answers.get(question.name)
    if waits(session, question.name):
        return Meaning("ask")
    if held is not None:
        return Meaning("keep", held.values) if held.values else Meaning("open")
    if question.name in asking_of(session.rulebase, session.item()).measured or question.name in session.hanging:
        return Meaning("open")
    if usual := session.known(question):
        return Meaning("take", tuple(rounded(session.rulebase, question.name, usual, session.units)))
    if NONE in question.values and question.group not in ALARMING:
        return Meaning("take", (NONE,))
    return Meaning("open")


def enter_words(session: Session, question: Attribute) -> str:
    """What Enter does, in words for the question itself."""
    if question.name == "item" and session.item() is None:
        return "Enter: examples"
    found = meaning(session, question)
    if found.does == "ask":
        return "no answer on Enter: somebody may be hurt"
    if found.does == "open":
        return f"Enter: {WITH_NONE if NONE in question.values else OPEN}"
    said = values_called(session.rulebase, question.name, found.values, session.units)
    return f"Enter: keep {said}" if found.does == "keep" else f"Enter: {said}"


def take_enter(session: Session) -> Reply:
    """Enter alone on what is open: each question as its meaning was shown."""
    meant = {q.name: meaning(session, q) for q in session.questions}
    if any(m.does == "ask" for m in meant.values()):
        return session.again([OWN_ANSWER])
    taken = {n: m.values for n, m in meant.items() if m.does == "take"}
    opened = [n for n, m in meant.items() if m.does == "open"]
    session.answers |= {n: Answer(values, "known", "answered") for n, values in taken.items()}
    session.answers |= {n: Answer((), "don't know") for n in opened}
    lines = [f"OK: {listed(session.said(n) for n in taken)}."] if taken else []
    if any(m.does == "keep" for m in meant.values()):
        lines.append("Kept as it is.")
    return session.go_on([*lines, *left_open(session, opened)])


def left_open(session: Session, names: list[str]) -> list[str]:
    """That questions stay open; of a size that has to be measured, what is assumed until then."""
    if not names:
        return []
    return measure_first(session, names) or [LEFT_OPEN]


def measure_first(session: Session, names: list[str]) -> list[str]:
    """The sizes among ``names`` that somebody has to measure and that are assumed meanwhile, in one sentence."""
    measured = asking_of(session.rulebase, session.item()).measured
    known = session.consultation().known
    sizes = [
        assumed_called(session.rulebase, n, known[n].values, session.item(), session.units)
        for n in names
        if n in measured and n in known and known[n].origin == "supposed" and known[n].values
    ]
    return [f"I assume {listed(sizes)} until you know: measure before you buy."] if sizes else []


def waits(session: Session, name: str) -> bool:
    """Whether a danger that words raised waits for this question, so that nothing may be taken for its answer."""
    return any(question.attribute == name for question in session.advice().dangers)

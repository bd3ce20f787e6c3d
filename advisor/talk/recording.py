"""A conversation as events: what is kept of every line, and the same made anew from a log.

Whoever listens is given each event as it happens; a line that was typed comes before it is answered.
Where the events go is not known here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from ..reasoning.advice import Advice
from ..reasoning.consult import Consultation
from ..reasoning.facts import Answer
from ..reasoning.record import Asked, Ended, Event, Explained, Read, Typed, changes, conclusions, said_of
from ..reasoning.report import report
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from .reading import Reading, read_words
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

Keep = Callable[[Event], None]


MAX_LINE = 20_000


def writable(line: str) -> str:
    """The line as it can be kept: what is no text becomes a mark, and nobody reads past the cut."""
    return line.rstrip("\r\n")[:MAX_LINE].encode("utf-8", "surrogatepass").decode("utf-8", "replace")


def recorded(session: Session, line: str, keep: Keep) -> Reply:
    """One line heard, with everything that follows from it kept."""
    line = writable(line)
    before, question = dict(session.answers), session.question
    keep(Typed(line=line))
    session.reading = None
    reply = session.respond(line)
    if session.reading is not None:
        keep(_read(session.reading))
    changed = changes(before, session.answers)
    for change in changed:
        keep(change)
    if changed:
        for event in _concluded(session.rulebase, session.answers, session.house)[1]:
            keep(event)
    elif session.by_command and not reply.ended and session.question is question:
        keep(Explained(asked=line))
    if reply.ended:
        keep(Ended())
    else:
        keep(asked(session))
    return reply


def asked(session: Session) -> Asked:
    """The question now open."""
    return Asked(question=session.question.name if session.question else None, more=session.further)


def recommended(
    rulebase: RuleBase, words: Sequence[str], house: House | None, keep: Keep
) -> tuple[Reading, Mapping[str, Answer], Advice]:
    """One consultation without questions: what was read, all answers and the advice.

    It is kept when all of it could be used. Raises AdvisorError before that.
    """
    line = writable("\n".join(" ".join(word.split()) for word in words))
    reading, answers = read_words(rulebase, line.split("\n"))
    advice, concluded = _concluded(rulebase, answers, house)
    for event in (Typed(line=line), _read(reading), *changes({}, answers), *concluded, Ended()):
        keep(event)
    return reading, answers, advice


def _read(reading: Reading) -> Read:
    understood = {name: said_of(answer) for name, answer in reading.answers.items()}
    return Read(understood=understood, unread=list(reading.unread), doubts=list(reading.doubts))


def _concluded(
    rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None
) -> tuple[Advice, list[Event]]:
    run = Consultation(rulebase, answers, house=house)
    advice = report(run)
    return advice, conclusions(advice, run.known)

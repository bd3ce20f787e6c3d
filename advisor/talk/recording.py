"""A conversation as events: what is kept of every line, and the same made anew from a log.

Whoever listens is given each event as it happens; a line that was typed comes before it is answered.
Where the events go is not known here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from ..leather.units import Units
from ..read.numbers import measures, systems_said
from ..read.reader import Reading, read_words
from ..reasoning.advice import Advice
from ..reasoning.consult import Consultation
from ..reasoning.facts import Answer
from ..reasoning.record import (
    Asked,
    Ended,
    Event,
    Explained,
    Folded,
    Manner,
    Read,
    Typed,
    changes,
    conclusions,
    said_of,
    usable,
)
from ..reasoning.report import report
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from .page import Page, listed, plain
from .reply import Reply
from .telling import answer_words

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
    before, questions = dict(session.answers), session.questions
    keep(Typed(line=line))
    session.reading = None
    reply = session.respond(line)
    if session.reading is not None:
        keep(_read(session.reading))
    changed = changes(before, session.answers)
    for change in changed:
        keep(change)
    if changed:
        for event in conclusions(session.advice(), session.consultation().known):
            keep(event)
    elif session.by_command and not reply.ended and session.questions == questions:
        keep(Explained(asked=line))
    if reply.ended:
        keep(Ended())
    else:
        keep(asked(session))
    return reply


def restored(session: Session, state: Folded) -> Reply:
    """A conversation taken up again where ``state`` left it; answers that the rules cannot take are named."""
    rulebase = session.rulebase
    session.answers = usable(rulebase, state.answers)
    session.asked = [name for name in state.asked if name in session.answers]
    session.further, session.hanging = state.more, set(state.hanging)
    session.remarked = dict(session.answers)
    session.written = systems_said("\n".join(a.words for a in session.answers.values()))
    lost = [name for name in state.answers if name not in session.answers]
    page = Page(session.width, session.units)
    answers = [answer_words(rulebase, name, said_of(answer), session.units) for name, answer in session.answers.items()]
    page.add(f"Restored: {listed(answers) or 'no answers yet'}.")
    if lost:
        page.add(f"These rules cannot take, and dropped: {listed(plain(n) for n in lost)}.")
    session.question = rulebase.attributes.get(state.question or "item")
    beside = [rulebase.attributes[n] for n in state.beside if n in rulebase.attributes and n not in session.answers]
    if session.question is not None and session.question.name not in session.answers:
        session.questions = (session.question, *beside)
    if state.question is None and "item" in session.answers:
        session.question = None
        reply = session.finish(page.lines)
    elif session.question is None or session.question.name in session.answers:
        reply = session.go_on(page.lines)
    else:
        reply = session.again(page.lines)
    if session.listener:
        session.listener(asked(session))
    return reply


def asked(session: Session) -> Asked:
    """The question now open."""
    names = tuple(q.name for q in session.questions)
    manner = Manner(units=session.wanted, brief=session.brief)
    hanging = tuple(sorted(session.hanging - session.answers.keys()))
    return Asked(
        question=names[0] if names else None, beside=names[1:], hanging=hanging, more=session.further, manner=manner
    )


def recommended(
    rulebase: RuleBase, words: Sequence[str], house: House | None, keep: Keep, wanted: Units | None = None
) -> tuple[Reading, Mapping[str, Answer], Advice]:
    """One consultation without questions: what was read, all answers and the advice. ``wanted`` are the measures.

    It is kept when all of it could be used. Raises AdvisorError before that.
    """
    line = writable("\n".join(" ".join(word.split()) for word in words))
    reading, answers = read_words(rulebase, line.split("\n"), measures(wanted, line))
    run = Consultation(rulebase, answers, house=house)
    advice = report(run)
    concluded = conclusions(advice, run.known)
    for event in (Typed(line=line), _read(reading), *changes({}, answers), *concluded, Ended()):
        keep(event)
    return reading, answers, advice


def _read(reading: Reading) -> Read:
    understood = {name: said_of(answer) for name, answer in reading.answers.items()}
    return Read(understood=understood, unread=list(reading.unread), doubts=list(reading.doubts))

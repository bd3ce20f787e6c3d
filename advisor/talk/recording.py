"""A conversation as events: what is kept of every line, and the same made anew from a log.

Whoever listens is given each event as it happens; a line that was typed comes before it is answered.
Where the events go is not known here. A line that runs into a fault of the program leaves the conversation as it was.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from ..errors import AdvisorError, without_controls
from ..leather.units import Units
from ..read.danger import RAISED
from ..read.numbers import measures, systems_said
from ..read.reader import Reading, is_assignment, read_words
from ..read.stuffs import stuffs
from ..reasoning.advice import Advice
from ..reasoning.consult import Consultation
from ..reasoning.facts import Answer, Known
from ..reasoning.record import (
    Asked,
    Ended,
    Event,
    Explained,
    Fault,
    FaultCode,
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
from ..write.names import attribute_called
from ..write.page import Page, listed
from .direct import asked_once
from .fitted import without_usual_fittings
from .heard import with_reading
from .matter import Matter
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

Keep = Callable[[Event], None]

MAX_LINE = 20_000
MARK = "\N{REPLACEMENT CHARACTER}"
LEAST_WRITING = 10
"""A line of which more than one part in so many are marks for what is no writing is not read."""
FAULT = "That line ran into a fault of mine; {kept}nothing changed. Say it another way."
KEPT = "it is kept, and "
FAULT_BESIDE = "Here I ran into a fault of mine, and something is left out."
"""Said where no line is heard: at the beginning of a conversation, when one is taken up again, and at its end."""


def writable(line: str) -> str:
    """The line as it can be kept: what is no text becomes a mark or a space, and nobody reads past the cut."""
    cut = line.rstrip("\r\n")[:MAX_LINE].encode("utf-8", "surrogatepass").decode("utf-8", "replace")
    return without_controls("".join(" " if c.isspace() and c != "\n" else c for c in cut))


def recorded(session: Session, line: str, keep: Keep | None) -> Reply:
    """One line heard, with everything that follows from it kept; where nobody listens, nothing is worked out for it.

    Whatever goes wrong while it is heard leaves the session as it was. A fault of the program is told and kept with
    the line; what ends a program, such as Ctrl-C, is passed on.
    """
    line = writable(line)
    wanted, keep = keep is not None, keep or _unkept
    keep(Typed(line=line))
    before = state_of(session)
    try:
        try:
            reply, events = _heard(session, line, wanted)
        except Exception as error:
            put_back(session, before)
            reply = _fault_told(session)
            events = [Fault(code="internal", error=type(error).__name__), asked(session)]
        for event in events:
            keep(event)
    except BaseException as end:
        put_back(session, before)
        if isinstance(end, KeyboardInterrupt):
            keep(Fault(code="stopped"))
            keep(asked(session))
        raise
    return reply


def _unkept(_: Event) -> None:
    """Nobody listens."""


def _heard(session: Session, line: str, wanted: bool) -> tuple[Reply, list[Event]]:
    """The reply to one line, and what is to be kept of it where that is ``wanted``: it takes a whole advice."""
    before, questions = dict(session.answers), session.questions
    session.reading = None
    reply = session.respond(line)
    if not wanted:
        return reply, []
    events: list[Event] = [] if session.reading is None else [_read(session.reading)]
    changed = changes(before, session.answers)
    if changed:
        events += [*changed, *conclusions(session.advice(), session.consultation().known)]
    elif session.by_command and not reply.ended and session.questions == questions:
        events.append(Explained(asked=line))
    return reply, [*events, Ended() if reply.ended else asked(session)]


def state_of(session: Session) -> dict[str, Any]:
    """All that a session holds. Its lists, sets and mappings are copied, since a line changes them in place."""
    return {n: v.copy() if isinstance(v, dict | list | set) else v for n, v in vars(session).items()}


def put_back(session: Session, state: Mapping[str, Any]) -> None:
    """The session as it was, and nothing besides."""
    held = vars(session)
    held.update({n: v.copy() if isinstance(v, dict | list | set) else v for n, v in state.items()})
    for name in held.keys() - state.keys():
        del held[name]


def _fault_told(session: Session) -> Reply:
    """One sentence, and the question that was open. It is said even where the fault lies in asking."""
    said = FAULT.format(kept=KEPT if session.log_name() else "")
    try:
        return session.again([said])
    except Exception:
        return Reply(textwrap.wrap(said, session.width), " ".join(q.question for q in session.questions))


def restored(session: Session, state: Folded) -> Reply:
    """A conversation taken up again where ``state`` left it; answers that the rules cannot take are named."""
    try:
        return _taken_up(session, state)
    finally:
        # Also where a fault lies in what is said: the log goes on as any other.
        if session.listener:
            session.listener(asked(session))


def _taken_up(session: Session, state: Folded) -> Reply:
    rulebase = session.rulebase
    session.answers = usable(rulebase, state.answers)
    session.asked = [name for name in state.asked if name in session.answers]
    session.further, session.hanging = state.more, set(state.hanging)
    session.waiting, session.later = state.waiting, state.later
    session.remarked = dict(session.answers)
    session.written = systems_said("\n".join(a.words for a in session.answers.values()), stuffs(session.rulebase))
    lost = [name for name in state.answers if name not in session.answers]
    page = Page(session.width, session.units)
    answers = [session.said(name) for name in session.answers]
    page.add(f"Restored: {listed(answers) or 'no answers yet'}.")
    if lost:
        page.add(f"These rules cannot take, and dropped: {listed(attribute_called(rulebase, n) for n in lost)}.")
    session.question = rulebase.attributes.get(state.question or "item")
    beside = [rulebase.attributes[n] for n in state.beside if n in rulebase.attributes and n not in session.answers]
    if session.question is not None and session.question.name not in session.answers:
        session.questions = (session.question, *beside)
    if state.question is None and "item" in session.answers:
        session.question = None
        return session.finish(page.lines)
    if session.question is None or session.question.name in session.answers:
        return session.go_on(page.lines)
    return session.again(page.lines)


def asked(session: Session) -> Asked:
    """The question now open."""
    names = tuple(q.name for q in session.questions)
    manner = Manner(units=session.wanted, brief=session.brief)
    hanging = tuple(sorted(session.hanging - session.answers.keys()))
    return Asked(
        question=names[0] if names else None,
        beside=names[1:],
        hanging=hanging,
        waiting=session.waiting,
        later=session.later,
        more=session.further,
        manner=manner,
    )


class Consulted(NamedTuple):
    """One consultation without questions: what was read, all answers, the advice, and what is known of each name."""

    reading: Reading
    answers: Mapping[str, Answer]
    advice: Advice
    known: Mapping[str, Known]

    @property
    def events(self) -> list[Event]:
        """What is to be kept of it; worked out when it is asked for, since that takes a tenth of a consultation."""
        return [_read(self.reading), *changes({}, self.answers), *conclusions(self.advice, self.known)]


def joined(words: Sequence[str]) -> str:
    """Sentences and assignments as the one line that is kept of them."""
    return writable("\n".join(" ".join(word.split()) for word in words))


def consulted(rulebase: RuleBase, line: str, house: House | None, wanted: Units | None = None) -> Consulted:
    """One consultation on a ``joined`` line. ``wanted`` are the measures. Raises AdvisorError for what is of no use."""
    units = measures(wanted, line, stuffs(rulebase))
    reading, answers = read_words(rulebase, line.split("\n"), units)
    units = measures(wanted, line, stuffs(rulebase), reading.metric)
    sentence = " ".join(word for word in line.split("\n") if not is_assignment(word))
    heard = asked_once(Matter(rulebase, answers, house, units=units), sentence, reading)
    if heard is not reading:
        reading, answers = heard, {n: a for n, a in answers.items() if n != RAISED or RAISED in heard.answers}
        answers |= {n: a for n, a in heard.answers.items() if n == RAISED}
    # Nobody can be asked, so what the named object usually measures is nearer than what the thing usually does.
    answers = {n: Answer((v,), "known", "read", words) for n, (v, words) in reading.hints.items()} | answers
    made = answers.get("item", Answer(())).values
    answers = without_usual_fittings(rulebase, str(made[0]) if made else None, sentence, answers)
    run = Consultation(rulebase, answers, house=house)
    advice = with_reading(rulebase, report(run), reading if line.strip() else None)
    return Consulted(reading, answers, advice, run.known)


def recommended(
    rulebase: RuleBase, words: Sequence[str], house: House | None, keep: Keep, wanted: Units | None = None
) -> Consulted:
    """One consultation from the command line, kept when all of it could be used. Raises AdvisorError before that."""
    line = joined(words)
    found = consulted(rulebase, line, house, wanted)
    for event in (Typed(line=line), *found.events, Ended()):
        keep(event)
    return found


@dataclass(frozen=True, slots=True)
class Unusable:
    """Why a line of a batch has no advice."""

    code: FaultCode
    text: str
    error: str = ""

    def event(self) -> Fault:
        """What is kept of it."""
        return Fault(code=self.code, error=self.error)


def entered(rulebase: RuleBase, line: str, house: House | None, wanted: Units | None = None) -> Consulted | Unusable:
    """One ``joined`` line of a batch. Raises no Exception: what goes wrong is of this line alone."""
    sentence, _, _ = line.partition("\n")
    if sentence.count(MARK) * LEAST_WRITING > len(sentence):
        return Unusable("no_text", "More than a tenth of the line is no writing.")
    try:
        return consulted(rulebase, line, house, wanted)
    except AdvisorError as error:
        return unusable(error)
    except Exception as error:
        return faulty(error)


def unusable(error: AdvisorError) -> Unusable:
    """A line of a batch that says what cannot be used."""
    return Unusable("answer", str(error), type(error).__name__)


def faulty(error: Exception) -> Unusable:
    """A line of a batch that ran into a fault of the program."""
    name = type(error).__name__
    return Unusable("internal", f"The line ran into a fault of the program ({name}).", name)


def _read(reading: Reading) -> Read:
    understood = {name: said_of(answer) for name, answer in reading.answers.items()}
    raised = list(dict.fromkeys(d.concept for d in reading.dangers if d.state != "ruled_out"))
    return Read(
        understood=understood, unread=list(reading.unread), doubts=[d.text for d in reading.doubts], raised=raised
    )

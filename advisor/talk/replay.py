"""A log derived anew: the recorded lines are performed again and every event is compared.

Where the rules or the price list are the same as then, each event must come out equal. Where they
are not, or where an earlier reader kept the log, the recorded answers are advised on today and the
advice is compared. A line that ran into a fault is heard again, and what comes of it today is passed
over, because nothing came of it then. Nothing is read from a file here, and nothing recorded is taken
on trust but the lines that were typed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ..errors import AdvisorError
from ..reasoning.consult import Consultation
from ..reasoning.record import (
    VERSION,
    Asked,
    Began,
    Concluded,
    Difference,
    Ended,
    Entry,
    Event,
    Fault,
    Folded,
    MadeWith,
    Manner,
    Resumed,
    Typed,
    advice_differences,
    concluded,
    difference,
    fold,
    made_with,
    usable,
)
from ..reasoning.report import report
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..write.names import attribute_called
from ..write.page import listed
from .recording import Unusable, entered, put_back, recommended, restored, state_of
from .session import Session

UNDERSTOOD = "Event {}: this line ran into a fault then and would be understood today; it was passed over."
EARLIER = "The log was kept by an earlier reader, so only the advice on its recorded answers is compared."


@dataclass(slots=True)
class Verdict:
    """What a replay found.

    ``remarks`` are sentences about what could not be equal, such as changed rules, or was passed over; ``as_then`` is
    false where only the advice could be compared.
    """

    lines: int = 0
    events: int = 0
    as_then: bool = True
    remarks: list[str] = field(default_factory=list)
    differences: list[Difference] = field(default_factory=list)


class _PartedError(Exception):
    """Stops a performance at its first difference."""

    def __init__(self, found: Difference) -> None:
        self.found = found
        super().__init__(str(found))


class _Witness:
    """Compares what is performed with what is recorded, one event at a time."""

    def __init__(self, recorded: Sequence[Event], first: int) -> None:
        self.recorded, self.first, self.at = recorded, first, 0

    def next(self) -> Event | None:
        """What is recorded next."""
        return self.recorded[self.at] if self.at < len(self.recorded) else None

    def number(self) -> int:
        """The number of what is recorded next."""
        return self.first + self.at

    def keep(self, event: Event) -> None:
        """One event performed. A log that was cut off may lack the end of its last turn."""
        if self.at >= len(self.recorded) and not self._closed():
            return
        self._compare(self.next(), event)

    def fault(self) -> Fault | None:
        """The fault that the line recorded next ran into."""
        return next((e for e in self._turn() if isinstance(e, Fault)), None)

    def pass_over(self) -> None:
        """The line recorded next, and what came of it, are not compared."""
        self.at += len(self._turn())

    def _turn(self) -> Sequence[Event]:
        end = self.at + 1
        while end < len(self.recorded) and not isinstance(self.recorded[end], Typed | Entry):
            end += 1
            if isinstance(self.recorded[end - 1], Asked | Ended):
                break
        return self.recorded[self.at : end]

    def finish(self) -> None:
        """Whatever is recorded beyond what was performed is a difference."""
        if self.at < len(self.recorded):
            self._compare(self.recorded[self.at], None)

    def _compare(self, was: Event | None, now: Event | None) -> None:
        found = difference(self.number(), was, now)
        if found is not None:
            raise _PartedError(found)
        self.at += 1

    def _closed(self) -> bool:
        return bool(self.recorded) and isinstance(self.recorded[-1], Asked | Ended)


def replay(rulebase: RuleBase, house: House | None, events: Sequence[Event], program: str) -> Verdict:
    """Derive a whole log anew. ``events`` are numbered from 1; the first is the beginning."""
    today = made_with(rulebase, house, program)
    verdict = Verdict(sum(isinstance(e, Typed) for e in events), len(events))
    starts = [i for i, e in enumerate(events) if isinstance(e, Began | Resumed)]
    for start, end in zip(starts, [*starts[1:], len(events)], strict=True):
        head = events[start]
        assert isinstance(head, Began | Resumed)
        remarks = changed_since(head.made_with, today)
        if head.version != VERSION:
            remarks.insert(0, EARLIER)
        verdict.remarks += [r for r in remarks if r not in verdict.remarks]
        if head.version == VERSION and _same_knowledge(head.made_with, today):
            witness = _Witness(events[start + 1 : end], start + 2)
            try:
                _perform(rulebase, house, events, start, witness, verdict)
                witness.finish()
            except _PartedError as parted:
                verdict.differences.append(parted.found)
                return verdict
        else:
            verdict.as_then = False
            entries = [i for i in range(start, end) if isinstance(events[i], Entry)] or [start]
            for first, last in zip(entries, [*entries[1:], end], strict=True):
                _advise_anew(rulebase, house, events[:last], first, verdict)
    return verdict


def _perform(
    rulebase: RuleBase, house: House | None, events: Sequence[Event], start: int, witness: _Witness, verdict: Verdict
) -> None:
    begun, head = events[0], events[start]
    assert isinstance(begun, Began)
    assert isinstance(head, Began | Resumed)
    if begun.by == "recommend":
        _perform_one(rulebase, house, head.manner, witness)
    elif begun.by == "batch":
        _perform_batch(rulebase, house, head.manner, witness, verdict)
    else:
        session = Session(
            rulebase, house=house, listener=witness.keep, units=head.manner.units, brief=head.manner.brief
        )
        if isinstance(head, Resumed):
            restored(session, fold(events[:start]))
        else:
            session.open()
        _perform_chat(session, witness, verdict)


def _perform_one(rulebase: RuleBase, house: House | None, manner: Manner, witness: _Witness) -> None:
    typed = witness.next()
    if not isinstance(typed, Typed):
        return
    try:
        recommended(rulebase, typed.line.split("\n"), house, witness.keep, manner.units)
    except AdvisorError as error:
        found = Difference(witness.number(), "typed, line", typed.line, f"refused: {error}")
        raise _PartedError(found) from error


def _perform_batch(
    rulebase: RuleBase, house: House | None, manner: Manner, witness: _Witness, verdict: Verdict
) -> None:
    while isinstance(entry := witness.next(), Entry):
        witness.keep(entry)
        typed, n = witness.next(), witness.number()
        if not isinstance(typed, Typed):
            return
        then, found = witness.fault(), entered(rulebase, typed.line, house, manner.units)
        if then is not None and then.code == "internal":
            witness.pass_over()
            if not isinstance(found, Unusable):
                verdict.remarks.append(UNDERSTOOD.format(n))
            continue
        for event in [typed, *([found.event()] if isinstance(found, Unusable) else found.events)]:
            witness.keep(event)
    if isinstance(ended := witness.next(), Ended):
        witness.keep(ended)


def _perform_chat(session: Session, witness: _Witness, verdict: Verdict) -> None:
    while isinstance(typed := witness.next(), Typed):
        then = witness.fault()
        if then is None:
            session.hear(typed.line)
            continue
        if then.code == "internal" and _would_be_understood(session, typed.line):
            verdict.remarks.append(UNDERSTOOD.format(witness.number()))
        witness.pass_over()
    if isinstance(witness.next(), Ended):
        session.leave()


def _would_be_understood(session: Session, line: str) -> bool:
    """Whether a line is heard without a fault today; the session is as before either way."""
    before, heard = state_of(session), list[Event]()
    session.listener = heard.append
    session.hear(line)
    put_back(session, before)
    return not any(isinstance(event, Fault) for event in heard)


def _advise_anew(
    rulebase: RuleBase, house: House | None, events: Sequence[Event], first: int, verdict: Verdict
) -> None:
    """Compare the last advice from ``first`` on with what today's rules advise on the same answers."""
    spoken = [i for i in range(first, len(events)) if isinstance(events[i], Concluded)]
    if not spoken:
        return
    n = spoken[-1] + 1
    was = events[n - 1]
    assert isinstance(was, Concluded)
    # An entry begins with no answers; a conversation that was resumed has those from before.
    since = first if isinstance(events[first], Entry) else 0
    # The turn of that conclusion is taken as whole even where the log was cut off right after it.
    state: Folded = fold([*events[since:n], Ended()])
    answers = usable(rulebase, state.answers)
    lost = [name for name in state.answers if name not in answers]
    if lost:
        named = listed(attribute_called(rulebase, n) for n in lost)
        verdict.remarks.append(f"Today's rules cannot take these answers: {named}.")
    try:
        now = concluded(report(Consultation(rulebase, answers, house=house)))
    except AdvisorError as error:
        verdict.differences.append(Difference(n, "concluded", "advice", f"refused: {error}"))
        return
    verdict.differences += advice_differences(n, was, now)


def _same_knowledge(then: MadeWith, today: MadeWith) -> bool:
    return then.rulebase == today.rulebase and then.house == today.house


def changed_since(then: MadeWith, today: MadeWith) -> list[str]:
    """Sentences about what is not the same as when the log was kept; none when all is."""
    found = []
    old, new = then.rulebase, today.rulebase
    if old != new:
        found.append(
            f"The rule base has changed: the log was kept with {old.name} {old.version} ({old.sha256[:12]}), "
            f"today's is {new.name} {new.version} ({new.sha256[:12]})."
        )
    if then.house != today.house:
        names = [f'that of "{h.name}" ({h.sha256[:12]})' if h else "none" for h in (then.house, today.house)]
        found.append(f"The price list is not the same: {names[0]} then, {names[1]} today.")
    if then.program != today.program:
        found.append(f"The program was {then.program} then and is {today.program} today.")
    return found

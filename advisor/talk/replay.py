"""A log derived anew: the recorded lines are performed again and every event is compared.

Where the rules or the price list are the same as then, each event must come out equal. Where they
are not, the recorded answers are advised on by today's rules and the advice is compared. Nothing is
read from a file here, and nothing recorded is taken on trust but the lines that were typed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ..errors import AdvisorError
from ..reasoning.consult import Consultation
from ..reasoning.record import (
    Asked,
    Began,
    Concluded,
    Difference,
    Ended,
    Event,
    Folded,
    MadeWith,
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
from .page import listed, plain
from .recording import recommended, restored
from .session import Session


@dataclass(slots=True)
class Verdict:
    """What a replay found.

    ``remarks`` are sentences about what could not be equal, such as changed rules; ``as_then`` is false
    where only the advice could be compared.
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

    def keep(self, event: Event) -> None:
        """One event performed. A log that was cut off may lack the end of its last turn."""
        if self.at >= len(self.recorded) and not self._closed():
            return
        self._compare(self.recorded[self.at] if self.at < len(self.recorded) else None, event)

    def finish(self) -> None:
        """Whatever is recorded beyond what was performed is a difference."""
        if self.at < len(self.recorded):
            self._compare(self.recorded[self.at], None)

    def _compare(self, was: Event | None, now: Event | None) -> None:
        found = difference(self.first + self.at, was, now)
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
        head, body = events[start], events[start + 1 : end]
        assert isinstance(head, Began | Resumed)
        remarks = changed_since(head.made_with, today)
        verdict.remarks += [r for r in remarks if r not in verdict.remarks]
        if _same_knowledge(head.made_with, today):
            witness = _Witness(body, start + 2)
            try:
                _perform(rulebase, house, events, start, body, witness)
                witness.finish()
            except _PartedError as parted:
                verdict.differences.append(parted.found)
                return verdict
        else:
            verdict.as_then = False
            _advise_anew(rulebase, house, events[:end], start, verdict)
    return verdict


def _perform(
    rulebase: RuleBase, house: House | None, events: Sequence[Event], start: int, body: Sequence[Event],
    witness: _Witness,
) -> None:  # fmt: skip
    head, typed = events[start], [e.line for e in body if isinstance(e, Typed)]
    assert isinstance(head, Began | Resumed)
    if isinstance(events[0], Began) and events[0].by == "recommend":
        for line in typed[:1]:
            try:
                recommended(rulebase, line.split("\n"), house, witness.keep, head.manner.units)
            except AdvisorError as error:
                first = witness.first
                raise _PartedError(Difference(first, "typed, line", line, f"refused: {error}")) from error
        return
    session = Session(
        rulebase, house=house, listener=witness.keep, units=head.manner.units, brief=head.manner.brief
    )
    if isinstance(head, Resumed):
        restored(session, fold(events[:start]))
    else:
        session.open()
    for line in typed:
        session.hear(line)
    if witness.at < len(body) and isinstance(body[witness.at], Ended):
        session.leave()


def _advise_anew(
    rulebase: RuleBase, house: House | None, events: Sequence[Event], start: int, verdict: Verdict
) -> None:
    """Compare the last advice of a stretch with what today's rules advise on the same answers."""
    spoken = [i for i in range(start, len(events)) if isinstance(events[i], Concluded)]
    if not spoken:
        return
    n = spoken[-1] + 1
    was = events[n - 1]
    assert isinstance(was, Concluded)
    # The turn of that conclusion is taken as whole even where the log was cut off right after it.
    state: Folded = fold([*events[:n], Ended()])
    answers = usable(rulebase, state.answers)
    lost = [name for name in state.answers if name not in answers]
    if lost:
        verdict.remarks.append(f"Today's rules cannot take these answers: {listed(plain(n) for n in lost)}.")
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

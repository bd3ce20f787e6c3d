"""What a decision log holds: one event after another, and what follows from them. Pure.

A log is a list of events; the answers are a fold over them, the advice follows from the answers and
the rule base. Events say what was typed, how it was read, which answers that set, which rules fired
and what was concluded, so that anybody can derive it anew and compare. No name of a person or a
machine, no path and no clock but the start stands in an event. Files and terminals are refused here.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter

from ..codes import without_texts
from ..leather.units import Units
from ..rulebase.house import House
from ..rulebase.models import RuleBase, Value
from ..rulebase.patterns import PIECE
from .advice import Advice, Origin, Part, RuleBaseName, State
from .facts import MAX_PIECE_MM, Answer, Known

FORMAT: Literal["leather-consultation-log"] = "leather-consultation-log"
VERSION = 2
READABLE = (1, 2)
"""Versions of the log that can be read. What version 1 had not stands at its default."""


class HouseName(Part):
    """Which price list was used; the checksum is over its prices, not over its file."""

    name: str
    sha256: str


class MadeWith(Part):
    """The program, the rule base and the price list that drew the conclusions."""

    program: str
    rulebase: RuleBaseName
    house: HouseName | None = None


class Said(Part):
    """An answer as it was taken. Numbers are in the unit of their attribute."""

    values: tuple[Value, ...]
    state: State
    origin: Origin

    def answer(self) -> Answer:
        """The answer as a consultation takes it."""
        return Answer(self.values, self.state, self.origin)


class Manner(Part):
    """How a person wants to be talked to: the measures asked for, None for those they write in; and how briefly."""

    units: Units | None = None
    brief: bool = False


By = Literal["chat", "recommend", "batch"]


FaultCode = Literal["internal", "stopped", "no_text", "answer"]


class Began(Part):
    """The first line of every log. ``at`` is the start in UTC, ``version`` that of what follows."""

    kind: Literal["began"] = "began"
    format: Literal["leather-consultation-log"] = FORMAT
    version: int = VERSION
    by: By
    made_with: MadeWith
    manner: Manner = Manner()
    at: str


class Resumed(Part):
    """The conversation went on later, perhaps with other rules. Only answers of whole turns were restored.

    ``version`` is that of what follows; a log of version 1 did not name it here.
    """

    kind: Literal["resumed"] = "resumed"
    version: int = 1
    made_with: MadeWith
    manner: Manner = Manner()
    at: str


class Entry(Part):
    """The next line of a batch, by its number from 1: a consultation of its own, which begins with no answers."""

    kind: Literal["entry"] = "entry"
    number: int


class Typed(Part):
    """A line as it was typed; kept before it is answered."""

    kind: Literal["typed"] = "typed"
    line: str


class Read(Part):
    """A line read as a sentence: the facts understood, what was in doubt, the words not read, the dangers raised."""

    kind: Literal["read"] = "read"
    understood: dict[str, Said]
    unread: list[str]
    doubts: list[str]
    raised: list[str] = Field(default_factory=list)


class Answered(Part):
    """An answer that is new, changed or forgotten. ``now`` is None when it was forgotten."""

    kind: Literal["answered"] = "answered"
    attribute: str
    change: Literal["set", "changed", "forgotten"]
    before: Said | None = None
    now: Said | None = None


class Supposed(Part):
    """Every value that nobody gave and that was taken as usual."""

    kind: Literal["supposed"] = "supposed"
    values: dict[str, list[Value]]


class Fired(Part):
    """The rules that fired, in order; a rule that fired on several facts stands once for each."""

    kind: Literal["fired"] = "fired"
    rules: list[str]


class ConflictName(Part):
    """A conflict by what it is about and the rules on its sides."""

    about: str
    rules: list[str]


class Concluded(Part):
    """What was advised, in short, with the checksum of the whole advice."""

    kind: Literal["concluded"] = "concluded"
    outcome: str | None
    decisions: dict[str, list[str]]
    weight: str | None
    cautions: dict[str, str]
    conflicts: list[ConflictName]
    advice_sha256: str


class Explained(Part):
    """A line that asked for an explanation and changed nothing."""

    kind: Literal["explained"] = "explained"
    asked: str


class Fault(Part):
    """A line that was not understood, because hearing it failed; the answers are as before it.

    ``code`` is ``internal`` for a fault of the program, ``stopped`` where the person stopped it, ``no_text`` or
    ``answer`` for a line of a batch that cannot be used. ``error`` is the class of the exception, "" where there
    was none.
    """

    kind: Literal["fault"] = "fault"
    code: FaultCode
    error: str = ""


class Asked(Part):
    """The question then open, None when none is, and those ``beside`` it to be answered in the same line.

    It ends a turn. ``more`` tells that all questions were asked for, ``hanging`` what words left open so far,
    ``waiting`` what of the order comes after it and ``later`` the things after that, as they were called.
    """

    kind: Literal["asked"] = "asked"
    question: str | None
    beside: tuple[str, ...] = ()
    hanging: tuple[str, ...] = ()
    waiting: tuple[str, ...] = ()
    later: tuple[str, ...] = ()
    more: bool = False
    manner: Manner = Manner()


class Ended(Part):
    """The conversation was ended; a log without this was cut off."""

    kind: Literal["ended"] = "ended"


Event = (
    Began | Resumed | Entry | Typed | Read | Answered | Supposed | Fired | Concluded | Explained | Fault | Asked | Ended
)


class Line(Part):
    """One line of the file: its number, so that a missing line is noticed, and the event."""

    n: int
    event: Annotated[Event, Field(discriminator="kind")]


LINE: TypeAdapter[Line] = TypeAdapter(Line)


def made_with(rulebase: RuleBase, house: House | None, program: str) -> MadeWith:
    """What a log says of the program and its knowledge."""
    name = RuleBaseName(name=rulebase.name, version=rulebase.version, sha256=rulebase.sha256)
    listed = None
    if house is not None:
        listed = HouseName(name=house.name, sha256=house.sha256)
    return MadeWith(program=program, rulebase=name, house=listed)


def said_of(answer: Answer) -> Said:
    """An answer as it stands in a log."""
    return Said(values=answer.values, state=answer.state, origin=answer.origin)


def canonical(advice: Advice) -> str:
    """The advice as JSON with sorted keys, no spaces and no sentence beside a code: equal advice gives equal text."""
    values = without_texts(advice.model_dump(mode="json", by_alias=True))
    return json.dumps(values, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def changes(before: Mapping[str, Answer], now: Mapping[str, Answer]) -> list[Answered]:
    """What became of the answers, in the order in which they now stand, the forgotten ones last."""
    found = []
    for name, answer in now.items():
        if name not in before:
            found.append(Answered(attribute=name, change="set", now=said_of(answer)))
        elif before[name] != answer:
            found.append(Answered(attribute=name, change="changed", before=said_of(before[name]), now=said_of(answer)))
    gone = [n for n in before if n not in now]
    return found + [Answered(attribute=n, change="forgotten", before=said_of(before[n])) for n in gone]


def conclusions(advice: Advice, known: Mapping[str, Known]) -> list[Event]:
    """What was supposed, what fired and what was concluded."""
    supposed = {name: list(k.values) for name, k in known.items() if k.origin == "supposed"}
    return [Supposed(values=supposed), Fired(rules=[step.rule for step in advice.trace]), concluded(advice)]


def concluded(advice: Advice) -> Concluded:
    """The advice in short."""
    return Concluded(
        outcome=advice.outcome,
        decisions={name: choice.chosen for name, choice in advice.decisions.choices().items()},
        weight=advice.decisions.weight.order_as,
        cautions={c.id: c.status for c in advice.cautions},
        conflicts=[ConflictName(about=c.about, rules=[r.rule for r in c.reasons]) for c in advice.conflicts],
        advice_sha256=hashlib.sha256(canonical(advice).encode()).hexdigest(),
    )


@dataclass(frozen=True, slots=True)
class Turn:
    """One line that was typed and understood. ``question`` stood open then; ``read`` tells of a sentence."""

    line: str
    question: str | None
    read: bool
    changes: tuple[Answered, ...]


@dataclass(slots=True)
class Folded:
    """Where a conversation stands after its events.

    ``asked`` are the questions answered so far, ``question`` the open one with those ``beside`` it, ``unanswered``
    a line that was typed and whose turn was cut off; nothing of that turn is in ``answers``. ``raised`` are the dangers
    raised by the words of whole turns, each once.
    """

    answers: dict[str, Answer] = field(default_factory=dict)
    asked: list[str] = field(default_factory=list)
    raised: list[str] = field(default_factory=list)
    question: str | None = None
    beside: tuple[str, ...] = ()
    hanging: tuple[str, ...] = ()
    waiting: tuple[str, ...] = ()
    later: tuple[str, ...] = ()
    more: bool = False
    manner: Manner = field(default_factory=Manner)
    unanswered: str | None = None
    ended: bool = False
    turns: list[Turn] = field(default_factory=list)


def fold(events: Iterable[Event]) -> Folded:
    """The answers and the open question after ``events``."""
    state, turn, read, raised = Folded(), list[Answered](), False, list[str]()
    for event in events:
        match event:
            case Typed():
                state.unanswered, turn, read, raised = event.line, [], False, []
            case Read():
                read, raised = True, event.raised
            case Answered():
                turn.append(event)
            case Fault():
                state.unanswered, turn, raised = None, [], []
            case Asked() | Ended():
                if state.unanswered is not None:
                    state.turns.append(Turn(state.unanswered, state.question, read, tuple(turn)))
                _close_turn(state, turn)
                state.raised += [name for name in raised if name not in state.raised]
                turn, raised = [], []
                if isinstance(event, Ended):
                    state.ended = True
                else:
                    state.question, state.beside, state.hanging = event.question, event.beside, event.hanging
                    state.waiting, state.later = event.waiting, event.later
                    state.more, state.manner = event.more, event.manner
            case Began():
                state.manner = event.manner
            case Entry():
                state, turn = Folded(manner=state.manner), []
            case Resumed():
                state.ended, state.unanswered, state.manner, turn = False, None, event.manner, []
    return state


def take(answers: dict[str, Answer], turn: Iterable[Answered]) -> None:
    """Bring the answers to where they stand after the changes of a turn."""
    for change in turn:
        if change.now is None:
            answers.pop(change.attribute, None)
        else:
            answers[change.attribute] = change.now.answer()


def _close_turn(state: Folded, turn: Sequence[Answered]) -> None:
    """The answers of a whole turn are taken; a question answered is one to go back to."""
    take(state.answers, turn)
    given = {c.attribute for c in turn if c.now is not None}
    gone = {c.attribute for c in turn} - given
    state.asked = [name for name in state.asked if name not in gone]
    state.asked += [name for name in (state.question, *state.beside) if name is not None and name in given]
    state.unanswered = None


def usable(rulebase: RuleBase, answers: Mapping[str, Answer]) -> dict[str, Answer]:
    """The answers that this rule base can take: rules may have changed, and a log can be edited by hand."""
    return {name: answer for name, answer in answers.items() if _can_take(rulebase, name, answer)}


def _can_take(rulebase: RuleBase, name: str, answer: Answer) -> bool:
    if answer.state != "known":
        return name in rulebase.attributes and not answer.values
    numbers = [v for v in answer.values if isinstance(v, float)]
    if not all(math.isfinite(v) for v in numbers):
        return False
    if name.startswith(PIECE):
        if len(numbers) != 3 or len(answer.values) != 3:
            return False
        count, width, length = numbers
        return count in range(1, 1000) and 0 < width <= MAX_PIECE_MM and 0 < length <= MAX_PIECE_MM
    attribute = rulebase.attributes.get(name)
    if attribute is None or not answer.values or (attribute.kind != "set" and len(answer.values) != 1):
        return False
    if attribute.numeric:
        low, high = attribute.low, attribute.high
        return len(numbers) == 1 and (low is None or numbers[0] >= low) and (high is None or numbers[0] <= high)
    return not numbers and (attribute.kind == "text" or all(v in attribute.values for v in answer.values))


@dataclass(frozen=True, slots=True)
class Difference:
    """One place where a log and what is derived today part. ``n`` is the number of the event."""

    n: int
    where: str
    was: str
    now: str

    def __str__(self) -> str:
        return f"event {self.n}, {self.where}: in the log {self.was}; derived anew {self.now}"


def difference(n: int, was: Event | None, now: Event | None) -> Difference | None:
    """The first difference between an event as recorded and as derived anew, None when they are equal."""
    if was == now:
        return None
    if was is None or now is None or was.kind != now.kind:
        names = [event.kind if event is not None else "nothing" for event in (was, now)]
        return Difference(n, "what happens", _of_kind(was, names[0]), _of_kind(now, names[1]))
    for name in type(was).model_fields:
        before, after = getattr(was, name), getattr(now, name)
        if before != after:
            inner, left, right = _first(before, after)
            return Difference(n, f"{was.kind}{_subject(was)}, {name.replace('_', ' ')}{inner}", left, right)
    return None


def _of_kind(event: Event | None, name: str) -> str:
    return f'"{name}"{_subject(event)}' if event is not None else name


def _subject(event: Event | None) -> str:
    return f" {event.attribute}" if isinstance(event, Answered) else ""


def _first(before: object, after: object) -> tuple[str, str, str]:
    """The first place where two values part, in words, and both sides there."""
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for key in dict.fromkeys([*before, *after]):
            if before.get(key) != after.get(key):
                inner, left, right = _first(before.get(key), after.get(key))
                return f" {key}{inner}", left, right
        return ", order", _short(list(before)), _short(list(after))
    if isinstance(before, list | tuple) and isinstance(after, list | tuple) and (before or after):
        for i, (left, right) in enumerate(zip(before, after, strict=False)):
            if left != right:
                return f", place {i + 1}", _short(left), _short(right)
        more = max(before, after, key=len)
        place = f", place {min(len(before), len(after)) + 1}"
        extra = _short(more[min(len(before), len(after))])
        return (place, extra, "nothing") if more is before else (place, "nothing", extra)
    return "", _short(before), _short(after)


def _short(value: object, limit: int = 100) -> str:
    if isinstance(value, Part):
        value = value.model_dump(mode="json")
    text = value if isinstance(value, str) else "nothing" if value is None else json.dumps(value, ensure_ascii=False)
    text = ascii(text)[1:-1] if not text.isprintable() else text
    return text if len(text) <= limit else f"{text[: limit - 3]}..."


def advice_differences(n: int, was: Concluded, now: Concluded) -> list[Difference]:
    """Everything that a customer would notice between two pieces of advice; checksums are left out."""
    pairs: list[tuple[str, object, object]] = [("outcome", was.outcome, now.outcome)]
    for part in ("decisions", "cautions"):
        before, after = getattr(was, part), getattr(now, part)
        for key in dict.fromkeys([*before, *after]):
            pairs.append((f"{part.removesuffix('s')} {key}", before.get(key), after.get(key)))
    pairs.append(("weight", was.weight, now.weight))
    pairs.append(("conflicts", was.conflicts, now.conflicts))
    return [Difference(n, what, _plainly(a), _plainly(b)) for what, a, b in pairs if a != b]


def _plainly(value: object) -> str:
    if isinstance(value, list):
        return "; ".join(v.about if isinstance(v, ConflictName) else str(v) for v in value) or "nothing"
    return _short(value)

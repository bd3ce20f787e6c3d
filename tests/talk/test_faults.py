"""The net under a conversation: exceptions are planted while a line is heard, and the talk goes on as if unsaid."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, NoReturn

import pytest
from heard import forked

from advisor import load_rulebase
from advisor.reasoning import consult
from advisor.reasoning.record import LINE, Asked, Began, Event, Fault, Line, Typed, fold, made_with
from advisor.rulebase.models import RuleBase
from advisor.talk import answering, commands, recording
from advisor.talk import session as talk
from advisor.talk.replay import replay
from advisor.talk.session import Session
from advisor.write.telling import log_lines

FIRST = "belt for jeans, 38 mm wide"
BY_SENTENCE, BY_COMMAND = "it is for my brother, waist 92 cm", "change waist to 92 cm"
BY_ANSWER = "the first that will do"
PLANTS = [
    (talk, "read_sentence", BY_SENTENCE),
    (talk, "report", BY_SENTENCE),
    (talk, "worth_asking", BY_SENTENCE),
    (recording, "conclusions", BY_SENTENCE),
    (talk, "report", BY_COMMAND),
    (recording, "changes", BY_COMMAND),
    (commands, "why_lines", "why tannage"),
    (commands, "change", BY_COMMAND),
    (answering, "read_answer", BY_ANSWER),
    (talk, "report", BY_ANSWER),
    (recording, "asked", BY_ANSWER),
    (talk, "advice_lines", "done"),
]

ERRORS = [ValueError("in /srv/x.py"), RecursionError(), MemoryError()]
"""Each is planted in turn: the net catches them by one clause."""


def raises(error: BaseException) -> Callable[..., NoReturn]:
    def planted(*_: Any, **__: Any) -> NoReturn:
        raise error

    return planted


def begun() -> tuple[Session, list[Event]]:
    """A talk with its first line said, and its log."""
    first, told = _begun()
    events = list(told)
    session = forked(first)
    session.listener = events.append
    return session, events


@cache
def _begun() -> tuple[Session, list[Event]]:
    made = made_with(load_rulebase(), None, "0.1.0")
    events: list[Event] = [Began(by="chat", made_with=made, at="2024-05-04T09:00:00Z")]
    session = Session(load_rulebase(), listener=events.append)
    session.open()
    session.hear(FIRST)
    return session, events


def standing(session: Session) -> tuple[object, ...]:
    """What a person would notice of where a talk stands."""
    return (
        dict(session.answers),
        [*session.asked],
        session.questions,
        session.prompt(),
        session.standing(),
        session.questions_left(),
        session.units,
        session.told,
        session.further,
        set(session.hanging),
    )


@pytest.mark.parametrize(
    ("module", "name", "line", "error"),
    [(*plant, ERRORS[n % len(ERRORS)]) for n, plant in enumerate(PLANTS)],
)
def test_a_fault_is_told_in_one_sentence_and_nothing_changed(
    module: object, name: str, line: str, error: Exception, rulebase: RuleBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    session, events = begun()
    if line == BY_ANSWER:
        line = next(iter(session.questions[0].values), "950 mm")
    before, count = standing(session), len(events)
    with monkeypatch.context() as patch:
        patch.setattr(module, name, once(raises(error), getattr(module, name)))
        reply = session.hear(line)
    said = " ".join(reply.lines)
    assert said == recording.FAULT.format(kept="")
    assert reply.prompt == before[3]
    assert not reply.ended
    assert standing(session) == before
    asked = [e for e in events[:count] if isinstance(e, Asked)][-1]
    assert events[count:] == [Typed(line=line), Fault(code="internal", error=type(error).__name__), asked]
    assert "/srv" not in "".join(e.model_dump_json() for e in events)
    # The talk goes on, and its log is what it says.
    assert "Changed" in " ".join(session.hear("change waist to 100 cm").lines) or "100" in str(session.answers)
    assert session.answers["waist"].values == (1000.0,)
    kept = [LINE.validate_json(LINE.dump_json(Line(n=1, event=e))).event for e in events]
    assert fold(kept).answers == session.answers
    assert [turn.line for turn in fold(kept).turns] == [FIRST, "change waist to 100 cm"]
    verdict = replay(rulebase, None, kept, "0.1.0")
    assert verdict.differences == []
    assert len(verdict.remarks) == 1
    assert f"Event {count + 1}: " in verdict.remarks[0]
    assert "would be understood today" in verdict.remarks[0]
    assert f"nothing changed ({type(error).__name__})" in " ".join(" ".join(log_lines(rulebase, kept, 80)).split())


def once(first: Callable[..., Any], then: Callable[..., Any]) -> Callable[..., Any]:
    """The one at the first call, the other ever after."""
    calls = iter([first])
    return lambda *given, **named: next(calls, then)(*given, **named)


def test_a_line_that_still_runs_into_its_fault_is_derived_anew_without_a_remark(
    rulebase: RuleBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    reads = talk.read_sentence
    monkeypatch.setattr(
        talk, "read_sentence", lambda base, text, *more: 1 / 0 if "sparkly" in text else reads(base, text, *more)
    )
    session, events = begun()
    assert "fault of mine" in session.hear("make it sparkly").lines[0]
    session.hear("waist 92 cm")
    session.hear("quit")
    verdict = replay(rulebase, None, events, "0.1.0")
    assert (verdict.differences, verdict.remarks, verdict.as_then) == ([], [], True)


def test_a_fault_put_in_by_hand_hides_no_line(rulebase: RuleBase) -> None:
    # Somebody who wants a line to count for nothing cannot do it in silence.
    session, events = begun()
    session.hear("change waist to 92 cm")
    at = next(i for i, e in enumerate(events) if isinstance(e, Typed) and e.line != FIRST)
    asked = [e for e in events[:at] if isinstance(e, Asked)][-1]
    forged = [*events[: at + 1], Fault(code="internal", error="ValueError"), asked]
    (remark,) = replay(rulebase, None, forged, "0.1.0").remarks
    assert remark.startswith(f"Event {at + 1}: ")


@pytest.mark.parametrize("line", [BY_SENTENCE, BY_COMMAND, "why tannage", "advice", "?", ""])
def test_nothing_that_keeps_failing_ends_the_talk(
    line: str, rulebase: RuleBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    session, _ = begun()
    before = dict(session.answers)
    planted = ((talk, "Consultation"), (talk, "report"), (consult, "Possibility"), (answering, "read_answer"))
    for module, name in planted:
        monkeypatch.setattr(module, name, raises(ValueError("always")))
    for _ in range(2):
        assert session.hear(line).lines
        assert session.answers == before
    monkeypatch.setattr(Session, "prompt", raises(ValueError("not even a question")))
    reply = session.hear(line)
    assert "fault of mine" in " ".join(reply.lines)
    assert reply.prompt == session.questions[0].question


@pytest.mark.parametrize("end", [KeyboardInterrupt, SystemExit, GeneratorExit])
@pytest.mark.parametrize(("module", "name"), [(talk, "report"), (talk, "read_sentence"), (recording, "conclusions")])
def test_what_ends_a_program_is_passed_on_and_leaves_no_half_line(
    module: object, name: str, end: type[BaseException], rulebase: RuleBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    session, events = begun()
    before, count = standing(session), len(events)
    with monkeypatch.context() as patch:
        patch.setattr(module, name, raises(end()))
        with pytest.raises(end):
            session.hear(BY_SENTENCE)
    assert standing(session) == before
    if end is not KeyboardInterrupt:
        # The line is answered when the conversation is taken up again.
        assert events[count:] == [Typed(line=BY_SENTENCE)]
        assert fold(events).unanswered == BY_SENTENCE
        return
    assert [e.kind for e in events[count:]] == ["typed", "fault", "asked"]
    session.hear("change waist to 100 cm")
    session.hear("quit")
    assert fold(events).answers == session.answers
    verdict = replay(rulebase, None, events, "0.1.0")
    assert (verdict.differences, verdict.remarks) == ([], [])


def test_a_listener_that_fails_is_heard_of(rulebase: RuleBase) -> None:
    # Only what the program makes of a line is under the net, not who keeps it.
    session = Session(rulebase, listener=raises(OSError("the disk")))
    with pytest.raises(OSError, match="the disk"):
        session.hear(FIRST)

"""What a turn of a conversation works out, counted and not timed, so that a busy machine changes nothing.

That nothing is worked out twice is a promise of this program alone; that what is remembered is right is held by
``tests/engine/test_possibility.py`` and ``test_equivalence.py``.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from types import FrameType

import pytest
from plain import afresh

from advisor.reasoning import possibility, reckoning
from advisor.reasoning.consult import Consultation
from advisor.rulebase import models
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session

LINES = ("a belt for jeans, 38 mm wide, waist 92 cm", "", "black", "")


@contextmanager
def counting(owner: object, name: str, monkeypatch: pytest.MonkeyPatch) -> Iterator[Counter[str]]:
    """How often something is called."""
    found: Counter[str] = Counter()
    real: Callable[..., object] = getattr(owner, name)

    def counted(*args: object, **named: object) -> object:
        found[name] += 1
        return real(*args, **named)

    with monkeypatch.context() as patch:
        patch.setattr(owner, name, counted)
        yield found


def held(lines: tuple[str, ...] = LINES, base: RuleBase | None = None) -> Session:
    """A conversation on a rule base of its own: what other tests left in memory is cleared at any moment."""
    session = Session(base or afresh())
    for line in lines:
        session.hear(line)
    return session


def calls(what: Callable[[], object]) -> int:
    """How many functions of Python are entered."""
    entered = 0

    def seen(_: FrameType, event: str, __: object) -> None:
        nonlocal entered
        entered += event == "call"

    before = sys.getprofile()
    sys.setprofile(seen)
    try:
        what()
    finally:
        sys.setprofile(before)
    return entered


def test_an_answer_takes_one_consultation_and_what_changes_no_answer_none(monkeypatch: pytest.MonkeyPatch) -> None:
    session = held()
    with counting(Consultation, "__init__", monkeypatch) as consulted:
        session.hear("help")
        session.hear("?")
        assert consulted["__init__"] == 0
        session.hear("quantity 3")
        assert consulted["__init__"] == 1


def test_what_was_weighed_and_reckoned_is_not_again(monkeypatch: pytest.MonkeyPatch) -> None:
    base = afresh()
    held(base=base)
    with ExitStack() as counted:
        again = [
            counted.enter_context(counting(owner, name, monkeypatch))
            for owner, name in (
                (possibility, "resolve_choice"),
                (possibility, "barred"),
                (reckoning, "_reckoned"),
                (possibility, "_cut"),
            )
        ]
        held(base=base)
    assert [found.total() for found in again] == [0] * 4, again


def test_a_question_weighs_fewer_choices_anew_than_it_settles(monkeypatch: pytest.MonkeyPatch) -> None:
    session = held(LINES[:1])
    with (
        counting(possibility, "resolve_choice", monkeypatch) as weighed,
        counting(possibility.Possibility, "_settle_choice", monkeypatch) as settled,
    ):
        session.hear("change width to 41 mm")
        session.hear("black")
    assert settled["_settle_choice"] > 20
    assert weighed["resolve_choice"] * 2 < settled["_settle_choice"]


@pytest.mark.parametrize("turns", [33, pytest.param(60, marks=pytest.mark.slow)])
def test_a_long_conversation_works_as_little_in_its_last_turn_as_in_its_tenth(turns: int) -> None:
    session, counted = held(), []
    for turn in range(turns):
        line = ("change quantity to 3", "change quantity to 5", "back")[turn % 3]
        if turn in range(9, 12) or turn >= turns - 3:
            counted.append(calls(lambda said=line: session.hear(said)))
        else:
            session.hear(line)
    tenth, last = counted[:3], counted[3:]
    assert [now <= then * 1.02 for then, now in zip(tenth, last, strict=True)] == [True] * 3, (tenth, last)
    assert len(session.past) <= 20


def test_what_is_remembered_has_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(models, "MOST_REMEMBERED", 8)
    base = afresh()
    made = []
    for n in range(40):
        assert base.remembered("tried", n % 20, lambda n=n: made.append(n) or n % 20) == n % 20
    assert len(base.memo["remembered"]["tried"]) <= 8
    assert len(made) > 20

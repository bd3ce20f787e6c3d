"""TERM and HUP at any moment end a chat with the advice so far and a whole log, as POSIX means them: to end."""

from __future__ import annotations

import io
import os
import signal
from pathlib import Path

import pytest
from signals import sent

from advisor.reasoning.record import Ended, Manner
from advisor.rulebase.models import RuleBase
from advisor.shell import repl
from advisor.shell.logbook import Logbook, kept, read_log
from advisor.talk.session import Session


@pytest.mark.parametrize("seed", [1, 6, 7, 8])
def test_a_signal_ends_the_chat_with_its_advice(seed: int, tmp_path: Path) -> None:
    assert sent(seed, tmp_path).fault == ""


@pytest.mark.slow
@pytest.mark.timeout(600)
@pytest.mark.parametrize("first", range(100, 220, 10))
def test_a_hundred_signals_end_their_chats(first: int, tmp_path: Path) -> None:
    assert [s for seed in range(first, first + 10) if (s := sent(seed, tmp_path)).fault] == []


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
@pytest.mark.parametrize("lines", [1, 2, 3])
def test_a_signal_at_each_line_of_a_pipe_is_obeyed(
    rulebase: RuleBase, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, name: str, lines: int
) -> None:
    """The signal comes while the line is handed over: the line is answered or not, the advice is said all the same."""
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))
    handed, read = 0, repl.next_line

    def next_line(stream: object) -> str:
        nonlocal handed
        handed += 1
        line = read(stream)  # type: ignore[arg-type]
        if handed == lines:
            os.kill(os.getpid(), getattr(signal, name))
        return line

    monkeypatch.setattr(repl, "next_line", next_line)
    out = io.StringIO()
    with kept(rulebase, None, "chat", Manner(), False) as book:
        assert isinstance(book, Logbook)
        session = Session(rulebase, 80, None, book.keep)
        repl.chat(session, io.StringIO("belt for jeans\nchange quantity to 2\nwhy\nwhy not latigo\n"), out, True, book)
    assert handed == lines
    if lines > 1:
        assert "ORDER" in out.getvalue()
        events, torn = read_log(next(tmp_path.glob("*.jsonl")))
        assert not torn
        assert not isinstance(events[-1], Ended)

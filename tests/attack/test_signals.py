"""TERM and HUP at any moment end a chat with the advice so far and a whole log, as POSIX means them: to end."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from begun import ROOT, plain_environment
from plain import sampled
from signals import sent

from advisor.reasoning.record import Ended, Manner
from advisor.rulebase.models import RuleBase
from advisor.shell import repl
from advisor.shell.logbook import Logbook, kept, read_log
from advisor.talk.session import Session


@pytest.mark.parametrize("seed", sampled([1, 6, 7, 8], 2))
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


@pytest.mark.parametrize("after", sampled([0.1, 0.3, 0.6, 1.0, 1.6, 2.4], 2))
def test_ctrl_c_at_any_moment_of_a_start_shows_no_traceback(after: float, tmp_path: Path) -> None:
    """The moments are those since the interpreter itself is up, which it says by its first import of ours."""
    started = tmp_path / "started"
    code = (
        f"import advisor, runpy; open({str(started)!r}, 'w').close(); runpy.run_module('advisor', run_name='__main__')"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, "recommend", "belt for jeans", "--no-log"],
        cwd=ROOT,
        env=plain_environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        while not started.exists():
            time.sleep(0.005)
        time.sleep(after)
        process.send_signal(signal.SIGINT)
        _, told = process.communicate(timeout=60)
    assert b"Traceback" not in told
    assert b"fault" not in told
    assert process.returncode in (0, -signal.SIGINT)

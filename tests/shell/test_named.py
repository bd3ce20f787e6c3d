"""Consultations kept by a name, examples, options that are nearly one, bold heads and the word while it loads."""

from __future__ import annotations

import io
import time
from pathlib import Path

import pytest
from begun import ended
from terminal import Terminal

from advisor.shell import emphasis
from advisor.shell.cli import main
from advisor.shell.emphasis import show_lines, sign_of_life
from advisor.write.page import ORDER, ORDER_SLIP


class Screen(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def chat(*lines: str) -> str:
    """What a chat by pipe says to these lines."""
    done = ended([], "\n".join(lines).encode())
    assert done.code == 0
    return " ".join(done.out.decode().split())


@pytest.fixture
def logs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))
    return tmp_path


def test_a_consultation_is_named_listed_opened_and_replayed(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = chat("bifold wallet", "stamp", "name my first wallet", "quit")
    assert 'Kept as "my first wallet".' in said
    assert [path.stem[18:] for path in logs.iterdir()] == ["my-first-wallet"]
    assert main(["log", "list"]) == 0
    assert "my-first-wallet" in capsys.readouterr().out
    said = chat("belt for jeans", "open my first walet", "open my first wallet", "black", "quit")
    assert 'Did you mean "open my first wallet"?' in said
    assert "Restored: bifold wallet and stamping." in said
    assert "Understood: black." in said
    assert main(["replay", "my first wallet"]) == 0
    assert main(["log", "show", "my-first-wallet"]) == 0
    assert "black" in capsys.readouterr().out


@pytest.mark.parametrize("line", ["name tag for a suitcase", "open tote bag"])
def test_what_names_a_thing_names_no_consultation(logs: Path, line: str) -> None:
    assert 'Kept as "' not in chat(line)
    assert all(path.stem[18:].isdigit() or not path.stem[18:] for path in logs.iterdir())


def test_a_conversation_that_is_not_kept_has_no_name(logs: Path) -> None:
    done = ended(["--no-log"], b"card holder\nname my card holder\n")
    assert done.code == 0
    assert b"is not kept, so it can have no name" in done.out
    assert list(logs.iterdir()) == []


def test_examples_are_six_lines(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["examples"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == 6


def test_an_option_that_is_nearly_one_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["a belt for jeans", "--slp"]) == 2
    assert "Did you mean --slip?" in capsys.readouterr().err
    assert main(["recommend", "a belt for jeans", "--brief"]) == 2
    assert capsys.readouterr().err == "advisor: --brief does not belong to this command. Type: advisor --help\n"


def test_a_sentence_needs_no_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["a belt for jeans", "--no-log"]) == 0
    assert "trouser belt" in capsys.readouterr().out.lower()


def test_the_order_and_a_stop_are_bold_on_a_terminal_alone() -> None:
    with Terminal("--brief", lines=60) as terminal:
        terminal.wait_for("What are you making")
        terminal.tell("card holder")
        terminal.tell("slip")
        # Bold in the terminal description of xterm (terminfo): ESC [ 1 m.
        assert "\x1b[1mORDER SLIP" in terminal.raw
    for environment in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
        with Terminal("--brief", lines=60, env=environment) as terminal:
            terminal.wait_for("What are you making")
            terminal.tell("card holder")
            terminal.tell("slip")
            assert ORDER_SLIP in terminal.text()
            assert "\x1b[1m" not in terminal.raw
    lines = [f"{ORDER}  1 belt", "in order"]
    out = io.StringIO()
    show_lines(lines, out, plain=False)
    assert out.getvalue().splitlines() == lines


def test_a_word_is_shown_while_the_start_takes_long_and_goes_away(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setattr(emphasis, "PATIENCE", time.process_time() + 0.05)
    out = Screen()
    with sign_of_life(plain=False, out=out):
        end = time.monotonic() + 60
        while not out.getvalue() and time.monotonic() < end:
            time.sleep(0.01)
        assert out.getvalue() == emphasis.LOADING
    assert out.getvalue().endswith("\r")
    assert "\x1b" not in out.getvalue()
    monkeypatch.setattr(emphasis, "PATIENCE", time.process_time() + 5)
    quick, piped = Screen(), io.StringIO()
    with sign_of_life(plain=False, out=quick), sign_of_life(plain=False, out=piped):
        pass
    assert quick.getvalue() == piped.getvalue() == ""

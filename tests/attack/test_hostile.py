"""Hostile folders, files and command lines: refused or read within limits, and never echoed as they are."""

from __future__ import annotations

import io
import signal
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest
from hostile import BOMBS, FILES, FOLDERS, LINES, READ, STEERING, Maker
from limits import ran
from plain import sampled

from advisor.shell.cli import run


def steers(said: bytes) -> list[str]:
    """The control characters but line ends that reach the terminal."""
    text = said.decode("utf-8", "surrogateescape")
    return sorted({f"{ord(c):#x}" for c in text if (ord(c) < 32 and c != "\n") or 127 <= ord(c) < 160})


def here(arguments: Sequence[str], folder: Path, env: Mapping[str, str] | None = None) -> tuple[int, bytes, bytes]:
    """The program in the process of the run, its exit code and both streams; no fault of the program.

    What leads to no limit of time or memory needs no process of its own.
    """
    out, err, before = io.BytesIO(), io.BytesIO(), signal.getsignal(signal.SIGINT)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("ADVISOR_LOGS", str(folder / "logs"))
        for name, value in (env or {}).items():
            patch.setenv(name, value)
        patch.setattr(sys, "argv", ["advisor", *arguments])
        patch.setattr(sys, "stdin", io.StringIO(""))
        for name, stream in (("stdout", out), ("stderr", err)):
            patch.setattr(sys, name, io.TextIOWrapper(stream, "utf-8"))
            patch.setattr(sys, f"__{name}__", getattr(sys, f"__{name}__"))
        try:
            with pytest.raises(SystemExit) as ended:
                run()
        finally:
            signal.signal(signal.SIGINT, before)
        told = int(ended.value.code or 0), out.getvalue(), err.getvalue()
    assert 0 <= told[0] <= 4, told
    assert b"internal fault" not in told[2], told
    return told


@pytest.mark.parametrize("maker", sampled([*FOLDERS, *FILES], 3), ids=lambda maker: maker.__name__)
def test_nothing_hostile_gets_in(maker: Maker, tmp_path: Path) -> None:
    done = ran(maker(tmp_path), tmp_path)
    assert done.held, done._replace(out=done.out[:500], err=done.err[-500:])
    assert not steers(done.out + done.err)
    assert maker.__name__ in READ or done.code in (2, 3, 4), done.out[:300]
    assert len(done.err) < 20_000


@pytest.mark.parametrize("name", sampled(list(BOMBS), 8))
def test_no_value_is_too_much(name: str, tmp_path: Path) -> None:
    done = ran(BOMBS[name](tmp_path), tmp_path)
    assert done.held, done._replace(out=done.out[:500], err=done.err[-500:])
    assert done.code == 3, done.out[:300]
    assert b".toml:" in done.err
    assert not steers(done.out + done.err)
    assert len(done.err) < 40_000


@pytest.mark.parametrize("maker", STEERING, ids=lambda maker: maker.__name__)
def test_nothing_that_is_read_steers_a_terminal(maker: Maker, tmp_path: Path) -> None:
    code, out, err = here(maker(tmp_path), tmp_path)
    assert not steers(out + err)
    if maker.__name__ not in READ:
        assert code in (2, 3, 4), out[:300]
        assert b"U+001B" in err or b"U+202E" in err
        assert b".toml:" in err or b"line 2" in err
    assert len(err) < 20_000


@pytest.mark.parametrize("number", range(len(LINES)))
def test_nothing_of_the_command_line_is_echoed_as_it_is(number: int, tmp_path: Path) -> None:
    _, out, err = here(["--plain", *LINES[number]] if LINES[number][0][:2] != "--" else LINES[number], tmp_path)
    assert not steers(out + err)


@pytest.mark.parametrize("name", ["ADVISOR_HOUSE", "ADVISOR_LOGS", "TERM", "HOME", "COLUMNS", "NO_COLOR"])
def test_nothing_of_the_environment_is_echoed_as_it_is(name: str, tmp_path: Path) -> None:
    _, out, err = here(["log", "list"], tmp_path, {name: "/\x1b[31mnowhere\x9b"})
    assert not steers(out + err)


def test_a_conversation_of_control_characters_is_answered_in_plain_letters(tmp_path: Path) -> None:
    every = "".join(f"a{chr(c)}" for c in (*range(1, 10), *range(14, 32), 127, 155))
    rubbish = "\n".join(
        [
            "belt\x1b[31m for jeans",
            every,
            "change waist to \x1b[2J90 cm",
            "name \x1b[31m",
            "open \x1b]0;x\x07",
            "why \x1b",
            "quit",
        ]
    )
    done = ran(["--plain"], tmp_path, rubbish.encode())
    assert done.held, done
    assert not steers(done.out + done.err)
    name = next((tmp_path / "logs").glob("*.jsonl")).stem
    for command in (["log", "show", name], ["replay", name], ["log", "export", name, "--as", "svg"], ["log", "list"]):
        done = ran(command, tmp_path)
        assert done.code == 0, (command, done)
        assert not steers(done.out + done.err)

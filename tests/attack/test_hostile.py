"""Hostile folders, files and command lines: refused or read within limits, and never echoed as they are."""

from __future__ import annotations

from pathlib import Path

import pytest
from hostile import BOMBS, FILES, FOLDERS, LINES, READ, STEERING, Maker
from limits import ran


def steers(said: bytes) -> list[str]:
    """The control characters but line ends that reach the terminal."""
    text = said.decode("utf-8", "surrogateescape")
    return sorted({f"{ord(c):#x}" for c in text if (ord(c) < 32 and c != "\n") or 127 <= ord(c) < 160})


@pytest.mark.parametrize("maker", [*FOLDERS, *STEERING, *FILES], ids=lambda maker: maker.__name__)
def test_nothing_hostile_gets_in(maker: Maker, tmp_path: Path) -> None:
    done = ran(maker(tmp_path), tmp_path)
    assert done.held, done._replace(out=done.out[:500], err=done.err[-500:])
    assert not steers(done.out + done.err)
    assert maker.__name__ in READ or done.code in (2, 3, 4), done.out[:300]
    if maker in STEERING and maker.__name__ not in READ:
        assert b"U+001B" in done.err or b"U+202E" in done.err
        assert b".toml:" in done.err or b"line 2" in done.err
    assert len(done.err) < 20_000


@pytest.mark.parametrize(
    "name", [n if i % 4 == 0 else pytest.param(n, marks=pytest.mark.slow) for i, n in enumerate(BOMBS)]
)
def test_no_value_is_too_much(name: str, tmp_path: Path) -> None:
    done = ran(BOMBS[name](tmp_path), tmp_path)
    assert done.held, done._replace(out=done.out[:500], err=done.err[-500:])
    assert done.code == 3, done.out[:300]
    assert b".toml:" in done.err
    assert not steers(done.out + done.err)
    assert len(done.err) < 40_000


@pytest.mark.parametrize(
    "number", [n if n % 4 == 1 else pytest.param(n, marks=pytest.mark.slow) for n in range(len(LINES))]
)
def test_nothing_of_the_command_line_is_echoed_as_it_is(number: int, tmp_path: Path) -> None:
    done = ran(["--plain", *LINES[number]] if LINES[number][0][:2] != "--" else list(LINES[number]), tmp_path)
    assert done.held, done
    assert not steers(done.out + done.err)


@pytest.mark.parametrize("name", ["ADVISOR_HOUSE", "ADVISOR_LOGS", "TERM", "HOME", "COLUMNS", "NO_COLOR"])
def test_nothing_of_the_environment_is_echoed_as_it_is(name: str, tmp_path: Path) -> None:
    done = ran(["log", "list"], tmp_path, env={name: "/\x1b[31mnowhere\x9b"})
    assert done.held, done
    assert not steers(done.out + done.err)


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

"""The real chat through a pseudo-terminal: typing, completion, leaving."""

from __future__ import annotations

import sys

import pexpect
import pytest


@pytest.fixture
def chat() -> pexpect.spawn:  # type: ignore[type-arg]
    return pexpect.spawn(
        sys.executable, ["-m", "advisor"], encoding="utf-8", timeout=30, dimensions=(50, 80),
        env={"TERM": "xterm", "PATH": "/usr/bin:/bin", "PYTHONWARNINGS": "error"},
    )  # fmt: skip


def test_a_belt_from_first_prompt_to_order(chat: pexpect.spawn) -> None:  # type: ignore[type-arg]
    chat.expect("What are you making")
    chat.send("belt for jeans, 38 mm wide, waist 92 cm\r")
    chat.expect("How many will you make")
    chat.send("1\r")
    chat.expect("How much have you made")
    chat.send("done\r")
    chat.expect("What to order")
    chat.expect("1165 mm x 38 mm")
    chat.send("quit\r")
    chat.expect(pexpect.EOF)
    chat.close()
    assert chat.exitstatus == 0


def test_end_of_input_leaves_with_the_advice(chat: pexpect.spawn) -> None:  # type: ignore[type-arg]
    chat.expect("What are you making")
    chat.send("card holder\r")
    chat.expect("How many")
    chat.sendeof()
    chat.expect("What to order")
    chat.expect(pexpect.EOF)
    chat.close()
    assert chat.exitstatus == 0


def test_control_c_cancels_the_line_and_twice_leaves(chat: pexpect.spawn) -> None:  # type: ignore[type-arg]
    chat.expect("What are you making")
    chat.send("nonsense")
    chat.sendintr()
    chat.expect("cancelled")
    chat.sendintr()
    chat.expect(pexpect.EOF)
    chat.close()
    assert chat.exitstatus == 0


def test_a_dumb_terminal_gets_plain_lines() -> None:
    chat = pexpect.spawn(
        sys.executable, ["-m", "advisor"], encoding="utf-8", timeout=30, env={"TERM": "dumb", "PATH": "/usr/bin:/bin"}
    )
    chat.expect("What are you making")
    chat.send("tote\n")
    chat.expect("How many")
    chat.send("quit\n")
    chat.expect(pexpect.EOF)
    assert "\x1b" not in (chat.before or "")

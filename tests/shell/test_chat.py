"""The real chat through a pseudo-terminal: typing, leaving, and the dumb terminal."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from terminal import Terminal

from advisor.write.page import ORDER

# The order so far stands under the prompt only when a line can be typed.
READY = "1 of "


@pytest.fixture
def chat() -> Iterator[Terminal]:
    with Terminal(lines=50, env={"PYTHONWARNINGS": "error"}) as terminal:
        terminal.wait_for("So far: nothing advised yet.")
        yield terminal


def test_a_belt_from_first_prompt_to_order(chat: Terminal) -> None:
    chat.type("belt for jeans, 38 mm wide, waist 92 cm\r", READY)
    chat.type("change quantity to 1\r", "Changed: 1 to make")
    chat.type("done\r", f"{ORDER}   ")
    chat.wait_for("92 cm from the fold to the middle hole")
    chat.type("quit\r")
    assert chat.end() == 0


def test_end_of_input_leaves_with_the_advice(chat: Terminal) -> None:
    chat.type("card holder\r", READY)
    chat.type("\x04", f"{ORDER}   ")
    assert chat.end() == 0


def test_control_c_cancels_the_line_and_twice_leaves(chat: Terminal) -> None:
    chat.type("nonsense")
    chat.pump(0.3)
    chat.type("\x03", "cancelled")
    chat.type("\x03")
    assert chat.end() == 0


def test_a_dumb_terminal_gets_plain_lines() -> None:
    with Terminal(env={"TERM": "dumb"}) as chat:
        chat.wait_for("What are you making")
        chat.type("tote\n", "1 of ")
        chat.type("quit\n")
        assert chat.end() == 0
        assert "\x1b" not in chat.raw

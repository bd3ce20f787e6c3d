"""A chat in a pseudo-terminal that is sent a signal at a chosen moment, and what came of it."""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from pathlib import Path
from typing import NamedTuple

sys.path.append(str(Path(__file__).parents[1] / "shell"))
from terminal import Terminal

MOMENTS = ("typing", "enter", "answering", "asking", "starting")
SIGNALS = (signal.SIGTERM, signal.SIGHUP)


class Sent(NamedTuple):
    """One signal: whether the chat ended in time with its advice, a code of 0 and a whole log with every line."""

    seed: int
    moment: str
    plain: bool
    fault: str


def sent(seed: int, folder: Path) -> Sent:
    """One chat and one signal, the moment drawn by the seed."""
    chance = random.Random(seed)
    moment, plain, name = MOMENTS[seed % len(MOMENTS)], seed % 3 == 2, SIGNALS[seed % 2]
    logs = folder / f"logs{seed}"
    typed = ["belt for jeans"]
    with Terminal(
        *(["--plain"] if plain else []),
        columns=100,
        lines=40,
        env={"ADVISOR_LOGS": str(logs)},
        copied=moment != "starting",
    ) as terminal:
        if moment == "starting":
            time.sleep(chance.uniform(0.0, 2.0))
            os.kill(terminal.child.pid, name)
            return Sent(seed, moment, plain, _ended(terminal, logs, [], begun=False))
        terminal.wait_for("What are you making")
        terminal.tell(typed[0])
        if moment != "asking":
            terminal.type("change quantity to 2")
            terminal.pump(0.2)
        if moment in ("enter", "answering"):
            typed.append("change quantity to 2")
            terminal.type("\r")
            time.sleep(chance.uniform(0.0, 0.01) if moment == "enter" else chance.uniform(0.02, 0.6))
        os.kill(terminal.child.pid, name)
        return Sent(seed, moment, plain, _ended(terminal, logs, typed))


def _ended(terminal: Terminal, logs: Path, typed: list[str], begun: bool = True) -> str:
    """What is wrong with the end of a chat; empty where nothing is."""
    end = time.monotonic() + 120
    while terminal.pump(0.1):
        if time.monotonic() > end:
            return "it goes on"
    code = terminal.child.wait()
    # Before the chat has begun the system's own way of ending is a right one.
    if not begun:
        return "" if code == 0 or -code in SIGNALS else "it ended with a fault"
    if code != 0:
        return f"code {code}"
    if "Traceback" in terminal.raw or "internal fault" in terminal.raw:
        return "a fault was shown"
    if "ORDER" not in terminal.text():
        return "no advice was said"
    kept = [json.loads(line) for file in logs.glob("*.jsonl") for line in file.read_text("utf-8").splitlines()]
    lines = [event["event"]["line"] for event in kept if event["event"]["kind"] == "typed"]
    # A line on its way when the signal came may have stayed in the terminal, and then it was never answered.
    if lines not in (typed, typed[:1]):
        return f"kept were {lines}"
    if [event["n"] for event in kept] != list(range(1, len(kept) + 1)):
        return "lines of the log are missing"
    return ""

"""A terminal for tests: the real program behind a pseudo-terminal, its screen kept by an emulator."""

from __future__ import annotations

import os
import re
import sys
import time
from collections.abc import Mapping
from typing import Self

import pexpect
import pyte
from instead import passed_on


def plain_environment() -> dict[str, str]:
    """Nothing of the machine but where programs are and where this run keeps its logs."""
    kept = {name: os.environ[name] for name in ("ADVISOR_LOGS", "XDG_CACHE_HOME")}
    return {"TERM": "xterm", "PATH": "/usr/bin:/bin", **passed_on(), **kept}


PATIENCE = 120.0
"""Seconds that a busy machine may take for anything; what goes on as it should is awaited no longer than it takes."""


class _Screen(pyte.HistoryScreen):
    """A screen that answers when it is asked where the cursor stands, as terminals do."""

    def __init__(self, columns: int, lines: int) -> None:
        super().__init__(columns, lines, history=5000)
        self.said: list[str] = []

    def write_process_input(self, data: str) -> None:
        self.said.append(data)


class Terminal:
    """One run of the program. ``text()`` is what somebody sees, with what has scrolled away above it."""

    def __init__(
        self, *arguments: str, columns: int = 80, lines: int = 24, env: Mapping[str, str] | None = None
    ) -> None:
        self.screen = _Screen(columns, lines)
        self.stream = pyte.Stream(self.screen)
        self.raw = ""
        self.child = pexpect.spawn(
            sys.executable,
            ["-m", "advisor", *arguments],
            encoding="utf-8",
            codec_errors="replace",
            timeout=60,
            dimensions=(lines, columns),
            env={**plain_environment(), **(env or {})},
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.child.close(force=True)

    def pump(self, seconds: float = 0.05) -> bool:
        """Take in what the program writes within ``seconds``, until it pauses; False when it has ended."""
        patience = seconds
        while True:
            try:
                data = self.child.read_nonblocking(65536, timeout=patience)
            except pexpect.TIMEOUT:
                return True
            except (pexpect.EOF, OSError):
                return False
            self.raw += data
            self.stream.feed(data)
            while self.screen.said:
                self.child.send(self.screen.said.pop(0))
            patience = 0.02

    def wait_for(self, text: str, seconds: float = PATIENCE) -> None:
        """Pump until ``text`` is seen on the screen or above it, however it is wrapped."""
        end = time.monotonic() + seconds
        while " ".join(text.split()) not in " ".join(self.text().split()):
            assert time.monotonic() < end, f"waited for {text!r} before:\n{self.text()}"
            if not self.pump(0.1):
                assert " ".join(text.split()) in " ".join(self.text().split()), self.text()
                return

    def type(self, text: str, then: str = "") -> None:
        """Send keys, and wait for what follows them."""
        self.child.send(text)
        if then:
            self.wait_for(then)

    def tell(self, line: str) -> None:
        """Type a line and wait for the mark after which the next is typed."""
        marks = self.marks()
        self.type(line)
        # The completions of what was typed go away before the line is sent.
        self.pump(0.1)
        self.type("\r")
        end = time.monotonic() + PATIENCE
        while self.marks() <= marks:
            assert time.monotonic() < end, f"after {line!r}:\n{self.text()}"
            if not self.pump(0.2):
                return

    def marks(self) -> int:
        """How often a line could be typed so far."""
        return len(re.findall(r"^>", self.text(), re.MULTILINE))

    def end(self, seconds: float = PATIENCE) -> int | None:
        """Wait for the program to end and return its exit code."""
        end = time.monotonic() + seconds
        while self.pump(0.1):
            assert time.monotonic() < end, f"the program goes on:\n{self.text()}"
        self.child.wait()
        return self.child.exitstatus

    def text(self) -> str:
        """Everything that was said, line by line."""
        above = ["".join(row[x].data for x in range(self.screen.columns)) for row in self.screen.history.top]
        return "\n".join(line.rstrip() for line in [*above, *self.screen.display])

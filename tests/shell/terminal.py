"""A terminal for tests: the real program behind a pseudo-terminal, its screen kept by an emulator."""

from __future__ import annotations

import codecs
import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Mapping
from typing import Self

import pyte
from begun import Begun, plain_environment

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
    """One run of the program. ``text()`` is what somebody sees, with what has scrolled away above it.

    ``copied`` says that the program has been imported before it begins, as ``begun`` tells.
    """

    child: Begun | subprocess.Popen[bytes]

    def __init__(
        self,
        *arguments: str,
        columns: int = 80,
        lines: int = 24,
        env: Mapping[str, str] | None = None,
        copied: bool = True,
    ) -> None:
        self.screen = _Screen(columns, lines)
        self.stream = pyte.Stream(self.screen)
        self.raw = ""
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")
        self._ours, theirs = os.openpty()
        self.resize(lines, columns)
        environment = plain_environment() | dict(env or {})
        if copied:
            self.child = Begun(arguments, [theirs] * 3, environment, terminal=True)
        else:
            command = ["setsid", "--ctty", sys.executable, "-m", "advisor", *arguments]
            self.child = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=environment)
        os.close(theirs)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if self._ours >= 0:
            self.go_away()
        self.child.send_signal(signal.SIGKILL)
        self.child.wait()

    def go_away(self) -> None:
        """Close the window."""
        os.close(self._ours)
        self._ours = -1

    def resize(self, lines: int, columns: int) -> None:
        """Make the window so large."""
        fcntl.ioctl(self._ours, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))

    def send(self, text: str) -> None:
        """Type without waiting."""
        said = text.encode()
        while said:
            said = said[os.write(self._ours, said) :]

    def pump(self, seconds: float = 0.05) -> bool:
        """Take in what the program writes within ``seconds``, until it pauses; False when it has ended."""
        patience = seconds
        while select.select([self._ours], [], [], patience)[0]:
            try:
                said = os.read(self._ours, 65536)
            except OSError:
                # As Linux says that nobody is at the other end.
                return False
            data = self._decoder.decode(said)
            self.raw += data
            self.stream.feed(data)
            while self.screen.said:
                self.send(self.screen.said.pop(0))
            patience = 0.02
        return True

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
        self.send(text)
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

    def end(self, seconds: float = PATIENCE) -> int:
        """Wait for the program to end and return its exit code."""
        end = time.monotonic() + seconds
        while self.pump(0.1):
            assert time.monotonic() < end, f"the program goes on:\n{self.text()}"
        return self.child.wait()

    def text(self) -> str:
        """Everything that was said, line by line."""
        above = ["".join(row[x].data for x in range(self.screen.columns)) for row in self.screen.history.top]
        return "\n".join(line.rstrip() for line in [*above, *self.screen.display])

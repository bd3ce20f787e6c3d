"""The edge to the terminal: the one place through which text leaves, whatever it was made of.

Control characters and marks of direction are shown as escapes (``\\u001b``), which JSON reads as the same character.
What the program itself sends to a terminal, as bold, goes through ``sent`` and nothing else does.
"""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path
from typing import TextIO

from ..errors import LINE_ENDING, TURNING
from ..rulebase.bounded import steering

_STEERING = (*range(0x20), *range(0x7F, 0xA0), *map(ord, TURNING | LINE_ENDING))
_SHOWN = {n: f"\\u{n:04x}" for n in _STEERING if n != 0x0A}


def visible(text: str) -> str:
    """The text with every control character but the line end, and what turns a line round, shown as an escape."""
    return text.translate(_SHOWN) if steering(text) else text


class Edge(io.TextIOWrapper):
    """A stream of text that no text can steer."""

    def write(self, text: str) -> int:
        """Write a text; gives its length, as streams do."""
        super().write(visible(text))
        return len(text)

    def send(self, text: str) -> None:
        """Write what is meant for the terminal itself."""
        super().write(text)


class Aside(Edge):
    """Standard error: where nothing can be told there, that stops nothing, and from then on it leads nowhere."""

    def write(self, text: str) -> int:
        """Write a text, if it can be."""
        try:
            return super().write(text)
        except OSError:
            silence(self)
            return len(text)

    def flush(self) -> None:
        """Let out what waits, if it can be."""
        try:
            super().flush()
        except OSError:
            silence(self)


def silence(stream: TextIO) -> None:
    """Nobody reads this stream any more: what still waits in it, and what is said from here on, goes nowhere."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def send(out: TextIO, text: str) -> None:
    """Write what is meant for the terminal itself, such as bold or a return to the first column."""
    if isinstance(out, Edge):
        out.send(text)
    else:
        out.write(text)


def as_json(text: str) -> None:
    """Print JSON: always UTF-8, whatever the terminal speaks (RFC 8259, 8.1), on a line of its own."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8", errors="backslashreplace")
    print(text)


def streams() -> None:
    """Makes the three streams fit for anything: closed ones lead nowhere, and odd bytes or letters stop nothing."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        stream = getattr(sys, name)
        if stream is None:
            # It stays open for the whole run.
            setattr(sys, name, Path(os.devnull).open(mode, encoding="utf-8"))  # noqa: SIM115
        elif isinstance(stream, io.TextIOWrapper):
            encoding = stream.encoding if _holds_ascii(stream.encoding) else "utf-8"
            if mode == "r":
                stream.reconfigure(encoding=encoding, errors="replace")
                continue
            lined, through = stream.line_buffering, stream.write_through
            stream.flush()
            kind = Aside if name == "stderr" else Edge
            edge = kind(stream.detach(), encoding, "replace", line_buffering=lined, write_through=through)
            setattr(sys, name, edge)
            setattr(sys, f"__{name}__", edge)


def _holds_ascii(encoding: str) -> bool:
    """Whether plain letters are one byte each, as every terminal takes them."""
    try:
        return "a".encode(encoding) == b"a"
    except (LookupError, UnicodeError):
        return False

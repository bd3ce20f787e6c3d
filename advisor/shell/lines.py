"""Text that comes in line by line, from a file or from standard input, whatever its bytes are.

Bytes that are no UTF-8 become marks that the reader of sentences names; of a line without end only so much is
kept as can be read. Nothing here says what a line means.
"""

from __future__ import annotations

import os
import stat
import sys
from collections.abc import Iterator
from typing import TextIO

from ..errors import AdvisorError
from ..read.reader import MAX_TEXT
from ..rulebase.bounded import BYTE_ORDER_MARK, UnfitError

STANDARD_INPUT = "-"
_CHUNK = 1 << 16


def next_line(stream: TextIO) -> str:
    """The next line, cut where nothing more of it would be read; "" at the end of input."""
    line = rest = stream.readline(MAX_TEXT + 2)
    while rest and not rest.endswith("\n"):
        rest = stream.readline(_CHUNK)
    return line


def lines_of(name: str) -> Iterator[tuple[int, str]]:
    """Each line of a file, or of standard input for ``-``, with its number from 1.

    Raises AdvisorError when the file cannot be read.
    """
    if name == STANDARD_INPUT:
        yield from _numbered(sys.stdin)
        return
    try:
        with _opened(name) as file:
            yield from _numbered(file)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", error)
        raise AdvisorError(f"{name} cannot be read: {why}; expected a sentence on each line") from error


def _opened(name: str) -> TextIO:
    """A plain file for reading; of anything else nothing is read, since it may never end."""
    descriptor = os.open(name, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0))
    if stat.S_ISREG(os.fstat(descriptor).st_mode):
        return os.fdopen(descriptor, encoding="utf-8", errors="replace")
    os.close(descriptor)
    raise UnfitError(f"it is no plain file; a pipe is read by --batch {STANDARD_INPUT}")


def _numbered(stream: TextIO) -> Iterator[tuple[int, str]]:
    number = 0
    while line := next_line(stream):
        number += 1
        yield number, line if number > 1 else line.removeprefix(BYTE_ORDER_MARK)

"""Where the results of a batch go: standard output, or a file that takes whole lines and can be gone on with.

A line reaches the file in one piece with its line end last, so that after a crash a line without its end is the
only one that may be incomplete; it is cut off when the file is opened again, and its sentence is advised on anew.
"""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path

from ..errors import AdvisorError, UsageError, shown
from .logbook import locked

_START = b'{"line": '
_BLOCK = 1 << 16
MAX_LINE = 64_000_000


class Results:
    """Results one after another. ``name`` is the file, None for standard output; ``last`` the last line it holds.

    Raises UsageError for a file that holds something else or that another batch writes, AdvisorError for one that
    cannot be opened.
    """

    def __init__(self, path: Path | None) -> None:
        self.name: str | None = None
        self.last: int | None = None
        self._descriptor: int | None = None
        if path is None:
            return
        self.name = shown(path)
        try:
            descriptor = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_NONBLOCK", 0), 0o666)
        except OSError as error:
            raise AdvisorError(f"{self.name} cannot be written: {error.strerror}") from error
        try:
            self.last = _last_line(self.name, descriptor)
        except BaseException:
            os.close(descriptor)
            raise
        self._descriptor = descriptor

    def add(self, text: str) -> None:
        """Write one result; it has left this program when this returns."""
        if self._descriptor is None:
            print(text, flush=True)
            return
        block = (text + "\n").encode("utf-8", "replace")
        while block:
            block = block[os.write(self._descriptor, block) :]

    def close(self) -> None:
        """Give the file back."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None


def _last_line(name: str, descriptor: int) -> int | None:
    """The number of the last whole line, after what is torn behind it was cut off; None of an empty file."""
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        raise UsageError(f"{name} is no file that lines can be added to")
    if not locked(descriptor):
        raise UsageError(f"{name} is being written by another batch")
    size = os.fstat(descriptor).st_size
    whole = _after_line_end(name, descriptor, size)
    for start in (0, whole):
        head = os.pread(descriptor, len(_START), start)
        if not _START.startswith(head):
            raise UsageError(f"{name} holds something else than the results of a batch; name another file")
    if whole < size:
        os.ftruncate(descriptor, whole)
    if whole == 0:
        return None
    start = _after_line_end(name, descriptor, whole - 1)
    try:
        number = json.loads(os.pread(descriptor, whole - start, start))["line"]
    except (ValueError, KeyError, TypeError) as error:
        raise UsageError(f"{name}: its last line is no result of a batch; name another file") from error
    if not isinstance(number, int):
        raise UsageError(f"{name}: its last line has no number; name another file")
    return number


def _after_line_end(name: str, descriptor: int, end: int) -> int:
    """The place after the last line end before ``end``, 0 where there is none."""
    place = end
    while place > 0:
        start = max(0, place - _BLOCK)
        found = os.pread(descriptor, place - start, start).rfind(b"\n")
        if found >= 0:
            return start + found + 1
        place = start
        if end - place > MAX_LINE:
            raise UsageError(f"{name} holds a line longer than any result; name another file")
    return 0

"""Files that may come from strangers, read within bounds: plain files of a known size, texts that steer nothing.

What a file is and how large is looked at before a byte of it is read, so that neither a pipe nor a device nor a file of
three gigabytes can hold the program up.
"""

from __future__ import annotations

import os
import re
import stat
import unicodedata
from collections.abc import Iterator, Mapping
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from ..errors import LINE_ENDING, TURNING

MAX_DEPTH = 16
"""More parts than this no key has; the standard reader takes time by their square."""
BYTE_ORDER_MARK = "\ufeff"
"""Some editors begin a file of UTF-8 with it; it is no part of the text (RFC 3629, 6)."""
_QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"|\'[^\']*\'')
_BETWEEN = re.compile(r"[=,\[\]{}#]")
_SENDING = TURNING | LINE_ENDING


class UnfitError(OSError):
    """A file that is not read, and why."""

    def __init__(self, why: str) -> None:
        super().__init__(0, why)


def read_bounded(place: Traversable, most: int, inside: Path | None = None) -> bytes:
    """The bytes of a plain file of at most so many bytes, which lies ``inside`` a folder where one is given.

    Raises OSError, as UnfitError where it could be read and is not.
    """
    if not isinstance(place, Path):
        return place.read_bytes()  # within the installed package
    if inside is not None and not Path(os.path.realpath(place)).is_relative_to(os.path.realpath(inside)):
        raise UnfitError("it is a link that leads out of the folder")
    # Without waiting: a pipe would hold this up until somebody writes to it.
    descriptor = os.open(place, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0))
    try:
        return read_descriptor(descriptor, most)
    finally:
        os.close(descriptor)


def read_descriptor(descriptor: int, most: int) -> bytes:
    """The bytes of an open file, as ``read_bounded``."""
    about = os.fstat(descriptor)
    if not stat.S_ISREG(about.st_mode):
        raise UnfitError("it is no plain file")
    if about.st_size > most:
        raise UnfitError(f"it is larger than {most} bytes")
    found = bytearray()
    while len(found) <= most and (block := os.read(descriptor, min(1 << 20, most + 1 - len(found)))):
        found += block
    if len(found) > most:
        raise UnfitError(f"it is larger than {most} bytes")
    return bytes(found)


def entries(folder: Traversable, most: int) -> list[str]:
    """The names in a folder in their order; UnfitError where there are more than so many."""
    found: list[str] = []
    for entry in folder.iterdir():
        found.append(entry.name)
        if len(found) > most:
            raise UnfitError(f"it holds more than {most} files")
    return sorted(found)


def too_deep(text: str) -> int:
    """The first line with a key of more than MAX_DEPTH parts; 0 where there is none."""
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") >= MAX_DEPTH:
            parts = _BETWEEN.split(_QUOTED.sub("s", line))
            if any(part.count(".") >= MAX_DEPTH for part in parts):
                return number
    return 0


def steering(text: str) -> str:
    """The first character of a text that could steer a terminal or turn a line round; empty where there is none."""
    if text.isascii() and text.isprintable():
        return ""
    return next((c for c in text if c in _SENDING or (unicodedata.category(c) == "Cc" and c != "\n")), "")


def steered(data: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Every place in read data where a text or a key holds such a character, with the character."""
    if isinstance(data, str):
        if found := steering(data):
            yield path, found
    elif isinstance(data, Mapping):
        for key, value in data.items():
            if found := steering(key):
                yield (*path, key), found
            yield from steered(value, (*path, key))
    elif isinstance(data, list | tuple):
        for n, value in enumerate(data):
            yield from steered(value, (*path, n))

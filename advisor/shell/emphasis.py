"""What a terminal can show besides letters: the order and a stop in bold, and a word while the start takes long.

Nothing is carried by it alone. Without a terminal, in plain mode and with NO_COLOR or TERM=dumb there is none of it.
"""

from __future__ import annotations

import os
import re
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import TextIO

from ..write.page import ORDER, ORDER_SLIP, SEVERITY_WORDS
from .edge import send

PATIENCE = 0.5
"""Seconds after which somebody wonders whether anything happens."""
LOADING = "Reading the rules ..."
_HEADS = re.compile(rf"^(\s*)({ORDER_SLIP}|{ORDER}|{SEVERITY_WORDS['stop']})\b")


def is_plain(asked: bool, out: TextIO) -> bool:
    """Whether only plain lines may be written to ``out``: asked for, by the environment, or since it is no terminal."""
    return asked or bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM", "dumb") == "dumb" or not out.isatty()


def show_lines(lines: list[str], out: TextIO, plain: bool) -> None:
    """Print lines, with ORDER and STOP in bold at their beginnings where ``out`` can show it."""
    begin, end = ("", "") if is_plain(plain, out) or not any(map(_HEADS.match, lines)) else _bold(out)
    for line in lines:
        head = _HEADS.match(line) if begin else None
        if head:
            print(head[1], end="", file=out)
            send(out, begin)
            print(head[2], end="", file=out)
            send(out, end)
        print(line[head.end() :] if head else line, file=out)


def _bold(out: TextIO) -> tuple[str, str]:
    """What switches bold on and off on this terminal; nothing where it has none."""
    try:
        import curses  # not on every system
    except ImportError:
        return "", ""
    try:
        curses.setupterm(fd=out.fileno())
    except (OSError, ValueError, curses.error):
        return "", ""
    begin, end = curses.tigetstr("bold"), curses.tigetstr("sgr0")
    return (begin.decode("latin-1"), end.decode("latin-1")) if begin and end else ("", "")


@contextmanager
def sign_of_life(plain: bool, out: TextIO) -> Iterator[None]:
    """A word on the terminal while what is inside takes longer than somebody waits; it is gone afterwards."""
    if is_plain(plain, out):
        yield
        return
    shown = threading.Event()

    def say() -> None:
        # Nobody hears of a fault in a thread but by its traceback, and a word too few is none.
        with suppress(Exception):
            shown.set()
            print(LOADING, end="", file=out, flush=True)

    # The processor time so far is the least that has passed since the start.
    timer = threading.Timer(max(0.0, PATIENCE - time.process_time()), say)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        if shown.is_set():
            send(out, f"\r{' ' * len(LOADING)}\r")
            out.flush()

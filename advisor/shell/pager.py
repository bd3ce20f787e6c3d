"""Long pages on a terminal, a screen at a time, by the pager that PAGER names or the system has."""

from __future__ import annotations

import os
import pydoc
import sys
from typing import TextIO

from .edge import visible


def pages(lines: list[str], out: TextIO, plain: bool) -> bool:
    """Whether ``lines`` were shown through a pager: on a terminal, not in plain mode, where they do not fit on it."""
    if plain or os.environ.get("TERM", "dumb") == "dumb" or not (out.isatty() and sys.stdin.isatty()):
        return False
    try:
        rows = os.get_terminal_size(out.fileno()).lines
    except (OSError, ValueError):
        return False
    if len(lines) < rows:
        return False
    pydoc.pager(visible("\n".join(lines) + "\n"))
    return True

"""``advisor``, and ``python -m advisor``, the same."""

from __future__ import annotations

import signal
import sys
from typing import NoReturn


def run() -> None:
    """Entry point. Ctrl-C while the program is still being read ends it as the system does, without a word.

    What keeps the program from being read is told in one sentence, as any other fault.
    """
    ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if ours:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    try:
        from .shell.cli import run as started
    except Exception as error:
        _not_read(error)
    if ours:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    started()


def _not_read(error: Exception) -> NoReturn:
    """Tells why the program cannot be read, with the cure where a part of it is missing. Knows none of its parts."""
    said = " ".join("".join(c if c.isprintable() else " " for c in str(error)).split())
    if isinstance(error, ImportError):
        cure = "Install it anew: python -m pip install --force-reinstall leather-order-advisor"
        code, told = 3, f"the program cannot be loaded ({said}). {cure}"
    else:
        code, told = 1, f"internal fault: {type(error).__name__}: {said}"
    if sys.stderr:
        print(f"advisor: {told}", file=sys.stderr)
    sys.exit(code)


if __name__ == "__main__":
    run()

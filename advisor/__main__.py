"""``advisor``, and ``python -m advisor``, the same."""

from __future__ import annotations

import signal


def run() -> None:
    """Entry point. Ctrl-C while the program is still being read ends it as the system does, without a word."""
    ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if ours:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    from .shell.cli import run as started

    if ours:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    started()


if __name__ == "__main__":
    run()

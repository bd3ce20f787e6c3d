"""``python -m advisor``: the same command as ``advisor``."""

from __future__ import annotations

from .shell.cli import run

if __name__ == "__main__":
    run()

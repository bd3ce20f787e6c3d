"""The program held to limits of time and memory, as a stranger's file must not break them."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path

from begun import ROOT, Ended, ended
from instead import passed_on

__all__ = ["ROOT", "Ran", "ran"]
SECONDS = 30
MEGABYTES = 300
LIMITS = {"RLIMIT_AS": 2_000_000_000, "RLIMIT_CPU": 60}


class Ran(Ended):
    """One run: its exit code (None where it was ended), both streams, processor seconds, most memory in MB."""

    @property
    def held(self) -> bool:
        """Whether it ended by itself, without a fault of the program and within the limits."""
        ended = self.code is not None and 0 <= self.code <= 4 and b"internal fault" not in self.err
        return ended and b"Traceback" not in self.err and self.seconds <= SECONDS and self.megabytes <= MEGABYTES


def ran(
    arguments: Sequence[str], folder: Path, given: bytes = b"", env: Mapping[str, str] | None = None, wait: int = 300
) -> Ran:
    """One run of the program in a process of its own; the logs go to a folder beside. Nothing is left running."""
    cache = os.environ.get("XDG_CACHE_HOME", str(folder / "cache"))
    environment = {
        "PATH": "/usr/bin:/bin",
        **passed_on(),
        "ADVISOR_LOGS": str(folder / "logs"),
        "XDG_CACHE_HOME": cache,
        "TERM": "dumb",
        **(env or {}),
    }
    return Ran(*ended(arguments, given, environment, timeout=wait, limits=LIMITS))

"""The program held to limits of time and memory, as a stranger's file must not break them."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from instead import passed_on

ROOT = Path(__file__).parents[2]
SECONDS = 30
MEGABYTES = 300
_LAUNCHER = """
import os, resource, sys, time
used, wait, *command = sys.argv[1:]
pid = os.fork()
if not pid:
    resource.setrlimit(resource.RLIMIT_AS, (2_000_000_000, 2_000_000_000))
    resource.setrlimit(resource.RLIMIT_CPU, (60, 60))
    os.execv(command[0], command)
end, code = time.monotonic() + float(wait), 0
while True:
    done, status, spent = os.wait4(pid, os.WNOHANG)
    if done:
        break
    if time.monotonic() > end:
        os.kill(pid, 9)
        _, status, spent = os.wait4(pid, 0)
        code = None
        break
    time.sleep(0.01)
code = code if code is None else os.waitstatus_to_exitcode(status)
with open(used, "w") as file:
    file.write(f"{code} {spent.ru_utime + spent.ru_stime} {spent.ru_maxrss // 1024}")
"""
"""Starts one run under limits and measures it. A process of its own: the memory of a child counts that of its parent
when it was started, and that of a test run is large."""


class Ran(NamedTuple):
    """One run: its exit code (None where it was ended), both streams, processor seconds, most memory in MB."""

    code: int | None
    out: bytes
    err: bytes
    seconds: float
    megabytes: int

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
    said, told, typed, used = (folder / f".{name}" for name in ("out", "err", "in", "used"))
    typed.write_bytes(given)
    used.write_text("", "utf-8")
    with typed.open("rb") as source, said.open("wb") as out, told.open("wb") as err:
        process = subprocess.Popen(
            [sys.executable, "-S", "-c", _LAUNCHER, str(used), str(wait), sys.executable, "-m", "advisor", *arguments],
            stdin=source,
            stdout=out,
            stderr=err,
            env=environment,
            cwd=ROOT,
        )
        process.wait(wait + 30)
    code, seconds, megabytes = used.read_text("utf-8").split()
    ended = None if code == "None" else int(code)
    return Ran(ended, said.read_bytes(), told.read_bytes(), float(seconds), int(megabytes))

"""How long the program takes as a process: processor time of whole commands, beside two libraries loaded alone.

``python tests/benchmarks/start.py [TIMES]`` prints medians and the ratio to a process that loads pint, with its
registry, and pydantic. The first start writes the copy of the rule base that later ones use; both are shown. Without
``PYTHONDONTWRITEBYTECODE``, which makes every start compile the whole program again.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median

ROOT = Path(__file__).parents[2]
LIBRARIES = ("-c", "import pint, pydantic; pint.UnitRegistry()")
COMMANDS = {
    "recommend": ("-m", "advisor", "recommend", "--no-log", "a belt for jeans"),
    "chat, first prompt": ("-m", "advisor", "--no-log", "--plain"),
    "rules check": ("-m", "advisor", "rules", "check"),
}


def seconds(command: tuple[str, ...], cache: str) -> float:
    """Processor time of one process, user and system, in seconds. Raises CalledProcessError where it fails."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    env |= {"XDG_CACHE_HOME": cache, "PYTHONPATH": str(ROOT)}
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, *command], cwd=ROOT, env=env, input=b"", stdout=subprocess.DEVNULL, check=True, timeout=300
    )
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def timed(times: int) -> dict[str, float]:
    """The median of each command, and of the libraries; every round tries each of them once."""
    with tempfile.TemporaryDirectory() as cache:
        # Once for the bytecode of the program, once without a copy of the rule base.
        seconds(COMMANDS["recommend"], f"{cache}/thrown away")
        found = {"recommend, first start": [seconds(COMMANDS["recommend"], cache)]}
        for _ in range(times):
            for name, command in {"pint and pydantic": LIBRARIES, **COMMANDS}.items():
                found.setdefault(name, []).append(seconds(command, cache))
    return {name: median(taken) for name, taken in found.items()}


def main() -> None:
    """Prints the table."""
    found = timed(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
    for name, taken in found.items():
        sys.stdout.write(f"{name:24} {taken:5.2f} s  {taken / found['pint and pydantic']:5.1f} times the libraries\n")


if __name__ == "__main__":
    main()

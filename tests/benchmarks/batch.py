"""How many lines a second a batch takes, in processor time of one core, and how much memory it holds.

``python tests/benchmarks/batch.py [new] [list] [LINES ...]`` makes lines of the kept sentences (``tests/read/*.toml``),
runs ``advisor recommend --batch`` on each number of them and prints lines a second and the greatest resident size. "new
lines" are put together from the clauses of two sentences and differ all; "a shop's list" says the same hundred lines
over and over, as orders do; ``new`` or ``list`` takes one of them alone. Both are the same in every run. Options after
``--`` go to the command, as in ``batch.py 1000 -- --json``.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator, Sequence
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from time import perf_counter

ROOT = Path(__file__).parents[2]
SEED = 20_261
LISTED = 100
FILES = ("sentences.toml", "sentences_counter.toml", "sentences_later.toml", "facts.toml", "facts_spoken.toml")


def kept() -> list[str]:
    """The sentences that are kept with their facts."""
    found: list[str] = []
    for name in FILES:
        table = tomllib.loads((ROOT / "tests" / "read" / name).read_text(encoding="utf-8"))
        found += [row["say"] for row in table["sentence"]]
    return found


def new_lines(seed: int = SEED) -> Iterator[str]:
    """Lines without end, no two alike: the clauses of one sentence that is kept, with some of another's."""
    pick, said, before = random.Random(seed), kept(), set[str]()
    while True:
        one, other = (pick.choice(said).split(", ") for _ in range(2))
        line = ", ".join([*one, *other[1:][: pick.randint(0, 2)]])
        if pick.random() < 0.3:
            line += f", {pick.randint(2, 40)} of them"
        if line not in before:
            before.add(line)
            yield line


def listed(seed: int = SEED) -> Iterator[str]:
    """Lines without end out of a hundred, some much oftener than others."""
    pick, new = random.Random(seed), new_lines(seed)
    lines = [next(new) for _ in range(LISTED)]
    while True:
        yield lines[int(LISTED * pick.random() ** 2)]


def measured(lines: Sequence[str], options: Sequence[str]) -> tuple[float, float, int]:
    """Processor time and time passed, in seconds, and the greatest resident size in kB, of one batch."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "lines.txt"
        path.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")
        env = {n: v for n, v in os.environ.items() if n != "PYTHONDONTWRITEBYTECODE"} | {"PYTHONPATH": str(ROOT)}
        command = [sys.executable, "-m", "advisor", "recommend", "--batch", str(path), *options]
        before, start = getrusage(RUSAGE_CHILDREN), perf_counter()
        done = subprocess.run(command, cwd=ROOT, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        after, passed = getrusage(RUSAGE_CHILDREN), perf_counter() - start
    if done.returncode not in (0, 2):
        raise SystemExit(f"the batch ended with {done.returncode}")
    taken = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return taken, passed, after.ru_maxrss


def main() -> None:
    """Prints a line for each size and kind."""
    given, options = sys.argv[1:], ["--no-log"]
    if "--" in given:
        given, options = given[: given.index("--")], given[given.index("--") + 1 :]
    counts = [int(n) for n in given if n.isdecimal()] or [1000]
    kinds = {"new": ("new lines", new_lines), "list": ("a shop's list", listed)}
    for count in counts:
        for kind, lines in [kinds[k] for k in given if k in kinds] or kinds.values():
            source = lines()
            taken, passed, size = measured([next(source) for _ in range(count)], options)
            sys.stdout.write(
                f"{kind:14} {count:7} lines {count / taken:7.1f} a second of one core, {count / passed:7.1f} passed, "
                f"at most {size / 1024:.0f} MB so far\n"
            )


if __name__ == "__main__":
    main()

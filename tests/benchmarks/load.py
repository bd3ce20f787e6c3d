"""Many conversations over one rule base: the same advice side by side as one by one, flat memory, no growing turns.

``python tests/benchmarks/load.py together [SESSIONS]`` holds conversations one by one, then line by line in turns, then
in threads, and compares every word; ``memory [CONSULTATIONS]`` prints the resident size at each tenth of them;
``long [TURNS]`` prints the processor time of turns of one conversation, the first hundreds beside the last.
"""

from __future__ import annotations

import random
import statistics
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from time import process_time

from advisor import load_rulebase
from advisor.read.reader import read_sentence
from advisor.reasoning.consult import Consultation
from advisor.reasoning.report import report
from advisor.rulebase.models import RuleBase
from advisor.shell.garbage import IN_PAUSES, in_a_pause, seldom_collected
from advisor.talk.session import Session

sys.path.insert(0, str(Path(__file__).parents[2]))
from tests.benchmarks.batch import new_lines
from tests.benchmarks.turns import WAITS_FOR, talks

SEED = 20_262
LINES = 6
THREADS = 8
CHANGES = ("quantity 3", "change quantity to 5", "back", "why tannage", "black", "change colour to brown", "", "advice")


def said(session: Session, line: str) -> tuple[Sequence[str], str]:
    """What is said to one line, and asked after it."""
    reply = session.hear(line)
    return reply.lines, reply.prompt


def together(rulebase: RuleBase, sessions: int) -> tuple[int, int, int]:
    """How many conversations there were, and how many differ side by side and in threads from one by one."""
    every = [[WAITS_FOR.sub("", line, count=1) for line in lines][:LINES] for lines in talks()]
    chosen = random.Random(SEED).sample(every, min(sessions, len(every)))

    def held(lines: Sequence[str]) -> list[tuple[Sequence[str], str]]:
        session = Session(rulebase)
        return [said(session, line) for line in lines]

    alone = [held(lines) for lines in chosen]
    beside = [(Session(rulebase), lines) for lines in chosen]
    turns: list[list[tuple[Sequence[str], str]]] = [[] for _ in chosen]
    for n in range(LINES):
        for (session, lines), heard in zip(beside, turns, strict=True):
            if n < len(lines):
                heard.append(said(session, lines[n]))
    before = sys.getswitchinterval()
    sys.setswitchinterval(0.0005)
    try:
        with ThreadPoolExecutor(THREADS) as pool:
            threads = list(pool.map(held, chosen))
    finally:
        sys.setswitchinterval(before)
    return len(alone), _others(alone, turns), _others(alone, threads)


def _others(one: Sequence[object], other: Sequence[object]) -> int:
    return sum(a != b for a, b in zip(one, other, strict=True))


def resident_mb() -> float:
    """What the process holds in memory now, MB."""
    for line in Path("/proc/self/status").read_text(encoding="ascii").splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024
    raise SystemExit("this system does not tell how large a process is")


def memory(rulebase: RuleBase, consultations: int) -> Iterator[tuple[int, float]]:
    """The resident size after each tenth of so many consultations, each read from a line of its own."""
    lines = new_lines()
    for n in range(1, consultations + 1):
        answers = read_sentence(rulebase, next(lines)).answers
        # Read whole, since a part that nobody reads is not worked out.
        report(Consultation(rulebase, answers)).model_dump()
        if n * 10 % consultations == 0:
            yield n, resident_mb()


def long(rulebase: RuleBase, turns: int) -> list[float]:
    """The processor time of each turn of one conversation, in ms."""
    session, found = Session(rulebase, listener=lambda event: event.model_dump_json()), []
    session.hear("a belt for jeans, 38 mm wide, waist 92 cm")
    for n in range(turns):
        start = process_time()
        session.hear(CHANGES[n % len(CHANGES)])
        found.append(1000 * (process_time() - start))
        in_a_pause()
    return found


def main() -> None:
    """Prints what was asked for."""
    what, *rest = sys.argv[1:] or ["together"]
    rulebase = load_rulebase()
    Session(rulebase).hear("a belt for jeans, 1 1/2 in wide")
    with seldom_collected(IN_PAUSES if what == "long" else 50_000):
        if what == "together":
            count, beside, threads = together(rulebase, int(rest[0]) if rest else 50)
            sys.stdout.write(f"{count} conversations; other words in turns: {beside}, in threads: {threads}\n")
        elif what == "memory":
            for n, size in memory(rulebase, int(rest[0]) if rest else 20_000):
                sys.stdout.write(f"{n:6} consultations {size:6.0f} MB\n")
                sys.stdout.flush()
        else:
            times = long(rulebase, int(rest[0]) if rest else 1000)
            for start in range(0, len(times), max(1, len(times) // 5)):
                part = times[start : start + max(1, len(times) // 5)]
                middle, worst = statistics.median(part), max(part)
                sys.stdout.write(f"turns from {start + 1:5}: median {middle:6.1f} ms, longest {worst:6.1f} ms\n")


if __name__ == "__main__":
    main()

"""How long a turn of a conversation takes: CPU time of every line of the transcripts and of the scripted conversations.

``python tests/benchmarks/turns.py [SHARE]`` prints median, 95th percentile and the longest turn in milliseconds, first
turns apart, since those read a rule base's words for the first time; with SHARE only every so many conversations.
Everything is kept of each line, and garbage is looked for between the lines, as the chat does.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path
from time import process_time

from advisor import load_rulebase
from advisor.rulebase.models import RuleBase
from advisor.shell.garbage import IN_PAUSES, in_a_pause, seldom_collected
from advisor.talk.session import Session

sys.path.insert(0, str(Path(__file__).parents[2]))
from tests.talk.conversations import FIRST, SECOND, rows

TRANSCRIPTS = Path(__file__).parents[2] / "transcripts_demo"
WAITS_FOR = re.compile(r"@\w+ ")


def talks() -> Iterator[list[str]]:
    """The lines of each conversation, in the order in which they are typed."""
    for path in sorted(TRANSCRIPTS.glob("*.txt")):
        yield [line[1:].strip() for line in path.read_text(encoding="utf-8").splitlines() if line.startswith(">")]
    for table in (t for t in (FIRST, SECOND) if t.exists()):
        for row in rows(table):
            # Enter before each answer that waits for its question, as a person would press it.
            yield [part for line in row["says"] for part in (["", line] if WAITS_FOR.match(line) else [line])]


def timed(rulebase: RuleBase, every: int = 1) -> tuple[list[tuple[float, str]], list[tuple[float, str]]]:
    """CPU seconds of each first turn and of each later one, with the line."""
    first: list[tuple[float, str]] = []
    later: list[tuple[float, str]] = []
    for n, lines in enumerate(talks()):
        if n % every:
            continue
        session = Session(rulebase, listener=lambda event: event.model_dump_json())
        for at, line in enumerate(lines):
            said = WAITS_FOR.sub("", line, count=1)
            start = process_time()
            session.hear(said)
            (later if at else first).append((process_time() - start, said))
            in_a_pause()
    return first, later


def told(name: str, turns: list[tuple[float, str]]) -> str:
    """One line for some turns."""
    times = sorted(1000 * seconds for seconds, _ in turns)
    longest = max(turns)[1]
    return (
        f"{name:12} {len(times):4} turns  median {times[len(times) // 2]:6.1f} ms  p95 "
        f"{times[int(len(times) * 0.95)]:6.1f} ms  max {times[-1]:6.1f} ms  ({longest[:60]!r})"
    )


def main() -> None:
    """Prints the times."""
    rulebase = load_rulebase()
    Session(rulebase).hear("a belt for jeans")
    with seldom_collected(IN_PAUSES):
        first, later = timed(rulebase, int(sys.argv[1]) if len(sys.argv) > 1 else 1)
    sys.stdout.write(told("first turns", first) + "\n" + told("later turns", later) + "\n")


if __name__ == "__main__":
    main()

"""Scripted conversations: performed line by line and judged by what is held at the end.

A table holds one conversation a row: ``says``, the lines typed; ``item`` and ``facts``, what must be held at the end;
``either``, values of a fact that are both right; ``unknown``, what may not be held; ``said``, a pattern that some reply
must have; ``not_ordered``, a fitting that may not be on the order. A line that begins with "@width" is typed once that
question is open, after Enter on those before it. ``shown`` is a pattern that the advice at the end must have,
``not_raised`` a danger that may not be asked about.

``python tests/talk/conversations.py FILE [NUMBER ...]`` prints the score, and the conversations of these numbers.
"""

from __future__ import annotations

import re
import sys
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from advisor import load_rulebase
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session

HERE = Path(__file__).parent
FIRST, SECOND = HERE / "conversations_first.toml", HERE / "conversations_second.toml"
LOST = HERE / "conversations_lost.toml"
MOST_ENTERS = 8
NEAR = 0.6
"""Within how many mm a size is the one that was said."""
_ONCE_ASKED = re.compile(r"@(\w+) (.*)")
_REFUSED = re.compile(
    r"did not get that|not understood|did not understand|I found no|Only one |I do not know that|cannot be|expected "
    r"|I have no .* from before",
    re.IGNORECASE,
)


@dataclass(slots=True)
class Judged:
    """One conversation: what was typed and said, what is wrong at its end, and the lines that changed nothing."""

    lines: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    typed: int = 0


def rows(path: Path) -> list[dict[str, Any]]:
    """The conversations of a table."""
    found: list[dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))["talk"]
    return found


def judged(rulebase: RuleBase, row: dict[str, Any]) -> Judged:
    """The conversation performed and judged."""
    session, result = Session(rulebase), Judged()
    for line in row["says"]:
        _say(session, line, result)
    result.wrong = list(_wrong(session, row, "\n".join(result.lines)))
    return result


def _say(session: Session, line: str, result: Judged) -> None:
    once = _ONCE_ASKED.fullmatch(line)
    if once:
        for _ in range(MOST_ENTERS):
            if session.question is None or session.question.name == once[1]:
                break
            result.lines += ["> ", *session.hear("").lines]
        line = once[2]
        held = session.answers.get(once[1])
        if (session.question is None or session.question.name != once[1]) and held and held.values:
            return
    before = _state(session)
    asked = session.question.name if session.question else "-"
    said = session.hear(line).lines
    result.typed += 1
    result.lines += [f"{asked} > {line}", *said]
    if before == _state(session) and _REFUSED.search(" ".join(said)):
        result.refused.append(line)


def _state(session: Session) -> tuple[object, ...]:
    return dict(session.answers), session.questions, session.pending, session.offered


def _wrong(session: Session, row: dict[str, Any], said: str) -> Iterator[str]:
    if session.item() != row["item"]:
        yield f"item {session.item()}, not {row['item']}"
    for name, value in row.get("facts", {}).items():
        held = session.answers.get(name)
        values = held.values if held else ()
        right = row.get("either", {}).get(name, [value])
        if len(values) != 1 or not any(_same(values[0], one) for one in right):
            yield f"{name} {values}, not {value}"
    for name in row.get("unknown", []):
        if (held := session.answers.get(name)) and held.values:
            yield f"{name} {held.values}, which nobody said"
    if (pattern := row.get("said")) and not re.search(pattern, said):
        yield f"nothing said of {pattern}"
    if row.get("shown") and not re.search(row["shown"], " ".join(session.slip_lines())):
        yield f"the order says nothing of {row['shown']}"
    if row.get("not_raised") and any(row["not_raised"] in str(v) for v in _raised(session)):
        yield f"{row['not_raised']} is asked about"
    if row.get("not_ordered"):
        labels = " ".join(line.label for line in session.advice().order.lines if line.kind == "fitting")
        if row["not_ordered"] in labels:
            yield f"{row['not_ordered']} is ordered"


def _raised(session: Session) -> Sequence[object]:
    held = session.answers.get("raised")
    return held.values if held else ()


def _same(held: object, value: object) -> bool:
    number = isinstance(held, float) and isinstance(value, int | float)
    return abs(held - value) < NEAR if number else held == value  # type: ignore[operator]


def main(arguments: Sequence[str]) -> None:
    """Prints the score of a table, and whole conversations by their numbers."""
    rulebase, wanted = load_rulebase(), {int(n) for n in arguments[1:]}
    right = refused = typed = 0
    for n, row in enumerate(rows(Path(arguments[0])), 1):
        if wanted and n not in wanted:
            continue
        result = judged(rulebase, row)
        right, refused, typed = right + (not result.wrong), refused + len(result.refused), typed + result.typed
        if wanted:
            sys.stdout.write("\n".join(result.lines) + "\n")
        if result.wrong or result.refused:
            sys.stdout.write(f"{n}  {'; '.join(result.wrong) or 'right'}  | refused: {result.refused}\n")
    sys.stdout.write(f"right {right}, lines refused {refused} of {typed}\n")


if __name__ == "__main__":
    main(sys.argv[1:])

"""Conversations in which fifteen questions are asked back: what is said today, and how the first runs were judged.

    python tests/talk/asked_back.py [NAME ...]

prints for each table of ``asked_back/`` how many of its questions were answered well in their first run and how many
lines today say that they cannot tell; with names (``first``, ``second`` ...) also each question with its answer. A
danger that an answer asks about is answered with "no", as the asker would, and told.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from advisor import load_rulebase
from advisor.rulebase.models import RuleBase
from advisor.talk.direct import CANNOT, UNKNOWN_THING
from advisor.talk.session import Session

FOLDER = Path(__file__).parent / "asked_back"
NAMES = (
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
    "eleventh",
    "twelfth",
    "thirteenth",
    "fourteenth",
    "fifteenth",
    "sixteenth",
    "seventeenth",
)
MOST_DANGERS = 4


def talks(name: str) -> list[dict[str, Any]]:
    """The conversations of a table."""
    path = FOLDER / f"{name}.toml"
    found: list[dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))["talk"] if path.is_file() else []
    return found


def performed(rulebase: RuleBase, talk: dict[str, Any]) -> Iterator[tuple[str, str, bool]]:
    """Each question with what is said to it, and whether it changed an answer other than of a danger."""
    session = Session(rulebase)
    for line in talk["opens"]:
        session.hear(line)
    calm(session)
    for question in talk["asks"]:
        before = dict(session.answers)
        said = " ".join(session.hear(question).lines)
        yield question, said, {**session.answers, "raised": 0} != {**before, "raised": 0}
        calm(session)


def calm(session: Session) -> None:
    """Answer what a danger asks with "no", as the asker would."""
    for _ in range(MOST_DANGERS):
        if session.advice().dangers:
            session.hear("no")


def main() -> None:
    """Print the table, and the conversations that are named."""
    rulebase = load_rulebase()
    for name in NAMES:
        for talk in talks(name):
            rows = list(performed(rulebase, talk))
            unknown = sum(said.startswith((CANNOT, UNKNOWN_THING)) for _, said, _ in rows)
            changed = sum(change for *_, change in rows)
            figures = f"first run {len(talk['good']):2} of {len(rows)}; today {unknown} not told, {changed} changed"
            print(f"{name:8} {talk['who']:46} {figures}")
            if name in sys.argv[1:]:
                print("\n".join(f"  {n}. {ask}\n     {said}" for n, (ask, said, _) in enumerate(rows, 1)))


if __name__ == "__main__":
    main()

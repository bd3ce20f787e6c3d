"""Kinds of question crossed with ordinary things: what is said to each, and that nothing is changed by it.

    python tests/talk/asked_grid.py [TABLE] [SHIFT]

prints every third pairing of TABLE (``asked_grid``), another third for SHIFT 1 and 2, each with the next wording.
A danger that an answer asks about is answered with "no".
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from asked_back import calm

from advisor import load_rulebase
from advisor.rulebase.models import RuleBase
from advisor.talk.session import Session

FOLDER = Path(__file__).parent
THIRD = 3


def pairs(table: str, shift: int | None = None) -> Iterator[tuple[dict[str, Any], str, str]]:
    """Each thing with a kind and a wording of it; every third of them for a ``shift``, else all."""
    raw = tomllib.loads((FOLDER / f"{table}.toml").read_text(encoding="utf-8"))
    for n, thing in enumerate(raw["thing"]):
        words = {key: value for key, value in thing.items() if isinstance(value, str)}
        for m, kind in enumerate(raw["kind"]):
            if shift is None or (n + m) % THIRD == shift:
                asks = kind["asks"]
                yield thing, kind["name"], asks[(n // THIRD + m + m // THIRD) % len(asks)].format(**words)


def started(rulebase: RuleBase, thing: dict[str, Any]) -> Session:
    """A conversation in which the thing and its sizes are told."""
    session = Session(rulebase)
    for line in thing["opens"]:
        session.hear(line)
    calm(session)
    return session


def main() -> None:
    """Print the pairings with their answers; a changed answer is marked."""
    rulebase = load_rulebase()
    table = sys.argv[1] if len(sys.argv) > 1 else "asked_grid"
    shift = int(sys.argv[2]) if len(sys.argv) > len(("name", "table")) else 0
    session, of = Session(rulebase), ""
    for number, (thing, kind, ask) in enumerate(pairs(table, shift), 1):
        if thing["name"] != of:
            of, session = thing["name"], started(rulebase, thing)
            print(f"== {session.order_so_far()}")
        before = dict(session.answers)
        said = " ".join(session.hear(ask).lines)
        changed = {n for n in {**session.answers, **before} if session.answers.get(n) != before.get(n)}
        print(f"{number}. {of} [{kind}] {ask}\n     {said}{f'   CHANGED {sorted(changed)}' if changed else ''}")
        calm(session)


if __name__ == "__main__":
    main()

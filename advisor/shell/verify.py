"""``advisor verify``: an advice with its proof, checked step by step without the engine that made it."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from ..errors import EXIT_ADVICE, EXIT_REPLAY_DIFFERS, AdvisorError, shown
from ..rulebase.bounded import read_bounded
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..write.page import Page
from .repl import columns

MAX_BYTES = 4_000_000
"""More is not read; a proof has about half a megabyte, and what is read takes some twenty times as much memory."""


_OTHERS = {
    "rule base": "It was made with another rule base or version of it; --rules FOLDER names the one to check by.",
    "prices": "It was reckoned by another price list; --house FOLDER names the one to check by.",
}


def add(commands: Any) -> None:
    """Declare the command."""
    command = commands.add_parser("verify", help="check an advice that carries its proof, step by step")
    command.add_argument("file", metavar="FILE", type=Path, help="what recommend ... --json --proof printed")
    command.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """Say whether every step holds, or name the first that does not."""
    from ..verify import NOT_CHECKED, verify  # no other command checks a proof

    try:
        advice = json.loads(read_bounded(options.file, MAX_BYTES))
    except (OSError, ValueError, RecursionError) as error:
        why = error.strerror if isinstance(error, OSError) else error
        what = f"{shown(options.file)}: {why}; expected the output of recommend ... --json --proof"
        raise AdvisorError(what) from error
    wrong = verify(advice, rulebase, house.sha256 if house else None)
    hint = next((f" {cure}" for begins, cure in _OTHERS.items() if wrong.startswith(begins)), "")
    page = Page(columns(sys.stdout))
    page.add(f"Does not hold: {wrong}.{hint}" if wrong else "Every step holds. Not checked:")
    for part in () if wrong else NOT_CHECKED:
        page.add(part, 2, "- ")
    print("\n".join(page.lines))
    return EXIT_REPLAY_DIFFERS if wrong else EXIT_ADVICE

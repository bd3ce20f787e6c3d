"""``advisor verify``: an advice with its proof, checked step by step without the engine that made it."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from ..errors import EXIT_ADVICE, EXIT_REPLAY_DIFFERS, AdvisorError
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..verify import NOT_CHECKED, verify

MAX_BYTES = 20_000_000
"""More is not read; a proof has about half a megabyte."""


def add(commands: Any) -> None:
    """Declare the command."""
    command = commands.add_parser("verify", help="check an advice that carries its proof, step by step")
    command.add_argument("file", metavar="FILE", type=Path, help="what recommend ... --json --proof printed")
    command.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """Say whether every step holds, or name the first that does not."""
    del house
    try:
        with options.file.open("rb") as opened:
            advice = json.loads(opened.read(MAX_BYTES))
    except (OSError, ValueError, RecursionError) as error:
        raise AdvisorError(f"{options.file}: {error}; expected the output of recommend ... --json --proof") from error
    wrong = verify(advice, rulebase)
    print(f"Does not hold: {wrong}." if wrong else f"Every step holds. Not checked: {', '.join(NOT_CHECKED)}.")
    return EXIT_REPLAY_DIFFERS if wrong else EXIT_ADVICE

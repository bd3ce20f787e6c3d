"""``advisor replay``: a decision log derived anew and compared, event by event."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from .. import __version__
from ..errors import EXIT_ADVICE, EXIT_REPLAY_DIFFERS
from ..reasoning.record import Ended
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.replay import replay
from ..write.page import Page
from ..write.telling import lines_typed
from .log import opened
from .logbook import path_of
from .repl import columns


def add(commands: Any) -> None:
    """Declare the command."""
    command = commands.add_parser("replay", help="derive a log anew and name the first difference")
    command.add_argument("log", metavar="LOG", help="a log by its name or its file")
    command.add_argument("--house", metavar="FOLDER", default=argparse.SUPPRESS, help="see above")
    command.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """Print what was found."""
    path = path_of(options.log)
    events = opened(path)
    verdict = replay(rulebase, house, events, __version__)
    page = Page(columns(sys.stdout))
    for remark in verdict.remarks:
        page.add(remark)
    for found in verdict.differences:
        page.add(f"{path.stem}, {found}.")
    if not verdict.differences:
        page.add(f"{path.stem}: {_equal(verdict.as_then)} ({lines_typed(verdict.lines)}, {verdict.events} events).")
    if not isinstance(events[-1], Ended):
        page.add(f"The log is unfinished; it stops after event {len(events)}.")
    print("\n".join(page.lines))
    return EXIT_REPLAY_DIFFERS if verdict.differences else EXIT_ADVICE


def _equal(as_then: bool) -> str:
    return "derived anew and equal" if as_then else "the advice is the same today"

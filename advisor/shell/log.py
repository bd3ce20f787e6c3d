"""``advisor log``: the decision logs that are kept: listed, one shown, one exported."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from ..errors import EXIT_ADVICE, LogError, UsageError
from ..reasoning.record import Event
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.telling import in_short, log_lines
from .logbook import folder, names, path_of, read_log
from .repl import columns

SHOWN = 20


def add(commands: Any) -> None:
    """Declare the command."""
    log = commands.add_parser("log", help="what was asked, answered and advised: list it, show it, export it")
    log.add_argument("action", choices=("list", "show", "export"))
    log.add_argument("name", nargs="?", help="a log by its name or its file, for show and export")
    log.add_argument("--all", action="store_true", help=f"for list: all, not only the last {SHOWN}")
    log.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """List, show or export."""
    del house
    if options.action == "list":
        if options.name:
            raise UsageError("log list takes no name; log show NAME shows one log")
        return _list(options.all)
    if not options.name:
        raise UsageError(f"log {options.action} needs the name of a log; log list gives them")
    path = path_of(options.name)
    return _show(rulebase, path)


def _list(every: bool) -> int:
    kept = names()
    listed = kept if every else kept[-SHOWN:]
    for name in listed:
        try:
            said = in_short(read_log(path_of(name))[0])
        except LogError as error:
            said = f"unreadable: {error}"
        print(f"{name}  {said}")
    more = f" The last {len(listed)} are shown; --all shows all." if len(listed) < len(kept) else ""
    print(f"{len(kept)} {'log' if len(kept) == 1 else 'logs'} in {folder()}.{more}")
    return EXIT_ADVICE


def _show(rulebase: RuleBase, path: Path) -> int:
    events = opened(path)
    print("\n".join(log_lines(rulebase, events, columns(sys.stdout))))
    return EXIT_ADVICE


def opened(path: Path) -> Sequence[Event]:
    """The events of a log; a torn last line is told on standard error."""
    events, torn = read_log(path)
    if torn:
        print(f"{path.stem}: the last line is torn and was left out.", file=sys.stderr)
    return events

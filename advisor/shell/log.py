"""``advisor log``: the decision logs that are kept: listed, one shown, one exported."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from .. import __version__
from ..errors import EXIT_ADVICE, LogError, ReplayError, UsageError
from ..leather.units import Units
from ..reasoning.changes import present
from ..reasoning.consult import Consultation
from ..reasoning.interview import stop
from ..reasoning.record import Began, Event, fold
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.replay import replay
from ..write.page import Page
from ..write.telling import in_short, log_lines, typed_in
from .logbook import folder, names, path_of, read_log
from .repl import columns

SHOWN = 20


def add(commands: Any) -> None:
    """Declare the command."""
    log = commands.add_parser("log", help="what was asked, answered and advised: list it, show it, export it")
    log.add_argument("action", choices=("list", "show", "export"))
    log.add_argument("name", nargs="?", help="a log by its name or its file, for show and export")
    log.add_argument("--all", action="store_true", help=f"for list: all, not only the last {SHOWN}")
    log.add_argument("--as", dest="form", choices=("prov-json", "svg"), help="for export: W3C provenance, or a drawing")
    log.add_argument("--units", choices=("mm", "inch"), default=argparse.SUPPRESS, help="see above")
    log.add_argument("--house", metavar="FOLDER", default=argparse.SUPPRESS, help="see above")
    log.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """List, show or export."""
    if (options.form is not None) != (options.action == "export"):
        raise UsageError("log export needs --as prov-json or --as svg, and nothing else does")
    if options.action == "list":
        if options.name:
            raise UsageError("log list takes no name; log show NAME shows one log")
        return _list(rulebase, options.all)
    if not options.name:
        raise UsageError(f"log {options.action} needs the name of a log; log list gives them")
    path = path_of(options.name)
    if options.action == "show":
        return _show(rulebase, path, options.units)
    return _export(rulebase, house, path, options.form, options.units)


def _list(rulebase: RuleBase, every: bool) -> int:
    kept = names()
    listed = kept if every else kept[-SHOWN:]
    page = Page(columns(sys.stdout))
    for name in listed:
        try:
            said = in_short(rulebase, read_log(path_of(name))[0])
        except LogError as error:
            said = f"unreadable: {error}"
        page.add(said, 0, f"{name}  ")
    if page.lines:
        print("\n".join(page.lines))
    more = f" The last {len(listed)} are shown; --all shows all." if len(listed) < len(kept) else ""
    print(f"{len(kept)} {'log' if len(kept) == 1 else 'logs'} in {folder()}.{more}")
    return EXIT_ADVICE


def _show(rulebase: RuleBase, path: Path, units: Units | None) -> int:
    events = opened(path)
    print("\n".join(log_lines(rulebase, events, columns(sys.stdout), units)))
    return EXIT_ADVICE


def _export(rulebase: RuleBase, house: House | None, path: Path, form: str, units: Units | None) -> int:
    """Print what the log came to. It is derived anew first: only what can be is worth exporting."""
    events = opened(path)
    if isinstance(events[0], Began) and events[0].by == "batch":
        raise UsageError(f"{path.stem}: a batch is many consultations; export the log of a single one")
    verdict = replay(rulebase, house, events, __version__)
    if not verdict.as_then:
        raise LogError(f"{path.stem}: {' '.join(verdict.remarks)} Only what is derived anew as it was is exported.")
    if verdict.differences:
        raise ReplayError(f"{path.stem}: nothing is exported, because the log differs; {verdict.differences[0]}.")
    state = fold(events)
    run = Consultation(rulebase, state.answers, house=house)
    if form == "prov-json":
        from ..reasoning.prov import provenance  # no other command writes these forms
        from ..talk.alternatives import alternatives

        others = alternatives(rulebase, state.turns, house, typed_in(rulebase, events, units))
        why_ended = stop(present(rulebase, state.answers, house), state.answers) if state.answers.get("item") else None
        sys.stdout.write(provenance(run, __version__, state.turns, others, why_ended))
    else:
        from ..write.drawing import drawing

        sys.stdout.write(drawing(run, typed_in(rulebase, events, units)))
    return EXIT_ADVICE


def opened(path: Path) -> Sequence[Event]:
    """The events of a log; a torn last line is told on standard error."""
    events, torn = read_log(path)
    if torn:
        print(f"{path.stem}: the last line is torn and was left out.", file=sys.stderr)
    return events

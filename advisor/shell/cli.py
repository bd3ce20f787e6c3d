"""The command line: arguments in, text or JSON out, exit codes as documented.

0 advice given, 1 internal fault, 2 wrong use, 3 unreadable input or rule file, 4 replay differs.
Advice goes to standard output, messages to standard error; no traceback reaches a person.
"""

from __future__ import annotations

import argparse
import errno
import json
import os
import re
import signal
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

from .. import __version__
from ..errors import (
    EXIT_ADVICE,
    EXIT_FAULT,
    EXIT_UNREADABLE,
    AdvisorError,
    UsageError,
    nearest,
    shown,
    without_controls,
)
from ..read.reader import is_assignment, read_sentence
from ..reasoning.consult import check_engine
from ..reasoning.record import Manner
from ..rulebase.house import House, load_house
from ..rulebase.load import load_rulebase
from ..rulebase.models import RuleBase
from ..rulebase.words import with_shop_words
from ..talk.asking import example_lines
from ..talk.session import Session
from . import log, recommend, replay, review, rules, verify
from .edge import as_json, silence, streams
from .emphasis import sign_of_life
from .garbage import IN_PAUSES, seldom_collected
from .lines import STANDARD_INPUT
from .logbook import kept, taken_up
from .prepared import prepared_rulebase
from .repl import chat, columns

DESCRIPTION = """Turns an intended leather item into an order: tannage, grain, surface, temper, weight, cut, species,
form and amount, each with its rule and reason. Without a command it holds a conversation; a sentence without a
command is advised on."""
NAMES = ("recommend", "log", "replay", "review", "rules", "verify", "schema", "examples")


CONCLUDING = (None, "recommend", "replay", "review")
"""What draws conclusions from its first line on; None is the conversation."""
_UNKNOWN_OPTION = re.compile(r"unrecognized arguments: (--[\w-]+)")


class _Parser(argparse.ArgumentParser):
    """argparse, with the error format and exit code of this program."""

    def _print_message(self, message: str, file: Any = None) -> None:
        # argparse would say nothing of a help that could not be written.
        print(message, end="", file=file or sys.stderr, flush=True)

    def error(self, message: str) -> NoReturn:
        found = _UNKNOWN_OPTION.search(message)
        near = nearest(found[1], _option_names(parser())) if found else None
        if near and found and near == found[1]:
            raise UsageError(f"{near} does not belong to this command. Type: advisor --help")
        raise UsageError(f"{message}.{f' Did you mean {near}?' if near else ''} Type: advisor --help")


def parser() -> argparse.ArgumentParser:
    """All commands and their options."""
    top = _Parser(prog="advisor", description=DESCRIPTION)
    top.add_argument("--version", action="version", version=f"advisor {__version__}")
    _options_for_all(top)
    commands = top.add_subparsers(dest="command", parser_class=_Parser)
    for command in (recommend, log, replay, review, rules, verify):
        command.add(commands)
    schema = commands.add_parser("schema", help="JSON Schema of the advice, or of a second opinion")
    schema.add_argument("of", nargs="?", choices=("advice", "review"), default="advice")
    commands.add_parser("examples", help="sentences ready to be typed")
    return top


def _option_names(top: argparse.ArgumentParser) -> set[str]:
    """All options of a parser and of its commands."""
    names = {name for action in top._actions for name in action.option_strings}
    for action in top._actions:
        if isinstance(action, argparse._SubParsersAction):
            names |= {name for command in set(action.choices.values()) for name in _option_names(command)}
    return names


def _options_for_all(top: argparse.ArgumentParser) -> None:
    top.add_argument("--rules", metavar="FOLDER", type=Path, help="use the rule base in this folder")
    top.add_argument(
        "--house",
        metavar="FOLDER",
        type=Path,
        default=os.environ.get("ADVISOR_HOUSE") or None,
        help="a shop's own folder: prices.toml, words.toml (or the environment variable ADVISOR_HOUSE)",
    )
    top.add_argument(
        "--resume", metavar="NAME", nargs="?", const="", help="go on with the last unfinished chat, or with NAME"
    )
    top.add_argument("--no-log", action="store_true", help="keep no decision log")
    top.add_argument(
        "--units", choices=("mm", "inch"), help="show millimetres or inches; without it, what the sizes are given in"
    )
    top.add_argument("--brief", action="store_true", help="chat: few questions, and the order slip at the end")
    top.add_argument("--plain", action="store_true", help="plain lines, no redrawing")


def _parsed(arguments: list[str]) -> argparse.Namespace:
    """The options. A sentence without a command before it is one for ``recommend``. Raises UsageError.

    ``first_word`` is then its first word, where that stands alone: perhaps it was meant as a command.
    """
    ahead = _Parser(add_help=False, allow_abbrev=False)
    _options_for_all(ahead)
    held, rest = ahead.parse_known_args(arguments)
    said = next((word for word in rest if word == STANDARD_INPUT or not word.startswith("-")), None)
    if said is None or said in NAMES:
        return parser().parse_args(arguments, argparse.Namespace(first_word=""))
    held.first_word = "" if len(said.split()) != 1 or is_assignment(said) else said
    return parser().parse_args(["recommend", *rest], held)


def _check_first_word(rulebase: RuleBase, options: argparse.Namespace) -> None:
    """Raises UsageError for a word that is nearly a command and means nothing else."""
    word: str = options.first_word
    near = nearest(word.lower(), NAMES)
    sentence = " ".join(w for w in options.words if not is_assignment(w))
    if near and word in " ".join(read_sentence(rulebase, sentence).unread).split():
        raise UsageError(
            f"{shown(word)} is no command; did you mean {near}? Type: advisor --help. If it is what you make, "
            f'type: advisor recommend "{without_controls(sentence[:60])}"'
        )


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    try:
        options = _parsed(sys.argv[1:] if arguments is None else list(arguments))
        if options.command == "schema":
            return _schema(options.of)
        if options.command in CONCLUDING:
            # Told once and at once, instead of line by line in a conversation or batch.
            check_engine()
        with sign_of_life(options.plain, sys.stderr):
            # What checks rule files reads them.
            anew = options.rules or options.command == "rules"
            rulebase = load_rulebase(options.rules) if anew else prepared_rulebase()
        if options.command == "examples":
            print("\n".join(example_lines(rulebase)))
            return EXIT_ADVICE
        if options.first_word:
            _check_first_word(rulebase, options)
        house = load_house(Path(options.house), rulebase) if options.house else None
        if options.house:
            rulebase = with_shop_words(rulebase, Path(options.house))
        if options.command and options.resume is not None:
            raise UsageError("--resume belongs to the conversation, not to a command")
        if options.command:
            code: int = options.run(rulebase, house, options)
            return code
        _chat(rulebase, house, options)
        sys.stdout.flush()
    except AdvisorError as error:
        print(f"advisor: {error}", file=sys.stderr)
        return error.exit_code
    except OSError as error:
        if error.filename is not None:
            print(f"advisor: {shown(error.filename)} cannot be used: {error.strerror}", file=sys.stderr)
            return EXIT_UNREADABLE
        return _unwritten(error)
    except KeyboardInterrupt:
        print("advisor: interrupted", file=sys.stderr)
    return EXIT_ADVICE


def _chat(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> None:
    """Conversations one after another, as long as another one is opened by its name."""
    with seldom_collected(IN_PAUSES):
        while another := _one_chat(rulebase, house, options):
            options.resume = another


def _one_chat(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> str:
    """One conversation; the log that is to be gone on with after it, else ""."""
    manner = Manner(units=options.units, brief=options.brief)
    with kept(rulebase, house, "chat", manner, options.no_log) as book:
        state = None
        if options.resume is not None:
            if options.no_log:
                raise UsageError("--resume goes on with a log, so it cannot be without one")
            state = taken_up(book, options.resume)
            manner = state.manner
        session = Session(rulebase, columns(sys.stdout), house, book.keep, manner.units, manner.brief)
        session.log_name = lambda: book.name or ""
        return chat(session, sys.stdin, sys.stdout, options.plain, book, state)


def _unwritten(error: OSError) -> int:
    """The output could not be written: told, unless nobody reads it any more. Gives the exit code."""
    silence(sys.stdout)
    if isinstance(error, BrokenPipeError) or error.errno == errno.EIO:
        return EXIT_ADVICE
    print(f"advisor: the output cannot be written: {error.strerror}", file=sys.stderr)
    return EXIT_UNREADABLE


def run() -> None:
    """Entry point of the ``advisor`` command."""
    try:
        streams()
        code = main()
    except Exception as error:
        # The last resort: a fault of the program, told in one line.
        said = without_controls(" ".join(str(error).split()))
        print(f"advisor: internal fault: {type(error).__name__}: {said}", file=sys.stderr)
        code = EXIT_FAULT
    except KeyboardInterrupt:
        code = EXIT_ADVICE
    # All is said: one more Ctrl-C changes neither that nor the exit code.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError as error:
            code = (code or _unwritten(error)) if stream is sys.stdout else code
            silence(stream)
    sys.exit(code)


def _schema(of: str) -> int:
    from ..reasoning.advice import Advice
    from ..reasoning.review import Review

    model = Review if of == "review" else Advice
    as_json(json.dumps(model.model_json_schema(by_alias=True), indent=2))
    return EXIT_ADVICE

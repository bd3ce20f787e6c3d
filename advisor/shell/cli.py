"""The command line: arguments in, text or JSON out, exit codes as documented.

0 advice given, 1 internal fault, 2 wrong use, 3 unreadable input or rule file, 4 replay differs.
Advice goes to standard output, messages to standard error; no traceback reaches a person.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from .. import __version__
from ..errors import EXIT_ADVICE, EXIT_FAULT, EXIT_UNREADABLE, AdvisorError, UsageError, nearest
from ..reasoning.cases import command_words, read_cases
from ..reasoning.facts import PIECE
from ..rulebase.house import House, load_house
from ..rulebase.load import load_rulebase
from ..rulebase.models import Rule, RuleBase
from ..talk.lexicon import items_near
from .repl import chat, columns

DESCRIPTION = """Turns an intended leather item into an order: tannage, grain, temper, weight, cut, species, form
and amount, each with its rule and reason. Without a command it holds a conversation."""


class _Parser(argparse.ArgumentParser):
    """argparse, with the error format and exit code of this program."""

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message}. Type: advisor --help")


def parser() -> argparse.ArgumentParser:
    """All commands and their options."""
    top = _Parser(prog="advisor", description=DESCRIPTION)
    top.add_argument("--version", action="version", version=f"advisor {__version__}")
    top.add_argument("--rules", metavar="FOLDER", type=Path, help="use the rule base in this folder")
    top.add_argument(
        "--house", metavar="FOLDER", type=Path, default=os.environ.get("ADVISOR_HOUSE") or None,
        help="a shop's own folder with prices.toml (or the environment variable ADVISOR_HOUSE)",
    )  # fmt: skip
    top.add_argument("--plain", action="store_true", help="plain lines, no redrawing")
    commands = top.add_subparsers(dest="command", parser_class=_Parser)
    recommend = commands.add_parser("recommend", help="advice for one item, without questions")
    recommend.add_argument(
        "words", nargs="*", metavar="SENTENCE | attribute=value",
        help='the item in your own words, and answers such as strap_width="38 mm"',
    )  # fmt: skip
    recommend.add_argument("--house", metavar="FOLDER", type=Path, default=argparse.SUPPRESS, help="see above")
    recommend.add_argument("--json", action="store_true", help="the whole advice as JSON")
    recommend.add_argument("--full", action="store_true", help="every bound, form, caution and step")
    recommend.add_argument("--width", type=int, metavar="COLUMNS", help="wrap to this many columns (40 to 200)")
    rules = commands.add_parser("rules", help="the rule base: check it, list it, show one rule")
    rules.add_argument("action", choices=("check", "list", "show"))
    rules.add_argument("id", nargs="?", help="a rule id, for show")
    rules.add_argument(
        "--cases", metavar="FOLDER", type=Path, help="for list: show under each rule its case and near miss"
    )
    commands.add_parser("schema", help="JSON Schema of the advice")
    return top


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    try:
        options = parser().parse_args(arguments)
        if options.command == "schema":
            return _schema()
        rulebase = load_rulebase(options.rules)
        house = load_house(Path(options.house), rulebase) if options.house else None
        if options.command == "recommend":
            return _recommend(rulebase, house, options)
        if options.command == "rules":
            return _rules(rulebase, options)
        chat(rulebase, house, sys.stdin, sys.stdout, options.plain)
    except AdvisorError as error:
        print(f"advisor: {error}", file=sys.stderr)
        return error.exit_code
    except BrokenPipeError:
        # The reader has gone; nothing more can be said to it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except KeyboardInterrupt:
        print("advisor: interrupted", file=sys.stderr)
    return EXIT_ADVICE


def run() -> None:
    """Entry point of the ``advisor`` command."""
    try:
        code = main()
    except Exception as error:
        # The last resort: a fault of the program, told in one line.
        print(f"advisor: internal fault: {type(error).__name__}: {error}", file=sys.stderr)
        code = EXIT_FAULT
    sys.exit(code)


def _recommend(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    from ..reasoning.consult import consult  # loads the inference library
    from ..talk.reading import read_assignments, read_sentence
    from ..talk.wording import Page, advice_lines

    if options.width is not None and not 40 <= options.width <= 200:
        raise UsageError(f"--width {options.width}: expected 40 to 200 columns")
    assignments = [w for w in options.words if _is_assignment(w)]
    sentence = " ".join(w for w in options.words if not _is_assignment(w))
    answers = read_assignments(rulebase, assignments)
    item = answers["item"].values[0] if "item" in answers and answers["item"].values else None
    reading = read_sentence(rulebase, sentence, str(item) if item else None)
    advice = consult(rulebase, {**reading.answers, **answers}, house=house)
    page = Page(columns(sys.stdout, options.width))
    if sentence:
        page.add(f"Understood: {reading.summary() or 'nothing'}.")
        for doubt in reading.doubts:
            page.add(f"In doubt: {doubt}")
        if reading.unread:
            page.add(f"Not understood: {', '.join(reading.unread)}.")
        if "item" not in {**reading.answers, **answers} and (near := items_near(rulebase, reading.unread)):
            page.add(near)
    if options.json:
        print("\n".join(page.lines), file=sys.stderr)
        print(advice.model_dump_json(by_alias=True, indent=2))
    else:
        print("\n".join([*page.lines, *([""] if page.lines else []),
                         *advice_lines(rulebase, advice, page.width, options.full)]))  # fmt: skip
    return EXIT_ADVICE


def _is_assignment(word: str) -> bool:
    name, equals, _ = word.partition("=")
    return bool(equals) and name.strip().removeprefix(PIECE).isidentifier()


def _rules(rulebase: RuleBase, options: argparse.Namespace) -> int:
    if options.cases is not None and options.action != "list":
        raise UsageError(f"--cases belongs to rules list, not to rules {options.action}")
    if options.action == "show":
        if not options.id:
            raise UsageError("rules show needs the id of a rule; rules list gives them")
        if options.id not in rulebase.rules:
            near = nearest(options.id, rulebase.rules)
            raise UsageError(f'no rule is called "{options.id}"' + (f'; did you mean "{near}"?' if near else ""))
        print("\n".join(_rule_lines(rulebase, rulebase.rules[options.id])))
        return EXIT_ADVICE
    if options.action == "list":
        return _list(rulebase, options.cases)
    return _check(rulebase)


def _list(rulebase: RuleBase, folder: Path | None) -> int:
    cases = read_cases(folder, rulebase) if folder is not None else {}
    for rule in rulebase.rules.values():
        print(f"{rule.id:<52} {rule.force:<7} {rule.concern:<18} {rule.file}:{rule.line}")
        case = cases.get(rule.id)
        if case is not None:
            print(f"    fires      {command_words(case.fires)}\n    near miss  {command_words(case.near_miss)}")
    if folder is not None:
        written = [rule for rule in rulebase.rules.values() if rule.item is None]
        print(f"{len(cases)} of {len(written)} written rules have a case and a near miss.")
    return EXIT_ADVICE


def _rule_lines(rulebase: RuleBase, rule: Rule) -> list[str]:
    from ..talk.wording import Page

    page = Page(columns(sys.stdout))
    page.add(rule.id)
    page.add(f"{rule.file}:{rule.line}; stratum {rulebase.strata.rule[rule.id]}", 2)
    for premise in dict.fromkeys(p.text for p in rule.when):
        page.add(premise, 2, "when    ")
    for conclusion in rule.then:
        page.add(conclusion.text + (f" ({conclusion.because})" if conclusion.because else ""), 2, "then    ")
    page.add(rule.because, 2, "because ")
    page.add(f"{rule.force}; {rule.concern}; {rule.basis}", 2, "stands  ")
    for source_id in rule.source:
        source = rulebase.sources[source_id]
        opened = "opened" if source.opened else "from memory"
        year = f" ({source.year})" if source.year else ""
        page.add(f"{source.title}{year}{f', {source.clause}' if source.clause else ''}; {opened}", 2, "source  ")
    for loser in rule.over:
        page.add(f"{loser}: {rule.over_because}", 2, "over    ")
    beaten = [r.id for r in rulebase.rules.values() if rule.id in r.over]
    if beaten:
        page.add(", ".join(beaten), 2, "under   ")
    for remedy in rule.remedies:
        page.add(remedy, 2, "remedy  ")
    if rule.contested:
        page.add(rule.contested, 2, "differs ")
    return page.lines


def _check(rulebase: RuleBase) -> int:
    from ..rulebase.lint import check, coverage

    findings = check(rulebase)
    for finding in findings:
        print(finding, file=sys.stderr)
    summary = coverage(rulebase)
    print(
        f"{sum(summary.rules.values())} rules in {len(summary.rules)} files, {summary.items} items, "
        f"{summary.attributes} attributes, {summary.decisions} decisions, {summary.cautions} cautions."
    )
    print(f"Basis of the rules: {', '.join(f'{name} {share:.0%}' for name, share in summary.basis.items())}.")
    errors = sum(f.severity == "error" for f in findings)
    print(f"{errors} errors, {len(findings) - errors} warnings.")
    return EXIT_UNREADABLE if errors else EXIT_ADVICE


def _schema() -> int:
    from ..reasoning.advice import Advice

    print(json.dumps(Advice.model_json_schema(by_alias=True), indent=2))
    return EXIT_ADVICE

"""``advisor recommend``: a consultation from a sentence and answers, without questions.

It asks nothing; what is open stays open in the advice. The same for each line of a file is in ``batch``.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import EXIT_ADVICE, UsageError, without_controls
from ..reasoning.record import Manner
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.recording import recommended
from ..write.catalogue import with_texts
from .batch import batch
from .edge import as_json
from .emphasis import show_lines
from .jobs import MOST
from .logbook import kept
from .pager import pages
from .printed import Found, text_lines, told, undecided_lines

if TYPE_CHECKING:
    from ..reasoning.consult import Consultation
    from ..write.page import Page

_QUESTIONS = ("why_not", "what_if", "would_change")


def add(commands: Any) -> None:
    """Declare the command."""
    recommend = commands.add_parser("recommend", help="advice for one item, without questions")
    recommend.add_argument(
        "words",
        nargs="*",
        metavar="SENTENCE | attribute=value",
        help='the item in your own words, and answers such as strap_width="38 mm"',
    )
    recommend.add_argument("--house", metavar="FOLDER", type=Path, default=argparse.SUPPRESS, help="see above")
    recommend.add_argument("--no-log", action="store_true", default=argparse.SUPPRESS, help="keep no decision log")
    recommend.add_argument("--units", choices=("mm", "inch"), default=argparse.SUPPRESS, help="see above")
    recommend.add_argument("--json", action="store_true", help="the whole advice as JSON")
    recommend.add_argument("--proof", action="store_true", help="with --json: the proof of every conclusion as well")
    recommend.add_argument("--why", metavar="NAME", help="only why: of a decision, rule or value, or A rather than B")
    recommend.add_argument("--why-not", metavar="WORDS", help="only why not: a leather, cut, form or thickness")
    recommend.add_argument("--what-if", metavar="WORDS", help='only what would differ, such as "water is rain"')
    recommend.add_argument("--would-change", metavar="NAME", help="only which answers a part of the order hangs on")
    recommend.add_argument("--full", action="store_true", help="every bound, form, caution and step")
    recommend.add_argument("--slip", action="store_true", help="the order slip: one screen to read out or print")
    recommend.add_argument(
        "--batch",
        metavar="FILE",
        help="one sentence on each line of this file, - for standard input; "
        "answers given beside it hold for every line",
    )
    recommend.add_argument(
        "--from",
        dest="start",
        metavar="LINE",
        help='with --batch: begin at this line; "next" goes on after the last whole line of --out',
    )
    recommend.add_argument(
        "--out", metavar="FILE", type=Path, help="with --batch --json: add whole lines to this file as they are done"
    )
    recommend.add_argument(
        "--jobs",
        type=int,
        default=1,
        metavar="COUNT",
        help="with --batch: work on lines in so many processes at once; results keep their order",
    )
    recommend.add_argument("--width", type=int, metavar="COLUMNS", help="wrap to this many columns (40 to 200)")
    recommend.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """Print the advice."""
    if options.width is not None and not 40 <= options.width <= 200:
        raise UsageError(f"--width {options.width}: expected 40 to 200 columns")
    if options.slip and (options.json or options.full):
        raise UsageError("--slip cannot be had together with --json or --full")
    if options.proof and not options.json:
        raise UsageError("--proof goes with --json; it is no text for reading. Try --why NAME --full")
    if options.batch is not None:
        if any(getattr(options, n) is not None for n in ("why", *_QUESTIONS)) or options.proof:
            raise UsageError("--proof and questions such as --why are for one consultation, not for --batch")
        if not 1 <= options.jobs <= MOST:
            raise UsageError(f"--jobs {options.jobs}: expected a number of processes from 1 to {MOST}")
        return batch(rulebase, house, options)
    if options.start is not None or options.out is not None or options.jobs != 1:
        raise UsageError("--from, --out and --jobs go with --batch")
    words = [without_controls(word) for word in options.words]
    with kept(rulebase, house, "recommend", Manner(units=options.units), options.no_log) as book:
        found = told(rulebase, house, options, words, recommended(rulebase, words, house, book.keep, options.units))
    if options.why is not None:
        return _why(_again(rulebase, house, found), options, found.page)
    if asked := [name for name in _QUESTIONS if getattr(options, name) is not None]:
        if len(asked) > 1:
            raise UsageError("one question at a time: --why-not, --what-if or --would-change")
        return _asked(rulebase, house, found, options, asked[0])
    if options.json:
        from ..reasoning.deciding import proven

        advice = proven(_again(rulebase, house, found)) if options.proof else found.advice
        heard = [*found.page.lines, *undecided_lines(rulebase, advice, found.page), *found.later]
        print("\n".join(heard), file=sys.stderr)
        as_json(with_texts(advice, rulebase).model_dump_json(by_alias=True, indent=2))
    else:
        lines = text_lines(rulebase, options, found, book.name or "")
        if not (options.full and pages(lines, sys.stdout, options.plain)):
            show_lines(lines, sys.stdout, options.plain)
    return EXIT_ADVICE


def _asked(rulebase: RuleBase, house: House | None, found: Found, options: argparse.Namespace, name: str) -> int:
    """One question about the advice, in a few lines or as JSON."""
    from ..reasoning.difference import moves
    from ..talk.comparing import changes_said, what_if_lines, why_not_lines, why_not_values
    from ..talk.leaning import tip_lines
    from ..talk.matter import Matter

    matter = Matter(rulebase, found.answers, house, found.page.width, found.page.units)
    text: str = getattr(options, name)
    if name == "what_if":
        changes = changes_said(rulebase, text, matter.item, matter.units)
        if options.json:
            differences = moves(found.advice, matter.advice(changes))
            written = [with_texts(m, rulebase).model_dump(mode="json") for m in differences]
            as_json(json.dumps(written, indent=2, ensure_ascii=False))
            return EXIT_ADVICE
        lines = what_if_lines(matter, changes)
    elif name == "why_not":
        if options.json:
            as_json(with_texts(why_not_values(matter, text), rulebase).model_dump_json(indent=2))
            return EXIT_ADVICE
        lines = why_not_lines(matter, text, options.full)
    elif options.json:
        raise UsageError("--would-change is text for reading; it has no --json")
    else:
        lines = tip_lines(matter, text)
    print("\n".join(lines))
    return EXIT_ADVICE


def _again(rulebase: RuleBase, house: House | None, found: Found) -> Consultation:
    from ..reasoning.consult import Consultation

    return Consultation(rulebase, found.answers, house=house)


def _why(run: Consultation, options: argparse.Namespace, page: Page) -> int:
    from ..talk.why import why_lines, why_values

    if options.json:
        as_json(json.dumps(why_values(run, options.why), indent=2, ensure_ascii=False))
    else:
        print("\n".join(why_lines(run, options.why, page.width, options.full, page.units)))
    return EXIT_ADVICE

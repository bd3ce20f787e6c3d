"""``advisor recommend``: one consultation from a sentence and answers, without questions."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import EXIT_ADVICE, UsageError
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.lexicon import items_near
from ..talk.reading import is_assignment
from .logbook import kept
from .repl import columns

if TYPE_CHECKING:
    from ..reasoning.consult import Consultation


def add(commands: Any) -> None:
    """Declare the command."""
    recommend = commands.add_parser("recommend", help="advice for one item, without questions")
    recommend.add_argument(
        "words", nargs="*", metavar="SENTENCE | attribute=value",
        help='the item in your own words, and answers such as strap_width="38 mm"',
    )  # fmt: skip
    recommend.add_argument("--house", metavar="FOLDER", type=Path, default=argparse.SUPPRESS, help="see above")
    recommend.add_argument("--no-log", action="store_true", default=argparse.SUPPRESS, help="keep no decision log")
    recommend.add_argument("--json", action="store_true", help="the whole advice as JSON")
    recommend.add_argument("--proof", action="store_true", help="with --json: the proof of every conclusion as well")
    recommend.add_argument("--why", metavar="NAME", help="only why: of a decision, caution, rule or value")
    recommend.add_argument("--full", action="store_true", help="every bound, form, caution and step")
    recommend.add_argument("--width", type=int, metavar="COLUMNS", help="wrap to this many columns (40 to 200)")
    recommend.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """Print the advice."""
    from ..reasoning.consult import Consultation  # loads the inference library
    from ..reasoning.deciding import proven
    from ..reasoning.judging import review
    from ..talk.recording import recommended
    from ..talk.reviewing import short_words
    from ..talk.wording import Page, advice_lines

    if options.width is not None and not 40 <= options.width <= 200:
        raise UsageError(f"--width {options.width}: expected 40 to 200 columns")
    if options.proof and not options.json:
        raise UsageError("--proof goes with --json; it is no text for reading. Try --why NAME --full")
    with kept(rulebase, house, "recommend", options.no_log) as book:
        reading, answers, advice = recommended(rulebase, options.words, house, book.keep)
    if options.why is not None:
        return _why(Consultation(rulebase, answers, house=house), options)
    if options.proof:
        advice = proven(Consultation(rulebase, answers, house=house))
    page = Page(columns(sys.stdout, options.width))
    if not all(is_assignment(w) for w in options.words):
        page.add(f"Understood: {reading.summary() or 'nothing'}.")
        for doubt in reading.doubts:
            page.add(f"In doubt: {doubt}")
        if reading.unread:
            page.add(f"Not understood: {', '.join(reading.unread)}.")
        if reading.proposal.points():
            page.add(short_words(review(rulebase, answers, reading.proposal, house=house), "advisor review"))
        if "item" not in answers and (near := items_near(rulebase, reading.unread)):
            page.add(near)
    if options.json:
        print("\n".join(page.lines), file=sys.stderr)
        print(advice.model_dump_json(by_alias=True, indent=2))
    else:
        print("\n".join([*page.lines, *([""] if page.lines else []),
                         *advice_lines(rulebase, advice, page.width, options.full)]))  # fmt: skip
    return EXIT_ADVICE


def _why(run: Consultation, options: argparse.Namespace) -> int:
    from ..talk.why import why_lines, why_values

    if options.json:
        print(json.dumps(why_values(run, options.why), indent=2, ensure_ascii=False))
    else:
        print("\n".join(why_lines(run, options.why, columns(sys.stdout, options.width), options.full)))
    return EXIT_ADVICE


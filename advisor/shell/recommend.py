"""``advisor recommend``: one consultation from a sentence and answers, without questions."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from ..errors import EXIT_ADVICE, UsageError
from ..reasoning.facts import PIECE
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.lexicon import items_near
from ..talk.proposal import LEATHER
from .repl import columns


def add(commands: Any) -> None:
    """Declare the command."""
    recommend = commands.add_parser("recommend", help="advice for one item, without questions")
    recommend.add_argument(
        "words", nargs="*", metavar="SENTENCE | attribute=value",
        help='the item in your own words, and answers such as strap_width="38 mm"',
    )  # fmt: skip
    recommend.add_argument("--house", metavar="FOLDER", type=Path, default=argparse.SUPPRESS, help="see above")
    recommend.add_argument("--json", action="store_true", help="the whole advice as JSON")
    recommend.add_argument("--full", action="store_true", help="every bound, form, caution and step")
    recommend.add_argument("--width", type=int, metavar="COLUMNS", help="wrap to this many columns (40 to 200)")
    recommend.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """Print the advice."""
    from ..reasoning.consult import consult  # loads the inference library
    from ..reasoning.judging import review
    from ..talk.reading import read_assignments, read_sentence
    from ..talk.reviewing import short_words
    from ..talk.wording import Page, advice_lines

    if options.width is not None and not 40 <= options.width <= 200:
        raise UsageError(f"--width {options.width}: expected 40 to 200 columns")
    assignments = [w for w in options.words if is_assignment(w)]
    sentence = " ".join(w for w in options.words if not is_assignment(w))
    answers = read_assignments(rulebase, assignments)
    item = answers["item"].values[0] if "item" in answers and answers["item"].values else None
    reading = read_sentence(rulebase, sentence, str(item) if item else None)
    told = {**reading.answers, **answers}
    advice = consult(rulebase, told, house=house)
    page = Page(columns(sys.stdout, options.width))
    if sentence:
        page.add(f"Understood: {reading.summary() or 'nothing'}.")
        for doubt in reading.doubts:
            page.add(f"In doubt: {doubt}")
        if reading.unread:
            page.add(f"Not understood: {', '.join(reading.unread)}.")
        if reading.proposal.points():
            page.add(short_words(review(rulebase, told, reading.proposal, house=house), "advisor review"))
        if "item" not in told and (near := items_near(rulebase, reading.unread)):
            page.add(near)
    if options.json:
        print("\n".join(page.lines), file=sys.stderr)
        print(advice.model_dump_json(by_alias=True, indent=2))
    else:
        print("\n".join([*page.lines, *([""] if page.lines else []),
                         *advice_lines(rulebase, advice, page.width, options.full)]))  # fmt: skip
    return EXIT_ADVICE


def is_assignment(word: str) -> bool:
    """Whether a word of the command line is ``attribute=value`` and no part of the sentence."""
    name, equals, _ = word.partition("=")
    return bool(equals) and name.strip().removeprefix(PIECE).removeprefix(LEATHER).isidentifier()

"""``advisor review``: a second opinion on a leather somebody offers or has in mind for an item."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from ..errors import EXIT_ADVICE, UsageError
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from .edge import as_json
from .repl import columns


def add(commands: Any) -> None:
    """Declare the command."""
    review = commands.add_parser("review", help="a second opinion on a leather for one item, point by point")
    review.add_argument(
        "words",
        nargs="*",
        metavar="SENTENCE | attribute=value | leather.point=value",
        help='the item in your own words, answers, and the leather such as leather.weight="2.5 mm"',
    )
    review.add_argument("--leather", metavar="WORDS", default="", help='such as "2.5 mm chrome side, top grain"')
    review.add_argument("--units", choices=("mm", "inch"), default=argparse.SUPPRESS, help="see above")
    review.add_argument("--house", metavar="FOLDER", type=Path, default=argparse.SUPPRESS, help="see above")
    review.add_argument("--json", action="store_true", help="the whole second opinion as JSON")
    review.add_argument("--width", type=int, metavar="COLUMNS", help="wrap to this many columns (40 to 200)")
    review.set_defaults(run=run)


def run(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """Print the second opinion."""
    from ..read.numbers import measures
    from ..read.offered import LEATHER, joined, question_in, read_leather, read_points
    from ..read.reader import is_assignment, read_assignments, read_sentence
    from ..read.stuffs import stuffs
    from ..reasoning.judging import review  # loads the inference library
    from ..talk.heard import doubts_said, understood_said
    from ..talk.reviewing import review_lines
    from ..write.catalogue import with_texts
    from ..write.page import Page

    if options.width is not None and not 40 <= options.width <= 200:
        raise UsageError(f"--width {options.width}: expected 40 to 200 columns")
    said = [w for w in options.words if is_assignment(w)]
    sentence = " ".join(w for w in options.words if not is_assignment(w))
    points = dict(w.removeprefix(LEATHER).split("=", 1) for w in said if w.startswith(LEATHER))
    answers = read_assignments(rulebase, [w for w in said if not w.startswith(LEATHER)])
    leather, job = options.leather, sentence
    if not leather and (asked := question_in(sentence)):
        leather, job = asked
    item = answers["item"].values[0] if "item" in answers and answers["item"].values else None
    units = measures(options.units, " ".join([*options.words, options.leather]), stuffs(rulebase))
    reading = read_sentence(rulebase, job, str(item) if item else None, units)
    offer = read_leather(rulebase, leather)
    proposal = joined(joined(reading.proposal, offer.proposal), read_points(rulebase, points))
    page = Page(columns(sys.stdout, options.width), units)
    unread = [*reading.unread, *offer.unread]
    if job:
        page.add(f"Understood: {'; '.join(understood_said(rulebase, reading, units=units)) or 'nothing'}.")
    for doubt in (*doubts_said(rulebase, reading, units), *offer.doubts):
        page.add(f"In doubt: {doubt}")
    if unread:
        page.add(f"Not understood: {', '.join(unread)}.")
    if not proposal.points():
        print("\n".join(page.lines), file=sys.stderr)
        raise UsageError('say which leather is offered, for example --leather "2.5 mm chrome side, top grain"')
    found = review(rulebase, {**reading.answers, **answers}, proposal, house=house)
    if options.json:
        print("\n".join(page.lines), file=sys.stderr)
        as_json(with_texts(found, rulebase).model_dump_json(by_alias=True, indent=2))
    else:
        told = review_lines(rulebase, found, page.width, units)
        print("\n".join([*page.lines, *([""] if page.lines else []), *told]))
    return EXIT_ADVICE

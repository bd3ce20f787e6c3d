"""``advisor recommend``: consultations from sentences and answers, without questions.

One from the command line, or one for each line of a file. It asks nothing; what is open stays open in the advice.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from ..errors import EXIT_ADVICE, EXIT_USAGE, AdvisorError, UsageError, shown, without_controls
from ..read.lexicon import items_near
from ..read.reader import is_assignment
from ..reasoning.record import Manner
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from .lines import lines_of
from .logbook import kept
from .repl import columns

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ..reasoning.advice import Advice
    from ..reasoning.consult import Consultation
    from ..reasoning.facts import Answer
    from ..talk.page import Page
    from ..talk.recording import Keep

_QUESTIONS = ("why_not", "what_if", "would_change")


class _Found(NamedTuple):
    """What came of one sentence: the answers, the advice, and a page with what was understood."""

    answers: Mapping[str, Answer]
    advice: Advice
    page: Page


def add(commands: Any) -> None:
    """Declare the command."""
    recommend = commands.add_parser("recommend", help="advice for one item, without questions")
    recommend.add_argument(
        "words", nargs="*", metavar="SENTENCE | attribute=value",
        help='the item in your own words, and answers such as strap_width="38 mm"',
    )  # fmt: skip
    recommend.add_argument("--house", metavar="FOLDER", type=Path, default=argparse.SUPPRESS, help="see above")
    recommend.add_argument("--no-log", action="store_true", default=argparse.SUPPRESS, help="keep no decision log")
    recommend.add_argument("--units", choices=("mm", "inch"), default=argparse.SUPPRESS, help="see above")
    recommend.add_argument("--json", action="store_true", help="the whole advice as JSON")
    recommend.add_argument("--proof", action="store_true", help="with --json: the proof of every conclusion as well")
    recommend.add_argument("--why", metavar="NAME", help="only why: of a decision, caution, rule or value")
    recommend.add_argument("--why-not", metavar="WORDS", help="only why not: a leather, cut, form or thickness")
    recommend.add_argument("--what-if", metavar="WORDS", help="only what would differ, such as \"water is rain\"")
    recommend.add_argument("--would-change", metavar="NAME", help="only which answers a part of the order hangs on")
    recommend.add_argument("--full", action="store_true", help="every bound, form, caution and step")
    recommend.add_argument("--slip", action="store_true", help="the order slip: one screen to read out or print")
    recommend.add_argument(
        "--batch", metavar="FILE", help="one sentence on each line of this file, - for standard input; "
        "answers given beside it hold for every line",
    )  # fmt: skip
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
        return _batch(rulebase, house, options)
    words = [without_controls(word) for word in options.words]
    with kept(rulebase, house, "recommend", Manner(units=options.units), options.no_log) as book:
        found = _consult(rulebase, house, options, words, book.keep)
    if options.why is not None:
        return _why(_again(rulebase, house, found), options, found.page)
    if asked := [name for name in _QUESTIONS if getattr(options, name) is not None]:
        if len(asked) > 1:
            raise UsageError("one question at a time: --why-not, --what-if or --would-change")
        return _asked(rulebase, house, found, options, asked[0])
    if options.json:
        from ..reasoning.deciding import proven

        advice = proven(_again(rulebase, house, found)) if options.proof else found.advice
        print("\n".join(found.page.lines), file=sys.stderr)
        print(advice.model_dump_json(by_alias=True, indent=2))
    else:
        print("\n".join(_text(rulebase, options, found, book.name or "")))
    return EXIT_ADVICE


def _consult(
    rulebase: RuleBase, house: House | None, options: argparse.Namespace, words: Sequence[str], keep: Keep
) -> _Found:
    from ..read.numbers import measures
    from ..talk.matter import Matter
    from ..talk.page import Page
    from ..talk.recording import recommended  # loads the inference library
    from ..talk.remarks import remarks

    reading, answers, advice = recommended(rulebase, words, house, keep, options.units)
    page = Page(columns(sys.stdout, options.width), measures(options.units, " ".join(words)))
    if not all(is_assignment(w) for w in words):
        page.add(f"Understood: {reading.summary() or 'nothing'}.")
        for doubt in reading.doubts:
            page.add(f"In doubt: {doubt}")
        if reading.unread:
            page.add(f"Not understood: {', '.join(reading.unread)}.")
        if reading.proposal.points():
            from ..reasoning.judging import review
            from ..talk.reviewing import short_words

            page.add(short_words(review(rulebase, answers, reading.proposal, house=house), "advisor review"))
        for remark in remarks(Matter(rulebase, answers, house, page.width, page.units), answers):
            page.lines.append(remark)
        if "item" not in answers and (near := items_near(rulebase, reading.unread)):
            page.add(near)
    return _Found(answers, advice, page)


def _asked(rulebase: RuleBase, house: House | None, found: _Found, options: argparse.Namespace, name: str) -> int:
    """One question about the advice, in a few lines or as JSON."""
    from ..reasoning.difference import moves
    from ..talk.comparing import changes_said, what_if_lines, why_not_asked, why_not_lines
    from ..talk.leaning import tip_lines
    from ..talk.matter import Matter

    matter = Matter(rulebase, found.answers, house, found.page.width, found.page.units)
    text: str = getattr(options, name)
    if name == "what_if":
        changes = changes_said(rulebase, text, matter.item, matter.units)
        if options.json:
            differences = moves(found.advice, matter.advice(changes))
            print(json.dumps([m.model_dump(mode="json") for m in differences], indent=2, ensure_ascii=False))
            return EXIT_ADVICE
        lines = what_if_lines(matter, changes)
    elif name == "why_not":
        if options.json:
            print(why_not_asked(matter, text).model_dump_json(indent=2))
            return EXIT_ADVICE
        lines = why_not_lines(matter, text)
    elif options.json:
        raise UsageError("--would-change is text for reading; it has no --json")
    else:
        lines = tip_lines(matter, text)
    print("\n".join(lines))
    return EXIT_ADVICE


def _again(rulebase: RuleBase, house: House | None, found: _Found) -> Consultation:
    from ..reasoning.consult import Consultation

    return Consultation(rulebase, found.answers, house=house)


def _text(rulebase: RuleBase, options: argparse.Namespace, found: _Found, log: str = "") -> list[str]:
    from ..talk.slip import slip_lines
    from ..talk.wording import advice_lines

    page = found.page
    if options.slip:
        said = slip_lines(rulebase, found.advice, page.width, page.units, log)
    else:
        said = advice_lines(rulebase, found.advice, page.width, options.full, page.units)
    return [*page.lines, *([""] if page.lines else []), *said]


def _batch(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """One block, or one JSON object, for each line, each with a log of its own.

    A line of no use is told with its number and passed over.
    """
    if said := [word for word in options.words if not is_assignment(word)]:
        raise UsageError(f"--batch takes its sentences from the file; {shown(' '.join(said))} belongs there")
    if options.why is not None or options.proof or any(getattr(options, n) is not None for n in _QUESTIONS):
        raise UsageError("--proof and questions such as --why are for one consultation, not for --batch")
    watched = sys.stderr.isatty() and not options.plain
    done = bad = 0
    for number, line in lines_of(options.batch):
        sentence = without_controls(" ".join(line.split()))
        if not sentence:
            continue
        try:
            with kept(rulebase, house, "recommend", Manner(units=options.units), options.no_log) as book:
                found = _consult(rulebase, house, options, [sentence, *options.words], book.keep)
        except AdvisorError as error:
            wrong = str(error)
        else:
            wrong = "" if "item" in found.answers else "no item was understood; name the thing to be made"
        if wrong:
            bad += 1
            print(f"advisor: line {number}: {shown(sentence)}: {wrong}", file=sys.stderr)
            continue
        done += 1
        if options.json:
            advice = found.advice.model_dump(mode="json", by_alias=True)
            print(json.dumps({"line": number, "sentence": sentence, "advice": advice}, ensure_ascii=False))
        else:
            print("\n".join([f"Line {number}: {sentence}", *_text(rulebase, options, found, book.name or ""), ""]))
        if watched:
            print(f"\rLine {number} done.", end="", file=sys.stderr, flush=True)
    if watched and done:
        print(file=sys.stderr)
    if bad:
        print(f"advisor: {done} lines advised, {bad} of no use.", file=sys.stderr)
    return EXIT_USAGE if bad else EXIT_ADVICE


def _why(run: Consultation, options: argparse.Namespace, page: Page) -> int:
    from ..talk.why import why_lines, why_values

    if options.json:
        print(json.dumps(why_values(run, options.why), indent=2, ensure_ascii=False))
    else:
        print("\n".join(why_lines(run, options.why, page.width, options.full, page.units)))
    return EXIT_ADVICE

"""``advisor recommend --batch``: a consultation for each line of a file, all in one decision log.

Lines are taken one at a time and each result is written before the next line is read, so a batch may be of any
length. A line that cannot be used stops nothing; it has a fault in place of its advice.
"""

from __future__ import annotations

import argparse
import gc
import json
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager

from ..errors import EXIT_ADVICE, EXIT_FAULT, EXIT_USAGE, AdvisorError, UsageError, shown, without_controls
from ..read.reader import is_assignment, read_assignments
from ..reasoning.record import Ended, Entry, Event, Manner, Typed
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.recording import Consulted, Unusable, entered, faulty, joined, unusable
from ..write.catalogue import with_texts
from .edge import send
from .lines import lines_of
from .logbook import Logbook, kept
from .printed import text_lines, told
from .results import Results

NEXT = "next"
COLLECTED = (50_000, 20, 20)
"""Garbage is looked for after so many new objects, and how seldom among older ones."""


def batch(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """One block, or one JSON object, for each line that is not blank.

    Gives the exit code: 1 when a line met a fault of the program, else 2 when a line could not be used, else 0.
    """
    if said := [word for word in options.words if not is_assignment(word)]:
        raise UsageError(f"--batch takes its sentences from the file; {shown(' '.join(said))} belongs there")
    if options.out is not None and not options.json:
        raise UsageError("--out holds one JSON object a line, so it goes with --json")
    read_assignments(rulebase, options.words)
    with (
        _seldom_collected(),
        closing(Results(options.out)) as results,
        kept(rulebase, house, "batch", Manner(units=options.units), options.no_log) as book,
    ):
        return _Batch(rulebase, house, options, book, results).run(_first(options.start, results))


@contextmanager
def _seldom_collected() -> Iterator[None]:
    """The rule base lives as long as the batch: to search it for garbage ever again takes a quarter of the time."""
    before = gc.get_threshold()
    gc.freeze()
    gc.set_threshold(*COLLECTED)
    try:
        yield
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()


def _first(asked: str | None, results: Results) -> int:
    """The first line to advise on, counted from 1."""
    last = results.last
    if asked is None:
        if last is not None:
            raise UsageError(f"{results.name} already holds results, up to line {last}; --from {NEXT} goes on after it")
        return 1
    if asked == NEXT:
        if results.name is None:
            raise UsageError(f"--from {NEXT} goes on after the last line of --out FILE")
        return (last or 0) + 1
    if not asked.isdecimal() or int(asked) < 1:
        raise UsageError(f'--from {shown(asked)}: expected the number of a line, or "{NEXT}"')
    if last is not None and int(asked) <= last:
        raise UsageError(f"{results.name} already holds line {last}; --from {NEXT} goes on after it")
    return int(asked)


class _Batch:
    """One run over the lines of a file."""

    def __init__(
        self, rulebase: RuleBase, house: House | None, options: argparse.Namespace, book: Logbook, results: Results
    ) -> None:
        self.rulebase, self.house, self.options, self.book, self.results = rulebase, house, options, book, results
        self.advised = 0
        self.codes: list[str] = []

    def run(self, first: int) -> int:
        """Every line from the ``first``; gives the exit code."""
        watched = sys.stderr.isatty() and not self.options.plain
        for number, line in lines_of(self.options.batch):
            sentence = without_controls(" ".join(line.split()))
            if number < first or not sentence:
                continue
            self._line(number, sentence)
            if watched:
                send(sys.stderr, f"\rLine {number} done.")
                sys.stderr.flush()
        self.book.keep(Ended())
        if watched and (self.advised or self.codes):
            print(file=sys.stderr)
        if not self.codes:
            return EXIT_ADVICE
        print(f"advisor: {self.advised} advised, {len(self.codes)} without advice.", file=sys.stderr)
        return EXIT_FAULT if "internal" in self.codes else EXIT_USAGE

    def _line(self, number: int, sentence: str) -> None:
        line = joined([sentence, *self.options.words])
        self.book.keep(Entry(number=number))
        self.book.keep(Typed(line=line))
        result = self._result(number, sentence, line)
        if isinstance(result, Unusable):
            self._told(number, sentence, result)
            events: list[Event] = [result.event()]
        else:
            said, events = result
            self.advised += 1
            self.results.add(said)
        for event in events:
            self.book.keep(event)

    def _result(self, number: int, sentence: str, line: str) -> tuple[str, list[Event]] | Unusable:
        """What is written of the advice and what is kept of it. A fault in telling it is one of this line too."""
        made = entered(self.rulebase, line, self.house, self.options.units)
        if isinstance(made, Unusable):
            return made
        try:
            return self._said(number, sentence, made), made.events
        except AdvisorError as error:
            return unusable(error)
        except Exception as error:
            return faulty(error)

    def _said(self, number: int, sentence: str, made: Consulted) -> str:
        found = told(self.rulebase, self.house, self.options, [sentence, *self.options.words], made)
        if self.options.json:
            advice = with_texts(found.advice, self.rulebase)
            return _json(number, sentence, advice=advice.model_dump(mode="json", by_alias=True))
        log = f"{self.book.name}, line {number}" if self.book.name else ""
        return "\n".join([f"Line {number}: {sentence}", *text_lines(self.rulebase, self.options, found, log), ""])

    def _told(self, number: int, sentence: str, fault: Unusable) -> None:
        self.codes.append(fault.code)
        if self.options.json:
            self.results.add(_json(number, sentence, fault={"code": fault.code, "text": fault.text}))
        print(f"advisor: line {number}: {shown(sentence)}: {fault.text}", file=sys.stderr)


def _json(number: int, sentence: str, **result: object) -> str:
    return json.dumps({"line": number, "sentence": sentence, **result}, ensure_ascii=False)

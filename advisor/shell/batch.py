"""``advisor recommend --batch``: a consultation for each line of a file, all in one decision log.

Lines are taken one at a time and each result is written before the next line is read, so a batch may be of any
length. A line that cannot be used stops nothing; it has a fault in place of its advice.
"""

from __future__ import annotations

import argparse
import json
import pickle
import sys
import zlib
from collections.abc import Iterator, Sequence
from contextlib import closing
from typing import NamedTuple

from ..errors import (
    EXIT_ADVICE,
    EXIT_FAULT,
    EXIT_INTERRUPTED,
    EXIT_USAGE,
    AdvisorError,
    UsageError,
    shown,
    without_controls,
)
from ..read.reader import is_assignment, read_assignments
from ..reasoning.consult import engine_for
from ..reasoning.record import Ended, Entry, Event, Manner, Typed
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.recording import Consulted, Unusable, entered, faulty, joined, unusable
from ..write.catalogue import with_texts
from .edge import send
from .garbage import seldom_collected
from .jobs import Jobs
from .lines import lines_of
from .logbook import Logbook, kept
from .printed import text_lines, told
from .repl import columns
from .results import Results

NEXT = "next"
_LONGEST_NUMBER = 18
"""Digits: no file has so many lines, and a longer number Python may refuse to read."""
MOST_HELD = 8_000_000
"""Bytes of results, packed, that are held for lines that come again."""


def batch(rulebase: RuleBase, house: House | None, options: argparse.Namespace) -> int:
    """One block, or one JSON object, for each line that is not blank.

    Gives the exit code: 130 when it was interrupted, else 1 when a line met a fault of the program, else 2 when a line
    could not be used, else 0.
    """
    if said := [word for word in options.words if not is_assignment(word)]:
        raise UsageError(f"--batch takes its sentences from the file; {shown(' '.join(said))} belongs there")
    if options.out is not None and not options.json:
        raise UsageError("--out holds one JSON object a line, so it goes with --json")
    read_assignments(rulebase, options.words)
    with (
        seldom_collected(),
        closing(Results(options.out)) as results,
        kept(rulebase, house, "batch", Manner(units=options.units), options.no_log) as book,
    ):
        return _Batch(rulebase, house, options, book, results).run(_first(options.start, results))


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
    if not asked.isdecimal() or len(asked) > _LONGEST_NUMBER or int(asked) < 1:
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
        self._held: dict[object, bytes] = {}
        self._size = self._done = 0

    def run(self, first: int) -> int:
        """Every line from the ``first``; gives the exit code."""
        watched = sys.stderr.isatty() and not self.options.plain
        try:
            with closing(self._processes()) as jobs:
                for job, result in jobs.done(self._jobs(first)):
                    self._line(job, result)
                    if watched:
                        send(sys.stderr, f"\rLine {job.number} done.")
                        sys.stderr.flush()
        except KeyboardInterrupt:
            end = "\n" if watched else ""
            left = NEXT if self.results.name else max(first, self._done + 1)
            print(f"{end}advisor: interrupted; --from {left} goes on.", file=sys.stderr)
            return EXIT_INTERRUPTED
        self.book.keep(Ended())
        if watched and (self.advised or self.codes):
            print(file=sys.stderr)
        if not self.codes:
            return EXIT_ADVICE
        print(f"advisor: {self.advised} advised, {len(self.codes)} without advice.", file=sys.stderr)
        return EXIT_FAULT if "internal" in self.codes else EXIT_USAGE

    def _jobs(self, first: int) -> Iterator[tuple[_Job, bool]]:
        """The lines from the ``first`` that are not blank, and whether each has to be worked on."""
        for number, line in lines_of(self.options.batch):
            sentence = without_controls(" ".join(line.split()))
            if number >= first and sentence:
                job = _Job(number, sentence, self.book.name or "", self.book.off)
                # A slip names the log, which has its name from the first line that is kept.
                named = job.log or job.off or not self.options.slip
                yield job, bool(named) and self._key(job) not in self._held

    def _processes(self) -> Jobs[_Job, _Result]:
        """Those that work on lines besides this one; none for a batch on one core."""
        if self.options.jobs == 1:
            return Jobs(0, self._result)
        engine_for(self.rulebase)  # loaded once, before it is copied
        return Jobs(self.options.jobs, self._result)

    def _line(self, job: _Job, result: _Result | None) -> None:
        number, sentence = job.number, job.sentence
        self.book.keep(Entry(number=number))
        self.book.keep(Typed(line=joined([sentence, *self.options.words])))
        result = self._remembered(job._replace(log=self.book.name or "", off=self.book.off), result)
        if isinstance(result.said, Unusable):
            self._told(number, sentence, result.said)
        else:
            self.advised += 1
            self.results.add(self._headed(number, sentence, result.said))
        self._done = number
        for event in result.events:
            self.book.keep(event)

    def _key(self, job: _Job) -> object:
        """What the result of a line hangs on. A slip names its own place in the log, so each is its own."""
        own = job.number if self.options.slip and not self.options.no_log else 0
        return job.sentence, columns(sys.stdout, self.options.width), job.off, own

    def _remembered(self, job: _Job, result: _Result | None) -> _Result:
        """What comes of a line; of one that came before, what came of it then, since nothing else has changed."""
        key = self._key(job)
        if key in self._held:
            held: _Result = pickle.loads(zlib.decompress(self._held[key]))
            return held
        result = result or self._result(job)
        # An advice as JSON is 200 kB, of which packed a tenth is left.
        packed = zlib.compress(pickle.dumps(result), 1)
        if self._size > MOST_HELD:
            self._held, self._size = {}, 0
        self._held[key] = packed
        self._size += len(packed) + len(job.sentence)
        return result

    def _result(self, job: _Job) -> _Result:
        """What is written of the advice and what is kept of it. A fault in telling it is one of this line too."""
        made = entered(self.rulebase, joined([job.sentence, *self.options.words]), self.house, self.options.units)
        if isinstance(made, Unusable):
            return _Result(made, [made.event()])
        try:
            return _Result(self._said(job, made), [] if job.off else made.events)
        except AdvisorError as error:
            fault = unusable(error)
        except Exception as error:
            fault = faulty(error)
        return _Result(fault, [fault.event()])

    def _said(self, job: _Job, made: Consulted) -> str:
        if self.options.json:
            advice = with_texts(made.advice, self.rulebase)
            return _json(advice=advice.model_dump(mode="json", by_alias=True))
        found = told(self.rulebase, self.house, self.options, [job.sentence, *self.options.words], made)
        log = f"{job.log}, line {job.number}" if job.log else ""
        return "\n".join([*text_lines(self.rulebase, self.options, found, log), ""])

    def _headed(self, number: int, sentence: str, said: str) -> str:
        return _with(number, sentence, said) if self.options.json else f"Line {number}: {sentence}\n{said}"

    def _told(self, number: int, sentence: str, fault: Unusable) -> None:
        self.codes.append(fault.code)
        if self.options.json:
            self.results.add(_with(number, sentence, _json(fault={"code": fault.code, "text": fault.text})))
        print(f"advisor: line {number}: {shown(sentence)}: {fault.text}", file=sys.stderr)


class _Job(NamedTuple):
    """A line to be worked on; ``log`` names the log that its slip may name, ``off``: none is kept."""

    number: int
    sentence: str
    log: str
    off: bool


class _Result(NamedTuple):
    """What came of a line: what is written of it, without its head, and what is kept."""

    said: str | Unusable
    events: Sequence[Event]


def _json(**result: object) -> str:
    return json.dumps(result, ensure_ascii=False)


def _with(number: int, sentence: str, result: str) -> str:
    """One JSON object with the number and the sentence before what ``result`` holds."""
    return f"{_json(line=number, sentence=sentence)[:-1]}, {result[1:]}"

"""Lines of a batch worked on by several processes at once, with the results in the order of the lines.

Each process is a copy of this one with the rule base ready in it. It is sent lines through a pipe, answers them in
turn, and ends when the pipe does, so that none is left behind whatever ends the batch.
"""

from __future__ import annotations

import os
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from typing import Generic, TypeVar

from ..errors import AdvisorError

AHEAD = 2
"""So many lines are with each process, so that none waits while a result is written."""
MOST = 64
_Job = TypeVar("_Job")
_Done = TypeVar("_Done")


class Jobs(Generic[_Job, _Done]):
    """Some processes that do ``work``. Only where processes can be copied (``os.fork``); else there is none."""

    def __init__(self, count: int, work: Callable[[_Job], _Done]) -> None:
        self._pipes: list[Connection] = []
        self._children: list[int] = []
        for _ in range(count if hasattr(os, "fork") else 0):
            ours, theirs = Pipe()
            child = os.fork()
            if not child:
                _worked(theirs, [ours, *self._pipes], work)
            theirs.close()
            self._pipes.append(ours)
            self._children.append(child)

    def done(self, jobs: Iterable[tuple[_Job, bool]]) -> Iterator[tuple[_Job, _Done | None]]:
        """Each job with its result, in order; None for one that is not to be done.

        Raises AdvisorError where a process has ended.
        """
        waiting: deque[tuple[_Job, Connection | None]] = deque()
        free = deque(self._pipes * AHEAD)
        for job, wanted in jobs:
            pipe = None
            if wanted and self._pipes:
                while not free:
                    yield self._first(waiting, free)
                pipe = free.popleft()
                self._sent(pipe, job)
            waiting.append((job, pipe))
            while waiting and (waiting[0][1] is None or len(waiting) > AHEAD * len(self._pipes)):
                yield self._first(waiting, free)
        while waiting:
            yield self._first(waiting, free)

    def _first(
        self, waiting: deque[tuple[_Job, Connection | None]], free: deque[Connection]
    ) -> tuple[_Job, _Done | None]:
        job, pipe = waiting.popleft()
        if pipe is None:
            return job, None
        try:
            found: _Done = pipe.recv()
        except (EOFError, OSError) as error:
            raise AdvisorError(ENDED) from error
        free.append(pipe)
        return job, found

    @staticmethod
    def _sent(pipe: Connection, job: _Job) -> None:
        try:
            pipe.send(job)
        except OSError as error:
            raise AdvisorError(ENDED) from error

    def close(self) -> None:
        """Ends every process; one that is busy ends after its line."""
        for pipe in self._pipes:
            pipe.close()
        for child in self._children:
            os.waitpid(child, 0)
        self._pipes, self._children = [], []


ENDED = "a process of the batch ended before its line was done; --from goes on after the last line that is"


def _worked(pipe: Connection, others: Iterable[Connection], work: Callable[[_Job], _Done]) -> None:
    """All that a copy does; it never returns. Ctrl-C is for the process that writes."""
    code = 1
    try:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        for other in others:
            other.close()
        while True:
            pipe.send(work(pipe.recv()))
    except (EOFError, BrokenPipeError):
        code = 0
    finally:
        os._exit(code)

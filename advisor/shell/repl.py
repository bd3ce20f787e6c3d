"""The chat at the terminal: the only module that knows prompt-toolkit.

It shows what the session says and passes on what is typed. Without a terminal it reads plain
lines and writes plain lines, with no escape byte.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import TYPE_CHECKING, TextIO

from ..reasoning.record import Folded
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from ..talk.recording import restored
from ..talk.reply import Reply
from ..talk.session import Session
from .logbook import Logbook

if TYPE_CHECKING:
    from prompt_toolkit.completion import CompleteEvent, Completion
    from prompt_toolkit.document import Document


def columns(stream: TextIO, asked: int | None = None) -> int:
    """Width to wrap to: the terminal's, at most 100, or 80 where there is none."""
    if asked:
        return asked
    try:
        return max(40, min(os.get_terminal_size(stream.fileno()).columns, 100))
    except (OSError, ValueError):
        return 80


def chat(
    rulebase: RuleBase, house: House | None, source: TextIO, out: TextIO, plain: bool, book: Logbook,
    state: Folded | None = None,
) -> None:  # fmt: skip
    """Hold the conversation until it ends or the input does. ``state`` is where an earlier one was left."""
    session = Session(rulebase, columns(out), house, book.keep)
    if not _talk(session, source, out, plain, state):
        _show(out, session.leave())
    if book.name is not None:
        print(f'Kept as {book.name}; "advisor replay {book.name}" checks it.', file=out, flush=True)


def _talk(session: Session, source: TextIO, out: TextIO, plain: bool, state: Folded | None) -> bool:
    """Whether the conversation was ended by a word, and not by the end of the input."""
    fancy = not plain and source.isatty() and out.isatty() and os.environ.get("TERM", "dumb") != "dumb"
    lines = _typed(session) if fancy else _plain_lines(session, source, out)
    _show(out, restored(session, state) if state else session.open())
    if state and state.unanswered is not None:
        # It was typed, and the answer to it was cut off.
        print(f"> {state.unanswered}", file=out)
        lines = chain([state.unanswered], lines)
    for line in lines:
        reply = session.hear(line)
        _show(out, reply)
        if reply.ended:
            return True
    return False


def _show(out: TextIO, reply: Reply) -> None:
    for line in reply.lines:
        print(line, file=out)
    out.flush()


def _plain_lines(session: Session, source: TextIO, out: TextIO) -> Iterator[str]:
    while True:
        prompt = session.prompt()
        print(f"{prompt}\n> " if prompt else "> ", end="", file=out, flush=True)
        line = source.readline()
        if not line:
            print(file=out)
            return
        if not source.isatty():
            # The answer is echoed so that a saved conversation can be read.
            print(line.rstrip("\n"), file=out)
        yield line


def _typed(session: Session) -> Iterator[str]:
    from prompt_toolkit import PromptSession  # heavy, and only the terminal needs it
    from prompt_toolkit.completion import Completer, Completion
    from prompt_toolkit.history import InMemoryHistory

    class Words(Completer):
        """Completes what can be typed now, with its meaning beside it."""

        def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
            del complete_event
            start = document.text_before_cursor.lower()
            for word, meaning in session.completions().items():
                if word.startswith(start) and start:
                    yield Completion(word, -len(start), display_meta=meaning)

    prompt: PromptSession[str] = PromptSession(
        history=InMemoryHistory(), completer=Words(), complete_while_typing=True, mouse_support=False
    )
    interrupted = False
    while True:
        question = session.prompt()
        try:
            line = prompt.prompt(f"{question}\n> " if question else "> ")
        except KeyboardInterrupt:
            if interrupted:
                return
            interrupted = True
            print("The line is cancelled. Ctrl-C again leaves.", file=sys.stdout)
            continue
        except EOFError:
            return
        interrupted = False
        yield line

"""The chat at the terminal: the only module that knows prompt-toolkit.

It shows what the session says and passes on what is typed. In plain mode it reads plain lines and writes plain
lines, with no escape byte; both modes say the same. No colour is used, only bold. What was typed is remembered for the
arrow keys until the chat ends and kept nowhere, since the next customer at a counter sits at the same keyboard.
"""

from __future__ import annotations

import os
import re
import signal
import sys
import textwrap
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from itertools import chain
from typing import TYPE_CHECKING, TextIO, TypeVar

from ..errors import AdvisorError, without_controls
from ..read.reader import MAX_TEXT
from ..reasoning.record import Folded
from ..talk.recording import FAULT_BESIDE, restored
from ..talk.reply import Reply
from ..talk.session import Session
from ..talk.typing_help import Completion as Offered
from ..talk.typing_help import completions, trouble
from .emphasis import is_plain, show_lines
from .garbage import in_a_pause
from .lines import next_line
from .logbook import Logbook
from .naming import named, opened
from .pager import pages

if TYPE_CHECKING:
    from prompt_toolkit.completion import CompleteEvent, Completion
    from prompt_toolkit.document import Document
    from prompt_toolkit.key_binding import KeyPressEvent

CANCELLED = "The line is cancelled. Ctrl-C again leaves."
STOPPED = "Stopped. What was said before is kept. Ctrl-C again leaves."
_BAR_LINES = 4
_FULL = re.compile(r"\s*full\s*", re.IGNORECASE)
"""What asks for a page of many screens."""
_T = TypeVar("_T")


class _HangUpError(BaseException):
    """The terminal has gone, or the system asks to end. No fault of the program, so no net may catch it."""


class _CancelError(Exception):
    """Ctrl-C at the prompt. A KeyboardInterrupt would break off the loop and leave a task that tells of it."""


class _HangUp:
    """Whether the terminal has gone, told once, however often it is noticed; and whether Ctrl-C was the last thing.

    Once the last words are to be said (``closing``), no signal stops them any more.
    """

    def __init__(self) -> None:
        self.came = self.interrupted = self.closing = False

    def signalled(self, *_: object) -> None:
        """Handles the signals that end a program. Raises _HangUpError the first time."""
        before, self.came = self.came or self.closing, True
        if not before:
            raise _HangUpError


def columns(stream: TextIO, asked: int | None = None) -> int:
    """Width to wrap to: the terminal's, at most 100, or 80 where there is none."""
    if asked:
        return asked
    try:
        return max(40, min(os.get_terminal_size(stream.fileno()).columns, 100))
    except (OSError, ValueError):
        return 80


def chat(session: Session, source: TextIO, out: TextIO, plain: bool, book: Logbook, state: Folded | None = None) -> str:
    """Hold the conversation until it ends, the input does, or the terminal goes; the advice so far is always said.

    ``state`` is where an earlier conversation was left. What is given back is the log that is to be gone on with
    instead, else "".
    """
    fancy = not is_plain(plain, out) and source.isatty()
    hang_up = _HangUp()
    lines = _typed(session, out, hang_up) if fancy else _plain_lines(session, source, out, hang_up)
    ended, another = False, ""
    with _signals(hang_up.signalled, "SIGHUP", "SIGTERM"), _interrupts_kept(hang_up):
        try:
            try:
                _show(out, _told(session, lambda: restored(session, state) if state else session.open()), plain)
                if state and state.unanswered is not None:
                    # It was typed, and the answer to it was cut off.
                    print(f"> {without_controls(state.unanswered)}", file=out)
                    lines = chain([state.unanswered], lines)
                for line in lines:
                    session.width = columns(out)
                    another, said = _of_the_terminal(session, book, line)
                    if another:
                        break
                    if said:
                        _show(out, session.again(said), plain)
                        continue
                    try:
                        reply = session.hear(line)
                        if not (fancy and _FULL.fullmatch(line) and pages(reply.lines, out, plain)):
                            _show(out, reply, plain)
                        in_a_pause()
                    except KeyboardInterrupt:
                        hang_up.interrupted = True
                        reply = session.again([STOPPED])
                        _show(out, reply, plain)
                    if reply.ended:
                        ended = True
                        break
            except (_HangUpError, KeyboardInterrupt):
                pass
            hang_up.closing = True
        except (_HangUpError, KeyboardInterrupt):
            # It came between the last line and the last words.
            hang_up.closing = True
        with _undisturbed():
            try:
                if not ended and not another:
                    # After a hang-up nobody meant to leave, so the record stays open to be gone on with.
                    _show(out, _told(session, session.close if hang_up.came else session.leave), plain)
            finally:
                if book.name is not None:
                    kept = f'Kept as {book.name}; "advisor replay {book.name}" checks it.'
                    _show(out, Reply(textwrap.wrap(kept, session.width)), plain)
    return another


def _beside(what: Callable[[], _T], otherwise: _T) -> _T:
    """What is shown beside a line that is typed, or ``otherwise``: no fault in it may end the conversation."""
    try:
        return what()
    except Exception:
        return otherwise


def _of_the_terminal(session: Session, book: Logbook, line: str) -> tuple[str, list[str]]:
    """The log that a line asks for, and what is said to one that opens or names; both empty for other lines."""
    try:
        another, said = opened(book, line)
        return another, said if another or said else named(book, line, session.item() is not None)
    except AdvisorError as error:
        return "", [str(error)]
    except Exception:
        # Then the line is heard as any other, and kept.
        return "", []


def _told(session: Session, what: Callable[[], Reply]) -> Reply:
    """What is said where no line is heard. A fault of the program in it is told and ends nothing."""
    try:
        return what()
    except (AdvisorError, OSError):
        raise
    except Exception:
        return Reply(textwrap.wrap(FAULT_BESIDE, session.width))


def _gone(out: TextIO) -> bool:
    """Whether the terminal itself has gone, and not only the input of somebody who leaves."""
    try:
        os.get_terminal_size(out.fileno())
    except (OSError, ValueError):
        return True
    return False


@contextmanager
def _undisturbed() -> Iterator[None]:
    """While the last words are said, no signal ends them."""
    with _signals(signal.SIG_IGN, "SIGHUP", "SIGTERM", "SIGINT"):
        yield


@contextmanager
def _signals(handler: Callable[..., object] | signal.Handlers, *names: str) -> Iterator[None]:
    """Handles the signals of these names that this system has; only the main thread may."""
    numbers = [getattr(signal, name) for name in names if hasattr(signal, name)]
    if threading.current_thread() is not threading.main_thread():
        numbers = []
    before = {number: signal.signal(number, handler) for number in numbers}
    try:
        yield
    finally:
        for number, old in before.items():
            signal.signal(number, old)


@contextmanager
def _interrupts_kept(hang_up: _HangUp) -> Iterator[None]:
    """A Ctrl-C that comes while something is collected as garbage is kept: there it cannot be raised, only told of."""
    before = sys.unraisablehook

    def keep(unraisable: sys.UnraisableHookArgs) -> None:
        if unraisable.exc_type is KeyboardInterrupt:
            hang_up.interrupted = True
        else:
            before(unraisable)

    sys.unraisablehook = keep
    try:
        yield
    finally:
        sys.unraisablehook = before


def _show(out: TextIO, reply: Reply, plain: bool) -> None:
    show_lines(reply.lines, out, plain)
    out.flush()


def _question(session: Session) -> str:
    """The open question, wrapped, and the mark after which an answer is typed."""
    asked = _beside(session.prompt, " ".join(q.question for q in session.questions))
    lines = [part for line in asked.split("\n") for part in _wrapped(line, session.width)]
    return "\n".join([*lines, "> "])


def _wrapped(line: str, width: int) -> list[str]:
    """A line as it is where it fits, else wrapped at its own indent."""
    indent = " " * (len(line) - len(line.lstrip()))
    return [line] if len(line) <= width else textwrap.wrap(line, width, subsequent_indent=indent)


def _plain_lines(session: Session, source: TextIO, out: TextIO, hang_up: _HangUp) -> Iterator[str]:
    while True:
        try:
            print(_question(session), end="", file=out, flush=True)
            line = next_line(source)
        except KeyboardInterrupt:
            print(f"\n{'' if hang_up.interrupted else CANCELLED}", file=out)
            if hang_up.interrupted:
                return
            hang_up.interrupted = True
            continue
        except OSError:
            # Reading from a terminal that has gone.
            hang_up.came = True
            return
        hang_up.interrupted = False
        if not line:
            print(file=out)
            return
        if not source.isatty():
            # The answer is echoed so that a saved conversation can be read.
            said = textwrap.wrap(without_controls(" ".join(line.split())), session.width - 2)
            print("\n  ".join(said), file=out)
        yield line


def _typed(session: Session, out: TextIO, hang_up: _HangUp) -> Iterator[str]:
    from prompt_toolkit import PromptSession  # heavy, and only the terminal needs it
    from prompt_toolkit.completion import Completer, Completion
    from prompt_toolkit.history import InMemoryHistory
    from prompt_toolkit.key_binding import KeyBindings
    from prompt_toolkit.keys import Keys
    from prompt_toolkit.output import ColorDepth
    from prompt_toolkit.styles import Style

    class Words(Completer):
        """Completes what can be typed now, with its meaning beside it."""

        def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
            del complete_event
            offered: list[Offered] = []
            for word, replaces, meaning in _beside(lambda: completions(session, document.text_before_cursor), offered):
                yield Completion(word, -replaces, display_meta=meaning)

    keys = KeyBindings()

    @keys.add(Keys.BracketedPaste)
    def pasted(event: KeyPressEvent) -> None:
        """Pasted lines become one answer; of a page nobody would read only so much is kept as is read."""
        event.current_buffer.insert_text(without_controls(" ".join(event.data.split()))[: MAX_TEXT + 1])

    @keys.add("c-c")
    @keys.add("<sigint>")
    def cancelled(event: KeyPressEvent) -> None:
        """Ctrl-C, unless the line was handed over already."""
        if event.app.future is not None and not event.app.future.done():
            event.app.exit(exception=_CancelError(), style="class:aborting")

    standing: list[str] = []

    def bar() -> str:
        wrong = _beside(lambda: trouble(session, prompt.default_buffer.text), "")
        lines = [part for line in ([wrong] if wrong else standing) for part in _wrapped(line, columns(out))]
        return "\n".join(lines[:_BAR_LINES])

    # Reverse and bold only: with the colours away nothing is lost.
    style = Style.from_dict(
        {
            "bottom-toolbar": "noreverse",
            "completion-menu": "",
            "completion-menu.completion": "",
            "completion-menu.completion.current": "reverse",
            "completion-menu.meta.completion": "",
            "completion-menu.meta.completion.current": "reverse",
        }
    )
    prompt: PromptSession[str] = PromptSession(
        history=InMemoryHistory(),
        completer=Words(),
        complete_while_typing=True,
        mouse_support=False,
        key_bindings=keys,
        bottom_toolbar=bar,
        style=style,
        color_depth=ColorDepth.DEPTH_1_BIT,
        reserve_space_for_menu=5,
        interrupt_exception=_CancelError,
    )

    struck: list[object] = []

    def end_if_asked() -> None:
        """Ends the prompt from within, so that it can put the terminal back as it was."""
        if (hang_up.came or struck) and prompt.app.future is not None and not prompt.app.future.done():
            prompt.app.exit(exception=EOFError() if hang_up.came else _CancelError())

    def strike(signal: object, _: object) -> None:
        """Remembers a Ctrl-C while the prompt is set up or taken down: raised there, it would leave a loop open."""
        struck.append(signal)

    def leave(*_: object) -> None:
        """Remembers to leave. Where the prompt has its line already or is not up yet, it is seen before the next."""
        hang_up.came = True
        if prompt.app.loop is not None and not prompt.app.loop.is_closed():
            prompt.app.loop.call_soon_threadsafe(end_if_asked)

    # A signal while a line is being handed over ends the chat once the line is answered.
    while not hang_up.came:
        session.width = columns(out)
        standing = _beside(session.order_so_far, [])
        struck.clear()
        try:
            with _signals(leave, "SIGHUP", "SIGTERM"), _signals(strike, "SIGINT"):
                line = prompt.prompt(_question(session), pre_run=end_if_asked)
        except (_CancelError, KeyboardInterrupt):
            if hang_up.interrupted:
                return
            hang_up.interrupted = True
            print(CANCELLED, file=out)
            continue
        except (EOFError, OSError):
            hang_up.came = hang_up.came or _gone(out)
            return
        # A Ctrl-C behind a line that was handed over is the first of two; two leave once it is answered.
        hang_up.interrupted = bool(struck)
        yield line
        if len(struck) > 1:
            return

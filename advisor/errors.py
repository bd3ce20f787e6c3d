"""Every mistake the advisor expects, said so that the reader can mend it.

A message names the place, what stands there, what was expected and the nearest valid word.
Nothing here catches or prints anything: the shell decides what a person sees and the exit code.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import ClassVar

from .codes import Saying

EXIT_ADVICE, EXIT_FAULT, EXIT_USAGE, EXIT_UNREADABLE, EXIT_REPLAY_DIFFERS = range(5)
EXIT_INTERRUPTED = 130
"""Of a batch that was interrupted and is not done, as shells count: 128 and the number of the signal."""

TURNING = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")
"""What turns the direction of a line round, or is not seen in it, without being a control character of its own."""
LINE_ENDING = frozenset("\u2028\u2029")
"""What ends a line without being a control character."""


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The valid word closest to a mistyped one, or None when nothing is close."""
    close = get_close_matches(word, sorted(words), n=1, cutoff=0.6)
    return close[0] if close else None


def shown(text: object, limit: int = 60) -> str:
    """What was found, quoted and cut to a length that fits a line."""
    flat = without_controls(" ".join(str(text).split()))
    return f'"{flat}"' if len(flat) <= limit else f'"{flat[: limit - 3]}..."'


def without_controls(text: str) -> str:
    """The text with a mark for each control character and without what turns a line round, so that it steers nothing.

    Marks of direction and of byte order come with what is pasted and say nothing themselves.
    """
    marked = ("�" if unicodedata.category(c) == "Cc" and c != "\n" else c for c in text if c not in TURNING)
    return "".join(" " if c in LINE_ENDING else c for c in marked)


class AdvisorError(Exception):
    """Base of all expected errors; ``exit_code`` is what the command returns."""

    exit_code = EXIT_UNREADABLE


class UsageError(AdvisorError):
    """The command was called in a way it does not know."""

    exit_code = EXIT_USAGE


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake in a rule file.

    ``file`` is relative to the rule base, ``line`` counts from 1 (0 when the whole file is meant),
    ``where`` is the rule, attribute or item, ``hint`` what would be accepted.
    """

    file: str
    line: int
    where: str
    what: str
    hint: str = ""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        subject = f" [{self.where}]" if self.where else ""
        return f"{place}{subject}: {self.what}" + (f" {self.hint}" if self.hint else "")


class RuleBaseError(AdvisorError):
    """One or more mistakes in rule files; all that could be found are listed together."""

    def __init__(self, problems: Sequence[Problem], stopped: str = "") -> None:
        self.problems = tuple(problems)
        lines = [str(p) for p in self.problems[:40]]
        if len(self.problems) > 40:
            lines.append(f"... and {len(self.problems) - 40} more{f'; {stopped}' if stopped else ''}")
        super().__init__("\n".join(lines))


class EngineMissingError(AdvisorError):
    """The inference library cannot be loaded, be it that it is not there or was built without what its Python needs."""

    def __init__(self, why: str) -> None:
        super().__init__(
            f"the inference library durable-rules cannot be loaded ({why}). Install it anew: CPPFLAGS="
            "-DPyEval_CallObject=PyObject_CallObject python -m pip install --force-reinstall --no-cache-dir "
            "--no-binary durable-rules durable-rules==2.0.28"
        )


class LogError(AdvisorError):
    """A decision log that is not there, is no log, or is out of shape; the message names log and line."""


class ReplayError(AdvisorError):
    """What is derived anew is not what a log says."""

    exit_code = EXIT_REPLAY_DIFFERS


class AnswerError(AdvisorError):
    """An answer that cannot be taken as it stands.

    ``attribute`` is the thing asked about, ``found`` what was typed, ``expected`` what would do. The sentence is made
    by ``wording``, which the room of the sentences sets; without that room the error shows its code.
    """

    wording: ClassVar[Callable[[AnswerError], str] | None] = None

    def __init__(self, attribute: str, found: object, expected: Saying, near: str | None = None) -> None:
        self.attribute, self.found, self.expected, self.near = attribute, found, expected, near
        super().__init__(attribute, found, expected, near)

    def __str__(self) -> str:
        made = AnswerError.wording
        return f"{self.attribute}: {shown(self.found)}: {self.expected}" if made is None else made(self)

"""Decision logs as files: one append-only file of JSON lines for each consultation.

A line that was typed is on the disk before it is answered. Files are the user's alone (0600, in a
folder of 0700). A log that cannot be written never stops a consultation, and a file that is no log,
too long or edited out of shape is refused with its line. What events mean is not known here.
"""

from __future__ import annotations

import errno
import os
import re
import stat
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import platformdirs
from pydantic import ValidationError
from pydantic_core import from_json

from .. import __version__
from ..errors import LogError, nearest, shown
from ..reasoning.record import (
    FORMAT,
    LINE,
    READABLE,
    VERSION,
    Asked,
    Began,
    By,
    Ended,
    Event,
    Folded,
    Line,
    MadeWith,
    Manner,
    Resumed,
    Typed,
    fold,
    made_with,
)
from ..rulebase.bounded import steered
from ..rulebase.house import House
from ..rulebase.models import RuleBase

if sys.platform != "win32":
    import fcntl

ENDING = ".jsonl"
MAX_BYTES = 8_000_000
MAX_EVENTS = 10_000
PROGRAM = "leather-order-advisor"
_FLAGS = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)


def folder() -> Path:
    """Where logs are kept: ADVISOR_LOGS, or the user's own data folder."""
    named = os.environ.get("ADVISOR_LOGS")
    return Path(named) if named else platformdirs.user_data_path(PROGRAM, appauthor=False) / "logs"


def names() -> list[str]:
    """The logs that are kept, the oldest first."""
    try:
        return sorted((p.stem for p in folder().iterdir() if p.suffix == ENDING), key=_by_time)
    except OSError:
        return []


def _by_time(name: str) -> tuple[str, int]:
    start, number = name[:17], name[18:]
    return start, int(number) if number.isdecimal() else 1


def slug(name: str) -> str:
    """A name of somebody's own as it stands in that of a file: "My first wallet" is my-first-wallet."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")


def own_names() -> list[str]:
    """The names that people gave to their logs, the oldest first."""
    return [own for name in names() if _lettered(own := name[18:])]


def by_own_name(name: str) -> Path | None:
    """The newest log that somebody gave this name; None where there is none."""
    found = [kept for kept in names() if _lettered(slug(name)) and kept[18:] == slug(name)]
    return folder() / f"{found[-1]}{ENDING}" if found else None


def _lettered(own: str) -> bool:
    return any(letter.isalpha() for letter in own)


def path_of(named: str) -> Path:
    """The file of a log given by its name, the name somebody gave it, or a path. Raises LogError when there is none."""
    inside = folder() / f"{named}{ENDING}"
    for path in (inside, Path(named)):
        if os.path.lexists(path):
            return path
    if own := by_own_name(named):
        return own
    kept = names()
    near = nearest(named, kept)
    hint = f' Did you mean "{near}"?' if near else ' Type "advisor log list" to see them.' if kept else ""
    raise LogError(f"there is no log {shown(named)}, neither by that name nor as a file.{hint}")


def read_log(path: Path) -> tuple[list[Event], int]:
    """The events of a log, and the bytes of a torn last line that were left out. Raises LogError."""
    try:
        descriptor = os.open(path, os.O_RDONLY | _FLAGS)
    except OSError as error:
        raise LogError(f"{path.stem}: the log cannot be read: {_why(error)}.") from error
    try:
        return _events(path.stem, _bytes(path.stem, descriptor))
    finally:
        os.close(descriptor)


def _bytes(name: str, descriptor: int) -> bytes:
    about = os.fstat(descriptor)
    if not stat.S_ISREG(about.st_mode):
        raise LogError(f"{name}: this is no file, so it is no log.")
    if about.st_size > MAX_BYTES:
        raise LogError(f"{name}: larger than {MAX_BYTES // 1_000_000} MB; no log is.")
    found = b""
    try:
        while len(found) <= MAX_BYTES and (block := os.read(descriptor, 1 << 20)):
            found += block
    except OSError as error:
        raise LogError(f"{name}: the log cannot be read: {error.strerror}.") from error
    return found


def _events(name: str, raw: bytes) -> tuple[list[Event], int]:
    *whole, torn = raw.split(b"\n", MAX_EVENTS + 1)
    if len(whole) > MAX_EVENTS:
        raise LogError(f"{name}: more than {MAX_EVENTS} lines; no log has so many.")
    if not whole:
        raise LogError(f"{name}: this is no decision log; its first line is missing or torn.")
    _check_head(name, whole[0])
    events: list[Event] = []
    for n, text in enumerate(whole, 1):
        _check_characters(name, n, text)
        try:
            line = LINE.validate_json(text)
        except ValidationError as error:
            first = error.errors(include_url=False, include_input=False)[0]
            where = ".".join(str(p) for p in first["loc"])
            raise LogError(f"{name}, line {n}: this is no event of a log: {where or 'line'}: {first['msg']}.") from None
        if line.n != n:
            raise LogError(f"{name}, line {n}: here stands event {line.n}, expected {n}; lines were lost or added.")
        if isinstance(line.event, Began) != (n == 1):
            raise LogError(f"{name}, line {n}: a log begins once, in its first line.")
        events.append(line.event)
    return events, len(torn)


def _check_characters(name: str, n: int, text: bytes) -> None:
    """What somebody typed may be anything and is shown with marks; of the rest no character may steer a terminal."""
    try:
        found = steered(from_json(text)) if b"\\u" in text or not text.isascii() else ()
        character = next((c for place, c in found if place not in (("event", "line"), ("event", "asked"))), "")
    except ValueError:
        return
    if character:
        raise LogError(f"{name}, line {n}: the character U+{ord(character):04X} has no place in a log.")


def _check_head(name: str, text: bytes) -> None:
    try:
        head = from_json(text)
    except ValueError:
        head = None
    event = head.get("event") if isinstance(head, dict) else None
    if not isinstance(event, dict) or event.get("format") != FORMAT:
        raise LogError(f"{name}: this is no decision log; its first line does not name the format {FORMAT}.")
    version = event.get("version")
    if type(version) is not int or version not in READABLE:
        raise LogError(
            f"{name}: this log is of version {shown(version)}; this program reads versions {READABLE[0]} to {VERSION}."
        )


@contextmanager
def kept(rulebase: RuleBase, house: House | None, by: By, manner: Manner, off: bool) -> Iterator[Logbook]:
    """A log for one consultation, closed after it. When it is ``off``, nothing is written."""
    book = Logbook(made_with(rulebase, house, __version__), complain, manner, off)
    book.begin(by)
    try:
        yield book
    finally:
        book.close()


def taken_up(book: Logbook, named: str) -> Folded:
    """Where a conversation stands that is gone on with: the log called ``named``, or the last unfinished one.

    Raises LogError when there is none, when it is no conversation, or when another chat holds it.
    """
    if named:
        return _fold_of_chat(book, path_of(named))
    for name in _by_last_written():
        path = folder() / f"{name}{ENDING}"
        try:
            events, _ = read_log(path)
            if isinstance(events[-1], Ended) or not _by_chat(events):
                continue
            return _fold_of_chat(book, path)
        except LogError:
            continue
    raise LogError("there is no unfinished conversation to go on with.")


def _by_last_written() -> list[str]:
    """The logs, the one written last first."""
    return sorted(names(), key=lambda name: (_written(name), _by_time(name)), reverse=True)


def _written(name: str) -> int:
    """When a log was last written, ns by the clock of the files."""
    try:
        return (folder() / f"{name}{ENDING}").lstat().st_mtime_ns
    except OSError:
        return 0


def _make_folders(place: Path) -> None:
    """The folder and those above it that are missing, each for the user alone whatever the umask."""
    missing = [p for p in (place, *place.parents) if not p.exists()]
    for folder_above in reversed(missing):
        folder_above.mkdir(mode=0o700, exist_ok=True)


def _why(error: OSError) -> str:
    """Why a log cannot be opened; one that is a link is not followed, since it may lead anywhere."""
    return "it is a link" if error.errno == errno.ELOOP else str(error.strerror)


def _fold_of_chat(book: Logbook, path: Path) -> Folded:
    events, _ = read_log(path)
    if not _by_chat(events):
        raise LogError(f"{path.stem}: this was no conversation, so there is nothing to go on with.")
    events = book.resume(path)
    return replace(fold(events), manner=book.manner)


def _by_chat(events: Sequence[Event]) -> bool:
    return isinstance(events[0], Began) and events[0].by == "chat"


def complain(sentence: str) -> None:
    """One clear word on standard error."""
    print(f"advisor: {sentence}", file=sys.stderr)


class Logbook:
    """One log being written. ``name`` is None until something was typed, and when it cannot be kept.

    ``complain`` is told once, in a sentence, when the log cannot be written.
    """

    def __init__(
        self, made_with: MadeWith, complain: Callable[[str], None], manner: Manner | None = None, off: bool = False
    ) -> None:
        self.made_with, self.complain, self.manner = made_with, complain, manner or Manner()
        self.name: str | None = None
        self._waiting: list[Event] = []
        self._descriptor: int | None = None
        self._count = self._size = self._after = 0
        self._off = off
        self._what = "conversation"

    @property
    def off(self) -> bool:
        """Whether nothing more is kept, so that nothing has to be worked out for it."""
        return self._off

    def begin(self, by: By) -> None:
        """A new log; its file is made when the first line was typed."""
        now = datetime.now(UTC)
        self._start = now
        self._what = "batch" if by == "batch" else "conversation"
        self._waiting = [Began(by=by, made_with=self.made_with, manner=self.manner, at=_utc(now))]

    def resume(self, path: Path) -> list[Event]:
        """Go on with a log: a torn last line is cut off, and what it holds is given back. Raises LogError.

        The manner of it holds on where nothing else was asked for.
        """
        try:
            descriptor = os.open(path, os.O_RDWR | os.O_APPEND | _FLAGS)
        except OSError as error:
            raise LogError(f"{path.stem}: the log cannot be gone on with: {_why(error)}.") from error
        try:
            events, size = _held(path.stem, descriptor)
            if sys.platform != "win32":
                os.fchmod(descriptor, 0o600)
        except BaseException:
            os.close(descriptor)
            raise
        self.name, self._descriptor = path.stem, descriptor
        self._after = max((_written(other) for other in names() if other != self.name), default=0)
        self._count, self._size = len(events), size
        earlier = fold(events).manner
        self.manner = Manner(units=self.manner.units or earlier.units, brief=self.manner.brief or earlier.brief)
        now = _utc(datetime.now(UTC))
        self._waiting = [Resumed(version=VERSION, made_with=self.made_with, manner=self.manner, at=now)]
        return events

    def keep(self, event: Event) -> None:
        """Write one event; lines typed and ends of turns reach the disk before this returns."""
        if self._off:
            return
        self._waiting.append(event)
        if self._descriptor is None and not isinstance(event, Typed):
            return
        try:
            if self._descriptor is None:
                self._make()
            waiting, self._waiting = self._waiting, []
            self._write(waiting)
            if self._descriptor is not None and isinstance(event, Typed | Asked | Ended):
                self._keep_last()
                os.fsync(self._descriptor)
        except OSError as error:
            self._fail(f"this {self._what} is not kept from here on: {error.strerror}.")
        except Exception as error:
            said = f"a fault of the program ({type(error).__name__})"
            self._fail(f"this {self._what} is not kept from here on: {said}.")

    def _keep_last(self) -> None:
        """Where the clock has gone back, what is written now still counts as written last."""
        assert self._descriptor is not None
        if os.fstat(self._descriptor).st_mtime_ns <= self._after and os.utime in os.supports_fd:
            os.utime(self._descriptor, ns=(self._after + 1, self._after + 1))

    def rename(self, name: str) -> None:
        """Give the log a name of somebody's own, in place of one given before. Raises LogError where it cannot be."""
        if self._off or self.name is None:
            raise LogError("This conversation is not kept, so it can have no name.")
        own = slug(name)
        if not _lettered(own):
            raise LogError("A name needs letters.")
        path = folder() / f"{self.name}{ENDING}"
        renamed = f"{self.name[:17]}-{own}"
        if renamed != self.name and (folder() / f"{renamed}{ENDING}").exists():
            raise LogError("That name is taken by another one of the same second.")
        try:
            path.rename(path.with_name(f"{renamed}{ENDING}"))
            _settle_folder(path.parent)
        except OSError as error:
            raise LogError(f"The log cannot be renamed: {error.strerror}.") from error
        self.name = renamed

    def close(self) -> None:
        """Give the file back."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None
            self._off = True

    def _write(self, events: Sequence[Event]) -> None:
        assert self._descriptor is not None
        lines = [LINE.dump_json(Line(n=self._count + i, event=e)) + b"\n" for i, e in enumerate(events, 1)]
        block = b"".join(lines)
        if self._size + len(block) > MAX_BYTES or self._count + len(lines) > MAX_EVENTS:
            self._fail(f"the log is full, so this {self._what} is not kept from here on.")
            return
        self._count, self._size = self._count + len(lines), self._size + len(block)
        while block:
            block = block[os.write(self._descriptor, block) :]

    def _make(self) -> None:
        place = folder()
        _make_folders(place)
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0)
        for number in range(1, 1000):
            name = f"{self._start:%Y-%m-%d-%H%M%S}" + (f"-{number}" if number > 1 else "")
            try:
                descriptor = os.open(place / f"{name}{ENDING}", flags, 0o600)
            except FileExistsError:
                continue
            self._descriptor, self.name = descriptor, name
            locked(descriptor)
            _settle_folder(place)
            self._after = max((_written(other) for other in names() if other != name), default=0)
            return
        raise FileExistsError(17, "too many logs of the same second")

    def _fail(self, why: str) -> None:
        self._off, self.name = True, None
        self.complain(why)


def _held(name: str, descriptor: int) -> tuple[list[Event], int]:
    """The events and the size of a log that is to be gone on with, locked and without its torn end."""
    if not locked(descriptor):
        raise LogError(f"{name}: another chat is going on in this log.")
    raw = _bytes(name, descriptor)
    events, torn = _events(name, raw)
    if torn:
        try:
            os.ftruncate(descriptor, len(raw) - torn)
        except OSError as error:
            raise LogError(f"{name}: its torn last line cannot be cut off: {error.strerror}.") from error
    return events, len(raw) - torn


def _utc(moment: datetime) -> str:
    return f"{moment:%Y-%m-%dT%H:%M:%SZ}"


def locked(descriptor: int) -> bool:
    """Whether the file is now ours alone; where files cannot be locked, it is taken to be."""
    if sys.platform != "win32":
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:
            return True
    return True


def _settle_folder(place: Path) -> None:
    """The name of a new file reaches the disk too."""
    if sys.platform != "win32":
        descriptor = os.open(place, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)

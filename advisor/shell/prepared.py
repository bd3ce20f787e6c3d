"""The rule base that comes with the program, read and checked once and kept for the next start.

To read, check and compile the rule files takes most of a start. What was made of them, the vocabulary included, is
kept in the user's own cache folder, pickled. Who can write a pickle can run code as whoever reads it, as with the
``.pyc`` files beside a module; so the copy is used under the conditions of those and some more: the folder (0700) and
the file (0600) belong to the user who runs the program and are no links; the file holds the key of exactly these rule
files, byte for byte, of this program, its libraries and this Python; its own checksum is right; and no class is taken
from it but those of this program and the few of the standard library that occur. In every other case the rule files
are read as if there were no copy, and a new one is written where that is possible. Nothing is ever said about it, nor
of a fault of the program in keeping it: that costs no more than the time that the copy would have saved.

A rule base of somebody else's is always read anew.
"""

from __future__ import annotations

import gc
import hashlib
import io
import os
import pickle
import stat
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import fields, is_dataclass, replace
from importlib.metadata import version
from pathlib import Path
from types import MethodType
from typing import Any

import platformdirs

from .. import __version__
from ..read.kinds import ranking_of
from ..read.questions import offered_questions
from ..rulebase.asking import examples
from ..rulebase.bounded import read_descriptor
from ..rulebase.load import load_rulebase, shipped_rulebase
from ..rulebase.models import RuleBase
from ..rulebase.reading import Reader
from ..talk.session import Session
from .garbage import held
from .logbook import PROGRAM

MAX_BYTES = 40_000_000
_KEY = _SUM = 32
_LIBRARIES = ("pydantic", "snowballstemmer")
"""Whose objects or results are kept."""
_OF_ONE_RUN = ("engine", "open", "remembered", "thresholds")
"""What a rule base holds of the consultations so far, and what cannot be written down."""
_LATER = ("questions of the advice", "ranking of things", "words of answers")
"""What many runs never look at: kept beside the rest and made ready when it is first wanted."""
_STANDARD = {("collections", "Counter"), ("decimal", "Decimal"), ("functools", "partial"), ("re", "_compile")}
_UNREADABLE = (
    OSError,
    pickle.UnpicklingError,
    AttributeError,
    EOFError,
    ImportError,
    IndexError,
    TypeError,
    ValueError,
)
_PACKAGE = Path(__file__).parents[1]
_NO_LINK = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0)


def prepared_rulebase() -> RuleBase:
    """The shipped rule base with its vocabulary, from the copy or read anew. Raises RuleBaseError."""
    place = shipped_rulebase()
    if not isinstance(place, Path) or not hasattr(os, "geteuid"):
        return load_rulebase()
    with _no_garbage():
        path, key = Path(), b""
        with suppress(Exception):
            reader = Reader(place)
            key = _key(reader)
            path = folder() / f"rules-{sys.implementation.cache_tag}-{_named(_PACKAGE)}"
            kept = _read(path, key, reader)
            if kept is not None:
                return kept
        rulebase = load_rulebase()
        with suppress(Exception):
            _compile(rulebase)
            _write(path, key, rulebase)
        return rulebase


def folder() -> Path:
    """Where the copy is kept: the cache folder of the user."""
    return platformdirs.user_cache_path(PROGRAM, appauthor=False)


def _named(program: Path) -> str:
    """A short name for the place where a program lies, so that two of them do not replace each other's copies."""
    return hashlib.sha256(os.fsencode(program)).hexdigest()[:12]


def _compile(rulebase: RuleBase) -> None:
    """Derives what conversations derive from a rule base, by holding one about its first example."""
    said = next((sentence for _, sentence in examples(rulebase)), "")
    talk = Session(rulebase)
    for line in (said, *offered_questions(rulebase, True)[:1], "no"):
        talk.hear(line)
    ranking_of(rulebase)


def _key(reader: Reader) -> bytes:
    """What the copy is a copy of: every rule file, this program to its last file, its libraries and this Python."""
    folders = ("", *sorted(entry.name for entry in reader.folder.iterdir() if entry.is_dir()))
    for name in (name for inside in folders for name in reader.names_in(inside)):
        reader.hold(name.removeprefix("/"))
    program = [
        (str(path.relative_to(_PACKAGE)), about.st_size, about.st_mtime_ns)
        for path in sorted(_PACKAGE.rglob("*"))
        if path.suffix in (".py", ".txt") and (about := path.stat())
    ]
    made_with = (reader.digest.hexdigest(), program, __version__, sys.version, *map(version, _LIBRARIES))
    return hashlib.sha256(repr(made_with).encode()).digest()


def _read(path: Path, key: bytes, reader: Reader) -> RuleBase | None:
    """The rule base in the copy, or None where there is none that may be used."""
    try:
        raw = _bytes(path)
        if raw[:_KEY] != key or hashlib.sha256(raw[_KEY + _SUM :]).digest() != raw[_KEY : _KEY + _SUM]:
            return None
        made, later = _unpickled(raw[_KEY + _SUM :], reader)
    except _UNREADABLE:
        return None
    return replace(made, memo=_Memo(made.memo, later, reader)) if isinstance(made, RuleBase) else None


def _unpickled(content: bytes, reader: Reader) -> Any:
    return _Unpickler(io.BytesIO(content), reader).load()


def _bytes(path: Path) -> bytes:
    """The file as it is, from a folder that is the user's alone. Raises OSError."""
    inside = _opened(path.parent)
    try:
        descriptor = os.open(path.name, os.O_RDONLY | _NO_LINK, dir_fd=inside)
        try:
            _check_owner(descriptor)
            return read_descriptor(descriptor, MAX_BYTES)
        finally:
            os.close(descriptor)
    finally:
        os.close(inside)


def _write(path: Path, key: bytes, rulebase: RuleBase) -> None:
    """Writes the copy, whole or not at all. Raises OSError, and what pickle raises for what cannot be kept."""
    said = {name: made for name, made in rulebase.memo.items() if name not in _OF_ONE_RUN}
    reader: Reader = rulebase.memo["words"]
    later = {name: _pickled(said.pop(name), reader) for name in _LATER if name in said}
    content = _pickled((replace(rulebase, memo=said), later), reader)
    if len(content) + _KEY + _SUM > MAX_BYTES or not path.is_absolute():
        return
    nearest = next(place for place in path.parents if place.exists())
    if nearest.stat().st_uid != os.geteuid():
        return
    path.parent.parent.mkdir(parents=True, exist_ok=True)
    with suppress(FileExistsError):
        path.parent.mkdir(mode=0o700)
    inside = _opened(path.parent)
    try:
        # A name of its own for each writer: of two at once the last one to be done stays.
        draft = f"{path.name}.{os.getpid()}"
        with suppress(FileNotFoundError):
            os.unlink(draft, dir_fd=inside)
        descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _NO_LINK, 0o600, dir_fd=inside)
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(key + hashlib.sha256(content).digest() + content)
            os.rename(draft, path.name, src_dir_fd=inside, dst_dir_fd=inside)
        except OSError:
            os.unlink(draft, dir_fd=inside)
            raise
    finally:
        os.close(inside)


def _pickled(made: object, reader: Reader) -> bytes:
    into = io.BytesIO()
    _Pickler(into, reader).dump(made)
    return into.getvalue()


def _opened(place: Path) -> int:
    """The folder, held open, so that what was looked at is what is used. Raises OSError where it may not be used."""
    descriptor = os.open(place, os.O_RDONLY | os.O_DIRECTORY | _NO_LINK)
    try:
        _check_owner(descriptor)
    except OSError:
        os.close(descriptor)
        raise
    return descriptor


def _check_owner(descriptor: int) -> None:
    """Raises PermissionError for what is not the user's, or is open to others."""
    about = os.fstat(descriptor)
    if about.st_uid != os.geteuid() or about.st_mode & (stat.S_IRWXG | stat.S_IRWXO):
        raise PermissionError


class _Pickler(pickle.Pickler):
    """Leaves out the reader: its files are there at every start."""

    def __init__(self, into: io.BytesIO, reader: Reader) -> None:
        super().__init__(into, pickle.HIGHEST_PROTOCOL)
        self.reader = reader

    def persistent_id(self, thing: Any) -> str | None:
        """A name for the reader and for its way to find a line, None for everything else."""
        if isinstance(thing, MethodType) and thing == self.reader.line:
            return "line"
        return "reader" if thing is self.reader else None

    def reducer_override(self, thing: Any) -> Any:
        """A frozen dataclass is made by its fields, which takes half as long as to fill in an empty one."""
        if is_dataclass(thing) and not isinstance(thing, type) and all(f.init and not f.kw_only for f in fields(thing)):
            return type(thing), tuple(getattr(thing, f.name) for f in fields(thing))
        return NotImplemented


class _Unpickler(pickle.Unpickler):
    """Puts in a reader that has read the same files, and makes only what a rule base is made of."""

    def __init__(self, source: io.BytesIO, reader: Reader) -> None:
        super().__init__(source)
        self.reader = reader

    def persistent_load(self, name: Any) -> Any:
        """What was left out."""
        return self.reader.line if name == "line" else self.reader

    def find_class(self, module: str, name: str) -> Any:
        """A class of this program, or one of the few others; UnpicklingError for everything else."""
        if (module, name) in _STANDARD:
            return super().find_class(module, name)
        if module.startswith("advisor.") and "." not in name:
            found = super().find_class(module, name)
            if isinstance(found, type) and found.__module__ == module:
                return found
        raise pickle.UnpicklingError(f"{module}.{name}")


class _Memo(dict[str, Any]):
    """What was derived from a rule base, some of it still packed."""

    def __init__(self, ready: Mapping[str, Any], later: dict[str, bytes], reader: Reader) -> None:
        super().__init__(ready)
        self._later, self._reader = later, reader

    def __missing__(self, name: str) -> Any:
        """Unpacks it. Raises KeyError for what is not there or cannot be read, as for what was never derived."""
        packed = self._later.pop(name)
        with _no_garbage():
            try:
                self[name] = made = _unpickled(packed, self._reader)
            except _UNREADABLE as error:
                raise KeyError(name) from error
        return made


@contextmanager
def _no_garbage() -> Iterator[None]:
    """A rule base is a great many objects and none of them is garbage: to look for some takes half of the time."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        held()
        if enabled:
            gc.enable()

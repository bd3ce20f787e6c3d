"""Reading rule files from a folder: the only file reading below the shell.

Rule files may come from strangers: their kind, size, number and depth are bounded, nothing in them is evaluated and
no character in them may steer a terminal. Mistakes are gathered, so that one run shows them all, up to a limit.
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Iterable, Mapping
from functools import cached_property
from importlib.resources.abc import Traversable
from pathlib import Path as FolderPath
from typing import Any, TypeVar, get_args, get_origin

from pydantic import ValidationError

from ..errors import Problem, RuleBaseError, nearest, shown
from . import files as shape
from .bounded import BYTE_ORDER_MARK, MAX_DEPTH, UnfitError, entries, read_bounded, steered, too_deep
from .places import Path, find_places

MAX_BYTES = 1_000_000
MAX_FILES = 200
MAX_TOTAL = 4_000_000
"""Bytes of all files together; the shipped rule base has less than half of it."""
MAX_ENTRIES = 2000
"""Names in one folder."""
MAX_MISTAKES = 200
"""After so many no more are looked for: each is told with its line and the nearest word, which takes time."""
Model = TypeVar("Model", bound=shape.Shape)


def near_hint(word: str, valid: Iterable[str]) -> str:
    """The closing sentence of a message: the valid word closest to a mistyped one, or nothing."""
    near = nearest(word, valid)
    return f'The nearest valid word is "{near}".' if near else ""


class _Text:
    """One rule file that was read."""

    def __init__(self, text: str, data: Mapping[str, Any]) -> None:
        self.text, self.data = text, data

    @cached_property
    def places(self) -> dict[Path, int]:
        return find_places(self.text)


class Reader:
    """The files of one rule base, and every mistake found in them so far."""

    def __init__(self, folder: Traversable) -> None:
        self.folder = folder
        self.problems: list[Problem] = []
        self.digest = hashlib.sha256()
        self._texts: dict[str, _Text] = {}
        self._held: dict[str, bytes] = {}
        self._size = 0

    # -- mistakes

    def line(self, file: str, path: Path) -> int:
        """The line of a key or entry, or of the closest thing around it that stands in the file."""
        if path and file not in self._texts and file in self._held:
            self._texts[file] = _Text(self._held[file].decode(errors="replace"), {})
        places = self._texts[file].places if file in self._texts else {}
        return next((places[path[:end]] for end in range(len(path), 0, -1) if path[:end] in places), 0)

    def wrong(self, file: str, path: Path, where: str, what: str, hint: str = "") -> None:
        """Note a mistake: at ``path`` in ``file``, about the rule, attribute or item ``where``."""
        problem = Problem(file, self.line(file, path), where, what, hint)
        if problem not in self.problems:
            self.problems.append(problem)
        if len(self.problems) >= MAX_MISTAKES:
            raise RuleBaseError(self.problems, "more were not looked for")

    def stop_if_wrong(self) -> None:
        """Raise RuleBaseError with all mistakes noted, if there are any."""
        if self.problems:
            raise RuleBaseError(self.problems)

    # -- files

    def names_in(self, folder: str) -> list[str]:
        """The rule files in a folder of the rule base, in the order of their names."""
        place = self.folder / folder
        if not place.is_dir():
            return []
        try:
            return [f"{folder}/{name}" for name in entries(place, MAX_ENTRIES) if name.endswith(".toml")]
        except OSError as error:
            what = f"{error.strerror}; expected a folder of rule files."
            raise RuleBaseError([Problem(folder, 0, "", what)]) from error

    def hold(self, name: str) -> bytes | None:
        """The bytes of one file, counted into the digest once, or None when it is wrong; the mistake is noted.

        A file can be held when the rule base is loaded and read when somebody says the first word.
        """
        if name in self._held:
            return self._held[name]
        place: Traversable = self.folder
        for part in name.split("/"):
            place = place / part
        if len(self._held) >= MAX_FILES:
            raise RuleBaseError([Problem(name, 0, "", f"more than {MAX_FILES} rule files; expected fewer.")])
        try:
            raw = read_bounded(place, MAX_BYTES, self.folder if isinstance(self.folder, FolderPath) else None)
        except UnfitError as error:
            cure = "split it by subject" if "larger" in str(error.strerror) else "expected a plain file"
            self.wrong(name, (), "", f"the file is not read, since {error.strerror}; {cure}.")
            return None
        except (OSError, ValueError):
            self.wrong(name, (), "", "the file cannot be read; every rule base needs it.")
            return None
        self._size += len(raw)
        if self._size > MAX_TOTAL:
            raise RuleBaseError([Problem(name, 0, "", f"all files together have more than {MAX_TOTAL} bytes.")])
        self.digest.update(name.encode() + b"\0" + hashlib.sha256(raw).digest())
        self._held[name] = raw
        return raw

    def read(self, name: str, model: type[Model]) -> Model | None:
        """One file as ``model``, or None when it is wrong; the mistakes are noted."""
        raw = self.hold(name)
        if raw is None:
            return None
        try:
            text = raw.decode().removeprefix(BYTE_ORDER_MARK)
        except UnicodeDecodeError as error:
            line = raw.count(b"\n", 0, error.start) + 1
            self.problems.append(Problem(name, line, "", "this is not UTF-8 text; save the file as UTF-8."))
            return None
        if deep := too_deep(text):
            self.problems.append(Problem(name, deep, "", f"a key of more than {MAX_DEPTH} parts; expected fewer."))
            return None
        try:
            data = tomllib.loads(text)
        except (ValueError, RecursionError) as error:
            at = re.search(r"at line (\d+)", str(error))
            line = int(at[1]) if at else text.count("\n") + 1 if "end of document" in str(error) else 0
            self.problems.append(Problem(name, line, "", f"this is not TOML: {error}."))
            return None
        self._texts[name] = _Text(text, data)
        steering = list(steered(data))
        for path, character in steering:
            self.wrong(
                name,
                path,
                self._subject(name, path),
                f"the character U+{ord(character):04X} has no place in a text; take it out.",
            )
        if steering:
            return None
        try:
            return model.model_validate(data)
        except ValidationError as error:
            for detail in error.errors():
                self._invalid(name, model, detail["type"], detail["loc"], detail)
            return None

    def _invalid(self, file: str, model: type[shape.Shape], kind: str, path: Path, detail: Mapping[str, Any]) -> None:
        key = next((str(step) for step in reversed(path) if not isinstance(step, int) and step != "[key]"), "")
        hint = ""
        if kind == "extra_forbidden":
            keys = _keys_at(model, path[:-1])
            what = f'"{key}" is no key here.'
            hint = near_hint(key, keys) or f"Known keys: {', '.join(sorted(keys))}."
        elif kind == "missing":
            what = f'the key "{key}" is missing.'
        elif kind == "literal_error":
            expected = detail["ctx"]["expected"]
            what = f"{key} = {shown(detail['input'])} is not allowed; expected {expected}."
            hint = near_hint(str(detail["input"]), re.findall(r"'([^']*)'", expected))
        elif kind == "string_pattern_mismatch":
            between = "-" if "-" in detail["ctx"]["pattern"] else "_"
            what = f"{shown(detail['input'])} is no name; expected lower case letters, digits and {between}."
        else:
            what = f"{key}: {detail['msg']}."
        self.wrong(file, path, self._subject(file, path), what, hint)

    def _subject(self, file: str, path: Path) -> str:
        """Which rule, attribute or item a place lies in."""
        if path[0] == "rule" and len(path) > 1:
            listed = self._texts[file].data["rule"]
            entry = listed[path[1]] if isinstance(path[1], int) and isinstance(listed, list) else {}
            return str(entry.get("id", f"rule {path[1]}")) if isinstance(entry, dict) else ""
        return str(path[1]) if len(path) > 1 else ""


def _keys_at(model: type[shape.Shape], path: Path) -> set[str]:
    """The valid keys at a place in a file."""
    inside, among_many = model, False
    for step in path:
        if among_many:
            among_many = False
            continue
        annotation: Any = inside.model_fields[str(step)].annotation
        types = (a for a in (annotation, *get_args(annotation)) if isinstance(a, type))
        inside = next(a for a in types if issubclass(a, shape.Shape))
        among_many = get_origin(annotation) in (dict, tuple)
    return set(inside.model_fields)

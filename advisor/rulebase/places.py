"""Where each key and list entry of a TOML text stands, so that a mistake can be shown by its line.

The standard reader keeps no lines. This one keeps nothing else: the text must already have been
read as valid TOML.
"""

from __future__ import annotations

import re

Path = tuple[str | int, ...]

_TOKEN = re.compile(
    r"""(?P<skip>[ \t\r]+|\#[^\n]*)
    |"{3}(?:[^\\]|\\.)*?"{3,5}|'{3}.*?'{3,5}|"(?:[^"\\]|\\.)*"|'[^']*'
    |[\n\[\]{},=.]|[^\s\[\]{},=.\#"']+""",
    re.VERBOSE | re.DOTALL,
)
_ENDS = (",", "]", "}", "\n")


def find_places(text: str) -> dict[Path, int]:
    """The line, from 1, of every table, key and list entry: ("rule", 2, "when", 0) -> 31."""
    return _Places(text).found


class _Places:
    """One walk over the tokens of a text."""

    def __init__(self, text: str) -> None:
        self.tokens: list[tuple[str, int]] = []
        line = 1
        for match in _TOKEN.finditer(text):
            if match["skip"] is None:
                self.tokens.append((match[0], line))
            line += match[0].count("\n")
        self.tokens.append(("\n", line))
        self.at = 0
        self.found: dict[Path, int] = {}
        self.last_entry: dict[Path, int] = {}
        table: Path = ()
        while self.at < len(self.tokens):
            if self.token == "\n":
                self.at += 1
            elif self.token == "[":
                table = self.header()
            else:
                self.pair(table)

    @property
    def token(self) -> str:
        return self.tokens[self.at][0]

    def note(self, path: Path) -> None:
        for end in range(1, len(path) + 1):
            self.found.setdefault(path[:end], self.tokens[self.at][1])

    def header(self) -> Path:
        many = self.tokens[self.at + 1][0] == "["
        self.at += 2 if many else 1
        *before, last = self.keys()
        path: Path = ()
        for key in before:
            path = self.entry((*path, key))
        path = (*path, last)
        if many:
            self.last_entry[path] = self.last_entry.get(path, -1) + 1
            path = self.entry(path)
        self.note(path)
        self.at += 2 if many else 1
        return path

    def entry(self, path: Path) -> Path:
        return (*path, self.last_entry[path]) if path in self.last_entry else path

    def keys(self) -> list[str]:
        keys = [self.token.strip("\"'")]
        self.at += 1
        while self.token == ".":
            keys.append(self.tokens[self.at + 1][0].strip("\"'"))
            self.at += 2
        return keys

    def pair(self, table: Path) -> None:
        line_of_key = self.at
        path: Path = (*table, *self.keys())
        after, self.at = self.at, line_of_key
        self.note(path)
        self.at = after + 1
        self.value(path)

    def value(self, path: Path) -> None:
        if self.token not in ("[", "{"):
            while self.token not in _ENDS:
                self.at += 1
            return
        inline = self.token == "{"
        self.at += 1
        entry = 0
        while self.token not in ("]", "}"):
            if self.token in (",", "\n"):
                self.at += 1
            elif inline:
                self.pair(path)
            else:
                self.note((*path, entry))
                self.value((*path, entry))
                entry += 1
        self.at += 1

"""A consultation kept by a name of one's own, and gone on with by it: ``name my first wallet``, ``open ...``.

The name stands in that of the log's file, so that every command that takes a log takes it. Both lines are the
terminal's: they say nothing of the job and stand in no log.
"""

from __future__ import annotations

import re

from ..errors import LogError, nearest
from .logbook import Logbook, by_own_name, own_names, slug

_NAME = re.compile(
    r"(?:name|call|save|keep)\s+(?:(?:it|this)\s+(?:as\s+)?|as\s+)(.{1,60})|name\s+((?:my|our|his|her|their|the)\s.{1,60})",
    re.IGNORECASE,
)
_OPEN = re.compile(r"open\s+(.{1,60})", re.IGNORECASE)


def named(book: Logbook, line: str, has_thing: bool) -> list[str]:
    """What is said to a line that names the consultation; nothing to any other line, or before there is a thing."""
    found = _NAME.fullmatch(" ".join(line.split()).strip(" .!"))
    if not found or not has_thing:
        return []
    name = (found[1] or found[2]).strip("\"'")
    try:
        book.rename(name)
    except LogError as error:
        return [str(error)]
    return [f'Kept as "{name}". "open {name}" goes on with it, now or later.']


def opened(book: Logbook, line: str) -> tuple[str, list[str]]:
    """The log that a line asks to be opened, and what is said where it is nearly one; both empty for other lines."""
    found = _OPEN.fullmatch(" ".join(line.split()).strip(" .!"))
    if not found:
        return "", []
    name = found[1].strip("\"'")
    path = by_own_name(name)
    if path is None:
        near = nearest(slug(name), own_names())
        return "", [f'Nothing is kept by that name. Did you mean "open {near.replace("-", " ")}"?'] if near else []
    if path.stem == book.name:
        return "", ["That is the one that is open."]
    return path.stem, []

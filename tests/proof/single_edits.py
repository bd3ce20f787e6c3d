"""Every single edit of an advice: each value changed, removed, doubled or swapped with its neighbour.

An edit is made in place and given back, so that one advice serves them all. Nothing is sealed: steps of a proof name
themselves by what they say, which the forgers of ``forging`` take into account.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, NamedTuple

Path = tuple[Any, ...]


class Edit(NamedTuple):
    """What is done at which place: ``changed``, ``removed``, ``doubled`` or ``swapped``."""

    path: Path
    how: str


def edits(part: Any, path: Path = ()) -> Iterator[Edit]:
    """Every edit below a part of an advice, in its order."""
    if isinstance(part, dict):
        keys: list[Any] = list(part)
        yield from (Edit((*path, key), "removed") for key in keys)
        yield from (Edit((*path, key), "doubled") for key in keys[:1])
    elif isinstance(part, list):
        keys = list(range(len(part)))
        for how in ("removed", "doubled"):
            yield from (Edit((*path, key), how) for key in keys)
        yield from (Edit((*path, key), "swapped") for key in keys[:-1] if part[key] != part[key + 1])
        if not keys:
            yield Edit(path, "changed")
    else:
        yield Edit(path, "changed")
        return
    for key in keys:
        yield from edits(part[key], (*path, key))


@contextmanager
def made(advice: Any, edit: Edit) -> Iterator[None]:
    """The advice with one edit in it."""
    *before, key = edit.path
    inside = advice
    for step in before:
        inside = inside[step]
    old = list(inside) if isinstance(inside, list) else dict(inside)
    match edit.how:
        case "changed":
            inside[key] = _other(inside[key])
        case "removed":
            del inside[key]
        case "doubled" if isinstance(inside, list):
            inside.insert(key, inside[key])
        case "doubled":
            inside["another_" + str(key)] = inside[key]
        case "swapped":
            inside[key], inside[key + 1] = inside[key + 1], inside[key]
    try:
        yield
    finally:
        inside.clear()
        inside.extend(old) if isinstance(inside, list) else inside.update(old)


def _other(value: Any) -> Any:
    """Another value of the same kind, as a forger would choose it."""
    match value:
        case bool():
            return not value
        case int() | float():
            return value + 1
        case str():
            return _OTHER_WORDS.get(value) or (f"not {value}" if value else "something")
        case []:
            return ["something"]
        case None:
            return "something"
    return None


_OTHER_WORDS = {
    "known": "don't know",
    "don't know": "known",
    "does not apply": "known",
    "answered": "supposed",
    "supposed": "answered",
    "derived": "computed",
    "computed": "derived",
    "applies": "not ruled out",
    "not ruled out": "applies",
    "note": "stop",
    "stop": "note",
    "caution": "note",
    "ok": "refuse",
    "defer": "ok",
    "refuse": "ok",
}


def sampled(every: list[Edit], rng: random.Random, wanted: int) -> list[Edit]:
    """So many of the edits, evenly from each part of the advice, so that short parts are not missed."""
    parts: dict[str, list[Edit]] = {}
    for edit in every:
        parts.setdefault(str(edit.path[0]), []).append(edit)
    each = -(-wanted // len(parts))
    return [edit for part in parts.values() for edit in rng.sample(part, min(each, len(part)))]

"""Numbers that are told of a fitting, of what is carried or of a tool, and are no size of the leather itself."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Literal, NamedTuple

from ..rulebase.files import Shape
from ..rulebase.models import RuleBase
from ..rulebase.words import FOLDER, Phrases, words_file
from .numbers import Size, find_sizes
from .stuffs import stuffs

OWNED = f"{FOLDER}/owned.toml"
_CLAUSE = re.compile(r"[,;.!?]\s|\bbut\b|\band\b(?! a (?:half|quarter))|[,;.!?]$")
_BESIDE = 2
"""How many words may stand between a number and what it is told of, where the clause names the thing as well."""

Kind = Literal["through", "worn", "carried", "tool"]


class OwnedFile(Shape):
    """words/owned.toml."""

    through: Phrases
    worn: Phrases
    carried: Phrases
    tool: Phrases


class Owned(NamedTuple):
    """A number, the word of what it is told of, and of which kind that is."""

    size: Size
    word: str
    kind: Kind


def owned_sizes(rulebase: RuleBase, text: str, own: frozenset[str] = frozenset()) -> list[Owned]:
    """The sizes of ``text`` that are told of something else than the leather; ``own`` are words of the thing itself."""
    low = text.lower()
    found: list[Owned] = []
    for size in find_sizes(low, [], stuffs(rulebase)):
        if len(size.values) != 1 or size.wrong or size.kind not in ("size", "bare", "feet"):
            continue
        before = _CLAUSE.split(low[: size.start])[-1]
        # A number without a unit counts what stands behind it: "two rings".
        after = _CLAUSE.split(low[size.end :])[0] if size.kind != "bare" else ""
        if told := _told_of(rulebase, before, after, own):
            found.append(Owned(size, *told))
    return found


def fitted_words(rulebase: RuleBase) -> frozenset[str]:
    """The single words for what a strap goes through."""
    return frozenset(word for word, kind in _kinds(rulebase).items() if kind == "through" and " " not in word)


def _told_of(rulebase: RuleBase, before: str, after: str, own: frozenset[str]) -> tuple[str, Kind] | None:
    """The word that a number between these is told of; None where it is the thing, or nothing known."""
    behind, ahead = re.findall(r"[a-z']+", before)[::-1], re.findall(r"[a-z']+", after)
    names_thing = not own.isdisjoint((*behind, *ahead))
    reach = _BESIDE if names_thing else max(len(behind), len(ahead), 1)
    for place in range(reach):
        for words, turned in ((behind, True), (ahead, False)):
            for length in (3, 2, 1):
                run = words[place : place + length]
                said = " ".join(reversed(run) if turned else run)
                if len(run) == length and said not in own and (kind := _kinds(rulebase).get(said)):
                    # "A 20 mm strap for a ring" is told of the strap, "a 20 mm ring" of the ring.
                    between = words[:place]
                    return (said, kind) if own.isdisjoint(between) else None
    return None


def _kinds(rulebase: RuleBase) -> Mapping[str, Kind]:
    made: Mapping[str, Kind] = rulebase.once("owned", _read)
    return made


def _read(rulebase: RuleBase) -> dict[str, Kind]:
    file = words_file(rulebase, OWNED, OwnedFile)
    if file is None:
        return {}
    kinds: dict[Kind, tuple[str, ...]] = {
        "through": file.through,
        "worn": file.worn,
        "carried": file.carried,
        "tool": file.tool,
    }
    return {word: kind for kind, words in kinds.items() for word in words}

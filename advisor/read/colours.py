"""Colours that are only told of: what something is as large as, what it has become, what is disliked or replaced.

Everything here is plain English; the names of colours are data.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass

from pydantic import Field

from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.words import Phrases, words_file
from .lexicon import BREAK, NO, STOP, phrase
from .offered import leather_at
from .sentence import Match, Sentence

_PARTS = "words/part_names.toml"
_BACK = 6
_BETWEEN = 3
"""So many places behind a colour its part may begin at."""
_LINKS = frozenset(("in", "is", "are", "should", "be", "to", "a", "of", "just", "will", "all", "with"))
"""Words between a part and its colour: "the flap should be red"."""
_TOLD_OF = re.compile(
    r"\b(?:(?:as )?(?:big|large|small|wide|long|thick|tall|high) as|the size of|sized like) (?:an? |the |my )?$"
    r"|\b(?:gone|went|turned|turning|faded|bleached) (?:to |off |an? |all |bit |quite |very |rather |so |like |as )*$"
    r"|\b(?:turn|turning) (?:the|my|his|her|our|your|their) \w+ $"
    r"|\b(?:ghastly|horrible|horrid|hideous|awful|ugly|vile|nasty|dreadful|revolting|lurid) $"
)
_INSTEAD = re.compile(r"\b(?:but (?:this time )?(?:in )?|but make it |this time (?:in )?)$")


def told_of(said: Sentence, m: Match) -> bool:
    """Whether the colour ``m`` is no wish: compared with, become, disliked, or replaced by one said later."""
    return bool(_TOLD_OF.search(_before(said, m.first))) or any(
        o.attribute == m.attribute
        and o.first > m.first
        and o.value != m.value
        and _INSTEAD.search(_before(said, o.first))
        for o in said.matches
    )


def ends_phrase(said: Sentence, i: int) -> bool:
    """Whether the word at ``i`` begins something that a colour before it does not describe."""
    return said.words[i] in STOP | NO | BREAK


def _before(said: Sentence, first: int) -> str:
    """The few words before the one at ``first``, each followed by a blank."""
    return "".join(f"{word} " for word in said.words[max(0, first - _BACK) : first])


class PartsFile(Shape):
    """words/part_names.toml: parts beside the body, those of metal, and what stands between a colour and its part.

    ``shaped`` are parts that are kept as they were said, ``hidden`` those that nobody sees, ``loaded`` those that hang
    on it; ``coloured`` names for an attribute the parts whose colour it keeps.
    """

    parts: Phrases
    metal: Phrases
    beside: Phrases
    shaped: Phrases
    hidden: Phrases
    loaded: Phrases
    coloured: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)


def _parts_file(rulebase: RuleBase) -> PartsFile | None:
    """The file of parts, read once."""
    made: PartsFile | None = rulebase.once("parts", lambda base: words_file(base, _PARTS, PartsFile))
    return made


def part_names(rulebase: RuleBase) -> frozenset[tuple[str, ...]]:
    """The folded names of the parts that a thing may have beside its body."""
    file = _parts_file(rulebase)
    return _folded(rulebase, "part_names", file.parts if file else ())


def shaped_parts(rulebase: RuleBase) -> frozenset[tuple[str, ...]]:
    """The folded names of the parts that are kept as they were said."""
    file = _parts_file(rulebase)
    return _folded(rulebase, "shaped_parts", file.shaped if file else ())


def parts_by_use(rulebase: RuleBase) -> tuple[Phrases, Phrases]:
    """The names of the parts that nobody sees, and of those on which the load hangs."""
    file = _parts_file(rulebase)
    return (file.hidden, file.loaded) if file else ((), ())


def _folded(rulebase: RuleBase, key: str, names: Phrases) -> frozenset[tuple[str, ...]]:
    made: frozenset[tuple[str, ...]] = rulebase.once(key, lambda _: frozenset(map(phrase, names)))
    return made


@dataclass(frozen=True, slots=True)
class Part:
    """What a ``colour`` is said of: its words, whether it is of metal, and what attribute keeps its colour, if any."""

    words: str
    colour: str
    metal: bool
    kept_as: str
    first: int
    last: int


def part_of(rulebase: RuleBase, said: Sentence, m: Match, item: str | None, taken: range) -> Part | None:
    """The part whose colour ``m`` is, as "the handles in black", "black screws" or "grey suede lining".

    None where it is a colour of the whole: the thing ``taken``, or a thing called after such a part.
    """
    file = _parts_file(rulebase)
    if file is None:
        return None
    kept = {phrase(name): attribute for attribute, names in file.coloured.items() for name in names}
    known = {phrase(name): name for name in file.parts} | dict.fromkeys(kept, "")
    own = set(phrase(rulebase.items[item].name)) if item and item in rulebase.items else set()
    begin, last = m.own[0], m.own[-1]
    begin += said.words[begin] in _LINKS
    ends = last + said.words[last][0].isalnum()
    back = begin - 1
    while back >= 0 and (said.words[back] in _LINKS or said.words[back] in file.beside):
        back -= 1
    ahead = _ahead(rulebase, said, ends, file, kept) if ends > last else []
    spans = [(at, at + n) for at in ahead for n in (2, 1)]
    if back < begin - 1:
        spans += [(back - n, back + 1) for n in (1, 0) if back - n >= 0]
    for first, end in spans:
        key = tuple(said.words[first:end])
        if key not in kept and not all(word in file.beside for word in said.words[ends:first]):
            # "Tan bridle back" is a leather.
            continue
        named = not set(taken).isdisjoint(range(first, end))
        if end <= len(said.tokens) and key in known and not named and not own.issuperset(key[-1:]):
            words = said.text[said.tokens[first].start : said.tokens[end - 1].end]
            colour = " ".join(said.words[begin:ends])
            return Part(words, colour, known[key] in file.metal, kept.get(key, ""), first, end)
    return None


def _ahead(
    rulebase: RuleBase, said: Sentence, first: int, file: PartsFile, parts: Collection[tuple[str, ...]]
) -> list[int]:
    """Where the part behind a colour may begin: next to it, or past what it is made of ("grey suede lining")."""
    found = [first]
    while len(found) < _BETWEEN and (i := found[-1]) < len(said.words):
        of = said.owner.get(i)
        told = of is not None and i < of.last - 1 and (said.words[of.last - 1],) in parts
        if not (told or said.word(i) in file.beside or leather_at(rulebase, said, i)):
            break
        found.append(i + 1)
    return found

"""Ways of speaking in which a noun means no thing: "in the same boat", "tears like wet bread"; they stand in the words.

Their words are passed over when a thing and facts are looked for. Common English, from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from ..rulebase.files import Shape
from ..rulebase.models import RuleBase
from ..rulebase.words import words_file
from .lexicon import fold, folded, words_and_marks

FILE = "words/idioms.toml"
ANYBODY = "*"
"""Stands for one word in an idiom: "on * high horse"."""


_HEDGES = folded("a bit just exactly more almost rather very much quite about all something nothing somewhat")
"""What may stand between the verb and the "like" of a comparison."""
_AFTER_LIKE = folded("a an the some those these old my our his her their your")
_ENDS = folded(
    """and but or so because when while if which that who whose where than as for of to at in into on onto from off with
    without by under over round around through after before until is are was were be has have had do does did can could
    will would should must may might i you we he she it they me him us them this there what how not no please like"""
)
"""Words that a noun phrase never runs over."""
_LONGEST = 3
_GOES_ON = re.compile(r"\w")


class LikenedVerbs(Shape):
    """The verbs before the "like" of a comparison, in every form: those of acting, and those of look and feel."""

    acts: tuple[str, ...] = ()
    looks: tuple[str, ...] = ()


class IdiomsFile(Shape):
    """words/idioms.toml: folded words of each idiom, ``*`` for any one word, and the verbs of comparisons."""

    said: dict[str, tuple[str, ...]]
    likened: LikenedVerbs = LikenedVerbs()


class Idioms:
    """The idioms of a rule base, by their first word."""

    def __init__(self, rulebase: RuleBase) -> None:
        raw = words_file(rulebase, FILE, IdiomsFile)
        self.by_first: dict[str, list[tuple[str, ...]]] = {}
        for text in (text for texts in (raw.said.values() if raw else ()) for text in texts):
            key = tuple(ANYBODY if word == ANYBODY else words_and_marks(word)[0] for word in text.split())
            self.by_first.setdefault(key[0], []).append(key)
        likened = raw.likened if raw else LikenedVerbs()
        self.acts = frozenset(map(fold, likened.acts))
        self.looks = frozenset(map(fold, likened.looks))

    def find(self, words: Sequence[str]) -> Iterator[tuple[int, int]]:
        """The first and last word (not included) of each idiom in folded words."""
        for i, word in enumerate(words):
            for key in self.by_first.get(word, ()):
                here = words[i : i + len(key)]
                if len(here) == len(key) and all(k in (ANYBODY, w) for k, w in zip(key, here, strict=True)):
                    yield i, i + len(key)

    def likened(self, words: Sequence[str], verbs: frozenset[str]) -> Iterator[tuple[int, int]]:
        """The first and last word (not included) of what is only compared: "wet bread" in "tears like wet bread".

        ``words`` are folded, or in lower case; ``verbs`` are ``acts`` or ``looks``.
        """
        for i in (i for i, word in enumerate(words) if word == "like"):
            verb = i - 1
            while verb >= 0 and fold(words[verb]) in _HEDGES:
                verb -= 1
            if verb < 0 or fold(words[verb]) not in verbs:
                continue
            first = i + 1
            while first < len(words) and words[first] in _AFTER_LIKE:
                first += 1
            last = first
            while last < min(first + _LONGEST, len(words)) and _GOES_ON.match(words[last]) and words[last] not in _ENDS:
                last += 1
            if last > first:
                yield first, last


def idioms(rulebase: RuleBase) -> Idioms:
    """The idioms of this rule base, read once. Raises RuleBaseError with every mistake in the file."""
    made: Idioms = rulebase.once("idioms", Idioms)
    return made

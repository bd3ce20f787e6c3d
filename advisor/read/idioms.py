"""Ways of speaking in which a noun means no thing: "in the same boat", "off the cuff"; they stand in the words.

Their words are passed over when a thing and facts are looked for. Common English, from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..rulebase.files import Shape
from ..rulebase.models import RuleBase
from ..rulebase.words import words_file
from .lexicon import words_and_marks

FILE = "words/idioms.toml"
ANYBODY = "*"
"""Stands for one word in an idiom: "on * high horse"."""


class IdiomsFile(Shape):
    """words/idioms.toml: folded words of each idiom, ``*`` for any one word."""

    said: dict[str, tuple[str, ...]]


class Idioms:
    """The idioms of a rule base, by their first word."""

    def __init__(self, rulebase: RuleBase) -> None:
        raw = words_file(rulebase, FILE, IdiomsFile)
        self.by_first: dict[str, list[tuple[str, ...]]] = {}
        for text in (text for texts in (raw.said.values() if raw else ()) for text in texts):
            key = tuple(ANYBODY if word == ANYBODY else words_and_marks(word)[0] for word in text.split())
            self.by_first.setdefault(key[0], []).append(key)

    def find(self, words: Sequence[str]) -> Iterator[tuple[int, int]]:
        """The first and last word (not included) of each idiom in folded words."""
        for i, word in enumerate(words):
            for key in self.by_first.get(word, ()):
                here = words[i : i + len(key)]
                if len(here) == len(key) and all(k in (ANYBODY, w) for k, w in zip(key, here, strict=True)):
                    yield i, i + len(key)


def idioms(rulebase: RuleBase) -> Idioms:
    """The idioms of this rule base, read once. Raises RuleBaseError with every mistake in the file."""
    made: Idioms = rulebase.once("idioms", Idioms)
    return made

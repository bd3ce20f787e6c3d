"""Short forms of the counter read as the words they stand for: "dbl shldr vt" is a double shoulder in veg tan.

They stand in ``words/shorthand.toml``. A word that stands for another keeps its place in the text, so that what is
shown back is what was written.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from pydantic import Field

from ..rulebase.files import Shape
from ..rulebase.models import RuleBase
from ..rulebase.words import words_file
from .lexicon import Token, fold, tokens

FILE = "words/shorthand.toml"
_NEAR = 2
_NUMBER, _SHORT, _LEATHER, _COUNTER, _WEIGHT = "number", "short", "leather", "counter", "weight"
_THICKNESS = re.compile(r"(?:[0-9]+|[0-9]*[.,][0-9]+)?oz|(?:[1-7]|[0-9]?[.,][0-9]+)mm")
"""A number with its unit as one word that is a thickness of leather (common practice)."""


class RawBeside(Shape):
    """A short form that is also a word: what it means where one of ``words`` stands near."""

    means: str
    words: tuple[str, ...] = Field(min_length=1)


class ShorthandFile(Shape):
    """words/shorthand.toml."""

    always: dict[str, str] = Field(default_factory=dict)
    beside: dict[str, RawBeside] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Shorthand:
    """The short forms of a rule base: what each means, and the words that some need beside them."""

    means: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    needs: Mapping[str, frozenset[str]] = field(default_factory=dict)
    pattern: re.Pattern[str] = re.compile("(?!)")
    leather: frozenset[str] = frozenset()


def shorthand(rulebase: RuleBase) -> Shorthand:
    """The short forms, read once. Raises RuleBaseError with every mistake in the file."""
    made: Shorthand = rulebase.once("shorthand", _read)
    return made


def _read(rulebase: RuleBase) -> Shorthand:
    raw = words_file(rulebase, FILE, ShorthandFile)
    if raw is None:
        return Shorthand()
    written = {**raw.always, **{short: beside.means for short, beside in raw.beside.items()}}
    longest = sorted(written, key=len, reverse=True)
    return Shorthand(
        {short.lower(): tuple(t.word for t in tokens(text)) for short, text in written.items()},
        {short.lower(): frozenset(_named(beside.words)) for short, beside in raw.beside.items()},
        # A form that ends in a letter may stand in the plural, and one that ends in a mark needs nothing after it.
        re.compile(
            r"(?<![^\W\d])(?<!['’])(?:"
            + "|".join(
                re.escape(short.lower()) + (r"(?=s?(?![\w'’]))" if short[-1].isalnum() else "") for short in longest
            )
            + ")"
        ),
        _leather_words(rulebase),
    )


def _leather_words(rulebase: RuleBase) -> frozenset[str]:
    """The single words in the names of leathers, of what they are of and of what they are cut from."""
    named = (text for d in rulebase.choices() for c in d.candidates.values() for text in c.words)
    return frozenset(t.word for text in named for t in tokens(text)) | {"leather", "hide", "skin"}


def _named(words: Iterable[str]) -> Iterable[str]:
    return (word if word in (_NUMBER, _SHORT, _LEATHER, _COUNTER, _WEIGHT) else fold(word) for word in words)


def expanded(rulebase: RuleBase, text: str, found: Sequence[Token]) -> tuple[list[Token], list[tuple[int, int]]]:
    """The words ``found`` in ``text`` with the short forms replaced, and where the replaced ones stand."""
    known = shorthand(rulebase)
    # Folding case may not move the places of a text.
    low = "".join(c.lower() if len(c.lower()) == 1 else c for c in text)
    places = {m.start(): (m.end(), m[0]) for m in known.pattern.finditer(low)}
    if not places:
        return list(found), []
    sure = {start for start, (_, short) in places.items() if short not in known.needs}
    made: list[Token] = []
    replaced: list[tuple[int, int]] = []
    end = -1
    for i, token in enumerate(found):
        if token.start < end:
            continue
        last, short = places.get(token.start, (0, ""))
        if not short or (token.start not in sure and not _needed(known, known.needs[short], found, i, sure)):
            made.append(token)
            continue
        end = max(last, token.end)
        words = known.means[short]
        made += [
            Token(word, token.start, end, False, token.plural and n == len(words) - 1) for n, word in enumerate(words)
        ]
        replaced.append((token.start, end))
    return made, replaced


def _needed(known: Shorthand, needs: frozenset[str], found: Sequence[Token], i: int, sure: set[int]) -> bool:
    """Whether one of the words that a short form needs stands within two words of the word at ``i``."""
    near = [*found[max(0, i - _NEAR) : i], *found[i + 1 : i + 1 + _NEAR]]
    return any(
        t.word in needs
        or (_NUMBER in needs and t.word.removeprefix("x")[:1].isdigit())
        or (_WEIGHT in needs and _THICKNESS.fullmatch(t.word) is not None)
        or (_SHORT in needs and t.start in sure)
        or (_COUNTER in needs and len(sure) > 1)
        or (_LEATHER in needs and t.word in known.leather)
        for t in near
    )

"""Colours that are only told of: what something is as large as, what it has become, what is disliked or replaced.

Everything here is plain English; the names of colours are data.
"""

from __future__ import annotations

import re

from ..rulebase.files import Shape
from ..rulebase.models import RuleBase
from ..rulebase.words import Phrases, words_file
from .lexicon import BREAK, NO, STOP, phrase
from .sentence import Match, Sentence

_BACK = 6
_LINKS = frozenset(("in", "is", "are", "should", "be", "to", "a", "of", "just", "will", "all", "with"))
"""Words between a part and its colour: "the flap should be red"."""
_TOLD_OF = re.compile(
    r"\b(?:(?:as )?(?:big|large|small|wide|long|thick|tall|high) as|the size of|sized like) (?:an? |the |my )?$"
    r"|\b(?:gone|went|turned|turning|faded|bleached) (?:to |off |an? |all |bit |quite |very |rather |so )*$"
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
    """words/part_names.toml: parts beside the body, those of metal, and what stands between a colour and its part."""

    parts: Phrases
    metal: Phrases
    beside: Phrases


def part_of(rulebase: RuleBase, said: Sentence, m: Match, item: str | None, taken: range) -> tuple[str, bool]:
    """The part whose colour ``m`` is, as "the handles in black" or "black screws", and whether it is of metal.

    "" where it is a colour of the whole: the thing ``taken``, or a thing called after such a part.
    """
    file = words_file(rulebase, "words/part_names.toml", PartsFile)
    if file is None:
        return "", False
    known = {phrase(name): name for name in file.parts}
    own = set(phrase(rulebase.items[item].name)) if item and item in rulebase.items else set()
    begin = m.first + (said.words[m.first] in _LINKS)
    back = begin - 1
    while back >= 0 and said.words[back] in _LINKS:
        back -= 1
    ahead = m.last + (said.word(m.last) in file.beside)
    spans = [(ahead, ahead + n) for n in (2, 1)]
    if back < begin - 1:
        spans += [(back - n, back + 1) for n in (1, 0) if back - n >= 0]
    for first, last in spans:
        key = tuple(said.words[first:last])
        named = not set(taken).isdisjoint(range(first, last))
        if last <= len(said.tokens) and key in known and not named and not own.issuperset(key[-1:]):
            return said.text[said.tokens[first].start : said.tokens[last - 1].end], known[key] in file.metal
    return "", False

"""Several of a thing in different colours: "two, one black one brown", "3 in tan and 2 in black", "the same in red"."""

from __future__ import annotations

import re

from ..rulebase.models import RuleBase
from .answers import read_answer
from .numbers import find_sizes

COLOUR = "colour"
Variant = tuple[int, str]
"""How many, and the value of the colour they are in."""
_PART = re.compile(
    r"\b(?P<count>one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|a dozen|another|\d{1,3})"
    r"(?: (?:more|of them|of those|in|is|are|be|being|to be|should be|will be|a|the))*"
    r" (?P<colour>(?:(?:dark|light|mid|pale|deep|bright|plain) )?[a-z]+)\b"
)
_SAME = re.compile(
    r"(?:and |plus |also |then |oh )*"
    r"(?:(?:the |do |make )*same(?: again| thing| one)*"
    r"|(?:another|one more|an extra|a second)(?: one| of them| the same)?"
    r"|(?P<count>one|two|three|four|five|six|\d{1,2})(?: more)?(?: of the same)?)"
    r"(?: but)? (?:in|as) (?:a )?(?P<colour>(?:(?:dark|light|mid|pale|deep|bright|plain) )?[a-z]+)"
    r"(?: please| too| as well)*"
)


def variants(rulebase: RuleBase, text: str) -> list[Variant]:
    """The parts of one order that differ in colour; fewer than two of them are none."""
    found: list[Variant] = []
    for part in _PART.finditer(_plain(text)):
        value = _colour(rulebase, part["colour"])
        if value:
            found.append((_count(part["count"]), value))
    return found if len({value for _, value in found}) > 1 else []


def the_same_in(rulebase: RuleBase, text: str) -> tuple[int, str, str] | None:
    """ "And the same again in tan": how many more, in which colour, and how that was called."""
    said = _SAME.fullmatch(_plain(text))
    value = _colour(rulebase, said["colour"]) if said else ""
    return (_count(said["count"] or "one"), value, said["colour"]) if said and value else None


def _plain(text: str) -> str:
    return " ".join(text.lower().replace(",", " , ").strip(" .!").split())


def _count(words: str) -> int:
    if words in ("another", "a"):
        return 1
    return next((int(s.values[0]) for s in find_sizes(f"{words} of them", []) if s.values), 1)


def _colour(rulebase: RuleBase, words: str) -> str:
    """The colour that the words are, "" if they are none."""
    question = rulebase.attributes.get(COLOUR)
    for said in (words, words.split()[0]) if question else ():
        found = read_answer(rulebase, question, said, numbered=False) if question else None
        if found and found.meant == "value" and found.answer and found.answer.values and said not in ("one", "two"):
            return str(found.answer.values[0])
    return ""

"""A correction: "no, a pouch", "it's a glasses case", "wallet, not belt", "change it to a bag", "sorry, 40".

Only words that say that something said before was wrong, or what is made instead, correct it; a noun alone never does.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import NamedTuple

from ..leather.units import Units
from ..rulebase.models import RuleBase
from . import lexicon as lex
from .reader import read_sentence
from .roles import Role
from .things import Named

_LEAD = re.compile(
    r"(?:(?P<strong>(?:no|nope|nah)(?=\s*[,.;:!-]|\s+(?:an?|the|its?|not|i|make|sorry|wait|that|actually|hang|hold|\d)\b|\s*$)"
    r"|sorry|oops|oop|actually|correction|wrong|(?:i|he|she|they|we)(?:'m| am)? ?(?:really |actually )?"
    r"(?:meant?|mean)(?: to say| it'?s)?|my mistake|my fault|not quite|on second thoughts?|second thoughts?"
    r"|change of (?:plan|mind)|(?:i've |i have )?changed my mind|scratch that|scrap that|forget that|strike that"
    r"|let me (?:correct|rephrase)(?: that)?|(?:let's |lets |please )?(?:rather|better)(?: make it)?"
    r"|(?:let's |lets |please |can we |could we |can you )?(?:make|do|call) (?:it|that|this)"
    r"|it (?:should|was meant to|was supposed to) (?:be|say)|should (?:be|say|have been)|that should be"
    r"|(?:he|she|they|we|i) (?:now )?(?:wants?|need(?:s)?|would (?:like|prefer)|'d (?:like|prefer)|prefers?)(?= .*"
    r"\b(?:now|instead|after all|rather|not)\b))"
    r"|(?P<weak>it'?s|it is|it's really|this is|that'?s|that is|wait|hang on|hold on|hm+|h+m+|um+|er+m?|oh|ok|okay"
    r"|well|so|but|and|yes|right|ah|then|please|now|just|in fact|really|you know|look))\b[\s,.;:!-]*"
)
_TRAIL = re.compile(
    r"[\s,.;:!-]*\b(?:(?P<strong>instead|after all|i (?:meant?|mean)|rather|actually|sorry|not that"
    r"|it (?:should|was meant to) be)|(?P<weak>then|please|now|thanks|thank you|it is|ok))[\s,.;:!]*$"
)
_OLD = r"(?P<old>[^,.;]{1,40}?)"
_INSTEAD = r"(?:but |it'?s |it is |i want |i need |make it |rather |he wants |she wants )*"
_SWAPS = tuple(
    re.compile(pattern)
    for pattern in (
        rf"i (?:said|told you|wrote|typed|put) {_OLD},? (?:but|and)?\s*i (?:meant?|mean)\s+(?P<new>.+)",
        r"(?:please |can (?:you|we|i) |could (?:you|we|i) )*(?:change|swap|switch|turn|replace)"
        rf"\s+{_OLD}\s+(?:to|for|into|with|by)\s+(?P<new>.+)",
        r"(?:it'?s |it is |i want |i don'?t want |that'?s )?(?:not|never mind|no longer|forget|scrap|drop)"
        rf"\s+{_OLD}(?:\s*[,.;:-]\s*{_INSTEAD}|\s+(?:but|it'?s|it is)\s+)(?P<new>.+)",
        rf"(?P<new>.+?)[\s,;-]+(?:and )?(?:not|instead of|rather than)\s+{_OLD}",
    )
)
"""What is taken back, and what is said in its place."""
_BEFORE = lex.folded("a an the my his her their our your this one new kind sort some pair of")
_BESIDES = re.compile(r"^(?:and|plus|also|another)\b|\b(?:too|as well|also|besides)$")
"""What asks for a second thing, and corrects nothing."""
_USED_FOR = lex.folded("for to with in on from like as by at into")
_ITSELF = lex.folded("it this that thing order item them")
_MADE = (Role.MADE, Role.ALONE, Role.SECOND, Role.REPAIRED)


class Correction(NamedTuple):
    """What is said instead of something said before.

    ``named`` is the thing, empty where no other thing is named; ``words`` are what is said instead, without the words
    that only correct. ``sure`` says that the words cannot be anything but a correction.
    """

    words: str
    named: Named
    sure: bool

    @property
    def slug(self) -> str:
        """The thing that is meant now, "" where it is not clear."""
        return self.named.taken.thing.slug if self.named.taken else ""


def correction(rulebase: RuleBase, text: str, item: str, units: Units = "mm") -> Correction | None:
    """What ``text`` corrects while ``item`` is made; None where it corrects nothing."""
    if _BESIDES.search(_plain(text)):
        return None
    words, sure, old = _stripped(text)
    if old and not _names(rulebase, old, item, units):
        # "Not brown, black" and "not for my dog" are about something else than the thing.
        return Correction(words, Named(), True)
    sure = sure or bool(old)
    if words == text.strip() and not sure:
        return None
    named = read_sentence(rulebase, words, None, units).named if words else Named()
    if not _is_named(rulebase, words, named, sure, item):
        named = Named()
    if not named.taken and (same := [c for c in named.candidates if _of_a_kind(rulebase, c.thing.name, item)]):
        named = replace(named, taken=same[0]) if len(same) == 1 else replace(named, candidates=tuple(same))
    return Correction(words, named, sure) if named.taken or named.candidates or sure else None


def _of_a_kind(rulebase: RuleBase, name: str, item: str) -> bool:
    """Whether a thing is called after the same as ``item``, as a dog lead and a dog collar."""
    one, other = name.split(), rulebase.items[item].name.split()
    return len(one) > 1 and len(other) > 1 and one[0] == other[0] and rulebase.items[item].name != name


def _stripped(text: str) -> tuple[str, bool, str]:
    """The words said instead, whether a correction is certain, and what is taken back, "" where that is not said."""
    words, sure, old = _plain(text), False, ""
    for _ in range(8):
        before = words
        for pattern in _SWAPS:
            if not old and (found := pattern.fullmatch(words)):
                old, words, sure = found["old"].strip(), found["new"].strip(), True
                break
        if lead := _LEAD.match(words):
            rest = words[lead.end() :]
            sure, words = sure or bool(lead["strong"]), rest
        if (trail := _TRAIL.search(words)) and trail.start() > 0:
            sure, words = sure or bool(trail["strong"]), words[: trail.start()]
        if words == before:
            break
    return words.strip(" ,.;:!"), sure, old


def _plain(text: str) -> str:
    return text.lower().replace("’", "'").strip(" .!")


def _names(rulebase: RuleBase, words: str, item: str, units: Units) -> bool:
    """Whether the words name ``item``: "the belt", "tote" of a plain tote, "it"."""
    key = [w for w in lex.phrase(words) if w not in lex.STOP or w in _ITSELF]
    if not key:
        return False
    if set(key) <= _ITSELF:
        return True
    names = lex.lexicon(rulebase).names.get(item, ())
    if any(name[-len(key) :] == tuple(key) or tuple(key)[-len(name) :] == name or key[-1] in name for name in names):
        return True
    taken = read_sentence(rulebase, words, None, units).named.taken
    return taken is not None and taken.thing.slug == item


def _is_named(rulebase: RuleBase, words: str, named: Named, sure: bool, item: str) -> bool:
    """Whether the words are the name of another thing, with nothing before it but what describes it."""
    lead = named.taken or (named.candidates[0] if named.candidates else None)
    if lead is None or lead.role not in _MADE or not (named.taken or sure):
        return False
    said = [t.word for t in lex.tokens(words)]
    known = lex.lexicon(rulebase).value_words
    if not _USED_FOR.isdisjoint(said[: lead.first]):
        return False
    if any(w not in _BEFORE and w not in lex.PLAIN and w not in known and not w.isdigit() for w in said[: lead.first]):
        return False
    if named.taken and lead.thing.slug == item:
        return False
    rest = [w for w in said[lead.last :] if w[0].isalnum() and w not in lex.STOP]
    return sure or not rest

"""Why not and what if, in a few lines read off ledgers and differences of advice.

Nothing is concluded here, and nothing asked here changes an answer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from ..codes import say
from ..errors import AnswerError
from ..leather.units import Units
from ..read.reader import read_sentence
from ..reasoning.closed import closed
from ..reasoning.consult import Consultation
from ..reasoning.contrast import Contrast, contrast
from ..reasoning.difference import Move, moves
from ..reasoning.facts import Answer, attribute_named, parse_answer
from ..reasoning.why_not import WhyNot, nearest_of, why_not, why_not_weight
from ..rulebase.models import RuleBase
from ..write.differing import moves_told, unmoved_told
from ..write.explaining import Voice, closed_told, contrast_told, why_not_told
from ..write.page import listed
from .matter import Matter
from .naming import bare, candidates_named, near_name, slug_of, thickness_named

_SET = re.compile(r"(.+?)\s+(?:is|are|was|were|=|becomes|became|to)\s+(.+)", re.IGNORECASE)
_RATHER = re.compile(r"(.+?)\s+(?:rather than|instead of|and not|over)\s+(.+?)\??", re.IGNORECASE)


def voice_of(matter: Matter) -> Voice:
    """The words of a consultation."""
    return Voice(matter.rulebase, matter.item, matter.width, matter.units)


# -- why not


def why_not_lines(matter: Matter, text: str, full: bool = False) -> list[str]:
    """The answer to "why not ...": a few lines, and in ``full`` every rule that could speak for it besides.

    Raises AnswerError for what is no candidate and no thickness.
    """
    two = rather_than(matter.rulebase, text)
    if two is not None:
        return contrast_lines(matter, two)
    found, voice = why_not_asked(matter, text), voice_of(matter)
    lines = why_not_told(voice, found, bare(text))
    if full and found.decision != "weight":
        run = Consultation(matter.rulebase, matter.answers, house=matter.house)
        lines += closed_told(voice, closed(run, found.decision, found.asked))
    return lines


def why_not_values(matter: Matter, text: str) -> WhyNot | Contrast:
    """The answer to "why not ..." as values, of two that are compared what parts them."""
    two = rather_than(matter.rulebase, text)
    return contrast_asked(matter, two) if two is not None else why_not_asked(matter, text)


def why_not_asked(matter: Matter, text: str) -> WhyNot:
    """The answer as values. Raises AnswerError naming the nearest word."""
    mm = thickness_named(text)
    if mm is not None:
        return why_not_weight(matter.rulebase, matter.answers, matter.house, mm)
    decision, candidates = _named(matter.rulebase, text, "why not")
    return why_not(matter.rulebase, matter.answers, matter.house, decision, candidates)


def _named(rulebase: RuleBase, text: str, asked: str) -> tuple[str, list[str]]:
    named = candidates_named(rulebase, text)
    if not named:
        near = near_name(rulebase, text)
        raise AnswerError(asked, bare(text), say("leather_expected"), near)
    decision = named[0][0]
    return decision, [c for d, c in named if d == decision]


# -- rather than


def rather_than(rulebase: RuleBase, text: str) -> tuple[str, str] | None:
    """The two that "A rather than B" compares, if it does compare two leathers, cuts or forms."""
    found = _RATHER.fullmatch(text.strip())
    return (found[1], found[2]) if found and candidates_named(rulebase, found[1]) else None


def contrast_lines(matter: Matter, two: tuple[str, str]) -> list[str]:
    """What parts two candidates. Raises AnswerError for what is no candidate or not of one kind."""
    return contrast_told(voice_of(matter), contrast_asked(matter, two))


def contrast_asked(matter: Matter, two: tuple[str, str]) -> Contrast:
    """The same as values. Of a group the member is meant that stands best."""
    (decision, ones), (other_decision, others) = (_named(matter.rulebase, text, "rather than") for text in two)
    if decision != other_decision:
        kind = matter.rulebase.decisions[decision].title
        raise AnswerError("rather than", bare(two[1]), say("another_expected", kind=kind, beside=bare(two[0])), None)
    choice = matter.advice().decisions.choices()[decision]
    one = nearest_of(choice, ones)
    rest = [c for c in others if c != one]
    if not rest:
        raise AnswerError("rather than", bare(two[1]), say("two_expected"), None)
    return contrast(matter.rulebase, matter.answers, matter.house, decision, one, nearest_of(choice, rest))


# -- what if


def changes_said(rulebase: RuleBase, text: str, item: str | None, units: Units = "mm") -> dict[str, Answer]:
    """The answers that "what if ..." speaks of. Raises AnswerError when none can be made out."""
    found: dict[str, Answer] = {}
    for part in re.split(r"\s+and\s+|\s*,\s*", text.strip(" ?.")):
        said = _SET.fullmatch(part.strip())
        name = slug_of(bare(said[1])) if said else ""
        if said is None or name not in rulebase.attributes:
            found.clear()
            break
        found[name] = parse_answer(attribute_named(rulebase, name), said[2].strip(" ?."), units=units)
    if not found:
        found = dict(read_sentence(rulebase, text.strip(" ?."), item, units).answers)
    if not found:
        raise AnswerError("what if", text, say("what_if_expected"))
    return found


def what_if_lines(matter: Matter, changes: Mapping[str, Answer]) -> list[str]:
    """What would be different, and nothing else; where nothing would, why that is."""
    voice, page = voice_of(matter), matter.page()
    before = matter.advice()
    page.add(f"If you said {listed(voice.quoted(n, a) for n, a in changes.items())}:")
    found = moves(before, matter.advice(changes))
    page.lines += moves_told(voice, found, 2) if found else unmoved_told(voice, before, changes)
    return page.lines


def move_lines(matter: Matter, found: Sequence[Move], indent: int = 0) -> list[str]:
    """Differences of two advices, one each, with the rule behind it."""
    return moves_told(voice_of(matter), found, indent)

"""Two that are named beside each other, as "goat or calf": what parts them for this thing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from ..read.beside import held_against, known_values, take_if
from ..read.glossary import difference_told, terms_in
from ..reasoning.contrast import contrast
from ..reasoning.why_not import nearest_of
from ..rulebase.models import RuleBase
from ..write.buying import stands
from ..write.names import called, thing_called
from ..write.short_reasons import contrast_short, gives_short
from .comparing import voice_of
from .matter import Matter
from .naming import candidates_named

_NO_NAME = frozenset(
    """leather leathers hide skin tan tanned a an the some any it this that my i we you just only use using make made
    go get buy take have be is are do does would could can not no and or of one two piece pieces strap bag thing
    layer thick thin good better best strong stronger hard soft heavy light full new old""".split()  # noqa: SIM905
)
_BEFORE = frozenset(("soft",))
"""What names nothing alone and may begin a name."""
TOLD_FIRST = ("tannage", "species", "cut", "grain", "surface", "form", "temper")
_LONGEST = 4


def contrast_said(matter: Matter, one: str, other: str, gives: bool) -> list[str]:
    """What parts two that are named, each of which may stand among side words; empty where they are not of one kind.

    With ``gives`` the first named is asked what it has that the other has not.
    """
    first, second = named_in(matter.rulebase, one), named_in(matter.rulebase, other)
    decision = next((d for d in TOLD_FIRST if d in first and d in second), "")
    if not decision:
        return []
    choice = matter.advice().decisions.choices()[decision]
    a = nearest_of(choice, first[decision][1])
    rest = [c for c in second[decision][1] if c != a]
    if not rest:
        return []
    b = nearest_of(choice, rest)
    groups = {c: words for c, (words, several) in ((a, first[decision]), (b, second[decision])) if several[1:]}
    found = contrast(matter.rulebase, matter.answers, matter.house, decision, a, b)
    if gives:
        return gives_short(voice_of(matter), found)
    values = known_values(matter.advice())
    buts = {c: held_against(matter.rulebase, decision, c, values) for c in (a, b)}
    return contrast_short(voice_of(matter), found, groups, take_if(matter.rulebase, decision, [a, b]), buts)


def named_in(rulebase: RuleBase, clause: str) -> dict[str, tuple[str, list[str]]]:
    """By decision the words that name one of its candidates, the longest first, and the candidates."""
    found: dict[str, tuple[str, list[str]]] = {}
    for name in names_in(rulebase, clause):
        found.setdefault(name.decision, (name.words, list(name.candidates)))
    return found


class Named(NamedTuple):
    """Words that name one candidate of a decision, or all of a group, and the place of the first of them."""

    decision: str
    words: str
    candidates: tuple[str, ...]
    at: int


def names_in(rulebase: RuleBase, text: str) -> Iterator[Named]:
    """What a text names of every decision, each word once, the longest names first."""
    words = re.findall(r"[\w'-]+", text)
    taken: set[int] = set()
    for n in range(min(_LONGEST, len(words)), 0, -1):
        for i in range(len(words) - n + 1):
            part = words[i : i + n]
            if _names_nothing(part) or taken & {*range(i, i + n)}:
                continue
            named = candidates_named(rulebase, " ".join(part))
            if named:
                taken |= {*range(i, i + n)}
                for decision in dict.fromkeys(d for d, _ in named):
                    yield Named(decision, " ".join(part), tuple(c for d, c in named if d == decision), i)


def _names_nothing(part: list[str]) -> bool:
    """Whether words begin or end with one that no name does."""
    begins = {part[0], part[0].removesuffix("s")} - (_BEFORE if len(part) > 1 else frozenset())
    return bool(begins & _NO_NAME) or part[-1] in _NO_NAME - {"tan", "tanned", "leather"}


_PIECES = {"form", "cut"}
_NEAR = 3
"""How near to the word that joins them parts of a hide have to stand."""
_BESIDE = re.compile(
    r"(?P<one>.+?),? (?:or|vs\.?|versus|against|compared (?:to|with)) (?P<other>.+)"
    r"|.*\bdifferen\w+ (?:between|of) (?P<first>.+?) and (?P<second>.+)",
    re.IGNORECASE,
)
"""What sets two beside each other."""


def either_said(matter: Matter, clause: str) -> list[str]:
    """What parts two that a clause sets beside each other, and which is for this thing; empty for other clauses.

    What tells them apart at all is told first where the glossary has it.
    """
    found = _BESIDE.fullmatch(clause.strip(" ?."))
    if found is None or matter.item is None:
        return []
    one, other = (found["one"], found["other"]) if found["one"] else (found["first"], found["second"])
    one, other = one.lower(), other.lower()
    if _of_pieces(matter.rulebase, one, other):
        # "Cross at the back or go round the neck" sets no parts of a hide beside each other.
        one, other = " ".join(one.split()[-_NEAR:]), " ".join(other.split()[:_NEAR])
    apart = difference_told(matter.rulebase, terms_in(matter.rulebase, clause))
    if not stands(matter.advice()):
        return [apart] if apart else []
    said = contrast_said(matter, one, other, gives=False)
    if apart and said:
        return [apart, *_taken(matter, one, other)]
    # Sentence by sentence, so that as many are told as there is room for.
    return re.split(r"(?<=\.) (?=[A-Z])", " ".join(" ".join(said).split())) if said else []


def _of_pieces(rulebase: RuleBase, one: str, other: str) -> bool:
    """Whether two have names of parts of a hide, and none of a leather, in common."""
    both = named_in(rulebase, one).keys() & named_in(rulebase, other).keys()
    return bool(both) and both <= _PIECES


def _taken(matter: Matter, one: str, other: str) -> list[str]:
    """Which of those that are named is advised, or what is advised instead of them."""
    first, second = named_in(matter.rulebase, one), named_in(matter.rulebase, other)
    decision = next((d for d in TOLD_FIRST if d in first and d in second), "")
    chosen = matter.advice().decisions.choices()[decision].chosen if decision else []
    if not chosen:
        return []
    thing = thing_called(matter.rulebase, matter.item or "")
    return [f"For the {thing} I advise {called(matter.rulebase, decision, chosen[0])}."]

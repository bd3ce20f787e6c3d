"""What takes back something said before: a value denied, a number moved to what it really measures.

What protects somebody, and what keeps an order from standing, is only dropped after a yes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ..read.acts import acts_of
from ..read.ages import ages
from ..read.answers import read_answer
from ..read.danger import RAISED, concept_of
from ..read.lexicon import lexicon
from ..read.numbers import Size, find_sizes
from ..read.purposes import purposes
from ..read.reader import read_sentence
from ..reasoning.facts import Answer
from ..rulebase.models import NO_ORDER, Attribute
from ..write.page import listed
from .beside_it import part_told, second_told
from .called import bag, called_so, words_in
from .leaving import left
from .pending import Pending
from .reply import Reply
from .sizing import in_another_unit
from .ways_out import way_out
from .wishes import wished

if TYPE_CHECKING:
    from .session import Session

PROTECTING = ("people", "limits", "wet")
FOR_SALE, OWN = "for_sale", "no"
_NOT = re.compile(
    r"\b(?P<verb>do|does|did|is|are|was|were|will|would|should|must|need|has|have)(?:n'?t| not)\b"
    r"|\b(?:ain'?t|won'?t|not|never|no longer|no|without|nor)\b|\b(?P<nobody>nobody|no one|noone)\b",
    re.IGNORECASE,
)
_NO_DENIAL = re.compile(
    r"\b(?:not (?:only|just|sure|yet|certain|a problem|much|more|less|really)|no (?:idea|problem|rush|matter|worries)"
    r"|why not|if not|or not|do not (?:know|mind)|don'?t (?:know|mind))\b",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"\s*(?:[,;.!]\s+|[,;.!]$|\bbut\b|\band\b)\s*", re.IGNORECASE)
_DENIED = re.compile(
    r"\b(?:not|isn'?t|aren'?t|wasn'?t|ain'?t|never|(?:don'?t|doesn'?t|do not|does not) (?:want|need|be|measure))\b"
    r"(?P<between>[^,.;]{0,24})$",
    re.IGNORECASE,
)
_BOUND = re.compile(
    r"\b(?:than|over|under|above|below|exceed|up to|at least|at most|only|just|sure|about)\b", re.IGNORECASE
)
_WRONG = re.compile(r"[\w\s]{0,16}\b(?:is|was|were|are) (?:wrong|not right|a mistake)\b", re.IGNORECASE)
_UNIT = r"(?:mm|cm|in|inch(?:es)?|kg|kilos?)"
_OF_WHAT = r"(?P<of>[a-z' ]{2,30}?)"
_IS_OF = re.compile(
    rf"^\s*{_UNIT}?(?: (?:wide|long|high|tall|deep|thick|round))?,? ?(?:is|was|are|'?s|that'?s|that is|goes)"
    rf" (?:only |really |just |for )?(?:the |his |her |its |my |your |their ){_OF_WHAT}"
    rf"(?:[,.;]? (?:it'?s )?in (?P<unit>{_UNIT}))?(?= i\b| not\b| and\b| but\b|[,.;!]|$)",
    re.IGNORECASE,
)


def taken_back(session: Session, text: str) -> Reply | None:
    """The reply to a line that ends the talk or takes something back; None for anything else."""
    if reply := left(session, text):
        return reply
    if session.item() is None or not session.answers:
        return None
    low = text.lower().replace("’", "'")
    away = None if _NOT.search(low) else way_out(session, low)
    return (
        second_told(session, text)
        or _moved(session, text, low)
        or _number_denied(session, text, low)
        or part_told(session, text)
        or away
        or _value_denied(session, text, low)
    )


def _went_on(session: Session, text: str, lines: list[str], without: Mapping[str, Answer] | set[str]) -> Reply | None:
    """What else the line says, taken: all that is new but ``without``; None where it says nothing more."""
    reading = session.read_line(text)
    held = session.answers
    rest = {
        n: a for n, a in reading.answers.items() if n not in without and (n not in held or held[n].values != a.values)
    }
    unread = tuple(words for words in reading.unread if not any(c.isdigit() for c in words))
    return session.take(replace(reading, answers=rest, doubts=(), unread=unread), lines) if rest else None


# -- numbers


def _moved(session: Session, text: str, low: str) -> Reply | None:
    """ "No, 54 is his neck, in cm": a number goes to what it is really of."""
    for size in find_sizes(low, []):
        found = _IS_OF.match(low[size.end :])
        held = _held_as(session, size)
        if not found or not held:
            continue
        meant = called_so(session, found["of"])
        if meant is None and re.match(r"(?:no|nope|sorry|wrong)\b", low):
            # "No, 34 is the length of my legs": of something that no answer holds.
            lines = [f"Taken back: {session.said(held[0])}."]
            _drop(session, held[0])
            return _ask(session, session.rulebase.attributes[held[0]], lines)
        names = [n for n in held if meant is None or n != meant.name]
        if meant is None or not meant.numeric or not names:
            continue
        said = [session.said(n) for n in names[:1]]
        for name in names[:1]:
            _drop(session, name)
        number = low[size.start : size.end]
        if not size.unit and found["unit"]:
            number = f"{number} {found['unit']}"
        answer = _size_as(session, meant, number)
        lines = [f"Taken back: {listed(said)}."]
        if answer is not None:
            session.answers[meant.name] = answer
            lines.append(f"Understood: {session.said(meant.name)}.")
        numbers = {a.name for a in session.rulebase.attributes.values() if a.numeric}
        if more := _went_on(session, text, lines, numbers):
            return more
        if answer is not None:
            return session.go_on(lines)
        return _ask(session, meant, lines) if meant.name not in session.answers else session.go_on(lines)
    return None


def _size_as(session: Session, attribute: Attribute, number: str) -> Answer | None:
    found = read_answer(session.rulebase, attribute, number, session.units, numbered=False)
    if (
        found
        and found.meant == "value"
        and found.answer
        and (attribute.unit != "mm" or any(c.isalpha() for c in number))
    ):
        return found.answer
    other = in_another_unit(session, attribute, number)
    return other.answer if other else None


def _number_denied(session: Session, text: str, low: str) -> Reply | None:
    """ "The collar is not 54 mm wide": a number held is dropped, and asked for again."""
    sizes = list(find_sizes(low, []))
    for size in sizes:
        before = _DENIED.search(low[: size.start])
        if not (before and not _BOUND.search(before["between"])) and not _WRONG.match(low[size.end :]):
            continue
        held = _held_as(session, size)
        subject = re.split(r"[,.;]", low[: before.start() if before else size.start])[-1]
        held = [n for n in held if _told_of(session, n, subject)]
        meant = called_so(session, subject)
        named = [n for n in held if meant and meant.name == n] or held[:1]
        if not named:
            continue
        name, rest = named[0], [s for s in sizes if s is not size]
        reading = read_sentence(session.rulebase, text, session.item(), session.units)
        if reading.answers.get(name, session.answers[name]).values != session.answers[name].values:
            return None
        said = session.said(name)
        others = {n: a for n, a in reading.answers.items() if n != name}
        beside = next((s for s in rest if _instead(low, size, s)), None)
        if beside and not any(words_in(a.words) for a in others.values()):
            # "Not 45 but 40" says what it is instead.
            instead = _size_as(session, session.rulebase.attributes[name], low[beside.start : beside.end])
            if instead is None or instead.values == session.answers[name].values:
                return None
            session.answers[name], session.told = instead, False
            return session.go_on([f"Changed: {session.said(name)} (before: {said})."])
        _drop(session, name)
        lines = [f"Taken back: {said}."]
        if more := _went_on(session, text, lines, {name}):
            return more
        unknown = re.search(r"\b(?:no idea|don'?t know|dunno|not sure|you think|up to you)\b", low)
        return session.go_on(lines) if unknown else _ask(session, session.rulebase.attributes[name], lines)
    return None


def _instead(low: str, denied: Size, other: Size) -> bool:
    """Whether another number stands beside the denied one as what it is instead: "not 45 but 40", "40, not 45"."""
    behind, before = low[denied.end : other.start], low[other.end : denied.start]
    so = other.start > denied.start and re.fullmatch(
        rf"\s*{_UNIT}?(?: \w+)?[,;.]?\s*(?:(?:but|rather|make|its|it'?s|it|is|only|about|the)\s+)*", behind
    )
    nor = other.start < denied.start and re.fullmatch(rf"\s*{_UNIT}?(?: \w+)?,?\s*(?:and )?not\s*", before)
    return bool(so or nor)


def _told_of(session: Session, name: str, words: str) -> bool:
    """Whether the words before a denial speak of nothing else than the answer or the thing: not "my jeans"."""
    item = session.rulebase.items.get(session.item() or "")
    thing = words_in(f"{item.name} {session.answers['item'].words}") if item else frozenset()
    return words_in(words) <= bag(session, session.rulebase.attributes[name], session.item() or "") | thing


def _held_as(session: Session, size: Size) -> list[str]:
    """The numbers said before that a size in ``low`` is one of, the last first; a bare number in any unit."""
    if len(size.values) != 1:
        return []
    value, found = size.values[0], []
    for name, answer in reversed(session.answers.items()):
        attribute = session.rulebase.attributes.get(name)
        if attribute is None or not attribute.numeric or len(answer.values) != 1:
            continue
        held = float(answer.values[0])
        words = {v for s in find_sizes(answer.words.lower(), []) for v in s.values}
        units = (size.unit,) if size.unit else ("mm", "cm", "in") if attribute.unit == "mm" else ("",)
        of = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4, "m": 1000.0}
        if any(abs(value * of.get(unit, 1.0) - held) < 0.02 * held for unit in units) or (
            not size.unit and value in words
        ):
            found.append(name)
    return found


def _drop(session: Session, name: str) -> None:
    del session.answers[name]
    session.asked = [n for n in session.asked if n != name]
    session.told = session.checking = session.checked = False


def _ask(session: Session, attribute: Attribute, lines: list[str]) -> Reply:
    """The question of what was taken back, put again."""
    session.question = attribute
    return session.again(lines)


# -- values


def _value_denied(session: Session, text: str, low: str) -> Reply | None:
    """ "Not for me, for my wife", "nobody sits on it": values said before and denied now.

    What protects somebody, and what keeps an order from standing, is only dropped after a yes.
    """
    question = session.question
    if question is not None and any(d.attribute == question.name for d in session.advice().dangers):
        return None
    gone = {name for name in _denied(session, text, low) if not (question and question.name == name)}
    gone |= _no_longer_own(session, low)
    if not gone:
        return None
    reading = session.read_line(text)
    denied = {d.attribute for d in reading.dangers if d.state == "ruled_out"}
    left = [n for n in gone if n not in reading.answers or reading.answers[n].values == session.answers[n].values]
    left = [n for n in left if n not in denied]
    if not left:
        return None
    said = [session.said(n) for n in left]
    held = session.answers
    rest = {n: a for n, a in reading.answers.items() if n not in left and (n not in held or held[n].values != a.values)}
    grave = lexicon(session.rulebase).grave
    if any(_protects(session, n, grave) for n in left) or session.advice().verdict in NO_ORDER or not _ordered(session):
        answers = dict(rest)
        for name in left:
            if (no := _ruled_out(session, name)) is not None:
                answers[name] = no
        if RAISED in answers:
            # A danger that the line speaks of counts whatever is answered.
            before = session.answers.get(RAISED, Answer(()))
            values = tuple(dict.fromkeys((*before.values, *answers.pop(RAISED).values)))
            session.answers[RAISED] = replace(rest[RAISED], values=values)
        drops = tuple(n for n in left if n not in answers)
        session.pending = Pending(answers, f"You said before: {listed(said)}. Drop it?", drops=drops)
        return session.again([])
    for name in left:
        _drop(session, name)
    lines = [f"Taken back: {listed(said)}."]
    if rest:
        return session.take(replace(reading, answers=rest), lines)
    return session.go_on(lines)


def _ordered(session: Session) -> bool:
    return session.advice().outcome not in ("refuse", "another_material")


def _protects(session: Session, name: str, grave: frozenset[tuple[str, str]]) -> bool:
    attribute, answer = session.rulebase.attributes[name], session.answers[name]
    protecting = attribute.kind == "set" and attribute.group in PROTECTING
    return protecting or any((name, str(v)) in grave for v in answer.values)


def _ruled_out(session: Session, name: str) -> Answer | None:
    """The no of a raised danger that ``name`` answers."""
    for concept in session.answers.get(RAISED, Answer(())).values:
        raw = concept_of(session.rulebase, str(concept))
        if raw.attribute == name and session.rulebase.attributes[name].kind == "yes_no":
            return Answer((raw.rules_out,), "known", "answered", "")
    return None


def _denied(session: Session, text: str, low: str) -> set[str]:
    """The answers whose value a clause says the contrary of: read as if it were not denied, it says the same again."""
    found: set[str] = set()
    wishes = {name for names, _ in wished(session.rulebase) for name in names}
    asked = [(a.start, a.end) for a in acts_of(text) if a.kind == "question"]
    at = 0
    for clause in _CLAUSE.split(low):
        start = low.find(clause, at)
        at = start + len(clause)
        if not clause or not _NOT.search(clause) or _NO_DENIAL.search(clause):
            continue
        if any(first <= start < last for first, last in asked):
            continue
        plain = " ".join(_NOT.sub(lambda m: m["verb"] or ("somebody" if m["nobody"] else ""), clause).split())
        said = read_sentence(session.rulebase, plain, session.item(), session.units).answers
        if not plain:
            continue
        found |= {
            n
            for n in wishes & session.answers.keys()
            if words_in(plain) and words_in(plain) <= words_in(session.answers[n].words)
        }
        for name, answer in said.items():
            held = session.answers.get(name)
            if held and name not in ("item", RAISED) and answer.values and answer.values == held.values:
                attribute = session.rulebase.attributes[name]
                several = (
                    attribute.kind == "set"
                    and attribute.group not in PROTECTING
                    and name not in purposes(session.rulebase).asked.values()
                )
                found |= set() if attribute.numeric or several else {name}
    return found


def _no_longer_own(session: Session, low: str) -> set[str]:
    """ "For my wife": that it was for whoever asks counts no more."""
    if session.answers.get(FOR_SALE, Answer(())).values != (OWN,):
        return set()
    known = ages(session.rulebase)
    others = re.findall(r"\bfor (?:my|our|his|her|their) (\w+)", low)
    return {FOR_SALE} if any(word in known.adults for word in others) else set()

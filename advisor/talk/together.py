"""Several questions answered in one line, as across a counter: "30, 350 x 400 mm" or "adult, nickel, no pig"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ..errors import AnswerError
from ..leather.units import Units
from ..read.answers import read_answer
from ..read.purposes import purposes
from ..reasoning.facts import NOTHING, Answer, parse_answer, state_said
from ..rulebase.models import Attribute, RuleBase
from ..write.names import attribute_called
from ..write.page import listed
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

NONE = "none"
_TIMES = re.compile(r"\s+(?:x|by)\s+|\s*×\s*|(?<=\d)x(?=\d)")
_BETWEEN = re.compile(rf"\s*[,;]\s*|{_TIMES.pattern}")
_BARE = re.compile(r"[\d\s.,/]*\d")
_UNIT = re.compile(r"[\d\s.,/]*\d\s*(\D+)")
_ONE = r"[\d./]+(?:\s\d+/\d+)?\s*(?:mm|cm|m|in|inch|inches|ft|\"|″)?"
_SIZES_AHEAD = re.compile(rf"{_ONE}(?:\s*(?:,|;|x|×|by)\s*{_ONE}(?=\s*[,;x×]|\s+by\b|\s*$))*\s*[,;]", re.IGNORECASE)


def in_order(questions: Sequence[Attribute], text: str, units: Units, strap_width: str = "") -> dict[str, Answer]:
    """One part of the line for each question, in the order asked; nothing where it does not come out so.

    A bare number has the unit of the next part that names one, as in "14 x 16 in", where that gives sizes that can be
    meant. Of sizes some may be left out at either end: what is said with an "x" is no ``strap_width``.
    """
    parts = _BETWEEN.split(text.strip(" .!"))
    if not all(q.numeric for q in questions):
        return _taken(questions, parts, units) if len(parts) == len(questions) else {}
    boxed = bool(_TIMES.search(re.split("[,;]", text)[0]))
    for said in (_with_units(parts), parts) if not _TIMES.search(text) else (_with_units(parts),):
        for first in range(len(questions) - len(parts) + 1):
            if boxed and questions[first].name == strap_width:
                continue
            if found := _taken(questions[first:], said, units):
                return found
    return {}


def _with_units(parts: Sequence[str]) -> list[str]:
    """The parts, with bare numbers given the unit of the next part that names one."""
    said, unit = list(parts), ""
    for n in range(len(said) - 1, -1, -1):
        if _BARE.fullmatch(said[n]):
            said[n] = f"{said[n]} {unit}".strip()
        elif named := _UNIT.fullmatch(said[n]):
            unit = named[1]
    return said


def _taken(questions: Sequence[Attribute], parts: Sequence[str], units: Units) -> dict[str, Answer]:
    """Each part as the answer to its question; nothing if one is none."""
    try:
        return {q.name: parse_answer(q, part, units=units) for q, part in zip(questions, parts, strict=False)}
    except AnswerError:
        return {}


def sizes_ahead(text: str) -> str:
    """The numbers that a line begins with, where something else follows: "25, 40 cm" of "25, 40 cm, solid brass"."""
    found = _SIZES_AHEAD.match(text)
    return found[0].strip(" ,;") if found and found.end() < len(text) else ""


def by_parts(
    rulebase: RuleBase, questions: Sequence[Attribute], text: str, units: Units = "mm"
) -> tuple[dict[str, Answer], list[str]]:
    """Answers to those questions whose values a part of the line names, and the parts that were used up.

    "None" answers all that are left and can be answered so, "don't know" all that are left.
    """
    found: dict[str, Answer] = {}
    used: list[str] = []
    for part in _BETWEEN.split(text.strip(" .!")):
        left = [q for q in questions if q.name not in found]
        if part.lower() in (NONE, *NOTHING):
            taken = {q.name: parse_answer(q, NONE) for q in left if NONE in q.values}
        elif state_said(part):
            taken = {q.name: parse_answer(q, part) for q in left}
        else:
            taken = _only_one(rulebase, left, part, units)
        if taken:
            found |= taken
            used.append(part)
    return found, used


def _only_one(rulebase: RuleBase, questions: Sequence[Attribute], part: str, units: Units) -> dict[str, Answer]:
    """The answer that a part gives to the only question it can answer."""
    taken: dict[str, Answer] = {}
    # Of several sizes a number alone says none; beside choices it can only be the one size.
    sizes = sum(q.numeric for q in questions)
    for question in questions:
        fits = question.values or (question.numeric and sizes == 1)
        found = read_answer(rulebase, question, part, units, numbered=False) if fits else None
        if found and found.meant == "value" and found.answer and not found.rest:
            taken[question.name] = found.answer
    return taken if len(taken) == 1 else {}


def answer_together(session: Session, text: str) -> Reply:
    """One line for all open questions: in their order, as a sentence, or part by part."""
    strap_width = purposes(session.rulebase).strap_width
    if found := in_order(session.questions, text, session.units, strap_width):
        session.answers |= found
        return session.go_on([f"Understood: {_said(session, found)}."])
    if ahead := sizes_ahead(text):
        found = in_order(session.questions, ahead, session.units, strap_width)
        text = text[len(ahead) :].strip(" ,;.") if found else text
        session.answers |= found
    given = [f"Understood: {_said(session, found)}."] if found else []
    reading = session.read_line(text)
    left = [q for q in session.questions if q.name not in reading.answers and q.name not in found]
    found, used = by_parts(session.rulebase, left, text, session.units)
    if not given and not found and not reading.answers:
        wanted = listed(attribute_called(session.rulebase, q.name) for q in session.questions)
        return session.again([*session.not_understood(reading), f"Say {wanted}, with a comma between them."])
    session.answers |= found
    lines = [*given, *([f"Understood: {_said(session, found)}."] if found else [])]
    words = set(" ".join(used).lower().split())
    unread = tuple(u for u in reading.unread if not set(u.lower().split()) <= words)
    reading = replace(reading, unread=unread)
    if reading.answers:
        return session.take(reading, lines)
    return session.go_on([*lines, *session.not_understood(reading)])


def _said(session: Session, names: Iterable[str]) -> str:
    return "; ".join(session.said(name) for name in names)

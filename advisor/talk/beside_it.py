"""What is told of another piece than the one that is reckoned, and parts that are added later."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from ..read.answers import read_answer
from ..read.counts import QUANTITY
from ..read.numbers import find_sizes
from ..read.reader import read_sentence
from ..rulebase.models import Attribute, RuleBase
from ..write.page import listed
from .reply import Reply

if TYPE_CHECKING:
    from ..read.reader import Reading
    from .session import Session

_MANY = re.compile(
    r"\b(?:(?:one|two|some|half|the rest|both) of (?:them|those|these|the \w+)"
    r"|the (?:(?:second|other|third|last|bigger|smaller|longer)(?: one| two)?|others)"
    r" (?:is|are|has|have|should|needs?|wants?|will|must|to be|of|with))\b",
    re.IGNORECASE,
)
_ADDED = re.compile(
    r"(?:^|[,;.]\s*|\b)(?:and|with|plus|also)\s+(?:(?:an?|the|some|my|another|one|little|small)\s+)*$", re.IGNORECASE
)
_LEADS = re.compile(r"\b(?:and|with|plus|also)\s+", re.IGNORECASE)
ADDED = re.compile(r"^(?:oh |so )?(?:and|with|plus|also|add)\b[ ,]+(?:also )?(?=(?:an?|some|one|two)\b)", re.IGNORECASE)
ON_IT = re.compile(
    r"\b(?:inside|outside|(?:round|around|in|on|at|to|under|across|along|behind|over) (?:it|the|its|both|each|one)\b"
    r"|(?:sewn|stitched|riveted|built|tucked) (?:in|on)|to (?:close|hang|hold|carry|tie|shut|wear|keep|lift)\b"
    r"|that (?:goes|closes|holds|tucks|ties|wraps|hangs))\b",
    re.IGNORECASE,
)


def second_told(session: Session, text: str) -> Reply | None:
    """ "One of them is longer, 30 by 60": what is told of one of several changes no size of the first."""
    marked = _MANY.search(text)
    if marked is None or not list(find_sizes(text[marked.end() :].lower(), [])):
        return None
    sizes = [n for n, a in session.answers.items() if a.values and _is_size(session.rulebase, n)]
    if not sizes:
        return None
    kept = listed(session.said(n) for n in sizes)
    item = session.thing(session.item() or "")
    said = f'One thing at a time is reckoned, so it stays {kept}. Finish it, then say "next: {item}" and its sizes.'
    reading = session.read_line(text)
    told = {
        n: a for n, a in reading.answers.items() if n not in ("item", QUANTITY) and not _is_size(session.rulebase, n)
    }
    return session.take(replace(reading, answers=told, doubts=()), [said]) if told else session.again([said])


def _is_size(rulebase: RuleBase, name: str) -> bool:
    attribute = rulebase.attributes.get(name)
    return attribute is not None and attribute.group == "size" and attribute.numeric


def part_told(session: Session, text: str) -> Reply | None:
    """ "And a pocket inside": a part that no answer holds is kept as it was said."""
    if not ADDED.match(text) or not ON_IT.search(text) or any(answers_it(session, q, text) for q in session.questions):
        return None
    reading = read_sentence(session.rulebase, text, session.item(), session.units)
    if reading.answers or reading.dangers:
        return None
    return session.again([part_kept(session, ADDED.sub("", text).strip(" .,!"))])


def answers_it(session: Session, question: Attribute, text: str) -> bool:
    """Whether a line says a value of a question."""
    found = read_answer(session.rulebase, question, text, session.units, numbered=False)
    return found is not None and found.meant == "value"


def part_added(text: str, reading: Reading) -> str:
    """The words of a line for a part that is added ("and a strap round it") and taken for a thing; "" for none."""
    for u in reading.understood:
        if u.attribute == "item" and _ADDED.search(text[: u.span[0]]):
            lead = [m.end() for m in _LEADS.finditer(text[: u.span[0]])][-1]
            return re.split(r"[,;.!]|\band\b", text[lead:])[0].strip()
    return ""


def without_part_added(session: Session, text: str, reading: Reading) -> tuple[Reading, list[str]]:
    """The reading without a part that stands in the place of the thing, and what is said of it."""
    words = part_added(text, reading) if session.item() and "item" in reading.answers else ""
    if not words:
        return reading, []
    answers = {n: a for n, a in reading.answers.items() if n != "item"}
    understood = tuple(u for u in reading.understood if u.attribute != "item")
    return replace(reading, answers=answers, understood=understood), [part_kept(session, words)]


def part_kept(session: Session, words: str) -> str:
    """That a part is kept as it was said."""
    item = session.thing(session.item() or "")
    return f'"{words}" is taken as a part of the {item}; no leather is reckoned for it, so tell the shop.'

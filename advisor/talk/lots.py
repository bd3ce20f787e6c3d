"""A second lot of the same thing: "and four of them 1 inch wide". One kind is reckoned at a time, the others wait.

What waits is kept by the session as it was said, and stands in a log with the question that is open.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from ..read.answers import read_answer
from ..read.counts import QUANTITY
from ..read.danger import RAISED
from ..read.lexicon import lexicon, phrase
from ..read.reader import read_sentence
from ..read.variants import COLOUR, variants
from ..reasoning.facts import Answer
from ..write.names import values_called
from ..write.page import listed
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

_NUMBER = (
    r"(?P<many>one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|half|a dozen|a couple|a pair|\d{1,3})"
)
_LEAD = (
    r"^(?:(?:and|then|but|also|oh|so|plus|please|no|sorry|actually|make|i want|i need|he wants|she wants|with)\b[ ,]*)*"
)
_OF_THEM = re.compile(
    rf"{_LEAD}{_NUMBER} of (?:them|those|these|(?:the |my |our )?(?:[\w-]+ )?(?:ones|(?P<noun>[\w-]+s)))\b[ ,:]*"
    r"(?:(?:should be|are|is|to be|will be|must be|have to be|has to be|be|need to be|shall be|get|want)\b ?)*"
    r"(?P<what>.+)$",
    re.IGNORECASE,
)
_OTHERS = re.compile(
    rf"{_LEAD}the (?:other|last|remaining) {_NUMBER}(?: of them| ones)?\b[ ,:]*"
    r"(?:(?:should be|are|is|to be|will be|must be|be|get)\b ?)*(?P<what>.+)$",
    re.IGNORECASE,
)
_PARTS = re.compile(
    r"\s*(?:[,;]\s*(?:and\s+)?|\s+and\s+)(?=(?:" + _NUMBER.partition(">")[2] + r" (?!inch|in\b|cm|mm|by\b|x\b))"
)
_PART = re.compile(rf"^{_NUMBER}(?: of (?:them|those|these))? (?P<what>.+)$", re.IGNORECASE)


_DIFFERS = re.compile(
    r"^(?:for|in|with|without)\b (?!now\b|me\b|sure\b|total\b|all\b)|\b(?:doubled?|lined)\b", re.IGNORECASE
)
"""What says by itself that some are otherwise."""


class Lot(NamedTuple):
    """How many, and what they differ in."""

    many: int
    what: str


def lots(session: Session) -> list[Lot]:
    """The lots that wait, the next one first."""
    found = (re.fullmatch(r"(\d+): (.+)", words) for words in session.waiting)
    return [Lot(int(m[1]), m[2]) for m in found if m]


def _wait(session: Session, waiting: list[Lot]) -> None:
    session.waiting = tuple(f"{lot.many}: {lot.what}" for lot in waiting)


def lot_told(session: Session, text: str) -> Reply | None:
    """The reply to what some of the pieces are to be otherwise; None for anything else."""
    if session.item() is None or "?" in text or session.advice().dangers or session.pending is not None:
        return None
    return _some_of_them(session, text.strip(" .!")) or _several(session, text.strip(" .!"))


def _some_of_them(session: Session, text: str) -> Reply | None:
    found = _OF_THEM.match(text) or _OTHERS.match(text)
    held = session.answers.get(QUANTITY, Answer(())).values
    if not found or not held or variants(session.rulebase, text):
        return None
    noun = found.groupdict().get("noun")
    if noun and _without_name(session, noun):
        # "One of the buckles is brass" tells of a part.
        return None
    waiting, total = _by_colour(session)
    many = total // 2 if found["many"].lower() == "half" else _count(session, found["many"])
    if not 0 < many < total or not _says_something(session, found["what"]):
        return None
    what = found["what"].strip(" .,!")
    if name := re.search(r"of the (?P<which>[\w-]+) ones", text):
        what = f"{name['which']}, {what}"
    _raise(session, what)
    return _queued(session, total - many, [Lot(many, what), *waiting], f"{total}")


def _by_colour(session: Session) -> tuple[list[Lot], int]:
    """What waits, and how many are reckoned: what was said of several colours becomes lots of their own."""
    quantity, colour = session.answers[QUANTITY], session.answers.get(COLOUR, Answer(())).values
    waiting, now = lots(session), int(float(quantity.values[0]))
    for count, value in variants(session.rulebase, quantity.words) if colour else ():
        if value != colour[0]:
            waiting.append(Lot(count, f"in {values_called(session.rulebase, COLOUR, [value], session.units)}"))
            now -= count
    return waiting, now


def _raise(session: Session, what: str) -> None:
    """A danger that is told of a lot is asked now, before anything is ordered."""
    raised = read_sentence(session.rulebase, what, session.item(), session.units).answers.get(RAISED)
    if raised is not None:
        held = session.answers.get(RAISED, Answer(())).values
        session.answers[RAISED] = replace(raised, values=tuple(dict.fromkeys((*held, *raised.values))))


def _several(session: Session, text: str) -> Reply | None:
    """ "Eight 3/4 inch wide, four 1 inch wide and doubled": the first is reckoned, the others wait."""
    lead = re.match(_LEAD, text, re.IGNORECASE)
    parts = _PARTS.split(text[lead.end() if lead else 0 :])
    parts = [p for p in parts if p]
    found = [_PART.match(part) for part in parts]
    if len(found) < 2 or not all(found) or variants(session.rulebase, text):
        return None
    told = [Lot(_count(session, m["many"]), _without_name(session, m["what"])) for m in found if m]
    if any(not lot.many or not _says_something(session, lot.what) for lot in told):
        return None
    if any(n in session.rulebase.attributes and n == QUANTITY for lot in told for n in _read(session, lot.what)):
        return None
    first, *later = told
    for lot in told:
        _raise(session, lot.what)
    reply = _queued(session, first.many, [*later], f"{sum(lot.many for lot in told)}")
    return session.take(session.read_line(first.what), reply.lines)


def _queued(session: Session, now: int, waiting: list[Lot], said: str) -> Reply:
    session.answers[QUANTITY] = Answer((float(now),), "known", "answered", said)
    _wait(session, waiting)
    session.told = False
    return session.go_on(
        [f"I reckon one kind at a time: first {now}. After this order: {_said(waiting)}.", 'Type "the rest" then.']
    )


def _said(waiting: list[Lot]) -> str:
    return listed(f"{lot.many} ({lot.what})" for lot in waiting)


def lots_lines(session: Session) -> list[str]:
    """What of the order is still to be reckoned; nothing where nothing waits."""
    waiting = lots(session)
    lines = [f'Still to order: {_said(waiting)}. "The rest" goes on with the next of them.'] if waiting else []
    return [*lines, *(f'Not in this order: {name}. Say "next: {name}".' for name in session.later)]


def the_rest(session: Session) -> Reply | None:
    """The next lot, with all that was said of the first; None where none waits."""
    waiting = lots(session)
    if not waiting:
        return None
    if session.question is not None and not session.told:
        return session.again([f"Finish this order first; then come {_said(waiting)}."])
    lot, *later = waiting
    session.answers[QUANTITY] = Answer((float(lot.many),), "known", "answered", f"{lot.many}")
    _wait(session, later)
    session.checking = session.checked = session.enough = session.told = False
    session.stood = ""
    reading = session.read_line(lot.what)
    answers = {n: a for n, a in reading.answers.items() if n not in ("item", QUANTITY)}
    session.line = lot.what
    return session.take(replace(reading, answers=answers), [f"Next: {lot.many}, {lot.what}; the rest as before."])


def _read(session: Session, what: str) -> set[str]:
    return set(read_sentence(session.rulebase, what, session.item(), session.units).answers)


def _says_something(session: Session, what: str) -> bool:
    """Whether words tell something that an answer holds, or how pieces are made."""
    return bool(_read(session, what) - {"item"}) or _DIFFERS.search(what) is not None


def _count(session: Session, said: str) -> int:
    question = session.rulebase.attributes[QUANTITY]
    found = read_answer(session.rulebase, question, f"{said} of them", session.units, numbered=False)
    return int(float(found.answer.values[0])) if found and found.answer and found.answer.values else 0


def _without_name(session: Session, what: str) -> str:
    """The words of a lot without the name of the thing at their beginning: "leads 3/4 inch wide"."""
    words = what.split()
    names = lexicon(session.rulebase).names.get(str(session.item()), ())
    for end in range(min(len(words), 3), 0, -1):
        key = tuple(phrase(" ".join(words[:end])))
        if any(name[-len(key) :] == key for name in names):
            return " ".join(words[end:])
    return what

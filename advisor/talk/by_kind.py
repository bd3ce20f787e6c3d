"""A line that asks by a known kind of question, before any word of it is taken for an answer."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from ..read.acts import acts_of
from ..read.answers import read_answer
from ..read.asked_kinds import goal_asked, size_asked, source_asked
from ..read.glossary import terms_in
from ..read.offered import read_leather
from ..read.purposes import purposes
from ..read.questions import topic_sure
from ..reasoning.network import wishes
from ..write.straight import MOST_LINES, fitted
from .answering import alarming
from .beliefs import belief_told
from .direct import alarms_of, asks, direct_answers, stated_beside, topic_said
from .kinds import canonical, is_either, kind_told
from .matter import Matter
from .objects import without_leathers
from .reasons import reasons_told
from .reply import Reply
from .sources import source_lines

if TYPE_CHECKING:
    from .session import Session


def asked_by_kind(session: Session, text: str) -> Reply | None:
    """The answer to a question of a known kind; None for anything else. What was asked last is kept for "says who"."""
    matter = session.matter()
    if matter.item is None or session.pending is not None:
        return None
    if source_asked(text):
        return session.again(source_lines(matter, session.answered))
    believed = belief_told(matter, text)
    if not believed and not _asks(session, text):
        return None
    session.answered = text
    if (why := canonical(matter, text)) and (said := reasons_told(session, why)):
        return taken_up(session, text, _with(matter, believed, said))
    if believed and not _tells(session, text):
        said = kind_told(matter, text) or reasons_told(session, text) or []
        return taken_up(session, text, _with(matter, believed, said))
    if _ONLY_HAS.match(stated_beside(text)) and not _tells(session, text, of_leather=True):
        # What somebody has and asks of ("... is that any use") is no answer to how it will be made.
        return taken_up(session, text, direct_answers(matter, text, asked_back=True))
    if _tells(session, text):
        return None
    said = kind_told(matter, text)
    if said and (proposal := read_leather(session.rulebase, text).proposal).points():
        # "Review" is then about it.
        session.proposal = proposal
    said = said or _either_of_work(session, text)
    return taken_up(session, text, said) if said else None


_MOST = 5
"""How many lines a belief and an answer take together."""


def _with(matter: Matter, believed: list[str], said: list[str]) -> list[str]:
    """What is found of a belief before what answers the question, as whole sentences."""
    if not believed:
        return said
    more = [text for part in (*believed, *said) for text in re.split(r"(?<=\.) (?=[A-Z])", part)]
    return fitted(more, matter.width, _MOST if said else MOST_LINES)


def _asks(session: Session, text: str) -> bool:
    """Whether a line asks: by its words, as "X or Y for the Z", or as "could you get it softer"."""
    low = text.lower()
    wished = (goal_asked(low) or size_asked(low)) is not None and _MAY.match(text) is not None
    wished |= _SUPPOSES.match(text) is not None and (goal_asked(low) or size_asked(low)) is not None
    return asks(text) or wished or is_either(session.matter(), text) or bool(_either_of_work(session, text))


_SUPPOSES = re.compile(r"(?:and |but |so )?(?:say|suppose|supposing|if|what about|how about)\b", re.IGNORECASE)
_MAY = re.compile(r"(?:and |but |so )?(?:can|could|would|will) (?:i|we|you|it|that)\b", re.IGNORECASE)


def _either_of_work(session: Session, text: str) -> list[str]:
    """The answer to a line that asks without a verb: "burnish or paint the edges", "smallest piece it comes out of".

    Empty for other lines: for what answers the open question, and for what says something of the thing.
    """
    acts, question = acts_of(text), session.question
    if len(acts) != 1 or acts[0].kind != "statement" or acts[0].why == "own" or WISHES.search(text):
        return []
    if acts[0].why == "either" and len(terms_in(session.rulebase, text)) > 1 and not _answers(session, text):
        return direct_answers(session.matter(), text, asked_back=True)
    topic = topic_sure(session.rulebase, text)
    if " or " in text.lower() and topic and topic.size > _MARKED and not _answers(session, text):
        return fitted(topic_said(session.matter(), topic, text), session.width)
    if topic is None or topic.size < _MARKED or (question is not None and _answers(session, text)):
        return []
    if not _CHOICE.fullmatch(text.strip(" ?.!").lower()) and session.read_line(text).answers:
        return []
    return fitted(topic_said(session.matter(), topic, text), session.width)


_MARKED = 2
"""From so many words found a line without a verb is about a topic."""
WISHES = re.compile(
    r"\b(?:want|take|get|buy|put|leave|order|choose|change|make|need|like|please|i'?d|i'?ll|it'?s|it is"
    r"|has|have|with|without|no|my|go for|use|in"
    r"|for (?:a|my|an))\b",
    re.IGNORECASE,
)
"""What says something of the thing and asks nothing."""
_CHOICE = re.compile(r"[a-z][\w'-]*(?: [\w'-]+){0,2} or [\w'-]+(?: [\w'-]+){0,2}")


def _answers(session: Session, text: str) -> bool:
    """Whether a line answers the open question; of two to choose between both have to."""
    question = session.question
    parts = text.split(" or ") if _CHOICE.fullmatch(text.strip(" ?.!").lower()) else [text]
    found = [read_answer(session.rulebase, question, part, session.units) for part in parts] if question else []
    return bool(found) and all(one is not None and one.meant == "value" for one in found)


_ONLY_HAS = re.compile(
    r"(?:i|we|she|he)(?:'ve|'s| have| has|ve)?(?: only| just)* (?:got|have|has|own|use)\b.*\bmachine\b", re.IGNORECASE
)


def _tells(session: Session, text: str, of_leather: bool = False) -> bool:
    """Whether something is stated beside the question that is to be taken, other than the leather it asks about.

    With ``of_leather`` whether a leather at home is.
    """
    stated = stated_beside(text)
    if not stated:
        return False
    known = purposes(session.rulebase)
    if of_leather:
        return not {known.at_hand, known.at_hand_weight}.isdisjoint(session.read_line(stated).answers)
    left_out = {"item", known.at_hand, known.at_hand_weight, *wishes(session.rulebase)}
    return bool(session.read_line(stated).answers.keys() - left_out)


def taken_up(session: Session, text: str, said: list[str]) -> Reply:
    """What answers a question, or the question of a danger that it raises; nothing else of it is taken."""
    if all(act.why in ("meaning", "either") for act in acts_of(text) if act.kind == "question"):
        return session.again(said)
    reading = session.read_line(without_leathers(session.rulebase, text))
    alarms = alarms_of(session.matter(), text, alarming(session.rulebase, reading))
    if not alarms:
        return session.again(said)
    # What may hurt somebody is answered by its own question or stop, never by what the leather is good for; care and
    # work hang on neither.
    session.line = ""
    topic = topic_sure(session.rulebase, text)
    told = said if topic and topic.calm and not topic.tell else []
    return session.take(replace(reading, answers=alarms), told)

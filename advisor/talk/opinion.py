"""Second opinions in the conversation: what is offered, for what job, and what is found of it.

Asked with "review" or told as an offer it is judged point by point; asked as a question it is answered in three lines.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ..errors import AdvisorError
from ..read.glossary import terms_in
from ..read.offered import question_in, read_leather
from ..read.reader import Reading, read_sentence
from ..reasoning.judging import review
from ..reasoning.review import Proposal
from ..write.buying import stands
from ..write.opinions import claim_said, opinion_said
from ..write.straight import withheld
from .at_home import told_of_home
from .heard import doubts_said, not_understood, understood_said
from .matter import Matter
from .reviewing import review_lines, short_words

if TYPE_CHECKING:
    from .session import Session

ASK = 'type "review"'
_NO_LEATHER = 'Say which leather: "would 2 mm chrome do", or "I was offered a 3 mm bridle side".'
_NO_ITEM = 'Say first what you are making, or add it: "would 2 mm chrome do for a belt".'
_ASKS = re.compile(
    r"\s*(?:and |but |so |or )?(?:would|will|does|do|can|could|is|are|should|what about|how a?bout)\b", re.IGNORECASE
)
_JUDGES = re.compile(
    r"\b(?:do|work|serve|suit|enough|ok|okay|all ?right|alright|fine|good|suitable|wrong|right|any use|useful|usable"
    r"|better|worse|worth|overkill|instead|too (?:thin|thick|soft|stiff|strong|weak|heavy|light)|use|using|out of"
    r"|made? (?:of|from|in|with)|make (?:it|this|that|them) (?:of|from|in|with)|what about|how (?:a)?bout"
    r"|go with|swap|(?:done|do it) in"
    r"|get away with|hold up|cheaper|stronger|softer|possible|last)\b",
    re.IGNORECASE,
)
"""Words that ask whether something is good for the job."""
_AUXILIARY = re.compile(r"^\s*(?:and |but |so |or )?(?:do|does|did|can|could|is|are|would|will)\b", re.IGNORECASE)
_ASKS_OTHERWISE = re.compile(
    r"^(?:how|where|when|who|why)\b(?! a?bout)"
    r"|^(?:and |but |so )?what (?:do|should|shall|would|can|could) (?:i|we|you) (?!reckon|think|say|make of)"
    r"|\b(?:which|what) (?:side|way|part|cut|face)\b"
    r"|\bprotect\w*\b|\bif (?:i|it|he|she|they) drops?\b"
    r"|\b(?:just|only) the (?:bit|piece|part|amount)\b|\bhave to (?:take|buy|get) (?:a |the )?(?:whole|full|entire)\b"
    r"|\b(?:thread|needle|glue|rivets?|snaps?|buckles?|lining|edges?)\b",
    re.IGNORECASE,
)
_OF_A_PIECE = re.compile(r"^(?:and |but |so )?(?:which|what(?! about))\b", re.IGNORECASE)
_SAME = re.compile(r"(?:it|this|that|them|these|the (?:thing|job)|such a thing|mine)[.?! ]*", re.IGNORECASE)
"""The job, named by what stands for the one at hand."""
_CLAIM = re.compile(
    r"\b(?:says?|said|reckons?|thinks?|told (?:me|us)|swears?|insists?|claims?)\b(?: that)?:? (?P<what>.+)",
    re.IGNORECASE,
)
"""What somebody else has said of a leather."""
_CLAUSES = re.compile(r"\s*(?:[,;]|\band\b|\bbut\b|\bbecause\b)\s*")
_OR = re.compile(r"\s*(?:,|\bor\b)\s*", re.IGNORECASE)


def asks_of_leather(clause: str) -> bool:
    """Whether a clause asks if a leather is good for the job: "is it ok", "would that do"."""
    return bool(_JUDGES.search(_AUXILIARY.sub("", clause))) and not _ASKS_OTHERWISE.search(clause)


def judged_lines(matter: Matter, clause: str, sure: bool, named: bool = False) -> list[str]:
    """ "Would 2 mm do", "is goat any good", "goat or calf": leathers or thicknesses judged for this job.

    Each in a sentence or two, on the answers as they stand; empty where none is named, or where ``sure`` and nothing
    asks whether it is good. Nothing is kept. Where a topic is ``named`` besides, words for a piece of hide count for
    nothing: "the rough side" is none.
    """
    if _CLAIM.search(clause):
        return claims_lines(matter, clause)
    if _ASKS_OTHERWISE.search(clause) or (sure and not asks_of_leather(clause)):
        return []
    asked = question_in(clause)
    whole = asked[0] if asked and (not asked[1] or _SAME.fullmatch(asked[1])) else clause
    found = [read_leather(matter.rulebase, part).proposal for part in _OR.split(whole)]
    weak = {"amount", "label", "form", "cut", "surface", "temper"} if named else {"amount", "label"}
    proposals = [p for p in found if set(p.points()) - weak]
    if _OF_A_PIECE.match(clause):
        # "Which bits of the side" asks about a piece that is bought anyway.
        proposals = [p for p in proposals if set(p.points()) - {*weak, "form", "cut"}]
    if not proposals or matter.item is None:
        return []
    if not stands(matter.advice()):
        return withheld(matter.rulebase, matter.advice())
    return [text for proposal in proposals[:2] for text in _judged(matter, proposal)]


def claims_lines(matter: Matter, text: str) -> list[str]:
    """What is found of the leathers that somebody else is told to claim something of; empty where nobody does."""
    claim = _CLAIM.search(text)
    return _claims_judged(matter, claim["what"]) if claim else []


def _judged(matter: Matter, proposal: Proposal) -> list[str]:
    """What is found of one leather, in a sentence or two for each point."""
    try:
        judged = review(matter.rulebase, matter.answers, proposal, house=matter.house, points_only=True)
    except AdvisorError:
        return []
    return opinion_said(matter.rulebase, matter.advice(), judged, matter.units)


def _claims_judged(matter: Matter, claim: str) -> list[str]:
    """What is found of each leather that somebody else claims something of, as an answer to the claim."""
    found = [(p, part) for part in _CLAUSES.split(claim.lower()) if (p := read_leather(matter.rulebase, part).proposal)]
    found = [(p, part) for p, part in found if set(p.points()) - {"amount", "label"}]
    if not found or matter.item is None:
        return []
    if not stands(matter.advice()):
        return withheld(matter.rulebase, matter.advice())
    said = [claim_said(text, part) for p, part in found[:2] for text in _judged(matter, p)[:1]]
    # The same leather instead is advised once.
    last = said[-1].rpartition(". ")[2] if said else ""
    return [*(text.removesuffix(f" {last}") for text in said[:-1]), *said[-1:]]


def asked_shortly(session: Session, text: str) -> bool:
    """Whether the line is a question about the thing being made, to be answered in three lines.

    The leather in it, if there is one, is what ``review`` is then about.
    """
    leather, job = question_in(text) or ("", "")
    proposal = read_leather(session.rulebase, leather).proposal
    known = session.answers.get("item")
    same = not job or _SAME.fullmatch(job) is not None or _is_made(session, job)
    if not _ASKS.match(text) or (proposal.points() and not same):
        return False
    if proposal.points() and not known and not terms_in(session.rulebase, leather):
        return False
    session.proposal = proposal if proposal.points() else session.proposal
    return True


def _is_made(session: Session, job: str) -> bool:
    """Whether the job that is named is only the thing that is being made."""
    said = read_sentence(session.rulebase, job, None, session.units).answers
    if {*said} == {"item"} and session.item() in said["item"].values:
        return True
    made = session.rulebase.items.get(session.item() or "")
    named = {_bare(word) for word in re.findall(r"\w+", made.name.lower())} if made else set()
    words = {_bare(word) for word in re.findall(r"\w+", job.lower()) if word not in _ARTICLES}
    return bool(words) and words <= named


def _bare(word: str) -> str:
    return word.removesuffix("s")


_ARTICLES = frozenset(("a", "an", "the", "my", "some", "this", "these", "our"))


def opinion_lines(session: Session, text: str) -> list[str]:
    """The second opinion that ``text`` asks for; ``review`` alone is about the leather said before.

    A job named in it is used for this opinion; only when nothing was known yet is it kept.
    """
    leather, job = question_in(text) or ("", "")
    offer = read_leather(session.rulebase, leather)
    proposal = offer.proposal if leather else session.proposal
    lines = list(offer.doubts)
    if offer.unread:
        lines.append(f"Not understood: {', '.join(offer.unread)}.")
    if not proposal.points():
        return [*lines, _NO_LEATHER]
    answers = dict(session.answers)
    if job:
        reading = read_sentence(session.rulebase, job, None, session.units)
        if "item" not in reading.answers:
            reading = read_sentence(session.rulebase, job, session.item(), session.units)
        answers |= reading.answers
        lines += doubts_said(session.rulebase, reading, session.units)
        understood = understood_said(session.rulebase, reading, (), session.item(), session.units)
        lines += [f"Understood: {'; '.join(understood)}."] if reading.answers else []
        lines += not_understood(session.rulebase, reading)
    session.proposal = proposal
    if not answers.get("item"):
        return [*lines, _NO_ITEM]
    if not session.answers.get("item"):
        session.answers = answers
    found = review(session.rulebase, answers, proposal, house=session.house)
    return [*lines, *review_lines(session.rulebase, found, session.width, session.units)]


def said_lines(session: Session, reading: Reading) -> list[str]:
    """What is found, in a line, of a leather that was named beside the job."""
    if reading.proposal == Proposal() or "item" not in session.answers:
        return []
    session.proposal = reading.proposal
    if told_of_home(session.matter(), reading.answers):
        # What is at home is judged by itself.
        return []
    found = review(session.rulebase, session.answers, reading.proposal, house=session.house)
    line = short_words(session.rulebase, found, session.matter().advice(), ASK)
    return [line] if line else []

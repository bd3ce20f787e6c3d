"""Answers taken over: read for their question, added up where they protect, confirmed where they take away.

Nothing that protects somebody is dropped without being said and confirmed, and no thing is changed for another while
sizes would be lost by it, before somebody has said yes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..errors import AdvisorError, AnswerError
from ..read.answers import Answered, choices, read_answer
from ..read.danger import RAISED
from ..read.lexicon import lexicon
from ..read.reader import read_sentence
from ..reasoning.facts import Answer, parse_answer
from ..rulebase.models import Attribute, RuleBase
from ..rulebase.words import words_of
from .changing import said_dropped, unused_sizes
from .page import capital, listed, plain
from .reply import Reply

if TYPE_CHECKING:
    from ..read.reader import Reading
    from ..read.things import Candidate
    from .session import Session

PROTECTING = ("people", "limits", "wet")
"""Groups of which a set of values adds up: allergies, what is not used, what gets on it."""
ALARMING = ("people", "limits")
"""Groups of which a question counts as well, as in "is it safe with a nickel allergy"."""
EASING = ("none", "no", "adult")
OWN_ANSWER = "This one needs your own answer."
MOST_CHOICES = 12
ELSE = "something else"
_YES = re.compile(
    r"(?:y|yes|yeah|yep|ok|okay|sure|yes please|please|do it|drop it|change it|go on|yes,? (?:drop|change) it)[.!]*",
    re.IGNORECASE,
)
_NO = re.compile(
    r"(?:n|no|nope|no thanks|keep it|keep|leave it|don't|no,? (?:keep|leave) it|cancel)[.!]*", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Pending:
    """Something to be confirmed: the answers that a yes takes over, and the question that is put."""

    answers: Mapping[str, Answer]
    question: str
    clears: bool = False


@dataclass(frozen=True, slots=True)
class Offer:
    """Things shown with numbers, and the line of which they were candidates."""

    slugs: tuple[str, ...]
    text: str


# -- taking over


def accept(session: Session, new: Mapping[str, Answer], own: str = "") -> None:
    """Takes ``new`` among the answers; what would take something away is put as a question instead.

    ``own`` is the question that was just asked, whose answer may say what it likes of itself.
    """
    held: dict[str, Answer] = {}
    asks: list[str] = []
    for name, answer in new.items():
        old = session.answers.get(name)
        attribute = session.rulebase.attributes.get(name)
        if attribute is None or old is None or old.state != "known":
            session.answers[name] = answer
            continue
        answer = _added(attribute, old, answer)
        lost = _lost(session.rulebase, attribute, old, answer) if name != own else []
        sizes = unused_sizes(session, answer) if name == "item" else []
        if lost:
            held[name] = answer
            asks.append(f"You said {listed(plain(v) for v in lost)} before ({plain(name)}). Drop it?")
        elif sizes:
            held[name] = answer
            asks.append(_change_asked(session, answer, sizes))
        else:
            session.answers[name] = answer
    if held:
        session.pending = Pending(held, f"{' '.join(asks)} yes/no")


def confirm(session: Session, text: str) -> Reply | None:
    """The answer to what was to be confirmed; None where nothing was, or the line says something else."""
    pending, session.pending = session.pending, None
    if pending is None:
        return None
    if pending.clears and _YES.fullmatch(text.strip()):
        return session.clear(["Cleared. \"Undo\" brings it back."])
    if _YES.fullmatch(text.strip()):
        dropped = unused_sizes(session, pending.answers["item"]) if "item" in pending.answers else []
        said = [session.said(name) for name in dropped]
        for name in dropped:
            del session.answers[name]
        session.asked = [n for n in session.asked if n in session.answers]
        session.answers |= pending.answers
        lines = [f"Changed: {listed(session.said(n) for n in pending.answers)}."]
        return session.go_on([*lines, *said_dropped(said)])
    if _NO.fullmatch(text.strip()):
        kept = listed(session.said(n) for n in pending.answers if n in session.answers)
        return session.go_on([f"Kept: {kept}." if kept else "Nothing changed."])
    return None


def _added(attribute: Attribute, old: Answer, new: Answer) -> Answer:
    """Values of a set that protects add up; "none" and an unknown say nothing of what was said before."""
    if attribute.kind != "set" or attribute.group not in PROTECTING or not new.values or "none" in new.values:
        return new
    return replace(new, values=tuple(dict.fromkeys((*(v for v in old.values if v != "none"), *new.values))))


def _lost(rulebase: RuleBase, attribute: Attribute, old: Answer, new: Answer) -> list[str]:
    """The values that protected somebody and would be gone."""
    grave = lexicon(rulebase).grave
    kept = set(new.values)
    protecting = attribute.kind == "set" and attribute.group in PROTECTING
    return [str(v) for v in old.values if v not in kept and v != "none"
            and (protecting or (attribute.name, str(v)) in grave) and attribute.name != "item"]  # fmt: skip


def _change_asked(session: Session, item: Answer, sizes: Sequence[str]) -> str:
    name = session.rulebase.items[str(item.values[0])].name
    said = listed(session.said(n) for n in sizes)
    return f"A {name} has no use for what you said: {said}. Drop that and change to {name}?"


# -- the open question


def answer_question(session: Session, question: Attribute, text: str) -> Reply | None:
    """The reply to an answer of the open question, or None if ``text`` does not answer it."""
    found = read_answer(session.rulebase, question, text, session.units, session.numbered == question.name)
    if found is None:
        return None
    if found.meant == "usual":
        return _usual(session, question)
    if found.answer is None:
        return None
    lines = _taken(session, question, found)
    if RAISED in session.rulebase.attributes and not question.numeric:
        # "He sits on it" answers what it is for, and raises what it must not be used for.
        reading = read_sentence(session.rulebase, text, session.item(), session.units)
        if raised := reading.answers.get(RAISED):
            session.reading = reading
            accept(session, {RAISED: raised})
    if found.rest:
        reading = session.read_line(found.rest)
        if reading.answers:
            return session.take(reading, lines)
        lines += session.not_understood(reading)
    return session.go_on(lines)


def _taken(session: Session, question: Attribute, found: Answered) -> list[str]:
    answer = found.answer or Answer((), "don't know")
    accept(session, {question.name: answer}, own=question.name)
    if found.meant == "open":
        return ["OK, left open."]
    return [f"Understood: {session.said(question.name)}."]


def _usual(session: Session, question: Attribute) -> Reply:
    """ "Whatever is usual": the value that Enter would take, named; where there is none, or a danger, it is asked."""
    values = session.known(question)
    if waits(session, question.name):
        return session.again([OWN_ANSWER, *numbered(session, question)])
    if values is None:
        session.answers[question.name] = Answer((), "don't know")
        return session.go_on(["There is no usual value for this, so it stays open."])
    session.answers[question.name] = Answer(values, "known", "answered")
    return session.go_on([f"I take the usual: {session.said(question.name)}."])


def alarming(rulebase: RuleBase, reading: Reading) -> dict[str, Answer]:
    """What a question still says: dangers, allergies and whom it is for; nothing that eases."""
    # What is only asked raises a danger and does not yet say that it is so.
    return {
        name: answer for name, answer in reading.answers.items()
        if answer.values and not set(answer.values) & set(EASING)
        and rulebase.attributes[name].group in ALARMING and rulebase.attributes[name].kind != "yes_no"
    }  # fmt: skip


def ask_again(session: Session, question: Attribute, text: str) -> list[str]:
    """What is said where an answer fits none of the values: of a number why, else the values with their numbers."""
    if question.numeric:
        try:
            parse_answer(question, text, units=session.units)
        except AnswerError as error:
            return [mistake(error), question.help]
    return ["I did not get that. Say it another way, or type a number:", *numbered(session, question)]


def mistake(error: AdvisorError) -> str:
    """A mistake in the words of a conversation, where nobody types an underscore."""
    said = str(error)
    return said.replace(error.attribute, plain(error.attribute), 1) if isinstance(error, AnswerError) else said


def numbered(session: Session, question: Attribute) -> list[str]:
    """The values with their numbers, in plain words; from now on a number picks one."""
    session.numbered = question.name
    lines = [f"  {n}  {words}" for n, words in enumerate(choices(question), 1)]
    if len(lines) > MOST_CHOICES:
        return [*lines[:MOST_CHOICES], f"  and {len(lines) - MOST_CHOICES} more; \"?\" lists them"]
    return lines


def waits(session: Session, name: str) -> bool:
    """Whether a danger that words raised waits for this question, so that nothing may be taken for its answer."""
    return any(question.attribute == name for question in session.advice().dangers)


# -- which thing is meant


def offer_things(session: Session, candidates: Sequence[Candidate], text: str) -> list[str]:
    """Candidates with their numbers; a number or a name picks one."""
    session.offered = Offer(tuple(c.thing.slug for c in candidates), text)
    said = [f"{n} {c.thing.name}" for n, c in enumerate(candidates, 1)]
    return ["Which do you mean?", "  " + "   ".join([*said, f"{len(said) + 1} {ELSE}"])]


def pick_thing(session: Session, text: str) -> Reply | None:
    """The thing picked by its number or name; None where nothing was offered or nothing is picked."""
    offer = session.offered
    if offer is None:
        return None
    words = " ".join(text.lower().strip(" .!").split())
    number = re.fullmatch(r"(?:number |no\.? ?|#|the )?(\d{1,2})(?:st|nd|rd|th)?(?: one)?", words)
    if words == ELSE or (number and int(number[1]) == len(offer.slugs) + 1):
        session.offered = None
        return session.again(["Then say what it does or what it is for, in other words."])
    slug = offer.slugs[int(number[1]) - 1] if number and 0 < int(number[1]) <= len(offer.slugs) else ""
    named = words.removeprefix("a ").removeprefix("the ")
    slug = slug or next((s for s in offer.slugs if named == session.thing(s)), "")
    if not slug:
        return None
    session.offered = None
    if slug not in session.rulebase.items:
        return _without_recipe(session, slug)
    reading = session.read_line(offer.text, slug)
    session.answers |= {n: a for n, a in reading.answers.items() if n != "item"}
    session.answers["item"] = Answer((slug,), "known", "answered", text)
    return session.go_on([f"Understood: {capital(session.thing(slug))}."])


def _without_recipe(session: Session, slug: str) -> Reply:
    near = words_of(session.rulebase).things[slug].near
    line = f"I know what that is, but have no recipe for it ({session.thing(slug)})."
    if near:
        question = f"The nearest I have is {session.thing(near)}. Go by that? yes/no"
        session.pending = Pending({"item": Answer((near,))}, question)
    return session.again([line])

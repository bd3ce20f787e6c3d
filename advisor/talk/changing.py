"""Answers changed, taken back and listed, each with a receipt of what that did to the advice."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ..errors import AnswerError
from ..leather.units import times_apart
from ..read.answers import read_answer
from ..read.corrections import correction
from ..read.danger import RAISED
from ..read.lexicon import lexicon
from ..read.lexicon import phrase as lex_phrase
from ..read.numbers import find_sizes
from ..read.reader import read_sentence
from ..reasoning.advice import Advice
from ..reasoning.difference import moves
from ..reasoning.facts import Answer, parse_answer
from ..reasoning.tipping import asleep
from ..rulebase.models import Attribute
from ..rulebase.words import words_of
from ..write.names import attribute_called
from ..write.page import capital, listed
from .called import called_so
from .comparing import move_lines
from .guarding import guards
from .mending import changed_so
from .naming import answer_meant, attribute_meant, slug_of
from .offering import offer_nearest, offer_things
from .pending import Pending
from .remarks import FAR
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

_IT = re.compile(r"it|this|that|them|the (?:thing|order)", re.IGNORECASE)
_MAKE_IT = re.compile(
    r"(?:ok(?:ay)?,? |well,? |then )*(?:make|call|let'?s (?:make|call|say)) (?:it|that)\b", re.IGNORECASE
)
LONGEST_NAME = 3
"""Of more words nothing is called that can be forgotten."""
_BARE = re.compile(r"\d+(?:[.,/]\d+)?(?: \d/\d)?")


def change(session: Session, named: str, value: str) -> Reply:
    """An answer changed by its name. Raises AnswerError for a name or value that cannot be."""
    if _IT.fullmatch(named.strip()) and (reply := corrected(session, f"change it to {value}")):
        return reply
    try:
        attribute = _meant(session, named)
    except AnswerError:
        so = changed_so(session, named, value)
        return so or corrected(session, f"change {named} to {value}") or _unknown(session, named)
    name = attribute.name
    advised = session.advice()
    _idle(session)
    before = session.said(name) if name in session.answers else "not answered"
    try:
        answer = _item_named(session, value) if name == "item" else answer_meant(attribute, value, session.units)
    except AnswerError:
        if so := changed_so(session, named, value):
            return so
        raise
    if name == "item" and answer.values:
        return change_thing(session, str(answer.values[0]), value)
    session.answers[name] = answer
    lines = [f"Changed: {session.said(name)} (before: {before})."]
    return session.go_on([*lines, *_moved(session, advised)])


def _unknown(session: Session, named: str) -> Reply:
    """That nothing is called so, with what is called nearly so."""
    try:
        attribute_meant(session.rulebase, named)
        near = ""
    except AnswerError as error:
        near = attribute_called(session.rulebase, error.near) if error.near else ""
    return session.again([f'I know nothing called "{named}" here.' + (f' Did you mean "{near}"?' if near else "")])


def _meant(session: Session, named: str) -> Attribute:
    """What is called so: of several sizes the one that was said, or that the thing has. Raises AnswerError for none."""
    item, attributes = session.item() or "", session.rulebase.attributes
    uses = lexicon(session.rulebase).uses.get(item, frozenset())
    key = lex_phrase(named)
    for names in (session.answers, uses):
        called = [n for n in names if n in attributes and key and key[-1:] == lex_phrase(attributes[n].label)[-1:]]
        if called and slug_of(named) not in (*session.answers, *uses) and len(called) == 1:
            return attributes[called[0]]
    try:
        return attribute_meant(session.rulebase, named)
    except AnswerError:
        if found := called_so(session, named):
            return found
        raise


def _item_named(session: Session, value: str) -> Answer:
    """The thing that the words name. Raises AnswerError if they name none."""
    try:
        return parse_answer(session.rulebase.attributes["item"], value, units=session.units)
    except AnswerError:
        taken = read_sentence(session.rulebase, value, None, session.units).answers.get("item")
        if taken is None:
            raise
        return taken


def corrected(session: Session, text: str) -> Reply | None:
    """The reply to a correction of the thing, or of the number or choice given last; None for anything else."""
    item, question = session.item(), session.question
    found = correction(session.rulebase, text, item, session.units) if item else None
    if found is None:
        return None
    if found.slug and not found.sure and question and read_answer(session.rulebase, question, text, session.units):
        # "It's a watch strap" may answer what is asked.
        return None
    if found.slug:
        return _instead(session, found.slug, text, found.words)
    if found.named.candidates:
        session.question = session.rulebase.attributes["item"]
        return session.again(offer_things(session, found.named.candidates, found.words))
    if question and question.numeric and _MAKE_IT.match(text.strip()) and _BARE.fullmatch(found.words):
        # "Make it 25", to how wide it is, answers that.
        return None
    return _last_corrected(session, found.words) if found.sure else None


def other_thing(session: Session, text: str) -> Reply | None:
    """The answer to which thing is meant instead; None where it names none."""
    named = read_sentence(session.rulebase, text, None, session.units).named
    if named.taken:
        return _instead(session, named.taken.thing.slug, text, text)
    return session.again(offer_things(session, named.candidates, text)) if named.candidates else None


def _instead(session: Session, slug: str, text: str, words: str) -> Reply:
    """Another thing instead, by its own recipe or that of what it is made as."""
    recipe = words_of(session.rulebase).things[slug].recipe
    if not recipe:
        return session.again(offer_nearest(session, slug, f"{words or text}"))
    return change_thing(session, recipe, text, words)


def _last_corrected(session: Session, words: str) -> Reply | None:
    """ "Sorry, 40", "no, by machine": the answer given last, unless the words answer what is asked now.

    A bare number corrects the last number near it, in the unit that was said then.
    """
    names = [next((n for n in reversed(session.asked) if n in session.answers and n != "item"), "")]
    if _BARE.fullmatch(words):
        attributes = session.rulebase.attributes
        names += [n for n in reversed(session.answers) if n in attributes and attributes[n].group == "size"]
        names.sort(key=lambda n: _away(session, n, words) if n else math.inf)
    for name in dict.fromkeys(n for n in names if n and words):
        if (answer := _corrected_to(session, name, words)) is not None:
            before = session.said(name)
            if guards(session, name):
                session.pending = Pending({name: answer}, f"You said before: {before}. Drop it?")
                return session.again([])
            session.answers[name] = answer
            session.told = False
            return session.go_on([f"Changed: {session.said(name)} (before: {before})."])
    return None


def _away(session: Session, name: str, words: str) -> float:
    """How far a bare number is from the one that was said; all within twice and half of it are alike."""
    held = session.answers[name]
    said = [v for s in find_sizes(held.words.lower(), []) for v in s.values]
    told = [v for s in find_sizes(words, []) for v in s.values]
    if len(told) != 1 or not said or min(*told, *said) <= 0:
        return math.inf
    off = min(abs(math.log(told[0] / value)) for value in said)
    return 0.0 if off <= math.log(2) else off


def _corrected_to(session: Session, name: str, words: str) -> Answer | None:
    """What an answer becomes by the words of a correction; None where they cannot be meant of it."""
    attribute, question, held = session.rulebase.attributes[name], session.question, session.answers[name]
    if _BARE.fullmatch(words) and attribute.numeric:
        unit = next((s.unit for s in find_sizes(held.words.lower(), []) if s.unit), "")
        words = f"{words} {unit}".strip()
    found = read_answer(session.rulebase, attribute, words, session.units)
    if found is None or found.answer is None or found.meant != "value" or found.rest:
        return None
    if not attribute.numeric and question and read_answer(session.rulebase, question, words, session.units):
        return None
    if attribute.numeric and held.values and not _near(held.values[0], found.answer.values[0]):
        return None
    return None if held.values == found.answer.values else found.answer


def _near(one: object, other: object) -> bool:
    """Whether a number may be meant instead of another."""
    numbers = isinstance(one, float) and isinstance(other, float) and min(one, other) > 0
    return not numbers or times_apart(one, other) <= FAR  # type: ignore[arg-type]


def change_thing(session: Session, slug: str, text: str, words: str = "") -> Reply:
    """Another thing is made from here on: says what no longer counts, and keeps what still applies.

    ``words`` are what else may be said in the same line.
    """
    answer = Answer((slug,), "known", "answered", text)
    if slug == session.item():
        return session.go_on([f"{capital(session.rulebase.attributes['item'].values[slug].one())} it is."])
    sizes = [attribute_called(session.rulebase, n) for n in unused_sizes(session, answer)]
    dropped_by(session, answer)
    session.answers["item"] = answer
    session.told, session.offered, session.stood = False, None, ""
    thing = session.rulebase.attributes["item"].values[slug].one()
    gone = f"; your {listed(sizes)} no longer count{'' if sizes[1:] else 's'}" if sizes else ""
    lines = [f"That is now {thing}{gone}."]
    reading = session.read_line(words, slug) if words else None
    if reading and any(n != "item" for n in reading.answers):
        answers = {n: a for n, a in reading.answers.items() if n != "item"}
        return session.take(replace(reading, answers=answers), lines)
    return session.go_on(lines)


def keep(session: Session) -> Reply:
    """The last "what if" taken over as answers."""
    if not session.tried:
        return session.again(['There is nothing to keep. Ask "what if ..." first.'])
    before = session.advice()
    _idle(session)
    changes, session.tried = session.tried, {}
    dropped = dropped_by(session, changes["item"]) if "item" in changes else []
    session.answers |= changes
    return session.go_on([*_receipt(session, "Kept", list(changes), before), *said_dropped(dropped)])


def forget(session: Session, named: str) -> Reply | None:
    """An answer taken back; None where what follows names nothing that could be one. Raises AnswerError for a slip."""
    try:
        attribute = _meant(session, named)
    except AnswerError:
        if reply := corrected(session, f"forget {named}"):
            return reply
        if len(named.split()) > LONGEST_NAME or session.item() is None:
            return None
        return _unknown(session, named)
    name = attribute.name
    if name not in session.answers:
        return session.again([f"You have said nothing of the {attribute.label}."])
    before, said = session.advice(), session.said(name)
    _idle(session)
    del session.answers[name]
    return session.go_on([f"Forgotten: {said}.", *_moved(session, before)])


def answer_lines(session: Session) -> list[str]:
    """What was said, and which of it counts for nothing now."""
    if not session.answers:
        return ["You have not said anything yet."]
    lines = [session.said(n) for n in answers_told(session)]
    idle = [n for n in asleep(session.matter().run()) if n in session.answers]
    if idle:
        lines.append(f"Kept, but of no use now: {_named(session, idle)}.")
    return lines


def answers_told(session: Session) -> list[str]:
    """The answers in the order in which they were given; a shade says its colour too, and no danger is an answer."""
    shades = {shade for name, shade in session.rulebase.shaded.items() if name in session.answers}
    return [n for n in session.answers if n in session.rulebase.attributes and n != RAISED and n not in shades]


def _receipt(session: Session, verb: str, names: Sequence[str], before: Advice) -> list[str]:
    """What a change of answers did to the advice."""
    return [f"{verb}: {listed(session.said(n) for n in names)}.", *_moved(session, before)]


def _idle(session: Session) -> set[str]:
    """The answers that count for nothing now; what has changed since the last look is told by ``_moved``."""
    session.asleep = set(asleep(session.matter().run())) if "item" in session.answers else set()
    return session.asleep


def _moved(session: Session, before: Advice) -> list[str]:
    session.told = False
    if "item" not in session.answers:
        return []
    lines = move_lines(session.matter(), moves(before, session.advice()), 2)
    was = session.asleep
    now = _idle(session)
    if slept := [n for n in session.answers if n in now - was]:
        lines.append(f"  Kept, but of no use now: {_named(session, slept)}.")
    if woke := [n for n in session.answers if n in was - now]:
        lines.append(f"  Of use again: {_named(session, woke)}.")
    return lines


def _named(session: Session, names: Sequence[str]) -> str:
    return listed(attribute_called(session.rulebase, n) for n in names)


def unused_sizes(session: Session, item: Answer) -> list[str]:
    """The sizes answered that the pattern of another item has no use for."""
    if item.values == session.answers.get("item", item).values or not item.values:
        return []
    used = lexicon(session.rulebase).uses.get(str(item.values[0]), frozenset())
    attributes = session.rulebase.attributes
    return [n for n in session.answers if n in attributes and attributes[n].group == "size" and n not in used]


def dropped_by(session: Session, item: Answer) -> list[str]:
    """What a change to another item drops: the sizes that its pattern has no use for, as they were said."""
    sizes = unused_sizes(session, item)
    dropped = [session.said(name) for name in sizes]
    for name in sizes:
        del session.answers[name]
    session.asked = [n for n in session.asked if n in session.answers]
    return dropped


def said_dropped(dropped: list[str]) -> list[str]:
    """The answers dropped, in a sentence."""
    return [f"No longer used, and dropped: {listed(dropped)}."] if dropped else []

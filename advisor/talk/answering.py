"""Answers taken over: read for their question, added up where they protect, confirmed where they take away.

Nothing that protects somebody is dropped without being said and confirmed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ..codes import say
from ..errors import AdvisorError, AnswerError
from ..read.acts import NO_FACTS, acts_of
from ..read.ages import ages
from ..read.answers import Answered, picked, read_answer
from ..read.danger import RAISED, dangers_of
from ..read.lexicon import lexicon, phrase
from ..read.numbers import find_sizes
from ..read.purposes import purposes
from ..read.reader import read_sentence
from ..read.sides import SIDES
from ..reasoning.facts import Answer, parse_answer
from ..rulebase.models import Attribute, RuleBase
from ..rulebase.saying import asked, label
from ..write.names import attribute_called, values_called
from ..write.page import capital, listed
from .changing import said_dropped, unused_sizes
from .choosing import chosen
from .enter import ALARMING, left_open, take_enter, waits
from .guarding import PROTECTING
from .naming import slug_of
from .pending import Pending
from .reply import Reply
from .sizing import far_off, in_another_unit, offer_size
from .wishes import settle_wishes

if TYPE_CHECKING:
    from ..read.reader import Reading
    from .session import Session

_REPEATS = re.compile(r"\b(?:said|told you|already|like before)\b", re.IGNORECASE)
_DENIES = re.compile(r"\b(?:no|not|never|nobody|nothing|none|nope|nah|\w+n't)\b", re.IGNORECASE)
LIMITS = "limits"
"""The group of what somebody will not have."""
MOST_NAMED = 12
"""Of more values than these a mistake names none."""
BOTH = re.compile(r"\b(?:both|all of them|each|half and half|bit of both)\b", re.IGNORECASE)
_YES = re.compile(
    r"(?:y|yes|yeah|yep|ok|okay|sure|yes please|please|do it|drop it|change it|go on|yes,? (?:drop|change) it)[.!]*",
    re.IGNORECASE,
)
_YES_DROP = re.compile(
    r"(?:(?:y|yes|yeah|yep|ok|okay|sure|please)[ ,.]+)*(?:drop (?:it|that|them)\b|change it(?=[,.;!]))"
    r"[ ,.;!]*(?P<more>.*)",
    re.IGNORECASE,
)
_NO = re.compile(
    r"(?:n|no|nope|no thanks|keep it|keep|leave it|don't|no,? (?:keep|leave) it|cancel)[.!]*", re.IGNORECASE
)


# -- taking over
WIDTH = "width"


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
        if lost:
            held[name] = answer
            whole = f"before: {session.said(name)}"
            part = f"{values_called(session.rulebase, name, lost)} before"
            asks.append(f"You said {whole if attribute.kind == 'yes_no' else part}. Drop it?")
        else:
            session.answers[name] = answer
    settle_wishes(session, {n: a for n, a in new.items() if n in session.answers})
    if held:
        session.pending = Pending(held, " ".join(asks))
    if "item" in new:
        _widths_of_straps(session)


def _widths_of_straps(session: Session) -> None:
    """A width said before the thing was known is that of its strap, where the thing has no other."""
    strap, uses = purposes(session.rulebase).strap_width, lexicon(session.rulebase).uses.get(session.item() or "", ())
    said = session.answers.get(WIDTH, Answer(()))
    if strap not in uses or WIDTH in uses or strap in session.answers or not said.values:
        return
    attribute = session.rulebase.attributes[strap]
    if (attribute.low or 0) <= float(said.values[0]) <= (attribute.high or 0):
        session.answers[strap] = session.answers.pop(WIDTH)


def confirm(session: Session, text: str) -> Reply | None:
    """The answer to what was to be confirmed; None where nothing was, or the line says something else."""
    pending, session.pending = session.pending, None
    if pending is None:
        return None
    if pending.ways:
        return chosen(session, pending, text)
    text = text or ("yes" if pending.offered else "no")
    if pending.offered and _YES.fullmatch(text.strip()):
        session.answers |= pending.answers
        return session.go_on([f"Understood: {listed(session.said(n) for n in pending.answers)}."])
    if pending.clears and _YES.fullmatch(text.strip()):
        return session.clear(['Cleared. "Undo" brings it back.'])
    led = _YES_DROP.fullmatch(text.strip())
    if _YES.fullmatch(text.strip()) or led:
        dropped = unused_sizes(session, pending.answers["item"]) if "item" in pending.answers else []
        said = [session.said(name) for name in dropped]
        said += [session.said(name) for name in pending.drops if name in session.answers]
        for name in (*dropped, *pending.drops):
            session.answers.pop(name, None)
        session.asked = [n for n in session.asked if n in session.answers]
        session.answers |= pending.answers
        lines = [f"Changed: {listed(session.said(n) for n in pending.answers)}."] if pending.answers else []
        if led is not None and led["more"] and (more := session.read_line(led["more"])).answers:
            return session.take(more, [*lines, *said_dropped(said)])
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
    return [
        str(v)
        for v in old.values
        if v not in kept
        and v != "none"
        and (protecting or (attribute.name, str(v)) in grave)
        and attribute.name != "item"
    ]


# -- the open question


def answer_question(session: Session, question: Attribute, text: str) -> Reply | None:
    """The reply to an answer of the open question, or None if ``text`` does not answer it."""
    found = _by_label(question, text) or read_answer(session.rulebase, question, text, session.units)
    found = found or _danger_told(session, question, text)
    if found is None or _of_another_side(session, question, text) or _tells_of_harm(session, question, text):
        return None
    waited = waits(session, question.name)
    told_yes = found.answer is not None and found.answer.values == ("yes",) and waited
    if session.item() is None and found.answer and found.answer.values and not told_yes:
        reading = session.read_line(text)
        guessed = session.offered is not None and reading.named.instead
        if reading.answers.get("item") and not guessed:
            # "No, an ordinary belt for an adult" names the thing as well.
            return session.take(replace(reading, answers={**reading.answers, question.name: found.answer}))
    if found.answer and waits(session, question.name) and (named := _perhaps_an_age(question, text)):
        # "4" beside a child is an age as well as a number in the list.
        session.pending = Pending({question.name: found.answer}, f"{capital(named)}?")
        return session.again([])
    if found.answer and (held_as := _said_before(session, question, text)):
        return session.again([f"I have that as {held_as}."])
    if found.answer and (meant := far_off(session, question, found.answer, text)):
        held = found.answer
        if meant.sure:
            found = replace(found, answer=meant.answer)
        else:
            session.pending = Pending({question.name: meant.answer}, f"{meant.words}?", offered=True)
            return session.again([f"{session.said_as(question.name, held)} would be far from usual."])
    if found.meant == "open" and found.rest and (offered := offer_size(session, question, found.rest)):
        return offered
    if found.meant == "usual":
        return take_enter(session)
    if found.answer is None:
        return None
    if belied := _belied(session, question, found):
        return session.again([f'You say no, and "{belied}" sounds like yes. Which is it?'])
    lines = _taken(session, question, found)
    if RAISED in session.rulebase.attributes and not question.numeric:
        # "He sits on it" answers what it is for, and raises what it must not be used for.
        reading = read_sentence(session.rulebase, text, session.item(), session.units)
        if raised := reading.answers.get(RAISED):
            session.reading = reading
            accept(session, {RAISED: raised})
    if found.rest:
        reading = session.read_line(found.rest)
        if told_yes:
            # "Yes, people sit on it" tells of the danger and names no thing.
            reading = replace(reading, answers={n: a for n, a in reading.answers.items() if n != "item"})
        if found.answer and found.answer.values == ("no",) and waited:
            # "No, no animals" to whether one is tied up says nothing of what leather may come from.
            kept = {n: a for n, a in reading.answers.items() if session.rulebase.attributes[n].group != LIMITS}
            reading = replace(reading, answers=kept)
        if reading.answers:
            return session.take(reading, lines)
        lines += session.not_understood(reading)
    return session.go_on(lines)


def _belied(session: Session, question: Attribute, found: Answered) -> str:
    """What is said beside a no that tells of the very danger asked about; "" where nothing does."""
    if not found.answer or found.answer.values != ("no",):
        return ""
    # Without a word that denies, what was taken for a no is looked at whole.
    words = found.rest or ("" if _DENIES.search(found.answer.words) else found.answer.words)
    dangers = read_sentence(session.rulebase, words, session.item(), session.units).dangers if words else ()
    told = any(d.attribute == question.name and d.state != "ruled_out" for d in dangers)
    return words if told else ""


def _tells_of_harm(session: Session, question: Attribute, text: str) -> bool:
    """ "Allergic to chrome", to which colour: whether words that tell of a reaction would answer something else."""
    if question.group in ALARMING or question.numeric or question.kind == "yes_no":
        return False
    reading = read_sentence(session.rulebase, text, session.item(), session.units)
    grave = alarming(session.rulebase, reading).keys() - {RAISED}
    return bool(grave) and question.name not in reading.answers


def _of_another_side(session: Session, question: Attribute, text: str) -> bool:
    """ "90 long", to how wide it is: whether a number is told of another side that the thing has."""
    if not question.numeric:
        return False
    wording = phrase(asked(session.rulebase, question.name, session.item() or "").question)
    uses = lexicon(session.rulebase).uses.get(session.item() or "", frozenset())
    told = [SIDES[word] for word in phrase(text) if word in SIDES and word not in wording]
    own = {question.name, *(["width"] if question.name == purposes(session.rulebase).strap_width else [])}
    return any(side in uses and side not in own for side in told)


def _said_before(session: Session, question: Attribute, text: str) -> str:
    """ "108, I just said", to how wide it is: the other size that stands by this number already; "" for none."""
    numbers = re.findall(r"\d+(?:[.,]\d+)?", text)
    if not question.numeric or len(numbers) != 1 or not _REPEATS.search(text):
        return ""
    attributes = session.rulebase.attributes
    others = (n for n in session.answers if n != question.name and n in attributes and attributes[n].numeric)
    same = (n for n in others if numbers == re.findall(r"\d+(?:[.,]\d+)?", session.answers[n].words))
    return session.said(name) if (name := next(same, "")) else ""


def _danger_told(session: Session, question: Attribute, text: str) -> Answered | None:
    """ "Sparks come off it", to whether it will touch sparks: what tells of the danger again is a yes."""
    if session.rulebase.attributes[question.name].kind != "yes_no" or not waits(session, question.name):
        return None
    # To the question itself a faint hint, which counts behind "for" alone, says enough.
    dangers = dangers_of(session.rulebase, f"for {text}")
    told = any(d.attribute == question.name and d.state != "ruled_out" for d in dangers)
    if not told or all(act.kind in NO_FACTS for act in acts_of(text)):
        return None
    return Answered("value", Answer(("yes",), "known", "answered", text))


def _by_label(question: Attribute, text: str) -> Answered | None:
    """The value whose label stands in the list of choices and was typed as it stands there."""
    slug = next((v.slug for v in question.values.values() if slug_of(v.label) == slug_of(text)), None)
    return Answered("value", Answer((slug,), "known", "answered", text)) if slug else None


def _taken(session: Session, question: Attribute, found: Answered) -> list[str]:
    answer = found.answer or Answer((), "don't know")
    accept(session, {question.name: answer}, own=question.name)
    if found.meant == "open":
        return left_open(session, [question.name])
    return [f"Understood: {session.said(question.name)}."]


def alarming(rulebase: RuleBase, reading: Reading) -> dict[str, Answer]:
    """What a question still says: dangers, allergies and whom it is for; nothing that eases."""
    # What is only asked raises a danger and does not yet say that it is so.
    return {
        name: answer
        for name, answer in reading.answers.items()
        if answer.values
        and ages(rulebase).easing.isdisjoint(map(str, answer.values))
        and rulebase.attributes[name].group in ALARMING
        and rulebase.attributes[name].kind != "yes_no"
    }


def ask_again(session: Session, question: Attribute, text: str) -> list[str]:
    """What is said where an answer fits none of the values: what is missing, or the size that a number may mean."""
    called = attribute_called(session.rulebase, question.name)
    if not question.numeric:
        both = BOTH.search(text) and question.kind != "set"
        return [
            f"Only one {called} can be reckoned with. Which first?"
            if both
            else "I found no answer in that. Say it another way, or type a number."
        ]
    help_text = asked(session.rulebase, question.name, session.item() or "").help
    try:
        parse_answer(question, text, units=session.units)
    except AnswerError as error:
        if meant := in_another_unit(session, question, text):
            session.pending = Pending({question.name: meant.answer}, f"{meant.words}?", offered=True)
            return []
        if not list(find_sizes(text.lower(), [])):
            return [f"I found no number for the {called} in that; expected a number with its unit.", help_text]
        return [mistake(session.rulebase, error), help_text]
    return []


def _perhaps_an_age(question: Attribute, text: str) -> str:
    """What a bare number picks from a list of more than yes and no; "" where it picks nothing."""
    if len(question.values) <= 2 or not text.strip(" .").isdecimal():
        return ""
    chosen = picked(question, text)
    return question.values[chosen[0]].label if chosen else ""


def mistake(rulebase: RuleBase, error: AdvisorError) -> str:
    """A mistake in the words of a conversation, where nobody types an underscore."""
    return capital(str(with_labels(rulebase, error))) if isinstance(error, AnswerError) else str(error)


def with_labels(rulebase: RuleBase, error: AnswerError) -> AnswerError:
    """The same mistake, with everything called as it is called on the screen."""
    attribute = rulebase.attributes.get(error.attribute)
    labels = [v.label for v in attribute.values.values()] if attribute and attribute.name != "item" else []
    expected = say("one_of", options=labels) if 0 < len(labels) <= MOST_NAMED else error.expected
    near = label(rulebase, error.attribute, error.near) if labels and error.near else error.near
    near = attribute_called(rulebase, near) if near and near in rulebase.attributes else near
    return AnswerError(attribute_called(rulebase, error.attribute), error.found, expected, near)

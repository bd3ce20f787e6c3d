"""What one line means while a question is open: an answer to it, a request, a question, or facts of its own."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ..read.acts import NO_FACTS, acts_of
from ..read.answers import Answered, read_answer
from ..read.courtesies import agrees, before_the_wish, begins_with_the_wish, goes_on, without_asides, without_manners
from ..read.danger import RAISED
from ..read.lexicon import items_near
from ..read.notes import puzzling
from ..read.others import told_apart, without_others
from ..read.questions import topic_of
from ..read.reader import Reading, read_sentence
from ..reasoning.facts import Answer, state_said
from ..reasoning.network import wishes
from ..rulebase.models import Attribute, article_of
from ..rulebase.words import words_of
from ..write.buying import stands
from ..write.page import listed
from ..write.straight import MOST_LINES
from .answering import accept, alarming, answer_question, ask_again
from .asking import example_lines
from .at_home import at_home, told_of_home
from .by_kind import WISHES, taken_up
from .changing import corrected, other_thing
from .checking import checked
from .choosing import placed
from .commands import command_meant
from .counting import counted
from .direct import (
    CANNOT,
    UNKNOWN_THING,
    alarms_of,
    asking_acts,
    asks,
    asks_only,
    cannot,
    direct_answers,
    stated_beside,
)
from .enter import take_enter
from .heard import doubts_said
from .left_open import left_open_lines
from .looping import cannot_say, missed
from .lots import the_rest
from .objects import objects_in, without_leathers
from .offering import Offer, offer_things, pick_thing
from .opinion import said_lines
from .reasons import reasons_told
from .reply import Reply
from .requests import NONE, another_order, another_thing, as_before, courtesy, requested
from .sizing import in_another_unit, offer_size, one_size, size_of_another, two_sizes, which_size, without_far
from .together import answer_together

if TYPE_CHECKING:
    from .session import Session

TOLD = ("opinion", "history")
"""What a clause may tell of other things than this one: it answers no question about it."""

OF_OTHERS = 'I take that to be about another, so nothing is changed by it. If it is meant, say "it is for ...".'

UNKNOWN = (
    "I do not know that as a thing. Say it another way, or say what it does: something that holds things, carries "
    "things, folds, is worn, is sat on, lies flat, or straps round something."
)

UNDECIDED = (
    "Without a thing to make there is nothing to advise on. Say what it has to do: " + UNKNOWN.partition(": ")[2]
)

_WHY = re.compile(r"\b(?:why|how come)\b", re.IGNORECASE)
MOST_ALONE = 4
"""So many words name somebody, and tell no story."""
_FOR_NAME = 14
"""Columns that a line of an answer leaves for the name of the thing before it."""
_AND_ASKED = re.compile(
    r",?\s+(?:and|or) (?=(?:can|could|how|what|do|does|is|are|will|which|where|should|why|when)\b)", re.IGNORECASE
)
_BEHIND = re.compile(r"\s+-+\s+(?:or )?|[,;.!]\s+(?:and |but )?|\s+and (?=what|how|is|does|can|do|will|which|why)")
"""What may stand between an answer and a question behind it."""


def answered_line(session: Session, text: str) -> Reply:
    """The reply to a line that is no command."""
    question = session.question
    if begins_with_the_wish(text):
        return session.done()
    if session.item() is not None and (head := before_the_wish(text)):
        answered = answered_line(session, head)
        if session.pending is not None or answered.ended:
            return answered
        ended = session.done()
        heard = [line for line in answered.lines if line not in ended.lines]
        return Reply([*heard, *ended.lines], ended.prompt)
    if question is None:
        if session.checking and (reply := checked(session, text)):
            return reply
        if not text and (rest := the_rest(session)):
            return rest
        if not text:
            session.leaving = True
            return Reply(["Nothing more to ask. Enter again to finish."])
        return another_order(session, text) or _aside(session, None, text) or _read_line(session, text)
    if not text or (goes_on(text) and not (question.name == "item" and session.item() is None)):
        unnamed = question.name == "item" and session.item() is None
        return session.again(example_lines(session.rulebase)) if unnamed else take_enter(session)
    if aside := _aside(session, question, text):
        return aside
    if len(session.questions) > 1:
        return answer_together(session, text)
    if question.name == "item":
        if state_said(text):
            return session.again([UNDECIDED])
        return (other_thing(session, text) if session.item() is not None else None) or _read_line(session, text)
    if cannot_say(session, question, text):
        text = "don't know"
    told = not question.numeric and all(act.why in TOLD for act in acts_of(text))
    taken = None if told else answer_question(session, question, text)
    before = dict(session.answers)
    return taken or missed(session, question, _unfitting(session, question, text), before)


def _aside(session: Session, question: Attribute | None, text: str) -> Reply | None:
    """A pick of what was offered, a request, a question or a courtesy; None for what is meant as an answer."""
    if picked := pick_thing(session, text):
        return picked
    # What only asks changes nothing, whatever it counts or names: "could I make two out of that piece".
    only_asks = session.item() is not None and any(a.kind == "question" for a in asking_acts(text)) and asks_only(text)
    if not only_asks and (reply := counted(session, text, sure=True) or corrected(session, text)):
        return reply
    priced = question is not None and question.unit == "money" and _answer_in(session, question, text) is not None
    if not priced and not only_asks and (several := counted(session, text)):
        return several
    # "Our dog", to who will use it, is an answer and about nobody else.
    asked = question is not None and question.name != "item" and len(text.split()) <= MOST_ALONE
    answers = asked and question is not None and _answer_in(session, question, text)
    if session.item() is not None and not answers:
        left, others = without_others(text, _made_for(session))
        if others and asks(text) and not asks(left):
            # What is told of another may lead to what is asked: "my cat scratches, which leather hides that best".
            return asked_back(session, text)
        if others and asks(left) and asks_only(left):
            return asked_back(session, text)
        if others and not left.strip(" ,.!"):
            return session.again([OF_OTHERS])
        if others:
            return answered_line(session, left)
    one = question if question and not session.questions[1:] and question.name != "item" else None
    if one and (same := as_before(session, one, text)):
        return same
    if one and (reply := _answered_and_asked(session, one, text)):
        return reply
    apart = told_apart(text)
    found = _answer_in(session, one, apart.rstrip("?")) if one else None
    told = all(act.why in TOLD for act in acts_of(text))
    if one and found and not told and (found.meant != "value" or not asks_only(text)):
        return answer_question(session, one, apart.rstrip("?"))
    if reply := requested(session, text):
        return reply
    about = session.item() is not None or session.offered is not None
    if session.item() is None and session.offered is not None and _sets_two(session, text):
        # "Lamb or goat" while things are offered is no wish yet.
        return asked_back(session, text)
    if asks_only(text) and (about or not (question and question.name == "item" and _names_thing(session, text))):
        return asked_back(session, text)
    if about and asks(text):
        stated = stated_beside(text)
        return _asked_and_told(session, text, stated) if stated else asked_back(session, text)
    if kind := courtesy(text):
        return session.again([kind])
    return None


def _sets_two(session: Session, text: str) -> bool:
    """Whether a text that asks for nothing sets two leathers beside each other."""
    low = text.lower()
    named = {named.words for named in objects_in(session.rulebase, low)} if " or " in low else set()
    return len(named) > 1 and not WISHES.search(low)


def _answered_and_asked(session: Session, question: Attribute, text: str) -> Reply | None:
    """ "38 mm, is that too wide?": the answer is taken, then what is asked behind it is answered."""
    for mark in _BEHIND.finditer(text):
        head, behind = text[: mark.start()], text[mark.end() :]
        found = _answer_in(session, question, without_manners(head))
        told = not question.numeric and all(act.why in TOLD for act in acts_of(head))
        if told or not asks_only(behind) or asks_only(head) or not found or found.meant != "value":
            continue
        reply = answer_question(session, question, without_manners(head))
        if reply is None or session.pending is not None:
            return reply
        back = asked_back(session, behind)
        return Reply([*reply.lines, *back.lines], back.prompt, back.ended)
    return None


def _answer_in(session: Session, question: Attribute, text: str) -> Answered | None:
    return read_answer(session.rulebase, question, text, session.units)


def _asked_and_told(session: Session, text: str, stated: str) -> Reply | None:
    """A question with something stated beside it: it is answered, then what was stated is taken.

    A leather that is named there is what is asked about and no wish; None where the question has no answer.
    """
    reading = session.read_line(stated)
    if _no_writing(reading):
        return None
    left_out = {"item", *wishes(session.rulebase), *alarming(session.rulebase, reading)}
    told = {name: answer for name, answer in reading.answers.items() if name not in left_out}
    home = session.item() is not None and told_of_home(session.matter(), told)
    if home and (own := at_home(session.matter().about({**session.answers, **told}))) and not own.order:
        # A leather that is refused is nobody's wish, and its colour is its own.
        return session.again([*own.lines])
    if home:
        said = direct_answers(session.matter(), text, asked_back=True, judged=True)
    else:
        said = _answer(session, text, told)
    if not home and (not said or CANNOT in said[0] or said[0].startswith(UNKNOWN_THING)):
        return None
    if session.item() is None and session.offered is not None:
        # What is told of one of several things counts once it is picked.
        session.offered = Offer(session.offered.slugs, f"{session.offered.text}. {stated}")
        return session.again(said)
    taken = told | alarms_of(
        session.matter(), text, alarming(session.rulebase, session.read_line(without_leathers(session.rulebase, text)))
    )
    if not taken:
        return session.again(said)
    session.line = ""
    # What may hurt somebody is asked before anything is told.
    raised = RAISED in taken and session.matter().about({**session.answers, **taken}).advice().dangers
    return session.take(replace(reading, answers=taken, unread=()), [] if raised else said)


def _answer(session: Session, text: str, told: Mapping[str, Answer] | None = None) -> list[str]:
    """What answers a question; of a thing of which several are offered, for the first of them.

    It is answered with what is ``told`` beside it, unless no order would stand then.
    """
    if session.item() is not None or session.offered is None:
        matter = session.matter()
        if told and stands((then := matter.about({**matter.answers, **told})).advice()):
            matter = then
        said = direct_answers(matter, text, asked_back=True)
        if session.item() is not None and _WHY.search(text) and (not said or said[0].startswith(CANNOT)):
            # What is said before it ("just one I said. why not suede") hides no question about reasons.
            return reasons_told(session, text) or said
        return said
    things = words_of(session.rulebase).things
    slug = next((things[s].recipe for s in session.offered.slugs if things[s].recipe), "")
    if not slug:
        return direct_answers(session.matter(), text, asked_back=True)
    reading = read_sentence(session.rulebase, session.offered.text, slug, session.units)
    answers = {**reading.answers, "item": Answer((slug,), "known", "answered", session.offered.text)}
    matter = session.matter().about({**session.answers, **answers})
    said = direct_answers(matter._replace(width=session.width - _FOR_NAME), text, asked_back=True)
    named = session.rulebase.items[slug].name
    if not said:
        return []
    whole = f"If you mean {article_of(named)} {named}: {said[0]}"
    fits = len(textwrap.wrap(whole, session.width)) <= MOST_LINES
    return [whole if fits else said[0], *said[1:]]


def asked_back(session: Session, text: str) -> Reply:
    """A question answered; what it raises of danger is taken up, and nothing else."""
    said = _answer(session, text)
    if not said or CANNOT in said[0]:
        said = _both_answered(session, text) or said
    if not said or CANNOT in said[0]:
        said = _second_asked(session, text) or said or cannot(session.matter())
    return taken_up(session, text, said)


def _both_answered(session: Session, text: str) -> list[str]:
    """ "Does it stretch and can I glue it?": two questions in one line, each answered; nothing where neither can be."""
    first, *rest = _AND_ASKED.split(text, maxsplit=1)
    found = [_answer(session, part) for part in (first, *rest)] if rest else []
    told = [said for said in found if said and CANNOT not in said[0]]
    return list(dict.fromkeys(line for said in told for line in said))


def _second_asked(session: Session, text: str) -> list[str]:
    """ "And the pen loop?": what becomes of a second thing."""
    if session.item() is None:
        return []
    session.read_line(text)
    return another_thing(session, text.strip(" ?"))


def _names_thing(session: Session, text: str) -> bool:
    """Whether a question names what is to be made, as "what leather do I need for a belt"."""
    named = read_sentence(session.rulebase, text, None, session.units).named
    # What is only told of a thing names none: "who was king then?".
    pointed = any(c.first < c.last for c in named.candidates)
    return bool(named.taken or (pointed and not topic_of(session.rulebase, text)))


def _unfitting(session: Session, question: Attribute, text: str) -> Reply:
    """What fits no value of the question: sizes said otherwise, other facts that it says, or the question again."""
    plain = without_asides(text)
    answers = plain != text and not all(act.why in TOLD for act in acts_of(text))
    if answers and (reply := answer_question(session, question, plain)):
        return reply
    taken, rest = two_sizes(session, question, text)
    if taken:
        taken, lines = without_far(session, question, taken)
        accept(session, taken)
        lines = [f"Understood: {listed(session.said(n) for n in taken)}.", *lines]
        left = session.read_line(rest) if any(c.isalnum() for c in rest) else None
        return session.take(left, lines) if left and left.answers else session.go_on(lines)
    reading = session.read_line(text)
    if question.name in reading.answers or reading.answers:
        return session.take(reading)
    if offered := offer_size(session, question, text):
        return offered
    told = any(act.kind in NO_FACTS for act in acts_of(text))
    if question.numeric and not told and (size := one_size(session, question, text)):
        accept(session, {question.name: size})
        return session.go_on([f"Understood: {session.said(question.name)}."])
    if said := said_lines(session, reading):
        return session.again([*said, *session.not_understood(reading)])
    if elsewhere := {} if told else size_of_another(session, text) or _answers_another(session, question, text):
        accept(session, elsewhere)
        return session.go_on([f"Understood: {listed(session.said(n) for n in elsewhere)}."])
    if lines := _left_open(session, question, reading, text):
        return session.again(lines)
    if more := another_thing(session, text) or command_meant(text):
        return session.again(more)
    offers_unit = question.numeric and in_another_unit(session, question, text) is not None
    if not (told or offers_unit) and (reply := placed(session, text)):
        return reply
    if not told and (which := which_size(session, text)):
        return session.again(which)
    asks_about_it = session.item() is not None and not _no_writing(reading)
    if asks_about_it and (said := direct_answers(session.matter(), text, asked_back=True)):
        return session.again(said)
    return session.again(ask_again(session, question, text))


def _no_writing(reading: Reading) -> bool:
    """Whether the line holds characters that are no writing, among which no question is looked for."""
    return any(doubt.code == "no_writing" for doubt in reading.doubts)


def _answers_another(session: Session, question: Attribute, text: str) -> dict[str, Answer]:
    """What a line answers of the questions still to come, where it answers one of them alone."""
    found: dict[str, Answer] = {}
    if agrees(text):
        # "Yes, I suppose" agrees to nothing that was not asked.
        return found
    for name in (n for n in session.coming if n != question.name):
        attribute = session.rulebase.attributes[name]
        if attribute.numeric:
            continue
        said = read_answer(session.rulebase, attribute, text, session.units, numbered=False)
        if said and said.meant == "value" and said.answer and NONE not in said.answer.values:
            found[name] = said.answer
    return found if len(found) == 1 else {}


def _made_for(session: Session) -> str:
    """The words for what is made and for whom, which no remark about somebody else is about."""
    said = [a.words for n, a in session.answers.items() if n in ("item", "user_kind")]
    return " ".join([session.rulebase.items[str(session.item())].name, *said])


def _left_open(session: Session, question: Attribute, reading: Reading, text: str) -> list[str]:
    """What a range or a choice of two comes to; a range alone is one of what was asked."""
    if question.numeric and question.cues and not reading.ranges:
        reading = read_sentence(session.rulebase, f"{question.cues[0]} {text}", session.item(), session.units)
    if not reading.ranges and not reading.choices_open:
        return []
    return [*doubts_said(session.rulebase, reading, session.units), *left_open_lines(session.matter(), reading)]


def _read_line(session: Session, text: str) -> Reply:
    reading, text = _with_offered(session, session.read_line(text), text)
    if not reading.answers and (said := said_lines(session, reading)):
        return session.again([*said, *session.not_understood(reading)])
    if not reading.answers:
        offered = session.item() is None and reading.named.candidates and reading.named.taken is None
        lines = command_meant(text) or session.not_understood(reading)
        lines += left_open_lines(session.matter(), reading)
        if offered:
            lines += offer_things(session, reading.named.candidates, text)
        elif session.question is not None and session.question.name == "item":
            lines += unknown_item(session, reading)
        return session.again(another_thing(session, text) or lines or ["I did not get that."])
    return session.take(reading)


def _with_offered(session: Session, reading: Reading, text: str) -> tuple[Reading, str]:
    """A line that names no thing of its own, read with the one before it where that left several: "a pouch, I think".

    What was understood of the line before is not told again.
    """
    if session.item() is not None or session.offered is None or reading.named.taken or reading.named.either:
        return reading, text
    both = f"{session.offered.text.rstrip(' .,;')}. {text}"
    joined = read_sentence(session.rulebase, both, None, session.units)
    if not (joined.named.taken or joined.named.candidates):
        return reading, text
    known = {name for name, answer in joined.answers.items() if session.answers.get(name) == answer}
    understood = tuple(u for u in joined.understood if u.attribute not in known and u.span[1] > len(both) - len(text))
    answers = {name: answer for name, answer in joined.answers.items() if name not in known}
    unread = tuple(words for words in joined.unread if words in reading.unread)
    session.line = both
    session.reading = replace(joined, answers=answers, understood=understood, unread=unread)
    return session.reading, both


def unknown_item(session: Session, reading: Reading) -> list[str]:
    """That no thing was found in the words, with those that are called alike; nothing where all of them were heard."""
    if reading.answers and not puzzling(session.rulebase, reading):
        return []
    near = items_near(session.rulebase, reading.unread)
    return [near, UNKNOWN] if near else [UNKNOWN]

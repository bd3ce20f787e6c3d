"""Answers changed, taken back and listed, each with a receipt of what that did to the advice."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..errors import AnswerError
from ..read.danger import RAISED
from ..read.lexicon import lexicon
from ..read.reader import read_sentence
from ..reasoning.advice import Advice
from ..reasoning.difference import moves
from ..reasoning.facts import Answer, attribute_named, parse_answer
from ..reasoning.tipping import asleep
from .comparing import move_lines
from .naming import slug_of
from .page import listed, plain
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session


def change(session: Session, named: str, value: str) -> Reply:
    """An answer changed by its name. Raises AnswerError for a name or value that cannot be."""
    name = slug_of(named).removeprefix("the_").removeprefix("my_")
    attribute = attribute_named(session.rulebase, name)
    advised = session.advice()
    _idle(session)
    before = session.said(name) if name in session.answers else "not answered"
    answer = _item_named(session, value) if name == "item" else parse_answer(attribute, value, units=session.units)
    if name == "item" and unused_sizes(session, answer):
        return session.ask_to_change(answer)
    session.answers[name] = answer
    lines = [f"Changed: {session.said(name)} (before: {before})."]
    return session.go_on([*lines, *_moved(session, advised)])


def _item_named(session: Session, value: str) -> Answer:
    """The thing that the words name. Raises AnswerError if they name none."""
    try:
        return parse_answer(session.rulebase.attributes["item"], value, units=session.units)
    except AnswerError:
        taken = read_sentence(session.rulebase, value, None, session.units).answers.get("item")
        if taken is None:
            raise
        return taken


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


def forget(session: Session, named: str) -> Reply:
    """An answer taken back. Raises AnswerError for a name that cannot be."""
    name = slug_of(named)
    attribute_named(session.rulebase, name)
    if name not in session.answers:
        return session.again([f"Nothing was said of {plain(name)}."])
    before, said = session.advice(), session.said(name)
    _idle(session)
    del session.answers[name]
    return session.go_on([f"Forgotten: {said}.", *_moved(session, before)])


def answer_lines(session: Session) -> list[str]:
    """What was said, and which of it counts for nothing now."""
    if not session.answers:
        return ["You have not said anything yet."]
    lines = [session.said(n) for n in session.answers if n != RAISED]
    idle = [n for n in asleep(session.matter().run()) if n in session.answers]
    if idle:
        lines.append(f"Kept, but counting for nothing now: {listed(plain(n) for n in idle)}.")
    return lines


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
    if slept := [plain(n) for n in session.answers if n in now - was]:
        lines.append(f"  Kept, but counting for nothing now: {listed(slept)}.")
    if woke := [plain(n) for n in session.answers if n in was - now]:
        lines.append(f"  Counting again: {listed(woke)}.")
    return lines


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

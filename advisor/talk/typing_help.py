"""Help while a line is being typed: what it can become, and what is wrong with it so far.

It only looks. Nothing typed is refused here, and a sentence or a command is never called wrong.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from ..errors import AnswerError, nearest
from ..read.reader import read_sentence
from ..reasoning.facts import state_said
from ..rulebase.models import Attribute, Item, RuleBase
from ..rulebase.saying import asked as wording
from ..write.catalogue import expected_said
from ..write.names import attribute_called
from ..write.page import capital
from .answering import with_labels
from .commands import COMMANDS
from .naming import answer_meant, attribute_meant

if TYPE_CHECKING:
    from .session import Session

_CHANGE = re.compile(r"(?:change|set)\s+(?:the\s+)?(.+?)\s+(?:to|=)\s+(.*)", re.IGNORECASE)
_NAMING = re.compile(r"(?:change|set)\s+(?:the\s+)?(.*)", re.IGNORECASE)
_WHY = re.compile(r"why\s+(?:is\s+|the\s+)?(.*)", re.IGNORECASE)
# A number with at most one word behind it is an answer; with more it is a sentence.
_AMOUNT = re.compile(r"[-−]?[\d.,][\d.,/ ]*[^\s\d]*")


class Completion(NamedTuple):
    """A word that could be meant, how many of the typed characters it replaces, and its meaning."""

    word: str
    replaces: int
    meaning: str


def completions(session: Session, typed: str) -> list[Completion]:
    """What the line can become, best first; nothing for an empty line."""
    return list(_completions(session, typed.lower())) if typed.strip() else []


def _completions(session: Session, typed: str) -> Iterator[Completion]:
    rulebase = session.rulebase
    item = session.item() or ""
    asked = [a for a in rulebase.attributes.values() if a.ask != "never"]
    if changed := _CHANGE.fullmatch(typed):
        if attribute := _named(session, changed[1]):
            yield from _values(session, attribute, changed[2])
    elif naming := _NAMING.fullmatch(typed):
        yield from _starting(naming[1], ((a.label, wording(rulebase, a.name, item).question) for a in asked))
    elif why := _WHY.fullmatch(typed):
        decisions = [(d.title, "its reasons") for d in rulebase.decisions.values()]
        answered = [(attribute_called(rulebase, n), "its reasons") for n in session.answers]
        yield from _starting(why[1], decisions + answered)
    else:
        for question in session.questions:
            yield from _values(session, question, typed)
        yield from _starting(typed, session.commands_offered().items())


def _values(session: Session, attribute: Attribute, typed: str) -> Iterator[Completion]:
    """Values of an attribute; where several can be said, the one after the last comma; of the items, any word."""
    listed = attribute.kind == "set" or session.questions[1:]
    part = typed.rpartition(",")[2].lstrip() if listed else typed
    if attribute.name == "item":
        for name, family in session.rulebase.once("item names", _item_names):
            if any(word.startswith(part) for word in (name, *name.split())):
                yield Completion(name, len(part), family)
        return
    yield from _starting(part, ((v.label, v.means) for v in attribute.values.values()))


def _item_names(rulebase: RuleBase) -> list[tuple[str, str]]:
    """What each item is called so that it is understood, with its family; some names only describe."""

    def understood(item: Item, name: str) -> bool:
        read = read_sentence(rulebase, name).answers.get("item")
        return read is not None and read.values == (item.slug,)

    found = []
    for item in rulebase.items.values():
        names = (item.name, attribute_called(rulebase, item.slug), *item.words)
        called = next((n for n in names if understood(item, n)), item.name)
        found.append((called, attribute_called(rulebase, item.family)))
    return found


def _starting(typed: str, words: Iterable[tuple[str, str]]) -> Iterator[Completion]:
    for word, meaning in words:
        if word.startswith(typed):
            yield Completion(word, len(typed), meaning)


def _named(session: Session, words: str) -> Attribute | None:
    try:
        return attribute_meant(session.rulebase, words)
    except AnswerError:
        return None


def trouble(session: Session, typed: str) -> str:
    """What the advisor would object to if the line were sent as it stands, or "" when there is nothing to say."""
    text = " ".join(typed.split())
    if changed := _CHANGE.fullmatch(text):
        attribute, value = _named(session, changed[1]), changed[2]
        if attribute is None:
            near = nearest(changed[1].lower(), (a.label for a in session.rulebase.attributes.values()))
            return f'Nothing is called "{changed[1]}".' + (f' Did you mean "{near}"?' if near else "")
    else:
        attribute, value = session.question, text
        if session.questions[1:] or any(
            not command.any_words and command.words.fullmatch(text) for command in COMMANDS
        ):
            return ""
    if attribute is None or attribute.name == "item" or not value or state_said(value):
        return ""
    try:
        answer_meant(attribute, value, session.units)
    except AnswerError as error:
        if attribute.numeric and not _AMOUNT.fullmatch(value):
            return ""
        if not attribute.numeric and (changed is None and _may_mean_something(session, typed)):
            return ""
        return capital(expected_said(with_labels(session.rulebase, error)))
    return ""


def _may_mean_something(session: Session, typed: str) -> bool:
    """Whether a line that is no value of the question could still become one, or be a sentence."""
    if completions(session, typed) or len(typed.split()) > 3:
        return True
    return bool(read_sentence(session.rulebase, typed, session.item(), session.units).answers)

"""Dangers that no line tells alone: a cord round the neck in one, a boy of eight in another; those denied and told."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from ..errors import shown
from ..read.ages import ages
from ..read.danger import RAISED, Raised, concept_of, dangers_of
from ..reasoning.facts import Answer
from ..rulebase.words import words_of
from .answering import accept
from .direct import asks_only

if TYPE_CHECKING:
    from .session import Session

MOST_LINES = 8
"""How far back lines are read together."""


def heard_together(session: Session, text: str) -> bool:
    """Keeps ``text`` beside the lines before it; True if together they raise a danger, which then stands open."""
    if not text or RAISED not in session.rulebase.attributes or asks_only(text):
        return False
    before, session.spoken = session.spoken, [*session.spoken, text][-MOST_LINES:]
    if not before:
        return False
    who = session.answers.get(ages(session.rulebase).attribute)
    # Whom it is for may have been picked from a list.
    picked = [session.said(ages(session.rulebase).attribute)] if who and who.values else []
    held = session.answers.get(RAISED, Answer(())).values
    found = [
        danger
        for danger in _dangers(session, ". ".join([*session.spoken, *picked]))
        if concept_of(session.rulebase, danger.concept).across
        and danger.state != "ruled_out"
        and danger.concept not in held
        and danger.attribute not in session.answers
    ]
    alone = {danger.concept for line in session.spoken for danger in _dangers(session, line)} if found else set[str]()
    new = [danger for danger in found if danger.concept not in alone]
    if new:
        concepts = tuple(dict.fromkeys(danger.concept for danger in new))
        accept(session, {RAISED: Answer((*held, *concepts), "known", "read", new[0].words)})
    return bool(new)


def told_since(session: Session, text: str, asked: Collection[str]) -> list[str]:
    """Opens again a danger that was denied and that a later line tells; what is said of it, empty for none.

    ``asked`` are the questions that the line may answer. What only raises the danger opens it once.
    """
    if not text or RAISED not in session.rulebase.attributes or asks_only(text):
        return []
    for danger in _dangers(session, text):
        said = session.answers.get(danger.attribute, Answer(()))
        mark = danger.words if danger.state == "applies" else danger.concept
        if danger.state == "ruled_out" or said.values != ("no",) or danger.attribute in asked or mark in session.denied:
            continue
        session.denied = {*session.denied, mark}
        before = session.said(danger.attribute)
        del session.answers[danger.attribute]
        held = session.answers.get(RAISED, Answer(())).values
        raised = tuple(dict.fromkeys((*held, danger.concept)))
        accept(session, {RAISED: Answer(raised, "known", "read", danger.words)})
        return [f"You said {shown(before)}, and now {shown(danger.words)}. Which is it?"]
    return []


def _dangers(session: Session, text: str) -> tuple[Raised, ...]:
    slug = session.item()
    thing = words_of(session.rulebase).things.get(slug) if slug else None
    bears = (thing.may_bear or None) if thing else None
    return dangers_of(session.rulebase, text, bears, stands=thing.name if thing else "")

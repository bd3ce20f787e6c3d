"""Which answers protect somebody, so that none of them is dropped without a yes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..read.danger import RAISED, concept_of
from ..read.lexicon import lexicon
from ..reasoning.facts import Answer

if TYPE_CHECKING:
    from .session import Session

PROTECTING = ("people", "limits", "wet")
"""Groups of which a set of values adds up: allergies, what is not used, what gets on it."""


def guards(session: Session, name: str) -> bool:
    """Whether what was said of ``name`` protects somebody: an allergy, a grave value, a danger that applies."""
    attribute, values = session.rulebase.attributes[name], session.answers[name].values
    if not values:
        return False
    if attribute.kind == "set" and attribute.group in PROTECTING and "none" not in values:
        return True
    grave, no = lexicon(session.rulebase).grave, ruled_out(session, name)
    return any((name, str(v)) in grave for v in values) or (no is not None and values != no.values)


def ruled_out(session: Session, name: str) -> Answer | None:
    """The no of a raised danger that ``name`` answers."""
    for concept in session.answers.get(RAISED, Answer(())).values:
        raw = concept_of(session.rulebase, str(concept))
        if raw.attribute == name and session.rulebase.attributes[name].kind == "yes_no":
            return Answer((raw.rules_out,), "known", "answered", "")
    return None

"""What is tried without being kept: "can I carve it", "does it come in brown". What would be different, if anything."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from ..errors import AnswerError
from ..read.danger import RAISED
from ..reasoning.difference import Move, moves
from ..reasoning.facts import Answer
from ..rulebase.models import RuleBase
from ..write.buying import stands
from ..write.explaining import goal_words, value_words
from ..write.page import capital, listed
from ..write.straight import withheld
from .comparing import changes_said, voice_of
from .matter import Matter

MOST_MOVES = 2
_OF_THE_ASKER = ("experience", "quantity")
"""Answers about who asks, which a question says in passing and does not ask about."""
_IN_PASSING = ("user_kind", "load_carrier")
_TOLD = ("tannage", "weight", "surface", "form", "cut", "grain", "temper", "species")
"""The parts of an order whose change is told, the telling ones first."""
_BEGINNING = re.compile(
    r"^(?:and |but |so |or )?(?:can|could|may|might|does|do|did|will|would|should|shall|is|are|was|has|must)(?:n't)? "
    r"(?:i|you|we|it|they|this|that|he|she|one|the (?:leather|thing))\b\s*",
    re.IGNORECASE,
)


def tried(matter: Matter, clause: str) -> list[str]:
    """What the order would be with the answers that a question speaks of; empty where it speaks of none."""
    changes = supposed_in(matter, _BEGINNING.sub("", clause))
    return tried_said(matter, changes) if changes and stands(matter.advice()) else []


def supposed_in(matter: Matter, clause: str) -> dict[str, Answer]:
    """The answers that a supposition speaks of, those of the asker and of who is named in passing left out."""
    if matter.item is None:
        return {}
    try:
        changes = changes_said(matter.rulebase, clause, matter.item, matter.units)
    except AnswerError:
        return {}
    changes = {n: a for n, a in changes.items() if n not in ("item", RAISED, *_OF_THE_ASKER)}
    if set(changes) - {*_IN_PASSING}:
        # "If he lunges at a cat": somebody who is named beside what is asked is not whom it is for.
        changes = {n: a for n, a in changes.items() if n not in _IN_PASSING}
    return changes


def tried_said(matter: Matter, changes: Mapping[str, Answer]) -> list[str]:
    """What the order would be with other answers, in a sentence or two."""
    said = listed(voice_of(matter).quoted(n, a) for n, a in changes.items())
    known = {n for n, a in changes.items() if (now := matter.answers.get(n)) and set(a.values) <= set(now.values)}
    if len(known) == len(changes):
        return [f"I reckon with {said} already, and the order is made for it."]
    after = matter.advice(changes)
    if not stands(after):
        return [f"If you say {said}, no order stands.", *withheld(matter.rulebase, after)[1:]]
    found = _moved(matter.rulebase, moves(matter.advice(), after))
    if not found:
        return [f"With {said} the order stays as it is."]
    return [f"With {said} another order is wanted, so say it if it is meant.", *found]


def _moved(rulebase: RuleBase, found: Sequence[Move]) -> list[str]:
    """What changes of the order, the leather first."""
    new = (m for m in found if m.about in _TOLD and m.after and m.after[:1] != m.before[:1])
    told = sorted(new, key=lambda m: _TOLD.index(m.about))
    return [
        f"{capital(goal_words(m.about).removeprefix('the '))}: {value_words(rulebase, m.about, m.after[:1])}"
        f" instead of {value_words(rulebase, m.about, m.before[:1]) or 'none'}."
        for m in told[:MOST_MOVES]
    ]

"""What a size or another answer is called in a conversation: by its label, its question, or its value."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

from ..read.lexicon import fold, folded, lexicon
from ..rulebase.models import Attribute
from ..rulebase.saying import asked

if TYPE_CHECKING:
    from .session import Session

_ALIKE = {
    "width": "wide",
    "length": "long",
    "height": "high",
    "tall": "high",
    "depth": "deep",
    "thickness": "thick",
    "weight": "heavy",
    "weigh": "heavy",
    "color": "colour",
}
"""Sides as they are called and as they are asked for."""
_EMPTY = folded(
    """the a an my his her its their your our of in on for is are it that this be not no i mean size how to what which
    when will and or thing one mm cm inch inches well yes ok sorry actually hey cant you read just dont want need
    should must can does do has have was were idea know said told anyway then now please he she they we"""
)


def called_so(session: Session, words: str) -> Attribute | None:
    """What the words name of what was said or of what the thing has; None for nothing, or for more than one.

    All words must be among those of its label, its question and how it is told, in the words of the thing.
    """
    item, attributes = session.item() or "", session.rulebase.attributes
    key = words_in(words)
    if not key:
        return None
    uses = lexicon(session.rulebase).uses.get(item, frozenset())
    for names in ([n for n in session.answers if n in attributes], [n for n in attributes if n in uses]):
        found = [attributes[n] for n in names if key <= bag(session, attributes[n], item)]
        named = [a for a in found if key & words_in(a.name.replace("_", " "))] if len(found) > 1 else found
        if len(named) > 1:
            named = [a for a in named if words_in(a.name.replace("_", " ")) == key] or named
        if len(named) > 1:
            named = [a for a in named if words_in(a.label) <= key] or named
        if len(named) == 1:
            return named[0]
    return None


def bag(session: Session, attribute: Attribute, item: str) -> frozenset[str]:
    """The words that an attribute is called and told by."""
    own = asked(session.rulebase, attribute.name, item)
    parts: Iterable[str] = (attribute.name.replace("_", " "), attribute.label, own.question, own.say, *attribute.cues)
    held = session.answers.get(attribute.name)
    if held is not None and not attribute.numeric:
        parts = (*parts, session.said(attribute.name))
    return frozenset(w for part in parts for w in words_in(part))


def words_in(text: str) -> frozenset[str]:
    """The words that name something, each as one form; the sides alike as they are called and asked for."""
    found = (
        w for w in re.findall(r"[a-z]+", text.lower().replace("'s", "")) if w not in _EMPTY and fold(w) not in _EMPTY
    )
    return frozenset(_ALIKE.get(w, _ALIKE.get(fold(w), fold(w))) for w in found)

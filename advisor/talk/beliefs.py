"""A belief that stands in a question is said to be so or not, before what is asked besides."""

from __future__ import annotations

import re

from ..read.beliefs import beliefs_in
from ..read.questions import belief_asked
from .direct import topic_said
from .matter import Matter
from .objects import objects_in

_BETTER = re.compile(r"\b(?:really|truly|actually|honestly)\b.*\b(?:better|stronger|best|worth|last)\b", re.IGNORECASE)
"""What asks whether something is as it is said to be: "is horse really better than cow"."""

_STANDS_FOR = re.compile(r"^(?:that|it|this|those|they|these)\b")


def belief_told(matter: Matter, text: str) -> list[str]:
    """Whether what ``text`` takes to be so is so, in a sentence or two; empty where nothing known is believed."""
    named = objects_in(matter.rulebase, text.lower())
    for said in (*beliefs_in(text), *([text] if _BETTER.search(text) else [])):
        # "Why not chrome, I thought that was the waterproof one" is believed of chrome.
        belief = _STANDS_FOR.sub(named[0].words, said, count=1) if named else said
        if (topic := belief_asked(matter.rulebase, belief)) and (told := topic_said(matter, topic, belief)):
            return told
    return []

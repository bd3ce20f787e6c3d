"""A belief that stands in a question is said to be so or not, before what is asked besides."""

from __future__ import annotations

import re

from ..read.beliefs import beliefs_in
from ..read.questions import belief_asked
from .direct import topic_said
from .matter import Matter

_BETTER = re.compile(r"\b(?:really|truly|actually|honestly)\b.*\b(?:better|stronger|best|worth|last)\b", re.IGNORECASE)
"""What asks whether something is as it is said to be: "is horse really better than cow"."""


def belief_told(matter: Matter, text: str) -> list[str]:
    """Whether what ``text`` takes to be so is so, in a sentence or two; empty where nothing known is believed."""
    for belief in (*beliefs_in(text), *([text] if _BETTER.search(text) else [])):
        if (topic := belief_asked(matter.rulebase, belief)) and (said := topic_said(matter, topic, belief)):
            return said
    return []

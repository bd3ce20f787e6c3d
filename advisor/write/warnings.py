"""The cautions of an advice for a person: what stops, what to mind, and what only they can rule out."""

from __future__ import annotations

from ..reasoning.advice import Advice, CautionView
from ..rulebase.models import RuleBase

MOST_CAUTIONS = 4
LIMITS_OF_USE = "limits_of_use"
"""The caution that stands under every order of what somebody could trust a load or a body to."""


def stops(advice: Advice) -> list[CautionView]:
    """Every stop that applies; each is always said whole."""
    return [c for c in advice.cautions_told if c.severity == "stop" and c.status == "applies"]


def to_mind(advice: Advice) -> list[CautionView]:
    """The cautions that apply and can be met by this thing, the most harmful first."""
    return [c for c in advice.cautions_told if c.severity == "caution" and c.status == "applies" and c.relevant]


def notes(advice: Advice) -> list[CautionView]:
    """The notes that apply and can be met by this thing."""
    return [c for c in advice.cautions_told if c.severity == "note" and c.status == "applies" and c.relevant]


def still_open(advice: Advice) -> list[CautionView]:
    """What nobody has ruled out and this thing can meet, stops before cautions."""
    return [c for c in advice.cautions_told if c.status != "applies" and c.severity != "note" and c.relevant]


def told_if(rulebase: RuleBase, cautions: list[CautionView]) -> str:
    """What a person is to tell, of cautions that are open."""
    return f"{'; '.join(dict.fromkeys(rulebase.cautions[c.id].tell_if or c.about for c in cautions))}."


def words(caution: CautionView) -> str:
    """What a caution says, and whom to ask."""
    return f"{caution.text}{f' Ask: {caution.defer_to}.' if caution.defer_to else ''}"

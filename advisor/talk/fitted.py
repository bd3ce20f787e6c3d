"""A usual fitting that is named takes none of the others away: a collar "with a brass buckle" keeps its ring."""

from __future__ import annotations

import re
from collections.abc import Mapping

from ..read.purposes import purposes
from ..reasoning.facts import Answer
from ..rulebase.models import RuleBase

_ALONE = re.compile(r"\b(?:only|just|nothing but|no|not|without|except|instead)\b", re.IGNORECASE)


def without_usual_fittings(
    rulebase: RuleBase, item: str | None, text: str, answers: Mapping[str, Answer]
) -> dict[str, Answer]:
    """The answers without fittings that the thing has anyway, unless the line says that it has no others."""
    made = rulebase.items.get(item or "")
    if made is None or _ALONE.search(text):
        return dict(answers)
    usual = {name: set(made.supposes.get(name, ())) for name in purposes(rulebase).fixtures}
    return {
        name: answer
        for name, answer in answers.items()
        if answer.origin != "read" or not (answer.values and set(answer.values) < usual.get(name, set()))
    }

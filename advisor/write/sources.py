"""Where a conclusion or a saying is known from, as a sentence: its grade, its source and the rule it hangs on."""

from __future__ import annotations

from collections.abc import Sequence

from ..reasoning.advice import Advice
from ..rulebase.models import RuleBase
from .counsel import GRADE_CALLED
from .names import attribute_called
from .page import capital
from .reasons import beyond, bound_because, only_a_range

_FORMS = ("form", "amount")


def rests_on(rulebase: RuleBase, advice: Advice, conclusion: str) -> list[str]:
    """What a conclusion rests on at its weakest, and the reason of the rule that decides it."""
    grade = next((e for e in advice.evidence if e.conclusion == conclusion), None)
    if grade is None:
        return [said_from(rulebase, "common practice", ())]
    rule = rulebase.rules.get(grade.by)
    source = rule.source if rule else ()
    name = attribute_called(rulebase, conclusion) if conclusion != "weight" else "thickness"
    if conclusion in _FORMS:
        name = "amount"
        because = (
            "the pieces are laid out by size; the share lost to edges, curves and faults is the trade's rule of thumb."
        )
    elif conclusion == "weight":
        because = _thickness(rulebase, advice)
    else:
        because = _choice(advice, conclusion)
    return [f"The {name} rests on {_grade(rulebase, grade.grade, source)}.{f' {capital(because)}' if because else ''}"]


def _thickness(rulebase: RuleBase, advice: Advice) -> str:
    item = str(advice.facts["item"].value) if "item" in advice.facts else None
    bounds = sorted((b for b in advice.decisions.weight.bounds if b.binding), key=lambda b: only_a_range(b.because))
    told = [(b.side, bound_because(rulebase, item, b.rule, b.side, b.because)) for b in bounds]
    return next((beyond(side, text) if text.startswith("It ") else text for side, text in told), "")


def _choice(advice: Advice, conclusion: str) -> str:
    choice = advice.decisions.choices().get(conclusion)
    if choice is None or not choice.chosen:
        return ""
    own = [e for e in choice.ledger if e.candidate == choice.chosen[0] and e.act in ("favour", "require") and e.counts]
    return own[0].because if own else ""


def said_from(rulebase: RuleBase, grade: str, source: Sequence[str]) -> str:
    """The grade and source of something told, as a sentence."""
    if grade == "common practice":
        return "That is common practice among makers: what they tell one another and find at the bench,"
        " with no source to cite and no measured figure."
    return f"That rests on {_grade(rulebase, grade, source)}."


def _grade(rulebase: RuleBase, grade: str, source: Sequence[str]) -> str:
    called = GRADE_CALLED[grade]
    title = next((rulebase.sources[s].title for s in source if s in rulebase.sources), "")
    return f"{called} ({title})" if title else called

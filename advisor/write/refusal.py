"""What is said where no order stands: what to do instead, whom to ask, and the ways out that help."""

from __future__ import annotations

from ..reasoning.advice import Advice, Conflict, OpenQuestion
from ..rulebase.models import RuleBase
from .catalogue import tell
from .names import attribute_called, thing_called
from .page import SEVERITY_WORDS, Page, capital, listed, verdict_words
from .warnings import stops, words

MOST_WAYS, MOST_REASONS = 4, 3
UNKNOWN = "I do not know yet what you are making, so I name no leather."
WHICH = "Which of these it is decides the leather, so I name none yet."


def no_order(rulebase: RuleBase, page: Page, advice: Advice, examples: bool = False) -> None:
    """Why nothing is ordered, with neither leather, thickness, form nor amount.

    With ``examples`` each question of a danger is followed by words that answer it, for whoever is not asked.
    """
    item = advice.facts.get("item")
    name = capital(thing_called(rulebase, str(item.value) if item else ""))
    barred = advice.no_order or advice.outcome == "defer"
    if name:
        page.add(f"{name}: {verdict_words(advice) if barred else 'no order yet'}.")
    else:
        without_recipe = advice.reading is not None and any(d.code == "no_recipe" for d in advice.reading.doubts)
        if barred or not without_recipe:
            page.add(f"{capital(verdict_words(advice))}." if barred else unknown(advice))
    for question in advice.dangers:
        page.add(danger_words(question), 2, "? ")
        if examples:
            page.add(said_with_the_rest(rulebase, question), 4)
    _reasons(rulebase, page, advice)
    for caution in stops(advice):
        page.add(words(caution), 2, f"{SEVERITY_WORDS['stop']}: ")
    for conflict in advice.conflicts:
        clash(rulebase, page, conflict)
    if name and not barred and not advice.conflicts:
        open_ = advice.decisions.weight.open or advice.decisions.form.open or advice.decisions.amount.open
        page.add(f"Open: {tell(open_, rulebase) if open_ else 'a part of it cannot be bought as it stands'}.", 2)


def unknown(advice: Advice) -> str:
    """What is said where the thing is open: that it is one of those offered, or that nothing is known of it."""
    return WHICH if advice.reading and advice.reading.candidates else UNKNOWN


def danger_words(question: OpenQuestion) -> str:
    """The question that a raised danger waits for, with why it is asked first."""
    return f"{question.question} {question.danger}"


def said_with_the_rest(rulebase: RuleBase, question: OpenQuestion) -> str:
    """Words for each answer to a question, to be said together with the thing."""
    values = rulebase.attributes[question.attribute].values
    words = listed((f'"{values[v].words[0]}"' for v in question.values if values[v].words), "or")
    return f"Say it with the rest{f', for example {words}' if words else ''}."


def _reasons(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    """The rules behind the outcome, each with what to do instead."""
    told = {r.rule for c in advice.conflicts for r in c.reasons}
    reasons = [
        r
        for r in advice.outcome_reasons
        if r.verdict == advice.verdict and r.rule not in told and r.outcome != "undecided"
    ]
    for reason in reasons:
        page.add(reason.because, 2)
    instead = (remedy for r in reasons for remedy in rulebase.rules[r.rule].remedies)
    for remedy in dict.fromkeys(instead):
        page.add(remedy, 2, "Instead: ")


def clash(rulebase: RuleBase, page: Page, conflict: Conflict, most: int = MOST_WAYS) -> None:
    """What cannot be had together, why, and at most so many ways out."""
    page.add(f"These cannot both be had: {attribute_called(rulebase, conflict.about)}.", 2)
    for reason in conflict.reasons[: min(most, MOST_REASONS)]:
        page.add(reason.because, 4, "- ")
    for way in conflict.resolutions[:most]:
        page.add(tell(way, rulebase), 2, "Way out: ")

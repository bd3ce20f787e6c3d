"""What is said where no order stands: what to do instead, whom to ask, and the ways out that help."""

from __future__ import annotations

from ..leather.units import show_window
from ..reasoning.advice import Advice, Conflict, DangerQuestion
from ..rulebase.load import SOLD
from ..rulebase.models import RuleBase
from .catalogue import tell
from .names import attribute_called, called, thing_called
from .page import SEVERITY_WORDS, Page, capital, listed, verdict_words
from .warnings import stops, words

MOST_WAYS, MOST_REASONS = 4, 3
WISH_LEFT_OUT = "wish_left_out"
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


def danger_words(question: DangerQuestion) -> str:
    """The question that a raised danger waits for, with why it is asked first."""
    return f"{question.question} {question.danger}"


def said_with_the_rest(rulebase: RuleBase, question: DangerQuestion) -> str:
    """Words for each answer to a question, to be said together with the thing."""
    values = rulebase.attributes[question.attribute].values
    words = listed((f'"{values[v].words[0]}"' for v in question.values if values[v].words), "or")
    return f"Ask again and add {words}." if words else "Ask again and add the answer."


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
    if conflict.outcome.code == WISH_LEFT_OUT:
        _left_out(rulebase, page, conflict)
        return
    both = f"These cannot both be had: {attribute_called(rulebase, conflict.about)}."
    if not conflict.reasons:
        # No rule stands against another; what it comes to says it alone.
        both = f"{capital(attribute_called(rulebase, conflict.about))}: {tell(conflict.outcome, rulebase)}."
    page.add("No thickness is right for both of these:" if conflict.about == "weight" else both, 2)
    for reason in conflict.reasons[: min(most, MOST_REASONS)]:
        page.add(reason.because, 4, "- ")
    for way in conflict.resolutions[:most]:
        page.add(tell(way, rulebase), 2, "Way out: ")


def wishes_left_out(advice: Advice) -> dict[str, str]:
    """By decision, the candidate that was asked for and is not ordered."""
    of = (c.outcome.params for c in advice.conflicts if c.outcome.code == WISH_LEFT_OUT)
    return {str(params["decision"]): str(params["candidate"]) for params in of}


def _left_out(rulebase: RuleBase, page: Page, conflict: Conflict) -> None:
    """Why somebody does not get what was asked for by name, and the way to have it all the same."""
    decision, candidate = (str(conflict.outcome.params[p]) for p in ("decision", "candidate"))
    against = next((r for r in reversed(conflict.reasons) if not r.says.startswith("favour ")), None)
    because = against.because if against else ""
    maker, _, rule = against.rule.rpartition("/") if against else ("", "", "")
    sold = rulebase.decisions[decision].candidates[candidate].properties
    item = rulebase.items.get(maker)
    if rule == SOLD and item and item.weight:
        low, high = (float(sold[name]) for name in ("thinnest", "thickest"))
        one = rulebase.attributes["item"].values[maker].one()
        needs = show_window(item.weight.min, item.weight.max)
        because = f"It is sold {show_window(low, high)} thick, and {one} takes {needs}."
    page.add(f"{capital(called(rulebase, decision, candidate))} is left out, though you asked for it. {because}", 2)
    for way in conflict.resolutions[:1]:
        page.add(tell(way, rulebase), 2, "Way out: ")

"""Why a question is asked, what each answer to it would do, and why the questions end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..leather.units import Units, show
from ..reasoning.interview import WEIGHT, Ask, Part, preview, stop
from ..reasoning.standing import Goal, standing
from ..rulebase.models import NO_ORDER, Attribute, Value
from .comparing import goal_words, value_words
from .leaning import case_lines
from .matter import Matter
from .page import capital, listed, plain

MOST_VALUES = 6


def why_asked(asks: Sequence[Ask]) -> str:
    """The computed reason for a question, or for some that are put together, in one sentence."""
    moved = {goal for ask in asks for goal in ask.moves}
    moves = sorted(sorted(moved), key=lambda g: (g == "outcome", -WEIGHT.get(g, 1.0)))
    goals = [goal_words(g) for g in moves if g not in ("conflicts", "outcome")]
    if not moves:
        return "Asked for safety; the order stays as it is."
    if not goals:
        return f"It can change {'whether leather suits it at all' if 'outcome' in moves else 'a conflict'}."
    return f"It can change {listed([*goals[:2], 'more'] if len(goals) > 2 else goals)}."


def explained(matter: Matter, question: Attribute) -> list[str]:
    """What a question means and what can be said."""
    page = matter.page()
    page.add(question.help)
    if question.name == "item":
        page.add(f"I know: {listed(sorted(i.name for i in matter.rulebase.items.values()))}.")
    elif question.kind in ("choice", "set", "yes_no"):
        for value in question.values.values():
            page.add(f"{plain(value.slug)}: {value.means}", 2)
    elif question.low is not None and question.high is not None:
        least, most = (show(end, question.unit, matter.units) for end in (question.low, question.high))
        page.add(f"Anything from {least} to {most}.")
    if question.dont_know:
        page.add(f"Don't know: {question.dont_know}.")
    return page.lines


def preview_lines(matter: Matter, attribute: Attribute) -> list[str]:
    """What each answer would do to the order as it stands."""
    run = matter.run()
    parts = preview(run, attribute)
    page = matter.page()
    if all(not part.moves for part in parts):
        page.add("No answer to it changes the order; it is asked for safety or for the cautions.")
        return page.lines
    held = run.fixed(attribute.name)
    for part in parts:
        what = effect_words(part.moves, part.becomes)
        page.add(f"{capital(_which(attribute, part, matter.units))}: {what}.", 2, "- ")
    if attribute.numeric:
        page.add("Where it turns between two of these is said by \"what would change\".", 2)
    if not held:
        page.add("Without an answer nothing is supposed.", 2)
    return page.lines


def _which(attribute: Attribute, part: Part, units: Units) -> str:
    if attribute.numeric:
        first, last = (show(float(v), attribute.unit, units) for v in part.values)
        return first if first == last else f"{first} to {last}"
    values = [_value(attribute, v, units) for v in part.values]
    if len(values) > MOST_VALUES:
        return f"{listed(values[:MOST_VALUES], 'or')} and {len(values) - MOST_VALUES} more"
    return listed(values, "or")


def _value(attribute: Attribute, value: Value, units: Units) -> str:
    return show(value, attribute.unit, units) if isinstance(value, float) else plain(value)


def effect_words(moves: Sequence[Goal], becomes: Mapping[Goal, frozenset[Value]]) -> str:
    """What an answer does: the parts of the order that it changes, and to what."""
    if not moves:
        return "as now"
    outcome = becomes.get("outcome", frozenset())
    if any(o in NO_ORDER for o in outcome):
        return value_words("outcome", sorted(map(str, outcome)))
    named = [_goal(goal, becomes) for goal in moves if goal not in ("conflicts", "amount", "outcome")]
    if "conflicts" in moves and becomes["conflicts"]:
        named.append("a conflict")
    if not named and outcome:
        return value_words("outcome", sorted(map(str, outcome)))
    if not named:
        return "another amount" if "amount" in moves else listed(goal_words(g) for g in moves) + " changes"
    return "; ".join(named)


def _goal(goal: Goal, becomes: Mapping[Goal, frozenset[Value]]) -> str:
    words = value_words(goal, sorted(map(str, becomes[goal])))
    return f"{goal_words(goal).removeprefix('the ')} {words or 'open'}"


def end_lines(matter: Matter) -> list[str]:
    """Whether an answer could still change the order, and which; cases for what is not known."""
    run = matter.run()
    if any(o in NO_ORDER for o in standing(run).order["outcome"].may):
        return []
    found = stop(run, matter.answers)
    page = matter.page()
    count = len(found.looked_at)
    moving = [a for a in found.open if a.name not in matter.answers]
    if moving:
        questions = "1 question" if len(moving) == 1 else f"{len(moving)} questions"
        page.add(f"{questions} could still change this order, {plain(moving[0].name)} first of all. "
                 f"Nobody answered them, so the usual was supposed where there is one.")  # fmt: skip
    elif found.all_answers:
        page.add(f"No further answer would change this order, nor would any answers to all {count} questions together.")
    else:
        page.add(f"No further answer would change this order: each answer to the {count} open questions was tried.")
    unknown = [a.name for a in found.open if a.name in matter.answers]
    if unknown:
        page.add(f"It does hang on what you do not know: {listed(plain(n) for n in unknown)}.")
        page.lines += case_lines(matter)
    return page.lines

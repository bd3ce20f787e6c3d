"""How a question is put, why it is asked, what each answer to it would do, and why the questions end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from ..leather.units import show
from ..reasoning.advice import Advice
from ..reasoning.interview import WEIGHT, Ask, Part, left_to_say, preview
from ..reasoning.standing import Goal, standing
from ..rulebase.asking import examples
from ..rulebase.models import NO_ORDER, Attribute, RuleBase, Value
from ..rulebase.saying import asked
from ..write.explaining import goal_words, value_words
from ..write.names import answer_said, attribute_called, values_called
from ..write.page import capital, listed, numbered_lines
from .checking import PROMPT
from .enter import enter_words, meaning
from .looping import in_other_words, turned_round
from .matter import Matter

if TYPE_CHECKING:
    from .session import Session

MOST_VALUES = 6
MOST_STRETCHES = 6


def question_lines(session: Session) -> list[str]:
    """The open question as it is put: its number, what Enter does, the choices with their numbers."""
    if session.checking:
        return [PROMPT]
    questions = session.questions
    if not questions:
        return []
    if len(questions) > 1:
        return [f"{_place(session)}{' '.join(_asked(session, q) for q in questions)}", _together(session)]
    question = questions[0]
    if turned_round(session, question):
        return in_other_words(session, question)
    several = "one or more; " if question.kind == "set" else ""
    head = f"{_place(session)}{_asked(session, question)}  ({several}{enter_words(session, question)})"
    return [head, *choice_lines(question, session.width)] if question.name != "item" else [head]


def _asked(session: Session, question: Attribute) -> str:
    """A question in the words of the thing that is made."""
    return asked(session.rulebase, question.name, session.item() or "").question


def _place(session: Session) -> str:
    """Which question of how many; nothing for the thing itself, one put once more, or one that a danger waits for."""
    question = session.questions[0]
    if question.name == "item" or question.name in session.answers or not session.number:
        return ""
    if meaning(session, question).does == "ask":
        return "Safety first.  "
    return f"{session.number} of {session.number - 1 + session.left}  "


def _together(session: Session) -> str:
    """What to answer in one line, and what Enter takes of it."""
    named = listed(attribute_called(session.rulebase, q.name) for q in session.questions)
    each = (_taken(session, q) for q in session.questions)
    return f"{capital(named)}, in one line  (Enter: {'; '.join(each)})"


def _taken(session: Session, question: Attribute) -> str:
    found = meaning(session, question)
    return answer_said(session.rulebase, question.name, found.values, session.item(), session.units)


def choice_lines(question: Attribute, width: int) -> list[str]:
    """The choices with the numbers that pick them."""
    if question.numeric or not question.values:
        return []
    return numbered_lines((value.label for value in question.values.values()), width)


def example_lines(rulebase: RuleBase) -> list[str]:
    """Sentences ready to be typed, each behind what it is an example of."""
    found = [f"  {capital(kind)}: {say}" for kind, say in examples(rulebase)]
    return found or ["Say what it is for and how big it is, in your own words."]


def safety_reason(asks: Sequence[Ask], advice: Advice) -> list[str]:
    """Why a question is put that may hurt somebody: what a raised danger comes to, or that it is for safety."""
    reasons = {question.attribute: question.danger for question in advice.dangers}
    said = [reason for ask in asks if (reason := reasons.get(ask.name))]
    return said or (["This one is for safety."] if any(ask.safety for ask in asks) else [])


def why_asked(asks: Sequence[Ask]) -> str:
    """The computed reason for a question, or for some that are put together, in one sentence."""
    moved = {goal for ask in asks for goal in ask.moves}
    moves = sorted(sorted(moved), key=lambda g: (g == "outcome", -WEIGHT.get(g, 1.0)))
    goals = [goal_words(g) for g in moves if g not in ("conflicts", "outcome")]
    if not moves:
        safety = any(ask.safety for ask in asks)
        return "Asked for safety; the leather stays as it is." if safety else "The order has to name it."
    if "tannage" in moves:
        return "This decides which leather you need."
    if not goals:
        return f"It can change {'whether leather suits it at all' if 'outcome' in moves else 'a conflict'}."
    return f"It can change {listed([*goals[:2], 'more'] if len(goals) > 2 else goals)}."


def explained(matter: Matter, question: Attribute) -> list[str]:
    """What a question means and what can be said."""
    page = matter.page()
    page.add(asked(matter.rulebase, question.name, matter.item or "").help)
    if question.name == "item":
        page.add(f"I know: {listed(sorted(i.name for i in matter.rulebase.items.values()))}.")
    elif question.kind in ("choice", "set", "yes_no"):
        for value in question.values.values():
            page.add(f"{value.label}: {value.means}" if value.means != value.label else value.label, 2)
    elif question.low is not None and question.high is not None:
        least, most = (show(end, question.unit, matter.units) for end in (question.low, question.high))
        page.add(f"Anything from {least} to {most}.")
    if question.dont_know:
        page.add(f"If you are not sure: {question.dont_know}.")
    return page.lines


def preview_lines(matter: Matter, attribute: Attribute) -> list[str]:
    """What each answer would do to the order as it stands."""
    run = matter.run()
    parts = preview(run, attribute)
    page = matter.page()
    if all(not part.moves for part in parts):
        page.add("No answer to it changes the order; it is asked for safety or for the cautions.")
        return page.lines
    for which, what in (_numbers if attribute.numeric else _words)(matter, attribute, parts):
        page.add(f"{capital(which)}: {what}.", 2, "- ")
    if not run.fixed(attribute.name):
        page.add("Without an answer I assume nothing.", 2)
    return page.lines


def _words(matter: Matter, attribute: Attribute, parts: Sequence[Part]) -> list[tuple[str, str]]:
    """Answers in words, and what they do."""
    told = []
    for part in parts:
        values = [values_called(matter.rulebase, attribute.name, [v], matter.units) for v in part.values]
        more = len(values) - MOST_VALUES
        which = f"{listed(values[:MOST_VALUES], 'or')} and {more} more" if more > 0 else listed(values, "or")
        told.append((which, effect_words(matter.rulebase, part.moves, part.becomes)))
    return told


def _numbers(matter: Matter, attribute: Attribute, parts: Sequence[Part]) -> list[tuple[str, str]]:
    """Stretches of numbers, and what they do. Where they are many, neighbours that move the same are told as one."""
    runs = [[part] for part in parts]
    if len(parts) > MOST_STRETCHES:
        runs = [list(alike) for _, alike in groupby(parts, key=lambda p: p.moves)]
    told: list[tuple[Value, Value, bool, str]] = []
    for first, last in ((run[0], run[-1]) for run in runs):
        what, then = (effect_words(matter.rulebase, part.moves, part.becomes) for part in (first, last))
        what = what if what == then else f"{what}, step by step to {then}"
        start, proven = first.values[0], first is not last or first.proven
        if told and told[-1][3] == what:
            start, proven = told.pop()[0], False
        told.append((start, last.values[-1], proven, what))
    return [(_stretch(matter, attribute, start, end, proven), what) for start, end, proven, what in told]


def _stretch(matter: Matter, attribute: Attribute, start: Value, end: Value, proven: bool) -> str:
    first, last = (values_called(matter.rulebase, attribute.name, [v], matter.units) for v in (start, end))
    return first if first == last else f"{first} to {last}{'' if proven else ', as far as I tried'}"


MOST_UNKNOWN = 5
"""Of what was left open these are named at the end, and the rest counted."""


def effect_words(rulebase: RuleBase, moves: Sequence[Goal], becomes: Mapping[Goal, frozenset[Value]]) -> str:
    """What an answer does: the parts of the order that it changes, and to what."""
    if not moves:
        return "as now"
    outcome = becomes.get("outcome", frozenset())
    if any(o in NO_ORDER for o in outcome):
        return value_words(rulebase, "outcome", sorted(map(str, outcome)))
    clash = "conflicts" in moves and bool(becomes["conflicts"])
    told = [g for g in moves if g not in ("conflicts", "amount", "outcome") and (becomes[g] or not clash)]
    named = [_goal(rulebase, goal, becomes) for goal in told]
    if clash:
        named.append("a conflict")
    if not named and outcome:
        return value_words(rulebase, "outcome", sorted(map(str, outcome)))
    if not named:
        changed = f"{listed(goal_words(g) for g in moves)} {'change' if len(moves) > 1 else 'changes'}"
        return "another amount" if "amount" in moves else changed
    return "; ".join(named)


def _goal(rulebase: RuleBase, goal: Goal, becomes: Mapping[Goal, frozenset[Value]]) -> str:
    words = value_words(rulebase, goal, sorted(map(str, becomes[goal])))
    if words and goal in ("tannage", "form"):
        return words
    return f"{goal_words(goal).removeprefix('the ')} {words or 'open'}"


def end_lines(matter: Matter) -> list[str]:
    """Whether an answer could still change the order."""
    run = matter.run()
    if any(o in NO_ORDER for o in standing(run).order["outcome"].may):
        return []
    others, left_open = left_to_say(run, matter.answers)
    page = matter.page()
    if others:
        page.add('I used the usual answers for the rest. "more" goes through them.')
    else:
        page.add("No further answer would change this order.")
    unknown = [ask.name for ask in left_open]
    if unknown:
        more = [f"{len(unknown) - MOST_UNKNOWN} more"] if len(unknown) > MOST_UNKNOWN else []
        named = listed([*(attribute_called(matter.rulebase, n) for n in unknown[:MOST_UNKNOWN]), *more])
        page.add(f'It depends on what you left open: {named}. "cases" compares.')
    return page.lines

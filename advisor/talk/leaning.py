"""What the advice leans on: what would change it, which answers are enough, suppositions, cases.

Nothing is concluded here, and nothing asked here changes an answer.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import AnswerError
from ..leather.units import Units, show
from ..reasoning.advice import Advice
from ..reasoning.clashes import entangled
from ..reasoning.facts import Answer
from ..reasoning.interview import preview
from ..reasoning.possibility import Possibility
from ..reasoning.standing import Goal
from ..reasoning.tipping import Tip, by_cases, enough, leaning, tips
from ..rulebase.models import RuleBase, Value
from .comparing import answer_words, goal_words, value_words
from .matter import Matter
from .naming import bare, goal_named, near_name
from .page import Page, capital, listed, plain, verdict_words

MOST_TIPS = 6
MOST_SUPPOSED = 8


def tip_lines(matter: Matter, text: str) -> list[str]:
    """The answers nearest to changing a part of the order. Raises AnswerError for no part of it."""
    goal = goal_named(matter.rulebase, text)
    if goal is None:
        goals = [*matter.rulebase.decisions, "amount", "outcome"]
        near = near_name(matter.rulebase, text)
        raise AnswerError("what would change", bare(text), f"expected one of: {', '.join(goals)}", near)
    run = matter.run()
    found = tips(run, goal)
    page = matter.page()
    if not found.found:
        page.add(f"No other single answer changes {goal_words(goal)}.")
        return page.lines
    shown = _one_each(found.found)
    page.add(f"{capital(goal_words(goal))} would change:")
    for tip in shown[:MOST_TIPS]:
        page.add(_tip_words(matter.rulebase, run, goal, tip, matter.units), 2, "- ")
    more = len({t.change[0] for t in found.found}) - len(shown[:MOST_TIPS])
    if more > 0:
        page.add(f"and by {more} more question{'s' if more > 1 else ''}.", 2)
    page.add(f"The other {len(found.safe)} questions cannot change it one at a time.")
    return page.lines


def _one_each(found: Sequence[Tip]) -> list[Tip]:
    """The easiest of each question, both sides of a number."""
    seen: set[tuple[str, str]] = set()
    kept = []
    for tip in found:
        key = (tip.change[0], tip.side)
        if key not in seen:
            seen.add(key)
            kept.append(tip)
    return kept


def _tip_words(rulebase: RuleBase, run: Possibility, goal: Goal, tip: Tip, units: Units) -> str:
    name, answer = tip.change
    attribute = rulebase.attributes[name]
    if attribute.numeric:
        value = show(float(answer.values[0]), attribute.unit, units)
        held = run.fixed(name)
        now = f" (now {show(float(held[0]), attribute.unit, units)})" if held else ""
        when = f"{tip.side or 'at'} {value} of {plain(name)}{now}"
    else:
        when = f"if {answer_words(rulebase, name, answer, units)}"
    becomes = sorted(str(v) for v in tip.becomes)
    if goal == "amount":
        return f"{when}."
    if not becomes:
        return f"{when}: no order stands."
    words = value_words(goal, becomes)
    return f"{when}: {'a conflict' if words == 'conflict' else words}."


# -- what it leans on


def enough_lines(matter: Matter, text: str) -> list[str]:
    """Which answers settle a part of the order, or all of it."""
    goal = goal_named(matter.rulebase, text) if text else None
    run = matter.run()
    goals = [goal] if goal else [*matter.rulebase.decisions, "outcome"]
    kept = enough(run, goals)
    page = matter.page()
    about = goal_words(goal) if goal else "the order but for the amount"
    known = [n for n, a in matter.answers.items() if a.state != "don't know"]
    said = [answer_words(matter.rulebase, n, matter.answers[n], matter.units) for n in known if n in kept]
    if not said:
        page.add(f"None of your answers is needed for {about}.")
        return page.lines
    verb = "settles" if len(said) == 1 else "settle"
    page.add(f"{len(said)} of your {len(known)} answers {verb} {about}: {listed(said)}.")
    rest = [plain(n) for n in known if n not in kept]
    if rest:
        page.add(f"Whatever you had said of {listed(rest, 'or')}, it would be the same.")
    return page.lines


def safe_lines(matter: Matter) -> list[str]:
    """Other answers, one at a time, under which the order stays as it is."""
    run, page = matter.run(), matter.page()
    for name, answer in matter.answers.items():
        attribute = matter.rulebase.attributes.get(name)
        if attribute is None or name == "item" or attribute.ask == "never" or answer.state != "known":
            continue
        same = [p for p in preview(run, attribute) if not p.moves]
        values = [v for p in same for v in p.values if v not in answer.values and ", " not in str(v)]
        if attribute.numeric and same:
            ends = [show(float(v), attribute.unit, matter.units) for v in (same[0].values[0], same[-1].values[-1])]
            said = f"from {ends[0]} to {ends[1]} only the amount changes"
        else:
            said = listed((plain(str(v)) for v in values), "or") or "nothing else"
        page.add(f"{plain(name)}: {said}.", 2, "- ")
    if not page.lines:
        return ["You have not given an answer that could be another one."]
    return ["These would leave the order as it is, one at a time:", *page.lines]


def supposed_lines(matter: Matter) -> list[str]:
    """What was taken for granted, what moves most first."""
    run = matter.run()
    found = leaning(run)
    page = matter.page()
    moving = [(n, goals) for n, goals in found if goals]
    if not found:
        page.add("Nothing was supposed.")
        return page.lines
    page.add("Supposed, because nobody said so; what could change most comes first:")
    for name, goals in moving[:MOST_SUPPOSED]:
        held = Answer(run.fixed(name) or ())
        page.add(f"{answer_words(matter.rulebase, name, held, matter.units)}; another answer could change "
                 f"{listed(goal_words(g) for g in goals if g != 'conflicts') or 'a conflict'}.", 2, "- ")  # fmt: skip
    if len(moving) > MOST_SUPPOSED:
        page.add(f"and {len(moving) - MOST_SUPPOSED} more.", 2)
    still = len(found) - len(moving)
    if still:
        page.add(f"{still} more suppositions change nothing in the order, whatever the answer.")
    return page.lines


def case_lines(matter: Matter) -> list[str]:
    """The order for each answer to what the person does not know."""
    names = [n for n, a in matter.answers.items() if a.state == "don't know" and n in matter.rulebase.attributes]
    page = matter.page()
    if not names:
        page.add('Nothing was answered "don\'t know", so there are no cases to tell apart.')
        return page.lines
    run = matter.run()
    cases = by_cases(run, names)
    if isinstance(cases, str):
        attribute = matter.rulebase.attributes[cases]
        page.add(f"There are too many cases to be useful. Find out first: {attribute.question} {attribute.help}")
        return page.lines
    if len(cases) == 1:
        page.add(f"{capital(listed(plain(n) for n in names))} may be anything: the order stays the same.")
        return page.lines
    for case in cases:
        when = listed(f"{plain(n)} is {_within(matter.rulebase, n, values, matter.units)}" for n, values in case.within)
        page.add(f"{capital(when)}:")
        then = matter.advice(case.run.answers)
        page.lines += _order_lines(then, matter.width)
    return page.lines


def _within(rulebase: RuleBase, name: str, values: Sequence[Value], units: Units) -> str:
    attribute = rulebase.attributes[name]
    if attribute.numeric:
        low, high = (show(float(v), attribute.unit, units) for v in values)
        return f"{low} to {high}" if low != high else low
    if len(values) > 2 and len(values) == len(attribute.values) - 1:
        missing = next(v for v in attribute.values if v not in values)
        return f"anything but {plain(missing)}"
    return listed((plain(str(v)) for v in values), "or") if len(values) < len(attribute.values) else "anything"


def conflict_lines(matter: Matter) -> list[str]:
    """What cannot hold together, which answers bring it about, and changes that end it."""
    page = matter.page()
    found = entangled(matter.rulebase, matter.answers, matter.house)
    if not found:
        page.add("Nothing is in conflict.")
    for one in found:
        clash = matter.rulebase.clashes.get(one.about)
        about = clash.between if clash else plain(one.about)
        page.add(f"In conflict: {about}.")
        for names in one.sets[:3]:
            said = listed(answer_words(matter.rulebase, n, matter.answers[n], matter.units) for n in names)
            page.add(f"Brought about by {said}." if names else "It comes with the item itself, whatever is said.", 2)
        for changes in one.ways[:4]:
            ends = listed(answer_words(matter.rulebase, n, a, matter.units) for n, a in changes)
            page.add(f"It ends if {ends}.", 2, "- ")
        if not one.ways:
            page.add(f"No change of up to {one.search.covered} answers ends it without another conflict.", 2)
    return page.lines


def _order_lines(advice: Advice, width: int) -> list[str]:
    page = Page(width)
    d = advice.decisions
    if advice.no_order:
        page.add(f"{verdict_words(advice)}.", 2)
        return page.lines
    parts = [listed((plain(c) for c in choice.chosen), "or") for choice in d.choices().values() if choice.chosen]
    page.add(f"{'; '.join(p for p in [*parts, d.weight.order_as or 'weight in conflict'] if p)}.", 2)
    return page.lines

"""What the advice leans on: what would change it, which answers are enough, suppositions, cases.

Nothing is concluded here, and nothing asked here changes an answer.
"""

from __future__ import annotations

from ..codes import say
from ..errors import AnswerError
from ..reasoning.apart import by_cases
from ..reasoning.clashes import entangled
from ..reasoning.tipping import enough, leaning, room, tips
from ..rulebase.saying import asked
from ..write.leaning import cases_told, conflicts_told, enough_told, rooms_told, supposed_told, tips_told
from ..write.names import attribute_called
from ..write.page import listed
from .comparing import voice_of
from .matter import Matter
from .naming import bare, goal_named, near_name


def tip_lines(matter: Matter, text: str) -> list[str]:
    """The answers nearest to changing a part of the order. Raises AnswerError for no part of it."""
    goal = goal_named(matter.rulebase, text)
    if goal is None:
        goals = [*matter.rulebase.decisions, "amount", "outcome"]
        near = near_name(matter.rulebase, text)
        raise AnswerError("what would change", bare(text), say("one_of", options=goals), near)
    run = matter.run()
    found = tips(run, goal)
    held = {t.change[0]: run.fixed(t.change[0]) or () for t in found.found}
    return tips_told(voice_of(matter), goal, found, held)


def enough_lines(matter: Matter, text: str) -> list[str]:
    """Which answers settle a part of the order, or all of it."""
    goal = goal_named(matter.rulebase, text) if text else None
    goals = [goal] if goal else [*matter.rulebase.decisions, "outcome"]
    return enough_told(voice_of(matter), goal, enough(matter.run(), goals), matter.answers)


def safe_lines(matter: Matter) -> list[str]:
    """Other answers, one at a time, under which the order stays as it is."""
    run, rooms = matter.run(), []
    for name, answer in matter.answers.items():
        attribute = matter.rulebase.attributes.get(name)
        if attribute is not None and name != "item" and attribute.ask != "never" and answer.state == "known":
            rooms.append((room(run, attribute), answer.values))
    return rooms_told(voice_of(matter), rooms)


def supposed_lines(matter: Matter) -> list[str]:
    """What was assumed, what moves most first."""
    run = matter.run()
    return supposed_told(voice_of(matter), [(n, goals, run.fixed(n) or ()) for n, goals in leaning(run)])


def case_lines(matter: Matter) -> list[str]:
    """The order for each answer to what the person does not know."""
    names = [n for n, a in matter.answers.items() if a.state == "don't know" and n in matter.rulebase.attributes]
    page = matter.page()
    if not names:
        page.add('Nothing was answered "don\'t know", so there are no cases to tell apart.')
        return page.lines
    cases = by_cases(matter.run(), names)
    if isinstance(cases, str):
        attribute = matter.rulebase.attributes[cases]
        wording = asked(matter.rulebase, attribute.name, matter.item or "")
        page.add(f"Find this out first: {wording.question} {wording.help}")
        return page.lines
    if len(cases) == 1:
        named = listed(attribute_called(matter.rulebase, n) for n in names)
        page.add(f"Whatever you find out about {named}, the order stays the same.")
        return page.lines
    return cases_told(voice_of(matter), [(case.within, matter.advice(case.run.answers)) for case in cases])


def conflict_lines(matter: Matter) -> list[str]:
    """What cannot hold together, which answers bring it about, and changes that end it."""
    found = entangled(matter.rulebase, matter.answers, matter.house)
    # What does not fit on anything that is sold stands against no rule: the advice alone knows of it.
    besides = [c for c in matter.advice().conflicts if not c.reasons]
    return conflicts_told(voice_of(matter), found, matter.answers, besides)

"""What is told of what an advice leans on: what would change it, how far an answer may go, what settles it, cases.

Sentences alone, from values that the reasoning returns; only what was proven is worded as proven.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from ..leather.units import show
from ..reasoning.advice import Advice, Conflict
from ..reasoning.clashes import Entangled
from ..reasoning.facts import Answer
from ..reasoning.standing import Goal
from ..reasoning.tipping import Enough, Room, Tip, Tips
from ..rulebase.changing import changing_of
from ..rulebase.models import NO_ORDER, Value
from .explaining import Voice, goal_words, value_words
from .names import attribute_called, called, values_called
from .page import OUTCOME_WORDS, Page, capital, listed, verdict_words
from .refusal import clash

MOST_TIPS = 6
MOST_SUPPOSED = 8
MOST_NAMED = 3
MOST_WAYS = 4
NEAR = 0.05
"""A number that changes the order this share away from the answer is told as one that the answer sits on."""


# -- what would change it


def tips_told(voice: Voice, goal: Goal, found: Tips, held: Mapping[str, tuple[Value, ...]]) -> list[str]:
    """The answers that change a part of the order, the likeliest first; ``held`` is what is the case now."""
    page = voice.page()
    changing = changing_of(voice.rulebase, voice.item)
    likely, unlikely = list[Tip](), list[Tip]()
    for tip in found.found:
        name, answer = tip.change
        if changing.anything or name not in changing.made or changing.takes(name, (), answer.values):
            offered = changing.takes(name, held.get(name, ()), answer.values) and bool(tip.becomes)
            (likely if offered else unlikely).append(tip)
    tips = _one_each([*likely, *unlikely])
    ordered = [t for t in tips if t.becomes]
    shown = ordered[:MOST_TIPS]
    if shown:
        page.add(f"{capital(goal_words(goal))} would change:")
    else:
        page.add(f"I found no other single answer with which {goal_words(goal)} changes and an order stands.")
    for tip in shown:
        page.add(_tip_words(voice, goal, tip, held), 2, "- ")
    more = len({t.change[0] for t in ordered} - {t.change[0] for t in shown})
    if more:
        page.add(f"and by {_questions(more)} more.", 2)
    if without := {t.change[0] for t in tips if not t.becomes}:
        page.add(f"Some answer to {_questions(len(without))} would leave no order at all.", 2)
    page.add(f"Of {_questions(len(found.safe))} it is shown that no answer alone changes it.")
    if found.unsettled:
        page.add(f"Of {_some(voice, found.unsettled)} I tried only some answers, and none of them did.")
    return page.lines


def _questions(count: int) -> str:
    return f"{count} question{'s' if count != 1 else ''}"


def _some(voice: Voice, names: Sequence[str]) -> str:
    more = [f"{len(names) - MOST_NAMED} more"] if len(names) > MOST_NAMED else []
    return listed([*(attribute_called(voice.rulebase, n) for n in names[:MOST_NAMED]), *more])


def _one_each(found: Sequence[Tip]) -> list[Tip]:
    """The easiest of each question, both sides of a number."""
    kept: dict[tuple[str, str], Tip] = {}
    for tip in found:
        kept.setdefault((tip.change[0], tip.side), tip)
    return list(kept.values())


def _tip_words(voice: Voice, goal: Goal, tip: Tip, held: Mapping[str, tuple[Value, ...]]) -> str:
    name, answer = tip.change
    attribute = voice.rulebase.attributes[name]
    if attribute.numeric:
        value = show(float(answer.values[0]), attribute.unit, voice.units)
        there = held.get(name)
        now = f" (now {show(float(there[0]), attribute.unit, voice.units)})" if there else ""
        # Where something nearer may have been missed, the number is only the latest at which it happens.
        latest = "" if tip.proven else " at the latest"
        when = f"{attribute.label} {tip.side or 'at'} {value}{latest}{now}"
    else:
        when = f"if you said {voice.quoted(name, answer)}"
    becomes = sorted(str(v) for v in tip.becomes)
    if goal == "amount":
        return f"{when}."
    words = value_words(voice.rulebase, goal, becomes)
    return f"{when}: {'a conflict' if words == 'conflict' else words}."


# -- how far an answer may go


def rooms_told(voice: Voice, rooms: Sequence[tuple[Room, tuple[Value, ...]]]) -> list[str]:
    """Other answers, one at a time, under which the order stays; each room with the answer that was given."""
    page = voice.page()
    for room, held in rooms:
        attribute = voice.rulebase.attributes[room.name]
        if not attribute.numeric:
            values = [v for v in room.values if v not in held]
            said = values_called(voice.rulebase, room.name, values, joiner="or") or "nothing else"
            page.add(f"{attribute.label}: {said}.", 2, "- ")
        else:
            page.add(f"{attribute.label}: {_room_words(voice, room, float(held[0]))}", 2, "- ")
    if not page.lines:
        return ["You have not given an answer that could be another one."]
    return ["These would leave the order as it is, one at a time:", *page.lines]


def _room_words(voice: Voice, room: Room, held: float) -> str:
    unit = voice.rulebase.attributes[room.name].unit
    near = [v for v in room.beyond if abs(v - held) <= NEAR * max(abs(held), 1e-9)]
    close = " and ".join(f"{show(v, unit, voice.units)} gives {_becomes(voice, room.beyond[v])}" for v in sorted(near))
    low, high = show(room.low, unit, voice.units), show(room.high, unit, voice.units)
    if len(near) == len(room.beyond) > 0 or low == high:
        edge = f"{show(held, unit, voice.units)} sits on a turning point"
        return f"{edge}: {close}." if close else f"{edge}; no other size is shown to leave it."
    if room.proven:
        said = f"from {low} to {high} only the amount changes"
    else:
        said = (
            f"at each of the {room.tried} I tried from {low} to {high} only the amount changes, "
            "but I cannot vouch for those between"
        )
    return f"{said}; {close}." if close else f"{said}."


def _becomes(voice: Voice, becomes: Mapping[Goal, frozenset[Value]]) -> str:
    """What a number brings, in the part of the order that matters most."""
    outcome = becomes.get("outcome", frozenset())
    if outcome & frozenset(NO_ORDER):
        return value_words(voice.rulebase, "outcome", sorted(map(str, outcome)))
    for goal in ("tannage", "weight", *becomes):
        if goal in becomes and goal not in ("outcome", "conflicts") and "conflict" not in becomes[goal]:
            return value_words(voice.rulebase, goal, sorted(map(str, becomes[goal]))) or f"no {goal}"
    return "a conflict" if "conflicts" in becomes or "weight" in becomes else "another outcome"


# -- what settles it, what was assumed


def enough_told(voice: Voice, goal: Goal | None, found: Enough, answers: Mapping[str, Answer]) -> list[str]:
    """Which answers settle a part of the order, or all of it."""
    page = voice.page()
    about = goal_words(goal) if goal else "the order but for the amount"
    known = [n for n, a in answers.items() if a.state != "don't know"]
    said = [voice.told(n, answers[n]) for n in known if n in found.kept]
    if not said:
        page.add(f"None of your answers is needed for {about}.")
        return page.lines
    verb = "settles" if len(said) == 1 else "settle"
    page.add(f"{len(said)} of your {len(known)} answers {verb} {about}: {listed(said)}.")
    if unsure := [n for n in known if n in found.unsure]:
        named = listed(attribute_called(voice.rulebase, n) for n in unsure)
        page.add(f"I found no other answer about {named} that changes it, but cannot show that there is none.")
    if rest := [attribute_called(voice.rulebase, n) for n in known if n not in found.kept]:
        page.add(f"Another answer about {listed(rest, 'or')} would change nothing in it.")
    return page.lines


def supposed_told(voice: Voice, found: Sequence[tuple[str, Sequence[Goal], tuple[Value, ...]]]) -> list[str]:
    """What was assumed, with the parts of the order that some other answer changes and what is assumed now."""
    page = voice.page()
    moving = [f for f in found if f[1]]
    if not found:
        page.add("I assumed nothing.")
        return page.lines
    if moving:
        page.add("I assumed, because you did not say; what changes most comes first:")
    for name, goals, held in moving[:MOST_SUPPOSED]:
        moved = listed(goal_words(g) for g in goals if g != "conflicts") or "a conflict"
        page.add(f"{voice.told(name, Answer(held))}; another answer would change {moved}.", 2, "- ")
    if len(moving) > MOST_SUPPOSED:
        page.add(f"and {len(moving) - MOST_SUPPOSED} more.", 2)
    if still := len(found) - len(moving):
        page.add(f"Of what else I assumed ({still} more) no answer that I tried changes the order.")
    return page.lines


# -- cases and conflicts


def cases_told(voice: Voice, cases: Sequence[tuple[Sequence[tuple[str, tuple[Value, ...]]], Advice]]) -> list[str]:
    """The order for each case, with the outcome where that tells cases apart."""
    page = voice.page()
    outcomes = {advice.verdict for _, advice in cases}
    for within, advice in cases:
        when = listed(f"{attribute_called(voice.rulebase, n)} {_within(voice, n, values)}" for n, values in within)
        page.add(f"{capital(when)}:")
        _order(voice, page, advice, len(outcomes) > 1)
    return page.lines


def _within(voice: Voice, name: str, values: Sequence[Value]) -> str:
    attribute = voice.rulebase.attributes[name]
    if attribute.numeric:
        low, high = (show(float(v), attribute.unit, voice.units) for v in values)
        return f"{low} to {high}" if low != high else low
    if len(values) > 2 and len(values) == len(attribute.values) - 1:
        missing = next(v for v in attribute.values if v not in values)
        return f"anything but {called(voice.rulebase, name, missing)}"
    return values_called(voice.rulebase, name, values, joiner="or")


def _order(voice: Voice, page: Page, advice: Advice, with_outcome: bool) -> None:
    if advice.no_order:
        page.add(f"{verdict_words(advice)}.", 2)
        return
    d = advice.decisions
    settled = [(name, choice.chosen) for name, choice in d.choices().items() if choice.chosen]
    parts = [values_called(voice.rulebase, name, chosen, joiner="or") for name, chosen in settled]
    parts.append(d.weight.order_as or "no thickness will do")
    parts += [OUTCOME_WORDS[advice.verdict]] if with_outcome and advice.verdict else []
    page.add(f"{'; '.join(parts)}.", 2)


def conflicts_told(
    voice: Voice, found: Sequence[Entangled], answers: Mapping[str, Answer], besides: Sequence[Conflict] = ()
) -> list[str]:
    """What cannot hold together, which answers bring it about, and changes that end it; then what ``besides`` is so."""
    page = voice.page()
    if not found and not besides:
        page.add("Nothing is in conflict.")
    for one in found:
        declared = voice.rulebase.clashes.get(one.about)
        about = declared.between if declared else attribute_called(voice.rulebase, one.about)
        page.add(f"In conflict: {about}.")
        for names in one.sets[:MOST_NAMED]:
            said = listed(voice.told(n, answers[n]) for n in names)
            page.add(f"It comes of what you said: {said}." if names else "It comes with the thing itself.", 2)
        for changes in one.ways[:MOST_WAYS]:
            page.add(f"It ends if you say {listed(voice.quoted(n, a) for n, a in changes)}.", 2, "- ")
        for changes in one.cases[:MOST_WAYS]:
            page.add(f"It would not arise in another case: {listed(voice.quoted(n, a) for n, a in changes)}.", 2, "- ")
        if not one.ways and not one.cases:
            page.add(_no_way(voice, one.search.stopped, one.search.gaps), 2)
    for conflict in besides:
        clash(voice.rulebase, page, conflict)
    return page.lines


def _no_way(voice: Voice, stopped: bool, gaps: Collection[str]) -> str:
    if stopped:
        return "I did not search far enough to say what ends it."
    if gaps:
        named = listed(attribute_called(voice.rulebase, n) for n in gaps)
        return f"I found nothing that ends it without another conflict; of {named} I tried only some answers."
    return f"Nothing you would change about {voice.thing()} ends it without another conflict."

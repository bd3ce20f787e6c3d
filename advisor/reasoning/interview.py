"""Which question comes next, what its answers would do, and when no answer can change the order any more.

Every question is opened alone, with everything else as it stands, and the rules are run on all its
answers at once. What then leaves the order settled and the same cannot change it, whatever is answered; so
the order of asking never decides when to stop.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..rulebase.models import Attribute, RuleBase, Value
from .changes import alternatives, changeable, now
from .facts import Answer
from .network import wishes
from .possibility import Possibility, everything_open
from .relevance import live_questions
from .report import question_order
from .spread import YES, whole
from .standing import Goal, standing

# How much each part of the order weighs when one question is set against another.
WEIGHT: Mapping[Goal, float] = {
    "outcome": 4, "tannage": 3, "weight": 3, "conflicts": 2, "form": 2, "amount": 2, "grain": 2,
}  # fmt: skip
SAFETY_GROUPS = ("people", "limits", "load")
# What is usual is as likely as everything else together; what the rule base asks first is likelier to differ.
USUAL, FIRST = 0.5, 3.0
UNSAID = 0.05
LOOKED_INTO = 4


@dataclass(frozen=True, slots=True)
class Ask:
    """A question worth asking: the parts of the order it can change, or whether it is asked for safety alone."""

    name: str
    moves: tuple[Goal, ...]
    safety: bool
    score: float


@dataclass(frozen=True, slots=True)
class Stop:
    """Why the questions may end. ``looked_at``: questions of which no single answer changes the order.

    ``all_answers``: nor would any answers to all of them together. ``open``: the others, not asked or said to be
    unknown, with what they can change, the weightiest first.
    """

    looked_at: tuple[str, ...]
    all_answers: bool
    open: tuple[Ask, ...]


def worth_asking(run: Possibility, answers: Mapping[str, Answer], ring: str = "later") -> list[Ask]:
    """The questions still worth asking, best first. ``run`` has nothing open; ``answers`` are all that was said.

    Those that a raised danger waits for come before all others. With ``ring`` "first" the rest are only those that
    the rule base asks first. A question of safety that the rule base asks
    first is kept while it can still raise a caution or the outcome.
    """
    here, dangers = standing(run), waiting_dangers(run)
    live: Mapping[str, set[str]] | None = None
    found = []
    for attribute in changeable(run):
        name, danger = attribute.name, attribute.name in dangers
        if name in answers or (ring == "first" and attribute.ask != "first" and not danger):
            continue
        moves = here.moved(standing(run.saying({name: whole(attribute)})))
        safety = False
        if not moves and attribute.group in SAFETY_GROUPS and attribute.ask == "first":
            live = live_questions(everything_open(run.rulebase, answers, run.house)) if live is None else live
            safety = not live.get(name, set()).isdisjoint(("cautions", "outcome"))
        if moves or safety or danger:
            found.append(Ask(name, moves, safety, _rough(run.rulebase, attribute, moves, safety)))
    grave = sorted((a for a in found if a.name in dangers), key=lambda a: dangers.index(a.name))
    found = [a for a in found if a.name not in dangers]
    found.sort(key=lambda a: (-a.score, question_order(run.rulebase, a.name)))
    closer = [_looked_into(run, a) for a in found[:LOOKED_INTO]]
    closer.sort(key=lambda a: (-a.score, question_order(run.rulebase, a.name)))
    return [*grave, *closer, *found[LOOKED_INTO:]]


def waiting_dangers(run: Possibility) -> list[str]:
    """The questions that raised dangers wait for, as their rules are declared; none where leather is refused anyway.

    "Don't know" closes none of them. ``run`` has nothing open.
    """
    if "refuse" in standing(run).order["outcome"].may:
        return []
    rules = (rule for rule in run.rulebase.rules.values() if rule.waits_for)
    waits = (name for rule in rules if run.stands(run.net.index[rule.id]) == YES for name in rule.waits_for)
    return list(dict.fromkeys(waits))


def _rough(rulebase: RuleBase, attribute: Attribute, moves: tuple[Goal, ...], safety: bool) -> float:
    """What may change at most, by how likely it is and how hard the question is to answer."""
    weight = sum(WEIGHT.get(goal, 1.0) for goal in moves) or (1.0 if safety else 0.0)
    return weight * _likely(rulebase, attribute) / _effort(attribute)


def _likely(rulebase: RuleBase, attribute: Attribute) -> float:
    """How likely an answer is to differ from what is usual, by who would have said so by himself."""
    if attribute.ask == "first":
        return FIRST
    # Who wishes for something says so, and dangers are raised by words; both are asked after everything else.
    unsaid = attribute.name in wishes(rulebase) or attribute.name in rulebase.danger_questions()
    return UNSAID if unsaid else 1.0


def _effort(attribute: Attribute) -> float:
    """A number has to be measured, of a set every value has to be thought of."""
    return 1.5 if attribute.numeric or attribute.kind == "set" else 1.0


def _looked_into(run: Possibility, ask: Ask) -> Ask:
    """The score with what each single answer would change, instead of what some answer may."""
    attribute = run.rulebase.attributes[ask.name]
    if attribute.numeric or not ask.moves:
        return Ask(ask.name, ask.moves, ask.safety, ask.score * USUAL)
    parts = preview(run, attribute)
    others = [p for p in parts if p.moves]
    count = sum(len(p.values) for p in parts)
    share = sum(len(p.values) * sum(WEIGHT.get(g, 1.0) for g in p.moves) for p in others) / max(count, 1)
    usual = USUAL if now(run, ask.name) else 1.0
    likely = _likely(run.rulebase, attribute)
    return Ask(ask.name, ask.moves, ask.safety, share * usual * likely / _effort(attribute))


@dataclass(frozen=True, slots=True)
class Part:
    """Answers to a question that do the same: change these parts of the order, to this.

    Of a number ``values`` are the first and the last of those looked at that do the same.
    """

    values: tuple[Value, ...]
    moves: tuple[Goal, ...]
    becomes: Mapping[Goal, frozenset[Value]]


def preview(run: Possibility, attribute: Attribute) -> list[Part]:
    """What each answer would do to the order, alike answers together; of a number, its telling values.

    That another size takes another amount goes without saying, so of a number the amount is left out.
    """
    here = standing(run)
    held = now(run, attribute.name)
    options = [*([Answer(held)] if held else []), *alternatives(run, attribute)]
    if attribute.numeric:
        options.sort(key=lambda a: float(a.values[0]))
    groups: list[tuple[object, list[Value], Part]] = []
    for answer in options:
        then = standing(run.saying({attribute.name: answer}))
        moves = tuple(g for g in here.moved(then) if not (attribute.numeric and g == "amount"))
        becomes = {g: then.order[g].may for g in moves}
        said = answer.values[0] if len(answer.values) == 1 else ", ".join(map(str, answer.values))
        key = moves, tuple(becomes.values())
        places = range(len(groups))[-1:] if attribute.numeric else range(len(groups))
        place = next((n for n in places if groups[n][0] == key), None)
        if place is None:
            groups.append((key, [said], Part((), moves, becomes)))
        else:
            groups[place][1].append(said)
    found = []
    for _, values, part in groups:
        kept = (values[0], values[-1]) if attribute.numeric else tuple(values)
        found.append(Part(kept, part.moves, part.becomes))
    return found


def stop(run: Possibility, answers: Mapping[str, Answer]) -> Stop:
    """The certificate at the end of the questions: what was looked at and cannot change the order."""
    here = standing(run)
    looked_at: list[str] = []
    still: list[Ask] = []
    for attribute in changeable(run):
        answer = answers.get(attribute.name)
        if answer is not None and answer.state != "don't know":
            continue
        moves = here.moved(standing(run.saying({attribute.name: whole(attribute)})))
        if moves:
            still.append(Ask(attribute.name, moves, False, _rough(run.rulebase, attribute, moves, False)))
        else:
            looked_at.append(attribute.name)
    still.sort(key=lambda a: (-a.score, question_order(run.rulebase, a.name)))
    # Where one answer changes the order, so do all together.
    all_answers = not still and not standing(everything_open(run.rulebase, answers, run.house)).open_goals()
    return Stop(tuple(looked_at), all_answers, tuple(still))

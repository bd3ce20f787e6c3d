"""Which question comes next, what its answers would do, and when no answer can change the order any more.

Every question is opened alone, with everything else as it stands, and the rules are run on all its
answers at once. What then leaves the order settled and the same cannot change it, whatever is answered; so
the order of asking never decides when to stop.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from ..rulebase.asking import asking_of
from ..rulebase.changing import changing_of
from ..rulebase.models import Attribute, RuleBase, Value
from .changes import alternatives, changeable, now, thresholds
from .facts import Answer
from .network import wishes
from .numbers import between, tidy
from .possibility import Possibility, everything_open
from .relevance import live_questions
from .report import question_order
from .spread import YES, Span, whole
from .standing import Goal, Standing, standing
from .tipping import changed_by

# How much each part of the order weighs when one question is set against another.
WEIGHT: Mapping[Goal, float] = {
    "outcome": 4,
    "tannage": 3,
    "weight": 3,
    "conflicts": 2,
    "form": 2,
    "amount": 2,
    "grain": 2,
}
SAFETY_GROUPS = ("people", "limits", "load")
# What is usual is as likely as everything else together; what the rule base asks first is likelier to differ.
USUAL, FIRST = 0.5, 3.0
UNSAID = 0.05
LOOKED_INTO = 4


@dataclass(frozen=True, slots=True)
class Ask:
    """A question worth asking: the parts of the order it can change, or whether it is asked for safety alone.

    With neither, the order itself says what is answered, as its colour.
    """

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


def worth_asking(
    run: Possibility,
    answers: Mapping[str, Answer],
    ring: str = "later",
    enough: Callable[[Sequence[Ask]], bool] | None = None,
    groups: Collection[str] = (),
) -> list[Ask]:
    """The questions still worth asking, best first. ``run`` has nothing open; ``answers`` are all that was said.

    Those that a raised danger waits for come before all others, then those that are put first for this thing. With
    ``ring`` "first" the rest are only those that the rule base asks first and that do not go without saying. A question
    of safety that the rule base asks first is kept while it can still raise a caution or the outcome.

    What is put first for this thing and what is of one of ``groups`` is looked at before the rest; where those are
    ``enough``, the rest is not looked at, because each takes a run of its own.
    """
    here, dangers = standing(run), waiting_dangers(run)
    item = now(run, "item")
    asking = asking_of(run.rulebase, str(item[0]) if item else None)
    live: Mapping[str, set[str]] | None = None
    found: list[Ask] = []

    def looked_at(attributes: Iterable[Attribute]) -> None:
        nonlocal live
        for attribute in attributes:
            name, danger = attribute.name, attribute.name in dangers
            soon = name in asking.first or (attribute.ask == "first" and name not in asking.understood)
            if name in answers or (ring == "first" and not soon and not danger):
                continue
            moves = may_change(run, here, attribute)
            safety = False
            if not moves and attribute.group in SAFETY_GROUPS and attribute.ask == "first":
                if live is None:
                    live = live_questions(everything_open(run.rulebase, answers, run.house))
                safety = not live.get(name, set()).isdisjoint(("cautions", "outcome"))
            if moves or safety or danger or name in asking.in_the_order:
                found.append(Ask(name, moves, safety, _rough(run.rulebase, attribute, moves, safety)))

    before = [a for a in changeable(run) if a.name in asking.first or a.name in dangers or a.group in groups]
    looked_at(before)
    if enough is None or not enough(found):
        looked_at(a for a in changeable(run) if a not in before)
    grave = sorted((a for a in found if a.name in dangers), key=lambda a: dangers.index(a.name))
    found = [a for a in found if a.name not in dangers]
    named = sorted((a for a in found if a.name in asking.first), key=lambda a: asking.first.index(a.name))
    found = [a for a in found if a.name not in asking.first]
    found.sort(key=lambda a: (-a.score, question_order(run.rulebase, a.name)))
    # As long as another question comes before them, their order is of no matter.
    closer = found[:LOOKED_INTO] if grave or named else [_looked_into(run, a) for a in found[:LOOKED_INTO]]
    closer.sort(key=lambda a: (-a.score, question_order(run.rulebase, a.name)))
    return [*grave, *named, *closer, *found[LOOKED_INTO:]]


def may_change(run: Possibility, here: Standing, attribute: Attribute) -> tuple[Goal, ...]:
    """The parts of the order that a single answer to a question may change; nothing where it is shown that none does.

    Of words every answer is looked at; of numbers and sets what a run over all answers leaves open. ``run`` has nothing
    open. What was found on the same answers is remembered: the end of the questions looks at what the last one did.
    """
    if run.house is not None:
        return _may_change(run, here, attribute)
    found: dict[str, tuple[Goal, ...]] = run.rulebase.remembered("moves", frozenset(run.answers.items()), dict)
    if attribute.name not in found:
        found[attribute.name] = _may_change(run, here, attribute)
    return found[attribute.name]


def _may_change(run: Possibility, here: Standing, attribute: Attribute) -> tuple[Goal, ...]:
    moves = here.moved(standing(run.saying({attribute.name: whole(attribute)})))
    if not moves or attribute.numeric or attribute.kind == "set":
        return moves
    return changed_by(run, here, attribute, moves)


def waiting_dangers(run: Possibility) -> list[str]:
    """The questions that raised dangers wait for, as their rules are declared; none where leather is refused anyway.

    "Don't know" closes none of them. ``run`` has nothing open.
    """
    if "refuse" in standing(run).order["outcome"].may:
        return []
    waits = (name for place, names in run.net.waiting if run.stands(place) == YES for name in names)
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

    Of a number ``values`` are the first and the last of those looked at that do the same; ``proven``: so does every
    number between.
    """

    values: tuple[Value, ...]
    moves: tuple[Goal, ...]
    becomes: Mapping[Goal, frozenset[Value]]
    proven: bool = True


def preview(run: Possibility, attribute: Attribute) -> list[Part]:
    """What each answer would do to the order, alike answers together; of a number, up to where it does so.

    That another size takes another amount goes without saying, so of a number the amount is left out.
    """
    here = standing(run)
    held = now(run, attribute.name)
    if attribute.numeric:
        return _numbers(run, attribute, here, held)
    options = [*([Answer(held)] if held else []), *alternatives(run, attribute)]
    groups: list[tuple[object, list[Value], Part]] = []
    for answer in options:
        moves, becomes = _moved(run, attribute, here, answer)
        said = ", ".join(map(str, answer.values))
        key = moves, tuple(becomes.values())
        place = next((n for n, group in enumerate(groups) if group[0] == key), None)
        if place is None:
            groups.append((key, [said], Part((), moves, becomes)))
        else:
            groups[place][1].append(said)
    return [Part(tuple(values), part.moves, part.becomes) for _, values, part in groups]


def _moved(
    run: Possibility, attribute: Attribute, here: Standing, answer: Answer
) -> tuple[tuple[Goal, ...], Mapping[Goal, frozenset[Value]]]:
    """What an answer changes of the order, and to what; of a number not the amount."""
    then = standing(run.saying({attribute.name: answer}))
    moves = tuple(g for g in here.moved(then) if not (attribute.numeric and g == "amount"))
    return moves, {g: then.order[g].may for g in moves}


def _numbers(run: Possibility, attribute: Attribute, here: Standing, held: Sequence[Value]) -> list[Part]:
    """The numbers that somebody may have in place of the one that is held, parted where the order changes."""

    def moved(value: float) -> tuple[tuple[Goal, ...], Mapping[Goal, frozenset[Value]]]:
        return _moved(run, attribute, here, Answer((value,)))

    first, *ahead = _within_reason(run, attribute, held)
    parts = [Part((first, first), *moved(first))]
    while ahead:
        last, mark = parts[-1], ahead.pop(0)
        alike = partial(_same, moved, (last.moves, last.becomes))
        if alike(mark):
            parts[-1] = replace(last, values=(last.values[0], mark))
            continue
        until, since = between(attribute, alike, float(last.values[-1]), mark)
        parts[-1] = replace(last, values=(last.values[0], until))
        parts.append(Part((since, since), *moved(since)))
        ahead.insert(0, mark)
    return [
        p if p.values[0] == p.values[-1] else replace(p, proven=_throughout(run, attribute, here, p)) for p in parts
    ]


def _same(moved: Callable[[float], object], wanted: object, value: float) -> bool:
    return moved(value) == wanted


def _within_reason(run: Possibility, attribute: Attribute, held: Sequence[Value]) -> list[float]:
    """The numbers that rules tell apart, from half of what is held to double; all of them where nothing is."""
    marks = thresholds(run.rulebase, attribute)
    if not held:
        return marks
    now_is, changing = float(held[0]), changing_of(run.rulebase, None)
    if changing.anything:
        return sorted({*marks, now_is})
    low, high = max(marks[0], changing.least * now_is), min(marks[-1], changing.most * now_is)
    return sorted({now_is, *(tidy(attribute, end) for end in (low, high)), *(m for m in marks if low < m < high)})


def _throughout(run: Possibility, attribute: Attribute, here: Standing, part: Part) -> bool:
    """Whether every number between the ends of a part is proven to do the same, but for the amount."""
    span = Span(float(part.values[0]), float(part.values[-1]))
    then = standing(run.saying({attribute.name: span})).order
    wanted = {goal: words.may for goal, words in here.order.items()} | dict(part.becomes)
    return all(
        words.fixed is not None and words.may == wanted.get(goal) for goal, words in then.items() if goal != "amount"
    )


def stop(run: Possibility, answers: Mapping[str, Answer]) -> Stop:
    """The certificate at the end of the questions: what was looked at and cannot change the order."""
    here = standing(run)
    looked_at: list[str] = []
    still: list[Ask] = []
    for attribute in changeable(run):
        answer = answers.get(attribute.name)
        if answer is not None and answer.state != "don't know":
            continue
        moves = may_change(run, here, attribute)
        if moves:
            still.append(Ask(attribute.name, moves, False, _rough(run.rulebase, attribute, moves, False)))
        else:
            looked_at.append(attribute.name)
    still.sort(key=lambda a: (-a.score, question_order(run.rulebase, a.name)))
    # Where one answer changes the order, so do all together.
    all_answers = not still and not standing(everything_open(run.rulebase, answers, run.house)).open_goals()
    return Stop(tuple(looked_at), all_answers, tuple(still))


def left_to_say(run: Possibility, answers: Mapping[str, Answer]) -> tuple[bool, list[Ask]]:
    """Whether an answer that nobody was asked for could change the order, and what was left open and could.

    Says of the first less than ``stop``, because one such answer is enough; the weightiest of the others come first.
    """
    here = standing(run)

    def moved(attribute: Attribute) -> tuple[Goal, ...]:
        return here.moved(standing(run.saying({attribute.name: whole(attribute)})))

    said = {n for n, a in answers.items() if a.state != "don't know"}
    asked = [a for a in changeable(run) if a.name in answers and a.name not in said]
    unknown = [Ask(a.name, moves, False, _rough(run.rulebase, a, moves, False)) for a in asked if (moves := moved(a))]
    unknown.sort(key=lambda a: (-a.score, question_order(run.rulebase, a.name)))
    others = [a for a in changeable(run) if a.name not in answers]
    # What is asked first moves most, so that seldom more than one has to be looked at.
    others.sort(key=lambda a: question_order(run.rulebase, a.name))
    return any(moved(a) for a in others), unknown

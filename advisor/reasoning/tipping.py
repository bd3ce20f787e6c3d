"""What the order leans on: answers that would change it, how far one may go, answers that are enough, suppositions.

Each is found on runs over sets of answers, so "nothing would" covers every value, not a sample; what such a run could
not settle is said to be unsettled.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from ..rulebase.asking import asking_of
from ..rulebase.changing import changing_of
from ..rulebase.models import NO_ORDER, Attribute, RuleBase, Value
from ..rulebase.strata import node_of
from .changes import Change, alternatives, changeable, effort, now, thresholds
from .facts import Answer
from .network import cone, network
from .numbers import EDGE_RUNS, Budget, Edge, Line, between, edge, tidy
from .possibility import Possibility
from .report import GROUPS
from .spread import Span, Spread, whole
from .standing import Goal, Standing, cautions, standing

Values = frozenset[Value]


@dataclass(frozen=True, slots=True)
class Tip:
    """One answer that would change a goal, and what the goal would be then.

    ``side`` says of a number on which side of it that begins: "from" or "down to"; "" for a word. ``proven``: no number
    nearer than this one does it.
    """

    change: Change
    becomes: Values
    side: str = ""
    proven: bool = True


@dataclass(slots=True)
class Tips:
    """What would change a goal, the easiest first; ``safe`` names the questions none of whose answers does.

    ``unsettled`` are those of which no answer was found that does, and not shown that there is none.
    """

    goal: Goal
    here: Values
    found: list[Tip] = field(default_factory=list)
    safe: list[str] = field(default_factory=list)
    unsettled: list[str] = field(default_factory=list)


def goal_of(run: Possibility, goal: Goal) -> Values:
    """What a run with nothing open comes to in one goal; nothing where it gives no order."""
    return _part(standing(run), goal)


def _part(order: Standing, goal: Goal) -> Values:
    part = order.order.get(goal)
    return part.may if part is not None else frozenset()


def tips(run: Possibility, goal: Goal) -> Tips:
    """Every single answer that changes a goal of the order; numbers at their turning points.

    ``run`` has nothing open.
    """
    here, result = standing(run), Tips(goal, goal_of(run, goal))
    for attribute in changeable(run):
        if _stays(here, standing(run.saying({attribute.name: whole(attribute)})), [goal]):
            result.safe.append(attribute.name)
            continue
        if attribute.numeric and now(run, attribute.name):
            found, proven = _turning(run, attribute, goal)
        else:
            found, proven = _other_words(run, attribute, goal, result.here)
        result.found += found
        if not found:
            (result.safe if proven else result.unsettled).append(attribute.name)
    # What brings a conflict or asks about something that is not there comes after the rest.
    result.found.sort(
        key=lambda t: ("conflict" in t.becomes or not t.becomes, not now(run, t.change[0]), effort(run, t.change))
    )
    return result


def _stays(here: Standing, then: Standing, goals: Sequence[Goal]) -> bool:
    """Whether these goals are settled in ``then`` as they are ``here``, where nothing is open.

    Where there is no order here, there may be none then; where there is one, there must be one.
    """
    before, after, barred = here.order, then.order, frozenset[Value](NO_ORDER)
    if before["outcome"].may <= barred:
        return after["outcome"].may <= barred
    if after["outcome"].may & barred:
        return False
    held = [g for g in goals if g in before]
    return all(g in after and after[g].fixed is not None and after[g].may == before[g].may for g in held)


def _other_words(run: Possibility, attribute: Attribute, goal: Goal, here: Values) -> tuple[list[Tip], bool]:
    """Other answers that change the goal, and whether every answer was tried."""
    found = []
    for answer in alternatives(run, attribute):
        then = goal_of(run.saying({attribute.name: answer}), goal)
        if then != here:
            found.append(Tip((attribute.name, answer), then))
    if attribute.numeric and not found:
        return found, _alike(run, attribute, [goal])(float(attribute.low or 0), attribute.high or 0.0)
    return found, attribute.kind != "set"


def _turning(run: Possibility, attribute: Attribute, goal: Goal) -> tuple[list[Tip], bool]:
    """The nearest numbers above and below at which the goal changes, and whether there can be none besides."""
    line = _line(run, attribute, [goal])
    found, proven = [], True
    for side, reached in _edges(run, line):
        proven = proven and reached.proven
        if reached.first is not None:
            then = goal_of(_at(run, attribute, reached.first), goal)
            found.append(Tip((attribute.name, Answer((reached.first,))), then, side, reached.proven))
    return found, proven


def _line(run: Possibility, attribute: Attribute, goals: Sequence[Goal]) -> Line:
    """One number of a run, to be varied with an eye on some goals."""
    here = standing(run)

    def alike(value: float) -> bool:
        then = standing(_at(run, attribute, value))
        return all(_part(then, goal) == _part(here, goal) for goal in goals)

    return Line(attribute, alike, _alike(run, attribute, goals))


def _alike(run: Possibility, attribute: Attribute, goals: Sequence[Goal]) -> Callable[[float, float], bool]:
    """Whether these goals are proven to stay as they are at every number from one to another."""
    here = standing(run)
    return lambda low, high: _stays(here, standing(run.saying({attribute.name: Span(low, high)})), goals)


def _edges(run: Possibility, line: Line) -> list[tuple[str, Edge]]:
    """How far the number may go up and down; each way has runs of its own."""
    middle = float(now(run, line.attribute.name)[0])
    marks = thresholds(run.rulebase, line.attribute)
    found = []
    for side, way in (("from", [m for m in marks if m > middle]), ("down to", [m for m in marks[::-1] if m < middle])):
        line.budget = Budget(EDGE_RUNS)
        found.append((side, edge(line, middle, way)))
    return found


def _at(run: Possibility, attribute: Attribute, value: float) -> Possibility:
    return run.saying({attribute.name: Answer((value,))})


@dataclass(frozen=True, slots=True)
class Room:
    """How far the answer to one question may go while the order but for the amount stays, all else being as it is.

    Of a number it may go from ``low`` to ``high``: ``proven`` of every number between, else of the ``tried`` ones
    alone. ``beyond`` maps the next number below and above that changes the order to what it changes, where one was
    found. Of words ``values`` are those under which the order stays.
    """

    name: str
    low: float = 0.0
    high: float = 0.0
    proven: bool = True
    tried: int = 0
    beyond: Mapping[float, Mapping[Goal, Values]] = field(default_factory=dict)
    values: tuple[Value, ...] = ()


BETWEEN = 12
"""Numbers between two ends that are looked at one by one where nothing proves the whole stretch."""


def room(run: Possibility, attribute: Attribute) -> Room:
    """What else could have been answered to a question that was answered, without another order."""
    here = standing(run)
    if not attribute.numeric:
        same = [
            a
            for a in alternatives(run, attribute)
            if len(a.values) == 1 and not here.moved(standing(run.saying({attribute.name: a})))
        ]
        return Room(attribute.name, values=tuple(a.values[0] for a in same))
    goals = [g for g in here.order if g != "amount"]
    line, middle = _line(run, attribute, goals), float(now(run, attribute.name)[0])
    (_, up), (_, down) = _edges(run, line)
    ends, firsts, proven = [down.last, up.last], [down.first, up.first], [down.proven, up.proven]
    for place in (0, 1):
        if proven[place]:
            continue
        # Nearer than the last number that was tried there may still be one that changes something.
        last = middle
        for part in range(1, BETWEEN):
            value = tidy(attribute, middle + (ends[place] - middle) * part / BETWEEN)
            if value != last and not line.same(value):
                ends[place], firsts[place] = between(attribute, line.same, last, value)
                break
            last = value
    beyond = {}
    for first in firsts:
        if first is not None:
            then = standing(_at(run, attribute, first))
            beyond[first] = {g: then.order[g].may for g in here.moved(then) if g != "amount"}
    tried = {v for v in line.tried if ends[0] <= v <= ends[1]} | {middle, *ends}
    return Room(attribute.name, ends[0], ends[1], all(proven), len(tried), beyond)


@dataclass(frozen=True, slots=True)
class Enough:
    """``kept``: answers that settle some goals whatever the others were. ``unsure``: those of them of which nothing
    showed that another answer makes a difference."""

    kept: tuple[str, ...]
    unsure: tuple[str, ...]


def enough(run: Possibility, goals: Sequence[Goal]) -> Enough:
    """Answers that settle these goals whatever the other answers were; what changes nothing is dropped.

    What nobody said stays left to the rules. The item is dropped last, what is hardest to change before it.
    """
    here = standing(run)
    at, kept, unsure = run, list[str](), list[str]()
    for name in sorted(run.answers, key=lambda n: _dropping(run, n)):
        attribute = run.rulebase.attributes.get(name)
        if attribute is None or attribute.ask == "never":
            kept.append(name)
            continue
        dropped = at.saying({name: whole(attribute)})
        if _stays(here, standing(dropped), goals) or (name != "item" and _stays_throughout(here, at, attribute, goals)):
            at = dropped
            continue
        kept.append(name)
        if name != "item" and not _matters(here, run, attribute, goals):
            unsure.append(name)
    return Enough(tuple(kept), tuple(unsure))


def _stays_throughout(here: Standing, at: Possibility, attribute: Attribute, goals: Sequence[Goal]) -> bool:
    """Whether these goals stay under every answer to a question and without one, looked at one after another."""
    parts: list[Answer | Span | None] = [None]
    if attribute.numeric:
        marks = thresholds(at.rulebase, attribute)
        parts += [Span(low, high) for low, high in itertools.pairwise(marks)]
    elif attribute.kind == "set":
        return False
    else:
        parts += [Answer((v,)) for v in attribute.values]
    return all(_stays(here, standing(at.saying({attribute.name: part})), goals) for part in parts)


def _matters(here: Standing, run: Possibility, attribute: Attribute, goals: Sequence[Goal]) -> bool:
    """Whether another answer to a question, or none, is seen to change one of these goals by itself."""
    others: list[Answer | None] = [None, *alternatives(run, attribute)]
    return any(not _stays(here, standing(run.saying({attribute.name: other})), goals) for other in others)


def _dropping(run: Possibility, name: str) -> tuple[bool, int]:
    attribute = run.rulebase.attributes.get(name)
    return name == "item", -attribute.order if attribute else 0


def asleep(run: Possibility) -> list[str]:
    """Answers that count for nothing now: whatever they were, order and cautions would be the same."""
    here = standing(run)
    found = []
    for name in run.answers:
        attribute = run.rulebase.attributes.get(name)
        if attribute is None or name == "item" or attribute.ask == "never":
            continue
        opened = run.saying({name: whole(attribute)})
        then = standing(opened)
        if not then.open_goals() and then.signature() == here.signature() and cautions(opened) == cautions(run):
            found.append(name)
    return found


def leaning(run: Possibility) -> list[tuple[str, list[Goal]]]:
    """Suppositions, each with the parts of the order that some other answer changes; most first.

    Looked at value by value, of a number at its marks.
    """
    here = standing(run)
    found = []
    for attribute in changeable(run):
        if attribute.name not in run.answers and now(run, attribute.name):
            found.append((attribute.name, list(changed_by(run, here, attribute))))
    found.sort(key=lambda f: (-len(f[1]), GROUPS.index(run.rulebase.attributes[f[0]].group)))
    return found


BOUGHT = ("tannage", "weight", "form", "grain", "species")
"""The parts of an order that are another leather to buy, or the same in another form."""


def deciding(run: Possibility, most: int) -> list[str]:
    """The first few told suppositions of which another answer that somebody may give changes what is bought.

    Sizes and what the order says itself are told anyway, and left out. A number is looked at as far down and up as the
    rule base says it may be changed, and a way of making where the thing can be made so; an answer that leaves no order
    is no change of it.
    """
    here, rulebase = standing(run), run.rulebase
    item = now(run, "item")
    slug = str(item[0]) if item else None
    changing, asking, found = changing_of(rulebase, slug), asking_of(rulebase, slug), list[str]()
    within: frozenset[str] = rulebase.once("ordering", _ordering)

    def moves(answer: Answer | Spread) -> bool:
        """Whether what is bought may then be another."""
        return not set(BOUGHT).isdisjoint(here.moved(standing(run.saying({name: answer}, within))))

    for name in asking.supposed:
        if len(found) == most:
            break
        held = now(run, name)
        attribute = rulebase.attributes[name]
        told = attribute.group == "size" or name in asking.in_the_order
        if name in run.answers or not held or told:
            continue
        if not moves(whole(attribute)):
            continue
        answers = alternatives(run, attribute)
        if attribute.numeric and not changing.anything:
            low, high = (float(held[0]) * end for end in (changing.least, changing.most))
            answers = [a for a in answers if low <= float(a.values[0]) <= high]
        elif name in changing.made:
            answers = [a for a in answers if changing.takes(name, held, a.values)]
        if any(map(moves, answers)):
            found.append(name)
    return found


def _ordering(rulebase: RuleBase) -> frozenset[str]:
    """All that can bear on the outcome or on what is chosen, but for what is only reckoned from it."""
    net = network(rulebase)
    rules = {at for place, _ in net.outcomes for at in (place, *net.winners[place])}
    return cone(rulebase, [*rulebase.decisions, *(node_of(name) for at in rules for name in net.reads[at])])


def changed_by(
    run: Possibility, here: Standing, attribute: Attribute, may: Sequence[Goal] | None = None
) -> tuple[Goal, ...]:
    """The parts of the order that some single answer to a question changes, one by one.

    ``may`` are those that a run over all answers leaves open, if that was held already.
    """
    if may is None:
        may = here.moved(standing(run.saying({attribute.name: whole(attribute)})))
    seen = dict.fromkeys(may, False)
    for answer in alternatives(run, attribute) if may else ():
        for goal in here.moved(standing(run.saying({attribute.name: answer}))):
            seen[goal] = True
        if all(seen.values()):
            break
    return tuple(goal for goal, moved in seen.items() if moved)

"""What the order leans on: answers that would change it, answers that are enough, suppositions, cases.

Each is found on runs over sets of answers, so "nothing would" covers every value, not a sample.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from ..rulebase.models import NO_ORDER, Attribute, Value
from .changes import HALVINGS, Change, alternatives, changeable, effort, now, thresholds, tidy
from .facts import Answer
from .possibility import Possibility
from .report import GROUPS
from .spread import Span, whole
from .standing import Goal, Standing, cautions, standing

Values = frozenset[Value]


@dataclass(frozen=True, slots=True)
class Tip:
    """One answer that would change a goal, and what the goal would be then.

    ``side`` says of a number on which side of it that begins: "from" or "down to"; "" for a word.
    """

    change: Change
    becomes: Values
    side: str = ""


@dataclass(slots=True)
class Tips:
    """What would change a goal, the easiest first; ``safe`` names the questions none of whose answers does."""

    goal: Goal
    here: Values
    found: list[Tip] = field(default_factory=list)
    safe: list[str] = field(default_factory=list)


def goal_of(run: Possibility, goal: Goal) -> Values:
    """What a run with nothing open comes to in one goal; nothing where it gives no order."""
    part = standing(run).order.get(goal)
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
        find = _turning if attribute.numeric and now(run, attribute.name) else _other_words
        found = find(run, attribute, goal, result.here)
        result.found += found
        if not found:
            result.safe.append(attribute.name)
    # What brings a conflict or asks about something that is not there comes after the rest.
    result.found.sort(key=lambda t: ("conflict" in t.becomes or not t.becomes, not now(run, t.change[0]),
                                     effort(run, t.change)))  # fmt: skip
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


def _other_words(run: Possibility, attribute: Attribute, goal: Goal, here: Values) -> list[Tip]:
    found = []
    for answer in alternatives(run, attribute):
        then = goal_of(run.saying({attribute.name: answer}), goal)
        if then != here:
            found.append(Tip((attribute.name, answer), then))
    return found


def _turning(run: Possibility, attribute: Attribute, goal: Goal, here: Values) -> list[Tip]:
    """The nearest numbers above and below at which the goal changes."""
    middle = float(now(run, attribute.name)[0])
    marks = thresholds(run.rulebase, attribute)
    sides = (("from", [m for m in marks if m > middle]), ("down to", [m for m in reversed(marks) if m < middle]))
    found = []
    for side, line in sides:
        last = middle
        for mark in line:
            if goal_of(_at(run, attribute, mark), goal) == here:
                last = mark
                continue
            _, tipped = _between(attribute, lambda v: goal_of(_at(run, attribute, v), goal) == here, last, mark)
            found.append(Tip((attribute.name, Answer((tipped,))), goal_of(_at(run, attribute, tipped), goal), side))
            break
    return found


def _at(run: Possibility, attribute: Attribute, value: float) -> Possibility:
    return run.saying({attribute.name: Answer((value,))})


def _between(attribute: Attribute, alike: Callable[[float], bool], same: float, other: float) -> tuple[float, float]:
    """The last number, coming from ``same``, at which all is alike, and the first at which it is not."""
    for _ in range(HALVINGS):
        middle = tidy(attribute, (same + other) / 2)
        if middle in (same, other):
            break
        if alike(middle):
            same = middle
        else:
            other = middle
    return same, other


def enough(run: Possibility, goals: Sequence[Goal]) -> list[str]:
    """Answers that settle these goals whatever the other answers were; none of them can be dropped.

    What nobody said stays left to the rules. The item is dropped last, what is hardest to change before it.
    """
    here = standing(run)
    at, kept = run, []
    for name in sorted(run.answers, key=lambda n: _dropping(run, n)):
        attribute = run.rulebase.attributes.get(name)
        if attribute is None or attribute.ask == "never":
            kept.append(name)
            continue
        dropped = at.saying({name: whole(attribute)})
        if _stays(here, standing(dropped), goals):
            at = dropped
        else:
            kept.append(name)
    return kept


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
    """Suppositions, each with the parts of the order that another answer could change; most first."""
    here = standing(run)
    found = []
    for attribute in changeable(run):
        if attribute.name not in run.answers and now(run, attribute.name):
            then = standing(run.saying({attribute.name: whole(attribute)}))
            found.append((attribute.name, list(here.moved(then))))
    found.sort(key=lambda f: (-len(f[1]), GROUPS.index(run.rulebase.attributes[f[0]].group)))
    return found


@dataclass(frozen=True, slots=True)
class Case:
    """One case of what nobody knows: ``within`` maps each name to the answers it stands for; ``run`` is one of them.

    A number stands for a span from the first to the second, both included.
    """

    within: tuple[tuple[str, tuple[Value, ...]], ...]
    run: Possibility


def by_cases(run: Possibility, names: Sequence[str], most: int = 4) -> list[Case] | str:
    """The order for everything that may be answered to ``names``: disjoint cases that cover all of it.

    Returns the one name to find out first where ``most`` cases are not enough.
    """
    live = [n for n in names if standing(run.saying({n: whole(run.rulebase.attributes[n])})).open_goals()]
    if not live:
        return [Case((), run)]
    plans = []
    for first in live:
        cases = _split(run, [first, *(n for n in live if n != first)], most)
        if isinstance(cases, list):
            plans.append(cases)
    return min(plans, key=len) if plans else live[0]


def _split(run: Possibility, names: Sequence[str], most: int) -> list[Case] | None:
    """The cases with ``names`` split in this order; None if there are too many."""
    if not names or _settles(run, names):
        return [Case((), _any_of(run, names))]
    attribute = run.rulebase.attributes[names[0]]
    if attribute.kind == "set":
        return None
    parts = _spans(run, attribute, most) if attribute.numeric else [(v,) for v in attribute.values]
    if parts is None:
        return None
    groups: list[tuple[tuple[Value, ...], list[Case]]] = []
    for part in parts:
        cases = _split(run.saying({attribute.name: Answer((part[0],))}), names[1:], most)
        if cases is None:
            return None
        alike = next((n for n, (_, other) in enumerate(groups) if not attribute.numeric and _same(cases, other)), None)
        if alike is None:
            groups.append((part, cases))
        else:
            groups[alike] = ((*groups[alike][0], *part), groups[alike][1])
    found = [Case(((attribute.name, part), *case.within), case.run) for part, cases in groups for case in cases]
    return found if len(found) <= most else None


def _settles(run: Possibility, names: Sequence[str]) -> bool:
    return not standing(run.saying({n: whole(run.rulebase.attributes[n]) for n in names})).open_goals()


def _any_of(run: Possibility, names: Sequence[str]) -> Possibility:
    """Where no answer to these matters, they may as well be left unsaid."""
    return run.saying(dict.fromkeys(names)) if names else run


def _same(cases: Sequence[Case], others: Sequence[Case]) -> bool:
    return len(cases) == len(others) and all(
        a.within == b.within and standing(a.run).signature() == standing(b.run).signature()
        for a, b in zip(cases, others, strict=True)
    )


def _spans(run: Possibility, attribute: Attribute, most: int) -> list[tuple[Value, ...]] | None:
    """The range of a number cut where the order changes, each part proven to be of one order; None if it cannot be."""
    marks = thresholds(run.rulebase, attribute)

    def order_at(value: float) -> object:
        return standing(_at(run, attribute, value)).signature()

    spans: list[tuple[Value, ...]] = []
    start = last = marks[0]
    for mark in marks[1:]:
        here = order_at(start)
        while order_at(mark) != here:
            last, cut = _between(attribute, lambda v, h=here: order_at(v) == h, last, mark)  # type: ignore[misc]
            spans.append((start, last))
            if len(spans) >= most:
                return None
            start = last = cut
            here = order_at(start)
        last = mark
    spans.append((start, last))
    proven = (run.saying({attribute.name: Span(float(low), float(high))}) for low, high in spans)
    return None if any(standing(part).open_goals() for part in proven) else spans

"""Which answers would have to be other ones for something else to be advised: the smallest changes.

Every search runs the rules on sets of answers and leaves out only what cannot hold a solution, so
that "none exists" may be said of exactly what was covered. Values of a number are tried at the
thresholds of the rules and halved towards where a formula tips; that grain is part of the statement.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from time import monotonic

from ..rulebase.house import House
from ..rulebase.models import Attribute, RuleBase, Value
from .facts import Answer
from .network import cone
from .possibility import Possibility
from .spread import Spread, whole
from .targets import Target

# What is the case is harder to change than what is wished for.
GIVEN = ("people", "load", "limits", "wet")
HALVINGS = 12
Change = tuple[str, Answer]


@dataclass(frozen=True, slots=True)
class Search:
    """``found``: the smallest sets of changes, best first. ``size``: how many changes each has.

    ``covered``: all sets of up to so many changes over ``over`` names were tried or ruled out;
    ``never``: no change of these answers at all can do it.
    """

    found: list[tuple[Change, ...]]
    size: int
    covered: int
    over: int
    never: bool = False


def present(rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None = None) -> Possibility:
    """The run in which everything stays as it is: what nobody said is left to the rules.

    The last one is remembered, because much is asked of it in turn.
    """
    said = {n: a for n, a in answers.items() if a.state != "don't know"}
    memo: dict[str, Possibility] = rulebase.once("present", lambda _: {})
    last = memo.get("last")
    if last is None or last.house is not house:
        memo["last"] = last = Possibility(rulebase, said, {}, house)
    elif last.answers != said:
        changed = {n: said.get(n) for n in said.keys() | last.answers.keys() if said.get(n) != last.answers.get(n)}
        memo["last"] = last = last.saying(changed)
    return last


def changeable(run: Possibility, keep: Iterable[str] = ()) -> list[Attribute]:
    """The questions whose answer may be changed: all but the item itself and what is to be kept."""
    barred = {"item", *keep}
    return [
        a for a in run.rulebase.attributes.values()
        if a.ask != "never" and a.name not in barred and a.kind != "text"
    ]  # fmt: skip


def now(run: Possibility, name: str) -> tuple[Value, ...]:
    """What holds under a name now, answered or not."""
    return run.fixed(name) or ()


def alternatives(run: Possibility, attribute: Attribute) -> list[Answer]:
    """Other answers worth trying: every word; each word alone, added or taken away in a set; thresholds."""
    held = now(run, attribute.name)
    if attribute.numeric:
        return [Answer((v,)) for v in thresholds(run.rulebase, attribute) if (v,) != held]
    if attribute.kind != "set":
        return [Answer((v,)) for v in attribute.values if (v,) != held]
    found: dict[tuple[Value, ...], None] = {}
    rest = tuple(v for v in held if v != "none")
    for value in attribute.values:
        if value == "none":
            found[(value,)] = None
        elif value in rest:
            without = tuple(v for v in rest if v != value)
            found[without or (("none",) if "none" in attribute.values else (value,))] = None
        else:
            found[(value,)] = None
            found[tuple(sorted((*rest, value), key=str))] = None
    return [Answer(values) for values in found if set(values) != set(held)]


def thresholds(rulebase: RuleBase, attribute: Attribute) -> list[float]:
    """Numbers that the rules tell apart: each threshold, one step to either side, the ends and between."""
    memo: dict[str, list[float]] = rulebase.once("thresholds", lambda _: {})
    if attribute.name not in memo:
        step = 1.0 if attribute.kind == "count" else 0.01 if attribute.unit == "plain" else 0.1
        marks: set[float] = set()
        for rule in rulebase.rules.values():
            for premise in rule.when:
                if premise.attribute == attribute.name and premise.operator not in ("known", "unknown"):
                    marks |= {float(v) for v in premise.values}
        low = attribute.low if attribute.low is not None else min(marks, default=0.0)
        high = attribute.high if attribute.high is not None else max(marks, default=low + 1)
        points = {low, high} | {round(m + d, 3) for m in marks for d in (-step, 0.0, step)}
        # Formulas tip between thresholds: seven sizes, each so many times the one before.
        start = max(low, step)
        ratio = (high / start) ** (1 / 8) if high > start else 1.0
        for power in range(1, 8):
            value = start * ratio**power
            points.add(float(round(value)) if attribute.kind == "count" else round(value, 1))
        memo[attribute.name] = sorted(p for p in points if low <= p <= high)
    return memo[attribute.name]


def effort(run: Possibility, change: Change) -> tuple[int, int, float]:
    """How hard a change is: what is the case after what is wished, a said answer after a supposition."""
    name, answer = change
    attribute = run.rulebase.attributes[name]
    held = now(run, name)
    distance = 0.0
    if attribute.numeric and held:
        was, will = float(held[0]), float(answer.values[0])
        distance = abs(will - was) / max(abs(was), 1.0)
    return attribute.group in GIVEN, name in run.answers, distance


def smallest(
    run: Possibility, target: Target, keep: Iterable[str] = (), most: int = 2, seconds: float = 2.0
) -> Search:
    """The smallest sets of changes after which ``target`` holds. ``run`` has nothing open."""
    attributes = changeable(run, keep)
    opened = {a.name: whole(a) for a in attributes}
    within = cone(run.rulebase, target.nodes) if target.nodes is not None else None
    attributes = [a for a in attributes if within is None or a.name in within]
    if not target.could(run.saying({a.name: opened[a.name] for a in attributes}, within)):
        return Search([], 0, most, len(attributes), never=True)
    until = monotonic() + seconds
    for size in range(1, most + 1):
        found = _sets(run, target, attributes, opened, within, size, until)
        if found is None:
            return Search([], 0, size - 1, len(attributes))
        if found:
            found.sort(key=lambda s: (sorted((effort(run, c) for c in s), reverse=True), len(s)))
            return Search(found, size, size, len(attributes))
    return Search([], 0, most, len(attributes))


def _sets(
    run: Possibility, target: Target, attributes: Sequence[Attribute], opened: Mapping[str, Spread],
    within: frozenset[str] | None, size: int, until: float,
) -> list[tuple[Change, ...]] | None:
    """All sets of exactly ``size`` changes; None if time ran out. What is left out cannot hold a solution."""
    found: list[tuple[Change, ...]] = []

    def could(at: Possibility, some: Sequence[Attribute]) -> bool:
        return target.could(at.saying({a.name: opened[a.name] for a in some}, within))

    def worth(at: Possibility, some: Sequence[Attribute]) -> Iterator[Attribute]:
        """Those of ``some`` that could do it alone: halves that cannot are left out whole."""
        if not some or not could(at, some):
            return
        if len(some) == 1:
            yield some[0]
            return
        middle = len(some) // 2
        yield from worth(at, some[:middle])
        yield from worth(at, some[middle:])

    def search(at: Possibility, left: int, rest: Sequence[Attribute], chosen: tuple[Change, ...]) -> bool:
        if left == 1:
            for attribute in worth(at, rest):
                if monotonic() > until:
                    return False
                found.extend((*chosen, (attribute.name, a)) for a in _tried(at, attribute, target))
            return True
        for place, attribute in enumerate(rest):
            later = rest[place + 1 :]
            if not could(at, [attribute, *later]):
                continue
            for answer in alternatives(at, attribute):
                if monotonic() > until:
                    return False
                said = at.saying({attribute.name: answer}, within)
                if could(said, later) and not search(said, left - 1, later, (*chosen, (attribute.name, answer))):
                    return False
        return True

    return found if search(run, size, attributes, ()) else None


def _tried(run: Possibility, attribute: Attribute, target: Target) -> list[Answer]:
    """The answers that do it; of the numbers that do, the nearest on either side."""

    def does(answer: Answer) -> bool:
        return target.holds(run.saying({attribute.name: answer}))

    answers = alternatives(run, attribute)
    if not attribute.numeric:
        return [a for a in answers if does(a)]
    hits = [float(a.values[0]) for a in answers if does(a)]
    held = now(run, attribute.name)
    if not hits or not held:
        return [Answer((hits[0],))] if hits else []
    middle = float(held[0])
    ends = (min((h for h in hits if h > middle), default=None), max((h for h in hits if h < middle), default=None))
    return [Answer((_nearest(attribute, does, middle, end),)) for end in ends if end is not None]


def _nearest(attribute: Attribute, does: Callable[[Answer], bool], off: float, on: float) -> float:
    """The number nearest to ``off``, where the target does not hold, at which it does."""
    for _ in range(HALVINGS):
        middle = tidy(attribute, (off + on) / 2)
        if middle in (off, on):
            break
        if does(Answer((middle,))):
            on = middle
        else:
            off = middle
    return on


def tidy(attribute: Attribute, value: float) -> float:
    """A number as anybody would say it: three figures, a whole number for a count."""
    if attribute.kind == "count":
        return float(round(value))
    return float(f"{value:.3g}")

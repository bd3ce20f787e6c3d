"""Which answers would have to be other ones for something else to be advised: the smallest changes.

Every search runs the rules on sets of answers and leaves out only what cannot hold a solution, so
that "none exists" may be said of exactly what was covered. Numbers are tried at the thresholds of the rules, and what
lies between is proven to do nothing or named as not searched. Work is bounded by the number of runs, never by time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from ..rulebase.changing import Changing
from ..rulebase.house import House
from ..rulebase.models import Attribute, RuleBase, Value
from .facts import Answer
from .network import cone
from .numbers import DEPTH, Budget, Line, edge, tidy
from .possibility import Possibility, with_answers
from .spread import Span, Spread, whole
from .targets import Target

# What is the case is harder to change than what is wished for.
GIVEN = ("people", "load", "limits", "wet")
RUNS = 2000
"""How many runs one search may take."""
Change = tuple[str, Answer]


@dataclass(frozen=True, slots=True)
class Search:
    """``found``: the smallest sets of changes, best first. ``size``: how many changes each has.

    ``covered``: all sets of up to so many changes over ``over`` names were tried or ruled out, but for the
    names in ``gaps``, of which only some answers were. ``never``: no change of these answers at all can do it.
    ``stopped``: the search ended before it had gone through all that it was to cover.
    """

    found: list[tuple[Change, ...]]
    size: int
    covered: int
    over: int
    never: bool = False
    gaps: tuple[str, ...] = ()
    stopped: bool = False


def present(rulebase: RuleBase, answers: Mapping[str, Answer], house: House | None = None) -> Possibility:
    """The run in which everything stays as it is: what nobody said is left to the rules."""
    said = {n: a for n, a in answers.items() if a.state != "don't know"}
    return with_answers(rulebase, said, house, opened=False)


def changeable(run: Possibility, keep: Iterable[str] = ()) -> list[Attribute]:
    """The questions whose answer may be changed: all but the item itself and what is to be kept."""
    barred = {"item", *keep}
    return [
        a for a in run.rulebase.attributes.values() if a.ask != "never" and a.name not in barred and a.kind != "text"
    ]


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
    run: Possibility,
    target: Target,
    keep: Iterable[str] = (),
    most: int = 2,
    runs: int = RUNS,
    changing: Changing | None = None,
) -> Search:
    """The smallest sets of changes after which ``target`` holds. ``run`` has nothing open.

    With ``changing`` only answers are tried that may be offered under it.
    """
    attributes = [a for a in changeable(run, keep) if changing is None or changing.offered(a.name)]
    opened = {a.name: whole(a) for a in attributes}
    within = cone(run.rulebase, target.nodes) if target.nodes is not None else None
    attributes = [a for a in attributes if within is None or a.name in within]
    if not target.could(run.saying({a.name: opened[a.name] for a in attributes}, within)):
        return Search([], 0, most, len(attributes), never=True)
    hunt = _Hunt(target, opened, within, Budget(runs), changing)
    for size in range(1, most + 1):
        hunt.found.clear()
        whole_size = hunt.search(run, size, attributes, ())
        gaps = tuple(sorted(hunt.gaps))
        covered = size if whole_size else size - 1
        if hunt.found or not whole_size:
            hunt.found.sort(key=lambda s: (sorted((effort(run, c) for c in s), reverse=True), len(s)))
            found = hunt.found[:]
            return Search(found, size if found else 0, covered, len(attributes), gaps=gaps, stopped=not whole_size)
    return Search([], 0, most, len(attributes), gaps=tuple(sorted(hunt.gaps)))


@dataclass(slots=True)
class _Hunt:
    """A search for sets of changes. What is left out cannot hold a solution, but for answers to what ``gaps`` names."""

    target: Target
    opened: Mapping[str, Spread]
    within: frozenset[str] | None
    budget: Budget
    changing: Changing | None = None
    found: list[tuple[Change, ...]] = field(default_factory=list)
    gaps: set[str] = field(default_factory=set)

    def search(self, at: Possibility, left: int, rest: Sequence[Attribute], chosen: tuple[Change, ...]) -> bool:
        """Add all sets of ``left`` more changes to ``chosen``; False if the runs were used up first."""
        if left == 1:
            for attribute in self._worth(at, rest):
                if self.budget.over:
                    return False
                self.found.extend((*chosen, (attribute.name, a)) for a in self._doing(at, attribute, bool(chosen)))
            return not self.budget.over
        for place, attribute in enumerate(rest):
            later = rest[place + 1 :]
            if not self._could(at, [attribute, *later]):
                continue
            for answer in self._offered(at, attribute):
                if self.budget.over:
                    return False
                self.budget.spend()
                said = at.saying({attribute.name: answer}, self.within)
                more = (*chosen, (attribute.name, answer))
                if self._could(said, later) and not self.search(said, left - 1, later, more):
                    return False
        return True

    def _offered(self, at: Possibility, attribute: Attribute) -> list[Answer]:
        held = now(at, attribute.name)
        answers = alternatives(at, attribute)
        return [a for a in answers if self.changing is None or self.changing.takes(attribute.name, held, a.values)]

    def _marks(self, at: Possibility, attribute: Attribute) -> list[float]:
        """The numbers to go along: the marks that may be offered, and the ends of what may."""
        marks, held = thresholds(at.rulebase, attribute), now(at, attribute.name)
        if self.changing is None or self.changing.anything:
            return marks
        if held:
            ends = (tidy(attribute, float(held[0]) * part) for part in (self.changing.least, self.changing.most))
            marks = sorted({*marks, *(e for e in ends if marks[0] <= e <= marks[-1])})
        return [m for m in marks if self.changing.takes(attribute.name, held, (m,))]

    def _could(self, at: Possibility, some: Sequence[Attribute]) -> bool:
        self.budget.spend()
        return self.target.could(at.saying({a.name: self.opened[a.name] for a in some}, self.within))

    def _worth(self, at: Possibility, some: Sequence[Attribute]) -> Iterator[Attribute]:
        """Those of ``some`` that could do it alone: halves that cannot are left out whole."""
        if not some or self.budget.over or not self._could(at, some):
            return
        if len(some) == 1:
            yield some[0]
            return
        middle = len(some) // 2
        yield from self._worth(at, some[:middle])
        yield from self._worth(at, some[middle:])

    def _doing(self, at: Possibility, attribute: Attribute, beside: bool) -> list[Answer]:
        """The answers that do it; of the numbers that do, the nearest on either side.

        Beside other changes a number is tried at its marks alone.
        """

        def does(answer: Answer) -> bool:
            return self.target.holds(at.saying({attribute.name: answer}))

        if not attribute.numeric:
            answers = self._offered(at, attribute)
            for _ in answers:
                self.budget.spend()
            doing = [a for a in answers if does(a)]
            if attribute.kind == "set" and not doing:
                # Of a set not every mixture is tried.
                self.gaps.add(attribute.name)
            return doing

        def could(low: float, high: float) -> bool:
            return self.target.could(at.saying({attribute.name: Span(low, high)}, self.within))

        marks, held = self._marks(at, attribute), now(at, attribute.name)
        if not marks:
            return []
        if not held:
            self.budget.spend()
            if does(Answer((marks[0],))):
                return [Answer((marks[0],))]
        middle = float(held[0]) if held else marks[0]
        line = Line(attribute, lambda v: not does(Answer((v,))), lambda low, high: not could(low, high), self.budget)
        found = []
        for way in ([m for m in marks if m > middle], [m for m in reversed(marks) if m < middle]):
            reached = edge(line, middle, way, 0 if beside else DEPTH)
            if reached.first is not None:
                found.append(Answer((reached.first,)))
            elif not reached.proven:
                self.gaps.add(attribute.name)
        return found

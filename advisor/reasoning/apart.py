"""The order for everything that nobody knows: disjoint cases that cover all of it, each proven to be of one order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..rulebase.models import Attribute, Value
from .changes import thresholds
from .facts import Answer
from .numbers import between
from .possibility import Possibility
from .spread import Span, whole
from .standing import standing


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
    if _settles(run, names):
        return [Case((), run)]
    # What changes nothing alone may still change something beside another; it is split last.
    live = [n for n in names if not _settles(run, [n])]
    plans = []
    for first in live or names:
        in_turn = dict.fromkeys((first, *live, *names))
        cases = _split(run, list(in_turn), most)
        if isinstance(cases, list):
            plans.append([_without_idle(run, case) for case in cases])
    return min(plans, key=len) if plans else (live or names)[0]


def _without_idle(run: Possibility, case: Case) -> Case:
    """A case without the names that it covers whole."""
    attributes = run.rulebase.attributes
    told = [
        (n, part)
        for n, part in case.within
        if (part != _ends(run, attributes[n]) if attributes[n].numeric else len(part) < len(attributes[n].values))
    ]
    return Case(tuple(told), case.run)


def _ends(run: Possibility, attribute: Attribute) -> tuple[Value, ...]:
    marks = thresholds(run.rulebase, attribute)
    return marks[0], marks[-1]


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
        one = Answer((part[0],))
        inside = Span(float(part[0]), float(part[-1])) if attribute.numeric else one
        cases = _split(run.saying({attribute.name: inside}), names[1:], most)
        if cases is None:
            return None
        if attribute.numeric:
            cases = [Case(case.within, case.run.saying({attribute.name: one})) for case in cases]
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
        return standing(run.saying({attribute.name: Answer((value,))})).signature()

    spans: list[tuple[Value, ...]] = []
    start = last = marks[0]
    for mark in marks[1:]:
        here = order_at(start)
        while order_at(mark) != here:
            last, cut = between(attribute, lambda v, h=here: order_at(v) == h, last, mark)  # type: ignore[misc]
            spans.append((start, last))
            if len(spans) >= most:
                return None
            start = last = cut
            here = order_at(start)
        last = mark
    spans.append((start, last))
    proven = (run.saying({attribute.name: Span(float(low), float(high))}) for low, high in spans)
    return None if any(standing(part).open_goals() for part in proven) else spans

"""Places for the boxes of a layered graph: columns from left to right, no box on another, few crossings.

A line over several columns gets a lane of its own in each, so that no line runs behind a box. The
order in a column follows the middle of the neighbours, the heights are the nearest to them that keep
the gaps. Equal graphs get equal places. What is in the boxes is not known here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

SWEEPS = 32
GAP, LANE = 14.0, 9.0
# How hard a line pulls its ends to one height: a lane is to run straight, a box may stand off.
_BETWEEN_LANES, _FROM_A_LANE, _BETWEEN_BOXES = 8.0, 2.0, 1.0


@dataclass(slots=True)
class Placed:
    """Where things are. ``column`` and ``top`` by box; ``lanes`` are the heights a line passes at, by column."""

    column: dict[str, int]
    top: dict[str, float]
    lanes: dict[tuple[str, str], list[tuple[int, float]]]
    height: float


def place(ranks: Mapping[str, int], heights: Mapping[str, float], edges: Sequence[tuple[str, str]]) -> Placed:
    """Places for boxes of the given ranks and heights; every edge goes from a lower rank to a higher.

    The lowest rank stands in the first column, the highest in the last, the others as far to the left
    as what leads to them allows.
    """
    column = _columns(ranks, edges)
    columns: list[list[str]] = [[] for _ in range(max(column.values(), default=-1) + 1)]
    for name, at in column.items():
        columns[at].append(name)
    size, links, chains = dict(heights), list[tuple[str, str]](), {}
    for n, (tail, head) in enumerate(edges):
        chain = [tail]
        for at in range(column[tail] + 1, column[head]):
            lane = f"lane {n} {at}"
            columns[at].append(lane)
            size[lane] = 0.0
            chain.append(lane)
        chain.append(head)
        chains[tail, head] = chain
        links += pairwise(chain)
    before: dict[str, list[str]] = {}
    after: dict[str, list[str]] = {}
    for tail, head in links:
        after.setdefault(tail, []).append(head)
        before.setdefault(head, []).append(tail)
    _order(columns, before, after)
    middle = _heights(columns, size, before, after)
    lowest = min(middle[n] - size[n] / 2 for c in columns for n in c) if ranks else 0.0
    top = {name: middle[name] - size[name] / 2 - lowest for name in ranks}
    lanes = {
        edge: [(column[edge[0]] + 1 + i, middle[lane] - lowest) for i, lane in enumerate(chain[1:-1])]
        for edge, chain in chains.items()
    }
    ends = [top[n] + heights[n] for n in ranks] + [y for lane in lanes.values() for _, y in lane]
    return Placed(column, top, lanes, max(ends, default=0.0))


def _columns(ranks: Mapping[str, int], edges: Sequence[tuple[str, str]]) -> dict[str, int]:
    column = dict.fromkeys(ranks, 0)
    first, last = min(ranks.values(), default=0), max(ranks.values(), default=0)
    for name in sorted(ranks, key=lambda n: ranks[n]):
        if ranks[name] > first:
            column[name] = 1 + max((column[a] for a, b in edges if b == name), default=0)
    end = max(column.values(), default=0)
    return {name: end if ranks[name] == last > first else at for name, at in column.items()}


def _order(columns: list[list[str]], before: Mapping[str, list[str]], after: Mapping[str, list[str]]) -> None:
    """Sort each column by the middle of its neighbours, to and fro, and keep the order with fewest crossings."""
    best, fewest = [list(c) for c in columns], _crossings(columns, after)
    for sweep in range(SWEEPS):
        forth = sweep % 2 == 0
        neighbours = before if forth else after
        for at in range(len(columns)) if forth else reversed(range(len(columns))):
            beside = at - 1 if forth else at + 1
            if not 0 <= beside < len(columns):
                continue
            place_of = {name: i for i, name in enumerate(columns[beside])}
            own = {name: i for i, name in enumerate(columns[at])}

            def key(name: str, place_of: Mapping[str, int] = place_of, own: Mapping[str, int] = own) -> float:
                found = [place_of[n] for n in neighbours.get(name, ()) if n in place_of]  # noqa: B023
                return sum(found) / len(found) if found else own[name] * len(place_of) / max(1, len(own))

            columns[at].sort(key=key)
        crossings = _crossings(columns, after)
        if crossings < fewest:
            best, fewest = [list(c) for c in columns], crossings
    columns[:] = best


def _crossings(columns: Sequence[Sequence[str]], after: Mapping[str, list[str]]) -> int:
    total = 0
    for left, right in pairwise(columns):
        place_of = {name: i for i, name in enumerate(right)}
        ends = [sorted(place_of[h] for h in after.get(name, ()) if h in place_of) for name in left]
        for i, upper in enumerate(ends):
            total += sum(1 for lower in ends[i + 1 :] for a in upper for b in lower if a > b)
    return total


def _heights(
    columns: Sequence[Sequence[str]],
    size: Mapping[str, float],
    before: Mapping[str, list[str]],
    after: Mapping[str, list[str]],
) -> dict[str, float]:
    """The middle of each box: as near to the middle of its neighbours as the gaps allow."""
    middle: dict[str, float] = {}
    for names in columns:
        y = 0.0
        for i, name in enumerate(names):
            y += _apart(names[i - 1], name, size) if i else 0.0
            middle[name] = y
    for sweep in range(SWEEPS):
        for names in columns if sweep % 2 == 0 else reversed(columns):
            wanted = []
            for name in names:
                near = [(middle[n], _pull(size[name], size[n])) for n in (*before.get(name, ()), *after.get(name, ()))]
                pull = sum(p for _, p in near)
                wanted.append(sum(y * p for y, p in near) / pull if near else middle[name])
            middle.update(zip(names, _nearest(names, wanted, size), strict=True))
    return middle


def _pull(one: float, other: float) -> float:
    if one and other:
        return _BETWEEN_BOXES
    return _FROM_A_LANE if one or other else _BETWEEN_LANES


def _apart(upper: str, lower: str, size: Mapping[str, float]) -> float:
    """The least distance between the middles of two neighbours in a column."""
    gap = GAP if size[upper] or size[lower] else LANE
    return size[upper] / 2 + gap + size[lower] / 2


def _nearest(names: Sequence[str], wanted: Sequence[float], size: Mapping[str, float]) -> list[float]:
    """The places nearest to the wanted ones, by least squares, that keep order and gaps (pooling violators)."""
    offset = [0.0]
    for upper, lower in pairwise(names):
        offset.append(offset[-1] + _apart(upper, lower, size))
    pools: list[tuple[float, int]] = []
    for want, shift in zip(wanted, offset, strict=False):
        total, count = want - shift, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            above, many = pools.pop()
            total, count = total + above, count + many
        pools.append((total, count))
    level = [total / count for total, count in pools for _ in range(count)]
    return [y + shift for y, shift in zip(level, offset, strict=False)]

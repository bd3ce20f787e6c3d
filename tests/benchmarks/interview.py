"""How many questions an interview takes, how long a turn, and whether its end is true: printed, not asserted.

Everybody answers from a fixed set of answers of their own, drawn with the seed below: the usual value three
times in four, anything else once, "don't know" once in twenty. The interview by look-ahead is set against a
fixed order that leaves out what cannot matter and against asking everything. Run:

    python tests/benchmarks/interview.py [PEOPLE]
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from advisor import load_rulebase  # noqa: E402
from advisor.reasoning.changes import alternatives, changeable, present  # noqa: E402
from advisor.reasoning.facts import Answer  # noqa: E402
from advisor.reasoning.interview import stop, worth_asking  # noqa: E402
from advisor.reasoning.report import question_order  # noqa: E402
from advisor.reasoning.spread import whole  # noqa: E402
from advisor.reasoning.standing import standing  # noqa: E402
from advisor.rulebase.models import RuleBase  # noqa: E402
from advisor.talk.session import Session  # noqa: E402

SEED = 88_001
SAMPLES = 30


def person(rulebase: RuleBase, item: str, pick: random.Random) -> dict[str, Answer]:
    """An answer to every question there is."""
    start = {"item": Answer((item,))}
    run = present(rulebase, start)
    mine = dict(start)
    for attribute in changeable(run):
        held, draw = run.fixed(attribute.name), pick.random()
        if draw < 0.05:
            mine[attribute.name] = Answer((), "don't know")
        elif held and draw < 0.8:
            mine[attribute.name] = Answer(held)
        elif not held and draw < 0.8 and "none" in attribute.values:
            mine[attribute.name] = Answer(("none",))
        else:
            mine[attribute.name] = pick.choice(alternatives(run, attribute))
    return mine


def look_ahead(rulebase: RuleBase, mine: dict[str, Answer], ring: str) -> Iterator[str]:
    answers = {"item": mine["item"]}
    while asks := worth_asking(present(rulebase, answers), answers, ring):
        answers[asks[0].name] = mine[asks[0].name]
        yield asks[0].name


def fixed_order(rulebase: RuleBase, mine: dict[str, Answer]) -> Iterator[str]:
    answers = {"item": mine["item"]}
    names = sorted((n for n in mine if n != "item"), key=lambda n: question_order(rulebase, n))
    for name in names:
        run = present(rulebase, answers)
        then = standing(run.saying({name: whole(rulebase.attributes[name])}))
        if standing(run).moved(then):
            answers[name] = mine[name]
            yield name


def untrue(rulebase: RuleBase, mine: dict[str, Answer], asked: list[str], pick: random.Random) -> int:
    answers = {n: mine[n] for n in ("item", *asked)}
    run = present(rulebase, answers)
    end, before = stop(run, answers), standing(run).signature()
    names = [pick.choice(end.looked_at) for _ in range(SAMPLES)]
    return sum(
        standing(run.saying({n: pick.choice(alternatives(run, rulebase.attributes[n]))})).signature() != before
        for n in names
    )


def shown(name: str, counts: list[int]) -> None:
    counts = sorted(counts)
    print(f"{name:<44} mean {statistics.mean(counts):5.1f}  median {counts[len(counts) // 2]:3}  most {counts[-1]:3}")


def main() -> None:
    people = int(sys.argv[1]) if len(sys.argv) > 1 else 96
    rulebase, pick = load_rulebase(), random.Random(SEED)
    items = sorted(rulebase.items)
    everything, fixed, first, ahead, wrong, turns = [], [], [], [], 0, []
    for number in range(people):
        mine = person(rulebase, items[number % len(items)], pick)
        everything.append(len(mine) - 1)
        fixed.append(len(list(fixed_order(rulebase, mine))))
        first.append(len(list(look_ahead(rulebase, mine, "first"))))
        asked = list(look_ahead(rulebase, mine, "later"))
        ahead.append(len(asked))
        wrong += untrue(rulebase, mine, asked, pick)
        session = Session(rulebase)
        session.hear(str(mine["item"].values[0]).replace("_", " "))
        while session.question is not None:
            start = time.perf_counter()
            session.hear("" if "[" in session.prompt() else "don't know")
            turns.append(time.perf_counter() - start)
    print(f"{people} people over {len(items)} items, seed {SEED}")
    shown("asking everything", everything)
    shown("fixed order, what cannot matter left out", fixed)
    shown("look-ahead, to the end", ahead)
    shown("look-ahead, what is asked first", first)
    print(f"answers after an end that still changed the order: {wrong} of {people * SAMPLES}")
    turns.sort()
    print(f"one turn: median {turns[len(turns) // 2] * 1e3:.0f} ms, p95 {turns[int(len(turns) * 0.95)] * 1e3:.0f} ms")


if __name__ == "__main__":
    main()

"""Blind batches: what was made of each sentence, for somebody to judge, and the table of first runs.

    python tests/read/batches.py show 1          what the advisor makes of each line of a batch, to be judged
    python tests/read/batches.py table           the table of first runs from the judged batches

A batch (``batches/NN.toml``) is written and marked by two people who have seen nothing of the reader; the file is
committed before it is shown. A third compares the marks with what is shown and writes ``batches/NN_judged.toml``.
"""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path
from typing import Any

from advisor import load_rulebase
from advisor.rulebase.models import RuleBase
from advisor.talk.recording import consulted

FOLDER = Path(__file__).parent / "batches"
KINDS = ("beginner", "counter", "maker", "wrong", "danger", "nothing")


def lines_of(number: int) -> list[dict[str, Any]]:
    """The marked lines of a batch."""
    with (FOLDER / f"{number:02}.toml").open("rb") as file:
        lines: list[dict[str, Any]] = tomllib.load(file)["line"]
    return lines


def judged(number: int) -> list[dict[str, Any]]:
    """What was judged of each line of a batch."""
    with (FOLDER / f"{number:02}_judged.toml").open("rb") as file:
        lines: list[dict[str, Any]] = tomllib.load(file)["line"]
    return lines


def shown(rulebase: RuleBase, text: str) -> list[str]:
    """What the advisor makes of one sentence, in a few lines."""
    made = consulted(rulebase, text, None)
    reading, advice = made.reading, made.advice
    named = reading.named
    lines = []
    if named.taken:
        thing = named.taken.thing
        recipe = (
            ""
            if thing.recipe == thing.slug
            else f" (made as {thing.recipe})"
            if thing.recipe
            else " (known, no recipe)"
        )
        lines.append(f"thing taken: {named.taken.thing.name}{recipe}, by {named.taken.words!r}")
    elif named.candidates:
        lines.append(f"asked which: {'; '.join(c.thing.name for c in named.candidates)}")
    else:
        lines.append("thing: none found")
    if named.others:
        lines.append(f"second thing said back: {'; '.join(c.thing.name for c in named.others)}")
    facts = [f"{u.text} ({u.words!r})" for u in reading.understood if u.attribute != "item"]
    lines.append(f"facts: {'; '.join(facts) or 'none'}")
    lines += [f"hint, to be confirmed: {name} {value} ({words!r})" for name, (value, words) in reading.hints.items()]
    lines += [f"doubt: {d.text}" for d in reading.doubts]
    lines += [f"danger {d.state}: {d.concept} by {d.words!r}" for d in reading.dangers]
    lines.append(f"outcome: {advice.outcome or 'undecided'}")
    stops = [c.id for c in advice.cautions if c.severity == "stop" and c.status == "applies"]
    if stops:
        lines.append(f"stops that apply: {', '.join(stops)}")
    d = advice.decisions
    if advice.order.lines:
        form = d.form.chosen[0] if d.form.chosen else "form open"
        limits = ", with its line of limits" if any(c.id == "limits_of_use" for c in advice.cautions) else ""
        lines.append(f"order: {d.tannage.chosen[0]}, {d.weight.order_as}, {form}{limits}")
    else:
        lines.append("order: none shown")
    return lines


def show(number: int) -> None:
    """Prints what was made of each line of a batch beside its marks."""
    rulebase = load_rulebase()
    for line in lines_of(number):
        print(f"== {line['number']} [{line['kind']}, {line['tag']}] {line['text']}")
        for said in shown(rulebase, line["text"]):
            print(f"   {said}")


def figures(rows: list[dict[str, Any]]) -> str:
    """One row of the table: shares over judged lines."""
    plain = [r for r in rows if r["tag"] == "plain"]
    prose = [r for r in rows if r["tag"] == "prose"]

    def share(part: list[dict[str, Any]], *verdicts: str) -> str:
        return f"{sum(r['thing'] in verdicts for r in part) / max(len(part), 1):.2f}"

    right = sum(r["facts_right"] for r in rows)
    wrong = sum(r["facts_wrong"] for r in rows)
    missed = sum(r["facts_missed"] for r in rows)
    dangers = [r for r in rows if r["danger"] != "none"]
    harmless = [r for r in rows if r["danger"] == "none"]
    good = ("right", "no_recipe", "asked_rightly", "nothing")
    return " | ".join(
        (
            str(len(rows)),
            share(plain, "right", "no_recipe", "nothing", "asked_rightly"),
            share(prose, *good, "among"),
            share(rows, "no_recipe"),
            share(rows, "wrong_silent"),
            f"{right / max(right + wrong, 1):.2f}",
            f"{right / max(right + missed, 1):.2f}",
            f"{sum(r['danger'] == 'met' for r in dangers)}/{len(dangers)}",
            str(sum(r["danger"] == "sold" for r in dangers)),
            f"{sum(r['false_alarm'] for r in harmless)}/{len(harmless)}",
        )
    )


def table() -> None:
    """Prints the table of first runs."""
    print(
        "batch | lines | plain right | prose right or asked | of them no recipe | wrong and silent "
        "| facts precision | facts recall | dangers met | dangers sold | false alarms"
    )
    numbers = sorted(int(p.name[:2]) for p in FOLDER.glob("*_judged.toml"))
    for number in numbers:
        print(f"{number} | {figures(judged(number))}")
    if len(numbers) > 2:
        print(f"last three | {figures([r for n in numbers[-3:] for r in judged(n)])}")


if __name__ == "__main__":
    if sys.argv[1] == "show":
        show(int(sys.argv[2]))
    else:
        table()

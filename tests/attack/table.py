"""The attack again: ``python tests/attack/table.py [TIMES]`` tries each area and prints what was tried and what failed.

TIMES is how often what is drawn by chance is drawn (1 takes some minutes). What failed is listed below the table with
its exact input, so that it can become a test.
"""

from __future__ import annotations

import json
import random
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

sys.path.append(str(Path(__file__).parent))
sys.path.append(str(Path(__file__).parents[1] / "engine"))
sys.path.append(str(Path(__file__).parents[1] / "proof"))
sys.path.append(str(Path(__file__).parents[1] / "shell"))

from hostile import BOMBS, FILES, FOLDERS, LINES, STEERING
from limits import ran
from planted import functions
from samples import advice_of_case
from signals import sent
from single_edits import edits, sampled
from test_hostile import steers
from test_load import ended_and_gone_on_with
from test_planted import missed
from test_single_edits import OUTCOMES, passed

from advisor.rulebase.load import load_rulebase

Tried = Iterator[tuple[str, str]]
"""What was tried and what failed in it, an empty text where nothing did."""


def folders(folder: Path, times: int) -> Tried:
    del times
    makers = {maker.__name__: maker for maker in (*FOLDERS, *STEERING, *FILES)} | BOMBS
    for name, maker in makers.items():
        place = folder / name
        place.mkdir()
        done = ran(maker(place), place)
        limits = "" if done.held else f"{done.code}, {done.seconds:.1f} s, {done.megabytes} MB"
        yield name, limits or ", ".join(steers(done.out + done.err))


def command_lines(folder: Path, times: int) -> Tried:
    del times
    for line in LINES:
        done = ran(list(line), folder)
        yield str(line)[:60], "" if done.held and not steers(done.out + done.err) else str(done)[:200]


def single_edits(folder: Path, times: int) -> Tried:
    del folder
    for name in OUTCOMES:
        tried = sampled(list(edits(advice_of_case(name))), random.Random(f"{name}{times}"), 30 * times)
        found = passed(name, tried)
        for edit in tried:
            yield f"{name} {edit}", "it passes" if edit in found else ""


def signals(folder: Path, times: int) -> Tried:
    for seed in range(1000, 1000 + 10 * times):
        done = sent(seed, folder)
        yield str(done), done.fault


def planted_faults(folder: Path, times: int) -> Tried:
    del folder
    base, every = load_rulebase(), sorted(functions())
    for name in random.Random(times).sample(every, min(len(every), 40 * times)):
        yield name, missed(base, name, checked=True)


def batches(folder: Path, times: int) -> Tried:
    for seed in range(100, 100 + times):
        yield f"seed {seed}", ended_and_gone_on_with(seed, folder, 24)


AREAS: dict[str, Callable[[Path, int], Tried]] = {
    "hostile folders, files, texts": folders,
    "hostile command lines": command_lines,
    "single edits of proofs": single_edits,
    "TERM and HUP in a terminal": signals,
    "faults planted in functions": planted_faults,
    "batches killed and gone on with": batches,
}


def main() -> int:
    """Try every area and print the table; gives 1 if anything failed."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    failed: list[str] = []
    print("| area | tried | failures |\n|---|---|---|")
    for area, attack in AREAS.items():
        with tempfile.TemporaryDirectory() as folder:
            tried = list(attack(Path(folder), times))
        wrong = [f"{area}: {what}: {why}" for what, why in tried if why]
        print(f"| {area} | {len(tried)} | {len(wrong)} |", flush=True)
        failed += wrong
    print("\n".join(failed) or json.dumps({"times": times, "failures": 0}))
    return bool(failed)


if __name__ == "__main__":
    sys.exit(main())

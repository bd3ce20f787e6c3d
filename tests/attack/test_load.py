"""A batch of any length: memory does not grow with it, and ended at any moment it loses and doubles nothing."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from instead import passed_on
from limits import ROOT, ran

THINGS = ("belt for jeans", "bifold wallet", "dog lead for a 30 kg dog", "tote bag 40 cm wide", "card holder", "zzz")


def lines(folder: Path, many: int) -> Path:
    """A file of so many sentences."""
    file = folder / f"lines{many}"
    file.write_text("".join(f"{THINGS[n % len(THINGS)]}, quantity {n % 7 + 1}\n" for n in range(many)), "utf-8")
    return file


@pytest.mark.slow
@pytest.mark.timeout(1800)
def test_memory_does_not_grow_with_the_batch(tmp_path: Path) -> None:
    used = [
        ran(["recommend", "--batch", str(lines(tmp_path, many)), "--no-log", "--json"], tmp_path, wait=900).megabytes
        for many in (100, 400)
    ]
    assert used[1] < used[0] + 15, used


def ended_and_gone_on_with(seed: int, folder: Path, many: int) -> str:
    """What is wrong with the results of a batch that was killed several times; empty where nothing is."""
    chance, file, out = random.Random(seed), lines(folder, many), folder / f"out{seed}"
    command = [sys.executable, "-m", "advisor", "recommend", "--batch", str(file), "--json", "--out", str(out)]
    env = {
        "PATH": "/usr/bin:/bin",
        **passed_on(),
        "ADVISOR_LOGS": str(folder / "logs"),
        "XDG_CACHE_HOME": os.environ["XDG_CACHE_HOME"],
    }
    for kind in (signal.SIGKILL, signal.SIGTERM, None):
        with subprocess.Popen([*command, "--from", "next"], env=env, cwd=ROOT, stderr=subprocess.DEVNULL) as process:
            if kind is not None:
                end = time.monotonic() + 60
                before = out.stat().st_size if out.exists() else 0
                while (not out.exists() or out.stat().st_size == before) and time.monotonic() < end:
                    time.sleep(0.01)
                time.sleep(chance.uniform(0, 0.4))
                os.kill(process.pid, kind)
            process.wait(300)
    told = [json.loads(line)["line"] for line in out.read_text("utf-8").splitlines()]
    return "" if told == list(range(1, many + 1)) else str(told)


def test_a_batch_that_was_ended_is_gone_on_with_without_loss(tmp_path: Path) -> None:
    assert ended_and_gone_on_with(1, tmp_path, 18) == ""


@pytest.mark.slow
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("seed", range(2, 12))
def test_batches_ended_at_any_moment_lose_nothing(seed: int, tmp_path: Path) -> None:
    assert ended_and_gone_on_with(seed, tmp_path, 40) == ""

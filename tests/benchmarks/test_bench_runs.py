"""The benchmark runs and prints every line it promises; no time is asserted."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path


def test_the_quick_benchmark_runs() -> None:
    done = subprocess.run(
        [sys.executable, str(Path(__file__).with_name("bench.py")), "--quick"],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    promised = ("shipped,", "random, 200 rules", "breadth 4", "whole consultation", "reading", "start", "memory")
    assert [line for line in promised if line not in done.stdout] == []

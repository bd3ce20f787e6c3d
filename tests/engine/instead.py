"""Another inference engine behind the seam, for the whole test run: ``python -m pytest --engine naive`` (or ``clips``).

The engines are those of ``oracles``. The inference library cannot be imported then, neither in the run nor in any
process that it starts, so that a conclusion which still came from it would be an error and no pass. Nothing of the
product knows of this: where the tests do not reach, its own engine draws the conclusions.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from advisor.reasoning import consult
from advisor.reasoning.matching import Engine, patterns_by_stratum
from advisor.rulebase.models import RuleBase
from advisor.shell import cli

NAMES = ("naive", "clips")
VARIABLE = "TESTS_ENGINE"
STARTED = Path(__file__).parent / "started"
"""Holds the ``sitecustomize`` by which a process of the tests does the same."""


def put(name: str) -> None:
    """Draw every conclusion of this process with the engine of that name, and bar the inference library."""
    import oracles

    engines = {"naive": oracles.NaiveEngine, "clips": oracles.ClipsEngine}

    def loaded(rulebase: RuleBase) -> Engine:
        return engines[name](patterns_by_stratum(rulebase))

    def nothing() -> None:
        """The library is not wanted."""

    sys.modules["durable_rules_engine"] = None  # type: ignore[assignment]
    consult._loaded, consult.check_engine, cli.check_engine = loaded, nothing, nothing


def environment(name: str) -> dict[str, str]:
    """What makes a process do the same."""
    paths = [str(STARTED), str(Path(__file__).parent), str(Path(__file__).parents[2]), os.environ.get("PYTHONPATH", "")]
    return {VARIABLE: name, "PYTHONPATH": os.pathsep.join(filter(None, paths))}


def put_everywhere(name: str) -> None:
    """The same for this process and for all that it starts."""
    put(name)
    os.environ |= environment(name)


def passed_on() -> dict[str, str]:
    """What a process that is given no environment of this run has to be told; nothing in an ordinary run."""
    return {n: os.environ[n] for n in (VARIABLE, "PYTHONPATH") if VARIABLE in os.environ}

"""The shipped rule base, loaded once for all tests; logs and the kept rule base go to folders of the test run.

``--engine naive`` puts the tests' own evaluator in the place of the inference library, ``--engine clips`` CLIPS.
"""

from __future__ import annotations

import gc
import os
import pickle
import sys
import tomllib
from collections.abc import Iterator
from functools import cache, lru_cache
from pathlib import Path

import pytest

import advisor
from advisor.rulebase import load, reading
from advisor.rulebase.models import RuleBase
from advisor.shell import cli

sys.path.append(str(Path(__file__).parent / "engine"))
import instead

ABOUT_THE_LIBRARY = ("test_traps.py", "test_equivalence.py", "test_bench_runs.py")
"""Modules that hold the inference library itself, or time it."""
read_anew, shipped = load.load_rulebase, cache(load.load_rulebase)


@lru_cache(maxsize=200)
def _parsed(text: str) -> bytes:
    return pickle.dumps(tomllib.loads(text))


class _ParsedOnce:
    """The parser for rule files: tests read copies of the shipped folder in which one file is another."""

    @staticmethod
    def loads(text: str) -> object:
        return pickle.loads(_parsed(text))


def load_rulebase(folder: Path | None = None) -> RuleBase:
    """A folder that is named is read each time; the shipped rule base is read once for each process of the run."""
    return shipped() if folder is None else read_anew(folder)


# Before any test module is imported: thirty of them read the rule base on import, and each command run in process.
for module in (advisor, load, cli):
    module.load_rulebase = load_rulebase
cli.prepared_rulebase = load_rulebase
reading.tomllib = _ParsedOnce
# What is collected lives to the end, so nothing of it is garbage.
gc.disable()


def pytest_collection_finish() -> None:
    """Rule base and tests live to the end: to look through them for garbage again and again took a third of the run.

    What is new is looked through more seldom than Python does, yet before five rule bases of it have come together.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 10, 5)
    gc.enable()


@pytest.fixture(scope="session")
def rulebase() -> RuleBase:
    return load_rulebase()


@pytest.fixture(scope="session", autouse=True)
def logs_of_the_run(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """No test writes to the user's own folder; all workers of a run keep one copy of the rule base."""
    place = tmp_path_factory.mktemp("logs")
    base = tmp_path_factory.getbasetemp()
    kept = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "cache"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("ADVISOR_LOGS", str(place))
        patch.setenv("XDG_CACHE_HOME", str(kept))
        yield place


def pytest_addoption(parser: pytest.Parser) -> None:
    told = "draw every conclusion of the run with this engine instead of the inference library"
    parser.addoption("--engine", choices=instead.NAMES, help=told)


def pytest_configure(config: pytest.Config) -> None:
    if name := config.getoption("--engine"):
        instead.put_everywhere(name)


class _AboutTheLibrary(pytest.Module):
    def collect(self) -> Iterator[pytest.Item]:
        pytest.skip("about durable-rules itself, which another engine stands for in this run")


def pytest_pycollect_makemodule(module_path: Path, parent: pytest.Collector) -> pytest.Module | None:
    if module_path.name in ABOUT_THE_LIBRARY and parent.config.getoption("--engine"):
        return _AboutTheLibrary.from_parent(parent, path=module_path)
    return None


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    for item in items:
        if config.getoption("--engine") and item.get_closest_marker("library"):
            item.add_marker(pytest.mark.skip(reason="about durable-rules itself"))

"""A process with another engine behind the seam says the same bytes, and cannot reach the inference library at all."""

from __future__ import annotations

import pytest
from bare import run
from instead import NAMES, environment

_ADVISED = """
    from advisor.shell.cli import main
    code = main(["recommend", "dog lead for a 45 kg dog, 25 mm wide", "--json", "--proof", "--no-log"])
    assert code == 0
"""
_REACHED = """
    import sys
    print(sys.modules["advisor.reasoning.consult"]._loaded.__module__)
    import durable_rules_engine
"""


@pytest.mark.library
def test_the_same_bytes_come_from_each_engine() -> None:
    said = {name: run(_ADVISED, **(environment(name) if name else {})) for name in ("", *NAMES)}
    assert {done.returncode for done in said.values()} == {0}
    assert len({done.stdout for done in said.values()}) == 1
    assert len(said[""].stdout) > 50_000


@pytest.mark.parametrize("name", NAMES)
def test_the_library_is_out_of_reach(name: str) -> None:
    done = run(_REACHED, **environment(name))
    assert done.stdout == "instead\n"
    assert "durable_rules_engine" in done.stderr
    assert done.returncode == 1

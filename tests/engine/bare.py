"""The inference library without its fence, in a process of its own because it may crash or hang there."""

from __future__ import annotations

import os
import subprocess
import sys
import textwrap
from pathlib import Path

from instead import passed_on

ROOT = Path(__file__).parents[2]
_PREAMBLE = '''
import json
import durable_rules_engine as lib

ALWAYS = {"all": [{"g": {"go": 1}}]}

def load(rules, always=True):
    return lib.create_ruleset("t", json.dumps(rules | ({"always": ALWAYS} if always else {})))

def drain(handle, state):
    fired, step = [], (lib.start_action_for_state(handle, state) or (0, None))[1]
    while step:
        fired += json.loads(step)
        step = lib.complete_and_start_action(handle, state)
    return [name for name in fired if name != "always"]

def fire(rules, facts, always=True):
    """The rules that fire on a batch of facts, in their order; the fact "go" comes last."""
    handle = load(rules, always)
    batch = [fact | {"id": n, "sid": "1"} for n, fact in enumerate(facts, 1)]
    batch += [{"go": 1, "id": 0, "sid": "1"}] if always else []
    fired = drain(handle, lib.assert_facts(handle, json.dumps(batch))[1])
    lib.delete_state(handle, "1")
    return fired

def rule(*premises, **more):
    return {"dist": 0, "all": [{f"p{n}": p} for n, p in enumerate(premises)]} | more
'''


def run(code: str, *, preamble: str = "", timeout: float = 240, **environment: str) -> subprocess.CompletedProcess[str]:
    """A fresh interpreter running ``code``, with the project on its path."""
    return subprocess.run(
        [sys.executable, "-c", preamble + textwrap.dedent(code)],
        capture_output=True,
        text=True,
        timeout=timeout,
        cwd=ROOT,
        check=False,
        env=os.environ | {"PYTHONPATH": str(ROOT)} | passed_on() | environment,
    )


def bare(code: str, timeout: float = 240, **environment: str) -> subprocess.CompletedProcess[str]:
    """As ``run``, with the library loaded as ``lib`` and the helpers ``rule``, ``load``, ``drain`` and ``fire``."""
    return run(code, preamble=_PREAMBLE, timeout=timeout, **environment)

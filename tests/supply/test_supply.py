"""The licences of what is installed with the program, and whether its parts fit together."""

from __future__ import annotations

import re
import subprocess
import sys
from email.message import Message
from types import SimpleNamespace

import pytest
from bounds import ROOT, declared, lowest
from licences import KNOWN, family, run_time


def told() -> dict[str, str]:
    """The licences that DEVELOPERS.md lists."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("| package | licence |")[2].partition("\n\n")[0]
    return dict(re.findall(r"^\| ([\w-]+) \| (\w+) \|$", text, re.M))


def test_every_licence_is_known_and_told() -> None:
    installed = {name: family(one) for name, one in run_time().items()}
    assert len(installed) > 10
    assert installed.items() <= told().items()
    assert set(told().values()) <= KNOWN.keys()


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ({"License-Expression": "MIT"}, "MIT"),
        ({"Classifier": "License :: OSI Approved :: BSD License", "License": "ours"}, "BSD"),
        ({"License": "BSD-3-Clause"}, "BSD"),
        ({"License-Expression": "MIT AND GPL-3.0-only"}, "MIT AND GPL-3.0-only?"),
        ({"License-Expression": "AGPL-3.0-or-later", "License": "MIT"}, "AGPL-3.0-or-later?"),
        ({}, "nothing?"),
    ],
)
def test_a_licence_that_is_not_known_is_none(said: dict[str, str], expected: str) -> None:
    metadata = Message()
    for key, value in said.items():
        metadata[key] = value
    assert family(SimpleNamespace(metadata=metadata)) == expected  # type: ignore[arg-type]


def test_every_bound_has_a_lowest_version() -> None:
    """But stubs of types, which follow what they describe."""
    assert len(lowest()) + sum(d.startswith("types-") for d in declared()) == len(declared())
    assert all(re.fullmatch(r"[\w-]+==[\d.]+", wanted) for wanted in lowest())


def test_what_is_installed_fits_together() -> None:
    done = subprocess.run([sys.executable, "-m", "pip", "check"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout

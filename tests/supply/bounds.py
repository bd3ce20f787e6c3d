"""Lowest or newest versions of all dependencies tried: ``python tests/supply/bounds.py lowest|newest [PYTHON]``.

A fresh environment is made with them, where the program has to start, to advise and to pass the tests that show most of
it. ``lowest`` takes each bound of ``pyproject.toml`` as it is written there; one that cannot be installed, or fails, is
a wrong bound. What is installed is printed with its hashes, as ``pip install --require-hashes -r`` reads it. PYTHON is
an interpreter, this one if none is named.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Mapping
from pathlib import Path

ROOT = Path(__file__).parents[2]
TESTS = ("tests/engine", "tests/snapshots", "tests/shell/test_cli.py", "tests/attack/test_streams.py", "tests/supply")
FLAG = {"CPPFLAGS": "-DPyEval_CallObject=PyObject_CallObject"}


def declared() -> list[str]:
    """Every dependency with its bound, those of the tests too."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    return [*project["dependencies"], *(d for extra in project["optional-dependencies"].values() for d in extra)]


def lowest() -> list[str]:
    """Each bound as the one version that is allowed; what has no bound stays as it is."""
    return [re.sub(r">=", "==", wanted) for wanted in declared() if re.search("[>=]=", wanted)]


def installed(report: Path) -> list[str]:
    """Each file that pip took from an index, as a requirement with its hash."""
    taken = json.loads(report.read_text("utf-8"))["install"]
    return sorted(
        f"{one['metadata']['name']}=={one['metadata']['version']} --hash=sha256:{hashes['sha256']}"
        for one in taken
        if "sha256" in (hashes := one["download_info"].get("archive_info", {}).get("hashes", {}))
    )


def run(*command: str, env: Mapping[str, str] | None = None) -> None:
    """A command that has to succeed; what it says is seen."""
    subprocess.run(command, cwd=ROOT, check=True, env=os.environ | (env or {}))


def main() -> int:
    """Make the environment and try the program in it; gives 1 where something fails."""
    which = sys.argv[1] if len(sys.argv) > 1 else ""
    if which not in ("lowest", "newest"):
        print(f"{which or 'nothing'} was named; name lowest or newest", file=sys.stderr)
        return 2
    python = sys.argv[2] if len(sys.argv) > 2 else sys.executable
    with tempfile.TemporaryDirectory() as folder:
        place, held, report = (Path(folder) / name for name in ("venv", "held.txt", "report.json"))
        held.write_text("\n".join(lowest() if which == "lowest" else []), "utf-8")
        inside = str(place / "bin" / "python")
        run(python, "-m", "venv", str(place))
        pip = (inside, "-m", "pip")
        try:
            wanted = ("-c", str(held), "-e", ".[test]", "--report", str(report))
            run(*pip, "install", "-q", "--upgrade", *wanted, env=FLAG)
            print(*installed(report), sep="\n", flush=True)
            run(*pip, "check")
            run(inside, "-m", "advisor", "recommend", "belt for jeans", "--no-log", "--slip")
            run(inside, "-m", "pytest", "-n", os.environ.get("BOUNDS_WORKERS", "auto"), *TESTS)
        except subprocess.CalledProcessError as error:
            print(f"{which}: failed: {' '.join(error.cmd)}", file=sys.stderr)
            return 1
    print(f"{which}: all that was tried holds")
    return 0


if __name__ == "__main__":
    sys.exit(main())

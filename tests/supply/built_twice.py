"""Builds wheel and sdist twice and compares them byte by byte: ``python tests/supply/built_twice.py``.

Each time from a copy of what git tracks, in another folder, with other times, another umask and another time zone, as
somebody else would build them. Needs hatchling (``pip install hatchling``). Reproducible builds ask for equal bytes:
reproducible-builds.org/docs/definition.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
_BUILD = "import sys, hatchling.build as b; b.build_wheel(sys.argv[1]); b.build_sdist(sys.argv[1])"
UMASKS, ZONES, TIMES = (0o022, 0o077), ("UTC", "Pacific/Apia"), (1_000_000_000, 1_700_000_000)


def built(folder: Path, turn: int) -> dict[str, str]:
    """What one build makes: the hash of each file by its name."""
    tree, out = folder / f"tree{turn}" / ("deep" * turn), folder / f"out{turn}"
    tracked = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, check=True, capture_output=True, text=True).stdout
    before = os.umask(UMASKS[turn])
    try:
        out.mkdir()
        for name in filter(None, tracked.split("\0")):
            (tree / name).parent.mkdir(parents=True, exist_ok=True)
            # The bytes alone: the mode comes from the umask but for what git itself keeps of it.
            shutil.copyfile(ROOT / name, tree / name)
            if os.access(ROOT / name, os.X_OK):
                (tree / name).chmod(0o777 & ~UMASKS[turn])
            os.utime(tree / name, (TIMES[turn], TIMES[turn]))
        env = {k: v for k, v in os.environ.items() if k != "SOURCE_DATE_EPOCH"} | {"TZ": ZONES[turn]}
        subprocess.run(
            [sys.executable, "-c", _BUILD, str(out)], cwd=tree, check=True, env=env, stdout=subprocess.DEVNULL
        )
    finally:
        os.umask(before)
    return {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in sorted(out.iterdir())}


def main() -> int:
    """Build twice and compare; gives 1 where a byte differs."""
    with tempfile.TemporaryDirectory() as folder:
        first, second = (built(Path(folder), turn) for turn in (0, 1))
    for name in sorted(first.keys() | second.keys()):
        print(first.get(name), second.get(name), name)
    return int(first != second or len(first) != 2)


if __name__ == "__main__":
    sys.exit(main())

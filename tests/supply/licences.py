"""The licence of everything that is installed with the program: ``python tests/supply/licences.py``.

Read from the metadata of each distribution (core metadata, packaging.python.org: License-Expression, else the
classifiers of licences, else License), followed from the program through what each one needs to run.
"""

from __future__ import annotations

import re
import sys
from importlib.metadata import Distribution, distribution

from packaging.requirements import Requirement

PROGRAM = "leather-order-advisor"
KNOWN = {"MIT": r"MIT( License)?", "BSD": r"BSD( License)?|BSD-[23]-Clause", "PSF": r"PSF-2\.0"}
"""Families of licences that ask for no more than that their text goes with a copy, by what metadata call them."""


def run_time() -> dict[str, Distribution]:
    """Everything that running the program needs, itself left out, by name."""
    found: dict[str, Distribution] = {}
    waiting = [PROGRAM]
    while waiting:
        here = distribution(waiting.pop())
        name = re.sub(r"[-_.]+", "-", here.name).lower()
        if name in found:
            continue
        found[name] = here
        wanted = map(Requirement, here.requires or ())
        waiting += [r.name for r in wanted if r.marker is None or r.marker.evaluate({"extra": ""})]
    del found[PROGRAM]
    return dict(sorted(found.items()))


def family(one: Distribution) -> str:
    """The family of a distribution's licence; what its metadata say, with a question mark, where it is none known."""
    metadata = one.metadata
    classified = [c for c in metadata.get_all("Classifier", []) if c.startswith("License ::")]
    said = metadata.get("License-Expression") or ", ".join(c.rpartition(" :: ")[2] for c in classified)
    said = said or (metadata.get("License") or "nothing").splitlines()[0]
    fitting = [name for name, pattern in KNOWN.items() if re.fullmatch(pattern, said)]
    return fitting[0] if fitting else f"{said}?"


def main() -> int:
    """Print the table that DEVELOPERS.md keeps; gives 1 where a licence is not known."""
    told = {name: family(one) for name, one in run_time().items()}
    print("| package | licence |\n|---|---|")
    for name, licence in told.items():
        print(f"| {name} | {licence} |")
    return int(any(licence.endswith("?") for licence in told.values()))


if __name__ == "__main__":
    sys.exit(main())

"""The checks of leather on arrival, read from checks.toml and picked by what was ordered.

A rule base may do without the file. A check that names an unknown decision or candidate is a mistake.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from . import files as shape
from .models import Check, Decision
from .reading import Reader, near_hint

CHECKS = "checks.toml"
WEIGHT_MARK = "{weight}"


def read_checks(reader: Reader, decisions: Mapping[str, Decision]) -> dict[str, Check]:
    """Every check of the rule base, in the order of the file; mistakes are noted with ``reader``."""
    if not (reader.folder / CHECKS).is_file():
        return {}
    raw = reader.read(CHECKS, shape.ChecksFile)
    if raw is None:
        return {}
    choices = {name: d for name, d in decisions.items() if d.kind == "choice"}
    found = {}
    for slug, check in raw.check.items():
        marks = check.say.replace(WEIGHT_MARK, "")
        if "{" in marks or "}" in marks:
            reader.wrong(CHECKS, ("check", slug, "say"), slug, f"only {WEIGHT_MARK} may stand in braces.")
        of = {}
        for decision, names in check.of.items():
            path = ("check", slug, "of", decision)
            if decision not in choices:
                reader.wrong(
                    CHECKS, path, slug, f'"{decision}" is no decision among candidates.', near_hint(decision, choices)
                )
                continue
            groups, candidates = choices[decision].groups, choices[decision].candidates
            for name in names:
                if name not in groups and name not in candidates:
                    reader.wrong(
                        CHECKS,
                        path,
                        slug,
                        f'"{name}" is no candidate or group of {decision}.',
                        near_hint(name, [*groups, *candidates]),
                    )
            of[decision] = frozenset(c for name in names for c in groups.get(name, (name,)))
        found[slug] = Check(slug, check.say, of, check.basis, check.source)
    return found


def checks_for(checks: Mapping[str, Check], chosen: Mapping[str, Sequence[str]]) -> list[Check]:
    """The checks for an order; ``chosen`` holds the candidates of each decision, the first leading."""
    leading = {name: candidates[0] for name, candidates in chosen.items() if candidates}
    return [c for c in checks.values() if all(leading.get(name) in among for name, among in c.of.items())]

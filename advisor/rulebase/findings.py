"""What a check reports, and how it finds its way in a rule base."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from .concerns import CAUTIONS
from .declarations import ATTRIBUTES, DECISIONS
from .load import CLASHES, SOURCES
from .models import Act, Rule, RuleBase

Severity = Literal["error", "warning"]

FILES = {
    "attribute": ATTRIBUTES,
    "decision": DECISIONS,
    "source": SOURCES,
    "caution": CAUTIONS,
    "clash": CLASHES,
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One doubt.

    ``line`` counts from 1 (0 if unknown), ``where`` is the rule, item or declaration, ``hint`` a way out.
    """

    severity: Severity
    file: str
    line: int
    where: str
    what: str
    hint: str = ""

    def __str__(self) -> str:
        return f"{self.file}:{self.line} [{self.where}] {self.severity}: {self.what} {self.hint}".rstrip()


Check = Callable[[RuleBase], Iterator[Finding]]


def written(rulebase: RuleBase) -> list[Rule]:
    """The rules that stand in rule files, without those made from items."""
    return [rule for rule in rulebase.rules.values() if rule.item is None]


def warn(rule: Rule, what: str, hint: str = "") -> Finding:
    """Something to look at in a rule or in the item it was made from."""
    return Finding("warning", rule.file, rule.line, rule.item or rule.id, what, hint)


def fault(rule: Rule, what: str, hint: str = "") -> Finding:
    """Something that a rule, or the item it was made from, can never do."""
    return Finding("error", rule.file, rule.line, rule.item or rule.id, what, hint)


def declared(
    rulebase: RuleBase, kind: str, name: str, what: str, hint: str = "", severity: Severity = "warning"
) -> Finding:
    """A doubt about a declaration; ``kind`` is attribute, decision, source, caution or clash."""
    line = rulebase.memo["line"](FILES[kind], (kind, name)) if "line" in rulebase.memo else 0
    return Finding(severity, FILES[kind], line, name, what, hint)


def targets(rulebase: RuleBase, *acts: Act) -> set[str]:
    """What the conclusions of these kinds are about."""
    return {c.target for rule in rulebase.rules.values() for c in rule.then if c.act in acts}

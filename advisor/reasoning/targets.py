"""What somebody may want advised instead: a candidate in the lead, one that fits, a thickness, no conflict.

``could`` may be asked of a run that settled only the target's own nodes; it errs towards yes. ``holds`` needs
a whole run with nothing open.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ..rulebase.models import NO_ORDER
from .possibility import Possibility
from .spread import NO, YES
from .standing import conflicts, standing


@dataclass(frozen=True, slots=True)
class Target:
    """Something that may or may not be advised. ``nodes`` are those that it is read off; None for all."""

    nodes: frozenset[str] | None
    could: Callable[[Possibility], bool]
    holds: Callable[[Possibility], bool]


def _leather(run: Possibility) -> bool:
    """Whether an order stands."""
    outcome = standing(run).order["outcome"].may
    return bool(outcome) and not any(o in NO_ORDER for o in outcome)


def leads(decision: str, candidate: str) -> Target:
    """A candidate stands first, or level with the first."""
    return Target(
        frozenset((decision,)),
        lambda run: candidate in run.weighed[decision].chosen.may,
        lambda run: candidate in run.weighed[decision].chosen.must and _leather(run),
    )


def before(decision: str, candidate: str, *others: str) -> Target:
    """A candidate stands first, or level with the first, and the others do not."""
    rest = frozenset(others)
    return Target(
        frozenset((decision,)),
        lambda run: candidate in run.weighed[decision].chosen.may and not rest & run.weighed[decision].chosen.must,
        lambda run: (
            candidate in run.weighed[decision].chosen.must
            and not rest & run.weighed[decision].chosen.may
            and _leather(run)
        ),
    )


def fits(decision: str, candidate: str) -> Target:
    """A candidate stands first or fits as well."""
    return Target(
        frozenset((decision,)),
        lambda run: candidate in run.weighed[decision].offered.may,
        lambda run: candidate in run.weighed[decision].offered.must and _leather(run),
    )


def any_of(targets: Sequence[Target]) -> Target:
    """At least one of several holds."""
    nodes = [t.nodes for t in targets if t.nodes is not None]
    return Target(
        frozenset().union(*nodes) if len(nodes) == len(targets) else None,
        lambda run: any(t.could(run) for t in targets),
        lambda run: any(t.holds(run) for t in targets),
    )


def holds_thickness(mm: float) -> Target:
    """The advised weight contains a thickness in mm."""

    def could(run: Possibility) -> bool:
        low, high = run.window.ends
        return run.window.clash != YES and low.low <= mm <= high.high

    def holds(run: Possibility) -> bool:
        low, high = run.window.ends
        bounded = low.low != float("-inf") and high.high != float("inf")
        return run.window.clash == NO and bounded and low.high <= mm <= high.low and _leather(run)

    return Target(frozenset(("weight",)), could, holds)


def free_of(conflict: str) -> Target:
    """A conflict is gone, nothing else has come into conflict, and leather is advised."""
    return Target(
        None,
        lambda run: conflict not in conflicts(run).must,
        lambda run: not conflicts(run).may and _leather(run),
    )

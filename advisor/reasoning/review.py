"""A second opinion: what somebody proposes to buy, and what is found of it point by point.

``Proposal`` is what was offered, ``Review`` what ``--json`` prints. Both hold values only: ``judging`` finds
them, and the sentences for a person are made elsewhere. What nobody said of the leather is no point.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from pydantic import Field

from ..codes import Saying
from .advice import BoundView, CautionView, LedgerEntry, Outcome, OutcomeReason, Part, RuleBaseName

SCHEMA = "leather-order-review/1"
Verdict = Literal["fits", "fits with reservations", "cannot tell", "does not fit"]
VERDICTS: tuple[Verdict, ...] = ("fits", "fits with reservations", "cannot tell", "does not fit")
FINE = VERDICTS[:2]
Standing = Literal["chosen", "also fits", "not usual", "outweighed", "excluded", "unknown"]
Overall = Literal["buy", "buy, but", "do not buy", "cannot tell"]
LABEL = "label_text"
READ_TO_MM = 0.05
"""A thickness in mm is said and gauged to a tenth, so half of that is no difference."""


@dataclass(frozen=True, slots=True)
class Thickness:
    """An offered thickness, mm; one number is a band of no width. It is read to within ``slack`` either way."""

    low: float
    high: float
    slack: float = READ_TO_MM


@dataclass(frozen=True, slots=True)
class Proposal:
    """What is offered. ``choices`` maps a decision to the candidates its words can mean, a group having several.

    ``count`` is how many of the form, ``area`` (dm2) how much; ``label`` holds values of label_text, and
    ``words`` how each point was said.
    """

    choices: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    weight: Thickness | None = None
    count: int | None = None
    area: float | None = None
    label: tuple[str, ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)

    def points(self) -> list[str]:
        """What was said of the leather."""
        found = [*self.choices, *(["weight"] if self.weight else [])]
        found += ["amount"] if self.count is not None or self.area is not None else []
        return found + (["label"] if self.label else [])

    def only(self, kept: Collection[str]) -> Proposal:
        """The same with nothing but the points in ``kept``."""
        return replace(
            self,
            choices={name: c for name, c in self.choices.items() if name in kept},
            weight=self.weight if "weight" in kept else None,
            count=self.count if "amount" in kept else None,
            area=self.area if "amount" in kept else None,
            label=self.label if "label" in kept else (),
        )


class Point(Part):
    """What is found of one point. Which fields are filled depends on the point.

    A choice has ``candidates`` (each with its own verdict), the one that was ``judged``, its ``standing`` in the
    ledger and by how much the lead is ahead of it. The weight has its ``bounds`` that are broken, or that hold the
    window, and how far off it is. The amount has what is needed and what is missing. ``outcomes`` are what the
    point adds to the outcome, ``cautions`` what it brings, ``remedies`` and ``nearest`` what would fit.
    """

    name: str
    said: str
    verdict: Verdict
    candidates: dict[str, Verdict] = Field(default_factory=dict)
    judged: str | None = None
    standing: Standing | None = None
    behind: int | None = None
    ledger: list[LedgerEntry] = Field(default_factory=list)
    low_mm: float | None = None
    high_mm: float | None = None
    window_mm: tuple[float | None, float | None] | None = None
    feasible_mm: tuple[float | None, float | None] | None = None
    fitting_mm: tuple[float, float] | None = None
    bounds: list[BoundView] = Field(default_factory=list)
    off_mm: float | None = None
    off_oz: float | None = None
    form: str | None = None
    needed: int | None = None
    needed_dm2: float | None = None
    short_dm2: float | None = None
    why_not: Saying | None = None
    outcomes: list[OutcomeReason] = Field(default_factory=list)
    remedies: list[str] = Field(default_factory=list)
    cautions: list[CautionView] = Field(default_factory=list)
    nearest: str | None = None
    nearest_mm: float | None = None

    @property
    def mixed(self) -> bool:
        """Whether some of what the words can mean fits and some does not."""
        fine = [v in FINE for v in self.candidates.values()]
        return any(fine) and not all(fine)


class Suggestion(Part):
    """A whole order that keeps as many points as can be kept; ``verdicts`` are those of judging it anew."""

    kept: list[str]
    changed: list[str]
    choices: dict[str, str]
    low_mm: float
    high_mm: float
    order_as: str
    count: int
    verdicts: dict[str, Verdict]


class Review(Part):
    """The whole second opinion.

    ``not_said`` gives, for what was not said of the leather, what would be advised; ``cautions`` are all that
    stand for the job with this leather.
    """

    schema_: str = Field(default=SCHEMA, alias="schema")
    rulebase: RuleBaseName
    item: str | None
    outcome: Outcome | None
    outcome_reasons: list[OutcomeReason]
    overall: Overall
    points: list[Point]
    not_said: dict[str, str]
    cautions: list[CautionView]
    suggestion: Suggestion | None

"""What a consultation returns: the advice, its ledgers and bounds, and the trace that made it.

These models are the JSON of ``--json`` and its schema. They hold values only; sentences for a
person are made elsewhere from what stands here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, Self, get_args

from pydantic import BaseModel, ConfigDict, Field, PrivateAttr

from ..codes import Saying
from ..rulebase.models import NO_ORDER, STRENGTHS, WITHHELD
from ..rulebase.written import ADVICE_SCHEMA

SCHEMA = ADVICE_SCHEMA
Outcome = Literal["ok", "ok_with_conditions", "another_material", "defer", "refuse"]
Grade = Literal["published, opened", "published, from memory", "common practice", "estimate"]
GRADES: tuple[Grade, ...] = get_args(Grade)
"""Grades of evidence, the best first."""
Origin = Literal["answered", "read", "supposed", "derived", "computed"]
State = Literal["known", "don't know", "does not apply"]
Status = Literal["applies", "not ruled out"]
_PULLS = {"favour": 1, "disfavour": -1}


class Part(BaseModel):
    """Base: unknown fields are an error, nothing changes after it was made."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class RuleBaseName(Part):
    """Which rule base drew the conclusions."""

    name: str
    version: str
    sha256: str


class FactView(Part):
    """A fact the advice rests on. ``value`` is a word, a number in ``unit``, or a list for sets."""

    value: str | float | list[str] | None
    unit: str
    origin: Origin
    state: State = "known"
    rule: str | None = None
    formula: str | None = None


class LedgerEntry(Part):
    """One reason for or against one candidate. ``counts`` is false when the item's ranking contains it."""

    candidate: str
    act: Literal["exclude", "require", "favour", "disfavour"]
    strength: Literal["must", "strong", "clear", "slight"]
    rule: str
    because: str
    concern: str
    counts: bool = True
    set_aside: Saying | None = None

    @property
    def withdrawn(self) -> bool:
        """Whether a preferred rule took this reason out altogether."""
        return self.set_aside is not None and self.set_aside.code == "withdrawn"

    @property
    def pull(self) -> int:
        """How strongly it speaks for the candidate, negative where it speaks against; 0 for what bars."""
        return _PULLS.get(self.act, 0) * STRENGTHS.get(self.strength, 0)


class Choice(Part):
    """A settled choice. ``chosen`` starts with the leading candidate; more than one means a tie."""

    chosen: list[str]
    also_fits: list[str]
    excluded: dict[str, list[str]]
    ledger: list[LedgerEntry]
    tie: Saying | None = None
    open: Saying | None = None


class BoundView(Part):
    """An at-least or at-most on a quantity and how it was come by."""

    side: Literal["at least", "at most"]
    mm: float
    rule: str
    force: Literal["must", "should", "may"]
    because: str
    formula: str | None = None
    inputs: dict[str, str | float] = Field(default_factory=dict)
    binding: bool = False
    clear_by_mm: float | None = None
    set_aside: Saying | None = None


class WayOut(Part):
    """The band to order if one rule of a conflict did not stand."""

    without: str
    order_as: str
    low_mm: float
    high_mm: float


class Weight(Part):
    """The window of thickness, the band to order, and what holds each side.

    ``ways_out`` are given when no thickness meets all bounds.
    """

    low_mm: float | None
    high_mm: float | None
    order_as: str | None
    feasible_mm: tuple[float | None, float | None]
    bounds: list[BoundView]
    ways_out: list[WayOut] = Field(default_factory=list)
    open: Saying | None = None


class PartDecision(Part):
    """What was settled for a leather besides the main one, by reasons of its own.

    ``tannage`` is null where it is tanned as the main leather, ``species`` where it may be of any animal. ``role`` is
    what it is there for. Both ends of its thickness are null where it is as thick as the main leather.
    """

    part: str
    role: str
    tannage: Choice | None
    species: Choice | None
    low_mm: float | None
    high_mm: float | None
    bounds: list[BoundView]


class PieceView(Part):
    """One line of the cutting list, with its sizes worked out."""

    name: str
    part: str
    count: int
    length_mm: float
    width_mm: float
    formula: str


class CostView(Part):
    """What a form costs.

    ``index`` compares forms without a price list (vegetable tooling side = 1 a dm2). With the price
    list of a shop, the rest is money as decimal text: the total, a share for one item, what is left to
    pay if the offcuts are used up, and the total when a spare is bought for.
    """

    index: float | None
    total: str | None = None
    currency: str | None = None
    per_item: str | None = None
    with_spare: str | None = None
    after_offcuts: str | None = None
    why_not: Saying | None = None


class FormView(Part):
    """How many of one form are needed, or why it does not do."""

    form: str
    count: int
    fits: bool
    why_not: Saying | None
    gross_dm2: float
    leftover_dm2: float
    how: str
    cost: CostView | None


class Amount(Part):
    """How much leather: pieces, net and gross area, and every form compared.

    ``prices`` names the price list that was used, if any.
    """

    net_area_dm2: float | None
    gross_area_dm2: float | None
    pieces: list[PieceView]
    parts: dict[str, str]
    forms: list[FormView]
    prices: Saying | None = None
    open: Saying | None = None


class StackView(Part):
    """How thick a place is at the advised weight, and the limit it must keep, if it has one."""

    zone: str
    kind: Literal["sewn", "hand_sewn", "riveted", "folded", "closed"]
    mm: float
    formula: str
    limit_mm: float | None


class BasketLine(Part):
    """Something else that is needed or follows from the order, with its sum."""

    what: str
    value: str | float
    unit: str
    formula: str
    basis: str


class Decisions(Part):
    """Everything the advice settles."""

    grain: Choice
    tannage: Choice
    surface: Choice
    temper: Choice
    cut: Choice
    form: Choice
    species: Choice
    weight: Weight
    amount: Amount

    def choices(self) -> dict[str, Choice]:
        """The decisions that choose among candidates, by name."""
        return {name: part for name, part in self if isinstance(part, Choice)}


class CautionView(Part):
    """Words that protect somebody. A caution stays, as "not ruled out", until the facts exclude it.

    ``relevant`` tells whether this thing, the leather chosen and this use can meet it; what is not is only held back.
    ``rules`` are all that raise it, or may, the one of most weight first, which is ``rule``; ``depends_on`` is what any
    of these waits for.
    """

    id: str
    severity: Literal["note", "caution", "stop"]
    status: Status
    relevant: bool
    about: str
    text: str
    defer_to: str
    rule: str
    depends_on: list[str] = Field(default_factory=list)
    rules: list[str] = Field(default_factory=list)


class ConflictReason(Part):
    """One side of a conflict."""

    rule: str
    says: str
    because: str
    facts: list[Saying]


class Conflict(Part):
    """Reasons that cannot hold together, and the ways out in order of preference.

    ``about`` is an attribute, a decision, "part NAME", or what a declared clash lies between.
    """

    about: str
    reasons: list[ConflictReason]
    resolutions: list[Saying]
    outcome: Saying


class OpenQuestion(Part):
    """Something nobody answered that can still change the advice.

    ``danger`` says why a raised danger withholds the order until this is answered; null for other questions.
    """

    attribute: str
    question: str
    help: str
    supposed: str | None
    affects: list[str]
    values: list[str]
    danger: str | None = None


class DangerQuestion(NamedTuple):
    """What an open question asks about a raised danger, and why that withholds the order."""

    attribute: str
    question: str
    danger: str
    values: list[str]


class TraceStep(Part):
    """One rule that fired: what it matched, what it relied on being absent, what it concluded.

    Where makers differ, ``contested`` says how, and ``relevant`` whether the other practice would change this order.
    """

    step: int
    stratum: int
    rule: str
    force: str
    concern: str
    matched: list[Saying]
    absent: list[Saying]
    concluded: list[str]
    defeated: list[str]
    withdrawn_by: str | None
    because: str
    basis: str
    source: list[str]
    contested: str | None = None
    relevant: bool | None = None


class OutcomeReason(Part):
    """A rule behind the outcome; of a deferral ``order`` says whether an order is shown all the same."""

    outcome: str
    rule: str
    because: str
    order: Literal["withheld", "shown"] | None = None

    @property
    def verdict(self) -> str:
        """The outcome as one of VERDICTS."""
        return WITHHELD if self.order == "withheld" else self.outcome


class EvidenceView(Part):
    """The weakest link in the proof of one conclusion, what it belongs to, and what was taken for granted."""

    conclusion: str
    grade: Grade
    by: str
    supposed: list[str] = Field(default_factory=list)


class ProofView(Part):
    """The proof of every conclusion as a graph without circles.

    ``roots`` maps a conclusion to its node, ``applied`` and ``withdrawn`` list the rules that held, ``nodes`` holds
    each step by the first 12 hexadecimal digits of the SHA-256 of its canonical JSON.
    """

    roots: dict[str, str]
    applied: list[str]
    withdrawn: list[str]
    nodes: dict[str, dict[str, Any]]


Coded = Saying


class Understood(Part):
    """A fact read from words; ``start`` and ``end`` are places in the sentence, in characters.

    What is said of the leather itself and is no answer has the attribute ``leather`` and its words as value.
    """

    attribute: str
    value: str | float | list[str]
    words: str
    start: int
    end: int


class CandidateItem(Part):
    """A thing that the words may mean, and why."""

    item: str
    name: str
    because: Coded


class Danger(Part):
    """A danger that words raised: the question that closes it, and whether it applies."""

    concept: str
    words: str
    state: Literal["open", "applies", "ruled_out"]
    attribute: str
    question: str


class Reading(Part):
    """What was made of the words that a consultation began with."""

    understood: list[Understood]
    unread: list[str]
    doubts: list[Coded]
    candidates: list[CandidateItem]
    dangers: list[Danger]


class OrderLine(Part):
    """One thing to buy. What does not apply is null; ``shares`` names the line whose leather it is cut from.

    Of what comes in packs the label tells what one holds, and ``length_mm`` or ``size`` how much is used.
    """

    id: str
    kind: Literal["leather", "fitting"]
    part: str | None
    count: int | None
    form: str | None
    size: str | None
    species: str | None
    tannage: str | None
    grain: str | None
    surface: str | None
    colour: str | None
    low_mm: float | None
    high_mm: float | None
    order_as: str | None
    temper: str | None
    cut: str | None
    width_mm: float | None
    length_mm: float | None
    area_dm2: float | None
    pieces: list[str]
    shares: str | None
    cost: CostView | None
    label: str


class Order(Part):
    """What to buy, line by line, and how each leather besides the main one was chosen; empty where no order stands."""

    lines: list[OrderLine] = Field(default_factory=list)
    parts: list[PartDecision] = Field(default_factory=list)


class Advice(Part):
    """The whole answer to one consultation.

    ``outcome`` is null while nobody knows what is made, and while a raised danger is open; the reasons tell which.
    ``reading`` is filled by whoever read a sentence. ``proof`` stands only where it was asked for. Parts that a screen
    seldom shows may be worked out when they are first read; written out, copied or compared it is whole.
    """

    schema_: str = Field(default=SCHEMA, alias="schema")
    rulebase: RuleBaseName
    reading: Reading | None = None
    outcome: Outcome | None
    outcome_reasons: list[OutcomeReason]
    facts: dict[str, FactView]
    decisions: Decisions
    order: Order = Field(default_factory=Order)
    stacks: list[StackView]
    basket: list[BasketLine]
    cautions: list[CautionView]
    conflicts: list[Conflict]
    open_questions: list[OpenQuestion]
    trace: list[TraceStep]
    evidence: list[EvidenceView] = Field(default_factory=list)
    proof: ProofView | None = None
    _later: Mapping[str, Callable[[], Any]] = PrivateAttr(default_factory=dict)

    def waiting(self, later: Mapping[str, Callable[[], Any]]) -> Self:
        """The same, with the parts that ``later`` names worked out by it when they are first read.

        ``cautions_told`` and ``dangers`` may stand in it besides, for those who want no more of a part.
        """
        self._later = later
        for name in later.keys() & type(self).model_fields.keys():
            del self.__dict__[name]
        return self

    if not TYPE_CHECKING:

        def __getattr__(self, name: str) -> Any:
            """A part that is worked out now."""
            if name not in type(self).model_fields or name not in self._later:
                return super().__getattr__(name)
            return self.__dict__.setdefault(name, self._later[name]())

    def _whole(self) -> None:
        if self._later:
            object.__setattr__(self, "__dict__", {name: getattr(self, name) for name in type(self).model_fields})
            self._later = {}

    def __getstate__(self) -> dict[Any, Any]:
        """Every part, to be written down."""
        self._whole()
        return super().__getstate__()

    def __eq__(self, other: object) -> bool:
        """Whether all parts are equal."""
        for advice in (self, other):
            if isinstance(advice, Advice):
                advice._whole()
        return super().__eq__(other)

    @property
    def verdict(self) -> str | None:
        """The outcome as one of VERDICTS: an open danger is "undecided", a deferral tells whether an order stands."""
        return self.outcome_reasons[0].verdict if self.outcome_reasons else self.outcome

    @property
    def no_order(self) -> bool:
        """Whether the verdict lets no order stand."""
        return self.verdict in NO_ORDER

    @property
    def dangers(self) -> list[DangerQuestion]:
        """The open questions about raised dangers, in the order in which they are asked."""
        if "dangers" in self._later and "open_questions" not in self.__dict__:
            return list(self._later["dangers"]())
        return [
            DangerQuestion(q.attribute, q.question, q.danger, q.values)
            for q in self.open_questions
            if q.danger is not None
        ]

    @property
    def cautions_told(self) -> list[CautionView]:
        """The cautions that apply, and of those not ruled out the ones that this thing can meet."""
        known = "cautions" in self.__dict__ or "cautions_told" not in self._later
        found = self.cautions if known else self._later["cautions_told"]()
        return [c for c in found if c.status == "applies" or c.relevant]

    # No serializer: pydantic turns a Ctrl-C that comes inside a function of ours into an error of its own.
    def model_dump(self, **options: Any) -> dict[str, Any]:
        """Every part by its name, the proof only where there is one. ``options`` are those of pydantic."""
        self._whole()
        return super().model_dump(exclude=self._unwritten(), **options)

    def model_dump_json(self, **options: Any) -> str:
        """The same as JSON."""
        self._whole()
        return super().model_dump_json(exclude=self._unwritten(), **options)

    def _unwritten(self) -> set[str]:
        return {"proof"} if self.proof is None else set()

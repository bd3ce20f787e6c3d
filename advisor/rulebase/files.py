"""The shape of each rule file, as pydantic models: which keys exist and what they hold.

Sentences inside are still text here; the grammar reads them once all names are known.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Slug = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=60)]
RuleId = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=80)]
Sentence = Annotated[str, Field(min_length=1, max_length=400)]
Basis = Literal["published", "common practice", "estimate"]
Statement = Annotated[str, Field(min_length=1, max_length=300)]
Sources = Annotated[tuple[str, ...], Field(default=(), max_length=8)]


class Shape(BaseModel):
    """Base: unknown keys are mistakes, values are never changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class RawValue(Shape):
    """An allowed value of an attribute; ``grave`` if somebody may be hurt when it is overlooked."""

    means: Sentence
    words: tuple[str, ...] = ()
    grave: bool = False


class RawAttribute(Shape):
    """An attribute as written; ``said`` and ``full_only`` tell how and when the basket shows it."""

    kind: Literal["choice", "set", "quantity", "count", "yes_no", "text", "pieces", "zones"]
    group: Literal["job", "size", "load", "flex", "wet", "finish", "make", "people", "limits", "basket"]
    ask: Literal["first", "later", "never"]
    question: str = ""
    help: str = ""
    dont_know: str = ""
    basis: Basis = "common practice"
    unit: Literal[
        "mm", "m", "kg", "g", "N", "MPa", "degC", "day", "dm2", "ml", "ml/m2", "g/cm**3", "percent", "plain",
        "money", "",
    ] = ""  # fmt: skip
    low: str | int | None = None
    high: str | int | None = None
    cues: tuple[str, ...] = ()
    values: dict[Slug, RawValue] = Field(default_factory=dict)
    values_from: str = ""
    formula: str = ""
    inputs: dict[str, str] = Field(default_factory=dict)
    said: str = ""
    full_only: bool = False


class RawProperty(Shape):
    """A column of numbers beside the candidates."""

    unit: Literal["mm", "kg", "N", "MPa", "degC", "day", "dm2", "g/cm**3", "plain", "word"] = "plain"
    basis: Basis
    because: Sentence
    source: Sources


class RawDecision(Shape):
    """A decision; candidate tables hold the property columns as extra keys."""

    kind: Literal["choice", "quantity"]
    name: str
    unit: Literal["mm", ""] = ""
    properties: dict[Slug, RawProperty] = Field(default_factory=dict)
    candidates: dict[Slug, dict[str, str | int | float | list[str]]] = Field(default_factory=dict)
    groups: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)
    group_words: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)


class RawSource(Shape):
    """A published text."""

    title: Sentence
    year: int | None = None
    clause: str = ""
    opened: bool
    note: str = ""


class RawCaution(Shape):
    """Words that protect somebody."""

    severity: Literal["note", "caution", "stop"]
    about: str
    say: Sentence
    defer_to: str = ""
    basis: Basis
    source: Sources


class RawCheck(Shape):
    """Something to look over when the leather arrives."""

    say: Sentence
    of: dict[Slug, Annotated[tuple[str, ...], Field(min_length=1)]] = Field(default_factory=dict)
    basis: Basis
    source: Sources


class RawClash(Shape):
    """A known contradiction and its ways out."""

    between: Sentence
    say: Sentence
    resolutions: Annotated[tuple[Sentence, ...], Field(min_length=1)]
    basis: Basis


class RawRank(Shape):
    """How an item stands to one candidate."""

    favour: Literal["slight", "clear", "strong"] | None = None
    against: Literal["slight", "clear", "strong"] | None = None
    because: Sentence


class RawWeight(Shape):
    """Four thicknesses of the main leather."""

    min: str
    usual_low: str
    usual_high: str
    max: str
    because: Sentence


class RawPiece(Shape):
    """One line of the pattern."""

    name: str
    part: Literal["body", "pocket", "lining", "strap", "lace", "other"]
    count: Annotated[int, Field(ge=1, le=200)]
    length: str
    width: str
    along: Literal["backbone", "either"] = "backbone"


class RawZone(Shape):
    """A place where layers lie on each other; sizes as in pieces, ``weight`` being the main leather."""

    name: str
    kind: Literal["sewn", "riveted", "folded", "closed"]
    stack: str
    skived: str = ""
    seam: str = ""


class RawPart(Shape):
    """A second leather of the item."""

    what: Sentence


class RawItem(Shape):
    """One item of a family file; ``grave`` if somebody may be hurt when it is overlooked.

    ``may_bear`` if somebody could trust a load or a body to it, whatever it is made for.
    """

    name: str
    family: Slug
    words: tuple[str, ...]
    grave: bool = False
    may_bear: bool = False
    basis: Basis = "common practice"
    suppose: tuple[Statement, ...] = ()
    first_mistake: str = ""
    buy_one: str = ""
    buy_ten: str = ""
    tannage: dict[Slug, RawRank] = Field(default_factory=dict)
    avoid: dict[Slug, RawRank] = Field(default_factory=dict)
    grain: dict[Slug, RawRank] = Field(default_factory=dict)
    temper: dict[Slug, RawRank] = Field(default_factory=dict)
    cut: dict[Slug, RawRank] = Field(default_factory=dict)
    weight: RawWeight | None = None
    piece: tuple[RawPiece, ...] = ()
    zone: tuple[RawZone, ...] = ()
    parts: dict[Slug, RawPart] = Field(default_factory=dict)


class RawRule(Shape):
    """A rule as written; ``order`` says whether a deferral withholds the order or shows it with its condition."""

    id: RuleId
    when: Annotated[tuple[Statement, ...], Field(min_length=1, max_length=12)]
    then: Annotated[tuple[Statement, ...], Field(min_length=1, max_length=20)]
    force: Literal["must", "should", "may"]
    concern: Literal[
        "life and law", "physics", "health and limits", "stated wish", "computed", "process", "use",
        "item habit", "family habit", "general habit",
    ]  # fmt: skip
    because: Sentence
    basis: Basis
    source: Sources
    over: tuple[str, ...] = ()
    over_because: str = ""
    order: Literal["withheld", "shown", ""] = ""
    remedies: tuple[Sentence, ...] = ()
    contested: str = ""


class AttributesFile(Shape):
    """attributes.toml."""

    attribute: dict[Slug, RawAttribute]


class DecisionsFile(Shape):
    """decisions.toml."""

    decision: dict[Slug, RawDecision]


class SourcesFile(Shape):
    """sources.toml."""

    source: dict[RuleId, RawSource]


class CautionsFile(Shape):
    """cautions.toml."""

    caution: dict[Slug, RawCaution]


class ChecksFile(Shape):
    """checks.toml."""

    check: dict[Slug, RawCheck]


class ClashesFile(Shape):
    """clashes.toml."""

    clash: dict[Slug, RawClash]


class ItemsFile(Shape):
    """items/<family>.toml."""

    item: dict[Slug, RawItem]


class RulesFile(Shape):
    """rules/<subject>.toml."""

    rule: tuple[RawRule, ...]


class BaseFile(Shape):
    """rulebase.toml: what this rule base is called."""

    name: Slug
    version: str

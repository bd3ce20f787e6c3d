"""The shape of each rule file, as pydantic models: which keys exist and what they hold.

Sentences inside are still text here; the grammar reads them once all names are known.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from .models import Ask, Concern, Force, Kind, Severity

Slug = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=60)]
RuleId = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=80)]
Sentence = Annotated[str, Field(min_length=1, max_length=400)]
Basis = Literal["published", "common practice", "estimate"]
Statement = Annotated[str, Field(min_length=1, max_length=300)]
Sources = Annotated[tuple[str, ...], Field(default=(), max_length=8)]


class Shape(BaseModel):
    """Base: unknown keys are mistakes, values are never changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class RawNamed(Shape):
    """Words for people instead of a slug; see the model for what each key means. Only what differs is written."""

    label: str = ""
    plural: str = ""
    short: str = ""
    article: str = ""


class RawValue(RawNamed):
    """An allowed value of an attribute; ``grave`` if somebody may be hurt when it is overlooked."""

    means: Sentence
    say: str = ""
    words: tuple[str, ...] = ()
    grave: bool = False


class RawColumn(Shape):
    """A column of numbers or words, and where they come from."""

    unit: Literal["mm", "kg", "N", "MPa", "degC", "day", "dm2", "g/cm**3", "plain", "word", "yes_no"] = "plain"
    basis: Basis
    because: Sentence
    source: Sources


class RawProperty(RawColumn):
    """A column beside the candidates; see the model for what each key means."""

    label: str = ""
    means: Sentence | Literal[""] = ""
    values: dict[Slug, Sentence] = Field(default_factory=dict)
    sources: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)


class RawTable(RawColumn):
    """A number for each value of an attribute, but for those it is ``withheld`` from on purpose."""

    of: dict[Slug, str | int | float]
    withheld: tuple[Slug, ...] = ()


class RawAttribute(Shape):
    """An attribute as written; ``said`` and ``full_only`` tell how and when the basket shows it."""

    kind: Kind
    group: Literal["job", "size", "load", "flex", "wet", "finish", "make", "people", "limits", "basket"]
    ask: Ask
    question: str = ""
    help: str = ""
    dont_know: str = ""
    basis: Basis = "common practice"
    unit: Literal[
        "mm",
        "m",
        "kg",
        "g",
        "N",
        "MPa",
        "degC",
        "day",
        "dm2",
        "ml",
        "ml/m2",
        "g/cm**3",
        "percent",
        "plain",
        "money",
        "",
    ] = ""
    low: str | int | None = None
    high: str | int | None = None
    cues: tuple[str, ...] = ()
    values: dict[Slug, RawValue] = Field(default_factory=dict)
    values_from: str = ""
    tables: dict[Slug, RawTable] = Field(default_factory=dict)
    formula: str = ""
    inputs: dict[str, str] = Field(default_factory=dict)
    said: str = ""
    full_only: bool = False
    label: str = ""
    say: str = ""


class RawDecision(Shape):
    """A decision; candidate tables hold the property columns as extra keys, those of yes and no as two lists."""

    kind: Literal["choice", "quantity"]
    name: str
    unit: Literal["mm", ""] = ""
    properties: dict[Slug, RawProperty] = Field(default_factory=dict)
    candidates: dict[Slug, dict[str, str | int | float | list[str]]] = Field(default_factory=dict)
    groups: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)
    group_words: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)
    tempting: dict[Slug, tuple[Slug, ...]] = Field(default_factory=dict)
    say: str = ""


class RawSource(Shape):
    """A published text."""

    title: Sentence
    year: int | None = None
    clause: str = ""
    opened: bool
    note: str = ""


class RawCaution(Shape):
    """Words that protect somebody, and which thing can meet what they warn of; see the model for each key."""

    severity: Severity
    about: str
    tell_if: str = ""
    say: Sentence
    defer_to: str = ""
    basis: Basis
    source: Sources
    rank: Annotated[int, Field(ge=0, le=9)] = 0
    met_by: Annotated[tuple[tuple[Statement, ...], ...] | None, Field(max_length=12)] = None
    concerns: tuple[Statement, ...] = ()
    told_by: tuple[Slug, ...] = ()


class RawKind(Shape):
    """A group of items that can meet the same: whole families, single items besides, and some that are not meant."""

    means: Sentence
    families: tuple[Slug, ...] = ()
    items: tuple[Slug, ...] = ()
    but: tuple[Slug, ...] = ()


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
    """Four thicknesses of the main leather; ``source`` is a guide that names the usual ones."""

    min: str
    usual_low: str
    usual_high: str
    max: str
    because: Sentence
    source: Sources


class RawPiece(Shape):
    """One line of the pattern."""

    name: str
    part: Literal["body", "pocket", "lining", "strap", "lace", "other"]
    count: Annotated[int, Field(ge=1, le=200)]
    length: str
    width: str
    along: Literal["backbone", "either"] = "backbone"
    of: str = ""


class RawZone(Shape):
    """A place where layers lie on each other; sizes as in pieces, ``weight`` being the main leather."""

    name: str
    kind: Literal["sewn", "riveted", "folded", "closed"]
    stack: str
    skived: str = ""
    seam: str = ""
    anchor: bool = False


class RawStrap(Shape):
    """How the first piece is laid out where it is a strap with holes: see the model."""

    measure: Slug
    fold: str
    holes: Annotated[int, Field(ge=1, le=15)]
    apart: str


class RawPart(Shape):
    """A second leather of the item; see the model for what each key means. Without a ``role`` its name is one."""

    what: Sentence
    role: str = ""
    shares: bool = False
    tannage: tuple[str, ...] = ()
    grain: str = ""
    surface: str = ""
    temper: str = ""
    cut: str = ""
    species: str = ""
    thinnest: str = ""
    thickest: str = ""
    forms: tuple[str, ...] = ()
    colour: str = ""
    follows: str = ""
    bought: str = ""
    basis: Basis = "common practice"


class RawFitting(Shape):
    """Something to buy that is no leather; see the model for what each key means."""

    label: str
    when: Annotated[tuple[Statement, ...], Field(min_length=1, max_length=12)]
    width: str = ""
    length: str = ""
    volume: str = ""
    pack: str = ""
    serves: int = Field(default=0, ge=0, le=1000)
    by_item: bool = False
    coloured: bool = False
    material: str = ""
    counted_as: str = ""
    basis: Basis


class RawAsk(Shape):
    """An attribute asked in the words of an item or a family: what is left out is as for all items."""

    question: str = ""
    example: str = ""
    say: str = ""


class RawShared(Shape):
    """What things have in common: an item says it itself, or takes it from the way it is made or from its family.

    ``may_bear`` if somebody could trust a load or a body to it, whatever it is made for. ``too_thin`` and ``too_thick``
    say what goes wrong with leather outside its weights.
    """

    may_bear: bool = False
    too_thin: Sentence | Literal[""] = ""
    too_thick: Sentence | Literal[""] = ""
    suppose: tuple[Statement, ...] = ()
    tannage: dict[Slug, RawRank] = Field(default_factory=dict)
    avoid: dict[Slug, RawRank] = Field(default_factory=dict)
    grain: dict[Slug, RawRank] = Field(default_factory=dict)
    temper: dict[Slug, RawRank] = Field(default_factory=dict)
    cut: dict[Slug, RawRank] = Field(default_factory=dict)
    weight: RawWeight | None = None
    zone: tuple[RawZone, ...] = ()
    strap: RawStrap | None = None
    parts: dict[Slug, RawPart] = Field(default_factory=dict)
    fittings: dict[Slug, Annotated[int, Field(ge=1, le=200)]] = Field(default_factory=dict)
    ask: dict[Slug, RawAsk] = Field(default_factory=dict)


class RawItem(RawNamed, RawShared):
    """One item; ``grave`` if somebody may be hurt when it is overlooked.

    ``name`` is its label, too, unless it is too long for one. ``make`` names how it is made.
    """

    name: str
    family: Slug
    make: Slug | Literal[""] = ""
    words: tuple[str, ...]
    grave: bool = False
    basis: Basis = "common practice"
    first_mistake: str = ""
    piece: tuple[RawPiece, ...] = ()


class RawRule(Shape):
    """A rule as written; ``order`` says whether a deferral withholds the order or shows it with its condition."""

    id: RuleId
    when: Annotated[tuple[Statement, ...], Field(min_length=1, max_length=12)]
    then: Annotated[tuple[Statement, ...], Field(min_length=1, max_length=20)]
    force: Force
    concern: Concern
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
    kind: dict[Slug, RawKind] = Field(default_factory=dict)


class ChecksFile(Shape):
    """checks.toml."""

    check: dict[Slug, RawCheck]


class RawUndyed(Shape):
    """What is bought undyed; see the model for what each key means."""

    colour: str
    sold: tuple[str, ...]
    dyed: tuple[str, ...]
    when: Annotated[tuple[Statement, ...], Field(min_length=1, max_length=12)]


class FittingsFile(Shape):
    """fittings.toml; ``instead`` says, for an attribute, what a part is made of where it is no leather."""

    fitting: dict[Slug, RawFitting]
    undyed: RawUndyed | None = None
    instead: dict[Slug, dict[Slug, str]] = Field(default_factory=dict)
    tinted: dict[Slug, Slug] = Field(default_factory=dict)
    shaded: dict[Slug, Slug] = Field(default_factory=dict)


class ClashesFile(Shape):
    """clashes.toml."""

    clash: dict[Slug, RawClash]


class ItemsFile(Shape):
    """items/<subject>.toml; a family or a make may be spread over several files."""

    item: dict[Slug, RawItem] = Field(default_factory=dict)
    family: dict[Slug, RawShared] = Field(default_factory=dict)
    make: dict[Slug, RawShared] = Field(default_factory=dict)


class RulesFile(Shape):
    """rules/<subject>.toml."""

    rule: tuple[RawRule, ...]


class BaseFile(Shape):
    """rulebase.toml: what this rule base is called, and words that no label may hold."""

    name: Slug
    version: str
    unlabelled: tuple[str, ...] = ()

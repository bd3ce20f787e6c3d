"""What a rule base consists of, after loading: plain frozen values, no behaviour beyond look-ups.

The grammar module turns sentences into Premise and Conclusion; the load module builds RuleBase.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterable, Mapping
from contextlib import suppress
from dataclasses import KW_ONLY, dataclass, field, replace
from typing import Any, Literal, TypeVar, get_args

Value = str | float
Kind = Literal["choice", "set", "quantity", "count", "yes_no", "text", "pieces", "zones"]
ANSWERED = "_answered"
"""Ends the name under which it is known that a person, no rule and no supposition, gave an attribute its value."""
READ_OFF = ("_offered", "_excluded", ANSWERED)
PATTERN_KINDS: tuple[Kind, ...] = ("pieces", "zones")
WAYS = ("skive", "anchors")
"""The attributes that say how the places are made where layers meet; a rule base may do without them."""
Ask = Literal["first", "later", "never"]
Force = Literal["must", "should", "may"]
Severity = Literal["note", "caution", "stop"]

FORCES: tuple[Force, ...] = ("may", "should", "must")
SEVERITIES: tuple[Severity, ...] = ("stop", "caution", "note")
MOST_NOTES = 4
"""So many notes concern one thing; a reader skips a longer list (judgement)."""
MOST_PREMISES = 14
"""So many tests an engine takes of one rule; the inference library fails from 17 on."""
OUTCOMES = ("refuse", "defer", "another_material", "undecided", "ok_with_conditions", "ok")
"""What a rule may say of the whole job."""
WITHHELD = "defer, order withheld"
EVERYTHING = "everything"
"""Stands for every family of things."""
VERDICTS = ("refuse", WITHHELD, "another_material", "undecided", "defer", "ok_with_conditions", "ok")
"""Outcomes from the strongest on. A deferral under which no order is shown stands above one under which it is."""
CONDITIONS = "ok_with_conditions"
NO_ORDER = VERDICTS[:4]
"""Verdicts under which no order stands."""
STRENGTHS: Mapping[str, int] = {"slight": 1, "clear": 2, "strong": 3}
STRENGTH_NAMES: Mapping[int, str] = {number: word for word, number in STRENGTHS.items()}
Concern = Literal[
    "life and law",
    "physics",
    "health and limits",
    "stated wish",
    "computed",
    "process",
    "use",
    "item habit",
    "family habit",
    "general habit",
]
CONCERNS: tuple[Concern, ...] = get_args(Concern)
# From this concern on, a reason may bring in a leather that the item's own ranking does not name.
MAY_BRING_IN = CONCERNS.index("process")
PART = "part"
"""Begins what a conflict about the leather of one part is about: ``part lining``."""
OTHER_LEATHERS = "other_leathers"
"""The attribute that holds what leathers besides its main one a thing has; a rule base may do without it."""
CHOSEN_FOR_PARTS = ("tannage", "species")
"""The choices that are weighed for each leather of a thing by itself."""
LIMITS = ("life and law", "health and limits", "stated wish")
"""Concerns that bind every leather of a thing; the others speak of its main leather."""
HABITS = ("item habit", "family habit", "general habit")

Operator = Literal["is", "is not", "in", "lacks", "<", "<=", ">", ">=", "known", "unknown"]
Act = Literal[
    "set",
    "add",
    "suppose",
    "exclude",
    "require",
    "favour",
    "disfavour",
    "at least",
    "at most",
    "caution",
    "outcome",
    "clash",
]
REASONS: tuple[Act, ...] = ("exclude", "require", "favour", "disfavour")
BOUNDS: tuple[Act, ...] = ("at least", "at most")
_GIVES: tuple[Act, ...] = ("set", "add", "suppose", "favour", "require")


@dataclass(frozen=True, slots=True)
class Premise:
    """One condition of a rule. ``values`` are in the attribute's unit; ``other`` compares two attributes."""

    attribute: str
    operator: Operator
    values: tuple[Value, ...]
    other: str | None
    text: str


@dataclass(frozen=True, slots=True)
class Conclusion:
    """One thing a rule says. ``target`` is an attribute, decision, caution, outcome or clash.

    ``attribute`` names where the values or the bound come from ("those in X", "at least X"). ``part`` is what a reason
    or a bound is about where that is not the main leather: a part of one item, or the role that parts of all have.
    """

    act: Act
    target: str
    values: tuple[Value, ...]
    attribute: str | None
    strength: int
    text: str
    because: str | None = None
    part: str = ""

    def gives(self, value: Value | None) -> bool:
        """Whether this could make its target known (``value`` None) or give it this value."""
        if self.act not in _GIVES:
            return False
        return value is None or self.attribute is not None or value in self.values


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of the trade: all premises hold -> all conclusions, with the reason and where it comes from.

    ``order`` says of a rule that defers whether an order is shown all the same; of others it is empty.
    ``place`` gives the line in ``file``. It is asked only to list rules and to report mistakes, and finding all
    lines takes longer than reading all rules.
    """

    id: str
    when: tuple[Premise, ...]
    then: tuple[Conclusion, ...]
    force: Force
    concern: str
    because: str
    basis: str
    source: tuple[str, ...]
    over: tuple[str, ...]
    over_because: str
    remedies: tuple[str, ...]
    contested: str
    file: str
    place: Callable[[], int] = field(compare=False, repr=False)
    item: str | None = None
    order: Literal["withheld", "shown", ""] = ""

    @property
    def line(self) -> int:
        """Where the rule stands in ``file``, from 1."""
        return self.place()

    @property
    def waits_for(self) -> tuple[str, ...]:
        """The questions that a person has to answer before this rule stops leaving the outcome undecided."""
        if all(c.act != "outcome" or c.target != "undecided" for c in self.then):
            return ()
        absent = [p.attribute for p in self.when if p.operator == "unknown"]
        return tuple(name.removesuffix(ANSWERED) for name in absent if name.endswith(ANSWERED))

    def standing(self) -> tuple[int, int, str]:
        """Its place among rules that say the same, whatever file it stands in: by concern, by force, then by name."""
        return CONCERNS.index(self.concern), -FORCES.index(self.force), self.id

    def verdict(self, outcome: str) -> str:
        """One of VERDICTS for an outcome this rule concludes; a deferral that says nothing withholds the order."""
        return WITHHELD if outcome == "defer" and self.order != "shown" else outcome


@dataclass(frozen=True, slots=True)
class Named:
    """Something with a slug for the files and words for people.

    ``label`` is what the trade calls it, by default the slug with spaces; ``plural`` is for two or more, by default
    as ``plural_of``; ``short`` is what it is called beside its like, by default the label; ``article`` stands before
    the label where "a" or "an" by its first letter would be wrong. ``pluralised`` says that no plural was written.
    """

    slug: str
    _: KW_ONLY
    label: str = ""
    plural: str = ""
    short: str = ""
    article: str = ""
    pluralised: bool = field(default=False, init=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "pluralised", not self.plural)
        label = self.label or self.slug.replace("_", " ")
        usual = {"label": label, "plural": plural_of(label), "short": label, "article": article_of(label)}
        for name, text in usual.items():
            object.__setattr__(self, name, getattr(self, name) or text)

    def called(self, count: int = 1) -> str:
        """What a counter calls so many of it."""
        return self.label if count == 1 else self.plural

    def one(self) -> str:
        """The label with its article: "a bend", "an offcut"."""
        return f"{self.article} {self.label}"


def article_of(words: str) -> str:
    """The article before these words, by their first letter."""
    return "an" if words[:1].lower() in "aeiou" else "a"


def plural_of(words: str) -> str:
    """Two or more of these words: "pouches", "caddies", "pairs of chaps"; with an s where nothing tells otherwise."""
    counted = re.fullmatch(r"(pair|set)( of .+)", words)
    if counted:
        return f"{counted[1]}s{counted[2]}"
    if re.search(r"(?:s|x|ch|sh)$", words):
        return f"{words}es"
    return f"{words[:-1]}ies" if re.search(r"[^aeiou]y$", words) else f"{words}s"


@dataclass(frozen=True, slots=True)
class AttributeValue(Named):
    """One allowed value: its meaning and the words people use for it.

    ``grave`` marks what is kept when it is doubted, because leaving it out could hurt somebody. ``say`` tells the
    fact where the label alone does not read.
    """

    means: str
    words: tuple[str, ...]
    grave: bool = False
    say: str = ""


@dataclass(frozen=True, slots=True)
class Property:
    """A column beside candidates or values, and where its numbers come from.

    ``label`` says of a candidate that it has a property of yes and no ("takes carving"), ``means`` what that is.
    ``values`` are the words of a column of words with their meaning, empty where any word may stand. ``sources`` name
    a text that says it of a single candidate.
    """

    name: str
    unit: str
    basis: str
    because: str
    source: tuple[str, ...]
    label: str = ""
    means: str = ""
    values: Mapping[str, str] = field(default_factory=dict)
    sources: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Attribute:
    """Something that can be known about the job; see the rule files for what each field is for.

    ``say`` tells a fact about it, with ``{value}`` for the label of a value or a number with its unit. ``rows`` holds
    the numbers of each of its ``properties`` by value.
    """

    name: str
    kind: Kind
    group: str
    ask: Ask
    question: str
    help: str
    dont_know: str
    basis: str
    unit: str
    low: float | None
    high: float | None
    cues: tuple[str, ...]
    values: Mapping[str, AttributeValue]
    formula: str
    inputs: Mapping[str, str]
    order: int
    said: str = ""
    full_only: bool = False
    label: str = ""
    say: str = ""
    properties: Mapping[str, Property] = field(default_factory=dict)
    rows: Mapping[str, Mapping[str, Value]] = field(default_factory=dict)

    def table(self, name: str) -> dict[str, Value]:
        """One property of every value that has it."""
        return dict(self.rows[name])

    @property
    def numeric(self) -> bool:
        """True for quantities and counts, whose facts are numbers."""
        return self.kind in ("quantity", "count")


@dataclass(frozen=True, slots=True)
class Candidate(Named):
    """One thing a decision may choose, with its property table: numbers, words, and "yes" or "no".

    What is said by name of the candidate it is ``like`` is said of it, too.
    """

    means: str
    words: tuple[str, ...]
    properties: Mapping[str, Value]
    like: str = ""


@dataclass(frozen=True, slots=True)
class Decision:
    """Something the advice must settle: a choice among candidates, or a quantity with a window.

    ``groups`` are candidates by the name that rules have for them: a property they share, or one with those like it.
    ``group_words`` are what sellers call a whole group, as ``chrome``. ``say`` tells what is chosen, with ``{value}``.
    ``tempting`` are the candidates that people really buy by mistake, each with families of things or ``EVERYTHING``.
    ``spoken`` are the groups that a person may name; a property is for rules alone.
    """

    name: str
    kind: Literal["choice", "quantity"]
    unit: str
    title: str
    candidates: Mapping[str, Candidate]
    groups: Mapping[str, tuple[str, ...]]
    properties: Mapping[str, Property]
    group_words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    tempting: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    say: str = ""
    spoken: tuple[str, ...] = ()

    def tempts(self, candidate: str, family: str) -> bool:
        """Whether somebody making a thing of that family may buy the candidate by mistake."""
        return not {family, EVERYTHING}.isdisjoint(self.tempting.get(candidate, ()))

    def table(self, name: str) -> dict[str, Value]:
        """One property of every candidate."""
        return {slug: c.properties[name] for slug, c in self.candidates.items()}


@dataclass(frozen=True, slots=True)
class Source:
    """A published text, and whether its passage was opened or only remembered."""

    id: str
    title: str
    year: int | None
    clause: str
    opened: bool
    note: str


@dataclass(frozen=True, slots=True)
class Caution:
    """Words that protect somebody; rules raise them, nothing removes them but facts.

    ``rank`` orders those of one severity, the worst and likeliest first. What is not ruled out concerns a thing where
    all premises of one way of ``met_by`` hold; None was not declared. ``concerns`` are premises that have to hold
    besides, of which one about something unknown counts as held. ``told_by`` names cautions that say the same.
    ``tell_if`` ends "tell me if" while it is not ruled out.
    """

    id: str
    severity: Severity
    about: str
    say: str
    defer_to: str
    basis: str
    source: tuple[str, ...]
    rank: int = 0
    met_by: tuple[tuple[Premise, ...], ...] | None = None
    concerns: tuple[Premise, ...] = ()
    told_by: tuple[str, ...] = ()
    tell_if: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """Something to look over when the leather arrives; ``of`` names the candidates it belongs to, by decision."""

    id: str
    say: str
    of: Mapping[str, frozenset[str]]
    basis: str
    source: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Clash:
    """Two wishes that cannot both be had in one piece, with the ways out in order."""

    id: str
    between: str
    say: str
    resolutions: tuple[str, ...]
    basis: str


@dataclass(frozen=True, slots=True)
class WeightRange:
    """Four thicknesses in mm: workable from, usual from, usual to, workable to."""

    min: float
    usual_low: float
    usual_high: float
    max: float


@dataclass(frozen=True, slots=True)
class PieceSpec:
    """One line of an item's pattern; sizes are expressions over attributes, lengths along the backbone.

    ``of`` names the part whose leather it is cut from; empty for the main leather.
    """

    name: str
    part: str
    count: int
    length: str
    width: str
    along: Literal["backbone", "either"]
    of: str = ""


@dataclass(frozen=True, slots=True)
class ZoneSpec:
    """A place where layers meet; ``skived`` replaces ``stack`` for somebody who can thin an edge.

    ``anchor`` marks where a handle or a strap is held, which may be sewn by hand though the seams are not.
    """

    name: str
    kind: Literal["sewn", "riveted", "folded", "closed"]
    stack: str
    skived: str
    seam: str
    anchor: bool = False


@dataclass(frozen=True, slots=True)
class StrapSpec:
    """A strap with holes: ``fold`` mm are turned back, and ``measure`` runs from there to the middle hole.

    ``measure`` names an attribute in mm; ``holes`` lie ``apart`` mm from each other.
    """

    measure: str
    fold: float
    holes: int
    apart: float


_OF_THE = " of the "


def of_part(decision: str, part: str) -> str:
    """What a decision is called where it is about the leather of one part: "tannage of the lining"."""
    return f"{decision}{_OF_THE}{part}"


def parted(name: str) -> tuple[str, str]:
    """A decision and the part it is about, "" for the main leather: what ``of_part`` put together."""
    decision, _, part = name.partition(_OF_THE)
    return decision, part


@dataclass(frozen=True, slots=True)
class PartSpec:
    """A leather of an item besides the main one, or a thinner cut of the main one.

    ``what`` says it in a sentence, and ``role`` what it is there for. ``shares`` means that it comes out of what is
    bought for the main leather. ``tannages``, the best first, are empty where it is tanned as the main leather. ``low``
    and ``high`` are mm, None for the thickness of the main leather. ``forms`` are those it may be cut from; without any
    it is bought by the length. ``colour`` is its own, empty for that of the thing. ``follows`` names the attribute by
    whose value it may be of no leather at all; ``bought`` says what it is made of where it never is.
    """

    name: str
    what: str
    shares: bool = False
    tannages: tuple[str, ...] = ()
    grain: str = ""
    surface: str = ""
    temper: str = ""
    cut: str = ""
    species: str = ""
    low: float | None = None
    high: float | None = None
    forms: tuple[str, ...] = ()
    colour: str = ""
    follows: str = ""
    bought: str = ""
    basis: str = "common practice"
    role: str = ""


@dataclass(frozen=True, slots=True)
class Fitting:
    """Something to buy that is no leather, needed when all of ``when`` holds.

    ``width``, ``length`` and ``volume`` name the attributes that give its measures; where it is used up ``by_item``,
    length and volume are of one item. ``pack`` is what one of it holds, in m or ml, and ``serves`` how many items one
    of it does; 0 where neither is so. ``coloured`` if it has the colour of the thing; ``material`` names the attribute
    that tells what it is made of. An item counts it under ``counted_as``.
    """

    name: str
    label: str
    when: tuple[Premise, ...]
    width: str
    length: str
    volume: str
    pack: float
    serves: int
    by_item: bool
    coloured: bool
    material: str
    counted_as: str
    basis: str


@dataclass(frozen=True, slots=True)
class Wording:
    """How one thing is asked about and told of: a question, a help with an example, and a fact with ``{value}``."""

    question: str
    help: str
    say: str


@dataclass(frozen=True, slots=True)
class Undyed:
    """What is bought undyed, of ``colour``: the tannages that are only ``sold`` so, and, when all of ``when`` holds,
    those that the maker has ``dyed``.
    """

    colour: str
    sold: frozenset[str]
    dyed: frozenset[str]
    when: tuple[Premise, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """Something people make: names, pattern, buying habit; its suppositions and rankings are rules.

    ``asks`` holds the wording for attributes that are asked in the item's or its family's own words; what is empty
    there is as it is for all items. ``taken`` tells what came from the way it is made ("make pouch") and from its
    family ("family bags"), by keys. ``too_thin`` and ``too_thick`` say what goes wrong outside its weights.
    """

    slug: str
    name: str
    family: str
    words: tuple[str, ...]
    weight: WeightRange | None
    pieces: tuple[PieceSpec, ...]
    zones: tuple[ZoneSpec, ...]
    parts: Mapping[str, PartSpec]
    first_mistake: str
    supposes: Mapping[str, tuple[Value, ...]]
    ranks: Mapping[str, frozenset[str]]
    """Decision -> the candidates that its own ranking speaks of, for or against; only where it favours any."""
    fittings: Mapping[str, int] = field(default_factory=dict)
    strap: StrapSpec | None = None
    asks: Mapping[str, Wording] = field(default_factory=dict)
    taken: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    too_thin: str = ""
    too_thick: str = ""


@dataclass(frozen=True, slots=True)
class Strata:
    """The order of work. A node is an attribute or a decision.

    ``node`` gives the level at which each node is settled, ``rule`` the stratum in which each rule
    fires: after every node it reads, before every node it speaks about.
    """

    node: Mapping[str, int]
    rule: Mapping[str, int]
    depth: int


MOST_REMEMBERED, MOST_PARTS = 512, 50_000
_T = TypeVar("_T")


@dataclass(frozen=True, slots=True, repr=False)
class RuleBase:
    """Everything the advisor knows, checked and layered.

    ``unlabelled`` are words of the trade that no label may hold, because they are no words outside it; ``kinds``
    are the groups of items that cautions speak of.
    """

    name: str
    version: str
    sha256: str
    attributes: Mapping[str, Attribute]
    decisions: Mapping[str, Decision]
    sources: Mapping[str, Source]
    cautions: Mapping[str, Caution]
    clashes: Mapping[str, Clash]
    items: Mapping[str, Item]
    rules: Mapping[str, Rule]
    strata: Strata
    checks: Mapping[str, Check] = field(default_factory=dict)
    fittings: Mapping[str, Fitting] = field(default_factory=dict)
    instead: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    unlabelled: tuple[str, ...] = ()
    undyed: Undyed | None = None
    tinted: Mapping[str, str] = field(default_factory=dict)
    """Line of the order -> the attribute that says its colour where that is another than the thing's."""
    shaded: Mapping[str, str] = field(default_factory=dict)
    """Attribute -> the one that says the shade in which its value was named, as an order needs it."""
    memo: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)
    kinds: Mapping[str, frozenset[str]] = field(default_factory=dict)

    def __repr__(self) -> str:
        """Its name alone: what holds a rule base is printed in messages, and the whole of it takes gigabytes there."""
        return f"RuleBase({self.name} {self.version}, {self.sha256[:12]})"

    def once(self, key: str, make: Callable[[RuleBase], Any]) -> Any:
        """What ``make`` derives from this rule base, worked out the first time it is wanted."""
        try:
            return self.memo[key]
        except KeyError:
            self.memo[key] = made = make(self)
            return made

    def remembered(self, what: str, key: Hashable, make: Callable[[], _T], parts: tuple[Hashable, ...] = ()) -> _T:
        """What ``make`` gives for a key, worked out the first time. It must hang on the key alone.

        At most ``MOST_REMEMBERED`` of a kind are held, so that a process that runs for days stays as large as it is.
        Of a long list of ``parts``, which belong to the key, each is held once, in however many keys it stands.
        """
        kinds: dict[str, dict[Hashable, Any]] = self.once("remembered", lambda _: {})
        held = kinds.setdefault(what, {})
        try:
            found: _T = held[key, parts]
        except KeyError:
            found = make()
            make_room(held, MOST_REMEMBERED)
            if parts:
                once = kinds.setdefault("parts", {})
                if len(once) >= MOST_PARTS:
                    once.clear()
                parts = tuple([once.setdefault(part, part) for part in parts])
            held[key, parts] = found
        return found

    def holder(self, name: str) -> Decision | Attribute:
        """The decision or the attribute that has tables."""
        return self.decisions.get(name) or self.attributes[name]

    def about(self, target: str) -> list[Rule]:
        """The rules that say something about an attribute, a decision, a caution or "outcome", as declared."""
        found: dict[str, list[Rule]] = self.once("rules by target", _by_target)
        return found.get(target, [])

    def givers(self, name: str, value: Value | None = None) -> list[Rule]:
        """The rules that could make a name known, or give it this value; for "outcome", those with any outcome."""
        found = self.remembered("givers", (name, value), lambda: tuple(self._givers(name, value)))
        return list(found)

    def _givers(self, name: str, value: Value | None) -> list[Rule]:
        return [
            r for r in self.about(name) if name == "outcome" or any(c.target == name and c.gives(value) for c in r.then)
        ]

    def preferred(self) -> dict[str, list[str]]:
        """Rule -> rules that are preferred to it."""
        found: dict[str, list[str]] = self.once("preferred", _preferred)
        return found

    def grade(self, basis: str, sources: Iterable[str]) -> str:
        """The grade of evidence of something with this basis and these sources."""
        if basis != "published":
            return basis
        opened = any(self.sources[s].opened for s in sources)
        return "published, opened" if opened else "published, from memory"

    def asked_of_people(self) -> frozenset[str]:
        """The attributes of which some rule reads whether a person answered them."""
        found: frozenset[str] = self.once("asked of people", _asked_of_people)
        return found

    def danger_questions(self) -> frozenset[str]:
        """The questions that close a raised danger."""
        found: frozenset[str] = self.once("danger questions", _danger_questions)
        return found

    def choices(self) -> list[Decision]:
        """The decisions that choose among candidates, in declared order."""
        return [d for d in self.decisions.values() if d.kind == "choice"]

    def choice_of(self, part: str, decision: str) -> Decision:
        """A choice as it is weighed for one part, under the name that rules have for it there."""
        name = of_part(decision, part)
        found: Decision = self.once(name, lambda base: replace(base.decisions[decision], name=name))
        return found


def make_room(held: dict[Any, Any], most: int) -> None:
    """Let go of what was put in first where ``most`` are held, so that one more can be.

    Nothing is done where another thread is just putting something in; the next one makes room.
    """
    if len(held) >= most:
        with suppress(RuntimeError, StopIteration, KeyError):
            del held[next(iter(held))]


def _by_target(rulebase: RuleBase) -> dict[str, list[Rule]]:
    found: dict[str, list[Rule]] = {}
    for rule in rulebase.rules.values():
        for target in dict.fromkeys("outcome" if c.act == "outcome" else c.target for c in rule.then):
            found.setdefault(target, []).append(rule)
    return found


def _asked_of_people(rulebase: RuleBase) -> frozenset[str]:
    names = {p.attribute for rule in rulebase.rules.values() for p in rule.when if p.attribute.endswith(ANSWERED)}
    return frozenset(name.removesuffix(ANSWERED) for name in names)


def _danger_questions(rulebase: RuleBase) -> frozenset[str]:
    return frozenset(name for rule in rulebase.rules.values() for name in rule.waits_for)


def _preferred(rulebase: RuleBase) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for rule in rulebase.rules.values():
        for loser in rule.over:
            found.setdefault(loser, []).append(rule.id)
    return found

"""The attributes that a reader must know by what they are for: ``words/purposes.toml``."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from pydantic import Field

from ..errors import RuleBaseError
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.reading import near_hint
from ..rulebase.words import words_file

FILE = "words/purposes.toml"


class RawCarrier(Shape):
    """Who carries a thing, as a value of an attribute."""

    attribute: Slug
    value: Slug


class PurposesFile(Shape):
    """words/purposes.toml; what each is for stands beside it there."""

    colour: Slug
    strap_width: Slug
    reactions: Slug
    wishes: tuple[Slug, Slug, Slug]
    refusals: tuple[Slug, Slug, Slug]
    refused_grain: Slug
    at_hand: Slug
    at_hand_weight: Slug
    refused_whole: tuple[Slug, ...] = ()
    scales: tuple[Slug, ...] = ()
    none_gives_way: tuple[Slug, ...] = ()
    fixtures: tuple[Slug, ...] = ()
    of_owners: tuple[Slug, ...] = ()
    of_the_body: tuple[Slug, ...] = ()
    of_the_maker: tuple[Slug, ...] = ()
    greatest: tuple[Slug, ...] = ()
    carrier: RawCarrier
    family_of_animals: Slug
    opposites: dict[Slug, dict[Slug, Slug]] = Field(default_factory=dict)
    asked: dict[Slug, Slug] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Purposes:
    """The names by what they are for; "" or nothing where a rule base has no such file.

    ``wishes`` are those for a tannage, a species and a surface, ``refusals`` what keeps one that is refused,
    ``carrier`` the attribute and the value of it.
    """

    colour: str = ""
    strap_width: str = ""
    reactions: str = ""
    wishes: tuple[str, str, str] = ("", "", "")
    refusals: tuple[str, str, str] = ("", "", "")
    refused_grain: str = ""
    at_hand: str = ""
    at_hand_weight: str = ""
    refused_whole: frozenset[str] = field(default=frozenset())
    scales: frozenset[str] = frozenset()
    none_gives_way: frozenset[str] = frozenset()
    fixtures: frozenset[str] = frozenset()
    of_owners: frozenset[str] = frozenset()
    of_the_body: frozenset[str] = frozenset()
    of_the_maker: frozenset[str] = frozenset()
    greatest: frozenset[str] = frozenset()
    carrier: tuple[str, str] = ("", "")
    family_of_animals: str = ""
    opposites: Mapping[tuple[str, str], str] = field(default_factory=dict)
    """By attribute and value, what somebody wants of it who refuses that one."""
    asked: Mapping[str, str] = field(default_factory=dict)
    """By decision, the attribute that keeps the candidates somebody names together."""
    of_leather: frozenset[str] = frozenset()
    """The wishes and the leather at hand that the name of a leather may be read as."""

    @property
    def species(self) -> str:
        """The wish for an animal."""
        return self.wishes[1]


def purposes(rulebase: RuleBase) -> Purposes:
    """The names of a rule base, read once. Raises RuleBaseError with every mistake in the file."""
    made: Purposes = rulebase.once("purposes", _read)
    return made


def _read(rulebase: RuleBase) -> Purposes:
    raw = words_file(rulebase, FILE, PurposesFile)
    if raw is None:
        return Purposes()
    reader = rulebase.memo["words"]
    for key, name in _names(raw):
        if name not in rulebase.attributes:
            reader.wrong(FILE, (key,), name, f'"{name}" is no attribute.', near_hint(name, rulebase.attributes))
    carriers = rulebase.attributes.get(raw.carrier.attribute)
    if carriers and raw.carrier.value not in carriers.values:
        reader.wrong(FILE, ("carrier",), raw.carrier.value, f'"{raw.carrier.value}" is no value of {carriers.name}.')
    for name in (n for n in raw.asked.values() if n not in rulebase.attributes):
        reader.wrong(FILE, ("asked",), name, f'"{name}" is no attribute.', near_hint(name, rulebase.attributes))
    for name, pairs in raw.opposites.items():
        a = rulebase.attributes.get(name)
        for value in (v for pair in pairs.items() for v in pair if a is None or v not in a.values):
            reader.wrong(FILE, ("opposites", name), value, f'"{value}" is no value of "{name}".')
    families = {item.family for item in rulebase.items.values()}
    if raw.family_of_animals not in families:
        reader.wrong(FILE, ("family_of_animals",), raw.family_of_animals, "no item is of this family.")
    if reader.problems:
        raise RuleBaseError(reader.problems)
    return Purposes(
        raw.colour,
        raw.strap_width,
        raw.reactions,
        raw.wishes,
        raw.refusals,
        raw.refused_grain,
        raw.at_hand,
        raw.at_hand_weight,
        frozenset(raw.refused_whole),
        frozenset(raw.scales),
        frozenset(raw.none_gives_way),
        frozenset(raw.fixtures),
        frozenset(raw.of_owners),
        frozenset(raw.of_the_body),
        frozenset(raw.of_the_maker),
        frozenset(raw.greatest),
        (raw.carrier.attribute, raw.carrier.value),
        raw.family_of_animals,
        {(name, value): wanted for name, pairs in raw.opposites.items() for value, wanted in pairs.items()},
        raw.asked,
        frozenset((*raw.wishes[:2], raw.at_hand)),
    )


def _names(raw: PurposesFile) -> Iterator[tuple[str, str]]:
    """Every attribute named, with the key under which it stands."""
    for key in ("colour", "strap_width", "reactions", "refused_grain", "at_hand", "at_hand_weight"):
        yield key, getattr(raw, key)
    said_of = ("of_owners", "of_the_body", "of_the_maker")
    for key in ("wishes", "refusals", "refused_whole", "scales", "none_gives_way", "fixtures", *said_of, "greatest"):
        for name in getattr(raw, key):
            yield key, name
    yield "carrier", raw.carrier.attribute

"""How a conversation asks about each thing, as data: what it asks first, and what Enter must not answer.

Nothing here decides whether a question can change the advice; the reasoning does.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from .files import Sentence, Shape, Slug
from .models import RuleBase
from .words import FOLDER, words_file

ASKING = f"{FOLDER}/asking.toml"
Names = Annotated[tuple[Slug, ...], Field(max_length=40)]


class RawAsking(Shape):
    """How it is asked about an item or a family; of an item every list stands in place of that of its family."""

    ask_first: Names = ()
    measured: Names = ()
    understood: Names = ()


class RawExample(Shape):
    """A sentence ready to be typed, and what it is an example of."""

    kind: Sentence
    say: Sentence


class AskingFile(Shape):
    """words/asking.toml."""

    measured: Names = ()
    in_the_order: Names = ()
    supposed: Names = ()
    example: tuple[RawExample, ...] = ()
    family: dict[Slug, RawAsking] = Field(default_factory=dict)
    item: dict[Slug, RawAsking] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Asking:
    """How it is asked about one thing, by names of attributes.

    ``first`` is put before all else, in this order. Enter leaves ``measured`` open. ``understood`` goes without saying.
    ``in_the_order`` is asked although nothing else may hang on it. ``supposed`` are the questions of which people are
    told what was supposed, where it decides, the one most likely to be otherwise first.
    """

    first: tuple[str, ...] = ()
    measured: frozenset[str] = frozenset()
    understood: frozenset[str] = frozenset()
    in_the_order: frozenset[str] = frozenset()
    supposed: tuple[str, ...] = ()


def asking_of(rulebase: RuleBase, item: str | None) -> Asking:
    """How it is asked about an item, or before there is one. Raises RuleBaseError with the mistakes in the file."""
    file = _file(rulebase)
    recipe = rulebase.items.get(item or "")
    if recipe is None:
        return Asking(measured=frozenset(file.measured))
    family, own = file.family.get(recipe.family, RawAsking()), file.item.get(recipe.slug, RawAsking())
    first = own.ask_first or family.ask_first
    return Asking(
        first,
        frozenset((*file.measured, *(own.measured or family.measured))),
        frozenset(own.understood or family.understood),
        frozenset(file.in_the_order).intersection(first),
        tuple(dict.fromkeys((*first, *file.supposed))),
    )


def examples(rulebase: RuleBase) -> list[tuple[str, str]]:
    """Sentences ready to be typed, each behind what it is an example of."""
    return [(example.kind, example.say) for example in _file(rulebase).example]


def check_asking(rulebase: RuleBase) -> list[str]:
    """What is wrong with the file: names of no item, family or question."""
    file, families = _file(rulebase), {item.family for item in rulebase.items.values()}
    known = {a.name for a in rulebase.attributes.values() if a.ask != "never"}
    problems = [f"{ASKING}: {name} is no item." for name in file.item if name not in rulebase.items]
    problems += [f"{ASKING}: {name} is no family." for name in file.family if name not in families]
    return problems + [f"{ASKING}: {name} is no question." for name in _named(file) if name not in known]


def _named(file: AskingFile) -> Iterator[str]:
    yield from (*file.measured, *file.in_the_order, *file.supposed)
    for raw in (*file.family.values(), *file.item.values()):
        yield from (*raw.ask_first, *raw.measured, *raw.understood)


def _file(rulebase: RuleBase) -> AskingFile:
    made: AskingFile = rulebase.once("asking", lambda base: words_file(base, ASKING, AskingFile) or AskingFile())
    return made

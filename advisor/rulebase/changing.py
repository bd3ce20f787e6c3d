"""Which answers somebody would change to have something else, as data; nothing here says what a change would do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Annotated

from pydantic import Field

from .files import Shape, Slug
from .models import RuleBase, Value
from .words import FOLDER, words_file

CHANGING = f"{FOLDER}/changing.toml"
Names = Annotated[tuple[Slug, ...], Field(max_length=60)]


class ChangingFile(Shape):
    """words/changing.toml; see its head for what each key means."""

    least: Annotated[float, Field(gt=0, le=1)] = 0.5
    most: Annotated[float, Field(ge=1)] = 2.0
    wish: Names = ()
    made: Names = ()
    technical: Names = ()
    family: dict[Slug, dict[Slug, Names]] = Field(default_factory=dict)
    item: dict[Slug, dict[Slug, Names]] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Changing:
    """What may be offered to be changed about one thing, by names of attributes.

    ``wish`` may become anything, a number from ``least`` to ``most`` times what it is; ``made`` only what is named for
    it. What neither names is the case and is not offered; ``facts`` offers just that, to tell what it would mean, but
    for what is ``technical``.
    ``anything``: the rule base says nothing of it.
    """

    wish: frozenset[str]
    made: Mapping[str, frozenset[str]]
    least: float
    most: float
    anything: bool = False
    facts: bool = False
    technical: frozenset[str] = frozenset()

    def cases(self) -> Changing:
        """What may be the case or not, in place of what may be changed; a number within the same ends."""
        return replace(self, facts=True)

    def offered(self, name: str) -> bool:
        """Whether some other answer to a question may be offered."""
        if self.facts:
            return not self.anything and not ({name} & {*self.wish, *self.made, *self.technical})
        return self.anything or name in self.wish or bool(self.made.get(name))

    def takes(self, name: str, held: tuple[Value, ...], values: tuple[Value, ...]) -> bool:
        """Whether an answer may be offered where ``held`` is the case now."""
        if self.anything:
            return not self.facts
        if not self.offered(name):
            return False
        if name in self.made:
            return self.made[name].issuperset(map(str, values))
        if values and isinstance(values[0], float):
            # Where there is no number now there is nothing to halve or double: it has no such size.
            return bool(held) and self.least * float(held[0]) <= values[0] <= self.most * float(held[0])
        return True


def changing_of(rulebase: RuleBase, item: str | None) -> Changing:
    """What may be offered to be changed about an item. Raises RuleBaseError with the mistakes in the file."""
    file = _file(rulebase)
    if file is None:
        return Changing(frozenset(), {}, 0.0, 0.0, anything=True)
    recipe = rulebase.items.get(item or "")
    ways = {**file.family.get(recipe.family, {}), **file.item.get(recipe.slug, {})} if recipe else {}
    made = {name: frozenset(ways.get(name, ())) for name in file.made}
    return Changing(frozenset(file.wish), made, file.least, file.most, technical=frozenset(file.technical))


def check_changing(rulebase: RuleBase) -> list[str]:
    """What is wrong with the file: names of no item, family or question, or values that cannot be answered."""
    file = _file(rulebase)
    if file is None:
        return []
    families = {item.family for item in rulebase.items.values()}
    known = {a.name: a for a in rulebase.attributes.values() if a.ask != "never"}
    problems = [f"{CHANGING}: {name} is no item." for name in file.item if name not in rulebase.items]
    problems += [f"{CHANGING}: {name} is no family." for name in file.family if name not in families]
    named = (*file.wish, *file.made, *file.technical)
    problems += [f"{CHANGING}: {name} is no question." for name in named if name not in known]
    problems += [f"{CHANGING}: {name} is both a wish and a way of making." for name in {*file.wish} & {*file.made}]
    for name, value in _ways(file):
        if name not in file.made:
            problems.append(f"{CHANGING}: {name} is not named as a way of making.")
        elif name in known and value not in known[name].values:
            problems.append(f"{CHANGING}: {value} is no value of {name}.")
    return problems


def _ways(file: ChangingFile) -> Iterator[tuple[str, str]]:
    for ways in (*file.family.values(), *file.item.values()):
        yield from ((name, value) for name, values in ways.items() for value in values)


def _file(rulebase: RuleBase) -> ChangingFile | None:
    made: ChangingFile | None = rulebase.once("changing", lambda base: words_file(base, CHANGING, ChangingFile))
    return made

"""The words of customers, as data beside the rules: names of things, forms, objects and what they make together.

They decide what is heard and never what is concluded. The files are held when a rule base is loaded, so that its
digest covers them, and read when somebody says the first word. Other files of the folder are read with shapes of
their own through ``words_file``.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path as FolderPath
from typing import Annotated, Any

from pydantic import Field

from ..errors import RuleBaseError
from .files import Shape, Slug
from .models import RuleBase
from .reading import Model, Reader, near_hint

FOLDER = "words"
THINGS = f"{FOLDER}/things"
FORMS, OBJECTS = f"{FOLDER}/forms.toml", f"{FOLDER}/objects.toml"
SHOP = "words.toml"
MEMO = "words of things"
Phrases = Annotated[tuple[Annotated[str, Field(min_length=1, max_length=80)], ...], Field(default=(), max_length=400)]


class RawThing(Shape):
    """Further names of a recipe, or a thing that is known without one (then it has a ``name``).

    What is ``made_as`` another is bought exactly like it; what is only ``near`` is not, and is asked about.
    """

    name: str = ""
    near: str = ""
    made_as: str = ""
    may_bear: bool = False
    names: Phrases
    gloss: Phrases


class RawForm(Shape):
    """A word for a shape of thing that says too little alone. ``things`` are offered where nothing narrows it.

    In what ``holds``, other things are kept. ``usual`` is what is meant by the word alone, unless something is added.
    ``does`` are the verbs of what it is for: what is wrapped gets a wrap.
    """

    words: Phrases
    does: Phrases = ()
    may_bear: bool = False
    holds: bool = False
    usual: str = ""
    things: tuple[str, ...] = ()


class RawMember(Shape):
    """One kind of an object, with its own words and usual measures."""

    words: Phrases
    sizes: dict[Slug, str] = Field(default_factory=dict)


class RawObject(Shape):
    """Something a thing is made for. ``sizes`` are usual measures that a name stands for, by attribute.

    Of what is ``alive`` it matters anywhere in a text: boots are other boots where a donkey is spoken of. What is made
    for something ``like`` it is taken to be the same thing, and said to be a guess. A part of the ``body`` is no form
    where it is somebody's: "her heel". With ``beside`` the words mean it only where one of those objects is told of
    too: a bonnet is a hat, and a part of a car beside a car.
    """

    words: Phrases
    like: Phrases = ()
    beside: tuple[Slug, ...] = ()
    alive: bool = False
    body: bool = False
    sizes: dict[Slug, str] = Field(default_factory=dict)
    members: dict[Slug, RawMember] = Field(default_factory=dict)


class RawPair(Shape):
    """What a form is when it is for an object, as a cover for an edge tool is a mask or a sheath."""

    form: tuple[Slug, ...]
    object: tuple[Slug, ...]
    thing: str


class ThingsFile(Shape):
    """words/things/*.toml."""

    thing: dict[Slug, RawThing]


class FormsFile(Shape):
    """words/forms.toml."""

    form: dict[Slug, RawForm]


class ObjectsFile(Shape):
    """words/objects.toml."""

    object: dict[Slug, RawObject] = Field(default_factory=dict)
    pair: tuple[RawPair, ...] = ()


@dataclass(frozen=True, slots=True)
class Thing:
    """Something customers ask for. ``recipe`` is the item it is reckoned as: its own, or that of another made alike.

    Where it is "" the thing is named and nothing is advised; ``near`` comes close.
    """

    slug: str
    name: str
    recipe: str
    near: str
    may_bear: bool
    names: tuple[str, ...]
    gloss: tuple[str, ...]

    @property
    def own(self) -> bool:
        """Whether it is reckoned by a recipe of its own, or has none at all."""
        return self.recipe in ("", self.slug)


@dataclass(frozen=True, slots=True)
class Words:
    """The names of things, and what forms and objects make together (``pairs``: form, object -> things)."""

    things: Mapping[str, Thing]
    forms: Mapping[str, RawForm]
    objects: Mapping[str, RawObject]
    pairs: Mapping[tuple[str, str], tuple[str, ...]]


def with_shop_words(rulebase: RuleBase, folder: FolderPath) -> RuleBase:
    """The rule base with the words of a shop's customers (words.toml in its folder) beside its own.

    They name things, with or without a recipe. Without the file the rule base is returned as it is. Raises
    RuleBaseError with every mistake in the file.
    """
    reader = Reader(folder)
    if not os.path.lexists(folder / SHOP):
        return rulebase
    made = reader.read(SHOP, ThingsFile)
    reader.stop_if_wrong()
    words = words_of(rulebase)
    own = made.thing if made else {}
    for slug, raw in own.items():
        known = words.things.get(slug)
        if known is None and not (raw.name and raw.names):
            reader.wrong(
                SHOP,
                ("thing", slug),
                slug,
                "a thing without a recipe needs a name and names.",
                near_hint(slug, words.things),
            )
        _lead_to_recipes(rulebase, reader, SHOP, slug, raw)
    reader.stop_if_wrong()
    things = dict(words.things)
    for slug, raw in own.items():
        before = things.get(slug) or _thing(rulebase, slug, RawThing(name=raw.name, names=(), gloss=()))
        things[slug] = replace(
            before,
            recipe=raw.made_as or before.recipe,
            near=raw.near or before.near,
            may_bear=raw.may_bear or before.may_bear,
            names=tuple(dict.fromkeys((*before.names, *raw.names))),
            gloss=(*before.gloss, *raw.gloss),
        )
    # What was made of the words before must not be used with others.
    kept = {name: rulebase.memo[name] for name in ("line", "words")}
    return replace(rulebase, memo={**kept, MEMO: replace(words, things=things)})


def hold_words(reader: Reader) -> None:
    """Counts the files of words into the digest of a rule base."""
    for name in (*reader.names_in(FOLDER), *reader.names_in(THINGS)):
        reader.hold(name)


def words_file(rulebase: RuleBase, name: str, model: type[Model]) -> Model | None:
    """One file of words as ``model``, or None if the rule base has none. Raises RuleBaseError with its mistakes."""
    reader: Reader | None = rulebase.memo.get("words")
    if reader is None or name not in reader.names_in(name.rpartition("/")[0]):
        return None
    made = reader.read(name, model)
    reader.stop_if_wrong()
    return made


def words_of(rulebase: RuleBase) -> Words:
    """The names of things of this rule base, read once. Raises RuleBaseError with every mistake in them."""
    made: Words = rulebase.once(MEMO, _read)
    return made


def _read(rulebase: RuleBase) -> Words:
    reader: Reader | None = rulebase.memo.get("words")
    raw: dict[str, RawThing] = {}
    files: dict[str, str] = {}
    for name in reader.names_in(THINGS) if reader else ():
        made = reader.read(name, ThingsFile) if reader else None
        for slug, thing in made.thing.items() if made else ():
            if slug in raw and reader:
                reader.wrong(name, ("thing", slug), slug, f"already stands in {files[slug]}; keep one of them.")
            raw[slug], files[slug] = thing, name
    forms = words_file(rulebase, FORMS, FormsFile)
    objects = words_file(rulebase, OBJECTS, ObjectsFile)
    if reader:
        _check(rulebase, reader, raw, files, forms, objects)
    things = {slug: _thing(rulebase, slug, thing) for slug, thing in raw.items()}
    for slug in rulebase.items:
        things.setdefault(slug, _thing(rulebase, slug, RawThing(names=(), gloss=())))
    pairs: dict[tuple[str, str], tuple[str, ...]] = {}
    for pair in objects.pair if objects else ():
        for key in ((f, o) for f in pair.form for o in pair.object):
            pairs[key] = (*pairs.get(key, ()), pair.thing)
    return Words(things, forms.form if forms else {}, objects.object if objects else {}, pairs)


def _thing(rulebase: RuleBase, slug: str, raw: RawThing) -> Thing:
    item = rulebase.items.get(slug)
    names = tuple(dict.fromkeys((*(item.words if item else ()), *((raw.name,) if raw.name else ()), *raw.names)))
    name, recipe = (item.name, slug) if item else (raw.name, raw.made_as)
    return Thing(slug, name, recipe, raw.near, raw.may_bear, names, raw.gloss)


def _lead_to_recipes(rulebase: RuleBase, reader: Reader, file: str, slug: str, raw: RawThing) -> None:
    """Notes what a thing without a recipe cannot come close to or be made as."""
    for named in filter(None, (raw.near, raw.made_as)):
        if named not in rulebase.items:
            hint = near_hint(named, rulebase.items)
            reader.wrong(file, ("thing", slug), slug, f'"{named}" is no recipe.', hint)
    if raw.near and raw.made_as:
        reader.wrong(file, ("thing", slug), slug, "made_as says already what near would; take out near.")
    alike = rulebase.items.get(raw.made_as)
    if alike and raw.may_bear and not alike.supposes.get("may_bear"):
        said = f'may bear and "{raw.made_as}" may not: nobody would ask what hangs on it. Say near.'
        reader.wrong(file, ("thing", slug), slug, said)


def _check(
    rulebase: RuleBase,
    reader: Reader,
    raw: Mapping[str, RawThing],
    files: Mapping[str, str],
    forms: FormsFile | None,
    objects: ObjectsFile | None,
) -> None:
    """Notes every name that leads nowhere and raises RuleBaseError if there is one."""
    known = {*rulebase.items, *raw}

    def lead(file: str, path: tuple[Any, ...], where: str, slug: str) -> None:
        if slug not in known:
            reader.wrong(file, path, where, f'"{slug}" is no thing.', near_hint(slug, known))

    for slug, thing in raw.items():
        path = ("thing", slug)
        if slug not in rulebase.items and not (thing.name and thing.names):
            reader.wrong(files[slug], path, slug, "a thing without a recipe needs a name and names.")
        if slug in rulebase.items and (thing.name or thing.near or thing.made_as):
            said = "its recipe gives the name; take out name, near and made_as, and keep names and gloss."
            reader.wrong(files[slug], path, slug, said)
        _lead_to_recipes(rulebase, reader, files[slug], slug, thing)
    for slug, form in forms.form.items() if forms else ():
        for name in filter(None, (*form.things, form.usual)):
            lead(FORMS, ("form", slug), slug, name)
    forms_known, objects_known = (forms.form if forms else {}), (objects.object if objects else {})
    for n, pair in enumerate(objects.pair) if objects else ():
        lead(OBJECTS, ("pair", n), pair.thing, pair.thing)
        lost = [f for f in pair.form if f not in forms_known] + [o for o in pair.object if o not in objects_known]
        for name in lost:
            hint = near_hint(name, (*forms_known, *objects_known))
            reader.wrong(OBJECTS, ("pair", n), name, f'"{name}" is neither a form nor an object.', hint)
    for slug, what in objects_known.items():
        for name in (o for o in what.beside if o not in objects_known):
            hint = near_hint(name, objects_known)
            reader.wrong(OBJECTS, ("object", slug), slug, f'"{name}" is no object.', hint)
    if reader.problems:
        raise RuleBaseError(reader.problems)

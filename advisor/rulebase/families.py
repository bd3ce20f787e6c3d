"""What a thing takes from the way it is made and from its family, where it says nothing itself.

A key that an item writes is its own, even an empty one. Suppositions are taken attribute by attribute, questions key by
key and parts one by one; every other table is taken whole, since a ranking half an item's own would be nobody's.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from . import files as shape
from .models import Attribute
from .places import Path
from .reading import Reader, near_hint

FAMILY, MAKE = "family", "make"
"""The two kinds of givers, as their tables are called; ``family`` is the attribute with all families, too."""
SHARED = tuple(shape.RawShared.model_fields)


class Families:
    """The families and makes of all item files; each may be spread over several."""

    def __init__(self) -> None:
        self._given: dict[tuple[str, str], dict[Path, tuple[str, object]]] = {}

    def add(self, reader: Reader, file: str, found: shape.ItemsFile) -> None:
        """Take in what one file says of families and makes; what is said twice is noted as a mistake."""
        for kind, givers in ((FAMILY, found.family), (MAKE, found.make)):
            for name, raw in givers.items():
                entries = self._given.setdefault((kind, name), {})
                for key, value in _entries(raw):
                    if key in entries:
                        path = (kind, name, *(key[:1] if key[0] == "suppose" else key))
                        says = "already has its words" if key[0] == "ask" else "is already said"
                        what = f"{key[min(1, len(key) - 1)]} {says} in {entries[key][0]}."
                        reader.wrong(file, path, name, what, "Keep one of them.")
                        continue
                    entries[key] = file, value

    def check(self, reader: Reader, attributes: Mapping[str, Attribute], items: Iterable[shape.RawItem]) -> None:
        """Note a family that no attribute declares, a make that is not declared and one that nothing is made by."""
        known = attributes[FAMILY].values if FAMILY in attributes else {}
        used = {item.make for item in items}
        for (kind, name), entries in self._given.items():
            file = next((file for file, _ in entries.values()), "")
            if kind == FAMILY and name not in known:
                reader.wrong(file, (kind, name), name, f'"{name}" is no family.', near_hint(name, known))
            if kind == MAKE and name not in used:
                reader.wrong(file, (kind, name), name, f'no item is made as "{name}".')

    def entries(self) -> Iterator[tuple[str, Path, str, Path, object]]:
        """File, place, name, key and value of everything that is given."""
        for (kind, name), entries in self._given.items():
            for key, (file, value) in entries.items():
                yield file, (kind, name, *key), name, key, value

    def makes(self) -> list[str]:
        """The names of the makes."""
        return [name for kind, name in self._given if kind == MAKE]

    def complete(self, item: shape.RawItem) -> tuple[shape.RawItem, dict[str, tuple[str, ...]]]:
        """The item with all it takes, and the keys that came from each giver, as "make pouch"."""
        taken: dict[str, tuple[str, ...]] = {}
        said: set[str | int] = set(item.model_fields_set)
        for kind, name in ((MAKE, item.make), (FAMILY, item.family)):
            entries = self._given.get((kind, name), {})
            mine = {key: value for key, (_, value) in entries.items() if _left_out(item, said, key)}
            if mine:
                item = item.model_copy(update=_with(item, mine))
                said |= {key[0] for key in mine}
                taken[f"{kind} {name}"] = tuple(" ".join(map(str, key)) for key in mine)
        return item, taken


def _entries(raw: shape.RawShared) -> Iterator[tuple[Path, object]]:
    """What a family or make says: suppositions by attribute, questions by attribute and key, parts by name."""
    for key in SHARED:
        if key not in raw.model_fields_set:
            continue
        if key == "suppose":
            for name in dict.fromkeys(text.split()[0] for text in raw.suppose):
                yield (key, name), tuple(t for t in raw.suppose if t.split()[0] == name)
        elif key == "ask":
            for name, ask in raw.ask.items():
                yield from (((key, name, part), getattr(ask, part)) for part in ask.model_fields_set)
        elif key == "parts":
            yield from (((key, name), part) for name, part in raw.parts.items())
        else:
            yield (key,), getattr(raw, key)


def _left_out(item: shape.RawItem, said: set[str | int], key: Path) -> bool:
    if key[0] == "suppose":
        return all(text.split()[0] != key[1] for text in item.suppose)
    if key[0] == "ask":
        own = item.ask.get(str(key[1]), shape.RawAsk())
        # An example belongs to its question: another's does not go with a question of the item's own.
        return not getattr(own, str(key[2])) and not (key[2] == "example" and own.question)
    if key[0] == "parts":
        # A leather that no piece of it is cut from is none of its parts.
        return key[1] not in item.parts and any(p.of == key[1] for p in item.piece)
    return key[0] not in said


def _with(item: shape.RawItem, mine: Mapping[Path, object]) -> dict[str, object]:
    """The fields of the item that change when it takes all of these."""
    found: dict[str, object] = {}
    asks, parts = dict(item.ask), dict(item.parts)
    for key, value in mine.items():
        if key[0] == "suppose" and isinstance(value, tuple):
            held = found.get("suppose", item.suppose)
            found["suppose"] = (*held, *value) if isinstance(held, tuple) else value
        elif key[0] == "ask":
            name = str(key[1])
            asks[name] = asks.get(name, shape.RawAsk()).model_copy(update={str(key[2]): value})
            found["ask"] = asks
        elif key[0] == "parts" and isinstance(value, shape.RawPart):
            found["parts"] = parts = {**parts, str(key[1]): value}
        else:
            found[str(key[0])] = value
    return found

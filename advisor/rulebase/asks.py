"""Questions in the words of one thing: "How heavy is the dog?" instead of "What weight does it carry?"."""

from __future__ import annotations

from collections.abc import Mapping

from . import files as shape
from .models import Attribute, Wording
from .places import Path
from .reading import Reader, near_hint


def read_asks(
    reader: Reader,
    file: str,
    path: Path,
    slug: str,
    asks: Mapping[str, shape.RawAsk],
    attributes: Mapping[str, Attribute],
) -> dict[str, Wording]:
    """How attributes are asked of one thing, with what it takes from its family; mistakes are noted."""
    for name, ask in asks.items():
        _check(reader, file, (*path, "ask", name), slug, name, ask, attributes)
    return {name: Wording(ask.question, ask.example, ask.say) for name, ask in asks.items()}


def _check(
    reader: Reader,
    file: str,
    path: Path,
    where: str,
    name: str,
    ask: shape.RawAsk,
    attributes: Mapping[str, Attribute],
) -> None:
    if name not in attributes:
        reader.wrong(file, path, where, f'"{name}" is no attribute.', near_hint(name, attributes))
    elif ask.question and attributes[name].ask == "never":
        reader.wrong(file, path, where, f"{name} is never asked, so it needs no question.")
    if not (ask.question or ask.example or ask.say):
        reader.wrong(file, path, where, f"{name} needs a question, an example or a say.")

"""How a strap with holes is laid out, as the file of an item has it; mistakes are noted with the reader."""

from __future__ import annotations

from collections.abc import Mapping

from ..leather.units import UnitError, parse_quantity
from . import files as shape
from .models import Attribute, StrapSpec
from .reading import Reader, near_hint


def read_strap(
    reader: Reader, file: str, slug: str, raw: shape.RawStrap, attributes: Mapping[str, Attribute]
) -> StrapSpec | None:
    """The layout of the item's first piece; None where a mistake was noted."""
    path = ("item", slug, "strap")
    if raw.measure not in attributes or attributes[raw.measure].unit != "mm":
        reader.wrong(
            file,
            (*path, "measure"),
            slug,
            f'strap: "{raw.measure}" is no attribute in mm.',
            near_hint(raw.measure, [n for n, a in attributes.items() if a.unit == "mm"]),
        )
        return None
    try:
        return StrapSpec(raw.measure, parse_quantity(raw.fold, "mm"), raw.holes, parse_quantity(raw.apart, "mm"))
    except UnitError as error:
        reader.wrong(file, path, slug, f"strap: {error}.")
        return None

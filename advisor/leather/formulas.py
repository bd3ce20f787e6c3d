"""The formulas that a rule base may name, each with its units, its words and where it comes from.

A rule base holds no code: a computed attribute names a formula here and says which attribute goes into which
input. Nothing is evaluated from text; the words of a formula are only shown, with numbers put in.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeVar

from advisor.leather import cutting, fold, pieces, stack, strap
from advisor.leather.pieces import Piece
from advisor.leather.units import show

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Formula:
    """A pure function and what has to be said about it.

    Attributes:
        name: What a rule base calls it.
        function: Takes the inputs by name.
        inputs: Input -> unit: mm, kg, N, MPa, plain, count, choice, table or pieces.
        unit: Of the result: mm, N, plain, dm2, set, or table (the unit of the table that was looked up).
        text: The formula in words; an input other than a table stands in it under its
            name, with spaces for underscores.
        basis: published, common practice or estimate.
        source: Ids of published sources that its constants were taken from or checked against.
    """

    name: str
    function: Callable[..., object]
    inputs: Mapping[str, str]
    unit: str
    text: str
    basis: str
    source: tuple[str, ...] = ()

    def apply(self, inputs: Mapping[str, object]) -> object:
        """Return the result for *inputs*; ValueError if one is missing, unknown or impossible."""
        for name in self.inputs:
            if inputs.get(name) is None:
                raise ValueError(f"The formula {self.name} needs {name}, which is not known.")
        for name in inputs:
            if name not in self.inputs:
                taken = ", ".join(self.inputs)
                raise ValueError(f"The formula {self.name} has no input {name}; it takes {taken}.")
        return self.function(**inputs)


def lookup(key: str, table: Mapping[str, _T]) -> _T:
    """Return the value of *key* in *table*, in the unit of the table; ValueError if it is not there."""
    if key not in table:
        raise ValueError(f"There is no value for {key!r}; the table has {', '.join(sorted(table))}.")
    return table[key]


_FORM_TABLES = {"length": "table", "width": "table"}
_BUYING = {
    "pieces": "pieces", "quantity": "count", "tannage": "choice", "price": "table", **_FORM_TABLES,
    "area": "table", "cost": "table", "waste": "table", "sold": "table",
}  # fmt: skip
_BELTING = ("belting-handbook",)

FORMULAS: Mapping[str, Formula] = MappingProxyType(
    {
        formula.name: formula
        for formula in (
            Formula(
                "lookup", lookup, {"key": "choice", "table": "table"}, "table",
                "value for key", "common practice",
            ),
            Formula(
                "jerk_factor", strap.jerk_factor, {"load_kind": "choice"}, "plain",
                "jerk factor for load kind", "estimate",
            ),
            Formula(
                "safety_factor", strap.safety_factor, {"stakes": "choice"}, "plain",
                "safety factor for stakes", "estimate",
            ),
            Formula(
                "strap_force", strap.strap_force, {"mass": "kg", "jerk": "plain", "straps": "count"}, "N",
                f"mass x {strap.STANDARD_GRAVITY} m/s² x jerk / straps", "estimate",
            ),
            Formula(
                "strap_thickness", strap.strap_thickness,
                {"force": "N", "safety": "plain", "strength": "MPa", "width": "mm", "joint": "choice"}, "mm",
                "force x safety / (strength x width x joint share)", "estimate", _BELTING,
            ),
            Formula(
                "stitchable_thickness", stack.stitchable_thickness,
                {"sew_max": "mm", "layers": "count"}, "mm",
                "sew max / layers", "common practice",
            ),
            Formula(
                "foldable_thickness", fold.foldable_thickness, {"radius": "mm", "limit": "plain"}, "mm",
                "2 x radius x limit / (1 - limit)", "estimate",
            ),
            Formula(
                "net_area", pieces.net_area, {"pieces": "pieces"}, "dm2",
                "area of the pieces", "common practice",
            ),
            Formula(
                "longest_piece", pieces.longest_piece, {"pieces": "pieces"}, "mm",
                "greatest length among the pieces", "common practice",
            ),
            Formula(
                "widest_piece", pieces.widest_piece, {"pieces": "pieces"}, "mm",
                "greatest width among the pieces", "common practice",
            ),
            Formula(
                "forms_too_small", cutting.forms_too_small, {"pieces": "pieces", **_FORM_TABLES}, "set",
                "forms that cannot hold all of the pieces", "common practice",
            ),
            Formula(
                "cheapest_forms", cutting.cheapest_forms, {**_BUYING, "excluded": "set"}, "set",
                "forms of least relative cost for quantity x (the pieces), not counting excluded", "common practice",
            ),
        )
    }
)  # fmt: skip


def substituted(name: str, inputs: Mapping[str, object]) -> str:
    """Return the text of a formula with the *inputs* put in, and its result.

    >>> substituted("stitchable_thickness", {"sew_max": 8.0, "layers": 4})
    '8 mm / 4 = 2 mm'

    Raises:
        ValueError: If there is no such formula, or as ``Formula.apply``.
    """
    formula = lookup(name, FORMULAS)
    result = _said(formula.apply(inputs), formula.unit)
    said = {
        key.replace("_", " "): _put_in(key, inputs[key], unit)
        for key, unit in formula.inputs.items()
        if unit != "table"
    }
    words = re.compile(rf"\b(?:the )?({'|'.join(map(re.escape, said))})\b(?: share)?")
    return f"{words.sub(lambda found: said[found[1]], formula.text)} = {result}"


def _put_in(key: str, value: object, unit: str) -> str:
    # The share is what is multiplied with; the word for the joint would not let anybody check the sum.
    return _said(strap.joint_share(str(value)) if key == "joint" else value, unit)


def _said(value: object, unit: str) -> str:
    if isinstance(value, (int, float)):
        return show(value, "plain" if unit in ("choice", "table") else unit)
    if isinstance(value, str):
        return value.replace("_", " ")
    if isinstance(value, Iterable):
        return ", ".join(sorted(map(_one, value))) if unit == "set" else ", ".join(map(_one, value))
    return str(value)


def _one(value: object) -> str:
    if isinstance(value, Piece):
        return f"{value.count} of {show(value.length_mm, 'mm')} x {show(value.width_mm, 'mm')}"
    return str(value).replace("_", " ")

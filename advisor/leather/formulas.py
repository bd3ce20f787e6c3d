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

from advisor.leather import (
    cutting,
    finish,
    fold,
    hardware,
    label,
    mass,
    pieces,
    price,
    showing,
    stack,
    strap,
    thread,
    waste,
)
from advisor.leather.pieces import Piece
from advisor.leather.units import show

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Formula:
    """A pure function and what has to be said about it.

    Attributes:
        name: What a rule base calls it.
        function: Takes the inputs by name.
        inputs: Input -> unit: mm, dm2, kg, N, MPa, g/cm**3, ml/m2, percent, plain, count, choice, yes_no,
            set, table, pieces or zones.
        unit: Of the result: mm, m, dm2, ml, g, N, percent, plain, count, choice (a word), set, or table (the unit
            of what was looked up).
        text: The formula in words; an input other than a table stands in it under its
            name, with spaces for underscores.
        basis: published, common practice or estimate.
        source: Ids of published sources that its constants were taken from or checked against.
        shown: Takes the inputs by name and returns the text with numbers put in; None if it is enough to
            replace each name in the text.
        rises: Inputs with which the result never falls, whatever the others are; for pieces and zones, with their
            sizes. A result that is a set then only grows. Where all corners of a range can be reckoned, so can
            everything between.
        falls: Inputs with which the result never rises.
    """

    name: str
    function: Callable[..., object]
    inputs: Mapping[str, str]
    unit: str
    text: str
    basis: str
    source: tuple[str, ...] = ()
    shown: Callable[..., str] | None = None
    rises: frozenset[str] = frozenset()
    falls: frozenset[str] = frozenset()

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


def _names(text: str) -> frozenset[str]:
    return frozenset(text.split())


_FORM_TABLES = {"length": "table", "width": "table"}
_BUYING = {
    "pieces": "pieces",
    "quantity": "count",
    "tannage": "choice",
    "price": "table",
    **_FORM_TABLES,
    "area": "table",
    "cost": "table",
    "waste": "table",
    "sold": "table",
    "extra": "plain",
}
_LOADED = {"force": "N", "safety": "plain", "strength": "MPa"}
_WEAKENED = {"hole": "mm", "joint": "plain"}
_BELTING = ("belting-handbook",)

FORMULAS: Mapping[str, Formula] = MappingProxyType(
    {
        formula.name: formula
        for formula in (
            Formula(
                "lookup",
                lookup,
                {"key": "choice", "table": "table"},
                "table",
                "value for key",
                "common practice",
            ),
            Formula(
                "strap_force",
                strap.strap_force,
                {"mass": "kg", "jerk": "plain", "straps": "count"},
                "N",
                f"mass x {strap.STANDARD_GRAVITY} m/s² x jerk / straps",
                "estimate",
                rises=_names("mass jerk"),
                falls=_names("straps"),
            ),
            Formula(
                "strap_thickness",
                strap.strap_thickness,
                {**_LOADED, "width": "mm", **_WEAKENED},
                "mm",
                "force x safety / (strength x the smaller of (width - hole) and (width x joint share))",
                "estimate",
                _BELTING,
                rises=_names("force safety hole"),
                falls=_names("strength width joint"),
            ),
            Formula(
                "sound_thickness",
                strap.sound_thickness,
                {"thickness": "mm", "whole": "mm"},
                "mm",
                "thickness, not under whole",
                "estimate",
                ("bookbinding-dictionary", "tear-by-layer"),
                rises=_names("thickness"),
                falls=_names("whole"),
            ),
            Formula(
                "strap_width",
                strap.strap_width,
                {**_LOADED, "thickness": "mm", **_WEAKENED},
                "mm",
                "force x safety / (strength x thickness) + hole"
                " or force x safety / (strength x thickness x joint share), the larger",
                "estimate",
                _BELTING,
                rises=_names("force safety hole"),
                falls=_names("strength thickness joint"),
            ),
            Formula(
                "strap_safety",
                strap.strap_safety,
                {"force": "N", "strength": "MPa", "width": "mm", "thickness": "mm", **_WEAKENED},
                "plain",
                "strength x thickness / force x the smaller of (width - hole) and (width x joint share)",
                "estimate",
                _BELTING,
                rises=_names("strength width thickness joint"),
                falls=_names("force hole"),
            ),
            Formula(
                "hole_to_point",
                strap.hole_to_point,
                {"width": "mm"},
                "mm",
                f"{strap.POINT_WIDTHS} x width",
                "published",
                ("saddlers-rules",),
                rises=_names("width"),
            ),
            Formula(
                "tear_out",
                strap.tear_out,
                {**_LOADED, "thickness": "mm"},
                "mm",
                f"force x safety / (2 x {strap.TEAR_SHARE} x strength x thickness)",
                "estimate",
                rises=_names("force safety"),
                falls=_names("strength thickness"),
            ),
            Formula(
                "fold_share",
                strap.fold_share,
                {"width": "mm", "hole": "mm"},
                "plain",
                f"2 x {strap.FOLD_SHARE} x (width - hole) / width",
                "common practice",
                rises=_names("width"),
                falls=_names("hole"),
            ),
            Formula(
                "strap_stretch",
                strap.stretch,
                {"force": "N", "width": "mm", "thickness": "mm", "stiffness": "MPa"},
                "percent",
                "100 x force / (width x thickness x stiffness)",
                "estimate",
                rises=_names("force"),
                falls=_names("width thickness stiffness"),
            ),
            Formula(
                "stitchable_thickness",
                stack.stitchable_thickness,
                {"sew_max": "mm", "zones": "zones"},
                "mm",
                "(sew max - other layers) / layers of the main leather, least of the sewn zones",
                "common practice",
                shown=showing.stitchable_thickness,
                rises=_names("sew_max"),
                falls=_names("zones"),
            ),
            Formula(
                "closable_thickness",
                stack.closable_thickness,
                {"closed_max": "mm", "zones": "zones"},
                "mm",
                "(closed max - other layers) / layers of the main leather, least of the closed zones",
                "common practice",
                shown=showing.closable_thickness,
                rises=_names("closed_max"),
                falls=_names("zones"),
            ),
            Formula(
                "foldable_thickness",
                fold.foldable_thickness,
                {"radius": "mm", "limit": "plain"},
                "mm",
                "2 x radius x limit / (1 - limit)",
                "estimate",
                rises=_names("radius limit"),
            ),
            Formula(
                "skive_at_fold",
                fold.skive_at_fold,
                {"radius": "mm", "limit": "plain", "weight": "mm"},
                "mm",
                "the smaller of weight and 2 x radius x limit / (1 - limit)",
                "estimate",
                rises=_names("radius limit weight"),
            ),
            Formula(
                "turnable_thickness",
                fold.turnable_thickness,
                {"corner_radius": "mm", "seam_allowance": "mm", "turn_factor": "plain"},
                "mm",
                "corner radius / (4 x turn factor x (1 + 2 x seam allowance"
                " / the larger of (corner radius - seam allowance) and seam allowance))",
                "estimate",
                rises=_names("corner_radius"),
                falls=_names("seam_allowance turn_factor"),
            ),
            Formula(
                "extra_waste",
                waste.extra_waste,
                {
                    "shape": "choice",
                    "grade": "choice",
                    "matching": "yes_no",
                    "quantity": "count",
                    "shapes": "table",
                    "grades": "table",
                    "matched": "table",
                },
                "plain",
                "share for shape + share for grade + share for matching less 0.03 from ten items on",
                "common practice",
                shown=showing.extra_waste,
                falls=_names("quantity"),
            ),
            Formula(
                "spare_items",
                price.spare_items,
                {"quantity": "count", "experience": "choice", "every": "table"},
                "count",
                "one spare in so many of quantity for the experience",
                "common practice",
                shown=showing.spare_items,
                rises=_names("quantity"),
            ),
            Formula(
                "thickest_seam",
                stack.thickest_seam,
                {"zones": "zones", "weight": "mm"},
                "mm",
                "thickest sewn stack",
                "common practice",
                shown=showing.thickest_seam,
                rises=_names("zones weight"),
            ),
            Formula(
                "thread_size",
                thread.thread_for,
                {"weight": "mm", "zones": "zones"},
                "mm",
                "middle of the usual sizes for leather of weight",
                "common practice",
                shown=showing.thread_size,
                rises=_names("weight"),
            ),
            Formula(
                "stitch_pitch",
                thread.pitch_for,
                {"weight": "mm", "zones": "zones", "turns": "yes_no"},
                "mm",
                "middle of the usual pitches for leather of weight, or of a strap's turns where turns",
                "common practice",
                shown=showing.stitch_pitch,
                rises=_names("weight"),
            ),
            Formula(
                "thread_length",
                thread.saddle_thread_length,
                {"zones": "zones", "weight": "mm", "pitch": "mm"},
                "m",
                f"2 x seam x (pitch + stack) / pitch + {show(thread.ENDS_MM, 'mm')}, summed over the seams",
                "common practice",
                shown=showing.saddle_thread_length,
                rises=_names("zones weight"),
                falls=_names("pitch"),
            ),
            Formula(
                "rivet_post",
                hardware.rivet_post,
                {"zones": "zones", "weight": "mm", "allowance": "mm"},
                "mm",
                "thickest riveted stack + allowance",
                "common practice",
                shown=showing.rivet_post,
                rises=_names("zones weight allowance"),
            ),
            Formula(
                "dye_volume",
                finish.dye_volume,
                {"area": "dm2", "coats": "count", "rate": "ml/m2"},
                "ml",
                "area x coats x rate",
                "estimate",
                rises=_names("area coats rate"),
            ),
            Formula(
                "finished_mass",
                mass.mass,
                {"area": "dm2", "weight": "mm", "density": "g/cm**3"},
                "g",
                "area x weight x density",
                "estimate",
                rises=_names("area weight density"),
            ),
            Formula(
                "coating_class",
                label.coating_class,
                {"coating": "mm", "total": "mm"},
                "choice",
                f"coating against {show(label.LEATHER_COAT_MM, 'mm')} and a third of total",
                "published",
                ("directive-94-11", "en-15987"),
            ),
            Formula(
                "other_share",
                label.other_share,
                {"fibre": "percent"},
                "percent",
                "100 % - fibre",
                "common practice",
                falls=_names("fibre"),
            ),
            Formula(
                "net_area",
                pieces.net_area,
                {"pieces": "pieces"},
                "dm2",
                "area of the pieces",
                "common practice",
                rises=_names("pieces"),
            ),
            Formula(
                "longest_piece",
                pieces.longest_piece,
                {"pieces": "pieces"},
                "mm",
                "greatest length among the pieces",
                "common practice",
                rises=_names("pieces"),
            ),
            Formula(
                "widest_piece",
                pieces.widest_piece,
                {"pieces": "pieces"},
                "mm",
                "greatest width among the pieces",
                "common practice",
                rises=_names("pieces"),
            ),
            Formula(
                "forms_too_small",
                cutting.forms_too_small,
                {"pieces": "pieces", **_FORM_TABLES},
                "set",
                "forms that cannot hold all of the pieces",
                "common practice",
                rises=_names("pieces"),
            ),
            Formula(
                "cheapest_forms",
                cutting.cheapest_forms,
                {**_BUYING, "excluded": "set"},
                "set",
                "forms of least relative cost for quantity x (the pieces), not counting excluded",
                "common practice",
            ),
        )
    }
)


def substituted(name: str, inputs: Mapping[str, object]) -> str:
    """Return the text of a formula with the *inputs* put in, and its result.

    >>> substituted("foldable_thickness", {"radius": 2.4, "limit": 0.2})
    '2 x 2.4 mm x 0.2 / (1 - 0.2) = 1.2 mm'

    Raises:
        ValueError: If there is no such formula, or as ``Formula.apply``.
    """
    formula = lookup(name, FORMULAS)
    result = _said(formula.apply(inputs), formula.unit)
    if formula.shown is not None:
        return f"{formula.shown(**inputs)} = {result}"
    said = {key.replace("_", " "): _said(inputs[key], unit) for key, unit in formula.inputs.items() if unit != "table"}
    words = re.compile(rf"\b(?:the )?({'|'.join(map(re.escape, said))})\b(?: share)?")
    return f"{words.sub(lambda found: said[found[1]], formula.text)} = {result}"


def worked_out(name: str, inputs: Mapping[str, object]) -> tuple[list[str | float], str]:
    """Return the values a formula gives, numbers to the thousandth, and the line that shows how.

    Tables and cutting lists are too long to be put in; there the line is the formula in words, and a lookup names
    its key.

    Raises:
        ValueError: If there is no such formula, or as ``Formula.apply``.
    """
    formula = lookup(name, FORMULAS)
    result = formula.apply(inputs)
    if isinstance(result, frozenset | set):
        return sorted(map(str, result)), formula.text
    values: list[str | float] = [result if isinstance(result, str) else round(float(result), 3)]  # type: ignore[arg-type]
    too_long = any(isinstance(value, Mapping) or formula.inputs[key] == "pieces" for key, value in inputs.items())
    if too_long and formula.shown is None and formula.name != "lookup":
        return values, formula.text
    return values, substituted(name, inputs) + (" (estimate)" if formula.basis == "estimate" else "")


def numbers_put_in(name: str, inputs: Mapping[str, object]) -> dict[str, float]:
    """Return the numbers that stand for the *inputs* in the words of a formula, by the name they have there."""
    numbers = {key: value for key, value in inputs.items() if isinstance(value, int | float)}
    return {key.replace("_", " "): value for key, value in numbers.items() if key in FORMULAS[name].inputs}


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

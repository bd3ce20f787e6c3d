"""The list of formulas that a rule base may name: complete, honest about its inputs, and readable."""

from __future__ import annotations

import inspect

import pytest
from leather_tables import BELT, PRICE, TABLES

from advisor.leather.formulas import FORMULAS, lookup, substituted

NAMES = {
    "lookup", "jerk_factor", "safety_factor", "strap_force", "strap_thickness", "stitchable_thickness",
    "foldable_thickness", "net_area", "longest_piece", "widest_piece", "forms_too_small", "cheapest_forms",
}  # fmt: skip
UNITS = {"mm", "kg", "N", "MPa", "plain", "choice", "table", "pieces", "count", "set"}
EXAMPLES: dict[str, tuple[dict[str, object], str]] = {
    "lookup": ({"key": "veg_bridle", "table": PRICE}, "value for veg bridle = 1.6"),
    "jerk_factor": ({"load_kind": "dynamic"}, "jerk factor for dynamic = 2"),
    "safety_factor": ({"stakes": "loss_of_goods"}, "safety factor for loss of goods = 2"),
    "strap_force": (
        {"mass": 40.0, "jerk": 1.5, "straps": 1},
        "40 kg x 9.80665 m/s² x 1.5 / 1 = 588.4 N",
    ),
    "strap_thickness": (
        {"force": 588.399, "safety": 2.0, "strength": 22.0, "width": 22.0, "joint": "stitched"},
        "588.4 N x 2 / (22 N/mm² x 22 mm x 0.85) = 2.86 mm",
    ),
    "stitchable_thickness": ({"sew_max": 8.0, "layers": 3}, "8 mm / 3 = 2.67 mm"),
    "foldable_thickness": ({"radius": 2.4, "limit": 0.2}, "2 x 2.4 mm x 0.2 / (1 - 0.2) = 1.2 mm"),
    "net_area": (
        {"pieces": BELT},
        "area of 1 of 1145 mm x 38 mm, 1 of 110 mm x 12 mm = 4.48 dm²",
    ),
    "longest_piece": (
        {"pieces": BELT},
        "greatest length among 1 of 1145 mm x 38 mm, 1 of 110 mm x 12 mm = 1145 mm",
    ),
    "widest_piece": (
        {"pieces": BELT},
        "greatest width among 1 of 1145 mm x 38 mm, 1 of 110 mm x 12 mm = 38 mm",
    ),
    "forms_too_small": (
        {"pieces": BELT, "length": TABLES["length"], "width": TABLES["width"]},
        "forms that cannot hold all of 1 of 1145 mm x 38 mm, 1 of 110 mm x 12 mm"
        " = panel 12x12, panel 12x24, panel 24x24",
    ),
    "cheapest_forms": (
        {"pieces": BELT, "quantity": 1, "tannage": "veg_tooling", "price": PRICE, "excluded": ("belly",), **TABLES},
        "forms of least relative cost for 1 x (1 of 1145 mm x 38 mm, 1 of 110 mm x 12 mm), not counting belly"
        " = strap blank 1270",
    ),
}


def test_the_names_are_fixed() -> None:
    assert set(FORMULAS) == NAMES == set(EXAMPLES)
    assert all(name == formula.name for name, formula in FORMULAS.items())


@pytest.mark.parametrize("name", sorted(NAMES))
def test_the_inputs_are_those_of_the_function(name: str) -> None:
    formula = FORMULAS[name]
    parameters = inspect.signature(formula.function).parameters.values()

    assert set(formula.inputs) == {p.name for p in parameters if p.default is p.empty}
    assert set(formula.inputs.values()) <= UNITS
    assert formula.unit in {"mm", "N", "plain", "dm2", "set", "table"}
    assert formula.basis in {"published", "common practice", "estimate"}
    assert formula.source or formula.basis != "published"


@pytest.mark.parametrize("name", sorted(NAMES))
def test_the_numbers_are_put_in(name: str) -> None:
    inputs, said = EXAMPLES[name]

    assert substituted(name, inputs) == said


@pytest.mark.parametrize("name", sorted(NAMES))
def test_a_missing_input_is_named(name: str) -> None:
    inputs, _ = EXAMPLES[name]
    for missing in inputs:
        without = {key: value for key, value in inputs.items() if key != missing}
        with pytest.raises(ValueError, match=f"needs {missing}"):
            FORMULAS[name].apply(without)
        with pytest.raises(ValueError, match=f"needs {missing}"):
            FORMULAS[name].apply({**without, missing: None})
    with pytest.raises(ValueError, match="no input colour"):
        FORMULAS[name].apply({**inputs, "colour": "red"})


def test_unknown_formulas_and_keys_are_refused() -> None:
    with pytest.raises(ValueError, match="strap_thickness"):
        substituted("strap_thinness", {})
    with pytest.raises(ValueError, match="veg_tooling"):
        lookup("veg_toling", PRICE)

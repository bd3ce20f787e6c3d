"""The list of formulas that a rule base may name: complete, honest about its inputs, and readable."""

from __future__ import annotations

import inspect
import random
from dataclasses import replace

import pytest
from leather_tables import BELT, PRICE, SPARE_EVERY, TABLES, WASTE

from advisor.leather.formulas import FORMULAS, lookup, substituted
from advisor.leather.pieces import Piece
from advisor.leather.stack import Zone
from advisor.write.catalogue import marks_said

NAMES = {
    "lookup",
    "strap_force",
    "strap_thickness",
    "stitchable_thickness",
    "foldable_thickness",
    "net_area",
    "longest_piece",
    "widest_piece",
    "forms_too_small",
    "cheapest_forms",
    "closable_thickness",
    "turnable_thickness",
    "skive_at_fold",
    "strap_width",
    "hole_to_point",
    "tear_out",
    "fold_share",
    "strap_stretch",
    "strap_safety",
    "thread_size",
    "stitch_pitch",
    "thread_length",
    "rivet_post",
    "dye_volume",
    "finished_mass",
    "thickest_seam",
    "extra_waste",
    "spare_items",
    "coating_class",
    "other_share",
    "sound_thickness",
}
UNITS = {
    "mm",
    "dm2",
    "kg",
    "N",
    "MPa",
    "g/cm**3",
    "ml/m2",
    "plain",
    "choice",
    "table",
    "pieces",
    "zones",
    "count",
    "set",
    "yes_no",
    "percent",
}
RESULTS = {"mm", "m", "dm2", "ml", "g", "N", "percent", "plain", "count", "choice", "set", "table"}
ZONES = (
    Zone("pocket_corner", "sewn", 3, 1.4, seam_mm=300),
    Zone("edge", "sewn", 2, 0, seam_mm=200),
    Zone("hem", "sewn", 0, 1.6, seam_mm=50),
    Zone("strap anchor", "riveted", 2, 0.6),
    Zone("closed wallet", "closed", 4, 5),
)
EXAMPLES: dict[str, tuple[dict[str, object], str]] = {
    "lookup": ({"key": "veg_bridle", "table": PRICE}, "value for veg bridle = 1.6"),
    "strap_force": (
        {"mass": 40.0, "jerk": 1.5, "straps": 1},
        "40 kg x 9.80665 m/s² x 1.5 / 1 = 588.4 N",
    ),
    "strap_thickness": (
        {"force": 588.399, "safety": 2.0, "strength": 22.0, "width": 22.0, "hole": 3.0, "joint": 0.85},
        "588.4 N x 2 / (22 N/mm² x the smaller of (22 mm - 3 mm) and (22 mm x 0.85)) = 2.86 mm",
    ),
    "sound_thickness": ({"thickness": 3.2, "whole": 2.4}, "3.2 mm, not under 2.4 mm = 3.2 mm"),
    "strap_width": (
        {"force": 784.532, "safety": 2.0, "strength": 22.0, "thickness": 3.6, "hole": 0.0, "joint": 0.85},
        "784.53 N x 2 / (22 N/mm² x 3.6 mm) + 0 mm or 784.53 N x 2 / (22 N/mm² x 3.6 mm x 0.85), the larger = 23.3 mm",
    ),
    "strap_safety": (
        {"force": 784.532, "strength": 22.0, "width": 25.0, "thickness": 3.6, "hole": 0.0, "joint": 0.85},
        "22 N/mm² x 3.6 mm / 784.53 N x the smaller of (25 mm - 0 mm) and (25 mm x 0.85) = 2.15",
    ),
    "hole_to_point": ({"width": 38.0}, "2.5 x 38 mm = 95 mm"),
    "tear_out": (
        {"force": 784.532, "safety": 2.0, "strength": 17.0, "thickness": 4.0},
        "784.53 N x 2 / (2 x 0.5 x 17 N/mm² x 4 mm) = 23.1 mm",
    ),
    "fold_share": ({"width": 25.0, "hole": 5.0}, "2 x 0.6 x (25 mm - 5 mm) / 25 mm = 0.96"),
    "strap_stretch": (
        {"force": 117.68, "width": 25.0, "thickness": 2.0, "stiffness": 20.0},
        "100 x 117.68 N / (25 mm x 2 mm x 20 N/mm²) = 11.8 %",
    ),
    "stitchable_thickness": (
        {"sew_max": 10.0, "zones": ZONES},
        "(10 mm - 1.4 mm) / 3 at the pocket corner = 2.87 mm",
    ),
    "closable_thickness": (
        {"closed_max": 12.0, "zones": ZONES},
        "(12 mm - 5 mm) / 4 at the closed wallet = 1.75 mm",
    ),
    "extra_waste": (
        {"shape": "very_curved", "grade": "grade_b", "matching": "yes", "quantity": 12, **WASTE},
        "0.15 for very curved + 0.05 for grade b + 0.05 for matching - 0.03 for a run = 0.22",
    ),
    "spare_items": ({"quantity": 12, "experience": "beginner", "every": SPARE_EVERY}, "12 / 5, whole ones = 2"),
    "coating_class": (
        {"coating": 0.4, "total": 1.2},
        "0.4 mm against 0.15 mm and a third of 1.2 mm = coated leather",
    ),
    "other_share": ({"fibre": 60.0}, "100 % - 60 % = 40 %"),
    "thickest_seam": (
        {"zones": ZONES, "weight": 1.2},
        "3 x 1.2 mm + 1.4 mm at the pocket corner = 5 mm",
    ),
    "skive_at_fold": (
        {"radius": 3.0, "limit": 0.2, "weight": 3.4},
        "the smaller of 3.4 mm and 2 x 3 mm x 0.2 / (1 - 0.2) = 1.5 mm",
    ),
    "turnable_thickness": (
        {"corner_radius": 20.0, "seam_allowance": 8.0, "turn_factor": 0.8},
        "20 mm / (4 x 0.8 x (1 + 2 x 8 mm / the larger of (20 mm - 8 mm) and 8 mm)) = 2.68 mm",
    ),
    "thread_size": (
        {"weight": 2.4, "zones": ZONES},
        "middle of 0.6 mm to 0.8 mm (about Tex 380, metric ticket 8) for leather of 2.4 mm = 0.7 mm",
    ),
    "stitch_pitch": (
        {"weight": 2.4, "zones": ZONES, "turns": "no"},
        "middle of 4 mm to 5 mm (5.1 to 6.3 stitches per inch) for leather of 2.4 mm = 4.5 mm",
    ),
    "thread_length": (
        {"zones": ZONES, "weight": 1.2, "pitch": 4.0},
        "2 x 300 mm x (4 mm + 3 x 1.2 mm + 1.4 mm) / 4 mm + 400 mm at the pocket corner"
        " + 2 x 200 mm x (4 mm + 2 x 1.2 mm) / 4 mm + 400 mm at the edge"
        " + 2 x 50 mm x (4 mm + 1.6 mm) / 4 mm + 400 mm at the hem = 3.33 m",
    ),
    "rivet_post": (
        {"zones": ZONES, "weight": 2.4, "allowance": 3.0},
        "2 x 2.4 mm + 0.6 mm + 3 mm at the strap anchor = 8.4 mm",
    ),
    "dye_volume": ({"area": 4.351, "coats": 2, "rate": 150.0}, "4.35 dm² x 2 x 150 ml/m² = 13 ml"),
    "finished_mass": (
        {"area": 4.351, "weight": 3.5, "density": 0.95},
        "4.35 dm² x 3.5 mm x 0.95 g/cm³ = 145 g",
    ),
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
        {
            "pieces": BELT,
            "quantity": 1,
            "tannage": "veg_tooling",
            "price": PRICE,
            "excluded": ("belly",),
            "extra": 0.1,
            **TABLES,
        },
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
    assert formula.unit in RESULTS
    assert formula.shown is not None or "zones" not in formula.inputs.values()
    assert formula.basis in {"published", "common practice", "estimate"}
    assert formula.source or formula.basis != "published"


@pytest.mark.parametrize("name", sorted(NAMES))
def test_the_numbers_are_put_in(name: str) -> None:
    inputs, said = EXAMPLES[name]

    assert marks_said(substituted(name, inputs)) == said


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


def test_a_zone_of_leather_alone_is_said_without_other_layers() -> None:
    edge = Zone("edge", "sewn", 2, 0)

    line = substituted("stitchable_thickness", {"sew_max": 8.0, "zones": (edge,)})
    assert marks_said(line) == "8 mm / 2 at the edge = 4 mm"


@pytest.mark.parametrize(
    ("formula", "inputs", "said"),
    [
        (
            "extra_waste",
            {"shape": "few_curves", "grade": "grade_c", "matching": "no", "quantity": 9, **WASTE},
            "0.05 for few curves + 0.15 for grade c = 0.2",
        ),
        (
            "extra_waste",
            {"shape": "rectangles", "grade": "grade_a", "matching": "no", "quantity": 10, **WASTE},
            "0 for rectangles + 0 for grade a - 0.03 for a run, at least 0 = 0",
        ),
        (
            "spare_items",
            {"quantity": 20, "experience": "professional", "every": SPARE_EVERY},
            "20 / 10, whole ones = 2",
        ),
        ("spare_items", {"quantity": 4, "experience": "beginner", "every": SPARE_EVERY}, "4 / 5, whole ones = 0"),
    ],
)
def test_sums_of_other_cases_are_put_in(formula: str, inputs: dict[str, object], said: str) -> None:
    assert marks_said(substituted(formula, inputs)) == said


@pytest.mark.parametrize(
    "name", ["stitchable_thickness", "closable_thickness", "thickest_seam", "rivet_post", "thread_length"]
)
def test_an_item_without_such_a_zone_is_said(name: str) -> None:
    inputs, _ = EXAMPLES[name]

    with pytest.raises(ValueError, match="item has no"):
        substituted(name, {**inputs, "zones": (Zone("spine", "folded", 2, 0),)})


def test_unknown_formulas_and_keys_are_refused() -> None:
    with pytest.raises(ValueError, match="strap_thickness"):
        substituted("strap_thinness", {})
    with pytest.raises(ValueError, match="veg_tooling"):
        lookup("veg_toling", PRICE)


def _random_inputs(pick: random.Random, name: str) -> dict[str, object]:
    """Inputs of about the size that occurs: mm, kg and the like from a little to much."""
    found: dict[str, object] = {}
    for parameter, unit in FORMULAS[name].inputs.items():
        if unit == "zones":
            found[parameter] = tuple(replace(z, other_mm=z.other_mm * pick.uniform(0.5, 2)) for z in ZONES)
        elif unit == "pieces":
            found[parameter] = tuple(
                Piece("side", "body", pick.randint(1, 3), pick.uniform(20, 400), pick.uniform(20, 300))
                for _ in range(2)
            )
        elif unit == "count":
            found[parameter] = pick.randint(1, 60)
        elif unit == "percent":
            found[parameter] = pick.uniform(0, 100)
        elif unit in ("choice", "yes_no", "table", "set"):
            found[parameter] = EXAMPLES[name][0][parameter]
        else:
            found[parameter] = pick.uniform(0.05, 0.4) if parameter in ("limit", "joint") else pick.uniform(0.5, 60)
    return found


def _grown(pick: random.Random, value: object) -> object:
    factor = pick.uniform(1, 2)
    if isinstance(value, tuple):
        return tuple(
            replace(v, other_mm=v.other_mm * factor, seam_mm=v.seam_mm * factor)
            if isinstance(v, Zone)
            else replace(v, length_mm=v.length_mm * factor, width_mm=v.width_mm * factor)
            for v in value
        )
    return int(value) + pick.randint(0, 9) if isinstance(value, int) else float(value) * factor  # type: ignore[arg-type]


@pytest.mark.parametrize("name", sorted(n for n, f in FORMULAS.items() if f.rises | f.falls))
def test_a_formula_rises_and_falls_as_it_says(name: str) -> None:
    """Spans are reckoned at their corners, which is only right where the slopes are as declared."""
    pick, formula, checked = random.Random(name), FORMULAS[name], 0
    for _ in range(300):
        inputs = _random_inputs(pick, name)
        parameter = pick.choice(sorted(formula.rises | formula.falls))
        more = {**inputs, parameter: _grown(pick, inputs[parameter])}
        try:
            before, after = formula.apply(inputs), formula.apply(more)
        except ValueError:
            continue
        if isinstance(before, frozenset):
            assert before <= after, parameter  # type: ignore[operator]
        elif parameter in formula.rises:
            assert float(after) >= float(before) - 1e-9, parameter  # type: ignore[arg-type]
        else:
            assert float(after) <= float(before) + 1e-9, parameter  # type: ignore[arg-type]
        checked += 1
    assert checked > 50

"""Tables of a made-up shop, so that these tests do not change when the rule base does."""

from __future__ import annotations

from advisor.leather.cutting import FormTables
from advisor.leather.pieces import Piece

SQUARE_FOOT = 9.290304
INCH = 25.4

# form: length mm, width mm, area dm2, relative cost, waste on top of net, how it is sold
_FORMS = {
    "panel_12x12": (305.0, 305.0, 9.3, 1.7, 0.10, "piece"),
    "panel_12x24": (610.0, 305.0, 18.6, 1.7, 0.10, "piece"),
    "panel_24x24": (610.0, 610.0, 37.2, 1.7, 0.10, "piece"),
    "strap_blank_1270": (1270.0, 76.0, 4.8, 2.7, 0.05, "strap"),
    "strap_blank_1520": (1520.0, 76.0, 5.8, 2.7, 0.05, "strap"),
    "bend": (1250.0, 560.0, 10 * SQUARE_FOOT, 1.6, 0.12, "area"),
    "back": (1750.0, 550.0, 149.0, 1.3, 0.15, "area"),
    "side": (1900.0, 950.0, 204.0, 1.0, 0.22, "area"),
}
_COLUMNS = ("length", "width", "area", "cost", "waste", "sold")
TABLES = {column: {form: row[at] for form, row in _FORMS.items()} for at, column in enumerate(_COLUMNS)}
FORM_TABLES = FormTables(**TABLES)  # type: ignore[arg-type]
PRICE = {"veg_tooling": 1.0, "veg_bridle": 1.6}

BELT = (Piece("strap", "body", 1, 1145, 38), Piece("keeper", "body", 1, 110, 12))
CARD_HOLDER = (
    Piece("body", "body", 1, 206, 75),
    Piece("front pocket", "pocket", 2, 100, 65),
    Piece("T-pocket", "pocket", 2, 100, 55),
)
TOTE = (
    Piece("face", "body", 2, 460, 400),
    Piece("base", "body", 1, 400, 160),
    Piece("strap", "strap", 2, 650, 30),
    Piece("patch", "body", 4, 80, 50),
    Piece("inner pocket", "pocket", 1, 200, 160),
)

SHAPES = {"rectangles": 0.0, "few_curves": 0.05, "curved": 0.10, "very_curved": 0.15}
GRADES = {"grade_a": 0.0, "grade_b": 0.05, "grade_c": 0.15, "utility": 0.25, "ungraded_run": 0.25}
MATCHED = {"yes": 0.05, "no": 0.0}
WASTE = {"shapes": SHAPES, "grades": GRADES, "matched": MATCHED}
SPARE_EVERY = {"beginner": 5, "professional": 10}

"""Quantities as makers write them: fractions of an inch, leather ounces, irons, decimal commas.

pint knows the units and does the conversions; free text never reaches its parser, because there
"oz" is a mass and "mil" an angle. Every function is pure; numbers are plain floats in a named unit.

Sources: ASTM D1814-70 (2021) 1.2, one leather ounce = 1/64 in, one iron = 1/48 in; the foot of
0.3048 m exactly.
"""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import pint

# How a person prefers to read sizes: in millimetres, or in inches with leather ounces, feet and pounds.
Units = Literal["mm", "inch"]
MAX_TEXT = 80
MM_PER_OUNCE = 25.4 / 64
MM_PER_IRON = 25.4 / 48
DM2_PER_SQUARE_FOOT = 9.290304
# Half of the least step that the gauge of the trade shows.
_READING_OUNCES = 0.25
# Up to this, leather is asked for by the half ounce too.
_THIN_OUNCES = 4

_METRES = ("m", "metre", "metres", "meter", "meters")
# Each spelling people use -> the name in the registry. "oz" depends on what is asked; see _unit.
_SPELLINGS: dict[str, str] = {
    **dict.fromkeys(("mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters"), "millimeter"),
    **dict.fromkeys(("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"), "centimeter"),
    **dict.fromkeys(("m", "mtr", "mtrs", "metre", "metres", "meter", "meters"), "meter"),
    **dict.fromkeys(("in", "in.", "ins", "inch", "inches", '"', "″"), "inch"),
    **dict.fromkeys(("ft", "foot", "feet", "'", "′"), "foot"),
    **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"), "kilogram"),
    **dict.fromkeys(("g", "gm", "gms", "gram", "grams", "gramme", "grammes"), "gram"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "pound"),
    **dict.fromkeys(("stone", "stones"), "stone"),
    **dict.fromkeys(("n", "newton", "newtons"), "newton"),
    **dict.fromkeys(("kn",), "kilonewton"),
    **dict.fromkeys(("mpa", "n/mm2", "n/mm²"), "megapascal"),
    **dict.fromkeys(("psi",), "psi"),
    **dict.fromkeys(("c", "°c", "degc", "celsius", "centigrade"), "degC"),
    **dict.fromkeys(("f", "°f", "degf", "fahrenheit"), "degF"),
    **dict.fromkeys(("day", "days"), "day"),
    **dict.fromkeys(("week", "weeks"), "week"),
    **dict.fromkeys(("iron", "irons"), "iron"),
    **dict.fromkeys(("oz_leather",), "oz_leather"),
    **dict.fromkeys(("ml", "millilitre", "millilitres", "milliliter", "milliliters"), "milliliter"),
    **dict.fromkeys(("ml/m2", "ml/m²"), "milliliter / meter ** 2"),
    **dict.fromkeys(("dm2", "dm²"), "decimeter ** 2"),
    **dict.fromkeys(("m2", "m²", "sqm"), "meter ** 2"),
    **dict.fromkeys((f"{sq} {m}" for sq in ("sq", "sq.", "square") for m in _METRES), "meter ** 2"),
    **dict.fromkeys(("sqft", "sq ft", "sq. ft", "ft2", "ft²", "square foot", "square feet"), "foot ** 2"),
    **dict.fromkeys(("g/cm**3", "g/cm3"), "gram / centimeter ** 3"),
}
_OUNCES = ("oz", "oz.", "ounce", "ounces")
_CANONICAL = {
    "mm": "millimeter",
    "kg": "kilogram",
    "N": "newton",
    "MPa": "megapascal",
    "degC": "degC",
    "day": "day",
    "dm2": "decimeter ** 2",
    "m": "meter",
    "g": "gram",
    "ml": "milliliter",
    "ml/m2": "milliliter / meter ** 2",
    "g/cm**3": "gram / centimeter ** 3",
}

NUMBER = r"(?:\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(?:[.,]\d+)?|[.,]\d+)"
_GROUPED = r"[1-9]\d{0,2}(?: \d{3})+(?:\.\d+)?"
_SPELLED = sorted((*_SPELLINGS, *_OUNCES), key=len, reverse=True)
UNIT = "|".join(re.escape(word) + (r"(?![A-Za-z0-9²³])" if word[-1].isalnum() else "") for word in _SPELLED)
_QUANTITY = re.compile(rf"\s*([-−]?)\s*({_GROUPED}|{NUMBER})\s*({UNIT})?\s*", re.IGNORECASE | re.ASCII)

# The names in the registry that are sizes of one kind, so that two of them can be the ends of one span.
_KINDS = {
    "length": ("millimeter", "centimeter", "meter", "inch", "foot", "iron", "oz_leather"),
    "mass": ("kilogram", "gram", "pound", "stone"),
    "area": ("decimeter ** 2", "meter ** 2", "foot ** 2"),
    "time": ("day", "week"),
    "force": ("newton", "kilonewton"),
    "stress": ("megapascal", "psi"),
    "heat": ("degC", "degF"),
}


class UnitError(ValueError):
    """A text that is not a quantity of the wanted kind; the message says what would be."""


# Exact by the SI Brochure (2019), the yard and pound agreement of 1959 and ASTM D1814 (leather ounce and iron).
_DEFINITIONS = (
    "meter = [length]",
    "gram = [mass]",
    "second = [time]",
    "kelvin = [temperature]; offset: 0",
    "milli- = 1e-3",
    "centi- = 1e-2",
    "deci- = 1e-1",
    "kilo- = 1e3",
    "mega- = 1e6",
    "day = 86400 * second",
    "week = 7 * day",
    "yard = 0.9144 * meter",
    "foot = yard / 3",
    "inch = yard / 36",
    "oz_leather = inch / 64",
    "iron = inch / 48",
    "liter = decimeter ** 3",
    "pound = 453.59237 * gram",
    "ounce = pound / 16",
    "stone = 14 * pound",
    "newton = kilogram * meter / second ** 2",
    "pascal = newton / meter ** 2",
    "psi = 9.80665 * pound * meter / second ** 2 / inch ** 2",
    "degC = kelvin; offset: 273.15",
    "degF = 5 / 9 * kelvin; offset: 233.15 + 200 / 9",
)


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[float]:
    """pint's registry with the units that are read here alone: pint's own thousand take a third of a second."""
    import pint  # takes a tenth of a second, and most consultations convert nothing

    units: pint.UnitRegistry[float] = pint.UnitRegistry(None)
    for line in _DEFINITIONS:
        units.define(line)
    return units


@lru_cache(maxsize=256)
def _convert(value: float, source: str, target: str) -> float:
    units = registry()
    return float(units.Quantity(value, source).to(target).magnitude)


@lru_cache(maxsize=64)
def _same_kind(source: str, target: str) -> bool:
    units = registry()
    return bool(units.Unit(source).is_compatible_with(units.Unit(target)))


def parse_number(text: str) -> float:
    """A number as written in a shop: ``38``, ``1 1/2``, ``3/8``, ``0.5``, ``3,5``.

    ``1 200`` is 1200, with thousands parted by spaces of any width. Raises UnitError on what is no number, on division
    by zero and on ``1,200``, which is read differently in different places.
    """
    flat = " ".join(text.split())
    if re.fullmatch(_GROUPED, flat, re.ASCII):
        flat = flat.replace(" ", "")
    if not re.fullmatch(NUMBER, flat, re.ASCII):
        raise UnitError("expected a number, such as 38, 1.5 or 1 1/2")
    if "/" in flat:
        *whole, fraction = flat.replace(" /", "/").replace("/ ", "/").split(" ")
        top, bottom = fraction.split("/")
        if int(bottom) == 0:
            raise UnitError(f"{flat} divides by zero")
        return float(Fraction(int(top), int(bottom)) + sum(int(w) for w in whole))
    if re.fullmatch(r"\d+,\d{3}", flat):
        raise UnitError(f"{flat} can be read two ways; write {flat.replace(',', '')} or {flat.replace(',', '.')}")
    return float(flat.replace(",", "."))


def _unit(spelling: str, wanted: str) -> str:
    word = spelling.lower()
    if word in _OUNCES:
        return "ounce" if wanted == "kg" else "oz_leather"
    return _SPELLINGS[word]


def parse_quantity(text: str, unit: str, units: Units = "mm") -> float:
    """``text`` as a number of ``unit`` (mm, kg, N, MPa, degC, day, dm2), rounded to 0.001.

    A bare number is read in the unit in which ``show`` gives ``unit``. Raises UnitError when the
    text is no quantity, is of another dimension or is negative where the unit is not a temperature.
    """
    match = _QUANTITY.fullmatch(" ".join(text.split())) if len(text) <= MAX_TEXT else None
    bare = _IMPERIAL[unit][0] if units == "inch" and unit in _IMPERIAL else ""
    if not match:
        raise UnitError(f"expected a number with its unit, such as {1 if bare == 'in' else 25} {bare or unit}")
    sign, number, spelling = match.groups()
    spelling = spelling or bare
    value = parse_number(number) * (-1 if sign else 1)
    target = _CANONICAL[unit]
    if spelling:
        source = _unit(spelling, unit)
        # Most rule files write the declared unit, and then pint need not be loaded.
        if source != target:
            if not _same_kind(source, target):
                raise UnitError(f'"{spelling}" is not a unit of the same kind as {unit}')
            value = _convert(value, source, target)
    if value < 0 and unit != "degC":
        raise UnitError(f"a negative size makes no sense; expected more than 0 {unit}")
    return round(value, 3)


def times_apart(one: float, other: float) -> float:
    """How many times the larger of two sizes is the smaller; infinite where one is nothing or below it.

    What somebody writes may be more than nothing and yet so little that it comes to nothing in its unit.
    """
    low, high = sorted((one, other))
    return high / low if low > 0 else math.inf


def ounces(mm: float) -> float:
    """Thickness in leather ounces, exact: 1 oz = 1/64 in (ASTM D1814)."""
    return mm / MM_PER_OUNCE


def irons(mm: float) -> float:
    """Thickness in irons, exact: 1 iron = 1/48 in (ASTM D1814)."""
    return mm / MM_PER_IRON


def square_feet(dm2: float) -> float:
    """Area in square feet, exact: 1 sq ft = 9.290304 dm2."""
    return dm2 / DM2_PER_SQUARE_FOOT


def quarter_feet(square_foot_area: float) -> Decimal:
    """Machine-measured area as it is invoiced: rounded to the nearest quarter of a square foot.

    Source: a trade page read for the rounding 22.13 -> 22.25 (common practice elsewhere).
    """
    quarters = (Decimal(str(square_foot_area)) * 4).quantize(Decimal(1), ROUND_HALF_UP)
    return quarters / 4


def show_quarters(quarters: Decimal) -> str:
    """An area in quarter feet as a counter says it: ``7 1/4``, ``1/2``, ``22``."""
    whole = int(quarters)
    return f"{whole or ''} {('', '1/4', '1/2', '3/4')[int((quarters - whole) * 4)]}".strip() or "0"


def ounce_band(low_mm: float, high_mm: float) -> tuple[float, float]:
    """The band of ounces to ask for so that the leather lands between two thicknesses.

    The trade gauge reads half ounces (ASTM D1814), so an end may lie a quarter ounce outside. Whole ounces are asked
    for where they fit; of thin leather half ounces too, as it is sold (common practice). A window narrower than any
    band gets the one that holds its middle.
    """
    low, high = ounces(low_mm), ounces(high_mm)
    steps = (1.0, 0.5) if high <= _THIN_OUNCES + _READING_OUNCES else (1.0,)
    for step in steps:
        first, last = _within(low, high, step)
        if last > first:
            return first, last
    return _round_middle(low, high, steps[-1])


def iron_band(low_mm: float, high_mm: float) -> tuple[float, float]:
    """The band of whole irons to ask for, as soles are sold; otherwise as ``ounce_band``."""
    low, high = irons(low_mm), irons(high_mm)
    first, last = _within(low, high, 1.0)
    return (first, last) if last > first else _round_middle(low, high, 1.0)


def _within(low: float, high: float, step: float) -> tuple[float, float]:
    return (math.ceil((low - _READING_OUNCES) / step) * step, math.floor((high + _READING_OUNCES) / step) * step)


def _round_middle(low: float, high: float, step: float) -> tuple[float, float]:
    first = max(step, round((low + high) / 2 / step - 0.5) * step)
    return first, first + step


def show_window(low_mm: float, high_mm: float) -> str:
    """A window of thickness to a tenth of a millimetre, rounded inward; "about" where it is a single number."""
    low, high = math.ceil(round(low_mm * 10, 6)) / 10, math.floor(round(high_mm * 10, 6)) / 10
    if low >= high:
        return f"about {number((low_mm + high_mm) / 2, 1)} mm"
    return f"{number(low)} to {number(high)} mm"


def number(value: float, places: int = 2) -> str:
    """A number without needless zeros, never in exponent form."""
    return f"{value:.{places}f}".rstrip("0").rstrip(".") if places else f"{value:.0f}"


_SPELLED_OUT = {
    "degC": "°C",
    "dm2": "dm²",
    "MPa": "N/mm²",
    "g/cm**3": "g/cm³",
    "ml/m2": "ml/m²",
    "percent": "%",
    "plain": "",
    "count": "",
    "money": "",
}
_PLACES_FROM_TEN = {"mm": 1, "percent": 1, "ml": 0, "g": 0}
# Unit -> how it is written beside inches, and how many of the first make one of the second.
_IMPERIAL = {
    "mm": ("in", 25.4),
    "m": ("ft", 0.3048),
    "dm2": ("sq ft", DM2_PER_SQUARE_FOOT),
    "kg": ("lb", 0.45359237),
    "g": ("lb", 453.59237),
    "degC": ("°F", 5 / 9),
}
# A rule is read to a sixteenth of an inch; up to a foot, a size further from a mark than this is given in decimals.
_OFF_THE_MARK_MM, _LONG_INCHES = 0.1, 12
# What nobody said in inches is told to an eighth up to a foot and to a half from there; thin things stay exact.
_TO_AN_EIGHTH_FROM_MM, _EIGHTH, _HALF = 10.0, 25.4 / 8, 25.4 / 2
_HALF_FOOT_MM, _FEET_FROM_HALVES = 152.4, 10
_ON_A_MARK_MM, _TENTHS_ROUNDED_MM = 0.02, 0.06
_CENTIMETRES_FROM, _METRES_FROM = 100, 2000
_MM = r"[1-9]\d+(?:\.\d+)?"
# A length alone, "30 to 40 mm", "30-40 mm", "30 mm x 40 mm"; not the numbers of a sum, nor what has its inches already.
_SENTENCE_MM = re.compile(
    rf"(?<![\w.,/x×–-])(?<!\d to )(?<![-+/x×] )(?:({_MM})(?:(?: mm)? (to|x) |[-–]))?({_MM}) mm\b"
    r"(?! (?:[-+/x×]|\(\d|to\b))"
)
_BOTH = re.compile(r"(\d[\d.]*(?: x [\d.]+)* [cm]?m) \((\d[\d /]*(?: x \d[\d /]*)* in)\)")
_SENTENCE_CM = re.compile(r"(?<![\w.,/x×(-])(\d+(?:\.\d)?) cm\b(?! \()")
_SENTENCE_WEIGHT = re.compile(r"\b(weight (?:at least|at most|is) )([\d.]+) mm\b(?! \()")


def show(value: float, unit: str, units: Units = "mm") -> str:
    """A quantity as a person reads it, for example ``38 mm``, ``1 1/2 in`` or ``4.2 kg``.

    ``plain`` and ``money`` show no unit. Units that the trade in inches shares with the other (N/mm², ml) stay.
    """
    if units == "inch" and unit in _IMPERIAL:
        word, size = _IMPERIAL[unit]
        if unit == "mm":
            return _feet(value) or f"{_inches(value)} {word}"
        converted = value / size + (32 if unit == "degC" else 0)
        shown = f"{number(converted, 2 if converted < 10 else 1)} {word}"
        # Many who work in inches weigh in kilograms.
        return f"{shown} ({show(value, unit)})" if unit == "kg" else shown
    places = _PLACES_FROM_TEN.get(unit, 2) if value >= 10 else 2
    unit_word = "days" if unit == "day" and value != 1 else _SPELLED_OUT.get(unit, unit)
    return f"{number(value, places)} {unit_word}".strip()


def _inches(mm: float) -> str:
    """Inches in sixteenths where a rule would be read so, else in hundredths."""
    if 0 < mm < _OFF_THE_MARK_MM:
        return number(mm / 25.4, 4)
    sixteenths = round(mm / 25.4 * 16)
    if mm / 25.4 < _LONG_INCHES and abs(sixteenths * 25.4 / 16 - mm) > _OFF_THE_MARK_MM:
        return number(mm / 25.4)
    whole, part = divmod(sixteenths, 16)
    return f"{whole or ''} {Fraction(part, 16) if part else ''}".strip() or "0"


def _feet(mm: float) -> str:
    """A length from five feet on that is whole or half feet, as leads, ropes and reins are asked for; else nothing."""
    halves = round(mm / _HALF_FOOT_MM)
    if halves < _FEET_FROM_HALVES or abs(halves * _HALF_FOOT_MM - mm) > _TENTHS_ROUNDED_MM:
        return ""
    return f"{halves // 2}{' 1/2' if halves % 2 else ''} ft"


def in_round_inches(mm: float) -> float:
    """A size that nobody said in inches, mm, as a shop says it in inches: to an eighth, from a foot on to a half."""
    # A size said in sixteenths comes back with its tenths of a millimetre rounded.
    slack = _ON_A_MARK_MM if mm == round(mm) else _TENTHS_ROUNDED_MM
    on_a_mark = abs(round(mm / 25.4 * 16) * 25.4 / 16 - mm) < slack
    if mm < _TO_AN_EIGHTH_FROM_MM or on_a_mark:
        return mm
    step = _EIGHTH if mm < _LONG_INCHES * 25.4 else _HALF
    return round(mm / step) * step


def show_cut(mm: float, units: Units = "mm") -> str:
    """A size to cut to, as exact as a knife follows it: whole millimetres, or sixteenths of an inch."""
    return f"{mm:.0f} mm" if units == "mm" else f"{_inches(max(1, round(mm / 25.4 * 16)) * 25.4 / 16)} in"


def show_length(mm: float) -> str:
    """A length as a shop says it: ``38 mm``, ``127 cm``, ``2.5 m``."""
    if mm < _CENTIMETRES_FROM:
        return f"{number(mm, 1)} mm"
    return f"{number(mm / 10, 1)} cm" if mm < _METRES_FROM else f"{number(mm / 1000, 1)} m"


def show_said(value: float, unit: str, units: Units = "mm") -> str:
    """A quantity as somebody says it of a thing: a length in centimetres or metres where it is long, else ``show``."""
    return show_length(value) if unit == "mm" and units == "mm" else show(value, unit, units)


def show_metres(mm: float) -> str:
    """A length that is used up, in metres, rounded up to a tenth: ``0.8 m``."""
    return f"{number(math.ceil(round(mm / 100, 6)) / 10, 1)} m"


def show_sold(mm: float, units: Units = "mm") -> str:
    """The length of something sold by its size, in both measures, whole inches: ``127 cm (50 in)``."""
    metric, inches = show_length(mm), f"{mm / 25.4:.0f} in"
    return f"{inches} ({metric})" if units == "inch" else f"{metric} ({inches})"


def show_beside(mm: float, units: Units = "mm") -> str:
    """Millimetres as reckoned, after the inches for who reads inches."""
    return f"{_inches(in_round_inches(mm))} in ({show(mm, 'mm')})" if units == "inch" else show(mm, "mm")


def show_thickness(mm: float, units: Units = "mm") -> str:
    """A thickness of leather as reckoned, with the ounces beside it for who reads inches."""
    return show(mm, "mm") + (f" ({number(ounces(mm), 1)} oz)" if units == "inch" else "")


def show_area(dm2: float, units: Units = "mm") -> str:
    """An area in both measures, the preferred one first."""
    feet, metric = f"{number(square_feet(dm2))} sq ft", show(dm2, "dm2")
    return f"{feet} ({metric})" if units == "inch" else f"{metric} ({feet})"


def show_weight(low_mm: float, high_mm: float, units: Units = "mm", gauge: str = "") -> str:
    """The weight to order in both measures, the preferred one first: ``3.2 to 4 mm (8-10 oz)``.

    Of leather told by another ``gauge``: ``4.5 to 5.5 mm (9-10 iron)``.
    """
    band = _band(gauge, iron_band(low_mm, high_mm)) if gauge == "iron" else _band("oz", ounce_band(low_mm, high_mm))
    window = show_window(low_mm, high_mm)
    return f"{band} ({window})" if units == "inch" else f"{window} ({band})"


def show_ordered(low_mm: float, high_mm: float, gauge: str) -> str:
    """The weight to order as it is sold by its ``gauge``: ``8-10 oz (3.2 to 4 mm)``, ``9-10 iron (4.5 to 5.5 mm)``."""
    return show_weight(low_mm, high_mm, "inch", gauge)


def _band(unit: str, ends: tuple[float, float]) -> str:
    return f"{number(ends[0])}-{number(ends[1])} {unit}"


def beside_in(sentence: str, units: Units = "mm") -> str:
    """A sentence with inches before each length in it of 10 mm or more, and ounces beside a weight of leather.

    What stands between double quotes is somebody's own words and stays.
    """
    if units == "mm":
        return sentence

    def inches(match: re.Match[str]) -> str:
        first, joined, last = match.groups()
        before = f"{_inches(in_round_inches(float(first)))} {joined or 'to'} " if first else ""
        summed = match.string[: match.start()].endswith("= ")
        metric = match[0] if summed else re.sub(r"\d+\.\d+", lambda m: f"{float(m[0]):.0f}", match[0])
        return f"{before}{_inches(in_round_inches(float(last)))} in ({metric})"

    parts = re.split(r'(".*?")', sentence)
    for n in range(1, len(parts), 2):
        # An example of what to type, such as "1200 mm", is no sentence of somebody's.
        if example := re.fullmatch(rf'"({_MM}) mm"', parts[n]):
            parts[n] += f" ({show(float(example[1]), 'mm', units)})"
    for n in range(0, len(parts), 2):
        part = _SENTENCE_WEIGHT.sub(lambda m: f"{m[1]}{show_thickness(float(m[2]), units)}", parts[n])
        part = _SENTENCE_CM.sub(lambda m: f"{_inches(in_round_inches(float(m[1]) * 10))} in ({m[0]})", part)
        parts[n] = _BOTH.sub(r"\2 (\1)", _SENTENCE_MM.sub(inches, part))
    return "".join(parts)


def is_unit(spelling: str) -> bool:
    """Whether people write a unit so."""
    return spelling.lower() in _SPELLINGS or spelling.lower() in _OUNCES


def same_kind(first: str, second: str) -> bool:
    """Whether two units as somebody wrote them measure the same; an ounce is a mass and a thickness."""
    return bool(_kinds(first) & _kinds(second))


def _kinds(spelling: str) -> frozenset[str]:
    if spelling.lower() in _OUNCES:
        return frozenset(("length", "mass"))
    unit = _SPELLINGS.get(spelling.lower(), spelling)
    return frozenset(kind for kind, units in _KINDS.items() if unit in units) or frozenset((unit,))


def system_of(spelling: str) -> Units | None:
    """The measures that a unit of size belongs to as somebody wrote it; None for masses and all other units."""
    unit = "oz_leather" if spelling.lower() in _OUNCES else _SPELLINGS.get(spelling.lower(), "")
    if unit in ("inch", "foot", "foot ** 2", "iron", "oz_leather"):
        return "inch"
    return "mm" if unit in ("millimeter", "centimeter", "meter", "decimeter ** 2", "meter ** 2") else None

"""A shop's own folder: what it charges, read from prices.toml.

The forms and tannages are those of the rule base; mistakes are said as they are for rule files.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from itertools import islice
from pathlib import Path as FolderPath
from typing import Annotated

from pydantic import Field, field_validator
from pydantic_core import PydanticCustomError

from ..errors import Problem, RuleBaseError, nearest, shown
from ..leather.price import Per, Price
from ..leather.units import NUMBER, UnitError, parse_quantity
from .files import Shape
from .grammar import GrammarError, parse_amount
from .models import Candidate, RuleBase
from .places import Path
from .reading import Reader, near_hint

PRICES = "prices.toml"
MAX_PRICES = 2000
_THICKNESS_UNITS = ("oz", "mm", "cm", "iron", "in")
_BAND = re.compile(rf"\s*({NUMBER})\s*(?:-|–|to)\s*({NUMBER})\s*(.*?)\s*", re.ASCII)
_AMOUNT = re.compile(r"\d{1,7}(\.\d{1,4})?", re.ASCII)
_CURRENCY = re.compile(r"[A-Z]{3}")

Text = Annotated[str, Field(min_length=1, max_length=80)]


@dataclass(frozen=True)
class House:
    """A shop and its prices. ``currency`` is three capital letters; ``invented`` marks demo data."""

    name: str
    currency: str
    prices: tuple[Price, ...]
    invented: bool

    @cached_property
    def sha256(self) -> str:
        """What tells this price list from another: a digest of its currency and its prices."""
        return hashlib.sha256(repr((self.currency, self.prices)).encode()).hexdigest()


class RawPrice(Shape):
    """A price as written. Its amount may be anything here, so that a number can be refused in plain words."""

    form: Text
    tannage: Text
    band: Text
    width: Text | None = None
    price: object
    currency: str | None = None
    per: Per


class PricesFile(Shape):
    """prices.toml."""

    shop: Text
    currency: str
    invented: Annotated[bool, Field(strict=True)] = False
    price: Annotated[tuple[RawPrice, ...], Field(min_length=1)]

    @field_validator("price", mode="before")
    @classmethod
    def _countable(cls, entries: object) -> object:
        """Refuse a list too long to go through before any of its entries is looked at."""
        if isinstance(entries, dict):
            raise PydanticCustomError("one_table", "each price starts with [[price]], in two pairs of brackets")
        if isinstance(entries, list) and len(entries) > MAX_PRICES:
            raise PydanticCustomError("too_many", f"more than {MAX_PRICES} prices; expected fewer")
        return entries


class _PriceReader(Reader):
    """Names an entry by its place in the list, since a price has no name of its own."""

    def _subject(self, file: str, path: Path) -> str:
        if len(path) > 1 and isinstance(path[1], int):
            return _where(path[1])
        return super()._subject(file, path)


def load_house(folder: FolderPath, rulebase: RuleBase) -> House:
    """The shop whose prices.toml lies in ``folder``, in the forms and tannages of ``rulebase``.

    Raises RuleBaseError with every mistake found: file, line, what was expected and the nearest valid word.
    """
    if not folder.is_dir():
        what = f"there is no house folder here; expected one with {PRICES}."
        raise RuleBaseError([Problem(str(folder), 0, "", what)])
    if not (folder / PRICES).is_file():
        near = nearest(PRICES, islice((entry.name for entry in folder.iterdir()), MAX_PRICES))
        hint = f'There is "{near}": rename it.' if near else ""
        raise RuleBaseError([Problem(PRICES, 0, "", f"the file is missing; {folder} needs it for its prices.", hint)])
    reader = _PriceReader(folder)
    raw = reader.read(PRICES, PricesFile)
    if raw is None:
        raise RuleBaseError(reader.problems)
    if not _CURRENCY.fullmatch(raw.currency):
        what = f"currency = {shown(raw.currency)} is not usable; expected three capital letters, such as EUR."
        reader.wrong(PRICES, ("currency",), "currency", what)
    candidates = {name: d.candidates for name, d in rulebase.decisions.items()}
    prices: dict[tuple[str, str, float, float, float | None], Price] = {}
    for n, entry in enumerate(raw.price):
        price = _price(reader, n, entry, raw.currency, candidates)
        if price is None:
            continue
        key = (price.form, price.tannage, price.low_mm, price.high_mm, price.width_mm)
        if key in prices:
            reader.wrong(PRICES, ("price", n), _where(n), f"the same is priced in line {prices[key].line}; keep one.")
        prices.setdefault(key, price)
    reader.stop_if_wrong()
    return House(raw.shop, raw.currency, tuple(prices.values()), raw.invented)


def _where(n: int) -> str:
    return f"price {n + 1}"


def _price(
    reader: Reader, n: int, raw: RawPrice, currency: str, candidates: Mapping[str, Mapping[str, Candidate]]
) -> Price | None:
    """One entry, or None when it is wrong; its mistakes are noted."""
    before = len(reader.problems)

    def wrong(key: str, what: str, hint: str = "") -> None:
        reader.wrong(PRICES, ("price", n, key), _where(n), what, hint)

    for name, slug in (("form", raw.form), ("tannage", raw.tannage)):
        valid = candidates.get(name, {})
        if slug not in valid:
            known = f"Known: {', '.join(sorted(valid))}."
            wrong(name, f"{shown(slug)} is no {name} of the rule base.", near_hint(slug, valid) or known)
    if raw.currency is not None and raw.currency != currency:
        wrong("currency", f"this price is in {shown(raw.currency)} and the list in {shown(currency)}; expected one.")
    low = high = 0.0
    width = None
    amount = Decimal(0)
    try:
        low, high = _band(raw.band)
    except UnitError as error:
        wrong("band", f"band = {shown(raw.band)} is not usable: {error}.", _unit_hint(raw.band))
    form = candidates.get("form", {}).get(raw.form)
    if raw.width is not None:
        try:
            width = parse_amount(raw.width, "mm")
        except GrammarError as error:
            wrong("width", f"width: {error}")
        if width == 0:
            wrong("width", "a width must be above zero.")
        if form and form.properties.get("sold_by") != "strap":
            wrong("width", f"{raw.form} is not ordered by width; only strap blanks are.")
    try:
        amount = _amount(raw.price)
    except UnitError as error:
        wrong("price", f"price = {shown(raw.price)} is not usable: {error}.")
    if len(reader.problems) > before:
        return None
    return Price(raw.form, raw.tannage, low, high, amount, raw.per, width, reader.line(PRICES, ("price", n)))


def _band(text: str) -> tuple[float, float]:
    """Both ends in mm; "oz" are leather ounces, as a band is always a thickness."""
    match = _BAND.fullmatch(text)
    if not match:
        raise UnitError('expected two thicknesses and their unit, such as "8-10 oz" or "3.2-4.0 mm"')
    low, high, unit = match.groups()
    if not unit:
        raise UnitError(f'it needs a unit, for example "{low}-{high} oz" or "{low}-{high} mm"')
    ends = parse_quantity(f"{low} {unit}", "mm"), parse_quantity(f"{high} {unit}", "mm")
    if ends[0] >= ends[1]:
        raise UnitError("the thinner end comes first, and the other must be thicker")
    return ends


def _unit_hint(band: str) -> str:
    match = _BAND.fullmatch(band)
    return near_hint(match[3], _THICKNESS_UNITS) if match and match[3] not in _THICKNESS_UNITS else ""


def _amount(written: object) -> Decimal:
    """The money of a price. A TOML number is refused, because reading it would make it a binary float."""
    if not isinstance(written, str):
        raise UnitError('expected a text, such as "19.50", so that money stays decimal')
    if re.fullmatch(r"\s*[-−].*", written) or re.fullmatch(r"0+(\.0+)?", written, re.ASCII):
        raise UnitError("a price must be above zero")
    if not _AMOUNT.fullmatch(written):
        raise UnitError('expected an amount without currency and with a point, such as "19.50"')
    return Decimal(written)

"""Formulas reckoned on spans: the corners of the range, rounded outward.

A number goes to its ends where the formula rises or falls with it, a word to each of its values.
Where a formula says nothing of a slope, or a range is not definite, the result is left open.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import NamedTuple, Protocol

from ..leather.formulas import FORMULAS, Formula
from ..leather.pieces import Piece
from ..leather.stack import Zone
from ..rulebase.house import House
from ..rulebase.models import PATTERN_KINDS, Attribute, RuleBase
from ..rulebase.patterns import argument, settled_inputs
from .buying import BOUGHT, Buying
from .spread import MAYBE, YES, Span, Spread, Words, point

MOST_CORNERS = 256
STEP = 0.001
_INFINITE = float("inf")
Pattern = tuple[tuple[Piece, ...], ...] | tuple[tuple[Zone, ...], ...]
"""The pieces or zones of an item, once for each corner of its sizes."""


class Run(Protocol):
    """What a formula reads of a run on open answers."""

    rulebase: RuleBase
    house: House | None
    spreads: dict[str, Spread]
    patterns: dict[str, Pattern | None]

    def buying(self) -> Buying | None:
        """Forms and prices, once what they hang on is settled."""


def reckoned(run: Run, attribute: Attribute) -> Spread | None:
    """The spread of a computed attribute; None where no completion can compute it.

    A spread with ``nothing`` says that some completion may not compute it, and rules may speak.
    """
    if attribute.formula == "cheapest_forms" and run.house is not None:
        return _reckoned(run, attribute)
    spreads = run.spreads
    read = run.rulebase.remembered("inputs", attribute.name, lambda: _read(run.rulebase, attribute))
    held = (
        attribute.name,
        tuple([spreads.get(name) for name in read.spreads]),
        tuple([run.patterns.get(name) for name in read.patterns]),
    )
    return run.rulebase.remembered("reckoned", held, lambda: _reckoned(run, attribute))


class _Read(NamedTuple):
    """The names that a formula hangs on, and those of the patterns among them."""

    spreads: tuple[str, ...]
    patterns: tuple[str, ...]


def _read(rulebase: RuleBase, attribute: Attribute) -> _Read:
    names = settled_inputs(attribute)
    if attribute.formula == "cheapest_forms":
        names += [*BOUGHT, "pieces"]
    drawn = [
        n for n in dict.fromkeys(names) if n in rulebase.attributes and rulebase.attributes[n].kind in PATTERN_KINDS
    ]
    return _Read(tuple(n for n in dict.fromkeys(names) if n not in drawn), tuple(drawn))


def _reckoned(run: Run, attribute: Attribute) -> Spread | None:
    formula = FORMULAS[attribute.formula]
    choices: dict[str, list[object]] = {}
    sloped: dict[str, tuple[object, object]] = {}
    definite = True
    for parameter, origin in attribute.inputs.items():
        decision, dot, column = origin.partition(".")
        source = run.rulebase.attributes.get(origin)
        if dot:
            choices[parameter] = [run.rulebase.holder(decision).table(column)]
            continue
        if source is not None and source.kind in PATTERN_KINDS:
            pattern = run.patterns.get(origin)
            if pattern == () or pattern == ((),):
                return None
            if pattern is None or any(not variant for variant in pattern):
                return _open(attribute)
            choices[parameter] = list(pattern)
            if len(pattern) > 1 and parameter not in formula.rises | formula.falls:
                return _open(attribute)
            continue
        spread = run.spreads.get(origin)
        if origin.endswith("_excluded"):
            fixed = spread.fixed if spread is not None else ()
            if fixed is None:
                return _open(attribute)
            choices[parameter] = [fixed]
            continue
        if spread is None or not spread.something:
            return None
        definite = definite and not spread.nothing
        if isinstance(spread, Span):
            if spread.low == spread.high:
                choices[parameter] = [argument(source, (spread.low,))]
            elif parameter in formula.rises | formula.falls and _finite(spread):
                sloped[parameter] = argument(source, (spread.low,)), argument(source, (spread.high,))
            else:
                return _open(attribute)
        elif source is not None and source.kind == "set":
            if spread.may != spread.must:
                return _open(attribute)
            choices[parameter] = [tuple(sorted(spread.may, key=str))]
        else:
            choices[parameter] = sorted(spread.may, key=str)
    if attribute.formula == "cheapest_forms":
        return _cheapest(run, attribute, choices, bool(sloped))
    return _corners(run, attribute, formula, choices, sloped, definite)


def _corners(
    run: Run,
    attribute: Attribute,
    formula: Formula,
    choices: Mapping[str, list[object]],
    sloped: Mapping[str, tuple[object, object]],
    definite: bool,
) -> Spread | None:
    count = 1
    for options in choices.values():
        count *= len(options)
    if count > MOST_CORNERS:
        return _open(attribute)
    low, high, failed = _INFINITE, -_INFINITE, 0
    sets: list[frozenset[str]] = []
    words: set[str] = set()
    for combination in itertools.product(*choices.values()):
        inputs = dict(zip(choices, combination, strict=True))
        for end in (0, 1) if sloped else (0,):
            at = {name: ends[end if name in formula.rises else 1 - end] for name, ends in sloped.items()}
            try:
                result = formula.apply({**inputs, **at})
            except ValueError:
                failed += 1
                continue
            if isinstance(result, frozenset | set):
                sets.append(frozenset(str(v) for v in result))
            elif isinstance(result, str):
                words.add(result)
            else:
                value = round(float(result), 3)  # type: ignore[arg-type]
                low, high = min(low, value), max(high, value)
    one = count == 1 and not sloped
    if failed and one:
        return None
    if failed and sloped:
        # Between a corner that fails and one that does not, anything can lie.
        return _open(attribute)
    nothing = not definite or failed > 0
    own = min((run.spreads[o].own for o in settled_inputs(attribute)), default=YES)
    if sets:
        if sloped:
            return _open(attribute)
        may = frozenset().union(*sets)
        must = frozenset(sets[0]).intersection(*sets)
        return Words(may, must, nothing or not may or any(not s for s in sets), own)
    if words:
        if sloped:
            return _open(attribute)
        return Words(frozenset(words), frozenset(words) if len(words) == 1 else frozenset(), nothing, own)
    if low > high:
        return _open(attribute)
    if not one:
        low, high = low - STEP, high + STEP
    return Span(low, high, nothing, own)


def _cheapest(run: Run, attribute: Attribute, choices: Mapping[str, list[object]], sloped: bool) -> Spread | None:
    buying = run.buying()
    if buying is None or sloped or any(len(options) > 1 for options in choices.values()):
        return _open(attribute)
    found = buying.cheapest_by_price()
    if found is None:
        try:
            result = FORMULAS[attribute.formula].apply({name: options[0] for name, options in choices.items()})
        except ValueError:
            return None
        assert isinstance(result, frozenset | set)
        found = tuple(sorted(str(v) for v in result))
    return point(found, False)


def least_money(run: Run, attribute: Attribute) -> Spread | None:
    """What the cheapest form costs by the house's prices; None for other attributes and without a price list."""
    if attribute.unit != "money" or attribute.ask != "never" or run.house is None:
        return None
    buying, excluded = run.buying(), run.spreads.get("form_excluded")
    if buying is None or excluded is None or excluded.fixed is None:
        return _open(attribute)
    least = buying.least_money()
    return None if least is None else Span(float(least), float(least), False, MAYBE)


def _finite(spread: Span) -> bool:
    return abs(spread.low) != _INFINITE and abs(spread.high) != _INFINITE


def _open(attribute: Attribute) -> Spread:
    """Anything of the attribute's kind, or nothing."""
    if attribute.numeric:
        return Span(-_INFINITE, _INFINITE, nothing=True, own=MAYBE)
    return Words(frozenset(attribute.values), frozenset(), nothing=True, own=MAYBE)

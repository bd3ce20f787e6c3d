"""Answers as facts: what a person said, checked against what can be said at all.

"Not asked", "don't know", "does not apply" and "no" are four different things and stay so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from ..codes import Param, mark, say
from ..errors import AnswerError, nearest
from ..leather.units import UnitError, Units, parse_number, parse_quantity, show
from ..rulebase.models import PATTERN_KINDS, Attribute, Decision, RuleBase, Value
from ..rulebase.patterns import PIECE
from .advice import Origin, State

DONT_KNOW = "don't know"
DOES_NOT_APPLY = "does not apply"
_STATES: Mapping[str, State] = {
    DONT_KNOW: "don't know",
    "dont know": "don't know",
    "do not know": "don't know",
    "not sure": "don't know",
    "unsure": "don't know",
    "no idea": "don't know",
    "dunno": "don't know",
    "idk": "don't know",
    "skip": "don't know",
    "pass": "don't know",
    "no clue": "don't know",
    DOES_NOT_APPLY: "does not apply",
    "n/a": "does not apply",
    "not applicable": "does not apply",
}
PRICE_LIST = mark("sum_by_prices")
"""Stands in place of a formula where a shop's prices gave a value."""
RAISED = "raised"
"""The attribute that holds the dangers raised by words."""
MAX_ANSWER = 2000
MAX_PIECE_MM = 20_000


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer: its values (none unless known), its state, how it was come by, and the words it was given in.

    The words say nothing that the values do not: two answers with the same values are equal.
    """

    values: tuple[Value, ...]
    state: State = "known"
    origin: Origin = "answered"
    words: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Known:
    """A settled attribute or decision. ``own`` marks what is only the item's own habit.

    ``rules`` are those that gave it; ``formula`` is the computation with its numbers put in.
    """

    name: str
    values: tuple[Value, ...]
    origin: Origin
    rules: tuple[str, ...] = ()
    formula: str | None = None
    own: bool = False


def parse_answers(rulebase: RuleBase, answers: Mapping[str, object], origin: Origin = "answered") -> dict[str, Answer]:
    """Answers in any written form, checked. Raises AnswerError naming the first that cannot be used."""
    return {
        name: (raw if isinstance(raw, Answer) else parse_piece(name, raw))
        if name.startswith(PIECE)
        else parse_answer(attribute_named(rulebase, name), raw, origin)
        for name, raw in answers.items()
    }


def with_raised(rulebase: RuleBase, answers: Mapping[str, Answer], raised: Iterable[str]) -> dict[str, Answer]:
    """The answers with dangers raised beside those that stand there already; AnswerError for an unknown one."""
    found = dict(answers)
    if concepts := list(raised):
        before = map(str, found.get(RAISED, Answer(())).values)
        found[RAISED] = parse_answer(attribute_named(rulebase, RAISED), [*dict.fromkeys([*before, *concepts])], "read")
    return found


def attribute_named(rulebase: RuleBase, name: str) -> Attribute:
    """The attribute, or AnswerError with the nearest name and what may be said."""
    if name not in rulebase.attributes:
        known = rulebase.attributes.keys()
        raise AnswerError(name, name, say("no_such_attribute"), nearest(name, known))
    attribute = rulebase.attributes[name]
    if attribute.kind in PATTERN_KINDS:
        raise AnswerError(name, name, say("follows_from_sizes"))
    return attribute


def parse_piece(name: str, raw: object) -> Answer:
    """One line of the cutting list set by hand, as count @ width x length in mm or with units.

    ``2@65x100`` and ``2 @ 6.5 cm x 4 in`` are read; the values are count, width and length (mm).
    """
    match = re.fullmatch(r"\s*([1-9][0-9]{0,2})\s*@\s*(.+?)\s*x\s*(.+?)\s*", str(raw))
    if not match:
        raise AnswerError(name, raw, say("piece_expected"))
    try:
        width, length = (parse_quantity(text, "mm") for text in match.groups()[1:])
    except UnitError as error:
        raise AnswerError(name, raw, say("measure_unread", why=str(error))) from error
    if not (0 < width <= MAX_PIECE_MM and 0 < length <= MAX_PIECE_MM):
        raise AnswerError(name, raw, say("piece_too_large", most=f"{MAX_PIECE_MM} mm"))
    return Answer((float(match[1]), width, length), words=str(raw))


def state_said(text: str) -> State | None:
    """The state that ``text`` names instead of a value: "dont know", "not applicable" and the like."""
    words = " ".join(text.lower().replace("’", "'").split()).rstrip(".!")
    return _STATES.get(re.sub(r"^(?:i|i'm|im|i am|sorry,? i) ", "", words))


def parse_answer(attribute: Attribute, raw: object, origin: Origin = "answered", units: Units = "mm") -> Answer:
    """One answer. ``raw`` may be an Answer, a number, a word, a list of words or a text with a unit.

    ``units`` are the measures the person is shown: a bare number is read in them, and messages speak in them.
    """
    if isinstance(raw, Answer):
        return raw
    words = ", ".join(map(str, raw)) if isinstance(raw, list | tuple) else str(raw)
    return replace(_parsed(attribute, raw, origin, units), words=words)


def _parsed(attribute: Attribute, raw: object, origin: Origin, units: Units) -> Answer:
    if isinstance(raw, str):
        if len(raw) > MAX_ANSWER:
            raise AnswerError(attribute.name, raw, say("answer_too_long", most=str(MAX_ANSWER)))
        if state := state_said(raw):
            return Answer((), state, origin)
    if attribute.numeric:
        return Answer((_number(attribute, raw, units),), "known", origin)
    if attribute.kind == "text":
        return Answer((str(raw),), "known", origin)
    words = [raw] if isinstance(raw, str | bool) else list(raw) if isinstance(raw, Iterable) else [raw]
    if attribute.kind == "set":
        listed = [part for word in words for part in re.split(r"\s*[,;]\s*|\s+and\s+", str(word)) if part]
        values = tuple(dict.fromkeys(_word(attribute, part) for part in listed))
        if not values:
            raise AnswerError(attribute.name, raw, say("values_expected"))
        if len(values) > 1 and "none" in values:
            raise AnswerError(attribute.name, raw, say("none_and_more"))
        return Answer(values, "known", origin)
    if len(words) != 1:
        raise AnswerError(attribute.name, raw, say("one_value_expected"))
    return Answer((_word(attribute, words[0]),), "known", origin)


def _number(attribute: Attribute, raw: object, units: Units) -> float:
    # Thousands may be parted by a space of any width.
    text = " ".join(str(raw).split())
    try:
        if attribute.kind == "count":
            if not re.fullmatch(r"[0-9]{1,9}(\.0+)?", text):
                raise AnswerError(attribute.name, raw, say("whole_number_expected"))
            value = float(text)
        elif attribute.unit in ("plain", "percent", "money"):
            if not re.fullmatch(r"[0-9 .,/]{1,20}", text):
                raise AnswerError(attribute.name, raw, say("plain_number_expected"))
            value = parse_number(text)
        else:
            value = parse_quantity(text, attribute.unit, units)
    except UnitError as error:
        raise AnswerError(attribute.name, raw, say("measure_unread", why=str(error))) from error
    low, high = attribute.low, attribute.high
    if (low is not None and value < low) or (high is not None and value > high):
        least, most = ("any" if end is None else show(end, attribute.unit, units) for end in (low, high))
        outside = say("outside_what_is_meant", meant=show(value, attribute.unit, units), least=least, most=most)
        raise AnswerError(attribute.name, raw, outside)
    return value


MOST_LISTED = 160
"""How many letters the words of a question may have to be listed in a message."""
NOTHING = ("no", "nope", "neither", "nothing", "no one", "nobody")


def _word(attribute: Attribute, raw: object) -> str:
    if isinstance(raw, bool):
        raw = "yes" if raw else "no"
    word = " ".join(str(raw).lower().split())
    slug = re.sub(r"[\s-]+", "_", word)
    if slug in attribute.values:
        return slug
    if attribute.kind == "yes_no" and word in ("y", "true", "n", "false"):
        return "yes" if word in ("y", "true") else "no"
    if attribute.kind in ("set", "choice") and word in NOTHING and "none" in attribute.values:
        return "none"
    for value in attribute.values.values():
        if word in value.words or word == value.means:
            return value.slug
    options = [v.replace("_", " ") for v in attribute.values]
    short = len(", ".join(options)) <= MOST_LISTED
    raise AnswerError(
        attribute.name,
        raw,
        say("one_of", options=options) if short else say("one_of_many", count=str(len(options))),
        nearest(slug, [*attribute.values, *(w for v in attribute.values.values() for w in v.words)]),
    )


def fact_stated(name: str, values: Iterable[Value], attribute: Attribute | Decision | None) -> dict[str, Param]:
    """A fact as the parameters of a saying: its attribute, its value, a number with its unit, or its several words."""
    found = list(values)
    unit = {"unit": attribute.unit} if attribute and attribute.unit and not isinstance(found[0], str) else {}
    return {"attribute": name, "value": found[0] if len(found) == 1 else [str(v) for v in found], **unit}


def said(attribute_name: str, values: Iterable[Value], unit: str) -> str:
    """A fact in the grammar's words, for the trace: ``strap_width is 38 mm``."""
    values = tuple(values)
    return f"{attribute_name} {'includes' if len(values) > 1 else 'is'} {listed(values, unit)}"


def listed(values: Iterable[Value], unit: str) -> str:
    """Values with their unit, one after another: ``38 mm``, ``buckle, ring``."""
    return ", ".join(show(v, unit) if isinstance(v, float) else v for v in values)

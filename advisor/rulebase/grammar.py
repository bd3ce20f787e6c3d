"""The small plain-English grammar of premises and conclusions.

Rule files, the trace, the chat and the command line all use it. A sentence is checked against the
declared names, values, units and kinds while it is read; nothing is ever evaluated as code.
Raises GrammarError, whose message says what was expected and the nearest valid word.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ..errors import nearest, shown
from ..leather.units import UnitError, parse_quantity
from .models import ANSWERED, CHOSEN_FOR_PARTS, OUTCOMES, STRENGTHS, Conclusion, Kind, Premise, Value, of_part

ADVERBS: Mapping[str, str] = {"slight": "slightly", "clear": "clearly", "strong": "strongly"}
"""How a conclusion says each strength."""
_STRENGTH_WORDS = {adverb: strength for strength, adverb in ADVERBS.items()}
_PREMISE_FORMS = (
    (re.compile(r"(\w+) is (known|unknown)"), "known"),
    (re.compile(r"(\w+) is (answered|unanswered)"), "answered"),
    (re.compile(r"(\w+) is one of (.+)"), "in"),
    (re.compile(r"(\w+) is none of (.+)"), "none of"),
    (re.compile(r"(\w+) is not (.+)"), "is not"),
    (re.compile(r"(\w+) is (.+)"), "is"),
    (re.compile(r"(\w+) includes one of (.+)"), "includes one of"),
    (re.compile(r"(\w+) includes (.+)"), "includes"),
    (re.compile(r"(\w+) lacks (.+)"), "lacks"),
    (re.compile(r"(\w+) between (.+) and (.+)"), "between"),
    (re.compile(r"(\w+) (<=|>=|<|>) (.+)"), "compare"),
)
_LIST = re.compile(r"\s*,\s*")
_OF_THE = r"(?: of the (\w+))"
_BUT = " but "
MOST_LISTED = 12
"""So many valid words are all named where another stands."""
ALL = "all"
"""The name of all candidates of a decision, as in "all but greasy"."""


class GrammarError(ValueError):
    """A sentence that does not follow the grammar or uses an undeclared word."""


@dataclass(frozen=True, slots=True)
class Name:
    """What the grammar must know about an attribute or decision to check a sentence about it."""

    name: str
    kind: Kind
    unit: str
    values: frozenset[str]
    groups: Mapping[str, tuple[str, ...]]
    decision: bool = False
    computed: bool = False

    @property
    def numeric(self) -> bool:
        """Facts under this name are numbers."""
        return self.kind in ("quantity", "count")


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All declared names, cautions and clashes, and the roles that leathers besides the main one have."""

    names: Mapping[str, Name]
    cautions: frozenset[str]
    clashes: frozenset[str]
    roles: frozenset[str] = frozenset()

    def name(self, word: str) -> Name:
        """The declared name, or a GrammarError with the nearest one."""
        if word not in self.names:
            declared = "" if nearest(word, self.names) else " They stand in attributes.toml and decisions.toml."
            raise GrammarError(_unknown("attribute or decision", word, self.names) + declared)
        return self.names[word]


def _unknown(what: str, word: str, valid: Iterable[str]) -> str:
    words = sorted(valid)
    near = nearest(word, words)
    return (
        f"unknown {what} {shown(word)}."
        + (f' The nearest valid word is "{near}".' if near else "")
        + (f" All are {', '.join(words)}." if len(words) <= MOST_LISTED else "")
    )


def parse_amount(text: str, unit: str) -> float:
    """A number with its unit, in ``unit``; stricter than speech, because a rule file must not be guessed at."""
    if re.fullmatch(r"[\d.,\s/]+", text):
        raise GrammarError(f"{shown(text)} needs a unit, for example {' '.join(text.split())} {unit}.")
    if re.search(r"\b(oz|ounces?)\b", text, re.IGNORECASE):
        raise GrammarError(f"{shown(text)} can be a thickness or a mass; write oz_leather, or g for a mass.")
    if "oz_leather" in text and unit != "mm":
        raise GrammarError(f"{shown(text)} is a thickness; expected {unit}.")
    try:
        return parse_quantity(text.replace("oz_leather", "oz"), unit)
    except (ValueError, ArithmeticError, LookupError) as error:
        why = error if isinstance(error, UnitError) else f"expected a number with its unit, such as 25 {unit}"
        raise GrammarError(f"{shown(text)} is not usable: {why}.") from error


def parse_value(name: Name, text: str) -> Value:
    """One value of ``name``: a declared word, or a number in its unit."""
    if name.numeric:
        if name.kind == "count":
            if not re.fullmatch(r"\d+", text, re.ASCII):
                raise GrammarError(f"{name.name} needs a whole number, found {shown(text)}.")
            return float(text)
        if name.unit in ("plain", "percent", "money"):
            if not re.fullmatch(r"-?\d+(\.\d+)?", text, re.ASCII):
                raise GrammarError(f"{name.name} needs a plain number, found {shown(text)}.")
            return round(float(text), 3)
        try:
            return parse_amount(text, name.unit)
        except GrammarError as error:
            raise GrammarError(f"{name.name}: {error}") from error
    if name.kind == "text":
        return text
    if text not in name.values:
        raise GrammarError(_unknown(f"value of {name.name}", text, name.values | set(name.groups)))
    return text


def _values(name: Name, text: str) -> tuple[Value, ...]:
    """The values of a list with its groups spelt out; what follows "but" is left out of it."""
    kept, _, left_out = text.partition(_BUT)
    gone = _listed(name, left_out) if left_out else ()
    values = tuple(v for v in _listed(name, kept) if v not in gone)
    if not values:
        raise GrammarError(f"{shown(text)} leaves none of {name.name}.")
    return values


def _listed(name: Name, text: str) -> tuple[Value, ...]:
    found: list[Value] = []
    for word in _LIST.split(text):
        found += [v for v in _members(name, word) if v not in found]
    return tuple(found)


def _members(name: Name, word: str) -> tuple[Value, ...]:
    """A value, or all that have the property or are in the group of this name."""
    return tuple(parse_value(name, m) for m in name.groups.get(word, (word,)))


def parse_premise(text: str, vocabulary: Vocabulary) -> tuple[Premise, ...]:
    """A premise sentence as one or more conditions, all of which must hold.

    "between" becomes two comparisons and "is none of" one "is not" each, so that a condition
    stays a single test.
    """
    flat = " ".join(text.split())
    for pattern, form in _PREMISE_FORMS:
        match = pattern.fullmatch(flat)
        if match:
            return _premise(form, match.groups(), flat, vocabulary)
    raise GrammarError(
        f'{shown(flat)} is no premise; expected "ATTRIBUTE is VALUE", "is not", "is one of", "includes", '
        '"lacks", a comparison with a unit, "between", "is known", "is unknown", "is answered" or "is unanswered".'
    )


def _premise(form: str, parts: tuple[str, ...], text: str, vocabulary: Vocabulary) -> tuple[Premise, ...]:
    name = vocabulary.name(parts[0])
    if form == "known":
        return (Premise(name.name, "known" if parts[1] == "known" else "unknown", (), None, text),)
    if form == "answered":
        if name.decision or name.computed:
            raise GrammarError(f"{name.name} is worked out and never answered.")
        return (Premise(name.name + ANSWERED, "known" if parts[1] == form else "unknown", (), None, text),)
    if form in ("compare", "between"):
        if not name.numeric:
            raise GrammarError(f"{name.name} is not a number and cannot be compared with <, > or between.")
        if form == "between":
            low, high = parse_value(name, parts[1]), parse_value(name, parts[2])
            if float(low) > float(high):
                raise GrammarError(f"{shown(text)} has its ends the wrong way round.")
            return (
                Premise(name.name, ">=", (low,), None, text),
                Premise(name.name, "<=", (high,), None, text),
            )
        operator, right = parts[1], parts[2]
        assert operator in ("<", "<=", ">", ">=")
        if right in vocabulary.names:
            other = vocabulary.names[right]
            if not other.numeric or other.unit != name.unit:
                raise GrammarError(f"{name.name} and {right} are not measured in the same unit.")
            return (Premise(name.name, operator, (), right, text),)  # type: ignore[arg-type]
        return (Premise(name.name, operator, (parse_value(name, right),), None, text),)  # type: ignore[arg-type]
    many = name.kind == "set"
    if form in ("includes", "includes one of", "lacks") and not many:
        raise GrammarError(f'{name.name} holds one value; write "is" instead of "{form}".')
    if form in ("is", "is not", "in", "none of") and many:
        raise GrammarError(f'{name.name} holds several values; write "includes" or "lacks".')
    values = _values(name, parts[1])
    if form in ("none of", "is not"):
        return tuple(Premise(name.name, "is not", (v,), None, text) for v in values)
    if form == "lacks":
        return tuple(Premise(name.name, "lacks", (v,), None, text) for v in values)
    if form == "includes":
        # Of each word listed one has to be there: of a group any of its members.
        return tuple(_among(name, _values(name, word), text) for word in _LIST.split(parts[1]))
    return (_among(name, values, text),)


def _among(name: Name, values: tuple[Value, ...], text: str) -> Premise:
    return Premise(name.name, "is" if len(values) == 1 else "in", values, None, text)


def parse_conclusion(text: str, vocabulary: Vocabulary, because: str | None = None) -> Conclusion:
    """A conclusion sentence, checked against the declarations."""
    flat = " ".join(text.split())
    verb, _, rest = flat.partition(" ")
    if verb == "caution":
        return Conclusion("caution", _declared("caution", rest, vocabulary.cautions), (), None, 0, flat)
    if verb == "clash":
        return Conclusion("clash", _declared("clash", rest, vocabulary.clashes), (), None, 0, flat)
    if verb == "outcome":
        return Conclusion("outcome", _declared("outcome", rest, OUTCOMES), (), None, 0, flat)
    if verb in ("exclude", "require", "favour", "disfavour"):
        return _reason(verb, rest, flat, vocabulary, because)
    bound = re.fullmatch(rf"(\w+){_OF_THE}? at (least|most) (.+)", flat)
    if bound:
        return _bound(bound[1], bound[2] or "", bound[3], bound[4], flat, vocabulary)
    supposed = verb == "suppose"
    setting = re.fullmatch(r"(\w+) (is|includes) (.+)", rest if supposed else flat)
    if setting:
        name = vocabulary.name(setting[1])
        if name.decision:
            raise GrammarError(f'{name.name} is a decision: favour, require or exclude instead of "is".')
        if name.computed and not supposed:
            raise GrammarError(f"{name.name} is computed and cannot be set by a rule.")
        if (setting[2] == "includes") != (name.kind == "set"):
            raise GrammarError(
                f"{name.name} is {'a set: write includes' if name.kind == 'set' else 'single: write is'}."
            )
        if name.kind != "set" and (_LIST.search(setting[3]) or setting[3] in name.groups.keys() - name.values):
            raise GrammarError(f"{name.name} can hold only one value.")
        values = _values(name, setting[3]) if name.kind == "set" else (parse_value(name, setting[3]),)
        act = "suppose" if supposed else "add" if name.kind == "set" else "set"
        return Conclusion(act, name.name, values, None, 0, flat, because)  # type: ignore[arg-type]
    raise GrammarError(
        f'{shown(flat)} is no conclusion; expected "ATTRIBUTE is VALUE", "suppose ...", "exclude", "require", '
        '"favour", "disfavour", "at least", "at most", "caution", "outcome" or "clash".'
    )


def _declared(what: str, word: str, valid: Iterable[str]) -> str:
    if word not in valid:
        raise GrammarError(_unknown(what, word, valid))
    return word


def _reason(verb: str, rest: str, text: str, vocabulary: Vocabulary, because: str | None) -> Conclusion:
    match = re.fullmatch(rf"(\w*){_OF_THE}?(?: (.*))?", rest)
    target, part, words = (match[1], match[2] or "", match[3] or "") if match else (rest, "", "")
    name = vocabulary.name(target)
    if not name.decision or name.kind != "choice":
        raise GrammarError(f"{target} is not a choice to be settled; {verb} needs a decision with candidates.")
    about = _about_part(target, part, CHOSEN_FOR_PARTS, vocabulary)
    strength = 0
    if verb in ("favour", "disfavour"):
        words, _, last = words.rpartition(" ")
        if last not in _STRENGTH_WORDS:
            raise GrammarError(f"{shown(text)} must end in slightly, clearly or strongly.")
        strength = STRENGTHS[_STRENGTH_WORDS[last]]
    those = re.fullmatch(r"those in (\w+)", words)
    if those:
        origin = vocabulary.name(those[1])
        if not origin.values or not origin.values <= name.values:
            raise GrammarError(f"the values of {origin.name} are not candidates of {target}.")
        return Conclusion(verb, about, (), origin.name, strength, text, because, part)  # type: ignore[arg-type]
    return Conclusion(verb, about, _values(name, words), None, strength, text, because, part)  # type: ignore[arg-type]


def _about_part(target: str, part: str, choices: Iterable[str], vocabulary: Vocabulary) -> str:
    """What a reason or a bound is about: a decision, or this decision for the leather of parts of one role."""
    if not part:
        return target
    if part not in vocabulary.roles:
        raise GrammarError(_unknown("role of a part", part, vocabulary.roles))
    if target not in choices:
        raise GrammarError(f"{target} is not settled for a part by itself; expected {' or '.join(choices)}.")
    return of_part(target, part)


def _bound(target: str, part: str, side: str, right: str, text: str, vocabulary: Vocabulary) -> Conclusion:
    name = vocabulary.name(target)
    if not (name.decision and name.numeric):
        raise GrammarError(f"{target} has no window; at {side} needs a decision that is a quantity.")
    act, about = f"at {side}", _about_part(target, part, (target,), vocabulary)
    if right in vocabulary.names:
        origin = vocabulary.names[right]
        if origin.unit != name.unit:
            raise GrammarError(f"{right} is not measured in {name.unit}.")
        return Conclusion(act, about, (), right, 0, text, part=part)  # type: ignore[arg-type]
    return Conclusion(act, about, (parse_value(name, right),), None, 0, text, part=part)  # type: ignore[arg-type]

"""An answer is read for its question: in the words people use when they have just been asked.

The words stand in ``words/answers.toml`` and count only while their question is open. What fits no value is not
guessed at.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from pydantic import Field

from ..errors import AnswerError
from ..leather.units import Units
from ..reasoning.facts import Answer, parse_answer, state_said
from ..rulebase.files import Shape, Slug
from ..rulebase.models import Attribute, RuleBase
from ..rulebase.words import FOLDER, Phrases, words_file
from . import lexicon as lex
from .numbers import find_sizes

ANSWERS = f"{FOLDER}/answers.toml"
_PARTS = re.compile(r"\s*[,;]\s*(?:and\s+|but\s+)?|\s+(?:but|and)\s+")
# "An inch and a half" is one number.
_ASIDES = re.compile(r"\s*[,;]\s+(?:and\s+|but\s+)?|\s+but\s+")
_PICK = re.compile(r"(?:number |no\.? ?|#|option |the )?(\d{1,2})(?:st|nd|rd|th)?(?: one)?[.)]?")
_PICKS = re.compile(r"\d{1,2}(?:\s*(?:,|and|&|\+)\s*\d{1,2})+")
_REFUSING = frozenset(("no", "not", "never", "without", "dont", "isnt", "wont", "cant", "doesnt", "nor"))

_LIGHT = frozenset(t.word for t in lex.tokens("""
    no nope nah not none nothing neither nobody never nowt yes yeah yep yup aye sure definitely certainly absolutely
    maybe might possibly probably a an the bit little lot lots some sometimes often always much any at all really hardly
    it is its does doesnt do dont will wont i he she they that of course time in on now then once while again quite very
    so think suppose guess know way need"""))
"""Words that answer only where nothing else is said."""

Meant = Literal["value", "usual", "open"]


class AnswersFile(Shape):
    """words/answers.toml: words that answer any question, and for each question the words of its values."""

    usual: Phrases
    open: Phrases
    yes: Phrases
    no: Phrases
    hedges: Phrases
    answers: dict[Slug, dict[Slug, tuple[str, ...]]] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Answered:
    """What an answer means: a value, the usual one, or that it stays open; ``rest`` is what more was said."""

    meant: Meant
    answer: Answer | None = None
    rest: str = ""


Key = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Words:
    usual: frozenset[Key]
    open: frozenset[Key]
    hedges: tuple[Key, ...]
    values: Mapping[str, Mapping[Key, tuple[str, ...]]]


def read_answer(
    rulebase: RuleBase, question: Attribute, text: str, units: Units = "mm", numbered: bool = True
) -> Answered | None:
    """What ``text`` answers to ``question``, or None if it does not answer it. Never raises.

    Of several parts ("black, about 30 mm") the first that answers is taken, and the others are handed back.
    A bare number picks a value only where the values stand ``numbered`` before the person.
    """
    parts = [p for p in (_ASIDES if question.numeric else _PARTS).split(text.strip(" .!")) if p]
    if question.kind == "set" and (several := _several(rulebase, question, parts, units, numbered)):
        return several
    alone = enumerate(parts if len(parts) > 1 else ())
    apart = [(n, _whole(rulebase, question, part, units, numbered)) for n, part in alone]
    said = [(n, found) for n, found in apart if found and found.meant != "usual"]
    if len(said) == 1 and question.kind != "set" and _exact(question, text, units) is None:
        n, found = said[0]
        return replace(found, rest=", ".join((*parts[:n], *parts[n + 1 :])))
    if found_whole := _whole(rulebase, question, text, units, numbered):
        return found_whole
    if said:
        n, found = said[0]
        return replace(found, rest=", ".join((*parts[:n], *parts[n + 1 :])))
    return None


def choices(question: Attribute) -> list[str]:
    """The values of a question in plain words, in the order in which a number picks them."""
    return [value.means for value in question.values.values()]


def picked(question: Attribute, text: str) -> tuple[str, ...]:
    """The values that a bare number (or several, of a set) picks out of ``choices``."""
    slugs, said = list(question.values), text.strip().lower().rstrip(".!")
    if question.numeric or not slugs:
        return ()
    if one := _PICK.fullmatch(said):
        numbers = [int(one[1])]
    elif question.kind == "set" and _PICKS.fullmatch(said):
        numbers = [int(n) for n in re.findall(r"\d+", said)]
    else:
        return ()
    return tuple(slugs[n - 1] for n in numbers) if all(0 < n <= len(slugs) for n in numbers) else ()


# -- one part


def _whole(rulebase: RuleBase, question: Attribute, text: str, units: Units, numbered: bool) -> Answered | None:
    words = _words(rulebase)
    key = _key(text)
    if not key:
        return None
    said = state_said(text)
    if said is not None:
        return Answered("open", Answer((), said, words=text))
    exact = _exact(question, text, units)
    if exact:
        return Answered("value", exact)
    if numbered and (picks := picked(question, text)):
        return Answered("value", _answer(picks, text))
    if key in words.usual and not _phrased(rulebase, question, key, whole=True):
        return Answered("usual")
    if question.numeric:
        return _number(words, question, text, units) or _is_open(words, key, text)
    if values := _phrased(rulebase, question, key):
        return Answered("value", _answer(values, text))
    return _is_open(words, key, text)


def _is_open(words: _Words, key: Key, text: str) -> Answered | None:
    return Answered("open", Answer((), "don't know", words=text)) if key in words.open else None


def _several(
    rulebase: RuleBase, question: Attribute, parts: Sequence[str], units: Units, numbered: bool
) -> Answered | None:
    """A list of values of a set; nothing if a part is none of them."""
    values: list[str] = []
    for part in parts if len(parts) > 1 else ():
        found = _whole(rulebase, question, part, units, numbered)
        if found is None or found.answer is None or found.answer.state != "known":
            return None
        values += [str(v) for v in found.answer.values]
    wanted = tuple(dict.fromkeys(v for v in values if v != "none"))
    return Answered("value", _answer(wanted, ", ".join(parts))) if wanted else None


def _exact(question: Attribute, text: str, units: Units) -> Answer | None:
    try:
        return parse_answer(question, text, units=units)
    except AnswerError:
        return None


def _answer(values: Iterable[str], words: str) -> Answer:
    return Answer(tuple(dict.fromkeys(values)), "known", "answered", words)


# -- numbers

def _number(words: _Words, question: Attribute, text: str, units: Units) -> Answered | None:
    """One number with nothing beside it but what changes nothing of it: "about 30", "one", "he's 38 kg"."""
    low = "".join(c.lower() if len(c.lower()) == 1 else c for c in text)
    # "A couple" is a number only of something.
    sizes = list(find_sizes(low, [])) or list(find_sizes(f"{low.strip(' .!')} of them", []))
    if len(sizes) != 1 or sizes[0].wrong or len(sizes[0].values) != 1 or sizes[0].kind not in ("bare", "size", "age"):
        return None
    size = sizes[0]
    if _without(_key(text[: size.start] + " , " + text[size.end :]), words.hedges, question):
        return None
    value = f"{size.values[0]:g}"
    unit = size.unit if size.kind == "size" else ""
    try:
        answer = parse_answer(question, f"{value} {unit}".strip(), units=units)
    except AnswerError:
        return None
    return Answered("value", replace(answer, words=text))


def _without(key: Key, hedges: Sequence[Key], question: Attribute) -> list[str]:
    """The words left when the hedges, marks and the words of the question are taken out."""
    own = {w for k in _cue_words(question) for w in k} | {w for w in _key(question.question) if w not in lex.STOP}
    left = list(key)
    for hedge in sorted(hedges, key=len, reverse=True):
        n = len(hedge)
        i = 0
        while i + n <= len(left):
            if tuple(left[i : i + n]) == hedge:
                del left[i : i + n]
            else:
                i += 1
    return [w for w in left if w[0].isalnum() and w not in own and w not in lex.STOP]


def _cue_words(question: Attribute) -> list[Key]:
    return [_key(cue) for cue in question.cues]


# -- words for values

def _phrased(rulebase: RuleBase, question: Attribute, key: Key, whole: bool = False) -> tuple[str, ...]:
    """The values that the words name: the longest phrase wins, and of a single choice only one may be left."""
    known = _words(rulebase).values.get(question.name, {})
    if whole:
        return known.get(key, ())
    own = {w for w in _key(question.question) if w not in lex.STOP}
    found = _found(known, key, lambda part: not _LIGHT.issuperset(part))
    # "No allergies" is no "no" to another question.
    if not found and all(w in _LIGHT or w in lex.STOP or w in own for w in key):
        found = _found(known, key, _LIGHT.issuperset)
    values = tuple(dict.fromkeys(v for at in sorted(found) for v in found[at]))
    if question.kind == "set":
        return tuple(v for v in values if v != "none") or values
    if len(values) > 1:
        # A plain yes or no beside a phrase that says more is only its beginning: "yes, all day".
        most = max(found, key=lambda at: (at[1] - at[0], at[0]))
        rest = {v for at, vs in found.items() if at != most for v in vs} - set(found[most])
        plain = all(key[a:b] in (("yes",), ("no",)) for a, b in found if (a, b) != most)
        return found[most] if (not rest or plain) and len(found[most]) == 1 else ()
    return values


def _found(
    known: Mapping[Key, tuple[str, ...]], key: Key, wanted: Callable[[Key], bool]
) -> dict[tuple[int, int], tuple[str, ...]]:
    """The longest known phrases of the wanted kind, none of them refused, and where they stand."""
    found: dict[tuple[int, int], tuple[str, ...]] = {}
    taken: set[int] = set()
    if values := known.get(key):
        return {(0, len(key)): values}
    for n in range(min(max(map(len, known), default=0), len(key)), 0, -1):
        for i in range(len(key) - n + 1):
            values = known.get(key[i : i + n])
            free = taken.isdisjoint(range(i, i + n)) and not (i and key[i - 1] in _REFUSING)
            if values and free and wanted(key[i : i + n]):
                found[i, i + n] = values
                taken |= set(range(i, i + n))
    return found


def _key(text: str) -> Key:
    return tuple(t.word for t in lex.tokens(text) if t.word not in ".,;:!?()")


def _words(rulebase: RuleBase) -> _Words:
    made: _Words = rulebase.once("words of answers", _read)
    return made


def _read(rulebase: RuleBase) -> _Words:
    file = words_file(rulebase, ANSWERS, AnswersFile) or AnswersFile(usual=(), open=(), yes=(), no=(), hedges=())
    values: dict[str, dict[Key, tuple[str, ...]]] = {}
    for question in rulebase.attributes.values():
        known: dict[Key, tuple[str, ...]] = {}
        for value in question.values.values():
            own = file.answers.get(question.name, {})
            elsewhere = {_key(t) for slug, texts in own.items() if slug != value.slug for t in texts}
            # A word that this file gives to another value is not the value's own here.
            texts = [t for t in value.words if question.kind == "set" or _key(t) not in elsewhere]
            texts += [value.slug.replace("_", " "), value.means, *own.get(value.slug, ())]
            if set(question.values) == {"yes", "no"}:
                texts += file.yes if value.slug == "yes" else file.no
            elif value.slug == "none":
                texts += ["no", "none", "nothing", "neither"]
            for text in texts:
                key = _key(text)
                known[key] = tuple(dict.fromkeys((*known.get(key, ()), value.slug)))
        known.pop((), None)
        # A phrase that can mean two values of one choice settles nothing.
        values[question.name] = {k: v for k, v in known.items() if question.kind == "set" or len(v) == 1}
    keys = (frozenset(map(_key, texts)) for texts in (file.usual, file.open))
    return _Words(next(keys), next(keys), tuple(_key(t) for t in file.hedges if _key(t)), values)


def check_answers(rulebase: RuleBase) -> list[str]:
    """What is wrong with the words of answers: names that are no attribute or value, words with two meanings."""
    file = words_file(rulebase, ANSWERS, AnswersFile)
    problems: list[str] = []
    for name, values in file.answers.items() if file else ():
        question = rulebase.attributes.get(name)
        if question is None:
            problems.append(f"{ANSWERS}: {name} is no attribute.")
            continue
        seen: dict[Key, str] = {}
        for slug, texts in values.items():
            if slug not in question.values:
                problems.append(f"{ANSWERS}: {name} has no value {slug}.")
            for text in texts:
                key = _key(text)
                if question.kind != "set" and seen.get(key, slug) != slug:
                    problems.append(f'{ANSWERS}: "{text}" is said of two values of {name}.')
                seen.setdefault(key, slug)
    return problems

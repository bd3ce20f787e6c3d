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
_PARTS = re.compile(r"\s*[,;]\s*(?:and\s+|but\s+)?|(?<!approx)(?<!\bno)[.!]\s+|\s+(?:but|and)\s+")
# "An inch and a half" is one number.
_ASIDES = re.compile(r"\s*[,;]\s+(?:and\s+|but\s+)?|(?<!approx)(?<!\bno)[.!]\s+|\s+but\s+")
_YES_FIRST = re.compile(r"\s*(?:yes|yeah|yep|yup|aye|sure|definitely|certainly|absolutely)\b[ ,;.:!-]*", re.IGNORECASE)
_NO_FIRST = re.compile(
    r"\s*(?:no|nope|nah)\b(?:\s*[,;.:!-]+\s*|\s+(?=(?:i|he|she|it|its|it's|they|we|you|the|my|his|her|this|that|but|just)\b))",
    re.IGNORECASE,
)
_AS_FAR_AS_KNOWN = re.compile(
    r"[ ,]*\b(?:(?:that|as far as|so far as|to) )?(?:(?:i|we|he|she|they|anyone)(?:'m|'re|'s|m|re| am| are| is)?"
    r" (?:know|knows|aware|can think|can tell|recall)(?: (?:of|about))?|(?:my|our|his|her) knowledge)$"
    r"|[ ,]+(?:known|springs to mind|comes to mind|so far)$"
)
"""A denial of a list says no more where it is limited to what somebody knows."""
_DENIED_TWICE = re.compile(r"(?:no|nope|nah|naw)[ ,]+(?=(?:none|nothing|not|no)\b)")
_HAS_NONE = re.compile(
    r"(?:(?:i|we|he|she|they|it) )?(?:(?:do|does|have|has)(?: not|n't|nt) (?:have |got |know of )?any(?:thing)?"
    r"|(?:have|has|'ve got|got) none)"
)
_PLACES = (
    ("one", "first"),
    ("two", "second"),
    ("three", "third"),
    ("four", "fourth"),
    ("five", "fifth"),
    ("six", "sixth"),
    ("seven", "seventh"),
    ("eight", "eighth"),
    ("nine", "ninth"),
    ("ten", "tenth"),
    ("eleven", "eleventh"),
    ("twelve", "twelfth"),
)
_NAMED = "|".join(names[0] for names in _PLACES)
_NTH = "|".join(names[1] for names in _PLACES)
_PICK = re.compile(
    r"(?:(?:i(?:'d| would)?(?: like| take| choose| go (?:for|with))?|i'll (?:take|have)|let's (?:say|take)|that(?:'s|"
    r" would be)?|make it|then|well|um|say) )*"
    rf"(?:(?:number |no\.? ?|nr\.? ?|#|option |choice |answer |the )*(\d{{1,2}})(?:st|nd|rd|th)?"
    r"(?: (?:one|choice|option))?"
    rf"|(?:number |option |choice |answer )({_NAMED})|(?:the )({_NTH}|last)(?: (?:one|choice|option))?"
    rf"|({_NTH}|last) (?:one|choice|option)|(?:option |choice )([a-l]))(?: please| then| i think)*"
)
_PICKS = re.compile(r"\s*(?:,|\band\b|&|\+)\s*")
_DEGREES = frozenset(("a", "an", "the", "too", "so", "very", "that", "any"))
_REFUSING = frozenset(("no", "not", "never", "without", "dont", "isnt", "wont", "cant", "doesnt", "nor", "nothing"))

_PLAINLY = frozenset(
    t.word
    for t in lex.tokens("""
    no nope nah not none nothing neither nobody never nowt yes yeah yep yup aye sure definitely certainly absolutely
    maybe might possibly probably a an the bit little lot lots some sometimes often always much any at all really hardly
    it is its does doesnt do dont will wont i he she they that of course time in on now then once while again quite very
    so think suppose guess know way need""")
)
"""Words that answer only where nothing else is said."""

_DENYING = frozenset(("no", "not", "never", "nobody", "nothing", "none", "neither", "noone", "isnt", "wont", "doesnt"))
_EXCEPT = re.compile(
    r"\b(?:except|unless|apart from|other than|besides)\b"
    r"|\b(?:nobody|no one|nothing|never|not|no (?!but\b|,)\w+)\b[^,.;]*\bbut\b",
    re.IGNORECASE,
)
"""What leaves something of a denial."""
_TWICE = re.compile(r"\b(?:no|not|never|nobody|nothing)\b.*\b(?:without|no|not|never|but|except|unless)\b")
"""What denies a denial, or leaves something of it."""

_LIGHT = _PLAINLY | frozenset(
    t.word
    for t in lex.tokens("""
    come comes get gets got go goes ever kind sort else thing things anybody anyone somebody someone anything something
    near here there would be been being are was were has have had can could you me my your his her their our with by
    from to for as""")
)
"""Words besides those that say nothing by themselves beside a denial."""

_MONEY = re.compile(
    r"[£$€]|\b(?:quid|pounds?|euros?|dollars?|bucks?|eur|gbp|usd|up to|at most|no more than"
    r"|at the outside|maximum|max|tops)\b"
)
_SIDEWAYS = frozenset(("wide", "long", "high", "tall", "deep", "thick", "across", "broad"))
_MANY = {"pair": "2", "single": "1", "score": "20", "couple": "2"}
_SO_MANY = re.compile(r"\b(?:(?:a|one|the) )?(?P<word>pair|single|score|couple)\b(?: (?:of|one)\b)?")
"""Words that count things by themselves."""

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
    found = _in_parts(rulebase, question, text, units, numbered)
    denied = found and found.answer and found.answer.values == ("no",) and set(question.values) == {"yes", "no"}
    # A bare no at the beginning is looked at with what is said behind it.
    if denied and not _NO_FIRST.match(text):
        parts = [p for p in _PARTS.split(text.strip(" .!")) if p]
        said = (_whole(rulebase, question, part, units, numbered) for part in parts if len(parts) > 1)
        if _EXCEPT.search(text) or any(one and one.answer and one.answer.values == ("yes",) for one in said):
            # "Nobody but the kids" and "no dog, a horse is tied up with it" are no plain no.
            return None
    return found


def _in_parts(rulebase: RuleBase, question: Attribute, text: str, units: Units, numbered: bool) -> Answered | None:
    parts = [p for p in (_ASIDES if question.numeric else _PARTS).split(text.strip(" .!")) if p]
    if question.kind == "set" and (several := _several(rulebase, question, parts, units, numbered)):
        return several
    listed = parts if len(parts) > 1 else ()
    apart = [(n, _whole(rulebase, question, part, units, numbered)) for n, part in enumerate(listed)]
    said = [(n, found) for n, found in apart if found and found.meant != "usual"]
    if len(said) == 1 and question.kind != "set" and _exact(question, text, units) is None:
        n, found = said[0]
        return replace(found, rest=", ".join((*parts[:n], *parts[n + 1 :])))
    if found_whole := _whole(rulebase, question, text, units, numbered):
        rest = [part for n, part in enumerate(listed) if n not in {n for n, _ in said}]
        told = {v for _, found in said if found.answer for v in found.answer.values}
        if question.kind == "set" and said and rest and found_whole.answer and told == {*found_whole.answer.values}:
            return replace(found_whole, rest=", ".join(rest))
        return found_whole
    if said:
        n, found = said[0]
        return replace(found, rest=", ".join((*parts[:n], *parts[n + 1 :])))
    return _said_first(question, text)


def _said_first(question: Attribute, text: str) -> Answered | None:
    """A yes or no that begins a line which says more: "yes he sits in it"."""
    if set(question.values) != {"yes", "no"}:
        return None
    for value, first in (("yes", _YES_FIRST), ("no", _NO_FIRST)):
        if (begun := first.match(text)) and (rest := text[begun.end() :].strip()):
            return Answered("value", _answer((value,), text), rest)
    return None


def choices(question: Attribute) -> list[str]:
    """The values of a question in plain words, in the order in which a number picks them."""
    return [value.means for value in question.values.values()]


def picked(question: Attribute, text: str) -> tuple[str, ...]:
    """The values that a number, a place in the list (or several, of a set) picks out of ``choices``."""
    slugs = list(question.values)
    if question.numeric or not slugs:
        return ()
    said = [text] if question.kind != "set" else [p for p in _PICKS.split(text.strip()) if p]
    numbers = [n for part in said if (n := place_picked(part, len(slugs)))]
    return tuple(dict.fromkeys(slugs[n - 1] for n in numbers)) if len(numbers) == len(said) else ()


def place_picked(text: str, of: int) -> int:
    """Which of ``of`` numbered choices is picked: "2", "number two", "the second one", "b)", "the last"; 0 for none."""
    words = " ".join(text.lower().strip(" .!)").split())
    one = _PICK.fullmatch(words)
    if one is None:
        return 0
    said = next(g for g in one.groups() if g)
    if said.isdecimal():
        place = int(said)
    elif said == "last":
        place = of
    elif len(said) == 1:
        place = ord(said) - ord("a") + 1
    else:
        place = next(n for n, names in enumerate(_PLACES, 1) if said in names)
    return place if 0 < place <= of else 0


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
    denial = _plain_denial(text)
    if denial and (found := _whole(rulebase, question, denial, units, numbered)) and found.answer:
        return replace(found, answer=replace(found.answer, words=text))
    return _is_open(words, key, text)


def _plain_denial(text: str) -> str:
    """ "None" of a denial in more words: "none known", "nothing that I know of", "not that we're aware"."""
    low = " ".join(text.lower().replace("’", "'").strip(" .!").split())
    bare = _DENIED_TWICE.sub("", _AS_FAR_AS_KNOWN.sub("", low))
    if bare == low:
        return "none" if _HAS_NONE.fullmatch(low) else ""
    if bare == "not" or _HAS_NONE.fullmatch(bare):
        return "none"
    return bare if bare.startswith(("no", "never")) else ""


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
    if question.unit != "mm" and not _SIDEWAYS.isdisjoint(_key(low)):
        # "30 wide" counts nothing.
        return None
    if question.unit == "money":
        text = low = _MONEY.sub(" ", low)
    if question.kind == "count" and (said := _SO_MANY.search(low)):
        text = low = f"{low[: said.start()]}{_MANY[said['word']]}{low[said.end() :]}"
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
    found = _found(known, key, lambda part: not _PLAINLY.issuperset(part))
    # "No allergies" is no "no" to another question.
    own, denying = {w for w in _key(question.question) if w not in lex.STOP}, not _DENYING.isdisjoint(key)
    if not found and all(w in _PLAINLY or w in lex.STOP or w in own for w in key):
        found = _found(known, key, _PLAINLY.issuperset)
    denied = not found and denying and set(question.values) == {"yes", "no"} and not _TWICE.search(" ".join(key))
    if denied and all(w in _LIGHT or w in lex.STOP or _stem(w) in _own(question) for w in key):
        # "Nobody sits on it" denies what the question is about.
        return ("no",)
    if not found and not whole:
        bent = _folded(rulebase, question.name, known)
        found = _found(bent, tuple(lex.fold(w) for w in key), lambda part: not _PLAINLY.issuperset(part))
    if set(question.values) == {"yes", "no"} and any(
        v == ("yes",) and _denied(key[:at]) for (at, _), v in found.items()
    ):
        # "Nobody sits on it" is no yes; "not only cats, he sits on it too" is neither.
        told = {
            v for (at, _), v in found.items() if not _denied(key[:at]) and not _PLAINLY.issuperset(key[at : at + 1])
        }
        return () if told - {("no",)} or _TWICE.search(" ".join(key)) else ("no",)
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


def _denied(before: Key) -> bool:
    """Whether a denial stands before a phrase."""
    return not _DENYING.isdisjoint(before)


def _refused(key: Key, i: int) -> bool:
    """Whether a word that refuses stands before the word at ``i``, over an article or a degree: "not a heavy one"."""
    while i and key[i - 1] in _DEGREES:
        i -= 1
    return i > 0 and key[i - 1] in _REFUSING


def _stem(word: str) -> str:
    """A word without its ending: "sits" and "sitting" alike."""
    return re.sub(r"(?<=\w{3})(?:(?<=(\w))\1ing|ing|ed|es|s|e)$", "", word) if len(word) > 3 else word


def _own(question: Attribute) -> frozenset[str]:
    """The words of a question, as stems."""
    words = (*_key(question.question), *_key(question.label), *question.name.split("_"))
    return frozenset(_stem(w) for w in words if w not in lex.STOP)


def _folded(rulebase: RuleBase, name: str, known: Mapping[Key, tuple[str, ...]]) -> Mapping[Key, tuple[str, ...]]:
    """The phrases of a question with each word as one form, without those that then mean two values."""
    made: Mapping[Key, tuple[str, ...]] = rulebase.once(f"folded answers {name}", lambda _: _bent(known))
    return made


def _bent(known: Mapping[Key, tuple[str, ...]]) -> Mapping[Key, tuple[str, ...]]:
    bent: dict[Key, tuple[str, ...]] = {}
    for key, values in known.items():
        one = tuple(lex.fold(w) for w in key)
        bent[one] = values if bent.get(one, values) == values else ()
    return {key: values for key, values in bent.items() if values}


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
            free = taken.isdisjoint(range(i, i + n)) and not _refused(key, i)
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
            texts += [value.slug.replace("_", " "), value.label, value.means, *own.get(value.slug, ())]
            if set(question.values) == {"yes", "no"}:
                texts += file.yes if value.slug == "yes" else file.no
            elif value.slug == "none":
                texts += ["no", "none", "nothing", "neither", "nope", "nah", "nowt"]
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

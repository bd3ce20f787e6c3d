"""Ways of saying a value, written short: how a phrase of ``words/values.toml`` is compiled, and the books of them.

In a phrase ``(a|b c)`` is one of several, ``[a]`` may be left out, ``<name>`` is one of a class of the file and ``..``
stands for at most three words of one clause. What stands in ``{}`` must be there and is no part of the phrase.
Everything else is a word or a mark.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import count
from typing import Annotated, NamedTuple

from pydantic import Field

from ..errors import RuleBaseError
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.reading import Reader, near_hint
from ..rulebase.words import words_file

FILE = "words/values.toml"
_PART = re.compile(r"\.\.|<[a-z_]+>|[()|\[\]{}]|[^\s()|\[\]{}<>]+")
_CLOSING = {"(": ")", "[": "]", "{": "}"}
_GAP = r"((?:[^\W_]\S* ){0,3}?)"
_DEEPEST = 6
Words = tuple[str, ...]
Fold = Callable[[str], Words]
Sayings = Annotated[tuple[Annotated[str, Field(min_length=1, max_length=500)], ...], Field(max_length=200)]


class PhraseError(ValueError):
    """A phrase that cannot be compiled; the text says why."""


class ValuesFile(Shape):
    """words/values.toml: classes of words, what says nothing, and the ways of saying each value.

    ``nothing`` holds phrases that only sound like a value. ``measures`` are words beside a number that say which
    attribute it is of, ``prices`` those beside a sum that is not to be spent, ``at_hand`` and ``left_over`` words
    before and after leather that somebody has, ``kinds`` the tannages that each kind of leather at hand can be,
    ``cut_up`` what is mostly sewn of which tannage, so that an old one is leather of it,
    ``seller`` words that make a label of what is called so; ``of_sellers`` are the values of a label that say nothing
    when the asker says them. ``leather_forms`` are words that mean a form of leather, or a group of forms, beside a
    number or another word for leather, ``tempers`` those for a temper that need no such word, ``asks`` what the shop is
    to look for in it, of which those of ``making`` say how the thing is made.
    """

    classes: dict[Slug, Sayings] = Field(default_factory=dict)
    nothing: Sayings = ()
    value: dict[Slug, dict[Slug, Sayings]] = Field(default_factory=dict)
    measures: dict[Slug, Sayings] = Field(default_factory=dict)
    prices: Sayings = ()
    at_hand: Sayings = ()
    left_over: Sayings = ()
    seller: Sayings = ()
    of_sellers: tuple[str, ...] = ()
    kinds: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)
    cut_up: dict[Slug, Sayings] = Field(default_factory=dict)
    leather_forms: dict[Slug, Sayings] = Field(default_factory=dict)
    tempers: tuple[str, ...] = ()
    asks: dict[Slug, Sayings] = Field(default_factory=dict)
    making: tuple[Slug, ...] = ()


class Found(NamedTuple):
    """A phrase found: what it means, its first and last word, the words between that are none of it.

    ``needed`` counts its own words and those that must stand beside it.
    """

    meaning: tuple[str, str]
    first: int
    last: int
    gaps: tuple[int, ...]
    needed: int


@dataclass(frozen=True)
class Phrase:
    """A phrase as a pattern over folded words, each followed by a blank; ``begins`` are the words it can begin with.

    Of each of its ``needs`` one word stands wherever the phrase does.
    """

    text: str
    begins: frozenset[str]
    needs: tuple[frozenset[str], ...]
    meaning: tuple[str, str]

    @cached_property
    def beside(self) -> frozenset[int]:
        """The groups of the pattern that hold words which are no part of the phrase."""
        return frozenset(n for name, n in self.pattern.groupindex.items() if name.startswith("beside"))

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        """Compiled when a text first holds all words that it needs, since most never are."""
        numbers = count()
        return re.compile(re.sub("(?<=[(][?]P<beside)", lambda _: str(next(numbers)), self.text))


class Book:
    """Phrases that are looked for together."""

    def __init__(self, phrases: Sequence[Phrase] = ()) -> None:
        self._by_first: dict[str, list[Phrase]] = {}
        for phrase in phrases:
            for word in phrase.begins:
                self._by_first.setdefault(word, []).append(phrase)

    def find(self, words: Sequence[str]) -> Iterator[Found]:
        """Every phrase that stands in ``words``, once from each place."""
        starts = [0]
        for word in words:
            starts.append(starts[-1] + len(word) + 1)
        line = "".join(f"{word} " for word in words)
        index, held = {start: i for i, start in enumerate(starts)}, frozenset(words)
        for i, word in enumerate(words):
            for phrase in self._by_first.get(word, ()):
                if any(map(held.isdisjoint, phrase.needs)):
                    continue
                if m := phrase.pattern.match(line, starts[i]):
                    skipped, beside = set[int](), set[int]()
                    for group in range(1, phrase.pattern.groups + 1):
                        a, b = m.span(group)
                        inside = range(index[a], index[b]) if b > a else range(0)
                        (beside if group in phrase.beside else skipped).update(inside)
                    last = index[m.end()]
                    yield Found(phrase.meaning, i, last, (*skipped, *beside), last - i - len(skipped - beside))


class _Part(NamedTuple):
    """A stretch of a phrase as a pattern: the words it can begin with, those it needs, and whether it can be empty."""

    pattern: str
    begins: frozenset[str]
    empty: bool
    needs: tuple[frozenset[str], ...] = ()


def compiled(text: str, classes: Mapping[str, Sequence[str]], fold: Fold, meaning: tuple[str, str]) -> Phrase:
    """The phrase ``text``. Raises PhraseError."""
    part, end = _series(_PART.findall(text), 0, classes, fold, 0)
    if end < len(_PART.findall(text)):
        raise PhraseError("a bracket closes nothing")
    if part.empty or ".." in text.split()[:1] + text.split()[-1:]:
        raise PhraseError('it may neither be empty nor begin or end with ".."')
    return Phrase(part.pattern, part.begins, part.needs, meaning)


def _series(
    parts: Sequence[str], i: int, classes: Mapping[str, Sequence[str]], fold: Fold, depth: int
) -> tuple[_Part, int]:
    """What the parts from ``i`` on say up to a closing bracket or the end, and where that stands."""
    if depth > _DEEPEST:
        raise PhraseError("its classes and brackets lie too deep in each other")
    ways: list[list[_Part]] = [[]]
    while i < len(parts) and parts[i] not in _CLOSING.values():
        part = parts[i]
        if part == "|":
            ways.append([])
        elif part in _CLOSING:
            inner, end = _series(parts, i + 1, classes, fold, depth + 1)
            if end == len(parts) or parts[end] != _CLOSING[part]:
                raise PhraseError(f'"{part}" is not closed')
            if part == "[":
                inner = _Part(f"{inner.pattern}?", inner.begins, True)
            if part == "{":
                inner = inner._replace(pattern=f"(?P<beside>{inner.pattern})")
            ways[-1].append(inner)
            i = end
        elif part == "..":
            ways[-1].append(_Part(_GAP, frozenset(), True))
        elif part.startswith("<"):
            said = classes.get(part[1:-1])
            if said is None:
                raise PhraseError(f'"{part}" is no class of the file')
            ways[-1].append(_either([_series(_PART.findall(s), 0, classes, fold, depth + 1)[0] for s in said]))
        else:
            ways[-1] += [
                _Part(f"{re.escape(word)} ", one, False, (one,)) for word in fold(part) for one in [frozenset((word,))]
            ]
        i += 1
    return _either([_joined(way) for way in ways]), i


def _joined(parts: Sequence[_Part]) -> _Part:
    """Parts one after the other."""
    begins: frozenset[str] = frozenset()
    for part in parts:
        begins |= part.begins
        if not part.empty:
            break
    needs = tuple(need for part in parts for need in part.needs)
    return _Part("".join(p.pattern for p in parts), begins, all(p.empty for p in parts), needs)


def _either(ways: Sequence[_Part]) -> _Part:
    """One of several; the longest is tried first."""
    pattern = "|".join(w.pattern for w in sorted(ways, key=lambda w: -len(w.pattern)))
    begins, empty = frozenset(word for w in ways for word in w.begins), any(w.empty for w in ways)
    needs: tuple[frozenset[str], ...] = ()
    if len(ways) == 1:
        needs = ways[0].needs
    elif not empty:
        needs = (frozenset().union(*(min(w.needs, key=len) for w in ways)),)
    return _Part(f"(?:{pattern})", begins, empty, needs)


@dataclass(frozen=True, slots=True)
class Phrasebook:
    """The phrases of a rule base in books: of values, and of numbers, leather at hand and labels.

    ``kinds`` maps a kind of leather at hand to tannages; ``words`` are all words of the phrases. A phrase of ``forms``
    means a form of leather, one of ``asks`` what the shop is to look for, one of ``cut_up`` a tannage by
    what was cut up.
    """

    values: Book = field(default_factory=Book)
    measures: Book = field(default_factory=Book)
    prices: Book = field(default_factory=Book)
    at_hand: Book = field(default_factory=Book)
    left_over: Book = field(default_factory=Book)
    seller: Book = field(default_factory=Book)
    of_sellers: frozenset[str] = frozenset()
    making: frozenset[str] = frozenset()
    kinds: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    words: frozenset[str] = frozenset()
    forms: Book = field(default_factory=Book)
    tempers: frozenset[str] = frozenset()
    asks: Book = field(default_factory=Book)
    cut_up: Book = field(default_factory=Book)


def phrasebook(rulebase: RuleBase, fold: Fold) -> Phrasebook:
    """The ways of saying each value. Raises RuleBaseError with every mistake in the file."""
    raw = words_file(rulebase, FILE, ValuesFile)
    if raw is None:
        return Phrasebook()
    reader: Reader = rulebase.memo["words"]
    _check(rulebase, raw, reader)

    def phrases(said: Sequence[str], meaning: tuple[str, str], *path: str) -> Iterator[Phrase]:
        for text in said:
            try:
                yield compiled(text, raw.classes, fold, meaning)
            except PhraseError as error:
                reader.wrong(FILE, path, text, f"{error}.")

    values = [
        *(
            p
            for name, said in raw.value.items()
            for slug, texts in said.items()
            for p in phrases(texts, (name, slug), "value", name, slug)
        ),
        *phrases(raw.nothing, ("", ""), "nothing"),
    ]
    said = (
        *raw.nothing,
        *(text for texts in raw.classes.values() for text in texts),
        *(text for slugs in raw.value.values() for texts in slugs.values() for text in texts),
    )
    made = Phrasebook(
        Book(values),
        Book([p for name, texts in raw.measures.items() for p in phrases(texts, (name, ""), "measures", name)]),
        Book(list(phrases(raw.prices, ("", ""), "prices"))),
        Book(list(phrases(raw.at_hand, ("", ""), "at_hand"))),
        Book(list(phrases(raw.left_over, ("", ""), "left_over"))),
        Book(list(phrases(raw.seller, ("", ""), "seller"))),
        frozenset(raw.of_sellers),
        frozenset(raw.making),
        {
            kind: tuple(c for slug in slugs for c in _tannages(rulebase).get(slug, ()))
            for kind, slugs in raw.kinds.items()
        },
        frozenset(word for text in said for part in re.findall(r"[^\s()|\[\]{}<>.]+", text) for word in fold(part)),
        Book(
            [p for slug, texts in raw.leather_forms.items() for p in phrases(texts, (slug, ""), "leather_forms", slug)]
        ),
        frozenset(word for text in raw.tempers for word in fold(text)),
        Book([p for name, texts in raw.asks.items() for p in phrases(texts, (name, ""), "asks", name)]),
        Book([p for slug, texts in raw.cut_up.items() for p in phrases(texts, (slug, ""), "cut_up", slug)]),
    )
    if reader.problems:
        raise RuleBaseError(reader.problems)
    return made


def _tannages(rulebase: RuleBase) -> dict[str, tuple[str, ...]]:
    """Each tannage and each group of them, as the tannages that it names."""
    tannage = rulebase.decisions.get("tannage")
    return {**tannage.groups, **{slug: (slug,) for slug in tannage.candidates}} if tannage else {}


def _check(rulebase: RuleBase, raw: ValuesFile, reader: Reader) -> None:
    """Notes every attribute, value and tannage that the rule base does not have."""
    for part, names in (("value", raw.value), ("measures", raw.measures)):
        for name in (n for n in names if n not in rulebase.attributes):
            hint = near_hint(name, rulebase.attributes)
            reader.wrong(FILE, (part, name), name, f'"{name}" is no attribute.', hint)
    for name, values in raw.value.items():
        known = rulebase.attributes[name].values if name in rulebase.attributes else values
        for slug in (v for v in values if v not in known):
            reader.wrong(FILE, ("value", name, slug), slug, f'"{slug}" is no value of {name}.', near_hint(slug, known))
    candidates = _tannages(rulebase)
    form = rulebase.decisions.get("form")
    for slug in (s for s in raw.leather_forms if form is None or not {s} & {*form.candidates, *form.groups}):
        reader.wrong(FILE, ("leather_forms", slug), slug, f'"{slug}" is no form and no group of forms.')
    named = [(("kinds", kind), slug) for kind, slugs in raw.kinds.items() for slug in slugs]
    for path, slug in (*named, *((("cut_up", slug), slug) for slug in raw.cut_up)):
        if slug not in candidates:
            reader.wrong(
                FILE,
                path,
                slug,
                f'"{slug}" is no tannage and no group of them.',
                near_hint(slug, candidates),
            )

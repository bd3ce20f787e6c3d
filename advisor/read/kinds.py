"""How the names of things are made, and which things a phrase or a text describes where no name fits.

A name is a head with words that say of which kind it is. What shares the head and those words of a phrase is described
by it, rarer words telling more. Everything is indexed by word once, so that a turn does not grow with the vocabulary.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

import snowballstemmer

from ..rulebase.models import RuleBase
from ..rulebase.words import Words, words_of
from . import lexicon as lex

MOST = 4
"""How many candidates are offered."""
_LINKS = frozenset(("for", "of", "to", "that", "with", "on", "in", "from", "under", "round", "around", "at", "over"))
_AS_NAMED, _ONCE_NAMED, _AS_KIND, _AS_GLOSS = 1.0, 0.7, 0.8, 0.5
"""What a word counts that stands in names of a thing, in one of them, for a like object, or in its gloss."""
_SAME_STEM = 0.5
"""What a word of a text counts for a thing that has only another word of its stem."""
_SAME_OBJECT, _FEW_WORDS = 0.5, 16
"""What a word counts for things told of with another word for the same object, and how many words an object may have
for its words to mean nearly the same."""
_LIKE_HEAD = 0.75
"""What a head of the same form counts, as "guard" for "cover"."""


@lru_cache(maxsize=20_000)
def stem(word: str) -> str:
    """The stem of a folded word."""
    return str(_stemmer().stemWord(word))


@lru_cache(maxsize=1)
def _stemmer() -> snowballstemmer.stemmer:
    return snowballstemmer.stemmer("english")


def _content(words: Iterable[str]) -> list[str]:
    return [w for w in words if w not in lex.STOP and len(w) > 2]


class Kinds(NamedTuple):
    """How names are made: which words stand before the last one.

    ``by_head``: last word -> thing -> the other words of such names; ``own``: thing -> the words of its names;
    ``pairs``: form, object -> things named with both; ``doing``: verb -> the forms that do it.
    """

    by_head: Mapping[str, Mapping[str, frozenset[str]]]
    own: Mapping[str, frozenset[str]]
    pairs: Mapping[tuple[str, str], tuple[str, ...]]
    doing: Mapping[str, tuple[str, ...]]


def kinds_of(rulebase: RuleBase) -> Kinds:
    """How the names of this rule base are made, worked out once."""
    made: Kinds = rulebase.once("kinds of things", _made_kinds)
    return made


def _made_kinds(rulebase: RuleBase) -> Kinds:
    by_head: dict[str, dict[str, frozenset[str]]] = {}
    own: dict[str, frozenset[str]] = {}
    for slug, names in lex.lexicon(rulebase).names.items():
        own[slug] = frozenset(word for name in names for word in name) - lex.STOP
        for name in names:
            if name and not {"for", "of"} & set(name):
                heads = by_head.setdefault(name[-1], {})
                heads[slug] = heads.get(slug, frozenset()) | (frozenset(name[:-1]) - lex.STOP)
    doing: dict[str, tuple[str, ...]] = {}
    for form, what in words_of(rulebase).forms.items():
        for text in what.does:
            verb = " ".join(lex.phrase(text))
            doing[verb] = (*doing.get(verb, ()), form)
    return Kinds(by_head, own, _named_pairs(rulebase), doing)


def _named_pairs(rulebase: RuleBase) -> dict[tuple[str, str], tuple[str, ...]]:
    """Forms and objects that the names of things put together: with "hawk glove" an owl's glove is known too."""
    words = lex.lexicon(rulebase)
    found: dict[tuple[str, str], dict[str, None]] = {}
    for slug, names in words.names.items():
        for name in names:
            links = [i for i, word in enumerate(name) if word in ("for", "of")]
            use = tuple(w for w in name[links[0] + 1 :] if w not in lex.STOP) if links else name[:-1]
            thing = name[: links[0]] if links else name[-1:]
            if (form := words.forms.get(thing)) and (what := words.objects.get(use)):
                found.setdefault((form, what), {})[slug] = None
    return {pair: tuple(slugs) for pair, slugs in found.items() if len(slugs) <= MOST}


class Likeness(NamedTuple):
    """How well a thing fits a phrase: ``covered``, the share of the phrase that speaks of it, 0 to 1, and its head.

    ``headed`` is the share of its names with the head of the phrase.
    """

    slug: str
    covered: float
    headed: float

    @property
    def score(self) -> float:
        """What things are ordered by."""
        return self.covered * min(1.0, _LIKE_HEAD + self.headed)


class Index:
    """Which things a word stands in, in a name or a gloss, and how rare it is."""

    def __init__(self, rulebase: RuleBase) -> None:
        words, lexicon = words_of(rulebase), lex.lexicon(rulebase)
        self.named: dict[str, dict[str, float]] = {}
        self.heads: dict[str, dict[str, float]] = {}
        self.forms = {key[-1]: slug for key, slug in lexicon.forms.items() if len(key) == 1}
        self.of_form: dict[str, set[str]] = {}
        for slug, thing in words.things.items():
            for text in thing.gloss:
                for word in _content(lex.phrase(text)):
                    self.named.setdefault(stem(word), {}).setdefault(slug, _AS_GLOSS)
            for name in lexicon.names[slug]:
                for word in set(_content(name)):
                    before = self.named.setdefault(stem(word), {}).get(slug, 0.0)
                    self.named[stem(word)][slug] = _AS_NAMED if before >= _ONCE_NAMED else _ONCE_NAMED
                head = _head(name)
                of_head = self.heads.setdefault(stem(head), {})
                of_head[slug] = of_head.get(slug, 0.0) + 1 / len(lexicon.names[slug])
                if form := self.forms.get(head):
                    self.of_form.setdefault(form, set()).add(slug)
        self.objects = {stem(key[-1]): slug for key, slug in lexicon.objects.items() if len(key) == 1}
        self.of_object: dict[str, set[str]] = {}
        for word, what in self.objects.items():
            self.of_object.setdefault(what, set()).update(
                slug for slug, how in self.named.get(word, {}).items() if how >= _ONCE_NAMED
            )
        self.count = max(len(words.things), 1)

    def rarity(self, word: str) -> float:
        """How much a stem tells, in nats; a word that nothing is named with tells most."""
        known = sum(how >= _ONCE_NAMED for how in self.named.get(word, {}).values())
        return math.log(1 + self.count / (known + 0.5))

    def like(self, head: str, others: Mapping[str, float], least: float = 0.0) -> list[Likeness]:
        """Things whose names end in ``head`` or a word of its form, best first, by the ``others`` (word -> weight).

        A word counts that speaks of a thing with at least ``least`` (1 in its names, less in its gloss).
        """
        heads = self.heads.get(stem(head), {})
        alike = self.of_form.get(self.forms.get(head, ""), set())
        weights = {stem(w): weight * self.rarity(stem(w)) for w, weight in others.items()}
        whole = sum(weights.values())
        if not whole:
            return []
        found: dict[str, float] = {}
        for word, weight in weights.items():
            of_kind = self.of_object.get(self.objects.get(word, ""), set())
            hits = {**dict.fromkeys(of_kind, _AS_KIND), **self.named.get(word, {})}
            for slug in of_kind:
                hits[slug] = max(hits[slug], _AS_KIND)
            for slug, how in hits.items():
                if how >= least and (slug in heads or slug in alike):
                    found[slug] = found.get(slug, 0.0) + weight * how
        made = [Likeness(slug, covered / whole, heads.get(slug, 0.0)) for slug, covered in found.items()]
        return sorted(made, key=lambda like: (-like.score, like.slug))


def _head(name: Sequence[str]) -> str:
    """The word of a name that says what it is: the last before "for", "of" and the like."""
    for i in range(1, len(name)):
        if name[i] in _LINKS:
            return name[i - 1]
    return name[-1] if name else ""


def index_of(rulebase: RuleBase) -> Index:
    """The index of this rule base, made once."""
    made: Index = rulebase.once("index of things", Index)
    return made


class Ranking:
    """BM25 over names and glosses (Robertson and Zaragoza 2009, k1 = 1.2, b = 0.75; from memory)."""

    def __init__(self, words: Words) -> None:
        self.counts: dict[str, Counter[str]] = {}
        self.said_of: dict[str, set[str]] = {}
        for slug, thing in words.things.items():
            counts: Counter[str] = Counter()
            for text, weight in ((thing.name, 3), *((n, 2) for n in thing.names), *((g, 1) for g in thing.gloss)):
                for word in _content(lex.phrase(text)):
                    counts[stem(word)] += weight
                    self.said_of.setdefault(word, set()).add(slug)
            self.counts[slug] = counts
        lengths = {slug: c.total() for slug, c in self.counts.items()}
        mean = sum(lengths.values()) / max(len(lengths), 1)
        n = len(self.counts)
        shared = Counter(word for c in self.counts.values() for word in c)
        self.rarity = {word: math.log(1 + (n - k + 0.5) / (k + 0.5)) for word, k in shared.items()}
        self.same = _same_objects(words)
        self.points: dict[str, dict[str, float]] = {}
        for slug, counts in self.counts.items():
            length = 1.2 * (0.25 + 0.75 * lengths[slug] / mean)
            for word, often in counts.items():
                count = min(often, 6)
                self.points.setdefault(word, {})[slug] = self.rarity[word] * count * 2.2 / (count + length)

    def scores(self, weights: Mapping[str, float]) -> list[tuple[str, float]]:
        """Things by falling score for folded words, each with its weight."""
        stems: dict[str, dict[str, float]] = {}
        for word in _content(weights):
            stems.setdefault(stem(word), {})[word] = weights[word]
        found: dict[str, float] = {}
        for key, words in stems.items():
            own = [self.said_of.get(word, set()) for word in words]
            for slug, points in self.points.get(key, {}).items():
                # "Boxing" is known by itself, so a box has little to do with it.
                another = all(own) and not any(slug in things for things in own)
                weight = max(words.values()) * (_SAME_STEM if another else 1.0)
                found[slug] = found.get(slug, 0.0) + weight * points
            like: dict[str, float] = {}
            for other in self.same.get(key, frozenset()) - {key}:
                for slug, points in self.points.get(other, {}).items():
                    if slug not in self.points.get(key, {}):
                        like[slug] = max(like.get(slug, 0.0), points)
            for slug, points in like.items():
                found[slug] = found.get(slug, 0.0) + max(words.values()) * _SAME_OBJECT * points
        return sorted(found.items(), key=lambda pair: (-pair[1], pair[0]))[: 4 * MOST]

    def shared(self, slug: str, words: Sequence[str]) -> list[int]:
        """The words that pointed to a thing, by their place."""
        counts = self.counts[slug]
        own = [i for i, w in enumerate(words) if w not in lex.STOP and len(w) > 2]
        return [
            i
            for i in own
            if (key := stem(words[i])) in counts or not self.same.get(key, frozenset()).isdisjoint(counts)
        ]


def _same_objects(words: Words) -> dict[str, frozenset[str]]:
    """The stems of words that mean one object, by each of them: "serviette" and "napkin"."""
    same: dict[str, frozenset[str]] = {}
    for what in words.objects.values():
        keys = frozenset(stem(lex.fold(text)) for text in what.words if " " not in text)
        if not what.alive and len(keys) <= _FEW_WORDS:
            same |= {key: same.get(key, frozenset()) | keys for key in keys}
    return same


def ranking_of(rulebase: RuleBase) -> Ranking:
    """The ranking of this rule base's things, made once."""
    made: Ranking = rulebase.once("ranking of things", lambda base: Ranking(words_of(base)))
    return made

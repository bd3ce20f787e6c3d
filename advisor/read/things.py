"""Which thing a sentence asks for: names, forms met with what they are for, and glosses, each with its points.

A thing is taken only where it is clear: named in the place of what is made, with its head last and no other near it.
Otherwise the best candidates come back with the words that pointed to them, to be asked about.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

import snowballstemmer

from ..rulebase.models import RuleBase
from ..rulebase.words import Thing, Words, words_of
from . import lexicon as lex
from .offered import phrases
from .roles import Role, Roles
from .sentence import Match, Sentence

CLEAR, LEAD = 8.0, 2.0
"""Points at which a thing may be taken, and by how much it must lead."""
LEAST_NAMED = 6.0
"""What a thing named outright weighs among candidates, whatever its role."""
MOST = 4
"""How many candidates are offered."""
_NEAR = 8
_HOLDS = frozenset(("hold", "holding", "keep", "keeping", "carry", "carrying", "carries", "store", "storing", "stow"))
_BESIDE = (Role.PURPOSE, Role.PLACE, Role.SOURCE)
_MADE = (Role.MADE, Role.ALONE, Role.SECOND, Role.REPAIRED)


class Candidate(NamedTuple):
    """A thing that may be meant, how strongly the words point to it, and where they stand (first, last word).

    ``shaped`` says that it was found by its form and what it is for.
    """

    thing: Thing
    points: float
    words: str
    first: int
    last: int
    role: Role
    shaped: bool = False


@dataclass(frozen=True, slots=True)
class Named:
    """What a sentence asks for.

    ``taken`` is None where it is not clear; then ``candidates`` are offered, best first. ``others`` are things asked
    for besides, ``either`` says that the sentence leaves the choice, ``unread`` are nouns that change what is taken
    and were not understood (first, last word).
    """

    taken: Candidate | None = None
    candidates: tuple[Candidate, ...] = ()
    others: tuple[Candidate, ...] = ()
    either: bool = False
    unread: tuple[tuple[int, int], ...] = ()
    used: frozenset[int] = field(default=frozenset())


class Things:
    """Finds the thing of one sentence."""

    def __init__(self, rulebase: RuleBase, said: Sentence) -> None:
        self.base, self.said = rulebase, said
        self.words: Words = words_of(rulebase)
        self.material = self._material()
        self.roles = Roles(said, self.material)

    def find(self) -> Named:
        """The thing asked for, or the candidates."""
        named = list(self._named())
        shaped = list(self._shaped())
        if max((c.points for c in (*named, *shaped)), default=0.0) < CLEAR:
            named, shaped = self._only(named, shaped), self._only_shaped(named, shaped)
            shaped += self._kept()
        best: dict[str, Candidate] = {}
        for c in (*named, *shaped):
            if c.thing.slug not in best or c.points > best[c.thing.slug].points:
                best[c.thing.slug] = c
        ranked = sorted(best.values(), key=lambda c: (-c.points, c.first))
        either = self._either(named)
        if either:
            return Named(candidates=tuple(either), either=True, used=self._used(either))
        if not ranked or ranked[0].points < CLEAR:
            ranked = self._with_glosses(ranked)
            return Named(candidates=tuple(ranked[:MOST]), used=frozenset())
        lead = ranked[0]
        if others := self._of_the_same_kind(lead):
            ranked = sorted((*ranked, *(c for c in others if c.thing.slug not in best)), key=lambda c: -c.points)
            return Named(candidates=tuple(ranked[:MOST]), unread=self._unread(lead))
        rivals = [c for c in ranked[1:] if c.points > lead.points - LEAD and c.role in _MADE]
        apart = [c for c in rivals if c.last <= lead.first or lead.last <= c.first]
        if len(apart) < len(rivals):
            offered = tuple(c for c in ranked if c.points > lead.points - 2 * LEAD)[:MOST]
            return Named(candidates=offered)
        # Of several things asked for, the first is advised on and the others are said back.
        lead = min([lead, *apart], key=lambda c: c.first)
        second = tuple(c for c in [ranked[0], *apart] if c is not lead)
        unread = self._unread(lead)
        if unread and (lead.shaped or self._content(lead.first, lead.last) == 1):
            offered = (lead, *(c for c in self._with_glosses(ranked) if c.thing.slug != lead.thing.slug))
            return Named(candidates=offered[:MOST], unread=unread)
        return Named(lead, (), second, False, unread, self._used([lead, *second]))

    def _only(self, named: list[Candidate], shaped: Sequence[Candidate]) -> list[Candidate]:
        """ "My dog slips out of her collar": what alone is named is meant, if no other noun can be the thing."""
        slugs = {c.thing.slug for c in named}
        if len(slugs) != 1 or shaped or any(c.role in (Role.LIKE, Role.REFUSED, Role.PAST) for c in named):
            return named
        first = min(c.first for c in named)
        if any(self.roles.noun(i) for i in range(first)):
            return named
        return [c._replace(points=max(c.points, CLEAR + 0.5)) for c in named]

    def _only_shaped(self, named: Sequence[Candidate], shaped: list[Candidate]) -> list[Candidate]:
        """The same for a form with its object, where no other form and no name stands in the sentence."""
        places = {c.first for c in shaped}
        if named or len(places) != 1 or any(self.roles.noun(i) for i in range(min(places))):
            return shaped
        if any(c.role in (Role.LIKE, Role.REFUSED, Role.PAST) for c in shaped) or len({c.thing for c in shaped}) > 1:
            return shaped
        return [c._replace(points=max(c.points, CLEAR + 0.5)) for c in shaped]

    def _used(self, candidates: Sequence[Candidate]) -> frozenset[int]:
        return frozenset(i for c in candidates for i in range(c.first, c.last))

    # -- names

    def _matches(self) -> list[Match]:
        return [
            m for m in self.said.matches
            if m.attribute == "item" and m.value in self.words.things and m.first not in self.material
        ]  # fmt: skip

    def _material(self) -> frozenset[int]:
        """Words that name a leather where another thing is named beside: "8 oz bridle for belts"."""
        named = [m for m in self.said.matches if m.attribute == "item"]
        leathers = phrases(self.base)
        found = [m for m in named if "tannage" in leathers.get(tuple(self.said.words[m.first : m.last]), {})]
        if len({m.value for m in named}) == len({m.value for m in found}):
            return frozenset()
        return frozenset(i for m in found for i in range(m.first, m.last))

    def _named(self) -> Iterator[Candidate]:
        """Things named outright; one that only says of what kind the next noun is, is none."""
        for m in self._matches():
            role = self.roles.role(m.first)
            points = role.value + 1.5 * min(self._content(m.first, m.last) - 1, 2)
            tail = m.last
            names_use = bool({"for", "of"} & set(self.said.words[m.first : m.last]))
            if not names_use and self.roles.joined(tail):
                if tail in self.said.owner and self.said.owner[tail].attribute == "item":
                    continue
                if self._form_at(tail)[0]:
                    continue
                if self.roles.noun(tail):
                    points -= 6
            yield Candidate(self.words.things[m.value], points, self._text(m.first, m.last), m.first, m.last, role)

    def _content(self, first: int, last: int) -> int:
        return sum(w not in lex.STOP for w in self.said.words[first:last])

    def _text(self, first: int, last: int) -> str:
        start, end = self.said.span(first, last)
        return self.said.text[start:end]

    def _either(self, named: Sequence[Candidate]) -> list[Candidate]:
        """ "A tote or a backpack", "between a tote and a backpack": both, unless a life may hang on one."""
        words = self.said.words
        made = [
            c for c in named
            if (c.role in _MADE and c.points >= CLEAR - LEAD) or "between" in words[max(0, c.first - 6) : c.first]
        ]  # fmt: skip
        grave = self.said.lexicon.grave
        if any(("item", c.thing.slug) in grave for c in made):
            return []
        for c in made:
            for o in made:
                if c.last > o.first or c.thing.slug == o.thing.slug:
                    continue
                between = set(words[c.last : o.first])
                asked = "between" in words[max(0, c.first - 3) : c.first] and "and" in between
                if self.said.ored(c.last, o.first) or (asked and between <= {"and", "a", "an", "the", "my"}):
                    return [c, o]
        return []

    def _of_the_same_kind(self, lead: Candidate) -> list[Candidate]:
        """Things with the same last word that words around the lead belong to, which the lead has no use for.

        "Heavy tote" is asked about where it is no name, since another tote is called heavy.
        """
        if lead.shaped:
            return self._beside_the_object(lead)
        said = self.said
        kinds = _kinds(self.base)
        head = said.word(lead.last - 1)
        alone = lead.last - lead.first == 1
        near, i = list[int](), lead.first - 1
        while i >= 0 and lead.first - i < 4 and self.roles.joined(i + 1) and said.words[i] not in lex.STOP:
            near.append(i)
            if not self.roles.noun(i):
                # "Petrol blue tote": what stands before an adjective says more of the adjective.
                break
            i -= 1
        before = self._telling(near, lead)
        use = range(lead.last + 1, min(len(said.words), lead.last + 5)) if said.word(lead.last) in ("for", "of") else ()
        around = before | (self._telling(use, lead) if alone else frozenset())
        rivals = {s: words for s, words in kinds.by_head.get(head, {}).items() if s != lead.thing.slug}
        found = [slug for slug, words in rivals.items() if words & around]
        if not found and alone:
            found = self._of_the_living(lead)
        if not found and alone and (before or self._unread(lead)):
            # Beside a bare word of a kind, a word that may make another of it: which of the kind is asked.
            found = sorted(rivals, key=lambda slug: (-len(rivals[slug]), slug))
        return [lead._replace(thing=self.words.things[slug], points=lead.points - 1) for slug in found]

    def _of_the_living(self, lead: Candidate) -> list[str]:
        """Things that the lead's form is for an animal or a small child that is spoken of anywhere in the text."""
        form, _ = self._form_at(lead.last - 1)
        if not form:
            return []
        found: dict[str, None] = {}
        for i in range(len(self.said.words)):
            slug, _ = self._object_at(i)
            owner = self.said.owner.get(i)
            if owner and owner.attribute != "item" and owner.last - owner.first > 1:
                # "Baby blue" is a colour.
                continue
            living = slug and self.words.objects[slug].alive and not lead.first <= i < lead.last
            if living and i not in self.said.masked and self.said.scope(i)[0] != "no":
                found |= dict.fromkeys(self._made_of(form, slug))
        found.pop(lead.thing.slug, None)
        return list(found)

    def _telling(self, places: Iterable[int], lead: Candidate) -> frozenset[str]:
        """The words at ``places`` that may make another thing of the lead: no values, nothing of its own."""
        said, own = self.said, _kinds(self.base).own.get(lead.thing.slug, frozenset())
        words = {said.words[i] for i in places if i not in said.owner or said.owner[i].attribute == "item"}
        return frozenset(w for w in words if not self.roles.idle(w) or w in self.roles.young) - own

    def _beside_the_object(self, lead: Candidate) -> list[Candidate]:
        """Others of the kind where more stands before a form than what it is for: "luggage rack strap"."""
        i, covered = lead.first - 1, set[int]()
        for start in range(max(0, lead.first - 4), lead.first):
            _, n = self._object_at(start)
            covered |= set(range(start, start + n))
        more = set[str]()
        while i >= 0 and lead.first - i < 4 and self.roles.joined(i + 1) and self.said.words[i] not in lex.STOP:
            if i not in covered:
                more |= self._telling((i,), lead)
            i -= 1
        if not more:
            return []
        rivals = _kinds(self.base).by_head.get(self.said.word(lead.last - 1), {})
        found = [s for s, words in rivals.items() if words & more] or [s for s in rivals if s != lead.thing.slug][:1]
        others = (self.words.things[s] for s in found if s != lead.thing.slug)
        return [lead._replace(thing=thing, points=lead.points - 1) for thing in others]

    # -- forms and what they are for

    def _form_at(self, i: int) -> tuple[str, int]:
        """The form named by the words from ``i`` on, and how many they are."""
        return self._phrase(self.said.lexicon.forms, i)

    def _object_at(self, i: int) -> tuple[str, int]:
        if i in self.said.masked:
            return "", 0
        return self._phrase(self.said.lexicon.objects, i)

    def _phrase(self, known: Mapping[tuple[str, ...], str], i: int) -> tuple[str, int]:
        words = self.said.words
        for n in range(min(4, len(words) - i), 0, -1):
            if slug := known.get(tuple(words[i : i + n])):
                return slug, n
        return "", 0

    def _shaped(self) -> Iterator[Candidate]:
        """Things known by their form and what it is for, and the usual things of a form alone."""
        said = self.said
        i = 0
        while i < len(said.words):
            form, n = self._form_at(i)
            inside = bool(form) and self._inside_a_name(i)
            if inside and (n < 1 or self.said.owner[i].last - self.said.owner[i].first > 1):
                form = ""
            if not form:
                i += 1
                continue
            first, last = i, i + n
            i = last
            verb = said.word(first - 1) == "to"
            if self.roles.joined(last) and not verb and (self.roles.noun(last) or self._form_at(last)[0]):
                continue
            role = Role.MADE if verb else self.roles.role(first)
            # A mask for an axe is another thing than a mask.
            found = list(self._paired((form,), first, last, role, role.value - verb + 3 * inside))
            yield from found
            if not found and not inside:
                for slug in self.words.forms[form].things:
                    yield Candidate(
                        self.words.things[slug], min(role.value / 3, 4.0), self._text(first, last), first, last, role
                    )

    def _kept(self) -> Iterator[Candidate]:
        """ "Something to keep my chisels in": no form is named, only what is done with it."""
        holders = [slug for slug, form in self.words.forms.items() if form.holds]
        for i, word in enumerate(self.said.words):
            if word in _HOLDS and i not in self.said.owner:
                yield from self._paired(holders, i, i + 1, Role.ALONE, CLEAR - 1)

    def _paired(
        self, forms: Sequence[str], first: int, last: int, role: Role, points: float
    ) -> Iterator[Candidate]:
        """What the forms make with the objects around the words ``first`` to ``last``, the nearest object first."""
        found = 0
        for thing_object, a, b, near in self._objects_of(first, last):
            slugs = next((s for form in forms if (s := self._made_of(form, thing_object))), ())
            for slug in slugs:
                low, high = min(a, first), max(b, last)
                thing, words = self.words.things[slug], self._around(low, high, a, b)
                yield Candidate(thing, points + near - 1.5 * found, words, first, last, role, True)
            found += bool(slugs)

    def _made_of(self, form: str, thing_object: str) -> tuple[str, ...]:
        """What a form is for an object: as declared, else as the names of things say it of others of its kind."""
        declared = self.words.pairs.get((form, thing_object))
        return declared or _kinds(self.base).pairs.get((form, thing_object), ())

    def _around(self, low: int, high: int, a: int, b: int) -> str:
        return self._text(low, high) if high - low <= _NEAR else self._text(a, b)

    def _inside_a_name(self, i: int) -> bool:
        owner = self.said.owner.get(i)
        return owner is not None and (owner.attribute == "item" or owner.last - owner.first > 1)

    def _objects_of(self, first: int, last: int) -> Iterator[tuple[str, int, int, bool]]:
        """What a form is for: the nouns before it in its phrase, and those that "for", "to hold" and "on" lead to."""
        said = self.said
        i = first - 1
        while i >= 0 and self.roles.joined(i + 1) and first - i < 5:
            for start in range(max(0, i - 3), i + 1):
                slug, n = self._object_at(start)
                if slug and start + n == i + 1:
                    yield slug, start, i + 1, True
                    break
            i -= 1
        stop = min(len(said.words), last + _NEAR)
        j, after = last, False
        while j < stop:
            if said.words[j] in ".;!?":
                break
            slug, n = self._object_at(j)
            more = self.roles.joined(j + n) and (self._form_at(j + n)[0] or self.roles.noun(j + n))
            if slug and not more and self.roles.links(last, j):
                after = True
                if self.said.scope(j)[0] != "no":
                    yield slug, j, j + n, False
            j += n or 1
        for j in range(first - 1, max(-1, first - _NEAR), -1) if not after else ():
            if said.words[j] in ".;!?" or (said.words[j] == "," and j != first - 1):
                break
            slug, n = self._object_at(j)
            apart = j + n < first or (j + n == first and not self.roles.joined(first))
            if slug and apart and self.said.scope(j)[0] != "no":
                yield slug, j, j + n, False

    # -- words that no name fits

    def _with_glosses(self, ranked: list[Candidate]) -> list[Candidate]:
        """The candidates so far with those whose glosses share the sentence's rarer words."""
        scores = _ranking(self.base).scores(self.said.words)
        found = {
            c.thing.slug: c._replace(points=max(c.points, LEAST_NAMED)) if c.role in _BESIDE and not c.shaped else c
            for c in ranked if c.role is not Role.REFUSED and c.points > 0
        }  # fmt: skip
        for slug, score in scores:
            points = min(score / 2, 6.0)
            if slug in found:
                found[slug] = found[slug]._replace(points=found[slug].points + points)
            elif points >= 2:
                shared = _ranking(self.base).shared(slug, self.said.words)
                telling = {_stem(self.said.words[i]) for i in shared}
                heads = {_stem(name[-1]) for name in lex.lexicon(self.base).names[slug] if name}
                if len(telling) < 2 and not telling & heads:
                    continue
                words = ", ".join(self._text(i, i + 1) for i in shared)
                at = shared[0] if shared else 0
                found[slug] = Candidate(self.words.things[slug], points, words, at, at, Role.PLACE)
        return sorted(found.values(), key=lambda c: (-c.points, c.first))

    def _unread(self, lead: Candidate) -> tuple[tuple[int, int], ...]:
        """The nouns joined to the thing taken that nobody knows here."""
        found = []
        own = _kinds(self.base).own.get(lead.thing.slug, frozenset())
        i = lead.first - 1
        while i >= 0 and self.roles.joined(i + 1) and lead.first - i < 4:
            if not self.roles.noun(i) or self.said.words[i] in own:
                # "Blood red wallet": what stands before a word of colour says more of the colour.
                break
            found.append((i, i + 1))
            i -= 1
        if self.roles.joined(lead.last) and self.roles.noun(lead.last):
            found.append((lead.last, lead.last + 1))
        return tuple(found)


class _Kinds(NamedTuple):
    """How names are made: which words stand before the last one.

    ``by_head``: last word -> thing -> the other words of such names; ``own``: thing -> the words of its names;
    ``pairs``: form, object -> things named with both.
    """

    by_head: Mapping[str, Mapping[str, frozenset[str]]]
    own: Mapping[str, frozenset[str]]
    pairs: Mapping[tuple[str, str], tuple[str, ...]]


def _kinds(rulebase: RuleBase) -> _Kinds:
    made: _Kinds = rulebase.once("kinds of things", _made_kinds)
    return made


def _made_kinds(rulebase: RuleBase) -> _Kinds:
    by_head: dict[str, dict[str, frozenset[str]]] = {}
    own: dict[str, frozenset[str]] = {}
    for slug, names in lex.lexicon(rulebase).names.items():
        own[slug] = frozenset(word for name in names for word in name) - lex.STOP
        for name in names:
            if name and not {"for", "of"} & set(name):
                heads = by_head.setdefault(name[-1], {})
                heads[slug] = heads.get(slug, frozenset()) | (frozenset(name[:-1]) - lex.STOP)
    return _Kinds(by_head, own, _named_pairs(rulebase))


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


# -- ranking by glosses


@lru_cache(maxsize=20_000)
def _stem(word: str) -> str:
    return str(_stemmer().stemWord(word))


@lru_cache(maxsize=1)
def _stemmer() -> snowballstemmer.stemmer:
    return snowballstemmer.stemmer("english")


class _Ranking:
    """BM25 over names and glosses (Robertson and Zaragoza 2009, k1 = 1.2, b = 0.75; from memory)."""

    def __init__(self, words: Words) -> None:
        self.counts: dict[str, Counter[str]] = {}
        for slug, thing in words.things.items():
            counts: Counter[str] = Counter()
            for text, weight in ((thing.name, 3), *((n, 2) for n in thing.names), *((g, 1) for g in thing.gloss)):
                for word in lex.phrase(text):
                    if word not in lex.STOP and len(word) > 2:
                        counts[_stem(word)] += weight
            self.counts[slug] = counts
        self.lengths = {slug: c.total() for slug, c in self.counts.items()}
        self.mean = sum(self.lengths.values()) / max(len(self.lengths), 1)
        shared = Counter(stem for c in self.counts.values() for stem in c)
        n = len(self.counts)
        self.rarity = {stem: math.log(1 + (n - k + 0.5) / (k + 0.5)) for stem, k in shared.items()}

    def scores(self, words: Sequence[str]) -> list[tuple[str, float]]:
        """Things by falling score."""
        stems = {_stem(w) for w in words if w not in lex.STOP and len(w) > 2}
        found = []
        for slug, counts in self.counts.items():
            score = 0.0
            for stem in stems & counts.keys():
                count = min(counts[stem], 6)
                length = 0.25 + 0.75 * self.lengths[slug] / self.mean
                score += self.rarity[stem] * count * 2.2 / (count + 1.2 * length)
            if score:
                found.append((slug, score))
        return sorted(found, key=lambda pair: (-pair[1], pair[0]))[: 2 * MOST]

    def shared(self, slug: str, words: Sequence[str]) -> list[int]:
        """The words that pointed to a thing, by their place."""
        counts = self.counts[slug]
        return [i for i, w in enumerate(words) if w not in lex.STOP and len(w) > 2 and _stem(w) in counts]


def _ranking(rulebase: RuleBase) -> _Ranking:
    made: _Ranking = rulebase.once("ranking of things", lambda base: _Ranking(words_of(base)))
    return made

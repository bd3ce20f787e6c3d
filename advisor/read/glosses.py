"""Where no name fits: what the rarer words of a sentence point to, and what holds others where that is asked for."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from . import lexicon as lex
from .candidates import LEAST_NAMED, Candidate, best_first
from .kinds import index_of, ranking_of, stem
from .nouns import DOERS, Nouns
from .roles import ARTICLES, Role
from .shapes import Shapes

_HOLDER = 3.0
"""What a thing that holds others weighs more where such a thing is asked for, and what goes into it."""
_BESIDE = (Role.PURPOSE, Role.PLACE, Role.SOURCE)
_COMMON = 0.3
"""What a common word counts beside 1."""
_EVEN = 8.0
"""Up to which score of shared words each counts in full."""
_RARE = 2
"""Of how many things a word may speak to point to one of them alone."""
_FEW = 6
"""How many telling words a text may have for one of them to point alone."""


def _gloss_points(score: float) -> float:
    """What shared words of a gloss weigh, under 6 whatever their number, so that no tale outweighs a name."""
    return score / 2 if score <= _EVEN else _EVEN / 2 + 2 * (1 - math.exp((_EVEN - score) / 16))


class Glosses:
    """Ranks things by the words of one sentence; serves asking, never taking."""

    def __init__(self, nouns: Nouns, shapes: Shapes) -> None:
        self.nouns, self.base, self.said = nouns, nouns.base, nouns.said
        self.words, self.roles = nouns.words, nouns.roles
        self.shapes = shapes

    def with_glosses(self, ranked: list[Candidate]) -> list[Candidate]:
        """The candidates so far with those whose glosses share the sentence's rarer words."""
        ranking, holders = ranking_of(self.base), self._holders_asked_for()
        found = {
            c.thing.slug: c._replace(points=max(c.points, LEAST_NAMED)) if self._outright(c) else c
            for c in ranked
            if c.role is not Role.REFUSED and (c.points > 0 or c.role in _BESIDE)
            # What goes into a bag is not the bag.
            if not (holders and c.role is Role.PURPOSE and c.thing.slug not in holders)
        }
        for slug, score in ranking.scores(self._weights()):
            points = _gloss_points(score)
            if slug in found:
                found[slug] = found[slug]._replace(points=found[slug].points + points)
            elif points >= 2 and slug not in self.shapes.of_less:
                shared = [i for i in ranking.shared(slug, self.said.words) if self.nouns.tells(i)]
                if not self._points_to(slug, shared):
                    continue
                words = ", ".join(self.nouns.text(i, i + 1) for i in shared)
                at = shared[0] if shared else 0
                found[slug] = Candidate(self.words.things[slug], points, words, at, at, Role.PLACE)
        for slug in holders.keys() & found.keys():
            found[slug] = found[slug]._replace(points=found[slug].points + holders[slug])
        return sorted(found.values(), key=best_first)

    def _outright(self, c: Candidate) -> bool:
        """Whether a thing is named beside what is made by more than the bare word of a form, and is no part of it."""
        before = self.said.words[max(0, c.first - 2) : c.first]
        part = before[-1:] == ["with"] or (before[:1] == ["with"] and before[-1] in ARTICLES)
        return c.role in _BESIDE and c.points >= c.role.value and not part

    def _holders_asked_for(self) -> Mapping[str, float]:
        """ "A bag for my boxing gloves": what holds others, where that is asked for by a form and what goes in follows.

        The things of that form weigh most.
        """
        forms, of_form = self.words.forms, index_of(self.base).of_form
        holding = {held: {*of_form.get(held, ()), *form.things} for held, form in forms.items() if form.holds}
        for i in range(len(self.said.words)):
            form, n = self.nouns.form_at(i)
            asked = form in holding and self.roles.role(i) in (Role.MADE, Role.ALONE)
            if asked and self.said.word(i + n) in ("for", "to", "that"):
                others = dict.fromkeys((slug for held in holding.values() for slug in held), _HOLDER / 2)
                return others | dict.fromkeys(holding[form], _HOLDER)
        return {}

    def _weights(self) -> dict[str, float]:
        """What each word counts when glosses are compared: little if it is a common one, nothing if refused."""
        weights: dict[str, float] = {}
        for i, word in enumerate(self.said.words):
            if i in self.nouns.material or i in self.said.masked or i in self.nouns.around:
                continue
            if (word,) in self.said.lexicon.phrases and self.nouns.is_somebody(i):
                # The man of "a chap of mine" points to nothing.
                continue
            owner = self.said.owner.get(i)
            names = (owner is not None and owner.attribute == "item") or bool(self.nouns.form_at(i)[0])
            if not names or self.said.scope(i)[0] != "no":
                full = self.nouns.tells(i) or word in self.roles.persons
                weights[word] = max(weights.get(word, 0.0), 1.0 if full else _COMMON)
        return weights

    def _only_of_few(self, word: str, slug: str) -> bool:
        """Whether a stem stands in the names of this thing and of hardly any other: "serviette"."""
        index = index_of(self.base)
        named = index.named.get(word, {})
        return slug in named and len(named) <= _RARE

    def _points_to(self, slug: str, shared: Sequence[int]) -> bool:
        """Whether words point to a thing: two of them, or its head alone where little else is said."""
        telling = {stem(self.said.words[i]) for i in shared if self.said.word(i - 1) not in DOERS}
        free = {stem(self.said.words[i]) for i in shared if not self.nouns.is_value(i)}
        if len(telling) > 1 or any(self._only_of_few(word, slug) for word in telling & free):
            return True
        heads = {stem(name[-1]) for name in lex.lexicon(self.base).names[slug] if name}
        return bool(telling & heads) and sum(map(self.nouns.tells, range(len(self.said.words)))) <= _FEW

"""Which thing a sentence asks for: names, forms met with what they are for, and glosses, each with its points.

A thing is taken only where it is clear: named in the place of what is made, with its head last and no other near it.
Otherwise the best candidates come back with the words that pointed to them, to be asked about.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from ..rulebase.models import RuleBase
from ..rulebase.words import Thing, Words, words_of
from . import lexicon as lex
from .kinds import MOST, Likeness, index_of, kinds_of, ranking_of, stem
from .offered import phrases
from .roles import Role, Roles, plain_english
from .sentence import Match, Sentence

CLEAR, LEAD = 8.0, 2.0
"""Points at which a thing may be taken, and by how much it must lead."""
_HOLDER = 3.0
"""What a thing that holds others weighs more where such a thing is asked for, and what goes into it."""
LEAST_NAMED = 6.0
"""What a thing named outright weighs among candidates, whatever its role."""
_NEAR = 8
_HOLDS = frozenset(("hold", "holding", "keep", "keeping", "carry", "carrying", "carries", "store", "storing", "stow"))
_UNNAMED = frozenset(("something", "thing", "thingy", "thingie", "anything", "summat", "sumthing", "whatsit"))
_NEXT = frozenset((",", "and", "plus", ";"))
_BESIDE = (Role.PURPOSE, Role.PLACE, Role.SOURCE)
_NOT_MEANT = (Role.LIKE, Role.REFUSED, Role.PAST, Role.SOURCE, Role.REPAIRED)
_MADE = (Role.MADE, Role.ALONE, Role.SECOND, Role.REPAIRED)


_FAINT, _COVERED, _AHEAD, _HEADED = 0.35, 0.85, 0.2, 0.05
"""How much of a phrase a thing must share to be offered; to be taken, by how much it leads, and with how many names
of that head. Chosen with withheld names: a fifth of them is found so, and one in eighty is taken wrongly."""
_BETTER, _PLAINER = 0.1, 0.75
"""By how much more of a phrase must speak of another thing than of the one named for both to be offered, and how much
where that phrase says only what a thing is for."""
_BEFORE_VERBS = frozenset(("to", "can", "will", "could", "would", "should", "must", "may", "might", "i", "we", "they"))
_DOERS = frozenset(("i", "you", "he", "she", "we", "they", "who"))
"""After these a word that names a thing is a verb: "while he trims the hedge"."""
_AFTER_VERBS = frozenset(("out", "off", "up", "down", "away", "through", "him", "her", "them", "me"))
_GENERAL = frozenset(
    (
        "back",
        "bit",
        "bottom",
        "day",
        "down",
        "edge",
        "end",
        "evening",
        "few",
        "friend",
        "front",
        "good",
        "kind",
        "little",
        "look",
        "looks",
        "lot",
        "month",
        "morning",
        "new",
        "night",
        "off",
        "old",
        "out",
        "over",
        "part",
        "people",
        "piece",
        "pieces",
        "place",
        "round",
        "row",
        "shape",
        "side",
        "sort",
        "something",
        "stuff",
        "thing",
        "through",
        "top",
        "under",
        "up",
        "way",
        "week",
        "work",
        "year",
        "years",
    )
)
"""Nouns and other words that stand in many names and say little of what a thing is."""
_SUFFIXES = frozenset(("free", "less", "proof", "style", "type", "shaped", "sized"))
_USE, _MILD, _COMMON = 0.8, 0.5, 0.3
"""What a word counts that says what a thing is for, a plain adjective or person, and a common word, beside 1."""
_EVEN = 8.0
"""Up to which score of shared words each counts in full."""
_TOLD, _FAR = 4.0, 0.8
"""Points from which a thing without a recipe may be taken by what is told of it, and what share of them the next may
have."""
_LONG = 24
"""From how many words on a text is told at length, so that a bare name may be narrowed by anything in it."""
_LONGEST, _FEW = 5, 6
"""How many words before a head are looked at; how many telling words a text may have for one of them to point alone."""


def _gloss_points(score: float) -> float:
    """What shared words of a gloss weigh, under 6 whatever their number, so that no tale outweighs a name."""
    return score / 2 if score <= _EVEN else _EVEN / 2 + 2 * (1 - math.exp((_EVEN - score) / 16))


def _plainly(likes: Sequence[Likeness]) -> bool:
    """Whether the first of these is meant and none of the others."""
    lead = likes[0]
    ahead = len(likes) == 1 or lead.score - likes[1].score >= _AHEAD
    return ahead and lead.covered >= _COVERED and lead.headed >= _HEADED


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
    and were not understood (first, last word). ``instead`` are what else a thing taken with a doubt may be.
    """

    taken: Candidate | None = None
    candidates: tuple[Candidate, ...] = ()
    others: tuple[Candidate, ...] = ()
    either: bool = False
    unread: tuple[tuple[int, int], ...] = ()
    used: frozenset[int] = field(default=frozenset())
    instead: tuple[Candidate, ...] = ()


class Things:
    """Finds the thing of one sentence."""

    def __init__(self, rulebase: RuleBase, said: Sentence) -> None:
        self.base, self.said = rulebase, said
        self.words: Words = words_of(rulebase)
        self.material = self._material()
        self.of_less: set[str] = set()
        self.roles = Roles(said, self.material)

    def find(self) -> Named:
        """The thing asked for, or the candidates."""
        described = list(self._described())
        plain = [c for c in described if c.points >= CLEAR]
        named = [c for c in map(self._placed, self._named()) if not any(self._says_less(c, d) for d in plain)]
        shaped = [self._placed(c) for c in self._shaped()]
        if max((c.points for c in (*named, *shaped, *plain)), default=0.0) < CLEAR:
            named, shaped = self._only(named, shaped), self._only_shaped(named, shaped)
            shaped += self._kept()
        best: dict[str, Candidate] = {}
        for c in (*named, *shaped, *described):
            if c.thing.slug not in best or c.points > best[c.thing.slug].points:
                best[c.thing.slug] = c
        ranked = sorted(best.values(), key=lambda c: (-c.points, c.first))
        either = self._either(named)
        if either:
            return Named(candidates=tuple(either), either=True, used=self._used(either))
        if not ranked or ranked[0].points < CLEAR:
            ranked = self._with_glosses(ranked)
            if self._told_enough(ranked):
                return Named(ranked[0], used=self._used(ranked[:1]), instead=tuple(ranked[1:MOST]))
            return Named(candidates=tuple(ranked[:MOST]), used=frozenset())
        lead = ranked[0]
        first = any(c.role in (Role.MADE, Role.ALONE) and c.points >= CLEAR for c in ranked)
        if (lead.role is Role.SECOND and not first) or self._after_another(lead):
            return Named(candidates=tuple(self._with_glosses(ranked)[:MOST]))
        if others := self._of_the_same_kind(lead) or self._better_described(lead):
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
            rest = [c for c in self._with_glosses(ranked) if c.thing.slug != lead.thing.slug]
            if self._harmless(lead) and not lead.shaped and all(c.points <= lead.points - LEAD for c in rest):
                return Named(lead, (), second, False, unread, self._used([lead, *second]), tuple(rest[: MOST - 1]))
            return Named(candidates=(lead, *rest)[:MOST], unread=unread)
        return Named(lead, (), second, False, unread, self._used([lead, *second]))

    def _harmless(self, c: Candidate) -> bool:
        """Whether nobody is hurt if a thing is taken with a doubt: it may bear nothing, and no life hangs on it."""
        return not c.thing.may_bear and ("item", c.thing.slug) not in self.said.lexicon.grave

    def _told_enough(self, ranked: Sequence[Candidate]) -> bool:
        """Whether what is only told points to one thing alone. One with a recipe is asked about: it would be sold."""
        if not ranked or len(self.said.words) > _LONG:
            return False
        lead = ranked[0]
        shared = ranking_of(self.base).shared(lead.thing.slug, self.said.words)
        telling = [i for i in shared if self._tells(i) and not self._form_at(i)[0] and not self._is_value(i)]
        rare = {self.said.words[i] for i in telling} - plain_english()
        several = len({stem(word) for word in rare}) > 1
        clear = lead.points >= _TOLD and all(c.points <= lead.points * _FAR for c in ranked[1:])
        return several and clear and lead.role not in _NOT_MEANT and not lead.thing.recipe and self._harmless(lead)

    def _only(self, named: list[Candidate], shaped: Sequence[Candidate]) -> list[Candidate]:
        """ "My dog slips out of her collar": what alone is named is meant, if no other noun can be the thing."""
        slugs = {c.thing.slug for c in named}
        if len(slugs) != 1 or shaped or any(c.role in _NOT_MEANT for c in named):
            return named
        first = min(c.first for c in named)
        if any(self.roles.noun(i) or self._form_at(i)[0] for i in range(first)):
            return named
        grave = {("item", slug) for slug in slugs} & self.said.lexicon.grave
        if not grave and any(self.roles.joined(c.last) and self.roles.noun(c.last) for c in named):
            return named
        return [c._replace(points=max(c.points, CLEAR + 0.5)) for c in named]

    def _only_shaped(self, named: Sequence[Candidate], shaped: list[Candidate]) -> list[Candidate]:
        """The same for a form with its object, where no other form and no name stands in the sentence."""
        places = {c.first for c in shaped}
        if named or len(places) != 1 or any(self.roles.noun(i) for i in range(min(places))):
            return shaped
        if any(c.role in _NOT_MEANT for c in shaped) or len({c.thing for c in shaped}) > 1:
            return shaped
        return [c._replace(points=max(c.points, CLEAR + 0.5)) for c in shaped]

    def _used(self, candidates: Sequence[Candidate]) -> frozenset[int]:
        return frozenset(i for c in candidates for i in range(c.first, c.last))

    def _placed(self, c: Candidate) -> Candidate:
        """The candidate as what is there already, or comes besides, if the words around it say so."""
        if c.role in (Role.MADE, Role.ALONE) and self.roles.besides(c.first, c.last):
            return c._replace(role=Role.SECOND, points=c.points - Role.MADE.value + Role.SECOND.value)
        relative = self.said.word(c.first - 1) in ("that", "which") and c.first > 1
        if relative and c.role in (Role.MADE, Role.ALONE) and self.said.words[c.first - 2] not in _UNNAMED:
            # "A tray that lies flat" is a tray.
            return c._replace(role=Role.PURPOSE, points=Role.PURPOSE.value)
        if c.role is Role.ALONE and self.roles.there_already(c.first, c.last):
            return c._replace(role=Role.REPAIRED, points=c.points - Role.ALONE.value + Role.REPAIRED.value)
        return c

    def _after_another(self, lead: Candidate) -> bool:
        """ "Something for the tiller and a pocket": whether what was asked for first is none of the names known."""
        words = self.said.words
        for i in range(lead.first - 1):
            if words[i] not in _UNNAMED or self.roles.role(i) not in (Role.MADE, Role.ALONE):
                continue
            between = range(i + 1, lead.first)
            marks = [j for j in between if words[j] in _NEXT]
            if marks and any(self.roles.noun(j) or self._object_at(j)[0] for j in range(i + 1, marks[-1])):
                return True
        return False

    # -- names

    def _matches(self) -> list[Match]:
        return [
            m
            for m in self.said.matches
            if m.attribute == "item" and m.value in self.words.things and m.first not in self.material
        ]

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
            if m.last - m.first == 1 and self.said.word(m.first - 1) in _DOERS:
                continue
            role = self.roles.role(m.first)
            points = role.value + 1.5 * min(self._content(m.first, m.last) - 1, 2)
            tail = m.last
            names_use = bool({"for", "of"} & set(self.said.words[m.first : m.last]))
            if not names_use and self.roles.joined(tail):
                if tail in self.said.owner and self.said.owner[tail].attribute == "item":
                    continue
                if self._form_at(tail)[0]:
                    continue
                if self.roles.noun(tail) or self.said.tokens[tail - 1].owner:
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
            c
            for c in named
            if (c.role in _MADE and c.points >= CLEAR - LEAD) or "between" in words[max(0, c.first - 6) : c.first]
        ]
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
        kinds = kinds_of(self.base)
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
        if not found and alone and len(said.words) > _LONG:
            told = self._telling((i for i in range(len(said.words)) if self.roles.noun(i)), lead)
            found = [slug for slug, words in rivals.items() if words & told]
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
        said, own = self.said, kinds_of(self.base).own.get(lead.thing.slug, frozenset())
        words = {said.words[i] for i in places if not self._is_value(i)}
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
        rivals = kinds_of(self.base).by_head.get(self.said.word(lead.last - 1), {})
        found = [s for s, words in rivals.items() if words & more] or [s for s in rivals if s != lead.thing.slug][:1]
        others = (self.words.things[s] for s in found if s != lead.thing.slug)
        return [lead._replace(thing=thing, points=lead.points - 1) for thing in others]

    # -- phrases like the names of things

    def _described(self) -> Iterator[Candidate]:
        """Things whose names are made like a phrase asked for: "camel muzzle" by other muzzles and camels."""
        index = index_of(self.base)
        for head, word in enumerate(self.said.words):
            if stem(word) not in index.heads or head in self.said.masked or not self._ends_a_phrase(head):
                continue
            if word in lex.STOP and not self.said.tokens[head].plural:
                # "Leathers for oars" are things, and leather for oars is none.
                continue
            first, kinds, uses = self._phrase_at(head)
            role = self.roles.role(first)
            if kinds.keys() | uses.keys() <= lex.PLAIN or role not in (Role.MADE, Role.ALONE):
                continue
            if self._named_whole(head, kinds):
                continue
            grave = self.said.lexicon.grave
            likes = [like for like in index.like(word, kinds | uses) if ("item", like.slug) not in grave]
            sure = bool(likes) and _plainly(likes)
            for like in likes[:MOST]:
                points = role.value + 1 if sure else role.value * like.score / 2
                if like.score < _FAINT:
                    break
                text = self._text(first, head + 1)
                yield self._placed(Candidate(self.words.things[like.slug], points, text, first, head + 1, role))
                if sure:
                    break

    def _named_whole(self, head: int, kinds: Iterable[str]) -> bool:
        """Whether a name holds all the words of kind before a head, or is one that a life may hang on."""
        owner = self.said.owner.get(head)
        if owner is None or owner.attribute != "item":
            return False
        name = set(self.said.words[owner.first : owner.last])
        grave = ("item", owner.value) in self.said.lexicon.grave
        return grave or (owner.last - owner.first > 1 and set(kinds) <= name | lex.PLAIN)

    def _better_described(self, lead: Candidate) -> list[Candidate]:
        """Things that more of the words around a name or a form speak of than of the lead."""
        head = lead.last - 1
        index = index_of(self.base)
        if stem(self.said.words[head]) not in index.heads:
            return []
        _, kinds, uses = self._phrase_at(head)
        if ("item", lead.thing.slug) in self.said.lexicon.grave or self._named_whole(head, kinds):
            return []
        direct = self.said.word(lead.last) in ("for", "of")
        others = {word: weight for word, weight in (kinds | (uses if direct else {})).items() if word not in lex.PLAIN}
        likes = index.like(self.said.words[head], others)
        own = next((like.covered for like in likes if like.slug == lead.thing.slug), 0.0)
        own = 1.0 if lead.shaped else own
        least = _FAINT if kinds else _PLAINER
        better = [like for like in likes if like.covered > own + _BETTER and like.score >= least]
        if not better and not own and self._of_an_animal(others, lead):
            better = [like for like in likes if like.slug != lead.thing.slug]
            return self._of_kind(lead, better) or self._with_glosses([lead])[1:]
        return self._of_kind(lead, better)

    def _of_an_animal(self, others: Iterable[str], lead: Candidate) -> bool:
        """Whether words of kind name an animal or a child of which no name of the lead speaks."""
        own = {self.said.lexicon.objects.get((word,)) for word in kinds_of(self.base).own.get(lead.thing.slug, ())}
        found = {self.said.lexicon.objects.get((word,)) for word in others} - own - {None}
        return any(slug and self.words.objects[slug].alive for slug in found)

    def _of_kind(self, lead: Candidate, likes: Sequence[Likeness]) -> list[Candidate]:
        return [lead._replace(thing=self.words.things[like.slug], points=lead.points - 1) for like in likes[: MOST - 1]]

    def _ends_a_phrase(self, head: int) -> bool:
        """Whether the word is the last of its noun phrase, and no verb."""
        after = head + 1
        if self.said.word(head - 1) in _BEFORE_VERBS or self.said.word(after) in _SUFFIXES | _AFTER_VERBS:
            return False
        owner = self.said.owner.get(after)
        named = owner is not None and owner.attribute == "item"
        more = named or self.roles.noun(after) or bool(self._form_at(after)[0])
        return not (self.roles.joined(after) and more)

    def _phrase_at(self, head: int) -> tuple[int, dict[str, float], dict[str, float]]:
        """Where the noun phrase of a head begins, the words of kind before it and of use after it, weighted."""
        said, words = self.said, self.said.words
        first, at, kinds, uses = head, head, dict[str, float](), dict[str, float]()
        while at and head - at < _LONGEST and self.roles.joined(at) and not self.roles.governs(words[at - 1]):
            at -= 1
            if self._says_kind(at) and words[at] != words[head]:
                first = at
                kinds[words[at]] = _MILD if self.roles.idle(words[at]) else 1.0
        at = head + 1
        while at < min(len(words), head + _NEAR) and words[at] not in ".,;!?":
            if self._says_kind(at) and (self.roles.noun(at) or at in said.owner or self._object_at(at)[0]):
                owner = said.owner.get(at)
                if owner and owner.attribute == "item" and owner.last - owner.first > 1:
                    # "A belt for my knife sheath" is made for a thing of its own.
                    break
                if self.roles.links(head + 1, at) and {"for", "of"} & set(words[head + 1 : at]):
                    said_before = {*kinds, words[head]}
                    owner_too = [at - 1] if self.roles.joined(at) and self._is_living(at - 1) else []
                    used = [*owner_too, *self._joined_from(at)]
                    uses = {words[i]: _USE for i in used if words[i] not in said_before}
                break
            at += 1
        return first, kinds, uses

    def _joined_from(self, at: int) -> Iterator[int]:
        """The words of kind from ``at`` to the end of their phrase."""
        yield at
        while self.roles.joined(at + 1) and self._says_kind(at + 1):
            at += 1
            yield at
        after = self.said.word(at + 1)
        if self.roles.joined(at + 1) and self._is_value(at + 1) and after in self.said.lexicon.heads:
            # "Skins for a drum hinge": what is read as an answer may still be the head, so that the drum is not.
            yield at + 1

    def _says_kind(self, i: int) -> bool:
        """Whether the word at ``i`` may say of which kind a thing is: no value, article, verb or material."""
        owner = self.said.owner.get(i)
        if i in self.said.masked or (owner is not None and owner.attribute != "item"):
            return False
        word = self.said.words[i]
        return len(word) > 2 and (word in lex.PLAIN or word in self.roles.persons or not self.roles.idle(word))

    def _says_less(self, c: Candidate, described: Candidate) -> bool:
        """Whether a bare name is a part of a phrase that describes another thing."""
        inside = described.first <= c.first and c.last <= described.last
        return inside and c.thing.slug != described.thing.slug and self._content(c.first, c.last) == 1

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
            if said.word(first - 1) in _DOERS:
                continue
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
        """ "Something to keep my chisels in", "something for my cards": no form is named, only what goes into it."""
        holders = [slug for slug, form in self.words.forms.items() if form.holds]
        for i, word in enumerate(self.said.words):
            unnamed = word in _UNNAMED and self.said.word(i + 1) == "for"
            if (word in _HOLDS or unnamed) and i not in self.said.owner:
                yield from self._paired(holders, i, i + 1, Role.ALONE, CLEAR - 1)

    def _paired(self, forms: Sequence[str], first: int, last: int, role: Role, points: float) -> Iterator[Candidate]:
        """What the forms make with the objects around the words ``first`` to ``last``, the nearest object first."""
        found = 0
        for thing_object, a, b, near in self._objects_of(first, last):
            slugs = next((s for form in forms if (s := self._made_of_these(form, thing_object, a, b))), ())
            for slug in slugs:
                low, high = min(a, first), max(b, last)
                thing, words = self.words.things[slug], self._around(low, high, a, b)
                yield Candidate(thing, points + near - 1.5 * found, words, first, last, role, True)
            found += bool(slugs)

    def _made_of(self, form: str, thing_object: str) -> tuple[str, ...]:
        """What a form is for an object: as declared, else as the names of things say it of others of its kind."""
        declared = self.words.pairs.get((form, thing_object))
        return declared or kinds_of(self.base).pairs.get((form, thing_object), ())

    def _made_of_these(self, form: str, thing_object: str, first: int, last: int) -> tuple[str, ...]:
        """The same, said by the words ``first`` to ``last``.

        Names that speak of boxing say nothing of what is made for boxing gloves: the last word of several must be
        theirs, where no pair is declared.
        """
        slugs = self._made_of(form, thing_object)
        if last - first < 2 or (form, thing_object) in self.words.pairs:
            return slugs
        own, head = kinds_of(self.base).own, stem(self.said.words[last - 1])
        kept = tuple(slug for slug in slugs if head in map(stem, own.get(slug, ())))
        self.of_less |= set(slugs) - set(kept)
        return kept

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
        ranking, holders = ranking_of(self.base), self._holders_asked_for()
        found = {
            c.thing.slug: c._replace(points=max(c.points, LEAST_NAMED)) if c.role in _BESIDE else c
            for c in ranked
            if c.role is not Role.REFUSED and (c.points > 0 or c.role in _BESIDE)
            # What goes into a bag is not the bag.
            if not (holders and c.role is Role.PURPOSE and c.thing.slug not in holders)
        }
        for slug, score in ranking.scores(self._weights()):
            points = _gloss_points(score)
            if slug in found:
                found[slug] = found[slug]._replace(points=found[slug].points + points)
            elif points >= 2 and slug not in self.of_less:
                shared = [i for i in ranking.shared(slug, self.said.words) if self._tells(i)]
                if not self._points_to(slug, shared):
                    continue
                words = ", ".join(self._text(i, i + 1) for i in shared)
                at = shared[0] if shared else 0
                found[slug] = Candidate(self.words.things[slug], points, words, at, at, Role.PLACE)
        for slug in holders.keys() & found.keys():
            found[slug] = found[slug]._replace(points=found[slug].points + holders[slug])
        return sorted(found.values(), key=lambda c: (-c.points, c.first))

    def _holders_asked_for(self) -> Mapping[str, float]:
        """ "A bag for my boxing gloves": what holds others, where that is asked for by a form and what goes in follows.

        The things of that form weigh most.
        """
        forms, of_form = self.words.forms, index_of(self.base).of_form
        holding = {held: {*of_form.get(held, ()), *form.things} for held, form in forms.items() if form.holds}
        for i in range(len(self.said.words)):
            form, n = self._form_at(i)
            asked = form in holding and self.roles.role(i) in (Role.MADE, Role.ALONE)
            if asked and self.said.word(i + n) in ("for", "to", "that"):
                others = dict.fromkeys((slug for held in holding.values() for slug in held), _HOLDER / 2)
                return others | dict.fromkeys(holding[form], _HOLDER)
        return {}

    def _weights(self) -> dict[str, float]:
        """What each word counts when glosses are compared: little if it is a common one, nothing if refused."""
        weights: dict[str, float] = {}
        for i, word in enumerate(self.said.words):
            owner = self.said.owner.get(i)
            names = (owner is not None and owner.attribute == "item") or bool(self._form_at(i)[0])
            if not names or self.said.scope(i)[0] != "no":
                full = self._tells(i) or word in self.roles.persons
                weights[word] = max(weights.get(word, 0.0), 1.0 if full else _COMMON)
        return weights

    def _is_living(self, i: int) -> bool:
        """Whether the word at ``i`` names an animal or a person, as in "the cat's dish"."""
        slug, _ = self._object_at(i)
        return bool(slug) and self.words.objects[slug].alive

    def _is_value(self, i: int) -> bool:
        """Whether the word at ``i`` is read as an answer, as the awl of "I have an awl", and names no thing."""
        return i in self.said.owner and self.said.owner[i].attribute != "item"

    def _tells(self, i: int) -> bool:
        """Whether the word at ``i`` points to anything by itself."""
        word = self.said.words[i]
        if word in _GENERAL:
            return False
        return word in self.said.lexicon.heads or (word not in plain_english() and not self.roles.idle(word))

    def _points_to(self, slug: str, shared: Sequence[int]) -> bool:
        """Whether words point to a thing: two of them, or its head alone where little else is said."""
        telling = {stem(self.said.words[i]) for i in shared if self.said.word(i - 1) not in _DOERS}
        if len(telling) > 1:
            return True
        heads = {stem(name[-1]) for name in lex.lexicon(self.base).names[slug] if name}
        return bool(telling & heads) and sum(map(self._tells, range(len(self.said.words)))) <= _FEW

    def _unread(self, lead: Candidate) -> tuple[tuple[int, int], ...]:
        """The nouns joined to the thing taken that nobody knows here."""
        found = []
        own = kinds_of(self.base).own.get(lead.thing.slug, frozenset())
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

"""Things of the kind of another: named like the phrase that was said, or told apart by the words beside a name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from . import lexicon as lex
from .ages import ages
from .candidates import Candidate
from .glosses import Glosses
from .kinds import MOST, Likeness, index_of, kinds_of, stem
from .nouns import MODALS, Nouns
from .roles import UNNAMED, Role

_FAINT, _COVERED, _AHEAD, _HEADED = 0.35, 0.85, 0.2, 0.05
"""How much of a phrase a thing must share to be offered; to be taken, by how much it leads, and with how many names
of that head. Chosen with withheld names: a fifth of them is found so, and one in eighty is taken wrongly."""
_BETTER, _PLAINER = 0.1, 0.75
"""By how much more of a phrase must speak of another thing than of the one named for both to be offered, and how much
where that phrase says only what a thing is for."""
_WHOLE = 0.6
"""What a whole name counts at least as covering of a phrase with what it is for."""
_IN_NAMES = 0.7
"""How far a word far from a head must speak of a thing: by its names, or one for a like object."""
LONG = 24
"""From how many words on a text is told at length, so that a bare name may be narrowed by anything in it."""


def _plainly(likes: Sequence[Likeness]) -> bool:
    """Whether the first of these is meant and none of the others."""
    lead = likes[0]
    ahead = len(likes) == 1 or lead.score - likes[1].score >= _AHEAD
    return ahead and lead.covered >= _COVERED and lead.headed >= _HEADED


class Kin:
    """Finds what a phrase of one sentence describes, and what else of its kind a name may be."""

    def __init__(self, nouns: Nouns, glosses: Glosses) -> None:
        self.nouns, self.base, self.said = nouns, nouns.base, nouns.said
        self.words, self.roles = nouns.words, nouns.roles
        self.glosses = glosses
        self.far = False
        """Whether the things of the same kind found last were found only by words far from the lead."""

    def described(self) -> Iterator[Candidate]:
        """Things whose names are made like a phrase asked for: "camel muzzle" by other muzzles and camels."""
        index = index_of(self.base)
        for head, word in enumerate(self.said.words):
            if stem(word) not in index.heads or head in self.said.masked or not self.nouns.ends_a_phrase(head):
                continue
            if self.nouns.is_somebody(head):
                continue
            if word in lex.STOP and not self.said.tokens[head].plural:
                # "Leathers for oars" are things, and leather for oars is none.
                continue
            first, kinds, uses = self.nouns.phrase_at(head)
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
                text = self.nouns.text(first, head + 1)
                yield self.nouns.placed(Candidate(self.words.things[like.slug], points, text, first, head + 1, role))
                if sure:
                    break

    def headed(self) -> Iterator[Candidate]:
        """Things of the head asked for that words told anywhere speak of; for asking only: "a cap ... for my thumb"."""
        index, said = index_of(self.base), self.said
        for head, word in enumerate(said.words):
            if stem(word) not in index.heads or head in said.masked or not self.nouns.ends_a_phrase(head):
                continue
            if self.nouns.is_somebody(head) or word in UNNAMED:
                continue
            if said.word(head - 2) in MODALS and not said.tokens[head].plural:
                # What stands right behind a verb is a part of it: "he can lean back".
                continue
            role = self.roles.role(head)
            if role not in (Role.MADE, Role.ALONE, Role.SECOND) or self.nouns.of_a_body(head) or word in lex.STOP:
                continue
            others = {
                w: 1 / (1 + abs(i - head) / 8)
                for i, w in enumerate(said.words)
                if i != head and w != word and self.nouns.tells(i) and not self.nouns.is_value(i)
            }
            for like in index.like(word, others, _IN_NAMES)[:MOST]:
                if like.slug in self.glosses.shapes.of_less:
                    continue
                told = like.covered * sum(weight * index.rarity(stem(w)) for w, weight in others.items())
                points = 2 + min(told / 2, 3.5)
                thing = self.words.things[like.slug]
                yield Candidate(thing, points, self.nouns.text(head, head + 1), head, head + 1, role)

    def of_the_same_kind(self, lead: Candidate) -> list[Candidate]:
        """Things with the same last word that words around the lead belong to, which the lead has no use for.

        "Heavy tote" is asked about where it is no name, since another tote is called heavy.
        """
        self.far = False
        if lead.shaped:
            return self._beside_the_object(lead) or self._named_with_its_word(lead)
        said, adults = self.said, ages(self.base).adults
        kinds = kinds_of(self.base)
        head = said.word(lead.last - 1)
        alone = lead.last - lead.first == 1
        near, i = list[int](), lead.first - 1
        while i >= 0 and lead.first - i < 4 and self.roles.joined(i + 1) and said.words[i] not in lex.STOP:
            if said.words[i] not in adults:
                # "Mens belt" is a belt.
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
        if not found and alone and len(said.words) > LONG:
            told = self._telling((i for i in range(len(said.words)) if self.roles.noun(i)), lead)
            found = [slug for slug, words in rivals.items() if words & told]
            self.far = bool(found)
        if not found and alone and (before or self.unread(lead)):
            # Beside a bare word of a kind, a word that may make another of it: which of the kind is asked.
            found = sorted(rivals, key=lambda slug: (-len(rivals[slug]), slug))
        return [lead._replace(thing=self.words.things[slug], points=lead.points - 1) for slug in found]

    def _of_the_living(self, lead: Candidate) -> list[str]:
        """Things that the lead's form is for an animal or a small child that is spoken of anywhere in the text."""
        form, _ = self.nouns.form_at(lead.last - 1)
        if not form:
            return []
        found: dict[str, None] = {}
        for i in range(len(self.said.words)):
            slug, _ = self.nouns.object_at(i)
            owner = self.said.owner.get(i)
            if owner and owner.attribute != "item" and owner.last - owner.first > 1:
                # "Baby blue" is a colour.
                continue
            living = slug and self.words.objects[slug].alive and not lead.first <= i < lead.last
            if living and i not in self.said.masked and self.said.scope(i)[0] != "no":
                found |= dict.fromkeys(self.nouns.made_of(form, slug))
        found.pop(lead.thing.slug, None)
        return list(found)

    def _telling(self, places: Iterable[int], lead: Candidate) -> frozenset[str]:
        """The words at ``places`` that may make another thing of the lead: no values, nothing of its own."""
        said, own = self.said, kinds_of(self.base).own.get(lead.thing.slug, frozenset())
        words = {said.words[i] for i in places if not self.nouns.is_value(i)}
        return frozenset(w for w in words if not self.roles.idle(w) or w in self.roles.young) - own

    def _beside_the_object(self, lead: Candidate) -> list[Candidate]:
        """Others of the kind where more stands before a form than what it is for: "luggage rack strap"."""
        i, covered = lead.first - 1, self._worn_on(lead)
        for start in range(max(0, lead.first - 4), lead.first):
            _, n = self.nouns.object_at(start)
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

    def _worn_on(self, lead: Candidate) -> set[int]:
        """The parts of a body before a form of which it is told what it is for: "leg straps for a hawk"."""
        if self.said.word(lead.last) not in ("for", "on", "to"):
            return set()
        objects = [(i, self.nouns.object_at(i)[0]) for i in range(max(0, lead.first - 4), lead.first)]
        return {i for i, slug in objects if slug and self.words.objects[slug].body}

    def _one_name(self, slug: str, words: Iterable[str], form: str = "") -> bool:
        """Whether one name of a thing holds all the words, and a word of the form if one is given."""
        forms, stems = index_of(self.base).forms, {stem(word) for word in words}
        return any(
            stems <= set(map(stem, name)) and (not form or form in {forms.get(word) for word in name})
            for name in self.said.lexicon.names[slug]
        )

    def _named_with_its_word(self, lead: Candidate) -> list[Candidate]:
        """Others of the form in whose names the very word stands that the lead is made for only as one of its kind.

        A sleeve for any kitchen knife is a sheath, and a "santoku guard" is known: which of them is asked.
        """
        form, _ = self.nouns.form_at(lead.first)
        index, head = index_of(self.base), self.said.word(lead.last - 1)
        rivals: dict[str, None] = {}
        for at in range(max(0, lead.first - 6), min(len(self.said.words), lead.last + 6)):
            slug, m = self.nouns.object_at(at)
            before = at + m == lead.first and self.roles.joined(lead.first)
            linked = before or (at >= lead.last and self.said.word(lead.last) in ("for", "of", "to"))
            if not (form and slug and linked) or lead.thing.slug not in self.nouns.made_of(form, slug):
                continue
            named = index.named.get(stem(self.said.word(at + m - 1)), {})
            own = named.get(lead.thing.slug, 0.0)
            if own >= _IN_NAMES and at + m == lead.first:
                return []
            alike = index.of_form.get(form, set()) | index.heads.get(stem(head), {}).keys()
            word = self.said.word(at + m - 1)
            if own < _IN_NAMES:
                rivals |= dict.fromkeys(s for s in named if s in alike and self._one_name(s, [word], form))
        rivals.pop(lead.thing.slug, None)
        return [lead._replace(thing=self.words.things[s], points=lead.points - 1) for s in list(rivals)[: MOST - 1]]

    def _named_whole(self, head: int, kinds: Iterable[str]) -> bool:
        """Whether a name holds all the words of kind before a head, or is one that a life may hang on."""
        owner = self.said.owner.get(head)
        if owner is None or owner.attribute != "item" or head in self.nouns.carriers:
            return False
        name = set(self.said.words[owner.first : owner.last])
        grave = ("item", owner.value) in self.said.lexicon.grave
        return grave or (owner.last - owner.first > 1 and set(kinds) <= name | lex.PLAIN)

    def better_described(self, lead: Candidate) -> list[Candidate]:
        """Things that more of the words around a name or a form speak of than of the lead."""
        head = lead.last - 1
        index = index_of(self.base)
        if stem(self.said.words[head]) not in index.heads:
            return []
        _, kinds, uses = self.nouns.phrase_at(head)
        if ("item", lead.thing.slug) in self.said.lexicon.grave:
            return []
        direct = self.said.word(lead.last) in ("for", "of")
        # A name says all that it says, but not what follows: a "saddle bag for a dog".
        whole = self._named_whole(head, kinds)
        if whole and not (direct and uses):
            return []
        others = {word: weight for word, weight in (kinds | (uses if direct else {})).items() if word not in lex.PLAIN}
        others |= dict.fromkeys(self.said.words[lead.first : head] if whole else (), 1.0)
        likes = index.like(self.said.words[head], others)
        own = next((like.covered for like in likes if like.slug == lead.thing.slug), 0.0)
        own = 1.0 if lead.shaped else max(own, _WHOLE) if whole else own
        least = _FAINT if kinds else _PLAINER
        better = [like for like in likes if like.covered > own + _BETTER and like.score >= least]
        if whole:
            name = [stem(word) for word in self.said.words[lead.first : head] if word not in lex.STOP]
            name = [word for word in self.said.words[lead.first : head] if word not in lex.STOP]
            better = [
                k
                for k in better
                if k.headed and any(self._one_name(k.slug, [*name, use, self.said.words[head]]) for use in uses)
            ]
        if not better and not own and self._of_an_animal(others, lead):
            better = [like for like in likes if like.slug != lead.thing.slug]
            return self._of_kind(lead, better) or self.glosses.with_glosses([lead])[1:]
        return self._of_kind(lead, better)

    def _of_an_animal(self, others: Iterable[str], lead: Candidate) -> bool:
        """Whether words of kind name an animal or a child of which no name of the lead speaks."""
        own = {self.said.lexicon.objects.get((word,)) for word in kinds_of(self.base).own.get(lead.thing.slug, ())}
        found = {self.said.lexicon.objects.get((word,)) for word in others} - own - {None}
        return any(slug and self.words.objects[slug].alive for slug in found)

    def _of_kind(self, lead: Candidate, likes: Sequence[Likeness]) -> list[Candidate]:
        return [lead._replace(thing=self.words.things[like.slug], points=lead.points - 1) for like in likes[: MOST - 1]]

    def _said_by_its_object(self, lead: Candidate) -> frozenset[str]:
        """The words right before a form that name what it is for."""
        form, _ = self.nouns.form_at(lead.first)
        found = set[str]()
        for start in range(max(0, lead.first - 4), lead.first) if lead.shaped and form else ():
            slug, n = self.nouns.object_at(start)
            if slug and start + n == lead.first and lead.thing.slug in self.nouns.made_of(form, slug):
                found |= set(self.said.words[start : start + n])
        return frozenset(found)

    def unread(self, lead: Candidate) -> tuple[tuple[int, int], ...]:
        """The nouns joined to the thing taken that nobody knows here."""
        found = []
        own = kinds_of(self.base).own.get(lead.thing.slug, frozenset()) | ages(self.base).adults
        own |= self._said_by_its_object(lead)
        i = lead.first - 1
        while i >= 0 and self.roles.joined(i + 1) and lead.first - i < 4:
            if not self.roles.noun(i) or self.said.words[i] in own | lex.OF_LEATHER:
                # "Blood red wallet": what stands before a word of colour says more of the colour.
                break
            found.append((i, i + 1))
            i -= 1
        # Of two nouns the first is seldom a plural: nothing is added to "tool rolls chisels".
        several = self.said.tokens[lead.last - 1].plural
        if self.roles.joined(lead.last) and self.roles.noun(lead.last) and not several:
            found.append((lead.last, lead.last + 1))
        return tuple(found)

"""The nouns of a sentence looked up: names, forms and objects, and where their phrases begin and end."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from ..rulebase.models import RuleBase
from ..rulebase.words import Words, words_of
from . import lexicon as lex
from .acts import acts_of
from .candidates import Candidate
from .hints import usual_sizes
from .kinds import index_of, kinds_of, stem
from .numbers import Size
from .offered import phrases
from .purposes import purposes
from .roles import ARTICLES, PERSONS, UNNAMED, Role, Roles
from .sentence import Match, Sentence

NEAR = 8
_BEFORE_VERBS = frozenset(("to", "can", "will", "could", "would", "should", "must", "may", "might", "i", "we", "they"))
DOERS = frozenset(("i", "you", "he", "she", "we", "they", "who"))
"""After these a word that names a thing is a verb: "while he trims the hedge"."""
MODALS = frozenset(("can", "could", "will", "would", "should", "must", "may", "might", "cannot", "cant"))
"""Words after which a word that names a thing is a verb: "so that I can brace"."""
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
_USE, _MILD = 0.8, 0.5
"""What a word counts that says what a thing is for, and a plain adjective or person, beside 1."""
_CUTS = frozenset(("cut", "form"))
"""Decisions of which a word says that hide is bought and not a thing."""
RELATIVE = ("that", "which")
_CARRIED = frozenset(("carry", "mount", "mounted", "hung"))
"""What stands behind the noun on which something is carried: "belt carry"."""
_NEARBY = frozenset(("near", "by", "at", "beside", "behind", "beyond", "outside"))
OWNERS = frozenset(("my", "his", "her", "their", "your", "our", "someone", "somebody"))
_LEADING = lex.folded(
    """for to that which behind on onto over under underneath beneath round around inside across against along
    between"""
)
"""Words that lead from a piece of leather to what becomes of it."""
_LONGEST = 5
"""How many words before a head are looked at."""


class Nouns:
    """Looks up the nouns of one sentence; ``material`` are words that name a leather and no thing."""

    def __init__(self, rulebase: RuleBase, said: Sentence) -> None:
        self.base, self.said = rulebase, said
        self.words: Words = words_of(rulebase)
        self.material = self._material()
        self.roles = Roles(said, self.material)
        self.carriers = frozenset(
            i for m in self.matches() if self._only_leather(m) and self._becomes(m) for i in range(m.first, m.last)
        )
        self.around = self._around()

    def matches(self) -> list[Match]:
        """Every thing that the sentence names."""
        return [
            m
            for m in self.said.matches
            if m.attribute == "item" and m.value in self.words.things and m.first not in self.material
            if m.last - m.first > 1 or not (self.is_somebody(m.first) or self._is_a_verb(m.first))
        ]

    def _around(self) -> frozenset[int]:
        """The nouns that say where something is, where no thing is named that is made of them.

        "Something so my pens don't leak in my briefcase", "the stuff by the door": what stands before the preposition
        is looked after or asked about, and the briefcase and the door are only around it.
        """
        said, found = self.said, set[int]()
        known = usual_sizes(self.base)
        found |= self.carried
        asks = all(a.kind == "question" for a in acts_of(said.text))
        of_leather = known.sold | known.pieces | lex.OF_LEATHER | {"what", "whats", "one"}
        unnamed = subject = False
        for i, word in enumerate(said.words):
            if word in ".;!?":
                unnamed = subject = False
            elif word in UNNAMED and self.roles.role(i) in (Role.MADE, Role.ALONE):
                unnamed, subject = True, False
            elif self.roles.places(i):
                here = self._led_to(i)
                stuff = asks and not set(said.words[max(0, i - 4) : i]).isdisjoint(of_leather)
                if (unnamed and subject) or (stuff and said.word(i + 1) in ("the", "your", "that")):
                    found |= here
                    subject = True
            elif unnamed and i not in found and said.word(i - 1) not in _BEFORE_VERBS | {*RELATIVE}:
                subject = subject or self.roles.noun(i) or bool(self.object_at(i)[0])
        return frozenset(found)

    @cached_property
    def carried(self) -> frozenset[int]:
        """The nouns on which something is carried: "belt carry", unlike what straps carry."""
        found, words = set[int](), self.said.words
        for i in range(1, len(words) - 1):
            noun = words[i] not in lex.STOP and words[i] not in _BEFORE_VERBS and self.roles.joined(i + 1)
            done = not self.roles.joined(i + 2) or (words[i + 2] in lex.STOP and words[i + 2] not in ARTICLES)
            if noun and done and words[i + 1] in _CARRIED:
                found.add(i)
        return frozenset(found)

    def _led_to(self, i: int) -> set[int]:
        """The words of the noun phrase that the preposition at ``i`` leads to."""
        said, at = self.said, i + 1
        while at < len(said.words) and (said.words[at] in ARTICLES or said.words[at] in OWNERS):
            at += 1
        last = at
        while last < len(said.words) and (last == at or self.roles.joined(last)):
            if said.words[last] in lex.STOP or not said.words[last][0].isalnum() or self.roles.places(last):
                break
            last += 1
        return set(range(at, last))

    def _only_leather(self, m: Match) -> bool:
        """Whether a name says no more than that it is a piece of leather: "bit of leather", "leather panel"."""
        known = usual_sizes(self.base)
        return set(self.said.words[m.first : m.last]) <= known.pieces | known.leftovers | lex.OF_LEATHER | ARTICLES | {
            "of"
        }

    def _becomes(self, m: Match) -> bool:
        """Whether what becomes of a piece of leather follows: "a bit of leather to make hinges", "for a stool"."""
        said, own = self.said, index_of(self.base).named
        leads = False
        for i in range(m.last, min(len(said.words), m.last + 2 * NEAR)):
            if said.words[i] in ".;!?":
                return False
            leads = leads or said.words[i] in _LEADING
            if not leads or said.words[i] in _LEADING or m.value in own.get(stem(said.words[i]), {}):
                continue
            owner = said.owner.get(i)
            named = owner is not None and owner.attribute == "item" and owner.value != m.value
            if named or self.form_at(i)[0] or self.object_at(i)[0] or (self.roles.noun(i) and self.tells(i)):
                return True
        return False

    def _is_a_verb(self, i: int) -> bool:
        """Whether the word at ``i`` tells what a thing does: "the blade rattles about"."""
        third = self.said.tokens[i].plural and self.roles.joined(i) and self.roles.joined(i + 1)
        return third and self.said.word(i + 1) in _AFTER_VERBS | {"about", "around", "against", "loose"}

    def is_somebody(self, i: int) -> bool:
        """Whether the word at ``i`` names a person: "a chap of mine" wears no chaps."""
        if self.said.words[i] not in PERSONS or self.said.tokens[i].plural:
            return False
        after = self.said.word(i + 1)
        # "Chap splits" are for chaps.
        return not (self.roles.joined(i + 1) and (self.roles.noun(i + 1) or bool(phrases(self.base).get((after,)))))

    def _material(self) -> frozenset[int]:
        """Words that name a leather where another thing is named beside: "8 oz bridle for belts"."""
        named = [m for m in self.said.matches if m.attribute == "item"]
        leathers = phrases(self.base)
        found = [
            m
            for m in named
            # "Soles for clogs" are things, and sole is a leather.
            if not self.said.tokens[m.last - 1].plural
            and "tannage" in leathers.get(tuple(self.said.words[m.first : m.last]), {})
        ]
        if len({m.value for m in named}) == len({m.value for m in found}):
            found = []
        sold = {i for i in range(len(self.said.words)) if self._sold_as_leather(i, leathers)}
        return self.said.at_hand.union(sold, *(range(m.first, m.last) for m in found))

    def _sold_as_leather(self, i: int, leathers: Mapping[tuple[str, ...], Mapping[str, object]]) -> bool:
        """ "2 shoulders 8 oz bridle": whether a cut of the hide stands beside a name of a leather, and no article."""
        words = self.said.words
        if "tannage" not in leathers.get((words[i],), {}) or self.said.word(i - 1) in ARTICLES:
            return False
        near = range(max(0, i - _LONGEST), min(len(words), i + 2))
        return any(_CUTS & leathers.get((words[j],), {}).keys() for j in near if j != i)

    def called_after(self, m: Match) -> bool:
        """Whether the words name a leather after a thing: "jacket lamb", "skirt suede"."""
        if not self.roles.joined(m.last) or self.said.tokens[m.last - 1].plural:
            return False
        word = self.said.words[m.last]
        return word in lex.OF_LEATHER or bool(phrases(self.base).get((word,)))

    def content(self, first: int, last: int) -> int:
        """How many words of content stand from ``first`` to ``last``."""
        return sum(w not in lex.STOP for w in self.said.words[first:last])

    def text(self, first: int, last: int) -> str:
        """The words from ``first`` to ``last`` as they were written."""
        start, end = self.said.span(first, last)
        return self.said.text[start:end]

    def size_noun(self, size: Size) -> str:
        """The last word of a size, as the notebook of "A5 notebook"."""
        return lex.fold(self.said.text[size.start : size.end].split()[-1])

    def form_at(self, i: int) -> tuple[str, int]:
        """The form named by the words from ``i`` on, and how many they are."""
        if i in self.said.at_hand or i in self.said.idiomatic or self.of_a_body(i):
            return "", 0
        if self.roles.places(i) and self.said.word(i - 1) not in ARTICLES | PERSONS and self.roles.joined(i):
            # "The band inside his hat" speaks of no inside.
            return "", 0
        return self._phrase(self.said.lexicon.forms, i)

    def of_a_body(self, i: int) -> bool:
        """Whether the word at ``i`` is a part of somebody's body: "her heel", "under my sole"."""
        slug = self.said.lexicon.objects.get((self.said.word(i),), "")
        return slug != "" and self.words.objects[slug].body and self.said.word(i - 1) in OWNERS

    def object_at(self, i: int) -> tuple[str, int]:
        """The object named by the words from ``i`` on, and how many they are."""
        if i in self.said.masked or i in self.said.at_hand or self._names_a_leather(i):
            return "", 0
        sense, n = self._phrase(self.said.lexicon.senses, i)
        if sense and not self.told.isdisjoint(self.words.objects[sense].beside):
            return sense, n
        slug, n = self._phrase(self.said.lexicon.objects, i)
        owner = self.said.owner.get(i)
        if slug and self.words.objects[slug].alive and owner and owner.attribute != "item" and owner.last > i + n:
            # "Baby blue" is a colour.
            return "", 0
        return slug, n

    @cached_property
    def told(self) -> frozenset[str]:
        """Every object that the sentence speaks of."""
        return frozenset(self._phrase(self.said.lexicon.objects, i)[0] for i in range(len(self.said.words)))

    def part_of_its_whole(self, i: int, n: int) -> str:
        """What "the head" is where an axe is told of before it or behind it ("the blade of my scythe"); "" if no part.

        The nearest before it counts where nothing follows.
        """
        said, parts = self.said, self.said.lexicon.parts
        part = said.word(i + n - 1)
        if n > 1 or said.word(i - 1) not in ("the", "its", "their"):
            return ""
        behind = [self.object_at(j)[0] for j in range(i + n + 1, min(i + n + 5, len(said.words)))]
        wholes = behind if said.word(i + n) == "of" else [self.object_at(j)[0] for j in reversed(range(i))]
        return next((parts[whole, part] for whole in wholes if (whole, part) in parts), "")

    def _names_a_leather(self, i: int) -> bool:
        """Whether the word at ``i`` is read as a leather, as in "bridle leather"."""
        owner = self.said.owner.get(i)
        return owner is not None and owner.attribute in purposes(self.base).wishes[:1] and not self.said.tokens[i].owner

    def _phrase(self, known: Mapping[tuple[str, ...], str], i: int) -> tuple[str, int]:
        words = self.said.words
        for n in range(min(4, len(words) - i), 0, -1):
            if slug := known.get(tuple(words[i : i + n])):
                return slug, n
        return "", 0

    def made_of(self, form: str, thing_object: str) -> tuple[str, ...]:
        """What a form is for an object: as declared, else as the names of things say it of others of its kind."""
        declared = self.words.pairs.get((form, thing_object))
        return declared or kinds_of(self.base).pairs.get((form, thing_object), ())

    def inside_a_name(self, i: int) -> bool:
        """Whether the word at ``i`` stands in the name of a thing, or in several words that say a value."""
        owner = self.said.owner.get(i)
        named = owner is not None and (owner.attribute == "item" or owner.last - owner.first > 1)
        return named and i not in self.carriers

    def is_living(self, i: int) -> bool:
        """Whether the word at ``i`` names an animal or a person, as in "the cat's dish"."""
        slug, _ = self.object_at(i)
        return bool(slug) and self.words.objects[slug].alive

    def only_near(self, i: int) -> bool:
        """Whether the noun at ``i`` only says where something is: "near the stove", "by the back door"."""
        at = i - 1
        while at >= 0 and i - at < 4 and self.roles.joined(at + 1) and not self.roles.governs(self.said.words[at]):
            at -= 1
        while self.said.word(at) in ARTICLES:
            at -= 1
        return self.said.word(at) in _NEARBY

    def is_value(self, i: int) -> bool:
        """Whether the word at ``i`` is read as an answer, as the awl of "I have an awl", and names no thing."""
        return i in self.said.owner and self.said.owner[i].attribute != "item"

    def tells(self, i: int) -> bool:
        """Whether the word at ``i`` points to anything by itself."""
        word = self.said.words[i]
        if word in _GENERAL:
            return False
        return word in self.said.lexicon.heads or (word not in lex.plain_english() and not self.roles.idle(word))

    def ends_a_phrase(self, head: int) -> bool:
        """Whether the word is the last of its noun phrase, and no verb."""
        after = head + 1
        if self.said.word(head - 1) in _BEFORE_VERBS or self.said.word(after) in _SUFFIXES | _AFTER_VERBS:
            return False
        owner = self.said.owner.get(after)
        named = owner is not None and owner.attribute == "item"
        more = named or self.roles.noun(after) or bool(self.form_at(after)[0])
        return not (self.roles.joined(after) and more)

    def phrase_at(self, head: int) -> tuple[int, dict[str, float], dict[str, float]]:
        """Where the noun phrase of a head begins, the words of kind before it and of use after it, weighted."""
        said, words = self.said, self.said.words
        first, at, kinds, uses = head, head, dict[str, float](), dict[str, float]()
        while at and head - at < _LONGEST and self.roles.joined(at) and not self.roles.governs(words[at - 1]):
            at -= 1
            if self._says_kind(at) and words[at] != words[head]:
                first = at
                kinds[words[at]] = _MILD if self.roles.idle(words[at]) else 1.0
        at = head + 1
        while at < min(len(words), head + NEAR) and words[at] not in ".,;!?":
            if self._says_kind(at) and (self.roles.noun(at) or at in said.owner or self.object_at(at)[0]):
                owner = said.owner.get(at)
                if owner and owner.attribute == "item" and owner.last - owner.first > 1:
                    # "A belt for my knife sheath" is made for a thing of its own.
                    break
                if self.roles.links(head + 1, at) and {"for", "of"} & set(words[head + 1 : at]):
                    said_before = {*kinds, words[head]}
                    owner_too = [at - 1] if self.roles.joined(at) and self.is_living(at - 1) else []
                    used = [*owner_too, *self._joined_from(at)]
                    uses = {words[i]: _USE for i in used if words[i] not in said_before}
                break
            at += 1
        return first, kinds, uses

    def start_of(self, first: int) -> int:
        """Where a noun phrase begins whose known part begins at ``first``, with its article."""
        while first and self.roles.joined(first) and not self.roles.governs(self.said.words[first - 1]):
            first -= 1
        while self.said.word(first - 1) in ARTICLES:
            first -= 1
        return first

    def _joined_from(self, at: int) -> Iterator[int]:
        """The words of kind from ``at`` to the end of their phrase."""
        yield at
        while self.roles.joined(at + 1) and self._says_kind(at + 1):
            at += 1
            yield at
        after = self.said.word(at + 1)
        if self.roles.joined(at + 1) and self.is_value(at + 1) and after in self.said.lexicon.heads:
            # "Skins for a drum hinge": what is read as an answer may still be the head, so that the drum is not.
            yield at + 1

    def _says_kind(self, i: int) -> bool:
        """Whether the word at ``i`` may say of which kind a thing is: no value, article, verb or material."""
        owner = self.said.owner.get(i)
        word = self.said.words[i]
        beast = self.is_living(i) and word not in self.roles.persons | lex.BABY
        if i in self.said.masked or (owner is not None and owner.attribute != "item" and not beast):
            return False
        return len(word) > 2 and (word in lex.PLAIN or word in self.roles.persons or not self.roles.idle(word))

    def placed(self, c: Candidate) -> Candidate:
        """The candidate as what is there already, or comes besides, if the words around it say so."""
        if c.role in (Role.MADE, Role.ALONE) and self.roles.besides(c.first, c.last):
            return c._replace(role=Role.SECOND, points=c.points - c.role.value + Role.SECOND.value)
        relative = self.said.word(c.first - 1) in RELATIVE and c.first > 1
        if relative and c.role in (Role.MADE, Role.ALONE) and self.said.words[c.first - 2] not in UNNAMED:
            # "A tray that lies flat" is a tray.
            return c._replace(role=Role.PURPOSE, points=Role.PURPOSE.value)
        done = c.role is Role.PLACE and self.said.word(self.start_of(c.first) - 1) == "with"
        if done and not c.shaped and self.roles.done_to(c.last):
            # "Chairs with drop-in seats, I want to do them" asks for the seats.
            return c._replace(role=Role.REPAIRED, points=c.points - Role.PLACE.value + Role.REPAIRED.value)
        if c.role is Role.ALONE and self.roles.there_already(c.first, c.last):
            return c._replace(role=Role.REPAIRED, points=c.points - Role.ALONE.value + Role.REPAIRED.value)
        return c

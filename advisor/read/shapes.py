"""Things known by a form and what it is for: "a roll for chisels", "something to keep pens in"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from . import lexicon as lex
from .candidates import CLEAR, Candidate
from .kinds import index_of, kinds_of, stem
from .nouns import DOERS, NEAR, OWNERS, RELATIVE, Nouns
from .roles import ARTICLES, PERSONS, UNNAMED, Role

_HOLDS = frozenset(("hold", "holding", "keep", "keeping", "carry", "carrying", "carries", "store", "storing", "stow"))
_THE, _LEADING = frozenset(("the", "its", "their")), frozenset(("for", "of", "on", "to", "that", "which", "from"))
_WISHED = frozenset(("must", "have", "want", "wanting", "need", "needing", "like", "try", "trying", "hoping", "going"))
_PRONOUNS = frozenset(("him", "her", "it", "them", "me", "us"))


def _item(readings: Sequence[tuple[str, str]] | None) -> str:
    """The thing among the readings of a phrase; "" without one."""
    return next((value for attribute, value in readings or () if attribute == "item"), "")


_DOING = ("it", "he", "she", "this", "that", "which", "who", "everything", "everybody", "nobody")
"""Who or what does something, before a verb that looks like a plural."""


class Shapes:
    """Meets the forms of one sentence with the objects around them.

    ``of_less`` are things whose names speak of a part of what was said, as of boxing where boxing gloves go in.
    """

    def __init__(self, nouns: Nouns) -> None:
        self.nouns, self.base, self.said = nouns, nouns.base, nouns.said
        self.words, self.roles = nouns.words, nouns.roles
        self.of_less: set[str] = set()

    def shaped(self) -> Iterator[Candidate]:
        """Things known by their form and what it is for, and the usual things of a form alone."""
        said = self.said
        i = 0
        while i < len(said.words):
            form, n = self.nouns.form_at(i)
            inside = bool(form) and self.nouns.inside_a_name(i) and not self._ends_a_value(i)
            longer = inside and self.said.owner[i].last == i + n and self._object_reaches_before(i)
            if inside and not longer and (n < 1 or self._says_more(i)):
                form = ""
            if not form or i in self.nouns.material:
                i += 1
                continue
            first, last = i, i + n
            i = last
            if said.word(first - 1) in DOERS or (said.word(first - 1) in RELATIVE and said.tokens[first].plural):
                # "Something which covers my front".
                continue
            verb = said.word(first - 1) == "to"
            if self.roles.joined(last) and not verb and (self.roles.noun(last) or self.nouns.form_at(last)[0]):
                continue
            role = Role.MADE if verb else self.roles.role(first)
            # A mask for an axe is another thing than a mask.
            found = list(self._paired((form,), first, last, role, role.value - verb + 3 * inside))
            found = found or list(self._for_the_animal(form, first, last, role))
            if not any(map(self.called_so, found)):
                found = [c._replace(points=min(c.points, CLEAR - 1)) for c in found]
            yield from found
            if not found and not inside:
                for slug in self.words.forms[form].things:
                    form_words, points = self.nouns.text(first, last), min(role.value / 3, 4.0)
                    yield Candidate(self.words.things[slug], points, form_words, first, last, role)

    def _says_more(self, i: int) -> bool:
        """Whether the name that the word at ``i`` stands in has more words than it, but for "leather"."""
        m = self.said.owner[i]
        named = [w for w in self.said.words[m.first : m.last] if w not in lex.OF_LEATHER | lex.PLAIN]
        return len(named) > 1 if m.attribute == "item" else m.last - m.first > 1

    def _for_the_animal(self, form: str, first: int, last: int, role: Role) -> Iterator[Candidate]:
        """ "We have a spaniel and I'd like to make him a lead": what a form is for the one animal told of before."""
        said = self.said
        somebody = (PERSONS - _PRONOUNS).intersection(said.words[:first])
        if role not in (Role.MADE, Role.ALONE, Role.SECOND) or somebody:
            return
        beasts = {slug for i in range(first) if self.nouns.is_living(i) for slug in [self.nouns.object_at(i)[0]]}
        pronoun = any(said.words[i] in _PRONOUNS for i in range(max(0, first - 3), first))
        listed = any(said.words[i] in ("and", "plus") for i in range(max(0, first - 3), first))
        if len(beasts) != 1 or not (pronoun or listed):
            return
        (beast,) = beasts
        for slug in self.nouns.made_of(form, beast):
            text = self.nouns.text(first, last)
            yield Candidate(self.words.things[slug], role.value, text, first, last, role, True)

    def _object_reaches_before(self, i: int) -> bool:
        """ "ID card holder": whether what a form is for begins before the name "card holder" does, and ends at it."""
        first = self.said.owner[i].first
        for start in range(max(0, i - 4), first):
            slug, n = self.nouns.object_at(start)
            if slug and start + n == i and all(self.roles.joined(j) for j in range(start + 1, i + 1)):
                return True
        return False

    def called_so(self, c: Candidate) -> bool:
        """Whether a thing is ever called by the last word of a form; if not, what it is for is no certain sign of it.

        Of names that were withheld, nine in ten were found rightly by their form and object where the thing has a name
        with that last word, three in ten where it has none.
        """
        heads = index_of(self.base).heads
        return any(c.thing.slug in heads.get(stem(word), {}) for word in self.said.words[c.first : c.last])

    def _ends_a_value(self, i: int) -> bool:
        """ "Pig lining for satchels": whether a form only ends the words of a value, and what it is for follows."""
        owner = self.said.owner.get(i)
        ends = (
            owner is not None and owner.attribute != "item" and i == owner.last - 1 and self.said.word(i + 1) == "for"
        )
        return ends and not any(m.attribute == "item" and m.first <= i < m.last for m in self.said.matches)

    def turned(self) -> Iterator[Candidate]:
        """ "A pouch for my glasses", "the pouch of my glasses" are named as the glasses pouch is.

        "To cover a bar stool" is named as its cover is; "a hat" may be the leather hat, and is asked.
        """
        words, phrases = self.said.words, self.said.lexicon.phrases
        for i, word in enumerate(words):
            role = self.roles.role(i)
            if self._done_to_what_follows(i):
                yield from self._named_backwards(i, word, Role.MADE)
                continue
            named = i in self.said.owner and not self.nouns.is_value(i)
            if role not in (Role.MADE, Role.ALONE) or named or not self.nouns.ends_a_phrase(i):
                continue
            before = words[i - 1] if self.roles.joined(i) else ""
            slug = "" if _item(phrases.get((word,))) else _item(phrases.get(("leather", word)))
            does = self.said.word(i - 1) in _DOING and self.said.tokens[i].plural
            # "It stays clean" tells what it does, and asks for no stays.
            if slug and not does and i not in self.said.owner and (not before or before in lex.STOP):
                # A gasket is seldom the leather one where an engine is spoken of.
                points = CLEAR / 2 if self._declared_for_another(i, slug) else CLEAR - 1
                yield Candidate(self.words.things[slug], points, self.nouns.text(i, i + 1), i, i + 1, role)
            if not before or not self.roles.noun(i - 1):
                yield from self._named_backwards(i, word, role)
                yield from self._of_what_was_told(i, word, role)

    def _done_to_what_follows(self, i: int) -> bool:
        """ "I want to cover a stool": whether the verb at ``i`` says by itself what is wished for."""
        said, at = self.said, i - 2
        if said.words[i] not in kinds_of(self.base).doing or said.word(i - 1) != "to" or said.scope(i)[0] == "no":
            return False
        while at >= 0 and said.words[at] in _WISHED | lex.OF_LEATHER | lex.STOP | lex.SPOKEN - UNNAMED:
            at -= 1
        return at < 0 or not said.words[at][0].isalnum()

    def _named_backwards(self, i: int, word: str, role: Role) -> Iterator[Candidate]:
        """The thing of which the name is what the word at ``i`` is for or on, and then that word."""
        words, phrases = self.said.words, self.said.lexicon.phrases
        size = next((s for s in self.said.sizes if self._leads_to(i + 1, s.at)), None)
        if size is not None and (slug := _item(phrases.get((self.nouns.size_noun(size), word)))):
            # "A cover for an A5 notebook": the noun is part of the size.
            yield Candidate(self.words.things[slug], role.value + 3, word, i, i + 1, role, True)
        for at in range(i + 1, min(len(words), i + 1 + NEAR)):
            if not words[at][0].isalnum() or words[at] in lex.OF_LEATHER:
                return
            for n in range(3, 0, -1):
                if at + n > len(words) or not self.nouns.ends_a_phrase(at + n - 1):
                    continue
                slug = self._by_its_whole(at, n, word) or _item(phrases.get((*words[at : at + n], word)))
                if not slug and self._done_to_what_follows(i):
                    slug = self._covered(word, at, n)
                if (
                    slug
                    and not self._is_somebody(at + n - 1)
                    and self._leads_to(i + 1, at)
                    and not self._part_of_another(slug, at + n)
                ):
                    text = self.nouns.text(i, at + n)
                    points = CLEAR - 1 if self._wants_its_name(slug, words[at : at + n]) else role.value + 3
                    yield Candidate(self.words.things[slug], points, text, i, i + 1, role, True)
                    return

    def _of_what_was_told(self, i: int, word: str, role: Role) -> Iterator[Candidate]:
        """ "My kitchen chairs ... new seats for them", "the seats": named as a part of what was told of before."""
        words, phrases = self.said.words, self.said.lexicon.phrases
        if i == 0 or words[i - 1] not in _THE or self.said.word(i + 1) in _LEADING:
            return
        points = role.value + 1 if role is Role.MADE and self.nouns.tells(i) else CLEAR - 1
        for last in range(i - 1, 0, -1):
            if not self.nouns.ends_a_phrase(last - 1):
                continue
            for n in range(min(3, last), 0, -1):
                slug = _item(phrases.get((*words[last - n : last], word)))
                if slug and not self._is_somebody(last - 1):
                    text = self.nouns.text(i, i + 1)
                    yield Candidate(self.words.things[slug], points, text, i, i + 1, role, True)
                    return

    def _wants_its_name(self, slug: str, what: Sequence[str]) -> bool:
        """Whether somebody may be hurt by a thing, so that a name that nobody said is not enough."""
        told = (i for i, word in enumerate(self.said.words) if word in PERSONS - _PRONOUNS)
        young = self.roles.young
        of_somebody = any(self.said.words[i] in young or not self.roles.possesses(i) for i in told)
        somebody = self.words.things[slug].may_bear and of_somebody
        grave = ("item", slug) in self.said.lexicon.grave
        return (grave or somebody) and slug != _item(self.said.lexicon.phrases.get(tuple(what)))

    def _is_somebody(self, i: int) -> bool:
        return self.nouns.is_living(i) or self.said.words[i] in self.roles.persons

    def _by_its_whole(self, at: int, n: int, word: str = "") -> str:
        """The thing named by a part, what it is a part of and ``word``: "(cover) the seat of my moped"."""
        said, tail = self.said, (*self.said.words[at : at + n], word)[: n + bool(word)]
        for whole in range(at + n + 1, min(len(said.words), at + n + NEAR)):
            for m in range(3, 0, -1):
                slug = _item(said.lexicon.phrases.get((*said.words[whole : whole + m], *tail)))
                if slug and self.roles.belongs(at + n, whole):
                    return slug
        return ""

    def _covered(self, verb: str, at: int, n: int) -> str:
        """ "To cover a scooter seat": the thing called so, if names of it end in the verb; "" if not."""
        what = tuple(self.said.words[at : at + n])
        slug = _item(self.said.lexicon.phrases.get(what)) or self._by_its_whole(at, n)
        return slug if any(name[-1:] == (verb,) for name in self.said.lexicon.names.get(slug, ())) else ""

    def _part_of_another(self, slug: str, last: int) -> bool:
        """Whether what ends before ``last`` is a part of something of which no name of a thing speaks.

        A strap for the lid on a hamper is no lid strap; a cup for the piston of a pump is a pump cup.
        """
        said, own = self.said, kinds_of(self.base).own.get(slug, frozenset())
        if said.word(last) not in ("on", "of") or said.word(last + 1) not in ARTICLES:
            return False
        whole = range(last + 2, min(len(said.words), last + 6))
        return own.isdisjoint(said.words[last + 2 : last + 6]) and not any(map(self.nouns.is_living, whole))

    def _leads_to(self, first: int, at: int) -> bool:
        """Whether the words ``first`` to ``at`` only say that one is for the other: "for my", "on my dad's old"."""
        if self._done_to_what_follows(first - 1):
            return self.roles.links(first, at)
        return self.roles.belongs(first, at)

    def _declared_for_another(self, i: int, slug: str) -> bool:
        """Whether the form at ``i`` makes another thing of an object told of anywhere, as is declared."""
        form, _ = self.nouns.form_at(i)
        objects = {self.nouns.object_at(j)[0] for j in range(len(self.said.words)) if j != i} - {""}
        made = [self.words.pairs[form, what] for what in objects if (form, what) in self.words.pairs]
        return any(slug not in slugs for slugs in made)

    def kept(self) -> Iterator[Candidate]:
        """ "Something to keep my chisels in", "something for my cards": no form is named, only what goes into it."""
        holders = [slug for slug, form in self.words.forms.items() if form.holds]
        for i, word in enumerate(self.said.words):
            unnamed = word in UNNAMED and self.said.word(i + 1) == "for"
            if (unnamed or (word in _HOLDS and not self._happens(i))) and i not in self.said.owner:
                for held in holders:
                    yield from self._paired((held,), i, i + 1, Role.ALONE, CLEAR - 1)

    def told(self) -> Iterator[Candidate]:
        """Forms asked for, or what they do, met with objects told of anywhere; for asking only, the nearest first.

        "The knife was his father's ... it wants a pocket to live in", "I would like the blade covered".
        """
        asked = list(self._asked_forms())
        for form, first, last, role in asked:
            for at in range(len(self.said.words)):
                slug, n = self.nouns.object_at(at)
                if not slug or first <= at < last or self._in_a_longer_name(at, n):
                    continue
                if self.said.scope(at)[0] == "no" or self.nouns.only_near(at):
                    continue
                near = 1 / (1 + abs(at - first) / 8)
                slug = self.nouns.part_of_its_whole(at, n) or slug
                for thing in self._made_of_these(form, slug, at, at + n):
                    words = self._around(min(at, first), max(at + n, last), at, at + n)
                    yield Candidate(self.words.things[thing], 3 + 2.5 * near, words, first, last, role, True)

    def _happens(self, i: int) -> bool:
        """Whether the verb at ``i`` tells what somebody or something does: "she keeps stabbing herself"."""
        before = self.said.word(i - 1)
        told = self.said.tokens[i].plural and before[0].isalpha() and before not in (*RELATIVE, "it")
        return told or self.said.word(i + 1).endswith("ing")

    def _in_a_longer_name(self, at: int, n: int) -> bool:
        owner = self.said.owner.get(at)
        return owner is not None and owner.attribute == "item" and owner.last - owner.first > n

    def _asked_forms(self) -> Iterator[tuple[str, int, int, Role]]:
        """Forms in the place of what is made, and the forms that do what a verb says, by their places."""
        kinds, said = kinds_of(self.base), self.said
        unnamed = not UNNAMED.isdisjoint(said.words)
        for i, word in enumerate(said.words):
            form, n = self.nouns.form_at(i)
            if form and not self.nouns.inside_a_name(i) and i not in self.nouns.material:
                role = self.roles.role(i)
                if role in (Role.MADE, Role.ALONE, Role.SECOND):
                    yield form, i, i + n, role
            elif not self._happens(i) and i not in said.owner and said.scope(i)[0] != "no":
                # "Something to put over the blade".
                verbs = {word, *(f"{before} {word}" for before in said.words[max(0, i - 3) : i] if unnamed)}
                for does in (does for verb in verbs & kinds.doing.keys() for does in kinds.doing[verb]):
                    yield does, i, i + 1, Role.PLACE

    def _paired(self, forms: Sequence[str], first: int, last: int, role: Role, points: float) -> Iterator[Candidate]:
        """What the forms make with the objects around the words ``first`` to ``last``, the nearest object first."""
        found, objects = 0, list(self._objects_of(first, last))
        bodies = {slug for slug, _, _, _ in objects if self.words.objects[slug].body}
        if bodies < {slug for slug, _, _, _ in objects}:
            # "Leg straps for a hawk": the leg says only where they are worn.
            declared = {slug for slug in bodies for form in forms if (form, slug) in self.words.pairs}
            objects = [o for o in objects if o[0] not in bodies - declared]
        for thing_object, a, b, near in objects:
            slugs = next((s for form in forms if (s := self._made_of_these(form, thing_object, a, b))), ())
            for slug in slugs:
                low, high = min(a, first), max(b, last)
                thing, words = self.words.things[slug], self._around(low, high, a, b)
                yield Candidate(thing, points + near - 1.5 * found, words, first, last, role, True)
            found += bool(slugs)

    def _made_of_these(self, form: str, thing_object: str, first: int, last: int) -> tuple[str, ...]:
        """The same, said by the words ``first`` to ``last``.

        Names that speak of boxing say nothing of what is made for boxing gloves: the last word of several must be
        theirs, where no pair is declared.
        """
        slugs = self.nouns.made_of(form, thing_object)
        if last - first < 2 or (form, thing_object) in self.words.pairs:
            return slugs
        own, head = kinds_of(self.base).own, stem(self.said.words[last - 1])
        kept = tuple(slug for slug in slugs if head in map(stem, own.get(slug, ())))
        self.of_less |= set(slugs) - set(kept)
        return kept

    def _of_a_kind(self, last: int, j: int) -> bool:
        """ "Knobs on parlour doors": whether one noun stands before the object at ``j``, and is no object itself."""
        kind = last < j - 1 and self.roles.joined(j) and self.roles.noun(j - 1) and not self.nouns.object_at(j - 1)[0]
        return kind and not self.said.words[j - 1].endswith("ing") and self.roles.links(last, j - 1)

    def _past_listed(self, last: int) -> int:
        """Past further forms that are for the same: the "and lead" of "collar and lead for a spaniel"."""
        while self.said.word(last) in ("and", "or"):
            _, n = self.nouns.form_at(last + 1)
            if not n or self.said.word(last + 1 + n) != "for":
                break
            last += 1 + n
        return last

    def _around(self, low: int, high: int, a: int, b: int) -> str:
        return self.nouns.text(low, high) if high - low <= NEAR else self.nouns.text(a, b)

    def _objects_of(self, first: int, last: int) -> Iterator[tuple[str, int, int, bool]]:
        """What a form is for: the nouns before it in its phrase, and those that "for", "to hold" and "on" lead to."""
        said = self.said
        i = first - 1
        while i >= 0 and self.roles.joined(i + 1) and first - i < 5:
            if said.words[i] in ("and", "plus") and said.words[i + 1] in ("a", "an"):
                break
            for start in range(max(0, i - 3), i + 1):
                slug, n = self.nouns.object_at(start)
                if slug and start + n == i + 1:
                    yield slug, start, i + 1, True
                    break
            i -= 1
        last = self._past_listed(last)
        stop = min(len(said.words), last + NEAR)
        j, after, begins = last, False, -1
        while j < stop:
            if said.words[j] in ".;!?":
                break
            slug, n = self.nouns.object_at(j)
            if slug and said.word(j - 1) == "to" and said.word(j + n) in ("it", "them", "him", "her", *OWNERS):
                # "A lead to match it" is for no match.
                slug = ""
            whole = self.nouns.part_of_its_whole(j, n or 1)
            slug, n = (whole, n or 1) if whole else (slug, n)
            more = self.roles.joined(j + n) and (self.nouns.form_at(j + n)[0] or self.roles.noun(j + n))
            # "Where the exhaust bolts on" is a clause, and its verb no noun.
            more = more and not ("where" in said.words[last:j] and said.tokens[j + n].plural)
            behind = self.nouns.object_at(j + n)[0] if slug and more else ""
            if behind and self.words.objects[slug].alive and self.words.objects[behind].body:
                # A hawk's legs are the hawk's.
                more = False
            at = begins if begins >= 0 else j
            if (
                slug
                and not more
                and not self.nouns.only_near(j)
                and (self.roles.links(last, at) or self._of_a_kind(last, at))
            ):
                after = True
                if self.said.scope(j)[0] != "no":
                    yield slug, j, j + n, False
            # "A cast iron skillet handle": all of it is one object.
            begins = at if behind and behind == slug else -1
            j += n or 1
        for j in range(first - 1, max(-1, first - NEAR), -1) if not after else ():
            if said.words[j] in ".;!?" or (said.words[j] == "," and j != first - 1):
                break
            if said.words[j] == "and" and said.words[j + 1] in ("a", "an"):
                # "Straps over the foot and a flat sole": two things, of which the first has its own use.
                break
            slug, n = self.nouns.object_at(j)
            apart = j + n < first or (j + n == first and not self.roles.joined(first))
            elsewhere = "," in said.words[j:first] and said.word(j - 1) in ARTICLES and said.word(j - 2) in ("on", "in")
            if slug and apart and not elsewhere and not self.nouns.only_near(j) and self.said.scope(j)[0] != "no":
                yield slug, j, j + n, False

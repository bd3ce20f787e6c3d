"""Who a sentence speaks of, and whether what it names is meant: ages of children, refusals, doubts.

What concerns somebody's life or a small child is kept when in doubt; nothing that eases a caution is taken from a
word whose spelling had to be mended.
"""

from __future__ import annotations

import re

from ..errors import shown
from ..rulebase.models import RuleBase
from ..rulebase.words import words_of
from . import lexicon as lex
from .ages import ages
from .notes import Notes
from .numbers import Size
from .purposes import purposes
from .roles import PERSONS
from .sentence import Match

_LISTING = frozenset(("or", "nor", "and", ",", "a", "an", "the", "any"))
_GROWN = 17
_IS = lex.folded("is hes shes be turn turns turning turned aged nearly almost just now past over about reached")
_LOOSE = lex.folded("be nearly almost just now past over about reached")
"""Of these a person must be the subject: "she will be 81", but "it must be about 81"."""
_MEASURED = lex.folded("it that which this width length height depth waist neck size girth number thickness round")
_SWAPPED = frozenset(("swap", "swapping", "swapped", "replace", "replacing", "replaced"))
_REFUSED_BEHIND = re.compile(
    r"(?:\w+ ){0,2}?(?:(?:is|are|was) (?:\w+ )?(?:what|the thing) (?:im|i am|id|i) (?:rather )?"
    r"(?:avoid\w*|dont want|do not want)"
    r"|not (?:wanted|needed|required)|(?:is|are) (?:hopeless|no good|no use|out)"
    r"|(?:is|are) (?:really |so |just |all )?(?:horrid|horrible|awful|ghastly|hideous|naff|tacky|a no|a pain|not for me"
    r"|not my thing|not what (?:i|we)))"
)
_LACKING = re.compile(
    r"\b(?:no|not|dont|havent|hasnt|without|lack|never) (?:\w+ ){0,4}?"
    r"(?:tool|machine|way|mean|gear|kit|gadget) (?:to|for) (?:\w+ ){0,2}$"
)
"""What is said behind these is what somebody cannot do: "not have the tool to make it thin"."""
_NOTHING_TO = re.compile(r"\bnothing to \w+ (?:the )?$")
_PLACED = frozenset(("in", "into", "near", "by", "beside", "outside", "opposite", "above", "from", "inside", "under"))
_HAS = frozenset(("the", "my", "our", "his", "her", "their"))
_USING = frozenset(("on", "in", "inside", "with", "under"))
_USED = frozenset(("it", "them", "this", "these", "that", "one"))
_AGE_ENDS = lex.folded("year yr now next this in on today soon and but so who with") | {","}
"""Words behind a bare number by which it counts nothing, so that it may be an age."""
_DECADE = re.compile(r"1[0-9]\d0s?|20\d0s")
_ABOUT = lex.folded("well at least some roughly around old only nearly over now about")
_SEEMS = lex.folded("look looks looked looking seem seems seemed appear appears appeared")
_LIKE_SO = _ABOUT | frozenset(
    ("like", "if", "it", "its", "were", "was", "is", "be", "to", "already", "as", "though", "a")
)
_SEEMING = 6
_MEASURES_ON = frozenset(("from", "to", "between", "across", "round", "around", "by", "x", "at", "on"))
"""Words behind a number by which it measures something."""
_HE = frozenset(("he", "she", "i", "hes", "shes", "who", "they", "we"))
_WHOSE = frozenset(("my", "our", "his", "her", "their", "the", "a", "an", "old", "dear"))
_STYLES = lex.folded("look style vibe feel way sort type chic fashion colour color shade")
_OLD = frozenset(("old", "antique", "vintage", "first", "original"))
_UNITS = {"month": 12, "week": 52, "year": 1}


def said_objects(notes: Notes) -> frozenset[tuple[str, ...]]:
    """The names of objects that do not live, folded."""
    found: frozenset[tuple[str, ...]] = notes.base.once("objects that do not live", _said_objects)
    return found


def _said_objects(rulebase: RuleBase) -> frozenset[tuple[str, ...]]:
    objects = words_of(rulebase).objects
    return frozenset(words for words, slug in lex.lexicon(rulebase).objects.items() if not objects[slug].alive)


class People:
    """Knows what was refused, what was only thought about, and how old somebody is; writes into ``notes``."""

    def __init__(self, notes: Notes) -> None:
        self.notes, self.said, self.by_age, self.purposes = notes, notes.said, ages(notes.base), purposes(notes.base)
        self.gone: set[tuple[str, str, tuple[int, int]]] = set()

    def allowed(self, m: Match) -> bool:
        """False when negated or only thought about; what concerns somebody's life is kept when in doubt."""
        if m.root in self.notes.refused:
            return False
        if m.value in self.by_age.easing and self.said.fixed & set(range(m.first, m.last)):
            words = " ".join(self.said.words[m.first : m.last])
            self.notes.doubt(self.said.span(m.first, m.last), f'is not spelt clearly; did you mean "{words}"?')
            self.notes.used.update(range(m.first, m.last))
            return False
        if self.lacked(m) or self.only_near(m):
            self.notes.left.append(self.said.span(m.first, m.last))
            return False
        lined = self.said.word(m.last) in self.by_age.lined and not self.asks_for_lining(m)
        if m.attribute in self.purposes.wishes and lined:
            # "Pigskin lined" says what the lining is, not what the thing is made of.
            self.notes.left.append(self.said.span(m.first, m.last))
            return False
        how, at = self.said.scope(m.root)
        if m.attribute in self.purposes.wishes and self.said.word(m.first - 1) == "used":
            # "My uncle used horsehide" wishes for nothing.
            self.notes.left.append(self.said.span(m.first, m.last))
            return False
        if not how and self.refused_behind(m):
            how, at = "no", m.first
        if how == "no" and m.attribute == "item" and self.part_refused(at, m.first):
            how = ""
        after = self.said.word(m.last)
        failing = (m.attribute, m.value) in self.said.lexicon.grave and lex.FAILING & set(self.said.words[at : m.last])
        if how == "no" and (failing or self.said.words[m.root] in lex.NO):
            how = ""
        how = "no" if after == "free" else how or ("maybe" if after in lex.MAYBE else "")
        first, last = min(at, m.first), m.last + (after == "free")
        if how:
            self.notes.used.update(range(first, last))
        if how == "no" and m.attribute in self.purposes.wishes:
            refusal = self.purposes.refusals[self.purposes.wishes.index(m.attribute)]
            self.notes.add(refusal, m.value, first, last)
        elif how == "no" and m.attribute in self.by_age.said_back and not self.only_fails(m):
            words = self.notes.text(*self.said.span(m.first, m.last))
            owner = self.said.owner.get(m.last)
            thing = self.notes.named.taken
            of_it = owner is not None and thing is not None and owner.value == thing.thing.slug
            of_it |= self.said.ends(m.last)
            if of_it and (wanted := self.purposes.opposites.get((m.attribute, m.value))):
                self.notes.add(m.attribute, wanted, first, last)
            self.notes.point(f"refused {words}", self.said.span(first, last), f"not {words}")
        elif how == "no":
            self.notes.left.append(self.said.span(first, last))
        grave = (m.attribute, m.value) in self.said.lexicon.grave
        on_it = {"on", "of", "in", "for"} & set(self.said.words[at + 1 : m.first])
        if how == "no" and not on_it and not self.only_fails(m):
            # "No chrome on the buckle" leaves the buckle.
            self.gone.add((m.attribute, m.value, (m.first, m.last)))
        if how == "maybe":
            end = "it is taken as meant, to be on the safe side" if grave else "it was not taken"
            self.notes.tell(
                "undecided", f"{shown(self.notes.text(*self.said.span(first, last)))} is not settled; {end}."
            )
        return not how or (how == "maybe" and grave)

    def only_fails(self, m: Match) -> bool:
        """ "It must not snap": whether a word says what the thing may not do, and no fitting."""
        before = {self.said.word(m.first - 1), self.said.word(m.first - 2)}
        verbs = {"must", "can", "may", "should", "will", "does", "do", "wont", "cant", "mustnt", "doesnt", "dont"}
        return bool(lex.FAILING & set(self.said.words[m.first : m.last]) and verbs & before)

    def lacked(self, m: Match) -> bool:
        """ "No tool to make it thin", "no zip as zips dig in": what somebody cannot do, or has refused before."""
        if (m.attribute, m.value) in self.said.lexicon.grave:
            return False
        before = "".join(f"{word} " for word in self.said.words[max(0, m.first - 9) : m.first])
        without = _NOTHING_TO.search(before) and self.said.word(m.last) == "with"
        return any((m.attribute, m.value) == gone[:2] for gone in self.gone) or bool(without or _LACKING.search(before))

    def only_near(self, m: Match) -> bool:
        """ "The laser in the baby's room", "where the cat sleeps": somebody who is near and uses nothing.

        Of a small child it is told, since it may be meant all the same.
        """
        said = self.said
        if m.attribute != self.by_age.attribute:
            return False
        owned = said.tokens[m.last - 1].owner and said.word(m.last) in self.by_age.rooms
        led = owned and bool(_PLACED & set(said.words[max(0, m.first - 3) : m.first]))
        if led and "for" not in said.words[max(0, m.first - 4) : m.first]:
            words = self.notes.text(*said.span(m.first, m.last + 1))
            self.notes.tell(
                "only_near", f"{shown(words)} is taken as a place; say so if a small child will use it.", words=words
            )
            return True
        if (m.attribute, m.value) in said.lexicon.grave or said.word(m.first - 1) not in _HAS:
            return False
        if said.tokens[m.last - 1].owner:
            # "A mat for under the cat's dish".
            return said.word(m.first - 2) in _PLACED
        behind = said.words[m.last + 1 : m.last + 4]
        uses = not _USED.isdisjoint(behind) or (behind[:1] and behind[0] in _USING and said.ends(m.last + 2))
        return said.word(m.last) in self.by_age.near and not uses

    def asks_for_lining(self, m: Match) -> bool:
        """ "12 sq ft pig lining for bags": whether the lining is what is bought, named before any thing."""
        before = any(o.attribute == "item" and i < m.first for i, o in self.said.owner.items())
        return self.said.word(m.last) in self.by_age.lining and not before

    def of_the_lining(self, same: list[Match]) -> list[Match]:
        """ "Pig lining": what is bought where no thing is named before it, else what the thing is lined with."""
        if len(same) < 2 or self.said.word(same[0].last - 1) not in self.by_age.lining:
            return same
        bought = not any(o.attribute == "item" and i < same[0].first for i, o in self.said.owner.items())
        return [o for o in same if (o.attribute in self.purposes.wishes) == bought] or same

    def refused_behind(self, m: Match) -> bool:
        """ "Copper is what I'm avoiding", "swap the chains for straps": a refusal that stands around the words."""
        grave = (m.attribute, m.value) in self.said.lexicon.grave
        behind = " ".join(self.said.words[m.last : m.last + 8])
        before = self.said.words[max(0, m.first - 3) : m.first]
        swapped = bool(_SWAPPED & set(before)) and self.said.word(m.last) == "for"
        return not grave and (swapped or bool(_REFUSED_BEHIND.match(behind)))

    def of_things(self) -> list[Size]:
        """The ages of things: "a 200 year old book", "my accordion is ninety years old"; those of nobody."""
        return [s for s in self.said.sizes if self._of_a_thing(s)]

    def _of_a_thing(self, s: Size) -> bool:
        aged = s.kind == "age" and self._looks(s.at)
        return aged or (s.kind in ("age", "bare") and (self._behind(s) or self._subject(s)))

    def _looks(self, at: int) -> bool:
        """ "It looks a hundred years old": whether what begins at ``at`` tells how old nobody's thing seems."""
        i = at - 1
        while i >= max(0, at - _SEEMING) and self.said.words[i] in _LIKE_SO:
            i -= 1
        seems = self.said.word(i) in _SEEMS or self.said.words[i + 1 : i + 3] in (["as", "if"], ["as", "though"])
        who = self.said.word(i - 1) if self.said.word(i) in _SEEMS else self.said.word(i)
        return seems and who not in self._persons() | _HE

    def of_nobody(self, m: Match) -> bool:
        """Whether words for who somebody is only tell of a look or an age.

        "That old lady green", "older than my gran", "looks ninety years old", "my gran's old satchel".
        """
        said = self.said
        if m.attribute != self.by_age.attribute:
            return False
        before = m.first - 1
        while before >= 0 and said.words[before] in _WHOSE:
            before -= 1
        compared = said.word(before) == "than" or (said.word(before) == "as" and said.word(before - 2) == "as")
        shade = said.owner.get(m.last)
        styled = not _STYLES.isdisjoint(said.words[m.last : m.last + (3 if said.tokens[m.last - 1].owner else 1)])
        styled |= shade is not None and shade.attribute == self.purposes.colour
        # Whose an old thing was does not use it: "my grandfather's old satchel".
        owners = (i + 1 for i in m.own if said.tokens[i].owner)
        inherited = any(said.word(i) in _OLD and not said.ends(i + 1) for i in owners)
        if nobody := compared or styled or inherited or self._looks(m.first):
            self.notes.used.update(range(m.first, m.last))
        return nobody

    def told_of_a_thing(self, m: Match) -> bool:
        """Whether the words for who somebody is tell how old a thing is: "the organ is ninety years old"."""
        aged = any(word in _UNITS for word in self.said.words[m.first : m.last])
        of_thing = self._named(m.last) or self._is_so(m.first, True) or self._looks(m.first)
        of_thing &= m.attribute == self.by_age.attribute
        if aged and of_thing:
            self.notes.used.update(range(m.first, m.last))
        return aged and of_thing

    def _behind(self, s: Size) -> bool:
        """Whether a thing of that age is named right behind: "a 200 year old book", not "a 2 year old's bib"."""
        near = s.at < len(self.said.tokens) and not self.said.text[s.end : self.said.tokens[s.at].start].strip()
        band = self.by_age.of(s.values[0]) if s.values else None
        return s.kind == "age" and near and self._named(s.at, young=band is not None and band.child)

    def _subject(self, s: Size) -> bool:
        """Whether what is so old is a thing: "the chair is ninety", "it's eighty years old"."""
        band = self.by_age.of(s.values[0]) if s.values and s.kind == "age" else None
        # A small child may be an "it".
        grown = band is None or not band.child
        if s.kind == "bare" and self.said.word(s.at - 1) == "at":
            # "The ferry is at 6".
            return False
        if s.kind == "bare" and self.said.word(s.at) in _MEASURES_ON:
            # "His old belt is 39 from the fold to the hole".
            return False
        return (s.kind == "age" or self.said.ends(s.at)) and self._is_so(s.at, grown and s.kind == "age")

    def _is_so(self, at: int, it: bool) -> bool:
        """Whether a thing is the subject of what begins at ``at``; an ``it`` may be one."""
        said, i = self.said, at - 1
        while i >= 0 and (said.words[i] in _IS or said.words[i] in _ABOUT):
            i -= 1
        if i < 0 or _IS.isdisjoint(said.words[i + 1 : at]):
            return False
        if said.words[i] in ("it", "its"):
            return it
        if said.words[i] in _measured(self.notes.base):
            # "My waist is 88" tells a size.
            return False
        named = any(self._thing_at(j) == i + 1 for j in range(max(0, i - 3), i + 1))
        return said.words[i] not in self._persons() and named

    def _named(self, i: int, young: bool = False) -> bool:
        """Whether a thing is named at ``i``; beside the age of a child only what is nothing to be made."""
        end = self._thing_at(i, young) if self.said.word(i) not in self._persons() else 0
        return bool(end) and self.said.word(end) not in self._persons()

    def _persons(self) -> frozenset[str]:
        return lex.KID | lex.BABY | lex.WHO | lex.ANIMAL | self.by_age.young | self.by_age.adults | PERSONS

    def _thing_at(self, i: int, young: bool = False) -> int:
        """Where the name of a thing that begins at ``i`` ends, or 0: a form, an object that does not live, an item.

        Beside the age of the ``young`` only an object counts: "2 year old bib" may be the bib of a small child.
        """
        said, known = self.said, said_objects(self.notes)
        owner = said.owner.get(i)
        if owner is not None and owner.attribute == "item" and owner.first == i and not young:
            return owner.last
        for n in range(min(3, len(said.words) - i), 0, -1):
            words = tuple(said.words[i : i + n])
            if words in known or (not young and (words in said.lexicon.forms or words[-1] in said.lexicon.heads)):
                return i + n
        owned = said.word(i - 1) in _WHOSE or said.word(i - 1) in ("this", "that")
        alone = owned and said.word(i)[0].isalpha() and said.word(i) not in lex.STOP and said.word(i + 1) in _IS
        return i + 1 if alone else 0

    def elders(self) -> None:
        """ "He's eighty-one": somebody so old is elderly, where the rule base asks who it is for."""
        people = lex.WHO | self.by_age.grown | self.by_age.young
        of_things = self.of_things()
        for s in (s for s in self.said.sizes if s not in of_things):
            before = s.at - 1
            while before > 0 and self.said.word(before) in (",", "of", "age"):
                before -= 1
            called = self.said.word(before) in (_IS if before == s.at - 1 else self.by_age.grown | {"aged"})
            close = set(self.said.words[max(0, before - 4) : before])
            if called and before == s.at - 1:
                called = not close & _MEASURED and (self.said.word(before) not in _LOOSE or bool(close & people))
            told = s.kind == "age" or (s.kind == "bare" and called)
            alone = self.said.ends(s.at) and self.said.word(s.at) not in ("of", "off")
            told = told and (s.kind == "age" or alone or self.said.word(s.at) in _AGE_ENDS)
            told = told and not self._looks(s.at)
            band = self.by_age.of(s.values[0]) if told and s.values and not s.unit else None
            if told and not band and self.by_age.grown_up(s.values) and close & (people | self.by_age.adults):
                # "My boyfriend, he's 30": of such an age nothing follows.
                self.notes.aged.add(s.start)
                self.notes.refused.add(s.at - 1)
                self.notes.used.add(s.at - 1)
            elif band and not band.child and not self.said.scope(s.at)[0]:
                self.notes.aged.add(s.start)
                # "Turned 90" says nothing of how the thing is made.
                self.notes.refused.add(s.at - 1)
                self.notes.add(self.by_age.attribute, band.value, s.at - 1, s.at, s)

    def known(self) -> None:
        """ "For my dad": somebody grown up will use it, where nobody young and no animal is told of beside."""
        young = lex.KID | lex.BABY | lex.ANIMAL | self.by_age.young
        alone = young.isdisjoint(self.said.words) and self.by_age.attribute not in self.notes.facts
        for i, word in enumerate(self.said.words):
            whose = self.said.word(i - 1) in _WHOSE and self.said.word(i - 2) in ("for", "to")
            if word in self.by_age.adults and whose and i not in self.said.owner:
                self.notes.used.add(i)
                # "For my dad's old banjo" is for a banjo.
                ends = self.said.ends(i + 1) or self.said.word(i + 1)[:1].isdigit()
                if alone and ends and self.by_age.adult and self.said.word(i - 2) == "for":
                    self.notes.add(self.by_age.attribute, self.by_age.adult, i, i + 1)

    def part_refused(self, at: int, item: int) -> bool:
        """ "No nickel on the handbag": what is refused is on the item, not the item itself."""
        between = self.said.words[at + 1 : item]
        places = [k for k, word in enumerate(between) if word in ("on", "in", "for", "inside", "with")]
        return bool(places) and any(word not in lex.STOP for word in between[: places[-1]])

    def refusals(self) -> None:
        """ "We do not use any pigskin", "don't want it lined": a refusal said without the usual phrase."""
        said, refused = self.said, self.said.lexicon.refused
        longest = max(map(len, refused), default=0)
        # That some leather is not at hand refuses none.
        passed = said.masked | said.at_hand
        for i in range(len(said.words)):
            for j in range(min(len(said.words), i + longest), i, -1):
                meant = refused.get(tuple(said.words[i:j]))
                owner = said.owner.get(i)
                wish = owner and owner.attribute in self.purposes.wishes
                taken = meant and owner and (not wish or j - i > 1)
                if not meant or taken or not passed.isdisjoint(range(i, j)):
                    continue
                how, at = said.scope(i)
                own = {w for key in refused for w in key}
                between = set(said.words[at + 1 : i])
                listed = between & own and between & {"or", "nor", "and", ","}
                plain = between <= (own | _LISTING | lex.REFUSING if listed else lex.REFUSING)
                plain &= said.ends(j) or said.words[j] in lex.OF_LEATHER | _LISTING
                twice = said.word(at) != "nor" and said.scope(at)[0] == "no"
                if how == "no" and plain and not twice:
                    self.notes.refused.update(range(i, j))
                    self.notes.add(*meant, at if not between & own else i, j)
                    self.notes.used.add(at)
                    break

    def children(self) -> None:
        """Ages of people: under three, three to twelve; a child without an age stays open."""
        said, by_age = self.said, self.by_age
        if not by_age.children:
            return
        of_things = self.of_things()
        aged = [s for s in self.ages() if not any(s.start == o.start for o in of_things)]
        self.notes.aged = {s.start for s in (*aged, *of_things)}
        for s in of_things:
            self.notes.said_of_a_thing(s)
        # "A chair from the 1890s" says how old the chair is.
        self.notes.used |= {i for i, word in enumerate(said.words) if _DECADE.fullmatch(word)}
        told = {s.start for s in said.sizes if s.start in self.notes.aged and s.kind == "bare"}
        far = False
        for s in aged:
            near = range(max(0, s.at - 6), min(len(said.words), s.at + 4))
            kids = [i for i in near if said.words[i] in lex.KID]
            far |= not kids and s.start in told
            alone = s.at > 0 and said.word(s.at - 1) in lex.STOP and said.ends(s.at)
            alone |= not said.words and len(said.sizes) == 1
            said_age = self.notes.text(s.start, s.end).lower()
            alone |= said_age.startswith("ages") or said_age.endswith("olds")
            person = kids or alone or s.start in told or any(said.words[i] in lex.BABY for i in near)
            self.notes.used.update(kids)
            animal = lex.ANIMAL & {said.words[i] for i in near}
            close = [i for i in kids if -3 < i - s.at < 2 or (s.start in told and i < s.at)]
            first, last = min([*close, s.at]), max([*(i + 1 for i in close), s.at + (said.word(s.at) in _UNITS)])
            band = by_age.of(s.values[0]) if s.values else None
            if not person or animal or not band or not band.child or said.scope(s.at)[0] == "no":
                self.notes.left.append(self.notes.around(s, first, last))
                continue
            self.notes.add(by_age.attribute, band.value, first, last, s)
        for i, word in enumerate(said.words):
            if word not in lex.KID or far or i in self.notes.used or i in said.owner or i in said.masked:
                continue
            if not said.tokens[i].plural and said.word(i - 1) in ("is", "in", "like") and not said.tokens[i].owner:
                # A child has an article or an owner before it; without one the skin is meant: "is kid like goat".
                continue
            if said.words[i + 1 : i + 3] == ["in", "law"]:
                # A daughter-in-law is grown up.
                continue
            how, at = said.scope(i)
            self.notes.used.update(range(at, i + 1) if how == "no" else (i,))
            if how == "no":
                self.notes.left.append(said.span(at, i + 1))
            else:
                self.notes.open[by_age.attribute] = by_age.children
                self.notes.tell(
                    "age", f"The age of the {word} is open; goods for the under-threes have rules of their own."
                )

    def ages(self) -> list[Size]:
        """The numbers that are somebody's age: "a 2 year old", "my daughter is 10", "she's nine months"."""
        said, found = self.said, [s for s in self.said.sizes if s.kind == "age"]
        people = lex.KID | lex.BABY | self.by_age.young
        for s in (s for s in said.sizes if s.kind == "bare" and s.values):
            if s.at and said.tokens[s.at - 1].owner and self.notes.text(s.start, s.end).lower() == "one":
                # "My brother's one" is no age.
                continue
            before = said.words[max(0, s.at - 4) : s.at]
            unit = said.word(s.at)
            told = before[-1:] and before[-1] in lex.IS_AGED and bool((lex.WHO | people) & set(before))
            # "A boy of 5", "my daughter, 2 years", "a child 8".
            kin = [w for w in before if w not in (",", "of", "aged", "age")][-1:]
            # "The sisters one" is no age either.
            plain = self.notes.text(s.start, s.end).lower() != "one"
            told = told or (plain and bool(kin) and kin[0] in people and s.values[0] in range(1, _GROWN + 1))
            if told and (unit in _UNITS or said.ends(s.at)) and people & set(said.words):
                last = s.at + (unit in _UNITS)
                self.notes.used.update(range(s.at, last))
                found.append(s._replace(kind="age", values=(s.values[0] / _UNITS.get(unit, 1),)))
        return found


def _measured(base: RuleBase) -> frozenset[str]:
    """Words that say what a number measures, folded."""
    made: frozenset[str] = base.once(
        "words of measures",
        lambda _: frozenset(lex.fold(w) for a in base.attributes.values() if a.numeric for w in a.cues),
    )
    return made

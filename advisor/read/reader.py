"""Free sentences into facts: the thing and what it is for, sizes beside their cue, negation and doubt kept.

Nothing is guessed. What was not used is handed back as unread, what could be read two ways as a doubt, a thing that is
not clear as candidates. All is pure.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import replace

from ..codes import say
from ..errors import AnswerError, UsageError, nearest, shown
from ..leather.units import Units
from ..reasoning.facts import Answer, attribute_named, parse_answer, parse_piece
from ..reasoning.review import LABEL
from ..rulebase.models import RuleBase
from ..rulebase.patterns import PIECE
from ..rulebase.words import words_of
from . import colours
from . import lexicon as lex
from .acts import acts_of
from .ages import ages
from .at_hand import AtHand
from .candidates import LEAST_NAMED
from .clauses import Clauses
from .danger import Raised, concept_of, dangers_of, is_beyond
from .hints import Hints, usual_sizes
from .kinds import MOST
from .leathers import Leathers
from .lexicon import OF_LEATHER
from .measures import THICK, Measures
from .notes import Doubt, Notes, Reading, Understood
from .offered import LEATHER, leather_at
from .parts_said import note_parts
from .people import People
from .purposes import purposes
from .roles import ARTICLES, PERSONS, Role, Roles
from .sentence import DONE_TO_IT, HEARD_IN_NAMES, Match
from .shades import with_shades
from .things import Candidate, Named, Things

MAX_TEXT = 2000
_LEADING = frozenset(("for", "on", "onto", "against", "to", "under", "over", "beside", "from", "behind"))
_NOUNS = 4
"""Within how many words before a verb the article of its subject must stand."""
_SUBJECTS = lex.folded("i we he she they you who")
_WHOSE = frozenset(("my", "our", "his", "her", "their"))
_IS_SAID = frozenset(("hes", "im"))
_FEW = 4
"""Fewer words than these tell of somebody what he is: "she's tall and slim"."""
_SPEAKER = lex.folded("i im ive we me weve")
_LONGEST_OBJECT = 4
_SOFT_REACH = 6
"""Over how many words a "maybe" reaches."""
__all__ = ["MAX_TEXT", "Reading", "Understood", "is_assignment", "read_assignments", "read_sentence", "read_words"]


def read_sentence(rulebase: RuleBase, text: str, item: str | None = None, units: Units = "mm") -> Reading:
    """What ``text`` says about the job. ``item`` is the item already known, so sizes find their attribute.

    Where the item is known, a noun in the text changes it only if the text says that it is a correction.
    ``units`` are the measures in which it is said back.
    Never raises on any text: what cannot be used comes back in ``unread`` and ``doubts``.
    """
    doubts = list[Doubt]()
    if len(text) > MAX_TEXT:
        doubts.append(Doubt("too_long", f"Only the first {MAX_TEXT} characters were read."))
        text = text[:MAX_TEXT]
    odd = ("Cc", "Cs", "Co", "Cn")
    rubbish = [c for c in text if c == "�" or (unicodedata.category(c) in odd and c not in "\t\n\r")]
    if rubbish:
        what = ascii("".join(dict.fromkeys(rubbish))[:8])
        doubts.append(Doubt("no_writing", f"The text holds characters that are no writing: {what}."))
        if len(rubbish) * 10 > len(text):
            return Reading({}, (), (ascii(text[:40]),), tuple(doubts))
        text = "".join("." if c in rubbish else c for c in text)
    return _Reader(rulebase, text, item, doubts, units).read()


def read_assignments(rulebase: RuleBase, assignments: Iterable[str]) -> dict[str, Answer]:
    """``strap_width=38 mm`` and the like, as on a command line. Raises UsageError or AnswerError."""
    answers: dict[str, Answer] = {}
    for text in assignments:
        name, sign, value = text.partition("=")
        name = "_".join(name.split()).replace("-", "_")
        if not sign or not name or not value.strip():
            near = nearest(name, rulebase.attributes)
            raise UsageError(f"{shown(text)} is no assignment; write for example {near or 'strap_width'}=value.")
        if name in answers:
            raise AnswerError(name, value.strip(), say("given_twice"))
        if name.startswith(PIECE):
            answers[name] = parse_piece(name, value)
        else:
            answers[name] = parse_answer(attribute_named(rulebase, name), value.strip())
    return answers


def read_words(rulebase: RuleBase, words: Iterable[str], units: Units = "mm") -> tuple[Reading, dict[str, Answer]]:
    """A sentence with assignments among its words, as on a command line: what it says, and all answers.

    An assignment beats the sentence. Raises UsageError or AnswerError for an assignment that cannot be.
    """
    rest: list[str] = []
    assignments: list[str] = []
    for word in words:
        (assignments if is_assignment(word) else rest).append(word)
    answers = read_assignments(rulebase, assignments)
    item = answers["item"].values[0] if "item" in answers and answers["item"].values else None
    reading = read_sentence(rulebase, " ".join(rest), str(item) if item else None, units)
    return reading, with_shades(rulebase, {**reading.answers, **answers})


def is_assignment(word: str) -> bool:
    """Whether a word of a command line is ``attribute=value``."""
    name, equals, _ = word.partition("=")
    return bool(equals) and name.strip().removeprefix(PIECE).removeprefix(LEATHER).isidentifier()


class _Reader:
    """Reads one sentence: the thing first, since it says what a size can be; then people, sizes and values."""

    def __init__(self, rulebase: RuleBase, text: str, item: str | None, doubts: list[Doubt], units: Units) -> None:
        self.base = rulebase
        self.notes = Notes(rulebase, text, doubts, units)
        self.said = self.notes.said
        self.at_hand = AtHand(self.notes)
        self.clauses = Clauses(self.said)
        self.known = item if item in rulebase.items else None
        self.item = self.known
        self.people = People(self.notes)
        self.purposes = purposes(rulebase)

    def read(self) -> Reading:
        self.people.refusals()
        self.name_thing()
        self.look_for_dangers()
        self.people.children()
        self.people.elders()
        hints = Hints(self.notes, self.item)
        bought = None if self.known else self.item
        leathers = Leathers(self.notes, self.at_hand.named, self.at_hand.tannage, bought)
        measures = Measures(self.notes, self.item, leathers)
        measures.place_all([s for s in self.said.sizes if not hints.covers(s)])
        measures.counts.pairs()
        for s in (s for s in self.clauses.softly if self.notes.took(s.start, s.end)):
            words = self.notes.text(s.start, s.end)
            self.notes.tell("about", f"{shown(words)} is taken as about so much; say if it is not.", words=words)
        self.assert_matches()
        self.people.known()
        self.at_hand.note()
        leathers.read()
        note_parts(self.notes)
        self.say_back_what_is_soft()
        self.notes.used |= self.clauses.silence | self.clauses.asking
        self.offer_near_words()
        # What raised a question was heard, but for a word beside the thing that nobody understood.
        unknown = {i for first, last in self.notes.named.unread for i in range(first, last)}
        self.notes.used |= {
            i
            for i, token in enumerate(self.said.tokens)
            if any(d.start <= token.start and token.end <= d.end for d in self.notes.dangers)
        } - unknown
        return self.notes.reading()

    # -- the thing

    def name_thing(self) -> None:
        """Takes the thing asked for, or notes why it is not clear."""
        found = Things(self.base, self.said).find()
        if not (self.known or found.taken or found.either) and self.clauses.naming():
            found = Things(self.base, self.said).find()
        faint = not (self.known or found.taken or found.either) and all(
            c.points < LEAST_NAMED for c in found.candidates
        )
        if faint and self.clauses.naming(past=True) and (again := Things(self.base, self.said).again()).taken:
            found = again
        if self.known and not (found.taken and self._corrects(found.taken)):
            # No noun in an answer changes the thing.
            self.notes.named = Named(others=tuple(c for c in (found.taken, *found.others) if c))
            self.notes.used |= found.used
            return
        self.notes.named = found
        self.notes.used |= found.used
        for first, last in found.unread:
            words = self.notes.text(*self.said.span(first, last))
            name = _a((found.taken or found.candidates[0]).thing.name)
            self.notes.tell(
                "unread_beside_thing",
                f"I do not know {shown(words)} here; it may make another thing of {name}.",
                words=words,
            )
        if found.taken is None:
            if found.either:
                self.notes.open["item"] = tuple(c.thing.slug for c in found.candidates)
            return
        taken = found.taken
        match = Match("item", taken.thing.slug, taken.first, taken.last, taken.first)
        self.said.owner.update(dict.fromkeys(range(taken.first, taken.last), match))
        if not taken.thing.recipe:
            self.notes.tell("no_recipe", f"There is no recipe yet for this: {taken.called}.", thing=taken.thing.slug)
        else:
            self.item = taken.thing.recipe
            self.notes.add("item", self.item, taken.first, taken.last)
        if not taken.thing.own:
            made = _a(self.base.items[taken.thing.recipe].name)
            self.notes.tell(
                "made_as",
                f"I have no recipe of its own for {_a(taken.thing.name)}; I reckon it as {made}.",
                thing=taken.thing.slug,
            )
        if found.instead and not found.unread:
            others = ", or ".join(_a(c.thing.name) for c in found.instead)
            self.notes.tell(
                "guessed_thing",
                f"I took this to be {_a(taken.thing.name)}. If it is another thing, say so: {others}?",
                thing=taken.thing.slug,
            )
        for other in found.others:
            self.notes.tell(
                "second_thing",
                f"One thing at a time: {taken.called} first; ask for {other.called} after it.",
                thing=other.thing.slug,
            )
        for words in found.forms:
            self.notes.tell(
                "second_thing",
                f"One thing at a time: {taken.called} first; ask for {shown(words)} after it.",
                words=words,
            )

    def offer_near_words(self) -> None:
        """Offers known words for what is spelt near them, where no thing was found."""
        if self.known or self.notes.named.taken or self.notes.named.either:
            return
        for i, word in enumerate(self.said.words):
            if i in self.notes.used or word in lex.plain_english():
                continue
            near = [w for w in self.said.near(i) if lex.fold(w) not in lex.SPOKEN | lex.STOP | lex.GENERAL]
            if near:
                self.notes.tell(
                    "near_words", f"{shown(word)} was not taken; did you mean {' or '.join(near[:3])}?", words=word
                )

    def look_for_dangers(self) -> None:
        """Notes every danger in the whole text, whatever the thing is; one denied in misspelt words is asked."""
        named = self.notes.named
        thing = named.taken or (named.candidates[0] if named.unread else None)
        bears = thing.thing.may_bear or None if thing else None
        modifier = ""
        # Beside a thing that stands already a question names parts of it, not another kind of it.
        asks = self.known is not None and all(a.kind == "question" for a in acts_of(self.said.text))
        if named.unread and not asks:
            modifier = self.notes.text(*self.said.span(*named.unread[0]))
        asked = self.said.span(named.taken.first, named.taken.last) if named.taken else None
        text = self.at_hand.unnamed(self.said.text)
        for s in self.people.of_things():
            # That a camera is two years old speaks of no child.
            text = f"{text[: s.start]}{' ' * (s.end - s.start)}{text[s.end :]}"
        stands = words_of(self.base).things[self.known].name if self.known and not named.taken else ""
        found = dangers_of(self.base, text, bears, modifier, asked, stands)
        self.notes.dangers = tuple(replace(d, state="open", value="") if self._misspelt(d) else d for d in found)
        self.offer_the_dangerous()

    def offer_the_dangerous(self) -> None:
        """Where no thing is clear and words raise a danger, what they mean most often is offered first.

        Nothing is offered that cannot do this harm: it would be bought for the same use.
        """
        named = self.notes.named
        if self.known or named.taken or named.either:
            return
        raised = {}
        dangers = [d for d in self.notes.dangers if d.state != "ruled_out"]
        for danger in dangers:
            thing = concept_of(self.base, danger.concept).thing
            if thing is not None:
                raised[thing] = Candidate(words_of(self.base).things[thing], 0.0, danger.words, 0, 0, Role.PLACE)
        if not raised:
            return
        grave = self.said.lexicon.grave
        others = [
            c
            for c in named.candidates
            if c.thing.slug not in raised and not any(is_beyond(self.base, d.concept, c.thing.name) for d in dangers)
        ]
        others.sort(key=lambda c: ("item", c.thing.slug) not in grave)
        self.notes.named = replace(named, candidates=tuple([*raised.values(), *others][:MOST]))

    def _misspelt(self, danger: Raised) -> bool:
        """Whether a denial rests on words whose spelling had to be mended."""
        starts = [self.said.tokens[i].start for i in self.said.fixed]
        return danger.state == "ruled_out" and any(danger.start <= start < danger.end for start in starts)

    def _corrects(self, taken: Candidate) -> bool:
        """Whether the text says that the thing is another: "no, it's a pouch", "make it a bag instead"."""
        if taken.thing.slug == self.known:
            return True
        begun = max((i + 1 for i in range(taken.first) if self.said.words[i] in ".;!?"), default=0)
        before = " ".join(self.said.words[begun : taken.first])
        # "No, red like wine, and I want a loop for a pen" adds a loop.
        return bool(lex.CORRECTS.search(before)) and lex.ADDS.search(before) is None

    # -- values

    def assert_matches(self) -> None:
        """Turns the words for values into facts, unless negated, doubted or readable two ways."""
        said, notes = self.said, self.notes
        matches = [m for m in said.matches if m.attribute != "item"]
        kept = []
        for m in matches:
            mild = [o for o in matches if (o.attribute, o.value) not in said.lexicon.grave]
            same = self.people.of_the_lining([o for o in mild if (o.first, o.last) == (m.first, m.last)])
            item_near = {o.attribute for i in range(m.last, m.last + 3) if (o := said.owner.get(i))}
            group = self.base.attributes[m.attribute].group
            named = self.only_a_name(m) and group not in HEARD_IN_NAMES
            if named or (group in DONE_TO_IT and self.names_object(m)) or self.measures(m):
                continue
            if m in mild and m not in same:
                continue
            if len(same) > 1 and m in same and said.scope(m.root)[0] != "no":
                names = " or ".join(o.attribute.replace("_", " ") for o in same)
                notes.doubt(said.span(m.first, m.last), f"can be meant of {names}; say which", "two_meanings")
                notes.used.update(range(m.first, m.last))
            elif self.of_somebody_else(m):
                continue
            elif said.words[m.first : m.last] != ["first"] or ("item" in item_near and not self.of_another(m.first)):
                kept += [m] if self.people.allowed(m) else []
        for m in kept:
            self._assert(m, kept)
        self.leave_out()

    def leave_out(self) -> None:
        """ "No popper": what the thing usually has and somebody refuses is left out of it, or asked about."""
        supposed = self.base.items[self.item].supposes if self.item else {}
        for name in dict.fromkeys(name for name, _, _ in self.people.gone):
            a, usual = self.base.attributes[name], supposed.get(name, ())
            refused = {value: at for other, value, at in self.people.gone if other == name}
            if name in self.notes.facts or refused.keys().isdisjoint(usual):
                continue
            at = next(iter(refused.values()))
            if a.kind == "set":
                for value in [v for v in usual if v not in refused] or ["none"] * ("none" in a.values):
                    self.notes.add(name, value, *at)
            else:
                words = self.notes.text(*self.said.span(*at))
                self.notes.tell(
                    "usual_refused",
                    f"{shown(words)} is what this usually is; say what it is to be instead.",
                    words=words,
                )

    def say_back_what_is_soft(self) -> None:
        """ "Maybe in green", "I was thinking 3 mm": a wish said softly is taken, and said back as one."""
        said = self.said
        for i, word in enumerate(said.words):
            if word not in lex.SOFTLY or i in said.at_hand:
                continue
            end = next((j for j in range(i + 1, len(said.words)) if said.words[j] in ".,;:!?()"), len(said.words))
            end = min(end, i + _SOFT_REACH)
            named = (j for j in range(i + 1, end) if j in said.owner and said.owner[j].attribute == "item")
            thing = next(named, None)
            if thing is not None and ("item", said.owner[thing].value) not in said.lexicon.grave:
                end = thing
            ends = [s.end for s in said.sizes if i < s.at <= end and self.notes.took(s.start, s.end)]
            taken = [j for j in range(i + 1, end) if j in said.owner and self.notes.took(*said.span(j, j + 1))]
            taken += [thing] if thing is not None and thing < end and thing not in taken else []
            firm = {
                said.owner[j].attribute
                for j in taken
                if self.notes.yields(said.owner[j].attribute, said.span(i, j + 1))
            }
            if firm:
                # "Brown, maybe dark blue": what was said firmly stands.
                words = self.notes.text(*said.span(i, max(taken) + 1))
                self.notes.tell("undecided", f"{shown(words)} is not settled; it was not taken.", words=words)
                continue
            if not taken and not ends:
                start = said.tokens[i].start
                if danger := next((d for d in self.notes.dangers if d.start >= start), None):
                    words = self.notes.text(start, danger.end)
                    self.notes.tell("said_softly", f"{shown(words)} is taken as meant, to be on the safe side.")
                continue
            start, stop = said.span(i, max(taken, default=i) + 1)
            words = self.notes.text(start, max(stop, *ends) if ends else stop)
            self.notes.used.add(i)
            grave = any((said.owner[j].attribute, said.owner[j].value) in said.lexicon.grave for j in taken)
            how = "meant, to be on the safe side." if grave else "your wish; say so if it is to be otherwise."
            self.notes.tell("said_softly", f"{shown(words)} is taken as {how}", words=words)

    def measures(self, m: Match) -> bool:
        """ "3 mm thick", "single thickness 2.5": whether the word only says what a number beside it measures."""
        numbers = {s.at for s in self.said.sizes if s.values}
        beside = {i for i in m.own if self.said.word(i) in THICK and (i in numbers or i + 1 in numbers)}
        return self.base.attributes[m.attribute].kind == "set" and bool(beside)

    def of_somebody_else(self, m: Match) -> bool:
        """Whether a word belongs to another noun, person or seller: "my red guitar", "a beginner's guitar strap"."""
        if m.attribute == self.purposes.colour:
            return colours.told_of(self.said, m) or self.of_a_part(m) or self.of_another_noun(m)
        if self.done_to_something(m) or self.fixed_elsewhere(m) or self.people.of_nobody(m):
            return True
        if m.attribute in self.purposes.of_the_body and self.felt_of_another(m):
            return True
        if m.attribute in self.purposes.of_owners:
            return self.said.tokens[m.last - 1].owner or self.people.told_of_a_thing(m) or self.done_by_another(m)
        if self.people.told_of_a_thing(m):
            return True
        return m.attribute == LABEL and m.value in self.said.lexicon.book.of_sellers and not self.seller_near(m)

    def of_a_part(self, m: Match) -> bool:
        """ "The handles in black": whether a colour is of one part alone; what the order cannot say of it is told."""
        named = self.notes.named.taken
        taken = range(named.first, named.last) if named else range(0)
        part = colours.part_of(self.base, self.said, m, self.item, taken)
        if part is None or (self.item is None and not (part.kept_as or part.metal)):
            return False
        if part.kept_as:
            self.notes.add(part.kept_as, part.colour, min(m.first, part.first), max(m.last, part.last))
            return True
        shade = self.notes.text(*self.said.span(m.first, m.last))
        what = "metal parts by their colour" if part.metal else "one part in another colour"
        told = f"I cannot order {what}: ask for the {part.words} in {shade} besides."
        self.notes.tell("part_colour", told, words=shade)
        self.notes.used.update(range(m.first, m.last))
        return True

    def of_another_noun(self, m: Match) -> bool:
        """ "A case for my red guitar": whether a colour belongs to a noun that is not what is made."""
        said, roles, i = self.said, Roles(self.said), m.last
        if self.told_of_another(m.first, roles):
            return True
        while i < m.last + 3 and roles.joined(i) and not colours.ends_phrase(said, i):
            owner, key = said.owner.get(i), (said.words[i],)
            if owner and owner.attribute == "item":
                return self.stands_behind(m.first) and not self.may_be_made(i)
            if leather_at(self.base, said, i) or said.words[i] in OF_LEATHER:
                return False
            if (roles.noun(i) or key in said.lexicon.objects) and key not in said.lexicon.forms:
                follows = said.owner.get(i + 1)
                return not (follows and follows.attribute == "item" and roles.joined(i + 1))
            i += 1
        return False

    def felt_of_another(self, m: Match) -> bool:
        """ "A stiff brush", "the blade is thin": whether a feel belongs to an object that is not what is made."""
        said, roles, i = self.said, Roles(self.said), m.last
        if self.told_of_another(m.first, roles) or self.told_of_a_body(m.first):
            return True
        head = -1
        while i < m.last + 3 and roles.joined(i) and not colours.ends_phrase(said, i):
            head, i = i, i + 1
        if head < 0 or leather_at(self.base, said, head) or said.words[head] in OF_LEATHER:
            return False
        key, owner = (said.words[head],), said.owner.get(head)
        other = (
            key in said.lexicon.objects and key not in said.lexicon.forms and said.words[head] not in said.lexicon.heads
        )
        return other and not (owner and owner.attribute == "item")

    def told_of_a_body(self, first: int) -> bool:
        """ "My hands are stiff", "she's tall and slim": whether a feel is told of somebody, or a part of a body."""
        words = self.said.words
        begin = first
        while begin and words[begin - 1] not in ".,;:!?()":
            begin -= 1
        who = self.said.tokens[begin].owner or words[begin] in _IS_SAID or words[begin + 1 : begin + 2] == ["is"]
        clause = words[begin:first]
        if who and words[begin] in lex.WHO | _IS_SAID and len(clause) < _FEW and ARTICLES.isdisjoint(clause):
            return True
        verb = first - 1
        while verb > 0 and words[verb] in ("very", "quite", "so", "rather", "all", "too", "a", "bit"):
            verb -= 1
        return verb > 1 and words[verb] in ("is", "are", "get", "go") and words[verb - 1] in ages(self.base).body

    def done_to_something(self, m: Match) -> bool:
        """ "We zipped through it", "the kids painted the shed": whether a word tells what somebody did."""
        said, before = self.said, self.said.word(m.first - 1)
        token = said.tokens[m.first]
        did = m.last - m.first == 1 and said.text[token.start : token.end].lower().endswith("ed")
        somebody = before in _SUBJECTS or (before in PERSONS | lex.KID and said.word(m.first - 2) in ARTICLES)
        return did and somebody and (m.attribute, m.value) not in said.lexicon.grave

    def fixed_elsewhere(self, m: Match) -> bool:
        """ "The clasp of my necklace broke": whether a fitting is on something that somebody has already."""
        said, taken = self.said, self.notes.named.taken
        owned = said.word(m.last) in ("of", "on") and said.word(m.last + 1) in _WHOSE
        if not owned or taken is None or m.attribute not in self.purposes.fixtures:
            return False
        ends = range(m.last + 2, min(m.last + 4, len(said.words)))
        own = {*lex.words_and_marks(taken.thing.name), *said.words[taken.first : taken.last]}
        return said.word(m.first - 1) == "the" and not any(said.words[i] in own for i in ends)

    def done_by_another(self, m: Match) -> bool:
        """ "My gran sewed for a living": whether the clause that a value stands in speaks of somebody else."""
        words, i = self.said.words, m.first
        while i > 0 and words[i - 1] not in ".,;:!?()" and words[i - 1] not in ("but", "so"):
            i -= 1
        clause = words[i : m.first]
        spoken_of = len(clause) > 2 and clause[0] in _WHOSE and clause[1] in PERSONS
        return m.attribute in self.purposes.of_the_maker and spoken_of and _SPEAKER.isdisjoint(clause)

    def stands_behind(self, first: int) -> bool:
        """Whether a preposition leads to the words at ``first``: "cushions for a grey sofa"."""
        words = self.said.words
        return first > 1 and words[first - 1] in ARTICLES and words[first - 2] in _LEADING

    def may_be_made(self, i: int) -> bool:
        """Whether the word at ``i`` is in the name of the thing, or of one of those that it may be."""
        named = self.notes.named
        found = (named.taken, *named.others) if named.taken else named.candidates
        return not found or any(c is not None and c.first <= i < c.last for c in found)

    def told_of_another(self, first: int, roles: Roles) -> bool:
        """ "The car is black": whether a colour is said of a noun that is neither the thing nor a leather."""
        said, verb = self.said, first - 1
        while verb >= 0 and said.words[verb] in ("very", "quite", "all", "a", "bit", "rather", "only", "now"):
            verb -= 1
        if verb < 1 or said.words[verb] not in ("is", "was", "are", "were"):
            return False
        subject, owner = verb - 1, said.owner.get(verb - 1)
        known, article = usual_sizes(self.base), subject - 1
        while article > verb - _NOUNS and not said.ends(article) and said.word(article) not in ARTICLES:
            article -= 1
        if said.words[subject] in known.places | known.furniture and said.word(article) in ARTICLES:
            # "Our front door is red".
            return not self.names_thing(subject)
        if said.tokens[subject].owner:
            # "My brother's one is green": the "one" is no word but a number.
            return True
        living = self.said.lexicon.objects.get((said.words[subject],))
        if living and self.notes.words.objects[living].alive and said.words[subject - 1] in ARTICLES:
            # "My dog is black".
            return True
        if owner and owner.attribute == "item" and not self.names_thing(subject):
            return said.words[verb] in ("was", "were")
        if owner or leather_at(self.base, said, subject):
            return False
        return roles.noun(subject) and (said.words[subject - 1] in ARTICLES if subject else False)

    def names_thing(self, i: int) -> bool:
        """Whether the word at ``i`` names the thing taken."""
        taken = self.notes.named.taken
        return taken is not None and taken.first <= i < taken.last

    def seller_near(self, m: Match) -> bool:
        """Whether a label, a listing or a seller is spoken of in the sentence that holds the name of a leather."""
        said = self.said
        ends = [i for i, word in enumerate(said.words) if word in (".", ";", "!")]
        first = max((i for i in ends if i < m.first), default=-1)
        last = min((i for i in ends if i >= m.last), default=len(said.words))
        return any(first < f.first and f.last <= last for f in said.lexicon.book.seller.find(said.words))

    def only_a_name(self, m: Match) -> bool:
        """Whether words say no more than the name of the thing taken, unlike the first of "unlined tote".

        What is left of that name without them names the thing too, so they say more of it.
        """
        taken = self.notes.named.taken
        if taken is None:
            return False
        name, own = range(taken.first, taken.last), set(m.own)
        rest = tuple(self.said.words[i] for i in name if i not in own)
        return not own.isdisjoint(name) and rest not in self.said.lexicon.names.get(taken.thing.slug, ())

    def names_object(self, m: Match) -> bool:
        """ "A roll for carving gouges": whether words only say what kind of object another word names."""
        known, words = self.said.lexicon.objects, self.said.words
        return any(
            tuple(words[first:last]) in known
            for first in range(max(0, m.last - _LONGEST_OBJECT), m.first + 1)
            for last in range(m.last + (first == m.first), min(len(words), first + _LONGEST_OBJECT) + 1)
        )

    def _assert(self, m: Match, kept: Sequence[Match]) -> None:
        said, notes = self.said, self.notes
        a = self.base.attributes[m.attribute]
        joined = said.either if m.attribute == self.purposes.colour else said.ored
        ors = [
            o
            for o in kept
            if o.attribute == m.attribute
            and o.value != m.value
            and (joined(o.last, m.first) or joined(m.last, o.first))
        ]
        # Of what may harm somebody both are taken: "allergic to nickel or chrome" means neither must be near.
        grave = {(o.attribute, o.value) for o in (m, *ors)} & said.lexicon.grave
        if ors and not grave and not (a.kind == "set" and a.group in ("people", "limits")):
            both = sorted((m, *ors), key=lambda o: o.first)
            values = (*notes.open.get(m.attribute, ()), *(o.value for o in both))
            notes.open[m.attribute] = tuple(dict.fromkeys(values))
            notes.used.update(range(m.first, m.last))
        else:
            notes.add(m.attribute, m.value, m.first, m.last, gaps=m.gaps)
            if m.attribute == self.purposes.colour and m.first in said.guessed:
                words, usual = notes.text(*said.span(m.first, m.last)), a.values[m.value].label
                notes.tell(
                    "shade_guessed",
                    f"I order {shown(words)} in these words and reckon with {usual}; say if another is nearer.",
                    words=words,
                )

    def of_another(self, i: int) -> bool:
        """Whether the word at ``i`` follows an owner who is not the speaker, as in "my child's first wallet"."""
        return i > 0 and (self.said.tokens[i - 1].owner or self.said.words[i - 1] in ("his", "her", "their"))


def _a(name: str) -> str:
    """The name with its article."""
    if name.endswith("s") and " of " not in name:
        return name
    return f"{'an' if name[:1] in 'aeiou' else 'a'} {name}"

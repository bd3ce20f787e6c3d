"""Which thing a sentence asks for: names, forms met with what they are for, and glosses, each with its points.

A thing is taken only where it is clear: named in the place of what is made, with its head last and no other near it.
Otherwise the best candidates come back with the words that pointed to them, to be asked about.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ..rulebase.models import RuleBase
from . import lexicon as lex
from .candidates import CLEAR, LEAD, LEAST_NAMED, Candidate, Named, best_first
from .glosses import Glosses
from .hints import usual_sizes
from .kin import LONG, Kin
from .kinds import MOST, index_of, ranking_of, stem
from .nouns import DOERS, MODALS, NEAR, Nouns
from .roles import ARTICLES, UNNAMED, Role
from .sentence import Match, Sentence
from .shapes import Shapes

__all__ = ["Candidate", "Named", "Things"]

_WISHING = UNNAMED | {"want", "need", "id", "would", "wish", "wanted", "needed"}
_SPEAKERS = frozenset(("i", "we", "id", "wed", "im", "ive"))
_NEXT = frozenset((",", "and", "plus", ";"))
_ENDING = frozenset(("in", "with", "please", "from", "out"))
"""Words behind a form that say nothing of what it is for."""
_NOT_MEANT = (Role.LIKE, Role.REFUSED, Role.PAST, Role.SOURCE, Role.REPAIRED)
_MADE = (Role.MADE, Role.ALONE, Role.SECOND, Role.REPAIRED)
_PLAIN_USE = 4.5
"""What a thing weighs that is told only by what is done with it, where others are asked about."""
_CARRIED = 3.0
"""What a plain piece of leather weighs where it is told what becomes of it."""
_AGREED, _TOLD_TWICE = 0.6, 10.0
"""What share of the first candidate's points the others may have, and how many it needs, to be taken with a doubt."""
_STANDING_OUT = 0.7
"""What share of the points of a thing that is named outright the others may have, for it to be taken with a doubt."""
_FAR_FETCHED = 0.6
"""What share of the points of what is plainly named another thing must have to be offered beside it."""
_TOLD, _FAR = 4.0, 0.8
"""Points from which a thing without a recipe may be taken by what is told of it, and what share of them the next may
have."""

_LOTS = frozenset(("set", "pair", "batch", "lot", "bunch", "couple", "run", "number"))
"""Words for several of one thing."""


class Things:
    """Finds the thing of one sentence."""

    def __init__(self, rulebase: RuleBase, said: Sentence) -> None:
        self.nouns = Nouns(rulebase, said)
        self.base, self.said = rulebase, said
        self.words, self.roles = self.nouns.words, self.nouns.roles
        self.shapes = Shapes(self.nouns)
        self.glosses = Glosses(self.nouns, self.shapes)
        self.kin = Kin(self.nouns, self.glosses)

    def find(self) -> Named:
        """The thing asked for, or the candidates."""
        placed = [self.nouns.placed(c) for c in self._named() if c.first not in self.nouns.around]
        # "Six coasters, something that lies flat": what is done with it describes what is named.
        called = any(c.role in (Role.MADE, Role.ALONE) and c.points >= CLEAR and not self._unnamed(c) for c in placed)
        placed = [c for c in placed if not (called and self._unnamed(c))]
        described = [c for c in self.kin.described() if not (called and self._unnamed(c))]
        described = [c for c in described if c.first not in self.nouns.around]
        plain = [c for c in described if c.points >= CLEAR]
        named = [c for c in placed if not any(self._says_less(c, d) for d in plain)]
        turned = [self.nouns.placed(c) for c in self.shapes.turned() if c.first not in self.nouns.around]
        shaped = [self.nouns.placed(c) for c in self.shapes.shaped() if c.first not in self.nouns.around]
        if max((c.points for c in (*named, *turned, *shaped, *plain)), default=0.0) < CLEAR:
            named, shaped = self._only(named, shaped), self._only_shaped(named, shaped)
            shaped += self.shapes.kept()
        best: dict[str, Candidate] = {}
        for c in (*named, *turned, *shaped, *described):
            if self._only_a_lot(c):
                continue
            if c.thing.slug not in best or c.points > best[c.thing.slug].points:
                best[c.thing.slug] = c
        ranked = sorted(best.values(), key=best_first)
        either = self._either(named)
        if either:
            return Named(candidates=tuple(either), either=True, used=self._used(either))
        if not ranked or ranked[0].points < CLEAR:
            if usual := self._usual():
                return usual
            ranked = self._plausible(self.glosses.with_glosses(self._with_told(ranked)), ranked)
            clear = (self._told_enough, self._named_alone, self._agreed, self._stands_out)
            if any(found(ranked) for found in clear):
                return Named(ranked[0], used=self._used(ranked[:1]), instead=tuple(ranked[1:MOST]))
            return Named(candidates=self._offered(ranked), used=frozenset())
        ranked = self._first_asked_first(ranked)
        lead = ranked[0]
        if self._unnamed(lead) and not self._whole(lead) and (more := self._besides_unnamed(ranked)):
            return Named(candidates=tuple(more[:MOST]))
        first = any(c.role in (Role.MADE, Role.ALONE) and c.points >= CLEAR for c in ranked)
        if (lead.role is Role.SECOND and not first) or self._after_another(lead):
            return Named(candidates=self._offered(self.glosses.with_glosses(ranked)))
        if others := self.kin.of_the_same_kind(lead) or self.kin.better_described(lead):
            speaker = _SPEAKERS & set(self.said.words[max(0, lead.first - NEAR) : lead.first])
            if self.kin.far and lead.role is Role.MADE and speaker and self._harmless(lead):
                # Only words told elsewhere may make another thing of it: what is asked for by its name is taken.
                return Named(lead, used=self._used([lead]), instead=tuple(others[: MOST - 1]))
            told = sorted((*ranked, *(c for c in others if c.thing.slug not in best)), key=best_first)
            ranked = self._plausible(told, ranked)
            unread = self.kin.unread(lead)
            if len(ranked) == 1 and self._harmless(lead) and not unread:
                # There is nothing to choose from; what else it may be is said.
                return Named(ranked[0], used=self._used(ranked), instead=tuple(others[: MOST - 1]))
            return Named(candidates=self._offered(ranked), unread=unread)
        rivals = [c for c in ranked[1:] if c.points > lead.points - LEAD and c.role in _MADE]
        apart = [c for c in rivals if c.last <= lead.first or lead.last <= c.first]
        if len(apart) < len(rivals):
            offered = [c for c in ranked if c.points > lead.points - 2 * LEAD][:MOST]
            slugs = {c.thing.slug for c in offered}
            more = [c for c in self.glosses.with_glosses(ranked) if c.thing.slug not in slugs]
            return Named(candidates=self._offered((*offered, *more)))
        # Of several things asked for, the first is advised on and the others are said back.
        lead = min([lead, *apart], key=lambda c: c.first)
        second = self._each_once(c for c in [ranked[0], *apart] if c is not lead)
        second = (*second, *self._listed_after(lead, ranked, second))
        unread = self.kin.unread(lead)
        if unread and (lead.shaped or self.nouns.content(lead.first, lead.last) == 1):
            told = self._plausible(self.glosses.with_glosses(ranked), ranked)
            rest = [c for c in told if c.thing.slug != lead.thing.slug]
            if self._harmless(lead) and not lead.shaped and all(c.points <= lead.points - LEAD for c in rest):
                return Named(lead, (), second, False, unread, self._used([lead, *second]), tuple(rest[: MOST - 1]))
            return Named(candidates=self._offered((lead, *rest)), unread=unread)
        guess = self._guessed(lead) if not unread else ()
        forms = tuple(self._forms_after(lead, second))
        return Named(lead, (), second, False, unread, self._used([lead, *second]), guess, forms)

    def _only_a_lot(self, c: Candidate) -> bool:
        """ "A set of six wallets": whether a word only says that there are several of what follows."""
        words = self.said.words
        return c.first < c.last and _LOTS.issuperset(words[c.first : c.last]) and self.said.word(c.last) == "of"

    def _offered(self, ranked: Sequence[Candidate]) -> tuple[Candidate, ...]:
        """What is offered of the candidates: where one is plainly named, little else, and nothing far-fetched."""
        lead = ranked[0] if ranked else None
        told = len(self.said.words) > LONG
        if lead is None or told or lead.first == lead.last or lead.points < CLEAR or lead.role not in _MADE:
            return tuple(ranked[:MOST])
        grave = self.said.lexicon.grave
        near = [c for c in ranked[1:] if c.points >= lead.points * _FAR_FETCHED or ("item", c.thing.slug) in grave]
        if len(near) >= MOST - 1:
            return (lead, *near[: MOST - 1])
        # Of what is far behind, what was named or can be sold is the more usual.
        far = [c for c in ranked[1:MOST] if c not in near and (c.first < c.last or c.thing.recipe)]
        return (lead, *(*near, *far)[: MOST - 2])

    def _each_once(self, candidates: Iterable[Candidate]) -> tuple[Candidate, ...]:
        """Of several candidates for the same words the first."""
        kept: list[Candidate] = []
        for c in candidates:
            if all(c.last <= o.first or o.last <= c.first for o in kept):
                kept.append(c)
        return tuple(kept)

    def _first_asked_first(self, ranked: Sequence[Candidate]) -> list[Candidate]:
        """The candidates, with what a list begins with before what only follows: "sheath + mask for small axe"."""
        lead = ranked[0]
        before = [c for c in ranked if c.role in (Role.MADE, Role.ALONE) and c.points >= CLEAR and c.last <= lead.first]
        if lead.role is Role.ALONE:
            # What is said to be made goes before what only stands by itself in a later clause.
            before = [c for c in before if c.role is Role.MADE]
        if lead.role not in (Role.SECOND, Role.ALONE) or not before:
            return list(ranked)
        return [before[0], *(c for c in ranked if c is not before[0])]

    def _listed_after(
        self, lead: Candidate, ranked: Sequence[Candidate], known: Sequence[Candidate]
    ) -> Iterator[Candidate]:
        """What is asked for behind the lead by a name or by its form and use: "eight coasters and eight mats"."""
        taken = [lead, *known]
        for c in sorted(ranked, key=lambda c: (c.first, -c.points)):
            asked = c.role is Role.SECOND or (c.role in (Role.MADE, Role.ALONE) and self._anded(c))
            whole = c.points >= c.role.value and (not c.shaped or self._formed(c))
            apart = all(c.first >= o.last and c.thing.slug != o.thing.slug for o in taken)
            if asked and whole and apart:
                taken.append(c)
                yield c

    def _forms_after(self, lead: Candidate, known: Sequence[Candidate]) -> Iterator[str]:
        """The words of what is asked for behind the lead by its form alone: "pulls and a strap to hang the towels"."""
        covered = {i for c in (lead, *known) for i in range(c.first, c.last)}
        for i in range(lead.last, len(self.said.words)):
            form, n = self.nouns.form_at(i)
            if not form or not self.words.forms[form].things or i in covered or self.nouns.inside_a_name(i):
                continue
            start = self.nouns.start_of(i)
            article = self.said.word(start) in ARTICLES or self.said.tokens[i + n - 1].plural
            listed = self.said.word(start - 1) in ("and", "plus") and self.nouns.ends_a_phrase(i + n - 1)
            if article and listed and self.roles.role(i) is Role.SECOND:
                yield self.nouns.text(start, i + n)

    def _anded(self, c: Candidate) -> bool:
        """Whether "and" or "plus" leads to a thing: "and a mask for my axe", "+ mask"."""
        return self.said.word(self.nouns.start_of(c.first) - 1) in ("and", "plus")

    def _unnamed(self, c: Candidate) -> bool:
        """Whether a thing has no name, only what is done with it: "thing that lies flat"."""
        return lex.phrase(c.thing.name)[:1] == ("thing",)

    def _whole(self, c: Candidate) -> bool:
        """Whether nothing is said but the name of the thing."""
        item = self.base.items.get(c.thing.slug)
        return item is not None and tuple(self.said.words) in {lex.phrase(name) for name in item.words}

    def _besides_unnamed(self, ranked: Sequence[Candidate]) -> list[Candidate]:
        """What has a name and is pointed to as well, with what has none; empty if nothing is."""
        known = [c._replace(points=min(c.points, _PLAIN_USE)) if self._unnamed(c) else c for c in ranked]
        told = self._plausible(self.glosses.with_glosses(self._with_told(known)), ranked)
        return told if any(c.points >= _TOLD and not self._unnamed(c) for c in told) else []

    def _with_told(self, ranked: Sequence[Candidate]) -> list[Candidate]:
        """The candidates with what forms make of objects in other clauses."""
        best = {c.thing.slug: c for c in ranked}
        for c in (*self.shapes.told(), *self.kin.headed()):
            if c.thing.slug not in best or best[c.thing.slug].points < c.points:
                best[c.thing.slug] = c
        return sorted(best.values(), key=best_first)

    def _guessed(self, lead: Candidate) -> tuple[Candidate, ...]:
        """What else a thing may be that was found by something only like what it is for: "straps for my toolbox"."""
        form = self.nouns.form_at(lead.first)[0]
        if not lead.shaped or not form:
            return ()
        for i in range(len(self.said.words)):
            slug, n = self.nouns.object_at(i)
            like = {tuple(map(lex.fold, text.split())) for text in self.words.objects[slug].like} if slug else set()
            if tuple(self.said.words[i : i + n]) in like and lead.thing.slug in self.nouns.made_of(form, slug):
                others = [s for s in self.words.forms[form].things if s != lead.thing.slug]
                return tuple(lead._replace(thing=self.words.things[s]) for s in others[:1])
        return ()

    def _usual(self) -> Named | None:
        """ "Make a lead": what a form means where nothing but it is said, with what else it may be."""
        said = self.said
        at = [(i, *self.nouns.form_at(i)) for i in range(len(said.words)) if self.nouns.form_at(i)[0]]
        if len(at) != 1:
            return None
        i, form, n = at[0]
        usual, after, role = self.words.forms[form].usual, said.word(i + n), self.roles.role(i)
        before = said.word(i - 1)
        told = self.roles.joined(i) and not (self.nouns.is_value(i - 1) or before in lex.STOP | ARTICLES | lex.PLAIN)
        alone = not told and self.nouns.ends_a_phrase(i + n - 1)
        if not usual or not alone or role not in (Role.MADE, Role.ALONE):
            return None
        if after[0].isalnum() and after not in _ENDING:
            return None
        made = [
            Candidate(self.words.things[slug], CLEAR, self.nouns.text(i, i + n), i, i + n, role)
            for slug in dict.fromkeys((usual, *self.words.forms[form].things))
        ]
        return Named(made[0], used=self._used(made[:1]), instead=tuple(made[1:]))

    def _plausible(self, ranked: Sequence[Candidate], named: Sequence[Candidate]) -> list[Candidate]:
        """Without what other clauses speak of, where something is named or formed in the place of what is made.

        Beside it stand only what is asked for too, and what ends in the same word or is of the same form.
        """
        asked = [c for c in ranked if c.role in (Role.MADE, Role.ALONE) and c.first < c.last]
        said = {c.thing.slug for c in named if c.points >= LEAST_NAMED and (not c.shaped or self._formed(c))}
        said |= {c.thing.slug for c in asked if c.points >= CLEAR and not c.shaped and c.role is Role.MADE}
        pieces = usual_sizes(self.base).pieces
        sure = [c for c in asked if c.thing.slug in said and self.said.word(c.last - 1) not in pieces]
        # What is said to be made goes before what only stands by itself in another clause.
        sure = [c for c in sure if c.role is Role.MADE] or sure
        unnamed = any(word in UNNAMED for word in self.said.words)
        if not sure or unnamed:
            return list(ranked)
        heads = {stem(self.said.word(c.last - 1)) for c in sure}
        index = index_of(self.base)
        kind = {slug for head in heads for slug in index.heads.get(head, {})}
        told = [c for c in ranked if c.first == c.last and c.thing.slug in kind]
        return [c for c in ranked if c in asked or c in told or c.role in (Role.SECOND, Role.REPAIRED)]

    def _formed(self, c: Candidate) -> bool:
        """Whether a form is named, unlike in "to hold my keys"."""
        return any(self.nouns.form_at(i)[0] for i in range(c.first, c.last))

    def _named_alone(self, ranked: Sequence[Candidate]) -> bool:
        """Whether one thing is named in the place of what is made and nothing else can be meant; nobody may be hurt."""
        if len(ranked) != 1:
            return False
        lead = ranked[0]
        made = lead.role in (Role.MADE, Role.REPAIRED)
        named = made and lead.first < lead.last and lead.points >= LEAST_NAMED
        return named and bool(lead.thing.recipe) and self._harmless(lead)

    def _agreed(self, ranked: Sequence[Candidate]) -> bool:
        """Whether names, forms and glosses together point to one thing far before any other.

        A name of several words for what somebody has ("my guitar strap is ...") is meant where nothing else is made;
        a form with its object is, where what is told of the thing says the same and nobody may be hurt.
        """
        if not ranked:
            return False
        lead = ranked[0]
        ahead = all(c.points <= lead.points * _AGREED for c in ranked[1:])
        if not ahead or lead.first == lead.last or ("item", lead.thing.slug) in self.said.lexicon.grave:
            return False
        if not lead.shaped:
            # "The arm of the sofa is torn, anything to put over": something else is wished for.
            several = self.nouns.content(lead.first, lead.last) > 1 and UNNAMED.isdisjoint(self.said.words)
            return several and lead.role is Role.REPAIRED and lead.points >= LEAST_NAMED
        if self.nouns.form_at(lead.first)[0] and self.roles.role(lead.first) not in (
            Role.MADE,
            Role.ALONE,
            Role.SECOND,
        ):
            # "My dog slips out of her collar" wishes for nothing yet.
            return False
        return bool(lead.thing.recipe) and lead.points >= _TOLD_TWICE and self._harmless(lead)

    def _stands_out(self, ranked: Sequence[Candidate]) -> bool:
        """Whether the one thing that is named outright leaves all others far behind, wherever it stands."""
        # "Something like a dog collar" is a dog collar.
        unnamed = any(word in UNNAMED and self.said.word(i + 1) != "like" for i, word in enumerate(self.said.words))
        if not ranked or unnamed:
            return False
        lead = ranked[0]
        telling = [i for i in range(lead.first, lead.last) if self.said.words[i] not in lex.PLAIN]
        several = self.nouns.content(lead.first, lead.last) > 1 and len(telling) > 1
        if len(telling) == 1 and self.nouns.form_at(telling[0])[0]:
            # "A little bag" is any bag.
            return False
        named = lead.first < lead.last and not lead.shaped and lead.role not in (Role.REFUSED, Role.SOURCE)
        elsewhere = [i for i in range(len(self.said.words)) if not lead.first <= i < lead.last]
        forms = [i for i in elsewhere if self.nouns.form_at(i)[0]]
        made = any(self.roles.role(i) in (Role.MADE, Role.ALONE) for i in forms)
        if made or (lead.role is Role.PLACE and any(i < lead.first for i in forms)):
            # "The belt that goes round me when I sit in the high seat" is no seat.
            return False
        ahead = all(c.points <= lead.points * (_STANDING_OUT if several else _AGREED) for c in ranked[1:])
        return named and ahead and bool(lead.thing.recipe) and lead.points >= CLEAR + 1 and self._harmless(lead)

    def again(self) -> Named:
        """The thing that somebody had and wants another of; nothing where several are told of."""
        found = self.find()
        if found.taken and found.taken.shaped and not found.instead and not self._grave(found.taken):
            # "The strap on my camera broke" names it by what it is on.
            return found
        placed = [self.nouns.placed(c) for c in self._named()]
        unnamed = any(word in UNNAMED for word in self.said.words)
        if unnamed or len({c.thing.slug for c in placed}) != 1 or not self._harmless(placed[0]):
            return Named()
        return Named(placed[0], used=self._used(placed))

    def _harmless(self, c: Candidate) -> bool:
        """Whether nobody is hurt if a thing is taken with a doubt: it may bear nothing, and no life hangs on it."""
        return not c.thing.may_bear and not self._grave(c)

    def _grave(self, c: Candidate) -> bool:
        return ("item", c.thing.slug) in self.said.lexicon.grave

    def _told_enough(self, ranked: Sequence[Candidate]) -> bool:
        """Whether what is only told points to one thing alone. One with a recipe is asked about: it would be sold."""
        if not ranked or len(self.said.words) > LONG:
            return False
        lead = ranked[0]
        shared = ranking_of(self.base).shared(lead.thing.slug, self.said.words)
        telling = [
            i for i in shared if self.nouns.tells(i) and not self.nouns.form_at(i)[0] and not self.nouns.is_value(i)
        ]
        rare = {self.said.words[i] for i in telling} - lex.plain_english()
        several = len({stem(word) for word in rare}) > 1
        clear = lead.points >= _TOLD and all(c.points <= lead.points * _FAR for c in ranked[1:])
        return several and clear and lead.role not in _NOT_MEANT and not lead.thing.recipe and self._harmless(lead)

    def _only(self, named: list[Candidate], shaped: Sequence[Candidate]) -> list[Candidate]:
        """ "My dog slips out of her collar": what alone is named is meant, if no other noun can be the thing."""
        slugs = {c.thing.slug for c in named}
        if len(slugs) != 1 or shaped or any(c.role in _NOT_MEANT or c.first in self.nouns.carriers for c in named):
            return named
        wishing = _WISHING.intersection(self.said.words)
        if wishing and all(c.role in (Role.PURPOSE, Role.PLACE) for c in named):
            # "He puts his boots on it, it wants new leather": the boots are there, something else is wished for.
            return named
        first = min(c.first for c in named)
        if any(self.roles.noun(i) or self.nouns.form_at(i)[0] for i in range(first)):
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
        certain = [c for c in shaped if not self._formed(c) or self.shapes.called_so(c)]
        return [c._replace(points=max(c.points, CLEAR + 0.5)) for c in certain] or shaped

    def _used(self, candidates: Sequence[Candidate]) -> frozenset[int]:
        worn = {i + 1 for i in self.nouns.carried} | self.nouns.carried
        return frozenset(i for c in candidates for i in range(c.first, c.last)) | worn

    def _after_another(self, lead: Candidate) -> bool:
        """ "Something for the tiller and a pocket": whether what was asked for first is none of the names known."""
        words = self.said.words
        for i in range(lead.first - 1):
            if words[i] not in UNNAMED or self.roles.role(i) not in (Role.MADE, Role.ALONE) or words[i + 1] == "but":
                continue
            between = range(i + 1, lead.first)
            marks = [j for j in between if words[j] in _NEXT]
            if marks and any(self.roles.noun(j) or self.nouns.object_at(j)[0] for j in range(i + 1, marks[-1])):
                return True
        return False

    def _named(self) -> Iterator[Candidate]:
        """Things named outright; one that only says of what kind the next noun is, is none."""
        for m in self.nouns.matches():
            if m.last - m.first == 1 and self.said.word(m.first - 1) in DOERS | MODALS:
                continue
            if self.nouns.called_after(m) and (self.roles.had(m.first) or self.roles.came(m.last)):
                continue
            role = Role.PLACE if self._object_of_a_name(m) else self.roles.role(m.first)
            points = role.value + 1.5 * min(self.nouns.content(m.first, m.last) - 1, 2)
            if m.first in self.nouns.carriers:
                # Leather for something else is only offered.
                points = min(points, _CARRIED)
            tail = m.last
            names_use = bool({"for", "of"} & set(self.said.words[m.first : m.last]))
            if not names_use and self.roles.joined(tail):
                if tail in self.said.owner and self.said.owner[tail].attribute == "item":
                    continue
                # Of two nouns the first is seldom a plural: "tool rolls chisels" are tool rolls.
                several = self.said.tokens[tail - 1].plural
                if self.nouns.form_at(tail)[0] and not several:
                    continue
                if (self.roles.noun(tail) and not several) or self.said.tokens[tail - 1].owner:
                    points -= 6
            yield Candidate(self.words.things[m.value], points, self.nouns.text(m.first, m.last), m.first, m.last, role)

    def _object_of_a_name(self, m: Match) -> bool:
        """ "Rebinding a diary", "lining a purse": whether the work named right before is done to what is named here."""
        i = m.first - 1
        while i >= 0 and self.said.words[i] in ARTICLES:
            i -= 1
        before = self.said.owner.get(i)
        work = i < m.first - 1 and before is not None and before.attribute == "item"
        return work and self.said.words[i].endswith("ing")

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

    def _says_less(self, c: Candidate, described: Candidate) -> bool:
        """Whether a bare name is a part of a phrase that describes another thing."""
        inside = described.first <= c.first and c.last <= described.last
        return inside and c.thing.slug != described.thing.slug and self.nouns.content(c.first, c.last) == 1

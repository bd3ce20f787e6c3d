"""Free sentences into facts: longest known words, sizes next to their cue, negation and doubt kept.

Nothing is guessed. What was not used is handed back as unread, what could be read two ways as a
doubt. Whatever hints at a person hanging from leather is read on the careful side. All is pure.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from ..errors import AnswerError, UsageError, nearest, shown
from ..leather.units import Units
from ..reasoning.facts import Answer, attribute_named, parse_answer, parse_piece
from ..rulebase.models import RuleBase
from ..rulebase.patterns import PIECE
from . import lexicon as lex
from .measures import Measures
from .notes import Fact, Reading, Understood
from .offered import LEATHER, said_leather
from .sentence import Match

MAX_TEXT = 2000
__all__ = ["MAX_TEXT", "Reading", "Understood", "is_assignment", "read_assignments", "read_sentence", "read_words"]


def read_sentence(rulebase: RuleBase, text: str, item: str | None = None, units: Units = "mm") -> Reading:
    """What ``text`` says about the job. ``item`` is the item already known, so sizes find their attribute.

    ``units`` are the measures in which it is said back.
    Never raises on any text: what cannot be used comes back in ``unread`` and ``doubts``.
    """
    doubts = []
    if len(text) > MAX_TEXT:
        doubts.append(f"Only the first {MAX_TEXT} characters were read.")
        text = text[:MAX_TEXT]
    odd = ("Cc", "Cs", "Co", "Cn")
    rubbish = [c for c in text if c == "�" or (unicodedata.category(c) in odd and c not in "\t\n\r")]
    if rubbish:
        what = ascii("".join(dict.fromkeys(rubbish))[:8])
        doubts.append(f"The text holds characters that are no writing: {what}.")
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
            raise AnswerError(name, value.strip(), "it is given twice; give it once")
        if name.startswith(PIECE):
            answers[name] = parse_piece(name, value)
        else:
            answers[name] = parse_answer(attribute_named(rulebase, name), value.strip())
    return answers


def read_words(
    rulebase: RuleBase, words: Iterable[str], units: Units = "mm"
) -> tuple[Reading, dict[str, Answer]]:
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
    return reading, {**reading.answers, **answers}


def is_assignment(word: str) -> bool:
    """Whether a word of a command line is ``attribute=value``."""
    name, equals, _ = word.partition("=")
    return bool(equals) and name.strip().removeprefix(PIECE).removeprefix(LEATHER).isidentifier()


_BOTH = frozenset(("and", "a", "an", "the", "my"))
# What may stand between "strap" and "duffle bag" in the name of a part.
_OF_A_PART = frozenset(("a", "an", "the", "my", "our", "her", "his", "for", ",", "and", "wide", "long", "thick"))


class _Reader(Measures):
    """Reads one sentence: the item first, since it says what a size can be; then people, sizes and values."""

    def __init__(self, rulebase: RuleBase, text: str, item: str | None, doubts: list[str], units: Units) -> None:
        super().__init__(rulebase, text, doubts, units)
        self.item = item if item in rulebase.items else None
        self.far: dict[int, int] = {}

    def read(self) -> Reading:
        self.refusals()
        self.name_item()
        self.children()
        for s in self.said.sizes:
            self.place(s)
        self.assert_matches()
        if "item" not in self.facts and not self.item and "item" not in self.open:
            self.offer_items()
        wished = self.facts.get("wished_tannage", ())
        self.proposal, used = said_leather(self.base, self.said, self.thick, str(wished[0].value) if wished else None)
        self.used |= used
        return self.reading()

    def name_item(self) -> None:
        """Chooses the item: what a life hangs on, then the longest name, then the first; the rest is doubted."""
        said = self.said
        named = [m for m in said.matches if m.attribute == "item"]
        if not named:
            named = self.apart() or [
                Match("item", said.lexicon.heads[word], i, i + 1, i) for i, word in enumerate(said.words)
                if word in said.lexicon.heads and i not in said.owner and said.word(i + 1) != "of"
                and (said.ends(i - 1) or i - 1 in said.owner or said.word(i - 1) in lex.PLAIN)
            ]  # fmt: skip
        if self.between(named):
            return
        named = [m for m in map(self.part_of, named) if self.allowed(m)]
        near = {m.value for m in named if self.base.items[m.value].family not in ("straps", "unusual")}
        for m in [m for m in named if m.value == "climbing_gear" and m.last - m.first == 1 and near]:
            # Gear for climbers that bears nobody, such as a chalk bag, is not climbing gear.
            self.doubt(said.span(m.first, m.last), "was left out; say so if a person will ever hang from it")
            self.used.add(m.first)
            named.remove(m)
        if not named:
            return
        if self.either(named):
            return
        best = min(named, key=lambda m: (("item", m.value) not in self.said.lexicon.grave, m.first - m.last, m.first))
        self.item = best.value
        for m in named:
            name, other = self.base.items[best.value].name, self.base.items[m.value].name
            if m.value == best.value:
                self.add("item", m.value, m.first, m.last)
                if m.first in self.far:
                    self.join_far(m.first, self.far[m.first])
                said.owner.update(dict.fromkeys(range(m.first, m.last), m))
            elif m.last <= best.first or best.last <= m.first:
                self.doubts.append(f"Both {name} and {other} can be meant; {name} was taken.")
                self.used.update(range(m.first, m.last))

    def join_far(self, i: int, j: int) -> None:
        """The fact just noted comes from the words ``i`` and ``j``; what stands between is still to be read."""
        fact = self.facts["item"].pop()
        self.used.add(j)
        self.facts["item"].append(Fact(fact.value, self.said.span(min(i, j), max(i, j) + 1), fact.note))

    def part_of(self, m: Match) -> Match:
        """ "A strap 4 cm wide for a duffle bag" is a bag strap and no bag."""
        said = self.said
        for j in range(m.last + 1, min(m.last + 9, len(said.words))) if m.last == m.first + 1 else ():
            for a, value in said.lexicon.phrases.get((said.words[j], said.words[m.first]), ()):
                if a == "item" and said.words[j - 1] == "for" and (a, value) not in self.said.lexicon.grave:
                    self.far[m.first] = j
                    return m._replace(value=value)
        for i in range(m.first - 3, -1, -1):
            between = said.words[i + 1 : m.first]
            if between[-2] != "for" or not set(between) <= _OF_A_PART:
                return m
            for a, value in said.lexicon.phrases.get((said.word(m.last - 1), said.words[i]), ()):
                if a == "item" and i not in said.owner:
                    return Match(a, value, i, m.last, i)
        return m

    def of_another(self, i: int) -> bool:
        """Whether the word at ``i`` follows an owner who is not the speaker, as in "my child's first wallet"."""
        return i > 0 and (self.said.tokens[i - 1].owner or self.said.words[i - 1] in ("his", "her", "their"))

    def apart(self) -> list[Match]:
        """ "A collar that can hold my dog": a name whose two words stand apart, when only one thing can be meant."""
        said, found = self.said, list[Match]()
        free = [i for i in range(len(said.words)) if i not in said.owner and i not in said.masked and not said.ends(i)]
        for i in free:
            meant = {
                (j, value) for j in free if j not in (i - 1, i) and abs(i - j) < 8
                for a, value in said.lexicon.phrases.get((said.words[j], said.words[i]), ())
                if a == "item" and (a, value) not in self.said.lexicon.grave
            }  # fmt: skip
            if len({value for _, value in meant}) == 1 and said.scope(i)[0] != "no":
                j, value = min(meant)
                if said.scope(j)[0] != "no":
                    self.far[i] = j
                    found.append(Match("item", value, i, i + 1, i))
        return found if len({m.value for m in found}) == 1 else []

    def either(self, named: list[Match]) -> bool:
        """ "A tote or a backpack" leaves the item open, unless a life may hang on one of them."""
        if any(("item", m.value) in self.said.lexicon.grave for m in named) or len({m.value for m in named}) < 2:
            return False
        ors = [(m, o) for m in named for o in named if m.last <= o.first and self.said.ored(m.last, o.first)]
        both = {m for pair in ors for m in pair}
        if len({m.value for m in both}) < 2 or both != set(named):
            return False
        self.leave_open(both)
        return True

    def between(self, named: list[Match]) -> bool:
        """ "I can't decide between a tote and a backpack" leaves the item open."""
        words = self.said.words
        for m in named:
            for o in named:
                middle = words[m.last : o.first] if m.last < o.first else []
                grave = {("item", m.value), ("item", o.value)} & self.said.lexicon.grave
                asked = "between" in words[max(0, m.first - 2) : m.first] and "and" in middle and m.value != o.value
                if asked and not grave and set(middle) <= _BOTH:
                    self.leave_open({m, o})
                    return True
        return False

    def leave_open(self, both: set[Match]) -> None:
        """Notes the items between which the sentence leaves a choice."""
        self.open["item"] = tuple(dict.fromkeys(m.value for m in sorted(both, key=lambda m: m.first)))
        self.used.update(i for m in both for i in range(m.first, m.last))

    def offer_items(self) -> None:
        """A misspelt thing that could be more than one, or is too far off to be taken, is offered."""
        for i, word in enumerate(self.said.words):
            if i not in self.used and (near := self.said.near(i)):
                self.doubts.append(f"{shown(word)} was not taken; did you mean {' or '.join(near[:3])}?")

    def assert_matches(self) -> None:
        """Turns the words for values into facts, unless negated, doubted or readable two ways."""
        said = self.said
        matches = [m for m in said.matches if m.attribute != "item"]
        kept = []
        for m in matches:
            mild = [o for o in matches if (o.attribute, o.value) not in self.said.lexicon.grave]
            same = [o for o in mild if (o.first, o.last) == (m.first, m.last)]
            item_near = {o.attribute for i in range(m.last, m.last + 3) if (o := said.owner.get(i))}
            if len(same) > 1 and m in same:
                names = " or ".join(o.attribute.replace("_", " ") for o in same)
                self.doubt(said.span(m.first, m.last), f"can be meant of {names}; say which")
                self.used.update(range(m.first, m.last))
            elif said.words[m.first : m.last] != ["first"] or ("item" in item_near and not self.of_another(m.first)):
                kept += [m] if self.allowed(m) else []
        for m in kept:
            a = self.base.attributes[m.attribute]
            ors = [o for o in kept if o.attribute == m.attribute and o.value != m.value
                   and (said.ored(o.last, m.first) or said.ored(m.last, o.first))]  # fmt: skip
            # Of what may harm somebody both are taken: "allergic to nickel or chrome" means neither must be near.
            grave = {(o.attribute, o.value) for o in (m, *ors)} & self.said.lexicon.grave
            if ors and not grave and not (a.kind == "set" and a.group in ("people", "limits")):
                both = sorted((m, *ors), key=lambda o: o.first)
                values = (*self.open.get(m.attribute, ()), *(o.value for o in both))
                self.open[m.attribute] = tuple(dict.fromkeys(values))
                self.used.update(range(m.first, m.last))
            else:
                self.add(m.attribute, m.value, m.first, m.last)
        usual = self.base.items[self.item].supposes.get("load_carrier", ()) if self.item else ()
        hung = [f for f in self.facts.get("load_carrier", ()) if f.value == "person_body_weight"]
        if hung and "consequence" not in self.facts and not {"person_body_weight", "furniture"} & set(usual):
            self.facts["consequence"] = [Fact("life", hung[0].span, "")]

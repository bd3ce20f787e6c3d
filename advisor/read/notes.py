"""What a reading has gathered so far: facts, words used, words left over and doubts."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ..errors import AnswerError, shown
from ..leather.units import Units, show
from ..reasoning.facts import Answer, parse_answer
from ..reasoning.review import Proposal
from ..rulebase.models import Attribute, RuleBase, Value
from ..rulebase.words import words_of
from . import lexicon as lex
from .ages import ages
from .candidates import Named
from .danger import RAISED, Raised
from .numbers import Size
from .purposes import purposes
from .sentence import Sentence

_ORDINAL = re.compile(r"\d+(?:st|nd|rd|th)")
SAID_LEATHER = "leather"
"""What stands for an attribute where something is said of the leather itself."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something that could not be settled: its kind, what it is about, and a sentence for the person.

    ``placeable`` is a size that one question to the person can place.
    """

    code: str
    text: str
    params: Mapping[str, str] = field(default_factory=dict)
    placeable: bool = False

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class Understood:
    """One fact read: the attribute, the words it came from and where they stand, and how it is shown back.

    What is said of the leather itself and is no answer has the attribute ``leather``; ``value`` then says what.
    """

    attribute: str
    words: str
    text: str
    span: tuple[int, int]
    value: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """What a sentence says, what was not used of it, and what could not be settled.

    ``ranges`` gives the ends (low, high; None where open) of sizes said as a span or a bound, in the attribute's unit;
    ``choices_open`` the values between which the sentence leaves a choice. Neither is among the answers.
    ``proposal`` is a leather that it names beside the job: it is compared with the advice, never taken for it.
    ``hints`` are usual sizes behind a name ("a 13 inch laptop") and what labels come to ("size 34 jeans"), for what
    nobody answered: a value in the attribute's unit and the words; shown and asked about, never an answer.
    ``named`` is what was found of the thing asked for, also where it was not taken or has no recipe. ``dangers`` are
    looked for in the whole text; those not denied stand among the answers as the fact ``raised``, and what was said
    outright answers the question of its danger.
    """

    answers: Mapping[str, Answer]
    understood: tuple[Understood, ...]
    unread: tuple[str, ...]
    doubts: tuple[Doubt, ...]
    ranges: Mapping[str, tuple[float | None, float | None]] = field(default_factory=dict)
    choices_open: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    proposal: Proposal = field(default_factory=Proposal)
    named: Named = field(default_factory=Named)
    hints: Mapping[str, tuple[Value, str]] = field(default_factory=dict)
    dangers: tuple[Raised, ...] = ()

    @property
    def metric(self) -> bool:
        """Whether a size without a unit was taken as mm or cm."""
        return any(d.code == "unit_assumed" and d.params.get("unit") in ("mm", "cm") for d in self.doubts)

    def summary(self) -> str:
        """What was understood in one line, each thing once; empty when nothing was."""
        return "; ".join(dict.fromkeys(u.text for u in self.understood))


def puzzling(rulebase: RuleBase, reading: Reading) -> tuple[str, ...]:
    """The unread words worth telling.

    Not who gets it, if grown, nor what brought the thing or those offered, nor a thing that is known by that name.
    """
    things = (reading.named.taken,) if reading.named.taken else reading.named.candidates
    named = " ".join(" ".join(lex.words_and_marks(c.words)) for c in things if c)
    plain = ages(rulebase).adults | lex.SPOKEN
    left = {words: " ".join(lex.words_and_marks(words)) for words in reading.unread}
    told = [words for words, low in left.items() if low not in plain and f" {low} " not in f" {named} "]
    return tuple(dict.fromkeys(filter(None, (_unknown(rulebase, w, left[w].split(), plain) for w in told))))


def _unknown(rulebase: RuleBase, text: str, words: Sequence[str], plain: frozenset[str]) -> str:
    """What is left of ``text`` without the known things, forms and objects at its ends; "" where nothing is."""
    known = lex.lexicon(rulebase)
    idle = plain | lex.PLAIN | lex.STOP | lex.GENERAL | {"grown"}
    words = [w if w in known.spelt else lex.meant(known, w) or w for w in words]
    i, strange = 0, list[int]()
    while i < len(words):
        runs = (tuple(words[i : i + n]) for n in range(min(4, len(words) - i), 0, -1))
        n = next((len(r) for r in runs if r in known.objects or r in known.forms or _names(known, r)), 0)
        if not n and words[i] not in idle and not _ORDINAL.fullmatch(words[i]):
            strange.append(i)
        i += n or 1
    if not strange:
        return ""
    raw = text.split()
    return " ".join(raw[strange[0] : strange[-1] + 1]) if len(raw) == len(words) else text


def _names(known: lex.Lexicon, words: tuple[str, ...]) -> bool:
    return any(attribute == "item" for attribute, _ in known.phrases.get(words, ()))


@dataclass(frozen=True, slots=True)
class Fact:
    """A value read, where it stands in the text, and a note for the reader."""

    value: Value
    span: tuple[int, int]
    note: str


class Notes:
    """The facts of one sentence while they are gathered; see ``reading`` for the order of work."""

    def __init__(self, rulebase: RuleBase, text: str, doubts: list[Doubt], units: Units = "mm") -> None:
        self.base, self.doubts, self.said = rulebase, doubts, Sentence(rulebase, text)
        self.words = words_of(rulebase)
        self.named = Named()
        self.dangers: tuple[Raised, ...] = ()
        self.units = units
        self.left: list[tuple[int, int]] = []
        self.facts: dict[str, list[Fact]] = {}
        self.used: set[int] = set()
        self.refused: set[int] = set()
        self.aged: set[int] = set()
        self.ranges: dict[str, tuple[float | None, float | None]] = {}
        self.open: dict[str, tuple[str, ...]] = {}
        self.thick: list[Size] = []
        self.hints: dict[str, tuple[Value, str]] = {}
        self.hinted: list[tuple[frozenset[str], str, set[int]]] = []
        self.proposal = Proposal()
        self.points: list[Understood] = []
        self.beside: dict[str, tuple[tuple[str, ...], tuple[int, int]]] = {}
        """What a point of the leather comes to for rules: by attribute the values, and where the words stand."""

    def point(self, value: str, span: tuple[int, int], text: str = "") -> None:
        """Notes what is said of the leather itself; ``text`` is how it is shown back, if not as that."""
        shown_back = text or f"{SAID_LEATHER} {value}"
        self.points.append(Understood(SAID_LEATHER, self.text(*span), shown_back, span, value))

    def keep(self, s: Size, last: int = 0) -> None:
        """Keeps a size without a unit as it was said, with the words up to ``last``, and asks for the unit."""
        start, end = self.around(s, s.at, max(last, s.at))
        words = self.text(start, end)
        self.point(f"sizes {words}", (start, end), f"size {words}")
        self.tell("no_unit", f"{shown(words)} has no unit; write mm, cm or inches.", words=words)

    def text(self, start: int, end: int) -> str:
        """A stretch of the text as it was written."""
        return self.said.text[start:end]

    def said_of_a_thing(self, s: Size) -> None:
        """Notes the age of a thing, from which nothing follows."""
        self.used.update(i for i, t in enumerate(self.said.tokens) if s.start <= t.start < s.end)
        self.point(f"age {self.text(s.start, s.end)}", (s.start, s.end), f"{self.text(s.start, s.end)} as its age")

    def yields(self, attribute: str, soft: tuple[int, int]) -> bool:
        """Takes back what was said softly between two places where the same was said firmly elsewhere."""
        facts, kind = self.facts.get(attribute, []), self.base.attributes[attribute].kind
        firm = [f for f in facts if not (soft[0] <= f.span[0] and f.span[1] <= soft[1])]
        if kind == "set" or not firm or len(firm) == len(facts):
            return False
        self.facts[attribute] = firm
        return True

    def took(self, start: int, end: int) -> bool:
        """Whether a stretch of the text was taken for a fact or a thickness."""
        spans = [f.span for facts in self.facts.values() for f in facts] + [(s.start, s.end) for s in self.thick]
        return any(a <= start and end <= b for a, b in spans)

    def doubt(self, span: tuple[int, int], why: str, code: str = "not_taken", placeable: bool = False) -> None:
        """Leaves a stretch of the text unread, with the reason."""
        words = self.text(*span)
        self.doubts.append(Doubt(code, f"{shown(words)} {why}.", {"words": words}, placeable))
        self.left.append(span)

    def tell(self, code: str, text: str, **params: str) -> None:
        """Notes something that could not be settled."""
        self.doubts.append(Doubt(code, text, params))

    def add(
        self, attribute: str, value: Value, first: int, last: int, s: Size | None = None, gaps: Sequence[int] = ()
    ) -> None:
        """Notes a fact from the words ``first`` to ``last`` but ``gaps``, and a size, and marks them used."""
        used = set(range(first, last)).difference(gaps)
        self.used |= used
        ends = ([self.said.span(min(used), max(used) + 1)] if used else []) + ([(s.start, s.end)] if s else [])
        note = ", spelling corrected" if self.said.fixed & used else ""
        self.facts.setdefault(attribute, []).append(
            Fact(value, (min(a for a, _ in ends), max(b for _, b in ends)), note)
        )

    def number(self, a: Attribute, s: Size, text: str, first: int, last: int) -> None:
        """Checks a number against its attribute; outside its limits it becomes a doubt."""
        try:
            self.add(a.name, parse_answer(a, text, "read", self.units).values[0], first, last, s)
        except AnswerError as error:
            self.tell("out_of_range", str(error), attribute=a.name)
            self.left.append(self.around(s, first, last))

    def around(self, s: Size, first: int, last: int) -> tuple[int, int]:
        """Where a size stands with the words ``first`` to ``last`` if they touch it, which are then used with it."""
        named = {i for i, m in self.said.owner.items() if m.attribute == "item"}
        while first < s.at and first in named:
            first += 1
        while last > s.at and last - 1 in named:
            last -= 1
        if not first <= s.at <= last or first == last:
            return s.start, s.end
        self.used.update(range(first, last))
        start, end = self.said.span(first, last)
        return min(start, s.start), max(end, s.end)

    def range(self, a: Attribute, s: Size, ends: Sequence[str | None], first: int, last: int) -> None:
        """Notes a size of which only one or both ends are known; it stays open between them."""
        try:
            low, high = (None if e is None else float(parse_answer(a, e, "read", self.units).values[0]) for e in ends)
        except AnswerError as error:
            self.tell("out_of_range", str(error), attribute=a.name)
            self.left.append(self.around(s, first, last))
            return
        self.ranges[a.name] = low, high
        self.used.update(range(first, last))

    def reading(self) -> Reading:
        """Everything gathered, as the caller gets it."""
        answers: dict[str, Answer] = {}
        understood: list[tuple[int, Understood]] = []
        for name, found in self.facts.items():
            a = self.base.attributes[name]
            values = self._settled(a, found)
            if values:
                words = dict.fromkeys(self.text(*f.span) for f in found if f.value in values)
                answers[name] = Answer(values, "known", "read", ", ".join(words))
            for f in (f for f in found if f.value in values):
                read = Understood(name, self.text(*f.span), self._shown(a, f.value) + f.note, f.span)
                understood.append((f.span[0], read))
        for name, (slugs, span) in self.beside.items():
            a, said = self.base.attributes[name], self.text(*span)
            answers[name] = Answer(slugs, "known", "read", said)
            understood += [(span[0], Understood(name, said, self._shown(a, slug), span)) for slug in slugs]
        self._danger_answers(answers, understood)
        ranges = {n: ends for n, ends in self.ranges.items() if n not in answers}
        choices = {n: values for n, values in self.open.items() if n not in answers}
        for n, ends in ranges.items():
            self.tell("range", _range_said(self.base.attributes[n], *ends, self.units), attribute=n)
        for n, values in choices.items():
            # An open age, and an open thing, are told in words of their own.
            if n not in ("user_kind", "item"):
                self.tell("choice", _choice_said(n, values), attribute=n)
        # Who gives one size of a thing knows better than its name; but the neck of a dog does not tell its mass.
        given, known = answers.keys() | ranges.keys(), set[str]()
        groups = {a.name: a.group for a in self.base.attributes.values()}
        for names, _, _ in self.hinted:
            told = {groups[n] for n in names & given}
            known.update(n for n in names if told and (groups[n] in told or groups[n] == "size"))
        hints = {n: hint for n, hint in self.hints.items() if n not in known}
        for names, text, inside in self.hinted:
            if not names.isdisjoint(hints):
                self.tell("hint", text)
                self.used |= inside
        self._unread_words()
        spans: list[tuple[int, int]] = []
        for span in sorted(set(self.left), key=lambda s: (s[0], -s[1])):
            if not spans or span[1] > spans[-1][1]:
                spans.append(span)
        understood += [(u.span[0], u) for u in dict.fromkeys(self.points)]
        understood.sort(key=lambda u: u[0])
        return Reading(
            answers,
            tuple(u for _, u in understood),
            tuple(dict.fromkeys(self.text(*s) for s in spans)),
            tuple({d.text: d for d in self._doubts_left()}.values()),
            ranges,
            choices,
            self.proposal,
            self.named,
            hints,
            self.dangers,
        )

    def _doubts_left(self) -> list[Doubt]:
        """The doubts without those about the unit of a size that was not taken in the end."""
        left = {d.params.get("words") for d in self.doubts if d.code == "not_taken"}
        return [d for d in self.doubts if d.code != "unit_assumed" or d.params.get("words") not in left]

    def _danger_answers(self, answers: dict[str, Answer], understood: list[tuple[int, Understood]]) -> None:
        """What the dangers say: which are raised, and what was said outright of one or denied, said back."""
        up = [d for d in self.dangers if d.state != "ruled_out"]
        if up and RAISED in self.base.attributes:
            concepts = tuple(dict.fromkeys(d.concept for d in up))
            answers[RAISED] = Answer(concepts, "known", "read", ", ".join(dict.fromkeys(d.words for d in up)))
        for danger in self.dangers:
            if danger.state == "open" or danger.attribute in answers:
                continue
            values = [d.value for d in self.dangers if d.attribute == danger.attribute and d.state == danger.state]
            words = ", ".join(dict.fromkeys(d.words for d in self.dangers if d.attribute == danger.attribute))
            if self.base.attributes[danger.attribute].kind != "set":
                values = values[:1]
            answers[danger.attribute] = Answer(tuple(dict.fromkeys(values)), "known", "read", words)
            for d in (d for d in self.dangers if d.attribute == danger.attribute and d.value in values):
                self.used |= {i for i, t in enumerate(self.said.tokens) if d.start <= t.start < d.end}
                if d.state == "applies":
                    text = self._shown(self.base.attributes[d.attribute], d.value)
                    understood.append((d.start, Understood(d.attribute, d.words, text, (d.start, d.end))))
            if danger.state == "ruled_out":
                self.tell(
                    "denied", f"You said {shown(danger.words)}, so I ask no more about that.", concept=danger.concept
                )

    def _settled(self, a: Attribute, found: Sequence[Fact]) -> tuple[Value, ...]:
        """The values of one attribute; two values of a single choice stay open, unless one is grave."""
        values = tuple(dict.fromkeys(f.value for f in found))
        if len(values) < 2 or (a.kind == "set" and "none" not in values):
            return values
        ways = tuple(v for v in values if v != "none")
        if a.name in purposes(self.base).none_gives_way and len(ways) == 1:
            # "No stitching, lace it": none of the one way is the other.
            self.left += [f.span for f in found if f.value == "none"]
            return ways
        if a.kind == "set" and a.group in ("people", "limits"):
            self.left += [f.span for f in found if f.value == "none"]
            return tuple(v for v in values if v != "none")
        if a.name in purposes(self.base).scales:
            most = max(values, key=lambda v: list(a.values).index(str(v)))
            self.left += [f.span for f in found if f.value != most]
            return (most,)
        grave = tuple(v for v in values if (a.name, v) in self.said.lexicon.grave)[:1]
        end = "the more careful one was taken" if grave else "say which"
        both = " and ".join(self._shown(a, v) for v in values).capitalize()
        self.tell("contradiction", f"{both} cannot both be meant; {end}.", attribute=a.name)
        self.left += [f.span for f in found if f.value not in grave]
        return grave

    def _unread_words(self) -> None:
        """What is left over; neighbours stand together, and a "no" stays with its word."""
        said, runs = self.said, list[list[int]]()
        idle = lex.STOP | lex.NO | lex.MAYBE | lex.SOFTLY | lex.BREAK
        for i, word in enumerate(said.words):
            if i in self.used or word in idle or word in ".,;:!?()":
                continue
            gap = self.text(said.tokens[i - 1].end, said.tokens[i].start) if i else ""
            if runs and runs[-1][-1] == i - 1 and not gap.strip(" -"):
                runs[-1].append(i)
            else:
                runs.append([i - 1, i] if said.word(i - 1) in lex.NO else [i])
        self.left += [said.span(run[0], run[-1] + 1) for run in runs]

    def _shown(self, a: Attribute, value: Value) -> str:
        label = show(value, a.unit, self.units) if isinstance(value, float) else value.replace("_", " ")
        return f"{a.name.replace('_', ' ')} {label}"


def _range_said(a: Attribute, low: float | None, high: float | None, units: Units) -> str:
    name = a.name.replace("_", " ").capitalize()
    least, most = (None if end is None else show(end, a.unit, units) for end in (low, high))
    if least is None or most is None:
        end = f"at most {most}" if most is not None else f"at least {least or show(0.0, a.unit, units)}"
        return f"{name} is left open: {end}. One size settles it."
    return f"{name} is left open between {least} and {most}. One size settles it."


def _choice_said(name: str, values: Sequence[str]) -> str:
    said = " or ".join(v.replace("_", " ") for v in values)
    return f"{name.replace('_', ' ').capitalize()} is left open: {said}. Saying which settles it."

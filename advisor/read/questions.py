"""What a question about the job asks: the topics of ``words/questions.toml``, found by the words that mark them.

A topic says which parts of the advice answer it, which answers are tried without being kept, and what is said besides,
each saying with the premises under which it is true. Nothing is answered here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

from pydantic import Field

from ..rulebase.declarations import groups_of
from ..rulebase.files import Basis, Shape, Slug
from ..rulebase.grammar import GrammarError, Name, Vocabulary, parse_premise
from ..rulebase.models import Premise, RuleBase
from ..rulebase.words import FOLDER, Phrases, words_file
from .nearest import Like, Ways
from .phrases import BadPatternError, Language, Pattern, Word

LIKE, SURELY, SAME = 0.5, 0.8, 4
"""How like a way to ask it a question is to ask it, and to ask it surely, which counts as so many words found."""
QUESTIONS = f"{FOLDER}/questions.toml"


class RawSaying(Shape):
    """A sentence or two that answer under ``when``: premises in the grammar of the rules, all of which must hold."""

    when: tuple[str, ...] = ()
    text: Annotated[str, Field(min_length=8, max_length=230)]
    basis: Basis = "common practice"
    source: tuple[Slug, ...] = ()


class RawQuestion(Shape):
    """One thing that is asked. ``asks`` are patterns of words (see ``phrases``), which ``not_with``
    unmark; ``hints`` are words looked for where nothing else marks a topic; ``like`` are ways to ask it, with which a
    question is compared that no pattern marks, and the first of which is offered where nothing answers.

    ``tell`` names parts of the advice, ``cautions`` what is told where the advice holds it, ``what_if`` answers tried
    without being kept, ``says`` sentences of which the first that is true is told, before the rest unless
    ``says_last``. ``told_here`` are the dangers that the answer itself speaks of, so that asking raises none of them.
    ``always`` is answered without an order as well, ``calm`` where only the question about a danger is open: care,
    cleaning and work hang on no order.
    """

    asks: Phrases
    hints: Phrases
    not_with: Phrases
    like: tuple[str, ...] = ()
    tell: tuple[Slug, ...] = ()
    cautions: tuple[Slug, ...] = ()
    what_if: dict[Slug, str] = Field(default_factory=dict)
    says: tuple[RawSaying, ...] = ()
    told_here: tuple[Slug, ...] = ()
    says_last: bool = False
    always: bool = False
    calm: bool = False


class QuestionsFile(Shape):
    """words/questions.toml."""

    classes: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)
    forms: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    same: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    offer: tuple[str, ...] = ()
    offer_before: tuple[str, ...] = ()
    question: dict[Slug, RawQuestion]


@dataclass(frozen=True, slots=True)
class Saying:
    """What is said where all of ``when`` hold."""

    when: tuple[Premise, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Topic:
    """Something that can be asked; see ``RawQuestion``."""

    name: str
    tell: tuple[str, ...]
    cautions: tuple[str, ...]
    what_if: Mapping[str, str]
    says: tuple[Saying, ...]
    told_here: frozenset[str]
    says_last: bool
    always: bool
    calm: bool
    size: int = 0
    """How many of its words were found."""


@dataclass(frozen=True, slots=True)
class _Topics:
    language: Language
    rows: Sequence[tuple[Topic, Sequence[Pattern], Sequence[Pattern], Sequence[Pattern]]]
    offer: tuple[str, ...]
    offer_before: tuple[str, ...]
    ways: Ways
    likes: Mapping[str, tuple[str, ...]]


def topic_asked(rulebase: RuleBase, clause: str) -> Topic | None:
    """The topic that explains most of what a question asks; None where none is asked for.

    What is explained are the words that its patterns mark, all of them together, and those that it shares with a way
    to ask it, the rarer weighing the more. A topic counts that a pattern marks, or that the question is like.
    """
    return rulebase.remembered("topic asked", clause, lambda: _topic_asked(rulebase, clause))


def _topic_asked(rulebase: RuleBase, clause: str) -> Topic | None:
    known = _topics(rulebase)
    text, said = known.language.read(clause), known.ways.stems(clause)
    likes = {like.name: like for like in known.ways.nearest(clause, len(known.rows))}
    best: tuple[float, int, Topic] | None = None
    for topic, asks, _, not_with in known.rows:
        marked = [(p, span) for p in text.among(asks) for span in text.find(p)]
        like = likes.get(topic.name)
        if (not marked and (like is None or like.score < LIKE)) or any(next(text.find(p), None) for p in not_with):
            continue
        words = frozenset(w.low for p, span in marked for w in text.words[span.first : span.last] if _in(w, p))
        explained = known.ways.stems(" ".join(words))
        shared = said & known.ways.stems(like.written) if like else frozenset()
        size = max((_size(p) for p, _ in marked), default=SAME if like and like.score >= SURELY else 0)
        # What no pattern marks is asked only as far as the question is like it.
        rank = (like.score if like else 0.0) * known.ways.weight(shared)
        rank += known.ways.weight(explained | shared) if marked else 0.0
        if best is None or (rank, size) > best[:2]:
            best = rank, size, topic
    return replace(best[2], size=best[1]) if best else None


def _in(word: Word, pattern: Pattern) -> bool:
    """Whether a word is one that the pattern names, and none that only stands between."""
    atoms = pattern.atoms
    return not atoms.isdisjoint((word.stem, f"{word.low}!")) or any(a[0] in "@#" for a in atoms)


def topics_like(rulebase: RuleBase, clause: str, most: int) -> list[tuple[float, Topic, str]]:
    """The topics that a clause is most like, the best first: how like, the topic, and the way to ask it shortly."""
    known = _topics(rulebase)
    named = {topic.name: topic for topic, *_ in known.rows}
    found: list[Like] = known.ways.nearest(clause, most)
    return [(like.score, named[like.name], known.likes[like.name][0]) for like in found]


def topic_of(rulebase: RuleBase, clause: str, hinted: bool = False) -> Topic | None:
    """The topic that most words of the clause ask for, the first of equals; None where none is asked for.

    ``hinted`` looks for words that only hint at one.
    """
    known = _topics(rulebase)
    text = known.language.read(clause)
    best: tuple[int, Topic] | None = None
    for topic, asks, hints, not_with in known.rows:
        size = max((_size(p) for p in text.among(hints if hinted else asks) if next(text.find(p), None)), default=0)
        if size and (best is None or size > best[0]) and not any(next(text.find(p), None) for p in not_with):
            best = size, topic
    return replace(best[1], size=best[0]) if best else None


def offered_questions(rulebase: RuleBase, ordered: bool) -> tuple[str, ...]:
    """Questions that are answered as things stand, to be offered where one could not be."""
    known = _topics(rulebase)
    return known.offer if ordered else known.offer_before


def thickness_asked(clause: str) -> tuple[float, float, str] | None:
    """The ends and unit of a thickness that a clause wants told in another unit; None where it wants no such thing."""
    found = _THICKNESS.search(clause) if _CONVERTS.search(clause) else None
    if found is None:
        return None
    low = float(found["low"])
    return low, float(found["high"] or low), found["unit"].lower()[:2]


_CONVERTS = re.compile(
    r"^(?:so |and |but )?(?:what(?:'s|s| is| are| does)|how thick (?:is|are)|how (?:many|much) (?:mm|millimet|oz|ounce"
    r"|iron|inch)|convert)|\bin (?:mm|millimet\w+|oz|ounces|inch\w*|irons?)\b",
    re.IGNORECASE,
)
_THICKNESS = re.compile(
    r"(?P<low>\d+(?:\.\d+)?)(?: ?(?:-|to|–) ?(?P<high>\d+(?:\.\d+)?))? ?(?P<unit>mm|oz|ounces?|irons?)\b", re.IGNORECASE
)


def _size(pattern: Pattern) -> int:
    """How much a pattern says: its needed words, one written as a whole word or of several kinds counting once."""
    return pattern.size


def _topics(rulebase: RuleBase) -> _Topics:
    made: _Topics = rulebase.once("questions of the advice", _read)
    return made


def _read(rulebase: RuleBase) -> _Topics:
    file = words_file(rulebase, QUESTIONS, QuestionsFile)
    if file is None:
        return _Topics(Language({}, {}), (), (), (), Ways(Language({}, {}), {}, {}), {})
    language, words = Language(file.classes, file.forms), vocabulary(rulebase)
    rows = []
    for name, raw in file.question.items():
        says = tuple(Saying(tuple(p for t in s.when for p in parse_premise(t, words)), s.text) for s in raw.says)
        topic = Topic(
            name,
            raw.tell,
            raw.cautions,
            raw.what_if,
            says,
            frozenset(raw.told_here),
            raw.says_last,
            raw.always,
            raw.calm,
        )
        asks, hints, not_with = ([language.pattern(p) for p in ps] for ps in (raw.asks, raw.hints, raw.not_with))
        rows.append((topic, asks, hints, not_with))
    likes = {name: raw.like for name, raw in file.question.items() if raw.like}
    return _Topics(language, rows, file.offer, file.offer_before, Ways(language, likes, file.same), likes)


def vocabulary(rulebase: RuleBase) -> Vocabulary:
    """What a premise of a saying may name: every attribute, and every decision by what is chosen."""
    names = {a.name: Name(a.name, a.kind, a.unit, frozenset(a.values), {}) for a in rulebase.attributes.values()} | {
        d.name: Name(d.name, d.kind, d.unit, frozenset(d.candidates), groups_of(d), decision=True)
        for d in rulebase.decisions.values()
    }
    return Vocabulary(names, frozenset(rulebase.cautions), frozenset())


_MARK = re.compile(r"\{(\w+)\}")


def check_questions(rulebase: RuleBase, parts: Sequence[str], marks: Sequence[str]) -> list[str]:
    """What is wrong with the questions file.

    A topic needs words and an answer. ``parts`` are the parts of an advice that can be told, ``marks`` what may stand
    in braces in a saying.
    """
    file = words_file(rulebase, QUESTIONS, QuestionsFile)
    problems: list[str] = []
    if file is None:
        return problems
    language, words = Language(file.classes, file.forms), vocabulary(rulebase)
    told, raised = {*parts, *(d.name for d in rulebase.choices())}, rulebase.attributes["raised"].values
    for name, row in file.question.items():
        found = [] if row.asks or row.like else ["has no words"]
        if not (row.tell or row.cautions or row.what_if or row.says):
            found.append("has no answer")
        found += [f"tells {part}, which is no part" for part in row.tell if part not in told]
        found += [f"tells the caution {c}, which is none" for c in row.cautions if c not in rulebase.cautions]
        found += [f"speaks of {d}, which is no danger" for d in row.told_here if d not in raised]
        found += [
            f"tries {a} {v}, which cannot be answered"
            for a, v in row.what_if.items()
            if a not in rulebase.attributes or v not in rulebase.attributes[a].values
        ]
        for written in (*row.asks, *row.hints, *row.not_with):
            try:
                language.pattern(written)
            except BadPatternError as error:
                found.append(str(error).rstrip("."))
        for n, said in enumerate(row.says):
            found += _wrong_saying(rulebase, words, said, marks)
            if not said.when and n < len(row.says) - 1:
                found.append("says something after what is always said")
        problems += [f"{QUESTIONS}: {name} {what}." for what in found]
    return problems


def _wrong_saying(rulebase: RuleBase, words: Vocabulary, said: RawSaying, marks: Sequence[str]) -> list[str]:
    found = [f"uses {{{m}}}, which stands for nothing" for m in _MARK.findall(said.text) if m not in marks]
    found += [f"cites {s}, which is no source" for s in said.source if s not in rulebase.sources]
    if said.basis == "published" and not said.source:
        found.append("is published and cites nothing")
    for text in said.when:
        try:
            parse_premise(text, words)
        except GrammarError as error:
            found.append(str(error).rstrip("."))
    return found

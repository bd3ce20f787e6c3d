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
from .nearest import Ways
from .phrases import BadPatternError, Language, Pattern, Text, Word

LIKE, SURELY, SAME = 0.5, 0.8, 4
"""How like a way to ask it a question is to ask it, and to ask it surely, which counts as so many words found."""
MARKED, MOST_OF = 0.3, 0.6
"""What the words of a pattern count besides, and how much of a question explains it without any. Tried on six of the
seven sets of questions asked back, each without the ways that are the question itself."""
_FEW = 2
"""So few words with a meaning are soon explained by chance."""
_ALL_BUT, _HALF, _THIRD, _FIFTH = 0.75, 0.45, 0.3, 0.2
_LEAD = 2
"""So many words may stand before what is asked: "and would they ..."."""
MUCH, CLEARLY = 8.0, 1.25
"""How much of a question has to be explained, and how many times as much as by the next, to guess what is asked."""
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
    ``believed`` says whether something that people take to be so is so, and is told as well beside another question in
    which that belief stands. ``always`` is answered without an order as well, ``calm`` where only the question about a
    danger is open: care, cleaning and work hang on no order.
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
    believed: bool = False


class QuestionsFile(Shape):
    """words/questions.toml. ``doubled_more`` is the share by which two layers may be thicker than one."""

    classes: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)
    forms: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    same: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    offer: tuple[str, ...] = ()
    offer_before: tuple[str, ...] = ()
    doubled_more: Annotated[float, Field(ge=0, le=1)] = 0.0
    question: dict[Slug, RawQuestion]


@dataclass(frozen=True, slots=True)
class Saying:
    """What is said where all of ``when`` hold."""

    when: tuple[Premise, ...]
    text: str
    basis: str
    source: tuple[str, ...]


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
    believed: bool = False
    size: int = 0
    """How many of its words were found."""
    share: float = 0.0
    """How much of the question it explains, 0 to 1."""
    begins: bool = False
    """Whether its words begin the question."""

    @property
    def sure(self) -> bool:
        """Whether a question by itself, with no conversation that it belongs to, surely asks for it.

        One word of many is none, as "flat" in "is the flat one in the window yours": the fewer words are found, the
        more of the question they have to be. Tried on 600 first lines whose answers were marked by hand.
        """
        if self.size > _FEW:
            return self.share >= _HALF or (self.begins and self.share >= _FIFTH)
        if self.size == _FEW:
            return self.share >= _HALF or (self.begins and self.share >= _THIRD)
        return self.size > 0 and self.share >= _ALL_BUT


@dataclass(frozen=True, slots=True)
class _Topics:
    language: Language
    rows: Sequence[tuple[Topic, Sequence[Pattern], Sequence[Pattern], Sequence[Pattern]]]
    offer: tuple[str, ...]
    offer_before: tuple[str, ...]
    ways: Ways
    likes: Mapping[str, tuple[str, ...]]
    doubled_more: float = 0.0


def doubled_more(rulebase: RuleBase) -> float:
    """The share by which two layers sewn together may be thicker than one layer."""
    return _topics(rulebase).doubled_more


def topic_asked(rulebase: RuleBase, clause: str) -> Topic | None:
    """The topic that explains most of what a question asks; None where none is asked for.

    What is explained are words of the ways to ask it, of its patterns and of what it answers, the rarer weighing the
    more. A pattern that is found adds what it marks and how many words it needs. Unmarked, a topic counts that the
    question is like, or that explains most of it.
    """
    return rulebase.remembered("topic asked", clause, lambda: _topic_of_main(rulebase, clause))


def belief_asked(rulebase: RuleBase, belief: str) -> Topic | None:
    """The topic that says whether a belief, in the words of who holds it, is so; None where none does."""
    topic = topic_asked(rulebase, belief)
    return topic if topic and topic.believed else None


_SUPPOSED = re.compile(
    r" (?:if|when|once|while|because|since|in case) (?!(?:i|we) (?:want|need|make|made|would|had)\b)", re.IGNORECASE
)
"""What leads from what is asked to when it is asked of; "how much if I want three" asks of the three."""


def _topic_of_main(rulebase: RuleBase, clause: str) -> Topic | None:
    """The topic of a clause, or of what it asks where the topic is only that of what it supposes.

    "Will it scuff when it rattles with my keys" asks of scuffs, not of noise.
    """
    whole, found = _topic_asked(rulebase, clause), _SUPPOSED.search(clause)
    if whole is None or found is None:
        return whole
    main, beside = _topic_asked(rulebase, clause[: found.start()]), _topic_asked(rulebase, clause[found.end() :])
    # What needs more words than stand there, as "look after it when he has been in the sea", asks of both.
    only_beside = beside is not None and beside.name == whole.name and beside.size >= whole.size
    return main if only_beside and main and main.sure and main.name != whole.name else whole


def topic_sure(rulebase: RuleBase, clause: str) -> Topic | None:
    """The topic that a question surely asks for by its own words alone; see ``Topic.sure``."""
    topic = topic_asked(rulebase, clause)
    return topic if topic and topic.sure else None


def _topic_asked(rulebase: RuleBase, clause: str) -> Topic | None:
    known, clause = _topics(rulebase), _whole(clause)
    text, said = known.language.read(clause), known.ways.stems(clause)
    likes = {like.name: like.score for like in known.ways.nearest(clause, len(known.rows))}
    explained, whole = known.ways.explained(said), known.ways.to_explain(said)
    least, lead = MOST_OF * whole, _led(text)
    best: tuple[float, Topic] | None = None
    for topic, asks, _, not_with in known.rows:
        marked = [(p, span) for p in text.among(asks) for span in text.find(p)]
        like, much = likes.get(topic.name, 0.0), explained.get(topic.name, 0.0)
        asked = marked or like >= LIKE or (len(said) > _FEW and much >= least)
        if not asked or any(next(text.find(p), None) for p in not_with):
            continue
        words = frozenset(w.low for p, span in marked for w in text.words[span.first : span.last] if _in(w, p))
        size = max([SAME if like >= SURELY and len(said) > 1 else 0, *(_size(p) for p, _ in marked)])
        rank = much + MARKED * known.ways.weight(known.ways.stems(" ".join(words))) + size
        if best is None or rank > best[0]:
            begins = any(span.first <= lead for _, span in marked)
            best = rank, replace(topic, size=size, share=much / whole if whole else 0.0, begins=begins)
    return best[1] if best else None


_BEFORE = frozenset(("and", "but", "so", "or", "then", "also", "please", "well", "ok", "okay", "oh", "now"))


def _led(text: Text) -> int:
    """The last place at which the words that ask may begin."""
    before = next((n for n, word in enumerate(text.words) if word.low not in _BEFORE), 0)
    return before + _LEAD


_SHORT = re.compile(r"\b(what|who|how|where|when|why)'?s\b", re.IGNORECASE)


def _whole(clause: str) -> str:
    """With "is" where it was drawn into the word that asks: "whats the right glue"."""
    return _SHORT.sub(r"\1 is", clause.replace("’", "'"))


def topic_guessed(rulebase: RuleBase, clause: str) -> Topic | None:
    """The topic that explains much of a question and clearly more than any other, though nothing marks it."""
    known, clause = _topics(rulebase), _whole(clause)
    explained = known.ways.explained(known.ways.stems(clause))
    first, second = ([*sorted(explained.values(), reverse=True), 0.0, 0.0])[:2]
    best = next((topic for topic, *_ in known.rows if explained.get(topic.name) == first), None)
    if best is None or first < MUCH or first < CLEARLY * second:
        return None
    text = known.language.read(clause)
    barred = next(not_with for topic, _, _, not_with in known.rows if topic is best)
    return None if any(next(text.find(p), None) for p in barred) else best


def _in(word: Word, pattern: Pattern) -> bool:
    """Whether a word is one that the pattern names, and none that only stands between."""
    atoms = pattern.atoms
    return not atoms.isdisjoint((word.stem, f"{word.low}!")) or any(a[0] in "@#" for a in atoms)


def topics_like(rulebase: RuleBase, clause: str, most: int) -> list[tuple[float, Topic, str]]:
    """The topics that explain most of a clause, the best first: how much of it, the topic, a short way to ask it."""
    known = _topics(rulebase)
    said = known.ways.stems(clause)
    whole, explained = known.ways.to_explain(said), known.ways.explained(said)
    named = {topic.name: topic for topic, *_ in known.rows if topic.name in known.likes}
    best = sorted((n for n in explained if n in named), key=lambda n: -explained[n])[:most]
    return [(explained[n] / whole, named[n], known.likes[n][0]) for n in best]


def topic_of(rulebase: RuleBase, clause: str, hinted: bool = False) -> Topic | None:
    """The topic that most words of the clause ask for, the first of equals; None where none is asked for.

    ``hinted`` looks for words that only hint at one.
    """
    known = _topics(rulebase)
    text = known.language.read(_whole(clause))
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
        says = tuple(
            Saying(tuple(p for t in s.when for p in parse_premise(t, words)), s.text, s.basis, s.source)
            for s in raw.says
        )
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
            raw.believed,
        )
        asks, hints, not_with = ([language.pattern(p) for p in ps] for ps in (raw.asks, raw.hints, raw.not_with))
        rows.append((topic, asks, hints, not_with))
    likes = {name: raw.like for name, raw in file.question.items() if raw.like}
    ways = Ways(language, likes, file.same)
    for topic, asks, _, _ in rows:
        ways.knows(topic.name, _marks(ways, file, asks), [said.text for said in topic.says])
    return _Topics(language, rows, file.offer, file.offer_before, ways, likes, file.doubled_more)


def _marks(ways: Ways, file: QuestionsFile, patterns: Sequence[Pattern]) -> frozenset[str]:
    """The stems of all words that patterns name, those of their classes among them."""
    atoms = {a for p in patterns for a in p.atoms if a[0] not in "#$"}
    words = (w for a in atoms for w in (file.classes[a[1:]] if a[0] == "@" else (a.removesuffix("!"),)))
    return frozenset().union(*map(ways.stems, words))


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

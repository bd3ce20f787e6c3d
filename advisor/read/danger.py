"""What may hurt somebody, looked for in the whole text before the thing is recognised.

A danger is a concept with many words, held as data in ``words/dangers.toml``. What is found is said outright
(``applies``), asked about (``open``) or was denied and is said back (``ruled_out``). Nothing is concluded here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Literal, NamedTuple

from pydantic import Field

from ..errors import Problem, RuleBaseError
from ..rulebase.files import Shape, Slug
from ..rulebase.findings import Finding
from ..rulebase.models import RuleBase
from ..rulebase.words import FOLDER, Thing, words_file, words_of
from .idioms import idioms
from .lexicon import fold, lexicon
from .phrases import BadPatternError, Language, Pattern, Span, Text, Word
from .roles import plain_english
from .spelling import mended

DANGERS = f"{FOLDER}/dangers.toml"
RAISED = "raised"
"""The attribute that holds the concepts raised by a text."""
State = Literal["open", "applies", "ruled_out"]
_Lines = tuple[Annotated[str, Field(max_length=800)], ...]
Patterns = Annotated[_Lines, Field(default=(), max_length=400)]

_NO = frozenset(
    re.findall(
        r"\w+",
        """no not never nobody none nothing nowhere without neither nor dont doesnt didnt isnt arent wont wouldnt aint
        noone shouldnt hardly non""",
    )
)
_GOVERNED = frozenset(
    re.findall(
        r"\w+",
        """will would be is are was to for any ever anybody anyone anything anywhere going get gets it its this that
        they he she meant used use made intended suitable supposed designed a an the my our your his her their in on
        at or real actual person people body one near about involved of by with from""",
    )
)
"""Words over which a refusal reaches: "not meant for a", "nobody will ever"."""
_REACH = 5
_PURPOSE = frozenset(("so", "that", "if", "when", "until"))
"""Words before a subject that make its refusal a wish or a condition: "so that he does not chew it"."""
_AGAIN = frozenset(re.findall(r"\w+", "again always keep keeps keeping still often now will would every each used"))
"""Words that say of something past that it goes on: "he always sat on it"."""
_SUPPOSES = frozenset(re.findall(r"\w+", "if unless whether may might let lets"))
"""Words shortly before a statement that make a question or a condition of it."""
_ASKS = frozenset(re.findall(r"\w+", "can could do does did should would will"))
"""Words that do so where no subject stands before them: "can he sit on it", and not "a strap I can hang on"."""
_BEFORE_A_QUESTION = frozenset(re.findall(r"\w+", "and but or so how when where then please what"))
_VOWELS = frozenset("aeiouy")
"""What every word has but the short forms of a counter ("crtg", "brdl"), which no slip explains."""
_ARTICLES = frozenset(("a", "an", "the", "those", "some"))
_LIKENED = 2
_NEAR = 3
_FIRST = 10
_FOR_WHAT = frozenset(("for", "cover", "recover", "covering", "recovering", "reupholster", "upholster", "redo"))
_EXCEPT = frozenset(("but", "except", "unless", "apart", "only", "until"))


class RawConcept(Shape):
    """One danger: the attribute asked about it, and the patterns by which it is known; see the head of the file.

    ``refusable`` is false where a "not" before a cue is a wish, as in "must not give me a rash". ``stories`` is false
    where a cue in the past tense only tells what once happened, as in "the last one, which he sat on". ``beyond`` are
    things that cannot do this harm whatever is told around them, as a bookmark can bear nobody. ``thing`` is what is
    meant most often where the words raise the danger and name no thing. ``across`` is true where one line of a
    conversation may tell of the load and another of whom it hurts. ``resting`` are things that lie on what carries
    them, as a chair's cushion does: of those nothing is raised unless something of ``aloft`` is told.
    """

    attribute: Slug
    rules_out: Slug
    thing: Slug | None = None
    unread_modifier: bool = False
    refusable: bool = True
    stories: bool = True
    across: bool = False
    resting: Patterns
    aloft: Patterns
    states: dict[Slug, _Lines] = Field(default_factory=dict)
    raises: Patterns
    with_bearing: Patterns
    ruled_out: Patterns
    hush: Patterns
    beyond: Patterns


class DangersFile(Shape):
    """words/dangers.toml.

    A class may draw on the other words of customers: ``thing:slipper`` and ``family:cases`` are the names of that thing
    and of all things of that family, ``object:dog`` the words of that object.
    """

    bearing: Slug
    past: Patterns
    classes: dict[Slug, _Lines]
    cues: dict[Slug, _Lines] = Field(default_factory=dict)
    forms: dict[Slug, _Lines] = Field(default_factory=dict)
    hush: Patterns
    concept: dict[Slug, RawConcept]


@dataclass(frozen=True, slots=True)
class Raised:
    """A danger found in a text: the words that raised it with their place, and whether it was said or denied.

    ``value`` is what ``attribute`` is said to be: where it applies the value stated, where it is ruled out the value
    that rules it out, and "" where it is open and must be asked.
    """

    concept: str
    words: str
    start: int
    end: int
    state: State
    attribute: str
    value: str = ""


class _Concept(NamedTuple):
    raw: RawConcept
    past: frozenset[str]
    bearing: str
    states: tuple[tuple[str, Pattern], ...]
    raises: tuple[Pattern, ...]
    with_bearing: tuple[Pattern, ...]
    ruled_out: tuple[Pattern, ...]
    hush: tuple[Pattern, ...]
    beyond: tuple[Pattern, ...]
    resting: tuple[Pattern, ...]
    aloft: tuple[Pattern, ...]


class _Dangers(NamedTuple):
    language: Language
    bearing: Pattern
    hush: tuple[Pattern, ...]
    concepts: Mapping[str, _Concept]
    mend: Callable[[str], str]


class _Found(NamedTuple):
    span: Span
    state: State
    value: str


def dangers_of(
    rulebase: RuleBase,
    text: str,
    may_bear: bool | None = None,
    unread_modifier: str = "",
    asked: tuple[int, int] | None = None,
    stands: str = "",
) -> tuple[Raised, ...]:
    """The dangers in ``text``, in the order of the file; several for a concept only where several values are said.

    ``may_bear`` says whether the thing taken may bear something; without it the text's own words for forms decide.
    ``unread_modifier`` is a word beside the thing that nobody understood: on what may bear it is a question.
    ``asked`` are the first and last place of the words for the thing taken; without it the thing is looked for among
    the first words. ``stands`` names the thing that is being made already, where the text names none: what cannot do
    a harm cannot do it in a later line either.
    Never raises on any text. A rule base without the file knows no dangers.
    """
    dangers = _dangers(rulebase)
    if dangers is None:
        return ()
    read = dangers.language.read(text, dangers.mend)
    objects = lexicon(rulebase).objects

    def unknown(words: str) -> bool:
        """Whether one of ``words`` may be a noun that nobody knows; "short" is none, "cello" is known."""
        return any(
            w not in plain_english() and not w.endswith(("ish", "ly")) and (w,) not in objects
            for w in map(fold, words.split())
        )

    likened = _compared(rulebase, read.words)
    everywhere = _hidden(read, dangers.hush) | likened
    thing = dangers.language.read(stands)
    bearing = may_bear or any(True for _ in read.find(dangers.bearing, everywhere))
    found = []
    for name, concept in dangers.concepts.items():
        hidden = everywhere | _hidden(read, concept.hush)
        rests = any(_rests(read.words, span, asked) for p in read.among(concept.resting) for span in read.find(p))
        if (rests or _names(thing, concept.resting)) and not _names(read, concept.aloft):
            continue
        bears = may_bear
        if bears is None:
            bears = bearing if hidden == everywhere else any(True for _ in read.find(dangers.bearing, hidden))
        asks = bears and concept.raw.unread_modifier and unknown(unread_modifier)
        beside = unread_modifier if asks and (may_bear or _beside(read, dangers.bearing, text, unread_modifier)) else ""
        beyond = not bearing and any(
            _is_asked(read.words, span, asked) for p in read.among(concept.beyond) for span in read.find(p, likened)
        )
        beyond = beyond or (not bearing and _names(thing, concept.beyond))
        for one in _judged(read, concept, hidden, bears, beyond):
            found.append(_raised(name, concept.raw, text, read.words, one))
        if beside and not any(r.concept == name for r in found):
            start = max(text.find(beside), 0)
            end = start + len(beside) if beside in text else start
            found.append(Raised(name, beside, start, end, "open", concept.raw.attribute))
    return tuple(found)


def is_beyond(rulebase: RuleBase, concept: str, name: str) -> bool:
    """Whether the thing called ``name`` cannot do this harm, as a bookmark can bear nobody."""
    dangers = _dangers(rulebase)
    return dangers is not None and _names(dangers.language.read(name), dangers.concepts[concept].beyond)


def concept_of(rulebase: RuleBase, name: str) -> RawConcept:
    """What is declared of a danger that was raised."""
    dangers = _dangers(rulebase)
    if dangers is None:
        raise KeyError(name)
    return dangers.concepts[name].raw


def check_dangers(rulebase: RuleBase) -> list[Finding]:
    """What is wrong with the words for dangers: patterns, names of attributes and values, concepts without words."""
    raw = words_file(rulebase, DANGERS, DangersFile)
    if raw is None:
        return [Finding("error", DANGERS, 0, "", "there is no such file, so no danger is heard.")]
    return [*_wrong_patterns(rulebase, raw), *_wrong_names(rulebase, raw)]


# -- judging what was found


def _hidden(read: Text, hush: Sequence[Pattern]) -> frozenset[int]:
    return frozenset(i for pattern in read.among(hush) for span in read.find(pattern) for i in range(*span))


def _names(read: Text, patterns: Sequence[Pattern]) -> bool:
    """Whether any of ``patterns`` is found."""
    return any(True for p in read.among(patterns) for _ in read.find(p))


def _is_asked(words: Sequence[Word], span: Span, asked: tuple[int, int] | None) -> bool:
    """Whether ``span`` names the thing asked for and nothing told beside it."""
    if asked is None:
        return span.first < _FIRST
    return words[span.first].start < asked[1] and asked[0] < words[span.last - 1].end


def _rests(words: Sequence[Word], span: Span, asked: tuple[int, int] | None) -> bool:
    """Whether ``span`` is the thing asked for, or where none is known what it is for: "leather for dining chairs"."""
    return _is_asked(words, span, asked) if asked else words[span.first].low in _FOR_WHAT


def _beside(read: Text, bearing: Pattern, text: str, words: str) -> bool:
    """Whether ``words`` stand right before what may bear, or shortly behind it: "rigger's belt", "belt of a rigger"."""
    start = max(text.find(words), 0)
    first = next((i for i, w in enumerate(read.words) if w.end > start), 0)
    last = next((i for i, w in enumerate(read.words) if w.start >= start + len(words)), len(read.words))
    return any(span.first == last or 0 <= first - span.last <= _NEAR for span in read.find(bearing))


def _compared(rulebase: RuleBase, words: Sequence[Word]) -> frozenset[int]:
    """The words of what something is only likened to: "handles like a hammock", "a carrier, like a hammock"."""
    spoken, low = idioms(rulebase), [word.low for word in words]
    found = {i for first, last in spoken.likened(low, spoken.acts | spoken.looks) for i in range(first, last)}
    for i in range(1, len(words) - 2):
        if low[i] == "like" and words[i - 1].mark and low[i + 1] in _ARTICLES:
            found.update(range(i + 2, min(i + 2 + _LIKENED, len(words))))
    return frozenset(found)


def _judged(read: Text, concept: _Concept, hidden: frozenset[int], bears: bool, beyond: bool) -> list[_Found]:
    """What is to be told of one concept: values said outright, else a question, else a denial.

    Where the thing is ``beyond`` the harm, only a value said outright counts.
    """
    no = concept.raw.rules_out
    said: dict[str, _Found] = {}
    supposed: _Found | None = None
    denials = [
        _Found(span, "ruled_out", no)
        for p in read.among(concept.ruled_out)
        for span in read.find(p)
        if _whole(read, span) and not _over(read, concept, span)
    ]
    settled = max((d.span.last for d in denials), default=0)
    for value, pattern in concept.states:
        for span in read.find(pattern, hidden) if read.may(pattern) else ():
            if _over(read, concept, span) or (beyond and pattern.faint):
                continue
            if refused := _refusal(read, concept, pattern, span):
                denials.append(_Found(refused, "ruled_out", no))
            elif _supposed(read, span, len(pattern.sides) > 1):
                supposed = supposed or _Found(span, "open", "")
            else:
                said.setdefault(value, _Found(span, "applies", value))
    if said:
        return list(said.values())
    if supposed:
        return [supposed]
    asked = _open(read, concept, concept.raises, hidden, denials, settled)
    if asked is None and bears and not beyond:
        settled = max((d.span.last for d in denials), default=0)
        asked = _open(read, concept, concept.with_bearing, hidden, denials, settled)
    return [asked] if asked and not beyond else denials[:1]


def _open(
    read: Text,
    concept: _Concept,
    patterns: Sequence[Pattern],
    hidden: frozenset[int],
    denials: list[_Found],
    settled: int,
) -> _Found | None:
    """The first question from the word ``settled`` on; what is refused is noted as a denial."""
    for pattern in read.among(patterns):
        for span in read.find(pattern, hidden):
            if span.first < settled or _over(read, concept, span):
                continue
            refused = _refusal(read, concept, pattern, span)
            if refused is None:
                return _Found(span, "open", "")
            denials.append(_Found(refused, "ruled_out", concept.raw.rules_out))
    return None


def _supposed(read: Text, span: Span, told_in_two: bool) -> bool:
    """Whether ``span`` is only supposed or asked: "if he sits on it", "can my son sit on it".

    What is ``told_in_two`` places may be so between them: "garden pads, could we leave them out all year".
    """
    here = read.sentence[span.first]
    looked = [i for i in range(max(span.first - _NEAR, 0), span.first) if read.sentence[i] == here]
    looked += range(*span) if told_in_two else ()
    return any(read.words[i].low in _SUPPOSES or _asks_at(read, i) for i in looked)


def _asks_at(read: Text, i: int) -> bool:
    before = read.words[i - 1] if i and read.sentence[i - 1] == read.sentence[i] else None
    return read.words[i].low in _ASKS and (before is None or bool(before.mark) or before.low in _BEFORE_A_QUESTION)


def _over(read: Text, concept: _Concept, span: Span) -> bool:
    """Whether ``span`` tells only what once happened; nothing in its sentence says that it goes on."""
    told = [i for i in range(*span) if read.words[i].low in concept.past]
    held = {end for ends in read.index.get(concept.bearing, {}).values() for end in ends}
    if held.issuperset(told):
        # "A hoop hung from the ceiling" tells how it is, "the one he hung from" what was; no past verb tells nothing.
        return False
    sentence = read.sentence[span.first]
    return not any(w.low in _AGAIN for w, n in zip(read.words, read.sentence, strict=True) if n == sentence)


def _whole(read: Text, span: Span) -> bool:
    """Whether a denial leaves nobody out, unlike "nobody but me sits on it"."""
    return not any(read.words[i].low in _EXCEPT for i in range(span.first, min(span.last + 1, len(read.words))))


def _refusal(read: Text, concept: _Concept, pattern: Pattern, span: Span) -> Span | None:
    """The words from the "no" that governs ``span`` to its end, or None if nothing refuses it."""
    if pattern.absolute or not concept.raw.refusable or not _whole(read, span):
        return None
    for i in range(span.first - 1, max(span.first - 1 - _REACH, -1), -1):
        word = read.words[i].low
        if word in _NO:
            wish = any(read.words[k].low in _PURPOSE for k in range(max(i - 4, 0), i))
            return None if wish else Span(i, span.last)
        if word not in _GOVERNED:
            return None
    return None


def _raised(name: str, raw: RawConcept, text: str, words: Sequence[Word], found: _Found) -> Raised:
    start, end = words[found.span.first].start, words[found.span.last - 1].end
    return Raised(name, text[start:end], start, end, found.state, raw.attribute, found.value)


# -- the file


def _dangers(rulebase: RuleBase) -> _Dangers | None:
    made: _Dangers | None = rulebase.once("dangers", _compiled)
    return made


def _compiled(rulebase: RuleBase) -> _Dangers | None:
    """The patterns ready to be looked for. Raises RuleBaseError with every mistake in them."""
    raw = words_file(rulebase, DANGERS, DangersFile)
    if raw is None:
        return None
    if wrong := list(_wrong_patterns(rulebase, raw)):
        raise RuleBaseError([Problem(f.file, f.line, f.where, f.what) for f in wrong])
    language = _language(rulebase, raw)

    def made(patterns: Sequence[str]) -> tuple[Pattern, ...]:
        return tuple(language.pattern(p) for p in patterns)

    concepts = {
        name: _Concept(
            c,
            frozenset() if c.stories else frozenset(raw.past),
            f"@{raw.bearing}",
            tuple((value, p) for value, ps in c.states.items() for p in made(ps)),
            made(c.raises),
            made(c.with_bearing),
            made(c.ruled_out),
            made(c.hush),
            made(c.beyond),
            made(c.resting),
            made(c.aloft),
        )
        for name, c in raw.concept.items()
    }
    bearing = language.pattern(f"@{raw.bearing}")
    return _Dangers(language, bearing, made(raw.hush), concepts, _mender(rulebase, raw, language))


def _mender(rulebase: RuleBase, raw: DangersFile, language: Language) -> _Mender:
    listed = (*raw.classes.values(), *raw.cues.values())
    texts = (*(p for _, p in _all_patterns(raw)), *(text for phrases in listed for text in phrases))
    known = frozenset(word for text in texts if ":" not in text for word in re.findall(r"[^\W\d_]+", text))
    stems = frozenset(language.stem(word) for word in known)
    return _Mender(language, known, stems, lexicon(rulebase).fine | plain_english())


class _Mender:
    """Gives the word of a danger that is one slip of spelling from a word that means nothing here."""

    def __init__(self, language: Language, known: frozenset[str], stems: frozenset[str], fine: frozenset[str]) -> None:
        self.made_of = language, known, stems, fine
        self.mend = lru_cache(maxsize=5_000)(self._mend)

    def __reduce__(self) -> tuple[type[_Mender], tuple[object, ...]]:
        """Only what it is made of is written down."""
        return _Mender, self.made_of

    def __call__(self, word: str) -> str:
        return self.mend(word)

    def _mend(self, word: str) -> str:
        language, known, stems, fine = self.made_of
        if language.stem(word) in stems or fold(word) in fine or _VOWELS.isdisjoint(word):
            return word
        meant = mended((word,), known, language.stem)
        return meant if meant and _slipped(word, meant) else word


def _slipped(written: str, meant: str) -> bool:
    """Whether ``written`` may be a slip for ``meant``: another consonant in the same place makes a word of its own."""
    if len(written) != len(meant) or sorted(written) == sorted(meant):
        return True
    return all({one, other} <= _VOWELS for one, other in zip(written, meant, strict=True) if one != other)


def _language(rulebase: RuleBase, raw: DangersFile) -> Language:
    """The language of the file, its classes with what they draw. Raises BadPatternError where there is nothing."""
    classes = {
        name: [phrase for entry in entries for phrase in _drawn(rulebase, name, entry)]
        for name, entries in raw.classes.items()
    }
    return Language(classes, raw.forms, raw.cues)


def _drawn(rulebase: RuleBase, name: str, entry: str) -> Iterator[str]:
    """The phrases an entry of a class stands for: itself, or the words it draws."""
    kind, colon, slug = entry.partition(":")
    if not colon:
        yield entry
        return
    words = words_of(rulebase)
    if kind == "object":
        found = words.objects[slug].words if slug in words.objects else ()
    else:
        found = tuple(n for t in words.things.values() if slug == _drawn_by(rulebase, kind, t) for n in t.names)
    if not found:
        raise BadPatternError(f'class {name}: "{entry}" draws no words.')
    for phrase in found:
        if not any(letter.isdigit() for letter in phrase):
            yield " ".join(re.findall(r"[^\W\d_]+", phrase.replace("’", "'").replace("'s", "")))


def _drawn_by(rulebase: RuleBase, kind: str, thing: Thing) -> str:
    """What a thing is drawn by: itself, or the family of its recipe."""
    if kind == "thing":
        return thing.slug
    item = rulebase.items.get(thing.slug)
    return item.family if kind == "family" and item else ""


def _all_patterns(raw: DangersFile) -> Iterator[tuple[tuple[str, ...], str]]:
    """Every pattern with its place in the file."""
    yield from ((("hush",), p) for p in raw.hush)
    for name, c in raw.concept.items():
        for key in ("raises", "with_bearing", "ruled_out", "hush", "beyond", "resting", "aloft"):
            yield from ((("concept", name, key), p) for p in getattr(c, key))
        yield from ((("concept", name, "states", value), p) for value, ps in c.states.items() for p in ps)


def _finding(rulebase: RuleBase, path: tuple[str, ...], what: str) -> Finding:
    line = rulebase.memo["line"](DANGERS, path) if "line" in rulebase.memo else 0
    return Finding("error", DANGERS, line, path[1] if len(path) > 1 else path[0], what)


def _wrong_patterns(rulebase: RuleBase, raw: DangersFile) -> Iterator[Finding]:
    try:
        language = _language(rulebase, raw)
        language.pattern(f"@{raw.bearing}")
    except BadPatternError as error:
        yield _finding(rulebase, ("classes",), str(error))
        return
    used = {name for _, written in _all_patterns(raw) for name in re.findall(r"%(\w+)", written)}
    for name in raw.cues:
        if name not in used:
            yield _finding(rulebase, ("cues", name), f"no pattern uses the cue {name}.")
        try:
            language.cue(name)
        except BadPatternError as error:
            yield _finding(rulebase, ("cues", name), str(error))
    seen: dict[tuple[tuple[str, ...], str], None] = {}
    for path, written in _all_patterns(raw):
        if (path, written) in seen:
            yield _finding(rulebase, path, f'"{written}" stands there twice.')
        seen[path, written] = None
        try:
            language.pattern(written)
        except BadPatternError as error:
            yield _finding(rulebase, path, f'"{written}": {error}')


def _wrong_names(rulebase: RuleBase, raw: DangersFile) -> Iterator[Finding]:
    known = rulebase.attributes[RAISED].values if RAISED in rulebase.attributes else {}
    for name in known.keys() - raw.concept.keys() if known else ():
        yield _finding(rulebase, ("concept",), f'"{name}" of the attribute {RAISED} has no words.')
    for name, c in raw.concept.items():
        path = ("concept", name)
        if name not in known:
            yield _finding(rulebase, path, f'"{name}" is no value of the attribute {RAISED}.')
        if not (c.raises or c.with_bearing or c.states):
            yield _finding(rulebase, path, "it has no words by which it is heard.")
        if c.thing is not None and c.thing not in words_of(rulebase).things:
            yield _finding(rulebase, path, f'"{c.thing}" is no thing that has a name.')
        attribute = rulebase.attributes.get(c.attribute)
        if attribute is None:
            yield _finding(rulebase, path, f'"{c.attribute}" is no attribute.')
            continue
        allowed = {*attribute.values, *(("yes", "no") if attribute.kind == "yes_no" else ())}
        for value in (c.rules_out, *c.states):
            if value not in allowed:
                yield _finding(rulebase, path, f'"{value}" is no value of {c.attribute}.')

"""Words of the trade as the glossary tells them, found in a question."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.words import FOLDER, words_file
from . import lexicon as lex

GLOSSARY = f"{FOLDER}/glossary.toml"


class RawTerm(Shape):
    """A word, its other names, what it means, and which words to look at next."""

    names: tuple[str, ...]
    says: str
    see: tuple[Slug, ...] = ()


class GlossaryFile(Shape):
    """words/glossary.toml."""

    term: dict[Slug, RawTerm]


@dataclass(frozen=True, slots=True)
class Term:
    """A word of the trade: its first name, its meaning, and the names of words beside it."""

    name: str
    says: str
    see: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Glossary:
    terms: Mapping[str, Term]
    phrases: Mapping[tuple[str, ...], str]
    longest: int


def terms_in(rulebase: RuleBase, text: str) -> list[Term]:
    """The words of the trade in ``text``, in the order said; longer names win."""
    known = _glossary(rulebase)
    words = _key(text)
    found: list[str] = []
    i = 0
    while i < len(words):
        n = next((n for n in range(min(known.longest, len(words) - i), 0, -1) if words[i : i + n] in known.phrases), 0)
        if n:
            found.append(known.phrases[words[i : i + n]])
        i += n or 1
    return [known.terms[slug] for slug in dict.fromkeys(found)]


def told(term: Term) -> str:
    """A term in one line."""
    return f"{term.name[0].upper()}{term.name[1:]}: {term.says}"


def _key(text: str) -> tuple[str, ...]:
    return tuple(t.word for t in lex.tokens(text.replace("-", " ")) if t.word[0].isalnum())


def _glossary(rulebase: RuleBase) -> _Glossary:
    made: _Glossary = rulebase.once("glossary", _read)
    return made


def _read(rulebase: RuleBase) -> _Glossary:
    file = words_file(rulebase, GLOSSARY, GlossaryFile)
    raw = file.term if file else {}
    phrases = {_key(name): slug for slug, term in raw.items() for name in term.names}
    terms = {
        slug: Term(term.names[0], term.says, tuple(raw[s].names[0] for s in term.see if s in raw))
        for slug, term in raw.items()
    }
    return _Glossary(terms, phrases, max(map(len, phrases), default=0))


def check_glossary(rulebase: RuleBase) -> list[str]:
    """What is wrong with the glossary: a name under two terms, a pointer that leads nowhere."""
    file = words_file(rulebase, GLOSSARY, GlossaryFile)
    raw = file.term if file else {}
    problems, seen = [], dict[tuple[str, ...], str]()
    for slug, term in raw.items():
        problems += [f"{GLOSSARY}: {slug} points to {s}, which is no term." for s in term.see if s not in raw]
        for name in term.names:
            if seen.setdefault(_key(name), slug) != slug:
                problems.append(f'{GLOSSARY}: "{name}" is a name of {seen[_key(name)]} and of {slug}.')
    return problems

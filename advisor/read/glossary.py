"""Words of the trade as the glossary tells them, found in a question."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..rulebase.files import Basis, Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.words import FOLDER, words_file
from . import lexicon as lex

GLOSSARY = f"{FOLDER}/glossary.toml"
TOLD_GROUPS = ("make", "finish", "basket")
"""Groups of questions whose values are words of the trade."""
_ASKING = frozenset(
    t.word
    for t in lex.tokens(
        """a an the what whats is are was does do mean means meant by meaning of explain define describe tell me about
        which difference differences dif diff between and or from to vs versus compared with in on this that it exactly
        actually even mine your you please can could would how differ different leather word s i dont don't not know
        understand called when they say people trade call for so ok and but then thing things kind sort"""
    )
)
"""The words that ask for a meaning and name nothing."""


class RawTerm(Shape):
    """A word, its other names, what it means, and which words to look at next."""

    names: tuple[str, ...]
    says: str
    see: tuple[Slug, ...] = ()
    basis: Basis = "common practice"
    source: tuple[Slug, ...] = ()


class RawDifference(Shape):
    """What tells two words apart, where their meanings side by side would not."""

    between: tuple[Slug, Slug]
    says: str


class GlossaryFile(Shape):
    """words/glossary.toml."""

    term: dict[Slug, RawTerm]
    difference: tuple[RawDifference, ...] = ()


@dataclass(frozen=True, slots=True)
class Term:
    """A word of the trade: its first name, its meaning, and the names of words beside it."""

    slug: str
    name: str
    says: str
    see: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Glossary:
    terms: Mapping[str, Term]
    phrases: Mapping[tuple[str, ...], str]
    longest: int
    differences: Mapping[frozenset[str], str]
    besides: Mapping[tuple[str, ...], Term]
    """What the rule base calls its own values, where the file has no word for them."""


def terms_in(rulebase: RuleBase, text: str) -> list[Term]:
    """The words of the trade in ``text``, in the order said; longer names win."""
    known = _glossary(rulebase)
    return [known.terms[slug] for slug in dict.fromkeys(s for s, _ in _found(known, _key(text)) if s)]


def _found(known: _Glossary, words: tuple[str, ...]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The terms from left to right with their words, and every other word with no term."""
    i = 0
    while i < len(words):
        n = next((n for n in range(min(known.longest, len(words) - i), 0, -1) if words[i : i + n] in known.phrases), 0)
        yield (known.phrases[words[i : i + n]] if n else ""), words[i : i + (n or 1)]
        i += n or 1


def defined(rulebase: RuleBase, clause: str) -> list[str]:
    """The meaning of the word a clause asks about, or what tells two apart; empty where it asks for more than that.

    Words that the glossary does not have are told as the rule base calls its own values.
    """
    known = _glossary(rulebase)
    found = list(_found(known, _key(clause)))
    rest = tuple(w for slug, words in found if not slug for w in words if w not in _ASKING and not w[0].isdigit())
    terms = [known.terms[slug] for slug in dict.fromkeys(slug for slug, _ in found if slug)]
    if rest:
        besides = known.besides.get(tuple(w for w in _key(clause) if w not in _ASKING))
        return [told(besides)] if besides else []
    if not terms:
        return []
    return sides_told(rulebase, terms) if terms[1:] else [told(terms[0]), *_see(terms[0].see)]


def _see(names: Sequence[str]) -> list[str]:
    return [f"See also: {', '.join(names)}."] if names else []


def sides_told(rulebase: RuleBase, terms: Sequence[Term]) -> list[str]:
    """Words side by side: what tells two apart where the file says it, else the first sentence of each."""
    said = _glossary(rulebase).differences.get(frozenset(t.slug for t in terms))
    return [said] if said else [f"{told(t).partition('. ')[0].rstrip('.')}." for t in terms]


def difference_told(rulebase: RuleBase, terms: Sequence[Term]) -> str:
    """What tells two words apart; "" where the glossary does not say it."""
    return _glossary(rulebase).differences.get(frozenset(t.slug for t in terms), "")


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
        slug: Term(slug, term.names[0], term.says, tuple(raw[s].names[0] for s in term.see if s in raw))
        for slug, term in raw.items()
    }
    differences = {frozenset(d.between): d.says for d in (file.difference if file else ())}
    besides = {_asked(key): term for key, term in _of_values(rulebase) if key not in phrases}
    return _Glossary(terms, phrases, max(map(len, phrases), default=0), differences, besides)


def _asked(key: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(w for w in key if w not in _ASKING)


def _of_values(rulebase: RuleBase) -> Iterator[tuple[tuple[str, ...], Term]]:
    """What the rule base calls each candidate and each value of what is made and how it is finished."""
    for decision in rulebase.choices():
        for slug, candidate in decision.candidates.items():
            yield _key(candidate.label), Term(slug, candidate.label, f"{_capital(candidate.means)}.", ())
    for attribute in rulebase.attributes.values():
        if attribute.group in TOLD_GROUPS:
            for value in attribute.values.values():
                if value.slug not in ("none", "no", "yes") and value.means != value.label:
                    yield _key(value.label), Term(value.slug, value.label, f"{_capital(value.means)}.", ())


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def check_glossary(rulebase: RuleBase) -> list[str]:
    """What is wrong with the glossary: a name under two terms, a pointer that leads nowhere."""
    file = words_file(rulebase, GLOSSARY, GlossaryFile)
    raw = file.term if file else {}
    problems, seen = [], dict[tuple[str, ...], str]()
    for slug, term in raw.items():
        problems += [f"{GLOSSARY}: {slug} points to {s}, which is no term." for s in term.see if s not in raw]
        problems += [
            f"{GLOSSARY}: {slug} cites {s}, which is no source." for s in term.source if s not in rulebase.sources
        ]
        if term.basis == "published" and not term.source:
            problems.append(f"{GLOSSARY}: {slug} is published and cites nothing.")
        for name in term.names:
            if seen.setdefault(_key(name), slug) != slug:
                problems.append(f'{GLOSSARY}: "{name}" is a name of {seen[_key(name)]} and of {slug}.')
    for d in file.difference if file else ():
        problems += [f"{GLOSSARY}: a difference is between {s}, which is no term." for s in d.between if s not in raw]
    return problems

"""Slips of spelling: the known word that was meant, or near words to be offered.

A letter doubled or not, two swapped and an ending written as it sounds are the slips of people who write as they speak;
the known word behind one is meant where there is one, the far commoner one where there are two. Any other single change
is taken only where it leaves no choice: a known word of six letters or more with the same first letter, and one
candidate. Everything else that is near is only offered, but for two letters swapped in a shorter word that completes
the name of a thing in two words or more. Words of their own that stand one slip from a known word are never touched.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from functools import lru_cache
from importlib.resources import files

from rapidfuzz.distance import OSA

SHORTEST, SHORTEST_TARGET, SHORTEST_SWAPPED, SHORTEST_SOUNDED = 5, 6, 4, 4
_FAR_COMMONER = 8
"""How many times as common one of two words must be to be the one that was meant."""
_DOUBLED = re.compile(r"([a-z])\1")
_VOWELS = frozenset("aeiou")
_SOUNDS = tuple(
    (re.compile(written), meant)
    for written, meant in (
        (r"(?<=[aeiou])kt$", "cked"),
        (r"(?<=[kpshx])t$", "ed"),
        (r"(?<=[a-z]{2})el$", "le"),
        (r"(?<=[a-z]{2})le$", "el"),
        (r"(?<=[a-z]{2})ie", "ei"),
        (r"(?<=[a-z])ei", "ie"),
        (r"(?<=[aeiou])k(?!k)", "ck"),
        (r"(?<=[aeiou])ck", "k"),
        (r"(?<=[aeiou])c(?=[eio])", "s"),
        (r"ph", "f"),
        (r"(?<=[a-z])f+", "ph"),
    )
)
"""What is written as it sounds, and what was meant."""


def _own_words() -> frozenset[str]:
    lines = (files(__package__) / "own_words.txt").read_text(encoding="utf-8").splitlines()
    return frozenset(word for line in lines if not line.startswith("#") for word in line.split())


GUARDED = _own_words()
"""Words of their own that stand one slip from a known word, folded."""


@lru_cache(maxsize=8)
def _by_first_letter(known: frozenset[str]) -> dict[str, tuple[str, ...]]:
    """The known words of five letters or more under their first letter."""
    letters: dict[str, list[str]] = {}
    for word in sorted(known):
        if len(word) >= SHORTEST:
            letters.setdefault(word[0], []).append(word)
    return {letter: tuple(words) for letter, words in letters.items()}


def near_words(forms: Iterable[str], known: frozenset[str], most: int = 1) -> tuple[str, ...]:
    """Known words with the same first letter within ``most`` changes of one of the written ``forms``."""
    written = {form for form in forms if len(form) >= SHORTEST}
    if not written or written & GUARDED:
        return ()
    return tuple(
        word
        for word in _by_first_letter(known).get(min(written)[0], ())
        if any(
            abs(len(word) - len(form)) <= most and OSA.distance(word, form, score_cutoff=most) <= most
            for form in written
        )
    )


def swapped(word: str, known: frozenset[str]) -> tuple[str, ...]:
    """Known words with the first letter of ``word`` that two of its neighbouring letters swapped make."""
    if len(word) < SHORTEST_SWAPPED or word in GUARDED:
        return ()
    turned = (f"{word[:i]}{word[i + 1]}{word[i]}{word[i + 2 :]}" for i in range(1, len(word) - 1))
    return tuple(dict.fromkeys(other for other in turned if other != word and other in known))


def sounded(word: str) -> Iterator[str]:
    """What ``word`` may have been meant for: one more or less of two alike, two swapped, a sound written out."""
    yield from (f"{word[: m.start()]}{word[m.start() + 1 :]}" for m in _DOUBLED.finditer(word))
    yield from (f"{word[:i]}{word[i]}{word[i:]}" for i in range(1, len(word)) if word[i] not in _VOWELS)
    yield from (f"{word[:i]}{word[i + 1]}{word[i]}{word[i + 2 :]}" for i in range(1, len(word) - 1))
    for pattern, meant in _SOUNDS:
        yield from (f"{word[: m.start()]}{meant}{word[m.end() :]}" for m in pattern.finditer(word))


def meant_by_sound(word: str, known: Mapping[str, int] | Collection[str]) -> str | None:
    """The known word that ``word`` is such a slip of; of two the one that is far commoner, if ``known`` counts them."""
    if len(word) < SHORTEST_SOUNDED or word in GUARDED:
        return None
    found = [w for w in dict.fromkeys(sounded(word)) if w != word and len(w) > SHORTEST_SOUNDED and w in known]
    return _commonest(found, known if isinstance(known, Mapping) else {})


def meant_by_change(word: str, known: frozenset[str], counts: Mapping[str, int], common: int) -> str | None:
    """The one ``known`` word a single change away, or one far commoner than the others; it is long or ``common``."""
    near = near_words((word,), known)
    if any(word.startswith(other) or other.startswith(word) for other in near):
        # "Reversed" is an inflection of a word that is known.
        return None
    found = _commonest(near, counts)
    sure = found and (counts.get(found, 0) >= common or min(len(found), len(word)) >= SHORTEST_TARGET)
    return found if sure else None


def _commonest(words: Collection[str], counts: Mapping[str, int]) -> str | None:
    ranked = sorted(words, key=lambda w: -counts.get(w, 0))
    if not ranked or (len(ranked) > 1 and counts.get(ranked[0], 0) < _FAR_COMMONER * max(1, counts.get(ranked[1], 0))):
        return None
    return ranked[0]


def mended(forms: Iterable[str], known: frozenset[str], meaning: Callable[[str], object]) -> str | None:
    """The one known word of six letters or more that is a single slip away; None when there is none or a choice.

    Two words with the same ``meaning``, such as "stamp" and "stamped", leave no choice.
    """
    near = sorted(near_words(forms, known), key=len)
    same = len({repr(meaning(word)) for word in near}) == 1 and meaning(near[0]) is not None if near else False
    return near[-1] if near and (same or len(near) == 1) and len(near[-1]) >= SHORTEST_TARGET else None

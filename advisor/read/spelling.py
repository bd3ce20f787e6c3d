"""Slips of spelling: the one known word that is a single letter away, or near words to be offered.

A slip is taken only where it leaves no choice: five letters or more, a known word of six or more with the same
first letter, one change (a letter more, less, other, or two swapped), and one candidate. Everything else that is
near is only offered, but for two letters swapped in a shorter word that completes the name of a thing in two words
or more. English words that stand one letter from a word of the trade are never touched.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import lru_cache

from rapidfuzz.distance import OSA

SHORTEST, SHORTEST_TARGET, SHORTEST_SWAPPED = 5, 6, 4
# Words of their own that stand one letter from a word of the trade.
GUARDED = frozenset(
    re.findall(
        r"\w+",
        """
    angel angle blot broad calm carol causal clot coral crave dairy dose form from garb gliding lost marital metre quiet
    quite salt sing slat slave sliver sloe spilt tarp tows trail trial unite untied
    american beaded bearded boat boogie booster boot bounced bowtie brace braced bride bridge cared caring carted
    carver chance circle circled close closer closet coasting collide collier cooper copier corned coroner costing
    craved crutch dance danger decree dessert dying extracting failed filed fooled freeing garter german glided glover
    grave grease groove guided hanged hinted horse hose house inland keying lacked lacking lagging laminate lancing
    layered laying lease least lengthy lesson loader logging measure millet notice pained painter paste pasted
    patrol pepper performed plaited pointed pointing preset printer printing prototyped quantify remind resolve
    resolved resolving retain retained retrieve retrieved rewind saddle sandal sanitise sanitised sanitize sanitized
    scandal shelling skimming skipper slash slashed slider slimming slippery smelling soaped speaker spelling spiced
    spline spoked sprint stomped structure studied stumped swelling thinker thinned tiddler toggled toiled toiling
    topic toying trackable trained trainer tuned turner unlinked upgraded walled wedding whipped wielder wielding
""",
    )
)


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


def mended(forms: Iterable[str], known: frozenset[str], meaning: Callable[[str], object]) -> str | None:
    """The one known word of six letters or more that is a single slip away; None when there is none or a choice.

    Two words with the same ``meaning``, such as "stamp" and "stamped", leave no choice.
    """
    near = sorted(near_words(forms, known), key=len)
    same = len({repr(meaning(word)) for word in near}) == 1 and meaning(near[0]) is not None if near else False
    return near[-1] if near and (same or len(near) == 1) and len(near[-1]) >= SHORTEST_TARGET else None

"""Remarks about somebody else: "my other dog", "my neighbour's belt", "my sister is, but it's not for her".

Such a clause says nothing of the thing that is made, unless it speaks of the thing itself.
"""

from __future__ import annotations

import re

from .acts import acts_of

_ANIMAL = r"(?:dog|puppy|pup|bitch|hound|cat|kitten|horse|pony|mare|gelding|donkey|goat|rabbit|ferret|parrot|bird)s?"
_PERSON = (
    r"(?:neighbou?r|friend|mate|brother|sister|mother|mum|mom|father|dad|son|daughter|uncle|aunt|auntie|cousin|nephew"
    r"|niece|boss|colleague|wife|husband|partner|girlfriend|boyfriend|gran|grandad|grandmother|grandfather|flatmate"
    r"|ex|teacher|landlord|in-law)"
)
_MY = r"(?:my|our|his|her|their|the|a)"
_ANOTHER = re.compile(
    rf"^(?:and |but |oh |well |though |although |btw |by the way |also )*"
    rf"(?:{_MY} (?:other|second|old|older|younger|previous|last|first|late) (?:\w+ )?(?:{_ANIMAL}|{_PERSON}|one)\b"
    rf"|the other (?:one|{_ANIMAL})\b|(?:{_MY} )?(?:\w+ )?{_PERSON}(?:'s|s') (?!is\b|got\b|been\b)\w+"
    rf"|{_MY} (?:\w+ )?{_PERSON} (?:has|had|owns|keeps|got) )"
)
_BEAST = re.compile(
    rf"^(?:and |but |oh |well |btw |by the way |also )*(?:my|our|the) (?:\w+ )?(?P<beast>{_ANIMAL})\b(?!'s? )"
)
_NOT_THEIRS = re.compile(
    r"\b(?:(?:it|this|that|one)(?:'s| is) not (?:for|about) (?:her|him|them|that one)"
    r"|(?:hers|his|theirs|that one|the other) (?:comes|is|will be|can wait|comes later|gets)\b.*"
    r"\b(?:later|next|another|separate|different|after|wait|own)"
    r"|not for (?:her|him|them|that one))\b"
)
_OF_THE_THING = re.compile(r"\b(?:it|this|these|them|for (?:him|her|them))\b")


def without_others(text: str, made_for: str) -> tuple[str, bool]:
    """The text without the clauses that are about somebody else, and whether there were any.

    ``made_for`` are the words for the thing and of whom it was said to be for before: of those nothing is left out.
    """
    low = text.lower().replace("’", "'")
    clauses = [(a.start, a.end, low[a.start : a.end]) for a in acts_of(text)]
    theirs = [n for n, (_, _, words) in enumerate(clauses) if _NOT_THEIRS.search(words)]
    out = {m for n in theirs for m in (n - 1, n) if m >= 0}
    for n, (_, _, words) in enumerate(clauses):
        named = _ANOTHER.match(words)
        beast = _BEAST.match(words)
        if beast and beast["beast"].rstrip("s") in made_for.lower():
            beast = None
        if named and any(w in made_for.lower().split() for w in re.findall(_PERSON, named[0])):
            named = None
        rest = words[(named or beast).end() :] if named or beast else ""  # type: ignore[union-attr]
        if (named or beast) and not _OF_THE_THING.search(rest):
            out.add(n)
    kept = [text[start:end] for n, (start, end, _) in enumerate(clauses) if n not in out]
    return (" , ".join(kept), bool(out)) if out else (text, False)


def told_apart(text: str) -> str:
    """What is said of the job, without hearsay and history beside it; all of it where there is nothing else."""
    acts = acts_of(text)
    kept = [text[a.start : a.end] for a in acts if a.kind != "told"]
    return ", ".join(kept) if kept and len(kept) < len(acts) else text

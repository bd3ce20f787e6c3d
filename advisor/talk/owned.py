"""What is told of a clip's eye, a ring, a pen or a tool: noted and compared, never taken as the leather's own size."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from ..leather.units import show_said
from ..read.lexicon import fold, lexicon
from ..read.owned import Owned, fitted_words, owned_sizes
from ..read.purposes import purposes
from ..reasoning.facts import Answer
from ..reasoning.review import Proposal
from ..rulebase.models import RuleBase
from ..rulebase.saying import asked
from .called import words_in
from .reply import Reply
from .requests import another_thing

if TYPE_CHECKING:
    from ..read.reader import Reading
    from .session import Session

_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4, chr(34): 25.4, "m": 1000.0}
_ALSO = re.compile(r"\b(?:wide|width|strap|belt|lead|collar|leather)\b")
NEAR = 1.12
"""Within so much of the width a fitting's size is the usual one for it."""


def owned_told(session: Session, text: str) -> Reply | None:
    """ "The eye of my clip is 20 mm": noted, and whether the strap goes through; None where no such size is told."""
    item = session.item()
    if item is None:
        return None
    own = own_words(session.rulebase, item, session.answers["item"].words)
    strap = session.rulebase.attributes[purposes(session.rulebase).strap_width]
    if session.usual(strap):
        own |= words_in(asked(session.rulebase, strap.name, item).question) - fitted_words(session.rulebase)
    told = owned_sizes(session.rulebase, text, own)
    if not told:
        return None
    reading = session.read_line(text)
    reading = without_owned(session.rulebase, reading, told)
    lines = [line for one in told for line in owned_lines(session, one, reading)]
    lines += another_thing(session, text)
    session.line = "" if not reading.answers else session.line
    return session.take(reading, lines)


def own_words(rulebase: RuleBase, item: str, called: str) -> frozenset[str]:
    """The words of the thing itself and of all that it is cut by."""
    uses = lexicon(rulebase).uses.get(item, frozenset())
    cut = [asked(rulebase, name, item) for name in uses if name in rulebase.attributes]
    straps = "strap belt lead collar" if purposes(rulebase).strap_width in uses else ""
    said = " ".join([rulebase.items[item].name, called, straps, *(own.question for own in cut)])
    # A clip that a length is measured from is none of the words of the lead itself.
    named = words_in(f"{rulebase.items[item].name} {called}")
    words = named | (words_in(said) - fitted_words(rulebase))
    return words | {fold(w) for w in words} | {f"{w}s" for w in words}


def without_owned(rulebase: RuleBase, reading: Reading, told: list[Owned]) -> Reading:
    """The reading without what it made of these numbers."""
    spans = [(one.size.start, one.size.end) for one in told]

    def of_it(start: int, end: int) -> bool:
        return any(start < last and first < end for first, last in spans)

    numeric = {u.attribute for u in reading.understood if of_it(*u.span)}
    numeric = {n for n in numeric if n in rulebase.attributes and rulebase.attributes[n].numeric}
    digits = [one.word for one in told]
    answers = {n: a for n, a in reading.answers.items() if n not in numeric}
    understood = tuple(u for u in reading.understood if u.attribute not in numeric and not (u.value and of_it(*u.span)))
    doubts = tuple(d for d in reading.doubts if d.code in ("denied", "made_as", "choice") or d.code == "contradiction")
    unread = tuple(w for w in reading.unread if not any(c.isdigit() for c in w) and w not in digits)
    return replace(
        reading, answers=answers, understood=understood, doubts=doubts, unread=unread, hints={}, proposal=Proposal()
    )


def owned_lines(session: Session, one: Owned, reading: Reading) -> list[str]:
    """That a size is noted as what it is of, and what it means for the strap that goes through it."""
    unit = one.size.unit or ("in" if session.units == "inch" else "mm")
    size = one.size.values[0] * _MM.get(unit, 1.0)
    said = show_said(size, "mm", session.units)
    if one.kind == "tool":
        return [f"The {one.word}, {said}: noted; that is no size of the leather."]
    if one.kind == "worn":
        return [f"The {one.word}, {said}: noted; that is no size of the leather. Make the loop that takes it wider."]
    if one.kind == "carried":
        return [
            f"The {one.word}, {said} thick: noted; that is no size of the leather. A loop for it is a strip cut from "
            "what is left over, with both ends sewn in: try it round before you sew."
        ]
    width = _strap(session, reading)
    if width is None:
        return [f"The {one.word}, {said} inside: noted; that is no size of the leather."]
    now = show_said(width, "mm", session.units)
    if width > size:
        return [
            f"The {one.word}, {said} inside: noted. A strap {now} wide does not go through it: "
            f'say "strap width {said}", or take a wider {one.word}.'
        ]
    return [f"The {one.word}, {said} inside: noted. A strap {now} wide goes through it."]


def _strap(session: Session, reading: Reading) -> float | None:
    """How wide the strap of the thing is that goes through a fitting; None where it has none."""
    name = purposes(session.rulebase).strap_width
    uses = lexicon(session.rulebase).uses.get(session.item() or "", frozenset())
    told = reading.answers.get(name, session.answers.get(name, Answer(()))).values
    if name not in uses and not told:
        return None
    usual = told or session.usual(session.rulebase.attributes[name])
    return float(usual[0]) if usual else None

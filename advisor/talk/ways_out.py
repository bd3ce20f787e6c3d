"""What is named instead of what is refused or cannot be had together, asked for or said back."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ..leather.units import show_thickness, show_weight
from ..read.danger import RAISED
from ..read.reader import read_sentence
from ..write.buying import stands
from ..write.names import values_called
from ..write.page import listed
from .pending import Pending
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

_WORD = re.compile(r"[a-z]{4,}")
_THIN = re.compile(r"\b(?:thinner|thicker)\b", re.IGNORECASE)
_MOST_OF = 0.6
"""How much of a way out must be said back for it to be meant."""


def ways_out(session: Session) -> list[str]:
    """What the program names instead of what it refuses or cannot settle, each once."""
    advice, rules = session.advice(), session.rulebase.rules
    ways = [str(way.params["way"]) for c in advice.conflicts for way in c.resolutions if "way" in way.params]
    ways += [way for r in advice.outcome_reasons if r.rule in rules for way in rules[r.rule].remedies]
    return list(dict.fromkeys(ways))


def instead_told(session: Session) -> list[str] | None:
    """What can be had instead, where no order stands; None where one does."""
    advice = session.advice()
    ways = ways_out(session)
    if not ways or stands(advice):
        return None
    return [f"Instead: {way}" for way in ways[:4]]


def way_out(session: Session, low: str) -> Reply | None:
    """ "Take thinner leather then": a way out that was named, said back."""
    advice = session.advice()
    if stands(advice) or advice.dangers:
        return None
    said = {_stem(w) for w in _WORD.findall(low)}
    best: tuple[float, str] = (0.0, "")
    for way in ways_out(session):
        key = {_stem(w) for w in _WORD.findall(way.lower())} - {"take", "with", "make", "that", "this"}
        share = len(key & said) / len(key) if key else 0.0
        first = _stem(way.lower().split()[0]) in said
        best = max(best, (share if first or len(key & said) > 1 else 0.0, way))
    share, way = best
    if share < _MOST_OF:
        return None
    answers = {
        n: a
        for n, a in read_sentence(session.rulebase, way, session.item(), session.units).answers.items()
        if n not in ("item", RAISED) and not session.rulebase.attributes[n].numeric
    }
    if answers:
        session.pending = Pending(answers, f"{way.rstrip('.')}: is that what you want?", offered=True)
        return session.again([])
    return session.again([_way_told(session, way)])


def _way_told(session: Session, way: str) -> str:
    """What a way out comes to that no answer stands for."""
    advice, rules = session.advice(), session.rulebase.rules
    weight, leathers = advice.decisions.weight, advice.decisions.tannage.chosen
    bounds = [b for b in weight.bounds if b.rule in rules and way in rules[b.rule].remedies]
    out = next((w for w in weight.ways_out if any(w.without == b.rule for b in bounds)), None)
    if out is None or not leathers:
        return f'"{way.rstrip(".")}" is a way out, but I can reckon no order with it: settle it with the shop.'
    if _THIN.search(way):
        most = listed(f"{b.side} {show_thickness(b.mm, session.units)}" for b in bounds)
        others = [w for w in ways_out(session) if not _THIN.search(w)][:2]
        return f"That would have to be {most}, and no leather for it is. {' Or: '.join(['', *others]).strip()}"
    named = values_called(session.rulebase, "tannage", leathers[:1], session.units)
    return f"{way} Then {named} of {show_weight(out.low_mm, out.high_mm, session.units)} does."


def _stem(word: str) -> str:
    return re.sub(r"(?:ing|ed|es|s|e)$", "", word)

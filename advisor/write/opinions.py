"""A second opinion in a sentence or two for each point: whether it fits, why, and what would."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence

from ..leather.units import Units, number, ounces, show_weight
from ..read.beside import held_against, known_values
from ..read.glossary import terms_in
from ..read.lexicon import fold
from ..reasoning.advice import Advice
from ..reasoning.review import Point, Review
from ..rulebase.models import RuleBase, Value
from .names import called, thing_called, values_called
from .page import capital
from .reasons import bound_because, only_a_range, small

_STRENGTHS = ("must", "strong", "clear", "slight")
_TOLD_FIRST = ("does not fit", "fits with reservations", "fits", "cannot tell")
_UNKNOWN = "I know nothing for or against"
_OF_PRICE = re.compile(r"\b(?:waste of money|overpriced|too (?:dear|expensive)|dearer|cheaper|a rip.?off)\b")
_AGAINST = re.compile(
    r"\btoo (?:thin|thick|soft|stiff|hard|weak|heavy|light)\b|\b(?:waste|wrong|overkill|no (?:good|use)|rubbish|useless"
    r"|never|not|bad|daft|silly|pointless|hopeless)\b|n't\b"
)
"""What somebody claims against a leather."""
_INSTEAD = ("tannage", "species", "grain", "form", "cut")
_LAST = ("form", "cut")
"""Of points that stand equally ill, which piece of hide it is matters least."""
"""The choices of which it helps to hear what is advised instead."""


def opinion_said(rulebase: RuleBase, advice: Advice, review: Review, units: Units = "mm") -> list[str]:
    """What is found of a leather that somebody names, the worst first; empty where nothing can be judged.

    Of points that the same word made only the most decided one is told.
    """
    points = [p for p in review.points if p.name not in ("amount", "label")]
    said: dict[str, str] = {}
    last = (*(n for n in (p.name for p in points) if n not in _LAST), *_LAST)
    values = known_values(advice)
    for point in sorted(points, key=lambda p: (_place(rulebase, p, values), last.index(p.name))):
        thick = point.name == "weight"
        text = _weight(rulebase, advice, point, review.item, units) if thick else _choice(rulebase, advice, point)
        if text:
            said.setdefault(point.said, text)
    refused = any(p.verdict == "does not fit" for p in points if p.name not in _LAST)
    if refused and len(said) > 1:
        # Which piece of hide it might be helps nobody whom the leather does not suit.
        fits = {p.said for p in points if p.name in _LAST and p.verdict == "fits"}
        said = {name: text for name, text in said.items() if name not in fits} or said
    # Where something is found of the rest, that nothing is known of one point helps nobody.
    known = [text for text in said.values() if not text.startswith(_UNKNOWN)]
    return known or list(said.values())


def _place(rulebase: RuleBase, point: Point, values: Mapping[str, Sequence[Value]]) -> int:
    """How soon a point is told: one for which no rule speaks before a fit, where people have something against it.

    Of "suede", which is a face and a layer, so the weak layer is told and not the face alone.
    """
    place = _TOLD_FIRST.index(point.verdict)
    slug = point.judged or next(iter(point.candidates), "")
    weak = point.name == "grain" and point.verdict == "cannot tell"
    return 1 if weak and held_against(rulebase, point.name, slug, values) else place


def _weight(rulebase: RuleBase, advice: Advice, point: Point, item: str | None, units: Units) -> str:
    weight = advice.decisions.weight
    if point.low_mm is None or point.high_mm is None or weight.low_mm is None or weight.high_mm is None:
        return ""
    offered = _thick(point.low_mm, point.high_mm)
    wanted = show_weight(weight.low_mm, weight.high_mm, units)
    if point.verdict == "fits":
        return f"Yes, {offered} suits it; {wanted} is what I would order."
    below = (point.low_mm + point.high_mm) / 2 < (weight.low_mm + weight.high_mm) / 2
    side = "thin" if below else "thick"
    bounds = [b for b in point.bounds if b.side == ("at least" if below else "at most")]
    bounds.sort(key=lambda b: (only_a_range(b.because), _force(b.force)))
    because = next((bound_because(rulebase, item, b.rule, b.side, b.because) for b in bounds), "")
    made = rulebase.items.get(item or "")
    if made and (not because or only_a_range(because)):
        # What is sold says nothing of what goes wrong with it.
        because = (made.too_thin if below else made.too_thick) or because
    reason = f" {capital(because)}" if because else ""
    if point.verdict == "fits with reservations":
        return f"{capital(offered)} can be used, but it is on the {side} side; better is {wanted}.{reason}"
    return f"No, {offered} is too {side} for the {thing_called(rulebase, item or '')}; order {wanted}.{reason}"


def claim_said(opinion: str, claim: str) -> str:
    """An opinion as the answer to what somebody claims of the leather, such as "far too thick"."""
    verdict, found, rest = opinion.partition(", ")
    if not found or verdict not in ("Yes", "No"):
        return opinion
    if _OF_PRICE.search(claim):
        return capital(rest)
    if not _AGAINST.search(claim):
        return opinion
    other = {"too thin": "too thick", "too thick": "too thin"}
    swapped = any(said in claim and meant in rest for said, meant in other.items())
    return f"That is {'right' if verdict == 'No' and not swapped else 'wrong'}: {rest}"


def _force(force: str) -> int:
    return ("must", "should", "may").index(force)


def _thick(low: float, high: float) -> str:
    """A thickness in both measures: ``2 mm (5 oz)``."""
    if high - low < 0.05:
        return f"{number(low, 1)} mm ({number(round(ounces(low) * 2) / 2, 1)} oz)"
    return f"{number(low, 1)} to {number(high, 1)} mm"


def _choice(rulebase: RuleBase, advice: Advice, point: Point) -> str:
    slug = point.judged or next(iter(point.candidates), "")
    named = called(rulebase, point.name, slug) if slug else point.said
    choice = advice.decisions.choices().get(point.name)
    lead = values_called(rulebase, point.name, choice.chosen[:1]) if choice and choice.chosen else ""
    instead = f" I advise {lead}." if lead and point.name in _INSTEAD else ""
    if choice and slug in choice.chosen[:1]:
        return f"Yes, {named} is what I advise.{_reason(point, (slug,), good=True)}"
    if point.verdict == "fits":
        group = f"{point.said} will do, as {named}" if len(point.candidates) > 1 else f"{named} will do"
        return f"Yes, {group}.{_reason(point, (slug,), good=True)}{instead}"
    if point.verdict == "cannot tell":
        if but := held_against(rulebase, point.name, slug, known_values(advice)):
            words = named if point.name != "grain" or fold(point.said) in fold(named) else point.said
            return f"{capital(words)} is not ruled out, but not usual here. {but}{instead}"
        meant = " ".join(t.says for t in terms_in(rulebase, named) if fold(t.name) == fold(named))
        return f"{_UNKNOWN} {named} here.{f' {capital(named)}: {small(meant)}' if meant else ''}" + (
            f" Usual is {lead}." if lead else ""
        )
    if point.verdict == "fits with reservations":
        against = _reason(point, (slug,), good=False)
        return f"{capital(named)} {'can be used with care' if against else 'would do as well'}.{against}{instead}"
    several = len(point.candidates) > 1
    against = _reason(point, tuple(point.candidates) or (slug,), good=False)
    return f"No, not {point.said if several else named}.{against}{instead}"


def _reason(point: Point, slugs: Sequence[str], good: bool) -> str:
    """The reason that most of the candidates share, the strongest of equals, as a sentence of its own."""
    acts = ("favour", "require") if good else ("disfavour", "exclude")
    found = [e for e in point.ledger if e.act in acts and not e.withdrawn and e.candidate in slugs]
    often = Counter(e.because for e in found)
    # In what thickness it is sold tells nobody what is wrong with it.
    best = min(
        found,
        key=lambda e: (only_a_range(e.because), -often[e.because], not e.counts, _STRENGTHS.index(e.strength)),
        default=None,
    )
    return f" {best.because}" if best else ""

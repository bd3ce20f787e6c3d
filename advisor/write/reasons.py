"""Why this leather, what would do as well and what would not: a sentence each, taken from the ledgers."""

from __future__ import annotations

import re

from ..leather.units import show_weight
from ..read.beside import take_if
from ..reasoning.advice import Advice, BoundView, Choice, LedgerEntry
from ..rulebase.load import WISH
from ..rulebase.models import RuleBase
from ..rulebase.parts import SOLD
from ..rulebase.written import gauge_of
from .costs import dearer
from .names import called
from .page import Page, capital, listed

_STRENGTHS = ("must", "strong", "clear", "slight")
_TEMPTING = ("tannage", "cut")
"""The decisions in which people take the wrong thing at the shop."""
_NEARLY = 1.25
"""By so much too thin or too thick a leather is still taken for the right one."""
USUAL = "/usual-weight"
"""Ends the id of the rule that an item's own thickness became."""
_BY_THE_ITEM = "/ranking"
_LIKE = re.compile(r" \(like (.+)\)\.$")
_RANGE = re.compile(r"^(?:It is sold at|Nobody sells) |\bis made of leather [\d.]+ to ")
"""Ends the id of the rule that an item's own list of leathers became."""


def why(rulebase: RuleBase, page: Page, advice: Advice) -> list[str]:
    """The reason for the leather and the one for its thickness; what the person said goes before habit."""
    said = rules_on_answers(advice)
    found = []
    lead = next(iter(advice.decisions.tannage.chosen), "")
    if entry := _best(advice, "tannage", lead, said):
        found.append(f"{capital(called(rulebase, 'tannage', lead))}: {small(entry.because)}")
    weight = advice.decisions.weight
    # In what thickness something is sold is no reason to want it so thick; then it is what is usual for the thing.
    bounds = [b for b in weight.bounds if (b.binding or b.rule.endswith(USUAL)) and not only_a_range(b.because)]
    if bounds and weight.low_mm and weight.high_mm:
        best = min(bounds, key=lambda b: (not b.binding, *bound_rank(b, said), not b.rule.endswith(USUAL)))
        thick = show_weight(weight.low_mm, weight.high_mm, page.units, gauge_of(rulebase, lead))
        found.append(f"{thick}: {small(best.because)}")
    return found


def rules_on_answers(advice: Advice) -> frozenset[str]:
    """The rules that were used and read something the person said, beyond what is being made."""
    return frozenset(
        s.rule
        for s in advice.trace
        if any(m.params.get("origin") == "said" and m.params["attribute"] != "item" for m in s.matched)
    )


def also_good(rulebase: RuleBase, advice: Advice) -> list[str]:
    """The other leathers that would do, the best first: how they stand in price, and what speaks for each.

    What speaks for the first as well, or for another told of already, parts nothing: there it is told what it is taken
    for.
    """
    choice = advice.decisions.tannage
    shared = {e.because for e in choice.ledger if e.candidate == choice.chosen[0] and e.act == "favour"}
    price = {t: float(p) for t, p in rulebase.decisions["tannage"].table("price").items()}
    found = []
    for other in (*choice.chosen[1:], *choice.also_fits):
        relation = dearer(price[other] / price[choice.chosen[0]])
        entry = _best(advice, "tannage", other, frozenset(), frozenset(shared))
        # What a leather is said to be like another in, is said of that one.
        alike = _LIKE.search(entry.because) if entry else None
        reason = f": {f'serves like {alike[1]}' if alike else fragment(entry.because)}" if entry else ""
        if entry and entry.because in shared:
            take = take_if(rulebase, "tannage", [other])
            reason = f": if {take[other]}" if take else ""
        if entry:
            shared.add(entry.because)
        found.append(f"{called(rulebase, 'tannage', other)} ({relation}){reason}")
    return found


def not_this(rulebase: RuleBase, advice: Advice) -> list[str]:
    """What people are tempted to take and should not, what their own answers rule out first; with the reason."""
    said = rules_on_answers(advice)
    choices = advice.decisions.choices()
    entries = [(d, e) for d in _TEMPTING for e in _against(choices[d]) if _tempts(rulebase, advice, d, e.candidate)]
    entries = [(d, e) for d, e in entries if e.rule in said or e.rule.endswith(_BY_THE_ITEM)]
    entries.sort(key=lambda de: (de[1].rule not in said, _TEMPTING.index(de[0]), _STRENGTHS.index(de[1].strength)))
    best: dict[tuple[str, str], LedgerEntry] = {}
    for decision, entry in entries:
        found = best.setdefault((decision, entry.candidate), entry)
        # A rule that speaks for others too says what is good about those.
        if _speaks_for(rulebase, found) and not _speaks_for(rulebase, entry):
            best[decision, entry.candidate] = entry
    by_reason: dict[str, list[str]] = {}
    for (decision, candidate), entry in best.items():
        by_reason.setdefault(entry.because, []).append(called(rulebase, decision, candidate))
    return [f"{listed(list(dict.fromkeys(names))[:2], 'or')}: {fragment(b)}" for b, names in by_reason.items()]


def _speaks_for(rulebase: RuleBase, entry: LedgerEntry) -> bool:
    """Whether the rule behind a reason against one gives the same reason for another; an item has a reason for each."""
    if entry.rule.endswith(_BY_THE_ITEM):
        return False
    return any(c.act in ("favour", "require") for c in rulebase.rules[entry.rule].then)


def _tempts(rulebase: RuleBase, advice: Advice, decision: str, candidate: str) -> bool:
    """Whether somebody making this would really buy that: it was asked for, or it tempts and is sold about so thick."""
    told, item, wish = rulebase.decisions[decision], advice.facts.get("item"), advice.facts.get(WISH)
    wished = str(wish.value) if wish else ""
    if candidate in (wished, *told.groups.get(wished, ())):
        return True
    thing = rulebase.items.get(str(item.value) if item else "")
    if thing is None or not told.tempts(candidate, thing.family):
        return False
    weight = advice.decisions.weight
    if weight.low_mm is None or weight.high_mm is None or any(c not in told.properties for c in SOLD):
        return True
    thinnest, thickest = (float(told.candidates[candidate].properties[c]) for c in SOLD)
    return thinnest < weight.high_mm * _NEARLY and weight.low_mm < thickest * _NEARLY


def small(sentence: str) -> str:
    """A sentence to stand after a colon: its first letter small, unless it begins with capitals."""
    return sentence if sentence[1:2].isupper() else sentence[:1].lower() + sentence[1:]


def only_a_range(because: str) -> bool:
    """Whether a reason only repeats in what thickness something is sold or made, which says least of why."""
    return bool(_RANGE.search(because))


def bound_because(rulebase: RuleBase, item: str | None, rule: str, side: str, because: str) -> str:
    """Why a bound is there; where the thing's own weights set it, what goes wrong with leather beyond it."""
    made = rulebase.items.get(item or "")
    if made is None or rule not in (f"{made.slug}/usual-weight", f"{made.slug}/workable-weight"):
        return because
    return (made.too_thin if side == "at least" else made.too_thick) or because


def beyond(side: str, because: str) -> str:
    """What goes wrong beyond a bound, said of the leather."""
    other = "Thinner leather" if side == "at least" else "Thicker leather"
    return f"{other} {because[3:]}" if because.startswith("It ") else f"{other}: {small(because)}"


def fragment(sentence: str) -> str:
    """A sentence about something that was just named, without the "it" it begins with and without its full stop."""
    said = sentence.rstrip(".")
    for subject in ("It is ", "It "):
        if said.startswith(subject):
            return said.removeprefix(subject)
    return small(said)


def _best(
    advice: Advice, decision: str, candidate: str, said: frozenset[str], shared: frozenset[str] = frozenset()
) -> LedgerEntry | None:
    """The strongest reason for a candidate, one that what was said called for before any other, a shared one last."""
    entries = [
        e
        for e in advice.decisions.choices()[decision].ledger
        if e.candidate == candidate and e.act in ("favour", "require") and not e.withdrawn
    ]
    return min(
        entries,
        key=lambda e: (e.because in shared, e.rule not in said, not e.counts, _STRENGTHS.index(e.strength)),
        default=None,
    )


def _against(choice: Choice) -> list[LedgerEntry]:
    """The reasons against what is not offered."""
    offered = {*choice.chosen, *choice.also_fits}
    return [
        e for e in choice.ledger if e.act in ("exclude", "disfavour") and not e.withdrawn and e.candidate not in offered
    ]


def bound_rank(bound: BoundView, said: frozenset[str]) -> tuple[bool, bool]:
    """What was said first, then a sum, then a habit."""
    return bound.rule not in said, bound.formula is None

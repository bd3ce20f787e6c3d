"""What is told of an advice that is asked about: why not, rather than, what if, what it leans on.

Sentences alone, from values that the reasoning returns; only what was proven is worded as proven.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from ..leather.units import Units, show_thickness
from ..reasoning.closed import Closed, Giver
from ..reasoning.contrast import Contrast, Side
from ..reasoning.facts import Answer
from ..reasoning.standing import Goal
from ..reasoning.why_not import Member, Speaking, State, Way, WhyNot
from ..rulebase.models import RuleBase, Value
from .buying import form_counted
from .names import answer_said, attribute_called, called, grammar_said, listed_in_rule, rule_called, values_called
from .page import OUTCOME_WORDS, Page, capital, listed

GOAL_WORDS: Mapping[str, str] = {
    "form": "what to buy",
    "amount": "the amount",
    "conflicts": "the conflicts",
    "weight": "the thickness",
    "parts": "the leather of another part",
}
MOST_REASONS = 2
_AMOUNT = re.compile(r"(?P<count>\d+) x (?P<form>[^,]+?)(?P<cost>, [^,]+)? for (?P<area>[\d.]+) dm2")
_STATES: Mapping[State, str] = {
    "advised": "advised",
    "fits as well": "fits as well",
    "excluded": "ruled out",
    "outweighed": "outweighed",
    "no leather": "no order stands",
}


class Voice(NamedTuple):
    """Whose words are spoken: the rule base, what is being made, and the page."""

    rulebase: RuleBase
    item: str | None
    width: int = 80
    units: Units = "mm"

    def page(self) -> Page:
        """An empty page of its width."""
        return Page(self.width, self.units)

    def thing(self) -> str:
        """What is being made, with its article: ``a bookmark``."""
        value = self.rulebase.attributes["item"].values.get(self.item or "")
        return value.one() if value else "this"

    def told(self, name: str, answer: Answer) -> str:
        """An answer as a person says it: ``a strap 38 mm wide``."""
        values = answer.values if answer.state == "known" else ()
        return answer_said(self.rulebase, name, values, self.item, self.units)

    def quoted(self, name: str, answer: Answer) -> str:
        """An answer as a person would say it, quoted: ``"a strap 38 mm wide"``."""
        return f'"{self.told(name, answer)}"'

    def change(self, changes: Iterable[str]) -> str:
        """Changes of answers in the grammar's words, as a person would say them, quoted."""
        return listed(f'"{grammar_said(self.rulebase, c, self.item)}"' for c in changes)

    def ways(self, ways: Iterable[Way], joiner: str = "or") -> str:
        """Several sets of changes."""
        return listed((self.change(w.changes) for w in ways), joiner)

    def reason(self, reason: Speaking) -> str:
        """A reason with the rule that it comes from."""
        aside = "" if reason.counted else " Its usual ranking says the same."
        return f"{reason.because} [{rule_called(self.rulebase, reason.rule)}]{aside}"


def goal_words(goal: Goal) -> str:
    """A part of the order as a person says it."""
    return GOAL_WORDS.get(goal, f"the {goal}")


def value_words(rulebase: RuleBase, about: str, values: Sequence[Value]) -> str:
    """What a part of the order comes to, as a person says it."""
    if about == "outcome":
        return ", ".join(OUTCOME_WORDS.get(str(v), str(v)) for v in values)
    if about == "amount":
        return listed(_amount_words(rulebase, str(v)) for v in values)
    if about == "parts":
        return listed(_part_words(rulebase, str(v)) for v in values)
    return values_called(rulebase, about, [str(v) for v in values], joiner="or")


def _part_words(rulebase: RuleBase, part: str) -> str:
    """The leather of one part: ``aldehyde leather at 0.6 to 0.8 mm for the lining``."""
    name, _, rest = part.partition(": ")
    words = rest.split(" ")
    of = [called(rulebase, "tannage", w) for w in words if w in rulebase.decisions["tannage"].candidates]
    ends = [w for w in words if w.replace(".", "").isdecimal()]
    thick = f"at {' to '.join(ends)} mm" if ends else ""
    told = " ".join(filter(None, (*of, thick))) if of or ends else rest
    return f"{told} for the {name.replace('_', ' ')}"


def _amount_words(rulebase: RuleBase, amount: str) -> str:
    """What is bought, with its cost, and the area of the pieces; the area alone where no form is settled."""
    found = _AMOUNT.fullmatch(amount)
    form = re.sub(r"\W+", "_", found["form"].lower()) if found else ""
    if found is None or form not in rulebase.decisions["form"].candidates:
        return amount.replace("dm2", "dm²")
    bought = f"{form_counted(rulebase, form, int(found['count']))}{found['cost'] or ''}"
    return f"{bought}, for {found['area']} dm² of pieces"


# -- why not


def why_not_told(voice: Voice, found: WhyNot, said: str) -> list[str]:
    """The answer to "why not ..."; ``said`` is what was asked for, in the asker's words."""
    page = voice.page()
    called = _called(voice, found.decision, found.asked) if found.decision != "weight" else said
    lead = values_called(voice.rulebase, found.decision, found.lead, joiner="or")
    if found.state == "no leather":
        page.add(f"Not {said}, because no order stands for this at all.")
        return page.lines
    if found.members:
        _group(voice, page, found, said, lead)
    else:
        page.add(_head(voice, found, called, lead))
        for reason in found.against[:MOST_REASONS]:
            page.add(f"{capital(_how(voice, reason))}: {voice.reason(reason)}", 2)
        for reason in found.speaking_for[:1] if found.state in ("fits as well", "outweighed") else ():
            page.add(f"For it ({reason.strength}): {voice.reason(reason)}", 2)
    for reason in found.for_lead[:1] if found.state != "advised" else ():
        lead_called = _called(voice, found.decision, found.lead[0])
        page.add(f"For {lead_called} ({reason.strength}): {voice.reason(reason)}", 2)
    if found.state not in ("advised", "fits as well"):
        _ways(voice, page, found)
    return page.lines


def _called(voice: Voice, decision: str, candidate: str) -> str:
    return values_called(voice.rulebase, decision, [candidate])


def _how(voice: Voice, reason: Speaking) -> str:
    if reason.side is None or reason.mm is None:
        return reason.strength
    return f"{reason.side} {show_thickness(reason.mm, voice.units)} ({reason.strength})"


def _head(voice: Voice, found: WhyNot, called: str, lead: str) -> str:
    instead = f" I advise {lead}." if lead else ""
    if found.state == "advised":
        return f"I do advise it: {lead}."
    if found.state == "fits as well":
        return f"{capital(called)} fits as well; {lead} stands before it."
    if found.state == "outside":
        return f"{called} lies outside.{instead or ' No thickness meets all bounds.'}"
    if found.state == "not spoken for" and found.against:
        return f"{capital(called)} is not usual for {voice.thing()}, and this speaks against it.{instead}"
    if found.state == "not spoken for":
        return f"No rule argues against {called}; it is simply not usual for {voice.thing()}.{instead}"
    return f"{capital(called)} is {_STATES[found.state]}.{instead}"


def _group(voice: Voice, page: Page, found: WhyNot, said: str, lead: str) -> None:
    """One line for all that stand alike for the same reason, those that come nearest first."""
    page.add(f"{capital(said)} may be one of several.{f' I advise {lead}.' if lead else ''}")
    alike: dict[tuple[State, str], list[Member]] = {}
    for member in found.members:
        first = member.against[0].because if member.against else ""
        alike.setdefault((member.state, first), []).append(member)
    for (state, _), members in alike.items():
        names = capital(values_called(voice.rulebase, found.decision, [m.asked for m in members]))
        shown = state not in ("advised", "fits as well")
        reasons = members[0].against[:1] if shown else []
        page.add(
            f"{names}: {_standing(voice, state, bool(reasons))}."
            + "".join(f" {capital(_how(voice, r))}: {voice.reason(r)}" for r in reasons),
            2,
            "- ",
        )


def _standing(voice: Voice, state: State, spoken_against: bool) -> str:
    if state != "not spoken for":
        return _STATES[state]
    if spoken_against:
        return "not ruled out, but this speaks against it"
    return f"no rule argues against it; it is simply not usual for {voice.thing()}"


def _ways(voice: Voice, page: Page, found: WhyNot) -> None:
    """What would have to be said instead, or what was looked at in vain."""
    verb = "lead" if found.state == "outweighed" else "fit"
    it = "any of them" if found.members else "it"
    subject = "One of them" if found.members else "It"
    if found.ways:
        page.add(f"{subject} would {verb} if you said {voice.ways(found.ways)}.")
        if len(found.ways[0].changes) > 1 and not found.gaps:
            page.add("No single answer of those that somebody would change is enough.", 2)
    elif found.cases:
        page.add(f"{subject} is for another case: {voice.ways(found.cases)}.")
    elif found.never:
        page.add(f"Whatever else you said, {'none of them would' if found.members else 'it would not'} {verb}.")
    elif found.stopped and found.covered and not found.gaps:
        page.add(
            f"No single answer that you would change about {voice.thing()} makes {it} {verb}; "
            "of two together I did not try all."
        )
    elif found.stopped:
        page.add("I did not search far enough to say what would have to be different.")
    elif found.gaps:
        named = listed(attribute_called(voice.rulebase, n) for n in found.gaps)
        page.add(
            f"I found nothing you would change about {voice.thing()} that makes {it} {verb}; "
            f"of {named} I tried only some answers."
        )
    else:
        page.add(f"Nothing you would change about {voice.thing()} makes {it} {verb}.")
    if found.by_wish:
        page.add("Ask for it by name to have it weighed.", 2)


def closed_told(voice: Voice, found: Closed) -> list[str]:
    """Every rule that could speak for a candidate, those that hold first, then those nearest to holding."""
    page = voice.page()
    called = _called(voice, found.decision, found.asked)
    rules = f"{len(found.givers)} rule{'s' if len(found.givers) != 1 else ''}"
    page.add(f"Able to speak for {called}: {rules}, and the habits of {found.other_things} other things.")
    for giver in found.givers:
        page.add(f"[{rule_called(voice.rulebase, giver.rule)}] {_giver_words(voice, giver)}", 2, "- ")
    return page.lines


def _giver_words(voice: Voice, giver: Giver) -> str:
    if giver.state == "does not hold":
        return f"does not hold, for this is not so: {listed(_premise_said(voice.rulebase, f) for f in giver.fails)}."
    states = {
        "counts": f"holds and counts ({giver.strength})",
        "in the ranking": f"holds ({giver.strength}); its usual ranking says the same",
        "outweighed": "holds, but more speaks against it",
        "withdrawn": f"is withdrawn: {rule_called(voice.rulebase, giver.winner or '')} goes before it",
    }
    return f"{states[giver.state]}. {giver.because}"


def _premise_said(rulebase: RuleBase, text: str) -> str:
    """A premise in the grammar's words, as a person says it."""
    if found := re.fullmatch(r"(\w+) (?:is|includes) one of (.+)", text):
        words = listed(listed_in_rule(rulebase, found[1], found[2]), "or")
        return f"{attribute_called(rulebase, found[1])} {words}"
    if found := re.fullmatch(r"(\w+) is (known|unknown)", text):
        return f"{attribute_called(rulebase, found[1])} {found[2]}"
    return grammar_said(rulebase, text)


# -- rather than


def contrast_told(voice: Voice, found: Contrast) -> list[str]:
    """What parts two candidates: how they stand, the reasons that only one has, and what would turn it."""
    page = voice.page()
    sides = (found.one, found.other)
    one, other = (_called(voice, found.decision, s.asked) for s in sides)
    if found.one.state == "no leather":
        page.add(f"Neither {one} nor {other}, because no order stands for this at all.")
        return page.lines
    weighed = all(s.state != "excluded" for s in sides)
    counted = f": {one} has {_pulls(found.one)}, {other} {_pulls(found.other)}" if weighed else ""
    if found.first is None:
        page.add(f"{capital(one)} and {other} stand level{counted}.")
    else:
        first, second = (one, other) if found.first == found.one.asked else (other, one)
        page.add(f"{capital(first)} stands before {second}{counted}.")
    for side, name in zip(sides, (one, other), strict=True):
        if side.state == "excluded":
            page.add(f"{capital(name)} is ruled out.", 2)
        for reason in side.for_it[:MOST_REASONS]:
            page.add(f"Only for {name} ({reason.strength}): {voice.reason(reason)}", 2)
        for reason in side.against[:MOST_REASONS]:
            page.add(f"Only against {name} ({reason.strength}): {voice.reason(reason)}", 2)
    if not any(s.for_it or s.against for s in sides):
        page.add("No rule speaks of one and not of the other.", 2)
    turning = [(side, name) for side, name in zip(sides, (one, other), strict=True) if side.turning]
    for side, name in turning:
        page.add(f"{capital(name)} before the other if you said {voice.ways(side.turning)}.")
    if not turning:
        page.add("I found no single answer that would turn it.")
    return page.lines


def _pulls(side: Side) -> str:
    return f"{side.pulls_for} for it and {side.pulls_against} against"

"""Leather that somebody has already: whether it does for the job, said before any is sold."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import replace
from typing import NamedTuple

from ..errors import AdvisorError
from ..leather.units import show, show_weight
from ..read.lexicon import lexicon
from ..read.purposes import purposes
from ..reasoning.judging import review
from ..reasoning.review import FINE, VERDICTS, Proposal, Thickness, Verdict
from ..write.buying import stands
from ..write.names import values_called
from ..write.opinions import opinion_said
from ..write.page import capital
from .matter import Matter

_JUDGED = ("tannage", "grain", "species", "weight")
"""The points of a leather at home that say whether it does; of its form nobody knows how much is left."""


class AtHome(NamedTuple):
    """What is found of the leather at home, in sentences, and what heads the order: "" where it does not do."""

    lines: tuple[str, ...]
    order: str


def at_home(matter: Matter, said: Proposal | None = None) -> AtHome | None:
    """The opinion on the leather at home; None where there is none, or no order to set it against.

    ``said`` is the leather that the words named, where they say more than its kind.
    """
    known = purposes(matter.rulebase)
    kinds = [str(v) for v in (matter.answers[known.at_hand].values if known.at_hand in matter.answers else ())]
    kind = kinds[0] if kinds and kinds[0] in lexicon(matter.rulebase).book.kinds else ""
    thick = next(iter(matter.answers[known.at_hand_weight].values), None) if _has_weight(matter) else None
    if matter.item is None or not (kind or isinstance(thick, float)):
        return None
    advice = matter.advice()
    if not stands(advice) or advice.outcome == "defer":
        return None
    members = lexicon(matter.rulebase).book.kinds.get(kind, ())
    label = matter.rulebase.attributes[known.at_hand].values[kind].label if kind else "leather"
    choices = dict(said.choices) if said else {}
    if not set(choices.get("tannage", ())) <= set(members) or "tannage" not in choices:
        choices = {"tannage": members} if members else {}
    if len(choices.get("tannage", ())) == 1:
        label = values_called(matter.rulebase, "tannage", choices["tannage"])
    proposal = Proposal(choices, words={"tannage": label.removesuffix(" leather")})
    if isinstance(thick, float):
        proposal = replace(proposal, weight=Thickness(thick, thick), words={**proposal.words, "weight": "thick"})
    try:
        found = review(matter.rulebase, matter.answers, proposal.only(_JUDGED), house=matter.house, points_only=True)
    except AdvisorError:
        return None
    verdicts: list[Verdict] = [p.verdict for p in found.points]
    worst = max(verdicts, key=VERDICTS.index, default=VERDICTS[2])
    thickness = f"{show(thick, 'mm', matter.units)} " if isinstance(thick, float) else ""
    own = f"the {thickness}{label} you have"
    told = opinion_said(matter.rulebase, advice, found, matter.units)
    if worst not in FINE:
        if worst == VERDICTS[2]:
            return AtHome((f"I cannot tell whether it can be cut from {own}.", *told[:1]), "")
        # That it is not is said once.
        said_no = told[0] if told else ""
        reason = said_no.partition(". ")[2] if said_no.startswith("No, not") else capital(said_no.removeprefix("No, "))
        return AtHome((f"No, it cannot be cut from {own}.", *filter(None, (reason,))), "")
    weight = advice.decisions.weight
    lines = [f"Yes, it can be cut from {own}."]
    if worst == FINE[1]:
        lines += [text for text in told[:1] if not text.startswith("Yes")]
    if thick is None and weight.low_mm and weight.high_mm:
        wanted = show_weight(weight.low_mm, weight.high_mm, matter.units)
        lines.append(f"It wants to be {wanted} thick: measure yours at six places first.")
    if not kind and (chosen := advice.decisions.tannage.chosen):
        lines.append(f"That is if it is {values_called(matter.rulebase, 'tannage', chosen, joiner='or')} or like it.")
    return AtHome(tuple(lines), f"cut it from {own}, if it is large enough and sound. If not, buy:")


def told_of_home(matter: Matter, names: Container[str]) -> bool:
    """Whether leather at home is among the answers ``names``."""
    known = purposes(matter.rulebase)
    return known.at_hand in names or known.at_hand_weight in names


def _has_weight(matter: Matter) -> bool:
    return purposes(matter.rulebase).at_hand_weight in matter.answers

"""Every rule that could speak for a candidate, and how it stands: the whole answer to why it is not advised."""

from __future__ import annotations

from typing import Literal

from ..rulebase.models import STRENGTH_NAMES
from . import advice as view
from .consult import Consultation
from .network import network
from .settle import IN_RANKING

GiverState = Literal["counts", "in the ranking", "outweighed", "withdrawn", "does not hold"]


class Giver(view.Part):
    """A rule able to speak for a candidate.

    ``fails`` are the premises that do not hold, in the grammar's words; ``winner`` is the rule that withdrew it.
    """

    rule: str
    act: Literal["favour", "require"]
    strength: str
    because: str
    state: GiverState
    fails: list[str]
    winner: str | None = None


class Closed(view.Part):
    """All rules able to speak for ``asked``: those that hold first, then those that are nearest to holding.

    ``other_things``: rules besides that are the habits of other things.
    """

    decision: str
    asked: str
    givers: list[Giver]
    other_things: int


def closed(run: Consultation, decision: str, candidate: str) -> Closed:
    """How every rule stands that could speak for a candidate."""
    net, item = network(run.rulebase), run.item()
    entries = {(e.rule, e.act): e for e in run.ledgers[decision].entries if e.candidate == candidate}
    found: dict[tuple[str, str], Giver] = {}
    others = 0
    for place, conclusion in net.about.get(decision, ()):
        rule, act = net.rules[place], conclusion.act
        if act not in ("favour", "require") or (rule.id, act) in found:
            continue
        if conclusion.attribute:
            named = candidate in run.rulebase.attributes[conclusion.attribute].values
        else:
            named = candidate in conclusion.values
        if not named:
            continue
        if rule.item is not None and (item is None or rule.item != item.slug):
            others += 1
            continue
        because = conclusion.because or rule.because
        strength = "must" if act == "require" else STRENGTH_NAMES[conclusion.strength]
        fired, entry = run.firings.get(rule.id), entries.get((rule.id, act))
        fails: list[str] = [] if fired else list(run.proof.failed(rule).says["fails"])
        winner = fired[0].withdrawn_by if fired else None
        state: GiverState = "counts"
        if winner:
            state = "withdrawn"
        elif entry is None:
            state = "does not hold"
            fails = fails or [f"{conclusion.attribute or decision} is {candidate}"]
        elif not entry.counts:
            state = "in the ranking" if entry.set_aside == IN_RANKING else "outweighed"
        found[rule.id, act] = Giver(
            rule=rule.id,
            act=act,
            strength=strength,
            because=because,
            state=state,
            fails=fails,
            winner=winner,
        )
    order = ("counts", "in the ranking", "outweighed", "withdrawn", "does not hold")
    givers = sorted(found.values(), key=lambda g: (order.index(g.state), len(g.fails), g.rule))
    return Closed(decision=decision, asked=candidate, givers=givers, other_things=others)

"""Where a proposed candidate stands in a settled ledger, and a thickness in a settled window.

Pure readings of what was settled; nothing is weighed anew and nothing about leather is known.
"""

from __future__ import annotations

import math

from ..leather.units import MM_PER_OUNCE, ounce_band
from ..rulebase.models import STRENGTHS
from .review import VERDICTS, Standing, Thickness, Verdict
from .settle import Ledger

CLEARLY_BEHIND = STRENGTHS["clear"]


def _balance(ledger: Ledger, candidate: str, every: bool) -> int:
    """The strengths for less those against; ``every`` counts what the item's ranking already contains, too."""
    return sum(e.pull for e in ledger.entries if e.candidate == candidate and (e.counts or (every and not e.withdrawn)))


def standing_of(ledger: Ledger, candidate: str) -> tuple[Standing, int | None]:
    """Where a candidate stands in a ledger, and how far behind the lead."""
    behind = _balance(ledger, ledger.chosen[0], False) - _balance(ledger, candidate, False) if ledger.chosen else None
    if candidate in ledger.excluded:
        return "excluded", behind
    if candidate in ledger.chosen:
        return "chosen", 0
    if candidate in ledger.also_fits:
        return "also fits", behind
    if not ledger.chosen and not ledger.clash:
        return "unknown", None
    every = _balance(ledger, candidate, True)
    return ("not usual" if every > 0 else "outweighed" if every < 0 else "unknown"), behind


def verdict_of(ledger: Ledger, candidate: str) -> Verdict:
    """What follows from where a candidate stands: a clear reason behind the lead, or one against, is a reservation."""
    place, behind = standing_of(ledger, candidate)
    against = any(e.candidate == candidate and e.act == "disfavour" and e.counts for e in ledger.entries)
    if place == "chosen":
        return "fits"
    if place == "also fits":
        return "fits with reservations" if against or (behind or 0) >= CLEARLY_BEHIND else "fits"
    if place == "not usual":
        return "fits with reservations"
    return "cannot tell" if place == "unknown" else "does not fit"


def rank(ledger: Ledger, candidate: str) -> tuple[int, int, int]:
    """The better member of a group first: by verdict, then in the order of the balance."""
    order = [*ledger.chosen, *ledger.also_fits]
    place = order.index(candidate) if candidate in order else len(order)
    return VERDICTS.index(verdict_of(ledger, candidate)), place, -_balance(ledger, candidate, True)


def within(offered: Thickness, low: float | None, high: float | None) -> bool:
    """Whether a thickness lies in a window, or in the band that is sold for that window."""
    slack = offered.slack
    inside = (low is None or low - slack <= offered.low) and (high is None or offered.high <= high + slack)
    if inside or low is None or high is None or offered.low == offered.high:
        return inside
    first, last = (end * MM_PER_OUNCE for end in ounce_band(low, high))
    return first - slack <= offered.low and offered.high <= last + slack


def overlap(offered: Thickness, low: float | None, high: float | None) -> tuple[float, float] | None:
    """The part of an offered thickness that lies in a window; None where there is none."""
    least, most = 0.0 if low is None else low, math.inf if high is None else high
    if offered.high < least - offered.slack or offered.low > most + offered.slack:
        return None
    # Within the slack a thickness counts as the end it is read for.
    return min(max(offered.low, least), most), max(min(offered.high, most), least)

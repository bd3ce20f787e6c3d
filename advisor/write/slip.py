"""The order slip: the order on one sheet, to read out to a shop or to print.

What is refused, deferred or not settled gets a slip that says so and never an order. Nothing is concluded
here; the words to check by come from the rule base.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..leather.units import Units
from ..reasoning.advice import Advice
from ..rulebase.models import RuleBase
from .assumed import assumed_said, facts_told
from .buying import order_block, stands
from .names import made_called, thing_called
from .page import I_ASSUMED, MIND, NO_ORDER_SLIP, ON_ARRIVAL, ORDER_SLIP, TELL_ME_IF, YOU_SAID, Page
from .refusal import no_order
from .screen import COLUMNS, block, check_said, checks, conditions
from .warnings import LIMITS_OF_USE, still_open, to_mind, told_if, words

LINES = 24
"""What a slip is to fit: one screen, or one page of A5."""
_ROOMS = ((2, 3), (1, 3), (1, 2), (1, 1), (0, 1))
"""How many checks and how many cautions, the first that fits."""


def slip_lines(
    rulebase: RuleBase,
    advice: Advice,
    width: int = 80,
    units: Units = "mm",
    log: str = "",
    own: str = "",
    leans: Sequence[str] | None = None,
) -> list[str]:
    """The slip as lines of at most ``width`` columns; ``log`` names the record of the consultation, if one is kept.

    ``own`` heads the order, where what somebody has already does as well; ``leans`` are the suppositions that decide
    what is bought, as on the screen.
    """
    most = LINES * COLUMNS // width if width < COLUMNS else LINES
    for checked, minded in _ROOMS:
        page = Page(width, units)
        # Somebody has to be asked before leather is bought, so a deferred job gets no sheet to buy by.
        if stands(advice) and advice.outcome != "defer":
            _ordered(rulebase, page, advice, checked, minded, own, leans)
        else:
            name = thing_called(rulebase, str(advice.facts["item"].value)) if "item" in advice.facts else ""
            page.add(f"{NO_ORDER_SLIP}{f': {name}' if name else ''}")
            no_order(rulebase, page, advice)
        block(page, "RECORD", [f"{log}."] if log else [])
        block(page, "RULES", [f"{rulebase.name} {rulebase.version} ({rulebase.sha256[:12]})"])
        if len(page.lines) <= most:
            break
    return page.lines


def _ordered(
    rulebase: RuleBase,
    page: Page,
    advice: Advice,
    checked: int,
    minded: int,
    own: str,
    leans: Sequence[str] | None,
) -> None:
    page.add(f"{ORDER_SLIP}: {made_called(rulebase, advice)}")
    conditions(rulebase, page, advice)
    order_block(rulebase, page, advice, own)
    if said := facts_told(rulebase, advice, page.units):
        block(page, YOU_SAID, [f"{'; '.join(said)}."])
    block(page, I_ASSUMED, assumed_said(rulebase, advice, page.units, leans))
    block(page, ON_ARRIVAL, [check_said(rulebase, page, advice, c) for c in checks(rulebase, advice)[:checked]])
    cautions = sorted(to_mind(advice), key=lambda c: c.id != LIMITS_OF_USE)
    block(page, MIND, [words(c) for c in cautions[:minded]])
    if unsaid := still_open(advice):
        block(page, TELL_ME_IF, [told_if(rulebase, unsaid)])

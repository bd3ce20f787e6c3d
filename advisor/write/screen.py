"""The answer that is given unasked: one screen, the order first, then what somebody buying leather needs to know.

Everything said is read off the advice. What does not fit stays in the full answer and in the JSON; a stop, an open
question of danger and the order itself are never left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from ..leather.units import Units
from ..reasoning.advice import Advice
from ..rulebase.arrival import WEIGHT_MARK, checks_for
from ..rulebase.models import Check, RuleBase
from . import sketch
from .assumed import assumed_said, facts_told, of_one
from .buying import heading, order_block, stands, thickness
from .full import full_lines
from .names import made_called
from .page import (
    ALSO_GOOD,
    AT_THE_SHOP,
    I_ASSUMED,
    MIND,
    NEXT_STEPS,
    NOT_THIS,
    SEVERITY_WORDS,
    TELL_ME_IF,
    WHY,
    Page,
    capital,
    listed,
    verdict_words,
)
from .reasons import also_good, not_this, small, why
from .refusal import clash, no_order
from .warnings import LIMITS_OF_USE, MOST_CAUTIONS, notes, still_open, stops, to_mind, told_if, words

MOST_WAYS = 2
"""How many ways out are told above an order; the full answer has them all."""
MOST_DISPUTES = 1
AT_THE_BENCH = 8
"""From this rank on a caution is about the work at any bench, so that the mistake made with this thing goes before."""
LINES, COLUMNS = 30, 80
"""What a default answer is to fit."""
NEXT = ("--full", "--slip", "--why weight")
NEXT_WITHOUT_AN_ORDER = ("--full", "--why outcome")
"""What can be added to a command line to learn more."""


class Room(NamedTuple):
    """How much of what is not the order there is room for."""

    reasons: int
    also: int
    refusals: int
    checks: int
    notes: int
    drawing: bool
    gaps: bool
    panel: bool = False


_ROOMS = (
    Room(2, 3, 2, 2, 1, True, True, True),
    Room(2, 2, 2, 1, 0, True, True, True),
    Room(1, 2, 2, 1, 0, True, False, True),
    Room(1, 1, 1, 1, 0, True, False, True),
    Room(2, 3, 2, 2, 1, True, True),
    Room(2, 3, 2, 2, 0, True, True),
    Room(2, 3, 2, 1, 0, True, True),
    Room(2, 2, 2, 1, 0, True, True),
    Room(1, 2, 2, 1, 0, True, True),
    Room(1, 2, 1, 1, 0, True, True),
    Room(1, 1, 1, 1, 0, True, True),
    Room(1, 1, 1, 1, 0, True, False),
    Room(1, 1, 0, 1, 0, True, False),
    Room(1, 1, 1, 1, 0, False, False),
    Room(1, 1, 0, 1, 0, False, False),
    Room(1, 0, 0, 0, 0, False, False),
)


def advice_lines(
    rulebase: RuleBase,
    advice: Advice,
    width: int = COLUMNS,
    full: bool = False,
    units: Units = "mm",
    steps: Sequence[str] = NEXT,
    ordered: bool = True,
    own: str = "",
    leans: Sequence[str] | None = None,
) -> list[str]:
    """The advice for a person, on one screen or in ``full``; ``steps`` are what may be typed next.

    Without ``ordered`` the order itself is left out, for whoever puts it elsewhere. ``own`` heads it, where what
    somebody has already does as well. ``leans`` are the suppositions that decide what is bought, those most likely to
    be otherwise first; None where nobody has looked.
    """
    if full:
        return full_lines(rulebase, advice, width, units, own)
    page = Page(width, units)
    if not stands(advice):
        no_order(rulebase, page, advice, examples=bool(steps))
        _next(page, NEXT_WITHOUT_AN_ORDER if steps else ())
        return page.lines
    most = LINES * COLUMNS // page.width if page.width < COLUMNS else LINES
    said = _said(rulebase, advice, page, ordered, own, leans)
    for room in _ROOMS:
        page = Page(width, units)
        _screen(page, said, room)
        _next(page, steps)
        if len(page.lines) <= most:
            break
    return page.lines


def order_lines(
    rulebase: RuleBase, advice: Advice, width: int = COLUMNS, units: Units = "mm", own: str = ""
) -> list[str]:
    """The stops and the order alone, to stand at the end of a conversation; nothing where no order stands."""
    page = Page(width, units)
    if stands(advice):
        _stops(page, advice)
        order_block(rulebase, page, advice, own)
    return page.lines


class _Said(NamedTuple):
    """All that a screen may say of one advice, worked out once, whatever of it there is room for."""

    head: list[str]
    strap: list[str]
    panel: list[str]
    reasons: list[str]
    also: list[str]
    refusals: list[str]
    checks: list[str]
    mind: dict[int, list[str]]
    """By the number of notes for which there is room."""
    unsaid: list[str]
    assumed: list[str]


def _said(
    rulebase: RuleBase, advice: Advice, page: Page, ordered: bool, own: str, leans: Sequence[str] | None
) -> _Said:
    """What may be said; its order stands. ``page`` has the width and the measures, and takes the first lines."""
    _head(rulebase, page, advice)
    if ordered:
        order_block(rulebase, page, advice, own)
    unsaid, strap = still_open(advice), sketch.strap(rulebase, page, advice)
    return _Said(
        head=page.lines,
        strap=strap,
        panel=[] if strap else sketch.panel(rulebase, page, advice),
        reasons=why(rulebase, page, advice),
        also=also_good(rulebase, advice),
        refusals=not_this(rulebase, advice),
        checks=[check_said(rulebase, page, advice, c) for c in checks(rulebase, advice)],
        mind={n: _mind(rulebase, advice, n) for n in {room.notes for room in _ROOMS}},
        unsaid=[told_if(rulebase, unsaid)] if unsaid else [],
        assumed=assumed_said(rulebase, advice, page.units, leans),
    )


def _screen(page: Page, said: _Said, room: Room) -> None:
    page.lines += said.head
    _gap(page, room)
    drawn = said.strap if room.drawing else []
    if drawn or (room.panel and (drawn := said.panel)):
        page.lines += drawn
        _gap(page, room)
    block(page, WHY, said.reasons[: room.reasons])
    short(page, ALSO_GOOD, said.also[: room.also])
    short(page, NOT_THIS, said.refusals[: room.refusals])
    _gap(page, room)
    block(page, AT_THE_SHOP, said.checks[: room.checks])
    block(page, MIND, said.mind[room.notes])
    _gap(page, room)
    block(page, TELL_ME_IF, said.unsaid)
    block(page, I_ASSUMED, said.assumed)


def _head(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    """What it is for, and on what conditions."""
    name = capital(made_called(rulebase, advice))
    verdict = "" if advice.outcome == "ok" else f": {verdict_words(advice)}"
    told = of_one(facts_told(rulebase, advice, page.units))
    # Many answers would push the order down; "answers" and the slip have them all.
    shown = next(n for n in range(len(told), -1, -1) if not n or len(", ".join([name, *told[:n]])) < page.width)
    page.add(f"{', '.join([name, *told[:shown]])}{verdict}.")
    conditions(rulebase, page, advice)


def conditions(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    """What stops, what cannot be had together, and the reasons for any condition, before anything is ordered."""
    _stops(page, advice)
    for conflict in advice.conflicts:
        clash(rulebase, page, conflict, MOST_WAYS)
    told = {c.rule for c in stops(advice)}
    reasons = (r for r in advice.outcome_reasons if r.outcome != "ok" and r.rule not in told)
    for text in dict.fromkeys(r.because for r in reasons if r.verdict == advice.verdict):
        page.add(text, 2)


def _stops(page: Page, advice: Advice) -> None:
    for caution in stops(advice):
        page.add(words(caution), 0, f"{SEVERITY_WORDS['stop']}: ")


def checks(rulebase: RuleBase, advice: Advice) -> list[Check]:
    """What to look over in the shop: the first check of each thing that is looked at, in the order of the file."""
    found: dict[tuple[str, ...], Check] = {}
    chosen = {name: choice.chosen for name, choice in advice.decisions.choices().items()}
    for check in checks_for(rulebase.checks, chosen):
        found.setdefault(tuple(check.of), check)
    return list(found.values())


def check_said(rulebase: RuleBase, page: Page, advice: Advice, check: Check) -> str:
    """A check with the thickness of the main leather put in, as it is ordered."""
    line = advice.order.lines[0]
    thick = thickness(rulebase, line, page.units)
    return check.say.replace(WEIGHT_MARK, f"{thick}, {sketch.cards(line.low_mm or 0, line.high_mm or 0)}")


def _mind(rulebase: RuleBase, advice: Advice, most: int) -> list[str]:
    """What to be careful of, with at most so many notes."""
    mistake = rulebase.items[str(advice.facts["item"].value)].first_mistake
    cautions = to_mind(advice)
    limits = [c for c in cautions if c.id == LIMITS_OF_USE]
    shown = [*limits, *[c for c in cautions if c not in limits][: MOST_CAUTIONS - len(limits)]]
    of_the_bench = [c for c in shown if rulebase.cautions[c.id].rank >= AT_THE_BENCH]
    said = [words(c) for c in shown if c not in of_the_bench]
    said += [f"Common mistake: {small(mistake)}"] if mistake else []
    said += [words(c) for c in (*of_the_bench, *notes(advice)[:most])]
    more = len(cautions) - len(shown)
    said += [f"{more} more caution{'s' if more > 1 else ''} in full."] if more else []
    return [*said, *disputes(rulebase, advice)[:MOST_DISPUTES]]


def disputes(rulebase: RuleBase, advice: Advice) -> list[str]:
    """Where makers differ so that this order would be another; a finish that is a matter of taste is left to full."""
    live = (s for s in advice.trace if s.contested and s.relevant and s.withdrawn_by is None)
    return list(dict.fromkeys(s.contested for s in live if s.contested and not _of_the_finish(rulebase, s.rule)))


def _of_the_finish(rulebase: RuleBase, rule: str) -> bool:
    """Whether a rule only supposes how something is finished, as its edge."""
    supposed = [rulebase.attributes.get(c.target) for c in rulebase.rules[rule].then if c.act == "suppose"]
    whole = len(supposed) == len(rulebase.rules[rule].then)
    return whole and all(a is not None and a.group == "finish" for a in supposed)


def _next(page: Page, steps: Iterable[str]) -> None:
    if said := list(steps):
        block(page, NEXT_STEPS, [listed(said, "or")])


def block(page: Page, title: str, paragraphs: Iterable[str]) -> None:
    """Paragraphs under a heading that stands before the first; nothing without any."""
    for paragraph in paragraphs:
        page.add(paragraph, 0, heading(title))
        title = ""


def short(page: Page, title: str, paragraphs: Iterable[str]) -> None:
    """Like a block, each paragraph cut back to as many of its clauses as go on one line."""
    fits = page.width - len(heading())
    block(page, title, [_cut_back(text, fits) for text in paragraphs])


def _cut_back(text: str, columns: int) -> str:
    """As many clauses as fit, parted where a sentence may end; all of them where not even the first does."""
    marks = [m.start() for m in re.finditer("; |, (?=and |so )", text)]
    ends = [len(text), *reversed(marks)]
    return next((text[:end] for end in ends if end <= columns), text)


def _gap(page: Page, room: Room) -> None:
    if room.gaps and page.lines[-1:] != [""]:
        page.lines.append("")

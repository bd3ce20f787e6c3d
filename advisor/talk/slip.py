"""The order slip: one screen to read out to a shop or to print, made from the advice.

What is refused, deferred or not settled gets a slip that says so and never an order. Nothing is concluded
here; the words to check by come from the rule base.
"""

from __future__ import annotations

from ..leather.units import Units, show, show_area, show_weight
from ..read.danger import RAISED
from ..reasoning.advice import Advice, Choice
from ..rulebase.arrival import WEIGHT_MARK, checks_for
from ..rulebase.models import RuleBase
from .ordering import MOST_ALSO, cost_words, count_words, other_forms
from .page import DECISION_WORDS, SEVERITY_WORDS, Page, capital, listed, plain, verdict_words
from .wording import danger_words, fact_words, supposed

MOST_OPEN = 6


def slip_lines(
    rulebase: RuleBase, advice: Advice, width: int = 80, units: Units = "mm", log: str = ""
) -> list[str]:
    """The slip as lines of at most ``width`` columns; ``log`` names the record of the consultation, if one is kept."""
    page = Page(width, units)
    item = advice.facts.get("item")
    slug = str(item.value) if item and item.value else ""
    name = rulebase.items[slug].name if slug in rulebase.items else ""
    hindrance = _hindrance(advice, name)
    if hindrance:
        page.add(f"NO ORDER{f': {name}' if name else ''}")
        page.add(f"{hindrance}.")
        _reasons(rulebase, page, advice)
    else:
        many = advice.facts.get("quantity")
        count = f", {show(many.value, '')} of them" if many and isinstance(many.value, float) and many.value > 1 else ""
        page.add(f"ORDER SLIP: {name}{count}")
        if advice.outcome != "ok":
            page.add(f"{capital(verdict_words(advice))}.")
        if said := _said(advice, units):
            page.add(f"{'; '.join(said)}.", 0, "Said: ")
        _reasons(rulebase, page, advice)
        _order(page, advice)
        _arrival(rulebase, page, advice)
    _cautions(page, advice, bool(hindrance))
    if not name:
        page.add("No caution can be ruled out before the item is known.")
    if not hindrance:
        _open(rulebase, page, advice)
    if log:
        page.add(f"{log}.", 0, "Record of this consultation: ")
    reckoning = "" if hindrance else " A maker's reckoning; estimates are no rating."
    page.add(f"Rules: {rulebase.name} {rulebase.version} ({rulebase.sha256[:12]}).{reckoning}")
    return page.lines


def _hindrance(advice: Advice, name: str) -> str:
    """Why nothing can be ordered, or "" when everything an order needs is settled."""
    if advice.no_order or advice.outcome == "defer":
        return capital(verdict_words(advice))
    if not name:
        return "It is not known yet what is being made"
    d = advice.decisions
    unsettled = [n for n, choice in d.choices().items() if not choice.chosen]
    unsettled += ["weight"] if d.weight.order_as is None else []
    return f"Not settled yet: {listed(plain(n) for n in unsettled)}" if unsettled else ""


def _reasons(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    """The rules behind the outcome with what to do instead, and wishes that cannot be had together."""
    told = {r.rule for c in advice.conflicts for r in c.reasons}
    for reason in advice.outcome_reasons if advice.outcome != "ok" else ():
        if reason.verdict == advice.verdict and reason.rule not in told and reason.outcome != "undecided":
            page.add(reason.because, 2)
            for remedy in rulebase.rules[reason.rule].remedies:
                page.add(remedy, 2, "Instead: ")
    for question in advice.dangers:
        page.add(danger_words(question), 2, "? ")
    for conflict in advice.conflicts:
        page.add(f"Cannot be had together: {plain(conflict.about)}.", 2)
        for way in conflict.resolutions:
            page.add(plain(way), 2, "Way out: ")


def _said(advice: Advice, units: Units) -> list[str]:
    return [
        fact_words(n, f, units)
        for n, f in advice.facts.items()
        if f.origin in ("answered", "read") and f.value is not None and n not in ("item", "quantity", RAISED)
    ]


def _order(page: Page, advice: Advice) -> None:
    d = advice.decisions
    page.add("Buy:")
    counts = {f.form: f for f in d.amount.forms}
    lead = d.form.chosen[0]
    _line(page, "Form", count_words(lead, counts.get(lead)),
          [count_words(f, counts[f]) for f in other_forms(advice)])  # fmt: skip
    for name in ("tannage", "grain", "surface", "temper"):
        _choice(page, name, d.choices()[name])
    if d.weight.low_mm is not None and d.weight.high_mm is not None:
        page.add(show_weight(d.weight.low_mm, d.weight.high_mm, page.units), 2, f"{'Weight':<9}")
    for name in ("cut", "species"):
        _choice(page, name, d.choices()[name])
    first = counts.get(lead)
    if d.amount.net_area_dm2 is not None:
        waste = f", with waste {show(first.gross_dm2, 'dm2', page.units)}" if first else ""
        page.add(f"{show_area(d.amount.net_area_dm2, page.units)} in pieces{waste}", 2, f"{'Area':<9}")
    for part, what in d.amount.parts.items():
        page.add(f"{plain(part)}: {what}", 2, f"{'Also':<9}")
    priced = first is not None and first.cost is not None and first.cost.total is not None
    price = cost_words(first.cost, d.amount.prices) if first and priced else "ask the shop"
    page.add(price.removeprefix("Cost: "), 2, f"{'Cost':<9}")


def _choice(page: Page, name: str, choice: Choice) -> None:
    _line(page, DECISION_WORDS[name], plain(choice.chosen[0]),
          [plain(c) for c in (*choice.chosen[1:], *choice.also_fits)])  # fmt: skip


def _line(page: Page, label: str, lead: str, others: list[str]) -> None:
    more = len(others) - MOST_ALSO
    shown = [*others[:MOST_ALSO], *([f"{more} more"] if more > 0 else [])]
    page.add(lead + (f"; {listed(shown, 'or' if more <= 0 else 'and')} will do as well" if shown else ""), 2,
             f"{label:<9}")  # fmt: skip


def _arrival(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    d = advice.decisions
    checks = checks_for(rulebase.checks, {name: choice.chosen for name, choice in d.choices().items()})
    if not checks or d.weight.low_mm is None or d.weight.high_mm is None:
        return
    page.add("When it arrives:")
    band = show_weight(d.weight.low_mm, d.weight.high_mm, page.units)
    for check in checks:
        page.add(check.say.replace(WEIGHT_MARK, band), 2, "- ")


def _cautions(page: Page, advice: Advice, barred: bool) -> None:
    """What can hurt somebody: the words of what applies, and the names of the stops that nobody has ruled out."""
    grave = [c for c in advice.cautions if c.severity == "stop" or (c.severity == "caution" and not barred)]
    applies = [c for c in grave if c.status == "applies"]
    open_stops = [c.about for c in grave if c.status != "applies" and c.severity == "stop"]
    if applies:
        page.add("Mind:")
    for caution in applies:
        ask = f" Ask: {caution.defer_to}." if caution.defer_to else ""
        page.add(f"{caution.text}{ask}", 2, f"{SEVERITY_WORDS[caution.severity]}: ")
    if open_stops and not barred:
        page.add(f"{', '.join(open_stops)}.", 0, "STOP, not ruled out: ")


def _open(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    found = supposed(rulebase, advice, page.units)
    if found:
        page.add(f"{'; '.join(found.values())}.", 0, "Taken for granted: ")
    names = [plain(q.attribute) for q in advice.open_questions if q.attribute not in found]
    if names:
        rest = len(names) - MOST_OPEN
        shown = [*names[:MOST_OPEN], *([f"{rest} more"] if rest > 0 else [])]
        page.add(f"{listed(shown)}.", 0, "Nobody has said either: " if found else "Nobody has said: ")

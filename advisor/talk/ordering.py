"""The part of an advice that says what to order: leather, weight, form, pieces, layers and what is needed besides.

Everything said is read off the advice; nothing is concluded here.
"""

from __future__ import annotations

from decimal import Decimal

from ..leather.price import quarter_feet_to_buy
from ..leather.units import (
    Units,
    number,
    quarter_mark,
    show,
    show_area,
    show_beside,
    show_cut,
    show_thickness,
    show_weight,
    square_feet,
)
from ..reasoning.advice import (
    Advice,
    BoundView,
    Choice,
    CostView,
    FormView,
)
from ..rulebase.models import RuleBase
from .page import DECISION_WORDS, Page, listed, plain

MOST_ALSO = 3
# Below this many square feet nobody reads the mark on a skin.
LEAST_MARK = 2
_PART_WORDS = {"lining": " (lining, bought apart)", "lace": " (lace, bought by the length)", "other": " (cut apart)"}


def order_part(rulebase: RuleBase, page: Page, advice: Advice, full: bool) -> None:
    """What to buy, each part with its reason; ``full`` with every reason, bound and form."""
    page.head("What to order")
    for decision in ("tannage", "grain", "surface", "temper"):
        _choice(rulebase, page, advice, decision, full)
    _weight(page, advice, full)
    _choice(rulebase, page, advice, "cut", full)
    _choice(rulebase, page, advice, "species", full)
    _form(rulebase, page, advice, full)
    _pieces(page, advice)
    _stacks(page, advice, full)
    _basket(rulebase, page, advice, full)
    mistake = rulebase.items[str(advice.facts["item"].value)].first_mistake
    if mistake:
        page.add(mistake, 2, "Beware   ")


def _choice(rulebase: RuleBase, page: Page, advice: Advice, name: str, full: bool) -> None:
    choice: Choice = getattr(advice.decisions, name)
    label = f"{DECISION_WORDS[name]:<9}"
    candidates = rulebase.decisions[name].candidates
    if not choice.chosen:
        page.add(f"open: {choice.open}.", 2, label)
        return
    lead = choice.chosen[0]
    text = f"{plain(lead)}: {candidates[lead].means}"
    if len(choice.chosen) > 1:
        text = listed((plain(c) for c in choice.chosen), "or") + f". {plain(lead)}: {candidates[lead].means}"
    page.add(f"{text}.", 2, label)
    if choice.tie:
        page.add(f"{plain(choice.tie)}.", 11)
    reasons = [e for e in choice.ledger if e.candidate == lead and e.act in ("favour", "require") and e.counts]
    reasons.sort(key=lambda e: ("must", "strong", "clear", "slight").index(e.strength))
    against = [e for e in choice.ledger if e.candidate == lead and e.act == "disfavour" and e.counts]
    for entry in reasons if full else reasons[:1]:
        page.add(f"{entry.because} ({entry.strength}) [{entry.rule}]", 11)
    for entry in against if full else against[:1]:
        page.add(f"Against it: {entry.because} ({entry.strength}) [{entry.rule}]", 11)
    if choice.also_fits:
        shown = [plain(c) for c in choice.also_fits[: None if full else MOST_ALSO]]
        more = len(choice.also_fits) - len(shown)
        page.add(f"Also fits: {listed([*shown, f'{more} more'] if more else shown)}.", 11)
    _excluded(page, choice, advice, full)


def _excluded(page: Page, choice: Choice, advice: Advice, full: bool) -> None:
    by_rule: dict[str, list[str]] = {}
    for candidate, rules in choice.excluded.items():
        by_rule.setdefault(rules[0], []).append(plain(candidate))
    because = {e.rule: e.because for e in choice.ledger}
    said = {s.rule for s in advice.trace if any("(you said)" in m and not m.startswith("item is") for m in s.matched)}
    for rule, candidates in by_rule.items():
        if full or rule in said:
            page.add(f"Ruled out: {listed(candidates)}. {because[rule]} [{rule}]", 11)


def bound_reason(bound: BoundView, units: Units = "mm") -> str:
    """``at most 4.25 mm: (10 mm - 1.5 mm) / 2 = 4.25 mm. The seam must pass. [rule]``."""
    formula = f"{bound.formula}. " if bound.formula else ""
    return f"{bound.side} {show_thickness(bound.mm, units)}: {formula}{bound.because} [{bound.rule}]"


def _bound_words(bound: BoundView, units: Units) -> str:
    text = bound_reason(bound, units)
    if bound.set_aside:
        return f"{text} Set aside: {bound.set_aside}."
    if not bound.binding and bound.clear_by_mm:
        return f"{text} Clear by {show_thickness(bound.clear_by_mm, units)}."
    return text


def _weight(page: Page, advice: Advice, full: bool) -> None:
    weight = advice.decisions.weight
    label = "Weight   "
    if weight.order_as is None or weight.low_mm is None or weight.high_mm is None:
        page.add(f"open: {weight.open}.", 2, label)
    else:
        page.add(f"{show_weight(weight.low_mm, weight.high_mm, page.units)}.", 2, label)
    for way in weight.ways_out:
        page.add(f"Without {way.without} it would be {show_weight(way.low_mm, way.high_mm, page.units)}.", 11)
    binding = [b for b in weight.bounds if b.binding]
    musts = [b for b in weight.bounds if b.force == "must" and not b.binding and not b.set_aside]
    both = {b.rule for b in binding if b.side == "at least"} & {b.rule for b in binding if b.side == "at most"}
    if both and not full:
        # One rule holds both sides: its reason is said once.
        page.add(f"{binding[0].because} [{binding[0].rule}]", 11)
    else:
        for bound in weight.bounds if full else binding:
            page.add(_bound_words(bound, page.units), 11)
    if musts and not full:
        page.add(f"{len(musts)} firm limits are clear of it (--full shows them).", 11)


def _form(rulebase: RuleBase, page: Page, advice: Advice, full: bool) -> None:
    choice, amount = advice.decisions.form, advice.decisions.amount
    label = f"{DECISION_WORDS['form']:<9}"
    if not choice.chosen or advice.decisions.weight.order_as is None:
        page.add(f"open: {choice.open or 'settle the weight first'}.", 2, label)
        return
    counts = {f.form: f for f in amount.forms}
    lead = choice.chosen[0]
    candidates = rulebase.decisions["form"].candidates
    first = counts.get(lead)
    page.add(f"{count_words(lead, first)}: {candidates[lead].means}.", 2, label)
    if first and amount.net_area_dm2 is not None:
        need = f"The pieces take {show_area(amount.net_area_dm2, page.units)}"
        waste = f"; with waste {show(first.gross_dm2, 'dm2', page.units)}"
        left = (
            f"; about {show(first.leftover_dm2, 'dm2', page.units)} is left over" if first.leftover_dm2 > 0 else ""
        )
        page.add(f"{need}{waste}{left}. Counted by {how_counted(first.how)}.", 11)
        if first.how in ("area", "rows and area"):
            wanted = quarter_feet_to_buy(Decimal(str(square_feet(first.gross_dm2))) / first.count)
            if wanted >= LEAST_MARK:
                page.add(f"A skin marked {quarter_mark(wanted)} ({number(float(wanted))} sq ft) is enough"
                         f"{' for each' if first.count > 1 else ''} by area.", 11)  # fmt: skip
    reasons = [e for e in choice.ledger if e.candidate == lead and e.act == "favour" and e.counts]
    for entry in reasons if full else reasons[:1]:
        page.add(f"{entry.because} ({entry.strength}) [{entry.rule}]", 11)
    if first:
        page.add(cost_words(first.cost, amount.prices), 11)
    others = other_forms(advice)[: None if full else MOST_ALSO]
    if others:
        words = [count_words(f, counts[f]) + _short_cost(counts[f].cost) for f in others]
        page.add(f"Also possible: {listed(words)}.", 11)
    if full:
        for form in amount.forms:
            if not form.fits:
                page.add(f"Not {plain(form.form)}: {form.why_not}", 11)


def other_forms(advice: Advice) -> list[str]:
    """The forms that would do as well, the cheapest first."""
    counts = {f.form: f for f in advice.decisions.amount.forms}
    also = (f for f in advice.decisions.form.also_fits if f in counts)
    return sorted(also, key=lambda f: _money(counts[f].cost))


def cost_words(cost: CostView | None, prices: str | None) -> str:
    """What the order costs by the shop's prices, or that the shop must be asked."""
    if cost is None:
        return "Cost: ask the shop."
    if cost.total is None:
        why = f" {cost.why_not}" if cost.why_not else ""
        return f"Cost: ask the shop.{why} The relative index is {number(cost.index or 0, 1)}."
    words = [f"Cost: {cost.total} {cost.currency}"]
    words += [f"{cost.per_item} each"] if cost.per_item else []
    words += [f"{cost.with_spare} with the spare"] if cost.with_spare else []
    words += [f"{cost.after_offcuts} if the offcuts are used up"] if cost.after_offcuts else []
    return f"{', '.join(words)} (prices of {prices})."


def _short_cost(cost: CostView | None) -> str:
    if cost is None:
        return ""
    if cost.total is not None:
        return f" ({cost.total} {cost.currency})"
    return f" (index {number(cost.index or 0, 1)})"


def _money(cost: CostView | None) -> tuple[bool, Decimal]:
    """For sorting: what is priced first, then by cost."""
    if cost is None:
        return True, Decimal(0)
    return cost.total is None, Decimal(cost.total if cost.total is not None else str(cost.index or 0))


def _stacks(page: Page, advice: Advice, full: bool) -> None:
    label = "Layers   "
    for stack in advice.stacks:
        tight = stack.limit_mm is not None and stack.mm > stack.limit_mm
        if not (full or tight or stack.kind in ("sewn", "closed")):
            continue
        limit = f"; limit {show_beside(stack.limit_mm, page.units)}" if stack.limit_mm is not None else ""
        thick = show_beside(stack.mm, page.units)
        page.add(f"{plain(stack.zone)}, {stack.kind}: {thick} = {stack.formula}{limit}", 2, label)
        label = " " * 9


def _basket(rulebase: RuleBase, page: Page, advice: Advice, full: bool) -> None:
    label = "Besides  "
    for line in advice.basket:
        attribute = rulebase.attributes[line.what]
        if attribute.full_only and not full:
            continue
        value = _rounded(line.value, line.unit, page.units) if isinstance(line.value, float) else plain(line.value)
        estimate = ", estimate" if line.basis == "estimate" and "estimate" not in line.formula else ""
        how = f" ({line.formula}{estimate})" if full else f"{' (estimate)' if line.basis == 'estimate' else ''}"
        page.add(f"{attribute.said or plain(line.what)} {value}{how}", 2, label)
        label = " " * 9


def _rounded(value: float, unit: str, units: Units) -> str:
    """A quantity as exact as it deserves: nobody measures a stretch to a hundredth of a per cent."""
    if unit == "percent":
        return "less than 1 %" if value < 1 else f"about {value:.0f} %"
    if unit == "ml" or (unit == "g" and units == "mm"):
        return f"{value:.0f} {unit}"
    exact = round(value, 1) if unit in ("mm", "m") and value >= 1 else value
    return show_beside(exact, units) if unit == "mm" else show(exact, unit, units)


def how_counted(how: str) -> str:
    """How a number of forms was found, in words."""
    return {"placed": "placing the pieces", "placed in lots": "placing the pieces in lots",
            "strips": "laying the strips end to end", "area": "area with waste",
            "rows and area": "rows of straps and area with waste"}.get(how, how)  # fmt: skip


def count_words(form: str, count: FormView | None) -> str:
    """``2 x panel 12x12``."""
    return f"{count.count} x {plain(form)}" if count and count.count else plain(form)


def _pieces(page: Page, advice: Advice) -> None:
    amount = advice.decisions.amount
    label = "Pieces   "
    quantity = advice.facts.get("quantity")
    if quantity is not None and isinstance(quantity.value, float | int) and quantity.value > 1 and amount.pieces:
        page.add("for each one:", 2, label)
        label = " " * 9
    for piece in amount.pieces:
        page.add(
            f"{piece.count} x {plain(piece.name)}, {show_cut(piece.length_mm, page.units)} x "
            + show_cut(piece.width_mm, page.units)
            + _PART_WORDS.get(piece.part, ""),
            2,
            label,
        )
        label = " " * 9
    for part, what in amount.parts.items():
        page.add(f"{plain(part)}: {what}", 2, label)
        label = " " * 9
    if amount.open:
        page.add(f"open: {amount.open}", 2, label)

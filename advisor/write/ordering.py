"""What was decided for an order, with every reason: leather, weight, form, pieces, layers and what is needed besides.

Everything said is read off the advice; nothing is concluded here.
"""

from __future__ import annotations

from decimal import Decimal

from ..codes import Saying
from ..leather.units import (
    Units,
    show,
    show_area,
    show_beside,
    show_cut,
    show_thickness,
    show_weight,
    square_feet,
)
from ..read.counts import QUANTITY
from ..reasoning.advice import (
    Advice,
    BoundView,
    Choice,
    CostView,
    FormView,
)
from ..rulebase.models import RuleBase
from .buying import area_said, form_counted
from .catalogue import marks_said, sum_said, tell
from .costs import cost_said
from .names import attribute_called, called
from .page import DECISION_WORDS, Page, capital, listed, plain
from .statements import bound_from

# Below this many square feet nobody reads the mark on a skin.
LEAST_MARK = 2
_PART_WORDS = {"lining": " (lining, bought apart)", "lace": " (lace, bought by the length)", "other": " (cut apart)"}


def order_part(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    """Every decision with every reason, bound and form, then pieces, layers and what is needed besides."""
    page.head("What was decided")
    for decision in ("tannage", "grain", "surface", "temper"):
        _choice(rulebase, page, advice, decision)
    _weight(rulebase, page, advice)
    _choice(rulebase, page, advice, "cut")
    _choice(rulebase, page, advice, "species")
    _form(rulebase, page, advice)
    _parts(rulebase, page, advice)
    _pieces(rulebase, page, advice)
    _stacks(page, advice)
    _basket(rulebase, page, advice)
    mistake = rulebase.items[str(advice.facts["item"].value)].first_mistake
    if mistake:
        page.add(mistake, 2, "Mistake  ")


def _choice(rulebase: RuleBase, page: Page, advice: Advice, name: str) -> None:
    choice: Choice = getattr(advice.decisions, name)
    label = f"{DECISION_WORDS[name]:<9}"
    if not choice.chosen:
        page.add(_open(rulebase, choice.open), 2, label)
        return
    lead = choice.chosen[0]
    names = [called(rulebase, name, c) for c in choice.chosen]
    means = rulebase.decisions[name].candidates[lead].means
    equal = f"{listed(names)} are equally good. " if len(names) > 1 else ""
    page.add(f"{equal}{capital(names[0]) if equal else names[0]}: {means}.", 2, label)
    _reasons(page, choice, lead)
    if choice.also_fits:
        page.add(f"Also good: {listed(called(rulebase, name, c) for c in choice.also_fits)}.", 11)
    _excluded(rulebase, page, name, choice)


def _parts(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    """The leathers besides the main one that were chosen by themselves, each with what speaks for and against it."""
    for part in advice.order.parts:
        if part.tannage is None or not part.tannage.chosen:
            continue
        lead = part.tannage.chosen[0]
        thick = ""
        if part.low_mm is not None and part.high_mm is not None:
            thick = f", {show_weight(part.low_mm, part.high_mm, page.units)}"
        page.add(f"{called(rulebase, 'tannage', lead)}{thick}.", 2, f"{capital(plain(part.part)):<8} ")
        _reasons(page, part.tannage, lead)
        if part.tannage.also_fits:
            also = listed(called(rulebase, "tannage", c) for c in part.tannage.also_fits)
            page.add(f"Also good for it: {also}.", 11)


def _open(rulebase: RuleBase, why: Saying | None, else_: str = "nothing known speaks for any") -> str:
    return f"open: {tell(why, rulebase) if why else else_}."


def _reasons(page: Page, choice: Choice, lead: str) -> None:
    """What speaks for the leading candidate, the strongest first, and what speaks against it."""
    strength = ("must", "strong", "clear", "slight").index
    counted = [e for e in choice.ledger if e.candidate == lead and e.counts]
    for entry in sorted((e for e in counted if e.act in ("favour", "require")), key=lambda e: strength(e.strength)):
        page.add(f"{entry.because} ({entry.strength}) [{entry.rule}]", 11)
    for entry in (e for e in counted if e.act == "disfavour"):
        page.add(f"Against it: {entry.because} ({entry.strength}) [{entry.rule}]", 11)


def _excluded(rulebase: RuleBase, page: Page, name: str, choice: Choice) -> None:
    """What is ruled out, those together of which one rule says the same."""
    because = {(e.rule, e.candidate): e.because for e in choice.ledger}
    alike: dict[tuple[str, str], list[str]] = {}
    for candidate, rules in choice.excluded.items():
        reason = because.get((rules[0], candidate), "")
        alike.setdefault((rules[0], reason), []).append(called(rulebase, name, candidate))
    for (rule, reason), candidates in alike.items():
        page.add(f"Ruled out: {listed(candidates)}. {reason} [{rule}]", 11)


def bound_reason(rulebase: RuleBase, bound: BoundView, units: Units = "mm", rule: str = "") -> str:
    """``at most 4.25 mm: (10 mm - 1.5 mm) / 2 = 4.25 mm. The seam must pass. [rule]``; ``rule`` is another name."""
    line = sum_said(rulebase, bound_from(rulebase.rules[bound.rule], bound.side), bound.formula)
    formula = f"{line}. " if line else ""
    return f"{bound.side} {show_thickness(bound.mm, units)}: {formula}{bound.because} [{rule or bound.rule}]"


def _bound_words(rulebase: RuleBase, bound: BoundView, units: Units) -> str:
    text = bound_reason(rulebase, bound, units)
    if bound.set_aside:
        return f"{text} Set aside: {tell(bound.set_aside, rulebase)}."
    if not bound.binding and bound.clear_by_mm:
        return f"{text} Clear by {show_thickness(bound.clear_by_mm, units)}."
    return text


def _weight(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    weight = advice.decisions.weight
    label = "Weight   "
    if weight.order_as is None or weight.low_mm is None or weight.high_mm is None:
        page.add(_open(rulebase, weight.open), 2, label)
    else:
        page.add(f"{show_weight(weight.low_mm, weight.high_mm, page.units)}.", 2, label)
    for way in weight.ways_out:
        page.add(f"Without {way.without} it would be {show_weight(way.low_mm, way.high_mm, page.units)}.", 11)
    for bound in weight.bounds:
        page.add(_bound_words(rulebase, bound, page.units), 11)


def _form(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    choice, amount = advice.decisions.form, advice.decisions.amount
    label = f"{DECISION_WORDS['form']:<9}"
    if not choice.chosen or advice.decisions.weight.order_as is None:
        page.add(_open(rulebase, choice.open, "settle the weight first"), 2, label)
        return
    counts = {f.form: f for f in amount.forms}
    lead = choice.chosen[0]
    first = counts.get(lead)
    page.add(f"{count_words(rulebase, lead, first)}.", 2, label)
    if first and amount.net_area_dm2 is not None:
        _area(page, first, amount.net_area_dm2)
    for entry in (e for e in choice.ledger if e.candidate == lead and e.act == "favour" and e.counts):
        page.add(f"{entry.because} ({entry.strength}) [{entry.rule}]", 11)
    page.add(f"Cost: {cost_said(rulebase, advice)}.", 11)
    if others := other_forms(advice):
        words = [count_words(rulebase, f, counts[f]) + _short_cost(counts[f].cost) for f in others]
        page.add(f"Or: {', '.join(words)}.", 11)
    for form in amount.forms:
        if form.why_not:
            page.add(f"Not {called(rulebase, 'form', form.form)}: {tell(form.why_not, rulebase)}", 11)


def _area(page: Page, first: FormView, net_dm2: float) -> None:
    """What the pieces take, and which mark on a skin is enough."""
    need = f"The pieces take {show_area(net_dm2, page.units)}; with waste {show(first.gross_dm2, 'dm2', page.units)}"
    left = f"; about {show(first.leftover_dm2, 'dm2', page.units)} is left over" if first.leftover_dm2 > 0 else ""
    page.add(f"{need}{left}. Counted by {how_counted(first.how)}.", 11)
    each = first.gross_dm2 / first.count
    if first.how in ("area", "rows and area") and square_feet(each) >= LEAST_MARK:
        page.add(
            f"Skins are marked in square feet and quarters: {area_said(each, page.units)} or more will do"
            f"{' for each' if first.count > 1 else ''}.",
            11,
        )


def other_forms(advice: Advice) -> list[str]:
    """The forms that would do as well, the cheapest first."""
    counts = {f.form: f for f in advice.decisions.amount.forms}
    also = (f for f in advice.decisions.form.also_fits if f in counts)
    return sorted(also, key=lambda f: _money(counts[f].cost))


def _short_cost(cost: CostView | None) -> str:
    return f" ({cost.total} {cost.currency})" if cost is not None and cost.total is not None else ""


def _money(cost: CostView | None) -> tuple[bool, Decimal]:
    """For sorting: what is priced first, then by cost."""
    if cost is None:
        return True, Decimal(0)
    return cost.total is None, Decimal(cost.total if cost.total is not None else str(cost.index or 0))


def _stacks(page: Page, advice: Advice) -> None:
    label = "Layers   "
    for stack in advice.stacks:
        limit = f"; limit {show_beside(stack.limit_mm, page.units)}" if stack.limit_mm is not None else ""
        thick = show_beside(stack.mm, page.units)
        page.add(f"{plain(stack.zone)}, {stack.kind}: {thick} = {stack.formula}{limit}", 2, label)
        label = " " * 9


def _basket(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    label = "Besides  "
    for line in advice.basket:
        said = rulebase.attributes[line.what].said or attribute_called(rulebase, line.what)
        number_said = isinstance(line.value, float)
        value = _rounded(float(line.value), line.unit, page.units) if number_said else plain(str(line.value))
        estimate = ", estimate" if line.basis == "estimate" and "estimate" not in line.formula else ""
        page.add(f"{said} {value} ({marks_said(line.formula)}{estimate})", 2, label)
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
    return {
        "placed": "placing the pieces",
        "placed in lots": "placing the pieces in lots",
        "strips": "laying the strips end to end",
        "area": "area with waste",
        "rows and area": "rows of straps and area with waste",
    }.get(how, how)


def count_words(rulebase: RuleBase, form: str, count: FormView | None) -> str:
    """``2 panels of 12 x 12 in``."""
    candidate = rulebase.decisions["form"].candidates[form]
    return form_counted(rulebase, form, count.count) if count and count.count else candidate.called()


def _pieces(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    amount = advice.decisions.amount
    label = "Pieces   "
    quantity = advice.facts.get(QUANTITY)
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
        page.add(_open(rulebase, amount.open), 2, label)

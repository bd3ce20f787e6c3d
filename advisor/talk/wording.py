"""Advice as lines a person reads, at any width from 40 columns, without colour or box drawing.

Everything said is read off the advice; nothing is concluded here. The machine form is the advice
itself (``Advice.model_dump_json``).
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from decimal import Decimal

from ..leather.price import quarter_feet_to_buy
from ..leather.units import (
    Units,
    beside_in,
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
    BARRED,
    GRADES,
    Advice,
    BoundView,
    CautionView,
    Choice,
    Conflict,
    CostView,
    FactView,
    FormView,
    TraceStep,
)
from ..rulebase.models import RuleBase

OUTCOME_WORDS = {
    "ok": "leather suits this",
    "ok_with_conditions": "leather suits this, on conditions",
    "another_material": "another material suits this better than leather",
    "defer": "this needs somebody licensed or experienced before leather is bought",
    "refuse": "refused: no leather is advised for this",
}
SEVERITY_WORDS = {"stop": "STOP", "caution": "CAUTION", "note": "Note"}
GRADE_WORDS = {
    "published, opened": "published and opened", "published, from memory": "published, from memory",
    "common practice": "common practice", "estimate": "an estimate",
}  # fmt: skip
DECISION_WORDS = {
    "tannage": "Tannage", "grain": "Grain", "surface": "Surface", "temper": "Temper", "cut": "Cut", "form": "Buy as",
    "species": "Species",
}  # fmt: skip
MOST_ALSO = 3
MOST_QUESTIONS = 3
MOST_NOTES = 5
# Below this many square feet nobody reads the mark on a skin.
LEAST_MARK = 2
_PEOPLE = {"people", "limits"}
_PART_WORDS = {"lining": " (lining, bought apart)", "lace": " (lace, bought by the length)", "other": " (cut apart)"}


def plain(slug: str) -> str:
    """A slug as a person says it."""
    return slug.replace("_", " ")


def capital(text: str) -> str:
    """The text with its first letter large and the rest as it was."""
    return text[:1].upper() + text[1:]


def listed(words: Iterable[str], joiner: str = "and") -> str:
    """``a, b and c``."""
    found = list(words)
    return f" {joiner} ".join([", ".join(found[:-1]), found[-1]]) if len(found) > 1 else "".join(found)


class Page:
    """Lines wrapped to a width, with hanging indents; ``units`` are the measures the reader prefers."""

    def __init__(self, width: int, units: Units = "mm") -> None:
        self.width, self.units, self.lines = max(40, width), units, list[str]()

    def add(self, text: str, indent: int = 0, label: str = "") -> None:
        """A paragraph; ``label`` stands before it and the rest hangs under the text."""
        lead = " " * indent + label
        hang = " " * len(lead) if len(lead) <= 14 else " " * (indent + 2)
        self.lines += textwrap.wrap(
            text, self.width, initial_indent=lead, subsequent_indent=hang, break_on_hyphens=False
        ) or [lead.rstrip()]  # fmt: skip

    def say(self, sentence: str, indent: int = 0, label: str = "") -> None:
        """A paragraph of the rule base's own words, with inches beside its lengths for who reads inches."""
        self.add(beside_in(sentence, self.units), indent, label)

    def head(self, text: str) -> None:
        """A heading after an empty line."""
        if self.lines:
            self.lines.append("")
        self.add(text)


def advice_lines(
    rulebase: RuleBase, advice: Advice, width: int = 80, full: bool = False, units: Units = "mm"
) -> list[str]:
    """The advice for a person; ``full`` adds every bound, form, caution and the whole trace."""
    page = Page(width, units)
    item = advice.facts.get("item")
    slug = str(item.value) if item and item.value else ""
    name = rulebase.items[slug].name if slug in rulebase.items else ""
    if name:
        page.add(f"{name[0].upper()}{name[1:]}: {OUTCOME_WORDS[advice.outcome or 'ok']}.")
    elif advice.outcome in ("refuse", "defer", "another_material"):
        page.add(f"{OUTCOME_WORDS[advice.outcome][0].upper()}{OUTCOME_WORDS[advice.outcome][1:]}.")
    else:
        page.add("I do not know yet what you are making, so nothing is advised.")
    told = {r.rule for c in advice.conflicts for r in c.reasons}
    for reason in advice.outcome_reasons:
        if reason.outcome == advice.outcome and reason.rule not in told:
            page.say(f"{reason.because} [{reason.rule}]", 2)
            for remedy in rulebase.rules[reason.rule].remedies:
                page.say(remedy, 2, "Instead: ")
    _conflicts(page, advice.conflicts)
    barred = advice.outcome in BARRED
    if name and not barred:
        _order(rulebase, page, advice, full)
    _cautions(rulebase, page, advice, full, bool(name), barred)
    if not barred or full:
        _contested(page, advice)
        _suppositions(page, advice)
        _questions(page, advice, full)
    if full:
        page.head("How it was worked out, step by step")
        page.lines += trace_lines(advice, width)
    page.head("")
    page.lines.pop()
    if not barred:
        _evidence(page, advice, full)
    closing(rulebase, page)
    return page.lines


def closing(rulebase: RuleBase, page: Page) -> None:
    """What stands under every advice: how far to trust it, and which rules gave it."""
    page.add("Weights and amounts are a maker's reckoning; estimates are no rating.")
    page.add(f"Rules: {rulebase.name} {rulebase.version} ({rulebase.sha256[:12]}).")


def _order(rulebase: RuleBase, page: Page, advice: Advice, full: bool) -> None:
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
        page.say(mistake, 2, "Beware   ")


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
    page.say(f"{text}.", 2, label)
    if choice.tie:
        page.add(f"{plain(choice.tie)}.", 11)
    reasons = [e for e in choice.ledger if e.candidate == lead and e.act in ("favour", "require") and e.counts]
    reasons.sort(key=lambda e: ("must", "strong", "clear", "slight").index(e.strength))
    against = [e for e in choice.ledger if e.candidate == lead and e.act == "disfavour" and e.counts]
    for entry in reasons if full else reasons[:1]:
        page.say(f"{entry.because} ({entry.strength}) [{entry.rule}]", 11)
    for entry in against if full else against[:1]:
        page.say(f"Against it: {entry.because} ({entry.strength}) [{entry.rule}]", 11)
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
            page.say(f"Ruled out: {listed(candidates)}. {because[rule]} [{rule}]", 11)


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
        page.say(f"{binding[0].because} [{binding[0].rule}]", 11)
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
    page.say(f"{count_words(lead, first)}: {candidates[lead].means}.", 2, label)
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
        page.say(f"{entry.because} ({entry.strength}) [{entry.rule}]", 11)
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
        page.say(f"{plain(part)}: {what}", 2, label)
        label = " " * 9
    if amount.open:
        page.add(f"open: {amount.open}", 2, label)


def _conflicts(page: Page, conflicts: list[Conflict]) -> None:
    for conflict in conflicts:
        page.head(f"Cannot be had together: {plain(conflict.about)}")
        page.add(conflict.outcome[0].upper() + conflict.outcome[1:].rstrip(".") + ".", 2)
        for reason in conflict.reasons[:4]:
            facts = f" ({'; '.join(plain(f) for f in reason.facts)})" if reason.facts else ""
            page.add(f"{reason.because}{facts} [{reason.rule}]", 2, "- ")
        for n, way in enumerate(conflict.resolutions, 1):
            page.add(plain(way), 2, f"{n}. ")


def _cautions(rulebase: RuleBase, page: Page, advice: Advice, full: bool, item_known: bool, barred: bool) -> None:
    applies = [c for c in advice.cautions if c.status == "applies"]
    open_ones = [c for c in advice.cautions if c.status != "applies"]
    if (barred or not item_known) and not full:
        applies = [c for c in applies if c.severity == "stop"]
        open_ones = [] if barred else open_ones
    notes = [c for c in applies if c.severity == "note"]
    if applies:
        page.head("Cautions")
        for caution in applies if full else [c for c in applies if c.severity != "note"] + notes[:MOST_NOTES]:
            add_caution(page, caution)
        if len(notes) > MOST_NOTES and not full:
            page.add(f"and {len(notes) - MOST_NOTES} more notes (--full shows them).", 2)
    if not open_ones:
        return
    if not item_known:
        page.head(f"No caution can be ruled out before the item is known ({len(open_ones)} stand open).")
        return
    page.head("Not ruled out, because nobody has said")
    if full:
        for caution in open_ones:
            add_caution(page, caution)
        return
    told = [c for c in open_ones if c.severity == "stop" or (c.severity == "caution" and _about_people(rulebase, c))]
    for severity in ("stop", "caution"):
        words = [c.about for c in told if c.severity == severity]
        if words:
            page.add(f"{', '.join(words)}.", 2, f"{SEVERITY_WORDS[severity]}: ")
    page.add(f"and {len(open_ones) - len(told)} of the workshop and of use; --full gives the words of all.", 2)


def _about_people(rulebase: RuleBase, caution: CautionView) -> bool:
    groups = {rulebase.attributes[d].group for d in caution.depends_on if d in rulebase.attributes}
    return bool(groups & _PEOPLE)


def add_caution(page: Page, caution: CautionView, indent: int = 2) -> None:
    """The words of a caution, whom to ask, and its rule."""
    defer = f" Ask: {caution.defer_to}." if caution.defer_to else ""
    depends = f" (depends on {listed(plain(d) for d in caution.depends_on)})" if caution.depends_on else ""
    page.say(f"{caution.text}{defer}{depends} [{caution.rule}]", indent,
             f"{SEVERITY_WORDS[caution.severity]}: ")  # fmt: skip


def fact_words(name: str, fact: FactView, units: Units = "mm") -> str:
    """``strap width 38 mm``."""
    if isinstance(fact.value, list):
        return f"{plain(name)} {listed(plain(v) for v in fact.value)}"
    value = show(fact.value, fact.unit, units) if isinstance(fact.value, float) else plain(str(fact.value))
    return f"{plain(name)} {value}"


def _contested(page: Page, advice: Advice) -> None:
    """Where practice differs, said by the rules that were used."""
    said = dict.fromkeys(
        f"{s.contested.removeprefix('Makers differ: ')} [{s.rule}]"
        for s in advice.trace if s.contested and s.withdrawn_by is None
    )  # fmt: skip
    if said:
        page.head("Makers differ")
        for text in said:
            page.add(text[0].upper() + text[1:], 2, "- ")


def _suppositions(page: Page, advice: Advice) -> None:
    if found := supposed(advice, page.units):
        page.head("Taken for granted; say otherwise to change it")
        page.add(f"{'; '.join(found)}.", 2)


def supposed(advice: Advice, units: Units) -> list[str]:
    """What nobody said and the advice leans on, as facts in words."""
    used = {m.split(" ", 1)[0] for step in advice.trace for m in step.matched if m.endswith("(supposed)")}
    sizes = {p for piece in advice.decisions.amount.pieces for p in _names(piece.formula)}
    return [
        fact_words(n, f, units)
        for n, f in advice.facts.items()
        if f.origin == "supposed" and f.value is not None and (n in used or n in sizes) and n != "family"
    ]


def _names(formula: str) -> set[str]:
    return {word.strip("();,") for word in formula.replace("=", " ").split()}


def _questions(page: Page, advice: Advice, full: bool) -> None:
    questions = advice.open_questions
    if not questions:
        return
    page.head("Still open; an answer may change the advice")
    for question in questions if full else questions[:MOST_QUESTIONS]:
        page.say(f"{question.question} {question.help}", 2, "- ")
    rest = len(questions) - MOST_QUESTIONS
    if rest > 0 and not full:
        page.add(f"and {rest} more.", 2)


def _evidence(page: Page, advice: Advice, full: bool) -> None:
    """The weakest links in one or two lines: how many conclusions rest on what, and the worst by name."""
    found = advice.evidence
    if not found:
        return
    by_grade = {g: [plain(e.conclusion) for e in found if e.grade == g] for g in GRADES}
    counts = [(len(names), GRADE_WORDS[g]) for g, names in by_grade.items() if names]
    said = [f"{n} of {len(found)} conclusions rest on {words}" if not k else f"{n} on {words}"
            for k, (n, words) in enumerate(counts)]  # fmt: skip
    weakest = next(names for names in reversed(by_grade.values()) if names)
    named = f" ({listed(weakest)})" if len(counts) > 1 else ""
    supposed = sum(bool(e.supposed) for e in found)
    taken = f"; {supposed} take something for granted" if supposed else ""
    page.add(f"Evidence: {listed(said)}{named}{taken}.")
    for entry in found if full else ():
        taken = f"; supposed: {listed(plain(s) for s in entry.supposed)}" if entry.supposed else ""
        page.add(f"{plain(entry.conclusion)}: {GRADE_WORDS[entry.grade]} [{entry.by}]{taken}.", 2, "- ")


def trace_lines(advice: Advice, width: int = 80) -> list[str]:
    """The trace as sentences, one paragraph for each rule that fired."""
    page = Page(width)
    for step in advice.trace:
        _trace_step(page, step)
    return page.lines


def _trace_step(page: Page, step: TraceStep) -> None:
    """Since these facts, this follows, for this reason, by this rule."""
    since = "; ".join(plain(m) for m in (*step.matched, *step.absent))
    concluded = "; ".join(plain(c) for c in step.concluded)
    text = f"Since {since}: " if since else "Always: "
    text += f"{concluded}. {step.because}"
    if step.contested:
        text += f" {step.contested}"
    if step.withdrawn_by:
        text += f" Withdrawn: {step.withdrawn_by} is preferred."
    if step.defeated:
        text += f" Preferred to {listed(step.defeated)}."
    sources = f"; {', '.join(step.source)}" if step.source else ""
    page.add(f"{text} [{step.rule}; {step.force}; {step.concern}; {step.basis}{sources}]", 0, f"{step.step}. ")

"""Straight answers: one part of an advice in a sentence or two, as somebody at a counter would say it when asked.

Everything said is read off the advice. A part that the thing does not have is an empty text.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Mapping

from ..leather.units import Units, show, show_length, show_metres, show_weight
from ..reasoning.advice import Advice, BasketLine, FactView, FormView, OrderLine
from ..rulebase.models import Attribute, RuleBase
from .asked import Asked, Part
from .buying import area_said, form_counted, plural, stands
from .catalogue import tell
from .costs import compared, cost_said
from .counsel import COUNSEL
from .names import attribute_called, called, fact_said, thing_called, values_called
from .page import OUTCOME_WORDS, capital, listed
from .reasons import also_good, beyond, bound_because, bound_rank, rules_on_answers, small
from .sketch import cards
from .warnings import words

MOST_LINES = 3
"""What a straight answer is to fit."""
MOST_SHADES = 5
MOST_SIZES = 4


def fitted(sentences: Iterable[str], width: int, most: int = MOST_LINES) -> list[str]:
    """As many whole answers as go on ``most`` lines, the first always; of one that does not, its first sentence."""
    taken = ""
    for answer in dict.fromkeys(filter(None, sentences)):
        for said in (answer, f"{answer.partition('. ')[0].rstrip('.')}."):
            longer = f"{taken} {said}".strip()
            if not taken or len(textwrap.wrap(longer, width)) <= most:
                taken = longer
                break
    return [taken] if taken else []


# -- no order


def withheld(rulebase: RuleBase, advice: Advice) -> list[str]:
    """Why no order stands, for whoever asks something of it: what is open, or the stop itself."""
    if advice.dangers:
        return [f"I can't say before this is settled: {advice.dangers[0].question}", str(advice.dangers[0].danger)]
    name = thing_called(rulebase, str(advice.facts["item"].value)) if "item" in advice.facts else ""
    if advice.verdict is not None and (advice.no_order or advice.outcome == "defer"):
        reasons = [r.because for r in advice.outcome_reasons if r.verdict == advice.verdict]
        return [f"{capital(name)}: {OUTCOME_WORDS[advice.verdict]}.", *reasons]
    because = [c.reasons[0].because if c.reasons else f"{tell(c.outcome, rulebase)}." for c in advice.conflicts]
    about = [f"{attribute_called(rulebase, c.about)}: {b}" for c, b in zip(advice.conflicts, because, strict=True)]
    return [f"No order stands yet for the {name}.", *map(capital, about)]


# -- parts of the advice


def _thickness(of: Asked) -> str:
    weight = of.advice.decisions.weight
    if weight.low_mm is None or weight.high_mm is None:
        return "The thickness is still open."
    window = show_weight(weight.low_mm, weight.high_mm, of.units)
    return f"{capital(window)}, {cards(weight.low_mm, weight.high_mm)} thick."


def _both_units(of: Asked) -> str:
    weight = of.advice.decisions.weight
    if weight.low_mm is None or weight.high_mm is None:
        return "The thickness is still open."
    inches = " to ".join(show(mm, "mm", "inch") for mm in (weight.low_mm, weight.high_mm))
    window = show_weight(weight.low_mm, weight.high_mm)
    return f'{capital(window)}, which is {inches}. Say "in inches" or "in mm" to see everything so.'


def _why_thickness(of: Asked) -> str:
    weight, said = of.advice.decisions.weight, rules_on_answers(of.advice)
    binding = sorted((b for b in weight.bounds if b.binding), key=lambda b: bound_rank(b, said))
    if weight.low_mm is None or weight.high_mm is None:
        return "The thickness is still open."
    item = str(of.advice.facts["item"].value)
    because = ((b, bound_because(of.rulebase, item, b.rule, b.side, b.because)) for b in binding)
    reasons = list(dict.fromkeys(b.because if b.because == text else beyond(b.side, text) for b, text in because))
    return " ".join(
        [
            f"{show_weight(weight.low_mm, weight.high_mm, of.units)}: {small(r)}" if n == 0 else r
            for n, r in enumerate(reasons[:2])
        ]
    ) or _thickness(of)


def _too_thin(of: Asked) -> str:
    """The thickness, with what goes wrong where it is less."""
    thin = of.rulebase.items[str(of.advice.facts["item"].value)].too_thin
    window = _window(of)
    if not window or not thin:
        return _why_thickness(of)
    return f"{window}: thinner, {small(thin)}"


def _leathers(advice: Advice) -> list[OrderLine]:
    return [line for line in advice.order.lines if line.kind == "leather"]


def _line(advice: Advice, part: str) -> OrderLine | None:
    return next((line for line in advice.order.lines if line.id == part), None)


def _amount(of: Asked) -> str:
    form = first_form(of.advice)
    if form is None:
        return "How much to buy is still open; it follows from the sizes."
    bought = f"Buy {form_counted(of.rulebase, form.form, form.count)}"
    besides = [
        f"{form_counted(of.rulebase, line.form, line.count or 1)} for the {_for(of.rulebase, line)}"
        for line in _leathers(of.advice)[1:]
        if line.shares is None and line.form is not None
    ]
    net = of.advice.decisions.amount.net_area_dm2 or 0.0
    # What is worked out is the area of the main leather alone.
    pieces = f" The pieces {'of the main leather ' if besides else ''}come to {area_said(net, of.units)}."
    return f"{listed([bought, *besides])}.{pieces}"


def _cost(of: Asked) -> str:
    form = first_form(of.advice)
    if form is None:
        return "That follows from the sizes."
    if of.advice.order.lines[0].cost and of.advice.order.lines[0].cost.total:
        return f"{capital(cost_said(of.rulebase, of.advice))}."
    wanted, beside = form_counted(of.rulebase, form.form, form.count), compared(of.rulebase, of.advice)
    area = f", some {area_said(form.gross_dm2, of.units)} with waste, times its price by the foot"
    by_area = of.rulebase.decisions["form"].candidates[form.form].properties["sold_by"] == "area"
    asked = f"I have no prices. Ask the shop for {wanted}{area if by_area else ', priced by the piece'}."
    return f"{asked}{f' It costs {beside}.' if beside else ''}"


def _by_area(of: Asked) -> str:
    form = first_form(of.advice)
    if form is None:
        return ""
    by_area = of.rulebase.decisions["form"].candidates[form.form].properties["sold_by"] == "area"
    if not by_area:
        return f"{capital(form_counted(of.rulebase, form.form, form.count))} is priced by the piece, not by the foot."
    return f"It is priced by area. You use {area_said(form.gross_dm2, of.units)} with waste."


def _forms(of: Asked) -> str:
    choice = of.advice.decisions.form
    fit = {f.form: f for f in of.advice.decisions.amount.forms if f.fits}
    named = [form_counted(of.rulebase, f, fit[f].count) for f in (*choice.chosen, *choice.also_fits) if f in fit]
    if not named:
        return "None of the usual forms will do."
    others = listed(named[1:4], "or")
    return f"Buy {named[0]}.{f' Also good: {others}.' if others else ''}"


def first_form(advice: Advice) -> FormView | None:
    """The form to buy, with how many of it; None while that is open."""
    chosen = advice.decisions.form.chosen
    return next((f for f in advice.decisions.amount.forms if f.fits and f.form in chosen), None)


def _colour(of: Asked) -> str:
    colour, method = of.advice.facts.get("colour"), of.advice.facts.get("colour_method")
    if colour is None:
        return ""
    how = f", {fact_called(of.rulebase, 'colour_method', method)}" if method else ""
    others = [v.label for v in of.rulebase.attributes["colour"].values.values() if v.slug != colour.value]
    shade = fact_called(of.rulebase, "colour", colour)
    return f"I reckon with {shade}{how}. You can also say {listed(others[:MOST_SHADES], 'or')}."


def fact_called(rulebase: RuleBase, name: str, fact: FactView) -> str:
    """The value of a fact by its label."""
    return values_called(rulebase, name, fact.value if isinstance(fact.value, list) else [str(fact.value)])


def _parts(of: Asked) -> str:
    lines = _leathers(of.advice)
    if len(lines) < 2:
        return f"Yes: every piece is cut from the same {_leather(of.rulebase, lines[0])}." if lines else ""
    main, *others = lines
    said = [f"{capital(_for(of.rulebase, line))}: {_other(of.rulebase, main, line, of.units)}" for line in others]
    return f"{'; '.join(said)}. All the rest is {_leather(of.rulebase, main)}, {_thick(main, of.units)}."


def _for(rulebase: RuleBase, line: OrderLine) -> str:
    return attribute_called(rulebase, line.part or "")


def _leather(rulebase: RuleBase, line: OrderLine) -> str:
    return called(rulebase, "tannage", line.tannage) if line.tannage else line.label


def _thick(line: OrderLine, units: Units) -> str:
    return show_weight(line.low_mm, line.high_mm, units) if line.low_mm and line.high_mm else ""


def _other(rulebase: RuleBase, main: OrderLine, line: OrderLine, units: Units) -> str:
    same = line.tannage in (main.tannage, None)
    thick = _thick(line, units)
    leather = "the same leather" if same else _leather(rulebase, line)
    if same and (line.low_mm, line.high_mm) == (main.low_mm, main.high_mm):
        return leather
    return f"{leather}, {thick}" if thick else leather


def _pieces(of: Asked) -> str:
    pieces = [
        f"{p.count} {p.name}, {show(p.length_mm, 'mm', of.units)} x {show(p.width_mm, 'mm', of.units)}"
        for p in of.advice.decisions.amount.pieces
    ]
    more = f" and {len(pieces) - MOST_SIZES} more" if len(pieces) > MOST_SIZES else ""
    return f"To cut: {'; '.join(pieces[:MOST_SIZES])}{more}." if pieces else ""


def _sizes(of: Asked) -> str:
    item = str(of.advice.facts["item"].value)
    said = [
        f"{fact_said(of.rulebase, n, f, item, of.units)}{' (assumed)' if f.origin == 'supposed' else ''}"
        for n, f in of.advice.facts.items()
        if isinstance(f.value, float) and _asked_size(of.rulebase.attributes.get(n))
    ]
    return f"I reckon with {listed(said[:MOST_SIZES])}." if said else ""


def _asked_size(attribute: Attribute | None) -> bool:
    return attribute is not None and attribute.group == "size" and attribute.ask != "never"


def _length(of: Asked) -> str:
    main = next(iter(_leathers(of.advice)), None)
    piece = max(of.advice.decisions.amount.pieces, key=lambda p: p.length_mm, default=None)
    if main is None or piece is None or main.length_mm is None:
        return ""
    return f"The longest piece is cut {show_length(piece.length_mm)} long. Buy {_bought(of)}."


def _bought(of: Asked) -> str:
    form = first_form(of.advice)
    return form_counted(of.rulebase, form.form, form.count) if form else "by the sizes"


def _basket(advice: Advice, what: str) -> BasketLine | None:
    return next((b for b in advice.basket if b.what == what), None)


def _number(advice: Advice, what: str) -> float:
    found = _basket(advice, what)
    return float(found.value) if found else 0.0


def _thread(of: Asked) -> str:
    size, metres = _number(of.advice, "thread_size"), _number(of.advice, "thread_length")
    if not size:
        return "Nothing is sewn here, so no thread is needed."
    pitch = _number(of.advice, "stitch_pitch")
    stitches = f" Stitches {show(pitch, 'mm', of.units)} apart." if pitch else ""
    return f"{show(size, 'mm')} thread, about {show_metres(metres * 1000)} of it.{stitches}"


def _needle(of: Asked) -> str:
    holes = _basket(of.advice, "holes_by")
    return f"Make the holes with {str(holes.value).rstrip('.')}." if holes else ""


def _by_hand(rulebase: RuleBase, sewing: str) -> bool:
    value = rulebase.attributes["sew"].values.get(sewing)
    return value is not None and value.means.startswith("by hand")


def _seam(of: Asked) -> str:
    thickest = max((s for s in of.advice.stacks if s.kind == "sewn"), key=lambda s: s.mm, default=None)
    if thickest is None:
        return ""
    sewn = of.advice.facts.get("sew")
    by = " by hand" if sewn is not None and _by_hand(of.rulebase, str(sewn.value)) else ""
    limit = f", of {show(thickest.limit_mm, 'mm', of.units)} that can be sewn{by}" if thickest.limit_mm else ""
    return f"The thickest seam is {show(thickest.mm, 'mm', of.units)} ({thickest.zone}){limit}."


def _stretch(of: Asked) -> str:
    found = _basket(of.advice, "strap_stretch")
    if found is None:
        return ""
    percent = float(found.value)
    return (
        "Under its load hardly at all, less than 1 %."
        if percent < 1
        else (f"At the worst pull I reckon with {show(round(percent), 'percent')}, an estimate.")
    )


def _mass(of: Asked) -> str:
    grams = _number(of.advice, "finished_mass")
    shown = show(grams / 1000, "kg", of.units) if grams >= 1000 else show(grams, "g", of.units)
    return f"The leather weighs about {shown}, an estimate." if grams else ""


def _also(of: Asked) -> str:
    said = also_good(of.rulebase, of.advice)
    leather = _leads("tannage")(of)
    return f"Also good: {'; '.join(said[:2])}." if said else f"Nothing else suits it as well as {leather}."


def _fact(name: str, says: str) -> Part:
    """A part that is one answer, said or assumed: ``says`` has {value} for its label and {means} for its meaning."""

    def part(of: Asked) -> str:
        fact = of.advice.facts.get(name)
        if fact is None:
            return ""
        values = fact.value if isinstance(fact.value, list) else [str(fact.value)]
        known = [of.rulebase.attributes[name].values[str(v)] for v in values]
        value = listed(v.label for v in known)
        return capital(says.replace("{value}", value).replace("{means}", listed(v.means for v in known)))

    return part


def _fittings(of: Asked) -> str:
    lines = [line for line in of.advice.order.lines if line.kind == "fitting" and line.part is None]
    sized = [_sized(line, of.units) for line in lines if not line.id.startswith(("thread", "edge_"))]
    return f"Fittings: {listed(sized)}." if sized else "No fittings are needed."


def _sized(line: OrderLine, units: Units) -> str:
    """A fitting with the width of what it takes, or the length of its post."""
    named = f"{line.count} {plural(line.label, line.count)}" if line.count else line.label
    if line.width_mm:
        return f"{named} for {show(line.width_mm, 'mm', units)}"
    return f"{named} with a post of {show(line.length_mm, 'mm', units)}" if line.length_mm else named


def _limits(of: Asked) -> str:
    """What it must never be trusted with, where the order carries that line."""
    return caution_said(of.advice, "limits_of_use")


def caution_said(advice: Advice, name: str) -> str:
    """A caution that the thing can meet, applying or not ruled out; "" where it cannot."""
    return next((words(c) for c in advice.cautions_told if c.id == name and c.relevant), "")


def decision_said(of: Asked, name: str) -> str:
    """What a decision came to, with what that means."""
    decision, choice = of.rulebase.decisions[name], of.advice.decisions.choices()[name]
    if not choice.chosen:
        return f"The {decision.title or name} is open."
    lead = decision.candidates[choice.chosen[0]]
    others = values_called(of.rulebase, name, choice.chosen[1:], joiner="or")
    return f"{capital(lead.label)}: {lead.means}.{f' {capital(others)} will do as well.' if others else ''}"


PARTS: Mapping[str, Part] = {
    "amount": _amount,
    "cost": _cost,
    "by_area": _by_area,
    "thickness": _thickness,
    "both_units": _both_units,
    "why_thickness": _why_thickness,
    "too_thin": _too_thin,
    "forms": _forms,
    "colour": _colour,
    "parts": _parts,
    "pieces": _pieces,
    "sizes": _sizes,
    "length": _length,
    "thread": _thread,
    "needle": _needle,
    "seam": _seam,
    "stretch": _stretch,
    "mass": _mass,
    "also": _also,
    "edge": _fact("edge", "I reckon with {value} edges: {means}."),
    "lining": _fact("lining", "I reckon with it {value}."),
    "glue": _fact("glue", "I reckon with {means}."),
    "sewing": _fact("sew", "I reckon with {value}: {means}."),
    "skive": _fact("skive", "I reckon with {value}."),
    "build": _fact("construction", "Built {value}: {means}."),
    "fittings": _fittings,
    "limits": _limits,
    **COUNSEL,
}


def part_said(of: Asked, part: str) -> str:
    """A part of the advice, or a decision, in a sentence or two."""
    return PARTS[part](of) if part in PARTS else decision_said(of, part)


# -- sayings with marks


def marked(text: str, of: Asked | None) -> str:
    """A saying with what its marks stand for put in; "" where the advice does not have it."""
    for mark, stands_for in MARKS.items():
        if f"{{{mark}}}" in text:
            said = stands_for(of) if of is not None and stands(of.advice) else ""
            if not said:
                return ""
            begins = re.sub(rf"(^|\. )\{{{mark}\}}", rf"\g<1>{capital(said)}", text)
            text = begins.replace(f"{{{mark}}}", said)
    return text


def _leads(decision: str) -> Part:
    """What leads in a choice, by its label."""

    def part(of: Asked) -> str:
        chosen = of.advice.decisions.choices()[decision].chosen
        return called(of.rulebase, decision, chosen[0]) if chosen else ""

    return part


def _window(of: Asked) -> str:
    weight = of.advice.decisions.weight
    return show_weight(weight.low_mm, weight.high_mm, of.units) if weight.low_mm and weight.high_mm else ""


MARKS: Mapping[str, Part] = {
    "thing": lambda of: thing_called(of.rulebase, str(of.advice.facts["item"].value)),
    "thickness": _window,
    "leather": _leads("tannage"),
    "temper": _leads("temper"),
    "animal": _leads("species"),
    "bought": _bought,
}

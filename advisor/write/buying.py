"""The order as a person says it at a counter: each leather one entry, what is bought besides, what it costs.

Everything said is read off the lines of the order; nothing is concluded here.
"""

from __future__ import annotations

import re
from decimal import Decimal

from ..leather.price import quarter_feet_to_buy
from ..leather.units import Units, show, show_length, show_metres, show_quarters, show_sold, show_weight, square_feet
from ..reasoning.advice import Advice, Conflict, OrderLine
from ..rulebase.fittings import PARTS_AT_HAND
from ..rulebase.models import RuleBase
from ..rulebase.written import gauge_of
from .costs import cost_said
from .names import attribute_called, called, values_called
from .page import ORDER, Page, listed

_INDENT = 12
_MUCH_MORE_THAN_NEEDED = 2.0


def heading(words: str = "") -> str:
    """The heading of a block, or the space that it takes."""
    return f"{words:<{_INDENT}}"


def stands(advice: Advice) -> bool:
    """Whether an order is shown: not where it would give up one of two things that were both said."""
    return bool(advice.order.lines) and not any(gives_up(advice, c) for c in advice.conflicts)


def gives_up(advice: Advice, conflict: Conflict) -> bool:
    """Whether a rule that a conflict names was set aside for another, so that the order meets one side alone."""
    aside = {s.rule for s in advice.trace if s.withdrawn_by is not None}
    return any(r.rule in aside for r in conflict.reasons)


def order_block(rulebase: RuleBase, page: Page, advice: Advice, own: str = "") -> None:
    """What to order, on as few lines as it takes; nothing where no order stands.

    ``own`` says before it that what somebody has already does as well.
    """
    lines = advice.order.lines
    leathers = [line for line in lines if line.kind == "leather" and line.shares is None]
    head = heading(ORDER)
    if own and lines:
        page.add(own, 0, head)
        head = heading()
    for line in leathers:
        page.add(_what(rulebase, advice, page, line), 0, head)
        head = heading()
        page.add(_which(rulebase, advice, page, line), 0, head)
        for other in (o for o in lines if o.shares == line.id):
            page.add(_shared(rulebase, page, other, line), 0, head)
    if fittings := [_fitting(rulebase, line) for line in lines if line.kind == "fitting"]:
        page.add("; ".join(fittings), 0, heading("  and"))
    if PARTS_AT_HAND in advice.facts and (have := _values(advice.facts[PARTS_AT_HAND].value)):
        page.add(f"{values_called(rulebase, PARTS_AT_HAND, have)}, so not on this order", 0, heading("  at home"))
    if lines:
        page.add(cost_said(rulebase, advice), 0, heading("  Cost"))


def _values(value: object) -> list[str]:
    """The values of a set but for "none"."""
    return [str(v) for v in (value if isinstance(value, list | tuple) else [value]) if v != "none"]


def in_short(rulebase: RuleBase, advice: Advice, units: Units = "mm") -> str:
    """The main leather in a few words: ``1 strap blank, veg-tan tooling leather, 3.2 to 4 mm (8-10 oz)``.

    Where no order stands, what stands in its way or what is open; "" where no leather is chosen.
    """
    chosen = advice.decisions.tannage.chosen
    if not stands(advice):
        if advice.conflicts:
            return f"no order yet: {attribute_called(rulebase, advice.conflicts[0].about)}"
        return f"{called(rulebase, 'tannage', chosen[0])}, how much is still open" if chosen else ""
    line = advice.order.lines[0]
    thick = thickness(rulebase, line, units)
    return ", ".join(filter(None, (_counted(line), called(rulebase, "tannage", str(line.tannage)), thick)))


def thickness(rulebase: RuleBase, line: OrderLine, units: Units) -> str:
    """How thick a leather of the order is, as it is told at a counter: soles in irons; "" where it has no thickness."""
    if not line.low_mm or not line.high_mm:
        return ""
    return show_weight(line.low_mm, line.high_mm, units, gauge_of(rulebase, str(line.tannage)))


def _what(rulebase: RuleBase, advice: Advice, page: Page, line: OrderLine) -> str:
    """How many of what form, in what size, and for which part if it is not the thing itself."""
    main = line is advice.order.lines[0]
    for_part = "" if main or not line.part else f", for the {_part(rulebase, line)}"
    if line.form is not None:
        return f"{_counted(line)}{_size(rulebase, advice, page, line)}{for_part}"
    many = f"{line.count} x " if (line.count or 1) > 1 else ""
    long = f"{show_length(line.length_mm)} of " if line.length_mm else ""
    return f"{many}{long}{line.label} by the length{_wide(line)}{for_part}"


def _part(rulebase: RuleBase, line: OrderLine) -> str:
    """The part that a leather is for, as many if several pieces are cut from it."""
    return plural(attribute_called(rulebase, line.part or ""), len(line.pieces))


def _counted(line: OrderLine) -> str:
    """How many of a form, or of what is no leather."""
    count = line.count or 1
    return f"{count} {line.label if line.form is not None else plural(line.label, count)}"


def form_counted(rulebase: RuleBase, form: str, count: int) -> str:
    """So many of a form: ``2 panels, 30 x 30 cm (12 x 12 in)``."""
    return f"{count} {rulebase.decisions['form'].candidates[form].called(count)}"


def plural(label: str, count: int) -> str:
    """A label for so many: ``2 rings or dees``, ``2 bottles of edge paint``, ``8 copper rivets with burr``."""
    if count == 1:
        return label
    many, *rest = re.split(r"(?= (?:of|with) )", label, maxsplit=1)
    return f"{' or '.join(n if n.endswith('s') else f'{n}s' for n in many.split(' or '))}{''.join(rest)}"


def _wide(line: OrderLine) -> str:
    return f", {show_length(line.width_mm)} wide" if line.width_mm else ""


def _widths(size: str) -> str:
    """The widths of blanks: of ``1270 mm x 38 mm (2), 60 mm (1)`` it is ``2 of 38 mm, 1 of 60 mm``."""
    across = size.partition(" x ")[2]
    return re.sub(r"([\d.]+ mm) \((\d+)\)", r"\2 of \1", across)


def _size(rulebase: RuleBase, advice: Advice, page: Page, line: OrderLine) -> str:
    """The size to ask for; nothing where the name of the form says it already."""
    if line.length_mm is not None and line.size is not None:
        named = any(c.isdigit() for c in line.label)
        long = "" if named else f", {show_sold(line.length_mm, page.units)} long"
        blank = rulebase.decisions["form"].candidates[str(line.form)].properties["sold_by"] == "strap"
        return f"{long}, {_widths(line.size)} wide" if blank else long
    sold_by_area = rulebase.decisions["form"].candidates[str(line.form)].properties["sold_by"] == "area"
    if line.area_dm2 is None or not sold_by_area:
        return ""
    each = line.area_dm2 / (line.count or 1)
    forms = advice.decisions.amount.forms if line is advice.order.lines[0] else ()
    used = next((f.gross_dm2 for f in forms if f.form == line.form), None)
    if used is None or line.count != 1:
        return f" of about {area_said(each, page.units)}"
    if each >= used * _MUCH_MORE_THAN_NEEDED:
        return f", about {area_said(each, page.units)}, of which you use {area_said(used, 'inch')}"
    return f" of {area_said(used, page.units)} or more"


def area_said(dm2: float, units: Units = "mm") -> str:
    """An area to ask for, as skins are marked, in square feet and quarters upwards: ``3 3/4 sq ft (35 dm²)``."""
    feet = f"{show_quarters(quarter_feet_to_buy(Decimal(str(square_feet(dm2)))))} sq ft"
    return feet if units == "inch" else f"{feet} ({dm2:.0f} dm²)"


def _which(rulebase: RuleBase, advice: Advice, page: Page, line: OrderLine) -> str:
    """Which leather: tannage, how thick, animal, layer, face, temper and colour, where it is cut from."""
    named = [(n, getattr(line, n)) for n in ("species", "grain", "surface", "temper", "colour")]
    words = [called(rulebase, name, value) for name, value in named if value is not None]
    thick = thickness(rulebase, line, page.units)
    # What is sold by the length was named by its leather already.
    tannage = called(rulebase, "tannage", str(line.tannage)) if line.form is not None else ""
    return ", ".join(part for part in (tannage, thick, *words, _cut(rulebase, advice, line)) if part)


def _cut(rulebase: RuleBase, advice: Advice, line: OrderLine) -> str:
    """The part of the hide it comes from, where the form does not say it and a counter tells pieces by it."""
    told = [c for c, t in rulebase.decisions["cut"].table("told").items() if t == "yes"]
    if line.cut not in told or line.length_mm is None:
        return ""
    chosen = advice.decisions.cut.chosen
    cuts = [c for c in chosen if c in told] if line.cut in chosen else [line.cut]
    return f"from the {listed((called(rulebase, 'cut', cut) for cut in cuts), 'or')}"


def _shared(rulebase: RuleBase, page: Page, line: OrderLine, of: OrderLine) -> str:
    """A part that comes out of a leather named above, with its thickness where that is another."""
    thinner = line.high_mm is not None and of.high_mm is not None and line.high_mm < of.high_mm
    thick = f", split or skived thinner: {thickness(rulebase, line, page.units)}" if thinner else ""
    return f"{_part(rulebase, line)}{_wide(line)}, from the same {line.label}{thick}"


def _fitting(rulebase: RuleBase, line: OrderLine) -> str:
    """Something that is no leather: ``1 buckle, 38 mm``, ``1 spool of thread, 25 m, 0.9 mm (1 m needed)``."""
    colour = f"{called(rulebase, 'colour', line.colour)} " if line.colour else ""
    pack, of, what = (plural(line.label, line.count) if line.count else line.label).partition(" of ")
    # "A spool of cream thread": what is coloured is what the pack holds.
    named = f"{pack} of {colour}{what}" if of else f"{colour}{pack}"
    named = f"{line.count} {named}" if line.count else named
    wide, long = (show(mm, "mm") if mm and not line.part else "" for mm in (line.width_mm, line.length_mm))
    fitting = rulebase.fittings.get(line.id)
    if fitting and fitting.pack and line.count:
        # What is sold in packs is asked for by the pack; how much is needed tells whether they are enough.
        needed = show_metres(line.length_mm) if line.length_mm else line.size
        return f"{named}{f', {wide}' if wide else ''} ({needed} needed)"
    # A rivet is reckoned, and one a little longer is cut down.
    size = line.size or wide or (f"at least {long} long" if long else "")
    return f"{named}{f', {size}' if size else ''}"

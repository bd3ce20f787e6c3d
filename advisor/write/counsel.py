"""Counsel asked for beside the order: what to say in the shop, what goes wrong, what was assumed, how sure it is.

Everything said is read off the advice and the item. A part that the thing does not have is an empty text.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..leather.units import show_metres
from ..reasoning.advice import FormView, OrderLine
from .asked import Asked, Part
from .assumed import assumed_said, open_said
from .buying import area_said, form_counted, plural, thickness
from .costs import ABOUT_THE_SAME, dearer
from .names import attribute_called, called
from .page import Page, capital, listed
from .reasons import also_good, not_this, small
from .screen import check_said, checks, disputes
from .warnings import notes, to_mind, words

GRADE_CALLED: Mapping[str, str] = {
    "published, opened": "a published source",
    "published, from memory": "a published source, told from memory",
    "common practice": "common practice of makers",
    "estimate": "an estimate",
}
_FIGURES = ("tannage", "weight")
"""The conclusions of which it is told how well they are founded."""
_MOST_ASKED_FOR = 2


def _shop(of: Asked) -> str:
    """The order as it is said over a counter."""
    leathers = [line for line in of.advice.order.lines if line.kind == "leather" and line.shares is None]
    said = [_asked_for(of, line) for line in leathers[:_MOST_ASKED_FOR]]
    more = f"; and {len(leathers) - len(said)} more" if leathers[_MOST_ASKED_FOR:] else ""
    return f'Say: "{"; and ".join(said)}{more}. Please measure the thickness with me."' if said else ""


def _asked_for(of: Asked, line: OrderLine) -> str:
    main = line is of.advice.order.lines[0]
    what = form_counted(of.rulebase, line.form, line.count or 1) if line.form else line.label
    leather = called(of.rulebase, "tannage", line.tannage) if line.tannage else ""
    face = called(of.rulebase, "grain", line.grain) if line.grain and main else ""
    colour = called(of.rulebase, "colour", line.colour) if line.colour and line.tannage else ""
    part = f" for the {attribute_called(of.rulebase, line.part)}" if line.part and not main else ""
    named = ", ".join(filter(None, (leather, thickness(of.rulebase, line, of.units), face, colour)))
    return f"{what}{part}, {named}" if named else f"{what}{part}"


def _mistake(of: Asked) -> str:
    item = of.rulebase.items[str(of.advice.facts["item"].value)]
    return f"The common mistake: {small(item.first_mistake)}" if item.first_mistake else ""


def _extremes(of: Asked) -> str:
    """What goes wrong with leather thinner and thicker than the thing wants."""
    item = of.rulebase.items[str(of.advice.facts["item"].value)]
    sides = (("thin", item.too_thin), ("thick", item.too_thick))
    return " ".join(f"Too {side} leather {text.removeprefix('It ')}" for side, text in sides if text.startswith("It "))


def _mind(of: Asked) -> str:
    """The cautions that matter most while it is made and used, limits of use left out."""
    found = [*to_mind(of.advice), *notes(of.advice)]
    return " ".join(words(c) for c in [c for c in found if c.id != "limits_of_use"][:1])


def _assumed(of: Asked) -> str:
    said = " ".join(assumed_said(of.rulebase, of.advice, of.units))
    return f"I assumed: {small(said)} Say another value and I change it." if said else "I assumed nothing that matters."


def _open(of: Asked) -> str:
    return open_said(of.rulebase, of.advice) or "Nothing more: no question that is left could change the order."


def _check(of: Asked) -> str:
    """What to look over before paying, with the thickness of this order."""
    page = Page(80, of.units)
    return " ".join(check_said(of.rulebase, page, of.advice, c) for c in checks(of.rulebase, of.advice)[:2])


def _effort(of: Asked) -> str:
    """How much there is to cut and to sew."""
    pieces = sum(p.count for p in of.advice.decisions.amount.pieces)
    thread = next((float(b.value) for b in of.advice.basket if b.what == "thread_length"), 0.0)
    cut = f"{pieces} piece{'' if pieces == 1 else 's'} to cut" if pieces else ""
    sewn = f"seams that take {show_metres(thread * 1000)} of thread" if thread else "nothing to sew"
    return f"It has {cut} and {sewn}." if cut else ""


def _sure(of: Asked) -> str:
    """How well the leather and its thickness are founded."""
    grades = {e.conclusion: e.grade for e in of.advice.evidence}
    named = {"tannage": "the choice of leather", "weight": "the thickness"}
    said = [f"{named[name]} rests on {GRADE_CALLED[grades[name]]}" for name in _FIGURES if name in grades]
    return f'{capital(listed(said))}. Type "full" for every rule and its source.' if said else ""


def _differ(of: Asked) -> str:
    found = disputes(of.rulebase, of.advice)[:1]
    if not found:
        return "I know of no dispute among makers that would change this order."
    return f"Makers differ: {small(found[0])}"


def _avoid(of: Asked) -> str:
    said = not_this(of.rulebase, of.advice)[:2]
    return f"Not {'; nor '.join(said)}." if said else ""


def _cheaper(of: Asked) -> str:
    """The leathers that suit it and cost less."""
    return _by_price(of, "cheaper") or f"Nothing that suits it costs less than {_lead(of)}."


def _dearer(of: Asked) -> str:
    """The leathers that suit it and cost more, for whoever asks whether that pays."""
    found = _by_price(of, "dearer")
    return found or f"Nothing dearer that I know would suit it better than {_lead(of)}."


def _lead(of: Asked) -> str:
    chosen = of.advice.decisions.tannage.chosen
    return called(of.rulebase, "tannage", chosen[0]) if chosen else "that"


def _by_price(of: Asked, word: str) -> str:
    said = [text for text in also_good(of.rulebase, of.advice) if f"{word})" in text or f"{word}):" in text]
    return f"{capital('; '.join(said[:2]))}. {capital(_lead(of))} is what I would buy." if said else ""


def price_said(of: Asked, other: str) -> str:
    """How the price of another leather stands to the one that leads; "" where it is that one."""
    choice = of.advice.decisions.tannage
    if not choice.chosen or other in choice.chosen[:1]:
        return ""
    price = {t: float(p) for t, p in of.rulebase.decisions["tannage"].table("price").items()}
    ratio = price[other] / price[choice.chosen[0]]
    name = capital(called(of.rulebase, "tannage", other))
    if 1 / ABOUT_THE_SAME <= ratio <= ABOUT_THE_SAME:
        return f"{name} costs about the same."
    return f"{name} is {dearer(ratio)}."


def _bought_form(of: Asked) -> FormView | None:
    chosen = of.advice.decisions.form.chosen
    return next((f for f in of.advice.decisions.amount.forms if f.fits and f.form in chosen), None)


def _feet(of: Asked) -> str:
    """The area to buy, with waste, beside that of the pieces and of what it is cut from."""
    form, net = _bought_form(of), of.advice.decisions.amount.net_area_dm2
    if form is None or not net:
        return ""
    known = of.rulebase.decisions["form"].candidates[form.form].properties
    whole = area_said(float(str(known["area"])) * form.count, of.units)
    bought = form_counted(of.rulebase, form.form, form.count)
    others = [line for line in of.advice.order.lines if line.kind == "leather" and line.shares is None][1:]
    besides = " Other leathers on the order are counted apart." if others else ""
    pieces = f"the pieces come to {area_said(net, of.units)}"
    if known["sold_by"] != "area":
        return f"About {area_said(form.gross_dm2, of.units)} with waste ({pieces}); {bought} has {whole}.{besides}"
    needs = f"About {area_said(form.gross_dm2, of.units)} with waste: {pieces}."
    return f"{needs} {capital(bought)} has about {whole}; less will do if all large pieces fit on it whole.{besides}"


def _waste(of: Asked) -> str:
    """How much is added for waste, what it is made up of, and that it is a rule of thumb."""
    form, net = _bought_form(of), of.advice.decisions.amount.net_area_dm2
    if form is None or not net:
        return ""
    candidate = of.rulebase.decisions["form"].candidates[form.form]
    share = float(str(candidate.properties["waste"]))
    extra = of.advice.facts.get("extra_waste")
    more = float(extra.value) if extra is not None and isinstance(extra.value, float) else 0.0
    added = f" and {more:.0%} for curves and faults" if more else ""
    rule = "It is the trade's rule of thumb, not a law"
    if form.how == "placed":
        laid = f"The pieces are laid out on the {candidate.called(1)} by size, so what does not fit shows"
        return (
            f"{laid}; besides I allow {share:.0%} for trimming{added}. {rule}: lay paper patterns on it before you buy."
        )
    return (
        f"I add {share:.0%} of the pieces' area for the edges and shape of a"
        f" {candidate.called(1)}{added}. {rule}, and large"
        " pieces waste more: lay paper patterns on the hide before you buy."
    )


def _leftover(of: Asked) -> str:
    form = _bought_form(of)
    if form is None or form.leftover_dm2 <= 0:
        return ""
    return f"About {area_said(form.leftover_dm2, of.units)} of it is left over, in one piece and in strips."


def _joined(of: Asked) -> str:
    """How the parts are held together: sewn, riveted or both."""
    thread = next((float(b.value) for b in of.advice.basket if b.what == "thread_length"), 0.0)
    fact = of.advice.facts.get("sew")
    how = of.rulebase.attributes["sew"].values[str(fact.value)] if fact and str(fact.value) != "none" else None
    rivets = [
        f"{line.count} {plural(line.label, line.count or 1)}"
        for line in of.advice.order.lines
        if line.kind == "fitting" and "rivet" in line.label and line.count
    ]
    sewn = f"sew it ({how.label})" if thread and how else ""
    if sewn and rivets:
        return f"Both: {sewn} and set {listed(rivets)} where it pulls."
    if sewn:
        return f"{capital(sewn)}; no rivets are needed."
    return f"Rivet it: {listed(rivets)}." if rivets else "Nothing has to be joined."


def _lined(of: Asked) -> str:
    fact = of.advice.facts.get("lining")
    if fact is None:
        return ""
    line = next((x for x in of.advice.order.lines if x.part == "lining"), None)
    if str(fact.value) == "none":
        return "I reckon with it unlined."
    leather = f": {_asked_for(of, line).partition(', for the lining')[0]}" if line is not None else ""
    how = "as I assumed" if fact.origin == "supposed" else "as you said"
    return f'It is reckoned with a lining, {how}{leather}. Say "no lining" and I leave it out.'


def _rivets(of: Asked) -> str:
    return "; ".join(
        f"{line.count or ''} {plural(line.label, line.count or 1)}".strip()
        + (f", post {line.length_mm:g} mm" if line.length_mm else "")
        for line in of.advice.order.lines
        if line.kind == "fitting" and "rivet" in line.label
    )


def _list(of: Asked) -> str:
    """What is bought besides leather."""
    bought = [
        f"{line.count} {plural(line.label, line.count)}" if line.count else line.label
        for line in of.advice.order.lines
        if line.kind == "fitting"
    ]
    return f"Besides the leather: {listed(bought)}." if bought else "Nothing has to be bought besides the leather."


COUNSEL: Mapping[str, Part] = {
    "shop": _shop,
    "mistake": _mistake,
    "extremes": _extremes,
    "mind": _mind,
    "assumed": _assumed,
    "open": _open,
    "check": _check,
    "effort": _effort,
    "sure": _sure,
    "differ": _differ,
    "avoid": _avoid,
    "cheaper": _cheaper,
    "dearer": _dearer,
    "leftover": _leftover,
    "feet": _feet,
    "waste": _waste,
    "joined": _joined,
    "lined": _lined,
    "rivets": _rivets,
    "besides": _list,
}
"""What can be told of an advice beside its parts, by name."""

"""Answers that take more consultations than one: how many come out of what is bought, how much so many take."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace

from ..leather.cutting import forms_holding
from ..leather.forms import Form
from ..leather.pieces import MM2_PER_DM2, main_pieces
from ..leather.units import number, parse_quantity, show
from ..read.counts import QUANTITY
from ..read.number_words import first_count
from ..read.numbers import all_sizes
from ..reasoning.advice import FormView
from ..reasoning.consult import Consultation
from ..reasoning.facts import parse_answer
from ..reasoning.why_not import nearest_of
from ..write.asked import Asked
from ..write.buying import form_counted, plural, stands
from ..write.catalogue import tell
from ..write.counsel import price_said
from ..write.names import attribute_called, called, thing_called
from ..write.reasons import small
from ..write.straight import first_form, part_said
from .matter import Matter
from .naming import candidates_named, leathers_named
from .why import why_lines

MOST_OF_ONE = 40
"""Beyond so many of a thing from what is bought nobody asks how many exactly."""
_ASIDE = re.compile(r" \[[\w/ -]+\]| Evidence: .*$")


def from_one(matter: Matter, text: str) -> str:
    """How many of the thing the form that is bought gives, or another that ``text`` names, by asking for more and more.

    "" where no piece fits on it. A piece named by its size is laid out as a panel.
    """
    advice = matter.advice()
    if sheet := _sheet_named(text):
        return _from_sheet(matter, *sheet)
    named = _forms_named(matter, text)
    form = next((f for f in named if f.fits), None) or first_form(advice)
    if form is None or matter.item is None or not form.fits:
        return ""
    not_named = "" if not named or any(f.fits for f in named) else f"{_barred(matter, named[0])} "

    def enough(many: int) -> bool:
        forms = _of_many(matter, many).advice().decisions.amount.forms
        return any(f.form == form.form and f.fits and f.count <= form.count for f in forms)

    held = advice.facts.get(QUANTITY)
    least = int(held.value) if held and isinstance(held.value, float) else 1
    most = least
    while most < MOST_OF_ONE and enough(most + 1):
        most += 1
    what = thing_called(matter.rulebase, matter.item)
    bought = form_counted(matter.rulebase, form.form, form.count)
    gives = f"{bought[:1].upper()}{bought[1:]} {'gives' if form.count == 1 else 'give'}"
    leathers = [line for line in advice.order.lines if line.kind == "leather"]
    parts = [attribute_called(matter.rulebase, line.part) for line in leathers[1:] if line.part and not line.shares]
    besides = " Other leathers on the order are counted apart." if parts else ""
    if most >= MOST_OF_ONE:
        return f"{not_named}{gives} {MOST_OF_ONE} or more, faults apart.{besides}"
    many = f"{most} {plural(what, most)}"
    return f"{not_named}{gives} {many}, laid out by size; a fault may cost one.{besides}"


def _barred(matter: Matter, form: FormView) -> str:
    """Why a form does not do, as a sentence."""
    name = called(matter.rulebase, "form", form.form)
    return f"Not {name}: {small(tell(form.why_not, matter.rulebase) if form.why_not else '').rstrip('.')}."


_SQUARE_FOOT = re.compile(r"\bsquare foot\b|\bsq ?ft\b")
_UNITS = ("mm", "cm", "m", "in", "inch", "inches", "ft", "foot", "feet")


def _sheet_named(text: str) -> tuple[float, float] | None:
    """The sides in mm, the long one first, of a piece that a text names by its size; None where it names none."""
    if _SQUARE_FOOT.search(text.lower()):
        foot = parse_quantity("1 ft", "mm")
        return foot, foot
    for size in all_sizes(text.lower().replace('"', " in")):
        unit = size.units[-1]
        if size.kind == "box" and len(size.values) == len(("long", "wide")) and unit in _UNITS:
            given = zip(size.values, size.units, strict=True)
            sides = [parse_quantity(f"{number(value, 6)} {own or unit}", "mm") for value, own in given]
            return max(sides), min(sides)
    return None


def _from_sheet(matter: Matter, length: float, width: float) -> str:
    """How many of the thing a piece of so many mm gives, laid out by size; that a piece does not fit on it."""
    run = Consultation(matter.rulebase, matter.answers, house=matter.house)
    pieces = main_pieces(run.pieces)
    if matter.item is None or not pieces or min(length, width) <= 0:
        return ""
    sheet = Form("the piece", length, width, length * width / MM2_PER_DM2, 0.0, "area", 1.0)
    size = f"{show(length, 'mm', matter.units)} x {show(width, 'mm', matter.units)}"
    turned = tuple(replace(piece, along="either") for piece in pieces)
    most = 0
    while most < MOST_OF_ONE:
        held = forms_holding(sheet, turned, most + 1)
        if not held.fits or held.count > 1:
            break
        most += 1
    what = thing_called(matter.rulebase, matter.item)
    if most == 0:
        return f"None: the pieces of one {what} do not all go on {size}."
    few = f"{most} {plural(what, most)}" if most < MOST_OF_ONE else f"{MOST_OF_ONE} or more"
    lined = " Linings and other leathers are counted apart." if len(pieces) < len(run.pieces) else ""
    return f"A piece of {size} gives {few}, laid out by size; a fault may cost one.{lined}"


_SO_MANY = re.compile(r"\b(one|a|an|1|single|half|two|2|three|3|four|4)\b")
_HOW_MANY = {"two": 2, "2": 2, "three": 3, "3": 3, "four": 4, "4": 4}


def enough(matter: Matter, text: str) -> str:
    """Whether as many of a form as ``text`` names give all pieces of the main leather; what is bought where none is."""
    advice = matter.advice()
    forms = _forms_named(matter, text)
    if not forms:
        return part_said(Asked(matter.rulebase, advice, matter.units), "amount")
    found = _SO_MANY.search(text.lower())
    many = _HOW_MANY.get(found[1], 1) if found else 1
    fits = sorted((f for f in forms if f.fits), key=lambda f: (f.count, f.gross_dm2))
    does = next((f for f in fits if f.count <= many), None)
    of = Asked(matter.rulebase, advice, matter.units)
    bought, _, area = part_said(of, "amount").partition(". ")
    others = [line for line in advice.order.lines if line.kind == "leather"][1:]
    besides = " Other leathers on the order are counted apart." if any(not line.shares for line in others) else ""
    if does is not None:
        said = form_counted(matter.rulebase, does.form, does.count)
        first = f"Yes, {said} {'is' if does.count == 1 else 'are'} enough"
    elif fits:
        first = f"No, it takes {form_counted(matter.rulebase, fits[0].form, fits[0].count)}"
    else:
        first = f"{_barred(matter, forms[0])} {bought}"
    return f"{first}. {area}{besides}"


def _forms_named(matter: Matter, text: str) -> list[FormView]:
    """The forms that the words name, as they were compared: by a whole name, else all of which they are one kind."""
    words = re.findall(r"\w+", text.lower())
    forms = {f.form: f for f in matter.advice().decisions.amount.forms}
    for n in (3, 2, 1):
        for i in range(len(words) - n + 1):
            named = candidates_named(matter.rulebase, " ".join(words[i : i + n]))
            if found := [forms[c] for d, c in named if d == "form" and c in forms]:
                return found
    labels = matter.rulebase.decisions["form"].candidates
    kinds = {slug: labels[slug].label.partition(",")[0].split()[-1] for slug in forms}
    return [forms[slug] for slug, kind in kinds.items() if kind in words or f"{kind}s" in words]


def for_many(matter: Matter, text: str) -> str:
    """How much leather so many of the thing take, as many as the words say; "" where they say no number."""
    many = first_count(text.lower())
    if many is None or matter.item is None:
        return ""
    then = _of_many(matter, many)
    advice = then.advice()
    if not stands(advice):
        return ""
    said = part_said(Asked(matter.rulebase, advice, matter.units), "amount")
    return f"For {many}: {said[:1].lower()}{said[1:]}"


def one_more(matter: Matter, _: str) -> str:
    """How much leather one of the thing more than is wanted takes."""
    held = matter.advice().facts.get(QUANTITY)
    many = int(held.value) if held and isinstance(held.value, float) else 1
    advice = _of_many(matter, many + 1).advice()
    if not stands(advice):
        return ""
    said = part_said(Asked(matter.rulebase, advice, matter.units), "amount")
    now = part_said(Asked(matter.rulebase, matter.advice(), matter.units), "amount").partition(". ")[0]
    if said.partition(". ")[0] == now:
        return (
            f"{now.rstrip('.')}: that gives one more than the {many} you want."
            if many > 1
            else f"{now.rstrip('.')}: that is enough for a second one."
        )
    return f"For {many + 1}, so that one may be spoilt: {said[:1].lower()}{said[1:]}"


def _of_many(matter: Matter, many: int) -> Matter:
    quantity = parse_answer(matter.rulebase.attributes[QUANTITY], str(many))
    return matter._replace(answers={**matter.answers, QUANTITY: quantity}, advised=None)


def price_of(matter: Matter, text: str) -> str:
    """How the price of a leather that the words name stands to that of the one that leads; "" where none is named."""
    decision, named = leathers_named(matter.rulebase, text)
    choice = matter.advice().decisions.tannage
    if decision != "tannage" or not choice.chosen:
        return ""
    return price_said(Asked(matter.rulebase, matter.advice(), matter.units), nearest_of(choice, named))


def deciding(goal: str) -> Callable[[Matter, str], str]:
    """What decides a part of the order: the answers it hangs on and the reason."""

    def said(matter: Matter, _: str) -> str:
        run = Consultation(matter.rulebase, matter.answers, house=matter.house)
        text = " ".join(" ".join(why_lines(run, goal, matter.width, units=matter.units)).split())
        # Rule and evidence are told by "why weight"; the sentence about what decides needs neither.
        return _ASIDE.sub("", text)

    return said


RECKONED: Mapping[str, Callable[[Matter, str], str]] = {
    "enough": enough,
    "from_one": from_one,
    "for_many": for_many,
    "one_more": one_more,
    "price_of": price_of,
    "decides_weight": deciding("weight"),
    "decides_tannage": deciding("tannage"),
    "decides_form": deciding("form"),
}
"""What a topic may tell besides parts of the advice, by name."""

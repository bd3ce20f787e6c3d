"""A second opinion as lines a person reads: the overall word, each point with its reasons, and what would fit.

Everything said is read off the review; nothing is judged here.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..leather.units import Units, number, ounces, show_area, show_thickness, show_weight
from ..reasoning.advice import Advice, LedgerEntry
from ..reasoning.review import FINE, VERDICTS, Point, Review, Suggestion
from ..rulebase.models import RuleBase
from ..write.buying import form_counted
from ..write.catalogue import sentence
from ..write.full import add_caution, closing
from ..write.names import attribute_called, called, rule_called, values_called
from ..write.ordering import bound_reason
from ..write.page import DECISION_WORDS, OUTCOME_WORDS, Page, capital, listed
from ..write.refusal import wishes_left_out
from .naming import slug_of

_ORDER = ("tannage", "grain", "surface", "temper", "weight", "cut", "species", "form", "amount", "label")
_LABELS = {**DECISION_WORDS, "weight": "Thickness", "amount": "Amount", "label": "Label"}
_CALLED = {"weight": "thickness", "label": "words on the label"}
_STRENGTHS = ("must", "strong", "clear", "slight")
_NEAREST = {"fits with reservations": "Fits better", "cannot tell": "Known for it", "does not fit": "Fits"}
_MOST_REASONS = 2
_MOST_NOTES = 2
_IN = 12


def review_lines(rulebase: RuleBase, review: Review, width: int = 80, units: Units = "mm") -> list[str]:
    """The second opinion for a person."""
    page = Page(width, units)
    page.add(overall_words(rulebase, review))
    for reason in review.outcome_reasons:
        if reason.outcome == (review.outcome or "undecided"):
            page.add(f"{reason.because} [{rule_called(rulebase, reason.rule)}]", 2)
            for remedy in rulebase.rules[reason.rule].remedies:
                page.add(remedy, 2, "Instead: ")
    if _judged(review):
        page.head("Point by point")
        for point in _sorted(review.points):
            _point(rulebase, page, point)
        if review.not_said:
            wanted = [_wanted(rulebase, name, value) for name, value in sorted(review.not_said.items(), key=_place)]
            page.head("Not said of it, so ask the seller")
            page.add(f"Right would be: {'; '.join(wanted)}.", 2)
    if review.suggestion:
        _suggestion(rulebase, page, review.suggestion)
    _cautions(rulebase, page, review)
    closing(rulebase, page)
    return page.lines


def overall_words(rulebase: RuleBase, review: Review) -> str:
    """The second opinion in one sentence or two."""
    name = rulebase.items[review.item].name if review.item else ""
    head = f"{name[0].upper()}{name[1:]}. " if name else ""
    by = {verdict: [_called(p) for p in _sorted(review.points) if p.verdict == verdict] for verdict in _VERDICT_ORDER}
    if review.item is None and review.outcome is None:
        return "I cannot tell: what it is for is not known yet."
    if any(r.outcome == "undecided" for r in review.outcome_reasons) and review.outcome is None:
        return f"{head}Do not buy anything for it yet: {OUTCOME_WORDS['undecided']}."
    if not _judged(review):
        return f"{head}Do not buy any leather for it: {OUTCOME_WORDS[review.outcome or 'refuse']}."
    if review.overall == "do not buy":
        if by["does not fit"]:
            verb = "does" if len(by["does not fit"]) == 1 and not by["does not fit"][0].startswith("words") else "do"
            return f"{head}Do not buy this for it: the {listed(by['does not fit'])} {verb} not fit."
        return f"{head}Do not buy this for it yet: {OUTCOME_WORDS[review.outcome or 'defer']}."
    if review.overall == "cannot tell":
        open_ones = [p for p in review.points if p.verdict == "cannot tell"]
        known = [called(rulebase, p.name, p.nearest) for p in open_ones if p.nearest]
        usual = f" Known for it: {listed(known)}." if known else ""
        unknown = listed(_said(rulebase, open_ones), "or")
        return f"{head}I cannot tell whether it fits: no rule speaks for {unknown}.{usual}"
    buts = [f"be sure it is {_fitting(rulebase, p)}" for p in _sorted(review.points) if p.mixed]
    if by["fits with reservations"]:
        buts.append(f"mind the {listed(by['fits with reservations'])}")
    if review.overall == "buy, but":
        if not buts:
            return f"{head}Buy it, but keep to the conditions."
        return f"{head}Buy it, but {'; '.join(buts)}."
    rest = ", if the rest of it is right too" if review.not_said else ": every point fits"
    return f"{head}Buy it{rest}."


_VERDICT_ORDER = ("fits", "fits with reservations", "cannot tell", "does not fit")


def short_words(rulebase: RuleBase, review: Review, advice: Advice, ask: str) -> str:
    """What is found of each point in a sentence, and how to ask for the reasons.

    What is ordered anyway, and what a contradiction of the advice tells, needs no sentence.
    """
    found, told = [], wishes_left_out(advice)
    for point in _sorted(review.points):
        choice = advice.decisions.choices().get(point.name)
        if point.verdict == FINE[0] and choice and not {*choice.chosen}.isdisjoint(point.candidates):
            continue
        if told.get(point.name) in point.candidates or not (advice.order.lines or point.verdict == VERDICTS[-1]):
            continue
        if point.name == "weight":
            found.append(_thickness_found(point))
            continue
        text = _FOUND[point.verdict].format(said=point.said)
        if point.mixed:
            text += f", if it is {_fitting(rulebase, point)}"
        elif point.verdict not in FINE and point.nearest:
            text += f"; {called(rulebase, point.name, point.nearest)} would"
        found.append(text)
    return f"{'. '.join(map(capital, found))}. For the reasons: {ask}." if found and _judged(review) else ""


_FOUND = {
    "fits": "{said} suits it",
    "fits with reservations": "{said} would do, with reservations",
    "cannot tell": "I cannot tell whether {said} suits it",
    "does not fit": "{said} does not suit it",
}


def _thickness_found(point: Point) -> str:
    if point.verdict == FINE[0]:
        return _FOUND[point.verdict].format(said=point.said)
    off = _off_words(point)
    if off.startswith(("too ", "thinner ", "thicker ")):
        return f"{point.said} is {off}"
    return f"{_FOUND[point.verdict].format(said=point.said)}: {off}"


def _judged(review: Review) -> bool:
    return bool(review.item) and any(
        p.judged or p.window_mm or p.form or p.ledger or p.name == "label" for p in review.points
    )


def _sorted(points: Sequence[Point]) -> list[Point]:
    return sorted(points, key=lambda p: _ORDER.index(p.name) if p.name in _ORDER else len(_ORDER))


def _place(entry: tuple[str, str]) -> int:
    return _ORDER.index(entry[0]) if entry[0] in _ORDER else len(_ORDER)


def _called(point: Point) -> str:
    return _CALLED.get(point.name, point.name)


def _said(rulebase: RuleBase, points: Sequence[Point]) -> list[str]:
    return [p.said or called(rulebase, p.name, p.judged or p.name) for p in _sorted(points)]


def _wanted(rulebase: RuleBase, name: str, value: str) -> str:
    return value if name == "weight" else f"{attribute_called(rulebase, name)} {called(rulebase, name, value)}"


def _fitting(rulebase: RuleBase, point: Point) -> str:
    return values_called(rulebase, point.name, [c for c, v in point.candidates.items() if v in FINE], joiner="or")


def _point(rulebase: RuleBase, page: Page, point: Point) -> None:
    label = f"{_LABELS.get(point.name, point.name):<10}"
    judged = called(rulebase, point.name, point.judged or "")
    # What was read of the offer may be no more than the name of a candidate in the rule files.
    said = judged if not point.said or slug_of(point.said) == point.judged else point.said
    if judged and judged != said.lower() and len(point.candidates) == 1:
        said += f" ({judged})"
    if point.low_mm is not None and point.high_mm is not None:
        said += f" ({_both_units(point.low_mm, point.high_mm, 'oz' if 'mm' in said else 'mm')})"
    page.add(f"{said}: {point.verdict}.", 2, label)
    if point.name == "weight":
        _weight(rulebase, page, point)
    elif point.name == "amount":
        _amount(rulebase, page, point)
    elif point.name == "label":
        _label(rulebase, page, point)
    else:
        _choice(rulebase, page, point)
    for reason in point.outcomes:
        page.add(f"{reason.because} [{rule_called(rulebase, reason.rule)}]", _IN)
    for remedy in point.remedies[:_MOST_REASONS]:
        page.add(remedy, _IN, "Instead: ")
    if point.nearest and point.name not in ("amount",):
        means = rulebase.decisions[point.name].candidates[point.nearest].means
        page.add(f"{_NEAREST[point.verdict]}: {called(rulebase, point.name, point.nearest)}, {means}.", _IN)
    notes = [c for c in point.cautions if c.severity == "note"]
    for caution in [*(c for c in point.cautions if c.severity != "note"), *notes[:_MOST_NOTES]]:
        add_caution(rulebase, page, caution, _IN)


def _choice(rulebase: RuleBase, page: Page, point: Point) -> None:
    judged = point.judged or ""
    if len(point.candidates) > 1:
        fine = [called(rulebase, point.name, c) for c, v in point.candidates.items() if v in FINE]
        rest = [called(rulebase, point.name, c) for c, v in point.candidates.items() if v not in FINE]
        if not fine:
            _none_of_them(rulebase, page, point)
            return
        if rest:
            page.add(f"Of these fit: {listed(fine)}. Not, or not known to: {listed(rest)}. Ask which it is.", _IN)
        means = rulebase.decisions[point.name].candidates[judged].means
        page.add(f"Judged as {called(rulebase, point.name, judged)}: {means}.", _IN)
    own = [e for e in point.ledger if e.candidate == judged]
    own.sort(key=lambda e: (not e.counts, _STRENGTHS.index(e.strength)))
    barring = [e for e in own if e.act in ("exclude", "require")]
    speaking = [e for e in own if e.act == "favour"]
    against = [e for e in own if e.act == "disfavour"]
    if point.standing == "excluded":
        _reasons(rulebase, page, barring[:_MOST_REASONS], "Ruled out: ")
        return
    if point.standing == "unknown":
        page.add("No rule speaks for or against it here.", _IN)
    if point.standing == "not usual":
        page.add("It is no usual choice for this.", _IN)
    if point.verdict in FINE:
        _reasons(rulebase, page, speaking[:1], "")
    _reasons(rulebase, page, against[:_MOST_REASONS], "Against it: ")
    if point.standing in ("also fits", "not usual") and point.nearest and point.behind:
        told = {e.rule for e in against}
        ahead = [e for e in point.ledger if e.candidate == point.nearest and e.act == "favour" and e.counts]
        ahead = [e for e in ahead if e.rule not in told or e.rule.endswith("/ranking")]
        ahead.sort(key=lambda e: _STRENGTHS.index(e.strength))
        _reasons(rulebase, page, ahead[:1], f"{capital(called(rulebase, point.name, point.nearest))} is ahead of it: ")


def _none_of_them(rulebase: RuleBase, page: Page, point: Point) -> None:
    """The strongest reason against each member of a group."""
    reasons: dict[str, list[str]] = {}
    for candidate in point.candidates:
        own = [e for e in point.ledger if e.candidate == candidate and e.act != "favour"]
        own.sort(key=lambda e: (not e.counts, _STRENGTHS.index(e.strength)))
        why = f"{own[0].because} [{rule_called(rulebase, own[0].rule)}]" if own else "No rule speaks for it here."
        reasons.setdefault(why, []).append(called(rulebase, point.name, candidate))
    for why, members in reasons.items():
        page.add(f"{capital(listed(members))}: {why}", _IN)


def _reasons(rulebase: RuleBase, page: Page, entries: Sequence[LedgerEntry], before: str) -> None:
    for entry in entries:
        page.add(f"{before}{entry.because} ({entry.strength}) [{rule_called(rulebase, entry.rule)}]", _IN)


def _off_words(point: Point) -> str:
    """``too thin by 0.7 mm (1.8 oz)``: leather is offered in both, whatever the reader measures with."""
    sides = {b.side for b in point.bounds}
    off = show_thickness(round(point.off_mm, 1), "inch") if point.off_mm else ""
    if point.fitting_mm and point.low_mm != point.high_mm and point.off_mm:
        return f"part of it lies outside, by up to {off}"
    if point.off_mm and len(sides) == 1:
        too, than = ("too thin", "thinner") if sides == {"at least"} else ("too thick", "thicker")
        firm = any(b.force == "must" for b in point.bounds)
        return f"{too} by {off}" if firm else f"{than} than usual by {off}"
    return "in part" if point.fitting_mm else "no thickness does"


def _both_units(low: float, high: float, unit: str) -> str:
    """``6.3 oz``, ``3.2 to 4 mm``: a thickness in the unit in which it was not said."""
    ends = [number(ounces(mm) if unit == "oz" else mm, 1) for mm in (low, high)]
    return f"{' to '.join(dict.fromkeys(ends))} {unit}"


def _weight(rulebase: RuleBase, page: Page, point: Point) -> None:
    low, high = point.window_mm or (None, None)
    if point.verdict == "cannot tell":
        page.add("No bound on the thickness is known here.", _IN)
        return
    part = point.fitting_mm
    whole = part is None or (part[0] - (point.low_mm or 0) < 0.1 and (point.high_mm or 0) - part[1] < 0.1)
    if point.verdict == "fits":
        if low is not None and high is not None:
            page.add(f"It lies in what is advised, {show_weight(low, high, page.units)}.", _IN)
    elif point.off_mm:
        words = _off_words(point)
        page.add(f"{words[0].upper()}{words[1:]}.", _IN)
    if not whole and part:
        page.add(f"Only the part of {show_weight(*part, page.units)} fits; measure before you pay.", _IN)
    if point.verdict == "fits" and len({b.rule for b in point.bounds}) == 1:
        # One rule holds both sides: its reason is said once.
        page.add(f"{point.bounds[0].because} [{rule_called(rulebase, point.bounds[0].rule)}]", _IN)
    else:
        for bound in point.bounds[:_MOST_REASONS]:
            text = bound_reason(rulebase, bound, page.units, rule_called(rulebase, bound.rule))
            page.add(text[0].upper() + text[1:], _IN)
    if point.nearest_mm is not None:
        window = f"; all of {show_weight(low, high, page.units)} fits" if low is not None and high is not None else ""
        page.add(f"Nearest that fits: {show_thickness(point.nearest_mm, 'inch')}{window}.", _IN)


def _amount(rulebase: RuleBase, page: Page, point: Point) -> None:
    if point.needed is None:
        page.add(sentence(point.why_not, rulebase) if point.why_not else "The pieces cannot be reckoned yet.", _IN)
        return
    form = form_counted(rulebase, point.form, point.needed) if point.form else f"{point.needed} pieces"
    area = point.needed_dm2 or 0
    page.add(f"Needed: {form}, for {show_area(area, page.units)} with waste.", _IN)
    if point.short_dm2:
        page.add(f"Short by {show_area(point.short_dm2, page.units)}.", _IN)


def _label(rulebase: RuleBase, page: Page, point: Point) -> None:
    for entry in point.ledger:
        barred = listed(_called_in_any(rulebase, slug) for slug in entry.candidate.split(", "))
        page.add(f"Not {barred}: {entry.because} [{rule_called(rulebase, entry.rule)}]", _IN)


def _called_in_any(rulebase: RuleBase, slug: str) -> str:
    """A candidate of whatever decision it belongs to."""
    decision = next((d.name for d in rulebase.choices() if slug in d.candidates), "")
    return called(rulebase, decision, slug)


def _suggestion(rulebase: RuleBase, page: Page, made: Suggestion) -> None:
    kept = [_CALLED.get(n, n) for n in sorted(made.kept, key=_ORDER.index)]
    page.head(f"What would fit, with the same {listed(kept)}" if kept else "What would fit instead")
    order = {**{n: called(rulebase, n, c) for n, c in made.choices.items()}, "weight": made.order_as}
    order["form"] = form_counted(rulebase, made.choices["form"], made.count)
    for name in (n for n in _ORDER if n in order):
        page.add(order[name], 2, f"{_LABELS[name]:<10}")
    minded = [_CALLED.get(n, n) for n, v in made.verdicts.items() if v != "fits"]
    how = f", with reservations about the {listed(minded)}" if minded else " on every point"
    page.add(f"Judged anew: it fits{how}.", 2)


def _cautions(rulebase: RuleBase, page: Page, review: Review) -> None:
    """What can hurt somebody stands here too; the rest of the cautions belong to the advice."""
    if review.item is None:
        return
    told = {c.id for p in review.points for c in p.cautions}
    applies = [c for c in review.cautions if c.status == "applies" and c.id not in told]
    stops = [c for c in applies if c.severity == "stop"]
    rest, open_ones = len(applies) - len(stops), len(review.cautions) - len(applies) - len(told)
    page.head("Cautions of the job itself")
    for caution in stops:
        add_caution(rulebase, page, caution)
    more = "more " if stops else ""
    page.add(f"{rest} {more}apply and {max(open_ones, 0)} are not ruled out yet; the advice gives their words.", 2)

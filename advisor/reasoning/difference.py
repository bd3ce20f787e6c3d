"""What moved between two advices, and by which rules: values only, in a fixed order."""

from __future__ import annotations

from collections.abc import Iterable

from ..codes import Saying
from . import advice as view
from .advice import Advice

# Rules with their reasons: those that have come to speak of something, and those that no longer do.
Reasons = tuple[list[tuple[str, str]], list[tuple[str, str]]]


class Move(view.Part):
    """One part of the advice that is not what it was.

    ``about`` is the outcome, a decision, "weight", "amount", "parts", "caution ID" or "conflict ABOUT"; ``before`` and
    ``after`` are empty where there was or is nothing. What stands beside the order is "also DECISION" (what fits as
    well), "beside NAME" (a sum shown beside it, as thread) and "fitting NAME". ``rules`` speak of it now and did not
    before; where ``lifted``, they spoke of it before and no longer do. ``left`` is how a conflict was left.
    """

    about: str
    before: list[str]
    after: list[str]
    rules: list[str]
    because: str = ""
    lifted: bool = False
    left: Saying | None = None


def moves(before: Advice, after: Advice) -> list[Move]:
    """Everything a buyer would notice that differs, the order first. Amounts are compared by pieces, forms and cost."""
    found: list[Move] = []

    def add(about: str, was: Iterable[str], now: Iterable[str], rules: Reasons, left: Saying | None = None) -> None:
        was, now = list(was), list(now)
        if was != now:
            new, gone = rules
            speaking = new or gone
            found.append(
                Move(
                    about=about,
                    before=was,
                    after=now,
                    rules=list(dict.fromkeys(r for r, _ in speaking)),
                    because=speaking[0][1] if speaking else "",
                    lifted=bool(gone and not new),
                    left=left,
                )
            )

    add("outcome", _some(before.outcome), _some(after.outcome), _outcome_rules(before, after))
    choices = after.decisions.choices()
    for name, was in before.decisions.choices().items():
        add(name, was.chosen, choices[name].chosen, _choice_rules(was, choices[name]))
    w, v = before.decisions.weight, after.decisions.weight
    add("weight", _some(w.order_as), _some(v.order_as), _bound_rules(w, v))
    add("amount", _bought(before), _bought(after), ([], []))
    add("parts", *_parts(before, after), _part_rules(before, after))
    texts = {c.id: c for advice in (before, after) for c in advice.cautions}
    was_on = [c.id for c in before.cautions if c.status == "applies"]
    now_on = [c.id for c in after.cautions if c.status == "applies"]
    for caution in dict.fromkeys((*now_on, *was_on)):
        if (caution in was_on) != (caution in now_on):
            c = texts[caution]
            add(
                f"caution {caution}",
                [c.text] if caution in was_on else [],
                [c.text] if caution in now_on else [],
                ([(c.rule, c.text)], []),
            )
    clashes = {c.about: c for advice in (before, after) for c in advice.conflicts}
    had, has = [c.about for c in before.conflicts], [c.about for c in after.conflicts]
    for about in dict.fromkeys((*has, *had)):
        if (about in had) != (about in has):
            reasons = [(r.rule, r.because) for r in clashes[about].reasons]
            left = clashes[about].outcome
            new, gone = ([], reasons) if about in had else (reasons, [])
            earlier, later = ([left.code] if about in side else [] for side in (had, has))
            add(f"conflict {about}", earlier, later, (new, gone), left)
    for name, was in before.decisions.choices().items():
        add(f"also {name}", sorted(was.also_fits), sorted(choices[name].also_fits), ([], []))
    for kind, lines in (("beside", _beside), ("fitting", _fittings)):
        there, then = lines(before), lines(after)
        for what in dict.fromkeys((*there, *then)):
            add(f"{kind} {what}", there.get(what, []), then.get(what, []), ([], []))
    return found


def _parts(before: Advice, after: Advice) -> tuple[list[str], list[str]]:
    """The leathers besides the main one that differ: each with its part, tannage and both ends in mm."""

    def told(advice: Advice) -> list[str]:
        found = []
        for part in advice.order.parts:
            ends = [f"{mm:g}" for mm in (part.low_mm, part.high_mm) if mm is not None]
            found.append(f"{part.part}: {' '.join([*(part.tannage.chosen[:1] if part.tannage else ()), *ends])}")
        return found

    was, now = told(before), told(after)
    return [p for p in was if p not in now], [p for p in now if p not in was]


def _part_rules(before: Advice, after: Advice) -> Reasons:
    """What decides the tannage of parts that are in both orders, and has come or gone."""
    had = {p.part: p.tannage for p in before.order.parts if p.tannage}
    new, gone = list[tuple[str, str]](), list[tuple[str, str]]()
    for part in after.order.parts:
        if part.tannage and part.part in had:
            come, left = _choice_rules(had[part.part], part.tannage)
            new, gone = new + come, gone + left
    return new, gone


def _beside(advice: Advice) -> dict[str, list[str]]:
    return {line.what: [f"{line.value} {line.unit}".strip()] for line in advice.basket}


def _fittings(advice: Advice) -> dict[str, list[str]]:
    return {
        line.id: [" ".join(str(part) for part in (line.count, line.label, line.size) if part is not None)]
        for line in advice.order.lines
        if line.kind == "fitting"
    }


def _some(value: str | None) -> list[str]:
    return [value] if value else []


def _outcome_rules(before: Advice, after: Advice) -> Reasons:
    was = {r.rule for r in before.outcome_reasons}
    new = [(r.rule, r.because) for r in after.outcome_reasons if r.rule not in was]
    now = {r.rule for r in after.outcome_reasons}
    return new, [(r.rule, r.because) for r in before.outcome_reasons if r.rule not in now]


def _choice_rules(before: view.Choice, after: view.Choice) -> Reasons:
    """Reasons that decide the move: for the new lead, against the old one, or no longer so."""

    def speaking(choice: view.Choice, candidates: Iterable[str], acts: tuple[str, ...]) -> list[tuple[str, str]]:
        wanted = set(candidates)
        order = ("must", "strong", "clear", "slight")
        entries = [e for e in choice.ledger if e.candidate in wanted and e.act in acts and e.counts]
        return [(e.rule, e.because) for e in sorted(entries, key=lambda e: order.index(e.strength))]

    gone, come = set(before.chosen) - set(after.chosen), set(after.chosen) - set(before.chosen)
    against, favour = ("exclude", "require", "disfavour"), ("favour",)
    found = _only_in(speaking(after, gone, against), speaking(before, gone, against))
    found += _only_in(speaking(after, come, favour), speaking(before, come, favour))
    lifted = _only_in(speaking(before, gone, favour), speaking(after, gone, favour))
    return found, lifted + _only_in(speaking(before, come, against), speaking(after, come, against))


def _only_in(these: list[tuple[str, str]], others: list[tuple[str, str]]) -> list[tuple[str, str]]:
    return [pair for pair in these if pair not in others]


def _bound_rules(before: view.Weight, after: view.Weight) -> Reasons:
    """The bounds behind another weight: those that have come and hold an end, or those that held one and are gone.

    A bound that stood before and now holds an end only because another went away is no reason.
    """

    def standing(weight: view.Weight) -> set[tuple[str, str, float]]:
        return {(b.rule, b.side, b.mm) for b in weight.bounds if b.set_aside is None}

    def telling(weight: view.Weight, other: view.Weight) -> list[tuple[str, str]]:
        there = standing(other)
        clash = weight.low_mm is None or weight.high_mm is None
        return [
            (b.rule, b.because)
            for b in weight.bounds
            if b.set_aside is None and (b.binding or clash) and (b.rule, b.side, b.mm) not in there
        ]

    return telling(after, before), telling(before, after)


def _bought(advice: Advice) -> list[str]:
    """Form, count and cost as one line; the net area where nothing is bought yet."""
    amount, chosen = advice.decisions.amount, advice.decisions.form.chosen
    if amount.net_area_dm2 is None:
        return []
    form = next((f for f in amount.forms if chosen and f.form == chosen[0]), None)
    if form is None:
        return [f"{amount.net_area_dm2} dm2"]
    cost = f", {form.cost.total} {form.cost.currency}" if form.cost and form.cost.total else ""
    return [f"{form.count} x {form.form.replace('_', ' ')}{cost} for {amount.net_area_dm2} dm2"]

"""The leathers besides the main one in a run on open answers: what each can come to, and what that hangs on."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from ..rulebase.models import CHOSEN_FOR_PARTS, LIMITS, Conclusion, Decision, PartSpec, RuleBase, Value, of_part
from .buying import relative_prices
from .network import network
from .possibility import Possibility
from .resolve_choice import MUSTS, Cost, Reason, Weighed, barred, resolve_choice
from .resolve_window import end, resolve_window
from .spread import NO, Words

About = list[tuple[int, Conclusion]]
DECIDED = (*CHOSEN_FOR_PARTS, "form", "weight")


def parts_open(run: Possibility) -> Words:
    """What every part comes to, one value for each: settled where all of them are, empty where there is none."""
    found, settled = list[Value](), True
    item = run.rulebase.items.get(str(run.item()))
    cut = {p.of for p in item.pieces} if item else set()
    for spec in item.parts.values() if item else ():
        if spec.bought or spec.name not in cut:
            continue
        said = _part(run, str(run.item()), spec)
        settled = settled and said is not None
        found += [said] if said else []
    may = frozenset(found)
    return Words(may, may if settled else frozenset(), nothing=not (may and settled))


def _part(run: Possibility, item: str, spec: PartSpec) -> str | None:
    """What one part comes to, as text, empty where there is none; None where answers may still change it."""
    instead = run.rulebase.instead.get(spec.follows, {})
    follows = run.fixed(spec.follows) if instead else ()
    if follows is None:
        return None
    if follows and str(follows[0]) in instead:
        return f"{spec.name}: {instead[str(follows[0])]}" if instead[str(follows[0])] else ""
    about = _about(run.rulebase, item, spec)
    window = resolve_window(run.bounds(about["weight"]))
    (low, high), words = window.ends, [spec.name]
    if window.clash != NO or low.low != low.high or high.low != high.high:
        return None
    if spec.shares:
        return f"{spec.name}: {end(low)} {end(high)}"
    for name in CHOSEN_FOR_PARTS:
        if name == "tannage" and not spec.tannages:
            continue
        decision = run.rulebase.choice_of(spec.name, name)
        reasons = run.reasons(decision.name, about[name])
        cost: dict[str, Cost] = {}
        if "price" in decision.properties:
            cost = {c: (price, price) for c, price in relative_prices(run.rulebase, decision).items()}
        weigh = partial(_weighed, decision, reasons, cost)
        lead = run.remembered(decision.name, reasons, tuple(cost.items()), weigh).lead
        if lead.fixed is None:
            return None
        words += [str(v) for v in lead.fixed]
    gone = barred(run.rulebase.decisions["form"], run.reasons("form", about["form"]))
    if any(f in gone.may and f not in gone.must for f in spec.forms):
        return None
    words += [f for f in spec.forms if f in gone.must]
    return f"{spec.name}: {' '.join(words[1:])} {end(low)} {end(high)}"


def _weighed(decision: Decision, reasons: list[Reason], cost: dict[str, Cost]) -> Weighed:
    return resolve_choice(decision, reasons, cost).brief


def parts_speaking(rulebase: RuleBase, item: str | None) -> Iterator[tuple[int, Conclusion]]:
    """What rules conclude about parts of an item, or of any."""
    made = rulebase.items.values() if item is None else [rulebase.items[item]] if item in rulebase.items else []
    for each in made:
        for spec in each.parts.values():
            for said in _about(rulebase, each.slug, spec).values():
                yield from said


def followed(rulebase: RuleBase, item: str | None) -> set[str]:
    """The attributes by whose value some part of an item, or of any, is of leather or not."""
    made = rulebase.items.values() if item is None else [rulebase.items[item]] if item in rulebase.items else []
    return {spec.follows for each in made for spec in each.parts.values() if spec.follows}


def _about(rulebase: RuleBase, item: str, spec: PartSpec) -> dict[str, About]:
    """What rules conclude about one part, by decision: of the whole thing, by the item, of its role."""
    key = item, spec.name
    return rulebase.remembered("about parts", key, lambda: {d: _said(rulebase, item, spec, d) for d in DECIDED})


def _said(rulebase: RuleBase, item: str, spec: PartSpec, decision: str) -> About:
    net = network(rulebase)
    rules, about = net.rules, net.about
    whole = [
        (place, c)
        for place, c in about.get(decision, ())
        if rules[place].concern in LIMITS and c.act in MUSTS and not spec.shares
    ]
    own = [(place, c) for place, c in about.get(of_part(decision, spec.name), ()) if rules[place].item == item]
    of_role = about.get(of_part(decision, spec.role), ()) if spec.role else ()
    return [*whole, *own, *((place, c) for place, c in of_role if rules[place].item is None)]

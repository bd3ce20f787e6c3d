"""How conflicting conclusions are settled: attributes, choices and windows, between strata.

Nothing is averaged and nothing is hidden: whatever lost stays in the ledger with what beat it.
The order of standing is fixed: an answer beats a rule, a must beats a should, a setting beats a
supposition, the item's own habit beats its family's; otherwise only a declared preference decides.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, MutableMapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from ..codes import Saying, say
from ..rulebase.models import (
    CONCERNS,
    FORCES,
    HABITS,
    MAY_BRING_IN,
    STRENGTH_NAMES,
    STRENGTHS,
    Conclusion,
    Decision,
    Item,
    Rule,
    Value,
)
from .advice import BoundView, LedgerEntry
from .facts import Known
from .matching import Fact, Match

_DEAREST = Decimal("Infinity")
IN_RANKING, OUTWEIGHED, NO_ROOM = say("in_ranking"), say("outweighed"), say("leaves_nothing")


@dataclass(slots=True)
class Firing:
    """A rule that held, with what it matched; ``withdrawn_by`` names a preferred rule that also held."""

    step: int
    stratum: int
    rule: Rule
    match: Match
    withdrawn_by: str | None = None
    defeated: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Claim:
    """One conclusion of one firing about one node, with values filled in."""

    firing: Firing
    conclusion: Conclusion
    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Clashing:
    """Reasons that cannot hold together. ``outcome`` is how it was left.

    ``about`` is an attribute, a decision or, as "part NAME", a part; ``answered`` is set where an answer stands against
    a rule; ``ways`` out are those that no rule names.
    """

    about: str
    claims: tuple[Claim, ...]
    outcome: Saying
    answered: Saying | None = None
    ways: tuple[Saying, ...] = ()


@dataclass(slots=True)
class Settled:
    """A node after settling: its value if it has one, what was set aside, and any conflict."""

    known: Known | None
    clash: Clashing | None = None


@dataclass(slots=True)
class Ledger:
    """A choice after settling; ``eligible`` are those that something may have brought in, excluded or not.

    ``outweighed`` are those asked for by name against which more speaks than for them: no wish makes them lead.
    """

    chosen: list[str] = field(default_factory=list)
    also_fits: list[str] = field(default_factory=list)
    excluded: dict[str, list[str]] = field(default_factory=dict)
    entries: list[LedgerEntry] = field(default_factory=list)
    tie: Saying | None = None
    clash: Clashing | None = None
    balance: dict[str, int] = field(default_factory=dict)
    eligible: set[str] = field(default_factory=set)
    costs: Mapping[str, Decimal] = field(default_factory=dict)
    outweighed: set[str] = field(default_factory=set)


@dataclass(slots=True)
class Window:
    """A quantity after settling: must-window, advised window, every bound."""

    feasible: tuple[float | None, float | None] = (None, None)
    low: float | None = None
    high: float | None = None
    bounds: list[BoundView] = field(default_factory=list)
    clash: Clashing | None = None


def withdraw(firings: Mapping[str, list[Firing]], beaten_by: Mapping[str, Sequence[str]]) -> None:
    """Mark every firing whose rule loses to a preferred rule that fired and stands itself.

    Called anew whenever more has fired: a winner may have met its own better since.
    """
    status: dict[str, str | None] = {}
    for fired in firings.values():
        for firing in fired:
            if firing.rule.over:
                firing.defeated = [d for d in firing.defeated if d not in firing.rule.over]

    def winner(rule_id: str) -> str | None:
        if rule_id not in status:
            status[rule_id] = None
            status[rule_id] = next((w for w in beaten_by.get(rule_id, ()) if w in firings and winner(w) is None), None)
        return status[rule_id]

    for rule_id, fired in firings.items():
        if rule_id not in beaten_by:
            continue
        by = winner(rule_id)
        for firing in fired:
            firing.withdrawn_by = by
        if by:
            for firing in firings[by]:
                if rule_id not in firing.defeated:
                    firing.defeated.append(rule_id)


def settle_attribute(name: str, many: bool, claims: Sequence[Claim]) -> Settled:
    """An attribute that nobody answered, from what rules say of it.

    One value stands if the strongest rule for it beats every rule for another value; a set is the
    union of what rules add. Without settings the best-ranked suppositions are taken.
    """
    live = [c for c in claims if c.firing.withdrawn_by is None]
    settings = [c for c in live if c.conclusion.act in ("set", "add")]
    if many and settings:
        return Settled(_known(name, _union(settings), "derived", settings))
    if settings:
        force: dict[Value, int] = {}
        for claim in settings:
            value = claim.values[0]
            force[value] = max(force.get(value, -1), FORCES.index(claim.firing.rule.force))
        best = max(force.values())
        values = [v for v, f in force.items() if f == best]
        if len(values) == 1:
            for claim in settings:
                if claim.values[0] != values[0]:
                    for winner in settings:
                        if winner.values[0] == values[0] and claim.firing.rule.id not in winner.firing.defeated:
                            winner.firing.defeated.append(claim.firing.rule.id)
            return Settled(_known(name, (values[0],), "derived", [c for c in settings if c.values[0] == values[0]]))
        rivals = tuple(c for c in settings if c.values[0] in values)
        return Settled(None, Clashing(name, rivals, say("left_unsettled", attribute=name)))
    suppositions = [c for c in live if c.conclusion.act == "suppose"]
    if not suppositions:
        return Settled(None)
    rank = min(CONCERNS.index(c.firing.rule.concern) for c in suppositions)
    ranked = [c for c in suppositions if CONCERNS.index(c.firing.rule.concern) == rank]
    if many:
        return Settled(_known(name, _union(ranked), "supposed", ranked))
    values = list(dict.fromkeys(c.values[0] for c in ranked))
    if len(values) > 1:
        return Settled(None, Clashing(name, tuple(ranked), say("left_unsettled", attribute=name)))
    return Settled(_known(name, (values[0],), "supposed", ranked))


def _union(claims: Iterable[Claim]) -> tuple[Value, ...]:
    values = list(dict.fromkeys(v for c in claims for v in c.values))
    return tuple(sorted(v for v in values if v != "none" or len(values) == 1))


def _known(name: str, values: tuple[Value, ...], origin: str, claims: Sequence[Claim]) -> Known:
    rules = tuple(dict.fromkeys(c.firing.rule.id for c in claims))
    return Known(name, values, origin, rules)  # type: ignore[arg-type]


def excluded_by(decision: Decision, claims: Iterable[Claim]) -> dict[str, list[Claim]]:
    """Candidate -> the standing claims that remove it, whatever its balance."""
    found: dict[str, list[Claim]] = {}
    for claim in claims:
        if claim.firing.withdrawn_by is not None or claim.conclusion.act not in ("exclude", "require"):
            continue
        for candidate in _hit(decision, claim):
            sofar = found.setdefault(candidate, [])
            if all(c.firing.rule.id != claim.firing.rule.id for c in sofar):
                sofar.append(claim)
    return found


def unmet_wishes(decision: Decision, claims: Sequence[Claim], outweighed: Collection[str] = ()) -> list[Clashing]:
    """Candidates that somebody asked for by name and that do not lead: the wish, then the reasons against it.

    Those are what excludes it, or where nothing does and it is ``outweighed``, all that speaks against it.
    """
    against = excluded_by(decision, claims)
    for candidate in (c for c in outweighed if c not in against):
        speaking = (c for c in claims if c.conclusion.act == "disfavour" and candidate in c.values)
        standing = [c for c in speaking if c.firing.withdrawn_by is None]
        against[candidate] = list({c.firing.rule.id: c for c in reversed(standing)}.values())[::-1]
    found: list[Clashing] = []
    for claim in claims:
        for candidate in (str(v) for v in claim.values) if _named_wish(claim) else ():
            if candidate in against and claim.firing.withdrawn_by is None:
                what = say("wish_left_out", decision=decision.name, candidate=candidate)
                found.append(Clashing(str(claim.conclusion.attribute), (claim, *against[candidate]), what))
    return found


def _named_wish(claim: Claim) -> bool:
    """Whether a claim says no more than that somebody asked for this leather by name."""
    return bool(claim.conclusion.attribute) and claim.firing.rule.concern == "stated wish"


def _hit(decision: Decision, claim: Claim) -> tuple[str, ...]:
    """The candidates a claim is about: for a requirement, all the others."""
    if claim.conclusion.act == "require":
        return tuple(c for c in decision.candidates if c not in claim.values)
    return tuple(str(v) for v in claim.values)


def settle_choice(
    decision: Decision,
    claims: Sequence[Claim],
    item: Item | None,
    own: Callable[[Fact], bool],
    cost: Mapping[str, Decimal],
) -> Ledger:
    """Weigh every reason for and against every candidate, as a good counter hand would.

    ``own`` tells whether a fact is only the item's own habit; such reasons are already in the
    item's ranking. ``cost`` breaks ties, the cheaper first.
    """
    against = excluded_by(decision, claims)
    ledger = Ledger(excluded={c: [k.firing.rule.id for k in against[c]] for c in decision.candidates if c in against})
    weights: dict[tuple[str, str], LedgerEntry] = {}
    wishes: set[tuple[str, str]] = set()
    ranked = False
    for claim in claims:
        rule, act = claim.firing.rule, claim.conclusion.act
        ranked = ranked or (act == "favour" and rule.concern in HABITS and claim.firing.withdrawn_by is None)
        must = act in ("exclude", "require")
        for candidate in _hit(decision, claim):
            aside = _withdrawn(claim)
            counts = aside is None
            if counts and not must and _in_ranking(claim, candidate, decision, item, own):
                counts, aside = False, IN_RANKING
            entry = LedgerEntry(
                candidate=candidate,
                act=act,
                strength="must" if must else STRENGTH_NAMES[claim.conclusion.strength],
                rule=rule.id,
                because=claim.conclusion.because or rule.because,
                concern=rule.concern,
                counts=counts,
                set_aside=aside,
            )
            key = (rule.id, f"{act} {candidate}")
            if key not in weights:
                weights[key] = entry
                wishes |= {key} if act == "favour" and _named_wish(claim) else set()
    if ranked:
        ledger.outweighed = _outweigh_wishes(weights, wishes)
    ledger.entries = list(weights.values())
    counting = [e for e in ledger.entries if e.counts]
    balance = dict.fromkeys(decision.candidates, 0)
    reasons_against = dict.fromkeys(decision.candidates, 0)
    eligible = set() if ranked else set(decision.candidates)
    for entry in counting:
        if entry.act in ("favour", "disfavour"):
            balance[entry.candidate] += _signed(entry)
            reasons_against[entry.candidate] += entry.act == "disfavour"
            if _brings(entry):
                eligible.add(entry.candidate)
    ledger.balance, ledger.eligible, ledger.costs = balance, eligible, cost
    if not counting:
        return ledger
    left = [c for c in decision.candidates if c in eligible and c not in ledger.excluded]
    worth = [c for c in left if balance[c] > 0 or not ranked]
    if not worth:
        ledger.clash = _nothing_left(decision, eligible, against, claims, left)
        return ledger
    order = list(decision.candidates)
    worth.sort(key=lambda c: (-balance[c], reasons_against[c], cost.get(c, _DEAREST), order.index(c)))
    lead = worth[0]
    tied = [c for c in worth if balance[c] == balance[lead]]
    ledger.chosen = tied if ranked else [lead]
    ledger.also_fits = [c for c in worth if c not in ledger.chosen]
    if ranked and len(tied) > 1:
        second = tied[1]
        if reasons_against[lead] < reasons_against[second]:
            ledger.tie = say("tied_less_against", decision=decision.name, candidates=tied)
        elif cost.get(lead, _DEAREST) < cost.get(second, _DEAREST):
            ledger.tie = say("tied_cheapest", decision=decision.name, candidates=tied)
        else:
            ledger.tie = say("tied", decision=decision.name, candidates=tied)
    return ledger


def _withdrawn(claim: Claim) -> Saying | None:
    by = claim.firing.withdrawn_by
    return say("withdrawn", rule=by) if by else None


def _outweigh_wishes(
    weights: MutableMapping[tuple[str, str], LedgerEntry], wishes: Collection[tuple[str, str]]
) -> set[str]:
    """Set aside the wishes for leathers against which more speaks than for them, and name those leathers.

    A leather that fits unasked may be wished for whatever is said against it.
    """
    found: set[str] = set()
    for key in wishes:
        wish = weights[key]
        others = [
            e
            for k, e in weights.items()
            if e.candidate == wish.candidate and k not in wishes and e.act in ("favour", "disfavour")
        ]
        every = sum(_signed(e) for e in others if not e.withdrawn)
        fits = any(_brings(e) for e in others if e.counts) and sum(_signed(e) for e in others if e.counts) > 0
        if wish.counts and every < 0 and not fits:
            weights[key] = wish.model_copy(update={"counts": False, "set_aside": OUTWEIGHED})
            found.add(wish.candidate)
    return found


def _signed(entry: LedgerEntry) -> int:
    return STRENGTHS[entry.strength] * (1 if entry.act == "favour" else -1)


def _brings(entry: LedgerEntry) -> bool:
    """Whether a reason may bring in a leather that the item's ranking does not name."""
    habit = entry.concern in HABITS
    return entry.act == "favour" and (habit or CONCERNS.index(entry.concern) <= MAY_BRING_IN)


def _in_ranking(
    claim: Claim, candidate: str, decision: Decision, item: Item | None, own: Callable[[Fact], bool]
) -> bool:
    """Whether the item's own ranking already contains a reason. One against a leather that it does not name counts."""
    rule = claim.firing.rule
    if item is None or rule.item is not None or decision.name not in item.ranks:
        return False
    if claim.conclusion.act == "disfavour" and candidate not in item.ranks[decision.name]:
        return False
    return not claim.firing.match.absent and all(own(f) for f in claim.firing.match.facts)


def _nothing_left(
    decision: Decision, eligible: set[str], against: Mapping[str, list[Claim]], claims: Sequence[Claim], left: list[str]
) -> Clashing:
    """The smallest set of excluding rules that leaves nothing, found by dropping what is not needed."""
    barred = {c: [k.firing.rule.id for k in against.get(c, ())] for c in decision.candidates if c in eligible}
    needed = list(dict.fromkeys(rule for rules in barred.values() for rule in rules))
    for rule in sorted(needed):
        rest = [r for r in needed if r != rule]
        if all(any(r in rest for r in rules) for rules in barred.values() if rules):
            needed = rest
    involved: list[Claim] = []
    for claim in claims:
        rule_id = claim.firing.rule.id
        if rule_id in needed and not any(c.firing.rule.id == rule_id for c in involved):
            involved.append(claim)
    if left or not involved:
        pulls = [c for c in claims if c.firing.withdrawn_by is None and c.conclusion.act in ("favour", "disfavour")]
        involved += [c for c in pulls if c.firing.rule.item is None][:4]
    return Clashing(decision.name, tuple(involved), say("none_meets_all", decision=decision.name))


def settle_window(
    claims: Sequence[Claim], inputs: Callable[[Claim], tuple[float, str | None, dict[str, str | float]]]
) -> Window:
    """Where all bounds on a quantity meet.

    Must-bounds make the feasible window; the others narrow it in the order of their concern, and
    one that would leave nothing is set aside and says so. ``inputs`` gives a bound's value, its
    formula with numbers and the inputs of that formula.
    """
    window = Window()
    rows: list[tuple[Claim, BoundView]] = []
    for claim in claims:
        mm, formula, numbers = inputs(claim)
        rule = claim.firing.rule
        view = BoundView(
            side=claim.conclusion.act,
            mm=mm,
            rule=rule.id,
            force=rule.force,
            because=rule.because,
            formula=formula,
            inputs=numbers,
            set_aside=_withdrawn(claim),
        )
        rows.append((claim, view))
    live = [r for r in rows if r[1].set_aside is None]
    musts = [r for r in live if r[1].force == "must"]
    low = max((v.mm for _, v in musts if v.side == "at least"), default=None)
    high = min((v.mm for _, v in musts if v.side == "at most"), default=None)
    window.feasible = (low, high)
    aside: set[int] = set()
    if low is not None and high is not None and low > high:
        ends = (
            next(c for c, v in musts if v.side == "at least" and v.mm == low),
            next(c for c, v in musts if v.side == "at most" and v.mm == high),
        )
        window.clash = Clashing("weight", ends, say("no_thickness"))
        window.bounds = [v for _, v in rows]
        return window
    others = [r for r in live if r[1].force != "must"]
    others.sort(key=lambda r: (CONCERNS.index(r[0].firing.rule.concern), -FORCES.index(r[1].force)))
    for claim, view in others:
        if view.side == "at least":
            if high is not None and view.mm > high:
                aside.add(id(view))
            else:
                low = view.mm if low is None else max(low, view.mm)
        elif low is not None and view.mm < low:
            aside.add(id(view))
        else:
            high = view.mm if high is None else min(high, view.mm)
        del claim
    window.low, window.high = low, high
    for _, view in rows:
        if view.set_aside is None and id(view) in aside:
            view = view.model_copy(update={"set_aside": NO_ROOM})
        elif view.set_aside is None:
            end = low if view.side == "at least" else high
            clear = abs(view.mm - end) if end is not None else 0.0
            view = view.model_copy(update={"binding": view.mm == end, "clear_by_mm": round(clear, 3)})
        window.bounds.append(view)
    window.bounds.sort(key=lambda b: (b.side, not b.binding, b.set_aside is not None, b.rule))
    return window

"""How conflicting conclusions are settled: attributes, choices and windows, between strata.

Nothing is averaged and nothing is hidden: whatever lost stays in the ledger with what beat it.
The order of standing is fixed: an answer beats a rule, a must beats a should, a setting beats a
supposition, the item's own habit beats its family's; otherwise only a declared preference decides.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from ..codes import Saying, say
from ..rulebase.models import STRENGTH_NAMES, Clash, Conclusion, Decision, Item, Rule, Value
from .advice import BoundView, LedgerEntry, Origin
from .facts import Known
from .matching import Fact, Match
from .resolve_attribute import claimed, resolve_attribute
from .resolve_choice import DEAREST, MUSTS, Ranking, Reason, Weighed, hit, named_wish, reason, resolve_choice
from .resolve_window import Bound, end, resolve_window
from .spread import NO, YES, Status

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


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A declared clash of wishes, with the rules that saw it and those that they are preferred to."""

    clash: Clash
    firings: tuple[Firing, ...]


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
    """A quantity after settling: must-window, advised window, its middle or only end, every bound; all in mm."""

    feasible: tuple[float | None, float | None] = (None, None)
    low: float | None = None
    high: float | None = None
    middle: float | None = None
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


def settle_attribute(
    name: str, many: bool, numeric: bool, claims: Sequence[Claim], own: Callable[[Rule], bool]
) -> Settled:
    """An attribute that nobody answered, from what rules say of it.

    ``many`` for a set of values, ``numeric`` for a number; ``own`` tells whether a rule that fired rests on nothing but
    the item's own habits. A setting that lost is put down with the rules that beat it.
    """
    said = [
        claimed(n, c.firing.rule, c.conclusion, _stands(c), Status.of(own(c.firing.rule)), c.values)
        for n, c in enumerate(claims)
    ]
    found = resolve_attribute(said, many, numeric)
    givers = [claims[n] for n in found.givers]
    if found.tie != NO:
        return Settled(None, Clashing(name, tuple(givers), say("left_unsettled", attribute=name)))
    values = found.spread.fixed
    if not values:
        return Settled(None)
    if found.supposed == NO:
        losers = [c.rule.id for c in said if not c.supposes and c.stands == YES and c.place not in found.givers]
        for loser in losers:
            for winner in givers:
                if loser not in winner.firing.defeated:
                    winner.firing.defeated.append(loser)
    rules = tuple(dict.fromkeys(c.firing.rule.id for c in givers))
    origin: Origin = "supposed" if found.supposed == YES else "derived"
    return Settled(Known(name, values, origin, rules, own=found.spread.own == YES))


def _stands(claim: Claim) -> Status:
    return Status.of(claim.firing.withdrawn_by is None)


def excluded_by(decision: Decision, claims: Iterable[Claim]) -> dict[str, list[Claim]]:
    """Candidate -> the standing claims that remove it, whatever its balance."""
    found: dict[str, list[Claim]] = {}
    for claim in claims:
        if claim.firing.withdrawn_by is not None or claim.conclusion.act not in MUSTS:
            continue
        for candidate in hit(decision, claim.conclusion, claim.values):
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
        for candidate in (str(v) for v in claim.values) if named_wish(claim.firing.rule, claim.conclusion) else ():
            if candidate in against and claim.firing.withdrawn_by is None:
                what = say("wish_left_out", decision=decision.name, candidate=candidate)
                found.append(Clashing(str(claim.conclusion.attribute), (claim, *against[candidate]), what))
    return found


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
    reasons = [_reason(decision, claim, item, own) for claim in claims]
    weighed = resolve_choice(decision, reasons, {c: (price, price) for c, price in cost.items()})
    tally = weighed.tally
    ledger = Ledger(
        excluded={c: [k.firing.rule.id for k in against[c]] for c in decision.candidates if c in against},
        entries=_entries(decision, reasons, claims, weighed),
        balance=tally.low,
        eligible={c for c, status in weighed.eligible.items() if status == YES},
        costs=cost,
        outweighed={c for c, status in weighed.outweighed.items() if status == YES},
    )
    if weighed.clash == YES:
        left = [c for c in decision.candidates if c in ledger.eligible and c not in ledger.excluded]
        ledger.clash = _nothing_left(decision, ledger.eligible, against, claims, left)
    ledger.chosen = [c for c in weighed.order if c in weighed.chosen.may]
    ledger.also_fits = [c for c in weighed.order if c not in weighed.chosen.may]
    if len(ledger.chosen) > 1:
        lead, second = ledger.chosen[:2]
        if tally.most[lead] < tally.most[second]:
            ledger.tie = say("tied_less_against", decision=decision.name, candidates=ledger.chosen)
        elif cost.get(lead, DEAREST) < cost.get(second, DEAREST):
            ledger.tie = say("tied_cheapest", decision=decision.name, candidates=ledger.chosen)
        else:
            ledger.tie = say("tied", decision=decision.name, candidates=ledger.chosen)
    return ledger


def _reason(decision: Decision, claim: Claim, item: Item | None, own: Callable[[Fact], bool]) -> Reason:
    """A claim as it is weighed."""
    match, ranks = claim.firing.match, item is not None and decision.name in item.ranks
    return reason(
        claim.firing.rule,
        claim.conclusion,
        _stands(claim),
        tuple([(str(v), YES, YES) for v in claim.values]),
        Ranking(decision.name, [item] if item is not None and ranks else (), certain=True),
        lambda: Status.of(not match.absent and all(own(f) for f in match.facts)),
    )


def _entries(
    decision: Decision, reasons: Sequence[Reason], claims: Sequence[Claim], weighed: Weighed
) -> list[LedgerEntry]:
    """Every reason for and against every candidate, with what sets it aside; each rule once."""
    found: dict[tuple[str, str, str], LedgerEntry] = {}
    for r, claim in zip(reasons, claims, strict=True):
        act, counted = r.conclusion.act, {value: counted for value, _, counted in r.named}
        for candidate in hit(decision, r.conclusion, claim.values):
            key = r.rule.id, act, candidate
            if key in found:
                continue
            aside = _withdrawn(claim)
            if aside is None and counted.get(candidate) == NO:
                aside = IN_RANKING
            if aside is None and r.wish and weighed.outweighed[candidate] == YES:
                aside = OUTWEIGHED
            found[key] = LedgerEntry(
                candidate=candidate,
                act=act,
                strength="must" if act in MUSTS else STRENGTH_NAMES[r.conclusion.strength],
                rule=r.rule.id,
                because=r.conclusion.because or r.rule.because,
                concern=r.rule.concern,
                counts=aside is None,
                set_aside=aside,
            )
    return list(found.values())


def _withdrawn(claim: Claim) -> Saying | None:
    by = claim.firing.withdrawn_by
    return say("withdrawn", rule=by) if by else None


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
    claims: Sequence[Claim],
    inputs: Callable[[Claim], tuple[float, str | None, dict[str, str | float]]],
    name: str = "weight",
) -> Window:
    """Where all bounds on a quantity of this name meet.

    Must-bounds make the feasible window; the others narrow it in the order of their concern, and
    one that would leave nothing is set aside and says so. ``inputs`` gives a bound's value, its
    formula with numbers and the inputs of that formula.
    """
    drawn = [(claim, inputs(claim)) for claim in claims]
    found = resolve_window([Bound(c.firing.rule, c.conclusion.act, _stands(c), mm, mm) for c, (mm, _, _) in drawn])
    window = Window(feasible=(end(found.feasible[0]), end(found.feasible[1])))
    if found.clash == NO:
        window.low, window.high = end(found.ends[0]), end(found.ends[1])
        window.middle = found.middle.low if found.middle.something else None
    for (claim, (mm, formula, numbers)), fits in zip(drawn, found.fits, strict=True):
        rule, side = claim.firing.rule, claim.conclusion.act
        aside = _withdrawn(claim) or (NO_ROOM if fits == NO else None)
        at = window.low if side == "at least" else window.high
        clear = round(abs(mm - at), 3) if at is not None else 0.0
        view = BoundView(
            side=side,
            mm=mm,
            rule=rule.id,
            force=rule.force,
            because=rule.because,
            formula=formula,
            inputs=numbers,
            binding=aside is None and mm == at,
            clear_by_mm=clear if aside is None and found.clash == NO else None,
            set_aside=aside,
        )
        window.bounds.append(view)
    if found.clash == YES:
        ends = zip(("at least", "at most"), window.feasible, strict=True)
        musts = [(c, mm) for c, (mm, _, _) in drawn if c.firing.rule.force == "must" and _stands(c) == YES]
        sides = [next(c for c, mm in musts if c.conclusion.act == side and mm == at) for side, at in ends]
        window.clash = Clashing(name, tuple(sides), say("no_thickness"))
    else:
        window.bounds.sort(key=lambda b: (b.side, not b.binding, b.set_aside is not None, b.rule))
    return window

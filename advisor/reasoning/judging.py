"""How a second opinion is found: the same consultation, with the choices held to what is proposed.

Every point is judged by the ledger or window that the engine reckons under the other proposed points. Nothing
about leather is known here: reasons, bounds, cautions and outcomes are those of the rules that fired.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

from ..leather.units import ounces
from ..rulebase.house import House
from ..rulebase.models import VERDICTS as OUTCOME_VERDICTS
from ..rulebase.models import RuleBase, Value
from .advice import CautionView, LedgerEntry, OutcomeReason, RuleBaseName
from .concern import by_harm, concerning
from .consult import Consultation
from .facts import Answer
from .matching import Engine, Fact
from .network import wishes
from .report import caution_view, cautions_of, concluded, order_as, outcome_reason, unreckoned
from .review import (
    FINE,
    LABEL,
    SCHEMA,
    VERDICTS,
    Overall,
    Point,
    Proposal,
    Review,
    Suggestion,
    Thickness,
    Verdict,
)
from .settle import Firing
from .verdicts import overlap, rank, standing_of, verdict_of, within

_SIDES = ("at least", "at most")


def review(
    rulebase: RuleBase,
    answers: Mapping[str, Answer],
    proposal: Proposal,
    engine: Engine | None = None,
    house: House | None = None,
    points_only: bool = False,
) -> Review:
    """The second opinion on ``proposal`` for the job that ``answers`` describe.

    A wish for a tannage is no argument for it here, so it is left out of the answers. With ``points_only`` neither an
    order that keeps most of it is looked for nor what else is to be minded.
    """
    job = {name: answer for name, answer in answers.items() if name != "wished_tannage"}
    return _Judge(rulebase, job, engine, house).review(proposal, points_only)


class _Judge:
    """Judges proposals for one job. ``plain`` is the consultation without any proposal."""

    def __init__(
        self, rulebase: RuleBase, answers: Mapping[str, Answer], engine: Engine | None, house: House | None
    ) -> None:
        self.rulebase, self.answers, self.engine, self.house = rulebase, answers, engine, house
        self.plain = self._run({}, ())
        self.plain_reasons = concluded(self.plain).reasons
        self.plain_cautions = self.plain.cautions
        levels = rulebase.strata.node
        self.order = sorted((d.name for d in rulebase.choices()), key=lambda name: levels[name])

    def _run(self, held: Mapping[str, Value], label: Sequence[str]) -> Consultation:
        answers = dict(self.answers)
        if label:
            said = answers.get(LABEL, Answer(()))
            values = dict.fromkeys(v for v in (*said.values, *label) if v != "none")
            answers[LABEL] = Answer(tuple(values))
        return Consultation(self.rulebase, answers, self.engine, self.house, held=held)

    # -- the whole

    def review(self, proposal: Proposal, points_only: bool) -> Review:
        """The second opinion with, where something does not fit, the order that keeps most of it."""
        whole, item = self.plain, self.plain.item()
        found = concluded(whole)
        if found.no_order or item is None:
            open_yet = item is None or found.verdict == "undecided"
            verdict: Verdict = "cannot tell" if open_yet else "does not fit"
            points = [Point(name=n, said=proposal.words.get(n, ""), verdict=verdict) for n in proposal.points()]
            reasons, changed, not_said = found.reasons, None, dict[str, str]()
        else:
            run, points = self.judge(proposal)
            whole = self._run(run.held, proposal.label) if proposal.label else run
            found = concluded(whole)
            # What a point adds is told with the point.
            told = {(o.outcome, o.rule) for p in points for o in p.outcomes}
            reasons = [r for r in found.reasons if (r.outcome, r.rule) not in told]
            wanting = not points_only and any(p.verdict not in FINE for p in points)
            changed = self.suggestion(proposal) if wanting else None
            not_said = self._not_said(run, proposal)
        return Review(
            schema=SCHEMA,
            rulebase=RuleBaseName(name=self.rulebase.name, version=self.rulebase.version, sha256=self.rulebase.sha256),
            item=item.slug if item else None,
            outcome=found.outcome,
            outcome_reasons=reasons,
            overall=_overall(found.outcome, points),
            points=points,
            not_said=not_said,
            cautions=[] if points_only else cautions_of(whole, found.no_order),
            suggestion=changed,
        )

    def judge(self, proposal: Proposal) -> tuple[Consultation, list[Point]]:
        """Every point that was said, judged in one run in which all of them are held.

        What a label says of a leather is no argument for it, so choices are weighed without the label.
        """
        held: dict[str, Value] = {}
        if proposal.weight:
            held["weight"] = round((proposal.weight.low + proposal.weight.high) / 2, 3)
        barred = self._barred_by(proposal.label)
        for name in self.order:
            candidates = proposal.choices.get(name, ())
            if name in barred and not candidates:
                candidates = self._left(name, barred[name])
            if len(candidates) > 1:
                ledger = self._run(held, ()).ledgers[name]
                held[name] = min(candidates, key=lambda c: rank(ledger, c))
            elif candidates:
                held[name] = candidates[0]
        run = self._run(held, ())
        points = [
            self._choice(run, name, proposal)
            for name in self.order
            if name in proposal.choices and not _said_of_the_form(run, name, proposal)
        ]
        if proposal.weight:
            points.append(self._weight(run, proposal.weight))
        if proposal.count is not None or proposal.area is not None:
            points.append(self._amount(run, proposal))
        if proposal.label:
            points.append(self._label(self._run(held, proposal.label), proposal.label, barred))
        said = [p.model_copy(update={"said": proposal.words.get(p.name, "")}) for p in points]
        return run, said

    def _barred_by(self, label: Sequence[str]) -> dict[str, set[str]]:
        """Decision -> the candidates that the words of a label rule out."""
        found: dict[str, set[str]] = {}
        if label:
            for firing in self._about(self._run({}, label), LABEL, label):
                for c in firing.rule.then if firing.withdrawn_by is None else ():
                    if c.act == "exclude":
                        found.setdefault(c.target, set()).update(map(str, c.values))
        return found

    def _left(self, name: str, barred: Collection[str]) -> tuple[str, ...]:
        """The candidates that a label leaves."""
        return tuple(c for c in self.rulebase.decisions[name].candidates if c not in barred)

    def _not_said(self, run: Consultation, proposal: Proposal) -> dict[str, str]:
        said = proposal.points()
        found = {}
        for name in self.order:
            chosen, _ = run.offered(name)
            if name not in said and chosen:
                found[name] = chosen[0]
        if "weight" not in said and (band := order_as(run.window)):
            found["weight"] = band
        return found

    def suggestion(self, proposal: Proposal) -> Suggestion | None:
        """The order that keeps most points, each judged anew; None where not even the engine's own stands."""
        names = proposal.points()
        for size in range(len(names), -1, -1):
            found = []
            for kept in combinations(names, size):
                if "form" in names and "amount" in kept and "form" not in kept:
                    # Two panels are no two sides.
                    continue
                run, points = self.judge(proposal.only(kept))
                if all(p.verdict in FINE for p in points) and (made := self._order(run, proposal.only(kept), names)):
                    found.append((sum(p.verdict == "fits" for p in points), made))
            if found:
                return max(found, key=lambda pair: pair[0])[1]
        return None

    def _order(self, run: Consultation, kept: Proposal, names: Sequence[str]) -> Suggestion | None:
        """The run as a whole order, if that order stands when it is judged itself."""
        choices = {name: run.offered(name)[0][0] for name in self.order if run.offered(name)[0]}
        low, high = run.window.low, run.window.high
        counts = {f.form: f.count for f in run.buying().forms() if f.fits}
        if len(choices) < len(self.order) or low is None or high is None:
            return None
        if kept.weight:
            fitting = overlap(kept.weight, low, high) or overlap(kept.weight, *run.window.feasible)
            low, high = fitting or (low, high)
        count = kept.count or counts.get(choices["form"], 1)
        whole = Proposal({n: (c,) for n, c in choices.items()}, Thickness(low, high), count, None, kept.label)
        _, points = self.judge(whole)
        if any(p.verdict not in FINE for p in points):
            return None
        band = order_as(replace(run.window, low=low, high=high)) or ""
        return Suggestion(
            kept=kept.points(),
            changed=[n for n in names if n not in kept.points()],
            choices=choices,
            low_mm=low,
            high_mm=high,
            order_as=band,
            count=count,
            verdicts={p.name: p.verdict for p in points},
        )

    # -- point by point

    def _choice(self, run: Consultation, name: str, proposal: Proposal) -> Point:
        ledger, judged = run.ledgers[name], str(run.held[name])
        verdicts = {c: verdict_of(ledger, c) for c in proposal.choices[name]}
        standing, behind = standing_of(ledger, judged)
        lead = ledger.chosen[0] if ledger.chosen else None
        raised = self._raised(run, name, (judged,))
        if standing == "outweighed" and not self._outweighed_if_asked_for(name, judged):
            standing, verdicts[judged] = "not usual", "fits with reservations"
        verdict = _worst(verdicts[judged], raised)
        verdicts[judged] = verdict
        return Point(
            name=name,
            said="",
            verdict=verdict,
            candidates=verdicts,
            judged=judged,
            standing=standing,
            behind=behind,
            ledger=[e for e in ledger.entries if e.candidate in (*verdicts, lead) and not e.withdrawn],
            outcomes=raised,
            remedies=self._remedies(ledger.excluded.get(judged, []), raised),
            cautions=self._cautions(run, name, (judged,)),
            nearest=lead if verdict != "fits" and lead != judged else None,
        )

    def _outweighed_if_asked_for(self, name: str, candidate: str) -> bool:
        """Whether more speaks against a leather than for it even where somebody has asked for it by name.

        Some rules speak only of what is usual, while nobody asks; the wish itself is no argument.
        """
        named = [w for w in wishes(self.rulebase) if candidate in self.rulebase.attributes[w].values]
        if not named:
            return True
        answers = {**self.answers, **{w: Answer((candidate,)) for w in named}}
        return candidate in Consultation(self.rulebase, answers, self.engine, self.house).ledgers[name].outweighed

    def _weight(self, run: Consultation, offered: Thickness) -> Point:
        window, raised = run.window, self._raised(run, "weight", ())
        low, high = window.low, window.high
        bounds = [b for b in window.bounds if b.set_aside is None]
        live = [(b, (b.mm - offered.low) if b.side == "at least" else (offered.high - b.mm)) for b in bounds]
        broken = [(b, off) for b, off in live if off > offered.slack]
        fitting: tuple[float, float] | None = None
        verdict: Verdict
        if window.clash or not bounds:
            verdict = "does not fit" if window.clash else "cannot tell"
        elif within(offered, low, high):
            verdict = "fits"
            fitting = overlap(offered, low, high)
        else:
            fitting = overlap(offered, low, high) or overlap(offered, *window.feasible)
            verdict = "fits with reservations" if fitting else "does not fit"
        if verdict == "fits":
            shown, off = [b for b in bounds if b.binding], 0.0
        else:
            # Firm bounds first, and of several the one that is missed by most.
            broken.sort(key=lambda pair: (pair[0].force != "must", -pair[1]))
            firm = [pair for pair in broken if pair[0].force == "must"]
            shown = [b for b, _ in (firm if firm and not fitting else broken)]
            if fitting:
                # What holds the part that fits is the bound that is missed by most on each side.
                ends = [max((p for p in broken if p[0].side == s), key=lambda p: p[1], default=None) for s in _SIDES]
                shown = [end[0] for end in ends if end]
            off = max((o for b, o in broken if b in shown), default=0.0)
        middle, nearest = (offered.low + offered.high) / 2, None
        if verdict != "fits" and not window.clash and not overlap(offered, low, high):
            nearest = low if low is not None and middle < low else high if high is not None and middle > high else None
        return Point(
            name="weight",
            said="",
            verdict=_worst(verdict, raised),
            low_mm=offered.low,
            high_mm=offered.high,
            window_mm=(low, high),
            feasible_mm=window.feasible,
            fitting_mm=fitting,
            bounds=shown,
            off_mm=round(off, 2),
            off_oz=round(ounces(off), 2),
            outcomes=raised,
            remedies=[] if verdict == "fits" else self._remedies([b.rule for b in shown if b.force == "must"], ()),
            cautions=self._cautions(run, "weight", ()),
            nearest_mm=nearest,
        )

    def _amount(self, run: Consultation, proposal: Proposal) -> Point:
        chosen, _ = run.offered("form")
        form = chosen[0] if chosen else None
        count = next((f for f in run.buying().forms() if f.form == form), None)
        if count is None or form is None:
            why = run.buying().failed or unreckoned(run)
            return Point(name="amount", said="", verdict="cannot tell", form=form, why_not=why)
        if not count.fits:
            return Point(name="amount", said="", verdict="does not fit", form=form, why_not=count.why_not)
        missing = max(0, count.count - proposal.count) if proposal.count is not None else 0
        one = (count.gross_dm2 + count.leftover_dm2) / count.count
        short = max(0.0, count.gross_dm2 - proposal.count * one) if missing and proposal.count is not None else 0.0
        if proposal.area is not None:
            short = max(short, count.gross_dm2 - proposal.area, 0.0)
        return Point(
            name="amount",
            said="",
            verdict="does not fit" if missing or short else "fits",
            form=form,
            needed=count.count,
            needed_dm2=round(count.gross_dm2, 2),
            short_dm2=round(short, 2),
            nearest=str(count.count) if missing else None,
        )

    def _label(self, run: Consultation, label: Sequence[str], barred: Mapping[str, Collection[str]]) -> Point:
        """The words of the seller, judged by what the rules that read them conclude."""
        raised = self._raised(run, LABEL, label)
        fired = [f for f in self._about(run, LABEL, label) if f.withdrawn_by is None]
        cautions = self._cautions(run, LABEL, label)
        verdict: Verdict = "fits with reservations" if any(c.severity != "note" for c in cautions) else "fits"
        for name, gone in barred.items():
            ledger = self.plain.ledgers[name]
            if {*ledger.chosen, *ledger.also_fits} <= set(gone):
                verdict = "does not fit"
            elif set(ledger.chosen) <= set(gone) and verdict == "fits":
                verdict = "fits with reservations"
        # A must that names a remedy says: take something else.
        if any(c.act == "outcome" and f.rule.force == "must" and f.rule.remedies for f in fired for c in f.rule.then):
            verdict = "does not fit"
        verdict = _worst(verdict, raised)
        entries = [
            LedgerEntry(
                candidate=", ".join(map(str, c.values)),
                act="exclude",
                strength="must",
                rule=f.rule.id,
                because=f.rule.because,
                concern=f.rule.concern,
            )
            for f in fired
            for c in f.rule.then
            if c.act == "exclude"
        ]
        rules = [f.rule.id for f in fired] if verdict != "fits" else []
        return Point(
            name="label",
            said="",
            verdict=verdict,
            ledger=entries,
            outcomes=raised,
            cautions=cautions,
            remedies=self._remedies(rules, ()),
        )

    # -- what a point brings with it

    def _about(self, run: Consultation, name: str, values: Sequence[str]) -> Iterator[Firing]:
        """The firings that matched a proposed fact; without ``values``, any fact of that name."""

        def proposed(fact: Fact) -> bool:
            return fact[0] in (name, f"{name}_offered") and (not values or fact[1] in values)

        for fired in run.firings.values():
            yield from (f for f in fired if any(proposed(fact) for fact in f.match.facts))

    def _cautions(self, run: Consultation, name: str, values: Sequence[str]) -> list[CautionView]:
        """The cautions that this point adds to those of the job."""
        concerns = concerning(self.rulebase, run.values, run.cautions, (), barred=False)
        found: dict[str, CautionView] = {}
        for firing in self._about(run, name, values):
            for c in firing.rule.then:
                if c.act == "caution" and c.target not in {*found, *self.plain_cautions}:
                    rules = (f.rule.id for f in run.cautions[c.target])
                    found[c.target] = caution_view(self.rulebase, c.target, rules, "applies", c.target in concerns)
        return [found[name] for name in by_harm(self.rulebase, found)]

    def _raised(self, run: Consultation, name: str, values: Sequence[str]) -> list[OutcomeReason]:
        """The outcomes that this point adds to those the job has anyway."""
        found = [
            outcome_reason(f.rule, c.target)
            for f in self._about(run, name, values)
            if f.withdrawn_by is None
            for c in f.rule.then
            if c.act == "outcome"
        ]
        new = {(r.outcome, r.rule): r for r in found if r not in self.plain_reasons}
        return sorted(new.values(), key=lambda r: OUTCOME_VERDICTS.index(r.verdict))

    def _remedies(self, rules: Sequence[str], raised: Sequence[OutcomeReason]) -> list[str]:
        ids = dict.fromkeys([*rules, *(r.rule for r in raised)])
        return list(dict.fromkeys(way for rule in ids for way in self.rulebase.rules[rule].remedies))


def _said_of_the_form(run: Consultation, name: str, proposal: Proposal) -> bool:
    """Whether one word named both where it is cut from and what is bought, and rules speak of the second alone."""
    both = proposal.choices.get("cut") == proposal.choices.get("form")
    return name == "cut" and both and standing_of(run.ledgers[name], str(run.held[name]))[0] == "unknown"


def _overall(outcome: str | None, points: Sequence[Point]) -> Overall:
    verdicts = [p.verdict for p in points]
    if outcome in ("refuse", "another_material", "defer") or "does not fit" in verdicts:
        return "do not buy"
    if not verdicts or "cannot tell" in verdicts:
        return "cannot tell"
    sure = outcome == "ok" and all(p.verdict == "fits" and not p.mixed for p in points)
    return "buy" if sure else "buy, but"


def _worst(verdict: Verdict, raised: Sequence[OutcomeReason]) -> Verdict:
    """The verdict, lowered by what the point adds to the outcome."""
    found = [verdict]
    for reason in raised:
        found.append("fits with reservations" if reason.outcome == "ok_with_conditions" else "does not fit")
    return max(found, key=VERDICTS.index)

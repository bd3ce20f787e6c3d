"""A worked-through consultation as advice: values only, in a fixed order.

Nothing is decided here. Every entry names the rule it comes from; sentences for a person are made
elsewhere from what stands here.
"""

from __future__ import annotations

from collections.abc import Container, Iterable
from decimal import ROUND_HALF_UP, Decimal
from functools import cache, partial
from typing import TYPE_CHECKING, Literal, NamedTuple

from ..codes import Param, Saying, say
from ..leather.cutting import FormCount
from ..leather.pieces import MAIN_PARTS, net_area
from ..leather.price import CENT, Quote, net_cost
from ..leather.showing import layers
from ..leather.stack import zone_thickness
from ..leather.units import show_weight
from ..rulebase.models import (
    ANSWERED,
    CONDITIONS,
    NO_ORDER,
    PATTERN_KINDS,
    VERDICTS,
    WITHHELD,
    Attribute,
    Rule,
    RuleBase,
    Value,
)
from ..rulebase.strata import node_of
from . import advice as view
from .concern import by_harm, concerning, may_concern, practice_matters
from .evidence import evidence
from .facts import fact_stated, listed
from .order_lines import order_lines
from .parts import PartLeather
from .possibility import Possibility
from .relevance import live_questions
from .settle import Clashing, Contradiction, Firing, Window
from .spread import Status

if TYPE_CHECKING:
    from .consult import Consultation


def report(run: Consultation) -> view.Advice:
    """The advice that a consultation came to."""
    return _Report(run).advice()


class _Report:
    """Gathers the parts of one advice."""

    def __init__(self, run: Consultation) -> None:
        self.run, self.rulebase = run, run.rulebase

    def advice(self) -> view.Advice:
        """Everything that was found."""
        found, barred = concluded(self.run), self.run.barred
        self.why_none = _WHY_NONE.get(found.verdict or "")
        decisions = {d.name: self._choice(d.name, barred) for d in self.rulebase.choices()}
        return view.Advice(
            schema=view.SCHEMA,
            rulebase=view.RuleBaseName(
                name=self.rulebase.name, version=self.rulebase.version, sha256=self.rulebase.sha256
            ),
            outcome=found.outcome,
            outcome_reasons=found.reasons,
            facts=self._fact_views(),
            decisions=view.Decisions(**decisions, weight=self._weight(barred), amount=self._amount(barred)),
            order=view.Order()
            if barred
            else view.Order(lines=order_lines(self.run, self._line_cost), parts=[_part(p) for p in self.run.parts]),
            stacks=[] if barred else self._stacks(),
            basket=[] if barred else self._basket(),
            cautions=[],
            conflicts=[self._conflict(c) for c in self.run.conflicts],
            open_questions=[],
            trace=[],
        ).waiting(
            {
                "cautions": partial(cautions_of, self.run, barred),
                "cautions_told": cache(partial(cautions_told, self.run, barred)),
                "open_questions": self._questions,
                "dangers": cache(self._dangers),
                "trace": lambda: [self._trace_step(f) for f in self.run.in_order()],
                "evidence": lambda: evidence(self.run.proof),
            }
        )

    def _unsettled(self) -> Saying:
        return say("thing_unknown") if self.run.item() is None else say("nothing_speaks")

    def _choice(self, name: str, barred: bool) -> view.Choice:
        ledger = self.run.ledgers[name]
        chosen, also_fits = self.run.offered(name)
        why = None
        if barred:
            why = self.why_none
        elif not chosen:
            why = say("reasons_clash") if ledger.clash else self._unsettled()
        return view.Choice(
            chosen=[] if barred else chosen,
            also_fits=[] if barred else also_fits,
            excluded=ledger.excluded,
            ledger=ledger.entries,
            tie=ledger.tie if chosen is ledger.chosen and not barred else None,
            open=why,
        )

    def _weight(self, barred: bool) -> view.Weight:
        w = self.run.window
        if barred:
            return view.Weight(
                low_mm=None, high_mm=None, order_as=None, feasible_mm=(None, None), bounds=[], open=self.why_none
            )
        band = order_as(w)
        ways_out = []
        for claim in sorted(w.clash.claims, key=lambda c: c.firing.rule.item is not None) if w.clash else ():
            without = claim.firing.rule.id
            other = self.run.window_without(without)
            then = order_as(other)
            if then is not None and other.low is not None and other.high is not None:
                ways_out.append(view.WayOut(without=without, order_as=then, low_mm=other.low, high_mm=other.high))
        why = None
        if w.clash:
            why = say("bounds_clash")
        elif band is None:
            why = self._unsettled()
        return view.Weight(
            low_mm=w.low,
            high_mm=w.high,
            order_as=band,
            feasible_mm=w.feasible,
            bounds=w.bounds,
            ways_out=ways_out,
            open=why,
        )

    def _amount(self, barred: bool) -> view.Amount:
        item = self.run.item()
        why = self.why_none if barred else None
        if barred or item is None or not self.run.pieces:
            if why is None:
                why = unreckoned(self.run) or self._unsettled()
            return view.Amount(net_area_dm2=None, gross_area_dm2=None, pieces=[], parts={}, forms=[], open=why)
        excluded = self.run.ledgers["form"].excluded
        spare = int(self.run.known["spare"].values[0]) if "spare" in self.run.known else 0
        buying = self.run.market
        quotes = buying.quotes()
        with_spare = buying.quotes(spare) if spare else {}
        forms = []
        for f in buying.forms():
            ruled_out = sorted(excluded.get(f.form, []), key=lambda r: self.rulebase.rules[r].standing())
            because = self._rule_says(ruled_out[0]) if ruled_out and f.fits else f.why_not
            forms.append(
                view.FormView(
                    form=f.form,
                    count=f.count,
                    fits=f.fits and not ruled_out,
                    why_not=because,
                    gross_dm2=round(f.gross_dm2, 2),
                    leftover_dm2=round(f.leftover_dm2, 2),
                    how=f.how,
                    cost=self._cost(f, quotes.get(f.form), with_spare.get(f.form)),
                )
            )
        chosen, _ = self.run.offered("form")
        gross = next((f.gross_dm2 for f in forms if chosen and f.form == chosen[0]), None)
        quantity = self.run.known["quantity"].values[0] if "quantity" in self.run.known else 1.0
        main = [p for p in self.run.pieces if p.part in MAIN_PARTS]
        net = round(net_area(main) * float(quantity), 2) if main else None
        return view.Amount(
            net_area_dm2=net,
            gross_area_dm2=gross,
            pieces=self._pieces(),
            forms=forms,
            parts={name: part.what for name, part in item.parts.items()},
            prices=self._price_list(),
            open=buying.failed,
        )

    def _pieces(self) -> list[view.PieceView]:
        return [
            view.PieceView(
                name=p.name,
                part=p.part,
                count=p.count,
                length_mm=round(p.length_mm, 1),
                width_mm=round(p.width_mm, 1),
                formula=formula,
            )
            for p, formula in zip(self.run.pieces, self.run.piece_formulas, strict=True)
        ]

    def _rule_says(self, rule: str) -> Saying:
        return say("rule_says", rule=rule, because=self.rulebase.rules[rule].because)

    def _price_list(self) -> Saying | None:
        house = self.run.house
        if house is None:
            return None
        return say("invented_prices", house=house.name) if house.invented else say("prices", house=house.name)

    def _cost(self, count: FormCount, money: Quote | None, with_spare: Quote | None) -> view.CostView | None:
        if count.relative_cost is None:
            return None
        index = round(count.relative_cost, 2)
        if money is None or money.total is None:
            return view.CostView(index=index, why_not=money.why_not if money else None)
        quantity = Decimal(int(self.run.known["quantity"].values[0]))
        bought = count.gross_dm2 + count.leftover_dm2
        used_up = net_cost(money.total, count.leftover_dm2, bought, self._offcut_worth())
        return view.CostView(
            index=index,
            total=str(money.total),
            currency=money.currency,
            per_item=str((money.total / quantity).quantize(CENT, ROUND_HALF_UP)) if quantity > 1 else None,
            with_spare=str(with_spare.total) if with_spare and with_spare.total is not None else None,
            after_offcuts=str(used_up) if used_up < money.total else None,
        )

    def _offcut_worth(self) -> float:
        """The share of its price that leftover leather is worth to the maker; the least where it is not known whose."""
        rows = self.run.rulebase.attributes["experience"].rows.get("offcut_worth", {})
        worth = {k: float(v) for k, v in rows.items()}
        known = self.run.known.get("experience")
        return worth.get(str(known.values[0]), 0.0) if known and known.values else min(worth.values(), default=0.0)

    def _line_cost(self, count: FormCount, money: Quote | None) -> view.CostView | None:
        return self._cost(count, money, None)

    def _stacks(self) -> list[view.StackView]:
        weight = self.run.known.get("weight")
        if weight is None:
            return []
        mm = float(weight.values[0])
        limits = {"sewn": self.run.known.get("sew_max"), "closed": self.run.known.get("closed_max")}
        found = []
        for zone in self.run.zones:
            limit = limits.get(zone.kind)
            found.append(
                view.StackView(
                    zone=zone.name,
                    kind=zone.kind,
                    mm=round(zone_thickness(zone, mm), 2),
                    formula=layers(zone, mm),
                    limit_mm=float(limit.values[0]) if limit and limit.values else None,
                )
            )
        return found

    def _basket(self) -> list[view.BasketLine]:
        found = []
        for name, attribute in self.rulebase.attributes.items():
            known = self.run.known.get(name)
            if attribute.group == "basket" and known and known.values and known.values[0] != 0:
                meaning = attribute.values[str(known.values[0])].means if attribute.values else ""
                found.append(
                    view.BasketLine(
                        what=name,
                        value=meaning or float(known.values[0]),
                        unit=attribute.unit,
                        formula=known.formula or ", ".join(known.rules),
                        basis=attribute.basis,
                    )
                )
        return found

    def _fact_views(self) -> dict[str, view.FactView]:
        found: dict[str, view.FactView] = {}
        for name, attribute in self.rulebase.attributes.items():
            if attribute.kind in PATTERN_KINDS:
                continue
            answer, known = self.run.answers.get(name), self.run.known.get(name)
            if known is None:
                if answer is not None:
                    found[name] = view.FactView(
                        value=None, unit=attribute.unit, origin=answer.origin, state=answer.state
                    )
                continue
            many = attribute.kind == "set"
            value: str | float | list[str] = [str(v) for v in known.values] if many else known.values[0]
            found[name] = view.FactView(
                value=value,
                unit=attribute.unit,
                origin=known.origin,
                rule=known.rules[0] if known.rules else None,
                state="don't know" if answer is not None and answer.state == "don't know" else "known",
                formula=known.formula,
            )
        return found

    def _reason(self, firing: Firing, says: str | None = None) -> view.ConflictReason:
        return view.ConflictReason(
            rule=firing.rule.id,
            says=says or "; ".join(c.text for c in firing.rule.then),
            because=firing.rule.because,
            facts=self._matched(firing),
        )

    def _conflict(self, clashing: Clashing | Contradiction) -> view.Conflict:
        if isinstance(clashing, Contradiction):
            clash = clashing.clash
            return view.Conflict(
                about=clash.between,
                reasons=[self._reason(f) for f in clashing.firings],
                resolutions=[say("rule_way", way=w) for w in clash.resolutions],
                outcome=say("declared_clash", clash=clash.id),
            )
        reasons = [self._reason(c.firing, c.conclusion.text) for c in clashing.claims]
        # What the person can do about a rule comes before giving up the item.
        claims = sorted(clashing.claims, key=lambda c: c.firing.rule.item is not None)
        ways = [*clashing.ways, *(say("rule_way", way=way) for c in claims for way in c.firing.rule.remedies)]
        matched = dict.fromkeys(n for c in clashing.claims for n, _ in c.firing.match.facts)
        behind = dict.fromkeys(a for n in matched for a in self._answers_behind(n))
        ways += [
            say("change_answer", **fact_stated(a, self.run.answers[a].values, self.rulebase.attributes.get(a)))
            for a in behind
        ]
        ways += [clashing.answered] if clashing.answered else []
        unlike = list({str(way): way for way in ways}.values())
        return view.Conflict(
            about=clashing.about, reasons=reasons, resolutions=unlike or [say("say_more")], outcome=clashing.outcome
        )

    def _answers_behind(self, name: str, seen: frozenset[str] = frozenset()) -> list[str]:
        """The answers, but for the item itself, that a fact goes back to."""
        node = node_of(name)
        if node in seen or node == "item":
            return []
        if node in self.run.answers:
            return [node]
        known = self.run.known.get(node)
        attribute = self.rulebase.attributes.get(node)
        before = [o for o in attribute.inputs.values() if "." not in o] if attribute and known and known.formula else []
        for rule in known.rules if known and known.origin != "computed" else ():
            before += [n for f in self.run.firings.get(rule, ()) for n, _ in f.match.facts]
        return list(dict.fromkeys(a for b in before for a in self._answers_behind(b, seen | {node})))

    def _matched(self, firing: Firing) -> list[Saying]:
        by_name: dict[str, list[Value]] = {}
        for name, value in firing.match.facts:
            by_name.setdefault(name, []).append(value)
        found = []
        for name, values in by_name.items():
            known, attribute = self.run.known.get(name), self.rulebase.attributes.get(name)
            more: dict[str, Param] = {"origin": _SAID.get(known.origin, known.origin)} if known else {}
            if known and known.formula and attribute and attribute.numeric:
                more["formula"] = known.formula
            named = attribute or self.rulebase.decisions.get(node_of(name))
            found.append(say("fact", **fact_stated(name, values, named), **more))
        return found

    def _dangers(self) -> list[view.DangerQuestion]:
        asked = [(self.rulebase.attributes[name], because) for name, because in open_dangers(self.run).items()]
        return [view.DangerQuestion(a.name, a.question, because, _values(a)) for a, because in asked]

    def _questions(self) -> list[view.OpenQuestion]:
        """What nobody answered and can still change the advice; first what closes a danger, "don't know" or not."""
        live = live_questions(self.run.possible)
        dangers = open_dangers(self.run)
        others = sorted(live.keys() - dangers.keys(), key=lambda n: question_order(self.rulebase, n))
        found = []
        for name in (*dangers, *others):
            attribute, known, danger = self.rulebase.attributes[name], self.run.known.get(name), dangers.get(name)
            if name in self.run.answers and danger is None:
                continue
            supposed = listed(known.values, attribute.unit) if known and known.values and not danger else None
            found.append(
                view.OpenQuestion(
                    attribute=name,
                    question=attribute.question,
                    help=attribute.help,
                    supposed=supposed,
                    affects=sorted(live.get(name, {"outcome"})),
                    danger=danger,
                    values=_values(attribute),
                )
            )
        return found

    def _trace_step(self, firing: Firing) -> view.TraceStep:
        rule = firing.rule
        absent = []
        for test in firing.match.absent:
            if test.operator != "known":
                absent.append(say("lacks", attribute=test.attribute, value=test.values[0]))
            elif test.attribute.endswith(ANSWERED):
                absent.append(say("unanswered", attribute=node_of(test.attribute)))
            else:
                absent.append(say("unknown", attribute=test.attribute))
        return view.TraceStep(
            step=firing.step,
            stratum=firing.stratum,
            rule=rule.id,
            force=rule.force,
            concern=rule.concern,
            matched=self._matched(firing),
            absent=absent,
            concluded=[c.text for c in rule.then],
            defeated=firing.defeated,
            withdrawn_by=firing.withdrawn_by,
            because=rule.because,
            basis=rule.basis,
            source=list(rule.source),
            contested=rule.contested or None,
            relevant=firing.withdrawn_by is None and practice_matters(self.run, rule) if rule.contested else None,
        )


def _part(part: PartLeather) -> view.PartDecision:
    """What was settled for one leather besides the main one."""
    choices = {
        decision: view.Choice(
            chosen=ledger.chosen,
            also_fits=ledger.also_fits,
            excluded=ledger.excluded,
            ledger=ledger.entries,
            tie=ledger.tie,
            open=None if ledger.chosen else say("reasons_clash"),
        )
        for decision, ledger in part.choices.items()
    }
    return view.PartDecision(
        part=part.spec.name,
        role=part.spec.role,
        tannage=choices.get("tannage"),
        species=choices.get("species"),
        low_mm=part.window.low,
        high_mm=part.window.high,
        bounds=part.window.bounds,
    )


def _values(attribute: Attribute) -> list[str]:
    """The answers to choose from; of things there are too many."""
    return list(attribute.values) if attribute.name != "item" else []


class Concluded(NamedTuple):
    """What a consultation comes to as a whole: the verdict, and the rules behind it, the strongest first."""

    reasons: list[view.OutcomeReason]
    verdict: str | None

    @property
    def outcome(self) -> view.Outcome | None:
        """The outcome as an advice says it."""
        outcome: view.Outcome | None = _OUTCOMES.get(self.verdict or "", self.verdict)  # type: ignore[assignment]
        return outcome

    @property
    def no_order(self) -> bool:
        """Whether the verdict lets no order stand."""
        return self.verdict in NO_ORDER


def concluded(run: Consultation) -> Concluded:
    """The outcome, with the rules behind it; without any, with what could not be met together."""
    found = [outcome_reason(f.rule, outcome) for f, outcome in run.outcomes]
    found = list({(r.outcome, r.rule): r for r in found}.values())
    found.sort(key=lambda r: VERDICTS.index(r.verdict))
    if not found and run.item() is not None:
        found = [
            view.OutcomeReason(outcome=CONDITIONS, rule=k.firing.rule.id, because=k.firing.rule.because)
            for c in run.clashing_decisions()
            for k in c.claims
        ]
    return Concluded(found, run.verdict)


def cautions_of(run: Consultation, barred: bool) -> list[view.CautionView]:
    """Those that apply, then those not ruled out, each by harm, with every rule that raises or may raise it."""
    return _cautions(run, barred, run.possible, run.rulebase.cautions)


def cautions_told(run: Consultation, barred: bool) -> list[view.CautionView]:
    """Those that apply, and of those not ruled out the ones that this thing can meet; no other is looked at."""
    rulebase = run.rulebase
    among = may_concern(rulebase, run.values, (name for name in rulebase.cautions if name not in run.cautions))
    raising: list[tuple[Rule, str]] = rulebase.once("raising", _raising)
    rules = [rule for rule, caution in raising if caution in among]
    found = _cautions(run, barred, run.possible_for(rules), among)
    return [c for c in found if c.status == "applies" or c.relevant]


def _cautions(run: Consultation, barred: bool, possible: Possibility, among: Container[str]) -> list[view.CautionView]:
    """Those that apply, then those ``among`` the others that are not ruled out."""
    rulebase, applies = run.rulebase, run.cautions
    not_ruled_out: dict[str, list[Rule]] = {}
    raising: list[tuple[Rule, str]] = rulebase.once("raising", _raising)
    for rule, caution in raising:
        if caution not in applies and caution in among and possible.status(rule) != Status.NO:
            not_ruled_out.setdefault(caution, []).append(rule)
    concerns = concerning(rulebase, run.values, applies, not_ruled_out, barred)
    return [
        caution_view(rulebase, name, (f.rule.id for f in applies[name]), "applies", name in concerns)
        for name in by_harm(rulebase, applies)
    ] + [
        caution_view(
            rulebase,
            name,
            [r.id for r in rules],
            "not ruled out",
            name in concerns,
            dict.fromkeys(n for r in rules for n in possible.open_premises(r)),
        )
        for name in by_harm(rulebase, not_ruled_out)
        for rules in [not_ruled_out[name]]
    ]


def outcome_reason(rule: Rule, outcome: str) -> view.OutcomeReason:
    """A rule behind an outcome; a deferral says whether an order is shown all the same."""
    shown: Literal["withheld", "shown"] = "withheld" if rule.verdict(outcome) == WITHHELD else "shown"
    return view.OutcomeReason(
        outcome=outcome, rule=rule.id, because=rule.because, order=shown if outcome == "defer" else None
    )


def open_dangers(run: Consultation) -> dict[str, str]:
    """Questions that a raised danger waits for, as their rules are declared, with the reason of each rule.

    There are none where leather is refused anyway.
    """
    fired = (run.firings[rule][0] for rule in run.rulebase.rules if rule in run.firings)
    standing = [f.rule for f in fired if f.withdrawn_by is None]
    if any(c.act == "outcome" and c.target == "refuse" for rule in standing for c in rule.then):
        return {}
    found: dict[str, str] = {}
    for waiting in standing:
        found |= dict.fromkeys(set(waiting.waits_for) - found.keys(), waiting.because)
    return found


def caution_view(
    rulebase: RuleBase,
    caution_id: str,
    rules: Iterable[str],
    status: view.Status,
    relevant: bool,
    depends_on: Iterable[str] = (),
) -> view.CautionView:
    """A caution as it is handed on, with the rules that raise it and whether it concerns the thing."""
    c = rulebase.cautions[caution_id]
    places: dict[str, int] = rulebase.once("standing", _standing)
    names = sorted({*rules}, key=places.__getitem__)
    return view.CautionView(
        id=c.id,
        severity=c.severity,
        status=status,
        relevant=relevant,
        about=c.about,
        text=c.say,
        defer_to=c.defer_to,
        rule=names[0],
        depends_on=list(depends_on),
        rules=names,
    )


def _raising(rulebase: RuleBase) -> list[tuple[Rule, str]]:
    """Rules with the cautions they raise, those of most weight first."""
    rules = sorted(rulebase.rules.values(), key=Rule.standing)
    return [(rule, c.target) for rule in rules for c in rule.then if c.act == "caution"]


def _standing(rulebase: RuleBase) -> dict[str, int]:
    """Rule -> its place among rules that say the same."""
    return {rule.id: place for place, rule in enumerate(sorted(rulebase.rules.values(), key=Rule.standing))}


def unreckoned(run: Consultation) -> Saying | None:
    """What keeps the pieces or a sum from being reckoned: the sizes that are not known, else the first that fails."""
    failed = run.not_computed.values()
    sizes = dict.fromkeys(str(s.params["attribute"]) for s in failed if s.code == "size_unknown")
    return say("sizes_unknown", attributes=list(sizes)) if sizes else next(iter(failed), None)


def order_as(window: Window) -> str | None:
    """The whole-ounce band to ask for, with the window in mm rounded inward to a tenth."""
    if window.low is None or window.high is None:
        return None
    return show_weight(window.low, window.high, "inch")


_SAID = {"answered": "said", "read": "said"}
_WHY_NONE = {
    "refuse": say("no_leather"),
    "another_material": say("no_leather"),
    WITHHELD: say("somebody_decides"),
    "undecided": say("danger_open"),
}
_OUTCOMES = {WITHHELD: "defer", "undecided": None}
GROUPS = ("job", "size", "load", "flex", "wet", "finish", "make", "people", "limits", "basket")


def question_order(rulebase: RuleBase, name: str) -> tuple[int, int, int, int]:
    """The item first, then early questions before later ones, by subject, then as declared."""
    attribute = rulebase.attributes[name]
    return (name != "item", attribute.ask != "first", GROUPS.index(attribute.group), attribute.order)

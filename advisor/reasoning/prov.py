"""A consultation as W3C provenance: who said what, which rule made what of it, and what became of it.

Rules are plans that the engine followed; answers, suppositions, computed values, conclusions, bounds,
decisions and cautions are entities; each application of a rule is an activity that used its premises
and what was absent. What was withdrawn or set aside stays, with what beat it. No person is named and
no clock is read, so equal advice gives equal bytes. Nothing is concluded here.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from ..codes import Saying
from ..leather.formulas import FORMULAS
from ..rulebase.models import ANSWERED, PATTERN_KINDS, Kind, Rule, Value
from ..rulebase.patterns import sizes_read
from ..rulebase.strata import node_of
from .advice import LedgerEntry
from .consult import Consultation
from .facts import Answer, Known
from .interview import Stop
from .matching import Test
from .prov_json import Document, Name
from .record import Said, Turn, canonical, said_of
from .report import report
from .settle import Firing

_SAID = ("answered", "read")
_STATES = {"known": "adv:Told", "don't know": "adv:Open", "does not apply": "adv:NotApplicable"}
# What a preference withdraws; cautions and what was noted of a conflict stand all the same.
_STANDS = ("caution", "clash")
_BUNDLES = {"what-if": "WhatIf", "case": "Case"}


@dataclass(frozen=True, slots=True)
class Alternative:
    """An order that was looked at and not taken: a what-if, or one case of what nobody knows.

    ``answers`` are those that were tried, ``box`` the answers that a case stands for, ``run`` what they come to.
    """

    kind: Literal["what-if", "case"]
    answers: Mapping[str, Answer]
    box: tuple[tuple[str, tuple[Value, ...]], ...]
    run: Consultation

    @property
    def digest(self) -> str:
        """SHA-256 over what was tried and what it came to."""
        tried = repr((self.kind, self.box, sorted((n, a.values, a.state) for n, a in self.answers.items())))
        return hashlib.sha256((tried + canonical(report(self.run))).encode()).hexdigest()


def provenance(
    run: Consultation,
    program: str,
    turns: Sequence[Turn] = (),
    others: Sequence[Alternative] = (),
    certificate: Stop | None = None,
) -> str:
    """The provenance of the advice of ``run`` as PROV-JSON.

    ``program`` is the version of this program. ``turns`` are those of a log, if there is one; they
    tell which line gave which answer, and what an answer was before it was changed. Each of ``others`` is a bundle of
    its own; ``certificate`` says why the questions ended.
    """
    export = _Export(run, program, turns)
    export.consultation()
    for other in others:
        export.bundle(other)
    if certificate is not None:
        export.certificate(certificate)
    return export.doc.text()


class _Export:
    """Writes one consultation into a document, in the order in which it was worked out."""

    def __init__(self, run: Consultation, program: str, turns: Sequence[Turn]) -> None:
        self.run, self.rulebase, self.program, self.turns = run, run.rulebase, program, turns
        self.advice = report(run)
        self.digest = hashlib.sha256(canonical(self.advice).encode()).hexdigest()
        own = "urn:leather-order-advisor"
        self.doc = Document(
            {
                "adv": f"{own}:terms:",
                "kb": f"{own}:rules:{self.rulebase.sha256}:",
                "run": f"{own}:advice:{self.digest}:",
                "src": f"{own}:source:",
            }
        )
        self.told: dict[str, str] = {}
        self.searches: dict[Test, str] = {}
        self.firings = run.in_order()

    def consultation(self) -> None:
        """All that led to the advice."""
        self._knowledge()
        self._answers()
        for name in self.run.known:
            self._fact(name)
        for firing in self.firings:
            self._application(firing)
        for name, known in self.run.known.items():
            self._origin(name, known)
        self._defeats()
        self._bounds()
        self._decisions()
        self._advice()

    def bundle(self, other: Alternative) -> None:
        """An order that was looked at, with the answers tried and the parts of the order they come to."""
        advice = report(other.run)
        name = self.doc.entity(
            f"run:{other.kind}/{other.digest[:12]}",
            "prov:Bundle",
            f"adv:{_BUNDLES[other.kind]}",
            box=[f"{n}: {', '.join(map(str, values))}" for n, values in other.box],
        )
        self.doc.derived(name, "run:advice")
        inside = self.doc.bundle(name)
        whole = inside.entity(
            f"{name}/advice",
            "prov:Collection",
            "adv:Advice",
            sha256=hashlib.sha256(canonical(advice).encode()).hexdigest(),
        )
        for attribute, answer in other.answers.items():
            tried = inside.entity(
                f"{name}/tried/{attribute}",
                "adv:Tried",
                attribute=attribute,
                value=answer.values,
                state=answer.state,
                unit=self._unit(attribute),
            )
            inside.derived(whole, tried)
        parts: dict[str, tuple[str, ...]] = {n: tuple(c.chosen) for n, c in advice.decisions.choices().items()}
        parts["weight"] = (advice.decisions.weight.order_as or "open",)
        parts["outcome"] = (advice.outcome or "open",)
        for part, value in parts.items():
            inside.member(whole, inside.entity(f"{name}/{part}", "adv:Decision", decision=part, value=value))

    def certificate(self, stop: Stop) -> None:
        """Why the questions could end: what was looked at, and what an answer could still change."""
        name = self.doc.entity(
            "run:certificate",
            "adv:Certificate",
            lookedAt=stop.looked_at,
            allAnswers=stop.all_answers,
            stillOpen=[a.name for a in stop.open],
        )
        self.doc.derived(name, "run:advice")

    # -- what was known beforehand

    def _knowledge(self) -> None:
        doc, base = self.doc, self.rulebase
        doc.entity(
            "kb:base",
            "prov:Plan",
            "prov:Collection",
            "adv:RuleBase",
            name=base.name,
            version=base.version,
            sha256=base.sha256,
        )
        doc.agent("run:engine", "prov:SoftwareAgent", version=self.program)
        doc.agent("run:person", "prov:Person", label="the person asking")
        if self.run.house is not None:
            doc.entity("run:prices", "adv:PriceList", shop=self.run.house.name, invented=self.run.house.invented)
        for firing in self.firings:
            self._rule(firing.rule)

    def _rule(self, rule: Rule) -> str:
        """The rule as a plan, with its sources; added when it is first spoken of."""
        name = f"kb:rule/{rule.id}"
        if self.doc.has(name):
            return name
        self.doc.entity(
            name,
            "prov:Plan",
            "adv:Rule",
            id=rule.id,
            premise=[p.text for p in rule.when],
            conclusion=[c.text for c in rule.then],
            reason=rule.because,
            force=rule.force,
            concern=rule.concern,
            basis=rule.basis,
            contested=rule.contested or None,
        )
        self.doc.member("kb:base", name)
        for source in rule.source:
            self.doc.derived(name, self._source(source), kind="prov:PrimarySource")
        return name

    def _source(self, source_id: str) -> str:
        name, source = f"src:{source_id}", self.rulebase.sources[source_id]
        if not self.doc.has(name):
            self.doc.entity(
                name,
                "adv:Source",
                title=source.title,
                year=source.year,
                clause=source.clause or None,
                opened=source.opened,
            )
        return name

    # -- what was said

    def _answers(self) -> None:
        said: dict[str, tuple[str, Said]] = {}
        for n, turn in enumerate(self.turns, 1):
            if not turn.changes:
                continue
            activity = f"run:turn/{n}"
            self._hearing(activity, turn.read, turn.question, turn.line)
            for change in turn.changes:
                before = said.pop(change.attribute, None)
                if change.now is not None:
                    name = self._told(f"run:told/{change.attribute}/{n}", change.attribute, change.now, activity)
                    said[change.attribute] = name, change.now
                    if before is not None:
                        self.doc.derived(name, before[0], activity, "prov:Revision")
                if before is not None:
                    self.doc.invalidated(before[0], activity)
        for attribute, answer in self.run.answers.items():
            now = said_of(answer)
            if attribute in said and said[attribute][1] == now:
                self.told[attribute] = said[attribute][0]
                continue
            activity = "run:reading" if answer.origin == "read" else f"run:asking/{attribute}"
            if not self.doc.has(activity):
                self._hearing(activity, answer.origin == "read", attribute, None)
            self.told[attribute] = self._told(f"run:told/{attribute}", attribute, now, activity)

    def _hearing(self, activity: str, read: bool, question: str | None, words: str | None) -> None:
        asked = self.rulebase.attributes.get(question or "")
        self.doc.activity(
            activity,
            "adv:Reading" if read else "adv:Asking",
            words=words,
            question=asked.question if asked and not (read and words is None) else None,
        )
        self.doc.associated(activity, "run:engine")

    def _told(self, name: str, attribute: str, said: Said, activity: str) -> str:
        known = self.rulebase.attributes.get(attribute)
        self.doc.entity(
            name,
            _STATES[said.state],
            attribute=attribute,
            value=said.values,
            unit=(known.unit if known else "mm") or None,
        )
        self.doc.generated(name, activity)
        self.doc.attributed(name, "run:person")
        return name

    # -- facts

    def _entity(self, name: str) -> str:
        """The entity of a settled node: the answer itself, what was decided, or what rules or sums gave."""
        known = self.run.known.get(name)
        if known is not None and known.origin in _SAID:
            return self.told[name.removesuffix(ANSWERED)]
        return f"run:decision/{name}" if name in self.rulebase.decisions else f"run:fact/{name}"

    def _fact(self, name: str) -> None:
        known, entity = self.run.known[name], self._entity(name)
        if known.origin in _SAID or name in self.rulebase.decisions:
            return
        kind = {"supposed": "adv:Supposed", "computed": "adv:Computed"}.get(known.origin, "adv:Derived")
        self.doc.entity(
            entity,
            kind,
            attribute=name,
            value=known.values,
            unit=self._unit(name),
            insteadOf="answer" if known.origin == "supposed" else None,
        )

    def _unit(self, name: str) -> str | None:
        attribute = self.rulebase.attributes.get(name)
        return attribute.unit or None if attribute else None

    def _origin(self, name: str, known: Known) -> None:
        """How a settled node came about: from the conclusions of rules, or by a sum."""
        if known.origin in _SAID or name in self.rulebase.decisions:
            return
        entity, attribute = self._entity(name), self.rulebase.attributes.get(name)
        if known.origin == "computed" and attribute is not None:
            self._calculation(entity, name, known)
            return
        node = node_of(name)
        activity = self.doc.activity(f"run:settling/{name}", "adv:Settling", attribute=name)
        self.doc.associated(activity, "run:engine")
        acts = ("exclude", "require") if name.endswith("_excluded") else None
        for claim in self._about(node if acts or node in self.rulebase.decisions else name, acts):
            self.doc.used(activity, claim, role=Name("adv:claim"))
        self.doc.generated(entity, activity)

    def _calculation(self, entity: str, name: str, known: Known) -> None:
        attribute, formula = self.rulebase.attributes[name], None
        if name not in self.run.priced:
            formula = f"kb:formula/{attribute.formula}"
            if not self.doc.has(formula):
                about = FORMULAS[attribute.formula]
                self.doc.entity(formula, "prov:Plan", "adv:Formula", text=about.text, basis=about.basis)
                self.doc.member("kb:base", formula)
        activity = self.doc.activity(f"run:calculation/{name}", "adv:Calculation", substituted=known.formula)
        self.doc.associated(activity, "run:engine", formula)
        for parameter, origin in attribute.inputs.items():
            entity_used = self._input(origin)
            if entity_used is not None:
                self.doc.used(activity, entity_used, role=Name("adv:input"), parameter=parameter)
        if name in self.run.priced:
            self.doc.used(activity, "run:prices", role=Name("adv:input"), parameter="prices")
        self.doc.generated(entity, activity)

    def _input(self, origin: str) -> str | None:
        if "." in origin:
            return "kb:base"
        attribute = self.rulebase.attributes.get(origin)
        if attribute is not None and attribute.kind in PATTERN_KINDS:
            return self._pattern(attribute.kind)
        return self._entity(origin) if origin in self.run.known else None

    def _pattern(self, kind: Kind) -> str:
        name = f"run:pattern/{kind}"
        if not self.doc.has(name):
            lines = (
                [f"{p.count} x {p.name}: {f}" for p, f in zip(self.run.pieces, self.run.piece_formulas, strict=True)]
                if kind == "pieces"
                else [f"{z.name}: {z.kind}" for z in self.run.zones]
            )
            self.doc.entity(name, "adv:Pattern", line=lines)
            item = self.run.item()
            for read in ["item", *sizes_read(item, kind)] if item is not None else []:
                if read in self.run.known:
                    self.doc.derived(name, self._entity(read))
        return name

    # -- rules at work

    def _application(self, firing: Firing) -> None:
        doc, rule = self.doc, firing.rule
        activity = doc.activity(
            f"run:application/{firing.step}", "adv:RuleApplication", step=firing.step, stratum=firing.stratum
        )
        doc.associated(activity, "run:engine", self._rule(rule))
        premises = []
        for position, (name, value) in enumerate(firing.match.facts, 1):
            premises.append(self._entity(name))
            doc.used(activity, premises[-1], role=Name("adv:premise"), position=position, fact=name, value=value)
        for test in firing.match.absent:
            premises.append(self._absence(test))
            doc.used(activity, premises[-1], role=Name("adv:absence"))
        for i, conclusion in enumerate(rule.then, 1):
            withdrawn = firing.withdrawn_by is not None and conclusion.act not in _STANDS
            values = [
                c.values
                for c in self.run.claims.get(conclusion.target, ())
                if c.firing is firing and c.conclusion is conclusion
            ]
            entity = doc.entity(
                f"run:conclusion/{firing.step}/{i}",
                "adv:Conclusion",
                act=conclusion.act,
                about=conclusion.target,
                text=conclusion.text,
                reason=conclusion.because,
                value=values[0] if values else conclusion.values,
                status="withdrawn" if withdrawn else "stands",
            )
            doc.generated(entity, activity)
            for premise in dict.fromkeys(premises):
                doc.derived(entity, premise, activity)

    def _absence(self, test: Test) -> str:
        """What nothing known passed, found by looking through every rule that could have said it."""
        if test not in self.searches:
            n = len(self.searches) + 1
            name, activity = f"run:absence/{n}", f"run:search/{n}"
            says = "is unknown" if test.operator == "known" else f"lacks {', '.join(str(v) for v in test.values)}"
            speaking = self.run.proof.absence(test.attribute, *test.values).says["rules"]
            self.doc.entity(name, "adv:Absence", attribute=test.attribute, text=f"{test.attribute} {says}")
            self.doc.activity(activity, "adv:ClosedSearch", rulesSearched=len(speaking))
            self.doc.associated(activity, "run:engine")
            for rule in speaking:
                self.doc.used(activity, self._rule(self.rulebase.rules[rule]), role=Name("adv:searched"))
            if test.attribute in self.run.known:
                self.doc.used(activity, self._entity(test.attribute), role=Name("adv:observed"))
            self.doc.generated(name, activity)
            self.searches[test] = name
        return self.searches[test]

    def _conclusions(self, rule_ids: Iterable[str], about: str | None = None) -> list[str]:
        """The conclusions of rules that fired, all or those about one node."""
        return [
            f"run:conclusion/{f.step}/{i}"
            for rule_id in rule_ids
            for f in self.run.firings.get(rule_id, ())
            for i, c in enumerate(f.rule.then, 1)
            if about is None or c.target == about
        ]

    def _about(self, node: str, acts: Sequence[str] | None = None) -> list[str]:
        """Every conclusion about a node, in the order of firing."""
        return [
            f"run:conclusion/{f.step}/{i}"
            for f in self.firings
            for i, c in enumerate(f.rule.then, 1)
            if c.target == node and (c.act in acts if acts else c.act not in _STANDS)
        ]

    def _defeats(self) -> None:
        """Each rule that stood against another and won: by a declared preference, or by its force."""
        done: set[tuple[str, str]] = set()
        for firing in self.firings:
            winner = firing.rule
            for loser in firing.defeated:
                if (winner.id, loser) in done:
                    continue
                done.add((winner.id, loser))
                preferred = loser in winner.over
                n = len(done)
                activity = self.doc.activity(
                    f"run:defeat/{n}",
                    "adv:Defeat",
                    winner=winner.id,
                    loser=loser,
                    by="preference" if preferred else "force",
                )
                plan = None
                if preferred:
                    plan = self.doc.entity(
                        f"kb:preference/{n}", "prov:Plan", "adv:Preference", reason=winner.over_because
                    )
                    self.doc.member("kb:base", plan)
                self.doc.associated(activity, "run:engine", plan)
                self.doc.used(activity, f"run:conclusion/{firing.step}/1", role=Name("adv:winner"))
                targets = {c.target for c in winner.then}
                for f in self.run.firings.get(loser, ()):
                    for i, c in enumerate(f.rule.then, 1):
                        if c.act not in _STANDS and (preferred or c.target in targets):
                            self.doc.invalidated(f"run:conclusion/{f.step}/{i}", activity)

    # -- what was settled

    def _bounds(self) -> None:
        for n, bound in enumerate(self.run.window.bounds, 1):
            name = self.doc.entity(
                f"run:bound/{n}",
                "adv:Bound",
                side=bound.side,
                value=bound.mm,
                unit="mm",
                force=bound.force,
                binding=bound.binding,
                formula=bound.formula,
                setAside=_coded(bound.set_aside),
            )
            for conclusion in self._conclusions([bound.rule], "weight"):
                self.doc.derived(name, conclusion)

    def _decisions(self) -> None:
        for name, choice in self.advice.decisions.choices().items():
            known = self.run.known.get(name)
            entity = self.doc.entity(
                f"run:decision/{name}",
                "adv:Decision",
                decision=name,
                leads=known.values if known else None,
                chosen=choice.chosen,
                alsoFits=choice.also_fits,
                excluded=list(choice.excluded),
                tie=_coded(choice.tie),
                open=_coded(choice.open),
            )
            kinds = ["adv:Weighing", *(["adv:Tie"] if choice.tie else [])]
            activity = self.doc.activity(f"run:weighing/{name}", *kinds, decision=name)
            self._weighed(activity, entity, ())
            for entry in choice.ledger:
                self.doc.used(
                    activity,
                    self._weighs(name, entry),
                    role=Name(f"adv:{entry.act}"),
                    candidate=entry.candidate,
                    strength=entry.strength,
                    counts=entry.counts,
                    setAside=_coded(entry.set_aside),
                )
        weight, window = self.advice.decisions.weight, self.run.window
        entity = self.doc.entity(
            "run:decision/weight",
            "adv:Decision",
            decision="weight",
            low=window.low,
            high=window.high,
            unit="mm",
            orderAs=weight.order_as,
            open=_coded(weight.open),
        )
        activity = self.doc.activity("run:weighing/weight", "adv:Narrowing", decision="weight")
        self._weighed(activity, entity, [f"run:bound/{n}" for n in range(1, len(window.bounds) + 1)])
        amount = self.advice.decisions.amount
        entity = self.doc.entity(
            "run:decision/amount",
            "adv:Decision",
            decision="amount",
            net=amount.net_area_dm2,
            gross=amount.gross_area_dm2,
            unit="dm2",
            open=_coded(amount.open),
        )
        used = [self._pattern("pieces")] if self.run.pieces else []
        used += [self._entity(n) for n in ("tannage", "form", "quantity") if n in self.run.known]
        self._weighed(self.doc.activity("run:weighing/amount", "adv:Calculation", decision="amount"), entity, used)

    def _weighs(self, decision: str, entry: LedgerEntry) -> str:
        """The conclusion behind one entry of a ledger."""
        return next(
            f"run:conclusion/{c.firing.step}/{c.firing.rule.then.index(c.conclusion) + 1}"
            for c in self.run.claims[decision]
            if (c.firing.rule.id, c.conclusion.act) == (entry.rule, entry.act)
            and (entry.act == "require" or entry.candidate in c.values)
        )

    def _weighed(self, activity: str, entity: str, used: Iterable[str]) -> None:
        self.doc.associated(activity, "run:engine")
        for one in used:
            self.doc.used(activity, one)
        self.doc.generated(entity, activity)

    def _advice(self) -> None:
        doc, members = self.doc, [f"run:decision/{name}" for name in self.rulebase.decisions]
        members += ["run:decision/amount"] if "run:decision/amount" not in members else []
        advice = doc.entity("run:advice", "prov:Collection", "adv:Advice", sha256=self.digest)
        doc.attributed(advice, "run:engine")
        members.append(doc.entity("run:outcome", "adv:Outcome", value=self.advice.outcome))
        for reason in self.advice.outcome_reasons:
            for conclusion in self._conclusions([reason.rule], reason.outcome) or self._conclusions([reason.rule])[:1]:
                doc.derived("run:outcome", conclusion)
        for caution in self.advice.cautions:
            name = doc.entity(
                f"run:caution/{caution.id}",
                "adv:Caution",
                severity=caution.severity,
                status=caution.status,
                text=caution.text,
                deferTo=caution.defer_to or None,
                dependsOn=caution.depends_on,
            )
            raised = self._conclusions(caution.rules, caution.id) if caution.status == "applies" else []
            for origin in raised or [self._rule(self.rulebase.rules[rule]) for rule in caution.rules]:
                doc.derived(name, origin)
            members.append(name)
        for n, conflict in enumerate(self.advice.conflicts, 1):
            name = doc.entity(
                f"run:conflict/{n}",
                "adv:Conflict",
                about=conflict.about,
                status="unsettled",
                left=_coded(conflict.outcome),
                wayOut=[str(w) for w in conflict.resolutions],
            )
            activity = doc.activity(f"run:tie/{n}", "adv:Tie")
            sides = [c for r in conflict.reasons for c in self._conclusions([r.rule])[:1]]
            self._weighed(activity, name, sides)
            members.append(name)
        for member in members:
            doc.member(advice, member)


def _coded(saying: Saying | None) -> str | None:
    """A saying as one value: its code with the parameters."""
    return str(saying) if saying else None

"""What decided: the answers, rules and sums behind the conclusions that stand, as a graph.

Only what contributed is taken: the reasons that count for what was chosen, the rules that removed a
candidate which would otherwise have led, the bounds that hold the weight, what raised a caution, both
sides of a conflict, and whatever those rest on. Notes are left to the advice. Nothing is drawn here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from ..leather.units import Units, beside_in
from ..reasoning import steps
from ..reasoning.advice import Choice
from ..reasoning.consult import Consultation
from ..reasoning.report import report
from .catalogue import sum_said, tell
from .names import attribute_called, called, rule_called, said
from .page import DECISION_WORDS, SEVERITY_WORDS, listed, verdict_words

BoxKind = Literal["answer", "supposition", "sum", "rule", "decision", "caution", "conflict"]
RIGHT = 1_000_000


@dataclass(frozen=True, slots=True)
class Node:
    """One box: its kind, a short title, what it says, a note, and how far to the right it stands."""

    id: str
    kind: BoxKind
    title: str
    text: str
    rank: int
    note: str = ""


@dataclass(slots=True)
class Graph:
    """Boxes by their id, and who used what: from the one used to its user. ``title`` names the whole."""

    title: str
    nodes: dict[str, Node] = field(default_factory=dict)
    edges: dict[tuple[str, str], None] = field(default_factory=dict)


def graph_of(run: Consultation, units: Units = "mm") -> Graph:
    """What decided in one consultation."""
    return _Gatherer(run, units).graph


class _Gatherer:
    """Starts from what stands and walks back to the answers."""

    def __init__(self, run: Consultation, units: Units) -> None:
        self.units = units
        self.run, self.rulebase, self.advice = run, run.rulebase, report(run)
        item = run.item()
        outcome = verdict_words(self.advice) or "nothing advised yet"
        self.graph = Graph(f"{item.name if item else 'no item yet'}: {outcome}")
        self.decisions()
        self.weight()
        self.outcome()
        self.cautions()
        self.conflicts()

    # -- what stands, at the right

    def decisions(self) -> None:
        for name, choice in self.advice.decisions.choices().items():
            if choice.chosen:
                target = self.decision(name)
                self.feed(target, _deciding(choice))

    def decision(self, name: str) -> str:
        """The box of a choice; rules that read it may come before its own turn."""
        choice = self.advice.decisions.choices()[name]
        chosen = [called(self.rulebase, name, c) for c in choice.chosen]
        also = f" (as good: {listed(chosen[1:])})" if chosen[1:] else ""
        return self.box(f"decision/{name}", "decision", DECISION_WORDS[name], chosen[0] + also, RIGHT)

    def weight(self) -> None:
        weight = self.advice.decisions.weight
        if weight.order_as:
            target = self.box("decision/weight", "decision", "Weight", weight.order_as, RIGHT)
            self.feed(target, [b.rule for b in weight.bounds if b.binding])

    def outcome(self) -> None:
        told = {r.rule for c in self.advice.conflicts for r in c.reasons}
        rules = [r.rule for r in self.advice.outcome_reasons if r.verdict == self.advice.verdict and r.rule not in told]
        if rules:
            self.feed(self.box("outcome", "decision", "Outcome", verdict_words(self.advice), RIGHT), rules)

    def cautions(self) -> None:
        for caution in self.advice.cautions:
            if caution.status == "applies" and caution.severity != "note":
                word = SEVERITY_WORDS[caution.severity]
                self.feed(self.box(f"caution/{caution.id}", "caution", word, caution.about, RIGHT), [caution.rule])

    def conflicts(self) -> None:
        for n, conflict in enumerate(self.advice.conflicts, 1):
            about = attribute_called(self.rulebase, conflict.about)
            text = beside_in(f"{about}: {tell(conflict.outcome, self.rulebase)}", self.units)
            target = self.box(f"conflict/{n}", "conflict", "CONFLICT", text, RIGHT)
            self.feed(target, [r.rule for r in conflict.reasons])

    # -- what it rests on

    def box(self, node_id: str, kind: BoxKind, title: str, text: str, rank: int, note: str = "") -> str:
        self.graph.nodes.setdefault(node_id, Node(node_id, kind, title, text, rank, note))
        return node_id

    def feed(self, target: str, rules: Iterable[str]) -> None:
        for rule_id in dict.fromkeys(rules):
            if rule_id in self.run.firings:
                self.graph.edges[self.rule(rule_id), target] = None

    def rule(self, rule_id: str) -> str:
        node_id = f"rule/{rule_id}"
        if node_id in self.graph.nodes:
            return node_id
        rule, fired = self.rulebase.rules[rule_id], self.run.firings[rule_id]
        stratum = self.rulebase.strata.rule[rule_id]
        title, because = rule_called(self.rulebase, rule_id), beside_in(rule.because, self.units)
        self.box(node_id, "rule", title, because, 2 * stratum + 2, f"stratum {stratum}")
        for premise in (p for f in fired for p in self.run.proof.applied(f).says["premises"]):
            for step in premise["by"]:
                self.use(step, node_id)
        return node_id

    def use(self, step: steps.Node, user: str) -> None:
        """Join the step that gave something to the box that used it; tables and sources are not drawn."""
        name = str(step.says.get("name"))
        match step.kind:
            case "balance" | "window" if f"decision/{name}" != user and self._chosen(name):
                self.graph.edges[f"decision/{name}", user] = None
            case "answer" if name in self.rulebase.attributes:
                self.graph.edges[self.leaf("answer", "you said", step), user] = None
            case "supposition":
                self.graph.edges[self.leaf("supposition", "assumed", step), user] = None
            case "computed":
                self.graph.edges[self.sum(step), user] = None
            case "settled":
                self.feed(user, step.says["rules"])
            case "pattern" | "absence" if step.says.get("lacks", "") is not None:
                # Of an absence only what was found instead is drawn.
                for part in step.rests:
                    self.use(part, user)

    def _chosen(self, node: str) -> bool:
        choices = self.advice.decisions.choices()
        if node in choices:
            return bool(choices[node].chosen) and bool(self.decision(node))
        return self.advice.decisions.weight.order_as is not None

    def leaf(self, kind: BoxKind, title: str, step: steps.Node) -> str:
        name, item = step.says["name"], self.run.item()
        told = said(self.rulebase, name, step.says["value"], item.slug if item else None, self.units)
        by = ", ".join(rule_called(self.rulebase, rule) for rule in step.says.get("rules", ()))
        return self.box(f"fact/{name}", kind, title, told, 0, by)

    def sum(self, step: steps.Node) -> str:
        name = step.says["name"]
        node_id = f"sum/{name}"
        if node_id in self.graph.nodes:
            return node_id
        rank = 2 * self.rulebase.strata.node[name] + 1
        line = sum_said(self.rulebase, name, step.says["line"])
        self.box(node_id, "sum", f"sum: {attribute_called(self.rulebase, name)}", beside_in(line, self.units), rank)
        for part in step.rests:
            self.use(part, node_id)
        return node_id


def _deciding(choice: Choice) -> list[str]:
    """Rules that count for the leading candidate, and those that removed one which would have led."""
    lead = choice.chosen[0]
    balance: dict[str, int] = {}
    for entry in choice.ledger:
        if entry.counts:
            balance[entry.candidate] = balance.get(entry.candidate, 0) + entry.pull
    ahead = {c for c in choice.excluded if balance.get(c, 0) >= max(1, balance.get(lead, 0))}
    return [
        e.rule
        for e in choice.ledger
        if e.counts
        and ((e.act == "favour" and e.candidate == lead) or (e.act in ("exclude", "require") and e.candidate in ahead))
    ]

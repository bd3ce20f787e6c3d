"""The proof of every conclusion: a directed graph without circles, from the conclusion down to what was told.

Its leaves are answers, absences, tables, sources and price lists. Here the steps come together: balances, windows,
the amount, outcome, cautions and conflicts. Nothing is decided here: all is read off a worked-through consultation.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..codes import say
from ..rulebase import written
from ..rulebase.models import CONDITIONS, VERDICTS
from .advice import BoundView
from .settle import Clashing, Firing
from .steps import Node, Steps, once


@dataclass
class Proof(Steps):
    """The graph of one consultation: its steps, and what they come to."""

    # -- the conclusions

    def conclusion(self, name: str) -> Node | None:
        """The node of a decision, an attribute, ``outcome``, ``amount``, ``caution ID`` or ``conflict N``, or None."""
        kind, _, rest = name.partition(" ")
        if kind == "caution" and rest:
            return self._node(("caution", rest), lambda: self._caution(rest))
        if kind == "conflict" and rest.isdecimal():
            found = self.conflicts()
            return found[int(rest) - 1] if 0 < int(rest) <= len(found) else None
        if name == "outcome":
            return self._node((name,), self._outcome)
        if name == "amount":
            return self._node((name,), self._amount)
        if name in self.run.rulebase.decisions and name not in self.run.known:
            return self.decision(name)
        return self.fact(name)

    def names(self) -> list[str]:
        """Every conclusion that has a node, in a fixed order."""
        rulebase = self.run.rulebase
        names = [*rulebase.decisions, "amount", "outcome"]
        names += [a for a in rulebase.attributes if a in self.run.known or a in self.run.answers]
        names += [f"caution {c}" for c in rulebase.cautions]
        names += [f"conflict {n}" for n in range(1, len(self.conflicts()) + 1)]
        return [n for n in dict.fromkeys(names) if self.conclusion(n) is not None]

    def export(self) -> dict[str, Any]:
        """The whole graph as plain values: roots by name, the rules applied in order, every node by its id."""
        roots = {name: node for name in self.names() if (node := self.conclusion(name))}
        applied = [self.applied(f) for f in self.run.in_order()]
        withdrawn = [w for f in self.run.in_order() if (w := self.withdrawn(f))]
        nodes: dict[str, Any] = {}
        waiting = [*roots.values(), *applied, *withdrawn]
        while waiting:
            node = waiting.pop()
            if node.id not in nodes:
                nodes[node.id] = node.content
                waiting += [*node.rests, *node.besides]
        return {
            "roots": {name: node.id for name, node in roots.items()},
            "applied": [n.id for n in applied],
            "withdrawn": [n.id for n in withdrawn],
            "nodes": dict(sorted(nodes.items())),
        }

    # -- decisions

    def decision(self, name: str) -> Node | None:
        """The balance of a choice or the window of a quantity."""
        if self.run.rulebase.decisions[name].kind == "choice":
            return self._node((name,), lambda: self._balance(name))
        return self._node((name,), lambda: self._window(name))

    def _firing(self, rule_id: str) -> Firing:
        return self.run.firings[rule_id][0]

    def _balance(self, name: str) -> Node | None:
        ledger = self.run.ledgers[name]
        if not ledger.entries and not ledger.excluded:
            return None
        lead, rivals = ledger.chosen[0] if ledger.chosen else None, self._barred_rivals(name)
        entries: list[dict[str, Any]] = []
        rests: list[Node] = []
        besides: list[Node] = []
        for entry in ledger.entries:
            node = self.stands(self._firing(entry.rule))
            entries.append(
                {
                    "candidate": entry.candidate,
                    "act": entry.act,
                    "strength": entry.strength,
                    "rule": entry.rule,
                    "because": entry.because,
                    "concern": entry.concern,
                    "counts": entry.counts,
                    "set_aside": entry.set_aside,
                    "by": node,
                }
            )
            out = entry.act in ("exclude", "require") and entry.candidate in rivals
            decides = entry.counts and (entry.candidate == lead or out)
            (rests if decides else besides).append(node)
        if name in self.run.priced:
            besides.append(self.prices())
        says = {
            "name": name,
            "chosen": ledger.chosen,
            "also_fits": ledger.also_fits,
            "tie": ledger.tie,
            "excluded": ledger.excluded,
            "entries": entries,
            "costs": {c: str(v) for c, v in ledger.costs.items()},
        }
        return Node("balance", says, once(rests), once(n for n in besides if n not in rests))

    def _barred_rivals(self, name: str) -> list[str]:
        """What would stand higher than the chosen one, were it not excluded."""
        ledger = self.run.ledgers[name]
        if not ledger.chosen:
            return list(ledger.excluded)
        lead = ledger.balance.get(ledger.chosen[0], 0)
        return [c for c in ledger.excluded if ledger.balance.get(c, 0) > lead and c in ledger.eligible]

    def _bound(self, name: str, view: BoundView) -> Node:
        rule = self.run.rulebase.rules[view.rule]
        firing = self._firing(view.rule)
        origin = next((c.attribute for c in rule.then if c.target == name and c.act == view.side), None)
        says = {
            "name": name,
            "side": view.side,
            "mm": view.mm,
            "rule": view.rule,
            "force": view.force,
            "of": origin,
            "line": view.formula,
            "binding": view.binding,
            "clear_by_mm": view.clear_by_mm,
            "set_aside": view.set_aside,
        }
        return Node("bound", says, once([self.stands(firing), self.fact(origin) if origin else None]))

    def _window(self, name: str) -> Node | None:
        window = self.run.window
        if not window.bounds:
            return None
        bounds = [(b, self._bound(name, b)) for b in window.bounds]
        ends = {(c.firing.rule.id, c.conclusion.act) for c in window.clash.claims} if window.clash else set()
        rests = once(n for b, n in bounds if b.binding or (b.rule, b.side) in ends)
        says = {"name": name, "low_mm": window.low, "high_mm": window.high, "feasible_mm": window.feasible}
        return Node("window", says, rests, once(n for _, n in bounds if n not in rests))

    def _amount(self) -> Node | None:
        run = self.run
        form = run.ledgers.get("form")
        if not run.pieces or form is None or not form.chosen:
            return None
        count = next((f for f in run.market.forms() if f.form == form.chosen[0]), None)
        if count is None:
            return None
        columns = ("length", "width", "area", "waste")
        rests = [self.fact(n) for n in ("form", "pieces", "quantity", "extra_waste") if n in run.known or n == "pieces"]
        rests += [self.table("form", c) for c in columns]
        says = {
            "name": "amount",
            "form": count.form,
            "count": count.count,
            "how": count.how,
            "gross_dm2": round(count.gross_dm2, 2),
            "leftover_dm2": round(count.leftover_dm2, 2),
        }
        return Node("amount", says, once(rests))

    # -- outcome, cautions, conflicts

    def _outcome(self) -> Node | None:
        run = self.run
        found: dict[str, list[Node]] = {}
        for firing in run.in_order():
            for c in firing.rule.then:
                if c.act == "outcome" and firing.withdrawn_by is None:
                    found.setdefault(firing.rule.verdict(c.target), []).append(self.applied(firing))
        item = self.fact("item")
        strongest = sorted((v for v in found if item is not None or v != CONDITIONS), key=VERDICTS.index)
        if strongest:
            first = strongest[0]
            rest = [n for verdict in VERDICTS if verdict != first for n in found.get(verdict, ())]
            return Node("outcome", written.outcome(first), once(found[first]), once(rest))
        if item is None:
            return None
        unmet = [self._conflict(c) for c in run.clashes if c.about in run.rulebase.decisions]
        none = self._node(("no outcome",), self._no_outcome)
        outcome = "ok_with_conditions" if unmet else "ok"
        return Node("outcome", written.outcome(outcome), once([item, none, *unmet]))

    def _no_outcome(self) -> Node:
        rules = {r.id: self._state(r) for r in self.run.rulebase.givers("outcome")}
        return Node("absence", {"name": "outcome", "lacks": None, "rules": rules})

    def _caution(self, caution_id: str) -> Node | None:
        rules = self.run.rulebase.about(caution_id)
        ids = [r.id for r in rules if any(c.act == "caution" and c.target == caution_id for c in r.then)]
        raised = sorted((f for r in ids for f in self.run.firings.get(r, ())), key=lambda f: f.step)
        if not raised:
            return None
        c = self.run.rulebase.cautions[caution_id]
        rests = [*(self.applied(f) for f in raised), *(self.source(s) for s in c.source)]
        grade = self.run.rulebase.grade(c.basis, c.source)
        return Node("caution", written.caution(c), once(rests), (), grade, c.id)

    def conflicts(self) -> list[Node]:
        """What could not be had together, as the advice lists it."""
        outcome = self.conclusion("outcome")
        barred = outcome is not None and outcome.says["order"] == "withheld"
        found = [] if barred else [self._conflict(c) for c in self.run.clashes]
        for clash, firings in self.run.contradictions():
            says = {"about": clash.between, "left": say("declared_clash", clash=clash.id)}
            rests = once(self.stands(f) for f in firings)
            node = self._node(("clash", firings[0].step, clash.id), lambda s=says, r=rests: Node("conflict", s, r))  # type: ignore[misc]
            assert node is not None
            found.append(node)
        return found + [self._conflict(w) for w in self.run.wishes_left_out() if not barred]

    def _conflict(self, clashing: Clashing) -> Node:
        def make() -> Node:
            rests = [self.stands(c.firing) for c in clashing.claims]
            if clashing.answered:
                rests.append(self.fact(clashing.about) or rests[0])
            return Node("conflict", {"about": clashing.about, "left": clashing.outcome}, once(rests))

        node = self._node(("conflict", id(clashing)), make)
        assert node is not None
        return node

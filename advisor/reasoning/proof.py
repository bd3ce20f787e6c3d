"""The proof of every conclusion: a directed graph without circles, from the conclusion down to what was told.

Its leaves are answers, absences, tables, sources and price lists. Here the steps come together: balances, windows,
the amount, outcome, cautions and conflicts. Nothing is decided here: all is read off a worked-through consultation.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

from ..codes import say
from ..rulebase import written
from ..rulebase.models import VERDICTS, of_part
from .advice import BoundView, LedgerEntry
from .settle import Clashing, Contradiction, Firing, Ledger, Window
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
        if name in self.of_parts:
            return self._node((name,), self.of_parts[name])
        if name in self.run.rulebase.decisions and name not in self.run.known:
            return self.decision(name)
        return self.fact(name)

    def names(self) -> list[str]:
        """Every conclusion that has a node, in a fixed order."""
        rulebase = self.run.rulebase
        names = [*rulebase.decisions, *self.of_parts, "amount", "outcome"]
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

    @cached_property
    def of_parts(self) -> dict[str, Callable[[], Node | None]]:
        """What is settled for each leather besides the main one: "tannage of the lining", and what makes its node."""
        found: dict[str, Callable[[], Node | None]] = {}
        for part in self.run.parts:
            for decision, ledger in part.choices.items():
                name = of_part(decision, part.spec.name)
                found[name] = partial(self._balance, name, ledger)
            if part.window.bounds:
                about = (of_part("weight", part.spec.name), of_part("weight", part.spec.role))
                found[about[0]] = partial(self._window, about[0], part.window, about)
        return found

    def decision(self, name: str) -> Node | None:
        """The balance of a choice or the window of a quantity."""
        if self.run.rulebase.decisions[name].kind == "choice":
            return self._node((name,), lambda: self._balance(name, self.run.ledgers[name]))
        return self._node((name,), lambda: self._window(name, self.run.window, (name,)))

    def _firing(self, rule_id: str) -> Firing:
        return self.run.firings[rule_id][0]

    def _balance(self, name: str, ledger: Ledger) -> Node | None:
        if not ledger.entries and not ledger.excluded:
            return None
        lead, rivals = ledger.chosen[0] if ledger.chosen else None, self._barred_rivals(ledger)

        def decides(entry: LedgerEntry) -> bool:
            out = entry.act in ("exclude", "require") and entry.candidate in rivals
            return entry.counts and (entry.candidate == lead or out)

        def step(entry: LedgerEntry) -> Node:
            return self.stands(self._firing(entry.rule))

        def says() -> dict[str, Any]:
            return {
                "name": name,
                "chosen": ledger.chosen,
                "also_fits": ledger.also_fits,
                "tie": ledger.tie,
                "excluded": ledger.excluded,
                "entries": [{**dict(entry), "by": step(entry)} for entry in ledger.entries],
                "costs": {c: str(v) for c, v in ledger.costs.items()},
            }

        def besides() -> tuple[Node, ...]:
            weighed = [step(entry) for entry in ledger.entries if not decides(entry)]
            weighed += [self.prices()] if name in self.run.priced else []
            return once(n for n in weighed if n not in rests)

        rests = once(step(entry) for entry in ledger.entries if decides(entry))
        return Node("balance", says, rests, besides)

    def _barred_rivals(self, ledger: Ledger) -> list[str]:
        """What would stand higher than the chosen one, were it not excluded."""
        if not ledger.chosen:
            return list(ledger.excluded)
        lead = ledger.balance.get(ledger.chosen[0], 0)
        return [c for c in ledger.excluded if ledger.balance.get(c, 0) > lead and c in ledger.eligible]

    def _bound(self, about: Collection[str], view: BoundView) -> Node:
        rule = self.run.rulebase.rules[view.rule]
        firing = self._firing(view.rule)
        said = next(c for c in rule.then if c.target in about and c.act == view.side)
        origin = said.attribute
        says = {
            "name": said.target,
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

    def _window(self, name: str, window: Window, about: Collection[str]) -> Node | None:
        """``about`` are the names under which rules speak of it."""
        if not window.bounds:
            return None
        bounds = [(b, self._bound(about, b)) for b in window.bounds]
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
        if run.verdict is None:
            return None
        found = [(f.rule.verdict(outcome), self.applied(f)) for f, outcome in run.outcomes]
        found.sort(key=lambda vn: VERDICTS.index(vn[0]))
        says, first = written.outcome(run.verdict), [n for verdict, n in found if verdict == run.verdict]
        if first:
            return Node("outcome", says, once(first), once(n for verdict, n in found if verdict != run.verdict))
        none = self._node(("no outcome",), self._no_outcome)
        return Node("outcome", says, once([self.fact("item"), none, *map(self._conflict, run.clashing_decisions())]))

    def _no_outcome(self) -> Node:
        rules = {r.id: self._state(r) for r in self.run.rulebase.givers("outcome")}
        return Node("absence", {"name": "outcome", "lacks": None, "rules": rules})

    def _caution(self, caution_id: str) -> Node | None:
        raised = self.run.cautions.get(caution_id)
        if not raised:
            return None
        c = self.run.rulebase.cautions[caution_id]
        rests = [*(self.applied(f) for f in raised), *(self.source(s) for s in c.source)]
        grade = self.run.rulebase.grade(c.basis, c.source)
        return Node("caution", written.caution(c), once(rests), (), grade, c.id)

    def conflicts(self) -> list[Node]:
        """What could not be had together, as the advice lists it."""
        return [self._conflict(c) for c in self.run.conflicts]

    def _conflict(self, conflict: Clashing | Contradiction) -> Node:
        node = self._node(("conflict", id(conflict)), lambda: self._clash(conflict))
        assert node is not None
        return node

    def _clash(self, conflict: Clashing | Contradiction) -> Node:
        if isinstance(conflict, Contradiction):
            says = {"about": conflict.clash.between, "left": say("declared_clash", clash=conflict.clash.id)}
            return Node("conflict", says, once(self.stands(f) for f in conflict.firings))
        rests = [self.stands(c.firing) for c in conflict.claims]
        if conflict.answered:
            rests.append(self.fact(conflict.about) or rests[0])
        return Node("conflict", {"about": conflict.about, "left": conflict.outcome}, once(rests))

"""The steps of a proof: a node for each answer, supposition, sum, rule applied, absence and withdrawal.

``rests`` is what a step stands on, in order; ``besides`` what was weighed and did not decide. The id of a node is
a digest of all it says and stands on, so equal reasoning has equal ids and no node can stand on itself.
"""

from __future__ import annotations

import hashlib
import json
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from ..leather.formulas import FORMULAS, numbers_put_in
from ..leather.pieces import attributes_in, parse_size
from ..rulebase.models import PATTERN_KINDS, Attribute, Conclusion, Premise, Rule, RuleBase, Value
from ..rulebase.strata import node_of
from .facts import PIECE
from .matching import Fact, holds
from .settle import Firing
from .spread import Status

if TYPE_CHECKING:
    from .consult import Consultation

_GIVES = ("set", "add", "suppose", "favour", "require")


@dataclass(eq=False, slots=False)
class Node:
    """One step. ``says`` holds plain values and other nodes; ``grade`` is the basis of the step itself, if it has one.

    ``by`` is what the grade belongs to: a rule, a formula, a table or a caution.
    """

    kind: str
    says: Mapping[str, Any]
    rests: tuple[Node, ...] = ()
    besides: tuple[Node, ...] = ()
    grade: str | None = None
    by: str = ""

    @cached_property
    def content(self) -> dict[str, Any]:
        """What the node says, with ids in place of nodes and without its own id."""
        named = {"kind": self.kind, **{k: _plain(v) for k, v in self.says.items()}}
        if self.grade:
            named |= {"grade": self.grade, "by": self.by}
        return {**named, "from": [n.id for n in self.rests], "besides": [n.id for n in self.besides]}

    @cached_property
    def id(self) -> str:
        """The first 12 hexadecimal digits of the SHA-256 of the content as canonical JSON."""
        text = json.dumps(self.content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return hashlib.sha256(text.encode()).hexdigest()[:12]


def _plain(value: Any) -> Any:
    if isinstance(value, Node):
        return value.id
    if isinstance(value, Mapping):
        return {k: _plain(v) for k, v in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(v) for v in value]
    return value


def once(nodes: Iterable[Node | None]) -> tuple[Node, ...]:
    """The nodes that are there, each once, in order."""
    return tuple(dict.fromkeys(n for n in nodes if n is not None))


@dataclass
class Steps(ABC):
    """The steps of one consultation. Nodes are made when they are first asked for, and each only once.

    ``without`` tells what a preference (winner, loser) changed: conclusion -> its value if the preference did
    not hold. Left out, nothing is said about that; it costs a consultation for each preference used.
    """

    run: Consultation
    without: Callable[[str, str], Mapping[str, Any]] | None = None
    _made: dict[tuple[Any, ...], Node | None] = field(default_factory=dict)

    def _node(self, key: tuple[Any, ...], make: Callable[[], Node | None]) -> Node | None:
        if key not in self._made:
            self._made[key] = make()
        return self._made[key]

    # -- facts

    def fact(self, name: str) -> Node | None:
        """The node that gave an attribute or a decision, or what is read off it; None for what is not known."""
        if name.endswith("_excluded") and (stem := name.removesuffix("_excluded")) in self.run.rulebase.decisions:
            return self._node((name,), lambda: self.exclusion(stem))
        name = node_of(name)
        if name in self.run.rulebase.decisions:
            return self.decision(name) if name in self.run.known else None
        return self._node((name,), lambda: self._attribute(name))

    def _attribute(self, name: str) -> Node | None:
        run, attribute = self.run, self.run.rulebase.attributes[name]
        answer, known = run.answers.get(name), run.known.get(name)
        if answer is not None and (answer.state == "does not apply" or known is None or answer.state == "known"):
            rivals = [c.firing for c in run.claims.get(name, ()) if not set(c.values) <= set(answer.values)]
            return Node(
                "answer",
                {"name": name, "state": answer.state, "value": list(answer.values), "unit": attribute.unit,
                 "words": answer.words},
                besides=once(self.stands(f) for f in rivals) if answer.state == "known" else (),
            )  # fmt: skip
        if attribute.kind in PATTERN_KINDS:
            return self._pattern(name)
        if known is None:
            return None
        if known.origin == "computed":
            return self._computed(attribute)
        claims = run.claims.get(name, ())
        supports = [c.firing for c in claims if c.firing.rule.id in known.rules and c.firing.withdrawn_by is None]
        rest = [c.firing for c in claims if c.firing not in supports]
        return Node(
            "supposition" if known.origin == "supposed" else "settled",
            {"name": name, "value": list(known.values), "unit": attribute.unit, "rules": list(known.rules)},
            once(self.applied(f) for f in supports), once(self.stands(f) for f in rest),
        )  # fmt: skip

    def _computed(self, attribute: Attribute) -> Node:
        known = self.run.known[attribute.name]
        says: dict[str, Any] = {"name": attribute.name, "value": list(known.values), "unit": attribute.unit}
        says["line"] = known.formula
        if attribute.name in self.run.priced:
            house = self._prices()
            rests = [house, *(self.fact(o) for o in attribute.inputs.values() if "." not in o)]
            return Node("computed", {**says, "formula": "price list"}, once(rests))
        formula = FORMULAS[attribute.formula]
        inputs: dict[str, Any] = {}
        rests = []
        for parameter, origin in attribute.inputs.items():
            decision, dot, column = origin.partition(".")
            node = self.table(decision, column) if dot else self.fact(origin)
            rests.append(node)
            value = (
                {} if dot or node is None or node.kind == "pattern" else {"value": list(self.run.known[origin].values)}
            )
            inputs[parameter] = {"of": origin, "unit": formula.inputs[parameter], **value, "by": node}
        numbers = numbers_put_in(attribute.formula, {k: i["value"][0] for k, i in inputs.items() if i.get("value")})
        says |= {"formula": formula.name, "words": formula.text, "inputs": inputs, "numbers": numbers}
        rests += [self.source(s) for s in formula.source]
        return Node("computed", says, once(rests), (), self._grade(formula.basis, formula.source), formula.name)

    def _pattern(self, name: str) -> Node | None:
        item, run = self.run.item(), self.run
        if item is None:
            return None
        sizes: dict[str, Node | None] = {"item": self.fact("item")}
        by_hand = [self._by_hand(k) for k in sorted(run.answers) if k.startswith(PIECE)] if name == "pieces" else []
        if name == "pieces":
            lines: list[Any] = [
                {"name": p.name, "part": p.part, "count": p.count, "length": p.length_mm, "width": p.width_mm,
                 "line": v}
                for p, v in zip(run.pieces, run.piece_formulas, strict=True)
            ]  # fmt: skip
        else:
            lines = [
                {"name": z.name, "kind": z.kind, "leather": z.leather, "other": z.other_mm, "seam": z.seam_mm}
                for z in run.zones
            ]
            sizes["skive"] = self.fact("skive")
        specs = [t for p in item.pieces for t in (p.length, p.width)] if name == "pieces" else [
            t for z in item.zones for t in (z.stack, z.skived, z.seam) if t
        ]  # fmt: skip
        used = {a for t in specs for a in attributes_in(parse_size(t))} - {"weight"}
        sizes |= {a: self.fact(a) for a in sorted(used)}
        missing = {k: v for k, v in run.not_computed.items() if k.partition(" ")[0] == name.removesuffix("s")}
        return Node(
            "pattern", {"name": name, "item": item.slug, "lines": lines, "missing": missing},
            once([*sizes.values(), *by_hand]), (), "common practice", f"pattern of {item.slug}",
        )  # fmt: skip

    def _by_hand(self, key: str) -> Node:
        answer = self.run.answers[key]
        said = {"name": key, "state": answer.state, "value": list(answer.values), "unit": "mm", "words": answer.words}
        made = self._node((key,), lambda: Node("answer", said))
        assert made is not None
        return made

    def table(self, decision: str, column: str) -> Node:
        """A column of numbers beside the candidates of a decision."""

        def make() -> Node:
            found = self.run.rulebase.decisions[decision]
            about = found.properties[column]
            says = {
                "decision": decision,
                "column": column,
                "unit": about.unit,
                "values": found.table(column),
                "because": about.because,
            }
            return Node("table", says, once(self.source(s) for s in about.source), (),
                        self._grade(about.basis, about.source), f"table {decision} {column}")  # fmt: skip

        node = self._node(("table", decision, column), make)
        assert node is not None
        return node

    def source(self, source_id: str) -> Node:
        """A published text."""

        def make() -> Node:
            s = self.run.rulebase.sources[source_id]
            return Node("source", {"id": s.id, "title": s.title, "year": s.year, "clause": s.clause,
                                   "opened": s.opened})  # fmt: skip

        node = self._node(("source", source_id), make)
        assert node is not None
        return node

    def _prices(self) -> Node:
        house = self.run.house
        assert house is not None
        return Node("prices", {"house": house.name, "invented": house.invented})

    def _grade(self, basis: str, sources: Iterable[str]) -> str:
        if basis != "published":
            return basis
        opened = any(self.run.rulebase.sources[s].opened for s in sources)
        return "published, opened" if opened else "published, from memory"

    # -- rules

    def applied(self, firing: Firing) -> Node:
        """A rule that held: its premises in order, each with what was found and the node that gave it."""
        node = self._node(("applied", firing.step), lambda: self._applied(firing))
        assert node is not None
        return node

    def _applied(self, firing: Firing) -> Node:
        rule = firing.rule
        premises = [self._premise(p, firing.match.facts) for p in rule.when]
        rests = [n for p in premises for n in p["by"]] + [self.source(s) for s in rule.source]
        return Node(
            "applied",
            {"rule": rule.id, "force": rule.force, "concern": rule.concern, "because": rule.because,
             "premises": premises, "concluded": [c.text for c in rule.then]},
            once(rests), (), self._grade(rule.basis, rule.source), rule.id,
        )  # fmt: skip

    def _premise(self, premise: Premise, facts: Iterable[Fact]) -> dict[str, Any]:
        name, operator = premise.attribute, premise.operator
        if operator == "unknown":
            return {"says": premise.text, "found": [], "by": [self.absence(name, None)]}
        if operator == "lacks":
            return {"says": premise.text, "found": [], "by": [self.absence(name, premise.values[0])]}
        other = premise.other
        found = [f for f in facts if f[0] in (name, other) and (other or holds(premise, (f[1],)))]
        if operator != "known" and not other:
            found = found[:1]
        return {"says": premise.text, "found": found, "by": once(self.fact(f[0]) for f in found)}

    def absence(self, name: str, value: Value | None) -> Node:
        """What is not known, or not among the values of a set, with every rule that could have given it."""
        node = self._node(("absence", name, value), lambda: self._absence(name, value))
        assert node is not None
        return node

    def _absence(self, name: str, value: Value | None) -> Node:
        node = node_of(name)
        rules = {
            r.id: self._state(r)
            for r in self.run.rulebase.once("rules by target", by_target).get(node, ())
            if any(c.target == node and gives(c, value) for c in r.then)
        }
        says = {"name": name, "lacks": value, "rules": rules}
        return Node(
            "absence", says, once([self.fact(name)]) if name in self.run.known or node in self.run.answers else ()
        )

    def _state(self, rule: Rule) -> str:
        fired = self.run.firings.get(rule.id)
        if not fired:
            return "did not apply"
        return f"withdrawn by {fired[0].withdrawn_by}" if fired[0].withdrawn_by else "applied"

    def failed(self, rule: Rule) -> Node:
        """Why a rule does not hold: the premises that do not, and what is known of them. Not part of any proof."""
        fails = [p for p in rule.when if p.other or not holds(p, self._values(p.attribute))]
        says = {"rule": rule.id, "because": rule.because, "fails": list(dict.fromkeys(p.text for p in fails))}
        return Node("failed", says, once(self.fact(p.attribute) for p in fails))

    def _values(self, name: str) -> tuple[Value, ...]:
        known = self.run.known.get(name)
        return known.values if known else ()

    def open_caution(self, caution_id: str) -> Node | None:
        """A caution that no answer has ruled out yet: its rule and what it waits for. Not part of any proof."""
        possible = self.run.possible
        able: dict[str, list[Rule]] = self.run.rulebase.once("rules by target", by_target)
        for rule in able.get(caution_id, ()):
            if possible.status(rule) != Status.NO:
                about = self.run.rulebase.cautions[caution_id].about
                waits = possible.open_premises(rule)
                return Node("open", {"about": about, "rule": rule.id, "because": rule.because, "waits_for": waits})
        return None

    def withdrawn(self, firing: Firing) -> Node | None:
        """The step by which a preferred rule withdrew this one, or None."""
        by = firing.withdrawn_by
        if by is None:
            return None

        def make() -> Node:
            winner, loser = self.run.firings[by][0], firing
            says: dict[str, Any] = {"winner": by, "loser": loser.rule.id, "because": winner.rule.over_because}
            if self.without is not None:
                says["without"] = self.without(by, loser.rule.id)
            return Node("withdrawn", says, (self.applied(winner), self.applied(loser)))

        return self._node(("withdrawn", firing.step), make)

    def stands(self, firing: Firing) -> Node:
        """The rule as applied, or the step that withdrew it."""
        return self.withdrawn(firing) or self.applied(firing)

    def exclusion(self, name: str) -> Node:
        """What is excluded from a choice."""
        ledger = self.run.ledgers[name]
        rules = dict.fromkeys(r for gone in ledger.excluded.values() for r in gone)
        gone = {candidate: list(ledger.excluded[candidate]) for candidate in sorted(ledger.excluded)}
        rests = once(self.applied(self.run.firings[r][0]) for r in rules)
        return Node("exclusion", {"name": f"{name}_excluded", "excluded": gone}, rests)

    @abstractmethod
    def decision(self, name: str) -> Node | None:
        """The node of a decision; what settles it is the matter of the whole proof."""


def by_target(rulebase: RuleBase) -> dict[str, list[Rule]]:
    """Attribute, decision or "outcome" -> the rules that say something about it, as declared."""
    found: dict[str, list[Rule]] = {}
    for rule in rulebase.rules.values():
        for target in dict.fromkeys("outcome" if c.act == "outcome" else c.target for c in rule.then):
            found.setdefault(target, []).append(rule)
    return found


def gives(conclusion: Conclusion, value: Value | None) -> bool:
    """Whether a conclusion could make its target known (``value`` None) or give it this value."""
    if conclusion.act not in _GIVES:
        return False
    return value is None or conclusion.attribute is not None or value in conclusion.values

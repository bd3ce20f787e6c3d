"""The steps of a proof: a node for each answer, supposition, sum, rule applied, absence and withdrawal.

``rests`` is what a step stands on, in order; ``besides`` what was weighed and did not decide. The id of a node is
a digest of all it says and stands on, so equal reasoning has equal ids and no node can stand on itself.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any, Literal

from ..codes import Saying, say
from ..leather.formulas import FORMULAS
from ..rulebase import written
from ..rulebase.models import ANSWERED, PATTERN_KINDS, Attribute, Kind, Premise, Rule, Value
from ..rulebase.patterns import PIECE, sizes_read
from ..rulebase.strata import node_of
from .conclusions import changes, values_of
from .facts import PRICE_LIST
from .matching import Fact, holds
from .settle import Firing
from .spread import Status

if TYPE_CHECKING:
    from .consult import Consultation


StepKind = Literal[
    "answer",
    "supposition",
    "settled",
    "computed",
    "pattern",
    "table",
    "prices",
    "source",
    "applied",
    "absence",
    "withdrawn",
    "exclusion",
    "balance",
    "bound",
    "window",
    "amount",
    "outcome",
    "caution",
    "conflict",
    "failed",
    "open",
]
"""What a step is; "failed" and "open" tell why something does not hold or is not ruled out, and stand in no proof."""


@dataclass(eq=False, slots=False)
class Node:
    """One step. ``says`` holds plain values and other nodes; ``grade`` is the basis of the step itself, if it has one.

    ``by`` is what the grade belongs to: a rule, a formula, a table or a caution. ``changing`` finds what a withdrawal
    changed, by another consultation, when that is first asked for. What is said and what was weighed besides are
    given as they are or as what makes them, since most that is asked of a proof goes along ``rests`` alone.
    """

    kind: StepKind
    telling: Mapping[str, Any] | Callable[[], Mapping[str, Any]]
    rests: tuple[Node, ...] = ()
    weighing: tuple[Node, ...] | Callable[[], tuple[Node, ...]] = ()
    grade: str | None = None
    by: str = ""
    changing: Callable[[], Mapping[str, Any]] | None = None

    @cached_property
    def says(self) -> Mapping[str, Any]:
        """What the step says."""
        return self.telling() if callable(self.telling) else self.telling

    @cached_property
    def besides(self) -> tuple[Node, ...]:
        """What was weighed and did not decide."""
        return self.weighing() if callable(self.weighing) else self.weighing

    @cached_property
    def without(self) -> Mapping[str, Any]:
        """Of a withdrawal: conclusion -> its value if the preference did not hold, of all that would be other."""
        return self.changing() if self.changing is not None else {}

    @cached_property
    def content(self) -> dict[str, Any]:
        """What the node says, with ids in place of nodes and without its own id."""
        said = {k: _plain(v) for k, v in self.says.items()}
        if self.changing is not None:
            said["without"] = _plain(self.without)
        rests, besides = ([n.id for n in part] for part in (self.rests, self.besides))
        return written.content(self.kind, said, rests, besides, self.grade or "", self.by)

    @cached_property
    def id(self) -> str:
        """The first 12 hexadecimal digits of the SHA-256 of the content as canonical JSON."""
        return written.digest(self.content)


def _plain(value: Any) -> Any:
    if isinstance(value, Node):
        return value.id
    if isinstance(value, Saying):
        return value.written()
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
    """The steps of one consultation. Nodes are made when they are first asked for, and each only once."""

    run: Consultation
    _made: dict[tuple[Any, ...], Node | None] = field(default_factory=dict)
    _changes: dict[tuple[str, str], Mapping[str, Any]] = field(default_factory=dict)

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
                {
                    "name": name,
                    "state": answer.state,
                    "value": list(answer.values),
                    "unit": attribute.unit,
                    "words": answer.words,
                },
                weighing=(lambda: once(self.stands(f) for f in rivals)) if answer.state == "known" else (),
            )
        if attribute.kind in PATTERN_KINDS:
            return self._pattern(attribute.kind)
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
            once(self.applied(f) for f in supports),
            lambda: once(self.stands(f) for f in rest),
        )

    def _computed(self, attribute: Attribute) -> Node:
        known = self.run.known[attribute.name]
        says: dict[str, Any] = {"name": attribute.name, "value": list(known.values), "unit": attribute.unit}
        says["line"] = known.formula
        if attribute.name in self.run.priced:
            house = self.prices()
            rests = [house, *(self.fact(o) for o in attribute.inputs.values() if "." not in o)]
            return Node("computed", {**says, "formula": PRICE_LIST}, once(rests))
        formula = FORMULAS[attribute.formula]
        inputs: dict[str, tuple[Any, Node | None]] = {}
        rests = []
        for parameter, origin in attribute.inputs.items():
            decision, dot, column = origin.partition(".")
            node = self.table(decision, column) if dot else self.fact(origin)
            rests.append(node)
            bulky = dot or node is None or node.kind == "pattern"
            inputs[parameter] = (None if bulky else list(self.run.known[origin].values), node)
        says = written.computed(attribute, formula, list(known.values), known.formula, inputs)
        rests += [self.source(s) for s in formula.source]
        grade = self.run.rulebase.grade(formula.basis, formula.source)
        return Node("computed", says, once(rests), (), grade, formula.name)

    def _pattern(self, name: Kind) -> Node | None:
        item, run = self.run.item(), self.run
        if item is None:
            return None
        read = [self.fact(a) for a in ("item", *sorted({*sizes_read(item, name)} - {"weight"}))]
        by_hand = [self._by_hand(k) for k in sorted(run.answers) if k.startswith(PIECE)] if name == "pieces" else []
        missing = {k: v for k, v in run.not_computed.items() if k.partition(" ")[0] == name.removesuffix("s")}
        says = (
            written.pattern(name, item, run.pieces, run.piece_formulas, missing)
            if name == "pieces"
            else written.pattern(name, item, run.zones, [], missing)
        )
        return Node("pattern", says, once([*read, *by_hand]), (), "common practice", f"pattern of {item.slug}")

    def _by_hand(self, key: str) -> Node:
        answer = self.run.answers[key]
        said = {"name": key, "state": answer.state, "value": list(answer.values), "unit": "mm", "words": answer.words}
        made = self._node((key,), lambda: Node("answer", said))
        assert made is not None
        return made

    def table(self, decision: str, column: str) -> Node:
        """A column of numbers beside the candidates of a decision or the values of an attribute."""

        def make() -> Node:
            found = self.run.rulebase.holder(decision)
            about = found.properties[column]
            says = written.table(found, column)
            return Node(
                "table",
                says,
                once(self.source(s) for s in about.source),
                (),
                self.run.rulebase.grade(about.basis, about.source),
                f"table {decision} {column}",
            )

        node = self._node(("table", decision, column), make)
        assert node is not None
        return node

    def source(self, source_id: str) -> Node:
        """A published text."""

        def make() -> Node:
            return Node("source", written.source(self.run.rulebase.sources[source_id]))

        node = self._node(("source", source_id), make)
        assert node is not None
        return node

    def prices(self) -> Node:
        """The price list of the shop; only where there is one."""
        house = self.run.house
        assert house is not None
        return Node("prices", {"house": house.name, "invented": house.invented, "sha256": house.sha256})

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
        grade = self.run.rulebase.grade(rule.basis, rule.source)
        return Node("applied", lambda: written.applied(rule, premises), once(rests), (), grade, rule.id)

    def _premise(self, premise: Premise, facts: Iterable[Fact]) -> dict[str, Any]:
        name, operator = premise.attribute, premise.operator
        if operator in ("unknown", "lacks"):
            return written.premise(premise, [], [self.absence(name, *premise.values)])
        other = premise.other
        found = [f for f in facts if f[0] in (name, other) and (other or holds(premise, (f[1],)))]
        if operator != "known" and not other:
            found = found[:1]
        return written.premise(premise, found, once(self.fact(f[0]) for f in found))

    def absence(self, name: str, value: Value | None = None) -> Node:
        """What is not known, or not among the values of a set, with every rule that could have given it."""
        node = self._node(("absence", name, value), lambda: self._absence(name, value))
        assert node is not None
        return node

    def _absence(self, name: str, value: Value | None) -> Node:
        node = node_of(name)
        if name.endswith(ANSWERED):
            # No rule can answer in a person's place.
            return Node("absence", {"name": name, "lacks": None, "rules": {}})

        def says() -> dict[str, Any]:
            rules = {r.id: self._state(r) for r in self.run.rulebase.givers(node, value)}
            return {"name": name, "lacks": value, "rules": rules}

        return Node(
            "absence", says, once([self.fact(name)]) if name in self.run.known or node in self.run.answers else ()
        )

    def _state(self, rule: Rule) -> Saying:
        fired = self.run.firings.get(rule.id)
        if not fired:
            return say("did_not_apply")
        by = fired[0].withdrawn_by
        return say("withdrawn", rule=by) if by else say("applied")

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
        for rule in self.run.rulebase.about(caution_id):
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
            says = {"winner": by, "loser": loser.rule.id, "because": winner.rule.over_because}
            changing = partial(self._changed, by, loser.rule.id)
            return Node("withdrawn", says, (self.applied(winner), self.applied(loser)), changing=changing)

        return self._node(("withdrawn", firing.step), make)

    def _changed(self, winner: str, loser: str) -> Mapping[str, Any]:
        key = winner, loser
        if key not in self._changes:
            self._changes[key] = changes(values_of(self.run), values_of(self.run.without_preference(winner, loser)))
        return self._changes[key]

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

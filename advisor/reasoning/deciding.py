"""What a conclusion hangs on, found by real consultations with one thing left out.

An answer decides if the conclusion is another without it, a supposition if it is another when the supposition does
not apply, a preference if it is another when the preference does not hold. Of the answers, and of the suppositions, at
most MOST_RUNS are tried for one question; what stands nearest to the conclusion is tried first.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from . import advice as view
from .consult import Consultation
from .facts import Answer
from .proof import Proof
from .report import report
from .steps import Node

MOST_RUNS = 12


def value_of(run: Consultation, name: str) -> Any:
    """The value of one conclusion, as ``Proof.conclusion`` names them; None where there is none."""
    if name in run.ledgers:
        return list(run.ledgers[name].chosen)
    if name in run.rulebase.decisions:
        return [run.window.low, run.window.high]
    if name in run.known:
        return list(run.known[name].values)
    node = Proof(run).conclusion(name)
    if node is None:
        return None
    return {"outcome": node.says.get("outcome"), "amount": [node.says.get("form"), node.says.get("count")]}.get(
        name, True
    )


def values_of(run: Consultation) -> dict[str, Any]:
    """Every conclusion of a consultation as plain values: decisions, attributes, cautions that apply, outcome."""
    names = [*run.rulebase.decisions, *(n for n in run.known if n in run.rulebase.attributes), "outcome", "amount"]
    names += [f"caution {c.target}" for f in run.in_order() for c in f.rule.then if c.act == "caution"]
    return {name: value_of(run, name) for name in dict.fromkeys(names)}


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """Conclusion -> its value afterwards (None for none), of those that are not what they were; by name."""
    names = sorted(before.keys() | after.keys())
    return {name: after.get(name) for name in names if before.get(name) != after.get(name)}


def without_preference(run: Consultation) -> Callable[[str, str], Mapping[str, Any]]:
    """What a preference of this consultation changed: takes winner and loser, gives what would be without it."""
    found: dict[tuple[str, str], dict[str, Any]] = {}

    def without(winner: str, loser: str) -> Mapping[str, Any]:
        if (winner, loser) not in found:
            other = Consultation(run.rulebase, run.answers, run.engine, run.house, (winner, loser))
            found[winner, loser] = changes(values_of(run), values_of(other))
        return found[winner, loser]

    return without


def proof_of(run: Consultation) -> Proof:
    """The proof of a consultation, with what each preference changed."""
    return Proof(run, without_preference(run))


def proven(run: Consultation) -> view.Advice:
    """The advice of a consultation that carries its own proof."""
    return report(run).model_copy(update={"proof": view.ProofView(**proof_of(run).export())})


@dataclass(frozen=True, slots=True)
class Deciding:
    """What a conclusion hangs on: its answers, and the nearest supposition and withdrawal that decide.

    ``without`` is what the conclusion would be without the first answer that was left out and decides.
    """

    answers: tuple[str, ...] = ()
    supposition: str | None = None
    withdrawal: Node | None = None
    without: Any = None


def steps_under(node: Node, besides: bool = False) -> list[Node]:
    """The node and all that it rests on, nearest first, each once; with ``besides`` what was weighed as well."""
    found, level = {id(node): node}, [node]
    while level:
        parts = [p for step in level for p in (*step.rests, *(step.besides if besides else ()))]
        level = [part for part in parts if id(part) not in found]
        found |= {id(part): part for part in level}
        level = list({id(part): part for part in level}.values())
    return list(found.values())


def deciding(proof: Proof, name: str, most: int = MOST_RUNS) -> Deciding:
    """What decides the conclusion ``name``; nothing for a name without a proof."""
    node, run = proof.conclusion(name) if name else None, proof.run
    if node is None:
        return Deciding()
    steps = [s for s in steps_under(node) if s is not node]
    near = [str(s.says["name"]) for s in steps if s.kind == "answer"]
    # What bars or outbids something leaves no step under the conclusion, so the other answers are tried after these.
    told = list(dict.fromkeys((*near, *(n for n, a in run.answers.items() if a.state == "known"))))
    supposed = [str(s.says["name"]) for s in steps if s.kind == "supposition"]
    before = value_of(run, name)

    def then(answers: Mapping[str, Answer]) -> Any:
        return value_of(Consultation(run.rulebase, answers, run.engine, run.house), name)

    # Without the item there is no advice at all: that needs no trying.
    tried = [a for a in told if a not in ("item", name)][:most]
    others = {a: then({k: v for k, v in run.answers.items() if k != a}) for a in tried}
    answers = [a for a in tried if others[a] != before]
    without = others[answers[0]] if answers else None
    answers += [a for a in near if a in ("item", name)]
    asked = [s for s in supposed if run.rulebase.attributes[s].ask != "never"][: most - len({*near} & {*tried})]
    not_so = Answer((), "does not apply")
    supposition = next((s for s in asked if then({**run.answers, s: not_so}) != before), None)
    nearby = dict.fromkeys(p for s in (node, *steps) for p in (*s.rests, *s.besides) if p.kind == "withdrawn")
    withdrawal = next((n for n in nearby if name in n.says.get("without", {})), None)
    return Deciding(tuple(answers), supposition, withdrawal, without)

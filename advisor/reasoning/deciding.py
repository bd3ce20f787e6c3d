"""What a conclusion hangs on, found by real consultations with one thing left out.

An answer decides if the conclusion is another without it, a supposition if it is another when the supposition does
not apply, a preference if it is another when the preference does not hold. Of the answers, and of the suppositions, at
most MOST_RUNS are tried for one question; what stands nearest to the conclusion is tried first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from . import advice as view
from .conclusions import value_of
from .consult import Consultation
from .facts import Answer
from .proof import Proof
from .report import report
from .steps import Node

MOST_RUNS = 12


def proven(run: Consultation) -> view.Advice:
    """The advice of a consultation that carries its own proof."""
    return report(run).model_copy(update={"proof": view.ProofView(**run.proof.export())})


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
    withdrawal = next((n for n in nearby if name in n.without), None)
    return Deciding(tuple(answers), supposition, withdrawal, without)

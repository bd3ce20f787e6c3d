"""How good the evidence behind a conclusion is: the weakest link of its proof, and what was taken for granted.

Published and opened is better than published and remembered, then common practice, then an estimate. An answer
has no grade: it is what somebody said. What was weighed and did not decide does not count.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..rulebase.models import Attribute
from . import advice as view
from .proof import Proof
from .steps import Node


class Evidence:
    """The weakest link under each node of one proof; every node is looked at once."""

    def __init__(self, attributes: Mapping[str, Attribute]) -> None:
        self._asked = {a.name for a in attributes.values() if a.ask != "never"}
        self._found: dict[int, tuple[int, str]] = {}
        self._supposed: dict[int, frozenset[str]] = {}

    def weakest(self, node: Node) -> tuple[int, str]:
        """The place of the weakest grade in ``GRADES`` and what it belongs to; -1 where only answers stand."""
        found = self._found.get(id(node))
        if found is None:
            found = (view.GRADES.index(node.grade), node.by) if node.grade in view.GRADES else (-1, "")
            for part in node.rests:
                under = self.weakest(part)
                if under[0] > found[0]:
                    found = under
            self._found[id(node)] = found
        return found

    def supposed(self, node: Node) -> frozenset[str]:
        """What nobody said and could have been asked, on which the node rests."""
        found = self._supposed.get(id(node))
        if found is None:
            found = frozenset().union(*(self.supposed(part) for part in node.rests))
            if node.kind == "supposition" and node.says["name"] in self._asked:
                found |= {str(node.says["name"])}
            self._supposed[id(node)] = found
        return found


CONCLUSIONS = ("tannage", "grain", "surface", "temper", "weight", "cut", "species", "form", "amount", "outcome")


def evidence(proof: Proof) -> list[view.EvidenceView]:
    """The evidence of every conclusion that was come to."""
    graded = Evidence(proof.run.rulebase.attributes)
    found = []
    for name in CONCLUSIONS:
        node = proof.conclusion(name)
        if node is None or not node.rests:
            continue
        place, by = graded.weakest(node)
        if place >= 0:
            found.append(
                view.EvidenceView(
                    conclusion=name, grade=view.GRADES[place], by=by, supposed=sorted(graded.supposed(node))
                )
            )
    return found

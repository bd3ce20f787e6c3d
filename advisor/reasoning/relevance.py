"""Which open questions can still matter, found by walking back from what is not settled.

Errs on one side only: it may keep a question that could be dropped, never drop one that could matter.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..rulebase.models import RuleBase
from ..rulebase.strata import node_of
from .network import network
from .open_parts import followed, parts_speaking
from .possibility import Possibility
from .spread import MAYBE, NO


def live_questions(run: Possibility) -> dict[str, set[str]]:
    """Every open question that can still matter, with the decisions, cautions or outcome it can reach."""
    reached: dict[str, set[str]] = {}
    fed: dict[str, set[str]] = {}
    # Every node is asked of by many others, and telling the values of an open one takes sorting them.
    unsettled = {n for n, spread in run.spreads.items() if spread.fixed is None}
    unsettled |= {n for n in run.patterns if _open_pattern(run, n)}

    def feeds(node: str) -> set[str]:
        if node not in fed:
            fed[node] = _feeds(run, node, unsettled) & unsettled
        return fed[node]

    for goal in (*run.rulebase.decisions, "parts", "cautions", "outcome"):
        seen, waiting = set[str](), set(feeds(goal))
        while waiting:
            node = waiting.pop()
            seen.add(node)
            if node in run.opened:
                reached.setdefault(node, set()).add(goal)
            waiting |= feeds(node) - seen
    return reached


def _open_pattern(run: Possibility, node: str) -> bool:
    pattern = run.patterns.get(node, ())
    return pattern is None or len(pattern) > 1


def _feeds(run: Possibility, node: str, unsettled: set[str]) -> set[str]:
    """The names that what settles this node still waits for, with all those among them that are ``unsettled``."""
    net = run.net
    may_wait_for, all_together = run.rulebase.once("waited for", _waited_for)
    if node in ("cautions", "outcome"):
        speaking: Sequence[tuple[int, object]] = net.warnings if node == "cautions" else net.outcomes + net.clashes
    elif node == "parts":
        speaking = list(parts_speaking(run.rulebase, run.item()))
    else:
        speaking = run.speaking(node)
    found: set[str] = set()
    left = unsettled & all_together[node]
    tests, statuses = run.tests, run.statuses
    for place, _ in speaking if left else ():
        # Of some hundred rules about a node the first few wait for all that the others do.
        if statuses[place] == NO or left.isdisjoint(may_wait_for[place]):
            continue
        more = {net.asks[t] for t in net.tests[place] if tests[t] == MAYBE} | net.values_from[place]
        if winners := net.winners[place]:
            more |= {node_of(n) for w in winners for n in net.reads[w] if statuses[w] != NO}
        found |= more
        left -= more
        if not left:
            break
    if node in run.patterns:
        item = run.fixed("item")
        return found | (net.sizes[str(item[0])] if item and str(item[0]) in net.sizes else {"item"})
    if node == "parts":
        found |= followed(run.rulebase, run.item())
    return found | net.sources.get(node, frozenset())


def _waited_for(rulebase: RuleBase) -> tuple[list[frozenset[str]], dict[str, frozenset[str]]]:
    """For each rule the names that it can ever wait for, also by rules preferred to it; for each node, all together."""
    net = network(rulebase)
    each = [
        frozenset(
            [net.asks[t] for t in net.tests[place]]
            + list(net.values_from[place])
            + [node_of(n) for w in net.winners[place] for n in net.reads[w]]
        )
        for place in range(len(net.rules))
    ]
    speaking = {node: [place for place, _ in net.about.get(node, ())] for node in net.order}
    speaking["cautions"] = [place for place, _ in net.warnings]
    speaking["parts"] = [place for place, _ in parts_speaking(rulebase, None)]
    speaking["outcome"] = [place for place, _ in net.outcomes + net.clashes]
    return each, {node: frozenset().union(*(each[p] for p in places)) for node, places in speaking.items()}

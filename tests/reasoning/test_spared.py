"""What is spared is what would have come to the same: each short way is held against the long one."""

from __future__ import annotations

import random

import pytest

from advisor.reasoning.concern import _ordered, practice_matters
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import parse_answers
from advisor.reasoning.possibility import Possibility
from advisor.reasoning.relevance import live_questions
from advisor.reasoning.spread import MAYBE, NO
from advisor.rulebase.models import RuleBase
from advisor.rulebase.strata import node_of

WISHES: tuple[dict[str, object], ...] = ({}, {"decoration": "carve", "water": "rain"}, {"quantity": 12.0})


def consultations(rulebase: RuleBase, many: int, seed: int) -> list[Consultation]:
    pick = random.Random(seed)
    found = []
    for item in pick.sample(sorted(rulebase.items), many):
        said = pick.choice(WISHES)
        found.append(Consultation(rulebase, parse_answers(rulebase, {"item": item, **said})))
    return found


def waited_for(run: Possibility, node: str) -> set[str]:
    """All that settles a node and is looked at rule by rule, none passed over."""
    net = run.net
    if node in ("cautions", "outcome"):
        places = [place for place, _ in (net.warnings if node == "cautions" else net.outcomes + net.clashes)]
    else:
        places = [place for place, _ in net.about.get(node, ())]
    found = set[str]()
    for place in (p for p in places if run.statuses[p] != NO):
        found |= {net.asks[t] for t in net.tests[place] if run.tests[t] == MAYBE} | net.values_from[place]
        found |= {node_of(n) for w in net.winners[place] for n in net.reads[w] if run.statuses[w] != NO}
    if node in run.patterns:
        item = run.fixed("item")
        return found | set(net.sizes.get(str(item[0]) if item else "", {"item"}))
    return found | net.sources.get(node, frozenset())


def plainly(run: Possibility) -> dict[str, set[str]]:
    """The open questions that a walk back from each goal meets, as ``live_questions`` has them."""
    unsettled = {n for n, spread in run.spreads.items() if spread.fixed is None}
    unsettled |= {n for n, pattern in run.patterns.items() if pattern is None or len(pattern) > 1}
    reached: dict[str, set[str]] = {}
    for goal in (*run.rulebase.decisions, "cautions", "outcome"):
        seen, waiting = set[str](), waited_for(run, goal) & unsettled
        while waiting:
            node = waiting.pop()
            seen.add(node)
            if node in run.opened:
                reached.setdefault(node, set()).add(goal)
            waiting |= (waited_for(run, node) & unsettled) - seen
    return reached


def test_rules_passed_over_ask_for_nothing_else(rulebase: RuleBase) -> None:
    runs = [run.possible for run in consultations(rulebase, 8, 5)]
    assert [live_questions(run) for run in runs] == [plainly(run) for run in runs]
    assert all(plainly(run) for run in runs)


def test_names_whose_openness_keeps_a_rule_possible_are_those_of_its_premises(rulebase: RuleBase) -> None:
    for run in (run.possible for run in consultations(rulebase, 4, 6)):
        for rule in rulebase.rules.values():
            open_ = [p.attribute for p in rule.when if run.premise(p) == MAYBE]
            assert run.open_premises(rule) == list(dict.fromkeys(open_))


@pytest.mark.parametrize("seed", [1, 2])
def test_a_disputed_rule_matters_where_the_order_without_it_is_another(rulebase: RuleBase, seed: int) -> None:
    tried = 0
    for run in consultations(rulebase, 8, seed):
        fired = [f.rule for f in run.in_order() if f.rule.contested and f.withdrawn_by is None]
        # Also rules that nobody disputes, of which each moves some order.
        fired += [f.rule for f in run.in_order() if f.rule.then[0].act in ("favour", "at least")][:6]
        for rule in fired:
            tried += 1
            assert practice_matters(run, rule) == (_ordered(run) != _ordered(run.silencing(rule.id))), rule.id
    assert tried > 40

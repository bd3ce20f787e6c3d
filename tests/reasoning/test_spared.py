"""What is spared is what would have come to the same: each short way is held against the long one."""

from __future__ import annotations

import pickle
import random

import pytest

from advisor.reasoning.advice import DangerQuestion
from advisor.reasoning.changes import alternatives, present
from advisor.reasoning.concern import _ordered, practice_matters
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import parse_answers
from advisor.reasoning.open_parts import followed, parts_speaking
from advisor.reasoning.possibility import Possibility, everything_open
from advisor.reasoning.relevance import live_questions
from advisor.reasoning.report import report
from advisor.reasoning.spread import MAYBE, NO, whole
from advisor.reasoning.standing import standing
from advisor.reasoning.tipping import BOUGHT, _ordering
from advisor.rulebase.asking import asking_of
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
    elif node == "parts":
        places = [place for place, _ in parts_speaking(run.rulebase, run.item())]
    else:
        places = [place for place, _ in net.about.get(node, ())]
    found = set[str]()
    for place in (p for p in places if run.statuses[p] != NO):
        found |= {net.asks[t] for t in net.tests[place] if run.tests[t] == MAYBE} | net.values_from[place]
        found |= {node_of(n) for w in net.winners[place] for n in net.reads[w] if run.statuses[w] != NO}
    if node in run.patterns:
        item = run.fixed("item")
        return found | set(net.sizes.get(str(item[0]) if item else "", {"item"}))
    beside = followed(run.rulebase, run.item()) if node == "parts" else set()
    return found | beside | net.sources.get(node, frozenset())


def plainly(run: Possibility) -> dict[str, set[str]]:
    """The open questions that a walk back from each goal meets, as ``live_questions`` has them."""
    unsettled = {n for n, spread in run.spreads.items() if spread.fixed is None}
    unsettled |= {n for n, pattern in run.patterns.items() if pattern is None or len(pattern) > 1}
    reached: dict[str, set[str]] = {}
    for goal in (*run.rulebase.decisions, "parts", "cautions", "outcome"):
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


@pytest.mark.parametrize("many", [70, pytest.param(90, marks=pytest.mark.slow)])
def test_what_a_screen_reads_of_an_advice_is_what_the_whole_of_it_says(many: int, rulebase: RuleBase) -> None:
    met = open_ = 0
    raised = (*rulebase.attributes["raised"].values,)
    for n, run in enumerate(consultations(rulebase, many, 7)):
        run = Consultation(rulebase, run.answers, raised=(raised[n % len(raised)],) if n % 3 == 0 else ())
        short, whole_of_it = report(run), report(Consultation(rulebase, run.answers))
        dangers, told = short.dangers, short.cautions_told
        assert "possible" not in run.__dict__
        questions = [q for q in whole_of_it.open_questions if q.danger is not None]
        assert dangers == [DangerQuestion(q.attribute, q.question, q.danger or "", q.values) for q in questions]
        assert told == [c for c in whole_of_it.cautions if c.status == "applies" or c.relevant]
        assert short == whole_of_it
        assert list(short.model_dump()) == list(
            type(short).model_validate(whole_of_it.model_dump(by_alias=True)).model_dump()
        )
        met, open_ = met + sum(c.status != "applies" for c in told), open_ + len(dangers)
    assert met > 20
    assert open_ > 5


@pytest.mark.parametrize("written", ["model_dump", "model_dump_json"])
def test_an_interruption_while_an_advice_is_written_out_is_one(written: str, rulebase: RuleBase) -> None:
    def interrupted() -> object:
        raise KeyboardInterrupt

    (run,) = consultations(rulebase, 1, 8)
    advice = report(run)
    assert "trace" not in advice.__dict__
    advice._later = {**advice._later, "trace": interrupted}
    with pytest.raises(KeyboardInterrupt):
        getattr(advice, written)()


def test_a_part_of_an_advice_that_is_exchanged_is_not_worked_out(rulebase: RuleBase) -> None:
    (run,) = consultations(rulebase, 1, 8)
    assert pickle.loads(pickle.dumps(report(run))) == report(run)
    assert report(run).model_copy(update={"cautions": []}).cautions_told == []
    assert report(run).cautions_told != []
    assert report(run) != report(run).model_copy(update={"cautions": []})


def test_a_run_that_goes_on_from_the_last_is_the_one_begun_anew(rulebase: RuleBase) -> None:
    """Both with nothing and with everything open, whatever was said of the same thing before."""
    pick = random.Random(9)
    names = [a for a in rulebase.attributes.values() if a.ask != "never" and a.kind in ("choice", "yes_no")]
    for item in pick.sample(sorted(rulebase.items), 3):
        for _ in range(4):
            said = {a.name: pick.choice(list(a.values)) for a in pick.sample(names, 4) if a.name != "item"}
            answers = parse_answers(rulebase, {"item": item, **said})
            run, open_run = present(rulebase, answers), everything_open(rulebase, answers)
            for one in (run, open_run):
                anew = Possibility(rulebase, answers, {n: s for n, s in open_run.opened.items() if one is open_run})
                assert one.answers == answers
                assert (one.spreads, one.statuses, one.weighed, one.window, one.patterns) == (
                    anew.spreads,
                    anew.statuses,
                    anew.weighed,
                    anew.window,
                    anew.patterns,
                )


def test_what_is_bought_hangs_on_no_more_than_is_settled_for_it(rulebase: RuleBase) -> None:
    within, tried = _ordering(rulebase), 0
    for run in (present(rulebase, c.answers) for c in consultations(rulebase, 6, 10)):
        here = standing(run)
        for name in asking_of(rulebase, str((run.fixed("item") or ("",))[0])).supposed:
            attribute = rulebase.attributes[name]
            for said in (whole(attribute), *alternatives(run, attribute)[:3]):
                part, all_of_it = (here.moved(standing(run.saying({name: said}, w))) for w in (within, None))
                assert set(BOUGHT).isdisjoint(part) == set(BOUGHT).isdisjoint(all_of_it), (name, said)
                tried += 1
    assert tried > 60
    assert len(within) < len(run.net.order)

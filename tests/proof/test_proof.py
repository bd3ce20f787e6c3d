"""The proof itself: complete, the same for the same answers, and true when something is really left out."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from typing import Any

import pytest
from samples import BASE, CASES, advice_of, advice_of_case, case, random_answers

from advisor.reasoning.advice import GRADES
from advisor.reasoning.consult import Consultation
from advisor.reasoning.deciding import changes, deciding, proof_of, value_of, values_of
from advisor.reasoning.facts import Answer, parse_answers
from advisor.reasoning.proof import Proof

LEAVES = {"answer", "absence", "table", "source", "prices"}
NOT_SO = Answer((), "does not apply")


def _speaks_for(balance: dict[str, Any]) -> bool:
    lead = balance["chosen"][:1]
    return any(e["counts"] and e["act"] == "favour" and e["candidate"] in lead for e in balance["entries"])


@pytest.mark.parametrize("name", sorted(CASES))
def test_every_leaf_is_an_answer_an_absence_a_table_or_a_source(name: str) -> None:
    proof = advice_of_case(name)["proof"]
    nodes = proof["nodes"]
    # Where nothing speaks for the lead, it is what least speaks against.
    left_over = [n for n in nodes.values() if n["kind"] == "balance" and n["entries"] and not _speaks_for(n)]
    assert {n["kind"] for n in nodes.values() if not n["from"] and n not in left_over} <= LEAVES
    reached, waiting = set[str](), [*proof["roots"].values(), *proof["applied"], *proof["withdrawn"]]
    while waiting:
        key = waiting.pop()
        if key not in reached:
            reached.add(key)
            waiting += nodes[key]["from"] + nodes[key]["besides"]
    assert reached == set(nodes)


@pytest.mark.parametrize("name", sorted(CASES))
def test_every_conclusion_of_the_advice_has_its_proof(name: str) -> None:
    advice = advice_of_case(name)
    roots = advice["proof"]["roots"]
    known = [n for n, f in advice["facts"].items() if f["value"] is not None]
    assert set(known) <= set(roots)
    assert {f"caution {c['id']}" for c in advice["cautions"] if c["status"] == "applies"} <= set(roots)
    assert [f"conflict {n}" for n, _ in enumerate(advice["conflicts"], 1)] == [r for r in roots if r[:9] == "conflict "]
    assert {n for n, d in advice["decisions"].items() if d.get("chosen")} <= set(roots)
    assert len(advice["proof"]["applied"]) == len(advice["trace"])
    assert ("outcome" in roots) == (advice["outcome"] is not None)


def test_the_order_of_answers_leaves_every_byte_as_it_was() -> None:
    for seed in range(5):
        answers = list(random_answers(seed).items())
        first = json.dumps(advice_of(dict(answers)))
        random.Random(seed).shuffle(answers)
        assert json.dumps(advice_of(dict(answers))) == first


def test_without_a_premise_it_cites_a_rule_does_not_hold() -> None:
    tried = 0
    for seed in range(20):
        rng, run = random.Random(seed), Consultation(BASE, random_answers(seed))
        proof = run.proof
        firings = run.in_order()
        for firing in rng.sample(firings, min(8, len(firings))):
            node = proof.applied(firing)
            for part in node.rests:
                if part.kind not in ("answer", "supposition") or part.says["name"] == "item":
                    continue
                name = part.says["name"]
                without = Consultation(BASE, {**run.answers, name: NOT_SO})
                same = [f for f in without.firings.get(firing.rule.id, ()) if f.match.facts == firing.match.facts]
                assert same == [], (seed, firing.rule.id, name)
                tried += 1
    assert tried > 30


def preferences(wanted: int) -> list[tuple[Consultation, Any]]:
    """Consultations in which a preference decided, with the step, each preference once."""
    found: dict[tuple[str, str], tuple[Consultation, Any]] = {}
    seed = 0
    while len(found) < wanted:
        run = Consultation(BASE, random_answers(seed))
        seed += 1
        losers = [f for f in run.in_order() if f.withdrawn_by]
        if losers:
            proof = run.proof
            for firing in losers:
                step = proof.withdrawn(firing)
                assert step is not None
                found.setdefault((str(firing.withdrawn_by), firing.rule.id), (run, step))
    return list(found.values())[:wanted]


def check_preferences(wanted: int) -> None:
    """What the proof says of a preference is what a rule base without it comes to."""
    for run, step in preferences(wanted):
        winner, loser = step.says["winner"], step.says["loser"]
        rule = BASE.rules[winner]
        changed = replace(rule, over=tuple(o for o in rule.over if o != loser))
        base = replace(BASE, rules={**BASE.rules, winner: changed}, memo={})
        assert changes(values_of(run), values_of(Consultation(base, run.answers))) == step.without


def test_what_would_be_without_a_preference_is_what_a_rule_base_without_it_says() -> None:
    check_preferences(3)


@pytest.mark.slow
def test_what_would_be_without_every_preference_that_is_ever_used() -> None:
    check_preferences(18)


@pytest.mark.parametrize("name", ["dog_lead_30_kg", "gloves_chromium_allergy", "plain_tote_turned"])
def test_an_answer_decides_exactly_if_the_conclusion_is_another_without_it(name: str) -> None:
    run = Consultation(BASE, case(name))
    proof = run.proof
    for conclusion in ("tannage", "weight", "form"):
        decides = deciding(proof, conclusion)
        for answer in (a for a in run.answers if a != "item"):
            kept = Consultation(BASE, {k: v for k, v in run.answers.items() if k != answer})
            other = value_of(kept, conclusion) != value_of(run, conclusion)
            assert other == (answer in decides.answers), (conclusion, answer)
        if decides.supposition:
            assert value_of(Consultation(BASE, {**run.answers, decides.supposition: NOT_SO}), conclusion) != value_of(
                run, conclusion
            )


@pytest.mark.parametrize("name", sorted(CASES))
def test_the_grade_is_the_weakest_in_the_graph(name: str) -> None:
    advice = advice_of_case(name)
    nodes = advice["proof"]["nodes"]
    for entry in advice["evidence"]:
        seen, waiting = set[str](), [advice["proof"]["roots"][entry["conclusion"]]]
        while waiting:
            key = waiting.pop()
            if key not in seen:
                seen.add(key)
                waiting += nodes[key]["from"]
        grades = [GRADES.index(nodes[k]["grade"]) for k in seen if "grade" in nodes[k]]
        assert entry["grade"] == GRADES[max(grades)]
        assert entry["by"] in {nodes[k]["by"] for k in seen if nodes[k].get("grade") == entry["grade"]}
        supposed = {nodes[k]["name"] for k in seen if nodes[k]["kind"] == "supposition"}
        assert set(entry["supposed"]) == {s for s in supposed if BASE.attributes[s].ask != "never"}


def test_the_words_of_the_person_stand_in_the_proof() -> None:
    proof = advice_of_case("dog_lead_30_kg")["proof"]
    assert proof["nodes"][proof["roots"]["load_mass"]]["words"] == "30 kg dog"
    typed = advice_of(parse_answers(BASE, {"item": "trouser_belt", "strap_width": "1 1/2 in"}))["proof"]
    assert typed["nodes"][typed["roots"]["strap_width"]]["words"] == "1 1/2 in"


def test_the_plain_advice_has_no_proof() -> None:
    from advisor import consult

    assert "proof" not in json.loads(consult(BASE, {"item": "dog_lead"}).model_dump_json())

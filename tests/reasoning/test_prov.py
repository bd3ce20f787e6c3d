"""The exported provenance, read back by an independent library, holds the whole trace.

Against: PROV-DM (W3C Recommendation, 30 April 2013) and PROV-JSON (W3C Member Submission, 24 April
2013), as the general-purpose library ``prov`` reads and writes them.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import pytest
from prov.model import ProvDocument, ProvEntity, ProvRecord

from advisor import load_rulebase
from advisor.read.reader import read_sentence
from advisor.reasoning.changes import present
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import parse_answers
from advisor.reasoning.interview import stop
from advisor.reasoning.prov import provenance
from advisor.reasoning.prov_json import Document, Name
from advisor.reasoning.record import Event, fold
from advisor.reasoning.report import report
from advisor.rulebase.house import load_house
from advisor.rulebase.models import RuleBase
from advisor.talk.alternatives import alternatives
from advisor.talk.session import Session

sys.path.append(str(Path(__file__).parents[1] / "snapshots"))
from test_traces import CASES

ITEMS = sorted(load_rulebase().items)
RELATIONS = {
    "used",
    "wasGeneratedBy",
    "wasInvalidatedBy",
    "wasDerivedFrom",
    "wasAssociatedWith",
    "wasAttributedTo",
    "hadMember",
}


def runs(rulebase: RuleBase, case: str) -> Consultation:
    answers = read_sentence(rulebase, CASES[case]).answers if case in CASES else {"item": case}
    return Consultation(rulebase, parse_answers(rulebase, answers))


@pytest.mark.parametrize("case", [*list(CASES)[::15], *ITEMS[::240]])
def test_every_step_is_in_the_file_and_the_file_comes_back_equal(case: str, rulebase: RuleBase) -> None:
    assert_whole_and_read_back(runs(rulebase, case))


@pytest.mark.slow
@pytest.mark.parametrize("case", [*CASES, *ITEMS])
def test_every_step_of_every_item_is_in_the_file(case: str, rulebase: RuleBase) -> None:
    assert_whole_and_read_back(runs(rulebase, case))


def test_what_a_price_list_gives_is_no_formula_but_used_the_list(rulebase: RuleBase) -> None:
    house = load_house(Path(__file__).parents[2] / "transcripts_demo" / "house", rulebase)
    answers = read_sentence(rulebase, CASES["belt_for_jeans"]).answers
    run = Consultation(rulebase, parse_answers(rulebase, answers), house=house)
    assert {"cheapest_forms", "least_cost"} <= run.priced
    assert_whole_and_read_back(run)
    raw = json.loads(provenance(run, "0.1.0"))
    for name in ("cheapest_forms", "least_cost"):
        activity = f"run:calculation/{name}"
        used = {u["prov:entity"] for u in raw["used"].values() if u["prov:activity"] == activity}
        assert "run:prices" in used
        (link,) = [a for a in raw["wasAssociatedWith"].values() if a["prov:activity"] == activity]
        assert "prov:plan" not in link


def assert_whole_and_read_back(run: Consultation) -> None:
    text = provenance(run, "0.1.0")
    document = ProvDocument.deserialize(content=text, format="json")
    assert ProvDocument.deserialize(content=document.serialize(), format="json") == document
    assert document.get_provn().startswith("document")
    raw = json.loads(text)
    assert len(document.records) == sum(len(v) for k, v in raw.items() if k != "prefix")
    assert_nothing_dangles(raw)
    assert steps_in(raw) == {
        f.step: (rule_id, [*f.match.facts], sorted(f"{t.attribute} {t.operator == 'known'}" for t in f.match.absent))
        for rule_id, fired in run.firings.items()
        for f in fired
    }
    assert_same_advice(raw, run)


def assert_nothing_dangles(document: dict[str, dict[str, Any]]) -> None:
    """Every end of every relation is a thing that is told of."""
    things = {name for kind in ("entity", "activity", "agent") for name in document.get(kind, {})}
    assert set(document) <= RELATIONS | {"prefix", "entity", "activity", "agent", "bundle"}
    ends = ("activity", "entity", "agent", "plan", "collection", "generatedEntity", "usedEntity")
    for kind in RELATIONS & document.keys():
        for relation in document[kind].values():
            for end in ends:
                assert f"prov:{end}" not in relation or relation[f"prov:{end}"] in things


def steps_in(raw: dict[str, dict[str, Any]]) -> dict[int, tuple[str, list[tuple[str, object]], list[str]]]:
    """What the file alone tells of each step: the rule, the facts it matched in order, what was absent."""
    found: dict[int, tuple[str, list[tuple[str, object]], list[str]]] = {}
    by_activity: dict[str, list[dict[str, object]]] = {}
    for use in raw.get("used", {}).values():
        by_activity.setdefault(use["prov:activity"], []).append(use)
    for link in raw["wasAssociatedWith"].values():
        activity = link["prov:activity"]
        if not activity.startswith("run:application/"):
            continue
        rule = raw["entity"][link["prov:plan"]]["adv:id"]
        uses = by_activity.get(activity, [])
        premises = sorted((u for u in uses if value(u["prov:role"]) == "adv:premise"), key=lambda u: position(u))
        absent = [raw["entity"][u["prov:entity"]] for u in uses if value(u["prov:role"]) == "adv:absence"]
        found[int(activity.rpartition("/")[2])] = (
            rule,
            [(str(u["adv:fact"]), value(u["prov:value"])) for u in premises],
            sorted(f"{a['adv:attribute']} {a['adv:text'].endswith('is unknown')}" for a in absent),
        )
    return found


def position(use: dict[str, object]) -> int:
    return int(str(value(use["adv:position"])))


def value(literal: object) -> object:
    if not isinstance(literal, dict):
        return literal
    return {"xsd:double": float, "xsd:int": int}.get(literal["type"], str)(literal["$"])


def assert_same_advice(raw: dict[str, dict[str, Any]], run: Consultation) -> None:
    """Members of the advice are its decisions, cautions and conflicts; withdrawn conclusions are ended."""
    advice = report(run)
    members = {m["prov:entity"] for m in raw["hadMember"].values() if m["prov:collection"] == "run:advice"}
    assert {f"run:caution/{c.id}" for c in advice.cautions} < members
    assert {f"run:decision/{d}" for d in (*advice.decisions.choices(), "weight", "amount")} < members
    assert sum(str(m).startswith("run:conflict/") for m in members) == len(advice.conflicts)
    for step in advice.trace:
        for i, concluded in enumerate(step.concluded, 1):
            assert raw["entity"][f"run:conclusion/{step.step}/{i}"]["adv:text"] == concluded
    ended = {i["prov:entity"] for i in raw.get("wasInvalidatedBy", {}).values()}
    withdrawn = {n for n, e in raw["entity"].items() if e.get("adv:status") == "withdrawn"}
    steps = {str(n).split("/")[1] for n in withdrawn}
    assert steps == {
        str(s.step)
        for s in advice.trace
        if s.withdrawn_by and any(c.act not in ("caution", "clash") for c in run.rulebase.rules[s.rule].then)
    }
    assert withdrawn <= ended
    computed = {n for n, k in run.known.items() if k.origin == "computed"}
    sums = {str(n).removeprefix("run:calculation/"): a for n, a in raw["activity"].items() if "calculation/" in str(n)}
    assert set(sums) == computed
    assert all(sums[n].get("adv:substituted") == run.known[n].formula for n in computed)
    bounds = [e for n, e in raw["entity"].items() if str(n).startswith("run:bound/")]
    assert len(bounds) == len(run.window.bounds)


def test_equal_advice_gives_equal_bytes_with_sorted_keys(rulebase: RuleBase) -> None:
    text = provenance(runs(rulebase, "dog_lead_30_kg"), "0.1.0")
    assert text == provenance(runs(rulebase, "dog_lead_30_kg"), "0.1.0")
    assert json.dumps(json.loads(text), indent=1, sort_keys=True, ensure_ascii=False) + "\n" == text
    assert "Time" not in text


def test_a_rule_is_a_plan_with_its_source(rulebase: RuleBase) -> None:
    text = provenance(runs(rulebase, "climbing_harness_refused"), "0.1.0")
    document = ProvDocument.deserialize(content=text, format="json")
    raw = json.loads(document.serialize())
    rule = raw["entity"]["kb:rule/climbing-gear-is-refused"]
    assert {t["$"] for t in rule["prov:type"]} == {"prov:Plan", "adv:Rule"}
    sources = [
        d["prov:usedEntity"]
        for d in raw["wasDerivedFrom"].values()
        if d["prov:generatedEntity"] == "kb:rule/climbing-gear-is-refused"
    ]
    assert sources == [f"src:{s}" for s in rulebase.rules["climbing-gear-is-refused"].source]


def test_a_changed_answer_is_a_revision_and_ends_the_one_before(rulebase: RuleBase) -> None:
    events: list[Event] = []
    session = Session(rulebase, listener=events.append)
    session.open()
    session.hear("belt for jeans, waist 92 cm")
    assert session.question is not None
    question = session.question.question
    for line in ("don't know", "change waist to 1 m"):
        session.hear(line)
    state = fold(events)
    raw = json.loads(provenance(session.consultation(), "0.1.0", state.turns))
    entities = raw["entity"]
    assert value(entities["run:told/waist/1"]["prov:value"]) == 920.0
    assert value(entities["run:told/waist/3"]["prov:value"]) == 1000.0
    (revision,) = [d for d in raw["wasDerivedFrom"].values() if value(d.get("prov:type")) == "prov:Revision"]
    assert (revision["prov:generatedEntity"], revision["prov:usedEntity"]) == ("run:told/waist/3", "run:told/waist/1")
    ended = {i["prov:entity"]: i["prov:activity"] for i in raw["wasInvalidatedBy"].values()}
    assert ended["run:told/waist/1"] == "run:turn/3"
    assert raw["activity"]["run:turn/1"]["adv:words"] == "belt for jeans, waist 92 cm"
    assert value(raw["activity"]["run:turn/1"]["prov:type"]) == "adv:Reading"
    assert value(raw["activity"]["run:turn/2"]["prov:type"]) == "adv:Asking"
    assert raw["activity"]["run:turn/2"]["adv:question"] == question
    states = [value(e["prov:type"]) for n, e in entities.items() if n.startswith("run:told/")]
    assert states.count("adv:Open") == 1
    assert_nothing_dangles(raw)


def talked(rulebase: RuleBase, *lines: str) -> tuple[Session, list[Event]]:
    events: list[Event] = []
    session = Session(rulebase, listener=events.append)
    session.open()
    for line in lines:
        session.hear(line)
    return session, events


def test_what_was_looked_at_and_not_taken_is_a_bundle_each_with_what_it_came_to(rulebase: RuleBase) -> None:
    session, events = talked(
        rulebase,
        "belt for jeans, waist 92 cm",
        "what if water is immersion",
        "what if the moon",
        "change water to don't know",
        "cases",
        "What if it gets soaked in the sea?",
        "cases",
    )
    turns = fold(events).turns
    others = alternatives(rulebase, turns, None)
    kinds = [other.kind for other in others]
    assert kinds.count("what-if") == 2
    assert 2 <= kinds.count("case") <= 4
    assert len({other.digest for other in others}) == len(others)
    run = session.consultation()
    certificate = stop(present(rulebase, session.answers), session.answers)
    text = provenance(run, "0.1.0", turns, others, certificate)
    assert text == provenance(run, "0.1.0", turns, alternatives(rulebase, turns, None), certificate)
    document = ProvDocument.deserialize(content=text, format="json")
    assert ProvDocument.deserialize(content=document.serialize(), format="json") == document
    raw = json.loads(text)
    assert {b.identifier.localpart for b in document.bundles} == {
        name.removeprefix("run:") for name, e in raw["entity"].items() if "prov:Bundle" in json.dumps(e)
    }
    assert len(list(document.bundles)) == len(others)
    for other in others:
        name = f"run:{other.kind}/{other.digest[:12]}"
        inside = raw["bundle"][name]
        assert_nothing_dangles(inside)
        then = report(Consultation(rulebase, {**session.answers, **other.answers}))
        assert inside["entity"][f"{name}/weight"]["prov:value"] == then.decisions.weight.order_as
        tannage = inside["entity"][f"{name}/tannage"]["prov:value"]
        assert ([tannage] if isinstance(tannage, str) else tannage) == then.decisions.tannage.chosen
        tried = {e["adv:attribute"] for e in inside["entity"].values() if value(e["prov:type"]) == "adv:Tried"}
        assert tried == set(other.answers) == {"water"}
        assert bool(raw["entity"][name].get("adv:box")) == (other.kind == "case")
    told = raw["entity"]["run:certificate"]
    assert told["adv:lookedAt"] == list(certificate.looked_at)
    assert told["adv:allAnswers"] is certificate.all_answers


def test_texts_of_any_kind_come_back_as_they_were() -> None:
    """Values that a careless writer would lose: quotes, angles, line ends, no Latin, true, whole numbers, doubles."""
    odd = 'a "quoted" <b>&amp;\n\\ \u00e9\u6f22'
    document = Document({"adv": "urn:x:", "run": "urn:y:"})
    document.entity(
        "run:a", "adv:A", "adv:B", text=odd, several=[odd, "b", "b"], yes=True, whole=3, real=0.1, gone=None
    )
    document.agent("run:b")
    document.activity("run:c")
    document.used("run:c", "run:a", role=Name("adv:r"))
    back = ProvDocument.deserialize(content=document.text(), format="json")
    (entity,) = back.get_records(ProvEntity)
    assert isinstance(entity, ProvRecord)
    assert values_of(entity, "text") == {odd}
    assert values_of(entity, "several") == {odd, "b"}
    assert values_of(entity, "yes") == {True}
    assert values_of(entity, "whole") == {3}
    assert values_of(entity, "real") == {0.1}
    assert values_of(entity, "gone") == set()
    assert len(back.records) == 4


def values_of(record: ProvRecord, name: str) -> set[object]:
    return {value for key, value in record.attributes if key.localpart == name}

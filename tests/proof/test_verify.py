"""The checker: it accepts every honest advice, rejects every forged one and names the step.

What is asked of it is the common standard for certified results: the certificate is checked by a small program
that shares no code with the one that made it (certifying algorithms; from memory).
"""

from __future__ import annotations

import ast
import json
import random
import shutil
import sys
from collections import Counter
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from forging import FORGERS, Forger, seal
from samples import BASE, CASES, RULES, advice_of, advice_of_case, case, random_answers

from advisor.errors import AdvisorError
from advisor.reasoning.consult import Consultation, engine_for
from advisor.reasoning.deciding import proven
from advisor.reasoning.facts import Answer, parse_answers
from advisor.reasoning.matching import Fact, Match
from advisor.rulebase.house import load_house
from advisor.rulebase.load import load_rulebase
from advisor.shell.cli import main
from advisor.verify import NOT_CHECKED, verify

CHECKER = Path(__file__).parents[2] / "advisor" / "verify"


@cache
def _of_a_thing() -> list[str]:
    return sorted(name for name in CASES if "item" in case(name))


@pytest.fixture(scope="module")
def honest() -> dict[str, str]:
    return {name: json.dumps(advice_of_case(name)) for name in CASES}


def test_the_checker_imports_nothing_that_concludes() -> None:
    package: set[str] = set()
    for file in CHECKER.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            names += [str(node.module)] if isinstance(node, ast.ImportFrom) and not node.level else []
            assert all(name.partition(".")[0] in sys.stdlib_module_names for name in names), names
            if isinstance(node, ast.ImportFrom) and node.level > 1:
                assert node.level == 2
                package.add(str(node.module).partition(".")[0])
    assert package == {"codes", "errors", "leather", "rulebase"}


@pytest.mark.parametrize("name", sorted(CASES))
def test_every_snapshot_case_is_accepted(name: str, honest: dict[str, str]) -> None:
    assert verify(json.loads(honest[name]), BASE) == ""


def test_a_clash_about_nothing_that_is_named_is_accepted() -> None:
    # Somebody who says no item can contradict himself all the same.
    advice = advice_of(parse_answers(BASE, {"wished_tannage": "parchment", "wished_species": "pig"}))
    assert advice["outcome"] is None
    assert advice["conflicts"]
    assert verify(advice, BASE) == ""


@pytest.mark.parametrize("said", ["don't know", "does not apply"])
def test_where_nobody_knows_the_thing_proof_and_advice_agree_that_there_is_no_outcome(said: str) -> None:
    advice = advice_of(parse_answers(BASE, {"item": said, "load_mass": "30 kg"}))
    assert advice["outcome"] is None
    assert "outcome" not in advice["proof"]["roots"]
    assert verify(advice, BASE) == ""


def test_random_consultations_are_accepted() -> None:
    assert [verify(advice_of(random_answers(seed)), BASE) for seed in range(12)] == [""] * 12


def test_advice_by_the_prices_of_a_shop_is_accepted() -> None:
    house, priced = load_house(Path(__file__).parents[2] / "transcripts_demo" / "house", BASE), 0
    for seed in range(8):
        run = Consultation(BASE, random_answers(seed), house=house)
        advice = json.loads(proven(run).model_dump_json(by_alias=True))
        assert verify(advice, BASE) == "", seed
        priced += any(n["kind"] == "prices" for n in advice["proof"]["nodes"].values())
    assert priced > 2


@pytest.mark.slow
def test_ten_thousand_random_consultations_are_accepted() -> None:
    wrong = {seed: said for seed in range(1000, 11000) if (said := verify(advice_of(random_answers(seed)), BASE))}
    assert wrong == {}


@pytest.mark.parametrize("turned", [False, True])
def test_values_of_a_set_may_be_said_in_any_order(turned: bool) -> None:
    asked = ("veg_tooling", "veg_bridle", "veg_harness", "skirting")
    said = {"item": Answer(("umbrella_stand",)), "asked_tannage": Answer(asked[::-1] if turned else asked)}
    advice = proven(Consultation(BASE, said)).model_dump_json(by_alias=True)
    assert "named-kind-of-leather-is-favoured" in advice
    assert verify(json.loads(advice), BASE) == ""


def forge(seed: int, honest: dict[str, str]) -> tuple[Forger, Any, list[str]] | None:
    """One forgery, sealed, with what the checker must name."""
    rng, forger = random.Random(seed), FORGERS[seed % len(FORGERS)]
    advice = json.loads(honest[rng.choice(_of_a_thing())])
    names = forger(rng, advice)
    if names is None:
        return None
    seal(advice)
    return forger, advice, names


def reject(honest: dict[str, str], wanted: int) -> Counter[str]:
    """Reject at least ``wanted`` forgeries, every kind among them, each with the bad step named; counts each kind."""
    done: Counter[str] = Counter()
    seed = 0
    while done.total() < wanted or len(done) < len(FORGERS):
        forged = forge(seed, honest)
        seed += 1
        assert seed < 10 * wanted
        if forged is None:
            continue
        forger, advice, names = forged
        said = verify(advice, BASE)
        assert any(name in said for name in names), (seed - 1, forger.__name__, names, said)
        done[forger.__name__] += 1
    return done


def test_every_forged_advice_is_rejected_at_the_bad_step(honest: dict[str, str]) -> None:
    assert set(reject(honest, 30)) == {f.__name__ for f in FORGERS}


@pytest.mark.slow
def test_a_thousand_forged_advices_are_rejected(honest: dict[str, str]) -> None:
    assert set(reject(honest, 1000)) == {f.__name__ for f in FORGERS}


class Forgetful:
    """An engine that draws every conclusion but those of one rule."""

    def __init__(self, forgets: str) -> None:
        self.forgets = forgets

    def fire(self, stratum: int, facts: Sequence[Fact]) -> list[Match]:
        return [m for m in engine_for(BASE).fire(stratum, facts) if m.rule != self.forgets]


@pytest.mark.parametrize("seed", range(6))
def test_an_engine_that_forgets_a_rule_is_found_out(seed: int) -> None:
    answers = random_answers(seed)
    # A rule that leans on an absence is found out by that absence, of which the proof then says nothing.
    held = [f.rule.id for f in Consultation(BASE, answers).in_order() if not f.match.absent]
    forgotten = random.Random(seed).choice([r for r in held if not r.endswith("/habits")] or held)
    advice = json.loads(proven(Consultation(BASE, answers, Forgetful(forgotten))).model_dump_json(by_alias=True))
    assert verify(advice, BASE).startswith(f"rule {forgotten}")


def test_a_node_changed_without_a_new_id_is_named(honest: dict[str, str]) -> None:
    advice = json.loads(honest["dog_lead_30_kg"])
    node = next(n for n in advice["proof"]["nodes"].values() if n["kind"] == "bound")
    node["mm"] += 0.1
    assert verify(advice, BASE).startswith("bound weight ")


def test_sealing_an_honest_advice_changes_nothing(honest: dict[str, str]) -> None:
    advice = json.loads(honest["satchel"])
    seal(advice)
    assert advice == json.loads(honest["satchel"])


def test_an_edited_rule_file_is_seen_even_with_its_checksum_forged(tmp_path: Path, honest: dict[str, str]) -> None:
    folder = tmp_path / "rules"
    shutil.copytree(RULES, folder)
    file = folder / "rules" / "straps.toml"
    old = "Thinner, the strap would not carry the pull with the margin kept for it."
    assert old in file.read_text("utf-8")
    file.write_text(file.read_text("utf-8").replace(old, "Any strap will do.", 1), "utf-8")
    advice = json.loads(honest["dog_lead_30_kg"])
    assert verify(advice, folder).startswith("rule base sha256: ")
    advice["rulebase"]["sha256"] = load_rulebase(folder).sha256
    assert verify(advice, folder).startswith("rule loaded-straps-are-thick-enough because: ")


RAISED_BELT = {"item": "trouser_belt", "raised": "person_weight, neck"}


def of_raised(**answers: str) -> Any:
    run = Consultation(BASE, parse_answers(BASE, RAISED_BELT | answers))
    return json.loads(proven(run).model_dump_json(by_alias=True))


@pytest.mark.parametrize(
    "answers",
    [
        {},
        {"bears_person": "don't know"},
        {"bears_person": "no"},
        {"bears_person": "yes"},
        {"item": "swing_seat"},
        {"item": "prosthetic_liner", "neck": "400 mm"},
    ],
)
def test_undecided_and_withheld_advice_is_proven(answers: dict[str, str]) -> None:
    advice = of_raised(**answers)
    assert advice["facts"]["raised"]["value"] == ["person_weight", "neck"]
    assert verify(advice, BASE) == ""


def test_a_danger_cannot_be_hushed_up() -> None:
    """The raised danger taken out of the facts, out of its step, or the outcome called settled."""
    hidden = of_raised()
    del hidden["facts"]["raised"]
    assert verify(hidden, BASE).startswith("facts")
    fewer = of_raised()
    step = next(n for n in fewer["proof"]["nodes"].values() if n.get("name") == "raised")
    step["value"].remove("person_weight")
    assert "raised" in verify(fewer, BASE)
    seal(fewer)
    assert verify(fewer, BASE) != ""
    settled = of_raised()
    settled["outcome"] = "ok"
    assert verify(settled, BASE).startswith("outcome")
    silent = of_raised()
    silent["outcome_reasons"].pop(0)
    assert verify(silent, BASE).startswith("outcome")


def test_an_advice_of_the_first_schema_is_not_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    old = {**of_raised(), "schema": "leather-order-advice/1"}
    with pytest.raises(AdvisorError, match="leather-order-advice/1"):
        verify(old, BASE)
    file = tmp_path / "old.json"
    file.write_text(json.dumps(old), "utf-8")
    assert main(["verify", str(file)]) == 3
    assert "leather-order-advice/1" in capsys.readouterr().err


def test_what_was_read_is_named_as_not_checked(
    tmp_path: Path, honest: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    advice = json.loads(honest["belt_for_jeans"])
    advice["reading"] = {"understood": [], "unread": ["odd"], "doubts": [], "candidates": [], "dangers": []}
    file = tmp_path / "read.json"
    file.write_text(json.dumps(advice), "utf-8")
    assert main(["verify", str(file)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Not checked: - reading" in said
    assert all(name in said for name in NOT_CHECKED)


@pytest.mark.parametrize("rubbish", [[], {}, {"proof": []}, {"proof": {"nodes": {}}}, "advice", None])
def test_what_is_no_advice_is_told(rubbish: Any) -> None:
    assert verify(rubbish, BASE).startswith("file: ")


def test_the_command_accepts_rejects_and_says_what_it_needs(
    tmp_path: Path, honest: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "advice.json"
    file.write_text(honest["belt_for_jeans"], "utf-8")
    assert main(["verify", str(file)]) == 0
    file.write_text(
        honest["belt_for_jeans"]
        .replace('"outcome":"ok"', '"outcome":"refuse"')
        .replace('"outcome": "ok"', '"outcome": "refuse"'),
        "utf-8",
    )
    assert main(["verify", str(file)]) == 4
    assert "Does not hold: " in capsys.readouterr().out
    assert main(["verify", str(tmp_path / "none.json")]) == 3
    assert "expected the output of recommend" in capsys.readouterr().err
    assert main(["recommend", "belt", "--proof"]) == 2


def test_another_rule_base_or_price_list_is_named(
    tmp_path: Path, honest: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    file, shop = tmp_path / "advice.json", Path(__file__).parents[2] / "transcripts_demo" / "house"
    rules, other = tmp_path / "rules", tmp_path / "shop"
    shutil.copytree(RULES, rules)
    base_file = rules / "rulebase.toml"
    base_file.write_text(base_file.read_text("utf-8") + "\n# changed\n", "utf-8")
    file.write_text(honest["belt_for_jeans"], "utf-8")
    assert main(["--rules", str(rules), "verify", str(file)]) == 4
    assert "another rule base" in capsys.readouterr().out
    shutil.copytree(shop, other)
    prices = other / "prices.toml"
    prices.write_text(prices.read_text("utf-8").replace('price = "', 'price = "1', 1), "utf-8")
    priced = next(
        advice
        for seed in range(20)
        if (advice := proven(Consultation(BASE, random_answers(seed), house=load_house(shop, BASE)))).proof
        and any(n["kind"] == "prices" for n in advice.proof.nodes.values())
    )
    file.write_text(priced.model_dump_json(by_alias=True), "utf-8")
    assert main(["--house", str(shop), "verify", str(file)]) == 0
    assert main(["--house", str(other), "verify", str(file)]) == 4
    assert "another price list" in capsys.readouterr().out

"""The same answers give the same advice, whatever the order of files and answers, the hash seed and the time zone."""

from __future__ import annotations

import json
import random
import shutil
from pathlib import Path
from typing import Any

import pytest
from limits import ran

from advisor.read.reader import read_sentence
from advisor.reasoning.consult import Consultation
from advisor.reasoning.report import report
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import RuleBase

RULES = Path(__file__).parents[2] / "rulesets" / "leather"
SENTENCES = (
    "belt for jeans, 38 mm wide",
    "dog lead for a 30 kg dog",
    "dog collar, swims daily",
    "sheath for a 110 mm knife",
    "bifold wallet, chromium allergy",
    "tray with food",
    "carved tote turned inside out",
    "swing for a child",
)


@pytest.fixture(scope="module")
def shuffled(tmp_path_factory: pytest.TempPathFactory) -> RuleBase:
    """The same rules in files of other names, so that they are read in another order."""
    folder = tmp_path_factory.mktemp("shuffled") / "rules"
    shutil.copytree(RULES, folder)
    for inside in ("rules", "items"):
        files = sorted((folder / inside).glob("*.toml"))
        places = list(range(len(files)))
        random.Random(3).shuffle(places)
        for place, file in zip(places, files, strict=True):
            file.rename(file.with_name(f"{place:03}_{file.name}"))
    return load_rulebase(folder)


def plain(rulebase: RuleBase, sentence: str) -> Any:
    """What an advice says, without the order in which rules of one level are told and the name of the rule base."""
    advice = json.loads(report(Consultation(rulebase, read_sentence(rulebase, sentence).answers)).model_dump_json())
    del advice["rulebase"]
    return _unordered(advice)


def _unordered(part: Any) -> Any:
    if isinstance(part, dict):
        return {k: _unordered(v) for k, v in part.items() if k != "step"}
    if isinstance(part, list):
        return sorted((_unordered(v) for v in part), key=lambda v: json.dumps(v, sort_keys=True))
    return part


@pytest.mark.parametrize("sentence", SENTENCES)
def test_the_order_of_rule_files_changes_nothing(sentence: str, rulebase: RuleBase, shuffled: RuleBase) -> None:
    assert plain(shuffled, sentence) == plain(rulebase, sentence)


def test_a_caution_names_every_rule_that_gives_it(rulebase: RuleBase) -> None:
    several = 0
    for sentence in SENTENCES:
        run = Consultation(rulebase, read_sentence(rulebase, sentence).answers)
        for caution in report(run).cautions:
            able = {
                r.id
                for r in rulebase.about(caution.id)
                if any((c.act, c.target) == ("caution", caution.id) for c in r.then)
            }
            assert set(caution.rules) <= able
            assert caution.rules[0] == caution.rule
            if caution.status == "applies":
                assert set(caution.rules) == able & set(run.firings)
            several += len(caution.rules) > 1
    assert several > 10


@pytest.mark.slow
@pytest.mark.parametrize("sentence", [SENTENCES[2], SENTENCES[6]])
def test_hash_seeds_and_time_zones_change_no_byte(sentence: str, tmp_path: Path) -> None:
    said = {
        ran(
            ["recommend", sentence, "--json", "--proof", "--no-log"], tmp_path, env={"PYTHONHASHSEED": seed, "TZ": zone}
        ).out
        for seed, zone in (("0", "UTC"), ("1", "Asia/Kolkata"), ("4242", "Pacific/Apia"))
    }
    assert len(said) == 1

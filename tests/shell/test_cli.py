"""The command line: exit codes, where output goes, and the messages for bad input."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

from advisor import consult, load_rulebase
from advisor.shell import cli
from advisor.shell.cli import main
from advisor.shell.printed import undecided_lines
from advisor.write.page import Page


def run(*arguments: str) -> int:
    return main(list(arguments))


def test_advice_is_text_on_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("recommend", "a belt for jeans, 38 mm wide, waist 92 cm") == 0
    out, err = capsys.readouterr()
    assert "92 cm" in out
    assert "92 cm from the fold to the middle hole" in out
    assert "[trouser_belt/ranking]" not in out
    assert err == ""
    assert run("recommend", "a belt for jeans, 38 mm wide, waist 92 cm", "--full") == 0
    out = capsys.readouterr().out
    assert "1165 mm x 38 mm" in out
    assert "[trouser_belt/ranking]" in out


def test_no_line_is_wider_than_asked(capsys: pytest.CaptureFixture[str]) -> None:
    for width in (60, 80):
        assert run("recommend", "plain tote, sewn inside out", "--width", str(width), "--full") == 0
        lines = capsys.readouterr().out.splitlines()
        # A rule id is never broken, so a line may only be longer if it holds a single word.
        assert [line for line in lines if len(line) > width and " " in line.strip()] == []


def test_json_matches_the_published_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("schema") == 0
    schema = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator.check_schema(schema)
    for words, heard in (
        ("lead for a 30 kg dog", "Understood: dog lead"),
        ("climbing harness", "Understood: climbing"),
        ("a wobbert for my uncle", "Not understood: wobbert."),
        ("carved tote, turned", "Understood: carving"),
    ):
        assert run("recommend", words, "--json") == 0
        out, err = capsys.readouterr()
        jsonschema.validate(json.loads(out), schema)
        assert heard in err


def test_json_has_the_agreed_top_level(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("recommend", "item=dog_lead", "load_mass=30 kg", "--json") == 0
    advice = json.loads(capsys.readouterr().out)
    agreed = "schema rulebase outcome facts decisions cautions conflicts open_questions trace"
    assert set(agreed.split()) <= advice.keys()
    assert advice["facts"]["load_mass"] == {
        "value": 30.0,
        "unit": "kg",
        "origin": "answered",
        "state": "known",
        "rule": None,
        "formula": None,
    }
    weight = advice["decisions"]["weight"]
    assert weight["low_mm"] <= weight["high_mm"]
    bound = next(b for b in weight["bounds"] if b["rule"] == "loaded-straps-are-thick-enough")
    assert bound["inputs"]["force"] == pytest.approx(30 * 9.80665 * 2)
    assert len(advice["rulebase"]["sha256"]) == 64


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["recommend", "item=trouser_belts"], 3, "trouser_belt"),
        (["recommend", "item=submarine"], 3, "item"),
        (["recommend", "itm=trouser_belt"], 3, '"item"'),
        (["recommend", "item=trouser_belt", "waist=92 kg"], 3, "not a unit of the same kind"),
        (["recommend", "item=trouser_belt", "waist=-92 cm"], 3, "negative"),
        (["recommend", "item=trouser_belt", "waist=9 km"], 3, "waist"),
        (["recommend", "item=trouser_belt", "waist=40 m"], 3, "outside what can be meant"),
        (["recommend", "item=trouser_belt", "strap_width=0 mm"], 3, "outside what can be meant"),
        (["recommend", "item=trouser_belt", "waist=1,200 mm"], 3, "two ways"),
        (["recommend", "item=trouser_belt", "waist=1/0 in"], 3, "divides by zero"),
        (["recommend", "item=trouser_belt", "quantity=2.5"], 3, "whole number"),
        (["recommend", "item=trouser_belt", "decoration=carvee"], 3, '"carve"'),
        (["recommend", "item=trouser_belt", "decoration=none, carve"], 3, "says two things"),
        (["recommend", "item=trouser_belt", "waist=" + "9" * 10_000], 3, "waist"),
        (["recomend", "belt"], 2, "advisor --help"),
        (["recommend", "--width", "9", "belt"], 2, "40 to 200"),
        (["rules", "show"], 2, "rules list"),
        (["rules", "show", "loaded-straps-are-thick-enuf"], 2, "loaded-straps-are-thick-enough"),
        (["--rules", "/nowhere", "recommend", "belt"], 3, "there is no rule base"),
    ],
)
def test_bad_input_is_told_with_its_exit_code(
    arguments: list[str], code: int, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(*arguments) == code
    out, err = capsys.readouterr()
    assert said in err
    assert "Traceback" not in out + err
    assert out == ""


def test_ten_kilobytes_of_text_are_met_with_a_word(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("recommend", "belt " + "very " * 2000) == 0
    out, _ = capsys.readouterr()
    assert "In doubt" in out or "Not understood" in out


def test_broken_rule_file_is_told_with_file_and_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import shutil

    from advisor.rulebase.load import shipped_rulebase

    folder = tmp_path / "rules-of-mine"
    shutil.copytree(str(shipped_rulebase()), folder)
    straps = folder / "rules" / "straps.toml"
    straps.write_text(straps.read_text() + '\n[[rule]\nid = "broken"\n')
    assert run("--rules", str(folder), "recommend", "belt") == 3
    err = capsys.readouterr().err
    line = len(straps.read_text().splitlines()) - 1
    assert f"rules/straps.toml:{line}" in err


def test_rules_show_names_source_and_place(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("rules", "show", "climbing-gear-is-refused") == 0
    out = capsys.readouterr().out
    assert "rules/life_safety.toml:" in out
    assert "opened" in out


def test_rules_list_has_every_rule(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("rules", "list") == 0
    assert len(capsys.readouterr().out.splitlines()) == len(load_rulebase().rules)


def test_rules_list_tells_what_each_deferral_does_to_the_order(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("rules", "list", "--deferrals") == 0
    told = [line.split()[:2] for line in capsys.readouterr().out.splitlines()]
    deferring = {r.id: r.order for r in load_rulebase().rules.values() if "outcome defer" in {c.text for c in r.then}}
    assert {rule: order for order, rule in told} == deferring
    assert {order for order, _ in told} == {"withheld", "shown"}
    assert run("rules", "check", "--deferrals") == 2


def test_the_command_runs_as_a_module_without_a_terminal() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "advisor"],
        input="belt for jeans\nquit\n",
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert "\x1b" not in done.stdout
    assert "Trouser belt" in done.stdout


def test_a_closed_reader_is_no_fault() -> None:
    done = subprocess.run(
        f"{sys.executable} -m advisor rules list | head -n 1",
        shell=True,
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    assert "Traceback" not in done.stderr


def test_a_second_opinion_is_text_or_json_by_its_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("review", "trouser belt, waist 92 cm", "--leather", "2.5 mm chrome side, top grain") == 0
    out, err = capsys.readouterr()
    assert "Do not buy this for it" in out
    assert "[usual for a trouser belt]" in out
    assert err == ""
    assert run("schema", "review") == 0
    schema = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator.check_schema(schema)
    for words in (
        ["would 2 mm chrome do for a tote"],
        ["climbing harness", "leather.weight=5 mm"],
        ["item=dog_lead", "leather.tannage=chrome", "leather.amount=2 sides", "leather.label=PU coated"],
        ["something for my uncle", "--leather", "veg"],
    ):
        assert run("review", *words, "--json") == 0
        jsonschema.validate(json.loads(capsys.readouterr().out), schema)


def test_a_second_opinion_needs_a_leather(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("review", "trouser belt") == 2
    assert "say which leather is offered" in capsys.readouterr().err
    assert run("review", "item=trouser_belt", "leather.tanage=chrome") == 3
    assert 'Did you mean "tannage"?' in capsys.readouterr().err


def test_the_advice_compares_a_leather_that_was_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("recommend", "belt from 2.5 mm leather") == 0
    assert "2.5 mm is too thin by 0.3 mm (0.8 oz)." in capsys.readouterr().out


# -- a sentence without a command


@pytest.mark.parametrize(
    "arguments",
    [
        ["belt for jeans, 38 mm wide"],
        ["belt", "for", "jeans,", "38", "mm", "wide"],
        ["item=trouser_belt"],
        ["--slip", "belt for jeans"],
        ["belt for jeans", "--slip"],
        ["--units", "inch", "belt", "--json"],
        ["belt", "water=rain", "--units", "inch", "--full"],
        ["dog lead"],
        ["dog", "lead"],
        ["belt", "--why", "weight"],
        ["something for my uncle"],
        ["rules of a game, in a case"],
    ],
)
def test_a_sentence_without_a_command_is_advised_on(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    top = ["--units", "inch"] if "--units" in arguments else []
    rest = [word for word in arguments if word not in top]
    assert run(*top, "--no-log", "recommend", *rest) == 0
    wanted = capsys.readouterr()
    assert run("--no-log", *arguments) == 0
    assert capsys.readouterr() == wanted
    assert run(*arguments, "--no-log") == 0
    assert capsys.readouterr() == wanted


@pytest.mark.parametrize(
    ("arguments", "near"),
    [
        (["reveiw"], "review"),
        (["Replya"], "replay"),
        (["recomend", "a belt"], "recommend"),
        (["verfy"], "verify"),
        (["rulse", "check"], "rules"),
        (["--plain", "shema"], "schema"),
        (["reveiw", "belt", "--full"], "review"),
    ],
)
def test_a_word_that_is_nearly_a_command_is_asked_back(
    arguments: list[str], near: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(*arguments) == 2
    out, err = capsys.readouterr()
    assert f"did you mean {near}?" in err
    assert out == ""


def test_a_thing_whose_name_is_nearly_a_command_is_a_thing(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cli, "NAMES", (*cli.NAMES, "totem"))
    assert run("tote", "--no-log") == 0
    assert "Plain tote" in capsys.readouterr().out
    assert run("totm", "--no-log") == 2
    assert "did you mean totem" in capsys.readouterr().err


# -- no order before a danger is answered


def test_the_words_for_each_answer_to_a_danger_are_printed() -> None:
    rulebase = load_rulebase()
    advice = consult(rulebase, {"item": "trouser_belt"})
    asked = advice.open_questions[0].model_copy(
        update={
            "attribute": "bears_person",
            "question": "Does it bear a person?",
            "values": ["yes", "no"],
            "danger": "a fall",
        }
    )
    raised = advice.model_copy(update={"outcome": None, "open_questions": [asked, *advice.open_questions[1:]]})
    (line,) = undecided_lines(rulebase, raised, Page(200))
    assert line.startswith("Does it bear a person?")
    assert line.endswith("""Ask again and add "somebody hangs on it" or "nobody's weight is on it".""")
    assert undecided_lines(rulebase, advice, Page(200)) == []

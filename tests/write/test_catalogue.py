"""English in one place: each code has one sentence, and no conclusion, proof or log hangs on how it is worded."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from plain import sampled

import advisor
from advisor import Advice, AnswerError, with_texts
from advisor.codes import without_texts
from advisor.reasoning.consult import Consultation
from advisor.reasoning.deciding import proven
from advisor.reasoning.facts import parse_answers
from advisor.reasoning.record import Began, Event, Manner, canonical, made_with
from advisor.reasoning.report import report
from advisor.rulebase import models
from advisor.rulebase.house import House, load_house
from advisor.rulebase.models import RuleBase
from advisor.talk.replay import replay
from advisor.talk.session import Session
from advisor.verify import verify
from advisor.write import catalogue
from advisor.write.assumed import assumed
from advisor.write.full import full_lines
from advisor.write.reasons import rules_on_answers
from advisor.write.screen import advice_lines

HOUSE = Path(__file__).parents[2] / "transcripts_demo" / "house"
SOURCE = Path(str(advisor.__file__)).parent
SAYING = ("say", "mark")
SAID_ELSEWHERE = ("read", "talk")
"""Rooms that fill ``text`` themselves: what is heard and doubted is told in the words that were typed. What they say of
an answer that cannot be used is in the catalogue."""

Answers = Mapping[str, Any]
SAMPLES: Mapping[str, Answers] = {
    "ok": {"item": "coaster"},
    "ok_with_conditions": {"item": "dog_lead", "load_mass": "30 kg"},
    "refuse": {"item": "climbing_gear"},
    "another_material": {"item": "bifold_wallet", "limits": ["no_animal"]},
    "order withheld": {"item": "swing_seat"},
    "defer": {"item": "holster"},
    "undecided": {"item": "dog_collar", "raised": ["neck"]},
    "nothing known": {},
    "declared clash": {"item": "turned_pouch", "decoration": "carve"},
    "wish left out": {"item": "moulded_tray", "wished_tannage": "chrome_pullup"},
    "no thickness": {"item": "bag_strap", "load_mass": "40 kg", "strap_width": "20 mm"},
    "no leather for a part": {"item": "chaps", "limits": ["no_cow"]},
    "a piece too large": {"item": "trouser_belt", "piece.strap": "1@38x9000"},
    "a size that is not known": {"item": "trouser_belt", "strap_width": "does not apply"},
    "several as good": {"item": "trouser_belt", "strap_width": "38 mm", "waist": "92 cm", "water": "rain"},
}
TALK = [
    "belt for jeans, 38 mm wide, waist 92 cm, sparkly",
    "1",
    "",
    "why tannage",
    "?",
    "change waist to 100 cm",
    "full",
    "change waist to 9 kg",
    "what if water is rain",
    "why not chrome",
    "what would change the tannage",
    "done",
    "quit",
]


def codes_said() -> Iterator[str]:
    """Every code that the program says, as it is written in the source."""
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SAYING:
                code = node.args[0]
                if path.parent.name in SAID_ELSEWHERE and getattr(code, "value", "") not in catalogue.SENTENCES:
                    continue
                assert isinstance(code, ast.Constant), f"{path}:{node.lineno}"
                yield str(code.value)


def test_every_code_has_one_sentence_and_every_sentence_is_used() -> None:
    said = list(codes_said())
    assert len(said) > 40
    assert set(said) == catalogue.SENTENCES.keys()
    keys = [
        key.value
        for node in ast.walk(ast.parse((SOURCE / "write" / "catalogue.py").read_text(encoding="utf-8")))
        if isinstance(node, ast.AnnAssign) and ast.unparse(node.target) == "SENTENCES"
        for key in getattr(node.value, "keys", ())
        if isinstance(key, ast.Constant)
    ]
    assert sorted(keys) == sorted(catalogue.SENTENCES)


def test_a_sum_holds_marks_and_no_sentence() -> None:
    """What ``showing`` writes besides numbers, units and marks is no word: those are sentences of the catalogue."""
    tree = ast.parse((SOURCE / "leather" / "showing.py").read_text(encoding="utf-8"))
    shown = [part for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values]
    words = [str(part.value) for part in shown if isinstance(part, ast.Constant)]
    assert len(words) > 20
    assert [w for w in words if re.search("[A-Za-z]{2,}", w)] == []


def test_a_sum_reads_as_before_and_other_sentences_leave_it_alone(
    rulebase: RuleBase, other_words: Callable[[], None]
) -> None:
    run = consulted(rulebase, "ok_with_conditions")
    sums = [line.formula for line in report(run).basket]
    told = [catalogue.marks_said(line) for line in sums]
    assert any(" at the " in line for line in told)
    assert not any("<" in line for line in told)
    other_words()
    assert [line.formula for line in report(run).basket] == sums
    assert [catalogue.marks_said(line) for line in sums] != told


def consulted(rulebase: RuleBase, name: str, house: House | None = None) -> Consultation:
    return Consultation(rulebase, parse_answers(rulebase, SAMPLES[name]), house=house)


def printed(rulebase: RuleBase, run: Consultation) -> Any:
    """An advice with its proof, as a file holds it."""
    return json.loads(with_texts(proven(run), rulebase).model_dump_json(by_alias=True))


def texts(value: Any) -> Iterator[str]:
    """Every sentence that stands beside a code."""
    if isinstance(value, dict) and value.keys() == {"code", "params", "text"}:
        yield value["text"]
    for part in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from texts(part)


@pytest.fixture
def other_words(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """Puts the code itself in place of every sentence."""
    return lambda: monkeypatch.setattr(catalogue, "SENTENCES", {code: code for code in catalogue.SENTENCES})


@pytest.mark.parametrize("name", sampled(list(SAMPLES), 4))
def test_other_sentences_change_no_conclusion_and_no_proof(
    name: str, rulebase: RuleBase, other_words: Callable[[], None]
) -> None:
    house = load_house(HOUSE, rulebase) if name == "several as good" else None
    run = consulted(rulebase, name, house)
    before, log, seen = printed(rulebase, run), canonical(report(run)), read_off(rulebase, run)
    other_words()
    run = consulted(rulebase, name, house)
    after = printed(rulebase, run)
    assert set(texts(after)) <= catalogue.SENTENCES.keys()
    assert list(texts(before)) != list(texts(after))
    assert without_texts(after) == without_texts(before)
    assert canonical(report(run)) == log
    assert canonical(with_texts(report(run), rulebase)) == log
    assert read_off(rulebase, run) == seen
    for advice in (before, after):
        assert verify(advice, rulebase) == ""


def read_off(rulebase: RuleBase, run: Consultation) -> Any:
    """What the screen takes from an advice by its codes, and how many lines of a kind each page has."""
    advice = report(run)
    screen = [line.split("  ", 1)[0] for line in advice_lines(rulebase, advice, 200) if line[:1].isupper()]
    steps = [line.partition(" ")[0] for line in full_lines(rulebase, advice, 200) if line[:1].isdecimal()]
    return list(assumed(rulebase, advice, "mm")), rules_on_answers(advice), screen, steps


def test_the_samples_come_to_every_outcome(rulebase: RuleBase) -> None:
    found = {report(consulted(rulebase, name)).verdict for name in SAMPLES}
    assert found == {None, *models.VERDICTS}


def test_a_log_replays_with_other_sentences(rulebase: RuleBase, other_words: Callable[[], None]) -> None:
    began = Began(by="chat", made_with=made_with(rulebase, None, "0"), manner=Manner(), at="2024-05-04T09:00:00Z")
    events: list[Event] = [began]
    session = Session(rulebase, listener=events.append)
    session.open()
    for line in TALK:
        session.hear(line)
    other_words()
    verdict = replay(rulebase, None, events, "0")
    assert (verdict.differences, verdict.remarks, verdict.as_then) == ([], [], True)
    kept = "".join(event.model_dump_json() for event in events)
    assert '"text":' not in kept


def test_the_schema_has_codes_with_params_and_text() -> None:
    schema = Advice.model_json_schema(by_alias=True)
    assert set(schema["$defs"]["Saying"]["properties"]) == {"code", "params", "text"}
    assert schema["$defs"]["TraceStep"]["properties"]["matched"]["items"] == {"$ref": "#/$defs/Saying"}


@pytest.mark.parametrize(
    ("name", "typed", "code", "words"),
    [
        ("waist", "12 m", "outside_what_is_meant", ("12000 mm", "300 mm to 2000 mm")),
        ("waist", "ninety", "measure_unread", ("expected a number with its unit",)),
        ("quantity", "2.5", "whole_number_expected", ("whole number",)),
        ("water", "drizzly", "one_of", ("dry, splash, rain",)),
        ("watre", "rain", "no_such_attribute", ('Did you mean "water"?',)),
    ],
)
def test_an_answer_that_cannot_be_used_is_told_by_code(
    rulebase: RuleBase, name: str, typed: str, code: str, words: tuple[str, ...]
) -> None:
    with pytest.raises(AnswerError) as caught:
        parse_answers(rulebase, {"item": "trouser_belt", name: typed})
    assert caught.value.expected.code == code
    assert all(w in str(caught.value) for w in (name, *words)), str(caught.value)

"""A fault in any function, while a line is heard, is told in one sentence; the line is kept and the talk goes on.

The functions are drawn from all that five rooms have, from reading to wording; nobody has chosen them.
"""

from __future__ import annotations

import io
import random
from functools import cache
from pathlib import Path

import pytest
from heard import forked
from planted import functions, planted

import advisor.shell
import advisor.talk
import advisor.write
from advisor import load_rulebase
from advisor.reasoning.record import LINE, Began, Event, Fault, Line, Typed, fold, made_with
from advisor.rulebase.models import RuleBase
from advisor.shell.cli import main
from advisor.talk.recording import FAULT, FAULT_BESIDE
from advisor.talk.replay import replay
from advisor.talk.session import Session

FUNCTIONS = functions()
LINES = ("change quantity to 3", "why weight", "2", "it is for my brother, waist 92 cm")
EACH = 10


@cache
def begun() -> tuple[Session, list[Event]]:
    """A talk with its first line said, and its log; not to be gone on with."""
    made = made_with(load_rulebase(), None, "0.1.0")
    events: list[Event] = [Began(by="chat", made_with=made, at="2024-05-04T09:00:00Z")]
    session = Session(load_rulebase(), listener=events.append)
    session.open()
    session.hear("belt for jeans, 38 mm wide")
    return session, events


def missed(rulebase: RuleBase, name: str, checked: bool) -> str:
    """What goes wrong with a fault in one function; empty where all is as it should be."""
    events = list(begun()[1])
    session = forked(begun()[0])
    session.listener = events.append
    for line in LINES:
        count, before = len(events), dict(session.answers)
        with planted(FUNCTIONS[name]):
            try:
                reply = session.hear(line)
            except Exception as error:
                return f"{line}: {type(error).__name__} escaped"
        faults = [e for e in events[count:] if isinstance(e, Fault)]
        if faults and (" ".join(reply.lines) != FAULT.format(kept="") or session.answers != before):
            return f"{line}: the fault is told as {reply.lines}"
        if events[count] != Typed(line=line) or len(faults) > 1:
            return f"{line}: kept as {events[count:]}"
    if "ORDER" not in " ".join(session.hear("slip").lines):
        return "the talk does not go on"
    if checked and any(isinstance(e, Fault) for e in events):
        kept = [LINE.validate_json(LINE.dump_json(Line(n=1, event=e))).event for e in events]
        if fold(kept).answers != session.answers or replay(rulebase, None, kept, "0.1.0").differences:
            return "the log says something else"
    return ""


def test_there_is_something_to_plant_in() -> None:
    assert len(FUNCTIONS) > 1500
    assert {name.split(".")[1] for name in FUNCTIONS} == {"read", "talk", "reasoning", "write", "leather"}


def test_a_fault_anywhere_is_told_and_the_talk_goes_on(rulebase: RuleBase) -> None:
    drawn = random.Random(7).sample(sorted(FUNCTIONS), EACH)
    assert {n: said for n in drawn if (said := missed(rulebase, n, checked=True))} == {}


@pytest.mark.slow
@pytest.mark.timeout(7200)
def test_a_fault_in_each_function_is_told_and_the_talk_goes_on(rulebase: RuleBase) -> None:
    assert {n: said for n in FUNCTIONS if (said := missed(rulebase, n, checked=False))} == {}


@pytest.mark.parametrize(
    "name",
    [
        "reasoning.report.report",
        "read.reader.read_sentence",
        "talk.heard.understood_said",
        "write.full.full_lines",
        "leather.units.show_weight",
    ],
)
def test_a_fault_in_a_batch_is_one_of_its_line(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "lines"
    file.write_text("belt for jeans\n\ntote bag\n", "utf-8")
    with planted(FUNCTIONS[f"advisor.{name}"]):
        assert main(["recommend", "--batch", str(file), "--no-log", "--full"]) == 1
    said = capsys.readouterr().err
    assert "line 1: " in said
    assert "line 3: " in said
    assert said.count("fault of the program (PlantedError)") == 2


def held(arguments: list[str], lines: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> str:
    """What a conversation by pipe says, which has to end as one without a fault does."""
    monkeypatch.setattr("sys.stdin", io.StringIO(lines))
    assert main(["--plain", *arguments]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    return said.out


@pytest.mark.parametrize(
    ("name", "lines", "told"),
    [
        # The last words, the first words, and lines that are the terminal's own.
        ("write.costs.cost_said", "belt for jeans, 38 mm wide\n", FAULT_BESIDE),
        ("talk.session.Session.prompt", "belt for jeans, 38 mm wide\n", FAULT_BESIDE),
        ("shell.naming.named", "belt for jeans, 38 mm wide\nname my belt\n", "ORDER"),
        ("shell.naming.opened", "belt for jeans, 38 mm wide\nopen my belt\n", "ORDER"),
    ],
)
def test_a_fault_where_no_line_is_heard_is_told_too(
    name: str,
    lines: str,
    told: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))
    with planted(functions((advisor.shell, advisor.talk, advisor.write))[f"advisor.{name}"]):
        said = held([], lines, monkeypatch, capsys)
    assert " ".join(told.split()) in " ".join(said.split())
    (log,) = tmp_path.glob("*.jsonl")
    assert main(["replay", log.stem]) == 0


def test_a_conversation_is_taken_up_again_in_spite_of_a_fault(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))
    held([], "belt for jeans, 38 mm wide\n", monkeypatch, capsys)
    (log,) = tmp_path.glob("*.jsonl")
    log.write_text("".join(line for line in log.read_text("utf-8").splitlines(True) if '"ended"' not in line), "utf-8")
    with planted(FUNCTIONS["advisor.talk.session.Session.again"]):
        said = held(["--resume", log.stem], "slip\n", monkeypatch, capsys)
    assert FAULT_BESIDE in " ".join(said.split())
    assert main(["replay", log.stem]) == 0


def test_a_fault_in_keeping_ends_the_log_alone(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))
    monkeypatch.setattr("sys.stdin", io.StringIO("belt for jeans, 38 mm wide\nslip\n"))
    with planted(functions([advisor.shell])["advisor.shell.logbook.Logbook._keep_last"]):
        assert main(["--plain"]) == 0
    said = capsys.readouterr()
    assert said.err.count("\n") == 1
    assert "not kept from here on: a fault of the program (PlantedError)" in said.err
    assert "ORDER" in said.out
    assert "Kept as" not in said.out

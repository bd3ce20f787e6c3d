"""Many sentences at once: one block or one JSON object each, one log, and a bad line stops nothing."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from advisor.errors import EXIT_FAULT
from advisor.reasoning.record import Ended, Entry, Fault, Typed
from advisor.rulebase.models import RuleBase
from advisor.shell import batch as shell_batch
from advisor.shell import cli, logbook, printed
from advisor.shell.cli import main
from advisor.shell.logbook import read_log
from advisor.shell.results import Results
from advisor.talk import recording
from advisor.write.page import ORDER

LINES = "belt for jeans, 38 mm wide\n\nsomething for my uncle\ncard holder\n\x1b climbing harness\n"


@pytest.fixture(autouse=True)
def one_rulebase(monkeypatch: pytest.MonkeyPatch, rulebase: RuleBase) -> None:
    """The rule base is not read anew for each command."""
    monkeypatch.setattr(cli, "load_rulebase", lambda _: rulebase)


@pytest.fixture
def batch(tmp_path: Path) -> str:
    path = tmp_path / "orders.txt"
    path.write_text(LINES, encoding="utf-8")
    return str(path)


def objects(text: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in text.splitlines()]


def test_each_line_gets_the_block_of_a_single_shot(batch: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", "--batch", batch, "--slip", "--no-log"]) == 0
    out, err = capsys.readouterr()
    heads = [line for line in out.splitlines() if line.startswith("Line ")]
    assert [head.split(":")[0] for head in heads] == ["Line 1", "Line 3", "Line 4", "Line 5"]
    assert "\x1b" not in out + err
    assert err == ""
    for number, sentence in ((1, "belt for jeans, 38 mm wide"), (3, "something for my uncle"), (4, "card holder")):
        assert main(["recommend", sentence, "--slip", "--no-log"]) == 0
        assert f"Line {number}: {sentence}\n{capsys.readouterr().out}" in out
    assert "NO ORDER: climbing or fall-arrest gear" in out


def test_each_line_gets_one_json_object_that_fits_the_schema(batch: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert main(["recommend", "--batch", batch, "--json", "water=rain"]) == 0
    found = objects(capsys.readouterr().out)
    assert [(one["line"], one["sentence"]) for one in found] == [
        (1, "belt for jeans, 38 mm wide"),
        (3, "something for my uncle"),
        (4, "card holder"),
        (5, "\N{REPLACEMENT CHARACTER} climbing harness"),
    ]
    assert [one["advice"]["outcome"] for one in found] == ["ok", None, "ok", "refuse"]
    for one in found:
        assert set(one) == {"line", "sentence", "advice"}
        jsonschema.validate(one["advice"], schema)
        assert one["advice"]["facts"]["water"]["value"] == "rain"


@pytest.fixture
def logs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path / "logs"))
    return tmp_path / "logs"


def test_a_batch_has_one_log_that_its_slips_name(batch: str, logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", "--batch", batch, "--slip", "--units", "inch", "water=rain"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    (path,) = logs.iterdir()
    for number in (1, 3, 4, 5):
        assert f"RECORD {path.stem}, line {number}." in out
    events = read_log(path)[0]
    assert [e.number for e in events if isinstance(e, Entry)] == [1, 3, 4, 5]
    assert next(e.line for e in events if isinstance(e, Typed)) == "belt for jeans, 38 mm wide\nwater=rain"
    assert isinstance(events[-1], Ended)
    assert main(["replay", path.stem]) == 0
    assert "derived anew and equal (4 lines typed" in capsys.readouterr().out
    assert main(["log", "list"]) == 0
    assert "finished, batch of 4 lines, none without advice" in " ".join(capsys.readouterr().out.split())
    assert main(["log", "show", path.stem]) == 0
    assert "Line 3:" in capsys.readouterr().out
    assert main(["log", "export", path.stem, "--as", "svg"]) == 2
    assert main(["--resume", path.stem]) == 3
    assert main(["recommend", "--batch", batch, "--slip", "--no-log"]) == 0
    assert len(list(logs.iterdir())) == 1


def test_a_batch_longer_than_a_log_is_advised_on_to_its_end(
    batch: str, logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(logbook, "MAX_EVENTS", 20)
    assert main(["recommend", "--batch", batch, "--json"]) == 0
    out, err = capsys.readouterr()
    assert [one["line"] for one in objects(out)] == [1, 3, 4, 5]
    assert err == "advisor: the log is full, so this batch is not kept from here on.\n"
    (path,) = logs.iterdir()
    assert main(["replay", path.stem]) == 0


# -- lines that have no advice


def test_a_line_that_cannot_be_used_has_a_fault_and_the_rest_goes_on(
    tmp_path: Path, logs: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "odd.txt"
    path.write_bytes(b"\xff\xfe\x00\x01\x02\n" + b"very " * 300_000 + b"\nitem=submarine\nwaist=9 kg\ncard holder\n")
    assert main(["recommend", "--batch", str(path), "--json"]) == 2
    out, err = capsys.readouterr()
    found = objects(out)
    assert [one["line"] for one in found] == [1, 2, 3, 4, 5]
    assert [one["fault"]["code"] if "fault" in one else None for one in found] == [
        "no_text",
        None,
        "answer",
        "answer",
        None,
    ]
    assert found[1]["advice"]["outcome"] is None
    assert all(set(one["fault"]) == {"code", "text"} for one in found if "fault" in one)
    assert "submarine" in found[2]["fault"]["text"]
    assert [line.split(":")[1].strip() for line in err.splitlines()] == [
        "line 1",
        "line 3",
        "line 4",
        "2 advised, 3 without advice.",
    ]
    (log,) = logs.iterdir()
    assert [e.code for e in read_log(log)[0] if isinstance(e, Fault)] == ["no_text", "answer", "answer"]
    assert main(["replay", log.stem]) == 0


@pytest.mark.parametrize(
    ("form", "place", "name"),
    [
        *((form, recording, name) for form in ("--json", "--slip") for name in ("read_words", "report")),
        ("--json", shell_batch, "with_texts"),
        ("--slip", printed, "remarks"),
    ],
)
def test_a_fault_of_the_program_is_of_one_line_and_wins_the_exit_code(
    form: str,
    place: object,
    name: str,
    logs: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    sound, calls = getattr(place, name), iter(range(9))

    def planted(*given: Any) -> Any:
        if next(calls) == 1:
            raise ValueError("in /srv/x.py")
        return sound(*given)

    path = tmp_path / "orders.txt"
    path.write_text("belt\ntote\nitem=submarine\ncard holder\n")
    with monkeypatch.context() as patch:
        patch.setattr(place, name, planted)
        assert main(["recommend", "--batch", str(path), form]) == EXIT_FAULT
    out, err = capsys.readouterr()
    assert "/srv" not in out + err
    assert 'line 2: "tote": The line ran into a fault of the program (ValueError).' in err
    assert "2 advised, 2 without advice." in err
    if form == "--json":
        assert objects(out)[1] == {
            "line": 2,
            "sentence": "tote",
            "fault": {"code": "internal", "text": "The line ran into a fault of the program (ValueError)."},
        }
        assert [one["line"] for one in objects(out)] == [1, 2, 3, 4]
    else:
        heads = [line for line in out.splitlines() if line.startswith("Line ")]
        assert heads == ["Line 1: belt", "Line 4: card holder"]
    (log,) = logs.iterdir()
    assert [(e.code, e.error) for e in read_log(log)[0] if isinstance(e, Fault)] == [
        ("internal", "ValueError"),
        ("answer", "AnswerError"),
    ]
    assert main(["replay", log.stem]) == 0


def test_ctrl_c_is_no_fault_of_a_line(
    batch: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(recording, "read_words", stopped)
    assert main(["recommend", "--batch", batch, "--json"]) == 130
    out, err = capsys.readouterr()
    assert (out, err) == ("", "advisor: interrupted; --from 1 goes on.\n")


# -- going on after an interruption


def numbers(path: Path) -> list[int]:
    return [one["line"] for one in objects(path.read_text(encoding="utf-8"))]


def test_results_in_a_file_are_gone_on_with(batch: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out.jsonl"
    base = ["recommend", "--batch", batch, "--json", "--no-log", "--out", str(out)]
    assert main(base) == 0
    assert capsys.readouterr() == ("", "")
    whole = out.read_bytes()
    assert numbers(out) == [1, 3, 4, 5]
    ends = [i + 1 for i, byte in enumerate(whole) if byte == ord("\n")]
    # Cut anywhere: what is torn goes, and the rest comes out byte for byte.
    for cut in (0, 1, 5, 11, ends[0] - 1, ends[0], ends[0] + 1, ends[1] - 1, ends[2], len(whole) - 1, len(whole)):
        out.write_bytes(whole[:cut])
        assert main([*base, "--from", "next"]) == 0
        assert out.read_bytes() == whole
    out.write_bytes(whole[: ends[0]])
    assert main([*base, "--from", "4"]) == 0
    assert numbers(out) == [1, 4, 5]


@pytest.mark.parametrize(
    ("held", "start", "says"),
    [
        ('{"line": 3, "sentence": "tote"}\n', None, "--from next goes on after it"),
        ('{"line": 3, "sentence": "tote"}\n', "3", "already holds line 3"),
        ("dear diary\n", "next", "something else"),
        ("dear diary", "next", "something else"),
        ('{"line": 3}\ndear diary', "next", "something else"),
        ('{"line": 3\n', "next", "no result"),
        ('{"line": "x"}\n', "next", "no number"),
        ("", "0", "expected the number"),
        ("", "later", "expected the number"),
        ("", "-1", "expected"),
    ],
)
def test_a_file_that_is_not_to_be_added_to_is_left_as_it_was(
    held: str, start: str | None, says: str, batch: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out.jsonl"
    out.write_text(held)
    more = [f"--from={start}"] if start else []
    assert main(["recommend", "--batch", batch, "--json", "--no-log", "--out", str(out), *more]) == 2
    assert says in capsys.readouterr().err
    assert out.read_text() == held


def test_an_interrupted_batch_says_where_to_go_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    sentences, out, real = tmp_path / "six.txt", tmp_path / "out.jsonl", recording.read_words
    sentences.write_text("belt\ntote\nbelt\ndog lead\nbelt\ntote\n")

    def stopped(rulebase: RuleBase, words: list[str], *rest: object) -> object:
        if words == ["dog lead"]:
            raise KeyboardInterrupt
        return real(rulebase, words, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(recording, "read_words", stopped)
    command = ["recommend", "--batch", str(sentences), "--json", "--no-log"]
    assert main([*command, "--out", str(out)]) == 130
    assert "--from next goes on" in capsys.readouterr().err
    assert main(command) == 130
    printed, err = capsys.readouterr()
    assert [json.loads(line)["line"] for line in printed.splitlines()] == [1, 2, 3]
    assert "--from 4 goes on" in err
    monkeypatch.setattr(recording, "read_words", real)
    assert main([*command, "--out", str(out), "--from", "next"]) == 0
    assert numbers(out) == [1, 2, 3, 4, 5, 6]


def test_lines_that_come_again_are_consulted_once_and_told_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    sentences, real, heard = tmp_path / "list.txt", recording.read_words, []

    def counted(rulebase: RuleBase, words: list[str], *rest: object) -> object:
        heard.append(words)
        return real(rulebase, words, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(recording, "read_words", counted)
    sentences.write_text("belt\nwaist=9 kg\nbelt\nwaist=9 kg\nbelt\n")
    assert main(["recommend", "--batch", str(sentences), "--json", "--no-log"]) == 2
    told = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [one["line"] for one in told] == [1, 2, 3, 4, 5]
    assert [one.get("advice", one.get("fault")) for one in told[:2] * 2] == [
        one.get("advice", one.get("fault")) for one in told[:4]
    ]
    assert len(heard) == 2


def test_several_processes_write_the_same_bytes_in_the_same_order(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sentences = tmp_path / "lines.txt"
    things = ["belt", "waist=9 kg", "tote", "belt", "dog lead for a 30 kg dog", "something", "", "card holder"]
    sentences.write_text("".join(f"{thing}\n" for thing in things * 2))
    told = []
    for count in ("1", "3"):
        code = main(["recommend", "--batch", str(sentences), "--json", "--no-log", "--jobs", count])
        told.append((code, *capsys.readouterr()))
    assert told[0] == told[1]
    assert len(told[0][1].splitlines()) == 14
    assert main(["recommend", "belt", "--jobs", "2"]) == 2
    assert main(["recommend", "--batch", str(sentences), "--jobs", "0"]) == 2


def test_a_slip_of_several_processes_names_its_place_in_the_log(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sentences = tmp_path / "lines.txt"
    sentences.write_text("belt\ntote\nbelt\n")
    assert main(["recommend", "--batch", str(sentences), "--slip", "--jobs", "2"]) == 0
    out = capsys.readouterr().out
    assert all(f", line {n}" in out for n in (1, 2, 3))


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="processes are counted in /proc")
def test_killed_with_several_processes_a_batch_leaves_none_and_is_gone_on_with(tmp_path: Path) -> None:
    sentences, out = tmp_path / "many.txt", tmp_path / "out.jsonl"
    sentences.write_text("".join(f"belt, waist {60 + n} cm\n" for n in range(20)))
    command = [sys.executable, "-m", "advisor", "recommend", "--batch", str(sentences), "--json", "--no-log"]
    command += ["--jobs", "2", "--out", str(out), "--from", "next"]
    with subprocess.Popen(command, stderr=subprocess.DEVNULL) as run:
        end = time.monotonic() + 60
        while not out.exists() or not out.stat().st_size:
            assert time.monotonic() < end
            time.sleep(0.01)
        children = Path(f"/proc/{run.pid}/task/{run.pid}/children").read_text().split()
        run.kill()
    assert len(children) == 2
    end = time.monotonic() + 30
    while any(Path(f"/proc/{child}/cmdline").exists() for child in children):
        assert time.monotonic() < end
        time.sleep(0.05)
    assert subprocess.run(command, stderr=subprocess.DEVNULL, timeout=120, check=False).returncode == 0
    assert numbers(out) == list(range(1, 21))


def test_lines_are_out_before_the_next_is_read() -> None:
    command = [sys.executable, "-m", "advisor", "recommend", "--batch", "-", "--json", "--no-log"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdin
        assert run.stdout
        for number, sentence in enumerate(["belt", "tote"], 1):
            run.stdin.write(f"{sentence}\n")
            run.stdin.flush()
            assert json.loads(run.stdout.readline())["line"] == number
        run.stdin.close()
        assert run.wait(30) == 0


def test_two_batches_do_not_write_one_file(batch: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out.jsonl"
    held = Results(out)
    assert main(["recommend", "--batch", batch, "--json", "--no-log", "--out", str(out)]) == 2
    assert "another batch" in capsys.readouterr().err
    held.close()
    os.mkfifo(tmp_path / "fifo")
    assert main(["recommend", "--batch", batch, "--json", "--no-log", "--out", str(tmp_path / "fifo")]) == 2
    assert main(["recommend", "--batch", batch, "--json", "--no-log", "--out", "/proc/nothing/here"]) == 3


# -- input


def test_standard_input_is_a_file_too(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("card holder\ntote"))
    assert main(["recommend", "--batch", "-"]) == 0
    out, err = capsys.readouterr()
    assert out.count(f"{ORDER}   ") == 2
    assert err == ""


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["--batch", "/nowhere"], 3, "/nowhere cannot be read"),
        (["--batch", "/"], 3, "cannot be read"),
        (["--batch", "-", "belt"], 2, '"belt" belongs there'),
        (["--slip", "--json", "belt"], 2, "--slip"),
        (["--batch", "-", "waist=9 kg"], 3, "waist"),
        (["--batch", "-", "--out", "x"], 2, "--json"),
        (["--from", "3", "belt"], 2, "--batch"),
        (["--batch", "-", "--json", "--from", "next"], 2, "--out FILE"),
        (["--batch", "-", "--why", "weight"], 2, "not for --batch"),
    ],
)
def test_wrong_use_is_told(arguments: list[str], code: int, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", *arguments]) == code
    assert said in capsys.readouterr().err

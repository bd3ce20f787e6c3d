"""Odd surroundings: locales, full devices, long names, links, missing homes, a clock that goes back.

JSON between systems is UTF-8 (RFC 8259, 8.1); log files and their folders are their owner's alone (0600, 0700).
"""

from __future__ import annotations

import codecs
import json
import os
import shutil
import stat
import sys
import time
from pathlib import Path

import pytest
from begun import Begun, plain_environment
from limits import ROOT, ran
from plain import sampled

from advisor import reasoning
from advisor.errors import EngineMissingError
from advisor.reasoning import consult
from advisor.reasoning.record import Asked, Manner, Typed, made_with
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import RuleBase
from advisor.shell import logbook
from advisor.shell.cli import main
from advisor.shell.edge import visible

FULL = Path("/dev/full")
RULES, SHOP = ROOT / "rulesets" / "leather", ROOT / "transcripts_demo" / "house"


@pytest.mark.parametrize("encoding", sampled(["rubbish", "ascii", "utf-16", "latin-1"], 2))
def test_json_is_utf_8_whatever_the_locale(encoding: str, tmp_path: Path) -> None:
    if encoding == "rubbish":
        env = {"LC_ALL": "xx_YY.ISO-8859-15", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    else:
        env = {"PYTHONIOENCODING": encoding}
    done = ran(["recommend", "belt for jeans, 革", "--json", "--proof", "--no-log"], tmp_path, env=env)
    assert done.code == 0, done.err
    json.loads(done.out.decode("utf-8"))
    (tmp_path / "advice.json").write_bytes(done.out)
    assert ran(["verify", str(tmp_path / "advice.json")], tmp_path, env=env).code == 0
    plain = ran(["--plain"], tmp_path, b"belt for jeans\nquit\n", env=env)
    assert plain.code == 0
    assert b"ORDER" in plain.out


@pytest.mark.skipif(not FULL.exists(), reason="this system has no device that is always full")
@pytest.mark.parametrize("argument", ["--help", "--version", "schema", "examples"])
def test_what_cannot_be_written_is_no_success(argument: str, tmp_path: Path) -> None:
    env = {"ADVISOR_LOGS": str(tmp_path), "PYTHONUNBUFFERED": "1" if argument == "schema" else ""}
    with Path(os.devnull).open() as nothing, FULL.open("w") as full, (tmp_path / "err").open("w+") as err:
        begun = Begun([argument], [nothing.fileno(), full.fileno(), err.fileno()], plain_environment() | env)
        assert begun.wait() == 3
        err.seek(0)
        assert "cannot be written" in err.read()


@pytest.mark.skipif(not FULL.exists(), reason="this system has no device that is always full")
@pytest.mark.parametrize(
    ("argument", "code"),
    [("recommend belt --slip --no-log", 0), ("recommend strap_width=zz", 3), ("--plain", 0)],
)
def test_what_cannot_be_told_aside_stops_nothing(argument: str, code: int, tmp_path: Path) -> None:
    """Standard error is full; in the conversation besides there is no folder that its log could go to."""
    typed = tmp_path / "typed"
    typed.write_text("belt for jeans\n")
    for buffered in ("", "1"):
        env = {"ADVISOR_LOGS": "/dev/null/x", "PYTHONUNBUFFERED": buffered}
        with typed.open() as source, (tmp_path / f"out{buffered}").open("w+") as out, FULL.open("w") as full:
            streams = [source.fileno(), out.fileno(), full.fileno()]
            assert Begun(argument.split(), streams, plain_environment() | env).wait() == code
            out.seek(0)
            assert ("ORDER" in out.read()) == (code == 0)


@pytest.mark.parametrize("command", [["log", "show"], ["replay"], ["verify"]])
def test_a_name_too_long_is_told_as_such(command: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*command, "x" * 5000]) == 3
    said = capsys.readouterr().err
    assert "output" not in said.replace("the output of recommend", "")
    assert len(said) < 6000


def test_folders_of_logs_are_the_users_alone_under_any_umask(
    rulebase: RuleBase, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "share" / "advisor" / "logs"
    monkeypatch.setenv("ADVISOR_LOGS", str(place))
    before = os.umask(0)
    try:
        with logbook.kept(rulebase, None, "chat", Manner(), False) as book:
            book.keep(Typed(line="belt"))
    finally:
        os.umask(before)
    modes = [stat.S_IMODE(p.stat().st_mode) for p in (place, place.parent, place.parent.parent)]
    assert modes == [0o700] * 3
    assert [stat.S_IMODE(p.stat().st_mode) for p in place.iterdir()] == [0o600]


@pytest.mark.skipif(not hasattr(os, "O_NOFOLLOW"), reason="links cannot be told apart here")
def test_a_log_reached_by_a_link_is_refused(
    rulebase: RuleBase, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path / "logs"))
    with logbook.kept(rulebase, None, "chat", Manner(), False) as book:
        book.keep(Typed(line="belt"))
        book.keep(Asked(question="item"))
    (log,) = (tmp_path / "logs").iterdir()
    elsewhere = tmp_path / "elsewhere"
    log.rename(elsewhere)
    log.symlink_to(elsewhere)
    before = elsewhere.read_bytes()
    for command in (["log", "show", log.stem], ["replay", log.stem], ["--resume", log.stem, "--plain"]):
        assert main(command) == 3
        assert "it is a link" in capsys.readouterr().err
    assert main(["--resume", "--plain"]) == 3
    assert elsewhere.read_bytes() == before


def test_the_last_written_conversation_is_gone_on_with_when_the_clock_went_back(
    rulebase: RuleBase, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))
    named = []
    for line in ("belt", "tote bag"):
        with logbook.kept(rulebase, None, "chat", Manner(), False) as book:
            book.keep(Typed(line=line))
            book.keep(Asked(question="item"))
            named.append(book.name)
        if line == "belt":
            old = tmp_path / f"{named[0]}.jsonl"
            later = tmp_path / "2099-01-01-000000.jsonl"
            old.rename(later)
            far = time.time_ns() + 10**18
            os.utime(later, ns=(far, far))
    book = logbook.Logbook(made_with(rulebase, None, "0"), print)
    logbook.taken_up(book, "")
    assert book.name == named[1]
    book.close()


@pytest.mark.parametrize(
    "env",
    sampled(
        [
            {"HOME": "file/home"},
            {"HOME": "/proc"},
            {"HOME": "", "XDG_DATA_HOME": "data"},
            {"TERM": "no-such-terminal", "XDG_DATA_HOME": "data"},
            {"TERM": "", "XDG_DATA_HOME": "data"},
        ],
        3,
    ),
)
def test_odd_surroundings_stop_no_advice(env: dict[str, str], tmp_path: Path) -> None:
    """A home below a plain file or in a system that takes no files, none at all, and terminals nobody knows."""
    (tmp_path / "file").touch()
    there = {k: str(tmp_path / v) if v in ("file/home", "data") else v for k, v in env.items()}
    done = ran(["recommend", "belt for jeans"], tmp_path, env={"ADVISOR_LOGS": "", "XDG_DATA_HOME": "", **there})
    assert done.code == 0, done
    assert done.held
    assert b"ORDER" in done.out


@pytest.mark.library
def test_an_inference_library_that_cannot_be_loaded_is_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """As Python 3.13 tells it where the library was built without the flag: told once, whatever was to be done."""
    monkeypatch.setitem(sys.modules, "durable_rules_engine", None)
    monkeypatch.delitem(sys.modules, "advisor.reasoning.engine", raising=False)
    monkeypatch.delattr(reasoning, "engine", raising=False)
    with pytest.raises(EngineMissingError, match="CPPFLAGS=-DPyEval_CallObject=PyObject_CallObject"):
        consult._loaded(None)  # type: ignore[arg-type]
    batch = tmp_path / "lines"
    batch.write_text("belt\ntote\n", "utf-8")
    for command in (
        ["recommend", "belt", "--no-log"],
        ["--plain", "--no-log"],
        ["--resume", "--plain"],
        ["recommend", "--batch", str(batch)],
        ["review", "belt", "--leather", "chrome 2 mm"],
        ["replay", "none"],
    ):
        assert main(command) == 3, command
        said = capsys.readouterr()
        assert said.err.count("\n") == 1
        assert "CPPFLAGS=" in said.err
        assert said.out == ""


def test_escapes_shown_are_the_same_characters_to_json() -> None:
    every = "".join(map(chr, range(0xA1)))
    assert json.loads('"' + visible(json.dumps(every, ensure_ascii=False)[1:-1]) + '"') == every
    assert visible("a\nb") == "a\nb"


def test_a_byte_order_mark_is_no_part_of_a_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Some editors write one at the head of UTF-8 (RFC 3629, 6): shop lists, rule files, batches, cases, proofs."""
    shop = shutil.copytree(SHOP, tmp_path / "shop")
    for file in shop.glob("*.toml"):
        file.write_bytes(codecs.BOM_UTF8 + file.read_bytes())
    batch = tmp_path / "lines"
    batch.write_bytes(codecs.BOM_UTF8 + b"belt for jeans\n")
    said = []
    for place, line in ((SHOP, ["belt for jeans"]), (shop, ["--batch", str(batch)])):
        assert main(["--house", str(place), "recommend", *line, "--no-log", "--slip"]) == 0
        said.append(capsys.readouterr().out.split("RULES")[0].partition("ORDER")[2])
    assert said[0] == said[1] != ""
    rules = shutil.copytree(RULES, tmp_path / "rules")
    for file in rules.rglob("*.toml"):
        file.write_bytes(codecs.BOM_UTF8 + file.read_bytes())
    assert load_rulebase(rules).rules == load_rulebase().rules

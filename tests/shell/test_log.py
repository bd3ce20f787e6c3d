"""Decision logs as files: kept as it happens, private, resumed after a crash, and refused when out of shape."""

from __future__ import annotations

import io
import json
import os
import random
import resource
import shutil
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import redirect_stdout
from dataclasses import replace as changed
from pathlib import Path
from xml.etree import ElementTree as Xml

import pytest
from begun import Piped, ended
from prov.model import ProvDocument
from terminal import Terminal

from advisor import load_rulebase
from advisor.reasoning.consult import Consultation
from advisor.reasoning.record import (
    LINE,
    Answered,
    Asked,
    Began,
    Concluded,
    Ended,
    Fault,
    Line,
    Resumed,
    Typed,
    concluded,
    fold,
    made_with,
)
from advisor.reasoning.report import report
from advisor.rulebase.models import RuleBase
from advisor.shell import cli
from advisor.shell.cli import main
from advisor.shell.logbook import MAX_BYTES, MAX_EVENTS, Logbook, read_log
from advisor.write.page import ORDER

TALK = [
    "belt for jeans, 38 mm wide, waist 92 cm",
    "change quantity to 1",
    "change experience to beginner",
    "why tannage",
    "change waist to 100 cm",
    "?",
    "don't know",
    "back",
    "change experience to professional",
    "don't know",
    "change strap width to 30 mm",
    "what if water is rain",
    "change item to card holder",
]


@pytest.fixture
def logs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, rulebase: RuleBase) -> Path:
    """A folder for the logs of one test; the rule base is not read anew for each command."""
    monkeypatch.setattr(cli, "prepared_rulebase", lambda: rulebase)
    place = tmp_path / "kept"
    monkeypatch.setenv("ADVISOR_LOGS", str(place))
    return place


def talk(monkeypatch: pytest.MonkeyPatch, lines: Sequence[str], *options: str) -> int:
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    return main(list(options))


def the_log(logs: Path) -> Path:
    (path,) = logs.iterdir()
    return path


def typed(path: Path) -> list[str]:
    return [e.line for e in read_log(path)[0] if isinstance(e, Typed)]


def test_a_chat_is_kept_and_says_where(
    logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert talk(monkeypatch, [*TALK[:3], "quit"]) == 0
    path = the_log(logs)
    last = capsys.readouterr().out.splitlines()[-1]
    assert last == f'Kept as {path.stem}; "advisor replay {path.stem}" checks it.'
    assert typed(path) == [*TALK[:3], "quit"]
    head = json.loads(path.read_text().splitlines()[0])["event"]
    assert head["format"] == "leather-consultation-log"
    assert head["by"] == "chat"
    assert len(head["made_with"]["rulebase"]["sha256"]) == 64
    assert main(["replay", path.stem]) == 0
    assert "derived anew and equal (4 lines typed" in capsys.readouterr().out
    assert main(["replay", str(path)]) == 0
    assert main(["log", "list"]) == 0
    listed = " ".join(capsys.readouterr().out.split())
    assert "finished, 4 lines typed; trouser belt: veg-tan tooling leather" in listed
    assert main(["log", "show", path.stem]) == 0
    assert "> change experience to beginner" in capsys.readouterr().out


def test_file_and_folder_are_the_users_alone(logs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = os.umask(0)
    try:
        talk(monkeypatch, ["tote"])
    finally:
        os.umask(before)
    assert stat.S_IMODE(logs.stat().st_mode) == 0o700
    assert stat.S_IMODE(the_log(logs).stat().st_mode) == 0o600


def test_the_data_folder_of_the_user_is_where_logs_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("ADVISOR_LOGS")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    talk(monkeypatch, ["tote"])
    assert len(list((tmp_path / "leather-order-advisor" / "logs").iterdir())) == 1


def test_nothing_typed_or_no_log_wanted_leaves_no_file(logs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    talk(monkeypatch, [])
    talk(monkeypatch, ["tote"], "--no-log")
    assert main(["recommend", "a tote", "--no-log"]) == 0
    assert main(["recommend", "waist=9 kg"]) == 3
    assert not logs.exists()


def test_recommend_is_kept_quietly(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", "a belt, 38 mm wide", "waist=92 cm"]) == 0
    out, err = capsys.readouterr()
    assert "Kept" not in out + err
    assert main(["replay", the_log(logs).stem]) == 0
    assert main(["--resume", the_log(logs).stem]) == 3
    assert "no conversation" in capsys.readouterr().err


@pytest.mark.parametrize("place", ["/proc/self", "/sys/kernel/logs", "file"])
def test_a_log_that_cannot_be_written_stops_nothing(
    place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path / place))
    assert talk(monkeypatch, TALK[:3]) == 0
    out, err = capsys.readouterr()
    assert f"{ORDER}   " in out
    assert "Kept as" not in out
    assert err.count("not kept") == len(err.splitlines()) == 1


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is read-only to this user")
def test_a_read_only_folder_stops_nothing(
    logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    logs.mkdir(mode=0o500)
    assert talk(monkeypatch, TALK[:3]) == 0
    assert capsys.readouterr().err.count("not kept") == 1


def test_a_full_disk_stops_nothing_and_leaves_a_log_that_can_be_read(
    logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    ignored = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (9000, before[1]))
        assert talk(monkeypatch, TALK) == 0
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, ignored)
    assert capsys.readouterr().err.count("not kept from here on") == 1
    assert typed(the_log(logs)) == TALK[: len(typed(the_log(logs)))] != []
    assert main(["replay", the_log(logs).stem]) == 0
    assert "torn" in capsys.readouterr().err


def test_a_log_that_is_full_is_said_and_can_still_be_read(logs: Path, rulebase: RuleBase) -> None:
    said: list[str] = []
    book = Logbook(made_with(rulebase, None, "0.1.0"), said.append)
    book.begin("chat")
    for _ in range(MAX_BYTES // 15_000 + 50):
        book.keep(Typed(line="x" * 15_000))
    book.close()
    assert said == ["the log is full, so this conversation is not kept from here on."]
    assert the_log(logs).stat().st_size <= MAX_BYTES
    assert len(read_log(the_log(logs))[0]) > 500


def test_two_chats_at_the_same_time_get_two_files(logs: Path, rulebase: RuleBase) -> None:
    books = [Logbook(made_with(rulebase, None, "0.1.0"), pytest.fail) for _ in range(3)]
    for book in books:
        book.begin("chat")
    for book in books:
        book.keep(Typed(line="tote"))
    assert len({book.name for book in books}) == len(list(logs.iterdir())) == 3
    for book in books:
        book.close()


def test_a_log_that_another_chat_holds_is_left_alone(
    logs: Path, rulebase: RuleBase, capsys: pytest.CaptureFixture[str]
) -> None:
    book = Logbook(made_with(rulebase, None, "0.1.0"), pytest.fail)
    book.begin("chat")
    book.keep(Typed(line="tote"))
    assert main(["--resume", str(book.name)]) == 3
    assert "another chat" in capsys.readouterr().err
    assert main(["--resume"]) == 3
    assert "no unfinished conversation" in capsys.readouterr().err
    book.close()


# -- crashes


def answered_one_by_one(chat: Piped, lines: Sequence[str]) -> Iterator[str]:
    """Feeds a line and waits until the next question stands; yields what was fed and answered."""
    waits_for_prompt(chat)
    for line in lines:
        chat.stdin.write(line + "\n")
        chat.stdin.flush()
        waits_for_prompt(chat)
        yield line


def waits_for_prompt(chat: Piped) -> None:
    last = "\n"
    while (letter := chat.stdout.read(1)) and (last, letter) != (">", " "):
        last = letter


def killed_and_resumed(logs: Path, seed: int) -> None:
    """Kills a chat at a random moment of a random line, and goes on with it to the end."""
    rng = random.Random(seed)
    count = rng.randrange(1, len(TALK))
    with Piped() as chat:
        answered = list(answered_one_by_one(chat, TALK[:count]))
        chat.stdin.write(TALK[count] + "\n")
        chat.stdin.flush()
        time.sleep(rng.choice([0, rng.uniform(0, 0.05), rng.uniform(0, 0.3)]))
        chat.process.send_signal(signal.SIGKILL)
    path = the_log(logs)
    kept = typed(path)
    assert kept in (answered, TALK[: count + 1])
    rest = TALK[len(kept) :]
    done = ended(["--resume"], "".join(f"{x}\n" for x in rest).encode())
    assert done.code == 0, done.err
    assert done.out.decode().startswith("Restored: trouser belt")
    events, torn = read_log(path)
    assert torn == 0
    once = [line for i, line in enumerate(typed(path)) if i != len(kept) or line != typed(path)[i - 1]]
    assert once == TALK
    assert isinstance(events[-1], Ended)
    assert main(["replay", path.stem]) == 0


@pytest.mark.parametrize("seed", range(1))
def test_a_kill_loses_at_most_the_line_being_typed(seed: int, logs: Path) -> None:
    killed_and_resumed(logs, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 60))
def test_many_kills_lose_at_most_the_line_being_typed(seed: int, logs: Path) -> None:
    killed_and_resumed(logs, seed)


def test_a_hang_up_loses_nothing(logs: Path) -> None:
    with Terminal(lines=50) as chat:
        chat.wait_for("What are you making")
        chat.type(TALK[0] + "\r", "1 of ")
        chat.type("a dozen half typ")
        chat.pump(0.3)
        chat.go_away()
        chat.child.wait()
    path = the_log(logs)
    assert typed(path) == [TALK[0]]
    with Terminal("--plain", "--resume") as again:
        again.wait_for("Restored: trouser belt, a belt 38 mm wide and a waist of 92 cm")
        again.wait_for("> ")
        again.type("change quantity to 3\n", "Changed: 3 to make")
        again.type("quit\n", f"Kept as {path.stem}")
        assert again.end() == 0
    assert main(["replay", path.stem]) == 0


def test_a_line_typed_but_not_answered_is_answered_on_return(
    logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    talk(monkeypatch, TALK[:2])
    path = the_log(logs)
    lines = path.read_text().splitlines(keepends=True)
    at = max(i for i, line in enumerate(lines) if '"typed"' in line)
    path.write_text("".join(lines[: at + 1]) + lines[at + 1][:40])
    capsys.readouterr()
    assert talk(monkeypatch, ["quit"], "--resume") == 0
    out = capsys.readouterr().out
    assert "> change quantity to 1\nChanged: 1 to make " in out
    events = read_log(path)[0]
    assert fold(events).answers["quantity"].values == (1.0,)
    assert main(["replay", path.stem]) == 0


def test_a_chat_goes_on_in_the_manner_it_was_begun_in(
    logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert talk(monkeypatch, ["tote bag", "14"], "--brief", "--units", "inch") == 0
    path = the_log(logs)
    path.write_text("".join(path.read_text().splitlines(keepends=True)[:-1]))
    capsys.readouterr()
    assert talk(monkeypatch, ["change width to 15", "quit"], "--resume") == 0
    out = capsys.readouterr().out
    assert "a bag 15 in wide" in out
    assert "RECORD " in out
    assert main(["replay", path.stem]) == 0
    capsys.readouterr()
    assert main(["log", "show", path.stem]) == 0
    assert "a bag 15 in wide" in capsys.readouterr().out
    assert main(["log", "show", path.stem, "--units", "mm"]) == 0
    assert "a bag 38.1 cm wide" in capsys.readouterr().out


def test_the_last_unfinished_chat_is_found_and_a_finished_one_by_name(
    logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for item in ("tote", "card holder"):
        talk(monkeypatch, [item, "change quantity to 1"])
    older, newer = sorted(logs.iterdir(), key=lambda p: p.stat().st_mtime_ns)
    assert talk(monkeypatch, [], "--resume") == 3
    older.write_text("".join(older.read_text().splitlines(keepends=True)[:-1]))
    capsys.readouterr()
    assert talk(monkeypatch, ["don't know"], "--resume") == 0
    assert "Restored: plain tote and 1 to make." in capsys.readouterr().out
    assert talk(monkeypatch, ["change quantity to 2"], "--resume", newer.stem) == 0
    assert "Restored: card holder" in capsys.readouterr().out
    for path in (older, newer):
        assert main(["replay", str(path)]) == 0
    assert [type(e) for e in read_log(newer)[0]].count(Ended) == 2


# -- faults of the program

PLANTED = """
import sys
import advisor.talk.session as talk
reads, asks = talk.read_sentence, talk.worth_asking
def read(base, text, *more):
    if "sparkly" in text:
        raise ValueError("not enough values to unpack in /srv/secret.py")
    return reads(base, text, *more)
def ask(run, answers, *more):
    if "quantity" in answers and answers["quantity"].values == (7.0,):
        raise ZeroDivisionError
    return asks(run, answers, *more)
talk.read_sentence, talk.worth_asking = read, ask
from advisor.shell.cli import run
run()
"""


def planted(said: str, *options: str) -> tuple[int, str, str]:
    """The program with two faults in it, by pipe: exit code, output and errors."""
    done = subprocess.run(
        [sys.executable, "-c", PLANTED, *options], input=said, capture_output=True, text=True, timeout=240, check=False
    )
    return done.returncode, done.stdout, done.stderr


def test_a_chat_by_pipe_goes_on_after_faults(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = ["tote bag", "as sparkly as can be", "change quantity to 7", "change quantity to 2", "quit"]
    code, out, err = planted("".join(f"{line}\n" for line in lines))
    assert (code, err) == (0, "")
    said = " ".join(out.split())
    assert said.count("That line ran into a fault of mine; it is kept, and nothing changed. Say it another way.") == 2
    assert "/srv" not in out
    assert "Changed: 2 to make " in said
    assert " ORDER " in said
    path = the_log(logs)
    assert f"Kept as {path.stem}" in said
    assert typed(path) == lines
    events = read_log(path)[0]
    assert [e.error for e in events if isinstance(e, Fault)] == ["ValueError", "ZeroDivisionError"]
    assert "/srv" not in path.read_text()
    assert set(fold(events).answers) == {"item", "quantity"}
    assert main(["replay", path.stem]) == 0
    assert capsys.readouterr().out.count("would be") == 2
    assert main(["log", "export", path.stem, "--as", "svg"]) == 0


def test_without_a_log_nothing_is_said_to_be_kept(logs: Path) -> None:
    _, out, _ = planted("tote bag\nas sparkly as can be\n", "--no-log")
    assert "That line ran into a fault of mine; nothing changed." in " ".join(out.split())
    assert not logs.exists()


def test_a_conversation_that_died_on_a_line_goes_on_past_it(
    logs: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    talk(monkeypatch, ["tote bag", "as sparkly as can be"])
    path = the_log(logs)
    lines = path.read_text().splitlines(keepends=True)
    at = max(i for i, line in enumerate(lines) if '"typed"' in line)
    path.write_text("".join(lines[: at + 1]))
    code, out, err = planted("change quantity to 2\nquit\n", "--resume")
    assert (code, err) == (0, "")
    assert "> as sparkly as can be\nThat line ran into a fault of mine" in out
    assert "Changed: 2 to make " in out
    assert main(["replay", path.stem]) == 0


def test_one_shot_tells_its_fault_in_one_sentence(logs: Path) -> None:
    fault = "import advisor.talk.recording as r\nr.read_words = lambda *_: 1 / 0\n"
    program = f"{fault}from advisor.shell.cli import run\nrun()"
    done = subprocess.run(
        [sys.executable, "-c", program, "recommend", "a tote"], capture_output=True, text=True, timeout=240, check=False
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == "advisor: internal fault: ZeroDivisionError: division by zero\n"


# -- files that are not as they were written


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory, rulebase: RuleBase) -> Path:
    """The log of one chat, held once for all that is done to copies of it."""
    place = tmp_path_factory.mktemp("written")
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(io.StringIO()):
        patch.setattr(cli, "prepared_rulebase", lambda: rulebase)
        patch.setenv("ADVISOR_LOGS", str(place))
        talk(patch, TALK[:5])
    return the_log(place)


@pytest.fixture
def kept(logs: Path, written: Path) -> Path:
    logs.mkdir(mode=0o700)
    return Path(shutil.copy2(written, logs))


@pytest.mark.parametrize(
    ("event", "old", "new", "says"),
    [
        ("answered", "[920.0]", "[930.0]", ("answered waist", "930.0", "920.0")),
        ("fired", '"rules":["trouser_belt/habits",', '"rules":[', ("fired, rules", "trouser_belt/habits")),
        ("concluded", '"full_grain"', '"top_grain"', ("concluded, decisions grain", "top_grain", "full_grain")),
        ("concluded", '"knife_slips":"applies"', '"knife_slips":"not ruled out"', ("cautions knife_slips",)),
        ("typed", "waist 92 cm", "waist 93 cm", ("read, understood waist", "920", "930")),
    ],
)
def test_an_edit_by_hand_is_named_with_its_event(
    event: str, old: str, new: str, says: tuple[str, ...], kept: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = kept.read_text().splitlines(keepends=True)
    at = next(i for i, line in enumerate(lines) if f'"kind":"{event}"' in line and old in line)
    lines[at] = lines[at].replace(old, new)
    kept.write_text("".join(lines))
    assert main(["replay", kept.stem]) == 4
    out = " ".join(capsys.readouterr().out.split())
    named = at + 1 + (event == "typed")
    assert f"event {named}," in out
    assert all(word in out for word in says), out


def test_a_torn_last_line_is_tolerated(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    raw = kept.read_bytes()
    for cut in (1, 10, 200, 3000):
        kept.write_bytes(raw[:-cut])
        assert main(["replay", kept.stem]) == 0
        out, err = capsys.readouterr()
        assert "torn" in err
        assert "unfinished" in out or cut == 1


HEAD = '{"n":1,"event":{"kind":"began","format":"leather-consultation-log","version":1,"by":"chat",'


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"", "no decision log"),
        (b"\n", "no decision log"),
        (b"hello\nworld\n", "no decision log"),
        (b"\x00\xff\xfe\n" * 50, "no decision log"),
        (b"[" * 100_000 + b"\n", "no decision log"),
        (b'{"n":1,"event":{"kind":"typed","line":"belt"}}\n', "no decision log"),
        (HEAD.replace('"version":1', '"version":3').encode() + b'"at":"x"}}\n', "reads versions 1 to 2"),
        (HEAD.replace('"version":1', '"version":0').encode() + b'"at":"x"}}\n', "version"),
        (HEAD.replace('"version":1', '"version":true').encode() + b'"at":"x"}}\n', "version"),
        (HEAD.encode() + b'"at":"x"}}\n', "line 1"),
    ],
)
def test_what_is_no_log_is_met_with_a_word(
    raw: bytes, says: str, logs: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    logs.mkdir()
    (logs / "odd.jsonl").write_bytes(raw)
    for command in (["replay", "odd"], ["log", "show", "odd"], ["--resume", "odd"]):
        assert main(command) == 3
        out, err = capsys.readouterr()
        assert says in err
        assert (out, "Traceback" in err) == ("", False)
    assert main(["log", "list"]) == 0
    assert "unreadable" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (lambda lines: lines[:4] + lines[5:], "line 5: here stands event 6, expected 5"),
        (lambda lines: [*lines[:4], lines[3], *lines[4:]], "line 5"),
        (lambda lines: [*lines[:4], "{}\n", *lines[5:]], "line 5"),
        (lambda lines: [*lines[:4], "\n", *lines[4:]], "line 5"),
        (lambda lines: [*lines[:4], '{"n":5,"event":{"kind":"sung"}}\n', *lines[5:]], "line 5"),
        (lambda lines: [*lines[:4], '{"n":5,"event":{"kind":"typed","line":7}}\n', *lines[5:]], "line 5"),
        (lambda lines: [*lines[:4], lines[0].replace('"n":1,', '"n":5,'), *lines[5:]], "begins once"),
        (lambda lines: lines[1:], "no decision log"),
    ],
)
def test_a_log_out_of_shape_is_refused_with_its_line(
    edit: object, says: str, kept: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert callable(edit)
    kept.write_text("".join(edit(kept.read_text().splitlines(keepends=True))))
    assert main(["replay", kept.stem]) == 3
    assert says in capsys.readouterr().err


def test_an_answer_of_the_wrong_kind_never_reaches_a_consultation(
    kept: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    events = read_log(kept)[0]
    at = next(i for i, e in enumerate(events) if isinstance(e, Answered) and e.attribute == "waist")
    lines = kept.read_text().splitlines(keepends=True)
    lines[at] = lines[at].replace("[920.0]", '["wide"]')
    end = next(i for i, e in enumerate(events) if isinstance(e, Asked) and i > at)
    kept.write_text("".join(lines[: end + 1]))
    assert talk(monkeypatch, ["quit"], "--resume", kept.stem) == 0
    assert "cannot take, and dropped: waist" in capsys.readouterr().out


def test_huge_files_and_things_that_are_no_files_are_met_in_bounded_time(
    logs: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    logs.mkdir()
    huge, fifo, many = (logs / f"{name}.jsonl" for name in ("huge", "fifo", "many"))
    with huge.open("wb") as file:
        file.truncate(50_000_000)
    os.mkfifo(fifo)
    many.write_bytes(b"{}\n" * (MAX_EVENTS + 1))
    for name, says in (("huge", "larger than 8 MB"), ("fifo", "no file"), (str(logs), "no file"), ("many", "lines")):
        start = time.process_time()
        assert main(["replay", name]) == 3
        assert time.process_time() - start < 5
        assert says in capsys.readouterr().err


def test_what_is_exported_is_derived_anew_first(
    kept: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, rulebase: RuleBase
) -> None:
    assert main(["log", "export", kept.stem, "--as", "prov-json"]) == 0
    out, err = capsys.readouterr()
    document = ProvDocument.deserialize(content=out, format="json")
    assert len(document.records) > 500
    assert "change waist to 100 cm" in out
    assert main(["log", "export", kept.stem, "--as", "svg"]) == 0
    drawn = capsys.readouterr().out
    assert "a waist of 100 cm" in drawn
    assert Xml.fromstring(drawn).tag.endswith("svg")
    monkeypatch.setattr(cli, "prepared_rulebase", lambda: changed(rulebase, sha256="0" * 64))
    assert main(["log", "export", kept.stem, "--as", "svg"]) == 3
    out, err = capsys.readouterr()
    assert (out, "The rule base has changed" in err) == ("", True)
    assert main(["replay", kept.stem]) == 0
    assert "the advice is the same today" in " ".join(capsys.readouterr().out.split())
    monkeypatch.setattr(cli, "prepared_rulebase", lambda: rulebase)
    kept.write_text(kept.read_text().replace('"full_grain"', '"top_grain"'))
    assert main(["log", "export", kept.stem, "--as", "svg"]) == 4
    assert "nothing is exported" in capsys.readouterr().err


def test_the_name_nearest_to_a_mistyped_one_is_offered(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["replay", kept.stem[:-1]]) == 3
    assert f'Did you mean "{kept.stem}"' in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments",
    [
        ["log", "show"],
        ["log", "list", "x"],
        ["log", "export", "x"],
        ["log", "show", "x", "--as", "svg"],
        ["--resume", "", "rules", "check"],
        ["--no-log", "--resume"],
    ],
)
def test_wrong_use_is_said(arguments: list[str], logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(arguments) == 2
    assert capsys.readouterr().err.startswith("advisor: ")


# -- logs of the first version, as they were kept then

OLD = Path(__file__).parent / "old_logs"


@pytest.fixture
def old(logs: Path) -> Path:
    shutil.copytree(OLD, logs)
    return logs


def test_an_old_log_is_listed_and_shown(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["log", "list"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "chat_of_version_1 finished, 3 lines typed; trouser belt: veg-tan tooling leather" in out
    assert "recommend_of_version_1 finished, 1 line typed; trouser belt" in out
    for path in old.iterdir():
        assert main(["log", "show", path.stem]) == 0
        assert "> belt for jeans, 38 mm wide" in capsys.readouterr().out


def test_an_old_log_is_gone_on_with_by_its_answers(
    old: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert talk(monkeypatch, ["change waist to 100 cm", "quit"], "--resume", "chat_of_version_1") == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Restored: trouser belt, a belt 38 mm wide, a waist of 92 cm and 2 to make." in out
    assert "a waist of 100 cm" in out
    events = read_log(old / "chat_of_version_1.jsonl")[0]
    assert [e.version for e in events if isinstance(e, Began | Resumed)] == [1, 2]
    assert fold(events).answers["waist"].values == (1000.0,)
    main(["replay", "chat_of_version_1"])
    assert "The log was kept by an earlier reader" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("name", ["chat_of_version_1", "recommend_of_version_1"])
def test_an_old_log_differs_only_where_its_advice_does(
    name: str, old: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # What was advised then may no longer be advised; so the log is brought to today's advice first.
    path = old / f"{name}.jsonl"
    events = read_log(path)[0]
    at = max(i for i, e in enumerate(events) if isinstance(e, Concluded))
    today = concluded(report(Consultation(load_rulebase(), fold(events).answers)))
    lines = path.read_text().splitlines(keepends=True)
    said = today.model_copy(update={"advice_sha256": "0" * 64})
    for advice, code in ((said, 0), (said.model_copy(update={"weight": "1-2 oz"}), 4)):
        lines[at] = LINE.dump_json(Line(n=at + 1, event=advice)).decode() + "\n"
        path.write_text("".join(lines))
        assert main(["replay", name]) == code
        out = " ".join(capsys.readouterr().out.split())
        assert "earlier reader" in out
        assert ("weight" in out) == (code == 4)


def test_an_old_log_is_not_exported(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["log", "export", "chat_of_version_1", "--as", "svg"]) == 3
    assert "Only what is derived anew" in capsys.readouterr().err

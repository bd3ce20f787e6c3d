"""A fault while the program starts or reads its options ends it with one sentence and a code of its own.

The functions are drawn from all that the command line, the reading of rules and of a shop have; nobody has chosen them.
"""

from __future__ import annotations

import io
import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from planted import functions, planted

import advisor.rulebase
import advisor.shell
from advisor.errors import EXIT_FAULT, EXIT_UNREADABLE
from advisor.rulebase.models import RuleBase
from advisor.shell import cli

TELLING = (
    "advisor.shell.cli.run",
    "advisor.shell.edge.",
    "advisor.shell.prepared.",
    "advisor.rulebase.bounded.steering",
)
"""What tells a fault itself; what keeps a copy of the rule base is tried in shell/test_prepared.py."""
FUNCTIONS = {n: f for n, f in functions((advisor.shell, advisor.rulebase)).items() if not n.startswith(TELLING)}
HOUSE = str(Path(__file__).parents[2] / "transcripts_demo" / "house")
COMMANDS = {
    "help": ["--help"],
    "version": ["--version"],
    "unknown option": ["--hosue", "x"],
    "nearly a command": ["recomend"],
    "out of range": ["recommend", "belt", "--width", "3"],
    "schema": ["schema"],
    "sentence": ["belt for jeans, 38 mm wide", "--no-log"],
    "assignment": ["recommend", "item=trouser_belt", "--no-log", "--json"],
    "house": ["--house", HOUSE, "--no-log", "recommend", "belt for jeans"],
    "chat": ["--no-log", "--plain"],
    "batch": ["recommend", "--batch", "-", "--no-log", "--jobs", "2"],
    "log": ["log", "list"],
    "rules": ["rules", "show", "trouser_belt"],
}
QUICK = ("help", "unknown option", "out of range", "schema", "log")
"""What needs no advice."""


@contextmanager
def own_streams() -> Iterator[tuple[io.BytesIO, io.BytesIO]]:
    """Standard streams that the program may take apart; what is written to output and errors."""
    out, err = io.BytesIO(), io.BytesIO()
    held = signal.getsignal(signal.SIGINT)
    with pytest.MonkeyPatch.context() as patch:
        for name in ("stdin", "stdout", "stderr", "__stdin__", "__stdout__", "__stderr__"):
            patch.setattr(sys, name, getattr(sys, name))
        sys.stdin = io.TextIOWrapper(io.BytesIO(b"belt for jeans, 38 mm wide\n"), "utf-8")
        sys.stdout, sys.stderr = io.TextIOWrapper(out, "utf-8"), io.TextIOWrapper(err, "utf-8")
        try:
            yield out, err
        finally:
            signal.signal(signal.SIGINT, held)
            # The buffers are read after the streams over them are gone.
            for stream in (sys.stdout, sys.stderr):
                if isinstance(stream, io.TextIOWrapper):
                    stream.flush()
                    stream.detach()


def told(arguments: list[str]) -> tuple[int, str, str]:
    """Exit code, output and errors of one command, by the way that the installed command goes."""
    with own_streams() as (out, err):
        sys.argv = ["advisor", *arguments]
        with pytest.raises(SystemExit) as ended:
            cli.run()
    code = ended.value.code
    assert isinstance(code, int)
    return code, out.getvalue().decode(), err.getvalue().decode()


def missed(name: str, command: str) -> str:
    """What is wrong about a command with a fault in one function; empty where all is as it should be.

    Either nothing has come to the fault, or it is told in one sentence, or a net inside has told it of a line.
    """
    with planted(FUNCTIONS[name]):
        code, out, err = told(COMMANDS[command])
    if "Traceback" in out + err:
        return f"{command}: {err}"
    if "PlantedError" in err:
        one = err.count("\n") == 1 or command == "batch"
        return "" if one and (code == EXIT_FAULT or "not kept" in err) else f"{command}: {code}: {err}"
    return "" if code != EXIT_FAULT else f"{command}: {code}, and not told why: {err}"


@pytest.fixture(autouse=True)
def started(monkeypatch: pytest.MonkeyPatch, rulebase: RuleBase, tmp_path: Path) -> None:
    """A rule base that is read once for all."""
    monkeypatch.setattr(cli, "prepared_rulebase", lambda: rulebase)
    monkeypatch.setattr(sys, "argv", list(sys.argv))
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))


def test_there_is_something_to_plant_in_and_the_commands_work() -> None:
    assert len(FUNCTIONS) > 300
    assert {name: told(COMMANDS[name])[0] for name in QUICK} == {
        "help": 0,
        "unknown option": 2,
        "out of range": 2,
        "schema": 0,
        "log": 0,
    }


@pytest.mark.parametrize(
    ("name", "command"),
    [
        ("cli.parser", "help"),
        ("cli._parsed", "version"),
        ("cli._options_for_all", "sentence"),
        ("cli._Parser.error", "unknown option"),
        ("cli._option_names", "unknown option"),
        ("cli._Parser._print_message", "help"),
        ("cli._schema", "schema"),
        ("recommend.add", "help"),
        ("recommend.run", "out of range"),
        ("rules.add", "log"),
        ("emphasis.sign_of_life", "log"),
    ],
)
def test_a_fault_in_the_options_is_told_in_one_sentence(name: str, command: str) -> None:
    with planted(functions([advisor.shell])[f"advisor.shell.{name}"]):
        assert told(COMMANDS[command]) == (EXIT_FAULT, "", "advisor: internal fault: PlantedError: planted\n")


def test_a_fault_anywhere_in_a_start_is_told() -> None:
    pick = random.Random(11)
    drawn = [(pick.choice(sorted(FUNCTIONS)), pick.choice(QUICK)) for _ in range(40)]
    assert [said for name, command in drawn if (said := missed(name, command))] == []


@pytest.mark.slow
@pytest.mark.timeout(7200)
def test_a_fault_in_each_function_is_told_in_a_start() -> None:
    pick = random.Random(12)
    drawn = [(name, command) for name in FUNCTIONS for command in pick.sample(sorted(COMMANDS), 3)]
    assert [said for name, command in drawn if (said := missed(name, command))] == []


@pytest.mark.parametrize(
    ("planting", "code", "says"),
    [
        ("sys.modules['pydantic'] = None", EXIT_UNREADABLE, "cannot be loaded (import of pydantic halted"),
        ("sys.modules['rapidfuzz'] = None", EXIT_UNREADABLE, "--force-reinstall leather-order-advisor"),
        ("sys.modules['advisor.read'] = None", EXIT_UNREADABLE, "cannot be loaded"),
        ("import re; re.compile = lambda *_: 1 / 0", EXIT_FAULT, "internal fault: ZeroDivisionError: division by zero"),
        ("import advisor.shell.edge as e; e.streams = lambda: 1 / 0", EXIT_FAULT, "internal fault: ZeroDivisionError"),
    ],
)
def test_what_cannot_be_read_is_told_in_one_sentence(planting: str, code: int, says: str) -> None:
    program = f"import sys\n{planting}\nfrom advisor.__main__ import run\nrun()"
    done = subprocess.run(
        [sys.executable, "-c", program, "--no-log", "--plain"],
        input="belt\n",
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    assert (done.returncode, done.stdout) == (code, "")
    assert done.stderr.startswith("advisor: ")
    assert says in done.stderr
    assert done.stderr.count("\n") == 1

"""The program in a process of its own, copied from one that has imported it and consulted once: a second less for each.

Such a process has its own streams, terminal, variables, folder, limits and signals, and ends as any other. What an
interpreter does before it runs a line is done once for all that are given the same variables of its own. Where that
is what is tested, where the command is found, or how long a start takes, it is ``sys.executable -m advisor``.
"""

from __future__ import annotations

import atexit
import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from threading import Thread
from typing import NamedTuple, Self

from instead import passed_on

ROOT = Path(__file__).parents[1]
_COPIER = """
import fcntl, gc, io, json, os, random, resource, runpy, signal, socket, sys, termios, time
import prompt_toolkit, advisor, advisor.shell.cli as cli
# Of the run's own cache folder; who is given another one looks there.
cache, held = os.environ["XDG_CACHE_HOME"], cli.prepared_rulebase()
if not os.environ.get("TESTS_ENGINE"):
    advisor.consult(held, {"item": "bookmark"})
gc.collect()
gc.freeze()

def begin(asked, streams):
    if asked["terminal"]:
        os.setsid()
    for number, stream in enumerate(streams):
        os.dup2(stream, number)
    os.closerange(3, 1024)
    if asked["terminal"]:
        fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    for name, most in asked["limits"].items():
        resource.setrlimit(getattr(resource, name), (most, most))
    os.environ.clear()
    os.environ.update(asked["environment"])
    if os.environ.get("XDG_CACHE_HOME") == cache:
        cli.prepared_rulebase = lambda: held
    random.seed()
    time.tzset()
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        was = getattr(sys, name)
        binary = open(number, "wb" if number else "rb", 0 if was.write_through else -1, closefd=False)
        lines = name == "stderr" or binary.isatty()
        opened = io.TextIOWrapper(
            binary, was.encoding, was.errors, line_buffering=lines, write_through=was.write_through
        )
        setattr(sys, name, opened)
        setattr(sys, f"__{name}__", opened)
    sys.argv = ["advisor", *asked["arguments"]]

def kept(asked, *given):
    *streams, told = given
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    pid = os.fork()
    if not pid:
        begin(asked, streams)
        return
    for stream in (0, 1, 2, *streams):
        os.close(stream)
    os.write(told, b"%d" % pid)
    _, status, spent = os.wait4(pid, 0)
    code = os.waitstatus_to_exitcode(status)
    os.write(told, json.dumps([code, spent.ru_utime + spent.ru_stime, spent.ru_maxrss // 1024]).encode())
    os._exit(0)

asking = socket.socket(fileno=int(sys.argv[1]))
# However the run itself was begun: what a shell puts behind it with "&" is told to ignore Ctrl-C.
signal.signal(signal.SIGINT, signal.default_int_handler)
for name in ("SIGHUP", "SIGQUIT", "SIGTERM"):
    signal.signal(getattr(signal, name), signal.SIG_DFL)
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
asking.send(b"up")
while True:
    said, given, _, _ = socket.recv_fds(asking, 1 << 20, 4)
    if not said:
        os._exit(0)
    if not os.fork():
        asking.close()
        kept(json.loads(said), *given)
        break
    for one in given:
        os.close(one)
runpy.run_module("advisor", run_name="__main__", alter_sys=True)
"""


@cache
def _copier(own: tuple[tuple[str, str], ...]) -> socket.socket:
    """The way to a process that has imported the program, with these variables of the interpreter's own."""
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    process = subprocess.Popen(
        [sys.executable, "-c", _COPIER, str(theirs.fileno())],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        cwd=ROOT,
        env={"PATH": "/usr/bin:/bin", "TERM": "dumb", "XDG_CACHE_HOME": os.environ["XDG_CACHE_HOME"], **dict(own)},
        pass_fds=[theirs.fileno()],
        start_new_session=True,
    )
    theirs.close()
    assert ours.recv(2) == b"up"

    @atexit.register
    def let_go() -> None:
        ours.close()
        process.wait()

    return ours


def plain_environment() -> dict[str, str]:
    """Nothing of the machine but where programs are and where this run keeps its logs."""
    kept = {name: os.environ[name] for name in ("ADVISOR_LOGS", "XDG_CACHE_HOME")}
    return {"TERM": "xterm", "PATH": "/usr/bin:/bin", **passed_on(), **kept}


class Begun:
    """One process of the program, begun on these streams.

    At its end it has ``seconds`` of processor time and most ``megabytes`` of memory.
    """

    def __init__(
        self,
        arguments: Sequence[str],
        streams: Sequence[int],
        environment: Mapping[str, str] | None = None,
        *,
        terminal: bool = False,
        limits: Mapping[str, int] | None = None,
    ) -> None:
        environment = plain_environment() if environment is None else environment
        interpreters = ("PYTHON", "LC_", "LANG", "TESTS_")
        own = tuple(sorted((n, v) for n, v in environment.items() if v and n.startswith(interpreters)))
        self._told, told = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        asked = {
            "arguments": list(arguments),
            "environment": dict(environment),
            "terminal": terminal,
            "limits": dict(limits or {}),
        }
        socket.send_fds(_copier(own), [json.dumps(asked).encode()], [*streams, told.fileno()])
        told.close()
        self.pid = int(self._told.recv(20))
        self.returncode: int | None = None
        self.seconds, self.megabytes = 0.0, 0

    def wait(self, timeout: float = 240) -> int:
        """Its exit code, negative where a signal ended it. Raises TimeoutError."""
        if self.returncode is None:
            self._told.settimeout(timeout)
            self.returncode, self.seconds, self.megabytes = json.loads(self._told.recv(1000))
            self._told.close()
        return self.returncode

    def send_signal(self, sent: signal.Signals) -> None:
        """Sends it a signal while it runs."""
        if self.returncode is None:
            os.kill(self.pid, sent)


class Ended(NamedTuple):
    """What came of one process: exit code, both streams, seconds of processor time and most memory in MB.

    The code is None where it took too long and was ended.
    """

    code: int | None
    out: bytes
    err: bytes
    seconds: float
    megabytes: int


def ended(
    arguments: Sequence[str],
    said: bytes = b"",
    environment: Mapping[str, str] | None = None,
    *,
    timeout: float = 240,
    limits: Mapping[str, int] | None = None,
) -> Ended:
    """The program run to its end on a text by pipe; nothing is left running."""
    source, typed = os.pipe()
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        begun = Begun(arguments, [source, out.fileno(), err.fileno()], environment, limits=limits)
        os.close(source)
        typist = Thread(target=_typed, args=(typed, said))
        typist.start()
        code: int | None = None
        try:
            code = begun.wait(timeout)
        except TimeoutError:
            begun.send_signal(signal.SIGKILL)
            begun.wait()
        typist.join()
        texts = []
        for file in (out, err):
            file.seek(0)
            texts.append(file.read())
    return Ended(code, texts[0], texts[1], begun.seconds, begun.megabytes)


def _typed(pipe: int, said: bytes) -> None:
    try:
        with os.fdopen(pipe, "wb") as file:
            file.write(said)
    except BrokenPipeError:
        """It ended before it had read everything."""


class Piped:
    """A conversation by pipe, a line at a time."""

    def __init__(self, *arguments: str, environment: Mapping[str, str] | None = None) -> None:
        source, typed = os.pipe()
        said, out = os.pipe()
        complained, err = os.pipe()
        self.process = Begun(arguments, [source, out, err], environment)
        for stream in (source, out, err):
            os.close(stream)
        self.stdin, self.stdout, self.stderr = os.fdopen(typed, "w"), os.fdopen(said), os.fdopen(complained)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.send_signal(signal.SIGKILL)
        for stream in (self.stdin, self.stdout, self.stderr):
            stream.close()
        self.process.wait()

    def rest(self) -> tuple[str, str]:
        """Types no more, and waits for what else is said on both streams. Of the second there is little."""
        self.stdin.close()
        said = self.stdout.read(), self.stderr.read()
        self.process.wait()
        return said

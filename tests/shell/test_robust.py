"""The chat under bad treatment: random keys, rubbish, floods, resizing, hang-ups. Nothing said is lost."""

from __future__ import annotations

import random
import re
import signal
import subprocess
import sys

import pytest
from begun import Piped, ended
from terminal import Terminal

from advisor.write.page import ORDER, ORDER_SLIP

KEYS = [
    *"abcdefghijklmnopqrstuvwxyz0123456789 ,./?'\"=",
    "\r",
    "\t",
    "\x7f",
    "\x1b[A",
    "\x1b[B",
    "\x1b[C",
    "\x1b[D",
    "\x1b[Z",
    "\x1b",
    "\x01",
    "\x05",
    "\x0b",
    "\x0c",
    "\x12",
    "\x15",
    "\x17",
    "\x18",
    "\x19",
    "\x1f",
    "é",
    "革",
    "belt\r",
    "?\r",
    "don't know\r",
    "back\r",
    "slip\r",
    "change waist to 90 cm\r",
    "\x1b[200~two\nlines\x1b[201~",
]
DIALOGUE = [
    "belt for jeans, 38 mm wide",
    "?",
    "2",
    "beginer",
    "beginner",
    "purple",
    "change waist to 92 cm",
    "slip",
    "why weight",
    "in inches",
    "don't know",
    "done",
    "quit",
]


def piped(said: bytes, *arguments: str) -> tuple[str, str, float]:
    """What is said on both streams, and the seconds of processor time it took."""
    done = ended(arguments, said)
    assert done.code == 0
    return done.out.decode(), done.err.decode(), done.seconds


def no_fault(text: str) -> None:
    assert "Traceback" not in text
    assert "internal fault" not in text
    assert "Exception" not in text


def hammered(seed: int, strokes: int) -> None:
    chance = random.Random(seed)
    with Terminal(columns=60, lines=20) as terminal:
        terminal.wait_for("What are you making")
        for _ in range(strokes):
            terminal.type(chance.choice(KEYS))
            if not terminal.pump(0.005):
                break
        terminal.pump(0.5)
        # Two in a row leave; keys typed ahead of them may still be heard first.
        for _ in range(10):
            terminal.type("\x03")
            if not terminal.pump(0.5):
                break
        code = terminal.end()
        no_fault(terminal.raw)
        assert code == 0
        assert "Kept as" in terminal.text()


def test_random_keys_do_no_harm() -> None:
    hammered(1, 50)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2, 30))
def test_many_random_keys_do_no_harm(seed: int) -> None:
    hammered(seed, 400)


def test_a_paste_of_any_bytes_is_one_answer_and_the_rest_is_kept() -> None:
    rubbish = "".join(chr(c) for c in range(1, 256) if c not in (3, 4, 26, 27, 28))
    with Terminal() as terminal:
        terminal.wait_for("What are you making")
        terminal.type("bifold wallet\r", "1 of ")
        terminal.type(f"\x1b[200~{rubbish}\x1b[201~")
        terminal.pump(0.5)
        terminal.type("\r", "I found no answer in that")
        terminal.type("\x1b[200~done\n\n\x1b[201~\r", f"{ORDER}   ")
        terminal.type("quit\r")
        assert terminal.end() == 0
        no_fault(terminal.raw)
        # Enter was pressed three times, so three lines were heard.
        assert len(re.findall(r"^> .", terminal.text(), re.MULTILINE)) == 4


def test_ten_thousand_lines_pasted_are_one_answer_soon() -> None:
    page = "\n".join(f"line {n} of a long letter" for n in range(10_000))
    with Terminal() as terminal:
        terminal.wait_for("What are you making")
        terminal.type(f"\x1b[200~belt for jeans\n{page}\x1b[201~")
        terminal.pump(0.5)
        terminal.type("\r", "Only the first 2000 characters were read")
        terminal.wait_for("1 of ")
        terminal.type("\x04")
        assert terminal.end() == 0
        no_fault(terminal.raw)


def flooded(lines: int) -> float:
    """Seconds of processor time that ``lines`` lines of no use take by pipe."""
    said = (
        "bifold wallet\n" + "".join(f"qwer {'abcdefgh'[n % 8]} asdf\n" for n in range(lines)) + "change quantity to 2\n"
    )
    out, err, took = piped(said.encode())
    no_fault(out + err)
    # A question that is missed again and again goes by the usual answer, so that questions of both kinds are met.
    assert out.count("I found no answer in that.") + out.count("I found no number") == lines
    assert "Changed: 2 to make" in out
    return took


def test_lines_by_pipe_cost_little_each() -> None:
    assert flooded(200) < 20


@pytest.mark.slow
def test_ten_thousand_lines_by_pipe_take_seconds() -> None:
    assert flooded(10_000) < 60


@pytest.mark.parametrize("binary", [20_000, pytest.param(200_000, marks=pytest.mark.slow)])
def test_a_line_of_a_megabyte_and_binary_by_pipe(binary: int) -> None:
    rubbish = random.Random(5).randbytes(binary)
    said = b"belt for jeans\n" + b"very " * 200_000 + b"\n" + rubbish + b"\n\x1b[31m3\nchange quantity to 3\n"
    out, err, took = piped(said)
    assert took < 30
    no_fault(out + err)
    assert "Changed: 3 to make" in out
    assert "\x1b" not in out + err


@pytest.mark.parametrize(("arguments", "env"), [(["--plain"], {}), ([], {"NO_COLOR": "1"}), ([], {"TERM": "dumb"})])
def test_plain_mode_has_no_escape_byte_and_keeps_to_sixty_columns(arguments: list[str], env: dict[str, str]) -> None:
    with Terminal(*arguments, columns=60, lines=20, env=env) as terminal:
        terminal.wait_for("What are you making")
        wordy = ["?", "carved, dyed at home by spirit dye, sewn by domestic machine", "full", "slip"]
        for line in ["workshop apron", *(wordy if arguments else ["?"])]:
            terminal.tell(line)
        terminal.type("\x04")
        assert terminal.end() == 0
        no_fault(terminal.raw)
        assert "\x1b" not in terminal.raw
        assert "Kept as" in terminal.raw
        wide = [line for line in terminal.raw.replace("\r", "").split("\n") if len(line) > 60]
        # What was typed is shown by the terminal itself.
        assert [line for line in wide if not line.startswith("> ")] == []


def test_plain_and_ordinary_mode_say_the_same() -> None:
    said = {}
    for mode in ("ordinary", "plain"):
        # The name of a log is the time of its start, so none is kept here.
        with Terminal("--no-log", *(["--plain"] if mode == "plain" else []), lines=60) as terminal:
            terminal.wait_for("What are you making")
            for line in DIALOGUE:
                terminal.tell(line)
            assert terminal.end() == 0
            said[mode] = [line for line in terminal.text().splitlines() if line.strip() not in ("", ">")]
    assert said["ordinary"] == said["plain"]
    assert any(line.startswith(ORDER_SLIP) for line in said["plain"])


def test_a_storm_of_resizing_loses_nothing() -> None:
    with Terminal(lines=40) as terminal:
        terminal.wait_for("What are you making")
        terminal.type("belt for jeans\r", "1 of ")
        terminal.type("change quantity to 1")
        chance = random.Random(3)
        for _ in range(30):
            terminal.resize(chance.randint(5, 60), chance.randint(20, 120))
            terminal.pump(0.01)
        terminal.resize(40, 80)
        terminal.pump(0.3)
        terminal.type("2\r", "Changed: 12 to make")
        terminal.type("done\r", "12 buckles")
        terminal.type("\x04")
        assert terminal.end() == 0
        no_fault(terminal.raw)


@pytest.mark.parametrize("sent", [signal.SIGHUP, signal.SIGINT])
def test_a_hang_up_ends_with_the_advice_so_far(sent: signal.Signals) -> None:
    with Piped() as chat:
        chat.stdin.write("belt for jeans\nchange quantity to 12\n")
        chat.stdin.flush()
        while "Changed: 12 to make" not in (line := chat.stdout.readline()):
            assert line
        # The question that is open again ends what is said to a line.
        while "(Enter:" not in (line := chat.stdout.readline()):
            assert line
        chat.process.send_signal(sent)
        if sent == signal.SIGINT:
            # Once cancels the line, or stops what is still being said; the second time in a row leaves.
            while not {"cancelled", "Stopped"} & set((line := chat.stdout.readline()).replace(".", " ").split()):
                assert line
            chat.process.send_signal(sent)
        # It ends by itself, before its input does.
        assert chat.process.wait() == 0
        out, err = chat.rest()
        assert err == ""
        assert f"{ORDER}   " in out
        assert "12 buckles" in out


@pytest.mark.parametrize("arguments", [[], ["--plain"]])
def test_a_terminal_that_goes_away_ends_the_chat(arguments: list[str]) -> None:
    with Terminal(*arguments) as terminal:
        terminal.wait_for("What are you making")
        terminal.type("belt for jeans\r", "1 of ")
        terminal.go_away()
        assert terminal.child.wait(120) == 0


def test_a_request_to_end_leaves_the_terminal_as_it_was() -> None:
    with Terminal(lines=60) as terminal:
        terminal.wait_for("What are you making")
        terminal.type("belt for jeans\r", "1 of ")
        terminal.child.send_signal(signal.SIGTERM)
        assert terminal.end() == 0
        no_fault(terminal.raw)
        assert f"{ORDER}   " in terminal.text()
        # Bracketed paste is switched off again: the last word on it is "l", not "h".
        assert re.findall(r"\x1b\[\?2004([hl])", terminal.raw)[-1] == "l"


@pytest.mark.parametrize(
    ("command", "code"),
    [
        ("printf 'belt\\n' | {} >&-", 0),
        ("printf 'belt\\nfull\\n' | {} | head -n 1", 0),
        ("{} recommend belt >/dev/full", 3),
        ("{} recommend nonsense=1 2>&- <&-", 3),
    ],
)
def test_closed_and_full_streams_are_no_fault(command: str, code: int) -> None:
    shell = "set -o pipefail; " + command.format(f"{sys.executable} -m advisor")
    done = subprocess.run(["bash", "-c", shell], capture_output=True, text=True, timeout=240, check=False)
    no_fault(done.stdout + done.stderr)
    assert done.returncode == code


def test_an_empty_line_by_pipe_takes_only_what_is_shown_and_the_end_takes_nothing() -> None:
    out, _, _ = piped(b"belt for jeans\n" + b"\n" * 16)
    lines = out.splitlines()
    empty = [n for n, line in enumerate(lines) if line == "> "]
    # Six questions, the check, what is said when all is answered, and leaving: the lines behind it are not read.
    assert len(empty) == 9
    taken = 0
    for n in empty:
        start = max(m for m in range(n) if "(" in lines[m] and "Enter:" in " ".join(lines[m : m + 2]))
        put = " ".join(lines[start:n])
        if " of 6  " in put:
            shown = "I don't know" not in put and "leave it open" not in put
            assert lines[n + 1].startswith("OK: ") == shown, lines[start : n + 2]
            taken += shown
    assert 0 < taken < 6
    assert "OK: " not in "\n".join(lines[empty[-1] :])
    assert "you left open: waist and skin allergy" in " ".join(out.split())

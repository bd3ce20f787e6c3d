"""What lines drawn from a grammar found: lines that ran into a fault, and one that made its own log unreadable."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from advisor import __version__
from advisor.errors import without_controls
from advisor.reasoning.record import Event, Fault, Manner, made_with
from advisor.rulebase.bounded import steering
from advisor.rulebase.load import load_rulebase
from advisor.shell.batch import _first
from advisor.shell.edge import Edge
from advisor.shell.logbook import Logbook, names, path_of, read_log
from advisor.shell.results import Results
from advisor.talk.replay import replay
from advisor.talk.session import Session

BASE = load_rulebase()
# Marks of direction and of byte order (Unicode Standard, 23.2 and 23.8), and the two separators.
UNSEEN = [*map(chr, (0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A), 0xFEFF, 0x2028, 0x2029))]


def heard(*lines: str) -> tuple[Session, list[Event]]:
    kept: list[Event] = []
    session = Session(BASE, listener=kept.append)
    session.open()
    for line in lines:
        session.hear(line)
    return session, kept


@pytest.mark.parametrize(
    "lines",
    [
        ("cord for a pendant", "0.0000001 feet"),
        ("whip", "0.0000001 mm"),
        ("tote bag", "0.0000001 wide"),
        ("handrail wrap", "a couple of stone", "1/0 ft 3"),
        ("handle for a case", 'feet "125'),
        ("vest", 'remove hot-plate "150'),
        ("duffel bag", "5 feet", "2 feet", "what does it cost?"),
        ("duffel bag", "5 feet", "2 feet", "why no order"),
    ],
)
def test_no_line_runs_into_a_fault(lines: tuple[str, ...]) -> None:
    assert not [event for event in heard(*lines)[1] if isinstance(event, Fault)]


@pytest.mark.parametrize("digit", ["²", "①", "1²", "፩"])
def test_a_sign_that_is_no_decimal_digit_picks_nothing(digit: str) -> None:
    session, _ = heard("belt")
    session.checking = True
    kept: list[Event] = []
    session.listener = kept.append
    session.hear(digit)
    assert not [event for event in kept if isinstance(event, Fault)]


def test_what_does_not_fit_says_so() -> None:
    session, _ = heard("duffel bag", "5 feet", "2 feet")
    said = " ".join(" ".join(session.hear("order").lines).split())
    assert "handle: its pieces do not fit on what it is sold as" in said
    assert "cannot both be had" not in said
    said = " ".join(" ".join(session.hear("conflicts").lines).split())
    assert "handle: its pieces do not fit on what it is sold as" in said
    assert "Nothing is in conflict" not in said


@pytest.mark.parametrize("unseen", UNSEEN, ids=ascii)
def test_a_log_holds_nothing_that_it_would_refuse(unseen: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))
    book = Logbook(made_with(BASE, None, __version__), pytest.fail, Manner())
    book.begin("chat")
    session = Session(BASE, listener=book.keep)
    session.open()
    for line in (f"be{unseen}lt", f"38 {unseen}mm wide", f"bro{unseen}wn", f"why tan{unseen}nage"):
        session.hear(line)
    book.close()
    events, torn = read_log(path_of(str(book.name)))
    assert not torn
    assert not replay(BASE, None, events, __version__).differences


@pytest.mark.parametrize("unseen", UNSEEN, ids=ascii)
def test_what_turns_a_line_round_does_not_leave(unseen: str) -> None:
    assert not steering(without_controls(f"a{unseen}b"))
    raw = io.BytesIO()
    edge = Edge(raw, "utf-8")
    edge.write(f"a{unseen}b")
    edge.flush()
    assert raw.getvalue() == b"a\\u%04xb" % ord(unseen)


def test_a_log_may_be_called_by_any_sign(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))
    (tmp_path / "2026-01-01-000000-².jsonl").touch()
    assert names() == ["2026-01-01-000000-²"]


def test_a_number_longer_than_python_reads_is_wrong_use() -> None:
    with pytest.raises(Exception, match="expected the number of a line"):
        _first("9" * 5000, Results(None))

"""The full advice goes through a pager on a terminal, and through none elsewhere."""

from __future__ import annotations

import io
import os
import sys

import pytest

from advisor.shell.pager import pages

LONG = [f"line {n}" for n in range(100)]


class Terminal(io.StringIO):
    """A stream that says it is a terminal of 24 rows."""

    def isatty(self) -> bool:
        return True

    def fileno(self) -> int:
        return 1


@pytest.fixture
def paged(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What went through a pager."""
    found: list[str] = []
    monkeypatch.setattr("pydoc.pager", found.append)
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr(os, "get_terminal_size", lambda *_: os.terminal_size((80, 24)))
    monkeypatch.setenv("TERM", "xterm")
    return found


def test_a_long_page_on_a_terminal_is_paged(paged: list[str]) -> None:
    assert pages(LONG, Terminal(), plain=False)
    assert paged == ["\n".join(LONG) + "\n"]


def test_what_fits_is_not_paged_nor_what_is_plain_or_goes_into_a_pipe(
    paged: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not pages(LONG[:23], Terminal(), plain=False)
    assert not pages(LONG, Terminal(), plain=True)
    assert not pages(LONG, io.StringIO(), plain=False)
    monkeypatch.setenv("TERM", "dumb")
    assert not pages(LONG, Terminal(), plain=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    assert not pages(LONG, Terminal(), plain=False)
    assert paged == []

"""The screens that the README shows are what the program prints."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.shell.cli import main
from advisor.write.page import ORDER

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(r'```\n\$ advisor "([^"]+)"\n(.*?)```', README, re.DOTALL)


def test_the_readme_shows_an_order_and_a_question_of_safety() -> None:
    assert len(SHOWN) == 2
    assert f"{ORDER} " in SHOWN[0][1]
    assert "no order is shown" in SHOWN[1][1]


@pytest.mark.parametrize(("sentence", "screen"), SHOWN, ids=[s for s, _ in SHOWN])
def test_the_screen_is_real(
    sentence: str, screen: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    assert main(["recommend", sentence, "--no-log"]) == 0
    said = capsys.readouterr()
    assert f"{said.err}{said.out}".strip() == screen.strip()

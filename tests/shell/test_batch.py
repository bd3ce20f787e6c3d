"""Many sentences at once: one block or one JSON object each, and a bad line stops nothing."""

from __future__ import annotations

import io
import json
from pathlib import Path

import jsonschema
import pytest

from advisor.shell.cli import main

LINES = "belt for jeans, 38 mm wide\n\nsomething for my uncle\ncard holder\n\x1b climbing harness\n"


@pytest.fixture
def batch(tmp_path: Path) -> str:
    path = tmp_path / "orders.txt"
    path.write_text(LINES, encoding="utf-8")
    return str(path)


def test_each_line_gets_its_block_and_a_bad_one_its_number(batch: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", "--batch", batch, "--slip"]) == 2
    out, err = capsys.readouterr()
    heads = [line for line in out.splitlines() if line.startswith("Line ")]
    assert [head.split(":")[0] for head in heads] == ["Line 1", "Line 4", "Line 5"]
    assert "line 3" in err
    assert "uncle" in err
    assert "3 lines advised, 1 of no use" in err
    assert "\x1b" not in out + err
    assert "NO ORDER: climbing or fall-arrest gear" in out


def test_each_line_gets_one_json_object_that_fits_the_schema(batch: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert main(["recommend", "--batch", batch, "--json", "water=rain"]) == 2
    found = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [one["line"] for one in found] == [1, 4, 5]
    for one in found:
        jsonschema.validate(one["advice"], schema)
        assert one["advice"]["facts"]["water"]["value"] == "rain"


def test_each_line_has_a_log_of_its_own_that_its_slip_names(
    batch: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    logs = tmp_path / "logs"
    monkeypatch.setenv("ADVISOR_LOGS", str(logs))
    assert main(["recommend", "--batch", batch, "--slip", "--units", "inch"]) == 2
    out = capsys.readouterr().out
    kept = {path.stem for path in logs.iterdir()}
    # The line of no use was heard too, and is kept.
    assert len(kept) == 4
    assert sum(f"Record of this consultation: {name}." in out for name in kept) == 3
    for name in kept:
        assert main(["replay", name]) == 0
    assert main(["recommend", "--batch", batch, "--slip", "--no-log"]) == 2
    assert len(list(logs.iterdir())) == 4


def test_standard_input_is_a_file_too(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("card holder\ntote"))
    assert main(["recommend", "--batch", "-"]) == 0
    out, err = capsys.readouterr()
    assert out.count("What to order") == 2
    assert err == ""


def test_bytes_that_are_no_text_stop_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "odd.txt"
    path.write_bytes(b"\xff\xfe\x00\x01\x02\n" + b"very " * 300_000 + b"\ncard holder\n")
    assert main(["recommend", "--batch", str(path), "--slip"]) == 2
    out, err = capsys.readouterr()
    assert "Line 3: card holder" in out
    assert "line 1" in err
    assert "line 2" in err


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["--batch", "/nowhere"], 3, "/nowhere cannot be read"), (["--batch", "/"], 3, "cannot be read"),
        (["--batch", "-", "belt"], 2, '"belt" belongs there'), (["--slip", "--json", "belt"], 2, "--slip"),
    ],
)  # fmt: skip
def test_wrong_use_is_told(arguments: list[str], code: int, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", *arguments]) == code
    assert said in capsys.readouterr().err

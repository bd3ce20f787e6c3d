"""In inches throughout: whatever is asked, no length of 10 mm or more is said in millimetres alone.

What is excepted is what stands as it was worked out: the numbers put into a sum, and the words a person typed.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from heard import heard
from plain import sampled

from advisor.rulebase.models import RuleBase
from advisor.shell.cli import main
from advisor.talk.session import Session
from advisor.write.catalogue import marks_said
from advisor.write.graph import graph_of

COMMANDS = (
    "why {}",
    "why {} in full",
    "why not {}",
    "what if {}",
    "what would change it",
    "suppositions",
    "enough",
    "would 2 oz chrome shoulder, two of them, do",
    "would 4 mm bridle do",
    "review",
    "advice",
    "full",
    "slip",
    "change weight",
    "conflicts",
    "cases",
    "more",
)
CASES = {
    "10 belts 1 1/2 in wide, waist 36 in": ("strap width", "weight", "amount", "2 oz", "strap width is 3/4 in"),
    "lead for a dog of 77 lb, 1/2 in wide": ("weight", "strap thickness", "1 in", "load mass is 60 lb", "outcome"),
    "prop harness for a stage play, load mass 600 lb": ("outcome", "weight", "strap width", "3 oz"),
    "sheath for a 4 1/2 in knife": ("weight", "thickest seam", "amount", "6 oz", "blade length is 6 in"),
    "tote bag 14 in wide, 16 in high, turned": ("weight", "form", "width is 10 in", "8 oz"),
}
ALONE = re.compile(r"(?<![\w.(])[1-9]\d+(?:\.\d+)? mm\b")
BESIDE = re.compile(r"(?<= in) \([^)]*\)")
"""The millimetres that stand behind their inches."""
SUM = re.compile(r"Reckoned: [^=]*= [^ ]+ (?:mm|in)|[^:.]*(?:\.\d[^:.]*)* = (?=[\d.]+ mm|[\d /]+ in)")


def in_mm_alone(lines: list[str], session: Session) -> list[str]:
    """Lengths without inches, after the sums of the advice and all typed words are taken out."""
    text = " ".join(" ".join(lines).split())
    advice = session.advice()
    sums = [f.formula for f in advice.facts.values() if f.formula]
    sums += [b.formula for b in advice.decisions.weight.bounds if b.formula]
    for part in sorted({marks_said(s) for s in sums if s}, key=len, reverse=True):
        text = text.replace(part, "")
    text = BESIDE.sub("", re.sub(r'"[^"]*"', "", SUM.sub("", text)))
    return [text[max(0, m.start() - 60) : m.end() + 30] for m in ALONE.finditer(text)]


@pytest.mark.parametrize("sentence", sampled(sorted(CASES), 2))
def test_no_reply_shows_a_length_in_millimetres_alone(sentence: str, rulebase: RuleBase) -> None:
    session = Session(rulebase, units="inch")
    lines = session.hear(sentence).lines
    assert session.item()
    found = in_mm_alone(lines, session)
    for command in COMMANDS:
        for line in [command.format(name) for name in CASES[sentence]] if "{}" in command else [command]:
            found += [f"{line} -> {f}" for f in in_mm_alone(session.hear(line).lines, session)]
    assert found == []


def test_the_search_sees_a_length_in_millimetres(rulebase: RuleBase) -> None:
    session = Session(rulebase, units="mm")
    assert in_mm_alone(session.hear("belt 38 mm wide, waist 92 cm").lines, session)


def test_the_drawing_and_the_log_speak_in_the_measures_wanted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    session = heard("belt 38.1 mm wide, waist 92 cm")
    run = session.consultation()
    assert "a belt 38.1 mm wide" in {n.text for n in graph_of(run).nodes.values()}
    assert "a belt 1 1/2 in wide" in {n.text for n in graph_of(run, "inch").nodes.values()}
    monkeypatch.setenv("ADVISOR_LOGS", str(tmp_path))
    for sentence, size, options in (
        ("belt 1 1/2 in wide", "1 1/2 in", []),
        ("belt 1 1/2 in wide", "38.1 mm", ["--units", "mm"]),
        ("belt 38.1 mm wide", "38.1 mm", []),
        ("belt 38.1 mm wide", "1 1/2 in", ["--units", "inch"]),
    ):
        for old in tmp_path.iterdir():
            old.unlink()
        assert main(["recommend", sentence]) == 0
        (log,) = tmp_path.iterdir()
        capsys.readouterr()
        assert main(["log", "show", log.stem, *options]) == 0
        assert f"a belt {size} wide" in capsys.readouterr().out
        assert main(["log", "export", log.stem, "--as", "svg", *options]) == 0
        assert f"a belt {size} wide" in capsys.readouterr().out

"""Performs a demo transcript: the typed lines in it are said again and the whole is written anew.

A transcript is one text file. Lines that begin with "> " were typed, lines that begin with "# " are
remarks and stay; everything else is what the advisor said. ``python tests/talk/transcripts.py``
rewrites all of them; read the difference before it is committed.
"""

from __future__ import annotations

import sys
from pathlib import Path

from advisor import load_rulebase
from advisor.rulebase.house import load_house
from advisor.rulebase.models import RuleBase
from advisor.shell.cli import parser
from advisor.talk.session import Session

LEFT_OUT = "# The order at the end is left out."
"""A remark for conversations that are not about it: few show a whole screen, so that few change with it."""
FOLDER = Path(__file__).parents[2] / "transcripts_demo"


def _session(rulebase: RuleBase, remarks: list[str]) -> Session:
    """A session with the options of a remark such as "# Started as: advisor --brief --units inch"."""
    words = next((r.partition("advisor ")[2].split() for r in remarks if r.startswith("# Started as:")), [])
    options = parser().parse_args(words)
    house = load_house(FOLDER.parent / options.house, rulebase) if options.house else None
    return Session(rulebase, house=house, units=options.units, brief=options.brief)


def performed(rulebase: RuleBase, text: str) -> str:
    """The transcript as it goes today."""
    lines = text.splitlines()
    remarks = [line for line in lines if line.startswith("# ")]
    typed = [line[1:].strip() for line in lines if line.startswith(">")]
    session = _session(rulebase, remarks)
    reply = session.open()
    out = [*remarks, "", *reply.lines]
    for line in typed:
        if session.prompt():
            out.append(session.prompt())
        out.append(f"> {line}".rstrip())
        reply = session.hear(line)
        if not (reply.ended and LEFT_OUT in remarks):
            out += reply.lines
    # The closing line carries the checksum of the rule files, which any edit changes.
    return "\n".join(line for line in out if not line.startswith("Rules: ")) + "\n"


def main() -> None:
    rulebase = load_rulebase()
    for path in sorted(FOLDER.glob("*.txt")):
        path.write_text(performed(rulebase, path.read_text()))
        print(f"performed {path.name}", file=sys.stderr)


if __name__ == "__main__":
    main()

"""Conversations at random out of the rule base's own words, commands, odd numbers and odd characters.

    python tests/attack/talks.py [TALKS] [SEED]

Each is held to its end, kept in a log, read from it and performed again, and what it came to is proven and verified. A
line on which the program met a fault, a character that steers a terminal, a proof that does not verify and a replay
that differs are printed with all that was typed. The same number and seed hold the same conversations.
"""

from __future__ import annotations

import json
import random
import re
import sys
import tempfile
import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor import __version__, load_rulebase
from advisor.reasoning.deciding import proven
from advisor.reasoning.record import Manner, made_with
from advisor.rulebase.models import RuleBase
from advisor.shell.logbook import Logbook, folder, read_log
from advisor.talk.recording import FAULT, FAULT_BESIDE
from advisor.talk.replay import replay
from advisor.talk.session import Session
from advisor.verify import verify

MADE_OF = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
NUMBERS, UNITS, ODD = MADE_OF["number"], MADE_OF["unit"], MADE_OF["odd"]
STEERS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]")


class Speaker:
    """Lines at random; the same for the same seed."""

    def __init__(self, rulebase: RuleBase, seed: int) -> None:
        self.pick = random.Random(seed)
        self.asked = [a for a in rulebase.attributes.values() if a.ask != "never" and (a.numeric or a.values)]
        self.items = [item.name for item in rulebase.items.values()]
        self.decisions, self.rules = list(rulebase.decisions), list(rulebase.rules)
        self.candidates = [c for d in rulebase.choices() for c in d.candidates]
        self.templates = MADE_OF["line"]

    def value(self) -> str:
        attribute = self.pick.choice(self.asked)
        if attribute.numeric:
            return f"{self.pick.choice(NUMBERS)} {self.pick.choice(UNITS)}"
        return self.pick.choice(list(attribute.values)).replace("_", " ")

    def line(self) -> str:
        """One line: a template filled in, sometimes two joined, sometimes with an odd character in it."""
        pick, said = self.pick, self._filled()
        if pick.random() < 0.15:
            said = pick.choice((", ", ". ", " and ", " ? ", " instead of ")).join((said, self._filled()))
        if pick.random() < 0.1:
            at = pick.randrange(len(said) + 1)
            said = said[:at] + pick.choice(ODD) + said[at:]
        return said

    def _filled(self) -> str:
        pick = self.pick
        return pick.choice(self.templates).format(
            n=pick.choice(NUMBERS),
            u=pick.choice(UNITS),
            a=pick.choice(self.asked).label,
            v=self.value(),
            d=pick.choice(self.decisions),
            c=pick.choice(self.candidates).replace("_", " "),
            r=pick.choice(self.rules),
            i=pick.choice(self.items),
            k=pick.randint(0, 14),
        )


def held(rulebase: RuleBase, seed: int, counted: Counter[str]) -> Iterator[str]:
    """What went wrong in one conversation; what was tried is added to ``counted``."""
    speaker = Speaker(rulebase, seed)
    book = Logbook(made_with(rulebase, None, __version__), lambda _: None, Manner())
    book.begin("chat")
    session = Session(rulebase, speaker.pick.choice((40, 80, 100)), None, book.keep)
    session.open()
    typed = [f"{speaker.pick.choice(NUMBERS[:8])} {speaker.pick.choice(speaker.items)}"]
    typed += [speaker.line() for _ in range(speaker.pick.randint(3, 12))]
    for n, line in enumerate(typed, start=1):
        reply = session.hear(line)
        counted["lines"] += 1
        text = "\n".join((*reply.lines, str(reply.prompt)))
        if FAULT_BESIDE in text or FAULT.partition("{")[0] in text:
            yield f"a fault: {typed[:n]}"
        if STEERS.search(text):
            yield f"a character that steers: {typed[:n]}"
        if reply.ended:
            break
    else:
        session.close()
    book.close()
    if session.answers:
        counted["proofs"] += 1
        proof = json.loads(proven(session.consultation()).model_dump_json(by_alias=True))
        if wrong := verify(proof, rulebase, None):
            yield f"a proof that does not verify ({wrong}): {typed}"
    if book.name:
        counted["replays"] += 1
        events, _ = read_log(folder() / f"{book.name}.jsonl")
        if differences := replay(rulebase, None, events, __version__).differences:
            yield f"a replay that differs ({differences[0]}): {typed}"


def main() -> int:
    """Prints what went wrong and how much was tried; 1 where anything went wrong."""
    given = [int(n) for n in sys.argv[1:]]
    talks, seed = (given + [200, 1][len(given) :])[:2]
    rulebase, counted, wrong = load_rulebase(), Counter[str](), 0
    with tempfile.TemporaryDirectory() as logs, pytest.MonkeyPatch.context() as patch:
        patch.setenv("ADVISOR_LOGS", str(Path(logs)))
        for n in range(talks):
            for what in held(rulebase, seed * 1_000_000 + n, counted):
                wrong += 1
                sys.stdout.write(f"{what}\n")
    sys.stdout.write(f"{talks} talks, {dict(counted)}, {wrong} wrong\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())

"""What a conversation looked at besides its advice: each what-if and each set of cases, worked out anew.

The lines of a log tell what was asked and which answers stood then; nothing recorded is taken as an answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..errors import AdvisorError
from ..leather.units import Units
from ..reasoning.apart import by_cases
from ..reasoning.changes import present
from ..reasoning.consult import Consultation
from ..reasoning.facts import Answer
from ..reasoning.prov import Alternative
from ..reasoning.record import Turn, take, usable
from ..rulebase.house import House
from ..rulebase.models import RuleBase
from .commands import BY_CASES, WHAT_IF
from .comparing import changes_said


def alternatives(
    rulebase: RuleBase, turns: Sequence[Turn], house: House | None, units: Units = "mm"
) -> list[Alternative]:
    """The orders that were looked at and not taken, each once, in the order asked. ``units`` are those of the talk."""
    found: dict[str, Alternative] = {}
    answers: dict[str, Answer] = {}
    for turn in turns:
        usual = usable(rulebase, answers)
        if usual.get("item"):
            for other in _asked(rulebase, turn.line, usual, house, units):
                found.setdefault(other.digest, other)
        take(answers, turn.changes)
    return list(found.values())


def _asked(
    rulebase: RuleBase, line: str, answers: dict[str, Answer], house: House | None, units: Units
) -> Iterator[Alternative]:
    text = " ".join(line.split())
    if said := WHAT_IF.fullmatch(text):
        item = answers["item"].values
        try:
            changes = changes_said(rulebase, said[1], str(item[0]) if item else None, units)
        except AdvisorError:
            # It was no answer then either, and nothing was looked at.
            return
        yield Alternative("what-if", changes, (), Consultation(rulebase, {**answers, **changes}, house=house))
    elif BY_CASES.fullmatch(text):
        names = [n for n, a in answers.items() if a.state == "don't know" and n in rulebase.attributes]
        cases = by_cases(present(rulebase, answers, house), names) if names else []
        for case in cases if not isinstance(cases, str) else []:
            if case.within:
                run = Consultation(rulebase, case.run.answers, house=house)
                yield Alternative("case", {n: case.run.answers[n] for n, _ in case.within}, case.within, run)

"""A wish for a leather that is refused later, and a refusal that is taken back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ..read.purposes import purposes
from ..reasoning.facts import Answer
from ..rulebase.models import RuleBase

if TYPE_CHECKING:
    from ..read.reader import Reading
    from .session import Session


def without_refused(rulebase: RuleBase, reading: Reading) -> Reading:
    """The reading without the wishes that the same line refuses: "suede no! no suede"."""
    gone = {
        (name, value)
        for wish, refusal in wished(rulebase)
        for name in wish
        for value in reading.answers.get(refusal, Answer(())).values
        if value in reading.answers.get(name, Answer(())).values
    }
    if not gone:
        return reading
    answers = {
        n: replace(a, values=tuple(v for v in a.values if (n, v) not in gone)) for n, a in reading.answers.items()
    }
    answers = {n: a for n, a in answers.items() if a.values or not reading.answers[n].values}
    understood = tuple(u for u in reading.understood if u.attribute in answers or u.attribute not in reading.answers)
    return replace(reading, answers=answers, understood=understood)


def settle_wishes(session: Session, new: Mapping[str, Answer]) -> None:
    """A refusal takes back what was wished before, and a wish what was refused."""
    for wish, refusal in wished(session.rulebase):
        for name in wish:
            ones, others = (refusal, name) if refusal in new else (name, refusal) if name in new else ("", "")
            held = session.answers.get(others, Answer(()))
            left = tuple(v for v in held.values if v not in new[ones].values) if ones else held.values
            if left != held.values and left:
                session.answers[others] = replace(held, values=left)
            elif left != held.values:
                del session.answers[others]


def wished(rulebase: RuleBase) -> Iterator[tuple[tuple[str, ...], str]]:
    """What keeps a wish of one kind, and what keeps its refusal."""
    known = purposes(rulebase)
    asked = dict(known.asked)
    for wish, refusal in zip(known.wishes, known.refusals, strict=True):
        kind = refusal.partition("_")[2]
        yield tuple(filter(None, (wish, asked.get(kind, "")))), refusal
    if "grain" in asked:
        yield (asked["grain"],), known.refused_grain

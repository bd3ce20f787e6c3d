"""What decides between things to choose that serve equally well, and what people have against one of them, as data.

Told where no rule parts two candidates or speaks of one; nothing here changes an advice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from ..reasoning.advice import Advice
from ..reasoning.matching import holds
from ..rulebase.files import Basis, Shape, Slug
from ..rulebase.grammar import GrammarError, parse_premise
from ..rulebase.models import Premise, RuleBase, Value
from ..rulebase.words import FOLDER, words_file
from .questions import vocabulary

BESIDE = f"{FOLDER}/beside.toml"


class RawBut(Shape):
    """What is held against a candidate under ``when``: premises in the grammar of the rules, all of which must hold."""

    when: tuple[str, ...] = ()
    text: Annotated[str, Field(min_length=8, max_length=140)]
    basis: Basis = "common practice"


class RawBeside(Shape):
    """One candidate. ``take`` goes on from "take it if"; of ``but`` the first that is true is told."""

    take: Annotated[str, Field(max_length=80)] = ""
    but: tuple[RawBut, ...] = ()


class BesideFile(Shape):
    """words/beside.toml: by decision and candidate."""

    of: dict[Slug, dict[Slug, RawBeside]] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Beside:
    take: str
    but: Sequence[tuple[Sequence[Premise], str]]


def take_if(rulebase: RuleBase, decision: str, candidates: Sequence[str]) -> dict[str, str]:
    """What each of several is taken for, going on from "if"; empty where that is not known of all of them."""
    known = {c: one.take for c in candidates if (one := _read(rulebase).get((decision, c))) and one.take}
    return known if len(known) == len(candidates) else {}


def held_against(rulebase: RuleBase, decision: str, candidate: str, values: Mapping[str, Sequence[Value]]) -> str:
    """What people have against a candidate where ``values`` are known and chosen; empty where nothing is written."""
    one = _read(rulebase).get((decision, candidate))
    rows = one.but if one else ()
    return next((text for when, text in rows if all(holds(p, tuple(values.get(p.attribute, ()))) for p in when)), "")


def known_values(advice: Advice) -> dict[str, tuple[Value, ...]]:
    """What is known and what leads in each choice, by name; the thickness by its middle."""
    known: dict[str, tuple[Value, ...]] = {}
    for name, fact in advice.facts.items():
        known[name] = tuple(fact.value) if isinstance(fact.value, list) else () if fact.value is None else (fact.value,)
    known |= {name: tuple(choice.chosen[:1]) for name, choice in advice.decisions.choices().items()}
    weight = advice.decisions.weight
    if weight.low_mm is not None and weight.high_mm is not None:
        known["weight"] = ((weight.low_mm + weight.high_mm) / 2,)
    return known


def check_beside(rulebase: RuleBase) -> list[str]:
    """What is wrong with the file: nothing to choose, a premise that cannot be read, a row never reached."""
    file, problems = words_file(rulebase, BESIDE, BesideFile), list[str]()
    for decision, candidate, raw in _rows(file):
        known = rulebase.decisions.get(decision)
        if known is None or candidate not in known.candidates:
            problems.append(f"{BESIDE}: {decision}.{candidate} is nothing to choose.")
        for place, but in enumerate(raw.but):
            if not but.when and place < len(raw.but) - 1:
                problems.append(f"{BESIDE}: {candidate} has something after what is always said.")
            for text in but.when:
                try:
                    parse_premise(text, vocabulary(rulebase))
                except GrammarError as error:
                    problems.append(f"{BESIDE}: {candidate}: {error}")
    return problems


def _rows(file: BesideFile | None) -> Iterator[tuple[str, str, RawBeside]]:
    for decision, candidates in (file.of if file else {}).items():
        yield from ((decision, candidate, raw) for candidate, raw in candidates.items())


def _read(rulebase: RuleBase) -> Mapping[tuple[str, str], _Beside]:
    made: Mapping[tuple[str, str], _Beside] = rulebase.once("beside", _parsed)
    return made


def _parsed(rulebase: RuleBase) -> Mapping[tuple[str, str], _Beside]:
    words = vocabulary(rulebase)
    return {
        (decision, candidate): _Beside(
            raw.take, [([p for t in but.when for p in parse_premise(t, words)], but.text) for but in raw.but]
        )
        for decision, candidate, raw in _rows(words_file(rulebase, BESIDE, BesideFile))
    }

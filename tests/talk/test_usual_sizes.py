"""Usual sizes behind a name: where nobody can be asked they are taken in place of what a thing usually has, and said.

The weights of dogs are common practice.
"""

from __future__ import annotations

import pytest

from advisor.rulebase.models import RuleBase
from advisor.talk.recording import consulted


@pytest.mark.parametrize(
    ("line", "name", "value"),
    [
        ("collar for my whippet", "load_mass", 16.0),
        ("a lead for the greyhound", "load_mass", 36.0),
        ("sleeve for a 15 inch laptop", "width", 360.0),
    ],
)
def test_the_usual_size_of_what_is_named_is_supposed_and_told(
    rulebase: RuleBase, line: str, name: str, value: float
) -> None:
    made = consulted(rulebase, line, None)
    assert made.answers[name].values == (value,)
    assert name not in made.reading.answers
    assert any("measure this one" in doubt.text for doubt in made.reading.doubts)


def test_what_was_said_stands_before_what_is_usual(rulebase: RuleBase) -> None:
    made = consulted(rulebase, "collar for my whippet, he has 12 kg, neck 33 cm", None)
    assert made.answers["load_mass"].values == (12.0,)
    assert made.answers["neck"].values == (330.0,)


def test_no_size_is_told_that_the_thing_has_no_use_for(rulebase: RuleBase) -> None:
    made = consulted(rulebase, "lead for a spaniel", None)
    assert "neck" not in made.answers

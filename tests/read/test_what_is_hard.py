"""A question how hard something is to do is about the doing, not about how hard the leather is. Common English."""

from __future__ import annotations

import pytest

from advisor import load_rulebase
from advisor.read.questions import topic_of

BASE = load_rulebase()


@pytest.mark.parametrize(
    ("asked", "topic"),
    [
        ("is this tricky to stitch", "sewing"),
        ("how hard is it to cut", "cut_it"),
        ("would it be fiddly to skive", "skive"),
        ("is that awkward to glue", "glue_what"),
        ("is it hard to punch", "hole"),
        ("is it simple to clean", "care"),
        ("is it hard work", "doable"),
        ("is it too hard for a novice", "doable"),
        ("is it hard wearing", "lasts"),
        ("is it too hard", "softness"),
        ("how hard will it be", "softness"),
        ("is it stiff", "softness"),
    ],
)
def test_the_verb_says_what_is_asked(asked: str, topic: str) -> None:
    found = topic_of(BASE, asked)
    assert found is not None
    assert found.name == topic

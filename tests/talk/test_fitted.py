"""A usual fitting that is named takes none of the others away (common practice: no collar without its ring)."""

from __future__ import annotations

import pytest
from heard import heard

from advisor import load_rulebase
from advisor.talk.recording import consulted

BASE = load_rulebase()


def fittings(text: str) -> set[str]:
    lines = consulted(BASE, text, None).advice.order.lines
    return {line.id for line in lines if line.kind == "fitting"}


@pytest.mark.parametrize("text", ["satchel with brass buckles", "dog collar, neck 40 cm, steel D ring"])
def test_the_others_stay(text: str) -> None:
    assert {"buckle", "ring"} <= fittings(text)


def test_only_takes_them_away() -> None:
    assert "ring" not in fittings("dog collar, neck 40 cm, only a buckle")


def test_so_it_is_in_a_conversation() -> None:
    session = heard("dog collar, neck 40 cm", "with a brass buckle please")
    assert "hardware" not in session.answers
    assert session.answers["hardware_metal"].values == ("brass_solid",)


def test_a_cat_gets_no_buckle_and_its_clasp_puts_that_right() -> None:
    session = heard("collar for my cat, neck 24 cm, plain buckle", "no animal is tied with it")
    assert session.advice().outcome == "refuse"
    session.hear("ok, with a clasp that opens then")
    assert "clasp" in {line.id for line in session.advice().order.lines}

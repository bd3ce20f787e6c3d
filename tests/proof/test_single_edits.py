"""No single edit of an advice passes the checker, but for what the checker says that it does not check.

The edits are not chosen by anybody: every value is changed, removed, doubled and swapped in turn. What may be altered
is read from ``NOT_CHECKED`` of the checker itself, so a part neither worked out nor named makes these tests fail.
"""

from __future__ import annotations

import json
import random
import re
from functools import lru_cache
from typing import Any

import pytest
from forging import seal
from samples import BASE, advice_of, advice_of_case
from single_edits import Edit, edits, made, sampled

from advisor.errors import AdvisorError
from advisor.leather.formulas import FORMULAS
from advisor.reasoning.facts import parse_answers
from advisor.verify import NOT_CHECKED, verify
from advisor.verify.told import SUMMED_ONCE

OUTCOMES = {
    "belts_by_the_dozen": "ok",
    "satchel": "ok",
    "dog_collar_swims": "ok_with_conditions",
    "chair_sling": "ok_with_conditions",
    "tray_with_food": "defer",
    "swing_for_a_child": "defer",
    "climbing_harness_refused": "refuse",
    "vegan_wallet": "another_material",
    "carved_tote_turned": "ok",
    "nothing_understood": None,
}
EACH = 20


@lru_cache
def _text(name: str) -> str:
    """An advice with its proof; of a raised danger besides the snapshot cases."""
    if name == "undecided":
        answers = parse_answers(BASE, {"item": "trouser_belt", "raised": "person_weight, neck"})
        return json.dumps(advice_of(answers))
    return json.dumps(advice_of_case(name))


def exempt(edit: Edit) -> bool:
    """Whether the checker says that it does not look at the place of an edit."""
    if edit.how not in ("changed", "removed"):
        return edit.path[0] == "reading"
    if edit.path[-1] == "text" and edit.path[0] in ("decisions", "conflicts", "trace", "order"):
        # Beside a code stands its sentence, where somebody is to read it.
        return "sentences beside their codes" in NOT_CHECKED
    place = ".".join(map(str, edit.path))
    return any(
        re.fullmatch(pattern.replace(".", r"\.").replace("*", "[^.]*"), place) or place.startswith("reading.")
        for patterns in NOT_CHECKED.values()
        for pattern in patterns
    )


def accepted(advice: Any, edit: Edit) -> bool:
    """Whether an advice passes with an edit in it."""
    with made(advice, edit):
        try:
            return verify(advice, BASE) == ""
        except AdvisorError:
            return False


def passed(name: str, tried: list[Edit]) -> list[Edit]:
    """The edits that pass and should not."""
    advice = json.loads(_text(name))
    found = [edit for edit in tried if not exempt(edit) and accepted(advice, edit)]
    assert advice == json.loads(_text(name))
    return found


def test_the_samples_come_to_different_outcomes() -> None:
    assert {name: json.loads(_text(name))["outcome"] for name in OUTCOMES} == OUTCOMES
    assert json.loads(_text("undecided"))["open_questions"][0]["danger"]


@pytest.mark.parametrize("name", [*OUTCOMES, "undecided"])
def test_no_single_edit_of_a_sample_passes(name: str) -> None:
    every = list(edits(json.loads(_text(name))))
    assert len(every) > 500
    assert passed(name, sampled(every, random.Random(name), EACH)) == []


@pytest.mark.slow
@pytest.mark.timeout(7200)
@pytest.mark.parametrize("name", [*OUTCOMES, "undecided"])
def test_no_single_edit_passes(name: str) -> None:
    assert passed(name, list(edits(json.loads(_text(name))))) == []


@lru_cache
def lead() -> str:
    """An honest advice, as a file holds it."""
    words = {"item": "dog_lead", "load_mass": "45 kg", "strap_width": "1 in", "tensile": "25 MPa"}
    advice = advice_of(parse_answers(BASE, words))
    assert verify(advice, BASE) == ""
    return json.dumps(advice)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("basket.1.value", 99.0),
        ("stacks.0.mm", 1.0),
        ("stacks", []),
        ("basket", []),
        ("open_questions", []),
        ("trace.66.matched", ["the moon is full"]),
        ("facts.load_mass.state", "don't know"),
        ("outcome_reasons", [{"outcome": "ok", "rule": "x", "because": "somebody may die", "order": None}]),
        ("decisions.weight.ways_out", [{"without": "x", "order_as": "1-2 oz", "low_mm": 0.4, "high_mm": 0.8}]),
        ("decisions.tannage.open", {"code": "nothing_speaks", "params": {}, "text": ""}),
        ("schema", None),
        ("decisions.amount.net_area_dm2", 1.0),
        ("order.lines.0.cost", None),
        ("order.another", 1),
        ("unheard_of", 1),
        ("facts.load_mass.origin", "supposed"),
    ],
)
def test_what_was_once_let_through_is_refused(path: str, value: Any) -> None:
    """Parts of an advice that no step speaks of, each altered alone."""
    advice = json.loads(lead())
    *before, last = path.split(".")
    inside = advice
    for step in before:
        inside = inside[int(step)] if isinstance(inside, list) else inside[step]
    inside[int(last) if isinstance(inside, list) else last] = value
    assert verify(advice, BASE).startswith(re.match(r"\w+", path)[0])  # type: ignore[index]


def test_a_caution_that_may_yet_apply_cannot_be_left_out_where_answers_alone_decide() -> None:
    advice = json.loads(_text("satchel"))
    waiting = [c for c in advice["cautions"] if c["status"] == "not ruled out"]
    asked = {q["attribute"] for q in advice["open_questions"]}
    by_answers = [c for c in waiting if {p.attribute for p in BASE.rules[c["rule"]].when} <= asked]
    assert len(by_answers) > 20
    for caution in by_answers[:8]:
        place = advice["cautions"].index(caution)
        assert not accepted(advice, Edit(("cautions", place), "removed")), caution["id"]


def test_a_question_that_a_caution_waits_for_cannot_be_hidden() -> None:
    advice = json.loads(_text("satchel"))
    waited = {n for c in advice["cautions"] for n in c["depends_on"]}
    places = [n for n, q in enumerate(advice["open_questions"]) if q["attribute"] in waited]
    assert len(places) > 20
    for place in places[:8]:
        assert not accepted(advice, Edit(("open_questions", place), "removed")), advice["open_questions"][place]


def test_what_has_no_second_sum_is_named() -> None:
    assert set(SUMMED_ONCE) <= FORMULAS.keys()
    assert any(all(name in told for name in SUMMED_ONCE) for told in NOT_CHECKED)


def test_sealed_steps_hide_no_edit_of_a_step() -> None:
    """A changed step with a new and fitting id is another step than the one that must be there."""
    rng, text = random.Random(5), _text("climbing_harness_refused")
    for _ in range(12):
        advice = json.loads(text)
        node = rng.choice([n for n in advice["proof"]["nodes"].values() if n["kind"] not in ("answer", "withdrawn")])
        said = {k: v for k, v in node.items() if k not in ("from", "besides")}
        key = rng.choice([k for k, v in said.items() if isinstance(v, str | list) and v])
        node[key] = f"{node[key]}." if isinstance(node[key], str) else [*node[key], *node[key]]
        seal(advice)
        assert verify(advice, BASE), (node["kind"], key)

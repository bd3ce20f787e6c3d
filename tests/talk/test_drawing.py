"""The drawing of what decided: well formed, nothing on top of anything, complete, and readable without colour.

Well-formedness: W3C XML 1.0 (fifth edition) and SVG 1.1 (second edition), as the parser of the
standard library reads them.
"""

from __future__ import annotations

import itertools
import re
import sys
from pathlib import Path
from xml.etree import ElementTree as Xml

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.read.reader import read_sentence
from advisor.reasoning.advice import Advice
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import parse_answers
from advisor.reasoning.report import report
from advisor.rulebase.models import RuleBase
from advisor.write.drawing import drawing, drawn
from advisor.write.graph import RIGHT, Graph, Node, graph_of
from advisor.write.layout import place

sys.path.append(str(Path(__file__).parents[1] / "snapshots"))
from test_traces import CASES

SVG = "{http://www.w3.org/2000/svg}"
# No thickness meets a folded edge without a skiver and the range a fob can be made in.
WEIGHT_CONFLICT = {"item": "key_fob", "edge": "folded", "flame_near": "yes"}
SHOWN = [
    "belt_for_jeans",
    "dog_lead_30_kg",
    "carved_tote_turned",
    "climbing_harness_refused",
    "nothing_understood",
    "tray_with_food",
]


def run_of(rulebase: RuleBase, case: str) -> Consultation:
    answers = WEIGHT_CONFLICT if case == "weight_conflict" else read_sentence(rulebase, CASES[case]).answers
    return Consultation(rulebase, parse_answers(rulebase, answers))


Box = tuple[str, float, float, float, float]


def boxes(svg: Xml.Element) -> list[Box]:
    found = []
    for group in svg.iter(f"{SVG}g"):
        rect = group.find(f"{SVG}rect")
        assert rect is not None
        x, y, width, height = (float(rect.attrib[k]) for k in ("x", "y", "width", "height"))
        found.append((group.attrib["data-node"], x, y, x + width, y + height))
    return found


@pytest.mark.parametrize("case", [*SHOWN, "weight_conflict"])
def test_nothing_lies_on_top_of_anything(case: str, rulebase: RuleBase) -> None:
    run = run_of(rulebase, case)
    text = drawing(run)
    assert text == drawing(run)
    svg = Xml.fromstring(text)
    _, _, width, height = (float(n) for n in svg.attrib["viewBox"].split())
    placed = boxes(svg)
    assert [b[0] for b in placed] == [*graph_of(run).nodes]
    for _, left, top, right, bottom in placed:
        assert 0 <= left < right <= width
        assert 0 <= top < bottom <= height
    for one, other in itertools.combinations(placed, 2):
        assert one[3] <= other[1] or other[3] <= one[1] or one[4] <= other[2] or other[4] <= one[2], (one, other)
    for path in svg.iter(f"{SVG}path"):
        # A line runs level (H) only where it passes a column, and there it must meet no box.
        for y, x in re.findall(r" ([\d.]+) H ([\d.]+)", path.attrib["d"]):
            for name, left, top, right, bottom in placed:
                assert not (left < float(x) <= right and top < float(y) < bottom), (name, path.attrib["d"])
    for group in svg.iter(f"{SVG}g"):
        (box,) = (b for b in placed if b[0] == group.attrib["data-node"])
        for line in group.iter(f"{SVG}text"):
            assert box[2] < float(line.attrib["y"]) < box[4]
            # Eleven pixels of a common sans serif are at most 6.9 wide on average for English words in bold.
            assert len(line.text or "") * 6.9 <= box[3] - box[1] + 12


@pytest.mark.parametrize("case", [*SHOWN, "weight_conflict"])
def test_what_stands_is_drawn_with_what_it_rests_on(case: str, rulebase: RuleBase) -> None:
    run = run_of(rulebase, case)
    advice, graph = report(run), graph_of(run)
    users: dict[str, set[str]] = {}
    for tail, head in graph.edges:
        assert {tail, head} <= graph.nodes.keys()
        users.setdefault(head, set()).add(tail)
    for name, choice in advice.decisions.choices().items():
        assert (f"decision/{name}" in graph.nodes) == bool(choice.chosen)
    for bound in advice.decisions.weight.bounds:
        if bound.binding:
            assert f"rule/{bound.rule}" in users["decision/weight"]
    for caution in advice.cautions:
        drawn_ = caution.status == "applies" and caution.severity != "note"
        assert (f"rule/{caution.rule}" in users.get(f"caution/{caution.id}", ())) == drawn_
    for n, conflict in enumerate(advice.conflicts, 1):
        assert users[f"conflict/{n}"] == {f"rule/{r.rule}" for r in conflict.reasons}
    assert case != "weight_conflict" or len(users["conflict/1"]) == 2
    assert_each_box_is_used_and_rests_on_what_it_matched(run, advice, graph, users)


def assert_each_box_is_used_and_rests_on_what_it_matched(
    run: Consultation, advice: Advice, graph: Graph, users: dict[str, set[str]]
) -> None:
    tails = {tail for tail, _ in graph.edges}
    matched = {s.rule: {n for f in run.firings[s.rule] for n, _ in f.match.facts} for s in advice.trace}
    for node in graph.nodes.values():
        assert node.rank == RIGHT or node.id in tails, node
        if node.kind == "rule":
            rule = node.id.removeprefix("rule/")
            said = {f"fact/{n}" for n in matched[rule] if run.known[n].origin in ("answered", "read", "supposed")}
            assert said <= users.get(node.id, set())
        if node.kind == "answer":
            assert run.known[node.id.removeprefix("fact/")].origin in ("answered", "read")
        if node.kind == "supposition":
            assert run.known[node.id.removeprefix("fact/")].origin == "supposed"


def test_the_sizes_that_were_said_reach_the_form(rulebase: RuleBase) -> None:
    edges = graph_of(run_of(rulebase, "belt_for_jeans")).edges
    assert ("fact/waist", "sum/cheapest_forms") in edges
    assert ("rule/forms-that-cost-least", "decision/form") in edges


def test_it_can_be_read_without_colour_and_without_sight(rulebase: RuleBase) -> None:
    svg = Xml.fromstring(drawing(run_of(rulebase, "carved_tote_turned")))
    colours = {e.attrib.get(k) for e in svg.iter() for k in ("fill", "stroke")} - {None}
    assert colours == {"white", "black", "#555", "none"}
    title, desc = svg[0], svg[1]
    assert (title.tag, desc.tag) == (f"{SVG}title", f"{SVG}desc")
    assert "Plain tote" in (title.text or "") or "plain tote" in (title.text or "")
    assert "CONFLICT carving against turning inside out" in (desc.text or "")
    assert "carved-and-turned-need-two-leathers" in (desc.text or "")
    outlines = {}
    for group in svg.iter(f"{SVG}g"):
        rect = group.find(f"{SVG}rect")
        assert rect is not None
        outlines.setdefault(
            group.attrib["data-kind"],
            {rect.attrib.get(k) for k in ("rx", "stroke-dasharray")} | {f"width {rect.attrib['stroke-width']}"},
        )
    assert len({frozenset(map(str, o)) for o in outlines.values()}) == len(outlines) >= 6


def test_any_text_is_escaped() -> None:
    odd = "<b>&\"'\x00\x1b\ufffe]]> \u6f22 " + "w" * 300
    nodes = {n: Node(n, "rule", odd, odd, rank, odd) for n, rank in (("a", 0), ("b", 5), ("c", RIGHT))}
    svg = Xml.fromstring(drawn(Graph(odd, nodes, {("a", "b"): None, ("c", "b"): None})))
    texts = "".join(svg.itertext())
    assert "<b>&\"'" in texts
    assert "\x00" not in texts


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 14), st.integers(0, 14)), max_size=40), st.integers(1, 15))
def test_any_layered_graph_is_placed_without_overlap(pairs: list[tuple[int, int]], count: int) -> None:
    ranks = {str(n): n // 3 for n in range(count)}
    heights = {n: 20.0 + 7 * (int(n) % 4) for n in ranks}
    edges = list(dict.fromkeys((str(a), str(b)) for a, b in pairs if a < count and b < count and a // 3 < b // 3))
    placed = place(ranks, heights, edges)
    for tail, head in edges:
        assert placed.column[tail] < placed.column[head]
        assert [c for c, _ in placed.lanes[tail, head]] == [*range(placed.column[tail] + 1, placed.column[head])]
    spans = [(placed.column[n], placed.top[n], placed.top[n] + heights[n]) for n in ranks]
    spans += [(c, y, y) for lane in placed.lanes.values() for c, y in lane]
    for one, other in itertools.combinations(spans, 2):
        assert one[0] != other[0] or one[2] + 8.9 <= other[1] or other[2] + 8.9 <= one[1]
    assert all(top >= -1e-6 and bottom <= placed.height + 1e-6 for _, top, bottom in spans)


def test_nothing_is_placed_nowhere() -> None:
    assert place({}, {}, []).height == 0
    assert Xml.fromstring(drawn(Graph("empty"))).tag == f"{SVG}svg"

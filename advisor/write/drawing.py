"""The graph of what decided, drawn as SVG: answers at the left, rules by stratum, conclusions at the right.

Kinds differ by their outline and by a word in the box, never by colour alone. Dashed lines lead back
from a decision to a rule that read it. Every box has its full text as a title. No font is carried
along, so widths are reckoned generously.
"""

from __future__ import annotations

import re
import textwrap
from xml.etree import ElementTree as Xml

from ..leather.units import Units
from ..reasoning.consult import Consultation
from .graph import RIGHT, BoxKind, Graph, Node, graph_of
from .layout import Placed, place

SIZE, LEADING, PAD = 11, 14, 7
WIDTH, BETWEEN, EDGE, HEAD = 216, 64, 16, 64
LETTERS = 32
MOST_LINES = 4
_OUTLINE: dict[BoxKind, dict[str, str]] = {
    "answer": {"stroke-width": "1"},
    "supposition": {"stroke-width": "1", "stroke-dasharray": "4 3"},
    "sum": {"stroke-width": "1", "rx": "12", "stroke-dasharray": "1 2"},
    "rule": {"stroke-width": "1", "rx": "7"},
    "decision": {"stroke-width": "2.5"},
    "caution": {"stroke-width": "2.5", "stroke-dasharray": "9 3"},
    "conflict": {"stroke-width": "5"},
}
_NO_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
LEGEND = (
    "Thin frame: you said. Dashed: assumed. Rounded: a rule. Dotted: a sum. Thick: decided. "
    "Thick and dashed: a caution. Very thick: a conflict. A dashed line leads from a decision back "
    "to a rule that read it."
)


def drawing(run: Consultation, units: Units = "mm") -> str:
    """The SVG of one consultation, as text that ends with a line end."""
    return drawn(graph_of(run, units))


def drawn(graph: Graph) -> str:
    """Any graph as SVG."""
    lines = {n.id: _lines(n) for n in graph.nodes.values()}
    heights = {name: 2 * PAD + LEADING * len(found) for name, found in lines.items()}
    ranks = {n.id: n.rank for n in graph.nodes.values()}
    # Lines that lead back are laid out as if they led on, so that they get lanes too.
    forward = dict.fromkeys((a, b) if ranks[a] < ranks[b] else (b, a) for a, b in graph.edges)
    placed = place(ranks, heights, list(forward))
    columns = max(placed.column.values(), default=0) + 1
    width = 2 * EDGE + columns * WIDTH + (columns - 1) * BETWEEN
    legend = textwrap.wrap(LEGEND, max(60, width // 6))
    height = HEAD + placed.height + EDGE + LEADING * (len(legend) + 1)
    svg = Xml.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {width} {_n(height)}",
            "width": str(width),
            "height": _n(height),
            "font-family": "sans-serif",
            "font-size": str(SIZE),
            "role": "img",
            "aria-labelledby": "title desc",
        },
    )
    Xml.SubElement(svg, "title", {"id": "title"}).text = _writable(f"What decided. {graph.title}")
    Xml.SubElement(svg, "desc", {"id": "desc"}).text = _writable(_told(graph))
    _marker(svg)
    Xml.SubElement(svg, "rect", {"width": "100%", "height": "100%", "fill": "white"})
    _text(svg, EDGE, 24, graph.title[:1].upper() + graph.title[1:], {"font-size": "16", "font-weight": "bold"})
    _headings(svg, placed)
    for tail, head in graph.edges:
        used = f"{_name(graph.nodes[tail])} is used by {_name(graph.nodes[head])}"
        _edge(svg, placed, heights, tail, head, ranks[tail] > ranks[head], used)
    for node in graph.nodes.values():
        _box(svg, node, lines[node.id], _left(placed.column[node.id]), HEAD + placed.top[node.id])
    for i, line in enumerate(legend, 1):
        _text(svg, EDGE, HEAD + placed.height + EDGE + LEADING * i, line, {})
    Xml.indent(svg, " ")
    return Xml.tostring(svg, encoding="unicode") + "\n"


def _told(graph: Graph) -> str:
    """The graph in words, for whoever cannot see it."""
    users: dict[str, list[str]] = {}
    for tail, head in graph.edges:
        users.setdefault(head, []).append(tail)
    said = []
    for node in graph.nodes.values():
        if node.rank == RIGHT or node.id in users:
            used = ", ".join(_name(graph.nodes[n]) for n in users.get(node.id, ()))
            said.append(f"{_name(node)} rests on {used or 'no answer'}.")
    return " ".join(said)


def _name(node: Node) -> str:
    return node.title if node.kind in ("rule", "sum") else f"{node.title} {node.text}"


def _lines(node: Node) -> list[tuple[str, bool]]:
    """The lines of a box; True for those of its title."""
    title = textwrap.wrap(node.title, LETTERS - 3) or [""]
    text = textwrap.wrap(node.text, LETTERS, max_lines=MOST_LINES, placeholder=" ...")
    text += textwrap.wrap(f"[{node.note}]", LETTERS) if node.note else []
    return [(line, True) for line in title] + [(line, False) for line in text]


def _left(column: int) -> int:
    return EDGE + column * (WIDTH + BETWEEN)


def _headings(svg: Xml.Element, placed: Placed) -> None:
    last = max(placed.column.values(), default=0)
    for column in range(last + 1):
        word = "said and assumed" if column == 0 else "decided" if column == last else "rules and sums"
        _text(svg, _left(column), 46, word, {"font-style": "italic"})


def _edge(
    svg: Xml.Element, placed: Placed, heights: dict[str, int], tail: str, head: str, back: bool, used: str
) -> None:
    """A line through its lanes; drawn from left to right and marked at its user, as ``used`` says."""
    left, right = (head, tail) if back else (tail, head)
    y = {name: HEAD + placed.top[name] + heights[name] / 2 for name in (left, right)}
    x = _left(placed.column[left]) + WIDTH
    path = f"M {x} {_n(y[left])}"
    at = y[left]
    for column, lane in [*placed.lanes[left, right], (placed.column[right], y[right] - HEAD)]:
        to = _left(column)
        bend = BETWEEN / 2
        path += f" C {_n(x + bend)} {_n(at)} {_n(to - bend)} {_n(HEAD + lane)} {to} {_n(HEAD + lane)}"
        x, at = to, HEAD + lane
        if column != placed.column[right]:
            x += WIDTH
            path += f" H {x}"
    style = {"marker-start": "url(#used)", "stroke-dasharray": "5 4"} if back else {"marker-end": "url(#used)"}
    line = Xml.SubElement(svg, "path", {"d": path, "fill": "none", "stroke": "#555", **style})
    Xml.SubElement(line, "title").text = _writable(used)


def _box(svg: Xml.Element, node: Node, lines: list[tuple[str, bool]], x: float, y: float) -> None:
    group = Xml.SubElement(svg, "g", {"data-node": node.id, "data-kind": node.kind})
    note = f" [{node.note}]" if node.note else ""
    Xml.SubElement(group, "title").text = _writable(f"{node.title}: {node.text}{note}")
    shape = {"x": _n(x), "y": _n(y), "width": str(WIDTH), "height": str(2 * PAD + LEADING * len(lines))}
    Xml.SubElement(group, "rect", {**shape, "fill": "white", "stroke": "black", **_OUTLINE[node.kind]})
    for i, (line, bold) in enumerate(lines, 1):
        _text(group, x + PAD, y + PAD + LEADING * i - 3, line, {"font-weight": "bold"} if bold else {})


def _text(parent: Xml.Element, x: float, y: float, words: str, style: dict[str, str]) -> None:
    Xml.SubElement(parent, "text", {"x": _n(x), "y": _n(y), **style}).text = _writable(words)


def _marker(svg: Xml.Element) -> None:
    marker = Xml.SubElement(
        Xml.SubElement(svg, "defs"),
        "marker",
        {
            "id": "used",
            "viewBox": "0 0 8 8",
            "refX": "8",
            "refY": "4",
            "markerWidth": "7",
            "markerHeight": "7",
            "orient": "auto-start-reverse",
        },
    )
    Xml.SubElement(marker, "path", {"d": "M 0 0 L 8 4 L 0 8 z", "fill": "#555"})


def _writable(words: str) -> str:
    """Words without the characters that XML 1.0 cannot hold."""
    return _NO_XML.sub("", words)


def _n(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")

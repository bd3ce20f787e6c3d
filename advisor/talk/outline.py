"""A proof as a numbered outline: each line complete in itself, a shared step told once and then named by its number.

All words are read off the nodes of the proof, which took them from the rule base; nothing is concluded here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ..leather.units import Units, number, show, show_thickness
from ..reasoning.steps import Node
from ..rulebase.models import ANSWERED
from .page import GRADE_WORDS, SEVERITY_WORDS, Page, capital, listed, outcome_words, plain

MOST_LISTED = 6
BESIDES = "Weighed besides: "
ACT_WORDS = {"favour": "for", "disfavour": "against", "exclude": "excludes", "require": "requires"}


def outline(root: Node, width: int, units: Units = "mm") -> list[str]:
    """The whole proof under ``root``, numbered 1, 1.1, 1.1.1."""
    page = Page(width, units)
    _Outline(page).tell(root, "1", "")
    return page.lines


class _Outline:
    """Tells nodes in order and remembers the number under which each was told."""

    def __init__(self, page: Page) -> None:
        self.page, self.words = page, Words(page.units)
        self.told: dict[int, str] = {}

    def tell(self, node: Node, place: str, about: str) -> None:
        """One node and what it stands on; ``about`` is what it is told for."""
        self.told[id(node)] = place
        self.page.add(self.words.statement(node, about), 0, f"{place} ")
        name = str(node.says.get("name", about))
        parts = [(part, "") for part in node.rests]
        if node.kind == "balance":
            parts = _ledger(node)
        elif node.besides:
            parts += [(part, BESIDES) for part in node.besides]
        for n, (part, before) in enumerate(parts, 1):
            self.under(part, f"{place}.{n}", name, before)

    def under(self, node: Node, place: str, about: str, before: str) -> None:
        """A part of a step: told in full, or by the number under which it stands."""
        earlier = self.told.get(id(node))
        if earlier:
            self.page.add(f"{before}{self.words.brief(node)}: see {earlier}.", 0, f"{place} ")
        elif before:
            self.told[id(node)] = place
            in_ledger = node.kind == "applied" and before != BESIDES
            told = self.words.since(node) if in_ledger else self.words.statement(node, about)
            self.page.add(before + told, 0, f"{place} ")
            for n, part in enumerate(node.rests, 1):
                self.under(part, f"{place}.{n}", about, "")
        else:
            self.tell(node, place, about)


def _ledger(node: Node) -> list[tuple[Node, str]]:
    """The entries of a balance, those of one rule together, each rule with what it speaks for and against."""
    by_rule: dict[int, list[Mapping[str, Any]]] = {}
    for entry in node.says["entries"]:
        by_rule.setdefault(id(entry["by"]), []).append(entry)
    return [(entries[0]["by"], _entries_said(entries)) for entries in by_rule.values()]


def _entries_said(entries: Iterable[Mapping[str, Any]]) -> str:
    alike: dict[tuple[str, str, str | None], list[str]] = {}
    for e in entries:
        alike.setdefault((e["act"], e["strength"], e["set_aside"]), []).append(plain(e["candidate"]))
    said = [
        f"{ACT_WORDS[act]} {listed(candidates)} ({strength}{f'; not counted: {plain(aside)}' if aside else ''})"
        for (act, strength, aside), candidates in alike.items()
    ]
    return f"{capital('; '.join(said))}. "


@dataclass(frozen=True, slots=True)
class Words:
    """What is said of a node, in the measures that the reader prefers."""

    units: Units = "mm"

    def values_said(self, values: Any, unit: str) -> str:
        """Values as a person reads them."""
        shown = (show(v, unit, self.units) if isinstance(v, int | float) else plain(str(v)) for v in values)
        return listed(shown) or "none"

    def brief(self, node: Node) -> str:
        """A node in a few words, for references."""
        says = node.says
        if node.kind == "applied":
            return f"Rule {says['rule']}"
        if node.kind == "withdrawn":
            return f"Rule {says['loser']} withdrawn"
        if node.kind == "table":
            return f"Table {plain(says['decision'])} {plain(says['column'])}"
        if node.kind == "source":
            return str(says["title"])
        if node.kind == "absence" and str(says["name"]).endswith(ANSWERED):
            return f"No answer about {plain(str(says['name']).removesuffix(ANSWERED))}"
        if node.kind == "absence":
            return f"No {plain(says['name'])}" + (f" {plain(str(says['lacks']))}" if says["lacks"] else " known")
        if node.kind == "bound":
            return f"{capital(says['side'])} {show_thickness(says['mm'], self.units)} by {says['rule']}"
        if "value" in says:
            shown = self.values_said(says["value"], says["unit"]) if says["value"] else str(says.get("state", "none"))
            return capital(f"{plain(says['name'])} {shown}")
        if node.kind == "balance":
            return capital(f"{plain(says['name'])} {plain(says['chosen'][0]) if says['chosen'] else 'open'}")
        return capital(plain(str(says.get("name") or says.get("about") or node.kind)))

    def statement(self, node: Node, about: str = "") -> str:
        """A node as one complete sentence or two."""
        told: str = getattr(self, f"_{node.kind}")(node, about)
        return told

    def _answer(self, node: Node, _: str) -> str:
        words = node.says["words"]
        said = f': "{words}"' if words and words != plain(self.brief(node)) else ""
        return f"{self.brief(node)}. You said so{said}."

    def _supposition(self, node: Node, _: str) -> str:
        return f"{self.brief(node)}. Nobody said so; it is supposed by {listed(node.says['rules'])}."

    def _settled(self, node: Node, _: str) -> str:
        return f"{self.brief(node)}. It follows by {listed(node.says['rules'])}."

    def _computed(self, node: Node, _: str) -> str:
        line = str(node.says["line"])
        if node.says["formula"] == "lookup":
            return f"{self.brief(node)}. {self.looked_up(node)}"
        basis = f" ({GRADE_WORDS[node.grade]})" if node.grade and "(estimate)" not in line else ""
        return f"{self.brief(node)}. Reckoned: {line}{basis}."

    def looked_up(self, node: Node) -> str:
        """Where a value that is looked up stands, and what that table holds."""
        inputs = node.says["inputs"]
        table = inputs["table"]["by"]
        return f"Looked up for {self.values_said(inputs['key']['value'], '')}: {table.says['because']}"

    def _pattern(self, node: Node, _: str) -> str:
        said = node.says
        lines = [f"{plain(p['name'])}: {line}" for p, line in zip(said["lines"], said["sums"], strict=False)] or [
            f"{plain(p['name'])}, {p['kind']}: {number(p['leather'])} layer{'s' if p['leather'] != 1 else ''}"
            + (f" and {show(p['other_mm'], 'mm', self.units)} besides" if p["other_mm"] else "")
            for p in said["lines"]
        ]  # fmt: skip
        what = "Pieces" if said["name"] == "pieces" else "Places where layers meet"
        return f"{what} of the {plain(said['item'])}, by its pattern. {'; '.join(lines) or 'None'}."

    def _applied(self, node: Node, about: str) -> str:
        concluded = [c for c in node.says["concluded"] if f" {about} " in f" {c} "] or node.says["concluded"]
        return self.since(node, plain("; ".join(concluded)))

    def since(self, node: Node, concluded: str = "") -> str:
        """A rule that was applied: its premises, what it came to, its reason and where it stands."""
        says = node.says
        since = "; ".join(dict.fromkeys(plain(p["says"]) for p in says["premises"]))
        stands = f"[{says['rule']}; {says['force']}; {says['concern']}; {GRADE_WORDS[str(node.grade)]}]"
        return f"Since {since}{f': {concluded}' if concluded else ''}. {says['because']} {stands}"

    def _failed(self, node: Node, _: str) -> str:
        fails = listed(plain(p) for p in node.says["fails"])
        return f"The rule {node.says['rule']} does not hold, for this is not so: {fails}. {node.says['because']}"

    def _open(self, node: Node, _: str) -> str:
        says = node.says
        waits = f"not ruled out, for nobody has said {listed(plain(w) for w in says['waits_for'])}"
        return f"{says['about'].capitalize()}: {waits}. {says['because']} [{says['rule']}]"

    def _absence(self, node: Node, _: str) -> str:
        if str(node.says["name"]).endswith(ANSWERED):
            return f"{self.brief(node)}. No rule can answer in your place."
        able = [rule if state == "did not apply" else f"{rule} ({state})" for rule, state in node.says["rules"].items()]
        if not able:
            return f"{self.brief(node)}. No rule can give it."
        more = [f"{len(able) - MOST_LISTED} more"] if len(able) > MOST_LISTED else []
        first = listed([*able[:MOST_LISTED], *more])
        return f"{self.brief(node)}. None of the {len(able)} rules able to give it did: {first}."

    def _withdrawn(self, node: Node, _: str) -> str:
        says = node.says
        without = says.get("without")
        changed = "; ".join(f"{plain(name)} {self._any_said(value)}" for name, value in (without or {}).items())
        then = f" Without that preference: {changed}." if changed else (
            " Without that preference nothing would be other." if without is not None else ""
        )  # fmt: skip
        return f"{says['loser']} is withdrawn: {says['winner']} is preferred. {says['because']}{then}"

    @staticmethod
    def _any_said(value: Any) -> str:
        if value is None:
            return "would not be known"
        parts = value if isinstance(value, list) else [value]
        is_number = [isinstance(p, int | float) and not isinstance(p, bool) for p in parts]
        return listed(number(p) if n else plain(str(p)) for p, n in zip(parts, is_number, strict=True))

    def _bound(self, node: Node, _: str) -> str:
        says = node.says
        line = f" {says['line']}." if says["line"] else ""
        if says["set_aside"]:
            end = f" Set aside: {says['set_aside']}."
        elif says["binding"]:
            end = " It holds this side."
        else:
            end = f" Clear by {show_thickness(says['clear_by_mm'], self.units)}." if says["clear_by_mm"] else ""
        return f"{self.brief(node)}.{line}{end}"

    def _window(self, node: Node, _: str) -> str:
        low, high = node.says["low_mm"], node.says["high_mm"]
        if low is None and high is None:
            return "Weight: no thickness meets all bounds."
        ends = [f"from {show_thickness(low, self.units)}"] if low is not None else []
        ends += [f"to {show_thickness(high, self.units)}"] if high is not None else []
        return f"Weight {' '.join(ends)}: where all bounds that stand meet."

    def _balance(self, node: Node, _: str) -> str:
        says = node.says
        tie = f" {capital(plain(says['tie']))}." if says["tie"] else ""
        also = f" Also fits: {listed(map(plain, says['also_fits']))}." if says["also_fits"] else ""
        out = f" Excluded: {listed(map(plain, says['excluded']))}." if says["excluded"] else ""
        return f"{self.brief(node)}: the balance of {len(says['entries'])} reasons.{tie}{also}{out}"

    def _exclusion(self, node: Node, _: str) -> str:
        gone = "; ".join(f"{plain(c)} by {', '.join(rules)}" for c, rules in node.says["excluded"].items())
        return f"{capital(plain(node.says['name']))}: {gone or 'nothing'}."

    def _table(self, node: Node, _: str) -> str:
        return f"{self.brief(node)}, declared in the rule base ({GRADE_WORDS[str(node.grade)]})."

    def _source(self, node: Node, _: str) -> str:
        says = node.says
        year = f" ({says['year']})" if says["year"] else ""
        clause = f", {says['clause']}" if says["clause"] else ""
        return f"Source: {says['title']}{year}{clause}; {'opened' if says['opened'] else 'from memory'}."

    def _prices(self, node: Node, _: str) -> str:
        return f"Prices of {node.says['house']}{', invented' if node.says['invented'] else ''}."

    def _amount(self, node: Node, _: str) -> str:
        says = node.says
        gross = show(says["gross_dm2"], "dm2", self.units)
        return f"Amount: {says['count']} x {plain(says['form'])}; with waste {gross}."

    def _outcome(self, node: Node, _: str) -> str:
        return f"Outcome: {outcome_words(node.says)}."

    def _caution(self, node: Node, _: str) -> str:
        says = node.says
        ask = f" Ask: {says['defer_to']}." if says["defer_to"] else ""
        return f"{SEVERITY_WORDS[says['severity']]}, {says['about']}: {says['text']}{ask}"

    def _conflict(self, node: Node, _: str) -> str:
        left = str(node.says["left"]).rstrip(".")
        return f"Cannot be had together: {plain(node.says['about'])}. {capital(left)}."

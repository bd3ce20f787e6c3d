"""A proof as a numbered outline: each line complete in itself, a shared step told once and then named by its number.

All words are read off the nodes of the proof, which took them from the rule base; nothing is concluded here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ..leather.units import Units, number, show, show_thickness
from ..reasoning.steps import Node
from ..rulebase.models import ANSWERED, RuleBase
from .buying import form_counted
from .catalogue import sentence, sum_said, tell
from .names import attribute_called, called, rule_called
from .page import GRADE_WORDS, SEVERITY_WORDS, Page, capital, listed, outcome_words, plain
from .statements import conclusions_said, premise_said

MOST_LISTED = 6
BESIDES = "Weighed besides: "
ACT_WORDS = {"favour": "for", "disfavour": "against", "exclude": "excludes", "require": "requires"}


def outline(rulebase: RuleBase, root: Node, width: int, units: Units = "mm") -> list[str]:
    """The whole proof under ``root``, numbered 1, 1.1, 1.1.1."""
    page = Page(width, units)
    _Outline(rulebase, page).tell(root, "1", "")
    return page.lines


def outline_step(rulebase: RuleBase, root: Node, place: str, width: int, units: Units = "mm") -> list[str]:
    """One numbered step of the proof under ``root`` and what it stands on directly; nothing where there is none."""
    whole = _Outline(rulebase, Page(width, units))
    whole.tell(root, "1", "")
    page = Page(width, units)
    for at, text in whole.said.items():
        if at == place or at.rpartition(".")[0] == place:
            page.add(text, 0, f"{at} ")
    return page.lines if place in whole.said else []


class _Outline:
    """Tells nodes in order and remembers the number under which each was told."""

    def __init__(self, rulebase: RuleBase, page: Page) -> None:
        self.page, self.words = page, Words(rulebase, page.units)
        self.told: dict[int, str] = {}
        self.said: dict[str, str] = {}

    def line(self, place: str, text: str) -> None:
        """One numbered line."""
        self.said[place] = text
        self.page.add(text, 0, f"{place} ")

    def tell(self, node: Node, place: str, about: str) -> None:
        """One node and what it stands on; ``about`` is what it is told for."""
        self.told[id(node)] = place
        self.line(place, self.words.statement(node, about))
        name = str(node.says.get("name", about))
        parts = [(part, "") for part in node.rests]
        if node.kind == "balance":
            parts = _ledger(self.words.rulebase, node)
        elif node.besides:
            parts += [(part, BESIDES) for part in node.besides]
        for n, (part, before) in enumerate(parts, 1):
            self.under(part, f"{place}.{n}", name, before)

    def under(self, node: Node, place: str, about: str, before: str) -> None:
        """A part of a step: told in full, or by the number under which it stands."""
        earlier = self.told.get(id(node))
        if earlier:
            self.line(place, f"{before}{self.words.brief(node)}: see {earlier}.")
        elif before:
            self.told[id(node)] = place
            in_ledger = node.kind == "applied" and before != BESIDES
            told = self.words.since(node) if in_ledger else self.words.statement(node, about)
            self.line(place, before + told)
            for n, part in enumerate(node.rests, 1):
                self.under(part, f"{place}.{n}", about, "")
        else:
            self.tell(node, place, about)


def _ledger(rulebase: RuleBase, node: Node) -> list[tuple[Node, str]]:
    """The entries of a balance, those of one rule together, each rule with what it speaks for and against."""
    by_rule: dict[int, list[Mapping[str, Any]]] = {}
    for entry in node.says["entries"]:
        by_rule.setdefault(id(entry["by"]), []).append(entry)
    return [(entries[0]["by"], _entries_said(rulebase, node.says["name"], entries)) for entries in by_rule.values()]


def _entries_said(rulebase: RuleBase, decision: str, entries: Iterable[Mapping[str, Any]]) -> str:
    alike: dict[tuple[str, str, str], list[str]] = {}
    for e in entries:
        aside = f"; not counted: {tell(e['set_aside'], rulebase)}" if e["set_aside"] else ""
        alike.setdefault((e["act"], e["strength"], aside), []).append(called(rulebase, decision, e["candidate"]))
    said = [f"{ACT_WORDS[act]} {listed(names)} ({strength}{aside})" for (act, strength, aside), names in alike.items()]
    return f"{capital('; '.join(said))}. "


@dataclass(frozen=True, slots=True)
class Words:
    """What is said of a node, in the labels of the rule base and the measures that the reader prefers."""

    rulebase: RuleBase
    units: Units = "mm"

    def called(self, name: Any) -> str:
        """An attribute, a decision, or any other part of the advice."""
        return attribute_called(self.rulebase, str(name))

    def rule(self, rule: str) -> str:
        """A rule by its id, or as what is usual for a thing, in brackets."""
        return f"[{rule_called(self.rulebase, rule)}]"

    def values_said(self, name: str, values: Any, unit: str) -> str:
        """Values as a person reads them."""
        shown = (
            show(v, unit, self.units) if isinstance(v, int | float) else called(self.rulebase, name, str(v))
            for v in values
        )
        return listed(shown) or "none"

    def brief(self, node: Node) -> str:
        """A node in a few words, for references."""
        says = node.says
        if node.kind == "applied":
            return f"Rule {self.rule(says['rule'])}"
        if node.kind == "withdrawn":
            return f"Rule {self.rule(says['loser'])} withdrawn"
        if node.kind == "table":
            return f"Table {self.called(says['decision'])}, {self.called(says['column'])}"
        if node.kind == "source":
            return str(says["title"])
        if node.kind == "absence" and str(says["name"]).endswith(ANSWERED):
            return f"No answer about {self.called(says['name'])}"
        if node.kind == "absence":
            if says["lacks"]:
                lacks = self.values_said(says["name"], [says["lacks"]], "")
                return capital(f"{self.called(says['name'])}: not {lacks}")
            return capital(f"{self.called(says['name'])} is not known")
        if node.kind == "bound":
            return f"{capital(says['side'])} {show_thickness(says['mm'], self.units)} {self.rule(says['rule'])}"
        if "value" in says:
            name, state = str(says["name"]), str(says.get("state", "none"))
            shown = self.values_said(name, says["value"], says["unit"]) if says["value"] else state
            return capital(f"{self.called(name)}: {shown}")
        if node.kind == "balance":
            name = str(says["name"])
            return capital(f"{self.called(name)}: {self.values_said(name, says['chosen'][:1], '') or 'open'}")
        if node.kind == "caution":
            return capital(str(says["about"]))
        return capital(self.called(says.get("name") or says.get("about") or node.kind))

    def statement(self, node: Node, about: str = "") -> str:
        """A node as one complete sentence or two."""
        told: str = getattr(self, f"_{node.kind}")(node, about)
        return told

    def _answer(self, node: Node, _: str) -> str:
        words, values = node.says["words"], node.says["value"]
        said = f': "{words}"' if words and words not in values else ""
        return f"{self.brief(node)}. You said so{said}."

    def _supposition(self, node: Node, _: str) -> str:
        return f"{self.brief(node)}. Nobody said so; it is assumed: {listed(map(self.rule, node.says['rules']))}."

    def _settled(self, node: Node, _: str) -> str:
        return f"{self.brief(node)}. It follows by {listed(map(self.rule, node.says['rules']))}."

    def _computed(self, node: Node, _: str) -> str:
        line = str(node.says["line"])
        if node.says["formula"] == "lookup":
            return f"{self.brief(node)}. {self.looked_up(node)}"
        basis = f" ({GRADE_WORDS[node.grade]})" if node.grade and "(estimate)" not in line else ""
        return f"{self.brief(node)}. Worked out: {sum_said(self.rulebase, node.says['name'], line)}{basis}."

    def looked_up(self, node: Node) -> str:
        """Where a value that is looked up stands, and what that table holds."""
        inputs = node.says["inputs"]
        table, key = inputs["table"]["by"], inputs["key"]
        return f"Looked up for {self.values_said(key['of'], key['value'], '')}: {table.says['because']}"

    def _pattern(self, node: Node, _: str) -> str:
        said = node.says
        lines = [f"{plain(p['name'])}: {line}" for p, line in zip(said["lines"], said["sums"], strict=False)] or [
            f"{plain(p['name'])}, {p['kind']}: {number(p['leather'])} layer{'s' if p['leather'] != 1 else ''}"
            + (f" and {show(p['other_mm'], 'mm', self.units)} besides" if p["other_mm"] else "")
            for p in said["lines"]
        ]
        what = "Pieces" if said["name"] == "pieces" else "Places where layers meet"
        item = self.rulebase.attributes["item"].values[said["item"]]
        return f"{what} of {item.one()}, by its pattern. {'; '.join(lines) or 'None'}."

    def _applied(self, node: Node, about: str) -> str:
        every = self.rulebase.rules[node.says["rule"]].then
        concluded = [c for c in every if c.target == about] or every
        return self.since(node, conclusions_said(self.rulebase, concluded, self.units))

    def since(self, node: Node, concluded: str = "") -> str:
        """A rule that was applied: its premises, what it came to, its reason and where it stands."""
        says = node.says
        premises = self.rulebase.rules[says["rule"]].when
        since = "; ".join(dict.fromkeys(premise_said(self.rulebase, p, self.units) for p in premises))
        rule = rule_called(self.rulebase, says["rule"])
        stands = f"[{rule}; {says['force']}; {says['concern']}; {GRADE_WORDS[str(node.grade)]}]"
        return f"Since {since}{f': {concluded}' if concluded else ''}. {says['because']} {stands}"

    def _failed(self, node: Node, _: str) -> str:
        premises = (p for p in self.rulebase.rules[node.says["rule"]].when if p.text in node.says["fails"])
        fails = listed(dict.fromkeys(premise_said(self.rulebase, p, self.units) for p in premises))
        rule = self.rule(node.says["rule"])
        return f"The rule {rule} does not hold, for this is not so: {fails}. {node.says['because']}"

    def _open(self, node: Node, _: str) -> str:
        says = node.says
        waits = f"not ruled out, for nobody has said: {listed(map(self.called, says['waits_for']))}"
        return f"{says['about'].capitalize()}: {waits}. {says['because']} {self.rule(says['rule'])}"

    def _absence(self, node: Node, _: str) -> str:
        if str(node.says["name"]).endswith(ANSWERED):
            return f"{self.brief(node)}. No rule can answer in your place."
        states = node.says["rules"].items()
        able = [
            self.rule(r) if s.code == "did_not_apply" else f"{self.rule(r)} ({tell(s, self.rulebase)})"
            for r, s in states
        ]
        if not able:
            return f"{self.brief(node)}. No rule can give it."
        more = [f"{len(able) - MOST_LISTED} more"] if len(able) > MOST_LISTED else []
        first = listed([*able[:MOST_LISTED], *more])
        return f"{self.brief(node)}. None of the {len(able)} rules able to give it did: {first}."

    def _withdrawn(self, node: Node, _: str) -> str:
        says, others = node.says, node.without.items()
        changed = "; ".join(f"{self._conclusion(name)} {self._any_said(name, value)}" for name, value in others)
        then = f": {changed}." if changed else " nothing would be other."
        loser, winner = self.rule(says["loser"]), self.rule(says["winner"])
        return f"{capital(loser)} is withdrawn: {winner} is preferred. {says['because']} Without that preference{then}"

    def _conclusion(self, name: str) -> str:
        kind, _, rest = name.partition(" ")
        return f"caution about {self.rulebase.cautions[rest].about}:" if kind == "caution" else f"{self.called(name)}:"

    def _any_said(self, name: str, value: Any) -> str:
        if value is None:
            return "would not be known"
        parts = value if isinstance(value, list) else [value]
        is_number = [isinstance(p, int | float) and not isinstance(p, bool) for p in parts]
        return listed(
            number(p) if n else called(self.rulebase, name, str(p)) for p, n in zip(parts, is_number, strict=True)
        )

    def _bound(self, node: Node, _: str) -> str:
        says = node.says
        sum_ = sum_said(self.rulebase, says["of"], says["line"])
        line = f" {sum_}." if sum_ else ""
        if says["set_aside"]:
            end = f" Set aside: {tell(says['set_aside'], self.rulebase)}."
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
        tie = f" {sentence(says['tie'], self.rulebase)}" if says["tie"] else ""
        name = says["name"]
        also = f" Also good: {self.values_said(name, says['also_fits'], '')}." if says["also_fits"] else ""
        out = f" Ruled out: {self.values_said(name, says['excluded'], '')}." if says["excluded"] else ""
        return f"{self.brief(node)}: the balance of {len(says['entries'])} reasons.{tie}{also}{out}"

    def _exclusion(self, node: Node, _: str) -> str:
        name = node.says["name"]
        by_rule: dict[tuple[str, ...], list[str]] = {}
        for candidate, rules in node.says["excluded"].items():
            by_rule.setdefault(tuple(map(self.rule, rules)), []).append(called(self.rulebase, name, candidate))
        gone = "; ".join(f"{listed(names)} by {listed(rules)}" for rules, names in by_rule.items())
        return f"{capital(self.called(name))}: {gone or 'nothing'}."

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
        return f"Amount: {form_counted(self.rulebase, says['form'], says['count'])}; with waste {gross}."

    def _outcome(self, node: Node, _: str) -> str:
        return f"Outcome: {outcome_words(node.says)}."

    def _caution(self, node: Node, _: str) -> str:
        says = node.says
        ask = f" Ask: {says['defer_to']}." if says["defer_to"] else ""
        return f"{SEVERITY_WORDS[says['severity']]}, {says['about']}: {says['text']}{ask}"

    def _conflict(self, node: Node, _: str) -> str:
        about = attribute_called(self.rulebase, node.says["about"])
        return f"Cannot be had together: {about}. {sentence(node.says['left'], self.rulebase)}"

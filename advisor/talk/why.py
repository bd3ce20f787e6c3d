"""Why: one deciding reason in a few lines, or the whole proof as an outline, of whatever was named.

What is named may be a decision, an attribute, a caution, a conflict, a rule, a value or a number with its unit, in
the person's own words, or a numbered step of a proof. All words are read off the proof and the rule base.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..errors import UsageError, nearest
from ..leather.units import UNIT, UnitError, Units, beside_in, parse_quantity, show, show_thickness
from ..read.beside import take_if
from ..reasoning.advice import GRADES
from ..reasoning.changes import present
from ..reasoning.consult import Consultation
from ..reasoning.contrast import parted
from ..reasoning.deciding import Deciding, deciding, steps_under
from ..reasoning.evidence import Evidence
from ..reasoning.proof import Proof
from ..reasoning.report import report
from ..reasoning.steps import Node
from ..rulebase.models import PATTERN_KINDS, RuleBase, of_part
from ..rulebase.models import parted as parted_name
from ..write.buying import form_counted
from ..write.catalogue import tell
from ..write.explaining import Voice
from ..write.names import attribute_called, grammar_said, rule_called, said, values_called
from ..write.ordering import how_counted
from ..write.outline import Words, outline, outline_step
from ..write.page import GRADE_WORDS, Page, capital, listed, outcome_words, plain
from ..write.short_reasons import level_short
from .comparing import contrast_asked, contrast_lines, rather_than
from .matter import Matter

MOST_WORDS, MOST_LINES, COLUMNS = 60, 5, 80
MOST_NAMED = 5
"""Of more values than these the first are named and the rest counted; the whole proof has them all."""
MOST_ANSWERS = 4
TIED = "tannage"
"""Of this decision it is told what would part those that stand level; it takes a third of a second."""
_NEAR_MM = 0.051
_THICK = frozenset(("thickness", "thick", "thin", "weight", "mm", "oz"))
_ANIMAL = frozenset(("animal", "species", "skin"))
_STEP = re.compile(r"(?:(.+?) )?(\d+(?:\.\d+)+|(?<= )1|^1)")
_FORCE = ("must", "strong", "clear", "slight")


@dataclass(frozen=True, slots=True)
class Found:
    """What a name meant: the conclusion ("" for a rule alone), its node, and a value that was not chosen."""

    name: str
    node: Node
    other: str = ""


def why_lines(run: Consultation, named: str, width: int, full: bool = False, units: Units = "mm") -> list[str]:
    """The reason for what was named, short or in full, or of one of two named: "A rather than B".

    A number behind a name, as "weight 1.2", is a step of its proof. Raises UsageError with the nearest name.
    """
    two = rather_than(run.rulebase, named)
    if two is not None:
        return contrast_lines(Matter(run.rulebase, run.answers, run.house, width, units), two)
    proof = run.proof
    if step := _STEP.fullmatch(" ".join(named.split())):
        return _step_lines(proof, step[1] or "", step[2], width, units)
    meant = find(proof, named)
    found = _shown(proof, meant)
    page = Page(width, units)
    if found is not meant:
        named_so = attribute_called(run.rulebase, meant.name)
        page.add(f"No order is shown, so there is no {named_so} to give a reason for.")
    if full:
        return [*page.lines, *outline(proof.run.rulebase, found.node, width, units)]
    page.add(short(proof, found, units=units))
    return page.lines


def step_of(before: str, named: str) -> str:
    """A bare number of a step, behind the name that was asked for before; anything else as it is."""
    step = _STEP.fullmatch(" ".join(named.split()))
    if step is None or step[1] or not before:
        return named
    earlier = _STEP.fullmatch(before)
    return f"{earlier[1] if earlier else before} {step[2]}"


def _step_lines(proof: Proof, named: str, place: str, width: int, units: Units) -> list[str]:
    if not named:
        raise UsageError(f'{place} is a step of a proof. Ask for one first, for example "why weight in full".')
    lines = outline_step(proof.run.rulebase, _shown(proof, find(proof, named)).node, place, width, units)
    if not lines:
        raise UsageError(f'The proof of {named} has no step {place}; "why {named} in full" shows all.')
    return lines


def why_values(run: Consultation, named: str) -> dict[str, Any]:
    """The same as plain values: the short reason, what decides, the evidence, and the proof under it.

    Of one rather than another it is what parts them.
    """
    two = rather_than(run.rulebase, named)
    if two is not None:
        return contrast_asked(Matter(run.rulebase, run.answers, run.house), two).model_dump(mode="json")
    proof = run.proof
    found = _shown(proof, find(proof, named))
    decides = deciding(proof, found.name)
    place, by = Evidence(run.rulebase.attributes).weakest(found.node)
    return {
        "conclusion": found.name or found.node.by,
        "reason": short(proof, found, decides),
        "answers": list(decides.answers),
        "supposition": decides.supposition,
        "grade": GRADES[place] if place >= 0 else None,
        "by": by,
        "root": found.node.id,
        "nodes": {n.id: n.content for n in steps_under(found.node, besides=True)},
    }


def _shown(proof: Proof, found: Found) -> Found:
    """What was named, or the outcome where it is a part of an order that is withheld."""
    outcome = proof.conclusion("outcome")
    ordered = found.name in (*proof.run.rulebase.decisions, "amount") or bool(parted_name(found.name)[1])
    return Found("outcome", outcome) if ordered and outcome is not None and report(proof.run).no_order else found


# -- what was meant


def find(proof: Proof, named: str) -> Found:
    """The conclusion that a person means. Raises UsageError when there is none."""
    text = " ".join(named.lower().split())
    for words in dict.fromkeys(
        (text, re.sub(r"^(?:is|are|the|do i need|so)\s+|\b(?:the|my|is|so)\b ?", "", text).strip())
    ):
        name = re.sub(r"[^\w/]+", "_", words).strip("_")
        for look in (_of_part, _by_name, _by_quantity, _by_value, _left_out):
            found = look(proof, name, words)
            if found is not None:
                return found
    rulebase = proof.run.rulebase
    if re.sub(r"\W+", "_", text) in (*rulebase.decisions, "amount", "outcome"):
        raise UsageError(f"Nothing is settled about the {text} yet. Say first what you are making.")
    labels = [a.label for a in rulebase.attributes.values()]
    near = nearest(text, [*(d.title for d in rulebase.decisions.values()), "amount", "outcome", *labels])
    raise UsageError(f'I cannot say why of "{named}".' + (f' Did you mean "{near}"?' if near else ""))


def _of_part(proof: Proof, name: str, words: str) -> Found | None:
    """A leather besides the main one: its tannage, or its animal or thickness where that is named as well.

    A part whose name is an attribute's is meant only with something said of its leather.
    """
    item, low = proof.run.item(), f" {words} "
    for part in item.parts.values() if item else ():
        called = part.name.replace("_", " ")
        if f" {called} " not in low or name in proof.run.rulebase.attributes:
            continue
        rest = set(low.replace(f" {called} ", " ").split())
        thick = bool(rest & _THICK) or any(w[0].isdigit() for w in rest)
        order = ("weight", "tannage") if thick else ("species", "tannage") if rest & _ANIMAL else ("tannage", "weight")
        for decision in order:
            about = of_part(decision, part.name)
            node = proof.conclusion(about) if about in proof.of_parts else None
            if node is not None:
                return Found(about, node, _other_tannage(proof, node, rest))
    return None


def _other_tannage(proof: Proof, node: Node, words: set[str]) -> str:
    """A tannage that was named and is not the one chosen."""
    chosen = node.says.get("chosen", ())[:1]
    for slug, candidate in proof.run.rulebase.decisions["tannage"].candidates.items():
        if slug not in chosen and any(set(w.lower().split()) <= words for w in (candidate.label, *candidate.words)):
            return candidate.label
    return ""


def _by_name(proof: Proof, name: str, words: str) -> Found | None:
    rulebase = proof.run.rulebase
    for conclusion in (name, f"caution {name}", words if words.startswith("conflict ") else ""):
        if conclusion in (*rulebase.decisions, *rulebase.attributes, "outcome", "amount") or " " in conclusion:
            node = proof.conclusion(conclusion)
            if node is not None:
                return Found(conclusion, node)
    for caution in rulebase.cautions.values():
        if caution.about.lower() == words and (node := proof.conclusion(f"caution {caution.id}")):
            return Found(f"caution {caution.id}", node)
    fired = proof.run.firings.get(words) or proof.run.firings.get(words.replace(" ", "-"))
    return Found("", proof.stands(fired[0])) if fired else None


def _by_quantity(proof: Proof, _: str, words: str) -> Found | None:
    """A number with a unit: the attribute, end of the window or bound that shows it."""
    if not re.fullmatch(rf"[\d.,/ ]+ ?(?:{UNIT})", words, re.IGNORECASE):
        return None
    run = proof.run
    names = sorted(run.known, key=lambda n: (run.known[n].origin not in ("answered", "read"), n == "weight"))
    for name in [*names, "weight"]:
        unit = getattr(run.rulebase.attributes.get(name) or run.rulebase.decisions.get(name), "unit", "")
        try:
            wanted = parse_quantity(words, unit) if unit not in ("", "plain", "percent", "count") else None
        except UnitError:
            continue
        ends = [run.window.low, run.window.high] if name == "weight" else list(run.known[name].values)
        close = wanted is not None and any(isinstance(e, float) and abs(e - wanted) < _NEAR_MM for e in ends)
        if close and (node := proof.conclusion(name)):
            return Found(name, node)
    window = proof.conclusion("weight")
    for node in (*window.rests, *window.besides) if window and "mm" in words + "mm" else ():
        try:
            if abs(node.says["mm"] - parse_quantity(words, "mm")) < _NEAR_MM:
                return Found("weight", node)
        except UnitError:
            return None
    return None


def _by_value(proof: Proof, name: str, _: str) -> Found | None:
    """A value: the decision or attribute that came to it, chosen before ruled out, decisions before attributes."""
    run = proof.run
    if len(name) < 3:
        return None
    for decision in run.rulebase.choices():
        ledger = run.ledgers[decision.name]
        for candidate in (*ledger.chosen, *ledger.also_fits, *ledger.excluded):
            words = (candidate, *(re.sub(r"\W+", "_", w.lower()) for w in decision.candidates[candidate].words))
            fits = name in words or any(re.search(rf"(?:^|_){re.escape(name)}(?:_|$)", w) for w in words)
            if fits and (node := proof.conclusion(decision.name)):
                return Found(decision.name, node, "" if candidate in ledger.chosen else plain(name))
    for attribute in run.rulebase.attributes.values():
        known = run.known.get(attribute.name)
        for value in known.values if known and attribute.values else ():
            told = attribute.values[str(value)]
            if name in (told.slug, *(re.sub(r"\W+", "_", w.lower()) for w in told.words)):
                node = proof.conclusion(attribute.name)
                return Found(attribute.name, node) if node else None
    return None


def _left_out(proof: Proof, name: str, words: str) -> Found | None:
    """What there is no conclusion about: an attribute nobody knows, a caution left open, a rule that does not hold."""
    rulebase = proof.run.rulebase
    if name in rulebase.attributes and rulebase.attributes[name].kind not in PATTERN_KINDS:
        return Found("", proof.absence(name, None))
    for caution in rulebase.cautions.values():
        if words in (caution.about.lower(), plain(caution.id), caution.id) and (node := proof.open_caution(caution.id)):
            return Found("", node)
    rule = rulebase.rules.get(words) or rulebase.rules.get(words.replace(" ", "-"))
    return Found("", proof.failed(rule)) if rule else None


# -- one deciding reason


def short(proof: Proof, found: Found, decides: Deciding | None = None, units: Units = "mm") -> str:
    """Claim, deciding answers, one reason, the main defeat or supposition, the weakest evidence.

    At most MOST_WORDS words and MOST_LINES lines of COLUMNS; what matters least is left out first.
    """
    decides = decides or deciding(proof, found.name)
    reason = _Reason(proof, found, decides, Words(proof.run.rulebase, units))
    claim, reasons, main, evidence = reason.claim(), reason.reasons(), reason.main(), reason.evidence()
    for answers, extra, grade in (
        (MOST_ANSWERS, main, evidence),
        (2, main, evidence),
        (2, "", evidence),
        (1, "", evidence),
        (0, "", evidence),
        (0, "", ""),
    ):
        for because in reasons:
            text = " ".join(t for t in (claim, reason.answers(answers), because, extra, grade) if t)
            if _fits(beside_in(text, units)):
                return text
    return claim


def _fits(text: str) -> bool:
    return len(text.split()) <= MOST_WORDS and len(textwrap.wrap(text, COLUMNS, break_on_hyphens=False)) <= MOST_LINES


@dataclass(frozen=True, slots=True)
class _Reason:
    """The parts that one deciding reason is put together from, each a sentence or nothing."""

    proof: Proof
    found: Found
    decides: Deciding
    words: Words

    def claim(self) -> str:
        node, says = self.found.node, self.found.node.says
        if node.kind == "window":
            low, high, part = says["low_mm"], says["high_mm"], parted_name(self.found.name)[1]
            if low is None or high is None:
                return self.words.statement(node)
            of = f" of the {plain(part)}" if part else ""
            return f"Thickness{of}: {self._thick(low)} to {self._thick(high)}."
        if node.kind == "balance" and not says["chosen"]:
            return f"{capital(attribute_called(self.rulebase, self.found.name))} is open."
        if node.kind == "balance":
            other = f", not {self.found.other}" if self.found.other else ""
            chosen = values_called(self.rulebase, self.found.name, says["chosen"], joiner="or")
            return f"{capital(attribute_called(self.rulebase, self.found.name))}: {chosen}{other}."
        if node.kind == "outcome":
            return f"Outcome: {outcome_words(says)}."
        if node.kind == "caution":
            return f"Caution, {says['about']}: it applies."
        if node.kind == "amount":
            return f"Amount: {form_counted(self.rulebase, says['form'], says['count'])}."
        if node.kind == "conflict":
            left = tell(says["left"], self.rulebase).rstrip(".")
            return f"{capital(attribute_called(self.rulebase, str(says['about'])))}: {left}."
        if node.kind in ("failed", "open", "absence"):
            return self.words.statement(node)
        if node.kind == "applied":
            since = listed(dict.fromkeys(plain(grammar_said(self.rulebase, p["says"])) for p in says["premises"]))
            return f"The rule {rule_called(self.rulebase, says['rule'])} holds: {since}."
        return f"{capital(self._node_said(node))}."

    def answers(self, most: int) -> str:
        names = sorted((n for n in self.decides.answers if n != self.found.name), key=lambda n: n != "item")
        if not names or not most:
            return ""
        told = [self._fact_said(n) for n in names[:most]]
        more = [f"{len(names) - most} more"] if len(names) > most else []
        return f"You said: {listed([*told, *more])}."

    def reasons(self) -> Sequence[str]:
        """The reason sentence, the fullest wording first."""
        node, says = self.found.node, self.found.node.says
        if node.kind == "answer":
            return [f'You said so: "{says["words"]}".' if says["words"] else "You said so."]
        if node.kind == "computed" and says["formula"] == "lookup":
            return [self.words.looked_up(node), "It is looked up."]
        if node.kind == "computed":
            in_words = f"Reckoned: {says.get('words', says['formula'])}."
            return [f"Reckoned: {says['line']}.", in_words, "It is reckoned."]
        if node.kind == "amount":
            gross = show(says["gross_dm2"], "dm2", self.words.units)
            return [f"Counted by {how_counted(says['how'])}; with waste the pieces take {gross}."]
        if node.kind in ("failed", "open", "absence"):
            return [""]
        if node.kind == "withdrawn":
            return [self.words.statement(node), f"{self._rule(says['winner'])} goes before it."]
        if node.kind == "window":
            return self._window()
        if node.kind == "balance":
            return self._balance()
        rules = [n for n in (node, *node.rests) if n.kind == "applied"]
        if not rules:
            return ["No rule speaks against it."] if node.kind == "outcome" else [""]
        first = max(rules, key=lambda n: n is node or self._cites(n))
        rule = self._rule(first.says["rule"])
        return [f"{first.says['because']} [{rule}]", f"[{rule}]"]

    def main(self) -> str:
        """The nearest defeat or supposition without which the conclusion would be another."""
        if self.decides.withdrawal:
            says = self.decides.withdrawal.says
            return f"{self._rule(says['winner'])} goes before {self._rule(says['loser'])}."
        if self.decides.supposition:
            return f"I assumed: {self._fact_said(self.decides.supposition)}."
        return ""

    def evidence(self) -> str:
        place, _ = Evidence(self.proof.run.rulebase.attributes).weakest(self.found.node)
        return f"Evidence: {GRADE_WORDS[GRADES[place]]}." if place >= 0 else ""

    def _thick(self, mm: float) -> str:
        return show_thickness(mm, self.words.units)

    def _fact_said(self, name: str) -> str:
        node = self.proof.fact(name)
        return self._node_said(node) if node is not None and not name.startswith("piece.") else plain(name)

    def _node_said(self, node: Node) -> str:
        """A fact in the words of the thing, anything else in brief."""
        says = node.says
        if says.get("value") and says.get("name") in self.rulebase.attributes:
            values = [float(v) if isinstance(v, int | float) else str(v) for v in says["value"]]
            more = f" and {len(values) - MOST_NAMED} more" if len(values) > MOST_NAMED + 1 else ""
            named = values[:MOST_NAMED] if more else values
            return said(self.rulebase, says["name"], named, self._item(), self.words.units) + more
        return self.words.brief(node)

    def _item(self) -> str | None:
        known = self.proof.run.known.get("item")
        return str(known.values[0]) if known and known.values else None

    def _rule(self, rule: str) -> str:
        return rule_called(self.rulebase, rule)

    @property
    def rulebase(self) -> RuleBase:
        """The rule base of the proof."""
        return self.proof.run.rulebase

    def _cites(self, rule: Node) -> bool:
        """Whether a rule reads an answer that decides, other than what is being made."""
        wanted = set(self.decides.answers) - {"item"}
        return any(f[0] in wanted for p in rule.says["premises"] for f in p["found"])

    def _window(self) -> Sequence[str]:
        bounds = [b for b in self.found.node.rests if b.kind == "bound"]
        if not bounds:
            return [""]
        if self.found.node.says["low_mm"] is None and self.found.node.says["high_mm"] is None:
            return [" ".join(f"{capital(self._bound(b))}." for b in bounds[:2])]
        rules = self.proof.run.rulebase.rules
        # A reckoned end says more than a habit, and a rule of the trade more than the item's own range.
        first = min(bounds, key=lambda b: (not b.says["line"], rules[b.says["rule"]].item is not None))
        because = rules[first.says["rule"]].because
        side = f"{capital(first.says['side'])} {self._thick(first.says['mm'])}"
        rule = self._rule(first.says["rule"])
        return [f"{side}: {because} [{rule}]", f"{side} by {rule}."]

    def _bound(self, bound: Node) -> str:
        says = bound.says
        return f"{says['side']} {self._thick(says['mm'])} [{self._rule(says['rule'])}]"

    def _balance(self) -> Sequence[str]:
        says = self.found.node.says
        entries = [
            e for e in says["entries"] if e["counts"] and e["by"] in self.found.node.rests and e["act"] != "disfavour"
        ]
        if not entries:
            return [self._left(says)]
        chosen = says["chosen"][:1]

        def weight(entry: dict[str, Any]) -> tuple[bool, bool, int]:
            return not self._cites(entry["by"]), entry["candidate"] not in chosen, _FORCE.index(entry["strength"])

        first = min(entries, key=weight)
        named = capital(values_called(self.rulebase, self.found.name, [first["candidate"]]))
        out = f"{named} is ruled out: " if first["candidate"] not in chosen else ""
        if not self._cites(first["by"]) and (rival := self._rival(says["entries"], chosen)):
            return [rival]
        level = [] if out or self.found.name != TIED or not says["chosen"][1:] else self._level(says["chosen"])
        return [*level, f"{out}{first['because']} [{self._rule(first['rule'])}]", f"[{self._rule(first['rule'])}]"]

    def _rival(self, entries: Sequence[Mapping[str, Any]], chosen: Sequence[str]) -> str:
        """What an answer that decides says against a rival, where it says nothing for what was chosen."""
        rivals = self.decides.without or []
        against = [
            e
            for e in entries
            if e["counts"]
            and e["act"] in ("disfavour", "exclude")
            and e["candidate"] in rivals
            and e["candidate"] not in chosen
            and self._cites(e["by"])
        ]
        if not against:
            return ""
        first = min(against, key=lambda e: _FORCE.index(e["strength"]))
        named = values_called(self.rulebase, self.found.name, [first["candidate"]])
        return f"Against {named}: {first['because']} [{self._rule(first['rule'])}]"

    def _left(self, says: Mapping[str, Any]) -> str:
        """Why something is chosen for which nothing speaks: what else there is was ruled out."""
        if not says["chosen"] or not says["excluded"]:
            return "Nothing known speaks for any."
        named = capital(values_called(self.rulebase, self.found.name, says["chosen"], joiner="or"))
        if self.found.name == "form":
            return f"{named} is what is left: the pieces fit on no smaller form."
        return f"{named} is what is left: {len(says['excluded'])} others are ruled out."

    def _level(self, chosen: Sequence[str]) -> list[str]:
        """What decides between candidates that stand level, else an answer that would make one of them lead."""
        run = self.proof.run
        voice = Voice(run.rulebase, self._item(), units=self.words.units)
        takes = level_short(voice, self.found.name, take_if(run.rulebase, self.found.name, chosen))
        found = parted(present(run.rulebase, run.answers, run.house), self.found.name)
        count = {2: "Both", 3: "All three"}.get(len(chosen), "All")
        each = [
            f"{values_called(run.rulebase, self.found.name, [c])} if you say {voice.quoted(*found[c])}"
            for c in chosen
            if c in found
        ]
        return [t for t in (takes, f"{count} are equally good: {listed(each)}." if each else "") if t]

"""What is doubtful about a rule base that loads: one-pass checks, each a small function.

An error is something that can never do what its author meant; a warning is something to look at.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from ..leather.formulas import FORMULAS
from ..leather.pieces import attributes_in, parse_size
from .declarations import ATTRIBUTES, DECISIONS
from .load import CAUTIONS, CLASHES, SOURCES
from .models import BOUNDS, Act, Premise, Rule, RuleBase, Value
from .strata import node_of, reads

LONGEST_SENTENCE = 25
"""Words."""

_NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.]*\d)")
_FILES = {
    "attribute": ATTRIBUTES, "decision": DECISIONS, "source": SOURCES, "caution": CAUTIONS, "clash": CLASHES,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Finding:
    """One doubt.

    ``line`` counts from 1 (0 if unknown), ``where`` is the rule, item or declaration, ``hint`` a way out.
    """

    severity: Literal["error", "warning"]
    file: str
    line: int
    where: str
    what: str
    hint: str = ""

    def __str__(self) -> str:
        return f"{self.file}:{self.line} [{self.where}] {self.severity}: {self.what} {self.hint}".rstrip()


@dataclass(frozen=True, slots=True)
class Summary:
    """How much a rule base says and on what ground.

    ``rules`` counts the written rules by file; ``basis`` gives the share of them, 0 to 1, that rest on
    a published text that was opened, a published text that was not, common practice or an estimate.
    """

    rules: Mapping[str, int]
    basis: Mapping[str, float]
    items: int
    attributes: int
    decisions: int
    cautions: int


Check = Callable[[RuleBase], Iterator[Finding]]


def check(rulebase: RuleBase) -> list[Finding]:
    """Every finding, errors first, then by file and line."""
    found = [finding for one in CHECKS for finding in one(rulebase)]
    return sorted(found, key=lambda f: (f.severity, f.file, f.line, f.where, f.what))


def coverage(rulebase: RuleBase) -> Summary:
    """Counts and shares over the written rules; what items suppose and rank is counted as items."""
    rules = _written(rulebase)
    shares = dict.fromkeys(("published, opened", "published, not opened", "common practice", "estimate"), 0.0)
    for rule in rules:
        opened = any(rulebase.sources[s].opened for s in rule.source)
        ground = f"published, {'opened' if opened else 'not opened'}" if rule.basis == "published" else rule.basis
        shares[ground] += 1 / len(rules)
    return Summary(
        Counter(rule.file for rule in rules), shares, len(rulebase.items), len(rulebase.attributes),
        len(rulebase.decisions), len(rulebase.cautions),
    )  # fmt: skip


# -- finding one's way


def _written(rulebase: RuleBase) -> list[Rule]:
    """The rules that stand in rule files, without those made from items."""
    return [rule for rule in rulebase.rules.values() if rule.item is None]


def _warn(rule: Rule, what: str, hint: str = "") -> Finding:
    return Finding("warning", rule.file, rule.line, rule.item or rule.id, what, hint)


def _fault(rule: Rule, what: str, hint: str = "") -> Finding:
    return Finding("error", rule.file, rule.line, rule.item or rule.id, what, hint)


def _declared(rulebase: RuleBase, kind: str, name: str, what: str, hint: str = "") -> Finding:
    line = rulebase.memo.get("lines", {}).get((kind, name), 0)
    return Finding("warning", _FILES[kind], line, name, what, hint)


def _targets(rulebase: RuleBase, *acts: Act) -> set[str]:
    return {c.target for rule in rulebase.rules.values() for c in rule.then if c.act in acts}


def _nodes_read(rulebase: RuleBase) -> set[str]:
    """Everything that a premise, a bound, a formula, a pattern or the basket looks at."""
    read = {node for rule in rulebase.rules.values() for node in reads(rule)}
    read |= {node_of(origin) for a in rulebase.attributes.values() for origin in a.inputs.values()}
    for item in rulebase.items.values():
        texts = [text for piece in item.pieces for text in (piece.length, piece.width)]
        texts += [text for zone in item.zones for text in (zone.stack, zone.skived, zone.seam) if text]
        read |= {name for text in texts for name in attributes_in(parse_size(text))}
        if any(zone.skived for zone in item.zones):
            read.add("skive")
    basket = {a.name: a for a in rulebase.attributes.values() if a.group == "basket"}
    filled = {name for name, a in basket.items() if a.formula} | _targets(rulebase, "set", "add", "suppose")
    return read | (basket.keys() & filled)


def _meaning(premise: Premise) -> tuple[object, ...]:
    return premise.attribute, premise.operator, premise.values, premise.other


def _says(rule: Rule) -> frozenset[str]:
    return frozenset(c.text for c in rule.then)


# -- declarations


def unused_cautions(rulebase: RuleBase) -> Iterator[Finding]:
    """Cautions that no rule raises."""
    for name in rulebase.cautions.keys() - _targets(rulebase, "caution"):
        yield _declared(rulebase, "caution", name, "no rule raises this caution.", "Raise it or take it out.")


def unused_clashes(rulebase: RuleBase) -> Iterator[Finding]:
    """Clashes that no rule finds."""
    for name in rulebase.clashes.keys() - _targets(rulebase, "clash"):
        yield _declared(rulebase, "clash", name, "no rule finds this clash.", "Find it or take it out.")


def unused_sources(rulebase: RuleBase) -> Iterator[Finding]:
    """Sources that nothing cites."""
    cited = {s for rule in rulebase.rules.values() for s in rule.source}
    cited |= {s for caution in rulebase.cautions.values() for s in caution.source}
    cited |= {s for d in rulebase.decisions.values() for p in d.properties.values() for s in p.source}
    cited |= {s for a in rulebase.attributes.values() if a.formula for s in FORMULAS[a.formula].source}
    for name in rulebase.sources.keys() - cited:
        yield _declared(rulebase, "source", name, "nothing cites this source.", "Cite it or take it out.")


def unread_attributes(rulebase: RuleBase) -> Iterator[Finding]:
    """Attributes whose answer or result can change nothing."""
    for name in rulebase.attributes.keys() - _nodes_read(rulebase):
        attribute = rulebase.attributes[name]
        how = "computed" if attribute.formula else "asked" if attribute.ask != "never" else "kept"
        what = f"this is {how} and nothing reads it."
        yield _declared(rulebase, "attribute", name, what, "Write a rule or take it out.")


def unmentioned_values(rulebase: RuleBase) -> Iterator[Finding]:
    """Two or more values of a choice that no rule and no item mentions: nothing tells them apart.

    One such value is in order; it stands for "none of the others".
    """
    mentioned: dict[str, set[Value]] = defaultdict(set)
    for rule in rulebase.rules.values():
        for premise in rule.when:
            mentioned[premise.attribute].update(premise.values)
        for conclusion in rule.then:
            mentioned[conclusion.target].update(conclusion.values)
    elsewhere = [rulebase.items.keys(), *(d.candidates.keys() for d in rulebase.decisions.values())]
    worked_on = {origin for a in rulebase.attributes.values() for origin in a.inputs.values()}
    for name, attribute in rulebase.attributes.items():
        if attribute.kind != "choice" or name in worked_on or attribute.values.keys() in elsewhere:
            continue
        unmentioned = [value for value in attribute.values if value not in mentioned[name]]
        if len(unmentioned) > 1:
            yield _declared(rulebase, "attribute", name, f"no rule or item tells {' from '.join(unmentioned)}.",
                            "Write a rule or make them one value.")  # fmt: skip


def unfavoured_candidates(rulebase: RuleBase) -> Iterator[Finding]:
    """Candidates that no rule or item ever speaks for."""
    for decision in rulebase.choices():
        favours = [
            c for rule in rulebase.rules.values() for c in rule.then
            if c.target == decision.name and c.act in ("favour", "require")
        ]  # fmt: skip
        if any(c.attribute for c in favours):
            continue
        for candidate in decision.candidates.keys() - {v for c in favours for v in c.values}:
            yield _declared(rulebase, "decision", decision.name, f"nothing ever favours {candidate}.",
                            "It can only be advised where nothing is ranked.")  # fmt: skip


def bare_items(rulebase: RuleBase) -> Iterator[Finding]:
    """Items without a ranking, a weight or pieces, unless a rule about the item refuses leather."""
    refused = {
        slug for rule in _written(rulebase)
        if any(c.act == "outcome" and c.target in ("refuse", "another_material") for c in rule.then)
        for premise in rule.when if premise.attribute == "item" and premise.operator in ("is", "in")
        for slug in premise.values
    }  # fmt: skip
    for slug, item in rulebase.items.items():
        parts = (("tannage ranking", "tannage" in item.ranks), ("weight", item.weight), ("pieces", item.pieces))
        missing = [what for what, there in parts if not there]
        if missing and slug not in refused:
            yield _fault(rulebase.rules[f"{slug}/habits"], f"this item has no {' and no '.join(missing)}.",
                         "Add it, or refuse the item by a rule.")  # fmt: skip


# -- rules


def twin_rules(rulebase: RuleBase) -> Iterator[Finding]:
    """Rules with the same premises and the same conclusions."""
    first: dict[object, Rule] = {}
    for rule in _written(rulebase):
        other = first.setdefault((frozenset(map(_meaning, rule.when)), _says(rule)), rule)
        if other is not rule:
            yield _fault(rule, f"this says the same as {other.id} on the same premises.", "Keep one of them.")


def subsumed_rules(rulebase: RuleBase) -> Iterator[Finding]:
    """Rules that say what another of the same force already says on fewer premises."""
    alike: dict[object, list[Rule]] = defaultdict(list)
    for rule in _written(rulebase):
        alike[_says(rule), rule.force].append(rule)
    for rules in alike.values():
        for rule in rules:
            narrow = set(map(_meaning, rule.when))
            for other in rules:
                if set(map(_meaning, other.when)) < narrow:
                    yield _warn(rule, f"{other.id} already says this on fewer premises.", "Keep the wider rule.")


def impossible_rules(rulebase: RuleBase) -> Iterator[Finding]:
    """Rules whose premises contradict each other."""
    for rule in _written(rulebase):
        name = _contradiction(rulebase, rule.when)
        if name:
            yield _fault(rule, f"its premises about {name} contradict each other, so it never fires.")


def preferences_that_never_meet(rulebase: RuleBase) -> Iterator[Finding]:
    """A rule preferred to one that can never hold together with it."""
    for rule in _written(rulebase):
        for loser in rule.over:
            name = _contradiction(rulebase, (*rule.when, *rulebase.rules[loser].when))
            if name:
                yield _fault(rule, f"it never holds together with {loser}: they contradict each other on {name}.",
                             "Take it out of over.")  # fmt: skip


def idle_preferences(rulebase: RuleBase) -> Iterator[Finding]:
    """A rule preferred to one with which it shares nothing.

    A caution is never withdrawn. A clash stands for the demands of both sides, so it may withdraw any.
    """
    for rule in _written(rulebase):
        about = _withdrawable(rule)
        for loser in rule.over:
            beaten = _withdrawable(rulebase.rules[loser])
            if not beaten:
                yield _fault(rule, f"{loser} only raises cautions, which are never withdrawn.", "Take it out of over.")
            elif not about & beaten and not any(c.act == "clash" for c in rule.then):
                yield _warn(rule, f"it speaks of nothing that {loser} speaks of.", "Take it out of over.")


def _withdrawable(rule: Rule) -> set[str]:
    return {"the outcome" if c.act in ("outcome", "clash") else c.target for c in rule.then if c.act != "caution"}


def _contradiction(rulebase: RuleBase, premises: Sequence[Premise]) -> str | None:
    """The name on which the premises cannot hold together, or None."""
    about: dict[str, list[Premise]] = defaultdict(list)
    for premise in premises:
        about[premise.attribute].append(premise)
    for name, tests in about.items():
        operators = {t.operator for t in tests}
        lacked = {v for t in tests if t.operator == "lacks" for v in t.values}
        present = [set(t.values) for t in tests if t.operator in ("is", "in")]
        if ("unknown" in operators and len(operators) > 1) or any(values <= lacked for values in present):
            return name
        attribute = rulebase.attributes.get(name)
        if name.endswith(("_offered", "_excluded")) or (attribute is not None and attribute.kind == "set"):
            continue
        barred = {v for t in tests if t.operator == "is not" for v in t.values}
        if present and not {v for v in set.intersection(*present) - barred if _within(v, tests)}:
            return name
        ends = {v for t in tests if t.operator in ("<", "<=", ">", ">=") for v in t.values if isinstance(v, float)}
        # Limits that leave anything leave one of their ends or a number between two of them.
        between = {(a + b) / 2 for a in ends for b in ends} | {end + step for end in ends for step in (-1, 1)}
        if ends and not any(_within(v, tests) for v in between):
            return name
    return None


def _within(value: Value, tests: Iterable[Premise]) -> bool:
    """Whether a number passes all comparisons with numbers; a word always does."""
    if not isinstance(value, float):
        return True
    compare: Mapping[str, Callable[[float, float], bool]] = {
        "<": lambda a, b: a < b, "<=": lambda a, b: a <= b, ">": lambda a, b: a > b, ">=": lambda a, b: a >= b,
    }  # fmt: skip
    return all(compare[t.operator](value, float(v)) for t in tests if t.operator in compare for v in t.values)


def no_remedies(rulebase: RuleBase) -> Iterator[Finding]:
    """Bounds and exclusions that forbid without a way out."""
    for rule in _written(rulebase):
        forbids = rule.force == "must" and any(c.act in (*BOUNDS, "exclude", "require") for c in rule.then)
        if forbids and not rule.remedies:
            yield _warn(rule, "it forbids and names no way out.", "Add remedies.")


def unopened_musts(rulebase: RuleBase) -> Iterator[Finding]:
    """Musts that rest on published texts nobody has opened."""
    for rule in _written(rulebase):
        opened = any(rulebase.sources[s].opened for s in rule.source)
        if rule.force == "must" and rule.basis == "published" and not opened:
            yield _warn(rule, f"nobody opened {', '.join(rule.source)}.", "Open it, or lower the force.")


# -- sentences


def _sentences(rulebase: RuleBase) -> Iterator[tuple[Finding, str, str]]:
    """All running text: the finding to report about it, the key and the text."""
    for rule in rulebase.rules.values():
        for key, text in (
            ("because", rule.because), ("over_because", rule.over_because), ("contested", rule.contested),
            *(("remedies", r) for r in rule.remedies), *((c.text, c.because or "") for c in rule.then),
        ):  # fmt: skip
            yield _fault(rule, ""), key, text
    for caution in rulebase.cautions.values():
        yield _declared(rulebase, "caution", caution.id, ""), "say", caution.say
    for clash in rulebase.clashes.values():
        for key, text in (("say", clash.say), *(("resolutions", r) for r in clash.resolutions)):
            yield _declared(rulebase, "clash", clash.id, ""), key, text
    for a in rulebase.attributes.values():
        for key, text in (("question", a.question), ("help", a.help), ("dont_know", a.dont_know)):
            yield _declared(rulebase, "attribute", a.name, ""), key, text
    for d in rulebase.decisions.values():
        for column in d.properties.values():
            yield _declared(rulebase, "decision", d.name, ""), column.name, column.because


def long_sentences(rulebase: RuleBase) -> Iterator[Finding]:
    """Sentences of more words than a reader takes in at once."""
    for at, key, text in _sentences(rulebase):
        for sentence in re.split(r"(?<=[.!?])\s+", text):
            count = len(sentence.split())
            if count > LONGEST_SENTENCE:
                yield Finding("error", at.file, at.line, at.where,
                              f'{key} has a sentence of {count} words: "{sentence[:40]}...".',
                              f"Keep it to {LONGEST_SENTENCE}.")  # fmt: skip


def repeated_because(rulebase: RuleBase) -> Iterator[Finding]:
    """The same reason given for two rules; one of them says too little."""
    first: dict[str, Rule] = {}
    for rule in _written(rulebase):
        other = first.setdefault(rule.because.lower(), rule)
        if other is not rule:
            yield _warn(rule, f"its because is that of {other.id}, word for word.", "Say what is true of this one.")


def loose_numbers(rulebase: RuleBase) -> Iterator[Finding]:
    """A number in a reason that neither the rule, its candidates, its cautions nor its sources hold."""
    for rule in _written(rulebase):
        texts = [p.text for p in rule.when] + [c.text for c in rule.then]
        texts += [rulebase.cautions[c.target].say for c in rule.then if c.act == "caution"]
        texts += [f"{s.title} {s.clause} {s.note}" for s in map(rulebase.sources.__getitem__, rule.source)]
        known: set[Value] = {float(n) for text in texts for n in _NUMBER.findall(text)}
        for c in rule.then:
            decision = rulebase.decisions.get(c.target)
            candidates = decision.candidates if decision else {}
            for value in candidates.keys() & set(c.values):
                known.update(candidates[value].properties.values())
        for number in _NUMBER.findall(rule.because):
            if float(number) not in known:
                yield _warn(rule, f"its because says {number}, which the rule does not use.", "Use it or leave it out.")


CHECKS: tuple[Check, ...] = (
    unused_cautions, unused_clashes, unused_sources, unread_attributes, unmentioned_values, unfavoured_candidates,
    bare_items, twin_rules, subsumed_rules, impossible_rules, preferences_that_never_meet, idle_preferences,
    no_remedies, unopened_musts, long_sentences, repeated_because, loose_numbers,
)  # fmt: skip

"""What is doubtful about a rule base that loads: one-pass checks, each a small function.

An error is something that can never do what its author meant; a warning is something to look at.
"""

from __future__ import annotations

import operator
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from .findings import Check, Finding, declared, fault, warn, written
from .lint_candidates import CANDIDATE_CHECKS
from .lint_declarations import DECLARATION_CHECKS
from .lint_labels import LABEL_CHECKS
from .lint_reach import REACH_CHECKS
from .lint_words import WORD_CHECKS
from .models import BOUNDS, MOST_PREMISES, READ_OFF, Premise, Rule, RuleBase, Value
from .strata import node_of

LONGEST_SENTENCE = 25
"""Words."""

FINE_STEPS = (0.01, 0.1)
"""How far apart, in its unit, two limits of a measure stand when a border was written twice by mistake."""

_COMPARE: Mapping[str, Callable[[float, float], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}
_NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.]*\d)")


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


def check(rulebase: RuleBase) -> list[Finding]:
    """Every finding, errors first, then by file and line."""
    found = [finding for one in (*CHECKS, *WORD_CHECKS) for finding in one(rulebase)]
    return sorted(found, key=lambda f: (f.severity, f.file, f.line, f.where, f.what))


def coverage(rulebase: RuleBase) -> Summary:
    """Counts and shares over the written rules; what items suppose and rank is counted as items."""
    rules = written(rulebase)
    shares = dict.fromkeys(("published, opened", "published, not opened", "common practice", "estimate"), 0.0)
    for rule in rules:
        opened = any(rulebase.sources[s].opened for s in rule.source)
        ground = f"published, {'opened' if opened else 'not opened'}" if rule.basis == "published" else rule.basis
        shares[ground] += 1 / len(rules)
    return Summary(
        Counter(rule.file for rule in rules),
        shares,
        len(rulebase.items),
        len(rulebase.attributes),
        len(rulebase.decisions),
        len(rulebase.cautions),
    )


def _meaning(premise: Premise) -> tuple[object, ...]:
    return premise.attribute, premise.operator, premise.values, premise.other


def _says(rule: Rule) -> frozenset[str]:
    return frozenset(c.text for c in rule.then)


# -- rules


def twin_rules(rulebase: RuleBase) -> Iterator[Finding]:
    """Rules with the same premises and the same conclusions."""
    first: dict[object, Rule] = {}
    for rule in written(rulebase):
        other = first.setdefault((frozenset(map(_meaning, rule.when)), _says(rule)), rule)
        if other is not rule:
            yield fault(rule, f"this says the same as {other.id} on the same premises.", "Keep one of them.")


def subsumed_rules(rulebase: RuleBase) -> Iterator[Finding]:
    """Rules that say what another of the same force already says on fewer premises."""
    alike: dict[object, list[Rule]] = defaultdict(list)
    for rule in written(rulebase):
        alike[_says(rule), rule.force].append(rule)
    for rules in alike.values():
        for rule in rules:
            narrow = set(map(_meaning, rule.when))
            for other in rules:
                if set(map(_meaning, other.when)) < narrow:
                    yield warn(rule, f"{other.id} already says this on fewer premises.", "Keep the wider rule.")


def impossible_rules(rulebase: RuleBase) -> Iterator[Finding]:
    """Rules whose premises contradict each other."""
    for rule in written(rulebase):
        name = _contradiction(rulebase, rule.when)
        if name:
            yield fault(rule, f"its premises about {name} contradict each other, so it never fires.")


def crowded_rules(rulebase: RuleBase) -> Iterator[Finding]:
    """Rules of more tests than an engine takes, which would stop every consultation."""
    for rule in rulebase.rules.values():
        tests = tests_of(rule)
        if tests > MOST_PREMISES:
            yield fault(
                rule,
                f"its premises are {tests} tests, and an engine takes {MOST_PREMISES}; "
                '"lacks" and two names compared are two each.',
                "Split it in two, or let a rule of its own conclude what some of them say together.",
            )


def tests_of(rule: Rule) -> int:
    """How many tests an engine makes of the premises: a repeated one counts once, one of two names twice."""
    tests: set[tuple[object, ...]] = set()
    for premise in rule.when:
        name, operator, values = premise.attribute, premise.operator, premise.values
        if premise.other is not None:
            tests |= {(name, "any"), (premise.other, "any")}
        elif operator == "lacks":
            tests |= {(name, "known"), (name, "lacks", values)}
        elif operator == "known":
            tests.add((name, "known"))
        else:
            tests.add((name, operator, values))
    return len(tests)


def preferences_that_never_meet(rulebase: RuleBase) -> Iterator[Finding]:
    """A rule preferred to one that can never hold together with it."""
    for rule in written(rulebase):
        for loser in rule.over:
            name = _contradiction(rulebase, (*rule.when, *rulebase.rules[loser].when))
            if name:
                yield fault(
                    rule,
                    f"it never holds together with {loser}: they contradict each other on {name}.",
                    "Take it out of over.",
                )


def idle_preferences(rulebase: RuleBase) -> Iterator[Finding]:
    """A rule preferred to one with which it shares nothing.

    A caution is never withdrawn. A clash stands for the demands of both sides, so it may withdraw any.
    """
    for rule in written(rulebase):
        about = _withdrawable(rule)
        for loser in rule.over:
            beaten = _withdrawable(rulebase.rules[loser])
            if not beaten:
                yield fault(rule, f"{loser} only raises cautions, which are never withdrawn.", "Take it out of over.")
            elif not about & beaten and not any(c.act == "clash" for c in rule.then):
                yield warn(rule, f"it speaks of nothing that {loser} speaks of.", "Take it out of over.")


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
        if name.endswith(READ_OFF) or (attribute is not None and attribute.kind == "set"):
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
    return all(_COMPARE[t.operator](value, float(v)) for t in tests if t.operator in _COMPARE for v in t.values)


def empty_premises(rulebase: RuleBase) -> Iterator[Finding]:
    """Premises that hold for every value their attribute can have."""
    for rule in written(rulebase):
        for text in dict.fromkeys(p.text for p in rule.when):
            tests = [p for p in rule.when if p.text == text]
            if all(_always(rulebase, p) for p in tests):
                name = tests[0].attribute
                yield warn(rule, f'"{text}" is true of every {name}.', f'Write "{name} is known", or take it out.')


def _always(rulebase: RuleBase, premise: Premise) -> bool:
    attribute = rulebase.attributes.get(premise.attribute)
    decision = rulebase.decisions.get(node_of(premise.attribute))
    if premise.operator == "in" and (attribute or decision):
        domain = attribute.values if attribute else decision.candidates if decision else {}
        return 0 < len(domain) <= len(domain.keys() & set(premise.values))
    if attribute is None or attribute.low is None or attribute.high is None or premise.operator not in _COMPARE:
        return False
    # A comparison with a number that holds at both ends holds between them.
    return premise.other is None and all(_within(end, [premise]) for end in (attribute.low, attribute.high))


def mergeable_rules(rulebase: RuleBase) -> Iterator[Finding]:
    """Two rules that could be one with "is one of": alike but for the values of one premise.

    They must give one reason, or be named alike up to their last word, to be worth a look.
    """
    beaten_by: dict[str, set[str]] = defaultdict(set)
    for rule in written(rulebase):
        for loser in rule.over:
            beaten_by[loser].add(rule.id)
    alike: dict[object, list[Rule]] = defaultdict(list)
    for rule in written(rulebase):
        beaten = frozenset(beaten_by[rule.id])
        alike[_says(rule), rule.force, rule.concern, rule.basis, rule.source, rule.over, beaten].append(rule)
    for rules in alike.values():
        for first, second in combinations(rules, 2):
            name = _one_apart(first, second)
            same = first.because.lower() == second.because.lower()
            if name and (same or first.id.rpartition("-")[0] == second.id.rpartition("-")[0] != ""):
                yield warn(second, f"but for {name} it is {first.id}.", f'Make them one: "{name} is one of ...".')


def _one_apart(first: Rule, second: Rule) -> str | None:
    """The attribute of the only premises in which two rules differ, if both only list its values."""
    here, there = ({_meaning(p): p for p in rule.when} for rule in (first, second))
    mine, other = ([p for key, p in a.items() if key not in b] for a, b in ((here, there), (there, here)))
    if len(mine) != 1 or len(other) != 1 or mine[0].attribute != other[0].attribute:
        return None
    return mine[0].attribute if {mine[0].operator, other[0].operator} <= {"is", "in"} else None


def threshold_edges(rulebase: RuleBase) -> Iterator[Finding]:
    """Two rules about one thing whose limits on one number leave a sliver between them, or overlap by one."""
    limits: dict[str, list[tuple[Rule, Premise]]] = defaultdict(list)
    exact: dict[str, set[Value]] = defaultdict(set)
    for rule in written(rulebase):
        for p in rule.when:
            if p.operator in _COMPARE and p.other is None:
                limits[p.attribute].append((rule, p))
            elif p.operator in ("is", "in"):
                exact[p.attribute].update(p.values)
    for name, found in limits.items():
        attribute = rulebase.attributes.get(name)
        count = attribute is not None and attribute.kind == "count"
        uppers = [(r, p) for r, p in found if p.operator in ("<", "<=")]
        lowers = [(r, p) for r, p in found if p.operator in (">", ">=")]
        for upper, lower in product(uppers, lowers):
            (rule, below), (other, above) = upper, lower
            flaw = _edge(below, above, count) if rule is not other and _neighbours(rule, other, name) else ""
            if flaw and not (flaw == "leave a hole" and below.values[0] in exact[name]):
                yield warn(
                    rule,
                    f'"{below.text}" and "{above.text}" of {other.id} {flaw}.',
                    "Let one end where the other starts.",
                )


def _neighbours(rule: Rule, other: Rule, name: str) -> bool:
    """Whether two rules speak of one thing and read the same but for ``name``, or one of them more."""
    here, there = ({_meaning(p) for p in r.when if p.attribute != name} for r in (rule, other))
    return bool(_about(rule) & _about(other)) and (here <= there or there <= here)


def _about(rule: Rule) -> set[tuple[str, Value]]:
    """What a rule speaks of; what it excludes is a subject by itself, what it favours stands against all others."""
    return {(c.target, v) for c in rule.then for v in (c.values if c.act == "exclude" else ("",))}


def _edge(below: Premise, above: Premise, count: bool) -> str:
    """What is wrong between an upper and a lower limit, if they are neighbours; numbers of one unit."""
    high, low = float(below.values[0]), float(above.values[0])
    closed = (below.operator == "<=") + (above.operator == ">=")
    if count:
        # Whole numbers that neither rule holds for; negative if both do.
        between = low - high + 1 - closed
        return {1.0: "leave a hole", -1.0: "overlap by one"}.get(between, "")
    apart = round(low - high, 6)
    if apart == 0 and closed != 1:
        return "overlap in one number" if closed else "leave a hole"
    if abs(apart) in FINE_STEPS:
        return "leave a hole" if apart > 0 else "overlap by a step"
    return ""


def no_remedies(rulebase: RuleBase) -> Iterator[Finding]:
    """Bounds and exclusions that forbid without a way out."""
    for rule in written(rulebase):
        forbids = rule.force == "must" and any(c.act in (*BOUNDS, "exclude", "require") for c in rule.then)
        if forbids and not rule.remedies:
            yield warn(rule, "it forbids and names no way out.", "Add remedies.")


def unopened_musts(rulebase: RuleBase) -> Iterator[Finding]:
    """Musts that rest on published texts nobody has opened."""
    for rule in written(rulebase):
        opened = any(rulebase.sources[s].opened for s in rule.source)
        if rule.force == "must" and rule.basis == "published" and not opened:
            yield warn(rule, f"nobody opened {', '.join(rule.source)}.", "Open it, or lower the force.")


def orders_of_deferrals(rulebase: RuleBase) -> Iterator[Finding]:
    """Deferrals that leave open whether an order is shown, and other rules that speak of it."""
    for rule in written(rulebase):
        defers = any(c.act == "outcome" and c.target == "defer" for c in rule.then)
        if defers and not rule.order:
            yield fault(
                rule,
                "it defers and does not say whether an order is shown.",
                'Write order = "withheld" or order = "shown".',
            )
        elif rule.order and not defers:
            yield fault(rule, f'it does not defer, so order = "{rule.order}" says nothing.', "Take it out.")


def unending_dangers(rulebase: RuleBase) -> Iterator[Finding]:
    """Rules that leave the outcome undecided until something happens that nobody is asked for."""
    for rule in written(rulebase):
        undecided = any(c.act == "outcome" and c.target == "undecided" for c in rule.then)
        if undecided and all(rulebase.attributes[name].ask == "never" for name in rule.waits_for):
            yield fault(
                rule,
                "it leaves the outcome undecided and waits for no answer.",
                'Add a premise "ATTRIBUTE is unanswered" about something that is asked.',
            )


# -- sentences


def _sentences(rulebase: RuleBase) -> Iterator[tuple[Finding, str, str]]:
    """All running text: the finding to report about it, the key and the text."""
    for rule in rulebase.rules.values():
        for key, text in (
            ("because", rule.because),
            ("over_because", rule.over_because),
            ("contested", rule.contested),
            *(("remedies", r) for r in rule.remedies),
            *((c.text, c.because or "") for c in rule.then),
        ):
            yield fault(rule, ""), key, text
    for caution in rulebase.cautions.values():
        yield declared(rulebase, "caution", caution.id, ""), "say", caution.say
    for clash in rulebase.clashes.values():
        for key, text in (("say", clash.say), *(("resolutions", r) for r in clash.resolutions)):
            yield declared(rulebase, "clash", clash.id, ""), key, text
    for a in rulebase.attributes.values():
        for key, text in (("question", a.question), ("help", a.help), ("dont_know", a.dont_know)):
            yield declared(rulebase, "attribute", a.name, ""), key, text
    for d in rulebase.decisions.values():
        for column in d.properties.values():
            yield declared(rulebase, "decision", d.name, ""), column.name, column.because


def long_sentences(rulebase: RuleBase) -> Iterator[Finding]:
    """Sentences of more words than a reader takes in at once."""
    for at, key, text in _sentences(rulebase):
        for sentence in re.split(r"(?<=[.!?])\s+", text):
            count = len(sentence.split())
            if count > LONGEST_SENTENCE:
                yield Finding(
                    "error",
                    at.file,
                    at.line,
                    at.where,
                    f'{key} has a sentence of {count} words: "{sentence[:40]}...".',
                    f"Keep it to {LONGEST_SENTENCE}.",
                )


def repeated_because(rulebase: RuleBase) -> Iterator[Finding]:
    """The same reason given for two rules; one of them says too little."""
    first: dict[str, Rule] = {}
    for rule in written(rulebase):
        other = first.setdefault(rule.because.lower(), rule)
        if other is not rule:
            yield warn(rule, f"its because is that of {other.id}, word for word.", "Say what is true of this one.")


def loose_numbers(rulebase: RuleBase) -> Iterator[Finding]:
    """A number in a reason that neither the rule, its candidates, its cautions nor its sources hold."""
    for rule in written(rulebase):
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
                yield warn(rule, f"its because says {number}, which the rule does not use.", "Use it or leave it out.")


CHECKS: tuple[Check, ...] = (
    *DECLARATION_CHECKS,
    *REACH_CHECKS,
    *LABEL_CHECKS,
    *CANDIDATE_CHECKS,
    twin_rules,
    subsumed_rules,
    impossible_rules,
    crowded_rules,
    preferences_that_never_meet,
    idle_preferences,
    empty_premises,
    mergeable_rules,
    threshold_edges,
    no_remedies,
    unopened_musts,
    orders_of_deferrals,
    unending_dangers,
    long_sentences,
    repeated_because,
    loose_numbers,
)

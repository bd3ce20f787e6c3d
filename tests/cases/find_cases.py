"""Finds, for every written rule, a case where it fires and a near miss where it does not.

Run: python tests/cases/find_cases.py. It rewrites the case files beside it. What still holds is kept; the
rest is searched for from the rule's own premises, walking back through the rules and formulas that give
what it reads. The same rule base gives the same files.
"""

from __future__ import annotations

import heapq
import itertools
import json
import math
import random
import sys
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parents[1]))

from advisor.errors import AnswerError, RuleBaseError  # noqa: E402
from advisor.reasoning.cases import Case, CaseError, Said, case_of  # noqa: E402
from advisor.reasoning.consult import Consultation  # noqa: E402
from advisor.reasoning.facts import DOES_NOT_APPLY, DONT_KNOW, RAISED, parse_answer, parse_answers  # noqa: E402
from advisor.rulebase.house import House, load_house  # noqa: E402
from advisor.rulebase.load import load_rulebase  # noqa: E402
from advisor.rulebase.models import (  # noqa: E402
    PATTERN_KINDS,
    Attribute,
    Conclusion,
    Premise,
    Rule,
    RuleBase,
    Value,
)
from advisor.rulebase.patterns import pattern_sizes  # noqa: E402
from advisor.rulebase.strata import node_of, reads, speaks_of  # noqa: E402

SEED = 1
TRIALS = 300
"""Consultations spent on one rule, about a second's worth; more while it has not fired at all."""
MOST_TRIALS = 1500
TURN = 12
MAX_ANSWERS = 6
MAX_DEPTH = 4
HEADER = """# For each rule: answers with which it fires, and a near miss, one answer away, with which it does not.
# Written by find_cases.py, which keeps every case that still holds; edit freely and run it again.
"""

Answers = dict[str, Said]
DEMO_HOUSE = HERE.parents[1] / "transcripts_demo" / "house"


def priced(rulebase: RuleBase, rule: Rule) -> bool:
    """Whether a rule compares money, which only a price list gives; its cases are tried with the demo house."""
    money = {a.name for a in rulebase.attributes.values() if a.unit == "money" and a.ask == "never"}
    return any(p.other in money or (p.attribute in money and p.operator != "unknown") for p in rule.when)


class Outcome(NamedTuple):
    """What a consultation came to: what was known, and each rule that fired with the rule that withdrew it."""

    known: Mapping[str, tuple[Value, ...]]
    fired: Mapping[str, str | None]


def holds(premise: Premise, known: Mapping[str, tuple[Value, ...]]) -> bool:
    """Whether a premise holds on what is known."""
    values = known.get(premise.attribute, ())
    if premise.operator == "known":
        return bool(values)
    if premise.operator == "unknown":
        return not values
    if premise.operator == "lacks":
        return bool(values) and premise.values[0] not in values
    against = known.get(premise.other, ()) if premise.other else premise.values
    if premise.operator in ("is", "in"):
        return any(v in against for v in values)
    if premise.operator == "is not":
        return any(v not in against for v in values)
    pairs = [(float(a), float(b)) for a in values for b in against]
    return any({"<": a < b, "<=": a <= b, ">": a > b, ">=": a >= b}[premise.operator] for a, b in pairs)


def written(value: float, attribute: Attribute) -> Said:
    """A number as a person answers: a quantity with its unit, a count bare."""
    if attribute.kind == "count":
        return int(value)
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return f"{text} {attribute.unit}" if attribute.unit not in ("plain", "percent", "money", "") else text


def as_list(said: Said) -> list[str]:
    return said if isinstance(said, list) else [str(said)]


class Finder:
    """Looks for cases by consulting; every consultation is remembered."""

    def __init__(self, rulebase: RuleBase) -> None:
        self.rulebase = rulebase
        self.seen: dict[str, Outcome | None] = {}
        self.demo = load_house(DEMO_HOUSE, rulebase)
        self.house: House | None = None
        self.trials = 0
        self.supporters: dict[str, list[tuple[Rule, Conclusion]]] = {}
        for rule in rulebase.rules.values():
            for conclusion in rule.then:
                self.supporters.setdefault(conclusion.target, []).append((rule, conclusion))
        self.rules_about: dict[str, list[Rule]] = {}
        for rule in rulebase.rules.values():
            for node in speaks_of(rule):
                self.rules_about.setdefault(node.removesuffix("_excluded"), []).append(rule)
        self.thresholds: dict[str, set[float]] = {}
        for rule in rulebase.rules.values():
            for premise in rule.when:
                if premise.operator in ("<", "<=", ">", ">="):
                    self.thresholds.setdefault(premise.attribute, set()).update(float(v) for v in premise.values)

    def consult(self, answers: Answers) -> Outcome | None:
        """The outcome for these answers, or None when they cannot be given together."""
        key = json.dumps(answers, sort_keys=True) + (" with prices" if self.house else "")
        if key not in self.seen:
            self.trials += 1
            self.seen[key] = self._consult(answers)
        return self.seen[key]

    def _consult(self, answers: Answers) -> Outcome | None:
        try:
            done = Consultation(self.rulebase, parse_answers(self.rulebase, answers), house=self.house)
        except AnswerError:
            return None
        known = {name: k.values for name, k in done.known.items()}
        return Outcome(known, {rule: fired[0].withdrawn_by for rule, fired in done.firings.items()})

    def fires(self, rule: Rule, answers: Answers) -> bool:
        outcome = self.consult(answers)
        return outcome is not None and rule.id in outcome.fired

    def stands(self, rule: Rule, answers: Answers) -> bool:
        outcome = self.consult(answers)
        return outcome is not None and rule.id in outcome.fired and outcome.fired[rule.id] is None

    # -- what can be answered

    def asked(self, name: str) -> bool:
        attribute = self.rulebase.attributes.get(name)
        if attribute is None or attribute.kind == "text":
            return False
        return attribute.ask != "never" or name == RAISED

    def sayable(self, attribute: Attribute, near: Iterable[float] = ()) -> list[Said]:
        """Answers worth trying: every word, or numbers on and around those that matter."""
        if not attribute.numeric:
            return sorted(attribute.values, key=lambda word: word == "none")
        low, high = attribute.low or 0.0, attribute.high if attribute.high is not None else 1000.0
        centres = list(near) or sorted(self.thresholds.get(attribute.name, ()))
        numbers: list[float] = []
        for centre in centres:
            step = 1.0 if attribute.kind == "count" else 10.0 ** (math.floor(math.log10(max(centre, 0.1))) - 1)
            numbers += [centre, centre + step, centre - step, centre + 5 * step, centre - 5 * step]
        if not near:
            numbers += [float(f"{low + share * (high - low):.2g}") for share in (0.1, 0.03, 0.3)]
            numbers += [high, low or high / 100]
        whole = attribute.kind == "count" or attribute.unit in ("day", "degC")
        kept = dict.fromkeys(float(round(n)) if whole else round(n, 2) for n in numbers)
        return [written(n, attribute) for n in kept if low <= n <= high]

    def values_of(self, attribute: Attribute, said: Said) -> tuple[Value, ...]:
        return parse_answer(attribute, said).values

    def meeting(self, premise: Premise, outcome: Outcome, now: Said | None, want: bool) -> list[Said]:
        """Answers about the premise's own attribute with which it holds, or (``want`` false) does not."""
        attribute = self.rulebase.attributes[premise.attribute]
        near = premise.values if premise.operator in ("<", "<=", ">", ">=") and not premise.other else ()
        if premise.other:
            near = outcome.known.get(premise.other, ())
        options = self.sayable(attribute, [float(v) for v in near])
        if attribute.kind == "set" and now is not None:
            current = [w for w in as_list(now) if w not in (DOES_NOT_APPLY, "none")]
            if want:
                options = [[*current, str(o)] for o in options if o not in current and o != "none"] + options
            else:
                fewer = [[c for c in current if c != w] for w in current]
                options[:0] = [left if len(left) > 1 else left[0] for left in fewer if left]
        options += [DOES_NOT_APPLY] if premise.attribute != "item" else [DONT_KNOW]
        known = dict(outcome.known)
        kept: list[Said] = []
        for option in options:
            known[premise.attribute] = self.values_of(attribute, option)
            if holds(premise, known) == want and option != now:
                kept.append(option)
        return kept

    # -- walking back

    def ways(self, premise: Premise, answers: Answers, outcome: Outcome, depth: int = 0) -> list[Answers]:
        """Answers to add or change so that a premise may hold, the likeliest first."""
        node = node_of(premise.attribute)
        found: list[Answers] = []
        if self.asked(premise.attribute):
            found += [{premise.attribute: o} for o in self.meeting(premise, outcome, answers.get(node), True)]
        if premise.other and self.asked(premise.other):
            found += [{premise.other: o} for o in self.sayable(self.rulebase.attributes[premise.other])]
        if not self.asked(premise.attribute) and depth < MAX_DEPTH:
            for rule, conclusion in self.supporters.get(node, ()):
                origin = conclusion.attribute
                if origin and conclusion.act == "favour" and self.asked(origin):
                    wishes = self.sayable(self.rulebase.attributes[origin])
                    found[:0] = [{origin: w} for w in wishes if holds(premise, {premise.attribute: (str(w),)})]
                elif self.helps(conclusion, premise):
                    found += self.rule_ways(rule, answers, outcome, depth + 1)
        if not self.asked(premise.attribute) and depth == 0:
            for name in self.sources_of(node, str(answers.get("item", ""))):
                found += [{name: o} for o in self.sayable(self.rulebase.attributes[name])]
        return found

    def rule_ways(self, rule: Rule, answers: Answers, outcome: Outcome, depth: int) -> list[Answers]:
        """Answers with which all premises of a rule may hold: a few ways for each, put together."""
        unmet = [p for p in rule.when if not holds(p, outcome.known)]
        each = [self.ways(p, answers, outcome, depth)[:4] for p in unmet]
        found: list[Answers] = []
        for parts in itertools.islice(itertools.product(*each), 8):
            merged: Answers = {}
            for part in parts:
                if any(merged.get(k, v) != v for k, v in part.items()):
                    break
                merged |= part
            else:
                if merged:
                    found.append(merged)
        return found

    def helps(self, conclusion: Conclusion, premise: Premise) -> bool:
        """Whether what a rule concludes can make a premise about the same name hold."""
        if conclusion.act in ("at least", "at most"):
            return (conclusion.act == "at least") == (premise.operator in (">", ">="))
        if conclusion.act in ("exclude", "disfavour"):
            return premise.operator == "is not" or not set(conclusion.values) & set(premise.values)
        if not conclusion.values or premise.operator in ("known", "unknown"):
            return premise.operator != "unknown"
        return any(holds(premise, {premise.attribute: (v,)}) for v in conclusion.values)

    def sources_of(self, node: str, item: str) -> list[str]:
        """The asked attributes that a node rests on, through rules, formulas and the item's pattern; nearest first."""
        sizes: dict[str, frozenset[str]] = self.rulebase.once("pattern sizes", pattern_sizes)
        found: list[str] = []
        seen, waiting = {node}, [node]
        while waiting:
            here = waiting.pop(0)
            attribute = self.rulebase.attributes.get(here)
            below: list[str] = []
            if attribute is not None:
                below += [node_of(o) for o in attribute.inputs.values() if "." not in o]
                if attribute.kind in PATTERN_KINDS:
                    below += sorted(sizes.get(item, ()))
            for rule in self.rules_about.get(here.removesuffix("_excluded"), ()):
                if rule.item in (None, item):
                    below += sorted(reads(rule))
            for name in below:
                if name in seen:
                    continue
                seen.add(name)
                if name != "item" and self.asked(name):
                    found.append(name)
                waiting.append(name)
        return found

    # -- cases

    def starts(self, rule: Rule) -> list[Answers]:
        """Every item alone; those for which the rule's attributes mean something, and that are made, come first."""
        bare: list[Answers] = [{"item": slug} for slug in self.rulebase.items]
        random.Random(f"{SEED} {rule.id}").shuffle(bare)

        def strangeness(answers: Answers) -> tuple[int, bool]:
            outcome = self.consult(answers)
            assert outcome is not None
            return -sum(p.attribute in outcome.known for p in rule.when), self.barred(outcome)

        return sorted(bare, key=strangeness)

    def barred(self, outcome: Outcome) -> bool:
        """Whether anything speaks against making the thing at all."""
        standing = [self.rulebase.rules[rule] for rule, winner in outcome.fired.items() if winner is None]
        return any(c.act == "outcome" for rule in standing for c in rule.then)

    def firing_answers(self, rule: Rule) -> Answers | None:
        """As few answers as can be found with which the rule fires, and stands if it ever does."""
        queue: list[tuple[int, int, int, Answers, Iterator[Answers]]] = []
        order = itertools.count()
        queued: set[str] = set()
        fallback: Answers | None = None

        def push(answers: Answers) -> Answers | None:
            """Queue answers nearest to firing first; return them if the rule stands on them already."""
            nonlocal fallback
            key = json.dumps(answers, sort_keys=True)
            outcome = self.consult(answers)
            if key in queued or outcome is None or len(answers) > MAX_ANSWERS:
                return None
            queued.add(key)
            winner = outcome.fired.get(rule.id)
            if rule.id in outcome.fired:
                fallback = fallback or answers
                if winner is None:
                    return answers
            unmet = sum(not holds(p, outcome.known) for p in rule.when)
            repairs = self.repairs(rule, winner, answers, outcome)
            heapq.heappush(queue, (unmet, len(answers), next(order), answers, repairs))
            return None

        for answers in self.starts(rule):
            if push(answers) is not None:
                return answers
        self.trials = 0
        while queue and self.trials < (TRIALS if fallback else MOST_TRIALS):
            unmet, size, _, answers, repairs = heapq.heappop(queue)
            turn = list(itertools.islice(repairs, TURN))
            if len(turn) == TURN:
                # The rest waits, so that every equally good start gets its turn.
                heapq.heappush(queue, (unmet, size, next(order), answers, repairs))
            for change in turn:
                if push(answers | change) is not None:
                    return self.shrunk(rule, answers | change)
        return fallback or self.met_by_chance(rule)

    def met_by_chance(self, rule: Rule) -> Answers | None:
        """The fewest answers tried for another rule on which this one happened to fire."""
        met = [key for key, outcome in self.seen.items() if outcome is not None and rule.id in outcome.fired]
        answers: list[Answers] = [json.loads(key) for key in met if not key.endswith("prices")]
        return min(answers, key=lambda a: (not self.stands(rule, a), len(a)), default=None)

    def repairs(self, rule: Rule, winner: str | None, answers: Answers, outcome: Outcome) -> Iterator[Answers]:
        """Changes that may bring a rule to fire, or, once it fires, may keep the rule that beats it from firing."""
        for premise in rule.when:
            if not holds(premise, outcome.known):
                yield from self.ways(premise, answers, outcome)
        if winner is not None:
            for premise in self.rulebase.rules[winner].when:
                if self.asked(premise.attribute):
                    now = answers.get(premise.attribute)
                    yield from ({premise.attribute: o} for o in self.meeting(premise, outcome, now, False))

    def shrunk(self, rule: Rule, answers: Answers) -> Answers:
        """Without the answers that the rule can do without."""
        for name in [n for n in answers if n != "item"]:
            fewer = {k: v for k, v in answers.items() if k != name}
            if self.stands(rule, fewer):
                answers = fewer
        return answers

    def near_miss(self, rule: Rule, answers: Answers) -> Answers | None:
        """The same answers with one changed or added, with which the rule does not fire."""
        outcome = self.consult(answers)
        assert outcome is not None
        self.trials = 0
        for change in self.breaks(rule, answers, outcome):
            if self.trials >= TRIALS:
                return None
            changed = answers | change
            if self.consult(changed) is not None and not self.fires(rule, changed):
                return changed
        return None

    def breaks(self, rule: Rule, answers: Answers, outcome: Outcome) -> Iterator[Answers]:
        """Single changes that may keep the rule from firing, the most telling first."""
        about_item = [p for p in rule.when if p.attribute == "item"]
        direct = [p for p in rule.when if self.asked(p.attribute) and p not in about_item]
        others: list[Answers] = []
        for premise in sorted(direct, key=lambda p: p.attribute not in answers):
            options = self.meeting(premise, outcome, answers.get(premise.attribute), False)
            real = self.nearest_first(premise.attribute, outcome, [o for o in options if o != DOES_NOT_APPLY])
            yield from ({premise.attribute: o} for o in real)
            others += [{premise.attribute: DOES_NOT_APPLY}]
        item = self.rulebase.items.get(str(answers.get("item")))
        kin = sorted(self.rulebase.items.values(), key=lambda i: item is None or i.family != item.family)
        swaps: list[Answers] = [{"item": i.slug} for i in kin if item is None or i.slug != item.slug]
        derived = [p for p in rule.when if not self.asked(p.attribute)]
        if about_item or any(p.attribute == "family" for p in derived):
            yield from swaps
        sources = [s for p in derived for s in self.sources_of(node_of(p.attribute), str(answers.get("item", "")))]
        if any(p.operator == "known" for p in derived):
            for name in sources:
                yield {name: DOES_NOT_APPLY}
        for name in dict.fromkeys([*(n for n in answers if n != "item"), *sources]):
            options = [o for o in self.sayable(self.rulebase.attributes[name]) if o != answers.get(name)]
            yield from ({name: o} for o in self.nearest_first(name, outcome, options))
        yield from swaps
        yield from others
        yield {"item": DONT_KNOW}

    def nearest_first(self, name: str, outcome: Outcome, options: list[Said]) -> list[Said]:
        """Options beginning with those next to what is known now: they make the nearest misses."""
        attribute, now = self.rulebase.attributes[name], outcome.known.get(name, ())
        order = list(attribute.values)
        if attribute.kind == "set" or not now:
            return options
        if attribute.numeric:
            return sorted(options, key=lambda o: abs(float(self.values_of(attribute, o)[0]) - float(now[0])))
        return sorted(options, key=lambda o: abs(order.index(str(o)) - order.index(str(now[0]))))

    def case(self, rule: Rule) -> tuple[Case | None, str]:
        """A case for the rule, or why there is none."""
        fires = self.firing_answers(rule)
        if fires is None:
            return None, f"never fires; {self.obstacle(rule)}"
        near_miss = self.near_miss(rule, fires)
        if near_miss is None:
            return None, f"fires on {fires}, and no single change stops it"
        return case_of(self.rulebase, rule.id, {"fires": fires, "near_miss": near_miss}), ""

    def obstacle(self, rule: Rule) -> str:
        """What stood in the way: the premises that held in no consultation so far, or that never held together."""
        outcomes = [o for o in self.seen.values() if o is not None]
        never = [p.text for p in rule.when if not any(holds(p, o.known) for o in outcomes)]
        if never:
            return "never met: " + "; ".join(dict.fromkeys(never))
        best = max(outcomes, key=lambda o: sum(holds(p, o.known) for p in rule.when))
        return "not met with the others: " + "; ".join(p.text for p in rule.when if not holds(p, best.known))

    def kept(self, rule: Rule, entry: object) -> tuple[Case | None, bool]:
        """An existing case if it still holds, and whether the rule stands in it."""
        try:
            case = case_of(self.rulebase, rule.id, entry)
        except CaseError:
            return None, False
        fires, near_miss = dict(case.fires), dict(case.near_miss)
        if not self.fires(rule, fires) or self.consult(near_miss) is None or self.fires(rule, near_miss):
            return None, False
        return case, self.stands(rule, fires)


def existing(folder: Path) -> dict[str, object]:
    """Every entry of the case files, whether it still holds or not."""
    found: dict[str, object] = {}
    for file in sorted(folder.glob("*.toml")):
        found |= tomllib.loads(file.read_text(encoding="utf-8"))
    return found


def as_toml(answers: Mapping[str, Said]) -> str:
    return "{ " + ", ".join(f"{k} = {json.dumps(v, ensure_ascii=False)}" for k, v in answers.items()) + " }"


def write(folder: Path, rulebase: RuleBase, cases: Mapping[str, Case]) -> None:
    """One file for each rule file, its rules in their order; files without a rule file go."""
    texts: dict[str, list[str]] = {}
    for rule in rulebase.rules.values():
        if rule.id in cases:
            case = cases[rule.id]
            texts.setdefault(Path(rule.file).name, [HEADER]).append(
                f'["{rule.id}"]\nfires = {as_toml(case.fires)}\nnear_miss = {as_toml(case.near_miss)}\n'
            )
    for file in folder.glob("*.toml"):
        if file.name not in texts:
            file.unlink()
    for name, parts in texts.items():
        (folder / name).write_text("\n".join(parts), encoding="utf-8")


def main() -> int:
    rulebase = load_rulebase()
    finder = Finder(rulebase)
    before = existing(HERE)
    cases: dict[str, Case] = {}
    withdrawn: list[str] = []
    without: list[str] = []
    new = 0
    for rule in (r for r in rulebase.rules.values() if r.item is None):
        finder.house = finder.demo if priced(rulebase, rule) else None
        case, stands = finder.kept(rule, before.get(rule.id))
        if case is None or not stands:
            found, why = finder.case(rule)
            if found is not None and (case is None or finder.stands(rule, dict(found.fires))):
                case, new = found, new + 1
            if case is None:
                without.append(f"{rule.id} ({rule.file}:{rule.line}): {why}")
                continue
            outcome = finder.consult(dict(case.fires))
            if outcome is not None and outcome.fired[rule.id]:
                withdrawn.append(f"{rule.id} ({rule.file}:{rule.line}): by {outcome.fired[rule.id]}")
        cases[rule.id] = case
    write(HERE, rulebase, cases)
    print(f"{len(cases)} rules have a case and a near miss, {new} of them new.")
    for title, lines in (("Withdrawn in every case found:", withdrawn), ("Without a case:", without)):
        print("\n".join([title, *(f"  {line}" for line in lines)]) if lines else f"{title} none.")
    return 1 if without else 0


if __name__ == "__main__":
    try:
        sys.exit(main())
    except RuleBaseError as refused:
        sys.exit(str(refused))

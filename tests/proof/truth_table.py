"""Hold what is told of an advice against brute force: every claim is tried by whole consultations alone.

    python tests/proof/truth_table.py [--ordinary N] [--random N] [--skip M] [--checks K] [--seed S]

prints for each kind of claim how many were tried and how many were false, and names the false ones. Of each kind at
most K claims of a consultation are tried, drawn with the seed and its place, so that a run which leaves out the first
M goes on with what a longer one would have tried. The oracle is ``Consultation`` with ``report``: no run
on open answers.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from itertools import islice
from typing import Any, TypeVar

from advisor import load_rulebase
from advisor.reasoning.advice import Advice
from advisor.reasoning.apart import by_cases
from advisor.reasoning.changes import alternatives, present
from advisor.reasoning.clashes import entangled
from advisor.reasoning.closed import closed
from advisor.reasoning.conclusions import value_of
from advisor.reasoning.consult import Consultation
from advisor.reasoning.contrast import contrast
from advisor.reasoning.deciding import deciding
from advisor.reasoning.difference import moves
from advisor.reasoning.facts import Answer, parse_answers
from advisor.reasoning.interview import preview, stop
from advisor.reasoning.report import report
from advisor.reasoning.tipping import enough, leaning, room, tips
from advisor.reasoning.why_not import Way, why_not, why_not_weight
from advisor.rulebase.models import Attribute, RuleBase, Value

ORDINARY: tuple[Mapping[str, str], ...] = (
    {"item": "trouser_belt", "strap_width": "38 mm", "waist": "92 cm"},
    {"item": "dog_lead", "load_mass": "30 kg"},
    {"item": "dog_collar", "neck": "40 cm", "water": "immersion", "load_mass": "30 kg"},
    {"item": "card_holder", "decoration": "carve"},
    {"item": "bifold_wallet", "experience": "beginner"},
    {"item": "tote_heavy", "sew": "machine_domestic"},
    {"item": "knife_sheath", "blade": "110 mm", "water": "rain"},
    {"item": "key_fob", "quantity": "10", "for_sale": "sale"},
    {"item": "moccasin", "foot": "260 mm", "experience": "beginner"},
    {"item": "bookmark", "shape_hold": "rigid"},
    {"item": "watch_strap", "allergy": "nickel", "sweat": "heavy"},
    {"item": "cushion_cover", "width": "400 mm", "height": "400 mm"},
)
Answers = Mapping[str, Answer]
Made = TypeVar("Made")


class Table:
    """How many claims of each kind were tried, and the false ones in words."""

    def __init__(self) -> None:
        self.tried: Counter[str] = Counter()
        self.false: defaultdict[str, list[str]] = defaultdict(list)
        self.seconds: defaultdict[str, float] = defaultdict(float)
        self.most: defaultdict[str, float] = defaultdict(float)

    def hold(self, claim: str, true: bool, words: str = "") -> None:
        """Count one claim."""
        self.tried[claim] += 1
        if not true:
            self.false[claim].append(words)

    def timed(self, claim: str, made: Callable[..., Made], *given: Any) -> Made:
        """What ``made`` gives, with the processor time it took."""
        start = time.process_time()
        result = made(*given)
        took = time.process_time() - start
        self.seconds[claim] += took
        self.most[claim] = max(self.most[claim], took)
        return result

    def lines(self) -> Iterator[str]:
        """The table, then the false claims."""
        for claim, count in self.tried.items():
            yield f"{claim:<46} {count:>6} tried  {len(self.false[claim]):>4} false"
        for claim, taken in self.seconds.items():
            yield f"processor time of {claim:<28} {taken:>7.1f} s in all, {self.most[claim]:.2f} s at most"
        for claim, words in self.false.items():
            yield from (f"FALSE {claim}: {w}" for w in words)


class Job:
    """One consultation whose claims are tried."""

    def __init__(self, rulebase: RuleBase, answers: Answers, table: Table, checks: int, rng: random.Random) -> None:
        self.rulebase, self.answers, self.table, self.checks, self.rng = rulebase, answers, table, checks, rng
        self.run = present(rulebase, answers)
        self.seen: dict[tuple[Any, ...], Advice] = {}
        self.here = self.advice({})

    def advice(self, changes: Mapping[str, Answer | None]) -> Advice:
        """The advice with some answers changed, or left out."""
        answers = {n: a for n, a in {**self.answers, **changes}.items() if a is not None}
        key = tuple(sorted((n, a.values, a.state) for n, a in answers.items()))
        if key not in self.seen:
            self.seen[key] = report(Consultation(self.rulebase, answers))
        return self.seen[key]

    def some(self, these: Iterable[Any], most: int = 0) -> list[Any]:
        """At most so many of them, drawn with the seed."""
        found = list(these)
        count = min(most or self.checks, len(found))
        return self.rng.sample(found, count)

    def other(self, attribute: Attribute) -> list[Answer]:
        """Other answers to a question; of a number also some that no rule knows."""
        found = alternatives(self.run, attribute)
        if attribute.numeric:
            low, high = float(attribute.low or 0), float(attribute.high or 1000)
            found += [Answer((self.number(attribute, low, high),)) for _ in range(4)]
        return found

    def number(self, attribute: Attribute, low: float, high: float) -> float:
        """A number between two, both included."""
        value = self.rng.uniform(low, high)
        return float(round(value)) if attribute.kind == "count" else min(max(round(value, 1), low), high)

    def words(self, changes: Mapping[str, Answer | None]) -> str:
        """The answers as they are typed, then the changes."""
        said = " ".join(f"{n}={'+'.join(map(str, a.values))}" for n, a in self.answers.items())
        more = ", ".join(f"{n}={'+'.join(map(str, a.values)) if a else 'left out'}" for n, a in changes.items())
        return f"{said} | {more}"

    def changed(self, way: Way) -> dict[str, Answer]:
        """The answers of a way, read back from its words."""
        found: dict[str, Answer] = {}
        for change in way.changes:
            name, _, value = change.partition(" is ") if " is " in change else change.partition(" includes ")
            found |= parse_answers(self.rulebase, {name: value})
        return found


def order(advice: Advice) -> dict[str, Any]:
    """The parts of an order: outcome, choices, weight, pieces, other leathers; the outcome alone where none stands."""
    found: dict[str, Any] = {"outcome": advice.verdict}
    if not advice.no_order:
        d = advice.decisions
        found |= {name: frozenset(choice.chosen) for name, choice in d.choices().items()}
        found["weight"] = d.weight.order_as or ("conflict" if d.weight.bounds else None)
        found["amount"] = [(p.count, p.length_mm, p.width_mm) for p in d.amount.pieces]
        found["quantity"] = fact(advice, "quantity")
        made_of = [(line.part, line.label) for line in advice.order.lines if line.kind == "fitting" and line.part]
        found["parts"] = [(p.part, p.tannage and p.tannage.chosen, p.low_mm, p.high_mm) for p in advice.order.parts]
        found["parts"] += made_of
        found["conflicts"] = frozenset(c.about for c in advice.conflicts if not c.about.startswith("wished_"))
    return found


def fact(advice: Advice, name: str) -> Any:
    """The value of a fact, None for none."""
    return advice.facts[name].value if name in advice.facts else None


def but_amount(advice: Advice) -> dict[str, Any]:
    """An order without how much of it."""
    return {name: part for name, part in order(advice).items() if name not in ("amount", "quantity")}


def part(advice: Advice, goal: str) -> Any:
    """One part of an order."""
    found = order(advice)
    # Where nothing of it is advised, a refusal takes nothing of it away.
    return (found.get("amount"), found.get("quantity")) if goal == "amount" else found.get(goal) or None


def changed(one: Advice, other: Advice, goal: str) -> bool:
    """Whether a part of two orders differs; of other leathers also the form in which each is bought.

    A size changes their form as well, which is a matter of the amount: that nothing changes is not held to it.
    """
    return part(one, goal) != part(other, goal) or (goal == "parts" and _forms(one) != _forms(other))


def _forms(advice: Advice) -> list[tuple[str | None, str | None]]:
    return [(line.part, line.form) for line in advice.order.lines if line.kind == "leather" and not advice.no_order]


# -- the claims


def try_why_not(job: Job) -> None:
    """Ways and cases suffice; where there is none, none is found."""
    names = [("tannage", c) for c in job.some(job.rulebase.decisions["tannage"].candidates, 3)]
    names += [(d, job.rng.choice(list(job.rulebase.decisions[d].candidates))) for d in ("grain", "form", "species")]
    for decision, candidate in names:
        found = job.table.timed("why not", why_not, job.rulebase, job.answers, None, decision, [candidate])
        fits = partial(_fits, decision=decision, candidate=candidate, lead=found.state == "outweighed")
        told = {e.rule for e in job.here.decisions.choices()[decision].ledger if e.candidate == candidate}
        for reason in (*found.against, *found.speaking_for):
            job.table.hold("why not: a reason is of what was asked", reason.rule in told, f"{candidate}: {reason.rule}")
        _ways(job, found, f"{decision} {candidate}", fits)
    mm = round(job.rng.uniform(0.5, 6), 1)
    weight = job.table.timed("why not", why_not_weight, job.rulebase, job.answers, None, mm)

    def holds(advice: Advice) -> bool:
        w = advice.decisions.weight
        return w.low_mm is not None and w.high_mm is not None and w.low_mm <= mm <= w.high_mm

    _ways(job, weight, f"{mm} mm", holds)


def _fits(advice: Advice, decision: str, candidate: str, lead: bool) -> bool:
    choice = advice.decisions.choices()[decision]
    return not advice.no_order and candidate in [*choice.chosen, *([] if lead else choice.also_fits)]


def _ways(job: Job, found: Any, asked: str, fits: Callable[[Advice], bool]) -> None:
    for way in (*found.ways, *found.cases):
        changes = job.changed(way)
        job.table.hold("why not: a way suffices", fits(job.advice(changes)), f"{asked}: {job.words(changes)}")
    if found.state in ("advised", "fits as well", "no leather") or found.ways or found.cases or not found.never:
        return
    asked_of = [a for a in job.rulebase.attributes.values() if a.ask != "never" and a.name not in ("item",)]
    for attribute in job.some(a for a in asked_of if not a.name.startswith(("wished_", "label_"))):
        changes = {attribute.name: job.rng.choice(job.other(attribute))} if attribute.kind != "text" else {}
        none = not fits(job.advice(changes))
        job.table.hold("why not: nothing at all does it", none, f"{asked}: {job.words(changes)}")


def try_tips(job: Job) -> None:
    """Each tip changes its part, nothing nearer does where that is proven, and no safe question does."""
    for goal in job.some(("tannage", "weight", "form", "cut", "temper"), 2):
        found = job.table.timed("would change", tips, job.run, goal)
        for tip in job.some(found.found):
            name, answer = tip.change
            then, words = job.advice({name: answer}), f"{goal}: {job.words({name: answer})}"
            job.table.hold("would change: a tip changes its part", changed(then, job.here, goal), words)
            held = job.run.fixed(name)
            if tip.side and held and tip.proven:
                ends = sorted((float(held[0]), float(answer.values[0])))
                for _ in range(3):
                    value = job.number(job.rulebase.attributes[name], *ends)
                    if value != float(answer.values[0]):
                        near = {name: Answer((value,))}
                        same = part(job.advice(near), goal) == part(job.here, goal) or _beyond(value, tip)
                        job.table.hold("would change: nothing nearer, where proven", same, f"{goal}: {job.words(near)}")
        for name in job.some(found.safe):
            other = {name: job.rng.choice(job.other(job.rulebase.attributes[name]))}
            same = part(job.advice(other), goal) == part(job.here, goal)
            job.table.hold("would change: no answer to these does", same, f"{goal}: {job.words(other)}")


def _beyond(value: float, tip: Any) -> bool:
    """Whether a number is nearer to the tip than the next number of three figures."""
    at = float(tip.change[1].values[0])
    return abs(value - at) <= max(abs(at) * 0.01, 0.1)


def try_rooms(job: Job) -> None:
    """Every number of a proven span, and every word told, leaves the order as it is but for the amount."""
    for name, answer in job.answers.items():
        attribute = job.rulebase.attributes[name]
        if name == "item" or answer.state != "known":
            continue
        found = job.table.timed("safe", room, job.run, attribute)
        values: Sequence[Value] = found.values
        if attribute.numeric:
            values = [job.number(attribute, found.low, found.high) for _ in range(4)] if found.proven else []
        for value in job.some(values):
            change = {name: Answer((value,))}
            same = but_amount(job.advice(change)) == but_amount(job.here)
            job.table.hold("safe: another answer changes the amount alone", same, job.words(change))


def try_preview(job: Job) -> None:
    """Where a stretch of numbers is told without reservation, each of them does the same."""
    numbers = [a for a in job.rulebase.attributes.values() if a.ask != "never" and a.numeric]
    for attribute in job.some(numbers, 3):
        for told in preview(job.run, attribute):
            low, high = float(told.values[0]), float(told.values[-1])
            first = but_amount(job.advice({attribute.name: Answer((low,))}))
            for _ in range(2 if told.proven and low != high else 0):
                change = {attribute.name: Answer((job.number(attribute, low, high),))}
                same = but_amount(job.advice(change)) == first
                job.table.hold("why do you ask: a span is of one order", same, job.words(change))


def try_enough(job: Job) -> None:
    """The answers kept settle the goal whatever the rest is; those kept for sure make a difference."""
    for goal in job.some(("tannage", "weight", "grain"), 2):
        found = job.table.timed("settles", enough, job.run, [goal])
        loose = [n for n in job.answers if n not in found.kept]
        for _ in range(job.checks if loose else 0):
            rest: dict[str, Answer | None] = {n: job.rng.choice(job.other(job.rulebase.attributes[n])) for n in loose}
            same = part(job.advice(rest), goal) == part(job.here, goal)
            job.table.hold("settles: the rest may be anything", same, f"{goal}: {job.words(rest)}")
        for name in found.kept:
            if name != "item" and name not in found.unsure:
                others: list[Answer | None] = [None, *alternatives(job.run, job.rulebase.attributes[name])]
                differs = any(_parted(job.advice({name: o}), job.here, goal) for o in others)
                job.table.hold("settles: what is kept changes something", differs, f"{goal}: {job.words({name: None})}")


def _parted(one: Advice, other: Advice, goal: str) -> bool:
    return changed(one, other, goal) or one.no_order != other.no_order


def try_leaning(job: Job) -> None:
    """Each part of the order that another answer to a supposition is said to change is changed by one."""
    for name, goals in job.some(job.table.timed("supposed", leaning, job.run), 4):
        others = [job.advice({name: a}) for a in alternatives(job.run, job.rulebase.attributes[name])]
        for goal in goals:
            moved = any(changed(then, job.here, goal) for then in others)
            job.table.hold("supposed: another answer changes this", moved, f"{goal}: {name}: {job.words({})}")


def try_end(job: Job) -> None:
    """No single answer to what was looked at changes the order; some answer in words to what is open does."""
    found = job.table.timed("end of questions", stop, job.run, job.answers)
    for name in job.some(found.looked_at, 2 * job.checks):
        change = {name: job.rng.choice(job.other(job.rulebase.attributes[name]))}
        same = order(job.advice(change)) == order(job.here)
        job.table.hold("end: no answer to these changes the order", same, job.words(change))
    worded = [a for a in found.open if not job.rulebase.attributes[a.name].numeric]
    for ask in job.some((a for a in worded if job.rulebase.attributes[a.name].kind != "set"), 3):
        others = alternatives(job.run, job.rulebase.attributes[ask.name])
        moved = any(order(job.advice({ask.name: o})) != order(job.here) for o in others)
        job.table.hold("end: an answer to these changes the order", moved, f"{ask.name}: {job.words({})}")


def try_deciding(job: Job) -> None:
    """The answers named are those without which the conclusion is another."""
    run = Consultation(job.rulebase, job.answers)
    proof = run.proof
    for name in ("tannage", "weight", "form", "outcome"):
        if proof.conclusion(name) is None:
            continue
        found = job.table.timed("why", deciding, proof, name)
        for answer in (a for a in job.answers if a not in ("item", name)):
            without = Consultation(job.rulebase, {n: a for n, a in job.answers.items() if n != answer})
            differs = value_of(without, name) != value_of(run, name)
            named = differs == (answer in found.answers)
            job.table.hold("why: the answers that decide, and no other", named, f"{name}: {answer}: {job.words({})}")


def try_cases(job: Job) -> None:
    """Every answer to what nobody knows lies in one case, and the order is what that case says."""
    asked = [a for a in job.rulebase.attributes.values() if a.ask != "never" and a.values and a.kind != "set"]
    names = [a.name for a in job.some((a for a in asked if a.name not in job.answers and a.name != "item"), 2)]
    found = job.table.timed("cases", by_cases, job.run, names)
    for _ in range(job.checks if not isinstance(found, str) else 0):
        said = {n: job.rng.choice(list(job.rulebase.attributes[n].values)) for n in names}
        mine = [c for c in found if not isinstance(c, str) and all(said[n] in values for n, values in c.within)]
        then = order(job.advice({n: Answer((v,)) for n, v in said.items()}))
        told = [order(job.advice(dict(c.run.answers))) for c in mine]
        job.table.hold("cases: one case, and its order", len(told) == 1 and told[0] == then, f"{said}: {job.words({})}")


def try_conflicts(job: Job) -> None:
    """Each change that is said to end a conflict leaves none."""
    for found in job.table.timed("conflicts", entangled, job.rulebase, job.answers):
        for changes in (*found.ways, *found.cases):
            then = job.advice(dict(changes))
            job.table.hold("conflicts: a way ends it", not then.conflicts, f"{found.about}: {job.words(dict(changes))}")


def try_what_if(job: Job) -> None:
    """Nothing is told only where nothing differs; a rule that is named stands in one of the two advices alone."""
    asked = [a for a in job.rulebase.attributes.values() if a.ask != "never" and a.kind != "text" and a.name != "item"]
    for attribute in job.some(asked):
        change = {attribute.name: job.rng.choice(job.other(attribute))}
        then = job.advice(change)
        found = job.table.timed("what if", moves, job.here, then)
        if not found:
            job.table.hold("what if: nothing changes", _shown(then) == _shown(job.here), job.words(change))
        for move in found:
            if move.about == "weight" and move.rules:
                before, after = (_bounds(a) for a in ((then, job.here) if move.lifted else (job.here, then)))
                came = any(b not in before for b in after if b[0] == move.rules[0])
                words = f"{move.rules[0]}: {job.words(change)}"
                job.table.hold("what if: the rule named has come or gone", came, words)


def _bounds(advice: Advice) -> set[tuple[str, float]]:
    return {(b.rule, b.mm) for b in advice.decisions.weight.bounds if b.set_aside is None}


def _shown(advice: Advice) -> list[Any]:
    lines = [(line.id, line.label, line.count, line.size) for line in advice.order.lines if line.kind == "fitting"]
    also = {name: sorted(choice.also_fits) for name, choice in advice.decisions.choices().items()}
    applies = sorted(c.id for c in advice.cautions if c.status == "applies")
    return [order(advice), [(b.what, b.value) for b in advice.basket], lines, also, applies]


def try_contrast(job: Job) -> None:
    """Each answer that is said to turn it makes one lead without the other; reasons told are of one alone."""
    offered = [*job.here.decisions.tannage.chosen, *job.here.decisions.tannage.also_fits]
    if len(offered) < 2:
        return
    one, other = job.some(offered, 2)
    found = job.table.timed("rather than", contrast, job.rulebase, job.answers, None, "tannage", one, other)
    ledger = job.here.decisions.tannage.ledger
    for side, rival in ((found.one, found.other), (found.other, found.one)):
        told = [(r, True) for r in side.for_it] + [(r, False) for r in side.against]
        for reason, favours in told:
            # One rule may favour the one and disfavour the other, with one sentence for both.
            same = [
                e
                for e in ledger
                if e.candidate == rival.asked
                and (e.act == "favour") == favours
                and (e.rule, e.strength, e.because) == (reason.rule, reason.strength, reason.because)
            ]
            job.table.hold("rather than: only one has the reason", not same, f"{one}, {other}: {reason.rule}")
        for way in side.turning:
            chosen = job.advice(job.changed(way)).decisions.tannage.chosen
            turned = side.asked in chosen and rival.asked not in chosen
            job.table.hold("rather than: an answer turns it", turned, f"{side.asked}: {job.words(job.changed(way))}")


def try_closed(job: Job) -> None:
    """A rule is said to hold exactly if the trace of the advice has it."""
    run = Consultation(job.rulebase, job.answers)
    fired = {step.rule: step for step in job.here.trace}
    for candidate in job.some(job.rulebase.decisions["tannage"].candidates, 3):
        for giver in closed(run, "tannage", candidate).givers:
            held = giver.state != "does not hold" or giver.fails == [f"wished_tannage is {candidate}"]
            right = held == (giver.rule in fired)
            job.table.hold("why not in full: a rule's state", right, f"{candidate}: {giver.rule}")


CLAIMS: tuple[Callable[[Job], None], ...] = (
    try_why_not,
    try_tips,
    try_rooms,
    try_preview,
    try_enough,
    try_leaning,
    try_end,
    try_deciding,
    try_cases,
    try_conflicts,
    try_what_if,
    try_contrast,
    try_closed,
)


def jobs(rulebase: RuleBase, ordinary: int, others: int, seed: int) -> Iterator[Answers]:
    """Ordinary consultations, then random ones of up to six answers."""
    rng = random.Random(seed)
    yield from (parse_answers(rulebase, said) for said in ORDINARY[:ordinary])
    asked = [a for a in rulebase.attributes.values() if a.ask != "never" and a.kind != "text" and a.name != "item"]
    for _ in range(others):
        answers = {"item": Answer((rng.choice(sorted(rulebase.items)),))}
        for attribute in rng.sample([a for a in asked if a.group not in ("people", "job")], rng.randint(1, 6)):
            if attribute.numeric:
                low, high = float(attribute.low or 0), float(attribute.high or 100)
                value: Value = float(round(rng.uniform(low, low + (high - low) / 4)))
                value = max(value, float(attribute.low or 0))
            else:
                value = rng.choice(sorted(attribute.values))
            answers[attribute.name] = Answer((value,))
        yield answers


def measure(rulebase: RuleBase, ordinary: int, others: int, checks: int, seed: int, skip: int = 0) -> Table:
    """The table over so many consultations, but for the first ``skip`` of them."""
    table = Table()
    for place, answers in islice(enumerate(jobs(rulebase, ordinary, others, seed)), skip, None):
        job = Job(rulebase, answers, table, checks, random.Random(f"{seed} {place}"))
        for claim in CLAIMS:
            if not job.here.no_order or claim in (try_deciding, try_end):
                claim(job)
    return table


def main() -> None:
    """Print the table; the exit code is 1 where a claim is false."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--ordinary", type=int, default=len(ORDINARY))
    parser.add_argument("--random", type=int, default=24)
    parser.add_argument("--skip", type=int, default=0)
    parser.add_argument("--checks", type=int, default=8)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    table = measure(load_rulebase(), options.ordinary, options.random, options.checks, options.seed, options.skip)
    print("\n".join(table.lines()))
    sys.exit(any(table.false.values()))


if __name__ == "__main__":
    main()

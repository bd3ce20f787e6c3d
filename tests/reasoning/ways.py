"""Of 150 why-nots over ordinary jobs: how many answers offer a way a maker would consider, or say that there is none.

    python tests/reasoning/ways.py [--count N] [--skip M] [--seed S] [--list]

An answer counts where the line shown in a chat offers a change that ``words/changing.toml`` marks as a wish or as a way
in which the thing can be made, a number from half to double, and a whole consultation with it brings what was asked
for; or where the line says that no such change does it, and brute force over all such changes, one at a time and drawn
pairs, finds none. It does not count where nothing is said of it, nor where the search is said to have ended early.
Jobs and questions are drawn by the seed; no run on open answers is used to judge.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from itertools import islice
from typing import NamedTuple

from advisor import load_rulebase
from advisor.read.reader import read_sentence
from advisor.reasoning.advice import Advice
from advisor.reasoning.changes import alternatives, now, present
from advisor.reasoning.consult import Consultation
from advisor.reasoning.facts import Answer, parse_answers
from advisor.reasoning.report import report
from advisor.reasoning.why_not import WhyNot, why_not, why_not_weight
from advisor.rulebase.changing import Changing, changing_of
from advisor.rulebase.models import Attribute, RuleBase
from advisor.talk.session import Session
from advisor.write.names import called

JOBS = (
    "a belt for jeans, 38 mm wide, waist 92 cm",
    "a card holder, my first piece, hand sewn",
    "a bifold wallet, hand sewn",
    "a collar for a 30 kg dog that swims",
    "a lead for a 20 kg dog",
    "a sheath for a knife with a 110 mm blade",
    "ten key fobs to sell, with a stamp on them",
    "tote bag 38 x 40 cm, brown, I have a household sewing machine",
    "an A5 journal cover",
    "a guitar strap, 50 mm wide",
    "a watch strap, 20 mm wide",
    "a workshop apron",
    "moccasins, foot 26 cm",
    "a tool roll",
    "a bookmark",
    "a coaster",
    "a cushion cover 40 x 40 cm",
    "a bag strap 30 mm wide",
    "sandals, foot 27 cm",
    "a pen case",
    "a phone pouch",
    "a tool belt, waist 95 cm",
    "a passport cover",
    "a clutch bag",
    "a hat band",
    "a drawer pull",
    "a quiver",
    "a coin pouch",
    "a mouse pad",
    "a camera strap 25 mm wide",
)
PAIRS = 60
NONE = ("Nothing you would change", "No single change")
Answers = Mapping[str, Answer]


class Asked(NamedTuple):
    """A job and what is asked of it: a candidate of a decision, or a thickness in mm."""

    job: str
    answers: Answers
    decision: str
    what: str
    mm: float = 0.0


class Judged(NamedTuple):
    """How one answer came out, and what was told."""

    asked: Asked
    verdict: str
    line: str


def questions(rulebase: RuleBase, count: int, seed: int) -> Iterator[Asked]:
    """Questions about what is not advised: of five three leathers, a thickness, and a temper, grain or animal."""
    rng, kinds = random.Random(seed), ("tannage", "weight", "tannage", "other", "tannage")
    for n in range(count):
        job, kind = JOBS[n % len(JOBS)], kinds[n // len(JOBS) % len(kinds)]
        answers = dict(read_sentence(rulebase, job).answers)
        advice = report(Consultation(rulebase, answers))
        if kind == "weight":
            low, high = advice.decisions.weight.low_mm or 1.0, advice.decisions.weight.high_mm or 2.0
            outside = rng.choice([rng.uniform(low / 2, low * 0.9), rng.uniform(high * 1.1, high * 2)])
            yield Asked(job, answers, kind, f"{outside:.1f} mm", round(outside, 1))
            continue
        decision = rng.choice(["temper", "grain", "species"]) if kind == "other" else kind
        choice = advice.decisions.choices()[decision]
        left = [c for c in rulebase.decisions[decision].candidates if c not in (*choice.chosen, *choice.also_fits)]
        if left:
            what = rng.choice(left)
            yield Asked(job, answers, decision, what)


def judged(rulebase: RuleBase, asked: Asked) -> Judged:
    """One answer held against the file of changes and against whole consultations."""
    session = Session(rulebase)
    session.hear(asked.job)
    session.answers = dict(asked.answers)
    said = asked.what if asked.mm else called(rulebase, asked.decision, asked.what)
    line = " ".join(session.hear(f"why not {said}?").lines)
    found = _asked(rulebase, asked)
    if found.state in ("advised", "fits as well"):
        return Judged(asked, "stands already", line)
    if not found.ways or "if you said" not in line:
        if not any(words in line for words in NONE):
            return Judged(asked, "says nothing of it", line)
        does = _brute(rulebase, asked, found)
        return Judged(asked, f"says none, yet {_words(does)}" if does else "none, and brute force finds none", line)
    changing, run = changing_of(rulebase, _item(asked)), present(rulebase, asked.answers)
    changes = _parsed(rulebase, found.ways[0].changes)
    marked = all(changing.takes(n, run.fixed(n) or (), a.values) for n, a in changes.items())
    does_it = _does(found, asked)(report(Consultation(rulebase, {**asked.answers, **changes})))
    return Judged(asked, "offers a way" if marked and does_it else "offers what is no way", line)


def _asked(rulebase: RuleBase, asked: Asked) -> WhyNot:
    if asked.mm:
        return why_not_weight(rulebase, asked.answers, None, asked.mm)
    return why_not(rulebase, asked.answers, None, asked.decision, [asked.what])


def _item(asked: Asked) -> str:
    return str(asked.answers["item"].values[0])


def _parsed(rulebase: RuleBase, changes: list[str]) -> dict[str, Answer]:
    found: dict[str, Answer] = {}
    for change in changes:
        name, _, value = change.partition(" is ") if " is " in change else change.partition(" includes ")
        found |= parse_answers(rulebase, {name: value})
    return found


def _does(found: WhyNot, asked: Asked) -> Callable[[Advice], bool]:
    """Whether an advice has what was asked for; what is outweighed has to lead, what is barred to fit."""

    def holds(then: Advice) -> bool:
        if then.no_order:
            return False
        if asked.mm:
            w = then.decisions.weight
            return w.low_mm is not None and w.high_mm is not None and w.low_mm <= asked.mm <= w.high_mm
        choice = then.decisions.choices()[asked.decision]
        return asked.what in [*choice.chosen, *([] if found.state == "outweighed" else choice.also_fits)]

    return holds


def _brute(rulebase: RuleBase, asked: Asked, found: WhyNot) -> dict[str, Answer]:
    """The first change, or drawn pair of changes, that a maker would make and that does it; empty where none does."""
    changing = changing_of(rulebase, _item(asked))
    names = [a for a in rulebase.attributes.values() if a.ask != "never" and changing.offered(a.name)]
    each = {a.name: list(_others(rulebase, asked.answers, a, changing)) for a in names}
    each = {n: answers for n, answers in each.items() if answers}
    rng = random.Random(f"{asked.job} {asked.what}")
    tried = [{n: a} for n, answers in each.items() for a in answers]
    tried += [{n: rng.choice(each[n]) for n in rng.sample(sorted(each), 2)} for _ in range(PAIRS)]
    holds = _does(found, asked)
    return next((c for c in tried if holds(report(Consultation(rulebase, {**asked.answers, **c})))), {})


def _others(rulebase: RuleBase, answers: Answers, attribute: Attribute, changing: Changing) -> Iterator[Answer]:
    """Every word that may be offered; of a number nine values from half to double, and those that rules tell apart."""
    run = present(rulebase, answers)
    held = now(run, attribute.name)
    found = alternatives(run, attribute)
    if attribute.numeric and held:
        steps = [changing.least * (changing.most / changing.least) ** (n / 8) * float(held[0]) for n in range(9)]
        whole = attribute.kind == "count"
        found += [Answer((float(round(v)) if whole else round(v, 1),)) for v in steps]
    low, high = attribute.low, attribute.high
    for answer in found:
        value = answer.values[0] if answer.values else None
        if isinstance(value, float) and ((low is not None and value < low) or (high is not None and value > high)):
            continue
        if changing.takes(attribute.name, held, answer.values):
            yield answer


def _words(changes: Answers) -> str:
    return ", ".join(f"{n}={'+'.join(map(str, a.values))}" for n, a in changes.items())


def main() -> None:
    """Print the counts, with ``--list`` each answer."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--count", type=int, default=150)
    parser.add_argument("--skip", type=int, default=0, help="the first so many are drawn and left out")
    parser.add_argument("--seed", type=int, default=11)
    parser.add_argument("--list", action="store_true")
    options = parser.parse_args()
    rulebase, counts = load_rulebase(), Counter[str]()
    for asked in islice(questions(rulebase, options.count, options.seed), options.skip, None):
        one = judged(rulebase, asked)
        counts[one.verdict.partition(",")[0] if one.verdict.startswith("says none") else one.verdict] += 1
        if options.list:
            print(f"{asked.job} | {asked.decision} {asked.what} | {one.verdict} | {one.line}", flush=True)
    good = counts["offers a way"] + counts["none, and brute force finds none"]
    of = counts.total() - counts["stands already"]
    print("\n".join(f"{verdict:<34} {count:>4}" for verdict, count in counts.most_common()))
    print(f"good: {good} of {of}, {good / max(of, 1):.0%}")
    sys.exit(good < 0.9 * of)


if __name__ == "__main__":
    main()

"""Every thing with drawn answers: is what is printed as buyable sold, is a caution about the leather ordered, and is no
order printed where it is withheld?

Run: python tests/trade/walk.py [HOW_MANY [SEED]]. The things take turns; answers are drawn from the values that the
interview offers, sizes between half and twice the usual. It prints what was found and how many advices had an order.
What must hold is common practice: nobody can buy a leather thicker than it is sold, and a counter says nothing of one
that stays on the shelf.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from advisor import Advice, consult, load_rulebase
from advisor.reasoning.advice import CautionView, OrderLine
from advisor.reasoning.facts import Answer
from advisor.rulebase.models import NO_ORDER, Attribute, Premise, RuleBase
from advisor.write.screen import advice_lines

SEED, MOST_ANSWERS, WIDTH = 20261129, 7, 80
SAYS_WHICH = ("is", "in")
LEATHER = ("tannage", "tannage_offered")
AT_HOME = "have_tannage"
"""A rule that reads it speaks of a leather that the customer has, whatever is ordered."""
NEAR = 1e-6


def drawn(base: RuleBase, item: str, dice: random.Random) -> dict[str, Answer]:
    """Up to seven answers about one thing."""
    asked = [a for a in base.attributes.values() if a.ask != "never" and a.kind != "text" and a.name != "item"]
    chosen = dice.sample(asked, dice.randint(0, MOST_ANSWERS))
    answers = {a.name: value for a in chosen if (value := _value(base, item, a, dice)) is not None}
    return {"item": Answer((item,)), **answers}


def _value(base: RuleBase, item: str, attribute: Attribute, dice: random.Random) -> Answer | None:
    if attribute.numeric:
        usual = base.items[item].supposes.get(attribute.name)
        if not usual:
            return None
        size = float(usual[0]) * dice.uniform(0.5, 2.0)
        size = min(max(size, attribute.low or 0.0), attribute.high or size)
        return Answer((float(max(1, round(size))) if attribute.kind == "count" else round(size, 1),))
    words = sorted(attribute.values)
    if attribute.kind == "set":
        some = [w for w in words if w != "none"]
        if "none" in words and dice.random() < 0.3:
            return Answer(("none",))
        return Answer(tuple(dice.sample(some, min(len(some), dice.randint(1, 2)))))
    return Answer((dice.choice(words),))


def faults(base: RuleBase, advice: Advice) -> Iterator[str]:
    """What an advice must not do, each as a kind and its particulars."""
    page = advice_lines(base, advice, WIDTH, False)
    ordered = any(line.startswith("ORDER ") for line in page)
    withheld = advice.verdict in NO_ORDER or advice.verdict is None
    if withheld and (ordered or advice.order.lines):
        yield f"withheld: {advice.verdict} with an order"
    # A page may hold back lines where they would give up one of two things that were both said, but never add any.
    if ordered and not advice.order.lines:
        yield "withheld: the page has an order, the advice not"
    for line in advice.order.lines:
        if line.kind == "leather":
            yield from (f"unbuyable: {line.id} {what}" for what in _not_sold(base, advice, line))
    leathers = {line.tannage for line in advice.order.lines if line.tannage}
    for caution in advice.cautions if leathers else ():
        if caution.status == "applies" and caution.relevant and _of_another(base, caution, leathers):
            yield f"another leather: {caution.id} beside {', '.join(sorted(leathers))}"


def _not_sold(base: RuleBase, advice: Advice, line: OrderLine) -> Iterator[str]:
    form, tannage = base.decisions["form"], base.decisions["tannage"]
    low, high = line.low_mm or 0.0, line.high_mm or 0.0
    if line.tannage:
        thickest = float(tannage.table("thickest")[line.tannage])
        if high > thickest + NEAR:
            yield f"{line.tannage} of {high} mm, sold to {thickest}"
        # What is cut from another line's leather is split thinner by the shop.
        if line.shares is None and high < float(tannage.table("thinnest")[line.tannage]) - NEAR:
            yield f"{line.tannage} of {high} mm, too thin to be sold"
        if line.part == "body" and line.tannage in advice.decisions.tannage.excluded:
            yield f"{line.tannage} is ruled out"
    if line.form:
        thickest = float(form.table("thickest")[line.form])
        if high > thickest + NEAR:
            yield f"{line.form} of {high} mm, sold to {thickest}"
        if line.part == "body" and line.form in advice.decisions.form.excluded:
            yield f"{line.form} is ruled out"
        if line.shares is None and (line.count is None or line.count < 1):
            yield f"{line.count} of {line.form}"
    if high < low - NEAR:
        yield f"{low} to {high} mm"
    if line.colour is None:
        yield "in no colour"


def _of_another(base: RuleBase, caution: CautionView, leathers: set[str]) -> bool:
    """Whether each rule that raises a caution, or what it concerns, speaks of leathers none of which is ordered."""

    def elsewhere(premise: Premise) -> bool:
        named = premise.attribute in LEATHER and premise.operator in SAYS_WHICH
        return named and not leathers & {str(v) for v in premise.values}

    rules = [base.rules[name] for name in caution.rules]
    if any(elsewhere(p) for p in base.cautions[caution.id].concerns):
        return True
    at_home = any(p.attribute == AT_HOME for rule in rules for p in rule.when)
    return bool(rules) and not at_home and all(any(elsewhere(p) for p in rule.when) for rule in rules)


def walk(base: RuleBase, many: int, seed: int) -> tuple[Counter[str], int, list[tuple[dict[str, Answer], str]]]:
    """Verdicts, how many advices had an order, and each fault with the answers that led to it."""
    dice = random.Random(seed)
    items = sorted(base.items)
    verdicts: Counter[str] = Counter()
    ordered, found = 0, []
    for n in range(many):
        answers = drawn(base, items[n % len(items)], dice)
        advice = consult(base, answers)
        verdicts[str(advice.verdict)] += 1
        ordered += bool(advice.order.lines)
        found += [(answers, fault) for fault in faults(base, advice)]
    return verdicts, ordered, found


def main(words: list[str]) -> int:
    """Print the figures and what was found; 1 where anything was."""
    many, seed = (*(int(word) for word in words), *(5000, SEED)[len(words) :])
    verdicts, ordered, found = walk(load_rulebase(), many, seed)
    for answers, fault in found:
        print(f"{fault}: {', '.join(f'{n}={list(a.values)}' for n, a in answers.items())}")
    print(f"{many} consultations, {ordered} with an order, {len(found)} faults.")
    print(", ".join(f"{verdict} {count}" for verdict, count in verdicts.most_common()))
    return bool(found)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Finds, for each premise of a rule with several, an answer that makes that premise alone fail.

Run: python tests/cases/find_guards.py, after find_cases.py. It rewrites guards.json beside it: rule -> the place of
the premise -> the one answer changed or added to the rule's case. What still holds is kept.
"""

from __future__ import annotations

import itertools
import json
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from find_cases import HERE, Answers, Finder, Outcome, existing, holds, priced

from advisor.reasoning.cases import case_of
from advisor.reasoning.facts import DOES_NOT_APPLY, DONT_KNOW
from advisor.rulebase.load import load_rulebase
from advisor.rulebase.models import ANSWERED, Rule
from advisor.rulebase.strata import node_of

GUARDS = HERE / "guards.json"
TRIALS = 60
"""Consultations spent on one premise, a fifth of a second's worth."""


def failing(rule: Rule, outcome: Outcome) -> list[int]:
    """The places of the premises that do not hold."""
    return [n for n, p in enumerate(rule.when) if not holds(p, outcome.known)]


def changes(finder: Finder, rule: Rule, n: int, answers: Answers, outcome: Outcome) -> Iterator[Answers]:
    """Single answers that may make one premise fail, the most telling first."""
    premise = rule.when[n]
    if finder.asked(premise.attribute):
        options = finder.meeting(premise, outcome, answers.get(premise.attribute), False)
        yield from (
            {premise.attribute: o}
            for o in finder.nearest_first(
                premise.attribute, outcome, [o for o in options if o not in (DOES_NOT_APPLY, DONT_KNOW)]
            )
        )
        yield {premise.attribute: DOES_NOT_APPLY}
    elif premise.attribute.endswith(ANSWERED):
        name = premise.attribute.removesuffix(ANSWERED)
        yield from ({name: o} for o in finder.sayable(finder.rulebase.attributes[name]))
    else:
        for name in finder.sources_of(node_of(premise.attribute), str(answers.get("item", ""))):
            options = [o for o in finder.sayable(finder.rulebase.attributes[name]) if o != answers.get(name)]
            yield from ({name: o} for o in finder.nearest_first(name, outcome, options)[:6])
    if premise.attribute in ("item", "family") or not finder.asked(premise.attribute):
        yield from ({"item": slug} for slug in finder.rulebase.items if slug != answers.get("item"))


def guard(finder: Finder, rule: Rule, n: int, answers: Answers, old: Mapping[str, object] | None) -> Answers | None:
    """One answer with which premise ``n`` alone fails, so that the rule does not fire."""
    outcome = finder.consult(answers)
    assert outcome is not None
    tried = [dict(old)] if old else []
    for change in itertools.islice(itertools.chain(tried, changes(finder, rule, n, answers, outcome)), TRIALS):
        after = finder.consult(answers | change)  # type: ignore[operator]
        if after is not None and rule.id not in after.fired and failing(rule, after) == [n]:
            return change  # type: ignore[return-value]
    return None


def main() -> int:
    rulebase = load_rulebase()
    finder = Finder(rulebase)
    cases = existing(HERE)
    before = json.loads(GUARDS.read_text()) if GUARDS.is_file() else {}
    found: dict[str, dict[str, Answers]] = {}
    without: list[str] = []
    total = 0
    for rule in (r for r in rulebase.rules.values() if r.item is None and len(r.when) > 1):
        finder.house = finder.demo if priced(rulebase, rule) else None
        answers = dict(case_of(rulebase, rule.id, cases[rule.id]).fires)
        for n, premise in enumerate(rule.when):
            total += 1
            change = guard(finder, rule, n, answers, before.get(rule.id, {}).get(str(n)))
            if change is None:
                without.append(f"{rule.id}: {premise.text}")
            else:
                found.setdefault(rule.id, {})[str(n)] = change
    rows = [f"{json.dumps(rule)}: {json.dumps(guards, ensure_ascii=False)}" for rule, guards in found.items()]
    GUARDS.write_text("{\n" + ",\n".join(rows) + "\n}\n", encoding="utf-8")
    print(f"{total - len(without)} of {total} premises have an answer that makes them alone fail. Without one:")
    print("\n".join(f"  {line}" for line in without))
    return 0


if __name__ == "__main__":
    sys.exit(main())

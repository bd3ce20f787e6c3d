"""How things are found by names that the lists do not have: every fifth name withheld in turn and asked for.

    python tests/read/withheld.py [--show]

A name that is withheld is taken out of the list of names (and of the words that point), with its plural, and asked
for as "leather for a ...". Right: the thing is taken or among those offered. Wrong: another is taken.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from advisor import load_rulebase
from advisor.read.lexicon import tokens
from advisor.read.sentence import Sentence
from advisor.read.things import Things
from advisor.rulebase.models import RuleBase
from advisor.rulebase.words import Words, words_of

PARTS = 5


def key(name: str) -> str:
    """A name as it is compared: folded words."""
    return " ".join(t.word for t in tokens(name.replace("_", " ")))


def without(rulebase: RuleBase, gone: frozenset[str]) -> RuleBase:
    """The rule base with the names ``gone`` taken out."""
    words = words_of(rulebase)
    things = {s: replace(t, names=tuple(n for n in t.names if key(n) not in gone)) for s, t in words.things.items()}
    item = rulebase.attributes["item"]
    values = {s: replace(v, words=tuple(w for w in v.words if key(w) not in gone)) for s, v in item.values.items()}
    attributes = {**rulebase.attributes, "item": replace(item, values=values)}
    memo = {"words": rulebase.memo["words"], "words of things": Words(things, words.forms, words.objects, words.pairs)}
    return replace(rulebase, attributes=attributes, memo=memo)


def measured(rulebase: RuleBase) -> Iterator[tuple[str, str, str, list[str]]]:
    """For each name withheld once: the thing it is a name of, the name, what came of it, what was taken or offered."""
    words = words_of(rulebase)
    owners: dict[str, set[str]] = {}
    for slug, thing in words.things.items():
        for name in thing.names:
            owners.setdefault(key(name), set()).add(slug)
    names = sorted(owners)
    for part in range(PARTS):
        gone = frozenset(names[part::PARTS])
        reduced = without(rulebase, gone)
        for name in sorted(gone):
            found = Things(reduced, Sentence(reduced, f"leather for a {name}")).find()
            said = [found.taken.thing.slug] if found.taken else [c.thing.slug for c in found.candidates]
            if owners[name] & set(said):
                verdict = "right" if found.taken else "offered"
            elif found.taken:
                verdict = "wrong, with a doubt" if found.unread else "wrong"
            else:
                verdict = "not found"
            yield "/".join(sorted(owners[name])), name, verdict, said


if __name__ == "__main__":
    results = list(measured(load_rulebase()))
    if "--show" in sys.argv:
        for slug, name, verdict, said in results:
            if verdict.startswith("wrong"):
                print(f"{verdict}: {name} is {slug}, taken for {said}")
    counts = Counter(verdict for _, _, verdict, _ in results)
    for verdict, count in counts.most_common():
        print(f"{verdict}: {count} of {len(results)} ({count / len(results):.1%})")

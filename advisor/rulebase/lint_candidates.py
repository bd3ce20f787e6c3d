"""What a leather lacks that is known and can never be advised, and properties that lead nowhere: one-pass checks."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from .declarations import DECISIONS
from .findings import Check, Finding, warn, written
from .fittings import TANNAGE
from .models import CONCERNS, MAY_BRING_IN, Candidate, RuleBase

LISTED = 3
"""So many slugs are a list that means something; two may be alike by chance."""


def _about(rulebase: RuleBase, candidate: Candidate, what: str, hint: str, decision: str = TANNAGE) -> Finding:
    path = ("decision", decision, "candidates", candidate.slug)
    line = rulebase.memo["line"](DECISIONS, path) if "line" in rulebase.memo else 0
    return Finding("error", DECISIONS, line, candidate.slug, what, hint)


def _leathers(rulebase: RuleBase) -> list[Candidate]:
    decision = rulebase.decisions.get(TANNAGE)
    return list(decision.candidates.values()) if decision else []


def leathers_nobody_ranks(rulebase: RuleBase) -> Iterator[Finding]:
    """Leathers that no item ranks, so that none is ever advised for anything, where items rank most others."""
    favoured = [(r, c) for r in rulebase.about(TANNAGE) for c in r.then if c.act == "favour" and c.target == TANNAGE]
    ranked = {v for r, c in favoured if r.item for v in c.values}
    brought = {v for r, c in favoured if CONCERNS.index(r.concern) <= MAY_BRING_IN for v in c.values}
    for candidate in _leathers(rulebase) if len(ranked) * 2 > len(_leathers(rulebase)) else ():
        if candidate.slug in ranked:
            continue
        only = "it is advised only where a rule argues for it" if candidate.slug in brought else "it is never advised"
        yield _about(
            rulebase,
            candidate,
            f"no item ranks it, so {only}.",
            'Say like = "..." with the leather that makers take in its place, or rank it in [item.X.tannage], '
            "by its name or by a property that it has.",
        )


def leathers_without_checks(rulebase: RuleBase) -> Iterator[Finding]:
    """Leathers for which nobody is told what to look over when they arrive."""
    if not rulebase.checks:
        return
    looked_over = frozenset(chain.from_iterable(c.of.get(TANNAGE, ()) for c in rulebase.checks.values()))
    for candidate in _leathers(rulebase):
        if candidate.slug not in looked_over:
            what = "no check of what arrives is about it."
            yield _about(rulebase, candidate, what, "Name it or a property that it has in a check of checks.toml.")


def leathers_without_words(rulebase: RuleBase) -> Iterator[Finding]:
    """Leathers that nobody can ask for."""
    for candidate in _leathers(rulebase):
        if not candidate.words:
            yield _about(rulebase, candidate, "nobody can ask for it.", "Add what customers call it to its words.")


def leathers_of_unknown_surface(rulebase: RuleBase) -> Iterator[Finding]:
    """Leathers of which no rule says with what surface they are sold, where it says so of others."""
    says = [r for r in written(rulebase) if any(c.act == "require" and c.target != TANNAGE for c in r.then)]
    sold: dict[str, set[object]] = {}
    for rule in says:
        of = [p for p in rule.when if p.attribute == TANNAGE and p.operator in ("is", "in")]
        for c in rule.then if len(rule.when) == len(of) == 1 else ():
            if c.act == "require":
                sold.setdefault(c.target, set()).update(of[0].values)
    for target, known in sold.items():
        if len(known) * 2 > len(_leathers(rulebase)):
            for candidate in _leathers(rulebase):
                if candidate.slug not in known:
                    what = f"no rule says which {rulebase.decisions[target].title} it is sold with."
                    yield _about(
                        rulebase, candidate, what, f'Write a rule "tannage is ..." that requires {target} ....'
                    )


def unread_properties(rulebase: RuleBase) -> Iterator[Finding]:
    """Properties that no rule, check or list reads, though every candidate has to say them."""
    texts = [p.text for r in rulebase.rules.values() for p in r.when]
    texts += [c.text for r in rulebase.rules.values() for c in r.then]
    texts += [p.text for c in rulebase.cautions.values() for p in chain(c.concerns, *(c.met_by or ()))]
    read = {word for text in texts for word in text.replace(",", " ").split()}
    for decision in rulebase.decisions.values():
        for column in decision.properties.values():
            names = {column.name} if column.unit == "yes_no" else {f"{column.name}_{v}" for v in column.values}
            if not names or names & read or any(_listed(rulebase, decision.groups[n]) for n in names):
                continue
            line = rulebase.memo["line"](DECISIONS, ("decision", decision.name, "properties", column.name))
            what = f"no rule reads the property {column.name} of {decision.title}."
            yield Finding("warning", DECISIONS, line, column.name, what, "Let a rule read it, or take it out.")


def lists_that_have_a_name(rulebase: RuleBase) -> Iterator[Finding]:
    """Lists of candidates in rules that are all that has a property or is in a group, and would leave out a new one."""
    named = {
        (d.name, frozenset(members)): group
        for d in rulebase.choices()
        for group, members in d.groups.items()
        if len(members) >= LISTED and group not in d.candidates
    }
    for rule in written(rulebase):
        for target, values, text in chain(
            ((p.attribute, p.values, p.text) for p in rule.when), ((c.target, c.values, c.text) for c in rule.then)
        ):
            group = named.get((target, frozenset(map(str, values))))
            spelt = sum(word in text.replace(",", "").split() for word in map(str, values))
            if group and spelt >= LISTED and " but " not in text:
                yield warn(
                    rule, f'"{text}" lists all that "{group}" names.', "Name it, so that a new one stands there."
                )


def _listed(rulebase: RuleBase, members: tuple[str, ...]) -> bool:
    """Whether what is bought undyed is told by this property, as far as its members show."""
    undyed = rulebase.undyed
    return undyed is not None and frozenset(members) in (undyed.sold, undyed.dyed)


CANDIDATE_CHECKS: tuple[Check, ...] = (
    leathers_nobody_ranks,
    leathers_without_checks,
    leathers_without_words,
    leathers_of_unknown_surface,
    unread_properties,
    lists_that_have_a_name,
)

"""Why: the reasons behind what was said, on request."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ..errors import nearest
from ..leather.units import show
from .wording import Page, fact_words, plain

if TYPE_CHECKING:
    from .session import Session

_VERBS = {"favour": "for", "disfavour": "against", "exclude": "excluded", "require": "required"}


def why_lines(session: Session, named: str) -> list[str]:
    """The reasons for a decision, bound, rule, caution or fact, as lines."""
    advice = session.advice()
    name = re.sub(r"\W+", "_", named.strip().lower())
    d = advice.decisions
    page = Page(session.width)
    if name == "weight":
        for bound in d.weight.bounds:
            aside = f" Set aside: {bound.set_aside}." if bound.set_aside else ""
            how = f"{bound.formula}. " if bound.formula else ""
            page.add(f"{bound.side} {show(bound.mm, 'mm')}: {how}{bound.because}{aside} [{bound.rule}]")
        return page.lines or ["No bound on the weight is known yet."]
    if name in d.choices():
        choice = d.choices()[name]
        for entry in choice.ledger:
            aside = f" Not counted: {entry.set_aside}." if entry.set_aside else ""
            what = f"{plain(entry.candidate)}, {_VERBS[entry.act]} ({entry.strength})"
            page.add(f"{what}: {entry.because}{aside} [{entry.rule}]")
        return page.lines or [f"{plain(name)} is {choice.open}."]
    if name in session.rulebase.rules:
        rule = session.rulebase.rules[name]
        return [f"{rule.because} ({rule.force}; {rule.concern}; {rule.basis})"]
    for caution in advice.cautions:
        if name in (caution.id, caution.about.replace(" ", "_")):
            return [f"{caution.about}: {session.rulebase.rules[caution.rule].because} [{caution.rule}]"]
    fact = advice.facts.get(name)
    if fact is not None and fact.value is not None:
        by = f" [{fact.rule}]" if fact.rule else ""
        how = f" {fact.formula}." if fact.formula else ""
        return [f"{fact_words(name, fact)}: {fact.origin}.{how}{by}"]
    words = [*d.choices(), "weight", *advice.facts]
    near = nearest(name, words)
    return [f'I cannot say why of "{named}".' + (f' Did you mean "{plain(near)}"?' if near else "")]

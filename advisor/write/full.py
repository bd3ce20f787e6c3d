"""The whole advice as lines: every reason, bound, form and caution, and the trace that made it.

Everything said is read off the advice; nothing is concluded here. The machine form is the advice
itself (``Advice.model_dump_json``).
"""

from __future__ import annotations

from ..leather.units import Units
from ..reasoning.advice import GRADES, Advice, CautionView, Conflict, TraceStep
from ..rulebase.models import RuleBase
from .assumed import assumed
from .buying import order_block
from .catalogue import sentence, tell
from .names import attribute_called, basis_called, thing_called
from .ordering import order_part
from .page import GRADE_WORDS, SEVERITY_WORDS, Page, capital, listed, verdict_words
from .refusal import danger_words, unknown
from .statements import conclusions_said
from .warnings import words


def full_lines(rulebase: RuleBase, advice: Advice, width: int = 80, units: Units = "mm", own: str = "") -> list[str]:
    """Everything an advice holds, for a person."""
    page = Page(width, units)
    item = advice.facts.get("item")
    name = thing_called(rulebase, str(item.value) if item else "")
    barred = advice.no_order
    if name:
        page.add(f"{capital(name)}: {verdict_words(advice)}.")
    else:
        page.add(f"{capital(verdict_words(advice))}." if barred or advice.outcome == "defer" else unknown(advice))
    _outcome(rulebase, page, advice)
    for question in advice.dangers:
        page.add(danger_words(question), 2, "? ")
    for conflict in advice.conflicts:
        _conflict(rulebase, page, conflict)
    if name and not barred:
        page.head("")
        page.lines.pop()
        order_block(rulebase, page, advice, own)
        order_part(rulebase, page, advice)
    _cautions(rulebase, page, advice)
    _contested(page, advice)
    _assumed(rulebase, page, advice)
    _questions(page, advice)
    page.head("How it was worked out, step by step")
    page.lines += trace_lines(rulebase, advice, width, units)
    page.head("")
    page.lines.pop()
    if not barred:
        _evidence(rulebase, page, advice)
    closing(rulebase, page)
    return page.lines


def closing(rulebase: RuleBase, page: Page) -> None:
    """What stands under every full advice: how far to trust it, and which rules gave it."""
    page.add("Weights and amounts are a maker's reckoning; estimates are no rating.")
    page.add(f"Rules: {rulebase.name} {rulebase.version} ({rulebase.sha256[:12]}).")


def _outcome(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    told = {r.rule for c in advice.conflicts for r in c.reasons}
    for reason in advice.outcome_reasons:
        if reason.verdict == advice.verdict and reason.rule not in told and reason.outcome != "undecided":
            page.add(f"{reason.because} [{reason.rule}]", 2)
            for remedy in rulebase.rules[reason.rule].remedies:
                page.add(remedy, 2, "Instead: ")


def _conflict(rulebase: RuleBase, page: Page, conflict: Conflict) -> None:
    page.head(f"Cannot be had together: {attribute_called(rulebase, conflict.about)}")
    page.add(sentence(conflict.outcome, rulebase), 2)
    for reason in conflict.reasons:
        facts = f" ({'; '.join(tell(f, rulebase) for f in reason.facts)})" if reason.facts else ""
        page.add(f"{reason.because}{facts} [{reason.rule}]", 2, "- ")
    for n, way in enumerate(conflict.resolutions, 1):
        page.add(tell(way, rulebase), 2, f"{n}. ")


def _cautions(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    applies = [c for c in advice.cautions if c.status == "applies"]
    not_ruled_out = [c for c in advice.cautions if c.status != "applies"]
    for title, cautions in (("Cautions", applies), ("Tell me if one of these comes in", not_ruled_out)):
        if cautions:
            page.head(title)
        for caution in cautions:
            add_caution(rulebase, page, caution)


def add_caution(rulebase: RuleBase, page: Page, caution: CautionView, indent: int = 2) -> None:
    """The words of a caution, whom to ask, and its rule."""
    waits = listed(attribute_called(rulebase, d) for d in caution.depends_on)
    depends = f" (depends on {waits})" if waits else ""
    page.add(f"{words(caution)}{depends} [{caution.rule}]", indent, f"{SEVERITY_WORDS[caution.severity]}: ")


def _contested(page: Page, advice: Advice) -> None:
    """Where practice differs, said by the rules that were used."""
    said = dict.fromkeys(
        f"{s.contested.removeprefix('Makers differ: ')} [{s.rule}]"
        for s in advice.trace
        if s.contested and s.withdrawn_by is None
    )
    if said:
        page.head("Makers differ")
        for text in said:
            page.add(capital(text), 2, "- ")


def _assumed(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    if found := assumed(rulebase, advice, page.units):
        page.head("I assumed")
        page.add(f"{'; '.join(found.values())}.", 2)


def _questions(page: Page, advice: Advice) -> None:
    if advice.open_questions:
        page.head("Still open; an answer may change the advice")
    for question in advice.open_questions:
        page.add(f"{question.question} {question.help}", 2, "- ")


def _evidence(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    """The weakest links: how many conclusions rest on what, then each with its own."""
    found = advice.evidence
    if not found:
        return
    by_grade = {g: [attribute_called(rulebase, e.conclusion) for e in found if e.grade == g] for g in GRADES}
    counts = [(len(names), GRADE_WORDS[g]) for g, names in by_grade.items() if names]
    said = [f"{n}{'' if k else f' of {len(found)} conclusions rest'} on {w}" for k, (n, w) in enumerate(counts)]
    weakest = next(names for names in reversed(by_grade.values()) if names)
    named = f" ({listed(weakest)})" if len(counts) > 1 else ""
    many = sum(bool(e.supposed) for e in found)
    page.add(f"Evidence: {listed(said)}{named}{f'; {many} rest on something assumed' if many else ''}.")
    for entry in found:
        on = f"; assumed: {listed(attribute_called(rulebase, s) for s in entry.supposed)}" if entry.supposed else ""
        about = attribute_called(rulebase, entry.conclusion)
        page.add(f"{about}: {GRADE_WORDS[entry.grade]} [{basis_called(rulebase, entry.by)}]{on}.", 2, "- ")


def trace_lines(rulebase: RuleBase, advice: Advice, width: int = 80, units: Units = "mm") -> list[str]:
    """The trace as sentences, one paragraph for each rule that fired."""
    page = Page(width, units)
    for step in advice.trace:
        _trace_step(rulebase, page, step)
    return page.lines


def _trace_step(rulebase: RuleBase, page: Page, step: TraceStep) -> None:
    """Since these facts, this follows, for this reason, by this rule."""
    since = "; ".join(tell(m, rulebase) for m in (*step.matched, *step.absent))
    concluded = conclusions_said(rulebase, rulebase.rules[step.rule].then)
    text = f"Since {since}: " if since else "Always: "
    text += f"{concluded}. {step.because}"
    if step.contested:
        text += f" {step.contested}"
    if step.withdrawn_by:
        text += f" Withdrawn: {step.withdrawn_by} is preferred."
    if step.defeated:
        text += f" Preferred to {listed(step.defeated)}."
    sources = f"; {', '.join(step.source)}" if step.source else ""
    page.add(f"{text} [{step.rule}; {step.force}; {step.concern}; {step.basis}{sources}]", 0, f"{step.step}. ")

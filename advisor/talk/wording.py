"""Advice as lines a person reads, at any width from 40 columns, without colour or box drawing.

Everything said is read off the advice; nothing is concluded here. The machine form is the advice
itself (``Advice.model_dump_json``).
"""

from __future__ import annotations

from collections.abc import Collection

from ..leather.units import (
    Units,
    show,
)
from ..read.lexicon import lexicon
from ..reasoning.advice import (
    GRADES,
    Advice,
    CautionView,
    Conflict,
    FactView,
    OpenQuestion,
    TraceStep,
)
from ..rulebase.models import RuleBase
from .ordering import order_part
from .page import GRADE_WORDS, SEVERITY_WORDS, Page, capital, listed, plain, verdict_words

MOST_QUESTIONS = 3
MOST_NOTES = 5
_PEOPLE = {"people", "limits"}


def advice_lines(
    rulebase: RuleBase, advice: Advice, width: int = 80, full: bool = False, units: Units = "mm"
) -> list[str]:
    """The advice for a person; ``full`` adds every bound, form, caution and the whole trace."""
    page = Page(width, units)
    item = advice.facts.get("item")
    slug = str(item.value) if item and item.value else ""
    name = rulebase.items[slug].name if slug in rulebase.items else ""
    if name:
        page.add(f"{name[0].upper()}{name[1:]}: {verdict_words(advice)}.")
    elif advice.no_order or advice.outcome == "defer":
        page.add(f"{capital(verdict_words(advice))}.")
    else:
        page.add("I do not know yet what you are making, so nothing is advised.")
    told = {r.rule for c in advice.conflicts for r in c.reasons}
    for reason in advice.outcome_reasons:
        if reason.verdict == advice.verdict and reason.rule not in told and reason.outcome != "undecided":
            page.add(f"{reason.because} [{reason.rule}]", 2)
            for remedy in rulebase.rules[reason.rule].remedies:
                page.add(remedy, 2, "Instead: ")
    for question in advice.dangers:
        page.add(danger_words(question), 2, "? ")
    _conflicts(page, advice.conflicts)
    barred = advice.no_order
    if not (name or barred or full or advice.conflicts):
        # Nothing can be said of a thing that nobody knows; what may hurt was asked above.
        closing(rulebase, page)
        return page.lines
    if name and not barred:
        order_part(rulebase, page, advice, full)
    _cautions(rulebase, page, advice, full, bool(name), barred)
    _contested(page, advice, None if full or not barred else {r.rule for r in advice.outcome_reasons})
    if not barred or full:
        _suppositions(rulebase, page, advice)
        _questions(page, advice, full)
    if full:
        page.head("How it was worked out, step by step")
        page.lines += trace_lines(advice, width, units)
    page.head("")
    page.lines.pop()
    if not barred:
        _evidence(page, advice, full)
    closing(rulebase, page)
    return page.lines


def danger_words(question: OpenQuestion) -> str:
    """The question that a raised danger waits for, with why it is asked first."""
    return f"{question.question} {question.danger}"


def closing(rulebase: RuleBase, page: Page) -> None:
    """What stands under every advice: how far to trust it, and which rules gave it."""
    page.add("Weights and amounts are a maker's reckoning; estimates are no rating.")
    page.add(f"Rules: {rulebase.name} {rulebase.version} ({rulebase.sha256[:12]}).")


def _conflicts(page: Page, conflicts: list[Conflict]) -> None:
    for conflict in conflicts:
        page.head(f"Cannot be had together: {plain(conflict.about)}")
        page.add(conflict.outcome[0].upper() + conflict.outcome[1:].rstrip(".") + ".", 2)
        for reason in conflict.reasons[:4]:
            facts = f" ({'; '.join(plain(f) for f in reason.facts)})" if reason.facts else ""
            page.add(f"{reason.because}{facts} [{reason.rule}]", 2, "- ")
        for n, way in enumerate(conflict.resolutions, 1):
            page.add(plain(way), 2, f"{n}. ")


def _cautions(rulebase: RuleBase, page: Page, advice: Advice, full: bool, item_known: bool, barred: bool) -> None:
    applies = [c for c in advice.cautions if c.status == "applies"]
    open_ones = [c for c in advice.cautions if c.status != "applies"]
    if (barred or not item_known) and not full:
        applies = [c for c in applies if c.severity == "stop"]
        open_ones = [] if barred else open_ones
    notes = [c for c in applies if c.severity == "note"]
    if applies:
        page.head("Cautions")
        for caution in applies if full else [c for c in applies if c.severity != "note"] + notes[:MOST_NOTES]:
            add_caution(page, caution)
        if len(notes) > MOST_NOTES and not full:
            page.add(f"and {len(notes) - MOST_NOTES} more notes (--full shows them).", 2)
    if not open_ones:
        return
    if not item_known:
        page.head(f"No caution can be ruled out before the item is known ({len(open_ones)} stand open).")
        return
    page.head("Not ruled out, because nobody has said")
    if full:
        for caution in open_ones:
            add_caution(page, caution)
        return
    told = [c for c in open_ones if c.severity == "stop" or (c.severity == "caution" and _about_people(rulebase, c))]
    for severity in ("stop", "caution"):
        words = [c.about for c in told if c.severity == severity]
        if words:
            page.add(f"{', '.join(words)}.", 2, f"{SEVERITY_WORDS[severity]}: ")
    page.add(f"and {len(open_ones) - len(told)} of the workshop and of use; --full gives the words of all.", 2)


def _about_people(rulebase: RuleBase, caution: CautionView) -> bool:
    groups = {rulebase.attributes[d].group for d in caution.depends_on if d in rulebase.attributes}
    return bool(groups & _PEOPLE)


def add_caution(page: Page, caution: CautionView, indent: int = 2) -> None:
    """The words of a caution, whom to ask, and its rule."""
    defer = f" Ask: {caution.defer_to}." if caution.defer_to else ""
    depends = f" (depends on {listed(plain(d) for d in caution.depends_on)})" if caution.depends_on else ""
    page.add(f"{caution.text}{defer}{depends} [{caution.rule}]", indent,
             f"{SEVERITY_WORDS[caution.severity]}: ")  # fmt: skip


def fact_words(name: str, fact: FactView, units: Units = "mm") -> str:
    """``strap width 38 mm``."""
    if isinstance(fact.value, list):
        return f"{plain(name)} {listed(plain(v) for v in fact.value)}"
    value = show(fact.value, fact.unit, units) if isinstance(fact.value, float) else plain(str(fact.value))
    # "For sale", not "for sale sale".
    return plain(name) if plain(name).endswith(f" {value}") else f"{plain(name)} {value}"


def _contested(page: Page, advice: Advice, rules: Collection[str] | None) -> None:
    """Where practice differs, said by the rules that were used, or by ``rules`` alone."""
    said = dict.fromkeys(
        f"{s.contested.removeprefix('Makers differ: ')} [{s.rule}]"
        for s in advice.trace
        if s.contested and s.withdrawn_by is None and (rules is None or s.rule in rules)
    )  # fmt: skip
    if said:
        page.head("Makers differ")
        for text in said:
            page.add(text[0].upper() + text[1:], 2, "- ")


def _suppositions(rulebase: RuleBase, page: Page, advice: Advice) -> None:
    if found := supposed(rulebase, advice, page.units):
        page.head("Taken for granted; say otherwise to change it")
        page.add(f"{'; '.join(found.values())}.", 2)


def supposed(rulebase: RuleBase, advice: Advice, units: Units) -> dict[str, str]:
    """What nobody said and the advice leans on, by name, as facts in words: the sizes of the pattern first."""
    used = {m.split(" ", 1)[0] for step in advice.trace for m in step.matched if m.endswith("(supposed)")}
    item = advice.facts.get("item")
    sizes = lexicon(rulebase).uses.get(str(item.value), frozenset()) if item else frozenset()
    names = [n for n, f in advice.facts.items() if f.origin == "supposed" and f.value is not None and n != "family"]
    first = [n for n in names if n in sizes]
    rest = [n for n in names if n in used and n not in sizes]
    return {n: fact_words(n, advice.facts[n], units) for n in (*first, *rest)}


def _questions(page: Page, advice: Advice, full: bool) -> None:
    questions = advice.open_questions
    if not questions:
        return
    page.head("Still open; an answer may change the advice")
    for question in questions if full else questions[:MOST_QUESTIONS]:
        page.add(f"{question.question} {question.help}", 2, "- ")
    rest = len(questions) - MOST_QUESTIONS
    if rest > 0 and not full:
        page.add(f"and {rest} more.", 2)


def _evidence(page: Page, advice: Advice, full: bool) -> None:
    """The weakest links in one or two lines: how many conclusions rest on what, and the worst by name."""
    found = advice.evidence
    if not found:
        return
    by_grade = {g: [plain(e.conclusion) for e in found if e.grade == g] for g in GRADES}
    counts = [(len(names), GRADE_WORDS[g]) for g, names in by_grade.items() if names]
    said = [f"{n} of {len(found)} conclusions rest on {words}" if not k else f"{n} on {words}"
            for k, (n, words) in enumerate(counts)]  # fmt: skip
    weakest = next(names for names in reversed(by_grade.values()) if names)
    named = f" ({listed(weakest)})" if len(counts) > 1 else ""
    supposed = sum(bool(e.supposed) for e in found)
    taken = f"; {supposed} take something for granted" if supposed else ""
    page.add(f"Evidence: {listed(said)}{named}{taken}.")
    for entry in found if full else ():
        taken = f"; supposed: {listed(plain(s) for s in entry.supposed)}" if entry.supposed else ""
        page.add(f"{plain(entry.conclusion)}: {GRADE_WORDS[entry.grade]} [{entry.by}]{taken}.", 2, "- ")


def trace_lines(advice: Advice, width: int = 80, units: Units = "mm") -> list[str]:
    """The trace as sentences, one paragraph for each rule that fired."""
    page = Page(width, units)
    for step in advice.trace:
        _trace_step(page, step)
    return page.lines


def _trace_step(page: Page, step: TraceStep) -> None:
    """Since these facts, this follows, for this reason, by this rule."""
    since = "; ".join(plain(m) for m in (*step.matched, *step.absent))
    concluded = "; ".join(plain(c) for c in step.concluded)
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

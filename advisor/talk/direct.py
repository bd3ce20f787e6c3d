"""Questions answered straight: from the glossary, from the advice as it stands, or honestly not. No answer changes.

What the answers say is read off the advice and the rule base; which words ask for what stands in ``questions.toml``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence

from pydantic import Field

from ..errors import AdvisorError, AnswerError
from ..leather.units import show, show_weight
from ..read import lexicon as lex
from ..read.acts import Act, acts_of
from ..read.danger import RAISED
from ..read.glossary import terms_in, told
from ..read.offered import question_in, read_leather
from ..reasoning.advice import Advice, FormView
from ..reasoning.facts import Answer, parse_answer
from ..reasoning.judging import review
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.words import FOLDER, Phrases, words_file
from .comparing import changes_said, what_if_lines
from .matter import Matter
from .page import capital, listed, plain
from .reviewing import short_words

QUESTIONS = f"{FOLDER}/questions.toml"
MOST_LINES = 7
NO_THING = "Say first what you are making; then I can tell you that."
NO_ORDER = "There is no order for this as it stands, so I cannot tell you that."
CANNOT = "I can't tell you that."
_BEGINNING = re.compile(
    r"^(?:and |but |so |or )?(?:can|could|may|might|does|do|did|will|would|should|shall|is|are|was|has|must)(?:n't)? "
    r"(?:i|you|we|it|they|this|that|he|she|one|the (?:leather|thing))\b\s*",
    re.IGNORECASE,
)


class RawQuestion(Shape):
    """Words that ask for a part of the advice, and where the answer is read."""

    words: Phrases
    tell: tuple[str, ...] = ()
    what_if: dict[Slug, str] = Field(default_factory=dict)
    reckoned: tuple[Slug, ...] = ()


class QuestionsFile(Shape):
    """words/questions.toml."""

    question: dict[Slug, RawQuestion]


def direct_answers(matter: Matter, text: str) -> list[str]:
    """A line or some for each question in ``text``, in their order; empty if it asks nothing.

    The asker's own question ("what leather do I need for ...") is answered by the order itself and not here, but for
    how much and how thick.
    """
    lines: list[str] = []
    for act in acts_of(text):
        if act.kind == "question" or act.why in ("own", "either"):
            lines += _answered(matter, text[act.start : act.end], act)
    return list(dict.fromkeys(lines))


def asks_only(text: str) -> bool:
    """Whether a text asks, tells or greets and states nothing: then nothing of it is an answer."""
    acts = acts_of(text)
    return any(a.kind == "question" or a.why == "own" for a in acts) and not any(
        a.factual and a.why != "own" for a in acts
    )


def _answered(matter: Matter, clause: str, act: Act) -> list[str]:
    terms = terms_in(matter.rulebase, clause)
    if act.why == "meaning" and terms:
        return [*map(told, terms[:4]), *_see(terms[0].see if len(terms) == 1 else ())]
    if act.why == "own":
        row = _row(matter.rulebase, clause)
        return _from_advice(matter, row) if row and set(row.tell) & {"amount", "cost"} else []
    if row := _row(matter.rulebase, clause):
        return _from_advice(matter, row)
    if act.why == "either" and len(terms) > 1:
        return [*map(told, terms[:3]), *_chosen_line(matter)]
    if act.kind != "question":
        return []
    for answer in (_judged, _tried):
        if lines := answer(matter, clause):
            return lines
    if terms:
        return [*map(told, terms[:2]), *_chosen_line(matter)]
    return cannot(matter)


def _see(names: Sequence[str]) -> list[str]:
    return [f"See also: {', '.join(names)}."] if names else []


def cannot(matter: Matter) -> list[str]:
    """The honest no, and two things that can be asked."""
    chosen = matter.advice().decisions.tannage.chosen if matter.item else []
    first = f'"why {plain(chosen[0])}"' if chosen else '"what is veg-tan"'
    return [CANNOT, f'You can ask for example {first} or "what if it gets wet".']


def _chosen_line(matter: Matter) -> list[str]:
    if matter.item is None:
        return []
    chosen = matter.advice().decisions.tannage.chosen
    name = matter.rulebase.items[matter.item].name
    return [f"For the {name} I advise {listed(map(plain, chosen), 'or')}."] if chosen else []


# -- rows of the questions file


def _row(rulebase: RuleBase, clause: str) -> RawQuestion | None:
    """The first row of which some words stand in the clause."""
    words = f" {' '.join(t.word for t in lex.tokens(clause.replace('-', ' ')))} "
    for phrases, row in _rows(rulebase):
        if any(f" {phrase} " in words for phrase in phrases):
            return row
    return None


def _rows(rulebase: RuleBase) -> list[tuple[list[str], RawQuestion]]:
    made: list[tuple[list[str], RawQuestion]] = rulebase.once("questions of the advice", _read)
    return made


def _read(rulebase: RuleBase) -> list[tuple[list[str], RawQuestion]]:
    file = words_file(rulebase, QUESTIONS, QuestionsFile)
    return [
        ([" ".join(t.word for t in lex.tokens(text.replace("-", " "))) for text in row.words], row)
        for row in (file.question.values() if file else ())
    ]


def check_questions(rulebase: RuleBase) -> list[str]:
    """What is wrong with the questions file: parts, attributes, values or sums that are not there."""
    file = words_file(rulebase, QUESTIONS, QuestionsFile)
    problems = []
    for name, row in file.question.items() if file else ():
        parts = {*_TELL, *(d.name for d in rulebase.choices())}
        problems += [f"{QUESTIONS}: {name} tells {part}, which is no part." for part in row.tell if part not in parts]
        for attribute, value in row.what_if.items():
            if attribute not in rulebase.attributes or value not in rulebase.attributes[attribute].values:
                problems.append(f"{QUESTIONS}: {name} tries {attribute} {value}, which cannot be answered.")
    return problems


def _from_advice(matter: Matter, row: RawQuestion) -> list[str]:
    if matter.item is None:
        return [NO_THING]
    advice = matter.advice()
    if advice.outcome in (None, "refuse", "another_material") or not advice.decisions.tannage.chosen:
        return [NO_ORDER]
    lines = [line for part in row.tell if (line := _part(matter, advice, part))]
    lines += [
        f"Reckoned for this: {plain(b.what)} {show(float(b.value), b.unit, matter.units)}."
        for b in advice.basket if b.what in row.reckoned
    ]  # fmt: skip
    if row.what_if:
        changes = {n: parse_answer(matter.rulebase.attributes[n], v) for n, v in row.what_if.items()}
        lines += _tried_lines(matter, changes)
    return lines or cannot(matter)


def _part(matter: Matter, advice: Advice, part: str) -> str:
    if part in _TELL:
        return _TELL[part](matter, advice)
    decision = matter.rulebase.decisions[part]
    chosen = advice.decisions.choices()[part].chosen
    if not chosen:
        return f"The {plain(part)} is open."
    means = decision.candidates[chosen[0]].means
    others = f" {capital(listed(map(plain, chosen[1:])))} will do as well." if chosen[1:] else ""
    return f"{capital(plain(part))}: {plain(chosen[0])}, {means}.{others}"


def _amount(matter: Matter, advice: Advice) -> str:
    form = _first_form(advice)
    if form is None:
        return "How much to buy is still open; it follows from the sizes."
    area = show(advice.decisions.amount.net_area_dm2 or 0.0, "dm2", matter.units)
    return f"Buy {form.count} {plain(form.form)}. The pieces themselves come to {area}."


def _cost(_: Matter, advice: Advice) -> str:
    form = _first_form(advice)
    if form is None or form.cost is None or form.cost.total is None:
        return "I have no price list, so ask the shop for the price." if form else "That follows from the sizes."
    return f"{form.count} {plain(form.form)} comes to {form.cost.total:.2f} {form.cost.currency}."


def _thickness(matter: Matter, advice: Advice) -> str:
    weight = advice.decisions.weight
    if weight.low_mm is None or weight.high_mm is None:
        return "The thickness is still open."
    return f"Thickness: {show_weight(weight.low_mm, weight.high_mm, matter.units)}."


def _forms(_: Matter, advice: Advice) -> str:
    forms = advice.decisions.amount.forms
    fit = [f"{f.count} {plain(f.form)}" for f in forms if f.fits]
    not_fit = [f"{plain(f.form)} ({f.why_not.rstrip('.')})" for f in forms if not f.fits and f.why_not]
    said = f"These will do: {listed(fit[:4], 'or')}." if fit else "None of the usual forms will do."
    return f"{said} Too small: {'; '.join(not_fit[:2])}." if not_fit else said


def _first_form(advice: Advice) -> FormView | None:
    chosen = advice.decisions.form.chosen
    return next((f for f in advice.decisions.amount.forms if f.fits and f.form in chosen), None)


_TELL: Mapping[str, Callable[[Matter, Advice], str]] = {
    "amount": _amount, "cost": _cost, "thickness": _thickness, "forms": _forms,
}  # fmt: skip


# -- what is tried without being kept


def _judged(matter: Matter, clause: str) -> list[str]:
    """ "Would 2 mm do", "is 10 oz too thick": a leather or thickness judged for this job."""
    asked = question_in(clause)
    if asked is None:
        return []
    proposal = read_leather(matter.rulebase, asked[0]).proposal
    if not proposal.points():
        return []
    if matter.item is None:
        return [NO_THING]
    try:
        found = review(matter.rulebase, matter.answers, proposal, house=matter.house)
    except AdvisorError:
        return []
    line = short_words(found, 'type "review"')
    return [line] if line else []


def _tried(matter: Matter, clause: str) -> list[str]:
    """ "Can I carve it", "does it come in brown": what would be different, or that nothing would."""
    if matter.item is None:
        return []
    try:
        changes = changes_said(matter.rulebase, _BEGINNING.sub("", clause), matter.item, matter.units)
    except AnswerError:
        return []
    changes = {n: a for n, a in changes.items() if n not in ("item", RAISED)}
    if not changes or matter.advice().outcome in ("refuse", "another_material"):
        return []
    return _tried_lines(matter, changes)


def _tried_lines(matter: Matter, changes: Mapping[str, Answer]) -> list[str]:
    known = {n for n, a in changes.items() if (now := matter.answers.get(n)) and set(a.values) <= set(now.values)}
    if len(known) == len(changes):
        return ["The advice already reckons with that."]
    lines = what_if_lines(matter, changes)
    return [*lines[:MOST_LINES], *(['"What if ..." tells the rest.'] if len(lines) > MOST_LINES else [])]

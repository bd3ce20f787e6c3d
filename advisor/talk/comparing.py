"""Why not and what if, in a few lines read off ledgers and differences of advice.

Nothing is concluded here, and nothing asked here changes an answer.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from ..errors import AnswerError
from ..leather.units import Units, show, show_thickness
from ..read.reader import read_sentence
from ..reasoning.changes import GIVEN
from ..reasoning.difference import Move, moves
from ..reasoning.facts import Answer, attribute_named, parse_answer
from ..reasoning.standing import Goal
from ..reasoning.why_not import WhyNot, why_not, why_not_weight
from ..rulebase.models import RuleBase, Value
from .matter import Matter
from .naming import bare, candidates_named, near_name, slug_of, thickness_named
from .page import OUTCOME_WORDS, SEVERITY_WORDS, Page, capital, listed, plain

GOAL_WORDS: Mapping[str, str] = {"form": "what to buy", "amount": "the amount", "conflicts": "the conflicts"}
_SET = re.compile(r"(.+?)\s+(?:is|are|was|were|=|becomes|became|to)\s+(.+)", re.IGNORECASE)


def goal_words(goal: Goal) -> str:
    """A part of the order as a person says it."""
    return GOAL_WORDS.get(goal, f"the {plain(goal)}")


# -- why not


def why_not_lines(matter: Matter, text: str) -> list[str]:
    """The answer to "why not ...", in a few lines. Raises AnswerError for what is no candidate and no thickness."""
    found = why_not_asked(matter, text)
    page = matter.page()
    name = bare(text) if found.decision == "weight" else plain(found.asked)
    if found.decision != "weight" and slug_of(bare(text)) not in (found.asked, ""):
        name = f"{bare(text)} (the nearest is {name})"
    lead = listed((plain(c) for c in found.lead), "or")
    instead = f" Advised is {lead}." if lead else ""
    if found.state == "no leather":
        page.add(f"Not {name}, because no order stands for this at all.")
    elif found.state == "advised":
        page.add(f"It is advised: {goal_words(found.decision)} is {lead}.")
    elif found.state == "fits as well":
        page.add(f"{capital(name)} fits as well; {lead} stands before it.")
    elif found.state == "excluded":
        page.add(f"{capital(name)} is ruled out.{instead}")
    elif found.state == "outside":
        page.add(f"{name} lies outside.{instead or ' No thickness meets all bounds.'}")
    elif found.state == "outweighed":
        page.add(f"{capital(name)} is outweighed.{instead}")
    else:
        page.add(f"Nothing known speaks for {name}.{instead}")
    for reason in found.against[:2]:
        how = reason.strength
        if reason.side is not None and reason.mm is not None:
            how = f"{reason.side} {show_thickness(reason.mm, matter.units)} ({reason.strength})"
        page.add(f"{capital(how)}: {reason.because} [{reason.rule}]", 2)
    for reason in found.speaking_for[:1] if found.state in ("fits as well", "outweighed") else ():
        page.add(f"For it ({reason.strength}): {reason.because} [{reason.rule}]", 2)
    for reason in found.for_lead[:1] if found.state not in ("advised", "no leather") else ():
        page.add(f"For {plain(found.lead[0])} ({reason.strength}): {reason.because} [{reason.rule}]", 2)
    if found.state in ("excluded", "outweighed", "not spoken for", "outside"):
        _ways(matter, found, page)
    return page.lines


def why_not_asked(matter: Matter, text: str) -> WhyNot:
    """The answer as values. Raises AnswerError naming the nearest word."""
    mm = thickness_named(text)
    if mm is not None:
        return why_not_weight(matter.rulebase, matter.answers, matter.house, mm)
    named = candidates_named(matter.rulebase, text)
    if not named:
        near = near_name(matter.rulebase, text)
        raise AnswerError("why not", bare(text), "expected a leather, a cut, a form or a thickness", near)
    decision = named[0][0]
    candidates = [c for d, c in named if d == decision]
    return why_not(matter.rulebase, matter.answers, matter.house, decision, candidates)


def _ways(matter: Matter, found: WhyNot, page: Page) -> None:
    verb = "It would fit" if found.state in ("excluded", "not spoken for", "outside") else "It would lead"
    groups = {matter.rulebase.attributes[c.partition(" ")[0]].group for w in found.ways for c in w.changes}
    if groups and groups <= set(GIVEN):
        # What is the case cannot be chosen.
        verb += " in another case:"
    if found.ways:
        page.add(f"{verb} if {listed((plain_change(w.changes) for w in found.ways), 'or if')}.")
        if len(found.ways[0].changes) > 1:
            page.add(f"No single change of the {found.over} answers that bear on it is enough.", 2)
    elif found.never:
        page.add(f"No change of the {found.over} answers that bear on it would do.")
    else:
        many = "single changes" if found.covered == 1 else f"changes of up to {found.covered} answers"
        page.add(f"None of the {many} does it, out of {found.over} answers that bear on it.")
    if found.by_wish:
        page.add("Ask for it by name and it is weighed as your wish.", 2)


def plain_change(changes: Iterable[str]) -> str:
    """Changes of answers as a person says them."""
    return listed(plain(c) for c in changes)


# -- what if


def changes_said(rulebase: RuleBase, text: str, item: str | None, units: Units = "mm") -> dict[str, Answer]:
    """The answers that "what if ..." speaks of. Raises AnswerError when none can be made out."""
    found: dict[str, Answer] = {}
    for part in re.split(r"\s+and\s+|\s*,\s*", text.strip(" ?.")):
        said = _SET.fullmatch(part.strip())
        name = slug_of(bare(said[1])) if said else ""
        if said is None or name not in rulebase.attributes:
            found.clear()
            break
        found[name] = parse_answer(attribute_named(rulebase, name), said[2].strip(" ?."), units=units)
    if not found:
        found = dict(read_sentence(rulebase, text.strip(" ?."), item, units).answers)
    if not found:
        raise AnswerError("what if", text, 'expected an answer, for example "what if water is rain" or "it gets wet"')
    return found


def what_if_lines(matter: Matter, changes: Mapping[str, Answer]) -> list[str]:
    """What would be different, and nothing else."""
    page = matter.page()
    page.add(f"If {listed(answer_words(matter.rulebase, n, a, matter.units) for n, a in changes.items())}:")
    page.lines += move_lines(matter, moves(matter.advice(), matter.advice(changes)), 2)
    return page.lines


def move_lines(matter: Matter, found: Sequence[Move], indent: int = 0) -> list[str]:
    """Differences of two advices, one each, with the rule behind it."""
    page = matter.page()
    if not found:
        page.add("Nothing changes in the advice.", indent)
    notes: dict[bool, list[str]] = {True: [], False: []}
    for move in found:
        kind, _, name = move.about.partition(" ")
        caution = matter.rulebase.cautions.get(name) if kind == "caution" else None
        if caution is not None and (caution.severity == "note" or not move.after):
            notes[bool(move.after)].append(caution.about)
        else:
            page.add(_move_words(matter.rulebase, move), indent)
    if notes[True]:
        page.add(f"Notes that come with it: {listed(notes[True])}.", indent)
    if notes[False]:
        page.add(f"No longer applies: {listed(notes[False])}.", indent)
    return page.lines


def _move_words(rulebase: RuleBase, move: Move) -> str:
    kind, _, name = move.about.partition(" ")
    by = f" [{move.rules[0]}]" if move.rules else ""
    because = f" {'No longer so: ' if move.lifted else ''}{move.because}{by}" if move.because else by
    if kind == "caution":
        caution = rulebase.cautions[name]
        return f"{SEVERITY_WORDS[caution.severity]}, new: {caution.about}. {caution.say}{by}"
    if kind == "conflict":
        about = plain(name)
        if move.after:
            return f"Conflict, new: {about}. {capital(move.after[0].rstrip('.'))}.{because}"
        return f"No longer in conflict: {about}."
    before, after = (value_words(move.about, v) for v in (move.before, move.after))
    text = f"{capital(goal_words(move.about).removeprefix('the '))}"
    if not move.after:
        return f"{text}: open (before: {before}).{because}"
    return f"{text}: {after} (before: {before or 'open'}).{because}"


def value_words(about: str, values: Sequence[Value]) -> str:
    """What a part of the order comes to, as a person says it."""
    if about == "outcome":
        return ", ".join(OUTCOME_WORDS.get(str(v), str(v)) for v in values)
    return listed((plain(str(v)) for v in values), "or")


def answer_words(rulebase: RuleBase, name: str, answer: Answer, units: Units = "mm") -> str:
    """An answer as a person says it: ``strap width is 38 mm``."""
    unit = rulebase.attributes[name].unit if name in rulebase.attributes else ""
    if answer.state != "known":
        return f"{plain(name)} is {answer.state}"
    values = listed(show(v, unit, units) if isinstance(v, float) else plain(v) for v in answer.values)
    return f"{plain(name)} is {values}"

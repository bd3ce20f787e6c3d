"""What can be typed besides an answer: plain English, tried in this order, each with its own help line."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..read.offered import ASKED
from .asking import explained, preview_lines, why_asked
from .changing import answer_lines, change, forget, keep
from .comparing import changes_said, what_if_lines, why_not_lines
from .leaning import case_lines, conflict_lines, enough_lines, safe_lines, supposed_lines, tip_lines
from .reply import Reply
from .requests import next_customer, next_thing, start_again
from .why import why_lines

if TYPE_CHECKING:
    from .matter import Matter
    from .session import Session

HELP = (
    "Answer in your own words. Enter alone takes the usual value shown in brackets, if there is one. These can be "
    "typed at any time:"
)
HELP_LINES = (
    ("?", "explains the question"),
    ("why do you ask", "what each answer would do"),
    ("don't know", "leaves it open"),
    ("back, undo", "returns to the last question, takes the last line back"),
    ("change strap width to 30 mm", "changes any answer"),
    ("forget water", "takes an answer back"),
    ("answers", "lists what you said"),
    ("advice, full", "the advice so far, or everything behind it"),
    ("slip", "the order on one screen, to read out or print"),
    ("in inches, in millimetres", "the measures shown"),
    ("why tannage", "the deciding reason for it"),
    ("why tannage in full", "the whole proof, step by step"),
    ("why not chrome", "what stands in the way, also of 2 mm or of a form"),
    ("would 2 mm chrome do", "a second opinion on a leather you were offered"),
    ("what if it gets wet", "what would be different"),
    ("what would change the weight", "the answers it hangs on"),
    ("what settles the tannage", "the answers that are enough for it"),
    ("supposed", "what was taken for granted"),
    ("safe", "other answers that would leave the order as it is"),
    ("conflicts", "what cannot be had together, and ways out"),
    ("cases", "the advice for each answer that you do not know"),
    ("done, more, quit", "ends the questions, asks the rest, leaves"),
)
WHY_WHAT = 'Say of what: "why tannage", "why weight", "why strap width", or the name of a rule.'
NO_ITEM = "Say first what you are making; there is no advice to ask about yet."
KEEP = 'Nothing is changed. "Keep it" takes it over.'


@dataclass(frozen=True, slots=True)
class Command:
    """``words`` must match the whole line; ``act`` answers it, and may raise AdvisorError."""

    words: re.Pattern[str]
    act: Callable[[Session, re.Match[str]], Reply]


def _help_lines(session: Session) -> list[str]:
    page = session.matter().page()
    page.add(HELP)
    for words, meaning in HELP_LINES:
        page.add(meaning, 2, f"{words}: ")
    return page.lines


def _explained(session: Session) -> list[str]:
    lines: list[str] = []
    for question in session.questions:
        lines += [question.question] if session.questions[1:] else []
        lines += explained(session.matter(), question)
    return lines or ["No question is open."]


def _why_asked(session: Session) -> list[str]:
    question = session.question
    if question is None:
        return ["No question is open."]
    if question.name == "item":
        return ["Everything hangs on what is being made: its load, its folds and its usual leathers."]
    open_names = {q.name for q in session.questions}
    asks = [a for a in session.asks() if a.name in open_names]
    lines = [why_asked(asks)] if asks else []
    for question in session.questions:
        lines += [question.question] if session.questions[1:] else []
        lines += preview_lines(session.matter(), question)
    return lines


def _about(session: Session, lines: Callable[[Matter], list[str]]) -> Reply:
    """Something asked of the advice, which needs a thing to be made."""
    return session.again([NO_ITEM] if session.item() is None else lines(session.matter()))


def _what_if(session: Session, text: str) -> Reply:
    matter = session.matter()
    if matter.item is None:
        return session.again([NO_ITEM])
    session.tried = changes_said(session.rulebase, text, matter.item, matter.units)
    return session.again([*what_if_lines(matter, session.tried), KEEP])


def _words(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?:{pattern})[.!]*", re.IGNORECASE)


WHAT_IF = _words(r"what\s+if\s+(.+?)\??")
BY_CASES = _words("cases|by cases|advice by cases")
COMMANDS: tuple[Command, ...] = (
    Command(_words("quit|exit|bye"), lambda s, _: s.close()),
    Command(_words("help|commands"), lambda s, _: s.again(_help_lines(s))),
    Command(_words(r"\?|what|explain"), lambda s, _: s.again(_explained(s))),
    Command(_words("advice|show"), lambda s, _: s.again(s.advice_lines())),
    Command(_words("slip|order slip"), lambda s, _: s.again(s.slip_lines())),
    Command(_words("full"), lambda s, _: s.again(s.advice_lines(full=True))),
    Command(_words(r"why\??"), lambda s, _: s.again([WHY_WHAT])),
    Command(_words("back|go back|previous question"), lambda s, _: s.back()),
    Command(
        _words(r"(?:no,? )?(?:undo(?: that| it)?|scratch that|scrap that|take (?:that|it) back|strike that|no,? wait"
               r"|cancel that|as it was(?: before)?|put it back|forget (?:that|i said that))"),
        lambda s, _: s.undo(),
    ),
    Command(
        _words(r"(?:let'?s )?start (?:again|over|afresh)|restart|reset|clear (?:everything|it all)|begin again"),
        lambda s, _: start_again(s),
    ),
    Command(_words(r"next customer|next,? please|new customer|next order"), lambda s, _: next_customer(s)),
    Command(_words(r"next\s*[:,]\s*(.+)|next\s+(an?\s+.+)"), lambda s, m: next_thing(s, m[1] or m[2])),
    Command(_words(r"(?:show\s+)?in\s+(?:inch|inches|ounces)"), lambda s, _: s.show_in("inch")),
    Command(_words(r"(?:show\s+)?in\s+(?:mm|millimet(?:re|er)s)"), lambda s, _: s.show_in("mm")),
    Command(_words("done|enough|stop"), lambda s, _: s.done()),
    Command(_words("more"), lambda s, _: s.more()),
    Command(_words("keep (?:it|that|this)"), lambda s, _: keep(s)),
    Command(_words("answers|my answers"), lambda s, _: s.again(answer_lines(s))),
    Command(_words(r"forget\s+(?:the\s+|my\s+)?(.+)"), lambda s, m: forget(s, m[1])),
    Command(WHAT_IF, lambda s, m: _what_if(s, m[1])),
    Command(
        _words(r"what\s+(?:would|could|can|might)\s+(?:change|move|tip)\s+(.+?)\??"),
        lambda s, m: _about(s, lambda x: tip_lines(x, m[1])),
    ),
    Command(
        _words(r"(?:what|which answers?)\s+(?:is enough for|settles?|decides?)\s+(.+?)\??"),
        lambda s, m: _about(s, lambda x: enough_lines(x, m[1])),
    ),
    Command(
        _words(r"supposed|suppositions|what (?:did you suppose|is supposed|was supposed)\??"),
        lambda s, _: _about(s, supposed_lines),
    ),
    Command(_words(r"safe|what is safe\??|safe (?:answers|changes)"), lambda s, _: _about(s, safe_lines)),
    Command(_words(r"conflicts?|ways out|what clashes\??"), lambda s, _: _about(s, conflict_lines)),
    Command(BY_CASES, lambda s, _: _about(s, case_lines)),
    Command(
        _words(r"why\s+(?:not|isn'?t it|is it not|no)\s+(.+?)\??"),
        lambda s, m: _about(s, lambda x: why_not_lines(x, m[1])),
    ),
    Command(_words(r"(?:change|set)\s+(.+?)\s+(?:to|=)\s+(.+)"), lambda s, m: change(s, m[1], m[2])),
    Command(_words(r"why do you ask(?: that| this)?\??|why this question\??"), lambda s, _: s.again(_why_asked(s))),
    Command(_words(f"review|second opinion|{ASKED}"), lambda s, m: s.opinion(m[0])),
    Command(
        _words(r"why\s+(.+?)(\s+in full)?\??"),
        lambda s, m: s.again(why_lines(s.consultation(), m[1], s.width, bool(m[2]), s.units)),
    ),
)

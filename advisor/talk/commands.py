"""What can be typed besides an answer: plain English, tried in this order, each with its own help line."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..errors import AnswerError, UsageError, nearest
from ..leather.units import beside_in
from ..read.offered import ASKED
from .asking import example_lines, explained, preview_lines, why_asked
from .by_kind import asked_by_kind
from .changing import answer_lines, change, forget, keep
from .comparing import changes_said, contrast_lines, what_if_lines, why_not_lines
from .direct import cannot, judged_said, why_told
from .leaning import case_lines, conflict_lines, enough_lines, safe_lines, supposed_lines, tip_lines
from .lots import the_rest
from .reasons import reasons_told, what_if_told
from .reply import Reply
from .requests import next_customer, next_thing, start_again
from .ways_out import instead_told
from .why import step_of, why_lines

if TYPE_CHECKING:
    from .matter import Matter
    from .session import Session

HELP = (
    ("?", 'explains the question; "what is veg-tan" explains a word'),
    ("don't know", 'leaves it open; "back" takes the last line back'),
    ("change width to 30 mm", 'changes an answer; "answers" lists them'),
    ("order, slip, full", "the order so far, on one screen, with all that is behind it"),
    ("why tannage", 'the reason; also "why not chrome", "what if it gets wet"'),
    ("next customer", 'starts afresh; "name my first wallet" keeps this one by name'),
    ("done, more, quit", "ends the questions, asks the rest, leaves"),
)
TOPICS: Mapping[str, Sequence[tuple[str, str]]] = {
    "answers": (
        ("an answer", 'in your own words, or the number of a choice; of some choices "1, 3"'),
        ("Enter alone", "does what stands behind the question"),
        ("don't know", "leaves the question open"),
        ("back, undo", "takes the last line back"),
        ("change strap width to 30 mm", "changes any answer"),
        ("forget water", "takes an answer back"),
        ("answers", "lists what you said"),
        ("in inches, in millimetres", "the measures shown"),
    ),
    "order": (
        ("order, advice", "the order so far with its reasons"),
        ("slip", "the order on one screen, to read out or print"),
        ("full", "everything behind it"),
        ("would 2 mm chrome do", "a second opinion on a leather you were offered"),
        ("cheaper, thinner", "and the like change what they name"),
        ("the rest", "goes on with what of an order in lots still waits"),
    ),
    "why": (
        ("why do you ask", "what each answer would do"),
        ("why tannage", "the deciding reason for it"),
        ("why tannage in full", 'the whole proof, step by step; "why 1.2" opens one'),
        ("why not chrome", "what stands in the way, also of 2 mm or of a form"),
        ("why latigo rather than harness", "what only one of the two has"),
        ("supposed", "what was taken as usual"),
        ("conflicts", "what cannot be had together, and ways out"),
    ),
    "what if": (
        ("what if it gets wet", 'what would be different; "keep it" takes it over'),
        ("what would change the weight", "the answers it hangs on"),
        ("what settles the tannage", "the answers that are enough for it"),
        ("safe", "other answers that would leave the order as it is"),
        ("cases", "the order for each answer that you left open"),
    ),
    "more": (
        ("done", "no more questions"),
        ("more", "asks the questions that were left out"),
        ("next: a key fob", "another thing for the same person"),
        ("next customer", "starts afresh"),
        ("start over", "clears everything"),
        ("examples", "sentences to try"),
        ("name my first wallet", "keeps this consultation by that name"),
        ("open my first wallet", "goes on with it, now or later"),
        ("quit", "leaves, with the order so far"),
    ),
}
HELP_MORE = f'"help" and one of these tells more: {", ".join(TOPICS)}.'
WHY_WHAT = 'Say of what: "why tannage", "why weight", "why strap width", or the name of a rule.'
NO_ITEM = "Say first what you are making; there is no advice to ask about yet."
KEEP = 'Nothing is changed. "Keep it" takes it over.'


@dataclass(frozen=True, slots=True)
class Command:
    """``words`` must match the whole line; ``act`` answers it, None where it is not meant; may raise AdvisorError.

    What is meant may stand in ``any_words``, which are looked at only when the line is sent.
    """

    words: re.Pattern[str]
    act: Callable[[Session, re.Match[str]], Reply | None]
    any_words: bool = False


def _help_lines(session: Session, topic: str = "") -> list[str]:
    """The commands by use in eight lines, or all of one topic."""
    word = topic.lower().strip(" .!?")
    about = TOPICS.get(word) or TOPICS.get(nearest(word, TOPICS) or "", ()) if word else HELP
    if not about:
        return [HELP_MORE]
    page = session.matter().page()
    for words, meaning in about:
        page.add(meaning, 2, f"{words}: ")
    return page.lines if word else [*page.lines, HELP_MORE]


def _help_on(session: Session, topic: str) -> Reply | None:
    """Help on a topic; None for a sentence, since "help me choose leather for a wallet" asks for that."""
    return None if len(topic.split()) > MOST_WORDS else session.again(_help_lines(session, topic))


def command_meant(text: str) -> list[str]:
    """The command that a line is one slip away from; nothing where it is like none."""
    word = text.lower().strip(" .!?")
    near = nearest(word, NAMES)
    slip = near is not None and near != word and near[0] == word[0] and abs(len(near) - len(word)) < MOST_LETTERS
    return [f'Did you mean "{near}"? "help" lists what can be typed.'] if slip else []


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
    """Something asked of the advice, which needs a thing to be made; honestly not what cannot be told."""
    matter = session.matter()
    if matter.item is None:
        return session.again([NO_ITEM])
    try:
        return session.again(lines(matter))
    except AnswerError:
        return session.again(cannot(matter))


def _reasons(session: Session, text: str) -> Reply | None:
    """A question about reasons; None for what is none."""
    session.tried, before = {}, session.tried
    lines = reasons_told(session, text)
    if lines is None:
        session.tried = before
        return None
    return session.again([*_beside(session, lines), *([KEEP] if session.tried else [])])


def _instead(session: Session) -> Reply | None:
    """What can be had instead of what is refused; None where nothing is."""
    lines = instead_told(session)
    return session.again(lines) if lines else None


def _beside(session: Session, lines: list[str]) -> list[str]:
    """Lines with inches beside their lengths, for who reads inches."""
    return [beside_in(line, session.units) for line in lines]


def _what_if(session: Session, text: str, full: bool) -> Reply:
    matter = session.matter()
    if matter.item is None:
        return session.again([NO_ITEM])
    if not full and (told := what_if_told(session, text)):
        return session.again([*_beside(session, told), *([KEEP] if session.tried else [])])
    try:
        session.tried = changes_said(session.rulebase, text, matter.item, matter.units)
    except AnswerError:
        return session.again(judged_said(matter, text) or cannot(matter))
    return session.again([*what_if_lines(matter, session.tried), KEEP])


def _why(session: Session, text: str, named: str, full: bool) -> Reply:
    """The reason for what is named, a number alone being a step of the proof asked for last.

    A "why" that names nothing ("why so thick") is a question like any other.
    """
    meant = step_of(session.explained, named)
    try:
        lines = why_lines(session.consultation(), meant, session.width, full, session.units)
    except UsageError:
        # A number behind a proof is a step of it, even one that it has not.
        if meant == named and (lines := why_told(session.matter(), text)):
            return session.again(lines)
        raise
    session.explained = meant
    return session.again(lines)


def _why_not(matter: Matter, text: str, named: str, full: bool) -> list[str]:
    """Why something else was not chosen; where nothing is named that could be, the topic asked about."""
    try:
        return why_not_lines(matter, named, full)
    except AnswerError:
        if lines := why_told(matter, text):
            return lines
        raise


def _words(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?:{pattern})[.!]*", re.IGNORECASE)


def _shown(names: str) -> re.Pattern[str]:
    """A command by its name alone, or asked for in a sentence: "thanks, show me the order"."""
    asked = r"(?:show|give|tell|print)(?: me)?|let me see|let'?s see|can i (?:see|have|get)|(?:and |so )?what(?:'s| is)"
    polite = r"(?:(?:ok(?:ay)?|right|great|good|thanks|thank you|cheers|so|and|now|well|can you|could you)[ ,.!]+)*"
    return _words(rf"{polite}(?:(?:{asked}) )?(?:the |my |your )?(?:{names})(?: (?:then|now|please|so far))*\??")


MOST_LETTERS = 3
MOST_WORDS = 2
"""Of a topic of the help."""
WHAT_IF = _words(r"what\s+if\s+(.+?)(\s+in full)?\??")
_REASONS = _words(
    r"(?:(?:and|but|so|or|ok|okay|well),? )*(?:why (?!do you ask|this question|\d[\d.]*\??$|not\??$)|how come |what "
    r"|is |are |does |do i |must "
    r"|same |would |will |can |could |may |should |(?:ca|could|wo|would|should|is|are)n'?t |leav).+"
)
_INSTEAD = _words(
    r"(?:(?:and|but|so|ok|okay|well|then|right)[ ,]+)*(?:what(?: else)?(?: (?:can|could|do|should|shall|may|would|will)"
    r" (?:i|we|you|he|she|they)(?: \w+){1,4})?(?: (?:instead|then|else))+(?:, .+)?\??"
    r"|what(?:'?s| is) (?:the|a) (?:alternative|way out)\??)"
)
BY_CASES = _words("cases|by cases|advice by cases")
COMMANDS: tuple[Command, ...] = (
    Command(_words("quit|exit|bye"), lambda s, _: s.close()),
    Command(_words(r"help(?: me| please)*|commands"), lambda s, _: s.again(_help_lines(s))),
    Command(_words(r"help\s+(?:on\s+|with\s+)?(.+)"), lambda s, m: _help_on(s, m[1])),
    Command(_words("examples?|show me examples?"), lambda s, _: s.again(example_lines(s.rulebase))),
    Command(_words(r"\?|what|explain"), lambda s, _: s.again(_explained(s))),
    Command(_shown("advice|order|list|shopping list|order so far"), lambda s, _: s.again(s.advice_lines())),
    Command(_shown("slip|order slip"), lambda s, _: s.again(s.slip_lines())),
    Command(_shown("full|full advice|everything"), lambda s, _: s.again(s.advice_lines(full=True))),
    Command(_words("show"), lambda s, _: s.again(s.advice_lines())),
    Command(_words(r"why\??"), lambda s, _: s.again([WHY_WHAT])),
    Command(
        _words(
            r"back|go back|previous question"
            r"|(?:no,? )?(?:undo(?: that| it)?|scratch that|scrap that|take (?:that|it) back|strike that|no,? wait"
            r"|cancel that|as it was(?: before)?|put it back|forget (?:that|i said that))"
        ),
        lambda s, _: s.undo(),
    ),
    Command(
        _words(r"(?:let'?s )?start (?:again|over|afresh)|restart|reset|clear (?:everything|it all)|begin again"),
        lambda s, _: start_again(s),
    ),
    Command(
        _words(r"(?:next customer|next,? please|new customer|next order)(?:\s*[:,.]\s*(.+))?"),
        lambda s, m: next_customer(s, m[1] or ""),
    ),
    Command(_words(r"next\s*[:,]\s*(.+)|next\s+(an?\s+.+)"), lambda s, m: next_thing(s, m[1] or m[2])),
    Command(_words(r"(?:show\s+)?in\s+(?:inch|inches|ounces)"), lambda s, _: s.show_in("inch")),
    Command(_words(r"(?:show\s+)?in\s+(?:mm|millimet(?:re|er)s)"), lambda s, _: s.show_in("mm")),
    Command(
        _words(
            r"(?:ok(?:ay)?,? |(?:no,? )?(?:thanks|thank you),? |no,? )*(?:done|enough|stop|finish(?:ed)?"
            r"|(?:that'?s|that is) (?:it|all|everything|enough)(?:,? (?:then|thanks|thank you|for now))*"
            r"|nothing (?:else|more)|no more questions)"
        ),
        lambda s, _: s.done(),
    ),
    Command(
        _words(r"(?:and )?(?:now )?(?:the rest|the others?|next lot)(?: now| then| of them)?"), lambda s, _: the_rest(s)
    ),
    Command(_words("more"), lambda s, _: s.more()),
    Command(_words("keep (?:it|that|this)"), lambda s, _: keep(s)),
    Command(_words("answers|my answers"), lambda s, _: s.again(answer_lines(s))),
    Command(_words(r"forget\s+(?:the\s+|my\s+)?(.+)"), lambda s, m: forget(s, m[1])),
    Command(_words(r"\S+ .+"), lambda s, m: asked_by_kind(s, m[0]), any_words=True),
    Command(_INSTEAD, lambda s, _: _instead(s)),
    Command(_REASONS, lambda s, m: _reasons(s, m[0])),
    Command(WHAT_IF, lambda s, m: _what_if(s, m[1], bool(m[2]))),
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
        _words(r"why\s+(?:not|isn'?t it|is it not|no)\s+(.+?)(\s+in full)?\??"),
        lambda s, m: _about(s, lambda x: _why_not(x, m[0], m[1], bool(m[2]))),
    ),
    Command(
        _words(
            r"what\s+(?:does|do|would|will)\s+(.+?)\s+(?:give|have|do|offer)(?:\s+me)?\s+that\s+(.+?)\s+"
            r"(?:does|do|would|will|has|have)(?:\s+not|n'?t)\??"
        ),
        lambda s, m: _about(s, lambda x: contrast_lines(x, (m[1], m[2]))),
    ),
    Command(_words(r"(?:change|set)\s+(.+?)\s+(?:to|=)\s+(.+)"), lambda s, m: change(s, m[1], m[2])),
    Command(_words(r"why do you ask(?: that| this)?\??|why this question\??"), lambda s, _: s.again(_why_asked(s))),
    Command(_words(f"review|second opinion|{ASKED}"), lambda s, m: s.opinion(m[0])),
    Command(
        _words(r"why\s+(.+?)(\s+in full)?\??"),
        lambda s, m: _why(s, m[0], m[1], bool(m[2])),
    ),
)
_LISTED = [name for lines in (HELP, *TOPICS.values()) for words, _ in lines for name in words.split(", ")]
_FIXED = [c.words for c in COMMANDS if not c.words.groups and ".+" not in c.words.pattern]
NAMES = ("help", "commands", "exit", "don't know", *(n for n in _LISTED if any(words.fullmatch(n) for words in _FIXED)))
"""Commands of one fixed wording, for who mistypes them: what the help lists, where no part of it is free."""

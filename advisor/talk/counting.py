"""How many, in which colours, and what of the order is at home already, said at any time."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ..read.answers import read_answer
from ..read.counts import QUANTITY
from ..read.lexicon import lexicon, phrase
from ..read.variants import COLOUR, the_same_in, variants
from ..reasoning.facts import Answer
from ..write.names import values_called
from ..write.page import capital, listed
from .lots import lots_lines
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

MOST_BARE = 12
"""Up to this a bare number after "make it" counts pieces, if it is no size; an estimate."""
_LEAD = re.compile(
    r"(?:no,? |actually,? |sorry,? |oh,? |and |please |ok,? |so |well,? |hm,? |in fact,? )*"
    r"(?P<made>(?:can (?:you|we) |could (?:you|we) |let'?s )?(?:make|do) (?:it|that|them)(?: to)?"
    r"|(?:i|we)(?:'ll| will| would)? ?(?:need|want|like|take|have|make)"
    r"|it (?:should|will|has to) be|there (?:should|will) be|give me|it'?s|it is|they'?re|they are|that'?s)?\s*"
)
_COUNTED = re.compile(
    r"\b(?:of (?:them|those|these|it)|pieces?|copies|in (?:total|all)|altogether|all told|of the same"
    r"|to (?:make|be made|do))\b"
    r"(?: (?:please|for .*|now|then|actually|in total))?$"
)
_FOR_WHAT = frozenset(("for", "of", "to", "with", "on"))
_MORE = re.compile(
    r"(?:(?:and|also|plus|oh|please|can i have|could i have|i(?:'ll| will|'d)? (?:want|need|like|take)|add|with),? )*"
    r"(?:another(?: (?P<another>[\w -]+?))?|(?P<more>[\w -]+?) (?:more|extra))"
    r"(?: one)?(?: of (?:them|those|these|the same))?(?: (?:on top(?: of (?:that|those|them))?|as well|too|then))*"
)
_NOT_SO_MANY = re.compile(r",? (?:and )?(?:not|rather than|instead of) (?:just |only )?(?P<old>[\w -]+?)(?: of them)?$")
_MENDED = re.compile(
    r"(?:(?:no|actually|sorry|oh|oops|wait|only|just|it's|it is|that's|we are|we're|there are \d+ of us|so|in fact"
    r"|well)"
    r",? +)+"
)
_MANNERS = re.compile(r"[ ,]+(?:please|now|then|thanks|thank you|after all|actually)$")


def counted(session: Session, text: str, sure: bool = False) -> Reply | None:
    """The reply to a number of pieces or to colours of some of them; None for anything else.

    Where ``sure``, only what can be meant of nothing else is taken.
    """
    rulebase, question = session.rulebase, session.rulebase.attributes.get(QUANTITY)
    if session.item() is None or question is None:
        return None
    low = _without_manners(text.lower().strip(" .!"))
    if (number := _corrected(session, low, sure)) is not None:
        return _taken(session, number, "", text)
    if sure:
        return None
    if several := variants(rulebase, text):
        first = several[0][1]
        total = _total(session, text, sum(n for n, _ in several))
        return _taken(session, float(total), first, text)
    if (again := the_same_in(rulebase, text)) and session.answers.get(COLOUR, Answer(())).values:
        count, value, colour = again
        before = session.answers.get(QUANTITY, Answer((1.0,)))
        first = str(session.answers[COLOUR].values[0])
        held = float(before.values[0]) if before.values else 1.0
        said = before.words if variants(rulebase, before.words) else f"{held:g} in {session.answers[COLOUR].words}"
        if value == first:
            return _taken(session, held + count, first, text)
        return _taken(session, held + count, first, f"{said}, {count} in {colour}")
    lead = _LEAD.match(low)
    rest = low[lead.end() :] if lead else low
    marked = bool(_COUNTED.search(rest)) or "dozen" in rest
    if not marked and not (lead and lead["made"]):
        return None
    found = read_answer(rulebase, question, _COUNTED.sub("", rest) or rest, session.units)
    if found is None or found.meant != "value" or found.answer is None or not found.answer.values or found.rest:
        return None
    number = float(found.answer.values[0])
    if not marked and number > MOST_BARE:
        return None
    return _taken(session, number, "", text)


def _without_manners(said: str) -> str:
    while manners := _MANNERS.search(said):
        said = said[: manners.start()]
    return said


def _corrected(session: Session, said: str, sure: bool) -> float | None:
    """How many there are after "two more", "12 pulls not 8", "actually only forty"; None where it says no such thing.

    A number that may be the answer to an open question about a number is left to that question.
    """
    held = session.answers.get(QUANTITY, Answer(()))
    before = float(held.values[0]) if held.values else None
    if more := _MORE.fullmatch(said):
        added = _number_of_them(session, more["another"] or more["more"] or "one")
        return None if added is None else (before or 1.0) + added
    refused = _NOT_SO_MANY.search(said)
    if refused and _number_of_them(session, refused["old"]) is None:
        return None
    lead = _MENDED.match(said)
    told_now = said[lead.end() if lead else 0 : refused.start() if refused else len(said)]
    number = _number_of_them(session, told_now)
    if number is None and refused and before is not None and _number_of_them(session, refused["old"]) == before:
        # What was that many is meant, whatever it is called: "ten stools not eight".
        number = _number_of_them(session, told_now.split()[0]) if told_now.split() else None
    # "Forty" alone names nothing; of "forty bags" the number stands without the last word.
    before_name = " ".join(said[lead.end() if lead else 0 :].split()[:-1])
    named = bool(number and number > 1 and before_name) and _number_of_them(session, before_name) == number
    asked = any(q.numeric and q.name != QUANTITY for q in session.questions)
    told = refused or named or (lead and before is not None) or (lead and " of us" in lead[0])
    # A number that was said before can be refused only as the number it was.
    certain = refused and before is not None and _number_of_them(session, refused["old"]) == before
    certain = certain or (lead and " of us" in lead[0]) or (told and named)
    return number if certain or (told and not asked and not sure) else None


def _number_of_them(session: Session, said: str) -> float | None:
    """A number of pieces, alone or with the thing named behind it: "14", "two dozen", "12 pulls"."""
    words, question = said.split(), session.rulebase.attributes[QUANTITY]
    # "A lead for my dogs" ends in what it is for.
    known = lexicon(session.rulebase).names.get(str(session.item()), ())
    names = [name for name in known if _FOR_WHAT.isdisjoint(name)]
    for end in range(min(len(words), 5), 0, -1):
        tail = tuple(phrase(" ".join(words[end:])))
        if tail and not any(name[-len(tail) :] == tail for name in names):
            continue
        found = read_answer(session.rulebase, question, " ".join(words[:end]), session.units, numbered=False)
        if found and found.meant == "value" and found.answer and found.answer.values and not found.rest:
            return float(found.answer.values[0])
    return None


def _total(session: Session, text: str, parts: int) -> int:
    """How many they are: what the line begins with, if it is no less than its parts."""
    found = read_answer(session.rulebase, session.rulebase.attributes[QUANTITY], text.split(",")[0], session.units)
    first = found.answer.values[0] if found and found.answer and found.answer.values else parts
    return max(int(float(first)), parts)


def _taken(session: Session, number: float, colour: str, words: str) -> Reply:
    before = session.said(QUANTITY) if session.answers.get(QUANTITY, Answer(())).values else ""
    session.answers[QUANTITY] = Answer((number,), "known", "answered", words)
    if colour:
        session.answers[COLOUR] = Answer((colour,), "known", "answered", _called(session, colour))
    session.told = False
    now = session.said(QUANTITY)
    said = f"Changed: {now} (before: {before})." if before else f"Understood: {now}."
    return session.go_on([said, *likewise_lines(session)])


def likewise_lines(session: Session) -> list[str]:
    """That one colour is reckoned, and what is ordered likewise in another; nothing where all are alike."""
    quantity, colour = session.answers.get(QUANTITY, Answer(())), session.answers.get(COLOUR, Answer(()))
    parts = variants(session.rulebase, quantity.words) if quantity.values and colour.values else []
    others: dict[str, int] = {}
    waiting = lots_lines(session)
    for count, value in parts:
        if value != colour.values[0]:
            others[value] = others.get(value, 0) + count
    if not others:
        return waiting
    total = int(float(quantity.values[0]))
    named = listed(f"{count} in {_called(session, value)}" for value, count in others.items())
    return [
        f"All {total} are reckoned in {_called(session, str(colour.values[0]))}. {capital(named)}: order the same "
        f"leather in that colour for {'it' if sum(others.values()) == 1 else 'them'}.",
        *waiting,
    ]


def _called(session: Session, value: str) -> str:
    return values_called(session.rulebase, COLOUR, [value], session.units)

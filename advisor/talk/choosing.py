"""One numbered question for what could not be placed: which size a number is, which answer is taken back.

Nothing that somebody says is refused where a number can place it; what is picked is said back.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ..errors import AnswerError
from ..leather.units import show_said
from ..read.answers import place_picked
from ..read.lexicon import lexicon
from ..read.numbers import Size, find_sizes
from ..read.stuffs import stuffs
from ..reasoning.facts import Answer, parse_answer
from ..rulebase.models import Attribute
from ..write.names import attribute_called
from ..write.page import capital, listed
from .called import bag, words_in
from .guarding import guards
from .pending import Pending, Way
from .remarks import FAR
from .reply import Reply
from .sizing import in_another_unit

if TYPE_CHECKING:
    from ..read.reader import Reading
    from .session import Session

ELSE = "something else, leave it"
MOST = 6
"""More ways than these are not put as one question."""
CLOSE = 2.0
"""Within this factor of what is reckoned with, a size without words is nearer to it than to another; an estimate."""
_LEAVE = re.compile(
    r"(?:n|no|nope|none|neither|nothing|leave it|leave that|cancel|forget it|something else"
    r"|none of (?:them|those|these))"
    r"[.! ]*",
    re.IGNORECASE,
)
_ALONE = re.compile(
    r"\s*(?:$|[,.;!]|(?:that|it|is|i|wide|long|high|tall|deep|across|round|now|then|for|there|in total|all)\b)",
    re.IGNORECASE,
)
"""What may stand behind a number without a unit that is a size and counts nothing."""
_CLAUSE = re.compile(r"[,;.!?]\s|\bbut\b|\band\b|[,;.!?]$")


def chosen(session: Session, pending: Pending, text: str) -> Reply | None:
    """The reply to a number, a name, or Enter, which leaves it; None for anything else."""
    last = len(pending.ways)
    place = last if not text or _LEAVE.fullmatch(text.strip()) else place_picked(text, last)
    if not place:
        said = words_in(text)
        named = [n for n, way in enumerate(pending.ways, 1) if said and said <= words_in(way.label)]
        place = named[0] if len(named) == 1 else 0
    if not place:
        return None
    way = pending.ways[place - 1]
    if not way.answers and not way.drops:
        return session.go_on([way.said or "Left as it was."])
    return taken(session, way.answers, way.drops)


def taken(session: Session, answers: Mapping[str, Answer], drops: Iterable[str] = (), lead: str = "") -> Reply:
    """Answers taken over and taken back, each said."""
    gone = [session.said(name) for name in drops if name in session.answers and name not in answers]
    before = {name: session.said(name) for name in answers if name in session.answers}
    for name in drops:
        session.answers.pop(name, None)
    session.answers |= answers
    session.asked = [name for name in session.asked if name in session.answers]
    session.told = session.checking = session.checked = False
    lines = [lead] if lead else []
    lines += [f"Taken back: {listed(gone)}."] if gone else []
    for name in answers:
        was = before.get(name, "")
        now = session.said(name)
        lines.append(f"Changed: {now} (before: {was})." if was and was != now else f"Understood: {now}.")
    return session.go_on(lines)


# -- sizes


def placed(session: Session, text: str) -> Reply | None:
    """The only size of a line that nothing else took: what it must be is taken and said, else it is asked by number."""
    if session.item() is None or session.advice().dangers:
        return None
    sizes = [
        s for s in find_sizes(text.lower(), [], stuffs(session.rulebase)) if s.values and s.kind in ("size", "bare")
    ]
    if len(sizes) != 1 or sizes[0].wrong or len(sizes[0].values) != 1:
        return None
    digits = any(c.isdigit() for c in text[sizes[0].start : sizes[0].end])
    if not sizes[0].unit and not (digits and _ALONE.match(text[sizes[0].end :])):
        return None
    return put(session, text, sizes[0])


def put(session: Session, text: str, size: Size) -> Reply | None:
    """What one size of a line is: taken where one size of the thing fits, asked by number where several do."""
    fitting = may_be(session, text, size)
    if not fitting:
        return None
    if len(fitting) == 1:
        ((name, answer),) = fitting.items()
        if name in session.answers and session.answers[name].values == answer.values:
            return session.again([f"I have {session.said(name)} already."])
        called = attribute_called(session.rulebase, name)
        return taken(session, fitting, lead=f"{shown(session, answer)}: taken as the {called}; say if not.")
    return ask(session, fitting)


def placed_beside(session: Session, reading: Reading) -> tuple[Reading, list[str]]:
    """A size that a line says beside what it tells and does not place: taken where it can be one alone, else asked."""
    open_ones = [d for d in reading.doubts if d.placeable]
    if len(open_ones) != 1 or session.item() is None or session.pending is not None or session.advice().dangers:
        return reading, []
    words = open_ones[0].params["words"]
    sizes = [s for s in find_sizes(words.lower(), [], stuffs(session.rulebase)) if s.values]
    if len(sizes) != 1 or sizes[0].wrong or len(sizes[0].values) != 1 or sizes[0].kind not in ("size", "bare"):
        return reading, []
    at = session.line.lower().find(words.lower())
    line, size = (
        (session.line, sizes[0]._replace(start=at + sizes[0].start, end=at + sizes[0].end))
        if at >= 0
        else (words, sizes[0])
    )
    fitting = {n: a for n, a in may_be(session, line, size).items() if n not in reading.answers}
    if not fitting:
        return reading, []
    doubts = tuple(d for d in reading.doubts if d is not open_ones[0])
    unread = tuple(w for w in reading.unread if w not in words)
    reading = replace(reading, doubts=doubts, unread=unread)
    if len(fitting) > 1:
        session.pending = which_of(session, fitting)
        return reading, []
    ((name, answer),) = fitting.items()
    session.answers[name] = answer
    called = attribute_called(session.rulebase, name)
    return reading, [f"{shown(session, answer)}: taken as the {called}; say if not."]


def ask(session: Session, fitting: Mapping[str, Answer], lines: Iterable[str] = ()) -> Reply:
    """Which of several sizes one is, by number."""
    session.pending = which_of(session, fitting)
    return session.again(list(lines))


def which_of(session: Session, fitting: Mapping[str, Answer]) -> Pending:
    """The numbered question which of several sizes one is."""
    first = next(iter(fitting.values()))
    ways = [Way(_called(session, name), {name: answer}) for name, answer in fitting.items()]
    return Pending({}, f"{shown(session, first)}: what is it?", ways=(*ways, Way(ELSE)))


def shown(session: Session, answer: Answer) -> str:
    """A size as it is shown at the head of a question."""
    return show_said(float(answer.values[0]), "mm", session.units)


def _called(session: Session, name: str) -> str:
    called = attribute_called(session.rulebase, name)
    held = session.answers.get(name, Answer(()))
    so_far = f" ({show_said(float(held.values[0]), 'mm', session.units)} so far)" if held.values else ""
    return f"the {called}{so_far}"


def may_be(session: Session, text: str, size: Size) -> dict[str, Answer]:
    """The sizes of the thing that one may be, by the words around it, then by what is near to what is reckoned with."""
    found: dict[str, Answer] = {}
    for attribute in sizes_of(session):
        answer = as_size(session, attribute, text[size.start : size.end], size)
        if answer is not None:
            found[attribute.name] = answer
    if told := _most_named(session, text, size, found):
        return told
    words, item = words_in(_around(text, size)), session.item() or ""
    near = {n: a for n, a in found.items() if _off(session, n, a) <= math.log(CLOSE)}
    whole = words_in(f"{session.rulebase.items[item].name} {session.answers['item'].words}")
    if near and (words & whole or len(near) == 1):
        return near
    far = {n: a for n, a in found.items() if _off(session, n, a) <= math.log(FAR)}
    return dict(list((far or near).items())[:MOST])


def by_words(session: Session, text: str, size: Size) -> dict[str, Answer]:
    """The sizes of the thing that the words around a size name, as that size; empty where they name none."""
    said = text[size.start : size.end]
    found = {a.name: answer for a in sizes_of(session) if (answer := as_size(session, a, said, size)) is not None}
    return _most_named(session, text, size, found)


def _most_named(session: Session, text: str, size: Size, found: Mapping[str, Answer]) -> dict[str, Answer]:
    """Those of ``found`` that most words around a size name; of several the ones that it comes near to."""
    words = words_in(_around(text, size))
    named = {n: len(words & _own(session, n)) for n in found}
    best = max(named.values(), default=0)
    most = [n for n, count in named.items() if best and count == best]
    most = [n for n in most if _off(session, n, found[n]) <= math.log(CLOSE)] or most
    return {n: found[n] for n in most}


def _own(session: Session, name: str) -> frozenset[str]:
    """The words of a size that are not those of the thing itself."""
    item = session.rulebase.items[session.item() or ""]
    return bag(session, session.rulebase.attributes[name], item.slug) - words_in(item.name)


def sizes_of(session: Session) -> list[Attribute]:
    """The lengths that the thing is cut by, or that were said of it."""
    uses = lexicon(session.rulebase).uses.get(session.item() or "", frozenset())
    return [
        a
        for a in session.rulebase.attributes.values()
        if a.group == "size"
        and a.numeric
        and a.unit == "mm"
        and a.ask != "never"
        and (a.name in uses or a.name in session.answers)
    ]


def as_size(session: Session, attribute: Attribute, said: str, size: Size) -> Answer | None:
    """A size as an answer to ``attribute``; without a unit, in the one that was said of it or comes nearest."""
    held = session.answers.get(attribute.name)
    unit = next((s.unit for s in find_sizes(held.words.lower(), []) if s.unit), "") if held and not size.unit else ""
    try:
        answer = parse_answer(attribute, f"{said} {unit}".strip(), units=session.units)
    except AnswerError:
        answer = None
    if size.unit or (answer and _off(session, attribute.name, answer) <= math.log(FAR)):
        return answer
    other = in_another_unit(session, attribute, f"{size.values[0]:g}")
    return other.answer if other else answer


def _off(session: Session, name: str, answer: Answer) -> float:
    """How far a size is from what is reckoned with, as a logarithm."""
    usual, value = session.usual(session.rulebase.attributes[name]), float(answer.values[0])
    near = float(usual[0]) if usual and isinstance(usual[0], float) else 0.0
    return abs(math.log(value / near)) if near > 0 and value > 0 else math.inf


def _around(text: str, size: Size) -> str:
    """The words of the clause that a size stands in."""
    before = _CLAUSE.split(text[: size.start])[-1]
    return f"{before} {_CLAUSE.split(text[size.end :])[0]}"


# -- answers taken back


def which_back(session: Session, names: Iterable[str], words: str) -> Pending:
    """The numbered question which of several answers is taken back."""
    ways = [Way(capital(session.said(name)), drops=(name,)) for name in names]
    return Pending({}, f'"{words}": which do you take back?', ways=(*ways, Way("none of them")))


def drop(session: Session, names: list[str], words: str) -> Reply:
    """Answers taken back: at once, after a yes where one protects somebody, by number where several are meant."""
    if len(names) > 1:
        session.pending = which_back(session, names, words)
        return session.again([])
    if guards(session, names[0]):
        session.pending = Pending({}, f"You said before: {session.said(names[0])}. Drop it?", drops=tuple(names))
        return session.again([])
    return taken(session, {}, names)

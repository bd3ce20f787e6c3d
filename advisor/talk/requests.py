"""Requests during a conversation: take back, start again, the next thing or customer, cheaper, another size; courtesy.

A request changes what it names and nothing else, and says what it changed.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from pydantic import Field

from ..errors import AnswerError
from ..read.acts import acts_of
from ..read.answers import read_answer
from ..read.colours import part_names
from ..read.courtesies import is_as_before, only_waits
from ..read.danger import RAISED
from ..read.lexicon import CORRECTS, lexicon, phrase, tokens
from ..read.reader import read_sentence
from ..read.roles import Role
from ..reasoning.facts import Answer, parse_answer
from ..rulebase.files import Shape, Slug
from ..rulebase.models import Attribute, RuleBase
from ..rulebase.words import FOLDER, Phrases, words_file
from ..write.names import attribute_called
from ..write.page import listed
from .answering import accept
from .beside_it import ADDED, ON_IT, part_kept
from .pending import Pending
from .remarks import FAR
from .reply import Reply
from .sizing import size_asked

if TYPE_CHECKING:
    from .session import Session

REQUESTS = f"{FOLDER}/requests.toml"
HARDWARE, LINING, NONE = "hardware", "lining", "none"
CARRIED = ("people", "limits")
"""Groups of answers kept for the next thing of the same person: whom it is for, and what they will not have."""
_SIZE = re.compile(
    r"(?:no,? |actually,? |please |can you |could you |can we )*(?:make|change|cut|do|set) (?:it|that|this|them)"
    r"(?: to| at)? (?P<size>[\d.,/ ]+\s*(?:mm|cm|m|in|inch|inches|ft|\"|″)?)(?: (?:wide|instead|please))*[.!?]*",
    re.IGNORECASE,
)
_WITHOUT = re.compile(
    r"(?:(?:on second thoughts?|actually|oh|sorry|hm+|well|no)[, ]+)*"
    r"(?:no|without|drop|lose|leave (?:out|off)|skip|forget|scrap|not|i don'?t want|remove)(?: the| a| any)?"
    r" (?P<part>[\w -]{3,25}?)(?: (?:after all|please|then|actually|at all|instead|thanks|on it))*[.!]*",
    re.IGNORECASE,
)
_LINED = re.compile(
    r"(?:(?:oh|and|but|also|please|actually|it should be|it needs(?: to be)?|make it|add"
    r"|i(?:'d| would)? (?:want|like))[ ,]+)*"
    r"(?:(?:with )?(?:a |some )?lining|lined|line it|(?:want|like) it lined|fully lined)"
    r"(?: inside| please| too| after all| as well)*[.!]*",
    re.IGNORECASE,
)
_ANOTHER = re.compile(
    r"^(?:and|also|plus|oh and|another)\b|\b(?:as well|too|also)[.!]*$"
    r"|^i(?:'d| would)? (?:also (?:want|need|like)|(?:want|need|like) also)\b",
    re.IGNORECASE,
)
_LED = re.compile(r"(?:(?:ok|okay|right|and|thanks)[, ]+)*(?:now|next|then|also|another|after that)\b", re.IGNORECASE)
"""What leads to the next thing."""
_ALSO = re.compile(r"(?:(?:and|also|plus|another)[, ]+)+|(?: (?:as well|too|also))+(?=[.!]*$)", re.IGNORECASE)
_BEFORE_IT = 5
"""So many words may stand before the name of the next thing: "ok now I need a collar"."""
_THANKS = re.compile(r"\b(?:thanks|thank you|thankyou|thx|ta|cheers|appreciated)\b", re.IGNORECASE)
_HELLO = re.compile(r"\b(?:hello|hi|hey|hiya|howdy|good (?:morning|afternoon|evening))\b", re.IGNORECASE)


class RawRequest(Shape):
    """Words that ask for a change without naming it, and the answers they give."""

    words: Phrases
    change: dict[Slug, str] = Field(default_factory=dict)


class RequestsFile(Shape):
    """words/requests.toml."""

    request: tuple[RawRequest, ...]


def requested(session: Session, text: str) -> Reply | None:
    """The reply to a request that names no answer: "cheaper", "make it 45 mm"; None for anything else."""
    if session.item() is None:
        return None
    change = _changes(session.rulebase).get(_key(text))
    if change:
        answers = {n: parse_answer(session.rulebase.attributes[n], v) for n, v in change.items()}
        return _changed(session, answers)
    if reply := without_part(session, text) or lined(session, text):
        return reply
    size = _SIZE.fullmatch(text.strip())
    return _sized(session, size["size"].strip()) if size else None


def without_part(session: Session, text: str) -> Reply | None:
    """ "No buckle after all": a metal part that the thing was to have leaves it; None for anything else."""
    found, question = _WITHOUT.fullmatch(text.strip()), session.rulebase.attributes.get(HARDWARE)
    if found is None or question is None or session.item() is None:
        return None
    said = read_answer(session.rulebase, question, found["part"], session.units, numbered=False)
    if found["part"].removeprefix("leather ") in ("lining", "liner"):
        return _changed(session, {LINING: Answer((NONE,), "known", "answered", text)})
    gone = set(said.answer.values) if said and said.answer else set()
    held = session.usual(question)
    if not gone or not gone <= set(held) or gone == {NONE}:
        return None
    left = tuple(v for v in held if v not in gone) or (NONE,)
    return _changed(session, {HARDWARE: Answer(left, "known", "answered", text)})


def lined(session: Session, text: str) -> Reply | None:
    """ "With a lining", said without of what: it is asked, and stays open meanwhile."""
    question = session.rulebase.attributes.get(LINING)
    if question is None or session.item() is None or not _LINED.fullmatch(text.strip()):
        return None
    session.answers.pop(LINING, None)
    session.hanging.add(LINING)
    session.question = question
    return session.again(["With a lining, then."])


def _sized(session: Session, size: str) -> Reply | None:
    """A size without a name: the only one that the thing has or that was said; else it is asked which."""
    item = session.item()
    uses = lexicon(session.rulebase).uses.get(item or "", frozenset())
    sizes = [a.name for a in session.rulebase.attributes.values() if a.group == "size" and a.numeric and a.name in uses]
    said = [n for n in sizes if n in session.answers]
    may = said if len(said) == 1 else sizes
    fitting = _fitting(session, may, size) or _fitting(session, sizes, size)
    if not fitting:
        return None
    if len(fitting) > 1:
        return session.again([size_asked(session, fitting, size)])
    return _changed(session, fitting)


def _fitting(session: Session, names: list[str], size: str) -> dict[str, Answer]:
    """Those of the sizes that may be meant: that can be so much, and are not far from what is reckoned with."""
    found: dict[str, Answer] = {}
    for name in names:
        attribute = session.rulebase.attributes[name]
        try:
            answer = parse_answer(attribute, size, units=session.units)
        except AnswerError:
            continue
        now, value = session.usual(attribute), float(answer.values[0])
        if not now or not isinstance(now[0], float) or max(now[0] / value, value / now[0]) <= FAR:
            found[name] = answer
    return found


def _changed(session: Session, answers: dict[str, Answer]) -> Reply:
    before = [session.said(n) if n in session.answers else "not answered" for n in answers]
    accept(session, answers)
    if session.pending:
        return session.again([])
    session.told = False
    return session.go_on([f"Changed: {listed(session.said(n) for n in answers)} (before: {listed(before)})."])


def as_before(session: Session, question: Attribute, text: str) -> Reply | None:
    """ "Same as before": what was said of this order, or of the one before it; None for anything else."""
    if not is_as_before(text):
        return None
    said = session.answers.get(question.name) or session.earlier.get(question.name)
    if said is None or not said.values:
        called = attribute_called(session.rulebase, question.name)
        return session.again([f"I have no {called} from before. Tell me once more, or press Enter."])
    session.answers[question.name] = said
    return session.go_on([f"As before: {session.said(question.name)}."])


def start_again(session: Session) -> Reply:
    """Everything cleared, once that is confirmed."""
    if not session.answers:
        return session.again(["There is nothing yet. Say what you are making."])
    session.pending = Pending({}, "Clear everything and start again? yes/no", clears=True)
    return session.again([])


def cleared(session: Session, lines: list[str], kept: dict[str, Answer] | None = None) -> Reply:
    """An empty conversation but for ``kept``, and the first question."""
    session.earlier = session.answers if session.answers else session.earlier
    session.answers = dict(kept or {})
    session.asked, session.hanging, session.tried, session.offered = [], set(), {}, None
    session.doubted = frozenset()
    session.spoken, session.denied = [], set()
    session.waiting, session.later, session.missed = (), (), {}
    session.remarked, session.stood, session.told, session.further = {}, "", False, False
    session.checking = session.checked = session.enough = False
    session.question = session.rulebase.attributes["item"]
    return session.again(lines)


def next_customer(session: Session, text: str = "") -> Reply:
    """Somebody else: nothing is carried over. ``text`` is what was said of their order already."""
    lines = ['Next customer. Nothing is kept of the last order; "undo" brings it back.']
    reply = cleared(session, lines)
    session.written = frozenset()
    reading = session.read_line(text) if text else None
    return session.take(reading, lines) if reading and reading.answers else reply


def next_thing(session: Session, text: str) -> Reply:
    """Another thing for the same person: whom it is for and what they will not have stay."""
    groups = {name: attribute.group for name, attribute in session.rulebase.attributes.items() if name != RAISED}
    kept = {n: a for n, a in session.answers.items() if groups.get(n) in CARRIED}
    later = tuple(name for name in session.later if name not in text)
    reply = cleared(session, [], kept)
    session.later = later
    said = [f"Kept from before: {listed(session.said(n) for n in kept)}."] if kept else []
    reading = session.read_line(text)
    return session.take(reading, said) if reading.answers else Reply([*said, *reply.lines], reply.prompt)


def another_order(session: Session, text: str) -> Reply | None:
    """ "Tote bag", "now a collar for my spaniel", once the order was told: another thing for the same person.

    None where the line names a part of what is made, corrects it or speaks of something else.
    """
    asks = any(act.kind == "question" for act in acts_of(text))
    if not session.told or session.item() is None or CORRECTS.search(text) or asks:
        return None
    named = read_sentence(session.rulebase, text, None, session.units).named
    taken = named.taken
    if taken is None or not taken.thing.recipe or taken.thing.recipe == session.item() or named.instead:
        return None
    words = phrase(text)
    part = any((word,) in part_names(session.rulebase) for word in words[taken.first : taken.last])
    led = _LED.match(text.strip())
    begins = taken.first <= _BEFORE_IT and not (part and not led) and not ON_IT.search(text)
    if not begins or not (led or taken.role in (Role.ALONE, Role.MADE)):
        return None
    session.line = _ALSO.sub("", text.strip())
    return next_thing(session, session.line)


def another_thing(session: Session, text: str) -> list[str]:
    """What is said of a second thing asked for while the first is not finished."""
    reading = session.reading
    if session.item() is not None and ADDED.match(text.strip()) and ON_IT.search(text):
        named = read_sentence(session.rulebase, text, None, session.units).named
        whole = reading is not None and (not reading.answers or named.taken or named.others or named.candidates)
        return [part_kept(session, ADDED.sub("", text.strip()).strip(" .,!"))] if whole else []
    if reading is None or session.item() is None or not _ANOTHER.search(text.strip()):
        return []
    named = read_sentence(session.rulebase, text, None, session.units).named
    asked_for = [*reading.named.others, *([named.taken] if named.taken else named.candidates)]
    if not asked_for:
        return []
    name = asked_for[0].thing.name
    session.later = tuple(dict.fromkeys((*session.later, name)))
    return [f'One thing at a time. Finish the {session.thing(session.item() or "")} first, then say "next: {name}".']


def courtesy(text: str) -> str:
    """A short answer to thanks, a greeting or an "ok"; "" if the text says anything else."""
    acts = acts_of(text)
    if only_waits(text):
        return "Take your time; nothing is lost."
    if not acts or any(a.kind != "courtesy" for a in acts):
        return ""
    if _THANKS.search(text):
        return "You're welcome."
    return "Hello." if _HELLO.search(text) else "All right."


def _key(text: str) -> tuple[str, ...]:
    return tuple(t.word for t in tokens(text) if t.word[0].isalnum() and t.word not in ("please", "then"))


def _changes(rulebase: RuleBase) -> dict[tuple[str, ...], dict[str, str]]:
    made: dict[tuple[str, ...], dict[str, str]] = rulebase.once("requests", _read)
    return made


def _read(rulebase: RuleBase) -> dict[tuple[str, ...], dict[str, str]]:
    file = words_file(rulebase, REQUESTS, RequestsFile)
    return {_key(text): row.change for row in (file.request if file else ()) for text in row.words}


def check_requests(rulebase: RuleBase) -> list[str]:
    """What is wrong with the requests file: answers that cannot be given."""
    file = words_file(rulebase, REQUESTS, RequestsFile)
    return [
        f"{REQUESTS}: {name} cannot be {value}."
        for row in (file.request if file else ())
        for name, value in row.change.items()
        if name not in rulebase.attributes or value not in rulebase.attributes[name].values
    ]

"""Requests during a conversation: take back, start again, the next thing or customer, cheaper, another size; courtesy.

A request changes what it names and nothing else, and says what it changed.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from pydantic import Field

from ..errors import AnswerError
from ..read.acts import acts_of
from ..read.danger import RAISED
from ..read.lexicon import lexicon, tokens
from ..reasoning.facts import Answer, parse_answer
from ..rulebase.files import Shape, Slug
from ..rulebase.models import RuleBase
from ..rulebase.words import FOLDER, Phrases, words_file
from .answering import Pending, accept
from .page import listed, plain
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

REQUESTS = f"{FOLDER}/requests.toml"
CARRIED = ("people", "limits")
"""Groups of answers kept for the next thing of the same person: whom it is for, and what they will not have."""
_SIZE = re.compile(
    r"(?:no,? |actually,? |please |can you |could you |can we )*(?:make|change|cut|do|set) (?:it|that|this|them)"
    r"(?: to| at)? (?P<size>[\d.,/ ]+\s*(?:mm|cm|m|in|inch|inches|ft|\"|″)?)(?: (?:wide|instead|please))*[.!?]*",
    re.IGNORECASE,
)
_ANOTHER = re.compile(r"^(?:and|also|plus|oh and|another)\b|\b(?:as well|too|also)[.!]*$", re.IGNORECASE)
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
    size = _SIZE.fullmatch(text.strip())
    return _sized(session, size["size"].strip()) if size else None


def _sized(session: Session, size: str) -> Reply | None:
    """A size without a name: the only one that the thing has or that was said; else it is asked which."""
    item = session.item()
    uses = lexicon(session.rulebase).uses.get(item or "", frozenset())
    sizes = [a.name for a in session.rulebase.attributes.values() if a.group == "size" and a.numeric and a.name in uses]
    said = [n for n in sizes if n in session.answers]
    may = said if len(said) == 1 else sizes
    fitting: dict[str, Answer] = {}
    for name in may:
        try:
            fitting[name] = parse_answer(session.rulebase.attributes[name], size, units=session.units)
        except AnswerError:
            continue
    if not fitting:
        return None
    if len(fitting) > 1:
        names = [plain(n) for n in fitting]
        return session.again([f'Which size: {listed(names, "or")}? Say "{names[0]} {size}".'])
    return _changed(session, fitting)


def _changed(session: Session, answers: dict[str, Answer]) -> Reply:
    before = [session.said(n) if n in session.answers else "not answered" for n in answers]
    accept(session, answers)
    if session.pending:
        return session.again([])
    session.told = False
    return session.go_on([f"Changed: {listed(session.said(n) for n in answers)} (before: {listed(before)})."])


def start_again(session: Session) -> Reply:
    """Everything cleared, once that is confirmed."""
    if not session.answers:
        return session.again(["There is nothing yet. Say what you are making."])
    session.pending = Pending({}, "Clear everything and start again? yes/no", clears=True)
    return session.again([])


def cleared(session: Session, lines: list[str], kept: dict[str, Answer] | None = None) -> Reply:
    """An empty conversation but for ``kept``, and the first question."""
    session.answers = dict(kept or {})
    session.asked, session.hanging, session.tried, session.offered = [], set(), {}, None
    session.remarked, session.stood, session.told, session.further = {}, "", False, False
    session.question = session.rulebase.attributes["item"]
    return session.again(lines)


def next_customer(session: Session) -> Reply:
    """Somebody else: nothing is carried over."""
    return cleared(session, ["Next customer. Nothing is kept of the last order; \"undo\" brings it back."])


def next_thing(session: Session, text: str) -> Reply:
    """Another thing for the same person: whom it is for and what they will not have stay."""
    groups = {name: attribute.group for name, attribute in session.rulebase.attributes.items() if name != RAISED}
    kept = {n: a for n, a in session.answers.items() if groups.get(n) in CARRIED}
    reply = cleared(session, [], kept)
    said = [f"Kept from before: {listed(session.said(n) for n in kept)}."] if kept else []
    reading = session.read_line(text)
    return session.take(reading, said) if reading.answers else Reply([*said, *reply.lines], reply.prompt)


def another_thing(session: Session, text: str) -> list[str]:
    """What is said of a second thing asked for while the first is not finished."""
    reading = session.reading
    if reading is None or session.item() is None or not reading.named.others or not _ANOTHER.search(text.strip()):
        return []
    name = reading.named.others[0].thing.name
    return [f"One thing at a time. Finish the {session.thing(session.item() or '')} first, then say \"next: {name}\"."]


def courtesy(text: str) -> str:
    """A short answer to thanks, a greeting or an "ok"; "" if the text says anything else."""
    acts = acts_of(text)
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
        for row in (file.request if file else ()) for name, value in row.change.items()
        if name not in rulebase.attributes or value not in rulebase.attributes[name].values
    ]  # fmt: skip

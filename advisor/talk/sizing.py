"""A size answered otherwise than asked: in another unit, as a label, by what it fits, in a word, two at once."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from ..errors import AnswerError
from ..leather.units import show_said, times_apart
from ..read.corrections import correction
from ..read.hints import usual_sizes
from ..read.lexicon import folded, lexicon, tokens
from ..read.numbers import Size, find_sizes
from ..read.reader import read_sentence
from ..read.stuffs import stuffs
from ..reasoning.facts import Answer, parse_answer
from ..rulebase.models import Attribute
from ..write.names import attribute_called
from ..write.page import listed
from .pending import Pending
from .remarks import FAR
from .reply import Reply
from .together import in_order

if TYPE_CHECKING:
    from .session import Session

UNITS_MEANT = ("cm", "in", "mm")
"""Units that a bare length may have been meant in, where it is none in the unit shown."""
FOREIGN = 0.4
"""How much nearer to the usual size, as a logarithm, a unit of the other system has to bring a bare length."""
GRADE = 1.25
"""By how much a size said in a word differs from the usual one; an estimate, offered and never taken in silence."""
_LARGER = folded("big large wide long tall high broad deep bigger larger wider longer huge xl roomy generous")
_SMALLER = folded("small narrow short slim little thin smaller narrower shorter tiny low shallow compact")
_MEDIUM = folded("medium normal average middling ordinary regular standard")
_BESIDE_SIZE = folded("it its is a an the quite rather fairly pretty very as one size please of on side bit")
_SIDES = {"wide": "width", "long": "length", "high": "height", "tall": "height", "deep": "depth", "thick": "spine"}


class Meant(NamedTuple):
    """A size that may be meant, the words for it, and whether the unit was said with a size before."""

    answer: Answer
    words: str
    sure: bool = False


def in_another_unit(session: Session, question: Attribute, text: str, nearer_than: float = 0.0) -> Meant | None:
    """A bare number as the size it may mean in another unit, nearest to what is usual; None if there is none.

    It has to come nearer to the usual than the size ``nearer_than``, if that is given. A unit that was said with the
    size before is sure where it comes to within a half and the double of the usual.
    """
    number = _bare(text)
    if number is None or question.unit != "mm":
        return None
    usual = session.usual(question)
    near = float(usual[0]) if usual and isinstance(usual[0], float) else 0.0
    bound = abs(math.log(nearer_than / near)) if nearer_than > 0 and near > 0 else math.inf
    before = _unit_before(session)
    found: list[tuple[float, Meant]] = []
    for unit in UNITS_MEANT:
        try:
            answer = parse_answer(question, f"{number} {unit}")
        except AnswerError:
            continue
        value = float(answer.values[0])
        off = abs(math.log(value / near)) if near > 0 and value > 0 else 0.0
        sure = unit == before and near > 0 and off <= math.log(2)
        foreign = FOREIGN * ((unit == "in") != (session.units == "inch")) * (unit != before)
        found.append((off + foreign - sure, Meant(answer, answer.words, sure)))
    found = [(off, meant) for off, meant in found if off < bound]
    return min(found, key=lambda pair: pair[0])[1] if found else None


def far_off(session: Session, question: Attribute, answer: Answer, text: str) -> Meant | None:
    """What a bare number far from the usual size was rather meant as; None where the unit shown will do."""
    usual, values = session.usual(question), answer.values
    if not values or not usual or not isinstance(values[0], float) or not isinstance(usual[0], float):
        return None
    if min(values[0], usual[0]) <= 0 or times_apart(values[0], usual[0]) <= FAR:
        return None
    sizes = [s for s in find_sizes(text.lower(), []) if s.values]
    if len(sizes) == 1 and sizes[0].kind == "bare" and len(sizes[0].values) == 1 and not sizes[0].wrong:
        # "Length 110, I told you" is a bare number among words.
        text = f"{sizes[0].values[0]:g}"
    return in_another_unit(session, question, text, nearer_than=values[0])


def offer_size(session: Session, question: Attribute, text: str) -> Reply | None:
    """A size behind a label ("size 39", "a 34"), a name ("A5") or a word of size ("big"): offered, never just taken."""
    if question.unit != "mm":
        return None
    reading = read_sentence(session.rulebase, text, session.item(), session.units)
    value, words = _behind_a_name(session, question, text)
    value = value or _by_label(session, question, text) or _graded(session, question, text)
    if value is None or question.name in reading.answers:
        return None
    answer = Answer((value,), "known", "answered", text)
    shown = show_said(value, question.unit, session.units)
    said = f'"{words.strip(" .")}" usually comes to {shown}. Take that until it is measured?'
    session.pending = Pending({question.name: answer}, said, offered=True)
    return session.again([])


def _behind_a_name(session: Session, question: Attribute, text: str) -> tuple[float | None, str]:
    """The usual size of what is named; "a 13 inch one" is one of what the thing was called after."""
    called = session.answers["item"].words.lower().split() if "item" in session.answers else []
    said = [text, *(re.sub(r"\bone\b", word, text) for word in called if re.search(r"\bone\b", text))]
    for words in said:
        hints = read_sentence(session.rulebase, words, session.item(), session.units).hints
        if question.name in hints and isinstance(hints[question.name][0], float):
            return float(hints[question.name][0]), hints[question.name][1]
    return None, text


def instead_of_offered(session: Session, text: str) -> Reply | None:
    """Another number where a size is offered: "no, 40" to "38 mm?" is 40 mm; None for anything else."""
    pending = session.pending
    if pending is None or not pending.offered or len(pending.answers) != 1:
        return None
    ((name, offered),) = pending.answers.items()
    attribute = session.rulebase.attributes.get(name)
    found = correction(session.rulebase, text, session.item() or "", session.units) if session.item() else None
    number = _bare(found.words if found and found.sure else text)
    units = [s.unit for s in find_sizes(offered.words.lower(), []) if s.unit]
    if attribute is None or attribute.unit != "mm" or number is None or not units:
        return None
    try:
        answer = parse_answer(attribute, f"{number} {units[0]}")
    except AnswerError:
        return None
    if abs(math.log(float(answer.values[0]) / float(offered.values[0]))) > math.log(2):
        return None
    session.pending = None
    session.answers[name] = answer
    return session.go_on([f"Understood: {session.said(name)}."])


def nearer(session: Session, answers: dict[str, Answer]) -> tuple[dict[str, Answer], list[str]]:
    """Sizes told without a unit and far from the usual, in the unit that brings them near it; each is said."""
    taken, lines = dict(answers), list[str]()
    for name, answer in answers.items():
        attribute = session.rulebase.attributes.get(name)
        if attribute is None or attribute.unit != "mm" or not answer.values or session.item() is None:
            continue
        sizes = list(find_sizes(answer.words.lower(), []))
        if len(sizes) != 1 or sizes[0].kind != "bare" or len(sizes[0].values) != 1 or sizes[0].wrong:
            continue
        if meant := far_off(session, attribute, answer, f"{sizes[0].values[0]:g}"):
            taken[name] = meant.answer
            lines.append(f'"{answer.words}" taken as {meant.words}; say if not.')
    return taken, lines


def two_sizes(session: Session, question: Attribute, text: str) -> tuple[dict[str, Answer], str]:
    """The sizes of a line with several: "40 by 40", "110 and about 28 wide"; what is left over is handed back."""
    low = text.lower()
    sizes = [s for s in find_sizes(low, [], stuffs(session.rulebase)) if s.values]
    if not sizes or not question.numeric or question.unit != "mm":
        return {}, text
    wanted = _following(session, question)
    if len(sizes) == 1 and len(sizes[0].values) > 1 and sizes[0].kind == "box":
        stretch = low[sizes[0].start : sizes[0].end]
        if sizes[0].unit and not all(sizes[0].units):
            # "10 cm by 8": the unit holds for both.
            told = zip(sizes[0].values, sizes[0].units, strict=True)
            stretch = " by ".join(f"{value:g} {unit or sizes[0].unit}" for value, unit in told)
        found = in_order(wanted, stretch, session.units)
        if not sizes[0].unit:
            found = {n: _not_far(session, n, a) for n, a in found.items()}
        return (found, f"{text[: sizes[0].start]} {text[sizes[0].end :]}") if question.name in found else ({}, text)
    if len(sizes) < 2 or any(len(s.values) != 1 or s.wrong for s in sizes):
        return {}, text
    ends = [s.start for s in sizes[1:]] + [len(text)]
    taken: dict[str, Answer] = {}
    for n, (size, end) in enumerate(zip(sizes, ends, strict=True)):
        start = size.start if n else 0
        attribute = _named_beside(wanted, low[start:end]) or (question if not n else None)
        answer = _size(session, attribute, size) if attribute and attribute.name not in taken else None
        if attribute is None or answer is None:
            return {}, text
        taken[attribute.name] = answer
    return (taken, "") if question.name in taken else ({}, text)


def without_far(session: Session, question: Attribute, taken: dict[str, Answer]) -> tuple[dict[str, Answer], list[str]]:
    """Two sizes told at once, without a second one that is far from what it would be: it is another way across."""
    kept, lines = dict(taken), list[str]()
    for name, answer in taken.items():
        usual = session.usual(session.rulebase.attributes[name])
        near = float(usual[0]) if usual and isinstance(usual[0], float) else 0.0
        value = float(answer.values[0])
        if name == question.name or near <= 0 or max(value / near, near / value) <= FAR:
            continue
        del kept[name]
        first, said = (show_said(float(a.values[0]), "mm", session.units) for a in (taken[question.name], answer))
        lines.append(f"{said} the other way: noted. I reckon with {first} both ways; tell the shop the shape.")
    return kept, lines


def one_size(session: Session, question: Attribute, text: str) -> Answer | None:
    """The only size of a line, said with its unit among words that belong to no other question."""
    sizes = [s for s in find_sizes(text.lower(), [], stuffs(session.rulebase)) if s.values]
    if len(sizes) != 1 or not sizes[0].unit or len(sizes[0].values) != 1 or sizes[0].wrong:
        return None
    return _size(session, question, sizes[0])


def size_of_another(session: Session, text: str) -> dict[str, Answer]:
    """A size with its unit, said while something else is asked: of the only open size that it can be."""
    fitting = _sizes_meant(session, text)
    return fitting if len(fitting) == 1 else {}


def which_size(session: Session, text: str) -> list[str]:
    """What is asked where a size with its unit can be several of the open ones; nothing where it can be none."""
    fitting = _sizes_meant(session, text)
    return [size_asked(session, fitting, next(iter(fitting.values())).words)] if fitting else []


def size_asked(session: Session, names: Iterable[str], said: str) -> str:
    """The question which of several sizes one that was ``said`` is."""
    called = [attribute_called(session.rulebase, name) for name in names]
    return f'Which size: {listed(called, "or")}? Say "{called[0]} {said}".'


def _sizes_meant(session: Session, text: str) -> dict[str, Answer]:
    """The open sizes of the thing that a single size with its unit comes near to, within a half and the double."""
    sizes = [s for s in find_sizes(text.lower(), [], stuffs(session.rulebase)) if s.values]
    if len(sizes) != 1 or not sizes[0].unit or len(sizes[0].values) != 1 or sizes[0].wrong:
        return {}
    fitting: dict[str, Answer] = {}
    for attribute in _following(session, None):
        answer, usual = _size(session, attribute, sizes[0]), session.usual(attribute)
        near = answer and usual and isinstance(usual[0], float) and usual[0] > 0
        if answer and near and abs(math.log(float(answer.values[0]) / float(usual[0]))) <= math.log(2):
            fitting[attribute.name] = answer
    return fitting


def _following(session: Session, question: Attribute | None) -> list[Attribute]:
    """The open sizes of the thing, the one that is asked first."""
    uses = lexicon(session.rulebase).uses.get(session.item() or "", frozenset())
    rest = [
        a
        for a in session.rulebase.attributes.values()
        if a.name in uses
        and a.group == "size"
        and a.numeric
        and a.unit == "mm"
        and a.ask != "never"
        and a is not question
        and not session.answers.get(a.name, Answer(())).values
    ]
    return [*([question] if question else []), *rest]


def _named_beside(wanted: list[Attribute], words: str) -> Attribute | None:
    """The size whose cue stands beside a number: "28 wide", "blade 110"; None where it is none or could be two."""
    said = {t.word for t in tokens(words)}
    found = [a for a in wanted if any(said >= {t.word for t in tokens(cue)} for cue in a.cues)]
    if not found:
        ends = [_SIDES[w] for w in said if w in _SIDES]
        found = [a for a in wanted if ends and a.name.endswith(ends[0])]
    return found[0] if len(found) == 1 else None


def _size(session: Session, attribute: Attribute, size: Size) -> Answer | None:
    unit = size.unit if size.kind in ("size", "feet") else ""
    try:
        answer = parse_answer(attribute, f"{size.values[0]:g} {unit}".strip(), units=session.units)
    except AnswerError:
        answer = None
    if unit:
        return answer
    meant = in_another_unit(session, attribute, f"{size.values[0]:g}") if answer is None else None
    far = far_off(session, attribute, answer, f"{size.values[0]:g}") if answer else meant
    return far.answer if far else answer


def _not_far(session: Session, name: str, answer: Answer) -> Answer:
    """A size without a unit, in the unit that brings it near the usual."""
    meant = far_off(session, session.rulebase.attributes[name], answer, f"{float(answer.values[0]):g}")
    return meant.answer if meant else answer


def _bare(text: str) -> str | None:
    """The number of a line that is only a number, in digits or in words."""
    low = text.strip(" .!").lower()
    sizes = list(find_sizes(low, []))
    if len(sizes) != 1 or len(sizes[0].values) != 1 or sizes[0].wrong or sizes[0].unit or sizes[0].kind != "bare":
        return None
    if sizes[0].end - sizes[0].start < len(low):
        return None
    return f"{sizes[0].values[0]:g}"


def _unit_before(session: Session) -> str:
    """The unit of the last length that was said with one."""
    for name in reversed(session.answers):
        attribute, answer = session.rulebase.attributes.get(name), session.answers[name]
        if attribute is None or attribute.unit != "mm" or not answer.values:
            continue
        units = [s.unit for s in find_sizes(answer.words.lower(), []) if s.unit]
        if units:
            return {'"': "in", "inch": "in", "inches": "in"}.get(units[-1], units[-1])
    return ""


def _by_label(session: Session, question: Attribute, text: str) -> float | None:
    """What a number comes to as a size on a label, where it is too small for a measure: "I wear a 34"."""
    sizes = [s for s in find_sizes(text.lower(), [], stuffs(session.rulebase)) if s.values]
    if len(sizes) != 1 or sizes[0].unit or len(sizes[0].values) != 1 or text.strip(" .").isdecimal():
        return None
    labels = [label for label in usual_sizes(session.rulebase).labels if label.attribute == question.name]
    return next((label.values[sizes[0].values[0]] for label in labels if sizes[0].values[0] in label.values), None)


def _graded(session: Session, question: Attribute, text: str) -> float | None:
    """What "big" or "small" comes to, from the usual size; None for anything else or where nothing is usual."""
    said = {t.word for t in tokens(text) if t.word[0].isalnum()} - _BESIDE_SIZE
    usual = session.usual(question)
    if not said or not usual or not isinstance(usual[0], float):
        return None
    named = {w for w in said if w not in {t.word for t in tokens(question.question)} and w not in ("size",)}
    named = named or said
    factor = GRADE if named <= _LARGER else 1 / GRADE if named <= _SMALLER else 1.0 if named <= _MEDIUM else 0.0
    if not factor:
        return None
    step = 5.0 if usual[0] >= 100 else 1.0
    return round(usual[0] * factor / step) * step

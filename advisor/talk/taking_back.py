"""What takes back something said before: a value denied, a number moved to what it really measures.

What protects somebody, and what keeps an order from standing, is only dropped after a yes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ..read.acts import acts_of
from ..read.ages import ages
from ..read.answers import read_answer
from ..read.danger import RAISED
from ..read.numbers import Size, find_sizes
from ..read.purposes import purposes
from ..read.reader import read_sentence
from ..reasoning.facts import Answer
from ..rulebase.models import NO_ORDER, Attribute, RuleBase
from ..write.page import listed
from .beside_it import part_told, second_told
from .called import bag, called_so, words_in
from .guarding import PROTECTING, guards, ruled_out
from .leaving import left
from .pending import Pending
from .reply import Reply
from .sizing import in_another_unit
from .ways_out import way_out
from .wishes import wished

if TYPE_CHECKING:
    from ..read.reader import Reading
    from .session import Session

FOR_SALE, OWN = "for_sale", "no"
_NOT = re.compile(
    r"\b(?P<verb>do|does|did|is|are|was|were|will|would|should|must|need|has|have)(?:n'?t| not)\b"
    r"|\b(?:ain'?t|won'?t|not|never|no longer|no|without|nor)\b|\b(?P<nobody>nobody|no one|noone)\b",
    re.IGNORECASE,
)
_NO_DENIAL = re.compile(
    r"\b(?:not (?:only|just|sure|yet|certain|a problem|much|more|less|really)|no (?:idea|problem|rush|matter|worries)"
    r"|why not|if not|or not|do not (?:know|mind)|don'?t (?:know|mind))\b",
    re.IGNORECASE,
)
_NEAR = 5
"""How many words before a value a "not" still denies it."""
_CLAUSE = re.compile(r"\s*(?:[,;.!]\s+|[,;.!]$|\bbut\b|\band\b)\s*", re.IGNORECASE)
_DENIED = re.compile(
    r"\b(?:not|isn'?t|aren'?t|wasn'?t|ain'?t|(?:don'?t|doesn'?t|do not|does not) \w+)\b"
    r"(?P<between>[^,.;]{0,24})$",
    re.IGNORECASE,
)
_BOUND = re.compile(
    r"\b(?:than|over|under|above|below|exceed|up to|at least|at most|only|just|sure|about)\b", re.IGNORECASE
)
_WRONG = re.compile(r"[\w\s]{0,16}\b(?:is|was|were|are) (?:wrong|not right|a mistake)\b", re.IGNORECASE)
_UNIT = r"(?:mm|cm|in|inch(?:es)?|kg|kilos?)"
_OF_WHAT = r"(?P<of>[a-z' ]{2,30}?)"
_IS_OF = re.compile(
    rf"^\s*{_UNIT}?(?: (?:wide|long|high|tall|deep|thick|round))?,? ?(?:is|was|are|'?s|that'?s|that is|goes)"
    rf" (?:only |really |just |for )?(?:the |his |her |its |my |your |their ){_OF_WHAT}"
    rf"(?:[,.;]? (?:it'?s )?in (?P<unit>{_UNIT}))?(?= i\b| not\b| and\b| but\b|[,.;!]|$)",
    re.IGNORECASE,
)


_CALLED_WRONG = re.compile(rf"\b(?:the|his|her|its|my) {_OF_WHAT} (?:is|was) (?:wrong|not right|a mistake)\b")
_NAMED = re.compile(
    r"\b(?:sorry|oops|wait|actually|correction|i mean|about|no),? (?:the|his|her|its|my|their) "
    rf"{_OF_WHAT}(?=,| was\b| is\b| that\b)"
)


def taken_back(session: Session, text: str) -> Reply | None:
    """The reply to a line that ends the talk or takes something back; None for anything else."""
    if reply := left(session, text):
        return reply
    if session.item() is None or not session.answers:
        return None
    if reply := second_told(session, text) or _in_a_sentence(session, text):
        return reply
    low = _plain(text)
    away = None if _NOT.search(low) else way_out(session, low)
    return part_told(session, text) or away or _value_denied(session, text, low)


def _in_a_sentence(session: Session, text: str) -> Reply | None:
    """A number mended in one sentence of the line; what else is said is heard by the question that was open."""
    sentences = re.split(r"(?<=[a-z][.!?])\s+", text)
    for n, sentence in enumerate(sentences):
        if _NAMED.search(sentence.lower()) and sentences[n + 1 :] and not list(find_sizes(sentence.lower(), [])):
            # "Sorry, the neck. It is 36" is one.
            sentence = f"{sentence} {sentences.pop(n + 1)}"
        questions = session.questions
        mended = _number_mended(session, sentence)
        if mended is None:
            continue
        rest = " ".join([*sentences[:n], *sentences[n + 1 :]]).strip()
        if not rest or session.pending is not None:
            return mended
        if still := tuple(q for q in questions if q.name not in session.answers):
            session.questions = still
        then = session.meant(rest)
        return Reply([*mended.lines, *then.lines], then.prompt, then.ended)
    return None


def _number_mended(session: Session, text: str) -> Reply | None:
    low = _plain(text)
    return (
        _moved(session, text, low)
        or _named_anew(session, text, low)
        or _number_denied(session, text, low)
        or _called_wrong(session, text, low)
    )


def _plain(text: str) -> str:
    return text.lower().replace("’", "'")


def _went_on(session: Session, text: str, lines: list[str], without: Mapping[str, Answer] | set[str]) -> Reply | None:
    """What else the line says, taken: all that is new but ``without``; None where it says nothing more."""
    reading = session.read_line(text)
    held = session.answers
    rest = {
        n: a for n, a in reading.answers.items() if n not in without and (n not in held or held[n].values != a.values)
    }
    unread = tuple(words for words in reading.unread if not any(c.isdigit() for c in words))
    return session.take(replace(reading, answers=rest, doubts=(), unread=unread), lines) if rest else None


# -- numbers


def _moved(session: Session, text: str, low: str) -> Reply | None:
    """ "No, 54 is his neck, in cm": a number goes to what it is really of."""
    for size in find_sizes(low, []):
        found = _IS_OF.match(low[size.end :])
        held = _held_as(session, size)
        if not found or not held:
            continue
        meant = called_so(session, found["of"])
        if meant is None and re.match(r"(?:no|nope|sorry|wrong)\b", low):
            # "No, 34 is the length of my legs": of something that no answer holds.
            lines = [f"Taken back: {session.said(held[0])}."]
            _drop(session, held[0])
            return _ask(session, session.rulebase.attributes[held[0]], lines)
        names = [n for n in held if meant is None or n != meant.name]
        if meant is None or not meant.numeric or not names:
            continue
        said = [session.said(n) for n in names[:1]]
        for name in names[:1]:
            _drop(session, name)
        number = low[size.start : size.end]
        if not size.unit and found["unit"]:
            number = f"{number} {found['unit']}"
        answer = _size_as(session, meant, number)
        lines = [f"Taken back: {listed(said)}."]
        if answer is not None:
            session.answers[meant.name] = answer
            lines.append(f"Understood: {session.said(meant.name)}.")
        numbers = {a.name for a in session.rulebase.attributes.values() if a.numeric}
        if more := _went_on(session, text, lines, numbers):
            return more
        if answer is not None:
            return session.go_on(lines)
        return _ask(session, meant, lines) if meant.name not in session.answers else session.go_on(lines)
    return None


def _size_as(session: Session, attribute: Attribute, number: str) -> Answer | None:
    found = read_answer(session.rulebase, attribute, number, session.units, numbered=False)
    if (
        found
        and found.meant == "value"
        and found.answer
        and (attribute.unit != "mm" or any(c.isalpha() for c in number))
    ):
        return found.answer
    other = in_another_unit(session, attribute, number)
    return other.answer if other else None


def _number_denied(session: Session, text: str, low: str) -> Reply | None:
    """ "The collar is not 54 mm wide": a number held is dropped, and asked for again."""
    sizes = list(find_sizes(low, []))
    for size in sizes:
        before = _DENIED.search(low[: size.start])
        if not (before and not _BOUND.search(before["between"])) and not _WRONG.match(low[size.end :]):
            continue
        held = _held_as(session, size)
        subject = re.split(r"[,.;]", low[: before.start() if before else size.start])[-1]
        held = [n for n in held if _told_of(session, n, subject)]
        meant = called_so(session, subject)
        named = [n for n in held if meant and meant.name == n] or held[:1]
        if not named:
            continue
        name, rest = named[0], [s for s in sizes if s is not size]
        reading = read_sentence(session.rulebase, text, session.item(), session.units)
        if reading.answers.get(name, session.answers[name]).values != session.answers[name].values:
            return None
        said = session.said(name)
        others = {n: a for n, a in reading.answers.items() if n != name}
        beside = next((s for s in rest if _instead(low, size, s)), None)
        if beside and not any(words_in(a.words) for a in others.values()):
            # "Not 45 but 40" says what it is instead.
            instead = _size_as(session, session.rulebase.attributes[name], low[beside.start : beside.end])
            if instead is None or instead.values == session.answers[name].values:
                return None
            session.answers[name], session.told = instead, False
            return session.go_on([f"Changed: {session.said(name)} (before: {said})."])
        _drop(session, name)
        lines = [f"Taken back: {said}."]
        if more := _went_on(session, text, lines, {name}):
            return more
        unknown = re.search(r"\b(?:no idea|don'?t know|dunno|not sure|you think|up to you)\b", low)
        return session.go_on(lines) if unknown else _ask(session, session.rulebase.attributes[name], lines)
    return None


def _instead(low: str, denied: Size, other: Size) -> bool:
    """Whether another number stands beside the denied one as what it is instead: "not 45 but 40", "40, not 45"."""
    behind, before = low[denied.end : other.start], low[other.end : denied.start]
    so = other.start > denied.start and re.fullmatch(
        rf"\s*{_UNIT}?(?: \w+)?[,;.]?\s*(?:(?:but|rather|make|its|it'?s|it|is|only|about|the)\s+)*", behind
    )
    nor = other.start < denied.start and re.fullmatch(rf"\s*{_UNIT}?(?: \w+)?,?\s*(?:and )?not\s*", before)
    return bool(so or nor)


def _told_of(session: Session, name: str, words: str) -> bool:
    """Whether the words before a denial speak of nothing else than the answer or the thing: not "my jeans"."""
    item = session.rulebase.items.get(session.item() or "")
    thing = words_in(f"{item.name} {session.answers['item'].words}") if item else frozenset()
    return words_in(words) <= bag(session, session.rulebase.attributes[name], session.item() or "") | thing


def _held_as(session: Session, size: Size) -> list[str]:
    """The numbers said before that a size in ``low`` is one of, the last first; a bare number in any unit."""
    if len(size.values) != 1:
        return []
    value, found = size.values[0], []
    for name, answer in reversed(session.answers.items()):
        attribute = session.rulebase.attributes.get(name)
        if attribute is None or not attribute.numeric or len(answer.values) != 1:
            continue
        held = float(answer.values[0])
        said = [v for s in find_sizes(answer.words.lower(), []) for v in s.values]
        # "40 by 35" says two sizes, of which each is held by its own.
        words = set(said) if len(said) == 1 else set()
        units = (size.unit,) if size.unit else ("mm", "cm", "in") if attribute.unit == "mm" else ("",)
        of = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4, "m": 1000.0}
        if any(abs(value * of.get(unit, 1.0) - held) < 0.02 * held for unit in units) or (
            not size.unit and value in words
        ):
            found.append(name)
    return found


def _drop(session: Session, name: str) -> None:
    del session.answers[name]
    session.asked = [n for n in session.asked if n != name]
    session.told = session.checking = session.checked = False


def _ask(session: Session, attribute: Attribute, lines: list[str]) -> Reply:
    """The question of what was taken back, put again."""
    session.question = attribute
    return session.again(lines)


def _named_anew(session: Session, text: str, low: str) -> Reply | None:
    """ "Sorry, the neck, it is 50": a size that was said before is named, and another number for it."""
    found = _NAMED.search(low)
    meant = called_so(session, found["of"]) if found else None
    held = session.answers.get(meant.name, Answer(())) if meant else Answer(())
    if found is None or meant is None or not meant.numeric or len(held.values) != 1:
        return None
    sizes = [s for s in find_sizes(low, []) if s.start > found.end() and meant.name not in _held_as(session, s)]
    if len(sizes) != 1 or _DENIED.search(low[: sizes[0].start]):
        return None
    unit = "" if sizes[0].unit else next((s.unit for s in find_sizes(held.words.lower(), []) if s.unit), "")
    answer = _size_as(session, meant, f"{low[sizes[0].start : sizes[0].end]} {unit}".strip())
    if answer is None:
        return None
    before = session.said(meant.name)
    session.answers[meant.name], session.told = answer, False
    lines = [f"Changed: {session.said(meant.name)} (before: {before})."]
    numbers = {a.name for a in session.rulebase.attributes.values() if a.numeric}
    return _went_on(session, text, lines, numbers) or session.go_on(lines)


def _called_wrong(session: Session, text: str, low: str) -> Reply | None:
    """ "The height is wrong": a number named as wrong is dropped, and asked for again."""
    found = _CALLED_WRONG.search(low)
    meant = called_so(session, found["of"]) if found else None
    if meant is None or not meant.numeric or not session.answers.get(meant.name, Answer(())).values:
        return None
    reading = read_sentence(session.rulebase, text, session.item(), session.units)
    if meant.name in reading.answers:
        return None
    lines = [f"Taken back: {session.said(meant.name)}."]
    _drop(session, meant.name)
    return _went_on(session, text, lines, set()) or _ask(session, meant, lines)


# -- values


def _value_denied(session: Session, text: str, low: str) -> Reply | None:
    """ "Not for me, for my wife", "nobody sits on it": values said before and denied now.

    What protects somebody, and what keeps an order from standing, is only dropped after a yes.
    """
    question = session.question
    if question is not None and any(d.attribute == question.name for d in session.advice().dangers):
        # "I said no washing machine" denies what the question of a danger is about.
        heard = read_sentence(session.rulebase, text, session.item(), session.units)
        of_it = {d.state for d in heard.dangers if d.attribute == question.name}
        if of_it != {"ruled_out"} or re.match(r"(?:no|yes)\b,", low):
            return None
        return session.take(session.read_line(text))
    gone = {name for name in _denied(session, text, low) if not (question and question.name == name)}
    gone |= _no_longer_own(session, low)
    if not gone:
        return None
    reading, held = session.read_line(text), session.answers
    denied = {d.attribute for d in reading.dangers if d.state == "ruled_out"}
    back = [n for n in gone - denied if n not in reading.answers or reading.answers[n].values == held[n].values]
    guarding = [n for n in gone - denied if guards(session, n) or (n in back and not _ordered(session))]
    if guarding and not session.doubted.issuperset(guarding):
        return _ask_to_drop(session, reading, list(dict.fromkeys((*guarding, *back))))
    if not back:
        return None
    said = [session.said(n) for n in back]
    rest = {n: a for n, a in reading.answers.items() if n not in back and (n not in held or held[n].values != a.values)}
    for name in back:
        _drop(session, name)
    lines = [f"Taken back: {listed(said)}."]
    return session.take(replace(reading, answers=rest), lines) if rest else session.go_on(lines)


def _ask_to_drop(session: Session, reading: Reading, back: list[str]) -> Reply:
    """Whether what protects is to be dropped; what is said besides counts at once, a danger above all.

    Who denies it once more has said yes.
    """
    held = session.answers
    new = {n: a for n, a in reading.answers.items() if n not in held or held[n].values != a.values}
    session.answers |= {n: a for n, a in new.items() if n not in held and n != "item"}
    if RAISED in new:
        values = (*held.get(RAISED, Answer(())).values, *new[RAISED].values)
        session.answers[RAISED] = replace(new[RAISED], values=tuple(dict.fromkeys(values)))
    answers = {n: a for n, a in new.items() if n in held and n != RAISED} | {
        n: a for n, a in new.items() if n == "item"
    }
    for name in back:
        if name not in answers and (no := ruled_out(session, name)) is not None:
            answers[name] = no
    said = listed(session.said(n) for n in back)
    drops = tuple(n for n in back if n not in answers)
    session.pending = Pending(answers, f"You said before: {said}. Drop it?", drops=drops)
    session.doubted = frozenset(back)
    return session.again([d.text for d in reading.doubts if d.code == "denied"])


def _ordered(session: Session) -> bool:
    return session.advice().verdict not in NO_ORDER and session.advice().outcome not in ("refuse", "another_material")


def _denied(session: Session, text: str, low: str) -> set[str]:
    """The answers whose value a clause says the contrary of: read as if it were not denied, it says the same again."""
    found: set[str] = set()
    wishes = {name for names, _ in wished(session.rulebase) for name in names}
    asked = [(a.start, a.end) for a in acts_of(text) if a.kind == "question"]
    at = 0
    for clause in _CLAUSE.split(low):
        start = low.find(clause, at)
        at = start + len(clause)
        if not clause or not _NOT.search(clause) or _NO_DENIAL.search(clause):
            continue
        if any(first <= start < last for first, last in asked) or "?" in clause:
            continue
        plain = " ".join(_NOT.sub(lambda m: m["verb"] or ("somebody" if m["nobody"] else ""), clause).split())
        said = read_sentence(session.rulebase, plain, session.item(), session.units).answers
        if not plain:
            continue
        found |= {
            n
            for n in wishes & session.answers.keys()
            if words_in(plain) and words_in(plain) <= words_in(session.answers[n].words)
        }
        for name, answer in said.items():
            held = session.answers.get(name)
            same = held and name not in ("item", RAISED) and answer.values and answer.values == held.values
            if same and _is_denied(clause, answer.words):
                attribute = session.rulebase.attributes[name]
                several = (
                    attribute.kind == "set"
                    and attribute.group not in PROTECTING
                    and name not in purposes(session.rulebase).asked.values()
                )
                found |= set() if attribute.numeric or several else {name}
    return found


def _is_denied(clause: str, words: str) -> bool:
    """Whether a "not" stands close before the words for a value, or a "does not" close behind them."""
    said, key = re.findall(r"[\w'-]+", clause), re.findall(r"[\w'-]+", words.partition(",")[0].lower())
    first = next((i for i in range(len(said)) if said[i : i + 1] == key[:1]), -1)
    if first < 0:
        return True
    nots = [i for i, word in enumerate(said) if _NOT.fullmatch(word) or word.endswith("n't")]
    nots += [i for i in range(len(said)) if _NOT.fullmatch(" ".join(said[i : i + 2]))]
    last = first + len(key) - 1
    verbal = [i for i in nots if said[i] not in ("no", "without", "nor")]
    inside = any(first < i < len(said) and i <= last + 1 for i in nots)
    return inside or any(0 < first - i <= _NEAR for i in nots) or any(0 <= i - last <= 2 for i in verbal)


def _no_longer_own(session: Session, low: str) -> set[str]:
    """ "For my wife": that it was for whoever asks counts no more."""
    own = session.answers.get(FOR_SALE, Answer(())).values == (OWN,)
    return {FOR_SALE} if own and for_another(session.rulebase, low) else set()


def for_another(rulebase: RuleBase, text: str) -> bool:
    """Whether a line says that it is for somebody grown up who is not the one who asks."""
    known = ages(rulebase).adults
    return any(word in known for word in re.findall(r"\bfor (?:(?:my|our|his|her|their) )?(\w+)", text.lower()))


def settled(session: Session, reading: Reading) -> tuple[Reading, list[str]]:
    """A line beside whose answer a plain value is denied: that is dropped, and said."""
    low = _plain(session.line)
    if for_another(session.rulebase, low) and reading.answers.get(FOR_SALE, Answer(())).values == (OWN,):
        reading = replace(reading, answers={n: a for n, a in reading.answers.items() if n != FOR_SALE})
    gone = _no_longer_own(session, low) - reading.answers.keys()
    said = [session.said(n) for n in gone]
    for name in gone:
        del session.answers[name]
    return reading, [f"Taken back: {listed(said)}."] if said else []

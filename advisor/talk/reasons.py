"""Questions about reasons as they are put over a counter, read once before any topic word is looked at.

What is asked about is found in the clause that asks; side words and the clauses that follow are remarks. Nothing is
concluded here, nothing asked here is kept.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from typing import TYPE_CHECKING

from ..errors import AnswerError
from ..read.acts import acts_of
from ..read.beside import held_against, known_values, take_if
from ..read.danger import RAISED
from ..read.glossary import terms_in
from ..read.lexicon import fold
from ..read.questions import topic_of
from ..read.reader import read_sentence
from ..reasoning.advice import Advice
from ..reasoning.contrast import contrast
from ..reasoning.difference import moves
from ..reasoning.facts import Answer
from ..reasoning.why_not import nearest_of, why_not, why_not_weight
from ..rulebase.models import RuleBase
from ..write.asked import Asked
from ..write.buying import stands
from ..write.counsel import price_said
from ..write.names import called
from ..write.short_reasons import (
    asks_first,
    contrast_short,
    held_short,
    part_short,
    what_if_short,
    why_not_short,
)
from ..write.straight import fitted, part_said, withheld
from .answering import alarming
from .comparing import changes_said, voice_of
from .contrasted import TOLD_FIRST, contrast_said, named_in
from .direct import alarms_of, cannot, judged_said, topic_said
from .kinds import kind_told
from .matter import Matter
from .naming import thickness_named
from .of_parts import part_why_not

if TYPE_CHECKING:
    from .session import Session

_AND = r"(?:(?:and|but|so|or|then|ok|okay|well)[, ]+)*"
_ASKER = r"(?:i|we|you|one(?! (?:layer|piece|thickness|of)\b)|it)"
_CANT = r"(?:can'?t|cannot|can not|couldn'?t|could not|shouldn'?t|wouldn'?t|won'?t|don'?t|isn'?t|aren'?t)"
_GIVES = re.compile(
    _AND + r"what (?:does|do|would|will) (?P<one>.+?) (?:give|have|do|offer|get)(?: me| us)? that (?P<other>.+?) "
    r"(?:does|do|would|will|has|have|is|can)(?:n'?t| not)\b.*"
)
_IF = re.compile(
    _AND + r"(?:what if|what (?:would |will )?(?:change|changes|be different|is different)(?: about it)? if"
    r"|(?:is|would|will) it (?:still )?(?:be )?(?:all )?the same (?:thing |order |leather )?if"
    r"|would (?:you|i|it) (?:change|alter|do|use|need|be|buy|order|recommend|take)"
    r" (?:anything|something|it|any different|different|the same|another)(?: leather"
    r"| else)?(?: different\w*)? (?:if|when|for(?= a\b))"
    r"|(?:is it |would it be |still )?(?:the )?same (?:order|leather|thing|again|thickness"
    r"|advice)? ?(?:if|when|for(?= a\b))"
    r"|(?:does|would|will) (?:it|that|the order) (?:matter|change|change anything|make a difference) if) (?P<what>.+)"
)
_RATHER = re.compile(
    rf"{_AND}(?:why|how come)(?: not| use| is it| do you (?:say|advise|use))? (?P<one>.+?) "
    r"(?:rather than|instead of|and not|but not|over|not) (?P<other>.+)"
)
_NOT = re.compile(
    rf"{_AND}(?:(?:why|how come)(?: (?:not|no)\b| {_CANT}| (?:is|can|could|do|does|should) (?:{_ASKER} )?not)"
    rf"|{_CANT}\b)(?: {_ASKER}\b)?(?P<what>.+)"
)
_LEADS = re.compile(
    rf"{_AND}(?:why|how come|what (?:makes|made) you (?:say|choose|pick|advise|go for|go with|settle on|decide on))"
    r"(?: (?:use|choose|pick|take|is it|did you (?:choose|pick|say|go for|go with|settle on)"
    r"|do (?:you|i) (?:say|advise|recommend|suggest|use|need)))?"
    r" (?P<what>(?:(?:this|that|the|these|such a|it is|your) )?[\w -]+?)(?: (?:for|in|here|and not another)\b.*)?"
)
_LEATHER = re.compile(
    r"(?:this|that|the|these|your)(?: (?:kind|sort|type) of)? (?:leathers?|one|stuff|hide|choice|tannage)"
)
_SOFTENED = re.compile(rf"{_AND}{_CANT}")
"""What asks whether it may be done, besides asking why not."""
_PART = re.compile(
    rf"{_AND}(?:what(?:'s| is| are)(?: the| a| an)? (?P<for>[\w -]+?) (?:good )?for"
    r"|what does (?:the|a|an) (?P<does>[\w -]+?) do"
    rf"|why (?:is there |do i need |does it need |have |has it |does it have )?(?:a|an) (?P<why>[\w -]+?)"
    rf"|(?:do i (?:really )?need|does it need|must it have) (?:the|a|an) (?P<need>[\w -]+?)"
    rf"|(?:(?:can|could|may|should) i |what if i |if i )?(?:leave|leaving|left) (?:out |off )(?:the|a|an) "
    rf"(?P<out>[\w-]+)"
    rf"|(?:can|could|may|must) the (?P<be>[\w-]+) be (?:left (?:out|off|away)|skipped|dropped)"
    rf"|(?:(?:can|could|may) i |what if i )?leave the (?P<off>[\w-]+) (?:out|off|away))(?: for| at all)?"
)
_WORTH = re.compile(
    rf"{_AND}(?:is|are|would|will|does|do|should|was)\b.*\b(?:better|worth|nicer|superior|stronger|tougher|last longer"
    r"|more durable|an upgrade|the extra)\b.*"
    rf"|{_AND}what(?:'s| is) the difference between (?:this|it|that|yours) and .+"
)
"""What asks whether another leather would be better, or worth its price."""
_ASIDE = re.compile(r"(?<!-)\b(?:for|like|so|because|since|as|when|to|on|in|with|if|than)\b(?!-)")
_THICKNESS = re.compile(r"\d+(?:[.,]\d+)?(?:\s*(?:-|to)\s*\d+(?:[.,]\d+)?)?\s*(?:mm|millimet\w+|oz|ounces?)\b")
_THINNER = re.compile(r"\b(?:thinner|lighter)\b|\b(?:as|so|that|this|too) thick\b")
_THICKER = re.compile(r"\b(?:thicker|heavier|beefier)\b|\b(?:so|that|this|too) thin\b")
_SOFTER, _STIFFER = re.compile(r"\b(?:softer|floppier)\b"), re.compile(r"\b(?:stiffer|firmer|harder)\b")
_STIFF, _SOFT = re.compile(r"\b(?:stiff|firm|hard)\b"), re.compile(r"\bsoft\b", re.IGNORECASE)
_HEAVY = re.compile(
    r"\b(?:heavy|heavier|weighs?|load(?:ed)?|pulls?|hang(?! (?:lower|higher|down|low|straight|further|off))|bulky"
    r"|full)\b"
)
_MADE = ("decoration", "edge")
"""Answers about the work, which a question may take for granted: "why can't I carve chrome"."""
LOAD = "load_mass"
_SURE = 3
"""From so many words found on a topic it is sure to be asked."""
_BELOW, _ABOVE = 0.8, 1.25
"""How much thinner and thicker than the advised range "thinner" and "thicker" are tried."""
_FULL = re.compile(r"\bin full\W*$", re.IGNORECASE)


def reasons_told(session: Session, text: str) -> list[str] | None:
    """The answer to a question about reasons, in at most five lines; None for anything else."""
    matter = session.matter()
    if matter.item is None or _FULL.search(text):
        return None
    low = text.lower().replace("’", "'")
    clauses = [" ".join(low[a.start : a.end].split()) for a in acts_of(text)]
    for place, clause in enumerate(clauses):
        if said := _part_told(matter, clause):
            return said
        if found := _IF.fullmatch(clause):
            whole = " and ".join([found["what"], *(c.removeprefix("and ") for c in _going_on(clauses[place + 1 :]))])
            session.tried = {}
            return _what_if(session, matter, whole)
        if said := _why_told(matter, clause, low):
            if _clashes_alone(matter.advice()) and not stands(matter.advice()):
                said = [*said, *withheld(matter.rulebase, matter.advice())[:1]]
            return said if (more := _danger_asked(matter, text)) is None else _with(clause, said, more)
    return None


def _going_on(clauses: list[str]) -> Iterator[str]:
    """The clauses that go on with a supposition: "the dog was 60 kg and pulls"."""
    for clause in clauses:
        if not clause.startswith(("and ", "say ")):
            return
        yield clause


def _with(clause: str, said: list[str], more: str) -> list[str] | None:
    """With what it would bring up; who asks whether it may be done is asked at once, which is done elsewhere."""
    return None if _SOFTENED.match(clause) else [*said, more]


def _danger_asked(matter: Matter, text: str) -> str | None:
    """The question that would come first by what the words of a question say of danger; None where they say nothing."""
    # A leather that is named is no machine, and no other thing, that it may be called after.
    for words in {words for words, _ in named_in(matter.rulebase, text.lower()).values()}:
        text = re.sub(re.escape(words), " ", text, flags=re.IGNORECASE)
    reading = read_sentence(matter.rulebase, text, matter.item, matter.units)
    alarms = alarms_of(matter, text, alarming(matter.rulebase, reading))
    return _first_asked(matter, alarms) if RAISED in alarms else None


def _first_asked(matter: Matter, changes: Mapping[str, Answer]) -> str | None:
    held = {d.attribute for d in matter.advice().dangers}
    new = [d for d in matter.advice(changes).dangers if d.attribute not in held]
    return asks_first(new[0].question) if new else None


# -- parts of the pattern


def _part_told(matter: Matter, clause: str) -> list[str]:
    """What a part is for, from the item's own pattern or the glossary; empty where no part is meant."""
    found = _PART.fullmatch(clause)
    word = next(filter(None, found.groups()), "") if found else ""
    item = matter.rulebase.items.get(matter.item or "")
    if not word or item is None:
        return []
    part = next((p for p in sorted(_parts_of(matter.rulebase)) if fold(p) == fold(word)), "")
    if not part or (found and found["need"] and topic_of(matter.rulebase, clause)):
        return []
    terms = [t for t in terms_in(matter.rulebase, part) if t.name == part]
    return part_short(voice_of(matter), item, part, terms[0].says if terms else "")


def _parts_of(rulebase: RuleBase) -> frozenset[str]:
    """What the patterns of all things call their pieces."""
    made: frozenset[str] = rulebase.once("parts of patterns", _read_parts)
    return made


def _read_parts(rulebase: RuleBase) -> frozenset[str]:
    pieces = {p.name.lower() for item in rulebase.items.values() for p in item.pieces if " " not in p.name}
    return frozenset(pieces | {part for item in rulebase.items.values() for part in item.parts if "_" not in part})


# -- why not, rather than


def _why_told(matter: Matter, clause: str, text: str) -> list[str]:
    rulebase, voice = matter.rulebase, voice_of(matter)
    if not stands(matter.advice()) and not _clashes_alone(matter.advice()):
        named = any(p.fullmatch(clause) for p in (_GIVES, _RATHER, _NOT)) and named_in(rulebase, clause)
        return withheld(rulebase, matter.advice()) if named else []
    for pattern in (_GIVES, _RATHER):
        two = pattern.fullmatch(clause)
        if two and (said := contrast_said(matter, two["one"], two["other"], gives=pattern is _GIVES)):
            return said
        if two and (size := _THICKNESS.fullmatch(two["other"].strip())):
            return _thickness_told(matter, matter.answers, size[0])
    if _WORTH.fullmatch(clause) and (said := _worth_told(matter, clause)):
        return said
    asked = _NOT.fullmatch(clause)
    if asked is None:
        return _lead_told(matter, clause)
    what = asked["what"].strip()
    aside = _ASIDE.search(what)
    head = what[: aside.start()] if aside else what
    answers = {**matter.answers, **_taken_for_granted(matter, clause, text)}
    named = named_in(rulebase, head) or named_in(rulebase, what)
    if said := part_why_not(matter, what, named.get("tannage", ("", []))[1]):
        return said
    if _STIFF.search(head):
        named = {d: (words, _no_softer(rulebase, d, those)) for d, (words, those) in named.items()}
    size = _THICKNESS.search(head) or _THICKNESS.search(what)
    if size and "tannage" not in named and (told_of := _thickness_told(matter, answers, size[0])):
        return told_of
    if not named and (mm := _compared(matter.advice(), what)):
        other = "thinner leather" if _THINNER.search(what) else "thicker leather"
        return why_not_short(voice, why_not_weight(rulebase, answers, matter.house, mm), other)
    if not named:
        named = _tempered(matter, what)
    # Of one word for two things, as suede, that is meant against which something speaks.
    first = next((named[d][0] for d in TOLD_FIRST if d in named), "")
    found = [
        why_not(rulebase, answers, matter.house, d, named[d][1])
        for d in TOLD_FIRST
        if d in named and named[d][0] == first
    ]
    told = next((f for f in found if f.against), found[0]) if found else None
    if told is None:
        return []
    but = held_against(rulebase, told.decision, told.asked, known_values(matter.advice()))
    return why_not_short(voice, told, first, but, answered=[*answers])


def _clashes_alone(advice: Advice) -> bool:
    """Whether only a conflict keeps an order from standing, so that what was chosen besides can still be told."""
    return bool(advice.conflicts) and not advice.dangers and not advice.no_order and advice.outcome != "defer"


def _lead_told(matter: Matter, clause: str) -> list[str]:
    """Why the leather that is advised, named or meant by "this leather"; empty where another thing is asked."""
    asked, advice = _LEADS.fullmatch(clause), matter.advice()
    decision = TOLD_FIRST[0]
    chosen = advice.decisions.choices()[decision].chosen
    if asked is None or not chosen:
        return []
    _, named = named_in(matter.rulebase, asked["what"]).get(decision, ("", []))
    meant = chosen[:1] if _LEATHER.fullmatch(asked["what"].strip()) else [c for c in chosen if c in named]
    if not meant:
        return []
    found = why_not(matter.rulebase, matter.answers, matter.house, decision, meant[:1])
    return why_not_short(voice_of(matter), found, "", takes=take_if(matter.rulebase, decision, chosen))


def _worth_told(matter: Matter, clause: str) -> list[str]:
    """What parts a leather that is asked about from the one that leads, and how its price stands to that one's."""
    decision, advice = TOLD_FIRST[0], matter.advice()
    chosen = advice.decisions.choices()[decision].chosen
    _, named = named_in(matter.rulebase, clause).get(decision, ("", []))
    others = [c for c in named if c not in chosen[:1]]
    if chosen and named and not others:
        of = Asked(matter.rulebase, advice, matter.units)
        why = _lead_told(matter, f"why {called(matter.rulebase, decision, chosen[0])}")
        return fitted([*why, part_said(of, "cheaper")], matter.width)
    if not chosen or not others or len(others) < len(named):
        return []
    other = nearest_of(advice.decisions.choices()[decision], others)
    found = contrast(matter.rulebase, matter.answers, matter.house, decision, chosen[0], other)
    values = known_values(advice)
    buts = {c: held_against(matter.rulebase, decision, c, values) for c in (chosen[0], other)}
    lines = contrast_short(voice_of(matter), found, {}, take_if(matter.rulebase, decision, [chosen[0], other]), buts)
    head, _, rest = " ".join(" ".join(lines).split()).partition(". ")
    price = price_said(Asked(matter.rulebase, advice, matter.units), other)
    return fitted([f"{head.rstrip('.')}.", price, *re.split(r"(?<=\.) (?=[A-Z])", rest)], matter.width)


def _thickness_told(matter: Matter, answers: Mapping[str, Answer], size: str) -> list[str]:
    """Why the advised leather is not of a thickness; empty where the words say none."""
    mm = thickness_named(size)
    if mm is None:
        return []
    found = why_not_weight(matter.rulebase, answers, matter.house, mm)
    return why_not_short(voice_of(matter), found, f"{size} leather")


def _no_softer(rulebase: RuleBase, decision: str, candidates: list[str]) -> list[str]:
    """Those whose own name does not call them soft, where there are some."""
    return [c for c in candidates if not _SOFT.search(called(rulebase, decision, c))] or candidates


def _compared(advice: Advice, clause: str) -> float | None:
    """A thickness just outside what is advised, on the side that the clause asks about."""
    weight = advice.decisions.weight
    if weight.low_mm is None or weight.high_mm is None:
        return None
    if _THINNER.search(clause):
        return round(weight.low_mm * _BELOW, 1)
    return round(weight.high_mm * _ABOVE, 1) if _THICKER.search(clause) else None


def _tempered(matter: Matter, clause: str) -> dict[str, tuple[str, list[str]]]:
    """The next softer or stiffer leather, where that is asked for."""
    step = -1 if _SOFTER.search(clause) else 1 if _STIFFER.search(clause) else 0
    order, chosen = list(matter.rulebase.decisions["temper"].candidates), matter.advice().decisions.temper.chosen
    place = order.index(chosen[0]) + step if step and chosen else -1
    if not 0 <= place < len(order):
        return {}
    return {"temper": ("softer leather" if step < 0 else "stiffer leather", [order[place]])}


def _taken_for_granted(matter: Matter, clause: str, text: str) -> dict[str, Answer]:
    """Work that the question takes for granted: "why can't I carve it", "so that I can stamp it"."""
    verb = re.search(rf"(?:{_CANT}|can|could) (?:i|we|you) (\w+)", clause)
    purpose = re.search(r"\bso (?:that )?((?:i|we|it|you) .+)", text)
    said = [f"i {verb[1]} it"] if verb else []
    said += [re.split(r"[?.!;]", purpose[1])[0]] if purpose else []
    found: dict[str, Answer] = {}
    for words in said:
        reading = read_sentence(matter.rulebase, words, matter.item, matter.units)
        found |= {n: a for n, a in reading.answers.items() if n in _MADE}
    return found


# -- what if


def what_if_told(session: Session, text: str) -> list[str] | None:
    """What a supposition would change; None where it says nothing that can be reckoned with."""
    matter = session.matter()
    try:
        changes = changes_said(matter.rulebase, text, matter.item, matter.units)
    except AnswerError:
        return None
    changes = {n: a for n, a in changes.items() if n != "item" or "item" not in matter.answers}
    if not changes:
        return None
    said = supposed_told(matter, changes, text)
    # What is reckoned with already is nothing to keep.
    session.tried = {} if set(changes) <= set(_held(matter.advice(), changes)) else changes
    return said


def supposed_told(matter: Matter, changes: Mapping[str, Answer], text: str) -> list[str]:
    """What would be different in at most four lines, with the question that a danger would put first."""
    voice, before = voice_of(matter), matter.advice()
    first = _first_asked(matter, changes) if RAISED in changes else None
    rest = {n: a for n, a in changes.items() if n != RAISED}
    if not rest:
        return [first] if first else held_short(voice, changes)
    after = matter.advice(rest)
    found = moves(before, after)
    if not found and len(_held(before, rest)) == len(rest):
        care = _care(matter, text, 1) or _met(matter, rest)
        return [" ".join([*held_short(voice, rest), care]).strip(), *([first] if first else [])]
    return what_if_short(voice, before, after, found, rest, _care(matter, text, 1 if not found else _SURE), first or "")


def _held(advice: Advice, changes: Mapping[str, Answer]) -> list[str]:
    """The answers among ``changes`` that the advice reckons with as it stands."""

    def held(name: str) -> set[object]:
        value = fact.value if (fact := advice.facts.get(name)) else None
        return set(value) if isinstance(value, list) else {value} if value is not None else set()

    return [n for n, a in changes.items() if a.values and held(n) == set(a.values)]


def _met(matter: Matter, changes: Mapping[str, Answer]) -> str:
    """Why the leather that leads stands what was reckoned with: its first reason of a rule that reads those answers."""
    tannage = matter.advice().decisions.tannage
    reasons = (e for e in tannage.ledger if e.candidate in tannage.chosen[:1] and e.act == "favour" and not e.withdrawn)
    return next(
        (e.because for e in reasons if any(p.attribute in changes for p in matter.rulebase.rules[e.rule].when)), ""
    )


def _care(matter: Matter, text: str, sure: int = _SURE) -> str:
    """What is to be done in such a case, where so many words ask it."""
    topic = topic_of(matter.rulebase, text) or (topic_of(matter.rulebase, text, hinted=True) if sure == 1 else None)
    if topic is None or topic.size < sure or not stands(matter.advice()):
        return ""
    # A topic of few words that tells a part of the order would tell it without what is supposed.
    return " ".join(topic_said(matter, topic)[:1]) if sure == _SURE or not topic.tell else ""


def _what_if(session: Session, matter: Matter, text: str) -> list[str] | None:
    topic = topic_of(matter.rulebase, text)
    if topic and _supposes_nothing(matter, text, topic.told_here):
        return fitted(topic_said(matter, topic), matter.width)
    if said := what_if_told(session, text):
        return said
    if said := judged_said(matter, text) or kind_told(matter, f"if {text}"):
        return said
    if _HEAVY.search(text) and (said := _heavier(matter)):
        return said
    if topic:
        return fitted(topic_said(matter, topic), matter.width)
    # A harm that the supposition speaks of is asked about, even where nothing else of it is known.
    return [first] if (first := _danger_asked(matter, text)) else cannot(matter, text)


def _supposes_nothing(matter: Matter, text: str, told_here: Collection[str]) -> bool:
    """Whether nothing new is read in a supposition but a danger of which the answer to it speaks (``told_here``)."""
    try:
        changes = changes_said(matter.rulebase, text, matter.item, matter.units)
    except AnswerError:
        return True
    if RAISED in changes and not {*changes[RAISED].values} <= {*told_here}:
        return False
    rest = {n: a for n, a in changes.items() if n not in ("item", RAISED)}
    return len(rest) == 0 or (RAISED in changes and set(_held(matter.advice(), rest)) == set(rest))


def _heavier(matter: Matter) -> list[str]:
    """Of a load without a number: what is reckoned with, and what the thickness hangs on."""
    advice = matter.advice()
    if not stands(advice):
        return withheld(matter.rulebase, advice)
    of = Asked(matter.rulebase, advice, matter.units)
    fact = advice.facts.get(LOAD)
    return [
        " ".join(
            filter(
                None,
                (
                    'Tell me how heavy, and I reckon with it, for example "what if it carries 5 kg".',
                    f"So far it is {fact.value:g} kg." if fact and isinstance(fact.value, float) else "",
                    part_said(of, "why_thickness"),
                ),
            )
        )
    ]

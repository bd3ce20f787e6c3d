"""A correction in any shape: "scrap the zip", "so make the belt 35", "32 wide, not 30", "leather is fine after all".

It finds the answer that is meant, says what it was and what it is now, and asks by number where two may be meant.
What protects somebody is only dropped after a yes.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from ..read.answers import read_answer
from ..read.corrections import correction
from ..read.danger import RAISED
from ..read.numbers import Size, find_sizes
from ..read.reader import read_sentence
from ..read.sides import SIDES
from ..read.stuffs import stuffs
from ..reasoning.facts import Answer
from ..rulebase.models import NO_ORDER, Attribute
from .called import bag, called_so, words_in
from .choosing import as_size, ask, by_words, drop, may_be, sizes_of, taken
from .guarding import PROTECTING, guards
from .pending import Pending
from .reply import Reply

if TYPE_CHECKING:
    from .session import Session

LIMITS = "limits"
_LEAD = (
    r"(?:(?:no|nope|nah|oh|ok(?:ay)?|well|so|and|but|sorry|wait|actually|hm+|right|then|please"
    r"|on second thoughts?|in fact"
    r"|after all|just|let'?s|can (?:you|we)|could (?:you|we)|i(?:'d| would)? (?:want|like)(?: you)? to"
    r"|you can)\b[ ,.;:!-]*)*"
)
_SCRAP = re.compile(
    rf"{_LEAD}(?:scrap|forget|drop|lose|skip|cancel|leave out|leave off|take (?:off|out|away|back)|remove"
    rf"|delete|never ?mind"
    r"|ditch|no more|without|do without|get rid of)(?: about)? (?P<old>(?:the |that |my |his |her |any "
    r"|all )?[^,.;:!?]{2,50}?)"
    r"(?: (?:then|please|after all|again|now|thing|rule|bit|wish|stuff|idea|business))*(?P<rest>[,.;:!-]+\s.*|[.!]*)",
    re.IGNORECASE,
)
_RULED = re.compile(
    rf"{_LEAD}(?:the |that |my |your )?(?P<old>[^,.;:!?]{{2,40}}?)(?: rule| thing| wish)?\s*[:,-]\s*"
    r"(?:drop|scrap|forget|cancel|skip|lose|remove) (?:it|that)\b(?P<rest>.*)",
    re.IGNORECASE,
)
_FINE = re.compile(
    r"\b(?:leather|hides?|cowhide|cow|cattle|skins?|animals?|pig(?:skin)?|fur|it|everything|any(?:thing)?)"
    r"(?:'s| is| are|'re| would be| will be)? (?:really |perfectly |quite |just |absolutely |all |totally )?"
    r"(?:fine|ok(?:ay)?|right|alright|allowed|no problem|welcome|good|do)\b"
    r"|\bno objections?\b|\b(?:do not|don'?t|does not|doesn'?t) (?:mind|object to) (?:any "
    r"|real )?(?:leather|hide|cow|anim|skin)"
    r"|\bnot (?:a )?vegan\b|\b(?:want|use|take|have|buy|need)s? (?:real |proper )?leather\b|\b(?:real "
    r"|of course )?leather (?:it is|please)\b"
    r"|\bnothing (?:is )?ruled out\b|\bcowhide\b.*\b(?:fine|ok|okay|good)\b",
    re.IGNORECASE,
)
"""What lifts a refusal of leather in words that name no answer."""
_NOT_FINE = re.compile(
    r"\b(?:not|isn'?t|no) (?:fine|ok|okay|allowed|good|all right|alright|leather|hide|animal)\b", re.IGNORECASE
)
_AS_MADE = re.compile(
    r"\b(?:(?P<sure>turns? out|turned out|should (?:be|have been)|has to be|must be|instead|so make"
    r"|make that|make (?:it|the)"
    r"|change (?:it|that|the)|not|rather than|is now|(?:it'?s|it is|they'?re|now) (?=[\d½¼¾])|i said"
    r"|i meant?|no longer))\b"
    r"|^(?P<no>no|nope|sorry|wrong|actually|wait|oops)\b",
    re.IGNORECASE,
)
_OLD_SIZE = re.compile(
    r"(?:\bnot|\binstead of|\brather than|\bno longer|\bwas|\bi (?:said|typed|put)) (?:the |just |only |about )?$",
    re.IGNORECASE,
)
_END_NOW = re.compile(r"\bnow[.! ]*$", re.IGNORECASE)


def mended(session: Session, text: str) -> Reply | None:
    """The reply to what takes back or changes an answer; None for anything else."""
    if session.item() is None or not session.answers:
        return None
    low = text.lower().replace("’", "'")
    return lifted(session, low) or _scrapped(session, text, low) or _resized(session, text, low)


def changed_so(session: Session, named: str, value: str) -> Reply | None:
    """ "Change no animal material to nothing ruled out", in the program's own words for what is held."""
    if lifting(session, named) and _FINE.search(f"{value} is fine"):
        return lifted(session, f"{value} is fine")
    for name, left in holders(session, named):
        attribute = session.rulebase.attributes[name]
        found = read_answer(session.rulebase, attribute, value, session.units, numbered=False)
        if found and found.answer and found.answer.values:
            if guards(session, name):
                question = f"You said before: {session.said(name)}. Drop it?"
                session.pending = Pending({name: found.answer}, question)
                return session.again([])
            return taken(session, {name: found.answer})
        if attribute.numeric or left is None:
            continue
    return None


# -- refusals


def lifting(session: Session, words: str) -> bool:
    """Whether words speak of what is ruled out, as the program or the person called it."""
    key = words_in(words)
    told = [session.said(n) for n in _ruling_out(session)]
    told += [t for n in _ruling_out(session) for t in (session.answers[n].words, n.replace("_", " "))]
    return bool(key & {w for t in told for w in words_in(t)})


def lifted(session: Session, low: str) -> Reply | None:
    """ "Leather is fine": the refusal that keeps an order from standing is dropped after a yes."""
    if "?" in low or not _FINE.search(low) or _NOT_FINE.search(low) or session.advice().verdict not in NO_ORDER:
        return None
    names = [n for n in _ruling_out(session) if _stands_without(session, n)]
    if not names:
        return None
    said = session.said(names[0])
    session.pending = Pending({}, f"You said before: {said}. Drop it?", drops=(names[0],))
    return session.again([])


def _ruling_out(session: Session) -> list[str]:
    attributes = session.rulebase.attributes
    return [n for n, a in session.answers.items() if a.values and n in attributes and attributes[n].group == LIMITS]


def _stands_without(session: Session, name: str) -> bool:
    answers = {n: a for n, a in session.answers.items() if n != name}
    return session.matter().about(answers).advice().outcome not in ("refuse", "another_material")


# -- answers


def holders(session: Session, words: str) -> list[tuple[str, Answer | None]]:
    """The answers that the words name, and what is left of each without what they name; None where nothing is."""
    key = words_in(words)
    if not key:
        return []
    exact: list[tuple[str, Answer | None]] = []
    loose: list[tuple[str, Answer | None]] = []
    item = session.item() or ""
    for name, held in session.answers.items():
        attribute = session.rulebase.attributes.get(name)
        if attribute is None or name in ("item", RAISED) or not held.values:
            continue
        if not attribute.numeric:
            found = read_answer(session.rulebase, attribute, words, session.units, numbered=False)
            gone = (
                set(found.answer.values) & set(held.values)
                if found and found.answer and found.meant == "value"
                else set()
            )
            if gone and gone != {"none"}:
                exact.append((name, _without(held, gone)))
                continue
        if key <= words_in(attribute.label) | words_in(attribute.name.replace("_", " ")):
            exact.append((name, None))
        elif key <= bag(session, attribute, item) | words_in(held.words) or (
            not attribute.numeric and key & words_in(session.said(name)) and attribute.group == LIMITS
        ):
            loose.append((name, None))
    return exact or loose


def _without(held: Answer, gone: set[str | float]) -> Answer | None:
    left = tuple(v for v in held.values if v not in gone)
    return replace(held, values=left) if left else None


def _none(attribute: Attribute) -> Answer | None:
    """That there is none of it, where that can be said and protects nobody."""
    plain = "none" in attribute.values and attribute.group not in PROTECTING
    return Answer(("none",), "known", "answered", "none") if plain and attribute.kind == "set" else None


def _scrapped(session: Session, text: str, low: str) -> Reply | None:
    """ "Scrap the zip", "no animal rule: drop it", "forget the black, brown": what holds it is taken back."""
    found = _SCRAP.fullmatch(low.strip()) or _RULED.fullmatch(low.strip())
    if found is None or list(find_sizes(found["old"], [])):
        return None
    held = holders(session, found["old"])
    rest = text.strip()[found.start("rest") :].strip(" ,.;:!-")
    if not held:
        return _nothing_held(session, found["old"].strip(), rest)
    if len(held) > 1:
        return drop(session, [name for name, _ in held], found["old"].strip())
    name, left = held[0]
    attribute = session.rulebase.attributes[name]
    instead = read_answer(session.rulebase, attribute, rest, session.units, numbered=False) if rest else None
    if instead and instead.answer and instead.answer.values and not guards(session, name):
        return taken(session, {name: instead.answer})
    left = left or _none(attribute)
    if guards(session, name) or left is None:
        reply = drop(session, [name], found["old"])
    else:
        reply = taken(session, {name: left})
    if not rest or session.pending is not None:
        return reply
    then = session.meant(rest)
    return Reply([*reply.lines, *then.lines], then.prompt, then.ended)


def _nothing_held(session: Session, old: str, rest: str) -> Reply | None:
    """ "Drop the hot drinks, cold ale only", where nothing was heard of them: they are not taken for a wish now."""
    named = re.match(r"(?:the|that|my|his|her|all|any) (?P<what>.+)", old)
    if named is None:
        return None
    told = read_sentence(session.rulebase, named["what"], session.item(), session.units).answers
    if not told and called_so(session, named["what"]) is None:
        return None
    said = f'I hold nothing of "{named["what"]}", so there is nothing to drop.'
    if not rest:
        return session.again([said])
    then = session.meant(rest)
    return Reply([said, *then.lines], then.prompt, then.ended)


# -- sizes


def _resized(session: Session, text: str, low: str) -> Reply | None:
    """ "So make the belt 35", "32 wide not 30", "it's 28 cm now": another number for a size that was said."""
    marks = list(_AS_MADE.finditer(low))
    if (not marks and not _END_NOW.search(low)) or "?" in text or session.advice().dangers:
        return None
    sizes = [s for s in find_sizes(low, [], stuffs(session.rulebase)) if s.values]
    if not sizes or any(s.wrong or len(s.values) != 1 or s.kind not in ("size", "bare", "feet") for s in sizes):
        return None
    old = [s for s in sizes if _OLD_SIZE.search(low[: s.start])]
    new = [s for s in sizes if s not in old]
    if len({s.values[0] for s in new}) != 1 or len(old) > 1 or (old and not new):
        return None
    size = new[-1]
    other = correction(session.rulebase, text, session.item() or "", session.units)
    if other is not None and other.slug:
        # "Make the wallet 10 cm wide" names another thing.
        return None
    question = session.question
    if question is not None and question.numeric and not old and not _names_side(low):
        return None
    held = _held(session, old[0]) if old else []
    told = by_words(session, low, size)
    named = list(told) or _by_side(session, low, size)
    if not size.unit and not held and not named and not _names_thing(session, low, size):
        return None
    if held:
        both = [n for n in held if n in named]
        names = both or named or held
        fitting = _as_sizes(session, names, low, size)
    elif named:
        fitting = _as_sizes(session, named, low, size)
    else:
        # Without a word for a side only what was said before can be corrected.
        fitting = may_be(session, low, size)
        said = {n: a for n, a in fitting.items() if session.answers.get(n, Answer(())).values}
        fitting = said or (fitting if _names_thing(session, low, size) else {})
    fitting = {n: a for n, a in fitting.items() if a.values != session.answers.get(n, Answer(())).values}
    if not fitting:
        return None
    return ask(session, fitting) if len(fitting) > 1 else taken(session, fitting)


def _as_sizes(session: Session, names: list[str], low: str, size: Size) -> dict[str, Answer]:
    """What a number comes to as each of these sizes that it can be."""
    said = low[size.start : size.end]
    found = ((n, as_size(session, session.rulebase.attributes[n], said, size)) for n in names)
    return {n: answer for n, answer in found if answer is not None}


def _held(session: Session, old: Size) -> list[str]:
    """The sizes said before that a denied number is one of."""
    found: list[str] = []
    for attribute in sizes_of(session):
        held = session.answers.get(attribute.name, Answer(()))
        if not held.values:
            continue
        numbers = [v for s in find_sizes(held.words.lower(), []) for v in s.values]
        said = set(numbers) if len(numbers) == 1 else set()
        as_told = as_size(session, attribute, f"{old.values[0]:g} {old.unit}".strip(), old)
        near = as_told is not None and abs(float(as_told.values[0]) - float(held.values[0])) < 0.02 * float(
            held.values[0]
        )
        if near or (not old.unit and old.values[0] in said):
            found.append(attribute.name)
    return found


def _names_side(low: str) -> bool:
    return any(re.search(rf"\b{word}\b", low) for word in SIDES)


def _by_side(session: Session, low: str, size: Size) -> list[str]:
    """The sizes that a word for a side right beside a number names."""
    around = f"{' '.join(low[: size.start].split()[-3:])} {' '.join(low[size.end :].split()[:2])}"
    sides = {SIDES[w] for w in re.findall(r"[a-z]+", around) if w in SIDES}
    return [a.name for a in sizes_of(session) if any(_is_side(a, side) for side in sides)]


def _is_side(attribute: Attribute, side: str) -> bool:
    return attribute.name == side or attribute.name.endswith(f"_{side}")


def _names_thing(session: Session, low: str, size: Size) -> bool:
    """Whether the thing itself or one of its sizes is named before a number: "make the belt 35"."""
    item = session.rulebase.items[session.item() or ""]
    words = words_in(" ".join(low[: size.start].split()[-5:]))
    own = words_in(f"{item.name} {session.answers['item'].words}") | {"strap"}
    sizes = {w for a in sizes_of(session) for w in words_in(a.label)}
    return bool(words & (own | sizes))

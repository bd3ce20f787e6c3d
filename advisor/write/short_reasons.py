"""Why not, rather than and what if at a counter: the reasons that decide, in at most five lines.

Everything is read off the values that the reasoning returns; all that is left out here is told in full.
"""

from __future__ import annotations

import re
import textwrap
from collections import Counter
from collections.abc import Mapping, Sequence

from ..read.glossary import terms_in
from ..read.lexicon import fold
from ..reasoning.advice import Advice, CautionView
from ..reasoning.contrast import Contrast, Side
from ..reasoning.difference import Move
from ..reasoning.facts import Answer
from ..reasoning.why_not import Speaking, WhyNot
from ..rulebase.models import Item
from .explaining import Voice, goal_words, value_words
from .names import thing_called, values_called
from .page import SEVERITY_WORDS, capital, listed
from .reasons import bound_because
from .straight import withheld

MOST_LINES = 5
_COLUMNS = 80
_ORDER = ("tannage", "weight", "surface", "form", "cut", "grain", "temper", "species")
"""The parts of an order whose change is told, the telling ones first."""
_RANGE = re.compile(r"^It is sold at |\bis made of leather [\d.]+ to ")
_MOST_MOVES = 2
_MOST_CAUTIONS = 2


def whole(needed: Sequence[str], wanted: Sequence[str], last: str = "", most: int = MOST_LINES) -> list[str]:
    """All of ``needed``, as much of ``wanted`` as goes on ``most`` lines, each as a whole, and ``last``."""
    taken = [t for t in needed if t]
    for sentence in dict.fromkeys(filter(None, wanted)):
        if sentence not in taken and _lines([*taken, sentence, last]) <= most:
            taken.append(sentence)
    return [" ".join([*taken, *([last] if last else [])])]


def _lines(sentences: Sequence[str]) -> int:
    return len(textwrap.wrap(" ".join(filter(None, sentences)), _COLUMNS))


# -- why not


def why_not_short(voice: Voice, found: WhyNot, said: str) -> list[str]:
    """The one or two reasons that decide against what was asked for, and the best for what stands instead."""
    rulebase, thing = voice.rulebase, thing_called(voice.rulebase, voice.item or "")
    one = said if found.decision == "weight" else values_called(rulebase, found.decision, [found.asked])
    lead = values_called(rulebase, found.decision, found.lead[:1])
    if found.state == "no leather":
        return [f"Not {said}: no order stands for the {thing} at all."]
    if found.state == "advised" and found.members:
        others = [m for m in found.members if m.state != "advised" and m.against]
        but = [
            f"Not {values_called(rulebase, found.decision, [m.asked])}: {_small(_because(m.against[:1])[0])}"
            for m in others[:1]
        ]
        return whole([f"Of {said} I do advise {lead} for the {thing}."], [*_because(found.for_lead[:1]), *but])
    if found.state == "advised":
        own = found.for_lead if found.decision == "weight" or found.asked in found.lead[:1] else found.speaking_for
        return whole([f"{capital(one)} is what I advise for the {thing}."], _because(own[:2]))
    instead = f"I advise {lead}." if lead else ""
    why_lead = _because(found.for_lead[:1])
    if found.state == "fits as well":
        first = f"{capital(one)} will do as well; {lead} stands before it."
        named = [f"{capital(lead)}: {_small(why_lead[0])}"] if why_lead else []
        return whole([first], [*_because(found.speaking_for[:1]), *named])
    deciding = _deciding(found)
    reasons = list(
        dict.fromkeys(capital(bound_because(rulebase, voice.item, r.rule, r.side or "", r.because)) for r in deciding)
    )
    if reasons:
        head = f"Not {said} for the {thing}: {_small(reasons[0])}"
    else:
        meant = [t.says for t in terms_in(rulebase, said) if fold(t.name) == fold(said)]
        head = f"I know of nothing against {said}; it is just not usual for the {thing}. {' '.join(meant)}".strip()
    way = f"It would do if you said {voice.ways(found.ways[:1])}." if found.ways else ""
    return whole(
        [head], [*reasons[1:2], f"{instead[:-1]}: {_small(why_lead[0])}" if instead and why_lead else instead, way]
    )


def _deciding(found: WhyNot) -> list[Speaking]:
    """What decides, a reason of use before a range of thickness."""
    against = list(found.against)
    if found.members:
        often = Counter(s.because for m in found.members for s in m.against)
        every = {s.because: s for m in found.members for s in m.against}
        near = {s.because for s in found.against}
        against = sorted(every.values(), key=lambda s: (-often[s.because], s.because not in near))
    if found.decision == "weight":
        return sorted({s.because: s for s in against}.values(), key=_only_a_range)
    return sorted(against, key=_only_a_range)


def _only_a_range(reason: Speaking) -> bool:
    """Whether a reason only repeats in what thickness something is sold or made, which says least of why."""
    return bool(_RANGE.search(reason.because))


def _because(reasons: Sequence[Speaking]) -> list[str]:
    return list(dict.fromkeys(capital(r.because) for r in reasons))


def _small(sentence: str) -> str:
    """A sentence as it goes on after a colon."""
    return sentence[:1].lower() + sentence[1:] if sentence[1:2].islower() or sentence[1:2] == " " else sentence


# -- rather than


def contrast_short(voice: Voice, found: Contrast, groups: Mapping[str, str] | None = None) -> list[str]:
    """What parts two candidates, one reason for each, and one thing that would turn it.

    ``groups`` are the words that named more than one, by the candidate that stands for them.
    """
    sides = (found.one, found.other)
    one, other = (values_called(voice.rulebase, found.decision, [s.asked]) for s in sides)
    if found.one.state == "no leather":
        return [f"Neither {one} nor {other}: no order stands for this at all."]
    names = {found.one.asked: one, found.other.asked: other}
    first_named = {
        c: f"{name}, the best of {groups[c]} here," if groups and c in groups else name for c, name in names.items()
    }
    ordered = sorted(sides, key=lambda s: s.asked != (found.first or found.one.asked))
    first, second = ordered
    if found.first is None:
        head = f"{capital(first_named[first.asked])} and {first_named[second.asked].rstrip(',')} stand level."
    else:
        head = f"{capital(first_named[first.asked])} stands before {first_named[second.asked].rstrip(',')}."
    told = [f"{capital(names[s.asked])}: {_small(text)}" for s in ordered if (text := _best(s, s is first))]
    if not told:
        told = ["What is known speaks of both alike."]
    turns = [
        f"{capital(names[s.asked])} comes first if you said {voice.ways(s.turning[:1])}."
        for s in (second, first)
        if s.turning and (s is second or found.first is None)
    ]
    return whole([head, told[0]], [*told[1:], *turns[:1]])


def gives_short(voice: Voice, found: Contrast) -> list[str]:
    """What the first named has that the other has not, and what it lacks."""
    one, other = (values_called(voice.rulebase, found.decision, [s.asked]) for s in (found.one, found.other))
    if found.one.state == "no leather":
        return [f"Neither {one} nor {other}: no order stands for this at all."]
    has = sorted(found.one.for_it, key=_only_a_range)
    lacks = sorted([*found.one.against, *found.other.for_it], key=_only_a_range)
    head = f"Here {one} gives you nothing more than {other}."
    if has:
        head = f"{capital(one)}: {_small(capital(has[0].because))}"
    but = [
        f"{capital(other)}: {_small(capital(r.because))}" if r in found.other.for_it else capital(r.because)
        for r in lacks[:2]
    ]
    leads = values_called(voice.rulebase, found.decision, [found.first]) if found.first else ""
    return whole([head], [*but, f"I put {leads} first." if leads else ""])


def _best(side: Side, leads: bool) -> str:
    """The reason that decides for the one that leads, or against the one that does not."""
    reasons = [*side.for_it, *side.against] if leads else [*side.against, *side.for_it]
    useful = sorted(reasons, key=_only_a_range)
    return capital(useful[0].because) if useful else ""


# -- what if


def what_if_short(
    voice: Voice,
    before: Advice,
    after: Advice,
    found: Sequence[Move],
    changes: Mapping[str, Answer],
    care: str = "",
    first: str = "",
) -> list[str]:
    """What moves in the order and the gravest new cautions; the rest is counted.

    ``before`` and ``after`` are the advice without and with the ``changes``; ``care`` is what is to be done then,
    ``first`` the question that a danger would put before any order.
    """
    most = MOST_LINES - 1
    said = listed(voice.quoted(n, a) for n, a in changes.items())
    if after.no_order and not before.no_order:
        return whole([f"If you said {said}, no order would stand."], withheld(voice.rulebase, after)[1:], first, most)
    moved = sorted(
        (m for m in found if m.about in _ORDER and (m.after[:1] != m.before[:1] or _narrowed(m))),
        key=lambda m: _ORDER.index(m.about),
    )
    told = [_moved(voice, m) for m in moved]
    new = _new_cautions(before, after)
    cautions = [f"{SEVERITY_WORDS[c.severity]}, {c.about}: {c.text}" for c in new]
    head = f"If you said {said}: " + (f"{'; '.join(told[:_MOST_MOVES])}." if told else "the order stays as it is.")
    grave = [text for c, text in zip(new, cautions, strict=True) if c.severity != "note"]
    # What is to be done then says more than the caution, and a stop is said all the same.
    stops = [text for c, text in zip(new, cautions, strict=True) if c.severity == "stop"]
    needed = [head, care, *(stops if care else grave)[:1]]
    rest = max(0, len(new) - _MOST_CAUTIONS) + max(0, len(told) - _MOST_MOVES)
    tail = f"{rest} more in full." if rest else ""
    because = [m.because for m in moved[:1] if m.because and not m.lifted]
    now = {c.id for c in after.cautions if c.status == "applies"}
    gone = [c.about for c in before.cautions if c.status == "applies" and c.severity != "note" and c.id not in now]
    lifted = [f"No longer applies: {listed(gone)}."] if gone else []
    return whole(needed, [*cautions[:_MOST_CAUTIONS], *lifted, *because], f"{tail} {first}".strip(), most)


def _narrowed(move: Move) -> bool:
    """Whether of several equally good only the first is left."""
    return move.about == _ORDER[0] and len(move.after) == 1 < len(move.before)


def _moved(voice: Voice, move: Move) -> str:
    goal = goal_words(move.about).removeprefix("the ")
    if _narrowed(move) and move.after[:1] == move.before[:1]:
        lost = value_words(voice.rulebase, move.about, move.before[1:])
        return f"{goal} only {value_words(voice.rulebase, move.about, move.after)}, no longer {lost}"
    now = value_words(voice.rulebase, move.about, move.after[:1]) or "open"
    return f"{goal} {now} instead of {value_words(voice.rulebase, move.about, move.before[:1]) or 'none'}"


def _new_cautions(before: Advice, after: Advice) -> list[CautionView]:
    was = {c.id for c in before.cautions if c.status == "applies"}
    grave = ("stop", "caution", "note")
    found = [c for c in after.cautions if c.status == "applies" and c.id not in was]
    return sorted(found, key=lambda c: grave.index(c.severity))


def asks_first(question: str) -> str:
    """What a supposition would bring up: the question that would come before any order."""
    return f"Then I would ask first: {question}"


def held_short(voice: Voice, changes: Mapping[str, Answer]) -> list[str]:
    """That a supposition is what was reckoned with already."""
    said = listed(voice.quoted(n, a) for n, a in changes.items())
    return [f"It is the same order: I had already reckoned with {said}."]


# -- parts of a pattern


def part_short(voice: Voice, item: Item, part: str, means: str) -> list[str]:
    """What a part of the pattern is for: the trade's word for it, the mistake made with it, and how it is cut."""
    thing = thing_called(voice.rulebase, item.slug)
    pieces = [p for p in item.pieces if part in p.name.lower().split() or part in (p.of, p.part)]
    spec = item.parts.get(part)
    mistake = item.first_mistake if part in item.first_mistake.lower() else ""
    known = pieces or spec
    said = [f"{capital(part)}: {means}" if means else ""]
    said += [f"The usual first mistake here: {_small(mistake)}"] if mistake else []
    if not known:
        said.append(f"The {thing} as I reckon it has no {part}.")
    elif not means and not mistake:
        said.append(f"The {part} is one of the pieces of the {thing}.")
    of = f"Cut it from {spec.what}." if spec and spec.what else ""
    own = f"The {thing} is reckoned with it, so leaving it out is another pattern." if known and not mistake else ""
    return whole([t for t in said if t], [of, own])

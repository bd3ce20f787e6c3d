"""Why not, rather than and what if at a counter: the reasons that decide, in at most five lines.

Everything is read off the values that the reasoning returns; all that is left out here is told in full.
"""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from ..read.glossary import terms_in
from ..read.lexicon import fold
from ..reasoning.advice import Advice, CautionView
from ..reasoning.contrast import Contrast, Side
from ..reasoning.difference import Move
from ..reasoning.facts import Answer
from ..reasoning.why_not import Speaking, WhyNot
from ..rulebase.models import Item, RuleBase
from .buying import stands
from .explaining import Voice, goal_words, value_words
from .names import thing_called, values_called
from .page import SEVERITY_WORDS, capital, listed
from .reasons import bound_because, only_a_range
from .straight import withheld

MOST_LINES = 5
_COLUMNS = 80
_ORDER = ("tannage", "weight", "surface", "form", "cut", "grain", "temper", "species")
"""The parts of an order whose change is told, the telling ones first."""
_MOST_MOVES = 2
_RUN = 4
_MOVED = {"form": "you would buy it as"}
_COUNTED = {2: "Two", 3: "Three"}
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


def why_not_short(
    voice: Voice,
    found: WhyNot,
    said: str,
    but: str = "",
    takes: Mapping[str, str] | None = None,
    answered: Collection[str] = (),
) -> list[str]:
    """The one or two reasons that decide against what was asked for, and the best for what stands instead.

    ``but`` is what people have against it, told first where no rule that bars it, is written for the thing or reads
    one of the ``answered`` questions says why not. What would bring it is told, or that
    nothing would. ``takes`` is what each of those that stand level is taken for, going on from "if".
    """
    rulebase, thing = voice.rulebase, thing_called(voice.rulebase, voice.item or "")
    one = said if found.decision == "weight" else values_called(rulebase, found.decision, [found.asked])
    lead = values_called(rulebase, found.decision, found.lead[:1])
    if found.state == "no leather":
        return [f"Not {said}: no order stands for the {thing} at all."]
    if found.state == "advised" and found.members:
        others = [m for m in found.members if m.state != "advised" and m.against]
        besides = [
            f"Not {values_called(rulebase, found.decision, [m.asked])}: {_small(_because(m.against[:1])[0])}"
            for m in others[:1]
        ]
        if found.asked not in found.lead[:1]:
            level = f"Of {said}, {one} stands level with {lead} for the {thing}."
            return whole([level], [*_because(found.speaking_for[:1]), *besides])
        return whole([f"Of {said} I do advise {lead} for the {thing}."], [*_because(found.for_lead[:1]), *besides])
    if found.state == "advised":
        own = found.for_lead if found.decision == "weight" or found.asked in found.lead[:1] else found.speaking_for
        head = f"{capital(one)} is what I advise for the {thing}."
        if found.decision != "weight" and found.asked not in found.lead[:1]:
            head = f"{capital(one)} is also what I advise for the {thing}, as good as {lead}."
        return whole([head], [*_because(own[:2]), level_short(voice, found.decision, takes)])
    instead = f"I advise {lead}." if lead else ""
    why_lead = _because(found.for_lead[:1])
    if found.state == "fits as well":
        first = f"{capital(one)} will do as well; {lead} stands before it."
        named = [f"{capital(lead)}: {_small(why_lead[0])}"] if why_lead else []
        return whole([first], [*_because(found.speaking_for[:1]), *named])
    deciding = _deciding(rulebase, found)
    told = {
        capital(bound_because(rulebase, voice.item, r.rule, r.side or "", r.because)): _says_little(rulebase, r)
        for r in deciding
    }
    if but and all(
        told[text] or not _of_the_job(rulebase, r, answered) for r, text in zip(deciding[:1], told, strict=False)
    ):
        told = {but: False} | told
    reasons = list(told)
    if deciding:
        head = f"Not {said} for the {thing}: {_small(reasons[0])}"
    else:
        meant = reasons or [t.says for t in terms_in(rulebase, said) if fold(t.name) == fold(said)]
        head = f"{capital(said)} is not ruled out, but not usual for the {thing}. {' '.join(meant)}".strip()
    lead_said = f"{instead[:-1]}: {_small(why_lead[0])}" if instead and why_lead else instead
    second = [text for text in reasons[1:2] if not told[text] and not _same_words(reasons[0], text)]
    way = _way(voice, found)
    for needed in ([head, *second, way, lead_said], [head, way, lead_said], [head, *second, way, instead]):
        if _lines(needed) <= MOST_LINES:
            return whole(needed, [])
    return whole([head], [way, instead])


def _way(voice: Voice, found: WhyNot) -> str:
    """The first change of answers that would bring what was asked for, or that none would; empty where that is open."""
    it = "It" if len(found.members) < 2 else "One of them"
    if found.ways:
        return f"{it} would do if you said {voice.ways(found.ways[:1])}."
    brings = {"not spoken for": "speaks for it", "outweighed": "puts it first"}.get(found.state, "makes it fit")
    if found.stopped:
        return f"No single change to {voice.thing()} {brings}." if found.covered else ""
    return f"Nothing you would change about {voice.thing()} {brings}."


def _deciding(rulebase: RuleBase, found: WhyNot) -> list[Speaking]:
    """What decides, a reason of use before a range of thickness, and what is said of the thing itself before the rest.

    Of several asked for together that is said of the nearest first which is said of most.
    """
    against = list(found.against)
    if found.decision == "weight":
        return sorted({s.because: s for s in against}.values(), key=_only_a_range)
    often = Counter(s.because for m in found.members for s in m.against)
    near = {s.because for s in found.against}
    every = {s.because: s for m in found.members for s in m.against} | {s.because: s for s in against}

    def place(s: Speaking) -> tuple[bool, bool, bool, bool, int]:
        own = rulebase.rules[s.rule].item is not None
        return _only_a_range(s), s.because not in near and not _barring(s), not _barring(s), not own, -often[s.because]

    return sorted(every.values(), key=place)


def _says_little(rulebase: RuleBase, reason: Speaking) -> bool:
    """Whether a reason is a range of thickness, or follows from what else was chosen and not from the job."""
    when = rulebase.rules[reason.rule].when
    return _only_a_range(reason) or (bool(when) and all(p.attribute in rulebase.decisions for p in when))


def _of_the_job(rulebase: RuleBase, reason: Speaking, answered: Collection[str]) -> bool:
    """Whether a reason bars something, was written for the thing, or comes of what was answered besides the thing."""
    rule = rulebase.rules[reason.rule]
    asked = {p.attribute for p in rule.when} - {"item"}
    return _barring(reason) or rule.item is not None or not asked.isdisjoint(answered)


def _same_words(one: str, other: str) -> bool:
    """Whether two reasons have several words in a row in common and so say the same."""
    runs = [{tuple(words[i : i + _RUN]) for i in range(len(words))} for words in (one.split(), other.split())]
    return any(len(run) == _RUN for run in runs[0] & runs[1])


def _barring(reason: Speaking) -> bool:
    return reason.strength == "must"


def _only_a_range(reason: Speaking) -> bool:
    return only_a_range(reason.because)


def _because(reasons: Sequence[Speaking]) -> list[str]:
    return list(dict.fromkeys(capital(r.because) for r in reasons))


def _small(sentence: str) -> str:
    """A sentence as it goes on after a colon."""
    return sentence[:1].lower() + sentence[1:] if sentence[1:2].islower() or sentence[1:2] == " " else sentence


def level_short(voice: Voice, decision: str, takes: Mapping[str, str] | None) -> str:
    """What decides between those that stand level; empty where that is not known of each, or one stands alone."""
    if not takes or not len(takes) > 1:
        return ""
    named = [f"{values_called(voice.rulebase, decision, [c])} if {take}" for c, take in takes.items()]
    return f"{_COUNTED.get(len(named), 'All')} are equally good: take {'; '.join(named)}."


# -- rather than


def contrast_short(
    voice: Voice,
    found: Contrast,
    groups: Mapping[str, str] | None = None,
    takes: Mapping[str, str] | None = None,
    buts: Mapping[str, str] | None = None,
) -> list[str]:
    """What parts two candidates, one reason for each, and what decides between them.

    ``groups`` are the words that named more than one, by the candidate that stands for them; ``takes`` what each is
    taken for, going on from "if", ``buts`` what people have against each. Without ``takes`` an answer is told that
    would turn it.
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
    barred = [s for s in sides if s.state in ("excluded", "not spoken for")]
    lead = values_called(voice.rulebase, found.decision, found.lead[:1])
    if len(barred) == len(sides) and lead:
        head = f"I advise neither {one} nor {other} here but {lead}."
    elif found.first is None:
        head = f"{capital(first_named[first.asked])} and {first_named[second.asked].rstrip(',')} stand level."
    else:
        head = f"{capital(first_named[first.asked])} stands before {first_named[second.asked].rstrip(',')}."
    leading = first if len(barred) < len(sides) else None
    level = leading is not None and found.first is None
    best = [best_reason(voice.rulebase, s, level or s is leading, (buts or {}).get(s.asked, "")) for s in ordered]
    # One sentence may speak for both, more strongly for one.
    best[1] = (buts or {}).get(second.asked, "") if best[1] == best[0] else best[1]
    told = [_of_one(names[s.asked], text) for s, text in zip(ordered, best, strict=True) if text]
    if not told and not takes:
        told = ["What is known speaks of both alike."]
    if takes and len(barred) in (0, len(sides)):
        other_if = f"{names[second.asked]} if {takes[second.asked]}"
        decides = f"{'Elsewhere take' if barred else 'Take'} {names[first.asked]} if {takes[first.asked]}, {other_if}."
        return whole([head, decides], told)
    turns = [
        f"{capital(names[s.asked])} comes first if you said {voice.ways(s.turning[:1])}."
        for s in (second, first)
        if s.turning and not takes and (s is second or found.first is None)
    ]
    return whole([head, told[0]], [*told[1:], *turns[:1]])


def _of_one(name: str, text: str) -> str:
    """What is said of one of two; its name goes before it unless the sentence begins with it."""
    return text if name.lower().startswith(text.split()[0].lower()) else f"{capital(name)}: {_small(text)}"


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


def best_reason(rulebase: RuleBase, side: Side, leads: bool, but: str) -> str:
    """The reason that decides for the one that leads, or against the one that does not; else what people say of it."""
    reasons = [*side.for_it, *side.against] if leads else [*side.against, *side.for_it]
    useful = sorted(reasons, key=lambda r: (_says_little(rulebase, r), not _of_the_job(rulebase, r, ())))
    if useful and (
        leads or not but or (_of_the_job(rulebase, useful[0], ()) and not _says_little(rulebase, useful[0]))
    ):
        return capital(useful[0].because)
    return "" if leads else but


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
    if stands(after) and not stands(before):
        d = after.decisions
        order = [values_called(voice.rulebase, _ORDER[0], d.tannage.chosen[:1]), d.weight.order_as or ""]
        return whole([f"With {said} an order stands: {listed(filter(None, order))}."], [], first, most)
    if after.no_order and not before.no_order:
        return whole([f"If you said {said}, no order would stand."], withheld(voice.rulebase, after)[1:], first, most)
    moved = sorted(
        (m for m in found if m.about in _ORDER and (m.after[:1] != m.before[:1] or _narrowed(m))),
        key=lambda m: _ORDER.index(m.about),
    )
    told = [_moved(voice, m) for m in moved]
    new = _new_cautions(before, after)
    cautions = [c.text if c.severity == "note" else f"{SEVERITY_WORDS[c.severity]}: {c.text}" for c in new]
    head = f"With {said} {listed(told[:_MOST_MOVES]) if told else 'the order stays as it is'}."
    grave = [text for c, text in zip(new, cautions, strict=True) if c.severity != "note"]
    # What is to be done then says more than the caution, and a stop is said all the same.
    stops = [text for c, text in zip(new, cautions, strict=True) if c.severity == "stop"]
    needed = [head, care, *(stops if care else grave)[:1]]
    rest = max(0, len(new) - _MOST_CAUTIONS) + max(0, len(told) - _MOST_MOVES)
    tail = f"{rest} more in full." if rest else ""
    because = [m.because for m in moved[:1] if m.because and not m.lifted]
    now = {c.id for c in after.cautions_told if c.status == "applies"}
    gone = [c.about for c in before.cautions_told if c.status == "applies" and c.severity != "note" and c.id not in now]
    lifted = [f"No longer applies: {listed(gone)}."] if gone else []
    return whole(needed, [*cautions[:_MOST_CAUTIONS], *lifted, *because], f"{tail} {first}".strip(), most)


def _narrowed(move: Move) -> bool:
    """Whether of several equally good only the first is left."""
    return move.about == _ORDER[0] and len(move.after) == 1 < len(move.before)


def _moved(voice: Voice, move: Move) -> str:
    was, now = (value_words(voice.rulebase, move.about, m[:1]) for m in (move.before, move.after))
    if _narrowed(move) and now == was:
        return f"I would take only {now}, no longer {value_words(voice.rulebase, move.about, move.before[1:])}"
    if move.about == _ORDER[0] and now:
        return f"I would take {now}{f' instead of {was}' if was else ''}"
    goal = _MOVED.get(move.about) or f"{goal_words(move.about)} would be"
    return f"{goal} {now or 'open'} instead of {was or 'none'}"


def _new_cautions(before: Advice, after: Advice) -> list[CautionView]:
    was = {c.id for c in before.cautions_told if c.status == "applies"}
    grave = ("stop", "caution", "note")
    found = [c for c in after.cautions_told if c.status == "applies" and c.id not in was]
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

"""What is told of the difference between two advices: what moved, what went away, and why nothing did."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..leather.units import show
from ..reasoning.advice import Advice
from ..reasoning.difference import Move
from ..reasoning.facts import Answer
from .catalogue import sentence, tell
from .explaining import Voice, goal_words, value_words
from .names import attribute_called, rule_called, values_called
from .page import SEVERITY_WORDS, capital, listed

MOST_BESIDE = 3
"""Of what changes beside the order these are told, and the rest counted."""
_BESIDE = ("fitting", "beside", "also")


def moves_told(voice: Voice, found: Sequence[Move], indent: int = 0) -> list[str]:
    """Differences of two advices, one each, with the rule behind it; what stands beside the order in one line."""
    page = voice.page()
    if not found:
        page.add("Nothing changes in the order or its cautions.", indent)
    notes: dict[bool, list[str]] = {True: [], False: []}
    beside: list[tuple[int, str]] = []
    for move in found:
        kind, _, name = move.about.partition(" ")
        caution = voice.rulebase.cautions.get(name) if kind == "caution" else None
        if caution is not None and (caution.severity == "note" or not move.after):
            notes[bool(move.after)].append(caution.about)
        elif kind in _BESIDE:
            if words := _beside_words(voice, kind, name, move):
                beside.append((_BESIDE.index(kind), words))
        else:
            page.add(_move_words(voice, move), indent)
    if notes[True]:
        page.add(f"Notes that come with it: {listed(notes[True])}.", indent)
    if notes[False]:
        page.add(f"No longer applies: {listed(notes[False])}.", indent)
    if beside:
        # What else is bought goes before what would do as well.
        beside.sort(key=lambda b: b[0])
        more = [f"{len(beside) - MOST_BESIDE} more"] if len(beside) > MOST_BESIDE else []
        page.add(f"Beside the order: {'; '.join([*(words for _, words in beside[:MOST_BESIDE]), *more])}.", indent)
    return page.lines


def unmoved_told(voice: Voice, before: Advice, changes: Mapping[str, Answer]) -> list[str]:
    """Why changed answers change nothing: they were reckoned with already, or what cannot be had stays so."""
    page = voice.page()
    held = [n for n, a in changes.items() if _held(before, n, a)]
    if len(held) == len(changes):
        page.add(f"I had already reckoned with {listed(voice.quoted(n, changes[n]) for n in held)}.", 2)
    elif before.conflicts:
        stays = "; ".join(
            f"{attribute_called(voice.rulebase, c.about)}: {tell(c.outcome, voice.rulebase).rstrip('.')}"
            for c in before.conflicts
        )
        page.add(f"It stays unsolved. {capital(stays)}.", 2)
    else:
        page.add("Nothing changes in the order or its cautions.", 2)
    return page.lines


def _held(advice: Advice, name: str, answer: Answer) -> bool:
    """Whether an answer is what the advice reckons with."""
    fact = advice.facts.get(name)
    if fact is None or fact.value is None or answer.state != "known":
        return False
    return set(fact.value if isinstance(fact.value, list) else [fact.value]) == set(answer.values)


def _beside_words(voice: Voice, kind: str, name: str, move: Move) -> str:
    if kind == "also":
        come, gone = (
            [v for v in these if v not in those]
            for these, those in ((move.after, move.before), (move.before, move.after))
        )
        fit = "fits" if len(come) == 1 else "fit"
        said = [f"{values_called(voice.rulebase, name, come)} {fit} as well"] if come else []
        said += [f"{values_called(voice.rulebase, name, gone, joiner='or')} no longer fits"] if gone else []
        return ", ".join(said)
    if kind == "fitting":
        return move.after[0] if move.after else f"no {move.before[0]}"
    attribute = voice.rulebase.attributes.get(name)
    if attribute is None or attribute.full_only:
        return ""
    before, after = (_sum_words(voice, name, values) for values in (move.before, move.after))
    return f"{attribute.label} {after} (before: {before or 'none'})" if after else f"no {attribute.label}"


def _sum_words(voice: Voice, name: str, values: Sequence[str]) -> str:
    attribute = voice.rulebase.attributes[name]
    if not values or not attribute.numeric:
        return "".join(values)
    return show(float(values[0].partition(" ")[0]), attribute.unit, voice.units)


def _move_words(voice: Voice, move: Move) -> str:
    rulebase = voice.rulebase
    kind, _, name = move.about.partition(" ")
    by = f" [{rule_called(rulebase, move.rules[0])}]" if move.rules else ""
    because = f" {'No longer in play: ' if move.lifted else ''}{move.because}{by}" if move.because else by
    if kind == "caution":
        caution = rulebase.cautions[name]
        return f"{SEVERITY_WORDS[caution.severity]}, new: {caution.about}. {caution.say}{by}"
    if kind == "conflict":
        about = attribute_called(rulebase, name)
        if move.after and move.left:
            return f"Conflict, new: {about}. {sentence(move.left, rulebase)}{because}"
        return f"No longer in conflict: {about}."
    before, after = (value_words(rulebase, move.about, v) for v in (move.before, move.after))
    text = f"{capital(goal_words(move.about).removeprefix('the '))}"
    if not move.after:
        return f"{text}: open (before: {before}).{because}"
    return f"{text}: {after} (before: {before or 'open'}).{because}"

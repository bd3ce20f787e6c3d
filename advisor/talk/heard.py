"""What was heard, as values beside the advice and as lines for a person."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal

from ..leather.units import Units
from ..read.danger import Raised, concept_of
from ..read.notes import SAID_LEATHER, Doubt, Reading, puzzling
from ..read.purposes import purposes
from ..read.shades import with_shades
from ..read.things import Candidate
from ..reasoning import advice as view
from ..rulebase.models import RuleBase
from ..write.names import attribute_called, said, values_called
from ..write.page import capital, numbered_lines, plain
from .offering import ELSE

CORRECTED = ", spelling corrected"
MOST_LEFT = 5
"""How many of the words that were not read are said."""


def with_reading(rulebase: RuleBase, advice: view.Advice, reading: Reading | None) -> view.Advice:
    """The advice with what was read of the words it began with; without words as it is."""
    if reading is None:
        return advice
    return advice.model_copy(update={"reading": reading_view(rulebase, reading, advice)})


def reading_view(rulebase: RuleBase, reading: Reading, advice: view.Advice) -> view.Reading:
    """A reading as values. What is known in the end of the attribute of a danger says whether it is still open."""
    understood = []
    shades = with_shades(rulebase, reading.answers)
    for u in reading.understood:
        values = (u.value,) if u.value else reading.answers[u.attribute].values
        value = next((v for v in values if len(values) == 1), [str(v) for v in values])
        understood.append(
            view.Understood(attribute=u.attribute, value=value, words=u.words, start=u.span[0], end=u.span[1])
        )
        if (shade := rulebase.shaded.get(u.attribute, "")) in shades:
            named = str(shades[shade].values[0])
            understood.append(
                view.Understood(attribute=shade, value=named, words=u.words, start=u.span[0], end=u.span[1])
            )
    doubts = [view.Coded(code=d.code, params=dict(d.params), text=d.text) for d in reading.doubts]
    offered = () if reading.named.taken and reading.named.taken.thing.recipe else reading.named.candidates
    candidates = [
        view.CandidateItem(
            item=c.thing.slug,
            name=c.thing.name,
            because=view.Coded(code="words", params={"words": c.words}, text=f"because of {c.words!r}"),
        )
        for c in offered
    ]
    dangers = [
        view.Danger(
            concept=d.concept,
            words=d.words,
            attribute=d.attribute,
            state=_danger_state(rulebase, reading, advice, d),
            question=rulebase.attributes[d.attribute].question,
        )
        for d in reading.dangers
    ]
    return view.Reading(
        understood=understood, unread=list(reading.unread), doubts=doubts, candidates=candidates, dangers=dangers
    )


def understood_said(
    rulebase: RuleBase, reading: Reading, held: Collection[str] = (), item: str | None = None, units: Units = "mm"
) -> list[str]:
    """What was understood, each answer once, in the words of the thing; nothing of those that are ``held`` back.

    What a kind of leather comes to is told as that kind.
    """
    held = {*held, *purposes(rulebase).asked.values()}
    item = str(next(iter(reading.answers["item"].values), "")) if "item" in reading.answers else item
    found: dict[str, None] = {}
    answers = with_shades(rulebase, reading.answers)
    for u in reading.understood:
        if u.value:
            found[plain(u.text)] = None
        elif u.attribute in reading.answers and u.attribute not in held:
            note = CORRECTED if u.text.endswith(CORRECTED) else ""
            # A shade says its colour too.
            shade = rulebase.shaded.get(u.attribute, "")
            name = shade if shade in answers else u.attribute
            found[said(rulebase, name, answers[name].values, item, units) + note] = None
    return list(found)


def doubts_said(rulebase: RuleBase, reading: Reading, units: Units = "mm", without: Collection[str] = ()) -> list[str]:
    """What is in doubt, a sentence each, with everything called as it is called elsewhere; no codes ``without``."""
    return [_doubt_said(rulebase, reading, doubt, units) for doubt in reading.doubts if doubt.code not in without]


def not_understood(rulebase: RuleBase, reading: Reading) -> list[str]:
    """What was not read and may matter, the first few said and the rest counted; nothing where all was.

    What is told as a doubt is not told twice.
    """
    doubted = " ; ".join(d.params.get("words", "") for d in reading.doubts)
    left = [words for words in puzzling(rulebase, reading) if words not in doubted]
    more = f" and {len(left) - MOST_LEFT} more" if len(left) > MOST_LEFT else ""
    return [f"Not understood: {', '.join(left[:MOST_LEFT])}{more}."] if left else []


def noted(reading: Reading) -> list[str]:
    """What was kept that no answer holds, besides the leather that was named: how many go in, what to ask for."""
    return [plain(u.text) for u in reading.understood if u.value and u.text != f"{SAID_LEATHER} {u.value}"]


def _doubt_said(rulebase: RuleBase, reading: Reading, doubt: Doubt, units: Units) -> str:
    name = doubt.params.get("attribute", "")
    called = capital(attribute_called(rulebase, name))
    if doubt.code == "range" and name in reading.ranges:
        ends = [end for end in reading.ranges[name] if end is not None]
        least = "at most" if reading.ranges[name][0] is None else "at least"
        between = f"between {values_called(rulebase, name, ends, units)}" if len(ends) > 1 else ""
        one = f"{least} {values_called(rulebase, name, ends, units)}"
        return f"{called} is open: {between or one}. Tell me one size."
    if doubt.code == "choice" and name in reading.choices_open:
        return f"{called} is open: {values_called(rulebase, name, reading.choices_open[name], units, 'or')}. Which?"
    if doubt.code == "contradiction":
        both = f"{called}: you said two things that cannot both be."
        if taken := reading.answers.get(name):
            return f"{both} I took the more careful: {values_called(rulebase, name, taken.values, units)}."
        return f"{both} Which?"
    if name in rulebase.attributes and doubt.text.startswith(f"{name}: "):
        return f"{called}{doubt.text.removeprefix(name)}"
    return doubt.text


def _danger_state(
    rulebase: RuleBase, reading: Reading, advice: view.Advice, danger: Raised
) -> Literal["open", "applies", "ruled_out"]:
    """Whether a danger is still open, or what the answer to its question made of it."""
    if any(q.attribute == danger.attribute for q in advice.dangers):
        return "open"
    if danger.state != "open":
        return danger.state
    answer = reading.answers.get(danger.attribute)
    no = concept_of(rulebase, danger.concept).rules_out
    return "ruled_out" if answer is not None and answer.values == (no,) else "applies"


def thing_lines(reading: Reading, width: int) -> list[str]:
    """What is in doubt about the thing, for the first lines of an answer: which it is, or that there is no recipe."""
    named = reading.named
    if named.taken and not named.taken.thing.recipe:
        return [_no_recipe(named.taken)]
    if named.taken and not named.taken.thing.own:
        return [d.text for d in reading.doubts if d.code == "made_as"]
    if named.taken or not named.candidates:
        return []
    return ["Which is it?", *numbered_lines([*(c.thing.name for c in named.candidates), ELSE], width)]


def how_to_say(reading: Reading, rulebase: RuleBase) -> str:
    """How to name the thing so that it is taken, where it was not clear or has no recipe.

    Nothing is named where it may hurt somebody: another thing would be bought for the same use.
    """
    taken = reading.named.taken
    if any(d.state != "ruled_out" for d in reading.dangers):
        return ""
    if taken and not taken.thing.recipe:
        near = rulebase.items.get(taken.thing.near)
        return f'The nearest I have is the {near.name}: to go by it, ask for "{near.name}".' if near else ""
    if taken or not reading.named.candidates:
        return ""
    return f'Call it by that name, as "{reading.named.candidates[0].thing.name}", or by another.'


def _no_recipe(taken: Candidate) -> str:
    # What was said may be many: "dragon wings".
    known = f"I know {taken.called}" if taken.called != taken.thing.name else f"I know the {taken.thing.name}"
    return f"{known}, but have no recipe for that, so I name no leather."

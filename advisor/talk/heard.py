"""What was heard, as values beside the advice and as lines for a person."""

from __future__ import annotations

from ..read.notes import Reading
from ..read.things import Candidate
from ..reasoning import advice as view
from ..rulebase.models import RuleBase
from .page import listed


def with_reading(rulebase: RuleBase, advice: view.Advice, reading: Reading | None) -> view.Advice:
    """The advice with what was read of the words it began with; without words as it is."""
    if reading is None:
        return advice
    return advice.model_copy(update={"reading": reading_view(rulebase, reading, advice)})


def reading_view(rulebase: RuleBase, reading: Reading, advice: view.Advice) -> view.Reading:
    """A reading as values. What is known in the end of the attribute of a danger says whether it is still open."""
    understood = []
    for u in reading.understood:
        values = reading.answers[u.attribute].values
        value = next((v for v in values if len(values) == 1), [str(v) for v in values])
        understood.append(
            view.Understood(attribute=u.attribute, value=value, words=u.words, start=u.span[0], end=u.span[1])
        )
    doubts = [view.Coded(code=d.code, params=dict(d.params), text=d.text) for d in reading.doubts]
    offered = () if reading.named.taken and reading.named.taken.thing.recipe else reading.named.candidates
    candidates = [
        view.CandidateItem(
            item=c.thing.slug, name=c.thing.name,
            because=view.Coded(code="words", params={"words": c.words}, text=f"because of {c.words!r}"),
        ) for c in offered
    ]  # fmt: skip
    still = {q.attribute for q in advice.dangers}
    dangers = [
        view.Danger(
            concept=d.concept, words=d.words, attribute=d.attribute,
            state="open" if d.attribute in still else "applies" if d.state == "open" else d.state,
            question=rulebase.attributes[d.attribute].question,
        ) for d in reading.dangers
    ]  # fmt: skip
    return view.Reading(
        understood=understood, unread=list(reading.unread), doubts=doubts, candidates=candidates, dangers=dangers
    )


def thing_lines(reading: Reading) -> list[str]:
    """What is in doubt about the thing, for the first lines of an answer: which it is, or that there is no recipe."""
    named = reading.named
    if named.taken and not named.taken.thing.recipe:
        return [_no_recipe(named.taken)]
    if named.taken or not named.candidates:
        return []
    which = [f"{n} {c.thing.name}" for n, c in enumerate(named.candidates, 1)]
    return [f"Which is it?  {'  '.join(which)}  {len(which) + 1} something else"]


def how_to_say(reading: Reading, rulebase: RuleBase) -> str:
    """What to write on a command line to name one of the candidates."""
    taken = reading.named.taken
    if taken and not taken.thing.recipe:
        near = rulebase.items.get(taken.thing.near)
        return f"The nearest I have is {near.name}; to go by it, add item={near.slug}." if near else ""
    slugs = [c.thing.slug for c in reading.named.candidates if c.thing.slug in rulebase.items]
    if not slugs or taken:
        return ""
    return f"Say it beside the words: {listed((f'item={slug}' for slug in slugs), 'or')}."


def _no_recipe(taken: Candidate) -> str:
    thing = taken.thing
    return f"I know the {thing.name}, but have no recipe for it, so I name no leather."

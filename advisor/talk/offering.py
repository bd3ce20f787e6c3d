"""Things offered by number, where it is not clear which is meant."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..read.answers import place_picked
from ..read.courtesies import agrees
from ..read.reader import read_sentence
from ..reasoning.facts import Answer
from ..rulebase.words import words_of
from ..write.page import numbered_lines
from .reply import Reply

if TYPE_CHECKING:
    from ..read.things import Candidate
    from .session import Session

ELSE = "something else"
_BY_THAT = re.compile(r"[, ]+(?:go by|use|take|try) (?:that|it)\b", re.IGNORECASE)
_NEITHER = (ELSE, "neither", "none", "none of those", "none of these", "none of them", "another", "no")


@dataclass(frozen=True, slots=True)
class Offer:
    """Things shown with numbers, and the line of which they were candidates.

    ``lacking`` is the thing without a recipe that was named, to which the only one shown is the nearest.
    """

    slugs: tuple[str, ...]
    text: str
    lacking: str = ""


def offer_things(session: Session, candidates: Sequence[Candidate], text: str) -> list[str]:
    """Candidates with their numbers; a number or a name picks one."""
    session.offered = Offer(tuple(c.thing.slug for c in candidates), text)
    return offered_again(session)


def offered_again(session: Session) -> list[str]:
    """What is offered, with its numbers; nothing where nothing is."""
    if session.offered is None:
        return []
    names = [session.thing(slug) for slug in session.offered.slugs]
    if session.offered.lacking:
        known = f"I know what that is, but have no recipe for it ({session.thing(session.offered.lacking)})."
        return [known, f"The nearest I have is {names[0]}. Go by that?", *numbered_lines(["yes", ELSE], session.width)]
    return ["Which do you mean?", *numbered_lines([*names, ELSE], session.width)]


def pick_thing(session: Session, text: str) -> Reply | None:
    """The thing picked by its number or name; None where nothing was offered or nothing is picked."""
    offer = session.offered
    about_the_thing = session.question is None or session.question.name == "item"
    if offer is None or not about_the_thing:
        return None
    words = " ".join(text.lower().strip(" .!").split())
    place = 1 if offer.lacking and agrees(_BY_THAT.sub("", text)) else place_picked(text, len(offer.slugs) + 1)
    if words in _NEITHER or place == len(offer.slugs) + 1:
        session.offered = None
        return session.again(["Then say what it does or what it is for, in other words."])
    named = words.removeprefix("a ").removeprefix("an ").removeprefix("the ")
    slug = offer.slugs[place - 1] if place else _by_name(session, offer, named)
    if not slug:
        return None
    session.offered = None
    recipe = words_of(session.rulebase).things[slug].recipe
    if not recipe:
        return session.again(offer_nearest(session, slug, offer.text))
    if session.item() is not None:
        return session.make_instead(recipe, text, offer.text)
    unnamed = read_sentence(session.rulebase, offer.text, None, session.units).answers
    reading = session.read_line(offer.text, recipe)
    for name in unnamed.keys() - reading.answers.keys():
        # A size that was taken for no thing in particular has found its place now.
        if session.answers.get(name) == unnamed[name]:
            del session.answers[name]
    session.answers |= {n: a for n, a in reading.answers.items() if n != "item"}
    session.answers["item"] = Answer((recipe,), "known", "answered", text)
    reckoned = "" if recipe == slug else f", reckoned as {session.thing(recipe)}"
    return session.go_on([f"Understood: {session.thing(slug)}{reckoned}."])


def _by_name(session: Session, offer: Offer, named: str) -> str:
    """The thing that is called so, or the only one with a word of it: "the coin one"."""
    exact = next((s for s in offer.slugs if named == session.thing(s)), "")
    word = named.removesuffix(" one")
    of_it = [s for s in offer.slugs if word in session.thing(s).split()] if word and " " not in word else []
    return exact or (of_it[0] if len(of_it) == 1 else "")


def offer_nearest(session: Session, slug: str, text: str) -> list[str]:
    """Of a thing without a recipe: the nearest that has one, to be taken with what else ``text`` says."""
    near = words_of(session.rulebase).things[slug].near
    if not near:
        return [f"I know what that is, but have no recipe for it ({session.thing(slug)})."]
    session.offered = Offer((near,), text, slug)
    session.question = session.rulebase.attributes["item"]
    return offered_again(session)

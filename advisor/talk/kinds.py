"""Questions answered by their kind, whatever leather, size or part they name: the verdict for this thing first.

The kind is told by plain English (``read.asked_kinds``), what is asked about by the names of the rule base. Each answer
comes of a consultation on the answers as they stand, or on what the question supposes. Nothing is kept.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from ..errors import AdvisorError
from ..read.asked_kinds import (
    against_asked,
    goal_asked,
    lead_asked,
    only_either,
    sets_apart,
    share_asked,
    side_asked,
    size_asked,
    stands_for,
)
from ..read.beside import held_against, known_values, take_if
from ..read.glossary import difference_told, sides_told, terms_in
from ..read.offered import read_leather
from ..reasoning.contrast import contrast
from ..reasoning.facts import Answer, parse_answer
from ..reasoning.judging import review
from ..reasoning.review import Proposal, Thickness
from ..reasoning.why_not import nearest_of, why_not
from ..write.asked import Asked
from ..write.buying import stands
from ..write.counsel import price_said
from ..write.names import called, thing_called
from ..write.opinions import opinion_said
from ..write.page import capital, listed
from ..write.reasons import small
from ..write.short_reasons import why_not_short
from ..write.straight import MOST_LINES, fitted, part_said, withheld
from ..write.verdicts import cheaper_said, doubled_said, for_job, lighter_said, size_said
from .comparing import voice_of
from .contrasted import Named
from .matter import Matter
from .objects import objects_in, two_of_one
from .tried import supposed_in

_BATCH = re.compile(
    r"\b(?:batch\w*|several|a few|more than one|lots? of|in bulk|dozens?|(?:[2-9]|\d\d+) of|if i (?:did|made|do|make) "
    r"(?:\d+|two|three|four|five|six|eight|ten|twelve|twenty|more|some))\b"
)
_PRICE = re.compile(r"\b(?:cheap\w*|price\w*|dear\w*|costs?|money|expensive)\b")
_IF = re.compile(r"\b(?:if|when|suppose|supposing|assuming|once)\b (?P<what>.+)")
_GIVEN = re.compile(r"(?:and |but |so )?(?:if|when|since|as|because|given) .+?\b(?P<why>why not [^?.!]+)")
"""What is supposed before a "why not"."""
_DROPPED = re.compile(r"\bprotect\w*\b|\bdrop(?:s|ped)?\b|\bcrash\w*\b")
"""What a thickness is asked to guard against, which its range says nothing of."""
_WHY_NOT = re.compile(r"(?:and |but |so )?why (?:is it |do you say |use )?.+ (?:not|over|rather than|instead of) ")
"""What asks why one and not another."""
_BUILD = ("construction", "item")


def kind_told(matter: Matter, text: str) -> list[str]:
    """The answer to a question of a kind that is known by its syntax; empty for all others."""
    if matter.item is None:
        return []
    low = " ".join(text.lower().replace("’", "'").split())
    for answer in (_size, _either, _goal):
        if said := answer(matter, low):
            # Of two each wants a reason, which takes a line more; what parts them at all is in three.
            return fitted(
                said, matter.width, MOST_LINES + (answer is _either and ("differ" not in low or _of_this(low)))
            )
    return []


def _of_this(text: str) -> bool:
    return _OF_THIS.search(text) is not None


def canonical(matter: Matter, text: str) -> str:
    """A question about what speaks against something as "why not ...", for the leather as "why ..."; "" for others."""
    low = " ".join(text.lower().replace("’", "'").split())
    what = against_asked(low)
    if lead_asked(low) and not objects_in(matter.rulebase, low):
        return "why this leather"
    if not what:
        given = _GIVEN.match(low)
        return given["why"] if given and objects_in(matter.rulebase, given["why"]) else ""
    named = objects_in(matter.rulebase, low if stands_for(what) else what)
    return f"why not {named[0].words}" if named else ""


# -- a thickness


def _size(matter: Matter, text: str) -> list[str]:
    asked = size_asked(text)
    if (
        asked is None
        or _DROPPED.search(text)
        or {n.decision for n in objects_in(matter.rulebase, text)} & {"tannage", "species", "grain"}
    ):
        return []
    if not stands(matter.advice()):
        return []
    weight = read_leather(matter.rulebase, asked.words).proposal.weight
    if weight is None:
        return []
    then = _supposing(matter, text)
    if asked.layers == "double":
        twice = Thickness(2 * weight.low, 2 * weight.high, weight.slack)
        opinion = _opinion(then, asked.words, twice)
        two = ["Stitch both layers along both edges; glue alone peels where it bends."]
        return [*size_said(opinion, asked, doubled=True), *two] if opinion else []
    opinion = _opinion(then, asked.words, weight)
    if not opinion:
        return []
    said = size_said(opinion, asked)
    if text.startswith("why") and opinion.startswith("Yes, "):
        # "Why is 3 mm not enough" of what is enough.
        said[0] = f"It is right: {said[0].partition(', ')[2]}"
    if asked.layers == "single" and said:
        said[0] = _as_single(said[0])
        said.append(doubled_said(matter.rulebase, then.advice(), weight.low, weight.high, matter.units))
    return said


def _as_single(verdict: str) -> str:
    head, mark, rest = verdict.partition("; ")
    return f"{head} as a single layer{mark}{rest}" if mark else f"{head.rstrip('.')} as a single layer."


def _supposing(matter: Matter, text: str) -> Matter:
    """The consultation with what is supposed beside the size, but for how the thing is built; else as it stands."""
    found = _IF.search(text)
    if found is None:
        return matter
    changes = {n: a for n, a in supposed_in(matter, found["what"]).items() if n not in _BUILD}
    then = matter.about({**matter.answers, **changes}) if changes else matter
    return then if stands(then.advice()) else matter


def _opinion(matter: Matter, words: str, weight: Thickness) -> str:
    proposal = Proposal({}, weight, words={"weight": words})
    try:
        judged = review(matter.rulebase, matter.answers, proposal, house=matter.house)
    except AdvisorError:
        return ""
    return next(iter(opinion_said(matter.rulebase, matter.advice(), judged, matter.units)), "")


# -- two beside each other


def _either(matter: Matter, text: str) -> list[str]:
    if not sets_apart(text):
        return []
    named = objects_in(matter.rulebase, text)
    two = two_of_one(named)
    of_words = "differ" in text and not _OF_THIS.search(text)
    if two is None:
        return [] if of_words else _unlike(matter, text, named)
    if not stands(matter.advice()):
        return []
    one, other = two
    choice = matter.advice().decisions.choices()[one.decision]
    a = nearest_of(choice, one.candidates)
    rest = [c for c in other.candidates if c != a]
    if not rest:
        return []
    b = nearest_of(choice, rest)
    found = contrast(matter.rulebase, matter.answers, matter.house, one.decision, a, b)
    if of_words and not {found.one.state, found.other.state} - _BARRED:
        # What is meant by words that are nothing for this thing is told by the glossary.
        return []
    values = known_values(matter.advice())
    buts = {c: held_against(matter.rulebase, one.decision, c, values) for c in (a, b)}
    takes = take_if(matter.rulebase, one.decision, [a, b])
    names = {a: _name(matter, one, a), b: _name(matter, other, b)}
    terms = terms_in(matter.rulebase, f"{one.words}, {other.words}")
    apart = difference_told(matter.rulebase, terms)
    if "differ" in text and not apart and len(terms) == len(("one", "other")):
        apart = " ".join(sides_told(matter.rulebase, terms))
    said = for_job(voice_of(matter), found, names, takes, buts, apart if "differ" in text else "")
    if "differ" in text and apart:
        # Which of the two it is, and then what parts them.
        first = found.first if found.first in choice.chosen and not of_words else None
        head = f"{capital(names[first])} for the {thing_called(matter.rulebase, matter.item or '')}." if first else ""
        return [text for text in (head, *re.split(r"(?<=\.) (?=[A-Z])", apart)) if text]
    if _WHY_NOT.match(text) and said and found.first == b and b in choice.chosen and a not in choice.chosen:
        # Why something that is not advised rather than what is.
        said[0] = f"The other way round: {said[0][:1].lower()}{said[0][1:]}"
    if one.decision == "tannage" and _PRICE.search(text):
        of = Asked(matter.rulebase, matter.advice(), matter.units)
        said = _with_price(
            said, price_said(of, b if found.first != b else a), thing_called(matter.rulebase, matter.item or "")
        )
    return said


_OF_THIS = re.compile(r"\b(?:for|here|this|these|my|it)\b")
_BARRED = frozenset(("excluded", "not spoken for"))
_UNLIKE = re.compile(
    r"\bor\b|\bvs\b|\bversus\b|\bdiffer\w*|\bcompar\w+|\bthat\b.+n'?t\b|\brather than\b|\bover\b|\bbeats?\b|\bthan\b"
    r"|\bnot\b|\binstead of\b"
)
_PIECES = frozenset(("cut", "form"))
_SAYS = {
    "tannage": "how it is tanned",
    "species": "which animal it is from",
    "grain": "which layer it is",
    "surface": "how its face is finished",
    "temper": "how soft it is",
}


def _unlike(matter: Matter, text: str, named: list[Named]) -> list[str]:
    """Of two that exclude each other in nothing, as a skin and a tannage: that, and how each stands for this thing."""
    # "Smooth side up" names no leather.
    named = [n for n in named if n.decision not in _PIECES]
    first = named[0] if named else None
    other = next((n for n in named[1:] if first and n.decision != first.decision and n.words != first.words), None)
    if first is None or other is None or not _UNLIKE.search(text) or not stands(matter.advice()):
        return []
    told = []
    for one in (first, other):
        proposal = Proposal({one.decision: one.candidates}, words={one.decision: one.words})
        try:
            judged = review(matter.rulebase, matter.answers, proposal, house=matter.house)
        except AdvisorError:
            return []
        told += opinion_said(matter.rulebase, matter.advice(), judged, matter.units)[:1]
    says = f"{capital(first.words)} says {_SAYS[first.decision]}, {other.words} {_SAYS[other.decision]}"
    return [f"{says}: one leather can be both.", *told]


def _with_price(said: list[str], price: str, thing: str) -> list[str]:
    """With the price of the second beside what is said of it, since it was asked about."""
    _, found, costs = price.rstrip(".").partition(" costs ")
    found, costs = (found, costs) if found else price.rstrip(".").partition(" is ")[1:]
    if not found or len(said) < len(("one", "other")) or ": " not in said[1]:
        return [*said[:1], price, *said[1:]]
    name, _, against = said[1].partition(": ")
    head = said[0].replace(f" for the {thing}:", ":", 1)
    return [head, f"{name}, which{found}{costs}: {against}", *said[2:]]


def _name(matter: Matter, named: Named, slug: str) -> str:
    """What one of two is called: its own name, behind the words for a whole group."""
    own = called(matter.rulebase, named.decision, slug)
    return own if len(named.candidates) == 1 else f"{named.words} ({own})"


def is_either(matter: Matter, text: str) -> bool:
    """Whether a text is only "X or Y for the Z" of two that are named, which asks though no word of it does."""
    low = " ".join(text.lower().split())
    named = objects_in(matter.rulebase, low) if " or " in low or " vs " in low else []
    if len({n.words for n in named}) < len(("one", "other")):
        return False
    thing = thing_called(matter.rulebase, matter.item or "")
    words = f"{' '.join(n.words for n in named)} {thing} {_nouns(low)}"
    return only_either(low, frozenset(words.split()))


def _nouns(text: str) -> str:
    """What stands behind "for the", which is what is made, whatever it is called."""
    found = re.search(r"\b(?:for|on|in) (?:the|my|this|a|his|her) (?P<thing>[\w' -]+?)[ ?.!]*$", text)
    return found["thing"] if found else ""


# -- what it is to become


def _goal(matter: Matter, text: str) -> list[str]:
    goal = goal_asked(text)
    if goal is None:
        return []
    named = [n for n in objects_in(matter.rulebase, text) if n.decision in ("tannage", "species", "grain", "cut")]
    if named:
        return []
    if not stands(matter.advice()):
        return []
    of = Asked(matter.rulebase, matter.advice(), matter.units)
    if goal == "cheaper":
        return cheaper_said(of, several=_BATCH.search(text) is not None)
    if goal == "lighter":
        return lighter_said(of)
    if goal in ("softer", "stiffer"):
        return _temper(matter, -1 if goal == "softer" else 1)
    return _scaled(matter, text, goal == "bigger")


def _temper(matter: Matter, step: int) -> list[str]:
    """Whether it may be softer or stiffer, and what that costs."""
    choice, rulebase = matter.advice().decisions.temper, matter.rulebase
    order = list(rulebase.decisions["temper"].candidates)
    places = [order.index(c) for c in choice.chosen]
    if not places:
        return []
    word, place = ("softer", min(places)) if step < 0 else ("stiffer", max(places))
    if not 0 <= place + step < len(order):
        return [f"No: it is as {word.removesuffix('er')} as leather is sold already."]
    other = order[place + step]
    if other in choice.also_fits:
        means = rulebase.decisions["temper"].candidates[other].means
        return [f"Yes: ask for it {called(rulebase, 'temper', other)} ({means})."]
    found = why_not(rulebase, matter.answers, matter.house, "temper", [other])
    but = held_against(rulebase, "temper", other, known_values(matter.advice()))
    if found.against or not but:
        return why_not_short(voice_of(matter), found, f"{word} leather")
    now = called(rulebase, "temper", choice.chosen[0])
    way = f"It would do if you said {voice_of(matter).ways(found.ways[:1])}." if found.ways else ""
    thing = thing_called(rulebase, matter.item or "")
    return [f"Not usually for the {thing}: {small(but)}", f"What I advise is {now}.", way]


def _scaled(matter: Matter, text: str, bigger: bool) -> list[str]:
    """What changes in the order if the thing is so much bigger or smaller each way."""
    share = share_asked(text)
    if said := _to_a_size(matter, text):
        return said
    factor = 1 + share if bigger else 1 / (1 + share)
    advice, one_side = matter.advice(), side_asked(text)
    changes: dict[str, Answer] = {}
    for name, fact in advice.facts.items():
        attribute = matter.rulebase.attributes.get(name)
        known = fact.origin in ("answered", "read", "supposed", "offered", "said") and isinstance(fact.value, float)
        if attribute and known and attribute.group == "size" and attribute.ask != "never" and attribute.unit == "mm":
            now = float(str(fact.value))
            if one_side is None:
                changes[name] = Answer((round(now * factor, 1),))
            elif one_side[0] in name:
                step = one_side[1] or now * share
                changes[name] = Answer((round(now + step if bigger else now - step, 1),))
    if not changes:
        return []
    then = matter.about({**matter.answers, **changes})
    try:
        after = then.advice()
    except AdvisorError:
        return []
    word = f"{share:.0%} {'bigger' if bigger else 'smaller'} each way"
    if one_side is not None:
        sizes = listed(voice_of(matter).told(name, answer) for name, answer in changes.items())
        word = f"as {sizes}"
    if not stands(after):
        return [f"{capital(word)} no order stands.", *withheld(matter.rulebase, after)[1:]]
    return [*_moved(matter, then, word)]


_TO = re.compile(r"(?P<size>\d+(?:[.,]\d+)? ?(?:mm|cm|inch(?:es)?|in))\b(?! (?:bigger|longer|wider|taller|more|extra))")


def _to_a_size(matter: Matter, text: str) -> list[str]:
    """What changes if one size is the one that is said: "if the blade is longer, say 12 cm"; empty where none is."""
    found, side = _TO.search(text), side_asked(text)
    if found is None or side is None or side[1]:
        return []
    sizes = [
        a
        for a in matter.rulebase.attributes.values()
        if a.name in matter.advice().facts and a.group == "size" and a.unit == "mm" and a.ask != "never"
    ]
    words = {w.removesuffix("s") for w in re.findall(r"[a-z]+", text)}
    named = [a for a in sizes if words & {*a.name.split("_")}]
    whole = [a for a in named if a.name in words]
    meant = [a for a in (named or sizes) if side[0] in a.name] or whole or named
    if len(meant) != 1:
        return []
    try:
        answer = parse_answer(meant[0], found["size"])
    except AdvisorError:
        return []
    then = matter.about({**matter.answers, meant[0].name: answer})
    if not stands(then.advice()):
        return []
    return _moved(matter, then, f"with {voice_of(matter).told(meant[0].name, answer)}")


def _moved(matter: Matter, then: Matter, word: str) -> list[str]:
    def parts(of: Matter) -> Mapping[str, str]:
        asked = Asked(of.rulebase, of.advice(), of.units)
        return {"amount": part_said(asked, "amount"), "weight": part_said(asked, "thickness").partition(",")[0]}

    was, now = parts(matter), parts(then)
    lead = [c.decisions.tannage.chosen[:1] for c in (matter.advice(), then.advice())]
    same = lead[0] == lead[1]
    leather = "the same leather" if same else called(matter.rulebase, "tannage", lead[1][0])
    thick = f"at {now['weight']}" if now["weight"] != was["weight"] else "as thick as before"
    return [f"{capital(word)}: {leather}, {thick}.", now["amount"], "Say the new sizes and I reckon with them."]

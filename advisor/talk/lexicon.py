"""The words a reader needs besides the rule base's own, and how both are folded to be compared."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ..leather.pieces import attributes_in, parse_size
from ..rulebase.models import Attribute, RuleBase

_TOKEN = re.compile(r"\w+(?:['’]\w+)*|[.,;:!?()]|[^\w\s]")


class Token(NamedTuple):
    """One word or mark: folded, where it stands, and whether it was an owner's or a plural form."""

    word: str
    start: int
    end: int
    owner: bool
    plural: bool


class Lexicon(NamedTuple):
    """A rule base's vocabulary: phrases and their readings, single words, cues, and what patterns measure.

    ``grave`` holds the facts that are kept when doubted, because leaving them out could hurt somebody.
    """

    phrases: Mapping[tuple[str, ...], tuple[tuple[str, str], ...]]
    known: frozenset[str]
    cues: tuple[tuple[tuple[str, ...], Attribute], ...]
    uses: Mapping[str, frozenset[str]]
    popular: Counter[str]
    heads: Mapping[str, str]
    grave: frozenset[tuple[str, str]]


def fold(word: str) -> str:
    """Lower case, no apostrophes, singular: both sides of every comparison pass through here."""
    word = word.lower().replace("'", "").replace("’", "")
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and re.search(r"(?:x|ch|sh|ss)es$", word):
        return word[:-2]
    return word[:-1] if len(word) > 3 and re.search(r"[^su]s$", word) else word


def _folded(text: str) -> frozenset[str]:
    return frozenset(map(fold, text.split()))


STOP = _folded(
    """a about all also am an and any approx approximately are around as at be been but by can could do does for from
    get going got had has have he her hers him his how i id if ill im in into is it its ive just leather like made make
    making may me mine must my need needs new of off on onto or our out please put rather should so some than that
    thats the their them then there these they thing this those to too up us use used using very want wanted was we
    what when where which while who will wish with would you your roughly she
    a b c d e f g h i j k l m n o p q r s t u v w x y z"""
)
# Left out when a cue is looked for, so that "the blade is 110 mm long" holds the cue "blade long".
SKIP = _folded("a an the is are be of about around roughly my our his her its with that has , :")
NO = _folded(
    """no not without never none nothing neither nor dont doesnt didnt isnt arent wont wouldnt cant cannot shouldnt
    mustnt avoid avoiding except instead than"""
)
MAYBE = _folded("maybe perhaps might possibly probably unsure whether wonder wondering considering")
NOT_A_NO = _folded("only just doubt problem matter")
UNDECIDED = _folded("sure idea certain know decided")
BREAK = _folded("but just only with because since though although while when if so")
# "Must not snap while it holds me" negates the snapping, not the holding.
FAILING = _folded("break snap fail tear rip stretch drop give slip let loosen")
OPENERS = _folded("a an the i it with want some also please")
BOUND = _folded("under over below above least most between minimum maximum max min")
KID = _folded("kid child children son daughter nephew niece grandson granddaughter grandchild grandchildren boy girl")
ANIMAL = _folded("dog puppy hound cat kitten horse pony foal donkey pet cow")
# Words of their own that stand one letter from a word of the trade.
REAL = _folded(
    """lacked lacking cared caring pained american bearded bounced carver dance dying extracting filed freeing glover
    groove laminate measure paste performed preset prototyped retain sanitise sanitised sanitize sanitized slash slashed
    spelling structure swelling toggled topic trackable tuned wielding"""
)

# What must never be missed: looked for among the folded words of a sentence.
_PEOPLE = (
    "(?:person|people|human|man|woman|climber|patient|worker|kid|child|children|baby|toddler|son|daughter|wife"
    "|husband|friend)"
)
_SELF = "(?:my|him|her|your|our|them)sel(?:f|ve)"
_SOMEONE = (
    rf"(?:{_SELF}|me|us|him|them|someone|somebody"
    rf"|(?:(?:a|an|the|my|our|one|grown|adult|heavy|small|whole) )*{_PEOPLE})\b(?!'s(?! weight))"
    r"(?! (?:thing|stuff|cloth|clothe|clothing|bottle|toy|food|gear|book|photo|name))"
)
_WHOSE = r"(?:my|his|her|your|our|body|human|(?:(?:a|the) )?(?:person|adult|man|woman|rider|someone|people)(?:'s)?)"
_BEARS = (
    "(?:haul|hoist|lower|lift|winch|rais|suspend|hang|dangl|support|hold|bear|carry|catch|swing|rescu)(?:e|ing|ed)?"
)
_PERSON = (
    rf"\b{_BEARS} {_SOMEONE}",
    rf"\bpull(?:ing)? {_SELF}\b",
    rf"\b(?:i|we|he|she|they|you|someone|somebody|{_PEOPLE}) (?:\w+ ){{0,2}}(?:hang|dangl|swing)(?:e|ing)?"
    r" (?:from|off|in|over|under|upside)\b",
    rf"\b(?:hold|bear|support|take|carry)(?:ing)? {_WHOSE} (?:(?:own|full|whole|entire|body) )*weight\b",
    rf"\b(?:stop|keep|sav|prevent|protect|hold|catch)(?:e|ing)? {_SOMEONE} (?:from )?fall(?:ing)?\b",
    r"\b(?:seat|safety|racing) (?:belt|harness)\b|\b(?:child|baby|toddler) (?:restraint|carrier|sling|rein)\b",
    r"\b(?:rein|harness|carrier|sling) for (?:a|an|the|my|our) (?:\w+ )?(?:kid|child|baby|toddler|person|climber)\b",
    rf"\b(?:let|drop)(?:ting|ping)? {_SOMEONE}(?: fall| drop)\b|\bdrop(?:ping)? {_SELF}\b",
    rf"\bunder {_WHOSE} (?:(?:own|full|whole|entire|body) )*weight\b",
    r"\bgymnastic\b|\b(?:pull|chin) up (?:bar|strap|ring|training)\b",
)
_SWING = (
    r"\b(?:a|the|my|our|her|his|one|kid|child|children|baby|toddler|tree|rope|garden|porch|tyre|tire|play|sex)(?:'s)?"
    r" swing\b(?! (?:of|tag|ticket|door|arm))",
    rf"\bswing for (?:a|the|my|our|your) (?:\w+ )?(?:{_PEOPLE}|tree|garden|porch)\b",
)
_CLIMB = (
    r"\b(?:climb(?:ing|er)?|abseil(?:ing)?|rappel(?:ing|ling)?|belay(?:ing)?|mountaineering|rope access|zip line"
    r"|zipline|bungee|paragliding|parachut(?:e|ing)|trapeze|aerialist|aerial (?:silk|hoop|rope|strap|act)"
    r"|work(?:ing)? at height)\b"
    r"(?! (?:rose|plant|vine|ivy|bean|frame|trouser|pant|shoe|boot|trip|holiday|book|photo))",
)
HANGING = tuple(
    (re.compile(pattern), attribute, value)
    for attribute, value, patterns in (
        ("load_carrier", "person_body_weight", _PERSON),
        ("load_carrier", "overhead", (r"\b(?:lift|hoist|winch|hang|suspend)(?:ing)? (?:\w+ ){0,3}overhead\b",)),
        ("item", "swing_seat", _SWING),
        ("item", "climbing_gear", _CLIMB),
    )
    for pattern in patterns
)  # fmt: skip

def tokens(text: str) -> list[Token]:
    """Words, marks of punctuation and pictures; hyphens and other signs only separate."""
    found = []
    for m in _TOKEN.finditer(text):
        raw = m.group().lower()
        if raw[0].isalnum() or raw in ".,;:!?()%" or unicodedata.category(raw[0]) == "So":
            word = fold(raw)
            plural = len(raw) > len(word) and raw[-1:] == "s"
            found.append(Token(word, *m.span(), raw.endswith(("'s", "’s")), plural))
    return found


def _key(text: str) -> tuple[str, ...]:
    return tuple(t.word for t in tokens(text.replace("_", " ")))


def items_near(rulebase: RuleBase, words: Iterable[str], most: int = 5) -> str:
    """A sentence with items of which a name ends in one of ``words``, best first; "" when there is none.

    What a life hangs on is never offered.
    """
    # Names such as "holder for something" are near to nothing in particular.
    ends = {token.word for text in words for token in tokens(text)} - STOP - {"something"}
    share: Counter[str] = Counter()
    words_known = lexicon(rulebase)
    for phrase, readings in words_known.phrases.items():
        if phrase[-1] in ends:
            share.update(v for a, v in readings if a == "item" and ("item", v) not in words_known.grave)
    best = sorted(share, key=lambda slug: (-share[slug], slug))
    return f"Known things near that: {', '.join(rulebase.items[slug].name for slug in best[:most])}." if best else ""


def lexicon(rulebase: RuleBase) -> Lexicon:
    """The vocabulary of ``rulebase``, made once and kept with it."""
    if "talk" in rulebase.memo:
        made: Lexicon = rulebase.memo["talk"]
        return made
    asked = [a for a in rulebase.attributes.values() if a.ask != "never"]
    values = [(a.name, v) for a in asked for v in a.values.values()]
    said: dict[tuple[str, ...], dict[tuple[str, str], None]] = {}
    for name, v in values:
        for text in v.words:
            said.setdefault(_key(text), {})[name, v.slug] = None
    for name, v in values:
        # Slugs of one word are too common ("low", "hand") to be read out of a sentence.
        if "_" in v.slug:
            said.setdefault(_key(v.slug), {(name, v.slug): None})
    said.pop((), None)
    cues = [(tuple(w for w in _key(c) if w not in SKIP), a) for a in asked if a.numeric for c in a.cues]
    uses = {
        i.slug: frozenset(n for p in i.pieces for e in (p.length, p.width) for n in attributes_in(parse_size(e)))
        for i in rulebase.items.values()
    }
    ends = {i.slug: Counter(k[-1] for k in {_key(w) for w in i.words} if k) for i in rulebase.items.values()}
    # A bare noun names an item when three quarters of that item's names, and none of another's, end in it.
    heads = {
        word: slug for slug, count in ends.items() for word, n in count.items()
        if n * 4 >= 3 * count.total() and sum(word in other for other in ends.values()) == 1
    }  # fmt: skip
    made = Lexicon(
        {k: tuple(v) for k, v in said.items()}, frozenset(w for k in (*said, *(c for c, _ in cues)) for w in k),
        tuple((c, a) for c, a in cues if c), uses, Counter(n for names in uses.values() for n in names), heads,
        frozenset((name, v.slug) for name, v in values if v.grave),
    )  # fmt: skip
    rulebase.memo["talk"] = made
    return made

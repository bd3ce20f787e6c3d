"""The words a reader needs besides the rule base's own, and how both are folded to be compared."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from importlib.resources import files
from typing import NamedTuple

from ..leather.pieces import attributes_in, parse_size
from ..rulebase.models import Attribute, RuleBase
from ..rulebase.words import words_of
from .patterns import reactions
from .purposes import purposes
from .sayings import Phrasebook, phrasebook
from .spelling import meant_by_change, meant_by_sound

_WORD = re.compile(r"\w+(?:['’]\w+)*")
COMMON = 200
"""How often a word of plain English counts beside those of the rule base."""
_TEXTS = 256
"""How many texts the words of are remembered: a line, its clauses and the answers they are compared with."""
_TOKEN = re.compile(r"\b[xX]?[0-9]+(?=[pP][rR][sS]?\b)|\w+(?:['’]\w+)*|[.,;:!?()]|[^\w\s]")


class Token(NamedTuple):
    """One word or mark: folded, where it stands, and whether it was an owner's or a plural form."""

    word: str
    start: int
    end: int
    owner: bool
    plural: bool


class Lexicon(NamedTuple):
    """A rule base's vocabulary: phrases and their readings, single words, cues, and what patterns measure.

    ``longest`` is the number of words of the longest phrase, ``refused`` the value that a refusal of the words means,
    ``counts`` how often the rule base says each word that is ``spelt`` right (plain English counts most),
    ``names`` the names of each thing, ``heads`` the last words of them, ``value_words`` those that values are said
    with, ``patterns`` what is looked for anywhere, ``fine`` the words that are no slips, ``item_words`` the longer of
    the heads, ``cue_words`` all words of the cues, ``reacting`` the words of allergies, ``senses`` the objects that
    words mean beside others, ``parts`` what a part of an object is, by both: the head of an axe is the axe.
    ``book`` the ways of saying a value in more words.
    ``grave`` holds the facts that are kept when doubted, because leaving them out could hurt somebody.
    """

    phrases: Mapping[tuple[str, ...], tuple[tuple[str, str], ...]]
    longest: int
    known: frozenset[str]
    cues: tuple[tuple[tuple[str, ...], Attribute], ...]
    cue_words: frozenset[str]
    uses: Mapping[str, frozenset[str]]
    popular: Counter[str]
    names: Mapping[str, tuple[tuple[str, ...], ...]]
    heads: frozenset[str]
    value_words: frozenset[str]
    refused: Mapping[tuple[str, ...], tuple[str, str]]
    patterns: tuple[tuple[re.Pattern[str], str, str], ...]
    fine: frozenset[str]
    counts: Mapping[str, int]
    spelt: frozenset[str]
    item_words: frozenset[str]
    forms: Mapping[tuple[str, ...], str]
    objects: Mapping[tuple[str, ...], str]
    senses: Mapping[tuple[str, ...], str]
    parts: Mapping[tuple[str, str], str]
    reacting: frozenset[str]
    book: Phrasebook
    grave: frozenset[tuple[str, str]]


# Without its apostrophe each would be another word.
_SHORTENED = {"she'd": "shewould", "she'll": "shewill"}


@cache
def fold(word: str) -> str:
    """Lower case, no apostrophes, singular: both sides of every comparison pass through here."""
    word = word.lower().replace("’", "'")
    word = _SHORTENED.get(word, word).replace("'", "")
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and re.search(r"(?:x|ch|sh|ss)es$", word):
        return word[:-2]
    return word[:-1] if len(word) > 3 and re.search(r"[^su]s$", word) else word


@cache
def plain_english() -> frozenset[str]:
    """Words that are seldom the name of a thing, folded."""
    text = (files(__package__) / "plain_english.txt").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    return frozenset(fold(word) for line in lines for word in line.split())


def folded(text: str) -> frozenset[str]:
    """The words of a text, folded."""
    return frozenset(map(fold, text.split()))


SPOKEN = folded(
    """hes shes theyre youre whos hed theyd theyve weve youve something anything someone anyone somebody choose choosing
    pick picking decide quote recommend recommendation advise advice suggest suggestion help hello hi hey thanks thank
    quite maybe perhaps really actually basically probably honestly idea wondering thinking looking hoping planning"""
)
"""What people say besides, which tells nothing of the job."""
GENERAL = folded(
    """one ones two both each every either neither all other others another such same again once twice ever never always
    often sometimes usually mostly still already yet even only just too very much many more most less least lot lots
    bit bits enough almost nearly quite rather really pretty well so then now here there where when while until till
    since after before during between behind below beneath under underneath over above across through around along
    near next away back down up out off way ways place go goes going gone went come comes came coming get gets getting
    got give gives given gave take takes taken took taking put puts keep keeps kept let lets look looks looked looking
    see sees seen saw say says said saying tell tells told ask asks asked asking know knows known knew think thinks
    thought mean means meant feel feels felt seem seems try tries tried trying find finds found start starts started
    stop stops stopped turn turns turned stay stays run runs ran show shows showed showing bring brings brought call
    calls called leave leaves left lose loses lost love loves loved like likes liked hate hates mind happen happens
    happened want wants wanting need needs needing wear wears wearing wore do does did done doing be been being were
    was am having had suppose guess wonder hope dont doesnt didnt cant wont isnt arent wasnt werent mustnt im itll
    thatll theyll wed ought whatever however somewhere everything anyone somebody everybody people person man
    woman lad lads lass folk guy brother sister mother father mum dad gran uncle aunt friend mate cousin neighbour day
    days night week weeks weekend month months year years time times hour hours today tomorrow yesterday morning
    evening evenings saturday sunday monday tuesday wednesday thursday friday january february march april may june
    july august september october november december easter christmas winter summer autumn thing things stuff
    lol hiya ooh bless ok okay please silly odd mad horrid ugly nice plus etc thereabouts preference
    size sizes colour color piece pieces pc pair pairs couple round minute minutes moment second walk walks walked
    walking birthday lately recently late soon ago sit sits sitting sat lie lies lying hold holds held holding carry
    carries carried carrying live lives living play plays open opens work works myself himself herself ourselves
    yourself itself nobody else wedding party cracked shredded snapped
    ruined ruins possible become becomes hear hears heard bad spend write number shewould shewill
    recover recovering recovered reupholster reupholstering replace replacing redo renew refurbish restore restoring
    repair repairing mend mending fix fixing order orders ordered set sets batch"""
)
"""What says little by itself: grammar, common verbs, people and days. Not told where nothing was made of it."""
STOP = folded(
    """a about all also am an and any approx approximately are around as at be been but by can could do does for from
    get going got had has have he her hers him his how i id if ill im in into is it its ive just leather like made make
    making may me mine must my need needs new of off on onto or our out please put rather should so some than that
    thats the their them then there these they thing this those to too up us use used using very want wanted was we
    what when where which while who will wish with would you your roughly she
    a b c d e f g h i j k l m n o p q r s t u v w x y z"""
)
# Left out when a cue is looked for, so that "the blade is 110 mm long" holds the cue "blade long".
SKIP = folded("a an the is are be of about around roughly my our his her its with that has , :")
NO = folded(
    """no not without never none nothing neither nor dont doesnt didnt isnt arent wont shant wouldnt cant cannot
    shouldnt mustnt avoid avoiding except instead than hate dislike skip"""
)
# Who fears something does not want it; alone they say nothing ("I'm afraid it is brown").
FEARING = folded("scared afraid frightened terrified wary nervous fearful sick tired")
MAYBE = folded("might unsure whether wonder wondering")
# Words that say a wish softly; what they lead to is taken and said back.
SOFTLY = folded("maybe perhaps possibly probably considering thinking fancying")
NOT_A_NO = folded("only just doubt problem matter")
UNDECIDED = folded("sure idea certain know decided")
BREAK = folded("but just only with because since though although while when if so")
# "Must not snap while it holds me" negates the snapping, not the holding.
FAILING = folded("break snap fail tear rip stretch drop give slip let loosen")
OPENERS = folded("a an the i it with want some also please")
# Adjectives that may stand inside the name of a thing without changing it, as in "a lead for a big dog".
PLAIN = folded(
    """plain simple small big large little nice old basic pretty thin thick long short wide narrow strong sturdy decent
    lovely fancy proper good great huge tiny young new beautiful gorgeous handsome smart quality classic vintage rustic
    elegant custom handmade homemade bespoke personal personalised personalized special everyday favourite favorite
    matching spare replacement second first next last tough durable soft stiff firm floppy bendy tall mini heavy light
    lightweight slim chunky posh rugged traditional modern minimalist cheap expensive solid quick easy real genuine
    different identical similar same own usual normal ordinary standard regular average few own entire whole extra cool
    unusual funny cute neat tidy clean dirty tatty worn broken perished antique wee bigger smaller better best cheapest
    nicest right suitable perfect ideal sort kind fine superb stunning striking delicate flexible supple thinner thicker
    slimmer wider narrower longer shorter natural finished unfinished complete full half double single original retro"""
)
# Words that may stand between a refusal and what is refused: "we do not use any pigskin".
REFUSING = STOP - folded("for my our your his her to on at into onto if about going get") | folded(
    """any use using like want bother bothering with need work buy have contain containing tanned kind sort bit hint
    leather"""
)
OF_LEATHER = folded("leather hide skin tanned tan lining lined suede")
KID = folded("kid child children son daughter nephew niece grandson granddaughter grandchild grandchildren boy girl")
BABY = folded("baby toddler infant newborn")
WHO = folded("he she they who hes shes theyre whos")
COMPARED = {
    "wider": "wide",
    "narrower": "wide",
    "longer": "long",
    "shorter": "long",
    "taller": "tall",
    "higher": "high",
    "lower": "high",
    "deeper": "deep",
    "shallower": "deep",
    "thicker": "thick",
    "thinner": "thick",
}
IS_AGED = folded("is are hes shes theyre whos turning turned turn only just nearly almost about")
TIME_LEFT = folded("in have got so only within by ive")
ABOUT = folded("about around roughly approx approximately , : is")
_MORE, _LESS = (
    "(?:wider|longer|taller|deeper|heavier|thicker|bigger|larger|higher|more|over|above)",
    ("(?:narrower|shorter|lower|lighter|thinner|smaller|less|under|below)"),
)
_NONE = "(?:no|not|never|nothing|isnt|cant be|mustnt be|not be)"
_OR_MORE = "(?:or|and) (?:more|over|up|wider|longer)|minimum|min|plus|upward|at least"
_OR_LESS = "(?:or|and) (?:less|under|below|narrower|shorter)|maximum|max|top|at (?:the )?most"
# Which end a bound is: the words before the size, and those after it.
BOUNDS = tuple(
    (way, re.compile(rf"(?:^|(?<= )){before}$"), re.compile(rf"(?:{after})(?= |$)"))
    for way, before, after in (
        ("low", rf"(?:at least|(?:a )?(?:minimum|min)(?: of)?|{_NONE} {_LESS}(?: than)?)", _OR_MORE),
        ("high", rf"(?:at most|(?:a )?(?:maximum|max)(?: of)?|up to|{_NONE} {_MORE}(?: than)?)", _OR_LESS),
        ("low", rf"(?:{_MORE} than|over|above)", "(?!)"),
        ("high", rf"(?:{_LESS} than|under|below)", "(?!)"),
    )
)
ANIMAL = folded("dog puppy hound cat kitten horse pony foal donkey pet cow")
CORRECTS = re.compile(
    r"(?:^|[.,;!?] )(?:no|nope|sorry|actually|i meant?|i mean|wait|oop|correction|not that|make it|change it"
    r"|change that|it is really|its really|it is in fact|rather|instead|let make it|lets make it)\b"
)
"""What a text begins with that corrects the thing named before."""
ADDS = re.compile(
    r"\b(?:and|also|plus|too|as well as)(?: (?:i|we|he|she))?(?: (?:also|do|would like|want|need|d like))? ?\w*$"
)
"""What adds another thing to the one that stands."""


def tokens(text: str) -> list[Token]:
    """Words, marks of punctuation and pictures; hyphens and other signs only separate."""
    return list(_tokens(text))


@lru_cache(maxsize=_TEXTS)
def _tokens(text: str) -> tuple[Token, ...]:
    found = []
    for m in _TOKEN.finditer(text):
        raw = m.group().lower()
        if raw[0].isalnum() or raw in ".,;:!?()%" or unicodedata.category(raw[0]) == "So":
            word = fold(raw)
            plural = len(raw) > len(word) and raw[-1:] == "s"
            found.append(Token(word, *m.span(), raw.endswith(("'s", "’s")), plural))
    return tuple(found)


def phrase(text: str) -> tuple[str, ...]:
    """The folded words of a name or another phrase of the rule base; its marks only separate."""
    return tuple(map(fold, _WORD.findall(text.lower().replace("_", " "))))


def meant(lexicon: Lexicon, word: str) -> str | None:
    """The known word that an unknown one was meant for, if there is no choice."""
    return meant_by_sound(word, lexicon.counts) or meant_by_change(word, lexicon.spelt, lexicon.counts, COMMON)


def words_and_marks(text: str) -> tuple[str, ...]:
    """The folded words of a text with its marks, as a sentence holds them."""
    return tuple(t.word for t in tokens(text))


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
    things = words_of(rulebase).things
    best = sorted(share, key=lambda slug: (-share[slug], slug))
    return f"Known things near that: {', '.join(things[slug].name for slug in best[:most])}." if best else ""


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
            said.setdefault(words_and_marks(text), {})[name, v.slug] = None
    for name, v in values:
        # Slugs of one word are too common ("low", "hand") to be read out of a sentence.
        if "_" in v.slug:
            said.setdefault(phrase(v.slug), {(name, v.slug): None})
    things = words_of(rulebase)
    names = {slug: tuple(dict.fromkeys(map(phrase, thing.names))) for slug, thing in things.things.items()}
    for slug, keys in names.items():
        for key in keys:
            said.setdefault(key, {})["item", slug] = None
    said.pop((), None)
    forms = {phrase(text): slug for slug, form in things.forms.items() for text in form.words}
    plainly = {slug: o for slug, o in things.objects.items() if not o.beside}
    objects = {phrase(text): slug for slug, o in plainly.items() for text in (*o.words, *o.like)}
    objects |= {
        phrase(text): slug for slug, o in things.objects.items() for m in o.members.values() for text in m.words
    }
    senses = {phrase(text): slug for slug, o in things.objects.items() if o.beside for text in o.words}
    parts = {(objects[key[:-1]], key[-1]): slug for key, slug in objects.items() if key[:-1] in objects}
    cues = [(tuple(w for w in phrase(c) if w not in SKIP), a) for a in asked if a.numeric for c in a.cues]
    uses = {
        i.slug: frozenset(n for p in i.pieces for e in (p.length, p.width) for n in attributes_in(parse_size(e)))
        for i in rulebase.items.values()
    }
    # What "no pig" says of pig, "do not use any pig" says too; for safety only of what is left out.
    groups, special = {a.name: a.group for a in asked}, purposes(rulebase)
    refused = {
        key[1:]: (name, value)
        for key, readings in said.items()
        for name, value in readings
        if len(key) > 1
        and key[0] in ("no", "not", "without")
        and len(readings) == 1
        and (name in special.refused_whole or (groups[name] in ("limits", "finish", "make") and value != "none"))
    }
    substances = [
        (" ".join(key[2:]), v)
        for key, r in said.items()
        if key[:2] == ("allergic", "to")
        for n, v in r
        if n == special.reactions
    ]
    heads = {k[-1] for k, readings in said.items() if any(a == "item" for a, _ in readings)}
    known = frozenset(w for k in (*said, *forms, *objects, *senses, *(c for c, _ in cues)) for w in k)
    book = phrasebook(rulebase, words_and_marks)
    fine = known | STOP | NO | MAYBE | SOFTLY | KID | PLAIN | ANIMAL | book.words
    counts = Counter(w for k in (*said, *forms, *objects, *(c for c, _ in cues)) for w in k)
    counts.update(
        dict.fromkeys(fine, 1) | dict.fromkeys(STOP | NO | BREAK | SPOKEN | GENERAL | PLAIN | OF_LEATHER, COMMON)
    )
    made = Lexicon(
        phrases={k: tuple(v) for k, v in said.items()},
        longest=max(map(len, said), default=0),
        known=known,
        fine=fine,
        counts=counts,
        spelt=frozenset(counts),
        cues=tuple((c, a) for c, a in cues if c),
        cue_words=frozenset(w for c, _ in cues for w in c),
        uses=uses,
        popular=Counter(n for names in uses.values() for n in names),
        names=names,
        heads=frozenset(heads),
        value_words=frozenset(w for k, readings in said.items() if any(a != "item" for a, _ in readings) for w in k),
        refused=refused,
        patterns=tuple(reactions(special.reactions, substances)),
        item_words=frozenset(w for w in heads if len(w) > 4),
        forms=forms,
        objects=objects,
        senses=senses,
        parts=parts,
        grave=frozenset((name, v.slug) for name, v in values if v.grave),
        reacting=frozenset(w for word, _ in substances for w in word.split()) | {"allergic", "allergy"},
        book=book,
    )
    rulebase.memo["talk"] = made
    return made

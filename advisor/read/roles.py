"""What a noun is in its sentence: the thing to be made, what it is for, where it goes, or only a comparison.

The role is decided by the word that governs the noun: the nearest preposition or verb before it, past articles,
adjectives and other nouns of the same phrase. Everything here is plain English; no word of the trade is named.
"""

from __future__ import annotations

from enum import Enum
from functools import cache
from itertools import pairwise

from .lexicon import BREAK, COMPARED, NO, PLAIN, STOP, fold, plain_english
from .number_words import SPELT
from .sentence import Sentence


class Role(Enum):
    """What a noun is in its sentence, with the points it earns as the thing to be made."""

    MADE = 12
    ALONE = 10
    SECOND = 9
    REPAIRED = 6
    PURPOSE = 3
    PLACE = 2
    SOURCE = 0
    LIKE = 0.5
    REFUSED = -1
    PAST = 0.25


def _words(text: str) -> frozenset[str]:
    return frozenset(map(fold, text.split()))


ARTICLES = _words(
    "a an the my our your his her its their this that these those some any another one each every both all other such"
    " same few several couple pair set bunch lot dozen half type kind sort style bit piece"
)
_MAKE = _words(
    """make making build building sew sewing produce create creating craft crafting order ordering want wanting need
    needing require looking look wanna gonna fancy start starting do doing attempt try trying cut cutting knock design
    commission commissioned planning plan buy buying get getting after would like love supply quote price source find
    finding got ask asked asking replace replacing redo remake remaking renew copy copying rebuild repair repairing mend
    mending fix fixing stitch stitching wanted wants needed needs wish hoping hope putting together recreate"""
)
_MATERIAL = _words(
    """leather hide skin material stuff something anything sheet piece side panel shoulder what which thickness weight
    colour color best right suitable good better ideal enough perfect proper recommended recommend use used work do
    go one it that kind type sort offcut scrap ounce oz mm plan idea project job order request question help advice
    suggestion need here query wanted required"""
)
_PLACES = _words(
    "on over onto around round inside in into under underneath at by against from off along across through behind above"
    " below beside between near within via"
)
_PURPOSES = _words(
    "hold holding carry carrying keep keeping protect protecting store storing fit fitting cover covering attach"
    " attaching hang hanging clip clipping suit wrap wrapping take taking put putting stow stowing transport house"
    " housing contain containing shield line lining guard guarding wear wearing secure securing tie tying fasten"
    " holding holds carries keeps protects fits covers goes fix sling"
)
_LIKE = _words("like as than similar unlike versus resembling")
_WITH = _words("with featuring including having without plus")
_AND = _words("and plus also")
_HAVE, _DONE = _words("ive have had weve hav"), _words("made done sewn built tried finished inherited")
UNNAMED = frozenset(("something", "thing", "thingy", "thingie", "anything", "summat", "sumthing", "whatsit"))
"""What people call a thing of which they do not say the name."""
_WOULD = frozenset(("would", "id", "wed", "d", "hed", "shewould", "theyd", "one", *UNNAMED))
"""Words before "like" by which it is a wish and no comparison."""
PERSONS = _words(
    """friend brother sister dad father mum mom mother wife husband son daughter uncle aunt nephew niece grandad
    grandfather grandmother granddad grandpa grandma gran nan
    grandson granddaughter cousin boss mate partner boyfriend girlfriend bloke guy
    man woman men women lady gentleman boy girl kid child children neighbour neighbor customer client
    teacher student person people
    somebody someone everyone family parent colleague lad lass teenager teen adult beginner fiance groom bride host
    guest club team school shop him her them me us myself himself herself hubby missus bf gf bro sis kiddo toddler
    baby chap"""
)
_NO_OTHER = _words(
    "size style project blank kit order job thing thingy idea design pattern piece part gift present version copy"
    " blank one way job commission set pair thought leather maker making width length height depth thickness weight"
    " price cost look colour color bit shape"
)
"""Nouns that make of a thing no other thing."""
_MADE_OF = _words(
    "wool woollen canvas denim felt brass steel rubber cotton silk linen fleece velvet gold silver copper iron plastic"
    " fur wood wooden wicker metal tin"
)
"""What things are made of, which makes no other thing of them either."""
_NEW_CLAUSE = frozenset((".", ";", "!", "?", ",", "(", ")", *_words("but now so want need looking would like")))
_CORRECTING = _words("its it that thats make i sorry actually rather more really a an")
_NEW_THOUGHT = _words("and or but is be are was were has have had so because which")
_YOUNG = _words("baby toddler kid child boy girl infant newborn")
_TURNED = _words("turn turned turning make made making cut cutting sew convert upcycle recycle repurpose")
_SUBJECTS = _words("i we he she they")
_SAYS = _words("say said think thought reckon know tell told hear heard hope mean meant guess see swear")
_SOMEBODY = _words("me us him her them")
_OWNERS = _words("my his her our their the that those these")
_HAPPENS = _words(
    "has have had is was are were go goes going went come comes came keeps kept gets got slides rubs broke tore snapped"
    " split wore frayed rotted ripped rusted perished failed rust hasnt isnt wont does did fell leaks leaked stretched"
    " cracked looks look"
)
_NO_NOUN = (
    ARTICLES | NO | PERSONS | PLAIN | COMPARED.keys() | _NO_OTHER | _PLACES | _WITH | _MADE_OF | _HAPPENS
) | _words("shut closed together")
"""Words that name nothing, or nothing that makes of a thing another."""
_WISHED_BY_OTHERS = _words("want need like fancy love wish")
"""Of what others do these alone ask for a thing: "he wants a belt", unlike "she gets her heel in"."""
_IF_ANY = _words("if any anything what whatever enough")
_ABOUT_TO = _words("to needed wanted required")
_NO_USE = _words("good use need reason way leather idea time money")
_WISHES = _words("thought want wanted need like fancy")
_HELD = _words("have ive got had bought weve left gave given own")
_MODALS = _words("can could will would should to may might you")
_ARRIVED = _words("came arrived come turned was left")
_BEGUN = _words("start started starting begin working work planning decided settled agreed plumped")
_ATTEMPTS = _words("go stab shot crack try attempt hand")
_HABITS = _words("make sew stitch build cut create produce craft repair mend restore fix")
_USED = _words("use used using serve serving work")
_NEW_SUBJECT = _words("every all each he she it they i we you my his our their there")
_FOR_WHAT, _GOES = _words("for of on"), _words("go goes fit")
_PARTS = ("finish", "make")
"""Groups of attributes of which a word may be a part of a thing, unlike those that say what becomes of it."""
_REDO = _words(
    "do redo recover reupholster upholster renew replace reline rebind restore refurbish cover line repair mend"
)
_WISHES_TO = _words("want need like fancy going hoping wish love")
_DONE_TO = 12
"""Within how many words behind something it must be said that it is to be redone."""
_OF_MANY = _words("piece pair set bunch lot couple dozen batch number half kind sort type style run load copy version")


@cache
def _idle() -> frozenset[str]:
    """Words beside a thing that make no other thing of it."""
    numbers = frozenset((*SPELT, "zero"))
    return STOP | numbers | ARTICLES | NO | PERSONS | _NO_OTHER | _MADE_OF | PLAIN | _MAKE | _MATERIAL | _PURPOSES


@cache
def _linking() -> frozenset[str]:
    """Words that lead from a thing to what it is for, and begin no new thought; numbers are among them."""
    lead = STOP | ARTICLES | _PURPOSES | _GOES | _PLACES | PLAIN | _MADE_OF | plain_english()
    return (lead - _NEW_THOUGHT) | SPELT.keys()


class Roles:
    """Roles of the nouns of one sentence. ``material`` are words that name a leather here and no thing."""

    def __init__(self, said: Sentence, material: frozenset[int] = frozenset()) -> None:
        self.said = said
        self.material = material
        self.young, self.persons = _YOUNG, PERSONS
        self.cues = said.lexicon.cue_words

    def noun(self, i: int) -> bool:
        """Whether the word at ``i`` may be a noun that says more than the words read so far."""
        word = self.said.word(i)
        return (
            word[0].isalpha()
            and len(word) > 2
            and i not in self.said.owner
            and word not in STOP
            and word not in _NO_NOUN
            and word not in self.cues
            and (word in self.said.lexicon.heads or not self._plain(word))
        )

    def _plain(self, word: str) -> bool:
        """Whether a word is seldom a noun, or one that says a value."""
        return word in plain_english() or word in self.said.lexicon.value_words or word.endswith(("ish", "ly"))

    def links(self, first: int, last: int) -> bool:
        """Whether the words ``first`` to ``last`` only lead from a thing to what it is for: "that goes round my"."""
        said = self.said
        between = [said.words[i] for i in range(first, last) if i not in said.owner and not self.possesses(i)]
        if "with" in between or any(w in _SOMEBODY and then in ("and", "an") for w, then in pairwise(between)):
            # A belt with a ring is not for the ring; what goes round somebody and a tree is for neither alone.
            return False
        return all(word[0].isdigit() or (word[0].isalnum() and word in _linking()) for word in between)

    def possesses(self, i: int) -> bool:
        """Whether the word at ``i`` is whose the next noun is: "my dad's old banjo", "my dads old banjo"."""
        token, then = self.said.tokens[i], self.said.word(i + 1)
        whose = token.owner or (token.plural and token.word in PERSONS and then not in STOP | _HAPPENS | _MAKE)
        return whose and self.joined(i + 1)

    def belongs(self, first: int, last: int) -> bool:
        """Whether the words ``first`` to ``last`` say no more than what is for, on or of what: "to go on my old"."""
        said, at = self.said, first
        if said.word(at) == "to" and said.word(at + 1) in _GOES:
            at += 2
        elif said.word(at) == "on" and said.word(at + 1) not in _OWNERS:
            # A tab on a string is made with the string.
            return False
        elif said.word(at) in _FOR_WHAT:
            at += 1
        else:
            return False
        while at < last and said.words[at] in _PLACES:
            at += 1
        rest = range(at, last)
        said_so = (i for i in rest if i in said.owner and said.owner[i].attribute != "item")
        return at <= last and all(
            said.words[i] in ARTICLES | _OWNERS | PLAIN | _MADE_OF or said.words[i].isdigit() or self.possesses(i)
            for i in set(rest).difference(said_so)
        )

    def idle(self, word: str) -> bool:
        """Whether a word beside a thing makes no other thing of it: articles, persons, plain adjectives."""
        idle = word in _idle() or word in self.cues
        return idle or not word[0].isalpha() or word.endswith("ly")

    def governs(self, word: str) -> bool:
        """Whether a word governs the noun phrase behind it, so that the phrase begins after it."""
        return word in STOP or word in ARTICLES or word in _PLACES | _LIKE | _WITH | _MAKE | NO

    def places(self, i: int) -> bool:
        """Whether the word at ``i`` leads to where something is: "in my handbag", "out of the drawer"."""
        out = self.said.word(i) == "of" and self.said.word(i - 1) in ("out", "side", "top")
        return self.said.word(i) in _PLACES or out

    def had(self, first: int) -> bool:
        """Whether the noun phrase tells of what somebody has and is at hand: "I have a soft jacket lamb"."""
        said, i = self.said, first - 1
        while i >= 0 and said.words[i][0].isalnum() and said.words[i] not in _HELD:
            if said.words[i] in _WISHES | {"for", "to"}:
                return False
            i -= 1
        return i >= 0 and said.words[i] in _HELD and said.word(i - 1) not in _MODALS

    def came(self, last: int) -> bool:
        """Whether what ends before the word at ``last`` is told to be there: "some belt butt came in the parcel"."""
        return bool(_ARRIVED.intersection(self.said.words[last : last + 3]))

    def there_already(self, first: int, last: int) -> bool:
        """Whether a noun phrase tells of what somebody has: "my slippers go through", "there are four vests"."""
        said = self.said
        start = first
        while start and self.joined(start) and not (said.words[start - 1] in STOP or said.words[start - 1] in ARTICLES):
            start -= 1
        lead = set(said.words[max(0, start - 6) : start])
        if "there" in lead and lead & {"is", "are", "was", "were"}:
            return True
        owned = said.word(start - 1) in _OWNERS or any(said.tokens[i].owner for i in range(start, first))
        return owned and self.joined(last) and said.words[last] in _HAPPENS and said.word(last + 1) not in _ABOUT_TO

    def done_to(self, last: int) -> bool:
        """Whether something is wished done to what ends before ``last``: "chairs with lift-out seats, to redo them"."""
        said = self.said
        for i in range(last, min(last + _DONE_TO, len(said.words) - 1)):
            if said.words[i] in ".;!?":
                return False
            if said.words[i] in _REDO and said.words[i + 1] in ("it", "them", "these", "those", "both"):
                lead = said.words[max(last, i - 4) : i]
                return not _WISHES_TO.isdisjoint(lead) and NO.isdisjoint(lead)
        return False

    def besides(self, first: int, last: int) -> bool:
        """Whether a noun phrase comes besides another: "if any is left over, a band", "a stool to go with it"."""
        said, start = self.said, first
        while start and said.words[start - 1] not in ".;!?":
            start -= 1
        lead = [i for i in range(max(start, first - 12), first) if i not in said.at_hand]
        before, after = " ".join(said.words[i] for i in lead), " ".join(said.words[last : last + 4])
        left = any(sign in before for sign in ("left over", "leftover")) and not _IF_ANY.isdisjoint(before.split())
        told = left or "and then" in before
        return told or after.startswith(("to go with it", "to match it"))

    def joined(self, i: int) -> bool:
        """Whether the words at ``i - 1`` and ``i`` stand in one phrase, with no mark or size between them."""
        said = self.said
        if not 0 < i < len(said.words):
            return False
        gap = said.text[said.tokens[i - 1].end : said.tokens[i].start]
        return said.words[i - 1][0].isalnum() and said.words[i][0].isalnum() and not gap.strip(" -'’/&")

    def role(self, first: int) -> Role:
        """The role of the noun phrase whose known part begins with the word at ``first``."""
        said = self.said
        how, at = said.scope(first)
        # "No, it's a pouch" refuses what was understood before, and not the pouch.
        corrects = at == 0 and said.word(0) == "no" and said.word(1) in _CORRECTING
        # "Instead of flowers we thought tags": a wish ends what is refused.
        wished = said.word(at) == "instead" and bool(_WISHES & set(said.words[at:first]))
        # "No seams for a bench top": what is for something is not refused with what it shall not have.
        lacks = said.word(at) in ("no", "without") and said.word(at + 2) == "for" and said.word(at + 1) not in _NO_USE
        if how == "no" and not corrects and not wished and not (lacks and at + 2 < first):
            return Role.REFUSED
        if self._told(first):
            return Role.PAST
        i, steps = first - 1, 0
        while i >= 0 and steps < 7:
            word, owner = said.words[i], said.owner.get(i)
            if not word[0].isalnum():
                return Role.ALONE
            if (self._added(i) or (word in _AND and self._for_its_own(first))) and (before := self._listed(i)):
                return before
            if word in _SUBJECTS and self._acts(i, first):
                return Role.PLACE
            if owner and owner.attribute != "item" and i != first - 1:
                # "Cheap as chips": the words of a value govern nothing.
                i = owner.first - 1
                continue
            if word == "for":
                return Role.MADE if self._asks_for(i) else Role.PURPOSE
            if word == "of":
                if said.word(i - 1) in ("thinking", "dreaming", "dream", "think"):
                    return Role.MADE
                if said.word(i - 1) in _OF_MANY:
                    i, steps = i - 1, steps + 1
                    continue
                return Role.PLACE if i - 1 in said.owner or self._content(i - 1) else Role.SOURCE
            if word == "as" and _USED & set(said.words[max(0, i - 2) : i]):
                # "Loops to use as handles" are handles.
                return Role.MADE
            if word == "thought" and said.word(i - 1) in ("i", "we") and said.word(i + 1) not in _OWNERS | {"it"}:
                return Role.MADE
            if word == "so" and said.word(i + 1) in ARTICLES:
                # "She reads on the train so a spectacle case".
                return Role.ALONE
            if word in ("and", "so", "but") and said.word(i + 1) in _NEW_SUBJECT:
                return Role.ALONE
            if word in _LIKE and not (word == "like" and said.word(i - 1) in _WOULD):
                return Role.LIKE
            if word in _AND and (before := self._listed_after(i)):
                return before
            if word == "instead" or (word == "to" and said.word(i - 1) == "similar"):
                return Role.LIKE
            if word == "having" and said.word(i - 1) in ("were", "are", "be"):
                # "We're having tags as favours" asks for the tags.
                return Role.MADE
            if word in _WITH:
                # "Can you help me with a tote" asks for the tote.
                helped = word == "with" and "help" in said.words[max(0, i - 2) : i]
                return Role.MADE if helped else Role.PLACE
            if (
                word in _MAKE
                and not self._past(i)
                and not self._says_of_which_kind(i)
                and not self._somebody_else_does(i)
            ):
                return Role.REPAIRED if word in ("repair", "mend", "fix", "replace") else Role.MADE
            led = said.word(i - 1) in ("to", "that", "which", "will", "can", "for")
            # ", fits the jacket" tells of something that fits it.
            told = said.tokens[i].plural and (said.word(i + 1) in ARTICLES or word == "hold")
            if word in _PURPOSES and (led or told):
                return Role.PURPOSE
            if word in ("match", "matching") or (word == "with" and said.word(i - 1) == "go"):
                return Role.LIKE
            owner = said.owner.get(i - 1)
            if word in ("round", "inside", "outside") and (i == 0 or said.words[i - 1] in ARTICLES | PLAIN):
                i, steps = i - 1, steps + 1
                continue
            if word == "into" and not _TURNED.isdisjoint(said.words[max(0, i - 7) : i]):
                return Role.MADE
            if (word == "on" and said.word(i - 1) in _BEGUN) or (word == "at" and said.word(i - 1) in _ATTEMPTS):
                # "Make a start on the cover", "have a go at a tote".
                return Role.MADE
            if word in _PLACES:
                # "Snaps on the belt" are a part of what is made, unlike "knocked about in the satchel".
                part = owner and owner.attribute != "item" and said.attributes[owner.attribute].group in _PARTS
                return Role.ALONE if part else Role.PLACE
            if word == "and" and owner:
                before = self.role(owner.first)
                return Role.SECOND if before in (Role.MADE, Role.ALONE) else before
            if word == "or" and owner:
                return self.role(owner.first)
            if word == "to":
                return Role.PURPOSE if i and said.word(i - 1) not in ("want", "need", "like", "going") else Role.MADE
            i, steps = i - 1, steps + 1
        return Role.ALONE

    def _acts(self, i: int, first: int) -> bool:
        """Whether the subject at ``i`` does something with what is named, and wishes for nothing: "I run a shop"."""
        said, verb = self.said, self.said.word(i + 1)
        if not i + 2 <= first <= i + 4 or verb in STOP or verb in _MAKE | _WISHES | NO | _PURPOSES | _SAYS:
            return False
        if not self._bare_verb(i + 1) or not BREAK.isdisjoint(said.words[i:first]):
            return False
        return said.word(i + 2) in ARTICLES and all(self.joined(j) for j in range(i + 2, first + 1))

    def _bare_verb(self, i: int) -> bool:
        return not self.said.words[i].endswith(("ly", "ing")) and i not in self.said.owner

    def _listed_after(self, i: int) -> Role | None:
        """What stands behind "and" or "plus" as a thing of its own where a thing asked for stands before it."""
        said, j = self.said, i - 1
        if said.words[i] != "plus" and said.word(j) not in _PLACES:
            # "Straps at 3/4 and leads": only the size, which is no word, stands between.
            return None
        if said.words[i] != "plus" and not any(size.at == i for size in said.sizes):
            return None
        return self._listed(j)

    def _added(self, i: int) -> bool:
        """Whether a sign stands for "and" behind the word at ``i``: "sheath for a knife + mask for an axe"."""
        said = self.said
        gap = said.text[said.tokens[i].end : said.tokens[i + 1].start] if i + 1 < len(said.words) else ""
        return gap.strip() in ("+", "&")

    def _for_its_own(self, first: int) -> bool:
        """Whether it is said what the thing named at ``first`` is for: "and a mask for my axe"."""
        owner = self.said.owner.get(first)
        last = owner.last if owner and owner.attribute == "item" else first + 1
        return "for" in self.said.words[first:last] or self.said.word(last) in ("for", "to")

    def _listed(self, j: int) -> Role | None:
        """What stands behind the thing or form named at ``j`` or before it, in one list with it."""
        said = self.said
        while j >= 0 and said.words[j][0].isalnum():
            named = j in said.owner and said.owner[j].attribute == "item"
            if named or (said.words[j],) in said.lexicon.forms:
                before = self.role(said.owner[j].first if named else j)
                return Role.SECOND if before in (Role.MADE, Role.ALONE) else before
            j -= 1
        return None

    def _says_of_which_kind(self, i: int) -> bool:
        """Whether a word like "cutting" belongs to the noun behind it: "on a cutting mat"."""
        said = self.said
        return said.words[i].endswith("ing") and said.word(i - 1) in ARTICLES and said.word(i + 1) not in ARTICLES

    def _somebody_else_does(self, i: int) -> bool:
        """Whether the verb tells of what somebody does and wishes for nothing: "my gran gets her heel in"."""
        said, before = self.said, self.said.word(i - 1)
        third = said.tokens[i].plural and said.words[i] not in _WISHED_BY_OTHERS and before[0].isalpha()
        # "I sew boots and the thread cuts my palm" is a trade.
        habit = (
            before in ("i", "we", "they", "you")
            and said.words[i] in _HABITS
            and said.tokens[min(i + 1, len(said.words) - 1)].plural
        )
        return third or habit

    def _content(self, i: int) -> bool:
        word = self.said.word(i)
        return word[0].isalnum() and word not in STOP and word not in ARTICLES

    def _asks_for(self, i: int) -> bool:
        """Whether the "for" at ``i`` leads to what is made, as in "leather for", "looking for", "what do I use for"."""
        said = self.said
        for j in range(i - 1, max(-1, i - 8), -1):
            word = said.words[j]
            if not word[0].isalnum() and word not in ".;!?":
                continue
            if word == "it" and said.word(j - 1) == "for":
                # "A holder for it for his belt".
                continue
            if not word[0].isalnum() or word in _MATERIAL | _MAKE or j in self.material:
                return True
            owner = said.owner.get(j)
            if owner and owner.attribute == "item":
                return False
            named = (word,) in said.lexicon.forms
            if (owner and not named) or word in _NO_OTHER:
                continue
            named = named or (word,) in said.lexicon.objects or word in said.lexicon.heads
            if named or self.noun(j):
                return False
        return True

    def _past(self, i: int) -> bool:
        """Whether the verb at ``i`` tells of what was done before: "I've made", "have bought"."""
        said = self.said
        before = set(said.words[max(0, i - 3) : i])
        return said.words[i] in ("made", "bought", "tried", "got", "repaired", "fixed") and bool(
            before & {"ive", "have", "had", "weve", "already", "once", "previously", "hav", "did"}
        )

    def _told(self, first: int) -> bool:
        """Whether the clause tells of the past or of another thing: "my last one was", "I have made two wallets"."""
        said = self.said
        start = first - 1
        while start >= 0 and said.words[start] not in _NEW_CLAUSE:
            start -= 1
        lead = said.words[start + 1 : first]
        done = _HAVE & set(lead) and _DONE & set(lead)
        return bool(done) or bool({"last", "previous"} & set(lead[-2:]))

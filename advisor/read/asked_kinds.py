"""What kind of thing a question wants to know, by plain English alone, whatever it asks it of.

Two beside each other, a thickness too thin or thick, what speaks against something, what would make the thing cheaper
or lighter, where something told is known from. No word of the trade stands here; what is named is found elsewhere.
"""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

Side = Literal["thin", "thick", "good"]
"""Whether a question fears that a thickness is too small, too great, or asks if it is right."""
Layers = Literal["", "single", "double"]
Goal = Literal["cheaper", "lighter", "softer", "stiffer", "bigger", "smaller"]


class SizeAsked(NamedTuple):
    """A thickness that is asked about: its words, what is feared of it, in how many layers it is used."""

    words: str
    side: Side
    layers: Layers


_NUMBER = r"\d+(?:[.,]\d+)?(?: ?(?:-|to) ?\d+(?:[.,]\d+)?)?"
_SIZE = re.compile(
    rf"(?<![\d.,x/])(?P<size>{_NUMBER} ?(?:mm|millimet\w+|oz|ounces?))\b(?! (?:wide|long|tall|high|deep|apart))"
)
_BARE = re.compile(
    r"(?:is|would|will|does|are) (?P<size>\d{1,2}(?:[.,]\d+)?)(?= (?:be )?(?:way |far |a bit )?too (?:thin|thick))"
)
_OTHER = re.compile(
    r"\b(?:wide|width|narrow|long|length|tall|deep|depth|high|height|thread|needles?|stitch\w*|pitch|holes?|rivets?|foam"
    r"|pad\w*|felt|blade|gap|spac\w+|awl|iron|cord|lace|buckles?|rings?|radius|apart|margin|allowance|cost|buy|many)\b"
)
"""What a number of millimetres may be of besides leather."""
_THIN = re.compile(r"\b(?:too|bit|little|rather|so) (?:thin|light|flimsy|weak|floppy|soft)\b|\bflimsy\b|\bnot enough\b")
_THICK = re.compile(
    r"\b(?:too|bit|little|rather|so) (?:thick|heavy|stiff|chunky|bulky|much|strong|hard|clumsy)\b"
    r"|\boverkill\b|\bexcessive\b|\bover the top\b"
)
_GOOD = re.compile(
    r"\b(?:enough|do|does|ok|okay|all ?right|alright|fine|work|suit|hold|stand|survive|cope|manage|get away|good|right"
    r"|safe|strong|serve|last|chance|possible|use|used|using|go (?:for|with|to|down|up)|take|try|possible"
    r"|what about|made|man enough|any good"
    r"|how about|what if|suppose|doubl\w+|what happens|make (?:it|do))\b"
)
_SINGLE = re.compile(
    r"\b(?:(?:a |one |only |just |as |in )*(?:single|one)[ -](?:layer|thickness|ply|piece)|unlined|not doubled)\b"
)
_DOUBLE = re.compile(
    r"\b(?:doubl(?:e|ed|ing)(?: (?:it|them|that))?(?: up| over)?|(?:two|2) (?:layers|thicknesses|plies|of them)"
    r"|twice|back to back|laminat\w+|folded over)\b"
)


def size_asked(text: str) -> SizeAsked | None:
    """The thickness that a question asks about, as "would 2 mm be strong enough if doubled"; None for others."""
    found = _SIZE.search(text) or _BARE.search(text)
    if found is None:
        return None
    rest = f"{text[: found.start()]} {text[found.end() :]}"
    layers: Layers = "double" if _DOUBLE.search(rest) else "single" if _SINGLE.search(rest) else ""
    if _OTHER.search(rest) or len(_SIZE.findall(text)) > 1:
        return None
    size = found["size"] if found.re is _SIZE else f"{found['size']} mm"
    if _THIN.search(rest):
        return SizeAsked(size, "thin", layers)
    if _THICK.search(rest):
        return SizeAsked(size, "thick", layers)
    return SizeAsked(size, "good", layers) if layers or _GOOD.search(rest) else None


_APART = re.compile(
    r"\bor\b|\bvs\.?\b|\bversus\b|\bdiffer\w*\b|\bcompar\w+\b|\brather than\b|\binstead of\b|\bagainst\b|\bthan\b"
    r"|\bover\b|\bfrom .+ to\b|\bwhen .+ (?:is|are|would|does|will)\b|\bthat .+ (?:does|do|has|is|wo|would|ca)n'?t\b"
    r"|\bthat .+ (?:doesnt|dont|hasnt|isnt|wont|lacks?)\b|\b(?:and|but) not\b|\bbetter\b|\bbeats?\b"
    r"|\bthe (?:upside|edge|advantage)\b|\bbetween .+ and\b|\baway from\b"
)
"""What sets two beside each other, wherever they stand."""
_BARE_OR = re.compile(r"(?P<one>[\w' -]+?),? (?:or|vs\.?|versus) (?P<other>[\w' -]+?)")
_AROUND = frozenset(
    """a an the this that it one ones is for on here best better or of in with job use then so and ok well right
    please do i we you think reckon leather which go choose pick take would should what about between
    maybe just only my our their them these those""".split()  # noqa: SIM905
)
_WANTS = re.compile(r"\b(?:want|make|made|need|like|prefer|please|either|don't mind|whichever|has to|must)\b")


def sets_apart(text: str) -> bool:
    """Whether a text sets two beside each other."""
    return _APART.search(text) is not None


def only_either(text: str, named: frozenset[str]) -> bool:
    """Whether a text is no more than "X or Y for the Z": two that are ``named`` and words that ask of themselves."""
    found = _BARE_OR.fullmatch(text.strip(" ?.!"))
    if found is None or _WANTS.search(text):
        return False
    return all(word in _AROUND or word in named for word in re.findall(r"[\w']+", text))


_AND = r"(?:(?:and|but|so|or|then|ok|okay|well|right|customer wants .+?|[\w ]+ wants .+?)[, ]+)*"
_WRONG = (
    r"(?:wrong|bad|the (?:problem|trouble|matter|issue|catch|objection|harm)|not to like|your (?:problem|objection))"
)
_AGAINST = re.compile(
    rf"{_AND}(?:what(?:'s| is|s)? (?:so |actually |really )?{_WRONG} (?:with|about|in|to)(?: using"
    rf"| taking)? (?P<wrong>.+?)"
    r"|what(?:'s| is|s)? (?:there )?(?:to be said )?against (?:using |taking )?(?P<against>.+?)"
    r"|what (?:rules|would rule|ruled) (?:out )?(?P<rules>.+?)(?: out)?"
    r"|what (?:speaks|counts|tells) against (?P<speaks>.+?)"
    r"|what have you (?:got )?against (?P<have>.+?)"
    r"|what (?:would|will|does) (?P<does>.+?) do wrong)"
    r"(?: (?:out )?(?:here|for (?:this|it|that|the .+|a .+)|on this|in this(?: job)?|then))*"
)


def against_asked(text: str) -> str:
    """What it is asked of why it does not do, as in "what's wrong with X"; "" where nothing is."""
    found = _AGAINST.fullmatch(text.strip(" ?.!"))
    return next(filter(None, found.groups()), "") if found else ""


_LEAD = re.compile(
    rf"{_AND}(?:(?:talk|walk|take) me through (?:why|how) .*"
    r"|(?:so )?what(?:'s| is) (?:so )?(?:special|good|right|great|clever) (?:about|in|with) (?:this|that"
    r"|the|your|it)(?: \w+)?(?: then)?"
    r"|on what (?:grounds|basis|reason\w*) .*"
    r"|what(?:'s| is| was)? (?:the|your) (?:reason\w*|thinking|logic|case|argument|rationale)(?: (?:behind|for|of))?"
    r"(?: (?:the|that|this|your))?(?: \w+)?(?: choice| pick)?"
    r"|what (?:makes|made) (?:you|it|that|this) (?:go for|choose|pick|settle on|take|the (?:right|best)).*"
    r"|(?:how|why) did you (?:arrive at|come to|get to|land on|end up with) (?:that|this|it|the)\b.*)"
    r"(?: (?:for|here|in) .+)?"
)


def lead_asked(text: str) -> bool:
    """Whether it is asked for what reason the advised leather is advised, whatever it is called."""
    return _LEAD.fullmatch(text.strip(" ?.!")) is not None


_STANDS_FOR = re.compile(r"(?:it|that|this|them|those|these|one)\b")


def stands_for(words: str) -> bool:
    """Whether words only stand for what was named before."""
    return _STANDS_FOR.fullmatch(words.strip()) is not None


_GOALS: tuple[tuple[Goal, re.Pattern[str]], ...] = (
    (
        "cheaper",
        re.compile(
            r"\b(?:cheaper|cheaply|less (?:expensive|money|dear)|costs? (?:me |us |them )?less|sav(?:e"
            r"|ing)s? (?:\w+ ){0,3}?(?:money|cash"
            r"|pounds?|dollars?|cost|a bit|on (?:it|this|the cost))|(?:price|costs?|bill|spend|total) (?:\w+ )?down"
            r"|(?:cut|lower|reduce|trim|shave|knock|bring) (?:\w+ ){0,4}?(?:price|costs?|bill)|economi[sz]e|on a budget"
            r"|skimp|cut corners|tight budget|pric(?:e)?y|too (?:dear|expensive)|trim (?:it|this"
            r"|the (?:cost|price|bill))|where (?:is|does|did) the money)\b"
        ),
    ),
    (
        "lighter",
        re.compile(
            r"\b(?:lighter(?! (?:colour|color|shade|brown|tan|tone|side|weight))|less (?:weight|heavy)|weigh(?:s)? less"
            r"|weight (?:\w+ )?(?:down|off)|(?:take|get|shave|lose|cut|reduces?|save"
            r"|drop) (?:\w+ ){0,3}?(?:weight|mass|grams|bulk)|slim (?:it|this|that) down|(?:too|be|so"
            r"|bit) heavy (?:wo|is)n'?t it)\b"
        ),
    ),
    (
        "softer",
        re.compile(
            r"\b(?:softer|suppler|floppier|bendier|more (?:supple|flexible|give|drape)|less stiff|less rigid)\b"
        ),
    ),
    (
        "stiffer",
        re.compile(r"\b(?:stiffer|firmer|more (?:rigid|body|structure|stiffness)|less (?:floppy|soft|bendy))\b"),
    ),
    (
        "bigger",
        re.compile(
            r"\b(?:bigger|larger|(?:up|next) (?:a|one) size|size up|scal(?:e|ed|ing) (?:it )?up"
            r"|twice as big|double the size|wider|taller|longer|deeper|broader)\b"
        ),
    ),
    (
        "smaller",
        re.compile(
            r"\b(?:smaller|down (?:a|one) size|size down|scal(?:e|ed|ing) (?:it )?down|half as big|narrower|shorter)\b"
        ),
    ),
)
_SHARE = re.compile(
    r"(?P<share>\d{1,3}) ?(?:%|per ?cent)|\b(?P<words>half as big again|twice as big|double the size"
    r"|a quarter|a third|a half)\b"
)
_SHARES = {
    "half as big again": 0.5,
    "twice as big": 1.0,
    "double the size": 1.0,
    "a quarter": 0.25,
    "a third": 1 / 3,
    "a half": 0.5,
}
_ONE_SIDE = re.compile(
    r"(?P<much>\d+(?:[.,]\d+)?|an?|one|two|half an?)? ?(?P<unit>mm|cm|centimet\w+|inch\w*|in\b)? ?"
    r"(?P<side>wider|broader|narrower|longer|shorter|taller|deeper)\b"
)
_SIDES = {"wider": "width", "broader": "width", "narrower": "width", "longer": "length", "shorter": "length"}
_SIDES |= {"taller": "height", "deeper": "depth"}
_MM = {"mm": 1.0, "cm": 10.0, "ce": 10.0, "in": 25.4}
_MUCH = {"a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "half a": 0.5, "half an": 0.5}


def side_asked(text: str) -> tuple[str, float] | None:
    """The one side that is to be larger or smaller, and by how many mm, 0 where that is open; None for all sides."""
    found = _ONE_SIDE.search(text)
    if found is None:
        return None
    much, unit = found["much"] or "", found["unit"] or ""
    number = _MUCH.get(much, 0.0) if not much[:1].isdigit() else float(much.replace(",", "."))
    return _SIDES[found["side"]], number * _MM[unit[:2]] if unit and number else 0.0


USUAL_SHARE = 0.2
"""How much bigger or smaller something is tried where nobody says how much."""


def goal_asked(text: str) -> Goal | None:
    """What the thing is to become, as in "how can I get it lighter"; None where nothing is asked for."""
    if _SO_MUCH_MORE.search(text):
        return None
    return next((goal for goal, pattern in _GOALS if pattern.search(text)), None)


_SO_MUCH_MORE = re.compile(
    r"\bhow (?:much|many|far) (?:\w+ ){0,2}?\w+er (?:than|do|does|should|must|can|to)\b"
    r"|\b\w+er than (?:my|the|what|a|an)\b"
    r"|\b(?:canvas|cloth|webbing|nylon|plastic|fabric|that|those) (?:would be|is|are|'s) (?:\w+ )?cheaper\b"
)
"""What sets something beside another: "how much bigger than the phone do I cut it"."""


def share_asked(text: str) -> float:
    """By how much something is to be bigger or smaller each way: as said, else a usual step."""
    found = _SHARE.search(text)
    if found is None:
        return USUAL_SHARE
    return float(found["share"]) / 100 if found["share"] else _SHARES[found["words"]]


_SOURCE = re.compile(
    rf"{_AND}(?:(?:how|where) (?:do|did|would|can) you (?:know|get|have|learn|come by|work out"
    rf"|find out)(?: all)?(?: (?:that|this|it|those|so much))?(?: from)?"
    r"|says who|who (?:says|said|told you)(?: so| that| it)?|according to (?:who|whom|what)"
    r"|(?:what|whats)(?:'s| is|s)? (?:that|this|it|your \w+|the \w+) (?:based|founded|built|resting) on|based on what"
    r"|what do you base (?:that|this|it) on|on what (?:basis|grounds|authority)|what(?:'s| is) (?:the"
    r"|your) (?:source|evidence|proof|authority|basis)(?: for (?:that|this|it))?"
    r"|where(?:'s| is| does| do| did) (?:that|this|it|those|the figure|the number)(?: figure| number"
    r"| rule| come)*(?: come)?(?: from)?"
    r"|is (?:that|this) (?:a fact|just (?:an|your) opinion|your opinion(?: or a fact)?|proven"
    r"|measured(?: or .+)?|written down(?: anywhere)?|in a book|a rule of thumb|official|tested|measured)"
    r"|(?:any|got a|have you a|is there a) (?:source|proof|evidence|reference)(?: for (?:that|this|it))?"
    r"|can i (?:trust|rely on|believe) (?:that|this|it)|why should i believe (?:that|this|it"
    r"|you))(?: then| exactly| though| anyway)*"
)


def source_asked(text: str) -> bool:
    """Whether a text asks where what was told last is known from."""
    return _SOURCE.fullmatch(text.lower().replace("’", "'").strip(" ?.!")) is not None

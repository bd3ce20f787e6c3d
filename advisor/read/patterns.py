"""What must never be missed, and what only sounds like it: patterns over the folded words of a sentence.

``GRAVE_PATTERNS`` finds people who hang from leather, trust it or react to it, however that is phrased.
``HARMLESS`` finds words that mean something else here, such as the kid of kid leather; they are left unread.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

_PEOPLE = (
    "(?:person|people|human|man|woman|climber|patient|worker|kid|child|children|baby|toddler|son|daughter|wife"
    "|husband|friend|father|mother|dad|daddy|mum|mummy|mom|grandma|grandpa|grandmother|grandfather|brother|sister"
    "|uncle|aunt|partner|little(?=$| [.,;:!?])|nan|granny)"
)
_SELF = "(?:my|him|her|your|our|them)sel(?:f|ve)"
_SOMEONE = (
    rf"(?:{_SELF}|me|us|him|them|someone|somebody"
    "|(?:(?:a|an|the|my|our|his|her|your|one|grown|adult|heavy|small|whole|disabled|elderly|old|frail|sick|injured"
    "|little) )*"
    rf"{_PEOPLE})\b(?!'s(?! weight))"
    r"(?! (?:thing|stuff|cloth|clothe|clothing|bottle|toy|food|gear|book|photo|name))"
)
_WHOSE = r"(?:my|his|her|your|our|body|human|(?:(?:a|the) )?(?:person|adult|man|woman|rider|someone|people)(?:'s)?)"
_BEARS = (
    "(?:haul|hoist|lower|lift|winch|rais|suspend|hang|dangl|support|hold|bear|carry|catch|swing|rescu)(?:e|ing|ed)?"
)
_CHILD = "(?:kid|child|children|baby|toddler|son|daughter)"
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
    r"\bgymnastic\b|\b(?:pull|chin) up (?:bar|strap|ring|training)\b|\b(?:do|doing|for|my) (?:pull|chin) ups? on\b",
    rf"\b(?:put|lean|rest|trust|throw|hang)(?:ing)? {_WHOSE} (?:(?:own|full|whole|entire|body) )*weight\b",
    rf"\b(?:pull|drag|move)(?:ing)? {_SOMEONE} (?:up|out|from|off|onto|into)\b",
    r"\bhang(?:ing)? upside\b",
    rf"\b(?:tie|tying|strap|strapping|fasten|fastening|buckle|belt|clip)(?:ing)? {_SOMEONE} (?:in|into|to|onto|on)\b",
    r"\b(?:high chair|highchair|pram|pushchair|stroller|buggy) (?:strap|belt|harness|restraint)\b",
    r"\b(?:leash|lead) for (?:a|the|my|our) (?:\w+ )?(?:toddler|baby|infant)\b(?!'s)",
    rf"\b{_PEOPLE} (?:\w+ ){{0,2}}swing(?:ing)? on\b",
    rf"\b(?:harness|rein|restraint|tether) (?:\w+ ){{0,4}}{_CHILD}\b(?!'s)",
)
_SWING = (
    r"\b(?:a|the|my|our|her|his|one|kid|child|children|baby|toddler|tree|rope|garden|porch|tyre|tire|play|sex|frame|yoga|patio)(?:'s)?"
    r" swing\b(?! (?:of|tag|ticket|door|arm))",
    rf"\bswing for (?:(?:a|the|my|our|your|her|his) )?(?:\w+ )?(?:{_PEOPLE}|tree|garden|porch)\b",
)
_CLIMB = (
    r"\b(?:climb(?:ing|er)?|abseil(?:ing)?|rappel(?:ing|ling)?|belay(?:ing)?|mountaineering|rope access|zip line"
    r"|zipline|bungee|paragliding|parachut(?:e|ing)|trapeze|aerialist|aerial (?:silk|hoop|rope|strap|act)"
    r"|work(?:ing)? at height)\b"
    r"(?! (?:rose|plant|vine|ivy|bean|frame|trouser|pant|shoe|boot|trip|holiday|book|photo|dog|lead|leash|cord))",
)
_LIFE = (r"\blife (?:will |may |could |might )?(?:depend|hang|rely|relie)\b",)
_OVERHEAD = (
    r"\b(?:lift|hoist|winch|hang|suspend)(?:ing)? (?:\w+ ){0,3}overhead\b",
    r"\b(?:hang|suspend|hold|hoist|lift|fix)(?:ing)? (?:\w+ ){1,4}(?:above|over) (?:a|the|my|our|her|his) (?:\w+ )?"
    r"(?:bed|cot|crib|table|head|people|stage|crowd|audience|pram)\b",
)
_WHOM = (
    "(?:me|him|her|us|them|someone|(?:my|his|her|your|our|their|the) (?:hand|finger|wrist|arm|leg|knee|shin|feet|foot"
    "|toe|head|face|eye|neck|chest|back|spine|body|wearer|rider|worker))"
)
_WEATHER = "(?:rain|sun|wet|cold|wind|dust|dirt|water|blade|paint|glue|dye|string)"
_PROTECT = (
    rf"\bprotect(?:ing)? {_WHOM}\b(?! (?:and \w+ )?(?:from|against) (?:the )?{_WEATHER})",
    r"\bstop(?:ping)? (?:a |an |the |any )?(?:knife|bullet|stab|bite)\b(?! (?:fall|slip|slid|rattl|rust|from))",
)
GRAVE_PATTERNS = tuple(
    (re.compile(pattern), attribute, value)
    for attribute, value, patterns in (
        ("load_carrier", "person_body_weight", _PERSON),
        ("load_carrier", "overhead", _OVERHEAD),
        ("consequence", "life", _LIFE),
        ("protective_claim", "yes", _PROTECT),
        ("user_kind", "child_under3", (r"\b(?:baby|toddler|infant) (?:chew|suck|bite|mouth)(?:ing)?\b",)),
        ("item", "swing_seat", _SWING),
        ("item", "climbing_gear", _CLIMB),
    )
    for pattern in patterns
)  # fmt: skip
# What is put on a belt as its decoration or part, and not carried there.
_MARKS = (
    "initial", "name", "letter", "stamp", "flower", "design", "pattern", "logo", "tooling", "carving", "buckle", "hole",
    "snap", "button", "rivet", "stud", "stitch", "keeper",
)
HARMLESS = re.compile("|".join((
    r"\bkid(?= (?:leather|glove|suede|skin|hide|goat|nappa))",
    r"\bbaby(?= (?:soft|smooth|shower|lamb|goat|grand))",
    r"\bchild(?:'?s| s)? play\b",
    r"\bspark plug\b",
    r"\bblood(?= (?:red|orange))",
    r"\bpetrol(?= (?:blue|green))",
    r"\bcrane(?= (?:operator|driver|fly|bird|stamped|carved|tooled|embossed|painted|engraved|print|design|pattern))",
    r"\bhoist(?:ing)? up (?:my|his|her|the|your)(?= (?:trouser|pant|jean|skirt))",
    r"\bchrome(?= (?:(?:on|for) (?:the |my |any )?)?"
    r"(?:buckle|fitting|hardware|ring|rivet|snap|stud|zip|clasp|button|chain|plated))",
    r"\bpadded(?= (?:strap|shoulder|handle))",
    r"\b(?:no|not|non|without)(?= leather (?:at hand|in stock|backing|conditioner|cord|dust|dye|experience"
    r"|glue|handle|insole|lace|lined|lining|offcut|patch|pull|seat|scrap|smell|sole|strap|tag|thong|tool|trim|work))",
    r"\b(?:no|without)(?= nickel (?:plat|finish|colou?r|look|silver|allerg|sensitiv|intoleran|rash|reaction))",
    r"\bhorse(?= (?:rid|mad|lov))",
    r"\blanyard(?= (?:for|to) (?:(?:a|my|the|his|her) )?(?:tool|hammer|spanner|stop|catch|save|keep))",
    r"(?<=tool )lanyard\b",
    "(?:" + "|".join(rf"(?<=\b{mark} )" for mark in _MARKS) + r")on(?= \w+ belt\b)",
)))  # fmt: skip

_REACTS = "(?:allergic|allergy|sensitive|sensitivity|sensiti[sz]ed|react(?:ing|ed|ion)?|intoleran(?:t|ce))"
_TROUBLES = "(?:itch|itchy|itching|rash|hive|blister|eczema|dermatitis|sore|swell|red|spot|skin|irritate|burn|break)"


def reactions(substances: Iterable[tuple[str, str]]) -> Iterator[tuple[re.Pattern[str], str, str]]:
    """Patterns for somebody who reacts to a substance: (word, value) pairs become (pattern, attribute, value)."""
    for word, value in substances:
        what = rf"(?:the |any |all |cheap |real )?{re.escape(word)}\b"
        whole = "|".join((
            rf"\b{_REACTS} (?:badly )?(?:to|from|with) {what}",
            rf"\b{re.escape(word)} (?:allergy|sensitivity|intolerance|rash|dermatitis|allergic|sensitive|intolerant)\b",
            rf"\b(?:cant|cannot|couldnt|dont|doesnt|mustnt|(?:can|could|do|does|must|may|should) not)"
            rf" (?:wear|touch|tolerate) {what}(?! (?:sewing|look|smell|price))",
            rf"\b{re.escape(word)} (?:(?:tanned|leather|metal|buckle) ){{0,2}}"
            r"(?:make|give|bring|irritate|upset|burn|cause|get) "
            rf"(?:me|him|her|them|us|my|his|their) (?:\w+ ){{0,5}}?{_TROUBLES}\b",
        ))  # fmt: skip
        yield re.compile(whole), "allergy", value

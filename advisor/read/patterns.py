"""What only sounds like a value, and who reacts to what: patterns over the folded words of a sentence.

``HARMLESS`` finds words that mean something else here, such as the kid of kid leather; they are left unread.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

# What is put on a belt as its decoration or part, and not carried there.
_MARKS = (
    "initial",
    "name",
    "letter",
    "stamp",
    "flower",
    "design",
    "pattern",
    "logo",
    "tooling",
    "carving",
    "buckle",
    "hole",
    "snap",
    "button",
    "rivet",
    "stud",
    "stitch",
    "keeper",
)
HARMLESS = re.compile(
    "|".join(
        (
            r"\bkid(?= (?:leather|glove|suede|skin|hide|goat|nappa))",
            r"\bbaby(?= (?:soft|smooth|shower|lamb|goat|grand))",
            r"\bchild(?:'?s| s)? play\b",
            r"\bspark plug\b",
            r"\bblood(?= (?:red|orange))",
            r"\bpetrol(?= (?:blue|green))",
            r"\bcrane(?= (?:operator|driver|fly|bird|stamped|"
            r"carved|tooled|embossed|painted|engraved|print|design|pattern))",
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
        )
    )
)

_REACTS = "(?:allergic|allergy|sensitive|sensitivity|sensiti[sz]ed|react(?:ing|ed|ion)?|intoleran(?:t|ce))"
_TROUBLES = "(?:itch|itchy|itching|rash|hive|blister|eczema|dermatitis|sore|swell|red|spot|skin|irritate|burn|break)"


def reactions(attribute: str, substances: Iterable[tuple[str, str]]) -> Iterator[tuple[re.Pattern[str], str, str]]:
    """Patterns for somebody who reacts to a substance: (word, value) pairs become (pattern, attribute, value)."""
    for word, value in substances:
        what = rf"(?:the |any |all |cheap |real )?{re.escape(word)}\b"
        whole = "|".join(
            (
                rf"\b{_REACTS} (?:badly )?(?:to|from|with) {what}",
                rf"\b{re.escape(word)} (?:allergy|sensitivity|"
                rf"intolerance|rash|dermatitis|allergic|sensitive|intolerant)\b",
                rf"\b(?:cant|cannot|couldnt|dont|doesnt|mustnt|(?:can|could|do|does|must|may|should) not)"
                rf" (?:wear|touch|tolerate) {what}(?! (?:sewing|look|smell|price))",
                rf"\b{re.escape(word)} (?:(?:tanned|leather|metal|buckle) ){{0,2}}"
                r"(?:make|give|bring|irritate|upset|burn|cause|get) "
                rf"(?:me|him|her|them|us|my|his|their) (?:\w+ ){{0,5}}?{_TROUBLES}\b",
            )
        )
        yield re.compile(whole), attribute, value

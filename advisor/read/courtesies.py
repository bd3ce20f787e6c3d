"""Lines that say nothing of the job: that somebody is thinking, agrees, or means what was said before."""

from __future__ import annotations

import re

_WHILE = r"(?:moment|sec(?:ond)?|minute|tick)"
_WAITS = re.compile(
    r"(?:(?:ok(?:ay)?|right|well|so|oh|ah)[ ,.!…-]*)*"
    r"(?:(?:um+|uh+|er+m?|hm+|mm+|wait(?: a " + _WHILE + r")?|hang on|hold (?:on|up)|thinking|bear with me|where was i"
    rf"|(?:just |give me )?(?:a|one) {_WHILE}|back in (?:a|one) {_WHILE}|(?:let's|let us|lemme|let me) see"
    r"|(?:let me|i'?ll|i have to|i need to|i'?d have to)(?: just| go and| quickly)?"
    r" (?:think|check|look|measure|ask|find out|find a tape)(?: it| that| first| him| her| them| my \w+| about it)*)"
    r"(?: then| please)?[ ,.!…-]*)+",
    re.IGNORECASE,
)
_AGREES = re.compile(
    r"(?:(?:yes|yep|yeah|ok(?:ay)?|right|correct|fine|good|great|perfect|lovely|thanks|thank you|ta|cheers"
    r"|(?:all|looks|sounds) good|(?:that'?s|that is) (?:right|fine|good|correct|it|all|everything)|go (?:on|ahead)"
    r"|it is|i (?:suppose|think|guess|agree)(?: so)?|(?:it )?(?:will|'ll) do|finish(?:ed)?|all of it)[ ,.!]*)+",
    re.IGNORECASE,
)
_WANTS_THE_ORDER = re.compile(
    r"(?:(?:ok(?:ay)?|yes|no|right|please|just|so|and|can you|could you|i want you to|now)[ ,.!]*)*"
    r"(?:(?:tell|give|show) me (?:the |my )?(?:order|answer|leather|list|result|recommendation)"
    r"|(?:tell|show) me what (?:(?:leather|strap|hide|skin|piece) )?"
    r"(?:to|(?:i|he|she|we|they) (?:should |need to |have to |must )?|do i)"
    r" ?(?:buys?|orders?|gets?|takes?|gives?|sells?|cuts?|hands?)"
    r"(?: (?:her|him|them))?|(?:just )?give (?:me it|it to me|it me)"
    r"|what (?:do|should|shall) i (?:buy|order|get)"
    r"|(?:i (?:just )?(?:want|need)|can i (?:just )?have) (?:the |my |an )?(?:order|answer)"
    r"|(?:the )?(?:order|answer) now)"
    r"(?:[ ,]*(?:now|already|then|please|thanks|will you|straight away))*[ .!?]*",
    re.IGNORECASE,
)
_GOES_ON = re.compile(
    r"(?:(?:ok(?:ay)?|yes|yeah|right|fine|good|please|so|just|let'?s|then)[ ,.!]+)*"
    r"(?:go (?:on|ahead)|carry on|continue|proceed|next(?: one| question)?|skip(?: it| that| this)?|move on|keep going)"
    r"(?:[ ,]+(?:then|please|thanks))*[.!]*",
    re.IGNORECASE,
)
_AS_BEFORE = re.compile(
    r"(?:(?:the )?same|as|like)(?: again)?(?: as| like)? ?"
    r"(?:before|last time|the last(?: one)?|the other(?: one)?|above|usual|i said|always|again)?"
    r"|ditto|(?:like |as )?i (?:already )?(?:said|told you)(?: (?:that|so|already|before))?",
    re.IGNORECASE,
)
_NO_ITS = re.compile(
    r"^(no|nope|nah)\s+(?=(?:it'?s|it is|they(?:'re)?|he'?s?|she'?s?|i'?m|i|we|that'?s)\b)", re.IGNORECASE
)
_MANNERS_BEFORE = re.compile(
    r"^(?:(?:oops|oh|ok|okay|sorry|right|please|now|er|um|hm|can you|could you)[ ,.]+)+", re.IGNORECASE
)
_MANNERS_AFTER = re.compile(r"[ ,]+(?:please|then|now|thanks|thank you)[.!]*$", re.IGNORECASE)
_ASIDE_BEFORE = re.compile(
    r"^(?:(?:well|oh|ah|hm+|um+|uh+|er+m?|look|listen|right|ok(?:ay)?|so|and|but|now|sorry|honestly"
    r"|no wait|wait|actually"
    r"|like|as|just|yes|yeah|no)\b[ ,.!:;-]+(?=\S)"
    r"|(?:(?:as|like) )?i(?:'ve| have)? (?:(?:already|just) )?(?:said|told you|mentioned|typed"
    r"|wrote)(?: (?:already|before|that|it))?\b[ ,.:;-]*"
    r"|i(?:'d| would)? (?:say|think|guess|reckon|suppose|mean|meant)(?: that)?(?: it(?:'s|'ll be| is"
    r"| will be))?\b[ ,:]*"
    r"|(?:to be honest|to tell the truth|in (?:that|my) case|let me see|let's see|if you must know"
    r"|for what it's worth)\b[ ,.]*)",
    re.IGNORECASE,
)
_ASIDE_AFTER = re.compile(
    r"(?:[ ,.;!-]+(?:(?:that'?s|that is) what i (?:said|meant|told you)|(?:as"
    r"|like) i (?:already )?(?:said|told (?:you|my \w+|him|her))"
    r"|i (?:(?:already|just) )?(?:said|told you|say|think|guess|reckon|suppose|mean|meant)(?: (?:already"
    r"|that|so|before|once))?"
    r"|i'?d (?:say|think|guess)|already|again|really|actually|honestly|mostly|basically|obviously|now you mention it"
    r"|if that (?:helps|matters|counts)|if you must know|as far as i (?:know|can tell)|to be honest"
    r"|for (?:now|certain|sure)"
    r"|of course|you know|mate|love|right|so there|thanks|thank you|please|ok(?:ay)?|then|and that'?s (?:it|that|all)"
    r"|(?:my|his|her) \w+ (?:says|said|thinks|reckons)))+[ .!?]*$",
    re.IGNORECASE,
)


def only_waits(text: str) -> bool:
    """Whether the line only holds the talk up: "hm", "wait", "let me measure it"."""
    return _WAITS.fullmatch(text.strip().replace("’", "'")) is not None


def agrees(text: str) -> bool:
    """Whether the line only agrees: "yes, looks good", "ok thanks"."""
    return _AGREES.fullmatch(text.strip().replace("’", "'")) is not None


def wants_the_order(text: str) -> bool:
    """Whether the line asks for the order without more questions: "just tell me what to buy now please"."""
    return _WANTS_THE_ORDER.fullmatch(text.strip().replace("’", "'")) is not None


def before_the_wish(text: str) -> str:
    """What stands before such a wish in the same line: "none, just give me the order now"; else ""."""
    for mark in reversed(list(re.finditer(r"[.,;!]\s+(?:so |and |but )?", text))):
        if wants_the_order(text[mark.end() :]):
            return text[: mark.start()]
    return ""


def begins_with_the_wish(text: str) -> bool:
    """Whether such a wish stands first, with a reason behind it: "just tell me what to buy, he's waiting"."""
    return wants_the_order(re.split(r"[.,;!]\s+", text.strip(), maxsplit=1)[0])


def goes_on(text: str) -> bool:
    """Whether the line only asks for what comes next: "go on", "ok, next question"."""
    return _GOES_ON.fullmatch(text.strip().replace("’", "'")) is not None


def is_as_before(text: str) -> bool:
    """Whether the line refers to what was said before: "same as last time", "ditto"."""
    words = re.sub(r"\s+please$", "", text.strip(" .!").replace("’", "'"), flags=re.IGNORECASE)
    return _AS_BEFORE.fullmatch(words) is not None


def no_apart(text: str) -> str:
    """The line with a comma behind a "no" that only contradicts: "no its for me" denies nothing of what follows."""
    return _NO_ITS.sub(r"\1, ", text, count=1)


def without_manners(text: str) -> str:
    """The line without "oops", "please" and the like around it; the line itself where nothing else is left."""
    words = _MANNERS_BEFORE.sub("", text.strip())
    return _MANNERS_AFTER.sub("", words) or text


def without_asides(text: str) -> str:
    """The line without what is only said around an answer: "108, that's what I said", "well, black, if that helps"."""
    words = text.strip().replace("’", "'")
    for _ in range(4):
        words = _ASIDE_BEFORE.sub("", words, count=1)
        words = _ASIDE_AFTER.sub("", words).strip()
    return words.strip(" ,;:-") or text


_BEGINS = r"(?:^|[.,;!?]\s+|\b(?:and|but|so|ok|okay|then)\s+)"
# Each is looked for from where a clause begins, so that a long row of clauses takes no more time than it is long.
_THIS_AND_NOT = re.compile(
    rf"{_BEGINS}why\s+(?:(?:this|that|these)(?:\s+(?:one|ones|leather|stuff|kind|sort))?\s+(?:and\s+)?"
    r"|(?:the|your|it|is it this|do you say this)(?:\s+(?:one|leather))?\s+and\s+)not\s+(?P<what>[^.,;!?]+)",
    re.IGNORECASE,
)
_WHY_NOT_THAT = re.compile(
    r"\bwhy\s+not\s+(?:(?:just\s+)?(?:use|buy|take|get|have)\s+)?(?:that|it|this|those|them|that one)\b[\s.!?]*\Z",
    re.IGNORECASE,
)
_SEEN = re.compile(
    rf"{_BEGINS}(?:i(?:'ve|ve| have)?\s+)?(?:just\s+)?"
    r"(?:saw|seen|found|spotted|noticed|came across|was offered|there(?:'s| is))\s+(?:some\s+|an?\s+|the\s+|this\s+)?"
    r"(?P<what>\w[\w-]*(?:\s+[\w-]+){0,3}?)"
    r"(?:\s+(?:on\s?-?line|on|in|at|for|half|cheaper|cheap|much|a lot|way|going|selling|which|that)\b|\s*,)",
    re.IGNORECASE,
)


def asked_plainly(text: str) -> str:
    """ "Why this one and not suede, my old bag was suede" and "saw split online, why not that?" as "why not ...".

    What is told beside such a question says why it is asked. Any other text as it is.
    """
    found = _THIS_AND_NOT.search(text)
    if found is None and (asks := _WHY_NOT_THAT.search(text)):
        found = _SEEN.search(text[: asks.start()])
    return f"why not {found['what'].strip()}" if found else text

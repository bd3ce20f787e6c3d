"""What somebody takes to be so while they ask: "surely soft is comfier", "I thought veg was the better one".

Told by plain English alone: the words that lead to a belief or stand behind it. Whether it is so is answered elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

_LED = (
    r"(?:but |and |cause |because |since |as |though )?(?:surely"
    r"|(?:i(?:'d| had|'ve| have)? )?(?:always |also |only |just )?"
    r"(?:thought|heard|read|understood|believed|assumed|figured|imagined|reckoned|reckon|was told|were told|been told"
    r"|was taught)(?: (?:somewhere|online|once|that))*|(?:people|they|some|everyone|everybody|some people|somebody"
    r"|someone|folk|folks|the internet|the forums?|(?:a|my|the) (?:\w+ )?(?:mate|friend|bloke|guy|man|lady|dad|uncle"
    r"|father|teacher|neighbour|brother|wife|husband)(?: (?:at|in|from|down|on) (?:the |my )?\w+)?)"
    r" (?:always |all |once )?(?:say|says|said|tell|tells|told|reckon"
    r"|reckons|swear|swears|insist|insists)(?: (?:me|us))?(?: (?:that|on))?"
    r"|(?:is it|isn'?t it)(?: really| just| only)? (?:true|right|correct|a fact|a myth|an old wives'? tale)(?: that)?"
    r"|apparently|supposedly)"
)
_TAG = (
    r"(?:right|correct|true|yes|yeah|innit|no|is that (?:so|right|true|correct|a myth)|is it(?: true| not)?"
    r"|(?:is|are|does|do|will|would|has|have|can|was|wo|ca)n'?t (?:it|they|that|he|she|you|i|we))"
)
_BEFORE = re.compile(rf"(?:^|[,.;?!] *|\b(?:and|but) ){_LED}[, ]+(?P<what>.+)")
_WITHIN = re.compile(r"^(?P<what>.*\bsurely\b.*)")
_BEHIND = re.compile(rf"(?P<what>[^,.;?!]+(?:, [^,.;?!]+)?)(?:,| -) ?{_TAG}(?: then)?[ ?.!]*$")
_NOT = re.compile(r"(?:^|[,.;?!] *)(?:but |and |so )?(?P<aux>is|are|does|do|wo|would|ca|has|have)n'?t (?P<what>.+)")
_TAIL = re.compile(rf",? {_TAG}$")
_WHO = re.compile(r"^(?:i|we|you) ")


def beliefs_in(text: str) -> Iterator[str]:
    """Each belief that a text lets see, in its own words, the clearest first; none where nothing is believed."""
    low = " ".join(text.lower().replace("’", "'").split())
    for pattern in (_BEFORE, _BEHIND, _NOT, _WITHIN):
        found = pattern.search(low)
        what = re.split(r"[.;?!]|, (?:so|but|why|how|what|should|can|is|do)\b", found["what"])[0] if found else ""
        what = _TAIL.sub("", re.sub(r"\bsurely\b", "", what)).strip(" ,")
        if len(what.split()) > 1 and not _WHO.match(what):
            yield what

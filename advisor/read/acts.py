"""What each clause of a text does: states a fact, asks, requests, greets, or tells what is no fact of this job.

"Is it waterproof" asks, "they say it stretches" tells, "make it black" requests; only statements and requests say
something of the job. Clauses are cut at marks, and where a conjunction or comma leads to a new one. Everything is
decided by the closed classes of English (question words, auxiliaries, pronouns); no word of the trade is named.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

Kind = Literal["statement", "question", "request", "courtesy", "told"]
Why = Literal["", "own", "meaning", "either", "mark", "hearsay", "history", "comparison", "opinion", "supposition"]
NO_FACTS: frozenset[Kind] = frozenset(("question", "courtesy", "told"))
"""The kinds of clause whose words say nothing of the job (but for what can harm somebody)."""


class Act(NamedTuple):
    """One clause: what it does and where it stands, ``start`` to ``end`` (not included) in the text.

    ``why`` tells more of it. Of a statement: ``own``, the asker's own question about the job ("what leather do I need
    for a belt"), whose facts count; ``asks_start`` to ``asks_end`` are then the words that only ask. ``either`` is a
    bare "X or Y", which asks or leaves a choice. Of a question: ``meaning`` (of a word, or a difference between two),
    ``either``, ``mark`` (nothing but the mark behind it asks), else "". Of what is told: ``hearsay``,
    ``history``, ``comparison``, ``opinion``, ``supposition``.
    """

    kind: Kind
    start: int
    end: int
    why: Why = ""
    asks_start: int = 0
    asks_end: int = 0

    @property
    def factual(self) -> bool:
        """Whether its words say something of the job."""
        return self.kind not in NO_FACTS


def acts_of(text: str) -> tuple[Act, ...]:
    """The clauses of ``text`` in their order; what stands between two of them is only marks. Never raises."""
    low = _plain(text)
    return tuple(_act(low, start, end, asked) for start, end, asked in _clauses(low))


def act_at(acts: Sequence[Act], place: int) -> Act | None:
    """The clause that holds the character at ``place``."""
    return next((a for a in acts if a.start <= place < a.end), None)


# -- the words of English that decide

_SUBJECT = (
    r"(?:i|you|we|he|she|it|they|this|that|these|those|there|one|a|an|the|my|your|our|his|her|its|their|any|anyone"
    r"|anybody|some|someone|somebody|something|anything|\d[\w./\"]*|half|both|either)\b"
)
_NO_SUBJECT = (
    r"(?!(?:for|not|to|in|on|at|of|by|with|about|roughly|only|just|going|being|be|been|like|have|need|needs|also"
    r"|always|never|mostly|mainly|usually|used|worn|made|meant|supposed|too|very|quite|rather|prefer|love|please"
    r"|probably|and|or|but|no|n't|carry|hold|fit|last|close|hang|match|survive|stand|keep|take)\b)"
)
_AUX = r"(?:is|are|was|were|does|did|can|could|will|would|should|shall|may|might|has|must)(?:n't|nt)?"
_ASKS_FOR = (
    r"(?:use|using|buy|get|need|order|choose|pick|take|want|look|go|recommend|suggest|advise|try|require|start|make)"
)
_PERSON = r"(?:i|we|you|one|he|she|they|someone|somebody|anyone|people|my \w+)"
_SOME = r"(?: [\w'’/.&%\"-]+)"
_STUFF = r"(?:leather|hide|skin|material|thickness|weight|size|kind|type|sort|amount|advice|help)s?"

_POLITE = re.compile(
    r"(?:(?:hi|hello|hey|so|and|but|or|also|well|now|then|please|ok|okay|just|anyway|oh|um|because|since|as|though"
    r"|although|however|sorry)[, ]+)*"
)
_LEAD_IN = (
    r"(?:(?:can|could|would|will) (?:you|anyone|anybody|someone|somebody) (?:please )?(?:tell|advise|help|explain to)"
    r"(?: me)?(?: with)? |(?:do|does|did) (?:you|anyone|anybody) know |(?:please )?tell me "
    r"|i(?:'d| would) like to know |(?:please )?(?:talk|walk|take) me through |remind me "
    r"|i (?:do not|don't|dont|can't|cannot|didn't) (?:get|see|understand|follow|quite see)(?= (?:how|why"
    r"|what|where|when|which|who)\b) "
    r"|i(?:'m| am| was)? ?(?:just )?wonder(?:ing)? |wondering |i (?:want|need) to know |i (?:do not|don't|dont) know "
    r"|(?:i'm |i am )?not sure )?"
)
_OWN = re.compile(
    _LEAD_IN
    + "(?:"
    + "|".join(
        (
            rf"(?:what|which|how|where){_SOME}{{0,6}}? (?:do|does|should|shall|would|could|can|must|might|will|to)"
            rf"(?: {_PERSON})?(?: (?:best|then|normally|usually|have to|need to|be))? (?:be )?{_ASKS_FOR}\b"
            r"(?: to)?(?: (?:make|use|buy|get))?(?: for)?",
            rf"(?:what|which)(?:'s|s)?(?! (?:difference|do you mean|is meant)){_SOME}{{0,8}}? (?:for|to make)(?= \w)",
            r"how (?:thick|thin|wide|long|heavy|big|stiff)\b(?: \w+){0,2} (?:should|must|does|do|would)\b",
            rf"how (?:much|many)\b{_SOME}{{0,4}}? (?:for|to make)(?= \w)",
            r"(?:any|some|looking for|need|want|after) (?:\w+ )?"
            r"(?:advice|ideas?|recommendations?|suggestions?|help|thoughts|tips)"
            r" (?:on|for|about|with)\b",
            r"(?:do|have) (?:you|they) (?:have|sell|stock|got|carry)\b",
            r"(?:can|could|may|might) (?:i|we) (?:please |just )?(?:have|buy|order)"
            r" (?!it\b|that\b|this\b|them\b|one\b|\d)",
            r"(?:can|could|may|might) (?:i|we) (?:please |just )?get (?:hold of |me )?(?:some|enough|any|sufficient"
            r"|leather|hide|a (?:bit|piece|hide|side|skin|panel|strip|strap|length)) (?:of )?(?:\w+ ){0,3}?"
            r"(?:for|to make)(?= \w)",
            r"(?:can|could|would|will) (?:you|anyone|anybody|somebody|someone) (?:please )?"
            r"(?:recommend|suggest|advise|help|sell|supply|quote)\b",
            rf"is there{_SOME}{{0,5}}? for(?= \w)",
            rf"(?:the )?(?:best |right |good |suitable |ideal |what )*{_STUFF} for(?= \w)",
            r"where (?:can|do|could) i (?:get|buy|find)\b",
            r"what about a(?:n)? ",
        )
    )
    + ")"
)
_MEANING = re.compile(
    r"(?:(?:can|could|would) you |please |can anyone )*(?:explain|define|describe|tell me about|compare)\b"
    r"|(?:what|whats|what's|which)(?: \w+){0,2}? (?:diff?|difference|differences)\b|(?:the )?difference\w* between\b"
    r"|how (?:does|do|is|are)\b.*\b(?:differ|different)\b"
    r"|what(?:'s|s| is| are)? (?:meant by|the meaning of)|(?:the )?meaning of\b"
    r"|(?:what|whats|what's) (?:does|do) .*\bmean\b|what do you mean\b"
    r"|what(?:'s|s| is| are| was)\b(?! it\b| (?:that|this|they) in\b)"
    r"|i (?:do not|don't|dont) (?:know|understand) what\b.*\b(?:is|are|means?)\b|(?:never heard of)\b"
)
_ASKS_LAST = re.compile(r"\w,? (?:why|which|how come|how so|which one)\??$")
"""What asks at its end: "this one beats that, why"."""
_MEANING_ONLY = re.compile(
    r"(?:explain|define|describe|compare|(?:what|which)(?:'s|s| is| are)? (?:the )?(?:difference|meaning))\b"
)
_DOES = (
    r"(?:need|have|come|go|look|stay|stretch|rub|smell|match|want|wear|hold|last|cross|lie|sit|run|face|open|close"
    r"|touch|hang|show|reach|meet|overlap|get|turn|become|leave|burn|rust|bend|fold|fray|shed|peel|crack|curl|fade"
    r"|tear|slip|take|shrink|squeak|sag|scratch|mark|stain|wash|ruin|harm|hurt|damage|spoil|make|matter|work|melt)\b"
)
_QUESTION = re.compile(
    _LEAD_IN
    + "(?:"
    + "|".join(
        (
            r"(?:what|whats|what's|why|who|whose|how)\b(?! ever)",
            r"(?:when|where) (?:do|does|should|can|will|is|are|shall)\b",
            rf"which (?:{_AUX}|of|one|way|\w+ (?:{_AUX}|do|goes|faces|comes|suits|works))\b",
            rf"(?:{_AUX}|am|do|don't) {_SUBJECT}",
            rf"do (?:[a-z'-]+ ){{0,2}}[a-z'-]+s (?:[a-z]+ly |ever |always )?{_DOES}",
            rf"(?:is|are|does|did|can|could|will|would|should|has) {_NO_SUBJECT}[a-z][\w'-]*(?: [\w'-]+)+",
            r"have (?:you|they|i|we) (?:got|any|a|to|ever|enough|something)\b",
            r"any (?:ideas?|advice|suggestions?|thoughts|recommendations?|tips|chance|difference|good)\b",
            r"(?:thoughts|ideas|suggestions|anyone|right|correct|ok|okay|yes|no|or not)\s*\?",
            r"(?:explain|define|describe|compare)\b",
            r"any (?!colou?r|size|kind|one\b|of\b|will\b|old\b)\w+(?: [\w'-]+){0,3}"
            r" (?:in|about|to|with|onto|on|between|over|there|against|from)\b",
            r"(?:on|in|for|to|at|by|under|from) (?:what|which) \w+",
            r"(?!(?:i|we|you|she|he|it|they)\b)[\w']+(?: [\w']+){0,3} before or after\b",
            r"(?:tell me about|(?:the )?difference between|(?:the )?meaning of)\b",
            r"(?:i(?:'m| am| was)? ?(?:just |only )?)?(?:wonder(?:ing)?|not sure|unsure|want to know|like to know)"
            r" (?:whether|if)\b",
            r"(?:she|he|they|the \w+|my \w+|customer|client|buyer)(?:'s|'d| is| are| would)?"
            r" (?:wonder(?:s|ing)?|wants? to know|like to know|not sure|unsure) (?:whether|if|how|what|which|why)\b",
            r"(?:she|he|they|the \w+|my \w+|customer|client|buyer)(?:'s| is| are)? (?:asks?|asking)"
            r" (?:whether|if) (?!(?:i|we|you)\b)",
            r"(?:whether|if) (?:i|it|this|that|they|we) (?:should|can|could|is|are|would|will|must|need)\b(?=[^,]*$)",
        )
    )
    + ")"
)
_EITHER = re.compile(r"(?:[a-z-]+ ){1,3}or (?:[a-z-]+ ?){1,3}")
_EITHER_NOT = re.compile(r"\b(?:for|to|in|on|with|my|and|not|no|is|at|if|so|more|less|from|of|i|it)\b")
_WANTS = re.compile(
    r"(?:i|we|she|he)(?:'m|'d|'ll| am| would| will)? (?:\w+ )?(?:want|need|make|making|like|looking|plan|planning"
    r"|trying|after|thinking of making|wants|needs)\b|(?:making|looking for|want|need|trying to make)\b"
)

_ASKED_OF = r"(?:it|that|this|them|those|these|one|me|us|two|three|four|five|six|the \w+|\d+)\b"
_ASKED_YOU = r"(?:can|could|would|will) (?:you|we) (?:please |just )?"
_ASKED_TO = r"(?:can|could|would|will) (?:you|we|i) (?:please |just )?"
_NOT_MADE_OF = (
    r"(?! (?:from|out|with|of(?! (?:them|those|these))|by|using|without))(?!(?: [\w-]+){1,2} (?:out of|from) \w)"
)
_NOT_HAPPENS = r"(?! (?:wet|dirty|damp|hot|cold|muddy|near|off|clean))"
"""What a thing gets and nobody asks for: "can I get them wet"."""
_NOT_DOES = (
    r"(?! (?:need|have|come|go|look|stay|stretch|rub|smell|match|want|wear|hold|last|cross"
    r"|lie|sit|run|face|open|close|touch|hang|show|reach|meet|overlap|get|turn|become|leave|burn|rust|bend|fold"
    r"|fray|shed|peel|crack|curl|fade|tear|slip|take|shrink|squeak|sag|scratch|mark|stain|wash)\b)"
)
"""What "do the straps" goes on with where it asks: "do the straps need a lining"."""
_REQUEST = re.compile(
    "|".join(
        (
            r"can i (?:please |just )?(?:change|swap|switch|undo|start)\b",
            rf"(?:{_ASKED_YOU})?(?:change|swap|switch|set|put|add|remove|drop"
            r"|leave out|cancel|undo|scrap|scratch|forget|start|show|print|keep)\b(?! (?:it|them) (?:from|dry|clean))",
            rf"{_ASKED_TO}(?:make|have|do|get|give) {_ASKED_OF}{_NOT_MADE_OF}{_NOT_HAPPENS}",
            rf"(?:please )?(?:make|do|give) {_ASKED_OF}{_NOT_MADE_OF}{_NOT_DOES}",
            r"can (?:it|they|this) be (?:done|ready|finished|made) (?:in|by|for|within)\b",
            r"(?:let's|lets|let us) (?:go|make|have|do|say|use|take|change)\b",
            r"(?:go|going) (?:with|for)\b|same (?:again|in|but|thing)\b|(?:and )?another (?:one|two)\b",
        )
    )
)
_COURTESY = re.compile(
    r"(?:(?:many |ok |okay |great |lovely |perfect |brilliant |no |oh |well |yes |yeah )*"
    r"(?:thanks|thank you|thankyou|thx|ta|cheers|ok|okay|k|great|lovely|perfect|brilliant|super|cool|nice|wonderful"
    r"|excellent|fine|right|alright|all right|good|got it|i see|understood|hello|hi|hey|hiya|howdy|good morning"
    r"|good afternoon|good evening|morning|evening|bye for now|please|sorry|sounds good|that's good"
    r"|no problem|no worries|kind regards|regards|best wishes|much appreciated|thanks in advance|any help appreciated"
    r"|hope you can help|help please)"
    r"(?: (?:all|there|everyone|everybody|folks|guys|again|very much|a lot|so much|ever so much|then|you|mate"
    r"|for (?:that|this|the help|your help|any help|reading|now)|in advance|good|to (?:know|you)))*[ ,]*)+"
)

_TELLERS_NOT = r"(?:customer|client|buyer|doctor|gp|nurse|vet|dermatologist|consultant|specialist|boss|surgeon)"
_SAYS = (
    r"(?:say|says|said|told|reckons?|reckoned|swears?|swore|claims?|claimed|recommends?|recommended|thinks?"
    r"|suggest\w*)"
)
_THEIR_WISH = (
    r"(?! (?:that )?(?:me )?(?:that )?(?:he|she|they|it|his|her|their|i)"
    r"(?:'s|'d|'re| is| are| has| have| wants?| needs?| would| likes?| must| should| waist| neck| size))"
)
_OLD = r"(?:last|old|older|previous|first|other|former|earlier|original|existing|current|cheap|shop|bought)"
_BROKE = (
    r"(?:broke|tore|snapped|stretched|cracked|ripped|failed|split|wore|went|fell|fell apart|faded|rotted|shrank|bled"
    r"|gave|lasted|came|turned|got|frayed|peeled|flaked|died|sagged|rusted|rubbed|ran|warped|hurt|looked)"
)
_TOLD: tuple[tuple[Why, re.Pattern[str]], ...] = (
    (
        "hearsay",
        re.compile(
            r"\b(?:i|we)(?:'ve| have|'d| had)? (?:also |often |always |just |once |only )?(?:heard"
            r"|been told|read|was told"
            r"|were told|seen (?:that|it|people|some|videos?))\b"
            r"|\b(?:they|people|some(?: people)?|everyone|everybody|folks?|others|many"
            r"|most(?: people)?|somebody|someone"
            rf"|youtube|google|the internet|forums?|videos?) (?:all |always |also |on \w+ )?{_SAYS}\b{_THEIR_WISH}"
            rf"|\b(?:my|the|a|an|our|that|this|one|his|her) (?!{_TELLERS_NOT}\b)(?:\w+ ){{1,2}}"
            rf"(?:(?:in|at|on|from|of|down) (?:the |a |my )?\w+ )?{_SAYS}(?: me| us)?\b{_THEIR_WISH}"
            r"|\b(?:apparently|supposedly|allegedly|reportedly|according to|word is|rumou?r has)\b"
            r"|\b(?:is|are|it's|its) (?:said|supposed|meant|known|rumoured) to be\b"
        ),
    ),
    (
        "history",
        re.compile(
            r"\bwith (?:my|the|our) (?:last|old|previous|first) (?:one|pair|lot)\b"
            r"|\b(?:got|spilt|spilled|dripped|leaked) (?:\w+ )?(?:on|over|onto) (?:one|it|mine|them)\b"
            rf"|\b(?:my|the|our|his|her|their|an?|that|this) (?:\w+ )?{_OLD}(?: (?!was\b|were\b|had\b)\w+){{0,4}}?"
            rf" (?:was|were|had|did|wasn't|didn't|{_BROKE}|has (?:broken|torn|gone|stretched|worn)"
            r"|is (?:too|falling|worn|broken))\b"
            rf"|\b(?:one|ones|it) (?:just |all |completely |soon |always |has |have )?{_BROKE}\b"
            r"|^(?:(?:i|we)\b.*)?\b(?:last (?:time|year|month|summer|winter|week)|(?:years|months"
            r"|weeks) ago|back then)\b"
            r"|\b(?:i|we) (?:once|used to|previously)\b"
            r"|\b(?:i|we)(?:'ve| have|'d| had)? (?:\w+ )?(?:made|tried|used|bought|had|owned)\b"
            r".*\b(?:before|once|already|in the past)\b"
            r"|\b(?:i|we)(?:'ve| have| did|'d)? (?:already |once |only |just )?(?:made|built|sewn"
            r"|tried|used) (?:\w+ ){1,3}"
            r"(?:so far|before|and (?:it|they))\b"
        ),
    ),
    (
        "comparison",
        re.compile(
            r"\b(?:unlike|compared (?:to|with)|as opposed to|in contrast to|nothing like|the opposite of)\b"
            r"|\b(?:better|worse|nicer|stronger|cheaper|softer|stiffer|harder|thicker"
            r"|thinner) than (?:my|the|what|those)\b"
            r"|\blike (?:my|the|his|her|our) (?:old|last|previous|first) \w+"
        ),
    ),
    (
        "opinion",
        re.compile(
            r"^(?:it|that|this|they) (?:sounds?|seems?) (?!like\b)"
            r"|\b(?:was|were|felt|seemed|looked|turned out|came out) (?:(?:a bit|far|much|way|rather|just|a little) )?"
            r"too \w+"
            r"|\b(?:is|are|was|were|'s) (?:currently |now |all )?(?:on (?:sale|offer|special"
            r"|clearance)|reduced|half price"
            r"|discounted|going cheap|in the sale)\b"
            r"|\b(?:i|we) (?:think|thought|guess|suppose|believe|find|found|feel) (?:that )?(?!i\b|we\b)"
            r"\w+(?: \w+){0,2} (?:is|are|was|were|looks?|feels?|smells?)\b"
        ),
    ),
    (
        "supposition",
        re.compile(
            r"\b(?:if (?:it were|i had|money was|money were)|in an ideal world|(?:i|we) (?:was going|were going|meant"
            r"|nearly|almost|would have|'d have)\b|i'd have \w+ed\b)"
        ),
    ),
)

# -- clauses

_HARD = re.compile(r"[!?;\n…]+|\.(?=\s|$)|[()\[\]]|(?<![\d\s])\s*\s[-–—]+\s(?!\d)|\s[–—]\s|—")
_ABBREVIATED = re.compile(r"\b(?:oz|in|ft|lb|lbs|mm|cm|kg|sq|approx|no|e\.g|i\.e|st|max|min|incl|vs|yr|yrs)$")
_SOFT = re.compile(
    r",?\s+(?=(?:but|so|however|although|though|because|since|while|whereas)\s)|,\s+|\s+(?=and\s)"
    r"|\s+(?=(?:unlike|compared (?:to|with)|as opposed to|apparently|supposedly"
    r"|(?:like|as) (?:my|our|the|his|her) (?:old|last|previous|first|current|present)) )"
    r"|(?<!\bas)(?<!\bsince)(?<!\blike)(?<!\bthan)\s+"
    r"(?=(?:my|our|the|his|her|their) (?:old|last|previous|first|present)"
    r" (?:ones?|pair|lot) (?:is|are|was|were|has|have|had|got|went|came|gave|fell|broke|tore|wore|snapped|split|cracked"
    r"|perished|rotted|died)\b)"
)
_ALWAYS_NEW = re.compile(
    r"(?:but|so|however|although|though|because|since|while|whereas)\s(?!(?:far|much|long|that)\b)"
)
_ASKS_AFTER_AND = re.compile(rf"(?:what|whats|what's|which|how|why)\b|(?:{_AUX}|do) {_SUBJECT}")
_GOES_ON = re.compile(rf"\s(?!(?:{_AUX}|do) {_SUBJECT})[a-z\d]")
"""What follows a full stop that ends no sentence: "waist 90 cm. will it crack" begins a question."""
_ONE_OR_TWO = re.compile(r"(?:(?:just |is it |the )*(?:one|two|1|2|same|single|a single)\b)[^,]*\bor\b[^,]*")
"""What is asked behind a comma by no more than a number: "a dice tray, one layer or two?"."""
_TAG = re.compile(rf"(?:{_AUX}|do|don't|am|ain't) \w+")
"""What turns a statement into a question: "don't they", "is it"."""
_NEW_SUBJECT = re.compile(
    r"(?:and |but |so )?(?:(?:i|we|it|this|that|they|he|she)(?:'\w+)? |please |now |here |what i |mine "
    r"|for (?:a|my) new )"
)


def _plain(text: str) -> str:
    """Lower case with straight quotes, as long as the text."""
    low = "".join(c.lower() if len(c.lower()) == 1 else c for c in text)
    return low.replace("’", "'").replace("‘", "'").replace("\t", " ").replace("\xa0", " ")


def _clauses(low: str) -> Iterator[tuple[int, int, bool]]:
    """Where each clause stands, and whether a question mark follows it."""
    start = 0
    for mark in _HARD.finditer(low):
        if mark[0] == "." and _ABBREVIATED.search(low, 0, mark.start()) and _GOES_ON.match(low, mark.end()):
            continue
        yield from _parts(low, start, mark.start(), "?" in mark[0])
        start = mark.end()
    yield from _parts(low, start, len(low), False)


def _parts(low: str, start: int, end: int, asked: bool) -> Iterator[tuple[int, int, bool]]:
    """One sentence cut where a new clause begins; a question mark belongs to the last."""
    cuts = [start]
    for gap in _SOFT.finditer(low, start, end):
        counted = asked and "," in gap[0] and _ONE_OR_TWO.fullmatch(low[gap.end() : end].strip(" ,."))
        if counted or _begins(low, cuts[-1], gap, end):
            cuts.append(gap.end())
    for first, last in zip(cuts, [*cuts[1:], end], strict=True):
        part = low[first:last]
        here = first + len(part) - len(part.lstrip(" ,.-"))
        stop = first + len(part.rstrip(" ,.-"))
        if here < stop:
            yield here, stop, asked and last == end


def _begins(low: str, start: int, gap: re.Match[str], end: int) -> bool:
    """Whether a new clause begins after ``gap``, of the clause that began at ``start``."""
    rest, before = low[gap.end() : end], low[start : gap.start()]
    body = rest[len("and ") :] if rest.startswith("and ") else rest
    if _TAG.fullmatch(body.strip(" ?")):
        return False
    if not before.strip() or not rest:
        return False
    comma = gap[0].lstrip().startswith(",")
    if _ALWAYS_NEW.match(rest) or not (comma or rest.startswith("and ")):
        return True
    if _COURTESY.fullmatch(before.strip(" ,")) or (comma and _COURTESY.fullmatch(rest.strip(" ,"))):
        return True
    if body is not rest and not comma and not _ASKS_AFTER_AND.match(body) and not any(p.match(body) for _, p in _TOLD):
        return bool(_why_told(before)) and _NEW_SUBJECT.match(rest) is not None
    relative = body.startswith(("who", "which is", "which are", "which has", "which will"))
    if (_QUESTION.match(body) and not relative) or _OWN.match(body) or any(p.match(body) for _, p in _TOLD):
        return True
    told = _why_told(before)
    if comma and (told in ("comparison",) or _NEW_SUBJECT.match(rest)):
        return True
    return bool(told) and _NEW_SUBJECT.match(rest) is not None


def _why_told(clause: str) -> Why:
    return next((why for why, pattern in _TOLD if pattern.search(clause)), "")


def _act(low: str, start: int, end: int, asked: bool) -> Act:
    """What the clause does."""
    polite = _POLITE.match(low, start, end)
    first = polite.end() if polite else start
    clause = low[first:end] + ("?" if asked else "")
    if _COURTESY.fullmatch(low[start:end].strip(" ,.")):
        return Act("courtesy", start, end)
    if _REQUEST.match(clause):
        return Act("request", start, end)
    own = _OWN.match(clause)
    if own and not _MEANING_ONLY.match(clause):
        return Act("statement", start, end, "own", first, first + own.end())
    if _ASKS_LAST.search(clause) and not _WANTS.match(clause):
        return Act("question", start, end)
    # No sentence begins with a "which" that only goes on with something.
    if _QUESTION.match(clause) or _MEANING.match(clause) or (not low[:first].strip() and clause.startswith("which ")):
        return Act("question", start, end, "meaning" if _MEANING.match(clause) else "")
    if not asked and (why := _why_told(clause)):
        return Act("told", start, end, why)
    if _EITHER.fullmatch(clause.strip(" ?")) and not _EITHER_NOT.search(clause):
        return Act("question" if asked else "statement", start, end, "either")
    if asked and _WANTS.match(clause):
        return Act("statement", start, end, "own", first, first)
    if asked:
        return Act("question", start, end, "either" if " or " in clause else "mark")
    return Act("statement", start, end)

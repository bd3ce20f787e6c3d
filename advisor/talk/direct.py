"""Questions answered straight: from the glossary, from the advice as it stands, or honestly not. No answer changes.

What is asked is read in ``read.questions``; what the advice says of it is put into words in ``write.straight``.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import replace

from ..read.acts import Act, acts_of
from ..read.beside import known_values
from ..read.danger import RAISED
from ..read.glossary import defined, sides_told, terms_in, told
from ..read.notes import Doubt
from ..read.questions import (
    Topic,
    offered_questions,
    thickness_asked,
    topic_asked,
    topic_guessed,
    topic_of,
    topic_sure,
    topics_like,
)
from ..read.questions import check_questions as wrong_questions
from ..read.reader import Reading, read_sentence
from ..reasoning.advice import Advice
from ..reasoning.consult import Consultation
from ..reasoning.facts import Answer, parse_answer
from ..reasoning.matching import holds
from ..reasoning.report import report
from ..reasoning.why_not import nearest_of
from ..rulebase.models import Premise, RuleBase, Value
from ..write.asked import Asked
from ..write.buying import stands
from ..write.converted import converted
from ..write.names import called, thing_called, values_called
from ..write.page import capital, listed
from ..write.reasons import small
from ..write.straight import MARKS, MOST_LINES, PARTS, caution_said, fitted, marked, part_said, withheld
from .contrasted import either_said
from .kinds import kind_told
from .matter import Matter
from .naming import leathers_named
from .opinion import asks_of_leather, claims_lines, judged_lines
from .reckoned import RECKONED
from .tried import supposed_in, tried, tried_said

NO_THING = "Say first what you are making; then I can tell you that."
CANNOT = "I can't tell you that."
UNKNOWN_THING = "I can't tell you that before I know what you are making."
SAFETY = ("allergy",)
"""Besides what may hurt somebody, the answers that a question says in passing and that have to be taken up."""
ANSWERED = "answered"
"""The code of what answers a question in a sentence."""
MOST_TERMS = 3
_SURE = 4
"""From so many words found on a topic is what is asked, whatever leather is named in it."""
_MENTIONED = 0.2
"""How like a way to ask it a question is to have it offered."""
_GIVEN = re.compile(r"\b(?:if|when|once|after) (?:it|he|she|they|i|you|the|my|there|soaked|wet)\b", re.IGNORECASE)
"""What supposes something, so that a leather named beside it is not all that is asked about."""
_OF_WORK = re.compile(r"^(?:and |but |so )?(?:how|where|when|why|(?:can|could|should|do) (?:i|we))\b", re.IGNORECASE)
"""What asks how something is done, which no meaning of a word answers."""
_SIZED = re.compile(r"\d+(?:[.,]\d+)? ?(?:mm|oz|ounces?|irons?)\b", re.IGNORECASE)
_TAKES = re.compile(r"\b(?:us(?:e|ed|ing)|took|tak(?:e|ing)|buy|bought|got|get|cut|make|made|order|is|was|were)\b")
"""What asks about a piece of leather that one would take."""
_WH = r"(?:what|which|why|how|where|when|who)"
_IS = r"(?:is|are|was|were|am|do|does|did|can|could|will|would|should|shall|may|might|must|has|have)(?:n't|nt)?"
_SUBJECT = r"(?:i|you|we|he|she|it|they|this|that|these|those|the|a|an|my|your|our|his|her|their|one)"
_ASKS_WITHIN = re.compile(
    rf"(?<!know )(?<!see )(?<!say )\b(?:how (?:many|much|long|often|far|thick|thin|wide|big|soon|hard)\b(?! as\b)"
    rf"|{_WH}(?: [\w'-]+){{0,3}}? {_IS} {_SUBJECT}\b)"
    rf"|(?:^|, )which (?!(?:is|are|was|were|has|have|had|will|would|i|we|he|she|they|it|means)\b)\w+ \w"
    rf"|^(?:and |but |so )?{_WH}'?s (?!ever)|^any(?:thing|body|one) (?:that|else|i|to|for|like)\b"
    rf"|\b{_IS} (?:it|they|that|he|she)$|^(?:and |but |so )?{_IS} {_SUBJECT}\b|\bor {_IS} \w+"
    rf"|^(?:if|when|once|say|suppose|supposing) .+ (?:does|would|will|can|could|should|is|are)"
    r" (?:it|that|this|they|i|we|you|\d[\d.]* ?mm)\b"
    r"|^(?:if|when|once|suppose|supposing) .+ (?:does|would|will|can|could|should) (?:the|a|my) "
    rf"|^(?:and |but |so )?\w+n'?t (?!know |see |want |need |like |have )\w+ \w+"
)
"""What asks further on in a clause, by plain English alone: "once it is dry how long do I wait", "... isn't it"."""
_MAY = re.compile(r"(?:and |but |so |or )?(?:can|could|may) (?:i|we)\b")
_SURELY = re.compile(r"(?:and |but |so )?surely\b")
"""What wants to be told whether it is so."""
_OUT_OF = re.compile(r"\b(?:out of|from) (?:that|this|one|it|a|the) ?\w*$")
_BETWEEN = re.compile(r"\bdifferen\w+ (?:between|of)\b")
_WORRY = re.compile(
    r"\b(?:(?:what|the thing that|all that) (?:worries|bothers|puzzles|concerns) (?:me|us|him|her)(?: most| a bit)? is"
    r"|(?:worried|afraid|scared|terrified|nervous|concerned|anxious|bothered)(?: that| about| if| whether)?"
    r"|my (?:only |main |one |big )?(?:worry|fear|concern|question) is(?: that| whether| if)?)\s+(?=\w)",
    re.IGNORECASE,
)
"""What leads to something feared, which is asked as well: "I'm worried the colour comes off"."""
_SUPPOSES = re.compile(
    r"(?:and |but |so |or |then )?(?:if|when|once|after|while|suppose|supposing|say|assuming|unless|until|till"
    r"|then (?:i'?d|i would|it|that))\b",
    re.IGNORECASE,
)
"""How a clause begins that only supposes."""
_OF_ANOTHER = re.compile(r"\b(?:matching|another|a second|other) (?:ones?|pair|set)\b", re.IGNORECASE)
"""What speaks of another order beside this one."""
_CONDITION = re.compile(
    rf"(?:and |but |so |or )?(?:if|when|once|suppose|supposing|assuming|say) (?P<what>.+?)"
    rf"(?:,|(?= {_WH} | {_IS} {_SUBJECT} ))",
    re.IGNORECASE,
)
_CONDITION_LAST = re.compile(r" (?:if|once|assuming) (?P<what>(?:i|we|she|he|they|it) .+)$", re.IGNORECASE)
"""A supposition before or behind what is asked under it."""
_TWO = re.compile(
    r"(?:and |but |so )?(?:.*?\b)?(?P<asks>(?:will|would|does|do|can|could|is|are|should|may) [\w' -]*?)"
    r"(?P<one>\b[\w' -]+?),? (?:or|and) (?P<other>(?!not\b)[\w' -]+)",
    re.IGNORECASE,
)
"""Two things asked in one clause, each with what asks before it."""
_SAME_ORDER = re.compile(r"\b(?:still|same|change|changes|different|differently|matter|instead)\b", re.IGNORECASE)
"""What asks whether the order stays."""
_PARTS_OF_ORDER = {"amount", "cost", "thickness", "why_thickness", "forms", "tannage", "parts", "temper", "surface"}
_OF_THICKNESS = {"thickness", "why_thickness", "sure"}
_LEAST_ASKED = 3
"""A clause of fewer words asks nothing by itself."""
_OFFERED = 3
_OWN = ("amount", "cost", "cost_by_area", "several", "thickness", "spare")
"""What the asker's own question about the job is answered of before the order, which answers the rest."""
_OF_ITS_OWN = 2
"""From how many words on a question beside leather at home is about something else than whether that does."""


def direct_answers(
    matter: Matter, text: str, asked_back: bool = False, judged: bool = False, silent: bool = False
) -> list[str]:
    """At most three lines for each question in ``text``, in their order; empty if it asks nothing.

    What is ``asked_back``, of a thing that stands already, is answered as far as anything points to it; a question that
    stands in the first sentence only where it is surely understood, since a wrong answer before the order is worse
    than none. Nothing is said there of the others where ``silent``. The asker's own question ("what leather do I need
    for ...") is answered by the order itself and not here, but for how much and how thick. Where the leather at home
    is ``judged`` already, whether it does is not answered again.
    """
    lines: list[str] = []
    for act in asking_acts(text) if asked_back else first_acts(text):
        clause = text[act.start : act.end]
        if judged:
            topic = topic_of(matter.rulebase, clause)
            if asks_of_leather(clause) or topic is None or topic.size < _OF_ITS_OWN:
                continue
        if act.kind == "question" or act.why in ("own", "either"):
            said = _answered(matter, clause, act, text) if asked_back else _surely(matter, clause, act)
            said = said or ([] if silent or act.kind != "question" else cannot(matter, clause))
            lines += fitted(said, matter.width)
    if len(set(lines)) > 1:
        # Of two questions one may have an answer.
        lines = [line for line in lines if not line.startswith(CANNOT.rstrip("."))]
    return list(dict.fromkeys(lines))


def first_acts(text: str) -> tuple[Act, ...]:
    """The clauses of a first sentence, of a worry only what is feared, which is then a question."""
    return tuple(_feared(text, act) for act in acts_of(text))


def _feared(text: str, act: Act) -> Act:
    worry = _WORRY.search(text, act.start, act.end)
    return act._replace(kind="question", why="", start=worry.end()) if worry else act


def why_told(matter: Matter, text: str) -> list[str]:
    """The answer to a "why" that names no part of the order ("why so thick"); empty where no topic is meant."""
    topic = topic_of(matter.rulebase, text)
    return fitted(topic_said(matter, topic), matter.width) if topic else []


def judged_said(matter: Matter, text: str) -> list[str]:
    """What is found of a leather or thickness in a "what if" ("what if it is only 2 mm"); empty where none is named."""
    # "In my back pocket" names no piece of hide, where nobody speaks of taking it.
    return fitted(judged_lines(matter, text, sure=False, named=not _TAKES.search(text)), matter.width)


def asks_only(text: str) -> bool:
    """Whether a text asks, tells or greets and states nothing: then nothing of it is an answer."""
    acts = asking_acts(text)
    return any(a.kind == "question" or a.why == "own" for a in acts) and not any(
        a.factual and a.why != "own" for a in acts
    )


def asks(text: str) -> bool:
    """Whether anything in a text is asked."""
    return any(a.kind == "question" or a.why == "own" for a in asking_acts(text))


def stated_beside(text: str) -> str:
    """What a text that asks states besides; "" where it asks nothing or states nothing of this order."""
    acts = asking_acts(text)
    if not any(a.kind == "question" or a.why == "own" for a in acts) or _OF_ANOTHER.search(text):
        return ""
    return ". ".join(text[a.start : a.end] for a in acts if a.factual and a.why != "own")


def asking_acts(text: str) -> tuple[Act, ...]:
    """The clauses of a text, what goes before a question or behind it and belongs to it taken into it.

    That is what supposes something ("if she wants it padded, ..."), two to choose between ("brass or steel, does it
    matter"), and what a clause cut too early began ("what's | so wrong with it"). A clause that asks further on than at
    its beginning ("once it is moulded how long do I wait") is a question too.
    """
    acts = [_read_again(text, act) for act in acts_of(text)]
    joined: list[Act] = []
    for act in acts:
        before = joined[-1] if joined else None
        if before is not None and _belongs(text, before, act):
            asks = before if before.kind == "question" else act
            joined[-1] = asks._replace(kind="question", start=before.start, end=act.end, asks_start=0, asks_end=0)
        else:
            joined.append(act)
    return tuple(joined)


def _read_again(text: str, act: Act) -> Act:
    clause = text[act.start : act.end].lower().replace("’", "'")
    asks = act.kind == "statement" and not act.why and _ASKS_WITHIN.search(clause) is not None
    # "Can I do it in 3 mm" asks for no other order.
    asks |= act.kind == "statement" and _SURELY.match(clause) is not None
    may = act.kind == "request" and _MAY.match(clause) is not None
    asks |= may and (_SIZED.search(clause) is not None or _OUT_OF.search(clause) is not None)
    return act._replace(kind="question", why="meaning" if _BETWEEN.search(clause) else "") if asks else act


def _belongs(text: str, before: Act, act: Act) -> bool:
    """Whether two clauses are one question."""
    first, second = text[before.start : before.end], text[act.start : act.end]
    question = act.kind == "question" or act.why == "own"
    if question and before.kind == "statement" and (before.why == "either" or _SUPPOSES.match(first)):
        return True
    goes_on = act.kind == "statement" and not act.why and before.kind == "question"
    return goes_on and (len(first.split()) < _LEAST_ASKED or _SUPPOSES.match(second) is not None)


def _surely(matter: Matter, clause: str, act: Act) -> list[str]:
    """Sentences that answer a clause of a first sentence, by its own words alone."""
    rulebase = matter.rulebase
    topic = topic_sure(rulebase, clause)
    if act.why == "own":
        return topic_said(matter, topic, clause) if topic and topic.name in _OWN and matter.item else []
    if act.kind == "question" and (told_first := _told_of_words(matter, clause, act)):
        return told_first
    size = _SIZED.search(clause) if topic and _OF_THICKNESS.intersection(topic.tell) else None
    if size and (judged := judged_lines(matter, size[0], sure=False)):
        return judged
    if not (topic and topic.size >= _SURE) and (judged := judged_lines(matter, clause, sure=True, named=True)):
        return judged
    if topic:
        return topic_said(matter, topic, clause)
    terms = terms_in(rulebase, clause)
    if act.why == "either" and len(terms) > 1:
        return [*sides_told(rulebase, terms[:MOST_TERMS]), *_chosen_line(matter)]
    return []


def _told_of_words(matter: Matter, clause: str, act: Act) -> list[str]:
    """A thickness in another unit and the meaning of a word, where a clause asks for them; empty for other clauses."""
    other = thickness_asked(clause)
    told_in = [converted(*other)] if other else []
    return [*told_in, *(defined(matter.rulebase, clause) if act.why == "meaning" else [])]


def _answered(matter: Matter, clause: str, act: Act, text: str) -> list[str]:
    """Sentences that answer a clause of ``text`` that is asked back, the first of them always told."""
    rulebase = matter.rulebase
    if said := kind_told(matter, clause) or (kind_told(matter, text) if _one_question(text) else []):
        return said
    terms = terms_in(rulebase, clause)
    if act.why == "meaning" and defined(rulebase, clause):
        return _told_of_words(matter, clause, act)
    if not _OF_WORK.match(clause) and (said := either_said(matter, clause)):
        return said
    if act.kind == "question" and (said := _told_of_words(matter, clause, act)):
        return said
    if two := _both(matter, clause):
        return two
    topic = topic_asked(rulebase, clause)
    beside = topic_asked(rulebase, text) if _one_question(text) else None
    if topic and beside and beside.size >= topic.size:
        # What is told beside the question belongs to it: "how do I cut it, my knife just stops".
        topic = beside
    if found := _under_supposition(matter, clause, topic):
        return found
    size = _SIZED.search(text) if topic and _OF_THICKNESS.intersection(topic.tell) else None
    if size and (judged := judged_lines(matter, size[0], sure=False)):
        return judged
    supposed = _GIVEN.search(clause) is not None and not _SIZED.search(clause)
    given = topic is not None and (topic.size >= _SURE or supposed)
    if not given and (judged := judged_lines(matter, clause, sure=True, named=bool(topic))):
        return judged
    # "I have a pile of soft chrome, what is wrong with that": the leather stands beside the question.
    stated = stated_beside(text) if not (topic and topic.size > 1) else ""
    if stated and (judged := judged_lines(matter, stated, sure=False, named=True)):
        return judged
    if topic:
        return topic_said(matter, topic, clause)
    if act.why == "either" and len(terms) > 1:
        return [*sides_told(rulebase, terms[:MOST_TERMS]), *_chosen_line(matter)]
    if act.why == "meaning" and terms:
        return [told(terms[0])]
    if judged := judged_lines(matter, clause, sure=False):
        return judged
    if found := tried(matter, clause):
        about = topic_asked(rulebase, text)
        # Where the order stays, what is known of it helps more.
        return [*found, *_saying(matter, about, matter.advice())] if about and len(found) == 1 else found
    if hinted := topic_of(rulebase, clause, hinted=True):
        return topic_said(matter, hinted, clause)
    if terms and not _OF_WORK.match(clause):
        said = sides_told(rulebase, terms[:MOST_TERMS]) if terms[1:] else [told(terms[0])]
        return [*said, *_chosen_line(matter)]
    if claimed := claims_lines(matter, text):
        return claimed
    if whole := topic_asked(rulebase, text):
        return topic_said(matter, whole, text)
    if judged := judged_lines(matter, text, sure=True):
        return judged
    guessed = topic_guessed(rulebase, clause) or topic_guessed(rulebase, text)
    return topic_said(matter, guessed, text) if guessed else cannot(matter, clause)


def _both(matter: Matter, clause: str) -> list[str]:
    """The answers to two things that one clause asks: "will it fade or come off on clothes"; empty for other clauses.

    What is chosen between ("burnish or paint it") is one question, and so are two words for one thing.
    """
    found = _TWO.fullmatch(clause.strip(" ?.!"))
    if found is None:
        return []
    topics = [topic_asked(matter.rulebase, f"{found['asks']} {part}") for part in (found["one"], found["other"])]
    whole = topic_asked(matter.rulebase, clause)
    if not all(topic and topic.size and topic.says and not topic.tell for topic in topics):
        return []
    first, second = (topic for topic in topics if topic)
    if first.name == second.name or (whole and whole.size > first.size + second.size):
        return []
    said = [topic_said(matter, topic, clause) for topic in (first, second)]
    heads = [text for texts in said for text in texts[:1]]
    if len(heads) < 2 or heads[0] == heads[1]:
        return []
    return [*(_first_sentence(text) for text in heads), *(_after_first(text) for text in heads)]


def _first_sentence(text: str) -> str:
    return f"{text.partition('. ')[0].rstrip('.')}."


def _after_first(text: str) -> str:
    return text.partition(". ")[2]


def _under_supposition(matter: Matter, clause: str, topic: Topic | None) -> list[str]:
    """What is asked "if she wants it padded", answered of the order as it would be then; empty for other clauses.

    Where the order itself is asked about, it is told what would change.
    """
    found = _CONDITION.match(clause) or _CONDITION_LAST.search(clause)
    if found is None or matter.item is None or not stands(matter.advice()):
        return []
    changes = supposed_in(matter, found["what"])
    if not changes:
        return []
    asked = clause.replace(found[0], " ")
    if _SAME_ORDER.search(asked) or (topic and not topic.says and _PARTS_OF_ORDER.intersection(topic.tell)):
        said = tried_said(matter, changes)
        return [*said, *_saying(matter, topic, matter.advice())] if topic and len(said) == 1 else said
    known = topic_asked(matter.rulebase, asked)
    if topic and (known is None or topic.size >= known.size):
        # "Will it hold its shape if it rains": what is supposed is a part of what is asked.
        known = topic
    return (
        topic_said(matter.about({**matter.answers, **changes}), known, clause) if known else tried_said(matter, changes)
    )


def _one_question(text: str) -> bool:
    return sum(a.kind == "question" or a.why == "own" for a in acts_of(text)) == 1


def cannot(matter: Matter, clause: str = "") -> list[str]:
    """The honest no, and what can be asked now, what is most like the question first."""
    if matter.item is not None and (matter.advice().dangers or not stands(matter.advice())):
        return withheld(matter.rulebase, matter.advice())
    ordered = matter.item is not None and stands(matter.advice())
    before = CANNOT if matter.item else UNKNOWN_THING
    like = topics_like(matter.rulebase, clause, _OFFERED) if ordered else []
    near = [asked for score, _, asked in like if score >= _MENTIONED]
    offered = [f'"{q}"' for q in (*near, *offered_questions(matter.rulebase, ordered))[:_OFFERED]]
    return [f"{before} You can ask: {listed(offered, 'or')}."]


def _chosen_line(matter: Matter) -> list[str]:
    if matter.item is None or matter.advice().no_order:
        return []
    chosen = matter.advice().decisions.tannage.chosen
    advised = values_called(matter.rulebase, "tannage", chosen, joiner="or")
    return [f"For the {thing_called(matter.rulebase, matter.item)} I advise {advised}."] if chosen else []


# -- topics


def topic_said(matter: Matter, topic: Topic, text: str = "") -> list[str]:
    """What answers a topic as things stand: the stop where no order stands, else the parts and the true saying.

    ``text`` are the words that asked, of which a part that is reckoned may need a number.
    """
    advice = matter.advice() if matter.answers else None
    if advice is None or not stands(advice):
        known = advice is not None and (matter.item is not None or bool(advice.dangers))
        calm = topic.calm and (advice is None or advice.outcome != "refuse")
        told = topic.always or calm or not (known or topic.says_last)
        general = _saying(matter, topic, advice if known else None) if told else []
        held = withheld(matter.rulebase, advice) if advice is not None and known else [NO_THING]
        # What may be told without an order is no leave to make it.
        stopped = advice is not None and not advice.dangers and advice.outcome is not None and not topic.always
        return _with_stop(matter, general[0], held[-1]) if general and stopped else general or held
    of = Asked(matter.rulebase, advice, matter.units)
    if other := _of_another(matter, topic, text):
        return other
    parts = [RECKONED[p](matter, text) if p in RECKONED else part_said(of, p) for p in topic.tell]
    cautions = [text for name in topic.cautions if (text := caution_said(advice, name))][:1]
    saying = [*cautions, *_saying(matter, topic, advice)]
    said = [*parts, *saying] if topic.says_last else [*saying, *parts]
    if topic.what_if:
        changes = {n: parse_answer(matter.rulebase.attributes[n], v) for n, v in topic.what_if.items()}
        said += tried_said(matter, changes)
    return [text for text in said if text] or cannot(matter)


def _with_stop(matter: Matter, general: str, stop: str) -> list[str]:
    """As many sentences of what is told as leave room for why no order stands."""
    first, *more = re.split(r"(?<=\.) (?=[A-Z])", general)
    for sentence in more:
        if len(textwrap.wrap(f"{first} {sentence} {stop}", matter.width)) <= MOST_LINES:
            first = f"{first} {sentence}"
    return [f"{first} {stop}"]


def _of_another(matter: Matter, topic: Topic, text: str) -> list[str]:
    """What a topic says of another leather that the words name; empty where none is, or where it says the same of all.

    The consultation is made again with that leather held, as for a second opinion.
    """
    if topic.believed or not {p.attribute for said in topic.says for p in said.when} & {"tannage", "surface"}:
        return []
    decision, named = leathers_named(matter.rulebase, text)
    choice = matter.advice().decisions.choices().get(decision)
    if choice is None or not choice.chosen or choice.chosen[0] in named:
        return []
    other = nearest_of(choice, named)
    held = Consultation(matter.rulebase, matter.answers, house=matter.house, held={decision: other})
    said = _saying(matter, topic, report(held))
    name = called(matter.rulebase, decision, other)
    if not said:
        return []
    lead, own = called(matter.rulebase, decision, choice.chosen[0]), _saying(matter, topic, matter.advice())
    if own == said and other in choice.chosen:
        return []
    if own == said:
        return [f"{capital(name)} is no different there from {lead}. {said[0]}"]
    return [f"{capital(name)}: {small(said[0])}", *(f"{capital(lead)}: {small(text)}" for text in own)]


def _saying(matter: Matter, topic: Topic, advice: Advice | None) -> list[str]:
    """The first saying of which all premises hold; without an advice only one without premises.

    Where no order stands only premises about what was told count.
    """
    values = known_values(advice) if advice is not None else {}
    if advice is not None and not stands(advice):
        # No choice is told where no order stands, nor anything that follows from it.
        values = {name: found for name, found in values.items() if name not in matter.rulebase.decisions}
    for said in topic.says:
        if all(_holds(p, values) for p in said.when):
            text = marked(said.text, Asked(matter.rulebase, advice, matter.units) if advice is not None else None)
            return [text] if text else []
    return []


def _holds(premise: Premise, values: Mapping[str, Sequence[Value]]) -> bool:
    return holds(premise, values.get(premise.attribute, ()))


def check_questions(rulebase: RuleBase) -> list[str]:
    """What is wrong with the questions file: no words, no answer, or something named that is not there."""
    return wrong_questions(rulebase, (*PARTS, *RECKONED), tuple(MARKS))


# -- what a question says of danger


def alarms_of(matter: Matter, text: str, alarms: Mapping[str, Answer]) -> dict[str, Answer]:
    """Of the alarming answers that a question was read to give, those to be taken up: dangers and reactions.

    A question says nothing else of the job. A danger of which the answer itself speaks is not raised by it.
    """
    topics = [topic_asked(matter.rulebase, text[a.start : a.end]) for a in acts_of(text)]
    told_here = {d for topic in topics if topic for d in topic.told_here}
    held = matter.answers[RAISED].values if RAISED in matter.answers else ()
    taken = {name: answer for name, answer in alarms.items() if name in SAFETY}
    if raised := alarms.get(RAISED):
        left = tuple(v for v in raised.values if v not in told_here or v in held)
        if set(left) - set(held):
            taken[RAISED] = Answer(left, raised.state, raised.origin, raised.words)
    return taken


def without_asked(matter: Matter, text: str, reading: Reading) -> Reading:
    """The reading of ``text`` without a danger that only a question in it raises and whose answer speaks of it."""
    raised = reading.answers.get(RAISED)
    asked = [text[a.start : a.end] for a in acts_of(text) if a.kind == "question"]
    topics = [topic for clause in asked if (topic := topic_sure(matter.rulebase, clause))]
    told = {d for topic in topics for d in topic.told_here} & set(map(str, raised.values if raised else ()))
    if raised is None or not told:
        return reading
    for clause in asked:
        text = text.replace(clause, " ")
    still = read_sentence(matter.rulebase, text, matter.item, matter.units).answers.get(RAISED)
    left = tuple(v for v in raised.values if v not in told or (still and v in still.values))
    kept = {name: answer for name, answer in reading.answers.items() if name != RAISED}
    gone = set(map(str, raised.values)) - set(map(str, left))
    dangers = tuple(danger for danger in reading.dangers if danger.concept not in gone)
    answers = {**kept, RAISED: replace(raised, values=left)} if left else kept
    return replace(reading, answers=answers, dangers=dangers)


def asked_once(matter: Matter, text: str, reading: Reading) -> Reading:
    """As ``without_asked``, with the answer that speaks of the danger, where no conversation tells it.

    Without such an answer the danger stays raised.
    """
    left = without_asked(matter, text, reading)
    if left is reading:
        return reading
    held = {name: answer for name, answer in matter.answers.items() if name != RAISED}
    then = matter.about({**held, **{n: a for n, a in left.answers.items() if n == RAISED}})
    said = " ".join(direct_answers(then, text, silent=True))
    known = said and not said.startswith(NO_THING) and stands(then.advice())
    return replace(left, doubts=(*left.doubts, Doubt(ANSWERED, said))) if known else reading

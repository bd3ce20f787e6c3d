"""The words for a leather somebody offers or has in mind, read into a proposal; and the questions that hold one.

Only words that the rule base has for its candidates, groups and labels are read. A word for a group, such as
"chrome", stands for all its members, and what is not read is named. Nothing is judged here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from ..codes import say
from ..errors import AnswerError, nearest, shown
from ..leather.units import MM_PER_OUNCE, UnitError, parse_quantity
from ..reasoning.review import LABEL, READ_TO_MM, Proposal, Thickness
from ..rulebase.models import RuleBase
from . import lexicon as lex
from .numbers import Size, find_sizes
from .purposes import purposes
from .sentence import Sentence
from .stuffs import stuffs

LEATHER = "leather."
# No hide is thicker (common practice), so "2.5 mm leather" is a thickness and "300 mm leather" a length.
THICKEST_HIDE_MM = 12
OUNCES = ("oz", "oz.", "ounce", "ounces")
_IDLE = lex.STOP | {
    "thick",
    "thickness",
    "weight",
    "temper",
    "tannage",
    "grain",
    "cut",
    "sold",
    "marked",
    "labelled",
    "tanned",
    "tan",
}
_TWO_WAYS = re.compile(r"(\d{1,2})/(\d{1,2})\s*(?:oz|ounce)", re.IGNORECASE)
_SHORT = "leather"

Phrases = Mapping[tuple[str, ...], Mapping[str, tuple[str, ...]]]


@dataclass(frozen=True, slots=True)
class Offer:
    """A leather read: the proposal, the words that were not used, and what could not be settled."""

    proposal: Proposal
    unread: tuple[str, ...] = ()
    doubts: tuple[str, ...] = field(default=())


def phrases(rulebase: RuleBase) -> Phrases:
    """Folded words -> decision (or label_text) -> the candidates they can mean."""
    made: Phrases = rulebase.once("leather words", _phrases)
    return made


def _phrases(rulebase: RuleBase) -> Phrases:
    found: dict[tuple[str, ...], dict[str, tuple[str, ...]]] = {}

    def add(text: str, name: str, slugs: Iterable[str], always: bool = True) -> None:
        key = tuple(t.word for t in lex.tokens(text.replace("_", " ")))
        if key and (always or key not in found):
            entry = found.setdefault(key, {})
            entry[name] = tuple(dict.fromkeys((*entry.get(name, ()), *slugs)))

    for decision in rulebase.choices():
        for slug, candidate in decision.candidates.items():
            for text in (slug, *candidate.words):
                add(text, decision.name, (slug,))
    label = rulebase.attributes.get(LABEL)
    for value in label.values.values() if label else ():
        for text in value.words if value.slug != "none" else ():
            add(text, LABEL, (value.slug,))
    for decision in rulebase.choices():
        for group, texts in decision.group_words.items():
            for text in texts:
                # What sellers say of a whole group names none of its members.
                key = tuple(t.word for t in lex.tokens(text))
                found.setdefault(key, {})[decision.name] = decision.groups[group]
        for group in decision.spoken:
            add(group, decision.name, decision.groups[group], always=False)
    for key, readings in list(found.items()):
        if len(key) > 1 and key[-1] == _SHORT:
            found.setdefault(key[:-1], {k: v for k, v in readings.items() if k != LABEL} or readings)
    return found


def thickness(s: Size) -> Thickness | None:
    """A size in mm, ounces, irons or inches as a thickness of leather; None where it can be none."""
    try:
        ends = sorted(parse_quantity(f"{v:.6f} {'oz_leather' if s.unit in OUNCES else s.unit}", "mm") for v in s.values)
    except UnitError:
        return None
    if not ends or ends[0] <= 0 or ends[-1] > THICKEST_HIDE_MM or s.kind not in ("size", "span"):
        return None
    # The trade gauge reads half ounces (ASTM D1814).
    slack = MM_PER_OUNCE / 4 if s.unit in OUNCES else READ_TO_MM
    return Thickness(ends[0], ends[-1], slack)


def read_leather(rulebase: RuleBase, text: str) -> Offer:
    """What ``text`` says of a leather. Never raises: what cannot be used comes back unread or in doubt."""
    known, doubts = phrases(rulebase), list[str]()
    longest = max(map(len, known))
    tokens = lex.tokens(text)
    words = [t.word for t in tokens]
    matches = list(_longest(words, known, longest))
    used = {i for first, last, _ in matches for i in range(first, last)}
    # "12x12 panel" is a name and no size.
    numbered = [(a, b) for a, b, _ in matches if any(c.isdigit() for c in "".join(words[a:b]))]
    kept = [(tokens[a].start, tokens[b - 1].end) for a, b in numbered]
    sizes = list(find_sizes("".join(c.lower() if len(c.lower()) == 1 else c for c in text), kept, stuffs(rulebase)))
    choices: dict[str, tuple[str, ...]] = {}
    said: dict[str, str] = {}
    label: list[str] = []
    for first, last, readings in matches:
        part = text[tokens[first].start : tokens[last - 1].end]
        if (first and words[first - 1] in lex.NO) or (last < len(words) and words[last] == "free"):
            doubts.append(f"{shown(part)} is what it is not; nothing was judged by it.")
            continue
        for name, slugs in readings.items():
            if name == LABEL:
                label += slugs
                said["label"] = f"{said['label']}, {part}" if "label" in said else part
            elif name in choices and (both := tuple(c for c in choices[name] if c in slugs)):
                # "Milled chrome" is the milled one of the chrome group.
                choices[name], said[name] = both, f"{said[name]} {part}"
            elif name in choices:
                doubts.append(f"{shown(part)} and {shown(said[name])} cannot both be meant; say which.")
            else:
                choices[name], said[name] = slugs, part
    weight: Thickness | None = None
    count, area, left = None, None, list[tuple[int, int]]()
    for s in sizes:
        covered = {i for i, t in enumerate(tokens) if s.start <= t.start < s.end}
        part, at = text[s.start : s.end], max(covered, default=-1) + 1
        two = _TWO_WAYS.match(text, s.start)
        used |= covered
        if s.wrong:
            doubts.append(f"{shown(part)} cannot be read: {s.wrong}.")
        elif two and int(two[2]) == int(two[1]) + 1:
            doubts.append(f"{shown(part)} can be a fraction or a band; write {two[1]}-{two[2]} oz.")
        elif (found := thickness(s)) and weight is None:
            weight, said["weight"] = found, part
        elif (dm2 := _area(s)) and area is None:
            area = dm2
            said["amount"] = f"{said['amount']}, {part}" if "amount" in said else part
        elif (
            s.kind == "bare"
            and count is None
            and s.values[0] >= 1
            and s.values[0].is_integer()
            and (at == len(words) or "form" in choices)
        ):
            count = int(s.values[0])
            said["amount"] = f"{part} {said['form']}" if "form" in said else part
        else:
            left.append((s.start, s.end))
    left += [
        (t.start, t.end)
        for i, t in enumerate(tokens)
        if i not in used and t.word not in _IDLE | lex.NO | {"free"} and t.word not in ".,;:!?()"
    ]
    proposal = Proposal(choices, weight, count, area, tuple(dict.fromkeys(label)), said)
    return Offer(proposal, tuple(dict.fromkeys(text[a:b] for a, b in sorted(left))), tuple(dict.fromkeys(doubts)))


def _longest(
    words: list[str], known: Phrases, longest: int
) -> Iterable[tuple[int, int, Mapping[str, tuple[str, ...]]]]:
    """The longest known phrases from left to right."""
    at = 0
    while at < len(words):
        size = next((n for n in range(min(longest, len(words) - at), 0, -1) if tuple(words[at : at + n]) in known), 0)
        if size:
            yield at, at + size, known[tuple(words[at : at + size])]
        at += size or 1


def _area(s: Size) -> float | None:
    try:
        return parse_quantity(f"{s.values[0]:.6f} {s.unit}", "dm2") if s.unit and s.values and s.values[0] > 0 else None
    except UnitError:
        return None


def read_points(rulebase: RuleBase, points: Mapping[str, str]) -> Proposal:
    """``leather.NAME=value``, by NAME: a decision, label or amount. Raises AnswerError for an unreadable one."""
    names = [*(d.name for d in rulebase.choices()), "weight", "amount", "label"]
    whole = Proposal()
    for name, text in points.items():
        if name not in names:
            raise AnswerError(f"{LEATHER}{name}", text, say("no_such_point"), nearest(name, names))
        offer = read_leather(rulebase, text)
        found = offer.proposal
        kept = found.only((name,))
        if name == "amount" and "form" in found.choices:
            kept = found.only(("form", "amount"))
        if not kept.points() or offer.unread or offer.doubts:
            words = [" ".join(key) for key, readings in phrases(rulebase).items() if name in readings]
            doubts = "; ".join(offer.doubts).rstrip(".")
            expected = (
                say("leather_in_doubt", why=doubts) if doubts else _EXPECTED.get(name, say("by_name", point=name))
            )
            raise AnswerError(f"{LEATHER}{name}", text, expected, nearest(text.lower(), words))
        whole = joined(whole, kept)
    return whole


_EXPECTED = {
    "weight": say("thickness_expected"),
    "amount": say("amount_expected"),
    "label": say("label_expected"),
}


def joined(first: Proposal, more: Proposal) -> Proposal:
    """Both together; what ``more`` says stands where both speak."""
    return replace(
        first,
        choices={**first.choices, **more.choices},
        weight=more.weight or first.weight,
        count=more.count if more.count is not None else first.count,
        area=more.area if more.area is not None else first.area,
        label=tuple(dict.fromkeys((*first.label, *more.label))),
        words={**first.words, **more.words},
    )


# -- a leather said in the sentence about the job


def leather_at(rulebase: RuleBase, said: Sentence, i: int) -> int:
    """How many words from ``i`` on name a tannage, a grain or a form of leather and belong to nothing else."""
    known, special = phrases(rulebase), purposes(rulebase)
    own = special.of_leather | {LABEL}
    longest: int = rulebase.once("longest name of a leather", lambda _: max(map(len, known)))
    for n in range(min(longest, len(said.words) - i), 0, -1):
        owners = {o.attribute for j in range(i, i + n) if (o := said.owner.get(j))}
        readings = known.get(tuple(said.words[i : i + n]), {})
        if readings.keys() - {LABEL} and owners <= own and said.word(i + n) != "free":
            return n
    return 0


# -- sentences that ask for a second opinion

_GOOD = (
    r"(?:all ?right|alright|ok(?:ay)?|good(?: enough)?|enough|fine|right|suitable|wrong"
    r"|too (?:thin|thick|soft|stiff|strong|weak|heavy|light))"
)
_FOR = r"(?:\s+(?:for|on)\s+(?P<job>.+?))?"
QUESTIONS = (
    rf"(?:would|will|does|do|can|could)\s+(?P<leather>.+?)\s+(?:do|work|serve|suit|be\s+{_GOOD}){_FOR}",
    rf"(?:is|are)\s+(?P<leather>.+?)\s+{_GOOD}{_FOR}",
    r"(?:a\s+|your\s+)?(?:second\s+opinion|opinion|judge|review)(?:\s+(?:on|of|about)|:)?\s+(?P<leather>.+?)"
    r"(?:\s+for\s+(?P<job>.+?))?",
    r"(?:i\s+was|i\s+am|i\s+have\s+been|i've\s+been|i'm|they|the\s+shop|somebody|someone)\s+(?:being\s+)?(?:have\s+|has\s+)?"
    r"offer(?:ed|s|ing)?\s+(?:me\s+)?(?P<leather>.+?)(?:\s+for\s+(?P<job>.+?))?",
)
ASKED = rf"(?:{'|'.join(re.sub('[?]P<[a-z]+>', '?:', q) for q in QUESTIONS)})\s*\??"
"""The same as one pattern without names."""
_QUESTIONS = [re.compile(rf"\s*(?:{q})[.?!\s]*", re.IGNORECASE | re.DOTALL) for q in QUESTIONS]


def question_in(text: str) -> tuple[str, str] | None:
    """The leather and the job that a question for a second opinion names; the job may be empty."""
    for pattern in _QUESTIONS:
        if m := pattern.fullmatch(text):
            return m["leather"], m["job"] or ""
    return None

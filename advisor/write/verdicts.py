"""A verdict first: which of two for this thing and why, a thickness too thin or too thick, what makes it cheaper.

Everything is read off the values that the reasoning returns. Each is a list of sentences, the telling ones first.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from ..leather.units import Units, show
from ..read.asked_kinds import Side, SizeAsked
from ..read.colours import parts_by_use
from ..read.questions import doubled_more
from ..reasoning.advice import Advice
from ..reasoning.contrast import Contrast
from ..reasoning.contrast import Side as Part
from ..reasoning.why_not import Speaking
from ..rulebase.models import RuleBase
from .asked import Asked
from .explaining import Voice
from .names import called, thing_called, values_called
from .page import capital, listed
from .reasons import also_good, only_a_range, small
from .short_reasons import best_reason

_BARRED = ("excluded", "no leather")
_ASKED: Mapping[Side, str] = {"thin": "too thin", "thick": "too thick"}


# -- which of two


def for_job(
    voice: Voice,
    found: Contrast,
    names: Mapping[str, str],
    takes: Mapping[str, str],
    buts: Mapping[str, str],
    apart: str = "",
) -> list[str]:
    """Which of two for this thing, why, what is against the other, and what would tip it.

    ``names`` are the words for each; ``takes`` what each is taken for, going on from "if", ``buts`` what people have
    against each; ``apart`` tells the two apart whatever is made, and stands last, if there is room.
    """
    thing = thing_called(voice.rulebase, voice.item or "")
    sides = {s.asked: s for s in (found.one, found.other)}
    first, second = _ordered(found)
    one, other = names[first], names[second]
    for_first = best_reason(voice.rulebase, sides[first], True, buts.get(first, ""))
    against_second = best_reason(voice.rulebase, sides[second], False, buts.get(second, ""))
    if _open(sides[first]) and _open(sides[second]) and found.first is None:
        if found.lead and {first, second}.isdisjoint(found.lead):
            thing = f"{thing}, though I advise {values_called(voice.rulebase, found.decision, found.lead[:1])}"
        return _level(thing, one, other, takes.get(first, ""), takes.get(second, ""), apart)
    if sides[first].state in _BARRED:
        lead = values_called(voice.rulebase, found.decision, found.lead[:1])
        reasons = [_of(names[c], _against(sides[c], buts)) for c in (first, second)]
        same = reasons[0] and reasons[1] and _against(sides[first], buts) == _against(sides[second], buts)
        told = [reasons[0]] if same else reasons
        return [f"Neither for the {thing}: I advise {lead}.", *filter(None, told)]
    if sides[first].asked not in found.lead and sides[first].state != "fits as well":
        lead = values_called(voice.rulebase, found.decision, found.lead[:1])
        head = f"Of the two {one} for the {thing}, though I advise {lead} before either."
    else:
        head = f"{capital(one)} for the {thing}{f': {small(for_first)}' if for_first else '.'}"
    tip = ""
    against = _of(other, against_second) if against_second != for_first else ""
    if sides[second].state in _BARRED:
        tip = "" if against else f"So no {other} here."
    elif takes.get(first) and takes.get(second):
        tip = f"Take {one} if {takes[first]}; {other} if {takes[second]}."
    elif sides[second].turning:
        tip = f"{capital(other)} would come first if you said {voice.ways(sides[second].turning[:1])}."
    return [t for t in (head, against, tip if against else "", apart, tip) if t]


def _ordered(found: Contrast) -> tuple[str, str]:
    """The two, the better first."""
    one, other = found.one.asked, found.other.asked
    return (other, one) if found.first == other else (one, other)


def _open(side: Part) -> bool:
    """Whether nothing speaks against one."""
    return side.state not in _BARRED and not [a for a in side.against if a.strength == "must"]


def _level(thing: str, one: str, other: str, first: str, second: str, apart: str) -> list[str]:
    if not (first and second):
        return [
            f"Either will do for the {thing}: nothing I know parts {one} and {other} here.",
            *([apart] if apart else []),
        ]
    return [f"Either will do for the {thing}: take {one} if {first}; {other} if {second}.", *([apart] if apart else [])]


def _against(side: Part, buts: Mapping[str, str]) -> str:
    """What decides against one, a reason of use before what people say of it, and that before a mere range."""
    reasons: Sequence[Speaking] = sorted(side.against, key=lambda r: only_a_range(r.because))
    if reasons and not only_a_range(reasons[0].because):
        return capital(reasons[0].because)
    return buts.get(side.asked, "") or (capital(reasons[0].because) if reasons else "")


def _of(name: str, text: str) -> str:
    """What is said of one; its name goes before it unless the sentence begins with it."""
    if not text:
        return ""
    return text if name.lower().startswith(text.split()[0].lower()) else f"{capital(name)}: {small(text)}"


# -- too thin, too thick


def size_said(opinion: str, asked: SizeAsked, doubled: bool = False) -> list[str]:
    """An opinion of a thickness as the answer to what was feared of it: "is 2 mm too thin" is answered with yes.

    Where it is used ``doubled``, the opinion is of both layers together.
    """
    verdict, found, rest = opinion.partition(", ")
    known = bool(found) and verdict in ("Yes", "No")
    head, _, reason = (rest if known else opinion).partition(". ")
    head = head.rstrip(".")
    if doubled:
        head = _OFFERED.sub(r"doubled that is \1, which", head[:1].lower() + head[1:], count=1)
    if not known:
        word = {"thin": "A little", "thick": "A little", "good": "Just"}[asked.side]
        return [f"{word}: {small(head)}.", reason]
    if asked.side == "good":
        return [f"{verdict}, {head}.", reason]
    meant = _ASKED[asked.side]
    if verdict == "No" and meant in head:
        return [f"Yes, {head}.", reason]
    opposite = _ASKED["thick" if asked.side == "thin" else "thin"]
    return [f"No, {head.replace(opposite, f'not {meant} but {opposite}', 1)}.", reason]


_OFFERED = re.compile(r"^([\d.]+(?: to [\d.]+)? mm(?: \([^)]*\))?)")


def doubled_said(rulebase: RuleBase, advice: Advice, low: float, high: float, units: Units) -> str:
    """That two layers of a thickness would do, where they would; "" where they would not."""
    weight = advice.decisions.weight
    if weight.low_mm is None or weight.high_mm is None:
        return ""
    middle = low + high
    if not weight.low_mm <= middle <= weight.high_mm * (1 + doubled_more(rulebase)):
        return ""
    return f"Two layers, glued and sewn along both edges, come to {show(middle, 'mm', units)} and would do."


# -- cheaper, lighter


_MOST_HIDDEN = 2


def _named_among(advice: Advice, words: Sequence[str]) -> list[str]:
    """Of words for pieces those that the pieces of an order are called by."""
    pieces = " ".join(p.name.lower() for p in advice.decisions.amount.pieces)
    parts = " ".join(line.part or "" for line in advice.order.lines if line.kind == "leather")
    return [w for w in words if w in f"{pieces} {parts}"]


def cheaper_said(of: Asked, several: bool = False) -> list[str]:
    """What makes this order cheaper, and where not to save; with ``several`` also what making many of it saves."""
    lead = of.advice.decisions.tannage.chosen[0]
    name = called(of.rulebase, "tannage", lead)
    cheaper = [text for text in also_good(of.rulebase, of.advice) if "cheaper)" in text]
    unseen, loaded = parts_by_use(of.rulebase)
    hidden = _named_among(of.advice, unseen)[:_MOST_HIDDEN]
    bears = _named_among(of.advice, loaded)[:1]
    ways = ["a lower grade, cut round its marks"]
    if hidden:
        ways.append(f"belly or split for what is hidden ({listed(hidden)})")
    if part := _part_of_it(of):
        ways.append(part)
    lined = of.advice.facts.get("lining")
    if lined is not None and str(lined.value) != "none":
        ways.append("no lining")
    if any(
        line.kind == "fitting" and line.part is None and not line.id.startswith(("thread", "edge_"))
        for line in of.advice.order.lines
    ):
        ways.append("plainer fittings")
    leather = (
        f"Cheaper and fit for it: {cheaper[0]}." if cheaper else f"No leather that suits it costs less than {name}."
    )
    batch = ""
    if several:
        batch = (
            "Of many, buy one larger piece, nest all pieces on it, the small in the gaps, and cut part after part."
            " It saves waste, and a shop may take less by the whole hide."
        )
    spare = f"Do not save on the thickness{f' or on the {bears[0]}s' if bears else ''}."
    return [*([batch] if batch else []), f"Cheaper with {'; '.join(ways)}.", leather, spare]


def _part_of_it(of: Asked) -> str:
    """That less than the whole of what is sold by area would do, where the pieces take less than half of it."""
    chosen = next(
        (f for f in of.advice.decisions.amount.forms if f.fits and f.form in of.advice.decisions.form.chosen), None
    )
    if chosen is None or chosen.leftover_dm2 <= chosen.gross_dm2:
        return ""
    known = of.rulebase.decisions["form"].candidates[chosen.form]
    return (
        f"a part of a {known.called(1)} that holds all pieces, if the shop cuts"
        if known.properties["sold_by"] == "area"
        else ""
    )


def lighter_said(of: Asked) -> list[str]:
    """What makes the thing lighter: the thin end of what is ordered, then what is not needed."""
    weight = of.advice.decisions.weight
    if weight.low_mm is None or weight.high_mm is None:
        return []
    share = 1 - weight.low_mm / weight.high_mm
    thin = show(weight.low_mm, "mm", of.units)
    first = (
        f"Take the thin end, {thin}: it weighs {share:.0%} less than {show(weight.high_mm, 'mm', of.units)}."
        if share > _WORTH
        else ""
    )
    item = of.rulebase.items[str(of.advice.facts["item"].value)]
    below = f"Thinner {small(item.too_thin).removeprefix('it ')}" if item.too_thin.startswith("It ") else ""
    lined = of.advice.facts.get("lining")
    more = ["no lining"] if lined is not None and str(lined.value) != "none" else []
    more += ["smaller pieces and overlaps", "skived folds and hems"]
    return [
        first or "There is nothing to take off the thickness.",
        below,
        f"After that: {listed(more)}; {_mass(of)}".rstrip("; ") + ".",
    ]


_WORTH = 0.05


def _mass(of: Asked) -> str:
    """What the leather weighs as ordered."""
    grams = next((float(b.value) for b in of.advice.basket if b.what == "finished_mass"), 0.0)
    return (
        f"as ordered the leather weighs about"
        f" {show(grams / 1000, 'kg', of.units) if grams >= 1000 else show(grams, 'g', of.units)}"
        if grams
        else ""
    )
